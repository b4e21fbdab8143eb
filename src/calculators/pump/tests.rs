use super::report::throttled;
use super::*;
use crate::calculators::solve;

fn near(got: f64, expect: f64, tolerance: f64) {
    assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
}
fn run(i: &PumpIn) -> PumpOut {
    solve::<Pump>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}
fn refused(i: &PumpIn) -> FieldError {
    solve::<Pump>(i, &mut Working::none()).expect_err("refused").swap_remove(0)
}
fn lph(q: VolumeRate) -> f64 {
    q.value * 3.6e6
}
/// A pipe that loses 2e-7 (Q in L/h)² m and nothing else: 20 mm, no friction worth the name, K of 5.016.
fn square() -> PumpIn {
    let area = std::f64::consts::FRAC_PI_4 * 0.02f64.powi(2);
    let k = 2e-7 * 3.6e6f64.powi(2) * 2.0 * 9.806_65 * area * area;
    PumpIn {
        pipe: piping::named("other"),
        bore: SHORT_LENGTH.of(mm(20.0)),
        length: LENGTH.of(0.05),
        elbows: COUNT.of(0.0),
        losses: RATIO.of(k - 1.5),
        lift: LENGTH.of(1.0),
        fall: LENGTH.of(0.0),
        ..PumpIn::default()
    }
}

#[test]
fn the_working_point() {
    // 2.5 m and 2500 L/h, n = 2, against 1.0 m + 2e-7 Q²: 1581.1 L/h at 1.500 m by hand. Five centimetres of friction cost 0.6 %.
    let o = run(&square());
    near(lph(o.usual.pumped), 1581.1, 10.0);
    near(o.usual.head.value, 1.500, 0.01);
    near(o.hydraulic.value, 998.2 * 9.806_65 * o.usual.pumped.value * o.usual.head.value, 1e-3);
    near(lph(o.pumps.free_flow()), 2500.0, 1e-6);
    // 35 W all year are 306.81 kWh (365.25 days).
    let o = run(&PumpIn { watts: Watts::Known, label: POWER.of(35.0), ..square() });
    near(o.year.0.value / 3.6e6, 306.81, 1e-6);
    near(o.efficiency.0.value, o.hydraulic.value / 35.0, 1e-12);
}

#[test]
fn three_points_and_tables() {
    let three = PumpIn { known: Known::Three, shut_off: LENGTH.of(2.6), ..square() };
    let o = run(&three);
    near(o.pumps.first.exponent().expect("n").value, 1.7320, 5e-5);
    near(o.pumps.head(FLOW.of(l_h(1600.0))).value, 1.4479, 5e-5);
    let table = PumpIn { known: Known::Table, ..square() };
    let o = run(&table);
    near(o.pumps.head(o.usual.pumped).value, o.usual.head.value, 1e-4);
    let mut rising = table.clone();
    rising.rows[2].head = LENGTH.of(2.3);
    assert_eq!(refused(&rising).path, "rows.2.head");
    rising.rows[2].flow = FLOW.of(l_h(900.0));
    assert_eq!(refused(&rising).path, "rows.2.flow");
    assert_eq!(refused(&PumpIn { rows: vec![], ..table }).path, "rows");
    let flat = PumpIn { third: three.second.clone(), ..three };
    assert_eq!(refused(&flat).path, "third_flow");
}

#[test]
fn never_drawn_on_past_the_last_point() {
    // A short wide pipe asks 0.3 m; the table ends at 1.0 m.
    let mut i = PumpIn { known: Known::Table, lift: LENGTH.of(0.1), pipe: piping::named("pvc_63"), ..square() };
    i.losses = RATIO.of(0.0);
    i.rows.truncate(3);
    let o = run(&i);
    near(lph(o.usual.pumped), 1800.0, 1e-3);
    assert!(o.beyond && lph(o.pumps.free_flow()) > 2500.0);
    let said = Pump::report(&i, &o, Words::default());
    assert!(said.cautions.iter().any(|c| c.text.contains("at least")));
    assert!(!run(&square()).beyond);
}

