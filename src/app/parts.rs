//! The parts of an outcome on the page: verdict, repairs, numbers, tables, cautions, the working. None of them knows what it is about.

use super::board::Wrong;
use super::el::*;
use super::gauge::{self, Posture, Shown, gauge, lying};
use crate::calculators::form::Edit;
use crate::calculators::outcome::{Caution, Level, Output, Repair, Step, Table, Value};
use crate::catalog::sources::{Basis, Source};
use crate::session::staff::{Staff, in_sight, staff};
use crate::units::{System, show};
use leptos::prelude::*;
use std::rc::Rc;

/// A sheet of the page with its heading.
pub(super) fn sheet(title: &str, inside: impl Into<Piece>) -> El {
    el("section").class("sheet").kid(words("h2", "", title)).kid(inside)
}

/// A folded part.
pub(super) fn fold(class: &str, summary: impl Into<Piece>, inside: impl Into<Piece>) -> El {
    el("details").class(class).kid(el("summary").kid(summary)).kid(inside)
}

/// A list without bullets.
pub(super) fn plain(items: Vec<Piece>) -> El {
    el("ul").class("plain").kids(items)
}

/// Most characters of a verdict that stay in sight.
const IN_SIGHT: usize = 130;

/// What of a verdict does not stay in sight.
pub(super) fn rest_of(verdict: &str) -> Option<El> {
    let rest = in_sight(verdict, IN_SIGHT).1;
    (!rest.is_empty()).then(|| words("p", "verdict after", rest))
}

/// The result that stays in sight: the staff, the word, the number, the verdict. `stale` holds what is wrong where this is only the last
/// good result; `headline` is what stands large where there is no level.
pub(super) fn dock(
    level: Shown,
    headline: impl Fn() -> String + 'static,
    verdict: impl Fn() -> String + 'static,
    stale: Signal<Option<Wrong>>,
    go: impl Fn() + Clone + 'static,
) -> El {
    let standing = only(move || level.with(Option::is_some), move || gauge(level, Posture::Standing));
    let word = part(move || level.with(|s| s.as_ref().map(|s| gauge::state(s.state))));
    let headline = Rc::new(headline);
    let answered = headline.clone();
    let large = move || match headline() {
        none if none.is_empty() => level.with(|s| s.as_ref().map(|s| s.large.clone()).unwrap_or_default()),
        answer => answer,
    };
    let figures = move || {
        let answered = !answered().is_empty();
        let say = |s: &Staff| if answered { s.beside() } else { s.figures.clone() };
        level.with(|s| s.as_ref().map(say).unwrap_or_default())
    };
    let class = move || {
        let tone = level.with(|s| s.as_ref().map_or("", |s| gauge::tone(s.state)));
        Some(format!("dock {tone}{}", if stale.with(Option::is_some) { " stale" } else { "" }))
    };
    let top = el("p")
        .class("dock-top")
        .kid(word)
        .text(" ")
        .kid(el("strong").class("big").say(large))
        .text(" ")
        .kid(el("span").class("muted figures").say(figures));
    let sentence = el("p").class("verdict").set("id", "verdict").set("tabindex", "-1");
    let sentence = sentence.say(move || in_sight(&verdict(), IN_SIGHT).0.to_string());
    let old = part(move || {
        stale.get().map(|w| {
            let go = w.path.is_some().then(|| button("there", "Go there", go.clone()));
            words("p", "wrong", &format!("Last good result. {} ", w.why)).kid(go)
        })
    });
    let words = div("dock-words").kid(top).kid(sentence).kid(old);
    let inside = div("dock-in").kid(standing).kid(words);
    el("section").live("class", class).set("aria-label", "Result").kid(inside)
}

/// Takes changes over, with their title.
type Put = dyn Fn(&[Edit], &str);

/// What becomes of the changes of a repair.
#[derive(Clone)]
pub(super) struct Take {
    /// Takes them over, with the title of the repair.
    pub put: Rc<Put>,
    /// Is it what only a reading or the calendar can say, at this path?
    pub read: Rc<dyn Fn(&str) -> bool>,
}

