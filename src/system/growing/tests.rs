use super::*;
use crate::system::demo;

fn of(id: &str) -> Document {
    demo::by_id(id).expect("there").document()
}

/// Normal distribution, by its tables: the upper third begins at 0.4307; the density there is 0.3636.
#[test]
fn the_largest_third() {
    let (share, taken, left) = Thinning::Largest.parts();
    let z: f64 = 0.430_727;
    let density = (-z * z / 2.0).exp() / std::f64::consts::TAU.sqrt();
    assert!((LARGEST_THIRD.value - density / share).abs() < 2e-4);
    // Nothing is lost: the parts weigh what the whole did.
    assert!((share * taken + (1.0 - share) * left - 1.0).abs() < 1e-4);
    assert_eq!(Thinning::Half.parts(), (0.5, 1.0, 1.0));
}

/// By the tables of the normal distribution: 0.1587 of it are past one standard deviation, 0.00135 past three.
#[test]
fn the_largest_third_of_several_groups() {
    assert!((normal(1.0).1 - 0.158_66).abs() < 1e-5 && (normal(-3.0).1 - 0.998_65).abs() < 1e-5);
    assert!((normal(0.430_727).1 - 1.0 / 3.0).abs() < 1e-6);
    // Alike, a third of each; nearly alike, nearly so, in number and in mass.
    assert_eq!(largest(&[(20.0, 0.3), (5.0, 0.3)]), [Thinning::Largest.parts(); 2]);
    let (share, taken, left) = largest(&[(20.0, 0.3), (20.0, 0.301)])[0];
    let alike = Thinning::Largest.parts();
    assert!((share - alike.0).abs() < 0.01 && (taken - alike.1).abs() < 0.01 && (left - alike.2).abs() < 0.01);
    // Fingerlings stay; nothing is lost.
    let all = [(20.0, 0.04), (20.0, 0.18), (20.0, 0.44)];
    let parts = largest(&all);
    assert!(parts[0].0 < 1e-6 && parts[1].0 < 0.1 && parts[2].0 > 0.9, "{parts:?}");
    assert!((parts.iter().map(|p| p.0).sum::<f64>() - 1.0).abs() < 1e-6);
    assert!(parts.iter().all(|(s, taken, left)| *s < 1e-6 || (s * taken + (1.0 - s) * left - 1.0).abs() < 1e-3));
}

/// Two tanks of the same fish, some of which are at another part of their harvest mass than the others.
fn staged(parts: [f64; 2], count: f64) -> Document {
    let mut d = of("enlarged");
    let like = d.tanks[0].oxygen.fish[0].clone();
    for (t, part) in d.tanks.iter_mut().zip(parts) {
        t.harvest = SMALL_MASS.of(g(500.0));
        let mass = t.harvest * part;
        t.oxygen.fish = vec![FishGroup { mass, by: FishBy::Weight, biomass: mass * count, ..like.clone() }];
    }
    d
}

/// Who is grown is taken out, and told so; the others go on in the room that this leaves.
#[test]
fn a_group_at_harvest_leaves_the_tanks() {
    let d = staged([0.98, 0.3], 10.0);
    let all = growing(&d).expect("solves");
    let [first, last] = &all.harvests[..] else { panic!("{:?}", all.harvests) };
    assert!(
        first.time.value < days(30.0) && last.time.value > 2.0 * first.time.value && Some(last.time) == all.harvest
    );
    assert_eq!((&first.tanks, first.count.round()), (&vec![0], 10.0));
    assert!((first.mass.value - 5.0).abs() < 1e-6);
    let said = all.sentences(&d, Words::default());
    let mass = Words::default().q(MASS, MASS.of(5.0));
    let step = format!("Taken out at harvest: 10 fish of {} ({mass}) ", d.tanks[0].name);
    assert!(said[1].starts_with(&step) && said[1].contains(", then 10 fish of "), "{said:#?}");
    // As many at once are one harvest, of which nothing more is said.
    assert!(growing(&staged([0.3, 0.3], 10.0)).expect("solves").harvests.is_empty());
    let (ways, shared) = (flow::ways(&d).expect("ways"), RefCell::default());
    let groups = (0..2).map(|tank| {
        let (t, mass) = (&d.tanks[tank], d.tanks[tank].oxygen.fish[0].mass.value);
        let course = Stock::course(&d, tank, 0, mass, 0.0);
        Group { tank, at: 0, count: t.fish(), course, harvest: t.harvest.value }
    });
    let stock = Stock { d: &d, ways: &ways, shared: &shared, groups: groups.collect() };
    let fish = |t: f64| stock.at(t).tanks.iter().map(|t| t.oxygen.fish[0].total().value).collect::<Vec<_>>();
    assert!((fish(first.time.value)[0] - 5.0).abs() < 1e-6, "there at its harvest");
    let after = fish(first.time.value + days(1.0));
    assert!(after[0] == 0.0 && after[1] > 1.5, "{after:?}");
    assert!(stock.looks(0.0).contains(&first.time.value));
}

