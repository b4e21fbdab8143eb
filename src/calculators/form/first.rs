//! First values as a person who works in US units would type them.

use super::*;
use std::collections::BTreeSet;

/// What is counted on in a yard instead of the rounded metric first value, in US units, by key: a bucket of 5 gallons, how long that takes to fill,
/// and the water in the gaps of it; a bag of feed as it is sold there, 50 lb (common practice).
const YARD: [(&str, f64); 4] = [("bucket", 5.0), ("seconds", 40.0), ("poured", 2.0), ("bag", 50.0)];

struct Round<'a> {
    at: String,
    of: Option<&'a BTreeSet<String>>,
}

impl Round<'_> {
    fn wanted(&self, key: &str) -> bool {
        self.of.is_none_or(|of| of.contains(&format!("{}{key}", self.at)))
    }
}

impl Form for Round<'_> {
    fn text(&mut self, _: &Text, _: &mut String) {}
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        let at = self.at.clone();
        self.at = format!("{at}{}.", part.key);
        inner.fields(self);
        self.at = at;
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let yard = YARD.iter().find(|y| y.0 == spec.key);
        if (spec.kind.metric == spec.kind.us && yard.is_none()) || !self.wanted(spec.key) {
            return;
        }
        let unit = spec.kind.unit(System::Us);
        let round = match yard {
            Some((_, x)) => unit.to_si(*x),
            None if unit.offset > 0.0 => unit.to_si(unit.of_si(*si).round()),
            None => spec.kind.rounded(*si, 2, System::Us),
        };
        if (spec.hard[0]..=spec.hard[1]).contains(&round) {
            *si = round;
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        if self.wanted(pick.key) {
            *at = (pick.us)(*at);
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        let at = self.at.clone();
        for i in 0..rows.count() {
            self.at = format!("{at}{}.{i}.", list.key);
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
        self.at = at;
    }
}

/// Rounds numbers to two figures in US units, and makes pipes inch sizes: in the fields at the paths `of`, or in all, those of options that are
/// not chosen too.
pub fn begin_round(fields: &mut dyn Fields, of: Option<&BTreeSet<String>>) {
    fields.fields(&mut Round { at: String::new(), of });
}
