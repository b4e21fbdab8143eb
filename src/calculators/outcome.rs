//! What a calculator answers: named outputs, fill levels, repairs, cautions, pictures, and on demand the working.

use super::form::{Edit, FieldError};
use crate::catalog::sources::Source;
use crate::picture::Picture;
use crate::units::kinds::{MINUTES, POWER, TEMPERATURE, TEMPERATURE_DIFFERENCE};
use crate::units::{Kind, KindInfo, Q, System, THIN, apart, show, show_number, spoken};
use serde_json::{Value as Json, json};
use std::borrow::Cow;
use std::cmp::Ordering;
use uom::si::Dimension;

/// How full something is, in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Up to 80 % of what can be had.
    Enough,
    /// 80 to 100 %.
    Tight,
    /// Past 100 %.
    Over,
}

impl State {
    /// The word, always written.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Enough => "enough",
            Self::Tight => "tight",
            Self::Over => "over",
        }
    }
    /// That of a load, a share of the brim; nothing where nothing at all can be had.
    pub fn of(load: Option<f64>) -> Self {
        match load {
            Some(l) if l <= ENOUGH + 1e-9 => Self::Enough,
            Some(l) if l <= BRIM + 1e-9 => Self::Tight,
            _ => Self::Over,
        }
    }
}

/// Up to this share of a capacity is enough ([`FILL_LEVELS`](crate::catalog::sources::general::FILL_LEVELS)).
pub const ENOUGH: f64 = 0.8;
/// Past this share it is over.
pub const BRIM: f64 = 1.0;

/// A low and a high end; equal where the value is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Low end, SI.
    pub low: f64,
    /// High end, SI.
    pub high: f64,
}

impl Span {
    /// One value.
    pub const fn at(x: f64) -> Self {
        Self { low: x, high: x }
    }
    /// Two ends, in either order.
    pub fn of(a: f64, b: f64) -> Self {
        Self { low: a.min(b), high: a.max(b) }
    }
}

/// Where the brims are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Brim {
    /// One brim: demand must stay below this capacity.
    Upper(Span),
    /// Two brims: the value must stay between them.
    Between {
        /// Lower brim, SI.
        low: f64,
        /// Upper brim, SI.
        high: f64,
        /// What it means to be below.
        below: &'static str,
        /// What it means to be above.
        above: &'static str,
    },
}

/// What a person can measure of a level that is told as a share: where the water comes to stand, and what is wanted of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Kind of both numbers.
    pub kind: &'static KindInfo,
    /// Where it stands, SI; nothing where none is left.
    pub is: Option<f64>,
    /// At least this much is wanted, SI.
    pub wants: f64,
    /// When it stands so, such as `after the evening meal`.
    pub when: &'static str,
}

impl Measured {
    /// Where it stands in words. What is too little is never shown as if it were enough.
    pub fn stands(&self, system: System) -> String {
        let Some(is) = self.is else { return "none left".into() };
        let shown = show(self.kind, is, system);
        if is < self.wants && shown == self.wanted(system) { format!("just under {shown}") } else { shown }
    }
    /// When, and what is wanted.
    pub fn asks(&self, system: System) -> String {
        format!("{}, where they want {}", self.when, self.wanted(system))
    }
    fn wanted(&self, system: System) -> String {
        show(self.kind, self.wants, system)
    }
}

/// A fill level: what is asked against what can be had. It holds both and never stores the quotient.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Stable identifier within its outcome.
    pub id: Cow<'static, str>,
    /// What it is called.
    pub name: Cow<'static, str>,
    /// Kind of both numbers.
    pub kind: &'static KindInfo,
    /// What is asked, SI.
    pub demand: Span,
    /// What can be had, SI.
    pub brim: Brim,
    /// Stands first in place of what its calculator is asked for: its own figure is written large, not the answer.
    pub leads: bool,
    /// What is past its brims can be changed for the season in which it is, or harms only further on: inside them it is enough, past them tight and never over.
    pub mild: bool,
    /// What a meter shows of it, where there is such a thing: that is told before the share.
    pub measured: Option<Measured>,
}

