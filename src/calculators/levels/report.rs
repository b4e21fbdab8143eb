//! The words, repairs, pictures and tables of the levels calculator.

use super::*;
use crate::calculators::care;

/// What a whole system may know to be so.
pub(crate) const GIVE_OVERFLOW: &str = "A siphon that blocks keeps its bed full, and then over the rim until the sump is dry. Give every bed an overflow back to the sump.";

/// A tank in a whole system has it from its outlet.
pub(crate) const FALLS_WITH_SUMP: &str = "A tank on a flooded pipe falls with the sump: if the sump leaks or is emptied, to the bottom of the pipe's hole. Set the hole no lower than the \
    depth the fish can live in. A high point in the pipe traps air: vent it. Clogged, the pipe fills the tank and empties the sump.";

/// Hardly a tank holds so much over its outlet, or over the sump.
const DROWNED: Coef = Coef::new(0.4, "m", &src::WATERWAYS_ASSUMED, "garden tanks");

/// Over what a tank would stand.
fn over_what(t: &TankRow) -> &'static str {
    if t.follows() { "the sump" } else { "the lip" }
}

/// The tank whose outlet does not carry its flow by far, and how high the water would stand over its lip, or over the sump.
fn drowned(i: &LevelsIn, o: &LevelsOut) -> Option<(usize, Length)> {
    let computed = |k: &usize| i.tanks.get(*k).is_some_and(|t| t.leaves != Leaves::Measured);
    let rises = o.asks.iter().copied().enumerate().filter(|(k, _)| computed(k));
    rises.max_by(|a, b| a.1.value.total_cmp(&b.1.value)).filter(|(_, rise)| rise.value > DROWNED.value)
}

/// Water that stands no farther under the rim is at it, m: waves are not counted (judgement).
const RIPPLE: f64 = 0.005;

/// How the lowest water is called.
const fn lowest(top_up: TopUp) -> &'static str {
    match top_up {
        TopUp::Float => "at a start",
        TopUp::AtRest | TopUp::Running => "before the top-up",
    }
}

fn verdict(i: &LevelsIn, o: &LevelsOut, w: Words) -> String {
    let v = |x| w.q(VOLUME, x);
    let state = |id: &str| three(o).iter().find(|l| l.id == id).map(Level::state);
    let (dry, spill) = (state("dry") == Some(State::Over), state("spill") == Some(State::Over));
    let mark = if o.marks.0 <= o.marks.1 {
        let marks = format!(
            "{} over the floor ({})",
            w.range(SHORT_LENGTH, o.marks.0 / o.area, o.marks.1 / o.area),
            w.range(VOLUME, o.marks.0, o.marks.1)
        );
        match i.top_up {
            TopUp::AtRest => format!(" Fill mark, with the pump off and the beds drained: {marks}."),
            TopUp::Running => format!(" Fill mark while it runs: {marks}."),
            TopUp::Float => format!(" Where the float may shut: {marks}."),
        }
    } else {
        let asked = as_deep(o, w).map_or_else(|| "be deeper".into(), |least| format!("hold {least} at this depth"));
        format!(" No fill mark works: the sump has to {asked}; it holds {}.", v(o.brim))
    };
    if let Some((k, rise)) = drowned(i, o) {
        return format!(
            "The outlet of tank {} does not carry {}: its water would stand {} over {}, more than a tank holds. See the drain page first.{mark}",
            w.plain(k as f64 + 1.0),
            w.q(FLOW, o.flow * i.tanks[k].share),
            w.q(SHORT_LENGTH, rise),
            over_what(&i.tanks[k])
        );
    }
    let says = match (dry, spill) {
        (true, true) => {
            "The pump runs dry when the beds are full, and the sump spills when the pump stops.".to_string()
        }
        (true, false) => format!("The pump runs dry: {} in the sump, and {} are needed.", v(o.mark), v(o.marks.0)),
        (false, _) if (0.0..=RIPPLE).contains(&((o.brim - o.extremes.stop_high) / o.area).value) => {
            format!("When the power goes {} stand in it, up to the rim: a ripple spills it.", v(o.extremes.stop_high))
        }
        (false, true) if o.extremes.stop_high <= o.brim => format!(
            "When the power goes {} stand in it, {} under the rim: within the {} that you keep dry.",
            v(o.extremes.stop_high),
            w.q(SHORT_LENGTH, (o.brim - o.extremes.stop_high) / o.area),
            w.q(SHORT_LENGTH, i.freeboard)
        ),
        (false, true) => format!(
            "It spills when the power goes: {} come together, and it holds {}.",
            v(o.extremes.stop_high),
            v(o.brim)
        ),
        (false, false) => format!(
            "The pump stays under water and nothing spills: {} in the sump.",
            w.range(VOLUME, o.extremes.lowest, o.extremes.stop_high)
        ),
    };
    // What drained beds take at a start, no float valve gives in that time.
    let basin = o.basin();
    let drained = basin.settles(o.mark / basin.part() - o.loads.drain_back - o.loads.swing);
    let first = if i.top_up == TopUp::Float && drained < o.loads.submergence && !dry && !spill {
        format!(
            " Beds that are drained at a start take more than the valve gives: fill it to {} by hand first.",
            v(o.extremes.stop_high)
        )
    } else {
        String::new()
    };
    says + &first + &mark
}

