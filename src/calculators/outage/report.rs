//! The words, repairs, pictures and tables of the power-cut calculator.

use super::*;

fn told(t: (Time, Time)) -> String {
    if t.0.value >= hours(LONG) - 1.0 { "longer than ten days".into() } else { times(t.0.value, t.1.value) }
}

pub(super) fn verdict(i: &OutageIn, o: &OutageOut, words: Words) -> String {
    let mut text = if o.critical.0.value <= 0.0 {
        "The oxygen is critical already: give them air now.".to_string()
    } else {
        let low = match o.caution.0.value <= 0.0 {
            true => "the oxygen is low already".into(),
            false => format!("{} until the oxygen is low", told(o.caution)),
        };
        format!("Without pump and air: {low}, {} until it is critical.", told(o.critical))
    };
    if i.battery.yes() {
        // Of the oxygen alone: heat or cold may come before.
        text += &format!(
            " With the battery pump the oxygen {}.",
            if o.lasts.0.value >= hours(LONG) - 1.0 {
                "does not run out".into()
            } else {
                format!("lasts {}", told(o.lasts))
            }
        );
    }
    if let Some(d) = o.deadly {
        return format!("{} {text}", d.first(words));
    }
    let (air, warmth) = (level_of(o).state(), o.warmth());
    let how = if o.cold.is_some() { "cold" } else { "hot" };
    match warmth.as_ref().filter(|w| w.0.state() == State::Over).map(|w| w.1) {
        Some(t) => {
            let at = match t.value > 0.0 {
                true => format!("it gets so {how} that they die in {}", words.time(t)),
                false => format!("the water is as {how} already as they bear"),
            };
            // What kills first is said first.
            match t < o.lasts.0 {
                true => text = format!("The cut is not bridged: {at}. {text}"),
                false => text += &format!(" The cut is not bridged, and {at}."),
            }
        }
        None => {
            let foul = foul_of(o).state();
            let just = warmth.is_some_and(|w| w.0.state() == State::Tight) || foul == State::Tight;
            text += match air {
                State::Over => " The cut is not bridged.",
                _ if foul == State::Over => " The cut is not bridged: before its end their ammonia poisons them.",
                State::Enough if !just => " The cut is bridged.",
                _ => " The cut is just bridged.",
            };
        }
    }
    if o.ice.is_some() {
        text += " The surface may freeze over and then brings in no air: keep a hole open, and air in the water.";
    }
    text
}

/// What their ammonia asks for: each is said once.
fn repairs(i: &OutageIn, o: &OutageOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = of_oxygen(i, o, before, words);
    if o.deadly.is_some() || foul_of(o).state() == State::Enough {
        return all;
    }
    let mut put = |title: String, edits: Vec<Edit>| {
        if all.iter().all(|r: &Repair| r.title != title) {
            all.extend(mend::mend::<Outage>(i, before, levels, "unionised", title, edits, words.system));
        }
    };
    let foul = |o: &OutageOut| Some(foul_of(o));
    put(UNFED.into(), vec![Edit::pick("last", "day")]);
    if let Some(x) = fewer_until(i, foul) {
        put(fewer_said(i, x, words), fewer(i, x));
    }
    let shorter = |x: f64| vec![Edit::num("cut", HOURS.of(x))];
    if let Some(x) = mend::just_enough::<Outage>(i, foul, shorter, i.cut.value, hours(0.05)) {
        let x = HOURS.of((x * 0.995).max(hours(0.05)));
        put(format!("Be there, with power or clean water, within {}", words.time(x)), shorter(x.value));
    }
    all
}

const UNFED: &str = "Leave them unfed when a cut is announced";

/// So many fish, by weight or by number, fed in proportion.
fn fewer(i: &OutageIn, x: f64) -> Vec<Edit> {
    let weighed = i.by == Known::Weight;
    let now = if weighed { i.fish.value } else { i.count.value };
    let fish = if weighed { Edit::num("fish", MASS.of(x)) } else { Edit::num("count", COUNT.of(x.floor())) };
    let feed = (i.by != Known::Number).then(|| Edit::num("feed", i.feed * (x / now)));
    [fish].into_iter().chain(feed).collect()
}

