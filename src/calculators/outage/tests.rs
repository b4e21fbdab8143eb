use super::report::{notes, order, verdict};
use super::*;
use crate::calculators::sheet::solve;

fn run(i: &OutageIn) -> OutageOut {
    solve::<Outage>(i, &mut Working::none()).expect("solves")
}

/// 500 L, 10 kg at 300 mg/kg/h (288 g of feed a day), 6.5 down to 3 mg/L. Catfish: critical at 3.0.
fn published() -> OutageIn {
    OutageIn {
        species: Species::by_id("catfish").expect("catfish"),
        fish: MASS.of(10.0),
        mass: SMALL_MASS.of(0.5),
        volume: VOLUME.of(l(500.0)),
        temperature: TEMPERATURE.of(celsius(25.0)),
        feed: FEED_RATE.of(g_day(288.0)),
        last: LastMeal::Just,
        oxygen: CONCENTRATION.of(mg_l(6.5)),
        surface: AREA.of(0.0),
        ..OutageIn::default()
    }
}

#[test]
fn twelve_to_thirty_five_minutes() {
    let o = run(&published());
    assert!((o.critical.0.value / 60.0 - 12.5).abs() < 0.01, "{:?}", o.critical);
    assert!((o.critical.1.value / 60.0 - 35.0).abs() < 0.01, "{:?}", o.critical);
    // One or two meals: the whole system at twice the mean, 8.75 min.
    let few = run(&OutageIn { meals: Meals::Few, ..published() });
    assert!((few.critical.0.value / 60.0 - 8.75).abs() < 0.01);
    // Fish unfed for a day have longer.
    let unfed = run(&OutageIn { last: LastMeal::Day, ..published() });
    assert!(unfed.critical.0 > o.critical.0 && unfed.critical.1 > o.critical.1);
}

#[test]
fn a_battery_pump_buys_time_or_holds() {
    let weak = OutageIn { battery: YesNo::Yes, air: AIR_FLOW.of(l_min(2.0)), ..published() };
    let o = run(&weak);
    assert!(o.lasts.0 > o.critical.0 && o.settles.is_none_or(|c| c.value < mg_l(3.0)));
    let strong = OutageIn { air: AIR_FLOW.of(l_min(80.0)), power: POWER.of(60.0), ..weak };
    let s = run(&strong);
    // 120 usable Wh at 60 W: two hours, and then the water as it stands.
    assert!(s.runs.is_some_and(|t| (t.value - hours(2.0)).abs() < 1.0));
    assert!(s.settles.is_some_and(|c| c.value > mg_l(4.0)));
    assert!((hours(2.0)..hours(3.0)).contains(&s.lasts.0.value));
    // What is said to be needed, given, holds the floor.
    let need = run(&OutageIn { air: s.air_needed.expect("enough air"), ..strong });
    assert!((need.settles.map_or(0.0, |c| c.value) - mg_l(5.0)).abs() < mg_l(0.02), "{:?}", need.settles);
}

#[test]
fn repairs_bridge_the_cut() {
    let i = published();
    let o = run(&i);
    let r = Outage::report(&i, &o, Words::default());
    assert_eq!(r.levels[0].state(), State::Over);
    let battery = r.repairs.iter().find(|r| r.title.starts_with("A battery pump")).expect("a battery pump");
    assert_eq!(battery.level.state(), State::Enough, "{battery:?}");
    assert!(r.repairs.iter().any(|r| r.title.starts_with("Be there") && r.level.state() == State::Enough));
    assert!(r.tables[0].rows.len() >= 5);
}

#[test]
fn cold_comes_after_oxygen() {
    let i = OutageIn { around: TEMPERATURE.of(celsius(0.0)), ..OutageIn::default() };
    let o = run(&i);
    let cold = o.cold.expect("it gets cold");
    assert!(cold.value > hours(3.0) && cold > o.critical.1);
    assert!(run(&OutageIn { around: TEMPERATURE.of(celsius(30.0)), ..i }).cold.is_none());
}

fn verdict_of(i: &OutageIn) -> String {
    verdict(i, &run(i), Words::default())
}

