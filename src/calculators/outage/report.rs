//! The words, repairs, pictures and tables of the power-cut calculator.

use super::*;

fn endless(t: Time) -> bool {
    t.value >= hours(LONG) - 1.0
}

const ENDLESS: &str = "longer than ten days";

fn told(t: (Time, Time)) -> String {
    match t {
        (low, _) if endless(low) => ENDLESS.into(),
        (low, high) if endless(high) => format!("{} to {ENDLESS}", spoken(low.value)),
        (low, high) => times(low.value, high.value),
    }
}

/// How long the battery runs a pump that brings in anything at all.
fn pumped(i: &OutageIn, o: &OutageOut) -> Option<Time> {
    o.runs.filter(|t| t.value >= LEAST_RUN && i.air.value > 0.0)
}

/// Is their oxygen critical while the pump still runs?
fn too_weak(o: &OutageOut, runs: Time) -> bool {
    o.lasts.0.value < runs.value - 1.0
}

/// From an empty battery on until the oxygen is critical; nothing where it never is.
fn left(o: &OutageOut, runs: Time) -> Option<(Time, Time)> {
    let of = |t: Time| if endless(t) { t } else { HOURS.of((t - runs).value.max(0.0)) };
    (!endless(o.lasts.0)).then(|| (of(o.lasts.0), of(o.lasts.1)))
}

/// Is the cut bridged, and if it is not the air that tells: what does? What leads the levels leads the words.
fn bridged(i: &OutageIn, o: &OutageOut) -> (State, Option<&'static str>) {
    let Some(worst) = first(o, levels(i, o)).into_iter().next() else { return (State::Enough, None) };
    let state = worst.state();
    let why = match (&*worst.id, state) {
        ("unionised", State::Over) => Some("before its end their ammonia poisons them"),
        ("unionised", State::Tight) => Some("by its end their ammonia is near what they bear"),
        ("cold", State::Tight) => Some("by its end it is nearly so cold that they die"),
        ("hot", State::Tight) => Some("by its end it is nearly so hot that they die"),
        _ => None,
    };
    (state, why)
}

/// Is the oxygen critical as it is?
fn already(o: &OutageOut) -> bool {
    o.critical.0.value < 1.0
}

/// What pump and battery do: what belongs behind a colon, and the sentences after it.
fn with_pump(o: &OutageOut, runs: Time, words: Words) -> (String, Vec<String>) {
    let (lasts, left) = (told(o.lasts), left(o, runs).map(told));
    let [long, cut] = match endless(runs) {
        true => [ENDLESS.into(), spoken(o.cut.value)],
        false => apart(runs.value, o.cut.value),
    };
    let mut rest = vec![];
    // Less oxygen than they should have: beside a battery that lasts it is what there is to say.
    let low = o.down.filter(|c| *c < o.floor).map(|c| words.q(CONCENTRATION, c));
    let mut first = match left {
        _ if too_weak(o, runs) => match o.lasts.0 < o.cut {
            true => format!("the battery pump is too weak, and with it the oxygen is critical in {lasts}"),
            false => format!("the oxygen lasts {lasts} with the battery pump, and {cut} are wanted"),
        },
        left if runs >= o.cut => {
            match left {
                Some(left) => rest.push(format!("When it is empty the oxygen is critical {left} later.")),
                None if endless(runs) => {}
                None => rest.push("When it is empty the still water keeps them.".into()),
            }
            format!("the battery runs the air pump for {long}, and {cut} are wanted")
        }
        Some(left) => {
            format!(
                "the battery runs the air pump for {long} of the {cut} wanted, and {left} later the oxygen is critical"
            )
        }
        None => {
            format!("the battery runs the air pump for {long} of the {cut} wanted, and then the still water keeps them")
        }
    };
    if let Some(low) = low {
        let floor = words.q(CONCENTRATION, o.floor);
        if level_of(o).state() == State::Enough {
            first += &format!(", but the oxygen is at {low}");
            rest.insert(0, format!("They should have {floor}."));
        } else {
            rest.insert(0, format!("With the pump the oxygen is at {low}, and they should have {floor}."));
        }
    }
    if already(o) {
        return (first, rest);
    }
    rest.push(match (o.caution, o.critical) {
        ((low, _), (critical, _)) if endless(low) && endless(critical) => {
            "Even without it the oxygen does not run out.".into()
        }
        (low, (critical, _)) if endless(critical) => {
            format!("Without it the oxygen is low {}, and not critical.", in_time(low))
        }
        (low, critical) => format!(
            "Switch it on at once: without it the oxygen is low {}, and critical in {}.",
            in_time(low),
            told(critical)
        ),
    });
    (first, rest)
}

