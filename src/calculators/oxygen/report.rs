//! The words, repairs, pictures and tables of the oxygen calculator.

use super::*;
use crate::calculators::outage::{FEWEST, Outage};
use crate::calculators::{care, deadly};
use crate::science::solve::halve;

/// Minutes up to three hours, then hours, then days.
pub(crate) fn how_long(words: Words, t: Option<Time>) -> String {
    match t {
        None => "stays above".into(),
        Some(t) if t.value <= 0.0 => "none".into(),
        Some(t) if t.value < 60.0 => "under a minute".into(),
        Some(t) => words.time(t),
    }
}

/// The fish whose floor counts, in words.
fn who(i: &OxygenIn, o: &OxygenOut) -> String {
    let strictest = present(i).find(|g| g.species.oxygen_floor() >= o.floor);
    match (i.limits, strictest, present(i).next()) {
        (Limits::Species, Some(g), _) | (Limits::Species, None, Some(g)) => g.species.noun.to_string(),
        _ => "your fish".into(),
    }
}

/// Is a change worth offering? It must reach the brim, or take a quarter off and come near it.
pub(crate) fn worth_it(before: f64, after: f64) -> bool {
    mend::helps(before, after) && (after <= BRIM + 1e-9 || after <= (before * 0.75).min(3.0))
}

pub(super) fn apply_all(i: &OxygenIn, edits: &[Edit]) -> Option<(OxygenIn, OxygenOut)> {
    let changed = mend::changed::<Oxygen>(i, edits)?;
    let out = sheet::solve::<Oxygen>(&changed, &mut Working::none()).ok()?;
    Some((changed, out))
}

pub(super) fn load(o: &OxygenOut) -> f64 {
    balance(o).fullness()
}

/// The edits that leave a share of the fish (and of weighed feed).
fn fewer(i: &OxygenIn, share: f64, words: Words) -> Vec<Edit> {
    let mut edits = vec![];
    for (n, g) in i.fish.iter().enumerate() {
        match g.by {
            FishBy::Weight => {
                let left = round_down(g.biomass.value * share, words.one(MASS));
                edits.push(Edit::num(format!("fish.{n}.biomass"), MASS.of(left)))
            }
            FishBy::Number => {
                edits.push(Edit::num(format!("fish.{n}.count"), COUNT.of((g.count.value * share).floor())))
            }
        }
    }
    if i.feed_by == FeedBy::Weighed {
        edits.push(Edit::num("feed", FEED_RATE.of(round_down(i.feed.value * share, words.one(FEED_RATE)))));
    }
    edits
}

/// Largest share for which `fits` holds, found by halving; `fits` must hold at 0 and fail at 1.
fn largest(fits: impl Fn(f64) -> bool) -> f64 {
    halve(0.0, 1.0, HALVINGS, fits)[0]
}

/// A share is found to a tenth of a millionth.
const HALVINGS: usize = 24;

