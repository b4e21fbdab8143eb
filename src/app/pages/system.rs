//! One system: what goes over first and what that leads to, the water's way round, every fill level.

use super::{answers, beside, main};
use crate::app::el::*;
use crate::app::parts::{self, Take, fold, sheet};
use crate::app::{Shell, act, board::Board, desk::Desk, store::Found};
use crate::app::{bar, form, gauge, share, shelf, steps_of, taker, undo_keys};
use crate::calculators::form::{Edit, FieldError};
use crate::calculators::outcome::State;
use crate::session::staff::{Staff, staff};
use crate::session::{Paper, Route, Work, keys::Shelf, saved::clean_name, stations};
use crate::system::check::Day;
use crate::system::flow::StationKind;
use crate::system::report::{self, Checked, Report, StationReport};
use crate::system::{Document, demo as demos};
use crate::units::{System, Words};
use leptos::prelude::*;
use std::sync::Arc;

/// The last good check, and what is wrong now.
#[derive(Clone, Default)]
struct Answer {
    good: Option<Arc<Report>>,
    faults: Vec<FieldError>,
}

/// The check as the page follows it.
#[derive(Clone, Copy)]
struct Check {
    answer: Memo<Same<Answer>>,
    units: RwSignal<System>,
}

impl Check {
    /// Something of the last good check, in the present units.
    fn get<T: Default>(self, pick: impl FnOnce(&Report, System) -> T) -> T {
        let system = self.units.get();
        self.answer.with(|a| a.0.good.as_ref().map(|r| pick(r, system))).unwrap_or_default()
    }
}

/// A saved system.
pub(in crate::app) fn saved(id: String) -> Piece {
    let shell = Shell::get();
    match shell.store.load(Shelf::System, &id) {
        Found::Work(found) if found.work.system().is_some() => {
            page(Desk::new(found.work, Some((Shelf::System, id)), shell.store), None)
        }
        Found::Left(why) => {
            shell.tell(why, None);
            super::lost()
        }
        _ => super::lost(),
    }
}

/// A demo. It becomes the person's own at the first change.
pub(in crate::app) fn demo(id: &str) -> Piece {
    let shell = Shell::get();
    let Some(demo) = demos::by_id(id) else { return super::lost() };
    // What the demo says is said on purpose; nothing of it is an assumption.
    let mut work = Work::new(Paper::System(Box::new(demo.document())));
    for (path, _) in work.values() {
        work.touched.insert(path);
    }
    page(borrowed(shell, work), None)
}

/// A system that came in a link.
pub(super) fn linked(work: Work) -> Piece {
    let desk = borrowed(Shell::get(), work);
    page(desk, Some(share::banner(desk, None)))
}

/// A desk with a system that becomes the person's own at the first change.
fn borrowed(shell: Shell, work: Work) -> Desk {
    let adopt = Callback::new(move |()| {
        let id = shell.store.new_id(Shelf::System);
        shell.readdress(Route::System(id.clone()));
        (Shelf::System, id)
    });
    Desk::borrowed(work, adopt, shell.store)
}

fn page(desk: Desk, over: Option<Piece>) -> Piece {
    let linked = over.is_some();
    let shell = Shell::get();
    undo_keys(desk);
    let answer = Memo::new(move |before: Option<&Same<Answer>>| {
        let words = Words { system: shell.units.get() };
        let report = desk.work.with(|w| w.system().map_or_else(|| Err(vec![]), |d| report::report(d, words)));
        Same::new(match report {
            Ok(report) => Answer { good: Some(Arc::new(report)), faults: vec![] },
            Err(faults) => Answer { good: before.and_then(|b| b.0.good.clone()), faults },
        })
    });
    let c = Check { answer, units: shell.units };
    let faults = Memo::new(move |_| Same::new(answer.with(|a| a.0.faults.clone())));
    let edit = Callback::new(move |e: Edit| {
        let what = e.path.clone();
        desk.edit(&[e], &what);
    });
    let board = Board::new(desk.work, edit, faults, "f", true);
    let take = taker(shell, desk, board);

    let fullest =
        Signal::derive(move || c.get(|r, s| r.levels.first().map(|l| named(staff(&l.level, s), &l.level.name))));
    let verdict = move || c.get(|r, _| r.verdict.clone());
    let stale = Signal::derive(move || board.wrong());
    shell.say_when(move || match stale.get() {
        Some(wrong) => wrong,
        None => format!("{} {}", verdict(), fullest.with(|s| s.as_ref().map(|s| s.words.clone()).unwrap_or_default())),
    });

    let stale_class = move || Some(if stale.with(Option::is_some) { "top stale" } else { "top" }.into());
    let chained = take.clone();
    let top = el("div")
        .live("class", stale_class)
        .part(move || parts::rest_of(&verdict()))
        .part(move || c.get(|r, _| Some(chain(r, &chained))));
    let around = div("around")
        .kid(div("head").kid(words("h2", "", "The water's way round")).kid(steps_of(desk)))
        .kid(loop_of(desk, board, c))
        .kid(grow(desk))
        .kid(el("section").class("sheet").kid(form::form(board, "water")))
        .kid(keep(desk, board, linked))
        .kid(share::share(desk));

    let repairs = part(move || c.get(|r, s| Some(parts::repairs(r.repairs.iter().map(|t| &t.repair), s, &take))));
    let levels = part(move || c.get(|r, s| r.levels.iter().map(|l| checked(l, s)).collect::<Vec<Piece>>()));
    let cautions = part(move || c.get(|r, _| Some(parts::cautions(&r.cautions))));
    let small = "Checked for today, for the hottest and the coldest water, for the harvest in the hottest water, with an outlet blocked where there are several, and with screens and stones aged; the worst counts. Results are planning estimates.";
    let checks = div("checks")
        .kid(sheet("What would repair it", repairs).when("hidden", move || !c.get(|r, _| !r.repairs.is_empty())))
        .kid(sheet("Fullest first", levels))
        .kid(answers::answers(desk, board))
        .kid(
            fold("sheet fold prints", words("h2", "", "Take care"), cautions)
                .when("hidden", move || !c.get(|r, _| !r.cautions.is_empty())),
        )
        .kid(beside::beside(desk, board))
        .kid(words("p", "muted small-print", small));

    let title = move || {
        let name = desk.work.with(|w| w.called().to_string());
        if name.is_empty() { "A system without a name".to_string() } else { name }
    };
    let dock = parts::dock(fullest, String::new, verdict, stale);
    all![bar(title, Some("#/systems")), over, main("page system").kid(dock).kid(top).kid(around).kid(checks)].into()
}

