//! What to measure first: each assumed input moved across its plausible spread, by how far it moves the main fill level.

use super::form::{Edit, EditValue, LayoutItem, Way};
use super::sheet::Sheet;

/// How much one assumption matters.
#[derive(Debug, Clone, PartialEq)]
pub struct Influence {
    /// Path of the field.
    pub path: String,
    /// Its label.
    pub label: &'static str,
    /// A way to measure it, if there is one in place.
    pub way: Option<Way>,
    /// The main level's load at the two ends of the spread.
    pub loads: [f64; 2],
}

impl Influence {
    /// By how much the level moves, as a share of the brim.
    pub fn swing(&self) -> f64 {
        (self.loads[1] - self.loads[0]).abs()
    }
}

/// Spread of an assumed value whose declaration names none: a fifth to either side (our judgement).
const SPREAD: f64 = 0.2;
/// Spread of an assumed temperature whose declaration names none, K (our judgement).
const SPREAD_K: f64 = 3.0;

/// The assumptions (fields for which `assumed` holds) that move the main level, strongest first. Empty where there is no level.
pub fn rank(sheet: &dyn Sheet, assumed: &dyn Fn(&str) -> bool) -> Vec<Influence> {
    let load = |s: &dyn Sheet| s.level().ok().flatten().and_then(|l| l.load());
    if load(sheet).is_none() {
        return vec![];
    }
    let mut found: Vec<_> = sheet
        .layout()
        .into_iter()
        .filter_map(|e| match e.item {
            LayoutItem::Num(spec, si) if assumed(&e.path) => {
                let [low, high] = spec.likely.unwrap_or(if spec.kind.id == "temperature" {
                    [si - SPREAD_K, si + SPREAD_K]
                } else {
                    [si * (1.0 - SPREAD), si * (1.0 + SPREAD)]
                });
                let at = |x: f64| {
                    let mut s = sheet.copy();
                    let x = x.clamp(spec.hard[0], spec.hard[1]);
                    s.apply(&Edit {
                        path: e.path.clone(),
                        to: EditValue::Si(if spec.kind.whole { x.round() } else { x }),
                    });
                    load(&*s)
                };
                let loads = [at(low)?, at(high)?];
                Some(Influence { path: e.path, label: spec.label, way: spec.way, loads })
            }
            _ => None,
        })
        .filter(|i| i.swing() > 0.005)
        .collect();
    crate::units::arrange(&mut found, |a, b| b.swing().total_cmp(&a.swing()));
    found
}
