//! How safe what is kept is: what the browser promises, everything in one file and back, and what was deleted.

use super::el::*;
use super::parts::{fold, sheet};
use super::store::{Left, Store};
use super::{Shell, act, dom, shelf, step_keys, steps};
use crate::session::{
    Route,
    bin::{self, Gone},
    everything,
    keys::{self, Shelf},
    label, saved,
};
use leptos::prelude::*;
use leptos::wasm_bindgen::JsValue;

/// A promise that was asked for is not asked for again so soon, ms: some browsers ask the person each time.
const ASK_AGAIN_MS: f64 = 7.0 * 86_400_000.0;
/// A reminder that was put off stays away so long, ms.
const REMIND_AGAIN_MS: f64 = 7.0 * 86_400_000.0;

/// The words of the browser's door to its promise: what stands, and what asks for it.
const PROMISED: &str = "navigator.storage.persisted";
const PROMISE: &str = "navigator.storage.persist";

fn hear(store: Store, said: Option<Result<JsValue, JsValue>>) {
    if let Some(Ok(promise)) = said {
        dom::then(promise, move |said| {
            let said = said.ok().and_then(|v| v.as_bool());
            let _ = store.promised.try_update(|p| *p = said.or(*p));
        });
    }
}

/// Finds out what the browser has promised, without asking for anything.
pub(super) fn look(store: Store) {
    if store.lasting() {
        hear(store, dom::call(PROMISED, &[]));
    }
}

/// Asks the browser to promise that it does not clear by itself what is kept. Called when the person has saved something.
pub(super) fn ask(store: Store) {
    let lately = store.time(keys::ASKED).is_some_and(|at| dom::now_ms() - at < ASK_AGAIN_MS);
    if store.lasting() && !lately && store.promised.get_untracked() != Some(true) {
        store.note_time(keys::ASKED);
        hear(store, dom::call(PROMISE, &[]));
    }
}

/// What the browser has promised, said as it is.
fn promise(store: Store) -> &'static str {
    match (store.lasting(), store.promised.get()) {
        (false, _) => {
            "Nothing is kept here: this browser does not let the app. Download everything before you close this page."
        }
        (_, Some(true)) => {
            "Kept in this browser, on this device. The browser has promised not to clear it by itself; clearing the site's data or losing the device still takes it."
        }
        (_, Some(false)) => {
            "Kept in this browser, on this device. The browser has not promised to keep it: it may clear it when room is short, and some browsers clear what was not opened for a week."
        }
        (_, None) => {
            "Kept in this browser, on this device. The browser does not say whether it may clear it; some clear what was not opened for a week."
        }
    }
}

/// Hands the person everything as one file.
fn download(shell: Shell) {
    let store = shell.store;
    let name = format!("brimwise-everything-{}.json", dom::today());
    let Some(file) = everything::write(&store.everything(), dom::now_ms()) else {
        return shell.tell("This is too much for one file. Save your systems as files one by one.", None);
    };
    if dom::download(&name, &file, dom::JSON).is_ok() {
        store.note_time(keys::EXPORTED);
        shell.tell("Everything is in one file. Put it where you will find it again.", None);
    } else {
        shell.tell(shelf::NO_FILES, None);
    }
}

/// Takes a file of everything; what came is said.
fn restore(shell: Shell, text: &str) -> Result<String, String> {
    let had_units = shell.store.setting(keys::UNITS).is_some();
    let said = shell.store.take_everything(text)?;
    if !had_units {
        shell.read_units();
    }
    shell.say(said.clone());
    Ok(said)
}

/// A line that asks for a download, where there is something to lose that the browser has not promised to keep.
pub(super) fn reminder() -> Piece {
    let shell = Shell::get();
    let store = shell.store;
    let due = move || {
        store.version.track();
        let promised = store.promised.get() == Some(true);
        let later = store.time(keys::LATER).is_some_and(|at| dom::now_ms() - at < REMIND_AGAIN_MS);
        if promised || later || !store.lasting() { 0 } else { untrack(|| store.since_file()).0 }
    };
    let make = move || {
        let n = due();
        let what = if n == 1 { "One item has".into() } else { format!("{n} items have") };
        let said = format!("{what} changed since the last download, and this browser has not promised to keep them.");
        let now = button("btn small go", "Download everything", move || download(shell));
        let later = button("btn small", "Later", move || store.note_time(keys::LATER));
        div("sheet remind").kid(words("p", "", &said)).kid(div("buttons").kid(now).kid(later))
    };
    only(move || due() > 0, make)
}

