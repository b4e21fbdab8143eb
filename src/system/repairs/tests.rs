use super::*;
use crate::calculators::drain::DrainIn;
use crate::system::document::{Edge, WayOut};
use crate::system::{demo, report};

/// The repair that leaves nothing over.
fn whole(d: &Document) -> Repair {
    let all = report::report(d, Words::default()).expect("checks").repairs;
    all.into_iter().find(|t| t.whole).expect("one").repair
}

/// Two levels that want more of the same branch get it once.
#[test]
fn everything_sets_nothing_twice() {
    let mut d = check::tests::two_pumps();
    // With a filter that is known slow water alone is not over.
    d.ammonia.clear();
    let r = whole(&d);
    let mut paths: Vec<&String> = r.edits.iter().map(|e| &e.path).collect();
    paths.sort();
    let n = paths.len();
    paths.dedup();
    assert!(paths.len() == n && r.title.matches("to New tank").count() == 1, "{}", r.title);
}

/// Heaters for an open tank are far too many once it has the lid that its power cut wants.
#[test]
fn everything_takes_no_more_than_it_needs() {
    let mut d = demo::by_id("classroom").expect("there").document();
    for e in [
        Edit::num("heat.0.heater", POWER.of(60.0)),
        Edit::pick("heat.0.cover", "open"),
        Edit::num("heat.0.night", TEMPERATURE.of(celsius(-8.0))),
        // Eight hours were too long for all the water with the wet bed; the tank alone, the pump off, bears nine.
        Edit::num("heat.0.cut", HOURS.of(10.0 * 3600.0)),
    ] {
        assert!(form::apply(&mut d, &e), "{e:?}");
    }
    let r = whole(&d);
    assert!(r.title.contains("insulated lid") && r.level.id == "heater", "{}", r.title);
    assert!(r.level.fullness() > 0.7 && r.level.fullness() <= ENOUGH + 1e-9, "{}: {}", r.title, r.effect);
}

/// A lid lies over tanks, settlers and sumps. What plants stand in goes on losing heat: wet ground by the air over it, a raft through its board.
#[test]
fn a_lid_is_laid_over_no_plants() {
    let mut d = demo::by_id("classroom").expect("there").document();
    d.heat[0].0.cover = crate::calculators::heat::On::Lid;
    let night = |d: &Document| quality::heat(quality::heat_of(d).expect("heat")).expect("solves");
    let bed = d.beds[0].bed.area;
    let media = night(&d);
    assert!((media.inputs.surface - media.inputs.bare() - bed).value.abs() < 1e-9);
    assert!(media.out.night.convection.value > 0.0 && media.out.night.radiation.value > 0.0);
    d.beds[0].bed.method = METHODS.iter().find(|m| m.id == "raft").expect("there");
    let raft = night(&d).out.night;
    assert!(raft.convection.value == 0.0 && raft.lid > media.out.night.lid, "{raft:?}");
    d.beds[0].bed.area = AREA.of(0.0);
    assert!(night(&d).out.night.lid < raft.lid);
}

/// Of two pumps it is said which one is to send less, and of two branches which.
#[test]
fn what_is_set_to_send_less_has_a_name() {
    let mut d = check::tests::two_pumps();
    d.pumps[1].most = FLOW.of(l_h(600.0));
    let all = repairs_of(&d);
    assert!(all.iter().any(|t| t.repair.title.to_ascii_lowercase().contains("set p2 to send")), "{all:#?}");
    assert!(all.iter().all(|t| !t.repair.title.to_ascii_lowercase().contains("the pump to send")), "{all:#?}");
}

/// What insulates the walls may go underneath too, where the walls are done and the ground takes most.
#[test]
fn a_floor_is_insulated_too() {
    let mut d = demo::by_id("classroom").expect("there").document();
    let h = &mut d.heat[0].0;
    (h.cover, h.lagged) = (crate::calculators::heat::On::Lid, crate::calculators::heat::Lagged::Walls);
    h.night = TEMPERATURE.of(celsius(-10.0));
    let lost = |d: &Document| quality::heat(quality::heat_of(d).expect("heat")).expect("solves").out.night.total();
    let mut under = d.clone();
    under.heat[0].0.lagged = crate::calculators::heat::Lagged::All;
    let (bare, under) = (lost(&d), lost(&under));
    // Just what that takes.
    d.heat[0].0.heater = POWER.of(under.value / ENOUGH * 1.01);
    d.heat[0].0.cut = HOURS.of(3600.0);
    assert!(bare > d.heat[0].0.heater * 0.81, "{bare:?} {under:?}");
    let all = repairs_of(&d);
    assert!(all.iter().any(|t| t.repair.title.ends_with("walls and underneath")), "{all:#?}");
    // The lid is there already.
    assert!(all.iter().all(|t| !t.repair.title.contains("lid")), "{all:#?}");
}

/// Fewer plants need no smaller bed; a larger bed floods as much more, and its sides are said.
#[test]
fn the_sides_of_a_bed_with_a_siphon() {
    let d = demo::by_id("classroom").expect("there").document();
    let ways = super::super::flow::ways(&d).expect("ways");
    let (layout, w) = (form::layout(&mut d.clone()), Words::default());
    let s = Search { d: &d, ways: &ways, levels: &[], layout, w, shared: &RefCell::default() };
    let at = |times: f64| {
        let to = d.beds[0].bed.area.value * times;
        let lever = s.number_to("beds.0.bed.area", to, &[]).expect("a lever");
        (lever.at)(FINE)
    };
    let (less, more) = (at(0.5), at(2.0));
    assert!(less.edits.len() == 1 && !less.title.contains("sides"), "{less:?}");
    assert!(more.edits.len() == 3 && more.title.contains(", sides "), "{more:?}");
}

