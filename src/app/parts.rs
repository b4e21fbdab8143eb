//! The parts of an outcome on the page: verdict, repairs, numbers, tables, cautions, the working. None of them knows what it is about.

use super::gauge::{self, Posture, gauge, lying};
use crate::calculators::form::Edit;
use crate::calculators::outcome::{Caution, Output, Repair, Step, Table, Value};
use crate::catalog::sources::{Basis, Source};
use crate::session::staff::{Staff, in_sight, staff};
use crate::units::{System, show};
use leptos::prelude::*;

/// Most characters of a verdict that stay in sight.
const IN_SIGHT: usize = 130;

/// What of a verdict does not stay in sight.
pub(super) fn rest_of(verdict: &str) -> Option<AnyView> {
    let rest = in_sight(verdict, IN_SIGHT).1.to_string();
    (!rest.is_empty()).then(|| view! { <p class="verdict after">{rest}</p> }.into_any())
}

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
                    <p class="verdict" id="verdict" tabindex="-1">{move || verdict.with(|v| in_sight(v, IN_SIGHT).0.to_string())}</p>
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

/// Most results shown at once.
const FIRST_RESULTS: usize = 8;

/// The named results; those that do not exist here are left out.
pub(super) fn outputs(all: Vec<Output>, system: System) -> AnyView {
    let mut rows: Vec<_> = all
        .into_iter()
        .filter(|o| o.value != Value::Missing)
        .map(|o| {
            let value = o.show(system);
            view! { <tr><th scope="row">{o.label}</th><td class="num">{value}</td></tr> }
        })
        .collect();
    let rest = rows.split_off(rows.len().min(FIRST_RESULTS));
    let more = (!rest.is_empty()).then(|| {
        let count = format!("{} more", rest.len());
        view! { <details class="fold prints"><summary>{count}</summary><table class="pairs"><tbody>{rest}</tbody></table></details> }
    });
    view! { <table class="pairs"><tbody>{rows}</tbody></table>{more} }.into_any()
}

/// A cell with more characters than this holds words rather than a number.
const LONG_CELL: usize = 22;
/// A table with more rows than this is folded away.
const LONG_TABLE: usize = 7;

/// The head of a column; one without words is no head.
fn headed(words: String) -> AnyView {
    if words.is_empty() {
        view! { <td role="cell"></td> }.into_any()
    } else {
        view! { <th scope="col" role="columnheader">{words}</th> }.into_any()
    }
}

/// A table.
pub(super) fn table(t: Table) -> AnyView {
    let title = t.title.clone();
    // On a narrow page a wide table is laid out as one block a row, each number under its head.
    let many = t.head.len() > 3;
    let heads = t.head.clone();
    let head: Vec<_> = t.head.into_iter().map(headed).collect();
    let rows: Vec<_> = t
        .rows
        .into_iter()
        .map(|row| {
            let mut cells = row.into_iter();
            let first = cells.next().map(|c| view! { <th scope="row" role="rowheader">{c}</th> });
            let rest: Vec<_> = cells
                .zip(heads.iter().skip(1).cloned())
                .map(|(c, head)| {
                    let class = (c.chars().count() > LONG_CELL).then_some("long");
                    view! { <td role="cell" class=class data-head=head>{c}</td> }
                })
                .collect();
            view! { <tr role="row">{first}{rest}</tr> }
        })
        .collect();
    let long = rows.len() > LONG_TABLE;
    let inside = view! {
            <div class="wide" role="region" tabindex="0" aria-label=title>
                <table role="table" class:many=many>
                    <thead role="rowgroup"><tr role="row">{head}</tr></thead>
                    <tbody role="rowgroup">{rows}</tbody>
                </table>
            </div>
    };
    if long {
        view! { <details class="sheet fold prints"><summary><h2>{t.title}</h2></summary>{inside}</details> }.into_any()
    } else {
        view! { <section class="sheet"><h2>{t.title}</h2>{inside}</section> }.into_any()
    }
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
    let mut sources: Vec<&'static Source> = vec![];
    let items: Vec<_> = all
        .into_iter()
        .map(|c| {
            let number = c.source.map(|s| {
                let at = sources.iter().position(|known| *known == s).unwrap_or_else(|| {
                    sources.push(s);
                    sources.len() - 1
                });
                format!(" [{}]", at + 1)
            });
            view! { <li class="caution"><p>{c.text}<span class="muted">{number}</span></p></li> }
        })
        .collect();
    let cites: Vec<_> = sources.into_iter().map(|s| view! { <li>{cited(s)}</li> }).collect();
    let cites = (!cites.is_empty()).then(|| {
        view! { <details class="fold cites"><summary>"Where these come from"</summary><ol>{cites}</ol></details> }
    });
    view! { <ul class="plain">{items}</ul>{cites} }.into_any()
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
