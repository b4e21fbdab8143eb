use super::chain::fish_of;
use super::*;
use crate::calculators::outcome::Span;
use crate::calculators::pump::Ends;
use crate::system::check::{self, Day};
use crate::system::document::{self, FilterAt};
use crate::system::{demo, growing::growing, quality};
use crate::units::kinds::*;
use crate::units::si::{g, mm};

fn said(d: &Document, of: &str) -> Option<String> {
    let all = report(d, Words::default()).expect("checks").cautions;
    all.into_iter().find(|c| c.text.contains(of)).map(|c| c.text.to_string())
}

#[test]
fn parts_that_cannot_be_told_apart_are_said() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    assert!(said(&d, "tell them apart").is_none() && said(&d, "has no name").is_none());
    d.tanks[1].name = format!(" {} ", d.tanks[0].name.to_ascii_uppercase());
    assert!(said(&d, "tell them apart").is_some());
    d.tanks[1].name = " ".into();
    assert!(said(&d, "has no name").is_some());
}

/// A pH that starves the crop is no "enough": basil bears 5.5 to 7.5. Nobody is told so by a test that was not read.
#[test]
fn a_ph_that_starves_the_crop_is_tight() {
    let mut d = demo::by_id("classroom").expect("there").document();
    let checked = |d: &Document| report(d, Words::default()).expect("checks");
    assert!(checked(&d).verdict.starts_with("Enough everywhere") && said(&d, "run short").is_none());
    d.ammonia[0].0.ph = RATIO.of(8.2);
    let r = checked(&d);
    assert!(
        r.verdict.starts_with(
            "Nothing is over. pH for the crop in Herb bed is tight: too alkaline; iron and phosphorus run short"
        ),
        "{}",
        r.verdict
    );
    assert!(r.repairs.is_empty());
    let text = said(&d, "run short").expect("said").replace(THIN, " ");
    assert!(
        text.starts_with("Basil bears pH 5.5 to 7.5 and does best at 5.5 to 6.5; at 8.2 the water is too alkaline"),
        "{text}"
    );
    d.ammonia[0].0.tan = CONCENTRATION.of(0.0);
    d.ammonia[0].0.nitrite = CONCENTRATION.of(0.0);
    assert!(checked(&d).levels.iter().any(|l| l.level.id == "crop_ph") && said(&d, "run short").is_some());
    d.ammonia[0].0.test_read = form::YesNo::No;
    assert!(checked(&d).levels.iter().all(|l| l.level.id != "crop_ph") && said(&d, "run short").is_none());
}

/// What is said of every system is said once, and rain where it falls.
#[test]
fn children_containers_metals_and_rain_are_said_once() {
    for demo in demo::ALL {
        let all = report(&demo.document(), Words::default()).expect("checks").cautions;
        assert_eq!(all.iter().filter(|c| c.text.contains("Small children drown")).count(), 1, "{}", demo.id);
    }
    let mut d = demo::by_id("classroom").expect("there").document();
    d.heat[0].0.place = crate::calculators::heat::Place::Room;
    assert!(said(&d, "of rain").is_none());
    d.heat[0].0.place = crate::calculators::heat::Place::Sky;
    assert!(said(&d, "of rain").expect("said").starts_with("Under the open sky, each 10\u{202f}mm of rain"));
    d.heat.clear();
    let all = report(&d, Words::default()).expect("checks").cautions;
    let rain: Vec<_> = all.iter().filter(|c| c.text.contains("of rain")).collect();
    assert!(rain.len() == 1 && rain[0].text.starts_with("If it stands under the open sky, each"), "{rain:?}");
    // By hand, 10 mm: on 1 m2 more of bed 10 L more.
    let litres = |d: &Document| {
        let text = said(d, "of rain").expect("said");
        let figure = text.split("beds is ").nth(1).and_then(|t| t.split('\u{202f}').next()).expect("litres");
        figure.parse::<f64>().expect("a number")
    };
    let was = litres(&d);
    d.beds[0].bed.area += AREA.of(1.0);
    assert!((litres(&d) - was - 10.0).abs() < 0.2, "{was} {}", litres(&d));
}

/// By hand: 3 m2 of raft and a settler 580 mm across hold 33 L for every 10 mm.
#[test]
fn outlets_that_nobody_describes_are_named() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.settlers[0].settling.diameter = SHORT_LENGTH.of(mm(580.0));
    let text = said(&d, "Not checked: whether").expect("said");
    assert!(text.contains("Settler and Raft") && text.contains("1\u{202f}700\u{202f}L/h"), "{text}");
    assert!(text.contains("32.6\u{202f}L for every 10\u{202f}mm"), "{text}");
    d.sumps[0].levels.clear();
    assert!(!said(&d, "Not checked: whether").expect("said").contains("for every"));
    // A drowned supply pipe: 1.5 m2 of trough.
    let mut d = demo::by_id("enlarged").expect("there").document();
    d.edges[1].run[0].0.ends = Ends::Under;
    assert!(said(&d, "siphons it back").expect("said").contains("15\u{202f}L for every 10\u{202f}mm"));
    // A siphon is checked, at what it is set to: what may come is said.
    let rig = demo::by_id("classroom").expect("there").document();
    assert!(said(&rig, "Not checked: whether").is_none());
    assert!(said(&rig, "its siphon may never break").expect("said").starts_with("Herb bed: "));
}

