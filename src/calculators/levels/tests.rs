use super::*;
use crate::calculators::solve;

fn near(got: f64, expect: f64, tolerance: f64) {
    assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
}
fn run(i: &LevelsIn) -> LevelsOut {
    solve::<Levels>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}
fn litres(v: Volume) -> f64 {
    v.value * 1000.0
}
fn tank(leaves: Leaves) -> TankRow {
    TankRow {
        leaves,
        pipe: piping::named("sch40_2"),
        run: LENGTH.of(1.5),
        slope: SLOPE.of(0.0),
        riser: LENGTH.of(0.9),
        ..TankRow::default()
    }
}
fn only(t: TankRow, flow: f64) -> LevelsIn {
    LevelsIn {
        tanks: vec![t],
        beds: vec![],
        flow: FLOW.of(l_h(flow)),
        length: LENGTH.of(0.0),
        other_pipes: VOLUME.of(0.0),
        ..LevelsIn::default()
    }
}

#[test]
fn what_stands_over_the_lip_comes_back() {
    // A tank of 1.2 m² on 52 mm pipe: over a rim at 2000 L/h 18.1 L, at 4000 L/h 46.6; through a wall at 1500 L/h and 0.5 % 46 L; from a vented tee with a level
    // leg of 1.5 m at 1500 L/h 54.9 L, of 3 m at 4000 L/h 155.6 L.
    let back = |t: TankRow, q: f64| litres(run(&only(t, q)).loads.drain_back);
    near(back(tank(Leaves::Rim), 2000.0), 18.1, 0.1);
    near(back(tank(Leaves::Rim), 4000.0), 46.6, 0.1);
    let wall = TankRow { run: LENGTH.of(2.0), slope: SLOPE.of(0.005), ..tank(Leaves::Wall) };
    near(back(wall, 1500.0), 46.0, 1.0);
    near(back(tank(Leaves::Tee), 1500.0), 54.9, 0.5);
    near(back(TankRow { run: LENGTH.of(3.0), ..tank(Leaves::Tee) }, 4000.0), 155.6, 1.5);
    let measured = TankRow { rise: SHORT_LENGTH.of(mm(20.0)), ..tank(Leaves::Measured) };
    near(back(measured.clone(), 9000.0), 24.0, 1e-9);
    // A return under water, 100 mm above its hole: 120 L more.
    near(back(TankRow { back: SHORT_LENGTH.of(mm(100.0)), ..measured }, 9000.0), 144.0, 1e-9);
}

/// Beds of 105.6 L on a sump of 0.4 m², 100 mm under the pump, 30 L evaporated, 34 L back.
fn two_beds(count: f64) -> LevelsIn {
    LevelsIn {
        volume: VOLUME.of(l(320.0)),
        depth: LENGTH.of(0.8),
        mark: LENGTH.of(0.788),
        freeboard: SHORT_LENGTH.of(0.0),
        evaporation: DAILY_VOLUME.of(l(6.0) / days(1.0)),
        days: DAYS.of(days(5.0)),
        other_pipes: VOLUME.of(l(10.0)),
        tanks: vec![TankRow { rise: SHORT_LENGTH.of(mm(20.0)), ..tank(Leaves::Measured) }],
        beds: vec![BedRow { count: COUNT.of(count), ..BedRow::default() }],
        ..only(tank(Leaves::Measured), 1000.0)
    }
}

