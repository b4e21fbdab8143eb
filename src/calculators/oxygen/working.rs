//! The working of an oxygen balance, step by step.

use super::*;

/// What one group of fish breathes.
pub(super) fn of_group(
    i: &OxygenIn,
    g: &FishGroup,
    ration: f64,
    regression: Option<Regression>,
    m: &DailyMean,
    w: &mut Working,
) {
    let ration = DAILY_SHARE.of(ration);
    if i.feed_by != FeedBy::Weighed {
        let source = feeding::source(g.species);
        w.step(|| {
            Step::new(
                "Ration",
                "r from the tables for this species, size and temperature; in hot water the most on the way there",
                &[term("W", SMALL_MASS, g.mass), term("T", TEMPERATURE, i.temperature)],
                term("r", DAILY_SHARE, ration),
                source,
            )
        });
    }
    w.step(|| {
        Step::new(
            "Fish, from their feed",
            "m = 0.25 r",
            &[term("r", DAILY_SHARE, ration)],
            term("m", RESPIRATION, m.feed),
            &src::OXYGEN_PER_FEED,
        )
    });
    if let (Some(r), Some(x)) = (regression, m.regression) {
        w.step(|| {
            Step::new(
                "Fish, from their mass and temperature (brought to the mean of a day)",
                r.equation(),
                &[term("W", SMALL_MASS, g.mass), term("T", TEMPERATURE, i.temperature)],
                term("m", RESPIRATION, x),
                r.source(),
            )
        });
    }
    w.step(|| {
        Step::new(
            "Least that any fish breathes",
            "m = 100 mg/kg/h 2^((T - 20 °C)/10) (W/0.1 kg)^-0.2",
            &[term("W", SMALL_MASS, g.mass), term("T", TEMPERATURE, i.temperature)],
            term("m", RESPIRATION, m.routine),
            &src::ROUTINE_RESPIRATION,
        )
    });
    w.step(|| {
        Step::new(
            "These fish, mean of the day",
            "R = m B, m the largest of these",
            &[term("m", RESPIRATION, m.mean), term("B", MASS, g.total())],
            term("R", OXYGEN_RATE, OXYGEN_RATE.of(g.total().value * m.mean.value)),
            &src::REGRESSION_CLAMPS,
        )
    });
}

/// All after that, in the order in which the sums hang on each other.
pub(super) fn steps(i: &OxygenIn, o: &OxygenOut, surface: VolumeRate, w: &mut Working) {
    can_hold(i, o, w);
    breathed(i, o, w);
    if i.air.mode == AirMode::Pump {
        w.step(|| pumped(i, o));
    }
    if i.air.on() {
        bubbles(i, o, w);
    }
    comes_in(i, o, surface, w);
    settles(i, o, w);
}

fn c(symbol: &'static str, x: MassConcentration) -> Term {
    term(symbol, CONCENTRATION, x)
}
fn r(symbol: &'static str, x: MassRate) -> Term {
    term(symbol, OXYGEN_RATE, x)
}

/// What the water can hold.
fn can_hold(i: &OxygenIn, o: &OxygenOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Air pressure",
            "P = 101325 Pa (1 - 2.25577e-5 z)^5.25588, z in m",
            &[term("z", LENGTH, i.altitude)],
            term("P", PRESSURE, o.pressure),
            &src::STANDARD_ATMOSPHERE,
        )
    });
    w.step(|| {
        Step::new(
            "What the water can hold",
            "C_s(T, S, P), Benson & Krause eq. 24 and 32",
            &[term("T", TEMPERATURE, i.temperature), term("S", SALINITY, i.salinity), term("P", PRESSURE, o.pressure)],
            c("C_s", o.saturation),
            &src::BENSON_KRAUSE_1984,
        )
    });
}

/// What is breathed beside the fish, and with them after the meal.
fn breathed(i: &OxygenIn, o: &OxygenOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Nitrifiers",
            "R_n = 4.57 × 0.092 F p, p the protein in it",
            &[term("F", FEED_RATE, o.feed), term("p", PERCENT, o.protein)],
            r("R_n", o.nitrifiers),
            &src::NITRIFICATION_OXYGEN,
        )
    });
    w.step(|| {
        Step::new(
            "Bacteria on solids",
            "R_s = k F",
            &[term("F", FEED_RATE, o.feed), term("k", RATIO, RATIO.of(i.solids.per_feed().value))],
            r("R_s", o.solids),
            &src::SOLIDS_OXYGEN,
        )
    });
    w.step(|| {
        Step::new(
            "After the meal",
            "R = k (PF R_fish + R_film), k set by a reading at dawn",
            &[
                term("PF", RATIO, RATIO.of(i.meals.peak().value)),
                r("R_fish", o.fish_mean),
                r("R_film", OXYGEN_RATE.of(o.fish_film.1 / o.factors.1.value)),
                term("k", RATIO, o.factors.1),
            ],
            r("R", o.demand_peak),
            &src::RESPIRATION_DAY,
        )
    });
}

