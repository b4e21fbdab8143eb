//! The working of a drain, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other: upstream from where the water leaves.
pub(super) fn steps(i: &DrainIn, o: &DrainOut, w: &mut Working) {
    run(i, o, w);
    inlet(o, w);
    level(o, w);
    carries(i, o, w);
}

fn short(symbol: &'static str, x: Length) -> Term {
    term(symbol, SHORT_LENGTH, x)
}
fn plain(symbol: &'static str, x: Ratio) -> Term {
    term(symbol, RATIO, x)
}

/// The full pipe, and the water at the beginning of the run.
fn run(i: &DrainIn, o: &DrainOut, w: &mut Working) {
    let (share, run) = (o.share(), &o.outlet.run);
    w.step(|| {
        let flow = [term("Q", FLOW, o.flow), term("n", COUNT, COUNT.of(o.outlets))];
        Step::new(
            "Flow of one outlet",
            "q = Q/n",
            &flow,
            term("q", FLOW, share),
            &crate::catalog::sources::general::ELEMENTARY,
        )
    });
    w.step(|| {
        let re = pipe::reynolds(share, run.bore, o.outlet.viscosity);
        let with = [term("q", FLOW, share), short("D", run.bore), term("T", TEMPERATURE, i.temperature)];
        Step::new("Reynolds number of the full pipe", "Re = 4 q/(π D ν(T))", &with, plain("Re", re), &src::PATEK_2009)
    });
    w.step(|| {
        let re = pipe::reynolds(share, run.bore, o.outlet.viscosity);
        let f = pipe::churchill(re, run.roughness / run.bore);
        let with = [plain("Re", re), short("ε", run.roughness), short("D", run.bore)];
        let equation =
            "f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12), A = [2.457 ln(1/((7/Re)^0.9 + 0.27 ε/D))]^16, B = (37530/Re)^16";
        Step::new("Friction factor of the full pipe", equation, &with, plain("f", f), &src::CHURCHILL_1977)
    });
    w.step(|| {
        let with = [term("q", FLOW, share), short("D", run.bore)];
        let equation = "J = q/((π/4) D² √(g D)), quiet up to 0.3 where water falls";
        Step::new("Loading", equation, &with, plain("J", o.stand.run_loading), &src::HILLS_1983)
    });
    w.step(|| {
        let y = crate::science::section::critical_depth(run.bore, share);
        let with = [term("q", FLOW, share), short("D", run.bore)];
        Step::new("Critical depth in the run", "q² T = g A³", &with, short("y_c", y), &src::OPEN_CHANNEL)
    });
    w.step(|| {
        let with = [
            short("tail", o.outlet.tail),
            term("L", LENGTH, run.length),
            term("S", SLOPE, run.slope),
            plain("ΣK", run.loss),
            short("ε", run.roughness),
        ];
        let equation =
            "dE/dx = S_f - S upstream from max(y_c, tail), S_f = f V²/(2 g 4A/P); fittings lose K V²/2g along it";
        Step::new(
            "Water at the beginning of the run",
            equation,
            &with,
            short("h", o.stand.run_depth),
            // The step before is the open channel's own.
            if run.loss.value > 0.0 { &src::FITTINGS_SPREAD } else { &src::OPEN_CHANNEL },
        )
    });
}

/// What stands before a hole, or in a tee, by what sets it.
fn before(name: &'static str, o: &DrainOut, bore: Length, entrance: Ratio) -> Step {
    let bore = bore.min(o.outlet.run.bore);
    let with = [
        term("D", SHORT_LENGTH, bore),
        term("K_e", RATIO, entrance),
        term("J", RATIO, drain::loading(o.share(), bore)),
        term("h_run", SHORT_LENGTH, o.stand.run_depth),
    ];
    let (equation, source) = match o.stand.control {
        Control::Drowned => ("h = D (0.67 + (1.28 + (K_e - 0.5)/2) J²)", &src::INLET_BRIDGE),
        Control::Sealing => ("a straight line between J 0.617 and 0.705, where it drowns", &src::INLET_BRIDGE),
        Control::Hole => ("E + K_e V²/2g at the critical depth in it", &src::HDS5),
        _ => ("E + K_e V²/2g, E and V of the water behind it", &src::HDS5),
    };
    Step::new(name, equation, &with, term("h", SHORT_LENGTH, o.stand.entry), source)
}