/// No outlet, no word of one: what is said is how far the beds draw the tank down, and what to do.
#[test]
fn a_tank_without_an_outlet_is_told_as_one() {
    let mut d = check::tests::pump_in_tank();
    let words = |d: &Document| {
        let r = report(d, Words::default()).expect("checks");
        let water = r.stations.iter().find(|s| s.id == "tank").and_then(|s| s.water.clone()).expect("known");
        water.words.replace(THIN, " ")
    };
    // By hand: 57.9 of 250 L, of 500 mm.
    assert!(words(&d).ends_with("116 mm lower, 384 mm over the floor"), "{}", words(&d));
    let text = said(&d, "a pump draws from it").expect("said");
    assert!(!text.contains("overflow") && said(&d, " vent ").is_none() && said(&d, "spills").is_none(), "{text}");
    let s = &mut d.beds[0].siphon[0].0;
    (s.length, s.width, s.overflow) = (LENGTH.of(2.0), LENGTH.of(1.2), crate::calculators::form::YesNo::No);
    assert!(said(&d, "a pump draws from it").expect("said").ends_with("Give every bed an overflow back to it."));
    let r = report(&d, Words::default()).expect("checks");
    assert_eq!(r.foremost().map(|l| l.level.name.as_ref()), Some("Water for the pump in Fish tank"));
    let whole = |of: &str| r.repairs.iter().any(|t| t.repair.title.contains(of));
    assert!(whole("Fish tank: volume") || whole("water"), "{:#?}", r.repairs);
    assert!(super::super::worst::worst(&d).expect("solves").blocked.is_empty());
    let proofs = super::super::prove::proofs(&d, Words::default()).expect("a list").proofs;
    let keys: Vec<&str> = proofs.iter().map(|p| p.key.as_str()).collect();
    assert!(
        keys.contains(&"lowest tank")
            && ["bore tank", "level tank", "blocked tank", "stop"].iter().all(|k| !keys.contains(k))
    );
}

/// The water over an outlet and what is dry over it are the height of the rim over that outlet, wherever still water stands.
#[test]
fn water_is_told_over_the_outlet() {
    use crate::calculators::drain::{Arrangement, FarEnd};
    let mm_of = |d: &Document| -> f64 {
        let r = report(d, Words::default()).expect("checks");
        let water = r.stations.iter().find(|s| s.id == "trough").and_then(|s| s.water.clone()).expect("known");
        water.words.replace(THIN, " ").split(' ').filter_map(|x| x.parse::<f64>().ok()).sum()
    };
    let mut d = check::tests::pair();
    assert!((mm_of(&d) - 300.0).abs() <= 2.0, "{}", mm_of(&d));
    let o = &mut d.tanks[0].outlet;
    (o.arrangement, o.far_end) = (Arrangement::Wall, FarEnd::Under);
    (o.hole_depth, o.tail) = (SHORT_LENGTH.of(mm(300.0)), SHORT_LENGTH.of(mm(250.0)));
    assert!((mm_of(&d) - 300.0).abs() <= 2.0, "{}", mm_of(&d));
}

/// Beds that have an overflow are not told to get one.
#[test]
fn an_overflow_that_is_there_is_not_asked_for() {
    let mut d = demo::by_id("classroom").expect("there").document();
    d.beds.iter_mut().flat_map(|b| &mut b.siphon).for_each(|s| s.0.overflow = crate::calculators::form::YesNo::Yes);
    assert!(said(&d, "Give every bed an overflow").is_none());
    d.beds[0].siphon[0].0.overflow = crate::calculators::form::YesNo::No;
    assert!(said(&d, "Give every bed an overflow").is_some());
}

/// Two stations may have one name: where the water goes is told by the station, not by what it is called.
#[test]
fn water_goes_to_stations_not_to_names() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    d.tanks[1].name = d.tanks[0].name.clone();
    let r = report(&d, Words::default()).expect("checks");
    for s in &r.stations {
        let goes: Vec<&str> = r.onward(s).map(|(to, _)| r.stations[to].id.as_str()).collect();
        let drawn: Vec<&str> = d.edges.iter().filter(|e| e.from == s.id).map(|e| e.to.as_str()).collect();
        assert_eq!(goes, drawn, "from {}", s.id);
    }
    assert!(r.onward(&r.stations[0]).all(|(to, said)| said.ends_with(&format!(" to {}", r.stations[to].name))));
}

/// What is over does not hide what nobody said, and every sump without a size is named.
#[test]
fn an_over_verdict_names_what_is_not_checked() {
    let verdict = |d: &Document| report(d, Words::default()).expect("checks").verdict;
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.tanks[0].oxygen.fish[0].count *= 9.0;
    d.ammonia.clear();
    assert!(verdict(&d).contains(" over") && verdict(&d).ends_with("the filter."), "{}", verdict(&d));
    let mut spills = demo::by_id("enlarged").expect("there").document();
    spills.stocking.clear();
    assert!(verdict(&spills).ends_with("how many fish the water may hold."), "{}", verdict(&spills));
    let mut d = demo::by_id("courtyard").expect("there").document();
    let low = crate::system::document::Sump { id: "low".into(), name: "Low sump".into(), levels: vec![] };
    d.sumps.push(low);
    let last = d.edges.iter_mut().find(|e| e.to == "sump").expect("an edge");
    last.to = "low".into();
    d.edges.push(crate::system::document::Edge { from: "low".into(), to: "sump".into(), ..Default::default() });
    // No pump draws from it: it is not asked for its size, but for what it lets down.
    let lets = "nothing is entered: what runs down out of Low sump when the pump stops.";
    assert!(verdict(&d).ends_with(lets), "{}", verdict(&d));
    d.sumps.pop();
    d.edges.pop();
    d.edges.iter_mut().filter(|e| e.to == "low").for_each(|e| e.to = "sump".into());
    d.sumps[0].levels.clear();
    assert!(verdict(&d).ends_with("nothing is entered: the room in the sump."), "{}", verdict(&d));
}

