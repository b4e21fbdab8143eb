use super::report::{STEPS_AN_HOUR, apply_all, day, digesting, load, tables};
use super::*;

fn group(species: &str, count: f64, grams: f64) -> FishGroup {
    let species = Species::by_id(species).unwrap_or_else(|| panic!("{species}"));
    FishGroup::counted(species, COUNT.of(count), SMALL_MASS.of(g(grams)))
}
fn run(i: &OxygenIn) -> OxygenOut {
    sheet::solve::<Oxygen>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}
fn gh(m: MassRate) -> f64 {
    m.value / g_h(1.0)
}
fn minutes(t: Option<Time>) -> f64 {
    t.map_or(f64::INFINITY, |t| t.value / 60.0)
}
fn text(i: &OxygenIn) -> Report {
    report::report(i, &run(i), Words::default())
}

/// A practitioner's judgement of a trough that is short of air: 1100 L, 28 °C, sea level, raft, 30 L/min through medium stones at 0.5 m.
fn trough(fish: Vec<FishGroup>) -> OxygenIn {
    OxygenIn {
        fish,
        temperature: TEMPERATURE.of(celsius(28.0)),
        volume: VOLUME.of(l(1100.0)),
        flow: FLOW.of(l_h(1500.0)),
        ..OxygenIn::default()
    }
}

/// `V dC/dt = G_s (C_s - C) - R` with the numbers that stand there, in closed form; nothing of a setting that is not shown.
#[test]
fn the_minutes_follow_from_the_numbers_shown() {
    let mut w = Working::recorded();
    sheet::solve::<Oxygen>(&OxygenIn::default(), &mut w).unwrap_or_else(|e| panic!("{e:?}"));
    let steps = w.take();
    let last = steps.last().expect("the minutes");
    let saturation = steps.iter().find(|s| s.result.symbol == "C_s").expect("what water holds").result.si;
    let at = |symbol| last.with.iter().find(|t| t.symbol == symbol).unwrap_or_else(|| panic!("{symbol}")).si;
    let falls = |c| at("R") - at("G_s") * (saturation - c);
    let t = at("V") / at("G_s") * (falls(at("from")) / falls(at("to"))).ln();
    assert!(last.result.symbol == "t" && (t / last.result.si - 1.0).abs() < 1e-6, "{t} {last:?}");
}

#[test]
fn a_trough_short_of_air() {
    let both = trough(vec![group("catfish", 25.0, 400.0), group("catfish", 30.0, 150.0)]);
    let o = run(&both);
    assert!((o.biomass.value - 14.5).abs() < 1e-9 && (o.floor.value - mg_l(5.0)).abs() < 1e-12);
    assert!((6.0..=9.0).contains(&gh(o.demand_peak)), "{}", gh(o.demand_peak));
    let (low, high) = (o.supply.0.shares(o.floor).air, o.supply.1.shares(o.floor).air);
    assert!(gh(low) >= 1.7 && gh(high) <= 3.4, "{} {}", gh(low), gh(high));
    let needed = o.air_needed.map_or(0.0, |q| q.value / l_min(1.0));
    assert!((70.0..=180.0).contains(&needed), "{needed}");
    assert_eq!(Oxygen::level(&o).map(|l| l.state()), Some(State::Over));
    let first = run(&trough(vec![group("catfish", 25.0, 400.0)]));
    assert_ne!(Oxygen::level(&first).map(|l| l.state()), Some(State::Enough));
    // Air at the stones is offered, with the flow for it, and it holds.
    let r = text(&both);
    assert!(r.verdict.contains("More is breathed") && r.verdict.contains("catfish want 5"), "{}", r.verdict);
    let air = r.repairs.iter().find(|r| r.edits.iter().any(|e| e.path == "air_flow")).expect("air");
    assert_eq!(air.level.state(), State::Enough);
    let EditValue::Si(q) = air.edits[0].to else { panic!("{air:?}") };
    assert!((70.0..=180.0).contains(&(q / l_min(1.0))), "{q}");
    // Less than a fifth of the fish is no repair where air is one.
    assert!(r.repairs.iter().all(|r| !r.title.starts_with("Keep")));
}

