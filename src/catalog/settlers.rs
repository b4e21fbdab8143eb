//! Kinds of settler: what they can take, and how well they hold what settles.

use super::sources::{Coef, solids as src};
use crate::units::{Ratio, Velocity, kinds::OVERFLOW_RATE, kinds::PERCENT, kinds::RATIO, si::mm_s, si::percent};

/// A kind of settler.
#[derive(Debug, PartialEq)]
pub struct Settler {
    /// Stable identifier.
    pub id: &'static str,
    /// What the page shows.
    pub label: &'static str,
    /// A few words more.
    pub note: &'static str,
    /// In the middle of a sentence.
    pub noun: &'static str,
    /// How fast the water may rise, mm/s: cautious and bold.
    pub load: [Coef; 2],
    /// Settling speed that its solids act with, mm/s: fine and whole.
    pub speed: [Coef; 2],
    /// Still tanks in a row that it acts as: poor and good.
    pub tanks: [Coef; 2],
    /// Dry matter of the sludge as drawn, %: thin and thick.
    pub dry_matter: [Coef; 2],
    /// Retention wanted, min, where retention decides.
    pub retention: Option<[Coef; 2]>,
}

crate::catalogue!(Settler, SETTLERS);

/// Identifiers of those that something is said of by name.
pub const RADIAL: &str = "radial";
/// One with its inlet along the wall.
pub const SWIRL: &str = "swirl";

impl Settler {
    /// The settler of that identifier.
    pub fn by_id(id: &str) -> Option<&'static Self> {
        SETTLERS.iter().find(|s| s.id == id)
    }
    /// How fast the water may rise: cautious and bold.
    pub fn load(&self) -> (Velocity, Velocity) {
        both(&self.load)
    }
    /// Settling speed its solids act with: fine and whole.
    pub fn speed(&self) -> (Velocity, Velocity) {
        both(&self.speed)
    }
    /// Tanks in a row that it acts as: poor and good.
    pub fn tanks(&self) -> (Ratio, Ratio) {
        (RATIO.of(self.tanks[0].value), RATIO.of(self.tanks[1].value))
    }
    /// Dry matter of the sludge as drawn: thin and thick.
    pub fn dry_matter(&self) -> (Ratio, Ratio) {
        (PERCENT.of(percent(self.dry_matter[0].value)), PERCENT.of(percent(self.dry_matter[1].value)))
    }
}

fn both(c: &[Coef; 2]) -> (Velocity, Velocity) {
    (OVERFLOW_RATE.of(mm_s(c[0].value)), OVERFLOW_RATE.of(mm_s(c[1].value)))
}

type Src = &'static super::sources::Source;
const fn pair(unit: &'static str, low: (f64, Src, &'static str), high: (f64, Src, &'static str)) -> [Coef; 2] {
    [Coef::new(low.0, unit, low.1, low.2), Coef::new(high.0, unit, high.1, high.2)]
}

/// Share of the suspended mass that can settle at all, %, where the whole flow of the system passes: 40 to 70 % are finer than 20 µm.
pub const SETTLEABLE_WHOLE: [Coef; 2] = pair(
    "%",
    (30.0, &src::WAS_165932, "whole flow, 70 % too fine"),
    (60.0, &src::WAS_165932, "whole flow, 40 % too fine"),
);
/// The same where only a bottom drain with fresh solids comes in.
pub const SETTLEABLE_DRAIN: [Coef; 2] = pair(
    "%",
    (60.0, &src::SETTLER_JUDGEMENT, "bottom drain, solids partly broken"),
    (92.0, &src::SETTLER_JUDGEMENT, "bottom drain, fresh solids; fitted to the radial-flow settler measured"),
);
/// What is left of it behind a pump, which breaks solids.
pub const AFTER_PUMP: Coef =
    Coef::new(0.5, "1", &src::SETTLER_JUDGEMENT, "solids broken by an impeller; half is a guess");

const FINE: &str = "half of the mean of stripped trout faeces";
const WHOLE: &str = "mean of stripped trout faeces; whole trout-farm solids 17 mm/s";

/// Water in which settlers were measured, and a grain in the middle of fish solids.
pub const MEASURED_AT: Coef = Coef::new(14.0, "C", &src::SETTLER_COLD, "trout farms");
/// Its sieve diameter.
pub const MIDDLE_GRAIN: Coef =
    Coef::new(0.2, "mm", &src::SETTLER_COLD, "whole solids sink as larger ones, broken ones as smaller");
/// Its density.
pub const MIDDLE_DENSITY: Coef = Coef::new(1120.0, "kg/m3", &src::WAS_165932, "the middle of 1050 to 1190");

