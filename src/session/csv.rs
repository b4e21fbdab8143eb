//! Tables for a spreadsheet: commas, CRLF, quotes as in RFC 4180, UTF-8, every row as wide as the first.
//!
//! Numbers have a decimal point and no signs between thousands, in the unit that stands beside them. A text that a spreadsheet would
//! take for a formula (one that begins with `= + - @`, a tab or a line's end, also after blanks or in full width) gets an apostrophe before
//! it, which spreadsheets do not show; numbers need none.

use super::inputs::{Group, inputs};
use super::staff::staff;
use super::work::Work;
use crate::calculators::outcome::{Brim, Level, Outcome, Table, Value};
use crate::system::Document;
use crate::system::report::Report;
use crate::units::{System, THIN, number, plain_number};

/// What a file begins with, so that spreadsheets know its letters; a program that reads the text needs none.
pub const LETTERS: char = '\u{feff}';

/// Digits of a number: more than anything here is known to.
const DIGITS: u32 = 6;

/// What stands in one place.
#[derive(Debug, Clone, PartialEq)]
enum Cell {
    Text(String),
    Number(f64),
}

type Row = Vec<Cell>;

fn text(words: &str) -> Cell {
    Cell::Text(words.into())
}

fn none() -> Cell {
    text("")
}

fn head(names: &[&str]) -> Row {
    names.iter().map(|n| text(n)).collect()
}