fn repairs(i: &OxygenIn, o: &OxygenOut, words: Words) -> Vec<Repair> {
    let now = load(o);
    if o.deadly.is_some() {
        return vec![];
    }
    let (mut first, mut settled) = (reading_edits(i, o), settled_by_reading(i, o));
    // What is too low now is no longer so once a repair has worked.
    if i.reading == Reading::Now && o.low_now.is_some() {
        settled.reading = Reading::None;
        first.push(Edit::pick("reading", "none"));
    }
    let i = &settled;
    let mut found = vec![];
    found.extend(less_gas(i, o, &first, words));
    if balance(o).is_enough() {
        // What runs is enough once it has settled: until then what was read has to come up.
        // It cannot come up further than it settles.
        let unit = words.one(CONCENTRATION);
        let most = o.settled.0.map_or(f64::INFINITY, |c| round_down(c.value, unit).max(o.floor.value));
        let to = CONCENTRATION.of(round_up(o.floor.value / ENOUGH, unit).min(most));
        let edits = [Edit::pick("reading", "now"), Edit::num("reading_oxygen", to)];
        let edits: Vec<_> = first.into_iter().chain(edits).collect();
        if o.low_now.is_some()
            && let Some((_, after)) = apply_all(i, &edits)
        {
            let level = level_of(&after);
            found.push(Repair {
                title: format!("More air, and inflow that falls in, until it reads {}", words.q(CONCENTRATION, to)),
                effect: format!("{}: {}", level.percent(), level.state().word()),
                edits,
                then: level.state(),
                level,
                also: Some("Look for what took it: a stone, a pump or a pipe that stopped.".into()),
            });
        }
        return found;
    }
    let mut offer = |title: String, edits: Vec<Edit>, also: Option<String>| {
        let Some((changed, after)) = apply_all(i, &edits) else { return };
        let edits = first.iter().cloned().chain(edits).collect();
        let level = balance(&after);
        let better = worth_it(now, level.fullness());
        if !better {
            return;
        }
        let settles = match after.settled.0 {
            Some(c) => format!("settles at {} {}", words.q(CONCENTRATION, c), after_meal(&changed)),
            None => "still cannot be met".into(),
        };
        let effect = format!("{settles}: {}", level.state().word());
        found.push(Repair { title, effect, edits, then: level.state(), level, also });
    };
    // Small changes first.
    if i.meals == Meals::Few {
        offer("Spread the feed over three meals or more".into(), vec![Edit::pick("meals", "spread")], None);
    }
    if i.air.on()
        && matches!(i.air.mode, AirMode::Stones | AirMode::Pump)
        && i.air.diffuser.id != crate::catalog::diffusers::FINE
    {
        let edits = vec![Edit::pick("diffuser", "fine")];
        offer(
            "Fine-pore diffusers in place of these".into(),
            edits,
            Some("They need more pressure and clog sooner.".into()),
        );
    }
    if let Some((title, edit)) = i.air.higher(words) {
        offer(title, vec![edit], Some(air::DELIVERS_MORE.into()));
    }
    if i.condition.value < 0.95 && i.air.on() && i.air.mode != AirMode::Rated {
        offer(
            "Clean or renew the stones".into(),
            vec![Edit::num("condition", RATIO.of(1.0))],
            Some("Lasts until they clog again.".into()),
        );
    }
    if i.fall != Fall::Broken && i.flow.value > 0.0 {
        let mut edits = vec![Edit::pick("fall", "broken")];
        let mut height = i.fall_height;
        if i.fall == Fall::None {
            let usual = if i.fall_height.value > 0.0 { i.fall_height.value } else { 0.3 };
            // Half feet, where feet are read.
            const HALF: f64 = feet(0.5);
            height = LENGTH.of(match words.system {
                System::Metric => usual,
                System::Us => (usual / HALF).round().max(1.0) * HALF,
            });
            edits.push(Edit::num("fall_height", height));
        }
        let lift = Some("The pump must lift the water that much higher, so it sends less.".into());
        offer(format!("Let the inflow fall {} over stones or through holes", words.q(LENGTH, height)), edits, lift);
    }
    // Air until four fifths of it are used: nearly a straight line, and a little more where water from a loop bends it.
    let enough = |edits: &[Edit]| apply_all(i, edits).is_some_and(|(_, o)| balance(&o).is_enough());
    let least = |x: f64, step: f64, edits: &dyn Fn(f64) -> Vec<Edit>| {
        let to = |n: i32| round_up(x * 1.02f64.powi(n), step);
        (0..10).map(to).find(|to| enough(&edits(*to))).unwrap_or_else(|| to(0))
    };
    let drive = o.air.saturation.value - o.floor.value;
    let other = o.supply.0.without_air().at(o.floor).value;
    let lack = o.demand_peak.value / ENOUGH - other;
    if drive > 0.0 && lack > 0.0 {
        let air = lack / (o.air.per_air * drive);
        let box_share = o.air.delivered.value / i.air.free.value.max(f64::MIN_POSITIVE);
        match i.air.mode {
            AirMode::None | AirMode::Stones => {
                let edits = |air: f64| {
                    let stones = (i.air.mode == AirMode::None).then(|| Edit::pick("air", "stones"));
                    stones.into_iter().chain([Edit::num("air_flow", AIR_FLOW.of(air))]).collect()
                };
                let to = AIR_FLOW.of(least(air, words.one(AIR_FLOW), &edits));
                let stones = sentence(&i.air.diffuser.label.to_ascii_lowercase());
                let title = format!(
                    "{} of air at the stones ({stones}, {} deep)",
                    words.q(AIR_FLOW, to),
                    words.q(LENGTH, i.air.depth)
                );
                offer(title, edits(to.value), Some(air::BATTERY.into()));
            }
            AirMode::Pump if box_share > 1e-6 => {
                let edits = |free: f64| vec![Edit::num("free_flow", AIR_FLOW.of(free))];
                let to = AIR_FLOW.of(least(air / box_share, words.one(AIR_FLOW), &edits));
                let title = format!("An air pump of {} on its box", words.q(AIR_FLOW, to));
                offer(title, edits(to.value), Some(air::BATTERY.into()));
            }
            AirMode::Rated => {
                let edits = |rated: f64| vec![Edit::num("rated", OXYGEN_RATE.of(rated))];
                let to = OXYGEN_RATE.of(least(lack / (o.air.per_rated * drive), g_h(1.0), &edits));
                let title = format!("A rated transfer of {}", words.q(OXYGEN_RATE, to));
                offer(title, edits(to.value), Some(air::BATTERY.into()));
            }
            AirMode::Pump => {}
        }
    }
    // Flow, where it helps: found by doubling.
    let helps = o.supply.0.shares(o.floor);
    if helps.inflow.value + helps.fall.value > 0.0 {
        let at = |k: f64| FLOW.of(round_up(i.flow.value * k, words.one(FLOW)));
        let fits = |k: f64| enough(&[Edit::num("flow", at(k))]);
        if fits(10.0) {
            let k = 10.0 * (1.0 - largest(|s| fits(10.0 * (1.0 - s))));
            let to = at(k);
            offer(
                format!("{} through the tank", words.q(FLOW, to)),
                vec![Edit::num("flow", to)],
                Some("The outlet and the pump must carry it.".into()),
            );
        }
    }
    // Less feed.
    if o.feed.value > 0.0 && !too_hot_to_feed(i) {
        let with = |s: f64| {
            vec![
                Edit::pick("feed_by", "weighed"),
                Edit::num("feed", FEED_RATE.of(round_down(o.feed.value * s, words.one(FEED_RATE)))),
            ]
        };
        let fits = |s: f64| enough(&with(s));
        let (share, title) = if fits(0.0) { (largest(fits), "Feed") } else { (0.0, "No feed") };
        let to = round_down(o.feed.value * share, words.one(FEED_RATE));
        let title = if to > 0.0 {
            format!("{title} {} instead of {}", words.q(FEED_RATE, FEED_RATE.of(to)), words.q(FEED_RATE, o.feed))
        } else {
            "Stop feeding until it is mended".into()
        };
        offer(title, with(share), Some("They grow less, and filter and solids calm down only over days.".into()));
    }
    // Fewer fish.
    let mut hardly = false;
    if o.biomass.value > 0.0 {
        let fits = |s: f64| enough(&fewer(i, s, words));
        if fits(0.0) {
            let edits = fewer(i, largest(fits), words);
            // None at all is no way to keep fish.
            if let Some((_, after)) = apply_all(i, &edits).filter(|(_, o)| o.biomass.value > 0.0) {
                hardly = after.biomass.value < o.biomass.value * FEWEST;
                let counts: Vec<_> = i
                    .fish
                    .iter()
                    .zip(&edits)
                    .filter_map(|(g, e)| match (g.by, &e.to) {
                        (FishBy::Number, EditValue::Si(n)) => {
                            let (n, each) = (words.q(COUNT, COUNT.of(*n)), words.q(SMALL_MASS, g.mass));
                            Some(format!("{n} {} of {each}", g.species.noun))
                        }
                        _ => None,
                    })
                    .collect();
                let counts = if counts.is_empty() { String::new() } else { format!(" ({})", counts.join(", ")) };
                offer(
                    format!(
                        "Keep {} of fish{counts} instead of {}",
                        words.q(MASS, after.biomass),
                        words.q(MASS, o.biomass)
                    ),
                    edits,
                    None,
                );
            }
        }
    }
    // Hardly any of them is a repair only where nothing else is.
    if hardly
        && let Some((few, others)) = found.split_last()
        && few.title.starts_with("Keep ")
        && others.iter().any(|r| r.level.state() != State::Over)
    {
        found.pop();
    }
    found
}

