//! The few things that need the page itself: focus, files, time, chance.

use crate::units::System;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::wasm_bindgen::{JsCast, JsValue, closure::Closure};
use leptos::web_sys;
use std::cell::Cell;
use std::rc::Rc;
use std::time::Duration;

/// Milliseconds since 1970.
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// The same by the clock of this place.
pub fn here_ms() -> f64 {
    now_ms() - js_sys::Date::new_0().get_timezone_offset() * 60_000.0
}

/// The day here, counted from 1 January 1970.
pub fn day() -> i64 {
    (here_ms() / 86_400_000.0).floor() as i64
}

/// The day here, as in 2026-11-28.
pub fn today() -> String {
    String::from(js_sys::Date::new(&here_ms().into()).to_iso_string()).chars().take(10).collect()
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

/// Does the event that is handled now come from a finger or a mouse? A click by a key counts no clicks.
pub fn by_pointer() -> bool {
    let of = |from: &JsValue, key: &str| js_sys::Reflect::get(from, &key.into()).unwrap_or_default();
    of(&of(&window(), "event"), "detail").as_f64().is_some_and(|clicks| clicks > 0.0)
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

/// What holds the focus, if it stands inside.
pub fn held(inside: &web_sys::Node) -> Option<web_sys::Element> {
    document().active_element().filter(|e| inside.contains(Some(e.unchecked_ref())))
}

/// Gives the focus to the first thing in an element that takes it, and shows it. False where there is none any more.
pub fn goes_to(inside: &web_sys::Element) -> bool {
    let first = inside.query_selector("summary, button, a, input, select").ok().flatten();
    let first = first.and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()).filter(|e| e.is_connected());
    first.is_some_and(|e| e.focus().is_ok())
}

/// Gives the focus back after what held it was moved or made anew: to the same thing, else to one of the same name, else to the heading of
/// the part that it stood in or, where the whole screen is another, of the screen, else to the result or the whole content. The page does
/// not scroll for it.
pub fn keep_focus(held: Option<web_sys::Element>, inside: &web_sys::Node) {
    let Some(held) = held.filter(|h| document().active_element().as_ref() != Some(h)) else { return };
    if held.is_connected() {
        return quietly(&held);
    }
    let Some(inside) = inside.dyn_ref::<web_sys::Element>() else { return };
    let at = |heading: &web_sys::Element| {
        // A summary takes it as it is.
        if heading.tag_name().starts_with('H') {
            let _ = heading.set_attribute("tabindex", "-1");
        }
        quietly(heading);
    };
    let name = |e: &web_sys::Element| (e.id(), e.get_attribute("aria-label"), e.text_content());
    if let Ok(all) = inside.query_selector_all(&held.tag_name()) {
        for i in 0..all.length() {
            let one = all.item(i).and_then(|n| n.dyn_into::<web_sys::Element>().ok());
            if let Some(same) = one.filter(|e| name(e) == name(&held)) {
                return quietly(&same);
            }
        }
    }
    let mut outer = Some(inside.clone()).filter(|e| e.closest("main").is_ok_and(|m| m.is_some()));
    while let Some(e) = outer.filter(|e| !e.tag_name().eq_ignore_ascii_case("main")) {
        if let Ok(Some(heading)) = e.query_selector("h2, h3, summary") {
            return at(&heading);
        }
        outer = e.parent_element();
    }
    if let Ok(Some(screen)) = inside.query_selector("h1") {
        return at(&screen);
    }
    if let Some(last) = by_id("verdict").or_else(|| by_id("main")) {
        quietly(&last);
    }
}

/// Has the style of the page know how far down what has the focus ends.
pub fn mark() {
    let at = document().active_element().map_or(0.0, |e| e.get_bounding_client_rect().bottom());
    if let Some(root) = document().document_element().and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()) {
        let _ = root.style().set_property("--at", &format!("{}px", at + window().scroll_y().unwrap_or(0.0)));
    }
}

/// Keeps what holds the focus where it stands on the screen while what is over it changes its height. At the top of a page browsers do not, and some never.
/// A guest's frame grows with its content: what is moved there is the page around it.
pub fn hold_still() {
    if window().parent().ok().flatten().is_some_and(|around| around != window()) {
        return;
    }
    let Some(e) = document().active_element().filter(|_| typing()) else { return };
    let top = e.get_bounding_client_rect().top();
    // By the second frame what follows from a key stands there.
    request_animation_frame(move || {
        request_animation_frame(move || {
            let moved = e.get_bounding_client_rect().top() - top;
            if e.is_connected() && moved.abs() >= 1.0 {
                window().scroll_by_with_x_and_y(0.0, moved);
            }
        });
    });
}

/// Brings what holds the focus back into sight, if it has left it.
pub fn keep_in_sight() {
    let Some(e) = document().active_element() else { return };
    let how = js_sys::Object::new();
    let _ = js_sys::Reflect::set(&how, &"block".into(), &"nearest".into());
    let _ = call_on(&e, "scrollIntoView", &[how.into()]);
}

/// Puts the focus on something without moving the page.
pub fn quietly(e: &web_sys::Element) {
    let still = js_sys::Object::new();
    let _ = js_sys::Reflect::set(&still, &"preventScroll".into(), &true.into());
    let _ = call_on(e, "focus", &[still.into()]);
}

/// Where a link leads to: the public address where the page names one, else its own. Empty where nobody else could open it.
pub fn address() -> String {
    let named = document().query_selector("meta[name=brimwise-address]").ok().flatten();
    if let Some(named) = named.and_then(|m| m.get_attribute("content")).filter(|a| !a.is_empty()) {
        return named;
    }
    let here = window().location().href().unwrap_or_default();
    if here.starts_with("http") { here.split('#').next().unwrap_or_default().into() } else { String::new() }
}