fn in_time(t: (Time, Time)) -> String {
    if t.0.value <= 0.0 { "already".into() } else { format!("in {}", told(t)) }
}

/// The oxygen with nothing running.
fn bare(i: &OutageIn, o: &OutageOut) -> String {
    let none = match i.battery.yes() {
        true if i.air.value <= 0.0 => "The battery pump delivers no air, so it counts as none. ",
        true => "The battery is as good as empty, so it counts as none. ",
        false => "",
    };
    let low = match o.caution.0.value <= 0.0 {
        true => "the oxygen is low already".into(),
        false => format!("{} until the oxygen is low", told(o.caution)),
    };
    let said = match (endless(o.caution.0), endless(o.critical.0)) {
        (true, true) => "Without pump and air the still water keeps them: the oxygen does not run out.".into(),
        (_, true) => format!("Without pump and air: {low}, and it does not get critical."),
        _ => format!("Without pump and air: {low}, {} until it is critical.", told(o.critical)),
    };
    none.to_string() + &said
}

/// With a battery that runs a pump what that does comes first, without one how long the water alone lasts.
pub(super) fn verdict(i: &OutageIn, o: &OutageOut, words: Words) -> String {
    let (state, why) = bridged(i, o);
    let head = match state {
        State::Over => "The cut is not bridged",
        State::Tight => "The cut is just bridged",
        State::Enough => "The cut is bridged",
    };
    let warmth = o.warmth().filter(|w| w.0.state() == State::Over).map(|w| w.1);
    let how = if o.cold.is_some() { "cold" } else { "hot" };
    let dies = warmth.map(|t| match t.value > 0.0 {
        true => format!("it gets so {how} that they die in {}", words.time(t)),
        false => format!("the water is as {how} already as they bear"),
    });
    // What kills first is said first.
    let before = warmth.is_some_and(|t| t < o.lasts.0);
    let mut all: Vec<String> = o.deadly.map(|d| d.first(words)).into_iter().collect();
    let critical = already(o);
    if critical {
        all.push("The oxygen is critical already: give them air now.".into());
    }
    // Of a battery that does not bring it back how long it runs is no matter.
    let pump = pumped(i, o).filter(|_| !critical || o.lasts.0.value > 0.0).map(|runs| with_pump(o, runs, words));
    let mut why = why.filter(|_| o.deadly.is_none());
    if let (Some(dies), true, None) = (&dies, before, o.deadly) {
        all.push(format!("{head}: {dies}."));
    } else if let (None, Some(_), Some(_)) = (&o.deadly, &pump, &why) {
        all.extend(why.take().map(|why| format!("{head}: {why}.")));
    }
    let led = o.deadly.is_some() || all.last().is_some_and(|s| s.starts_with(head));
    match pump {
        Some((first, rest)) => {
            all.push(if led { sentence(&first) + "." } else { format!("{head}: {first}.") });
            all.extend(rest);
        }
        None if critical && pumped(i, o).is_some() => {
            all.push("The battery pump alone does not bring it back in time.".into());
        }
        None if critical => {}
        None => all.push(bare(i, o)),
    }
    if o.deadly.is_none() && all.iter().all(|s| !s.starts_with(head)) {
        all.push(match (&dies, why) {
            (Some(dies), _) => format!("{head}, and {dies}."),
            (None, Some(why)) => format!("{head}: {why}."),
            (None, None) => format!("{head}."),
        });
    } else if let (Some(dies), false, None) = (dies, before, o.deadly) {
        all.push(format!("Besides, {dies}."));
    }
    if o.ice.is_some() {
        all.push(
            "The surface may freeze over and then brings in no air: keep a hole open, and air in the water.".into(),
        );
    }
    all.join(" ")
}

