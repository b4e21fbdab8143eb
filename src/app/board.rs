//! What the one form component needs: the fields of some work, their values, and where changes go.

use super::dom;
use super::el::Same;
use crate::calculators::form::{Edit, EditValue, FieldError, LayoutEntry, LayoutItem, List};
use crate::session::{Val, Work};
use leptos::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// One place of the form, without its value.
#[derive(Debug, Clone)]
pub struct Slot {
    /// Path of the field.
    pub path: String,
    /// What stands there.
    pub item: LayoutItem,
    /// Behind "more detail".
    pub detail: bool,
    /// What makes it this place and no other.
    pub key: String,
}

impl PartialEq for Slot {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key && self.detail == other.detail
    }
}

/// All places in the order of the page.
pub type Slots = Arc<Vec<Slot>>;
/// What is typed but cannot be taken, by path: the sentence.
pub type Unread = BTreeMap<String, String>;
/// What is wrong with the present values.
pub type Faults = Memo<Same<Vec<FieldError>>>;

fn slot(e: LayoutEntry) -> Slot {
    let key = match &e.item {
        LayoutItem::Num(s, _) => format!("n {} {} {}", e.path, s.label, s.help),
        LayoutItem::Text(t, _) => format!("t {} {}", e.path, t.label),
        LayoutItem::Choice(p, _) => format!("c {} {} {}", e.path, p.label, p.help),
        LayoutItem::Title(t) => format!("h {} {t}", e.path),
        LayoutItem::List(l, _) => format!("l {} {}", e.path, l.label),
        LayoutItem::Row(..) => format!("r {}", e.path),
        LayoutItem::EndList => format!("e {}", e.path),
    };
    Slot { path: e.path, item: e.item, detail: e.detail, key }
}

/// Something that is wrong.
#[derive(Clone, PartialEq)]
pub struct Wrong {
    /// Where, if the page has a field for it.
    pub path: Option<String>,
    /// In one short sentence: the field's name if the field itself says the rest.
    pub why: String,
    /// What the field says, if there is one.
    pub fault: String,
}

/// A form's work, values and wires.
#[derive(Clone, Copy)]
pub struct Board {
    /// Every place, changed only when the form itself changes.
    pub slots: Memo<Slots>,
    /// The values of all active fields.
    pub values: Memo<Same<BTreeMap<String, Val>>>,
    /// The work.
    pub work: RwSignal<Work>,
    /// Takes a change.
    pub edit: Callback<Edit>,
    /// What is typed but cannot be taken. A field whose own is taken out of it is set anew.
    pub unread: RwSignal<Unread>,
    /// What the sum found wrong.
    pub faults: Faults,
    /// Takes the last change back, where that can be.
    pub undo: Option<Callback<()>>,
    /// Are untouched fields marked as assumed?
    pub marks: bool,
    /// What the identifiers of this form begin with.
    scope: StoredValue<String>,
}

impl std::fmt::Debug for Board {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Board")
    }
}