fn said_of(d: &Document) -> Report {
    report(d, Words::default()).expect("checks")
}

/// A second bed of medium whose medium no filter counts.
#[test]
fn medium_that_is_not_counted_is_asked_about() {
    let mut d = demo::by_id("classroom").expect("there").document();
    assert!(said(&d, "is counted as biofilter").is_none());
    d.ammonia[0].0.media = d.beds[0].medium() * 0.5;
    assert!(said(&d, "is counted as biofilter").is_some());
    d.ammonia[0].1 = FilterAt::Sumps;
    assert!(said(&d, "is counted as biofilter").is_none());
}

/// Water that kills is said and stands first, whatever else is fuller and on whatever day it is.
#[test]
fn water_that_kills_leads() {
    let courtyard = || demo::by_id("courtyard").expect("there").document();
    let t = |c: f64| TEMPERATURE.of(si::celsius(c));
    let starts = |d: &Document, with: &str| {
        let r = said_of(d);
        assert!(r.verdict.replace(THIN, " ").starts_with(with), "{}", r.verdict);
        assert!(r.levels[0].level.leads && r.subject == Some(0), "{:?}", r.levels[0]);
        // What leaves it so is no better than what does not.
        let kills = |t: &Tried| {
            let mut after = d.clone();
            t.repair.edits.iter().for_each(|e| _ = crate::calculators::form::apply(&mut after, e));
            levels(&after).expect("solves").iter().any(|l| l.level.leads)
        };
        let all: Vec<bool> = r.repairs.iter().map(kills).collect();
        assert!(all.first() == Some(&false) && all.is_sorted(), "{all:?}");
    };
    let mut hot = courtyard();
    hot.water.hottest = t(36.0);
    starts(&hot, "Channel catfish die above 35 °C, and the hottest water is 36 °C. Other fish, or other water.");
    assert!(said_of(&hot).levels[1].level.fullness() > said_of(&hot).levels[0].level.fullness());
    assert_eq!(said_of(&hot).chain[0].head, "Water temperature in Trough: so hot that they die");
    // So cold that they die on one day, and on another only so cold that they do not feed; and a pump that is asked too much.
    let mut cold = courtyard();
    (cold.water.today, cold.water.coldest) = (t(10.0), t(0.5));
    cold.edges.iter_mut().for_each(|e| e.flow *= 4.0);
    starts(&cold, "Channel catfish die below 1 °C, and the coldest water is 0.5 °C.");
    assert!(said_of(&cold).levels.iter().any(|l| l.level.id == "pump" && l.level.state() == State::Over));
    let mut salt = courtyard();
    salt.tanks[0].oxygen.salinity = SALINITY.of(12.0);
    starts(&salt, "Channel catfish can take 9 g/L of salt at most, and the water holds 12 g/L.");
    assert!(said(&salt, "Salt harms many plants").is_some() && said(&courtyard(), "Salt").is_none());
    let free = &said_of(&salt).repairs[0].repair;
    assert!(free.title.contains("free of salt") && free.level.id == "crop_salt", "{free:?}");
    // A pH past what fish bear, by the numbers and the words of the water test's page.
    let at = |ph: f64, alkalinity: f64| {
        let mut d = courtyard();
        let a = &mut d.ammonia[0].0;
        (a.ph, a.alkalinity) = (RATIO.of(ph), CONCENTRATION.of(si::mg_l(alkalinity)));
        a.tan = CONCENTRATION.of(si::mg_l(0.05));
        d
    };
    for (ph, alkalinity, back) in [
        (4.5, 100.0, "Bring the pH to 6.5, in steps of 0.3 a day"),
        (4.5, 5.0, "Bring the pH to 6.5, in steps of 0.3 a day: with air, and with buffer up to 25"),
        (4.9, 2.0, "Buffer up to "),
        (9.6, 150.0, "Find what lifts the pH to 9.6"),
    ] {
        let d = at(ph, alkalinity);
        starts(&d, &format!("Channel catfish can take pH 5 to 9, and the water is at {ph}."));
        let r = said_of(&d);
        assert!(
            r.levels[0].level.id == "ph" && r.verdict.contains("Feed nothing until the pH is back."),
            "{}",
            r.verdict
        );
        assert!(r.repairs[0].repair.title.contains(back), "{}", r.repairs[0].repair.title);
        // Water that still kills is not said to be all right.
        let (i, set) = (&d.ammonia[0].0, "ammonia.0.ph");
        for t in r.repairs.iter().filter(|t| t.whole) {
            let ph = t.repair.edits.iter().rfind(|e| e.path == set).map(|e| e.to.clone());
            let is = if let Some(crate::calculators::form::EditValue::Si(x)) = ph { x } else { i.ph.value };
            assert!((5.0..=9.0).contains(&is), "{}", t.repair.title);
        }
    }
    let well = said_of(&at(7.0, 100.0));
    assert!(well.levels.iter().any(|l| l.level.id == "ph" && l.level.state() == State::Enough && !l.level.leads));
    // Where there are no fish nothing dies.
    let mut empty = at(4.5, 100.0);
    empty.tanks[0].oxygen.fish.clear();
    assert!(said_of(&empty).levels.iter().all(|l| l.level.id != "ph"));
    hot.tanks[0].oxygen.fish.clear();
    assert!(said_of(&hot).levels.iter().all(|l| !l.level.leads));
}

