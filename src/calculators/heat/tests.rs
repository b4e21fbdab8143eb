use super::report::{cautions, verdict};
use super::*;
use crate::calculators::sheet::solve;
use crate::catalog::choose::Choose;

fn run(i: &HeatIn) -> HeatOut {
    solve::<Heat>(i, &mut Working::none()).expect("solves")
}

/// 1000 L, 1 m² open, 28 °C over 10 °C and 70 %, its walls bare plastic on a frame.
fn night() -> HeatIn {
    let t = |c| TEMPERATURE.of(celsius(c));
    HeatIn {
        volume: VOLUME.of(1.0),
        surface: AREA.of(1.0),
        water: t(28.0),
        night: t(10.0),
        cover: On::Open,
        makeup: FLOW.of(0.0),
        ..HeatIn::default()
    }
}

#[test]
fn the_surface_dominates_and_agrees_with_worked_values() {
    let o = run(&night());
    // 192 evaporation + 85 convection + 97 radiation, whatever the walls are.
    assert!((o.night.evaporation.value - 192.0).abs() < 1.0);
    assert!((o.night.convection.value - 85.0).abs() < 1.5);
    assert!((o.night.radiation.value - 97.0).abs() < 0.5);
    // The reserve is a quarter, the same as a level of 80 %.
    assert!((o.wanted.value / o.night.total().value - 1.25).abs() < 1e-12);
}

#[test]
fn covers_and_insulation_only_help() {
    let open = run(&night()).night.total();
    let film = run(&HeatIn { cover: On::Film, ..night() }).night.total();
    let lid = run(&HeatIn { cover: On::Lid, ..night() }).night.total();
    assert!(lid < film && film < open);
    let lagged = run(&HeatIn { lagged: Lagged::Walls, ..night() });
    let under = run(&HeatIn { lagged: Lagged::All, ..night() });
    assert!(under.night.total() < lagged.night.total() && lagged.night.total() < open);
    assert!(lagged.cut_end > run(&night()).cut_end);
}

#[test]
fn a_heater_that_is_large_enough_holds_the_temperature() {
    let i = HeatIn { heater: POWER.of(3000.0), ..night() };
    let o = run(&i);
    assert_eq!(o.morning, i.water);
    assert!(o.holds > i.water);
    let small = run(&HeatIn { heater: POWER.of(100.0), ..night() });
    assert!(small.morning < i.water && small.morning > small.morning_off);
}

#[test]
fn repairs_bring_it_to_enough() {
    let i = HeatIn { heater: POWER.of(500.0), ..night() };
    let o = run(&i);
    let r = Heat::report(&i, &o, Words::default());
    assert!(r.repairs.len() >= 4, "{:?}", r.repairs.iter().map(|r| &r.title).collect::<Vec<_>>());
    let heater = r.repairs.iter().find(|r| r.title.starts_with("Heaters of")).expect("a larger heater");
    assert_eq!(heater.level.state(), State::Enough);
    let cooler = r.repairs.iter().find(|r| r.title.starts_with("Hold")).expect("cooler water");
    assert!(cooler.level.fullness() < heater_level(&o).fullness());
}

#[test]
fn a_hot_spell_needs_cooling() {
    let i = HeatIn { summer: TEMPERATURE.of(celsius(33.0)), sun: POWER.of(400.0), pumps: POWER.of(60.0), ..night() };
    let o = run(&i);
    assert!(o.summer > i.hottest && o.cooling.value > 0.0);
    // Held so much below the hottest they may get as the afternoons are warmer, what comes in less what is lost is what has to be taken out.
    let swing = o.afternoon.value - o.summer.value;
    let lost = heat::losses(&i.vessel(), &i.hot(), TEMPERATURE.of(i.hottest.value - swing)).total();
    assert!((o.cooling.value - (460.0 - lost.value)).abs() < 1e-9);
    assert_eq!(run(&night()).cooling.value, 0.0);
}

