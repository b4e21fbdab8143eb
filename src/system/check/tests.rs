use super::water::{FIRST, NEWEST, moving};
use super::*;
use crate::calculators::drain::Arrangement;
use crate::calculators::form::{self, Edit, EditValue, LayoutItem};
use crate::calculators::heat::HeatIn;
use crate::calculators::oxygen::FishBy;
use crate::catalog::choose::Choose;
use crate::catalog::pipes;
use crate::system::{demo, report};

/// What of a document does not move its water is left out of what the water is computed from; should anything be missing there that does
/// move it, the two differ.
#[test]
fn what_moves_the_water_is_all_that_does() {
    let mut moved = 0;
    for (name, d) in documents() {
        let ways = flow::ways(&d).expect("ways");
        let mut before = None;
        for day in Day::ALL {
            // How far a screen is blocked shows in what passes it; where there is none, nobody asks.
            let told = |d: &Document| {
                let m = moving(d, &ways).unwrap_or_else(|e| panic!("{name} {}: {e:?}", day.word()));
                let said = format!("blocked: , {m:?}");
                let parts = said.split("blocked: ").filter_map(|part| Some(part.split_once(", ")?.1));
                parts.collect::<String>()
            };
            let (whole, wet) = (told(&of_day(&d, day)), told(&water::WaterKey::of(&d, day).document()));
            assert!(whole == wet, "{name} {}", day.word());
            moved += usize::from(before.replace(whole.clone()).is_some_and(|before| before != whole));
        }
    }
    assert!(moved > 20, "{moved}: the days hardly differ, and prove nothing");
}

/// The demos and what other tests build: siphons over tanks, pumps in tanks, a tank below the sump, outlets on settlers and beds, all with screens
/// and several outlets somewhere, so that no day is like another.
pub(in crate::system) fn documents() -> Vec<(String, Document)> {
    let mut all: Vec<_> = demo::ALL.iter().map(|demo| (demo.id.to_string(), demo.document())).collect();
    let built =
        [("pair", pair()), ("two pumps", two_pumps()), ("siphon", siphon_over_tank()), ("in tank", pump_in_tank())];
    all.extend(built.into_iter().chain([("low", low_tank())]).map(|(name, d)| (name.into(), d)));
    for demo in demo::ALL {
        let mut d = demo.document();
        for s in &mut d.settlers {
            s.outlet = vec![WayOut::default()];
        }
        for b in &mut d.beds {
            b.outlet = vec![WayOut::default()];
        }
        for o in outlets_of(&mut d) {
            (o.screen, o.outlets) = (ScreenKind::Holes, COUNT.of(2.0));
        }
        all.push((format!("{} with ways out", demo.id), d));
    }
    all
}

/// Every outlet that is said.
fn outlets_of(d: &mut Document) -> Vec<&mut DrainIn> {
    let settlers = d.settlers.iter_mut().flat_map(|s| &mut s.outlet);
    let ways_out = settlers.chain(d.beds.iter_mut().flat_map(|b| &mut b.outlet)).map(|o| &mut o.0);
    d.tanks.iter_mut().map(|t| &mut t.outlet).chain(ways_out).collect()
}

/// A whole document whose today is a day of it, as far as its water goes.
fn of_day(d: &Document, day: Day) -> Document {
    let mut then = d.clone();
    then.water.today = temperature(d, day);
    for o in outlets_of(&mut then) {
        *o = DrainIn { temperature: o.temperature, ..outlet_on(d, o, o.flow, day) };
    }
    then
}

/// With one pipe taken away the set flows count, but no more of them than the pump gives at the height that is still known:
/// Q = Qm (1 − h/H0)^(1/2), worked by hand from the parabola.
#[test]
fn no_more_is_sent_than_the_known_lift_lets_by() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    let at = |d: &Document, to: &str| d.edges.iter().position(|e| e.from == "pump" && e.to == to).expect("a branch");
    let (open, known) = (at(&d, "trough"), at(&d, "new"));
    let c = &mut d.pumps[0].curve[0].0;
    (c.known, c.together) = (Default::default(), Default::default());
    (c.shut_off, c.free_flow, c.exponent) = (LENGTH.of(4.0), FLOW.of(l_h(3000.0)), RATIO.of(2.0));
    d.edges[open].run.clear();
    d.edges[known].run[0].0.lift = LENGTH.of(1.25);
    let set = |d: &mut Document, q: [f64; 2]| {
        (d.edges[open].flow, d.edges[known].flow) = (FLOW.of(l_h(q[0])), FLOW.of(l_h(q[1])));
    };
    set(&mut d, [2000.0, 1000.0]);
    let by_hand = 3000.0 * (1.0f64 - 1.25 / 4.0).sqrt();
    let s = solve(&d, Day::Today).expect("solves");
    assert!((s.flows.edges[open] / l_h(by_hand * 2.0 / 3.0) - 1.0).abs() < 1e-6, "{:?}", s.flows.edges);
    assert!((s.flows.edges[known] / l_h(by_hand / 3.0) - 1.0).abs() < 1e-6);
    let asked = s.levels.iter().map(|l| &l.1).find(|l| l.id == "pump").expect("a level").fullness();
    assert!((asked - 3000.0 / by_hand).abs() < 1e-6, "{asked}");
    // What is less than that is sent as it is set; a branch that is shut lifts nothing.
    set(&mut d, [1200.0, 1000.0]);
    assert!((solve(&d, Day::Today).expect("solves").flows.edges[open] / l_h(1200.0) - 1.0).abs() < 1e-9);
    set(&mut d, [2900.0, 0.0]);
    assert_eq!(d.can_lift(&d.pumps[0]), d.pumps[0].can_send());
    // Higher than it pushes, nothing comes, with one pipe known as with all.
    set(&mut d, [1200.0, 1000.0]);
    d.edges[known].run[0].0.lift = LENGTH.of(4.5);
    let fault = solve(&d, Day::Today).expect_err("too high").remove(0);
    assert!(fault.path == format!("edges.{known}.run.0.lift") && fault.fault.contains("lifts 4"), "{fault:?}");
}

/// Every number of every document a little off, every choice another and every list of parts one row shorter, one after another: what is computed for
/// another document is only used where it is the same.
#[test]
fn what_is_shared_changes_no_answer() {
    let mut asked = [0; 3];
    for (name, mut d) in documents() {
        let stations = d.clone();
        let ways = flow::ways(&stations).expect("ways");
        let mut shared = Shared::default();
        for (n, e) in form::layout(&mut d.clone()).into_iter().enumerate() {
            let (kind, to) = match e.item {
                LayoutItem::Num(spec, si) => {
                    let moved = if spec.kind.id == "temperature" { si + 1.0 } else { si * 1.04 };
                    (0, EditValue::Si(moved.min(spec.hard[1])))
                }
                LayoutItem::Choice(pick, at) => {
                    let Some(other) = pick.options().nth(if at == 0 { 1 } else { 0 }) else { continue };
                    (1, EditValue::Option(other.id.to_string()))
                }
                // Stations and edges stay as they are.
                LayoutItem::List(_, rows) if rows > 0 && e.path.contains('.') => (2, EditValue::Remove(rows - 1)),
                LayoutItem::List(list, rows) if rows > 0 && list.most == 1 => (2, EditValue::Remove(0)),
                _ => continue,
            };
            let before = d.clone();
            if e.path.starts_with("notes") || !form::apply(&mut d, &Edit { path: e.path.clone(), to }) {
                continue;
            }
            asked[kind] += 1;
            // Three of the days, others for the next field.
            for day in [0, 2, 3].map(|k| Day::ALL[(n + k) % Day::ALL.len()]) {
                let alone = solve_on(&d, &ways, day).map(|s| s.levels);
                let with = solve_with(&d, &ways, day, &mut shared).map(|s| s.levels);
                assert_eq!(alone, with, "{name}: {} on {}", e.path, day.word());
            }
            d = before;
        }
        assert!(shared.waters.len() <= FIRST + NEWEST && shared.heat.len() <= FIRST + NEWEST);
    }
    assert!(asked[0] > 1000 && asked[1] > 200 && asked[2] > 50, "{asked:?}");
}

/// A search asks for one level and solves no more for it: it is that of the whole.
#[test]
fn a_level_by_itself_is_that_of_the_whole() {
    let samples = [pair(), two_pumps(), siphon_over_tank(), pump_in_tank(), low_tank()];
    for d in demo::ALL.iter().map(|demo| demo.document()).chain(samples) {
        let ways = flow::ways(&d).expect("ways");
        let mut shared = Shared::default();
        for day in Day::ALL {
            let levels = solve_on(&d, &ways, day).expect("solves").levels;
            for (k, (station, level)) in levels.iter().enumerate() {
                let nth = levels[..k].iter().filter(|l| l.0 == *station && l.1.id == level.id).count();
                let alone = level_with(&d, &ways, day, &mut shared, (*station, &level.id, nth));
                assert_eq!(alone.as_ref(), Some(level), "{} on {}", level.name, day.word());
            }
        }
    }
}

fn demo_of(id: &str) -> Document {
    demo::by_id(id).expect("there").document()
}

