//! A screen on paper: a report in place of the forms. It is made when the page is about to be printed, by the button or by the browser's own
//! command, and gone afterwards; what stands behind it on the screen is hidden by the style sheet.

use super::el::*;
use super::pages::{answers, around::vessel, system::CHECKED};
use super::parts::{self, Sources, plain};
use super::{Shell, board::Board, desk::Desk, dom, figure, gauge, share};
use crate::calculators::form::FieldError;
use crate::calculators::outcome::{Repair, Value};
use crate::session::inputs::{Group, Line, inputs};
use crate::session::{
    Work, link,
    qr::Symbol,
    saved,
    staff::{brief, staff},
};
use crate::system::report::{self, Report, StationReport};
use crate::system::worst::Checked;
use crate::units::{System, Words};
use leptos::prelude::*;
use std::rc::Rc;

/// Makes the paper of a screen.
type Make = Rc<dyn Fn() -> Piece>;
/// What the screen that is shown is on paper, if anything.
pub(super) type Slot = StoredValue<Option<Make>, LocalStorage>;

/// Says on the root of the page that there is a paper.
const MARK: &str = "data-paper";

/// Has the screen that is being made printed so.
pub(super) fn offer(shell: Shell, make: impl Fn() -> Piece + 'static) {
    shell.paper.set_value(Some(Rc::new(make)));
    on_cleanup(move || shell.paper.set_value(None));
}

/// Makes the paper before it is printed, and takes it away afterwards.
pub(super) fn listen(shell: Shell) {
    // An owner of its own: a listener that held the page's would keep the page alive after it was taken away.
    let outer = Owner::new();
    let here = StoredValue::new_local(None::<(El, Owner)>);
    let up = move || {
        let (Some(make), Some(main)) = (shell.paper.get_value(), dom::by_id("main")) else { return };
        if here.with_value(Option::is_some) {
            return;
        }
        // Made at once: nothing that waits for its turn would be there in time.
        let owner = outer.with(Owner::new);
        let paper = owner.with(|| untrack(|| div("paper").kid(make())));
        paper.first_in(&main);
        here.set_value(Some((paper, owner)));
        mark(true);
    };
    let down = move || {
        if let Some(Some((paper, owner))) = here.try_update_value(Option::take) {
            paper.gone();
            owner.cleanup();
            mark(false);
        }
    };
    let window = window();
    let again = up.clone();
    super::el::listen(&window, "beforeprint", Box::new(move |_| again()));
    super::el::listen(&window, "afterprint", Box::new(move |_| down()));
    // What only looks as if printed (a preview, a test) says no more than this.
    if let Ok(Some(print)) = window.match_media("print") {
        let now = print.clone();
        super::el::listen(&print, "change", Box::new(move |_| if now.matches() { up() } else { down() }));
    }
}

fn mark(on: bool) {
    if let Some(root) = document().document_element() {
        let _ = if on { root.set_attribute(MARK, "") } else { root.remove_attribute(MARK) };
    }
}

fn block(title: &str, inside: impl Into<Piece>) -> El {
    el("section").class("block").kid(words("h2", "", title)).kid(inside)
}

/// A part that is there only if anything is in it.
fn if_any<T>(all: &[T], make: impl FnOnce() -> El) -> Option<El> {
    (!all.is_empty()).then(make)
}

/// The day and the time here.
fn now() -> String {
    let here = js_sys::Date::new(&dom::here_ms().into()).to_iso_string();
    String::from(here).chars().take(16).map(|c| if c == 'T' { ' ' } else { c }).collect()
}

/// Name, kind, day, verdict, and what opens it again.
fn head(work: &Work, kind: &str, verdict: &str, old: Option<String>) -> El {
    let name = match work.called() {
        "" => kind,
        name => name,
    };
    let of = if name == kind { now() } else { format!("{kind} · {}", now()) };
    // Beside the code there is room that costs no line.
    let version = format!(
        "Brimwise {}, document format {}. Planning estimates; local codes and licensed practice come first.",
        env!("CARGO_PKG_VERSION"),
        saved::VERSION
    );
    let (again, symbol) = again(work);
    let said = div("")
        .kid(words("h1", "", name))
        .kid(words("p", "muted", &of))
        .kid(words("p", "muted", &version))
        .kid(words("p", "verdict", verdict))
        .kid(old.map(|why| words("p", "wrong", &format!("{why} Until then this shows the last good values."))))
        .kid(again);
    el("header").class("paper-head").kid(said).kid(symbol.map(|s| share::square(&s)))
}

