use super::*;
use crate::calculators::solve;

fn near(got: f64, expect: f64, tolerance: f64) {
    assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
}
fn run(i: &SiphonIn) -> SiphonOut {
    solve::<Siphon>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}
/// The worked bed: 1.2 x 1.0 m at 40 %, 0.25 m deep to 0.03 over an outlet 0.5 m below, 1 in pipe of 0.8 m with losses of 2.84, 8 L/min.
fn worked() -> SiphonIn {
    SiphonIn {
        pipe: piping::named("other"),
        bore: SHORT_LENGTH.of(mm(26.137)),
        elbows: COUNT.of(0.0),
        losses: RATIO.of(1.34),
        inflow: FLOW.of(l_min(8.0)),
        ..SiphonIn::default()
    }
}

/// A bell has to go over its standpipe, and water through its slots: no inflow helps where it does not.
#[test]
fn a_bell_that_does_not_fit_is_said() {
    let said = |i: &SiphonIn| {
        let o = crate::calculators::solve::<Siphon>(i, &mut Working::none()).expect("solved");
        Siphon::report(i, &o, Words::default()).verdict
    };
    assert!(!said(&SiphonIn::default()).contains("But"), "{}", said(&SiphonIn::default()));
    let narrow = SiphonIn { bell: SHORT_LENGTH.of(mm(30.0)), ..SiphonIn::default() };
    assert!(said(&narrow).ends_with("But the bell does not go over this standpipe."), "{}", said(&narrow));
    let slots = SiphonIn { slots: SMALL_AREA.of(2e-4), gap: SHORT_LENGTH.of(mm(2.0)), ..SiphonIn::default() };
    assert!(said(&slots).contains("is too small, and the slots"), "{}", said(&slots));
}

#[test]
fn the_worked_bed() {
    // Bernoulli with Churchill's friction: 66.2 and 55.5 L/min; the integral: 119.9 s (with c from those two flows), fill 792 s, 105.6 L; starts from
    // 4.9 L/min, so 8 L/min is 1.6 of it, and 0.14 of what it carries at its end.
    let o = run(&worked());
    near(o.loss.value, 2.84, 1e-12);
    near(o.bed.flow_high.value / l_min(1.0), 66.2, 0.1);
    near(o.bed.flow_low.value / l_min(1.0), 55.5, 0.1);
    near(o.drain.expect("drains").value, 119.9, 0.3);
    near(o.fill.expect("fills").value, 792.0, 1e-6);
    near(o.swung.value, l(105.6), 1e-9);
    near(o.start.1.value / l_min(1.0), 4.9, 0.05);
    near(o.inflow.value / o.start.1.value, 1.6, 0.05);
    near(o.inflow.value / o.bed.flow_low.value, 0.14, 0.005);
    near(o.cycle.expect("cycles").value / 60.0, 15.2, 0.05);
    assert_eq!(window(&o).state(), State::Enough);
}

#[test]
fn too_little_and_too_much() {
    let at = |q: f64, aid| {
        let i = SiphonIn { inflow: FLOW.of(l_min(q)), aid, ..worked() };
        let o = run(&i);
        (window(&o).state(), window(&o).percent(), Siphon::report(&i, &o, Words::default()))
    };
    let (state, side, report) = at(1.5, Aid::Plain);
    assert!(state == State::Over && side.contains("trickle") && report.verdict.contains("trickle"));
    assert!(!report.repairs.is_empty());
    let (state, side, report) = at(3.5, Aid::Plain);
    assert!(state == State::Over && side.contains("trickle") && report.verdict.contains("flared"));
    assert!(report.repairs.iter().any(|r| r.title.contains("flared")));
    assert_ne!(at(3.5, Aid::Helped).0, State::Over);
    let (state, side, report) = at(35.0, Aid::Plain);
    assert!(state == State::Over && side.contains("never break") && report.verdict.contains("for ever"));
    let pipe = report.repairs.iter().find(|r| r.title.contains("standpipe")).expect("a standpipe");
    assert!(pipe.also.is_none(), "with the bell that suits it: {pipe:?}");
    let (_, _, report) = at(60.0, Aid::Plain);
    assert!(report.verdict.contains("can never break") && report.pictures.len() == 2);
    let o = run(&SiphonIn { inflow: FLOW.of(l_min(60.0)), ..worked() });
    assert!(o.drain.is_none() && o.cycle.is_none() && o.fill.is_some());
}

#[test]
fn impossible_beds_are_sentences() {
    let refused = |i: SiphonIn| solve::<Siphon>(&i, &mut Working::none()).expect_err("refused")[0].path.clone();
    assert_eq!(refused(SiphonIn { low: SHORT_LENGTH.of(0.3), ..worked() }), "low");
    assert_eq!(refused(SiphonIn { flood: SHORT_LENGTH.of(0.4), ..worked() }), "flood");
    assert_eq!(refused(SiphonIn { inflow: FLOW.of(0.0), ..worked() }), "inflow");
}

#[test]
fn a_tight_bell_is_repaired() {
    let i = SiphonIn {
        bell: SHORT_LENGTH.of(mm(33.0)),
        gap: SHORT_LENGTH.of(mm(2.0)),
        slots: SMALL_AREA.of(3e-4),
        ..worked()
    };
    let o = run(&i);
    let report = Siphon::report(&i, &o, Words::default());
    for id in ["ring", "gap", "slots"] {
        let before = report.levels.iter().find(|l| l.id == id).expect("level");
        assert_eq!(before.state(), State::Over, "{id}");
        let r = report.repairs.iter().find(|r| r.level.id == id).unwrap_or_else(|| panic!("no repair of {id}"));
        assert_eq!(r.level.state(), State::Enough, "{r:?}");
    }
}

