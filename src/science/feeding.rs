//! How much fish eat: rations by species, size and water temperature, and when a reading says to cut or stop.
//!
//! Tables are of [`crate::catalog::feeding`]. Published rations scatter by a quarter either way with the feed, the strain and the keeping; none
//! replaces watching whether the fish clear a meal within minutes.

use crate::catalog::feeding::{self, Grid, Ration, Scaled};
use crate::catalog::sources::{Coef, Source, biology as src};
use crate::catalog::species::Species;
use crate::science::{ammonia, growth, mixing::PH_BORNE, treatment};
use crate::units::kinds::{DAILY_SHARE, FEED_RATE, PERCENT};
use crate::units::si::{ZERO_CELSIUS, fahrenheit_of, g, of_fahrenheit, percent_day};
use crate::units::{Mass, MassConcentration, MassRate, Ratio, SpecificRate, ThermodynamicTemperature};

/// The smallest fish the tables speak of, g.
const SMALLEST: Coef = Coef::new(0.02, "g", &src::SRAC_282_TABLE, "first row; smaller counts as this");

/// How the water's temperature lets a species feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Appetite {
    /// Below the temperature at which feeding stops.
    TooCold,
    /// It eats, but less than in its good band.
    Cool,
    /// Its good band.
    Good,
    /// Above its good band: what is fed has passed its most, or soon does.
    Warm,
    /// Above the temperature at which feeding must stop.
    TooHot,
}

impl Appetite {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TooCold => "too cold to feed",
            Self::Cool => "cool: they eat less",
            Self::Good => "good for feeding",
            Self::Warm => "rather warm",
            Self::TooHot => "too hot to feed",
        }
    }
    /// Nothing is fed.
    pub const fn stops(self) -> bool {
        matches!(self, Self::TooCold | Self::TooHot)
    }
}

/// How water of temperature `t` lets `species` feed, by the limits of the catalogue.
pub fn appetite(species: &Species, t: ThermodynamicTemperature) -> Appetite {
    if t < species.stops_below() {
        Appetite::TooCold
    } else if t < species.well_from() {
        Appetite::Cool
    } else if t <= species.well_to() {
        Appetite::Good
    } else if t <= species.stops_above() {
        Appetite::Warm
    } else {
        Appetite::TooHot
    }
}

/// Reads a table by straight lines, by its ends outside.
pub(super) fn along(points: &[(f64, f64)], x: f64) -> f64 {
    read(points, x, |x| x)
}

/// Reads a table by straight lines in the logarithm of the first column.
fn along_log(points: &[(f64, f64)], x: f64) -> f64 {
    read(points, x, f64::ln)
}

fn read(points: &[(f64, f64)], x: f64, scale: impl Fn(f64) -> f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return 0.0 };
    if x <= first.0 {
        return first.1;
    }
    let Some(i) = points.iter().position(|p| x <= p.0) else { return last.1 };
    let (a, b) = (points[i - 1], points[i]);
    let share = (scale(x) - scale(a.0)) / (scale(b.0) - scale(a.0));
    a.1 + share * (b.1 - a.1)
}

