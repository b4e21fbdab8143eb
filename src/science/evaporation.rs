//! Evaporation from open water, and the heat that goes with it.

use super::water;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{
    Area, MassRate, Pressure, Q, Ratio, ThermodynamicTemperature, Velocity, kinds::PRESSURE, si::ZERO_CELSIUS,
};
use std::marker::PhantomData;
use uom::si::f64::AvailableEnergy;

pub(super) const fn quantity<D: uom::si::Dimension + ?Sized>(value: f64) -> Q<D> {
    Q { dimension: PhantomData, units: PhantomData, value }
}

/// Standard atmosphere, for evaporation and convection at any height: thinner air carries off more vapour and less heat. At 2000 m the losses of
/// a tank change by up to 9 % (test `thin_air_changes_little` of `heat`), a fraction of what the equation scatters.
pub const ATMOSPHERE: Coef = Coef::new(101_325.0, "Pa", &src::BOWEN_1926, "sea level");

const LATENT: [Coef; 4] = [
    Coef::new(2500.8e3, "J/kg", &src::ROGERS_YAU_1989, "0 to 45 degC"),
    Coef::new(-2.36e3, "J/(kg K)", &src::ROGERS_YAU_1989, "0 to 45 degC"),
    Coef::new(1.6, "J/(kg K2)", &src::ROGERS_YAU_1989, "0 to 45 degC"),
    Coef::new(-0.06, "J/(kg K3)", &src::ROGERS_YAU_1989, "0 to 45 degC"),
];
const LATENT_TO: f64 = 45.0;

/// Latent heat of vaporisation of water.
///
/// `Y = 2500.8 - 2.36 t + 0.0016 t² - 0.00006 t³` kJ/kg, t in °C: fit to Rogers & Yau 1989, table 2.1.
///
/// Valid 0 to 45 °C; outside, the nearer end counts. Within 0.05 % of IAPWS-95 to 40 °C, where the table ends, and 0.1 % beyond.
pub fn latent_heat(t: ThermodynamicTemperature) -> AvailableEnergy {
    let c = (t.value - ZERO_CELSIUS).clamp(0.0, LATENT_TO);
    let [a, b, d, e] = LATENT.map(|x| x.value);
    quantity(a + c * (b + c * (d + c * e)))
}

const TRIPLE_TEMPERATURE: Coef = Coef::new(273.16, "K", &src::IAPWS_R14, "triple point");
const TRIPLE_PRESSURE: Coef = Coef::new(611.657, "Pa", &src::IAPWS_R14, "triple point");
const ICE: [(Coef, Coef); 3] = [
    (
        Coef::new(-21.214_400_6, "1", &src::IAPWS_R14, "50 to 273.16 K"),
        Coef::new(0.003_333_333_33, "1", &src::IAPWS_R14, "50 to 273.16 K"),
    ),
    (
        Coef::new(27.320_381_9, "1", &src::IAPWS_R14, "50 to 273.16 K"),
        Coef::new(1.206_666_67, "1", &src::IAPWS_R14, "50 to 273.16 K"),
    ),
    (
        Coef::new(-6.105_981_30, "1", &src::IAPWS_R14, "50 to 273.16 K"),
        Coef::new(1.703_333_33, "1", &src::IAPWS_R14, "50 to 273.16 K"),
    ),
];

/// Pressure of the water vapour in air.
///
/// `pa = RH ps(T)`; above 0 °C ps over water ([`water::vapour_pressure`]), below over ice,
/// `ln(ps/pt) = (1/th) sum of a_i th^b_i`, th = T/273.16 K: IAPWS R14-08.
///
/// Valid -60 to 45 °C; warmer counts as 45. Humidity 0 to 1.
pub fn vapour_in_air(air: ThermodynamicTemperature, humidity: Ratio) -> Pressure {
    let saturated = if air.value >= ZERO_CELSIUS {
        water::vapour_pressure(air).value
    } else {
        let th = air.value / TRIPLE_TEMPERATURE.value;
        let sum: f64 = ICE.iter().map(|(a, b)| a.value * th.powf(b.value)).sum();
        TRIPLE_PRESSURE.value * (sum / th).exp()
    };
    PRESSURE.of(saturated * humidity.value)
}

pub(super) const STILL_AIR: Coef =
    Coef::new(0.089, "W/(m2 Pa)", &src::CARRIER_1918, "light winds; how far the original reaches was not seen");
const PER_SPEED: Coef =
    Coef::new(0.0782, "J/(m3 Pa)", &src::CARRIER_1918, "light winds; how far the original reaches was not seen");

/// The share of the equation's evaporation that a still, quiet surface gives at most.
pub const QUIET: Coef = Coef::new(0.74, "1", &src::SMITH_1998, "undisturbed water");
/// The share at the low end of what was measured on quiet indoor pools.
pub const QUIET_LOW: Coef = Coef::new(0.50, "1", &src::POOLS_2022, "undisturbed water indoors");
/// The factor for a surface broken by air or falling water.
pub const BROKEN: Coef = Coef::new(1.2, "1", &src::SURFACE_MOTION, "air stones, falls, spray");