/// Today's ration, weighed, is today's ration, and at harvest what the tables say of it; thinned fish get their part.
#[test]
fn weighed_feed_grows_with_the_fish() {
    let mut d = demo_of("hill_trout");
    d.tanks[0].harvest = SMALL_MASS.of(g(500.0));
    let fed = |d: &Document, day| solve(d, day).expect("solves").feed.value;
    let [today, hot, grown] = [Day::Today, Day::Hottest, Day::Harvest].map(|day| fed(&d, day));
    let tables = |d: &Document, day| solve(d, day).expect("solves").tanks[0].oxygen.demand_peak.value;
    let peak = tables(&d, Day::Harvest);
    assert!((fed_today(&d, 0).value / today - 1.0).abs() < 1e-12 && grown > hot);
    let o = &mut d.tanks[0].oxygen;
    (o.feed_by, o.feed) = (FeedBy::Weighed, FEED_RATE.of(today));
    assert!((fed(&d, Day::Today) / today - 1.0).abs() < 1e-12, "today it is what was weighed");
    assert!((fed(&d, Day::Harvest) / grown - 1.0).abs() < 1e-9 && (tables(&d, Day::Harvest) / peak - 1.0).abs() < 1e-9);
    let o = &d.tanks[0].oxygen;
    let mut half = o.fish.clone();
    half[0].count /= 2.0;
    assert!((weighed_for(o, &half, d.water.hottest) / o.feed).value - 0.5 < 1e-12);
    // In water so cold that tilapia eat nothing they do not grow: fewer get less, and fry no more than they get today.
    let (mut fry, cold) = (o.clone(), TEMPERATURE.of(celsius(16.0)));
    fry.fish = vec![FishGroup { by: FishBy::Number, mass: SMALL_MASS.of(g(2.0)), ..FishGroup::default() }];
    assert!(by_table(&fry.fish, cold) <= 0.0 && fry.fish[0].species.id == "tilapia");
    let to = |mass: f64, part: f64| {
        let f = &fry.fish[0];
        let fish = [FishGroup { mass: SMALL_MASS.of(g(mass)), count: f.count * part, ..f.clone() }];
        (weighed_for(&fry, &fish, cold) / fry.feed).value
    };
    assert!((to(2.0, 0.5) - 0.5).abs() < 1e-12 && to(450.0, 1.0) == 1.0);
}

/// What is weighed in spring is not what they are fed in summer: other water is fed as much of the tables' ration as today's, and half of it at least, for on less they
/// starve. What is weighed today is the least, so that what goes on into cold water is seen.
#[test]
fn weighed_feed_is_that_of_todays_water() {
    let mut d = demo_of("courtyard");
    let t = |c| TEMPERATURE.of(celsius(c));
    (d.water.today, d.water.hottest, d.water.coldest) = (t(15.0), t(27.0), t(9.0));
    let fed = |d: &Document, day| solve(d, day).expect("solves").feed.value;
    let table = |c: f64| by_table(&demo_of("courtyard").tanks[0].oxygen.fish, t(c));
    assert!(table(15.0) > 0.0 && table(27.0) > 2.0 * table(15.0));
    for (times, hot) in [(0.0, 0.5), (0.3, 0.5), (0.8, 0.8), (1.0, 1.0), (1.2, 1.2), (1.29, 1.29)] {
        let o = &mut d.tanks[0].oxygen;
        (o.feed_by, o.feed) = (FeedBy::Weighed, FEED_RATE.of(times * table(15.0)));
        let near = |is: f64, want: f64| assert!((is - want).abs() < 1e-9 * table(27.0), "{times}: {is} {want}");
        near(fed(&d, Day::Today), times * table(15.0));
        near(fed(&d, Day::Blocked), times * table(15.0));
        for day in [Day::Hottest, Day::Aged] {
            near(fed(&d, day), hot * table(27.0));
        }
        near(fed(&d, Day::Coldest), (times * table(15.0)).max(times.max(0.5) * table(9.0)));
    }
    // Where the tables give nothing today they say the rest.
    d.water.today = d.water.coldest;
    assert_eq!(table(9.0), 0.0);
    for feed in [0.0, table(27.0) / 10.0] {
        d.tanks[0].oxygen.feed = FEED_RATE.of(feed);
        assert!((fed(&d, Day::Hottest) / table(27.0) - 1.0).abs() < 1e-9 && fed(&d, Day::Coldest) == feed);
    }
}

/// A reading in cold water differs from the next by less than a meter is off: it makes no other day safe that the estimate does not.
#[test]
fn a_meters_error_makes_no_summer_safe() {
    let mut d = demo_of("hill_trout");
    let t = |c| TEMPERATURE.of(celsius(c));
    (d.water.today, d.water.hottest, d.water.coldest) = (t(7.0), t(17.0), t(4.0));
    let full = |d: &Document| named(&solve(d, Day::Harvest).expect("solves"), "oxygen").fullness();
    let unread = full(&d);
    assert!(unread > 1.2, "{unread}");
    let mut read = |c: f64| {
        let o = &mut d.tanks[0].oxygen;
        (o.reading, o.reading_oxygen) = (Reading::Dawn, CONCENTRATION.of(mg_l(c)));
        let kept = as_read(&d).into_owned();
        // The pump sends a little more in warm water, of which the reading is not.
        let [is, kept] = [&d, &kept].map(&full);
        assert!((is / kept - 1.0).abs() < 1e-2, "{c}: what is tried starts from the same: {is} {kept}");
        full(&d)
    };
    // It holds 10.5: what reads 10 and more is within a meter's error of that.
    for c in [9.9, 10.0, 10.1, 10.2, 10.3, 10.4, 10.5] {
        assert!((read(c) / unread - 1.0).abs() < 1e-6, "{c}: {} {unread}", read(c));
    }
    // One that is clearly worse than foretold counts, the more the worse, and never for less than the estimate.
    let all: Vec<f64> = [9.6, 9.5, 9.0, 8.5, 8.0].into_iter().map(&mut read).collect();
    assert!(all.windows(2).all(|w| w[1] >= w[0] - 1e-9) && all[0] >= unread - 1e-9 && all[2] > 1.2 * unread, "{all:?}");
}

/// All the water of a document is its own: what is measured where it comes in is today's at most, and no word of a spring makes the hottest day safe.
#[test]
fn what_is_pumped_round_does_not_come_from_elsewhere() {
    use crate::calculators::oxygen::{Filter, Inlet};
    let mut d = demo_of("courtyard");
    let t = |c| TEMPERATURE.of(celsius(c));
    (d.water.today, d.water.hottest, d.water.coldest) = (t(12.0), t(28.0), t(8.0));
    d.tanks[0].oxygen.air.flow = AIR_FLOW.of(l_min(25.0));
    let full = |d: &Document, day| named(&solve(d, day).expect("solves"), "oxygen").fullness();
    let other = [Day::Hottest, Day::Harvest, Day::Aged, Day::Coldest];
    let round = other.map(|day| full(&d, day));
    let looped = full(&d, Day::Today);
    d.tanks[0].oxygen.inlet = Inlet::Saturated;
    assert_eq!((other.map(|day| full(&d, day)), full(&d, Day::Today)), (round, looped));
    d.tanks[0].oxygen.inlet = Inlet::Given;
    let mut given = |c: f64| {
        d.tanks[0].oxygen.inlet_oxygen = CONCENTRATION.of(mg_l(c));
        assert_eq!(other.map(|day| full(&d, day)), round, "{c}");
        full(&d, Day::Today)
    };
    // Water of 12 °C holds 10.7 mg/L here.
    assert!(given(10.0) < looped && given(10.0) > given(20.0) && given(20.0) == given(11.0));
    // Nor does a filter that stands in the loop breathe nowhere.
    let mut d = demo_of("courtyard");
    d.tanks[0].oxygen.filter = Filter::Apart;
    let apart = full(&d, Day::Harvest);
    d.tanks[0].oxygen.filter = Filter::Without;
    assert_eq!(full(&d, Day::Harvest), apart);
    d.beds.clear();
    d.ammonia.clear();
    d.edges.retain(|e| e.from != "raft");
    d.edges.iter_mut().filter(|e| e.to == "raft").for_each(|e| e.to = "sump".into());
    let none = full(&d, Day::Harvest);
    d.tanks[0].oxygen.filter = Filter::SameWater;
    assert!(none < full(&d, Day::Harvest), "where there is none, there is none");
}

/// Fish that do not winter sicken in long spells of water in which they do not feed: that is no good coldest water; and a hair above where all die it
/// is over, before any bed (Hofer et al.: of Nile tilapia a quarter died of a day at 14 °C, all of one at 12).
#[test]
fn cold_that_only_winterers_bear_is_tight() {
    let mut d = demo_of("courtyard");
    let mut state = |id: &str, c: f64| {
        d.water.coldest = TEMPERATURE.of(celsius(c));
        d.tanks[0].oxygen.fish[0].species = Species::by_id(id).expect("a fish");
        named(&solve(&d, Day::Coldest).expect("solves"), "warmth").state()
    };
    for (id, c) in [("barramundi", 16.5), ("jade_perch", 15.5), ("tilapia", 14.5), ("blue_tilapia", 12.5)] {
        assert_eq!(state(id, c), State::Tight, "{id} {c}");
    }
    let close =
        [("tilapia", 13.0), ("tilapia", 12.0), ("jade_perch", 14.0), ("barramundi", 13.0), ("blue_tilapia", 11.0)];
    for (id, c) in close.into_iter().chain([("barramundi", 12.0)]) {
        assert_eq!(state(id, c), State::Over, "{id} {c}");
    }
    for (id, c) in [("barramundi", 20.5), ("tilapia", 18.0), ("catfish", 8.0), ("carp", 5.0), ("trout", 5.0)] {
        assert_eq!(state(id, c), State::Enough, "{id} {c}");
    }
}

#[test]
fn a_hair_above_death_in_the_cold_leads_the_verdict() {
    let mut d = demo_of("courtyard");
    d.water.coldest = TEMPERATURE.of(celsius(13.0));
    d.tanks[0].oxygen.fish[0].species = Species::by_id("tilapia").expect("a fish");
    d.beds[0].bed.area = AREA.of(30.0);
    let r = report::report(&d, Words::default()).expect("checks");
    assert!(
        r.verdict.starts_with("Water temperature in Trough is over in the coldest water: so cold that many"),
        "{}",
        r.verdict
    );
    let said = |c: &crate::calculators::outcome::Caution| {
        c.text.contains("do not winter") && c.text.contains("14\u{202f}°C many die")
    };
    assert!(r.cautions.iter().any(said), "{:#?}", r.cautions);
    d.water.coldest = TEMPERATURE.of(celsius(17.5));
    let r = report::report(&d, Words::default()).expect("checks");
    assert!(!r.cautions.iter().any(|c| c.text.contains("do not winter")));
}

