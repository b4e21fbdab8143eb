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
    assert!(verdict_of(&OutageIn { around: i.temperature, ..i }).starts_with("The cut is bridged: the battery runs"));
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
    assert!(verdict_of(&i).contains("before its end their ammonia poisons them."), "{}", verdict_of(&i));
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
    assert!(run(&mild(23.9)).hot.is_none() && verdict_of(&mild(16.0)).starts_with("The cut is bridged: "));
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
    let said = "The cut is not bridged: before its end their ammonia poisons them. The battery runs the air pump for ";
    assert!(r.verdict.starts_with(said), "{}", r.verdict);
    assert!(r.tables[0].rows.iter().any(|r| r[0].starts_with("Every") && r[1].starts_with("A third of the water")));
    assert!(r.repairs.iter().any(|r| r.level.id == "unionised" && r.level.state() == State::Enough), "{:?}", r.repairs);
    // Without air the oxygen comes first, and is told first.
    let bare = OutageIn { battery: YesNo::No, ..i.clone() };
    let r = Outage::report(&bare, &run(&bare), Words::default());
    assert!(r.levels[0].id == "time" && !r.verdict.contains("ammonia"), "{}", r.verdict);
    // A night is no matter.
    let night = OutageIn { cut: HOURS.of(hours(8.0)), ..i.clone() };
    assert!(verdict_of(&night).starts_with("The cut is bridged: "), "{}", verdict_of(&night));
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

fn plain(text: &str) -> String {
    text.replace(THIN, " ")
}

/// A person with a battery asks first whether that is enough, and what comes when it is empty; without one, how long the water lasts.
#[test]
fn with_a_battery_what_it_does_is_said_first() {
    let pump = |wh: f64, cut: f64| OutageIn {
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(80.0)),
        power: POWER.of(20.0),
        capacity: ENERGY.of(wh * WH),
        cut: HOURS.of(hours(cut)),
        oxygen: CONCENTRATION.of(mg_l(6.5)),
        ..OutageIn::default()
    };
    let said = |i: &OutageIn| plain(&verdict_of(i));
    // 480 Wh, half of it at 20 W: 12 h.
    let (runs, cut) = (pump(480.0, 8.0), pump(480.0, 48.0));
    let text = said(&runs);
    assert!(text.starts_with("The cut is bridged: the battery runs the air pump for 12 h, and 8 h are wanted. When it is empty the oxygen is critical "), "{text}");
    assert!(text.contains(" later. Switch it on at once: without it the oxygen is low in "), "{text}");
    let text = said(&cut);
    assert!(
        text.starts_with("The cut is not bridged: the battery runs the air pump for 12 h of the 2 days wanted, and "),
        "{text}"
    );
    assert!(text.contains(" later the oxygen is critical. Switch it on at once"), "{text}");
    // What is written large is what they have, and it is the level's.
    for i in [&runs, &cut, &OutageIn::default()] {
        let o = run(i);
        let mut all = vec![];
        Outage::outputs(&o, &mut all);
        let answer = all.iter().find(|x| x.key == Outage::ANSWER).expect("an answer");
        assert_eq!(answer.value, Value::Span(o.lasts.0.value, o.lasts.1.value));
        let Brim::Upper(c) = level_of(&o).brim else { panic!("one brim") };
        assert_eq!(answer.value, Value::Span(c.low, c.high));
    }
    // Beside it, after the battery: the water as the pump leaves it.
    let o = run(&cut);
    let runs = o.runs.expect("runs");
    assert!(o.lasts.0 > runs && (o.lasts.0 - runs) < o.critical.0 * 3.0);
    // Just enough: run down before the end, and the rest of the water bridges.
    let just = pump(480.0, 12.2);
    assert!(run(&just).lasts.0 > just.cut, "{:?}", run(&just).lasts);
    let text = said(&just);
    assert!(
        text.starts_with("The cut is just bridged: ")
            && text.contains("attery runs the air pump for 12 h of the 12 h 12 min wanted, and "),
        "{text}"
    );
    // A pump that is too weak is said to be so.
    let weak = OutageIn { air: AIR_FLOW.of(l_min(2.0)), ..pump(480.0, 8.0) };
    assert!(
        said(&weak).starts_with(
            "The cut is not bridged: the battery pump is too weak, and with it the oxygen is critical in "
        ),
        "{}",
        said(&weak)
    );
    // One that gives nothing counts as none.
    for none in [OutageIn { air: AIR_FLOW.of(0.0), ..pump(480.0, 8.0) }, pump(0.0, 8.0)] {
        assert!(said(&none).contains("counts as none. Without pump and air: "), "{}", said(&none));
        assert!(order(&none, &run(&none), Words::default()).rows[1][1].starts_with("Air: a battery pump"));
    }
    assert!(said(&OutageIn::default()).starts_with("Without pump and air: "));
}