/// Inflow with so much less oxygen that no bubbles form, where that is over.
fn less_gas(i: &OxygenIn, o: &OxygenOut, first: &[Edit], words: Words) -> Option<Repair> {
    gas(o).filter(|gas| gas.state() == State::Over && i.inlet == Inlet::Given)?;
    let unit = words.one(CONCENTRATION);
    let at = |share: f64| CONCENTRATION.of(round_down(i.inlet_oxygen.value * share, unit));
    let edits = |share: f64| first.iter().cloned().chain([Edit::num("inlet_oxygen", at(share))]).collect::<Vec<_>>();
    let tried = |share: f64| apply_all(i, &edits(share)).map(|(_, after)| after);
    let fits = |share: f64| tried(share).is_some_and(|o| gas(&o).is_none_or(|gas| gas.load() <= Some(ENOUGH)));
    let share = largest(fits);
    let after = tried(share).filter(|_| share > 0.0)?;
    let level = Oxygen::level(&after).filter(|l| l.state() != State::Over)?;
    Some(Repair {
        title: format!(
            "Inflow with {} at most: put in less oxygen, or let it fall or spray first",
            words.q(CONCENTRATION, at(share))
        ),
        effect: format!("{}: {}", level.percent(), level.state().word()),
        edits: edits(share),
        then: level.state(),
        level,
        also: None,
    })
}