/// Where work is kept and how safe that is, and everything in one file.
pub(super) fn section(shell: Shell) -> El {
    let store = shell.store;
    let wrong = RwSignal::new(Vec::<String>::new());
    let told = RwSignal::new(String::new());
    let file = shelf::file("Restore everything", everything::LARGEST, wrong, move |text| {
        told.set(String::new());
        if !everything::is(&text) {
            return Err(vec!["This is not a file of everything. “Read a file” opens one system.".into()]);
        }
        told.set(restore(shell, &text).map_err(|e| vec![e])?);
        Ok(())
    });
    let state = move || {
        store.version.track();
        match untrack(|| store.since_file()) {
            (_, None) => "Not downloaded yet.".to_string(),
            (0, Some(at)) => {
                format!("Downloaded {}; no system and no named sheet has changed since.", bin::ago(dom::now_ms() - at))
            }
            (n, Some(at)) => format!("Downloaded {}; {n} changed since.", bin::ago(dom::now_ms() - at)),
        }
    };
    let can_ask = move || store.lasting() && store.promised.get() == Some(false) && dom::can(PROMISE);
    let ask = move || hear(store, dom::call(PROMISE, &[]));
    let inside = all![
        el("p").say(move || promise(store).into()),
        words(
            "p",
            "hint",
            "One file holds all systems, sheets, what stands in the calculators, and the units. Restoring overwrites nothing: what differs is kept beside what is here."
        ),
        el("p").class("hint").say(state),
        div("buttons")
            .kid(button("btn go", "Download everything", move || download(shell)))
            .kid(file)
            .kid(button("btn", "Ask the browser to keep it", ask).when("hidden", move || !can_ask())),
        shelf::reasons(wrong),
        el("p").class("note").set("id", "restored").say(move || told.get()),
    ];
    sheet("Keep it safe", inside)
}

/// Undo and redo of deletions.
pub(super) fn deletions(shell: Shell) -> El {
    let store = shell.store;
    let say = move |word: &str, gone: Option<Gone>| {
        if let Some(gone) = gone {
            shell.tell(format!("{word}: {}.", label::called(gone.shelf, &gone.text)), None);
        }
    };
    let undo = move || say("Brought back", store.undo_delete());
    let redo = move || say("Deleted", store.redo_delete());
    step_keys(undo, redo);
    steps(store.can, undo, redo)
}

/// What was deleted lately, with a way back.
pub(super) fn recently(shell: Shell) -> Piece {
    let store = shell.store;
    let one = move |(key, gone): (String, Gone)| {
        let name = label::called(gone.shelf, &gone.text);
        let kind = match gone.shelf {
            Shelf::System => "system",
            Shelf::Sheet => "sheet",
            _ => "working sheet",
        };
        let small = format!("{kind}, deleted {}", gone.when(dom::now_ms()));
        let called = name.clone();
        let back = button("btn small", "Bring back", move || match store.bring_back(&key) {
            Some((shelf, id)) => {
                if store.bin().is_empty() {
                    // The list goes, and the button with it.
                    dom::reveal("yours");
                }
                let to = label::route(shelf, &id, &gone.text);
                shell.tell(format!("Brought back: {called}."), Some(("Open", act(move || shell.go(&to)))));
            }
            None => shell.tell("There is no room to bring it back.", None),
        });
        let said =
            el("span").class("grow").kid(words("strong", "", &name)).text(" ").kid(words("span", "muted", &small));
        el("li").class("kept").kid(said).kid(back.set("aria-label", &format!("Bring back {name}")))
    };
    let sure = RwSignal::new(false);
    let keys = Memo::new(move |_| {
        store.version.track();
        untrack(|| store.bin()).into_iter().map(|(key, _)| key).collect::<Vec<_>>()
    });
    let hint = format!("Kept for {} days, the last {}, while there is room.", bin::DAYS, bin::MOST);
    let empty = part(move || -> Piece {
        if !sure.get() {
            return button("btn small", "Delete these for good", move || sure.set(true)).into();
        }
        let go = button("btn small", "Yes, delete them for good", move || {
            sure.set(false);
            store.empty();
        });
        all![go, button("btn small", "No, keep them", move || sure.set(false))].into()
    });
    let make = move |key: &str| store.gone(key).map_or_else(|| el("li"), |gone| one((key.into(), gone)));
    let inside = all![
        words("p", "hint", &hint),
        el("ul").class("plain").kid(each(move || keys.get(), make)),
        div("buttons").kid(empty)
    ];
    let none = move || keys.with(Vec::is_empty);
    let heading = all![
        words("h2", "", "Recently deleted"),
        el("span").class("muted").say(move || keys.with(Vec::len).to_string())
    ];
    fold("sheet fold", heading, inside).when("hidden", none).into()
}

/// A file of what only a later version can open.
pub(super) fn later_file(shell: Shell, shelf: Shelf, text: &str, id: &str) {
    if dom::download(&saved::file_name(&label::called(shelf, text), id, "json"), text, dom::JSON).is_err() {
        shell.tell(shelf::NO_FILES, None);
    }
}

/// What is left as it is, and ways on from it.
pub(super) fn left(shelf: Shelf, id: &str, left: &Left) -> Piece {
    let (id, text) = (id.to_string(), left.text.clone());
    let shell = Shell::get();
    let file = button("btn go", "Save as a file", move || later_file(shell, shelf, &text, &id));
    let link = words("a", "btn", "To the systems").set("href", &Route::Systems.hash());
    all![words("p", "verdict", &left.why), div("buttons").kid(file).kid(link)].into()
}