/// Heat carried off by evaporation from one square metre, W/m², for raw pressures in Pa and air speed in m/s.
pub(super) fn flux(p_water: f64, p_air: f64, speed: f64, factor: f64) -> f64 {
    (p_water - p_air) * (STILL_AIR.value + PER_SPEED.value * speed) * factor
}

/// The wind part of the transfer coefficient, per speed: for convection by the same air.
pub(super) const WIND: Coef = PER_SPEED;

/// Evaporation from an open water surface.
///
/// `m = A (pw - pa)(0.089 + 0.0782 V)/Y · Fa`, Pa, m/s, J/kg: Carrier 1918, as in the ASHRAE Handbook. `factor` Fa: [`QUIET`],
/// [`BROKEN`]. Negative where air is damp and warmer than the water: then vapour condenses on it.
///
/// Valid for water 0 to 45 °C, air -60 to 45 °C. Measurements scatter by 20 to 30 % around it.
pub fn evaporation(
    surface: Area,
    water: ThermodynamicTemperature,
    air: ThermodynamicTemperature,
    humidity: Ratio,
    speed: Velocity,
    factor: Ratio,
) -> MassRate {
    let (pw, pa) = (water::vapour_pressure(water).value, vapour_in_air(air, humidity).value);
    quantity(surface.value * flux(pw, pa, speed.value, factor.value) / latent_heat(water).value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kinds::*, si::*};

    fn rate(area: f64, water: f64, air: f64, rh: f64, v: f64, f: f64) -> (f64, f64) {
        let t = |c| TEMPERATURE.of(celsius(c));
        let m = evaporation(AREA.of(area), t(water), t(air), PERCENT.of(rh), VELOCITY.of(v), RATIO.of(f)).value;
        (m * 3600.0, m * latent_heat(t(water)).value)
    }
    fn near(a: f64, b: f64, share: f64) {
        assert!((a / b - 1.0).abs() < share, "{a} not {b}");
    }

    #[test]
    fn worked_values_of_the_equation() {
        // Worked independently with saturation pressures of the ASHRAE tables and IAPWS latent heats: kg/h and W.
        for (args, kg_h, w) in [
            ((1.0, 28.0, 24.0, 0.60, 0.0, 1.0), 0.262, 177.0),
            ((1.0, 28.0, 24.0, 0.60, 0.0, 0.5), 0.131, 88.6),
            ((1.0, 25.0, 20.0, 0.50, 1.0, 1.0), 0.493, 334.0),
        ] {
            let (m, q) = rate(args.0, args.1, args.2, args.3, args.4, args.5);
            near(m, kg_h, 0.004);
            near(q, w, 0.004);
        }
    }

    #[test]
    fn the_pool_of_a_public_worked_example() {
        // Engineering ToolBox, evaporation from a pool of 25 x 20 m: water and air 25 °C, x 0.0098 in the air, 0.02 saturated, 0.5 m/s;
        // printed 0.049 kg/s by its own (25 + 19 v) A (xs - x) kg/h. The ASHRAE form gives 15 % less: 0.0416.
        let printed: f64 = (25.0 + 19.0 * 0.5) * 500.0 * (0.02 - 0.0098) / 3600.0;
        near(printed, 0.049, 0.01);
        let p_air = 0.0098 * 101_325.0 / (0.621_945 + 0.0098);
        let rh = p_air / water::vapour_pressure(TEMPERATURE.of(celsius(25.0))).value;
        let ours = rate(500.0, 25.0, 25.0, rh, 0.5, 1.0).0 / 3600.0;
        near(ours, 0.0416, 0.01);
        near(ours / printed, 0.85, 0.02);
    }

    #[test]
    fn latent_heat_against_iapws_and_a_pool_keepers_gallon() {
        // IAPWS-95, kJ/kg (iapws 1.5.5).
        for (t, kj) in [(15.0, 2465.4), (20.0, 2453.5), (25.0, 2441.7), (28.0, 2434.6), (30.0, 2429.8), (40.0, 2406.0)]
        {
            near(latent_heat(TEMPERATURE.of(celsius(t))).value, kj * 1e3, 5e-4);
        }
        // A US gallon of pool water evaporated takes 8730 BTU, as pool pages print; 8.34 lb of it at 82 °F.
        let t = TEMPERATURE.of(TEMPERATURE.0.units[1].to_si(82.0));
        let btu = latent_heat(t).value * 8.34 * 0.453_592_37 / 1055.056;
        near(btu, 8730.0, 0.003);
    }

    #[test]
    fn frost_meets_water_at_the_triple_point() {
        let full = |c| vapour_in_air(TEMPERATURE.of(celsius(c)), PERCENT.of(1.0)).value;
        near(full(-1e-6), full(0.0), 1e-3);
        // ASHRAE Handbook, Fundamentals, vapour pressure over ice: 259.90 Pa at -10, 103.24 Pa at -20 °C.
        near(full(-10.0), 259.90, 1e-3);
        near(full(-20.0), 103.24, 1e-3);
        // Damp warm air condenses on cold water.
        assert!(rate(1.0, 10.0, 30.0, 0.9, 0.0, 1.0).0 < 0.0);
    }
}
