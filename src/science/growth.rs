//! How fish grow: by definition, by the thermal growth coefficient, and by what they are fed.

use crate::catalog::feeding::{self as tables, Ration};
use crate::catalog::sources::{Coef, biology as src};
use crate::catalog::species::Species;
use crate::science::feeding;
use crate::units::kinds::{DAYS, FEED_RATE, MASS, TEMPERATURE, TEMPERATURE_DIFFERENCE};
use crate::units::si::{days, g, years};
use crate::units::{Mass, MassRate, Ratio, TemperatureInterval, ThermodynamicTemperature, Time};
use std::f64::consts::TAU;

/// A thermal growth coefficient, in the form x 1000: cube roots of grams per thousand degree-days. Some authors print the form x 100.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Thermal(pub f64);

/// Scale of [`Thermal`].
const SCALE: f64 = 1000.0;

/// Thermal growth coefficient: `1000 (W2^(1/3) - W1^(1/3)) / (degrees x days)`, W in g (Iwama & Tautz 1981). Degrees count above the base of the
/// coefficient: nil for trout. Nil where there are no degrees or days.
pub fn coefficient(from: Mass, to: Mass, above_base: TemperatureInterval, time: Time) -> Thermal {
    let sum = above_base.value * (time.value / days(1.0));
    let tgc = SCALE * (root(to) - root(from)) / sum;
    Thermal(if tgc.is_finite() { tgc } else { 0.0 })
}

/// Mass after a time at a steady temperature: `W = (W0^(1/3) + TGC/1000 x degrees x days)^3`. Valid on the rising limb of growth by temperature
/// only (Jobling 2003): take degrees from [`effective`].
///
/// ```
/// use brimwise::{science::growth::{mass_after, Thermal}, units::{kinds::*, si::*}};
/// let w = mass_after(SMALL_MASS.of(g(20.0)), Thermal(1.74), TEMPERATURE_DIFFERENCE.of(12.0), DAYS.of(days(120.0)));
/// assert!((w.value - g(142.2)).abs() < g(0.05));
/// ```
pub fn mass_after(from: Mass, tgc: Thermal, above_base: TemperatureInterval, time: Time) -> Mass {
    let grown = root(from) + tgc.0 / SCALE * above_base.value * (time.value / days(1.0));
    MASS.of(g(grown.max(0.0).powi(3)))
}

/// Time in which a mass is reached, the inverse of [`mass_after`]; no time if it is past that, and without end where nothing grows.
pub fn time_to(from: Mass, to: Mass, tgc: Thermal, above_base: TemperatureInterval) -> Time {
    let more = (root(to) - root(from)).max(0.0);
    DAYS.of(if more > 0.0 { days(more / (tgc.0 / SCALE * above_base.value)) } else { 0.0 })
}

/// Gain a day: `3 W^(2/3) TGC degrees/1000`, the slope of [`mass_after`].
pub fn gain(mass: Mass, tgc: Thermal, above_base: TemperatureInterval) -> MassRate {
    let grams_day = 3.0 * root(mass).powi(2) * tgc.0 / SCALE * above_base.value;
    FEED_RATE.of(g(grams_day) / days(1.0))
}

fn root(mass: Mass) -> f64 {
    (mass.value / g(1.0)).max(0.0).cbrt()
}

/// Degrees above the species' growth base that count: none below it, no more above its peak, and from the end of its good band straight down to
/// none where feeding stops. Where growth by temperature was measured, its share of the degrees at the peak.
pub fn effective(species: &Species, t: ThermodynamicTemperature) -> TemperatureInterval {
    let zero = TEMPERATURE.of(crate::units::si::celsius(0.0));
    let c = t.value - zero.value;
    let (base, peak) = (species.growth.base.value, species.growth.peak.value);
    let (well, stop) = (species.warmth.well_to.value, species.warmth.stops_above.value);
    let degrees = || match tables::ration(species) {
        Ration::Growth { by_warmth: Some(curve), .. } if t <= species.stops_above() => {
            feeding::along(curve.points, c) * (peak - base)
        }
        _ if c > well => (c.clamp(base, peak) - base) * ((stop - c) / (stop - well)).max(0.0),
        _ => c.clamp(base, peak) - base,
    };
    TEMPERATURE_DIFFERENCE.of(if c.is_finite() { degrees() } else { 0.0 })
}