/// Roots stand in the water of a raft: its outlet goes down by a little, and the rest is for wider pipes and more of them.
#[test]
fn a_raft_is_not_drained_to_mend_its_outlet() {
    use crate::catalog::pipes::by_id;
    let mut d = demo::by_id("courtyard").expect("there").document();
    let o = DrainIn { hole_depth: SHORT_LENGTH.of(mm(50.0)), arrangement: Arrangement::Wall, ..DrainIn::default() };
    for pipe in ["pvc_25", "pvc_32", "pvc_40"] {
        d.beds[0].outlet = vec![WayOut(DrainIn { pipe: by_id(pipe).expect("a pipe"), ..o.clone() })];
        let all = repairs_of(&d);
        let holes = all.iter().filter_map(|t| si(&t.repair, "beds.0.outlet.0.hole_depth"));
        assert!(holes.into_iter().all(|x| x <= mm(100.0) + 1e-9), "{all:#?}");
        let titles: Vec<_> = all.iter().map(|t| (&t.repair.title, &t.repair.effect, &t.repair.also)).collect();
        let outlet = |t: &&Tried| t.repair.edits.iter().all(|e| e.path.starts_with("beds.0.outlet"));
        assert!(all.iter().any(|t| outlet(&t)), "{pipe}: {titles:#?}");
    }
    // Of a settler too, and its water is then less deep.
    d.beds[0].outlet.clear();
    d.settlers[0].outlet = vec![WayOut(DrainIn { pipe: by_id("pvc_50").expect("a pipe"), ..o })];
    let (was, ways) = (d.settlers[0].settling.depth, flow::ways(&d).expect("ways"));
    let (levels, shared) = (vec![], RefCell::new(Shared::default()));
    let (layout, w) = (form::layout(&mut d.clone()), Words::default());
    let s = Search { d: &d, ways: &ways, levels: &levels, layout, w, shared: &shared };
    let change = Change {
        title: String::new(),
        edits: vec![Edit::num("settlers.0.outlet.0.hole_depth", SHORT_LENGTH.of(mm(80.0)))],
    };
    let edits = s.lowered(StationKind::Settler, 0, mm(50.0), change).edits;
    assert!(edits.contains(&Edit::num("settlers.0.settling.depth", was - SHORT_LENGTH.of(mm(30.0)))), "{edits:?}");
}

/// A flooded pipe joins two tanks to one water: what lowers the one lowers the other.
#[test]
fn what_is_joined_falls_together() {
    let mut d = check::tests::pair();
    d.tanks[1].outlet.arrangement = Arrangement::Wall;
    let (ways, levels, shared) = (flow::ways(&d).expect("ways"), vec![], RefCell::new(Shared::default()));
    let (layout, w) = (form::layout(&mut d.clone()), Words::default());
    let s = Search { d: &d, ways: &ways, levels: &levels, layout, w, shared: &shared };
    let day = check::solve(&d, Day::Today).expect("solves");
    let all = s.wider(StationKind::Tank, 1, &day);
    let of = |c: &Change| c.edits[0].path == "tanks.1.outlet.hole_depth";
    let lower = all.iter().find(|l| of(&(l.at)(l.steps))).expect("a lower hole");
    assert_eq!(lower.also, [ALL_LESS]);
    let change = (lower.at)(lower.steps / 4);
    let at = |path: &str| match change.edits.iter().find(|e| e.path == path).map(|e| &e.to) {
        Some(EditValue::Si(x)) => *x,
        _ => panic!("{path}: {change:?}"),
    };
    let fall = at("tanks.1.outlet.hole_depth") - d.tanks[1].outlet.hole_depth.value;
    let (upper, o) = (&d.tanks[0].outlet, &d.tanks[0].oxygen);
    assert!(fall > mm(20.0) && (at("tanks.0.outlet.tail_depth") - upper.tail_depth.value - fall).abs() < 1e-9);
    assert!((o.volume.value - at("tanks.0.oxygen.volume") - upper.surface.value * fall).abs() < 1e-9);
    assert!((o.depth.value - at("tanks.0.oxygen.depth") - fall).abs() < 1e-9);
}

/// What two branches want of one pump is one pump.
#[test]
fn a_pump_is_bought_once() {
    let d = demo::by_id("enlarged").expect("there").document();
    let d = supply::by_hand(&d);
    let (ways, levels, shared) = (flow::ways(&d).expect("ways"), vec![], RefCell::new(Shared::default()));
    let (layout, w) = (form::layout(&mut d.clone()), Words::default());
    let s = Search { d: &d, ways: &ways, levels: &levels, layout, w, shared: &shared };
    let branches: Vec<usize> = ways.out_of(ways.place(StationKind::Pump, 0)).collect();
    let was = s.strength_now(0);
    let one = |k: usize, more: f64| Change {
        title: String::new(),
        edits: vec![
            Edit::num("pumps.0.most", FLOW.of(was + l_h(more))),
            Edit::num(format!("edges.{k}.flow"), FLOW.of(d.edges[k].flow.value + l_h(more))),
        ],
    };
    let both = s.joined(one(branches[0], 500.0), one(branches[1], 300.0));
    let most: Vec<_> = both.edits.iter().filter(|e| e.path == "pumps.0.most").collect();
    assert!(
        matches!(most[..], [Edit { to: EditValue::Si(x), .. }] if (x - was - l_h(800.0)).abs() < 1e-12),
        "{most:?}"
    );
    assert_eq!(both.edits.len(), 3);
    assert!(both.title.matches("pump").count() == 1 && both.title.contains(" and "), "{}", both.title);
}

/// Two tanks on one pump that both want more: one pump with more for both, and the settler behind it that then is too small.
#[test]
fn two_tanks_want_one_pump() {
    for (diameter, changes) in [(0.8, "pump"), (0.58, "Settler")] {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let half = FLOW.of(l_h(650.0));
        d.edges[1].flow = half;
        d.tanks[0].oxygen.fish[0].count *= 0.5;
        d.tanks[0].oxygen.fish[0].biomass *= 0.5;
        d.tanks.push(Tank { id: "second".into(), name: "Second".into(), ..d.tanks[0].clone() });
        let edge = |from: &str, to: &str, flow| Edge { from: from.into(), to: to.into(), flow, ..Edge::default() };
        d.edges.extend([edge("pump", "second", half), edge("second", "settler", FLOW.of(0.0))]);
        d.settlers[0].settling.diameter = LENGTH.of(diameter);
        d.sumps[0].levels.clear();
        // With a filter that is known to get its ammonia slow water alone is not over.
        d.ammonia.clear();
        let all = repairs_of(&d);
        let r = &all.iter().find(|t| t.whole).unwrap_or_else(|| panic!("{all:#?}")).repair;
        let said = |what: &str| r.title.contains(what);
        assert!(said("A pump that can send") && said("to Trough and") && said("to Second"), "{}", r.title);
        assert!(said(changes) && r.title.matches("ump ").count() == 1, "{}", r.title);
        let most = si(r, "pumps.0.most").expect("a pump");
        let parts: f64 = (0..d.edges.len()).filter_map(|k| si(r, &format!("edges.{k}.flow"))).sum();
        assert!(parts <= most && parts >= 2.0 * l_h(900.0), "{}", r.title);
    }
}

fn repairs_of(d: &Document) -> Vec<Tried> {
    report::report(d, Words::default()).expect("checks").repairs
}

fn si(t: &Repair, path: &str) -> Option<f64> {
    let e = t.edits.iter().find(|e| e.path == path)?;
    if let EditValue::Si(x) = e.to { Some(x) } else { None }
}

