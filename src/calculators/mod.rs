//! The calculators. Each is one file (with its words and tests in a folder of its name where that grew long): declared fields and a pure function from inputs to an outcome. The registry at the end of this
//! file is the one list of them.

pub mod air;
pub mod ammonia;
pub mod bed;
pub(crate) mod care;
pub mod change;
pub(crate) mod deadly;
pub mod drain;
pub mod feed;
pub mod form;
pub(crate) mod fouling;
pub(crate) mod handling;
pub mod heat;
pub mod levels;
pub(crate) mod mend;
pub mod outage;
pub mod outcome;
pub mod oxygen;
pub(crate) mod piping;
pub mod pump;
pub mod ranking;
pub mod running;
pub mod settling;
mod sheet;
pub mod siphon;
pub mod startup;
pub mod stocking;
pub mod ways;

pub use sheet::{Calculator, Entry, Sheet, entry, sheet, solve};

/// Every calculator, in the order of every list.
#[rustfmt::skip]
pub static ALL: &[Entry] = &[
    entry::<stocking::Stocking>(),
    entry::<feed::Feed>(),
    entry::<oxygen::Oxygen>(),
    entry::<drain::Drain>(),
    entry::<settling::Settling>(),
    entry::<bed::Bed>(),
    entry::<outage::Outage>(),
    entry::<pump::Pump>(),
    entry::<siphon::Siphon>(),
    entry::<levels::Levels>(),
    entry::<ammonia::Ammonia>(),
    entry::<startup::Startup>(),
    entry::<heat::Heat>(),
    entry::<change::Change>(),
    entry::<running::Running>(),
];

/// The calculator with this identifier.
pub fn by_id(id: &str) -> Option<&'static Entry> {
    ALL.iter().find(|e| e.id == id)
}

#[cfg(test)]
mod tests {
    use crate::units::Words;

    #[test]
    fn the_answer_is_one_of_the_outputs() {
        for entry in super::ALL {
            let outcome =
                (entry.sheet)().run(Words::default(), false).unwrap_or_else(|e| panic!("{}: {e:?}", entry.id));
            let known = outcome.outputs.iter().any(|o| o.key == entry.answer);
            assert!(known || entry.answer.is_empty(), "{} has no output {}", entry.id, entry.answer);
        }
    }
}
