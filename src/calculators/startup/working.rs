//! The working of a start-up, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &StartupIn, bears: &Bears, o: &StartupOut, w: &mut Working) {
    filter(i, bears, o, w);
    if let Some(d) = &o.dosed {
        dose(d, i, bears.target, w);
    }
    feed(i, bears, o, w);
    lime(i, o, w);
}

/// When it is ripe, what it carries then and now.
fn filter(i: &StartupIn, bears: &Bears, o: &StartupOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Time to ripen, slowest",
            "t = 56 days × 2^(max(0, 20 °C - T)/10) × share, that of the start",
            &[term("T", TEMPERATURE, i.temperature), term("share", RATIO, RATIO.of(i.seed.shares()[1].value))],
            term("t", DAYS, o.ripe.1),
            &src::RIPENING_RANGE,
        )
    });
    w.step(|| {
        Step::new(
            "What it surely carries now, of its full load",
            "nothing in its first days, then grown from the feed whose ammonia the water bears alone, by the same share every week",
            &[term("days so far", DAYS, i.age), term("alone", FEED_RATE, bears.lived), term("full", FEED_RATE, bears.filter)],
            term("share", PERCENT, o.carries.0),
            &oxygen_src::NEW_FILTER,
        )
    });
    w.step(|| {
        Step::new(
            "Feed that the ripe filter carries",
            "r × surface × medium/(0.092 × protein), r where ammonia is as these fish bear it",
            &[
                term("r", AREAL_RATE, ammonia::nitrification(i.temperature, bears.target) * ammonia::acid_share(i.ph)),
                term("surface × medium", AREA, bears.area),
                term("protein", PERCENT, i.protein),
            ],
            term("feed", FEED_RATE, bears.filter),
            &oxygen_src::FILTER_SAFETY,
        )
    });
    if o.new {
        w.step(|| {
            Step::new(
                "What the water bears alone while the filter is new",
                "max(0, min(borne/6, borne/2 - 2/3 × TAN)) V/1 day/(0.092 × protein), borne by the fish in all, a third of the water changed every day",
                &[
                    term("borne", CONCENTRATION, bears.borne),
                    term("TAN", CONCENTRATION, i.tan),
                    term("V", VOLUME, i.volume),
                ],
                term("feed", FEED_RATE, bears.alone(i, i.tan)),
                &oxygen_src::NEW_FILTER,
            )
        });
    }
}

/// What is dosed.
fn dose(d: &Dosed, i: &StartupIn, target: MassConcentration, w: &mut Working) {
    let terms = [term("dose", CONCENTRATION, d.dose), term("V", VOLUME, i.volume)];
    if let Some(salt) = d.salt {
        w.step(|| {
            Step::new(
                "Ammonium chloride for a dose",
                "m = 53.491/14.007 × dose × V",
                &terms,
                term("m", SMALL_MASS, salt),
                &src::STOICHIOMETRY,
            )
        });
    }
    if let Some(water) = d.water {
        w.step(|| {
            Step::new(
                "Household ammonia for a dose",
                "v = dose × V × 17.031/14.007/(strength × 1000 kg/m³ × (1 - 0.4 × strength))",
                &[terms[0].clone(), terms[1].clone(), term("strength", PERCENT, i.strength)],
                term("v", SMALL_VOLUME, water),
                &src::AMMONIA_DENSITY,
            )
        });
    }
    w.step(|| {
        let salt = i.product == Product::Chloride;
        Step::new(
            "Alkalinity that a dose uses up",
            if salt { "lime = 7.14 × dose" } else { "lime = 7.14/2 × dose, ammonia is half of a buffer itself" },
            &terms[..1],
            term("lime", CONCENTRATION, d.lime),
            &oxygen_src::ALKALINITY,
        )
    });
    w.step(|| {
        Step::new(
            "Feed that a dose proves, gone in a day",
            "proven = dose × V/1 day × min(1, held/1 mg/L)/(0.092 × protein), held what these fish bear",
            &[
                terms[0].clone(),
                terms[1].clone(),
                term("held", CONCENTRATION, target),
                term("protein", PERCENT, i.protein),
            ],
            term("proven", FEED_RATE, d.proven),
            &src::DOSE_TEST,
        )
    });
}

/// The feed of this week.
fn feed(i: &StartupIn, bears: &Bears, o: &StartupOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Most feed this week",
            if o.untried() {
                "nothing: no dose was gone in a day"
            } else if o.feeds && o.dosed.is_some() {
                "min(0.8 × proven, full)"
            } else if !o.feeds {
                "nothing: these fish do not feed in water of this temperature"
            } else if o.cut.0.value < 1.0 || holds(o.stage, o.wary, o.sour) {
                "min(carried, full, today) × readings allow, carried by the water alone or by the filter"
            } else {
                "min(carried, full, max(1.3 × today, full/5)), carried by the water alone or by the filter"
            },
            &[
                term("carried", FEED_RATE, bears.carried(i, 1)),
                term("full", FEED_RATE, o.goal),
                term("today", FEED_RATE, o.feed),
                term("readings allow", PERCENT, o.cut.0),
            ],
            term("most", FEED_RATE, o.most),
            &src::WEEKLY_RISE,
        )
    });
}

/// What a week takes of the alkalinity, and what that does to the pH.
fn lime(i: &StartupIn, o: &StartupOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Alkalinity that a week of it uses",
            if o.untried() { "7 × lime, a dose every day" } else { "7.14 × 0.092 × most × protein × 7 days/V" },
            &[term("V", VOLUME, i.volume)],
            term("used", CONCENTRATION, o.used),
            &oxygen_src::ALKALINITY,
        )
    });
    w.step(|| {
        Step::new(
            "pH in a week without buffer",
            "the pH of what alkalinity is left, at today's carbon dioxide",
            &[term("left", CONCENTRATION, left_of(i, o.used)), term("carbon dioxide", CONCENTRATION, gas(i))],
            term("pH", RATIO, o.ph_week),
            &src::PLUMMER_BUSENBERG_1982,
        )
    });
}
