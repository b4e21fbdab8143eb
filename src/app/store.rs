//! Where work is kept: the browser's own storage where it lets us, this page's memory where it does not. Every write can fail, and says so.

use super::{
    desk::Steps,
    dom,
    doors::{Need, Parts},
};
use crate::session::{
    Decoded, Route, Saved, Work,
    bin::{self, Gone},
    everything,
    keys::{self, PREFIX, Shelf},
    label, saved,
};
use crate::units::plain_number;
use gloo_storage::{LocalStorage as Browser, Storage as _};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::wasm_bindgen::JsCast;
use leptos::web_sys::{DomException, Storage};
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
    /// Keeps a text; where that fails, what was there before stays.
    ///
    /// # Errors
    /// Why it was refused.
    fn write(&self, key: &str, text: &str) -> Result<(), Refusal>;
    /// Takes a key out.
    fn remove(&self, key: &str);
    /// All keys, also those of others.
    fn keys(&self) -> Vec<String>;
    /// Is it still there tomorrow?
    fn lasting(&self) -> bool;
}

/// The browser's storage. Only made after a probe: reaching for it throws where storage is blocked.
#[derive(Debug)]
struct Lasting;

impl Lasting {
    fn raw(&self) -> Option<Storage> {
        // The library's handle takes for granted that storage can be reached; a browser may block it while the page is open.
        window().local_storage().ok().flatten().map(|_| Browser::raw())
    }
}

impl Vault for Lasting {
    fn read(&self, key: &str) -> Option<String> {
        self.raw()?.get_item(key).ok().flatten()
    }
    fn write(&self, key: &str, text: &str) -> Result<(), Refusal> {
        let done = self.raw().ok_or(Refusal::Blocked)?.set_item(key, text);
        done.map_err(|e| match e.dyn_ref::<DomException>().map(DomException::name).as_deref() {
            Some("QuotaExceededError") => Refusal::Full,
            _ => Refusal::Blocked,
        })
    }
    fn remove(&self, key: &str) {
        if self.raw().is_some() {
            Browser::delete(key);
        }
    }
    fn keys(&self) -> Vec<String> {
        let Some(raw) = self.raw() else { return vec![] };
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
    fn write(&self, key: &str, text: &str) -> Result<(), Refusal> {
        self.0.borrow_mut().insert(key.into(), text.into());
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
    /// Something that is left alone.
    Left(Left),
}

/// What is left as it is, because only a later version can open it or there is no room to move it aside.
#[derive(Debug, Clone)]
pub struct Left {
    /// Its text.
    pub text: String,
    /// Why, in sentences.
    pub why: String,
}

/// What became of something in another tab since this one opened it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Elsewhere {
    /// It is no longer what it was.
    Changed,
    /// It is gone.
    Gone,
}

/// Where work went that could not be kept where it stood, because another tab had changed that.
#[derive(Debug, Clone)]
pub struct Moved {
    /// Where it stood.
    pub from: (Shelf, String),
    /// Where it is now.
    pub to: (Shelf, String),
    /// What it is now called.
    pub name: String,
}

/// Something that happened to what is kept and that the person should hear of.
#[derive(Debug, Clone)]
pub struct News {
    /// In sentences.
    pub text: String,
    /// Work that moved.
    pub moved: Option<Moved>,
}

/// A write that waits for the typing to pause.
#[derive(Debug, Clone)]
struct Pending {
    shelf: Shelf,
    id: String,
    work: Work,
    /// When it was changed, milliseconds since 1970.
    at_ms: f64,
}

impl Pending {
    fn key(&self) -> String {
        self.shelf.key(&self.id)
    }
}

/// How long the typing must pause before work is kept.
const PAUSE: Duration = Duration::from_millis(400);

const NOT_HERE: &str = "This browser does not let the app keep anything here. What you type is lost when the page closes: save it as a file.";
const AGAIN: &str = "What was kept here was deleted or cleared elsewhere. What is on this screen is kept again.";
const CLEARED: &str =
    "What was kept for this site was cleared by another tab or page. What this tab had open is kept again.";
const FULL: &str = "Cannot save here: the browser's room for this site is full. What was saved before is still there. Save your work as a file, or delete something.";

/// The app's one door to what is kept.
#[derive(Clone, Copy)]
pub struct Store {
    vault: StoredValue<Box<dyn Vault>, LocalStorage>,
    /// What waits to be kept, or was refused and waits for room.
    pending: StoredValue<Vec<Pending>>,
    timer: StoredValue<Option<TimeoutHandle>>,
    /// A sentence, while something cannot be kept.
    pub trouble: RwSignal<Option<String>>,
    /// Counts changes of what is kept, so that lists follow.
    pub version: RwSignal<u32>,
    /// What was moved aside.
    pub asides: RwSignal<Vec<Aside>>,
    /// Is everything typed so far kept?
    pub settled: RwSignal<bool>,
    /// What the person should hear of.
    pub news: RwSignal<Option<News>>,
    /// Has the browser promised not to clear by itself what is kept? Nothing while it has not said.
    pub promised: RwSignal<Option<bool>>,
    /// Can a deletion be undone, redone?
    pub can: RwSignal<(bool, bool)>,
    known: StoredValue<Known>,
    parts: Parts,
}

/// What this tab knows of what is kept.
#[derive(Default)]
struct Known {
    /// What was deleted by this page, and what of it was brought back: each with its key in the bin, where it has one.
    deleted: (Vec<Dropped>, Vec<Dropped>),
    /// Keys that it has opened, and what stood there when it last looked or wrote.
    seen: Vec<(String, Option<String>)>,
    /// Keys that it has opened and another tab has taken, and where its own work goes instead.
    gone_to: Vec<(String, (Shelf, String))>,
    /// Steps of work that was put away, each with its key and its text at that time; the last used at the end.
    steps: Vec<(String, String, Steps)>,
}

/// What was deleted, and its key in the bin.
type Dropped = (Gone, Option<String>);

/// Most works whose steps are remembered.
const MOST_STEPS: usize = 6;

/// What is on a shelf, with its identifiers; and identifiers of what must be left alone, with the reasons.
pub type Listed = (Vec<(String, Saved)>, Vec<(String, Left)>);

impl std::fmt::Debug for Store {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Store")
    }
}

