//! The working of a grow bed, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &BedIn, o: &BedOut, w: &mut Working) {
    areas(i, o, w);
    plants(i, o, w);
    if let (Some(flood), Some(weight)) = (o.flood, o.weight) {
        medium(i, flood, weight, w);
    }
}

fn areas(i: &BedIn, o: &BedOut, w: &mut Working) {
    let (printed, from) = (i.method.ratio(i.crop.hunger), i.method.sources(i.crop.hunger));
    for (name, printed, ratio, source) in [
        ("Feed per plant area, least", printed.0, o.ratio.0, from[0]),
        ("Feed per plant area, most", printed.1, o.ratio.1, from[1]),
    ] {
        w.step(|| {
            Step::new(
                name,
                "r = r_32 x 32 % / protein",
                &[term("r_32", AREAL_RATE, printed), term("protein", PERCENT, i.protein)],
                term("r", AREAL_RATE, ratio),
                source,
            )
        });
    }
    for (name, r, a) in
        [("Least area for this feed", o.ratio.1, o.wanted.0), ("Most area on this feed", o.ratio.0, o.wanted.1)]
    {
        w.step(|| {
            Step::new(
                name,
                "A = F / r",
                &[term("F", FEED_RATE, i.feed), term("r", AREAL_RATE, r)],
                term("A", AREA, a),
                &general::ELEMENTARY,
            )
        });
    }
}

fn plants(i: &BedIn, o: &BedOut, w: &mut Working) {
    let (many, short) = (i.crop.density().1, i.crop.time().0);
    w.step(|| {
        Step::new(
            "Plants to set out, many",
            "N = A x density",
            &[term("A", AREA, i.area), term("density", PLANT_DENSITY, many)],
            term("N", COUNT, o.plants.1),
            i.crop.density.source,
        )
    });
    w.step(|| {
        Step::new(
            "A week, at best",
            "N x 7 days / days, those to harvest",
            &[term("N", COUNT, o.plants.1), term("days", DAYS, short)],
            term("a week", RATIO, o.weekly.1),
            i.crop.days.source,
        )
    });
}

fn medium(i: &BedIn, flood: Volume, weight: Mass, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Water a flood takes",
            "A x swing x porosity",
            &[term("A", AREA, i.area), term("swing", SHORT_LENGTH, i.swing), term("porosity", PERCENT, i.porosity)],
            term("flood", VOLUME, flood),
            &general::ELEMENTARY,
        )
    });
    w.step(|| {
        Step::new(
            "Weight of the flooded bed, at the heavy end",
            "A x depth (bulk + porosity x water), densities",
            &[
                term("A", AREA, i.area),
                term("depth", SHORT_LENGTH, i.depth),
                term("bulk", DENSITY, i.medium.heaviest()),
                term("porosity", PERCENT, pores_that_fill(i)),
                term("water", DENSITY, water::density(i.temperature)),
            ],
            term("weight", MASS, weight),
            &solids::BED_LOAD,
        )
    });
}