/// Daily ration of a fish, as a share of its mass.
///
/// Tilapia and catfish: a table by mass (straight in ln mass) times the share of appetite by temperature. Trout: the chart of Leitritz & Lewis
/// 1980, straight between its temperatures and in ln mass between the middles of its size classes, held above 64 °F and falling to nil where
/// feeding stops. Carp: growth at full ration by temperature (Goolish & Adelman 1984) times the feed per gain, with (10 g / mass)^(1/3), at most
/// 6 %. Barramundi and jade perch: growth by the thermal coefficient times the feed per gain, at most 10 %; that of barramundi by its share of the
/// fastest at this temperature (Katersky & Carter 2007).
///
/// `mass` of one fish, above nothing; `t` any temperature: outside the species' feeding limits the ration is nil. Total: never an error. Accuracy
/// about a quarter either way.
///
/// ```
/// use brimwise::{catalog::species::Species, science::feeding, units::{kinds::*, si::*}};
/// let trout = Species::by_id("trout").unwrap();
/// let r = feeding::ration(trout, SMALL_MASS.of(g(100.0)), TEMPERATURE.of(celsius(10.0)));
/// assert!((r.value - percent_day(1.1)).abs() < percent_day(0.05)); // the chart at 50 °F, 92 to 131 g
/// ```
pub fn ration(species: &Species, mass: Mass, t: ThermodynamicTemperature) -> SpecificRate {
    let grams = (mass.value / g(1.0)).max(SMALLEST.value);
    let celsius = t.value - ZERO_CELSIUS;
    let fed = if appetite(species, t).stops() || !celsius.is_finite() || !grams.is_finite() {
        0.0
    } else {
        match feeding::ration(species) {
            Ration::Size { by_mass, appetite } => along_log(by_mass.points, grams) * along(appetite.points, celsius),
            Ration::Grid(grid) => of_grid(grid, species, grams, celsius),
            Ration::Temperature(table) => of_growth_table(table, species, grams, celsius),
            Ration::Growth { most, .. } => {
                let gain = growth::gain(mass, growth::middle(species), growth::effective(species, t));
                (gain.value / mass.value * middle_fcr(species) / percent_day(1.0)).min(most.value)
            }
        }
    };
    DAILY_SHARE.of(percent_day(fed))
}

/// From how far below the end of the good band the way up to hot water is looked at (trout eat most at 64 °F, a little below it), and how finely.
const WAY_UP: [Coef; 2] = [
    Coef::new(1.0, "K", &src::FED_BEFORE, "below the end of the good band"),
    Coef::new(0.25, "K", &src::FED_BEFORE, "up to the feeding stop"),
];

/// Daily ration that filter and solids still work off in water of temperature `t`: up to the upper end of the good band the [`ration`], in hotter
/// water the largest on the way there. So nothing that follows from the feed falls on a hot day ([`src::FED_BEFORE`]).
pub fn ration_before(species: &Species, mass: Mass, t: ThermodynamicTemperature) -> SpecificRate {
    let (well, stop) = (species.well_to().value, species.stops_above().value);
    let fed = |t: f64| ration(species, mass, ThermodynamicTemperature { value: t, ..species.well_to() }).value;
    let top = t.value.min(stop);
    let mut most = fed(t.value);
    let mut at = well - WAY_UP[0].value;
    while at <= top {
        most = most.max(fed(at));
        at += WAY_UP[1].value;
    }
    DAILY_SHARE.of(most)
}

/// Ration that only holds the weight, where a table exists (carp), as a share of the fish's mass a day.
pub fn maintenance(species: &Species, mass: Mass, t: ThermodynamicTemperature) -> Option<SpecificRate> {
    match feeding::ration(species) {
        Ration::Temperature(table) => {
            let grams = (mass.value / g(1.0)).max(SMALLEST.value);
            let share = along(table.maintenance.points, t.value - ZERO_CELSIUS) * size_factor(table, grams);
            Some(DAILY_SHARE.of(percent_day(share)))
        }
        _ => None,
    }
}

/// Where the ration of a species comes from.
pub fn source(species: &Species) -> &'static Source {
    match feeding::ration(species) {
        Ration::Size { by_mass, .. } => by_mass.source,
        Ration::Grid(grid) => grid.source,
        Ration::Temperature(table) => table.growth.source,
        Ration::Growth { by_warmth: Some(curve), .. } => curve.source,
        Ration::Growth { by_warmth: None, .. } => species.growth.slow.source,
    }
}

/// Feed per gain in the middle of the species' range.
fn middle_fcr(species: &Species) -> f64 {
    let (low, high) = species.fcr();
    (low.value + high.value) / 2.0
}

