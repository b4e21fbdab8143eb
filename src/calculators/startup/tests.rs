use super::*;
use crate::calculators::sheet::solve;

fn run(i: &StartupIn) -> StartupOut {
    solve::<Startup>(i, &mut Working::none()).expect("solves")
}
fn mg(x: f64) -> MassConcentration {
    CONCENTRATION.of(mg_l(x))
}

#[test]
fn a_week_by_hand() {
    let fed = StartupIn { feed: FEED_RATE.of(g_day(15.0)), ..StartupIn::default() };
    let o = run(&fed);
    // 300 L at 250 m2/m3: 75 m2; at 25 °C 0.5/1.2159 g/m2/day: 30.84 g of nitrogen, 1047.6 g of feed at 32 %.
    assert!((o.filter.value / g_day(1047.6) - 1.0).abs() < 1e-3, "{}", o.filter.value / g_day(1.0));
    // For two weeks the water bore a sixth of 1 mg/L in 900 L a day: 5.10 g of feed. From there a sixth of the way to ripe, by the same share every
    // week, is 5.10 x (1047.6/5.10)^(1/6) = 12.38 g by the end of this one. That is fed in the next: fed from the first day of this one on, it
    // would be 29 g more than the filter surely takes on the way there, 1 mg/L of nitrogen and so all that these fish bear. Then a fifth of the 120 g
    // planned, and 1.3 times a week: 24, 31, 41, 53, 69, 89, 116, 120.
    assert_eq!(o.stage, Stage::Nitrite);
    assert!((o.most.value / g_day(5.10) - 1.0).abs() < 1e-3, "{}", o.most.value / g_day(1.0));
    assert!((o.ramp[1].value / g_day(12.38) - 1.0).abs() < 1e-3, "{:?}", o.ramp);
    assert_eq!((o.weeks, o.add.value), (Some(9), 0.0));
    let said = |i: &StartupIn| Startup::report(i, &run(i), Words::default());
    assert!(said(&fed).verdict.contains("until that changes, and add no fish."));
    // Once it comes down, two weeks later, a fifth of the plan may go in: 30.1 g are surely carried on day 28 of 56. Today's feed is held before that.
    let i = |age, nitrate| StartupIn { age: DAYS.of(days(age)), nitrate: mg(nitrate), ..fed.clone() };
    assert!((run(&i(28.0, 20.0)).most.value / g_day(24.0) - 1.0).abs() < 1e-9);
    assert!((run(&i(28.0, 3.0)).most.value / g_day(15.0) - 1.0).abs() < 1e-9);
    assert!((run(&i(21.0, 20.0)).most.value / g_day(12.38) - 1.0).abs() < 1e-3);
    // Two weeks of feed and clean readings prove nothing, and nothing is used up where nothing is fed.
    let i = StartupIn { tan: mg(0.0), nitrite: mg(0.0), nitrate: mg(0.0), ..StartupIn::default() };
    assert_eq!((run(&i).stage, run(&i).add.value), (Stage::Unseen, 0.0));
    let i = StartupIn { tan: mg(3.0), ..StartupIn::default() };
    assert!(!said(&i).notes.iter().any(|n| n.contains("uses up")));
}

/// A filter of no age takes nothing: with a third of the water changed every day, a day's ammonia brings the water to a sixth of what the fish bear
/// at this pH, and all days together to no more than half.
#[test]
fn a_new_filter_is_fed_by_what_the_water_bears() {
    let i = StartupIn {
        age: DAYS.of(0.0),
        volume: VOLUME.of(l(300.0)),
        ph: RATIO.of(8.2),
        temperature: TEMPERATURE.of(celsius(28.0)),
        feed: FEED_RATE.of(0.0),
        tan: mg(0.0),
        nitrite: mg(0.0),
        nitrate: mg(0.0),
        ..StartupIn::default()
    };
    let o = run(&i);
    let made = ammonia::tan_from_feed(o.most, i.protein).value * DAY / i.volume.value;
    let share = ammonia::unionised_share(i.temperature, i.ph).expect("a share").value;
    assert!((made * share / i.species.unionised_limit().value - 1.0 / 6.0).abs() < 1e-9, "{made}");
    assert!(o.carries.0.value == 0.0 && o.add.value < 0.2);
    // What is there already counts, and after two weeks the filter does.
    assert_eq!(run(&StartupIn { tan: mg(0.26), ..i.clone() }).most.value, 0.0);
    // A sixth of the way from there to ripe a week later, each week by the same share: not at once a fifth of the plan.
    let fed = StartupIn { feed: FEED_RATE.of(g_day(2.0)), nitrate: mg(20.0), ..i.clone() };
    let later = run(&StartupIn { age: DAYS.of(days(21.0)), ..fed.clone() });
    let grown = o.filter.value * (o.most.value / o.filter.value).powf(5.0 / 6.0);
    assert!((later.most.value / grown - 1.0).abs() < 1e-9 && grown < g_day(24.0), "{later:?}");
    // A ripe filter that was moved is counted on after some days, and is itself again within two weeks.
    let moved = |age| run(&StartupIn { age: DAYS.of(days(age)), seed: Seed::Filter, ..fed.clone() }).carries.0.value;
    assert!(moved(3.0) == 0.0 && moved(5.0) > 0.0 && moved(13.0) > 0.3 && moved(14.0) == 1.0);
}

