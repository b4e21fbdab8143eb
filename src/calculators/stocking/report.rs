//! The words, repairs, pictures and tables of the stocking calculator.

use super::*;
use crate::calculators::care;

fn tried(i: &StockingIn, edits: &[Edit]) -> Option<(StockingIn, StockingOut)> {
    let changed = mend::changed::<Stocking>(i, edits)?;
    let out = sheet::solve::<Stocking>(&changed, &mut Working::none()).ok()?;
    Some((changed, out))
}

fn load(o: &StockingOut) -> f64 {
    Stocking::level(o).map_or(f64::INFINITY, |l| l.fullness())
}

fn enough(o: &StockingOut) -> bool {
    Stocking::level(o).is_some_and(|l| l.is_enough())
}

/// Smallest of a rising row of changes that brings the level to enough, or else the one that helps most.
fn first_enough<T: Copy>(i: &StockingIn, tries: &[T], edits: impl Fn(T) -> Vec<Edit>) -> Option<T> {
    let now = load(&tried(i, &[])?.1);
    let mut best = None;
    for t in tries {
        if let Some((_, o)) = tried(i, &edits(*t)) {
            let l = load(&o);
            if enough(&o) {
                return Some(*t);
            }
            if mend::helps(best.map_or(now, |b: (f64, T)| b.0), l) {
                best = Some((l, *t));
            }
        }
    }
    best.map(|b| b.1)
}

/// What a change is called, and the edits that it means.
type Change = (String, Vec<Edit>);

const NEW_FILTER: &str = "A new filter has to ripen first; check the floor under a bed's weight.";

/// The air `k` times as strong.
fn more_air(i: &StockingIn, k: f64, words: Words) -> Change {
    match i.air.mode {
        AirMode::None | AirMode::Stones => {
            let base = if i.air.on() { i.air.flow.value } else { l_min(10.0) };
            let to = AIR_FLOW.of(round_up(base * k, words.one(AIR_FLOW)));
            let mut edits = vec![Edit::num("air_flow", to)];
            if i.air.mode == AirMode::None {
                edits.insert(0, Edit::pick("air", "stones"));
            }
            (format!("{} of air at the stones, {} deep", words.q(AIR_FLOW, to), words.q(LENGTH, i.air.depth)), edits)
        }
        AirMode::Pump => {
            let to = AIR_FLOW.of(round_up(i.air.free.value * k, words.one(AIR_FLOW)));
            (format!("An air pump of {} on its box", words.q(AIR_FLOW, to)), vec![Edit::num("free_flow", to)])
        }
        AirMode::Rated => {
            let to = OXYGEN_RATE.of(round_up(i.air.rated.value * k, words.one(OXYGEN_RATE)));
            (format!("A rated transfer of {}", words.q(OXYGEN_RATE, to)), vec![Edit::num("rated", to)])
        }
    }
}

/// The filter `k` times as large; where there is none, a bed.
fn more_filter(i: &StockingIn, k: f64, words: Words) -> Change {
    match i.filter {
        FilterBy::Media => {
            let to = VOLUME.of(round_up(i.media_volume.value.max(l(50.0)) * k, words.one(VOLUME)));
            (format!("A bed of {}", words.q(VOLUME, to)), vec![Edit::num("media_volume", to)])
        }
        FilterBy::Raft => {
            let to = AREA.of(round_up(i.raft_area.value.max(1.0) * k, words.one(AREA)));
            (format!("{} of rafts", words.q(AREA, to)), vec![Edit::num("raft_area", to)])
        }
        FilterBy::Area | FilterBy::RaftAndArea => {
            let to = AREA.of(round_up(i.filter_area.value.max(1.0) * k, words.one(AREA)));
            (format!("A filter of {}", words.q(AREA, to)), vec![Edit::num("filter_area", to)])
        }
        FilterBy::None => {
            let to = VOLUME.of(round_up(i.volume.value * k / 2.0, words.one(VOLUME)));
            let edits = vec![Edit::pick("filter", "media"), Edit::num("media_volume", to)];
            (format!("A media bed of {}", words.q(VOLUME, to)), edits)
        }
    }
}

const FACTORS: [f64; 15] = [1.1, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 25.0, 50.0, 100.0];

