//! Materials of walls, lids and insulation, by how well they conduct heat.

use crate::catalog::sources::{Coef, climate as src};

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
    Material { id, label, note, conductivity: Coef::new(k, "W/(m K)", &src::ISO_10456, "dry, about 10 to 25 degC") }
}

/// What tanks are made of.
pub static WALLS: [Material; 9] = [
    row("polyethylene", "Polyethylene (drums, stock tanks)", "", 0.50),
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
    row("xps", "Extruded polystyrene (XPS)", "stays dry in the ground", 0.033),
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
                $table.get(i).map(|r| crate::catalog::choose::Opt { id: r.id, label: r.label, note: r.note })
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
        // Insulation insulates, walls do not, whatever the table says.
        assert!(INSULATION.iter().filter(|m| m.id != "timber").all(|m| m.conductivity.value < 0.05));
        assert!(WALLS.iter().all(|m| m.conductivity.value > 0.1));
    }
}
