//! The first answer of a calculator in somebody else's page, shown as soon as its sums are there and before the app is: the same result in the same
//! place, which the page of the calculator then takes over. It cannot be changed yet.

use super::el::*;
use super::pages::{guest, main};
use super::{UNITS_SWITCH, dom, gauge, mount, parts, units_word};
use crate::calculators::{self, Entry};
use crate::session::guest::Query;
use crate::session::{Route, staff::foremost};
use crate::units::Words;
use leptos::prelude::*;

/// The calculator that an address asks to be shown as a guest, and what it says of it.
pub(super) fn guest(route: &Route) -> Option<(&'static Entry, Query)> {
    let Route::Guest(id, query) = route else { return None };
    Some((calculators::by_id(id)?, Query::read(query)))
}

/// Shows the answer, if there is one: what is wrong with an address is the page's to say.
pub(super) fn show(entry: &'static Entry, query: &Query) {
    let system = query.units().unwrap_or_else(dom::first_units);
    let told = Words { system, today: Some(dom::day()) };
    let Ok(work) = query.work(entry, system) else { return };
    let Some(Ok(outcome)) = work.sheet().map(|sheet| sheet.run(told, false)) else { return };
    guest::dress(query);
    mount(Built(Box::new(move || {
        let answer = outcome.answer(entry.answer);
        let level = outcome.report.levels.first().map(|level| foremost(level, system, answer.is_some()));
        let headline = answer.map(|answer| answer.show(system)).unwrap_or_default();
        let verdict = outcome.report.verdict;
        let dock = parts::dock(
            Signal::stored(level),
            move || headline.clone(),
            move || verdict.clone(),
            Signal::stored(None),
            || {},
        );
        let switch = words("button", UNITS_SWITCH, units_word(system)).set("type", "button").set("disabled", "");
        let bar = el("header").class("bar").kid(words("h1", "", entry.title)).kid(switch);
        let result = main("page calculator").set("aria-busy", "true").kid(div("result").kid(dock));
        all![gauge::pattern(), bar, result].into()
    })));
}