fn repairs(i: &StockingIn, o: &StockingOut, words: Words) -> Vec<Repair> {
    let now = load(o);
    if enough(o) || o.deadly.is_some() {
        return vec![];
    }
    let mut found = vec![];
    let mut offer = |title: String, edits: Vec<Edit>, also: Option<String>| {
        let Some((_, after)) = tried(i, &edits) else { return };
        let Some(level) = Stocking::level(&after) else { return };
        if worth_it(now, level.fullness()) {
            let (limit, a) = (after.at_harvest.least().1, &after.at_harvest);
            // What leaves room for none repairs nothing.
            if a.carries() < 1.0 {
                return;
            }
            let effect = format!(
                "{} fish at harvest, limited by {} then: {}",
                words.q(COUNT, COUNT.of(a.carries())),
                limit.word(),
                level.state().word()
            );
            found.push(Repair { title, effect, edits, then: level.state(), level, also });
        }
    };
    if i.meals == Meals::Few {
        offer("Spread the feed over three meals or more".into(), vec![Edit::pick("meals", "spread")], None);
    }
    if i.solids != Solids::Drawn {
        offer(
            "Draw the solids off every day".into(),
            vec![Edit::pick("solids", "drawn")],
            Some("It needs a settler that can be drained.".into()),
        );
    }
    if let Some((title, edit)) = i.air.higher(words) {
        offer(title, vec![edit], Some(air::DELIVERS_MORE.into()));
    }
    let ripe = DAYS.of(round_up(ammonia::ripe_after(i.usual).value, days(1.0)));
    if o.ripeness.value < 1.0 && ripe > i.filter_age {
        let title = format!(
            "Wait {} until the filter is ripe, its feed raised week by week as “Start-up” has it",
            words.q(DAYS, ripe - i.filter_age)
        );
        offer(title, vec![Edit::num("filter_age", ripe)], None);
    }
    // More air, more filter, and where neither will do alone, both.
    let (more, filter) = (|k: f64| more_air(i, k, words), |k: f64| more_filter(i, k, words));
    let bears = |o: &StockingOut, limits: &[Limit]| {
        [(&o.now, o.biomass), (&o.at_harvest, o.biomass_at_harvest)].iter().all(|(a, fish)| {
            // Where there is none it is asked of one.
            let fish = fish.max(a.mass);
            limits.iter().all(|l| a.by(*l).is_none_or(|m| fish.value <= m.value * (ENOUGH + 1e-9)))
        })
    };
    let least = |change: &dyn Fn(f64) -> Change, limits: &[Limit]| {
        FACTORS.into_iter().find(|k| tried(i, &change(*k).1).is_some_and(|(_, o)| bears(&o, limits)))
    };
    if let Some(k) = first_enough(i, &FACTORS, |k| more(k).1) {
        let (title, edits) = more(k);
        offer(title, edits, Some(air::BATTERY.into()));
    }
    if let Some(k) = first_enough(i, &FACTORS, |k| filter(k).1) {
        let (title, edits) = filter(k);
        offer(title, edits, Some(NEW_FILTER.into()));
    }
    let (short_air, short_filter) = (!bears(o, &[Limit::Oxygen]), !bears(o, &[Limit::Ammonia, Limit::Solids]));
    if short_air
        && short_filter
        && let (Some(a), Some(b)) = (least(&more, &[Limit::Oxygen]), least(&filter, &[Limit::Ammonia, Limit::Solids]))
    {
        let ((first, mut edits), (second, bed)) = (more(a), filter(b));
        edits.extend(bed);
        offer(format!("{first}, and {}", lower(&second)), edits, Some(NEW_FILTER.into()));
    }
    // Harvest sooner.
    let smaller: Vec<f64> = (1..=18)
        .map(|n| 1.0 - 0.05 * f64::from(n))
        .map(|s| words.as_shown(SMALL_MASS, i.harvest * s).value)
        .filter(|m| *m > i.mass.value * 1.5)
        .collect();
    let harvest = |m: f64| vec![Edit::num("harvest", SMALL_MASS.of(m))];
    if let Some(m) = first_enough(i, &smaller, harvest) {
        offer(format!("Harvest at {}", words.q(SMALL_MASS, SMALL_MASS.of(m))), harvest(m), None);
    }
    // Fewer fish: the level is in proportion to their number.
    let n = |x: Ratio| words.q(COUNT, x);
    let all = COUNT.of((i.all().value * ENOUGH / now + 1e-9).floor());
    let few = (all - i.count).max(COUNT.of(0.0));
    let mut said = vec![];
    let mut edits = vec![];
    if i.add.value > 0.0 {
        said.push(if few.value > 0.0 { format!("add {} instead of {}", n(few), n(i.add)) } else { "add none".into() });
        edits.push(Edit::num("add", few));
    }
    if all < i.count {
        said.push(format!("keep {} instead of {}", n(all), n(i.count)));
        edits.push(Edit::num("count", all));
    }
    if all.value >= 1.0 || (i.add.value > 0.0 && all >= i.count) {
        offer(sentence(&said.join(", and ")), edits, None);
    }
    found
}