impl Level {
    /// The same, mild.
    pub fn mild(self) -> Self {
        Self { mild: true, ..self }
    }
    /// The same, leading.
    pub fn leading(self) -> Self {
        Self { leads: true, ..self }
    }
    /// A level with one brim.
    pub fn upper<D: Dimension + ?Sized>(
        id: &'static str,
        name: &'static str,
        kind: Kind<Q<D>>,
        demand: Q<D>,
        capacity: Q<D>,
    ) -> Self {
        Self::upper_range(id, name, kind, (demand, demand), (capacity, capacity))
    }
    /// A level with one brim where either side is only known as a range.
    pub fn upper_range<D: Dimension + ?Sized>(
        id: &'static str,
        name: &'static str,
        kind: Kind<Q<D>>,
        demand: (Q<D>, Q<D>),
        capacity: (Q<D>, Q<D>),
    ) -> Self {
        Self {
            id: id.into(),
            name: name.into(),
            kind: kind.0,
            demand: Span::of(demand.0.value, demand.1.value),
            brim: Brim::Upper(Span::of(capacity.0.value, capacity.1.value)),
            leads: false,
            mild: false,
            measured: None,
        }
    }
    /// A level with two brims.
    #[expect(clippy::too_many_arguments, reason = "a level with two brims has this many parts")]
    pub fn between<D: Dimension + ?Sized>(
        id: &'static str,
        name: &'static str,
        kind: Kind<Q<D>>,
        value: (Q<D>, Q<D>),
        low: Q<D>,
        high: Q<D>,
        below: &'static str,
        above: &'static str,
    ) -> Self {
        Self {
            id: id.into(),
            name: name.into(),
            kind: kind.0,
            demand: Span::of(value.0.value, value.1.value),
            brim: Brim::Between { low: low.value, high: high.value, below, above },
            leads: false,
            mild: false,
            measured: None,
        }
    }
    /// How full, as a share of the brim; the cautious end counts. With two brims: up to 0.8 well inside, up to 1 in the outer tenth at
    /// either end, past 1 outside. `None` where nothing at all can be had and something is asked.
    pub fn load(&self) -> Option<f64> {
        let load = self.asked();
        match load {
            Some(x) if self.mild && x <= BRIM => Some(ENOUGH * x),
            Some(x) if self.mild => Some((ENOUGH + x - BRIM).min(BRIM)),
            _ if self.mild => Some(BRIM),
            _ => load,
        }
    }
    /// The same without regard to what is mild: the share that the figures tell.
    pub fn asked(&self) -> Option<f64> {
        match self.brim {
            Brim::Upper(capacity) => share(self.demand.high, capacity.low),
            Brim::Between { low, high, .. } => {
                let at = |x| two_sided(x, low, high, self.kind);
                Some(at(self.demand.low)?.max(at(self.demand.high)?))
            }
        }
    }
    /// Enough, tight or over.
    pub fn state(&self) -> State {
        State::of(self.load())
    }
    /// Is it at four fifths or under?
    pub fn is_enough(&self) -> bool {
        self.state() == State::Enough
    }
    /// For sorting, what weighs most first: what kills before the rest, then what is fuller.
    pub fn weight(&self) -> (bool, f64) {
        (self.leads, self.fullness())
    }
    /// For sorting, fullest first: the load, with "nothing can be had" on top.
    pub fn fullness(&self) -> f64 {
        self.load().unwrap_or(f64::INFINITY)
    }
    /// On which side of two brims it is out, `Less` under the lower one; `Equal` between them, and where there is one brim.
    pub fn side(&self) -> Ordering {
        match self.brim {
            Brim::Between { low, .. } if self.demand.low < low => Ordering::Less,
            Brim::Between { high, .. } if self.demand.high > high => Ordering::Greater,
            _ => Ordering::Equal,
        }
    }
    /// The percentage in words, such as `144 %`; for two brims, which side it is out on.
    pub fn percent(&self) -> String {
        match (self.brim, self.asked()) {
            (Brim::Upper(_), None) => none_of(self.kind).into(),
            (Brim::Upper(_), Some(l)) if l > 9.995 => "past 10 times".into(),
            (Brim::Upper(_), Some(l)) => format!("{}\u{202f}%", (l * 100.0).round()),
            (Brim::Between { below, .. }, _) if self.side() == Ordering::Less => below.into(),
            (Brim::Between { above, .. }, _) if self.side() == Ordering::Greater => above.into(),
            (Brim::Between { low, high, .. }, _) => match self.state() {
                State::Enough => "in range",
                _ if self.demand.low - low < high - self.demand.high => "near the low end",
                _ => "near the high end",
            }
            .into(),
        }
    }
    /// What stands for the level in a word: what a meter shows, else the percentage.
    pub fn large(&self, system: System) -> String {
        self.measured.map_or_else(|| self.percent(), |m| m.stands(system))
    }
    /// That with all that belongs to it inside a sentence, such as `4.3 mg/L after the evening meal, where they want 5 mg/L (113 %)`.
    pub fn told(&self, system: System) -> String {
        match self.measured {
            Some(m) => format!("{} {} ({})", m.stands(system), m.asks(system), self.percent()),
            None => self.percent(),
        }
    }
    /// The percentage and its figures, to stand behind what a meter shows.
    pub fn shares(&self, system: System) -> String {
        let figures = self.figures(system);
        if self.asked().is_none() { figures } else { format!("{}, {figures}", self.percent()) }
    }
    /// Demand and capacity in words, such as `2 400 of 1 640 L/h`; of times the longer end too, as what is there at best.
    pub fn figures(&self, system: System) -> String {
        let n = |s: Span| {
            let (a, b) = (show_number(self.kind, s.low, system), show_number(self.kind, s.high, system));
            if a == b { a } else { format!("{a} to {b}") }
        };
        match self.brim {
            Brim::Upper(_) if self.load().is_none() => {
                let asked = if self.kind.is(MINUTES.0) {
                    times(self.demand.low, self.demand.high)
                } else {
                    format!("{}\u{202f}{}", n(self.demand), self.kind.unit(system).symbol)
                };
                format!("{} asked, none there", asked.trim_end())
            }
            Brim::Upper(c) if self.kind.is(MINUTES.0) => {
                let (at_least, most) = (spoken(c.low), spoken(c.high));
                let at_best = if at_least == most { String::new() } else { format!(", at best {most}") };
                let Span { low, high } = self.demand;
                let [asked, least] = apart(high, c.low);
                let asked = if low == high { asked } else { times(low, high) };
                format!("{asked} of {least}{at_best}")
            }
            Brim::Upper(c) => {
                let unit = self.kind.unit(system).symbol;
                format!("{} of {}\u{202f}{unit}", n(self.demand), n(c)).trim_end().to_string()
            }
            Brim::Between { low, high, .. } => {
                format!(
                    "{}, allowed {} to {}",
                    n(self.demand),
                    show_number(self.kind, low, system),
                    show(self.kind, high, system)
                )
            }
        }
    }
    /// True if every number is finite.
    pub fn is_finite(&self) -> bool {
        let brim = match self.brim {
            Brim::Upper(s) => [s.low, s.high],
            Brim::Between { low, high, .. } => [low, high],
        };
        brim.into_iter().chain([self.demand.low, self.demand.high]).all(f64::is_finite)
    }
}