#[test]
fn the_sump_of_two_beds() {
    // 2 x 105.6 + 34 + 5 x 6 + 40 = 315.2 L, the fill mark at rest; running 281.2, beds full 70.0, before the top-up 40.0.
    let o = run(&two_beds(2.0));
    for (got, expect) in [
        (o.least, 315.2),
        (o.marks.0, 315.2),
        (o.extremes.stop_high, 315.2),
        (o.extremes.run_high, 281.2),
        (o.extremes.run_low, 70.0),
        (o.extremes.lowest, 40.0),
    ] {
        near(litres(got), expect, 1e-6);
    }
    near(litres(o.swing.1), 211.2, 1e-9);
    assert!(o.swing.0 < o.swing.1 * 0.6);
    let tight = three(&o);
    assert!(tight.iter().all(|l| l.state() == State::Tight), "{tight:?}");
    // A float at the least level: 245.2 L must find room above it.
    let float = LevelsIn { top_up: TopUp::Float, mark: LENGTH.of(0.1), ..two_beds(2.0) };
    let o = run(&float);
    near(litres(o.extremes.stop_high), 285.2, 1e-6);
    near(litres(o.marks.1), 320.0 - 245.2, 1e-6);
    let said = Levels::report(&float, &o, Words::default());
    assert!(said.cautions[0].text.contains("float"));
    // Half way up, it spills.
    let spills = LevelsIn { mark: LENGTH.of(0.4), ..float };
    let o = run(&spills);
    assert!(Levels::report(&spills, &o, Words::default()).verdict.starts_with("It spills when the power goes"));
}

/// Who buys the sump that is named, as deep as this one, has one that would do; a tenth less would not.
#[test]
fn the_sump_that_is_named_would_do() {
    for count in [1.0, 3.0, 6.0] {
        let i = LevelsIn { freeboard: SHORT_LENGTH.of(mm(50.0)), ..two_beds(count) };
        let bought = |x: f64| {
            let o = run(&LevelsIn { volume: run(&i).as_deep.expect("deep enough") * x, ..i.clone() });
            o.marks.0 <= o.marks.1
        };
        assert!(bought(1.001) && !bought(0.9), "{count} beds");
    }
    let i = LevelsIn { submergence: SHORT_LENGTH.of(mm(300.0)), depth: LENGTH.of(0.3), ..two_beds(1.0) };
    let i = LevelsIn { mark: LENGTH.of(0.3), ..i };
    let o = run(&i);
    assert_eq!(o.as_deep, None);
    assert!(Levels::report(&i, &o, Words::default()).verdict.contains("has to be deeper"));
}

#[test]
fn the_sump_of_three_beds() {
    // Drain-back 18.1 + 12, 30 evaporation, 40 submergence, freeboard 20: 436.9 L, fill mark 416.9.
    let i = LevelsIn {
        volume: VOLUME.of(l(500.0)),
        depth: LENGTH.of(0.5),
        mark: LENGTH.of(0.45),
        submergence: SHORT_LENGTH.of(mm(40.0)),
        freeboard: SHORT_LENGTH.of(mm(20.0)),
        other_pipes: VOLUME.of(l(12.0)),
        flow: FLOW.of(l_h(2000.0)),
        tanks: vec![tank(Leaves::Rim)],
        ..two_beds(3.0)
    };
    let o = run(&i);
    near(litres(o.least), 436.9, 0.15);
    near(litres(o.marks.0), 416.9, 0.15);
    let at = |mark: f64| {
        let i = LevelsIn { mark: LENGTH.of(mark / 1000.0), ..i.clone() };
        let o = run(&i);
        Levels::report(&i, &o, Words::default())
    };
    assert!(at(300.0).verdict.starts_with("The pump runs dry"));
    // Ten millimetres under the rim, of twenty that stay dry: not over it yet.
    assert!(at(490.0).verdict.starts_with("When the power goes 490\u{202f}L stand in it, 10\u{202f}mm under the rim"));
    let dry = at(300.0);
    let fill = dry.repairs.iter().find(|r| r.title.starts_with("Fill it")).expect("a better mark");
    assert_ne!(fill.level.state(), State::Over);
    let bigger = dry.repairs.iter().find(|r| r.title.starts_with("A sump of")).expect("a bigger sump");
    assert!(bigger.level.fullness() < dry.levels[0].fullness());
}