/// A practitioner's judgement of minutes with everything off: 1400 L at 700 m, 30 trout of 300 g, down to 5 mg/L.
#[test]
fn trout_with_everything_off() {
    let at = |c: f64, reading: f64| {
        run(&OxygenIn {
            fish: vec![group("trout", 30.0, 300.0)],
            temperature: TEMPERATURE.of(celsius(c)),
            volume: VOLUME.of(l(1400.0)),
            altitude: LENGTH.of(700.0),
            reading: Reading::Now,
            reading_oxygen: CONCENTRATION.of(mg_l(reading)),
            ..OxygenIn::default()
        })
    };
    let (cold, warm) = (at(12.0, 9.0), at(19.0, 7.5));
    assert!((cold.stop.value - mg_l(5.0)).abs() < 1e-12);
    for (t, low, high) in
        [(cold.all_off.resting, 90.0, 200.0), (warm.all_off.resting, 35.0, 75.0), (warm.all_off.fed, 20.0, 35.0)]
    {
        assert!((low..=high).contains(&minutes(t)), "{} not {low} to {high}", minutes(t));
    }
    for m in [cold.pump_off, cold.air_off, cold.all_off, warm.all_off] {
        assert!(minutes(m.fed) <= minutes(m.fed_lightly) && minutes(m.fed_lightly) <= minutes(m.resting));
    }
}

#[test]
fn more_of_what_helps_never_hurts() {
    let base = trough(vec![group("catfish", 12.0, 300.0)]);
    let capacity = |i: &OxygenIn| run(i).capacity.0.value;
    let mut last = f64::NEG_INFINITY;
    for n in 0..12 {
        let now = capacity(&OxygenIn {
            air: Air { flow: AIR_FLOW.of(l_min(10.0 * f64::from(n))), ..Air::default() },
            ..base.clone()
        });
        assert!(now > last);
        last = now;
    }
    let mut last = f64::INFINITY;
    for n in 0..30 {
        let o = run(&trough(vec![group("catfish", f64::from(n), 300.0)]));
        let c = o.settled.0.map_or(-1.0, |c| c.value);
        assert!(c <= last, "{n}");
        last = c;
    }
    // Flow from the same water brings nothing but by its fall; saturated water from elsewhere does.
    let fast = OxygenIn { flow: FLOW.of(l_h(4000.0)), ..base.clone() };
    assert_eq!(capacity(&fast), capacity(&base));
    let falls = |i: &OxygenIn| capacity(&OxygenIn { fall: Fall::Broken, ..i.clone() });
    assert!(falls(&fast) > falls(&base) && falls(&base) > capacity(&base));
    let spring = |i: &OxygenIn| capacity(&OxygenIn { inlet: Inlet::Saturated, ..i.clone() });
    assert!(spring(&fast) > spring(&base) && spring(&base) > capacity(&base));
}

#[test]
fn weighed_feed_is_shared_as_the_tables_would() {
    let two = vec![group("catfish", 25.0, 400.0), group("catfish", 30.0, 150.0)];
    let table = run(&trough(two.clone()));
    let weighed = OxygenIn { feed_by: FeedBy::Weighed, feed: table.feed, ..trough(two) };
    assert!((run(&weighed).demand_peak.value / table.demand_peak.value - 1.0).abs() < 1e-9);
    let less = run(&OxygenIn { feed: FEED_RATE.of(0.0), ..weighed });
    assert!(less.demand_peak < table.demand_peak && less.nitrifiers.value == 0.0 && less.fish_mean.value > 0.0);
}

#[test]
fn the_same_air_by_its_box() {
    let stones = trough(vec![group("catfish", 5.0, 400.0)]);
    let pump = Air { mode: AirMode::Pump, ..Air::default() };
    let o = run(&OxygenIn { air: pump.clone(), ..stones.clone() });
    // 60 L/min on the box, 0.5 m deep of 2 m, a year old: 60 x (1 - 0.7/2) x 0.8.
    assert!((o.air.delivered.value / l_min(1.0) - 31.2).abs() < 1e-9);
    let same = run(&OxygenIn { air: Air { flow: o.air.delivered, ..Air::default() }, ..stones.clone() });
    assert!((same.capacity.0.value / o.capacity.0.value - 1.0).abs() < 1e-12);
    let none = run(&OxygenIn { air: Air { mode: AirMode::None, ..pump }, ..stones });
    assert!(none.capacity.0 < o.capacity.0 && none.air_needed.is_some());
}

