//! The words, repairs, pictures and tables of the feed calculator.

use super::*;

/// What is fed in a day, as a mass, for sentences.
pub(crate) fn in_a_day(feed: MassRate, w: Words) -> String {
    let mass = a_day(feed);
    if small(mass, w) { w.q(SMALL_MASS, mass) } else { w.q(MASS, mass) }
}

fn a_day(feed: MassRate) -> Mass {
    MASS.of(feed.value * days(1.0))
}

/// Is this mass of feed said in grams or ounces?
fn small(mass: Mass, w: Words) -> bool {
    mass.value < if w.system == System::Us { w.one(MASS) } else { 2.0 }
}

/// Masses a day, in one unit.
pub(crate) fn range_in_a_day((low, high): (MassRate, MassRate), w: Words) -> String {
    let (low, high) = (a_day(low), a_day(high));
    if small(high, w) { w.range(SMALL_MASS, low, high) } else { w.range(MASS, low, high) }
}

fn verdict(i: &FeedIn, o: &FeedOut, w: Words) -> String {
    let s = o.species;
    let t = w.q(TEMPERATURE, i.temperature);
    // What harms them today stands before what only keeps them from eating.
    let bad = badly(s, o.readings.as_ref(), w);
    let warmth = match o.appetite {
        Appetite::TooCold => Some(("above", s.stops_below(), "what they eat rots in them and in the water")),
        Appetite::TooHot => Some((
            "below",
            s.stops_above(),
            "a meal takes oxygen for hours, and so near to what kills them there is none to spare",
        )),
        _ => None,
    };
    if let Some((side, limit, why)) = warmth {
        let limit = w.q(TEMPERATURE, limit);
        let rest =
            if o.rests() { " They rest for the winter: leave them in peace, and keep a hole in any ice." } else { "" };
        return format!(
            "{} The water is {t}, and {} are fed only {side} {limit}: {why}.{rest}",
            bad.unwrap_or_else(|| "Do not feed.".into()),
            s.noun
        );
    }
    if o.stopped() {
        return bad.or_else(|| sour(o, w)).unwrap_or_else(|| "Do not feed today.".into());
    }
    let meals = if o.meals.value <= 1.0 {
        "in one meal".to_string()
    } else {
        // In the unit of the day.
        let meal = if small(a_day(o.feed), w) { w.q(SMALL_MASS, o.meal) } else { w.q(MASS, o.meal) };
        format!("in {} meals of {meal}", w.n(COUNT, o.meals))
    };
    let each = if o.meals.value <= 1.0 { "" } else { " each" };
    // Nobody fills hundredths of a scoop.
    let tenths = (o.scoops.value * 10.0).round() / 10.0;
    let scoops = match o.scoops.value {
        x if x < 0.1 => format!(", less than a tenth of a scoop{each}"),
        _ if tenths < 1.0 => format!(", {} of a scoop{each}", w.plain(tenths)),
        _ if tenths == 1.0 => format!(", 1 scoop{each}"),
        x => format!(", {} scoops{each}", w.plain(significant(x, 2))),
    };
    let mut text = format!("Feed {} today, {meals}{scoops}.", in_a_day(o.feed, w));
    if o.cut != Cut::None {
        text += &format!(" That is {} of the ration, because of the {}.", w.q(PERCENT, o.share), o.cut.word());
    } else if o.appetite == Appetite::Warm {
        // The ration counts the warmth already.
        text += " The water is rather warm: no more than that.";
    } else if o.appetite == Appetite::Cool {
        text += &format!(" The water is {}.", o.appetite.words());
    }
    text
}

/// That nothing is fed for the readings, and what is to be done first.
fn badly(s: &Species, read: Option<&Readings>, w: Words) -> Option<String> {
    let mut past = past_bearing(s, read);
    let all = past.len();
    past.retain(|x| *x != Cut::Oxygen.word());
    let (is, that) = if past.len() > 1 { ("are", "these") } else { ("is", "that") };
    let past = match past.is_empty() {
        true => format!(" until it reads {}.", w.q(CONCENTRATION, s.oxygen_floor())),
        false => {
            format!(" today: {} {is} past what {} bear. Put {that} right first.", crate::units::listed(&past), s.noun)
        }
    };
    let air = format!("Give air now: {} want more oxygen than this. ", s.noun);
    let short = read.is_some_and(|r| r.oxygen < s.oxygen_floor());
    (all > 0).then(|| format!("{}Do not feed{past}", if short { &air } else { "" }))
}

