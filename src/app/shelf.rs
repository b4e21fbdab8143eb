//! Sheets saved under a name, and work as files.

use super::el::*;
use super::parts::fold;
use super::{Shell, UNDO, act, desk::Desk, dom, keeping, store::Elsewhere, tabs, take_back};
use crate::calculators::Entry;
use crate::session::{Paper, Route, Saved, Work, bin, csv, everything, keys::Shelf, saved};
use crate::system::{Document, demo, fill, report};
use crate::units::Words;
use leptos::prelude::*;
use leptos::wasm_bindgen::JsCast;
use leptos::web_sys::HtmlInputElement;
use std::rc::Rc;

/// Said where a file cannot be handed out.
pub(super) const NO_FILES: &str = "This browser does not let the page save files.";

/// Said where something finds no room.
pub(super) const NO_ROOM: &str = "There is no room to keep it here. Save it as a file, or delete something.";

/// Hands over a file, or says that there is none.
fn hand(shell: Shell, work: &Work, fallback: &str, ending: &str, kind: &str, text: &str) {
    if dom::download(&saved::file_name(work.called(), fallback, ending), text, kind).is_err() {
        shell.tell(NO_FILES, None);
    }
}

/// Puts a work into a file.
pub(super) fn export(shell: Shell, work: &Work, fallback: &str) {
    let text = saved::encode(work, dom::now_ms()).map(|value| format!("{value:#}")).unwrap_or_default();
    hand(shell, work, fallback, "json", dom::JSON, &text);
}

/// Puts what was computed into a table for a spreadsheet.
pub(super) fn tabulate(shell: Shell, work: &Work, fallback: &str) {
    let words = Words::from(shell.units.get_untracked());
    let made = match &work.paper {
        Paper::System(d) => report::report(d, words).map(|r| csv::check(d, &r, words.system)),
        Paper::Sheet(s) => s.run(words, false).map(|o| csv::sheet(work, &o, words.system)),
        _ => Err(vec![]),
    };
    match made {
        Ok(text) => hand(shell, work, fallback, "csv", "text/csv", &format!("{}{text}", csv::LETTERS)),
        Err(faults) => shell.tell(
            faults.first().map_or_else(|| "There is nothing to put into a table.".into(), ToString::to_string),
            None,
        ),
    }
}

/// The buttons that bring what is computed out of the app: a table, and paper.
pub(super) fn out(shell: Shell, desk: Desk, fallback: &'static str) -> Piece {
    let table = move || {
        shell.parts.when_whole(shell, move |whole| {
            if let Some(work) = desk.work.try_get_untracked() {
                (whole.doors().tabulate)(shell, &work, fallback);
            }
        });
    };
    let print = dom::can("print").then(|| {
        button("btn", "Print", || {
            dom::call("print", &[]);
        })
    });
    all![button("btn", "Table (CSV)", table), print].into()
}

/// A calculator with its first values, round in the units that are shown.
pub(super) fn fresh(shell: Shell, entry: &Entry) -> Work {
    Work::born(Paper::Sheet((entry.sheet)()), shell.units.get_untracked())
}

/// Two taps within this time are one, ms.
const DOUBLE_TAP: f64 = 500.0;

/// Deletes an entry, with a way back.
pub(super) fn delete(shell: Shell, shelf: Shelf, id: &str, name: &str) {
    thread_local! {
        static LAST: std::cell::Cell<(f64, u32)> = const { std::cell::Cell::new((0.0, 0)) };
    }
    let store = shell.store;
    // What stood under it moves up: a second tap at the same place means the first entry, unless that is back or something else has changed.
    let (then, version) = LAST.get();
    let twice = (dom::now_ms() - then).abs() < DOUBLE_TAP && version == store.version.get_untracked();
    if twice && dom::by_pointer() {
        return;
    }
    if store.delete(shelf, id) {
        LAST.set((dom::now_ms(), store.version.get_untracked()));
        let back = act(move || {
            store.undo_delete();
        });
        let said = if store.in_bin() {
            format!("Deleted: {name}. For {} days the systems page can bring it back.", bin::DAYS)
        } else {
            format!("Deleted: {name}. There is no room to keep it for a while: only Undo brings it back.")
        };
        shell.tell_on(said, Some((UNDO, back)));
    }
}