/// What kills within minutes today is told before what kills in winter, and before salt that some fish get used to.
#[test]
fn minutes_come_before_months() {
    let stock = |d: &mut Document, tank: usize, fish: f64, mass: f64| {
        let o = &mut d.tanks[tank].oxygen;
        o.air.mode = crate::calculators::air::AirMode::None;
        let g = &mut o.fish[0];
        (g.count, g.mass) = (COUNT.of(fish), SMALL_MASS.of(si::g(mass)));
        g.biomass = MASS.of(g.mass.value * fish);
    };
    let leads = |d: &Document, after: &str| {
        let r = said_of(d);
        let verdict = r.verdict.replace(THIN, " ");
        let name = &r.levels[0].level.name;
        assert!(r.subject == Some(0) && verdict.starts_with("Oxygen in Trough is over"), "{verdict}");
        assert!(verdict.contains("Put more air in now") && verdict.contains(after), "{verdict}");
        assert_eq!(r.repairs[0].repair.level.name, *name, "{:?}", r.repairs[0]);
        verdict
    };
    let mut d = demo::by_id("enlarged").expect("there").document();
    stock(&mut d, 0, 300.0, 300.0);
    let deadly = d.tanks[0].oxygen.fish[0].species.dies_below().value - 0.1;
    d.water.coldest = TEMPERATURE.of(deadly);
    let verdict = leads(&d, " Channel catfish die below ");
    assert!(verdict.contains(", and the coldest water is "), "{verdict}");
    assert!(verdict.contains("There is enough for 10 of 300 fish.") && !verdict.contains("by then"), "{verdict}");
    // Where an outlet that spills is the cause, the other tank is named all the same.
    stock(&mut d, 1, 400.0, 300.0);
    d.tanks.swap(0, 1);
    let verdict = said_of(&d).verdict;
    let [spills, too] = ["The outlet of New tank spills", " Oxygen is short today in Trough too: put more air in"];
    assert!(verdict.starts_with(spills) && verdict.contains(too) && verdict.contains("add air now, "), "{verdict}");
    assert!(!verdict.contains("by then") && verdict.contains(" Channel catfish die below"), "{verdict}");
    // Where nothing else is wrong today, the winter leads.
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.water.coldest = TEMPERATURE.of(deadly);
    assert!(said_of(&d).verdict.starts_with("Channel catfish die below"), "{}", said_of(&d).verdict);
    // Two tanks suffocate: both are named.
    let mut d = demo::by_id("enlarged").expect("there").document();
    stock(&mut d, 0, 300.0, 300.0);
    stock(&mut d, 1, 200.0, 300.0);
    d.edges.iter_mut().for_each(|e| e.run.clear());
    d.pumps[0].curve.clear();
    d.tanks[1].outlet.outlets = COUNT.of(8.0);
    d.edges.iter_mut().filter(|e| e.from == "pump").for_each(|e| e.flow = FLOW.of(si::l_h(700.0)));
    d.tanks[0].oxygen.salinity = SALINITY.of(9.3);
    let verdict = leads(&d, "feed nothing until there is enough, in New tank too. Channel catfish can take");
    assert!(!verdict.contains("by then"), "{verdict}");
}

/// Poison that was read today is told before what a harvest will ask; what is over today is told with today's figure first.
#[test]
fn today_comes_before_the_harvest() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let a = &mut d.ammonia[0].0;
    (a.nitrite, a.media) = (CONCENTRATION.of(si::mg_l(4.0)), a.media / 20.0);
    let r = said_of(&d);
    let biofilter = r.levels.iter().find(|l| l.level.id == "filter").expect("a filter");
    assert!(biofilter.level.fullness() > r.levels[0].level.fullness(), "{:?}", r.levels);
    assert!(r.verdict.starts_with("Nitrite nitrogen is over: "), "{}", r.verdict);
    d.ammonia[0].0.nitrite *= 0.0;
    let (r, harvest) = (said_of(&d), " at harvest in the hottest water");
    assert!(r.levels[0].day == Day::Harvest && r.levels[0].today.state() == State::Over, "{:?}", r.levels[0]);
    let (now, then) = (r.levels[0].today.percent(), r.levels[0].level.percent());
    let said = format!(" today: {now}, and {then}{harvest}.");
    assert!(
        now != then && r.verdict.starts_with("The fish give ") && r.verdict.contains(&said),
        "{}: {said}",
        r.verdict
    );
    assert!(r.chain[0].text.ends_with(&format!(" today, and {then}{harvest}.")), "{:?}", r.chain);
}

/// A group of no fish asks nothing of the water.
#[test]
fn no_fish_are_not_too_warm() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let mut none = d.tanks[0].oxygen.fish[0].clone();
    none.species = crate::catalog::species::Species::by_id("trout").expect("there");
    (none.count, none.biomass) = (COUNT.of(0.0), MASS.of(0.0));
    d.water.hottest = TEMPERATURE.of(si::celsius(26.0));
    let warmth = |d: &Document| {
        let all = said_of(d).levels.into_iter().filter(|l| l.level.id == "warmth");
        all.map(|l| l.level.state()).collect::<Vec<_>>()
    };
    let before = warmth(&d);
    // In front, so that the fish that there are keep a level of their own.
    d.tanks[0].oxygen.fish.insert(0, none);
    assert_eq!(warmth(&d), before);
    d.tanks[0].oxygen.fish[0].biomass = MASS.of(1.0);
    d.tanks[0].oxygen.fish[0].count = COUNT.of(5.0);
    assert_eq!(warmth(&d).iter().filter(|s| **s == State::Over).count(), 1);
}

