//! What a person asks of a whole system, below the list of its levels: what it can carry, its worst days, what to measure first, how long
//! until the fish outgrow it. Each is worked out when it is opened, and again when the typing pauses.

use crate::app::el::*;
use crate::app::parts::{self, fold};
use crate::app::{Shell, board::Board, desk::Desk, dom, dom::Later, gauge};
use crate::session::{Work, staff::staff};
use crate::system::{flow, growing, limits, measure, worst};
use crate::units::Words;
use leptos::prelude::*;
use std::time::Duration;

/// How long a fold that was opened takes to be filled.
const FILLED: Duration = Duration::from_millis(80);
/// Most numbers to measure that are named.
const MOST: usize = 3;

/// What makes an answer; nothing where a field is not understood.
type Make = fn(&Work, Words, Board) -> Option<Piece>;

/// All of them.
pub(super) fn answers(desk: Desk, board: Board) -> Piece {
    let all: [(&str, Make); 4] = [
        ("What this system can carry", |work, w, _| carry(work, w)),
        ("Worst days", |work, w, _| days(work, w)),
        ("Measure these first", measure),
        ("As the fish grow", grow),
    ];
    all.map(|(title, make)| answer(desk, board, title, make).into()).into_iter().collect::<Vec<Piece>>().into()
}

fn answer(desk: Desk, board: Board, title: &str, make: Make) -> El {
    let shell = Shell::get();
    let open = RwSignal::new(false);
    let turn = RwSignal::new(0u32);
    let later = Later::here();
    Effect::new(move |_: Option<()>| {
        desk.work.track();
        later.stop();
        if !open.get() {
            return;
        }
        let again = move || turn.update(|n| *n += 1);
        if turn.get_untracked() == 0 {
            again();
        } else {
            later.after(dom::PAUSE, again);
        }
    });
    let inside = part(move || {
        let words = shell.words();
        if turn.get() == 0 {
            return nothing();
        }
        let made = desk.work.with_untracked(|w| make(w, words, board));
        made.unwrap_or_else(|| words_of("Once every field can be read."))
    });
    fold("sheet fold", words("h2", "", title), inside).on("toggle", move |ev| open.set(dom::is_open(&ev)))
}

fn words_of(text: &str) -> Piece {
    words("p", "hint", text).into()
}

fn row(inside: El) -> Piece {
    el("li").class("influence").kid(inside).into()
}

fn rows(all: &[String]) -> El {
    parts::plain(all.iter().map(|s| row(words("div", "", s))).collect())
}

pub(in crate::app) fn carry(work: &Work, w: Words) -> Option<Piece> {
    let d = work.system()?;
    let one = |l: &limits::Limit| -> Piece {
        let line = l.line(d, w);
        let mark = line.past.then(|| words("span", "state over", "▲ you are past it"));
        let head = el("div").text(line.what).text(" ").kid(words("strong", "", &line.value)).text(" ").kid(mark);
        row(el("div").kid(head).kid(words("div", "muted", &line.text)))
    };
    let hint = "Up to the brim of the first check, all else unchanged.";
    let list = parts::plain(limits::limits(d).ok()?.iter().map(one).collect());
    Some(all![words("p", "hint", hint), list].into())
}

pub(in crate::app) fn days(work: &Work, w: Words) -> Option<Piece> {
    let d = work.system()?;
    let worst = worst::worst(d).ok()?;
    let one = |s: &worst::DayStands| -> Piece {
        let level = staff(&s.fullest, w.system);
        let over = match s.over {
            0 | 1 => String::new(),
            n => format!("; {n} are over"),
        };
        let head = el("div").kid(words("strong", "", s.day.title())).text(" ").kid(gauge::state(level.state));
        let text = format!("{}: {}{over}", s.fullest.name, level.large);
        row(el("div").kid(head).kid(words("div", "muted", &text)))
    };
    let list = parts::plain(worst.days.iter().map(one).collect());
    let head = words("h3", "group", "One outlet blocked");
    let off = words("h3", "group", "Power off");
    Some(all![list, head, rows(&worst.sentences(d, w)), off, rows(&worst.outages(d, w))].into())
}

fn measure(work: &Work, w: Words, board: Board) -> Option<Piece> {
    let d = work.system()?;
    let mut found = measure::rank(d, &|p| work.assumed(p)).ok()?;
    found.truncate(MOST);
    let one = |m: &measure::Matter| -> Piece {
        let (path, way, station) = (m.path.clone(), m.way.is_some(), home(d, &m.path));
        let word = m.way.map_or("Set it", |w| w.title());
        let go = button("btn small", word, move || show(board, &station, &path, way));
        let text = el("div").kid(words("strong", "", &m.what())).kid(words("div", "muted", &m.words(w)));
        el("li").class("influence").kid(text).kid(go.set("aria-label", &format!("{word}: {}", m.what()))).into()
    };
    let hint = match found.first() {
        None => "No likely error moves any level near its brim.",
        Some(m) if m.decides.is_some() => "A little off in these decides between enough, tight and over.",
        Some(_) => "None of these decides the verdict; they move it most.",
    };
    Some(all![words("p", "hint", hint), parts::plain(found.iter().map(one).collect())].into())
}

fn grow(work: &Work, w: Words, _: Board) -> Option<Piece> {
    let d = work.system()?;
    let all = growing::growing(d).ok()?.sentences(d, w);
    let hint = "At the soonest, as if the hottest and the coldest week fell on each date. Weigh a sample now and then.";
    Some(all![words("p", "hint", hint), rows(&all)].into())
}

/// The path of the station whose fold holds a field.
pub(super) fn home(d: &crate::system::Document, path: &str) -> String {
    let all = d.stations();
    match flow::edge_of(path).and_then(|k| d.edges.get(k)) {
        Some(e) => all.iter().find(|s| s.id == e.from).map(|s| s.path()).unwrap_or_default(),
        None => all.iter().map(|s| s.path()).find(|s| path.starts_with(&format!("{s}."))).unwrap_or_default(),
    }
}

/// Opens the station of a field, and shows the field when it is there.
pub(super) fn show(board: Board, station: &str, path: &str, way: bool) {
    dom::open(&super::around::fold_id(station));
    let path = path.to_string();
    set_timeout(move || board.show(&path, way), FILLED);
}
