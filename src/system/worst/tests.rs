use super::*;
use crate::calculators::{self, drain::Drain, outcome::Working};
use crate::system::demo;

fn enlarged() -> Document {
    demo::by_id("enlarged").expect("there").document()
}

#[test]
fn every_level_has_its_worst_day() {
    let d = enlarged();
    let ways = flow::ways(&d).expect("ways");
    let days = solve_days(&d, &ways, &Day::ALL).expect("solves");
    let all = merge(&ways, &days);
    assert_eq!(all.len(), days[0].levels.len());
    for (k, (station, level)) in days[0].levels.iter().enumerate() {
        let found = all.iter().filter(|c| c.station == *station && c.level.id == level.id).count();
        assert!(found >= 1, "{k}");
    }
    for c in &all {
        // No day is worse than the one that is named, and it is that day's own level.
        for s in days.iter().filter(|s| counts(&c.level, s.day)) {
            let l = s.levels.iter().filter(|l| l.0 == c.station && l.1.id == c.level.id).nth(c.nth).expect("there");
            assert!(l.1.fullness() <= c.level.fullness() + 1e-9, "{}", c.level.name);
            if s.day == c.day {
                assert_eq!(l.1.demand, c.level.demand);
            }
        }
    }
    // Aged stones in hot water leave less oxygen than new ones; heavier fish want more.
    let oxygen = |day: Day| {
        let s = days.iter().find(|s| s.day == day).expect("solved");
        s.levels.iter().find(|l| l.1.id == "oxygen").expect("oxygen").1.fullness()
    };
    assert!(oxygen(Day::Aged) > oxygen(Day::Hottest) && oxygen(Day::Harvest) > oxygen(Day::Hottest));
    assert!(oxygen(Day::Coldest) < oxygen(Day::Today));
}

#[test]
fn one_of_two_outlets_blocked() {
    let mut d = enlarged();
    assert!(!Day::Blocked.differs(&d));
    d.tanks[0].outlet.outlets = COUNT.of(2.0);
    assert!(Day::Blocked.differs(&d));
    let load = |day| {
        let s = check::solve(&d, day).expect("solves");
        s.levels.iter().find(|l| l.1.id == "outlet").expect("outlet").1.fullness()
    };
    // Half of the outlets carry half, at the same water before each.
    assert!((load(Day::Blocked) / load(Day::Today) - 2.0).abs() < 0.01);
}