#[test]
fn dead_headed() {
    let i = PumpIn { lift: LENGTH.of(2.6), ..square() };
    let o = run(&i);
    let report = Pump::report(&i, &o, Words::default());
    assert_eq!(o.usual.pumped.value, 0.0);
    assert!(report.verdict.starts_with("Sends nothing: the outlet stands 2.6"), "{}", report.verdict);
    assert!(report.cautions[0].text.contains("warms the water"));
    assert!(report.levels.iter().all(|l| l.state() == State::Over));
    assert!(report.repairs.iter().any(|r| r.title.contains("in series")), "{:?}", report.repairs);
    let shut = PumpIn { valve: Valve::Ball, open: PERCENT.of(0.0), ..square() };
    assert!(Pump::report(&shut, &run(&shut), Words::default()).verdict.contains("every valve is shut"));
}

#[test]
fn what_keeps_it_from_sending() {
    let branch = |lift: f64| Branch { lift: LENGTH.of(lift), ..Branch::default() };
    // One is shut, the other too high: not every valve is shut.
    let shut = Branch { valve: Valve::Ball, open: PERCENT.of(0.0), ..branch(0.5) };
    let i = PumpIn { leads: Leads::Several, branches: vec![shut, branch(3.0)], ..PumpIn::default() };
    let said = Pump::report(&i, &run(&i), Words::default()).verdict;
    assert!(said.starts_with("Sends nothing: the outlet that is not shut stands 3"), "{said}");
    // Enough as usual, too little with the sump at its lowest: it is said which.
    let i = PumpIn { fall: LENGTH.of(0.1), ..square() };
    let o = run(&i);
    let i = PumpIn { wanted: FLOW.of((o.usual.pumped.value + o.low.pumped.value) / 2.0), ..i };
    let said = Pump::report(&i, &run(&i), Words::default()).verdict;
    assert!(said.contains("too little once the sump is at its lowest"), "{said}");
    // A pipe that is shorter than its lift.
    let says = |i: &PumpIn| Pump::report(i, &run(i), Words::default()).cautions;
    let i = PumpIn { lift: LENGTH.of(2.3), length: LENGTH.of(0.5), ..PumpIn::default() };
    assert!(says(&i).iter().any(|c| c.text.contains("shorter than the height")));
    assert!(says(&PumpIn::default()).iter().all(|c| !c.text.contains("shorter than the height")));
}

#[test]
fn valves_on_two_outlets_before_another_pump() {
    let (ft, gal) = (0.3048, 3.785_411_784);
    let branch = |lift: f64, wanted: f64, between: f64| Branch {
        lift: LENGTH.of(lift * ft),
        wanted: FLOW.of(l_h(wanted * gal)),
        between: LENGTH.of(between * ft),
        ..Branch::default()
    };
    let none = Branch::default().between.value / ft;
    let i = PumpIn {
        leads: Leads::Several,
        pipe: piping::named("sch40_1"),
        shut_off: LENGTH.of(9.0 * ft),
        free_flow: FLOW.of(l_h(700.0 * gal)),
        branches: vec![branch(4.0, 120.0, none), branch(2.0, 100.0, none), branch(6.0, 30.0, 5.0)],
        ..PumpIn::default()
    };
    let o = run(&i);
    assert_ne!(served(&o).state(), State::Enough);
    let all = Pump::report(&i, &o, Words::default()).repairs;
    let valves =
        all.iter().find(|r| r.title.matches("valve on outlet").count() == 2).unwrap_or_else(|| panic!("{all:?}"));
    assert_eq!(valves.level.state(), State::Enough);
    let after = run(&mend::changed::<Pump>(&i, &valves.edits).expect("changed"));
    assert_eq!(after.pumps.free_flow(), o.pumps.free_flow());
    assert_eq!(served(&after), valves.level);
}