/// The units that a first visit begins with: those of the region that the browser's language is of.
pub fn first_units() -> System {
    let us = window().navigator().language().is_some_and(|tag| tag.ends_with("-US"));
    if us { System::Us } else { System::Metric }
}

/// Calls what may not be there: `path` leads from the window to a function, such as `navigator.share`. Nothing where it is not there.
pub fn call(path: &str, words: &[JsValue]) -> Option<Result<JsValue, JsValue>> {
    let mut this = JsValue::NULL;
    let mut at: JsValue = window().into();
    for name in path.split('.') {
        this = std::mem::replace(&mut at, JsValue::UNDEFINED);
        at = js_sys::Reflect::get(&this, &name.into()).ok()?;
    }
    let words: js_sys::Array = words.iter().collect();
    Some(at.dyn_into::<js_sys::Function>().ok()?.apply(&this, &words))
}

/// Is there such a function?
pub fn can(path: &str) -> bool {
    let start: JsValue = window().into();
    let end = path.split('.').try_fold(start, |at, name| js_sys::Reflect::get(&at, &name.into()));
    end.is_ok_and(|f| f.is_function())
}

/// How long the typing must pause before what takes long is worked out again.
pub const PAUSE: Duration = Duration::from_millis(400);

/// Something to be done after a pause, unless it is put off, or what it belongs to is gone by then.
#[derive(Clone, Copy)]
pub struct Later(StoredValue<Option<TimeoutHandle>>);

impl Later {
    /// Nothing yet; it ends with the piece that is being made.
    pub fn here() -> Self {
        let later = Self(StoredValue::new(None));
        on_cleanup(move || later.stop());
        later
    }
    /// Not now.
    pub fn stop(self) {
        if let Some(Some(timer)) = self.0.try_update_value(Option::take) {
            timer.clear();
        }
    }
    /// This, and nothing that was to be done before.
    pub fn after(self, pause: Duration, act: impl FnOnce() + 'static) {
        self.stop();
        self.0.set_value(set_timeout_with_handle(act, pause).ok());
    }
}

/// How long to wait for the browser to draw and to be idle: what nobody looks at is not drawn at all.
const UNDRAWN: Duration = Duration::from_millis(1000);

/// Does something once the browser has drawn what there is and the person wants nothing of it.
pub fn once_idle(act: impl FnOnce() + 'static) {
    let act = Rc::new(Cell::new(Some(act)));
    let go = move || {
        if let Some(act) = act.take() {
            act();
        }
    };
    set_timeout(go.clone(), UNDRAWN);
    request_animation_frame(move || {
        let soon = Closure::once_into_js(go.clone());
        if call("requestIdleCallback", &[soon]).is_none() {
            set_timeout(go, Duration::ZERO);
        }
    });
}

/// Waits for what a call promised.
pub fn then(promise: JsValue, act: impl FnOnce(Result<JsValue, JsValue>) + 'static) {
    let Ok(promise) = promise.dyn_into::<js_sys::Promise>() else { return };
    let act: Box<dyn FnOnce(Result<JsValue, JsValue>)> = Box::new(act);
    let act = Rc::new(Cell::new(Some(act)));
    let other = act.clone();
    type Act = Box<dyn FnOnce(Result<JsValue, JsValue>)>;
    let run = |act: Option<Act>, with| {
        if let Some(act) = act {
            act(with);
        }
    };
    let done = Closure::once_into_js(move |v: JsValue| run(act.take(), Ok(v)));
    let failed = Closure::once_into_js(move |e: JsValue| run(other.take(), Err(e)));
    let _ = call_on(&promise, "then", &[done, failed]);
}

fn call_on(this: &JsValue, name: &str, words: &[JsValue]) -> Result<JsValue, JsValue> {
    let words: js_sys::Array = words.iter().collect();
    js_sys::Reflect::get(this, &name.into())?.unchecked_into::<js_sys::Function>().apply(this, &words)
}

/// A text that this tab remembers over a reload.
pub fn recall(key: &str) -> Option<String> {
    window().session_storage().ok()??.get_item(key).ok()?
}

/// Has this tab remember a text.
pub fn remember(key: &str, text: &str) {
    if let Ok(Some(tab)) = window().session_storage() {
        let _ = tab.set_item(key, text);
    }
}

/// Selects what stands in a text field.
pub fn select(id: &str) {
    if let Some(field) = by_id(id) {
        let _ = field.focus();
        let _ = call_on(&field, "select", &[]);
    }
}

/// Goes on to the next field that is shown; after the last the keyboard of a phone goes.
pub fn onward(from: &str) {
    let Ok(all) = document().query_selector_all(".field .entry input:not([readonly])") else { return };
    let mut past = false;
    for i in 0..all.length() {
        let id = all.item(i).and_then(|n| n.dyn_into::<web_sys::Element>().ok()).map(|e| e.id()).unwrap_or_default();
        if past {
            select(&id);
            if focused(&id) {
                return;
            }
        }
        past |= id == from;
    }
    if let Some(last) = by_id(from) {
        let _ = last.blur();
    }
}

/// The kind of a file of JSON.
pub const JSON: &str = "application/json";

/// Hands the person a text as a file of a media type.
///
/// # Errors
/// What the browser says.
pub fn download(name: &str, text: &str, kind: &str) -> Result<(), JsValue> {
    let options = web_sys::BlobPropertyBag::new();
    options.set_type(kind);
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