#[test]
fn a_start_with_a_vented_tee() {
    // Tank 1.2 m² over a vented tee with a level leg of 1.5 m, lip at 1.0 m; sump 0.35 m², water at 0.60 m; submerged return, 26.14 mm, 5 m, losses 4; pump 2.5 m
    // and 2500 L/h. Without the pipe's own water: 1893 L/h (1986 with the sump's level held), tank + 54.7 mm, sump - 188 mm.
    let t = tank(Leaves::Tee);
    let nu = water::kinematic(TEMPERATURE.of(celsius(20.0)));
    let area = AREA.of(0.35);
    let pump = Pumps::one(Curve::two_points(LENGTH.of(2.5), FLOW.of(l_h(2500.0)), RATIO.of(2.0)).expect("a curve"));
    let pipe = full::Pipe {
        bore: SHORT_LENGTH.of(mm(26.14)),
        length: LENGTH.of(5.0),
        roughness: piping::new_plastic(),
        loss: RATIO.of(4.0),
    };
    let way = Supply { pipe, end: End::Outlet { height: LENGTH.of(0.4), mouth: Mouth::Water } };
    let s = sump::start(&StartUp {
        pumps: &pump,
        way: &way,
        viscosity: nu,
        fall: &|q| t.area * rise(&t, q, nu) / area,
        rise: &|q, _| rise(&t, q, nu),
    });
    near(s.flow.value * 3.6e6, 1893.0, 4.0);
    near(s.flow_level_held.value * 3.6e6, 1986.0, 4.0);
    near(rise(&t, s.flow, nu).value, mm(54.7), mm(0.4));
    near(s.fall.value, mm(188.0), mm(1.5));
    // The same by the form, which counts the 2.7 L of the pipe as well: 7.7 mm more, and a little less flow.
    let i = LevelsIn {
        volume: VOLUME.of(l(350.0)),
        depth: LENGTH.of(1.0),
        mark: LENGTH.of(0.6),
        flow_by: FlowBy::Curve,
        height: LENGTH.of(1.0),
        ends: Ends::Under,
        pipe: piping::named("sch40_1"),
        length: LENGTH.of(5.0),
        elbows: COUNT.of(0.0),
        losses: RATIO.of(2.5),
        ..only(TankRow { back: SHORT_LENGTH.of(mm(15.0)), ..t }, 0.0)
    };
    let o = run(&i);
    near(o.start_fall.value, mm(188.0 + 7.7), mm(2.5));
    near(o.started.expect("started").flow.value * 3.6e6, 1890.0, 6.0);
    near(o.flow.value * 3.6e6, 1986.0, 4.0);
}

/// 400 L of 0.667 m² under the default: 105.6 L swing, 22.6 L back.
fn float(mark: f64) -> LevelsIn {
    LevelsIn { top_up: TopUp::Float, mark: SHORT_LENGTH.of(mm(mark)), ..LevelsIn::default() }
}

#[test]
fn a_float_valve_gives_nothing_in_time_for_a_start() {
    // The start takes 22.6 L, 34 mm, at once: 105 mm leave 71 of the 100 that the pump needs.
    let low = run(&float(105.0));
    near((low.marks.0 / low.area).value, mm(100.0) + low.start_fall.value, 1e-9);
    let said = Levels::report(&float(105.0), &low, Words::default());
    assert!(said.verdict.starts_with("The pump runs dry"), "{}", said.verdict);
    // A bed that was drained takes 105.6 L more: said where there is not so much.
    let says = |mark: f64| Levels::report(&float(mark), &run(&float(mark)), Words::default()).verdict;
    assert!(says(200.0).contains("fill it to 262\u{202f}L by hand first"), "{}", says(200.0));
    assert!(!says(330.0).contains("by hand first"), "{}", says(330.0));
}