/// Water held past what the fish bear is over at either end, whatever the weather.
#[test]
fn held_too_warm_or_too_cold_is_over() {
    let hot = HeatIn { water: TEMPERATURE.of(celsius(36.0)), heater: POWER.of(2000.0), ..HeatIn::default() };
    let r = Heat::report(&hot, &run(&hot), Words::default());
    assert!(r.levels.iter().any(|l| l.id == "summer" && l.state() == State::Over));
    assert!(r.verdict.contains("kept warmer than the"), "{}", r.verdict);
    assert!(r.repairs.iter().any(|r| r.level.id == "summer" && r.level.state() == State::Enough));
    // A warm night does not make it better.
    let cold =
        HeatIn { water: TEMPERATURE.of(celsius(15.0)), night: TEMPERATURE.of(celsius(16.0)), ..HeatIn::default() };
    assert_eq!(levels(&cold, &run(&cold))[1].state(), State::Over);
    // Ice is never warm enough.
    let ice = HeatIn {
        coldest: TEMPERATURE.of(celsius(0.0)),
        water: TEMPERATURE.of(celsius(3.0)),
        night: TEMPERATURE.of(celsius(-15.0)),
        cut: HOURS.of(hours(48.0)),
        ..HeatIn::default()
    };
    let o = run(&ice);
    assert!(o.hours.is_some());
    assert_eq!(levels(&ice, &o)[1].state(), State::Over);
    assert!(!verdict(&ice, &o, Words::default()).contains("does not get too cold"));
}

/// One of two heaters that sticks on is judged in the hottest spell, and told.
#[test]
fn a_heater_that_sticks_on_is_judged_in_summer() {
    let i = HeatIn::default();
    let half = stuck(&i, POWER.of(400.0));
    assert!(half > i.hottest && half < run(&i).stuck);
    let mean = warmest(&i, POWER.of(400.0)).0;
    let lost = heat::losses(&i.vessel(), &i.hot(), mean).total();
    assert!((lost.value - 400.0).abs() < 0.01 && half > mean, "{lost:?}");
    let r = Heat::report(&i, &run(&i), Words::default());
    let said = r.cautions.iter().find(|c| c.text.contains("cut-out")).expect("a caution");
    // The two that the verdict names, and their figure once.
    let two = POWER.of(sold(run(&i).of_two.value).1);
    let (of, to) = (Words::default().q(POWER, two), Words::default().q(TEMPERATURE, stuck(&i, two)));
    assert!(r.verdict.contains(&format!("or 2 of {of}")), "{}", r.verdict);
    assert!(said.text.contains(&format!("One of two of {of} would bring it to {to}.")), "{}", said.text);
    assert!(r.notes.iter().all(|n| !n.contains("stuck")), "{:?}", r.notes);
    // Without heaters the note says it of those to get.
    let none = HeatIn { heater: POWER.of(0.0), ..i };
    let r = Heat::report(&none, &run(&none), Words::default());
    assert!(r.cautions.iter().all(|c| !c.text.contains("cut-out")));
    assert!(r.notes[0].contains(&format!("One of {of} stuck on would bring it to {to} in")), "{}", r.notes[0]);
    let large = HeatIn { volume: VOLUME.of(4.0), surface: AREA.of(5.0), cover: On::Open, ..HeatIn::default() };
    assert!(Heat::report(&large, &run(&large), Words::default()).cautions.iter().any(|c| c.text.contains("circuit")));
}

/// As many tanks of one size have as many times the wall of one, each of a part of the water.
#[test]
fn several_tanks_lose_more() {
    let one = HeatIn { base: Base::Frame, ..HeatIn::default() };
    let three = HeatIn { tanks: COUNT.of(3.0), ..one.clone() };
    let part = HeatIn { volume: one.volume / 3.0, surface: one.surface / 3.0, ..one.clone() };
    let walls = |i: &HeatIn| i.vessel().wall.value;
    assert!((walls(&three) - 3.0 * walls(&part)).abs() < 1e-9 && walls(&three) > walls(&one));
    let default = HeatIn { tanks: COUNT.of(3.0), ..HeatIn::default() };
    // 2 sqrt(3 pi 1.4) (0.9/1.4): 4.67 m2 where one tank has 2.70.
    assert!((default.vessel().wall.value - 4.67).abs() < 0.01);
}

