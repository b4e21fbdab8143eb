//! The calculators. Each is one file: declared fields and a pure function from inputs to an outcome. The registry at the end of this
//! file is the one list of them.

pub mod drain;
pub mod form;
pub mod outcome;
pub mod oxygen;
pub mod ranking;
mod sheet;
pub mod ways;

pub use sheet::{Calculator, Entry, Sheet, entry, solve};

/// Every calculator, in the order of every list.
#[rustfmt::skip]
pub static ALL: &[Entry] = &[
    entry::<oxygen::Oxygen>(),
    entry::<drain::Drain>(),
];

/// The calculator with this identifier.
pub fn by_id(id: &str) -> Option<&'static Entry> {
    ALL.iter().find(|e| e.id == id)
}
