//! The browser part: the only one that knows a page.
//!
//! [`start`] mounts [`app`] into the page's own element. Pages show what the layers to the left of this one compute and never compute
//! themselves; the form, the fields, the staff and the pictures know no field, fish or pipe by name.

pub mod board;
pub mod desk;
pub mod dom;
mod field;
mod figure;
mod form;
mod gauge;
mod pages;
mod parts;
mod shelf;
pub mod store;
mod way;

use crate::calculators;
use crate::session::{Route, keys};
use crate::units::{System, Words};
use leptos::prelude::*;
use leptos::wasm_bindgen::JsCast;
use leptos::web_sys;
use std::time::Duration;
use store::Store;

/// What a button of a message does. It outlives the part of the page that sent the message, so it is not kept in that part's arena.
pub type Act = std::sync::Arc<dyn Fn() + Send + Sync>;

/// Makes one.
pub fn act(f: impl Fn() + Send + Sync + 'static) -> Act {
    std::sync::Arc::new(f)
}

/// A short message that comes and goes, with one thing that can be done about it.
#[derive(Clone)]
pub struct Notice {
    /// What happened.
    pub text: String,
    /// The words on the button, and what it does.
    pub act: Option<(&'static str, Act)>,
    /// Is it still of use on the next screen?
    pub stays: bool,
}

impl std::fmt::Debug for Notice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.text)
    }
}

/// What every page shares.
#[derive(Clone, Copy, Debug)]
pub struct Shell {
    /// The unit system.
    pub units: RwSignal<System>,
    /// What is kept.
    pub store: Store,
    /// Where the person is.
    pub route: RwSignal<Route>,
    /// The message shown now.
    pub notice: RwSignal<Option<Notice>>,
    /// What is said to those who listen, a moment after things have settled.
    said: RwSignal<String>,
    saying: StoredValue<Option<leptos::leptos_dom::helpers::TimeoutHandle>>,
}

/// How long after the last change the summary is said.
const SETTLED: Duration = Duration::from_millis(1000);

