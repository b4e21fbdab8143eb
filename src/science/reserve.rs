//! Water that stands still: what surface and bubbles bring in when no pump runs, and what fish take out.

use super::oxygen_balance::{Inflow, Supply};
use super::oxygen_saturation::{self, OutOfRange};
use super::respiration::{FISH_PER_FEED, RESTING, SYSTEM_PER_FEED};
use super::{aeration, respiration};
use crate::catalog::sources::{Coef, climate as src};
use crate::catalog::species::Species;
use crate::units::{
    Area, Length, MassConcentration, MassRate, Pressure, Ratio, ThermodynamicTemperature, Time, Volume, VolumeRate,
    kinds::*,
};

/// Bubbles let into standing water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bubbles {
    /// Air delivered at the stone.
    pub air: VolumeRate,
    /// Depth of the stone.
    pub depth: Length,
    /// Share of its oxygen dissolved, clean water at 20 °C.
    pub efficiency: Ratio,
}

/// The part of a store of oxygen that counts beside air over `time`: what may be breathed is then this part of the store above a floor, and what
/// the air brings at the floor. `x/(e^x - 1)`, `x = G t/V`, from `V dC/dt = G (C_a - C) - D` with a constant D that ends at the floor. 1 without
/// air, none in the long run: richer water takes up less.
pub fn store_beside_air(gain: VolumeRate, water: Volume, time: Time) -> Ratio {
    let x = (gain * time / water).value.max(0.0);
    RATIO.of(if x > 1e-6 { x / x.exp_m1() } else { 1.0 - x / 2.0 })
}

/// What reaches standing water: its surface at [`aeration::SURFACE_STILL`], and bubbles if there are any.
///
/// # Errors
/// Where saturation is not known: outside 0 to 40 °C, 0 to 40 g/L of salt or 0.5 to 1.1 atm.
pub fn standing(
    t: ThermodynamicTemperature,
    salinity: MassConcentration,
    pressure: Pressure,
    surface: Area,
    bubbles: Option<&Bubbles>,
) -> Result<Supply, OutOfRange> {
    let saturation = oxygen_saturation::saturation(t, salinity, pressure)?;
    let (air, air_saturation) = bubbles.map_or((FLOW.of(0.0), saturation), |b| {
        let sotr = aeration::standard_transfer(b.air, pressure, b.efficiency);
        let alpha = RATIO.of(aeration::ALPHA.value);
        let gain = aeration::gain(sotr, alpha, RATIO.of(aeration::STONES_IN_USE.value), t);
        let beta = RATIO.of(aeration::BETA.value);
        (gain, aeration::bubble_saturation(saturation, beta, b.depth, pressure, t))
    });
    let still = aeration::metres_a_day(aeration::SURFACE_STILL.value);
    Ok(Supply {
        flow: FLOW.of(0.0),
        inflow: Inflow::SameWater,
        fall: RATIO.of(0.0),
        lifted: FLOW.of(0.0),
        saturation,
        air,
        air_saturation,
        surface: aeration::surface_gain(surface, still),
    })
}

/// When the fish were last fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LastMeal {
    /// Within four hours.
    Just,
    /// Today.
    #[default]
    Today,
    /// A day ago, or more.
    Day,
}

/// Demand over the mean of a feeding day, low and high, by the last meal: just fed 1 to the after-meal peak, today resting to 1.4, a day ago
/// resting to 1 ([`respiration::PEAK_SPREAD`], [`respiration::RESTING`]).
pub fn meal_range(last: LastMeal, meals: respiration::Meals) -> (Ratio, Ratio) {
    let (low, high) = match last {
        LastMeal::Just => (1.0, meals.peak().value),
        LastMeal::Today => (RESTING.value, respiration::PEAK_SPREAD.value),
        LastMeal::Day => (RESTING.value, 1.0),
    };
    (RATIO.of(low), RATIO.of(high))
}

/// Netted fish over undisturbed ones.
pub const HANDLED: Coef = Coef::new(2.0, "1", &src::HANDLED_FISH, "for an hour or more after netting");

