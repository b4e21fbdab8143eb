//! Fish that are netted in cold water.

use super::outcome::Caution;
use crate::catalog::{sources::Basis, species::Species};
use crate::units::{ThermodynamicTemperature, Words, kinds::TEMPERATURE};

/// Is the water too cold to net these fish in it, or into it?
pub(crate) fn is_too_cold(s: &Species, water: ThermodynamicTemperature) -> bool {
    s.handle_from().is_some_and(|from| water < from)
}

/// What is said where they are netted in water as cold as this, or put into it.
pub(crate) fn too_cold(s: &Species, water: ThermodynamicTemperature, w: Words) -> Option<Caution> {
    let (limit, from) = (s.warmth.handle_from.as_ref()?, s.handle_from()?);
    is_too_cold(s, water).then(|| {
        let why = match limit.source.basis {
            Basis::Judgement => "they heal badly in such cold. Leave them alone.",
            _ => "many die of disease in the days after.",
        };
        Caution::from(
            format!(
                "Do not net, grade, weigh or move {} in water below {}, nor into it: {why}",
                s.noun,
                w.q(TEMPERATURE, from)
            ),
            limit.source,
        )
    })
}
