//! One calculator: the result in sight, the inputs, what it rests on.

use super::main;
use crate::app::el::*;
use crate::app::parts::{self, fold, sheet};
use crate::app::{Drawn, Shell, board::Board, desk::Desk, dom, dom::Later, store::Found};
use crate::app::{act, bar, figure, form, keeping, paper, share, shelf, steps_of, tabs, taker, undo_keys};
use crate::calculators::Entry;
use crate::calculators::form::FieldError;
use crate::calculators::outcome::Outcome;
use crate::calculators::ranking::{self, Influence};
use crate::session::{Route, Work, keys::Shelf, staff::foremost};
use crate::units::System;
use leptos::prelude::*;
use std::cell::Cell;
use std::sync::Arc;

/// The last good outcome, and what is wrong now.
#[derive(Clone, Default)]
struct Answer {
    good: Option<Arc<Outcome>>,
    faults: Vec<FieldError>,
}

/// The answer as the page follows it.
#[derive(Clone, Copy)]
struct Result {
    answer: Memo<Same<Answer>>,
    units: RwSignal<System>,
}

impl Result {
    /// Something of the last good outcome, in the present units.
    fn get<T: Default>(self, pick: impl FnOnce(&Outcome, System) -> T) -> T {
        let system = self.units.get();
        self.answer.with(|a| a.0.good.as_ref().map(|o| pick(o, system))).unwrap_or_default()
    }
    /// A part of the page made from it.
    fn part(self, make: fn(&Outcome, System) -> Piece) -> Piece {
        part(move || self.get(|o, s| Some(make(o, s))))
    }
    /// A part with a heading, there only while `any` holds.
    fn sheet(self, title: &'static str, any: fn(&Outcome) -> bool, inside: Piece) -> Piece {
        let sheet = sheet(title, inside);
        sheet.when("hidden", move || !self.get(|o, _| any(o))).into()
    }
}

/// The page of a calculator: its working sheet, or the sheet saved under a name.
pub(in crate::app) fn page(entry: &'static Entry, saved: Option<String>) -> Piece {
    let shell = Shell::get();
    let fresh = || shelf::fresh(shell, entry);
    let (shelf, id) = match &saved {
        Some(id) => (Shelf::Sheet, id.clone()),
        None => (Shelf::Draft, entry.id.to_string()),
    };
    let belongs = |w: &Work| w.sheet().is_some_and(|s| s.entry().id == entry.id);
    let desk = match shell.store.open(shelf, &id) {
        Found::Work(found) if belongs(&found.work) => Desk::new(found.work, Some((shelf, id)), shell.store),
        Found::Left(left) if saved.is_some() => return super::left(shelf, &id, &left),
        Found::Left(left) => {
            let file = act(move || keeping::later_file(shell, shelf, &left.text, entry.id));
            shell.tell(left.why, Some(("Save as a file", file)));
            Desk::new(fresh(), None, shell.store)
        }
        // A draft that is not there yet is a new one; a named sheet that is not there is not.
        _ if saved.is_none() => Desk::new(fresh(), Some((shelf, id)), shell.store),
        _ => return super::lost(),
    };
    show(entry, desk, saved, None)
}

/// A sheet that came in a link, laid on top of the working sheet.
pub(super) fn linked(entry: &'static Entry, mut work: Work) -> Piece {
    let shell = Shell::get();
    let draft = (Shelf::Draft, entry.id.to_string());
    let desk = match shell.store.open(draft.0, &draft.1) {
        Found::Work(found) => Desk::new(found.work, Some(draft), shell.store),
        // A draft of a later version stays as it is.
        Found::Left(_) => Desk::new(shelf::fresh(shell, entry), None, shell.store),
        Found::Nothing => Desk::new(shelf::fresh(shell, entry), Some(draft), shell.store),
    };
    if work.name.is_empty() {
        work.name = format!("{}, from a link", entry.title);
    }
    let adopt = Callback::new(move |()| {
        let id = shell.store.new_id(Shelf::Sheet);
        shell.readdress(Route::Calculator { id: entry.id.into(), saved: Some(id.clone()) });
        (Shelf::Sheet, id)
    });
    desk.lay(work, adopt);
    let own = Route::Calculator { id: entry.id.into(), saved: None };
    show(entry, desk, None, Some(share::banner(desk, Some(own))))
}

