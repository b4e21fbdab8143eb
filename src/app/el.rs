//! One element type for the whole app.
//!
//! The usual view macro makes a type of its own for every shape of markup, with its own code to build, rebuild, hydrate and print it. For this
//! app that came to more than half of what its screens weighed. Here an element is made at once, what changes is a boxed closure under the
//! same signals and owners, and nothing is generic but thin shells. [`Built`] is an ordinary Leptos view: it is mounted, and can stand in
//! a view macro, like any other.

use super::dom;
use leptos::prelude::*;
use leptos::tachys::{html::attribute::any_attribute::AnyAttribute, hydration::Cursor, view::*};
use leptos::wasm_bindgen::{JsCast, closure::Closure};
use leptos::web_sys::{self, Element, Event, EventTarget, Node};
use std::cell::RefCell;
use std::sync::Arc;

/// A shared value that counts as changed whenever it was made anew, so that nothing large is compared.
#[derive(Debug)]
pub struct Same<T>(pub Arc<T>);

impl<T> Same<T> {
    /// Shares a value.
    pub fn new(value: T) -> Self {
        Self(Arc::new(value))
    }
}
impl<T> Clone for Same<T> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}
impl<T> PartialEq for Same<T> {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// Something that can stand in the page: an element, words, or a run of both.
#[derive(Debug, Clone)]
pub struct Piece(Node);

/// An element being made.
#[derive(Debug, Clone)]
pub struct El(Element);

/// Several things, one after the other.
macro_rules! all {
    ($($view:expr),* $(,)?) => { vec![$($crate::app::el::Piece::from($view)),*] };
}
pub(crate) use all;

const SVG: &str = "http://www.w3.org/2000/svg";

/// An element of HTML.
pub fn el(tag: &str) -> El {
    // Only a name that is no name is refused, and then there is an object all the same, on which nothing happens.
    El(document().create_element(tag).unwrap_or_else(JsCast::unchecked_into))
}

/// An element of a drawing.
pub fn svg(tag: &str) -> El {
    El(document().create_element_ns(Some(SVG), tag).unwrap_or_else(JsCast::unchecked_into))
}

/// An element with a class.
pub fn div(class: &str) -> El {
    el("div").class(class)
}

/// An element with words.
pub fn words(tag: &str, class: &str, text: &str) -> El {
    let e = el(tag).text(text);
    if class.is_empty() { e } else { e.class(class) }
}

/// A button with its words and what it does.
pub fn button(class: &str, text: &str, go: impl Fn() + 'static) -> El {
    words("button", class, text).set("type", "button").on("click", move |_| go())
}

/// Nothing.
pub fn nothing() -> Piece {
    Piece(document().create_document_fragment().into())
}

impl From<El> for Piece {
    fn from(e: El) -> Self {
        Self(e.0.into())
    }
}
impl From<&str> for Piece {
    fn from(text: &str) -> Self {
        Self(document().create_text_node(text).into())
    }
}
impl From<String> for Piece {
    fn from(text: String) -> Self {
        text.as_str().into()
    }
}
impl From<Vec<Piece>> for Piece {
    fn from(all: Vec<Piece>) -> Self {
        let run = nothing();
        for v in all {
            let _ = run.0.append_child(&v.0);
        }
        run
    }
}
impl<V: Into<Piece>> From<Option<V>> for Piece {
    fn from(v: Option<V>) -> Self {
        v.map_or_else(nothing, Into::into)
    }
}

/// Runs now and whenever a signal that it read changes, as long as what it stands in.
fn react(mut run: Box<dyn FnMut()>) {
    let effect = RenderEffect::new(move |_: Option<()>| run());
    StoredValue::new_local(effect);
}

/// A listener that goes with what it stands in.
struct Listener {
    target: EventTarget,
    event: &'static str,
    call: Closure<dyn FnMut(Event)>,
}

impl Drop for Listener {
    fn drop(&mut self) {
        let _ = self.target.remove_event_listener_with_callback(self.event, self.call.as_ref().unchecked_ref());
    }
}

/// Listens as long as what is being made is there.
pub(super) fn listen(target: &EventTarget, event: &'static str, call: Box<dyn FnMut(Event)>) {
    let call = Closure::wrap(call);
    let _ = target.add_event_listener_with_callback(event, call.as_ref().unchecked_ref());
    StoredValue::new_local(Listener { target: target.clone(), event, call });
}

fn follow(e: Element, name: &'static str, value: Box<dyn Fn() -> Option<String>>) {
    react(Box::new(move || {
        let _ = match value() {
            Some(v) => e.set_attribute(name, &v),
            None => e.remove_attribute(name),
        };
    }));
}

impl El {
    /// Its class.
    pub fn class(self, names: &str) -> Self {
        self.set("class", names)
    }
    /// An attribute.
    pub fn set(self, name: &str, value: &str) -> Self {
        let _ = self.0.set_attribute(name, value);
        self
    }
    /// An attribute that changes; `None` takes it away.
    pub fn live(self, name: &'static str, value: impl Fn() -> Option<String> + 'static) -> Self {
        follow(self.0.clone(), name, Box::new(value));
        self
    }
    /// An attribute that is there or not.
    pub fn when(self, name: &'static str, on: impl Fn() -> bool + 'static) -> Self {
        self.live(name, move || on().then(String::new))
    }
    /// Words in it.
    pub fn text(self, words: &str) -> Self {
        self.kid(words)
    }
    /// Words in it that change; they are all that stands in it.
    pub fn say(self, words: impl Fn() -> String + 'static) -> Self {
        let words: Box<dyn Fn() -> String> = Box::new(words);
        let e = self.0.clone();
        react(Box::new(move || {
            let now = words();
            // Writing the same words again would be announced again.
            if e.text_content().as_deref() != Some(now.as_str()) {
                e.set_text_content(Some(&now));
            }
        }));
        self
    }
    /// Something in it.
    pub fn kid(self, kid: impl Into<Piece>) -> Self {
        let kid: Piece = kid.into();
        let _ = self.0.append_child(&kid.0);
        self
    }
    /// Several things in it.
    pub fn kids(self, kids: Vec<Piece>) -> Self {
        kids.into_iter().fold(self, El::kid)
    }
    /// Something in it that changes.
    pub fn part<V: Into<Piece>>(self, make: impl Fn() -> V + 'static) -> Self {
        self.kid(part(make))
    }
    /// Puts it first into what is in the page; when it is no longer wanted, [`El::gone`].
    pub(super) fn first_in(&self, outer: &Node) {
        let _ = outer.insert_before(&self.0, outer.first_child().as_ref());
    }
    /// Takes it out of the page.
    pub(super) fn gone(&self) {
        self.0.remove();
    }
    /// Does something on an event.
    pub fn on(self, event: &'static str, act: impl FnMut(Event) + 'static) -> Self {
        listen(&self.0, event, Box::new(act));
        self
    }
    /// What stands in the field, as far as the app writes it.
    pub fn value(self, value: impl Fn() -> String + 'static) -> Self {
        let value: Box<dyn Fn() -> String> = Box::new(value);
        let e = self.0.clone();
        react(Box::new(move || {
            let now = value();
            if let Some(input) = e.dyn_ref::<web_sys::HtmlInputElement>() {
                // Writing the same text again would move the cursor.
                if input.value() != now {
                    input.set_value(&now);
                }
            } else if let Some(select) = e.dyn_ref::<web_sys::HtmlSelectElement>() {
                select.set_value(&now);
            }
        }));
        self
    }
    /// Is the button of a choice pressed?
    pub fn checked(self, on: impl Fn() -> bool + 'static) -> Self {
        let on: Box<dyn Fn() -> bool> = Box::new(on);
        let e = self.0.clone();
        react(Box::new(move || {
            let now = on();
            if let Some(input) = e.dyn_ref::<web_sys::HtmlInputElement>() {
                input.set_checked(now);
            }
        }));
        self
    }
}

/// What an input or a list holds, from its event.
pub fn typed(ev: &Event) -> String {
    let target = ev.target();
    if let Some(input) = target.as_ref().and_then(|t| t.dyn_ref::<web_sys::HtmlInputElement>()) {
        input.value()
    } else {
        target.and_then(|t| t.dyn_into::<web_sys::HtmlSelectElement>().ok()).map(|s| s.value()).unwrap_or_default()
    }
}

fn mark() -> Node {
    document().create_comment("").into()
}

/// A part of the page that is made anew when a signal changes that making it read.
pub fn part<V: Into<Piece>>(make: impl Fn() -> V + 'static) -> Piece {
    region(Box::new(move || make().into()))
}

/// A part that is there while `when` holds. It is made anew only when that changes.
pub fn only<V: Into<Piece>>(when: impl Fn() -> bool + Send + Sync + 'static, make: impl Fn() -> V + 'static) -> Piece {
    let when = Memo::new(move |_| when());
    region(Box::new(move || if when.get() { untrack(|| make().into()) } else { nothing() }))
}

fn region(make: Box<dyn Fn() -> Piece>) -> Piece {
    let run = nothing();
    let (from, to) = (mark(), mark());
    let _ = run.0.append_child(&from);
    let _ = run.0.append_child(&to);
    react(Box::new(move || {
        let fresh = make();
        let Some(parent) = to.parent_node() else { return };
        let held = dom::held(&parent);
        while let Some(old) = from.next_sibling().filter(|n| *n != to) {
            let _ = parent.remove_child(&old);
        }
        let _ = parent.insert_before(&fresh.0, Some(&to));
        dom::keep_focus(held, &parent);
    }));
    run
}

/// One element for every key, kept as long as its key is there.
pub fn each(keys: impl Fn() -> Vec<String> + 'static, make: impl Fn(&str) -> El + 'static) -> Piece {
    list(Box::new(keys), Box::new(make))
}

struct Entry {
    key: String,
    element: Element,
    owner: Owner,
}

fn list(keys: Box<dyn Fn() -> Vec<String>>, make: Box<dyn Fn(&str) -> El>) -> Piece {
    let run = nothing();
    let to = mark();
    let _ = run.0.append_child(&to);
    let entries = RefCell::new(Vec::<Entry>::new());
    // The entries outlive one run of the effect, so they belong to what the list stands in.
    let outer = Owner::current();
    react(Box::new(move || {
        let keys = keys();
        let (Some(parent), Some(outer)) = (to.parent_node(), &outer) else { return };
        let held = dom::held(&parent);
        let mut before = entries.take();
        let mut after = Vec::with_capacity(keys.len());
        for key in keys {
            after.push(match before.iter().position(|e| e.key == key) {
                Some(i) => before.remove(i),
                None => {
                    let owner = outer.with(Owner::new);
                    let element = owner.with(|| untrack(|| make(&key).0));
                    Entry { key, element, owner }
                }
            });
        }
        // Where what had the focus goes, its neighbour gets it.
        let mut near = None;
        for gone in before {
            let had = held.as_ref().is_some_and(|h| gone.element.contains(Some(h)));
            let (next, last) = (gone.element.next_element_sibling(), gone.element.previous_element_sibling());
            near = near.or(next.or(last).filter(|_| had));
            gone.owner.cleanup();
            gone.element.remove();
        }
        // Only what does not stand where it should is moved: moving an element takes the focus from it.
        let mut next = to.clone();
        for e in after.iter().rev() {
            if e.element.next_sibling().as_ref() != Some(&next) {
                let _ = parent.insert_before(&e.element, Some(&next));
            }
            next = e.element.clone().into();
        }
        entries.replace(after);
        if !near.is_some_and(|e| dom::goes_to(&e)) {
            dom::keep_focus(held, &parent);
        }
    }));
    run
}

/// A page that is made when it is mounted.
pub struct Built(pub Box<dyn FnOnce() -> Piece + Send>);

impl std::fmt::Debug for Built {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Built")
    }
}

