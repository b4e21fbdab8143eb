//! One system: what goes over first and what that leads to, the water's way round, every fill level.

use super::calculator::example;
use super::{answers, around, beside, main};
use crate::app::el::*;
use crate::app::parts::{self, Take, fold, sheet};
use crate::app::{
    Shell,
    board::{Board, Wrong, is_noted},
    desk::Desk,
    dom,
    dom::Later,
    store::Found,
};
use crate::app::{bar, form, gauge, keeping, paper, share, shelf, steps_of, tabs, taker, undo_keys};
use crate::calculators::form::FieldError;
use crate::calculators::outcome::State;
use crate::session::staff::{Staff, brief, staff};
use crate::session::{Paper, Route, Work, keys::Shelf, label};
use crate::system::check::Day;
use crate::system::demo as demos;
use crate::system::report::{self, Checked, Report};
use crate::units::System;
use leptos::prelude::*;
use std::sync::Arc;

/// The last good check, and what is wrong now.
#[derive(Clone, Default)]
struct Answer {
    good: Option<Arc<Report>>,
    faults: Vec<FieldError>,
    /// In which units, and after how many pauses, its repairs were found.
    found: (System, u32),
}

/// The check as the page follows it.
#[derive(Clone, Copy)]
pub(super) struct Check {
    answer: Memo<Same<Answer>>,
    units: RwSignal<System>,
}

impl Check {
    /// Something of the last good check, in the present units.
    pub(super) fn get<T: Default>(self, pick: impl FnOnce(&Report, System) -> T) -> T {
        let system = self.units.get();
        self.answer.with(|a| a.0.good.as_ref().map(|r| pick(r, system))).unwrap_or_default()
    }
}

/// A saved system.
pub(in crate::app) fn saved(id: String) -> Piece {
    let shell = Shell::get();
    match shell.store.open(Shelf::System, &id) {
        Found::Work(found) if found.work.system().is_some() => {
            page(Desk::new(found.work, Some((Shelf::System, id)), shell.store), None)
        }
        Found::Left(left) => super::left(Shelf::System, &id, &left),
        _ => super::lost(),
    }
}