fn show(entry: &'static Entry, desk: Desk, saved: Option<String>, over: Option<Piece>) -> Piece {
    let title = move || {
        let name = desk.work.with(|w| w.name.clone());
        if name.is_empty() { entry.title.to_string() } else { name }
    };
    let shelf = all![shelf::shelf(entry, desk, saved), share::share(desk)];
    all![bar(title, Some("#/")), over, tabs::banner(desk), body(entry, desk, Some(shelf.into()))].into()
}

/// The calculator over some work. Without a shelf it is a guest in another page, and shorter.
pub(super) fn body(entry: &'static Entry, desk: Desk, shelf: Option<Piece>) -> El {
    let shell = Shell::get();
    let guest = shelf.is_none();
    undo_keys(desk);

    let working = RwSignal::new(false);
    let answer = Memo::new(move |before: Option<&Same<Answer>>| {
        let words = shell.words();
        let result = desk.work.with(|w| w.sheet().map_or_else(|| Err(vec![]), |s| s.run(words, working.get())));
        Same::new(match result {
            Ok(outcome) => Answer { good: Some(Arc::new(outcome)), faults: vec![] },
            Err(faults) => Answer { good: before.and_then(|b| b.0.good.clone()), faults },
        })
    });
    let r = Result { answer, units: shell.units };
    let faults = Memo::new(move |_| Same::new(answer.with(|a| a.0.faults.clone())));
    let board = desk.board(faults);
    if !guest {
        paper::offer(shell, move || paper::sheet(shell, desk, board));
    }

    // The result in sight.
    let first =
        move |o: &Outcome, s: System| o.report.levels.first().map(|l| foremost(l, s, o.answer(entry.answer).is_some()));
    let level = Signal::derive(move || r.get(first));
    let verdict = move || r.get(|o, _| o.report.verdict.clone());
    let headline = move || r.get(|o, s| o.answer(entry.answer).map(|x| x.show(s)).unwrap_or_default());
    let stale = Signal::derive(move || board.wrong());
    shell.say_when(move || match board.said() {
        Some(wrong) => wrong,
        None => format!("{} {}", level.with(|s| s.as_ref().map(|s| s.words.clone()).unwrap_or_default()), verdict()),
    });
    let take = taker(shell, desk);
    let repairs = part(move || r.get(|o, s| Some(parts::repairs(o.report.repairs.iter(), s, &take))));
    let example = move || example(desk.work.with(|w| w.touched.is_empty()), move || first_field(board));
    let see = div("see")
        .part(move || parts::rest_of(&verdict()))
        .part(example)
        .kid(entry.urgent.then(|| r.part(|o, _| o.report.tables.first().map(parts::table).into())))
        .kid(r.part(|o, _| o.report.pictures.first().map(figure::picture).into()))
        .kid(r.sheet("What would repair it", |o| !o.report.repairs.is_empty(), repairs))
        .kid(r.sheet(
            "Other fill levels",
            |o| o.report.levels.len() > 1,
            r.part(|o, s| parts::levels(o.report.levels.get(1..).unwrap_or_default(), s)),
        ));
    let stale_class = move || Some(if stale.with(Option::is_some) { "result stale" } else { "result" }.into());
    let result = el("div")
        .live("class", stale_class)
        .kid(parts::dock(level, headline, verdict, stale, move || board.go_to_wrong()))
        .kid(see);

    let head = div("head").kid(words("h2", "", "What you have")).kid(steps_of(desk));
    let inputs = div("inputs")
        .kid(el("section").class("sheet").kid(head).kid(form::form(board, "")))
        .kid(measure_first(desk, board));

    // Made once.
    let shelf = Cell::new(shelf);
    let rest = move || {
        let steps = part(move || working.get().then(|| r.get(|o, s| Some(parts::steps(&o.steps, s)))));
        let steps = fold("sheet fold", "Show the working", steps).on("toggle", move |_| working.set(true));
        let site = words("a", "tap", "Put this on your site").set("href", &Route::Site(entry.id.into()).hash());
        let about = all![
            words("p", "", entry.about),
            words("p", "muted", "Results are planning estimates."),
            (!guest).then_some(site)
        ];
        let outputs = r.part(|o, s| parts::outputs(&o.outputs, s));
        let outputs: Piece = if guest {
            sheet("Results", outputs).into()
        } else {
            fold("sheet fold", words("h2", "", "All results"), outputs).into()
        };
        let all = all![
            r.part(|o, _| o.report.pictures.iter().skip(1).map(figure::picture).collect::<Vec<_>>().into()),
            part(move || r.get(|o, _| {
                let shown = usize::from(entry.urgent);
                o.report.tables.iter().skip(shown).map(parts::table).collect::<Vec<_>>()
            })),
            outputs,
        ];
        let all: Piece =
            if guest { fold("sheet fold all", "Pictures, tables and all results", all).into() } else { all.into() };
        div("rest")
            .kid(r.part(|o, _| parts::notes(&o.report.notes)))
            .kid(r.sheet(
                "Take care",
                |o| !o.report.cautions.is_empty(),
                r.part(|o, _| parts::cautions(&o.report.cautions)),
            ))
            .kid(shelf.take())
            .kid(all)
            .kid(steps)
            .kid(sheet("About this calculator", about).class("about"))
    };

    main("page calculator").kid(result).kid(inputs).kid(shell.once(Drawn::Below, rest))
}

