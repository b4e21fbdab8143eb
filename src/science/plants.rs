//! Plants by feed: how much area a feed keeps, how many plants, the bed that holds them, and its weight.

use crate::catalog::crops;
use crate::science::water;
use crate::units::kinds::{AREA, AREAL_MASS, AREAL_RATE, COUNT, MASS, PERCENT, PerArea, VOLUME};
use crate::units::si::days;
use crate::units::{
    Area, ArealMassDensity, Length, Mass, MassDensity, MassFlux, MassRate, Ratio, ThermodynamicTemperature, Time,
    Volume,
};

/// Feed a day per plant area, corrected for the protein of the feed: `ratio x 0.32/protein`. Nitrogen goes with protein, so that a richer feed
/// keeps more plants. Our judgement on the published figures, which assume 32 %.
pub fn corrected(ratio: MassFlux, protein: Ratio) -> MassFlux {
    let r = ratio.value * crops::feed_protein().value / protein.value;
    AREAL_RATE.of(if r.is_finite() { r } else { ratio.value })
}

/// Plant area that a feed keeps: `feed / ratio`.
///
/// ```
/// use brimwise::{science::plants, units::{kinds::*, si::*}};
/// let a = plants::area(FEED_RATE.of(g_day(1000.0)), AREAL_RATE.of(g_m2_day(60.0)));
/// assert!((a.value - 16.67).abs() < 0.01); // Rakocy 2007: 16.7 m2 of raft
/// ```
pub fn area(feed: MassRate, ratio: MassFlux) -> Area {
    let a = feed.value / ratio.value;
    AREA.of(if a.is_finite() { a } else { 0.0 })
}

/// Feed a day that a plant area wants: `area x ratio`.
pub fn feed(area: Area, ratio: MassFlux) -> MassRate {
    crate::units::kinds::FEED_RATE.of(area.value * ratio.value)
}

/// Plants on an area.
pub fn count(area: Area, density: PerArea) -> Ratio {
    COUNT.of(area.value * density.value)
}

/// Heads a week when an equal batch is set out each week: `plants x 7 days / days to harvest`.
pub fn weekly(plants: Ratio, time: Time) -> Ratio {
    let n = plants.value * days(7.0) / time.value;
    COUNT.of(if n.is_finite() { n } else { 0.0 })
}

/// Bulk volume of medium: `area x depth`.
pub fn bulk(area: Area, depth: Length) -> Volume {
    VOLUME.of(area.value * depth.value)
}

/// Water that fills the pores of a bed between its lowest and its highest level: `area x swing x porosity`. It comes out of the tank or the sump.
pub fn flood(area: Area, swing: Length, porosity: Ratio) -> Volume {
    VOLUME.of(area.value * swing.value * porosity.value)
}

/// Weight of a bed flooded to its top: `volume (bulk density + porosity x density of water)`. Without the box, the plants and people leaning on it.
pub fn flooded_mass(volume: Volume, bulk: MassDensity, porosity: Ratio, t: ThermodynamicTemperature) -> Mass {
    MASS.of(volume.value * (bulk.value + porosity.value * water::density(t).value))
}

/// Weight on each square metre below it.
pub fn load(mass: Mass, area: Area) -> ArealMassDensity {
    let m = mass.value / area.value;
    AREAL_MASS.of(if m.is_finite() { m } else { 0.0 })
}

/// How a crop likes a temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Liking {
    /// Colder than it bears.
    TooCold,
    /// Colder than it likes.
    Cool,
    /// What it likes.
    Good,
    /// Warmer than it likes.
    Warm,
    /// Warmer than it bears.
    TooHot,
}

impl Liking {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TooCold => "too cold",
            Self::Cool => "on the cool side",
            Self::Good => "good",
            Self::Warm => "on the warm side",
            Self::TooHot => "too hot",
        }
    }
    /// It does not do.
    pub const fn bad(self) -> bool {
        matches!(self, Self::TooCold | Self::TooHot)
    }
}

