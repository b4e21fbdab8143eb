//! A calculator, or the check of a system, as a guest in somebody else's page: no bar, nothing kept, and a way into the app.

use super::calculator;
use super::main;
use super::system::{CHECKED, chain, fullest_first, named};
use crate::app::el::*;
use crate::app::parts::{self, Take, fold, sheet};
use crate::app::{
    Shell,
    desk::Desk,
    dom,
    doors::{Doors, Sheets},
    share, shelf, units_switch,
};
use crate::calculators::{self, Entry, form::FieldError};
use crate::session::guest::{ACCENT, CODE, DEMO, LOOK, Query, accent};
use crate::session::{Paper, Route, Work, code, link, saved::clean_name, staff::brief};
use crate::system::{
    demo,
    report::{self, Report},
};
use crate::units::System;
use leptos::{prelude::*, wasm_bindgen::JsCast, web_sys::HtmlElement};
use std::rc::Rc;

/// The name of the view that shows a system.
pub(in crate::app) const SYSTEM: &str = "system";

/// The view that an address names.
pub(in crate::app) fn page(id: &str, query: &str, sheets: Option<&Sheets>, doors: Option<&Doors>) -> Piece {
    let query = Query::read(query);
    if let Some(units) = query.units() {
        Shell::get().units.set(units);
    }
    dress(&query);
    if let (SYSTEM, Some(doors)) = (id, doors) {
        return (doors.guest)(&query);
    }
    match (calculators::by_id(id), sheets) {
        (Some(entry), Some(sheets)) => (sheets.guest)(entry, &query),
        _ => trouble(&format!("There is no calculator “{id}”.")),
    }
}

/// The view of a calculator.
pub(in crate::app) fn calculator_page(entry: &'static Entry, query: &Query) -> Piece {
    let (work, faults) = match query.work(entry, Shell::get().units.get_untracked()) {
        Ok(work) => (work, None),
        Err(faults) => {
            let head = "The page around this one sets values that cannot be used; the usual ones are used.";
            let banner = el("section").class("banner").set("aria-label", "Not used");
            let banner = banner.kid(words("p", "", head)).kid(wrong(&faults));
            (shelf::fresh(Shell::get(), entry), Some(banner))
        }
    };
    let desk = Desk::new(work, None, Shell::get().store);
    all![head(entry.title), faults, calculator::body(entry, desk, None), foot(desk)].into()
}

/// The view of a system.
pub(in crate::app) fn system_page(query: &Query) -> Piece {
    match system(query) {
        Ok(work) => of_system(work),
        Err(why) => trouble(&why),
    }
}

/// The whole page in the look that is asked for.
pub(in crate::app) fn dress(query: &Query) {
    let Some(root) = document().document_element().and_then(|e| e.dyn_into::<HtmlElement>().ok()) else { return };
    let mut class = String::from("guest");
    let look = query.get(LOOK).unwrap_or_default().trim().to_ascii_lowercase();
    if let "light" | "dark" = look.as_str() {
        class = format!("{class} {look}");
    }
    if let Some([light, dark]) = query.get(ACCENT).and_then(accent) {
        // Not an inline style, which a strict policy refuses, but the same through its own door.
        let style = root.style();
        let _ = style.set_property("--accent-light", &light);
        let _ = style.set_property("--accent-dark", &dark);
        class += " accented";
    }
    root.set_class_name(&class);
}

/// Its name, and the switch of units.
fn head(title: &str) -> El {
    document().set_title(&format!("{title} · Brimwise"));
    el("header").class("bar").kid(words("h1", "", title)).kid(units_switch(Shell::get()))
}

/// Where the work is kept, and the way into the app with it.
fn foot(desk: Desk) -> El {
    let shell = Shell::get();
    let address = dom::address();
    // What cannot be put into a link is still a way to the calculator.
    let link = move || {
        let full = desk.work.with(|w| link::link(w, &address).map(|l| l.text));
        Some(full.unwrap_or_else(|_| format!("{address}{}", Route::Home.hash())))
    };
    let open =
        words("a", "btn go", "Open in the full app").set("target", "_blank").set("rel", "noopener").live("href", link);
    let file = button("btn", "Save as a file", move || desk.work.with_untracked(|w| shelf::export(shell, w, "work")));
    let said = "Nothing is kept in this frame: what you enter is gone when the page closes. The full app keeps it on your device; so does a file.";
    el("footer")
        .class("guest-foot sheet")
        .kid(words("p", "hint", said))
        .kid(div("buttons").kid(open).kid(file))
        .kid(share::share(desk))
        .kid(words(
            "p",
            "muted small-print",
            "Brimwise. Planning estimates; local codes and licensed practice come first.",
        ))
}

/// What is wrong, in sentences.
fn wrong(faults: &[FieldError]) -> Piece {
    faults.iter().map(|f| words("p", "wrong", &f.to_string()).into()).collect::<Vec<Piece>>().into()
}

/// Why nothing can be shown.
fn trouble(why: &str) -> Piece {
    all![head("Nothing to show"), main("page").kid(words("p", "verdict", why))].into()
}

/// The system that an address names.
fn system(query: &Query) -> Result<Work, String> {
    if let Some(id) = query.get(DEMO) {
        let there = || demo::ALL.iter().map(|d| d.id).collect::<Vec<_>>().join(", ");
        let demo =
            demo::by_id(id).ok_or_else(|| format!("There is no demo “{}”. There are: {}.", clean_name(id), there()))?;
        return Ok(Work::new(Paper::system(demo.document())));
    }
    let code = query.get(CODE).ok_or("The address names no system.")?;
    let work = code::decode(code).map_err(|e| e.to_string())?;
    if work.system().is_some() { Ok(work) } else { Err("The code is of one calculator, not of a system.".into()) }
}

/// The check of a system, to look at. It changes only with the units.
fn of_system(work: Work) -> Piece {
    let shell = Shell::get();
    let name = match work.called() {
        "" => "A system without a name",
        name => name,
    };
    let head = head(name);
    let foot = foot(Desk::new(work.clone(), None, shell.store));
    let check = part(move || {
        let system = shell.units.get();
        match work.system().map_or_else(|| Err(vec![]), |d| report::report(d, shell.words())) {
            Ok(report) => checks(report, system),
            Err(faults) => wrong(&faults),
        }
    });
    all![head, main("page system").kid(check), foot].into()
}

fn checks(mut report: Report, system: System) -> Piece {
    // There is nothing here that a repair could change.
    report.repairs.iter_mut().for_each(|r| r.repair.edits.clear());
    let idle = Take { put: Rc::new(|_, _| ()), read: Rc::new(|_| false) };
    let fullest = report.foremost().map(|l| named(brief(&l.level, system), &l.level.name));
    let verdict = report.verdict.clone();
    let fullest = Signal::derive(move || fullest.clone());
    let dock = parts::dock(fullest, String::new, move || verdict.clone(), Signal::derive(|| None), || {});
    let top = div("top").kid(parts::rest_of(&report.verdict)).kid(chain(&report, &idle));
    let repairs = parts::repairs(report.repairs.iter().map(|t| &t.repair), system, &idle);
    let repairs = fold("sheet fold", words("h2", "", "What would repair it"), repairs);
    let levels = fullest_first(&report.levels, system, RwSignal::new(false));
    let checks = div("checks")
        .kid(sheet("Fullest first", levels))
        .kid((!report.repairs.is_empty()).then_some(repairs))
        .kid(fold("sheet fold", words("h2", "", "Take care"), parts::cautions(&report.cautions)))
        .kid(words("p", "muted small-print", CHECKED));
    all![dock, top, checks].into()
}
