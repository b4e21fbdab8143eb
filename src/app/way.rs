//! A way to get a number in place: a small form of its own beside the field, and a button that puts its result in.

use super::board::{Board, Unread};
use super::el::*;
use super::{Shell, dom, form};
use crate::calculators::form::{Edit, EditValue, FieldError, Spec, Way};
use crate::session::{Paper, Work};
use crate::units::show;
use leptos::prelude::*;

/// The folded panel at a field. Its inside is made when it is first opened.
pub(super) fn panel(board: Board, path: String, spec: Spec, way: Way, field: &str) -> El {
    let open = RwSignal::new(false);
    let field = field.to_string();
    let summary = words("summary", "", way.title()).set("id", &format!("{field}-way"));
    let inside = only(move || open.get(), move || inside(board, path.clone(), spec, way, field.clone()));
    el("details").class("way").on("toggle", move |_| open.set(true)).kid(summary).kid(inside)
}

fn inside(board: Board, path: String, spec: Spec, way: Way, field: String) -> El {
    let units = Shell::get().units;
    let work = RwSignal::new(Work::born(Paper::Way(way.form()), units.get_untracked()));
    let edit = Callback::new(move |e: Edit| {
        work.update(|w| {
            w.apply(&e);
        });
    });
    let answer = move || {
        work.with(|w| match &w.paper {
            Paper::Way(form) => form.value(),
            _ => Err(vec![]),
        })
    };
    let faults = Memo::new(move |_| Same::new(answer().err().unwrap_or_default()));
    let own = Board::new(work, edit, faults, RwSignal::new(Unread::new()), &format!("{field}-by"), false);
    // Ready to be used: understood, and inside the field's own range.
    let ready = move || -> Result<f64, String> {
        let system = units.get();
        let first = |f: Vec<FieldError>| f.first().map(ToString::to_string).unwrap_or_default();
        if own.unread.with(|u| !u.is_empty()) {
            return Err(String::new());
        }
        let si = answer().map_err(first)?;
        let si = if spec.kind.whole { si.round() } else { si };
        match spec.fault(si, system) {
            None => Ok(si),
            Some(fault) => Err(format!("{fault}. Accepted: {}.", spec.accepted(system))),
        }
    };
    let label = move || match ready() {
        Ok(si) => format!("Use {}", show(spec.kind, si, units.get())),
        Err(_) => "Use".into(),
    };
    let go = move || {
        if let Ok(si) = untrack(ready) {
            board.note(&path, None);
            board.set(&path, EditValue::Si(si));
            dom::reveal(&field);
        }
    };
    div("way-in")
        .kid(form::form(own, ""))
        .kid(el("p").class("wrong").say(move || ready().err().unwrap_or_default()))
        .kid(button("btn go", "", go).say(label).when("disabled", move || ready().is_err()))
}
