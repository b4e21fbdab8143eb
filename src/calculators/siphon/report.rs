//! The words, repairs, pictures and tables of the siphon calculator.

use super::*;

pub(super) fn verdict(i: &SiphonIn, o: &SiphonOut, w: Words) -> String {
    let q = |x| w.q(FLOW, x);
    let (starts, surely) = (o.starts_from, o.breaks.0);
    if starts >= surely {
        return format!(
            "Starts from {}, but is sure to break only up to {}: no inflow suits this pipe and drop.",
            q(starts),
            q(surely)
        );
    }
    let flow = format!("{} flows in.", q(o.inflow));
    if o.inflow < o.start.0 {
        format!("{flow} It starts from {}: the water will only trickle over the rim.", q(starts))
    } else if o.inflow < starts {
        format!("{flow} It is sure to start from {}: it may need a flared top or a trap to start.", q(starts))
    } else if o.spilt.value > 0.0 {
        let goes = if i.overflow.yes() { "or more leaves by the overflow" } else { "runs over the rim of the bed" };
        let most = q(o.inflow - o.spilt);
        format!("{flow} The siphon carries {most} at most: it can never break, and {} {goes}.", q(o.spilt))
    } else if o.inflow >= o.breaks.1 {
        format!("{flow} The siphon carries {} at its end: it can never break.", q(o.breaks.1))
    } else if o.inflow > surely {
        format!("{flow} It is sure to break up to {}: it may run on for ever.", q(surely))
    } else {
        let times = match (o.fill, o.drain) {
            (Some(a), Some(b)) => format!(" Fills in {}, drains in {}.", w.time(a), w.time(b)),
            _ => String::new(),
        };
        let (may, will) = if o.inflow < o.start.1 { ("may start", "may") } else { ("starts", "will") };
        format!("{flow} It {may} from {} and breaks up to {}: it {will} do both.{times}", q(starts), q(surely))
    }
}

/// What keeps it from doing so, whatever flows in.
fn hindered(i: &SiphonIn, o: &SiphonOut) -> String {
    let over: Vec<&str> = levels(i, o)
        .iter()
        .filter(|l| l.state() == State::Over)
        .filter_map(|l| match l.id.as_ref() {
            "ring" if o.bell.ring.value <= 0.0 => Some("the bell does not go over this standpipe"),
            "ring" => Some("the bell is too narrow for this standpipe"),
            "gap" => Some("the gap over the standpipe is too small"),
            "slots" => Some("the slots at the bell's foot are too small"),
            "bed_rim" if o.spilt.value > 0.0 => None,
            "bed_rim" if i.overflow.yes() => Some("the overflow takes the water before it starts"),
            "bed_rim" => Some("the bed spills over its rim before it starts"),
            _ => None,
        })
        .collect();
    // It adds to what is bad already.
    let but = if window(o).state() == State::Over { "And" } else { "But" };
    match over.split_last() {
        None => String::new(),
        Some((one, [])) => format!(" {but} {one}."),
        Some((last, more)) => format!(" {but} {}, and {last}.", more.join(", ")),
    }
}

fn notes(o: &SiphonOut, w: Words) -> Vec<String> {
    vec![
        format!(
            "No published formula for starting and breaking was found. It begins to start somewhere in {} and fails to break \
             somewhere in {}; the cautious ends count.",
            w.range(FLOW, o.start.0, o.start.1),
            w.range(FLOW, o.breaks.0, o.breaks.1),
        ),
        format!(
            "While it runs, {} leaves the bed. The pipe to the sump and the sump must take that, not the inflow. \
             The turn under the bell is not counted: it makes draining up to a quarter slower.",
            w.q(FLOW, o.bed.flow_high)
        ),
        "A thin breather tube from the top of the bell down to the level where it should break makes breaking surer."
            .into(),
    ]
}

pub(super) fn cautions(i: &SiphonIn, o: &SiphonOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    if !i.overflow.yes() {
        all.push(Caution::new(
            "A snail or a root blocks a siphon one day, and the bed then spills over its rim until the sump is dry. Give the bed an \
             overflow pipe above the flood level, led back to the sump, as wide as the standpipe.",
        ));
    } else {
        all.push(Caution::new(format!(
            "Block the siphon once, by hand, and see that the overflow takes all of {} below the rim of the bed.",
            w.q(FLOW, o.inflow)
        )));
    }
    if i.run < i.flood + i.drop {
        all.push(Caution::new(
            "The pipe is shorter than the height from the standpipe's rim to its outlet: count its whole length.",
        ));
    }
    if o.spilt.value > 0.0 {
        let over = format!(
            "More flows in than the siphon carries with the bed full to its rim: {} runs over it without end, and the sump runs dry.",
            w.q(FLOW, o.spilt)
        );
        all.extend((!i.overflow.yes()).then(|| Caution::new(over)));
    } else if o.highest >= i.rim {
        all.push(Caution::new(format!(
            "Before the siphon starts the water stands {} over the floor, and the rim of the bed only {}: {}.",
            w.q(SHORT_LENGTH, o.highest),
            w.q(SHORT_LENGTH, i.rim),
            if i.overflow.yes() { "the overflow takes it, and the siphon may never start" } else { "it spills" }
        )));
    }
    let flooded = water::density(i.temperature) * o.bed.area * i.flood;
    all.push(Caution::new(format!(
        "Water is heavy: flooded, this bed holds {} of it beside its medium. Check legs, floor and roof; ask someone licensed to judge.",
        w.q(MASS, flooded)
    )));
    all
}

