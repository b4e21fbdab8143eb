//! Tests of browser code, in a browser: `cargo xtask test browser`.
#![cfg(target_arch = "wasm32")]

use brimwise::app::store::{Memory, Refusal, Vault, vault};
use brimwise::app::{app, app_over};
use leptos::prelude::*;
use leptos::wasm_bindgen::{JsCast, JsValue};
use leptos::web_sys::{self, Element, HtmlElement, HtmlInputElement};
use serde_json::{Value, json};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// An empty place in the page, for one test.
struct Place(HtmlElement);

impl Place {
    fn new() -> Self {
        let place = document().create_element("div").expect("an element").unchecked_into::<HtmlElement>();
        document().body().expect("a body").append_child(&place).expect("room in the body");
        Self(place)
    }
    fn find(&self, selector: &str) -> Option<Element> {
        self.0.query_selector(selector).expect("a selector")
    }
    fn get(&self, selector: &str) -> Element {
        self.find(selector).unwrap_or_else(|| panic!("nothing is {selector}"))
    }
    fn text(&self, selector: &str) -> String {
        self.get(selector).text_content().unwrap_or_default()
    }
    fn input(&self, id: &str) -> HtmlInputElement {
        self.get(&format!("#{id}")).unchecked_into()
    }
    fn value(&self, id: &str) -> String {
        self.input(id).value()
    }
    /// Types into a field, as a person would.
    async fn type_in(&self, id: &str, text: &str) {
        let input = self.input(id);
        input.set_value(text);
        input.dispatch_event(&web_sys::Event::new("input").expect("an event")).expect("heard");
        settle().await;
    }
    async fn click(&self, selector: &str) {
        self.get(selector).unchecked_into::<HtmlElement>().click();
        settle().await;
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.0.remove();
    }
}

/// Lets effects run.
async fn settle() {
    for _ in 0..3 {
        leptos::task::tick().await;
    }
}

/// Lets time pass.
async fn wait(ms: i32) {
    let promise = js_sys::Promise::new(&mut |done, _| {
        window().set_timeout_with_callback_and_timeout_and_arguments_0(&done, ms).expect("a timer");
    });
    wasm_bindgen_futures::JsFuture::from(promise).await.expect("time passes");
}

fn go(hash: &str) {
    window().location().set_hash(hash).expect("an address");
}

fn storage() -> web_sys::Storage {
    window().local_storage().expect("storage").expect("storage")
}

const FLOW: &str = "f-flow";
/// Longer than the pause after which work is kept.
const PAUSE: i32 = 700;

#[wasm_bindgen_test]
async fn an_edit_changes_the_verdict_and_the_unit_switch_changes_the_words() {
    go("#/calculator/drain");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), || app_over(Box::new(Memory::default())));
    let first = place.text("#verdict");
    assert!(first.contains("L/h"), "{first}");
    place.type_in(FLOW, "49000 L/h").await;
    let second = place.text("#verdict");
    assert_ne!(first, second);
    assert!(place.text(".state").contains("over"), "49 000 L/h are not over: {second}");

    // A bad value keeps the last good result, and says what is wrong and what is accepted.
    place.type_in(FLOW, "many").await;
    assert_eq!(place.text("#verdict"), second);
    assert_eq!(place.input(FLOW).get_attribute("aria-invalid").as_deref(), Some("true"));
    assert!(place.text(&format!("#{FLOW}-wrong")).contains("Accepted: "));
    assert!(place.find(".dock.stale").is_some());

    place.type_in(FLOW, "1000 gal/h").await;
    assert!(place.find(".dock.stale").is_none());
    place.click(".units").await;
    let us = place.text("#verdict");
    assert!(us.contains("gal/h") && !us.contains("L/h"), "{us}");
    assert_eq!(place.value(FLOW), "1000");
    drop(mounted);
    assert!(place.find("#verdict").is_none(), "unmounting leaves the page behind");
}

#[wasm_bindgen_test]
async fn a_page_that_is_taken_away_hears_nothing_more() {
    go("#/calculator/drain");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), || app_over(Box::new(Memory::default())));
    let input = place.input(FLOW);
    drop(mounted);
    input.set_value("3000");
    input.dispatch_event(&web_sys::Event::new("input").expect("an event")).expect("nobody minds");
    wait(20).await;
    assert_eq!(place.0.child_element_count(), 0);
}