/// Where the heaters do not hold the water, a power cut starts from what they left.
#[test]
fn a_power_cut_starts_from_the_water_there_is() {
    let i = HeatIn { heater: POWER.of(300.0), ..HeatIn::default() };
    let o = run(&i);
    assert!(o.morning < i.water && o.start == o.morning);
    let then = run(&HeatIn { water: o.morning, ..HeatIn::default() });
    assert!((o.hours.map_or(0.0, |t| t.value) - then.hours.map_or(1.0, |t| t.value)).abs() < 60.0);
    assert!(o.hours < run(&HeatIn::default()).hours);
    let none = HeatIn { heater: POWER.of(0.0), ..HeatIn::default() };
    let said = verdict(&none, &run(&none), Words::default());
    assert!(!said.contains("power") && said.contains("It is down to"), "{said}");
    // And no heater is no better than a small one.
    let ends: Vec<_> = [0.0, 10.0, 300.0].map(|x| run(&HeatIn { heater: POWER.of(x), ..i.clone() }).cut_end).into();
    assert!(ends.is_sorted() && ends[0] < ends[2], "{ends:?}");
    // An open sky without its sun is told.
    let sky = HeatIn { place: Place::Sky, ..HeatIn::default() };
    assert!(cautions(&sky, &run(&sky), Words::default()).iter().any(|c| c.text.contains("heat of the sun is entered")));
}

/// Two of the size that is named hold as much as the one, and what harms more than a small heater stands first.
#[test]
fn the_heater_to_get_is_named() {
    let i = HeatIn::default();
    let (o, words) = (run(&i), Words::default());
    let get = o.get.expect("a heater");
    assert!(get >= o.wanted && sold(o.of_two.value).1 * 2.0 >= get.value);
    let said = verdict(&i, &o, words);
    let two = words.q(POWER, POWER.of(sold(o.of_two.value).1));
    // Nobody who has enough is told to get anything.
    assert_eq!(heater_level(&o).state(), State::Enough);
    assert!(
        said.starts_with(&format!("A heater of {}, or 2 of {two}, is the size for", words.q(POWER, get))),
        "{said}"
    );
    assert!(said.contains("that you have hold it too") && !said.contains("Get"), "{said}");
    let weak = HeatIn { heater: POWER.of(get.value / 2.0), ..i.clone() };
    let said = verdict(&weak, &run(&weak), words);
    assert!(said.starts_with(&format!("Get a heater of {}, or 2 of {two}: it loses", words.q(POWER, get))), "{said}");
    assert!(said.contains("that you have do not hold it. By morning it is"), "{said}");
    for watts in [get.value, 2.0 * sold(o.of_two.value).1] {
        let level = heater_level(&run(&HeatIn { heater: POWER.of(watts), ..i.clone() }));
        assert_eq!(level.state(), State::Enough, "{watts}");
    }
    assert_eq!(Heat::report(&i, &o, words).levels[0].id, "heater");
    let hot = HeatIn { summer: TEMPERATURE.of(celsius(38.0)), ..i.clone() };
    let r = Heat::report(&hot, &run(&hot), words);
    assert!(r.levels[0].id == "summer" && r.levels[0].leads, "{:?}", r.levels);
    assert!(r.verdict.starts_with("In the hottest spell"), "{}", r.verdict);
    let cut = HeatIn { cut: HOURS.of(hours(72.0)), ..i };
    let r = Heat::report(&cut, &run(&cut), words);
    assert_eq!(r.levels[0].id, "cut");
    assert!(r.verdict.starts_with("If the power fails on the coldest night,"), "{}", r.verdict);
    let weak = HeatIn { heater: POWER.of(get.value * 0.7), ..cut.clone() };
    let r = Heat::report(&weak, &run(&weak), words);
    assert!(r.verdict.starts_with("If the power fails on the coldest morning,"), "{}", r.verdict);
    assert_eq!(run(&HeatIn { night: TEMPERATURE.of(celsius(38.0)), ..cut }).get, None);
}