/// Warmth is part of a power cut: the cold has its place in the verdict, the level and the repairs.
#[test]
fn a_cut_that_gets_too_cold_is_not_bridged() {
    let i = OutageIn {
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(60.0)),
        capacity: ENERGY.of(5000.0 * WH),
        volume: VOLUME.of(l(200.0)),
        surface: AREA.of(0.5),
        fish: MASS.of(1.0),
        feed: FEED_RATE.of(g_day(15.0)),
        // Fed that day, their ammonia would be too much at the pH that the air brings.
        last: LastMeal::Day,
        around: TEMPERATURE.of(celsius(-10.0)),
        temperature: TEMPERATURE.of(celsius(20.0)),
        cut: HOURS.of(hours(24.0)),
        ..OutageIn::default()
    };
    let o = run(&i);
    assert_eq!(Outage::level(&o).map(|l| (l.id.to_string(), l.state())), Some(("cold".into(), State::Over)));
    assert!(level_of(&o).state() == State::Enough && verdict_of(&i).contains("not bridged: it gets so cold"));
    let r = Outage::report(&i, &o, Words::default());
    assert!(r.repairs.iter().any(|r| r.title.starts_with("Cover the water")), "{:?}", r.repairs);
    assert!(r.repairs.iter().any(|r| r.title.contains("with warmth") && r.level.state() == State::Enough));
    assert!(verdict_of(&OutageIn { around: i.temperature, ..i }).ends_with("The cut is bridged."));
}

/// Battery air lifts the pH as it does in a drum: what is judged at pH 6.5 is bridged, and is poison at 8.
#[test]
fn battery_air_lifts_the_ph() {
    let i = OutageIn {
        fish: MASS.of(4.0),
        volume: VOLUME.of(l(200.0)),
        cut: HOURS.of(hours(100.0)),
        around: TEMPERATURE.of(celsius(26.0)),
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(40.0)),
        capacity: ENERGY.of(4800.0 * WH),
        last: LastMeal::Day,
        ph: RATIO.of(6.5),
        ..OutageIn::default()
    };
    let o = run(&i);
    assert!(level_of(&o).state() == State::Enough && foul_of(&o).state() == State::Over, "{o:?}");
    assert!((8.0..8.4).contains(&o.fouled.at.value), "{o:?}");
    assert!(verdict_of(&i).ends_with("before its end their ammonia poisons them."), "{}", verdict_of(&i));
    assert_eq!(run(&OutageIn { battery: YesNo::No, ..i }).fouled.at.value, 6.5);
}

#[test]
fn a_pump_that_brings_it_back_counts_where_it_is_critical_already() {
    let at = |oxygen: f64, air: f64| OutageIn {
        species: Species::by_id("trout").expect("trout"),
        temperature: TEMPERATURE.of(celsius(12.0)),
        fish: MASS.of(5.0),
        feed: FEED_RATE.of(g_day(50.0)),
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(air)),
        capacity: ENERGY.of(1000.0 * WH),
        oxygen: CONCENTRATION.of(mg_l(oxygen)),
        ..OutageIn::default()
    };
    // A hair above and at the critical content are alike.
    let (above, there) = (run(&at(5.001, 40.0)), run(&at(5.0, 40.0)));
    assert!((above.lasts.0.value / there.lasts.0.value - 1.0).abs() < 0.01, "{above:?} {there:?}");
    assert!(verdict_of(&at(5.0, 40.0)).contains("critical already: give them air now"));
    // Far below, a weak pump is no rescue; a stronger one is offered.
    let low = at(3.0, 40.0);
    let o = run(&low);
    assert_eq!((o.lasts.0.value, level_of(&o).state()), (0.0, State::Over));
    let r = Outage::report(&low, &o, Words::default());
    let pump = r.repairs.iter().find(|r| r.title.starts_with("A battery pump")).expect("a stronger pump");
    assert_eq!(pump.level.state(), State::Enough, "{pump:?}");
    // A pump that cannot hold them is none.
    assert_eq!(run(&at(5.0, 5.0)).lasts.0.value, 0.0);
}

#[test]
fn what_is_done_when_says_what_is_so() {
    let when =
        |i: &OutageIn| order(i, &run(i), Words::default()).rows.into_iter().map(|r| r[0].clone()).collect::<Vec<_>>();
    let note = |i: &OutageIn| notes(i, &run(i), Words::default()).remove(0);
    let usual = OutageIn::default();
    assert!(when(&usual)[1].starts_with("Within") && note(&usual).contains("next to nothing"));
    assert_eq!(when(&OutageIn { battery: YesNo::Yes, ..usual.clone() })[1], "At once");
    let few = OutageIn { fish: MASS.of(0.1), feed: FEED_RATE.of(g_day(1.0)), surface: AREA.of(8.0), ..usual };
    assert!(when(&few).iter().all(|w| !w.contains("ten days")) && when(&few)[1] == "If it gets low");
    assert!(note(&few).contains("all they need"), "{}", note(&few));
}