/// Goes to the first field.
pub(super) fn first_field(board: Board) {
    let first = board.slots.with_untracked(|s| s.iter().find(|s| s.item.label().is_some()).map(|s| s.path.clone()));
    if let Some(path) = first {
        board.show(&path, false);
    }
}

/// The way to the numbers, and whether nothing here is the person's own yet. Beside the fields only the latter is said.
pub(super) fn example(new: bool, go: impl Fn() + 'static) -> El {
    let own = button("btn small", if new { "Enter yours" } else { "Change the numbers" }, go);
    let said = new.then(|| words("p", "", "Example numbers."));
    div(if new { "example" } else { "example own" }).kid(said).kid(own)
}

/// Most assumptions named.
const MOST: usize = 3;

/// The assumptions that move the answer most.
fn measure_first(desk: Desk, board: Board) -> El {
    let ranked = RwSignal::new(Vec::<Influence>::new());
    let later = Later::here();
    Effect::new(move |_: Option<()>| {
        desk.work.track();
        let rank = move || {
            let found = desk.work.try_with_untracked(|w| w.sheet().map(|s| ranking::rank(s, &|p| w.assumed(p))));
            if let Some(Some(mut found)) = found {
                found.truncate(MOST);
                ranked.set(found);
            }
        };
        later.after(dom::PAUSE, rank);
    });
    let units = Shell::get().units;
    let one = move |i: &Influence| -> Piece {
        let span = i.words(units.get());
        let (path, way) = (i.path.clone(), i.way);
        let word = way.map_or("Set it", |w| w.title());
        let go = button("btn small", word, move || board.show(&path, way.is_some()));
        let what = el("div").kid(words("strong", "", i.label)).kid(words("div", "muted", &span));
        el("li").class("influence").kid(what).kid(go.set("aria-label", &format!("{word}: {}", i.label))).into()
    };
    let hint = "Of all that is assumed, this moves the answer most.";
    let list = part(move || ranked.with(|r| parts::plain(r.iter().map(one).collect())));
    let sheet = sheet("What to measure first", all![words("p", "hint", hint), list]);
    sheet.when("hidden", move || ranked.with(Vec::is_empty))
}