/// The salt is told against the fish that bear least of it, wherever they stand.
#[test]
fn salt_is_told_of_the_fish_that_bear_least() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    for (t, id) in d.tanks.iter_mut().zip(["barramundi", "trout"]) {
        t.oxygen.salinity = SALINITY.of(36.0);
        t.oxygen.fish[0].species = crate::catalog::species::Species::by_id(id).expect("there");
    }
    let t = |c: f64| TEMPERATURE.of(si::celsius(c));
    (d.water.coldest, d.water.today, d.water.hottest) = (t(16.0), t(18.0), t(21.0));
    let verdict = said_of(&d).verdict.replace(THIN, " ");
    let said = "Rainbow trout can take 9 g/L of salt at most, and the water holds 36 g/L.";
    assert!(verdict.contains(said), "{verdict}");
}

/// Fish that must not be netted in water as cold as today's: who is told to take some out is told so.
#[test]
fn fish_are_not_netted_in_cold_water() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let g = &mut d.tanks[0].oxygen.fish[0];
    g.species = crate::catalog::species::Species::by_id("tilapia").expect("there");
    g.count *= 3.0;
    let told = |d: &Document| {
        let repairs = said_of(d).repairs;
        let fewer = repairs.iter().find(|t| t.repair.title.contains(" fish instead of ")).expect("offered");
        let grown = growing(d).expect("solves").sentences(d, Words::default()).join(" ");
        let also = fewer.repair.also.clone().unwrap_or_default();
        [said(d, "Do not net").is_some(), also.contains(quality::NOT_NETTED), grown.contains(quality::NOT_NETTED)]
    };
    assert_eq!(told(&d), [false; 3]);
    d.water.today = TEMPERATURE.of(si::celsius(17.0));
    assert_eq!(told(&d), [true; 3]);
}

/// The hottest week is asked of the plants too.
#[test]
fn water_too_hot_for_the_plants_is_said() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    assert!(said(&d, "Lettuce bears").is_none() && !said_of(&d).verdict.contains("lettuce"));
    d.water.hottest = TEMPERATURE.of(si::celsius(29.0));
    let text = said(&d, "Lettuce bears").expect("said").replace(THIN, " ");
    assert_eq!(text, "Raft in the hottest water: Lettuce bears 3 to 26 °C; at 29 °C this water is too hot for it.");
    let r = said_of(&d);
    assert!(r.verdict.contains("The hottest water is too hot for lettuce."), "{}", r.verdict);
    // Something else may grow in that season: tight, and nothing to repair.
    let roots = |r: &Report| r.levels.iter().find(|l| l.level.id == "roots").expect("a level").clone();
    assert_eq!((roots(&r).level.state(), roots(&r).day), (State::Tight, Day::Hottest));
    // What is so today is over, and is never told before what harms fish.
    (d.water.today, d.water.coldest) = (d.water.hottest, TEMPERATURE.of(si::celsius(20.0)));
    let r = said_of(&d);
    assert_eq!((roots(&r).level.state(), roots(&r).day), (State::Over, Day::Today));
    let other = |r: &Report| r.repairs.iter().any(|t| t.repair.title == "Raft: basil instead of lettuce");
    assert!(other(&r), "{:#?}", r.repairs);
    d.tanks[0].oxygen.fish[0].count *= 4.0;
    let r = said_of(&d);
    assert!(r.subject.is_some_and(|k| !of_plants(&r.levels[k].level)), "{}", r.verdict);
    assert!(r.verdict.ends_with("The water is too hot for lettuce."), "{}", r.verdict);
}

/// Basil bears 18 °C and dies in the cold; in trout water it is over on every day, and no page says that all is enough.
#[test]
fn a_crop_that_bears_no_day_of_the_year_is_said() {
    let mut d = demo::by_id("hill_trout").expect("there").document();
    let enough = said_of(&d);
    assert!(!enough.verdict.contains("too cold for"), "{}", enough.verdict);
    d.beds[0].bed.crop = crate::catalog::crops::CROPS.iter().find(|c| c.id == "basil").expect("there");
    let r = said_of(&d);
    let roots = r.levels.iter().find(|l| l.level.id == "roots").expect("a level");
    assert_eq!((roots.level.percent().as_str(), roots.day), ("so cold that the crop dies", Day::Coldest));
    assert!(r.verdict.contains("too cold for basil") && !r.verdict.contains("Enough"), "{}", r.verdict);
    // What is offered bears every day.
    let other = r.repairs.iter().find(|t| t.repair.title.contains("instead of basil")).expect("another crop");
    assert!(other.repair.level.state() != State::Over, "{other:?}");
}