/// Fish in water that kills them come before what the filter does: what the page on ammonia says first stands first, and what leads is mended.
#[test]
fn deadly_water_comes_before_the_bacteria() {
    let days_old = |age: f64| StartupIn { age: DAYS.of(days(age)), nitrate: mg(0.0), ..StartupIn::default() };
    let ammonia = StartupIn { tan: mg(10.0), nitrite: mg(0.0), ph: RATIO.of(8.8), ..days_old(5.0) };
    let low = RATIO.of(7.0);
    let nitrite = StartupIn { tan: mg(0.0), nitrite: mg(20.0), ph: low, chloride: mg(5.0), ..days_old(25.0) };
    for (i, id) in [(&ammonia, "tan"), (&nitrite, "nitrite")] {
        let r = Startup::report(i, &run(i), Words::default());
        assert!(r.verdict.starts_with("Act now: fish cannot take this. "), "{}", r.verdict);
        assert!(r.verdict.contains("Feed nothing, give all the air there is, and change water"), "{}", r.verdict);
        assert!(r.verdict.contains("The readings say: "), "{}", r.verdict);
        assert_eq!(&*r.levels[0].id, id);
        let change = r.repairs.iter().position(|r| r.title.starts_with("Change a third")).expect("a change");
        assert_eq!((&*r.repairs[change].level.id, r.repairs[change].level.state()), (id, State::Enough));
        assert!(r.repairs[..change].iter().all(|r| r.title.contains("salt")), "{:?}", r.repairs);
        let blood = r.cautions.iter().any(|c| c.text.contains("blocks half of their blood"));
        assert_eq!(blood, id == "nitrite");
    }
    // The words of the page on ammonia.
    let r = Startup::report(&ammonia, &run(&ammonia), Words::default());
    assert!(r.verdict.contains("is un-ionised: ") && r.verdict.contains("it should stay below"), "{}", r.verdict);
    let mild = StartupIn { tan: mg(0.6), ..days_old(5.0) };
    let r = Startup::report(&mild, &run(&mild), Words::default());
    assert!(r.verdict.starts_with("The readings say: "), "{}", r.verdict);
}

/// Fish come into no more nitrate than the page asks of a filter that was started without them.
#[test]
fn no_fish_come_into_old_nitrate() {
    let at = |nitrate: f64| StartupIn {
        age: DAYS.of(days(25.0)),
        tan: mg(0.0),
        nitrite: mg(0.0),
        nitrate: mg(nitrate),
        ph: RATIO.of(7.0),
        ..StartupIn::default()
    };
    let said = |i: &StartupIn| Startup::report(i, &run(i), Words::default()).verdict;
    assert!(run(&at(40.0)).add.value > 0.0 && run(&at(300.0)).add.value == 0.0);
    assert!(
        said(&at(300.0)).contains("add no fish: change water until nitrate nitrogen is below 50"),
        "{}",
        said(&at(300.0))
    );
    // In water that bears nothing more, nothing is fed, and not “no more than nothing”.
    let full = StartupIn { age: DAYS.of(days(5.0)), tan: mg(3.0), ph: RATIO.of(8.2), ..at(0.0) };
    let notes = Startup::report(&full, &run(&full), Words::default()).notes;
    assert!(notes.iter().any(|n| n.contains("Without the changes, feed nothing.")), "{notes:?}");
}

/// Full load is what holds the ammonia to what these fish bear, as stocking has it.
#[test]
fn the_full_load_is_that_of_the_fish_and_the_ph() {
    let trout = StartupIn {
        species: Species::by_id("trout").expect("trout"),
        temperature: TEMPERATURE.of(celsius(14.0)),
        ..StartupIn::default()
    };
    let set = |x| run(&StartupIn { target: mg(x), ..trout.clone() }).filter.value;
    assert!((set(1.0) / set(0.5) - 1.0).abs() < 1e-12 && set(0.4) < set(0.5));
    let warm = StartupIn { temperature: TEMPERATURE.of(celsius(28.0)), ..StartupIn::default() };
    let share = ammonia::unionised_share(warm.temperature, RATIO.of(8.5)).expect("a share").value;
    let [low, high] = [7.2, 8.5].map(|ph| run(&StartupIn { ph: RATIO.of(ph), ..warm.clone() }).filter.value);
    assert!((high / low - 0.05 / share).abs() < 1e-9, "{}", high / low);
}

