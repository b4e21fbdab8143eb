//! How a calculator declares its inputs, once. A plain struct of quantities walks a [`Form`] over its fields; every consumer of the
//! declaration (page, JSON, range check, description, edits, test generators) is one implementation of [`Form`].

mod check;
mod clamp;
mod edit;
mod first;
mod json;
mod layout;

pub use check::{advice, check};
pub use clamp::into_range;
pub use edit::{Edit, EditValue, apply, apply_all, as_shown, spec_at, value_at};
pub use first::begin_round;
pub use json::{MOST_FAULTS, Read, describe, listed, read, read_known, write};
pub use layout::{Entry as LayoutEntry, Item as LayoutItem, layout};

use crate::catalog::{
    choose::{Choose, Opt},
    sources::Source,
};
use crate::units::{Kind, KindInfo, ParseError, Parsed, Q, System, Unit, parse_typed, show, significant};
use std::fmt;
use uom::si::Dimension;

/// A way to get a number that nobody knows offhand, with what is in the yard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Flow from a bucket and seconds.
    Bucket,
    /// Volume from a tape and a shape.
    TapeVolume,
    /// Bore from outside diameter and wall.
    Bore,
    /// Mean fish mass from a weighed sample.
    SampleMass,
    /// Porosity of a medium from a jug.
    Jug,
    /// Height between two places from the water in a hose.
    Hose,
}

/// The declaration of one number, without its type.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spec {
    /// Frozen number of the field in links and codes; never reused.
    pub tag: u8,
    /// Key in JSON and in saved designs.
    pub key: &'static str,
    /// The label on the page.
    pub label: &'static str,
    /// One sentence that helps to fill it in.
    pub help: &'static str,
    /// Its kind of quantity.
    pub kind: &'static KindInfo,
    /// Accepted values, SI; outside them it is an error.
    pub hard: [f64; 2],
    /// Usual values, SI; outside them the outcome carries a caution.
    pub advised: [f64; 2],
    /// Plausible spread of a value that is only assumed, SI.
    pub likely: Option<[f64; 2]>,
    /// Shown behind "more detail".
    pub detail: bool,
    /// Only a reading or the calendar says it: what a repair hopes for is not to stand there as read.
    pub read: bool,
    /// A way to measure it.
    pub way: Option<Way>,
    /// Where its default comes from.
    pub source: Option<&'static Source>,
}

impl Spec {
    /// A number without a place in a form.
    pub const fn bare(kind: &'static KindInfo, hard: [f64; 2]) -> Self {
        Self {
            tag: 0,
            key: "",
            label: "",
            help: "",
            kind,
            hard,
            advised: [f64::MIN, f64::MAX],
            likely: None,
            detail: false,
            read: false,
            way: None,
            source: None,
        }
    }
}

/// The declaration of one number of type `T`.
#[derive(Debug)]
pub struct Field<T> {
    spec: Spec,
    kind: Kind<T>,
}

impl<D: Dimension + ?Sized> Field<Q<D>> {
    /// A field with its frozen tag, key, label and kind.
    pub const fn new(tag: u8, key: &'static str, label: &'static str, kind: Kind<Q<D>>) -> Self {
        Self { spec: Spec { tag, key, label, ..Spec::bare(kind.0, [f64::MIN, f64::MAX]) }, kind }
    }
    /// Accepted values, SI.
    pub const fn range(mut self, low: f64, high: f64) -> Self {
        self.spec.hard = [low, high];
        self
    }
    /// Usual values, SI.
    pub const fn advised(mut self, low: f64, high: f64) -> Self {
        self.spec.advised = [low, high];
        self
    }
    /// Plausible spread of an assumed value, SI.
    pub const fn likely(mut self, low: f64, high: f64) -> Self {
        self.spec.likely = Some([low, high]);
        self
    }
    /// The help sentence.
    pub const fn help(mut self, sentence: &'static str) -> Self {
        self.spec.help = sentence;
        self
    }
    /// Behind "more detail".
    pub const fn detail(mut self) -> Self {
        self.spec.detail = true;
        self
    }
    /// Said by a reading or the calendar alone.
    pub const fn read(mut self) -> Self {
        self.spec.read = true;
        self
    }
    /// A way to measure it in place.
    pub const fn way(mut self, way: Way) -> Self {
        self.spec.way = Some(way);
        self
    }
    /// Where the default comes from.
    pub const fn source(mut self, source: &'static Source) -> Self {
        self.spec.source = Some(source);
        self
    }
}