#[test]
fn a_reading_at_dawn_sets_the_air() {
    let base = trough(vec![group("catfish", 8.0, 400.0)]);
    let plain = run(&base);
    let resting = plain.settled_resting.expect("settles");
    // Read what the estimate says (between its two ends): nothing much changes.
    let at = |c: MassConcentration| OxygenIn { reading: Reading::Dawn, reading_oxygen: c, ..base.clone() };
    let o = run(&at(resting));
    let d = o.dawn.expect("dawn");
    // The estimate's cautious end is 6/7 of its middle.
    assert!((0.8..=1.0).contains(&d.air.value) && d.fits && (d.demand.value - 1.0).abs() < 1e-9, "{d:?}");
    // With that factor the tank settles, resting, where it was read.
    assert!((o.settled_resting.expect("settles").value - resting.value).abs() < 1e-9);
    // Poorer air is seen, and shows in everything that follows.
    let poor = run(&at(resting - CONCENTRATION.of(mg_l(1.5))));
    assert!(poor.dawn.expect("dawn").air < d.air && poor.capacity.0 < o.capacity.0 && poor.air_needed > o.air_needed);
    // Once it has set the air, what is changed is not read against it again.
    let frozen = run(&settled_by_reading(&at(resting), &o));
    assert!((frozen.capacity.0.value / o.capacity.0.value - 1.0).abs() < 1e-9 && frozen.dawn.is_none());
    let short = OxygenIn { fish: vec![group("catfish", 20.0, 400.0)], ..at(CONCENTRATION.of(mg_l(2.0))) };
    let r = text(&short);
    let keep = r.repairs.iter().find(|r| r.title.starts_with("Keep")).expect("fewer fish");
    assert!(keep.edits.iter().any(|e| e.path == "air_factor") && keep.level.state() == State::Enough, "{keep:?}");
    // What no air and no appetite explain is said.
    let odd = at(CONCENTRATION.of(mg_l(20.0)));
    assert!(!run(&odd).dawn.expect("dawn").fits);
    assert!(text(&odd).cautions.iter().any(|c| c.text.contains("so it is not counted")));
}

#[test]
fn a_bed_of_its_own_is_a_loop() {
    let base = trough(vec![group("catfish", 8.0, 400.0)]);
    let apart = OxygenIn { filter: Filter::Apart, ..base.clone() };
    let o = run(&apart);
    let bed = o.bed.expect("a bed");
    assert!(bed < o.settled.0.expect("settles"));
    let drained = run(&OxygenIn { bed: BedKind::Drained, ..apart.clone() });
    assert!(drained.bed.expect("a bed") > bed && drained.settled.0 > o.settled.0);
    assert!(run(&base).bed.is_none());
    assert_eq!(text(&apart).levels.len(), 2);
    // Film in the bed does not breathe in the tank once the pump is off.
    assert!(minutes(o.all_off.fed) > 0.0 && o.demand_peak < run(&base).demand_peak);
}

#[test]
fn words_of_the_ordinary_case() {
    let r = text(&OxygenIn { fish: vec![group("tilapia", 10.0, 200.0)], ..OxygenIn::default() });
    assert!(
        r.verdict.starts_with("Settles at ") && r.verdict.contains("after the evening meal; Nile tilapia want 4"),
        "{}",
        r.verdict
    );
    assert!(r.verdict.contains("With everything off they have"), "{}", r.verdict);
    assert!(r.repairs.is_empty() && r.pictures.len() == 1 && r.tables.len() == 2);
    assert!(r.cautions.iter().any(|c| c.text.contains("residual-current")));
    assert!(r.cautions.iter().any(|c| c.text.contains("authority")));
    let none = text(&OxygenIn { fish: vec![], ..OxygenIn::default() });
    assert!(none.verdict.starts_with("No fish"), "{}", none.verdict);
    let hot = text(&OxygenIn {
        temperature: TEMPERATURE.of(celsius(30.0)),
        fish: vec![group("trout", 3.0, 200.0)],
        ..OxygenIn::default()
    });
    assert!(hot.cautions.iter().any(|c| c.text.contains("die above 24")), "{:?}", hot.cautions);
}

#[test]
fn the_day_has_the_mean_it_was_given() {
    for meals in [Meals::Spread, Meals::Few] {
        let n = 24 * 600;
        let sum: f64 = (0..n)
            .map(|k| {
                let hour = f64::from(k) / 600.0;
                if digesting(hour, meals) { meals.peak().value } else { respiration::RESTING.value }
            })
            .sum();
        assert!((sum / f64::from(n) - 1.0).abs() < 1e-3, "{meals:?}");
    }
    let i = trough(vec![group("catfish", 8.0, 400.0)]);
    let o = run(&i);
    let points = day(&i, &o, &o.supply.0);
    assert_eq!(points.len(), 24 * STEPS_AN_HOUR + 1);
    let (low, high) = points.iter().fold((f64::MAX, 0.0f64), |a, p| (a.0.min(p.1), a.1.max(p.1)));
    let (peak, resting) = (o.settled.0.expect("settles").value, o.settled_resting.expect("settles").value);
    assert!(low >= peak - 1e-9 && low < peak + mg_l(0.3) && high <= resting + 1e-9, "{low} {peak} {high} {resting}");
}

