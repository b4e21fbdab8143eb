use super::*;
use crate::calculators::outcome::State;
use crate::system::{check, demo};

fn of(id: &str) -> Document {
    demo::by_id(id).expect("there").document()
}

/// Every value that is given holds on every day that it matters on, and a hair past it something does not.
#[test]
fn what_is_given_holds_and_a_little_more_does_not() {
    for demo in demo::ALL {
        let d = demo.document();
        let ways = flow::ways(&d).expect("ways");
        for l in limits(&d).expect("solves") {
            let over = |x: f64, most: f64| -> Vec<String> {
                let days =
                    worst::solve_days(&l.what.at(&l.what.base(&d), l.now, x), &ways, l.what.days()).expect("solves");
                let all =
                    days.iter().flat_map(|s| s.levels.iter().filter(|x| counts(&x.1, s.day) && l.what.asks(&x.1)));
                all.filter(|l| l.1.fullness() > most + 1e-9).map(|l| worst::named(&l.1, &ways, l.0)).collect()
            };
            for (reach, most) in [(&l.brim, BRIM), (&l.enough, ENOUGH)] {
                let Some(r) = reach else { continue };
                let left: Vec<_> = over(r.at, most)
                    .into_iter()
                    // One that is left out on a day may be named with it.
                    .filter(|n| most == BRIM && !l.wanting.contains(n) && l.apart.iter().all(|a| !a.starts_with(n)))
                    .collect();
                assert!(left.is_empty(), "{}: {:?} at {}: {left:?}", demo.id, l.what, r.at);
                if let Some((by, _)) = &r.by {
                    let more = match l.what {
                        Raised::Coldest | Raised::Night => r.at - 0.1,
                        Raised::Hottest => r.at + 0.1,
                        _ => r.at * 1.01,
                    };
                    assert!(over(more, most).contains(&by.name.to_string()), "{}: {:?}: {}", demo.id, l.what, by.name);
                }
            }
            if let (Some(brim), Some(enough)) = (&l.brim, &l.enough) {
                let order = if l.what.down() { enough.at >= brim.at } else { enough.at <= brim.at };
                assert!(order || !l.apart.is_empty(), "{}: {:?}", demo.id, l);
            }
            assert!(!l.line(&d, Words::default()).text.is_empty());
        }
    }
}

#[test]
fn the_courtyard_carries_what_it_has() {
    let d = of("courtyard");
    let all = limits(&d).expect("solves");
    assert_eq!(all.len(), 4);
    for l in &all {
        assert!(!l.line(&d, Words::default()).past, "{:?}", l);
    }
    let fish = all[0].brim.as_ref().expect("some");
    assert!(fish.at > all[0].now && fish.by.is_some());
    // The trout's hottest water is where they stop feeding, or before.
    let trout = of("hill_trout");
    let hot = limit(&trout, Raised::Hottest).expect("solves").expect("water").brim.expect("some");
    assert!(hot.at <= celsius(21.0) + 1e-6, "{}", hot.at);
}

/// 200 W hold the classroom's tank at 19 °C through a night somewhat colder than the year's, and its losses grow with the cold.
#[test]
fn the_coldest_night_that_the_heaters_hold() {
    let d = of("classroom");
    let l = limit(&d, Raised::Night).expect("solves").expect("heat is said");
    let at = l.brim.as_ref().expect("some");
    let (by, _) = at.by.as_ref().expect("a level sets it");
    assert!(by.name.contains("coldest night"), "{}", by.name);
    assert!(at.at < l.now && at.at > celsius(-20.0), "{at:?}");
    assert!(limit(&of("courtyard"), Raised::Night).expect("solves").is_none(), "nothing is said of heat");
}

/// With the pump sending more than an outlet can ever carry, fish and warmth do not help it: it is named and left out.
#[test]
fn what_is_over_anyway_is_named() {
    let d = of("enlarged");
    let l = limit(&d, Raised::Fish).expect("solves").expect("fish");
    assert!(l.apart.iter().any(|n| n.contains("Outlet of New tank")), "{:?}", l.apart);
    assert!(l.brim.is_some());
    let flow = limit(&d, Raised::Flow).expect("solves").expect("flow");
    // Nor does less of it: the pump goes on being able to send what spills. It begins at what really flows.
    let s = check::solve(&d, Day::Today).expect("solves");
    assert!(flow.apart.iter().any(|n| n.contains("Outlet of New tank")), "{:?}", flow.apart);
    let sent: f64 = s.flows.edges.iter().zip(&d.edges).filter(|(_, e)| e.from == "pump").map(|e| e.0).sum();
    assert!((flow.now / sent - 1.0).abs() < 1e-9 && !flow.line(&d, Words::default()).past, "{flow:?}");
    assert!(s.levels.iter().any(|l| l.1.state() == State::Over));
}