/// The least sump of this depth in words, rounded so that what is said would do.
fn as_deep(o: &LevelsOut, w: Words) -> Option<String> {
    o.as_deep.filter(|v| v.value > 0.0).map(|v| w.q(VOLUME, VOLUME.of(mend::round_up(v.value, w.one(VOLUME)))))
}

fn notes(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<String> {
    let least = as_deep(o, w);
    let mut notes: Vec<_> =
        least.map(|v| format!("A sump this deep needs at least {v}, for all that hangs on it.")).into_iter().collect();
    for (k, (t, over)) in i.tanks.iter().zip(&o.asks).enumerate().filter(|(_, (t, _))| t.follows()) {
        let stands = |sump: Volume| (sump / o.area).max(t.top()) + *over;
        notes.push(format!(
            "Tank {} stands {} over the sump while the pump runs: {} over the sump's floor with the beds drained, {} with the beds full, and {} when all is at rest. It gives water where the sump falls, and takes it where the sump rises.",
            w.plain(k as f64 + 1.0),
            w.q(SHORT_LENGTH, *over),
            w.q(SHORT_LENGTH, stands(o.extremes.run_high)),
            w.q(SHORT_LENGTH, stands(o.extremes.run_low)),
            w.q(SHORT_LENGTH, o.extremes.stop_high / o.area)
        ));
    }
    if i.beds.len() == 1 && i.beds[0].count.value > 1.0 {
        notes.push(format!(
            "Beds alike swing {} together if they stay evenly out of step, and {} in step. A restart can bring them into step, so the whole counts.",
            w.q(VOLUME, o.swing.0),
            w.q(VOLUME, o.swing.1)
        ));
    } else if i.beds.len() > 1 {
        notes.push(
            "Beds with unlike cycles drift through every alignment: sooner or later all are full at once.".into(),
        );
    }
    if let Some(rate) = o.rise_rate.filter(|r| r.value > 0.0) {
        let mut note = format!(
            "With all siphons running the sump rises {} a minute. The pipes to it must carry {}, not the pump's flow",
            w.q(SHORT_LENGTH, SHORT_LENGTH.of(rate.value * 60.0)),
            w.q(FLOW, o.siphons)
        );
        if o.beside.value > 0.0 {
            note += &format!(", and {} where all the water comes by one pipe", w.q(FLOW, o.siphons + o.beside));
        }
        notes.push(note + ".");
    }
    notes.push(format!(
        "At a start the sump falls {} before the first water comes back; a bed that was dry takes what stays in it as well.",
        w.q(SHORT_LENGTH, o.start_fall)
    ));
    if let Some(s) = o.started {
        notes.push(format!(
            "As the sump falls the lift grows: the pump settles at {}, not at the {} of a full sump.",
            w.q(FLOW, s.flow),
            w.q(FLOW, s.flow_level_held)
        ));
    }
    notes.push("Prove it on clean water: fill to the mark, start, wait until all beds have been full at once, pull the plug, and watch the rim.".into());
    notes
}

pub(super) fn cautions(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let mark_top = o.extremes.stop_high;
    if i.top_up == TopUp::Float && !i.beds.is_empty() {
        all.push(Caution::from(
            format!(
                "A float valve refills the sump while the beds are full. When they drain and the pump stops, {} stand in it: {} above the float. Without \
                 that room it spills, and the float fills it again.",
                w.q(VOLUME, mark_top),
                w.q(VOLUME, mark_top - o.mark)
            ),
            &src::FLOAT_VALVE,
        ));
    }
    if i.top_up == TopUp::Float {
        all.push(Caution::new(
            "A float valve on the mains: an air gap above the highest water, as local code asks, and a valve that sticks open floods. Tap water brings \
             chlorine; let it in slowly or treat it.",
        ));
    }
    if i.top_up == TopUp::Running && !i.beds.is_empty() {
        all.push(Caution::new(
            "Topped up while it runs, the same mark can mean full beds or empty ones. Top up only with the pump off and the beds drained.",
        ));
    }
    let level = |t: &&TankRow| t.follows();
    if i.tanks.iter().any(|t| t.siphoned().value > 0.0) || under(i) && i.tanks.first().filter(level).is_none() {
        all.push(Caution::from(
            "A return under water siphons the tank down when the pump stops. End it above the highest water; or an air hole of 5 to 6 mm (1/4 in), 10 to 20 mm (3/8 to 3/4 in) \
             below the normal water line, kept clear. A check valve is no substitute.",
            &src::AIR_HOLE,
        ));
    }
    if i.tanks.iter().any(|t| t.leaves == Leaves::Tee) {
        all.push(Caution::new(
            "A vented tee whose vent is capped or blocked siphons its tank down to the intake. Keep the vent open and set the intake no lower than the fish can \
             live in.",
        ));
    }
    all.extend(flooded(i, o, w));
    // What is said of a flooded pipe may stand in a whole system, where tanks have names.
    if let Some((k, rise)) = drowned(i, o).filter(|(k, _)| !i.tanks[*k].follows()) {
        all.push(Caution::new(format!(
            "At this flow the water of tank {} would stand {} over its lip: it spills first. The sump figures count that water.",
            w.plain(k as f64 + 1.0),
            w.q(SHORT_LENGTH, rise)
        )));
    }
    if i.beds.iter().any(|b| !b.breaks()) {
        all.push(Caution::new(
            "More flows into a bed than its siphon carries: it never breaks, and its bed never drains.",
        ));
    }
    let taken = i.beds.iter().fold(FLOW.of(0.0), |q, b| q + b.inflow * b.count);
    if taken.value > o.flow.value * (1.0 + 1e-3) {
        all.push(Caution::new(format!(
            "The beds are set to take {} together, but the pump sends {}: not all of them get that.",
            w.q(FLOW, taken),
            w.q(FLOW, o.flow)
        )));
    }
    if !i.beds.is_empty() {
        all.push(Caution::new(GIVE_OVERFLOW));
    }
    all.push(care::rain("If it stands under the open sky,", under_sky(i, o), w));
    all.push(Caution::from(piping::ELECTRICITY, &src::RESIDUAL_CURRENT));
    all.push(care::yard());
    all
}

/// What a pipe under water at both ends asks for.
fn flooded(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<Caution> {
    if o.flooded.is_empty() {
        return vec![];
    }
    let mut all = vec![Caution::new(FALLS_WITH_SUMP)];
    let lowest = o.extremes.lowest / o.area;
    let top = o.flooded.iter().map(|t| t.end).filter(|end| *end > lowest).reduce(Length::max);
    all.extend(top.map(|top| {
        Caution::from(
            format!(
                "The end of a flooded pipe comes out of the water when the sump stands lower than {}. From there on its tank stays, only the sump falls, and \
                 the pipe draws air; that is counted. Lower its end, or keep more water.",
                w.q(SHORT_LENGTH, top)
            ),
            &src::SUMP_BALANCE,
        )
    }));
    if i.beds.iter().any(BedRow::breaks) && o.surge.value > RIPPLE / 2.0 {
        all.push(Caution::from(
            format!(
                "While siphons run, the sump may stand {} over these figures, until its water is through the flooded pipe. Count that into what you keep dry.",
                w.q(SHORT_LENGTH, o.surge)
            ),
            &hyd::DARCY_WEISBACH,
        ));
    }
    all
}

/// All that rain falls on.
fn under_sky(i: &LevelsIn, o: &LevelsOut) -> Area {
    let tanks = i.tanks.iter().map(|t| t.area);
    tanks.chain(i.beds.iter().map(|b| b.area * b.count)).fold(o.area, |all, a| all + a)
}

fn stages(i: &LevelsIn, o: &LevelsOut, w: Words) -> Table {
    let none = VOLUME.of(0.0);
    let row = |name: &str, v: Volume| {
        if v < none {
            return vec![name.to_string(), "dry".into(), "–".into()];
        }
        vec![name.to_string(), w.q(VOLUME, v.max(none)), w.q(SHORT_LENGTH, v.max(none) / o.area)]
    };
    let e = &o.extremes;
    Table {
        title: "Water in the sump".into(),
        head: ["When", "Volume", "Over the floor"].map(str::to_string).to_vec(),
        rows: vec![
            row("Brim", o.brim),
            row("Pump off, beds drained", e.stop_high),
            row("Running, beds just drained", e.run_high),
            row("Running, all beds full", e.run_low),
            row(&sentence(lowest(i.top_up)), e.lowest),
            row("The pump needs", o.loads.submergence),
        ],
    }
}

fn comes_back(i: &LevelsIn, o: &LevelsOut, w: Words) -> Table {
    let mut rows: Vec<Vec<String>> = i
        .tanks
        .iter()
        .zip(o.rises.iter().zip(&o.back))
        .enumerate()
        .map(|(k, (t, (rise, back)))| {
            vec![format!("Tank {}, {}", k + 1, t.leaves_words()), w.q(SHORT_LENGTH, *rise), w.q(VOLUME, *back)]
        })
        .collect();
    rows.push(vec!["Pipes".into(), "–".into(), w.q(VOLUME, o.pipes)]);
    rows.push(vec!["Together".into(), "–".into(), w.q(VOLUME, o.drain_back)]);
    let stood = if o.flooded.is_empty() { "Stood over its lip" } else { "Stood over where it rests" };
    Table {
        title: "What runs back when the pump stops".into(),
        head: ["From", stood, "Comes back"].map(str::to_string).to_vec(),
        rows,
    }
}

impl TankRow {
    fn leaves_words(&self) -> &'static str {
        match self.leaves {
            Leaves::Rim => "open standpipe",
            Leaves::Wall => "hole in the wall",
            Leaves::Tee => "vented tee",
            Leaves::Flooded => "flooded pipe",
            Leaves::Measured => "as measured",
        }
    }
}

/// What comes on top of the mark.
fn on_top(o: &LevelsOut) -> Volume {
    o.brim - o.loads.freeboard - o.marks.1
}

/// The mark that is as far from dry as from spilling: mark/least = room/(mark + what comes on top), a square root.
fn even(top: Volume, least: Volume, room: Volume) -> Volume {
    let (low, room, top) = (least.value, room.value, top.value.max(0.0));
    VOLUME.of(((top * top + 4.0 * low.max(0.0) * room.max(0.0)).sqrt() - top) / 2.0)
}

/// The largest sump that is offered: so many times the present one, or as large as this.
const LARGER: f64 = 8.0;
const LARGEST: f64 = l(5000.0);

/// A bigger sump of the same depth, with the mark that suits it: what the pump needs and the freeboard grow with it. Where that never does, a deeper
/// one of the same floor.
fn larger(i: &LevelsIn, o: &LevelsOut, w: Words) -> Option<(String, Vec<Edit>)> {
    let room = o.brim - o.loads.freeboard;
    let [[_, most_volume], [_, deepest]] = ["volume", "depth"].map(|key| mend::ends::<Levels>(i, key));
    for deeper in [false, true] {
        let grow = |x: f64| {
            // Of what tanks share with it, a larger floor takes a larger part.
            let wider = Basin { area: o.area * x, flooded: &o.flooded };
            let more = if deeper { RATIO.of(1.0) } else { wider.part() / o.basin().part() };
            let (volume, fixed) = (i.volume * x, (o.marks.0 - o.loads.submergence) * more);
            let (mark, depth) = if deeper {
                (even(on_top(o), o.marks.0, room + i.volume * (x - 1.0)) / o.area, i.depth * x)
            } else {
                (even(on_top(o) * more, fixed + o.loads.submergence * x, room * x) / (o.area * x), i.depth)
            };
            let mark = w.as_shown(SHORT_LENGTH, mark.max(LENGTH.of(0.0))).min(depth);
            let sump = if deeper { Some(Edit::num("depth", depth)) } else { None };
            sump.into_iter().chain([Edit::num("volume", volume), Edit::num("mark", mark)]).collect::<Vec<_>>()
        };
        let does = |x: &f64| {
            mend::outcome::<Levels>(i, &grow(*x))
                .is_some_and(|o| Levels::level(&o).is_some_and(|l| l.state() == State::Enough))
        };
        // However small it is now.
        let times = if deeper { deepest / i.depth.value } else { LARGER.max(LARGEST / i.volume.value) };
        let most = (most_volume / i.volume.value).min(times);
        if most <= 1.0 {
            continue;
        }
        let Some(x) = mend::just_enough::<Levels>(i, Levels::level, grow, 1.0, most) else { continue };
        let step = w.step(VOLUME, l(if i.volume.value < l(500.0) { 5.0 } else { 50.0 }));
        let first = mend::rounded(i.volume.value * x, i.volume.value, step);
        let sold = |k: u32| ((first + step * f64::from(k)) / i.volume.value).min(most);
        // With its mark as it is shown the first may be a little short.
        let Some(x) = (0..3).map(sold).find(does) else { continue };
        let how =
            if deeper { format!("{} deep on the same floor", w.q(LENGTH, i.depth * x)) } else { "same depth".into() };
        return Some((format!("a sump of {}, {how}", w.q(VOLUME, i.volume * x)), grow(x)));
    }
    None
}

fn repairs(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<Repair> {
    let mut found = vec![];
    let main = main_level(o);
    if main.state() == State::Enough {
        return found;
    }
    let id = main.id.to_string();
    let before = levels(i, o);
    let mut add = |title: String, edits: Vec<Edit>| {
        let mended = mend::mend::<Levels>(i, &before, levels, &id, title, edits, w.system);
        found.extend(mended.filter(|r| r.level.fullness() <= HOPELESS));
    };
    // What an outlet does not carry is mended there, with room to spare, and not by a sump for it.
    if let Some((k, _)) = drowned(i, o) {
        let t = &i.tanks[k];
        let wider = |p: &Pipe| vec![Edit::pick(format!("tanks.{k}.pipe"), p.id)];
        let carries = |p: &&'static Pipe| {
            mend::outcome::<Levels>(i, &wider(p)).is_some_and(|o| o.asks[k].value < DROWNED.value / 2.0)
        };
        let sizes = t.pipe.wider(piping::bore(t.pipe, t.bore), piping::family(t.pipe));
        if let Some(p) = sizes.into_iter().find(carries) {
            let title = format!("{} as outlet of tank {}", p.words(w.system), w.plain(k as f64 + 1.0));
            // What then comes to the sump may still be too much for it.
            let after =
                mend::changed::<Levels>(i, &wider(p)).and_then(|i| Some((mend::outcome::<Levels>(&i, &[])?, i)));
            let sump = after.filter(|(o, _)| main_level(o).state() == State::Over).and_then(|(o, i)| larger(&i, &o, w));
            add(title.clone(), wider(p));
            if let Some((sump, edits)) = sump {
                add(format!("{title}, and {sump}"), wider(p).into_iter().chain(edits).collect());
            }
        }
        return found;
    }
    let room = o.brim - o.loads.freeboard;
    let height = |v: Volume| (v / o.area).min(i.depth).max(LENGTH.of(0.0));
    if o.marks.0 < o.marks.1 {
        let to = height(even(on_top(o), o.marks.0, room));
        add(format!("fill it to {} over the floor", w.q(SHORT_LENGTH, to)), vec![Edit::num("mark", to)]);
    }
    // By hand, what evaporates between two top-ups counts again.
    let least = o.basin().marks(o.brim, &Loads { evaporation: by_hand(i), ..o.loads }, TopUp::AtRest).0;
    if i.top_up != TopUp::AtRest && least < room {
        let to = height((least * room).sqrt());
        let edits = vec![Edit::pick("top_up", "at_rest"), Edit::num("mark", to)];
        add(format!("top up by hand to {}, pump off and beds drained", w.q(SHORT_LENGTH, to)), edits);
    }
    if let Some((title, edits)) = larger(i, o, w) {
        add(title, edits);
    }
    // What stands in a tank on a flooded pipe is missing in the sump: a wider one holds less.
    for (k, t) in i.tanks.iter().enumerate().filter(|(_, t)| t.follows()) {
        let wider = |p: &Pipe| vec![Edit::pick(format!("tanks.{k}.pipe"), p.id)];
        let does = |p: &&'static Pipe| {
            mend::outcome::<Levels>(i, &wider(p)).is_some_and(|o| main_level(&o).state() == State::Enough)
        };
        let sizes = t.pipe.wider(piping::bore(t.pipe, t.bore), piping::family(t.pipe));
        if let Some(p) = sizes.into_iter().find(does) {
            add(format!("{} as outlet of tank {}", p.words(w.system), w.plain(k as f64 + 1.0)), wider(p));
        }
    }
    // Beds that swing less, down to a half.
    if !i.beds.is_empty() {
        let [least, _] = mend::ends::<Levels>(i, "beds.0.swing");
        let swing = |b: &BedRow, x: f64| SHORT_LENGTH.of((b.swing.value * x).max(least));
        let lower = |x: f64| {
            let at = |(k, b): (usize, &BedRow)| Edit::num(format!("beds.{k}.swing"), swing(b, x));
            i.beds.iter().enumerate().map(at).collect::<Vec<_>>()
        };
        if let Some(x) = mend::just_enough::<Levels>(i, Levels::level, lower, 1.0, 0.5) {
            let x = mend::rounded(x, 1.0, 0.05);
            let title = match &i.beds[..] {
                [one] => format!("beds that fall {} from flooded to drained", w.q(SHORT_LENGTH, swing(one, x))),
                _ => format!("beds that fall {} as far", w.q(PERCENT, PERCENT.of(x))),
            };
            add(title, lower(x));
        }
    }
    let mut back: Vec<_> = i
        .tanks
        .iter()
        .enumerate()
        .filter(|(_, t)| t.siphoned().value > 0.0)
        .map(|(k, _)| Edit::num(format!("tanks.{k}.back"), SHORT_LENGTH.of(0.0)))
        .collect();
    if !back.is_empty() {
        if under(i) {
            back.push(Edit::pick("ends", "above"));
        }
        add("returns that end above the water".into(), back);
    }
    found
}

