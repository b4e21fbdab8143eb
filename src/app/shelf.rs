//! Sheets saved under a name, and sheets as files.

use super::{Shell, desk::Desk, dom, store::Store};
use crate::calculators::Entry;
use crate::session::{Paper, Route, Work, keys::Shelf, saved};
use leptos::prelude::*;

/// Puts a work into a file.
pub(super) fn export(shell: Shell, work: &Work, fallback: &str) {
    let done = saved::encode(work, dom::now_ms())
        .is_some_and(|value| dom::download(&saved::file_name(work.called(), fallback), &format!("{value:#}")).is_ok());
    if !done {
        shell.tell("This browser does not let the page save files.", None);
    }
}

/// Deletes an entry, with a way back.
pub(super) fn delete(shell: Shell, shelf: Shelf, id: &str, name: &str) {
    let store: Store = shell.store;
    if let Some(text) = store.delete(shelf, id) {
        let id = id.to_string();
        let back = super::act(move || {
            store.restore(shelf, &id, &text);
        });
        shell.tell_on(format!("Deleted: {name}."), ("Undo", back));
    }
}

fn of(work: &Work) -> Option<&'static Entry> {
    work.sheet().map(|s| s.entry())
}

/// The shelf of one calculator: save under a name, open, delete, to and from a file.
pub(super) fn shelf(entry: &'static Entry, desk: Desk, open: Option<String>) -> AnyView {
    let shell = Shell::get();
    let store = shell.store;
    let name = RwSignal::new(String::new());
    let save = move |_| {
        let called = saved::clean_name(&name.get_untracked());
        let mut work = desk.work.get_untracked();
        work.name = if called.is_empty() {
            format!("{} {}", entry.title, store.list(Shelf::Sheet).0.len() + 1)
        } else {
            called
        };
        let id = store.new_id(Shelf::Sheet);
        if store.save(Shelf::Sheet, &id, &work) {
            shell.go(&Route::Calculator { id: entry.id.into(), saved: Some(id) });
        }
    };
    let mine = Memo::new(move |_| {
        store.version.track();
        let all = untrack(|| store.list(Shelf::Sheet)).0;
        let mine = all.into_iter().filter(|(_, s)| of(&s.work).is_some_and(|e| e.id == entry.id));
        mine.map(|(id, s)| (id, s.work.name)).collect::<Vec<_>>()
    });
    let is_open = move |id: &str| open.as_deref() == Some(id);
    let is_saved = desk.place.with_untracked(|p| p.as_ref().is_some_and(|p| p.0 == Shelf::Sheet));
    let list = move || {
        mine.get()
            .into_iter()
            .map(|(id, name)| {
                let here = is_open(&id);
                let to = Route::Calculator { id: entry.id.into(), saved: Some(id.clone()) }.hash();
                let label = format!("Delete {name}");
                let called = name.clone();
                let gone = move |_| {
                    delete(shell, Shelf::Sheet, &id, &called);
                    if here {
                        desk.place.set(None);
                        shell.go(&Route::Calculator { id: entry.id.into(), saved: None });
                    }
                };
                view! {
                    <li class="kept">
                        <a href=to aria-current=here.then_some("page")>{name}</a>
                        <button type="button" class="btn small" aria-label=label on:click=gone>"Delete"</button>
                    </li>
                }
            })
            .collect::<Vec<_>>()
    };
    let to_file = move |_| desk.work.with_untracked(|w| export(shell, w, entry.id));
    let wrong = RwSignal::new(Vec::<String>::new());
    let from_file = move |ev: leptos::ev::Targeted<leptos::ev::Event, leptos::web_sys::HtmlInputElement>| {
        dom::read_file(&ev.target(), saved::LARGEST, move |text| {
            let read = text.map_err(|e| vec![e]).and_then(|t| saved::decode(&t).work());
            match read {
                Ok(found) if of(&found.work).is_some_and(|e| e.id == entry.id) => {
                    wrong.set(vec![]);
                    let mut work = found.work;
                    work.name = desk.work.with_untracked(|w| w.name.clone());
                    desk.replace(work);
                    shell.tell("The file's values are in.", Some(("Undo", super::act(move || desk.undo()))));
                }
                Ok(found) => {
                    let title = of(&found.work).map_or("something else", |e| e.title);
                    wrong.set(vec![format!("The file is of “{title}”. Open that calculator to read it.")]);
                }
                Err(sentences) => wrong.set(sentences),
            }
        });
    };
    let restart = move |_| {
        let mut work = Work::new(Paper::Sheet((entry.sheet)()));
        work.name = desk.work.with_untracked(|w| w.name.clone());
        desk.replace(work);
        shell.tell("Back to the first values.", Some(("Undo", super::act(move || desk.undo()))));
    };
    let kept = move || {
        if store.trouble.with(Option::is_some) || desk.place.with(Option::is_none) {
            "Not kept here."
        } else if store.settled.get() {
            "Kept in this browser."
        } else {
            "Keeping…"
        }
    };
    let any = Memo::new(move |_| mine.with(|m| !m.is_empty()));
    view! {
        <details class="sheet fold">
            <summary>"Save, open, share" <span class="muted">{kept}</span></summary>
            {is_saved
                .then(|| view! { <p class="hint">"This sheet has a name; what you change is kept in it. "<a href=Route::Calculator { id: entry.id.into(), saved: None }.hash()>"To the working sheet"</a></p> })}
            <div class="field">
                <div class="label"><label for="save-name">"Name"</label></div>
                <div class="entry">
                    <input id="save-name" type="text" autocomplete="off" maxlength="80" prop:value=move || name.get() on:input:target=move |ev| name.set(ev.target().value())/>
                    <button type="button" class="btn go" on:click=save>{if is_saved { "Save a copy" } else { "Save as" }}</button>
                </div>
            </div>
            <Show when=move || any.get()>
                <h3 class="group">"Saved sheets"</h3>
                <ul class="plain">{list.clone()}</ul>
            </Show>
            <div class="buttons">
                <button type="button" class="btn" on:click=to_file>"Save as a file"</button>
                <label class="btn file">
                    <input type="file" class="unseen" accept=".json,.txt,application/json,text/plain" on:change:target=from_file/>
                    "Read a file"
                </label>
                <button type="button" class="btn" on:click=restart>"Start afresh"</button>
            </div>
            <div role="alert">{move || wrong.get().into_iter().map(|w| view! { <p class="wrong">{w}</p> }).collect::<Vec<_>>()}</div>
        </details>
    }
    .into_any()
}