/// Salt stands first, also where the level does not show it: ten times 3 mg/L of nitrite nitrogen, as nitrite, are 99 mg/L of chloride (SRAC 462).
/// Water is changed a third at a time: four thirds leave 16/81 of it. Chloride goes out with the nitrite that it holds off and stays ten times as
/// much of it as of nitrite, so no more salt goes in than a test asks.
#[test]
fn nitrite_is_held_off_by_salt_and_changed_in_thirds() {
    let water = |chloride: f64, nitrite: f64| {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let i = &mut d.ammonia[0].0;
        (i.chloride, i.nitrite) = (CONCENTRATION.of(mg_l(chloride)), CONCENTRATION.of(mg_l(nitrite)));
        // Lettuce is harmed by salt, and gets it last.
        d.beds[0].bed.crop = crate::catalog::crops::CROPS.iter().find(|c| c.id == "chard").expect("there");
        repairs_of(&d)
    };
    let all = water(60.0, 3.0);
    let salt = &all[0].repair;
    assert!(salt.title.contains("of plain salt, dissolved") && salt.edits.len() == 1, "{salt:?}");
    assert!(si(salt, CHLORIDE).is_some_and(|x| x >= mg_l(99.0)), "{salt:?}");
    assert!(salt.effect.starts_with("Chloride then holds") && salt.effect.contains("Still over: nitrite"), "{salt:?}");
    let change = &all.iter().find(|t| t.whole).expect("one").repair;
    assert!(
        change.title.starts_with(&salt.title)
            && change.title.contains("L, 4 times in all, a test after each, and salt by it"),
        "{change:?}"
    );
    let [of, nitrite] = [CHLORIDE, NITRITE].map(|p| si(change, p).expect("read"));
    assert!(of < mg_l(60.0) && of >= 10.0 * 3.284 * nitrite, "{change:?}");
    let left = si(change, NITRITE).expect("less") / mg_l(3.0);
    assert!((left * 81.0 / 16.0 - 1.0).abs() < 0.005 && change.effect.contains("59\u{202f}%"), "{left} {change:?}");
    // Where salt is enough, the water need not be changed for it; who cannot give any changes more of it.
    let all = water(5.0, 0.8);
    assert!(all[0].whole && all[0].repair.title.contains("of plain salt, dissolved"), "{all:#?}");
    let change = &all.iter().find(|t| si(&t.repair, NITRITE).is_some()).expect("one").repair;
    assert!(change.title.starts_with("Change a third") && !change.title.contains("salt"), "{change:?}");
    assert!(si(change, NITRITE).is_some_and(|x| (x / mg_l(0.8) / (2.0f64 / 3.0).powi(5) - 1.0).abs() < 0.005));
    // Chloride that nobody puts back goes out as well, but for what is in new water.
    let all = water(330.0, 2.0);
    let change = &all.iter().find(|t| si(&t.repair, NITRITE).is_some()).expect("one").repair;
    let left = si(change, NITRITE).expect("less") / mg_l(2.0);
    let chloride = si(change, CHLORIDE).expect("less") / mg_l(1.0);
    assert!((chloride - 30.0 - 300.0 * left).abs() < 1.0 && left < 0.45, "{change:?}");
}

/// 1.5 mg/L of ammonia nitrogen, a third of what is borne at pH 7.2, is deadly at 8.8: the pH is the cause, and is said to be.
#[test]
fn a_high_ph_is_named_as_the_cause() {
    let water = |tan: f64, ph: f64| {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let i = &mut d.ammonia[0].0;
        (i.tan, i.ph) = (CONCENTRATION.of(mg_l(tan)), RATIO.of(ph));
        repairs_of(&d)
    };
    let ph = |t: &Tried| si(&t.repair, "ammonia.0.ph").is_some();
    let all = water(0.6, 8.8);
    let change = all.iter().position(|t| t.repair.title.starts_with("Change")).expect("a change");
    let lower = all.iter().position(ph).expect("a pH");
    // New water acts at once.
    assert!(change < lower && all[change].repair.also.as_ref().is_some_and(|a| a.contains(BY_PH.0)), "{all:#?}");
    let lower = &all[lower].repair;
    assert!(lower.title.starts_with("Find what lifts the pH to 8.8") && lower.title.contains("0.3 a day"), "{lower:?}");
    assert!(si(lower, "ammonia.0.ph").is_some_and(|x| (7.0..8.3).contains(&x)), "{lower:?}");
    // Where there is so much ammonia that it kills at any pH, that is the cause.
    assert!(!water(30.0, 8.2).iter().any(ph));
}

/// So is water that is too salty: two thirds of two thirds are left of it, and as little again, for lettuce bears less than the fish.
#[test]
fn salty_water_is_changed_in_thirds() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.tanks[0].oxygen.salinity = SALINITY.of(12.0);
    let all = repairs_of(&d);
    let change = &all.iter().find(|t| t.repair.title.contains("free of salt")).expect("one").repair;
    assert!(change.title.contains("a third of the water at a time") && change.title.contains("4 times"), "{change:?}");
    let left = si(change, "tanks.0.oxygen.salinity").expect("less") / 12.0;
    assert!((left * 81.0 / 16.0 - 1.0).abs() < 0.005, "{change:?}");
}

/// Who feeds by a table weighs out a part of what that gives today, and as much less in other water: it is said so.
#[test]
fn feed_is_weighed_less_in_any_water() {
    let d = demo::by_id("courtyard").expect("there").document();
    let lever = |d: &Document, k: usize| {
        let ways = super::super::flow::ways(d).expect("ways");
        let (layout, w) = (form::layout(&mut d.clone()), Words::default());
        let s = Search { d, ways: &ways, levels: &[], layout, w, shared: &RefCell::default() };
        let change = s.feed_less(0).map(|l| ((l.at)(k), l.also));
        change.map(|(c, also)| match c.edits[1].to {
            EditValue::Si(x) => (c.title, x, also),
            _ => panic!("{c:?}"),
        })
    };
    let today = check::fed_today(&d, 0).value;
    let (title, x, also) = lever(&d, 1).expect("less");
    assert!(
        title.contains("weigh out ") && title.contains(" instead of the ") && title.ends_with(" of today"),
        "{title}"
    );
    assert!(x < today && also == [AS_MUCH_LESS, GROW_LESS]);
    // Never less than half of it, in any water.
    let (_, x, _) = lever(&d, FINE).expect("less");
    assert!((x / today - 0.5).abs() < 1e-9);
    let mut half = d.clone();
    (half.tanks[0].oxygen.feed_by, half.tanks[0].oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(x));
    let hot = |d: &Document| check::solve(d, Day::Hottest).expect("solves").feed.value;
    assert!((hot(&half) / hot(&d) - 0.5).abs() < 1e-9);
    // What is weighed already is only less.
    let mut weighed = d.clone();
    (weighed.tanks[0].oxygen.feed_by, weighed.tanks[0].oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(today));
    let (title, x, also) = lever(&weighed, 1).expect("less");
    assert!(title.starts_with("Trough: feed ") && x < today && also == [GROW_LESS], "{title}");
    // In water so cold that they eat nothing today there is nothing to weigh less of.
    let mut cold = d.clone();
    cold.water.today = TEMPERATURE.of(celsius(8.0));
    assert!(check::fed_today(&cold, 0).value == 0.0 && lever(&cold, 1).is_none());
}