/// What opens it again: the link as text, and the square.
fn again(work: &Work) -> (Piece, Option<Symbol>) {
    let address = dom::address();
    let made = match link::link(work, &address) {
        Ok(made) => made,
        Err(why) => return (words("p", "muted", why).into(), None),
    };
    let bare = address.is_empty();
    let about = match (made.symbol.is_some(), bare) {
        (true, false) => "The QR code and this link open it again, all filled in:",
        (true, true) => "Both hold all that is filled in; paste this code under Systems:",
        (false, false) => "Too much for a QR code. This link opens it again; or keep the file with this paper:",
        (false, true) => {
            "Too much for a QR code. This code, pasted under Systems, opens it again; or keep the file with this paper:"
        }
    };
    let text = if bare { words("span", "", &made.text) } else { words("a", "", &made.text).set("href", &made.text) };
    (all![words("p", "muted", about), el("p").class("code").kid(text)].into(), made.symbol)
}

/// Why there is no result.
fn refused(faults: &[FieldError]) -> Piece {
    let all = faults.iter().map(|f| words("p", "wrong", &f.to_string()).into());
    all.collect::<Vec<Piece>>().into()
}

/// Every input, those that are assumed with a mark; the details of a group in one run, to save paper. Of a system, which has many, so is all.
fn filled(work: &Work, system: System) -> El {
    let whole = work.system().is_some();
    let run = |l: &&Line| whole || l.detail;
    let value = |l: &Line| format!("{}{}", l.words, if l.assumed { " *" } else { "" });
    let line = |l: &Line| -> Piece { el("div").kid(words("dt", "", l.label)).kid(words("dd", "", &value(l))).into() };
    let said = |p: El, (n, l): (usize, &Line)| {
        let label =
            format!("{}{}{} ", if n > 0 { "; " } else { "" }, l.label, if l.label.ends_with('?') { "" } else { ":" });
        p.text(&label).kid(words("strong", "", &value(l)))
    };
    let group = |g: &Group| -> Piece {
        let title = (!g.title.is_empty()).then(|| words("h3", "", &g.title));
        let lines: Vec<Piece> = g.lines.iter().filter(|l| !run(l)).map(line).collect();
        let list = if_any(&lines, || el("dl").kids(lines.clone()));
        let rest: Vec<&Line> = g.lines.iter().filter(run).collect();
        let rest = if_any(&rest, || rest.iter().copied().enumerate().fold(el("p"), said));
        div(if whole { "of run" } else { "of" }).kid(title).kid(list).kid(rest).into()
    };
    let all = inputs(work, system);
    let assumed = all.iter().flat_map(|g| &g.lines).any(|l| l.assumed);
    let note = assumed.then(|| words("p", "muted", "* assumed: not measured or chosen yet"));
    block("Inputs", all![note, div("columns three").kids(all.iter().map(group).collect())])
}

/// Most repairs that are printed: the smallest ones stand first.
const FIRST: usize = 3;

fn repairs<'a>(all: impl Iterator<Item = &'a Repair>) -> El {
    let one = |r: &Repair| -> Piece {
        let also = r.also.as_ref().map(|also| words("span", "also", &format!(" ▲ {also}")));
        el("li").kid(parts::named(r)).text(" ").text(&r.effect).kid(also).into()
    };
    block("What would repair it", plain(all.take(FIRST).map(one).collect()))
}

/// A level in a table: its name, its staff, its number, its word, its figures, and more.
fn level(l: &crate::calculators::outcome::Level, system: System, more: &[&str]) -> Piece {
    let s = brief(l, system);
    let (state, large, figures) = (gauge::state(s.state), s.large.clone(), s.figures.clone());
    let row = el("tr")
        .kid(words("th", "", &l.name).set("scope", "row"))
        .kid(el("td").class("uses").kid(gauge::still(s)).kid(words("strong", "", &large)))
        .kid(el("td").kid(state))
        .kid(words("td", "", &figures));
    row.kids(more.iter().map(|m| words("td", "", m).into()).collect()).into()
}

fn levels(title: &str, heads: &[&str], rows: Vec<Piece>) -> El {
    let heads = ["Fill level", "Uses", "State", "Asked of what can be had"].iter().chain(heads);
    let heads = heads.map(|h| words("th", "", h).set("scope", "col").into()).collect();
    let table = el("table")
        .class("levels")
        .set("aria-label", title)
        .kid(el("thead").kid(el("tr").kids(heads)))
        .kid(el("tbody").kids(rows));
    block(title, table)
}

