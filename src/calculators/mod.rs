//! The calculators. Each is one file: declared fields and a pure function from inputs to an outcome. The registry at the end of this
//! file is the one list of them.

pub mod air;
pub mod bed;
pub mod feed;
pub mod form;
pub mod heat;
pub mod levels;
mod mend;
pub mod outcome;
pub mod oxygen;
mod piping;
pub mod pump;
pub mod ranking;
pub mod settling;
mod sheet;
pub mod siphon;
pub mod stocking;
pub mod ways;

pub use sheet::{Calculator, Entry, Sheet, entry, solve};

/// Every calculator, in the order of every list.
#[rustfmt::skip]
pub static ALL: &[Entry] = &[
    entry::<stocking::Stocking>(),
    entry::<feed::Feed>(),
    entry::<oxygen::Oxygen>(),
    entry::<settling::Settling>(),
    entry::<bed::Bed>(),
    entry::<pump::Pump>(),
    entry::<siphon::Siphon>(),
    entry::<levels::Levels>(),
    entry::<heat::Heat>(),
];

/// The calculator with this identifier.
pub fn by_id(id: &str) -> Option<&'static Entry> {
    ALL.iter().find(|e| e.id == id)
}