/// A repair by so much air, with what is said of it where that is a storm.
pub(crate) fn stormy(mut r: Repair, air: VolumeRate, water: Volume, words: Words) -> Repair {
    let said: Vec<_> = r.also.take().into_iter().chain(storm(air, water, words)).collect();
    r.also = (!said.is_empty()).then(|| said.join(" "));
    r
}

/// Fewer fish than this share of them, or no more than one, is a repair only where nothing else is.
pub(crate) const FEWEST: f64 = 0.2;

/// The repairs without those that leave hardly any of the fish, where another does the same. `fish` are so many now, and `one` of them.
pub(crate) fn sparing(mut all: Vec<Repair>, fish: f64, one: f64) -> Vec<Repair> {
    let hardly = |r: &Repair| {
        let left = r.edits.iter().find(|e| matches!(&*e.path, "fish" | "count")).map(|e| &e.to);
        matches!(left, Some(EditValue::Si(x)) if *x < (fish * FEWEST).max(one * 2.0) - 1e-9)
    };
    let good: Vec<_> =
        all.iter().filter(|r| r.level.state() != State::Over && !hardly(r)).map(|r| r.level.id.clone()).collect();
    all.retain(|r| !hardly(r) || !good.contains(&r.level.id));
    all
}

/// What their ammonia asks for: each is said once.
fn repairs(i: &OutageIn, o: &OutageOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = of_oxygen(i, o, before, words);
    // Where they die before, ammonia is no matter yet.
    let sooner = before.iter().any(|l| l.id != "unionised" && l.state() == State::Over);
    let told = |all: Vec<Repair>| {
        let (fish, one) = if i.by == Known::Weight { (i.fish.value, i.mass.value) } else { (i.count.value, 1.0) };
        sparing(all.into_iter().filter_map(brings).collect(), fish, one)
    };
    if o.deadly.is_some() || sooner || foul_of(o).state() == State::Enough {
        return told(all);
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
    let least = shortest(i);
    if let Some(x) = mend::just_enough::<Outage>(i, foul, shorter, i.cut.value, least) {
        let x = by_then(x, least);
        put(format!("{BE_THERE}, with power or clean water, within {}", finely(x)), shorter(x));
    }
    told(all)
}

/// The shortest cut that is asked about, s.
fn shortest(i: &OutageIn) -> f64 {
    mend::ends::<Outage>(i, "cut")[0]
}

const BE_THERE: &str = "Be there";

/// A time that is told as it is set: three minutes or a multiple of them, of half an hour from two hours on, of an hour from ten.
fn by_then(seconds: f64, least: f64) -> f64 {
    let step = match seconds {
        t if t < hours(2.0) => 3.0,
        t if t < hours(10.0) => 30.0,
        _ => 60.0,
    };
    let step = minutes(step);
    ((seconds / step + 1e-9).floor() * step).max(least)
}

/// No pump that delivers air draws less, W, whatever one that was noted draws (judgement).
const LEAST_DRAWN: f64 = 0.5;

/// What a repair brings, as one says it: a share of a time says little. To be there a little sooner and still too late is no repair.
fn brings(r: Repair) -> Option<Repair> {
    if r.level.state() == State::Over && r.title.starts_with(BE_THERE) {
        return None;
    }
    let what = match &*r.level.id {
        "time" => "Oxygen",
        "cold" => "Warm enough",
        "hot" => "Cool enough",
        _ => return Some(r),
    };
    let Brim::Upper(c) = r.level.brim else { return Some(r) };
    let [asked, least] = apart(r.level.demand.high, c.low);
    let [low, high] = [c.low, c.high].map(|t| HOURS.of(t));
    let lasts = match (endless(low), endless(high)) {
        (true, _) => ENDLESS.into(),
        (false, true) => format!("{least}, at best {ENDLESS}"),
        _ if spoken(c.low) == spoken(c.high) => least,
        _ => format!("{least}, at best {}", spoken(c.high)),
    };
    Some(Repair { effect: format!("{what} for {lasts}; {asked} wanted: {}", r.level.state().word()), ..r })
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
    let (now, key) = if weighed { (i.fish.value, "fish") } else { (i.count.value, "count") };
    let [least, _] = mend::ends::<Outage>(i, key);
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
    let warmth = before.iter().find(|l| matches!(&*l.id, "cold" | "hot"));
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
        let least = shortest(i);
        if warmth.fullness() > before[0].fullness()
            && let Some(x) = mend::just_enough::<Outage>(i, warmth_of, shorter, i.cut.value, least)
        {
            let x = by_then(x, least);
            let with = if cold { "warmth" } else { "something to cool it" };
            put(format!("{BE_THERE}, with {with}, within {}", finely(x)), shorter(x));
        }
    }
    let low = before.iter().any(|l| l.id == "held" && l.state() != State::Enough);
    if before[0].state() == State::Enough && !low {
        return all;
    }
    let mut put = |id: &str, title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Outage>(i, before, levels, id, title, edits, words.system));
    };
    let main = |o: &OutageOut| Some(level_of(o));
    let [stored, power, moved] = ["capacity", "power", "air"].map(|key| mend::ends::<Outage>(i, key));
    // A pump that is strong enough wants but a larger battery.
    if let Some(runs) = pumped(i, o).filter(|t| before[0].state() != State::Enough && !too_weak(o, *t)) {
        let more = |x: f64| vec![Edit::num("capacity", ENERGY.of(x))];
        if let Some(x) = mend::just_enough::<Outage>(i, main, more, i.capacity.value, stored[1]) {
            let x = mend::rounded(x, i.capacity.value, 10.0 * WH).min(stored[1]);
            let title = format!("A battery of {}", show_unit(ENERGY.0, x, "Wh", words.system));
            // What runs so much longer and is still empty too soon is no battery that one has.
            if x < stored[1] || runs >= i.cut {
                put("time", title, more(x));
            }
        }
    }
    // A battery pump with air to spare and the energy to run through: air in proportion, a tenth over; watts in proportion to the air.
    let air = |x: f64| {
        // A pump that delivers nothing says nothing of the watts that air takes.
        let usual = OutageIn::default();
        let like = if i.air.value > 0.0 { i } else { &usual };
        let watts = mend::within(like.power.value * x / like.air.value, [LEAST_DRAWN, power[1]]);
        let energy = watts * i.cut.value * 1.3 / i.usable.value;
        vec![
            Edit::pick("battery", "yes"),
            Edit::num("air", AIR_FLOW.of(x)),
            Edit::num("power", POWER.of(watts)),
            Edit::num("capacity", ENERGY.of(mend::within(energy, stored))),
        ]
    };
    let step = words.step(AIR_FLOW, l_min(5.0));
    let round = |x: f64| mend::rounded(x, 0.0, step).max(l_min(5.0)).min(moved[1]);
    let mut wanted = AIR_FLOW.of(o.air_needed.map_or(moved[1], |q| round(q.value * 1.1)));
    // Oxygen that is critical already must come up soon, and that takes more.
    if i.oxygen <= i.species.oxygen_critical()
        && let Some(x) = mend::just_enough::<Outage>(i, main, air, wanted.value, moved[1])
    {
        wanted = AIR_FLOW.of(round(x));
    }
    let edits = air(wanted.value);
    // One that is strong enough is not changed for another.
    let strong = pumped(i, o).is_some_and(|runs| !too_weak(o, runs)) && i.air >= wanted;
    if let Some(EditValue::Si(energy)) = edits.last().filter(|_| !strong).map(|e| e.to.clone()) {
        let title = format!(
            "A battery pump that delivers {} at the stone, on {}",
            words.q(AIR_FLOW, wanted),
            show_unit(ENERGY.0, energy, "Wh", words.system)
        );
        let id = if before[0].state() == State::Enough { "held" } else { "time" };
        let pump = mend::mend::<Outage>(i, before, levels, id, title, edits, words.system);
        all.extend(pump.map(|r| stormy(r, wanted, i.volume, words)));
    }
    if before[0].state() == State::Enough {
        return all;
    }
    let mut put = |title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Outage>(i, before, levels, "time", title, edits, words.system));
    };
    if let Some(x) = fewer_until(i, main) {
        put(fewer_said(i, x, words), fewer(i, x));
    }
    if i.last != LastMeal::Day {
        put(UNFED.into(), vec![Edit::pick("last", "day")]);
    }
    let shorter = |x: f64| vec![Edit::num("cut", HOURS.of(x))];
    let least = shortest(i);
    if let Some(x) = mend::just_enough::<Outage>(i, main, shorter, i.cut.value, least) {
        let x = by_then(x, least);
        put(format!("{BE_THERE}, with power or air, within {}", finely(x)), shorter(x));
    }
    all
}

