//! Where work is kept: the browser's own storage where it lets us, this page's memory where it does not. Every write can fail, and says so.

use super::dom;
use crate::session::{
    Decoded, Saved, Work,
    keys::{self, Shelf},
    saved,
};
use gloo_storage::{LocalStorage as Browser, Storage, errors::StorageError};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use serde_json::Value;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::time::Duration;

/// Why something could not be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// There is no room left.
    Full,
    /// The browser does not allow it.
    Blocked,
}

/// A place for texts under keys.
pub trait Vault: Send {
    /// The text under a key.
    fn read(&self, key: &str) -> Option<String>;
    /// Keeps a value; where that fails, what was there before stays.
    ///
    /// # Errors
    /// Why it was refused.
    fn write(&self, key: &str, value: &Value) -> Result<(), Refusal>;
    /// Takes a key out.
    fn remove(&self, key: &str);
    /// All keys, also those of others.
    fn keys(&self) -> Vec<String>;
    /// Is it still there tomorrow?
    fn lasting(&self) -> bool;
}

/// The browser's storage. Only made after a probe: the handle throws where storage is blocked.
#[derive(Debug)]
struct Lasting;

impl Vault for Lasting {
    fn read(&self, key: &str) -> Option<String> {
        Browser::raw().get_item(key).ok().flatten()
    }
    fn write(&self, key: &str, value: &Value) -> Result<(), Refusal> {
        Browser::set(key, value).map_err(|e| match e {
            StorageError::JsError(e) if e.name == "QuotaExceededError" => Refusal::Full,
            _ => Refusal::Blocked,
        })
    }
    fn remove(&self, key: &str) {
        Browser::delete(key);
    }
    fn keys(&self) -> Vec<String> {
        let raw = Browser::raw();
        (0..raw.length().unwrap_or(0)).filter_map(|i| raw.key(i).ok().flatten()).collect()
    }
    fn lasting(&self) -> bool {
        true
    }
}

/// This page's memory.
#[derive(Debug, Default)]
pub struct Memory(RefCell<BTreeMap<String, String>>);

impl Vault for Memory {
    fn read(&self, key: &str) -> Option<String> {
        self.0.borrow().get(key).cloned()
    }
    fn write(&self, key: &str, value: &Value) -> Result<(), Refusal> {
        self.0.borrow_mut().insert(key.into(), value.to_string());
        Ok(())
    }
    fn remove(&self, key: &str) {
        self.0.borrow_mut().remove(key);
    }
    fn keys(&self) -> Vec<String> {
        self.0.borrow().keys().cloned().collect()
    }
    fn lasting(&self) -> bool {
        false
    }
}

/// The browser's storage if it can be reached at all, else memory. Reaching for it may throw, so it is asked through a call that does not.
pub fn vault() -> Box<dyn Vault> {
    match window().local_storage() {
        Ok(Some(_)) => Box::new(Lasting),
        _ => Box::new(Memory::default()),
    }
}

/// What could not be read and was moved aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    /// Its key.
    pub key: String,
    /// Its text as it was found.
    pub text: String,
}

/// What stands under a key.
#[derive(Debug)]
pub enum Found {
    /// Nothing.
    Nothing,
    /// Work.
    Work(Box<Saved>),
    /// Something that is left alone, and why.
    Left(String),
}

/// A write that waits for the typing to pause.
#[derive(Debug, Clone)]
struct Pending {
    shelf: Shelf,
    id: String,
    work: Work,
}

/// How long the typing must pause before work is kept.
const PAUSE: Duration = Duration::from_millis(400);

const NOT_HERE: &str = "This browser does not let the app keep anything here. What you type is lost when the page closes: save it as a file.";
const FULL: &str = "Cannot save here: the browser's room for this site is full. What was saved before is still there. Save your work as a file, or delete something.";

/// The app's one door to what is kept.
#[derive(Clone, Copy)]
pub struct Store {
    vault: StoredValue<Box<dyn Vault>, LocalStorage>,
    pending: StoredValue<Option<Pending>>,
    timer: StoredValue<Option<TimeoutHandle>>,
    /// A sentence, while something cannot be kept.
    pub trouble: RwSignal<Option<String>>,
    /// Counts changes of what is kept, so that lists follow.
    pub version: RwSignal<u32>,
    /// What was moved aside.
    pub asides: RwSignal<Vec<Aside>>,
    /// Is everything typed so far kept?
    pub settled: RwSignal<bool>,
}

/// What is on a shelf, with its identifiers; and identifiers of what must be left alone, with the reasons.
pub type Listed = (Vec<(String, Saved)>, Vec<(String, String)>);

impl std::fmt::Debug for Store {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Store")
    }
}