#[test]
fn topped_up_by_hand_it_evaporates_again() {
    // 0.534 m², a bed of 56.7 L, 22.6 L back, 10 days of 12 L: marks from 473 to 645 mm, as far from either 552.
    let i = LevelsIn {
        volume: VOLUME.of(l(360.4)),
        depth: LENGTH.of(0.6747),
        mark: LENGTH.of(0.669),
        top_up: TopUp::Float,
        beds: vec![BedRow { area: AREA.of(0.644), ..BedRow::default() }],
        days: DAYS.of(days(10.0)),
        evaporation: DAILY_VOLUME.of(1.389e-7),
        ..LevelsIn::default()
    };
    let said = Levels::report(&i, &run(&i), Words::default());
    let hand = said.repairs.iter().find(|r| r.title.starts_with("Top up by hand")).expect("by hand");
    assert!(hand.title.contains("552") && hand.also.is_none(), "{hand:?}");
    let after = run(&mend::changed::<Levels>(&i, &hand.edits).expect("changed"));
    assert!(three(&after).iter().all(|l| l.state() != State::Over), "{:?}", three(&after));
    // Where it evaporates more than there is room for, no mark is offered.
    let long = LevelsIn { days: DAYS.of(days(60.0)), ..i };
    let said = Levels::report(&long, &run(&long), Words::default());
    assert!(said.repairs.iter().all(|r| !r.title.starts_with("Top up by hand")));
}

#[test]
fn a_return_under_water_siphons() {
    let i = LevelsIn { flow_by: FlowBy::Curve, ends: Ends::Under, height: LENGTH.of(1.1), ..LevelsIn::default() };
    let e = solve::<Levels>(&i, &mut Working::none()).expect_err("nobody said how far");
    assert_eq!(e[0].path, "tanks.0.back");
    let back = |x: f64| vec![TankRow { back: SHORT_LENGTH.of(mm(x)), ..TankRow::default() }];
    let i = LevelsIn { tanks: back(300.0), ..i };
    let o = run(&i);
    assert_eq!(main_level(&o).state(), State::Over);
    let said = Levels::report(&i, &o, Words::default());
    let above = said.repairs.iter().find(|r| r.title.starts_with("Returns that end above")).expect("above");
    assert!(above.edits.iter().any(|e| e.path == "ends"), "{above:?}");
}

#[test]
fn what_is_kept_dry_is_not_yet_spilt() {
    // 390 L in a sump that holds 400: 15 mm under the rim.
    let i = LevelsIn { mark: SHORT_LENGTH.of(mm(585.0)), ..LevelsIn::default() };
    let said = Levels::report(&i, &run(&i), Words::default()).verdict;
    assert!(said.contains("15\u{202f}mm under the rim: within the 30\u{202f}mm that you keep dry"), "{said}");
    // Eight beds of 480 L/h on 2000.
    let beds = vec![BedRow { count: COUNT.of(8.0), ..BedRow::default() }];
    let i = LevelsIn { beds, ..LevelsIn::default() };
    let said = Levels::report(&i, &run(&i), Words::default());
    assert!(said.cautions.iter().any(|c| c.text.contains("but the pump sends")), "{:?}", said.cautions);
    assert!(said.repairs.iter().all(|r| r.level.fullness() <= HOPELESS));
}

#[test]
fn impossible_sumps_are_sentences() {
    let refused = |i: LevelsIn| solve::<Levels>(&i, &mut Working::none()).expect_err("refused")[0].path.clone();
    assert_eq!(refused(LevelsIn { mark: LENGTH.of(0.7), ..LevelsIn::default() }), "mark");
    // No room at all, and siphons that never break, are answers.
    let none = run(&LevelsIn { submergence: LENGTH.of(1.0), mark: LENGTH.of(0.1), ..LevelsIn::default() });
    assert!(none.marks.0 > none.marks.1 && main_level(&none).state() == State::Over);
    let beds = vec![BedRow { siphon: FLOW.of(l_h(300.0)), count: COUNT.of(2.0), ..BedRow::default() }];
    let i = LevelsIn { beds, ..LevelsIn::default() };
    let o = run(&i);
    assert_eq!(o.swing.0, o.swing.1);
    assert!(Levels::report(&i, &o, Words::default()).cautions.iter().any(|c| c.text.contains("never breaks")));
}