fn why(i: &StockingIn, a: &Allowed, limit: Limit, ripe: bool, untrusted: bool) -> String {
    match limit {
        Limit::Space => "space is the limit".into(),
        Limit::Oxygen if i.air.comes_out() => "oxygen is the limit".into(),
        Limit::Oxygen => "oxygen is the limit, without air".into(),
        Limit::Ammonia if i.filter == FilterBy::None => "there is no filter for the ammonia".into(),
        Limit::Ammonia if untrusted => "the filter is too new to be counted on".into(),
        Limit::Ammonia if !ripe => "the filter is not ripe yet".into(),
        Limit::Ammonia => "the filter's ammonia is the limit".into(),
        Limit::Solids if a.solids.is_some() => "the solids are the limit".into(),
        Limit::Solids => String::new(),
    }
}

fn verdict(i: &StockingIn, o: &StockingOut, words: Words) -> String {
    if let Some((deadly, water)) = o.deadly {
        return format!("None: {}", deadly.advised(water.1, words));
    }
    let state = Stocking::level(o).map_or("", |l| l.state().word());
    let n = |x: f64| words.q(COUNT, COUNT.of(x));
    let (now, end) = (o.now.least(), o.at_harvest.least());
    let ripe = o.ripeness.value >= 1.0;
    let at = words.mass(SMALL_MASS, o.at_harvest.mass);
    let (today, harvest) = (o.now.fish(now.0), o.at_harvest.fish(end.0));
    let keep = if o.until_harvest.is_some() && o.at_harvest.mass > o.now.mass {
        format!(", all kept to {at}")
    } else {
        String::new()
    };
    let fewest = o.fewest.carries();
    // Too many today, and fewer still are carried later: that is said first.
    let few = o.room_today.value < 0.0 && fewest.min(harvest) < today;
    // More may come, but not at once.
    let now_only = if o.later.is_some() { " now" } else { "" };
    let unfit = o.unfit.filter(|_| o.room_today.value >= 0.0 && (i.add.value > 0.0 || o.room_today.value >= 1.0));
    if let Some(unfit) = unfit {
        let usual = words.q(TEMPERATURE, i.usual);
        return format!("Add no fish at {usual}: {}. {}.", unfit.why(), sentence(state));
    }
    let mut text = if o.may_add.value >= i.add.value && i.add.value > 0.0 {
        format!("Yes, you may add {} {}{keep}", n(i.add.value), i.species.noun)
    } else if o.may_add.value >= 1.0 && i.add.value > 0.0 {
        format!("No, {} of the {}{now_only}{keep}", n(o.may_add.value), n(i.add.value))
    } else if o.may_add.value >= 0.0 && i.add.value > 0.0 {
        format!("No, none of the {}{now_only}", n(i.add.value))
    } else if o.may_add.value >= 1.0 {
        format!("You may add {} {}{now_only}{keep}", n(o.may_add.value), i.species.noun)
    } else if o.later.is_some() {
        "None this week".to_string()
    } else if few && fewest < harvest {
        format!("On the way to {at} it carries {}, and you have {}", n(fewest), n(i.count.value))
    } else if few {
        format!("It carries {} at {at}, and you have {}", n(harvest), n(i.count.value))
    } else if o.room_today.value < 0.0 {
        format!("{} too many today: it carries {}", n(-o.room_today.value), n(today))
    } else if o.may_add.value < 0.0 && fewest < harvest {
        format!("No room for more. On the way to {at} it carries {}, and you have {}", n(fewest), n(i.count.value))
    } else if o.may_add.value < 0.0 {
        format!("No room for more. It carries {} at {at}, and you have {}", n(harvest), n(i.count.value))
    } else if i.count.value <= 0.0 {
        "It carries none".to_string()
    } else {
        "No more and no fewer: it is full".to_string()
    };
    let today_ripe = ripe;
    let (a, limit, ripe) = if today <= harvest.min(fewest) {
        (&o.now, now.1, ripe)
    } else if harvest <= fewest {
        (&o.at_harvest, end.1, true)
    } else {
        (&o.fewest, o.fewest.least().1, ripe)
    };
    if i.add.value > 0.0 && o.room_today.value < 0.0 {
        text = format!("No. {text}");
    }
    // Room is not what they lack.
    if o.until_harvest.is_none() {
        let usual = words.q(TEMPERATURE, i.usual);
        let fed = if feeding::appetite(i.species, i.usual).stops() { "they are not fed and" } else { "they" };
        text = format!("At {usual} {fed} never reach {at}. {text}");
    }
    match o.later {
        Some(_) => text += "; the filter is used to no more.",
        None => text += &format!("; {}.", why(i, a, limit, ripe, o.untrusted)),
    }
    if few && o.later.is_none() {
        let why = why(i, &o.now, now.1, today_ripe, o.untrusted);
        text += &format!(" {} are too many today: it carries {}; {why}.", n(-o.room_today.value), n(today));
    }
    // Where there are none and may be none, nothing is enough.
    if i.all().value > 0.0 || o.may_add.value >= 1.0 {
        text += &format!(" {}.", sentence(state));
    }
    if let (Some((all, weeks)), Some(used)) = (o.later, o.used) {
        if used.changes() && o.may_add.value >= 1.0 {
            text += " Change a third of the water every day of that week.";
        }
        text += &format!(
            " In all {} may come, over {}: each week three tenths more fish at most, and only while ammonia and nitrite stay near nothing.",
            n(all.value),
            if weeks.value > 1.0 { format!("{} weeks", words.q(COUNT, weeks)) } else { "a week".into() }
        );
    }
    if o.untrusted && (limit == Limit::Ammonia || few && now.1 == Limit::Ammonia) {
        text += " Few fish at first, with a third of the water changed every day: test ammonia every day, and see Start-up for how to raise the feed.";
    }
    if let Some((t, mass)) = o.until_limit.filter(|l| l.0.value > 0.0) {
        text += &format!(
            " They reach the limit in {}{} at the soonest, at {}.",
            how_long(words, Some(t)),
            words.date(t),
            words.mass(SMALL_MASS, mass)
        );
    }
    text
}

