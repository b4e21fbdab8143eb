//! A way to get a number in place: a small form of its own beside the field, and a button that puts its result in.

use super::board::Board;
use super::{Shell, dom, form};
use crate::calculators::form::{Edit, EditValue, FieldError, Spec, Way};
use crate::session::{Paper, Work};
use crate::units::show;
use leptos::prelude::*;
use std::sync::Arc;

/// The folded panel at a field. Its inside is made when it is first opened.
pub(super) fn panel(board: Board, path: String, spec: Spec, way: Way, field: &str) -> AnyView {
    let open = RwSignal::new(false);
    let field = field.to_string();
    let summary = format!("{field}-way");
    let inside = move || open.get().then(|| inside(board, path.clone(), spec, way, field.clone()));
    view! {
        <details class="way" on:toggle=move |_| open.set(true)>
            <summary id=summary>{way.title()}</summary>
            {inside}
        </details>
    }
    .into_any()
}

fn inside(board: Board, path: String, spec: Spec, way: Way, field: String) -> AnyView {
    let units = Shell::get().units;
    let work = RwSignal::new(Work::new(Paper::Way(way.form())));
    let edit = Callback::new(move |e: Edit| {
        work.update(|w| {
            w.apply(&e);
        });
    });
    let answer = Memo::new(move |_| {
        work.with(|w| match &w.paper {
            Paper::Way(form) => form.value(),
            _ => Err(vec![]),
        })
    });
    let faults = Signal::derive(move || Arc::new(answer.get().err().unwrap_or_default()));
    let own = Board::new(work, edit, faults, &format!("{field}-by"), false);
    // Ready to be used: understood, and inside the field's own range.
    let ready = Memo::new(move |_| -> Result<f64, String> {
        let system = units.get();
        let first = |f: Vec<FieldError>| f.first().map(ToString::to_string).unwrap_or_default();
        if own.unread.with(|u| !u.is_empty()) {
            return Err(String::new());
        }
        let si = answer.get().map_err(first)?;
        let si = if spec.kind.whole { si.round() } else { si };
        match spec.fault(si, system) {
            None => Ok(si),
            Some(fault) => Err(format!("{fault}. Accepted: {}.", spec.accepted(system))),
        }
    });
    let label = move || match ready.get() {
        Ok(si) => format!("Use {}", show(spec.kind, si, units.get())),
        Err(_) => "Use".into(),
    };
    let wrong = move || ready.get().err().unwrap_or_default();
    let go = move |_| {
        if let Ok(si) = ready.get_untracked() {
            board.note(&path, None);
            board.set(&path, EditValue::Si(si));
            dom::reveal(&field);
        }
    };
    view! {
        <div class="way-in">
            {form::form(own, "")}
            <p class="wrong" role="alert">{wrong}</p>
            <button type="button" class="btn go" disabled=move || ready.get().is_err() on:click=go>{label}</button>
        </div>
    }
    .into_any()
}