/// What the pump needs and what is kept dry leave no room in a sump of this depth, however wide: a deeper one is offered, and is one that would do.
#[test]
fn a_sump_too_shallow_is_made_deeper() {
    for (mark, submergence) in [(0.25, 0.2), (0.2, 0.15)] {
        let i = LevelsIn {
            depth: LENGTH.of(0.3),
            mark: SHORT_LENGTH.of(mark),
            submergence: SHORT_LENGTH.of(submergence),
            freeboard: SHORT_LENGTH.of(0.1),
            ..LevelsIn::default()
        };
        let r = Levels::report(&i, &run(&i), Words::default());
        let sumps: Vec<_> = r.repairs.iter().filter(|r| r.title.starts_with("A sump of")).collect();
        let [deeper] = sumps[..] else { panic!("{:#?}", r.repairs) };
        assert!(
            deeper.title.contains(" deep on the same floor") && deeper.level.state() == State::Enough,
            "{deeper:?}"
        );
        let after = run(&mend::changed::<Levels>(&i, &deeper.edits).expect("there"));
        assert!((after.area / (i.volume / i.depth)).value - 1.0 < 0.01);
        assert!(three(&after).iter().all(|l| l.state() != State::Over), "{:?}", three(&after));
    }
}

/// A sump that is full to its rim when the power goes is no sump in which nothing spills.
#[test]
fn water_up_to_the_rim_is_told() {
    let said = |freeboard: f64, spare: f64| {
        let mut i = LevelsIn { freeboard: SHORT_LENGTH.of(freeboard), ..LevelsIn::default() };
        // As much in it as leaves this much under the rim when it stops: it stands so much higher as it is filled higher.
        let o = run(&i);
        i.mark += (o.brim - o.extremes.stop_high) / o.area - LENGTH.of(spare);
        let r = Levels::report(&i, &run(&i), Words::default());
        (r.verdict, main_level(&run(&i)).state())
    };
    for freeboard in [0.0, 0.03] {
        let (verdict, state) = said(freeboard, 0.002);
        assert!(
            verdict.contains("up to the rim: a ripple spills it") && !verdict.contains("nothing spills"),
            "{verdict}"
        );
        assert_ne!(state, State::Enough);
    }
    assert!(!said(0.0, 0.05).0.contains("ripple"), "{}", said(0.0, 0.05).0);
}

/// However small the sump is, one that would do is found; and where a tank's outlet comes first, with that.
#[test]
fn a_larger_sump_is_found_however_small_it_is() {
    let evaporating = |v: f64| LevelsIn {
        volume: VOLUME.of(l(v)),
        evaporation: DAILY_VOLUME.of(l(100.0) / 86_400.0),
        ..LevelsIn::default()
    };
    let drowned = LevelsIn { flow: FLOW.of(l_h(20_000.0)), ..LevelsIn::default() };
    for i in [evaporating(30.0), evaporating(63.0), evaporating(400.0), drowned] {
        let r = Levels::report(&i, &run(&i), Words::default());
        let whole = |r: &Repair| {
            let o = run(&mend::changed::<Levels>(&i, &r.edits).expect("there"));
            r.title.to_ascii_lowercase().contains("a sump of") && three(&o).iter().all(|l| l.state() != State::Over)
        };
        assert!(r.repairs.iter().any(whole), "{:#?}", r.repairs);
    }
}

/// A tank of 0.8 m² on a flooded pipe of 1 m into a sump of 0.3 m², 454.5 mm of water at rest.
fn flooded(flow: f64) -> LevelsIn {
    LevelsIn {
        volume: VOLUME.of(l(180.0)),
        mark: SHORT_LENGTH.of(mm(454.5)),
        ..only(TankRow { area: AREA.of(0.8), run: LENGTH.of(1.0), ..tank(Leaves::Flooded) }, flow)
    }
}