/// Would a spreadsheet compute this?
fn computes(words: &str) -> bool {
    words.starts_with(['\t', '\r', '\n'])
        || words.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

fn put(out: &mut String, cell: &Cell) {
    match cell {
        Cell::Number(x) if x.is_finite() => {
            *out += &number(*x, DIGITS).replace('−', "-").replace(THIN, "");
        }
        Cell::Number(_) => {}
        Cell::Text(words) => {
            let guard = if computes(words) { "'" } else { "" };
            if words.contains([',', '"', '\r', '\n']) || words.trim().len() < words.len() {
                *out += &format!("\"{guard}{}\"", words.replace('"', "\"\""));
            } else {
                *out += guard;
                *out += words;
            }
        }
    }
}

/// All rows, as wide as the widest.
fn written(rows: &[Row]) -> String {
    let width = rows.iter().map(Vec::len).max().unwrap_or(0);
    let mut out = String::new();
    for row in rows {
        for i in 0..width {
            if i > 0 {
                out.push(',');
            }
            if let Some(cell) = row.get(i) {
                put(&mut out, cell);
            }
        }
        out += "\r\n";
    }
    out
}

/// Words without the narrow blanks that pages have: none inside a number, a plain one before a unit.
fn plain(words: &str) -> String {
    let letters: Vec<char> = words.chars().collect();
    let digit = |i: usize| letters.get(i).is_some_and(char::is_ascii_digit);
    let mut out = String::with_capacity(words.len());
    for (i, &c) in letters.iter().enumerate() {
        match c {
            THIN if i > 0 && digit(i - 1) && digit(i + 1) => {}
            THIN => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// What a page shows, as a number if it is one.
fn shown(words: &str) -> Cell {
    let words = plain(words);
    plain_number(&words.replace('−', "-")).map_or(Cell::Text(words), Cell::Number)
}

fn yes(is: bool) -> Cell {
    text(if is { "yes" } else { "" })
}

/// The percentage of a level with one brim; between two brims there is none.
fn percent(level: &Level) -> Cell {
    match (level.brim, level.asked()) {
        (Brim::Upper(_), Some(load)) => Cell::Number(100.0 * load),
        _ => none(),
    }
}

/// The columns of a level, from what is asked to its state.
const LEVEL: [&str; 8] = ["asked", "asked_to", "brim", "capacity", "capacity_to", "unit", "percent", "state"];

fn level(l: &Level, system: System) -> Row {
    let unit = l.kind.unit(system);
    let at = |si: f64| Cell::Number(unit.of_si(si));
    let (brim, low, high) = match l.brim {
        Brim::Upper(c) => ("upper", c.low, c.high),
        Brim::Between { low, high, .. } => ("between", low, high),
    };
    vec![
        at(l.demand.low),
        at(l.demand.high),
        text(brim),
        at(low),
        at(high),
        text(unit.symbol),
        percent(l),
        text(l.state().word()),
    ]
}

fn verdict(l: &Level, system: System) -> Cell {
    Cell::Text(plain(&staff(l, system).words))
}

/// The check of a system: one row for every level on its worst day, fullest first.
pub fn check(d: &Document, report: &Report, system: System) -> String {
    let stations = d.stations();
    let mut first = head(&["station", "what"]);
    first.extend(head(&LEVEL));
    first.extend(head(&["day", "percent_today", "state_today", "verdict"]));
    let mut rows = vec![first];
    for l in &report.levels {
        let mut row = head(&[stations.get(l.station).map_or("", |s| s.name), l.today.name.as_ref()]);
        row.extend(level(&l.level, system));
        row.extend([text(l.day.word()), percent(&l.today), text(l.today.state().word()), verdict(&l.level, system)]);
        rows.push(row);
    }
    written(&rows)
}

/// A calculator: its inputs, named results, fill levels and tables, one block below the other.
pub fn sheet(work: &Work, outcome: &Outcome, system: System) -> String {
    let title = work.sheet().map_or("", |s| s.entry().title);
    let mut rows = vec![head(&[title, &work.name]), vec![], head(&["Inputs"])];
    rows.push(head(&["of", "what", "value", "unit", "assumed"]));
    for Group { title, lines } in inputs(work, system) {
        for l in lines {
            let (value, unit) =
                l.number.map_or_else(|| (Cell::Text(plain(&l.words)), ""), |(x, u)| (Cell::Number(x), u));
            rows.push(vec![text(&title), text(l.label), value, text(unit), yes(l.assumed)]);
        }
    }
    rows.extend([vec![], head(&["Results"]), head(&["what", "value", "value_to", "unit"])]);
    for o in &outcome.outputs {
        let unit = o.kind.map(|k| k.unit(system));
        let at = |si: f64| Cell::Number(unit.map_or(si, |u| u.of_si(si)));
        let (value, to) = match &o.value {
            Value::Num(x) => (at(*x), none()),
            Value::Span(a, b) => (at(*a), at(*b)),
            Value::Missing => continue,
            _ => (Cell::Text(o.show(system)), none()),
        };
        rows.push(vec![text(o.label), value, to, text(unit.map_or("", |u| u.symbol))]);
    }
    if !outcome.report.levels.is_empty() {
        let mut first = head(&["what"]);
        first.extend(head(&LEVEL));
        first.extend(head(&["verdict"]));
        rows.extend([vec![], head(&["Fill levels"]), first]);
        for l in &outcome.report.levels {
            let mut row = head(&[l.name.as_ref()]);
            row.extend(level(l, system));
            row.push(verdict(l, system));
            rows.push(row);
        }
    }
    for Table { title, head, rows: lines } in &outcome.report.tables {
        rows.extend([vec![], vec![Cell::Text(plain(title))], head.iter().map(|h| Cell::Text(plain(h))).collect()]);
        rows.extend(lines.iter().map(|line| line.iter().map(|c| shown(c)).collect()));
    }
    written(&rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::{self, form::Edit, form::EditValue};
    use crate::session::work::Paper;
    use crate::system::{check::Day, demo, report};
    use crate::units::Words;

    /// Reads what RFC 4180 says, character by character: fields between commas, quoted ones with doubled quotes, CRLF after every row.
    fn read(csv: &str) -> Vec<Vec<String>> {
        let (mut rows, mut row, mut field) = (vec![], vec![], String::new());
        let mut rest = csv.chars().peekable();
        let mut quoted = false;
        while let Some(c) = rest.next() {
            match (quoted, c) {
                (true, '"') if rest.peek() == Some(&'"') => field.extend(rest.next()),
                (true, '"') => quoted = false,
                (true, c) => field.push(c),
                (false, '"') => {
                    assert!(field.is_empty(), "a quote inside a bare field: {field}");
                    quoted = true;
                }
                (false, ',') => row.push(std::mem::take(&mut field)),
                (false, '\r') => {
                    assert_eq!(rest.next(), Some('\n'));
                    row.push(std::mem::take(&mut field));
                    rows.push(std::mem::take(&mut row));
                }
                (false, '\n') => panic!("a bare line feed"),
                (false, c) => field.push(c),
            }
        }
        assert!(!quoted && row.is_empty() && field.is_empty(), "it ends within a row");
        rows
    }

    fn cells(words: &[&str]) -> Vec<String> {
        read(&written(&[head(words)])).remove(0)
    }

    #[test]
    fn quoted_as_the_rfc_says() {
        let odd = ["a,b", "say \"so\"", "two\r\nlines", " blank ", "ä µ 水", "", "plain"];
        assert_eq!(cells(&odd), odd);
        assert_eq!(written(&[head(&["a,b", "say \"so\"", "c"])]), "\"a,b\",\"say \"\"so\"\"\",c\r\n");
        // Every row is as wide as the widest.
        assert_eq!(written(&[head(&["a"]), vec![], head(&["b", "c"])]), "a,\r\n,\r\nb,c\r\n");
    }

    /// What a spreadsheet takes for a formula: the list that OWASP gives under "CSV Injection".
    #[test]
    fn nothing_is_a_formula() {
        for odd in
            ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "  =1", "＝1", "=\"a\",b", "－1", "＠a", "＋1"]
        {
            assert_eq!(cells(&[odd]), [format!("'{odd}")]);
        }
        for fine in ["a=b", "1+1", "a@b", "'=1", "x-y", "− 5"] {
            assert_eq!(cells(&[fine]), [fine]);
        }
        assert_eq!(written(&[vec![Cell::Number(-1.5)]]), "-1.5\r\n");
    }

    #[test]
    fn numbers_have_a_point_and_nothing_else() {
        for (x, said) in
            [(0.1 + 0.2, "0.3"), (1638.24567, "1638.25"), (-0.0, "0"), (1234567.0, "1234570"), (1e-7, "0.0000001")]
        {
            assert_eq!(written(&[vec![Cell::Number(x)]]), format!("{said}\r\n"));
        }
        assert_eq!(written(&[vec![Cell::Number(f64::NAN), Cell::Number(f64::INFINITY), text("x")]]), ",,x\r\n");
        assert_eq!(plain("1\u{202f}640\u{202f}L/h of 2\u{202f}400"), "1640 L/h of 2400");
        assert_eq!(shown("−1\u{202f}640.5"), Cell::Number(-1640.5));
        for words in ["1\u{202f}640\u{202f}L/h", "inf", "NaN", "1e9", "–", "2 to 3"] {
            assert!(matches!(shown(words), Cell::Text(_)), "{words}");
        }
    }

    #[test]
    fn a_check_has_a_row_for_every_level() {
        for demo in demo::ALL {
            let d = demo.document();
            for system in [System::Metric, System::Us] {
                let r = report::report(&d, Words::from(system)).expect("solves");
                let rows = read(&check(&d, &r, system));
                assert_eq!(rows.len(), r.levels.len() + 1, "{}", demo.id);
                let at = |name: &str| rows[0].iter().position(|h| h == name).expect(name);
                for (row, l) in rows[1..].iter().zip(&r.levels) {
                    assert_eq!(row.len(), rows[0].len());
                    let number =
                        |name: &str| row[at(name)].parse::<f64>().unwrap_or_else(|e| panic!("{name}: {e}: {row:?}"));
                    let unit =
                        l.level.kind.units.iter().find(|u| u.symbol == row[at("unit")]).expect("a unit of its kind");
                    let near = |a: f64, b: f64| (a - b).abs() <= 1e-5 * b.abs().max(1e-9);
                    assert!(near(number("asked_to"), unit.of_si(l.level.demand.high)), "{row:?}");
                    assert_eq!(row[at("state")], l.level.state().word());
                    assert_eq!(row[at("day")], l.day.word());
                    // The percentage is the cautious end of what is asked over that of what can be had.
                    if row[at("brim")] == "upper" && !row[at("percent")].is_empty() && unit.offset == 0.0 {
                        let share = 100.0 * number("asked_to") / number("capacity");
                        assert!(number("asked_to") <= 0.0 || (number("percent") / share - 1.0).abs() < 1e-4, "{row:?}");
                    }
                    assert!(row[at("verdict")].ends_with(&format!("{}.", l.level.state().word())), "{row:?}");
                    if l.day == Day::Today {
                        assert_eq!(row[at("percent")], row[at("percent_today")]);
                    }
                }
            }
        }
    }

    #[test]
    fn a_name_cannot_compute() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        d.tanks[0].name = "=HYPERLINK(\"x\",\"y\")".into();
        let r = report::report(&d, Words::default()).expect("solves");
        let csv = check(&d, &r, System::Metric);
        let stations: Vec<_> = read(&csv).into_iter().map(|r| r[0].clone()).collect();
        assert!(stations.contains(&"'=HYPERLINK(\"x\",\"y\")".to_string()), "{stations:?}");
        assert!(read(&csv).iter().flatten().all(|c| !c.starts_with('=')));
    }

    #[test]
    fn a_sheet_has_its_inputs_results_and_tables() {
        for entry in calculators::ALL {
            let mut work = Work::new(Paper::Sheet((entry.sheet)()));
            work.name = "@home, \"mine\"".into();
            let o = work.sheet().expect("a sheet").run(Words::default(), false).expect("solves");
            let rows = read(&sheet(&work, &o, System::Metric));
            assert!(rows.iter().all(|r| r.len() == rows[0].len()), "{}", entry.id);
            assert_eq!(rows[0][..2], [entry.title.to_string(), "'@home, \"mine\"".to_string()]);
            for t in &o.report.tables {
                let at = rows.iter().position(|r| r[0] == plain(&t.title)).expect("the table");
                for (row, line) in rows[at + 2..].iter().zip(&t.rows) {
                    for (cell, was) in row.iter().zip(line) {
                        let unguarded = cell.strip_prefix('\'').unwrap_or(cell);
                        let was = plain(was).replace('−', "-");
                        // A number is the same number: what money has behind its last figure is no part of it.
                        let same = |x: f64| was.parse() == Ok(x);
                        assert!(
                            unguarded.replace('−', "-") == was || unguarded.parse().is_ok_and(same),
                            "{cell} {was}"
                        );
                    }
                }
            }
            let named =
                o.outputs.iter().filter(|o| o.value != Value::Missing).all(|o| rows.iter().any(|r| r[0] == o.label));
            assert!(named, "{}", entry.id);
        }
    }

    #[test]
    fn a_number_stands_in_the_unit_beside_it() {
        let mut work = Work::new(Paper::Sheet((calculators::by_id("drain").expect("there").sheet)()));
        assert!(work.apply(&Edit { path: "flow".into(), to: EditValue::Si(0.001) }));
        let o = work.sheet().expect("a sheet").run(Words::from(System::Us), false).expect("solves");
        let rows = read(&sheet(&work, &o, System::Us));
        // A litre a second is 3600 L/h; a US gallon is 3.785411784 L exactly (NIST SP 811, appendix B).
        let flow = rows.iter().find(|r| r[3] == "gal/h" && r[4].is_empty()).expect("the flow, not assumed");
        let gallons: f64 = flow[2].parse().expect("a number");
        assert!((gallons - 3600.0 / 3.785_411_784).abs() < 0.01, "{flow:?}");
        assert!(rows.iter().filter(|r| r[4] == "yes").count() > 5, "the rest is assumed");
    }
}
