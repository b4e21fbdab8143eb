//! How much oxygen water holds in equilibrium with air: temperature, salt, pressure, altitude.

use crate::catalog::sources::{Coef, oxygen as src};
use crate::units::{Length, MassConcentration, Pressure, ThermodynamicTemperature, kinds::*, si::ZERO_CELSIUS};
use std::fmt;

/// Degrees Celsius.
pub(super) fn celsius(t: ThermodynamicTemperature) -> f64 {
    t.value - ZERO_CELSIUS
}

/// An input outside the range that a published equation was fitted to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// Which input.
    pub what: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// Lowest accepted.
    pub low: f64,
    /// Highest accepted.
    pub high: f64,
    /// Unit of all three.
    pub unit: &'static str,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { what, value, low, high, unit } = self;
        write!(f, "{what} is {value:.4} {unit}; the equation holds from {low} to {high} {unit}")
    }
}

fn within(what: &'static str, value: f64, [low, high]: [Coef; 2]) -> Result<f64, OutOfRange> {
    if value >= low.value && value <= high.value {
        Ok(value)
    } else {
        Err(OutOfRange { what, value, low: low.value, high: high.value, unit: low.unit })
    }
}

const LIMITS: &str = "limits of the published fit";
/// Temperatures of the solubility fit.
pub const TEMPERATURES: [Coef; 2] = [
    Coef::new(0.0, "degC", &src::BENSON_KRAUSE_1984, LIMITS),
    Coef::new(40.0, "degC", &src::BENSON_KRAUSE_1984, LIMITS),
];
/// Salinities of the solubility fit.
const SALINITIES: [Coef; 2] = [
    Coef::new(0.0, "g/kg", &src::BENSON_KRAUSE_1984, LIMITS),
    Coef::new(40.0, "g/kg", &src::BENSON_KRAUSE_1984, LIMITS),
];
/// Pressures of the solubility fit.
pub const PRESSURES: [Coef; 2] =
    [Coef::new(0.5, "atm", &src::BENSON_KRAUSE_1984, LIMITS), Coef::new(1.1, "atm", &src::BENSON_KRAUSE_1984, LIMITS)];