/// Where there are too many, those that are grown come out before any smaller ones.
#[test]
fn the_grown_are_taken_out_first() {
    let d = staged([0.98, 0.2], 60.0);
    let all = growing(&d).expect("solves");
    assert!(!all.plans.is_empty());
    for p in &all.plans {
        let first = &p.stages[0];
        assert!(first.grown && (first.count - 60.0).abs() < 1e-6 && first.time.value == 0.0, "{p:?}");
        assert!((first.mass.value - 60.0 * 0.49).abs() < 1e-6);
    }
    assert!(all.sentences(&d, Words::default()).iter().any(|s| s.contains("near harvest")));
    // All alike, they are thinned as ever.
    let alike = growing(&staged([0.98, 0.98], 60.0)).expect("solves");
    assert!(alike.plans.iter().all(|p| p.stages.iter().all(|s| !s.grown)) && alike.plans.len() == 2);
}

/// Plants that are too many only once fish are harvested wait for those that are stocked next.
#[test]
fn plants_wait_for_the_next_fish() {
    let mut d = staged([0.98, 0.3], 10.0);
    for b in 0..d.beds.len() {
        let o = check::solve(&d, Day::Today).expect("solves");
        d.beds[b].bed.area = (o.beds[b].wanted.0 + o.beds[b].wanted.1) / 2.0;
    }
    let all = growing(&d).expect("solves");
    let (ways, shared) = (flow::ways(&d).expect("ways"), RefCell::default());
    let mut after = d.clone();
    scale_fish(&mut after, 1.0);
    after.tanks[0].oxygen.fish[0].biomass = MASS.of(0.0);
    let days = solve_days_with(&after, &ways, &LOOKED_AT, &mut shared.borrow_mut()).expect("solves");
    let too_many = |l: &Checked| l.level.id == "bed" && l.level.percent().contains("too many");
    assert!(merge(&ways, &days).iter().any(|l| is_over(l) && too_many(l)), "or there is nothing to wait for");
    assert!(!all.crossed.iter().any(|c| too_many(&c.level)), "{:#?}", all.crossed);
}

#[test]
fn a_level_is_over_just_after_its_date_and_not_before() {
    // More fish than the enlarged trough can bring to harvest, with the narrow outlet mended.
    let mut d = of("courtyard");
    for g in &mut d.tanks[0].oxygen.fish {
        g.count *= 1.4;
        g.count = COUNT.of(g.count.value.round());
        g.mass = SMALL_MASS.of(g.mass.value * 0.5);
        g.biomass = g.mass * g.count;
    }
    d.tanks[0].harvest = SMALL_MASS.of(g(900.0));
    let all = growing(&d).expect("solves");
    assert!(all.harvest.is_some() && !all.crossed.is_empty(), "{all:#?}");
    assert!(all.crossed.windows(2).all(|w| w[0].time <= w[1].time));
    let ways = flow::ways(&d).expect("ways");
    let g = &d.tanks[0].oxygen.fish[0];
    let season = Season::steady(d.water.today);
    for c in &all.crossed {
        let at = |t: f64| {
            let mut d = d.clone();
            let mass = growth::mass_at(g.species, g.mass, &season, Pace::Soonest, DAYS.of(t), d.tanks[0].harvest);
            d.tanks[0].oxygen.fish[0].mass = mass;
            d.water.filter_age = DAYS.of(d.water.filter_age.value + t);
            let days = crate::system::worst::solve_days(&d, &ways, &LOOKED_AT).expect("solves");
            merge(&ways, &days).into_iter().find(|l| l.is(&c.level)).expect("there").level.fullness()
        };
        let (before, after) = (at((c.time.value - days(4.0)).max(0.0)), at(c.time.value + days(4.0)));
        assert!(before < 1.0 + 1e-6 && after > 1.0 - 1e-6, "{}: {before} {after}", c.level.level.name);
    }
    // Taking fish out brings some of them to harvest, and later the fewer the fish.
    for p in &all.plans {
        let left = p.left.expect("some reach harvest");
        let taken: f64 = p.stages.iter().map(|s| s.count).sum();
        assert!(left >= 1.0 && (taken + left - d.tanks[0].fish()).abs() < 1e-6, "{p:?}");
        assert!(p.stages.windows(2).all(|w| w[0].time < w[1].time));
    }
    let said = all.sentences(&d, Words { today: Some(20_782), ..Words::default() });
    assert!(said.len() >= 4 && said[0].contains("at the soonest") && said[1].contains("goes over in"), "{said:#?}");
}