/// What is said where nothing of a capacity is there.
fn none_of(kind: &KindInfo) -> &'static str {
    if kind.is(MINUTES.0) {
        "no time left"
    } else if kind.is(TEMPERATURE_DIFFERENCE.0) {
        "no room left"
    } else if kind.is(POWER.0) {
        "nothing to give it"
    } else {
        "none there"
    }
}

fn share(demand: f64, capacity: f64) -> Option<f64> {
    if demand <= 0.0 {
        Some(0.0)
    } else if capacity > demand * 1e-9 {
        Some(demand / capacity)
    } else {
        None
    }
}

/// Past a brim by its share of that. A temperature, which begins nowhere, goes on by the width between the brims: 4 °C for a fish of 5 °C is no
/// less than 10 °C for one of 12 because kelvins are many.
fn two_sided(value: f64, low: f64, high: f64, kind: &KindInfo) -> Option<f64> {
    let half = (high - low) / 2.0;
    let inside = (low..=high).contains(&value);
    if half > 0.0 && (inside || kind.is(TEMPERATURE.0)) {
        Some((value - low - half).abs() / half)
    } else if inside {
        Some(BRIM)
    } else if value < low {
        share(low, value)
    } else {
        share(value, high)
    }
}

/// A number in the working or among the outputs.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// One number, SI.
    Num(f64),
    /// A range, SI.
    Span(f64, f64),
    /// A word, such as which control governs.
    Word(Cow<'static, str>),
    /// Yes or no.
    Flag(bool),
    /// There is no such number here.
    Missing,
}