/// The middle of a size class in the logarithm of mass, g. The first begins with the smallest fish; the last is as wide as the one before it.
fn class_middle(ends: &[f64; 10], class: usize) -> f64 {
    let low = if class == 0 { SMALLEST.value } else { ends[class - 1] };
    let high = ends.get(class).copied().unwrap_or(low * low / ends[ends.len() - 2]);
    (low * high).sqrt()
}

fn of_grid(grid: &Grid, species: &Species, grams: f64, celsius: f64) -> f64 {
    let of_row = |row: usize| {
        along_log(&std::array::from_fn::<_, 11, _>(|k| (class_middle(&grid.classes, k), grid.rows[row][k])), grams)
    };
    let row = (fahrenheit_of(celsius) - grid.first.value).clamp(0.0, grid.last.value - grid.first.value);
    let low = (row.floor() as usize).min(grid.rows.len() - 2);
    let share = row - low as f64;
    let at = of_row(low) * (1.0 - share) + of_row(low + 1) * share;
    // Past the last row in use, straight down to nil where feeding stops.
    let last = of_fahrenheit(grid.last.value);
    let stop = species.warmth.stops_above.value;
    if celsius > last { at * ((stop - celsius) / (stop - last)).max(0.0) } else { at }
}

fn of_growth_table(table: &Scaled, species: &Species, grams: f64, celsius: f64) -> f64 {
    let growth = along(table.growth.points, celsius);
    (growth * size_factor(table, grams) * middle_fcr(species)).min(table.most.value)
}

/// Growth and ration as a share of mass fall with its cube root, as growth steady in length has it.
fn size_factor(table: &Scaled, grams: f64) -> f64 {
    (table.mass.value / grams).cbrt()
}

/// Feed a day of a stock: `ration x count x mass`.
pub fn feed(ration: SpecificRate, count: Ratio, mass: Mass) -> MassRate {
    FEED_RATE.of(ration.value * count.value * mass.value)
}

/// What was read in the water today.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// Dissolved oxygen before feeding.
    pub oxygen: MassConcentration,
    /// Total ammonia nitrogen.
    pub tan: MassConcentration,
    /// Its un-ionised part.
    pub unionised: MassConcentration,
    /// Nitrite nitrogen.
    pub nitrite: MassConcentration,
    /// Chloride, which holds it off.
    pub chloride: MassConcentration,
    /// pH.
    pub ph: Ratio,
}

/// Which reading cuts the feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// None.
    None,
    /// Oxygen.
    Oxygen,
    /// Ammonia.
    Ammonia,
    /// Nitrite.
    Nitrite,
    /// pH.
    Ph,
    /// Water so acid that the filter slows down.
    Acid,
}

impl Cut {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "nothing",
            Self::Oxygen => "oxygen",
            Self::Ammonia => "ammonia",
            Self::Nitrite => "nitrite",
            Self::Ph => "pH",
            Self::Acid => "low pH",
        }
    }
}

/// Feed past a limit of all ammonia, or of nitrite that chloride holds off, and past twice that limit, as a share.
const PAST_LIMIT: Coef =
    Coef::new(0.5, "1", &src::FEED_JUDGEMENT, "past the species' limit, up to twice it; nothing beyond");

/// What share of the ration to feed after today's readings, and which reading decides.
///
/// Oxygen: none below the species' floor, as fish that are short of it already would be by hours of digesting a meal: air first. Un-ionised
/// ammonia: none past the limit. All ammonia: half past the limit, none past twice it; so nitrite with chloride enough, and with less
/// none past the limit, which is lower then ([`treatment::nitrite_borne`]). None at a pH that fish do not bear. The least of them counts. Our
/// judgement on published limits.
pub fn after_readings(species: &Species, read: &Readings) -> (Ratio, Cut) {
    let (share, cut) =
        by_reading(species, read).into_iter().fold((1.0, Cut::None), |a, b| if b.0 < a.0 { b } else { a });
    (PERCENT.of(share), cut)
}

