use super::*;
use crate::calculators::air::AirMode;
use crate::calculators::outcome::{Level, Outcome, Value};
use crate::calculators::{
    ALL,
    form::{Edit, EditValue},
};
use crate::science::respiration::Meals;
use crate::system::demo;
use crate::units::{System, Words, si::*};

/// Every demo as it is, and with what goes wrong.
fn cases() -> Vec<(String, Document)> {
    let mg = |x: f64| CONCENTRATION.of(mg_l(x));
    let reading = |d: &mut Document, r: Reading, x: f64| {
        let o = &mut d.tanks[0].oxygen;
        (o.reading, o.reading_oxygen) = (r, mg(x));
    };
    type Harm<'a> = (&'static str, &'a dyn Fn(&mut Document));
    let harms: [Harm<'_>; 11] = [
        ("as it is", &|_| {}),
        ("foul", &|d| {
            let a = &mut d.ammonia[0].0;
            (a.ph, a.tan, a.nitrite) = (RATIO.of(8.3), mg(2.0), mg(0.75));
        }),
        ("nitrite", &|d| d.ammonia[0].0.nitrite = mg(5.0)),
        ("acid", &|d| {
            let a = &mut d.ammonia[0].0;
            (a.ph, a.tan, a.nitrite) = (RATIO.of(4.6), mg(0.0), mg(0.0));
        }),
        ("nobody has tested", &|d| d.ammonia.clear()),
        ("no air", &|d| d.tanks[0].oxygen.air.mode = AirMode::None),
        ("read low", &|d| reading(d, Reading::Now, 1.5)),
        ("read low at dawn", &|d| reading(d, Reading::Dawn, 2.5)),
        ("little filter", &|d| d.ammonia[0].0.media = VOLUME.of(l(2.0))),
        ("new filter", &|d| d.water.filter_age = DAYS.of(days(3.0))),
        ("ammonia left", &|d| d.ammonia[0].0.tan = mg(0.5)),
    ];
    let mut all = vec![];
    for demo in demo::ALL {
        for (name, harm) in harms {
            let mut d = demo.document();
            harm(&mut d);
            all.push((format!("{} {name}", demo.id), d));
        }
    }
    all
}
fn run(f: &Filling) -> Outcome {
    f.sheet.run(Words::default(), false).unwrap_or_else(|e| panic!("{f:?}: {e:?}"))
}
fn value(o: &Outcome, key: &str) -> Value {
    o.outputs.iter().find(|x| x.key == key).unwrap_or_else(|| panic!("{key}")).value.clone()
}
fn si(f: &Filling, key: &str) -> f64 {
    match f.sheet.value_at(key) {
        Some(EditValue::Si(x)) => x,
        other => panic!("{f:?} {key}: {other:?}"),
    }
}
/// Is nothing to be fed, by the water test?
fn stops(s: &Solved) -> bool {
    s.ammonia.as_ref().is_some_and(|a| a.out.cut.value <= 0.0)
}

