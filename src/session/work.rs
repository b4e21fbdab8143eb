//! What a person is filling in, with what they have touched so far.

use crate::calculators::form::{self, Edit, EditValue, Fields, Form, LayoutEntry, LayoutItem};
use crate::calculators::{Sheet, ways::WayForm};
use crate::system::{Document, plan::Goal};
use crate::units::{System, significant};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::ops::{Deref, DerefMut};

/// Anything that is filled in through one form.
pub enum Paper {
    /// A calculator's inputs.
    Sheet(Box<dyn Sheet>),
    /// A whole system.
    System(Held<Document>),
    /// What a system is to be planned for.
    Goal(Held<Goal>),
    /// A way to get one number.
    Way(Box<dyn WayForm>),
}

/// A value with its own ways to be filled in and copied. Only who makes one needs the code of those: what hands on any work, and opens with the
/// first part of the app, does not bring every field of a system.
pub struct Held<T: 'static> {
    value: Box<T>,
    ways: &'static Ways<T>,
}

struct Ways<T> {
    walk: fn(&mut T, &mut dyn Form),
    copy: fn(&T) -> T,
}

impl<T: Fields + Clone> Held<T> {
    const WAYS: &'static Ways<T> = &Ways { walk: T::fields, copy: T::clone };
    /// Holds a value.
    pub fn new(value: T) -> Self {
        Self { value: Box::new(value), ways: Self::WAYS }
    }
}

impl<T> Clone for Held<T> {
    fn clone(&self) -> Self {
        Self { value: Box::new((self.ways.copy)(&self.value)), ways: self.ways }
    }
}

impl<T> Deref for Held<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T> DerefMut for Held<T> {
    fn deref_mut(&mut self) -> &mut T {
        &mut self.value
    }
}

impl<T> fmt::Debug for Held<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Held")
    }
}

impl Paper {
    /// A whole system.
    pub fn system(document: Document) -> Self {
        Self::System(Held::new(document))
    }
    /// What a system is to be planned for.
    pub fn goal(goal: Goal) -> Self {
        Self::Goal(Held::new(goal))
    }
}

impl Clone for Paper {
    fn clone(&self) -> Self {
        match self {
            Self::Sheet(s) => Self::Sheet(s.copy()),
            Self::System(d) => Self::System(d.clone()),
            Self::Goal(g) => Self::Goal(g.clone()),
            Self::Way(w) => Self::Way(w.copy()),
        }
    }
}

impl Fields for Paper {
    fn fields(&mut self, form: &mut dyn Form) {
        match self {
            Self::Sheet(s) => s.walk(form),
            Self::System(d) => (d.ways.walk)(&mut d.value, form),
            Self::Goal(g) => (g.ways.walk)(&mut g.value, form),
            Self::Way(w) => w.walk(form),
        }
    }
}

impl fmt::Debug for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", form::write(&mut self.clone()))
    }
}

/// The present value of one field.
#[derive(Debug, Clone, PartialEq)]
pub enum Val {
    /// A number, SI.
    Num(f64),
    /// The index of an option.
    At(usize),
    /// A text.
    Text(String),
    /// The rows of a list.
    Rows(usize),
}

/// A paper, its name, and what was touched. What was not is an assumption.
#[derive(Debug, Clone)]
pub struct Work {
    /// The paper.
    pub paper: Paper,
    /// What the person calls a sheet; empty for a working sheet. A system has its name among its fields.
    pub name: String,
    /// Paths of the fields that the person has set.
    pub touched: BTreeSet<String>,
}

