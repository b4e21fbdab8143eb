//! Fittings by name with their loss coefficients by size: the conservative ones, for gravity drains.
//!
//! Socket-glued PVC fittings are sharp inside and count as screwed ones (our judgement), which lose 1.5 to 2.7 times what flanged steel
//! does. Makers' figures for swept fittings are lower.

use super::sources::{Source, hydraulics as src};
use crate::units::{Length, Ratio, kinds::RATIO, si::mm};

/// One kind of fitting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// Stable identifier.
    pub id: &'static str,
    /// Name.
    pub label: &'static str,
    /// A few words more.
    pub note: &'static str,
    /// Loss coefficient at the sizes of [`BORES_MM`].
    k: [f64; 9],
    /// Where the coefficients come from.
    pub source: &'static Source,
}

/// Bores of the sizes 1/2, 3/4, 1, 1 1/4, 1 1/2, 2, 2 1/2, 3, 4 in, mm.
const BORES_MM: [f64; 9] = [15.29, 20.42, 26.14, 34.54, 40.39, 51.99, 62.10, 77.27, 101.55];
/// Friction factor of rough turbulent flow at those sizes (Crane TP-410).
const F_T: [f64; 9] = [0.0258, 0.0238, 0.0224, 0.0208, 0.0201, 0.0189, 0.0181, 0.0172, 0.0162];

impl Fitting {
    /// Loss coefficient for a bore, by straight lines between the sizes; beyond the table its end.
    pub fn loss(&self, bore: Length) -> Ratio {
        let b = bore.value;
        let i = BORES_MM.iter().position(|&x| b <= mm(x)).unwrap_or(BORES_MM.len());
        RATIO.of(match i {
            0 => self.k[0],
            i if i == BORES_MM.len() => self.k[i - 1],
            i => {
                let (low, high) = (mm(BORES_MM[i - 1]), mm(BORES_MM[i]));
                self.k[i - 1] + (self.k[i] - self.k[i - 1]) * (b - low) / (high - low)
            }
        })
    }
}

const fn multiple(n: f64) -> [f64; 9] {
    let mut k = F_T;
    let mut i = 0;
    while i < k.len() {
        k[i] = n * F_T[i];
        i += 1;
    }
    k
}

/// Every fitting. Sizes that a table leaves out take the value of the sharp elbow.
#[rustfmt::skip]
pub static FITTINGS: [Fitting; 11] = [
    Fitting { id: "elbow_90", label: "90° elbow", note: "sharp, screwed or glued",
        k: [2.10, 1.70, 1.50, 1.30, 1.20, 1.00, 0.85, 0.76, 0.65], source: &src::RISHEL_2006 },
    Fitting { id: "bend_90", label: "90° swept bend", note: "long radius",
        k: [2.10, 0.85, 0.76, 0.65, 0.53, 0.43, 0.36, 0.29, 0.23], source: &src::RISHEL_2006 },
    Fitting { id: "elbow_45", label: "45° elbow", note: "", k: multiple(16.0), source: &src::CRANE_TP410 },
    Fitting { id: "mitre_90", label: "90° mitre", note: "cut and glued", k: multiple(60.0), source: &src::CRANE_TP410 },
    Fitting { id: "return_bend", label: "180° return bend", note: "", k: multiple(50.0), source: &src::CRANE_TP410 },
    Fitting { id: "tee_run", label: "Tee, straight through", note: "", k: [0.90; 9], source: &src::RISHEL_2006 },
    Fitting { id: "tee_branch", label: "Tee, turning", note: "through the branch",
        k: [2.40, 2.10, 1.90, 1.70, 1.60, 1.40, 1.30, 1.20, 1.10], source: &src::RISHEL_2006 },
    Fitting { id: "ball_valve", label: "Ball valve, open", note: "full bore", k: multiple(3.0), source: &src::CRANE_TP410 },
    Fitting { id: "gate_valve", label: "Gate valve, open", note: "",
        k: [0.32, 0.28, 0.24, 0.22, 0.20, 0.17, 0.15, 0.14, 0.12], source: &src::RISHEL_2006 },
    Fitting { id: "swing_check", label: "Swing check valve", note: "angled seat; hardly opens under a gravity drain's head",
        k: multiple(100.0), source: &src::CRANE_TP410 },
    Fitting { id: "coupling", label: "Coupling or union", note: "", k: [0.08; 9], source: &src::COUPLING_PRACTICE },
];
crate::catalogue!(Fitting, FITTINGS);

/// The sharp 90° elbow.
pub static ELBOW_90: &Fitting = &FITTINGS[0];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::choose::Choose;
    use crate::units::kinds::SHORT_LENGTH;

    fn k(id: &str, bore: f64) -> f64 {
        <&Fitting>::by_id(id).map_or(f64::NAN, |f| f.loss(SHORT_LENGTH.of(mm(bore))).value)
    }

    #[test]
    fn the_tables_of_the_hydraulic_institute() {
        // Rishel 2006, Tables 3.8 to 3.11: 1, 1 1/2, 2 and 4 in.
        for (id, row) in [
            ("elbow_90", [1.50, 1.20, 1.00, 0.65]),
            ("bend_90", [0.76, 0.53, 0.43, 0.23]),
            ("tee_branch", [1.90, 1.60, 1.40, 1.10]),
            ("tee_run", [0.90, 0.90, 0.90, 0.90]),
            ("gate_valve", [0.24, 0.20, 0.17, 0.12]),
        ] {
            for (bore, expect) in [26.14, 40.39, 51.99, 101.55].iter().zip(row) {
                assert!((k(id, *bore) - expect).abs() < 1e-12, "{id} {bore}");
            }
        }
    }

    #[test]
    fn multiples_of_crane() {
        // Crane TP-410 at 2 in (f_T 0.0189), as coded in fluids 1.3.1: 45° 0.302, mitre 1.13, 180° 0.945, ball valve 0.057.
        for (id, expect) in [
            ("elbow_45", 0.302),
            ("mitre_90", 1.134),
            ("return_bend", 0.945),
            ("ball_valve", 0.0567),
            ("swing_check", 1.89),
        ] {
            assert!((k(id, 51.99) - expect).abs() < 1e-3, "{id} {}", k(id, 51.99));
        }
        // A sharp screwed elbow loses 1.5 to 2.7 times Crane's 30 f_T.
        for (i, bore) in BORES_MM.iter().enumerate() {
            let ratio = k("elbow_90", *bore) / (30.0 * F_T[i]);
            assert!(ratio > 1.3 && ratio < 2.8, "{bore} {ratio}");
        }
    }

    #[test]
    fn between_and_beyond_the_sizes() {
        assert!(k("elbow_90", 45.0) < 1.2 && k("elbow_90", 45.0) > 1.0);
        assert_eq!(k("elbow_90", 5.0), 2.10);
        assert_eq!(k("elbow_90", 300.0), 0.65);
        for f in &FITTINGS {
            assert!(f.k.windows(2).all(|p| p[1] <= p[0]), "{} falls with size", f.id);
        }
    }
}