/// Pipes of the catalogue beside which the chosen one stands.
fn alternatives(i: &SiphonIn) -> Vec<&'static Pipe> {
    PIPES.iter().filter(|p| piping::like(p, i.pipe)).collect()
}

fn with_pipe(i: &SiphonIn, p: &'static Pipe) -> SiphonIn {
    SiphonIn { pipe: p, ..i.clone() }
}

fn sizes(i: &SiphonIn, o: &SiphonOut, w: Words) -> Table {
    let head = [
        "Standpipe",
        "Starts from",
        "Breaks up to",
        "Bell, inside, at least",
        "Gap over the rim",
        "Slots",
        "With this inflow",
    ];
    let rows = alternatives(i).into_iter().map(|p| {
        let bore = piping::bore(p, i.bore);
        let outside = piping::outside(p, i.bore);
        let at = bed(&with_pipe(i, p), bore);
        let from = starts_from(siphon::start_flows(drain::self_venting_flow(bore)), i.aid);
        let (surely, never) = siphon::break_flows(at.flow_low);
        let gaps = siphon::gaps(bore);
        let slots = Bell::new(bore, bore, outside, bore, AREA.of(0.0)).slots_wanted();
        let says = if o.inflow < from {
            "may only trickle"
        } else if o.inflow >= never {
            "never breaks"
        } else if o.inflow > surely {
            "may not break"
        } else if o.inflow < siphon::start_flows(drain::self_venting_flow(bore)).1 {
            "may work"
        } else {
            "works"
        };
        vec![
            standpipe(p, w),
            w.q(FLOW, from),
            w.q(FLOW, surely),
            w.q(SHORT_LENGTH, siphon::least_bell(bore, outside)),
            w.range(SHORT_LENGTH, gaps.0, gaps.1),
            w.q(SMALL_AREA, slots),
            says.to_string(),
        ]
    });
    Table { title: "Sizes that would work".into(), head: head.map(str::to_string).to_vec(), rows: rows.collect() }
}

/// A pipe by its name, with its bore in the units that are read.
pub(super) fn standpipe(p: &Pipe, w: Words) -> String {
    match (w.system, p.bore()) {
        (System::Us, Some(bore)) => format!("{}, {} bore", p.short(), w.q(SHORT_LENGTH, bore)),
        _ => p.words(w.system),
    }
}

