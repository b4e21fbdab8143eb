use super::*;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

const W: Words = Words { system: System::Metric, today: None };

fn planned(goal: &Goal) -> Planned {
    plan(goal, W).unwrap_or_else(|r| panic!("{} {:?}", r.why, r.near))
}
fn refused(goal: &Goal) -> Refused {
    plan(goal, W).expect_err("refused")
}
fn after(goal: &Goal, near: &Near) -> Goal {
    let mut goal = goal.clone();
    for e in &near.edits {
        assert!(apply(&mut goal, e), "{e:?}");
    }
    goal
}

/// Where inch sizes are sold, tanks, pumps and filters come in gallons.
#[test]
fn inch_sizes_are_planned_in_round_gallons() {
    let p = planned(&Goal { sizes: Sizes::Inch, ..Goal::default() });
    let d = &p.document;
    let gallons = |q: Volume| VOLUME.0.unit(System::Us).of_si(q.value);
    let flow = |q: VolumeRate| FLOW.0.unit(System::Us).of_si(q.value);
    let tenths = |x: f64| (x / 10.0 - (x / 10.0).round()).abs() < 1e-6;
    assert!(tenths(gallons(d.tanks[0].oxygen.volume)), "{}", gallons(d.tanks[0].oxygen.volume));
    assert!(d.pumps.iter().all(|p| tenths(flow(p.most))) && d.edges.iter().all(|e| tenths(flow(e.flow))));
    assert!(d.ammonia.iter().all(|a| tenths(5.0 * gallons(a.0.media))));
    holds(&Goal { sizes: Sizes::Inch, ..Goal::default() }, &p);
}

/// One pipe leaves the settler: what its page asks for is what is bought.
#[test]
fn the_settler_has_one_outlet() {
    for goal in [Goal::default(), Goal { sizes: Sizes::Inch, ..Goal::default() }] {
        for s in planned(&goal).document.settlers {
            let o = &s.outlet[0].0;
            let bore = o.pipe_bore().value * o.outlets.value.sqrt();
            assert!(bore >= s.settling.outlet.value - 1e-9, "{bore} {:?}", s.settling.outlet);
            assert!(o.outlets.value > 1.0 || o.pipe_bore() == s.settling.outlet);
        }
    }
}

#[test]
fn what_is_planned_is_said_in_the_units_asked_for() {
    let p = planned(&Goal::default());
    let outlet = |system: System| {
        let row = p.sizes(system.into()).into_iter().find(|r| r.0 == "Outlet of each tank");
        row.map_or(String::new(), |r| r.1)
    };
    let pipe = p.document.tanks[0].outlet.pipe;
    let inches = Words::from(System::Us).q(SHORT_LENGTH, pipe.bore().expect("a bore"));
    assert!(outlet(System::Metric).ends_with(" mm bore"), "{}", outlet(System::Metric));
    assert!(outlet(System::Us).ends_with(&format!("{}, {inches} bore", pipe.label)), "{}", outlet(System::Us));
}

/// The document is one that can be saved, every level passes, and the goal is met.
fn holds(goal: &Goal, p: &Planned) {
    let mut d = p.document.clone();
    assert!(check(&mut d, System::Metric).is_empty(), "{:?}", check(&mut d, System::Metric));
    let r = report::report(&d, W).unwrap_or_else(|e| panic!("{e:?}"));
    assert!(!r.levels.is_empty());
    for l in &r.levels {
        assert!(passes(&l.level) && l.level.state() != State::Over, "{}: {}", l.level.name, l.level.percent());
        if matches!(l.level.brim, Brim::Upper(_)) {
            assert_eq!(l.level.state(), State::Enough, "{}: {}", l.level.name, l.level.percent());
        }
    }
    if goal.want != Want::Greens {
        assert!(p.yearly.value >= goal.fish.value * (1.0 - 1e-6), "{} of {}", p.yearly.value, goal.fish.value);
    }
    if goal.want != Want::Fish {
        assert_eq!(p.greens, goal.greens);
    }
    assert!(p.floor.value <= goal.length.value * goal.width.value * STANDS_ON + 1e-9);
}