/// Nobody is surely there so soon, s (judgement).
const SOON: f64 = minutes(30.0);

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
    if i.battery.yes() || level_of(o).state() != State::Enough {
        all.push(Caution::from(
            "A battery: a fuse at its pole, covers over both poles, well above the water. Lead gives off hydrogen as it charges, which explodes: moving air, no flame; lithium only on its own charger.",
            &src::BATTERY_SAFE,
        ));
    }
    if o.critical.0.value < SOON {
        all.push(Caution::from(
            "So many fish have minutes: growers keep an oxygen cylinder with fine diffusers, on a valve that opens by itself when the power fails. Oxygen feeds fire: no oil or grease on its fittings, no flame, the cylinder chained upright.",
            &src::OXYGEN_BACKUP,
        ));
    }
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
    if pumped(i, o).is_some() {
        if o.settles.is_none_or(|c| c < i.species.oxygen_critical()) {
            all.push(Caution::new("The battery pump does not hold them on its own: it only gives time."));
        }
        all.push(Caution::from(
            "An old or cold battery runs the pump for less: once, by day, let it run with a watch beside it.",
            &src::BATTERY,
        ));
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
        Some(q) if q.value > 0.0 => {
            let yours = match pumped(i, o) {
                Some(_) if i.air >= q => format!("; your pump delivers {}", words.q(AIR_FLOW, i.air)),
                Some(_) => format!("; your pump delivers {} only", words.q(AIR_FLOW, i.air)),
                None => String::new(),
            };
            all.push(format!(
                "{} of air at the stone would hold them at the {} that they should have{yours}.",
                words.q(AIR_FLOW, q),
                words.q(CONCENTRATION, o.floor)
            ));
        }
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

/// What to do in which order: what is due first stands first. No feed, air, water, fewer fish, then warmth (common practice): oxygen is lost in minutes, warmth
/// in hours.
pub(super) fn order(i: &OutageIn, o: &OutageOut, words: Words) -> Table {
    const GET_AIR: &str = "battery pump, an inverter on a car that stands outdoors, or pour water from a height with a bucket, again and again";
    let before = |t: Time| match t {
        t if t.value < minutes(1.0) => "At once".to_string(),
        t if endless(t) => "If it gets low".into(),
        t => format!("Within {}", words.time(t)),
    };
    let now = || "At once".to_string();
    let zero = HOURS.of(0.0);
    let pump = pumped(i, o);
    let mut rows: Vec<(Time, String, String)> =
        vec![(zero, now(), "Feed nothing, now and until a day after".to_string())];
    match pump {
        Some(runs) => {
            rows.insert(0, (zero, now(), "Battery air pump on; see that it bubbles".into()));
            if too_weak(o, runs) {
                let more = format!("More air, for this pump alone is too weak: a second {GET_AIR}");
                rows.push((o.caution.0, before(o.caution.0), more));
            } else if let Some(left) = left(o, runs).filter(|_| !endless(runs)) {
                let when = match runs < o.cut {
                    true => before(runs),
                    false => format!("If it lasts longer than {}", words.time(runs)),
                };
                let then = match left.0.value < minutes(1.0) {
                    true => "as soon as this one is empty the oxygen is critical".to_string(),
                    false => format!("{} after this one is empty the oxygen is critical", words.time(left.0)),
                };
                let what =
                    format!("A charged battery in its place, or an inverter on a car that stands outdoors: {then}");
                rows.push((runs, when, what));
            }
        }
        None => rows.push((o.caution.0, before(o.caution.0), format!("Air: a {GET_AIR}"))),
    }
    // Blankets only slow what is still to come.
    let blankets = "Cover the walls with blankets, then the water, leaving a gap for air";
    let cold = o.cold.filter(|t| t.value > 0.0).map(|t| cold_of(o, t).state() == State::Enough);
    let cool = "Shade the tank, hang wet cloths over its walls, and float bottles of ice in it";
    let hot = o.hot.map(|t| hot_of(o, t).state() == State::Enough);
    let what = if hot.is_some() { cool } else { blankets };
    if cold.or(hot) == Some(false) {
        // The air that is due soonest.
        let air = rows[1..].iter().map(|r| r.0.value).fold(0.0, f64::max).min(o.caution.0.value);
        rows.push((HOURS.of(air), "At once, after the air".into(), what.into()));
    }
    if let Some(t) = o.changed_every().filter(|_| o.deadly.is_none() && level_of(o).state() != State::Over) {
        let [is, borne] = [o.fouled.unionised, o.fouled.borne].map(|x| words.q(CONCENTRATION, x));
        rows.push((
            t,
            format!("Every {}", words.time(t)),
            format!("A third of the water changed for clean dechlorinated water, near in temperature and pH: no filter takes their ammonia, of which else {is} would be un-ionised by the end, and they bear {borne}"),
        ));
    }
    // Where it may freeze now it comes before what can wait.
    rows.extend(o.ice.map(|t| (t, before(t), "Keep a hole open in the ice; never break it by blows".into())));
    // With a pump that holds them there is time until its battery is empty, and maybe no need.
    let later = |t: Time| match pump {
        Some(runs) if runs >= o.cut && t >= o.cut && !endless(t) => {
            format!("If it lasts longer than {}", words.time(t))
        }
        _ => before(t),
    };
    rows.push((
        o.lasts.0,
        later(o.lasts.0),
        "The water pump, off a generator outdoors or an inverter, with its return falling from a height".into(),
    ));
    let netted = match handling::is_too_cold(i.species, i.temperature) {
        true => "and only then take fish out to another aired tank: netted in such cold, many die in the days after",
        false => "take fish out to another aired tank",
    };
    rows.push((
        o.lasts.0,
        later(o.lasts.0),
        format!(
            "If nothing works: run in clean dechlorinated water, a tenth at a time, close in temperature; {netted}"
        ),
    ));
    if cold.or(hot) == Some(true) {
        rows.push((HOURS.of(hours(LONG)), "If it lasts longer".into(), what.into()));
    }
    rows.sort_by(|a, b| a.0.value.total_cmp(&b.0.value));
    let back = "Look at pump, siphons and levels; air on full; test ammonia and nitrite the next two days; feed nothing for a day, then a third";
    let rows = rows.into_iter().map(|(_, when, what)| vec![when, what]);
    Table {
        title: "In this order".into(),
        head: vec!["When".into(), "What".into()],
        rows: rows.chain([vec!["When it is back".into(), back.into()]]).collect(),
    }
}

/// Up to here the picture goes: to where what they have ends and the power is back, where the one is not many times the other.
fn shown(o: &OutageOut) -> Time {
    let (lasts, cut) = (o.lasts.0.value, o.cut.value);
    let span = match lasts >= cut {
        true if lasts <= 3.0 * cut => lasts * 1.15,
        true => cut * 1.5,
        false if cut <= 5.0 * lasts => cut * 1.1,
        false => lasts * 3.0,
    };
    HOURS.of(span.clamp(minutes(20.0), hours(LONG)))
}

fn picture(i: &OutageIn, o: &OutageOut, words: Words) -> Picture {
    let span = shown(o);
    let pump = pumped(i, o);
    let curve = |name: &str, course: Course, role| {
        // Also where the pump stops: there it bends.
        let mut times: Vec<f64> = (0..=60).map(|n| span.value * f64::from(n) / 60.0).collect();
        times.extend(pump.map(|t| t.value).filter(|t| *t < span.value));
        times.sort_by(f64::total_cmp);
        let mut points: Vec<_> =
            times.into_iter().map(|t| (t, course.after(i.volume, o.from, HOURS.of(t)).value)).collect();
        // Along the bottom there is nothing to see.
        let end = points.iter().position(|p| p.1 <= 0.0).map_or(points.len(), |n| n + 1);
        points.truncate(end);
        Series { name: name.into(), role, points }
    };
    let worst = |pump| Course::of(&o.waters, false, pump, o.freezes);
    let best = Course::of(&o.waters, true, None, None);
    let mut series = vec![
        curve("nothing running, at worst", worst(None), Role::Spill),
        curve("nothing running, at best", best, Role::Guide),
    ];
    let critical = i.species.oxygen_critical();
    // What a curve is stands on it too: no colour alone tells.
    let mut marks = vec![];
    let mut mark = |name: &str, t: Time, c: MassConcentration| {
        if t.value > 0.0 && t <= span {
            let when = if t.value < days(2.0) { words.time(t) } else { finely(t.value) };
            marks.push(Mark { label: format!("{name}: {when}"), x: t.value, y: c.value });
        }
    };
    match pump {
        Some(runs) => {
            let course = worst(Some(runs));
            let empty = course.after(i.volume, o.from, runs);
            series.push(curve("with the battery pump, at worst", worst(Some(runs)), Role::Surface));
            mark("battery empty", runs, empty);
            mark("without it", o.critical.0, critical);
            // Right beside the empty battery it says nothing new.
            if (o.lasts.0 - runs).value.abs() > span.value * 0.1 && !endless(o.lasts.0) {
                mark("with it", o.lasts.0, critical);
            }
            if runs > span && o.lasts.0 > span {
                let t = span * RATIO.of(0.5);
                let y = course.after(i.volume, o.from, t).value;
                marks.push(Mark { label: "with the pump".into(), x: t.value, y });
            }
        }
        None => mark("at worst", o.critical.0, critical),
    }
    let mut bands = vec![];
    let end = o.cut.min(span);
    if o.lasts.0 < end {
        bands.push(Band { label: "too long".into(), from: o.lasts.0.value, to: end.value, warn: true });
    }
    if o.cut < span {
        bands.push(Band { label: "power is back".into(), from: o.cut.value, to: span.value, warn: false });
    }
    let top = series.iter().flat_map(|s| s.points.iter().map(|p| p.1)).fold(critical.value, f64::max);
    let [from, low] = [o.from, critical].map(|c| words.q(CONCENTRATION, c));
    let with = match pump {
        Some(runs) if endless(runs) || endless(o.lasts.0) => {
            format!(" With the battery pump it lasts {}.", told(o.lasts))
        }
        Some(runs) => {
            format!(" With the battery pump, which runs for {}, it lasts {}.", words.time(runs), told(o.lasts))
        }
        None => String::new(),
    };
    let kind = match span.value {
        t if t <= hours(4.0) => MINUTES.0,
        t if t <= hours(96.0) => HOURS.0,
        _ => DAYS.0,
    };
    Picture::Chart(Chart {
        title: "Oxygen after pump and air stop".into(),
        describe: format!(
            "From {from} the oxygen falls to the critical {low} in {} with nothing running.{with} The power is back after {}.",
            told(o.critical),
            words.time(o.cut)
        ),
        x: Axis::new("time", kind, 0.0, span.value, words.system),
        y: Axis::new("oxygen", CONCENTRATION.0, 0.0, top * 1.25, words.system),
        series,
        marks,
        bands,
        brim: Some((critical.value, format!("critical, {low}"))),
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
