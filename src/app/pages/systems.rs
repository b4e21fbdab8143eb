//! Systems: those of the person, the demos, a new one, one from a file.

use crate::app::{Shell, bar, dom, shelf};
use crate::session::{Route, Work, keys::Shelf, saved, stations};
use crate::system::demo;
use leptos::prelude::*;

/// Keeps a system and goes to it.
fn put(shell: Shell, work: &Work) {
    let id = shell.store.new_id(Shelf::System);
    if shell.store.save(Shelf::System, &id, work) {
        shell.go(&Route::System(id));
    }
}

/// The demos, as links.
pub(in crate::app) fn demos() -> AnyView {
    demo::ALL
        .iter()
        .map(|d| {
            view! {
                <li>
                    <a class="ask demo" href=Route::Demo(d.id.into()).hash()>
                        <strong>{d.document().name}</strong>
                        <span class="muted">{d.about}</span>
                    </a>
                </li>
            }
        })
        .collect::<Vec<_>>()
        .into_any()
}

/// The person's own systems; with `handling`, each can be put into a file or deleted.
pub(in crate::app) fn mine(shell: Shell, handling: bool) -> AnyView {
    let store = shell.store;
    let all = Memo::new(move |_| {
        store.version.track();
        let (good, left) = untrack(|| store.list(Shelf::System));
        let good: Vec<_> = good.into_iter().map(|(id, s)| (id, s.work.called().to_string())).collect();
        (good, left)
    });
    let list = move || {
        let (good, left) = all.get();
        let good = good.into_iter().map(move |(id, name)| {
            let name = if name.is_empty() { "A system without a name".to_string() } else { name };
            let to = Route::System(id.clone()).hash();
            let buttons = handling.then(|| {
                let (gone, file) = (format!("Delete {name}"), format!("Save {name} as a file"));
                let (called, other) = (name.clone(), id.clone());
                let delete = move |_| shelf::delete(shell, Shelf::System, &id, &called);
                let export = move |_| {
                    if let crate::app::store::Found::Work(found) = store.load(Shelf::System, &other) {
                        shelf::export(shell, &found.work, "system");
                    }
                };
                view! {
                    <button type="button" class="btn small" aria-label=file on:click=export>"Save as a file"</button>
                    <button type="button" class="btn small" aria-label=gone on:click=delete>"Delete"</button>
                }
            });
            view! { <li class="mine"><a class="ask" href=to><strong>{name}</strong></a>{buttons}</li> }.into_any()
        });
        let left = left.into_iter().map(|(_, why)| view! { <li class="muted">{why}</li> }.into_any());
        good.chain(left).collect::<Vec<_>>()
    };
    view! { {list} }.into_any()
}

/// The button that starts a new one.
pub(in crate::app) fn new_one(shell: Shell) -> AnyView {
    let start = move |_| put(shell, &stations::starter("My system"));
    view! { <button type="button" class="btn go" on:click=start>"New system"</button> }.into_any()
}

/// The screen of all systems.
pub(in crate::app) fn page() -> AnyView {
    let shell = Shell::get();
    let wrong = RwSignal::new(Vec::<String>::new());
    let from_file = move |ev: leptos::ev::Targeted<leptos::ev::Event, leptos::web_sys::HtmlInputElement>| {
        dom::read_file(&ev.target(), saved::LARGEST, move |text| {
            let read = text.map_err(|e| vec![e]).and_then(|t| saved::decode(&t).work());
            match read {
                Ok(found) if found.work.system().is_some() => {
                    wrong.set(vec![]);
                    put(shell, &found.work);
                }
                Ok(_) => wrong.set(vec![
                    "The file is of one calculator, not of a system. Open that calculator to read it.".into(),
                ]),
                Err(sentences) => wrong.set(sentences),
            }
        });
    };
    view! {
        {bar(Signal::stored("Systems".to_string()), Some("#/"))}
        <main id="main" tabindex="-1" class="page home">
            <p class="hint lead">"A system is checked as a whole: what limits the flow, what that does to the oxygen, and what repairs it."</p>
            <section>
                <h2>"Your systems"</h2>
                <ul class="plain asks one">{mine(shell, true)}</ul>
                <div class="buttons">
                    {new_one(shell)}
                    <label class="btn file">
                        <input type="file" class="unseen" accept=".json,.txt,application/json,text/plain" on:change:target=from_file/>
                        "Read a file"
                    </label>
                </div>
                <div role="alert">{move || wrong.get().into_iter().map(|w| view! { <p class="wrong">{w}</p> }).collect::<Vec<_>>()}</div>
            </section>
            <section>
                <h2>"To look at and change"</h2>
                <ul class="plain asks">{demos()}</ul>
            </section>
        </main>
    }
    .into_any()
}
