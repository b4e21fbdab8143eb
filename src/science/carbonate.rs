//! Carbonic acid in fresh water: pH from alkalinity and carbon dioxide, and the pH of two waters mixed.
//!
//! Alkalinity counts as bicarbonate, carbonate and hydroxide; ammonia, phosphate and plant acids are left out. Activities are taken as
//! concentrations: at 0.01 M that moves a pH by 0.05.

use super::solve;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{MassConcentration, Ratio, ThermodynamicTemperature, Volume, kinds::*};

const K1: [Coef; 5] = [
    Coef::new(-356.3094, "1", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(-0.060_919_64, "1/K", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(21_834.37, "K", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(126.8339, "1", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(-1_684_915.0, "K2", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
];
const K2: [Coef; 5] = [
    Coef::new(-107.8871, "1", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(-0.032_528_49, "1/K", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(5151.79, "K", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(38.925_61, "1", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
    Coef::new(-563_713.9, "K2", &src::PLUMMER_BUSENBERG_1982, "0 to 90 degC"),
];
const KW: [Coef; 3] = [
    Coef::new(-4470.99, "K", &src::HARNED_OWEN_1958, "0 to 60 degC"),
    Coef::new(-0.017_060, "1/K", &src::HARNED_OWEN_1958, "0 to 60 degC"),
    Coef::new(6.0875, "1", &src::HARNED_OWEN_1958, "0 to 60 degC"),
];
/// Grams of calcium carbonate in an equivalent.
const CARBONATE_EQUIVALENT: Coef = Coef::new(50.0435, "g/eq", &src::STOICHIOMETRY, "half of 100.087");
const CARBON_DIOXIDE: Coef = Coef::new(44.0095, "g/mol", &src::STOICHIOMETRY, "CO2");
/// Carbon dioxide that is left in well aired water. Air alone would keep 0.6 mg/L in it at 25 °C and 0.9 at 15; fish and filter go on making it, so two or three
/// times that are left. The less is counted, the higher the pH at which ammonia is judged: this is the low end of what practice leaves.
pub const AIRED_GAS: Coef = Coef::new(1.5, "mg/L", &src::AIRED, "aired water that fish live in");

/// Ends of the search for a pH.
const PH: [f64; 2] = [3.0, 12.0];

fn ten(x: f64) -> f64 {
    (x * std::f64::consts::LN_10).exp()
}

/// Constants at one temperature, mol/L.
#[derive(Debug, Clone, Copy)]
struct Constants {
    k1: f64,
    k2: f64,
    kw: f64,
}

fn constants(t: ThermodynamicTemperature) -> Constants {
    let t = t.value;
    let five = |c: [Coef; 5]| {
        let [a, b, d, e, f] = c.map(|c| c.value);
        ten(a + b * t + d / t + e * t.log10() + f / (t * t))
    };
    let [a, b, c] = KW.map(|c| c.value);
    Constants { k1: five(K1), k2: five(K2), kw: ten(a / t + b * t + c) }
}

impl Constants {
    /// Equivalents per carbon, from bicarbonate and carbonate.
    fn charge(&self, h: f64) -> f64 {
        let (one, two) = (self.k1 * h, self.k1 * self.k2);
        (one + 2.0 * two) / (h * h + one + two)
    }
    /// Equivalents of free hydroxide less acid.
    fn free(&self, h: f64) -> f64 {
        self.kw / h - h
    }
    fn dissolved(&self, h: f64) -> f64 {
        h * h / (h * h + self.k1 * h + self.k1 * self.k2)
    }
    fn carbon(&self, ph: f64, alkalinity: f64) -> f64 {
        let h = ten(-ph);
        ((alkalinity - self.free(h)) / self.charge(h)).max(0.0)
    }
    fn ph(&self, alkalinity: f64, carbon: f64) -> f64 {
        let excess = |ph: f64| {
            let h = ten(-ph);
            carbon * self.charge(h) + self.free(h) - alkalinity
        };
        solve::crossing(excess, PH[0], PH[1], 1e-6)
    }
}

/// Equivalents per litre of an alkalinity given as calcium carbonate.
fn equivalents(as_carbonate: MassConcentration) -> f64 {
    as_carbonate.value / CARBONATE_EQUIVALENT.value
}

/// A water, as its carbonic acid sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// pH.
    pub ph: Ratio,
    /// Alkalinity, as calcium carbonate.
    pub alkalinity: MassConcentration,
}

/// Free carbon dioxide of a water: `[CO2] = DIC h²/(h² + K1 h + K1 K2)`, DIC from alkalinity and pH; constants of Plummer & Busenberg 1982.
///
/// Valid 0 to 45 °C, pH 4.5 to 10. A pH read 0.1 wrong makes it a quarter wrong.
pub fn carbon_dioxide(w: &Water) -> MassConcentration {
    let k = constants(w.temperature);
    let carbon = k.carbon(w.ph.value, equivalents(w.alkalinity));
    CONCENTRATION.of(carbon * k.dissolved(ten(-w.ph.value)) * CARBON_DIOXIDE.value)
}

/// The pH that goes with an alkalinity and a free carbon dioxide: the inverse of [`carbon_dioxide`].
pub fn ph_of(t: ThermodynamicTemperature, alkalinity: MassConcentration, carbon_dioxide: MassConcentration) -> Ratio {
    let k = constants(t);
    let (alkalinity, gas) = (equivalents(alkalinity), carbon_dioxide.value / CARBON_DIOXIDE.value);
    let excess = |ph: f64| {
        let h = ten(-ph);
        gas / k.dissolved(h) * k.charge(h) + k.free(h) - alkalinity
    };
    RATIO.of(solve::crossing(excess, PH[0], PH[1], 1e-6))
}

/// The pH of two waters mixed in a closed tank: alkalinity and total carbon are conserved, the pH follows from both.
///
/// Air then drives it further, towards its own carbon dioxide. Valid as [`carbon_dioxide`].
pub fn mixed_ph(first: (Volume, &Water), second: (Volume, &Water), t: ThermodynamicTemperature) -> Ratio {
    let all = first.0.value + second.0.value;
    if all <= 0.0 {
        return first.1.ph;
    }
    let part = |(v, w): (Volume, &Water)| {
        let a = equivalents(w.alkalinity);
        (v.value / all * a, v.value / all * constants(w.temperature).carbon(w.ph.value, a))
    };
    let ((a1, c1), (a2, c2)) = (part(first), part(second));
    RATIO.of(constants(t).ph(a1 + a2, c1 + c2))
}

/// The pH after bicarbonate is dissolved: alkalinity and carbon rise alike, by `rise` as calcium carbonate.
pub fn ph_with_bicarbonate(w: &Water, rise: MassConcentration) -> Ratio {
    let k = constants(w.temperature);
    let a = equivalents(w.alkalinity);
    let more = equivalents(rise);
    RATIO.of(k.ph(a + more, k.carbon(w.ph.value, a) + more))
}

/// The least rise by bicarbonate that brings the pH up to `ph`, as calcium carbonate, within `tolerance`: none where it is there already, `most`
/// where that does not do.
pub fn bicarbonate_for(
    w: &Water,
    ph: Ratio,
    most: MassConcentration,
    tolerance: MassConcentration,
) -> MassConcentration {
    let short = |x: f64| ph_with_bicarbonate(w, CONCENTRATION.of(x)).value - ph.value;
    CONCENTRATION.of(solve::crossing(short, 0.0, most.value, tolerance.value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    fn t(c: f64) -> ThermodynamicTemperature {
        TEMPERATURE.of(celsius(c))
    }
    fn water(c: f64, ph: f64, alk: f64) -> Water {
        Water { temperature: t(c), ph: RATIO.of(ph), alkalinity: CONCENTRATION.of(mg_l(alk)) }
    }

    /// Air of 420 ppm over water: 0.0339 and 0.0455 mol/(L atm) at 25 and 15 °C (from memory). Aired water holds two or three times that, and far less than
    /// harms; the pH that it leaves is the higher the less it is.
    #[test]
    fn aired_water_holds_a_little_more_than_air_keeps_in_it() {
        for henry in [0.0339, 0.0455f64] {
            let times = AIRED_GAS.value / (henry * 420e-6 * 44.01 * 1000.0);
            assert!((1.7..=3.0).contains(&times), "{times}");
        }
        let ph = |gas| ph_of(t(25.0), CONCENTRATION.of(mg_l(80.0)), CONCENTRATION.of(mg_l(gas)));
        assert!(ph(AIRED_GAS.value) > ph(3.0));
    }

    #[test]
    fn constants_of_the_literature() {
        // Plummer & Busenberg 1982, 25 °C: pK1 6.352, pK2 10.329; 0 °C: 6.577 and 10.627. Harned & Owen: pKw 13.995 at 25, 14.167 at 20 °C.
        for (c, pk1, pk2) in [(25.0, 6.352, 10.329), (0.0, 6.577, 10.627)] {
            let k = constants(t(c));
            assert!((-k.k1.log10() - pk1).abs() < 0.004, "{c} {}", -k.k1.log10());
            assert!((-k.k2.log10() - pk2).abs() < 0.004, "{c} {}", -k.k2.log10());
        }
        assert!((-constants(t(25.0)).kw.log10() - 13.995).abs() < 0.005);
        assert!((-constants(t(20.0)).kw.log10() - 14.167).abs() < 0.005);
    }

    #[test]
    fn carbon_dioxide_by_the_textbook_rule() {
        // In mid range CO2 = alkalinity 10^(pK1 - pH): 100 mg/L as CaCO3 at pH 7 and 25 °C, 2.0 meq/L, gives 2 x 10^-0.648 x 44 = 19.8 mg/L.
        let c = carbon_dioxide(&water(25.0, 7.0, 100.0)).value * 1000.0;
        assert!((c - 19.8).abs() < 0.2, "{c}");
        for (c, ph, alk) in [(10.0, 6.5, 20.0), (25.0, 7.2, 120.0), (28.0, 8.2, 250.0), (20.0, 5.0, 2.0)] {
            let w = water(c, ph, alk);
            assert!((ph_of(w.temperature, w.alkalinity, carbon_dioxide(&w)).value - ph).abs() < 1e-4, "{ph}");
        }
    }

    #[test]
    fn mixed_waters() {
        let (a, b) = (water(24.0, 6.6, 40.0), water(12.0, 8.0, 180.0));
        let mixed = |va: f64, vb: f64| mixed_ph((VOLUME.of(va), &a), (VOLUME.of(vb), &b), t(22.0)).value;
        // All of one is that one (at its own temperature), and in between lies in between, rising with the share.
        assert!((mixed_ph((VOLUME.of(1.0), &a), (VOLUME.of(0.0), &b), t(24.0)).value - 6.6).abs() < 1e-4);
        let way: Vec<f64> = [0.0, 0.1, 0.3, 0.6, 0.9].iter().map(|s| mixed(1.0 - s, *s)).collect();
        assert!(way.windows(2).all(|p| p[1] > p[0]), "{way:?}");
        // Not the mean of the pH: hard water leads.
        let half = mixed(0.5, 0.5);
        assert!(half > 6.6 && half < 7.3, "{half}");
        // Bicarbonate pushes the pH up, towards 8.3, and not past.
        let fed = ph_with_bicarbonate(&a, CONCENTRATION.of(mg_l(40.0))).value;
        assert!(fed > 6.8 && fed < 7.2, "{fed}");
        assert!(ph_with_bicarbonate(&a, CONCENTRATION.of(mg_l(4000.0))).value < 8.4);
        let rise =
            |to: f64| bicarbonate_for(&a, RATIO.of(to), CONCENTRATION.of(mg_l(500.0)), CONCENTRATION.of(mg_l(0.01)));
        assert!((rise(fed).value - mg_l(40.0)).abs() < mg_l(0.02));
        assert_eq!((rise(a.ph.value - 0.1).value, rise(9.0).value), (0.0, mg_l(500.0)));
    }

    #[test]
    fn water_without_buffer() {
        // Pure water in equilibrium with air, about 0.6 mg/L of carbon dioxide at 25 °C: pH 5.6.
        let ph = ph_of(t(25.0), CONCENTRATION.of(0.0), CONCENTRATION.of(mg_l(0.6)));
        assert!((ph.value - 5.6).abs() < 0.05, "{ph:?}");
        assert!(carbon_dioxide(&water(25.0, 9.9, 0.0)).value >= 0.0);
    }
}