/// So many fish that a level is just enough.
fn fewer_until(i: &OutageIn, level: impl Fn(&OutageOut) -> Option<Level>) -> Option<f64> {
    let weighed = i.by == Known::Weight;
    let (now, least) = if weighed { (i.fish.value, 0.001) } else { (i.count.value, 1.0) };
    let x = mend::just_enough::<Outage>(i, level, |x| fewer(i, x), now, least).filter(|x| *x < now)?;
    Some(if weighed { significant(x * 0.995, 3).max(least) } else { x.floor() })
}

fn fewer_said(i: &OutageIn, x: f64, words: Words) -> String {
    let fish = match i.by {
        Known::Weight => format!("{} of fish", words.q(MASS, MASS.of(x))),
        _ => format!("{} fish", words.q(COUNT, COUNT.of(x))),
    };
    format!("{fish}, fed in proportion")
}

fn of_oxygen(i: &OutageIn, o: &OutageOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    if o.deadly.is_some() {
        return all;
    }
    // Cold and heat have their own: a cover or none, and less time.
    let warmth = before[1..].iter().find(|l| l.id != "unionised");
    if let Some(warmth) = warmth.filter(|warmth| warmth.state() != State::Enough) {
        let mut put = |title: String, edits: Vec<Edit>| {
            all.extend(mend::mend::<Outage>(i, before, levels, &warmth.id, title, edits, words.system));
        };
        let cold = o.cold.is_some();
        match i.covered.yes() {
            false if cold => put("Cover the water, leaving a gap for air".into(), vec![Edit::pick("covered", "yes")]),
            true if !cold => put("Leave the water open, in the shade".into(), vec![Edit::pick("covered", "no")]),
            _ => {}
        }
        let warmth_of = |o: &OutageOut| o.warmth().map(|w| w.0);
        let shorter = |x: f64| vec![Edit::num("cut", HOURS.of(x))];
        if warmth.fullness() > before[0].fullness()
            && let Some(x) = mend::just_enough::<Outage>(i, warmth_of, shorter, i.cut.value, hours(0.05))
        {
            let x = HOURS.of((x * 0.995).max(hours(0.05)));
            let with = if cold { "warmth" } else { "something to cool it" };
            put(format!("Be there, with {with}, within {}", words.time(x)), shorter(x.value));
        }
    }
    if before[0].state() == State::Enough {
        return all;
    }
    let mut put = |title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Outage>(i, before, levels, "time", title, edits, words.system));
    };
    let main = |o: &OutageOut| Some(level_of(o));
    // A battery pump with air to spare and the energy to run through: air in proportion, a tenth over; watts in proportion to the air.
    let air = |x: f64| {
        // A pump that delivers nothing says nothing of the watts that air takes.
        let usual = OutageIn::default();
        let like = if i.air.value > 0.0 { i } else { &usual };
        let watts = (like.power.value * x / like.air.value).clamp(0.5, 5000.0);
        let energy = watts * i.cut.value * 1.3 / i.usable.value;
        vec![
            Edit::pick("battery", "yes"),
            Edit::num("air", AIR_FLOW.of(x)),
            Edit::num("power", POWER.of(watts)),
            Edit::num("capacity", ENERGY.of(energy.min(50_000.0 * WH))),
        ]
    };
    let step = words.step(AIR_FLOW, l_min(5.0));
    let round = |x: f64| mend::rounded(x, 0.0, step).clamp(l_min(5.0), l_min(2000.0));
    let mut wanted = AIR_FLOW.of(round(o.air_needed.map_or(MOST_AIR, |q| q.value) * 1.1));
    // Oxygen that is critical already must come up soon, and that takes more.
    if i.oxygen <= i.species.oxygen_critical()
        && let Some(x) = mend::just_enough::<Outage>(i, main, air, wanted.value, l_min(2000.0))
    {
        wanted = AIR_FLOW.of(round(x));
    }
    let edits = air(wanted.value);
    if let Some(EditValue::Si(energy)) = edits.last().map(|e| e.to.clone()) {
        let title = format!(
            "A battery pump that delivers {} at the stone, on {}",
            words.q(AIR_FLOW, wanted),
            show_unit(ENERGY.0, energy, "Wh", words.system)
        );
        put(title, edits);
    }
    if i.battery.yes() {
        let more = |x: f64| vec![Edit::num("capacity", ENERGY.of(x))];
        if let Some(x) = mend::just_enough::<Outage>(i, main, more, i.capacity.value, 50_000.0 * WH) {
            let x = mend::rounded(x, i.capacity.value, 10.0 * WH).min(50_000.0 * WH);
            put(format!("A battery of {}", show_unit(ENERGY.0, x, "Wh", words.system)), more(x));
        }
    }
    if let Some(x) = fewer_until(i, main) {
        put(fewer_said(i, x, words), fewer(i, x));
    }
    if i.last != LastMeal::Day {
        put(UNFED.into(), vec![Edit::pick("last", "day")]);
    }
    let shorter = |x: f64| vec![Edit::num("cut", HOURS.of(x))];
    if let Some(x) = mend::just_enough::<Outage>(i, main, shorter, i.cut.value, hours(0.05)) {
        let x = HOURS.of((x * 0.995).max(hours(0.05)));
        put(format!("Be there, with power or air, within {}", words.time(x)), shorter(x.value));
    }
    all
}