/// The declaration of one choice.
#[derive(Debug, Clone, Copy)]
pub struct Pick {
    /// Frozen number of the field in links and codes.
    pub tag: u8,
    /// Key in JSON and in saved designs.
    pub key: &'static str,
    /// The label on the page.
    pub label: &'static str,
    /// One sentence that helps to choose.
    pub help: &'static str,
    /// Shown behind "more detail".
    pub detail: bool,
    /// The options; filled in by [`pick`].
    pub option: fn(usize) -> Option<Opt>,
    /// What it begins with in US units instead of an option; filled in by [`pick`].
    pub us: fn(usize) -> usize,
}

impl Pick {
    /// A choice with its frozen tag, key and label.
    pub const fn new(tag: u8, key: &'static str, label: &'static str) -> Self {
        Self { tag, key, label, help: "", detail: false, option: |_| None, us: |i| i }
    }
    /// The help sentence.
    pub const fn help(mut self, sentence: &'static str) -> Self {
        self.help = sentence;
        self
    }
    /// Behind "more detail".
    pub const fn detail(mut self) -> Self {
        self.detail = true;
        self
    }
    /// All options in order.
    pub fn options(&self) -> impl Iterator<Item = Opt> {
        let option = self.option;
        (0..).map_while(option)
    }
}

/// A group of fields: a titled part of the page, or what belongs to one option of a choice. Keys inside stay flat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group {
    /// Heading on the page, or nothing.
    pub title: &'static str,
    /// The key of the choice and the option (or options, parted by `|`) that the group belongs to.
    pub when: Option<[&'static str; 2]>,
}

impl Group {
    /// A titled part that is always there.
    pub const fn titled(title: &'static str) -> Self {
        Self { title, when: None }
    }
    /// What belongs to option `option` (or several, parted by `|`) of the choice `key`.
    pub const fn when(key: &'static str, option: &'static str) -> Self {
        Self { title: "", when: Some([key, option]) }
    }
}

/// The declaration of a list of like rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct List {
    /// Frozen number of the field in links and codes.
    pub tag: u8,
    /// Key in JSON and in saved designs.
    pub key: &'static str,
    /// The label on the page.
    pub label: &'static str,
    /// One sentence of help.
    pub help: &'static str,
    /// What one row is called, such as `fitting`.
    pub row: &'static str,
    /// Most rows.
    pub most: usize,
    /// Shown behind "more detail".
    pub detail: bool,
}

impl List {
    /// A list with its frozen tag, key, label, the name of a row and the most rows.
    pub const fn new(tag: u8, key: &'static str, label: &'static str, row: &'static str, most: usize) -> Self {
        Self { tag, key, label, help: "", row, most, detail: false }
    }
    /// The help sentence.
    pub const fn help(mut self, sentence: &'static str) -> Self {
        self.help = sentence;
        self
    }
    /// Behind "more detail".
    pub const fn detail(mut self) -> Self {
        self.detail = true;
        self
    }
}

/// The declaration of a short text, such as a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Text {
    /// Frozen number of the field in links and codes.
    pub tag: u8,
    /// Key in JSON and in saved designs.
    pub key: &'static str,
    /// The label on the page.
    pub label: &'static str,
    /// Most characters.
    pub most: usize,
    /// Not on the page (identifiers, ends of edges).
    pub hidden: bool,
}

impl Text {
    /// A text with its frozen tag, key, label and most characters.
    pub const fn new(tag: u8, key: &'static str, label: &'static str, most: usize) -> Self {
        Self { tag, key, label, most, hidden: false }
    }
    /// Not on the page.
    pub const fn hidden(mut self) -> Self {
        self.hidden = true;
        self
    }
    /// What is wrong with `text`, if anything.
    pub fn fault(&self, text: &str) -> Option<String> {
        if text.chars().count() > self.most {
            Some(format!("is longer than {} characters", self.most))
        } else if text.chars().any(char::is_control) {
            Some("contains characters that cannot be shown".into())
        } else {
            None
        }
    }
}