/// The low end is never longer than what the oxygen calculator says of the same tank, and water holds no more than it can.
#[test]
fn the_low_end_is_the_cautious_one() {
    use crate::calculators::oxygen::{FishGroup, Oxygen, OxygenIn, Reading};
    for species in &SPECIES {
        for solids in [Solids::Drawn, Solids::Settled, Solids::Left] {
            let i = OxygenIn {
                fish: vec![FishGroup { species, ..FishGroup::default() }],
                temperature: species.well_to(),
                solids,
                reading: Reading::Now,
                reading_oxygen: CONCENTRATION.of(mg_l(7.0)),
                ..OxygenIn::default()
            };
            let o = solve::<Oxygen>(&i, &mut Working::none()).expect("solves");
            let unfed = run(&OutageIn {
                species,
                temperature: i.temperature,
                feed: o.feed,
                volume: i.volume,
                surface: i.volume / i.depth,
                oxygen: i.reading_oxygen,
                last: LastMeal::Day,
                solids,
                ..OutageIn::default()
            });
            let longest = o.all_off.resting.map_or(f64::INFINITY, |t| t.value);
            assert!(unfed.critical.0.value <= longest * 1.001, "{} {solids:?}", species.id);
            // Nor much less than a fifth of it, as is said there.
            let said = Oxygen::report(&i, &o, Words::default()).notes.iter().any(|n| n.contains("a fifth unfed"));
            assert!(said && (longest.is_infinite() || unfed.critical.0.value > 0.18 * longest), "{}", species.id);
        }
    }
    let at = |c: f64| run(&OutageIn { oxygen: CONCENTRATION.of(c), ..OutageIn::default() });
    assert_eq!(at(mg_l(12.0)).critical, at(at(mg_l(6.0)).still.saturation.value).critical);
    assert!(at(mg_l(12.0)).critical.0 > at(mg_l(7.0)).critical.0);
    // Benson & Krause 1984: sea water of 26 °C holds 6.66 mg/L. So less is brought in.
    let aired = |salt| run(&OutageIn { salinity: SALINITY.of(salt), battery: YesNo::Yes, ..OutageIn::default() });
    let sea = aired(35.0);
    assert!((sea.still.saturation.value - mg_l(6.66)).abs() < mg_l(0.005), "{:?}", sea.still.saturation);
    assert!(sea.brings.is_some() && sea.brings < aired(0.0).brings);
}

/// At the temperature of death itself, as a person types it: it is said what is so, and water that gets no colder kills none.
#[test]
fn at_the_edge_of_death_by_cold() {
    let at = |c: f64, around: f64| OutageIn {
        temperature: TEMPERATURE.of(celsius(c)),
        around: TEMPERATURE.of(celsius(around)),
        ..OutageIn::default()
    };
    let i = OutageIn { species: &SPECIES[0], ..at(12.0, 5.0) };
    assert_eq!(i.species.dies_below(), i.temperature);
    let said = |i: &OutageIn| {
        let r = Outage::report(i, &run(i), Words::default());
        format!("{} {}", r.verdict, r.notes.join(" "))
    };
    let text = said(&i);
    assert!(text.contains("as cold already as they bear") && text.contains("as cold already as this fish"), "{text}");
    assert!(!text.contains("0\u{202f}s") && !text.contains("colder already"), "{text}");
    assert!(run(&at(12.0, 20.0)).cold.is_none() && run(&at(11.9, 20.0)).cold.is_some());
}

