//! Systems: those of the person, the demos, a new one, one from a file.

use super::{main, titled};
use crate::app::el::*;
use crate::app::{Shell, bar, keeping, parts::sheet, share, shelf, store::Found};
use crate::session::{Route, Work, keys::Shelf, stations};
use crate::system::demo;
use leptos::prelude::*;

/// Keeps a system and goes to it; where there is no room for it, it is shown all the same and waits for that.
pub(in crate::app) fn put(shell: Shell, work: Work) {
    let id = shell.store.new_id(Shelf::System);
    if !shell.store.save(Shelf::System, &id, &work) {
        shell.tell_on(shelf::NO_ROOM, None);
        shell.store.save_soon(Shelf::System, id.clone(), work);
    }
    shell.go(&Route::System(id));
}

/// Starts a new one, and goes to it.
pub(in crate::app) fn start_new(shell: Shell) {
    let taken: Vec<_> =
        untrack(|| shell.store.list(Shelf::System)).0.iter().map(|(_, s)| s.work.called().to_string()).collect();
    put(shell, stations::starter(&stations::new_name(&taken), shell.units.get_untracked()));
}

/// One line of a list: where it leads, what stands large, what stands small.
pub(in crate::app) fn ask(class: &str, to: &str, large: &str, small: &str) -> El {
    let small = (!small.is_empty()).then(|| words("span", "muted", small));
    el("li").kid(el("a").class(class).set("href", to).kid(words("strong", "", large)).kid(small))
}

/// The demos, as links.
pub(in crate::app) fn demos() -> Vec<Piece> {
    let one = |d: &demo::Demo| -> Piece { ask("ask demo", &Route::Demo(d.id.into()).hash(), d.name, d.about).into() };
    demo::ALL.iter().map(one).collect()
}

/// The person's own systems; with `handling`, each can be put into a file or deleted. One stays the element that it is while it is called the
/// same: a list made anew under a finger, as work is kept, would lose the tap.
pub(in crate::app) fn mine(shell: Shell, handling: bool) -> Piece {
    let store = shell.store;
    let one = move |id: &str, name: &str| {
        let name = if name.is_empty() { "A system without a name".to_string() } else { name.to_string() };
        let line = ask("ask", &Route::System(id.into()).hash(), &name, "").class("mine");
        if !handling {
            return line;
        }
        let (called, id, other) = (name.clone(), id.to_string(), id.to_string());
        let export = button("btn small", "Save as a file", move || {
            if let Found::Work(found) = store.load(Shelf::System, &other) {
                shelf::export(shell, &found.work, "system");
            }
        });
        let delete = button("btn small", "Delete", move || shelf::delete(shell, Shelf::System, &id, &called));
        line.kid(export.set("aria-label", &format!("Save as a file: {name}")))
            .kid(delete.set("aria-label", &format!("Delete {name}")))
    };
    let later = move |id: &str, why: &str| {
        let id = id.to_string();
        let file = handling.then(|| {
            button("btn small", "Save as a file", move || {
                if let Some((id, left)) = store.list(Shelf::System).1.into_iter().find(|(of, _)| *of == id) {
                    keeping::later_file(shell, Shelf::System, &left.text, &id);
                }
            })
        });
        el("li").class("mine").kid(words("span", "muted", why)).kid(file)
    };
    let keys = move || {
        store.version.track();
        let (good, left) = untrack(|| store.list(Shelf::System));
        let good = good.iter().map(|(id, s)| format!("{id} {}", s.work.called()));
        good.chain(left.iter().map(|(id, l)| format!("{id}\n{}", l.why))).collect()
    };
    each(keys, move |key| match (key.split_once('\n'), key.split_once(' ')) {
        (Some((id, why)), _) => later(id, why),
        (_, Some((id, name))) => one(id, name),
        _ => one(key, ""),
    })
}

/// The button that starts a new one.
pub(in crate::app) fn new_one(shell: Shell) -> El {
    button("btn go", "New system", move || shell.parts.when_whole(shell, move |whole| (whole.doors().start_new)(shell)))
}

/// The way to one planned from a goal.
pub(in crate::app) fn planner() -> El {
    words("a", "btn", "Plan one from a goal").set("href", &Route::Plan.hash())
}

/// The screen of all systems.
pub(in crate::app) fn page() -> Piece {
    let shell = Shell::get();
    let wrong = RwSignal::new(Vec::<String>::new());
    let read = shelf::reader(wrong, move |found| {
        if found.work.system().is_none() {
            return Err("The file is of one calculator, not of a system. Open that calculator to read it.".into());
        }
        put(shell, found.work);
        keeping::ask(shell.store);
        Ok(())
    });
    let about =
        "A system is checked as a whole: what limits the flow, what that does to the oxygen, and what repairs it.";
    let mine = all![
        el("ul").class("plain asks one").kid(mine(shell, true)),
        div("buttons").kid(new_one(shell)).kid(planner()).kid(read),
        shelf::reasons(wrong),
        share::paste_box(shell),
    ];
    let main = main("page home")
        .kid(words("p", "hint lead", about))
        .kid(
            el("section")
                .kid(
                    div("head")
                        .kid(words("h2", "", "Your systems").set("id", "yours").set("tabindex", "-1"))
                        .kid(keeping::deletions(shell)),
                )
                .kid(mine),
        )
        .kid(keeping::recently(shell))
        .kid(sheet("To look at and change", el("ul").class("plain asks").kids(demos())).class(""))
        .kid(keeping::section(shell));
    all![bar(titled("Systems"), Some("#/")), main].into()
}