#[test]
fn solve_is_cheap() {
    let i = trough(vec![group("catfish", 25.0, 400.0), group("catfish", 30.0, 150.0)]);
    let start = std::time::Instant::now();
    let n = 2000;
    let mut sum = 0.0;
    for _ in 0..n {
        sum += Oxygen::solve(std::hint::black_box(&i), &mut Working::none()).map_or(0.0, |o| o.demand_peak.value);
    }
    let each = start.elapsed().as_secs_f64() / f64::from(n);
    println!("solve: {:.2} us", each * 1e6);
    // Far above what it takes, so that a busy machine does not fail it; it would show a loop gone wild.
    assert!(sum > 0.0 && each < 500e-6, "{each}");
}

/// A hot spell is no relief: what they ate before it is still worked off, and warm water holds less.
#[test]
fn a_hot_day_is_never_safer_than_the_warm_one_before_it() {
    for s in &SPECIES {
        let mut last = 0.0;
        for n in 8..=78 {
            let i = OxygenIn {
                fish: vec![group(s.id, 20.0, 250.0)],
                temperature: TEMPERATURE.of(celsius(f64::from(n) * 0.5)),
                ..OxygenIn::default()
            };
            let load = load(&run(&i));
            assert!(load >= last * 0.995, "{} at {}: {load} after {last}", s.id, f64::from(n) * 0.5);
            last = load;
        }
    }
    let hot = OxygenIn {
        fish: vec![group("carp", 32.0, 250.0)],
        temperature: TEMPERATURE.of(celsius(33.5)),
        ..OxygenIn::default()
    };
    let r = text(&hot);
    assert!(r.verdict.contains("after the last meal") && r.verdict.contains("Over"), "{}", r.verdict);
    assert!(r.repairs.iter().all(|r| r.edits.iter().all(|e| e.path != "feed")), "{:?}", r.repairs);
    assert!(r.cautions.iter().any(|c| c.text.contains("what they ate before")), "{:?}", r.cautions);
    let warm = text(&OxygenIn { temperature: TEMPERATURE.of(celsius(26.0)), ..hot });
    assert!(warm.cautions.iter().all(|c| !c.text.contains("what they ate before")));
    // Boyd: 1.25 kg of oxygen for all that is in a kilogram of feed; 0.63 is counted of it with all solids left in.
    let left = OxygenIn { solids: Solids::Left, temperature: TEMPERATURE.of(celsius(24.0)), ..OxygenIn::default() };
    let told = |i: &OxygenIn| text(i).cautions.iter().any(|c| c.text.contains("Solids that stay for months"));
    assert!(told(&left) && !told(&OxygenIn::default()));
}

/// A meter that reads too high is the commonest error: what is better than twice the air explains, and seven tenths of the demand, is not counted.
#[test]
fn a_reading_that_is_too_good_is_not_believed() {
    let plain = run(&OxygenIn::default());
    for read in [7.6, 7.9, 8.3, 20.0] {
        let i =
            OxygenIn { reading: Reading::Dawn, reading_oxygen: CONCENTRATION.of(mg_l(read)), ..OxygenIn::default() };
        let o = run(&i);
        assert!((o.carries.value / plain.carries.value - 1.0).abs() < 1e-9, "{read}");
        assert_eq!((o.all_off, o.start), (plain.all_off, plain.start), "{read}");
        let r = text(&i);
        assert!(r.cautions.iter().any(|c| c.text.contains("Calibrate the meter")), "{read}");
        assert!(r.notes.iter().all(|n| !n.contains("Set by the reading")), "{read}");
        assert_eq!(settled_by_reading(&i, &o).demand_factor.value, 1.0);
    }
    // One that is too bad to be explained counts as far as it can.
    let thick = OxygenIn { air: Air { mode: AirMode::None, ..Air::default() }, ..OxygenIn::default() };
    let good = OxygenIn { reading: Reading::Dawn, reading_oxygen: CONCENTRATION.of(mg_l(8.0)), ..thick.clone() };
    assert_eq!(run(&good).demand_peak, run(&thick).demand_peak);
    // Water that is said to hold more than it can is counted as full.
    let now = |c| OxygenIn { reading: Reading::Now, reading_oxygen: CONCENTRATION.of(c), ..OxygenIn::default() };
    assert_eq!(run(&now(mg_l(12.0))).all_off, run(&now(plain.saturation.value)).all_off);
}