/// Does a character turn the direction of what stands after it? In a name it could turn round the words beside it.
pub fn turns(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A part with fields of its own under a key: a nested object in JSON, `key.field` in paths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Frozen number of the field in links and codes.
    pub tag: u8,
    /// Key in JSON and in saved designs.
    pub key: &'static str,
    /// Heading on the page.
    pub title: &'static str,
    /// Shown behind "more detail".
    pub detail: bool,
}

impl Part {
    /// A part with its frozen tag, key and heading.
    pub const fn new(tag: u8, key: &'static str, title: &'static str) -> Self {
        Self { tag, key, title, detail: false }
    }
    /// Behind "more detail".
    pub const fn detail(mut self) -> Self {
        self.detail = true;
        self
    }
}

/// A consumer of a declaration.
pub trait Form {
    /// A short text.
    fn text(&mut self, text: &Text, value: &mut String);
    /// A part.
    fn part(&mut self, part: &Part, inner: &mut dyn Fields);
    /// One number; `si` may be changed.
    fn num(&mut self, spec: &Spec, si: &mut f64);
    /// One choice; `at` is the index of the option and may be changed.
    fn choice(&mut self, pick: &Pick, at: &mut usize);
    /// A group; `active` is false for what belongs to an option that is not chosen now.
    fn group(&mut self, group: &Group, active: bool, inner: &mut dyn Fields);
    /// A list.
    fn list(&mut self, list: &List, rows: &mut dyn Rows);
}

/// Something with declared fields. Implemented by a calculator's input, by a row of a list, and by closures.
pub trait Fields {
    /// Walks `form` over every field, in the order of the page.
    fn fields(&mut self, form: &mut dyn Form);
}

impl<F: FnMut(&mut dyn Form)> Fields for F {
    fn fields(&mut self, form: &mut dyn Form) {
        self(form)
    }
}

/// The rows of a list, without their type.
pub trait Rows {
    /// How many there are.
    fn count(&self) -> usize;
    /// Cuts or fills with default rows to `n`.
    fn resize(&mut self, n: usize);
    /// Takes row `i` out.
    fn remove(&mut self, i: usize);
    /// The fields of row `i`, if there is one.
    fn row(&mut self, i: usize) -> Option<&mut dyn Fields>;
}

impl<T: Fields + Default> Rows for Vec<T> {
    fn count(&self) -> usize {
        self.len()
    }
    fn resize(&mut self, n: usize) {
        self.resize_with(n, T::default);
    }
    fn remove(&mut self, i: usize) {
        if i < self.len() {
            Vec::remove(self, i);
        }
    }
    fn row(&mut self, i: usize) -> Option<&mut dyn Fields> {
        self.get_mut(i).map(|r| r as &mut dyn Fields)
    }
}

/// Declares a number. The field's kind and the quantity's type must agree, or it does not compile.
pub fn num<D: Dimension + ?Sized>(form: &mut dyn Form, field: &Field<Q<D>>, value: &mut Q<D>) {
    let _: Kind<Q<D>> = field.kind;
    form.num(&field.spec, &mut value.value);
}

/// Declares a choice.
pub fn pick<C: Choose>(form: &mut dyn Form, pick: &Pick, value: &mut C) {
    let mut at = value.index();
    let before = at;
    form.choice(&Pick { option: C::option, us: C::us, ..*pick }, &mut at);
    if at != before {
        *value = C::nth(at);
    }
}

/// Declares a group, by a closure over its fields.
pub fn group(form: &mut dyn Form, group: &Group, active: bool, inner: &mut dyn FnMut(&mut dyn Form)) {
    form.group(group, active, &mut |f: &mut dyn Form| inner(f));
}

