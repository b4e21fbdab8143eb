//! Materials of walls, lids and insulation, by how well they conduct heat.

use crate::catalog::sources::{Coef, Source, climate as src};

/// A material in a layer.
#[derive(Debug, PartialEq)]
pub struct Material {
    /// Stable identifier.
    pub id: &'static str,
    /// What the page calls it.
    pub label: &'static str,
    /// A few words more.
    pub note: &'static str,
    /// Thermal conductivity.
    pub conductivity: Coef,
}

const fn row(id: &'static str, label: &'static str, note: &'static str, k: f64) -> Material {
    sourced(id, label, note, k, &src::ISO_10456)
}
const fn sourced(
    id: &'static str,
    label: &'static str,
    note: &'static str,
    k: f64,
    source: &'static Source,
) -> Material {
    Material { id, label, note, conductivity: Coef::new(k, "W/(m K)", source, "dry, about 10 to 25 degC") }
}

/// What tanks are made of.
pub static WALLS: [Material; 9] = [
    row("polyethylene", "Polyethylene (drums, tanks)", "", 0.50),
    row("polypropylene", "Polypropylene", "", 0.22),
    row("pvc", "PVC or vinyl", "", 0.17),
    row("grp", "Glass-fibre (GRP)", "", 0.19),
    row("wood", "Wood or plywood with a liner", "", 0.13),
    row("concrete", "Concrete or masonry", "", 2.3),
    row("glass", "Glass", "", 1.0),
    row("acrylic", "Acrylic", "", 0.20),
    row("steel", "Steel", "", 50.0),
];

/// What keeps the warmth in.
pub static INSULATION: [Material; 6] = [
    row("eps", "Expanded polystyrene (EPS)", "", 0.0355),
    sourced("xps", "Extruded polystyrene (XPS)", "stays dry in the ground", 0.033, &src::EXTRUDED_BOARD),
    row("pir", "PIR or PUR board", "", 0.0235),
    row("wool", "Mineral or glass wool", "useless when wet", 0.040),
    row("foam", "Sprayed PU foam", "", 0.026),
    row("timber", "Timber boards", "", 0.13),
];

/// What the wall of a tank is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall(pub &'static Material);
/// What insulates it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insulation(pub &'static Material);

macro_rules! choose {
    ($t:ident, $table:ident) => {
        impl crate::catalog::choose::Choose for $t {
            fn option(i: usize) -> Option<crate::catalog::choose::Opt> {
                $table.get(i).map(|r| crate::catalog::choose::Opt::new(r.id, r.label, r.note))
            }
            fn index(self) -> usize {
                $table.iter().position(|r| r.id == self.0.id).unwrap_or(0)
            }
            fn nth(i: usize) -> Self {
                Self(&$table[i.min($table.len() - 1)])
            }
        }
        impl Default for $t {
            fn default() -> Self {
                Self(&$table[0])
            }
        }
    };
}
choose!(Wall, WALLS);
choose!(Insulation, INSULATION);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::choose::Choose;

    #[test]
    fn choices_find_themselves() {
        for i in 0..WALLS.len() {
            assert_eq!(Wall::nth(i).index(), i);
        }
        for (i, row) in INSULATION.iter().enumerate() {
            assert_eq!(Insulation::by_id(row.id).map(Choose::index), Some(i));
        }
        // EN ISO 10456 and ASHRAE Handbook, Fundamentals 2013, as tabulated by ht 1.2.0: high-density polyethylene, polypropylene, PVC, polyester
        // resin, plywood of 500 kg/m³, concrete with 1 % of steel, soda-lime glass, acrylic, steel; moulded beads, aged polyisocyanurate, felted
        // mineral wool of 32 kg/m³, sprayed foam of 40 kg/m³, timber of 500 kg/m³. Extruded boards are no row of it (0.026 there, of old ones).
        let table = [0.5, 0.22, 0.17, 0.19, 0.13, 2.3, 1.0, 0.2, 50.0, 0.0355, 0.0235, 0.04, 0.026, 0.13];
        let tabled = WALLS.iter().chain(&INSULATION).filter(|m| m.conductivity.source == &src::ISO_10456);
        assert!(tabled.map(|m| m.conductivity.value).eq(table));
        // Insulation insulates, walls do not, whatever the table says.
        assert!(INSULATION.iter().filter(|m| m.id != "timber").all(|m| m.conductivity.value < 0.05));
        assert!(WALLS.iter().all(|m| m.conductivity.value > 0.1));
    }
}
