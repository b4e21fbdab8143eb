//! Mixing two waters: temperature, readings, and how many changes bring one down.

use super::treatment::SALT_OF_BLOOD;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{
    MassConcentration, Ratio, TemperatureInterval, ThermodynamicTemperature, Time, Volume, VolumeRate,
    kinds::*,
    si::{FAHRENHEITS, days, hours, k_h},
};

/// Temperature of two waters mixed: `T = (V1 T1 + V2 T2)/(V1 + V2)`, their densities and specific heats taken as equal (within 0.5 %
/// from 5 to 40 °C). With no water at all, the first temperature.
pub fn blend_temperature(
    first: (Volume, ThermodynamicTemperature),
    second: (Volume, ThermodynamicTemperature),
) -> ThermodynamicTemperature {
    let (a, b) = (first.0.value, second.0.value);
    if a + b > 0.0 { TEMPERATURE.of((a * first.1.value + b * second.1.value) / (a + b)) } else { first.1 }
}

/// The share of the old water that is left after `times` equal changes of the share `share`: `(1 - s)^n`.
pub fn left_after(share: Ratio, times: f64) -> Ratio {
    RATIO.of((1.0 - share.value).max(0.0).powf(times))
}

/// A reading after `times` equal changes of the share `share`: `C = Cf + (C0 - Cf)(1 - s)^n`, conservation of mass, nothing made between.
pub fn after_changes(now: MassConcentration, fresh: MassConcentration, share: Ratio, times: f64) -> MassConcentration {
    let left = left_after(share, times).value;
    CONCENTRATION.of(fresh.value + (now.value - fresh.value) * left)
}

/// The share to change at once to bring a reading to `target`: `s = (C0 - Ct)/(C0 - Cf)`. `None` where the new water does not allow it.
pub fn share_for(now: MassConcentration, fresh: MassConcentration, target: MassConcentration) -> Option<Ratio> {
    if now <= target {
        return Some(RATIO.of(0.0));
    }
    (fresh < target).then(|| (now - target) / (now - fresh))
}

/// How many changes of the share `share` bring a reading to `target`: `n = ln((Ct - Cf)/(C0 - Cf))/ln(1 - s)`, not rounded. `None` where
/// they never do.
pub fn changes_for(
    now: MassConcentration,
    fresh: MassConcentration,
    target: MassConcentration,
    share: Ratio,
) -> Option<f64> {
    let once = share_for(now, fresh, target)?.value;
    if once <= 0.0 {
        return Some(0.0);
    }
    if share.value >= 1.0 {
        return Some(1.0);
    }
    let n = (1.0 - once).ln() / (1.0 - share.value).ln();
    (share.value > 0.0 && n.is_finite()).then_some(n)
}

/// Fresh water run in while as much runs over, to the same end: `V = Vs ln((C0 - Cf)/(Ct - Cf))`, the tank mixed throughout.
pub fn run_through(
    system: Volume,
    now: MassConcentration,
    fresh: MassConcentration,
    target: MassConcentration,
) -> Option<Volume> {
    let once = share_for(now, fresh, target)?.value;
    (once < 1.0).then(|| VOLUME.of((system.value * (1.0 - once).ln()).abs()))
}

/// Time constants after which 95 % of the old water is gone: ln 20.
const NINETEEN_TWENTIETHS: f64 = 20.0;

/// Flow into a container, and as much out, at which two waters come together at first as fast as they would if `time` were spread evenly: `q = V/t`.
/// What is left of a gap falls as `exp(-t q/V)`, fastest at the beginning: a flow that evens out 95 % within `time` begins at three times that pace.
pub fn drip(container: Volume, time: Time) -> VolumeRate {
    FLOW.of(container.value / time.value)
}

/// Time until 95 % of the other water is in at a steady flow: `t = V ln 20/q`.
pub fn evened_out(container: Volume, flow: VolumeRate) -> Time {
    HOURS.of(container.value * NINETEEN_TWENTIETHS.ln() / flow.value)
}