/// Demand on standing water, low and high: fish alone at the low end; at the high end with nitrifiers and solids in proportion to the fish's own,
/// `0.5/0.25` of it, or with the `film` that their feed keeps where that is more.
pub fn demand(fish: MassRate, factors: (Ratio, Ratio), film: MassRate) -> (MassRate, MassRate) {
    let system = SYSTEM_PER_FEED.value / FISH_PER_FEED.value;
    let fed = fish * factors.1;
    let (in_proportion, with_film) = (fed * RATIO.of(system), fed + film);
    (fish * factors.0, if with_film > in_proportion { with_film } else { in_proportion })
}

/// Fish whose oxygen is critical already live if it is back above that within so long, min.
pub const BACK_WITHIN: Coef = Coef::new(10.0, "min", &src::OXYGEN_BACK, "from the air that is there");

const CARBON_DIOXIDE: Coef = Coef::new(44.01 / 32.0, "kg/kg", &src::RESPIRATORY_QUOTIENT, "respiratory quotient 1");
/// Carbon dioxide for long, the upper end.
pub const CARBON_DIOXIDE_LONG: Coef = Coef::new(20.0, "mg/L", &src::CARBON_DIOXIDE_LIMIT, "for long");
/// Carbon dioxide for hours.
pub const CARBON_DIOXIDE_HOURS: Coef = Coef::new(40.0, "mg/L", &src::CARBON_DIOXIDE_LIMIT, "for hours");

/// Carbon dioxide breathed out for oxygen taken up: 1.375 g/g, none of it lost.
pub fn carbon_dioxide(oxygen: MassConcentration) -> MassConcentration {
    CONCENTRATION.of(oxygen.value * CARBON_DIOXIDE.value)
}

const UNFED: Coef =
    Coef::new(0.2, "mol/mol", &src::UNFED_TILAPIA, "unfed for a day; 0.08 to 0.2 in all fish that were found");
const UNFED_TROUT: Coef =
    Coef::new(0.11, "mol/mol", &src::UNFED_TROUT, "unfed for a day; 0.08 to 0.11 in trout and salmon");
const NITROGEN_PER_OXYGEN: Coef = Coef::new(14.007 / 31.998, "kg/kg", &src::STOICHIOMETRY, "a mole of each");

/// Ammonia that unfed fish give off, in moles to a mole of the oxygen that they take at rest.
pub fn unfed_ammonia(species: &Species) -> Coef {
    if species.id == "trout" { UNFED_TROUT } else { UNFED }
}