/// Nothing that fish grow to is refused as if it had been typed: what is weighed out ends at the end of its range, and too much fish is a fault of
/// the harvest.
#[test]
fn what_nobody_typed_is_not_refused() {
    let mut d = demo_of("courtyard");
    let (t, most) = (&mut d.tanks[0], FEED_RATE.of(g_day(90_000.0)));
    (t.oxygen.feed_by, t.oxygen.feed, t.harvest) = (FeedBy::Weighed, most, SMALL_MASS.of(g(450.0)));
    let f = &mut t.oxygen.fish[0];
    (f.by, f.count, f.mass) = (FishBy::Number, COUNT.of(1000.0), SMALL_MASS.of(g(2.0)));
    let fed = solve(&d, Day::Harvest).expect("solves").feed;
    assert!(fed > most && fed < FEED_RATE.of(g_day(100_001.0)), "{fed:?}");
    let f = &mut d.tanks[0].oxygen.fish[0];
    (f.by, f.biomass, f.mass) = (FishBy::Weight, MASS.of(400.0), SMALL_MASS.of(g(20.0)));
    let faults = solve(&d, Day::Harvest).expect_err("9 t of fish");
    assert!(faults.iter().all(|e| e.path == "tanks.0.harvest" && e.fault.starts_with("at harvest 9")), "{faults:?}");
}

/// The courtyard with a lower tank behind the trough, both rims level and a flooded pipe between them.
pub(in crate::system) fn pair() -> Document {
    let mut d = demo_of("courtyard");
    let mut low = d.tanks[0].clone();
    (low.id, low.name) = ("low".into(), "Lower".into());
    low.outlet.arrangement = Arrangement::Wall;
    low.outlet.pipe = pipes::by_id("pvc_40").expect("a pipe");
    let o = &mut d.tanks[0].outlet;
    (o.arrangement, o.pipe_depth, o.tail_depth) =
        (Arrangement::Flooded, SHORT_LENGTH.of(mm(300.0)), SHORT_LENGTH.of(mm(140.0)));
    d.tanks.push(low);
    let k = d.edges.iter().position(|e| e.from == "trough").expect("an edge");
    let on = std::mem::replace(&mut d.edges[k].to, "low".into());
    d.edges.push(Edge { from: "low".into(), to: on, ..Edge::default() });
    d
}

/// The two tanks of the enlarged demo, each on a pump of its own that is set by hand: the first a weak one.
pub(in crate::system) fn two_pumps() -> Document {
    let mut d = demo_of("enlarged");
    d.pumps[0].curve.clear();
    d.edges.iter_mut().for_each(|e| e.run.clear());
    let p2 = Pump { id: "p2".into(), name: "P2".into(), ..d.pumps[0].clone() };
    d.pumps.push(p2);
    (d.pumps[0].most, d.pumps[1].most) = (FLOW.of(l_h(900.0)), FLOW.of(l_h(9000.0)));
    for e in d.edges.iter_mut().filter(|e| e.from == "pump") {
        let new = e.to == "new";
        e.flow = FLOW.of(l_h(if new { 700.0 } else { 850.0 }));
        e.from = if new { "p2".into() } else { e.from.clone() };
    }
    d.edges.push(Edge { from: "sump".into(), to: "p2".into(), ..Edge::default() });
    let o = &mut d.tanks[1].outlet;
    (o.pipe, o.outlets) = (pipes::by_id("pvc_90").expect("a pipe"), COUNT.of(8.0));
    d
}

/// With the lower tank at its rim the water stands at the upper one's: that is a spill to be told, and no fault of what was typed.
#[test]
fn a_lower_tank_at_its_rim_is_checked() {
    let mut d = pair();
    d.pumps[0].most = FLOW.of(l_h(6000.0));
    let s = solve(&d, Day::Today).expect("solves");
    let over = |l: &&(usize, Level)| l.1.id == "outlet" && l.1.state() == State::Over;
    assert_eq!(s.levels.iter().filter(over).count(), 2, "{:#?}", s.levels);
    assert!(s.tanks[0].outlet.capacity <= s.tanks[1].outlet.capacity * 1.01);
}

/// A raft and a settler with outlets that are said: each is asked what the drain's own page says of it, and the sump has to hold what stands over
/// them, which is surface times rise.
#[test]
fn what_stands_at_the_outlet_of_a_bed_comes_out_of_the_sump() {
    let plain = demo_of("courtyard");
    let mut d = plain.clone();
    d.settlers[0].settling.count = COUNT.of(2.0);
    let two = d.clone();
    let pipe = pipes::by_id("pvc_75").expect("a pipe");
    let of = |surface| DrainIn { pipe, surface, ..WayOut::default().0 };
    d.settlers[0].outlet = vec![WayOut(of(AREA.of(1.0)))];
    d.beds[0].outlet = vec![WayOut(of(AREA.of(1.0)))];
    let (s, was) = (solve(&d, Day::Today).expect("solves"), solve(&two, Day::Today).expect("solves"));
    let ways = flow::ways(&plain).expect("ways");
    let place = |kind| ways.place(kind, 0);
    let none = |s: &Solved, station| s.levels.iter().any(|l| l.0 == station && l.1.id == "outlet");
    assert!(!none(&was, place(StationKind::Settler)) && was.ways_out.is_empty());
    let mut held = 0.0;
    let disc = std::f64::consts::FRAC_PI_4 * d.settlers[0].settling.diameter.value.powi(2);
    for (kind, alike, surface) in [(StationKind::Settler, 2.0, disc), (StationKind::Bed, 1.0, d.beds[0].bed.area.value)]
    {
        let station = place(kind);
        let alone = |q: f64| {
            let own = DrainIn { flow: FLOW.of(q / alike), temperature: d.water.today, ..of(AREA.of(surface)) };
            calculators::solve::<Drain>(&own, &mut Working::none()).expect("solves")
        };
        let (most, now) = (alone(s.flows.most[station]), alone(s.flows.through[station]));
        let level = s.levels.iter().find(|l| l.0 == station && l.1.id == "outlet").map(|l| l.1.clone());
        let asked = Drain::level(&most).expect("a level");
        assert_eq!(level.map(|l| (l.demand, l.brim)), Some((asked.demand, asked.brim)));
        let o = s.way_out(kind, 0).expect("solved");
        assert!((o.rise - (now.stand.level - now.still)).value.abs() < 1e-9 && o.rise.value > 0.0);
        // A pump that is set by hand may one day send all it can.
        held += surface * alike * (most.stand.level - most.still).value;
    }
    let demand = |s: &Solved| s.levels.iter().find(|l| l.1.id == "dry").expect("a sump").1.demand.high;
    assert!((demand(&s) - demand(&was) - held).abs() < 1e-9, "{} {} {held}", demand(&s), demand(&was));
    // A pipe that is too narrow for what may come is over, and a wider one is what mends it.
    d.beds[0].outlet[0].0.pipe = pipes::by_id("pvc_32").expect("a pipe");
    let sump = &mut d.sumps[0].levels[0].0;
    sump.volume *= 4.0;
    let report = super::super::report::report(&d, crate::units::Words::default()).expect("checks");
    assert!(report.verdict.contains("outlet of Raft spills"), "{}", report.verdict);
    let wider = |r: &&super::super::repairs::Tried| r.repair.edits.iter().any(|e| e.path == "beds.0.outlet.0.pipe");
    let r = report.repairs.iter().find(wider).expect("a wider pipe");
    let mut mended = d.clone();
    assert!(r.repair.edits.iter().all(|e| form::apply(&mut mended, e)));
    let after = solve(&mended, Day::Today).expect("solves");
    let bed = after.levels.iter().find(|l| l.0 == place(StationKind::Bed) && l.1.id == "outlet").expect("there");
    assert_ne!(bed.1.state(), State::Over);
    // A siphon takes its place.
    let mut siphoned = demo_of("classroom");
    siphoned.beds[0].outlet = vec![WayOut::default()];
    assert!(solve(&siphoned, Day::Today).expect("solves").ways_out.is_empty());
}

/// A trough into a lower tank whose outlet is narrow: what stands over that stands in the trough too, and is missing in the sump.
#[test]
fn the_lower_tank_backs_up_in_the_one_above() {
    let mut d = pair();
    let s = solve(&d, Day::Today).expect("solves");
    let alone = |tank: usize, flow, by: Length| {
        let inputs = outlet_of(&d, &d.tanks[tank], flow, Day::Today).backed(by);
        calculators::solve::<Drain>(&inputs, &mut Working::none()).expect("solves")
    };
    let none = LENGTH.of(0.0);
    let (trough, lower) = (&s.tanks[0], &s.tanks[1]);
    assert!(lower.rise.value > 0.04, "{:?}", lower.rise);
    assert_eq!((trough.backed[0], lower.backed), (lower.rise, [none; 2]));
    let (still, with) = (alone(0, trough.flow, none), alone(0, trough.flow, lower.rise));
    assert!((trough.rise - (with.stand.level - still.still)).value.abs() < 1e-9);
    assert!(trough.rise > lower.rise && trough.rise.value < lower.rise.value + 0.02, "{:?}", trough.rise);
    // It carries what brings it to its limit with the lower tank as high as that makes it, or that at its rim.
    let high = alone(1, trough.outlet.capacity, none);
    let high = high.stand.level.min(high.brim) - high.still;
    let at = alone(0, trough.outlet.capacity, high);
    assert!((at.stand.level - at.limit).value.abs() < 1e-3, "{at:?}");
    assert!(trough.outlet.capacity < still.capacity);
    // The sump gives what stands in both.
    let rows = &s.sumps[0].as_ref().expect("known").inputs.tanks;
    assert!(rows[1].rise.value > 0.04 && rows[0].rise >= rows[1].rise, "{rows:?}");
    // Without flow both stand at their outlets.
    d.edges.iter_mut().for_each(|e| e.flow *= 0.0);
    let s = solve(&d, Day::Today).expect("solves");
    assert_eq!((s.tanks[0].rise, s.tanks[1].rise), (none, none));
}