/// New water thins out nitrate too, so a change of water does not bring fish; and un-ionised ammonia is thinned out as well.
#[test]
fn a_change_of_water_thins_out_what_shows_the_stage() {
    let i = StartupIn {
        feed: FEED_RATE.of(g_day(100.0)),
        tan: mg(2.5),
        nitrite: mg(3.0),
        nitrate: mg(6.0),
        age: DAYS.of(days(20.0)),
        ..StartupIn::default()
    };
    let change = |i: &StartupIn| {
        let r = Startup::report(i, &run(i), Words::default());
        let change = r.repairs.into_iter().find(|r| r.title.starts_with("Change")).expect("a change of water");
        mend::outcome::<Startup>(i, &change.edits).expect("solves")
    };
    let after = change(&i);
    assert_eq!((after.stage, after.add.value), (Stage::Nitrite, 0.0));
    let high = StartupIn { ph: RATIO.of(8.6), ..StartupIn::default() };
    assert!(change(&high).unionised.value <= mg_l(0.0252));
}

#[test]
fn bad_readings_stop_the_ramp() {
    let i = StartupIn { tan: mg(3.0), ..StartupIn::default() };
    let o = run(&i);
    assert_eq!(o.most.value, 0.0);
    assert_eq!(o.add.value, 0.0);
    let r = Startup::report(&i, &o, Words::default());
    assert!(r.verdict.contains("feed nothing"), "{}", r.verdict);
    // A change of water mends what leads. It clears the readings and does not ripen the filter: today's feed stays the most.
    let cleared = r.repairs.iter().find(|r| r.title.starts_with("Change")).expect("a change of water");
    assert_eq!((&*cleared.level.id, cleared.level.state()), ("tan", State::Enough));
    let after = mend::outcome::<Startup>(&i, &cleared.edits).expect("solves");
    assert!(after.most.value > 0.0 && after.most <= i.feed);
    // Nitrite past its limit, with ten times as much chloride, halves what may be fed; with less nothing is.
    let at = |chloride: f64| run(&StartupIn { nitrite: mg(1.5), chloride: mg(chloride), ..StartupIn::default() }).most;
    let clear = run(&StartupIn { nitrite: mg(0.5), chloride: mg(80.0), ..StartupIn::default() }).most;
    assert!((at(80.0).value / clear.value - 0.5).abs() < 1e-9 && at(30.0).value == 0.0);
}

#[test]
fn the_ramp_never_falls_and_ends_at_the_plan() {
    for seed in [Seed::Bare, Seed::Bottle, Seed::Media, Seed::Filter] {
        let i = StartupIn {
            seed,
            feed: FEED_RATE.of(0.0),
            age: DAYS.of(0.0),
            media: VOLUME.of(l(60.0)),
            tan: mg(0.0),
            ..StartupIn::default()
        };
        let o = run(&i);
        assert!(o.ramp.windows(2).all(|p| p[1] >= p[0]), "{seed:?}");
        let weeks = o.weeks.expect("it ends");
        assert!((o.ramp[o.ramp.len() - 1].value / o.goal.value - 1.0).abs() < 1e-9);
        assert!(weeks >= 1 && f64::from(weeks) * 7.0 <= o.ripe.1.value / 86_400.0 + 60.0, "{seed:?} {weeks}");
    }
}

#[test]
fn buffer_and_the_fall_of_ph() {
    let i = StartupIn {
        feed: FEED_RATE.of(g_day(200.0)),
        full: FEED_RATE.of(g_day(200.0)),
        age: DAYS.of(days(200.0)),
        media: VOLUME.of(l(57.28)),
        ..StartupIn::default()
    };
    let o = run(&i);
    // The filter carries just 200 g: 5.888 g of nitrogen, 42.07 g of calcium carbonate a day, 294.5 g a week in 900 L: 327 mg/L; more than
    // the 90 there are, so the pH falls away.
    assert!((o.most.value / g_day(200.0) - 1.0).abs() < 2e-3, "{}", o.most.value / g_day(1.0));
    assert!((o.used.value / mg_l(327.2) - 1.0).abs() < 3e-3, "{}", o.used.value * 1e3);
    assert!(o.ph_week.value < 6.0);
    // 589 g of potassium bicarbonate put it back.
    assert!((o.buffer.value - 0.589).abs() < 0.003, "{}", o.buffer.value);
    // Half the alkalinity at the same carbon dioxide costs 0.3 of pH.
    let w = Water { temperature: i.temperature, ph: RATIO.of(7.2), alkalinity: mg(90.0) };
    let half = carbonate::ph_of(i.temperature, mg(45.0), carbonate::carbon_dioxide(&w));
    assert!((half.value - 6.9).abs() < 0.01);
}