/// A staff that says of which level it is.
fn named(mut s: Staff, name: &str) -> Staff {
    s.figures = format!("{name}: {}", s.figures);
    s
}

/// A level on its worst day, and today's beside it.
fn checked(l: &Checked, system: System) -> Piece {
    let day = (l.day != Day::Today).then(|| {
        let today = staff(&l.today, system);
        words("p", "muted figures", &format!("{}; today {}", l.day.word(), today.large))
    });
    div("checked").kid(gauge::lying(staff(&l.level, system), &l.level.name)).kid(day).into()
}

/// What leads to what.
fn chain(r: &Report, take: &Take) -> Piece {
    if r.chain.is_empty() {
        return nothing();
    }
    let mut links = el("ol").class("plain chain");
    for (i, link) in r.chain.iter().enumerate() {
        let repair = link.repair.and_then(|k| r.repairs.get(k));
        let mark = if repair.is_some() { "✓".to_string() } else { (i + 1).to_string() };
        let word = match (repair, link.state) {
            (None, State::Enough) => " (enough)",
            (None, State::Tight) => " (tight)",
            _ => "",
        };
        let said = el("div")
            .kid(words("strong", "", &link.head))
            .text(word)
            .kid(words("p", "", &link.text))
            .kid(repair.and_then(|t| parts::use_it("btn go", "Use it", &t.repair, take)));
        let mark = words("span", "link-mark", &mark).set("aria-hidden", "true");
        links = links.kid(el("li").class(&format!("link {}", gauge::tone(link.state))).kid(mark).kid(said));
    }
    el("section").class("chain-box").kid(words("h2", "unseen", "What leads to what")).kid(links).into()
}

/// The stations in the order the water meets them. A key is a station's identifier and its path.
fn loop_of(desk: Desk, board: Board, c: Check) -> El {
    let keys = move || c.get(|r, _| r.stations.iter().map(|s| format!("{} {}", s.id, s.path)).collect());
    let make = move |key: &str| {
        let (id, path) = key.rsplit_once(' ').unwrap_or((key, ""));
        station(desk, board, c, id, path)
    };
    el("ol").class("plain loop").kid(each(keys, make))
}

/// The identifier of the summary of a station's fold.
pub(super) fn fold_id(path: &str) -> String {
    format!("fold-{}", path.replace('.', "-"))
}

fn station(desk: Desk, board: Board, c: Check, id: &str, path: &str) -> El {
    let key = StoredValue::new(id.to_string());
    let own = move |r: &Report| key.with_value(|k| r.stations.iter().position(|s| s.id == *k));
    let with = move |get: fn(&StationReport) -> String| {
        move || c.get(|r, _| own(r).and_then(|i| r.stations.get(i)).map(get).unwrap_or_default())
    };
    let level = Signal::derive(move || {
        c.get(|r, s| {
            let k = own(r).and_then(|i| r.stations.get(i)).and_then(|s| s.fullest)?;
            r.levels.get(k).map(|l| staff(&l.level, s))
        })
    });
    let class = move || Some(format!("station {}", level.with(|l| l.as_ref().map_or("", |l| gauge::tone(l.state)))));
    let large = move || level.with(|l| l.as_ref().map(|l| l.large.clone()).unwrap_or_default());
    let row = only(
        move || level.with(Option::is_some),
        move || {
            let bar = gauge::gauge(level, gauge::Posture::Lying);
            el("span").class("level-row").kid(bar).kid(el("span").class("level-large").say(large))
        },
    );
    let summary = all![
        el("span").class("station-name").say(with(|s| s.name.clone())),
        part(move || level.with(|l| l.as_ref().map(|l| gauge::state(l.state)))),
        el("span").class("muted station-line").say(with(|s| s.line.clone())),
        row,
    ];
    let onward = part(move || {
        c.get(|r, _| {
            let ways = own(r).and_then(|i| r.stations.get(i)).map(|s| s.onward.as_slice()).unwrap_or_default();
            ways.iter().map(|(to, q)| words("li", "", &format!("↓ {q} to {to}")).into()).collect::<Vec<Piece>>()
        })
    });
    let open = RwSignal::new(false);
    let under = format!("{path}.");
    let inside = only(move || open.get(), move || key.with_value(|id| inside(desk, board, id, &under)));
    let name = fold_id(path);
    let fold = el("details")
        .class("sheet fold")
        .kid(el("summary").set("id", &name).kid(summary))
        .kid(inside)
        .on("toggle", move |_| open.set(true));
    el("li").live("class", class).kid(fold).kid(el("ul").class("plain onward").kid(onward))
}

