//! The tests of “fill and prove” by the keys that their readings are kept under: a word, and of what station or branch. Documents hold them, so a word
//! never changes.

/// What is tried on clean water, and later with fish.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Test {
    /// The water that fills a tank.
    Fill,
    /// The narrowest place of an outlet.
    Bore,
    /// The air that reaches the stones of a tank.
    Air,
    /// The flow of a branch, in a bucket.
    Bucket,
    /// The water at an outlet while it runs.
    Level,
    /// A tank with its outlet stopped.
    Blocked,
    /// The pump stopped.
    Stop,
    /// The lowest water of a tank that a pump draws from.
    Lowest,
    /// The water in a sump with the pump stopped.
    Sump,
    /// How a siphon starts and breaks.
    Siphon,
    /// A power cut.
    Power,
    /// The oxygen at dawn.
    Dawn,
}

impl Test {
    const ALL: [Self; 12] = [
        Self::Fill,
        Self::Bore,
        Self::Air,
        Self::Bucket,
        Self::Level,
        Self::Blocked,
        Self::Stop,
        Self::Lowest,
        Self::Sump,
        Self::Siphon,
        Self::Power,
        Self::Dawn,
    ];
    const fn word(self) -> &'static str {
        match self {
            Self::Fill => "fill",
            Self::Bore => "bore",
            Self::Air => "air",
            Self::Bucket => "bucket",
            Self::Level => "level",
            Self::Blocked => "blocked",
            Self::Stop => "stop",
            Self::Lowest => "lowest",
            Self::Sump => "sump",
            Self::Siphon => "siphon",
            Self::Power => "power",
            Self::Dawn => "dawn",
        }
    }
    /// Its key for the whole system.
    pub fn key(self) -> String {
        self.word().into()
    }
    /// Its key at a station.
    pub fn at(self, station: &str) -> String {
        format!("{} {station}", self.word())
    }
    /// Its key on the branch between two stations.
    pub fn between(self, from: &str, to: &str) -> String {
        format!("{} {from} {to}", self.word())
    }
    /// The test of a key, and of what it is: an identifier may have spaces in it.
    pub fn of(key: &str) -> Option<(Self, &str)> {
        let (word, what) = key.split_once(' ').unwrap_or((key, ""));
        Self::ALL.into_iter().find(|t| t.word() == word).map(|t| (t, what))
    }
    /// Is this key one of its own?
    pub fn is(self, key: &str) -> bool {
        Self::of(key).is_some_and(|(test, _)| test == self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_read_as_they_are_written() {
        for t in Test::ALL {
            assert_eq!(Test::of(&t.key()), Some((t, "")));
            assert_eq!(Test::of(&t.at("the tank")), Some((t, "the tank")));
            assert_eq!(Test::of(&t.between("pump 1", "bed")), Some((t, "pump 1 bed")));
        }
        assert!(Test::of("medium clay").is_none() && Test::of("").is_none());
        assert!(Test::Dawn.is("dawn trough") && !Test::Dawn.is("air trough"));
    }
}