/// The species' coefficient between slow and good keeping (their geometric mean).
pub fn middle(species: &Species) -> Thermal {
    Thermal((species.growth.slow.value * species.growth.fast.value).sqrt())
}

/// The coefficient that goes with a feed per gain: the good one with the best, the slow one with the ordinary, straight between them.
fn beside(species: &Species, fcr: Ratio) -> Thermal {
    let (best, ordinary) = species.fcr();
    let (slow, fast) = (species.growth.slow.value, species.growth.fast.value);
    let share = ((fcr - best) / (ordinary - best)).value.clamp(0.0, 1.0);
    Thermal(fast + (slow - fast) * share)
}

/// Water temperature through the year: `T = mean + swing cos(2 pi (t - warmest)/year)`; t counts from today.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Season {
    /// Mean of the year.
    pub mean: ThermodynamicTemperature,
    /// Warmest above the mean.
    pub swing: TemperatureInterval,
    /// Days from today to the warmest.
    pub warmest: Time,
}

impl Season {
    /// The same all year.
    pub fn steady(t: ThermodynamicTemperature) -> Self {
        Self { mean: t, swing: TEMPERATURE_DIFFERENCE.of(0.0), warmest: DAYS.of(0.0) }
    }
    /// A season that passes today's temperature: `today` now, the warmest after `warmest`, `swing` between mean and warmest.
    pub fn through(today: ThermodynamicTemperature, swing: TemperatureInterval, warmest: Time) -> Self {
        let now = (TAU * warmest.value / years(1.0)).cos();
        Self { mean: TEMPERATURE.of(today.value - swing.value * now), swing, warmest }
    }
    /// Temperature after a time.
    pub fn at(&self, time: Time) -> ThermodynamicTemperature {
        if self.swing.value == 0.0 {
            return self.mean;
        }
        let phase = TAU * (time.value - self.warmest.value) / years(1.0);
        TEMPERATURE.of(self.mean.value + self.swing.value * phase.cos())
    }
    /// Warmest and coldest.
    pub fn ends(&self) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
        let s = self.swing.value.abs();
        (TEMPERATURE.of(self.mean.value + s), TEMPERATURE.of(self.mean.value - s))
    }
}

/// What drives the growth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pace {
    /// Fed by the species' ration, at this feed per gain. A ration that does not even hold the weight ([`feeding::maintenance`]) grows nothing. Where a
    /// ration's table outruns what its species is known to grow (`held_back`), nothing grows past the thermal coefficient that goes with the feed per gain.
    Fed(Ratio),
    /// The larger of the ration at its best feed per gain and the good thermal coefficient: the soonest that a size can be reached.
    Soonest,
    /// The soonest of fish that get so much of the species' ration and no more: [`Self::Soonest`], but nothing grows of feed that is not given.
    Share(Ratio),
    /// A thermal growth coefficient of one's own, with its base and the temperature past which nothing is added.
    Heat(Thermal, ThermodynamicTemperature, ThermodynamicTemperature),
}

