//! How much fish eat: ration tables by size and water temperature, pellet sizes and meals. Tables only; `science::feeding` reads them.

use super::sources::{Coef, Source, biology as src};
use super::species::Species;

/// A table of two columns with its source, read by straight lines between its points and by its ends outside them.
#[derive(Debug, PartialEq)]
pub struct Curve {
    /// What stands in the first column, and its unit.
    pub x: &'static str,
    /// What stands in the second column, and its unit.
    pub y: &'static str,
    /// Rows, rising in x.
    pub points: &'static [(f64, f64)],
    /// Where it comes from.
    pub source: &'static Source,
    /// Where it holds.
    pub valid: &'static str,
}

/// How a ration is found.
#[derive(Debug, PartialEq)]
pub enum Ration {
    /// From the fish's mass, times a factor for the temperature.
    Size {
        /// Ration in the best water by mass.
        by_mass: Curve,
        /// Share of it by temperature.
        appetite: Curve,
    },
    /// From a table of size classes and temperatures.
    Grid(&'static Grid),
    /// From the growth at full ration by temperature, scaled to size.
    Temperature(Scaled),
    /// From the thermal growth coefficient and the feed per gain.
    Growth {
        /// Largest ration, for the smallest fish.
        most: Coef,
        /// Growth by temperature as a share of the best, where it was measured.
        by_warmth: Option<Curve>,
    },
}

/// Growth and upkeep of small fish by temperature.
#[derive(Debug, PartialEq)]
pub struct Scaled {
    /// Ration that only holds the weight.
    pub maintenance: Curve,
    /// Growth at full ration.
    pub growth: Curve,
    /// Mass of the fish of the table.
    pub mass: Coef,
    /// Largest ration, for the smallest fish.
    pub most: Coef,
}

/// A ration table by temperature and size class.
#[derive(Debug, PartialEq)]
pub struct Grid {
    /// Temperature of the first row, °F; each further row is one warmer.
    pub first: Coef,
    /// Warmest row that is used, °F.
    pub last: Coef,
    /// Upper end of each size class but the last, g.
    pub classes: [f64; 10],
    /// Rations, % of body mass a day.
    pub rows: [[f64; 11]; 33],
    /// Where it comes from.
    pub source: &'static Source,
}

/// Sizes of tilapia in tanks and what they are fed. The end of one row is the start of the next.
pub const TILAPIA_BY_MASS: Curve = Curve {
    x: "mass, g",
    y: "ration, % of body mass a day",
    points: &[
        (0.02, 20.0),
        (0.5, 15.0),
        (5.0, 10.0),
        (20.0, 7.0),
        (50.0, 4.0),
        (100.0, 3.5),
        (250.0, 1.5),
        (450.0, 1.0),
    ],
    source: &src::SRAC_282_TABLE,
    valid: "tilapia in tanks at good temperatures, 0.02 to 450 g; straight between rows in the logarithm of mass",
};
/// Appetite of tilapia by temperature: nil where feeding stops, a third at 22 °C, as growth is.
const TILAPIA_APPETITE: Curve = Curve {
    x: "water, degC",
    y: "share of the full ration",
    points: &[(17.0, 0.0), (22.0, 1.0 / 3.0), (27.0, 1.0), (31.0, 1.0), (34.0, 0.0)],
    source: &src::SRAC_283,
    valid: "growth at 29 to 31 degC is three times that at 22; the ration is taken to go with it; ends from the species' limits",
};
static TILAPIA: Ration = Ration::Size { by_mass: TILAPIA_BY_MASS, appetite: TILAPIA_APPETITE };

static CATFISH: Ration = Ration::Size {
    by_mass: Curve {
        x: "mass, g",
        y: "ration, % of body mass a day",
        points: &[(0.2, 10.0), (2.0, 6.0), (5.0, 5.0), (100.0, 3.0), (500.0, 2.0), (1000.0, 1.5)],
        source: &src::FAO_AFFRIS,
        valid: "fry 6 to 10 %, fingerlings 2 to 5 %, broodfish 1 to 2 %; the sizes between are our reading, food fish are fed to satiation",
    },
    appetite: Curve {
        x: "water, degC",
        y: "share of the full ration",
        points: &[(12.0, 0.2), (18.0, 0.25), (21.0, 0.4), (26.0, 1.0), (29.0, 1.0), (33.0, 0.0)],
        source: &src::FWS_CATFISH,
        valid: "growth poor below 21 and nil below 18 degC; between 12 and 18 about 1 % on alternate days for food fish; between points our reading; nil at the feeding stop",
    },
};

static CARP: Ration = Ration::Temperature(Scaled {
    maintenance: Curve {
        x: "water, degC",
        y: "ration that holds the weight, % of body mass a day",
        points: &[(12.0, 0.40), (18.0, 0.75), (24.0, 1.20), (30.0, 1.90)],
        source: &src::GOOLISH_ADELMAN_1984,
        valid: "juveniles, 12 to 30 degC",
    },
    growth: Curve {
        x: "water, degC",
        y: "largest growth, % of body mass a day",
        points: &[(8.0, 0.0), (12.0, 0.71), (18.0, 2.31), (24.0, 3.12), (30.0, 3.32), (32.0, 3.04), (33.0, 0.0)],
        source: &src::GOOLISH_ADELMAN_1984,
        valid: "juveniles, 12 to 30 degC; at 32 the part of that at 28 that fry grew (3.57 to 3.82 % a day, Desai & Singh 2009); nil at the feeding stops",
    },
    mass: Coef::new(
        10.0,
        "g",
        &src::SPECIES_JUDGEMENT,
        "juveniles of the growth table; with it fish over 250 g get the 1.5 to 2 % of ponds",
    ),
    most: Coef::new(6.0, "%/day", &src::DESAI_SINGH_2009, "best for fry of 0.86 g at 28 degC"),
});

static TROUT: Ration = Ration::Grid(&TROUT_GRID);
/// The largest ration of fish that have no table.
const MOST_OF_FRY: Coef = Coef::new(10.0, "%/day", &src::SPECIES_JUDGEMENT, "fry; no table is known for these fish");
static FROM_GROWTH: Ration = Ration::Growth { most: MOST_OF_FRY, by_warmth: None };
/// Growth of barramundi hardly falls for 4 °C on either side of its best.
static BARRAMUNDI: Ration = Ration::Growth {
    most: MOST_OF_FRY,
    by_warmth: Some(Curve {
        x: "water, degC",
        y: "share of the fastest growth",
        points: &[(20.0, 0.0), (24.0, 0.65), (27.4, 0.9), (31.4, 1.0), (35.0, 0.9)],
        source: &src::KATERSKY_CARTER_2007,
        valid: "1 at 31.4 degC and 0.9 at 4 degC from it; at 24 what the parabola through these has (0.66); nil at 20, where they are said to eat almost nothing; not fed past the feeding stop",
    }),
};

/// Feeding chart of rainbow trout, dry feed.
///
/// At 67 and 68 °F the second column jumps from 7.8 to 9.1 where its neighbours rise by 0.3: probably a slip of the reprint for 8.1 and 8.4.
/// Another small step stands at 53 to 54 °F in the class of 8 to 9 inches (1.1 to 1.3). Both are kept as printed; rows above 64 °F are not used,
/// because warm trout should be fed less and not more.
pub static TROUT_GRID: Grid = Grid {
    first: Coef::new(36.0, "degF", &src::LEITRITZ_LEWIS_1980, "first row"),
    last: Coef::new(64.0, "degF", &src::SPECIES_JUDGEMENT, "printed to 68; warm trout should be fed less and not more"),
    // 2542, 304, 88.3, 37.8, 19.7, 11.6, 7.35, 4.94, 3.47 and 2.53 fish per pound: lengths of 1 to 10 inches.
    classes: [0.178, 1.492, 5.137, 12.0, 23.02, 39.1, 61.7, 91.8, 130.7, 179.3],
    rows: TROUT_ROWS,
    source: &src::LEITRITZ_LEWIS_1980,
};

#[rustfmt::skip]
const TROUT_ROWS: [[f64; 11]; 33] = [
    [2.7, 2.2, 1.7, 1.3, 1.0, 0.8, 0.7, 0.6, 0.5, 0.5, 0.4],
    [2.7, 2.3, 1.8, 1.4, 1.1, 0.9, 0.7, 0.6, 0.5, 0.5, 0.4],
    [2.9, 2.4, 2.0, 1.5, 1.2, 0.9, 0.8, 0.7, 0.6, 0.5, 0.5],
    [3.0, 2.5, 2.2, 1.7, 1.3, 0.9, 0.8, 0.7, 0.6, 0.6, 0.5],
    [3.2, 2.6, 2.2, 1.7, 1.3, 1.0, 0.9, 0.8, 0.7, 0.6, 0.5],
    [3.3, 2.8, 2.2, 1.8, 1.4, 1.1, 0.9, 0.8, 0.7, 0.6, 0.5],
    [3.5, 2.8, 2.4, 1.8, 1.4, 1.2, 0.9, 0.8, 0.7, 0.6, 0.5],
    [3.6, 3.0, 2.5, 1.9, 1.4, 1.2, 1.0, 0.9, 0.8, 0.7, 0.6],
    [3.8, 3.1, 2.5, 2.0, 1.5, 1.3, 1.0, 0.9, 0.8, 0.8, 0.6],
    [4.0, 3.3, 2.7, 2.1, 1.6, 1.3, 1.1, 1.0, 0.9, 0.8, 0.7],
    [4.1, 3.4, 2.8, 2.2, 1.7, 1.4, 1.2, 1.0, 0.9, 0.8, 0.7],
    [4.3, 3.6, 3.0, 2.3, 1.7, 1.4, 1.2, 1.0, 0.9, 0.8, 0.7],
    [4.5, 3.8, 3.0, 2.4, 1.8, 1.5, 1.3, 1.1, 1.0, 0.9, 0.8],
    [4.7, 3.9, 3.2, 2.5, 1.9, 1.5, 1.3, 1.1, 1.0, 0.9, 0.8],
    [5.2, 4.3, 3.4, 2.7, 2.0, 1.7, 1.4, 1.2, 1.1, 1.0, 0.9],
    [5.4, 4.5, 3.5, 2.8, 2.1, 1.7, 1.5, 1.3, 1.1, 1.0, 0.9],
    [5.4, 4.5, 3.6, 2.8, 2.1, 1.7, 1.5, 1.3, 1.1, 1.0, 0.9],
    [5.6, 4.7, 3.8, 2.9, 2.2, 1.8, 1.5, 1.3, 1.1, 1.1, 1.0],
    [5.8, 4.9, 3.9, 3.0, 2.3, 1.9, 1.6, 1.4, 1.3, 1.1, 1.0],
    [6.1, 5.1, 4.2, 3.2, 2.4, 2.0, 1.6, 1.4, 1.3, 1.1, 1.0],
    [6.3, 5.3, 4.3, 3.3, 2.5, 2.0, 1.7, 1.5, 1.3, 1.2, 1.0],
    [6.7, 5.5, 4.5, 3.5, 2.6, 2.1, 1.8, 1.5, 1.4, 1.2, 1.1],
    [7.0, 5.8, 4.8, 3.6, 2.7, 2.2, 1.9, 1.6, 1.4, 1.3, 1.2],
    [7.3, 6.0, 5.0, 3.7, 2.8, 2.3, 1.9, 1.7, 1.5, 1.3, 1.2],
    [7.5, 6.3, 5.1, 3.9, 3.0, 2.4, 2.0, 1.7, 1.5, 1.4, 1.3],
    [7.8, 6.5, 5.3, 4.1, 3.1, 2.5, 2.0, 1.8, 1.6, 1.4, 1.3],
    [8.1, 6.7, 5.5, 4.3, 3.2, 2.6, 2.1, 1.8, 1.6, 1.5, 1.4],
    [8.4, 7.0, 5.7, 4.5, 3.4, 2.7, 2.1, 1.9, 1.7, 1.5, 1.4],
    [8.7, 7.2, 5.9, 4.7, 3.5, 2.8, 2.2, 1.9, 1.7, 1.6, 1.5],
    [9.0, 7.5, 6.1, 4.9, 3.6, 2.9, 2.2, 2.0, 1.8, 1.6, 1.5],
    [9.3, 7.8, 6.3, 5.1, 3.8, 3.0, 2.3, 2.0, 1.8, 1.6, 1.6],
    [9.6, 9.1, 6.6, 5.3, 3.9, 3.1, 2.4, 2.1, 1.9, 1.7, 1.6],
    [9.9, 9.4, 6.9, 5.5, 4.0, 3.2, 2.5, 2.1, 2.0, 1.8, 1.7],
];

/// How this species is fed.
pub fn ration(species: &Species) -> &'static Ration {
    match species.id {
        "tilapia" | "blue_tilapia" => &TILAPIA,
        "catfish" => &CATFISH,
        "carp" => &CARP,
        "trout" => &TROUT,
        "barramundi" => &BARRAMUNDI,
        _ => &FROM_GROWTH,
    }
}

