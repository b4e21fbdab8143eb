//! Sources of the whole-system check.

use super::Source;

/// Throttling to four fifths.
pub static THROTTLING: Source = Source::judgement(
    "throttling",
    "Where an outlet cannot carry what its pump could send, its branch is taken to be throttled to four fifths of what the outlet carries.",
);

/// What wears between two cleanings.
pub static WORN: Source = Source::judgement(
    "worn",
    "Between two cleanings a screen is taken to lose half of its openings, and air stones to fall to the low end of what aged stones do.",
);

/// A pump in a fish tank.
pub static DRAWN_FROM: Source = Source::judgement(
    "drawn_from",
    "Where a pump draws from the fish tank, half of its water should stay while all beds are full: over the pump, over the heater and for the fish.",
);

/// How far an input that was put in by hand may be off.
pub static PLAUSIBLE: Source = Source::judgement(
    "plausible",
    "An assumed value without a stated spread is moved by a fifth to either side, one that was put in by a tenth; temperatures by 3 and by 1 °C.",
);

/// Sizes within a group of fish.
pub static SIZES: Source = Source::judgement(
    "sizes",
    "Fish of one age scatter in mass by a quarter of their mean (standard deviation), normally distributed: what takes out the largest takes out more \
     than its share of the mass.",
);

/// All of this file.
pub static ALL: &[&Source] = &[&THROTTLING, &WORN, &DRAWN_FROM, &PLAUSIBLE, &SIZES];