/// Declares a list of rows.
pub fn list<T: Fields + Default>(form: &mut dyn Form, list: &List, rows: &mut Vec<T>) {
    form.list(list, rows);
}

/// Declares a short text.
pub fn text(form: &mut dyn Form, text: &Text, value: &mut String) {
    form.text(text, value);
}

/// Declares a part, leaving out the fields of `inner` whose keys are in `without` (because the whole knows them better).
pub fn part(form: &mut dyn Form, part: &Part, without: &[&str], inner: &mut dyn Fields) {
    form.part(part, &mut |f: &mut dyn Form| rest(f, without, inner));
}

/// Declares the fields of `inner` in place, leaving out those whose keys are in `without`.
pub fn rest(form: &mut dyn Form, without: &[&str], inner: &mut dyn Fields) {
    inner.fields(&mut Without { form, keys: without });
}

/// Passes a walk on, all but some keys.
struct Without<'a> {
    form: &'a mut dyn Form,
    keys: &'a [&'a str],
}

impl Form for Without<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        if !self.keys.contains(&text.key) {
            self.form.text(text, value);
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        if !self.keys.contains(&part.key) {
            self.form.part(part, inner);
        }
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        if !self.keys.contains(&spec.key) {
            self.form.num(spec, si);
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        if !self.keys.contains(&pick.key) {
            self.form.choice(pick, at);
        }
    }
    fn group(&mut self, group: &Group, active: bool, inner: &mut dyn Fields) {
        let keys = self.keys;
        self.form.group(group, active, &mut |f: &mut dyn Form| inner.fields(&mut Without { form: f, keys }));
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if !self.keys.contains(&list.key) {
            self.form.list(list, rows);
        }
    }
}

/// A yes-or-no choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum YesNo {
    /// No.
    #[default]
    No,
    /// Yes.
    Yes,
}
crate::choices!(YesNo: No = "no", "No", ""; Yes = "yes", "Yes", "";);

impl YesNo {
    /// True for yes.
    pub fn yes(self) -> bool {
        self == Self::Yes
    }
}

/// What is wrong with one field. Its `Display` is a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldError {
    /// Where: a key, or `list.0.key`.
    pub path: String,
    /// The label on the page.
    pub label: String,
    /// What is wrong.
    pub fault: String,
    /// What would be accepted.
    pub accepted: String,
    /// Both in US units, where they name quantities: what finds a fault does not know in which units it is read.
    pub us: Option<Box<[String; 2]>>,
}

impl FieldError {
    /// An error at `path`. Labels are filled in from the declaration where they are known.
    pub fn new(path: impl Into<String>, fault: impl Into<String>, accepted: impl Into<String>) -> Self {
        Self { path: path.into(), label: String::new(), fault: fault.into(), accepted: accepted.into(), us: None }
    }
    /// The same where fault and accepted values name quantities: `say` puts them into words.
    pub fn with_units(path: impl Into<String>, say: &dyn Fn(System) -> [String; 2]) -> Self {
        let [fault, accepted] = say(System::Metric);
        Self { us: Some(Box::new(say(System::Us))), ..Self::new(path, fault, accepted) }
    }
    /// With other words for the fault, in either units.
    pub fn worded(mut self, words: &dyn Fn(&str) -> String) -> Self {
        self.fault = words(&self.fault);
        if let Some(us) = &mut self.us {
            us[0] = words(&us[0]);
        }
        self
    }
    /// Puts `root` in front of the path: an error of a part becomes one of the whole.
    pub fn under(mut self, root: &str) -> Self {
        self.path = if self.path.is_empty() { root.to_string() } else { format!("{root}.{}", self.path) };
        self
    }
}

/// Faults in the units that they are read in.
pub fn told(mut faults: Vec<FieldError>, system: System) -> Vec<FieldError> {
    for f in faults.iter_mut().filter(|_| system == System::Us) {
        if let Some(us) = f.us.take() {
            [f.fault, f.accepted] = *us;
        }
    }
    faults
}

