//! Pure water at atmospheric pressure: density, viscosity, vapour pressure by temperature.
//!
//! Each correlation has few coefficients and reproduces the international formulation (IAPWS-95, with the IAPWS viscosity of 2008)
//! within 0.01 % from 0 to 45 °C. Salt, dissolved gas and solids of a fish system change density by less than 0.5 % and viscosity by
//! less than 2 %, and are left out.

use crate::catalog::sources::{Coef, hydraulics as src};
use crate::units::si::ZERO_CELSIUS;
use crate::units::{DynamicViscosity, KinematicViscosity, MassDensity, Pressure, Q, ThermodynamicTemperature};
use std::marker::PhantomData;

/// Lowest temperature of the correlations, °C. Colder is taken as this.
const COLDEST: Coef = Coef::new(0.0, "degC", &src::TANAKA_2001, "fresh water freezes");
/// Highest temperature of the correlations, °C. Hotter is taken as this.
pub const HOTTEST: Coef =
    Coef::new(45.0, "degC", &src::TANAKA_2001, "the density is published to 40 and holds within 3 ppm to 45");

/// Degrees Celsius within the range of this file. Calculators refuse temperatures outside before they come here.
fn celsius(t: ThermodynamicTemperature) -> f64 {
    let c = t.value - ZERO_CELSIUS;
    if c.is_nan() { COLDEST.value } else { c.clamp(COLDEST.value, HOTTEST.value) }
}

const DENSITY: [Coef; 5] = [
    Coef::new(-3.983_035, "degC", &src::TANAKA_2001, "0 to 40 degC, air-free"),
    Coef::new(301.797, "degC", &src::TANAKA_2001, "0 to 40 degC, air-free"),
    Coef::new(522_528.9, "degC2", &src::TANAKA_2001, "0 to 40 degC, air-free"),
    Coef::new(69.348_81, "degC", &src::TANAKA_2001, "0 to 40 degC, air-free"),
    Coef::new(999.974_950, "kg/m3", &src::TANAKA_2001, "0 to 40 degC, air-free"),
];

/// Density of fresh water.
///
/// `rho = a5 [1 - (t + a1)^2 (t + a2) / (a3 (t + a4))]`, t in °C: Tanaka et al. 2001, equation 1.
///
/// Valid 0 to 45 °C (see [`HOTTEST`]); outside, the nearer end counts. Within 3 ppm of IAPWS-95.
pub fn density(t: ThermodynamicTemperature) -> MassDensity {
    let t = celsius(t);
    let [a1, a2, a3, a4, a5] = DENSITY.map(|c| c.value);
    quantity(a5 * (1.0 - (t + a1).powi(2) * (t + a2) / (a3 * (t + a4))))
}

