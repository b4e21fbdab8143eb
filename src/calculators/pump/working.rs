//! The working of a pump and its pipes, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &PumpIn, o: &PumpOut, w: &mut Working) {
    w.step(|| working_point(i, o));
    if o.pumps.together != Together::Alone {
        w.step(|| two_pumps(o));
    }
    main_pipe(i, o, w);
    outlets(i, o, w);
    w.step(|| {
        let with = [term("z_s", LENGTH, -i.fall)];
        Step::new(
            "The same with the sump at its lowest",
            "the same sums, every lift higher by the fall",
            &with,
            term("Q", FLOW, o.low.pumped),
            &src::NETWORK,
        )
    });
    power(i, o, w);
}

fn working_point(i: &PumpIn, o: &PumpOut) -> Step {
    let (pumps, usual) = (&o.pumps, &o.usual);
    let mut with =
        vec![term("H0", LENGTH, pumps.shut_off()), term("Qm", FLOW, pumps.free_flow()), term("Q", FLOW, usual.pumped)];
    with.extend(pumps.first.exponent().map(|n| term("n", RATIO, n)));
    let equation = match i.known {
        _ if o.beyond || usual.head > pumps.shut_off() => "what the pipes ask, past an end of the curve",
        _ if pumps.second.is_some() => "H where both curves together meet the pipes",
        Known::Ends | Known::Three => "H = H0 (1 − (Q/Qm)^n)",
        Known::Table => "H on straight lines between the rows",
    };
    let head = term("H", LENGTH, usual.head);
    Step::new("Head of the pump at its working point", equation, &with, head, i.known.source())
}

fn two_pumps(o: &PumpOut) -> Step {
    let parallel = o.pumps.together == Together::Parallel;
    let equation = if parallel { "Q = Q1(H) + Q2(H)" } else { "H = H1(Q) + H2(Q)" };
    let with = [term("H", LENGTH, o.usual.head)];
    Step::new("Two pumps", equation, &with, term("Q", FLOW, o.usual.pumped), &src::PUMPS_TOGETHER)
}

fn main_pipe(i: &PumpIn, o: &PumpOut, w: &mut Working) {
    let (pipe, flow, nu) = (o.way.pipe, o.usual.pumped, water::kinematic(i.temperature));
    let lost = full::head_loss(&pipe, flow, nu);
    w.step(|| {
        let with = [
            term("Q", FLOW, flow),
            term("D", SHORT_LENGTH, pipe.bore),
            term("L", LENGTH, pipe.length),
            term("ΣK", RATIO, pipe.loss),
            term("V", VELOCITY, full::velocity(flow, pipe.bore)),
            term("Re", RATIO, full::reynolds(flow, pipe.bore, nu)),
            term("f", RATIO, full::friction(&pipe, flow, nu)),
        ];
        Step::new(
            "Head lost in the main pipe",
            "h = (f L/D + ΣK) V²/2g, f by Churchill",
            &with,
            term("h", LENGTH, lost),
            &hyd::DARCY_WEISBACH,
        )
    });
    if let Some(tee) = o.usual.tees.first() {
        w.step(|| {
            let with = [term("H", LENGTH, o.usual.head), term("h", LENGTH, lost)];
            Step::new(
                "Head at the first tee",
                "H_tee = H − h; inflow = outflow at every tee",
                &with,
                term("H_tee", LENGTH, *tee),
                &src::SUPPLY_TEE,
            )
        });
    }
}

fn outlets(i: &PumpIn, o: &PumpOut, w: &mut Working) {
    let (usual, nu) = (&o.usual, water::kinematic(i.temperature));
    let mut ways = vec![];
    mouths(&o.way, usual.head, &mut usual.tees.iter(), &mut ways);
    for ((q, z), (pipe, head)) in usual.outlets.iter().zip(&o.lifts).zip(ways) {
        w.step(|| {
            let with = [
                term("H", LENGTH, head),
                term("z", LENGTH, *z),
                term("D", SHORT_LENGTH, pipe.bore),
                term("L", LENGTH, pipe.length),
                term("ΣK", RATIO, pipe.loss),
                term("f", RATIO, full::friction(pipe, *q, nu)),
            ];
            let runs = q.value > 0.0;
            Step::new(
                "Flow of an outlet",
                if runs {
                    "Q = (π/4) D² √(2 g (H − z)/(ΣK + f L/D)), f by Churchill"
                } else {
                    "none where it is shut, or H lower than z"
                },
                if runs { &with } else { &with[..2] },
                term("Q", FLOW, *q),
                &src::NETWORK,
            )
        });
    }
}

fn power(i: &PumpIn, o: &PumpOut, w: &mut Working) {
    let most = o.electric.1;
    w.step(|| {
        let with = [
            term("ρ", DENSITY, water::density(i.temperature)),
            term("Q", FLOW, o.usual.pumped),
            term("H", LENGTH, o.usual.head),
        ];
        Step::new("Power in the water", "P = ρ g Q H", &with, term("P", POWER, o.hydraulic), &src::PUMP_POWER)
    });
    if most.value > 0.0 {
        w.step(|| {
            let with = [term("P_water", POWER, o.hydraulic), term("P_plug", POWER, most)];
            let source = if i.watts == Watts::Known { &src::PUMP_POWER } else { &src::WIRE_TO_WATER };
            Step::new(
                "Wire-to-water efficiency",
                "η = P_water/P_plug, low end",
                &with,
                term("η", PERCENT, o.efficiency.0),
                source,
            )
        });
    }
    w.step(|| {
        let with = [term("P", POWER, most)];
        Step::new(
            "Energy a year (high end)",
            "E = P × 365.25 × 24 h",
            &with,
            term("E", ENERGY, o.year.1),
            &src::PUMP_POWER,
        )
    });
}