pub(super) fn cautions(i: &OutageIn, o: &OutageOut, words: Words) -> Vec<Caution> {
    let mut all = vec![
        Caution::new(
            "Count on the low end: fish crowd, the water layers, and the reading you start from is a good one. An alarm that calls you, and a drill with a watch, are worth more than this number.",
        ),
        Caution::from(
            "Carbon monoxide kills people: a generator or a car runs outdoors only, 6 m (20 ft) from doors, windows and vents, and no flame heats a closed room or greenhouse.",
            &src::CARBON_MONOXIDE,
        ),
        Caution::from(
            format!(
                "{} That goes for what a generator or inverter feeds too: many have no such protection of their own. Never feed one back into the house wiring; a changeover switch is an electrician's work.",
                piping::ELECTRICITY
            ),
            &RESIDUAL_CURRENT,
        ),
    ];
    all.extend(handling::too_cold(i.species, i.temperature, words));
    if o.ice.is_some() {
        all.push(Caution::from(
            "Under a whole sheet of ice the water gets no air and the gases stay in. Keep a hole open with moving water, air or a pan of hot water; never break it by blows, which stun fish. A hole lets the gases out, but brings in next to no oxygen. See that the air line is not frozen.",
            &src::ICE,
        ));
    }
    all.extend(o.deadly.map(|d| d.caution("the oxygen")));
    if o.caution.0.value <= 0.0 {
        all.push(Caution::new(format!(
            "The oxygen is below the {} that this fish should have even before anything stops.",
            words.q(CONCENTRATION, i.species.oxygen_floor())
        )));
    }
    all.extend(no_more_than(o.still.saturation, i.oxygen, words));
    if i.battery.yes() && o.settles.is_none_or(|c| c < i.species.oxygen_critical()) {
        all.push(Caution::new("The battery pump does not hold them on its own: it only gives time."));
    }
    if i.covered.yes() {
        all.push(Caution::new("Take the cover off while nothing bubbles, unless it is the cold that kills first."));
    }
    all
}