#[test]
fn fish_that_stand_too_low_now_come_first() {
    let at = |c: f64, air: f64| OxygenIn {
        reading: Reading::Now,
        reading_oxygen: CONCENTRATION.of(mg_l(c)),
        air: Air { flow: AIR_FLOW.of(l_min(air)), ..Air::default() },
        ..OxygenIn::default()
    };
    for (c, air, words) in
        [(3.0, 30.0, "below 4"), (3.0, 100.0, "below 4"), (2.0, 30.0, "distress and losses"), (0.0, 30.0, "Act now")]
    {
        let r = text(&at(c, air));
        assert_eq!(r.levels[0].state(), State::Over, "{c}");
        assert!(r.verdict.starts_with("Act now") && r.verdict.contains(words), "{}", r.verdict);
        // Where what runs is enough, the reading alone has to come up.
        assert!(r.repairs.iter().any(|r| r.title.contains("until it reads")) == (air > 50.0), "{:?}", r.repairs);
        // A repair is of the balance, and of the time when the reading has come up.
        for repair in &r.repairs {
            let (_, after) = apply_all(&at(c, air), &repair.edits).expect("applies");
            assert_eq!(Oxygen::level(&after).map(|l| l.state()), Some(repair.level.state()), "{repair:?}");
        }
    }
    assert_eq!(text(&at(4.1, 100.0)).levels[0].state(), State::Enough);
}

#[test]
fn what_is_listed_is_what_is_counted() {
    let rows = |i: &OxygenIn| tables(i, &run(i), Words::default()).remove(1).rows;
    let row_of = |i: &OxygenIn, name: &str| rows(i).into_iter().find(|r| r[0].starts_with(name)).map(|r| r[1].clone());
    let base = OxygenIn::default();
    assert!(row_of(&base, "Nitrifiers").is_some() && row_of(&base, "Bacteria").is_some());
    assert!(row_of(&OxygenIn { filter: Filter::Without, ..base.clone() }, "Nitrifiers").is_none());
    let apart = OxygenIn { filter: Filter::Apart, ..base.clone() };
    let bed = row_of(&apart, "Nitrifiers and solids, in their bed");
    assert_eq!(bed, Some(Words::default().q(OXYGEN_RATE, run(&apart).film_apart)));
    let twice = OxygenIn { demand_factor: RATIO.of(2.0), ..base.clone() };
    let both = Words::default().q(OXYGEN_RATE, run(&base).nitrifiers * RATIO.of(2.0));
    assert_eq!(row_of(&twice, "Nitrifiers"), Some(both));
}

#[test]
fn stones_too_deep_for_their_pump_are_hung_higher() {
    let deep = OxygenIn {
        air: Air { mode: AirMode::Pump, most_depth: LENGTH.of(1.0), depth: LENGTH.of(1.1), ..Air::default() },
        fish: vec![group("tilapia", 12.0, 250.0)],
        ..OxygenIn::default()
    };
    let r = text(&deep);
    assert!(r.cautions.iter().any(|c| c.text.contains("delivers nothing")), "{:?}", r.cautions);
    let up = r.repairs.iter().find(|r| r.title.contains("stones 0.4")).expect("raised");
    assert_eq!(up.level.state(), State::Enough);
    let high = OxygenIn { air: Air { depth: LENGTH.of(0.4), ..deep.air.clone() }, ..deep };
    assert!(text(&high).cautions.iter().all(|c| !c.text.contains("delivers nothing")));
}

#[test]
fn no_time_at_all_is_said_once() {
    let crowd = OxygenIn {
        fish: vec![group("tilapia", 60.0, 250.0)],
        volume: VOLUME.of(l(20.0)),
        air: Air { flow: AIR_FLOW.of(l_min(400.0)), ..Air::default() },
        ..OxygenIn::default()
    };
    let r = text(&crowd);
    assert!(r.verdict.contains("under a minute after a full meal"), "{}", r.verdict);
    let more = OxygenIn { fish: vec![group("tilapia", 1750.0, 10.0)], ..crowd };
    assert!(text(&more).verdict.contains("within a minute, fed or not"), "{}", text(&more).verdict);
    assert!(text(&OxygenIn { fish: vec![], ..OxygenIn::default() }).verdict.starts_with("No fish, so none of it"));
}