/// Fish that the oxygen carries are not told to go because their number is not whole, and those that must go, when.
#[test]
fn fish_that_are_safe() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    let verdict = said_of(&d).verdict;
    assert!(
        verdict.contains(" fish at harvest in the hottest water: ") && verdict.contains(" by then, or"),
        "{verdict}"
    );
    // 23 of 0.22 kg over 0.22 kg are a hair less than 23.
    for n in 1..24 {
        let g = &mut d.tanks[0].oxygen.fish[0];
        (g.count, g.mass) = (COUNT.of(f64::from(n)), SMALL_MASS.of(si::g(220.0)));
        let s = check::solve(&d, Day::Today).expect("solves");
        let (all, safe) = fish_of(&d, &s, 0);
        assert!(s.tanks[0].oxygen.carries > s.tanks[0].oxygen.biomass && all == safe, "{n}: {safe}");
    }
}

/// Too little water for no fish: no link says that it is enough.
#[test]
fn an_empty_tank_has_no_oxygen_to_tell_of() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.tanks[0].oxygen.fish.clear();
    d.edges.iter_mut().for_each(|e| e.flow /= 4.0);
    let chain = said_of(&d).chain;
    assert!(chain.iter().all(|l| !l.text.contains("It holds no fish")), "{chain:?}");
}

/// Plants count today alone, also where the worst day is looked for.
#[test]
fn plants_make_no_day_the_worst() {
    let d = demo::by_id("courtyard").expect("there").document();
    let at = |day| check::solve(&d, day).expect("solves");
    let (today, mut harvest) = (at(Day::Today), at(Day::Harvest));
    harvest.levels.clone_from(&today.levels);
    let bed = harvest.levels.iter_mut().find(|l| l.1.id == "bed").expect("a bed");
    bed.1.demand = Span { low: bed.1.demand.low * 9.0, high: bed.1.demand.high * 9.0 };
    assert!(bed.1.state() == State::Over && !worse(&harvest, &today));
}

/// Large fish with fry in one tank: a word, and none of those that are of a size.
#[test]
fn fish_that_may_be_eaten_are_told() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let said = |d: &Document| {
        let r = report(d, Words::default()).expect("checks");
        r.cautions.iter().any(|c| c.text.contains("300\u{202f}g may well eat those of 20\u{202f}g"))
    };
    let fish = &mut d.tanks[0].oxygen.fish;
    fish.push(fish[0].clone());
    assert!(!said(&d));
    d.tanks[0].oxygen.fish[1].mass = SMALL_MASS.of(g(20.0));
    assert!(said(&d));
}

/// The word beside a repair is that of the whole system after it, and the end of the chain says the same.
#[test]
fn a_repair_says_how_all_stands_after_it() {
    let (mut tight, mut over) = (0, 0);
    for id in ["enlarged", "courtyard"] {
        let mut d = demo::by_id(id).expect("there").document();
        // So that something is over in each.
        d.settlers.iter_mut().for_each(|s| s.settling.diameter *= 0.6);
        let r = report(&d, Words::default()).expect("checks");
        assert!(!r.repairs.is_empty(), "{id}");
        for t in &r.repairs {
            let mut after = d.clone();
            assert!(t.repair.edits.iter().all(|e| form::apply(&mut after, e)));
            let then = levels(&after).expect("checks").iter().map(|l| l.level.state()).max();
            assert_eq!(Some(t.repair.then), then, "{id}: {:#?}", t.repair);
            assert!(t.whole == (t.repair.then != State::Over), "{id}: {:#?}", t.repair);
            tight += usize::from(t.repair.then == State::Tight && t.repair.level.state() == State::Enough);
            over += usize::from(t.repair.then == State::Over && t.repair.level.state() == State::Enough);
        }
        let end = r.chain.iter().find_map(|l| Some((l.state, l.repair?)));
        assert!(end.is_none_or(|(state, k)| state == r.repairs[k].repair.then), "{:#?}", r.chain);
    }
    assert!(tight > 0 && over > 0, "{tight} {over}");
}

/// What lacks oxygen is told as a meter shows it, on the day that it is of, before the share and the grams an hour; alike in both unit systems.
#[test]
fn oxygen_is_told_as_a_meter_shows_it() {
    let d = demo::by_id("hill_trout").expect("there").document();
    for system in [System::Metric, System::Us] {
        let r = report(&d, Words { system, ..Words::default() }).expect("checks");
        let worst = r.foremost().expect("one");
        let of_day = check::solve(&d, worst.day).expect("solves");
        let o = &of_day.tanks[0].oxygen;
        let [is, wants] = [o.settled.0.expect("some left"), o.floor].map(|c| show(CONCENTRATION.0, c.value, system));
        let (verdict, first) = (r.verdict.replace(THIN, " "), &r.chain[0]);
        let told = format!(
            "Oxygen in Round tank is over at harvest in the hottest water: {is} after the evening meal, where they want {wants} (113 %)."
        );
        assert!(verdict.starts_with(&told.replace(THIN, " ")), "{verdict} {told}");
        assert_eq!(first.head, format!("Oxygen in Round tank: {is}"));
        let text = format!("After the evening meal, where they want {wants}: 113 %, ").replace(THIN, " ");
        assert!(first.text.replace(THIN, " ").starts_with(&text), "{first:?}");
        assert!(first.text.ends_with(" at harvest in the hottest water."), "{first:?}");
        assert!(is.ends_with("mg/L") && o.settled.0.is_some_and(|c| c < o.floor), "{is}");
    }
    // Today's is that of today, and a reading is told as what was read.
    let mut d = d;
    d.tanks[0].oxygen.reading = crate::calculators::oxygen::Reading::Now;
    d.tanks[0].oxygen.reading_oxygen = CONCENTRATION.of(si::mg_l(3.0));
    let r = said_of(&d);
    let l = r.levels.iter().find(|l| l.level.id == level::OXYGEN).expect("one");
    assert_eq!(l.today.measured.map(|m| (m.is, m.when)), Some((Some(3e-3), "by the reading")));
    // Without fish nobody wants any.
    d.tanks[0].oxygen.fish.clear();
    assert!(said_of(&d).levels.iter().all(|l| l.level.measured.is_none()));
}