/// Two vessels on one pipe: h1 = (V + A2 d)/(A1 + A2), h2 = (V - A1 d)/(A1 + A2); a network solver passes 3001.5 L/h on the 16.3 mm between them.
#[test]
fn a_tank_on_a_flooded_pipe_shares_its_level() {
    for (flow, tank, sump) in [(3000.0, 459.0, 442.7), (6000.0, 471.9, 408.3)] {
        let i = LevelsIn { evaporation: DAILY_VOLUME.of(0.0), ..flooded(flow) };
        let o = run(&i);
        near((o.extremes.run_high / o.area).value, mm(sump), mm(0.3));
        near((o.extremes.run_high / o.area + o.asks[0]).value, mm(tank), mm(0.3));
        near(o.rises[0].value, mm(tank - 454.5), mm(0.3));
        near(o.flooded_high.expect("a tank").value, mm(tank), mm(0.3));
        near(o.start_fall.value, mm(454.5 - sump), mm(0.3));
        near((o.extremes.stop_high / o.area).value, mm(454.5), 1e-9);
        // What leaves the tank comes to the sump.
        near(o.back[0].value, (o.extremes.stop_high - o.extremes.run_high).value, 1e-12);
        let said = Levels::report(&i, &o, Words::default());
        assert!(
            said.notes
                .iter()
                .any(|n| n.contains("Tank 1 stands") && n.contains(if flow < 4000.0 { "459" } else { "472" })),
            "{:?}",
            said.notes
        );
        assert!(said.cautions.iter().any(|c| c.text.contains("falls with the sump")), "{:?}", said.cautions);
        assert!(said.cautions.iter().all(|c| !c.text.contains("comes out of the water")));
    }
}

/// No water is made or lost: between any two of the levels that the page names, the sump, the tanks on flooded pipes, the lips, the pipes and the beds hold
/// the same; and each is so much lower as evaporates.
#[test]
fn water_is_conserved_whatever_hangs_on_the_sump() {
    for top_up in [TopUp::AtRest, TopUp::Running, TopUp::Float] {
        for (flow, end, mark) in [(1000.0, 50.0, 450.0), (4000.0, 250.0, 330.0), (9000.0, 340.0, 420.0)] {
            let low = TankRow { area: AREA.of(0.8), end: SHORT_LENGTH.of(mm(end)), ..tank(Leaves::Flooded) };
            let other =
                TankRow { area: AREA.of(0.5), share: PERCENT.of(0.5), bends: RATIO.of(3.0), ..tank(Leaves::Flooded) };
            let i = LevelsIn {
                top_up,
                mark: SHORT_LENGTH.of(mm(mark)),
                flow: FLOW.of(l_h(flow)),
                tanks: vec![low, tank(Leaves::Rim), other],
                ..LevelsIn::default()
            };
            let o = run(&i);
            let a = o.area.value;
            let tops = [i.tanks[0].top().value, i.tanks[2].top().value];
            let runs = |sump: Volume| {
                let h = sump.value / a;
                sump.value + 0.8 * (h.max(tops[0]) + o.asks[0].value) + 0.5 * (h.max(tops[1]) + o.asks[2].value)
            };
            let rests = |sump: Volume| sump.value / a * (a + 1.3);
            let lips = 1.2 * o.asks[1].value + o.pipes.value;
            let e = &o.extremes;
            near(rests(e.stop_high), runs(e.run_high) + lips, 1e-12);
            near(
                runs(e.run_high),
                runs(e.run_low) + if top_up == TopUp::Running { 2.0 } else { 1.0 } * o.loads.swing.value,
                1e-12,
            );
            match top_up {
                TopUp::Float => near(rests(o.mark), runs(e.lowest) + lips, 1e-12),
                _ => near(runs(e.run_low), runs(e.lowest) + o.loads.evaporation.value, 1e-12),
            }
            near(o.drain_back.value, (e.stop_high - e.run_high).value, 1e-12);
            near(o.pipes.value + o.back.iter().map(|b| b.value).sum::<f64>(), o.drain_back.value, 1e-12);
            // At the marks it just has water and room, and the least sump is one between such marks.
            let at = |mark: Volume| run(&LevelsIn { mark: mark / o.area, ..i.clone() });
            if o.marks.0 <= o.brim {
                let low = at(o.marks.0);
                assert!(low.extremes.lowest >= o.loads.submergence - VOLUME.of(1e-9));
                near((low.extremes.stop_high + o.loads.freeboard).value, o.least.value, 1e-9);
            }
            if (o.area * tops[0].max(tops[1]) * LENGTH.of(1.0)).value <= o.marks.1.value {
                near((at(o.marks.1).extremes.stop_high + o.loads.freeboard).value, o.brim.value, 1e-9);
            }
        }
    }
}