/// High and thin air: trout want 7.5 mg/L for all to be enough, and the water settles below 7.
#[test]
fn a_reading_is_not_waited_for_that_cannot_come() {
    let i = OxygenIn {
        fish: vec![group("trout", 5.0, 200.0)],
        temperature: TEMPERATURE.of(celsius(15.0)),
        altitude: LENGTH.of(2500.0),
        reading: Reading::Now,
        reading_oxygen: CONCENTRATION.of(mg_l(5.5)),
        air: Air { mode: AirMode::Stones, flow: AIR_FLOW.of(l_min(72.0)), ..Air::default() },
        ..OxygenIn::default()
    };
    let o = run(&i);
    let r = text(&i).repairs.into_iter().find(|r| r.title.contains("until it reads")).expect("a reading");
    let Some(EditValue::Si(to)) = r.edits.iter().find(|e| e.path == "reading_oxygen").map(|e| e.to.clone()) else {
        panic!("{r:?}")
    };
    assert!(to >= o.floor.value && to <= o.settled.0.expect("settles").value, "{r:?}");
    assert!(r.level.state() != State::Over, "{r:?}");
    // At the very oxygen at which they die.
    let stop = OxygenIn { reading_oxygen: o.stop, ..i };
    assert!(text(&stop).verdict.contains(" is no more than "), "{}", text(&stop).verdict);
}

/// A reading at dawn is of unfed fish: the minutes after a meal begin where the water stands after it, as for the same water without the reading.
#[test]
fn minutes_after_a_meal_do_not_start_at_the_dawn_reading() {
    let at = |reading: Reading, mg: f64| OxygenIn {
        reading,
        reading_oxygen: CONCENTRATION.of(mg_l(mg)),
        ..OxygenIn::default()
    };
    for mg in [4.0, 5.0, 6.0] {
        let i = at(Reading::Dawn, mg);
        let o = run(&i);
        let same = run(&settled_by_reading(&i, &o));
        assert!((o.start.0.value - mg_l(mg)).abs() < 1e-9 && Some(o.start.1) == o.settled.0, "{:?}", o.start);
        for (a, b) in [(o.all_off, same.all_off), (o.air_off, same.air_off)] {
            assert!((minutes(a.resting) / minutes(b.resting) - 1.0).abs() < 1e-6, "{mg}");
            assert!((minutes(a.fed) / minutes(b.fed) - 1.0).abs() < 1e-6, "{mg}");
        }
    }
    // A reading now is where the minutes begin, fed or not, and that is said.
    let now = at(Reading::Now, 7.0);
    let o = run(&now);
    assert!(o.start.0 == o.start.1 && Some(o.start.1) > o.settled.0);
    assert!(text(&now).verdict.contains("From that reading, with everything off they have"), "{}", text(&now).verdict);
}

/// Bubbles rise through no more water than there is: stones 2 m deep in 0.6 m of water give what they give at 0.6 m.
#[test]
fn stones_are_no_deeper_than_their_water() {
    let at = |air: f64| {
        let mut i = OxygenIn { depth: LENGTH.of(0.6), ..OxygenIn::default() };
        i.air.depth = LENGTH.of(air);
        i
    };
    let gain = |air: f64| sheet::solve::<Oxygen>(&at(air), &mut Working::none()).expect("solves").air.gain.0.value;
    assert_eq!(gain(2.0), gain(0.6));
    assert!(gain(0.3) < gain(0.6));
    let said = |air: f64| {
        let i = at(air);
        let o = sheet::solve::<Oxygen>(&i, &mut Working::none()).expect("solves");
        Oxygen::cautions(&i, &o, Words::default()).iter().any(|c| c.text.contains("counted at that"))
    };
    assert!(said(2.0) && !said(0.6));
}

/// 60 kg do not fit into 20 L, whatever the air.
#[test]
fn more_fish_than_water_is_refused() {
    let of = |kg: f64| {
        let group = FishGroup { biomass: MASS.of(kg), ..FishGroup::default() };
        let i = OxygenIn { volume: VOLUME.of(l(20.0)), fish: vec![group], ..OxygenIn::default() };
        sheet::solve::<Oxygen>(&i, &mut Working::none()).map(|_| ()).map_err(|e| e[0].path.clone())
    };
    assert_eq!(of(60.0), Err("fish.0.biomass".into()));
    assert_eq!(of(18.5), Err("fish.0.biomass".into()));
    assert_eq!(of(17.5), Ok(()));
}

