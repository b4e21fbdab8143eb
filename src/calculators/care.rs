//! What has to be said wherever somebody builds with what is at hand: metals that poison fish, containers with a past, children, rain.

use super::outcome::Caution;
use crate::catalog::sources::{biology, waterways};
use crate::science::sump;
use crate::units::{kinds::*, si::*, *};

/// Copper, brass and zinc.
pub(crate) const METALS: &str = "Copper, brass and zinc (galvanised steel) poison fish, most of all in soft or sour water. Take plastic or stainless steel.";
/// Water that holds more gas than it can once it is warm.
pub(crate) const COLD_GAS: &str = "Cold mains or well water holds too much gas once warmed, and bubbles form in gills and fins: let it fall or spray in.";
/// A pump that does the same.
pub(crate) const SUCKS_AIR: &str =
    "A pump that sucks air presses it into the water, and bubbles form in the fish: intake deep, joints tight.";
/// Children, containers with a past, and metals.
const YARD: &str = "Small children drown in very little water: cover or fence open tanks. No container that held oil, solvents or pesticides; no copper, brass or galvanised steel \
     in the water: they poison fish.";

/// That copper, brass and zinc poison fish.
pub(crate) fn metals() -> Caution {
    Caution::from(METALS, &biology::YARD)
}
/// What holds wherever fish are kept in what was at hand.
pub(crate) fn yard() -> Caution {
    Caution::from(YARD, &biology::YARD)
}

/// What rain brings to so much open `water` under the sky; `begins` is the beginning of the sentence.
pub(crate) fn rain(begins: &str, water: Area, w: Words) -> Caution {
    let depth = SHORT_LENGTH.of(w.step(SHORT_LENGTH, mm(10.0)));
    let hour = SHORT_LENGTH.of(sump::CLOUDBURST.value * mm(1.0));
    let text = format!(
        "{begins} each {} of rain on {} of open water and beds is {} more: give the lowest tank an overflow to a safe place, for {} in a cloudburst ({} in an hour; local code \
         decides).",
        w.q(SHORT_LENGTH, depth),
        w.q(AREA, water),
        w.q(VOLUME, water * depth),
        w.q(FLOW, sump::rain(water, hour)),
        w.q(SHORT_LENGTH, hour)
    );
    Caution::from(text, &waterways::CLOUDBURST)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 10 mm on 6 m² are 60 L, and 102.6 mm in an hour 616 L/h.
    #[test]
    fn rain_is_depth_times_area() {
        let said = rain("Under the sky,", AREA.of(6.0), Words::default()).text.replace('\u{202f}', " ");
        assert!(
            said.starts_with("Under the sky, each 10 mm of rain on 6 m² of open water and beds is 60 L more"),
            "{said}"
        );
        assert!(said.contains("for 616 L/h in a cloudburst (103 mm in an hour"), "{said}");
        let said = rain("Under the sky,", AREA.of(6.0), System::Us.into()).text.replace('\u{202f}', " ");
        assert!(said.contains("each 0.5 in of rain on 64.6 ft²") && said.contains("4.04 in in an hour"), "{said}");
    }
}
