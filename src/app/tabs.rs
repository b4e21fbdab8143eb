//! Other tabs over the same storage: what they change is said, and nothing of either is lost.

use super::el::*;
use super::store::{Elsewhere, News, Store};
use super::{Notice, Shell, act, desk::Desk, shelf};
use crate::session::{Work, keys::Shelf, label, saved};
use leptos::prelude::*;
use leptos::wasm_bindgen::JsCast;
use leptos::web_sys::StorageEvent;

/// Listens from now on.
pub(super) fn listen(shell: Shell) {
    let heard = window_event_listener_untyped("storage", move |ev| {
        if let Ok(ev) = ev.dyn_into::<StorageEvent>() {
            // What a tab remembers for itself stands in another storage.
            let mine = window().local_storage().ok().flatten();
            if ev.storage_area() == mine && shell.store.lasting() {
                shell.store.heard(ev.key().as_deref());
            }
        }
    });
    on_cleanup(move || heard.remove());
    Effect::new(move |_: Option<()>| {
        if let Some(News { text, moved }) = shell.store.news.get() {
            let other = moved.map(|m| {
                let (shelf, id) = m.from;
                let look = act(move || {
                    let text = shell.store.text(shelf, &id).unwrap_or_default();
                    shell.go(&label::route(shelf, &id, &text));
                });
                ("Show the other", look)
            });
            shell.say(text.clone());
            shell.notice.set(Some(Notice { text, act: other, stays: true, step: false }));
        }
    });
}

/// The text that a work would be kept as.
fn text(work: &Work) -> String {
    saved::encode(work, 0.0).map(|v| v.to_string()).unwrap_or_default()
}

/// What stands over work that another tab has changed or taken away, and what can be done. It also follows work that had to move.
pub(super) fn banner(desk: Desk) -> Piece {
    let shell = Shell::get();
    let store = shell.store;
    Effect::new(move |before: Option<()>| {
        // What was said before this work was opened is about other work.
        if let Some(moved) = store.news.get().and_then(|n| n.moved).filter(|_| before.is_some()) {
            let here = desk.place.with_untracked(|p| p.as_ref() == Some(&moved.from));
            if here {
                desk.moved(&moved);
                let text = desk.work.with_untracked(text);
                shell.readdress(label::route(moved.to.0, &moved.to.1, &text));
            }
        }
    });
    let one = move |what: Elsewhere| {
        let section = el("section").class("banner").set("aria-label", "Another tab").set("role", "alert");
        // What is here must have found a place before it makes way.
        let show = move || match store.trouble.with_untracked(Option::is_none) {
            true => shell.route.notify(),
            false => shell.tell(shelf::NO_ROOM, None),
        };
        match what {
            Elsewhere::Changed => section
                .kid(words("p", "", "Another tab has changed this. If you go on here, what you change is kept beside it under a name of its own."))
                .kid(div("buttons").kid(button("btn small go", "Show what is there now", show))),
            Elsewhere::Gone => {
                let again = move || {
                    if desk.keep() {
                        shell.tell("Kept again.", None);
                    } else {
                        shell.tell(shelf::NO_ROOM, None);
                    }
                };
                let file = move || desk.work.with_untracked(|w| shelf::export(shell, w, "work"));
                section
                    .kid(words("p", "", "This was deleted or cleared in another tab. What is on this screen is kept nowhere now; your next change keeps it again."))
                    .kid(
                        div("buttons")
                            .kid(button("btn small go", "Keep it again", again))
                            .kid(button("btn small", "Save as a file", file)),
                    )
            }
        }
    };
    let is = move |what| only(move || elsewhere(store, desk) == Some(what), move || one(what));
    all![is(Elsewhere::Changed), is(Elsewhere::Gone)].into()
}

/// What became of the work on a desk in another tab.
pub(super) fn elsewhere(store: Store, desk: Desk) -> Option<Elsewhere> {
    store.version.track();
    let (shelf, id): (Shelf, String) = desk.place.get()?;
    store.elsewhere(shelf, &id)
}