impl Work {
    /// An untouched paper.
    pub fn new(paper: Paper) -> Self {
        Self { paper, name: String::new(), touched: BTreeSet::new() }
    }
    /// An untouched paper whose first values are round in the units that they are shown in: what stands there is what is computed with.
    pub fn born(mut paper: Paper, system: System) -> Self {
        if system == System::Us {
            let all = form::layout(&mut paper);
            for e in all {
                let LayoutItem::Num(spec, si) = e.item else { continue };
                let unit = spec.kind.unit(system);
                if spec.kind.metric == spec.kind.us {
                    continue;
                }
                let typed = unit.of_si(si);
                let round = if unit.offset > 0.0 { typed.round() } else { significant(typed, 2) };
                let to = unit.to_si(round);
                if (spec.hard[0]..=spec.hard[1]).contains(&to) {
                    form::apply(&mut paper, &Edit { path: e.path, to: EditValue::Si(to) });
                }
            }
        }
        Self::new(paper)
    }
    /// A sheet that was filled from elsewhere: what differs from its first values was said there, the rest stays assumed.
    pub fn filled(sheet: Box<dyn Sheet>) -> Self {
        let first = (sheet.entry().sheet)();
        let all = sheet.layout().into_iter().filter_map(|entry| match entry.item {
            LayoutItem::Num(..) | LayoutItem::Choice(..)
                if first.value_at(&entry.path) != sheet.value_at(&entry.path) =>
            {
                Some(entry.path)
            }
            _ => None,
        });
        let touched = all.collect();
        Self { paper: Paper::Sheet(sheet), name: String::new(), touched }
    }
    /// What the person calls it.
    pub fn called(&self) -> &str {
        match &self.paper {
            Paper::System(d) => &d.name,
            _ => &self.name,
        }
    }
    /// Calls it otherwise.
    pub fn call(&mut self, name: &str) {
        match &mut self.paper {
            Paper::System(d) => d.name = name.into(),
            _ => self.name = name.into(),
        }
    }
    /// The sheet, if it is one.
    pub fn sheet(&self) -> Option<&dyn Sheet> {
        match &self.paper {
            Paper::Sheet(s) => Some(&**s),
            _ => None,
        }
    }
    /// The system, if it is one.
    pub fn system(&self) -> Option<&Document> {
        match &self.paper {
            Paper::System(d) => Some(d),
            _ => None,
        }
    }
    /// The goal, if it is one.
    pub fn goal(&self) -> Option<&Goal> {
        match &self.paper {
            Paper::Goal(g) => Some(g),
            _ => None,
        }
    }
    /// Every active field in the order of the page.
    pub fn layout(&self) -> Vec<LayoutEntry> {
        form::layout(&mut self.paper.clone())
    }
    /// The present value of every active field.
    pub fn values(&self) -> BTreeMap<String, Val> {
        let value = |item| match item {
            LayoutItem::Num(_, x) => Some(Val::Num(x)),
            LayoutItem::Choice(_, i) => Some(Val::At(i)),
            LayoutItem::Text(_, s) => Some(Val::Text(s)),
            LayoutItem::List(_, n) => Some(Val::Rows(n)),
            _ => None,
        };
        // Not collected: that sorts, which is code for each kind of map.
        let mut all = BTreeMap::new();
        for e in self.layout() {
            if let Some(v) = value(e.item) {
                all.insert(e.path, v);
            }
        }
        all
    }
    /// Makes one change and notes that the field was touched; false if there is no such field.
    pub fn apply(&mut self, edit: &Edit) -> bool {
        if !form::apply(&mut self.paper, edit) {
            return false;
        }
        match edit.to {
            EditValue::Remove(i) => self.forget_row(&edit.path, i),
            EditValue::Rows(_) => {}
            _ => {
                self.touched.insert(edit.path.clone());
            }
        }
        true
    }
    /// What was touched in the rows of a list moves up with them when row `gone` is taken out.
    fn forget_row(&mut self, list: &str, gone: usize) {
        let of_row = |path: &str| -> Option<(usize, String)> {
            let (row, rest) = path.strip_prefix(list)?.strip_prefix('.')?.split_once('.')?;
            Some((row.parse().ok()?, rest.to_string()))
        };
        for path in std::mem::take(&mut self.touched) {
            match of_row(&path) {
                Some((i, _)) if i == gone => {}
                Some((i, rest)) if i > gone => {
                    self.touched.insert(format!("{list}.{}.{rest}", i - 1));
                }
                _ => {
                    self.touched.insert(path);
                }
            }
        }
    }
    /// Is this field still at what it was born with?
    pub fn assumed(&self, path: &str) -> bool {
        !self.touched.contains(path)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::form::Way;
    use crate::units::edit_text;

    #[test]
    fn a_change_touches_and_shows() {
        let mut w = Work::new(Paper::Way(Way::Bucket.form()));
        assert!(w.assumed("bucket"));
        assert!(w.apply(&Edit { path: "bucket".into(), to: EditValue::Si(0.012) }));
        assert!(!w.apply(&Edit { path: "pail".into(), to: EditValue::Si(0.012) }));
        assert!(!w.assumed("bucket") && w.assumed("seconds") && w.touched.len() == 1);
        assert_eq!(w.values().get("bucket"), Some(&Val::Num(0.012)));
        assert_eq!(w.clone().values(), w.values());
    }

    /// In US units every calculator begins with round numbers, is solved with them, and nothing counts as touched.
    #[test]
    fn what_is_born_in_us_units_is_round_there() {
        for entry in crate::calculators::ALL {
            let work = Work::born(Paper::Sheet((entry.sheet)()), System::Us);
            assert!(work.touched.is_empty());
            let sheet = work.sheet().expect("a sheet");
            sheet.run(System::Us.into(), false).unwrap_or_else(|e| panic!("{}: {e:?}", entry.id));
            let state = |s: &dyn Sheet| s.level().expect("solves").map(|l| l.state());
            assert_eq!(state(sheet), state(&*(entry.sheet)()), "{}", entry.id);
            for e in work.layout() {
                let LayoutItem::Num(spec, si) = e.item else { continue };
                let text = edit_text(spec.kind, si, System::Us);
                let figures = text.trim_start_matches(['0', '.', '-']).chars();
                let digits = figures.take_while(|c| c.is_ascii_digit() || *c == '.').collect::<String>();
                let digits = digits.trim_end_matches('0').replace('.', "").len();
                let converted = spec.kind.metric != spec.kind.us;
                assert!(!converted || digits <= 3, "{}.{}: {text}", entry.id, e.path);
            }
        }
        let metric = Work::born(Paper::Sheet((crate::calculators::ALL[0].sheet)()), System::Metric);
        assert_eq!(metric.values(), Work::new(Paper::Sheet((crate::calculators::ALL[0].sheet)())).values());
    }

    #[test]
    fn touched_rows_move_up() {
        let mut w = Work::new(Paper::Way(Way::Bucket.form()));
        w.touched = ["rows.0.a", "rows.1.a", "rows.1.b", "rows.12.a", "rowsome.1.a", "x"].map(String::from).into();
        w.forget_row("rows", 1);
        let left: Vec<_> = w.touched.iter().map(String::as_str).collect();
        assert_eq!(left, ["rows.0.a", "rows.11.a", "rowsome.1.a", "x"]);
    }
}