/// A pump that keeps them alive with less oxygen than they should have bridges a cut only just, and a stronger one is offered.
#[test]
fn little_oxygen_for_days_is_no_good_air() {
    let of = |air: f64| OutageIn {
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(air)),
        power: POWER.of(20.0),
        capacity: ENERGY.of(8000.0 * WH),
        cut: HOURS.of(hours(24.0)),
        oxygen: CONCENTRATION.of(mg_l(6.5)),
        around: TEMPERATURE.of(celsius(26.0)),
        volume: VOLUME.of(l(3000.0)),
        last: LastMeal::Day,
        ..OutageIn::default()
    };
    let needed = run(&of(10.0)).air_needed.expect("enough").value / l_min(1.0);
    let (i, good) = (of(needed * 0.8), of(needed * 1.1));
    let o = run(&i);
    assert!(o.down.is_some_and(|c| c < o.floor && c > i.species.oxygen_critical()), "{o:?}");
    let r = Outage::report(&i, &o, Words::default());
    assert!(r.verdict.starts_with("The cut is just bridged: the battery runs the air pump for "), "{}", r.verdict);
    assert!(
        r.verdict.contains(" wanted, but the oxygen is at ") && r.verdict.contains("They should have 4"),
        "{}",
        r.verdict
    );
    // How long they have stays what is written large.
    assert!(!r.levels[0].leads);
    assert!(r.levels[0].id == "held" && r.levels[0].state() == State::Tight, "{:?}", r.levels);
    let pump = r.repairs.iter().find(|r| r.title.starts_with("A battery pump")).expect("a stronger pump");
    assert!(pump.level.id == "held" && pump.level.state() == State::Enough, "{pump:?}");
    let r = Outage::report(&good, &run(&good), Words::default());
    assert!(r.verdict.starts_with("The cut is bridged: ") && r.repairs.is_empty(), "{r:?}");
}

/// What a repair brings is told in times, not as `3 days of 3 days: 76 %`, and what is too late is none.
#[test]
fn repairs_of_a_cut_say_how_long() {
    for cut in [0.2, 1.0, 4.0, 30.0, 72.0, 150.0, 200.0] {
        for battery in [YesNo::No, YesNo::Yes] {
            for oxygen in [3.1, 5.0, 7.0] {
                let i = OutageIn {
                    cut: HOURS.of(hours(cut)),
                    battery,
                    oxygen: CONCENTRATION.of(mg_l(oxygen)),
                    around: TEMPERATURE.of(celsius(26.0)),
                    ..OutageIn::default()
                };
                let r = Outage::report(&i, &run(&i), Words::default());
                for r in r.repairs {
                    let said = plain(&r.effect);
                    if r.level.id == "time" {
                        assert!(
                            said.starts_with("Oxygen for ") && said.contains(" wanted: ") && !said.contains('%'),
                            "{said}"
                        );
                    }
                    if let Some((_, within)) = r.title.split_once(" within ") {
                        assert!(r.level.state() != State::Over, "{r:?}");
                        // What is named is what is set.
                        assert!(r.level.id != "time" || said.contains(&format!("; {} wanted", plain(within))), "{r:?}");
                    }
                }
            }
        }
    }
}

/// What is due first stands first; with a battery there is time until that is empty, and it is said what comes then.
#[test]
fn what_is_due_first_stands_first() {
    let rows = |i: &OutageIn| {
        let all = order(i, &run(i), Words::default()).rows;
        all.into_iter().map(|r| format!("{}: {}", plain(&r[0]), r[1])).collect::<Vec<_>>()
    };
    let pump = OutageIn {
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(80.0)),
        cut: HOURS.of(hours(24.0)),
        oxygen: CONCENTRATION.of(mg_l(6.5)),
        around: TEMPERATURE.of(celsius(26.0)),
        ..OutageIn::default()
    };
    let all = rows(&pump);
    let at = |what: &str| all.iter().position(|r| r.contains(what)).unwrap_or_else(|| panic!("no {what}: {all:#?}"));
    assert!(
        all[0].starts_with("At once: Battery air pump on") && all[at("A charged battery")].starts_with("Within 8 h: ")
    );
    assert!(
        at("A charged battery") < at("The water pump") && all[at("The water pump")].starts_with("Within 9 h"),
        "{all:#?}"
    );
    let short = rows(&OutageIn { cut: HOURS.of(hours(4.0)), ..pump.clone() });
    assert!(short.iter().any(|r| r.starts_with("If it lasts longer than 8 h: A charged battery")), "{short:#?}");
    let weak = rows(&OutageIn { air: AIR_FLOW.of(l_min(2.0)), ..pump });
    assert!(weak[2].contains("More air, for this pump alone is too weak"), "{weak:#?}");
}