/// The fields of one station; for a pump, its branches too.
fn inside(desk: Desk, board: Board, id: &str, under: &str) -> Piece {
    let shell = Shell::get();
    let id = StoredValue::new(id.to_string());
    // A key is the place of the edge, and the name of what it leads to.
    let keys = move || desk.work.with(|w| w.system().map(|d| id.with_value(|id| branches(d, id))).unwrap_or_default());
    let make = move |key: &str| {
        let (k, to) = key.split_once(' ').unwrap_or((key, ""));
        let heading = words("h3", "group", &format!("The branch to {to}"));
        div("branch").kid(heading).kid(form::form(board, &format!("edges.{k}.")))
    };
    let may_go = move || desk.work.with(|w| w.system().is_some_and(|d| id.with_value(|id| stations::may_go(d, id))));
    let remove = move || {
        let after = desk.work.with_untracked(|w| id.with_value(|id| stations::remove(w, id)));
        if let Some(after) = after {
            desk.replace(after);
            let said = "Taken out; the water runs past where it stood.";
            shell.tell(said, Some(("Undo", act(move || desk.undo()))));
        }
    };
    let out = button("btn small", "Take this station out", remove).when("hidden", move || !may_go());
    all![form::form(board, under), each(keys, make), out].into()
}

/// The branches of a pump: the place of each edge, and the name of what it leads to.
fn branches(d: &Document, id: &str) -> Vec<String> {
    let all = d.stations();
    if !all.iter().any(|s| s.id == id && s.kind == StationKind::Pump) {
        return vec![];
    }
    let name = |to: &str| all.iter().find(|s| s.id == to).map_or_else(String::new, |s| s.name.to_string());
    let out = d.edges.iter().enumerate().filter(|(_, e)| e.from == id);
    out.map(|(k, e)| format!("{k} {}", name(&e.to))).collect()
}

/// Stations that can be added.
fn grow(desk: Desk) -> El {
    let shell = Shell::get();
    let one = move |word: &'static str, kind: StationKind| {
        button("btn small", word, move || match desk.work.with_untracked(|w| stations::add(w, kind)) {
            Some(after) => {
                desk.replace(after);
                let said = format!("{word}: done. Open it and put in your own numbers.");
                shell.tell(said, Some(("Undo", act(move || desk.undo()))));
            }
            None => shell.tell("There is no room for another one.", None),
        })
    };
    div("buttons grow")
        .kid(one("Add a fish tank", StationKind::Tank))
        .kid(one("Add a settler", StationKind::Settler))
        .kid(one("Add a grow bed", StationKind::Bed))
}

/// Its name, and where it is kept.
fn keep(desk: Desk, board: Board, linked: bool) -> El {
    let shell = Shell::get();
    let save = move || {
        if desk.keep() {
            let name = desk.work.with_untracked(|w| w.called().to_string());
            shell.tell(format!("Saved: {name}."), None);
        }
    };
    let copy = move || {
        let mut work = desk.work.get_untracked();
        if let Paper::System(d) = &mut work.paper {
            d.name = clean_name(&format!("{}, a copy", d.name)).chars().take(60).collect();
        }
        let id = shell.store.new_id(Shelf::System);
        if shell.store.save(Shelf::System, &id, &work) {
            shell.go(&Route::System(id));
        }
    };
    let file = move || desk.work.with_untracked(|w| shelf::export(shell, w, "system"));
    let state = el("span").class("muted");
    let nowhere = if linked { "Not kept yet." } else { "A demo: your first change makes it your own." };
    let state = state.say(move || shelf::kept(shell, desk, nowhere));
    let buttons = div("buttons")
        .kid(button("btn go", "Save", save))
        .kid(button("btn", "Save a copy", copy))
        .kid(button("btn", "Save as a file", file));
    let head = div("head").kid(words("h2", "", "Name and keep")).kid(state);
    el("section").class("sheet").kid(head).kid(form::form(board, "name")).kid(buttons)
}
