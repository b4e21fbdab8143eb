//! Doses: dechlorinators, buffers, salt.

use super::ammonia::CARBONATE_PER_BICARBONATE;
use crate::catalog::sources::{Coef, biology, climate as src};
use crate::catalog::species::Species;
use crate::units::{Mass, MassConcentration, Volume, kinds::*};

/// Thiosulphate crystals per chlorine.
pub const CRYSTALS: Coef = Coef::new(7.0, "kg/kg", &src::UF_CHLORINE, "Na2S2O3.5H2O");
/// Anhydrous thiosulphate per chlorine.
pub const ANHYDROUS: Coef = Coef::new(4.46, "kg/kg", &src::UF_CHLORINE, "Na2S2O3");
/// Chlorine that harms in the long run.
pub const CHLORINE_CHRONIC: Coef = Coef::new(0.011, "mg/L", &src::EPA_CHLORINE, "four-day mean");
const CHLORAMINE_NITROGEN: Coef = Coef::new(14.007 / 70.906, "kg/kg", &src::CHLORAMINE, "monochloramine as Cl2");

/// Thiosulphate to take out chlorine: `m = k Cl V`, k = 7.0 for crystals ([`CRYSTALS`]) or 4.46 for the anhydrous salt ([`ANHYDROUS`]).
pub fn thiosulphate(chlorine: MassConcentration, water: Volume, per_chlorine: &Coef) -> Mass {
    MASS.of(chlorine.value * water.value * per_chlorine.value)
}

/// Ammonia nitrogen that monochloramine leaves when its chlorine is taken out: 0.198 of it, measured as Cl2.
pub fn chloramine_nitrogen(chlorine: MassConcentration) -> MassConcentration {
    CONCENTRATION.of(chlorine.value * CHLORAMINE_NITROGEN.value)
}

const POTASSIUM_BICARBONATE: Coef = Coef::new(50.0435 / 100.115, "kg/kg", &src::STOICHIOMETRY, "as CaCO3 per KHCO3");

/// What the buffer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Buffer {
    /// Baking soda.
    #[default]
    Sodium,
    /// Potassium bicarbonate.
    Potassium,
}

impl Buffer {
    /// Alkalinity, as calcium carbonate, per mass.
    pub fn strength(self) -> Coef {
        match self {
            Self::Sodium => CARBONATE_PER_BICARBONATE,
            Self::Potassium => POTASSIUM_BICARBONATE,
        }
    }
}

/// Bicarbonate that raises the alkalinity by `rise` (as calcium carbonate): `m = rise V/strength`.
pub fn bicarbonate(rise: MassConcentration, water: Volume, buffer: Buffer) -> Mass {
    MASS.of(rise.value * water.value / buffer.strength().value)
}

/// Nitrite per its nitrogen.
pub const NITRITE_PER_NITROGEN: Coef = Coef::new(46.005 / 14.007, "1", &src::STOICHIOMETRY, "NO2 per N");
/// Chloride kept as a reserve.
pub const CHLORIDE_RESERVE: Coef = Coef::new(100.0, "mg/L", &biology::SRAC_462, "routine");
const CHLORIDE_IN_SALT: Coef = Coef::new(35.453 / 58.443, "1", &src::STOICHIOMETRY, "Cl in NaCl");

/// Chloride that holds nitrite off, which is given as NO2 and not as nitrogen: ten times as much (SRAC 462), for trout 50 times
/// ([`biology::TROUT_CHLORIDE`]).
pub fn chloride_for(species: &Species, nitrite: MassConcentration) -> MassConcentration {
    CONCENTRATION.of(nitrite.value * species.chloride_per_nitrite().value)
}

/// Salt that brings chloride to so many times the nitrite: `m = max(0, r NO2 - Cl) V/0.6066` ([`chloride_for`]).
pub fn salt_against_nitrite(
    species: &Species,
    nitrite: MassConcentration,
    chloride: MassConcentration,
    water: Volume,
) -> Mass {
    let short = (chloride_for(species, nitrite).value - chloride.value).max(0.0);
    MASS.of(short * water.value / CHLORIDE_IN_SALT.value)
}