/// Pellet and meals for a size of fish.
#[derive(Debug, PartialEq)]
pub struct Meal {
    /// Fish up to this mass, g.
    pub up_to: f64,
    /// Pellet, mm; none for powder.
    pub pellet: Option<f64>,
    /// What it is called.
    pub name: &'static str,
    /// Meals a day in warm water.
    pub meals: f64,
}

/// Pellets and meals by size of fish ([`src::MEAL_PRACTICE`]).
pub static MEALS: [Meal; 7] = [
    Meal { up_to: 0.5, pellet: None, name: "powder", meals: 8.0 },
    Meal { up_to: 5.0, pellet: Some(1.0), name: "crumble", meals: 6.0 },
    Meal { up_to: 20.0, pellet: Some(1.5), name: "pellets", meals: 4.0 },
    Meal { up_to: 50.0, pellet: Some(2.0), name: "pellets", meals: 4.0 },
    Meal { up_to: 150.0, pellet: Some(3.0), name: "pellets", meals: 3.0 },
    Meal { up_to: 500.0, pellet: Some(4.5), name: "pellets", meals: 2.0 },
    Meal { up_to: f64::INFINITY, pellet: Some(6.0), name: "pellets", meals: 2.0 },
];

/// Bulk density of pellets, g/mL.
pub const PELLET_DENSITY: Coef =
    Coef::new(0.45, "kg/L", &src::MEAL_PRACTICE, "floating pellets; sinking ones about 0.6");

