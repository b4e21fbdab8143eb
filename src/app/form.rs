//! The one form component: it lays out whatever a declaration says, and knows no field by name.

use super::board::{Board, Slot};
use super::field;
use crate::calculators::form::{EditValue, LayoutItem};
use crate::session::Val;
use leptos::prelude::*;

/// The fields whose paths begin with `under`, those behind "more detail" folded away.
pub(super) fn form(board: Board, under: &str) -> AnyView {
    let under = StoredValue::new(under.to_string());
    let some = move |detail: bool| -> Vec<Slot> {
        under.with_value(|u| {
            board
                .slots
                .with(|s| s.iter().filter(|s| s.detail == detail && s.path.starts_with(u.as_str())).cloned().collect())
        })
    };
    let count = Memo::new(move |_| {
        some(true).iter().filter(|s| matches!(s.item, LayoutItem::Num(..) | LayoutItem::Choice(..))).count()
    });
    let any = Memo::new(move |_| !some(true).is_empty());
    view! {
        <div class="form">{run(board, Signal::derive(move || some(false)))}</div>
        <Show when=move || any.get()>
            <details class="fold more">
                <summary>"More detail" <span class="muted">{move || format!("{} more", count.get())}</span></summary>
                <div class="form">{run(board, Signal::derive(move || some(true)))}</div>
            </details>
        </Show>
    }
    .into_any()
}

fn run(board: Board, slots: Signal<Vec<Slot>>) -> AnyView {
    view! { <For each=move || slots.get() key=|s| s.key.clone() children=move |s| place(board, s)/> }.into_any()
}

fn place(board: Board, slot: Slot) -> AnyView {
    let Slot { path, item, .. } = slot;
    match item {
        LayoutItem::Num(spec, _) => field::number(board, path, spec),
        LayoutItem::Choice(pick, _) => field::choice(board, path, pick),
        LayoutItem::Text(text, _) => field::text(board, path, text),
        LayoutItem::Title(title) => view! { <h3 class="group">{title}</h3> }.into_any(),
        LayoutItem::List(list, _) => view! {
            <h3 class="group" id=board.id(&path) tabindex="-1">{list.label}</h3>
            {(!list.help.is_empty()).then(|| view! { <p class="hint">{list.help}</p> })}
        }
        .into_any(),
        LayoutItem::Row(name, i) => row(board, &path, name, i),
        LayoutItem::EndList => end(board, path),
    }
}

/// `Fitting 2`, from `fitting`.
fn numbered(name: &str, i: usize) -> String {
    let mut letters = name.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{} {}", letters.as_str(), i + 1)
}

fn row(board: Board, path: &str, name: &'static str, i: usize) -> AnyView {
    let list = path.rsplit_once('.').map_or(path, |(list, _)| list).to_string();
    let heading = numbered(name, i);
    let label = format!("Remove {name} {}", i + 1);
    let remove = move |_| {
        board.set(&list, EditValue::Remove(i));
        super::dom::reveal(&board.id(&list));
    };
    view! {
        <div class="row-head">
            <h4>{heading}</h4>
            <button type="button" class="btn small" aria-label=label on:click=remove>"Remove"</button>
        </div>
    }
    .into_any()
}

fn end(board: Board, path: String) -> AnyView {
    let list = board.slots.with_untracked(|s| {
        s.iter().find_map(|s| match &s.item {
            LayoutItem::List(list, _) if s.path == path => Some(*list),
            _ => None,
        })
    });
    let Some(list) = list else { return ().into_any() };
    let at = path.clone();
    let rows = Memo::new(move |_| match board.value(&at) {
        Some(Val::Rows(n)) => n,
        _ => 0,
    });
    let add = move |_: leptos::ev::MouseEvent| board.set(&path, EditValue::Rows(rows.get_untracked() + 1));
    let full = Memo::new(move |_| rows.get() >= list.most);
    view! {
        <div class="row-end">
            <button type="button" class="btn" disabled=move || full.get() on:click=add>{format!("Add a {}", list.row)}</button>
        </div>
    }
    .into_any()
}
