//! What fish and the bacteria that live on their waste breathe.
//!
//! Two ways to the fish's part: from the feed they eat, and from their mass and the temperature. The larger counts. The regressions on
//! mass are old and were partly recalled; each is held where its data end and it would turn or fall off, and carried on where it rises with the
//! warmth. None may lower what the feed alone asks for.

use super::doubled;
use super::oxygen_saturation::celsius;
use crate::catalog::sources::{Coef, Source, oxygen as src};
use crate::units::{
    Mass, MassRate, Ratio, SpecificRate, ThermodynamicTemperature,
    kinds::*,
    si::{fahrenheit_of, mg_kg_h},
};

const GRAMS: f64 = 1000.0;
const SHALLOW: &str = "fish fed dry pellets";

/// Oxygen the fish breathe per feed eaten.
pub const FISH_PER_FEED: Coef = Coef::new(0.25, "kg/kg", &src::OXYGEN_PER_FEED, SHALLOW);
/// Oxygen of a whole system per feed: fish, nitrifiers, bacteria on solids.
pub const SYSTEM_PER_FEED: Coef = Coef::new(0.5, "kg/kg", &src::OXYGEN_PER_FEED, SHALLOW);
/// Oxygen per nitrogen nitrified.
const PER_NITROGEN: Coef = Coef::new(4.57, "kg/kg", &src::NITRIFICATION_OXYGEN, "to nitrate");

/// Oxygen for a mass of feed a day: `M = F k`.
///
/// `feed` as fed; `per_feed` 0.25 for the fish alone, 0.5 for a whole system with its solids in it (0.4 to 1.0)
/// ([`src::OXYGEN_PER_FEED`], from memory, +-20 %).
pub fn from_feed(feed: MassRate, per_feed: Ratio) -> MassRate {
    feed * per_feed
}

/// Oxygen the nitrifiers take for a rate of ammonia nitrogen: `4.57 g per g N` ([`src::NITRIFICATION_OXYGEN`]).
pub fn nitrifiers(nitrogen: MassRate) -> MassRate {
    nitrogen * RATIO.of(PER_NITROGEN.value)
}

/// What becomes of the solids.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Solids {
    /// Drawn off every day.
    Drawn,
    /// They settle somewhere in the system and are drawn now and then.
    #[default]
    Settled,
    /// All stay. Kept for months they take more than is counted: all that is in feed asks for 1.25 kg of oxygen per kg ([`src::BOYD_FEED_OXYGEN`]), the
    /// fish's part and the nitrifiers' included.
    Left,
}

const SOLIDS: [Coef; 3] = [
    Coef::new(0.05, "kg/kg", &src::SOLIDS_OXYGEN, "drawn off daily"),
    Coef::new(0.13, "kg/kg", &src::SOLIDS_OXYGEN, "settled, drawn now and then"),
    Coef::new(0.25, "kg/kg", &src::SOLIDS_OXYGEN, "all left in; more where they stay for months (Boyd)"),
];

impl Solids {
    /// Oxygen that bacteria on the solids take per feed.
    pub const fn per_feed(self) -> Coef {
        match self {
            Self::Drawn => SOLIDS[0],
            Self::Settled => SOLIDS[1],
            Self::Left => SOLIDS[2],
        }
    }
}

/// A published regression of respiration on mass and temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Regression {
    /// Trout, Liao 1971.
    Trout,
    /// Nile tilapia, Khater et al. 2021.
    Tilapia,
    /// Channel catfish, Andrews & Matsuda 1975.
    Catfish,
}

impl Regression {
    /// The regression that fits a species of the catalogue, by its identifier.
    pub fn of(species: &str) -> Option<Self> {
        match species {
            "trout" => Some(Self::Trout),
            "tilapia" | "blue_tilapia" => Some(Self::Tilapia),
            "catfish" => Some(Self::Catfish),
            _ => None,
        }
    }
    /// Where it was published.
    pub const fn source(self) -> &'static Source {
        match self {
            Self::Trout => &src::LIAO_1971,
            Self::Tilapia => &src::KHATER_2021,
            Self::Catfish => &src::ANDREWS_MATSUDA_1975,
        }
    }
    /// The equation as published.
    pub const fn equation(self) -> &'static str {
        match self {
            Self::Trout => LIAO_EQUATION,
            Self::Tilapia => KHATER_EQUATION,
            Self::Catfish => ANDREWS_MATSUDA_EQUATION,
        }
    }
}