/// Nitrite from a kit that reads its nitrogen.
pub fn nitrite_of(nitrogen: MassConcentration) -> MassConcentration {
    CONCENTRATION.of(nitrogen.value * NITRITE_PER_NITROGEN.value)
}

/// Salt that a chloride stands for, all of it taken as common salt.
pub fn salt_of(chloride: MassConcentration) -> MassConcentration {
    CONCENTRATION.of(chloride.value / CHLORIDE_IN_SALT.value)
}

/// Salt that is for a bath alone, above it.
pub const SALT_FOR_LONG: Coef = Coef::new(5.0, "g/L", &src::SALT_BORNE, "longer than some hours");
/// Salt of the blood of freshwater fish, and the most that is counted on for them.
pub const SALT_OF_BLOOD: Coef = Coef::new(9.0, "g/L", &src::SALT_BORNE, "freshwater fish");
const SALT_OF_SEA: Coef = Coef::new(35.0, "g/L", &src::SALT_BORNE, "barramundi, used to it over days");

/// The saltiest water that is counted on for a species.
pub fn salt_borne(species: &Species) -> Coef {
    if species.id == "barramundi" { SALT_OF_SEA } else { SALT_OF_BLOOD }
}

/// Share of its limit of nitrite that a fish bears with hardly any chloride.
const UNHELD: Coef = Coef::new(0.1, "1", &biology::NITRITE_UNHELD, "hardly any chloride");

/// Nitrite nitrogen that a fish bears with so much chloride: what that holds off ([`chloride_for`]), but no more than its limit, which is given for
/// chloride enough, and no less than a tenth of it ([`biology::NITRITE_UNHELD`]).
pub fn nitrite_borne(species: &Species, chloride: MassConcentration) -> MassConcentration {
    let limit = species.nitrite_limit().value;
    let held = chloride.value / species.chloride_per_nitrite().value / NITRITE_PER_NITROGEN.value;
    CONCENTRATION.of(held.clamp(limit * UNHELD.value, limit))
}

/// Nitrite (NO2) that chloride kept out of the blood in trials, and how many times it that chloride was.
const KEPT_OUT: Coef = Coef::new(5.0, "mg/L", &biology::NITRITE_KEPT_OUT, "as NO2; channel catfish");
const KEEPS_OUT: Coef = Coef::new(12.0, "1", &biology::NITRITE_KEPT_OUT, "as Cl to NO2");
/// Of these it was seen, or is taken to be so.
const KEPT_OUT_OF: [&str; 3] = ["tilapia", "catfish", "carp"];

/// Is there chloride enough, and to spare, to keep nitrite out of the blood of these fish: twelve times it ([`biology::NITRITE_KEPT_OUT`])?
pub fn chloride_to_spare(species: &Species, nitrogen: MassConcentration, chloride: MassConcentration) -> bool {
    let asked = nitrite_of(nitrogen).value * KEEPS_OUT.value;
    KEPT_OUT_OF.contains(&species.id) && chloride.value >= asked * (1.0 - 1e-9)
}

/// Is this nitrite no more than chloride kept out in trials, with as much chloride?
pub fn kept_out(species: &Species, nitrogen: MassConcentration, chloride: MassConcentration) -> bool {
    let tried = CONCENTRATION.of(crate::units::si::mg_l(KEPT_OUT.value) * (1.0 + 1e-9));
    nitrite_of(nitrogen) <= tried && chloride_to_spare(species, nitrogen, chloride)
}