/// A reading sets its own water. What it sets elsewhere is the worse end of what the meter may have meant, never better than the estimate for no reason, and nothing
/// where the water lacks hardly more than a meter may be off: that is said, with what to read instead.
#[test]
fn a_reading_goes_elsewhere_with_its_error() {
    let base = trough(vec![group("catfish", 8.0, 400.0)]);
    let foretold = run(&base).settled_resting.expect("settles").value;
    let at = |c: f64| OxygenIn { reading: Reading::Dawn, reading_oxygen: CONCENTRATION.of(c), ..base.clone() };
    let carries = |i: &OxygenIn| run(i).carries.value;
    let carried = |c: f64| carries(&carried_by_reading(&at(c), &run(&at(c))));
    // Within the error of what was foretold: the estimate.
    for up in [0.0, 0.1, 0.19] {
        assert!((carried(foretold + mg_l(up)) / carries(&base) - 1.0).abs() < 1e-9, "{up}");
    }
    // Clearly better or worse: as if it had read that much less. Between, it grows into that.
    for off in [0.5, -0.2, -0.5, -1.5] {
        let c = foretold + mg_l(off);
        let less = at(c - mg_l(0.2).max(0.03 * c));
        assert!((carried(c) / carries(&less) - 1.0).abs() < 1e-9, "{off}");
        assert!(carried(c) < carries(&at(c)));
    }
    let all: Vec<f64> = (-20..6).map(|k| carried(foretold + mg_l(0.1 * f64::from(k)))).collect();
    assert!(all.windows(2).all(|w| w[1] >= w[0] - 1e-12), "{all:?}");
    // Many bubbles, few fish, cold water: it lacks nothing to speak of.
    let cold = OxygenIn {
        fish: vec![group("trout", 20.0, 220.0)],
        temperature: TEMPERATURE.of(celsius(7.0)),
        air: Air { flow: AIR_FLOW.of(l_min(100.0)), ..Air::default() },
        ..OxygenIn::default()
    };
    let holds = run(&cold).saturation.value;
    let read = |c: f64| OxygenIn { reading: Reading::Dawn, reading_oxygen: CONCENTRATION.of(c), ..cold.clone() };
    let said = |c: f64| text(&read(c)).cautions.iter().any(|c| c.text.contains("says nothing of warmer water"));
    let close = holds - mg_l(0.6);
    assert!(run(&read(close)).dawn.expect("read").counts() && said(close) && !said(holds - mg_l(1.5)));
    assert!((carries(&carried_by_reading(&read(close), &run(&read(close)))) / carries(&cold) - 1.0).abs() < 1e-9);
}

/// Own limits that are lower than what the species bears are told, and no fish live under what kills them.
#[test]
fn own_limits_end_where_losses_begin() {
    let own = |floor: f64, stop: f64| OxygenIn {
        fish: vec![group("trout", 30.0, 300.0)],
        temperature: TEMPERATURE.of(celsius(14.0)),
        limits: Limits::Own,
        floor: CONCENTRATION.of(mg_l(floor)),
        stop: CONCENTRATION.of(mg_l(stop)),
        ..OxygenIn::default()
    };
    let counted = |floor: f64, stop: f64| {
        let o = run(&own(floor, stop));
        [o.floor, o.stop].map(|c| (c.value / mg_l(0.1)).round() / 10.0)
    };
    // Trout want 6 mg/L, and losses begin at 5.
    assert_eq!(counted(2.0, 1.0), [5.0, 5.0]);
    assert_eq!(counted(5.5, 5.2), [5.5, 5.2]);
    assert_eq!(counted(8.0, 3.0), [8.0, 5.0]);
    let said = |floor: f64, stop: f64| {
        let all = text(&own(floor, stop)).cautions;
        all.into_iter().map(|c| c.text.replace('\u{202f}', " ")).find(|c| c.contains("your own limits are lower"))
    };
    let low = said(2.0, 1.0).expect("said");
    assert!(low.contains("want 6 mg/L or more, and losses begin at 5 mg/L") && low.contains("no less than 5 mg/L"));
    assert!(said(5.5, 5.2).is_some_and(|c| !c.contains("counted")) && said(7.0, 5.0).is_none());
    let none = run(&OxygenIn { fish: vec![], ..own(2.0, 1.0) });
    assert!((none.floor.value - mg_l(2.0)).abs() < 1e-12);
}

/// Far less than the tables give is as likely a slip as far more.
#[test]
fn feed_that_starves_them_is_said() {
    let base = trough(vec![group("catfish", 12.0, 300.0)]);
    let table = run(&base).feed;
    let said = |times: f64| {
        let i = OxygenIn { feed_by: FeedBy::Weighed, feed: table * times, ..base.clone() };
        text(&i).cautions.iter().any(|c| c.text.contains("they hardly grow, or starve"))
    };
    assert_eq!([0.0, 0.1, 0.45, 0.55, 1.0, 2.0].map(said), [true, true, true, false, false, false]);
}