/// One named output.
#[derive(Debug, Clone, PartialEq)]
pub struct Output {
    /// Stable key.
    pub key: &'static str,
    /// What the page calls it.
    pub label: &'static str,
    /// Its kind, for numbers.
    pub kind: Option<&'static KindInfo>,
    /// The value.
    pub value: Value,
}

impl Output {
    /// The value in words.
    pub fn show(&self, system: System) -> String {
        let time = |k: &KindInfo| k.is(MINUTES.0) && matches!(k.metric, "min" | "h");
        match (&self.value, self.kind) {
            (Value::Num(x), Some(k)) if time(k) => spoken(*x),
            (Value::Span(a, b), Some(k)) if time(k) => times(*a, *b),
            (Value::Num(x), Some(k)) => show(k, *x, system),
            (Value::Span(a, b), Some(k)) => {
                let (low, high) = (show(k, *a, system), show(k, *b, system));
                if low == high { low } else { format!("{} to {high}", show_number(k, *a, system)) }
            }
            (Value::Word(w), _) => w.to_string(),
            (Value::Flag(true), _) => "yes".into(),
            (Value::Flag(false), _) => "no".into(),
            _ => "–".into(),
        }
    }
}

/// Two ends of a time as people say them; the unit once if it is the same.
pub fn times(low: f64, high: f64) -> String {
    let (a, b) = (spoken(low), spoken(high));
    let (first, unit) = a.split_once(THIN).unwrap_or((&a, ""));
    let once = if b.ends_with(&a[first.len()..]) && !unit.contains(THIN) && !b.contains(' ') { first } else { &a };
    if a == b { b } else { format!("{once} to {b}") }
}

/// A collector of outputs.
pub trait Outputs {
    /// Takes one.
    fn put(&mut self, output: Output);
}

impl Outputs for Vec<Output> {
    fn put(&mut self, output: Output) {
        self.push(output);
    }
}

fn finite(x: f64) -> Value {
    if x.is_finite() { Value::Num(x) } else { Value::Missing }
}

/// Puts out a quantity.
pub fn out<D: Dimension + ?Sized>(
    s: &mut dyn Outputs,
    key: &'static str,
    label: &'static str,
    kind: Kind<Q<D>>,
    value: Q<D>,
) {
    s.put(Output { key, label, kind: Some(kind.0), value: finite(value.value) });
}
/// Puts out a quantity that may not exist here.
pub fn out_opt<D: Dimension + ?Sized>(
    s: &mut dyn Outputs,
    key: &'static str,
    label: &'static str,
    kind: Kind<Q<D>>,
    value: Option<Q<D>>,
) {
    s.put(Output { key, label, kind: Some(kind.0), value: value.map_or(Value::Missing, |v| finite(v.value)) });
}
/// Puts out a range.
pub fn span<D: Dimension + ?Sized>(
    s: &mut dyn Outputs,
    key: &'static str,
    label: &'static str,
    kind: Kind<Q<D>>,
    low: Q<D>,
    high: Q<D>,
) {
    let value = if low.value.is_finite() && high.value.is_finite() {
        Value::Span(low.value, high.value)
    } else {
        Value::Missing
    };
    s.put(Output { key, label, kind: Some(kind.0), value });
}
/// Puts out a word.
pub fn word(s: &mut dyn Outputs, key: &'static str, label: &'static str, value: impl Into<Cow<'static, str>>) {
    s.put(Output { key, label, kind: None, value: Value::Word(value.into()) });
}
/// Puts out a yes or no.
pub fn flag(s: &mut dyn Outputs, key: &'static str, label: &'static str, value: bool) {
    s.put(Output { key, label, kind: None, value: Value::Flag(value) });
}

/// A symbol with its value in the working.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// The symbol of the equation.
    pub symbol: &'static str,
    /// Its kind.
    pub kind: &'static KindInfo,
    /// Its value, SI.
    pub si: f64,
}

/// A symbol with its value.
pub fn term<D: Dimension + ?Sized>(symbol: &'static str, kind: Kind<Q<D>>, value: Q<D>) -> Term {
    Term { symbol, kind: kind.0, si: value.value }
}