#[wasm_bindgen_test]
async fn normal_storage_keeps_what_is_typed() {
    storage().remove_item("brimwise/draft/drain").expect("removed");
    storage().set_item("of-another-page", "not ours").expect("set");
    go("#/calculator/drain");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    place.type_in(FLOW, "1234 L/h").await;
    assert!(storage().get_item("brimwise/draft/drain").expect("read").is_none(), "kept before the typing pauses");
    wait(PAUSE).await;
    let kept: Value =
        serde_json::from_str(&storage().get_item("brimwise/draft/drain").expect("read").expect("kept")).expect("JSON");
    assert_eq!(kept["brimwise"], json!(brimwise::session::saved::VERSION));
    assert!((kept["values"]["flow"].as_f64().expect("a number") - 1234.0 / 3.6e6).abs() < 1e-12);
    assert!(!kept["assumed"].as_array().expect("a list").contains(&json!("flow")));
    drop(mounted);
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    assert_eq!(place.value(FLOW), "1234");
    // Taking the page away keeps what has not been kept yet.
    place.type_in(FLOW, "1235").await;
    drop(mounted);
    let text = storage().get_item("brimwise/draft/drain").expect("read").expect("kept");
    let kept: Value = serde_json::from_str(&text).expect("JSON");
    assert!((kept["values"]["flow"].as_f64().expect("a number") - 1235.0 / 3.6e6).abs() < 1e-12, "{text}");
    assert_eq!(storage().get_item("of-another-page").expect("read").as_deref(), Some("not ours"));
    storage().remove_item("brimwise/draft/drain").expect("removed");
}

#[wasm_bindgen_test]
fn full_storage_refuses_and_loses_nothing() {
    let v = vault();
    assert!(v.lasting());
    v.write("brimwise/sheet/test", &json!("old").to_string()).expect("room for little");
    let mut part = "x".repeat(1 << 20);
    let mut fillers = vec![];
    while !part.is_empty() {
        let key = format!("filler-{}", fillers.len());
        match storage().set_item(&key, &part) {
            Ok(()) => fillers.push(key),
            Err(_) => part.truncate(part.len() / 2),
        }
    }
    let refused = v.write("brimwise/sheet/test", &json!("new".repeat(10_000)).to_string());
    let left = v.read("brimwise/sheet/test");
    for key in fillers {
        storage().remove_item(&key).expect("removed");
    }
    v.remove("brimwise/sheet/test");
    assert_eq!(refused, Err(Refusal::Full));
    assert_eq!(left.as_deref(), Some("\"old\""));
    assert_eq!(v.read("brimwise/sheet/test"), None);
}

/// A vault without room.
struct Full;

impl Vault for Full {
    fn read(&self, _: &str) -> Option<String> {
        None
    }
    fn write(&self, _: &str, _: &str) -> Result<(), Refusal> {
        Err(Refusal::Full)
    }
    fn remove(&self, _: &str) {}
    fn keys(&self) -> Vec<String> {
        vec![]
    }
    fn lasting(&self) -> bool {
        true
    }
}

#[wasm_bindgen_test]
async fn where_there_is_no_room_the_app_says_so_and_goes_on() {
    go("#/calculator/drain");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), || app_over(Box::new(Full)));
    assert!(place.find(".banner").is_none());
    let first = place.text("#verdict");
    place.type_in(FLOW, "40000").await;
    wait(PAUSE).await;
    assert!(place.text(".banner").starts_with("Cannot save here"), "{}", place.text(".banner"));
    assert_ne!(place.text("#verdict"), first);
    drop(mounted);
}

/// Makes reaching for the storage throw, as where a browser blocks it; undone when dropped.
struct Blocked(js_sys::Object);

impl Blocked {
    fn new() -> Self {
        let name = "localStorage".into();
        let before = js_sys::Reflect::get_own_property_descriptor(&window(), &name).expect("the storage's own rule");
        let throws = js_sys::Function::new_no_args("throw new DOMException('denied', 'SecurityError')");
        let rule = js_sys::Object::new();
        js_sys::Reflect::set(&rule, &"get".into(), &throws).expect("set");
        js_sys::Reflect::set(&rule, &"configurable".into(), &JsValue::TRUE).expect("set");
        js_sys::Object::define_property(&window(), &name, &rule);
        assert!(window().local_storage().is_err(), "the storage is not blocked");
        Self(before.unchecked_into())
    }
}

impl Drop for Blocked {
    fn drop(&mut self) {
        js_sys::Object::define_property(&window(), &"localStorage".into(), &self.0);
    }
}