impl Shell {
    fn new(store: Store) -> Self {
        let units = match store.setting(keys::UNITS).as_deref() {
            Some("us") => System::Us,
            _ => System::Metric,
        };
        let hash = location_hash().unwrap_or_default();
        Self {
            units: RwSignal::new(units),
            store,
            route: RwSignal::new(Route::parse(&hash)),
            notice: RwSignal::new(None),
            said: RwSignal::new(String::new()),
            saying: StoredValue::new(None),
        }
    }
    /// The shell of the page that is being made.
    pub fn get() -> Self {
        expect_context()
    }
    /// The words for the present unit system.
    pub fn words(self) -> Words {
        Words { system: self.units.get() }
    }
    /// Says something to those who listen, once things have settled.
    pub fn say(self, text: String) {
        if let Some(Some(timer)) = self.saying.try_update_value(Option::take) {
            timer.clear();
        }
        self.saying.set_value(set_timeout_with_handle(move || self.said.set(text), SETTLED).ok());
    }
    /// Shows a message.
    pub fn tell(self, text: impl Into<String>, act: Option<(&'static str, Act)>) {
        let text = text.into();
        self.say(text.clone());
        self.notice.set(Some(Notice { text, act, stays: false }));
    }
    /// Says something that is still of use on the next screen.
    pub fn tell_on(self, text: impl Into<String>, act: (&'static str, Act)) {
        let text = text.into();
        self.say(text.clone());
        self.notice.set(Some(Notice { text, act: Some(act), stays: true }));
    }
    /// Goes to a screen.
    pub fn go(self, to: &Route) {
        let _ = window().location().set_hash(&to.hash());
    }
    /// Puts another address on the screen that is shown, without making it anew.
    pub fn readdress(self, to: Route) {
        self.route.update_untracked(|r| r.clone_from(&to));
        if let Ok(history) = window().history() {
            let _ = history.replace_state_with_url(&leptos::wasm_bindgen::JsValue::NULL, "", Some(&to.hash()));
        }
    }
    fn switch(self) {
        let to = match self.units.get_untracked() {
            System::Metric => System::Us,
            System::Us => System::Metric,
        };
        self.units.set(to);
        self.store.set_setting(keys::UNITS, if to == System::Us { "us" } else { "metric" });
    }
}

/// Mounts the app into the page's `#app`, or into its body. Called once, by the page itself.
pub fn start() {
    let element = dom::by_id("app").or_else(|| document().body());
    if let Some(element) = element {
        element.set_text_content(None);
        leptos::mount::mount_to(element, app).forget();
    }
}

/// The app over the browser's own storage.
pub fn app() -> impl IntoView {
    app_over(store::vault())
}

/// The app over any vault.
pub fn app_over(vault: Box<dyn store::Vault>) -> AnyView {
    let shell = Shell::new(Store::new(vault));
    provide_context(shell);
    listen(shell);
    let page = move || match shell.route.get() {
        Route::Home => pages::home::page(),
        Route::Calculator { id, saved } => match calculators::by_id(&id) {
            Some(entry) => pages::calculator::page(entry, saved),
            None => pages::lost(),
        },
        Route::Systems => pages::systems::page(),
        Route::System(id) => pages::system::saved(id),
        Route::Demo(id) => pages::system::demo(&id),
        Route::Lost => pages::lost(),
    };
    let skip = move |ev: web_sys::MouseEvent| {
        ev.prevent_default();
        dom::reveal("main");
    };
    view! {
        <a class="skip" href="#main" on:click=skip>"Skip to the content"</a>
        {gauge::pattern()}
        {page}
        <div class="foot-space"></div>
        {notice(shell)}
        <p class="unseen" role="status">{move || shell.said.get()}</p>
    }
    .into_any()
}

/// The listeners of the whole window.
fn listen(shell: Shell) {
    let go = window_event_listener(leptos::ev::hashchange, move |_| {
        let to = Route::parse(&location_hash().unwrap_or_default());
        if shell.route.with_untracked(|r| *r != to) {
            shell.store.flush();
            shell.notice.update(|n| *n = n.take().filter(|n| n.stays).map(|n| Notice { stays: false, ..n }));
            shell.route.set(to);
            window().scroll_to_with_x_and_y(0.0, 0.0);
            request_animation_frame(|| {
                if let Ok(Some(h1)) = document().query_selector("h1")
                    && let Ok(h1) = h1.dyn_into::<web_sys::HtmlElement>()
                {
                    let _ = h1.focus();
                }
            });
        }
    });
    let hide = window_event_listener(leptos::ev::pagehide, move |_| shell.store.flush());
    let away = window_event_listener_untyped("visibilitychange", move |_| {
        if document().visibility_state() == web_sys::VisibilityState::Hidden {
            shell.store.flush();
        }
    });
    // Folded parts do not print, so they are opened for it.
    let print = window_event_listener_untyped("beforeprint", |_| {
        if let Ok(all) = document().query_selector_all("details.prints") {
            for i in 0..all.length() {
                if let Some(e) = all.item(i).and_then(|n| n.dyn_into::<web_sys::Element>().ok()) {
                    let _ = e.set_attribute("open", "");
                }
            }
        }
    });
    on_cleanup(move || {
        shell.store.flush();
        for handle in [go, hide, away, print] {
            handle.remove();
        }
    });
}

fn notice(shell: Shell) -> AnyView {
    let close = move |_| shell.notice.set(None);
    let inside = move || {
        shell.notice.get().map(|n| {
            let act = n.act.map(|(word, act)| {
                let go = move |_| {
                    shell.notice.set(None);
                    act();
                };
                view! { <button type="button" class="btn small" on:click=go>{word}</button> }
            });
            view! {
                <div class="notice">
                    <p>{n.text}</p>
                    {act}
                    <button type="button" class="icon" aria-label="Close this message" on:click=close>"×"</button>
                </div>
            }
        })
    };
    view! { <aside class="notices" aria-label="Messages">{inside}</aside> }.into_any()
}

/// The bar of a page: the way back, the title, the unit switch.
fn bar(title: Signal<String>, back: Option<&'static str>) -> AnyView {
    let shell = Shell::get();
    Effect::new(move |_| document().set_title(&format!("{} · Brimwise", title.get())));
    let units = move || if shell.units.get() == System::Us { "gal · in" } else { "L · mm" };
    let said = move || {
        let (now, other) =
            if shell.units.get() == System::Us { ("US customary", "metric") } else { ("metric", "US customary") };
        format!("{}: units are {now}, change to {other}", units())
    };
    view! {
        <header class="bar">
            {back.map(|to| view! { <a class="icon" href=to aria-label="Back to the list">{glyph("M15 5L8 12L15 19")}</a> })}
            <h1 tabindex="-1">{move || title.get()}</h1>
            <button type="button" class="btn small units" aria-label=said on:click=move |_| shell.switch()>{units}</button>
        </header>
        {trouble(shell)}
    }
    .into_any()
}

/// Undo and redo from the keyboard; inside a text field the browser's own undo is left alone.
fn undo_keys(desk: desk::Desk) {
    let handle = window_event_listener(leptos::ev::keydown, move |ev| {
        if !(ev.ctrl_key() || ev.meta_key()) || ev.alt_key() || dom::typing() {
            return;
        }
        match (ev.key().as_str(), ev.shift_key()) {
            ("z", false) => desk.undo(),
            ("Z" | "z", true) | ("y", false) => desk.redo(),
            _ => return,
        }
        ev.prevent_default();
    });
    on_cleanup(move || handle.remove());
}

/// Undo and redo.
fn steps_of(d: desk::Desk) -> AnyView {
    view! {
        <div class="steps-of">
            <button type="button" class="icon" aria-label="Undo" disabled=move || !d.can.get().0 on:click=move |_| d.undo()>
                {glyph("M9 5L4 10L9 15M4 10H14a5 5 0 0 1 0 10H11")}
            </button>
            <button type="button" class="icon" aria-label="Redo" disabled=move || !d.can.get().1 on:click=move |_| d.redo()>
                {glyph("M15 5L20 10L15 15M20 10H10a5 5 0 0 0 0 10H13")}
            </button>
        </div>
    }
    .into_any()
}

/// A mark drawn with one line.
fn glyph(path: &'static str) -> AnyView {
    view! { <svg class="glyph" viewBox="0 0 24 24" aria-hidden="true" focusable="false"><path d=path/></svg> }
        .into_any()
}

/// What cannot be kept, and what was moved aside.
fn trouble(shell: Shell) -> AnyView {
    let store = shell.store;
    let sentence = move || store.trouble.get().map(|t| view! { <p class="banner" role="alert">{t}</p> });
    let asides = move || {
        let all = store.asides.get();
        let count = all.len();
        (count > 0).then(|| {
            let items: Vec<_> = all
                .into_iter()
                .map(|a| {
                    let name = a.key.rsplit('/').next().unwrap_or("work").to_string();
                    let (file, key, text) = (format!("{name}.txt"), a.key.clone(), a.text);
                    let get = move |_| {
                        let _ = dom::download(&file, &text);
                    };
                    let drop = move |_| store.drop_aside(&key);
                    let (save, forget) = (format!("Save as a file: {name}"), format!("Forget it: {name}"));
                    view! {
                        <li>
                            <span class="muted">{name}</span>
                            <button type="button" class="btn small" aria-label=save on:click=get>"Save as a file"</button>
                            <button type="button" class="btn small" aria-label=forget on:click=drop>"Forget it"</button>
                        </li>
                    }
                })
                .collect();
            let said = if count == 1 { "One saved entry could not be read. It is kept aside, as it was found." } else { "Some saved entries could not be read. They are kept aside, as they were found." };
            view! { <div class="banner"><p>{said}</p><ul class="plain asides">{items}</ul></div> }
        })
    };
    view! { <section aria-label="Saved work">{sentence} {asides}</section> }.into_any()
}
