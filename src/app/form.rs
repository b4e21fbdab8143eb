//! The one form component: it lays out whatever a declaration says, and knows no field by name.

use super::board::{Board, Slot};
use super::el::*;
use super::field;
use super::{Drawn, Shell, UNDO, act};
use crate::calculators::form::{EditValue, LayoutItem};
use crate::session::Val;
use crate::units::sentence;
use leptos::prelude::*;

/// The fields whose paths begin with `under`, those behind "more detail" folded away.
pub(super) fn form(board: Board, under: &str) -> Piece {
    let under = StoredValue::new(under.to_string());
    let count = Memo::new(move |_| {
        let field = |s: &&Slot| matches!(s.item, LayoutItem::Num(..) | LayoutItem::Choice(..));
        board.slots.with(|s| s.iter().filter(|s| belongs(s, under, true)).filter(field).count())
    });
    let any = move || board.slots.with(|s| s.iter().any(|s| belongs(s, under, true)));
    let more = only(any, move || {
        let summary = el("summary").text("More detail ");
        let summary = summary.kid(el("span").class("muted").say(move || format!("{} more", count.get())));
        let inside = Shell::get().once(Drawn::Folded, move || run(board, under, true));
        el("details").class("fold more").kid(summary).kid(inside)
    });
    all![run(board, under, false), more].into()
}

fn belongs(s: &Slot, under: StoredValue<String>, detail: bool) -> bool {
    s.detail == detail && under.with_value(|u| s.path.starts_with(u.as_str()))
}

fn run(board: Board, under: StoredValue<String>, detail: bool) -> El {
    let keys =
        move || board.slots.with(|s| s.iter().filter(|s| belongs(s, under, detail)).map(|s| s.key.clone()).collect());
    let make = move |key: &str| {
        let slot = board.slots.with_untracked(|s| s.iter().find(|s| s.key == key).cloned());
        slot.map_or_else(|| div(""), |s| place(board, s))
    };
    div("form").kid(each(keys, make))
}

fn place(board: Board, slot: Slot) -> El {
    let Slot { path, item, .. } = slot;
    match item {
        LayoutItem::Num(spec, _) => field::number(board, path, spec),
        LayoutItem::Choice(pick, _) => field::choice(board, path, pick),
        LayoutItem::Text(text, _) => field::text(board, path, text),
        LayoutItem::Title(title) => words("h3", "group", title),
        LayoutItem::List(list, _) => {
            let heading = words("h3", "group", list.label).set("id", &board.id(&path)).set("tabindex", "-1");
            div("list-head").kid(heading).kid((!list.help.is_empty()).then(|| words("p", "hint", list.help)))
        }
        LayoutItem::Row(name, i) => row(board, &path, name, i),
        LayoutItem::EndList => end(board, path),
    }
}

/// `Fitting 2`, from `fitting`.
fn numbered(name: &str, i: usize) -> String {
    sentence(&format!("{name} {}", i + 1))
}

/// The path of the list that a row is of.
fn list_of(path: &str) -> &str {
    path.rsplit_once('.').map_or(path, |(list, _)| list)
}

fn row(board: Board, path: &str, name: &str, i: usize) -> El {
    let list = list_of(path).to_string();
    // What there is at most one of needs no number.
    let single = board.list(&list).is_some_and(|l| l.most == 1);
    let label = if single { format!("Remove the {name}") } else { format!("Remove {name} {}", i + 1) };
    let shell = Shell::get();
    let gone = if single { sentence(name) } else { numbered(name, i) };
    let remove = button("btn small", if single { &label } else { "Remove" }, move || {
        // What could not be read may stand in another row now.
        let under = format!("{list}.");
        board.unread.update(|u| {
            while let Some(path) = u.keys().find(|path| path.starts_with(&under)).cloned() {
                u.remove(&path);
            }
        });
        board.set(&list, EditValue::Remove(i));
        super::dom::reveal(&board.id(&list));
        let back = board.undo.map(|undo| (UNDO, act(move || undo.run(()))));
        shell.tell(format!("{gone} is taken out."), back);
    });
    if single {
        return div("buttons").kid(remove);
    }
    let heading = words("h4", "", &numbered(name, i)).set("id", &board.id(path)).set("tabindex", "-1");
    div("row-head").kid(heading).kid(remove.set("aria-label", &label))
}

fn end(board: Board, path: String) -> El {
    let Some(list) = board.list(&path) else { return div("") };
    let at = path.clone();
    let rows = Memo::new(move |_| match board.value(&at) {
        Some(Val::Rows(n)) => n,
        _ => 0,
    });
    let article = if list.row.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
    let add = button("btn", &format!("Add {article} {}", list.row), move || {
        let n = rows.get_untracked();
        if n >= list.most {
            return;
        }
        board.set(&path, EditValue::Rows(n + 1));
        // What was added is made in a moment. It pushes the button out of sight, or takes its place.
        let added = board.id(&if list.most == 1 { path.clone() } else { format!("{path}.{n}") });
        request_animation_frame(move || super::dom::reveal(&added));
    });
    // What there is at most one of is not offered twice. More than the most is refused, without taking the focus away.
    let full = move || rows.get() >= list.most;
    let end = div("row-end");
    match list.most {
        1 => end.kid(add).when("hidden", full),
        _ => end.kid(add.live("aria-disabled", move || full().then(|| "true".into()))),
    }
}