impl Store {
    /// A store over a vault.
    pub fn new(vault: Box<dyn Vault>) -> Self {
        let trouble = (!vault.lasting()).then(|| NOT_HERE.to_string());
        let store = Self {
            vault: StoredValue::new_local(vault),
            pending: StoredValue::new(None),
            timer: StoredValue::new(None),
            trouble: RwSignal::new(trouble),
            version: RwSignal::new(0),
            asides: RwSignal::new(vec![]),
            settled: RwSignal::new(true),
        };
        store.find_asides();
        store
    }
    fn read(self, key: &str) -> Option<String> {
        self.vault.with_value(|v| v.read(key))
    }
    fn write(self, key: &str, value: &Value) -> bool {
        let (done, lasting) = self.vault.with_value(|v| (v.write(key, value), v.lasting()));
        let trouble = match done {
            Ok(()) if lasting => None,
            Ok(()) | Err(Refusal::Blocked) => Some(NOT_HERE),
            Err(Refusal::Full) => Some(FULL),
        };
        if self.trouble.with_untracked(|t| t.as_deref() != trouble) {
            self.trouble.set(trouble.map(Into::into));
        }
        done.is_ok()
    }
    fn find_asides(self) {
        let keys = self.vault.with_value(|v| v.keys());
        let mut found: Vec<_> = keys
            .into_iter()
            .filter(|k| matches!(Shelf::of(k), Some((Shelf::Aside, _))))
            .filter_map(|key| {
                let stored = self.read(&key)?;
                // It was kept as one JSON text.
                let text = match serde_json::from_str(&stored) {
                    Ok(Value::String(text)) => text,
                    _ => stored,
                };
                Some(Aside { key, text })
            })
            .collect();
        crate::units::arrange(&mut found, |a, b| a.key.cmp(&b.key));
        self.asides.set(found);
    }
    /// Moves what stands under `key` aside. If there is no room for a second copy, it stays where it is.
    fn put_aside(self, key: &str, text: String) {
        if self.write(&keys::aside(key), &Value::String(text)) {
            self.vault.with_value(|v| v.remove(key));
        }
        self.find_asides();
    }
    /// What is kept under a shelf and identifier.
    pub fn load(self, shelf: Shelf, id: &str) -> Found {
        self.flush();
        let key = shelf.key(id);
        let Some(text) = self.read(&key) else { return Found::Nothing };
        match saved::decode(&text) {
            Decoded::Good(saved) => Found::Work(saved),
            Decoded::Bad(_) => {
                self.put_aside(&key, text);
                Found::Nothing
            }
            newer => Found::Left(newer.work().err().unwrap_or_default().join(" ")),
        }
    }
    /// Keeps work now.
    pub fn save(self, shelf: Shelf, id: &str, work: &Work) -> bool {
        let Some(value) = saved::encode(work, dom::now_ms()) else { return false };
        let done = self.write(&shelf.key(id), &value);
        self.version.update(|v| *v = v.wrapping_add(1));
        done
    }
    /// Keeps work when the typing pauses.
    pub fn save_soon(self, shelf: Shelf, id: String, work: Work) {
        let other = self.pending.with_value(|p| p.as_ref().is_some_and(|p| p.shelf != shelf || p.id != id));
        if other {
            self.flush();
        }
        self.pending.set_value(Some(Pending { shelf, id, work }));
        self.settled.set(false);
        self.stop_timer();
        self.timer.set_value(set_timeout_with_handle(move || self.flush(), PAUSE).ok());
    }
    fn stop_timer(self) {
        if let Some(Some(timer)) = self.timer.try_update_value(Option::take) {
            timer.clear();
        }
    }
    /// Keeps now what waits to be kept.
    pub fn flush(self) {
        self.stop_timer();
        if let Some(Some(p)) = self.pending.try_update_value(Option::take) {
            self.settled.set(self.save(p.shelf, &p.id, &p.work));
        }
    }
    /// Everything on a shelf, newest first; and what must be left alone, with the reason.
    pub fn list(self, shelf: Shelf) -> Listed {
        let ids: Vec<String> = self
            .vault
            .with_value(|v| v.keys())
            .iter()
            .filter_map(|k| Shelf::of(k).filter(|(s, _)| *s == shelf).map(|(_, id)| id.to_string()))
            .collect();
        let (mut good, mut left) = (vec![], vec![]);
        for id in ids {
            match self.load(shelf, &id) {
                Found::Work(saved) => good.push((id, *saved)),
                Found::Left(why) => left.push((id, why)),
                Found::Nothing => {}
            }
        }
        crate::units::arrange(&mut good, |a, b| b.1.at_ms.total_cmp(&a.1.at_ms));
        (good, left)
    }
    /// Takes an entry out; gives its text, so that it can be put back.
    pub fn delete(self, shelf: Shelf, id: &str) -> Option<String> {
        self.flush();
        let key = shelf.key(id);
        let text = self.read(&key)?;
        self.vault.with_value(|v| v.remove(&key));
        self.version.update(|v| *v = v.wrapping_add(1));
        Some(text)
    }
    /// Puts back what was deleted.
    pub fn restore(self, shelf: Shelf, id: &str, text: &str) -> bool {
        let done = serde_json::from_str(text).is_ok_and(|value: Value| self.write(&shelf.key(id), &value));
        self.version.update(|v| *v = v.wrapping_add(1));
        done
    }
    /// Drops something that was put aside, after the person has seen to it.
    pub fn drop_aside(self, key: &str) {
        self.vault.with_value(|v| v.remove(key));
        self.find_asides();
    }
    /// An identifier that is not in use.
    pub fn new_id(self, shelf: Shelf) -> String {
        let mut id = keys::new_id(dom::random());
        while self.read(&shelf.key(&id)).is_some() {
            id = keys::new_id(dom::random());
        }
        id
    }
    /// A setting.
    pub fn setting(self, key: &str) -> Option<String> {
        serde_json::from_str::<Value>(&self.read(key)?).ok()?.as_str().map(Into::into)
    }
    /// Keeps a setting.
    pub fn set_setting(self, key: &str, value: &str) {
        self.write(key, &Value::String(value.into()));
    }
}
