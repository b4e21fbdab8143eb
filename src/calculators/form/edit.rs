//! Changing and reading one field by its path. Repairs are lists of such changes.

use super::*;

/// What a field is set to.
#[derive(Debug, Clone, PartialEq)]
pub enum EditValue {
    /// A number, SI.
    Si(f64),
    /// An option of a choice, by identifier.
    Option(String),
    /// A text.
    Text(String),
    /// The number of rows of a list.
    Rows(usize),
    /// Takes out one row of a list.
    Remove(usize),
}

/// One change of one field.
#[derive(Debug, Clone, PartialEq)]
pub struct Edit {
    /// Where: a key, or `list.0.key`.
    pub path: String,
    /// To what.
    pub to: EditValue,
}

impl Edit {
    /// Sets a number.
    pub fn num<D: Dimension + ?Sized>(path: impl Into<String>, to: Q<D>) -> Self {
        Self { path: path.into(), to: EditValue::Si(to.value) }
    }
    /// Picks an option.
    pub fn pick(path: impl Into<String>, id: impl Into<String>) -> Self {
        Self { path: path.into(), to: EditValue::Option(id.into()) }
    }
    /// Sets the number of rows of a list.
    pub fn rows(path: impl Into<String>, n: usize) -> Self {
        Self { path: path.into(), to: EditValue::Rows(n) }
    }
    /// Puts `root` in front of the path.
    pub fn under(mut self, root: &str) -> Self {
        self.path = format!("{root}.{}", self.path);
        self
    }
}

struct Apply<'a> {
    at: String,
    edit: &'a Edit,
    done: bool,
}

impl Apply<'_> {
    fn here(&self, key: &str) -> bool {
        !self.done && self.edit.path.strip_prefix(self.at.as_str()) == Some(key)
    }
}

impl Form for Apply<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        if self.here(text.key)
            && let EditValue::Text(to) = &self.edit.to
            && text.fault(to).is_none()
        {
            value.clone_from(to);
            self.done = true;
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let at = self.at.clone();
        self.at = format!("{at}{}.", part.key);
        if self.edit.path.starts_with(&self.at) {
            inner.fields(self);
        }
        self.at = at;
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        if self.here(spec.key)
            && let EditValue::Si(x) = self.edit.to
        {
            (*si, self.done) = (x, true);
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        if self.here(pick.key)
            && let EditValue::Option(id) = &self.edit.to
            && let Some(i) = pick.options().position(|o| o.id == id)
        {
            (*at, self.done) = (i, true);
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if self.here(list.key) {
            match self.edit.to {
                EditValue::Rows(n) if n <= list.most => {
                    rows.resize(n);
                    self.done = true;
                }
                EditValue::Remove(i) if i < rows.count() => {
                    rows.remove(i);
                    self.done = true;
                }
                _ => {}
            }
        }
        let at = self.at.clone();
        for i in 0..rows.count() {
            self.at = format!("{at}{}.{i}.", list.key);
            if self.edit.path.starts_with(&self.at)
                && let Some(row) = rows.row(i)
            {
                row.fields(self);
            }
        }
        self.at = at;
    }
}

/// Applies changes in their order; false from the first that is refused on. Who makes changes knows the fields: a path at which there is none, or an
/// option that its choice has not, is a slip, and shouts where it is tried in a test.
pub fn apply_all(fields: &mut dyn Fields, edits: &[Edit]) -> bool {
    edits.iter().all(|edit| {
        let done = apply(fields, edit);
        debug_assert!(done || may_refuse(fields, edit), "no field takes {edit:?}");
        done
    })
}

/// May a field that is there refuse such a change?
fn may_refuse(fields: &mut dyn Fields, edit: &Edit) -> bool {
    let fits = matches!(edit.to, EditValue::Rows(_) | EditValue::Remove(_) | EditValue::Text(_));
    fits && value_at(fields, &edit.path).is_some()
}

/// Applies one change; false if there is no such field, option or row.
pub fn apply(fields: &mut dyn Fields, edit: &Edit) -> bool {
    let mut a = Apply { at: String::new(), edit, done: false };
    fields.fields(&mut a);
    a.done
}

struct Get<'a> {
    at: String,
    path: &'a str,
    found: Option<EditValue>,
    spec: Option<Spec>,
}

impl Form for Get<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        if self.path.strip_prefix(self.at.as_str()) == Some(text.key) {
            self.found = Some(EditValue::Text(value.clone()));
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let at = self.at.clone();
        self.at = format!("{at}{}.", part.key);
        if self.path.starts_with(&self.at) {
            inner.fields(self);
        }
        self.at = at;
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        if self.path.strip_prefix(self.at.as_str()) == Some(spec.key) {
            (self.found, self.spec) = (Some(EditValue::Si(*si)), Some(*spec));
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        if self.path.strip_prefix(self.at.as_str()) == Some(pick.key) {
            self.found = (pick.option)(*at).map(|o| EditValue::Option(o.id.to_string()));
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if self.path.strip_prefix(self.at.as_str()) == Some(list.key) {
            self.found = Some(EditValue::Rows(rows.count()));
        }
        let at = self.at.clone();
        for i in 0..rows.count() {
            self.at = format!("{at}{}.{i}.", list.key);
            if self.path.starts_with(&self.at)
                && let Some(row) = rows.row(i)
            {
                row.fields(self);
            }
        }
        self.at = at;
    }
}

/// Makes the numbers of changes what is shown of them, three figures in the units that are read, where that is in the hard range; what is
/// counted stays as it is. `layout` is that of the fields. True if a number is another then.
pub fn as_shown(edits: &mut [Edit], layout: &[LayoutEntry], system: System) -> bool {
    let mut other = false;
    for edit in edits {
        let EditValue::Si(x) = &mut edit.to else { continue };
        let spec = layout.iter().find_map(|e| match &e.item {
            LayoutItem::Num(spec, _) if e.path == edit.path => Some(spec),
            _ => None,
        });
        let Some(spec) = spec.filter(|spec| !spec.kind.whole) else { continue };
        let shown = spec.kind.rounded(*x, 3, system);
        if (spec.hard[0]..=spec.hard[1]).contains(&shown) {
            // Not what is left of going to a unit and back.
            other |= (shown - *x).abs() > 1e-9 * x.abs();
            *x = shown;
        }
    }
    other
}

/// The value of the field at `path`, if there is one.
pub fn value_at(fields: &mut dyn Fields, path: &str) -> Option<EditValue> {
    get(fields, path).found
}

/// The declaration of the number at `path`, if there is one: also where its option is not chosen.
pub fn spec_at(fields: &mut dyn Fields, path: &str) -> Option<Spec> {
    get(fields, path).spec
}

fn get<'a>(fields: &mut dyn Fields, path: &'a str) -> Get<'a> {
    let mut g = Get { at: String::new(), path, found: None, spec: None };
    fields.fields(&mut g);
    g
}
