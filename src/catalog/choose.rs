//! Choices: a small set of named options, from an enum or a catalogue table.

/// One option of a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opt {
    /// Stable identifier, stored and typed.
    pub id: &'static str,
    /// What the page shows.
    pub label: &'static str,
    /// A few words more, or nothing.
    pub note: &'static str,
}

/// Something picked from a fixed list.
pub trait Choose: Copy + 'static {
    /// The option at `i`, or `None` past the end.
    fn option(i: usize) -> Option<Opt>;
    /// Where this value stands in the list.
    fn index(self) -> usize;
    /// The value at `i`; past the end, the last.
    fn nth(i: usize) -> Self;
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

/// Makes an enum of unit variants a choice: `choices!(Arrangement: Rim = "rim", "Open standpipe", "note"; ...);`
#[macro_export]
macro_rules! choices {
    ($t:ident: $($v:ident = $id:literal, $label:literal, $note:literal;)+) => {
        impl $crate::catalog::choose::Choose for $t {
            fn option(i: usize) -> Option<$crate::catalog::choose::Opt> {
                const ALL: &[$crate::catalog::choose::Opt] =
                    &[$($crate::catalog::choose::Opt { id: $id, label: $label, note: $note }),+];
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
        }
    };
}

/// Makes references into a catalogue table (whose rows have `id`, `label` and `note` fields) a choice: `catalogue!(Pipe, PIPES);`
#[macro_export]
macro_rules! catalogue {
    ($t:ty, $table:path) => {
        impl $crate::catalog::choose::Choose for &'static $t {
            fn option(i: usize) -> Option<$crate::catalog::choose::Opt> {
                $table.get(i).map(|r| $crate::catalog::choose::Opt { id: r.id, label: r.label, note: r.note })
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