/// Water that does not suit the fish or the crop is no dead end, and each way out can be planned.
#[test]
fn water_that_does_not_suit_offers_what_it_suits() {
    let of = |id: &str| SPECIES.iter().find(|s| s.id == id).expect("a species");
    let crop = |id: &str| CROPS.iter().find(|c| c.id == id).expect("a crop");
    let t = |c: f64| TEMPERATURE.of(celsius(c));
    for goal in [
        Goal { species: of("trout"), ..Goal::default() },
        Goal { species: of("trout"), hottest: t(28.0), coldest: t(20.0), crop: crop("lettuce"), ..Goal::default() },
        Goal { crop: crop("lettuce"), hottest: t(34.0), coldest: t(28.0), ..Goal::default() },
        Goal { species: of("tilapia"), coldest: t(6.0), hottest: t(20.0), ..Goal::default() },
        Goal { species: of("tilapia"), coldest: t(6.0), hottest: t(14.0), ..Goal::default() },
    ] {
        let Err(r) = plan(&goal, W) else { continue };
        assert!(!r.near.is_empty(), "{}", r.why);
        for n in &r.near {
            let g = after(&goal, n);
            assert!(plan(&g, W).is_ok(), "{}: {}", r.why, n.title);
        }
    }
}

/// Five hundred times less than is wanted is not near by.
#[test]
fn what_is_near_by_is_no_small_part() {
    let crop = CROPS.iter().find(|c| c.id == "cabbage").expect("a crop");
    let species = SPECIES.iter().find(|s| s.id == "tilapia").expect("a species");
    let (fish, greens) = (MASS.of(500.0), AREA.of(1.0));
    let goal = Goal { species, crop, want: Want::Both, fish, greens, ..Goal::default() };
    for n in &refused(&goal).near {
        let g = after(&goal, n);
        assert!(g.fish >= fish * 0.1 && g.greens >= greens * 0.1, "{}", n.title);
    }
}

/// What the refusal says that the parts stand on is what they stand on in the room that it offers.
#[test]
fn a_small_room_is_told_the_finished_floor() {
    let goal = Goal { length: LENGTH.of(3.0), ..Goal::default() };
    let r = refused(&goal);
    let room = r.near.iter().find(|n| n.title.starts_with("A room of")).expect("a room");
    let p = planned(&after(&goal, room));
    assert!(r.why.contains(&format!("stand on {};", W.q(AREA, p.floor))), "{}: {}", r.why, W.q(AREA, p.floor));
}

#[test]
fn the_first_goal_is_planned() {
    for want in [Want::Fish, Want::Greens] {
        let goal = Goal { want, ..Goal::default() };
        holds(&goal, &planned(&goal));
    }
}

#[test]
fn fish_and_feed_are_conserved() {
    // By hand: so many fish a year live to harvest, each so long in the tank, so many are there at once.
    let goal = Goal { groups: COUNT.of(1.0), losses: PERCENT.of(0.0), ..Goal::default() };
    let p = planned(&goal);
    let fish: f64 = p.document.tanks.iter().map(Tank::fish).sum();
    let years = p.every.0.value / years(1.0);
    let by_hand = fish * goal.species.harvest().value / years;
    assert!((by_hand / p.yearly.value - 1.0).abs() < 1e-9);
    // Twice the fish, about twice the water and the bed.
    let twice = planned(&Goal { fish: goal.fish * 2.0, length: LENGTH.of(12.0), ..goal.clone() });
    let water = |p: &Planned| p.document.tanks.iter().map(|t| t.oxygen.volume.value).sum::<f64>();
    assert!((water(&twice) / water(&p) - 2.0).abs() < 0.15, "{} {}", water(&twice), water(&p));
    assert!(((twice.greens / p.greens).value - 2.0).abs() < 0.15);
}

#[test]
fn a_small_room_is_named_and_the_largest_goal_for_it_found() {
    let goal = Goal { length: LENGTH.of(3.0), width: LENGTH.of(2.5), fish: MASS.of(80.0), ..Goal::default() };
    let r = refused(&goal);
    assert!(r.why.contains("room"), "{}", r.why);
    assert!(r.near.len() >= 2, "{:?}", r.near);
    for near in &r.near {
        let changed = after(&goal, near);
        holds(&changed, &planned(&changed));
    }
    let smaller = r.near.iter().find(|n| n.title.contains("a year")).expect("less fish");
    let less = after(&goal, smaller);
    // A tenth more does not fit.
    let more = Goal { fish: less.fish * 1.15, ..less.clone() };
    assert!(plan(&more, W).is_err(), "{} fits too", more.fish.value);
}