/// A sheet says the same once it has been kept and opened again: nothing that fills it is lost because no field holds it.
#[test]
fn what_is_filled_can_be_kept() {
    let mut lost = vec![];
    for (name, d) in cases() {
        for entry in ALL {
            for f in fill(&d, entry.id).expect("filled") {
                let mut again = (entry.sheet)();
                again.read(&f.sheet.write(), System::Metric).unwrap_or_else(|e| panic!("{name} {f:?}: {e:?}"));
                let said = |s: &dyn Sheet| {
                    let o = s.run(Words::default(), false);
                    o.map(|o| (o.report.verdict, o.report.levels.iter().map(Level::percent).collect::<Vec<_>>()))
                };
                if said(&*f.sheet) != said(&*again) {
                    lost.push(format!("{name} {f:?}: {:?}, kept {:?}", said(&*f.sheet), said(&*again)));
                }
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

/// Where the water test or the oxygen of a system says to feed nothing or less, its feed sheet does; and where nothing says so it does not.
#[test]
fn the_feed_of_a_system_is_cut_by_its_water() {
    let mut stopped = 0;
    for (name, d) in cases() {
        let s = check::solve(&d, Day::Today).expect("solved");
        for f in fill(&d, "feed").expect("filled") {
            let t = s.tanks.iter().zip(&d.tanks).find(|t| t.1.name == f.from).expect("a tank").0;
            let low = |c: MassConcentration| c < t.oxygen.floor;
            let short = t.oxygen.settled.0.is_none_or(low) || t.oxygen.low_now.is_some();
            let o = run(&f);
            let (Value::Num(feed), Value::Num(share)) = (value(&o, "feed"), value(&o, "share")) else {
                panic!("{name}")
            };
            if stops(&s) {
                assert!(feed <= 0.0 && o.report.levels[0].state() == State::Over, "{name}: {}", o.report.verdict);
                assert!(o.report.verdict.contains("Do not feed"), "{name}: {}", o.report.verdict);
                stopped += 1;
            }
            assert_eq!(
                share < 1.0,
                short || s.ammonia.as_ref().is_some_and(|a| a.out.cut.value < 1.0),
                "{name}: {}",
                o.report.verdict
            );
        }
    }
    assert!(stopped > 8, "{stopped}");
}

/// The start-up of a system is judged by no nitrate, because a system has none: where ammonia or nitrite stand it asks for that test. And it feeds
/// nothing where the system feeds nothing.
#[test]
fn the_startup_of_a_system_asks_for_nitrate() {
    for (name, d) in cases() {
        let s = check::solve(&d, Day::Today).expect("solved");
        let f = fill(&d, "startup").expect("filled").remove(0);
        let o = run(&f);
        let Value::Num(most) = value(&o, "most") else { panic!("{name}") };
        let stands = s.ammonia.as_ref().is_none_or(|a| a.out.tan.value.max(a.out.nitrite.value) > mg_l(0.25));
        assert_eq!(o.report.verdict.contains("nothing sure without nitrate"), stands, "{name}: {}", o.report.verdict);
        assert!(!o.report.verdict.contains("waiting for the first bacteria"), "{name}");
        if stops(&s) {
            assert!(most <= 0.0 && o.report.levels[0].state() == State::Over, "{name}: {}", o.report.verdict);
        }
        assert!(
            (si(&f, "ration") * s.tanks.iter().map(|t| t.oxygen.biomass.value).sum::<f64>() / s.feed.value - 1.0).abs()
                < 1e-9
        );
    }
}

/// How long the fish have with the power off lies, as the system says it, inside what the power-cut sheet says of the same tank: for fish that
/// have just eaten and for those that are unfed.
#[test]
fn the_power_cut_of_a_system_is_its_own() {
    let mut asked = 0;
    for (name, d) in cases() {
        let s = check::solve(&d, Day::Today).expect("solved");
        for mut f in fill(&d, "outage").expect("filled") {
            let (t, tank) = s.tanks.iter().zip(&d.tanks).find(|t| t.1.name == f.from).expect("a tank");
            assert_eq!(si(&f, "oxygen"), t.oxygen.start.1.value, "{name}");
            // No field of a power cut holds what a reading at dawn says of their breath.
            if tank.oxygen.reading == Reading::Dawn {
                continue;
            }
            for (last, off) in [("just", t.oxygen.all_off.fed), ("day", t.oxygen.all_off.resting)] {
                // Not in air that changes the water meanwhile, which the minutes of the system leave out.
                for edit in [
                    Edit::pick("last", last),
                    Edit::pick("meals", "few"),
                    Edit::num("around", TEMPERATURE.of(d.water.today.value - 1.0)),
                ] {
                    assert!(f.sheet.apply(&edit));
                }
                let Value::Span(low, high) = value(&run(&f), "critical") else { panic!("{name}") };
                let off = off.map_or(hours(240.0), |t| t.value.min(hours(240.0)));
                let more =
                    if last == "day" { (t.oxygen.start.0 / t.oxygen.start.1).value.max(1.0) * 1.6 } else { 1.02 };
                assert!(
                    low <= off * 1.02 && off <= high * more + 1.0,
                    "{name} {} {last}: {low} to {high} s, the system {off} s",
                    tank.name
                );
                asked += 1;
            }
        }
    }
    assert!(asked > 60, "{asked}");
    // What the heat says of the place is that of the cut too.
    let mut d = demo::by_id("classroom").expect("a demo").document();
    let f = fill(&d, "outage").expect("filled").remove(0);
    let h = d.heat[0].0.clone();
    assert_eq!([si(&f, "around"), si(&f, "cut")], [h.night.value, h.cut.value]);
    assert_eq!(f.sheet.value_at("covered"), Some(EditValue::Option("yes".into())));
    d.water.today = TEMPERATURE.of(celsius(23.5));
    assert_eq!(si(&fill(&d, "outage").expect("filled")[0], "around"), h.summer.value);
    d.tanks[0].oxygen.meals = Meals::Few;
    assert_eq!(fill(&d, "outage").expect("filled")[0].sheet.value_at("meals"), Some(EditValue::Option("few".into())));
}

/// Oxygen, heat, sump and pump are as full on their own pages as in the system, wherever their water comes from.
#[test]
fn a_page_is_as_full_as_the_system_says() {
    let mut asked = std::collections::BTreeMap::new();
    let mut wrong = vec![];
    for (name, d) in cases() {
        let stations = d.stations();
        let s = check::solve(&d, Day::Today).expect("solved");
        for id in ["oxygen", "pump", "levels", "heat"] {
            for f in fill(&d, id).expect("filled") {
                // As it is once it was kept.
                let mut again = (f.sheet.entry().sheet)();
                again.read(&f.sheet.write(), System::Metric).expect("reads");
                let all = run(&Filling { from: f.from.clone(), sheet: again }).report.levels;
                // What has settled stands behind a reading that is worse, under one name.
                for level in all.iter().take(if id == "oxygen" { 1 } else { all.len() }) {
                    let same = |l: &&(usize, Level)| {
                        (id == "heat" || stations[l.0].name == f.from)
                            && l.1.id == level.id
                            && (id == "oxygen" || l.1.name == level.name)
                    };
                    let Some((_, own)) = s.levels.iter().find(same) else { continue };
                    // Of the sheets of heat that of all the water is the system's; a tank alone has the power cut.
                    if id == "heat" && ((level.id == "cut") == (f.from == d.name)) {
                        continue;
                    }
                    let (page, system) = (level.fullness(), own.fullness());
                    if (page - system).abs() > 0.02 * system.max(0.1) && (page < 5.0 || system < 5.0) {
                        wrong.push(format!("{name} {f:?} {}: {page}, the system {system}", level.name));
                    }
                    *asked.entry(id).or_insert(0) += 1;
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(asked.len() == 4 && asked.values().all(|n| *n > 8), "{asked:?}");
}

/// What the check finds over today for the fish that there are is not enough for the page that asks how many there may be.
#[test]
fn the_stocking_of_a_system_is_not_enough_where_its_check_is_over() {
    let mut asked = 0;
    for (name, d) in cases() {
        let s = check::solve(&d, Day::Hottest).expect("solved");
        for (t, f) in fill(&d, "stocking").expect("filled").iter().enumerate() {
            let levels = run(f).report.levels;
            let of = |id: &str| levels.iter().find(|l| l.id == id).unwrap_or_else(|| panic!("{name} {id}"));
            let full = s.tanks[t].oxygen.demand_peak.value / s.tanks[t].oxygen.capacity.0.value;
            // A reading says what no field of that page holds.
            if d.tanks[t].oxygen.reading == Reading::None && !(0.0..=1.1).contains(&full) {
                asked += 1;
                assert_eq!(of("oxygen").state(), State::Over, "{name}: {full}");
            }
        }
    }
    assert!(asked > 3, "{asked}");
}

/// A change of water is as large as the test's own page says, a third at a time.
#[test]
fn a_change_is_as_large_as_the_test_asks() {
    for (name, d) in cases() {
        let s = check::solve(&d, Day::Today).expect("solved");
        let Some(a) = &s.ammonia else { continue };
        let f = fill(&d, "change").expect("filled").remove(0);
        let asked = a.out.change.value;
        if asked > 0.0 {
            assert!((si(&f, "change") / si(&f, "volume") - asked.min(1.0 / 3.0)).abs() < 1e-9, "{name}");
        }
    }
}

/// Before there are any fish a filter is started, and water changed, all the same.
#[test]
fn a_system_without_fish_fills_what_asks_for_none() {
    for demo in demo::ALL {
        for some in [false, true] {
            let mut d = demo.document();
            for t in &mut d.tanks {
                match some {
                    true => t.oxygen.fish.iter_mut().for_each(|g| (g.count, g.biomass) = (COUNT.of(0.0), MASS.of(0.0))),
                    false => t.oxygen.fish.clear(),
                }
            }
            for (id, there) in [
                ("startup", true),
                ("change", true),
                ("running", true),
                ("drain", true),
                ("feed", false),
                ("outage", false),
            ] {
                let all = fill(&d, id).expect("filled");
                assert_eq!(!all.is_empty(), there, "{} {id}", demo.id);
                all.iter().for_each(|f| drop(run(f)));
            }
        }
    }
}

#[test]
fn every_filling_of_every_demo_is_a_case_its_calculator_takes() {
    let mut filled = std::collections::BTreeSet::new();
    for demo in demo::ALL {
        let d = demo.document();
        for entry in ALL {
            for f in fill(&d, entry.id).unwrap_or_else(|e| panic!("{}: {e:?}", demo.id)) {
                assert_eq!(f.sheet.entry().id, entry.id);
                let run = f.sheet.run(Words::default(), false);
                assert!(run.is_ok(), "{}, {f:?}: {run:?}", demo.id);
                filled.insert(entry.id);
            }
        }
    }
    assert_eq!(filled.len(), ALL.len(), "{filled:?}");
}

/// What the check finds enough is not too much for the calculator that is filled from it, matter by matter: the days of the check that the
/// calculator asks about are the hottest water, with the fish as they are and at harvest.
#[test]
fn the_stocking_of_a_system_is_not_over_where_its_check_is_enough() {
    let mut asked = 0;
    for demo in demo::ALL {
        let d = demo.document();
        let ways = flow::ways(&d).expect("ways");
        let days = [Day::Hottest, Day::Harvest].map(|day| check::solve_on(&d, &ways, day).expect("solved"));
        for (t, f) in fill(&d, "stocking").expect("filled").iter().enumerate() {
            let outcome = f.sheet.run(Words::default(), false).expect("solved");
            for level in &outcome.report.levels {
                // A settler is asked instead of the solids; the main levels are the fullest of the four matters.
                let same: &[&str] = match level.id.as_ref() {
                    "space" => &["density"],
                    "oxygen" => &["oxygen"],
                    "ammonia" => &["ammonia", "filter"],
                    "solids" => &["solids", "settling"],
                    _ => &["density", "oxygen", "ammonia", "filter", "solids", "settling"],
                };
                let tank = ways.place(StationKind::Tank, t);
                let its = |id: &str, at| same.contains(&id) && (at == tank || !matches!(id, "density" | "oxygen"));
                let all = days.iter().flat_map(|s| s.levels.iter()).filter(|l| its(&l.1.id, l.0));
                let full = all.map(|l| l.1.fullness()).fold(0.0, f64::max);
                if full <= 0.8 {
                    asked += 1;
                    assert_ne!(level.state(), State::Over, "{} {}: {} {full}", demo.id, f.from, level.percent());
                }
            }
        }
    }
    assert!(asked > 20, "{asked}");
}

/// The oxygen carries as many fish as the check finds, however the tanks share their water.
#[test]
fn the_oxygen_of_the_stocking_is_that_of_the_check() {
    for demo in demo::ALL {
        let d = demo.document();
        let ways = flow::ways(&d).expect("ways");
        let [today, grown] = [Day::Today, Day::Harvest].map(|day| check::solve_on(&d, &ways, day).expect("solved"));
        for (t, then) in grown.tanks.iter().enumerate() {
            let i = stock(&d, &ways, [&today, &grown], t).expect("fish");
            let o = calculators::solve::<Stocking>(&i, &mut Working::none()).expect("solved");
            let (says, carries) = (o.at_harvest.oxygen.value, then.oxygen.carries.value);
            assert!((says / carries - 1.0).abs() < 0.01, "{} {t}: {says} kg, the check {carries} kg", demo.id);
        }
    }
}

/// What is asked of all the water is filled with what the system knows of it: its test, its filter at full stock, its pumps and heat.
#[test]
fn what_the_system_knows_is_filled_in() {
    let mut d = demo::by_id("classroom").expect("a demo").document();
    let test = &mut d.ammonia[0].0;
    (test.ph, test.tan, test.nitrite) = (RATIO.of(8.4), CONCENTRATION.of(mg_l(3.0)), CONCENTRATION.of(mg_l(0.7)));
    let si = |id: &str, key: &str| match fill(&d, id).expect("filled")[0].sheet.value_at(key) {
        Some(EditValue::Si(x)) => x,
        other => panic!("{id} {key}: {other:?}"),
    };
    let s = check::solve(&d, Day::Today).expect("solved");
    let grown = check::solve(&d, Day::Harvest).expect("solved");
    assert!((si("startup", "tan") - mg_l(3.0)).abs() < 1e-9 && (si("startup", "nitrite") - mg_l(0.7)).abs() < 1e-9);
    assert_eq!((si("startup", "feed"), si("startup", "full")), (s.feed.value, grown.feed.value));
    assert!(grown.feed > s.feed);
    for id in ["startup", "change"] {
        assert_eq!(si(id, "volume"), quality::volume(&d).value, "{id}");
        assert_eq!(si(id, "ph"), 8.4, "{id}");
    }
    // As much must come down as the test's own page says.
    let asked = 1.0 - si("change", "poison_wanted") / si("change", "poison");
    assert!((asked - s.ammonia.as_ref().expect("a test").out.change.value).abs() < 1e-9 && asked > 0.1, "{asked}");
    let (heat, pump) = (s.heat.as_ref().expect("heat"), s.pumps[0].as_ref().expect("solved"));
    assert_eq!(si("running", "devices.0.power"), pump.out.electric.1.value);
    assert_eq!((si("running", "heating"), pump.out.electric.1.value), (heat.out.month.value, 22.0));
}

/// What is filled for all the water knows all the fish: of an empty first tank too, and the species that bears least.
#[test]
fn all_the_water_has_all_the_fish() {
    let mut d = demo::by_id("enlarged").expect("a demo").document();
    let trout = crate::catalog::species::Species::by_id("trout").expect("trout");
    d.tanks[1].oxygen.fish[0].species = trout;
    d.ammonia[0].0.tan = CONCENTRATION.of(mg_l(3.0));
    let all: f64 = d.tanks.iter().flat_map(|t| &t.oxygen.fish).map(|g| g.total().value).sum();
    for empty in [false, true] {
        if empty {
            d.tanks[0].oxygen.fish.clear();
        }
        for id in ["startup", "change", "running"] {
            let filled = fill(&d, id).expect("filled");
            assert_eq!(filled.len(), 1, "{id}");
            if id != "running" {
                assert_eq!(filled[0].sheet.value_at("species"), Some(EditValue::Option("trout".into())), "{id}");
            }
            if id == "change" && !empty {
                assert_eq!(filled[0].sheet.value_at("fish"), Some(EditValue::Si(all)));
            }
        }
    }
}

/// Nitrite that asks for new water is what has to come down, also where there is no ammonia left.
#[test]
fn a_change_is_for_the_reading_that_asks_for_it() {
    let mut d = demo::by_id("courtyard").expect("a demo").document();
    let test = &mut d.ammonia[0].0;
    (test.tan, test.nitrite) = (CONCENTRATION.of(0.0), CONCENTRATION.of(mg_l(3.0)));
    let sheet = &fill(&d, "change").expect("filled")[0].sheet;
    let si = |key: &str| match sheet.value_at(key) {
        Some(EditValue::Si(x)) => x,
        other => panic!("{key}: {other:?}"),
    };
    let s = check::solve(&d, Day::Today).expect("solved").ammonia.expect("a test").out;
    assert!((si("poison") - mg_l(3.0)).abs() < 1e-12 && s.by_nitrite && s.change.value > 0.1);
    assert!((si("poison_wanted") / si("poison") - (1.0 - s.change.value)).abs() < 1e-9);
}

/// A filter that several tanks have in common is not counted once for each.
#[test]
fn tanks_share_their_filter() {
    let d = demo::by_id("enlarged").expect("a demo").document();
    let all = fill(&d, "stocking").expect("filled");
    let area = |key: &str| -> f64 {
        let si = |f: &Filling| match f.sheet.value_at(key) {
            Some(EditValue::Si(x)) => x,
            other => panic!("{other:?}"),
        };
        all.iter().map(si).sum()
    };
    let known = &d.ammonia[0].0;
    assert!(all.len() > 1 && (area("filter_area") / (known.medium.surface().0 * known.media).value - 1.0).abs() < 1e-9);
    assert!((area("raft_area") / d.beds.iter().map(|b| b.bed.area.value).sum::<f64>() - 1.0).abs() < 1e-9);
}

#[test]
fn the_outlet_is_filled_with_what_the_check_asks_of_it() {
    let d = demo::by_id("enlarged").expect("a demo").document();
    let all = fill(&d, "drain").expect("filled");
    let names: Vec<_> = all.iter().map(|f| f.from.as_str()).collect();
    assert_eq!(names, d.tanks.iter().map(|t| t.name.as_str()).collect::<Vec<_>>());
    let s = check::solve(&d, Day::Today).expect("solved");
    for (f, t) in all.iter().zip(&s.tanks) {
        assert_eq!(f.sheet.value_at("flow"), Some(EditValue::Si(t.most.value)));
        let level = f.sheet.level().expect("solved").expect("a level");
        assert_eq!(level.demand.high, t.most.value);
    }
}

/// A new calculator is filled from a system, or it is said here that a system says nothing of what it asks.
#[test]
fn every_calculator_is_filled_or_left_out_on_purpose() {
    const NOTHING_SAID: [&str; 0] = [];
    for entry in ALL {
        let filled = WAYS.iter().filter(|w| w.0 == entry.id).count();
        assert_eq!(filled + NOTHING_SAID.iter().filter(|id| **id == entry.id).count(), 1, "{}", entry.id);
    }
    assert_eq!(WAYS.len() + NOTHING_SAID.len(), ALL.len());
    assert!(fill(&demo::ALL[0].document(), "no such").expect("filled").is_empty());
}

/// What a system may hold and a page may not is brought to the ends of its fields: a filled page always answers.
#[test]
fn a_system_past_the_ends_of_a_page_fills_it() {
    for demo in demo::ALL {
        let mut d = demo.document();
        d.name = "A name as long as a name may be, and longer than a device's".into();
        d.water.filter_age = DAYS.of(days(3650.0));
        for p in &mut d.pumps {
            p.name.clone_from(&d.name);
        }
        for t in &mut d.tanks {
            (t.outlet.surface, t.oxygen.volume) = (AREA.of(500.0), VOLUME.of(500.0));
            t.oxygen.salinity = SALINITY.of(40.0);
        }
        for a in &mut d.ammonia {
            (a.0.tan, a.0.nitrite) = (CONCENTRATION.of(mg_l(200.0)), CONCENTRATION.of(mg_l(200.0)));
            (a.0.ph, a.0.chloride) = (RATIO.of(9.9), CONCENTRATION.of(25.0));
        }
        assert!(form::check(&mut d.clone(), System::Metric).len() <= 3, "{:?}", form::check(&mut d, System::Metric));
        for entry in ALL {
            match fill(&d, entry.id) {
                Ok(all) => all.iter().for_each(|f| drop(run(f))),
                Err(e) => panic!("{} {}: {e:?}", demo.id, entry.id),
            }
        }
    }
}

/// The fall from the tank to the settler goes along: 140 mm to the rim and 1 % of 1.2 m of pipe.
#[test]
fn a_settler_brings_the_fall_before_it() {
    let d = demo::by_id("courtyard").expect("there").document();
    let all = fill(&d, "settling").expect("fills");
    let fall = all[0].sheet.run(Words::default(), false).expect("solves").report.levels;
    let level = fall.iter().find(|l| l.id == "head").expect("asked");
    assert!(matches!(level.brim, Brim::Upper(b) if (b.low - 0.152).abs() < 1e-9), "{level:?}");
}

/// What the system leaves out because it knows it is left out by name: a name that no field has would leave out nothing, and the page would ask.
#[test]
fn what_the_system_knows_are_fields() {
    use crate::calculators::{
        ammonia::AmmoniaIn, bed::BedIn, drain::DrainIn, heat::HeatIn, levels::LevelsIn, oxygen::OxygenIn, pump,
        settling::SettlingIn, siphon::SiphonIn,
    };
    use crate::system::document::*;
    let all: [(&mut dyn form::Fields, &[&str]); 11] = [
        (&mut LevelsIn::default(), LEVELS_KNOWN),
        (&mut pump::PumpIn::default(), CURVE_KNOWN),
        (&mut pump::Branch::default(), RUN_KNOWN),
        (&mut SiphonIn::default(), SIPHON_KNOWN),
        (&mut DrainIn::default(), WAY_OUT_KNOWN),
        (&mut HeatIn::default(), HEAT_KNOWN),
        (&mut AmmoniaIn::default(), AMMONIA_KNOWN),
        (&mut OxygenIn::default(), OXYGEN_KNOWN),
        (&mut DrainIn::default(), OUTLET_KNOWN),
        (&mut SettlingIn::default(), SETTLER_KNOWN),
        (&mut BedIn::default(), BED_KNOWN),
    ];
    for (n, (fields, known)) in all.into_iter().enumerate() {
        for key in known {
            assert!(form::value_at(fields, key).is_some(), "list {n}: {key}");
        }
    }
}