/// That nothing is fed in water so acid that nothing takes what fish give off.
fn sour(o: &FeedOut, w: Words) -> Option<String> {
    let ph = o.readings.filter(|_| o.cut == Cut::Acid)?.ph;
    let [ph, whole] = [ph.value, ammonia::ACID[0].value].map(|x| w.plain(x));
    Some(format!(
        "Do not feed today: at pH {ph} the filter hardly works, and what they would give off stays in the water. Bring the pH to {whole} first."
    ))
}

/// The readings that alone stop the feed.
fn past_bearing(s: &Species, read: Option<&Readings>) -> Vec<&'static str> {
    let Some(r) = read else { return vec![] };
    let mut all: Vec<_> = feeding::by_reading(s, r).into_iter().filter(|x| x.0 <= 0.0).map(|x| x.1.word()).collect();
    all.dedup();
    all
}

/// What brings readings down or up that are past their limits.
fn of_readings(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<Repair> {
    let Some(r) = o.readings else { return vec![] };
    let (s, before) = (o.species, levels(o));
    let worst = |ids: &[&str]| {
        let over = before.iter().filter(|l| ids.contains(&l.id.as_ref()) && l.state() == State::Over);
        over.max_by(|a, b| a.fullness().total_cmp(&b.fullness())).map(|l| l.id.to_string())
    };
    let mend = |id: String, title: String, edits: Vec<Edit>| {
        mend::mend::<Feed>(i, &before, |_, o| levels(o), &id, title, edits, w.system)
    };
    let air = worst(&["oxygen"]).and_then(|id| {
        let to = CONCENTRATION.of(round_up(s.oxygen_floor().value / ENOUGH, w.one(CONCENTRATION)));
        let title = format!("More air, until it reads {}", w.q(CONCENTRATION, to));
        mend(id, title, vec![Edit::num("oxygen", to)])
    });
    let water = worst(&["ammonia", "unionised", "nitrite"]).and_then(|id| {
        let limits = [s.unionised_limit(), s.tan_limit(), treatment::nitrite_borne(s, i.chloride)];
        let share = to_change([r.unionised, r.tan, r.nitrite], limits);
        // How much water there is nobody asks here.
        let Renewal { change, left, .. } = renewal(share, VOLUME.of(0.0), false, w);
        let title = format!("{change} first: see the page on ammonia");
        let left = |key: &str, x: MassConcentration| Edit::num(key, x * left);
        mend(id, title, vec![left("tan", r.tan), left("nitrite", r.nitrite)])
    });
    let acid = (r.ph.value < ammonia::ACID[0].value && o.deadly().is_none()).then(|| {
        let [to, step] = [ammonia::ACID[0].value, PH_STEP.value].map(|x| w.plain(x));
        let title =
            format!("Bring the pH to {to}, in steps of {step} a day, ammonia down first: see the page on ammonia");
        mend("ph".into(), title, vec![Edit::num("ph", RATIO.of(ammonia::ACID[0].value))])
    });
    air.into_iter().chain(water).chain(acid.flatten()).collect()
}

pub(super) fn repairs(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<Repair> {
    let mut all = of_readings(i, o, w);
    let (to, also) = match o.appetite {
        // Woken in winter they waste away.
        Appetite::TooCold if o.rests() => return all,
        Appetite::TooCold => (o.species.well_from(), "Warm slowly, and count what the heater costs."),
        Appetite::TooHot => (o.species.well_to(), "Shade, night air and new water cool; warm water holds less oxygen."),
        _ => return all,
    };
    let changed = FeedIn { temperature: to, ..i.clone() };
    let Ok(after) = sheet::solve::<Feed>(&changed, &mut Working::none()) else { return all };
    // Warmer water makes more of the same ammonia poisonous.
    let poisoned =
        after.unionised > o.unionised && after.unionised.is_some_and(|u| u > after.species.unionised_limit());
    let first = if poisoned {
        "Change water first: in water that warm, more ammonia is poisonous than they can take. "
    } else {
        ""
    };
    let effect = if after.stopped() {
        format!("Even then nothing may be fed, because of the {}.", after.cut.word())
    } else {
        format!("{} may then be fed a day.", in_a_day(after.feed, w))
    };
    // What stops the feed by itself comes before the warmth.
    let place = if past_bearing(o.species, o.readings.as_ref()).is_empty() { 0 } else { all.len() };
    all.insert(
        place,
        Repair {
            title: format!("Water at {}", w.q(TEMPERATURE, to)),
            effect,
            edits: vec![Edit::num("temperature", to)],
            then: after.warmth().state(),
            level: after.warmth(),
            also: Some(format!("{first}{also}")),
        },
    );
    all
}

pub(super) fn cautions(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<Caution> {
    let s = o.species;
    let (ends, t) = (season(i).ends(), i.temperature);
    let mut all = vec![];
    if t < s.dies_below() || t > s.dies_above() {
        all.push(Caution::from(
            format!(
                "At {} {} die: they live from {} to {}.",
                w.q(TEMPERATURE, t),
                s.noun,
                w.q(TEMPERATURE, s.dies_below()),
                w.q(TEMPERATURE, s.dies_above())
            ),
            if t < s.dies_below() { s.warmth.dies_below.source } else { s.warmth.dies_above.source },
        ));
    } else if i.swing.value > 0.0 && (ends.1 < s.dies_below() || ends.0 > s.dies_above()) {
        all.push(Caution::from(
            format!(
                "Through the year the water goes from {} to {}; {} begin to die below {} and above {}.",
                w.q(TEMPERATURE, ends.1),
                w.q(TEMPERATURE, ends.0),
                s.noun,
                w.q(TEMPERATURE, s.dies_below()),
                w.q(TEMPERATURE, s.dies_above())
            ),
            s.warmth.dies_below.source,
        ));
    }
    all.extend(crate::calculators::deadly::failing(s, t, w));
    all.extend(crate::calculators::handling::too_cold(s, t, w));
    if let Some(r) = o.readings
        && r.nitrite > treatment::nitrite_borne(s, r.chloride)
    {
        all.push(Caution::from(
            format!(
                "Nitrite is kept out of fish by chloride: at least {} as much for {}. Salt harms plants; work it out before adding any.",
                times(s),
                s.noun
            ),
            s.tolerance.chloride.source,
        ));
    }
    all.push(Caution::new(
        "Oxygen falls for hours after a meal. Feed only with the air on and time left to watch; never just before leaving.",
    ));
    all.push(Caution::from(
        "Keep feed dry, cool and dark, use it within about three months, and throw away what is damp, mouldy or rancid.",
        &src::FEED_PRACTICE,
    ));
    all.push(Caution::from(s.permit, &src::SPECIES_PERMITS));
    all
}

/// A ration that takes hardly longer than the soonest is not spoken of.
const NEARLY_AS_SOON: f64 = 0.97;

/// The feed in bags, in brackets, with how large these are.
fn bags(i: &FeedIn, o: &FeedOut, w: Words) -> String {
    let bags = match (o.bags.0.value.ceil(), o.bags.1.value.ceil()) {
        (_, most) if most <= 1.0 => "1 bag".to_string(),
        (least, most) => format!("{} bags", w.range(COUNT, COUNT.of(least), COUNT.of(most))),
    };
    format!(" ({bags} of {})", w.q(MASS, i.bag))
}

pub(super) fn notes(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<String> {
    let s = o.species;
    let mut all = vec![format!(
        "Give a meal in small handfuls and stop when they slow. Feed still lying there after a quarter of an hour is too much: give less next time. \
         {} eat well from {} to {}.",
        s.label,
        w.q(TEMPERATURE, s.well_from()),
        w.q(TEMPERATURE, s.well_to())
    )];
    let meal = tables::meal(i.mass.value / g(1.0));
    all.push(match o.pellet {
        Some(p) => format!("At this size: {} of {}.", meal.name, pellet(p, w)),
        None => format!("At this size: {}.", meal.name),
    });
    all.push(match (o.time.0, o.time.1) {
        _ if i.target <= i.mass => "They are at the target already.".into(),
        (Some(a), Some(b)) => format!(
            "{} is reached in {}, with {} of feed{}, if none die.",
            w.mass(SMALL_MASS, i.target),
            w.range(DAYS, whole_days(a), whole_days(b)),
            w.range(MASS, o.until.0, o.until.1),
            bags(i, o, w)
        ),
        _ => format!(
            "At this temperature {} is not reached within four years in ordinary keeping.",
            w.mass(SMALL_MASS, i.target)
        ),
    });
    if let (Some(a), Some(b), Some(_)) = (o.time.0, o.on_ration, o.time.1)
        && a.value < b.value * NEARLY_AS_SOON
    {
        all.push(format!(
            "The soonest is for well-kept fish fed to their fill, above this ration; on the ration alone they take {}.",
            w.q(DAYS, whole_days(b))
        ));
    }
    if let Some(keep) = feeding::maintenance(s, i.mass, i.temperature)
        && !o.appetite.stops()
    {
        let feed = feeding::feed(keep, i.count, i.mass);
        all.push(format!("{} a day only holds their weight.", in_a_day(feed, w)));
        if o.feed < feed {
            all.push("On less than that they do not grow.".into());
        }
    }
    if matches!(s.id, "tilapia" | "blue_tilapia") {
        let mass = |grams: f64| w.mass(SMALL_MASS, SMALL_MASS.of(SMALL_MASS.0.rounded(g(grams), 2, w.system)));
        all.push(format!(
            "The table is cautious for fish over {}: fed to their fill in warm, well aerated tanks, tilapia have grown from {} to {} in 24 weeks.",
            mass(250.0),
            mass(50.0),
            mass(900.0)
        ));
    }
    all.extend(plants_kept(o, w));
    all
}

/// A pellet's size: where inches are read, pellets are sold by thirty-seconds and what they reduce to.
fn pellet(size: Length, w: Words) -> String {
    if w.system == System::Metric {
        return w.q(SHORT_LENGTH, size);
    }
    let (mut top, mut low) = ((size.value / inches(1.0) * 32.0).round().max(1.0) as u32, 32);
    while top.is_multiple_of(2) && low > 1 {
        (top, low) = (top / 2, low / 2);
    }
    if low == 1 { format!("{top}{THIN}in") } else { format!("{top}/{low}{THIN}in") }
}

/// A time in whole days: nobody knows it better.
fn whole_days(t: Time) -> Time {
    DAYS.of(days((t.value / days(1.0)).round()))
}

/// The plants that today's feed keeps, as a bridge to the bed.
fn plants_kept(o: &FeedOut, w: Words) -> Option<String> {
    let (low, high) = METHODS.first()?.ratio(Hunger::Leafy);
    let text = || {
        let (least, most) = (plants::area(o.feed, high), plants::area(o.feed, low));
        format!(
            "This feed keeps {} of leafy plants in media beds, with feed of 32 % protein.",
            w.range(AREA, least, most)
        )
    };
    (!o.stopped()).then(text)
}

fn by_temperature(i: &FeedIn, w: Words) -> Table {
    let s = i.species;
    let (low, high) = (s.warmth.stops_below.value.floor(), s.warmth.stops_above.value.ceil());
    let step = if high - low > 20.0 { 3.0 } else { 2.0 };
    let first = (low / step).floor() * step;
    let rows = (0..=11).map(|n| first + step * f64::from(n)).filter(|c| *c <= high + step && *c >= 0.0).map(|c| {
        let t = TEMPERATURE.of(celsius(c));
        let r = feeding::ration(s, i.mass, t);
        vec![
            w.q(TEMPERATURE, t),
            w.q(FEED_RATE, feeding::feed(r, i.count, i.mass)),
            w.q(DAILY_SHARE, r),
            appetite(s, i.mass, t).words().to_string(),
        ]
    });
    Table {
        title: "At this size, by temperature".into(),
        head: ["Water", "Feed", "Of body mass", ""].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn as_they_grow(i: &FeedIn, w: Words) -> Table {
    let s = i.species;
    let season = season(i);
    let middle = RATIO.of((s.fcr().0.value + s.fcr().1.value) / 2.0);
    let course = growth::course(s, i.mass, i.target, &season, Pace::Fed(middle), growth::horizon());
    let most = 8;
    let every = course.len().div_ceil(most).max(1);
    let last = course.len().saturating_sub(1);
    let rows = course.iter().enumerate().filter(|(n, _)| n % every == 0 || *n == last).map(|(_, (time, mass))| {
        let r = feeding::ration(s, *mass, season.at(*time));
        let m = tables::meal(mass.value / g(1.0));
        vec![
            w.q(DAYS, whole_days(*time)),
            w.q(SMALL_MASS, *mass),
            w.q(FEED_RATE, feeding::feed(r, i.count, *mass)),
            m.pellet.map_or(m.name.to_string(), |p| pellet(SHORT_LENGTH.of(mm(p)), w)),
        ]
    });
    Table {
        title: "As they grow (middle course)".into(),
        head: ["After", "Mean mass", "Feed a day", "Pellet"].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn when_to_stop(i: &FeedIn, w: Words) -> Table {
    let s = i.species;
    let (nitrite, limit) = if i.readings.yes() {
        ("Nitrite nitrogen, with this chloride", treatment::nitrite_borne(s, i.chloride))
    } else {
        ("Nitrite nitrogen, with chloride enough", s.nitrite_limit())
    };
    // At the very end of the range the ration is nil with some.
    let stop = |t: ThermodynamicTemperature, past: &str, from: &str| {
        let word = if appetite(s, i.mass, t).stops() { from } else { past };
        format!("{word} {}", w.q(TEMPERATURE, t))
    };
    let c = |x: MassConcentration| w.q(CONCENTRATION, x);
    let twice = |x: MassConcentration| c(x * 2.0);
    // With chloride enough fish bear more of it for a while.
    let (less, none) = match limit < s.nitrite_limit() {
        true => (String::new(), format!("above {}", c(limit))),
        false => (
            format!("above {}", c(limit)),
            format!("above {}, or where chloride is not {} the nitrite", twice(limit), times(s)),
        ),
    };
    let row = |what: &str, cut: String, stop: String| vec![what.to_string(), cut, stop];
    Table {
        title: "When to feed less, and when not at all".into(),
        head: ["Reading", "Feed less", "Do not feed"].map(String::from).to_vec(),
        rows: vec![
            row(
                "Water, cold",
                format!("below {}", w.q(TEMPERATURE, s.well_from())),
                stop(s.stops_below(), "below", "up to"),
            ),
            row(
                "Water, warm",
                format!("above {}, by the table", w.q(TEMPERATURE, s.well_to())),
                stop(s.stops_above(), "above", "from"),
            ),
            row("Oxygen", String::new(), format!("below {}", c(s.oxygen_floor()))),
            row(
                "Total ammonia nitrogen",
                format!("above {}", c(s.tan_limit())),
                format!("above {}", twice(s.tan_limit())),
            ),
            row("Un-ionised ammonia nitrogen", String::new(), format!("above {}", c(s.unionised_limit()))),
            row(nitrite, less, none),
            row(
                "pH",
                String::new(),
                format!("below {}, above {}", w.plain(PH_BORNE[0].value), w.plain(PH_BORNE[1].value)),
            ),
            row("Fish", "leave feed, hang at the surface or the inlet".into(), "gasp, flash, or one has died".into()),
        ],
    }
}

fn chart(i: &FeedIn, o: &FeedOut, w: Words) -> Picture {
    let s = o.species;
    let season = season(i);
    let longest =
        o.time.1.or(o.time.0).map_or(days(365.0), |t| t.value * 1.02).clamp(days(30.0), growth::horizon().value);
    let until = DAYS.of(longest);
    let course = |pace| {
        let points: Vec<_> = growth::course(s, i.mass, i.target, &season, pace, until)
            .into_iter()
            .map(|(t, m)| (t.value, m.value))
            .collect();
        points
    };
    let curve = |name: &str, role, points| Series { name: name.into(), role, points };
    let top = i.target.value.max(i.mass.value) * 1.08;
    // Stretches of the year in which the water stops the feed.
    let n = 120;
    let mut bands: Vec<Band> = vec![];
    let mut open: Option<(f64, &str)> = None;
    for k in 0..=n {
        let t = longest * f64::from(k) / f64::from(n);
        let now = match feeding::appetite(s, season.at(DAYS.of(t))) {
            Appetite::TooCold => Some("too cold to feed"),
            Appetite::TooHot => Some("too hot to feed"),
            _ => None,
        };
        if let Some((from, label)) = open
            && (now != Some(label) || k == n)
        {
            bands.push(Band { label: label.into(), from, to: t, warn: true });
            open = None;
        }
        if open.is_none() {
            open = now.map(|label| (t, label));
        }
    }
    let days_words = |t: Option<Time>| t.map_or("more than four years".to_string(), |t| w.q(DAYS, whole_days(t)));
    Picture::Chart(Chart {
        title: "Mean mass of one fish".into(),
        describe: format!(
            "From {} the fish reach {} after {} at the soonest and after {} ordinarily kept.",
            w.q(SMALL_MASS, i.mass),
            w.q(SMALL_MASS, i.target),
            days_words(o.time.0),
            days_words(o.time.1)
        ),
        x: Axis::new("time", DAYS.0, 0.0, longest, w.system),
        y: Axis::new("mean mass", SMALL_MASS.0, 0.0, top, w.system),
        series: vec![
            curve("at the soonest", Role::Water, course(Pace::Soonest)),
            curve("ordinarily kept", Role::Guide, course(Pace::Fed(s.fcr().1))),
        ],
        marks: vec![Mark { label: "today".into(), x: 0.0, y: i.mass.value }],
        bands,
        brim: (i.target.value > i.mass.value)
            .then(|| (i.target.value, format!("target {}", w.q(SMALL_MASS, i.target)))),
    })
}

/// What a page shows of a result.
pub(super) fn report(i: &FeedIn, o: &FeedOut, words: Words) -> Report {
    Report {
        verdict: o.deadly().map_or(String::new(), |d| d.first(words) + " ") + &verdict(i, o, words),
        levels: levels(o),
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: vec![chart(i, o, words)],
        tables: vec![by_temperature(i, words), as_they_grow(i, words), when_to_stop(i, words)],
        notes: notes(i, o, words),
    }
}
