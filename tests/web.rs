//! Tests of browser code, in a browser: `cargo xtask test browser`.
#![cfg(target_arch = "wasm32")]

use leptos::prelude::*;
use leptos::wasm_bindgen::JsCast;
use leptos::web_sys::HtmlElement;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// An empty place in the page, for one test.
fn place() -> HtmlElement {
    let place = document().create_element("div").expect("an element").unchecked_into::<HtmlElement>();
    document().body().expect("a body").append_child(&place).expect("room in the body");
    place
}

#[wasm_bindgen_test]
async fn a_view_is_mounted_changes_and_is_taken_away() {
    let place = place();
    let count = RwSignal::new(2);
    let mounted = leptos::mount::mount_to(place.clone(), move || view! { <output>{move || count.get()}</output> });
    let shown = || place.text_content().unwrap_or_default();
    assert_eq!(shown(), "2");
    count.set(3);
    leptos::task::tick().await;
    assert_eq!(shown(), "3");
    drop(mounted);
    assert_eq!(shown(), "");
    place.remove();
}
