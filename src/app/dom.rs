//! The few things that need the page itself: focus, files, time, chance.

use leptos::prelude::*;
use leptos::wasm_bindgen::{JsCast, JsValue, closure::Closure};
use leptos::web_sys;

/// Milliseconds since 1970.
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// A number drawn at random, for identifiers.
pub fn random() -> u64 {
    let half = || (js_sys::Math::random() * 4_294_967_296.0) as u64;
    (half() << 32) | half()
}

/// The element with this id.
pub fn by_id(id: &str) -> Option<web_sys::HtmlElement> {
    document().get_element_by_id(id)?.dyn_into().ok()
}

/// Brings an element into sight, opening what hides it, and puts the focus on it.
pub fn reveal(id: &str) {
    let Some(element) = by_id(id) else { return };
    let mut outer = element.parent_element();
    while let Some(e) = outer {
        if e.tag_name().eq_ignore_ascii_case("details") {
            let _ = e.set_attribute("open", "");
        }
        outer = e.parent_element();
    }
    element.scroll_into_view();
    let _ = element.focus();
}

/// Opens a `details` element by the id of its summary, and puts the focus there.
pub fn open(summary_id: &str) {
    if let Some(details) = by_id(summary_id).and_then(|e| e.parent_element()) {
        let _ = details.set_attribute("open", "");
    }
    reveal(summary_id);
}

/// Is the `details` element open that an event comes from?
pub fn is_open(ev: &web_sys::Event) -> bool {
    ev.target().and_then(|t| t.dyn_into::<web_sys::Element>().ok()).is_some_and(|e| e.has_attribute("open"))
}

/// The key of a keyboard event.
pub fn key(ev: &web_sys::Event) -> String {
    ev.dyn_ref::<web_sys::KeyboardEvent>().map(web_sys::KeyboardEvent::key).unwrap_or_default()
}

/// True if the keyboard is writing into a text field now.
pub fn typing() -> bool {
    let active = document().active_element();
    active.is_some_and(|e| {
        let tag = e.tag_name();
        let kind = e.get_attribute("type").unwrap_or_default();
        tag.eq_ignore_ascii_case("textarea")
            || (tag.eq_ignore_ascii_case("input") && !matches!(kind.as_str(), "radio" | "checkbox" | "file"))
    })
}

/// True if the element with this id holds the focus.
pub fn focused(id: &str) -> bool {
    document().active_element().is_some_and(|e| e.id() == id)
}

/// Hands the person a text as a file.
///
/// # Errors
/// What the browser says.
pub fn download(name: &str, text: &str) -> Result<(), JsValue> {
    let options = web_sys::BlobPropertyBag::new();
    options.set_type("application/json");
    let blob = web_sys::Blob::new_with_str_sequence_and_options(&js_sys::Array::of1(&text.into()), &options)?;
    let url = web_sys::Url::create_object_url_with_blob(&blob)?;
    let link: web_sys::HtmlAnchorElement = document().create_element("a")?.unchecked_into();
    link.set_href(&url);
    link.set_download(name);
    // Some browsers follow only links that are part of the page.
    let body = document().body();
    if let Some(body) = &body {
        body.append_child(&link)?;
    }
    link.click();
    link.remove();
    // Some browsers read the address only after the click has been dealt with.
    set_timeout(
        move || {
            let _ = web_sys::Url::revoke_object_url(&url);
        },
        std::time::Duration::from_secs(10),
    );
    Ok(())
}

/// Reads the file chosen in an `input type=file`, if it is no larger than `largest` bytes, and empties the input so that the same file can
/// be chosen again. `then` gets the text, or a sentence.
pub fn read_file(
    input: &web_sys::HtmlInputElement,
    largest: usize,
    then: impl FnOnce(Result<String, String>) + 'static,
) {
    let Some(file) = input.files().and_then(|f| f.get(0)) else { return };
    if file.size() > largest as f64 {
        let kib = (file.size() / 1024.0).ceil();
        input.set_value("");
        return then(Err(format!("The file is {kib} KiB large. At most {} KiB are read.", largest / 1024)));
    }
    let Ok(reader) = web_sys::FileReader::new() else {
        return then(Err("This browser cannot read files here.".into()));
    };
    let inner = reader.clone();
    let done = Closure::once_into_js(move || {
        then(match inner.result().ok().and_then(|r| r.as_string()) {
            Some(text) => Ok(text),
            None => Err("The file could not be read.".into()),
        });
    });
    reader.set_onloadend(Some(done.unchecked_ref()));
    let _ = reader.read_as_text(&file);
    input.set_value("");
}