#[test]
fn a_flooded_pipe_has_to_end_under_water() {
    let low = |end: f64, mark: f64| {
        let mut i = LevelsIn { mark: SHORT_LENGTH.of(mark), ..flooded(6000.0) };
        i.tanks[0].end = SHORT_LENGTH.of(end);
        i
    };
    // Over the fill mark it is no flooded pipe: its top is 52 mm over its bottom.
    let e = solve::<Levels>(&low(mm(410.0), mm(454.5)), &mut Working::none()).expect_err("refused");
    assert_eq!(e[0].path, "tanks.0.end");
    assert!(e[0].fault.contains("462"), "{}", e[0].fault);
    // Running, the sump falls past it: the tank stays, and only the sump falls on.
    let (wet, dry) = (run(&low(mm(50.0), mm(454.5))), run(&low(mm(390.0), mm(454.5))));
    assert!(dry.extremes.lowest < wet.extremes.lowest - VOLUME.of(l(5.0)), "{:?} {:?}", dry.extremes, wet.extremes);
    let said = Levels::report(&low(mm(390.0), mm(454.5)), &dry, Words::default());
    assert!(said.cautions.iter().any(|c| c.text.contains("comes out of the water")), "{:?}", said.cautions);
    // No mark is named that leaves it dry at rest.
    assert!(dry.marks.0.value / 0.3 >= mm(390.0 + 51.9));
}

/// A start into a tank on a flooded pipe, the return under its water: both stand at the mark without flow, so pipe and flooded pipe are all that it lifts against.
#[test]
fn a_start_into_a_tank_on_a_flooded_pipe() {
    let i = LevelsIn { flow_by: FlowBy::Curve, ends: Ends::Under, ..flooded(0.0) };
    let o = run(&i);
    let s = o.started.expect("a curve");
    near(s.flow.value, s.flow_level_held.value, l_h(0.1));
    near(o.start_fall.value, 0.8 * o.asks[0].value / 1.1, mm(0.5));
    let higher = run(&LevelsIn { height: LENGTH.of(2.0), ..i.clone() });
    near(higher.flow.value, o.flow.value, 1e-12);
    // Into the air it lifts by as much more as the sump falls.
    let air = run(&LevelsIn { ends: Ends::Above, height: LENGTH.of(1.2), ..i }).started.expect("a curve");
    assert!(air.flow < air.flow_level_held);
}

#[test]
fn a_wider_flooded_pipe_is_offered() {
    let mut i = LevelsIn { mark: SHORT_LENGTH.of(mm(220.0)), ..flooded(6000.0) };
    i.tanks[0].pipe = piping::named("sch40_1_1_2");
    let o = run(&i);
    assert_eq!(main_level(&o).state(), State::Over, "{:?} {:?}", o.marks, o.mark);
    let said = Levels::report(&i, &o, Words::default());
    assert!(said.repairs.iter().any(|r| r.title.contains("as outlet of tank 1")), "{:#?}", said.repairs);
}