impl Store {
    /// A store over a vault.
    pub(super) fn new(vault: Box<dyn Vault>, parts: Parts) -> Self {
        let trouble = (!vault.lasting()).then(|| NOT_HERE.to_string());
        let store = Self {
            vault: StoredValue::new_local(vault),
            pending: StoredValue::new(vec![]),
            timer: StoredValue::new(None),
            trouble: RwSignal::new(trouble),
            version: RwSignal::new(0),
            asides: RwSignal::new(vec![]),
            settled: RwSignal::new(true),
            news: RwSignal::new(None),
            promised: RwSignal::new(None),
            can: RwSignal::new((false, false)),
            known: StoredValue::new(Known::default()),
            parts,
        };
        store.find_asides();
        store.tidy();
        store
    }
    fn read(self, key: &str) -> Option<String> {
        self.vault.with_value(|v| v.read(key))
    }
    /// The text of what waits for room under a key.
    fn waiting(self, key: &str) -> Option<String> {
        let found = self.pending.with_value(|p| p.iter().find(|p| p.key() == key).cloned())?;
        saved::encode(&found.work, found.at_ms).map(|v| v.to_string())
    }
    fn waits(self, key: &str) -> bool {
        self.pending.with_value(|p| p.iter().any(|p| p.key() == key))
    }
    /// The text of the present work under a key: what waits for room, before what is kept.
    fn present(self, key: &str) -> Option<String> {
        self.waiting(key).or_else(|| self.read(key))
    }
    /// All keys, those of what waits for room too.
    fn all_keys(self) -> Vec<String> {
        let mut all = self.vault.with_value(|v| v.keys());
        self.pending.with_value(|p| {
            for key in p.iter().map(Pending::key) {
                if !all.contains(&key) {
                    all.push(key);
                }
            }
        });
        all
    }
    fn write(self, key: &str, text: &str) -> bool {
        let mut done = self.vault.with_value(|v| v.write(key, text));
        // What was deleted makes room for what is kept.
        while done == Err(Refusal::Full)
            && let Some((oldest, _)) = self.bin().pop().filter(|(oldest, _)| oldest != key)
        {
            self.vault.with_value(|v| v.remove(&oldest));
            self.changed();
            done = self.vault.with_value(|v| v.write(key, text));
        }
        let lasting = self.lasting();
        let trouble = match done {
            // Room for this is not yet room for what waits.
            Ok(()) if self.pending.with_value(|p| !p.is_empty()) => return true,
            Ok(()) if lasting => None,
            Ok(()) | Err(Refusal::Blocked) => Some(NOT_HERE),
            Err(Refusal::Full) => Some(FULL),
        };
        if self.trouble.with_untracked(|t| t.as_deref() != trouble) {
            self.trouble.set(trouble.map(Into::into));
        }
        done.is_ok()
    }
    /// Is what is kept still there tomorrow?
    pub fn lasting(self) -> bool {
        self.vault.with_value(|v| v.lasting())
    }
    /// Has what follows what is kept look again.
    pub(super) fn changed(self) {
        self.version.update(|v| *v = v.wrapping_add(1));
    }
    /// What a screen needs.
    pub(super) fn need_of(self, route: &Route) -> Need {
        self.vault.with_value(|v| Need::of(route, &**v))
    }
    /// The keys of a shelf.
    fn keys(self, shelf: Shelf) -> Vec<String> {
        let all = self.all_keys().into_iter();
        all.filter(|k| Shelf::of(k).is_some_and(|(s, _)| s == shelf)).collect()
    }
    fn find_asides(self) {
        let mut found: Vec<_> = self
            .keys(Shelf::Aside)
            .into_iter()
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
    /// Moves what stands under `key` aside, and says whether it could: if there is no room for a second copy, it stays where it is.
    fn put_aside(self, key: &str, text: &str) -> bool {
        let here = self.keys(Shelf::Aside).into_iter().map(|k| (k, String::new())).collect();
        let done = self.write(&everything::free(&here, &keys::aside(key)), &Value::from(text).to_string());
        if done {
            self.vault.with_value(|v| v.remove(key));
        }
        self.find_asides();
        done
    }
    /// The present work under a shelf and identifier.
    pub fn load(self, shelf: Shelf, id: &str) -> Found {
        let key = shelf.key(id);
        if self.waits(&key) {
            self.flush();
        }
        let Some(text) = self.present(&key).filter(|text| self.parts.opens(text)) else { return Found::Nothing };
        let why = match saved::decode(&text) {
            Decoded::Good(saved) => return Found::Work(saved),
            Decoded::Bad(_) if self.put_aside(&key, &text) => return Found::Nothing,
            Decoded::Bad(_) => "It cannot be read, and there is no room to keep it aside. It is left as it is.".into(),
            newer => newer.work().err().unwrap_or_default().join(" "),
        };
        Found::Left(Left { text, why })
    }
    /// The same, to work on it: from now on this tab knows what stands there.
    pub fn open(self, shelf: Shelf, id: &str) -> Found {
        let found = self.load(shelf, id);
        let key = shelf.key(id);
        // What waits for room goes on from what this tab saw before.
        if !self.waits(&key) {
            self.known.update_value(|k| k.gone_to.retain(|(from, _)| *from != key));
            self.look(&key);
        }
        found
    }
    /// What this tab last saw under a key, if it has opened it.
    fn seen(self, key: &str) -> Option<Option<String>> {
        self.known.with_value(|k| k.seen.iter().find(|(seen, _)| seen == key).map(|(_, text)| text.clone()))
    }
    /// Looks what stands under a key now.
    fn look(self, key: &str) {
        let text = self.read(key);
        self.known.update_value(|k| {
            k.seen.retain(|(seen, _)| seen != key);
            k.seen.push((key.into(), text));
        });
    }
    /// Looks again, if this tab has opened it.
    fn look_again(self, key: &str) {
        if self.seen(key).is_some() {
            self.look(key);
        }
    }
    /// What became of something in another tab since this one opened or kept it.
    pub fn elsewhere(self, shelf: Shelf, id: &str) -> Option<Elsewhere> {
        let key = shelf.key(id);
        let known = self.seen(&key)?;
        match self.read(&key) {
            there if there == known => None,
            None => Some(Elsewhere::Gone),
            Some(_) => Some(Elsewhere::Changed),
        }
    }
    /// Another tab or page has changed what stands under a key, or cleared everything.
    pub fn heard(self, key: Option<&str>) {
        match key {
            Some(key) if !key.starts_with(PREFIX) => return,
            Some(_) => {}
            None => {
                let known = self.known.with_value(|k| k.seen.clone());
                let missing: Vec<_> = known
                    .into_iter()
                    .filter_map(|(key, text)| Some((key, text?)))
                    .filter(|(key, _)| self.read(key).is_none())
                    .collect();
                // All of them: one that finds no room must not keep the others from theirs.
                let kept = missing.iter().filter(|(key, text)| self.write(key, text)).count();
                if kept > 0 {
                    self.news.set(Some(News { text: CLEARED.into(), moved: None }));
                }
            }
        }
        // There may be room again for what was refused.
        if self.timer.with_value(Option::is_none) {
            self.flush();
        }
        self.find_asides();
        self.changed();
    }
    /// The text under a shelf and identifier.
    pub fn text(self, shelf: Shelf, id: &str) -> Option<String> {
        self.read(&shelf.key(id))
    }
    /// Keeps work now.
    pub fn save(self, shelf: Shelf, id: &str, work: &Work) -> bool {
        self.keep(shelf, id, work, dom::now_ms())
    }
    fn keep(self, shelf: Shelf, id: &str, work: &Work, at_ms: f64) -> bool {
        let Some(value) = saved::encode(work, at_ms) else { return false };
        let key = shelf.key(id);
        match self.elsewhere(shelf, id) {
            Some(Elsewhere::Changed) => {
                if let Some(done) = self.beside(shelf, id, work) {
                    return done;
                }
            }
            Some(Elsewhere::Gone) => self.news.set(Some(News { text: AGAIN.into(), moved: None })),
            None => {}
        }
        let done = self.write(&key, &value.to_string());
        // Who follows what is kept looks at it, and what was refused is tried again then.
        if done {
            self.look(&key);
            self.changed();
        }
        done
    }
    /// Keeps work under a name and a key of its own, because another tab has changed what stands under this one. For a goal, of which there is
    /// only one, the other goes to the bin instead: then there is nothing to say.
    fn beside(self, shelf: Shelf, id: &str, work: &Work) -> Option<bool> {
        let mut work = work.clone();
        let (to, called) = match (shelf, work.sheet()) {
            (Shelf::Draft, Some(sheet)) => (Shelf::Sheet, sheet.entry().title.to_string()),
            (Shelf::Draft, None) => {
                self.drop(shelf, id);
                return None;
            }
            _ => (shelf, work.called().to_string()),
        };
        let name = label::apart(to, &called, &self.called(to));
        work.call(&name);
        let new = self.new_id(to);
        let done = saved::encode(&work, dom::now_ms()).is_some_and(|v| self.write(&to.key(&new), &v.to_string()));
        if done {
            self.look(&to.key(&new));
            self.known.update_value(|k| k.gone_to.push((shelf.key(id), (to, new.clone()))));
            let text = format!(
                "Another tab changed this as well. Both are kept: what you see here is now “{name}”, the other is where it was."
            );
            let moved = Some(Moved { from: (shelf, id.into()), to: (to, new), name });
            self.news.set(Some(News { text, moved }));
            self.changed();
        }
        Some(done)
    }
    /// Keeps work when the typing pauses.
    pub fn save_soon(self, shelf: Shelf, id: String, work: Work) {
        let key = shelf.key(&id);
        let gone_to = |k: &Known| k.gone_to.iter().find(|(from, _)| *from == key).map(|(_, to)| to.clone());
        let (shelf, id) = self.known.with_value(gone_to).unwrap_or((shelf, id));
        let new = Pending { shelf, id, work, at_ms: dom::now_ms() };
        if self.pending.with_value(|p| p.iter().any(|p| p.key() != new.key())) {
            self.flush();
        }
        self.pending.update_value(|p| {
            p.retain(|p| p.key() != new.key());
            p.push(new);
        });
        self.settled.set(false);
        self.stop_timer();
        self.timer.set_value(set_timeout_with_handle(move || self.flush(), PAUSE).ok());
    }
    fn stop_timer(self) {
        if let Some(Some(timer)) = self.timer.try_update_value(Option::take) {
            timer.clear();
        }
    }
    /// Keeps now what waits to be kept. What is refused goes on waiting, until there is room.
    pub fn flush(self) {
        self.stop_timer();
        let Some(mut all) = self.pending.try_update_value(std::mem::take) else { return };
        if all.is_empty() && self.settled.get_untracked() {
            return;
        }
        all.retain(|p| !self.keep(p.shelf, &p.id, &p.work, p.at_ms));
        self.settled.set(all.is_empty());
        if !all.is_empty() && self.trouble.with_untracked(Option::is_none) {
            self.trouble.set(Some(FULL.into()));
        }
        self.pending.update_value(|p| p.extend(all));
    }
    /// Everything on a shelf, newest first; and what must be left alone, with the reason.
    pub fn list(self, shelf: Shelf) -> Listed {
        let keys = self.keys(shelf);
        let ids = keys.iter().filter_map(|k| Shelf::of(k)).map(|(_, id)| id.to_string());
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
    /// What is in the bin, by keys, the last deleted first.
    pub fn bin(self) -> Vec<(String, Gone)> {
        let mut all = vec![];
        for key in self.keys(Shelf::Bin) {
            all.extend(self.gone(&key).map(|gone| (key, gone)));
        }
        crate::units::arrange(&mut all, |a, b| b.1.at_ms.total_cmp(&a.1.at_ms));
        all
    }
    /// What was deleted under a key of the bin.
    pub fn gone(self, key: &str) -> Option<Gone> {
        Gone::read(&self.read(key)?)
    }
    /// Empties the bin of what has stood there long enough, and of what cannot be read.
    fn tidy(self) {
        for key in self.keys(Shelf::Bin) {
            if let Some(text) = self.read(&key).filter(|text| Gone::read(text).is_none()) {
                self.put_aside(&key, &text);
            }
        }
        let all: Vec<_> = self.bin().into_iter().map(|(key, gone)| (key, gone.at_ms)).collect();
        for key in bin::over(&all, dom::now_ms()) {
            self.vault.with_value(|v| v.remove(&key));
        }
    }
    /// Empties the bin.
    pub fn empty(self) {
        for key in self.keys(Shelf::Bin) {
            self.vault.with_value(|v| v.remove(&key));
        }
        self.known.update_value(|k| k.deleted = (vec![], vec![]));
        self.can.set((false, false));
        self.flush();
        self.changed();
    }
    /// Moves an entry into the bin. Where there is no room even for that, it is gone but for what is given back.
    fn drop(self, shelf: Shelf, id: &str) -> Option<Dropped> {
        self.flush();
        let key = shelf.key(id);
        let gone = Gone { shelf, id: id.into(), at_ms: dom::now_ms(), text: self.present(&key)? };
        let place = Shelf::Bin.key(&self.new_id(Shelf::Bin));
        // It is taken out first: two of it may be more than there is room for. What waits for room comes before what is deleted.
        self.pending.update_value(|p| p.retain(|p| p.key() != key));
        self.vault.with_value(|v| v.remove(&key));
        self.flush();
        let kept = self.write(&place, &gone.write());
        if !kept && self.lasting() && self.settled.get_untracked() {
            // There is room for what is kept; only what was deleted found none.
            self.trouble.set(None);
        }
        self.look_again(&key);
        self.tidy();
        self.changed();
        Some((gone, kept.then_some(place)))
    }
    /// Deletes an entry; false if there is none. It can be brought back from the bin, and by undo.
    pub fn delete(self, shelf: Shelf, id: &str) -> bool {
        let Some(dropped) = self.drop(shelf, id) else { return false };
        self.known.update_value(|k| {
            k.deleted.0.push(dropped);
            k.deleted.1.clear();
        });
        self.count_deleted();
        true
    }
    /// Is the last that was deleted in the bin, or only in this page's memory?
    pub fn in_bin(self) -> bool {
        self.known.with_value(|k| k.deleted.0.last().is_some_and(|(_, key)| key.is_some()))
    }
    fn count_deleted(self) {
        self.can.set(self.known.with_value(|k| (!k.deleted.0.is_empty(), !k.deleted.1.is_empty())));
    }
    /// What is called how on a shelf.
    pub(super) fn called(self, shelf: Shelf) -> Vec<String> {
        self.keys(shelf).iter().filter_map(|k| self.present(k)).map(|text| label::called(shelf, &text)).collect()
    }
    /// Puts back what was deleted: where it stood, or beside what stands there now. Says where.
    fn put_back(self, (gone, key): &Dropped) -> Option<(Shelf, String)> {
        let (shelf, mut id) = (gone.shelf, gone.id.clone());
        let there = self.present(&shelf.key(&id)).filter(|there| !label::same(there, &gone.text));
        let mut text = gone.text.clone();
        if there.is_some() && shelf == Shelf::Draft {
            // There is one place: the two change it.
            self.drop(shelf, &id);
        } else if there.is_some() {
            id = self.new_id(shelf);
            let name = label::apart(shelf, &label::called(shelf, &text), &self.called(shelf));
            text = label::rename(&text, &name).unwrap_or(text);
        }
        // Two of it may be more than there is room for.
        let bin = key.as_ref().map(|key| (key, self.read(key)));
        if let Some((key, _)) = &bin {
            self.vault.with_value(|v| v.remove(key));
        }
        let mut done = self.write(&shelf.key(&id), &text);
        match bin {
            Some((key, Some(text))) if !done => {
                self.write(key, &text);
            }
            // It stands nowhere else, so it waits for room.
            _ if !done && self.parts.opens(&text) => {
                if let Ok(saved) = saved::decode(&text).work() {
                    self.save_soon(shelf, id.clone(), saved.work);
                    done = true;
                }
            }
            _ => {}
        }
        if done {
            self.look_again(&shelf.key(&id));
        }
        self.find_asides();
        self.changed();
        done.then_some((shelf, id))
    }
    /// Brings back what is in the bin under a key. Says where it is now.
    pub fn bring_back(self, key: &str) -> Option<(Shelf, String)> {
        let gone = Gone::read(&self.read(key)?)?;
        let place = self.put_back(&(gone, Some(key.into())))?;
        self.known.update_value(|k| k.deleted.0.retain(|(_, place)| place.as_deref() != Some(key)));
        self.count_deleted();
        Some(place)
    }
    /// Brings back what was last deleted here. Says what.
    pub fn undo_delete(self) -> Option<Gone> {
        let dropped = self.known.try_update_value(|k| k.deleted.0.pop())??;
        let place = self.put_back(&dropped);
        let mut gone = dropped.0.clone();
        self.known.update_value(|k| match &place {
            Some((_, id)) => {
                gone.id.clone_from(id);
                k.deleted.1.push((gone.clone(), None));
            }
            None => k.deleted.0.push(dropped),
        });
        self.count_deleted();
        place.map(|_| gone)
    }
    /// Deletes again what was last brought back by undo. Says what.
    pub fn redo_delete(self) -> Option<Gone> {
        let (gone, _) = self.known.try_update_value(|k| k.deleted.1.pop())??;
        let dropped = self.drop(gone.shelf, &gone.id);
        self.known.update_value(|k| k.deleted.0.extend(dropped));
        self.count_deleted();
        Some(gone)
    }
    /// Remembers the steps of work that is put away.
    pub(super) fn keep_steps(self, (shelf, id): &(Shelf, String), steps: Steps) {
        let key = shelf.key(id);
        let Some(kept) = self.vault.try_with_value(|v| v.read(&key)) else { return };
        let Some(text) = self.waiting(&key).or(kept) else { return };
        self.known.try_update_value(|k| {
            let all = &mut k.steps;
            all.retain(|(k, ..)| *k != key);
            all.push((key, text, steps));
            if all.len() > MOST_STEPS {
                all.remove(0);
            }
        });
    }
    /// The steps of work that is opened again, if it is still as it was put away.
    pub(super) fn steps_of(self, (shelf, id): &(Shelf, String)) -> Option<Steps> {
        let key = shelf.key(id);
        let text = self.present(&key);
        self.known.try_update_value(|k| {
            let at = k.steps.iter().position(|(kept, t, _)| *kept == key && Some(t) == text.as_ref())?;
            Some(k.steps.remove(at).2)
        })?
    }
    /// Everything for one file.
    pub fn everything(self) -> Vec<(String, String)> {
        self.flush();
        let mut keys = self.all_keys();
        keys.retain(|k| everything::belongs(k));
        keys.into_iter().filter_map(|k| self.present(&k).map(|text| (k, text))).collect()
    }
    /// Brings everything of a file back, beside what is here. Says in one sentence what came.
    ///
    /// # Errors
    /// A sentence, if the file cannot be read.
    pub fn take_everything(self, text: &str) -> Result<String, String> {
        let file = everything::read(text)?;
        let mut here = BTreeMap::new();
        let deleted = self.keys(Shelf::Bin).into_iter().filter_map(|key| self.read(&key).map(|text| (key, text)));
        for (key, text) in self.everything().into_iter().chain(deleted) {
            here.insert(key, text);
        }
        let plan = everything::plan(file, &here, dom::now_ms(), &mut |shelf| self.new_id(shelf));
        let refused = plan.puts.iter().filter(|p| !self.write(&p.key, &p.text)).count();
        self.find_asides();
        self.tidy();
        self.changed();
        Ok(everything::told(&plan, refused))
    }
    /// How many systems and named sheets were changed since everything was last put into a file; and when that was.
    pub fn since_file(self) -> (usize, Option<f64>) {
        let at = self.time(keys::EXPORTED);
        let later = |shelf| self.list(shelf).0.iter().filter(|(_, s)| s.at_ms > at.unwrap_or(0.0)).count();
        (later(Shelf::System) + later(Shelf::Sheet), at)
    }
    /// A time that is kept as a setting.
    pub fn time(self, key: &str) -> Option<f64> {
        plain_number(&self.setting(key)?)
    }
    /// Keeps the present time as a setting.
    pub fn note_time(self, key: &str) {
        self.set_setting(key, &dom::now_ms().round().to_string());
        self.changed();
    }
    /// Drops something that was put aside, after the person has seen to it.
    pub fn drop_aside(self, key: &str) {
        self.vault.with_value(|v| v.remove(key));
        self.flush();
        self.find_asides();
    }
    /// An identifier that is not in use.
    pub fn new_id(self, shelf: Shelf) -> String {
        let mut id = keys::new_id(dom::random());
        while self.present(&shelf.key(&id)).is_some() {
            id = keys::new_id(dom::random());
        }
        id
    }
    /// Is nothing kept at all?
    pub fn bare(self) -> bool {
        !self.vault.with_value(|v| v.keys()).iter().any(|key| key.starts_with(keys::PREFIX))
    }
    /// A setting.
    pub fn setting(self, key: &str) -> Option<String> {
        serde_json::from_str::<Value>(&self.read(key)?).ok()?.as_str().map(Into::into)
    }
    /// Keeps a setting.
    pub fn set_setting(self, key: &str, value: &str) {
        self.write(key, &Value::from(value).to_string());
    }
}