fn repairs(i: &SiphonIn, o: &SiphonOut, w: Words) -> Vec<Repair> {
    let mut found = vec![];
    let before = levels(i, o);
    let spills = |all: &[Level]| all.iter().any(|l| l.id == "bed_rim" && l.state() == State::Over);
    let spilt = spills(&before);
    let mut add = |id: &str, title: String, edits: Vec<Edit>| {
        let repair = mend::mend::<Siphon>(i, &before, levels, id, title, edits, w.system);
        // No advice to flood a bed that does not spill.
        let floods = |r: &Repair| {
            let then = mend::changed::<Siphon>(i, &r.edits).zip(mend::outcome::<Siphon>(i, &r.edits));
            !spilt && then.is_some_and(|(i, o)| spills(&levels(&i, &o)))
        };
        found.extend(repair.filter(|r| !floods(r)));
    };
    if window(o).state() != State::Enough {
        let (low, high) = (o.starts_from.value, o.breaks.0.value);
        if low < high {
            // A little more than a tenth inside the window at the nearer end: rounded, it is still enough.
            let inside = (high - low) / 9.0;
            let to = if o.inflow.value < low + inside { low + inside } else { high - inside };
            let to = FLOW.of(to);
            add("inflow", format!("{} into this bed", w.q(FLOW, to)), vec![Edit::num("inflow", to)]);
        }
        // The nearest standpipe that brings it inside, with the bell that suits it.
        let fits = |p: &&'static Pipe| {
            mend::outcome::<Siphon>(i, &[Edit::pick("pipe", p.id)]).is_some_and(|o| window(&o).state() == State::Enough)
        };
        let size = |p: &&'static Pipe| (piping::bore(p, i.bore) - o.bore).value.abs();
        let nearest = alternatives(i).into_iter().filter(fits).min_by(|a, b| size(a).total_cmp(&size(b)));
        if let Some(p) = nearest
            && let Some(after) = mend::outcome::<Siphon>(i, &[Edit::pick("pipe", p.id)])
        {
            let bell = bell_repairs(i, &after, w);
            let with = if bell.is_empty() {
                String::new()
            } else {
                let parts: Vec<_> = bell.iter().map(|(_, title, _)| title.as_str()).collect();
                format!(", with {}", parts.join(", "))
            };
            let mut edits = vec![Edit::pick("pipe", p.id)];
            edits.extend(bell.into_iter().map(|(_, _, edit)| edit));
            add("inflow", format!("{} as standpipe{with}", standpipe(p, w)), edits);
        }
        if i.aid == Aid::Plain && o.inflow < o.start.1 {
            add("inflow", "a flared top, or a water trap at the foot".into(), vec![Edit::pick("aid", "helped")]);
        }
        if o.inflow > o.breaks.0 {
            // The pipe grows by what the outlet goes deeper.
            let [[_, longest], [_, deepest]] = ["run", "drop"].map(|key| mend::ends::<Siphon>(i, key));
            let deepest = (i.drop.value + 2.0).min(deepest);
            let deep = |x: f64| {
                let run = i.run.value + (x - i.drop.value);
                vec![Edit::num("drop", LENGTH.of(x)), Edit::num("run", LENGTH.of(run.min(longest)))]
            };
            let deeper = mend::just_enough::<Siphon>(i, Siphon::level, deep, i.drop.value, deepest);
            // A pipe that goes as deep as it may and still never breaks mends nothing.
            if let Some(x) = deeper.filter(|x| *x < deepest) {
                let to = LENGTH.of(mend::rounded(x, i.drop.value, w.step(LENGTH, 0.05)).min(10.0));
                add(
                    "inflow",
                    format!("the outlet {} below the bed's floor, its pipe longer by that", w.q(LENGTH, to)),
                    deep(to.value),
                );
            }
        }
    }
    for (id, title, edit) in bell_repairs(i, o, w) {
        add(id, title, vec![edit]);
    }
    if o.spilt.value <= 0.0 && o.highest > o.rim * ENOUGH {
        let lower = mend::rounded((o.rim * ENOUGH - o.over_rim).value, i.flood.value, w.step(SHORT_LENGTH, mm(5.0)));
        if lower > i.low.value + mm(20.0) {
            let to = SHORT_LENGTH.of(lower);
            add("bed_rim", format!("a standpipe of {}", w.q(SHORT_LENGTH, to)), vec![Edit::num("flood", to)]);
        }
    }
    found
}

/// What a bell needs so that every way through it stands at 80 %: level, words, change.
fn bell_repairs(i: &SiphonIn, o: &SiphonOut, w: Words) -> Vec<(&'static str, String, Edit)> {
    let (b, mut all) = (&o.bell, vec![]);
    let roomy = |x: Area| x / ENOUGH;
    if b.ring < roomy(b.bore) {
        let wide = (roomy(b.bore) / std::f64::consts::FRAC_PI_4 + o.outside * o.outside).sqrt();
        let to = mend::upwards(SHORT_LENGTH, wide, mm(1.0), w).min(LENGTH.of(mend::ends::<Siphon>(i, "bell")[1]));
        all.push(("ring", format!("a bell of {} inside", w.q(SHORT_LENGTH, to)), Edit::num("bell", to)));
    }
    if b.gap < roomy(b.bore) {
        let to = mend::upwards(SHORT_LENGTH, siphon::gaps(o.bore).1, mm(1.0), w);
        all.push(("gap", format!("a gap of {} over the rim", w.q(SHORT_LENGTH, to)), Edit::num("gap", to)));
    }
    if b.slots < roomy(b.slots_wanted()) {
        let to = mend::slots(roomy(b.slots_wanted()), w);
        all.push(("slots", format!("slots of {} all together", w.q(SMALL_AREA, to)), Edit::num("slots", to)));
    }
    all
}