/// Half the ration is half the growth or less, and none at all is none.
#[test]
fn they_grow_on_what_is_weighed_out() {
    let time = |share: f64| {
        let mut d = of("courtyard");
        let o = &mut d.tanks[0].oxygen;
        let eat = |g: &FishGroup| (g.total() * feeding::ration(g.species, g.mass, d.water.today)).value;
        let ration: f64 = o.fish.iter().map(eat).sum();
        if share < 2.0 {
            (o.feed_by, o.feed) = (FeedBy::Weighed, FEED_RATE.of(ration * share));
        }
        growing(&d).expect("solves").harvest.map(|t| t.value)
    };
    let soonest = time(2.0).expect("they grow");
    let half = time(0.5).expect("they grow");
    assert!(half > 1.5 * soonest && time(1.0).expect("they grow") >= soonest, "{soonest} {half}");
    assert_eq!(time(0.0), None);
}

/// What is enough on the check's days, the harvest's among them, does not go over on the way there.
#[test]
fn the_way_to_harvest_ends_where_the_check_has_it() {
    use crate::system::plan::{Goal, Sizes, plan};
    let planned = [Sizes::Metric, Sizes::Inch]
        .map(|sizes| plan(&Goal { sizes, ..Goal::default() }, Words::default()).expect("is planned").document);
    for d in demo::ALL.iter().map(demo::Demo::document).chain(planned) {
        let over: Vec<Checked> =
            crate::system::report::levels(&d).expect("solves").into_iter().filter(is_over).collect();
        // Plants alone are not asked of the harvest: the check sizes them for today's feed.
        for c in growing(&d).expect("solves").crossed.iter().filter(|c| c.level.level.id != "bed") {
            assert!(over.iter().any(|o| o.is(&c.level)), "{}: {}", d.name, c.level.level.name);
        }
    }
}

/// A bed that is large enough for the feed of today is too small for that of larger fish: when, is said.
#[test]
fn plants_become_too_few() {
    let mut d = of("courtyard");
    d.tanks[0].oxygen.fish[0].mass = SMALL_MASS.of(g(60.0));
    d.tanks[0].harvest = SMALL_MASS.of(g(500.0));
    d.beds[0].bed.area = check::solve(&d, Day::Today).expect("solves").beds[0].wanted.0 * 1.1;
    let all = growing(&d).expect("solves");
    let bed = all.crossed.iter().find(|c| c.level.level.id == "bed").expect("crosses");
    assert_eq!(bed.level.level.name, "Plant area of Raft");
    let said = all.sentences(&d, Words::default());
    assert!(said.iter().any(|s| s.starts_with("Plant area of Raft goes over in") && s.contains("too few plants")));
    assert!(!said[0].contains("Nothing goes over"), "{said:?}");
}