/// What oxygen past saturation is, where that is tight or over.
fn gassy(o: &OxygenOut, words: Words) -> Option<String> {
    let gas = gas(o).filter(|gas| gas.state() != State::Enough)?;
    let (part, holds) = (gas.demand.high / o.saturation.value, words.q(CONCENTRATION, o.saturation));
    let then = match gas.state() {
        State::Over => "bubbles form in their gills and blood, and kill within days to weeks",
        _ => "bubbles may form in their gills and blood",
    };
    let read = if gas.mild { "The reading" } else { "That" };
    Some(format!(
        " {read} is {} of the {holds} that this water holds against air: {then}.",
        words.q(PERCENT, PERCENT.of(part))
    ))
}

fn after_meal(i: &OxygenIn) -> &'static str {
    if i.fish.iter().all(|g| g.total().value <= 0.0) {
        "without fish"
    } else if too_hot_to_feed(i) {
        "after the last meal"
    } else {
        "after the evening meal"
    }
}

/// Is none of them fed, because it is too hot?
fn too_hot_to_feed(i: &OxygenIn) -> bool {
    i.feed_by == FeedBy::Table && present(i).all(|g| i.temperature > g.species.stops_above())
}

fn verdict(i: &OxygenIn, o: &OxygenOut, words: Words) -> String {
    let gassy = gassy(o, words).unwrap_or_default();
    let past = gas(o).map_or(State::Enough, |gas| gas.state());
    let state = sentence(level_of(o).state().max(past).word());
    let q = |c| words.q(CONCENTRATION, c);
    if o.biomass.value <= 0.0 {
        return format!("No fish, so none of it is breathed. {state}.");
    }
    let who = who(i, o);
    let first = match o.settled {
        (Some(low), Some(high)) => {
            format!(
                "Settles at {} {}; {who} want {}.",
                words.range(CONCENTRATION, low.min(high), low.max(high)),
                after_meal(i),
                q(o.floor)
            )
        }
        (None, Some(high)) => format!(
            "More is breathed than comes in {}: it may run down to nothing, at best settle at {}. {} want {}.",
            after_meal(i),
            q(high),
            sentence(&who),
            q(o.floor)
        ),
        _ => format!(
            "More is breathed than comes in {}: it runs down to nothing. {} want {}.",
            after_meal(i),
            sentence(&who),
            q(o.floor)
        ),
    } + &gassy;
    if let Some(d) = o.deadly {
        return format!("{} The oxygen by itself: {} {state}.", d.first(words), crate::units::lower(&first));
    }
    if let Some(c) = o.low_now {
        let how = if c <= o.stop { "distress and losses begin there" } else { "they are short of it already" };
        let (than, least) = if c <= o.stop { ("no more than", o.stop) } else { ("below", o.floor) };
        let state = sentence(balance(o).state().word());
        return format!(
            "Act now: the reading of {} is {than} {}, and {how}. Feed nothing, put more air in, let the water fall in from a height, and read again in half an hour. With everything running: {} {state}.",
            q(c),
            q(least),
            crate::units::lower(&first)
        );
    }
    let (rest_gone, fed_gone) = (o.start.0 <= o.stop, o.start.1 <= o.stop);
    let none = |t: Option<Time>| t.is_some_and(|t| t.value < 60.0);
    let off = if i.reading == Reading::Now { "From that reading, with" } else { "With" };
    let second = match o.all_off.fed {
        _ if rest_gone => {
            format!(" Even with everything running it is at {} or less: distress and losses begin there.", q(o.stop))
        }
        _ if fed_gone => format!(
            " After a meal it is at {} or less with everything running; with everything off, unfed, they have {} until then.",
            q(o.stop),
            how_long(words, o.all_off.resting)
        ),
        t if none(t) && none(o.all_off.resting) => {
            format!(" {off} everything off it is at {} within a minute, fed or not.", q(o.stop))
        }
        Some(_) if o.all_off.resting.is_none() => format!(
            " {off} everything off they have {} after a full meal, to {}; unfed it stays above that.",
            how_long(words, o.all_off.fed),
            q(o.stop)
        ),
        Some(_) => format!(
            " {off} everything off they have {} after a full meal and {} unfed, to {}.",
            how_long(words, o.all_off.fed),
            how_long(words, o.all_off.resting),
            q(o.stop)
        ),
        None => String::new(),
    };
    format!("{first} {state}.{second}")
}

/// Part of a day that is spent at the after-meal rate, so that the day's mean is one.
fn high_part(peak: f64) -> f64 {
    let rest = respiration::RESTING.value;
    ((1.0 - rest) / (peak - rest)).clamp(0.0, 1.0)
}