/// Chloride that an amount of salt adds.
pub fn chloride_of(salt: Mass, water: Volume) -> MassConcentration {
    CONCENTRATION.of(salt.value / water.value * CHLORIDE_IN_SALT.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    fn mg(x: f64) -> MassConcentration {
        CONCENTRATION.of(mg_l(x))
    }
    fn grams(m: Mass) -> f64 {
        m.value * 1000.0
    }

    #[test]
    fn a_thousand_litres_of_tap_water() {
        // UF IFAS: 7 mg/L of crystals for each mg/L of chlorine; the anhydrous salt by its reaction 4.46.
        let v = VOLUME.of(1.0);
        assert!((grams(thiosulphate(mg(1.0), v, &CRYSTALS)) - 7.0).abs() < 1e-9);
        assert!((grams(thiosulphate(mg(1.0), v, &ANHYDROUS)) - 4.46).abs() < 1e-9);
        // 2 Na2S2O3.5H2O + Cl2: 2 x 248.18 and 2 x 158.11 to 70.906.
        assert!((2.0 * 248.18 / 70.906 - CRYSTALS.value).abs() < 0.005);
        assert!((2.0 * 158.11 / 70.906 - ANHYDROUS.value).abs() < 0.005);
        assert!((chloramine_nitrogen(mg(1.0)).value - mg_l(0.198)).abs() < mg_l(0.001));
    }

    #[test]
    fn salt_for_two_milligrams_of_nitrite() {
        // 1000 L, nitrite 2 mg/L, chloride 5 mg/L, ten to one: 24.7 g (from SRAC 462).
        let [tilapia, trout] = ["tilapia", "trout"].map(|id| Species::by_id(id).expect(id));
        let salt = salt_against_nitrite(tilapia, mg(2.0), mg(5.0), VOLUME.of(1.0));
        assert!((grams(salt) - 24.7).abs() < 0.05, "{salt:?}");
        assert!((chloride_of(salt, VOLUME.of(1.0)).value - mg_l(15.0)).abs() < 1e-9);
        assert_eq!(salt_against_nitrite(tilapia, mg(0.1), mg(50.0), VOLUME.of(1.0)).value, 0.0);
        // For trout fifty to one: 95 mg/L are short.
        let salt = salt_against_nitrite(trout, mg(2.0), mg(5.0), VOLUME.of(1.0));
        assert!((grams(salt) - 95.0 / 0.6066).abs() < 0.05, "{salt:?}");
        assert!((nitrite_of(mg(1.0)).value - mg_l(3.284)).abs() < mg_l(0.001));
        assert!((salt_of(chloride_of(salt, VOLUME.of(1.0))).value * 1000.0 - grams(salt)).abs() < 1e-9);
    }

    #[test]
    fn a_limit_of_nitrite_holds_with_chloride_alone() {
        let borne = |id, cl| nitrite_borne(Species::by_id(id).expect(id), mg(cl)).value;
        // 1 mg/L as nitrogen is 3.284 of nitrite: 33 mg/L of chloride.
        assert_eq!((borne("tilapia", 33.0), borne("tilapia", 200.0)), (mg_l(1.0), mg_l(1.0)));
        assert!((borne("tilapia", 10.0) - mg_l(1.0 / 3.284)).abs() < mg_l(0.001));
        assert_eq!((borne("tilapia", 2.0), borne("tilapia", 0.0)), (mg_l(0.1), mg_l(0.1)));
        // Trout grew less in 0.2 mg/L of nitrite, 0.061 as nitrogen, with 10 of chloride: that is what they bear there, and the 0.3 only with 50.
        assert!((borne("trout", 10.0) - mg_l(0.2 / 3.284)).abs() < mg_l(1e-4));
        assert!(borne("trout", 49.0) < mg_l(0.3));
        assert_eq!((borne("trout", 50.0), borne("trout", 0.0)), (mg_l(0.3), 0.1 * mg_l(0.3)));
    }

    #[test]
    fn buffers() {
        // 10 mg/L in 3785 L is 37.85 g of calcium carbonate, 63.5 g of baking soda by stoichiometry; the rule of thumb printed in SRAC
        // Publication 4502, 53 g, gives 8.3 mg/L.
        let m = grams(bicarbonate(mg(10.0), VOLUME.of(l(3785.0)), Buffer::Sodium));
        assert!((m - 63.5).abs() < 0.1, "{m}");
        assert!((grams(bicarbonate(mg(59.57), VOLUME.of(1.0), Buffer::Sodium)) - 100.0).abs() < 0.01);
        assert!((grams(bicarbonate(mg(50.0), VOLUME.of(1.0), Buffer::Potassium)) - 100.03).abs() < 0.02);
    }
}