/// By hand: what is dry under the rim times the surface, over the flow.
#[test]
fn a_blocked_outlet_spills() {
    let d = enlarged();
    let w = worst(&d).expect("solves");
    let today = check::solve(&d, Day::Today).expect("solves");
    let b = &w.blocked[0];
    let inputs = check::outlet_of(&d, &d.tanks[0], today.tanks[0].flow, Day::Today);
    let o = calculators::solve::<Drain>(&inputs, &mut Working::none()).expect("solves");
    let by_hand = d.tanks[0].outlet.surface.value * (o.brim - o.stand.level).value / today.tanks[0].flow.value;
    assert_eq!(b.spill, Spill::After(MINUTES.of(by_hand)));
    // The old tank gets what the check itself says with the new one's valve shut.
    let (j, comes, _) = w.blocked[1].neighbour.expect("a neighbour");
    assert_eq!(j, 0);
    let k = d.edges.iter().position(|e| e.to == "new" && e.from == "pump").expect("a branch");
    let mut shut = d.clone();
    let run = &mut shut.edges[k].run[0].0;
    (run.valve, run.open) = (Valve::Ball, PERCENT.of(0.0));
    let alone = check::solve(&shut, Day::Today).expect("solves").tanks[0].set;
    assert!((comes / alone).value > 1.0 - 1e-6 && (comes / alone).value < 1.0 + 1e-6, "{comes:?} {alone:?}");
    let both = today.tanks[0].flow + today.tanks[1].flow;
    // The pump sends less through one branch than through both.
    assert!(comes > today.tanks[0].flow * 1.05 && comes < both, "{comes:?} {both:?}");
    // Set by hand it gets what both were set to, and no more than the pump can send.
    let mut set = d.clone();
    set.pumps[0].curve.clear();
    set.edges.iter_mut().for_each(|e| e.run.clear());
    for (most, gets) in [(2000.0, 1900.0), (1500.0, 1500.0)] {
        set.pumps[0].most = FLOW.of(si::l_h(most));
        for e in set.edges.iter_mut().filter(|e| e.from == "pump") {
            e.flow = FLOW.of(si::l_h(if e.to == "new" { 1000.0 } else { 900.0 }));
        }
        let comes = worst(&set).expect("solves").blocked[1].neighbour.expect("a neighbour").1;
        assert!((comes.value / si::l_h(gets) - 1.0).abs() < 1e-9, "{comes:?}");
    }
    let said = w.sentences(&d, Words::default());
    assert!(said[1].contains("With its branch shut, Trough gets"), "{said:#?}");
    // By hand: 244 L stand in the sump while it runs with the beds full, 83 of them are the pump's; the trough takes more than the rest.
    let u = today.sumps[0].as_ref().expect("its size is known");
    // The sump is checked with the new tank as high as the most makes it; what really flows leaves that much more.
    let held = d.tanks.iter().zip(&today.tanks).fold(VOLUME.of(0.0), |v, (d, t)| v + d.outlet.surface * t.rise);
    let high = u.inputs.tanks.iter().fold(VOLUME.of(0.0), |v, t| v + t.area * t.rise);
    let left = u.out.extremes.run_high + high - held - u.out.loads.submergence;
    let takes = d.tanks[0].outlet.surface * (o.brim - o.stand.level);
    let dry = w.blocked[0].dry.expect("known");
    assert!(left < takes && (dry[1].value * today.tanks[0].flow.value / left.value - 1.0).abs() < 1e-9);
    assert!(said[0].contains("runs dry after") && !said[0].contains("it spills"), "{said:#?}");
    // A larger sump has the water; one that a float valve fills has it as well.
    let mut large = d.clone();
    large.sumps[0].levels[0].0.volume *= 4.0;
    let said = |d: &Document| worst(d).expect("solves").sentences(d, Words::default()).remove(0);
    assert!(said(&large).contains("until the pump runs dry"), "{}", said(&large));
    large.sumps[0].levels[0].0.top_up = TopUp::Float;
    assert!(said(&large).contains("onto the floor from then on"), "{}", said(&large));
    assert_eq!(w.days.len(), 5);
    assert!(w.days.iter().all(|s| s.over >= 1 && s.fullest.name.contains("New tank")), "{:#?}", w.days);
}