/// Of much that is still over the first are named, and how many more there are.
#[test]
fn what_is_still_over_is_no_long_list() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let a = &mut d.ammonia[0].0;
    (a.tan, a.nitrite) = (CONCENTRATION.of(mg_l(6.0)), CONCENTRATION.of(mg_l(5.0)));
    let o = &mut d.tanks[0].oxygen;
    o.fish[0].count *= 5.0;
    o.fish[0].biomass *= 5.0;
    let over = |d: &Document| {
        let all = report::levels(d).expect("solves").into_iter();
        all.filter(|l| l.level.state() == State::Over).collect::<Vec<_>>()
    };
    let (was, mut long) = (over(&d), 0);
    for t in repairs_of(&d).into_iter().map(|t| t.repair) {
        let mut fixed = d.clone();
        assert!(t.edits.iter().all(|e| form::apply(&mut fixed, e)));
        let still = over(&fixed).iter().filter(|l| was.iter().any(|b| b.is(l))).count();
        let Some((_, said)) = t.effect.split_once("Still over: ") else { continue };
        if still > NAMED {
            assert!(said.ends_with(&format!(" and {} more.", still - NAMED)), "{still}: {said}");
            assert!(said.matches(", ").count() == NAMED - 1, "{said}");
            long += 1;
        }
    }
    assert!(long > 0, "nothing leaves many over");
}

/// Twelve times the ration by a slip: what they do not eat rots, and to weigh out what they do is one step, not a share of the slip.
#[test]
fn what_they_do_not_eat_is_not_weighed_out() {
    for id in ["courtyard", "enlarged"] {
        let mut d = demo::by_id(id).expect("there").document();
        d.water.hottest = d.water.today;
        let eaten: Vec<f64> = d.tanks.iter().map(|t| check::by_table(&t.oxygen.fish, d.water.today)).collect();
        let fed = |times: f64| {
            let mut d = d.clone();
            for (t, eaten) in d.tanks.iter_mut().zip(&eaten) {
                (t.oxygen.feed_by, t.oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(times * eaten));
            }
            report::report(&d, Words::default()).expect("checks")
        };
        let rots = |r: &report::Report| r.cautions.iter().filter(|c| c.text.ends_with("the rest rots.")).count();
        assert_eq!((rots(&fed(1.25)), rots(&fed(12.0))), (0, d.tanks.len()), "{id}");
        let r = fed(12.0);
        let all: Vec<_> = r.repairs.iter().filter(|t| t.repair.title.contains(": feed ")).collect();
        assert!(!all.is_empty(), "{id}: {:#?}", r.repairs);
        // No blower for what they do not eat: air comes with less feed, and that stands first.
        assert!(r.repairs[0].repair.title.contains(": feed "), "{id}: {:#?}", r.repairs);
        let airs = |t: &&Tried| t.repair.edits.iter().any(|e| e.path.ends_with(".air_flow"));
        for t in r.repairs.iter().filter(airs) {
            assert!(t.repair.edits.iter().any(|e| e.path.ends_with(".feed")), "{id}: {}", t.repair.title);
        }
        for t in all {
            assert!(t.repair.also.as_ref().is_some_and(|a| a.contains(ROTS.0) && !a.contains(GROW_LESS.0)), "{t:?}");
            for (i, eaten) in eaten.iter().enumerate() {
                let to = si(&t.repair, &format!("tanks.{i}.oxygen.feed")).expect("of every tank");
                assert!((to / eaten - 1.0).abs() < 0.005, "{id}: {to} {eaten}");
            }
        }
        // Of plants that are too few too, and of the filter.
        for (t, eaten) in d.tanks.iter_mut().zip(&eaten) {
            (t.oxygen.feed_by, t.oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(12.0 * eaten));
        }
        let (ways, day) = (super::super::flow::ways(&d).expect("ways"), check::solve(&d, Day::Today));
        let (layout, w) = (form::layout(&mut d.clone()), Words::default());
        let s = Search { d: &d, ways: &ways, levels: &[], layout, w, shared: &RefCell::default() };
        let day = day.expect("solves");
        for l in r.levels.iter().filter(|l| matches!(l.level.id.as_ref(), "bed" | "filter")) {
            let fed = |lever: &Lever<'_>| (lever.at)(1).title.contains(": feed ");
            assert!(s.levers(l, &day).iter().any(fed), "{id}: {}", l.level.name);
        }
    }
}

/// Where it is too cold or too hot to feed them all year, all that is weighed out rots, and the repair is to feed nothing.
#[test]
fn what_is_not_eaten_at_all_is_not_fed() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let fish = d.tanks[0].oxygen.fish[0].species;
    (d.tanks[0].oxygen.feed_by, d.tanks[0].oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(g_day(600.0)));
    for t in [fish.stops_below().value - 1.0, fish.stops_above().value + 0.5] {
        let t = TEMPERATURE.of(t);
        (d.water.today, d.water.coldest, d.water.hottest) = (t, t, t);
        let r = report::report(&d, Words::default()).expect("checks");
        let said = |of: &str| r.cautions.iter().any(|c| c.text.contains(of));
        assert!(said("they eat nothing: what is fed rots.") && !said("they eat about"), "{t:?}");
        let feed: Vec<_> = r.repairs.iter().filter(|t| t.repair.title.contains(": feed ")).collect();
        let nothing = |t: &&Tried| t.repair.title.contains("feed nothing instead of 600");
        assert!(!feed.is_empty() && feed.iter().all(nothing), "{:#?}", r.repairs);
    }
}

