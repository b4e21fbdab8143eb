//! A system planned from a goal: what is wanted, what came of it, and a button that makes it one's own.

use super::{main, system::named, systems, titled};
use crate::app::el::*;
use crate::app::parts::{self, plain, sheet};
use crate::app::{Shell, act, desk::Desk, store::Found};
use crate::app::{bar, form, keeping, steps_of, tabs, taker, undo_keys};
use crate::session::staff::staff;
use crate::session::{Paper, Work, keys::Shelf, label::PLAN as PLACE};
use crate::system::plan::{self, Near, Planned, Refused};
use crate::units::Words;
use leptos::prelude::*;

type Answer = Result<Planned, Refused>;

/// The screen.
pub(in crate::app) fn page() -> Piece {
    let shell = Shell::get();
    let fresh = || Work::born(Paper::goal(Default::default()), shell.units.get_untracked());
    let place = || Some((Shelf::Draft, PLACE.to_string()));
    let desk = match shell.store.open(Shelf::Draft, PLACE) {
        Found::Work(found) if found.work.goal().is_some() => Desk::new(found.work, place(), shell.store),
        Found::Left(left) => {
            let file = act(move || keeping::later_file(shell, Shelf::Draft, &left.text, PLACE));
            shell.tell(left.why, Some(("Save as a file", file)));
            Desk::new(fresh(), None, shell.store)
        }
        _ => Desk::new(fresh(), place(), shell.store),
    };
    undo_keys(desk);
    let answer: Memo<Option<Same<Answer>>> = Memo::new(move |_| {
        let words = shell.words();
        desk.work.with(|w| w.goal().map(|g| Same::new(plan::plan(g, words))))
    });
    let faults = Memo::new(move |_| Same::new(vec![]));
    let board = desk.board(faults);
    let planned = move |make: &dyn Fn(&Planned, Words) -> Piece| {
        let words = shell.words();
        answer.with(|a| match a.as_ref().map(|a| &*a.0) {
            Some(Ok(p)) => make(p, words),
            _ => nothing(),
        })
    };

    let level = Signal::derive(move || {
        let system = shell.units.get();
        answer.with(|a| match a.as_ref().map(|a| &*a.0) {
            Some(Ok(p)) => p.levels.first().map(|l| named(staff(&l.level, system), &l.level.name)),
            _ => None,
        })
    });
    let verdict = move || {
        let words = shell.words();
        answer.with(|a| match a.as_ref().map(|a| &*a.0) {
            Some(Ok(p)) => p.verdict(words),
            Some(Err(r)) => r.why.clone(),
            None => String::new(),
        })
    };
    let stale = Signal::derive(move || board.wrong());
    shell.say_when(move || board.said().unwrap_or_else(verdict));

    let make = move || {
        let planned = answer.with_untracked(|a| match a.as_ref().map(|a| &*a.0) {
            Some(Ok(p)) => Some(p.document.clone()),
            _ => None,
        });
        if let Some(document) = planned {
            let mut work = Work::new(Paper::system(document));
            // The water and the place were said; everything else was planned, and is for the person to confirm.
            for field in ["hottest", "coldest", "altitude"] {
                work.touched.insert(format!("water.{field}"));
            }
            systems::put(shell, work);
        }
    };
    let take = taker(shell, desk);
    let one = move |near: &Near| -> Piece {
        let (edits, title, put) = (near.edits.clone(), near.title.clone(), take.put.clone());
        let use_it = button("btn", "Use", move || put(&edits, &title));
        let use_it = use_it.set("aria-label", &format!("Use: {}", near.title));
        el("li").class("repair").kid(words("strong", "", &near.title)).kid(use_it).into()
    };
    let near = part(move || {
        answer.with(|a| match a.as_ref().map(|a| &*a.0) {
            Some(Err(r)) if !r.near.is_empty() => {
                Some(sheet("What can be planned", plain(r.near.iter().map(&one).collect())))
            }
            _ => None,
        })
    });
    let done = part(move || {
        planned(&|p, w| {
            let row = |(name, size): &(&str, String)| -> Piece {
                el("tr").kid(words("th", "", name).set("scope", "row")).kid(parts::value(size)).into()
            };
            let rows = el("tbody").kids(p.sizes(w).iter().map(row).collect());
            let table = el("table").class("pairs").set("aria-label", "The plan").kid(rows);
            let go = div("buttons").kid(button("btn go", "Make this system", make));
            sheet("The plan", all![table, go]).into()
        })
    });
    let notes = part(move || planned(&|p, _| parts::notes(&p.notes)));

    let new = move || desk.work.with(|w| w.touched.is_empty());
    let see = div("see")
        .part(move || parts::rest_of(&verdict()))
        .part(move || super::calculator::example(new(), move || super::calculator::first_field(board)))
        .kid(near)
        .kid(done);
    let stale_class = move || Some(if stale.with(Option::is_some) { "result stale" } else { "result" }.into());
    let headline = move || if level.with(Option::is_none) { "Not possible".to_string() } else { String::new() };
    let result = el("div")
        .live("class", stale_class)
        .kid(parts::dock(level, headline, verdict, stale, move || board.go_to_wrong()))
        .kid(see);
    let head = div("head").kid(words("h2", "", "What you want")).kid(steps_of(desk));
    let inputs = div("inputs").kid(el("section").class("sheet").kid(head).kid(form::form(board, "")));
    let about = "Sizes start small and grow until the whole check passes. It is a first system to change, not a finished design: local codes and licensed \
        practice come first, and ask the authority which fish you may keep.";
    let rest = div("rest").kid(notes).kid(sheet("About this plan", words("p", "", about)).class("about"));
    let title = titled("Plan a system");
    all![bar(title, Some("#/systems")), tabs::banner(desk), main("page calculator").kid(result).kid(inputs).kid(rest)]
        .into()
}
