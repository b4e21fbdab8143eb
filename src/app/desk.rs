//! Work in hand: the paper, undo and redo, and where it is kept.

use super::{dom, store::Store};
use crate::calculators::form::Edit;
use crate::session::{History, Work, keys::Shelf};
use leptos::prelude::*;

/// Work in hand.
#[derive(Clone, Copy)]
pub struct Desk {
    /// The work.
    pub work: RwSignal<Work>,
    /// Can something be undone, redone?
    pub can: RwSignal<(bool, bool)>,
    /// Where it is kept; nothing where it must not be.
    pub place: RwSignal<Option<(Shelf, String)>>,
    /// Finds a place for work that has none, at its first change.
    adopt: StoredValue<Option<Callback<(), (Shelf, String)>>>,
    history: StoredValue<History<Work>>,
    store: Store,
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Desk")
    }
}

impl Desk {
    /// A desk with work on it.
    pub fn new(work: Work, place: Option<(Shelf, String)>, store: Store) -> Self {
        Self {
            work: RwSignal::new(work),
            can: RwSignal::new((false, false)),
            place: RwSignal::new(place),
            adopt: StoredValue::new(None),
            history: StoredValue::new(History::default()),
            store,
        }
    }
    /// Work that is nowhere kept until it is first changed; `adopt` then gives it a place.
    pub fn borrowed(work: Work, adopt: Callback<(), (Shelf, String)>, store: Store) -> Self {
        let desk = Self::new(work, None, store);
        desk.adopt.set_value(Some(adopt));
        desk
    }
    /// Makes changes as one step. `what` names what is changed; quick changes of one thing make one step.
    pub fn edit(self, edits: &[Edit], what: &str) -> bool {
        let before = self.work.get_untracked();
        let mut after = before.clone();
        let mut changed = false;
        for edit in edits {
            changed |= after.apply(edit);
        }
        if changed {
            self.step(before, after, what);
        }
        changed
    }
    /// Puts other work in its place, as one step.
    pub fn replace(self, after: Work) {
        self.step(self.work.get_untracked(), after, "");
    }
    fn step(self, before: Work, after: Work, what: &str) {
        self.history.update_value(|h| h.keep(before, what, dom::now_ms()));
        self.put(after);
    }
    fn put(self, work: Work) {
        self.can.set(self.history.with_value(History::can));
        if let Some(Some(adopt)) = self.adopt.try_update_value(Option::take) {
            self.place.set(Some(adopt.run(())));
        }
        if let Some((shelf, id)) = self.place.get_untracked() {
            self.store.save_soon(shelf, id, work.clone());
        }
        self.work.set(work);
    }
    /// Keeps the work now, without waiting for a pause; false if it cannot be kept.
    pub fn keep(self) -> bool {
        if let Some(Some(adopt)) = self.adopt.try_update_value(Option::take) {
            self.place.set(Some(adopt.run(())));
        }
        if let Some((shelf, id)) = self.place.get_untracked() {
            self.store.save_soon(shelf, id, self.work.get_untracked());
            self.store.flush();
        }
        self.place.with_untracked(Option::is_some) && self.store.settled.get_untracked()
    }
    /// One step back.
    pub fn undo(self) {
        let Some(now) = self.work.try_get_untracked() else { return };
        if let Some(Some(before)) = self.history.try_update_value(|h| h.undo(now)) {
            self.put(before);
        }
    }
    /// One step forward again.
    pub fn redo(self) {
        let Some(now) = self.work.try_get_untracked() else { return };
        if let Some(Some(after)) = self.history.try_update_value(|h| h.redo(now)) {
            self.put(after);
        }
    }
}