pub(super) fn notes(i: &OutageIn, o: &OutageOut, words: Words) -> Vec<String> {
    let (surface, taken) = (o.warmest.still.at(i.species.oxygen_floor()), o.warmest.demand);
    let mut all = vec![format!(
        "They take up {}; the still surface brings in {} when the oxygen is low{}.",
        words.range(OXYGEN_RATE, o.demand.0, o.demand.1),
        words.q(OXYGEN_RATE, surface),
        match surface {
            s if s >= taken.1 => ", which is all they need while it stays open",
            s if s >= taken.0 => ", enough for resting fish alone",
            s if s.value > taken.0.value * 0.2 => ", which helps a little",
            _ => ", next to nothing",
        }
    )];
    match o.air_needed {
        Some(q) if q.value > 0.0 => all.push(format!("{} of air at the stone would hold them.", words.q(AIR_FLOW, q))),
        Some(_) => {}
        None => all.push("No air through such a stone holds them at the oxygen that they should have.".into()),
    }
    let (how, hot) = if o.cold.is_some() { ("cold", false) } else { ("hot", true) };
    all.push(match o.cold.or(o.hot) {
        Some(t) if t.value <= 0.0 && o.deadly.is_none() => format!("It is as {how} already as this fish bears."),
        Some(t) if t.value <= 0.0 => {
            format!("It is {} already than this fish lives in.", if hot { "hotter" } else { "colder" })
        }
        Some(t) => format!(
            "In air of {} it takes {} until they die of {}; they sicken before. {}",
            words.q(TEMPERATURE, i.around),
            words.time(t),
            if hot { "heat" } else { how },
            match (o.lasts.0 <= t, hot) {
                (true, false) => "Oxygen runs out first; think of warmth second.",
                (true, true) => "Oxygen runs out first; think of shade second.",
                (false, false) => "The cold comes before the oxygen runs out: keep the warmth in first.",
                (false, true) => "The heat comes before the oxygen runs out. Sun on the water brings it sooner.",
            }
        ),
        None if o.warmest.temperature > i.temperature => format!(
            "In air of {} the water comes to {} before the power is back: they breathe more and it holds less, which is counted; sun on it is not.",
            words.q(TEMPERATURE, i.around),
            words.q(TEMPERATURE, o.warmest.temperature)
        ),
        None if o.ice.is_some() => "They live under ice, but a surface that is frozen over brings in nothing.".into(),
        None => "In this air the water does not get so cold that they die.".into(),
    });
    all.push("The filter's bacteria live through some hours if the beds stay wet and drained; a closed filter full of standing water turns foul: empty it before it goes back on.".into());
    all
}