/// 1000 L with lid and walls insulated, its bare floor of 1.2 m² on the ground: by differences in ground of 1 to 2 W/(m K) 78 to 130 W go there, 164 to
/// 217 W in all. A house's 0.4 W/(m² K) said 8 and 94 W, and that 120 W of heaters hold it.
#[test]
fn a_bare_floor_on_the_ground_is_no_house() {
    let t = |c| TEMPERATURE.of(celsius(c));
    let i = HeatIn {
        volume: VOLUME.of(1.0),
        surface: AREA.of(1.2),
        water: t(28.0),
        night: t(5.0),
        mean: t(12.0),
        heater: POWER.of(120.0),
        cover: On::Lid,
        lid: Insulation::by_id("xps").expect("sold"),
        lid_thickness: SHORT_LENGTH.of(mm(50.0)),
        lagged: Lagged::Walls,
        insulation: Insulation::by_id("xps").expect("sold"),
        insulation_thickness: SHORT_LENGTH.of(mm(50.0)),
        makeup: FLOW.of(0.0),
        ..HeatIn::default()
    };
    let o = run(&i);
    assert!((78.0..130.0).contains(&o.night.floor.value), "{:?}", o.night);
    assert!((164.0..217.0).contains(&o.night.total().value), "{:?}", o.night);
    assert_eq!(heater_level(&o).state(), State::Over);
    // What insulation underneath saves: 65 to 115 W by differences.
    let under = run(&HeatIn { lagged: Lagged::All, ..i.clone() });
    let saved = (o.night.total() - under.night.total()).value;
    assert!((65.0..115.0).contains(&saved), "{saved}");
    // Cold concrete is hardly better than air.
    let frame = run(&HeatIn { base: Base::Frame, ..i });
    assert!(o.night.total().value > 0.6 * frame.night.total().value, "{:?}", frame.night);
}

/// Afternoons in the sun, by another model over days of +-6 °C air (+-8 in the last): the highest of the day.
#[test]
fn the_afternoon_counts() {
    let t = |c| TEMPERATURE.of(celsius(c));
    for (volume, surface, air, sun, humidity, expect) in [
        (0.3, 0.6, 18.0, 150.0, 0.6, 22.6),
        (0.3, 0.6, 20.0, 150.0, 0.6, 24.3),
        (1.0, 1.4, 19.0, 350.0, 0.6, 22.4),
        (0.9, 1.4, 20.0, 350.0, 0.6, 23.6),
        (0.5, 1.0, 30.0, 250.0, 0.5, 32.4),
    ] {
        let i = HeatIn {
            volume: VOLUME.of(volume),
            surface: AREA.of(surface),
            water: t(15.0),
            summer: t(air),
            sun: POWER.of(sun),
            humidity: PERCENT.of(humidity),
            hottest: t(expect - 1.2),
            coldest: t(4.0),
            place: Place::Sky,
            speed: VELOCITY.of(1.0),
            cover: On::Open,
            makeup: FLOW.of(0.0),
            ..HeatIn::default()
        };
        let o = run(&i);
        let afternoon = o.afternoon.value - celsius(0.0);
        assert!((afternoon - expect).abs() < 1.0, "{afternoon} not {expect}");
        // The mean alone was called enough or tight.
        assert!(o.summer < i.hottest && o.cooling.value > 0.0);
        assert_eq!(levels(&i, &o)[2].state(), State::Over);
        let said = verdict(&i, &o, Words::default());
        assert!(said.contains("in the afternoon"), "{said}");
    }
}

#[test]
fn sizes_that_are_sold() {
    assert_eq!(sold(430.0), (1.0, 500.0));
    assert_eq!(sold(500.0), (1.0, 500.0));
    assert_eq!(sold(7000.0), (3.0, 3000.0));
    // Just past the largest, not twice the largest.
    assert_eq!(sold(3040.0), (2.0, 2000.0));
    assert_eq!(sold(0.0), (1.0, 25.0));
}

