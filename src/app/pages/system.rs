//! One system: what goes over first and what that leads to, the water's way round, every fill level.

use crate::app::{
    Shell, act, bar, board::Board, desk::Desk, dom, form, gauge, parts, shelf, steps_of, store::Found, undo_keys,
};
use crate::calculators::form::{Edit, FieldError};
use crate::calculators::outcome::{Repair, State};
use crate::session::staff::{Staff, staff};
use crate::session::{Paper, Route, Work, keys::Shelf, stations};
use crate::system::check::Day;
use crate::system::flow::StationKind;
use crate::system::report::{self, Checked, Report, StationReport};
use crate::system::{Document, demo as demos};
use crate::units::{System, Words};
use leptos::prelude::*;
use std::sync::Arc;

/// The last good check, and what is wrong now.
#[derive(Debug, Clone, PartialEq, Default)]
struct Answer {
    good: Option<Arc<Report>>,
    faults: Arc<Vec<FieldError>>,
}

/// A saved system.
pub(in crate::app) fn saved(id: String) -> AnyView {
    let shell = Shell::get();
    match shell.store.load(Shelf::System, &id) {
        Found::Work(found) if found.work.system().is_some() => {
            page(Desk::new(found.work, Some((Shelf::System, id)), shell.store))
        }
        Found::Left(why) => {
            shell.tell(why, None);
            super::lost()
        }
        _ => super::lost(),
    }
}

/// A demo. It becomes the person's own at the first change.
pub(in crate::app) fn demo(id: &str) -> AnyView {
    let shell = Shell::get();
    let Some(demo) = demos::by_id(id) else { return super::lost() };
    let adopt = Callback::new(move |()| {
        let id = shell.store.new_id(Shelf::System);
        shell.readdress(Route::System(id.clone()));
        (Shelf::System, id)
    });
    let document = demo.document();
    // What the demo says is said on purpose; nothing of it is an assumption.
    let mut work = Work::new(Paper::System(Box::new(document)));
    work.touched = work.values().into_keys().collect();
    page(Desk::borrowed(work, adopt, shell.store))
}

