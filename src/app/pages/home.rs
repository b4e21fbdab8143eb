//! The first screen: calculators by the question each answers, and systems.

use super::{main, systems, titled};
use crate::app::el::*;
use crate::app::{NAME, Shell, bar, keeping, offline, parts::sheet};
use crate::calculators;
use crate::session::Route;

/// The first screen.
pub(in crate::app) fn page() -> Piece {
    let shell = Shell::get();
    let one = |e: &calculators::Entry| -> Piece {
        let to = Route::Calculator { id: e.id.into(), saved: None }.hash();
        systems::ask("ask", &to, e.question, e.title).into()
    };
    let calculators = el("ul").class("plain asks").kids(calculators::ALL.iter().map(one).collect());
    let all = words("a", "tap", "All systems").set("href", &Route::Systems.hash());
    let systems = el("section")
        .kid(div("head").kid(words("h2", "", "Systems")).kid(all))
        .kid(el("ul").class("plain asks").kids(systems::demos()))
        .kid(div("buttons").kid(systems::new_one(shell)).kid(systems::planner()));
    let small = "Results are planning estimates. Local codes and licensed practice come first.";
    let site = words("a", "tap", "Put a calculator on your own site").set("href", &Route::Site(String::new()).hash());
    let main = main("page home")
        .kid(words("p", "verdict lead", "Know what spills, starves or smothers before you cut pipe or move fish."))
        .kid(el("p").kid(words("a", "tap", "Plan or check a whole system").set("href", &Route::Systems.hash())))
        .kid(keeping::reminder())
        // Whoever has a system comes for it.
        .kid(el("ul").class("plain asks own").kid(systems::mine(shell, false)))
        .kid(sheet("Calculators", calculators).class(""))
        .kid(systems)
        .kid(words("p", "muted small-print", small))
        .kid(el("p").kid(site))
        .kid(offline::line());
    all![bar(titled(NAME), None), main].into()
}