#[test]
fn tees_and_branches() {
    let i = PumpIn { leads: Leads::Several, ..PumpIn::default() };
    let o = run(&i);
    near(o.usual.outlets.iter().map(|q| q.value).sum::<f64>(), o.usual.pumped.value, 1e-12);
    // The lower of two like branches gets more; both less than one alone.
    assert!(o.usual.outlets[1] > o.usual.outlets[0]);
    let single = PumpIn { branches: vec![i.branches[0].clone()], ..i.clone() };
    assert!(run(&single).usual.outlets[0] > o.usual.outlets[0]);
    // A valve on the low one gives to the high one.
    let mut throttled = i.clone();
    (throttled.branches[1].valve, throttled.branches[1].open) = (Valve::Ball, PERCENT.of(0.4));
    let t = run(&throttled);
    assert!(t.usual.outlets[0] > o.usual.outlets[0] && t.usual.outlets[1] < o.usual.outlets[1]);
    assert!(t.usual.pumped < o.usual.pumped);
    // The run between tees costs those behind it.
    let mut far = i.clone();
    far.branches[1].between = LENGTH.of(8.0);
    let f = run(&far);
    assert!(f.usual.outlets[1] < o.usual.outlets[1] && f.usual.tees.len() == 2);
    // A lower sump gives less: the tank branch first.
    assert!(o.low.outlets[0] / o.usual.outlets[0] < o.low.outlets[1] / o.usual.outlets[1]);
    // In a report: every outlet must cope with the free flow.
    let report = Pump::report(&i, &o, Words::default());
    assert_eq!(report.tables[0].rows.len(), 2);
    assert!(report.tables[0].rows.iter().all(|r| r[6].starts_with("2\u{202f}500")), "{:?}", report.tables[0]);
    assert_eq!(refused(&PumpIn { branches: vec![], ..i }).path, "branches");
}

#[test]
fn two_pumps_and_impossible_watts() {
    let one = run(&square());
    let parallel = run(&PumpIn { together: Together::Parallel, ..square() });
    let series = run(&PumpIn { together: Together::Series, ..square() });
    assert!(parallel.usual.pumped > one.usual.pumped && parallel.usual.pumped < one.usual.pumped * 2.0);
    assert!(series.usual.pumped > one.usual.pumped);
    near(lph(parallel.pumps.free_flow()), 5000.0, 1e-6);
    assert_eq!(refused(&PumpIn { watts: Watts::Known, label: POWER.of(2.0), ..square() }).path, "label");
}

#[test]
fn a_valve_does_little_until_it_is_nearly_shut() {
    let at =
        |open: f64| lph(run(&PumpIn { valve: Valve::Ball, open: PERCENT.of(open), ..PumpIn::default() }).usual.pumped);
    assert!(at(0.75) > 0.93 * at(1.0), "{} {}", at(0.75), at(1.0));
    assert!(at(0.35) < 0.6 * at(1.0));
    let i = PumpIn::default();
    let table = throttled(&i, &run(&i), Words::default());
    assert!(table.rows.len() == 6 && table.title.contains("ball valve"));
}

#[test]
fn repairs_reach_four_fifths() {
    let i = PumpIn { wanted: FLOW.of(l_h(2200.0)), ..PumpIn::default() };
    let o = run(&i);
    let report = Pump::report(&i, &o, Words::default());
    assert_eq!(report.levels[0].state(), State::Over);
    let stronger = report.repairs.iter().find(|r| r.title.starts_with("A pump of")).expect("a stronger pump");
    assert_eq!(stronger.level.state(), State::Enough);
    assert!(stronger.level.fullness() > 0.74, "the smallest that does: {stronger:?}");
    assert!(stronger.also.as_ref().is_some_and(|a| a.contains("Every drain")));
    assert!(report.repairs.iter().all(|r| r.level.state() != State::Over));
    // A long thin pipe is mended by a wider one, the least that does.
    let long = PumpIn { pipe: piping::named("pvc_25"), length: LENGTH.of(12.0), ..PumpIn::default() };
    let report = Pump::report(&long, &run(&long), Words::default());
    let pipe = report.repairs.iter().find(|r| r.title.contains("main pipe")).expect("a wider pipe");
    assert_eq!((pipe.level.state(), &pipe.edits[..]), (State::Enough, &[Edit::pick("pipe", "pvc_32")][..]));
}