/// What harms stands before feed that is enough, and no fish are said to be welcome where the words say none.
#[test]
fn a_reading_that_harms_stands_first() {
    let at = |tan: f64, nitrite: f64, ph: f64| StartupIn {
        tan: CONCENTRATION.of(mg_l(tan)),
        nitrite: CONCENTRATION.of(mg_l(nitrite)),
        nitrate: CONCENTRATION.of(mg_l(20.0)),
        ph: RATIO.of(ph),
        feed: FEED_RATE.of(g_day(24.0)),
        age: DAYS.of(days(100.0)),
        ..StartupIn::default()
    };
    for (i, id, leads) in [
        (at(0.0, 0.0, 7.0), "feed", false),
        (at(0.0, 8.0, 7.0), "nitrite", true),
        (at(20.0, 0.0, 7.0), "tan", true),
        (at(0.0, 0.0, 5.0), "ph", false),
        // Past what fish bear nothing is fed, and it leads.
        (at(0.0, 0.0, 9.5), "ph", true),
    ] {
        let o = run(&i);
        let r = Startup::report(&i, &o, Words::default());
        assert_eq!((&*r.levels[0].id, r.levels[0].leads), (id, leads));
        assert_eq!(Startup::level(&o).as_ref(), Some(&r.levels[0]));
        assert_eq!(o.add.value > 0.0, r.verdict.contains("add up to"), "{}", r.verdict);
        assert_eq!(o.add.value > 0.0, id == "feed", "{}", r.verdict);
    }
}

/// Whoever does as the page says, every day of the time that nothing takes the ammonia, is not told the next morning that it was too much.
#[test]
fn what_is_said_for_a_week_holds_every_day_of_it() {
    for (species, c, ph) in
        [("tilapia", 25.0, 7.2), ("tilapia", 28.0, 8.2), ("tilapia", 28.0, 8.6), ("trout", 10.0, 7.6)]
    {
        for system in [System::Metric, System::Us] {
            let words = Words { system, ..Words::default() };
            let mut i = StartupIn {
                species: Species::by_id(species).expect(species),
                temperature: TEMPERATURE.of(celsius(c)),
                ph: RATIO.of(ph),
                feed: FEED_RATE.of(0.0),
                age: DAYS.of(0.0),
                tan: mg(0.0),
                nitrite: mg(0.0),
                nitrate: mg(0.0),
                ..StartupIn::default()
            };
            let counted = run(&i).counted;
            while i.age < counted {
                let o = run(&i);
                let said = Startup::report(&i, &o, words).verdict;
                assert!(o.most >= o.feed && o.most.value > 0.0 && !said.contains("more than that"), "{said}");
                assert!(said.contains("a third of the water changed every day"), "{said}");
                assert!(i.tan.value <= 0.501 * o.limits[0].value, "{:?}", i.tan);
                i.feed = words.as_shown(FEED_RATE, o.most);
                let made = ammonia::tan_from_feed(i.feed, i.protein).value * DAY / i.volume.value;
                i.tan = CONCENTRATION.of(i.tan.value * 2.0 / 3.0 + made);
                i.age = DAYS.of(i.age.value + DAY);
            }
            // Without the changes the water gets there just when the filter is counted on.
            let new = StartupIn { age: DAYS.of(0.0), tan: mg(0.0), feed: FEED_RATE.of(0.0), ..i };
            let o = run(&new);
            let all = ammonia::tan_from_feed(o.unchanged, new.protein).value * o.counted.value / new.volume.value;
            assert!((all / o.limits[0].value - 0.5).abs() < 1e-9, "{all}");
        }
    }
}

/// Water whose alkalinity is used up gets no fish, and the cure is buffer, not more of the filter that it stops.
#[test]
fn sour_water_is_buffered_before_anything_else() {
    let sour = StartupIn {
        feed: FEED_RATE.of(g_day(24.0)),
        age: DAYS.of(days(100.0)),
        tan: mg(0.0),
        nitrite: mg(0.0),
        nitrate: mg(20.0),
        ph: RATIO.of(6.0),
        alkalinity: mg(5.0),
        ..StartupIn::default()
    };
    let of = |i: &StartupIn| (run(i), Startup::report(i, &run(i), Words::default()));
    let (o, r) = of(&sour);
    assert!(o.add.value == 0.0 && o.most == sour.feed);
    assert!(r.verdict.contains("The alkalinity is used up"), "{}", r.verdict);
    let state = |r: &Report, id: &str| r.levels.iter().find(|l| l.id == id).map(Level::state);
    assert_eq!([state(&r, "alkalinity"), state(&r, "filter")], [Some(State::Over); 2]);
    assert!(r.repairs[0].title.contains("of potassium bicarbonate"), "{}", r.repairs[0].title);
    let clay = |r: &Report| r.repairs.iter().find(|x| x.title.contains("expanded clay")).cloned();
    assert_eq!(clay(&r), None);
    let cured = mend::changed::<Startup>(&sour, &r.repairs[0].edits).expect("a cure");
    let (o, r) = of(&cured);
    assert!(o.add.value > 0.0 && state(&r, "filter") == Some(State::Enough), "{}", r.verdict);
    assert!((o.alkalinity.value / mg_l(100.0) - 1.0).abs() < 1e-9);
    // A filter that is too small as well is to be as large as it has to be in good water: 120 g/day by 0.411 g/m2/day and 250 m2/m3 are 34.4 L,
    // and 43 L at four fifths.
    let small = clay(&of(&StartupIn { media: VOLUME.of(l(20.0)), ..sour.clone() }).1).expect("more of it");
    assert!(small.title.contains("ripened like the rest, and the pH put right"), "{}", small.title);
    let media = small.edits.iter().find(|e| e.path == "media").map(|e| e.to.clone());
    assert!(matches!(media, Some(EditValue::Si(x)) if x < l(60.0)), "{media:?}");
    // What a week of feed uses up stands in the verdict too.
    let (o, r) =
        of(&StartupIn { feed: FEED_RATE.of(g_day(120.0)), ph: RATIO.of(7.2), alkalinity: mg(60.0), ..sour.clone() });
    assert!(o.ph_week.value < 6.0 && r.verdict.contains("The alkalinity lasts"), "{}", r.verdict);
    // And fish are not asked into it because the filter was ripe once.
    let idle = StartupIn { feed: FEED_RATE.of(0.0), alkalinity: mg(15.0), ph: RATIO.of(6.3), ..sour };
    let (o, r) = of(&idle);
    assert!(o.add.value == 0.0 && o.most.value == 0.0 && r.verdict.contains("add no fish"), "{}", r.verdict);
}