impl Pace {
    /// Growth as a share of mass, 1/s.
    fn rate(self, species: &Species, mass: Mass, t: ThermodynamicTemperature) -> f64 {
        let fed = || feeding::ration(species, mass, t).value;
        let heat = |tgc, degrees| gain(mass, tgc, degrees).value / mass.value;
        match self {
            Self::Fed(fcr) => match fed() {
                fed if feeding::maintenance(species, mass, t).is_some_and(|keep| fed < keep.value) => 0.0,
                fed if species.growth.held_back => {
                    let most = heat(beside(species, fcr), effective(species, t));
                    (fed / fcr.value.max(f64::EPSILON)).min(most)
                }
                fed => fed / fcr.value.max(f64::EPSILON),
            },
            Self::Soonest => {
                let warm = heat(Thermal(species.growth.fast.value), effective(species, t));
                (fed() / species.fcr().0.value).max(warm)
            }
            Self::Share(share) => {
                let given = fed() * share.value;
                match feeding::maintenance(species, mass, t) {
                    Some(keep) if given < keep.value => 0.0,
                    _ => (given / species.fcr().0.value).min(Self::Soonest.rate(species, mass, t)),
                }
            }
            Self::Heat(tgc, base, peak) => {
                let degrees = t.value.min(peak.value) - base.value;
                heat(tgc, TEMPERATURE_DIFFERENCE.of(degrees.max(0.0)))
            }
        }
    }
}

/// A size reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached {
    /// After this long.
    pub time: Time,
    /// Mass then.
    pub mass: Mass,
}

/// Longest look ahead, days.
const HORIZON: Coef = Coef::new(1461.0, "days", &src::GROWTH_RATE, "four years; slower growth is said to take longer");
/// Longest step of the integration, days, with a season and without.
const STEP_SEASON: Coef = Coef::new(5.0, "days", &src::GROWTH_RATE, "a season changes by less than 1 degC in it");
const STEP_STEADY: Coef = Coef::new(30.0, "days", &src::GROWTH_RATE, "steady water");
/// Largest growth of one step.
const STEP_GROWTH: Coef = Coef::new(0.05, "1", &src::GROWTH_RATE, "the midpoint rule then errs by under 0.1 %");

/// The longest that growth is followed.
pub fn horizon() -> Time {
    DAYS.of(days(HORIZON.value))
}

/// Follows one fish from `from` until `target` or `until`, calling `each` with the time and the mass after every step. Midpoint rule on ln mass.
fn follow(
    species: &Species,
    from: Mass,
    target: Mass,
    season: &Season,
    pace: Pace,
    until: Time,
    mut each: impl FnMut(f64, f64),
) -> Option<Reached> {
    let end = until.value.min(days(HORIZON.value));
    let steady = season.swing.value == 0.0;
    let longest = days(if steady { STEP_STEADY.value } else { STEP_SEASON.value });
    let (mut t, mut w) = (0.0, from.value);
    if !(w > 0.0 && target.value.is_finite()) {
        return None;
    }
    if w >= target.value {
        return Some(Reached { time: DAYS.of(0.0), mass: from });
    }
    while t < end {
        let rate = |t: f64, w: f64| pace.rate(species, MASS.of(w), season.at(DAYS.of(t)));
        let now = rate(t, w);
        let step = (STEP_GROWTH.value / now.max(f64::MIN_POSITIVE)).clamp(1.0, longest).min(end - t).max(1.0);
        let half = w * (now * step / 2.0).min(1.0).exp();
        let grown = (rate(t + step / 2.0, half) * step).min(1.0);
        let after = w * grown.exp();
        if after >= target.value {
            let part = if grown > 0.0 { (target.value / w).ln() / grown } else { 1.0 };
            each(t + part * step, target.value);
            return Some(Reached { time: DAYS.of(t + part * step), mass: target });
        }
        (t, w) = (t + step, after);
        each(t, w);
        if steady && grown <= 0.0 {
            each(end, w);
            return None;
        }
    }
    None
}

/// When a fish of `from` reaches `target`; `None` if not within [`horizon`]. The feed it takes is the feed per gain times the gain.
pub fn reach(species: &Species, from: Mass, target: Mass, season: &Season, pace: Pace) -> Option<Reached> {
    follow(species, from, target, season, pace, horizon(), |_, _| {})
}

/// The soonest and the latest that a fish of `from` reaches `target`: [`Pace::Soonest`], and the ration at the ordinary feed per gain.
pub fn reached_between(species: &Species, from: Mass, target: Mass, season: &Season) -> (Option<Time>, Option<Time>) {
    let at = |pace| reach(species, from, target, season, pace).map(|r| r.time);
    (at(Pace::Soonest), at(Pace::Fed(species.fcr().1)))
}