/// Every kind, in the order of every list.
pub static SETTLERS: [Settler; 3] = [
    Settler {
        id: RADIAL,
        label: "Radial-flow settler",
        note: "inlet upward in a centre cylinder, out over the rim",
        noun: "radial-flow settler",
        load: pair(
            "mm/s",
            (2.0, &src::SETTLER_JUDGEMENT, "two thirds of the load measured, for dilute water"),
            (3.1, &src::DAVIDSON_SUMMERFELT_2005, "77.9 % of the solids at this load"),
        ),
        speed: pair("mm/s", (3.5, &src::WAS_165932, FINE), (7.0, &src::WAS_165932, WHOLE)),
        tanks: pair(
            "1",
            (3.0, &src::HAZEN_1904, "fair"),
            (5.0, &src::HAZEN_1904, "good; fitted to 77.9 % at 3.1 mm/s"),
        ),
        dry_matter: pair(
            "%",
            (0.5, &src::SLUDGE_MEMORY, "between a swirl and the maker's figure"),
            (2.0, &src::SLUDGE_MAKER, "at best"),
        ),
        retention: None,
    },
    Settler {
        id: SWIRL,
        label: "Swirl separator",
        note: "inlet along the wall, out in the middle",
        noun: "swirl separator",
        load: pair(
            "mm/s",
            (1.0, &src::SETTLER_JUDGEMENT, "a third of the load measured, which took out only 37 %"),
            (3.1, &src::DAVIDSON_SUMMERFELT_2005, "37.1 % of the solids at this load"),
        ),
        speed: pair(
            "mm/s",
            (1.0, &src::SETTLER_JUDGEMENT, "half of the fitted speed"),
            (2.07, &src::DAVIDSON_SUMMERFELT_2005, "derived: fitted to 37.1 % at 3.1 mm/s"),
        ),
        tanks: pair("1", (1.0, &src::HAZEN_1904, "stirred"), (1.0, &src::HAZEN_1904, "stirred")),
        dry_matter: pair("%", (0.1, &src::SLUDGE_MEMORY, "as drawn"), (1.0, &src::SLUDGE_MEMORY, "as drawn")),
        retention: None,
    },
    Settler {
        id: "plain",
        label: "Plain basin or barrel",
        note: "in at one side, out at the other",
        noun: "plain settling basin",
        load: pair(
            "mm/s",
            (0.49, &src::CLARIFIER_SUPPLIER, "1.4 square feet per gallon a minute"),
            (0.97, &src::CLARIFIER_SUPPLIER, "0.7 square feet per gallon a minute"),
        ),
        speed: pair("mm/s", (3.5, &src::WAS_165932, FINE), (7.0, &src::WAS_165932, WHOLE)),
        tanks: pair("1", (1.0, &src::HAZEN_1904, "poor"), (3.0, &src::HAZEN_1904, "fair")),
        dry_matter: pair("%", (0.5, &src::SLUDGE_MEMORY, "as drawn"), (2.0, &src::SETTLER_JUDGEMENT, "after resting")),
        retention: Some(pair(
            "min",
            (20.0, &src::UVI_CLARIFIER, "in use for decades"),
            (30.0, &src::KSU_2021, "a clarifier alone"),
        )),
    },
];

/// Dry solids per feed, %: least, usual, most.
pub const SOLIDS_YIELD: [Coef; 3] = [
    Coef::new(20.0, "%", &src::SOLIDS_YIELD, "good feed"),
    Coef::new(25.0, "%", &src::SOLIDS_YIELD, "usual"),
    Coef::new(30.0, "%", &src::SOLIDS_YIELD, "ordinary feed"),
];
/// Density of fish solids, kg/m³: light and heavy.
pub const SOLIDS_DENSITY: [Coef; 2] =
    pair("kg/m3", (1050.0, &src::WAS_165932, "lightest"), (1190.0, &src::WAS_165932, "heaviest"));
/// Speeds in the pipes of a settler, m/s: slowest and fastest in the inlet.
pub const INLET_SPEED: [Coef; 2] = pair(
    "m/s",
    (0.3, &src::SETTLER_PIPES, "slower, solids lie in the pipe"),
    (0.6, &src::SETTLER_PIPES, "faster, solids break"),
);
/// Fastest in the outlet, m/s.
pub const OUTLET_SPEED: Coef =
    Coef::new(0.3, "m/s", &src::SETTLER_PIPES, "faster, the surface is drawn down and solids carried over");
/// Velocity heads lost at the inlet, and at the outlet.
pub const PIPE_LOSS: Coef =
    Coef::new(2.5, "1", &src::SETTLER_PIPES, "entrance, an elbow and exit; twice that when slimed");
/// Fall between the rim of a tank and the water of the settler after it, mm.
pub const FALL: Coef = Coef::new(150.0, "mm", &src::SETTLER_FALL, "where nobody has measured it");
/// Longest that caught solids should stay, days.
pub const DRAW_WITHIN: Coef = Coef::new(
    1.0,
    "days",
    &src::CLARIFIER_SUPPLIER,
    "left longer, they leach ammonia and phosphorus and rise with gas",
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_in_order() {
        for s in &SETTLERS {
            assert!(s.load().0 < s.load().1 && s.speed().0 < s.speed().1 && s.tanks().0 <= s.tanks().1, "{}", s.id);
            assert!(s.dry_matter().0 < s.dry_matter().1, "{}", s.id);
        }
        let sums = [SETTLEABLE_WHOLE, SETTLEABLE_DRAIN].map(|p| p[0].value < p[1].value && p[1].value < 100.0);
        assert_eq!(sums, [true, true]);
    }
}