fn pumped(i: &OxygenIn, o: &OxygenOut) -> Step {
    Step::new(
        "Air that the pump delivers",
        "Q = Q_0 age max(0, 1 - (d + 0.2 m)/d_max) share",
        &[
            term("Q_0", AIR_FLOW, i.air.free),
            term("age", RATIO, i.air.age.share()),
            term("d", LENGTH, i.air.depth),
            term("d_max", LENGTH, i.air.most_depth),
            term("share", PERCENT, i.air.share),
        ],
        term("Q", AIR_FLOW, o.air.delivered),
        &src::AIR_PUMP_CURVE,
    )
}

/// What bubbles renew.
fn bubbles(i: &OxygenIn, o: &OxygenOut, w: &mut Working) {
    let rated = i.air.mode == AirMode::Rated;
    if !rated {
        let low = RATIO.of(i.air.diffuser.low.value);
        w.step(|| {
            Step::new(
                "Transfer in clean water, low end",
                "SOTR = 1.204 kg/m³ × 0.2315 Q min(1, e d) P/101325 Pa, e for each m of d",
                &[
                    term("Q", AIR_FLOW, o.air.delivered),
                    term("e", PERCENT, low),
                    term("d", LENGTH, i.air.hang(i.depth)),
                ],
                r("SOTR", o.air.standard.0),
                i.air.diffuser.low.source,
            )
        });
    }
    w.step(|| {
        Step::new(
            "Water renewed by bubbles, low end",
            "G_a = k SOTR alpha F 1.024^(T - 20 °C)/9.092 mg/L, k set by a reading at dawn",
            &[
                r("SOTR", o.air.standard.0),
                term("alpha", RATIO, i.alpha),
                term("F", RATIO, if rated { RATIO.of(1.0) } else { i.condition }),
                term("T", TEMPERATURE, i.temperature),
                term("k", RATIO, o.factors.0),
            ],
            term("G_a", FLOW, o.air.gain.0),
            &src::ASCE_2_06,
        )
    });
    w.step(|| {
        Step::new(
            "Saturation against bubbles",
            "C_a = beta C_s (1 + rho g (d/2)/P)",
            &[
                term("beta", RATIO, i.beta),
                c("C_s", o.saturation),
                term("rho", DENSITY, water::density(i.temperature)),
                term("d", LENGTH, if rated { LENGTH.of(0.0) } else { i.air.hang(i.depth) }),
            ],
            c("C_a", o.air.saturation),
            &src::ASCE_2_06,
        )
    });
}

/// What comes in by the fall, the surface and all together.
fn comes_in(i: &OxygenIn, o: &OxygenOut, surface: VolumeRate, w: &mut Working) {
    if i.fall != Fall::None {
        w.step(|| {
            Step::new(
                "Share made up in the fall, low end",
                "E = 1 - 1/r(h, T)",
                &[term("h", LENGTH, i.fall_height), term("T", TEMPERATURE, i.temperature)],
                term("E", PERCENT, o.fall.0),
                &src::GARDEN_FALL,
            )
        });
    }
    w.step(|| {
        Step::new(
            "Water renewed at the surface",
            "G_s = K_L V/d",
            &[
                term("K_L", TRANSFER_VELOCITY, i.surface),
                term("V", VOLUME, i.volume),
                term("d", LENGTH, over_surface(i)),
            ],
            term("G_s", FLOW, surface),
            &src::QUIET_SURFACE,
        )
    });
    w.step(|| {
        Step::new(
            "What can come in at the floor, low end",
            "f = Q ((1 - E) C_in + E C_s - C_min) + G_a (C_a - C_min) + G_s (C_s - C_min)",
            &[
                c("C_min", o.floor),
                term("Q", FLOW, i.flow),
                term("E", PERCENT, o.fall.0),
                c("C_in", o.supply.0.comes_in(o.floor)),
                term("G_a", FLOW, o.supply.0.air),
                c("C_a", o.air.saturation),
                term("G_s", FLOW, surface),
            ],
            r("f", o.capacity.0),
            &src::OXYGEN_BALANCE,
        )
    });
}

/// Where it settles, and how long it lasts.
fn settles(i: &OxygenIn, o: &OxygenOut, w: &mut Working) {
    if let Some(settled) = o.settled.0 {
        w.step(|| {
            Step::new(
                "Settled oxygen, low end",
                "f(C) = R",
                &[r("R", o.demand_peak)],
                c("C", settled),
                &src::OXYGEN_BALANCE,
            )
        });
    }
    if let Some(t) = o.all_off.fed {
        w.step(|| {
            Step::new(
                "Minutes with everything off, just fed",
                "V dC/dt = G_s (C_s - C) - R",
                &[
                    term("V", VOLUME, i.volume),
                    term("G_s", FLOW, o.surface_still),
                    r("R", o.demand_few),
                    c("from", o.start.1),
                    c("to", o.stop),
                ],
                term("t", MINUTES, t),
                &src::OXYGEN_BALANCE,
            )
        });
    }
}