/// A button that reads a file. `take` keeps what is in it, or says in sentences why not; these stand in `wrong`.
pub(super) fn reader(wrong: RwSignal<Vec<String>>, take: impl Fn(Saved) -> Result<(), String> + 'static) -> El {
    file("Read a file", saved::LARGEST, wrong, move |text| {
        if everything::is(&text) {
            return Err(vec![
                "The file holds everything that was kept. “Restore everything” on the systems page takes it.".into(),
            ]);
        }
        let found = saved::decode(&text).work()?;
        take(found).map_err(|e| vec![e])
    })
}

/// A button that reads a file of at most so many bytes as a text.
pub(super) fn file(
    name: &str,
    largest: usize,
    wrong: RwSignal<Vec<String>>,
    take: impl Fn(String) -> Result<(), Vec<String>> + 'static,
) -> El {
    let shell = Shell::get();
    type Take = Rc<dyn Fn(String) -> Result<(), Vec<String>>>;
    let take: Take = Rc::new(take);
    let chosen = move |ev: leptos::web_sys::Event| {
        let Some(input) = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok()) else { return };
        let take = take.clone();
        dom::read_file(&input, largest, move |text| {
            // What is in it may be of any kind.
            shell.parts.when_whole(shell, move |_| {
                let done = text.clone().map_err(|e| vec![e]).and_then(|text| take(text));
                let _ = wrong.try_set(done.err().unwrap_or_default());
            });
        });
    };
    let input = el("input")
        .class("unseen")
        .set("type", "file")
        .set("accept", ".json,.txt,application/json,text/plain")
        .on("change", chosen);
    el("label").class("btn file").kid(input).text(name)
}

/// Why a file could not be read.
pub(super) fn reasons(wrong: RwSignal<Vec<String>>) -> El {
    let all = move || wrong.get().iter().map(|w| words("p", "wrong", w).into()).collect::<Vec<Piece>>();
    div("").set("role", "alert").part(all)
}

fn of(work: &Work) -> Option<&'static Entry> {
    work.sheet().map(|s| s.entry())
}

/// Where a calculator's working sheet is.
fn working(entry: &Entry) -> Route {
    Route::Calculator { id: entry.id.into(), saved: None }
}

/// Is the work kept, in a word.
pub(super) fn kept(shell: Shell, desk: Desk, nowhere: &'static str) -> String {
    let store = shell.store;
    let gone = tabs::elsewhere(store, desk) == Some(Elsewhere::Gone);
    let said = if gone || store.trouble.with(Option::is_some) {
        "Not kept here."
    } else if desk.place.with(Option::is_none) {
        nowhere
    } else if store.settled.get() {
        "Kept in this browser."
    } else {
        "Keeping…"
    };
    said.into()
}

/// Puts other values into a sheet, as one step.
fn replace(shell: Shell, desk: Desk, mut work: Work, said: &str) {
    work.name = desk.work.with_untracked(|w| w.name.clone());
    desk.refill(work);
    shell.tell(said, take_back(desk));
}

/// What every system, kept here or a demo, would fill a calculator with: a button for every station that it can be about.
pub(super) fn fillings(entry: &'static Entry, desk: Desk) -> Option<Piece> {
    let shell = Shell::get();
    let mut systems: Vec<Document> = demo::ALL.iter().map(|d| d.document()).collect();
    let kept = untrack(|| shell.store.list(Shelf::System)).0.into_iter();
    systems.splice(0..0, kept.filter_map(|(_, s)| s.work.system().cloned()));
    let mut all: Vec<Piece> = vec![];
    for d in systems {
        let buttons: Vec<Piece> = fill::fill(&d, entry.id)
            .unwrap_or_default()
            .into_iter()
            .map(|f| {
                let said = format!("Filled from {}, {}.", d.name, f.from);
                let work = Work::filled(f.sheet);
                let take = move || replace(shell, desk, work.clone(), &said);
                button("btn", &f.from, take).set("aria-label", &format!("{}, {}", d.name, f.from)).into()
            })
            .collect();
        if !buttons.is_empty() {
            all.push(all![words("h3", "group", &d.name), div("buttons").kids(buttons)].into());
        }
    }
    (!all.is_empty()).then(|| all.into())
}