/// Edsall & Smith 1991: oxygen at 200 % of saturation made trout sick in 4 days and killed half in 20, without any nitrogen past saturation.
#[test]
fn oxygen_far_past_saturation_is_over() {
    let cone = |c: f64| OxygenIn {
        inlet: Inlet::Given,
        inlet_oxygen: CONCENTRATION.of(mg_l(c)),
        temperature: TEMPERATURE.of(celsius(14.0)),
        fish: vec![group("trout", 30.0, 250.0)],
        ..OxygenIn::default()
    };
    let i = cone(25.0);
    let (o, r) = (run(&i), text(&i));
    let level = Oxygen::level(&o).expect("a level");
    assert!(level.id == "gas" && level.leads && level.state() == State::Over, "{level:?}");
    assert!(r.levels[0] == level && r.levels[1].id == "oxygen" && r.levels[1].state() == State::Enough);
    assert!(
        r.verdict.contains("that this water holds against air: bubbles form") && r.verdict.contains(" Over."),
        "{}",
        r.verdict
    );
    assert!(r.cautions.iter().any(|c| c.text.contains("gills, fins and eyes")));
    // What is past saturation is gone soon when all stops.
    assert!(o.start.0 <= o.saturation && o.start.1 <= o.saturation);
    let (_, after) = apply_all(&i, &r.repairs[0].edits).expect("applies");
    let level = Oxygen::level(&after).expect("a level");
    assert!(level.state() == State::Enough && after.settled.0 > Some(o.saturation), "{level:?}");
    // A little more than air gives is tight, hardly any more says nothing.
    let of = |c: f64| gas(&run(&cone(c)));
    assert!(
        of(11.0).is_none() && text(&cone(11.0)).cautions.iter().any(|c| c.text == crate::calculators::care::COLD_GAS)
    );
    // Height: the same oxygen is more of what thin air holds.
    let high = |c: f64| gas(&run(&OxygenIn { altitude: LENGTH.of(2500.0), ..cone(c) })).map(|l| l.state());
    assert_eq!((of(16.0).map(|l| l.state()), high(16.0)), (Some(State::Tight), Some(State::Over)));
}

/// Algae in the sun bring half as much again for some hours, and a meter may be wrong: past that it is tight.
#[test]
fn a_reading_past_saturation_says_what_it_may_mean() {
    let read = |c: f64| OxygenIn {
        reading: Reading::Now,
        reading_oxygen: CONCENTRATION.of(mg_l(c)),
        air: Air { flow: AIR_FLOW.of(l_min(100.0)), ..Air::default() },
        ..OxygenIn::default()
    };
    let holds = run(&read(8.0)).saturation.value / mg_l(1.0);
    let says = |c: f64| text(&read(c)).cautions.iter().any(|c| c.text.contains("algae in the sun"));
    assert!(!says(holds * 1.05) && says(holds * 1.3) && says(holds * 1.7));
    let level = |c: f64| gas(&run(&read(c))).map(|l| l.state());
    assert_eq!([1.3, 1.45, 1.6, 2.2].map(|x| level(holds * x)), [None, None, Some(State::Tight), Some(State::Tight)]);
    assert!(text(&read(holds * 1.6)).verdict.contains("The reading is 160"), "{}", text(&read(holds * 1.6)).verdict);
}

/// Above saturation more air takes oxygen out: the lower number still comes first.
#[test]
fn a_range_of_oxygen_runs_upwards() {
    let i = OxygenIn {
        inlet: Inlet::Given,
        inlet_oxygen: CONCENTRATION.of(mg_l(20.0)),
        temperature: TEMPERATURE.of(celsius(26.0)),
        ..trough(vec![group("tilapia", 10.0, 100.0)])
    };
    let o = run(&i);
    let (low, high) = (o.settled.0.expect("settles"), o.settled.1.expect("settles"));
    assert!(low > high, "{low:?} {high:?}");
    let said = text(&i).verdict;
    assert!(said.contains(&Words::default().range(CONCENTRATION, high, low)), "{said}");
}

/// One fish of thirty is no repair while air or a feed that is stopped is.
#[test]
fn hardly_any_of_the_fish_is_no_repair() {
    let kept = |i: &OxygenIn| {
        let r = text(i);
        (r.repairs.iter().any(|r| r.title.starts_with("Keep ")), r.repairs.iter().any(|r| r.then == State::Enough))
    };
    let still = |count: f64| OxygenIn {
        air: Air { mode: AirMode::None, ..Air::default() },
        ..trough(vec![group("tilapia", count, 250.0)])
    };
    assert_eq!(kept(&still(120.0)), (false, true));
    assert!(kept(&trough(vec![group("tilapia", 60.0, 250.0)])).0);
}