/// Kilograms are those of whole fish, and what never has a fifth in hand says so.
#[test]
fn whole_fish_and_a_fifth_in_hand() {
    for demo in demo::ALL {
        let d = demo.document();
        let l = limit(&d, Raised::Fish).expect("solves").expect("fish");
        let n = |d: &Document| d.tanks.iter().map(super::super::document::Tank::fish).sum::<f64>();
        let whole = (n(&d) * l.brim.as_ref().expect("some").at / l.now + 1e-6).floor();
        let value = l.line(&d, Words::default()).value;
        let kilograms = show(MASS.0, whole * l.now / n(&d), System::Metric);
        assert!(value.contains(&format!("({kilograms})")), "{}: {value}", demo.id);
    }
    let d = of("classroom");
    let l = limit(&d, Raised::Fish).expect("solves").expect("fish");
    let text = l.line(&d, Words::default()).text;
    let at = |r: &Option<Reach>| r.as_ref().map(|r| r.at);
    assert_eq!(text.contains("With a fifth in hand:"), l.tight.is_empty() && at(&l.enough) < at(&l.brim), "{text}");
}

/// What is too little for the plants is the number that is given, not what there is now.
#[test]
fn too_little_is_said_of_its_own_number() {
    let mut d = of("enlarged");
    // As it is the brim lies where the plants still have enough.
    d.tanks[1].oxygen.air.flow *= 0.8;
    let l = limit(&d, Raised::Fish).expect("solves").expect("fish");
    let line = l.line(&d, Words::default());
    assert!(l.brim.as_ref().is_some_and(|r| r.at < l.now) && !l.wanting.is_empty(), "{l:?}");
    let said = line.text.find(&format!("At {} there is too little for the plant area of Raft. ", line.value));
    assert!(said < line.text.find("Now: ") && said.is_some(), "{line:?}");
}

/// Trout short of oxygen wherever they feed are not helped by a year in which they never feed.
#[test]
fn water_too_cold_to_feed_in_is_no_hottest_water() {
    let mut d = of("hill_trout");
    d.tanks[0].oxygen.fish[0].count *= 4.0;
    d.water.coldest = TEMPERATURE.of(celsius(2.0));
    let l = limit(&d, Raised::Hottest).expect("solves").expect("water");
    let low = d.tanks[0].oxygen.fish[0].species.stops_below().value;
    assert!(l.wanting.is_empty() && l.short.is_empty(), "{l:?}");
    assert!([&l.brim, &l.enough].into_iter().flatten().all(|r| r.at >= low), "{l:?}");
}

/// Where the upper of two level tanks spills the flow ends, and it is said which.
#[test]
fn the_flow_ends_where_a_tank_spills() {
    let mut d = check::tests::pair();
    d.settlers[0].settling.diameter *= 2.0;
    (d.settlers[0].settling.inlet, d.settlers[0].settling.outlet) = (LENGTH.of(0.3), LENGTH.of(0.3));
    d.sumps[0].levels.clear();
    let l = limit(&d, Raised::Flow).expect("solves").expect("flow");
    let brim = l.brim.as_ref().expect("some");
    assert!(brim.by.as_ref().is_some_and(|by| by.0.name.starts_with("Outlet of")), "{l:?}");
    let s = check::solve(&d, Day::Today).expect("solves");
    assert!(s.tanks.iter().any(|t| brim.at <= t.outlet.capacity.value * 1.01), "{brim:?}");
    // A pump that can always send more than they carry is over whatever it is set to, and then nothing else is told of the flow.
    let mut strong = d.clone();
    strong.pumps[0].most = FLOW.of(l_h(6000.0));
    let l = limit(&strong, Raised::Flow).expect("solves").expect("flow");
    let line = l.line(&strong, Words::default());
    assert!(line.value == "none, as it stands" && !line.text.contains("With a fifth in hand"), "{line:?}");
}

/// What cannot be checked ends the way, and names no level.
#[test]
fn a_look_that_cannot_be_checked_is_past() {
    let d = of("courtyard");
    let ways = flow::ways(&d).expect("ways");
    let present = worst::solve_days(&d, &ways, &[Day::Today]).expect("solves");
    let full = |x: f64| if x > 1.5 { vec![] } else { vec![0.5; present[0].levels.len()] };
    let look = |x: f64| Look { x, full: full(x) };
    let looks = [1.0, 2.0, 3.0].map(look);
    let lowest = lowest(&looks, Raised::Flow, 1.0);
    let search = Search { ways: &ways, present: &present, looks: &looks, look: &look, lowest, wants: true };
    let r = search.reach(&search.caps(BRIM)).expect("some");
    assert!(!r.open && r.by.is_none() && r.at > 1.4 && r.at <= 1.5, "{r:?}");
}

