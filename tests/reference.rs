//! Compares the crate's science, row by row, with tables made by public libraries and by numerical integration.
//!
//! The tables lie in `tests/reference/`, each opening with its sources; `make_tables.py` there writes them. One test here
//! reads one table. Every tolerance is argued beside it, from what the two sides differ in: never from what we get.

use brimwise::units::kinds;
use std::{fs, path::PathBuf};

/// Each table with the number of rows that it must at least have, so that a check can't shrink unseen.
const TABLES: &[(&str, usize)] = &[
    ("altitude_pressure.csv", 63),
    ("circular_section.csv", 168),
    ("do_pressure.csv", 363),
    ("do_saturation.csv", 369),
    ("do_saturation_printed.csv", 11),
    ("fittings.csv", 76),
    ("friction_factor.csv", 385),
    ("growth.csv", 128),
    ("gvf_profile.csv", 489),
    ("outlet_levels.csv", 373),
    ("oxygen_loop.csv", 98),
    ("oxygen_rundown.csv", 216),
    ("oxygen_steady.csv", 115),
    ("pipe_head_loss.csv", 525),
    ("pipe_sizes.csv", 9),
    ("pump_branches.csv", 48),
    ("rim.csv", 84),
    ("rim_drain.csv", 108),
    ("settling_velocity.csv", 360),
    ("thin_wall_orifice.csv", 120),
    ("unit_factors.csv", 111),
    ("water_properties.csv", 91),
];

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/reference")
}

/// One row of a table, its cells by column name.
struct Row<'a> {
    columns: &'a [&'a str],
    cells: Vec<&'a str>,
    line: usize,
}

impl Row<'_> {
    fn word(&self, column: &str) -> &str {
        let at = self.columns.iter().position(|c| *c == column);
        self.cells[at.unwrap_or_else(|| panic!("no column {column} among {:?}", self.columns))]
    }

    fn num(&self, column: &str) -> f64 {
        let text = self.word(column);
        text.parse().unwrap_or_else(|_| panic!("line {}: {column} is not a number: {text}", self.line))
    }
}

/// How far a value may lie from the table's: the larger of a share of it and a fixed amount.
#[derive(Clone, Copy)]
struct Tolerance {
    share: f64,
    amount: f64,
}

const fn within(share: f64, amount: f64) -> Tolerance {
    Tolerance { share, amount }
}

/// Collects every comparison of one table, and fails once with the worst of them.
struct Tally {
    table: &'static str,
    compared: usize,
    worst: (f64, String),
    faults: Vec<String>,
}

impl Tally {
    fn near(&mut self, row: &Row, column: &str, ours: f64, tolerance: Tolerance) {
        let theirs = row.num(column);
        self.value(row, column, ours, theirs, tolerance);
    }

    fn value(&mut self, row: &Row, what: &str, ours: f64, theirs: f64, tolerance: Tolerance) {
        let allowed = tolerance.amount.max(tolerance.share * theirs.abs());
        let used = (ours - theirs).abs() / allowed;
        self.compared += 1;
        let told =
            format!("line {}: {what} ours {ours}, theirs {theirs}, allowed {allowed:.3e}; {:?}", row.line, row.cells);
        // Not `used > 1.0`: a NaN must fail too.
        if !(used <= 1.0) {
            self.faults.push(told.clone());
        }
        if used > self.worst.0 {
            self.worst = (used, told);
        }
    }

    fn holds(&mut self, row: &Row, what: &str, is: bool) {
        self.compared += 1;
        if !is {
            self.faults.push(format!("line {}: {what}; {:?}", row.line, row.cells));
        }
    }
}

/// Walks a table. The closure compares each row; a table that lost rows, or a row that compares nothing, fails.
fn each_row(table: &'static str, mut compare: impl FnMut(&Row, &mut Tally)) {
    let least = TABLES.iter().find(|(name, _)| *name == table).map(|(_, n)| *n);
    let least = least.unwrap_or_else(|| panic!("{table} is not listed"));
    let text = fs::read_to_string(folder().join(table)).unwrap_or_else(|e| panic!("{table}: {e}"));
    let mut lines = text.lines().enumerate().filter(|(_, l)| !l.starts_with('#'));
    let columns: Vec<&str> = lines.next().map(|(_, l)| l.split(',').collect()).unwrap_or_default();
    let mut tally = Tally { table, compared: 0, worst: (0.0, String::new()), faults: vec![] };
    let mut rows = 0;
    for (at, line) in lines {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), columns.len(), "{table} line {}: cells", at + 1);
        let before = tally.compared;
        compare(&Row { columns: &columns, cells, line: at + 1 }, &mut tally);
        assert!(tally.compared > before, "{table} line {}: nothing was compared", at + 1);
        rows += 1;
    }
    assert!(rows >= least, "{table} has {rows} rows, it must have {least}");
    println!(
        "{table}: {rows} rows, {} comparisons, worst at {:.3} of its tolerance: {}",
        tally.compared, tally.worst.0, tally.worst.1
    );
    assert!(
        tally.faults.is_empty(),
        "{}: {} of {} comparisons fail; the worst is {}\n{}",
        tally.table,
        tally.faults.len(),
        tally.compared,
        tally.worst.1,
        tally.faults[..tally.faults.len().min(12)].join("\n")
    );
}

#[test]
fn every_table_is_listed_sourced_and_compared() {
    let here = include_str!("reference.rs");
    let mut bytes = 0;
    let mut seen = 0;
    for entry in fs::read_dir(folder()).unwrap_or_else(|e| panic!("{e}")) {
        let path = entry.unwrap_or_else(|e| panic!("{e}")).path();
        if path.extension().is_none_or(|e| e != "csv") {
            continue;
        }
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
        let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(TABLES.iter().any(|(listed, _)| *listed == name), "{name} is not listed");
        assert!(text.starts_with("# source: "), "{name} names no source");
        assert!(text.contains("\n# columns: "), "{name} names no columns");
        assert!(here.contains(&format!("each_row(\"{name}\"")), "{name} is compared by no test");
        bytes += text.len();
        seen += 1;
    }
    assert_eq!(seen, TABLES.len(), "a listed table is missing");
    assert!(bytes < 600_000, "the tables have grown to {bytes} bytes");
}

/// Factors of units are exact by definition (only the degree of arc is irrational), so nothing but the table's nine digits parts us.
const NINE_DIGITS: Tolerance = within(6e-9, 1e-300);

#[test]
fn every_unit_has_its_defined_size() {
    let mut seen = vec![];
    each_row("unit_factors.csv", |row, tally| {
        let (kind, symbol) = (row.word("kind"), row.word("symbol"));
        let unit = kinds::all().into_iter().filter(|k| k.id == kind).flat_map(|k| k.units).find(|u| u.symbol == symbol);
        let unit = unit.unwrap_or_else(|| panic!("no unit {symbol} of {kind}"));
        tally.near(row, "factor", unit.factor, NINE_DIGITS);
        tally.near(row, "zero", unit.offset, NINE_DIGITS);
        seen.push((kind.to_owned(), symbol.to_owned()));
    });
    for kind in kinds::all() {
        for unit in kind.units {
            assert!(
                seen.iter().any(|(k, s)| k == kind.id && s == unit.symbol),
                "{} of {} has no row in the table",
                unit.symbol,
                kind.id
            );
        }
    }
}