/// Until sun and wind are entered, an open sky has those of a summer's day in a yard: 250 W a square metre of open water and 1.5 m/s, as the fields' help
/// says. What is entered counts as it stands, and a room has neither.
#[test]
fn an_open_sky_has_sun_and_wind() {
    let sky = HeatIn { place: Place::Sky, ..HeatIn::default() };
    let said = HeatIn { sun: POWER.of(250.0 * 1.4), speed: VELOCITY.of(1.5), ..sky.clone() };
    let (o, as_said) = (run(&sky), run(&said));
    assert_eq!(
        (o.afternoon, o.night.total(), o.evaporated),
        (as_said.afternoon, as_said.night.total(), as_said.evaporated)
    );
    let shade = HeatIn { sun: POWER.of(50.0), speed: VELOCITY.of(0.2), ..sky.clone() };
    assert_eq!((shade.sun(), shade.wind()), (shade.sun, shade.speed));
    assert!(run(&shade).afternoon.value < o.afternoon.value - 4.0);
    let room = HeatIn::default();
    assert_eq!((room.sun(), room.wind()), (room.sun, room.speed));
    // No sun comes through an insulated lid.
    let lid = HeatIn { cover: On::Lid, ..sky.clone() };
    assert_eq!(lid.sun().value, 0.0);
    // Shade is offered where the sun is the cause, and takes it away.
    let hot = HeatIn { hottest: TEMPERATURE.of(o.afternoon.value - 2.0), ..sky };
    let r = Heat::report(&hot, &run(&hot), Words::default());
    let shade = r.repairs.iter().find(|r| r.title.starts_with("Shade the water")).expect("offered");
    assert!(shade.level.state() != State::Over, "{}", shade.effect);
}

/// One change that mends two levels is offered once, for what leads: water held too warm by heaters that do not hold it.
#[test]
fn no_repair_is_offered_twice() {
    let i = HeatIn { water: TEMPERATURE.of(celsius(33.0)), ..HeatIn::default() };
    let r = Heat::report(&i, &run(&i), Words::default());
    for (k, a) in r.repairs.iter().enumerate() {
        assert!(r.repairs[..k].iter().all(|b| b.edits != a.edits), "{}", a.title);
    }
    let hold = r.repairs.iter().find(|r| r.title.starts_with("Hold")).expect("cooler water");
    assert!(
        r.levels[0].id == "summer" && (hold.level.id == "summer" || hold.effect.contains(&*r.levels[0].name)),
        "{hold:?}"
    );
}

/// What leaves it far over is no repair; what mends two levels is told once; and where no cover does, it is said what would.
#[test]
fn repairs_of_a_cold_night_repair_it() {
    let t = |c: f64| TEMPERATURE.of(celsius(c));
    let said = |i: &HeatIn| Heat::report(i, &run(i), Words::default());
    let cold = HeatIn { heater: POWER.of(50.0), night: t(-15.0), ..HeatIn::default() };
    for i in [
        cold.clone(),
        HeatIn { night: t(-25.0), ..HeatIn::default() },
        HeatIn { volume: VOLUME.of(l(50.0)), ..HeatIn::default() },
        HeatIn { surface: AREA.of(2.8), ..HeatIn::default() },
        HeatIn { cut: HOURS.of(hours(96.0)), ..HeatIn::default() },
        HeatIn { coldest: t(26.0), ..HeatIn::default() },
        HeatIn { coldest: t(30.0), ..HeatIn::default() },
        HeatIn { water: t(20.5), ..HeatIn::default() },
    ] {
        let r = said(&i);
        assert!(r.repairs.iter().all(|r| mend::repairs(&r.level)), "{i:?} {:#?}", r.repairs);
        for (n, one) in r.repairs.iter().enumerate() {
            assert!(r.repairs[..n].iter().all(|other| other.edits != one.edits), "{i:?} {one:?}");
        }
        // Something brings every level that is over to enough, told by itself or with another.
        for l in r.levels.iter().filter(|l| l.state() == State::Over) {
            let mends = |r: &Repair| {
                let o = mend::outcome::<Heat>(&i, &r.edits).expect("solves");
                levels(&i, &o).iter().any(|after| after.id == l.id && after.state() == State::Enough)
            };
            assert!(r.repairs.iter().any(mends), "{i:?} {}: {:#?}", l.name, r.repairs);
        }
    }
    let r = said(&cold);
    assert!(r.repairs.iter().all(|r| r.level.id != "heater" || !r.title.starts_with("A lid")), "{:#?}", r.repairs);
    assert!(r.notes.iter().any(|n| n.contains("of heat that needs no mains")), "{:#?}", r.notes);
    assert!(said(&HeatIn::default()).notes.iter().all(|n| !n.contains("needs no mains")));
    // One lid mends the heating and the power cut: one line, with both.
    let r = said(&HeatIn { surface: AREA.of(2.8), ..HeatIn::default() });
    let lid = r.repairs.iter().find(|r| r.title.starts_with("A lid")).expect("a lid");
    assert!(lid.effect.contains("Heating on") && lid.effect.contains("Cooling in a power cut"), "{lid:?}");
}