/// Three tanks in a row, of which the last lacks nothing: no air is put into that, and the two others get what each of them lacks.
#[test]
fn each_tank_gets_the_air_that_it_lacks() {
    for fresh in [false, true] {
        let mut d = check::tests::pair();
        let mut third = d.tanks[1].clone();
        (third.id, third.name) = ("third".into(), "Third".into());
        d.tanks.push(third);
        let k = d.edges.iter().position(|e| e.from == "low").expect("an edge");
        let on = std::mem::replace(&mut d.edges[k].to, "third".into());
        d.edges.push(Edge { from: "third".into(), to: on, ..Edge::default() });
        for (t, air, fish) in [(0, 20.0, 1.0), (1, 12.0, 1.4), (2, 60.0, 0.2)] {
            let o = &mut d.tanks[t].oxygen;
            (o.air.mode, o.air.flow) = (AirMode::Stones, AIR_FLOW.of(l_min(air)));
            for g in &mut o.fish {
                g.count = COUNT.of((g.count.value * fish).floor());
                g.biomass = g.mass * g.count.value;
            }
        }
        if fresh {
            d.tanks[1].oxygen.air.mode = AirMode::None;
        }
        let r = report::report(&d, Words::default()).expect("checks");
        let of = |t: usize| format!("tanks.{t}.oxygen.air_flow");
        let sets = |t: &Tried, n: usize| t.repair.edits.iter().any(|e| e.path == of(n));
        assert!(r.repairs.iter().all(|t| !sets(t, 2)), "{:#?}", r.repairs);
        let both: Vec<_> = r.repairs.iter().filter(|t| sets(t, 0) && sets(t, 1)).collect();
        assert!(!both.is_empty(), "{:#?}", r.repairs);
        // Before any fish are taken out, in whichever tank they lack it.
        let at = |of: &dyn Fn(&Tried) -> bool| r.repairs.iter().position(of);
        let nets = at(&|t| t.repair.edits.iter().any(|e| e.path.contains(".fish.")));
        assert!(nets.is_none_or(|n| at(&|t| sets(t, 0) && sets(t, 1)).is_some_and(|a| a < n)), "{:#?}", r.repairs);
        for t in both {
            let mut after = d.clone();
            assert!(t.repair.edits.iter().all(|e| form::apply(&mut after, e)));
            let all = report::levels(&after).expect("solves");
            let full = all.iter().filter(|l| l.level.id == "oxygen" && l.station < 2).map(|l| l.level.fullness());
            let full: Vec<f64> = full.collect();
            assert!(full.iter().all(|x| (0.55..0.82).contains(x)), "{}: {full:?}", t.repair.title);
        }
    }
}

/// Fish before a filter without age: what is fed until it is ripe comes before waiting for it, as the water test's own page has it.
#[test]
fn fish_before_a_new_filter_do_not_wait_for_it() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.water.filter_age = DAYS.of(0.0);
    for (tan, first) in [(0.8, "Feed nothing for now"), (0.05, "Feed ")] {
        (d.ammonia[0].0.tan, d.ammonia[0].0.nitrite) = (CONCENTRATION.of(mg_l(tan)), CONCENTRATION.of(0.0));
        let r = report::report(&d, Words::default()).expect("checks");
        let at = |of: &str| r.repairs.iter().position(|t| t.repair.title.starts_with(of));
        let (feed, ripe) = (at(first).expect("what is fed"), at("Ripen the filter first").expect("waiting"));
        let t = &r.repairs[feed].repair;
        assert!(feed < ripe && t.title.ends_with(" for now, with a third of the water changed every day"), "{t:?}");
        assert!(r.verdict.contains(if tan > 0.5 { "Feed nothing" } else { "Feed no more than" }), "{}", r.verdict);
        // No more than the water bears alone.
        let mut after = d.clone();
        assert!(t.edits.iter().all(|e| form::apply(&mut after, e)));
        let today = check::solve(&after, Day::Today).expect("solves");
        assert!(today.ammonia.is_some_and(|a| a.made <= a.out.bears.0 * (ENOUGH + 0.01)));
    }
    // Where nobody has read a test the fish are still to come, and ripening is first.
    (d.ammonia[0].0.tan, d.ammonia[0].0.test_read) = (CONCENTRATION.of(0.0), form::YesNo::No);
    let all = repairs_of(&d);
    assert!(all.iter().all(|t| !t.repair.title.contains("for now")), "{all:#?}");
    assert!(all.iter().any(|t| t.repair.also.as_ref().is_some_and(|a| a.contains(WAIT.0))), "{all:#?}");
}

/// Air acts in minutes, and netting kills fish that gasp: air stands first, for every tank and for all at once, and no tank is without.
#[test]
fn fish_that_gasp_get_air_before_they_are_taken_out() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    for t in &mut d.tanks {
        let o = &mut t.oxygen;
        (o.air.mode, o.air.flow, o.fall) = (AirMode::Stones, AIR_FLOW.of(l_min(10.0)), Fall::None);
        o.fish[0].count = COUNT.of(60.0);
        o.fish[0].biomass = o.fish[0].mass * 60.0;
    }
    let r = report::report(&d, Words::default()).expect("checks");
    let gasp = |l: &&Checked| l.urgency() >= SUFFOCATE;
    assert!(r.levels.iter().filter(gasp).count() == 2, "{}", r.verdict);
    let sets = |t: &Tried, key: &str| t.repair.edits.iter().any(|e| e.path.contains(key));
    let first = |key: &str| r.repairs.iter().position(|t| sets(t, key));
    assert!(sets(&r.repairs[0], ".oxygen.air_flow"), "{:#?}", r.repairs[0]);
    assert!(first(".fish.").is_none_or(|fish| first("tanks.0.oxygen.air").is_some_and(|air| air < fish)));
    assert!(r.repairs.iter().any(|t| t.repair.title.starts_with("In each tank: air ")), "{:#?}", r.repairs);
    for i in 0..d.tanks.len() {
        assert!(first(&format!("tanks.{i}.oxygen.air")).is_some(), "tank {i}: {:#?}", r.repairs);
    }
}

/// Below their floor today, and at harvest alone too, air comes before fish are taken out; today the verdict says to put it in.
#[test]
fn air_comes_before_nets_wherever_fish_lack_oxygen() {
    let (mut today, mut later) = (false, false);
    for flow in 2..60 {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let o = &mut d.tanks[0].oxygen;
        (o.air.mode, o.air.flow, o.fall) = (AirMode::Stones, AIR_FLOW.of(l_min(f64::from(flow))), Fall::None);
        let levels = report::levels(&d).expect("checks");
        let l = levels.iter().find(|l| l.level.id == level::OXYGEN).expect("there");
        let (gasps, lacks) = (l.gasps() && l.urgency() < SUFFOCATE, l.lacks_oxygen() && !l.gasps());
        if (later || !lacks) && (today || !gasps) {
            continue;
        }
        let r = report::report(&d, Words::default()).expect("checks");
        let first = |key: &str| r.repairs.iter().position(|t| t.repair.edits.iter().any(|e| e.path.contains(key)));
        let air = first(".oxygen.air").expect("air is offered");
        assert!(first(".fish.").is_none_or(|fish| air < fish), "{flow}: {:#?}", r.repairs);
        assert!(!gasps || air == 0 && r.verdict.contains(" Put more air in now."), "{flow}: {}", r.verdict);
        (today, later) = (today || gasps, later || lacks);
    }
    assert!(today && later, "{today} {later}");
}

