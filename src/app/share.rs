//! Work handed on: as a link, as a square for a camera.

use super::el::*;
use super::parts::fold;
use super::{Shell, desk::Desk, dom};
use crate::session::{Route, code, link, qr::Symbol};
use leptos::prelude::*;
use leptos::wasm_bindgen::JsValue;

/// The square, black on white in any light.
pub(super) fn square(s: &Symbol) -> El {
    let side = s.side.to_string();
    svg("svg")
        .class("qr")
        .set("viewBox", &format!("0 0 {side} {side}"))
        .set("shape-rendering", "crispEdges")
        .set("role", "img")
        .set("aria-label", "The same as a QR code")
        .kid(svg("rect").class("qr-light").set("width", &side).set("height", &side))
        .kid(svg("path").class("qr-dark").set("d", &s.path))
}

const FIELD: &str = "share-text";

/// Copies a text; where the browser does not, the person can, from the field that holds it.
pub(super) fn copy(shell: Shell, text: &str, field: &'static str) {
    let by_hand = move || {
        dom::select(field);
        let done = dom::call("document.execCommand", &["copy".into()]);
        let done = matches!(done, Some(Ok(v)) if v.is_truthy());
        shell.tell(if done { "Copied." } else { "It is selected: copy it from there." }, None);
    };
    match dom::call("navigator.clipboard.writeText", &[text.into()]) {
        Some(Ok(promise)) => dom::then(promise, move |done| match done {
            Ok(_) => shell.tell("Copied.", None),
            Err(_) => by_hand(),
        }),
        _ => by_hand(),
    }
}

/// Hands a link to the device's own list of ways to share.
fn hand(shell: Shell, title: &str, text: &str) {
    let data = js_sys::Object::new();
    for (key, value) in [("title", title), ("url", text)] {
        let _ = js_sys::Reflect::set(&data, &key.into(), &value.into());
    }
    let text = text.to_string();
    if let Some(Ok(promise)) = dom::call("navigator.share", &[data.into()]) {
        dom::then(promise, move |done| {
            let name = |e: &JsValue| js_sys::Reflect::get(e, &"name".into()).ok().and_then(|n| n.as_string());
            // Whoever changes their mind wants nothing said.
            if done.is_err_and(|e| name(&e).as_deref() != Some("AbortError")) {
                copy(shell, &text, FIELD);
            }
        });
    }
}

/// The folded part with the link and the square. They are made when it is open, and anew with every change.
pub(super) fn share(desk: Desk) -> El {
    let shell = Shell::get();
    let open = RwSignal::new(false);
    let made = move || {
        let address = dom::address();
        match desk.work.with(|w| link::link(w, &address)) {
            Ok(made) => shown(shell, desk, made, address.is_empty()),
            Err(why) => words("p", "wrong", why).into(),
        }
    };
    let inside = only(move || open.get(), move || part(made));
    fold("sheet fold", "Share by link or code", inside).on("toggle", move |_| open.set(true))
}

fn shown(shell: Shell, desk: Desk, made: link::Link, bare: bool) -> Piece {
    let about = if bare {
        "This copy of the app has no address that others can open. Whoever gets the code pastes it under Systems."
    } else {
        "All that is filled in is in the link itself, in the part that no server sees."
    };
    let (name, small) = if bare { ("Code", "Copy the code") } else { ("Link", "Copy the link") };
    let field = el("input")
        .set("id", FIELD)
        .set("type", "text")
        .set("readonly", "")
        .set("value", &made.text)
        .on("focus", |_| dom::select(FIELD));
    let field =
        div("field").kid(div("label").kid(words("label", "", name).set("for", FIELD))).kid(div("entry").kid(field));
    let text = made.text.clone();
    let share = (!bare && dom::can("navigator.share")).then(|| {
        button("btn go", "Share", move || {
            let title = desk.work.with_untracked(|w| w.called().to_string());
            hand(shell, &title, &text);
        })
    });
    let text = made.text.clone();
    let class = if share.is_some() { "btn" } else { "btn go" };
    let buttons = div("buttons").kid(share).kid(button(class, small, move || copy(shell, &text, FIELD)));
    let square: Piece = match &made.symbol {
        Some(s) => {
            el("figure").class("square").kid(square(s)).kid(words("figcaption", "hint", "For a phone's camera.")).into()
        }
        None => words("p", "hint", "Too much for a QR code. Use the link, or a file.").into(),
    };
    all![words("p", "hint", about), field, buttons, square].into()
}

/// Under which keys a tab remembers the codes that it opened.
const OPENED: &str = "brimwise/linked/";

/// Has this tab remember a code, so that a reload shows it again. Gives the name of its place.
pub(super) fn opened(code: &str) -> String {
    let id = format!("{:.0}", dom::now_ms());
    dom::remember(&format!("{OPENED}{id}"), code);
    id
}

/// The code that this tab opened at that place.
pub(super) fn opened_before(id: &str) -> Option<String> {
    dom::recall(&format!("{OPENED}{id}"))
}

/// What stands over work that came in a link, while it is not kept.
pub(super) fn banner(desk: Desk, own: Option<Route>) -> Piece {
    let shell = Shell::get();
    let keep = move || {
        if desk.keep() {
            shell.tell(format!("Kept: {}.", desk.work.with_untracked(|w| w.called().to_string())), None);
        } else {
            shell.tell(super::shelf::NO_ROOM, None);
        }
    };
    let make = move || {
        let own = own.as_ref().map(|to| words("a", "btn small", "To your own sheet").set("href", &to.hash()));
        el("section")
            .class("banner")
            .set("aria-label", "From a link")
            .kid(words(
                "p",
                "",
                "From a link. It is not kept here until you change it or keep it; nothing of yours was changed.",
            ))
            .kid(div("buttons").kid(button("btn small go", "Keep it", keep)).kid(own))
    };
    only(move || desk.place.with(Option::is_none), make)
}

/// The box that takes a code or a link.
pub(super) fn paste_box(shell: Shell) -> Piece {
    let wrong = RwSignal::new(Vec::<String>::new());
    let text = RwSignal::new(String::new());
    let open = move || {
        let code = text.with_untracked(|t| code::find(t));
        match code::decode(&code) {
            Ok(_) => shell.go(&Route::Code(code)),
            Err(why) => wrong.set(vec![why.to_string()]),
        }
    };
    let input = el("input")
        .set("id", "paste")
        .set("type", "text")
        .set("autocomplete", "off")
        .set("spellcheck", "false")
        .on("input", move |ev| text.set(typed(&ev)))
        .on("keydown", move |ev| {
            if dom::key(&ev) == "Enter" {
                open();
            }
        });
    let field = div("field")
        .kid(div("label").kid(words("label", "", "A link or code that you were given").set("for", "paste")))
        .kid(div("entry").kid(input).kid(button("btn", "Open", open)));
    all![field, super::shelf::reasons(wrong)].into()
}