pub(super) fn chart(i: &StockingIn, o: &StockingOut, words: Words) -> Option<Picture> {
    let (from, to) = (o.now.mass.value, o.at_harvest.mass.value.max(o.now.mass.value * 1.01));
    let points: Vec<Allowed> = (0..=24)
        .filter_map(|n| {
            let w = from * (to / from).powf(f64::from(n) / 24.0);
            let until = growth::reach(i.species, i.mass, MASS.of(w), &Season::steady(i.usual), Pace::Soonest);
            let age = DAYS.of(i.age().value + until.map_or(0.0, |r| r.time.value));
            allowed(i, MASS.of(w), age, o.tan).ok()
        })
        .collect();
    let top = points.iter().map(|a| a.least().0.value / a.mass.value).fold(i.all().value, f64::max).max(1.0) * 1.6;
    let role = |limit| match limit {
        Limit::Space => Role::Wall,
        Limit::Oxygen => Role::Bubble,
        Limit::Ammonia => Role::Plant,
        Limit::Solids => Role::Sludge,
    };
    let series = Limit::ALL.iter().filter_map(|&limit| {
        let line: Vec<_> =
            points.iter().filter_map(|a| a.by(limit).map(|m| (a.mass.value, m.value / a.mass.value))).collect();
        // A curve that stands over the picture all the way is left out of it; one that goes out of it is cut at its edge.
        (line.iter().any(|p| p.1 < top) && line.len() > 1).then(|| Series {
            name: limit.word().into(),
            role: role(limit),
            points: line,
        })
    });
    let series: Vec<_> = series.collect();
    let n = |x: f64| words.q(COUNT, COUNT.of(x.floor()));
    let describe = format!(
        "Fish allowed by each limit as they grow from {} to {}: today {} ({}), at harvest {} ({}). There are {}.",
        words.q(SMALL_MASS, o.now.mass),
        words.q(SMALL_MASS, o.at_harvest.mass),
        n(o.now.fish(o.now.least().0)),
        o.now.least().1.word(),
        n(o.at_harvest.fish(o.at_harvest.least().0)),
        o.at_harvest.least().1.word(),
        n(i.count.value)
    );
    let marks = o.until_limit.iter().map(|(t, mass)| Mark {
        label: if t.value > 0.0 { format!("full in {}", how_long(words, Some(*t))) } else { "over today".into() },
        x: mass.value,
        y: i.all().value,
    });
    Some(Picture::Chart(Chart {
        title: "Fish allowed as they grow".into(),
        describe,
        x: Axis::new("mean mass", SMALL_MASS.0, from, to, words.system),
        y: Axis::new("fish", COUNT.0, 0.0, top, words.system),
        series,
        marks: marks.collect(),
        bands: vec![],
        brim: Some((
            i.all().value,
            format!("{} {}", if i.add.value > 0.0 { "with those to add" } else { "you have" }, n(i.all().value)),
        )),
    }))
}

