//! Media of grow beds and filters: pores, surface, weight.

use super::sources::{Coef, solids as src};
use crate::units::{
    MassDensity, Ratio,
    kinds::{DENSITY, MEDIA_AREA, PERCENT},
    si::percent,
};

/// A medium.
#[derive(Debug, PartialEq)]
pub struct Medium {
    /// Stable identifier.
    pub id: &'static str,
    /// What the page shows.
    pub label: &'static str,
    /// A few words more.
    pub note: &'static str,
    /// Pores that fill and drain, % of the bulk volume: least, usual, most.
    pub porosity: [Coef; 3],
    /// Surface, m²/m³ of bulk volume: low and high.
    pub surface: [Coef; 2],
    /// Bulk density, dry, kg/m³.
    pub bulk: Coef,
    /// Bulk density, dry, of the heaviest that is sold under this name.
    pub heavy: Coef,
    /// It raises pH and hardness.
    pub limy: bool,
}

crate::catalogue!(Medium, MEDIA);

/// Surface per volume.
pub type SurfacePerVolume = uom::si::f64::ReciprocalLength;

impl Medium {
    /// The medium of that identifier.
    pub fn by_id(id: &str) -> Option<&'static Self> {
        MEDIA.iter().find(|m| m.id == id)
    }
    /// Pores that fill and drain, usual.
    pub fn porosity(&self) -> Ratio {
        PERCENT.of(percent(self.porosity[1].value))
    }
    /// Pores that fill and drain, least and most.
    pub fn porosity_range(&self) -> (Ratio, Ratio) {
        (PERCENT.of(percent(self.porosity[0].value)), PERCENT.of(percent(self.porosity[2].value)))
    }
    /// Surface per bulk volume, low and high. Measured surfaces can be a half to a quarter of these.
    pub fn surface(&self) -> (SurfacePerVolume, SurfacePerVolume) {
        (MEDIA_AREA.of(self.surface[0].value), MEDIA_AREA.of(self.surface[1].value))
    }
    /// Bulk density, dry.
    pub fn bulk(&self) -> MassDensity {
        DENSITY.of(self.bulk.value)
    }
    /// Bulk density, dry, at the heavy end: for what has to carry it.
    pub fn heaviest(&self) -> MassDensity {
        DENSITY.of(self.heavy.value)
    }
    /// Made for filters; nothing grows in it.
    pub fn for_filters(&self) -> bool {
        matches!(self.id, "mat" | "plastic")
    }
}

type Src = &'static super::sources::Source;
const fn pores(low: f64, usual: f64, high: f64, source: Src, valid: &'static str) -> [Coef; 3] {
    [Coef::new(low, "%", source, valid), Coef::new(usual, "%", source, valid), Coef::new(high, "%", source, valid)]
}
const fn area(low: f64, high: f64, source: Src, valid: &'static str) -> [Coef; 2] {
    [Coef::new(low, "m2/m3", source, valid), Coef::new(high, "m2/m3", source, valid)]
}

const fn dense(value: f64, valid: &'static str) -> Coef {
    Coef::new(value, "kg/m3", &src::MEDIA_MEMORY, valid)
}
const MEASURE: &str = "measure yours with a jug; roots lessen it";

/// Every medium, in the order of every list.
pub static MEDIA: [Medium; 6] = [
    Medium {
        id: "clay",
        label: "Expanded clay, 8 to 16 mm",
        note: "light, floats at first",
        porosity: pores(40.0, 40.0, 50.0, &src::MEDIA_PRACTICE, MEASURE),
        surface: area(250.0, 300.0, &src::FAO_589_MEDIA, "8 to 16 mm"),
        bulk: dense(450.0, "300 to 600 by make"),
        heavy: dense(600.0, "the heaviest makes"),
        limy: false,
    },
    Medium {
        id: "gravel",
        label: "Pea gravel",
        note: "heavy; test with vinegar for lime",
        porosity: pores(35.0, 40.0, 45.0, &src::MEDIA_MEMORY, MEASURE),
        surface: area(240.0, 295.0, &src::MEDIA_PRACTICE, "two merchants give 279 and 295; spheres of 15 mm give 240"),
        bulk: dense(1500.0, "washed, dry, loose"),
        heavy: dense(1500.0, "one figure is known"),
        limy: false,
    },
    Medium {
        id: "lava",
        label: "Volcanic gravel or tuff",
        note: "rough on hands and roots",
        porosity: pores(45.0, 45.0, 55.0, &src::MEDIA_MEMORY, MEASURE),
        surface: area(300.0, 300.0, &src::FAO_589_MEDIA, "8 to 20 mm"),
        bulk: dense(850.0, "700 to 1000"),
        heavy: dense(1000.0, "the heaviest"),
        limy: false,
    },
    Medium {
        id: "limestone",
        label: "Crushed limestone",
        note: "raises pH and hardness",
        porosity: pores(35.0, 40.0, 45.0, &src::MEDIA_MEMORY, MEASURE),
        surface: area(150.0, 200.0, &src::FAO_589_MEDIA, "10 to 25 mm"),
        bulk: dense(1500.0, "washed, dry, loose"),
        heavy: dense(1500.0, "one figure is known"),
        limy: true,
    },
    Medium {
        id: "mat",
        label: "Filter mat",
        note: "in a filter, not for planting",
        porosity: pores(85.0, 90.0, 95.0, &src::MEDIA_PRACTICE, "clean"),
        surface: area(275.0, 275.0, &src::MEDIA_PRACTICE, "woven filter mat"),
        bulk: dense(50.0, "dry"),
        heavy: dense(50.0, "one figure is known"),
        limy: false,
    },
    Medium {
        id: "plastic",
        label: "Plastic filter balls or rings",
        note: "in a filter, not for planting",
        porosity: pores(85.0, 90.0, 95.0, &src::FAO_589_MEDIA, "clean"),
        surface: area(300.0, 600.0, &src::FAO_589_MEDIA, "by make"),
        bulk: dense(100.0, "by make"),
        heavy: dense(100.0, "one figure is known"),
        limy: false,
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_in_order_and_clay_drains_two_fifths() {
        for m in &MEDIA {
            let (low, high) = m.porosity_range();
            assert!(low <= m.porosity() && m.porosity() <= high && high.value < 1.0, "{}", m.id);
            assert!(m.surface().0 <= m.surface().1 && m.bulk().value > 0.0, "{}", m.id);
            assert!(m.heaviest() >= m.bulk(), "{}", m.id);
        }
        // Common practice, no source: expanded clay beds flood and drain about 40 % of their volume.
        assert_eq!(Medium::by_id("clay").map(|m| m.porosity().value), Some(0.4));
    }

    #[test]
    fn surface_of_grains_follows_from_their_size() {
        // Geometry of spheres: 6 (1 - porosity) / diameter. Gravel of 12 to 15 mm, clay of 8 to 16 mm at 40 % pores.
        let spheres = |d: f64| 6.0 * (1.0 - 0.4) / d;
        for (d, expect) in [(0.006, 600.0), (0.010, 360.0), (0.012, 300.0), (0.020, 180.0)] {
            assert!((spheres(d) - expect).abs() < 1e-9);
        }
        let of = |id: &str| Medium::by_id(id).map(|m| m.surface()).unwrap_or_else(|| panic!("{id}"));
        assert!(of("gravel").0.value >= spheres(0.015) - 1e-9 && of("gravel").1.value <= spheres(0.012));
        assert!(of("clay").0.value >= spheres(0.016) && of("clay").1.value <= spheres(0.008));
    }
}
