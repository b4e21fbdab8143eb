//! Full pipes: Reynolds number, friction factor, head lost, fittings.

use crate::catalog::sources::{Coef, general::STANDARD_GRAVITY, hydraulics as src};
use crate::science::solve;
use crate::units::{KinematicViscosity, Length, Ratio, Velocity, VolumeRate, kinds::*};
use std::f64::consts::FRAC_PI_4;

/// Standard gravity.
pub const GRAVITY: Coef = Coef::new(9.806_65, "m/s2", &STANDARD_GRAVITY, "by definition");
/// The same as a plain number, for the sums inside this layer.
pub(crate) const G: f64 = GRAVITY.value;

/// Area of a full bore, raw.
pub(crate) fn bore_area(d: f64) -> f64 {
    FRAC_PI_4 * d * d
}

/// Mean velocity in a full bore: `V = Q / (pi D²/4)`.
pub fn velocity(flow: VolumeRate, bore: Length) -> Velocity {
    flow / (FRAC_PI_4 * bore * bore)
}

/// Reynolds number of a full bore: `Re = V D / nu`.
pub fn reynolds(flow: VolumeRate, bore: Length, viscosity: KinematicViscosity) -> Ratio {
    RATIO.of((velocity(flow, bore) * bore / viscosity).value)
}

const CHURCHILL_LOG: Coef = Coef::new(2.457, "1", &src::CHURCHILL_1977, "all regimes");
const CHURCHILL_SMOOTH: Coef = Coef::new(0.9, "1", &src::CHURCHILL_1977, "all regimes");
const CHURCHILL_ROUGH: Coef = Coef::new(0.27, "1", &src::CHURCHILL_1977, "all regimes");
const CHURCHILL_TRANSITION: Coef = Coef::new(37_530.0, "1", &src::CHURCHILL_1977, "all regimes");

/// Churchill's friction factor, raw. Below Re = 0.001 that value counts, so that still water has no infinite factor.
pub(crate) fn churchill_raw(re: f64, relative_roughness: f64) -> f64 {
    let re = re.max(1e-3);
    let a = (CHURCHILL_LOG.value
        * -((7.0 / re).powf(CHURCHILL_SMOOTH.value) + CHURCHILL_ROUGH.value * relative_roughness).ln())
    .powi(16);
    let b = (CHURCHILL_TRANSITION.value / re).powi(16);
    let laminar = (8.0 / re).powi(12);
    // The twelfth root by parts: far quicker than a power, and this is most of what a pump and its pipes cost.
    8.0 * (laminar + 1.0 / ((a + b) * (a + b).sqrt())).sqrt().sqrt().cbrt()
}

/// Darcy friction factor for every regime.
///
/// `f = 8 [ (8/Re)^12 + (A + B)^-1.5 ]^(1/12)`, `A = [2.457 ln 1/((7/Re)^0.9 + 0.27 e/D)]^16`, `B = (37530/Re)^16`: Churchill 1977.
///
/// Reynolds number above 0, relative roughness e/D from 0 to 0.05. Within 1 % of Colebrook-White for Re above 8000, exact when laminar;
/// between 2000 and 4000 nobody's friction factor is good.
pub fn churchill(reynolds: Ratio, relative_roughness: Ratio) -> Ratio {
    RATIO.of(churchill_raw(reynolds.value, relative_roughness.value))
}

/// Friction factor of a full pipe at a flow, by [`churchill`].
pub fn friction(pipe: &Pipe, flow: VolumeRate, viscosity: KinematicViscosity) -> Ratio {
    churchill(reynolds(flow, pipe.bore, viscosity), pipe.roughness / pipe.bore)
}

/// A straight full pipe with its fittings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pipe {
    /// Inside diameter.
    pub bore: Length,
    /// Length.
    pub length: Length,
    /// Roughness inside.
    pub roughness: Length,
    /// Sum of the loss coefficients of fittings, entrance and exit.
    pub loss: Ratio,
}