/// The lower tank's rim stands 60 mm over the upper one's, its hole 80 mm under that: once 80 mm stand over the hole, the upper tank spills, however
/// wide its pipe.
#[test]
fn a_lower_tank_with_a_higher_rim_spills_the_upper_one() {
    let mut d = pair();
    let short = |x| SHORT_LENGTH.of(mm(x));
    let upper = &mut d.tanks[0].outlet;
    (upper.pipe, upper.tail_depth, upper.freeboard) =
        (pipes::by_id("pvc_110").expect("a pipe"), short(80.0), short(0.0));
    let lower = &mut d.tanks[1].outlet;
    (lower.pipe, lower.hole_depth, lower.freeboard) =
        (pipes::by_id("pvc_25").expect("a pipe"), short(140.0), short(0.0));
    let s = solve(&d, Day::Today).expect("solves");
    let [upper, lower] = [0, 1].map(|t| s.tanks[t].outlet.capacity);
    let at_rim = solve_at::<Drain>(&outlet_of(&d, &d.tanks[1], upper, Day::Today), "").expect("solves");
    let rise = (at_rim.stand.level - at_rim.still).value;
    assert!((rise - mm(80.0)).abs() < mm(1.0), "{rise}");
    assert!(upper < lower * 0.9, "{upper:?} {lower:?}");
    let over = s.levels.iter().filter(|l| l.1.id == "outlet" && l.1.state() == State::Over).count();
    assert_eq!(over, 2, "{:#?}", s.levels);
    // Nothing is drawn dry that is not: at the most it stands over its rim.
    let through = outlet_of(&d, &d.tanks[0], lower, Day::Today).solve_backed(LENGTH.of(mm(140.0))).expect("solves");
    assert!(through.stand.level > through.brim);
}

/// An outlet that is far too small, and a return that ends under the water of its tank: the outlet is to blame, and is said to be.
#[test]
fn a_drain_that_is_far_too_small_is_checked() {
    for (demo, edge, tank, pipe) in [("hill_trout", 1, 0, "hose_12"), ("enlarged", 2, 1, "hose_16")] {
        let mut d = demo_of(demo);
        d.edges[edge].run[0].0.ends = pump::Ends::Under;
        d.tanks[tank].outlet.pipe = pipes::by_id(pipe).expect("a pipe");
        let s = solve(&d, Day::Today).unwrap_or_else(|e| panic!("{demo}: {e:?}"));
        let station = flow::ways(&d).expect("ways").place(StationKind::Tank, tank);
        let l = s.levels.iter().find(|l| l.0 == station && l.1.id == "outlet").expect("an outlet");
        assert!(l.1.fullness() > 5.0, "{:?}", l.1);
    }
}

/// What a throttled branch leaves goes through the pump's others, as it does where the valve is shut so far in the document; and the pump is on its curve.
#[test]
fn the_others_get_what_a_throttled_branch_leaves() {
    let d = demo_of("enlarged");
    let at = |d: &Document| solve(d, Day::Today).expect("solves");
    let on_its_curve = |s: &Solved| {
        let o = &s.pumps[0].as_ref().expect("solved").out;
        let all: f64 = s.tanks.iter().map(|t| t.flow.value).sum();
        assert!((o.pumps.flow(o.usual.head).value / all - 1.0).abs() < 1e-6, "{all} {o:?}");
    };
    let s = at(&d);
    on_its_curve(&s);
    assert!(s.tanks[1].throttled && !s.tanks[0].throttled);
    let (mut low, mut high) = (0.1, 1.0);
    let mut set = d.clone();
    for _ in 0..30 {
        let open = (low + high) / 2.0;
        set.edges[2].run[0].0.open = PERCENT.of(open);
        if at(&set).tanks[1].throttled { high = open } else { low = open }
    }
    set.edges[2].run[0].0.open = PERCENT.of(low);
    let by_valve = at(&set);
    for (t, v) in s.tanks.iter().zip(&by_valve.tanks) {
        assert!((t.flow / v.flow - RATIO.of(1.0)).value.abs() < 1e-4, "{:?} {:?}", t.flow, v.flow);
    }
    // Both at once.
    let mut both = d.clone();
    both.tanks[0].outlet.pipe = pipes::by_id("pvc_40").expect("a pipe");
    let s = at(&both);
    on_its_curve(&s);
    assert!(s.tanks.iter().all(|t| t.throttled && (t.flow.value / t.outlet.capacity.value - ENOUGH).abs() < 1e-6));
    // Where set flows count, the others keep what they are set to.
    let hand = supply::by_hand(&d);
    assert!((at(&hand).tanks[0].flow - hand.edges[1].flow).value.abs() < 1e-12);
}

/// The classroom with its bed before the tank, so that the siphon empties into that.
pub(in crate::system) fn siphon_over_tank() -> Document {
    let mut d = demo_of("classroom");
    let [bed, tank, sump, pump] = [&d.beds[0].id, &d.tanks[0].id, &d.sumps[0].id, &d.pumps[0].id].map(String::clone);
    let edge = |from: &str, to: &str| Edge { from: from.into(), to: to.into(), ..Edge::default() };
    let first = Edge { flow: FLOW.of(l_h(600.0)), ..edge(&pump, &bed) };
    d.edges = vec![edge(&sump, &pump), first, edge(&bed, &tank), edge(&tank, &sump)];
    d.pumps[0].curve.clear();
    d.pumps[0].most = FLOW.of(l_h(1800.0));
    d.beds[0].bed.area = AREA.of(1.2);
    let s = &mut d.beds[0].siphon[0].0;
    (s.length, s.width, s.pipe) = (LENGTH.of(1.2), LENGTH.of(1.0), pipes::by_id("pvc_40").expect("a pipe"));
    (s.bell, s.gap, s.slots) = (SHORT_LENGTH.of(mm(100.0)), SHORT_LENGTH.of(mm(20.0)), AREA.of(5e-3));
    d
}

/// Levels of an outlet at even steps of flow, for sums over time.
struct Rating(Vec<[f64; 2]>);

impl Rating {
    fn of(o: &DrainOut) -> Self {
        let at = |q: f64| [o.outlet.stand(FLOW.of(q / o.outlets)).level.value, q];
        Self((0..600).map(|k| at(l_h(20.0) * f64::from(k))).collect())
    }
    fn flow(&self, level: f64) -> f64 {
        let k = self.0.partition_point(|x| x[0] <= level).clamp(1, self.0.len() - 1);
        let ([a, p], [b, q]) = (self.0[k - 1], self.0[k]);
        (p + (q - p) * ((level - a) / (b - a).max(1e-12))).max(0.0)
    }
}

/// What the outlets of vessels one behind the other pass on at the most while a bed floods and drains above them: the sum over time, step by step.
fn stepped(inflow: f64, bed: &crate::science::siphon::Draining, vessels: &[(Rating, f64)]) -> Vec<f64> {
    let (c, step) = (bed.coefficient(), 0.1);
    let (mut head, mut runs) = (bed.low.value, false);
    let mut levels: Vec<f64> = vessels.iter().map(|v| v.0.0[0][0]).collect();
    let mut most = vec![0.0f64; vessels.len()];
    for _ in 0..80_000 {
        runs = if runs { head > bed.low.value } else { head >= bed.high.value };
        let mut comes = if runs { c * head.sqrt() } else { 0.0 };
        head += (inflow - comes) * step / bed.area.value;
        for ((level, (rating, area)), most) in levels.iter_mut().zip(vessels).zip(&mut most) {
            let goes = rating.flow(*level);
            *level += (comes - goes) * step / area;
            *most = most.max(goes);
            comes = goes;
        }
    }
    most
}

/// What an outlet below a siphon has to carry is no less than it comes to in the sum over time, and little more: there the siphon falls off as it drains.
#[test]
fn a_siphon_above_is_what_an_outlet_has_to_carry() {
    for (surface, drop) in [(0.1, 0.3), (0.5, 0.3), (0.5, 0.9), (2.0, 0.3), (12.0, 0.3)] {
        let mut d = siphon_over_tank();
        d.beds[0].siphon[0].0.drop = LENGTH.of(drop);
        d.tanks[0].outlet.surface = AREA.of(surface);
        let second = Tank { id: "second".into(), name: "Second".into(), ..d.tanks[0].clone() };
        d.tanks.push(second);
        d.tanks[1].outlet.surface = AREA.of(0.4);
        let sump = std::mem::replace(&mut d.edges[3].to, "second".into());
        d.edges.push(Edge { from: "second".into(), to: sump, ..Edge::default() });
        let s = solve(&d, Day::Today).expect("solves");
        let bed = s.siphons[0].as_ref().expect("a siphon").bed;
        let vessels = [0, 1].map(|t| (Rating::of(&s.tanks[t].outlet), d.tanks[t].outlet.surface.value));
        // At what flows and at all that the pump can send.
        let most = [600.0, 1000.0, 1800.0].map(|q| stepped(l_h(q), &bed, &vessels));
        for t in [0, 1] {
            let (asked, by_steps) = (s.tanks[t].most.value, most.iter().map(|m| m[t]).fold(0.0, f64::max));
            assert!(asked >= by_steps * 0.998, "{surface} m2, tank {t}: {asked} for {by_steps}");
            // The second is asked for the first one's most for as long as a whole swing would take at that: a bound, on the cautious side.
            let cautious = [1.15, 1.45][t];
            assert!(asked <= by_steps * cautious, "{surface} m2, tank {t}: {asked} for {by_steps}");
        }
        assert!(s.tanks[0].most.value <= bed.flow_high.value && s.tanks[0].most.value >= l_h(1800.0));
        // The sump takes it, and no outlet before the bed is asked.
        let ways = flow::ways(&d).expect("ways");
        assert!(s.surges[ways.place(StationKind::Sump, 0)] > 0.0);
    }
    let s = solve(&demo_of("classroom"), Day::Today).expect("solves");
    assert!(
        s.tanks[0].most
            == FLOW.of(s.flows.most[flow::ways(&demo_of("classroom")).expect("ways").place(StationKind::Tank, 0)])
    );
}

