//! What the script that loaded the app says of it: whether it opens without a signal, and whether a newer version waits.

use super::Shell;
use super::el::*;
use leptos::prelude::*;
use leptos::web_sys::Event;

/// Said once all of it is kept on the device.
const KEPT: &str = "brimwise-offline";
/// Said when a newer version waits.
const NEWER: &str = "brimwise-newer";
/// Asks for the newer version; the page is then loaded again.
const RENEW: &str = "brimwise-renew";

/// What is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offline {
    /// All of the app is kept on the device. Only ever said after it was looked up.
    kept: RwSignal<bool>,
    /// A newer version waits to be used.
    newer: RwSignal<bool>,
}

/// Listens from now on.
pub(super) fn listen(shell: Shell) -> Offline {
    let offline = Offline { kept: RwSignal::new(false), newer: RwSignal::new(false) };
    let kept = window_event_listener_untyped(KEPT, move |_| offline.kept.set(true));
    let newer = window_event_listener_untyped(NEWER, move |_| {
        shell.store.flush();
        shell.say(WAITS.into());
        offline.newer.set(true);
    });
    on_cleanup(move || {
        kept.remove();
        newer.remove();
    });
    provide_context(offline);
    offline
}

const WAITS: &str = "A new version is ready.";

/// The message that a newer version waits. It stays until it is used or closed.
pub(super) fn notice(shell: Shell, offline: Offline) -> Piece {
    let inside = move || {
        let use_it = button("btn small", "Use it now", move || {
            // What is being typed is kept first. Where it cannot be, the person is told, and nothing is loaded again.
            shell.store.flush();
            if !shell.store.settled.get_untracked() || shell.store.trouble.with_untracked(Option::is_some) {
                shell.tell("Not yet: your work cannot be kept here. Save it as a file, then open the app again.", None);
            } else if let Ok(event) = Event::new(RENEW) {
                let _ = window().dispatch_event(&event);
            }
        });
        let later = button("icon", "×", move || offline.newer.set(false)).set("aria-label", "Later");
        div("notice").kid(words("p", "", WAITS)).kid(use_it).kid(later)
    };
    only(move || offline.newer.get(), inside)
}

/// A quiet line, there only while it is true.
pub(super) fn line() -> Piece {
    let offline = use_context::<Offline>();
    let kept = move || offline.is_some_and(|o| o.kept.get());
    only(kept, || words("p", "muted small-print", "Ready offline: it opens here without a signal."))
}