/// A pump that is far too weak, in pipes that are far too narrow, is mended all the same, and by nothing that leaves it far too weak.
#[test]
fn a_pump_far_too_weak_is_mended() {
    for i in [
        PumpIn { free_flow: FLOW.of(l_h(100.0)), ..PumpIn::default() },
        PumpIn { free_flow: FLOW.of(l_h(1250.0)), shut_off: LENGTH.of(0.5), ..PumpIn::default() },
        PumpIn { wanted: FLOW.of(l_h(20_000.0)), ..PumpIn::default() },
    ] {
        let report = Pump::report(&i, &run(&i), Words::default());
        assert!(report.repairs.iter().any(|r| r.level.state() == State::Enough), "{:#?}", report.repairs);
        assert!(report.repairs.iter().all(|r| mend::repairs(&r.level)), "{:#?}", report.repairs);
    }
}

fn shared(wanted: f64) -> PumpIn {
    let branch =
        |lift: f64, wanted: f64| Branch { lift: LENGTH.of(lift), wanted: FLOW.of(l_h(wanted)), ..Branch::default() };
    PumpIn { leads: Leads::Several, branches: vec![branch(1.4, wanted), branch(0.3, 200.0)], ..PumpIn::default() }
}

#[test]
fn a_low_outlet_that_takes_the_water_is_throttled() {
    let i = shared(400.0);
    let o = run(&i);
    let report = Pump::report(&i, &o, Words::default());
    assert_eq!(report.levels[0].state(), State::Over, "{:?}", o.usual);
    let valve = report.repairs.iter().find(|r| r.title.contains("valve on outlet 2")).expect("a valve");
    assert_eq!(valve.level.state(), State::Enough, "{valve:?}");
}

#[test]
fn where_no_single_change_does_a_pair_is_offered() {
    // Between what one change gives and what none does there is a stretch where two do.
    let at = |wanted: f64| {
        let i = PumpIn { known: Known::Table, together: Together::Parallel, ..shared(wanted) };
        Pump::report(&i, &run(&i), Words::default()).repairs
    };
    let all: Vec<_> = (10..=100).map(|n| at(20.0 * f64::from(n))).collect();
    let pairs: Vec<_> = all.iter().filter(|r| r.first().is_some_and(|r| r.title.contains(", and "))).collect();
    assert!(!pairs.is_empty());
    for repairs in pairs {
        assert_eq!(repairs[0].level.state(), State::Enough);
        assert!(repairs[0].edits.len() >= 2 && repairs[1..].iter().all(|r| r.level.state() == State::Tight));
    }
    assert!(at(5000.0).len() <= 2, "nothing does: only what comes nearest");
}

#[test]
fn a_lift_that_no_change_of_pipe_overcomes() {
    let i = PumpIn { known: Known::Table, lift: LENGTH.of(6.0), ..PumpIn::default() };
    let repairs = Pump::report(&i, &run(&i), Words::default()).repairs;
    assert!(!repairs.is_empty() && repairs.iter().all(|r| r.title.contains("over the water")), "{repairs:?}");
    // Nor is an outlet at the water's own level a repair.
    let i = PumpIn { wanted: FLOW.of(l_h(2200.0)), ..PumpIn::default() };
    assert!(Pump::report(&i, &run(&i), Words::default()).repairs.iter().all(|r| !r.title.contains("only 0")));
}

#[test]
fn a_return_under_water_is_warned_of() {
    let i = PumpIn { ends: Ends::Under, ..PumpIn::default() };
    let report = Pump::report(&i, &run(&i), Words::default());
    let said = report.cautions.iter().find(|c| c.text.contains("siphons the tank back")).expect("a caution");
    for part in ["above the highest", "5 to 6 mm", "10 to 20 mm (3/8 to 3/4 in) below", "no substitute"] {
        assert!(said.text.contains(part), "{part}");
    }
    assert!(report.cautions.iter().any(|c| c.text.contains("residual-current") && c.text.contains("licensed")));
}