/// Water under ice gets no air through its surface ([`src::ICE`]): the cautious end is that of a tank without a surface from then on.
#[test]
fn ice_closes_the_surface() {
    let of = |id: &str| Species::by_id(id).expect(id);
    let t = |c: f64| TEMPERATURE.of(celsius(c));
    let winter = OutageIn {
        species: of("trout"),
        temperature: t(3.0),
        around: t(-10.0),
        cut: HOURS.of(hours(48.0)),
        feed: FEED_RATE.of(0.0),
        last: LastMeal::Day,
        oxygen: CONCENTRATION.of(mg_l(12.5)),
        volume: VOLUME.of(l(6000.0)),
        surface: AREA.of(8.0),
        ..OutageIn::default()
    };
    let (o, closed) = (run(&winter), run(&OutageIn { surface: AREA.of(0.0), ..winter.clone() }));
    assert!(o.ice.is_some_and(|t| t.value <= 0.0));
    assert!((o.critical.0.value / closed.critical.0.value - 1.0).abs() < 1e-9, "{o:?}");
    // The best end is that of a surface that stays open, and 34 h do not bridge 48.
    assert!(o.critical.1 > closed.critical.1 && level_of(&o).state() == State::Over);
    assert!(verdict_of(&winter).contains("not bridged"), "{}", verdict_of(&winter));
    let open = run(&OutageIn { around: t(1.0), ..winter.clone() });
    assert!(open.lasts.0 > o.lasts.0 && o.air_needed > open.air_needed);
    // It freezes later where it is warmer: so far the surface counts.
    let cooling = OutageIn { temperature: t(6.0), ..winter.clone() };
    let later = run(&cooling);
    let shut = run(&OutageIn { surface: AREA.of(0.0), ..cooling.clone() });
    let open = run(&OutageIn { around: t(1.0), ..cooling });
    assert!(later.freezes.is_some_and(|t| t.value > 0.0 && t < later.critical.0));
    assert!(later.critical.0 > shut.critical.0 && later.critical.0 < open.critical.0, "{later:?}");
    // Bubbles reach it still.
    let pump = OutageIn { battery: YesNo::Yes, capacity: ENERGY.of(50_000.0 * WH), ..winter };
    assert!(run(&pump).lasts.0 > o.lasts.0 && level_of(&run(&pump)).state() == State::Enough);
}

/// FAO X0086E: carp winter for months under ice. Currie et al. 1998, 2004: catfish used to 25 °C or so lose their balance at 6 to 7 °C.
#[test]
fn a_winter_kills_no_carp_and_no_catfish_and_a_fall_from_warmth_does() {
    let t = |c: f64| TEMPERATURE.of(celsius(c));
    for species in ["carp", "catfish"].map(|id| Species::by_id(id).expect(id)) {
        let i = OutageIn { species, around: t(-10.0), cut: HOURS.of(hours(48.0)), ..OutageIn::default() };
        let cool = OutageIn {
            temperature: t(6.0),
            feed: FEED_RATE.of(0.0),
            last: LastMeal::Day,
            oxygen: CONCENTRATION.of(mg_l(11.0)),
            ..i.clone()
        };
        let o = run(&cool);
        assert!(o.cold.is_none() && o.ice.is_some() && !verdict_of(&cool).contains("die"), "{}", verdict_of(&cool));
        let r = Outage::report(&cool, &o, Words::default());
        assert!(!r.cautions.iter().any(|c| c.text.contains("Leave them alone")));
        let under = OutageIn { temperature: t(3.0), ..cool };
        let r = Outage::report(&under, &run(&under), Words::default());
        assert!(r.cautions.iter().any(|c| c.text.contains("Leave them alone")), "{:?}", r.cautions);
        assert!(run(&OutageIn { temperature: t(26.0), ..i }).cold.is_some(), "{}", species.id);
    }
}

#[test]
fn what_is_low_already_is_said_so() {
    let i = OutageIn {
        species: Species::by_id("catfish").expect("catfish"),
        oxygen: CONCENTRATION.of(mg_l(4.5)),
        ..OutageIn::default()
    };
    let said = verdict_of(&i);
    assert!(said.contains("the oxygen is low already") && !said.contains("0\u{202f}s"), "{said}");
}

fn heat_wave() -> OutageIn {
    OutageIn {
        species: Species::by_id("trout").expect("trout"),
        temperature: TEMPERATURE.of(celsius(18.0)),
        around: TEMPERATURE.of(celsius(38.0)),
        cut: HOURS.of(hours(72.0)),
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(40.0)),
        capacity: ENERGY.of(4000.0 * WH),
        oxygen: CONCENTRATION.of(mg_l(8.0)),
        // So few that their ammonia does not come first, at the pH that the air brings.
        fish: MASS.of(1.5),
        feed: FEED_RATE.of(g_day(15.0)),
        last: LastMeal::Day,
        ..OutageIn::default()
    }
}