/// The tank below the siphon spills and is said to; every repair brings what it says, and one of them ends it.
#[test]
fn a_tank_that_a_siphon_floods_is_told() {
    let d = siphon_over_tank();
    let r = super::super::report::report(&d, Words::default()).expect("checks");
    let outlet = |levels: &[super::super::worst::Checked]| {
        levels.iter().find(|l| l.level.id == "outlet").expect("an outlet").level.clone()
    };
    assert_eq!(outlet(&r.levels).state(), State::Over);
    let bed = &d.beds[0].name;
    assert!(r.verdict.contains(&format!("spills while the siphon of {bed} runs")), "{}", r.verdict);
    assert!(!r.verdict.contains("valve"), "{}", r.verdict);
    let mut ended = 0;
    for t in r.repairs.iter().filter(|t| t.repair.level.id == "outlet") {
        let mut after = d.clone();
        assert!(t.repair.edits.iter().all(|e| form::apply(&mut after, e)));
        let level = outlet(&super::super::report::levels(&after).expect("solves"));
        assert!((level.fullness() - t.repair.level.fullness()).abs() < 1e-9, "{}", t.repair.title);
        ended += usize::from(level.state() != State::Over);
    }
    assert!(ended > 0, "{:#?}", r.repairs);
    // Nothing is throttled for it: the siphon would send no less.
    assert!(!solve(&d, Day::Today).expect("solves").tanks[0].throttled);
    // A second bed with a siphon takes it, and must not run over: its own pipe is far too narrow here.
    let mut two = siphon_over_tank();
    let mut low = Bed { id: "low".into(), name: "Low".into(), ..two.beds[0].clone() };
    low.siphon[0].0.overflow = form::YesNo::No;
    low.siphon[0].0.pipe = pipes::by_id("pvc_25").expect("a pipe");
    two.beds.push(low);
    let on = std::mem::replace(&mut two.edges[2].to, "low".into());
    two.edges.push(Edge { from: "low".into(), to: on, ..Edge::default() });
    let s = solve(&two, Day::Today).expect("solves");
    let rim = |b: usize| {
        let at = flow::ways(&two).expect("ways").place(StationKind::Bed, b);
        s.levels.iter().find(|l| l.0 == at && l.1.id == "bed_rim").expect("a rim").1.state()
    };
    assert!(rim(0) != State::Over && rim(1) == State::Over);
}

/// Before a top-up less comes: oxygen, ammonia and siphons are asked at that too, as with every pump set by hand to it.
#[test]
fn what_comes_before_a_top_up_counts() {
    let mut d = demo_of("enlarged");
    let l = &mut d.sumps[0].levels[0].0;
    (l.evaporation, l.days) = (DAILY_VOLUME.of(35e-3 / 86_400.0), DAYS.of(days(7.0)));
    d.tanks[0].oxygen.air.mode = crate::calculators::air::AirMode::None;
    d.tanks[0].oxygen.fish[0].count = COUNT.of(10.0);
    let s = solve(&d, Day::Today).expect("solves");
    let low = s.low.as_ref().expect("less comes");
    let station = flow::ways(&d).expect("ways").place(StationKind::Tank, 0);
    assert!(s.tanks[0].at_lowest_sump && low.flows.through[station] < s.flows.through[station] * 0.95);
    let mut hand = supply::by_hand(&d);
    hand.edges.iter_mut().zip(&low.flows.edges).for_each(|(e, q)| e.flow = FLOW.of(*q));
    let then = solve(&hand, Day::Today).expect("solves");
    let full =
        |s: &Solved, id: &str| s.levels.iter().find(|l| l.0 == station && l.1.id == id).expect("there").1.fullness();
    assert!((full(&s, "oxygen") / full(&then, "oxygen") - 1.0).abs() < 1e-6);
    assert_eq!(s.tanks[0].oxygen.carries, then.tanks[0].oxygen.carries);
    let carries = |s: &Solved| s.ammonia.as_ref().expect("a filter").carries.value;
    assert!((carries(&s) / carries(&then) - 1.0).abs() < 1e-6);
    // With a sump that does not fall, what flows counts.
    let mut full_sump = d.clone();
    full_sump.sumps[0].levels[0].0.top_up = crate::science::sump::TopUp::Float;
    let usual = solve(&full_sump, Day::Today).expect("solves");
    assert!(!usual.tanks[0].at_lowest_sump && full(&usual, "oxygen") < full(&s, "oxygen"));
    assert!(carries(&usual) > carries(&s));
}

/// A pump that stands still mixes nothing: each tank falls as the heat page says of it alone.
#[test]
fn every_tank_cools_alone_in_a_power_cut() {
    let mut d = demo_of("classroom");
    let mut small = Tank { id: "small".into(), name: "Nursery".into(), ..d.tanks[0].clone() };
    (small.oxygen.volume, small.outlet.surface) = (VOLUME.of(l(60.0)), AREA.of(0.17));
    small.oxygen.fish[0].count = COUNT.of(10.0);
    small.oxygen.fish[0].biomass *= 0.01;
    d.tanks.push(small);
    let (pump, sump) = (d.pumps[0].id.clone(), d.sumps[0].id.clone());
    let edge = |from: &str, to: &str| Edge { from: from.into(), to: to.into(), ..Edge::default() };
    d.edges.extend([Edge { flow: FLOW.of(l_h(60.0)), ..edge(&pump, "small") }, edge("small", &sump)]);
    d.pumps[0].curve.clear();
    d.edges.iter_mut().for_each(|e| e.run.clear());
    d.heat[0].0.heater = POWER.of(5000.0);
    d.heat[0].0.makeup *= 0.0;
    let s = solve(&d, Day::Today).expect("solves");
    let (h, mut cuts) = (s.heat.as_ref().expect("heat"), vec![]);
    for (t, tank) in d.tanks.iter().enumerate() {
        let station = flow::ways(&d).expect("ways").place(StationKind::Tank, t);
        let cut = &s.levels.iter().find(|l| l.0 == station && l.1.id == "cut").expect("a level").1;
        let alone = heat::HeatIn {
            volume: tank.oxygen.volume,
            surface: tank.outlet.surface,
            tanks: COUNT.of(1.0),
            planted: [AREA.of(0.0); 2],
            ..h.inputs.clone()
        };
        let o = calculators::solve::<heat::Heat>(&alone, &mut Working::none()).expect("solves");
        let falls = alone.water.value - o.cut_end.value;
        assert!((cut.demand.high - falls).abs() < 1e-6, "{t}: {} for {falls}", cut.demand.high);
        cuts.push(falls);
    }
    assert!(cuts[1] > 1.3 * cuts[0], "{cuts:?}");
    let all = super::super::report::levels(&d).expect("solves");
    let worst = all.iter().find(|l| l.level.id == "cut").expect("a level");
    assert!(worst.level.name.contains("Nursery"), "{}", worst.level.name);
    // Without fish nobody asks a tank, and without any the water is one.
    d.tanks
        .iter_mut()
        .flat_map(|t| &mut t.oxygen.fish)
        .for_each(|g| (g.count, g.biomass) = (COUNT.of(0.0), MASS.of(0.0)));
    let cuts = solve(&d, Day::Today).expect("solves").levels.iter().filter(|l| l.1.id == "cut").count();
    assert_eq!(cuts, 1);
}

/// A bed that has not drained keeps its water when the power fails: the tank that the pump draws from lasts as the oxygen page says of what is left
/// in it, under the same surface.
#[test]
fn a_tank_that_is_pumped_down_lasts_as_long_as_what_is_left() {
    let d = pump_in_tank();
    let s = solve(&d, Day::Today).expect("solves");
    let (t, o) = (&s.tanks[0], &d.tanks[0].oxygen);
    let part = 1.0 - (t.gone.expect("drawn from") / o.volume).value;
    let left = OxygenIn { volume: o.volume * part, depth: o.depth * part, ..t.inputs.clone() };
    let then = calculators::solve::<Oxygen>(&left, &mut Working::none()).expect("solves");
    let minutes = |o: &OxygenOut| o.all_off.fed.expect("they suffocate").value;
    assert!(
        part < 0.8 && (minutes(&t.oxygen) / minutes(&then) - 1.0).abs() < 0.02,
        "{part} {} {}",
        minutes(&t.oxygen),
        minutes(&then)
    );
}

/// The least inflow of a siphon is that of a low sump.
#[test]
fn a_siphon_is_asked_at_the_least_that_comes() {
    let mut d = siphon_over_tank();
    let like = demo_of("enlarged");
    d.pumps[0].curve = like.pumps[0].curve.clone();
    d.edges[1].run = like.edges.iter().find(|e| !e.run.is_empty()).expect("a pipe").run.clone();
    let s = solve(&d, Day::Today).expect("solves");
    let low = s.low.as_ref().expect("less comes");
    let station = flow::ways(&d).expect("ways").place(StationKind::Bed, 0);
    let level = &s.levels.iter().find(|l| l.1.id == "inflow").expect("a siphon").1;
    assert!(level.demand.low < level.demand.high);
    assert_eq!([level.demand.low, level.demand.high], [low.flows.through[station], s.flows.through[station]]);
}

/// The classroom without its sump: the pump stands in the fish tank.
pub(in crate::system) fn pump_in_tank() -> Document {
    let mut d = demo_of("classroom");
    d.sumps.clear();
    d.pumps[0].curve.clear();
    let edge = |from: &str, to: &str, q: f64| Edge {
        from: from.into(),
        to: to.into(),
        flow: FLOW.of(l_h(q)),
        ..Edge::default()
    };
    d.edges = vec![edge("tank", "pump", 0.0), edge("pump", "herbs", 600.0), edge("herbs", "tank", 0.0)];
    d
}

