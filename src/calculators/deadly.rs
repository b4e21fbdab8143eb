//! Water that kills the fish it is asked about: it stands first on every page, whatever else is well there.

use super::outcome::Level;
use crate::catalog::species::Species;
use crate::units::{ThermodynamicTemperature, Words, kinds::TEMPERATURE};

/// A fish, and water that is too cold or too hot for it to live.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Deadly {
    species: &'static Species,
    water: ThermodynamicTemperature,
}

impl Deadly {
    /// Nothing where they live.
    pub(crate) fn of(species: &'static Species, water: ThermodynamicTemperature) -> Option<Self> {
        (water > species.dies_above() || water < species.dies_below()).then_some(Self { species, water })
    }
    /// Of several, the one that is furthest out.
    pub(crate) fn worst(
        species: impl Iterator<Item = &'static Species>,
        water: ThermodynamicTemperature,
    ) -> Option<Self> {
        let load = |d: &Self| d.level("", "").fullness();
        species.filter_map(|s| Self::of(s, water)).max_by(|a, b| load(a).total_cmp(&load(b)))
    }
    /// The level that leads then.
    pub(crate) fn level(&self, id: &'static str, name: &'static str) -> Level {
        let (low, high, t) = (self.species.dies_below(), self.species.dies_above(), (self.water, self.water));
        let [below, above] = ["so cold that they die", "so hot that they die"];
        Level::between(id, name, TEMPERATURE, t, low, high, below, above).leading()
    }
    /// Of what they die, and what the water is: no full stop.
    pub(crate) fn words(&self, water: &str, w: Words) -> String {
        let (how, at) = match self.water > self.species.dies_above() {
            true => ("above", self.species.dies_above()),
            false => ("below", self.species.dies_below()),
        };
        let (at, is) = (w.q(TEMPERATURE, at), w.q(TEMPERATURE, self.water));
        format!("{} die {how} {at}, and the {water} is {is}", self.species.noun)
    }
    /// Before what a page says else.
    pub(crate) fn first(&self, w: Words) -> String {
        format!("{}. Other fish, or other water.", crate::units::sentence(&self.words("water", w)))
    }
}
