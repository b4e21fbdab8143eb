//! Un-ionised ammonia where there is salt in the water.

use super::ammonia;
use super::oxygen_saturation::OutOfRange;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{MassConcentration, Ratio, ThermodynamicTemperature, kinds::RATIO};

const MEASURED: &str = "5 to 40 g/kg of salt, 5 to 25 degC; carried on to warmer and colder water";
const JOHANSSON_WEDBORG: [Coef; 3] = [
    Coef::new(-0.467, "1", &src::JOHANSSON_WEDBORG_1980, MEASURED),
    Coef::new(0.001_13, "kg/g", &src::JOHANSSON_WEDBORG_1980, MEASURED),
    Coef::new(2887.9, "K", &src::JOHANSSON_WEDBORG_1980, MEASURED),
];
/// Below this the equation of fresh water goes over into that of salt water.
pub const FROM: Coef = Coef::new(5.0, "g/L", &src::JOHANSSON_WEDBORG_1980, "not to be used by itself below");

/// Share of the total ammonia that is un-ionised: in fresh water [`ammonia::unionised_share`]; from 5 g/L of salt on, the larger of that
/// and `pKa = -0.467 + 0.00113 S + 2887.9/T` (Johansson & Wedborg 1980, from memory). Between the two in a straight line.
///
/// At 5 g/L the second is 4 % below the first at 5 °C, 4 % above it at 25 °C and 10 % at 40 °C, and it falls with the salt; the larger share
/// is the safe one.
///
/// # Errors
/// Outside pH 4.5 to 10 or 0 to 50 °C.
pub fn unionised_share(
    t: ThermodynamicTemperature,
    ph: Ratio,
    salinity: MassConcentration,
) -> Result<Ratio, OutOfRange> {
    let fresh = ammonia::unionised_share(t, ph)?;
    let [a, b, c] = JOHANSSON_WEDBORG.map(|c| c.value);
    let pka = a + b * salinity.value + c / t.value;
    let salt = 1.0 / (1.0 + ((pka - ph.value) * std::f64::consts::LN_10).exp());
    let part = (salinity.value / FROM.value).min(1.0);
    Ok(RATIO.of(fresh.value + (salt - fresh.value).max(0.0) * part))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kinds::*, si::*};

    /// Millero 1995 (Geochim. Cosmochim. Acta 59: 661-677), dissociation of ammonium in sea water, as coded in the R package seacarb: a fit to
    /// other measurements, to 45 °C. Our share, the larger of two, is never more than 6 % below it.
    #[test]
    fn another_fit_in_cold_and_warm_water() {
        for salt in [5.0, 10.0, 20.0, 35.0f64] {
            for c in [5.0, 15.0, 25.0, 30.0, 35.0, 40.0] {
                let t = celsius(c);
                let ln = -6285.33 / t + 0.000_163_5 * t - 0.254_44
                    + (0.465_32 - 123.718_4 / t) * salt.sqrt()
                    + (-0.019_92 + 3.175_56 / t) * salt;
                for ph in [7.0, 8.0] {
                    let other = 1.0 / (1.0 + (-ln - ph * std::f64::consts::LN_10).exp());
                    let ours =
                        unionised_share(TEMPERATURE.of(celsius(c)), RATIO.of(ph), SALINITY.of(salt)).unwrap().value;
                    assert!((0.94..1.2).contains(&(ours / other)), "{salt} g/kg, {c} °C, pH {ph}: {ours} {other}");
                }
            }
        }
    }

    #[test]
    fn salt_changes_little() {
        let share =
            |s: f64| unionised_share(TEMPERATURE.of(celsius(25.0)), RATIO.of(8.0), SALINITY.of(s)).unwrap().value;
        assert!((share(0.0) - 0.0537).abs() < 0.0001);
        // No jump at 5 g/L, and half of the way there at 2.5.
        assert!((share(4.999) / share(5.0) - 1.0).abs() < 1e-4);
        assert!(((share(2.5) - share(0.0)) / (share(5.0) - share(0.0)) - 0.5).abs() < 0.1);
        // pKa -0.467 + 0.00113 x 5 + 2887.9/298.15 = 9.2247 at 5 g/L and 25 °C: 0.0562.
        assert!((share(5.0) - 0.0562).abs() < 0.0002, "{}", share(5.0));
        // And 8.7947 at 35 g/L and 40 °C: 0.1383. The paper was not seen.
        let hot = unionised_share(TEMPERATURE.of(celsius(40.0)), RATIO.of(8.0), SALINITY.of(35.0)).unwrap().value;
        assert!((hot - 0.1383).abs() < 0.0003, "{hot}");
        assert!(share(35.0) >= share(0.0) && share(35.0) < 1.1 * share(0.0));
        assert!(unionised_share(TEMPERATURE.of(celsius(25.0)), RATIO.of(4.4), SALINITY.of(20.0)).is_err());
    }
}