fn chart(i: &OutageIn) -> Chart {
    let mut r = Outage::report(i, &run(i), Words::default());
    let Picture::Chart(chart) = r.pictures.remove(0) else { panic!("no chart") };
    chart
}

/// Minutes where minutes count and days where days do; no two curves alike, and their names stand on them.
#[test]
fn the_picture_is_read_in_its_own_time() {
    let with = |wh: f64, cut: f64| OutageIn {
        battery: YesNo::Yes,
        air: AIR_FLOW.of(l_min(80.0)),
        capacity: ENERGY.of(wh * WH),
        cut: HOURS.of(hours(cut)),
        around: TEMPERATURE.of(celsius(26.0)),
        ..OutageIn::default()
    };
    for (i, unit) in [
        (OutageIn { cut: HOURS.of(hours(1.0)), ..OutageIn::default() }, "time, min"),
        (with(240.0, 24.0), "time, h"),
        (with(500.0, 4.0), "time, h"),
        (with(6000.0, 150.0), "time, days"),
    ] {
        let c = chart(&i);
        assert_eq!(c.x.label, unit);
        assert!((3..=13).contains(&c.x.ticks.len()), "{:?}", c.x);
        let longest = c.x.ticks.iter().map(|t| t.1.chars().count()).max();
        assert!(longest <= Some(3), "{:?}", c.x.ticks);
        let mut roles: Vec<_> = c.series.iter().map(|s| format!("{:?}", s.role)).collect();
        roles.dedup();
        assert_eq!(roles.len(), c.series.len());
        // Two of water and of brim are told by colour alone, unless it stands there.
        let named = |what: &str| c.marks.iter().any(|m| m.label.starts_with(what));
        assert!(if i.battery.yes() { named("battery empty") || named("with") } else { named("at worst") }, "{c:?}");
        for m in &c.marks {
            assert!(m.x <= c.x.max && m.y <= c.y.max, "{m:?}");
        }
    }
}

/// Whatever is entered, headline, levels and words agree, and nothing is said twice or left open.
#[test]
fn what_is_said_of_a_cut_agrees() {
    let mut seen = std::collections::BTreeSet::new();
    let mut k = 1_usize;
    for n in 0..2000 {
        let mut next = |of: usize| {
            k = (k * 16_807) % 2_147_483_647;
            k / 100 % of
        };
        let one = |all: &[f64], k: usize| all[k];
        let i = OutageIn {
            cut: HOURS.of(hours(one(&[0.1, 1.0, 4.0, 12.0, 48.0, 72.0, 200.0], next(7)))),
            battery: if next(3) > 0 { YesNo::Yes } else { YesNo::No },
            capacity: ENERGY.of(one(&[0.0, 30.0, 240.0, 2000.0, 50_000.0], next(5)) * WH),
            air: AIR_FLOW.of(l_min(one(&[0.0, 3.0, 12.0, 60.0, 200.0], next(5)))),
            oxygen: CONCENTRATION.of(mg_l(one(&[1.0, 3.2, 5.0, 8.0], next(4)))),
            fish: MASS.of(one(&[0.1, 2.0, 8.0, 40.0], next(4))),
            last: [LastMeal::Just, LastMeal::Today, LastMeal::Day][next(3)],
            temperature: TEMPERATURE.of(celsius(one(&[3.0, 14.0, 22.0, 27.0, 33.0], next(5)))),
            around: TEMPERATURE.of(celsius(one(&[-15.0, 5.0, 20.0, 38.0], next(4)))),
            covered: if next(2) > 0 { YesNo::Yes } else { YesNo::No },
            species: &SPECIES[next(SPECIES.len())],
            ..OutageIn::default()
        };
        let o = run(&i);
        let system = if n % 2 == 0 { System::Metric } else { System::Us };
        let r = Outage::report(&i, &o, Words::from(system));
        let said = plain(&r.verdict);
        let heads = ["The cut is not bridged", "The cut is just bridged", "The cut is bridged"];
        let found: Vec<_> = heads.iter().filter(|h| said.contains(**h)).collect();
        let worst = r.levels.iter().map(Level::state).max().expect("levels");
        assert!(r.levels[0].state() == worst && (worst > State::Enough || r.levels[0].id == "time"), "{:?}", r.levels);
        if o.deadly.is_none() {
            let head = match worst {
                State::Over => heads[0],
                State::Tight => heads[1],
                State::Enough => heads[2],
            };
            assert_eq!(found, [&head], "{said} {:?}", r.levels);
            assert_eq!(said.matches("The cut is").count(), 1, "{said}");
            seen.insert(head);
        } else {
            assert!(found.is_empty(), "{said}");
        }
        assert!(
            !said.contains("  ") && !said.contains("..") && !said.contains(": : ") && said.ends_with('.'),
            "{said}"
        );
        assert!(!said.contains(" 0 s"), "{said}");
        let rows = &r.tables[0].rows;
        assert!(rows.iter().all(|r| !plain(&r[0]).contains(" 0 s") && !plain(&r[1]).contains(" 0 s ")), "{rows:?}");
        for r in &r.repairs {
            assert!(!r.title.is_empty() && !plain(&r.effect).contains(" 0 s;"), "{r:?}");
        }
    }
    assert_eq!(seen.len(), 3);
}