fn page(desk: Desk) -> AnyView {
    let shell = Shell::get();
    undo_keys(desk);
    let answer = Memo::new(move |before: Option<&Answer>| {
        let words = Words { system: shell.units.get() };
        match desk.work.with(|w| w.system().map_or_else(|| Err(vec![]), |d| report::report(d, words))) {
            Ok(report) => Answer { good: Some(Arc::new(report)), faults: Arc::default() },
            Err(faults) => Answer { good: before.and_then(|b| b.good.clone()), faults: Arc::new(faults) },
        }
    });
    let good = Memo::new(move |_| answer.with(|a| a.good.clone()));
    let system = move || shell.units.get();
    let faults = Signal::derive(move || answer.with(|a| a.faults.clone()));
    let edit = Callback::new(move |e: Edit| {
        let what = e.path.clone();
        desk.edit(&[e], &what);
    });
    let board = Board::new(desk.work, edit, faults, "f", true);
    let take = Callback::new(move |(edits, title): (Vec<Edit>, String)| {
        board.unread.set(Default::default());
        if desk.edit(&edits, "") {
            shell.tell(format!("Used: {title}."), Some(("Undo", act(move || desk.undo()))));
        }
        if let Some(verdict) = dom::by_id("verdict") {
            let _ = verdict.focus();
        }
    });

    let fullest = Signal::derive(move || {
        good.with(|r| {
            r.as_ref().and_then(|r| r.levels.first()).map(|l| named(staff(&l.level, system()), &l.level.name))
        })
    });
    let verdict = Signal::derive(move || good.with(|r| r.as_ref().map(|r| r.verdict.clone()).unwrap_or_default()));
    let stale = Signal::derive(move || board.wrong());
    Effect::new(move |before: Option<()>| {
        let text = match stale.get() {
            Some(wrong) => wrong,
            None => format!(
                "{} {}",
                verdict.get(),
                fullest.with(|s| s.as_ref().map(|s| s.words.clone()).unwrap_or_default())
            ),
        };
        if before.is_some() {
            shell.say(text);
        }
    });

    let chain = move || good.with(|r| r.as_ref().map(|r| chain(r, take)));
    let has_repairs = Memo::new(move |_| good.with(|r| r.as_ref().is_some_and(|r| !r.repairs.is_empty())));
    let repairs = move || {
        good.with(|r| {
            r.as_ref().map(|r| {
                let all: Vec<Repair> = r.repairs.iter().map(|t| t.repair.clone()).collect();
                parts::repairs(all, system(), take)
            })
        })
    };
    let levels =
        move || good.with(|r| r.as_ref().map(|r| r.levels.iter().map(|l| checked(l, system())).collect::<Vec<_>>()));
    let has_cautions = Memo::new(move |_| good.with(|r| r.as_ref().is_some_and(|r| !r.cautions.is_empty())));
    let cautions = move || good.with(|r| r.as_ref().map(|r| parts::cautions(r.cautions.clone())));
    let title = Signal::derive(move || {
        let name = desk.work.with(|w| w.called().to_string());
        if name.is_empty() { "A system without a name".to_string() } else { name }
    });
    let result_class = move || if stale.with(Option::is_some) { "top stale" } else { "top" };
    view! {
        {bar(title, Some("#/systems"))}
        <main id="main" tabindex="-1" class="page system">
            {parts::dock(fullest, Signal::stored(String::new()), verdict, stale)}
            <div class=result_class>
                {move || verdict.with(|v| parts::rest_of(v))}
                {chain}
            </div>
            <div class="around">
                <div class="head"><h2>"The water's way round"</h2>{steps_of(desk)}</div>
                {loop_of(desk, board, good)}
                {grow(desk)}
                <section class="sheet">{form::form(board, "water")}</section>
                {keep(desk, board)}
            </div>
            <div class="checks">
                <Show when=move || has_repairs.get()>
                    <section class="sheet"><h2>"What would repair it"</h2>{repairs}</section>
                </Show>
                <section class="sheet"><h2>"Fullest first"</h2>{levels}</section>
                <Show when=move || has_cautions.get()>
                    <details class="sheet fold prints"><summary><h2>"Take care"</h2></summary>{cautions}</details>
                </Show>
                <p class="muted small-print">
                    "Checked for today, for the hottest water, and for the harvest in the hottest water; the worst counts. Results are planning estimates."
                </p>
            </div>
        </main>
    }
    .into_any()
}

/// A staff that says of which level it is.
fn named(mut s: Staff, name: &str) -> Staff {
    s.figures = format!("{name}: {}", s.figures);
    s
}

/// A level on its worst day, and today's beside it.
fn checked(l: &Checked, system: System) -> AnyView {
    let day = (l.day != Day::Today).then(|| {
        let today = staff(&l.today, system);
        view! { <p class="muted figures">{format!("{}; today {}", l.day.word(), today.large)}</p> }
    });
    view! { <div class="checked">{gauge::lying(staff(&l.level, system), l.level.name.to_string())}{day}</div> }
        .into_any()
}

/// What leads to what.
fn chain(r: &Report, take: Callback<(Vec<Edit>, String)>) -> AnyView {
    if r.chain.is_empty() {
        return ().into_any();
    }
    let links: Vec<_> = r
        .chain
        .iter()
        .enumerate()
        .map(|(i, link)| {
            let mark = if link.repair.is_some() { "✓".to_string() } else { (i + 1).to_string() };
            let use_it = link.repair.and_then(|k| r.repairs.get(k)).map(|t| {
                let (edits, title) = (t.repair.edits.clone(), t.repair.title.clone());
                let label = format!("Use it: {title}");
                let go = move |_| take.run((edits.clone(), title.clone()));
                view! { <button type="button" class="btn go" aria-label=label on:click=go>"Use it"</button> }
            });
            let word = link.repair.is_none().then_some(match link.state {
                State::Enough => " (enough)",
                State::Tight => " (tight)",
                State::Over => "",
            });
            view! {
                <li class=format!("link {}", gauge::tone(link.state))>
                    <span class="link-mark" aria-hidden="true">{mark}</span>
                    <div><strong>{link.head.clone()}</strong>{word}<p>{link.text.clone()}</p>{use_it}</div>
                </li>
            }
        })
        .collect();
    view! { <section class="chain-box"><h2 class="unseen">"What leads to what"</h2><ol class="plain chain">{links}</ol></section> }.into_any()
}

