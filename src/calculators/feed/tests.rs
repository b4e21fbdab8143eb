use super::report::{notes, repairs};
use super::*;

fn run(i: &FeedIn) -> FeedOut {
    sheet::solve::<Feed>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}
fn with(id: &str, count: f64, grams: f64, c: f64) -> FeedIn {
    FeedIn {
        species: Species::by_id(id).unwrap_or_else(|| panic!("{id}")),
        count: COUNT.of(count),
        mass: SMALL_MASS.of(g(grams)),
        temperature: TEMPERATURE.of(celsius(c)),
        ..FeedIn::default()
    }
}
fn text(i: &FeedIn) -> String {
    Feed::report(i, &run(i), Words::default()).verdict
}

/// Source `filter_ph`: a filter is whole down to pH 6.5, keeps 46 % at 6.2 and a tenth at 6. What is eaten there is given off, and nothing takes it: the
/// page on ammonia counts as much of the filter.
#[test]
fn acid_water_is_not_fed_as_if_a_filter_ran() {
    let at = |ph: f64| FeedIn { readings: YesNo::Yes, ph: RATIO.of(ph), ..FeedIn::default() };
    let share = |ph: f64| run(&at(ph)).share.value;
    assert_eq!([5.05, 5.9, 6.0, 6.2, 6.5, 7.2].map(share), [0.0, 0.0, 0.5, 0.5, 1.0, 1.0]);
    assert!((share(6.4) - 0.82).abs() < 1e-9, "{}", share(6.4));
    for ph in [5.05, 5.9] {
        let i = at(ph);
        let r = Feed::report(&i, &run(&i), Words::default());
        assert!(r.levels[0].id == "ph" && r.levels[0].state() == State::Over && r.levels[0].leads, "{:?}", r.levels);
        assert!(r.verdict.starts_with("Do not feed today: at pH "), "{}", r.verdict);
        let repair = r.repairs.iter().find(|r| r.level.id == "ph").expect("a repair");
        assert!(repair.level.state() == State::Enough && repair.title.starts_with("Bring the pH to 6.5"), "{repair:?}");
    }
    let half = at(6.1);
    let r = Feed::report(&half, &run(&half), Words::default());
    assert!(r.verdict.contains("of the ration, because of the low pH"), "{}", r.verdict);
    // It stands there whenever it is read, and once where it kills.
    for (ph, state) in [(7.2, State::Enough), (6.1, State::Tight), (4.8, State::Over), (9.3, State::Over)] {
        let o = run(&at(ph));
        let all: Vec<_> = levels(&o).into_iter().filter(|l| l.id == "ph").map(|l| l.state()).collect();
        assert_eq!(all, [state], "{ph}");
    }
    assert!(levels(&run(&FeedIn::default())).iter().all(|l| l.id != "ph"));
}

/// Emerson et al. 1975: at pH 8.4 the un-ionised share of ammonia is 5.1 % at 12 °C and about 14 % at 27 °C, so what is borne in cold water can
/// poison in warm.
#[test]
fn warming_says_when_it_poisons() {
    let i = FeedIn {
        temperature: TEMPERATURE.of(celsius(12.5)),
        readings: YesNo::Yes,
        tan: CONCENTRATION.of(mg_l(0.8)),
        ph: RATIO.of(8.4),
        ..FeedIn::default()
    };
    // Where a reading stops the feed by itself, what brings that down stands before it.
    let warming = |i: &FeedIn, o: &FeedOut| {
        repairs(i, o, Words::default()).into_iter().find(|r| r.title.starts_with("Water at")).expect("warmth")
    };
    let also = |i: &FeedIn| {
        let o = sheet::solve::<Feed>(i, &mut Working::none()).expect("solved");
        warming(i, &o).also.expect("something")
    };
    assert!(also(&i).starts_with("Change water first"), "{}", also(&i));
    // And where it is past the limit already: more of it is worse, and nothing is fed then.
    let past = FeedIn { tan: CONCENTRATION.of(mg_l(2.0)), ..i.clone() };
    let o = sheet::solve::<Feed>(&past, &mut Working::none()).expect("solved");
    assert!(o.unionised > Some(past.species.unionised_limit()) && also(&past).starts_with("Change water first"));
    let effect = warming(&past, &o).effect;
    assert!(effect.contains("nothing may be fed, because of the ammonia"), "{effect}");
    assert!(!also(&FeedIn { ph: RATIO.of(7.0), ..i }).contains("poisonous"));
}

