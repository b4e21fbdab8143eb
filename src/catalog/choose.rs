//! Choices: a small set of named options, from an enum or a catalogue table.

use crate::units::{Length, System, Words, kinds::SHORT_LENGTH, si::mm};

/// One option of a choice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opt {
    /// Stable identifier, stored and typed.
    pub id: &'static str,
    /// What the page shows.
    pub label: &'static str,
    /// A few words more, or nothing.
    pub note: &'static str,
    /// The inside diameter of a pipe, said beside its name.
    pub bore: Option<Length>,
    /// Is it sold in inches? Who works in US units looks for it first.
    pub inches: bool,
}

impl Opt {
    /// An option of words alone.
    pub const fn new(id: &'static str, label: &'static str, note: &'static str) -> Self {
        Self { id, label, note, bore: None, inches: false }
    }
    /// What the page shows, in the units that are shown.
    pub fn words(&self, system: System) -> String {
        match (self.bore, system) {
            (None, _) => self.label.into(),
            // The tenths of makers' tables, for every size.
            (Some(bore), System::Metric) => {
                format!("{}, {} mm bore", self.label, (bore.value / mm(0.1)).round() / 10.0)
            }
            (Some(bore), System::Us) => format!("{}, {} bore", self.label, Words::from(system).q(SHORT_LENGTH, bore)),
        }
    }
}

/// Something picked from a fixed list.
pub trait Choose: Copy + 'static {
    /// The option at `i`, or `None` past the end.
    fn option(i: usize) -> Option<Opt>;
    /// Where this value stands in the list.
    fn index(self) -> usize;
    /// The value at `i`; past the end, the last.
    fn nth(i: usize) -> Self;
    /// Where the list has what somebody who works in US units begins with, if others begin with `i`.
    fn us(i: usize) -> usize {
        i
    }
    /// The identifier of this value.
    fn id(self) -> &'static str {
        Self::option(self.index()).map_or("", |o| o.id)
    }
    /// The words of this value.
    fn label(self) -> &'static str {
        Self::option(self.index()).map_or("", |o| o.label)
    }
    /// The value with this identifier.
    fn by_id(id: &str) -> Option<Self> {
        (0..).map_while(Self::option).position(|o| o.id == id).map(Self::nth)
    }
}

/// Makes an enum of unit variants a choice: `choices!(Arrangement: Rim = "rim", "Open standpipe", "note"; ...);`. With `, us Inch` after the
/// name, forms begin with that in US units.
#[macro_export]
macro_rules! choices {
    ($t:ident $(, us $us:ident)?: $($v:ident = $id:literal, $label:literal, $note:literal;)+) => {
        impl $crate::catalog::choose::Choose for $t {
            fn option(i: usize) -> Option<$crate::catalog::choose::Opt> {
                const ALL: &[$crate::catalog::choose::Opt] =
                    &[$($crate::catalog::choose::Opt::new($id, $label, $note)),+];
                ALL.get(i).copied()
            }
            fn index(self) -> usize {
                const ALL: &[$t] = &[$($t::$v),+];
                ALL.iter().position(|v| *v == self).unwrap_or(0)
            }
            fn nth(i: usize) -> Self {
                const ALL: &[$t] = &[$($t::$v),+];
                ALL[i.min(ALL.len() - 1)]
            }
            $(fn us(_: usize) -> usize {
                $t::$us.index()
            })?
        }
    };
}

/// Makes references into a catalogue table (whose rows have `id`, `label` and `note` fields) a choice: `catalogue!(Pipe, PIPES);`
#[macro_export]
macro_rules! catalogue {
    ($t:ty, $table:path) => {
        impl $crate::catalog::choose::Choose for &'static $t {
            fn option(i: usize) -> Option<$crate::catalog::choose::Opt> {
                $table.get(i).map(|r| $crate::catalog::choose::Opt::new(r.id, r.label, r.note))
            }
            fn index(self) -> usize {
                $table.iter().position(|r| r.id == self.id).unwrap_or(0)
            }
            fn nth(i: usize) -> Self {
                &$table[i.min($table.len() - 1)]
            }
        }
    };
}