/// The water that a blocked tank keeps is that of the fish in the low tank; and of two sumps the one after the other runs dry.
#[test]
fn what_a_blocked_tank_keeps_comes_from_the_source() {
    let d = check::tests::low_tank();
    let b = worst(&d).expect("solves").blocked.remove(0);
    let s = check::solve(&d, Day::Today).expect("solves");
    // By hand: 350 L, less what stands over the trough, to 70 L under 100 mm; and to half.
    let trough = d.tanks[0].outlet.surface * s.tanks[0].rise;
    let lasts = |litres: f64| (si::l(litres) - trough.value) / s.tanks[0].leaves.value;
    let dry = b.dry.expect("known");
    assert!((dry[1].value / lasts(280.0) - 1.0).abs() < 1e-6 && dry[0] < dry[1], "{dry:?} {}", lasts(280.0));
    assert!((b.half.expect("fish").value / lasts(175.0) - 1.0).abs() < 1e-6);
    let said = worst(&d).expect("solves").sentences(&d, Words::default()).remove(0);
    assert!(said.contains("until the pump runs dry") && said.contains("That water is Low tank's"), "{said}");
    let proofs = crate::system::prove::proofs(&d, Words::default()).expect("a list").proofs;
    let proof = proofs.iter().find(|p| p.key == "blocked trough").expect("there");
    assert!(!proof.predicted.contains("sump"), "{}", proof.predicted);

    let two = two_sumps();
    let s = check::solve(&two, Day::Today).expect("solves");
    let over = |i: usize| {
        let u = s.sumps[i].as_ref().expect("known");
        let back = u.out.back.iter().fold(VOLUME.of(0.0), |a, b| a + *b);
        (u.out.extremes.run_high + back - u.out.loads.submergence).value
    };
    let lasts = (over(0) + over(1) - s.over(0, &two.outlets()[0]).value) / s.tanks[0].leaves.value;
    let dry = worst(&two).expect("solves").blocked[0].dry.expect("known");
    assert!((dry[1].value / lasts - 1.0).abs() < 1e-6, "{dry:?} {lasts}");
    // Nothing keeps the two even, until the second overflows back and cannot be emptied.
    let r = crate::system::report::report(&two, Words::default()).expect("checks");
    let uneven = |r: &crate::system::report::Report| r.cautions.iter().any(|c| c.text.contains("feed one another"));
    assert!(uneven(&r) && r.verdict.contains("kept even"), "{}", r.verdict);
    let mut even = two.clone();
    even.pumps[1].most = even.edges[1].flow * 0.8;
    even.edges.iter_mut().filter(|e| e.from == "second").for_each(|e| e.flow *= 0.7);
    even.edges.push(crate::system::document::Edge { from: "b".into(), to: "sump".into(), ..Default::default() });
    let r = crate::system::report::report(&even, Words::default()).expect("checks");
    assert!(!uneven(&r) && !r.verdict.contains("kept even"), "{}", r.verdict);
    // What it is set to counts, with a fifth in hand; where nearly all is drawn that comes, what it could send.
    let (first, second) = (even.edges[1].flow, even.edges.iter().position(|e| e.from == "second").expect("a branch"));
    even.pumps[1].most = first * 1.2;
    for (set, loose) in [(0.7, false), (0.95, true)] {
        even.edges[second].flow = first * set;
        let r = crate::system::report::report(&even, Words::default()).expect("checks");
        assert_eq!((uneven(&r), r.verdict.contains("kept even")), (loose, loose), "{set}: {}", r.verdict);
    }
}

/// A pump that is set to clearly less than comes, beside an overflow, runs no tank dry, whatever it could send; one set to nearly all may.
#[test]
fn a_pump_set_to_less_is_kept_even() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let set = d.edges.iter().find(|e| e.from == "pump").expect("a branch").flow;
    d.pumps.push(crate::system::document::Pump { id: "second".into(), most: set * 2.0, ..d.pumps[0].clone() });
    let edge = |from: &str, to: &str, q: f64| crate::system::document::Edge {
        from: from.into(),
        to: to.into(),
        flow: set * q,
        ..Default::default()
    };
    d.edges.extend([edge("trough", "second", 0.0), edge("second", "settler", 0.2)]);
    let last = d.edges.len() - 1;
    let mut uneven = |share: f64| {
        d.edges[last].flow = set * share;
        let r = crate::system::report::report(&d, Words::default()).expect("checks");
        let said = r.cautions.iter().any(|c| c.text.contains("feed one another"));
        assert_eq!(said, r.verdict.contains("kept even"), "{}", r.verdict);
        said
    };
    assert_eq!([0.2, 0.79, 0.95].map(&mut uneven), [false, false, true]);
}

/// The courtyard with a second sump and pump before its raft.
fn two_sumps() -> Document {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let (mut sump, mut pump) = (d.sumps[0].clone(), d.pumps[0].clone());
    (sump.id, sump.name, pump.id, pump.name) = ("b".into(), "Sump B".into(), "second".into(), "Second".into());
    let q = d.edges.iter().find(|e| e.from == "pump").expect("a branch").flow;
    let k = d.edges.iter().position(|e| e.to == "raft").expect("an edge");
    d.edges[k].to = "b".into();
    let edge = |from: &str, to: &str| crate::system::document::Edge {
        from: from.into(),
        to: to.into(),
        flow: q,
        ..Default::default()
    };
    d.edges.extend([edge("b", "second"), edge("second", "raft")]);
    d.sumps.push(sump);
    d.pumps.push(pump);
    d
}