#[test]
fn a_ration_in_meals_and_scoops() {
    // SRAC 282, Table 1 (from memory): 100 g at 3.5 %, so 40 fish get 140 g a day.
    let o = run(&with("tilapia", 40.0, 100.0, 28.0));
    assert!((o.feed.value - g_day(140.0)).abs() < g_day(0.01), "{o:?}");
    assert_eq!((o.meals.value, o.cut, o.appetite), (3.0, Cut::None, Appetite::Good));
    assert!((o.meal.value * o.meals.value - g(140.0)).abs() < 1e-9);
    // A quarter litre of pellets at 0.45 kg/L weighs 112.5 g.
    assert!((o.scoops.value - 140.0 / 3.0 / 112.5).abs() < 1e-9);
    // 40 fish gain 400 g each: 16 kg, on 1.4 to 1.8 kg of feed a kg.
    assert!((o.until.0.value - 22.4).abs() < 1e-9 && (o.until.1.value - 28.8).abs() < 1e-9);
    assert!(o.time.0 < o.time.1 && o.time.1.is_some());
}

/// One fish in one water has one date: the soonest stands on the stocking page too. Cho's 1.74 for trout (recalled) lies in the range.
#[test]
fn feed_and_stocking_name_the_same_day() {
    use crate::calculators::stocking::{Stocking, StockingIn};
    for (id, grams, c, to, least) in [("trout", 20.0, 14.0, 350.0, 155.0), ("tilapia", 50.0, 28.0, 900.0, 169.0)] {
        let i = FeedIn { target: SMALL_MASS.of(g(to)), ..with(id, 40.0, grams, c) };
        let (species, temperature) = (i.species, i.temperature);
        let same = StockingIn {
            species,
            mass: i.mass,
            harvest: i.target,
            usual: temperature,
            hottest: temperature,
            ..StockingIn::default()
        };
        let there = sheet::solve::<Stocking>(&same, &mut Working::none()).expect("solved").until_harvest;
        let o = run(&i);
        let soonest = o.time.0.expect("they grow");
        assert_eq!(there, Some(soonest));
        assert!((soonest.value / days(1.0) - least).abs() < 1.0 && o.on_ration > o.time.0 && o.time.1 > o.on_ration);
        assert!(notes(&i, &o, Words::default()).iter().any(|n| n.contains("fed to their fill, above this ration")));
    }
    let trout = FeedIn { target: SMALL_MASS.of(g(350.0)), ..with("trout", 40.0, 20.0, 14.0) };
    let cho = growth::reach(
        trout.species,
        trout.mass,
        trout.target,
        &season(&trout),
        Pace::Heat(growth::Thermal(1.74), TEMPERATURE.of(celsius(0.0)), TEMPERATURE.of(celsius(20.0))),
    );
    let (soonest, latest) = run(&trout).time;
    assert!(cho.is_some_and(|r| Some(r.time) > soonest && Some(r.time) < latest), "{cho:?}");
}

#[test]
fn the_fed_stock_of_a_forum_example() {
    // A keepers' forum: 100 fish of 35 g at 5.5 % get 192.5 g a day; between the rows in ln mass it is 5.17 % and 181 g.
    let o = run(&with("tilapia", 100.0, 35.0, 28.0));
    assert!((o.feed.value / g_day(192.5) - 1.0).abs() < 0.07, "{o:?}");
    // The example goes on: 1347.5 g a week at 0.75 kg of gain a kg of feed are 1010.6 g; rounded to 1000, 45 g each.
    let week = g_day(192.5) * days(7.0);
    assert!((week - g(1347.5)).abs() < 1e-9 && (week * 0.75 - g(1010.6)).abs() < g(0.05));
    // And the app's own gain in a week lies by it: a feed per gain of 1.4 to 1.8 against their 1.33.
    let gained = [o.gain.0, o.gain.1].map(|x| x.value * days(7.0) / g(1.0));
    assert!(gained[0] > 650.0 && gained[1] < 1010.6, "{gained:?}");
}