/// The button of a repair. What only a reading or the calendar can say is not written because of a button.
pub(super) fn use_it(class: &str, word: &str, r: &Repair, take: &Take) -> Option<El> {
    let (title, put) = (r.title.clone(), take.put.clone());
    let edits: Vec<Edit> = r.edits.iter().filter(|e| !(take.read)(&e.path)).cloned().collect();
    let name = format!("{word}: {title}");
    (!edits.is_empty()).then(|| button(class, word, move || put(&edits, &title)).set("aria-label", &name))
}

/// What is to be done where that is so.
fn then_read(r: &Repair, take: &Take) -> Option<El> {
    let read = r.edits.iter().filter(|e| (take.read)(&e.path)).count();
    let first = if read == r.edits.len() { "Do it, then" } else { "Then" };
    let said = || words("p", "muted", &format!("{first} note what you read: what you noted last counts until then."));
    (read > 0).then(said)
}

/// What goes with a repair.
pub(super) fn also(r: &Repair, take: &Take) -> Piece {
    let mark = || words("span", "", "▲ ").set("aria-hidden", "true");
    let also = r.also.as_ref().map(|also| div("also").kid(mark()).text(also));
    all![also, then_read(r, take)].into()
}

/// Most repairs shown at once.
const FIRST: usize = 3;

/// A repair by its name, and in a word how the fullest of all levels stands then: that of its own alone would say more than it does.
pub(super) fn named(r: &Repair) -> El {
    el("span").kid(words("strong", "", &r.title)).text(" · then ").kid(gauge::state(r.then))
}

/// What would repair it.
pub(super) fn repairs<'a>(all: impl Iterator<Item = &'a Repair>, system: System, take: &Take) -> Piece {
    let one = |r: &Repair| -> Piece {
        let words = el("div")
            .kid(named(r))
            .kid(words("div", "muted", &r.effect))
            .kid(div("level-row").kid(gauge::still(staff(&r.level, system))))
            .kid(also(r, take));
        el("li").class("repair").kid(words).kid(use_it("btn", "Use", r, take)).into()
    };
    let mut all: Vec<Piece> = all.map(one).collect();
    let rest = all.split_off(all.len().min(FIRST));
    let more = format!("{} more", rest.len());
    let more = (!rest.is_empty()).then(|| fold("fold", more, plain(rest)));
    all![plain(all), more].into()
}

/// Further levels, lying.
pub(super) fn levels(all: &[Level], system: System) -> Piece {
    all.iter().map(|l| lying(staff(l, system), &l.name)).collect::<Vec<_>>().into()
}

/// Most results shown at once.
const FIRST_RESULTS: usize = 8;

/// A number with its unit has fewer characters than this, and stands in one line.
const SHORT_VALUE: usize = 20;

/// The cell beside a name.
pub(super) fn value(text: &str) -> El {
    let number = text.starts_with(|c: char| c.is_ascii_digit() || c == '−') && text.chars().count() < SHORT_VALUE;
    words("td", if number { "num" } else { "" }, text)
}

/// Names and numbers, one pair a row. `called` is the table's name for who does not see it.
pub(super) fn pairs<'a>(called: &str, all: impl Iterator<Item = &'a Output>, system: System) -> El {
    let row = |o: &Output| -> Piece {
        let name = words("th", "", o.label).set("scope", "row");
        el("tr").kid(name).kid(value(&o.show(system))).into()
    };
    el("table").class("pairs").set("aria-label", called).kid(el("tbody").kids(all.map(row).collect()))
}

/// The named results; those that do not exist here are left out.
pub(super) fn outputs(all: &[Output], system: System) -> Piece {
    let mut first: Vec<&Output> = all.iter().filter(|o| o.value != Value::Missing).collect();
    let rest = first.split_off(first.len().min(FIRST_RESULTS));
    let more = format!("{} more", rest.len());
    let more = (!rest.is_empty()).then(|| fold("fold", more, pairs("More results", rest.into_iter(), system)));
    all![pairs("Results", first.into_iter(), system), more].into()
}