const LIAO_EQUATION: &str = "m = K T^a W^b (°F, lb), lb a day for 100 lb";
const KHATER_EQUATION: &str = "m = 2014.45 + 2.75 W - 165.2 T + 0.007 W² + 3.93 T² - 0.21 W T (g, °C), mg/kg/h";
const ANDREWS_MATSUDA_EQUATION: &str =
    "log10 m = -0.999 - 0.000957 W + 6.0e-7 W² + 0.0327 T - 8.7e-6 T² + 3.0e-7 W T (g, °C), g/kg/h, just fed";

/// K, a, b of Liao below and above 50 °F. Over 5 °F they rise by 43 % below 52 °F and by 19 % above; Piper et al. 1982, p. 356, lower the load of
/// hauled trout by 5.6 % for each °F all along, for what warm water holds and for carbon dioxide too ([`src::LIAO_1971`]).
const TROUT: [[Coef; 3]; 2] = [
    [
        Coef::new(1.90e-6, "lb/100 lb/day", &src::LIAO_1971, "trout up to 50 degF"),
        Coef::new(3.130, "1", &src::LIAO_1971, "trout up to 50 degF"),
        Coef::new(-0.138, "1", &src::LIAO_1971, "trout"),
    ],
    [
        Coef::new(3.05e-4, "lb/100 lb/day", &src::LIAO_1971, "trout above 50 degF"),
        Coef::new(1.855, "1", &src::LIAO_1971, "trout above 50 degF"),
        Coef::new(-0.138, "1", &src::LIAO_1971, "trout"),
    ],
];
/// Where the two branches meet, °F, and how far above it they are blended, because the recalled trout branches differ there by 9.5 %.
const BRANCH: [Coef; 2] = [
    Coef::new(50.0, "degF", &src::LIAO_1971, "branches meet"),
    Coef::new(52.0, "degF", &src::REGRESSION_CLAMPS, "end of the blend"),
];
/// Coldest and lightest of Liao's data; colder or lighter is taken as this.
const LIAO_LOW: [Coef; 2] = [
    Coef::new(4.0, "degC", &src::REGRESSION_CLAMPS, "end of the data, about"),
    Coef::new(2.0, "g", &src::REGRESSION_CLAMPS, "end of the data, about"),
];
/// One pound per hundred pounds a day, in mg/kg/h.
const LB_PER_100_LB_DAY: Coef = Coef::new(1e6 / 100.0 / 24.0, "mg/kg/h", &src::LIAO_1971, "conversion");
const POUND: f64 = 453.592_37;

fn liao(t: f64, w: f64) -> f64 {
    let f = fahrenheit_of(t.max(LIAO_LOW[0].value));
    let lb = w.max(LIAO_LOW[1].value) / POUND;
    let branch = |b: &[Coef; 3]| b[0].value * f.powf(b[1].value);
    let warm = ((f - BRANCH[0].value) / (BRANCH[1].value - BRANCH[0].value)).clamp(0.0, 1.0);
    let mut k = 0.0;
    if warm < 1.0 {
        k += (1.0 - warm) * branch(&TROUT[0]);
    }
    if warm > 0.0 {
        k += warm * branch(&TROUT[1]);
    }
    k * lb.powf(TROUT[0][2].value) * LB_PER_100_LB_DAY.value
}

const KHATER: [Coef; 6] = [
    Coef::new(2014.45, "mg/kg/h", &src::KHATER_2021, "24 to 32 degC, 3 to 209 g"),
    Coef::new(2.75, "mg/kg/h/g", &src::KHATER_2021, "24 to 32 degC, 3 to 209 g"),
    Coef::new(-165.2, "mg/kg/h/K", &src::KHATER_2021, "24 to 32 degC, 3 to 209 g"),
    Coef::new(0.007, "mg/kg/h/g2", &src::KHATER_2021, "24 to 32 degC, 3 to 209 g"),
    Coef::new(3.93, "mg/kg/h/K2", &src::KHATER_2021, "24 to 32 degC, 3 to 209 g"),
    Coef::new(-0.21, "mg/kg/h/(g K)", &src::KHATER_2021, "24 to 32 degC, 3 to 209 g"),
];
/// Coldest temperature and heaviest fish at which the tilapia regression is read.
const KHATER_HELD: [Coef; 2] = [
    Coef::new(24.0, "degC", &src::REGRESSION_CLAMPS, "end of the data"),
    Coef::new(100.0, "g", &src::REGRESSION_CLAMPS, "beyond it the curve falls too fast"),
];
/// How respiration per mass falls in heavier fish.
const MASS_POWER: Coef = Coef::new(-0.2, "1", &src::REGRESSION_CLAMPS, "fish beyond the data");

