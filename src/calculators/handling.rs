//! Fish that are netted in water too cold or too warm for it, and fish that leave themselves no water.

use super::form::FieldError;
use super::mend;
use super::outcome::Caution;
use crate::catalog::{
    sources::{Basis, climate::HANDLING_HEAT},
    species::Species,
};
use crate::units::{Mass, ThermodynamicTemperature, Volume, Words, kinds::*};

/// Is the water too cold to net these fish in it, or into it?
pub(crate) fn is_too_cold(s: &Species, water: ThermodynamicTemperature) -> bool {
    s.handle_from().is_some_and(|from| water < from)
}

/// Is the water so hot that these fish are not fed in it, and die when they are netted?
pub(crate) fn is_too_hot(s: &Species, water: ThermodynamicTemperature) -> bool {
    water > s.stops_above()
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

/// Fish are about as dense as water, kg/m3; and so much of what holds them is water at the least.
pub(crate) const KILOGRAMS_PER_CUBIC_METRE: f64 = 1000.0;
const LEAST_WATER: f64 = 0.1;

/// The water around so many fish in a `holder` of such a volume.
///
/// # Errors
/// At `path`, where they leave hardly any.
pub(crate) fn around(fish: Mass, volume: Volume, path: &str, holder: &str) -> Result<Volume, Vec<FieldError>> {
    let water = volume.value - fish.value / KILOGRAMS_PER_CUBIC_METRE;
    if water < volume.value * LEAST_WATER {
        let fault = format!("are more than the {holder} holds with any water around them");
        return mend::refuse(path, fault, "up to nine tenths of its litres in kilograms, and far less to live");
    }
    Ok(VOLUME.of(water))
}

/// What is said where they are netted in one of two waters and put into the other.
pub(crate) fn unfit(s: &Species, waters: [ThermodynamicTemperature; 2], w: Words) -> Option<Caution> {
    let [a, b] = waters;
    let hot = || {
        let text = format!(
            "Do not net, grade, weigh or move {} in water above {}, nor into it: many die in the days after. Wait for cooler water.",
            s.noun,
            w.q(TEMPERATURE, s.stops_above())
        );
        is_too_hot(s, a.max(b)).then(|| Caution::from(text, &HANDLING_HEAT))
    };
    too_cold(s, a.min(b), w).or_else(hot)
}