/// Step of temperature taken without tempering.
pub const STEP: Coef = Coef::new(5.0 / FAHRENHEITS, "K", &src::TEMPERING, "5 degF; 5 to 10 for catfish");
/// The fastest pace of tempering that is printed.
const FAST: Coef = Coef::new(60.0 / FAHRENHEITS, "K/h", &src::TEMPERING, "1 degF a minute");
/// A pace that troubles no fish.
pub const SLOW: Coef = Coef::new(1.0, "K/h", &src::SLOW_TEMPERING, "judgement");
/// Step of pH that can harm within half a day to a day.
pub const PH_STEP: Coef = Coef::new(0.3, "1", &src::SOMERVILLE_2014, "within 12 to 24 hours");
/// Gap of pH that is taken at once.
pub const PH_FREE: Coef = Coef::new(PH_STEP.value, "1", &src::PH_FREE, "one step");
/// Gap of pH that a handbook lets pass in half an hour: what is within it is advised and never over.
pub const PH_NEAR: Coef = Coef::new(0.5, "1", &src::SOMERVILLE_2014, "fish that come in bags");
/// The least time for it.
pub const NEAR_HOURS: Coef = Coef::new(0.5, "h", &src::SOMERVILLE_2014, "a quarter of an hour afloat, another mixing");
/// pH that does not by itself kill fish: lowest and highest.
pub const PH_BORNE: [Coef; 2] = [
    Coef::new(5.0, "1", &src::PH_BORNE, "fish used to it; tight within a tenth of the way"),
    Coef::new(9.0, "1", &src::PH_BORNE, "fish used to it; ammonia poisons long before"),
];
/// pH of travel water once it is open and aired.
pub const AIRED_PH: Coef = Coef::new(8.0, "1", &src::AIRED, "about 30 mg/L of alkalinity");
const PH_HOURS: [Coef; 2] =
    [Coef::new(12.0, "h", &src::SOMERVILLE_2014, "shortest"), Coef::new(24.0, "h", &src::SOMERVILLE_2014, "longest")];

/// Time to spread a change of temperature over: what exceeds [`STEP`], at `FAST` to `pace`. Shortest and longest.
pub fn tempering(gap: TemperatureInterval, pace: TemperatureRate) -> (Time, Time) {
    let rest = (gap.value.abs() - STEP.value).max(0.0);
    let at = |pace: f64| HOURS.of(rest / pace.max(f64::MIN_POSITIVE));
    (at(k_h(FAST.value).max(pace.value)), at(pace.value))
}

/// Hours to spread a change of pH over: what exceeds [`PH_FREE`], or one `step` if that is less, at one `step` in 12 to 24 hours ([`PH_STEP`]).
/// Shortest and longest.
pub fn ph_spread(gap: Ratio, step: Ratio) -> (Time, Time) {
    let free = PH_FREE.value.min(step.value);
    let steps = ((gap.value.abs() - free) / step.value.max(f64::MIN_POSITIVE)).max(0.0);
    let [short, long] = PH_HOURS.map(|h| HOURS.of(hours(steps * h.value)));
    (short, long)
}

const SALT_DAYS: [Coef; 2] = [
    Coef::new(2.0, "days", &src::SALT_STEP, "all of the way between the sea and fresh water: some die"),
    Coef::new(17.0, "days", &src::SALT_STEP, "all of the way between the sea and fresh water: nearly nine in ten live"),
];

