//! Water that kills the fish it is asked about: it stands first on every page, whatever else is well there.

use super::outcome::{Caution, Level, State};
use crate::catalog::sources::climate::SALT_BORNE;
use crate::catalog::species::Species;
use crate::science::{mixing::PH_BORNE, treatment};
use crate::units::{
    MassConcentration, Ratio, ThermodynamicTemperature, Words,
    kinds::{RATIO, SALINITY, TEMPERATURE},
};

/// The saltiest water that a fish is counted on to live in.
pub(crate) fn salt_borne(species: &Species) -> MassConcentration {
    SALINITY.of(treatment::salt_borne(species).value)
}

/// The salt in the water against the most that a fish is counted on to bear.
pub(crate) fn salt_level(id: &'static str, salt: MassConcentration, borne: MassConcentration) -> Level {
    Level::upper(id, "Salt in the water", SALINITY, salt, borne)
}

/// That many sicken and die in water in which all may live for a day, of fish that do not winter.
pub(crate) fn failing(s: &Species, t: ThermodynamicTemperature, w: Words) -> Option<Caution> {
    let coef = s.warmth.fails_below.as_ref()?;
    let below = s.fails_below().filter(|f| t < *f && t >= s.dies_below())?;
    let text = format!(
        "Below {} many {} sicken and die within days to weeks: warm the water.",
        w.q(TEMPERATURE, below),
        s.noun
    );
    Some(Caution::from(text, coef.source))
}

/// What they die of.
#[derive(Debug, Clone, Copy, PartialEq)]
enum By {
    Warmth(ThermodynamicTemperature),
    Salt(MassConcentration),
    Ph(Ratio),
}

/// The pH against what fish bear.
pub(crate) fn acidity(id: &'static str, ph: Ratio) -> Level {
    let [low, high] = PH_BORNE.map(|c| RATIO.of(c.value));
    Level::between(id, "pH", RATIO, (ph, ph), low, high, "too sour", "too alkaline")
}

/// A fish, and water that is too cold, too hot, too salty, too sour or too alkaline for it to live.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Deadly {
    species: &'static Species,
    by: By,
}

impl Deadly {
    /// Nothing where they live.
    pub(crate) fn of(species: &'static Species, water: ThermodynamicTemperature) -> Option<Self> {
        let by = By::Warmth(water);
        (water > species.dies_above() || water < species.dies_below()).then_some(Self { species, by })
    }
    /// Nothing where they bear the salt.
    pub(crate) fn of_salt(species: &'static Species, salt: MassConcentration) -> Option<Self> {
        (salt > salt_borne(species)).then_some(Self { species, by: By::Salt(salt) })
    }
    /// Nothing where fish bear the pH.
    pub(crate) fn of_ph(species: &'static Species, ph: Ratio) -> Option<Self> {
        (acidity("", ph).state() == State::Over).then_some(Self { species, by: By::Ph(ph) })
    }
    /// Heat and cold before salt: they kill sooner.
    pub(crate) fn of_both(
        species: &'static Species,
        water: ThermodynamicTemperature,
        salt: MassConcentration,
    ) -> Option<Self> {
        Self::of(species, water).or_else(|| Self::of_salt(species, salt))
    }
    /// Of several fish, the one that is furthest out.
    pub(crate) fn worst(
        species: impl Iterator<Item = &'static Species>,
        water: ThermodynamicTemperature,
        salt: MassConcentration,
    ) -> Option<Self> {
        let load = |d: &Self| d.level("", "").fullness();
        species.filter_map(|s| Self::of_both(s, water, salt)).max_by(|a, b| load(a).total_cmp(&load(b)))
    }
    /// The level that leads then; `name` is that of the temperature.
    pub(crate) fn level(&self, id: &'static str, name: &'static str) -> Level {
        let [below, above] = ["so cold that they die", "so hot that they die"];
        let (low, high) = (self.species.dies_below(), self.species.dies_above());
        match self.by {
            By::Warmth(t) => Level::between(id, name, TEMPERATURE, (t, t), low, high, below, above),
            By::Salt(salt) => salt_level(id, salt, salt_borne(self.species)),
            By::Ph(ph) => acidity(id, ph),
        }
        .leading()
    }
    /// Of what they die, and what the water is: no full stop.
    pub(crate) fn words(&self, water: &str, w: Words) -> String {
        let noun = self.species.noun;
        let (how, at, is) = match self.by {
            By::Salt(salt) => {
                let [most, is] = [salt_borne(self.species), salt].map(|x| w.q(SALINITY, x));
                return format!("{noun} can take {most} of salt at most, and the water holds {is}");
            }
            By::Ph(ph) => {
                let [low, high, is] = [PH_BORNE[0].value, PH_BORNE[1].value, ph.value].map(|x| w.plain(x));
                return format!("{noun} can take pH {low} to {high}, and the water is at {is}");
            }
            By::Warmth(t) if t > self.species.dies_above() => ("above", self.species.dies_above(), t),
            By::Warmth(t) => ("below", self.species.dies_below(), t),
        };
        format!("{noun} die {how} {}, and the {water} is {}", w.q(TEMPERATURE, at), w.q(TEMPERATURE, is))
    }
    /// The same with what to do: two sentences, the first of which may stand after a colon.
    pub(crate) fn advised(&self, water: &str, w: Words) -> String {
        let then = match self.by {
            By::Warmth(_) => "Other fish, or other water",
            By::Salt(_) => "More only if they are used to it over days",
            By::Ph(_) => "Measure again, find the cause, and change water in steps",
        };
        format!("{}. {then}.", self.words(water, w))
    }
    /// Is it the pH?
    pub(crate) fn by_ph(&self) -> bool {
        matches!(self.by, By::Ph(_))
    }
    /// Before what a page says else.
    pub(crate) fn first(&self, w: Words) -> String {
        crate::units::sentence(&self.advised("water", w))
    }
    /// The level that leads where no level of the page's own is led by it.
    pub(crate) fn own_level(&self) -> Level {
        let id = match self.by {
            By::Warmth(_) => "temperature",
            By::Salt(_) => "salt",
            By::Ph(_) => "ph",
        };
        self.level(id, "Water temperature")
    }
    /// What stands beside it, whatever else is well.
    pub(crate) fn caution(&self, well: &str) -> Caution {
        match self.by {
            By::Warmth(_) => Caution::new(format!("At this temperature this fish dies, whatever {well}.")),
            By::Salt(_) => Caution::from(
                format!(
                    "This much salt is not safe, whatever {well}: some fish can take it once used to it over days."
                ),
                &SALT_BORNE,
            ),
            By::Ph(_) => {
                Caution::from(format!("Such a pH harms and kills fish in time, whatever {well}."), PH_BORNE[0].source)
            }
        }
    }
}
