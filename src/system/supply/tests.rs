use super::*;
use crate::system::demo;

/// What has settled with heads as near as they are then found stays where it is with heads to all that a float holds.
#[test]
fn levels_that_have_settled_stay() {
    let samples = [check::tests::pair(), check::tests::two_pumps(), check::tests::low_tank()];
    let mut seen = 0;
    for d in demo::ALL.iter().map(|demo| demo.document()).chain(samples) {
        let ways = flow::ways(&d).expect("ways");
        let order = flow::order(&ways).expect("an order");
        let all = coupled(&d, &ways, &order, Day::Today).expect("is sound");
        let levels = all.settled().expect("settle");
        if levels.is_empty() {
            continue;
        }
        for (at, then) in levels.iter().zip(all.follow(&levels, network::TOLERANCE)) {
            assert!((at - then).abs() <= 2.0 * STILL, "{at} m and {then} m");
            seen += usize::from(*at > 0.0);
        }
    }
    assert!(seen > 2, "{seen} levels moved");
}

/// A tank over a flooded pipe into the sump that its pump draws from: 0.8 and 0.3 m² of water at 454.5 mm at rest.
fn flooded_pair(l_h: f64) -> Document {
    let text = serde_json::json!({
        "brimwise": 4,
        "system": {
            "name": "Pair",
            "water": { "today": "20 C", "hottest": "20 C", "coldest": "20 C" },
            "sumps": [{ "id": "b", "name": "Lower", "levels": [{
                "volume": "180 L", "depth": "0.6 m", "mark": "454.5 mm", "top_up": "at_rest", "evaporation": "0 L/day", "days": "1 days",
                "other_pipes": "0 L", "submergence": "100 mm", "freeboard": "20 mm" }] }],
            "pumps": [{ "id": "pump", "name": "Pump", "most": format!("{l_h} L/h") }],
            "tanks": [{ "id": "a", "name": "Upper",
                "oxygen": { "fish": [{ "species": "carp", "by": "number", "count": 5, "mass": "100 g" }], "volume": "363.6 L", "depth": "0.4545 m" },
                "outlet": { "arrangement": "flooded", "pipe": "sch40_2", "pipe_depth": "500 mm", "tail_depth": "145.5 mm", "length": "1 m", "surface": "0.8 m2" } }],
            "edges": [{ "from": "pump", "to": "a", "flow": format!("{l_h} L/h") }, { "from": "a", "to": "b" }, { "from": "b", "to": "pump" }],
        }
    });
    crate::system::json::read(text.as_object().expect("an object")).expect("reads").0
}

/// Two vessels on one pipe, by conservation of their water: h1 = (V + A2 d)/(A1 + A2) and h2 = (V - A1 d)/(A1 + A2) with the loss d of the pipe between them, 16.3 mm
/// at 3 000 L/h (a network solver passes 3 001.5 L/h at that) and 63.6 mm at 6 000.
#[test]
fn a_flooded_pipe_ends_in_water_that_falls() {
    for (l_h, tank, sump) in [(3000.0, 459.0, 442.7), (6000.0, 471.9, 408.3)] {
        let d = flooded_pair(l_h);
        let s = check::solve(&d, Day::Today).expect("solves");
        let run = s.sumps[0].as_ref().expect("its size is known").out.extremes.run_high;
        let (rise, fall) = (s.tanks[0].rise.value, 0.4545 - run.value / 0.3);
        let near = |is: f64, mm: f64| assert!((is * 1e3 - mm).abs() < 0.4, "{is} m, and {mm} mm is right");
        near(0.4545 + rise, tank);
        near(0.4545 - fall, sump);
        // No water is made.
        assert!((rise * 0.8 - fall * 0.3).abs() < 1e-6, "{rise} {fall}");
        // What the outlet carries is the flow at which the level reaches its freeboard, with the other as low as that draws it.
        let out = &s.tanks[0].outlet;
        let then = check::solve(&flooded_pair(out.capacity.value * 3.6e6), Day::Today).expect("solves");
        let left = 0.6 - 0.4545 - then.tanks[0].rise.value;
        assert!((left - d.tanks[0].outlet.freeboard.value).abs() < 1e-3, "{left}");
    }
}

/// The same with another tank in place of the sump, and with a sump whose float holds its level.
#[test]
fn only_water_that_falls_counts_so() {
    let mut held = flooded_pair(6000.0);
    held.sumps[0].levels[0].0.top_up = TopUp::Float;
    let rise = check::solve(&held, Day::Today).expect("solves").tanks[0].rise.value;
    assert!((rise - 0.0636).abs() < 1e-3, "{rise}");
    let mut tanks = flooded_pair(6000.0);
    tanks.sumps.clear();
    let mut lower = tanks.tanks[0].clone();
    (lower.id, lower.name) = ("b".into(), "Lower".into());
    lower.outlet.surface = AREA.of(0.3);
    lower.oxygen.volume = VOLUME.of(0.3 * 0.4545);
    tanks.tanks.push(lower);
    let s = check::solve(&tanks, Day::Today).expect("solves");
    let rise = s.tanks[0].rise.value;
    assert!((rise - (0.4719 - 0.4545)).abs() < 4e-4, "{rise}");
    // What is missing in the lower one, besides what is taken out of it between two top-ups.
    let gone = |l_h: f64| {
        tanks.edges[0].flow = FLOW.of(l_h / 3.6e6);
        tanks.pumps[0].most = tanks.edges[0].flow;
        check::solve(&tanks, Day::Today).expect("solves").tanks[1].gone.expect("only its pump takes its water").value
    };
    let gone = [6000.0, 10.0].map(gone);
    assert!(((gone[0] - gone[1]) / 0.3 - (0.4545 - 0.4083)).abs() < 5e-4, "{gone:?}");
}