#[test]
fn fish_and_crop_must_suit_one_water() {
    let trout = SPECIES.iter().find(|s| s.id == "trout").expect("trout");
    let okra = CROPS.iter().find(|c| c.id == "okra").expect("okra");
    let t = |c| TEMPERATURE.of(celsius(c));
    let cold = Goal { species: trout, crop: okra, hottest: t(17.0), coldest: t(8.0), ..Goal::default() };
    let r = refused(&cold);
    assert!(r.why.contains("Okra") && !r.near.is_empty(), "{r:?}");
    let hot = Goal { species: trout, hottest: t(29.0), coldest: t(18.0), ..Goal::default() };
    let r = refused(&hot);
    assert!(r.why.contains("stop feeding above") && !r.near.is_empty(), "{r:?}");
    for near in &r.near {
        let changed = after(&hot, near);
        holds(&changed, &planned(&changed));
    }
}

#[test]
fn plants_and_feed_must_balance() {
    let (length, width) = (LENGTH.of(60.0), LENGTH.of(12.0));
    let goal = Goal { want: Want::Both, greens: AREA.of(40.0), length, width, ..Goal::default() };
    let r = refused(&goal);
    assert!(r.why.contains("hungry"), "{}", r.why);
    assert!(
        r.near.iter().any(|n| n.title.contains("m²")) && r.near.iter().any(|n| n.title.contains("a year")),
        "{r:?}"
    );
    for near in &r.near {
        let changed = after(&goal, near);
        holds(&changed, &planned(&changed));
    }
}

/// A larger room is no help where fish and plants do not balance, where the air is too thin, or where no part is as large.
#[test]
fn what_no_room_cures_is_said_before_the_room() {
    let large = LENGTH.of(100.0);
    for (goal, because) in [
        (Goal { want: Want::Both, fish: MASS.of(500.0), greens: AREA.of(0.1), ..Goal::default() }, "too little"),
        (Goal { altitude: LENGTH.of(4000.0), fish: MASS.of(100.0), ..Goal::default() }, "Oxygen"),
        (Goal { fish: MASS.of(5000.0), length: large, width: large, ..Goal::default() }, "more than one such system"),
    ] {
        let r = refused(&goal);
        assert!(r.why.contains(because) && !r.why.contains("room"), "{}", r.why);
        for near in &r.near {
            let changed = after(&goal, near);
            holds(&changed, &planned(&changed));
        }
    }
}

#[test]
fn bad_goals_get_a_sentence() {
    let t = |c| TEMPERATURE.of(celsius(c));
    for goal in [
        Goal { fish: MASS.of(f64::NAN), ..Goal::default() },
        Goal { hottest: t(10.0), coldest: t(20.0), ..Goal::default() },
        Goal { start: MASS.of(2.0), ..Goal::default() },
        Goal { fish: MASS.of(5000.0), length: LENGTH.of(200.0), width: LENGTH.of(200.0), ..Goal::default() },
    ] {
        let r = refused(&goal);
        assert!(r.why.ends_with('.') && !r.why.contains("NaN"), "{}", r.why);
        for near in &r.near {
            let changed = after(&goal, near);
            holds(&changed, &planned(&changed));
        }
    }
}

/// Draws a goal from fractions.
struct Draw<'a> {
    draws: &'a [f64],
    at: usize,
}

impl Draw<'_> {
    fn next(&mut self) -> f64 {
        self.at += 1;
        self.draws[self.at % self.draws.len()]
    }
}

impl Form for Draw<'_> {
    fn text(&mut self, _: &Text, _: &mut String) {}
    fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let [low, high] = [spec.advised[0].max(spec.hard[0]), spec.advised[1].min(spec.hard[1])];
        let x = self.next();
        *si = if low > 0.0 && high / low > 5.0 { low * (high / low).powf(x) } else { low + x * (high - low) };
        if spec.kind.whole {
            *si = si.round();
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        *at = (self.next() * pick.options().count() as f64) as usize;
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, _: &List, _: &mut dyn Rows) {}
}

/// Where the plants stand near one of their two brims, the sentence says so, as the check does.
#[test]
fn a_plan_that_is_tight_somewhere_says_so() {
    let goal = Goal {
        want: Want::Both,
        fish: MASS.of(60.0),
        greens: AREA.of(13.0),
        length: LENGTH.of(30.0),
        width: LENGTH.of(20.0),
        hottest: TEMPERATURE.of(celsius(28.0)),
        coldest: TEMPERATURE.of(celsius(20.0)),
        ..Goal::default()
    };
    let p = plan(&goal, Words::default()).expect("planned");
    let tight = p.levels.iter().any(|l| l.level.state() == State::Tight);
    let said = p.verdict(Words::default());
    assert!(tight && said.contains("but tight: the plant area of Grow bed"), "{said}");
}

