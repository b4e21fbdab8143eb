//! The declaration as JSON: reading inputs, writing them, and describing them.

use super::*;
use crate::units::parse;
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// Most faults that are listed; nobody reads more, and hostile input could have any number.
pub const MOST_FAULTS: usize = 50;

/// Reads inputs from a JSON object. Missing fields keep what they had (the defaults); every error is collected with its field.
pub struct Read<'a> {
    at: String,
    object: &'a Map<String, Value>,
    /// The paths that are said to be only assumed.
    assumed: &'a [Value],
    /// The keys that there are here.
    keys: BTreeSet<&'static str>,
    /// What is wrong so far, up to [`MOST_FAULTS`].
    pub faults: Vec<FieldError>,
    /// Faults beyond these.
    left: usize,
    /// Paths of the fields that were given.
    pub given: BTreeSet<String>,
    system: System,
}

impl<'a> Read<'a> {
    /// A reader of `object`; numbers typed without a unit in a string are in the display units of `system`.
    pub fn new(object: &'a Map<String, Value>, system: System) -> Self {
        Self {
            at: String::new(),
            object,
            assumed: &[],
            keys: BTreeSet::new(),
            faults: vec![],
            left: 0,
            given: BTreeSet::new(),
            system,
        }
    }
    fn take(&mut self, key: &'static str) -> Option<&'a Value> {
        self.keys.insert(key);
        self.object.get(key)
    }
    fn given(&mut self, key: &str) {
        self.given.insert(format!("{}{key}", self.at));
    }
    fn fault(&mut self, key: &str, label: &str, fault: impl Into<String>, accepted: impl Into<String>) {
        if self.faults.len() >= MOST_FAULTS {
            self.left += 1;
            return;
        }
        let path = format!("{}{key}", self.at);
        self.faults.push(FieldError { label: label.into(), ..FieldError::new(path, fault, accepted) });
    }
    /// Closes the object: keys that no field has are errors.
    pub fn finish(&mut self) {
        let object = self.object;
        let mut unknown = object.keys().filter(|key| !self.keys.contains(key.as_str())).peekable();
        if unknown.peek().is_some() {
            let accepted = self.keys.iter().copied().collect::<Vec<_>>().join(", ");
            let unknown: Vec<_> = unknown.map(|key| short(key)).collect();
            for key in unknown {
                self.fault(&key, "", "there is no such field", accepted.as_str());
            }
        }
    }
    /// Reads what stands inside.
    fn inside(&mut self, at: String, object: &'a Map<String, Value>, fields: &mut dyn Fields) {
        let mut inner = Read { at, assumed: self.assumed, ..Read::new(object, self.system) };
        fields.fields(&mut inner);
        inner.finish();
        let room = MOST_FAULTS.saturating_sub(self.faults.len());
        self.left += inner.left + inner.faults.len().saturating_sub(room);
        inner.faults.truncate(room);
        self.faults.append(&mut inner.faults);
        self.given.append(&mut inner.given);
    }
}

fn short(s: &str) -> String {
    s.chars().take(40).collect()
}

impl Form for Read<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        let Some(given) = self.take(text.key) else { return };
        self.given(text.key);
        let accepted = format!("a text of up to {} characters", text.most);
        match given.as_str() {
            None => self.fault(text.key, text.label, "is not a text", accepted),
            Some(s) => match text.fault(s) {
                Some(fault) => self.fault(text.key, text.label, fault, accepted),
                None => *value = s.chars().filter(|c| !turns(*c)).collect(),
            },
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let Some(given) = self.take(part.key) else { return };
        let Some(object) = given.as_object() else {
            return self.fault(part.key, part.title, "is not an object", "an object of fields");
        };
        self.inside(format!("{}{}.", self.at, part.key), object, inner);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let read = match self.take(spec.key) {
            None => return,
            Some(Value::Number(n)) => n.as_f64().map(|x| spec.kept(x)).ok_or_else(|| "is not a number".to_string()),
            Some(Value::String(s)) => parse(s, spec.kind, self.system).map(|p| p.si).map_err(|e| e.to_string()),
            Some(_) => Err("wants a number (SI) or a text with a unit, such as \"2 in\"".to_string()),
        };
        self.given(spec.key);
        match read.and_then(|x| spec.fault(x, self.system).map_or(Ok(x), Err)) {
            Ok(x) => *si = x,
            Err(fault) => self.fault(spec.key, spec.label, fault, spec.accepted(self.system)),
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        let Some(value) = self.take(pick.key) else {
            let said = |key: &&str| {
                let path = format!("{}{key}", self.at);
                self.object.contains_key(*key) && !self.assumed.iter().any(|a| a.as_str() == Some(&*path))
            };
            if pick.said_by.iter().any(said) {
                *at = 1;
            }
            return;
        };
        self.given(pick.key);
        match value.as_str().and_then(|id| pick.options().position(|o| o.id == id)) {
            Some(i) => *at = i,
            None => {
                let all: Vec<_> = pick.options().map(|o| o.id).collect();
                let fault = match value {
                    Value::String(s) => format!("“{}” is not one of the options", short(s)),
                    _ => "wants the name of an option".to_string(),
                };
                self.fault(pick.key, pick.label, fault, all.join(", "));
            }
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        let Some(value) = self.take(list.key) else { return };
        let Some(items) = value.as_array().filter(|a| a.len() <= list.most) else {
            let accepted = match list.most {
                1 => "a list of one row at most".into(),
                n => format!("a list of up to {n} rows"),
            };
            return self.fault(list.key, list.label, "is not such a list", accepted);
        };
        rows.resize(0);
        rows.resize(items.len());
        for (i, item) in items.iter().enumerate() {
            let at = format!("{}{}.{i}.", self.at, list.key);
            let (Some(object), Some(row)) = (item.as_object(), rows.row(i)) else {
                self.fault(&format!("{}.{i}", list.key), list.label, "is not an object", "an object of fields");
                continue;
            };
            self.inside(at, object, row);
        }
    }
}

/// The first [`MOST_FAULTS`] faults, and how many more there are, `left` of which were not even noted.
pub fn listed(mut faults: Vec<FieldError>, left: usize) -> Vec<FieldError> {
    let left = left + faults.len().saturating_sub(MOST_FAULTS);
    faults.truncate(MOST_FAULTS);
    if left > 0 {
        let more = FieldError::new("", format!("{left} more faults are not listed"), "");
        faults.push(FieldError { label: "Besides".into(), ..more });
    }
    faults
}

/// Reads `fields` from a JSON object: what was given, by path.
///
/// # Errors
/// All faults at once (the first [`MOST_FAULTS`] of them, and how many more there are), each with its field, what is wrong and what is accepted.
pub fn read(
    fields: &mut dyn Fields,
    object: &Map<String, Value>,
    system: System,
) -> Result<BTreeSet<String>, Vec<FieldError>> {
    read_all(fields, Read::new(object, system))
}

fn read_all(fields: &mut dyn Fields, mut r: Read<'_>) -> Result<BTreeSet<String>, Vec<FieldError>> {
    fields.fields(&mut r);
    r.finish();
    if r.faults.is_empty() { Ok(r.given) } else { Err(listed(r.faults, r.left)) }
}

/// Reads `fields` from a JSON object with a list beside it of the paths that were only assumed: the paths that were not.
///
/// # Errors
/// As [`read`].
pub fn read_known(
    fields: &mut dyn Fields,
    object: &Map<String, Value>,
    assumed: Option<&Value>,
) -> Result<BTreeSet<String>, Vec<FieldError>> {
    let assumed = assumed.and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
    let mut known = read_all(fields, Read { assumed, ..Read::new(object, System::Metric) })?;
    for path in assumed.iter().filter_map(Value::as_str) {
        known.remove(path);
    }
    Ok(known)
}

#[derive(Default)]
struct Write(Map<String, Value>);

impl Form for Write {
    fn text(&mut self, text: &Text, value: &mut String) {
        self.0.insert(text.key.into(), json!(value));
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        self.0.insert(part.key.into(), Value::Object(write(inner)));
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        self.0.insert(spec.key.into(), json!(*si));
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        self.0.insert(pick.key.into(), json!((pick.option)(*at).map(|o| o.id)));
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        let written = (0..rows.count()).map(|i| {
            let mut w = Write::default();
            if let Some(row) = rows.row(i) {
                row.fields(&mut w);
            }
            Value::Object(w.0)
        });
        let written: Vec<_> = written.collect();
        self.0.insert(list.key.into(), Value::Array(written));
    }
}

/// Every field (also of options not chosen) as JSON, numbers in SI.
pub fn write(fields: &mut dyn Fields) -> Map<String, Value> {
    let mut w = Write::default();
    fields.fields(&mut w);
    w.0
}

#[derive(Default)]
struct Describe {
    out: Vec<Value>,
    when: Option<[&'static str; 2]>,
}

impl Describe {
    fn put(&mut self, mut v: Value) {
        if let (Some([key, option]), Some(o)) = (self.when, v.as_object_mut()) {
            o.insert("when".into(), json!({ "key": key, "option": option.split('|').collect::<Vec<_>>() }));
        }
        self.out.push(v);
    }
}

impl Form for Describe {
    fn text(&mut self, t: &Text, value: &mut String) {
        self.put(
            json!({ "key": t.key, "tag": t.tag, "label": t.label, "kind": "text", "most": t.most, "default": value }),
        );
    }
    fn part(&mut self, p: &Part, inner: &mut dyn Fields) {
        let fields = describe(inner);
        self.put(json!({ "key": p.key, "tag": p.tag, "label": p.title, "kind": "part", "fields": fields, "detail": p.detail }));
    }
    fn num(&mut self, s: &Spec, si: &mut f64) {
        let units: Vec<_> = s.kind.units.iter().map(|u| u.symbol).filter(|u| !u.is_empty()).collect();
        self.put(json!({
            "key": s.key, "tag": s.tag, "label": s.label, "help": s.help, "kind": s.kind.id, "unit": s.kind.si, "units": units,
            "default": *si, "range": s.hard, "advised": [s.advised[0].max(s.hard[0]), s.advised[1].min(s.hard[1])],
            "detail": s.detail, "source": s.source.map(|s| s.key),
        }));
    }
    fn choice(&mut self, p: &Pick, at: &mut usize) {
        let options: Vec<_> =
            p.options().map(|o| json!({ "id": o.id, "label": o.words(System::Metric), "note": o.note })).collect();
        let mut v = json!({
            "key": p.key, "tag": p.tag, "label": p.label, "help": p.help, "kind": "choice",
            "default": (p.option)(*at).map(|o| o.id), "choices": options, "detail": p.detail,
        });
        if let (Some(o), false) = (v.as_object_mut(), p.said_by.is_empty()) {
            o.insert("said_by".into(), json!(p.said_by));
        }
        self.put(v);
    }
    fn group(&mut self, group: &Group, _: bool, inner: &mut dyn Fields) {
        let outer = self.when;
        self.when = group.when.or(outer);
        inner.fields(self);
        self.when = outer;
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        // The default rows are written as they are; one default row describes the fields.
        let mut defaults = vec![];
        for i in 0..rows.count() {
            if let Some(row) = rows.row(i) {
                defaults.push(Value::Object(write(row)));
            }
        }
        let n = rows.count();
        rows.resize(n + 1);
        let mut inner = Describe::default();
        if let Some(row) = rows.row(n) {
            row.fields(&mut inner);
        }
        rows.resize(n);
        self.put(json!({
            "key": list.key, "tag": list.tag, "label": list.label, "help": list.help, "kind": "list", "most": list.most,
            "default": defaults, "fields": inner.out, "detail": list.detail,
        }));
    }
}

/// Every field described: key, kind, SI unit, default, ranges, choices.
pub fn describe(fields: &mut dyn Fields) -> Vec<Value> {
    let mut d = Describe::default();
    fields.fields(&mut d);
    d.out
}