/// Narrow branches off a wide main: with one shut the other gets little more, by its curve and not by the sum.
#[test]
fn a_shut_branch_gives_what_the_curve_gives() {
    let mut d = enlarged();
    let pipe = |id| crate::catalog::pipes::by_id(id).expect("a pipe");
    let o = &mut d.tanks[1].outlet;
    (o.pipe, o.hole_depth) = (pipe("pvc_40"), SHORT_LENGTH.of(si::mm(140.0)));
    let c = &mut d.pumps[0].curve[0].0;
    (c.shut_off, c.free_flow, c.pipe) = (LENGTH.of(3.0), FLOW.of(si::l_h(4000.0)), pipe("pvc_50"));
    for e in &mut d.edges {
        for r in &mut e.run {
            (r.0.lift, r.0.length, r.0.pipe) = (LENGTH.of(1.2), LENGTH.of(3.0), pipe("pvc_20_pn16"));
            (r.0.valve, r.0.open) = (Valve::Missing, PERCENT.of(1.0));
        }
    }
    // The pump page's table gives 1300 L/h alone and 1230 beside the other, both over the full sump.
    let (_, comes, _) = worst(&d).expect("solves").blocked[0].neighbour.expect("a neighbour");
    assert!((si::l_h(1200.0)..si::l_h(1300.0)).contains(&comes.value), "{comes:?}");
}

/// A branch that all else counts as throttled keeps its valve when the other is shut: it gets what the check says of a document with such a valve.
#[test]
fn a_throttled_neighbour_keeps_its_valve() {
    let d = enlarged();
    let solved = |d: &Document| check::solve(d, Day::Today).expect("solves").tanks;
    let held = solved(&d)[1].flow;
    let mut set = d.clone();
    let k = set.edges.iter().position(|e| e.to == "new" && e.from == "pump").expect("a branch");
    let (mut low, mut high) = (0.1, 1.0);
    for _ in 0..30 {
        let open = (low + high) / 2.0;
        set.edges[k].run[0].0.open = PERCENT.of(open);
        if solved(&set)[1].set > held { high = open } else { low = open }
    }
    let (mut shut, other) = (set.clone(), d.edges.iter().position(|e| e.to == "trough").expect("a branch"));
    let run = &mut shut.edges[other].run[0].0;
    (run.valve, run.open) = (Valve::Ball, PERCENT.of(0.0));
    let alone = solved(&shut)[1].set;
    let (j, comes, _) = worst(&d).expect("solves").blocked[0].neighbour.expect("a neighbour");
    assert!(j == 1 && (comes / alone - RATIO.of(1.0)).value.abs() < 1e-3, "{comes:?} {alone:?}");
    // With the valve open it would be half as much again and more.
    shut.edges[k].run[0].0.open = PERCENT.of(1.0);
    assert!(comes > held * 1.3 && solved(&shut)[1].set > comes * 1.3, "{comes:?} {held:?}");
    // Where flows are set by hand it gets what the pump sends both as they are throttled.
    let by_hand = supply::by_hand(&d);
    let both = solved(&d)[0].flow + held;
    let comes = worst(&by_hand).expect("solves").blocked[0].neighbour.expect("a neighbour").1;
    assert!((comes / both - RATIO.of(1.0)).value.abs() < 1e-6, "{comes:?} {both:?}");
}

/// Fish that have no time with the power off are said to have none, fed or not.
#[test]
fn no_time_is_said_as_such() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let o = &mut d.tanks[0].oxygen;
    o.fish[0].count *= 20.0;
    o.fish[0].biomass *= 20.0;
    let said = worst(&d).expect("solves").outages(&d, Words::default()).remove(0);
    assert!(said.contains("no time, or no time unfed for a day") && !said.contains("none"), "{said}");
}