/// Trout packed so tight that no battery pump is of use: the storm is called one, and oxygen from a cylinder is named with its dangers.
#[test]
fn a_dense_tank_is_told_of_oxygen() {
    let i = OutageIn {
        species: Species::by_id("trout").expect("trout"),
        temperature: TEMPERATURE.of(celsius(14.0)),
        fish: MASS.of(30.0),
        oxygen: CONCENTRATION.of(mg_l(8.0)),
        ..OutageIn::default()
    };
    let said = |i: &OutageIn| Outage::report(i, &run(i), Words::default());
    let r = said(&i);
    let pump = r.repairs.iter().find(|r| r.title.starts_with("A battery pump")).expect("a pump");
    assert!(pump.also.as_ref().is_some_and(|a| a.contains("is a storm")), "{pump:?}");
    let of = |r: &Report, what: &str| r.cautions.iter().filter(|c| c.text.contains(what)).count();
    assert_eq!((of(&r, "oxygen cylinder"), of(&r, "no oil or grease")), (1, 1));
    // Batteries are asked for, so their dangers are said; where the still water keeps the fish neither is.
    assert_eq!(of(&r, "hydrogen"), 1);
    let few = said(&OutageIn { fish: MASS.of(0.3), feed: FEED_RATE.of(g_day(3.0)), ..i });
    assert_eq!((of(&few, "oxygen cylinder"), of(&few, "hydrogen")), (0, 0), "{}", few.verdict);
}

/// One fish of thirty is no repair while a battery pump is; where nothing else helps it is said.
#[test]
fn a_part_of_one_fish_is_no_repair() {
    let i = OutageIn { cut: HOURS.of(hours(12.0)), ..published() };
    let titles = |i: &OutageIn| {
        let r = Outage::report(i, &run(i), Words::default());
        r.repairs.iter().map(|r| r.title.clone()).collect::<Vec<_>>()
    };
    let told = titles(&i);
    assert!(told.iter().any(|t| t.starts_with("A battery pump")), "{told:?}");
    assert!(told.iter().all(|t| !t.contains("fed in proportion")), "{told:?}");
    let repair = |path: &str, x: f64, state: f64| {
        let level = Level::upper("time", "Oxygen", HOURS, HOURS.of(state), HOURS.of(1.0));
        let edits = vec![Edit { path: path.into(), to: EditValue::Si(x) }];
        Repair { title: path.into(), effect: String::new(), edits, then: level.state(), level, also: None }
    };
    let left = |all: Vec<Repair>| sparing(all, 8.0, 0.25).len();
    assert_eq!(left(vec![repair("fish", 0.4, 0.5), repair("air", 1.0, 0.5)]), 1);
    assert_eq!(left(vec![repair("fish", 2.0, 0.5), repair("air", 1.0, 0.5)]), 2);
    assert_eq!(left(vec![repair("fish", 0.4, 0.5), repair("air", 1.0, 1.5)]), 2);
}