/// The shelf of one calculator: save under a name, open, delete, to and from a file.
pub(super) fn shelf(entry: &'static Entry, desk: Desk, open: Option<String>) -> El {
    let shell = Shell::get();
    let store = shell.store;
    let name = RwSignal::new(String::new());
    let save = move || {
        let called = saved::clean_name(&name.get_untracked());
        let mut work = desk.work.get_untracked();
        let taken = store.list(Shelf::Sheet).0;
        let free = |name: &String| taken.iter().all(|(_, s)| s.work.name != *name);
        work.name = match called.is_empty() {
            true => (1..).map(|n| format!("{} {n}", entry.title)).find(free).unwrap_or_default(),
            false => called,
        };
        let id = store.new_id(Shelf::Sheet);
        if store.save(Shelf::Sheet, &id, &work) {
            keeping::ask(store);
            shell.go(&Route::Calculator { id: entry.id.into(), saved: Some(id) });
        } else {
            shell.tell(NO_ROOM, None);
        }
    };
    let one = move |key: &str| {
        let (id, name) = key.split_once(' ').unwrap_or((key, ""));
        let (here, id) = (open.as_deref() == Some(id), id.to_string());
        let to = Route::Calculator { id: entry.id.into(), saved: Some(id.clone()) }.hash();
        let link = words("a", "", name).set("href", &to);
        let link = if here { link.set("aria-current", "page") } else { link };
        let called = name.to_string();
        let gone = button("btn small", "Delete", move || {
            delete(shell, Shelf::Sheet, &id, &called);
            if here {
                // It is not kept again by what still stands on the screen.
                desk.place.set(None);
                shell.go(&working(entry));
            }
        });
        el("li").class("kept").kid(link).kid(gone.set("aria-label", &format!("Delete {name}")))
    };
    let mine = Memo::new(move |_| {
        store.version.track();
        let all = untrack(|| store.list(Shelf::Sheet)).0.into_iter();
        let mine = all.filter(|(_, s)| of(&s.work).is_some_and(|e| e.id == entry.id));
        mine.map(|(id, s)| format!("{id} {}", s.work.name)).collect::<Vec<_>>()
    });
    // An element stays while it is called the same: a list made anew under a finger would lose the tap.
    let list = div("")
        .kid(words("h3", "group", "Saved sheets"))
        .kid(el("ul").class("plain").kid(each(move || mine.get(), one)))
        .when("hidden", move || mine.with(Vec::is_empty));
    let is_saved = desk.place.with_untracked(|p| p.as_ref().is_some_and(|p| p.0 == Shelf::Sheet));
    let about = is_saved.then(|| {
        let link = words("a", "tap", "To the working sheet").set("href", &working(entry).hash());
        words("p", "hint", "This sheet has a name; what you change is kept in it. ").kid(link)
    });
    let wrong = RwSignal::new(Vec::<String>::new());
    let read = reader(wrong, move |found| {
        let title = of(&found.work).map_or("something else", |e| e.title);
        if of(&found.work).is_some_and(|e| e.id == entry.id) {
            replace(shell, desk, found.work, "The file's values are in.");
            Ok(())
        } else {
            Err(format!("The file is of “{title}”. Open that calculator to read it."))
        }
    });
    let to_file = button("btn", "Save as a file", move || desk.work.with_untracked(|w| export(shell, w, entry.id)));
    let afresh = button("btn", "Start afresh", move || {
        replace(shell, desk, fresh(shell, entry), "Back to the first values.");
    });
    let input = el("input")
        .set("id", "save-name")
        .set("type", "text")
        .set("autocomplete", "off")
        .set("maxlength", "80")
        .on("input", move |ev| name.set(typed(&ev)));
    let save = button("btn go", if is_saved { "Save a copy" } else { "Save as" }, save);
    let field = div("field")
        .kid(div("label").kid(words("label", "", "Name").set("for", "save-name")))
        .kid(div("entry").kid(input).kid(save));
    let state = el("span").class("muted").say(move || kept(shell, desk, "Not kept here."));
    let summary = all!["Save, open, print ", state];
    let fill = RwSignal::new(false);
    let from_system = button("btn", "Fill from a system", move || {
        shell.parts.when_whole(shell, move |_| {
            let _ = fill.try_update(|f| *f = !*f);
        });
    });
    let from_system = from_system.live("aria-expanded", move || Some(fill.get().to_string()));
    let filled = part(move || {
        let whole = fill.get().then(|| shell.parts.whole()).flatten();
        whole.and_then(|whole| (whole.doors().fillings)(entry, desk))
    });
    let buttons = all![
        // What it opens stands right under it.
        div("buttons").kid(to_file).kid(out(shell, desk, entry.id)).kid(read).kid(afresh).kid(from_system),
        filled
    ];
    fold("sheet fold", summary, all![about, field, list, buttons, reasons(wrong)])
}