/// A cell with more characters than this holds words rather than a number.
const LONG_CELL: usize = 22;
/// A table with more rows than this is folded away.
const LONG_TABLE: usize = 7;
/// A narrow page has room for so many characters beside each other.
const NARROW_PAGE: usize = 38;
/// The names of rows may wrap to so many there.
const NARROW_NAME: usize = 12;

/// A column of a wide page has room for so many in smaller letters, where cells wrap between words.
const COLUMN: usize = 45;
/// So many are left to a column of words.
const COLUMN_OF_WORDS: usize = 15;

/// The characters of the longest of some texts.
fn longest<'a>(texts: impl Iterator<Item = &'a str>) -> usize {
    texts.map(|text| text.chars().count()).max().unwrap_or(0)
}

/// Does a table with these heads, whose columns are so wide, fit a narrow page as it is, so that its rows can be compared? If not, it is laid out
/// row by row there. Space between two columns counts as a character.
fn is_narrow(heads: &[String], widths: &[usize]) -> bool {
    let column = |(i, (head, &cell)): (usize, (&String, &usize))| {
        if i == 0 { cell.min(NARROW_NAME) } else { 1 + cell.max(longest(head.split(' '))) }
    };
    heads.iter().zip(widths).enumerate().map(column).sum::<usize>() <= NARROW_PAGE
}

/// The name of a row, whose sizes (`63 mm`, `1 1/2 in`) do not fall apart at the end of a line.
fn tied(name: &str) -> String {
    let mut last = ' ';
    let tie = |(at, c): (usize, char)| {
        let goes_on = |next: &str| {
            next.starts_with(|c: char| c.is_ascii_digit()) || next.starts_with("mm") || next.starts_with("in")
        };
        let tied = last.is_ascii_digit() && name[at..].strip_prefix(' ').is_some_and(goes_on);
        last = c;
        if tied { '\u{a0}' } else { c }
    };
    name.char_indices().map(tie).collect()
}

/// A table without its heading.
pub(super) fn bare(t: &Table) -> El {
    // A column of words stands under its head at the left, one of numbers at the right.
    let cells = |i: usize| t.rows.iter().filter_map(move |r| Some(r.get(i)?.as_str()));
    let widths: Vec<usize> = (0..t.head.len()).map(|i| longest(cells(i))).collect();
    let long = |i: usize| i > 0 && widths.get(i).is_some_and(|width| *width > LONG_CELL);
    let head = t.head.iter().enumerate().map(|(i, h)| -> Piece {
        // One without words is no head.
        let (tag, role) = if h.is_empty() { ("td", "cell") } else { ("th", "columnheader") };
        let cell = words(tag, if long(i) { "long" } else { "" }, h).set("role", role);
        if h.is_empty() { cell } else { cell.set("scope", "col") }.into()
    });
    let row = |row: &Vec<String>| -> Piece {
        let cells = row.iter().enumerate().map(|(i, c)| -> Piece {
            if i == 0 {
                return words("th", "", &tied(c)).set("role", "rowheader").set("scope", "row").into();
            }
            let cell = words("td", if long(i) { "long" } else { "" }, c).set("role", "cell");
            cell.set("data-head", t.head.get(i).map_or("", |h| h)).into()
        });
        el("tr").set("role", "row").kids(cells.collect()).into()
    };
    // The longest word of every column, and the space between two.
    let mut least = 0;
    for (i, head) in t.head.iter().enumerate() {
        let mut word = longest(head.split(' ')).max(if long(i) { COLUMN_OF_WORDS } else { 0 });
        for cell in cells(i) {
            word = word.max(longest(cell.split(' ')));
        }
        least += word + usize::from(i > 0);
    }
    let class = if least > COLUMN { "wide crowded" } else { "wide" };
    let group = |tag: &str, rows: Vec<Piece>| el(tag).set("role", "rowgroup").kids(rows);
    let head = el("tr").set("role", "row").kids(head.collect());
    let table = el("table")
        .class(if is_narrow(&t.head, &widths) { "" } else { "many" })
        .set("role", "table")
        .kid(group("thead", all![head]))
        .kid(group("tbody", t.rows.iter().map(row).collect()));
    div(class).set("role", "region").set("tabindex", "0").set("aria-label", &t.title).kid(table)
}