#[test]
fn a_deeper_outlet_has_a_longer_pipe() {
    let i = SiphonIn { inflow: FLOW.of(l_h(2000.0)), ..SiphonIn::default() };
    let report = Siphon::report(&i, &run(&i), Words::default());
    let r = report.repairs.iter().find(|r| r.title.starts_with("The outlet ")).expect("deeper");
    let after = mend::changed::<Siphon>(&i, &r.edits).expect("changed");
    near((after.run - i.run).value, (after.drop - i.drop).value, 1e-9);
    assert!(after.drop > i.drop && r.level.state() == State::Enough, "{r:?}");
    // A pipe that does not reach its outlet is said to be too short.
    let short = SiphonIn { run: LENGTH.of(0.5), ..SiphonIn::default() };
    let says = |i: &SiphonIn| Siphon::report(i, &run(i), Words::default()).cautions;
    assert!(says(&short).iter().any(|c| c.text.contains("count its whole length")));
    assert!(says(&SiphonIn::default()).iter().all(|c| !c.text.contains("count its whole length")));
}

#[test]
fn bad_on_bad_is_and() {
    let i = SiphonIn { inflow: FLOW.of(l_h(2000.0)), gap: SHORT_LENGTH.of(mm(2.0)), ..SiphonIn::default() };
    let said = Siphon::report(&i, &run(&i), Words::default()).verdict;
    assert!(said.contains(" And the gap"), "{said}");
    let fine = SiphonIn { inflow: SiphonIn::default().inflow, ..i.clone() };
    let said = Siphon::report(&fine, &run(&fine), Words::default()).verdict;
    assert!(said.contains(" But the gap"), "{said}");
    // A gap that is read in inches is a round one.
    let us = Siphon::report(&i, &run(&i), System::Us.into());
    let gap = us.repairs.iter().find(|r| r.title.contains("A gap of")).expect("a gap");
    assert!(gap.title.contains("0.6\u{202f}in"), "{}", gap.title);
}

/// What flows in, what the siphon carries at most and what runs over are one sum, and an overflow leads it back to the sump.
#[test]
fn what_it_cannot_carry_adds_up() {
    let at = |q: f64, overflow| SiphonIn { inflow: FLOW.of(l_h(q)), overflow, ..SiphonIn::default() };
    let said = |i: &SiphonIn| {
        let r = Siphon::report(i, &run(i), Words::default());
        (r.verdict.clone(), r.cautions.iter().map(|c| c.text.clone()).collect::<String>(), r)
    };
    let i = at(4320.0, YesNo::No);
    let o = run(&i);
    let most = siphon::flow(&supply(&i, o.bore), i.rim + i.drop, water::kinematic(i.temperature));
    near((most + o.spilt).value, i.inflow.value, 1e-12);
    let (verdict, cautions, _) = said(&i);
    let carries = format!("carries {} at most", Words::default().q(FLOW, most));
    assert!(verdict.contains(&carries) && verdict.contains("runs over the rim"), "{verdict}");
    assert!(cautions.contains("the sump runs dry"), "{cautions}");
    let (verdict, cautions, r) = said(&at(4320.0, YesNo::Yes));
    assert!(verdict.contains("or more leaves by the overflow") && !verdict.contains("over the rim"), "{verdict}");
    assert!(!cautions.contains("runs dry") && !cautions.contains("spills"), "{cautions}");
    assert!(r.levels.iter().all(|l| l.id != "bed_rim" || l.state() != State::Over));
    // Up to just what it carries from the rim, the water stands below that.
    let full = SiphonIn { inflow: most * 0.9999, ..i };
    let o = run(&full);
    assert!(o.spilt.value == 0.0 && o.highest < full.rim && o.highest > full.rim * 0.999, "{o:?}");
    assert!(!said(&full).0.contains("spills"), "{}", said(&full).0);
}

/// More water for a siphon that only trickles is no advice where the bed then spills.
#[test]
fn no_repair_floods_the_bed() {
    let i = SiphonIn {
        length: LENGTH.of(1.115),
        inflow: FLOW.of(l_h(600.0)),
        pipe: PIPES.iter().find(|p| p.id == "pvc_50").expect("there"),
        flood: SHORT_LENGTH.of(0.2536),
        rim: SHORT_LENGTH.of(0.2635),
        losses: RATIO.of(12.0),
        porosity: PERCENT.of(0.17),
        run: LENGTH.of(0.31),
        ..SiphonIn::default()
    };
    let before = levels(&i, &run(&i));
    let spills = |all: &[Level]| all.iter().any(|l| l.id == "bed_rim" && l.state() == State::Over);
    assert!(!spills(&before) && window(&run(&i)).state() == State::Over);
    let all = Siphon::report(&i, &run(&i), Words::default()).repairs;
    assert!(all.iter().any(|r| r.level.id == "inflow"), "{all:#?}");
    for r in all {
        let i = mend::changed::<Siphon>(&i, &r.edits).expect("applies");
        assert!(!spills(&levels(&i, &run(&i))), "{}", r.title);
    }
}

/// Water that runs over the rim of a bed stands at it, however much comes.
#[test]
fn no_water_stands_over_the_rim() {
    let i = SiphonIn { inflow: FLOW.of(l_h(5000.0)), ..SiphonIn::default() };
    let o = run(&i);
    let mut said = vec![];
    Siphon::outputs(&o, &mut said);
    let highest = said.iter().find(|x| x.key == "highest").expect("there");
    assert!(matches!(highest.value, Value::Num(x) if x <= i.rim.value) && o.highest > i.rim, "{highest:?}");
}