/// Water that is held warmer than the fish may get is held cooler, in a place that lets it, whatever the coldest is.
#[test]
fn what_is_held_too_warm_is_held_cooler() {
    let t = |c: f64| TEMPERATURE.of(celsius(c));
    for hottest in [10.0, 20.0, 22.0, 24.0] {
        let i = HeatIn { hottest: t(hottest), ..HeatIn::default() };
        let r = Heat::report(&i, &run(&i), Words::default());
        let mends = |r: &&Repair| r.level.id == "summer" && r.level.state() == State::Enough;
        let cooler = r.repairs.iter().find(mends).unwrap_or_else(|| panic!("{hottest}: {:#?}", r.repairs));
        assert!(cooler.title.starts_with("Hold "), "{hottest}: {cooler:?}");
        assert!(r.repairs.iter().all(|r| mend::repairs(&r.level)), "{:#?}", r.repairs);
    }
}

/// Shade and an open surface together do in a hot spell under the sky what neither does alone; the air there is the weather's.
#[test]
fn shade_and_an_open_surface_go_together() {
    let t = |c| TEMPERATURE.of(celsius(c));
    let i = HeatIn {
        summer: t(33.0),
        place: Place::Sky,
        water: t(26.0),
        night: t(20.0),
        heater: POWER.of(1500.0),
        cover: On::Film,
        sun: POWER.of(400.0),
        hottest: t(33.0),
        humidity: PERCENT.of(0.5),
        ..HeatIn::default()
    };
    let told = |i: &HeatIn| Heat::report(i, &run(i), Words::default()).repairs;
    let all = told(&i);
    let sets = |r: &Repair, key: &str| r.edits.iter().any(|e| e.path == key);
    let both = all.iter().find(|r| sets(r, "sun") && sets(r, "cover")).expect("both at once");
    assert_eq!(both.level.state(), State::Enough, "{both:?}");
    assert!(!all.iter().any(|r| sets(r, "summer")), "{all:?}");
    // Under a roof a cooler place is a repair.
    let room = HeatIn { place: Place::Room, ..i };
    assert!(told(&room).iter().any(|r| sets(r, "summer")));
}

/// What is tight is not mended by what makes something else over.
#[test]
fn no_repair_of_what_is_tight_makes_another_over() {
    let i = HeatIn {
        volume: VOLUME.of(2.1175),
        heater: POWER.of(1336.0),
        cover: On::Open,
        lagged: Lagged::Walls,
        base: Base::Frame,
        humidity: PERCENT.of(0.378),
        speed: VELOCITY.of(1.575),
        makeup_temperature: TEMPERATURE.of(celsius(12.4)),
        night_length: HOURS.of(86_400.0),
        sun: POWER.of(625.0),
        ..HeatIn::default()
    };
    let before = levels(&i, &run(&i));
    assert!(before.iter().all(|l| l.state() != State::Over) && before.iter().any(|l| l.state() == State::Tight));
    let r = Heat::report(&i, &run(&i), Words::default());
    assert!(r.repairs.iter().all(|r| r.then != State::Over), "{:#?}", r.repairs);
}