/// A sump that no pump draws from stands at its way out, whatever flows: what tanks and pipes hold is missing in the one below it.
#[test]
fn two_sumps_in_a_row_are_as_dry_as_the_lower_alone() {
    let mut one = demo::by_id("classroom").expect("a demo").document();
    // Another vessel has walls and open water of its own.
    one.heat.clear();
    let mut two = one.clone();
    let mut upper = two.sumps[0].clone();
    (upper.id, upper.name) = ("upper".into(), "Upper sump".into());
    two.sumps.insert(0, upper);
    let into = two.edges.iter_mut().find(|e| e.to == "sump").expect("an end of the loop");
    into.to = "upper".into();
    two.edges.push(Edge { from: "upper".into(), to: "sump".into(), ..Edge::default() });
    let levels = |d: &Document| {
        let s = check::solve(d, Day::Today).expect("solves");
        let own =
            |l: &&(usize, crate::calculators::outcome::Level)| ["dry", "spill", "sump", "lift"].contains(&&*l.1.id);
        s.levels.iter().filter(own).map(|l| (l.1.id.to_string(), l.1.fullness())).collect::<Vec<_>>()
    };
    let (one, twice) = (levels(&one), levels(&two));
    assert_eq!(one.len(), 4);
    assert_eq!(one, twice);
    let said = crate::system::report::report(&two, Words::default()).expect("checks").verdict;
    assert!(said.contains("what runs down out of Upper sump when the pump stops"), "{said}");
}

/// Two flooded pipes in a row: the first ends in the water of a tank that itself ends in water that falls.
#[test]
fn flooded_pipes_in_a_row_are_solved() {
    let mut d = flooded_pair(3000.0);
    let mut first = d.tanks[0].clone();
    (first.id, first.name) = ("first".into(), "First".into());
    d.tanks.push(first);
    d.edges[0].to = "first".into();
    d.edges.push(Edge { from: "first".into(), to: "a".into(), ..Edge::default() });
    let s = check::solve(&d, Day::Today).expect("solves");
    let run = s.sumps[0].as_ref().expect("its size is known").out.extremes.run_high;
    let (rises, fall) = ([s.tanks[0].rise.value, s.tanks[1].rise.value], 0.4545 - run.value / 0.3);
    // No water is made, and the first stands over the second by what its pipe takes, or more.
    assert!(((rises[0] + rises[1]) * 0.8 - fall * 0.3).abs() < 1e-6, "{rises:?} {fall}");
    assert!(rises[1] > rises[0] + 0.016, "{rises:?}");
}

/// The page of the sump that a system fills in says what the system says: where the water stands, what the tank stands over the sump, and what comes back.
#[test]
fn the_page_of_a_sump_agrees_on_a_flooded_pipe() {
    use crate::calculators::levels::{Leaves, Levels};
    for top_up in [TopUp::AtRest, TopUp::Running, TopUp::Float] {
        for l_h in [3000.0, 6000.0] {
            let mut d = flooded_pair(l_h);
            d.sumps[0].levels[0].0.top_up = top_up;
            let s = check::solve(&d, Day::Today).expect("solves");
            let sump = s.sumps[0].as_ref().expect("its size is known");
            let [row] = &sump.inputs.tanks[..] else { panic!("{:?}", sump.inputs.tanks) };
            assert_eq!(row.leaves, Leaves::Flooded);
            let page = calculators::solve::<Levels>(&sump.inputs, &mut Working::none()).expect("a page");
            let near = |a: f64, b: f64| assert!((a - b).abs() < 2e-5, "{top_up:?} {l_h}: {a} and {b}");
            // The tank over the sump, as the system has both.
            let (rise, run) = (s.tanks[0].rise.value, page.extremes.run_high.value / 0.3);
            near(page.asks[0].value, 0.4545 + rise - run);
            if top_up == TopUp::AtRest {
                near(page.rises[0].value, rise);
                near((0.4545 - run) * 0.3, rise * 0.8);
            }
            // All of it is there again when it has come to rest.
            near(page.extremes.stop_high.value / 0.3 * 1.1, run * 0.3 + (run + page.asks[0].value) * 0.8);
        }
    }
}

/// Water that evaporates is the tank's as well: the sump stands so much lower as both do.
#[test]
fn a_tank_on_a_flooded_pipe_gives_its_part() {
    let lowest = |litres: f64| {
        let mut d = flooded_pair(3000.0);
        d.sumps[0].levels[0].0.evaporation = DAILY_VOLUME.of(litres / 1000.0 / 86_400.0);
        let s = check::solve(&d, Day::Today).expect("solves");
        s.sumps[0].as_ref().expect("its size is known").out.extremes.lowest.value / 0.3
    };
    assert!((lowest(0.0) - lowest(22.0) - 0.022 / 1.1).abs() < 1e-6, "{} {}", lowest(0.0), lowest(22.0));
}