/// Time to spread a change of salt over, shortest and longest. None where both waters are less salty than blood, or both more; from one side of it to
/// the other 2 to 17 days, less if either water is near it: in proportion, which is judgement.
pub fn salt_spread(from: MassConcentration, to: MassConcentration) -> (Time, Time) {
    let blood = SALT_OF_BLOOD.value;
    let (a, b) = (from.value / blood - 1.0, to.value / blood - 1.0);
    let way = if a * b < 0.0 { a.abs().min(b.abs()).min(1.0) } else { 0.0 };
    let [short, long] = SALT_DAYS.map(|d| DAYS.of(days(way * d.value)));
    (short, long)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    fn mg(x: f64) -> MassConcentration {
        CONCENTRATION.of(mg_l(x))
    }

    #[test]
    fn twenty_cold_litres_into_five_hundred_warm() {
        // 20 L at 10 °C into 500 L at 26 °C: 25.38 °C.
        let t = blend_temperature(
            (VOLUME.of(l(500.0)), TEMPERATURE.of(celsius(26.0))),
            (VOLUME.of(l(20.0)), TEMPERATURE.of(celsius(10.0))),
        );
        assert!((t.value - celsius(25.38)).abs() < 0.006, "{t:?}");
    }

    #[test]
    fn changes_and_shares_are_each_others_inverse() {
        // By hand: 80 to 20 mg/L with clean water takes three quarters at once, or two changes of half.
        assert!((share_for(mg(80.0), mg(0.0), mg(20.0)).map_or(0.0, |s| s.value) - 0.75).abs() < 1e-12);
        assert!((changes_for(mg(80.0), mg(0.0), mg(20.0), PERCENT.of(0.5)).unwrap_or(0.0) - 2.0).abs() < 1e-12);
        // And 80 ln 4 litres run through each 80.
        let v = run_through(VOLUME.of(l(80.0)), mg(80.0), mg(0.0), mg(20.0)).map_or(0.0, |v| v.value);
        assert!((v - l(80.0) * 4f64.ln()).abs() < 1e-12);
        for (now, fresh, target, share) in [(50.0, 10.0, 20.0, 0.2), (3.0, 0.5, 0.6, 0.1), (5.0, 0.0, 4.9, 0.9)] {
            let n = changes_for(mg(now), mg(fresh), mg(target), PERCENT.of(share)).expect("possible");
            let c = after_changes(mg(now), mg(fresh), PERCENT.of(share), n);
            assert!((c.value - mg_l(target)).abs() < 1e-12);
        }
    }

    #[test]
    fn what_cannot_be() {
        assert!(share_for(mg(5.0), mg(1.0), mg(1.0)).is_none());
        assert!(changes_for(mg(5.0), mg(0.0), mg(1.0), PERCENT.of(0.0)).is_none());
        assert_eq!(changes_for(mg(1.0), mg(9.0), mg(2.0), PERCENT.of(0.1)), Some(0.0));
        assert!(run_through(VOLUME.of(1.0), mg(5.0), mg(2.0), mg(1.0)).is_none());
    }

    #[test]
    fn salt_is_spread_over_days() {
        let days = |a, b| {
            let (low, high) = salt_spread(SALINITY.of(a), SALINITY.of(b));
            [low, high].map(|t| (t.value / 86_400.0 * 1e6).round() / 1e6)
        };
        // From the sea into 9 g/L at once all lived; from fresh water into 8 or 11 and back.
        for (a, b) in [(36.0, 9.0), (36.0, 12.0), (0.0, 8.0), (8.0, 0.0), (3.0, 0.0)] {
            assert_eq!(days(a, b), [0.0, 0.0], "{a} {b}");
        }
        assert_eq!(days(35.0, 0.0), [2.0, 17.0]);
        assert_eq!(days(0.0, 35.0), [2.0, 17.0]);
        assert_eq!(days(35.0, 4.5), [1.0, 8.5]);
        // A little over is a little.
        assert!(days(11.0, 0.0)[1] < 4.0);
    }

    #[test]
    fn spreading() {
        let slow = TEMPERATURE_RATE.of(k_h(SLOW.value));
        let (a, b) = tempering(TEMPERATURE_DIFFERENCE.of(-8.0), slow);
        assert!((b.value - hours(8.0 - 2.777_777_8)).abs() < 1.0 && a < b && a.value > 0.0);
        assert_eq!(tempering(TEMPERATURE_DIFFERENCE.of(2.5), slow).1.value, 0.0);
        let (a, b) = ph_spread(RATIO.of(0.9), RATIO.of(0.3));
        // The first of three steps at once, the others half a day to a day apart.
        assert!((a.value - hours(24.0)).abs() < 1e-6 && (b.value - hours(48.0)).abs() < 1e-6);
        assert_eq!(ph_spread(RATIO.of(-0.3), RATIO.of(0.3)).1.value, 0.0);
        // What is past a step is never nothing, and who asks for smaller steps gets no larger one at once.
        assert!(ph_spread(RATIO.of(0.31), RATIO.of(0.3)).0.value > 0.0);
        assert!((ph_spread(RATIO.of(0.3), RATIO.of(0.1)).1.value - hours(48.0)).abs() < 1e-6);
        assert!((ph_spread(RATIO.of(0.9), RATIO.of(0.6)).1.value - hours(24.0)).abs() < 1e-6);
        // At the start the gap closes by a hundredth in a hundredth of the time, no faster; 5 % of the old water is left after three times that time, a
        // little short.
        let q = drip(VOLUME.of(0.1), HOURS.of(hours(2.0)));
        assert!((1.0 - (-q.value * hours(0.02) / 0.1).exp() - 0.01).abs() < 1e-4);
        let t = evened_out(VOLUME.of(0.1), q);
        assert!(((-q.value * t.value / 0.1).exp() - 0.05).abs() < 1e-12 && (t.value / hours(6.0) - 1.0).abs() < 0.002);
    }
}