#[test]
fn cold_and_hot_water_stop_the_feed() {
    let cold = with("tilapia", 40.0, 100.0, 14.0);
    assert_eq!((run(&cold).feed.value, run(&cold).meals.value, run(&cold).scoops.value), (0.0, 0.0, 0.0));
    assert!(
        text(&cold)
            .starts_with("Do not feed. The water is 14\u{202f}°C, and Nile tilapia are fed only above 17\u{202f}°C"),
        "{}",
        text(&cold)
    );
    assert_eq!(run(&cold).warmth().state(), State::Over);
    let hot = with("trout", 40.0, 100.0, 22.5);
    assert_eq!(run(&hot).appetite, Appetite::TooHot);
    let fixed = Feed::report(&hot, &run(&hot), Words::default()).repairs;
    assert_eq!(fixed.len(), 1);
    assert!(fixed[0].level.state() != State::Over);
    assert_eq!(run(&with("trout", 40.0, 100.0, 12.0)).warmth().state(), State::Enough);
    let said = |id: &str, t: f64| {
        let i = with(id, 40.0, 100.0, t);
        let r = Feed::report(&i, &run(&i), Words::default());
        r.cautions.iter().any(|c| c.text.contains("sicken and die within days to weeks"))
    };
    assert!(said("tilapia", 13.0) && !said("tilapia", 14.5) && !said("carp", 5.0));
    // At the very end of the range nothing is fed: that is out of it.
    for (id, t) in [("barramundi", 20.0), ("tilapia", 17.0), ("trout", 21.0)] {
        let at = run(&with(id, 40.0, 100.0, t));
        assert!(at.stopped() && at.warmth().state() == State::Over, "{id}: {:?}", at.warmth());
        assert!(["too cold to feed", "too hot to feed"].contains(&at.warmth().percent().as_str()), "{id}");
    }
    // Cool water: fewer meals.
    assert!(run(&with("tilapia", 40.0, 100.0, 22.0)).meals.value < 3.0);
    // They fall with the ration, not all at once.
    let meals = |t: f64| run(&with("tilapia", 40.0, 227.0, t)).meals.value;
    assert_eq!((meals(27.0), meals(26.9), meals(19.0)), (2.0, 2.0, 1.0));
}

/// Carp live for months under ice (FAO X0086E): water that they rest in is no fault, and nobody warms it for them.
#[test]
fn fish_that_winter_are_left_in_peace() {
    for (id, t) in [("carp", 5.0), ("catfish", 8.0), ("trout", 1.0)] {
        let cold = with(id, 40.0, 500.0, t);
        let r = Feed::report(&cold, &run(&cold), Words::default());
        assert!(r.verdict.starts_with("Do not feed.") && r.verdict.ends_with("a hole in any ice."), "{}", r.verdict);
        assert!(r.levels.iter().all(|l| l.state() != State::Over), "{id}: {:#?}", r.levels);
        assert!(r.levels[0].percent() == "they rest for the winter" && r.repairs.is_empty(), "{id}: {:#?}", r.repairs);
    }
    let dead = with("catfish", 40.0, 500.0, 0.6);
    assert!(Feed::level(&run(&dead)).is_some_and(|l| l.leads && l.state() == State::Over));
}

#[test]
fn readings_cut_the_feed() {
    let mut i = FeedIn { readings: YesNo::Yes, ..with("tilapia", 40.0, 100.0, 28.0) };
    assert_eq!(run(&i).cut, Cut::None);
    i.tan = CONCENTRATION.of(mg_l(1.5));
    assert_eq!((run(&i).share.value, run(&i).cut), (0.5, Cut::Ammonia));
    assert!(text(&i).contains("50\u{202f}% of the ration, because of the ammonia"), "{}", text(&i));
    // Emerson et al. 1975: at pH 8.4 and 28 °C 14.95 % is un-ionised: 0.9 mg/L is then past twice 0.05.
    i.tan = CONCENTRATION.of(mg_l(0.9));
    i.ph = RATIO.of(8.4);
    assert!((run(&i).unionised.map_or(0.0, |u| u.value) - mg_l(0.9 * 0.1495)).abs() < mg_l(1e-3));
    assert_eq!(run(&i).feed.value, 0.0);
    assert!(text(&i).starts_with("Do not feed today: ammonia"), "{}", text(&i));
    i.ph = RATIO.of(7.0);
    i.oxygen = CONCENTRATION.of(mg_l(2.0));
    assert_eq!((run(&i).feed.value, run(&i).cut), (0.0, Cut::Oxygen));
    // Just above the critical 2.3 mg/L they gasp, and just below the 4 that they want they are short of it already.
    for mg in [2.35, 3.9] {
        i.oxygen = CONCENTRATION.of(mg_l(mg));
        let said = text(&i).replace(THIN, " ");
        assert!(said.starts_with("Give air now: Nile tilapia want more oxygen"), "{said}");
        assert!(said.contains("Do not feed until it reads 4 mg/L."), "{said}");
    }
}

