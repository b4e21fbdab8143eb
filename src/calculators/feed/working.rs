//! The working of a ration, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &FeedIn, o: &FeedOut, w: &mut Working) {
    ration(i, o, w);
    if let Some(read) = o.readings {
        cut(&read, o, w);
    }
    scoops(i, o, w);
    growth(i, o, w);
}

fn ration(i: &FeedIn, o: &FeedOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Ration of one fish",
            "by the table or the growth of this species, at this mass and temperature",
            &[term("W", SMALL_MASS, i.mass), term("T", TEMPERATURE, i.temperature)],
            term("r", DAILY_SHARE, o.ration),
            feeding::source(i.species),
        )
    });
    w.step(|| {
        Step::new(
            "Feed of the stock",
            "F = r n W",
            &[term("r", DAILY_SHARE, o.ration), term("n", COUNT, i.count), term("W", SMALL_MASS, i.mass)],
            term("F", FEED_RATE, o.full),
            &src::FAO_S4314E,
        )
    });
}

/// What the readings leave of it, and then acid water.
fn cut(r: &Readings, o: &FeedOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Cut by the readings",
            "all of it inside the limits; none past that of oxygen, of poisonous ammonia, of nitrite with less chloride than holds it off, and of pH; of the others half past it and none past twice it",
            &[
                term("O2", CONCENTRATION, r.oxygen),
                term("TAN", CONCENTRATION, r.tan),
                term("NH3", CONCENTRATION, r.unionised),
                term("NO2", CONCENTRATION, r.nitrite),
                term("pH", RATIO, r.ph),
            ],
            term("share", PERCENT, feeding::after_readings(o.species, r).0),
            &src::FEED_JUDGEMENT,
        )
    });
    if o.cut == Cut::Acid {
        w.step(|| {
            Step::new(
                "Cut in acid water",
                "what a filter keeps of its rate below pH 6.5, half at the least down to pH 6, and none below",
                &[term("pH", RATIO, r.ph)],
                term("share", PERCENT, o.share),
                &oxygen::FILTER_PH,
            )
        });
    }
}

fn scoops(i: &FeedIn, o: &FeedOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Scoops a meal",
            "meal / (scoop x pellets)",
            &[
                term("meal", SMALL_MASS, o.meal),
                term("scoop", SMALL_VOLUME, i.scoop),
                term("pellets", DENSITY, i.pellets),
            ],
            term("scoops", RATIO, o.scoops),
            &general::ELEMENTARY,
        )
    });
}

/// What they gain on it, and what they eat until harvest.
fn growth(i: &FeedIn, o: &FeedOut, w: &mut Working) {
    let (best, ordinary) = i.species.fcr();
    w.step(|| {
        Step::new(
            "Gain of the stock",
            if grow(i, o.feed) { "F / (feed per gain), at its best" } else { "0, on less than their upkeep" },
            &[term("F", FEED_RATE, o.feed), term("feed per gain", RATIO, best)],
            term("gain", FEED_RATE, o.gain.1),
            i.species.table.fcr_low.source,
        )
    });
    w.step(|| {
        Step::new(
            "Feed until harvest",
            "n max(0, target - W) x (feed per gain), ordinary keeping",
            &[
                term("n", COUNT, i.count),
                term("target", SMALL_MASS, i.target),
                term("W", SMALL_MASS, i.mass),
                term("feed per gain", RATIO, ordinary),
            ],
            term("feed", MASS, o.until.1),
            i.species.table.fcr_high.source,
        )
    });
}