/// What to do in which order ([`src::OUTAGE_ORDER`]).
pub(super) fn order(i: &OutageIn, o: &OutageOut, words: Words) -> Table {
    let before = |t: Time| match told((t, t)) {
        _ if t.value <= 0.0 => "At once".to_string(),
        _ if t.value >= hours(LONG) - 1.0 => "If it gets low".into(),
        told => format!("Within {told}"),
    };
    let mut rows = vec![
        ["At once".to_string(), "Feed nothing, now and until a day after".to_string()],
        [
            if i.battery.yes() { "At once".into() } else { before(o.caution.0) },
            if i.battery.yes() {
                "Battery air pump on; see that it bubbles".into()
            } else {
                "Air: a battery pump, an inverter on a car that stands outdoors, or pour water from a height with a bucket, again and again"
                    .to_string()
            },
        ],
    ];
    // Blankets only slow what is still to come.
    let blankets = "Cover the walls with blankets, then the water, leaving a gap for air";
    let cold = o.cold.filter(|t| t.value > 0.0).map(|t| cold_of(o, t).state() == State::Enough);
    let cool = "Shade the tank, hang wet cloths over its walls, and float bottles of ice in it";
    let hot = o.hot.map(|t| hot_of(o, t).state() == State::Enough);
    let what = if hot.is_some() { cool } else { blankets };
    if cold.or(hot) == Some(false) {
        rows.push(["At once, after the air".into(), what.into()]);
    }
    if let Some(t) = o.changed_every().filter(|_| o.deadly.is_none() && level_of(o).state() != State::Over) {
        let [is, borne] = [o.fouled.unionised, o.fouled.borne].map(|x| words.q(CONCENTRATION, x));
        rows.push([
            format!("Every {}", words.time(t)),
            format!("A third of the water changed for clean dechlorinated water, near in temperature and pH: no filter takes their ammonia, of which else {is} would be un-ionised by the end, and they bear {borne}"),
        ]);
    }
    // Where it may freeze now it comes before what can wait.
    let ice = |now: bool| {
        o.ice.filter(|t| now == (t.value <= 0.0)).map(|t| {
            let when = if now { "At once".into() } else { format!("Within {}", words.time(t)) };
            [when, "Keep a hole open in the ice; never break it by blows".into()]
        })
    };
    rows.extend(ice(true));
    rows.push([
        before(o.critical.0),
        "The water pump, off a generator outdoors or an inverter, with its return falling from a height".into(),
    ]);
    let netted = match handling::is_too_cold(i.species, i.temperature) {
        true => "and only then take fish out to another aired tank: netted in such cold, many die in the days after",
        false => "take fish out to another aired tank",
    };
    rows.push([
        before(o.critical.0),
        format!(
            "If nothing works: run in clean dechlorinated water, a tenth at a time, close in temperature; {netted}"
        ),
    ]);
    if cold.or(hot) == Some(true) {
        rows.push(["If it lasts longer".into(), what.into()]);
    }
    rows.extend(ice(false));
    rows.push([
        "When it is back".into(),
        "Look at pump, siphons and levels; air on full; test ammonia and nitrite the next two days; feed nothing for a day, then a third"
            .into(),
    ]);
    Table {
        title: "In this order".into(),
        head: vec!["When".into(), "What".into()],
        rows: rows.into_iter().map(Vec::from).collect(),
    }
}

fn picture(i: &OutageIn, o: &OutageOut, words: Words) -> Picture {
    let span = HOURS.of((o.critical.1.value * 1.3).clamp(minutes(20.0), hours(48.0)).max(if i.battery.yes() {
        i.cut.value.min(hours(48.0))
    } else {
        0.0
    }));
    let curve = |name: &str, course: Course, role| {
        let points = (0..=30).map(|n| {
            let t = HOURS.of(span.value * f64::from(n) / 30.0);
            (t.value, course.after(i.volume, o.from, t).value)
        });
        Series { name: name.into(), role, points: points.collect() }
    };
    let low = |pump| Course::of(&o.waters, false, pump, o.freezes);
    let mut series = vec![
        curve("just fed, with the whole system", low(None), Role::Spill),
        curve("resting fish alone", Course::of(&o.waters, true, None, None), Role::Water),
    ];
    if let Some(runs) = o.runs {
        series.push(curve("with the battery pump", low(Some(runs)), Role::Bubble));
    }
    let critical = i.species.oxygen_critical();
    let top = series.iter().flat_map(|s| s.points.iter().map(|p| p.1)).fold(critical.value, f64::max);
    Picture::Chart(Chart {
        title: "Oxygen after pump and air stop".into(),
        describe: format!(
            "From {} the oxygen falls to the critical {} in {}.",
            words.q(CONCENTRATION, o.from),
            words.q(CONCENTRATION, critical),
            told(o.critical)
        ),
        x: Axis::new("time", MINUTES.0, 0.0, span.value, words.system),
        y: Axis::new("oxygen", CONCENTRATION.0, 0.0, top * 1.1, words.system),
        series,
        marks: vec![],
        bands: vec![],
        brim: Some((critical.value, "critical".into())),
    })
}

/// What a page shows of a result.
pub(super) fn report(i: &OutageIn, o: &OutageOut, words: Words) -> Report {
    let levels = levels(i, o);
    Report {
        verdict: verdict(i, o, words),
        repairs: repairs(i, o, &levels, words),
        cautions: cautions(i, o, words),
        pictures: vec![picture(i, o, words)],
        tables: vec![order(i, o, words)],
        notes: notes(i, o, words),
        levels: first(o, levels),
    }
}