/// Is it an after-meal hour?
pub(super) fn digesting(hour: f64, meals: Meals) -> bool {
    let long = 24.0 * high_part(meals.peak().value);
    let since = |start: f64| (hour - start).rem_euclid(24.0);
    match meals {
        Meals::Spread => since(FIRST_MEAL) < long,
        Meals::Few => since(FIRST_MEAL) < long / 2.0 || since(EVENING_MEAL) < long / 2.0,
    }
}

const FIRST_MEAL: f64 = 8.0;
const EVENING_MEAL: f64 = 18.0;
pub(super) const STEPS_AN_HOUR: usize = 4;

pub(super) fn day(i: &OxygenIn, o: &OxygenOut, supply: &Supply) -> Vec<(f64, f64)> {
    let (fish, film) = o.fish_film;
    let step = HOUR / STEPS_AN_HOUR as f64;
    let mut c =
        supply.settled(OXYGEN_RATE.of(fish * respiration::RESTING.value + film)).unwrap_or(CONCENTRATION.of(0.0));
    let mut points = vec![];
    for n in 0..=(48 * STEPS_AN_HOUR) {
        let hour = n as f64 / STEPS_AN_HOUR as f64;
        if hour >= 24.0 {
            points.push(((hour - 24.0) * HOUR, c.value));
        }
        let share = if digesting(hour, i.meals) { i.meals.peak().value } else { respiration::RESTING.value };
        c = supply.after(i.volume, OXYGEN_RATE.of(fish * share + film), c, SECONDS.of(step));
    }
    points
}

fn chart(i: &OxygenIn, o: &OxygenOut, words: Words) -> Picture {
    let low = day(i, o, &o.supply.0);
    let high = day(i, o, &o.supply.1);
    let least = low.iter().copied().fold((0.0, f64::INFINITY), |a, b| if b.1 < a.1 { b } else { a });
    let top = low.iter().chain(&high).map(|p| p.1).fold(o.floor.value.max(o.saturation.value), f64::max) * 1.05;
    let mut bands = vec![];
    let mut from: Option<f64> = None;
    for n in 0..=(24 * 60) {
        let hour = f64::from(n) / 60.0;
        match (digesting(hour, i.meals) && n < 24 * 60, from) {
            (true, None) => from = Some(hour),
            (false, Some(start)) => {
                bands.push(Band { label: "digesting".into(), from: start * HOUR, to: hour * HOUR, warn: false });
                from = None;
            }
            _ => {}
        }
    }
    let q = |c: f64| words.q(CONCENTRATION, CONCENTRATION.of(c));
    let describe = format!(
        "Oxygen over a day. Lowest {} at {} h, highest {}; the floor is {}.",
        q(least.1),
        number(least.0 / HOUR, 3),
        q(low.iter().map(|p| p.1).fold(0.0, f64::max)),
        q(o.floor.value)
    );
    let mut series = vec![Series { name: "cautious end".into(), role: Role::Surface, points: low.clone() }];
    if low.iter().zip(&high).any(|(a, b)| (a.1 - b.1).abs() > 0.02 * b.1) {
        series.push(Series { name: "best case".into(), role: Role::Guide, points: high });
    }
    Picture::Chart(Chart {
        title: "Oxygen over a day".into(),
        describe,
        x: Axis::new("hour of the day", HOURS.0, 0.0, 24.0 * HOUR, words.system),
        y: Axis::new("oxygen", CONCENTRATION.0, 0.0, top, words.system),
        series,
        marks: vec![Mark { label: format!("lowest {}", q(least.1)), x: least.0, y: least.1 }],
        bands,
        brim: Some((o.floor.value, format!("{} want {}", who(i, o), q(o.floor.value)))),
    })
}