/// The stations in the order the water meets them.
fn loop_of(desk: Desk, board: Board, good: Memo<Option<Arc<Report>>>) -> AnyView {
    let ids = Memo::new(move |_| {
        good.with(|r| {
            r.as_ref()
                .map(|r| r.stations.iter().map(|s| (s.id.clone(), s.path.clone())).collect::<Vec<_>>())
                .unwrap_or_default()
        })
    });
    view! {
        <ol class="plain loop">
            <For each=move || ids.get() key=|k| k.clone() children=move |(id, path)| station(desk, board, good, id, path)/>
        </ol>
    }
    .into_any()
}

fn station(desk: Desk, board: Board, good: Memo<Option<Arc<Report>>>, id: String, path: String) -> AnyView {
    let shell = Shell::get();
    let key = StoredValue::new(id.clone());
    let own = Memo::new(move |_| -> Option<(StationReport, Option<Staff>)> {
        good.with(|r| {
            let r = r.as_ref()?;
            let s = key.with_value(|k| r.stations.iter().find(|s| s.id == *k).cloned())?;
            let level = s.fullest.and_then(|k| r.levels.get(k)).map(|l| staff(&l.level, shell.units.get()));
            Some((s, level))
        })
    });
    let part = move |get: fn(&StationReport) -> String| {
        move || own.with(|o| o.as_ref().map(|o| get(&o.0)).unwrap_or_default())
    };
    let level = Signal::derive(move || own.with(|o| o.as_ref().and_then(|o| o.1.clone())));
    let has = Memo::new(move |_| level.with(Option::is_some));
    let class = move || format!("station {}", level.with(|l| l.as_ref().map_or("", |l| gauge::tone(l.state))));
    let large = move || level.with(|l| l.as_ref().map(|l| l.large.clone()).unwrap_or_default());
    let word = move || level.with(|l| l.as_ref().map(|l| gauge::state(l.state)));
    let onward = move || {
        own.with(|o| {
            let ways = o.as_ref().map(|o| o.0.onward.clone()).unwrap_or_default();
            ways.into_iter().map(|(to, q)| view! { <li>"↓ "{q}" to "{to}</li> }).collect::<Vec<_>>()
        })
    };
    let open = RwSignal::new(false);
    let under = format!("{path}.");
    let opened = id.clone();
    let inside = move || open.get().then(|| inside(desk, board, opened.clone(), &under));
    view! {
        <li class=class>
            <details class="sheet fold" on:toggle=move |_| open.set(true)>
                <summary>
                    <span class="station-name">{part(|s| s.name.clone())}</span>
                    {word}
                    <span class="muted station-line">{part(|s| s.line.clone())}</span>
                    <Show when=move || has.get()>
                        <span class="level-row">{gauge::gauge(level, gauge::Posture::Lying)}<span class="level-large">{large}</span></span>
                    </Show>
                </summary>
                {inside}
            </details>
            <ul class="plain onward">{onward}</ul>
        </li>
    }
    .into_any()
}