/// The courtyard with a low fish tank in the place of its sump, and outlets of settler and raft.
pub(in crate::system) fn low_tank() -> Document {
    let mut d = demo_of("courtyard");
    let mut low = Tank { id: "low".into(), name: "Low tank".into(), ..d.tanks[0].clone() };
    (low.oxygen.volume, low.oxygen.depth) = (VOLUME.of(l(350.0)), LENGTH.of(0.5));
    low.oxygen.fish[0].count = COUNT.of(8.0);
    low.oxygen.fish[0].biomass *= 0.2;
    d.tanks.push(low);
    d.sumps.clear();
    for e in &mut d.edges {
        for end in [&mut e.from, &mut e.to] {
            if end == "sump" {
                *end = "low".into();
            }
        }
    }
    let pipe = pipes::by_id("pvc_50").expect("a pipe");
    let o =
        DrainIn { pipe, arrangement: Arrangement::Wall, hole_depth: SHORT_LENGTH.of(mm(100.0)), ..DrainIn::default() };
    d.settlers[0].outlet = vec![WayOut(o.clone())];
    d.beds[0].outlet = vec![WayOut(o)];
    d.pumps[0].most = d.edges.iter().find(|e| e.from == "pump").expect("a branch").flow;
    d
}

/// What stands over the outlets comes out of the tank that the pump draws from, surface by rise, and three days of 6 L go.
#[test]
fn what_stands_over_outlets_is_missing_in_the_low_tank() {
    let d = low_tank();
    let s = solve(&d, Day::Today).expect("solves");
    let held = d.outlets();
    let over: f64 = (0..).zip(&held).filter(|(i, _)| *i != 1).map(|(i, h)| s.over(i, h).value).sum();
    let gone = s.tanks[1].gone.expect("drawn from").value;
    assert!(over > 0.15 && (gone - over - 0.018).abs() < 1e-3, "{over} {gone}");
    let level = s.levels.iter().find(|l| l.1.id == "dry").expect("asked");
    assert!((level.1.demand.high - gone - 0.175).abs() < 1e-9 && level.1.state() == State::Over);
    // A stronger pump can take more.
    let mut strong = d.clone();
    strong.pumps[0].most *= 1.5;
    assert!(solve(&strong, Day::Today).expect("solves").tanks[1].gone.expect("drawn from").value > gone * 1.1);
}

/// What a second pump draws out of a tank does not go by its outlet; and the raft that only a pump empties has none.
#[test]
fn what_a_pump_draws_is_not_in_the_outlet() {
    let mut d = demo_of("courtyard");
    let set = d.edges.iter().find(|e| e.from == "pump").expect("a branch").flow;
    d.pumps.push(Pump { id: "second".into(), ..d.pumps[0].clone() });
    let edge =
        |from: &str, to: &str, q: f64| Edge { from: from.into(), to: to.into(), flow: set * q, ..Edge::default() };
    d.edges.extend([edge("trough", "second", 0.0), edge("second", "settler", 0.75)]);
    let s = solve(&d, Day::Today).expect("solves");
    let t = &s.tanks[0];
    assert!((t.leaves / t.flow - RATIO.of(0.25)).value.abs() < 1e-9);
    let alone = outlet_of(&d, &d.tanks[0], set * 0.25, Day::Today);
    let alone = calculators::solve::<Drain>(&alone, &mut Working::none()).expect("solves");
    assert!((t.rise - (alone.stand.level - alone.still)).value.abs() < 1e-9);
    // It goes on drawing when what fills the tank stops.
    let r = super::super::report::report(&d, Words::default()).expect("checks");
    assert!(r.cautions.iter().any(|c| c.text.starts_with("Trough: if its inflow stops")));
    // The settler gets what the first pump sends and what the second does, each pump once.
    let settler = flow::ways(&d).expect("ways").place(StationKind::Settler, 0);
    let all = d.pumps.iter().map(|p| p.can_send().value).sum::<f64>();
    assert!((s.flows.most[settler] - all).abs() < 1e-12);
    d.pumps[1].most = set * 0.8;
    d.edges.extend([edge("trough", "settler", 0.0), edge("trough", "raft", 0.0)]);
    let s = solve(&d, Day::Today).expect("solves");
    let once = d.pumps.iter().map(|p| p.can_send().value).sum::<f64>();
    assert!((s.flows.most[flow::ways(&d).expect("ways").place(StationKind::Bed, 0)] - once).abs() < 1e-12);
    let mut raft = low_tank();
    raft.tanks.pop();
    raft.edges.retain(|e| e.to != "low");
    raft.edges.iter_mut().filter(|e| e.from == "low").for_each(|e| e.from = "raft".into());
    let s = solve(&raft, Day::Today).expect("solves");
    assert!(s.way_out(StationKind::Bed, 0).is_none());
    let over: f64 = (0..).zip(&raft.outlets()).map(|(i, h)| s.over(i, h).value).sum();
    assert!((s.pools[0].gone.value - over - 0.018).abs() < 1e-3, "{:?}", s.pools);
    let r = super::super::report::report(&raft, Words::default()).expect("checks");
    assert!(r.cautions.iter().any(|c| c.text.starts_with("Raft: a pump draws from it")));
    let water = r.stations.iter().find(|s| s.name == "Raft").and_then(|s| s.water.clone()).expect("known");
    assert!(water.words.contains("lower") && !water.words.contains("over its outlet"), "{}", water.words);
}

/// By hand: 1.0 x 0.6 m of bed, 45 % gaps, 170 mm take 45.9 L of 250, and 12 L go in three days; four times the bed takes 183.6 L.
#[test]
fn a_tank_that_a_pump_draws_from_is_its_sump() {
    let mut d = pump_in_tank();
    let s = solve(&d, Day::Today).expect("solves");
    assert!(s.levels.iter().all(|l| l.1.id != "outlet") && !s.tanks[0].throttled);
    let level = |s: &Solved| s.levels.iter().find(|l| l.1.id == "dry").expect("asked").1.clone();
    let litres = |x: f64| x * 1000.0;
    assert!((litres(level(&s).demand.high) - 45.9 - 12.0 - 125.0).abs() < 0.2, "{:?}", level(&s));
    let full = (45.9 + 12.0 + 125.0) / 250.0;
    assert!((level(&s).fullness() - full).abs() < 1e-3 && level(&s).state() == State::Enough);
    (d.beds[0].siphon[0].0.length, d.beds[0].siphon[0].0.width) = (LENGTH.of(2.0), LENGTH.of(1.2));
    d.beds[0].bed.area = AREA.of(2.4);
    let s = solve(&d, Day::Today).expect("solves");
    // A larger bed evaporates more than is put down for fresh water.
    let gone = 3.0 * litres(s.heat.as_ref().expect("said").out.evaporated_hot.value * days(1.0));
    assert!(gone > 12.0 && gone < 24.0, "{gone}");
    assert!((litres(level(&s).demand.high) - 183.6 - gone - 125.0).abs() < 0.5 && level(&s).state() == State::Over);
    // Over a sump that feeds the tank by its own fall it is the tank that falls; with a pump of its own the sump does.
    let mut sump = demo_of("classroom").sumps.remove(0);
    sump.levels.clear();
    d.sumps.push(sump);
    d.edges[2].to = "sump".into();
    d.edges.push(Edge { from: "sump".into(), to: "tank".into(), ..Edge::default() });
    assert_eq!(level(&solve(&d, Day::Today).expect("solves")).state(), State::Over);
    d.edges[3].to = "second".into();
    d.pumps.push(Pump { id: "second".into(), ..d.pumps[0].clone() });
    let back = Edge { from: "second".into(), to: "tank".into(), ..d.edges[1].clone() };
    d.edges.push(back);
    assert!(solve(&d, Day::Today).expect("solves").levels.iter().all(|l| l.1.id != "dry"));
    // Its pump with a curve and pipes.
    let mut piped = pump_in_tank();
    piped.pumps[0].curve = demo_of("enlarged").pumps[0].curve.clone();
    piped.edges[1].run = demo_of("enlarged").edges[1].run.clone();
    let s = solve(&piped, Day::Today).expect("solves");
    assert!(s.pumps[0].is_some() && litres(level(&s).demand.high) > 45.9 + 12.0 + 125.0 + 1.0, "{:?}", level(&s));
}

/// At a high pH more of the ammonia is poison: the water bears less of all of it, and so do the fish that are fed into it.
#[test]
fn what_is_carried_to_the_filter_goes_with_the_ph() {
    let at = |ph: f64| {
        let mut d = demo_of("courtyard");
        d.ammonia[0].0.ph = RATIO.of(ph);
        let s = solve(&d, Day::Hottest).expect("solves");
        let a = s.ammonia.expect("a filter");
        // Where as much is made as is carried, the water holds what its fish bear.
        let limit = a.inputs.species.unionised_limit().value / a.out.share.value;
        let times = (a.carries / a.made).value;
        let more = a.round.bodies.iter().map(|b| crate::science::round::Body { made: b.made * times, ..*b });
        let most = Round { bodies: more.collect(), ..a.round.clone() }.settle().expect("settles");
        let tank = a.round.bodies.iter().position(|b| b.made.value > 0.0).expect("a tank");
        (a.carries.value, most[tank].value, limit, a.inputs.species.tan_limit().value)
    };
    let (mild, holds, _, whole) = at(7.1);
    assert!((holds / whole - 1.0).abs() < 1e-3);
    let (high, holds, poison, whole) = at(8.6);
    assert!(
        high < 0.8 * mild && poison < whole && (holds / poison - 1.0).abs() < 1e-3,
        "{high} {mild} {holds} {poison}"
    );
}