pub(super) fn tables(i: &OxygenIn, o: &OxygenOut, words: Words) -> Vec<Table> {
    let minutes = |name: &str, m: &Minutes| {
        vec![name.to_string(), how_long(words, m.resting), how_long(words, m.fed_lightly), how_long(words, m.fed)]
    };
    let mut off = vec![];
    if i.flow.value > 0.0 {
        off.push(minutes("Pump off", &o.pump_off));
    }
    if i.air.on() {
        off.push(minutes("Air off", &o.air_off));
    }
    off.push(minutes("Everything off", &o.all_off));
    let rate = |a: MassRate, b: MassRate| words.range(OXYGEN_RATE, a, b);
    let (low, high) = (o.supply.0.shares(o.floor), o.supply.1.shares(o.floor));
    let mut balance = vec![vec![
        "Fish, after the meal".into(),
        rate(
            OXYGEN_RATE.of(o.fish_film.0 * i.meals.peak().value),
            OXYGEN_RATE.of(o.fish_film.0 * i.meals.peak().value),
        ),
    ]];
    // The filter and the solids where they breathe, as a reading scales them.
    let scaled = |m: MassRate| words.q(OXYGEN_RATE, m * o.factors.1);
    if i.filter == Filter::SameWater {
        balance.push(vec!["Nitrifiers".into(), scaled(o.nitrifiers)]);
        balance.push(vec!["Bacteria on solids".into(), scaled(o.solids)]);
    } else if o.film_apart.value > 0.0 {
        balance.push(vec!["Nitrifiers and solids, in their bed".into(), words.q(OXYGEN_RATE, o.film_apart)]);
    }
    balance.extend([
        vec![format!("Air, at {}", words.q(CONCENTRATION, o.floor)), rate(low.air, high.air)],
        vec!["Surface".into(), rate(low.surface, high.surface)],
    ]);
    if i.inlet != Inlet::Loop || i.filter == Filter::Apart {
        balance.push(vec!["Inflow".into(), rate(low.inflow, high.inflow)]);
    }
    if i.fall != Fall::None {
        balance.push(vec!["The fall".into(), rate(low.fall, high.fall)]);
    }
    vec![
        Table {
            title: format!("How long until {}", words.q(CONCENTRATION, o.stop)),
            head: vec!["".into(), "Unfed for a day".into(), "After a small meal".into(), "After a full meal".into()],
            rows: off,
        },
        Table {
            title: "What is breathed and what comes in".into(),
            head: vec!["".into(), "Oxygen".into()],
            rows: balance,
        },
    ]
}

/// Air in a minute, of the water's volume, past which it is a storm.
const STORM: Coef = Coef::new(0.15, "1/min", &src::STORM, "tanks of fish");

/// What is said of more air than a tank of fish is given.
pub(crate) fn storm(air: VolumeRate, water: Volume, words: Words) -> Option<String> {
    (air.value * minutes(1.0) > STORM.value * water.value).then(|| {
        format!(
            "{} of air in {} of water is a storm: it needs a blower, and batters fish and solids. More water, fewer fish or pure oxygen is better.",
            words.q(AIR_FLOW, air),
            words.q(VOLUME, water)
        )
    })
}