/// A weak pump beside one with much to spare is named; and trout that bear the coldest water bear it beside an outlet that is too narrow.
#[test]
fn every_pump_counts_and_what_is_over_anyway_does_not() {
    let d = check::tests::two_pumps();
    let text = limit(&d, Raised::Flow).expect("solves").expect("flow").line(&d, Words::default()).text;
    assert!(text.contains("Only pumps that can send it get there") && text.contains("all pumps together"), "{text}");
    let mut d = of("hill_trout");
    // Solids that sink slower in ice water would be the limit.
    d.settlers[0].settling.diameter *= 1.3;
    let coldest = |d: &Document| limit(d, Raised::Coldest).expect("solves").expect("water").line(d, Words::default());
    let before = coldest(&d).value;
    assert!(before.ends_with("or colder"), "{before}");
    d.tanks[0].outlet.pipe = crate::catalog::pipes::by_id("pvc_40").expect("a pipe");
    let after = coldest(&d);
    assert!(after.value == before && after.text.contains("over anyway: the outlet of"), "{after:?}");
}

#[test]
fn half_the_fish_breathe_half() {
    let d = of("courtyard");
    let now = Raised::Fish.now(&d);
    let half = Raised::Fish.at(&d, now, now / 2.0);
    assert!((half.tanks[0].fish() / d.tanks[0].fish() - 0.5).abs() < 1e-9);
    let demand = |d: &Document| check::solve(d, Day::Today).expect("solves").tanks[0].oxygen.demand_peak.value;
    assert!((demand(&half) / demand(&d) - 0.5).abs() < 1e-9);
}

/// Heaters of nothing hold no night at all, though none is worse for them than another.
#[test]
fn without_a_heater_no_night_is_held() {
    let mut d = of("classroom");
    d.heat[0].0.night = TEMPERATURE.of(celsius(-15.0));
    for heater in [0.0, 10.0] {
        d.heat[0].0.heater = POWER.of(heater);
        let line = limit(&d, Raised::Night).expect("solves").expect("heat").line(&d, Words::default());
        assert!(line.value == "none, as it stands" && !line.text.contains("fifth in hand"), "{heater} {line:?}");
    }
}

/// What sets the limit on one day is not said to be left out, nor to have a fifth in hand at its brim.
#[test]
fn what_sets_a_limit_is_left_out_on_another_day_only() {
    let mut seen = 0;
    for demo in demo::ALL {
        for times in [1.5, 2.0, 3.0, 4.0] {
            let mut d = demo.document();
            scale_fish(&mut d, times);
            for l in [Raised::Hottest, Raised::Flow].into_iter().filter_map(|r| limit(&d, r).expect("solves")) {
                let Some((by, day)) = l.brim.as_ref().and_then(|r| r.by.as_ref()) else { continue };
                assert!(l.apart.iter().all(|n| *n != by.name), "{}: {l:?}", demo.id);
                seen += usize::from(l.apart.iter().any(|n| n.starts_with(by.name.as_ref())));
                let line = l.line(&d, Words::default());
                let same = l.enough.as_ref().zip(l.brim.as_ref()).is_some_and(|(e, b)| e.at == b.at && e.by == b.by);
                let never = line.text.contains("Never with a fifth in hand");
                assert!(!same || never, "{} {day:?}: {line:?}", demo.id);
            }
        }
    }
    assert!(seen > 0);
}

/// Weighed feed goes into cold water too, where the film is slow.
#[test]
fn the_most_fish_are_asked_on_the_coldest_day() {
    let mut d = of("courtyard");
    // Weighed in the hottest water, so that it is no more there.
    (d.water.coldest, d.water.today) = (TEMPERATURE.of(celsius(8.0)), d.water.hottest);
    let o = &mut d.tanks[0].oxygen;
    (o.feed_by, o.feed) = (FeedBy::Weighed, FEED_RATE.of(g_day(200.0)));
    let l = limit(&d, Raised::Fish).expect("solves").expect("fish");
    let at = l.brim.as_ref().expect("some").at;
    let s = check::solve(&Raised::Fish.at(&d, l.now, at), Day::Coldest).expect("solves");
    let over = s.levels.iter().filter(|l| l.1.state() == State::Over && l.1.id != "warmth" && counts(&l.1, s.day));
    assert_eq!(over.map(|l| l.1.name.as_ref()).collect::<Vec<_>>(), Vec::<&str>::new(), "{at}");
    assert!(l.brim.and_then(|r| r.by).is_some_and(|by| by.1 == Day::Coldest));
}
