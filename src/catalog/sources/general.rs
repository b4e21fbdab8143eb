//! Sources that several topics share.

use super::Source;

/// Conservation of mass, energy and momentum; plane geometry.
pub static ELEMENTARY: Source = Source::published(
    "elementary_physics",
    "Elementary physics and geometry (conservation of mass and energy, continuity); any textbook of fluid mechanics.",
);
/// Standard gravity.
pub static STANDARD_GRAVITY: Source =
    Source::published("standard_gravity", "Standard acceleration of gravity, 3rd CGPM (1901): 9.806 65 m/s² exactly.");
/// Our own rule for the words enough, tight and over.
pub static FILL_LEVELS: Source = Source::judgement(
    "fill_levels",
    "A fifth of any capacity is kept in hand: up to 80 % is enough, up to 100 % tight, past it over.",
);

/// All of this file.
pub static ALL: &[&Source] = &[&ELEMENTARY, &STANDARD_GRAVITY, &FILL_LEVELS];
