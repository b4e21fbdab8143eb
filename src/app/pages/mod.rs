//! The screens.

pub(super) mod calculator;
pub(super) mod home;
pub(super) mod system;
pub(super) mod systems;

use super::bar;
use leptos::prelude::*;

/// There is nothing at this address.
pub(super) fn lost() -> AnyView {
    view! {
        {bar(Signal::stored("Nothing here".to_string()), Some("#/"))}
        <main id="main" tabindex="-1" class="page">
            <p class="verdict">"There is nothing at this address."</p>
            <p><a href="#/">"To the list of calculators and systems"</a></p>
        </main>
    }
    .into_any()
}