/// Water that is poisonous today is changed in vain while they are fed: that and the air are said first, and beside the change.
#[test]
fn nothing_is_fed_into_poison() {
    let of = |tan: f64, nitrite: f64| {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let a = &mut d.ammonia[0].0;
        (a.tan, a.nitrite) = (CONCENTRATION.of(mg_l(tan)), CONCENTRATION.of(mg_l(nitrite)));
        report::report(&d, Words::default()).expect("checks")
    };
    // At the pH that air brings so much ammonia would be poisonous: no more air is given.
    let (still, aired) = ("Feed nothing until the readings are down", "Feed nothing and give all the air there is");
    for (tan, nitrite, act) in [(6.0, 0.1, still), (0.2, 5.0, aired)] {
        let r = of(tan, nitrite);
        assert!(r.verdict.contains(act), "{}", r.verdict);
        for t in r.repairs.iter().filter(|t| t.repair.edits.iter().any(|e| e.path == NITRITE || e.path == CHLORIDE)) {
            assert!(t.repair.also.as_ref().is_some_and(|a| a.matches(act).count() == 1), "{:#?}", t.repair);
        }
        assert!(r.repairs.iter().any(|t| si(&t.repair, NITRITE).is_some()));
    }
    assert!(!of(0.2, 0.1).verdict.contains("Feed "), "good water");
}

/// More fish for a bed that is too large are none for water in which those there are suffocate.
#[test]
fn fish_that_suffocate_get_no_more_company() {
    let more = |d: &Document| {
        let fish = d.tanks[0].fish() + 0.5;
        repairs_of(d).iter().any(|t| si(&t.repair, "tanks.0.oxygen.fish.0.count").is_some_and(|x| x > fish))
    };
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.tanks[0].oxygen.fish[0].count = COUNT.of(12.0);
    assert!(more(&d), "too few for the bed");
    d.tanks[0].oxygen.air.mode = AirMode::None;
    d.tanks[0].oxygen.fall = Fall::None;
    d.edges[1].flow /= 8.0;
    assert!(
        report::levels(&d).expect("checks").iter().any(|l| l.level.id == "oxygen" && l.level.state() == State::Over)
    );
    assert!(!more(&d));
}

/// Winter and summer are mended apart: each goes on to where the fish live well inside, not to where the other is worse.
#[test]
fn cold_and_heat_are_mended_apart() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let tilapia = crate::catalog::species::SPECIES.iter().find(|s| s.id == "tilapia").expect("there");
    d.tanks[0].oxygen.fish[0].species = tilapia;
    d.water.coldest = TEMPERATURE.of(tilapia.dies_below().value - 1.0);
    d.water.hottest = TEMPERATURE.of(tilapia.stops_above().value + 0.5);
    let all = repairs_of(&d);
    let of =
        |path: &str| all.iter().find(|t| t.repair.edits.len() == 1 && t.repair.edits[0].path == path).expect("offered");
    let (cold, hot) = (&of("water.coldest").repair, &of("water.hottest").repair);
    let x = si(cold, "water.coldest").expect("warmer");
    assert!(x > tilapia.dies_below().value + 1.0, "{cold:?}");
    assert!(cold.effect.contains("in the coldest water: in range. Still over:"), "{cold:?}");
    assert!(cold.effect.contains("Trough in the hottest water"), "{cold:?}");
    assert!(hot.effect.contains("in the hottest water: in range. Still over:"), "{hot:?}");
    assert!(si(hot, "water.hottest").is_some_and(|x| x < tilapia.stops_above().value), "{hot:?}");
    // Both at once leave neither over.
    let both =
        all.iter().find(|t| si(&t.repair, "water.coldest").is_some() && si(&t.repair, "water.hottest").is_some());
    assert!(both.is_some_and(|t| t.whole || !t.repair.effect.contains("the water temperature in")), "{all:#?}");
}

/// Shade alone leaves the air of a spell that kills: what does not end that is no repair, cooler air is.
#[test]
fn a_room_too_hot_is_cooled() {
    let mut d = demo::by_id("classroom").expect("there").document();
    (d.heat[0].0.summer, d.heat[0].0.sun) = (TEMPERATURE.of(celsius(36.0)), POWER.of(400.0));
    let all = repairs_of(&d);
    let of: Vec<_> = all.iter().filter(|t| t.repair.level.id == "summer").collect();
    assert!(of.iter().all(|t| t.repair.level.state() != State::Over), "{of:#?}");
    assert!(of.iter().any(|t| si(&t.repair, "heat.0.summer").is_some_and(|x| x < celsius(36.0))), "{of:#?}");
}

/// Under the open sky the air of a hot spell is the weather's: no repair changes it. In a room it is offered once, as cool as any level wants it.
#[test]
fn nobody_cools_the_weather() {
    let mut d = demo::by_id("hill_trout").expect("there").document();
    let t = |c| TEMPERATURE.of(celsius(c));
    let sky = crate::calculators::heat::HeatIn {
        place: crate::calculators::heat::Place::Sky,
        night: t(5.0),
        heater: POWER.of(800.0),
        ..Default::default()
    };
    d.heat.push(crate::system::document::Heat(sky));
    d.water.altitude = LENGTH.of(523.0);
    let sets = |t: &Tried, only: bool| {
        let edits = &t.repair.edits;
        edits.iter().any(|e| e.path == SUMMER_AIR) && (!only || edits.len() == 1)
    };
    let all = repairs_of(&d);
    assert!(!all.is_empty() && !all.iter().any(|t| sets(t, false)), "{all:#?}");
    d.heat[0].0.place = crate::calculators::heat::Place::Room;
    d.heat[0].0.summer = t(27.0);
    let all = repairs_of(&d);
    assert_eq!(all.iter().filter(|t| sets(t, true)).count(), 1, "{all:#?}");
}

/// Three tanks alike want much; the outlet that the verdict is about is mended first, and nothing else is left without a repair.
#[test]
fn each_level_has_its_repair_before_another_has_two() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    d.pumps[0].curve.clear();
    d.pumps[0].most = FLOW.of(l_h(6000.0));
    for e in &mut d.edges {
        e.run.clear();
        if e.from == "pump" {
            e.flow = FLOW.of(l_h(if e.to == "trough" { 1000.0 } else { 1300.0 }));
        }
    }
    d.tanks[1].outlet.outlets = COUNT.of(4.0);
    let g = &mut d.tanks[1].oxygen.fish[0];
    (g.count, g.biomass) = (COUNT.of(40.0), g.mass * 40.0);
    for id in ["new2", "new3"] {
        let name = format!("New tank {id}");
        d.tanks.push(super::super::document::Tank { id: id.into(), name, ..d.tanks[1].clone() });
        let mut edges: Vec<_> = d.edges.iter().filter(|e| e.from == "new" || e.to == "new").cloned().collect();
        edges.iter_mut().for_each(|e| *if e.to == "new" { &mut e.to } else { &mut e.from } = id.into());
        d.edges.extend(edges);
    }
    d.beds[0].bed.area *= 5.0;
    let r = report::report(&d, Words::default()).expect("checks");
    let (subject, told) = (r.foremost().expect("one"), |id: &str| r.repairs.iter().any(|t| t.repair.level.id == id));
    assert!(subject.level.id == "outlet" && r.repairs.len() == TOLD, "{}", r.verdict);
    assert_eq!(r.repairs[0].repair.level.name, subject.level.name);
    let over = r.levels.iter().filter(|l| l.level.state() == State::Over);
    over.for_each(|l| assert!(told(&l.level.id), "nothing for {}", l.level.name));
}