/// What clogs is another day of the check than the harvest: that nothing goes over is said of clean screens and stones, for with aged ones the grown
/// fish may lack oxygen.
#[test]
fn nothing_goes_over_while_stones_are_clean() {
    let mut d = of("hill_trout");
    d.tanks[0].oxygen.air.flow = AIR_FLOW.of(l_min(205.0));
    let all = growing(&d).expect("solves");
    let said = &all.sentences(&d, Words::default())[0];
    assert!(
        all.crossed.is_empty() && said.contains("goes over on the way while screens and stones are clean."),
        "{said}"
    );
    let t = &mut d.tanks[0];
    let grown = t.harvest;
    (t.oxygen.fish[0].biomass, t.oxygen.fish[0].mass) = (grown * t.oxygen.fish[0].count, grown);
    let levels = crate::system::report::levels(&d).expect("solves");
    assert!(levels.iter().any(|l| l.level.id == "oxygen" && is_over(l) && l.day == Day::Aged), "{levels:#?}");
}

#[test]
fn no_fish_and_cold_water() {
    let mut d = of("courtyard");
    d.water.today = TEMPERATURE.of(celsius(4.0));
    let cold = growing(&d).expect("solves");
    assert!(cold.harvest.is_none(), "{cold:?}");
    assert!(cold.sentences(&d, Words::default())[0].contains("do not all reach harvest"));
    d.tanks[0].oxygen.fish.clear();
    let none = growing(&d).expect("solves");
    assert_eq!(none.sentences(&d, Words::default()), ["There are no fish to grow."]);
}

/// What is weighed out grows with the fish, and half of them get half of it.
#[test]
fn weighed_feed_goes_with_the_fish() {
    use crate::calculators::oxygen::FeedBy;
    let mut d = of("courtyard");
    let o = &mut d.tanks[0].oxygen;
    (o.feed_by, o.feed) = (FeedBy::Weighed, FEED_RATE.of(g_day(60.0)));
    let (ways, shared) = (flow::ways(&d).expect("ways"), RefCell::default());
    let mass = d.tanks[0].oxygen.fish[0].mass.value;
    let (course, harvest) = (Stock::course(&d, 0, 0, mass, 0.0), d.tanks[0].harvest.value);
    let group = Group { tank: 0, at: 0, count: d.tanks[0].fish(), course, harvest };
    let mut stock = Stock { d: &d, ways: &ways, shared: &shared, groups: vec![group] };
    let fed = |s: &Stock<'_>, t: f64| s.at(t).tanks[0].oxygen.feed.value / g_day(60.0);
    let end = stock.end();
    assert!((fed(&stock, 0.0) - 1.0).abs() < 1e-9 && fed(&stock, end) > 1.05);
    let before = fed(&stock, end);
    stock.thin(Thinning::Half, end);
    assert!((fed(&stock, end) / before - 0.5).abs() < 1e-9);
}

/// The verdict names what goes over within weeks, as the answer does; nothing where nothing does.
#[test]
fn what_goes_over_soon_stands_in_the_verdict() {
    let w = Words::default();
    let d = of("classroom");
    let (all, first) = (growing(&d).expect("solves"), soon(&d).expect("goes over soon"));
    let same = all.crossed.first().expect("crosses");
    assert!(
        first.level.is(&same.level) && (first.time.value - same.time.value).abs() < days(1.5),
        "{first:?} {same:?}"
    );
    let r = crate::system::report::report(&d, w).expect("checks");
    assert!(r.verdict.starts_with("Enough everywhere, on the worst day too. But as the fish grow, "), "{}", r.verdict);
    assert!(r.verdict.contains(&format!("{} goes over in ", super::super::worst::inside(&same.level.level.name))));
    // While somebody types it is not looked for anew.
    let so_far = crate::system::report::report_so_far(&d, w, &r).expect("checks");
    assert_eq!(so_far.verdict, r.verdict);
    // Where it is over already that is said instead, and without fish nothing grows.
    for id in ["enlarged", "courtyard"] {
        let d = of(id);
        let all = growing(&d).expect("solves").crossed;
        let early = all.first().is_some_and(|c| c.time.value < days(29.0));
        let said = crate::system::report::report(&d, w).expect("checks");
        assert_eq!(said.soon.is_empty(), !early || said.state() == State::Over, "{id}: {}", said.verdict);
    }
    let mut none = d;
    none.tanks.iter_mut().for_each(|t| t.oxygen.fish.clear());
    assert_eq!(soon(&none), None);
}
