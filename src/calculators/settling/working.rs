//! The working of a settler, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &SettlingIn, o: &SettlingOut, w: &mut Working) {
    load(i, o, w);
    if o.slowed.value < 1.0 {
        cold(i, o, w);
    }
    removal(i, o, w);
    if let Some(smallest) = o.grain.1 {
        grain(i, smallest, o, w);
    }
    sludge(i, o, w);
    pipes(o, w);
}

/// How fast the water rises, and how fast it may.
fn load(i: &SettlingIn, o: &SettlingOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "How fast the water rises",
            "v = Q / (n pi D^2/4)",
            &[term("Q", FLOW, i.flow), term("D", SHORT_LENGTH, i.diameter), term("n", COUNT, i.count)],
            term("v", OVERFLOW_RATE, o.rise),
            &general::ELEMENTARY,
        )
    });
    w.step(|| {
        Step::new(
            "What this kind can take, cautious",
            "from the catalogue of settlers",
            &[],
            term("load", OVERFLOW_RATE, i.kind.load().0),
            i.kind.load[0].source,
        )
    });
    if let Some((_, long)) = wants(i.kind) {
        w.step(|| {
            Step::new(
                "What leaves it the time it wants, cautious",
                "v = h / t",
                &[term("h", SHORT_LENGTH, i.depth), term("t", MINUTES, long)],
                term("v", OVERFLOW_RATE, settling::rise_for(i.depth, long)),
                &src::KSU_2021,
            )
        });
    }
}

/// Water that is colder than where it was measured.
fn cold(i: &SettlingIn, o: &SettlingOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "How fast solids sink, of how fast at 14 °C",
            "s = w(0.2 mm, 1120 kg/m³, T)/w(0.2 mm, 1120 kg/m³, 14 °C)",
            &[term("T", TEMPERATURE, i.temperature)],
            term("s", RATIO, o.slowed),
            &src::SETTLER_COLD,
        )
    });
    w.step(|| {
        Step::new(
            "What it can take in such water, cautious",
            "v_cold = s v_warm",
            &[term("s", RATIO, o.slowed), term("v_warm", OVERFLOW_RATE, warm_load(i).0)],
            term("v_cold", OVERFLOW_RATE, o.load.0),
            &src::SETTLER_COLD,
        )
    });
}

fn removal(i: &SettlingIn, o: &SettlingOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Time the water stays, at best",
            "t = V / Q",
            &[term("V", VOLUME, o.volume), term("Q", FLOW, i.flow)],
            term("t", MINUTES, o.retention),
            &general::ELEMENTARY,
        )
    });
    w.step(|| {
        let stream = stream(i);
        let share = if stream.bottom_drain { settlers::SETTLEABLE_DRAIN } else { settlers::SETTLEABLE_WHOLE };
        Step::new(
            "Share taken out, high end",
            "settleable x pump x (1 - (1 + w/(n v))^-n), pump what one leaves whole",
            &[
                term("settleable", PERCENT, PERCENT.of(percent(share[1].value))),
                term("pump", RATIO, RATIO.of(if stream.pumped { AFTER_PUMP.value } else { 1.0 })),
                term("w", OVERFLOW_RATE, i.kind.speed().1 * o.slowed),
                term("n", RATIO, i.kind.tanks().1),
                term("v", OVERFLOW_RATE, o.rise),
            ],
            term("removal", PERCENT, o.removal.1),
            &src::HAZEN_1904,
        )
    });
}

fn grain(i: &SettlingIn, smallest: Length, o: &SettlingOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Smallest light grain that settles",
            "w(d) = R g d^2/(18 nu + sqrt(0.75 R g d^3)) = v",
            &[
                term("solid", DENSITY, DENSITY.of(SOLIDS_DENSITY[0].value)),
                term("T", TEMPERATURE, i.temperature),
                term("v", OVERFLOW_RATE, o.rise),
            ],
            term("d", SHORT_LENGTH, smallest),
            &src::FERGUSON_CHURCH_2004,
        )
    });
}

fn sludge(i: &SettlingIn, o: &SettlingOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Dry solids made a day",
            "feed x y, y the solids per feed",
            &[term("feed", FEED_RATE, i.feed), term("y", PERCENT, i.per_feed)],
            term("solids", FEED_RATE, o.made),
            &src::SOLIDS_YIELD,
        )
    });
    w.step(|| {
        Step::new(
            "Sludge a day, high end",
            "held / (dry x density), held = solids x removal",
            &[
                term("held", FEED_RATE, o.held.1),
                term("dry", PERCENT, i.kind.dry_matter().0),
                term("density", DENSITY, water::density(i.temperature)),
            ],
            term("sludge", DAILY_VOLUME, o.sludge.1),
            i.kind.dry_matter[0].source,
        )
    });
}

fn pipes(o: &SettlingOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Head it costs, clean",
            "K (v_in^2 + v_out^2)/2g",
            &[
                term("K", RATIO, RATIO.of(PIPE_LOSS.value)),
                term("v_in", VELOCITY, o.inlet_speed),
                term("v_out", VELOCITY, o.outlet_speed),
            ],
            term("h", SHORT_LENGTH, o.head.0),
            &src::SETTLER_PIPES,
        )
    });
}