/// What no fish feed wants no other bed, and nearly no fish are no repair.
#[test]
fn what_gives_a_system_up_is_no_repair() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let have = d.tanks[0].fish();
    let fewest = |d: &Document| {
        let all = repairs_of(d);
        let fish = |t: &Tried| {
            let edit = t.repair.edits.iter().find(|e| e.path.ends_with(".fish.0.count"))?;
            if let EditValue::Si(x) = edit.to { Some(x) } else { None }
        };
        all.iter().filter_map(fish).fold(f64::INFINITY, f64::min)
    };
    d.ammonia[0].0.media /= 50.0;
    assert!(fewest(&d) >= (have * LEAST_FISH).floor(), "{}", fewest(&d));
    d.tanks[0].oxygen.fish.clear();
    assert!(repairs_of(&d).iter().all(|t| t.repair.level.id != "bed"));
}

#[test]
fn what_goes_with_two_changes_is_said_once() {
    assert_eq!(all_of(&[], &[BATTERY]), [BATTERY]);
    assert_eq!(all_of(&[CLOG], &[]), [CLOG]);
    assert_eq!(all_of(&[CLOG], &[BATTERY]), [CLOG, BATTERY]);
    assert_eq!(all_of(&all_of(&[CLOG], &[BATTERY]), &[BATTERY, FINER]), [CLOG, BATTERY, FINER]);
}

/// A catch is said once, whatever else goes with a change: in water that is poisonous, with air that is a storm, where a repair is of several.
#[test]
fn a_catch_is_said_once() {
    let twice = |also: &str| {
        let all: Vec<&str> = also.split(". ").map(|s| s.trim_end_matches('.')).collect();
        (1..all.len()).any(|k| all[..k].contains(&all[k]))
    };
    let mut poisoned = demo::by_id("courtyard").expect("there").document();
    let o = &mut poisoned.tanks[0].oxygen;
    (o.fish[0].count, o.air.flow) = (COUNT.of(60.0), AIR_FLOW.of(2e-4));
    o.fish[0].biomass = o.fish[0].mass * 60.0;
    (poisoned.ammonia[0].0.tan, poisoned.ammonia[0].0.media) = (CONCENTRATION.of(mg_l(2.5)), VOLUME.of(2.0));
    poisoned.beds[0].bed.area = AREA.of(6.0);
    let mut salted = demo::by_id("hill_trout").expect("there").document();
    salted.ammonia[0].0.chloride = CONCENTRATION.of(0.0);
    // Much air in two tanks.
    let mut stormy = demo::by_id("enlarged").expect("there").document();
    for t in &mut stormy.tanks {
        let o = &mut t.oxygen;
        (o.air.mode, o.air.flow, o.fall) = (AirMode::Stones, AIR_FLOW.of(l_min(30.0)), Fall::None);
        o.fish[0].count = COUNT.of(150.0);
        o.fish[0].biomass = o.fish[0].mass * 150.0;
    }
    let storms = |also: &str| also.matches("a storm").count();
    let (mut poison, mut storm) = (0, 0);
    for d in [&poisoned, &salted, &stormy] {
        for t in repairs_of(d) {
            let also = t.repair.also.clone().unwrap_or_default();
            assert!(!twice(&also) && storms(&also) < 2, "{also}");
            poison += usize::from(also.contains("Feed nothing") && also.len() > 90);
            storm += usize::from(
                storms(&also) > 0 && t.repair.edits.iter().filter(|e| e.path.ends_with("air_flow")).count() > 1,
            );
        }
    }
    assert!(poison > 1 && storm > 0, "{poison} {storm}");
}

/// What is not eaten rots, and that hides no other catch of what is done with less feed: air wants a battery for the day the power fails.
#[test]
fn no_catch_is_lost_behind_another() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let o = &mut d.tanks[0].oxygen;
    (o.feed_by, o.feed) = (FeedBy::Weighed, FEED_RATE.of(g_day(3600.0)));
    o.fish[0].count = COUNT.of(60.0);
    o.fish[0].biomass = o.fish[0].mass * 60.0;
    let all = repairs_of(&d);
    let mut seen = [0, 0];
    for t in all.iter().map(|t| &t.repair).filter(|r| r.title.contains(": feed ")) {
        let says = |n: Note| t.also.as_ref().is_some_and(|a| a.contains(n.0));
        let sets = |key: &str| t.edits.iter().any(|e| e.path.ends_with(key));
        for (k, (key, note)) in [("air_flow", BATTERY), ("diffuser", FINER)].into_iter().enumerate() {
            assert!(says(ROTS) && (!sets(key) || says(note)), "{t:#?}");
            seen[k] += usize::from(sets(key));
        }
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?} {all:#?}");
    // Nor is the crop that salt harms, where the pH is the cause.
    let mut d = demo::by_id("courtyard").expect("there").document();
    let i = &mut d.ammonia[0].0;
    (i.tan, i.ph, i.nitrite, i.chloride) =
        (CONCENTRATION.of(mg_l(0.6)), RATIO.of(8.8), CONCENTRATION.of(mg_l(3.0)), CONCENTRATION.of(mg_l(30.0)));
    // Where salt harms what grows the water is changed without it.
    for (crop, note) in [("lettuce", &[TEST, BY_PH][..]), ("tomato", &[SALT_SHY, TEST, BY_PH])] {
        d.beds[0].bed.crop = crate::catalog::crops::CROPS.iter().find(|c| c.id == crop).expect("there");
        let (ways, day) = (flow::ways(&d).expect("ways"), check::solve(&d, Day::Today).expect("solves"));
        let (layout, w) = (form::layout(&mut d.clone()), Words::default());
        let s = Search { d: &d, ways: &ways, levels: &[], layout, w, shared: &RefCell::default() };
        let levels = report::levels(&d).expect("solves");
        let poison = levels.iter().find(|l| l.level.id == "unionised").expect("read");
        let levers = s.levers(poison, &day);
        let says: Vec<_> = levers.iter().map(|l| &l.also[..]).collect();
        assert!(says.contains(&note), "{crop} {says:?}");
    }
}