/// How the line at the end of a flooded pipe is called.
const PIPE_END: &str = "top of the pipe's end";

/// The sump in section, with its levels.
fn section(i: &LevelsIn, o: &LevelsOut, w: Words) -> Section {
    let wall = 0.02;
    let (depth, wide) = (i.depth.value, o.area.value.sqrt().max(0.1));
    let over = |v: Volume| (v.value / o.area.value).clamp(0.0, depth * 1.3);
    let e = &o.extremes;
    let describe = format!(
        "The sump in section, {} deep: pump off {} over its floor, running with beds drained {}, with beds full {}, {} {}; the pump needs {}.",
        w.q(LENGTH, i.depth),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.stop_high))),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.run_high))),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.run_low))),
        lowest(i.top_up),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.lowest))),
        w.q(SHORT_LENGTH, i.submergence),
    );
    let mut s = Section::new("The sump", describe, wide * 2.8 + 2.0 * wall, depth * 1.25 + wall);
    let rect = |x: f64, y: f64, w: f64, h: f64| Shape::Rect { x, y, w: w.max(0.0), h: h.max(0.0) };
    let line = |y: f64| Shape::Path { points: vec![(wall, wall + y), (wall + wide, wall + y)], closed: false };
    s.add(Role::Water, rect(wall, wall, wide, over(e.lowest)));
    s.add(Role::Water, rect(wall, wall, wide, over(e.stop_high).min(depth)));
    if e.stop_high > o.brim {
        s.add(Role::Spill, rect(wall, wall + depth, wide, over(e.stop_high) - depth));
    }
    s.add(Role::Wall, rect(0.0, 0.0, wide + 2.0 * wall, wall));
    s.add(Role::Wall, rect(0.0, wall, wall, depth));
    s.add(Role::Wall, rect(wall + wide, wall, wall, depth));
    let pump = i.submergence.value.min(depth) * 0.7;
    s.add(Role::Pipe, rect(wall + wide * 0.15, wall, wide * 0.2, pump));
    s.add(Role::Guide, line(i.submergence.value));
    s.add(Role::Brim, line(depth));
    // Words beside the lines, none closer to the one below than a line of text.
    let ends = o.flooded.iter().map(|t| t.end.value).reduce(f64::max);
    ends.iter().for_each(|y| s.add(Role::Guide, line(*y)));
    let mut lines: Vec<_> = ends.map(|y| (PIPE_END, y)).into_iter().collect();
    lines.extend([
        ("the pump needs", i.submergence.value),
        (lowest(i.top_up), over(e.lowest)),
        ("beds full", over(e.run_low)),
        ("beds drained", over(e.run_high)),
        ("pump off", over(e.stop_high)),
        ("rim", depth),
    ]);
    crate::units::arrange(&mut lines, |a, b| a.1.total_cmp(&b.1));
    // On the narrowest picture a line of text is about a seventeenth of its width high.
    let apart = s.width * 0.06;
    let mut last = f64::NEG_INFINITY;
    for (name, y) in lines {
        if !["rim", "the pump needs", PIPE_END].contains(&name) {
            s.add(Role::Surface, line(y));
        }
        let at = y.max(last + apart);
        last = at;
        s.text(wall * 3.0 + wide, wall + at, format!("{name}, {}", w.q(SHORT_LENGTH, LENGTH.of(y))));
    }
    s.height = s.height.max(wall + last + apart);
    s
}

/// What a page shows of a result.
pub(super) fn report(i: &LevelsIn, o: &LevelsOut, words: Words) -> Report {
    Report {
        verdict: verdict(i, o, words),
        levels: levels(i, o),
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: vec![Picture::Section(section(i, o, words))],
        tables: vec![stages(i, o, words), comes_back(i, o, words)],
        notes: notes(i, o, words),
    }
}