/// What share of the ration to feed in acid water: as much as a filter keeps of its rate, half at the least down to where it nearly stops, and none
/// below (source `filter_ph`, as [`ammonia::acid_share`]).
pub fn in_acid_water(ph: Ratio) -> Ratio {
    let stops = ph.value < ammonia::ACID[1].value;
    if stops { PERCENT.of(0.0) } else { ammonia::acid_share(ph).max(PERCENT.of(PAST_LIMIT.value)) }
}

/// The share that each of them allows.
pub fn by_reading(species: &Species, read: &Readings) -> [(f64, Cut); 5] {
    let step = |x: MassConcentration, limit: MassConcentration, none: f64| match x / limit {
        over if over.value > none => 0.0,
        over if over.value > 1.0 => PAST_LIMIT.value,
        _ => 1.0,
    };
    let held = read.chloride >= treatment::chloride_for(species, treatment::nitrite_of(read.nitrite));
    let nitrite = treatment::nitrite_borne(species, read.chloride);
    let [low, high] = PH_BORNE.map(|c| c.value);
    [
        (if read.oxygen < species.oxygen_floor() { 0.0 } else { 1.0 }, Cut::Oxygen),
        (step(read.unionised, species.unionised_limit(), 1.0), Cut::Ammonia),
        (step(read.tan, species.tan_limit(), 2.0), Cut::Ammonia),
        (step(read.nitrite, nitrite, if held { 2.0 } else { 1.0 }), Cut::Nitrite),
        (if (low..=high).contains(&read.ph.value) { 1.0 } else { 0.0 }, Cut::Ph),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::species::SPECIES;
    use crate::units::kinds::{CONCENTRATION, COUNT, RATIO, SMALL_MASS, TEMPERATURE};
    use crate::units::si::{celsius, g_day, mg_l};

    fn of(id: &str) -> &'static Species {
        Species::by_id(id).unwrap_or_else(|| panic!("{id}"))
    }
    fn share(id: &str, grams: f64, c: f64) -> f64 {
        ration(of(id), SMALL_MASS.of(g(grams)), TEMPERATURE.of(celsius(c))).value / percent_day(1.0)
    }
    fn near(found: f64, expect: f64, tolerance: f64) {
        assert!((found - expect).abs() <= tolerance, "{found} is not {expect}");
    }

    /// A hot spell leaves behind what it met: what is still worked off never falls as the water warms, and is the ration as long as they feed well.
    #[test]
    fn what_was_fed_before_a_hot_day_still_counts() {
        for s in &SPECIES {
            for grams in [5.0, 50.0, 250.0, 900.0] {
                let mut last = 0.0;
                for n in 0..=160 {
                    let t = TEMPERATURE.of(celsius(f64::from(n) * 0.25));
                    let before = ration_before(s, SMALL_MASS.of(g(grams)), t).value;
                    let now = ration(s, SMALL_MASS.of(g(grams)), t).value;
                    assert!(before >= now && before >= last * 0.985, "{} {grams} g {n}", s.id);
                    assert!(t.value > s.well_to().value - 1.0 || before == now, "{}", s.id);
                    last = before;
                }
                assert!(last > 0.0);
            }
        }
    }

    #[test]
    fn tilapia_by_the_table_of_srac_282() {
        // SRAC 282, Table 1 (from memory), between rows in ln mass: 35 g 5.17 %, where a keepers' example reads 5.5 by eye; 175 g 2.28 %.
        near(share("tilapia", 35.0, 28.0), 5.17, 0.005);
        near(share("tilapia", 175.0, 28.0), 2.28, 0.005);
        // The rows themselves: 20 to 50 g from 7 to 4 % (seen quoted), fry 20 falling to 15 % (seen).
        for (grams, percent) in [(20.0, 7.0), (50.0, 4.0), (0.02, 20.0), (0.5, 15.0), (450.0, 1.0), (900.0, 1.0)] {
            near(share("tilapia", grams, 28.0), percent, 1e-9);
        }
        // FAO Technical Paper 589, section 7.3: grow-out fish eat 1 to 2 % a day.
        for grams in [200.0, 300.0, 450.0] {
            assert!((1.0..=2.0).contains(&share("tilapia", grams, 28.0)), "{grams}");
        }
    }

    #[test]
    fn trout_by_leitritz_and_lewis_1980() {
        // 50 °F, 92 to 131 g: 1.1 %; 59 °F, 12 to 23 g: 2.8 %; 54 °F, over 179 g: 1.0 %.
        near(share("trout", (91.8f64 * 130.7).sqrt(), 10.0), 1.1, 1e-9);
        near(share("trout", (12.0f64 * 23.02).sqrt(), 15.0), 2.8, 1e-9);
        near(share("trout", 250.0, (54.0 - 32.0) / 1.8), 1.0, 1e-9);
        // Never more above 64 °F, and nothing above 21 °C.
        assert!(share("trout", 1.0, 19.5) < share("trout", 1.0, 17.0));
        assert_eq!((share("trout", 100.0, 21.5), share("trout", 100.0, 1.0)), (0.0, 0.0));
        // Through the whole chart the value in the middle of a class at a whole degree Fahrenheit is the one printed.
        let ends = [0.02f64, 0.178, 1.492, 5.137, 12.0, 23.02, 39.1, 61.7, 91.8, 130.7, 179.3, 600.0];
        let masses: Vec<_> = ends.windows(2).map(|w| (w[0] * w[1]).sqrt()).collect();
        for (row, printed) in feeding::TROUT_GRID.rows.iter().enumerate().take(29) {
            for (class, &grams) in masses.iter().enumerate() {
                near(share("trout", grams, (36.0 + row as f64 - 32.0) / 1.8), printed[class], 1e-9);
            }
        }
    }

    #[test]
    fn carp_by_goolish_and_adelman_1984() {
        // Growth at 24 °C 3.12 % a day, upkeep 1.20 %: a 10 g fish eats its growth times the feed per gain.
        near(share("carp", 10.0, 24.0), 3.12 * 1.85, 0.01);
        let keep = maintenance(of("carp"), SMALL_MASS.of(g(10.0)), TEMPERATURE.of(celsius(24.0)));
        near(keep.map_or(0.0, |k| k.value / percent_day(1.0)), 1.20, 1e-9);
        // Desai & Singh 2009: 6 % is best for fry. FAO AFFRIS: ponds stop at 1.5 to 2 %.
        near(share("carp", 0.86, 28.0), 6.0, 1e-9);
        for grams in [300.0, 500.0, 700.0] {
            assert!((1.4..=2.0).contains(&share("carp", grams, 25.0)), "{grams}: {}", share("carp", grams, 25.0));
        }
        assert_eq!(share("carp", 100.0, 7.9), 0.0);
        assert_eq!(maintenance(of("trout"), SMALL_MASS.of(g(10.0)), TEMPERATURE.of(celsius(12.0))), None);
    }

    /// Every table ends where the catalogue says that the species stops feeding, so that no page gives a limit beside a nil ration short of it.
    #[test]
    fn a_table_ends_where_feeding_stops() {
        for s in &SPECIES {
            let (low, high) = (s.warmth.stops_below.value, s.warmth.stops_above.value);
            for grams in [1.0, 100.0, 600.0] {
                assert!(share(s.id, grams, low + 0.1) > 0.0 && share(s.id, grams, high - 0.1) > 0.0, "{}", s.id);
                assert!(share(s.id, grams, low - 0.01) == 0.0 && share(s.id, grams, high + 0.01) == 0.0, "{}", s.id);
            }
        }
    }

    /// Katersky & Carter 2007: nine tenths of the fastest growth from 27.4 °C on. A straight line from 20 °C had barramundi eat half of that at 24.
    #[test]
    fn barramundi_eat_well_from_27_on() {
        let best = share("barramundi", 300.0, 31.4);
        near(share("barramundi", 300.0, 27.4) / best, 0.9, 1e-9);
        near(share("barramundi", 300.0, 24.0) / best, 0.65, 1e-9);
        near(share("barramundi", 300.0, 35.0) / best, 0.9, 1e-9);
        assert_eq!(source(of("barramundi")).key, "katersky_carter_2007");
    }

    #[test]
    fn catfish_by_fao_affris() {
        for (grams, low, high) in [(0.5, 6.0, 10.0), (20.0, 2.0, 5.0), (60.0, 2.0, 5.0), (1500.0, 1.0, 2.0)] {
            let r = share("catfish", grams, 27.5);
            assert!((low..=high).contains(&r), "{grams}: {r}");
        }
        // Proceedings of SEAFWA 1974: 1 % on alternate days above 54 °F is 0.5 % a day for food fish.
        near(share("catfish", 400.0, 14.0), 0.5, 0.06);
        assert_eq!(share("catfish", 400.0, 11.9), 0.0);
    }

    #[test]
    fn tilapia_eat_little_below_24_and_a_third_at_22() {
        // SRAC 283: growth at 29 to 31 °C is about three times that at 22 °C (72 °F), and feed goes with it.
        near(share("tilapia", 200.0, 30.0) / share("tilapia", 200.0, 22.0), 3.0, 0.01);
        // Common practice, no source: tilapia eat little below about 24 °C.
        assert!(share("tilapia", 200.0, 23.0) < 0.5 * share("tilapia", 200.0, 28.0));
        // FAO Technical Paper 589: none below 17 °C.
        assert_eq!(share("tilapia", 200.0, 16.9), 0.0);
    }

    #[test]
    fn feed_of_a_stock() {
        // A keepers' forum: 100 fish of 35 g at 5.5 % get 192.5 g a day. FAO S4314E: 10 000 fish of 10 g at 7 % get 7 kg.
        // Losordo & DeLong 2015: 50 m3 at 80 kg/m3 fed 1.5 % get 60 kg a day.
        for (count, grams, percent, feed_g) in
            [(100.0, 35.0, 5.5, 192.5), (10_000.0, 10.0, 7.0, 7000.0), (8000.0, 500.0, 1.5, 60_000.0)]
        {
            let f = feed(DAILY_SHARE.of(percent_day(percent)), COUNT.of(count), SMALL_MASS.of(g(grams)));
            near(f.value / g_day(1.0), feed_g, 1e-6 * feed_g);
        }
    }

    #[test]
    fn bigger_fish_eat_more_but_a_smaller_share() {
        let rises = |s: &Species, t: ThermodynamicTemperature, masses: &[f64]| {
            let shares: Vec<_> = masses.iter().map(|&m| ration(s, SMALL_MASS.of(g(m)), t).value).collect();
            assert!(shares.is_sorted_by(|a, b| *a >= b * (1.0 - 1e-9)), "{}: {shares:?}", s.id);
            let fed: Vec<_> = masses.iter().zip(&shares).map(|(m, r)| m * r).collect();
            assert!(fed.is_sorted_by(|a, b| a < b), "{}: {fed:?}", s.id);
        };
        for s in &SPECIES {
            let t = TEMPERATURE.of((s.well_from().value + s.well_to().value) / 2.0);
            rises(s, t, &[0.2, 1.0, 5.0, 20.0, 60.0, 200.0, 600.0, 1500.0]);
        }
        // The chart of trout has classes: closely, so that no edge of one is stepped over.
        let masses: Vec<_> = (0..1200).map(|n| 0.05 * 1.009f64.powi(n)).collect();
        for c in [4.0, 8.0, 10.0, 12.0, 14.5, 17.0, 19.0] {
            rises(of("trout"), TEMPERATURE.of(celsius(c)), &masses);
        }
    }

    #[test]
    fn nothing_is_fed_outside_the_limits_and_nothing_is_not_a_number() {
        for s in &SPECIES {
            for c in [-40.0, s.warmth.stops_below.value - 0.1, s.warmth.stops_above.value + 0.1, 90.0, f64::NAN] {
                assert_eq!(ration(s, SMALL_MASS.of(g(100.0)), TEMPERATURE.of(celsius(c))).value, 0.0, "{} {c}", s.id);
            }
            for c in 0..40 {
                for m in [0.0, 1e-9, 0.3, 1e9] {
                    let r = ration(s, SMALL_MASS.of(g(m)), TEMPERATURE.of(celsius(f64::from(c))));
                    assert!(r.value.is_finite() && r.value >= 0.0, "{} {c} {m}", s.id);
                }
            }
        }
    }

    #[test]
    fn readings_cut_and_stop() {
        let tilapia = of("tilapia");
        let salted = |o: f64, tan: f64, nitrite: f64, chloride: f64| {
            let r = Readings {
                oxygen: CONCENTRATION.of(mg_l(o)),
                tan: CONCENTRATION.of(mg_l(tan)),
                unionised: CONCENTRATION.of(mg_l(tan * 0.01)),
                nitrite: CONCENTRATION.of(mg_l(nitrite)),
                chloride: CONCENTRATION.of(mg_l(chloride)),
                ph: RATIO.of(7.0),
            };
            let (share, why) = after_readings(tilapia, &r);
            (share.value, why)
        };
        let cut = |o, tan, nitrite| salted(o, tan, nitrite, 100.0);
        assert_eq!(cut(6.0, 0.2, 0.1), (1.0, Cut::None));
        assert_eq!(cut(2.3, 0.2, 0.1), (0.0, Cut::Oxygen));
        // Below what they want nothing, not half of the ration: a meal takes more oxygen for hours, and it comes up within one with air. So the page on
        // oxygen and the check of a system have it: "feed nothing, put more air in".
        assert_eq!([2.35, 3.15, 3.99].map(|c| cut(c, 0.2, 0.1)), [(0.0, Cut::Oxygen); 3]);
        assert_eq!(cut(4.0, 0.2, 0.1), (1.0, Cut::None));
        assert_eq!(cut(6.0, 1.5, 0.1), (0.5, Cut::Ammonia));
        assert_eq!(cut(6.0, 1.5, 2.5), (0.0, Cut::Nitrite));
        // Without chloride a tenth of the limit is the limit, and past it nothing is fed: the page on ammonia says to act today. With ten times the
        // nitrite of it half is fed up to twice the limit.
        assert_eq!(cut(6.0, 0.2, 0.15), (1.0, Cut::None));
        assert_eq!(salted(6.0, 0.2, 0.15, 0.0), (0.0, Cut::Nitrite));
        assert_eq!([40.0, 60.0].map(|cl| salted(6.0, 0.2, 1.5, cl)), [(0.0, Cut::Nitrite), (0.5, Cut::Nitrite)]);
        // Poisonous ammonia past its limit stops the feed at once, half of it before that nothing.
        let poison = |x: f64, ph: f64| {
            let r = Readings {
                oxygen: CONCENTRATION.of(mg_l(6.0)),
                tan: CONCENTRATION.of(mg_l(0.5)),
                unionised: CONCENTRATION.of(mg_l(x)),
                nitrite: CONCENTRATION.of(0.0),
                chloride: CONCENTRATION.of(mg_l(30.0)),
                ph: RATIO.of(ph),
            };
            let (share, why) = after_readings(tilapia, &r);
            (share.value, why)
        };
        assert_eq!([0.049, 0.051].map(|x| poison(x, 8.0)), [(1.0, Cut::None), (0.0, Cut::Ammonia)]);
        // European Inland Fisheries Advisory Commission 1969: from pH 5 to 9 none kills by itself.
        assert_eq!([4.9, 5.0, 9.0, 9.1].map(|ph| poison(0.0, ph).0), [0.0, 1.0, 1.0, 0.0]);
    }
}
