//! Work in hand: the paper, undo and redo, and where it is kept.

use super::board::{Board, Faults, Unread};
use super::{
    Notice, Shell, dom, keeping,
    store::{Moved, Store},
};
use crate::calculators::form::{Edit, EditValue};
use crate::session::{History, Work, keys::Shelf};
use leptos::prelude::*;

/// Where work is kept.
pub type Place = Option<(Shelf, String)>;

/// One state: the work, and where it is kept.
#[derive(Debug, Clone)]
pub(super) struct State {
    work: Work,
    place: Place,
}

/// Every state of some work.
pub(super) type Steps = History<State>;

/// Work in hand.
#[derive(Clone, Copy)]
pub struct Desk {
    /// The work.
    pub work: RwSignal<Work>,
    /// Can something be undone, redone?
    pub can: RwSignal<(bool, bool)>,
    /// Where it is kept; nothing where it must not be.
    pub place: RwSignal<Place>,
    /// Finds a place for work that has none, at its first change.
    adopt: StoredValue<Option<Callback<(), (Shelf, String)>>>,
    history: StoredValue<Steps>,
    /// Was the last change typed, so that more may follow at once?
    typed: StoredValue<bool>,
    /// What is typed into its fields but cannot be taken, by path: the sentence.
    unread: RwSignal<Unread>,
    store: Store,
    /// The message shown now.
    notice: RwSignal<Option<Notice>>,
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Desk")
    }
}

impl Desk {
    /// A desk with work on it. If it was on one before and is as it was put away, its steps are there again.
    pub fn new(work: Work, place: Place, store: Store) -> Self {
        let history = place.as_ref().and_then(|p| store.steps_of(p)).unwrap_or_default();
        let desk = Self {
            work: RwSignal::new(work),
            can: RwSignal::new(history.can()),
            place: RwSignal::new(place),
            adopt: StoredValue::new(None),
            history: StoredValue::new(history),
            typed: StoredValue::new(false),
            unread: RwSignal::new(Unread::new()),
            store,
            notice: Shell::get().notice,
        };
        on_cleanup(move || desk.put_away());
        desk
    }
    /// Has the steps remembered with the work.
    pub fn put_away(self) {
        if let (Some(Some(place)), Some(steps)) =
            (self.place.try_get_untracked(), self.history.try_update_value(std::mem::take))
            && steps.can() != (false, false)
        {
            self.store.keep_steps(&place, steps);
        }
    }
    /// Was the last change typed, so that more may follow at once?
    pub fn typed(self) -> bool {
        self.typed.get_value()
    }
    /// The work stands elsewhere and is called otherwise, from its first step on.
    pub fn moved(self, moved: &Moved) {
        if self.place.with_untracked(|p| p.as_ref() != Some(&moved.from)) {
            return;
        }
        let to = Some(moved.to.clone());
        self.history.update_value(|h| {
            h.each(|s| {
                if s.place.as_ref() == Some(&moved.from) {
                    s.place.clone_from(&to);
                    s.work.call(&moved.name);
                }
            });
        });
        self.place.set(to);
        self.work.update(|w| w.call(&moved.name));
    }
    /// Work that is nowhere kept until it is first changed; `adopt` then gives it a place.
    pub fn borrowed(work: Work, adopt: Callback<(), (Shelf, String)>, store: Store) -> Self {
        let desk = Self::new(work, None, store);
        desk.adopt.set_value(Some(adopt));
        desk
    }
    /// Lays borrowed work on top of what is there, which stays where it is kept, one step back.
    pub fn lay(self, work: Work, adopt: Callback<(), (Shelf, String)>) {
        let before = self.now();
        self.history.update_value(|h| h.keep(before, "", dom::now_ms()));
        self.can.set((true, false));
        self.place.set(None);
        self.adopt.set_value(Some(adopt));
        self.work.set(work);
    }
    fn now(self) -> State {
        State { work: self.work.get_untracked(), place: self.place.get_untracked() }
    }
    /// Makes changes as one step. `what` names what is changed; quick changes of one thing make one step.
    pub fn edit(self, edits: &[Edit], what: &str) -> bool {
        let mut after = self.work.get_untracked();
        let mut changed = false;
        for edit in edits {
            changed |= after.apply(edit);
        }
        if changed {
            self.step(after, what);
        }
        changed
    }
    /// The wires of a form over the work: what is typed makes steps.
    pub fn board(self, faults: Faults) -> Board {
        let units = Shell::get().units;
        let edit = Callback::new(move |e: Edit| {
            let mut after = self.work.get_untracked();
            if after.apply(&e) {
                if matches!(e.to, EditValue::Option(_) | EditValue::Rows(_)) {
                    after = self.work.with_untracked(|before| after.opened(before, units.get_untracked()));
                }
                self.step(after, &e.path);
            }
        });
        let mut board = Board::new(self.work, edit, faults, self.unread, "f", true);
        board.undo = Some(Callback::new(move |()| self.undo()));
        board
    }
    /// Puts work that is changed in one place in its place, as one step.
    pub fn replace(self, after: Work) {
        self.step(after, "");
    }
    /// Puts other work in its place, as one step. Every field is set anew.
    pub fn refill(self, after: Work) {
        self.unread.set(Unread::new());
        self.step(after, "");
    }
    fn step(self, work: Work, what: &str) {
        let before = self.now();
        self.history.update_value(|h| h.keep(before, what, dom::now_ms()));
        self.typed.set_value(!what.is_empty());
        self.settle();
        self.put(State { work, place: self.place.get_untracked() });
    }
    /// Finds a place for work that has none.
    fn settle(self) {
        if self.place.with_untracked(Option::is_some) {
            return;
        }
        if let Some(Some(adopt)) = self.adopt.try_update_value(Option::take) {
            let place = Some(adopt.run(()));
            self.history.update_value(|h| h.each(|s| s.place = s.place.take().or_else(|| place.clone())));
            self.place.set(place);
        }
    }
    fn put(self, state: State) {
        // Its Undo would take back another step than the one that it names.
        if self.notice.with_untracked(|n| n.as_ref().is_some_and(|n| n.step)) {
            self.notice.set(None);
        }
        self.can.set(self.history.with_value(History::can));
        if self.place.with_untracked(|p| *p != state.place) {
            self.place.set(state.place);
        }
        self.save_soon(state.work.clone());
        self.work.set(state.work);
    }
    fn save_soon(self, work: Work) {
        if let Some((shelf, id)) = self.place.get_untracked() {
            self.store.save_soon(shelf, id, work);
        }
    }
    /// Keeps the work now, without waiting for a pause; false if it cannot be kept.
    pub fn keep(self) -> bool {
        self.settle();
        self.save_soon(self.work.get_untracked());
        self.store.flush();
        let kept = self.place.with_untracked(Option::is_some) && self.store.settled.get_untracked();
        if kept {
            keeping::ask(self.store);
        }
        kept
    }
    /// One step back.
    pub fn undo(self) {
        self.turn(History::undo);
    }
    /// One step forward again.
    pub fn redo(self) {
        self.turn(History::redo);
    }
    fn turn(self, step: fn(&mut History<State>, State) -> Option<State>) {
        if self.work.try_with_untracked(|_| ()).is_none() {
            return;
        }
        let now = self.now();
        self.typed.set_value(false);
        if let Some(Some(to)) = self.history.try_update_value(|h| step(h, now)) {
            self.put(to);
        }
    }
}