/// A filter that gets nothing now is tried before fish come; Nile tilapia are not netted below 18.3 °C (as stocking has it).
#[test]
fn no_fish_before_the_test_nor_into_cold_water() {
    let idle = StartupIn {
        feed: FEED_RATE.of(0.0),
        age: DAYS.of(days(40.0)),
        tan: mg(0.0),
        nitrite: mg(0.0),
        nitrate: mg(40.0),
        ..StartupIn::default()
    };
    let o = run(&idle);
    assert_eq!((o.stage, o.add.value, o.most.value), (Stage::Idle, 0.0, 0.0));
    let fed = |c: f64| StartupIn {
        feed: FEED_RATE.of(g_day(12.0)),
        age: DAYS.of(days(200.0)),
        temperature: TEMPERATURE.of(celsius(c)),
        ..idle.clone()
    };
    assert!(run(&fed(18.5)).add.value > 0.0);
    let (i, o) = (fed(17.5), run(&fed(17.5)));
    let r = Startup::report(&i, &o, Words::default());
    assert!(o.add.value == 0.0 && r.verdict.contains("too cold to net"), "{}", r.verdict);
    assert!(r.cautions.iter().any(|c| c.text.contains("Do not net")));
    // “No more than nothing” is nothing.
    let i = StartupIn { tan: mg(1.0), age: DAYS.of(days(2.0)), feed: FEED_RATE.of(0.0), ..StartupIn::default() };
    let said = Startup::report(&i, &run(&i), Words::default()).verdict;
    assert!(said.contains("feed nothing until it is down"), "{said}");
}

/// A start without fish.
fn without(age: f64, [tan, nitrite, nitrate]: [f64; 3]) -> StartupIn {
    StartupIn {
        supply: Supply::Dosed,
        age: DAYS.of(days(age)),
        tan: mg(tan),
        nitrite: mg(nitrite),
        nitrate: mg(nitrate),
        alkalinity: mg(150.0),
        ..StartupIn::default()
    }
}