/// Nile tilapia, as published: `FR = 2014.45 + 2.75 W - 165.2 T + 0.007 W^2 + 3.93 T^2 - 0.21 W T` mg/kg/h, W in g, T in °C
/// ([`src::KHATER_2021`], equation 4; 24 to 32 °C, 3 to 209 g). Outside its data it turns and may rise or go negative: see [`rate`].
pub fn khater_2021(t: ThermodynamicTemperature, mass: Mass) -> SpecificRate {
    RESPIRATION.of(mg_kg_h(khater(celsius(t), mass.value * GRAMS)))
}

fn khater(t: f64, w: f64) -> f64 {
    let [a, b, c, d, e, f] = KHATER.map(|c| c.value);
    a + b * w + c * t + d * w * w + e * t * t + f * w * t
}

fn khater_held(t: f64, w: f64) -> f64 {
    // Up to 100 g it turns below 24 °C.
    let held = w.min(KHATER_HELD[1].value);
    khater(t.max(KHATER_HELD[0].value), held) * (w / held).powf(MASS_POWER.value)
}

const ANDREWS_MATSUDA: [Coef; 6] = [
    Coef::new(-0.999, "1", &src::ANDREWS_MATSUDA_1975, "turns near 790 g"),
    Coef::new(-0.000_957, "1/g", &src::ANDREWS_MATSUDA_1975, "turns near 790 g"),
    Coef::new(6.0e-7, "1/g2", &src::ANDREWS_MATSUDA_1975, "turns near 790 g"),
    Coef::new(0.032_7, "1/K", &src::ANDREWS_MATSUDA_1975, "turns near 790 g"),
    Coef::new(-8.7e-6, "1/K2", &src::ANDREWS_MATSUDA_1975, "turns near 790 g"),
    Coef::new(3.0e-7, "1/(g K)", &src::ANDREWS_MATSUDA_1975, "turns near 790 g"),
];

/// Channel catfish, as published: `log10 OC = -0.999 - 0.000957 W + 6.0e-7 W^2 + 0.0327 T - 8.7e-6 T^2 + 3.0e-7 W T` g/kg/h, W in g,
/// T in °C ([`src::ANDREWS_MATSUDA_1975`], from memory). It has its least value near 790 g and rises for heavier fish: see [`rate`].
pub fn andrews_matsuda_1975(t: ThermodynamicTemperature, mass: Mass) -> SpecificRate {
    RESPIRATION.of(mg_kg_h(andrews_matsuda(celsius(t), mass.value * GRAMS)))
}

fn andrews_matsuda(t: f64, w: f64) -> f64 {
    let [a, b, c, d, e, f] = ANDREWS_MATSUDA.map(|c| c.value);
    let log = a + b * w + c * w * w + d * t + e * t * t + f * w * t;
    (log * std::f64::consts::LN_10).exp() * GRAMS
}

fn andrews_matsuda_held(t: f64, w: f64) -> f64 {
    let [_, b, c, _, _, f] = ANDREWS_MATSUDA.map(|c| c.value);
    andrews_matsuda(t, w.min(-(b + f * t) / (2.0 * c)))
}

/// Trout: `O2 = K T^a W^b` lb a day per 100 lb, T in °F, W in lb ([`src::LIAO_1971`], from memory; about 4 to 20 °C, 2 g to 2 kg).
///
/// Between 50 and 52 °F the two branches are blended. Colder than 4 °C and lighter than 2 g count as those ends.
pub fn liao_1971(t: ThermodynamicTemperature, mass: Mass) -> SpecificRate {
    RESPIRATION.of(mg_kg_h(liao(celsius(t), mass.value * GRAMS)))
}