/// A table.
pub(super) fn table(t: &Table) -> Piece {
    let inside = bare(t);
    if t.rows.len() > LONG_TABLE {
        fold("sheet fold", words("h2", "", &t.title), inside).into()
    } else {
        sheet(&t.title, inside).into()
    }
}

/// A source with how well founded it is.
fn cited(source: &Source) -> El {
    let class = match source.basis {
        Basis::Published => "basis published",
        Basis::CommonPractice => "basis practice",
        Basis::FromMemory => "basis memory",
        Basis::Judgement => "basis judgement",
    };
    el("p").class("cite").kid(words("span", class, source.basis.word())).text(" ").text(source.citation)
}

/// Sources that are named by their numbers.
#[derive(Default)]
pub(super) struct Sources(Vec<&'static Source>);

impl Sources {
    /// The number of a source.
    pub(super) fn mark(&mut self, s: &'static Source) -> Piece {
        let at = self.0.iter().position(|known| *known == s).unwrap_or_else(|| {
            self.0.push(s);
            self.0.len() - 1
        });
        words("span", "muted", &format!(" [{}]", at + 1)).into()
    }
    /// All of them; nothing where none was named.
    pub(super) fn list(&self) -> Option<El> {
        let cites = self.0.iter().map(|s| el("li").kid(cited(s)).into());
        (!self.0.is_empty()).then(|| el("ol").kids(cites.collect()))
    }
}

/// Cautions with the numbers of their sources.
pub(super) fn warned(all: &[Caution], sources: &mut Sources) -> El {
    let one = |c: &Caution| -> Piece {
        let number = c.source.map(|s| sources.mark(s));
        el("li").class("caution").kid(words("p", "", &c.text).kid(number)).into()
    };
    plain(all.iter().map(one).collect())
}

/// Cautions, and where they come from.
pub(super) fn cautions(all: &[Caution]) -> Piece {
    let mut sources = Sources::default();
    let items = warned(all, &mut sources);
    let cites = sources.list().map(|list| fold("fold cites", "Where these come from", list));
    all![items, cites].into()
}

/// Plain sentences.
pub(super) fn notes(all: &[String]) -> Piece {
    all.iter().map(|n| words("p", "note", n).into()).collect::<Vec<Piece>>().into()
}

/// The working, step by step, each with its source in full.
pub(super) fn steps(all: &[Step], system: System) -> El {
    worked(all, system, &mut |s| cited(s).into())
}

/// The working, step by step, and after each what `cite` makes of its source.
pub(super) fn worked(all: &[Step], system: System, cite: &mut dyn FnMut(&'static Source) -> Piece) -> El {
    let step = |s: &Step| -> Piece {
        let symbol = |s: &str| words("span", "sym", s);
        let with = s
            .with
            .iter()
            .map(|t| -> Piece { el("li").kid(symbol(t.symbol)).text(" = ").text(&show(t.kind, t.si, system)).into() });
        let result = words("strong", "", &show(s.result.kind, s.result.si, system));
        el("li")
            .class("step")
            .kid(words("h3", "", s.name))
            .kid(words("p", "eq", s.equation))
            .kid(el("ul").class("with").kids(with.collect()))
            .kid(el("p").kid(symbol(s.result.symbol)).text(" = ").kid(result))
            .kid(cite(s.source))
            .into()
    };
    el("ol").class("steps").kids(all.iter().map(step).collect())
}
