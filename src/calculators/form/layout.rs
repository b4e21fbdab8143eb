//! The declaration flattened for a page: what stands where, with its present value.

use super::*;

/// What stands at one place of the page.
#[derive(Debug, Clone)]
pub enum Item {
    /// A number with its SI value.
    Num(Spec, f64),
    /// A short text.
    Text(Text, String),
    /// A choice and the option chosen.
    Choice(Pick, usize),
    /// The heading of a group.
    Title(&'static str),
    /// A list with its number of rows; its rows follow, and then [`Item::EndList`].
    List(List, usize),
    /// The start of row `i` of the list.
    Row(&'static str, usize),
    /// The end of a list.
    EndList,
}

impl Item {
    /// What the field is called, if it is one.
    pub fn label(&self) -> Option<&'static str> {
        match self {
            Self::Num(spec, _) => Some(spec.label),
            Self::Choice(pick, _) => Some(pick.label),
            Self::Text(text, _) => Some(text.label),
            _ => None,
        }
    }
}

/// One place of the page.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Path of the field, such as `fittings.0.kind`; for titles, the title.
    pub path: String,
    /// What stands there.
    pub item: Item,
    /// Belongs behind "more detail".
    pub detail: bool,
}

#[derive(Default)]
struct Layout {
    at: String,
    detail: bool,
    out: Vec<Entry>,
}

impl Layout {
    fn put(&mut self, key: &str, item: Item, detail: bool) {
        self.out.push(Entry { path: format!("{}{key}", self.at), item, detail: detail || self.detail });
    }
}

impl Form for Layout {
    fn text(&mut self, text: &Text, value: &mut String) {
        if !text.hidden {
            self.put(text.key, Item::Text(*text, value.clone()), false);
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let (at, detail) = (self.at.clone(), self.detail);
        self.detail |= part.detail;
        if !part.title.is_empty() {
            self.put(part.key, Item::Title(part.title), false);
        }
        self.at = format!("{at}{}.", part.key);
        inner.fields(self);
        (self.at, self.detail) = (at, detail);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        self.put(spec.key, Item::Num(*spec, *si), spec.detail);
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        self.put(pick.key, Item::Choice(*pick, *at), pick.detail);
    }
    fn group(&mut self, group: &Group, active: bool, inner: &mut dyn Fields) {
        if !active {
            return;
        }
        let start = self.out.len();
        inner.fields(self);
        // A heading over nothing but details is itself a detail.
        if !group.title.is_empty() && self.out.len() > start {
            let detail = self.out[start..].iter().all(|e| e.detail);
            self.out.insert(start, Entry { path: group.title.into(), item: Item::Title(group.title), detail });
        }
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        self.put(list.key, Item::List(*list, rows.count()), list.detail);
        let (at, detail) = (self.at.clone(), self.detail);
        self.detail |= list.detail;
        for i in 0..rows.count() {
            self.at = format!("{at}{}.{i}", list.key);
            self.put("", Item::Row(list.row, i), false);
            self.at += ".";
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
        self.at = at;
        self.put(list.key, Item::EndList, false);
        self.detail = detail;
    }
}

/// Every active field in the order of the page.
pub fn layout(fields: &mut dyn Fields) -> Vec<Entry> {
    let mut l = Layout::default();
    fields.fields(&mut l);
    l.out
}
