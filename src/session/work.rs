//! What a person is filling in, with what they have touched so far.

use crate::calculators::form::{self, Edit, EditValue, Fields, Form, LayoutEntry, LayoutItem};
use crate::calculators::{Sheet, ways::WayForm};
use crate::system::{Document, plan::Goal};
use crate::units::System;
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
    blank: fn() -> T,
}

impl<T: Fields + Clone + Default> Held<T> {
    const WAYS: &'static Ways<T> = &Ways { walk: T::fields, copy: T::clone, blank: T::default };
    /// Holds a value.
    pub fn new(value: T) -> Self {
        Self { value: Box::new(value), ways: Self::WAYS }
    }
}

impl<T> Held<T> {
    /// Another one as it is born.
    fn blank(&self) -> Self {
        Self { value: Box::new((self.ways.blank)()), ways: self.ways }
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
    /// An untouched paper whose first values, those too that a choice opens later, are round in the units that they are shown in: what stands
    /// there is what is computed with.
    pub fn born(mut paper: Paper, system: System) -> Self {
        if system == System::Us {
            form::begin_round(&mut paper, None);
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
    /// Is it what only a reading or the calendar can say?
    pub fn is_read(&self, path: &str) -> bool {
        let read = |e: &LayoutEntry| matches!(&e.item, LayoutItem::Num(spec, _) if spec.read);
        self.layout().iter().any(|e| e.path == path && read(e))
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
        let kept = self.as_many(edit).or_else(|| self.on_box(edit));
        let Some(said) = form::apply_saying(&mut self.paper, edit) else { return false };
        if let Some(path) = said {
            self.touched.insert(path);
        }
        if let Some((from, to)) = kept {
            form::apply(&mut self.paper, &to);
            if !self.assumed(&from) {
                self.touched.insert(to.path);
            }
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
    /// A pump that is given a curve gives at no head what it was said to send at the most: both are the number on its box.
    fn on_box(&self, edit: &Edit) -> Option<(String, Edit)> {
        let EditValue::Rows(1) = edit.to else { return None };
        let pump = edit.path.strip_prefix("pumps.")?.strip_suffix(".curve")?.parse::<usize>().ok()?;
        let pump = self.system()?.pumps.get(pump).filter(|p| p.curve.is_empty())?;
        let to = Edit::num(format!("{}.0.free_flow", edit.path), pump.most);
        Some((format!("{}.most", edit.path.strip_suffix(".curve")?), to))
    }
    /// Fish that were weighed and are counted from now on, or the other way round, stay as many: what their new field is set to, and the field
    /// that it comes from.
    fn as_many(&self, edit: &Edit) -> Option<(String, Edit)> {
        let (EditValue::Option(by), Some(group)) = (&edit.to, edit.path.strip_suffix("by")) else { return None };
        let mut paper = self.paper.clone();
        let mut value = |key: &str| form::value_at(&mut paper, &format!("{group}{key}"));
        let was = value("by")?;
        let mut num = |key| match value(key) {
            Some(EditValue::Si(x)) => Some(x),
            _ => None,
        };
        let (biomass, count, mass) = (num("biomass")?, num("count")?, num("mass")?);
        let counted = (biomass / mass).round();
        // There and back again is what it was.
        if was == edit.to || !counted.is_finite() || counted == count {
            return None;
        }
        let (from, to, x) =
            if by == "number" { ("biomass", "count", counted) } else { ("count", "biomass", count * mass) };
        Some((format!("{group}{from}"), Edit { path: format!("{group}{to}"), to: EditValue::Si(x) }))
    }
    /// The same, with what has opened since `before` round in the units that it is shown in: new rows, and what an option that was chosen brings
    /// along, if it still is at the first value of its kind.
    #[must_use]
    pub fn opened(mut self, before: &Self, system: System) -> Self {
        if system != System::Us {
            return self;
        }
        let open = |w: &Self| w.layout().into_iter().map(|e| e.path).collect::<BTreeSet<_>>();
        let (was, mut blank) = (open(before), None);
        let mut new = open(&self);
        new.retain(|path| !was.contains(path) && self.assumed(path));
        if new.is_empty() {
            return self;
        }
        let (mut old, mut now) = (before.paper.clone(), self.paper.clone());
        new.retain(|path| {
            form::value_at(&mut old, path).is_none() || {
                let blank = blank.get_or_insert_with(|| self.blank());
                form::value_at(blank, path) == form::value_at(&mut now, path)
            }
        });
        form::begin_round(&mut self.paper, Some(&new));
        self
    }
    /// The first values of such a paper with so many rows.
    fn blank(&self) -> Paper {
        let mut blank = match &self.paper {
            Paper::Sheet(s) => Paper::Sheet((s.entry().sheet)()),
            Paper::System(d) => Paper::System(d.blank()),
            Paper::Goal(g) => Paper::Goal(g.blank()),
            Paper::Way(_) => return self.paper.clone(),
        };
        for e in self.layout() {
            if let LayoutItem::List(_, rows) = e.item {
                form::apply(&mut blank, &Edit::rows(e.path, rows));
            }
        }
        blank
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
    use crate::session::stations;
    use crate::system::flow::StationKind;
    use crate::units::{edit_text, kinds::FLOW, si::l_h};

    /// What is said of a pump on its box is the same number with a curve and without.
    #[test]
    fn a_curve_takes_over_the_number_on_the_box() {
        let mut w = stations::starter("New", System::Metric);
        w.apply(&Edit::rows("pumps.0.curve", 1));
        let flow = |w: &Work| w.values().get("pumps.0.curve.0.free_flow").cloned();
        assert_eq!((flow(&w), w.assumed("pumps.0.curve.0.free_flow")), (Some(Val::Num(l_h(2000.0))), true));
        let mut w = stations::starter("New", System::Metric);
        w.apply(&Edit::num("pumps.0.most", FLOW.of(l_h(3000.0))));
        w.apply(&Edit::rows("pumps.0.curve", 1));
        assert_eq!((flow(&w), w.assumed("pumps.0.curve.0.free_flow")), (Some(Val::Num(l_h(3000.0))), false));
        // And back.
        w.apply(&Edit::num("pumps.0.curve.0.free_flow", FLOW.of(l_h(4000.0))));
        let gone = Edit { path: "pumps.0.curve".into(), to: EditValue::Remove(0) };
        let back = stations::unpiped(&w, &gone).expect("taken away");
        assert_eq!(back.values().get("pumps.0.most"), Some(&Val::Num(l_h(4000.0))));
        assert!(!back.assumed("pumps.0.most"));
        // In US units it stays as it was read.
        let w = stations::starter("New", System::Us);
        let mut after = w.clone();
        after.apply(&Edit::rows("pumps.0.curve", 1));
        let after = after.opened(&w, System::Us);
        assert_eq!(flow(&after), w.values().get("pumps.0.most").cloned());
    }

    /// What a test kit, a probe or the calendar says is no button's to write; what is built, bought or wanted is.
    #[test]
    fn what_is_read_is_said_by_its_field() {
        let sheet = |id| Work::new(Paper::Sheet((crate::calculators::by_id(id).expect("there").sheet)()));
        let is = |w: &Work, read: &[&str], set: &[&str]| {
            read.iter().for_each(|path| assert!(w.is_read(path), "{path}"));
            set.iter().for_each(|path| assert!(w.values().contains_key(*path) && !w.is_read(path), "{path}"));
        };
        is(&sheet("ammonia"), &["tan", "nitrite", "ph", "chloride", "alkalinity", "age"], &["feed", "media", "flow"]);
        is(&sheet("startup"), &["tan", "nitrite", "ph", "alkalinity", "age"], &["feed", "full", "media"]);
        is(&sheet("change"), &["reading"], &["target", "change", "new_temperature"]);
        let mut w = stations::starter("New", System::Metric);
        w.apply(&Edit::rows("ammonia", 1));
        is(&w, &["water.filter_age", "ammonia.0.tan", "ammonia.0.ph"], &["water.hottest", "ammonia.0.media"]);
    }

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

    /// Numbers of at most three figures in US units, and pipes in inch sizes.
    fn round(work: &Work, of: &str) {
        for e in work.layout() {
            match e.item {
                LayoutItem::Num(spec, si) if spec.kind.metric != spec.kind.us => {
                    let text = edit_text(spec.kind, si, System::Us);
                    let figures = text.trim_start_matches(['0', '.', '-']).chars();
                    let digits = figures.take_while(|c| c.is_ascii_digit() || *c == '.').collect::<String>();
                    let digits = digits.trim_end_matches('0').replace('.', "").len();
                    assert!(digits <= 3, "{of}, {}: {text}", e.path);
                }
                LayoutItem::Choice(pick, at) if work.assumed(&e.path) => {
                    assert_eq!((pick.us)(at), at, "{of}, {}", e.path)
                }
                _ => {}
            }
        }
    }
    /// The same under every option of every choice, and with one more row in every list.
    fn round_within(born: &Work, of: &str) {
        round(born, of);
        for e in born.layout() {
            let edits = match e.item {
                LayoutItem::Choice(pick, _) => pick.options().map(|o| Edit::pick(e.path.as_str(), o.id)).collect(),
                LayoutItem::List(list, n) if n < list.most => vec![Edit::rows(e.path.as_str(), n + 1)],
                _ => continue,
            };
            for edit in edits {
                let mut work = born.clone();
                assert!(work.apply(&edit), "{of}: {edit:?}");
                work = work.opened(born, System::Us);
                round(&work, &format!("{of} with {edit:?}"));
                // What can be computed with metric first values can be with these.
                let (Some(sheet), true) = (work.sheet(), work.touched.len() < 2) else { continue };
                let mut first = (sheet.entry().sheet)();
                first.apply(&edit);
                assert_eq!(sheet.level().is_ok(), first.level().is_ok(), "{of} with {edit:?}");
            }
        }
    }

    /// What opens later begins round too: behind a choice, in a new row, in a way to measure, in a goal, in a new station.
    #[test]
    fn what_opens_in_us_units_is_round_there() {
        for entry in crate::calculators::ALL {
            round_within(&Work::born(Paper::Sheet((entry.sheet)()), System::Us), entry.id);
        }
        round_within(&Work::born(Paper::goal(Default::default()), System::Us), "a goal");
        for way in [Way::Bucket, Way::TapeVolume, Way::Bore, Way::SampleMass, Way::Jug, Way::Hose] {
            round_within(&Work::born(Paper::Way(way.form()), System::Us), &format!("{way:?}"));
        }
        round_within(&stations::starter("New", System::Us), "a new system");
        let demo = Work::new(Paper::system(crate::system::demo::ALL[0].document()));
        for kind in [StationKind::Tank, StationKind::Bed, StationKind::Settler, StationKind::Pump, StationKind::Sump] {
            let mut work = stations::add(&demo, kind).expect("has room");
            let plain = work.values();
            work = work.opened(&demo, System::Metric);
            assert_eq!(work.values(), plain);
            work = work.opened(&demo, System::Us);
            let (was, mut new) = (demo.values(), work.clone());
            // What stood there before stays.
            assert!(
                was.iter()
                    .all(|(path, v)| work.values().get(path) == Some(v) || matches!(v, Val::Rows(_) | Val::Text(_)))
            );
            new.touched.extend(was.into_keys());
            let mut round = new.clone();
            form::begin_round(&mut round.paper, Some(&new.values().into_keys().filter(|p| new.assumed(p)).collect()));
            assert_eq!(round.values(), new.values(), "{kind:?}");
            // A sump has no numbers before its levels are asked for.
            assert_eq!(plain != new.values(), kind != StationKind::Sump, "{kind:?}");
        }
    }

    /// What an option brings along is round, what was there already stays, and so does what was filled in or stands otherwise in a document.
    #[test]
    fn only_first_values_are_rounded() {
        let mut before = Work::new(Paper::Sheet((crate::calculators::by_id("oxygen").expect("one").sheet)()));
        before.apply(&Edit::num("free_flow", crate::units::kinds::AIR_FLOW.of(0.0011)));
        let with_pump = |work: &Work| {
            let mut after = work.clone();
            assert!(after.apply(&Edit::pick("air", "pump")));
            after = after.opened(work, System::Us);
            after.values()
        };
        let values = with_pump(&before);
        assert_eq!(values["free_flow"], Val::Num(0.0011));
        assert_eq!(values["most_depth"], Val::Num(6.6 * 0.3048));
        assert_eq!(values["air_depth"], before.values()["air_depth"]);
        before.touched.clear();
        assert_eq!(with_pump(&before)["free_flow"], Val::Num(0.0011));
    }

    /// A bucket in a yard of US units holds five gallons, wherever one is asked for.
    #[test]
    fn a_bucket_is_one_that_is_sold() {
        let gallon = crate::units::kinds::VOLUME.0.unit(System::Us).factor;
        for paper in [Paper::Way(Way::Bucket.form()), Paper::Way(Way::Jug.form())] {
            assert_eq!(Work::born(paper, System::Us).values()["bucket"], Val::Num(5.0 * gallon));
        }
        assert_eq!(stations::starter("New", System::Us).values()["notes.bucket"], Val::Num(5.0 * gallon));
        // And a bag of feed fifty pounds.
        let pound = crate::units::kinds::MASS.0.unit(System::Us).factor;
        let feed = Work::born(Paper::Sheet((crate::calculators::by_id("feed").expect("one").sheet)()), System::Us);
        assert_eq!(feed.values()["bag"], Val::Num(50.0 * pound));
        let bags = |work: &Work| {
            let notes = work.sheet().map(|s| s.run(System::Us.into(), false).expect("solves").report.notes.join(" "));
            notes.unwrap_or_default().replace('\u{202f}', " ")
        };
        assert!(bags(&feed).contains("of 50 lb)"), "{}", bags(&feed));
        let metric = Work::new(Paper::Sheet((crate::calculators::by_id("feed").expect("one").sheet)()));
        // One that was begun in metric units says which bag it counts: whoever has that one is told it too.
        assert!(bags(&metric).contains(" bags of 33.1 lb), if none die"), "{}", bags(&metric));
        let Paper::Way(jug) = Work::born(Paper::Way(Way::Jug.form()), System::Us).paper else { panic!("no jug") };
        assert_eq!(jug.value(), Ok(0.4));
    }

    /// What a pump can send at the most stands on its box; a bucket catches what a valve lets through.
    #[test]
    fn the_most_is_never_caught_in_a_bucket() {
        let all = crate::calculators::ALL.iter().map(|entry| Work::new(Paper::Sheet((entry.sheet)())));
        let (mut most, mut caught) = (0, 0);
        for work in all.chain([stations::starter("New", System::Metric)]) {
            for e in work.layout() {
                let LayoutItem::Num(spec, _) = e.item else { continue };
                let asks_most = [spec.label, spec.help].iter().any(|text| text.to_ascii_lowercase().contains("most "));
                let bucket = spec.way == Some(Way::Bucket);
                assert!(!(asks_most && bucket), "{}: {}", spec.label, spec.help);
                most += usize::from(asks_most && spec.kind.is(FLOW.0));
                caught += usize::from(bucket);
            }
        }
        assert!(most >= 4 && caught >= 4, "{most} {caught}");
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
            round(&work, entry.id);
        }
        let metric = Work::born(Paper::Sheet((crate::calculators::ALL[0].sheet)()), System::Metric);
        assert_eq!(metric.values(), Work::new(Paper::Sheet((crate::calculators::ALL[0].sheet)())).values());
    }

    #[test]
    fn fish_stay_as_many_however_they_are_entered() {
        let value = |w: &Work, path: &str| match form::value_at(&mut w.paper.clone(), path) {
            Some(EditValue::Si(x)) => x,
            other => panic!("{path}: {other:?}"),
        };
        let sheet = Work::new(Paper::Sheet((crate::calculators::by_id("oxygen").expect("one").sheet)()));
        for (mut w, at) in [(sheet, "fish.0."), (stations::starter("New", System::Metric), "tanks.0.oxygen.fish.0.")] {
            let path = |key: &str| format!("{at}{key}");
            assert!(w.apply(&Edit::num(path("biomass"), crate::units::kinds::MASS.of(12.1))));
            assert!(w.apply(&Edit::pick(path("by"), "number")));
            assert_eq!(value(&w, &path("count")), 48.0);
            assert!(!w.assumed(&path("count")));
            // Back again nothing is lost; changed in between, it is followed.
            assert!(w.apply(&Edit::pick(path("by"), "weight")));
            assert_eq!(value(&w, &path("biomass")), 12.1);
            w.apply(&Edit::pick(path("by"), "number"));
            w.apply(&Edit { path: path("count"), to: EditValue::Si(40.0) });
            w.apply(&Edit::pick(path("by"), "weight"));
            assert_eq!(value(&w, &path("biomass")), 10.0);
        }
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