/// The level in the bed over its floor, in time, over two cycles.
fn two_cycles(i: &SiphonIn, o: &SiphonOut, w: Words) -> Chart {
    const POINTS: u32 = 24;
    let over_floor = |y: Length| (y - i.drop).value;
    let mut points = vec![];
    let mut t = 0.0;
    let fill = o.fill.map_or(HOUR, |t| t.value);
    for _ in 0..2 {
        points.push((t, i.low.value));
        t += fill;
        points.push((t, i.flood.value));
        let floor = match o.drain {
            Some(_) => o.bed.low,
            None => o.bed.held_at(o.inflow).min(o.bed.high),
        };
        for k in 1..=POINTS {
            let share = f64::from(k) / f64::from(POINTS);
            let y = o.bed.high - (o.bed.high - floor) * share;
            if let Some(dt) = o.bed.time_to(y, o.inflow).filter(|dt| dt.value <= 10.0 * fill) {
                points.push((t + dt.value, over_floor(y)));
            }
        }
        match o.drain {
            Some(dt) => t += dt.value,
            None => {
                // It runs on: the level stays where inflow and siphon meet.
                let last = points.last().map_or(t, |p| p.0);
                points.push((last + fill, over_floor(floor)));
                break;
            }
        }
    }
    let end = points.last().map_or(1.0, |p| p.0);
    let top = i.rim.value;
    let describe = match (o.fill, o.drain) {
        (Some(a), Some(b)) => format!(
            "The level rises from {} to {} over the floor in {} and falls again in {}, twice.",
            w.q(SHORT_LENGTH, i.low),
            w.q(SHORT_LENGTH, i.flood),
            w.time(a),
            w.time(b)
        ),
        _ => "The level rises to the standpipe's rim, falls, and stays where the siphon carries just what flows in."
            .into(),
    };
    Chart {
        title: "Level in the bed over two cycles".into(),
        describe,
        x: Axis::new("time", MINUTES.0, 0.0, end, w.system),
        y: Axis::new("water over the floor", SHORT_LENGTH.0, 0.0, top, w.system),
        series: vec![Series { name: "level".into(), role: Role::Water, points }],
        marks: vec![],
        bands: vec![],
        brim: Some((i.rim.value, "rim of the bed".into())),
    }
}

/// The bed in section, with the siphon.
fn section(i: &SiphonIn, o: &SiphonOut, w: Words) -> Section {
    let wall = 0.02;
    let (long, rim, drop) = (i.length.value, i.rim.value, i.drop.value);
    let (flood, low) = (i.flood.value, i.low.value);
    let base = drop + 0.05;
    let describe = format!(
        "The bed in section: it floods to {} over its floor and drains to {}; the outlet ends {} below the floor.",
        w.q(SHORT_LENGTH, i.flood),
        w.q(SHORT_LENGTH, i.low),
        w.q(LENGTH, i.drop)
    );
    let mut s = Section::new("The bed and its siphon", describe, long + 4.0 * wall + 0.5, base + rim + 0.1);
    let left = wall;
    let rect = |x: f64, y: f64, w: f64, h: f64| Shape::Rect { x, y, w: w.max(0.0), h: h.max(0.0) };
    s.add(Role::Media, rect(left, base, long, (flood + 0.04).min(rim)));
    s.add(Role::Water, rect(left, base, long, low));
    s.add(Role::Water, rect(left, base, long, flood));
    s.add(Role::Wall, rect(left - wall, base - wall, long + 2.0 * wall, wall));
    s.add(Role::Wall, rect(left - wall, base, wall, rim));
    s.add(Role::Wall, rect(left + long, base, wall, rim));
    let (outside, bell) = (o.outside.value, i.bell.value.max(o.outside.value));
    let x = left + (long - bell * 2.0).max(long * 0.5);
    s.add(Role::Screen, rect(x - bell / 2.0, base, bell, flood + i.gap.value));
    s.add(Role::Pipe, rect(x - outside / 2.0, base - drop, outside, flood + drop));
    s.add(Role::PipeWater, rect(x - o.bore.value / 2.0, base - drop, o.bore.value, flood + drop));
    for y in [flood, low] {
        s.add(Role::Surface, Shape::Path { points: vec![(left, base + y), (left + long, base + y)], closed: false });
    }
    s.add(
        Role::Brim,
        Shape::Path { points: vec![(left - wall, base + rim), (left + long + wall, base + rim)], closed: false },
    );
    let beside = left + long + 3.0 * wall;
    let measure = |x: f64, y0: f64, y1: f64, label: String| Shape::Measure { x, y0, y1, label };
    s.add(Role::Measure, measure(beside, base + low, base + flood, w.q(SHORT_LENGTH, i.flood - i.low)));
    s.add(Role::Measure, measure(beside, base - drop, base, w.q(LENGTH, i.drop)));
    s
}

/// What a page shows of a result.
pub(super) fn report(i: &SiphonIn, o: &SiphonOut, words: Words) -> Report {
    Report {
        verdict: format!("{}{}", verdict(i, o, words), hindered(i, o)),
        levels: levels(i, o),
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: vec![Picture::Section(section(i, o, words)), Picture::Chart(two_cycles(i, o, words))],
        tables: vec![sizes(i, o, words)],
        notes: notes(o, words),
    }
}
