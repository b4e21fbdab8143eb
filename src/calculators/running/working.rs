//! The working of a running cost, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &RunningIn, o: &RunningOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Electricity a month",
            "E = sum of watts × number × hours a day/24 h × 30.44 days",
            &[],
            term("E", ENERGY, o.energy),
            &ELEMENTARY,
        )
    });
    fish(i, o, w);
    money(o, w);
}

fn fish(i: &RunningIn, o: &RunningOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Fish grown a month",
            "grown = feed × 30.44 days/(feed per gain)",
            &[term("feed", FEED_RATE, i.feed), term("feed per gain", RATIO, i.fcr)],
            term("grown", MASS, o.grown),
            &ELEMENTARY,
        )
    });
    w.step(|| {
        Step::new(
            "Young fish a month",
            "n = grown/(mass at harvest)/(1 - lost)",
            &[term("mass at harvest", SMALL_MASS, i.harvest), term("lost", PERCENT, i.lost)],
            term("n", RATIO, o.young),
            &ELEMENTARY,
        )
    });
}

fn money(o: &RunningOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Common cost a month",
            "common = electricity + heating + water + all else + building",
            &[
                term("electricity", MONEY, o.electricity),
                term("heating", MONEY, o.heating),
                term("water", MONEY, o.water),
                term("all else", MONEY, o.other),
                term("building", MONEY, o.building),
            ],
            term("common", MONEY, o.common),
            &ELEMENTARY,
        )
    });
    w.step(|| {
        Step::new(
            "Everything a month",
            "total = common + feed + young fish + seedlings",
            &[term("feed", MONEY, o.feed), term("young fish", MONEY, o.fish), term("seedlings", MONEY, o.plants)],
            term("total", MONEY, o.total),
            &ELEMENTARY,
        )
    });
    if let Some(x) = o.per_kilogram {
        w.step(|| {
            Step::new(
                "Fish, by weight",
                "c = (feed + young fish + (1 - share) common)/grown",
                &[term("share", PERCENT, PERCENT.of(o.share))],
                term("c", PRICE_MASS, x),
                &src::COST_SHARE,
            )
        });
    }
}
