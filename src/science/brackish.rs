//! Un-ionised ammonia where there is salt in the water.

use super::ammonia;
use super::oxygen_saturation::OutOfRange;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{MassConcentration, Ratio, ThermodynamicTemperature, kinds::RATIO};

const JOHANSSON_WEDBORG: [Coef; 3] = [
    Coef::new(-0.467, "1", &src::JOHANSSON_WEDBORG_1980, "5 to 40 g/kg of salt, 5 to 35 degC"),
    Coef::new(0.001_13, "kg/g", &src::JOHANSSON_WEDBORG_1980, "5 to 40 g/kg of salt, 5 to 35 degC"),
    Coef::new(2887.9, "K", &src::JOHANSSON_WEDBORG_1980, "5 to 40 g/kg of salt, 5 to 35 degC"),
];
/// Below this the equation of fresh water counts.
pub const FROM: Coef = Coef::new(5.0, "g/L", &src::JOHANSSON_WEDBORG_1980, "not to be used below");

/// Share of the total ammonia that is un-ionised: in fresh water [`ammonia::unionised_share`]; from 5 g/L of salt on, the larger of that
/// and `pKa = -0.467 + 0.00113 S + 2887.9/T` (Johansson & Wedborg 1980, from memory).
///
/// The two part by 4 % at 5 g/L and meet again near 25 g/L; the larger share is the safe one.
///
/// # Errors
/// Outside pH 6 to 10 or 0 to 50 °C.
pub fn unionised_share(
    t: ThermodynamicTemperature,
    ph: Ratio,
    salinity: MassConcentration,
) -> Result<Ratio, OutOfRange> {
    let fresh = ammonia::unionised_share(t, ph)?;
    if salinity.value < FROM.value {
        return Ok(fresh);
    }
    let [a, b, c] = JOHANSSON_WEDBORG.map(|c| c.value);
    let pka = a + b * salinity.value + c / t.value;
    let salt = 1.0 / (1.0 + ((pka - ph.value) * std::f64::consts::LN_10).exp());
    Ok(RATIO.of(fresh.value.max(salt)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kinds::*, si::*};

    #[test]
    fn salt_changes_little() {
        let share =
            |s: f64| unionised_share(TEMPERATURE.of(celsius(25.0)), RATIO.of(8.0), SALINITY.of(s)).unwrap().value;
        assert!((share(0.0) - 0.0537).abs() < 0.0001);
        assert_eq!(share(4.9), share(0.0));
        // pKa 9.2247 at 5 g/L and 25 °C: 0.0562.
        assert!((share(5.0) - 0.0562).abs() < 0.0002, "{}", share(5.0));
        assert!(share(35.0) >= share(0.0) && share(35.0) < 1.1 * share(0.0));
        assert!(unionised_share(TEMPERATURE.of(celsius(25.0)), RATIO.of(5.0), SALINITY.of(20.0)).is_err());
    }
}