/// A pipe that ends under water empties its tank into the sump: while nobody says how deep it ends, not everything is enough.
#[test]
fn a_drowned_pipe_is_not_checked() {
    let mut d = demo::by_id("classroom").expect("there").document();
    let verdict = |d: &Document| report(d, Words::default()).expect("checks").verdict;
    assert!(!verdict(&d).contains("siphons back"));
    for e in &mut d.edges {
        e.run.iter_mut().for_each(|r| r.0.ends = Ends::Under);
    }
    let r = verdict(&d);
    assert!(
        !r.contains("Enough everywhere") && r.contains("Not checked") && r.contains("under water siphons back"),
        "{r}"
    );
    d.sumps[0].levels.clear();
    assert!(!verdict(&d).contains("siphons back"), "the room in the sump is not known at all");
}

/// What does not fit the rest of the document is counted otherwise, and that is told.
#[test]
fn what_does_not_fit_is_told() {
    use crate::calculators::oxygen::{FeedBy, Filter, Inlet};
    let d = demo::by_id("courtyard").expect("there").document();
    let none = ["is counted as today’s", "own stations", "is not counted, for there is one", "of medium is counted as"];
    assert!(none.iter().all(|of| said(&d, of).is_none()));
    let with = |change: &dyn Fn(&mut Document)| {
        let mut d = d.clone();
        change(&mut d);
        d
    };
    let weighed = |grams: f64| {
        with(&|d| {
            (d.tanks[0].oxygen.feed_by, d.tanks[0].oxygen.feed) = (FeedBy::Weighed, FEED_RATE.of(si::g_day(grams)))
        })
    };
    assert!(said(&weighed(100.0), none[0]).is_some() && said(&weighed(5.0), "they hardly grow, or starve").is_some());
    assert!(said(&weighed(5000.0), none[0]).is_none());
    assert!(said(&with(&|d| d.tanks[0].oxygen.inlet = Inlet::Given), none[1]).expect("said").contains("counts today"));
    assert!(said(&with(&|d| d.tanks[0].oxygen.inlet = Inlet::Saturated), none[1]).is_some());
    assert!(said(&with(&|d| d.tanks[0].oxygen.filter = Filter::Without), none[2]).is_some());
    // A slip of ten: no vessel holds so much.
    let media = |at: FilterAt, litres: f64| {
        said(&with(&|d| (d.ammonia[0].1, d.ammonia[0].0.media) = (at, VOLUME.of(si::l(litres)))), none[3])
    };
    let sump = d.sumps[0].levels[0].0.volume.value / si::l(1.0);
    assert!(media(FilterAt::Sumps, sump * 2.0).expect("said").contains("the sump it is said to be in"));
    assert!(media(FilterAt::Sumps, sump * 0.9).is_none() && media(FilterAt::Settlers, 5000.0).is_some());
    assert!(media(FilterAt::Beds, 5000.0).is_none(), "rafts hold none: it stands elsewhere");
    let mut rig = demo::by_id("classroom").expect("there").document();
    assert!(said(&rig, none[3]).is_none());
    rig.ammonia[0].0.media = VOLUME.of(rig.beds[0].medium().value * 5.0);
    assert!(said(&rig, none[3]).expect("said").contains("the beds hold no more medium"));
}

/// One pump that draws from two sumps empties one of them.
#[test]
fn one_pump_on_two_sumps_is_not_even() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    let (mut second, bed) = (d.sumps[0].clone(), d.beds[0].id.clone());
    (second.id, second.name) = ("b".into(), "Second sump".into());
    d.sumps.push(second);
    let edge = |from: &str, to: &str| document::Edge { from: from.into(), to: to.into(), ..Default::default() };
    d.edges.extend([edge(&bed, "b"), edge("b", "pump")]);
    let r = report(&d, Words::default()).expect("checks");
    assert!(r.verdict.contains("how what one pump draws from is kept even"), "{}", r.verdict);
    assert!(said(&d, "draws from Sump and Second sump").expect("said").contains("a wide pipe"));
    // Joined, and drawn from where they meet.
    d.edges.retain(|e| (e.from.as_str(), e.to.as_str()) != ("b", "pump"));
    d.edges.push(edge("b", "sump"));
    assert!(said(&d, "equal parts").is_none());
}

/// A pump so strong that a settler's pipes hold back more than an outlet spills: that water comes over a rim is told, and the rest by name.
#[test]
fn water_on_the_floor_is_told_whatever_is_fuller() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    d.pumps[0].most = FLOW.of(si::l_h(9000.0));
    d.settlers[0].settling.inlet = SHORT_LENGTH.of(mm(25.0));
    let r = report(&d, Words::default()).expect("checks");
    let first = r.foremost().expect("a level");
    let spills = r.levels.iter().find(|l| l.level.id == level::OUTLET).expect("an outlet");
    assert!(spills.level.state() == State::Over && !spills.is(first), "{}", r.verdict);
    let said = "Trough spills: its outlet carries ";
    let most = format!(" and {} may come", Words::default().q(FLOW, FLOW.of(si::l_h(9000.0))));
    assert!(r.verdict.contains(said) && r.verdict.contains(&most), "{}", r.verdict);
    assert!(!r.verdict.contains("more is over"), "{}", r.verdict);
}

