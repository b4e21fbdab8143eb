//! Names under which work is stored. All begin with our own prefix, because a host may share its storage among many pages.

/// What all our names begin with.
pub const PREFIX: &str = "brimwise/";

/// The unit system chosen.
pub const UNITS: &str = "brimwise/setting/units";
/// When everything was last put into a file, milliseconds since 1970.
pub const EXPORTED: &str = "brimwise/setting/exported";
/// When the browser was last asked to promise that it clears nothing.
pub const ASKED: &str = "brimwise/setting/asked";
/// When the person last wanted no reminder.
pub const LATER: &str = "brimwise/setting/later";

/// What stands under a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shelf {
    /// The working sheet of a calculator, by the calculator's identifier.
    Draft,
    /// A calculator's sheet saved under a name.
    Sheet,
    /// A system.
    System,
    /// What could not be read, kept aside as it was found.
    Aside,
    /// What was deleted, kept for a while.
    Bin,
}

impl Shelf {
    const ALL: [Self; 5] = [Self::Draft, Self::Sheet, Self::System, Self::Aside, Self::Bin];

    const fn folder(self) -> &'static str {
        match self {
            Self::Draft => "draft/",
            Self::Sheet => "sheet/",
            Self::System => "system/",
            Self::Aside => "aside/",
            Self::Bin => "bin/",
        }
    }
    /// The key of one entry.
    pub fn key(self, id: &str) -> String {
        format!("{PREFIX}{}{id}", self.folder())
    }
    /// The shelf and identifier of a key, if it is one of ours.
    pub fn of(key: &str) -> Option<(Self, &str)> {
        let rest = key.strip_prefix(PREFIX)?;
        Self::ALL.into_iter().find_map(|s| Some((s, rest.strip_prefix(s.folder())?))).filter(|(_, id)| !id.is_empty())
    }
}

/// Where an entry that could not be read is kept: its old key, so that two of them do not meet.
pub fn aside(key: &str) -> String {
    Shelf::Aside.key(&key.strip_prefix(PREFIX).unwrap_or(key).replace('/', "-"))
}

/// A short identifier from a number drawn at random: letters and digits that are hard to confuse.
pub fn new_id(random: u64) -> String {
    const LETTERS: &[u8; 32] = b"abcdefghjkmnpqrstuvwxyz023456789";
    (0..10).map(|i| char::from(LETTERS[(random >> (5 * i)) as usize % LETTERS.len()])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_read_back_and_strangers_do_not() {
        for shelf in Shelf::ALL {
            let key = shelf.key("k3x9");
            assert!(key.starts_with(PREFIX));
            assert_eq!(Shelf::of(&key), Some((shelf, "k3x9")));
        }
        for stranger in ["other/draft/x", "brimwise/draft/", "brimwise/what/x", "brimwise", UNITS] {
            assert_eq!(Shelf::of(stranger), None, "{stranger}");
        }
        assert_eq!(aside("brimwise/sheet/k3x9"), "brimwise/aside/sheet-k3x9");
        assert_eq!(Shelf::of(&aside("brimwise/sheet/k3x9")), Some((Shelf::Aside, "sheet-k3x9")));
    }

    #[test]
    fn identifiers_differ_and_are_plain() {
        let a = new_id(1);
        assert_eq!(a.len(), 10);
        assert_ne!(a, new_id(2));
        assert_ne!(new_id(u64::MAX), new_id(u64::MAX - 1));
        assert!(super::super::Route::parse(&format!("#/system/{a}")) == super::super::Route::System(a));
    }
}