const VISCOSITY_SCALE: Coef = Coef::new(300.0, "K", &src::PATEK_2009, "reducing temperature");
const VISCOSITY: [(Coef, Coef); 4] = [
    (
        Coef::new(280.68e-6, "Pa s", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
        Coef::new(-1.9, "1", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
    ),
    (
        Coef::new(511.45e-6, "Pa s", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
        Coef::new(-7.7, "1", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
    ),
    (
        Coef::new(61.131e-6, "Pa s", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
        Coef::new(-19.6, "1", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
    ),
    (
        Coef::new(0.459_03e-6, "Pa s", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
        Coef::new(-40.0, "1", &src::PATEK_2009, "253 to 383 K, 0.1 MPa"),
    ),
];

/// Dynamic viscosity of fresh water.
///
/// `mu = sum of c_i (T/300 K)^d_i`, four terms: Patek et al. 2009, adopted by IAPWS (SR6-08, liquid water at 0.1 MPa).
///
/// Valid 0 to 45 °C here; outside, the nearer end counts. Within 0.003 % of the IAPWS formulation of 2008 (itself good to 1 %).
pub fn viscosity(t: ThermodynamicTemperature) -> DynamicViscosity {
    let x = (celsius(t) + ZERO_CELSIUS) / VISCOSITY_SCALE.value;
    quantity(VISCOSITY.iter().map(|(c, d)| c.value * x.powf(d.value)).sum())
}

/// Kinematic viscosity of fresh water: [`viscosity`] over [`density`].
///
/// ```
/// use brimwise::{science::water, units::{kinds::TEMPERATURE, si::celsius}};
/// let nu = water::kinematic(TEMPERATURE.of(celsius(20.0)));
/// assert!((nu.value - 1.0034e-6).abs() < 1e-9);
/// ```
pub fn kinematic(t: ThermodynamicTemperature) -> KinematicViscosity {
    quantity(viscosity(t).value / density(t).value)
}

const CRITICAL_TEMPERATURE: Coef = Coef::new(647.096, "K", &src::WAGNER_PRUSS_1993, "critical point");
const CRITICAL_PRESSURE: Coef = Coef::new(22.064e6, "Pa", &src::WAGNER_PRUSS_1993, "critical point");
const VAPOUR: [(Coef, f64); 6] = [
    (Coef::new(-7.859_517_83, "1", &src::WAGNER_PRUSS_1993, "triple to critical point"), 1.0),
    (Coef::new(1.844_082_59, "1", &src::WAGNER_PRUSS_1993, "triple to critical point"), 1.5),
    (Coef::new(-11.786_649_7, "1", &src::WAGNER_PRUSS_1993, "triple to critical point"), 3.0),
    (Coef::new(22.680_741_1, "1", &src::WAGNER_PRUSS_1993, "triple to critical point"), 3.5),
    (Coef::new(-15.961_871_9, "1", &src::WAGNER_PRUSS_1993, "triple to critical point"), 4.0),
    (Coef::new(1.801_225_02, "1", &src::WAGNER_PRUSS_1993, "triple to critical point"), 7.5),
];

/// Pressure of saturated water vapour over liquid water.
///
/// `ln(p/pc) = (Tc/T) sum of a_i (1 - T/Tc)^n_i`, n = 1, 1.5, 3, 3.5, 4, 7.5: Wagner & Pruss 1993, adopted by IAPWS (SR1-86).
///
/// Valid 0 to 45 °C here; outside, the nearer end counts. Within 0.01 % of IAPWS-95.
pub fn vapour_pressure(t: ThermodynamicTemperature) -> Pressure {
    let t = celsius(t) + ZERO_CELSIUS;
    let below = 1.0 - t / CRITICAL_TEMPERATURE.value;
    let sum: f64 = VAPOUR.iter().map(|(a, n)| a.value * below.powf(*n)).sum();
    quantity(CRITICAL_PRESSURE.value * (CRITICAL_TEMPERATURE.value / t * sum).exp())
}

/// A temperature typed in °C, for tests and defaults.
pub const fn at_celsius(c: f64) -> ThermodynamicTemperature {
    quantity(c + ZERO_CELSIUS)
}

const fn quantity<D: uom::si::Dimension + ?Sized>(value: f64) -> Q<D> {
    Q { dimension: PhantomData, units: PhantomData, value }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IAPWS-95 and the IAPWS viscosity of 2008 at 101.325 kPa, by the Python library iapws 1.5.5: °C, kg/m3, mPa s.
    const IAPWS: [(f64, f64, f64); 8] = [
        (0.0, 999.8431, 1.791_753),
        (4.0, 999.9749, 1.567_292),
        (10.0, 999.7025, 1.305_901),
        (15.0, 999.1026, 1.137_570),
        (20.0, 998.2071, 1.001_600),
        (25.0, 997.0476, 0.890_023),
        (30.0, 995.6495, 0.797_221),
        (45.0, 990.2126, 0.595_769),
    ];

    #[test]
    fn density_and_viscosity_against_iapws() {
        for (t, rho, mu) in IAPWS {
            let t = at_celsius(t);
            assert!((density(t).value / rho - 1.0).abs() < 1e-5, "{t:?} {}", density(t).value);
            assert!((viscosity(t).value * 1000.0 / mu - 1.0).abs() < 1e-4, "{t:?} {}", viscosity(t).value);
        }
    }

    #[test]
    fn the_density_table_of_tanaka() {
        // Tanaka et al. 2001, recommended table (recalled): kg/m3, air-free water.
        for (t, rho) in [(0.0, 999.8428), (4.0, 999.9749), (20.0, 998.2067), (25.0, 997.0470), (40.0, 992.2152)] {
            assert!((density(at_celsius(t)).value - rho).abs() < 1e-4, "{t}");
        }
    }

    #[test]
    fn the_reference_point_of_viscosity() {
        // IAPWS R12-08 and ISO/TR 3666: 1.0016 mPa s at 20 °C.
        assert!((viscosity(at_celsius(20.0)).value - 1.0016e-3).abs() < 1e-7);
        // Handbook values of kinematic viscosity, 1e-6 m2/s.
        for (t, nu) in [(15.0, 1.139), (20.0, 1.003), (25.0, 0.893), (30.0, 0.801)] {
            assert!((kinematic(at_celsius(t)).value * 1e6 - nu).abs() < 1e-3, "{t}");
        }
    }

    #[test]
    fn vapour_pressure_against_tables() {
        // IAPWS-95 saturation, Pa (iapws 1.5.5), and within 0.03 % the tables of psychrometry (ASHRAE: 2338.8 at 20, 3169.2 at 25).
        for (t, p) in [(10.0, 1228.20), (20.0, 2339.32), (25.0, 3169.93), (30.0, 4246.97), (40.0, 7384.94)] {
            assert!((vapour_pressure(at_celsius(t)).value / p - 1.0).abs() < 1e-4, "{t}");
        }
        for (t, p) in [(20.0, 2338.8), (25.0, 3169.2), (28.0, 3782.2), (30.0, 4246.0)] {
            assert!((vapour_pressure(at_celsius(t)).value / p - 1.0).abs() < 3e-4, "{t}");
        }
    }

    #[test]
    fn outside_the_range_the_nearer_end_counts() {
        assert_eq!(density(at_celsius(-40.0)), density(at_celsius(0.0)));
        assert_eq!(viscosity(at_celsius(80.0)), viscosity(at_celsius(45.0)));
        assert_eq!(vapour_pressure(crate::units::kinds::TEMPERATURE.of(f64::NAN)), vapour_pressure(at_celsius(0.0)));
        assert!(kinematic(crate::units::kinds::TEMPERATURE.of(0.0)).value.is_finite());
    }
}
