//! One calculator: the result in sight, the inputs, what it rests on.

use crate::app::{
    Shell, act, bar, board::Board, desk::Desk, dom, figure, form, parts, shelf, steps_of, store::Found, undo_keys,
};
use crate::calculators::Entry;
use crate::calculators::form::{Edit, FieldError};
use crate::calculators::outcome::{Outcome, Report};
use crate::calculators::ranking::{self, Influence};
use crate::session::{Paper, Work, keys::Shelf, staff::staff};
use crate::units::{THIN, Words, number};
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// The last good outcome, and what is wrong now.
#[derive(Debug, Clone, PartialEq, Default)]
struct Answer {
    good: Option<Arc<Outcome>>,
    faults: Arc<Vec<FieldError>>,
}

impl Answer {
    fn report(&self) -> Option<&Report> {
        self.good.as_ref().map(|o| &o.report)
    }
}

/// The page of a calculator: its working sheet, or the sheet saved under a name.
pub(in crate::app) fn page(entry: &'static Entry, saved: Option<String>) -> AnyView {
    let shell = Shell::get();
    let fresh = || Work::new(Paper::Sheet((entry.sheet)()));
    let (shelf, id) = match &saved {
        Some(id) => (Shelf::Sheet, id.clone()),
        None => (Shelf::Draft, entry.id.to_string()),
    };
    let belongs = |w: &Work| w.sheet().is_some_and(|s| s.entry().id == entry.id);
    let desk = match shell.store.load(shelf, &id) {
        Found::Work(found) if belongs(&found.work) => Desk::new(found.work, Some((shelf, id)), shell.store),
        Found::Left(why) => {
            shell.tell(why, None);
            Desk::new(fresh(), None, shell.store)
        }
        // A draft that is not there yet is a new one; a named sheet that is not there is not.
        _ if saved.is_none() => Desk::new(fresh(), Some((shelf, id)), shell.store),
        _ => return super::lost(),
    };
    undo_keys(desk);

    let working = RwSignal::new(false);
    let answer = Memo::new(move |before: Option<&Answer>| {
        let words = Words { system: shell.units.get() };
        let result = desk.work.with(|w| w.sheet().map_or_else(|| Err(vec![]), |s| s.run(words, working.get())));
        match result {
            Ok(outcome) => Answer { good: Some(Arc::new(outcome)), faults: Arc::default() },
            Err(faults) => Answer { good: before.and_then(|b| b.good.clone()), faults: Arc::new(faults) },
        }
    });
    let good = Memo::new(move |_| answer.with(|a| a.good.clone()));
    let part = move |pick: fn(&Outcome) -> AnyView| good.with(|o| o.as_ref().map(|o| pick(o)));
    let faults = Signal::derive(move || answer.with(|a| a.faults.clone()));
    let edit = Callback::new(move |e: Edit| {
        let what = e.path.clone();
        desk.edit(&[e], &what);
    });
    let board = Board::new(desk.work, edit, faults, "f", true);

    // The result in sight.
    let system = move || shell.units.get();
    let main =
        Signal::derive(move || answer.with(|a| a.report().and_then(|r| r.levels.first()).map(|l| staff(l, system()))));
    let verdict = Signal::derive(move || answer.with(|a| a.report().map(|r| r.verdict.clone()).unwrap_or_default()));
    let headline = Signal::derive(move || {
        good.with(|o| o.as_ref().and_then(|o| o.outputs.first()).map(|o| o.show(system())).unwrap_or_default())
    });
    let stale = Signal::derive(move || board.wrong());
    Effect::new(move |before: Option<()>| {
        let mut text = match stale.get() {
            Some(wrong) => wrong,
            None => {
                format!("{} {}", main.with(|s| s.as_ref().map(|s| s.words.clone()).unwrap_or_default()), verdict.get())
            }
        };
        text.truncate(text.trim_end().len());
        // The first result is read with the page.
        if before.is_some() {
            shell.say(text);
        }
    });

    let first_picture =
        move || part(|o| o.report.pictures.iter().take(1).cloned().map(figure::picture).collect::<Vec<_>>().into_any());
    let other_pictures =
        move || part(|o| o.report.pictures.iter().skip(1).cloned().map(figure::picture).collect::<Vec<_>>().into_any());
    let has_repairs = Memo::new(move |_| answer.with(|a| a.report().is_some_and(|r| !r.repairs.is_empty())));
    let take = Callback::new(move |(edits, title): (Vec<Edit>, String)| {
        board.unread.set(Default::default());
        if desk.edit(&edits, "") {
            shell.tell(format!("Used: {title}."), Some(("Undo", act(move || desk.undo()))));
        }
        if let Some(dock) = dom::by_id("verdict") {
            let _ = dock.focus();
        }
    });
    let repairs = move || answer.with(|a| a.report().map(|r| parts::repairs(r.repairs.clone(), system(), take)));
    let more_levels = Memo::new(move |_| answer.with(|a| a.report().is_some_and(|r| r.levels.len() > 1)));
    let levels = move || {
        answer.with(|a| a.report().map(|r| parts::levels(r.levels.iter().skip(1).cloned().collect(), system())))
    };
    let outputs = move || good.with(|o| o.as_ref().map(|o| parts::outputs(o.outputs.clone(), system())));
    let tables = move || part(|o| o.report.tables.iter().cloned().map(parts::table).collect::<Vec<_>>().into_any());
    let has_cautions = Memo::new(move |_| answer.with(|a| a.report().is_some_and(|r| !r.cautions.is_empty())));
    let cautions = move || part(|o| parts::cautions(o.report.cautions.clone()));
    let notes = move || part(|o| parts::notes(o.report.notes.clone()));
    let steps =
        move || working.get().then(|| good.with(|o| o.as_ref().map(|o| parts::steps(o.steps.clone(), system()))));
    let title = Signal::derive(move || {
        let name = desk.work.with(|w| w.name.clone());
        if name.is_empty() { entry.title.to_string() } else { name }
    });
    let result_class = move || if stale.with(Option::is_some) { "result stale" } else { "result" };
    view! {
        {bar(title, Some("#/"))}
        <main id="main" tabindex="-1" class="page calculator">
            <div class=result_class>
                {parts::dock(main, headline, verdict, stale)}
                <div class="see">
                    {move || verdict.with(|v| parts::rest_of(v))}
                    {first_picture}
                    <Show when=move || has_repairs.get()>
                        <section class="sheet"><h2>"What would repair it"</h2>{repairs}</section>
                    </Show>
                    <Show when=move || more_levels.get()>
                        <section class="sheet"><h2>"Other fill levels"</h2>{levels}</section>
                    </Show>
                </div>
            </div>
            <div class="inputs">
                <section class="sheet"><div class="head"><h2>"What you have"</h2>{steps_of(desk)}</div>{form::form(board, "")}</section>
                {measure_first(desk, board)}
                {shelf::shelf(entry, desk, saved)}
            </div>
            <div class="rest">
                {notes}
                {other_pictures}
                {tables}
                <section class="sheet"><h2>"Results"</h2>{outputs}</section>
                <Show when=move || has_cautions.get()>
                    <section class="sheet"><h2>"Take care"</h2>{cautions}</section>
                </Show>
                <details class="sheet fold prints" on:toggle=move |_| working.set(true)>
                    <summary>"Show the working"</summary>
                    {steps}
                </details>
                <section class="about"><h2>"About this calculator"</h2><p>{entry.about}</p><p class="muted">"Results are planning estimates."</p></section>
            </div>
        </main>
    }
    .into_any()
}