/// A demo. It becomes the person's own at the first change.
pub(in crate::app) fn demo(id: &str) -> Piece {
    let shell = Shell::get();
    let Some(demo) = demos::by_id(id) else { return super::lost() };
    // What the demo says is said on purpose; nothing of it is an assumption.
    let mut work = Work::new(Paper::system(demo.document()));
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
    // The levels follow every key; repairs wait for a pause, because looking for them is most of the work.
    let pauses = RwSignal::new(0u32);
    let later = Later::here();
    Effect::new(move |_: Option<()>| {
        desk.work.track();
        later.stop();
        if desk.typed() {
            let found = move || {
                dom::hold_still();
                pauses.update(|n| *n += 1);
            };
            later.after(dom::PAUSE, found);
        }
    });
    let answer = Memo::new(move |before: Option<&Same<Answer>>| {
        let now = (shell.units.get(), pauses.get());
        let words = shell.words();
        let good = before.and_then(|b| b.0.good.clone());
        let so_far = good.as_deref().filter(|_| desk.typed() && before.is_some_and(|b| b.0.found == now));
        let report = desk.work.with(|w| {
            let d = w.system().ok_or_else(Vec::new)?;
            so_far.map_or_else(|| report::report(d, words), |before| report::report_so_far(d, words, before))
        });
        Same::new(match report {
            Ok(report) => Answer { good: Some(Arc::new(report)), faults: vec![], found: now },
            Err(faults) => Answer { good, faults, found: now },
        })
    });
    let c = Check { answer, units: shell.units };
    let faults = Memo::new(move |_| Same::new(answer.with(|a| a.0.faults.clone())));
    let board = desk.board(faults);
    paper::offer(shell, move || paper::system(shell, desk, board));
    let take = taker(shell, desk);

    let fullest = Signal::derive(move || c.get(|r, s| r.foremost().map(|l| named(brief(&l.level, s), &l.level.name))));
    let verdict = move || c.get(|r, _| r.verdict.clone());
    // A field of a station that is folded away is named with its station, and the way there unfolds it.
    let station = move |path: &str| desk.work.with(|w| w.system().map(|d| answers::home(d, path)));
    // The check does not read what is noted beside it.
    let counts = |w: &Wrong| !w.path.as_deref().is_some_and(is_noted);
    let stale = Signal::derive(move || {
        let wrong = board.wrong().filter(counts)?;
        let of = wrong.path.as_deref().and_then(&station);
        let name =
            desk.work.with(|w| Some(w.system()?.stations().iter().find(|s| Some(s.path()) == of)?.name.to_string()));
        let why = name.map_or(wrong.why.clone(), |name| format!("{name}: {}", wrong.why));
        Some(Wrong { why, ..wrong })
    });
    let go = move || {
        if let Some(path) = untrack(|| board.wrong()).and_then(|w| w.path) {
            answers::show(board, &untrack(|| station(&path)).unwrap_or_default(), &path, false);
        }
    };
    shell.say_when(move || match board.said() {
        Some(wrong) => wrong,
        None => format!("{} {}", verdict(), fullest.with(|s| s.as_ref().map(|s| s.words.clone()).unwrap_or_default())),
    });

    let stale_class = move || Some(if stale.with(Option::is_some) { "top stale" } else { "top" }.into());
    let chained = take.clone();
    let top = el("div")
        .live("class", stale_class)
        .part(move || parts::rest_of(&verdict()))
        .part(move || desk.work.with(|w| w.touched.is_empty()).then(|| example(true, move || first_tank(desk, board))))
        .part(move || c.get(|r, _| Some(chain(r, &chained))))
        .part(move || desk.work.with(|w| w.system().is_some_and(|d| !d.ammonia.is_empty())).then(|| daily(board)));
    let around = div("around")
        .kid(div("head").kid(words("h2", "", "The water loop")).kid(steps_of(desk)))
        .kid(around::loop_of(desk, board, c))
        .kid(around::grow(desk));
    let rest = div("whole").kid(around::whole(board)).kid(keep(desk, board, linked)).kid(share::share(desk));

    let repairs = part(move || c.get(|r, s| Some(parts::repairs(r.repairs.iter().map(|t| &t.repair), s, &take))));
    let more = RwSignal::new(false);
    let levels = part(move || c.get(|r, s| Some(fullest_first(&r.levels, s, more))));
    let cautions = part(move || c.get(|r, _| Some(parts::cautions(&r.cautions))));
    let checks = div("checks")
        .kid(sheet("What would repair it", repairs).when("hidden", move || !c.get(|r, _| !r.repairs.is_empty())))
        .kid(sheet("Fullest first", levels))
        .kid(answers::answers(desk, board))
        .kid(
            fold("sheet fold", words("h2", "", "Take care"), cautions)
                .when("hidden", move || !c.get(|r, _| !r.cautions.is_empty())),
        )
        .kid(beside::beside(desk, board))
        .kid(words("p", "muted small-print", CHECKED));

    let title = move || {
        let name = desk.work.with(|w| w.called().to_string());
        if name.is_empty() { "A system without a name".to_string() } else { name }
    };
    let dock = parts::dock(fullest, String::new, verdict, stale, go);
    all![
        bar(title, Some("#/systems")),
        over,
        tabs::banner(desk),
        main("page system").kid(dock).kid(top).kid(around).kid(checks).kid(rest)
    ]
    .into()
}

/// The way to what is typed every day, which stands far down.
fn daily(board: Board) -> El {
    let go = |path: &'static str| move || answers::show(board, "", path, false);
    div("buttons daily").kid(button("btn small", "Type a water test", go("ammonia.0.ph")))
}