/// What is lost in velocity heads, raw: `f L/D + sum K`.
pub(crate) fn lost_heads(q: f64, d: f64, length: f64, roughness: f64, k: f64, nu: f64) -> f64 {
    let re = q / (FRAC_PI_4 * d * nu);
    churchill_raw(re, roughness / d) * length / d + k
}

/// Velocity head of a full bore, raw.
pub(crate) fn velocity_head(q: f64, d: f64) -> f64 {
    let v = q / bore_area(d);
    v * v / (2.0 * G)
}

/// Head lost in a full pipe: `h = (f L/D + sum K) V²/2g` (Darcy-Weisbach, friction by [`churchill`]).
///
/// Any flow from 0. Within about 2 % for smooth plastic, where the bore is known that well: 1 % of bore is 5 % of head.
///
/// ```
/// use brimwise::{science::{pipe::{Pipe, head_loss}, water}, units::{kinds::*, si::*}};
/// let pipe = Pipe { bore: SHORT_LENGTH.of(mm(52.0)), length: LENGTH.of(10.0), roughness: SHORT_LENGTH.of(mm(0.0015)), loss: RATIO.of(0.0) };
/// let h = head_loss(&pipe, FLOW.of(l_h(4000.0)), water::kinematic(TEMPERATURE.of(celsius(20.0))));
/// assert!((h.value - 0.0648).abs() < 0.0004);
/// ```
pub fn head_loss(pipe: &Pipe, flow: VolumeRate, viscosity: KinematicViscosity) -> Length {
    let (q, d) = (flow.value.abs(), pipe.bore.value);
    if q == 0.0 {
        return LENGTH.of(0.0);
    }
    let lost = lost_heads(q, d, pipe.length.value, pipe.roughness.value, pipe.loss.value, viscosity.value);
    LENGTH.of(lost * velocity_head(q, d))
}

