//! Air diffusers: how much of the oxygen in the air dissolves per metre of depth, in clean water at 20 °C without oxygen.

use super::sources::{Coef, oxygen as src};

/// A class of diffuser.
#[derive(Debug, PartialEq)]
pub struct Diffuser {
    /// Identifier.
    pub id: &'static str,
    /// What the page shows.
    pub label: &'static str,
    /// How to tell it.
    pub note: &'static str,
    /// Share dissolved per metre of depth, low end.
    pub low: Coef,
    /// Share dissolved per metre of depth, high end.
    pub high: Coef,
}

const DEPTHS: &str = "0.3 to 2 m deep";

/// Identifier of the finest.
pub const FINE: &str = "fine";

/// Every class, finest first.
pub static DIFFUSERS: &[Diffuser] = &[
    Diffuser {
        id: FINE,
        label: "Fine-pore disc or plate",
        note: "a white mist of bubbles of 1 to 2 mm (1/16 in)",
        low: Coef::new(0.055, "1/m", &src::DIFFUSER_EFFICIENCY, DEPTHS),
        high: Coef::new(0.065, "1/m", &src::DIFFUSER_EFFICIENCY, DEPTHS),
    },
    Diffuser {
        id: "medium",
        label: "Air stones",
        note: "bubbles of 2 to 4 mm (1/8 in)",
        low: Coef::new(0.03, "1/m", &src::DIFFUSER_EFFICIENCY, DEPTHS),
        high: Coef::new(0.04, "1/m", &src::DIFFUSER_EFFICIENCY, DEPTHS),
    },
    Diffuser {
        id: "coarse",
        label: "Coarse stones or soaker hose",
        note: "bubbles of 5 mm (3/16 in) and more",
        low: Coef::new(0.02, "1/m", &src::DIFFUSER_EFFICIENCY, DEPTHS),
        high: Coef::new(0.025, "1/m", &src::DIFFUSER_EFFICIENCY, DEPTHS),
    },
    Diffuser {
        id: "hose",
        label: "Open or drilled hose",
        note: "big bubbles that burst at the surface",
        low: Coef::new(0.01, "1/m", &src::OPEN_HOSE, DEPTHS),
        high: Coef::new(0.02, "1/m", &src::OPEN_HOSE, DEPTHS),
    },
];

/// The usual one.
pub static MEDIUM: &Diffuser = &DIFFUSERS[1];

crate::catalogue!(Diffuser, DIFFUSERS);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finer_is_never_worse() {
        for w in DIFFUSERS.windows(2) {
            assert!(w[0].low.value >= w[1].low.value && w[0].high.value >= w[1].high.value);
            assert!(w[0].low.value < w[0].high.value);
        }
        assert_eq!(MEDIUM.id, "medium");
        // Judgement, no figure was seen: one to two hundredths a metre.
        let hose = DIFFUSERS.iter().find(|d| d.id == "hose").map(|d| (d.low.value, d.high.value));
        assert_eq!(hose, Some((0.01, 0.02)));
    }
}