#[test]
fn a_season_is_shown_and_slows() {
    let steady = with("tilapia", 40.0, 100.0, 28.0);
    let season = FeedIn { swing: TEMPERATURE_DIFFERENCE.of(8.0), warmest: DAYS.of(0.0), ..steady.clone() };
    assert!(run(&season).time.1 > run(&steady).time.1);
    let r = Feed::report(&season, &run(&season), Words::default());
    let Some(Picture::Chart(c)) = r.pictures.first() else { panic!("no chart") };
    assert!(c.bands.iter().any(|b| b.label == "too cold to feed"), "{:?}", c.bands);
}

#[test]
fn assumptions_are_ranked_by_the_ration() {
    let sheet = sheet::entry::<Feed>();
    let all = crate::calculators::ranking::rank(&*(sheet.sheet)(), &|_| true);
    let at = |path: &str| all.iter().position(|i| i.path == path);
    // The mass and the number of fish set the ration; what the scoop holds does not.
    assert!(at("count").is_some_and(|k| k < 3) && at("mass").is_some_and(|k| k < 3), "{all:?}");
    assert!(at("scoop").is_none());
    assert!(all[0].words(System::Metric).starts_with("moves feed today from "), "{}", all[0].words(System::Metric));
}

#[test]
fn at_target_already() {
    let i = FeedIn { target: SMALL_MASS.of(g(80.0)), ..with("carp", 10.0, 100.0, 24.0) };
    let o = run(&i);
    assert_eq!((o.until.1.value, o.time.1.map(|t| t.value)), (0.0, Some(0.0)));
    let notes = Feed::report(&i, &o, Words::default()).notes;
    assert!(
        notes.iter().any(|n| n.contains("at the target already"))
            && notes.iter().any(|n| n.contains("holds their weight"))
    );
}

/// A reading that harms stands before water that is well: it leads where nothing may be fed for it, and where less is fed the ration stays the answer.
#[test]
fn a_reading_past_its_limit_stands_first() {
    let at = |oxygen: f64, tan: f64, c: f64| FeedIn {
        readings: YesNo::Yes,
        oxygen: CONCENTRATION.of(mg_l(oxygen)),
        tan: CONCENTRATION.of(mg_l(tan)),
        ..with("tilapia", 40.0, 100.0, c)
    };
    for (i, id, leads) in [
        (at(6.0, 0.2, 28.0), "warmth", false),
        (at(0.5, 0.2, 28.0), "oxygen", true),
        (at(0.5, 20.0, 28.0), "ammonia", true),
        (at(6.0, 1.5, 28.0), "ammonia", false),
        // Water that kills is before all of them.
        (at(0.5, 20.0, 5.0), "warmth", true),
    ] {
        let o = run(&i);
        let first = Feed::report(&i, &o, Words::default()).levels.remove(0);
        assert_eq!((&*first.id, first.leads), (id, leads));
        assert_eq!(Feed::level(&o), Some(first));
    }
}

/// 20 fish of 200 g get 79.4 g in two meals.
#[test]
fn a_scoop_is_a_scoop() {
    let of = |scoop: f64| text(&FeedIn { scoop: VOLUME.of(scoop), ..with("tilapia", 20.0, 200.0, 28.0) });
    assert!(of(9.2e-5).ends_with(", 1 scoop each."), "{}", of(9.2e-5));
    assert!(of(8.5e-5).ends_with(", 1 scoop each."), "{}", of(8.5e-5));
    assert!(of(1.1e-4).ends_with(" of a scoop each.") && of(6e-5).ends_with(" scoops each."));
}
