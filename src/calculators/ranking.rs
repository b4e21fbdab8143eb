//! What to measure first: each assumed input moved across its plausible spread, by how far it moves the main fill level, or where that says
//! little, the answer itself.

use super::form::{Edit, EditValue, LayoutItem, Spec, Way};
use super::outcome::{Brim, Level, State, Value};
use super::sheet::Sheet;
use crate::units::kinds::TEMPERATURE;
use crate::units::{KindInfo, System, THIN, lower, number, show, show_number};

/// How much one assumption matters.
#[derive(Debug, Clone, PartialEq)]
pub struct Influence {
    /// Path of the field.
    pub path: String,
    /// Its label.
    pub label: &'static str,
    /// A way to measure it, if there is one in place.
    pub way: Option<Way>,
    /// The main level's load at the two ends of the spread, or the answer there.
    pub ends: [f64; 2],
    /// The answer that is moved, where it is not the level: its name, its kind.
    pub of: Option<(&'static str, &'static KindInfo)>,
    /// Has the level two brims, between which no percentage is shown?
    pub between: bool,
}

impl Influence {
    /// By how much the level moves, as a share of the brim; the answer, as a share of its most.
    pub fn swing(&self) -> f64 {
        let [a, b] = self.ends;
        let whole = if self.of.is_some() { a.abs().max(b.abs()).max(f64::MIN_POSITIVE) } else { 1.0 };
        (b - a).abs() / whole
    }
    /// What it moves and how far, in words.
    pub fn words(&self, system: System) -> String {
        let (a, b) = (self.ends[0].min(self.ends[1]), self.ends[0].max(self.ends[1]));
        match self.of {
            Some((name, kind)) => {
                let name = lower(name);
                format!("moves {name} from {} to {}", show_number(kind, a, system), show(kind, b, system))
            }
            None if self.between => match [a, b].map(|load| State::of(Some(load)).word()) {
                [from, to] if from == to => format!("moves it, and leaves it {to}"),
                [from, to] => format!("moves it from {from} to {to}"),
            },
            None => {
                let percent = |load: f64| number((load * 100.0).round(), 3);
                if b < MOST {
                    format!("moves the fill from {} to {}{THIN}%", percent(a), percent(b))
                } else {
                    format!("moves the fill from {}{THIN}% past all bounds", percent(a))
                }
            }
        }
    }
}

/// Fills past this are alike, and so is having nothing at all to carry it.
const MOST: f64 = 100.0;

/// Spread of an assumed value whose declaration names none: a fifth to either side (our judgement).
const SPREAD: f64 = 0.2;
/// Spread of an assumed temperature whose declaration names none, K (our judgement).
const SPREAD_K: f64 = 3.0;

/// The ends across which a value that is only assumed is moved.
pub fn spread(spec: &Spec, si: f64) -> [f64; 2] {
    spec.likely.unwrap_or(if spec.kind.is(TEMPERATURE.0) {
        [si - SPREAD_K, si + SPREAD_K]
    } else {
        [si * (1.0 - SPREAD), si * (1.0 + SPREAD)]
    })
}

/// The assumptions (fields for which `assumed` holds) that move the main level, strongest first. Empty where there is no level.
pub fn rank(sheet: &dyn Sheet, assumed: &dyn Fn(&str) -> bool) -> Vec<Influence> {
    let ranked = sheet.ranked();
    let of = ranked.as_ref().and_then(|o| Some((o.label, o.kind?)));
    let load = |s: &dyn Sheet| match of {
        None => Some(s.level().ok().flatten()?.fullness().min(MOST)),
        Some(_) => match s.ranked()?.value {
            Value::Num(x) => Some(x),
            _ => None,
        },
    };
    let Some(now) = load(sheet) else { return vec![] };
    let two_brims = |l: &Level| matches!(l.brim, Brim::Between { .. });
    let between = of.is_none() && sheet.level().ok().flatten().as_ref().is_some_and(two_brims);
    let mut found: Vec<_> = sheet
        .layout()
        .into_iter()
        .filter_map(|e| match e.item {
            LayoutItem::Num(spec, si) if assumed(&e.path) => {
                let [low, high] = spread(&spec, si);
                let at = |x: f64| {
                    let mut s = sheet.copy();
                    let x = x.clamp(spec.hard[0], spec.hard[1]);
                    s.apply(&Edit {
                        path: e.path.clone(),
                        to: EditValue::Si(if spec.kind.whole { x.round() } else { x }),
                    });
                    load(&*s)
                };
                let mut ends = [at(low)?, at(high)?];
                if between {
                    // What lies between the brims now may be out at either end.
                    ends = [ends[0].min(ends[1]).min(now), ends[0].max(ends[1]).max(now)];
                }
                Some(Influence { path: e.path, label: spec.label, way: spec.way, ends, of, between })
            }
            _ => None,
        })
        .filter(|i| i.swing() > 0.005)
        .collect();
    crate::units::arrange(&mut found, |a, b| b.swing().total_cmp(&a.swing()));
    found
}