/// What the model itself foretells for dawn, as its reading, changes nothing, whatever the other tank brings: the sum over time of two tanks, all fish at
/// rest, at the cautious end.
#[test]
fn a_reading_as_foretold_changes_nothing() {
    for (much, little) in [(3.0, 0.5), (0.5, 3.0)] {
        let mut d = pair();
        for (t, times) in d.tanks.iter_mut().zip([much, little]) {
            t.oxygen.air.flow *= times;
            t.oxygen.fall = crate::science::aeration::Fall::None;
            t.oxygen.filter = crate::calculators::oxygen::Filter::SameWater;
        }
        let s = solve(&d, Day::Today).expect("solves");
        let mut c = [mg_l(6.0); 2];
        for _ in 0..200_000 {
            for t in [0, 1] {
                let (o, comes) = (&s.tanks[t].oxygen, c[1 - t]);
                let x = &o.supply.0;
                let gains = x.flow.value * (comes - c[t])
                    + x.air.value * (x.air_saturation.value - c[t])
                    + x.surface.value * (x.saturation.value - c[t]);
                c[t] += (gains - o.demand_resting.value) / d.tanks[t].oxygen.volume.value;
            }
        }
        let full = |s: &Solved, t: usize| level_of(&s.tanks[t].oxygen).fullness();
        for reads in [vec![0], vec![1], vec![0, 1]] {
            let mut read = d.clone();
            for &t in &reads {
                let o = &mut read.tanks[t].oxygen;
                (o.reading, o.reading_oxygen) = (Reading::Dawn, CONCENTRATION.of(c[t]));
            }
            let then = solve(&read, Day::Today).expect("solves");
            for t in [0, 1] {
                let (was, is) = (full(&s, t), full(&then, t));
                assert!((is / was - 1.0).abs() < 5e-3, "{much} {reads:?}: tank {t} {was} {is}");
            }
            // Other days and what is tried take the same of it.
            let kept = as_read(&read).into_owned();
            let hot = [&read, &kept].map(|d| full(&solve(d, Day::Hottest).expect("solves"), reads[0]));
            assert!((hot[0] / hot[1] - 1.0).abs() < 1e-2, "{hot:?}");
        }
    }
}

/// A reading at dawn is of the fish that there are: fewer of them breathe less, they do not each breathe more.
#[test]
fn a_reading_is_not_read_again_with_other_fish() {
    use crate::system::{growing, limits, report};
    let mut d = demo_of("courtyard");
    let o = &mut d.tanks[0].oxygen;
    (o.reading, o.reading_oxygen) = (Reading::Dawn, CONCENTRATION.of(mg_l(6.6)));
    o.fish[0].count *= 1.5;
    o.fish[0].biomass *= 1.5;
    let read = as_read(&d).into_owned();
    let o = &read.tanks[0].oxygen;
    assert!(o.reading == Reading::None && (o.air_factor.value, o.demand_factor.value) != (1.0, 1.0));
    let fullness = |d: &Document| {
        let all = report::levels(d).expect("solves");
        all.iter().find(|l| l.level.id == "oxygen").map(|l| l.level.fullness()).expect("oxygen")
    };
    assert!((fullness(&d) / fullness(&read) - 1.0).abs() < 1e-9 && fullness(&d) > 1.0);
    assert_eq!(limits::limits(&d), limits::limits(&read));
    assert_eq!(growing::growing(&d), growing::growing(&read));
    // Each repair brings what it says, and takes the reading away that it makes old.
    let r = report::report(&d, Words::default()).expect("checks");
    for t in &r.repairs {
        let mut after = d.clone();
        assert!(t.repair.edits.iter().all(|e| form::apply(&mut after, e)));
        let all = report::levels(&after).expect("solves");
        let l = all.iter().find(|l| l.level.id == t.repair.level.id && l.level.name == t.repair.level.name);
        let l = l.expect("the level").level.fullness();
        assert!((l - t.repair.level.fullness()).abs() < 1e-9, "{}", t.repair.title);
    }
    let fewer = r.repairs.iter().find(|t| t.repair.title.contains(" fish instead of ")).expect("fewer fish");
    let kept = fewer.repair.title.split(' ').find_map(|w| w.parse::<f64>().ok()).expect("a number");
    assert!(kept * 4.0 > d.tanks[0].fish(), "{}", fewer.repair.title);
}

/// A settler counts for the tanks whose water goes through it, and for no other.
#[test]
fn a_settler_aside_takes_no_solids() {
    let mut d = demo_of("classroom");
    d.tanks[0].oxygen.solids = Solids::Left;
    let load = |d: &Document| {
        let s = solve(d, Day::Today).expect("solves");
        s.levels.iter().find(|l| l.1.id == "solids").map(|l| l.1.fullness())
    };
    let before = load(&d).expect("checked");
    let mut aside = d.clone();
    aside.settlers.push(Settler { id: "aside".into(), name: "Aside".into(), ..Settler::default() });
    aside.pumps.push(Pump { id: "small".into(), name: "Small pump".into(), ..Pump::default() });
    let edge = |from: &str, to: &str| Edge {
        from: from.into(),
        to: to.into(),
        flow: FLOW.of(l_h(10.0)),
        run: vec![],
        ..Edge::default()
    };
    aside.edges.extend([edge("sump", "small"), edge("small", "aside"), edge("aside", "sump")]);
    assert_eq!(load(&aside), Some(before));
    // On the way of half of the water it takes half, of all of it all.
    let mut half = d.clone();
    half.settlers = aside.settlers.clone();
    half.edges.extend([edge("tank", "aside"), edge("aside", "herbs")]);
    assert!((load(&half).expect("checked") / before - 0.5).abs() < 1e-9);
    half.edges.retain(|e| (e.from.as_str(), e.to.as_str()) != ("tank", "herbs"));
    assert_eq!(load(&half), None);
}

/// Feed and flow that only all tanks or all pumps together make too much are refused at a field that there is, in the units that are read.
#[test]
fn what_nobody_typed_is_refused_where_it_can_be_changed() {
    let layout = |d: &Document| form::layout(&mut d.clone());
    let told = |d: &Document, system| match super::super::report::report(d, Words::from(system)) {
        Err(faults) => faults,
        Ok(r) => panic!("{}", r.verdict),
    };
    let demo = demo_of("courtyard");
    let with_tanks = |n: usize| {
        let mut d = demo.clone();
        for k in 1..n {
            let id = format!("t{k}");
            let own = d.tanks[0].id.clone();
            d.tanks.push(Tank { id: id.clone(), name: format!("Tank {k}"), ..d.tanks[0].clone() });
            for e in demo.edges.iter().filter(|e| e.from == own || e.to == own) {
                let other = |end: &String| if *end == own { id.clone() } else { end.clone() };
                d.edges.push(Edge { from: other(&e.from), to: other(&e.to), ..e.clone() });
            }
        }
        d
    };
    let mut fed = with_tanks(7);
    for t in &mut fed.tanks {
        (t.oxygen.feed_by, t.oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(g_day(100_000.0)));
    }
    let mut heavy = with_tanks(12);
    heavy.tanks.iter_mut().for_each(|t| t.oxygen.volume = VOLUME.of(20.0));
    for g in heavy.tanks.iter_mut().flat_map(|t| &mut t.oxygen.fish) {
        (g.by, g.biomass) = (FishBy::Weight, MASS.of(5000.0));
    }
    // Six pumps into one settler, each with all that the box of a pump may say.
    let mut full = demo.clone();
    let (settler, sump) = (full.settlers[0].id.clone(), full.sumps[0].id.clone());
    for k in 0..6 {
        let id = format!("p{k}");
        full.pumps.push(Pump { id: id.clone(), most: FLOW.of(l_h(50_000.0)), ..full.pumps[0].clone() });
        full.edges.push(Edge { from: sump.clone(), to: id.clone(), ..Edge::default() });
        full.edges.push(Edge { from: id, to: settler.clone(), flow: FLOW.of(l_h(50_000.0)), ..Edge::default() });
    }
    for (d, key, [metric, us]) in [
        (&fed, "feed", ["700\u{202f}000 g/day", "oz/day"]),
        (&heavy, "biomass", ["g/day", "oz/day"]),
        (&full, "most", ["L/h", "gal/h"]),
    ] {
        for (system, unit) in [(System::Metric, metric), (System::Us, us)] {
            for f in told(d, system) {
                let field = layout(d).into_iter().find(|e| e.path == f.path);
                assert!(field.is_some_and(|e| e.item.label() == Some(&*f.label)), "{f:?}");
                assert!(f.path.ends_with(key) && f.fault.starts_with("with all "), "{f:?}");
                assert!(f.to_string().replace('\u{202f}', " ").contains(&unit.replace('\u{202f}', " ")), "{f}");
            }
        }
    }
    assert_eq!(told(&fed, System::Metric)[0].path, "tanks.6.oxygen.feed");
}

fn named<'a>(s: &'a Solved, id: &str) -> &'a Level {
    &s.levels.iter().find(|l| l.1.id == id).unwrap_or_else(|| panic!("no {id}")).1
}

/// By hand: 2.5 velocity heads at an inlet of 8 mm and an outlet of 12 mm, at the 1700 L/h that the pump may send, against 140 mm to the rim and a fall of
/// 12 mm along 1.2 m of pipe.
#[test]
fn a_settler_whose_pipes_pass_nothing_is_over() {
    let mut d = demo_of("courtyard");
    let load = |d: &Document| named(&solve(d, Day::Today).expect("solves"), "head").clone();
    assert_eq!(load(&d).state(), State::Enough);
    let s = &mut d.settlers[0].settling;
    (s.inlet, s.outlet) = (SHORT_LENGTH.of(mm(8.0)), SHORT_LENGTH.of(mm(12.0)));
    let one = |bore: f64| 2.5 * (l_h(1700.0) / (std::f64::consts::PI / 4.0 * bore * bore)).powi(2) / (2.0 * 9.806_65);
    let level = load(&d);
    assert!((level.demand.low / (one(0.008) + one(0.012)) - 1.0).abs() < 1e-9, "{level:?}");
    assert!((level.fullness() / ((one(0.008) + one(0.012)) / 0.152) - 1.0).abs() < 1e-9, "{level:?}");
    // Two side by side take half each; a way out that is said has a level of its own.
    d.settlers[0].settling.count = COUNT.of(2.0);
    assert!((load(&d).demand.low / (one(0.008) + one(0.012)) - 0.25).abs() < 1e-9);
    d.settlers[0].outlet.push(WayOut::default());
    assert!((load(&d).demand.low / one(0.008) - 0.25).abs() < 1e-9);
}

