//! The parts of an outcome on the page: verdict, repairs, numbers, tables, cautions, the working. None of them knows what it is about.

use super::gauge::{self, Posture, gauge, lying};
use crate::calculators::form::Edit;
use crate::calculators::outcome::{Caution, Output, Repair, Step, Table};
use crate::catalog::sources::{Basis, Source};
use crate::session::staff::{Staff, staff};
use crate::units::{System, show};
use leptos::prelude::*;

/// The result that stays in sight: the staff, the word, the number, the verdict. `stale` holds the sentence why this is only the last good
/// result.
pub(super) fn dock(
    staff: Signal<Option<Staff>>,
    headline: Signal<String>,
    verdict: Signal<String>,
    stale: Signal<Option<String>>,
) -> AnyView {
    let has = Memo::new(move |_| staff.with(Option::is_some));
    let word = move || staff.with(|s| s.as_ref().map(|s| gauge::state(s.state)));
    let large = move || staff.with(|s| s.as_ref().map_or_else(|| headline.get(), |s| s.large.clone()));
    let figures = move || staff.with(|s| s.as_ref().map(|s| s.figures.clone()).unwrap_or_default());
    let tone = move || {
        let tone = staff.with(|s| s.as_ref().map_or("", |s| gauge::tone(s.state)));
        format!("dock {tone}{}", if stale.with(Option::is_some) { " stale" } else { "" })
    };
    view! {
        <section class=tone aria-label="Result">
            <div class="dock-in">
                <Show when=move || has.get()>{gauge(staff, Posture::Standing)}</Show>
                <div class="dock-words">
                    <p class="dock-top">{word} <strong class="big">{large}</strong> <span class="muted figures">{figures}</span></p>
                    <p class="verdict">{move || verdict.get()}</p>
                    <Show when=move || stale.with(Option::is_some)>
                        <p class="wrong">"Last good result. "{move || stale.get()}</p>
                    </Show>
                </div>
            </div>
        </section>
    }
    .into_any()
}

/// Most repairs shown at once.
const FIRST: usize = 3;

/// What would repair it. `take` is given the changes and the title of the one chosen.
pub(super) fn repairs(all: Vec<Repair>, system: System, take: Callback<(Vec<Edit>, String)>) -> AnyView {
    let one = |r: Repair| {
        let after = staff(&r.level, system);
        let (title, edits) = (r.title.clone(), r.edits);
        let state = gauge::state(after.state);
        let use_it = (!edits.is_empty()).then(|| {
            let label = format!("Use: {title}");
            let title = title.clone();
            let go = move |_| take.run((edits.clone(), title.clone()));
            view! { <button type="button" class="btn" aria-label=label on:click=go>"Use"</button> }
        });
        view! {
            <li class="repair">
                <div>
                    <strong>{r.title}</strong>
                    <div class="muted">{r.effect}</div>
                    <div class="level-row">{gauge(Signal::derive(move || Some(after.clone())), Posture::Lying)}{state}</div>
                    {r.also.map(|also| view! { <div class="also"><span aria-hidden="true">"▲ "</span>{also}</div> })}
                </div>
                {use_it}
            </li>
        }
        .into_any()
    };
    let mut all: Vec<_> = all.into_iter().map(one).collect();
    let rest = all.split_off(all.len().min(FIRST));
    let more = (!rest.is_empty()).then(|| {
        view! { <details class="fold"><summary>{format!("{} more", rest.len())}</summary><ul class="plain">{rest}</ul></details> }
    });
    view! { <ul class="plain">{all}</ul>{more} }.into_any()
}

/// Further levels, lying.
pub(super) fn levels(all: Vec<crate::calculators::outcome::Level>, system: System) -> AnyView {
    all.iter().map(|l| lying(staff(l, system), l.name.to_string())).collect::<Vec<_>>().into_any()
}

/// The named results.
pub(super) fn outputs(all: Vec<Output>, system: System) -> AnyView {
    let rows: Vec<_> = all
        .into_iter()
        .map(|o| {
            let value = o.show(system);
            view! { <tr><th scope="row">{o.label}</th><td class="num">{value}</td></tr> }
        })
        .collect();
    view! { <table class="pairs"><tbody>{rows}</tbody></table> }.into_any()
}

/// A table.
pub(super) fn table(t: Table) -> AnyView {
    let title = t.title.clone();
    let head: Vec<_> = t.head.into_iter().map(|h| view! { <th scope="col">{h}</th> }).collect();
    let rows: Vec<_> = t
        .rows
        .into_iter()
        .map(|row| {
            let mut cells = row.into_iter();
            let first = cells.next().map(|c| view! { <th scope="row">{c}</th> });
            let rest: Vec<_> = cells.map(|c| view! { <td>{c}</td> }).collect();
            view! { <tr>{first}{rest}</tr> }
        })
        .collect();
    view! {
        <section class="sheet">
            <h2>{t.title}</h2>
            <div class="wide" role="region" tabindex="0" aria-label=title>
                <table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>
            </div>
        </section>
    }
    .into_any()
}

/// A source with how well founded it is.
fn cited(source: &'static Source) -> AnyView {
    let class = match source.basis {
        Basis::Published => "basis published",
        Basis::CommonPractice => "basis practice",
        Basis::FromMemory => "basis memory",
        Basis::Judgement => "basis judgement",
    };
    view! { <p class="cite"><span class=class>{source.basis.word()}</span>" "{source.citation}</p> }.into_any()
}

/// Cautions.
pub(super) fn cautions(all: Vec<Caution>) -> AnyView {
    all.into_iter()
        .map(|c| {
            view! {
                <li class="caution">
                    <p>{c.text}</p>
                    {c.source.map(|s| view! { <details class="fold"><summary>"Source"</summary>{cited(s)}</details> })}
                </li>
            }
        })
        .collect::<Vec<_>>()
        .into_any()
}

/// Plain sentences.
pub(super) fn notes(all: Vec<String>) -> AnyView {
    all.into_iter().map(|n| view! { <p class="note">{n}</p> }).collect::<Vec<_>>().into_any()
}

/// The working, step by step.
pub(super) fn steps(all: Vec<Step>, system: System) -> AnyView {
    let steps: Vec<_> = all
        .into_iter()
        .map(|s| {
            let with: Vec<_> = s
                .with
                .iter()
                .map(|t| view! { <li><span class="sym">{t.symbol}</span>" = "{show(t.kind, t.si, system)}</li> })
                .collect();
            let result = show(s.result.kind, s.result.si, system);
            view! {
                <li class="step">
                    <h3>{s.name}</h3>
                    <p class="eq">{s.equation}</p>
                    <ul class="with">{with}</ul>
                    <p class="gives"><span class="sym">{s.result.symbol}</span>" = "<strong>{result}</strong></p>
                    {cited(s.source)}
                </li>
            }
        })
        .collect();
    view! { <ol class="steps">{steps}</ol> }.into_any()
}