/// A regression held at the ends of its data ([`src::REGRESSION_CLAMPS`]), as published: the daily mean, or for catfish the rate of fish just fed.
///
/// Tilapia: T not below 24 °C, W not above 100 g, heavier fish by `(W/100)^-0.2`. Catfish: W not above the turning point near 790 g. Trout: see
/// [`liao_1971`]. Water warmer than the data, trout heavier and tilapia smaller than theirs are read off the equations as they go on: more in warmer
/// water, which is the safe side.
pub fn rate(regression: Regression, t: ThermodynamicTemperature, mass: Mass) -> SpecificRate {
    let (t, w) = (celsius(t), mass.value * GRAMS);
    RESPIRATION.of(mg_kg_h(match regression {
        Regression::Trout => liao(t, w),
        Regression::Tilapia => khater_held(t, w),
        Regression::Catfish => andrews_matsuda_held(t, w),
    }))
}

/// How the feed comes over the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Meals {
    /// Three meals or more, or a belt.
    #[default]
    Spread,
    /// One or two full meals.
    Few,
}

/// After-meal over mean respiration, feed spread over the day.
pub const PEAK_SPREAD: Coef = Coef::new(1.4, "1", &src::RESPIRATION_DAY, "three meals or more, or a belt");
/// After-meal over mean respiration, after one of one or two full meals.
pub const PEAK_FEW: Coef = Coef::new(2.0, "1", &src::RESPIRATION_DAY, "one or two full meals");
/// Respiration of fish unfed for a day over the mean of a feeding day.
pub const RESTING: Coef = Coef::new(0.7, "1", &src::RESPIRATION_DAY, "unfed for a day");

impl Meals {
    /// After-meal respiration over the mean of the day.
    pub const fn peak(self) -> Coef {
        match self {
            Self::Spread => PEAK_SPREAD,
            Self::Few => PEAK_FEW,
        }
    }
}

const ROUTINE: Coef = Coef::new(100.0, "mg/kg/h", &src::ROUTINE_RESPIRATION, "100 g, 20 degC");
const ROUTINE_AT: [Coef; 2] = [
    Coef::new(20.0, "degC", &src::ROUTINE_RESPIRATION, "reference"),
    Coef::new(100.0, "g", &src::ROUTINE_RESPIRATION, "reference"),
];

/// Least respiration of any kept fish: `100 mg/kg/h 2^((T-20)/10) (W/100 g)^-0.2` ([`src::ROUTINE_RESPIRATION`], judgement, +-50 %).
pub fn routine(t: ThermodynamicTemperature, mass: Mass) -> SpecificRate {
    let warm = (celsius(t) - ROUTINE_AT[0].value) / 10.0;
    let size = mass.value * GRAMS / ROUTINE_AT[1].value;
    RESPIRATION.of(mg_kg_h(ROUTINE.value * doubled(warm) * size.powf(MASS_POWER.value)))
}

/// Which estimate of the fish's demand is the largest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Governs {
    /// The feed.
    Feed,
    /// The regression on mass and temperature.
    Regression,
    /// The least that any fish breathes.
    Routine,
}

/// Respiration of a fish over a feeding day, by every estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DailyMean {
    /// From the feed.
    pub feed: SpecificRate,
    /// From the regression, if there is one, brought to the mean of a day.
    pub regression: Option<SpecificRate>,
    /// The least that any fish breathes.
    pub routine: SpecificRate,
    /// The largest of them, which counts.
    pub mean: SpecificRate,
    /// Which that is.
    pub governs: Governs,
}