/// What the inlet adds.
fn inlet(o: &DrainOut, w: &mut Working) {
    let (share, run) = (o.share(), &o.outlet.run);
    match o.outlet.inlet {
        Inlet::Rim { bore, .. } => {
            w.step(|| {
                let with = [term("q", FLOW, share), short("D", bore), short("h_run", o.stand.run_depth)];
                let (equation, source) = match o.stand.control {
                    Control::BackedUp => (
                        "what the run backs up over the rim, by the full pipe or the drowned weir",
                        &src::VILLEMONTE_1947,
                    ),
                    _ => ("h = max((q/(1.83 π D))^(2/3), (q/(0.6 A))²/2g), A = (π/4) D²", &src::SWMM_RISER),
                };
                Step::new("Head over the rim", equation, &with, short("h", o.stand.entry), source)
            });
        }
        Inlet::Wall { bore, entrance } => {
            w.step(|| before("Water before the hole", o, bore, entrance));
        }
        Inlet::Hole { bore } => {
            w.step(|| {
                let equation = "q = 0.6 ∫ √(2 g (h - z)) b(z) dz";
                Step::new(
                    "Water before the hole",
                    equation,
                    &[short("D", bore)],
                    short("h", o.stand.entry),
                    &src::ORIFICE,
                )
            });
        }
        Inlet::Draw { bore, length, loss, neck } => {
            w.step(|| before("Water in the tee", o, neck, RATIO.of(drain::TEE_TURN.value)));
            w.step(|| {
                let pipe = pipe::Pipe { bore, length, roughness: run.roughness, loss };
                let with = [
                    short("D", bore),
                    term("L", LENGTH, length),
                    plain("ΣK", loss),
                    plain("f", pipe::friction(&pipe, share, o.outlet.viscosity)),
                    term("V", VELOCITY, pipe::velocity(share, bore)),
                ];
                let equation = "Δh = (ΣK + f L/D + 1) V²/2g, f by Churchill";
                Step::new("Lost in the rising pipe", equation, &with, short("Δh", o.stand.riser), &src::DARCY_WEISBACH)
            });
        }
    }
}

/// What a screen adds, and all together.
fn level(o: &DrainOut, w: &mut Working) {
    let share = o.share();
    if let Some(screen) = o.outlet.screen {
        w.step(|| {
            let holes = Screen { sleeve: None, ..screen }.loss(share, o.outlet.viscosity);
            let with = [
                term("A", SMALL_AREA, screen.open),
                term("blocked", PERCENT, screen.blocked),
                term("q", FLOW, share),
                short("sleeve", o.stand.screen - holes),
            ];
            let equation = "Δh = (q/(0.6 A (1 - blocked)))²/2g + sleeve";
            Step::new("Lost at the screen", equation, &with, short("Δh", o.stand.screen), &src::ORIFICE)
        });
    }
    w.step(|| {
        let with =
            [short("inlet", o.stand.entry), short("rising pipe", o.stand.riser), short("screen", o.stand.screen)];
        let equation = "h = inlet + rising pipe + screen";
        Step::new("Water over the outlet", equation, &with, short("h", o.stand.level), &src::DARCY_WEISBACH)
    });
}

/// What ends the capacity.
fn carries(i: &DrainIn, o: &DrainOut, w: &mut Working) {
    w.step(|| {
        let with = [short("rim", o.brim), short("kept dry", i.freeboard), term("n", COUNT, COUNT.of(o.outlets))];
        let equation = "the flow at which the level is the rim less what is kept dry, times n";
        Step::new("Flow that reaches what is kept dry", equation, &with, term("Q", FLOW, o.freeboard_flow), &src::HDS5)
    });
    if let (Limit::Vent, Some(vent)) = (o.limited_by, o.vent) {
        w.step(|| {
            let equation = "the flow at which z + V²/2g reaches the top of the vent, times n";
            Step::new(
                "The vent spills",
                equation,
                &[short("vent", vent)],
                term("Q", FLOW, o.capacity),
                &src::TEE_JUDGEMENT,
            )
        });
    }
    if let (Limit::Choking, Some(bore)) = (o.limited_by, o.falling) {
        w.step(|| {
            let equation = "Q = 0.3 (π/4) D² √(g D) n";
            Step::new("It chokes", equation, &[short("D", bore)], term("Q", FLOW, o.capacity), &src::HILLS_1983)
        });
    }
}