pub(super) fn report(i: &StockingIn, o: &StockingOut, words: Words) -> Report {
    let mut levels: Vec<Level> = Stocking::level(o).into_iter().collect();
    for limit in Limit::ALL {
        if let Some(m) = o.at_harvest.by(limit) {
            let name = format!("{}, at harvest", limit.name());
            let level = Level::upper(limit.word(), limit.name(), MASS, o.biomass_at_harvest, m);
            levels.push(Level { name: name.into(), ..level });
        }
    }
    let main = levels[0].name.clone();
    if main != HARVEST {
        levels.push(Level::upper("harvest", HARVEST, MASS, o.biomass_at_harvest, o.at_harvest.least().0));
    }
    if main != TODAY {
        levels.push(Level::upper("today", TODAY, MASS, o.biomass, o.now.least().0));
    }
    let count = |a: &Allowed, limit| match a.by(limit) {
        Some(m) => words.q(COUNT, COUNT.of(a.fish(m))),
        None => "not fed".into(),
    };
    let rows =
        Limit::ALL.iter().map(|&l| vec![l.name().to_string(), count(&o.now, l), count(&o.at_harvest, l)]).collect();
    let tables = vec![Table {
        title: "Fish allowed by each limit".into(),
        head: vec![
            "".into(),
            format!("today, {}", words.mass(SMALL_MASS, o.now.mass)),
            format!("at harvest, {}", words.mass(SMALL_MASS, o.at_harvest.mass)),
        ],
        rows,
    }];
    let used = o.used.map(|u| u.lived).filter(|f| f.value > 0.0 && !o.untrusted);
    let mut notes = vec![format!(
        "{} now, {} at harvest; growers in such tanks keep up to {}.",
        words.q(STOCKING, o.density),
        words.q(STOCKING, o.density_at_harvest),
        words.q(STOCKING, o.practice.0)
    )];
    notes.push(match o.until_harvest {
        Some(t) if t.value <= 0.0 => "They are at harvest weight already.".into(),
        Some(t) => format!("Harvest weight in {}{} at the soonest.", how_long(words, Some(t)), words.date(t)),
        None => format!("At {} they will not reach harvest weight within four years.", words.q(TEMPERATURE, i.usual)),
    });
    if o.ripeness.value < 1.0 && i.filter != FilterBy::None && !o.untrusted {
        notes.push(format!("The filter carries {} of its full load today.", words.q(PERCENT, o.ripeness)));
    }
    notes.extend(used.map(|f| {
        format!(
            "The filter has lived on {} of feed a day, and takes three tenths more each week.",
            words.q(SMALL_MASS, MASS.of(f.value * days(1.0)))
        )
    }));
    if i.inflow == Inflow::None && [&o.now, &o.at_harvest].iter().any(|a| a.least().1 == Limit::Oxygen) {
        notes.push("Oxygen is counted from air and surface alone. Water that falls in, or comes from a bed that floods and drains, brings more: say so at “Water that flows in”.".into());
    }
    Report {
        verdict: verdict(i, o, words),
        levels,
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: chart(i, o, words).into_iter().collect(),
        tables,
        notes,
    }
}