const HOLDS: &str = "0 to 40 degC, 0 to 40 g/kg";
const FRESH: [Coef; 5] = [
    Coef::new(-139.344_11, "1", &src::BENSON_KRAUSE_1984, HOLDS),
    Coef::new(1.575_701e5, "K", &src::BENSON_KRAUSE_1984, HOLDS),
    Coef::new(-6.642_308e7, "K2", &src::BENSON_KRAUSE_1984, HOLDS),
    Coef::new(1.243_800e10, "K3", &src::BENSON_KRAUSE_1984, HOLDS),
    Coef::new(-8.621_949e11, "K4", &src::BENSON_KRAUSE_1984, HOLDS),
];
const SALT: [Coef; 3] = [
    Coef::new(1.767_4e-2, "kg/g", &src::BENSON_KRAUSE_1984, HOLDS),
    Coef::new(-10.754, "K kg/g", &src::BENSON_KRAUSE_1984, HOLDS),
    Coef::new(2.140_7e3, "K2 kg/g", &src::BENSON_KRAUSE_1984, HOLDS),
];
/// Second virial coefficient of oxygen; a polynomial in degrees Celsius, not kelvin.
const THETA: [Coef; 3] = [
    Coef::new(0.000_975, "1/atm", &src::BENSON_KRAUSE_1984, "t in degC, 0 to 40"),
    Coef::new(-1.426e-5, "1/(atm K)", &src::BENSON_KRAUSE_1984, "t in degC, 0 to 40"),
    Coef::new(6.436e-8, "1/(atm K2)", &src::BENSON_KRAUSE_1984, "t in degC, 0 to 40"),
];
const VAPOUR_FRESH: [Coef; 3] = [
    Coef::new(11.857_1, "1", &src::BENSON_KRAUSE_1984, "fresh water"),
    Coef::new(-3_840.70, "K", &src::BENSON_KRAUSE_1984, "fresh water"),
    Coef::new(-216_961.0, "K2", &src::BENSON_KRAUSE_1984, "fresh water"),
];
const VAPOUR_SALT: [Coef; 8] = [
    Coef::new(5.37e-4, "kg/g", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(18.197_3, "1", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(373.16, "K", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(3.181_3e-7, "1", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(26.120_5, "1", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(1.872_6e-2, "1", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(8.039_45, "1", &src::GREEN_CARRITT_1967, HOLDS),
    Coef::new(5.028_02, "1", &src::GREEN_CARRITT_1967, HOLDS),
];
/// One standard atmosphere.
const ATMOSPHERE: Coef = Coef::new(101_325.0, "Pa", &src::STANDARD_ATMOSPHERE, "by definition");
/// Milligrams per litre in kg/m3.
const MILLI: f64 = 1e-3;

/// Vapour pressure over the water, atm, as the solubility equation uses it.
fn vapour(t_k: f64, s: f64) -> f64 {
    if s > 0.0 {
        let [salt, a, boil, b, c, d, e, g] = VAPOUR_SALT.map(|c| c.value);
        let ratio = boil / t_k;
        let exponent = a * (1.0 - ratio) + b * (1.0 - (c * (1.0 - t_k / boil)).exp())
            - d * (1.0 - (e * (1.0 - ratio)).exp())
            + g * ratio.ln();
        (1.0 - salt * s) * exponent.exp()
    } else {
        let [a, b, c] = VAPOUR_FRESH.map(|c| c.value);
        (a + b / t_k + c / (t_k * t_k)).exp()
    }
}

/// Dissolved oxygen in equilibrium with air saturated with water vapour.
///
/// `ln C1 = -139.34411 + 1.575701e5/T - 6.642308e7/T^2 + 1.243800e10/T^3 - 8.621949e11/T^4 - S (1.7674e-2 - 10.754/T + 2.1407e3/T^2)`
/// in mg/L at 1 atm, T in kelvin, S in g/kg; and at pressure P in atm
/// `C = C1 P (1 - Pwv/P)(1 - th P)/((1 - Pwv)(1 - th))`, `th = 0.000975 - 1.426e-5 t + 6.436e-8 t^2` with t in °C:
/// Benson & Krause 1984, equations 24 and 32 ([`src::BENSON_KRAUSE_1984`]); over salt water the vapour pressure of Green & Carritt 1967.
///
/// Salinity is taken in g/L for g/kg, which costs less than 0.1 % of the result at 10 g/L.
///
/// # Errors
/// Outside 0 to 40 °C, 0 to 40 g/L or 0.5 to 1.1 atm, where the fit says nothing.
///
/// ```
/// use brimwise::science::oxygen_saturation::saturation;
/// use brimwise::units::{kinds::*, si::*};
/// let c = saturation(TEMPERATURE.of(celsius(20.0)), SALINITY.of(0.0), PRESSURE.of(101_325.0)).unwrap();
/// assert!((c.value - mg_l(9.092)).abs() < mg_l(0.002));
/// ```
pub fn saturation(
    t: ThermodynamicTemperature,
    salinity: MassConcentration,
    pressure: Pressure,
) -> Result<MassConcentration, OutOfRange> {
    let s = within("salinity", salinity.value, SALINITIES)?;
    let p = within("air pressure", pressure.value / ATMOSPHERE.value, PRESSURES)?;
    let c = within("temperature", celsius(t), TEMPERATURES)?;
    let t = c + ZERO_CELSIUS;
    let x = 1.0 / t;
    let [a0, a1, a2, a3, a4] = FRESH.map(|c| c.value);
    let [b0, b1, b2] = SALT.map(|c| c.value);
    let one = (a0 + x * (a1 + x * (a2 + x * (a3 + x * a4))) - s * (b0 + x * (b1 + x * b2))).exp();
    let [t0, t1, t2] = THETA.map(|c| c.value);
    let theta = t0 + c * (t1 + c * t2);
    let vapour = vapour(t, s);
    let scale = p * (1.0 - vapour / p) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta));
    Ok(CONCENTRATION.of(one * scale * MILLI))
}

const LAPSE: Coef = Coef::new(2.255_77e-5, "1/m", &src::STANDARD_ATMOSPHERE, "0 to 11 km");
const LAPSE_POWER: Coef = Coef::new(5.255_88, "1", &src::STANDARD_ATMOSPHERE, "0 to 11 km");
/// Altitudes of the standard atmosphere: from the Dead Sea to the tropopause.
const ALTITUDES: [Coef; 2] = [
    Coef::new(-430.0, "m", &src::STANDARD_ATMOSPHERE, "lowest dry land"),
    Coef::new(11_000.0, "m", &src::STANDARD_ATMOSPHERE, "0 to 11 km"),
];

/// Air pressure at an altitude in the standard atmosphere.
///
/// `P = 101325 (1 - 2.25577e-5 z)^5.25588`, z in m above the sea (ISO 2533:1975). Weather moves it by 3 %.
///
/// # Errors
/// Below -430 m or above 11 000 m.
pub fn pressure_at(altitude: Length) -> Result<Pressure, OutOfRange> {
    let z = within("altitude", altitude.value, ALTITUDES)?;
    Ok(PRESSURE.of(ATMOSPHERE.value * (1.0 - LAPSE.value * z).powf(LAPSE_POWER.value)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si;

    fn at(t: f64, s: f64, atm: f64) -> f64 {
        saturation(TEMPERATURE.of(si::celsius(t)), SALINITY.of(s), PRESSURE.of(atm * 101_325.0)).unwrap().value * 1e3
    }
    fn high(t: f64, z: f64) -> f64 {
        let p = pressure_at(LENGTH.of(z)).unwrap();
        saturation(TEMPERATURE.of(si::celsius(t)), SALINITY.of(0.0), p).unwrap().value * 1e3
    }

    /// Checked by another route with gsw 3.6.23 (Garcia & Gordon 1992) within 0.002 mg/L.
    #[test]
    fn worked_values() {
        for (t, s, p, expect, within) in [
            (0.0, 0.0, 1.0, 14.621, 0.002),
            (20.0, 0.0, 1.0, 9.092, 0.002),
            (25.0, 0.0, 1.0, 8.263, 0.002),
            (30.0, 0.0, 1.0, 7.559, 0.002),
            (25.0, 35.0, 1.0, 6.772, 0.004),
            (20.0, 0.0, 0.96, 8.720, 0.003),
            (30.0, 0.0, 0.85, 6.376, 0.003),
        ] {
            assert!((at(t, s, p) - expect).abs() <= within, "{t} {s} {p}: {}", at(t, s, p));
        }
        // 1000 m: the vapour takes its full share, so plain proportion (7.329) is wrong.
        assert!((high(25.0, 1000.0) - 7.300).abs() <= 0.003);
        let p = pressure_at(LENGTH.of(1000.0)).unwrap().value / 101_325.0;
        assert!((p - 0.886_99).abs() < 1e-5, "{p}");
    }

    /// EN 25814 / ISO 5814, printed table at 101.325 kPa, fresh water.
    #[test]
    fn the_printed_table() {
        for (t, expect, digits) in [
            (10.0, 11.3, 0.05),
            (15.0, 10.1, 0.05),
            (16.0, 9.87, 0.005),
            (18.0, 9.47, 0.005),
            (20.0, 9.09, 0.005),
            (22.0, 8.74, 0.005),
            (24.0, 8.42, 0.005),
            (25.0, 8.26, 0.005),
            (26.0, 8.11, 0.005),
            (28.0, 7.83, 0.005),
            (30.0, 7.56, 0.005),
        ] {
            assert!((at(t, 0.0, 1.0) - expect).abs() <= digits + 1e-9, "{t}: {}", at(t, 0.0, 1.0));
        }
    }

    /// Rows of the table by temperature: salinities 5, 10, 35 and altitudes 500, 1000, 2000 m, computed from the equation elsewhere.
    #[test]
    fn salt_and_altitude() {
        for (t, s5, s10, s35, z500, z1000, z2000) in [
            (5.0, 12.351, 11.946, 10.108, 12.026, 11.316, 9.998),
            (15.0, 9.779, 9.484, 8.135, 9.491, 8.926, 7.876),
            (35.0, 6.767, 6.589, 5.769, 6.524, 6.118, 5.365),
        ] {
            for (got, expect) in [
                (at(t, 5.0, 1.0), s5),
                (at(t, 10.0, 1.0), s10),
                (at(t, 35.0, 1.0), s35),
                (high(t, 500.0), z500),
                (high(t, 1000.0), z1000),
                (high(t, 2000.0), z2000),
            ] {
                assert!((got - expect).abs() <= 0.001, "{t}: {got} {expect}");
            }
        }
    }

    #[test]
    fn the_two_vapour_pressures_agree() {
        for t in 0..=40 {
            let t = f64::from(t) + ZERO_CELSIUS;
            assert!((vapour(t, 0.0) - vapour(t, 1e-12)).abs() < 2.6e-5, "{t}");
        }
    }

    #[test]
    fn refuses_what_the_fit_does_not_cover() {
        let t = |x: f64| TEMPERATURE.of(si::celsius(x));
        let (fresh, sea_level) = (SALINITY.of(0.0), PRESSURE.of(101_325.0));
        for bad in [-0.1, 40.1, f64::NAN, f64::INFINITY] {
            let e = saturation(t(bad), fresh, sea_level).unwrap_err();
            assert_eq!((e.what, e.low, e.high), ("temperature", 0.0, 40.0));
        }
        assert!(saturation(t(20.0), SALINITY.of(40.1), sea_level).is_err());
        assert!(saturation(t(20.0), SALINITY.of(-0.1), sea_level).is_err());
        for p in [0.49, 1.11] {
            let e = saturation(t(20.0), fresh, PRESSURE.of(p * 101_325.0)).unwrap_err();
            assert!(e.to_string().contains("air pressure"), "{e}");
        }
        assert!(
            saturation(t(0.0), fresh, sea_level).is_ok() && saturation(t(40.0), SALINITY.of(40.0), sea_level).is_ok()
        );
        assert!(pressure_at(LENGTH.of(-431.0)).is_err() && pressure_at(LENGTH.of(12_000.0)).is_err());
    }
}