/// What is in the page of a [`Built`].
#[derive(Debug)]
pub struct InPage(Element);

impl Mountable for InPage {
    fn unmount(&mut self) {
        self.0.remove();
    }
    fn mount(&mut self, parent: &Element, marker: Option<&Node>) {
        let _ = parent.insert_before(&self.0, marker);
    }
    fn insert_before_this(&self, child: &mut dyn Mountable) -> bool {
        let Some(parent) = self.0.parent_element() else { return false };
        child.mount(&parent, Some(&self.0));
        true
    }
    fn elements(&self) -> Vec<Element> {
        vec![self.0.clone()]
    }
}

impl Render for Built {
    type State = InPage;
    fn build(self) -> InPage {
        InPage(div("app").kid((self.0)()).0)
    }
    fn rebuild(self, state: &mut InPage) {
        let mut fresh = self.build();
        state.insert_before_this(&mut fresh);
        state.unmount();
        *state = fresh;
    }
}

leptos::tachys::no_attrs!(Built);

impl RenderHtml for Built {
    type AsyncOutput = Self;
    type Owned = Self;
    const MIN_LENGTH: usize = 0;
    fn dry_resolve(&mut self) {}
    async fn resolve(self) -> Self {
        self
    }
    // There is no server to print it on.
    fn to_html_with_buf(self, _: &mut String, _: &mut Position, _: bool, _: bool, _: Vec<AnyAttribute>) {}
    fn hydrate<const FROM_SERVER: bool>(self, _: &Cursor, _: &PositionState) -> InPage {
        self.build()
    }
    fn into_owned(self) -> Self {
        self
    }
}