/// Where there are no fish nothing is said of what harms them: no salt, no feed to stop; what the doses ask is said instead.
#[test]
fn a_start_without_fish_is_not_judged_by_what_fish_bear() {
    for (i, next, said) in [
        (without(0.0, [0.0; 3]), Next::Dose, "Give 6.9 g of ammonium chloride now, and test a day later. No fish yet."),
        (without(3.0, [2.0, 0.0, 0.0]), Next::Wait, "Give no dose until ammonia is below 0.5 mg/L. No fish yet."),
        (without(18.0, [0.4, 4.0, 3.0]), Next::Wait, "Give no dose until nitrite is below 2.5 mg/L. No fish yet."),
        (without(18.0, [0.4, 2.0, 3.0]), Next::Dose, "Give 6.9 g of ammonium chloride now"),
        (without(18.0, [0.4, 7.0, 3.0]), Next::Change, "change water. No fish yet."),
        (StartupIn { alkalinity: mg(30.0), ..without(18.0, [0.4, 2.0, 3.0]) }, Next::Buffer, "raise it"),
        (StartupIn { since: HOURS.of(hours(3.0)), ..without(18.0, [0.4, 0.0, 3.0]) }, Next::Test, "Test a day after"),
    ] {
        let o = run(&i);
        assert_eq!((o.dosed.as_ref().map(|d| d.next), o.add.value, o.most.value), (Some(next), 0.0, 0.0), "{said}");
        let r = Startup::report(&i, &o, Words::default());
        let verdict = r.verdict.replace('\u{202f}', " ");
        assert!(verdict.contains(said), "{verdict}");
        let over = r.levels.iter().any(|l| l.state() == State::Over);
        assert_eq!(over, matches!(next, Next::Change | Next::Buffer), "{verdict}");
        assert!(r.levels[0].leads && Startup::level(&o).as_ref() == Some(&r.levels[0]));
        let all: Vec<_> = r.cautions.iter().map(|c| &*c.text).chain(r.repairs.iter().map(|r| &*r.title)).collect();
        assert!(
            !all.iter().any(|t| t.contains("salt") || t.contains("blood") || t.contains("feed nothing")),
            "{all:#?}"
        );
        assert!(
            all.iter().any(|t| t.contains("goggles") && t.contains("bleach"))
                && all.iter().any(|t| t.contains("label"))
        );
        assert!(all.iter().any(|t| t.contains("local rules")));
        assert_eq!(r.tables.len(), 1);
        // What is too much has a cure.
        assert_eq!(over, r.repairs.first().is_some_and(|r| r.level.state() != State::Over), "{verdict}");
    }
    // Without anything said of it the ammonia comes from fish, as it always did.
    assert!(StartupIn::default().supply == Supply::Fish && run(&StartupIn::default()).dosed.is_none());
    // By household ammonia of 10 %, in millilitres or ounces.
    let i = StartupIn { product: Product::Solution, ..without(0.0, [0.0; 3]) };
    for (system, part) in
        [(System::Metric, "Give 23 mL of household ammonia"), (System::Us, "Give 0.778 fl oz of household")]
    {
        let said = Startup::report(&i, &run(&i), Words { system, ..Words::default() }).verdict.replace('\u{202f}', " ");
        assert!(said.contains(part), "{said}");
    }
    // So alkaline that 2 mg/L would hold back the second bacteria: less of it.
    let i = StartupIn { ph: RATIO.of(8.4), ..without(0.0, [0.0; 3]) };
    let r = Startup::report(&i, &run(&i), Words::default());
    assert!(
        r.levels[0].id == "dose" && r.levels[0].state() == State::Over && r.repairs[0].title.starts_with("Doses of")
    );
    assert!(r.verdict.contains("no more than"), "{}", r.verdict);
    // What is too little to be read proves nothing.
    let i = StartupIn { ph: RATIO.of(9.4), ..without(30.0, [0.0, 0.0, 40.0]) };
    assert!(run(&i).dosed.is_some_and(|d| d.next == Next::Dose) && run(&i).add.value == 0.0);
}

/// The test proves the feed, not the calendar: 2 mg/L in 900 L are 1.8 g of nitrogen, 61.1 g of feed at 32 % of protein; four fifths of that go in.
#[test]
fn a_dose_that_is_gone_in_a_day_brings_the_fish() {
    let ready = without(30.0, [0.2, 0.1, 40.0]);
    let o = run(&ready);
    assert!((o.dosed.as_ref().expect("doses").proven.value / g_day(61.14) - 1.0).abs() < 1e-3);
    assert!((o.most.value / g_day(48.91) - 1.0).abs() < 1e-3 && (o.add.value / 3.261 - 1.0).abs() < 1e-3);
    assert!(o.ramp.windows(2).all(|w| w[1] >= w[0]) && o.weeks.is_some());
    let r = Startup::report(&ready, &o, Words::default());
    assert!(r.verdict.contains("If that of the day before was too") && r.tables.len() == 2, "{}", r.verdict);
    // Half the dose proves half; so do fish that bear half the ammonia.
    let half = run(&StartupIn { dose: mg(1.0), ..ready.clone() });
    assert!((half.most.value / o.most.value - 0.5).abs() < 1e-9);
    let trout = StartupIn {
        species: Species::by_id("trout").expect("trout"),
        temperature: TEMPERATURE.of(celsius(14.0)),
        ..ready.clone()
    };
    assert!((run(&trout).most.value / o.most.value - 0.5).abs() < 1e-9);
    // No proof: late, early, with nitrite left, or with nothing of it to be seen yet.
    for i in [
        StartupIn { since: HOURS.of(hours(30.0)), ..ready.clone() },
        StartupIn { since: HOURS.of(hours(3.0)), ..ready.clone() },
        without(30.0, [0.2, 0.4, 40.0]),
        without(30.0, [0.2, 0.1, 1.0]),
    ] {
        assert_eq!((run(&i).most.value, run(&i).add.value), (0.0, 0.0));
    }
    // Proved, and still no water for these fish.
    for i in [
        StartupIn { temperature: TEMPERATURE.of(celsius(8.0)), ..ready.clone() },
        StartupIn { temperature: TEMPERATURE.of(celsius(17.5)), ..ready.clone() },
        StartupIn { alkalinity: mg(10.0), ..ready },
    ] {
        let (o, r) = (run(&i), Startup::report(&i, &run(&i), Words::default()));
        assert!(o.add.value == 0.0 && r.verdict.contains("add no fish"), "{}", r.verdict);
    }
}