/// One step of the working.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What it finds.
    pub name: &'static str,
    /// The equation, in plain text.
    pub equation: &'static str,
    /// The numbers put in.
    pub with: Vec<Term>,
    /// What comes out.
    pub result: Term,
    /// Where the equation comes from.
    pub source: &'static Source,
}

impl Step {
    /// A step of the working.
    pub fn new(
        name: &'static str,
        equation: &'static str,
        with: &[Term],
        result: Term,
        source: &'static Source,
    ) -> Self {
        Self { name, equation, with: with.to_vec(), result, source }
    }
}

/// Records steps when asked to, and costs nothing otherwise.
#[derive(Debug, Default)]
pub struct Working(Option<Vec<Step>>);

impl Working {
    /// Records nothing: for searches and the system check.
    pub const fn none() -> Self {
        Self(None)
    }
    /// Records.
    pub const fn recorded() -> Self {
        Self(Some(vec![]))
    }
    /// Is it recording? For work that only the record needs.
    pub const fn on(&self) -> bool {
        self.0.is_some()
    }
    /// Adds a step, if recording.
    pub fn step(&mut self, step: impl FnOnce() -> Step) {
        if let Some(v) = &mut self.0 {
            v.push(step());
        }
    }
    /// The steps.
    pub fn take(self) -> Vec<Step> {
        self.0.unwrap_or_default()
    }
}

/// A change that brings a level down, computed.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// What to do, such as `63 mm pipe, a 75 mm hole`.
    pub title: String,
    /// What it brings, such as `75 % of what it can carry`.
    pub effect: String,
    /// The changes of fields that it means.
    pub edits: Vec<Edit>,
    /// The level after.
    pub level: Level,
    /// How the fullest of all levels stands after it: the word beside a repair, which its own level alone would say too well.
    pub then: State,
    /// What it puts over elsewhere, or another catch.
    pub also: Option<String>,
}

/// A caution that stands beside the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// The sentence.
    pub text: String,
    /// Where it comes from, if anywhere.
    pub source: Option<&'static Source>,
}

impl Caution {
    /// A caution without a source of its own.
    pub fn new(text: impl Into<String>) -> Self {
        Self { text: text.into(), source: None }
    }
    /// A caution with its source.
    pub fn from(text: impl Into<String>, source: &'static Source) -> Self {
        Self { text: text.into(), source: Some(source) }
    }
    /// As JSON, with the source's key.
    pub fn json(&self) -> Json {
        json!({ "text": self.text, "source": self.source.map(|s| s.key) })
    }
}

/// A small table of words and numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Its heading.
    pub title: String,
    /// Column heads.
    pub head: Vec<String>,
    /// Rows, as wide as the head.
    pub rows: Vec<Vec<String>>,
}

/// The rich part of an outcome, written for a page in one unit system.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Report {
    /// One or two plain sentences: the verdict.
    pub verdict: String,
    /// Fill levels, the main one first.
    pub levels: Vec<Level>,
    /// Computed repairs, smallest change first.
    pub repairs: Vec<Repair>,
    /// Cautions that belong to this result.
    pub cautions: Vec<Caution>,
    /// Sections and curves.
    pub pictures: Vec<Picture>,
    /// Tables.
    pub tables: Vec<Table>,
    /// Further plain sentences.
    pub notes: Vec<String>,
}

/// All that a calculator answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Named outputs.
    pub outputs: Vec<Output>,
    /// Words, levels, repairs, pictures.
    pub report: Report,
    /// The working, if it was asked for.
    pub steps: Vec<Step>,
}

/// The level that weighs most first, leading if it was not the first; of two that weigh alike the earlier.
pub fn lead(mut levels: Vec<Level>, weight: impl Fn(&Level) -> f64) -> Vec<Level> {
    let weights: Vec<f64> = levels.iter().map(weight).collect();
    let k = (1..levels.len()).fold(0, |most, k| if weights[k] > weights[most] { k } else { most });
    levels[..=k].rotate_right(1);
    levels[0].leads |= k > 0;
    levels
}

impl Outcome {
    /// The state of the level that is worst, if there are levels.
    pub fn state(&self) -> Option<State> {
        self.report.levels.iter().map(Level::state).max()
    }
    /// The output of this key, if it has a value, and nothing else comes first.
    pub fn answer(&self, key: &str) -> Option<&Output> {
        if self.report.levels.first().is_some_and(|l| l.leads) {
            return None;
        }
        self.outputs.iter().find(|o| o.key == key && o.value != Value::Missing)
    }
}

