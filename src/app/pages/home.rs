//! The first screen: calculators by the question each answers, and systems.

use super::systems;
use crate::app::{Shell, bar};
use crate::calculators;
use leptos::prelude::*;

/// The first screen.
pub(in crate::app) fn page() -> AnyView {
    let shell = Shell::get();
    let calculators: Vec<_> = calculators::ALL
        .iter()
        .map(|e| {
            view! {
                <li>
                    <a class="ask" href=format!("#/calculator/{}", e.id)>
                        <strong>{e.question}</strong>
                        <span class="muted">{e.title}</span>
                    </a>
                </li>
            }
        })
        .collect();
    view! {
        {bar(Signal::stored("Brimwise".to_string()), None)}
        <main id="main" tabindex="-1" class="page home">
            <p class="verdict lead">"Know what spills, starves or smothers before you cut pipe or move fish."</p>
            <section>
                <h2>"Calculators"</h2>
                <ul class="plain asks">{calculators}</ul>
            </section>
            <section>
                <div class="head"><h2>"Systems"</h2><a class="tap" href="#/systems">"All systems"</a></div>
                <ul class="plain asks">{systems::mine(shell, false)}{systems::demos()}</ul>
                <div class="buttons">{systems::new_one(shell)}</div>
            </section>
            <p class="muted small-print">
                "Results are planning estimates. Local codes and licensed practice come first."
            </p>
        </main>
    }
    .into_any()
}