#[wasm_bindgen_test]
async fn blocked_storage_is_said_and_nothing_breaks() {
    go("#/calculator/drain");
    let place = Place::new();
    let blocked = Blocked::new();
    let v = vault();
    assert!(!v.lasting());
    v.write("a", "1").expect("memory");
    assert_eq!(v.read("a").as_deref(), Some("1"));
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    assert!(place.text(".banner").contains("does not let the app keep anything"), "{}", place.text(".banner"));
    let first = place.text("#verdict");
    place.type_in(FLOW, "41000").await;
    wait(PAUSE).await;
    assert_ne!(place.text("#verdict"), first);
    drop(mounted);
    drop(blocked);
    assert!(vault().lasting(), "the block was not undone");
}

#[wasm_bindgen_test]
async fn corrupt_entries_are_kept_aside_and_newer_ones_left_alone() {
    let broken = "{ half a design";
    storage().set_item("brimwise/draft/drain", broken).expect("set");
    let later = r#"{"brimwise":99}"#;
    storage().set_item("brimwise/draft/bed", later).expect("set");
    go("#/calculator/drain");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    settle().await;
    assert!(place.text(".banner").contains("kept aside"), "{}", place.text(".banner"));
    assert!(!place.text("#verdict").is_empty());
    let aside = storage().get_item("brimwise/aside/draft-drain").expect("read").expect("kept aside");
    assert_eq!(serde_json::from_str::<String>(&aside).expect("a text"), broken);
    assert!(storage().get_item("brimwise/draft/drain").expect("read").is_none());
    // The person may forget it, and only then is it gone.
    place.click(".asides button:last-child").await;
    assert!(storage().get_item("brimwise/aside/draft-drain").expect("read").is_none());
    drop(mounted);

    go("#/calculator/bed");
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    settle().await;
    assert!(place.text(".notice").contains("later version"), "{}", place.text(".notice"));
    place.type_in("f-area", "3.3 m2").await;
    wait(PAUSE).await;
    assert_eq!(storage().get_item("brimwise/draft/bed").expect("read").as_deref(), Some(later));
    drop(mounted);
    storage().remove_item("brimwise/draft/bed").expect("removed");
}

/// The keys of a shelf with their texts.
fn shelf(folder: &str) -> Vec<(String, String)> {
    let all = (0..storage().length().expect("a length")).filter_map(|i| storage().key(i).expect("a key"));
    let mine: Vec<String> = all.filter(|k| k.starts_with(&format!("brimwise/{folder}/"))).collect();
    mine.into_iter().map(|k| (k.clone(), storage().get_item(&k).expect("read").expect("a text"))).collect()
}

fn clear(folder: &str) {
    for (key, _) in shelf(folder) {
        storage().remove_item(&key).expect("removed");
    }
}

#[wasm_bindgen_test]
async fn what_another_tab_wrote_is_never_written_over() {
    storage().remove_item("brimwise/draft/drain").expect("removed");
    clear("sheet");
    go("#/calculator/drain");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    place.type_in(FLOW, "1111 L/h").await;
    wait(PAUSE).await;
    // Nobody tells of this change: it is found before the next one is kept.
    let mut theirs: Value = serde_json::from_str(&shelf("draft")[0].1).expect("JSON");
    theirs["values"]["flow"] = json!(0.0005);
    let theirs = theirs.to_string();
    storage().set_item("brimwise/draft/drain", &theirs).expect("set");
    place.type_in(FLOW, "2222 L/h").await;
    wait(PAUSE).await;
    assert_eq!(storage().get_item("brimwise/draft/drain").expect("read").as_deref(), Some(theirs.as_str()));
    let mine = shelf("sheet");
    assert_eq!(mine.len(), 1, "{mine:?}");
    let flow = |l_h: f64| {
        let kept: Value = serde_json::from_str(&shelf("sheet")[0].1).expect("JSON");
        assert!((kept["values"]["flow"].as_f64().expect("a number") - l_h / 3.6e6).abs() < 1e-12, "{kept}");
    };
    assert!(mine[0].1.contains(", version 2"), "{mine:?}");
    flow(2222.0);
    assert!(place.text(".notice").contains("Both are kept"), "{}", place.text(".notice"));
    assert!(place.text("h1").ends_with(", version 2"), "{}", place.text("h1"));
    // From here on this tab keeps its own.
    place.type_in(FLOW, "3333 L/h").await;
    wait(PAUSE).await;
    assert_eq!(shelf("sheet").len(), 1);
    flow(3333.0);
    drop(mounted);
    storage().remove_item("brimwise/draft/drain").expect("removed");
    clear("sheet");
}