/// Nitrite in a lettuce raft: water is changed first, and salt is last, with what it harms; where nothing is harmed by it, salt is first.
#[test]
fn salt_is_last_where_it_harms_what_grows() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.ammonia[0].0.nitrite = CONCENTRATION.of(mg_l(5.0));
    for (crop, salt_first) in [("lettuce", false), ("tomato", true)] {
        d.beds[0].bed.crop = crate::catalog::crops::CROPS.iter().find(|c| c.id == crop).expect("there");
        let all = repairs_of(&d);
        let salt = |r: &Repair| r.edits.iter().any(|e| e.path == CHLORIDE) && r.title.contains("plain salt");
        let (first, last) = (&all[0].repair, &all[all.len() - 1].repair);
        assert_eq!(salt(first), salt_first, "{crop}: {}", first.title);
        if !salt_first {
            assert!(salt(last) && all.iter().filter(|t| salt(&t.repair)).count() == 1, "{}", last.title);
            assert!(last.also.as_ref().is_some_and(|a| a.contains("the lettuce in Raft")), "{last:?}");
            assert!(
                first.title.starts_with("Change a third") && first.edits.iter().any(|e| e.path == NITRITE),
                "{first:?}"
            );
        }
    }
}

/// Without a settler the solids are drawn off, before anything else: no raft is made larger for them.
#[test]
fn solids_are_drawn_off_first() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let (settler, raft) = (d.settlers[0].id.clone(), d.beds[0].id.clone());
    d.edges.retain(|e| e.from != settler);
    d.edges.iter_mut().filter(|e| e.to == settler).for_each(|e| e.to = raft.clone());
    d.settlers.clear();
    d.tanks[0].oxygen.solids = Solids::Settled;
    let all = repairs_of(&d);
    let of: Vec<_> = all.iter().map(|t| &t.repair).filter(|r| r.level.id == "solids").collect();
    let first = of.first().unwrap_or_else(|| panic!("{all:#?}"));
    assert!(first.title.contains("draw the solids off every day, best with a settler"), "{of:#?}");
    assert!(of.iter().all(|r| r.edits.iter().all(|e| !e.path.ends_with("bed.area"))), "{of:#?}");
}

/// What acid has stopped is no filter that is too small: buffer brings it back, no medium is bought and no fish are netted.
#[test]
fn acid_wants_buffer_and_no_medium() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    (d.ammonia[0].0.ph, d.ammonia[0].0.alkalinity) = (RATIO.of(5.8), CONCENTRATION.of(mg_l(20.0)));
    let all = repairs_of(&d);
    let of = |r: &&Tried| matches!(r.repair.level.id.as_ref(), "filter" | "ammonia");
    assert!(all.iter().any(|t| of(&t)), "{all:#?}");
    for t in all.iter().filter(of) {
        let sets = |what: &str| t.repair.edits.iter().any(|e| e.path.contains(what));
        assert!(sets("ammonia.0.ph") && !sets("media") && !sets(".fish."), "{t:#?}");
    }
    // Where the pH does not do it alone, the medium is counted at the pH that it is then at.
    d.ammonia[0].0.media *= 0.05;
    let all = repairs_of(&d);
    let mut larger = all.iter().filter(|t| t.repair.edits.iter().any(|e| e.path == "ammonia.0.media")).peekable();
    assert!(larger.peek().is_some(), "{all:#?}");
    assert!(larger.all(|t| t.repair.edits.iter().any(|e| e.path == "ammonia.0.ph")), "{all:#?}");
}

/// A capital behind a semicolon is a name's, whatever the stations are called.
#[test]
fn only_names_keep_their_capital() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    for name in ["A", ""] {
        d.tanks[0].name = name.into();
        let ways = flow::ways(&d).expect("ways");
        let (layout, w) = (form::layout(&mut d.clone()), Words::default());
        let s = Search { d: &d, ways: &ways, levels: &[], layout, w, shared: &RefCell::default() };
        assert_eq!(s.and("One", "A pump that can send 2"), "One; a pump that can send 2");
        assert_eq!(s.and("One", &format!("{name}: feed 3")), format!("One; {name}: feed 3"));
    }
}

/// A pH that nobody has read is no level of the page, and no repair says how full it is.
#[test]
fn what_the_page_does_not_tell_no_repair_tells() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let a = &mut d.ammonia[0].0;
    // At pH 8.9 catfish bear so little ammonia that, mended, what is carried to the filter is as full as the settler.
    (a.tan, a.nitrite, a.ph) = (CONCENTRATION.of(0.0), CONCENTRATION.of(0.0), RATIO.of(8.85));
    a.test_read = form::YesNo::No;
    d.settlers[0].settling.diameter *= 0.6;
    let r = report::report(&d, Words::default()).expect("checks");
    let day = check::solve(&d, Day::Today).expect("solves");
    let ph = day.levels.iter().find(|l| l.1.id == "ph").expect("a level");
    assert!(ph.1.state() != State::Over && ph.1.fullness() > ENOUGH && r.levels.iter().all(|l| l.level.id != "ph"));
    let whole = r.repairs.iter().filter(|t| t.whole).collect::<Vec<_>>();
    let says = |what: &str| whole.iter().any(|t| t.repair.effect.contains(what));
    assert!(says("Nothing is over; fullest then: ") && !says("pH"), "{:#?}", r.repairs);
}

/// Pipes of a settler are made wider, and lettuce in salt becomes a crop that bears it.
#[test]
fn narrow_settlers_and_salted_crops_are_mended() {
    let courtyard = demo::by_id("courtyard").expect("there").document();
    let repaired = |d: &Document, id: &str, way: &str| {
        let r = report::report(d, Words::default()).expect("checks");
        assert_eq!(r.foremost().map(|l| l.level.state()), Some(State::Over), "{}", r.verdict);
        let found = r.repairs.iter().find(|t| t.repair.level.id == id && t.repair.title.contains(way));
        let found = found
            .unwrap_or_else(|| panic!("{way}: {:#?}", r.repairs.iter().map(|t| &t.repair.title).collect::<Vec<_>>()));
        assert_eq!(found.repair.level.state(), State::Enough, "{}", found.repair.effect);
    };
    let mut d = courtyard.clone();
    (d.settlers[0].settling.inlet, d.settlers[0].settling.outlet) = (LENGTH.of(0.015), LENGTH.of(0.02));
    repaired(&d, "head", "bore of the inlet");
    let mut d = courtyard;
    d.tanks[0].oxygen.salinity = SALINITY.of(3.2);
    repaired(&d, "crop_salt", "instead of lettuce");
    repaired(&d, "crop_salt", "with water free of salt");
}