pub(super) fn cautions(i: &OxygenIn, o: &OxygenOut, words: Words) -> Vec<Caution> {
    let q = |c| words.q(CONCENTRATION, c);
    let t = |c| words.q(TEMPERATURE, c);
    let mut all = vec![];
    let mut permits: Vec<&str> = vec![];
    for g in present(i) {
        let s = g.species;
        if i.temperature > s.dies_above() {
            all.push(Caution::from(
                format!("{} die above {}.", sentence(s.noun), t(s.dies_above())),
                s.warmth.dies_above.source,
            ));
        } else if i.temperature > s.stops_above() {
            all.push(Caution::from(
                format!("{} are not fed above {}.", sentence(s.noun), t(s.stops_above())),
                s.warmth.stops_above.source,
            ));
        }
        let eaten =
            |ration: fn(&Species, Mass, ThermodynamicTemperature) -> SpecificRate| ration(s, g.mass, i.temperature);
        if i.feed_by == FeedBy::Table && eaten(feeding::ration_before) > eaten(feeding::ration) * 1.01 {
            all.push(Caution::from(
                format!("At {} {} eat less, but filter and solids calm down only over days: what they ate before it got so warm is counted.", t(i.temperature), s.noun),
                &biology::FED_BEFORE,
            ));
        }
        if i.temperature < s.dies_below() {
            all.push(Caution::from(
                format!("{} die below {}.", sentence(s.noun), t(s.dies_below())),
                s.warmth.dies_below.source,
            ));
        }
        all.extend(deadly::failing(s, i.temperature, words));
        if !permits.contains(&s.permit) {
            permits.push(s.permit);
        }
    }
    let eaten = eaten(&i.fish, i.temperature);
    if i.feed_by == FeedBy::Weighed
        && i.feed.value > eaten * UNEATEN
        && let Some(g) = present(i).next()
    {
        let [about, fed] = [FEED_RATE.of(eaten), i.feed].map(|x| words.q(FEED_RATE, x));
        let eat = match eaten > 0.0 {
            true => format!("about {about} of the {fed}: the rest"),
            false => "nothing: what is fed".into(),
        };
        all.push(Caution::from(
            format!("In water of {} they eat {eat} rots.", t(i.temperature)),
            feeding::source(g.species),
        ));
    }
    let table = by_table(&i.fish, i.temperature);
    if i.feed_by == FeedBy::Weighed
        && i.feed.value < table * LEAST_FED
        && let Some(g) = present(i).next()
    {
        let [gives, fed] = [FEED_RATE.of(table), i.feed].map(|x| words.q(FEED_RATE, x));
        all.push(Caution::from(
            format!(
                "In water of {} the tables give such fish {gives}; on {fed} they hardly grow, or starve. Weigh it again, and look whether they eat.",
                t(i.temperature)
            ),
            feeding::source(g.species),
        ));
    }
    all.extend(storm(o.air.delivered, i.volume, words).map(|text| Caution::from(text, &src::STORM)));
    if o.saturation < o.floor {
        all.push(Caution::new(format!("Even saturated, this water holds only {}.", q(o.saturation))));
    }
    if i.limits == Limits::Species
        && o.floor.value > 0.0
        && let Some(c) = o.settled.0
        && let Some(g) = present(i).find(|g| c >= o.floor && c < g.species.oxygen_for_appetite())
    {
        let want = g.species.oxygen_for_appetite();
        all.push(Caution::from(
            format!("Below {} {} eat and grow less.", q(want), g.species.noun),
            g.species.breath.appetite.source,
        ));
    }
    if i.reading != Reading::None && i.reading_oxygen > o.saturation {
        all.push(Caution::from(
            format!("The reading is above the {} that this water holds, and counts as no more than that. Calibrate the meter in air.", q(o.saturation)),
            &src::DAWN_READING,
        ));
        if i.reading_oxygen > o.saturation * TOLD_FROM {
            all.push(Caution::from(
                "If the meter is right: algae in the sun bring such water by day and breathe at night, so read again at dawn. Without green water look for a pump that sucks air and for cold water that was warmed: then bubbles of gas harm the fish.",
                &src::GAS_BUBBLES,
            ));
        }
    }
    if gas(o).is_some_and(|gas| !gas.mild) {
        all.push(Caution::from(
            "Oxygen past saturation comes from cones, deep injectors and algae. Measure all dissolved gas, not oxygen alone: past 110 % of it fish get bubbles in gills, fins and eyes. Strip the water: let it fall, spray it, or air it well.",
            &src::GAS_BUBBLES,
        ));
    } else if i.inlet != Inlet::Loop {
        all.push(Caution::from(care::COLD_GAS, &src::GAS_BUBBLES));
    }
    if let Some(d) = o.dawn {
        if d.counts() && !d.tells {
            let [off, holds] = [meter_off(i.reading_oxygen), o.saturation].map(q);
            all.push(Caution::from(
                format!("A meter may be off by {off}, and this water lacks hardly more of the {holds} that it holds: the reading says nothing of warmer water. Read again at dawn in the warmest water, when it lacks {} or more.", q(meter_off(i.reading_oxygen) * TELLS.value)),
                &src::OXYGEN_METER,
            ));
        }
        if !d.counts() {
            all.push(Caution::from("The reading is better than these inputs can explain, so it is not counted. Calibrate the meter in air, read again in the middle of the tank, and look at the feed and the fish.", &src::DAWN_READING));
        } else if !d.fits {
            all.push(Caution::from("The reading does not fit these inputs, even with the air and the demand stretched: check the meter, the feed and the fish.", &src::DAWN_READING));
        } else if i.air.on() && !(0.5..=1.5).contains(&d.air.value) {
            all.push(Caution::from(
                format!(
                    "By the reading the air does {} times the estimate: calibrate the meter, and look at the stones and the flow.",
                    words.plain(d.air.value)
                ),
                &src::DAWN_READING,
            ));
        }
    }
    all.extend(i.air.too_deep(words).or_else(|| i.air.deeper(i.depth, words)));
    if i.filter == Filter::Apart && i.inlet != Inlet::Loop {
        all.push(Caution::new("Water from elsewhere does not come back from the bed: what filter and solids breathe there is not counted. If they stand in the water of the fish, say so."));
    }
    if i.solids == Solids::Left && o.feed.value > 0.0 {
        all.push(Caution::from(
            "Solids that stay for months take more oxygen than is counted here: all that is in feed asks for 1.25 times its weight of it, about twice what is counted of the feed. Draw them off, or keep that much air to spare.",
            &src::BOYD_FEED_OXYGEN,
        ));
    }
    let most = |of: fn(&Species) -> MassConcentration| present(i).map(|g| of(g.species)).reduce(|a, b| a.max(b));
    if i.limits == Limits::Own
        && let Some((wants, dies)) = most(Species::oxygen_floor).zip(most(Species::oxygen_critical))
        && (i.floor < wants || i.stop.min(i.floor) < dies)
    {
        let strict =
            present(i).max_by(|a, b| a.species.oxygen_floor().value.total_cmp(&b.species.oxygen_floor().value));
        let below = if i.stop.min(i.floor) < dies {
            format!(", and are counted at no less than {}", q(dies))
        } else {
            String::new()
        };
        all.extend(strict.map(|g| {
            Caution::from(
                format!(
                    "{} want {} or more, and losses begin at {}: your own limits are lower{below}.",
                    sentence(g.species.noun),
                    q(wants),
                    q(dies)
                ),
                g.species.breath.critical.source,
            )
        }));
    }
    if i.limits == Limits::Own && i.stop > i.floor {
        all.push(Caution::new(format!(
            "“The minutes end at” is above “Never below”: they are counted to {}.",
            q(o.stop)
        )));
    }
    if i.inlet == Inlet::Loop && i.flow.value > 0.0 {
        all.push(Caution::from("Water from the same loop is not saturated. It is counted with what it really brings, not with what the air could give it.", &src::OXYGEN_BALANCE));
    }
    if o.bed.is_some_and(|b| b.value < mg_l(BED_OXYGEN.value)) {
        all.push(Caution::from(
            format!("Nitrifiers want {} or more in the bed.", q(CONCENTRATION.of(mg_l(BED_OXYGEN.value)))),
            &src::SRAC_282_FILTER,
        ));
    }
    if o.all_off.fed.is_some_and(|t| t.value < 2.0 * HOUR) {
        all.push(Caution::new("Have an alarm for power and flow, and a battery air pump; test both every month. Put pump and air on separate circuits."));
    }
    all.push(Caution::from(crate::calculators::piping::ELECTRICITY, &waterways::RESIDUAL_CURRENT));
    if i.air.mode == AirMode::Rated {
        all.push(Caution::from(
            "A rated transfer is measured in clean water that the oxygen was taken out of first. Never do that to water with fish in it.",
            &src::TRANSFER_TEST,
        ));
    }
    all.extend(permits.into_iter().map(|p| Caution::from(p, &biology::SPECIES_PERMITS)));
    all
}

