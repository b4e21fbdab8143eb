//! The working of a siphon, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &SiphonIn, o: &SiphonOut, w: &mut Working) {
    starts(i, o, w);
    carries(i, o, w);
    breaks(o, w);
    drains(o, w);
    over_the_rim(i, o, w);
}

fn starts(i: &SiphonIn, o: &SiphonOut, w: &mut Working) {
    let quiet = drain::self_venting_flow(o.bore);
    w.step(|| {
        let with = [term("D", SHORT_LENGTH, o.bore), term("V/√(gD)", RATIO, RATIO.of(drain::SELF_VENTING.value))];
        Step::new(
            "Flow that fills the standpipe",
            "Q_sv = 0.3 (π/4) D² √(g D)",
            &with,
            term("Q_sv", FLOW, quiet),
            &hyd::HILLS_1983,
        )
    });
    w.step(|| {
        let with = [term("Q_sv", FLOW, quiet)];
        let equation = if i.aid == Aid::Plain { "Q_start = Q_sv" } else { "Q_start = 0.4 Q_sv" };
        Step::new("It starts from", equation, &with, term("Q_start", FLOW, o.starts_from), &src::SIPHON_START)
    });
}

fn carries(i: &SiphonIn, o: &SiphonOut, w: &mut Working) {
    let (pipe, nu, bed) = (supply(i, o.bore), water::kinematic(i.temperature), &o.bed);
    for (name, head, flow) in
        [("Siphon when it starts", bed.high, bed.flow_high), ("Siphon when it breaks", bed.low, bed.flow_low)]
    {
        w.step(|| {
            let with = [
                term("H", LENGTH, head),
                term("D", SHORT_LENGTH, o.bore),
                term("L", LENGTH, i.run),
                term("ΣK", RATIO, pipe.loss),
                term("f", RATIO, full::friction(&pipe, flow, nu)),
            ];
            Step::new(
                name,
                "Q = (π/4) D² √(2 g H/(ΣK + f L/D)), f by Churchill",
                &with,
                term("Q", FLOW, flow),
                &src::SIPHON_FLOW,
            )
        });
    }
}

fn breaks(o: &SiphonOut, w: &mut Working) {
    w.step(|| {
        let with = [term("Q_low", FLOW, o.bed.flow_low)];
        Step::new(
            "It breaks up to",
            "Q_break = 0.5 Q_low",
            &with,
            term("Q_break", FLOW, o.breaks.0),
            &src::SIPHON_BREAK,
        )
    });
}

/// What a cycle swings, and how long it drains.
fn drains(o: &SiphonOut, w: &mut Working) {
    let bed = &o.bed;
    w.step(|| {
        let with = [term("A", AREA, bed.area), term("y1", LENGTH, bed.high), term("y2", LENGTH, bed.low)];
        Step::new(
            "Water swung",
            "V = A (y1 − y2), A the plan area times the gaps",
            &with,
            term("V", VOLUME, o.swung),
            &src::SUMP_BALANCE,
        )
    });
    let Some(t) = o.drain else { return };
    w.step(|| {
        let with = [
            term("A", AREA, bed.area),
            term("y1", LENGTH, bed.high),
            term("y2", LENGTH, bed.low),
            term("Q_in", FLOW, o.inflow),
            term("Q_1", FLOW, bed.flow_high),
            term("Q_2", FLOW, bed.flow_low),
        ];
        Step::new(
            "Time to drain",
            "t = (2A/c²) [c (√y1 − √y2) + Q_in ln((c√y1 − Q_in)/(c√y2 − Q_in))], c = (Q_1/√y1 + Q_2/√y2)/2",
            &with,
            term("t", SECONDS, t),
            &src::SIPHON_DRAIN,
        )
    });
}

fn over_the_rim(i: &SiphonIn, o: &SiphonOut, w: &mut Working) {
    w.step(|| {
        let with = [term("Q", FLOW, spilling(i, o.bore)), term("D", SHORT_LENGTH, o.bore)];
        Step::new(
            "Water over the rim before it starts",
            "h = max((Q/(1.83 π D))^(2/3), (Q/0.6A)²/2g), A = (π/4) D²; Q the inflow, at most Q_sv",
            &with,
            term("h", SHORT_LENGTH, o.over_rim),
            &hyd::SWMM_RISER,
        )
    });
}