impl fmt::Display for FieldError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = if self.label.is_empty() { &self.path } else { &self.label };
        write!(f, "{name}: {}.", self.fault.trim_end_matches('.'))?;
        if self.accepted.is_empty() { Ok(()) } else { write!(f, " Accepted: {}.", self.accepted.trim_end_matches('.')) }
    }
}

impl Spec {
    /// The hard range in words.
    pub fn accepted(&self, system: System) -> String {
        format!("{} to {}", self.end(0, 1.0, system), self.end(1, -1.0, system))
    }
    /// An end of the hard range as it is said: where the unit gives no round number, the next of two figures inside the range.
    fn end(&self, which: usize, inwards: f64, system: System) -> String {
        let (si, unit) = (self.hard[which], self.kind.unit(system));
        let x = unit.of_si(si);
        if (significant(x, 3) - x).abs() <= x.abs() * 1e-9 || self.kind.whole {
            return show(self.kind, si, system);
        }
        let step = 10f64.powf(x.abs().log10().floor() - 1.0);
        let near = significant(x, 2);
        let inside = if (near - x) * inwards < 0.0 { near + inwards * step } else { near };
        show(self.kind, unit.to_si(inside), system)
    }
    /// Reads what is typed; without a unit, `own` is meant.
    ///
    /// # Errors
    /// As [`parse_typed`].
    pub fn read(&self, text: &str, own: &'static Unit, system: System) -> Result<Parsed, ParseError> {
        parse_typed(text, self.kind, own, system, &|si| self.fault(si, system).is_none())
    }
    /// What is wrong with `si`, if anything.
    pub fn fault(&self, si: f64, system: System) -> Option<String> {
        if !si.is_finite() {
            return Some("is not a number".into());
        }
        // First, because what is said of a range is whole.
        if self.kind.whole && (si - si.round()).abs() > 1e-9 {
            return Some("must be a whole number".into());
        }
        // Nobody reads hundreds of digits.
        let said = || match self.kind.unit(system).of_si(si).abs() < 1e12 {
            true => show(self.kind, si, system),
            false => "That number".into(),
        };
        let slack = 1e-9 * self.hard[0].abs().max(self.hard[1].abs()).min(1e6);
        if si < self.hard[0] - slack {
            return Some(format!("{} is too small", said()));
        }
        if si > self.hard[1] + slack {
            return Some(format!("{} is too large", said()));
        }
        None
    }
    /// What is typed, or what is wrong with it and what is accepted, in whole sentences.
    ///
    /// # Errors
    /// Those sentences.
    pub fn typed(&self, text: &str, system: System) -> Result<f64, String> {
        let read = self.read(text, self.kind.unit(system), system).map_err(|e| self.unread(&e, system))?;
        match self.fault(read.si, system) {
            None => Ok(read.si),
            Some(fault) => Err(format!("{fault}. Accepted: {}.", self.accepted(system))),
        }
    }
    /// What is said of a text that cannot be read, and what is accepted. Where it asks back a range would only confuse.
    pub fn unread(&self, e: &ParseError, system: System) -> String {
        match e {
            ParseError::Thousand { .. } => e.to_string(),
            _ if self.hard[0] > f64::MIN => format!("{e} Accepted: {}.", self.accepted(system)),
            _ => e.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, Ratio, kinds::*, si::*};
    use serde_json::json;

    /// Two millimetres are no 0.0787 in for anybody, and that is less than two millimetres.
    #[test]
    fn ends_of_a_range_are_short_and_inside_it() {
        let said = |system| Field::new(1, "d", "D", SHORT_LENGTH).range(mm(2.0), mm(600.0)).spec.accepted(system);
        assert_eq!(said(System::Metric).replace('\u{202f}', " "), "2 mm to 600 mm");
        assert_eq!(said(System::Us).replace('\u{202f}', " "), "0.079 in to 23 in");
    }

    /// Half an outlet is no whole one, whatever the range: the range is whole, and half of one would be told as one.
    #[test]
    fn a_part_of_a_whole_is_told_as_that() {
        let spec = Field::new(1, "outlets", "Outlets", COUNT).range(1.0, 8.0).spec;
        let said = |x: f64| spec.fault(x, System::Metric).unwrap_or_default();
        assert_eq!([0.5, 8.5].map(said), ["must be a whole number"; 2]);
        assert_eq!([0.0, 9.0].map(said), ["0 is too small", "9 is too large"]);
    }

    /// The range stands beside what cannot be meant, not beside a question.
    #[test]
    fn what_asks_back_is_not_told_a_range() {
        let spec = Field::new(1, "d", "D", LENGTH).range(0.1, 5000.0).spec;
        let said = |text: &str| spec.typed(text, System::Metric).err().unwrap_or_default().replace('\u{202f}', " ");
        assert!(said("1,234").contains("1.234") && !said("1,234").contains("Accepted"), "{}", said("1,234"));
        assert!(said("wide").contains("Accepted: 0.1 m to 5"), "{}", said("wide"));
    }

    /// A comma in a field that counts, or where the small number is out of range, parts thousands.
    #[test]
    fn what_can_only_be_thousands_is_not_asked_twice() {
        let said = |spec: &Spec, text: &str| {
            spec.read(text, spec.kind.unit(System::Us), System::Us).map(|p| p.si).map_err(|e| e.to_string())
        };
        let fish = Field::new(1, "fish", "Fish", COUNT).range(1.0, 1e6).spec;
        let flow = Field::new(1, "flow", "Flow", FLOW).range(l_h(10.0), l_h(50_000.0)).spec;
        let volume = Field::new(1, "volume", "Volume", VOLUME).range(l(1.0), 200.0).spec;
        let alone = Err("Type 1200, without the comma.".to_string());
        assert_eq!(
            (said(&fish, "1,200"), said(&flow, "1,200"), said(&flow, "1,200 gph")),
            (alone.clone(), alone.clone(), alone)
        );
        assert_eq!(said(&volume, "1,200"), Err("Could be 1.2 or 1200. Type 1,2 or 1200.".into()));
        assert_eq!(said(&fish, "1200"), Ok(1200.0));
        // A point is one too, where people group by it.
        let metric = |spec: &Spec, text: &str| {
            spec.read(text, spec.kind.unit(System::Metric), System::Metric).map_err(|e| e.to_string())
        };
        let alone = Err("Type 3000, without the point.".to_string());
        assert_eq!((metric(&flow, "3.000 l/h"), metric(&fish, "3.000")), (alone.clone(), alone));
        assert_eq!(metric(&volume, "1.500"), Err("Could be 1.5 or 1500. Type 1.5 or 1500.".into()));
        assert!(metric(&volume, "0.500 m3").is_ok() && said(&volume, "1.500").is_ok());
    }

    #[derive(Default, Clone, PartialEq, Debug)]
    struct Row {
        loss: Ratio,
    }
    impl Fields for Row {
        fn fields(&mut self, f: &mut dyn Form) {
            num(f, &Field::new(1, "loss", "Loss", RATIO).range(0.0, 50.0), &mut self.loss);
        }
    }

    #[derive(Default, Clone, PartialEq, Debug)]
    struct Inner {
        bore: Length,
        depth: Length,
    }
    impl Fields for Inner {
        fn fields(&mut self, f: &mut dyn Form) {
            num(
                f,
                &Field::new(1, "bore", "Bore", SHORT_LENGTH).range(0.0, mm(500.0)).advised(mm(0.0), mm(200.0)),
                &mut self.bore,
            );
            num(f, &Field::new(2, "depth", "Depth", LENGTH).range(0.0, 3.0).detail(), &mut self.depth);
        }
    }

    #[derive(Default, Clone, PartialEq, Debug)]
    struct Thing {
        name: String,
        vented: YesNo,
        vent: Length,
        inner: Inner,
        rows: Vec<Row>,
    }
    impl Fields for Thing {
        fn fields(&mut self, f: &mut dyn Form) {
            text(f, &Text::new(1, "name", "Name", 10), &mut self.name);
            pick(f, &Pick::new(2, "vented", "Vented?"), &mut self.vented);
            group(f, &Group::when("vented", "yes"), self.vented.yes(), &mut |f| {
                num(f, &Field::new(3, "vent", "Vent bore", SHORT_LENGTH).range(0.0, 0.1), &mut self.vent);
            });
            part(f, &Part::new(4, "inner", "Inner"), &["depth"], &mut self.inner);
            list(f, &List::new(5, "rows", "Rows", "row", 3), &mut self.rows);
        }
    }

    #[test]
    fn json_there_and_back() {
        let value = json!({"name": "tank", "vented": "yes", "vent": "2 in", "inner": {"bore": "63mm"}, "rows": [{"loss": 2}, {}]});
        let mut t = Thing::default();
        let given = read(&mut t, value.as_object().expect("object"), System::Metric).expect("reads");
        assert!(given.contains("inner.bore") && given.contains("rows.0.loss") && !given.contains("rows.1.loss"));
        assert_eq!((t.vent.value, t.inner.bore.value, t.rows.len()), (0.0508, 0.063, 2));
        let mut back = Thing::default();
        read(&mut back, &write(&mut t), System::Metric).expect("reads its own");
        assert_eq!(back, t);
    }

    #[test]
    fn every_fault_names_its_field() {
        let value = json!({"name": "much too long a name", "vented": "maybe", "inner": {"bore": "2 kg", "depth": 1, "x": 1},
            "rows": [{"loss": 99}, 7], "stranger": 1});
        let faults =
            read(&mut Thing::default(), value.as_object().expect("object"), System::Metric).expect_err("faults");
        let said: Vec<_> = faults.iter().map(ToString::to_string).collect();
        for part in [
            "Name: is longer than 10 characters. Accepted: a text of up to 10 characters.",
            "Vented?: “maybe” is not one of the options. Accepted: no, yes.",
            "Bore: “kg” is a unit of mass; this is a length. Use mm, cm, km, in, ft, yd, m. Accepted: 0\u{202f}mm to 500\u{202f}mm.",
            "inner.x: there is no such field",
            "inner.depth: there is no such field",
            "Loss: 99 is too large. Accepted: 0 to 50.",
            "Rows: is not an object",
            "stranger: there is no such field",
        ] {
            assert!(said.iter().any(|s| s.contains(part)), "no “{part}” in {said:#?}");
        }
    }

    #[test]
    fn edits_reach_every_depth() {
        let mut t = Thing { rows: vec![Row::default(), Row::default()], ..Thing::default() };
        for edit in [
            Edit { path: "rows.1.loss".into(), to: EditValue::Si(3.0) },
            Edit { path: "inner.bore".into(), to: EditValue::Si(0.05) },
            Edit { path: "vent".into(), to: EditValue::Si(0.02) },
            Edit { path: "name".into(), to: EditValue::Text("trough".into()) },
            Edit::pick("vented", "yes"),
        ] {
            assert!(apply(&mut t, &edit), "{edit:?}");
            assert_eq!(value_at(&mut t, &edit.path), Some(edit.to.clone()));
        }
        assert_eq!((t.rows[1].loss.value, t.inner.bore.value, t.vented), (3.0, 0.05, YesNo::Yes));
        assert!(!apply(&mut t, &Edit::pick("vented", "perhaps")));
        assert!(!apply(&mut t, &Edit { path: "rows.7.loss".into(), to: EditValue::Si(3.0) }));
        assert!(apply(&mut t, &Edit { path: "rows".into(), to: EditValue::Remove(0) }) && t.rows.len() == 1);
        assert!(!apply(&mut t, &Edit::rows("rows", 4)), "more rows than allowed");
    }

    /// The declaration of a number, also of one that is asked for elsewhere or not at all now.
    #[test]
    fn a_declaration_is_found_by_its_path() {
        let mut t = Thing { rows: vec![Row::default()], ..Thing::default() };
        let ends = |t: &mut Thing, path: &str| spec_at(t, path).map(|spec| spec.hard);
        assert_eq!(ends(&mut t, "vent"), Some([0.0, 0.1]));
        assert_eq!(ends(&mut t, "inner.bore"), Some([0.0, mm(500.0)]));
        assert_eq!(ends(&mut t, "rows.0.loss"), Some([0.0, 50.0]));
        for none in ["vented", "rows", "rows.1.loss", "inner.depth", "bore", ""] {
            assert_eq!(ends(&mut t, none), None, "{none}");
        }
    }

    #[test]
    fn changes_are_made_together() {
        let mut t = Thing::default();
        let set = |path: &str, x: f64| Edit { path: path.into(), to: EditValue::Si(x) };
        assert!(apply_all(&mut t, &[Edit::pick("vented", "yes"), set("vent", 0.02)]));
        assert_eq!((t.vented, t.vent.value), (YesNo::Yes, 0.02));
        // A list takes no more rows than it may have.
        assert!(!apply_all(&mut t, &[Edit::rows("rows", 4), set("vent", 0.03)]));
        assert_eq!(t.vent.value, 0.02);
    }

    #[test]
    #[should_panic(expected = "no field takes")]
    fn a_change_of_no_field_shouts() {
        apply_all(&mut Thing::default(), &[Edit::pick("vented", "yes"), Edit::num("went", LENGTH.of(0.02))]);
    }

    /// What is filled in from elsewhere is brought into range, also where its option is not chosen; what is inside stays.
    #[test]
    fn what_is_computed_is_brought_into_range() {
        let long = || Thing {
            name: "ä much too long name".into(),
            vent: SHORT_LENGTH.of(9.0),
            inner: Inner { bore: SHORT_LENGTH.of(-1.0), depth: LENGTH.of(9.0) },
            rows: vec![Row { loss: RATIO.of(f64::NAN) }, Row { loss: RATIO.of(7.0) }, Row::default(), Row::default()],
            ..Thing::default()
        };
        let mut t = long();
        into_range(&mut t);
        assert_eq!((&*t.name, t.vent.value, t.inner.bore.value), ("ä much too", 0.1, 0.0));
        assert_eq!(t.rows.iter().map(|r| r.loss.value).collect::<Vec<_>>(), [0.0, 7.0, 0.0]);
        t.vented = YesNo::Yes;
        assert!(check(&mut t, System::Metric).is_empty() && !check(&mut long(), System::Metric).is_empty());
        let before = t.clone();
        into_range(&mut t);
        assert_eq!(t, before);
    }

    /// A fault that names quantities is told in the units that it is read in.
    #[test]
    fn a_fault_is_told_in_the_units_that_are_read() {
        let mut t = Thing { vented: YesNo::Yes, vent: SHORT_LENGTH.of(0.254), ..Thing::default() };
        let said = |t: &mut Thing, system| check(t, system)[0].to_string().replace('\u{202f}', " ");
        assert_eq!(said(&mut t, System::Metric), "Vent bore: 254 mm is too large. Accepted: 0 mm to 100 mm.");
        assert_eq!(said(&mut t, System::Us), "Vent bore: 10 in is too large. Accepted: 0 in to 3.9 in.");
        let late = told(check(&mut t, System::Metric), System::Us);
        assert_eq!(late[0].to_string(), check(&mut t, System::Us)[0].to_string());
        let worded = told(vec![check(&mut t, System::Metric).remove(0).worded(&|f| format!("then {f}"))], System::Us);
        assert!(worded[0].fault.starts_with("then 10"), "{worded:?}");
    }

    #[test]
    fn only_what_is_active_is_checked_and_laid_out() {
        let mut t = Thing { vent: SHORT_LENGTH.of(9.0), ..Thing::default() };
        assert!(check(&mut t, System::Metric).is_empty());
        t.vented = YesNo::Yes;
        assert_eq!(check(&mut t, System::Metric).len(), 1);
        t.vent = SHORT_LENGTH.of(f64::NAN);
        assert_eq!(check(&mut t, System::Metric)[0].fault, "is not a number");
        let paths: Vec<_> = layout(&mut t).into_iter().map(|e| e.path).collect();
        assert_eq!(paths, ["name", "vented", "vent", "inner", "inner.bore", "rows", "rows"]);
        t.inner.bore = SHORT_LENGTH.of(0.3);
        assert_eq!(advice(&mut t, System::Metric).len(), 1);
    }
}