pub(super) fn cautions(i: &StockingIn, o: &StockingOut, words: Words) -> Vec<Caution> {
    let s = i.species;
    let t = |c| words.q(TEMPERATURE, c);
    let mut all = vec![];
    if hottest(i) > s.dies_above() {
        all.push(Caution::from(
            format!("{} die above {}.", sentence(s.noun), t(s.dies_above())),
            s.warmth.dies_above.source,
        ));
    } else if i.usual < s.dies_below() {
        all.push(Caution::from(
            format!("{} die below {}.", sentence(s.noun), t(s.dies_below())),
            s.warmth.dies_below.source,
        ));
    } else if hottest(i) > s.stops_above() {
        all.push(Caution::from(
            format!(
                "{} are not fed above {}: what they ate before it got so warm is counted.",
                sentence(s.noun),
                t(s.stops_above())
            ),
            s.warmth.stops_above.source,
        ));
    } else if hottest(i) < s.stops_below() {
        all.push(Caution::from(
            format!(
                "{} are not fed below {}; here even the hottest water is colder.",
                sentence(s.noun),
                t(s.stops_below())
            ),
            s.warmth.stops_below.source,
        ));
    }
    let water = [Deadly::of_salt(i.species, i.salinity), Deadly::of_ph(i.species, i.ph)];
    all.extend(water.into_iter().flatten().map(|d| d.caution("there is room for")));
    if i.usual > i.hottest {
        all.push(Caution::new(
            "The usual water is given hotter than the hottest: the hotter of the two counts. Check both.",
        ));
    }
    all.extend(i.air.too_deep(words).or_else(|| i.air.deeper(i.depth, words)));
    if o.untrusted {
        all.push(Caution::from("What a filter takes is not counted before it has been fed for about two weeks, longer in the cold. So many fish need a third of the water changed every day until then: ammonia that nothing takes stays below half of what they bear.", &src::NEW_FILTER));
    }
    if i.filter != FilterBy::None && i.filter_age > i.age() {
        all.push(Caution::from(
            "No fish live on the filter, so its days count for nothing. If it was fed or dosed until now, say so at “The filter has lived on”.",
            &src::NEW_FILTER,
        ));
    }
    if i.filter != FilterBy::None && o.ripeness.value >= 1.0 {
        all.push(idle());
    }
    if o.ripeness.value < 1.0 {
        all.push(Caution::from("An unripe filter caps the stock whatever the tank holds. Raise the feed only as ammonia and nitrite stay near nothing.", &src::FILTER_RIPENING));
    }
    if !i.air.comes_out() && i.inflow == Inflow::None {
        all.push(Caution::from("Without air the surface alone feeds the fish: that carries a few fish in a large tank, and none through a warm night.", &src::QUIET_SURFACE));
    }
    if o.tan < s.tan_limit() {
        all.push(Caution::from(
            format!("At this pH ammonia nitrogen must stay below {}.", words.q(CONCENTRATION, o.tan)),
            &src::EMERSON_1975,
        ));
    }
    all.push(Caution::from(
        "Start with a third of the computed load and watch oxygen, ammonia and nitrite.",
        &src::START_SMALL,
    ));
    all.push(Caution::new(
        "Quarantine new fish; the more fish, the shorter the time when power fails: alarm and battery air pump.",
    ));
    all.extend(crate::calculators::handling::too_cold(s, i.usual, words));
    all.push(care::yard());
    all.push(Caution::from(s.permit, &biology::SPECIES_PERMITS));
    all.push(Caution::from("Food safety: no warm-blooded animals or dirty hands in the water, none of it on leaves eaten raw, rinse and chill. Local rules on eating and selling home-grown fish count.", &biology::CTAHR_FST_38));
    all
}
