//! The working of a power cut, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &OutageIn, o: &OutageOut, w: &mut Working) {
    breath(i, o, w);
    critical(i, o, w);
    if let Some(runs) = o.runs {
        battery(i, runs, o, w);
    }
    warmth(i, o, w);
    i.standing(o.warmest.temperature).steps(&o.fouled, w);
}

/// What is taken up, at the least and at the most.
fn breath(i: &OutageIn, o: &OutageOut, w: &mut Working) {
    let factors = i.factors();
    w.step(|| {
        Step::new(
            "What the fish breathe, mean of a feeding day",
            "M = max(0.25 × feed, regression, routine) × kilograms",
            &[term("feed", FEED_RATE, i.fed()), term("kilograms", MASS, i.total())],
            term("M", OXYGEN_RATE, i.breath(i.temperature)),
            &oxygen_src::OXYGEN_PER_FEED,
        )
    });
    w.step(|| {
        Step::new(
            "At the least: resting fish alone",
            "low = M × factor, that of the last meal",
            &[term("factor", RATIO, factors.0)],
            term("low", OXYGEN_RATE, o.demand.0),
            &oxygen_src::RESPIRATION_DAY,
        )
    });
    w.step(|| {
        Step::new(
            "At the most: just-fed fish and all that lives with them",
            "high = max(M × factor × 0.5/0.25, M × factor + film)",
            &[term("factor", RATIO, factors.1), term("film", OXYGEN_RATE, i.film())],
            term("high", OXYGEN_RATE, o.demand.1),
            &oxygen_src::OXYGEN_PER_FEED,
        )
    });
}

/// With nothing running.
fn critical(i: &OutageIn, o: &OutageOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Until it is critical, at the least",
            "V dC/dt = K A (C* - C) - high",
            &[
                term("V", VOLUME, i.volume),
                term("C", CONCENTRATION, o.from),
                term("C*", CONCENTRATION, o.still.saturation),
                term("K A", FLOW, o.still.surface),
                term("critical", CONCENTRATION, i.species.oxygen_critical()),
            ],
            term("t", MINUTES, o.critical.0),
            &oxygen_src::OXYGEN_BALANCE,
        )
    });
}

fn battery(i: &OutageIn, runs: Time, o: &OutageOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "The battery runs the pump for",
            "t = min(energy × usable/watts, 250 h)",
            &[term("energy", ENERGY, i.capacity), term("usable", PERCENT, i.usable), term("watts", POWER, i.power)],
            term("t", HOURS, runs),
            &src::BATTERY,
        )
    });
    w.step(|| {
        let aired = iced(o.warmest.aired, o.ice);
        Step::new(
            "It brings in, at the floor of this fish",
            "G (Ca - Cf) + K A (C* - Cf)",
            &[
                term("G", FLOW, aired.air),
                term("Ca", CONCENTRATION, aired.air_saturation),
                term("Cf", CONCENTRATION, o.floor),
                term("K A", FLOW, aired.surface),
                term("C*", CONCENTRATION, aired.saturation),
            ],
            term("oxygen", OXYGEN_RATE, aired.at(o.floor)),
            &oxygen_src::ASCE_2_06,
        )
    });
}

/// Until it is too cold or too hot, where it gets so.
fn warmth(i: &OutageIn, o: &OutageOut, w: &mut Working) {
    for (t, name) in [(o.cold, "Until it is too cold"), (o.hot, "Until it is too hot")] {
        let Some(t) = t else { continue };
        w.step(|| {
            Step::new(
                name,
                "m c dT/dt = -losses, bare walls, to where this fish dies",
                &[term("T", TEMPERATURE, i.temperature), term("air", TEMPERATURE, i.around)],
                term("t", HOURS, t),
                &ELEMENTARY,
            )
        });
    }
}
