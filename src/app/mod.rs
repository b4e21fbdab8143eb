//! The browser part: the only one that knows a page.
//!
//! [`start`] mounts [`app`] into the page's own element. Pages show what the layers to the left of this one compute and never compute
//! themselves; the form, the fields, the staff and the pictures know no field, fish or pipe by name.

pub mod board;
pub mod desk;
pub mod dom;
mod doors;
mod early;
pub mod el;
mod field;
mod figure;
mod form;
mod gauge;
mod keeping;
mod offline;
mod pages;
mod paper;
mod parts;
mod share;
mod shelf;
pub mod store;
mod tabs;
mod way;

use crate::calculators::{self, form::Edit};
use crate::session::{Route, keys};
use crate::units::{System, Words};
use doors::{Need, Parts, Stand};
use el::*;
use leptos::prelude::*;
use leptos::wasm_bindgen::JsCast;
use leptos::web_sys;
use std::cell::{Cell, RefCell};
use std::time::Duration;
use store::Store;

/// What a button of a message does. It outlives the part of the page that sent the message, so it is not kept in that part's arena.
pub type Act = std::sync::Arc<dyn Fn() + Send + Sync>;

/// Makes one.
pub fn act(f: impl Fn() + Send + Sync + 'static) -> Act {
    std::sync::Arc::new(f)
}

/// The word on the button that takes back what a message says.
const UNDO: &str = "Undo";

/// A short message that comes and goes, with one thing that can be done about it.
#[derive(Clone)]
pub struct Notice {
    /// What happened.
    pub text: String,
    /// The words on the button, and what it does.
    pub act: Option<(&'static str, Act)>,
    /// Is it still of use on the next screen?
    pub stays: bool,
    /// Does it take back the last step of the work in hand?
    pub step: bool,
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
    /// Which parts of the app are there.
    parts: Parts,
    /// Where the person is.
    pub route: RwSignal<Route>,
    /// The message shown now.
    pub notice: RwSignal<Option<Notice>>,
    /// What is said to those who listen, a moment after things have settled.
    said: RwSignal<String>,
    saying: StoredValue<Option<leptos::leptos_dom::helpers::TimeoutHandle>>,
    /// What waits to be said: what happened, and how things stand since.
    happened: RwSignal<String>,
    stands: RwSignal<String>,
    /// What the screen is on paper.
    paper: paper::Slot,
    /// How much of the first screen stands there.
    drawn: RwSignal<Drawn>,
}

/// How much of the first screen stands there. What is out of sight at first waits for a turn of its own, so that the rest answers sooner; later
/// screens are made in one go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Drawn {
    /// What is in sight, at the most.
    Seen,
    /// What stands below it too.
    Below,
    /// What is folded away too: all.
    Folded,
}

fn kept_units(store: Store) -> System {
    match store.setting(keys::UNITS).as_deref() {
        Some("us") => System::Us,
        // A first visit: from then on it is as the person has it.
        None if store.bare() && dom::first_units() == System::Us => {
            store.set_setting(keys::UNITS, "us");
            System::Us
        }
        _ => System::Metric,
    }
}

/// How long after the last change the summary is said.
const SETTLED: Duration = Duration::from_millis(1000);