#[wasm_bindgen_test]
async fn what_was_deleted_comes_back_for_a_while() {
    clear("bin");
    clear("system");
    let system = r#"{ "brimwise": 99, "as": "it stood" }"#;
    let gone = |days: f64| {
        let at = js_sys::Date::now() - days * 86_400_000.0;
        json!({"deleted": 1, "key": "brimwise/system/k3x9", "at": at.round(), "text": system}).to_string()
    };
    for (key, text) in [("new", gone(29.0)), ("old", gone(31.0)), ("cut", gone(1.0)[..30].to_string())] {
        storage().set_item(&format!("brimwise/bin/{key}"), &text).expect("set");
    }
    go("#/systems");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), app);
    settle().await;
    assert_eq!(shelf("bin").into_iter().map(|(k, _)| k).collect::<Vec<_>>(), ["brimwise/bin/new"]);
    assert!(place.text(".asides").contains("bin-cut"), "what cannot be read is gone");
    assert!(place.text("main").contains("deleted 29 days ago"));
    place.click(".kept button").await;
    assert_eq!(shelf("system"), [("brimwise/system/k3x9".to_string(), system.to_string())]);
    assert!(shelf("bin").is_empty());
    drop(mounted);
    clear("aside");
    clear("system");
}

#[wasm_bindgen_test]
async fn a_second_entry_that_cannot_be_read_does_not_push_out_the_first() {
    clear("aside");
    let place = Place::new();
    for text in ["{ first", "{ second"] {
        storage().set_item("brimwise/draft/drain", text).expect("set");
        go("#/calculator/drain");
        drop(leptos::mount::mount_to(place.0.clone(), app));
    }
    let mut kept: Vec<_> = shelf("aside").into_iter().map(|(_, text)| text).collect();
    kept.sort();
    assert_eq!(kept, ["\"{ first\"", "\"{ second\""]);
    clear("aside");
}

#[wasm_bindgen_test]
async fn a_place_that_keeps_nothing_says_so_beside_everything() {
    go("#/systems");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), || app_over(Box::new(Memory::default())));
    settle().await;
    assert!(place.text("main").contains("Nothing is kept here"), "{}", place.text("main"));
    assert!(place.find(".remind").is_none(), "a reminder where nothing can be kept");
    drop(mounted);
}

#[wasm_bindgen_test]
async fn a_whole_system_is_checked_and_repaired() {
    go("#/demo/enlarged");
    let place = Place::new();
    let mounted = leptos::mount::mount_to(place.0.clone(), || app_over(Box::new(Memory::default())));
    assert!(place.text("#verdict").contains("spills"), "{}", place.text("#verdict"));
    place.click(".chain button").await;
    assert!(place.find(".chain").is_none(), "something is still over: {}", place.text("#verdict"));
    place.click(".notice button").await;
    assert!(place.find(".chain").is_some(), "undo does not bring it back");
    drop(mounted);
}

/// Has the browser speak another language; undone when dropped.
struct Speaks;

impl Speaks {
    fn new(tag: &str) -> Self {
        let rule = js_sys::Object::new();
        js_sys::Reflect::set(&rule, &"value".into(), &tag.into()).expect("set");
        js_sys::Reflect::set(&rule, &"configurable".into(), &JsValue::TRUE).expect("set");
        js_sys::Object::define_property(&window().navigator(), &"language".into(), &rule);
        Self
    }
}

impl Drop for Speaks {
    fn drop(&mut self) {
        js_sys::Reflect::delete_property(&window().navigator(), &"language".into()).expect("the browser's own");
    }
}

#[wasm_bindgen_test]
async fn a_first_visit_is_in_the_units_of_its_region() {
    go("#/calculator/drain");
    let place = Place::new();
    let units = |vault: Memory| {
        let mounted = leptos::mount::mount_to(place.0.clone(), || app_over(Box::new(vault)));
        let units = place.text(".units");
        drop(mounted);
        units
    };
    let kept = |key: &str, text: &str| {
        let vault = Memory::default();
        vault.write(key, text).expect("memory");
        vault
    };
    for (tag, of) in [("en-US", "gal · in"), ("es-US", "gal · in"), ("en-GB", "L · mm"), ("es", "L · mm")] {
        let _speaks = Speaks::new(tag);
        assert_eq!(units(Memory::default()), of, "{tag}");
    }
    // What somebody has chosen stays, and so does what stood there before anything was chosen.
    let _speaks = Speaks::new("en-US");
    assert_eq!(units(kept("brimwise/setting/units", "\"metric\"")), "L · mm");
    assert_eq!(units(kept("brimwise/setting/later", "\"1\"")), "L · mm");
    assert_eq!(units(kept("of-another-page", "not ours")), "gal · in");
    go("#/embed/drain");
    assert_eq!(units(Memory::default()), "gal · in");
    go("#/embed/drain?units=metric");
    assert_eq!(units(Memory::default()), "L · mm");
}