/// Days on which a filter had nothing to live on do not ripen it. By hand, 24 g/day at 32 % of protein are 0.7 g of nitrogen: in 900 L 0.79 mg/L a
/// day, of which 5.4 % is un-ionised at pH 8 and 25 °C, and that passes 0.05 mg/L on the second day.
#[test]
fn days_without_food_do_not_count() {
    let empty = |age: f64| StartupIn {
        age: DAYS.of(days(age)),
        feed: FEED_RATE.of(0.0),
        tan: mg(0.0),
        nitrite: mg(0.0),
        nitrate: mg(0.0),
        ph: RATIO.of(8.0),
        ..StartupIn::default()
    };
    let (now, fresh) = (run(&empty(90.0)), run(&empty(0.0)));
    assert_eq!((now.most, now.carries, now.stage), (fresh.most, fresh.carries, Stage::Empty));
    assert!(now.most.value < g_day(6.0) && now.changes() && now.ripe_in.1 == now.ripe.1, "{now:?}");
    let r = Startup::report(&empty(90.0), &now, Words::default());
    assert!(r.verdict.contains("days before that do not count"), "{}", r.verdict);
    assert!(r.verdict.contains("with a third of the water changed every day"), "{}", r.verdict);
    // A trace of ammonia and a nitrate that nobody tested show no more than that.
    let trace = run(&StartupIn { tan: mg(0.1), ..empty(90.0) });
    assert!(trace.most <= fresh.most && trace.carries.0.value == 0.0, "{trace:?}");
    let untested = run(&StartupIn { nitrate_read: YesNo::No, ..empty(90.0) });
    assert!(untested.most.value <= fresh.most.value && untested.carries.0.value == 0.0);
    // What was fed counts, and so does nitrate that was made.
    assert_eq!(run(&StartupIn { feed: FEED_RATE.of(g_day(20.0)), ..empty(90.0) }).carries.0.value, 1.0);
    assert_eq!(run(&StartupIn { nitrate: mg(20.0), ..empty(90.0) }).carries.0.value, 1.0);
}

/// Carp tanks (Appl. Sci. 2020, 10: 626) held their ammonia for ten days: a dose that a bare filter of two days is said to have taken within one is
/// asked again, and brings no fish.
#[test]
fn a_dose_gone_too_soon_is_asked_again() {
    let young = |seed, age| StartupIn { seed, dose: mg(4.0), ph: RATIO.of(7.2), ..without(age, [0.0, 0.0, 6.0]) };
    for age in [2.0, 3.0, 7.0] {
        let i = young(Seed::Bare, age);
        let o = run(&i);
        assert_eq!((o.told(), o.most.value, o.add.value), (Stage::Early, 0.0, 0.0));
        let r = Startup::report(&i, &o, Words::default());
        assert!(r.verdict.contains("see that it went in, and test again"), "{}", r.verdict);
        assert!(r.verdict.ends_with("No fish yet."), "{}", r.verdict);
    }
    // A filter that was moved takes it; so may one of some weeks.
    assert!(run(&young(Seed::Filter, 2.0)).add.value > 0.0 && run(&young(Seed::Bare, 30.0)).add.value > 0.0);
}

/// Whoever doses as the page says, and only then, never comes past what may stand; and in the end the fish come.
#[test]
fn doses_as_said_never_stand_too_high() {
    for ph in [7.0, 7.8, 8.3] {
        let mut i = StartupIn { ph: RATIO.of(ph), ..without(0.0, [0.0; 3]) };
        // Days until ammonia, and nitrite, are taken; each then twice as fast every third day.
        let mut came = false;
        for day in 0..80 {
            i.age = DAYS.of(days(f64::from(day)));
            let o = run(&i);
            let all = levels(&i, &o);
            assert!(all[2].fullness() <= 1.0 + 1e-9 && all[3].fullness() <= 1.0 + 1e-9, "{ph} {day}: {:?}", o.dosed);
            let d = o.dosed.expect("doses");
            came |= d.next == Next::Fish;
            if matches!(d.next, Next::Dose | Next::Fish) {
                i.tan += d.dose;
                i.since = HOURS.of(0.0);
            }
            let takes = |from: f64| {
                mg(0.05 * ((f64::from(day) - from) / 3.0).exp2()) * f64::from(u8::from(f64::from(day) > from))
            };
            let a = takes(8.0).min(i.tan);
            let b = takes(20.0).min(i.nitrite + a);
            (i.tan, i.nitrite, i.nitrate) = (i.tan - a, i.nitrite + a - b, i.nitrate + b);
            i.since = HOURS.of(i.since.value + hours(24.0));
        }
        assert!(came, "{ph}");
    }
}