/// The fields of one station; for a pump, its branches too.
fn inside(desk: Desk, board: Board, id: String, under: &str) -> AnyView {
    let shell = Shell::get();
    let own = id.clone();
    let branches = Memo::new(move |_| desk.work.with(|w| w.system().map(|d| branches(d, &own)).unwrap_or_default()));
    let gone = id.clone();
    let may_go = Memo::new(move |_| desk.work.with(|w| w.system().is_some_and(|d| stations::may_go(d, &gone))));
    let remove = move |_| {
        let after = desk.work.with_untracked(|w| stations::remove(w, &id));
        if let Some(after) = after {
            desk.replace(after);
            shell.tell("Taken out; the water runs past where it stood.", Some(("Undo", act(move || desk.undo()))));
        }
    };
    let remove = StoredValue::new(remove);
    view! {
        {form::form(board, under)}
        <For
            each=move || branches.get()
            key=|b| b.clone()
            children=move |(k, to)| view! { <h3 class="group">{format!("The branch to {to}")}</h3>{form::form(board, &format!("edges.{k}."))} }
        />
        <Show when=move || may_go.get()>
            <button type="button" class="btn small" on:click=move |ev| remove.with_value(|r| r(ev))>"Take this station out"</button>
        </Show>
    }
    .into_any()
}

/// The branches of a pump: the place of each edge, and the name of what it leads to.
fn branches(d: &Document, id: &str) -> Vec<(usize, String)> {
    let all = d.stations();
    if !all.iter().any(|s| s.id == id && s.kind == StationKind::Pump) {
        return vec![];
    }
    let name = |to: &str| all.iter().find(|s| s.id == to).map_or_else(String::new, |s| s.name.to_string());
    d.edges.iter().enumerate().filter(|(_, e)| e.from == id).map(|(k, e)| (k, name(&e.to))).collect()
}

/// Stations that can be added.
fn grow(desk: Desk) -> AnyView {
    let shell = Shell::get();
    let one = move |word: &'static str, kind: StationKind| {
        let go = move |_| {
            if let Some(after) = desk.work.with_untracked(|w| stations::add(w, kind)) {
                desk.replace(after);
                shell.tell(
                    format!("{word}: done. Open it and put in your own numbers."),
                    Some(("Undo", act(move || desk.undo()))),
                );
            } else {
                shell.tell("There is no room for another one.", None);
            }
        };
        view! { <button type="button" class="btn small" on:click=go>{word}</button> }
    };
    view! {
        <div class="buttons grow">
            {one("Add a fish tank", StationKind::Tank)} {one("Add a settler", StationKind::Settler)} {one("Add a grow bed", StationKind::Bed)}
        </div>
    }
    .into_any()
}

/// Its name, and where it is kept.
fn keep(desk: Desk, board: Board) -> AnyView {
    let shell = Shell::get();
    let store = shell.store;
    let state = move || {
        if store.trouble.with(Option::is_some) {
            "Not kept here."
        } else if desk.place.with(Option::is_none) {
            "A demo: your first change makes it your own."
        } else if store.settled.get() {
            "Kept in this browser."
        } else {
            "Keeping…"
        }
    };
    let save = move |_| {
        if desk.keep() {
            let name = desk.work.with_untracked(|w| w.called().to_string());
            shell.tell(format!("Saved: {name}."), None);
        }
    };
    let copy = move |_| {
        let mut work = desk.work.get_untracked();
        if let Paper::System(d) = &mut work.paper {
            d.name = crate::session::saved::clean_name(&format!("{}, a copy", d.name)).chars().take(60).collect();
        }
        let id = store.new_id(Shelf::System);
        if store.save(Shelf::System, &id, &work) {
            shell.go(&Route::System(id));
        }
    };
    let file = move |_| desk.work.with_untracked(|w| shelf::export(shell, w, "system"));
    view! {
        <section class="sheet">
            <div class="head"><h2>"Name and keep"</h2><span class="muted">{state}</span></div>
            {form::form(board, "name")}
            <div class="buttons">
                <button type="button" class="btn go" on:click=save>"Save"</button>
                <button type="button" class="btn" on:click=copy>"Save a copy"</button>
                <button type="button" class="btn" on:click=file>"Save as a file"</button>
            </div>
        </section>
    }
    .into_any()
}