/// Without fish nothing is said of hungry plants or of how often their water is turned.
#[test]
fn a_system_without_fish_says_so() {
    let mut d = demo::by_id("courtyard").expect("there").document();
    for t in &mut d.tanks {
        t.oxygen.fish.clear();
    }
    let r = report(&d, Words::default()).expect("checks");
    assert!(r.verdict.starts_with("No fish are in it yet: its water is checked. "), "{}", r.verdict);
    assert!(r.levels.iter().all(|l| l.level.id != level::BED && l.level.id != level::TURNOVER), "{:?}", r.levels);
}

/// Fish that need warm water where nobody said what keeps it warm: told, and no longer once it is.
#[test]
fn warm_water_that_nothing_keeps_warm_is_told() {
    let d = demo::by_id("courtyard").expect("there").document();
    assert!(d.heat.is_empty() && said(&d, "Heat is not checked").is_some());
    let cold = demo::by_id("hill_trout").expect("there").document();
    assert!(said(&cold, "Heat is not checked").is_none());
}

/// A test that reads 0 and 0 is one: its levels are told, and so is a pH that the crop does not bear. The courtyard's 80 mg/L are read as 81 are.
#[test]
fn a_clean_test_is_read() {
    use crate::system::json;
    use serde_json::{Value, json};
    let of = |demo: &str, set: &[(&str, Value)], without: &[&str]| {
        let mut all = json::write(&demo::by_id(demo).expect("there").document());
        let row = all["system"]["ammonia"][0].as_object_mut().expect("a row");
        set.iter().for_each(|(key, x)| drop(row.insert((*key).into(), x.clone())));
        without.iter().for_each(|key| drop(row.remove(*key)));
        said_of(&json::read(all.as_object().expect("an object")).expect("reads").0)
    };
    let zero = [("tan", json!(0.0)), ("nitrite", json!(0.0)), ("ph", json!(8.95))];
    let told = |r: &Report| {
        let is = |id: &str| r.levels.iter().find(|l| l.level.id == id).map(|l| l.level.state());
        ["unionised", "tan", "nitrite", "ph", "crop_ph"].map(is)
    };
    let reads = "the readings of a water test";
    for without in [&[][..], &["test_read"]] {
        let r = of("hill_trout", &zero, without);
        let [readings @ .., ph, crop] = told(&r);
        assert_eq!(readings, [Some(State::Enough); 3]);
        assert_eq!([ph, crop], [Some(State::Tight); 2]);
        assert!(!r.verdict.contains(reads), "{}", r.verdict);
    }
    let unread: Vec<_> = zero.into_iter().chain([("test_read", json!("no"))]).collect();
    let r = of("hill_trout", &unread, &[]);
    assert!(told(&r).iter().all(Option::is_none) && r.verdict.contains(reads), "{}", r.verdict);
    // Of what is measured one step decides nothing, whatever the page opens with.
    for without in [&[][..], &["alkalinity_read"]] {
        for lime in [0.079, 0.080, 0.081] {
            let r = of("courtyard", &[("ph", json!(6.2)), ("alkalinity", json!(lime))], without);
            let gas = r.levels.iter().find(|l| l.level.id == "carbon_dioxide").expect("told");
            assert_eq!(gas.level.state(), State::Over, "{lime}");
        }
    }
}

/// The roots of a raft breathe in what the tank, the filter and the air leave of oxygen: its line says how much that is.
#[test]
fn a_raft_says_what_oxygen_its_water_holds() {
    let line = |d: &Document, name: &str| {
        let r = report(d, Words::default()).expect("checks");
        r.stations.iter().find(|s| s.name == name).expect("there").line.replace(THIN, " ")
    };
    let mut d = demo::by_id("courtyard").expect("there").document();
    let said = line(&d, "Raft");
    let holds: f64 =
        said.split("with ").nth(1).and_then(|s| s.split(' ').next()).and_then(|n| n.parse().ok()).expect("a number");
    assert!(said.ends_with("mg/L of oxygen after a meal") && (4.0..9.0).contains(&holds), "{said}");
    d.tanks[0].oxygen.air.flow = AIR_FLOW.of(d.tanks[0].oxygen.air.flow.value * 0.7);
    let less: f64 = line(&d, "Raft")
        .split("with ")
        .nth(1)
        .and_then(|s| s.split(' ').next())
        .and_then(|n| n.parse().ok())
        .expect("a number");
    assert!(less < holds, "{less} {holds}");
    assert!(!line(&demo::by_id("hill_trout").expect("there").document(), "Sump").contains("oxygen"));
}

/// Gas that pumps press in, and that warmed water cannot hold, makes bubbles in fish (Government of British Columbia, total gas pressure, chapter 3).
#[test]
fn what_brings_too_much_gas_is_said() {
    let mut d = demo::by_id("hill_trout").expect("there").document();
    assert!(said(&d, "A pump that sucks air").is_some() && said(&d, "Cold mains or well water").is_some());
    d.sumps.iter_mut().flat_map(|s| &mut s.levels).for_each(|l| l.0.top_up = crate::science::sump::TopUp::Float);
    assert!(said(&d, "Cold mains or well water").is_none(), "a trickle mixes");
}