/// Lettuce bears 3 g/L, basil 5; fresh water is not asked.
#[test]
fn salt_is_held_against_the_crop() {
    let mut d = demo_of("courtyard");
    let today = |d: &Document| solve(d, Day::Today).expect("solves");
    assert!(today(&d).levels.iter().all(|l| l.1.id != "crop_salt"));
    d.tanks[0].oxygen.salinity = SALINITY.of(6.0);
    assert_eq!(named(&today(&d), "crop_salt").load(), Some(2.0));
    assert_ne!(named(&today(&d), "salt").state(), State::Over, "the fish bear it");
    d.tanks[0].oxygen.salinity = SALINITY.of(4.0);
    assert_eq!(named(&today(&d), "crop_salt").state(), State::Over);
    d.beds[0].bed.crop = <&crate::catalog::crops::Crop>::by_id("basil").expect("there");
    assert_eq!(named(&today(&d), "crop_salt").load(), Some(0.8));
}

/// FAO 589, Table 3.1: plants in water bear pH 5.5 to 7.5. A crop outside of that is tight and never over, on every day alike.
#[test]
fn ph_is_held_against_the_crop() {
    let mut d = demo_of("classroom");
    let crop = |d: &Document, day| named(&solve(d, day).expect("solves"), "crop_ph").clone();
    for (ph, state, words) in [
        (7.1, State::Enough, "in range"),
        (7.5, State::Enough, "in range"),
        (7.6, State::Tight, "too alkaline; iron and phosphorus run short"),
        (8.9, State::Tight, "too alkaline; iron and phosphorus run short"),
        (5.6, State::Enough, "in range"),
        (5.2, State::Tight, "too sour for the crop"),
    ] {
        d.ammonia[0].0.ph = RATIO.of(ph);
        for day in Day::ALL {
            let level = crop(&d, day);
            assert_eq!((level.state(), level.percent().as_str()), (state, words), "{ph} {day:?}");
        }
    }
    d.ammonia.clear();
    assert!(solve(&d, Day::Today).expect("solves").levels.iter().all(|l| l.1.id != "crop_ph"));
}

/// What winters under ice may rest on any day; what does not may not, nor what never feeds.
#[test]
fn winter_rest_is_not_over() {
    let mut d = demo_of("courtyard");
    let t = |c| TEMPERATURE.of(celsius(c));
    (d.water.today, d.water.coldest) = (t(6.0), t(4.0));
    let fish = |d: &mut Document, id| d.tanks[0].oxygen.fish[0].species = Species::by_id(id).expect("a fish");
    let states = |d: &Document| {
        let s = solve(d, Day::Today).expect("solves");
        ["warmth", "bed"].map(|id| named(&s, id).state())
    };
    for id in ["carp", "catfish"] {
        fish(&mut d, id);
        assert_eq!(states(&d), [State::Tight; 2], "{id}");
    }
    let hottest = d.water.hottest;
    d.water.hottest = t(7.0);
    assert_eq!(states(&d), [State::Over; 2], "they never feed");
    fish(&mut d, "tilapia");
    (d.water.hottest, d.water.today, d.water.coldest) = (hottest, t(15.0), t(15.0));
    assert_eq!(states(&d)[0], State::Over, "tilapia do not winter");
}

/// Six fish in three cubic metres: slow water is not over by itself. Where it starves them the oxygen is, and stands first.
#[test]
fn slow_water_alone_is_not_over() {
    let mut d = demo_of("courtyard");
    let o = &mut d.tanks[0].oxygen;
    (o.volume, o.fish[0].count) = (VOLUME.of(3.0), COUNT.of(6.0));
    let level = |d: &Document| named(&solve(d, Day::Today).expect("solves"), "turnover").clone();
    assert_eq!(level(&d).state(), State::Tight);
    let mut bare = d.clone();
    bare.ammonia.clear();
    assert_eq!(level(&bare).state(), State::Over, "nobody knows of the filter");
    d.tanks[0].oxygen.fish[0].count = COUNT.of(90.0);
    d.tanks[0].oxygen.air.mode = crate::calculators::air::AirMode::None;
    let s = solve(&d, Day::Today).expect("solves");
    assert_eq!((level(&d).state(), named(&s, "oxygen").state()), (State::Tight, State::Over), "the oxygen tells");
}

/// A rated aerator clogs as stones do: 0.6 against 0.8.
#[test]
fn a_rated_aerator_ages() {
    let mut d = demo_of("courtyard");
    let air = &mut d.tanks[0].oxygen.air;
    (air.mode, air.rated) = (crate::calculators::air::AirMode::Rated, OXYGEN_RATE.of(g_h(60.0)));
    let rated = |day| oxygen_of(&d, &d.tanks[0], FLOW.of(0.0), day).air.rated.value;
    assert!((rated(Day::Aged) / rated(Day::Hottest) - 0.6 / 0.8).abs() < 1e-12);
    let full = |day| named(&solve(&d, day).expect("solves"), "oxygen").fullness();
    assert!(full(Day::Aged) > full(Day::Hottest) * 1.05);
}

/// A warmer afternoon than the hottest water that is put down is the water of hot days, and what evaporates then is missing in the sump.
#[test]
fn what_the_heat_part_says_counts_everywhere() {
    let mut d = demo_of("hill_trout");
    let t = |c| TEMPERATURE.of(celsius(c));
    let out = HeatIn { place: heat::Place::Sky, cover: heat::On::Open, ..HeatIn::default() };
    let out = HeatIn { summer: t(16.0), mean: t(10.0), speed: VELOCITY.of(1.0), sun: POWER.of(1200.0), ..out };
    d.heat.push(Heat(out));
    let hot = solve(&d, Day::Harvest).expect("solves");
    let h = hot.heat.as_ref().expect("said");
    assert!(h.out.afternoon.value > d.water.hottest.value + 3.0, "{}", h.out.afternoon.value);
    let mut typed = d.clone();
    typed.water.hottest = h.out.afternoon;
    let full = |s: &Solved, id: &str| named(s, id).fullness();
    let there = solve(&typed, Day::Harvest).expect("solves");
    assert_eq!(full(&hot, "oxygen"), full(&there, "oxygen"));
    assert_eq!(full(&hot, "warmth"), full(&there, "warmth"));
    // Today's water is as it was measured.
    let today = solve(&d, Day::Today).expect("solves");
    assert_eq!(today.tanks[0].inputs.temperature, d.water.today);
    // The sump lacks it for as many days as go by between two top-ups.
    let l = &d.sumps[0].levels[0].0;
    let gone = |d: &Document| named(&solve(d, Day::Today).expect("solves"), "dry").demand.high;
    let mut cold = d.clone();
    cold.heat.clear();
    let more = ((h.out.evaporated_hot - l.evaporation) * l.days).value;
    assert!(more > 0.0 && (gone(&d) - gone(&cold) - more).abs() < 1e-3 * more, "{} {more}", gone(&d) - gone(&cold));
    // The hottest spell is not in the coldest weeks.
    let in_winter = |d: &Document| named(&solve(d, Day::Coldest).expect("solves"), "dry").demand.high;
    assert!((in_winter(&d) - in_winter(&cold)).abs() < 1e-9, "{} {}", in_winter(&d), in_winter(&cold));
    // The page on fish that may be added is asked the same water.
    let page = &super::super::fill::fill(&d, "stocking").expect("filled")[0].sheet;
    assert_eq!(page.value_at("hottest"), Some(form::EditValue::Si(h.out.afternoon.value)));
}

/// Carp live for months under ice: colder water than they feed in, and a power cut in it, are no fault where nothing kills them; nor has a settler much to
/// settle then, in water that is thick.
#[test]
fn a_winter_is_no_fault_of_heat_or_settler() {
    let t = |c| TEMPERATURE.of(celsius(c));
    let mut d = demo_of("classroom");
    let cut = |d: &Document| named(&solve(d, Day::Today).expect("solves"), "cut").clone();
    // The air of the room is warmer than the water.
    (d.water.coldest, d.water.today) = (t(3.0), t(12.0));
    d.heat[0].0.night = t(12.0);
    assert_eq!(cut(&d).state(), State::Enough, "{:?}", cut(&d));
    d.heat[0].0.night = t(-30.0);
    d.heat[0].0.cut = HOURS.of(si::hours(48.0));
    assert_eq!(cut(&d).state(), State::Over, "down to ice it kills");
    d.tanks[0].oxygen.fish[0].species = Species::by_id("tilapia").expect("a fish");
    (d.water.coldest, d.heat[0].0.night, d.heat[0].0.cut) = (t(18.0), t(8.0), HOURS.of(si::hours(12.0)));
    assert_eq!(cut(&d).state(), State::Over, "tilapia do not winter");

    let mut d = demo_of("hill_trout");
    let load = |d: &Document, day| named(&solve(d, day).expect("solves"), "settling").clone();
    d.water.coldest = t(1.0);
    let n = d.settlers[0].settling.diameter;
    d.settlers[0].settling.diameter = n * 0.9;
    assert!(load(&d, Day::Coldest).asked() > Some(1.0) && load(&d, Day::Coldest).state() == State::Tight);
    d.water.coldest = t(4.0);
    assert!(!load(&d, Day::Coldest).mild, "they are fed");
}