/// Flow through a full pipe under a head: the root of [`head_loss`] = `head`. Nothing flows under a head of 0 or less.
///
/// Exact to 1e-8 of the flow.
pub fn full_flow(pipe: &Pipe, head: Length, viscosity: KinematicViscosity) -> VolumeRate {
    let h = head.value;
    if h.is_nan() || h <= 0.0 {
        return FLOW.of(0.0);
    }
    let d = pipe.bore.value;
    let (length, k) = (pipe.length.value.max(0.0), pipe.loss.value.max(0.0));
    let asks = |v: f64| {
        let heads = lost_heads(v * bore_area(d), d, length, pipe.roughness.value, k, viscosity.value);
        heads * v * v / (2.0 * G) - h
    };
    // From a guess upwards until more head is asked than there is. A pipe of no loss at all has no such flow; 2^60 guesses end it.
    let mut high = (2.0 * G * h / (k + length / d * GUESSED_FRICTION + 1e-6)).sqrt();
    let mut at_high = asks(high);
    for _ in 0..60 {
        if at_high >= 0.0 {
            break;
        }
        high *= 2.0;
        at_high = asks(high);
    }
    let v = solve::root_between(asks, (0.0, -h), (high, at_high), high * 1e-9).unwrap_or(high);
    FLOW.of(v * bore_area(d))
}
/// Friction factor of the first guess of a flow; it costs nothing if wrong.
const GUESSED_FRICTION: f64 = 0.03;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    fn near(got: f64, expect: f64, tolerance: f64, what: &str) {
        assert!((got - expect).abs() <= tolerance, "{what}: {got}, expected {expect} within {tolerance}");
    }

    /// Colebrook-White by fixed-point iteration to the end: the other route.
    fn colebrook(re: f64, rel: f64) -> f64 {
        let mut x = 7.0_f64;
        for _ in 0..200 {
            x = -2.0 * (rel / 3.7 + 2.51 * x / re).log10();
        }
        1.0 / (x * x)
    }

    #[test]
    fn churchill_against_colebrook_and_hagen_poiseuille() {
        // Colebrook 1939, laminar 64/Re; the library fluids 1.3.1 (Churchill_1977) gives the same fourth digit.
        for (re, rel, churchill_is) in [
            (20_221.0, 1.5e-6 / 0.026_137, 0.025_91),
            (27_103.0, 1.5e-6 / 0.052, 0.024_06),
            (17_272.0, 1.5e-6 / 0.0204, 0.026_99),
            (13_639.0, 1.5e-6 / 0.0155, 0.028_71),
            (1e5, 1e-4, 0.018_463),
        ] {
            let f = churchill_raw(re, rel);
            near(f, churchill_is, 1e-5, "Churchill");
            near(f / colebrook(re, rel), 1.0, 0.005, "Colebrook");
        }
        for re in [1.0, 10.0, 500.0, 1000.0, 1900.0] {
            near(churchill_raw(re, 1e-3) * re / 64.0, 1.0, 0.002, "laminar");
        }
        for re in [8e3, 2e4, 1e5, 1e6] {
            for rel in [0.0, 1e-5, 1e-3, 1e-2, 0.03] {
                near(churchill_raw(re, rel) / colebrook(re, rel), 1.0, 0.032, "Colebrook, wide");
            }
        }
        assert!(churchill_raw(0.0, 0.0).is_finite() && churchill_raw(1e9, 0.05).is_finite());
    }

    #[test]
    fn head_lost_in_smooth_pipe() {
        // Worked with nu 1.0038e-6, e 0.0015 mm; checked there against Colebrook.
        let nu = KinematicViscosity::new::<uom::si::kinematic_viscosity::square_meter_per_second>(1.0038e-6);
        for (d, q, l, re, h) in [
            (26.137, 1500.0, 5.0, 20_221.0, 0.1526),
            (52.0, 4000.0, 10.0, 27_103.0, 0.0648),
            (20.4, 1000.0, 3.0, 17_272.0, 0.1462),
            (15.5, 600.0, 2.0, 13_639.0, 0.1471),
        ] {
            let pipe = pipe(d, l, 0.0);
            near(reynolds(FLOW.of(l_h(q)), pipe.bore, nu).value / re, 1.0, 1e-3, "Re");
            near(head_loss(&pipe, FLOW.of(l_h(q)), nu).value / h, 1.0, 0.004, "head");
        }
    }

    fn pipe(d: f64, l: f64, k: f64) -> Pipe {
        Pipe {
            bore: SHORT_LENGTH.of(mm(d)),
            length: LENGTH.of(l),
            roughness: SHORT_LENGTH.of(mm(0.0015)),
            loss: RATIO.of(k),
        }
    }

    #[test]
    fn full_pipes_under_a_head() {
        // Worked with Churchill, nu 1.0038e-6; with Colebrook 95.46, 40.24 and 151.41 L/min.
        let nu = KinematicViscosity::new::<uom::si::kinematic_viscosity::square_meter_per_second>(1.0038e-6);
        for (d, l, k, h, expect, colebrook) in [
            (52.0, 2.0, 2.64, 0.10, 95.5, 95.46),
            (26.14, 1.0, 2.88, 0.30, 40.3, 40.24),
            (77.5, 3.0, 2.58, 0.05, 151.5, 151.41),
        ] {
            let q = full_flow(&pipe(d, l, k), LENGTH.of(h), nu).value / l_min(1.0);
            near(q, expect, 0.06, "L/min");
            near(q / colebrook, 1.0, 0.002, "Colebrook");
            let back = head_loss(&pipe(d, l, k), FLOW.of(l_min(q)), nu).value;
            near(back / h, 1.0, 1e-5, "there and back");
        }
        assert_eq!(full_flow(&pipe(50.0, 1.0, 0.0), LENGTH.of(0.0), nu).value, 0.0);
        assert_eq!(full_flow(&pipe(50.0, 1.0, 0.0), LENGTH.of(-1.0), nu).value, 0.0);
        assert_eq!(head_loss(&pipe(50.0, 1.0, 1.0), FLOW.of(0.0), nu).value, 0.0);
    }
}