/// A calculator on paper.
pub(super) fn sheet(shell: Shell, desk: Desk, board: Board) -> Piece {
    let w = shell.words();
    desk.work.with(|work| {
        let Some(sheet) = work.sheet() else { return nothing() };
        let kind = sheet.entry().title;
        let o = match sheet.run(w, true) {
            Ok(o) => o,
            Err(faults) => {
                let head = head(work, kind, "It cannot be computed as it stands.", None);
                return all![head, refused(&faults), filled(work, w.system)].into();
            }
        };
        let r = &o.report;
        let mut sources = Sources::default();
        let pictures = || div("pictures").kids(r.pictures.iter().map(figure::picture).collect());
        let rows = r.levels.iter().map(|l| level(l, w.system, &[])).collect();
        let outputs = o.outputs.iter().filter(|o| o.value != Value::Missing);
        let table = |t: &crate::calculators::outcome::Table| -> Piece { block(&t.title, parts::bare(t)).into() };
        let steps = parts::worked(&o.steps, w.system, &mut |s| sources.mark(s)).class("steps columns");
        all![
            head(work, kind, &r.verdict, board.wrong().map(|w| w.why)),
            if_any(&r.pictures, pictures),
            if_any(&r.levels, || levels("Fill levels", &[], rows)),
            if_any(&r.repairs, || repairs(r.repairs.iter())),
            block("Results", div("columns three").kid(parts::pairs("Results", outputs, w.system))),
            if_any(&r.notes, || div("block notes").kid(parts::notes(&r.notes))),
            filled(work, w.system),
            div("tables").kids(r.tables.iter().map(table).collect()),
            if_any(&r.cautions, || block("Take care", parts::warned(&r.cautions, &mut sources).class("plain columns"))),
            block("The working", steps),
            sources.list().map(|all| block("Sources", all.class("columns"))),
        ]
        .into()
    })
}

/// A station of the way of the water.
fn station(r: &Report, n: usize, s: &StationReport) -> Piece {
    let worst = s.fullest.and_then(|k| r.levels.get(k)).map(|l| gauge::state(l.level.state()));
    let onward = r.onward(s).map(|(_, said)| words("p", "onward", &format!("→ {said}")).into());
    let said = div("")
        .kid(el("h3").text(&format!("{} {} ", n + 1, s.name)).kid(worst))
        .kid(words("p", "", &s.line))
        .kid(s.water.as_ref().map(|w| words("p", "", &w.words)))
        .kids(onward.collect());
    el("li").kid(s.water.as_ref().map(|w| vessel(w.stands))).kid(said).into()
}

fn on_its_day(l: &Checked, system: System) -> Piece {
    level(&l.level, system, &[l.day.word(), &staff(&l.today, system).large])
}

/// A system's check on paper.
pub(super) fn system(shell: Shell, desk: Desk, board: Board) -> Piece {
    let w: Words = shell.words();
    desk.work.with(|work| {
        let Some(d) = work.system() else { return nothing() };
        let kind = "Check of a system";
        let r = match report::report(d, w) {
            Ok(r) => r,
            Err(faults) => {
                let head = head(work, kind, "It cannot be checked as it stands.", None);
                return all![head, refused(&faults), filled(work, w.system)].into();
            }
        };
        let stations = r.stations.iter().enumerate().map(|(n, s)| station(&r, n, s)).collect();
        let rows = r.levels.iter().map(|l| on_its_day(l, w.system)).collect();
        let chain = || {
            let one = |l: &report::Link| -> Piece {
                el("li").kid(words("strong", "", &l.head)).text(" ").text(&l.text).into()
            };
            let causes = r.chain.iter().filter(|l| l.repair.is_none());
            block("What leads to what", el("ol").kids(causes.map(one).collect()))
        };
        all![
            head(work, kind, &r.verdict, board.wrong().map(|w| w.why)),
            block("The water loop", el("ol").class("plain stations").kids(stations)),
            levels("Fullest first", &["Worst", "Today"], rows),
            words("p", "muted", CHECKED),
            if_any(&r.chain, chain),
            if_any(&r.repairs, || repairs(r.repairs.iter().map(|t| &t.repair))),
            if_any(&r.cautions, || block(
                "Take care",
                parts::plain(r.cautions.iter().map(|c| words("li", "", &c.text).into()).collect())
                    .class("plain columns three")
            )),
            div("tables")
                .kid(answers::carry(work, w).map(|all| block("What this system can carry", all)))
                .kid(answers::days(work, w).map(|all| block("Worst days", all))),
            filled(work, w.system),
        ]
        .into()
    })
}