/// Ammonia nitrogen that unfed fish give off: `P = AQ 14.007/31.998 M`, M the oxygen that they take at rest ([`unfed_ammonia`]). Swimming adds little.
pub fn ammonia_of_unfed(species: &Species, resting: MassRate) -> MassRate {
    resting * RATIO.of(unfed_ammonia(species).value * NITROGEN_PER_OXYGEN.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    /// 500 L, 10 kg at 300 mg/kg/h, 6.5 down to 3 mg/L, nothing coming in: 35 min; fed 25; two meals or the whole system 17.5; the whole
    /// system just fed 12.5.
    #[test]
    fn minutes_of_five_hundred_litres() {
        let t = TEMPERATURE.of(celsius(25.0));
        let s = standing(t, SALINITY.of(0.0), PRESSURE.of(101_325.0), AREA.of(0.0), None).unwrap();
        let fish = OXYGEN_RATE.of(g_h(3.0));
        let mg = |x: f64| CONCENTRATION.of(mg_l(x));
        let minutes = |demand: MassRate| {
            s.time_down(VOLUME.of(l(500.0)), demand, mg(3.0), mg(6.5), mg(3.0)).map_or(0.0, |t| t.value / 60.0)
        };
        let system = demand(fish, (RATIO.of(1.0), RATIO.of(1.0)), OXYGEN_RATE.of(0.0)).1;
        let fed = demand(fish, meal_range(LastMeal::Just, respiration::Meals::Spread), OXYGEN_RATE.of(0.0));
        for (got, expect) in [
            (minutes(fish), 35.0),
            (minutes(fish * RATIO.of(respiration::PEAK_SPREAD.value)), 25.0),
            (minutes(fish * RATIO.of(respiration::PEAK_FEW.value)), 17.5),
            (minutes(system), 17.5),
            (minutes(fed.1), 12.5),
            (minutes(fed.0), 35.0),
        ] {
            assert!((got - expect).abs() < 0.01, "{got} not {expect}");
        }
    }

    /// 0.5 m/day over 1.2 m² and a deficit of 3 mg/L brings 0.075 g/h; we count 0.3 m/day for still water.
    #[test]
    fn a_still_surface_brings_next_to_nothing() {
        let at = |c: f64, salt: f64| {
            standing(TEMPERATURE.of(celsius(c)), SALINITY.of(salt), PRESSURE.of(101_325.0), AREA.of(1.2), None)
        };
        let s = at(25.0, 0.0).unwrap();
        let short = CONCENTRATION.of(s.saturation.value - mg_l(3.0));
        let g = s.at(short).value / g_h(1.0);
        assert!((g - 0.075 * 0.3 / 0.5).abs() < 1e-4, "{g}");
        // Benson & Krause 1984: sea water of 25 °C holds 6.77 mg/L, fresh water 8.26.
        assert!((at(25.0, 35.0).unwrap().saturation.value - mg_l(6.77)).abs() < mg_l(0.005));
        assert!(at(60.0, 0.0).is_err() && at(25.0, 50.0).is_err());
    }

    /// Measured on unfed fish, mg N/kg/h, nothing of which sets our figures: gilthead seabream of 45 to 90 g at 21 to 24 °C 10 to 16, 15 to 20 h after
    /// a meal (abstract of the nitrogen budget of Eilat's ponds); young Japanese flounder of 15 to 91 g at 20 °C 2.3; trout long unfed 70 mg/kg/day (van
    /// Weerd et al. 1995). Ours is no less, and less than four times as much.
    #[test]
    fn unfed_fish_give_off_ammonia_by_the_oxygen_they_take() {
        let rate = |id: &str, c: f64, grams: f64| {
            let (s, t) = (Species::by_id(id).expect(id), TEMPERATURE.of(celsius(c)));
            let breath = respiration::daily_mean(
                respiration::Regression::of(id),
                t,
                MASS.of(g(grams)),
                DAILY_SHARE.of(percent_day(0.0)),
            );
            ammonia_of_unfed(s, OXYGEN_RATE.of(breath.mean.value * RESTING.value)).value * 3.6e9
        };
        // 0.2 mol/mol of 32 mg of oxygen is 2.8 mg of nitrogen.
        let tilapia = Species::by_id("tilapia").expect("tilapia");
        let n = ammonia_of_unfed(tilapia, OXYGEN_RATE.of(31.998e-6)).value;
        assert!((n / 2.8014e-6 - 1.0).abs() < 1e-6, "{n}");
        for (id, c, grams, least, most) in [
            ("carp", 24.0, 5.0, 10.0, 20.0),
            ("tilapia", 28.0, 5.0, 16.0, 35.0),
            ("tilapia", 24.0, 60.0, 10.0, 16.0),
            ("catfish", 24.0, 60.0, 10.0, 20.0),
            ("trout", 12.0, 250.0, 70.0 / 24.0, 4.0 * 70.0 / 24.0),
            ("barramundi", 28.0, 50.0, 10.0, 16.0),
        ] {
            let got = rate(id, c, grams);
            assert!((least..most).contains(&got), "{id} {grams} g at {c}: {got}");
        }
        assert!(rate("carp", 24.0, 5.0) > rate("carp", 12.0, 250.0));
    }

    #[test]
    fn what_is_breathed_out() {
        assert!((carbon_dioxide(CONCENTRATION.of(mg_l(8.0))).value - mg_l(11.0)).abs() < mg_l(0.01));
    }
}