/// Huysman et al. 2020: half of the trout died at 25 °C. 900 L at 18 °C in air of 38: walls 1/(1/200 + 0.006/0.4 + 1/8) and
/// a surface of 7 W/m²K, by hand 28.5 W/K on 3.76 MJ/K, take 13 h to 24 °C; moist air and warm ground, which that leaves out, make it sooner.
#[test]
fn a_cut_in_a_heat_wave_is_not_bridged() {
    let i = heat_wave();
    let o = run(&i);
    let by_hand = 3.76e6 / 28.5 * (20.0_f64 / 14.0).ln();
    assert!((by_hand / hours(1.0) - 13.1).abs() < 0.1);
    let hot = o.hot.expect("it gets hot");
    assert!(hot.value < by_hand && hot.value > by_hand * 0.5, "{hot:?}");
    assert_eq!(Outage::level(&o).map(|l| (l.id.to_string(), l.state())), Some(("hot".into(), State::Over)));
    assert!(level_of(&o).state() == State::Enough, "{o:?}");
    let r = Outage::report(&i, &o, Words::default());
    assert!(r.verdict.starts_with("The cut is not bridged: it gets so hot that they die in "), "{}", r.verdict);
    assert!(r.repairs.iter().any(|r| r.title.contains("something to cool it") && r.level.state() == State::Enough));
    assert!(r.tables[0].rows.iter().any(|r| r[0].contains("after the air") && r[1].starts_with("Shade")));
    assert!(r.notes.iter().any(|n| n.contains("die of heat")) && !r.notes.iter().any(|n| n.contains("so cold that")));
    // Air that is no warmer than they bear kills none, and water that has its air's warmth warms no more.
    let mild = |c: f64| OutageIn { around: TEMPERATURE.of(celsius(c)), cut: HOURS.of(hours(24.0)), ..i.clone() };
    assert!(run(&mild(23.9)).hot.is_none() && verdict_of(&mild(16.0)).ends_with("The cut is bridged."));
    assert!(run(&mild(30.0)).hot.is_some_and(|t| t.value < hours(24.0) * 1.1));
    // Tilapia live through it.
    let tilapia = OutageIn { species: &SPECIES[0], ..heat_wave() };
    assert!(run(&tilapia).hot.is_none());
    let at = OutageIn { temperature: TEMPERATURE.of(celsius(24.0)), ..i };
    assert!(verdict_of(&at).contains("as hot already as they bear"), "{}", verdict_of(&at));
}

/// Warm water holds less and fish breathe more in it: the oxygen lasts as a balance minute by minute has it, never longer.
#[test]
fn oxygen_runs_out_in_water_that_warms() {
    let i = OutageIn {
        temperature: TEMPERATURE.of(celsius(22.0)),
        around: TEMPERATURE.of(celsius(35.0)),
        fish: MASS.of(6.0),
        feed: FEED_RATE.of(g_day(60.0)),
        last: LastMeal::Day,
        oxygen: CONCENTRATION.of(mg_l(8.0)),
        volume: VOLUME.of(l(2000.0)),
        surface: AREA.of(2.0),
        ..OutageIn::default()
    };
    let (warm, steady) = (run(&i), run(&OutageIn { around: i.temperature, ..i.clone() }));
    let nitrogen = ammonia::tan_from_feed(i.feed, i.species.protein());
    let film = respiration::nitrifiers(nitrogen) + i.feed * RATIO.of(i.solids.per_feed().value);
    let (minute, critical) = (60.0, i.species.oxygen_critical());
    let (mut c, mut t) = (i.oxygen.min(warm.still.saturation), 0);
    for (_, water) in i.left_to_itself().on_the_way(HOURS.of(hours(12.0)), 720).into_iter().take(720) {
        if c <= critical {
            break;
        }
        let still = i.supplies(i.air, water).expect("known").0;
        let demand = reserve::demand(i.breath(water), reserve::meal_range(i.last, i.meals), film).1;
        c = CONCENTRATION.of(c.value + (still.at(c).value - demand.value) / i.volume.value * minute);
        t += 1;
    }
    let (found, stepped) = (warm.critical.0.value, f64::from(t) * minute);
    assert!(hours(3.0) < stepped && stepped < hours(11.0), "{stepped}");
    assert!(found <= stepped + minute && found > stepped * 0.95, "{found} {stepped}");
    // Unfed fish have a day, and that much longer it warms.
    assert!(found < steady.critical.0.value && warm.critical.1.value < steady.critical.1.value * 0.85, "{warm:?}");
    // Air that holds them has to do so in the warmest of it; where it cools nothing is changed by that.
    assert!(warm.air_needed > steady.air_needed);
    let cool = run(&OutageIn { around: TEMPERATURE.of(celsius(10.0)), ..i });
    assert_eq!((cool.critical, cool.air_needed), (steady.critical, steady.air_needed));
}