impl Shell {
    fn new(store: Store, parts: Parts) -> Self {
        let units = kept_units(store);
        let hash = location_hash().unwrap_or_default();
        Self {
            units: RwSignal::new(units),
            store,
            parts,
            route: RwSignal::new(Route::parse(&hash)),
            notice: RwSignal::new(None),
            said: RwSignal::new(String::new()),
            saying: StoredValue::new(None),
            happened: RwSignal::new(String::new()),
            stands: RwSignal::new(String::new()),
            paper: StoredValue::new_local(None),
            drawn: RwSignal::new(Drawn::Seen),
        }
    }
    /// The shell of the page that is being made.
    pub fn get() -> Self {
        expect_context()
    }
    /// The words for the present unit system and day.
    pub fn words(self) -> Words {
        Words { system: self.units.get(), today: Some(dom::day()) }
    }
    /// Says that something happened to those who listen, once things have settled.
    pub fn say(self, text: String) {
        self.say_in(self.happened, text);
    }
    /// Both are said in one go: neither takes the place of the other.
    fn say_in(self, waits: RwSignal<String>, text: String) {
        waits.set(text);
        if let Some(Some(timer)) = self.saying.try_update_value(Option::take) {
            timer.clear();
        }
        let say = move || {
            if let (Some(happened), Some(stands)) = (self.happened.try_get_untracked(), self.stands.try_get_untracked())
            {
                self.said.set(format!("{happened} {stands}").trim().into());
                self.happened.set(String::new());
                self.stands.set(String::new());
            }
        };
        self.saying.set_value(set_timeout_with_handle(say, SETTLED).ok());
    }
    /// Says `text`, if there is any, whenever what it is made of has changed; the first time it is read with the page. Where there is none any more,
    /// what waits of it is not said.
    fn say_when(self, text: impl Fn() -> String + 'static) {
        let last = RefCell::new(String::new());
        Effect::new(move |before: Option<()>| {
            let text = text().trim().to_string();
            let was = last.replace(text.clone());
            let undone = !was.is_empty() && was == self.stands.get_untracked();
            if before.is_some() && (!text.is_empty() || undone) {
                self.say_in(self.stands, text);
            }
        });
    }
    /// Shows a message.
    pub fn tell(self, text: impl Into<String>, act: Option<(&'static str, Act)>) {
        self.show(text.into(), act, false);
    }
    /// Says something that is still of use on the next screen.
    pub fn tell_on(self, text: impl Into<String>, act: Option<(&'static str, Act)>) {
        self.show(text.into(), act, true);
    }
    fn show(self, text: String, act: Option<(&'static str, Act)>, stays: bool) {
        self.say(text.clone());
        let step = !stays && act.as_ref().is_some_and(|(word, _)| *word == UNDO);
        self.notice.set(Some(Notice { text, act, stays, step }));
    }
    /// Goes to a screen.
    pub fn go(self, to: &Route) {
        let _ = window().location().set_hash(&to.hash());
    }
    /// Puts another address on the screen that is shown, without making it anew.
    pub fn readdress(self, to: Route) {
        self.route.update_untracked(|r| r.clone_from(&to));
        if let Ok(history) = window().history() {
            let state = history.state().unwrap_or_default();
            let _ = history.replace_state_with_url(&state, "", Some(&to.hash()));
        }
    }
    /// Makes what has waited, a turn at a time.
    fn draw(self, to: Drawn) {
        // The app may have been taken away in between.
        if self.drawn.try_set(to).is_none() && to < Drawn::Folded {
            dom::once_idle(move || self.draw(Drawn::Folded));
        }
    }
    /// A part of the page that waits on the first screen, until as much of it stands there.
    fn once<V: Into<Piece>>(self, drawn: Drawn, make: impl Fn() -> V + 'static) -> Piece {
        only(move || self.drawn.get() >= drawn, make)
    }
    /// Shows the units that are kept.
    fn read_units(self) {
        self.units.set(kept_units(self.store));
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

/// Begins in the page's `#app`, or in its body. Called once, by the page itself. What the page shows until then stays until the first screen
/// can be shown; the first answer of a guest is shown before that.
pub fn start() {
    let parts = Parts::new();
    match early::guest(&Route::parse(&location_hash().unwrap_or_default())) {
        Some((entry, query)) => parts.sooner(entry.id, move |had| {
            if had {
                early::show(entry, &query);
            }
            parts.begin();
        }),
        None => parts.begin(),
    }
}

/// Mounts the app.
fn begin(parts: Parts) {
    let vault = own_vault();
    let need = Need::of(&Route::parse(&location_hash().unwrap_or_default()), &*vault);
    parts.after(need, move || mount(app_in_parts(vault, parts)));
}

/// Puts something into the page in place of all that stands there.
fn mount(whole: Built) {
    if let Some(element) = dom::by_id("app").or_else(|| document().body()) {
        element.set_text_content(None);
        leptos::mount::mount_to(element, move || whole).forget();
    }
}

/// The app over the browser's own storage.
pub fn app() -> impl IntoView {
    app_over(own_vault())
}

/// A guest in another page keeps nothing, and reaches for nothing that is kept.
fn own_vault() -> Box<dyn store::Vault> {
    if is_guest(&Route::parse(&location_hash().unwrap_or_default())) {
        Box::new(store::Memory::default())
    } else {
        store::vault()
    }
}

fn is_guest(route: &Route) -> bool {
    matches!(route, Route::Guest(..))
}

/// The app over any vault.
pub fn app_over(vault: Box<dyn store::Vault>) -> Built {
    app_in_parts(vault, Parts::new())
}

fn app_in_parts(vault: Box<dyn store::Vault>, parts: Parts) -> Built {
    Built(Box::new(move || whole(vault, parts)))
}

fn whole(vault: Box<dyn store::Vault>, parts: Parts) -> Piece {
    let shell = Shell::new(Store::new(vault, parts), parts);
    provide_context(shell);
    listen(shell);
    paper::listen(shell);
    let offline = offline::listen(shell);
    tabs::listen(shell);
    keeping::look(shell.store);
    let page = part(move || {
        // What was said of another page stands there for who reads on.
        shell.said.set(String::new());
        screen(shell)
    });
    dom::once_idle(move || shell.draw(Drawn::Below));
    // Lists of what is kept hold what can be read already, and follow when all of it can be.
    parts.listen(move || shell.store.changed());
    let skip = words("a", "skip", "Skip to the content").set("href", "#main").on("click", |ev| {
        ev.prevent_default();
        dom::reveal("main");
    });
    let said = el("p").class("unseen").set("role", "status").say(move || shell.said.get());
    all![skip, gauge::pattern(), page, div("foot-space"), notice(shell, offline), said].into()
}

/// The screen where the person is, or what stands there until it can be shown.
fn screen(shell: Shell) -> Piece {
    let route = shell.route.get();
    let need = shell.store.need_of(&route);
    // Other parts that come do not make the screen anew.
    let stand = Memo::new(move |_| shell.parts.stand(need));
    let stand = stand.get();
    if stand != Stand::There {
        return doors::waiting(shell.parts, need, stand, is_guest(&route));
    }
    match (route, shell.parts.whole().map(doors::Whole::doors)) {
        (Route::Home, _) => pages::home::page(),
        (Route::Calculator { id, saved }, _) => match (calculators::by_id(&id), shell.parts.sheets(need)) {
            (Some(entry), Some(sheets)) => (sheets.page)(entry, saved),
            _ => pages::lost(),
        },
        (Route::Guest(id, query), doors) => pages::guest::page(&id, &query, shell.parts.sheets(need), doors),
        (Route::Systems, Some(doors)) => (doors.systems)(),
        (Route::Plan, Some(doors)) => (doors.plan)(),
        (Route::System(id), Some(doors)) => (doors.system)(id),
        (Route::Demo(id), Some(doors)) => (doors.demo)(&id),
        (Route::Site(id), Some(doors)) => (doors.site)(&id),
        (Route::Code(code), Some(doors)) => (doors.code)(&code),
        (Route::Linked(id), Some(doors)) => (doors.linked)(&id),
        (_, _) => pages::lost(),
    }
}

/// The number of this step of the browser's history, and whether it has been there before.
fn step_here() -> (f64, bool) {
    let Ok(history) = window().history() else { return (0.0, false) };
    if let Some(number) = history.state().ok().and_then(|s| s.as_f64()) {
        return (number, true);
    }
    let number = dom::now_ms();
    let _ = history.replace_state_with_url(&number.into(), "", None);
    (number, false)
}

/// The listeners of the whole window.
fn listen(shell: Shell) {
    // Where the screens of this visit were left: the step, and how far down.
    let left = RefCell::new(Vec::<(f64, f64)>::new());
    let step = Cell::new(step_here().0);
    if let Ok(history) = window().history() {
        // The screen of a step is not there yet when the browser would look for its place.
        let _ = js_sys::Reflect::set(&history, &"scrollRestoration".into(), &"manual".into());
    }
    let go = window_event_listener_untyped("hashchange", move |_| {
        let to = Route::parse(&location_hash().unwrap_or_default());
        if shell.route.with_untracked(|r| *r != to) {
            shell.store.flush();
            shell.notice.update(|n| *n = n.take().filter(|n| n.stays).map(|n| Notice { stays: false, ..n }));
            let (is, was) = (is_guest(&to), shell.route.with_untracked(is_guest));
            if is != was {
                // A guest keeps nothing and looks as it is told; nobody else does.
                let _ = window().location().reload();
            }
            left.borrow_mut().push((step.get(), window().scroll_y().unwrap_or(0.0)));
            let (number, back) = step_here();
            step.set(number);
            let from = shell.route.with_untracked(Route::hash);
            shell.route.set(to);
            // What stands in a page of others must not take the focus from it.
            if is {
                return;
            }
            // Back is to where one was, and to the link that led away.
            let place = left.borrow().iter().rev().find(|(n, _)| *n == number).map(|(_, y)| *y);
            let place = place.filter(|_| back).unwrap_or(0.0);
            window().scroll_to_with_x_and_y(0.0, 0.0);
            request_animation_frame(move || {
                let find = |what: &str| document().query_selector(what).ok().flatten();
                window().scroll_to_with_x_and_y(0.0, place);
                let link = Some(from).filter(|_| back).and_then(|from| find(&format!("main a[href='{from}']")));
                if let Some(at) = link.or_else(|| find("h1")) {
                    dom::quietly(&at);
                }
            });
        }
    });
    let hide = window_event_listener_untyped("pagehide", move |_| shell.store.flush());
    let away = window_event_listener_untyped("visibilitychange", move |_| {
        if document().visibility_state() == web_sys::VisibilityState::Hidden {
            shell.store.flush();
        }
    });
    on_cleanup(move || {
        shell.store.flush();
        for handle in [go, hide, away] {
            handle.remove();
        }
    });
}

fn notice(shell: Shell, offline: offline::Offline) -> El {
    let inside = move || {
        shell.notice.get().map(|n| {
            if shell.route.with_untracked(is_guest) {
                dom::mark();
            }
            let act = n.act.map(|(word, act)| {
                button("btn small", word, move || {
                    shell.notice.set(None);
                    act();
                })
            });
            let close = button("icon", "×", move || shell.notice.set(None)).set("aria-label", "Close this message");
            div("notice").kid(words("p", "", &n.text)).kid(act).kid(close)
        })
    };
    el("aside").class("notices").set("aria-label", "Messages").kid(offline::notice(shell, offline)).part(inside)
}

/// What the app is called.
const NAME: &str = "Brimwise";

/// The bar of a page: the way back, the title, the unit switch.
fn bar(title: impl Fn() -> String + Clone + 'static, back: Option<&'static str>) -> Piece {
    let shell = Shell::get();
    let heading = el("h1").set("tabindex", "-1").say(move || {
        let title = title();
        document().set_title(&if title == NAME { title.clone() } else { format!("{title} · {NAME}") });
        title
    });
    let back = back.map(|to| {
        let link = el("a").class("icon").set("href", to).set("aria-label", "Back to the list");
        link.kid(glyph("M15 5L8 12L15 19"))
    });
    all![el("header").class("bar").kid(back).kid(heading).kid(units_switch(shell)), trouble(shell)].into()
}

/// The class of the switch of units.
const UNITS_SWITCH: &str = "btn small units";

/// What the switch of units says.
fn units_word(system: System) -> &'static str {
    if system == System::Us { "gal · in" } else { "L · mm" }
}

/// The button that says which units are shown, and changes to the others.
fn units_switch(shell: Shell) -> El {
    let us = move || shell.units.get() == System::Us;
    let units = move || units_word(shell.units.get()).to_string();
    let said = move || {
        let (now, other) = if us() { ("US customary", "metric") } else { ("metric", "US customary") };
        Some(format!("{}: units are {now}, change to {other}", units()))
    };
    button(UNITS_SWITCH, "", move || shell.switch()).live("aria-label", said).say(units)
}

/// So many characters of what was used are said in a message.
const USED: usize = 70;

/// Takes over the changes of a repair, with a way back, and puts the focus on the verdict that follows from them. A field whose text cannot be
/// read keeps its text and what is said of it, unless it is one of those that change.
fn taker(shell: Shell, desk: desk::Desk) -> parts::Take {
    let put = std::rc::Rc::new(move |edits: &[Edit], title: &str| {
        if desk.edit(edits, "") {
            // What many changes are called would hide what they did.
            let short = match title.char_indices().nth(USED) {
                None => format!("{title}."),
                Some((at, _)) => {
                    let head = &title[..at];
                    format!("{} …", &head[..head.rfind([';', ',']).or(head.rfind(' ')).unwrap_or(at)])
                }
            };
            shell.tell(format!("Used: {short}"), take_back(desk));
        }
        if let Some(verdict) = dom::by_id("verdict") {
            let _ = verdict.focus();
        }
    });
    parts::Take { put, read: std::rc::Rc::new(move |path| desk.work.with_untracked(|w| w.is_read(path))) }
}

/// The button of a message that takes back the step that it names.
fn take_back(desk: desk::Desk) -> Option<(&'static str, Act)> {
    Some((UNDO, act(move || desk.undo())))
}

/// Undo and redo of work from the keyboard.
fn undo_keys(desk: desk::Desk) {
    step_keys(move || desk.undo(), move || desk.redo());
}

/// Undo and redo from the keyboard; inside a text field the browser's own undo is left alone.
fn step_keys(undo: impl Fn() + 'static, redo: impl Fn() + 'static) {
    let handle = window_event_listener_untyped("keydown", move |ev| {
        let Ok(ev) = ev.dyn_into::<web_sys::KeyboardEvent>() else { return };
        if !(ev.ctrl_key() || ev.meta_key()) || ev.alt_key() || dom::typing() {
            return;
        }
        match (ev.key().as_str(), ev.shift_key()) {
            ("z", false) => undo(),
            ("Z" | "z", true) | ("y", false) => redo(),
            _ => return,
        }
        ev.prevent_default();
    });
    on_cleanup(move || handle.remove());
}

/// Undo and redo of work.
fn steps_of(d: desk::Desk) -> El {
    steps(d.can, move || d.undo(), move || d.redo())
}

/// Undo and redo.
fn steps(can: RwSignal<(bool, bool)>, undo: impl Fn() + 'static, redo: impl Fn() + 'static) -> El {
    let step = |name: &str, path: &str, go: Box<dyn Fn()>, can: Box<dyn Fn() -> bool>| {
        let step = button("icon", "", move || {
            go();
            // What changes above it may move the button away from whoever presses it.
            request_animation_frame(dom::keep_in_sight);
        });
        let step = step.set("aria-label", name);
        // Not `disabled`: that would drop the focus of whoever has just taken the last step.
        step.live("aria-disabled", move || (!can()).then(|| "true".into())).kid(glyph(path))
    };
    let back = step("Undo", "M9 5L4 10L9 15M4 10H14a5 5 0 0 1 0 10H11", Box::new(undo), Box::new(move || can.get().0));
    let on =
        step("Redo", "M15 5L20 10L15 15M20 10H10a5 5 0 0 0 0 10H13", Box::new(redo), Box::new(move || can.get().1));
    div("steps-of").kid(back).kid(on)
}

/// A mark drawn with one line.
fn glyph(path: &str) -> El {
    svg("svg").class("glyph").set("viewBox", "0 0 24 24").set("aria-hidden", "true").kid(svg("path").set("d", path))
}

/// What cannot be kept, and what was moved aside.
fn trouble(shell: Shell) -> Piece {
    let store = shell.store;
    let sentence = part(move || store.trouble.get().map(|t| words("p", "banner", &t).set("role", "alert")));
    let one = move |a: store::Aside| {
        let name = a.key.rsplit('/').next().unwrap_or("work").to_string();
        let (file, key, text) = (format!("{name}.txt"), a.key.clone(), a.text);
        let (save, forget) = (format!("Save as a file: {name}"), format!("Delete it: {name}"));
        let save = button("btn small", "Save as a file", move || {
            if dom::download(&file, &text, "text/plain").is_err() {
                shell.tell(shelf::NO_FILES, None);
            }
        })
        .set("aria-label", &save);
        let forget = button("btn small", "Delete it", move || store.drop_aside(&key)).set("aria-label", &forget);
        el("li").kid(words("span", "muted", &name)).kid(save).kid(forget).into()
    };
    let asides = part(move || {
        let all = store.asides.get();
        let said = match all.len() {
            0 => return None,
            1 => "One saved entry could not be read. It is kept aside, as it was found.",
            _ => "Some saved entries could not be read. They are kept aside, as they were found.",
        };
        let list = el("ul").class("plain asides").kids(all.into_iter().map(one).collect());
        Some(div("banner").kid(words("p", "", said)).kid(list))
    });
    el("section").set("aria-label", "Saved work").kid(sentence).kid(asides).into()
}