pub(super) fn report(i: &OxygenIn, o: &OxygenOut, words: Words) -> Report {
    let mut levels: Vec<Level> = Oxygen::level(o).into_iter().collect();
    if o.deadly.is_some() || levels[0].name == "Oxygen now" {
        levels.push(Level { id: "balance".into(), name: "Oxygen, once it has settled".into(), ..balance(o) });
    }
    if let Some(gas) = gas(o) {
        if levels[0].id == gas.id {
            levels.push(level_of(o));
        } else {
            levels.push(gas);
        }
    }
    if let Some(bed) = o.bed {
        levels.push(Level::upper(
            "bed_oxygen",
            "Oxygen for the filter",
            CONCENTRATION,
            CONCENTRATION.of(mg_l(BED_OXYGEN.value)),
            bed,
        ));
    }
    let mut notes = vec![];
    if o.biomass.value > 0.0 {
        notes.push(format!(
            "The air, surface and inflow carry {} of such fish; you have {}.",
            words.q(MASS, o.carries),
            words.q(MASS, o.biomass)
        ));
        if let Some(q) = o.air_needed.filter(|q| q.value > 0.0) {
            notes.push(format!("{} through such stones would just do.", words.q(AIR_FLOW, q)));
        }
        let from_mass = o
            .fish_from_mass
            .map(|m| format!(", from mass and temperature {}", words.q(OXYGEN_RATE, m)))
            .unwrap_or_default();
        notes.push(format!(
            "Fish alone, mean of the day: from {} of feed {}{from_mass}; {} counts.",
            words.q(FEED_RATE, o.feed),
            words.q(OXYGEN_RATE, o.fish_from_feed),
            words.q(OXYGEN_RATE, o.fish_mean)
        ));
    }
    if o.biomass.value > 0.0 && o.all_off.fed.is_some() {
        notes.push(format!(
            "The times without power are means. Fish differ: “{}” has the range, down to half of these after a meal and a fifth unfed.",
            Outage::TITLE
        ));
    }
    if i.inlet == Inlet::Loop && i.filter != Filter::Apart && i.fall == Fall::None && i.flow.value > 0.0 {
        notes.push("The flow itself brings nothing here: it is the same water coming back under water. It stirs, and feeds the filter.".into());
    }
    if let Some(d) = o.dawn.filter(Dawn::counts) {
        notes.push(format!(
            "Set by the reading: the air does {} times its estimate, {} times the estimate is breathed.",
            words.plain(d.air.value),
            words.plain(d.demand.value)
        ));
    }
    Report {
        verdict: verdict(i, o, words),
        levels,
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: vec![chart(i, o, words)],
        tables: tables(i, o, words),
        notes,
    }
}