/// Fish that air holds for days stand in their own ammonia, which no filter takes: as much as the page of holding them finds in as much water.
/// By hand 8 mg of nitrogen per kilogram and hour: 10 kg in 500 L for 72 h are 11.5 mg/L; at 28 °C they breathe half as much again.
#[test]
fn a_long_cut_is_not_bridged_by_air_alone() {
    use crate::calculators::change::{Change, ChangeIn, ChangeOut, Job};
    let i = OutageIn {
        fish: MASS.of(10.0),
        volume: VOLUME.of(l(500.0)),
        temperature: TEMPERATURE.of(celsius(28.0)),
        around: TEMPERATURE.of(celsius(24.0)),
        cut: HOURS.of(hours(72.0)),
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(60.0)),
        capacity: ENERGY.of(4800.0 * WH),
        usable: PERCENT.of(0.8),
        power: POWER.of(30.0),
        last: LastMeal::Day,
        ..OutageIn::default()
    };
    let o = run(&i);
    assert!(level_of(&o).state() == State::Enough, "{o:?}");
    assert!((mg_l(11.5)..mg_l(18.0)).contains(&o.fouled.tan.value), "{o:?}");
    let drum = ChangeIn {
        job: Job::Hold,
        fish: i.fish,
        mass: i.mass,
        container: VOLUME.of(l(510.0)),
        temperature: i.temperature,
        hours: i.cut,
        ph: i.ph,
        ration: DAILY_SHARE.of(percent_day(1.2)),
        ..ChangeIn::default()
    };
    let Ok(ChangeOut::Hold(h)) = Change::solve(&drum, &mut Working::none()) else { panic!("holding") };
    assert!((o.fouled.tan / h.tan).value > 0.999 && (o.fouled.tan / h.tan).value < 1.001, "{h:?}");
    let r = Outage::report(&i, &o, Words::default());
    assert!(r.levels[0].id == "unionised" && r.levels[0].state() == State::Over, "{:?}", r.levels[0]);
    assert_eq!(Outage::level(&o).as_ref(), Some(&r.levels[0]));
    assert!(r.verdict.ends_with("before its end their ammonia poisons them."), "{}", r.verdict);
    assert!(r.tables[0].rows.iter().any(|r| r[0].starts_with("Every") && r[1].starts_with("A third of the water")));
    assert!(r.repairs.iter().any(|r| r.level.id == "unionised" && r.level.state() == State::Enough), "{:?}", r.repairs);
    // Without air the oxygen comes first, and is told first.
    let bare = OutageIn { battery: YesNo::No, ..i.clone() };
    let r = Outage::report(&bare, &run(&bare), Words::default());
    assert!(r.levels[0].id == "time" && !r.verdict.contains("ammonia"), "{}", r.verdict);
    // A night is no matter.
    let night = OutageIn { cut: HOURS.of(hours(8.0)), ..i.clone() };
    assert!(verdict_of(&night).ends_with("The cut is bridged."), "{}", verdict_of(&night));
    assert!(
        Outage::report(&night, &run(&night), Words::default()).tables[0]
            .rows
            .iter()
            .all(|r| !r[0].starts_with("Every"))
    );
    // A third of it changed so often keeps it at four fifths of what they bear.
    let every = o.changed_every().expect("often");
    let (mut foul, each) = (0.0, o.fouled.unionised.value * (every / i.cut).value);
    let mut most: f64 = 0.0;
    for _ in 0..1000 {
        foul += each;
        most = most.max(foul);
        foul *= 2.0 / 3.0;
    }
    assert!((most / o.fouled.borne.value - ENOUGH).abs() < 1e-6, "{most}");
}
