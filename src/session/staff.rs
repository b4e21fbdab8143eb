//! What is said of a result in sight: where the water line and the brims stand on a staff, and the words for one who does not see it.

use crate::calculators::outcome::{Brim, Level, State};
use crate::units::{System, kinds::TEMPERATURE, show, show_number};

/// The staff shows up to this load.
pub const TOP: f64 = 1.5;
/// Where the two brims of a two-sided level stand, as shares of the staff.
const BRIMS: [f64; 2] = [0.25, 0.75];

/// A level as it stands on a staff. All places are shares of its length, from the bottom.
#[derive(Debug, Clone, PartialEq)]
pub struct Staff {
    /// The water line; for a range, its two ends.
    pub water: [f64; 2],
    /// The brim, or both.
    pub brims: Vec<f64>,
    /// Where the hatched part begins and ends, if the level is out.
    pub out: Option<[f64; 2]>,
    /// The state.
    pub state: State,
    /// The number or words written large.
    pub large: String,
    /// What is asked and what can be had.
    pub figures: String,
    /// What the level is called.
    pub name: String,
    /// All of it in words.
    pub words: String,
}

/// Stands a level on a staff.
pub fn staff(level: &Level, system: System) -> Staff {
    made(level, system, Level::shares)
}

/// The same in few words, for what stays in sight and for a table on paper: without the grams an hour of what a meter shows.
pub fn brief(level: &Level, system: System) -> Staff {
    made(level, system, |level, _| level.percent())
}

/// `beside` is what stands behind what a meter shows.
fn made(level: &Level, system: System, beside: fn(&Level, System) -> String) -> Staff {
    let state = level.state();
    let (large, figures) = match level.brim {
        Brim::Upper(_) => match level.measured {
            // What a meter shows comes first: a share of grams an hour nobody can read off one.
            Some(m) => (m.stands(system), format!("{}; {}", m.asks(system), beside(level, system))),
            None => (level.percent(), level.figures(system)),
        },
        // A percentage says nothing between two brims: the value itself does, and on which side it is out.
        Brim::Between { low, high, .. } => {
            let (a, b) = (show(level.kind, level.demand.low, system), show(level.kind, level.demand.high, system));
            let large =
                if a == b { b } else { format!("{} to {b}", show_number(level.kind, level.demand.low, system)) };
            let wanted =
                format!("allowed {} to {}", show_number(level.kind, low, system), show(level.kind, high, system));
            let out = level.demand.low < low || level.demand.high > high;
            (large, if out { format!("{wanted}; {}", level.percent()) } else { wanted })
        }
    };
    let place = |load: Option<f64>| load.unwrap_or(TOP).clamp(0.0, TOP) / TOP;
    let words = format!("{}: {large}, {figures}, {}.", level.name, state.word());
    let (water, brims, out) = match level.brim {
        Brim::Upper(capacity) => {
            let easy = if capacity.high > 0.0 { Some(level.demand.low.max(0.0) / capacity.high) } else { level.load() };
            let water = [place(easy), place(level.load())];
            let brim = 1.0 / TOP;
            (water, vec![brim], (water[1] > brim + 1e-9).then_some([brim, water[1]]))
        }
        Brim::Between { low, high, .. } => {
            // A temperature is as cold as the span has it: its zero is nowhere near.
            let bottom = if level.kind.is(TEMPERATURE.0) { low - (high - low) } else { 0.0 };
            let at = |x: f64| two_sided(x - bottom, low - bottom, high - bottom);
            let water = [at(level.demand.low), at(level.demand.high)];
            let out = if water[0] < BRIMS[0] - 1e-9 {
                Some([water[0], BRIMS[0]])
            } else if water[1] > BRIMS[1] + 1e-9 {
                Some([BRIMS[1], water[1]])
            } else {
                None
            };
            (water, BRIMS.to_vec(), out)
        }
    };
    Staff { water, brims, out, state, large, figures, name: level.name.to_string(), words }
}

/// The level that stands first. Where its own figure is written large, not an answer, it says what it is.
pub fn foremost(level: &Level, system: System, answered: bool) -> Staff {
    let mut s = brief(level, system);
    if !answered {
        s.figures = format!("{}: {}", s.name, s.figures);
    }
    s
}

impl Staff {
    /// All the figures in a line, to stand beside something else that is written large.
    pub fn beside(&self) -> String {
        format!("{} {}: {}", self.name, self.large, self.figures)
    }
}

/// The lower quarter of the staff is what is below the lower brim, the upper quarter goes up to twice the span between them.
fn two_sided(x: f64, low: f64, high: f64) -> f64 {
    let [a, b] = BRIMS;
    let span = high - low;
    let share = if span > 0.0 {
        (x - low) / span
    } else if x > high {
        2.0
    } else {
        0.0
    };
    let at = if x < low && low > 0.0 { a * (x / low) } else { a + (b - a) * share };
    if at.is_finite() { at.clamp(0.0, 1.0) } else { 1.0 }
}