/// Main pipe before the first tee is main pipe, wherever it is typed.
#[test]
fn main_pipe_before_the_first_tee_counts() {
    let with = |length: f64, between: f64| {
        let mut i = shared(0.0);
        i.length = LENGTH.of(length);
        i.branches[0].between = LENGTH.of(between);
        lph(run(&i).usual.pumped)
    };
    near(with(3.0, 20.0), with(23.0, 0.0), 1e-6);
    assert!(with(3.0, 20.0) < with(3.0, 0.0) * 0.99);
}

/// One after the other, a pump past its free flow is in the way; side by side, one that cannot push so high stands still (Karassik et al., Pump Handbook, on
/// unlike pumps in series and in parallel; from memory).
#[test]
fn the_weaker_of_two_unlike_pumps_is_told() {
    let unlike = |together, shut_off: f64, free_flow: f64| PumpIn {
        together,
        alike: YesNo::No,
        other_shut_off: LENGTH.of(shut_off),
        other_free_flow: FLOW.of(free_flow),
        ..PumpIn::default()
    };
    let said = |i: &PumpIn| {
        let all = super::report::cautions(i, &run(i), Words::default());
        all.iter().any(|c| c.text.contains("Take two alike"))
    };
    assert!(said(&unlike(Together::Series, 1.0, 3e-4)));
    assert!(said(&unlike(Together::Parallel, 1.3, 3e-4)));
    // Both take their watts. By hand, the best of H0 (1 - (Q/Qm)²) is at Qm/√3, 2/3 H0: ρ g 1.3 m 3e-4 m3/s 2/(3√3) = 1.47 W, at 10 % 14.7 W more than one takes.
    let usual = PumpIn::default();
    let checked = PumpIn { losses: piping::check(piping::bore(usual.pipe, usual.bore)) / CHECKS, ..usual };
    let (one, idle) = (run(&checked), run(&unlike(Together::Parallel, 1.3, 3e-4)));
    near(idle.usual.pumped.value, one.usual.pumped.value, 1e-9);
    near(idle.electric.1.value - one.electric.1.value, 14.7, 0.05);
    near(idle.electric.0.value, one.electric.0.value, 1e-9);
    let past = run(&unlike(Together::Series, 1.0, 3e-4));
    assert!(past.electric.1 > one.electric.1 * 1.1);
    for together in [Together::Series, Together::Parallel] {
        assert!(!said(&unlike(together, 2.5, l_h(2500.0))));
        // Two that are alike in all but the word take what two alike take.
        let alike = run(&PumpIn { together, ..PumpIn::default() });
        near(run(&unlike(together, 2.5, l_h(2500.0))).electric.1.value / alike.electric.1.value, 1.0, 1e-6);
        assert!(!said(&PumpIn { together, ..PumpIn::default() }));
    }
}

/// At the end of what is known of a pump it sends what is asked to the last figure: that is only just enough, and not too little.
#[test]
fn what_is_asked_to_the_last_figure_is_had() {
    let point = |flow: f64, head: f64| CurvePoint { flow: FLOW.of(l_h(flow)), head: LENGTH.of(head) };
    let i = PumpIn {
        known: Known::Table,
        rows: vec![point(0.0, 4.0), point(1000.0, 3.6)],
        lift: LENGTH.of(0.5),
        length: LENGTH.of(2.0),
        ..PumpIn::default()
    };
    let r = Pump::report(&i, &run(&i), Words::default());
    assert_eq!(r.levels[0].state(), State::Tight);
    assert!(r.verdict.contains("only just enough") && !r.verdict.contains("too little"), "{}", r.verdict);
}

/// Two pumps side by side have a check valve each: with half the flow through either they lose a quarter of what one would of all. K of a swing valve is 100
/// friction factors of its bore (Crane TP-410): 2 and a little more in small pipe.
#[test]
fn the_check_valves_of_two_pumps_cost_a_little() {
    let two = PumpIn { together: Together::Parallel, ..square() };
    let more = way(&two).pipe.loss.value - way(&square()).pipe.loss.value;
    assert!((0.4..0.7).contains(&more), "{more}");
    assert_eq!(way(&PumpIn { together: Together::Series, ..square() }).pipe.loss, way(&square()).pipe.loss);
}