// ---- JSON, for the machine door ----

impl Level {
    /// As JSON: SI numbers, state and words.
    pub fn json(&self) -> Json {
        let ends = |s: Span| json!([s.low, s.high]);
        let (capacity, brims) = match self.brim {
            Brim::Upper(c) => (ends(c), Json::Null),
            Brim::Between { low, high, .. } => (Json::Null, json!([low, high])),
        };
        json!({
            "id": self.id, "name": self.name, "kind": self.kind.id, "unit": self.kind.si, "demand": ends(self.demand),
            "capacity": capacity, "brims": brims, "state": self.state().word(), "load": self.load(), "percent": self.percent(),
            "measured": self.measured.map(|m| json!({ "is": m.is, "wants": m.wants, "unit": m.kind.si, "when": m.when })),
        })
    }
}

impl Repair {
    /// As JSON.
    pub fn json(&self) -> Json {
        let edits = self.edits.iter().map(|e| {
            use super::form::EditValue::*;
            let to = match &e.to {
                Si(x) => json!(x),
                Option(id) | Text(id) => json!(id),
                Rows(n) => json!({ "rows": n }),
                Remove(i) => json!({ "remove": i }),
            };
            json!({ "path": e.path, "to": to })
        });
        let edits: Vec<_> = edits.collect();
        json!({ "title": self.title, "effect": self.effect, "also": self.also, "edits": edits, "level": self.level.json(), "then": self.then.word() })
    }
}

impl Outcome {
    /// As JSON: outputs in SI, levels, repairs, cautions, tables, and the working if recorded.
    pub fn json(&self) -> Json {
        let outputs: serde_json::Map<_, _> = self
            .outputs
            .iter()
            .map(|o| {
                let value = match &o.value {
                    Value::Num(x) => json!(x),
                    Value::Span(a, b) => json!([a, b]),
                    Value::Word(w) => json!(w),
                    Value::Flag(b) => json!(b),
                    Value::Missing => Json::Null,
                };
                (o.key.to_string(), value)
            })
            .collect();
        let r = &self.report;
        let steps = self.steps.iter().map(|s| {
            let with: serde_json::Map<_, _> =
                s.with.iter().map(|t| (t.symbol.to_string(), json!([t.si, t.kind.si]))).collect();
            json!({
                "name": s.name, "equation": s.equation, "with": with, "symbol": s.result.symbol, "result": s.result.si,
                "unit": s.result.kind.si, "source": s.source.key, "basis": s.source.basis.word(),
            })
        });
        let steps: Vec<_> = steps.collect();
        json!({
            "verdict": r.verdict,
            "state": self.state().map(State::word),
            "outputs": outputs,
            "levels": r.levels.iter().map(Level::json).collect::<Vec<_>>(),
            "repairs": r.repairs.iter().map(Repair::json).collect::<Vec<_>>(),
            "cautions": r.cautions.iter().map(Caution::json).collect::<Vec<_>>(),
            "tables": r.tables.iter().map(|t| json!({ "title": t.title, "head": t.head, "rows": t.rows })).collect::<Vec<_>>(),
            "notes": r.notes,
            "working": steps,
        })
    }
}