/// What halves the feed halves what was fed when it was read: whoever feeds half then is not told that it is too much. Nor is more fed than the page on
/// ammonia counts the same filter for.
#[test]
fn half_of_the_feed_is_not_halved_again() {
    let at = |feed: f64| StartupIn {
        feed: FEED_RATE.of(g_day(feed)),
        tan: mg(1.2),
        nitrite: mg(0.3),
        age: DAYS.of(days(30.0)),
        ..StartupIn::default()
    };
    let said = |i: &StartupIn| (run(i), Startup::report(i, &run(i), Words::default()));
    let (o, r) = said(&at(12.0));
    assert!((o.most.value / g_day(6.0) - 1.0).abs() < 1e-9);
    assert!(r.verdict.contains("feed half of what it got when that was read, no more than 6"), "{}", r.verdict);
    for feed in [12.0, 6.0, 3.0] {
        let (_, r) = said(&at(feed));
        assert!(!r.verdict.contains("more than that now"), "{}", r.verdict);
        assert!(r.levels.iter().all(|l| l.id != "feed" || l.state() != State::Over), "{feed}");
        assert!(r.levels[0].id == "tan" && r.levels[0].state() == State::Over, "{feed}");
    }
    let (o, r) = said(&at(400.0));
    assert!(r.verdict.contains("more than that now") && o.most.value > 0.0, "{}", r.verdict);
    // The same filter on the page on ammonia.
    for age in [14.0, 20.0, 30.0, 45.0, 60.0] {
        let i = StartupIn { tan: mg(0.3), nitrite: mg(0.3), nitrate: mg(10.0), age: DAYS.of(days(age)), ..at(800.0) };
        let same = ammonia_page(&i);
        let most = ammonia::feed_for_tan(same, i.protein);
        let here = run(&StartupIn { full: FEED_RATE.of(g_day(5000.0)), ..i }).most;
        assert!(here.value <= most.value * (1.0 + 1e-9), "{age}: {} {}", here.value, most.value);
    }
}

/// What the page on ammonia counts on the same filter for.
fn ammonia_page(i: &StartupIn) -> MassRate {
    use crate::calculators::ammonia::{Ammonia, AmmoniaIn};
    let same = AmmoniaIn {
        species: i.species,
        temperature: i.temperature,
        ph: i.ph,
        tan: i.tan,
        nitrite: i.nitrite,
        volume: i.volume,
        feed: i.feed,
        protein: i.protein,
        medium: i.medium,
        media: i.media,
        age: i.age,
        target: i.target,
        ..AmmoniaIn::default()
    };
    solve::<Ammonia>(&same, &mut Working::none()).expect("solves").bears.0
}

/// More feed than the filter bears is mended by less of it; and less of it is no longer at its limit.
#[test]
fn too_much_feed_is_mended_by_less() {
    let fed = |feed: f64| StartupIn { feed: FEED_RATE.of(g_day(feed)), ..StartupIn::default() };
    let said = |i: &StartupIn| Startup::report(i, &run(i), Words::default());
    let old = StartupIn { age: DAYS.of(days(990.0)), ..fed(60e3) };
    for i in [fed(6.0), fed(500.0), old, StartupIn { age: DAYS.of(0.0), ..fed(5.0) }] {
        let r = said(&i);
        let level = |r: &Report| r.levels.iter().find(|l| l.id == "feed").map(Level::state);
        assert_eq!(level(&r), Some(State::Over));
        let less =
            r.repairs.iter().find(|r| r.title.starts_with("Feed ")).unwrap_or_else(|| panic!("{:#?}", r.repairs));
        assert_eq!(less.level.state(), State::Enough, "{less:?}");
        assert_eq!(level(&said(&mend::changed::<Startup>(&i, &less.edits).expect("there"))), Some(State::Enough));
        assert!(r.repairs.iter().all(|r| r.level.id != "feed" || mend::repairs(&r.level)), "{:#?}", r.repairs);
    }
    let loads: Vec<f64> = [0.5, 1.0, 2.0, 4.0, 5.0, 6.0, 9.0].map(|g| level_of(&run(&fed(g))).fullness()).into();
    assert!(loads.windows(2).all(|w| w[0] < w[1]) && loads[1] < ENOUGH && loads[5] > 1.0, "{loads:?}");
}

/// A few grams of room are room for no fish, and what is less than a kilogram is told in grams.
#[test]
fn no_part_of_a_fish_is_added() {
    let i = StartupIn { tan: mg(0.0), nitrite: mg(0.0), nitrate: mg(0.0), ..StartupIn::default() };
    for (age, feed) in [(3.0, 0.0), (60.0, 0.0), (60.0, 20.0), (300.0, 20.0)] {
        let i = StartupIn { age: DAYS.of(days(age)), feed: FEED_RATE.of(g_day(feed)), ..i.clone() };
        let (o, said) = (run(&i), Startup::report(&i, &run(&i), Words::default()).verdict);
        assert!(o.add.value == 0.0 || o.add.value >= g(5.0), "{age} {feed}: {said}");
        assert!(!said.contains("add up to 0."), "{age} {feed}: {said}");
    }
    // The most that six grams of fish eat is not worth a fish.
    let small = StartupIn { media: VOLUME.of(l(0.5)), age: DAYS.of(days(3.0)), ..i };
    let said = Startup::report(&small, &run(&small), Words::default()).verdict;
    assert!(!said.contains("add up to"), "{said}");
}