/// Respiration of fish over the mean of a feeding day: the larger of what their feed and what their mass asks for.
///
/// `m = max(0.25 r, regression, routine)`, r the ration in feed per fish mass and time. The catfish regression is of fish just fed all they
/// take; it is divided by 2.0 to the mean of the day ([`src::RESPIRATION_DAY`]).
pub fn daily_mean(
    regression: Option<Regression>,
    t: ThermodynamicTemperature,
    mass: Mass,
    ration: SpecificRate,
) -> DailyMean {
    let feed = ration.value * FISH_PER_FEED.value;
    let from_mass = regression.map(|r| {
        let m = rate(r, t, mass).value;
        if r == Regression::Catfish { m / PEAK_FEW.value } else { m }
    });
    let routine = routine(t, mass).value;
    let (mut mean, mut governs) = (feed, Governs::Feed);
    if let Some(m) = from_mass
        && m > mean
    {
        (mean, governs) = (m, Governs::Regression);
    }
    if routine > mean {
        (mean, governs) = (routine, Governs::Routine);
    }
    DailyMean {
        feed: RESPIRATION.of(feed),
        regression: from_mass.map(|m| RESPIRATION.of(m)),
        routine: RESPIRATION.of(routine),
        mean: RESPIRATION.of(mean),
        governs,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::{self, g, g_day};

    fn t(c: f64) -> ThermodynamicTemperature {
        TEMPERATURE.of(si::celsius(c))
    }
    fn w(grams: f64) -> Mass {
        MASS.of(g(grams))
    }
    fn mg(r: SpecificRate) -> f64 {
        r.value * 3.6e9
    }
    fn near(got: f64, expect: f64, within: f64) {
        assert!((got - expect).abs() <= within * expect.abs(), "{got} not {expect}");
    }

    /// Arithmetic of the equations, recomputed elsewhere; the sources themselves were not opened for Liao and Andrews & Matsuda.
    #[test]
    fn regressions_as_published() {
        near(mg(liao_1971(t(10.0), w(100.0))), 202.7, 0.001);
        near(mg(liao_1971(t(15.0), w(100.0))), 301.7, 0.001);
        near(mg(liao_1971(t(15.0), w(500.0))), 241.6, 0.001);
        for (size, temperature, expect) in
            [(50.0, 28.0, 331.0), (100.0, 28.0, 227.0), (100.0, 30.0, 310.4), (150.0, 26.0, 126.9)]
        {
            near(mg(khater_2021(t(temperature), w(size))), expect, 0.001);
        }
        near(mg(andrews_matsuda_1975(t(26.0), w(500.0))), 331.7, 0.001);
        near(mg(andrews_matsuda_1975(t(20.0), w(500.0))), 211.8, 0.001);
        near(mg(andrews_matsuda_1975(t(25.0), w(100.0))), 529.8, 0.001);
    }

    #[test]
    fn the_tilapia_curve_is_held_where_it_would_turn() {
        let raw = |c, s| mg(khater_2021(t(c), w(s)));
        let held = |c, s| mg(rate(Regression::Tilapia, t(c), w(s)));
        // As published, 200 g fish would breathe more at 22 than at 24 and 26 °C.
        near(raw(22.0, 200.0), 188.0, 0.01);
        near(raw(24.0, 200.0), 135.0, 0.01);
        near(raw(26.0, 200.0), 114.0, 0.01);
        // Turning points 22.4, 23.7, 25.0, 26.4 °C at 50, 100, 150, 200 g.
        for (size, turn) in [(50.0, 22.4), (100.0, 23.7), (150.0, 25.0), (200.0, 26.4)] {
            let low =
                (1..400).map(|i| 18.0 + 0.03 * f64::from(i)).min_by(|a, b| raw(*a, size).total_cmp(&raw(*b, size)));
            assert!((low.unwrap() - turn).abs() < 0.06, "{size} {low:?}");
        }
        near(held(28.0, 100.0), 227.0, 0.001);
        near(held(28.0, 200.0), 227.0 * 2f64.powf(-0.2), 0.001);
        assert_eq!(held(15.0, 100.0), held(24.0, 100.0));
        for size in [5.0, 50.0, 100.0, 300.0, 1000.0] {
            for c in 10..36 {
                let c = f64::from(c);
                assert!(held(c + 1.0, size) >= held(c, size) && held(c, size) > 0.0, "{c} {size}");
                assert!(held(c, size * 1.1) <= held(c, size), "{c} {size}");
            }
        }
    }

    #[test]
    fn the_catfish_curve_is_held_at_its_least() {
        let held = |c, s| mg(rate(Regression::Catfish, t(c), w(s)));
        assert!(mg(andrews_matsuda_1975(t(28.0), w(1200.0))) > mg(andrews_matsuda_1975(t(28.0), w(790.0))));
        assert_eq!(held(28.0, 1200.0), held(28.0, 800.0));
        near(held(28.0, 1200.0), mg(andrews_matsuda_1975(t(28.0), w(790.0))), 1e-5);
        near(held(26.0, 500.0), 331.7, 0.001);
    }

    #[test]
    fn trout_branches_join_without_a_fall() {
        let m = |f: f64| mg(rate(Regression::Trout, t((f - 32.0) / 1.8), w(100.0)));
        // As recalled the branches differ by 9.5 % at 50 °F.
        let warm = mg(liao_1971(t(20.0 / 1.8), w(100.0)));
        near(warm / m(50.0), 1.095 * (52.0f64 / 50.0).powf(1.855), 0.002);
        for i in 0..160 {
            let f = 38.0 + 0.2 * f64::from(i);
            assert!(m(f + 0.2) >= m(f), "{f}");
        }
        assert_eq!(m(30.0), m(39.0));
    }

    #[test]
    fn from_feed_worked() {
        let feed = FEED_RATE.of(g_day(200.0));
        let g_h = |m: MassRate| m.value * 3.6e6;
        near(g_h(from_feed(feed, RATIO.of(FISH_PER_FEED.value))), 2.083, 0.0005);
        near(g_h(from_feed(feed, RATIO.of(SYSTEM_PER_FEED.value))), 4.167, 0.0005);
        let n = nitrifiers(FEED_RATE.of(g_day(5.888)));
        near(n.value * 8.64e7, 26.9, 0.001);
        near(g_h(n), 1.121, 0.001);
        // Stoichiometry: 2 O2 per N.
        near(PER_NITROGEN.value, 2.0 * 31.999 / 14.007, 0.001);
        // The parts come to the whole: 0.25 + 4.57 x 0.092 x 0.32 + 0.13.
        near(FISH_PER_FEED.value + 4.57 * 0.092 * 0.32 + Solids::Settled.per_feed().value, SYSTEM_PER_FEED.value, 0.04);
        near(FISH_PER_FEED.value + 4.57 * 0.092 * 0.32 + Solids::Drawn.per_feed().value, 0.4, 0.09);
    }

    #[test]
    fn the_larger_estimate_counts() {
        let ration = |percent: f64| SpecificRate { value: percent / 8.64e6, ..RESPIRATION.of(0.0) };
        // Tilapia of 100 g at 28 °C on 3.5 % a day: the feed asks 365 mg/kg/h, the regression 227.
        let m = daily_mean(Some(Regression::Tilapia), t(28.0), w(100.0), ration(3.5));
        near(mg(m.feed), 364.6, 0.001);
        assert_eq!((m.governs, m.mean), (Governs::Feed, m.feed));
        // Unfed, the regression.
        let m = daily_mean(Some(Regression::Tilapia), t(28.0), w(100.0), ration(0.0));
        assert_eq!((m.governs, Some(m.mean)), (Governs::Regression, m.regression));
        // A carp in winter breathes, fed or not.
        let m = daily_mean(None, t(6.0), w(500.0), ration(0.0));
        assert_eq!((m.governs, m.mean), (Governs::Routine, m.routine));
        near(mg(m.mean), 100.0 * 2f64.powf(-1.4) * 5f64.powf(-0.2), 1e-9);
        // Catfish: the rate after the meal is twice the mean.
        let m = daily_mean(Some(Regression::Catfish), t(26.0), w(500.0), ration(1.0));
        near(mg(m.mean) * 2.0, 331.7, 0.001);
    }

    /// The catfish regression is recalled, and halved to the mean of a day. Other measurements of catfishes, 20 to 30 °C, 50 g to 1 kg, are below what
    /// is counted for the like: routine respiration of brown bullhead (Hartman et al. 2017, 0.0007 W^-0.271 exp(0.0915 T) g/g/day, half as much again
    /// for activity) below that of unfed fish, and the highest after a meal of southern catfish (Fu et al. 2005, J. Fish Biol. 67: 27.5 °C,
    /// 175.4 + 47.3 mg/kg/h for each % of body mass eaten) below that of fed ones.
    #[test]
    fn catfish_breathe_no_less_than_others_measured() {
        let ration = |percent: f64| SpecificRate { value: percent / 8.64e6, ..RESPIRATION.of(0.0) };
        let mean = |c, size, r| mg(daily_mean(Some(Regression::Catfish), t(c), w(size), ration(r)).mean);
        for size in [50.0, 100.0, 250.0, 500.0, 1000.0f64] {
            for c in [20.0, 25.0, 28.0, 30.0f64] {
                let bullhead = 0.0007 * size.powf(-0.271) * (0.0915 * c).exp() * 1.5 / 24.0 * 1e6;
                let unfed = RESTING.value * mean(c, size, 0.0);
                assert!(unfed > bullhead, "{size} g, {c}: {unfed} {bullhead}");
            }
        }
        for eaten in [0.5, 1.0, 2.0, 4.0] {
            let highest = 175.4 + 47.3 * eaten;
            for size in [30.0, 50.0, 100.0] {
                assert!(PEAK_SPREAD.value * mean(27.5, size, eaten) > highest, "{size} g, {eaten} %");
            }
        }
        // Where they are fed as the tables say, the feed alone asks for the same: 2 % a day at 28 °C, 500 g.
        let (fed, halved) = (0.25 * 0.02 / 24.0 * 1e6, mean(28.0, 500.0, 0.0));
        assert!((fed / halved - 1.0).abs() < 0.1, "{fed} {halved}");
    }

    /// Respiration of unfed tilapia and trout is no less than other regressions have it, with the parameters as collected by Deslauriers et al. 2017
    /// (Fisheries 42: 586-596), g/g/day at the mass and temperature: tilapia after Nitithamyong 1988, rainbow trout after Railsback & Rose 1999 (their
    /// factor for swimming, 1.3, left out: at 100 g and more it is passed too).
    #[test]
    fn tilapia_and_trout_breathe_no_less_than_others_measured() {
        // Kitchell, Stewart & Weininger 1977: V = (Tm - T)/(Tm - To), R = a W^b V^x exp(x (1 - V)).
        let other = |a: f64, b: f64, q: f64, [to, tm]: [f64; 2], size: f64, c: f64| {
            let (z, y) = (q.ln() * (tm - to), q.ln() * (tm - to + 2.0));
            let x = z * z * (1.0 + (1.0 + 40.0 / y).sqrt()).powi(2) / 400.0;
            let v = (tm - c) / (tm - to);
            a * size.powf(b) * v.powf(x) * (x * (1.0 - v)).exp() / 24.0 * 1e6
        };
        let unfed = |r, size, c| {
            RESTING.value
                * mg(daily_mean(Some(r), t(c), w(size), SpecificRate { value: 0.0, ..RESPIRATION.of(0.0) }).mean)
        };
        for size in [20.0, 50.0, 100.0, 250.0, 500.0, 1000.0] {
            for c in [22.0, 24.0, 26.0, 28.0, 30.0] {
                let (ours, theirs) =
                    (unfed(Regression::Tilapia, size, c), other(0.0274, -0.348, 2.3, [37.0, 41.0], size, c));
                assert!(ours > 0.98 * theirs, "tilapia {size} g, {c}: {ours} {theirs}");
            }
            for c in [8.0, 10.0, 12.0, 15.0, 18.0] {
                let (ours, theirs) =
                    (unfed(Regression::Trout, size, c), other(0.013, -0.217, 2.2, [22.0, 26.0], size, c));
                let swimming = if size < 100.0 { 1.0 } else { 1.3 };
                assert!(ours > 0.98 * swimming * theirs, "trout {size} g, {c}: {ours} {theirs}");
            }
        }
    }

    /// Maintenance rations of common carp, % a day at 12, 18, 24, 30 °C (Goolish & Adelman 1984), taken at 0.25 kg/kg: same size as the
    /// least respiration of 20 to 100 g fish. A wide check of a wide judgement.
    #[test]
    fn routine_respiration_is_of_the_right_size() {
        for (c, percent) in [(12.0, 0.40), (18.0, 0.75), (24.0, 1.20), (30.0, 1.90)] {
            let maintenance = percent / 100.0 * 0.25 / 24.0 * 1e6;
            let ratio = mg(routine(t(c), w(50.0))) / maintenance;
            assert!((0.6..1.7).contains(&ratio), "{c}: {ratio}");
        }
    }
}