/// Field errors as JSON.
pub fn errors_json(errors: &[FieldError]) -> Json {
    let all: Vec<_> = errors
        .iter()
        .map(|e| json!({ "field": e.path, "label": e.label, "fault": e.fault, "accepted": e.accepted, "sentence": e.to_string() }))
        .collect();
    json!({ "errors": all })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::kinds::{AREA, FLOW, HOURS};

    #[test]
    fn an_outcome_is_as_bad_as_its_worst_level() {
        let level = |x: f64| Level::upper("x", "X", FLOW, FLOW.of(x), FLOW.of(1.0));
        let of =
            |levels| Outcome { outputs: vec![], report: Report { levels, ..Report::default() }, steps: vec![] }.state();
        assert_eq!(of(vec![]), None);
        assert_eq!(of(vec![level(0.5), level(1.2), level(0.9)]), Some(State::Over));
        assert_eq!(of(vec![level(0.9), level(0.1)]), Some(State::Tight));
    }

    #[test]
    fn one_brim() {
        let f = |x: f64| FLOW.of(x);
        let level = |d, c| Level::upper("x", "X", FLOW, f(d), f(c));
        assert_eq!(level(0.8, 1.0).state(), State::Enough);
        assert_eq!(level(0.81, 1.0).state(), State::Tight);
        assert_eq!(level(1.0, 1.0).state(), State::Tight);
        assert_eq!(level(1.01, 1.0).state(), State::Over);
        assert_eq!(level(0.0, 0.0).state(), State::Enough);
        assert_eq!(level(1.0, 0.0).state(), State::Over);
        assert_eq!(level(1.0, 0.0).load(), None);
        assert_eq!(level(1.0, -3.0).percent(), "none there");
        assert_eq!(
            level(1.0, -3.0).figures(System::Metric).replace('\u{202f}', " "),
            "3 600 000 L/h asked, none there"
        );
        // Of a time that is only known roughly the cautious end stands first.
        let h = |x: f64| HOURS.of(x * 3600.0);
        let time = |low: f64, high: f64| Level::upper_range("t", "T", HOURS, (h(4.0), h(4.0)), (h(low), h(high)));
        let said = |l: &Level| (l.percent() + ": " + &l.figures(System::Metric)).replace('\u{202f}', " ");
        assert_eq!(said(&time(1.0, 4.0)), "400 %: 4 h of 60 min, at best 4 h");
        assert_eq!(said(&time(2.0, 2.0)), "200 %: 4 h of 2 h");
        assert_eq!(said(&time(4.1, 4.1)), "98 %: 4 h of 4 h 6 min");
        assert_eq!(said(&time(0.0, 0.0)), "no time left: 4 h asked, none there");
        assert_eq!(level(1.44, 1.0).percent(), "144\u{202f}%");
        // The cautious ends decide.
        assert_eq!(Level::upper_range("x", "X", FLOW, (f(0.5), f(0.9)), (f(0.85), f(2.0))).state(), State::Over);
    }

    #[test]
    fn two_brims() {
        let level = |v: f64| {
            let v = AREA.of(v);
            Level::between("x", "X", AREA, (v, v), AREA.of(4.0), AREA.of(5.0), "too few", "too many")
        };
        assert_eq!(level(4.5).state(), State::Enough);
        assert_eq!(level(4.95).state(), State::Tight);
        assert_eq!(level(3.9).state(), State::Over);
        assert_eq!(level(3.9).percent(), "too few");
        assert_eq!(level(5.1).percent(), "too many");
        assert_eq!([3.9, 4.1, 5.1].map(|x| level(x).side()), [Ordering::Less, Ordering::Equal, Ordering::Greater]);
        assert_eq!(level(0.0).load(), None);
        // A temperature is as far out as the band is wide, in whatever degrees.
        let t = |x: f64| TEMPERATURE.of(crate::units::si::celsius(x));
        let warmth =
            |x: f64| Level::between("t", "T", TEMPERATURE, (t(x), t(x)), t(10.0), t(20.0), "cold", "hot").load();
        let near = |x: f64, load: f64| (warmth(x).expect("a load") - load).abs() < 1e-9;
        assert!(near(15.0, 0.0) && near(20.0, 1.0) && near(25.0, 2.0) && near(5.0, 2.0));
    }

    /// What may be changed for a season is tight past its brims, however far, and enough inside them; more of it is never less full.
    #[test]
    fn what_is_mild_is_never_over() {
        let t = |c: f64| TEMPERATURE.of(crate::units::si::celsius(c));
        let at = |c: f64| Level::between("t", "T", TEMPERATURE, (t(c), t(c)), t(10.0), t(30.0), "cold", "hot");
        for (c, strict, mild) in [
            (20.0, State::Enough, State::Enough),
            (29.5, State::Tight, State::Enough),
            (30.5, State::Over, State::Tight),
            (2.0, State::Over, State::Tight),
            (90.0, State::Over, State::Tight),
        ] {
            assert_eq!((at(c).state(), at(c).mild().state()), (strict, mild), "{c}");
        }
        assert_eq!(at(31.0).mild().percent(), "hot");
        let loads: Vec<f64> = (20..60).map(|c| at(f64::from(c)).mild().fullness()).collect();
        assert!(loads.is_sorted(), "{loads:?}");
    }
}