/// At the same flow a blocked outlet spills after the same time, whatever the pump could send; and a sump that is dry as it is, is said to be.
#[test]
fn a_blocked_outlet_spills_at_what_flows() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.tanks[0].outlet.hole_depth = SHORT_LENGTH.of(si::mm(110.0));
    let said = |d: &Document| worst(d).expect("solves").sentences(d, Words::default()).remove(0);
    let dry = |d: &Document| worst(d).expect("solves").blocked[0].dry.expect("known");
    let strong = (said(&d), dry(&d));
    assert!(strong.0.contains("it spills after"), "{}", strong.0);
    d.pumps[0].most = d.edges[1].flow;
    let set = dry(&d);
    assert_eq!(said(&d), strong.0);
    assert!(set.iter().zip(strong.1).all(|(a, b)| (*a - b).value.abs() < 1e-6));
    // By hand: 1.5 m² of trough stand 46 mm over the hole, 4 L in pipes; of 233 L at the mark 58 are the pump's.
    let s = check::solve(&d, Day::Today).expect("solves");
    let l = &d.sumps[0].levels[0].0;
    let area = l.volume / l.depth;
    let left = area * (l.mark - l.submergence) - l.other_pipes - d.tanks[0].outlet.surface * s.tanks[0].rise;
    assert!((set[1].value / (left.value / s.tanks[0].flow.value) - 1.0).abs() < 1e-6);
    let l = &mut d.sumps[0].levels[0].0;
    l.mark = l.submergence + SHORT_LENGTH.of(si::mm(5.0));
    assert!(said(&d).contains("runs dry as it is") && !said(&d).contains(" 0"), "{}", said(&d));
}

#[test]
fn a_reading_is_of_today_alone() {
    use crate::calculators::oxygen::Reading;
    use crate::units::si::mg_l;
    let mut d = enlarged();
    let t = &mut d.tanks[0].oxygen;
    (t.reading, t.reading_oxygen) = (Reading::Dawn, CONCENTRATION.of(mg_l(6.0)));
    let flow = FLOW.of(si::l_h(1000.0));
    let (today, hot) = (Day::Today, Day::Hottest);
    let today = check::oxygen_of(&d, &d.tanks[0], flow, today);
    let hot = check::oxygen_of(&d, &d.tanks[0], flow, hot);
    assert!(today.reading == Reading::Dawn && hot.reading == Reading::None);
    let o = calculators::solve::<crate::calculators::oxygen::Oxygen>(&today, &mut Working::none()).expect("solves");
    let read = crate::calculators::oxygen::carried_by_reading(&today, &o);
    assert_eq!((hot.air_factor, hot.demand_factor), (read.air_factor, read.demand_factor));
}

/// Every level that a system can have is called something there, and nothing is called there that no system has.
#[test]
fn every_level_has_a_name_of_a_whole_system() {
    let mut seen = std::collections::BTreeSet::new();
    for (name, mut d) in check::tests::documents() {
        d.tanks[0].oxygen.salinity = SALINITY.of(1.0);
        let ways = flow::ways(&d).expect("ways");
        for s in solve_days(&d, &ways, &Day::ALL).unwrap_or_else(|e| panic!("{name}: {e:?}")) {
            for (place, l) in &s.levels {
                // Found by its name too, which is how its article is.
                let found = known(&named(l, &ways, *place)).map(|n| n.id);
                assert_eq!(found, Some(l.id.as_ref()), "{name}: {}", l.name);
                seen.insert(l.id.to_string());
            }
        }
    }
    let idle: Vec<_> = NAMES.iter().filter(|n| !seen.contains(n.id)).map(|n| n.id).collect();
    assert!(idle.is_empty(), "{idle:?}");
}

/// What is over today comes before what will be fuller on a day to come, and a bed never before fish.
#[test]
fn what_is_over_today_stands_before_what_is_to_come() {
    let level = |id: &'static str, x: f64| Level::upper(id, "", RATIO, RATIO.of(x), RATIO.of(1.0));
    let of = |id: &'static str, today: f64, then: f64| Checked {
        station: 0,
        nth: 0,
        level: level(id, then),
        day: if then > today { Day::Harvest } else { Day::Today },
        today: level(id, today),
    };
    let [dry, flow, bed, air] =
        [of(level::DRY, 1.1, 1.1), of(level::FLOW, 0.7, 1.37), of(level::BED, 3.0, 3.0), of(level::OXYGEN, 1.05, 1.05)];
    let before = |a: &Checked, b: &Checked| a.order() > b.order();
    assert!(before(&dry, &flow) && before(&flow, &of(level::FLOW, 0.7, 1.2)));
    assert!(before(&flow, &of(level::BED, 1.2, 1.2)) && before(&air, &dry));
    assert!(before(&dry, &bed), "{:?}", bed.order());
}