/// A plan says no more than the check of the system that it makes, and of fish that need warm water what is to be added.
#[test]
fn a_plan_says_what_its_check_says() {
    let t = |c: f64| TEMPERATURE.of(celsius(c));
    let tilapia = Goal { species: &SPECIES[0], hottest: t(29.0), coldest: t(25.0), ..Goal::default() };
    let trout = Goal {
        species: Species::by_id("trout").expect("there"),
        crop: CROPS.iter().find(|c| c.id == "lettuce").expect("there"),
        hottest: t(16.0),
        coldest: t(8.0),
        ..Goal::default()
    };
    for (goal, warm) in [(Goal::default(), true), (tilapia, true), (trout, false)] {
        let p = planned(&goal);
        let check = report::report(&p.document, Words::default()).expect("checks").verdict;
        let said = p.verdict(Words::default()).replace(THIN, " ");
        let first = ["Enough everywhere", "Enough in all that is checked"].into_iter().find(|f| check.starts_with(f));
        assert!(first.is_some_and(|first| said.contains(first)), "{said} {check}");
        let unsaid = check.split(" Not checked, ").nth(1).expect("something is not entered");
        assert!(said.contains(&format!(" Not checked, {unsaid}")), "{said} {check}");
        assert_eq!(said.contains("Heat is not checked, nor a cold night"), warm, "{said}");
        assert_eq!(said.contains("Add “Heat” to the system"), warm, "{said}");
    }
}

/// Whatever is asked: a plan that the whole check passes, or a sentence and goals near by that are planned so.
#[test]
fn a_planned_system_always_checks_out_as_enough() {
    let config = |cases| Config { cases, failure_persistence: None, ..Config::default() };
    let mut runner = match std::env::var("BRIMWISE_CASES").ok().and_then(|s| s.parse().ok()) {
        Some(cases) => TestRunner::new(config(cases)),
        None => TestRunner::new_with_rng(config(200), TestRng::deterministic_rng(RngAlgorithm::ChaCha)),
    };
    let (mut plans, mut near) = (0, 0);
    let seen = std::cell::RefCell::new((&mut plans, &mut near));
    runner
        .run(&prop::collection::vec(0.0..1.0f64, 40), |draws| {
            let mut goal = Goal::default();
            goal.fields(&mut Draw { draws: &draws, at: 0 });
            // Half of the goals are asked in water that the fish bear, so that more than the water is tried.
            if draws[0] < 0.6 {
                let (low, high) = (goal.species.stops_below().value, goal.species.stops_above().value);
                goal.coldest = TEMPERATURE.of(low + draws[1] * (high - low) * 0.7);
                goal.hottest = TEMPERATURE.of(goal.coldest.value + draws[2] * (high - goal.coldest.value));
            }
            match plan(&goal, W) {
                Ok(p) => {
                    holds(&goal, &p);
                    *seen.borrow_mut().0 += 1;
                }
                Err(r) => {
                    prop_assert!(r.why.ends_with('.') && !r.why.contains("NaN") && !r.why.contains("inf"), "{}", r.why);
                    for n in &r.near {
                        let changed = after(&goal, n);
                        match plan(&changed, W) {
                            Ok(p) => holds(&changed, &p),
                            Err(again) => prop_assert!(false, "{} -> {}: {}", r.why, n.title, again.why),
                        }
                        *seen.borrow_mut().1 += 1;
                    }
                }
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    assert!(plans >= 20 && near >= 50, "only {plans} plans and {near} goals near by were tried");
}

/// Fish that do not winter sicken in water in which they stop feeding: the plan says so, and plans none in which many die.
#[test]
fn water_too_cold_to_feed_in_is_said() {
    let t = |c| TEMPERATURE.of(celsius(c));
    let species = |id: &str| SPECIES.iter().find(|s| s.id == id).expect("there");
    let said = |id: &str, coldest: f64, hottest: f64| {
        let p = planned(&Goal { species: species(id), coldest: t(coldest), hottest: t(hottest), ..Goal::default() });
        p.notes.iter().any(|n| n.contains("do not winter"))
    };
    let cold = Goal { species: species("tilapia"), coldest: t(13.0), hottest: t(29.0), ..Goal::default() };
    let refused = plan(&cold, W).expect_err("many die");
    assert!(refused.why.contains("many Nile tilapia sicken and die; this water falls to 13"), "{}", refused.why);
    assert!(refused.near.iter().any(|n| n.title.contains("Water kept over 17")), "{:?}", refused.near);
    assert!(said("barramundi", 18.5, 29.0) && !said("barramundi", 21.0, 29.0) && !said("trout", 18.0, 19.0));
}