/// Pellet and meals for a fish of this mass in grams.
pub fn meal(grams: f64) -> &'static Meal {
    MEALS.iter().find(|m| grams <= m.up_to).unwrap_or(&MEALS[MEALS.len() - 1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::species::SPECIES;

    #[test]
    fn the_trout_table_is_copied_whole() {
        // Column sums of the reprinted chart (Leitritz & Lewis 1980), added up apart from this file.
        let columns = [189.4, 159.8, 128.6, 100.4, 75.5, 61.0, 50.0, 43.5, 38.8, 35.0, 31.7];
        for (i, sum) in columns.into_iter().enumerate() {
            let found: f64 = TROUT_ROWS.iter().map(|r| r[i]).sum();
            assert!((found - sum).abs() < 1e-6, "column {i}: {found}");
        }
        // Size classes from the number of fish per pound that the chart prints.
        let per_pound = [2542.0, 304.0, 88.3, 37.8, 19.7, 11.6, 7.35, 4.94, 3.47, 2.53];
        for (class, n) in TROUT_GRID.classes.into_iter().zip(per_pound) {
            assert!((class / (453.59237 / n) - 1.0).abs() < 3e-3, "{class}");
        }
    }

    #[test]
    fn bigger_trout_eat_a_smaller_share_and_warmer_ones_more() {
        for r in &TROUT_ROWS {
            assert!(r.is_sorted_by(|a, b| a >= b), "{r:?}");
        }
        for (a, b) in TROUT_ROWS.iter().zip(&TROUT_ROWS[1..]) {
            assert!(a.iter().zip(b).all(|(a, b)| a <= b), "{a:?}");
        }
    }

    #[test]
    fn curves_rise_in_x_and_every_species_is_fed() {
        for s in &SPECIES {
            let curves: Vec<&Curve> = match ration(s) {
                Ration::Size { by_mass, appetite } => vec![by_mass, appetite],
                Ration::Temperature(t) => vec![&t.maintenance, &t.growth],
                Ration::Growth { by_warmth, .. } => by_warmth.iter().collect(),
                Ration::Grid(_) => vec![],
            };
            for c in curves {
                assert!(c.points.is_sorted_by(|a, b| a.0 < b.0), "{}", c.x);
            }
        }
        // A share of the fastest growth is one where the species grows fastest.
        for s in &SPECIES {
            if let Ration::Growth { by_warmth: Some(c), .. } = ration(s) {
                assert!(
                    c.points.contains(&(s.growth.peak.value, 1.0)) && c.points.iter().all(|p| p.1 <= 1.0),
                    "{}",
                    s.id
                );
            }
        }
        assert_eq!((meal(35.0).pellet, meal(1e6).pellet, meal(0.1).pellet), (Some(2.0), Some(6.0), None));
    }
}