/// How a crop likes water of this temperature at its roots.
pub fn liking(crop: &crops::Crop, t: ThermodynamicTemperature) -> Liking {
    let ((b0, b1), (g0, g1)) = (crop.bears(), crop.best());
    if t < b0 {
        Liking::TooCold
    } else if t < g0 {
        Liking::Cool
    } else if t <= g1 {
        Liking::Good
    } else if t <= b1 {
        Liking::Warm
    } else {
        Liking::TooHot
    }
}

/// Fish mass that a feed keeps at a daily ration (a share of mass a day).
pub fn fish(feed: MassRate, ration: crate::units::SpecificRate) -> Mass {
    let m = feed.value / ration.value;
    MASS.of(if m.is_finite() { m } else { 0.0 })
}

/// Share of a whole, safe at nil.
pub fn share(part: Volume, whole: Volume) -> Ratio {
    let x = part.value / whole.value;
    PERCENT.of(if x.is_finite() { x } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::crops::{CROPS, Crop, Hunger, METHODS, Method};
    use crate::catalog::media::Medium;
    use crate::units::kinds::{DAILY_SHARE, DAYS, DENSITY, FEED_RATE, LENGTH, PLANT_DENSITY};
    use crate::units::si::{celsius, g_day, g_m2_day, l, percent_day};

    fn near(found: f64, expect: f64, tolerance: f64) {
        assert!((found - expect).abs() <= tolerance, "{found} is not {expect}");
    }
    fn method(id: &str) -> &'static Method {
        METHODS.iter().find(|m| m.id == id).unwrap_or_else(|| panic!("{id}"))
    }
    fn crop(id: &str) -> &'static Crop {
        CROPS.iter().find(|c| c.id == id).unwrap_or_else(|| panic!("{id}"))
    }
    fn areas(feed_g: f64, (low, high): (MassFlux, MassFlux)) -> (f64, f64) {
        (area(FEED_RATE.of(g_day(feed_g)), high).value, area(FEED_RATE.of(g_day(feed_g)), low).value)
    }

    #[test]
    fn area_from_feed() {
        // FAO Technical Paper 589: 40 to 50 g/m2/d of leaves, 50 to 80 of fruit. 200 g a day keep 4 to 5 and 2.5 to 4 m2.
        let (a, b) = areas(200.0, method("media").ratio(Hunger::Leafy));
        near(a, 4.0, 1e-9);
        near(b, 5.0, 1e-9);
        let (a, b) = areas(200.0, method("media").ratio(Hunger::Fruiting));
        near(a, 2.5, 1e-9);
        near(b, 4.0, 1e-9);
        // Rakocy 2007, rafts at 60 to 100: 200 g keep 2.0 to 3.33 m2, 1000 g at 60 keep 16.7 m2, 200 m2 at 100 want 20 kg (44 lb).
        let uvi = (AREAL_RATE.of(g_m2_day(60.0)), AREAL_RATE.of(g_m2_day(100.0)));
        let (a, b) = areas(200.0, uvi);
        near(a, 2.0, 1e-9);
        near(b, 3.333, 1e-3);
        near(areas(1000.0, uvi).1, 16.7, 0.05);
        near(feed(AREA.of(200.0), uvi.1).value, g_day(20_000.0), 1e-12);
        near(20.0 / 0.453_592_37, 44.09, 0.01);
        // The raft of the catalogue spans both publications.
        assert_eq!(
            method("raft").ratio(Hunger::Leafy),
            (AREAL_RATE.of(g_m2_day(40.0)), AREAL_RATE.of(g_m2_day(100.0)))
        );
        // Rakocy 2007: film channels roughly a quarter of 60 to 100.
        let (low, high) = method("film").ratio(Hunger::Leafy);
        near(low.value / uvi.0.value, 0.25, 1e-9);
        near(high.value / uvi.1.value, 0.25, 1e-9);
        // FAO: fruit needs about a third more than leaves.
        let mean = |h| {
            let (a, b) = method("media").ratio(h);
            (a.value + b.value) / 2.0
        };
        near(mean(Hunger::Fruiting) / mean(Hunger::Leafy), 4.0 / 3.0, 0.12);
    }

    #[test]
    fn fish_and_plants_of_an_area() {
        // 1 m2 of leaves at 45 g/m2/d, fed 1.5 % a day: 3.0 kg of fish. 4 m2 of leaves: 80 to 100 plants.
        let f = feed(AREA.of(1.0), AREAL_RATE.of(g_m2_day(45.0)));
        near(fish(f, DAILY_SHARE.of(percent_day(1.5))).value, 3.0, 1e-9);
        let (low, high) = crop("lettuce").density();
        near(count(AREA.of(4.0), low).value, 80.0, 1e-9);
        near(count(AREA.of(4.0), high).value, 100.0, 1e-9);
        near(count(AREA.of(2.0), PLANT_DENSITY.of(4.0)).value, 8.0, 1e-9);
    }

    #[test]
    fn richer_feed_keeps_more_plants() {
        let r = AREAL_RATE.of(g_m2_day(45.0));
        assert_eq!(corrected(r, crops::feed_protein()), r);
        near(corrected(r, PERCENT.of(0.40)).value / r.value, 0.8, 1e-12);
        assert!(area(FEED_RATE.of(g_day(100.0)), corrected(r, PERCENT.of(0.42))) > area(FEED_RATE.of(g_day(100.0)), r));
        assert_eq!(corrected(r, PERCENT.of(0.0)), r);
    }

    #[test]
    fn yields_a_week() {
        // 84 lettuces at 28 days give 21 a week.
        near(weekly(COUNT.of(84.0), DAYS.of(days(28.0))).value, 21.0, 1e-12);
        assert_eq!(weekly(COUNT.of(84.0), DAYS.of(0.0)).value, 0.0);
    }

    #[test]
    fn a_bed_and_its_weight() {
        // Statics: 1.2 x 1.0 x 0.3 m of gravel (1500 kg/m3, 40 % pores), flooded: 684 kg.
        let (a, depth) = (AREA.of(1.2), LENGTH.of(0.3));
        let m = flooded_mass(bulk(a, depth), DENSITY.of(1500.0), PERCENT.of(0.40), water::at_celsius(4.0));
        near(m.value, 684.0, 0.05);
        near(load(m, a).value, 570.0, 0.05);
        // 1.2 x 1.0 m flooded over 0.25 m at 40 %: 120 L.
        near(flood(a, LENGTH.of(0.25), PERCENT.of(0.40)).value, l(120.0), 1e-12);
        // Common practice, no source: expanded clay beds flood and drain about 40 % of their volume.
        let clay = Medium::by_id("clay").unwrap_or_else(|| panic!("clay"));
        near(share(flood(a, depth, clay.porosity()), bulk(a, depth)).value, 0.4, 1e-12);
        // Clay is far lighter than gravel, and still heavy.
        let light = flooded_mass(bulk(a, depth), clay.bulk(), clay.porosity(), water::at_celsius(20.0));
        assert!(light.value > 250.0 && light < m);
    }

    #[test]
    fn crops_and_warmth() {
        use crate::units::kinds::TEMPERATURE;
        let at = |id: &str, c: f64| liking(crop(id), TEMPERATURE.of(celsius(c)));
        // FAO Technical Paper 589, Appendix 1: lettuce 15 to 22 °C, bolts above 24, water above 26 favours bolting; basil best at 20 to 25
        // of air, and in water warmer than 23 (Hendrickson 2022).
        assert_eq!(at("lettuce", 18.0), Liking::Good);
        assert_eq!(at("lettuce", 25.0), Liking::Warm);
        assert_eq!(at("lettuce", 28.0), Liking::TooHot);
        assert_eq!(at("basil", 22.0), Liking::Good);
        assert_eq!(at("basil", 13.0), Liking::TooCold);
        assert_eq!((at("basil", 31.0), at("basil", 34.0)), (Liking::Good, Liking::TooHot));
        assert_eq!(at("watercress", 13.0), Liking::Good);
        assert!(at("watercress", 30.0).bad() && !at("eggplant", 28.0).bad());
    }
}