impl Board {
    /// A board over some work.
    pub fn new(
        work: RwSignal<Work>,
        edit: Callback<Edit>,
        faults: Faults,
        unread: RwSignal<Unread>,
        scope: &str,
        marks: bool,
    ) -> Self {
        Self {
            slots: Memo::new(move |_| Arc::new(work.with(Work::layout).into_iter().map(slot).collect())),
            values: Memo::new(move |_| Same::new(work.with(Work::values))),
            work,
            edit,
            undo: None,
            unread,
            faults,
            marks,
            scope: StoredValue::new(scope.to_string()),
        }
    }
    /// The identifier of a field's input.
    pub fn id(&self, path: &str) -> String {
        self.scope.with_value(|s| format!("{s}-{}", path.replace('.', "-")))
    }
    /// The value of a field now.
    pub fn value(&self, path: &str) -> Option<Val> {
        self.values.with(|v| v.0.get(path).cloned())
    }
    /// The declaration of a list.
    pub fn list(&self, path: &str) -> Option<List> {
        self.slots.with_untracked(|s| {
            s.iter().find_map(|s| match &s.item {
                LayoutItem::List(list, _) if s.path == path => Some(*list),
                _ => None,
            })
        })
    }
    /// Sends a change.
    pub fn set(&self, path: &str, to: EditValue) {
        self.edit.run(Edit { path: path.to_string(), to });
    }
    /// Is the field still at its default?
    pub fn assumed(&self, path: &str) -> bool {
        self.marks && self.work.with(|w| w.assumed(path))
    }
    /// The sentence that says what is wrong with a field, if anything is.
    pub fn fault(&self, path: &str) -> Option<String> {
        let typed = self.unread.with(|u| u.get(path).cloned());
        typed.or_else(|| self.faults.with(|f| f.0.iter().find(|e| e.path == path).map(sentence)))
    }
    /// Notes that what is typed cannot be taken, or can be again.
    pub fn note(&self, path: &str, wrong: Option<String>) {
        let same = self.unread.with_untracked(|u| u.get(path) == wrong.as_ref());
        if !same {
            self.unread.update(|u| match wrong {
                Some(sentence) => {
                    u.insert(path.to_string(), sentence);
                }
                None => {
                    u.remove(path);
                }
            });
        }
    }
    /// Has what is said of a field go with it.
    pub fn forget(self, path: &str) {
        let path = path.to_string();
        on_cleanup(move || {
            self.unread.try_update(|u| u.remove(&path));
        });
    }
    /// The first thing that is wrong: what is typed before what is computed, and last what is only noted.
    pub fn wrong(&self) -> Option<Wrong> {
        let typed = |noted: bool| {
            let first =
                |u: &Unread| u.iter().find(|f| is_noted(f.0) == noted).map(|(p, said)| (p.clone(), said.clone(), None));
            self.unread.with(first)
        };
        let first = |e: &FieldError| (e.path.clone(), sentence(e), Some(e.to_string()));
        let (path, fault, whole) =
            typed(false).or_else(|| self.faults.with(|f| f.0.first().map(first))).or_else(|| typed(true))?;
        let (label, there) = self.slots.with(|s| {
            let slot = s.iter().find(|s| s.path == path);
            (slot.and_then(|s| s.item.label().map(str::to_string)), slot.is_some())
        });
        let (why, fault) = match (label, whole) {
            (Some(label), _) => (format!("“{label}” needs another look."), fault),
            (None, Some(whole)) => (whole, String::new()),
            (None, None) => ("A field needs another look.".into(), fault),
        };
        Some(Wrong { path: there.then_some(path), why, fault })
    }
    /// What is wrong somewhere, for those who listen: the field's name, the fault and what is accepted.
    pub fn said(&self) -> Option<String> {
        self.wrong().map(|w| format!("{} {}", w.why, w.fault).trim_end().into())
    }
    /// Brings that into sight.
    pub fn go_to_wrong(&self) {
        if let Some(path) = untrack(|| self.wrong()).and_then(|w| w.path) {
            self.show(&path, false);
        }
    }
    /// Brings a field into sight, or the way to measure it.
    pub fn show(&self, path: &str, way: bool) {
        let id = self.id(path);
        if way { dom::open(&format!("{id}-way")) } else { dom::reveal(&id) }
    }
}

/// Is it noted beside a system, where no check reads it?
pub fn is_noted(path: &str) -> bool {
    path.starts_with("notes.")
}

/// A fault as it stands at its own field, whose label need not be said again.
fn sentence(e: &FieldError) -> String {
    let fault = crate::units::sentence(e.fault.trim_end_matches('.'));
    if e.accepted.is_empty() {
        format!("{fault}.")
    } else {
        format!("{fault}. Accepted: {}.", e.accepted.trim_end_matches('.'))
    }
}