/// The mass of a fish after a time, at most `most`.
pub fn mass_at(species: &Species, from: Mass, season: &Season, pace: Pace, time: Time, most: Mass) -> Mass {
    let mut last = from.value;
    follow(species, from, most, season, pace, time, |_, w| last = w);
    MASS.of(last)
}

/// The course of growth until `target` or `until`: times and masses, first and last included.
pub fn course(
    species: &Species,
    from: Mass,
    target: Mass,
    season: &Season,
    pace: Pace,
    until: Time,
) -> Vec<(Time, Mass)> {
    let mut all = vec![(DAYS.of(0.0), from)];
    follow(species, from, target, season, pace, until, |t, w| all.push((DAYS.of(t), MASS.of(w))));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::species::SPECIES;
    use crate::units::SpecificRate;
    use crate::units::kinds::{DAILY_SHARE, RATIO, SMALL_MASS};
    use crate::units::si::celsius;

    fn of(id: &str) -> &'static Species {
        Species::by_id(id).unwrap_or_else(|| panic!("{id}"))
    }
    fn grams(x: f64) -> Mass {
        SMALL_MASS.of(g(x))
    }
    fn degrees(x: f64) -> TemperatureInterval {
        TEMPERATURE_DIFFERENCE.of(x)
    }
    fn d(x: f64) -> Time {
        DAYS.of(days(x))
    }
    fn fed_rate(species: &Species, mass: Mass, t: ThermodynamicTemperature, fcr: f64) -> SpecificRate {
        DAILY_SHARE.of(Pace::Fed(RATIO.of(fcr)).rate(species, mass, t))
    }
    fn steady(c: f64) -> Season {
        Season::steady(TEMPERATURE.of(celsius(c)))
    }
    fn near(found: f64, expect: f64, tolerance: f64) {
        assert!((found - expect).abs() <= tolerance, "{found} is not {expect}");
    }

    #[test]
    fn published_growth() {
        // A growth page's example: 10 to 350 g in 200 days at 11 °C is 0.222 in the form x 100.
        near(coefficient(grams(10.0), grams(350.0), degrees(11.0), d(200.0)).0, 2.224, 0.0005);
        // Cho 1992 (recalled): 1.74 for rainbow trout. 20 g, 12 °C, 120 days; and 100 g at 12 °C with 1.1 kg of feed a kg.
        near(mass_after(grams(20.0), Thermal(1.74), degrees(12.0), d(120.0)).value, g(142.2), g(0.05));
        near(time_to(grams(20.0), grams(142.2), Thermal(1.74), degrees(12.0)).value, days(120.0), days(0.05));
        assert_eq!(time_to(grams(30.0), grams(20.0), Thermal(1.74), degrees(12.0)).value, 0.0);
        let per_day = gain(grams(100.0), Thermal(1.74), degrees(12.0)).value * days(1.0) / g(1.0);
        near(per_day, 1.350, 0.001);
        near(per_day * 1.1, 1.48, 0.01);
    }

    #[test]
    fn coefficient_and_mass_are_inverse() {
        let w = mass_after(grams(7.0), Thermal(2.5), degrees(9.0), d(77.0));
        near(coefficient(grams(7.0), w, degrees(9.0), d(77.0)).0, 2.5, 1e-9);
        assert_eq!(coefficient(grams(7.0), w, degrees(0.0), d(77.0)), Thermal(0.0));
    }

    #[test]
    fn tilapia_grow_three_times_faster_at_30_than_at_22() {
        // SRAC 283: growth at 29 to 31 °C is about three times that at 22 °C; a base of 0 °C would give 1.36.
        let at = |c: f64| effective(of("tilapia"), TEMPERATURE.of(celsius(c))).value;
        near(at(30.0) / at(22.0), 3.0, 1e-9);
        near(at(29.4) / at(22.2), 2.71, 0.01);
        assert_eq!((at(18.0), at(12.0), at(34.0)), (0.0, 0.0, 0.0));
        assert!(at(33.0) < at(31.0));
        // By the ration, too.
        let fed = |c: f64| fed_rate(of("tilapia"), grams(100.0), TEMPERATURE.of(celsius(c)), 1.6).value;
        near(fed(30.0) / fed(22.0), 3.0, 0.01);
    }

    #[test]
    fn tilapia_in_rafts_tanks_and_tables() {
        // Rakocy et al.: 50 to 900 g in 168 days in warm tanks. The soonest course comes near, taken at 28 °C.
        let soon = reach(of("tilapia"), grams(50.0), grams(900.0), &steady(28.0), Pace::Soonest);
        let soon = soon.map_or(0.0, |r| r.time.value / days(1.0));
        assert!((145.0..=175.0).contains(&soon), "{soon}");
        // FAO Technical Paper 589, Table 7.1 (recalled): 600 g in 6 to 8 months. From fingerlings of 20 g by the ration table.
        let (early, late) = [1.4, 1.8]
            .map(|f| reach(of("tilapia"), grams(20.0), grams(600.0), &steady(28.0), Pace::Fed(RATIO.of(f))))
            .into();
        let months = |r: Option<Reached>| r.map_or(0.0, |r| r.time.value / days(30.4));
        assert!(months(early) < 8.0 && months(late) > 6.0, "{} {}", months(early), months(late));
        // SRAC 282, Table 1 (recalled): gains of 1.5 g a day at 50 to 100 g, 2.5 at 100 to 250, 3.0 at 250 to 450.
        for (w, expect) in [(75.0, 1.5), (175.0, 2.5), (350.0, 3.0)] {
            let found = fed_rate(of("tilapia"), grams(w), TEMPERATURE.of(celsius(28.0)), 1.6).value * days(1.0) * w;
            assert!((0.7..1.4).contains(&(found / expect)), "{w}: {found}");
        }
    }

    #[test]
    fn trout_by_ration_and_by_coefficient_agree() {
        // Two routes: Leitritz & Lewis at feed per gain 1.1 against Cho's coefficient, 54 °F, 92 to 131 g.
        let t = TEMPERATURE.of(celsius(12.2));
        let fed = fed_rate(of("trout"), grams(100.0), t, 1.1).value * days(1.0) * 100.0;
        let cho = gain(grams(100.0), Thermal(1.74), effective(of("trout"), t)).value * days(1.0) / g(1.0);
        near(fed / cho, 1.0, 0.2);
    }

    #[test]
    fn other_species_reach_their_published_sizes_in_time() {
        // FAO Technical Paper 589, Table 7.1 (recalled), from fingerlings of 20 g: carp 600 g in 9 to 11 months, catfish and barramundi 400 g
        // in 9 to 10. The months fall between soonest and latest.
        for (id, c, to, months) in
            [("carp", 25.0, 600.0, 10.0), ("catfish", 26.0, 400.0, 9.5), ("barramundi", 28.0, 400.0, 9.5)]
        {
            let (soon, late) = reached_between(of(id), grams(20.0), grams(to), &steady(c));
            let m = |t: Option<Time>| t.map_or(f64::NAN, |t| t.value / days(30.4));
            assert!(m(soon) < months * 1.05, "{id}: {} to {}", m(soon), m(late));
            assert!(m(soon) < m(late) && m(late) < 24.0, "{id}: {} to {}", m(soon), m(late));
            // Catfish were put at 6.6 months at the latest, by a ration that outruns them.
            assert!(m(late) > 9.0, "{id}: {} to {}", m(soon), m(late));
        }
        // 23 °C, 20 to 600 g: 572 days by the slow coefficient, 381 by the good one.
        let at = |f: f64| reach(of("catfish"), grams(20.0), grams(600.0), &steady(23.0), Pace::Fed(RATIO.of(f)));
        let days_of = |r: Option<Reached>| r.map_or(f64::NAN, |r| r.time.value / days(1.0));
        near(days_of(at(2.0)), 572.0, 3.0);
        near(days_of(at(1.3)), 381.0, 2.0);
    }

    #[test]
    fn steps_agree_with_the_closed_form() {
        // Barramundi are fed from their coefficient: at steady temperature the course must be the closed form.
        let s = of("barramundi");
        let t = TEMPERATURE.of(celsius(28.0));
        let fcr = RATIO.of(1.5);
        let exact = mass_after(grams(30.0), middle(s), effective(s, t), d(200.0));
        let found = mass_at(s, grams(30.0), &Season::steady(t), Pace::Fed(fcr), d(200.0), grams(1e6));
        near(found.value / exact.value, 1.0, 1e-3);
        let r = reach(s, grams(30.0), exact, &Season::steady(t), Pace::Fed(fcr)).map_or(0.0, |r| r.time.value);
        near(r / days(200.0), 1.0, 1e-3);
    }

    #[test]
    fn seasons() {
        let season = Season::through(TEMPERATURE.of(celsius(15.0)), degrees(8.0), DAYS.of(years(0.25)));
        near(season.mean.value, celsius(15.0), 1e-9);
        near(season.at(DAYS.of(years(0.25))).value, celsius(23.0), 1e-9);
        near(season.at(DAYS.of(years(0.75))).value, celsius(7.0), 1e-9);
        near(season.ends().0.value - season.ends().1.value, 16.0, 1e-9);
        // Winter holds tilapia still: the same mean without a winter is sooner.
        let s = of("tilapia");
        let winter = Season::through(TEMPERATURE.of(celsius(24.0)), degrees(8.0), d(-30.0));
        let with = reach(s, grams(50.0), grams(400.0), &winter, Pace::Fed(RATIO.of(1.6))).map(|r| r.time);
        let mid = reach(s, grams(50.0), grams(400.0), &steady(27.0), Pace::Fed(RATIO.of(1.6))).map(|r| r.time);
        assert!(mid.is_some() && with > mid, "{with:?} {mid:?}");
        // A swing of nothing is the steady course.
        let flat = Season::through(TEMPERATURE.of(celsius(27.0)), degrees(0.0), d(10.0));
        assert_eq!(
            reach(s, grams(50.0), grams(400.0), &flat, Pace::Soonest),
            reach(s, grams(50.0), grams(400.0), &steady(27.0), Pace::Soonest)
        );
    }

    #[test]
    fn ends_and_refusals() {
        for s in &SPECIES {
            let cold = Season::steady(TEMPERATURE.of(s.dies_below().value));
            assert_eq!(reach(s, grams(50.0), grams(60.0), &cold, Pace::Soonest), None, "{}", s.id);
            assert_eq!(reach(s, grams(50.0), grams(40.0), &cold, Pace::Soonest).map(|r| r.time.value), Some(0.0));
            assert_eq!(reach(s, grams(0.0), grams(40.0), &cold, Pace::Soonest), None);
            let course = course(s, grams(50.0), s.harvest(), &Season::steady(s.well_to()), Pace::Soonest, horizon());
            assert!(course.is_sorted_by(|a, b| a.0 < b.0 && a.1 <= b.1) && course.len() > 5, "{}", s.id);
            assert_eq!(course.last().map(|c| c.1), Some(s.harvest()), "{}", s.id);
        }
    }

    /// Goolish & Adelman 1984: at 12 °C 0.40 % a day only holds the weight of a carp of 10 g. What the ration falls to below 10 °C is less.
    #[test]
    fn carp_do_not_grow_on_less_than_their_upkeep() {
        let carp = of("carp");
        let reached = |c: f64| reach(carp, grams(300.0), grams(500.0), &steady(c), Pace::Fed(carp.fcr().1));
        let short = |c: f64| {
            let t = TEMPERATURE.of(crate::units::si::celsius(c));
            feeding::maintenance(carp, grams(300.0), t).is_some_and(|k| feeding::ration(carp, grams(300.0), t) < k)
        };
        assert!(short(9.0) && reached(9.0).is_none());
        assert!(!short(12.0) && reached(12.0).is_some());
    }
}
