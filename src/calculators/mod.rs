//! The calculators. Each is one file: declared fields and a pure function from inputs to an outcome. The registry at the end of this
//! file is the one list of them.

pub mod ammonia;
pub mod change;
pub mod form;
pub mod heat;
mod mend;
pub mod outage;
pub mod outcome;
pub mod ranking;
pub mod running;
mod sheet;
pub mod startup;
pub mod ways;

pub use sheet::{Calculator, Entry, Sheet, entry, solve};

/// Every calculator, in the order of every list.
pub static ALL: &[Entry] = &[
    entry::<ammonia::Ammonia>(),
    entry::<startup::Startup>(),
    entry::<heat::Heat>(),
    entry::<outage::Outage>(),
    entry::<change::Change>(),
    entry::<running::Running>(),
];

/// The calculator with this identifier.
pub fn by_id(id: &str) -> Option<&'static Entry> {
    ALL.iter().find(|e| e.id == id)
}