/// How long the typing must pause before the assumptions are ranked.
const PAUSE: Duration = Duration::from_millis(500);

/// The assumptions that move the answer most.
fn measure_first(desk: Desk, board: Board) -> AnyView {
    let ranked = RwSignal::new(Vec::<Influence>::new());
    let timer = StoredValue::new(None::<leptos::leptos_dom::helpers::TimeoutHandle>);
    Effect::new(move |_| {
        desk.work.track();
        if let Some(Some(t)) = timer.try_update_value(Option::take) {
            t.clear();
        }
        let rank = move || {
            let found = desk.work.try_with_untracked(|w| w.sheet().map(|s| ranking::rank(s, &|p| w.assumed(p))));
            if let Some(Some(mut found)) = found {
                found.truncate(3);
                ranked.set(found);
            }
        };
        timer.set_value(set_timeout_with_handle(rank, PAUSE).ok());
    });
    on_cleanup(move || {
        if let Some(Some(t)) = timer.try_update_value(Option::take) {
            t.clear();
        }
    });
    let any = Memo::new(move |_| ranked.with(|r| !r.is_empty()));
    let percent = |load: f64| number((load * 100.0).round(), 3);
    let list = move || {
        ranked
            .get()
            .into_iter()
            .map(|i| {
                let [a, b] = i.loads;
                let (low, high) = (percent(a.min(b)), percent(a.max(b)));
                let (path, way) = (i.path, i.way);
                let word = way.map_or("Set it", |w| w.title());
                let name = format!("{word}: {}", i.label);
                let go = move |_| board.show(&path, way.is_some());
                view! {
                    <li class="influence">
                        <div><strong>{i.label}</strong><div class="muted">{format!("moves the fill from {low} to {high}{THIN}%")}</div></div>
                        <button type="button" class="btn small" aria-label=name on:click=go>{word}</button>
                    </li>
                }
            })
            .collect::<Vec<_>>()
    };
    view! {
        <Show when=move || any.get()>
            <section class="sheet">
                <h2>"What to measure first"</h2>
                <p class="hint">"Of all that is only assumed, this moves the answer most."</p>
                <ul class="plain">{list}</ul>
            </section>
        </Show>
    }
    .into_any()
}