/// Goes to the first tank.
fn first_tank(desk: Desk, board: Board) {
    if desk.work.with_untracked(|w| w.system().is_some_and(|d| !d.tanks.is_empty())) {
        answers::show(board, "tanks.0", "tanks.0.oxygen.volume", false);
    }
}

/// On which days a system is checked.
pub(in crate::app) const CHECKED: &str = "Checked for today, for the hottest and the coldest water, for the harvest in the hottest water, with an outlet blocked where there are several, and with screens and stones aged; the worst counts. Results are planning estimates.";

/// A staff that says of which level it is.
pub(super) fn named(mut s: Staff, name: &str) -> Staff {
    s.figures = format!("{name}: {}", s.figures);
    s
}

/// Levels that are shown at once, even if they are enough.
const FIRST: usize = 6;

/// Every level: what is over or tight and the fullest in sight, the rest folded.
pub(super) fn fullest_first(all: &[Checked], system: System, open: RwSignal<bool>) -> Piece {
    let near = all.iter().filter(|l| l.level.state() != State::Enough).count().max(FIRST).min(all.len());
    let of = |part: &[Checked]| part.iter().map(|l| checked(l, system)).collect::<Vec<Piece>>();
    let rest = (near < all.len()).then(|| {
        let more = fold("fold more", format!("{} more, all enough", all.len() - near), of(&all[near..]));
        let more = if open.get_untracked() { more.set("open", "") } else { more };
        more.on("toggle", move |ev| open.set(dom::is_open(&ev)))
    });
    all![of(&all[..near]), rest].into()
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
pub(super) fn chain(r: &Report, take: &Take) -> Piece {
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
            // What is tight after it, its text names.
            (Some(_), State::Tight) => " (then tight)",
            _ => "",
        };
        let said = el("div")
            .kid(words("strong", "", &link.head))
            .text(word)
            .kid(words("p", "", &link.text))
            .kid(repair.map(|t| parts::also(&t.repair, take)))
            .kid(repair.map(|t| parts::use_it("btn go", "Use it", &t.repair, take)));
        let mark = words("span", "link-mark", &mark).set("aria-hidden", "true");
        links = links.kid(el("li").class(&format!("link {}", gauge::tone(link.state))).kid(mark).kid(said));
    }
    el("section").class("chain-box").kid(words("h2", "unseen", "What leads to what")).kid(links).into()
}

/// Its name, and where it is kept.
fn keep(desk: Desk, board: Board, linked: bool) -> El {
    let shell = Shell::get();
    let save = move || {
        if desk.keep() {
            let name = desk.work.with_untracked(|w| w.called().to_string());
            let name = if name.is_empty() { "without a name yet".into() } else { name };
            shell.tell(format!("Saved: {name}."), None);
        } else {
            shell.tell(shelf::NO_ROOM, None);
        }
    };
    let copy = move || {
        let mut work = desk.work.get_untracked();
        let name = label::apart(Shelf::System, work.called(), &shell.store.called(Shelf::System));
        work.call(&name);
        let id = shell.store.new_id(Shelf::System);
        if shell.store.save(Shelf::System, &id, &work) {
            keeping::ask(shell.store);
            shell.go(&Route::System(id));
        } else {
            shell.tell(shelf::NO_ROOM, None);
        }
    };
    let file = move || desk.work.with_untracked(|w| shelf::export(shell, w, "system"));
    let state = el("span").class("muted");
    let nowhere = if linked { "Not kept yet." } else { "A demo: your first change makes it your own." };
    let state = state.say(move || shelf::kept(shell, desk, nowhere));
    let buttons = div("buttons")
        .kid(button("btn go", "Save", save))
        .kid(button("btn", "Save a copy", copy))
        .kid(button("btn", "Save as a file", file))
        .kid(shelf::out(shell, desk, "system"));
    let head = div("head").kid(words("h2", "", "Name and keep")).kid(state);
    el("section").class("sheet").kid(head).kid(form::form(board, "name")).kid(buttons)
}
