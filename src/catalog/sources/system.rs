//! Sources of the whole-system check.

use super::Source;

/// Throttling to four fifths.
pub static THROTTLING: Source = Source::judgement(
    "throttling",
    "Where an outlet cannot carry what its pump could send, its branch is taken to be throttled to four fifths of what the outlet carries.",
);

/// All of this file.
pub static ALL: &[&Source] = &[&THROTTLING];