/// A verdict cut in two after a sentence, so that the first part fits what stays in sight: as many whole sentences as `most` characters
/// hold, and at least one.
pub fn in_sight(verdict: &str, most: usize) -> (&str, &str) {
    let mut cut = verdict.len();
    let ends = verdict.match_indices(". ").map(|(i, _)| i + 1);
    for (n, end) in ends.enumerate() {
        if verdict[..end].chars().count() <= most || n == 0 {
            cut = end;
        }
    }
    if verdict.chars().count() <= most {
        cut = verdict.len();
    }
    (&verdict[..cut], verdict[cut..].trim_start())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::kinds::{AREA, FLOW};
    use crate::units::si::{celsius, l_h};

    #[test]
    fn a_cold_water_stands_as_far_below_as_it_is_cold() {
        let t = |c: f64| TEMPERATURE.of(celsius(c));
        let at = |c: f64| {
            let level = Level::between("t", "Water", TEMPERATURE, (t(c), t(c)), t(17.0), t(37.0), "cold", "hot");
            staff(&level, System::Metric).water[1]
        };
        for (c, share) in [(-3.0, 0.0), (7.0, 0.125), (17.0, 0.25), (27.0, 0.5), (37.0, 0.75), (47.0, 1.0)] {
            assert!((at(c) - share).abs() < 1e-9, "{c}: {}", at(c));
        }
    }

    /// Oxygen is told as a meter shows it, and then as a share; what is too little is not rounded to what is wanted.
    #[test]
    fn what_a_meter_shows_stands_first() {
        use crate::calculators::outcome::Measured;
        use crate::units::{THIN, kinds::CONCENTRATION};
        let at = |is: Option<f64>| {
            let measured = Some(Measured { kind: CONCENTRATION.0, is, wants: 5e-3, when: "after the evening meal" });
            let level = Level::upper("d", "Oxygen in A", FLOW, FLOW.of(l_h(113.0)), FLOW.of(l_h(100.0)));
            let level = Level { measured, ..level };
            // In few words the grams an hour are left out.
            assert!(brief(&level, System::Us).figures.ends_with(&level.percent().to_string()));
            staff(&level, System::Us)
        };
        let s = at(Some(4.3e-3));
        assert_eq!(s.large.replace(THIN, " "), "4.3 mg/L");
        assert_eq!(
            s.words.replace(THIN, " "),
            "Oxygen in A: 4.3 mg/L, after the evening meal, where they want 5 mg/L; 113 %, 29.9 of 26.4 gal/h, over."
        );
        assert!((s.water[1] - 1.13 / TOP).abs() < 1e-9);
        assert_eq!(at(Some(4.9999e-3)).large.replace(THIN, " "), "just under 5 mg/L");
        assert_eq!(at(None).large, "none left");
    }

    #[test]
    fn one_brim_stands_at_two_thirds() {
        let at = |demand: f64| {
            staff(&Level::upper("d", "Drain", FLOW, FLOW.of(l_h(demand)), FLOW.of(l_h(1000.0))), System::Metric)
        };
        let s = at(500.0);
        assert!((s.water[1] - 1.0 / 3.0).abs() < 1e-9 && (s.brims[0] - 2.0 / 3.0).abs() < 1e-9 && s.out.is_none());
        let s = at(1200.0);
        assert_eq!(s.words, "Drain: 120\u{202f}%, 1\u{202f}200 of 1\u{202f}000\u{202f}L/h, over.");
        assert!(s.out.is_some_and(|o| (o[1] - 0.8).abs() < 1e-9));
        assert_eq!(at(9000.0).water[1], 1.0);
        assert!(at(1000.0).out.is_none(), "at the brim is not past it");
    }

    #[test]
    fn a_long_verdict_is_cut_between_sentences() {
        let v = "Carries 1.5 L. It will spill. Then the rest of it.";
        assert_eq!(in_sight(v, 200), (v, ""));
        assert_eq!(in_sight(v, 30), ("Carries 1.5 L. It will spill.", "Then the rest of it."));
        assert_eq!(in_sight(v, 3), ("Carries 1.5 L.", "It will spill. Then the rest of it."));
        assert_eq!(in_sight("One only", 3), ("One only", ""));
        assert_eq!(in_sight("", 3), ("", ""));
    }

    #[test]
    fn what_is_written_large_says_what_it_is() {
        let level = Level::upper("n", "Nitrite", FLOW, FLOW.of(2.0), FLOW.of(1.0));
        assert_eq!(foremost(&level, System::Metric, true), staff(&level, System::Metric));
        assert!(foremost(&level, System::Metric, false).figures.starts_with("Nitrite: "));
    }

    #[test]
    fn a_range_has_two_lines() {
        let q = |x: f64| FLOW.of(x);
        let s = staff(&Level::upper_range("d", "D", FLOW, (q(0.5), q(0.9)), (q(1.0), q(2.0))), System::Metric);
        assert!((s.water[0] - 0.25 / 1.5).abs() < 1e-9 && (s.water[1] - 0.9 / 1.5).abs() < 1e-9);
        let none = staff(&Level::upper("d", "D", FLOW, q(1.0), q(0.0)), System::Metric);
        assert_eq!(none.water[1], 1.0);
        assert_eq!(none.large, "none there");
    }

    #[test]
    fn two_brims_have_a_mark_at_each_end() {
        let at = |v: f64| {
            let v = AREA.of(v);
            staff(
                &Level::between("b", "Plants", AREA, (v, v), AREA.of(4.0), AREA.of(6.0), "too few", "too many"),
                System::Metric,
            )
        };
        let middle = at(5.0);
        assert!((middle.water[0] - 0.5).abs() < 1e-9 && middle.brims.len() == 2 && middle.out.is_none());
        assert_eq!(at(2.0).out, Some([0.125, 0.25]));
        assert_eq!(at(0.0).water[0], 0.0);
        assert_eq!(at(1e9).water[1], 1.0);
        assert!(at(6.5).out.is_some() && at(6.5).words.contains("too many"));
        assert_eq!((middle.large.as_str(), middle.figures.as_str()), ("5\u{202f}m²", "allowed 4 to 6\u{202f}m²"));
        for x in [4.0, 6.0] {
            assert!(at(x).out.is_none(), "{x}");
        }
    }
}
