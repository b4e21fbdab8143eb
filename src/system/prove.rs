//! Fill and prove: what to try on clean water before any fish, what the sums predict for it, and what a reading changes in the system.
//!
//! A reading replaces what was predicted: a bucket sets the flow of a branch, or what its pipe loses where that flow is worked out; a caliper the bore, a
//! level the narrowest place of an outlet, minutes to the rim the surface of a tank.

use super::check::{self, Day, Solved, TankSolved, WayOutSolved};
use super::document::{Document, Edge};
use super::flow::{self, StationKind, Ways};
use super::reading::Test;
use super::supply;
use super::worst;
use crate::calculators::Calculator;
use crate::calculators::air::AirMode;
use crate::calculators::drain::{Arrangement, Drain, DrainIn};
use crate::calculators::form::{self, Edit, FieldError};
use crate::calculators::outcome::{Caution, Working};
use crate::calculators::oxygen::Minutes;
use crate::calculators::piping;
use crate::calculators::pump::Branch;
use crate::catalog::pipes;
use crate::catalog::sources::waterways;
use crate::science::pump::Valve;
use crate::science::sump::{TopUp, pipe_contents};
use crate::units::{kinds::*, *};
use serde_json::{Value, json};

/// What a test reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ask {
    /// What the field is called.
    pub label: &'static str,
    /// Its kind.
    pub kind: &'static KindInfo,
    /// Accepted, SI.
    pub range: [f64; 2],
}

/// One test.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// What its reading is kept under.
    pub key: String,
    /// Its name.
    pub title: String,
    /// What to do.
    pub how: String,
    /// What should come, in words.
    pub predicted: String,
    /// What should come, SI: low and high.
    pub expect: Option<[f64; 2]>,
    /// What is read, if anything is.
    pub ask: Option<Ask>,
    /// What was read.
    pub read: Option<f64>,
    /// What the reading means, in words; nothing before it.
    pub told: String,
}

/// The whole list.
#[derive(Debug, Clone, PartialEq)]
pub struct Proofs {
    /// Tests, in the order they are done in.
    pub proofs: Vec<Proof>,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

// Judgement: what a bucket, a stopwatch and a tape are good for.

/// Share that a timed bucket may be off, and seconds of a thumb.
const BUCKET_SHARE: f64 = 0.1;
const THUMB: f64 = 1.0;
/// Share of the head over its outlet that a computed level may be off.
const HEAD_SHARE: f64 = 0.15;
/// Share that a reading of volume or air may be off.
const BROAD: f64 = 0.15;
/// A bucket that fills faster than this says little, s.
const TOO_FAST: f64 = 5.0;
/// A finger under the rim, where water that rises behind a bung is stopped, m.
const FINGER: f64 = 0.02;
/// Water that stands no farther under a rim is at it, m: waves are not counted.
pub(super) const RIPPLE: f64 = 0.005;
/// Narrowest place looked for, as a share of the pipe's bore.
const NARROWEST: f64 = 0.25;

/// A bore so many times that of its pipe is that of another pipe.
const WIDER: f64 = 1.05;

/// Rounds in which the branches of a pump that were read are brought to their readings, one after the other; steps for each; how near is near enough;
/// and how near to its reading a branch is that still counts.
const ROUNDS: usize = 12;
const STEPS: usize = 30;
const NEAR: f64 = 5e-4;
const AS_READ: f64 = 0.02;

/// A size read so many times larger or smaller than predicted is a slip: another unit, or another tank.
const SLIP: f64 = 3.0;
const TOO_FAR: &str = " That far off, it changes nothing: check its unit and try again, or change the size by hand.";

/// Is this reading of a size too far off to take the place of what was predicted?
fn slip(key: &str, predicted: f64, read: f64) -> bool {
    let size = [Test::Fill, Test::Blocked, Test::Siphon].iter().any(|t| t.is(key));
    size && !(1.0 / SLIP..=SLIP).contains(&(read / predicted))
}

/// What a stopwatch may say of so many seconds.
fn timed(seconds: f64) -> [f64; 2] {
    [seconds * (1.0 - BUCKET_SHARE) - THUMB, seconds * (1.0 + BUCKET_SHARE) + THUMB].map(|x| x.max(0.1))
}

fn middle(expect: Option<[f64; 2]>) -> f64 {
    expect.map_or(0.0, |[x, y]| (x + y) / 2.0)
}

fn about(x: f64, share: f64) -> [f64; 2] {
    [x * (1.0 - share), x * (1.0 + share)]
}

fn span(kind: &'static KindInfo, [low, high]: [f64; 2], w: Words) -> String {
    let (a, b) = (show(kind, low, w.system), show(kind, high, w.system));
    if a == b { b } else { format!("{} to {b}", show_number(kind, low, w.system)) }
}

/// The water of a tank below its rim at a flow: low and high, m. `still` is where it stands without flow: what the next tank backs up in it may be
/// as far off as what its own outlet adds.
fn under_rim(i: &DrainIn, still: Length) -> Option<[f64; 2]> {
    let o = Drain::solve(i, &mut Working::none()).ok()?;
    let head = (o.stand.level - still).value.max(0.0);
    let (low, high) = (o.stand.low.value.min(o.stand.level.value), o.stand.level.value);
    let rim = o.brim.value;
    Some([rim - high - head * HEAD_SHARE, rim - low + head * HEAD_SHARE])
}

/// What [`under_rim`] found, in words; water that may come to the rim is no mere number.
fn below_rim([low, high]: [f64; 2], flow: VolumeRate, w: Words) -> String {
    let flow = w.q(FLOW, flow);
    if high <= 0.0 {
        return format!("It spills over the rim at {flow}: send less, and do not run it so.");
    }
    let spills = match low <= RIPPLE {
        true => ". It may spill: open the valve little by little, with a hand at the pump's switch.",
        false => "",
    };
    format!("{} below the rim at {flow}{spills}", span(SHORT_LENGTH.0, [low.max(0.0), high], w))
}

/// What is said of a reading at the rim, whatever was predicted; `most` is the rim of a sump over its floor, m.
fn at_rim(key: &str, read: f64, most: f64) -> &'static str {
    match key.split(' ').next() {
        Some("level") if read <= RIPPLE => {
            " That is at the rim: a ripple or a leaf spills it. Send less, or clear and widen its way out, before fish go in."
        }
        Some("sump") if most - read <= RIPPLE => {
            " That is at the rim: a ripple spills it. Take water out, down to the mark, before the pump runs again."
        }
        _ => "",
    }
}

/// From there up to a finger under the rim, m.
fn to_finger([low, high]: [f64; 2]) -> f64 {
    ((low + high) / 2.0 - FINGER).max(0.0)
}

/// One tank at its set flow.
fn at_set(d: &Document, i: usize, tank: &TankSolved) -> DrainIn {
    let least = FLOW.of(tank.leaves.value.max(1e-6));
    check::outlet_of(d, &d.tanks[i], least, Day::Today).backed(tank.backed[0])
}

/// The outlet of a settler or a bed at its set flow.
fn way_out_at_set(s: &Solved, ways: &Ways<'_>, o: &WayOutSolved) -> DrainIn {
    let through = s.flows.through[ways.place(o.kind, o.index)];
    DrainIn { flow: FLOW.of((through / o.alike).max(1e-6)), ..o.inputs.clone() }
}

/// The list of a system.
///
/// # Errors
/// As [`check::solve`].
pub fn proofs(d: &Document, w: Words) -> Result<Proofs, Vec<FieldError>> {
    let s = check::solve(d, Day::Today)?;
    let ways = flow::ways(d)?;
    let stopped = worst::blocked(d, &ways, &s);
    let mut all: Vec<Proof> = vec![];
    // Buckets at branches whose flow is worked out, and that flow.
    let mut worked_out: Vec<(String, f64)> = vec![];
    let mut put =
        |key: String, title: String, how: &str, predicted: String, expect: Option<[f64; 2]>, ask: Option<Ask>| {
            let taken = d.notes.readings.iter().find(|r| r.test == key);
            let read = taken.map(|r| r.read.value);
            let told = match (taken, ask) {
                // A size that was changed by hand since then agrees now.
                (Some(t), Some(a))
                    if slip(&key, t.predicted.value, t.read.value) && slip(&key, middle(expect), t.read.value) =>
                {
                    told(&a, &key, t.predicted.value, t.read.value, w) + TOO_FAR
                }
                (Some(t), Some(a)) => told(&a, &key, t.predicted.value, t.read.value, w),
                _ => String::new(),
            };
            all.push(Proof { key, title, how: how.into(), predicted, expect, ask, read, told });
        };
    let ask = |label: &'static str, kind: &'static KindInfo, low: f64, high: f64| {
        Some(Ask { label, kind, range: [low, high] })
    };

    for t in &d.tanks {
        let v = t.oxygen.volume;
        let weight = w.q(MASS, MASS.of(v.value * 1000.0));
        let expect = about(v.value, BROAD);
        put(
            Test::Fill.at(&t.id),
            format!("Fill {} and look for leaks", t.name),
            "Fill it slowly to its outlet or its mark, through a water meter if you have one. Mark the level, float an open bucket of water in it with a mark of its own, and \
             look after a day: the tank may fall no more than the bucket.",
            format!("{} of water, which weigh {weight}", w.q(VOLUME, v)),
            Some(expect),
            ask("It took", VOLUME.0, 0.02, 500.0),
        );
    }
    for (i, t) in d.tanks.iter().enumerate() {
        let o = &t.outlet;
        let bore = if o.narrow.yes() { o.narrow_bore.min(o.pipe_bore()) } else { o.pipe_bore() };
        if s.tanks[i].gone.is_none() {
            put(
                Test::Bore.at(&t.id),
                format!("Bore of the outlet of {}", t.name),
                "Across the inside at its narrowest: pipe, fitting or barbed tail. The name of a pipe is not its bore.",
                w.q(SHORT_LENGTH, bore),
                Some(about(bore.value, 0.02)),
                ask("Measured inside", SHORT_LENGTH.0, 0.005, 0.5),
            );
        }
        if s.tanks[i].oxygen.air.delivered.value > 0.0 && t.oxygen.air.mode != AirMode::Rated {
            let air = s.tanks[i].oxygen.air.delivered;
            put(
                Test::Air.at(&t.id),
                format!("Air that reaches the stones of {}", t.name),
                "Hold an upturned bottle full of water over the stones and time how fast it fills with air; do it at every stone and add.",
                w.q(AIR_FLOW, air),
                Some(about(air.value, BROAD)),
                ask("All stones together", AIR_FLOW.0, 0.0, 5000.0 / 6.0e4),
            );
        }
    }
    // Those that are throttled first: what they do not take goes through the others.
    let throttled = |k: usize| {
        let to = &ways.stations[ways.edges[k].1];
        to.kind == StationKind::Tank && s.tanks[to.index].throttled
    };
    let (first, then): (Vec<usize>, Vec<usize>) = (0..d.edges.len()).partition(|&k| throttled(k));
    let free = sent(d);
    for k in first.into_iter().chain(then) {
        let (e, (from, to)) = (&d.edges[k], ways.edges[k]);
        if !ways.is_pump(from) {
            continue;
        }
        let flow = s.flows.edges[k];
        if flow.is_nan() || flow <= 0.0 {
            continue;
        }
        let seconds = d.notes.bucket.value / flow;
        let expect = timed(seconds);
        let key = Test::Bucket.between(&e.from, &e.to);
        // More than its tank's outlet carries may be sent, and less elsewhere, until the valve is set to less.
        let solved = free.as_ref().filter(|_| s.pumps[ways.stations[from].index].is_some());
        worked_out.extend(solved.map(|q| (key.clone(), q[k])));
        let quick = if seconds < TOO_FAST { " That is too quick to time: take a drum." } else { "" };
        put(
            key,
            format!("Bucket at {}", ways.stations[to].name),
            "Let the whole branch run into the bucket and time it, three times. Set the valve until it is as you want it.",
            format!(
                "{} for {} at {}.{quick}",
                span(SECONDS.0, expect, w),
                w.q(VOLUME, d.notes.bucket),
                w.q(FLOW, FLOW.of(flow))
            ),
            Some(expect),
            ask("It took", SECONDS.0, 0.1, 86_400.0),
        );
    }
    for (i, t) in d.tanks.iter().enumerate() {
        let flow = s.tanks[i].leaves;
        let at = at_set(d, i, &s.tanks[i]);
        let outlet = under_rim(&at, s.tanks[i].outlet.still).filter(|_| s.tanks[i].gone.is_none());
        if let Some(expect) = outlet {
            put(
                Test::Level.at(&t.id),
                format!("Level of {} while it runs", t.name),
                "Ten minutes at that flow, then hook the tape on the rim and read down to the water. Then cover half of the screen and read again.",
                below_rim(expect, flow, w),
                Some(expect),
                ask("Below the rim", SHORT_LENGTH.0, 0.0, 3.0),
            );
            let (room, q) = (to_finger(expect), flow.value.max(1e-9));
            let surface = t.outlet.surface.value;
            let (soon, set) = (room * surface / s.tanks[i].most.value.max(1e-9), room * surface / q);
            let all = if t.outlet.outlets.value > 1.0 {
                "Stop all of its outlets with bungs"
            } else {
                "Stop the outlet with a bung"
            };
            // What the sump has, just before a top-up and just after one.
            let blocked = stopped.iter().find(|b| b.tank == i);
            let dry = blocked.and_then(|b| b.dry).filter(|d| d[0].value <= set);
            let from =
                blocked.and_then(|b| b.source).map(|s| &ways.stations[s]).filter(|s| s.kind != StationKind::Sump);
            let of = from.map_or("the sump", |s| s.name);
            let takes = format!("{} at the set flow, {} if the pump sends all it can.", spoken(set), spoken(soon));
            // What comes first is said first.
            let predicted = match dry {
                Some([_, latest]) if latest.value <= set => format!(
                    "The pump runs dry first, after {}: hold a hose in {of} for this test. With it, {takes}",
                    spoken(latest.value.max(0.0))
                ),
                Some(_) => {
                    format!("Long after a top-up the pump runs dry first: top up before this test. Then {takes}")
                }
                None => format!("{takes} {} falls by as much: it must not run dry first.", sentence(of)),
            };
            put(
                Test::Blocked.at(&t.id),
                format!("Outlet of {} blocked", t.name),
                &format!(
                    "Stay beside it with a hand at the pump's switch. {all}, time until the water is a finger ({}) under the rim, and open again.",
                    w.q(SHORT_LENGTH, SHORT_LENGTH.of(SHORT_LENGTH.0.rounded(FINGER, 1, w.system)))
                ),
                predicted,
                Some(about(set, 0.25)),
                ask("It took", clock(set), 1.0, 864_000.0),
            );
        }
    }
    for o in &s.ways_out {
        let station = &ways.stations[ways.place(o.kind, o.index)];
        let at = way_out_at_set(&s, &ways, o);
        if let Some(expect) = under_rim(&at, o.out.still) {
            put(
                Test::Level.at(station.id),
                format!("Level of {} while it runs", station.name),
                "Ten minutes at that flow, then hook the tape on the rim and read down to the water.",
                below_rim(expect, at.flow, w),
                Some(expect),
                ask("Below the rim", SHORT_LENGTH.0, 0.0, 3.0),
            );
        }
    }
    // What stands over the lips.
    let all_held = d.outlets();
    let held = || all_held.iter().enumerate().filter(|(i, _)| s.tanks.get(*i).is_none_or(|t| t.gone.is_none()));
    let back: f64 = held().map(|(i, h)| s.over(i, h).value).sum();
    let runs: f64 = held().map(|(_, h)| pipe_water(&h.outlet) * h.alike).sum();
    if held().next().is_some() {
        put(
            Test::Stop.key(),
            "Stop the pump".into(),
            "With everything running at its usual level, pull the plug and wait until nothing runs any more. Measure how far the sump rises, and see that no tank is \
             siphoned empty through its supply pipe. Then start again: the pump must not draw air while the tanks fill.",
            format!(
                "{} run back: what stands over the outlets that are described, and what is in their drains. Supply pipes and beds that drain come on top.",
                span(VOLUME.0, [back * (1.0 - HEAD_SHARE), back * (1.0 + HEAD_SHARE) + runs], w)
            ),
            Some([back * (1.0 - HEAD_SHARE), back * (1.0 + HEAD_SHARE) + runs]),
            ask("Ran back", VOLUME.0, 0.0, 500.0),
        );
    }
    for (t, of) in d.tanks.iter().zip(&s.tanks) {
        let (Some(gone), o) = (of.gone.filter(|g| g.value > 0.0), &t.oxygen) else { continue };
        let left = o.depth * (1.0 - (gone / o.volume).value).max(0.0);
        put(
            Test::Lowest.at(&t.id),
            format!("Lowest water in {}", t.name),
            "Fill it to its mark, start, and wait until all beds have been full at once. Pump and heater must stay covered, and the pump must draw no air.",
            format!("No lower than {} over the floor", w.q(SHORT_LENGTH, left)),
            None,
            None,
        );
    }
    for (i, sump) in d.sumps.iter().enumerate() {
        let Some(solved) = s.sumps.get(i).and_then(Option::as_ref) else { continue };
        let (l, x) = (&solved.inputs, &solved.out.extremes);
        let area = solved.out.area.value;
        let over_floor = |v: Volume| SHORT_LENGTH.of((v.value / area).max(0.0));
        let deep = |v: Volume| w.q(SHORT_LENGTH, over_floor(v));
        put(
            Test::Sump.at(&sump.id),
            format!("Water in {}, pump stopped", sump.name),
            "Pump off, every bed drained, nothing runs any more: read the depth over the floor. Then start, and watch that it never falls to what the pump needs.",
            format!(
                "{} over the floor; running {}. The pump needs {}, the rim stands at {}.",
                deep(x.stop_high),
                w.range(SHORT_LENGTH, over_floor(x.run_low), over_floor(x.run_high)),
                w.q(SHORT_LENGTH, l.submergence),
                w.q(SHORT_LENGTH, l.depth)
            ),
            Some(about(x.stop_high.value / area, 0.05)),
            ask("Over the floor", SHORT_LENGTH.0, 0.0, l.depth.value),
        );
    }
    for (i, b) in d.beds.iter().enumerate() {
        let Some(Some(o)) = s.siphons.get(i) else { continue };
        let Some(fill) = o.fill else { continue };
        let drain =
            o.drain.map_or_else(|| "and may never break".into(), |t| format!("then {} to drain", spoken(t.value)));
        put(
            Test::Siphon.at(&b.id),
            format!("Siphon of {}", b.name),
            "Time it from drained to the moment it starts, three cycles long. It must start by itself and break by itself at this flow, and at half of it.",
            format!("{} to fill, {drain}", spoken(fill.value)),
            Some(about(fill.value, BROAD)),
            ask("To fill it took", clock(fill.value), 1.0, 864_000.0),
        );
    }
    let harvest = worst::solve_days(d, &flow::ways(d)?, &[Day::Harvest])?;
    for (i, t) in d.tanks.iter().enumerate() {
        let off = harvest.iter().map(|s| s.tanks[i].oxygen.all_off);
        let fed = |m: &Minutes| m.fed.map_or(f64::INFINITY, |t| t.value);
        let Some(m) = off.min_by(|a, b| fed(a).total_cmp(&fed(b))) else { continue };
        let words = match (m.fed, m.resting) {
            (Some(fed), _) if fed.value <= 0.0 => "none: the oxygen is under their limit before the cut".into(),
            (Some(fed), Some(rest)) => {
                format!("{} just fed, {} unfed for a day", spoken(fed.value), spoken(rest.value))
            }
            (Some(fed), None) => format!("{} just fed; unfed for a day they hold", spoken(fed.value)),
            _ => "they hold through still water".into(),
        };
        put(
            Test::Power.at(&t.id),
            format!("Power cut at {}", t.name),
            "Switch everything off at the fuse. Whatever is to save the fish must start by itself and bubble within a minute. Let it run as long as a cut lasts \
             where you live.",
            format!("With fish at harvest in the hottest water: {words}"),
            None,
            None,
        );
    }
    for (i, t) in d.tanks.iter().enumerate() {
        let o = &s.tanks[i].oxygen;
        let Some(c) = o.settled_resting else { continue };
        put(
            Test::Dawn.at(&t.id),
            format!("Dawn oxygen in {}, once fish are in", t.name),
            "Before the first meal, with everything running. It sets what is least known: what the air does and what is breathed.",
            format!("{} or more", w.q(CONCENTRATION, c)),
            Some([c.value, o.saturation.value * 1.05]),
            ask("It read", CONCENTRATION.0, 0.0, 0.025),
        );
    }
    for (key, flow) in worked_out {
        let [low, high] = timed(d.notes.bucket.value / flow);
        let out = |r: f64, [low, high]: [f64; 2]| r < low || r > high;
        let off = |p: &Proof, r: f64| out(r, [low, high]) && p.expect.is_none_or(|e| out(r, e));
        let of = |p: &&mut Proof| p.key == key && p.read.is_some_and(|r| off(p, r));
        if let Some(p) = all.iter_mut().find(of) {
            let flow = w.q(FLOW, FLOW.of(flow));
            p.told +=
                &format!(" Pump and pipe as described send {flow}: look at height, pipe and curve, and measure again.");
        }
    }
    let cautions = vec![
        Caution::from(piping::ELECTRICITY, &waterways::RESIDUAL_CURRENT),
        Caution::new(
            "A litre of water weighs a kilogram (a US gallon over 8 lb). Floors, stands and walls are for someone licensed to judge; stay clear while a tank is filled the \
             first time.",
        ),
        Caution::new(
            "Tap water carries chlorine or chloramine: treat it before fish or a ripe filter meet it. Never connect a system to the mains without the backflow \
             protection that the local code asks for.",
        ),
        Caution::new(
            "Keep children away from open tanks and from running tests. Prove it all again after every change.",
        ),
    ];
    Ok(Proofs { proofs: all, cautions })
}

/// Water in the drain of a tank when it is full, m3.
fn pipe_water(o: &DrainIn) -> f64 {
    pipe_contents(o.pipe_bore(), o.length).value * o.outlets.value.max(1.0)
}

/// A reading beside what was predicted when it was taken.
fn told(a: &Ask, key: &str, predicted: f64, read: f64, w: Words) -> String {
    let more = least(key).then_some(" or more");
    let (was, is) = (show(a.kind, predicted, w.system) + more.unwrap_or(""), show(a.kind, read, w.system));
    let off = if predicted.abs() > 0.0 { (read / predicted - 1.0) * 100.0 } else { 0.0 };
    let by = match off.abs() {
        x if x < 0.5 || more.is_some() && off > 0.0 => "as predicted".to_string(),
        x => format!("{}{THIN}% {}", number(x, 2), if off > 0.0 { "more" } else { "less" }),
    };
    format!("Measured {is}; predicted was {was}: {by}.{}", at_rim(key, read, a.range[1]))
}

/// Is the least predicted that may come, and not what is to come?
fn least(key: &str) -> bool {
    Test::Dawn.is(key)
}

/// The changes that a reading makes: it is noted, and it takes the place of what was predicted, but where nothing could be checked with it any more.
/// Nothing for a reading that is no number in its range, or for a test that there is not.
pub fn take(d: &Document, key: &str, read: f64) -> Option<Vec<Edit>> {
    let mut edits = taken(d, key, read)?;
    let mut after = d.clone();
    let fits = edits.iter().all(|e| form::apply(&mut after, e)) && form::check(&mut after, System::Metric).is_empty();
    if !(fits && check::solve(&after, Day::Today).is_ok()) {
        edits.retain(|e| e.path.starts_with("notes."));
    }
    Some(edits)
}

fn taken(d: &Document, key: &str, read: f64) -> Option<Vec<Edit>> {
    let all = proofs(d, Words::default()).ok()?.proofs;
    let p = all.iter().find(|p| p.key == key)?;
    let a = p.ask?;
    if !(read >= a.range[0] && read <= a.range[1]) {
        return None;
    }
    let middle = middle(p.expect);
    let said = p.expect.filter(|_| least(key)).map_or(middle, |[low, _]| low);
    // A reading taken again stands against what was predicted at first.
    let predicted = d.notes.readings.iter().find(|r| r.test == key).map_or(said, |r| r.predicted.value);
    let mut edits = d.notes.reading(key, predicted, read, |test| all.iter().any(|p| p.key == test));
    let (test, id) = Test::of(key)?;
    if test == Test::Stop || slip(key, middle, read) {
        return Some(edits);
    }
    if test == Test::Bucket {
        let k = d.edges.iter().position(|e| id == format!("{} {}", e.from, e.to))?;
        let caught = d.notes.bucket / SECONDS.of(read);
        if d.pumps.iter().any(|p| p.id == d.edges[k].from && d.described(p)) {
            edits.extend(explained(d, k, caught.value).unwrap_or_default());
        } else {
            edits.push(Edit::num(format!("edges.{k}.flow"), caught));
        }
        return Some(edits);
    }
    if test == Test::Sump {
        let i = d.sumps.iter().position(|s| s.id == id)?;
        // Filled at rest, what stands there then is the mark.
        if d.sumps[i].levels.first().is_some_and(|l| l.0.top_up == TopUp::AtRest) {
            edits.push(Edit::num(format!("sumps.{i}.levels.0.mark"), SHORT_LENGTH.of(read)));
        }
        return Some(edits);
    }
    if test == Test::Siphon {
        // The water that fills it, over the room it fills: the gaps.
        let i = d.beds.iter().position(|b| b.id == id)?;
        let old = d.beds[i].siphon.first()?.0.porosity;
        let gaps = old.value * read / middle;
        if (0.05..=1.0).contains(&gaps) {
            edits.push(Edit::num(format!("beds.{i}.siphon.0.porosity"), PERCENT.of(gaps)));
        }
        return Some(edits);
    }
    let Some(i) = d.tanks.iter().position(|t| t.id == id) else {
        edits.extend(of_way_out(d, id, read).unwrap_or_default());
        return Some(edits);
    };
    let t = &d.tanks[i];
    let at = |field: &str| format!("tanks.{i}.{field}");
    match test {
        Test::Fill => edits.push(Edit::num(at("oxygen.volume"), VOLUME.of(read))),
        Test::Bore => {
            // The pipe keeps its name: what is narrower than that is noted apart, and what is much wider is another pipe.
            let (bore, read) = (t.outlet.pipe_bore(), SHORT_LENGTH.of(read));
            let narrow = read < bore && t.outlet.pipe.bore().is_some();
            edits.push(Edit::pick(at("outlet.narrow"), if narrow { "yes" } else { "no" }));
            if narrow {
                edits.push(Edit::num(at("outlet.narrow_bore"), read));
            } else if t.outlet.pipe.bore().is_none() || read > bore * WIDER {
                edits.push(Edit::pick(at("outlet.pipe"), pipes::OTHER.id));
                edits.push(Edit::num(at("outlet.bore"), read));
            }
        }
        Test::Air => {
            edits.push(Edit::pick(at("oxygen.air"), "stones"));
            edits.push(Edit::num(at("oxygen.air_flow"), AIR_FLOW.of(read)));
        }
        Test::Dawn => {
            edits.push(Edit::pick(at("oxygen.reading"), "dawn"));
            edits.push(Edit::num(at("oxygen.reading_oxygen"), CONCENTRATION.of(read)));
        }
        Test::Blocked => {
            let s = check::solve(d, Day::Today).ok()?;
            let room = to_finger(under_rim(&at_set(d, i, &s.tanks[i]), s.tanks[i].outlet.still)?);
            let surface = read * s.tanks[i].leaves.value / room;
            if room > 0.0 && (0.01..=1000.0).contains(&surface) {
                edits.push(Edit::num(at("outlet.surface"), AREA.of(surface)));
            }
        }
        Test::Level => {
            let s = check::solve(d, Day::Today).ok()?;
            let bore = narrowest(&t.outlet, &at_set(d, i, &s.tanks[i]), s.tanks[i].outlet.still, read);
            edits.extend(narrow(&at("outlet"), bore));
        }
        _ => {}
    }
    Some(edits)
}

/// What a level at the outlet of a settler or a bed changes there.
fn of_way_out(d: &Document, id: &str, read: f64) -> Option<Vec<Edit>> {
    let (s, ways) = (check::solve(d, Day::Today).ok()?, flow::ways(d).ok()?);
    let o = s.ways_out.iter().find(|o| ways.stations[ways.place(o.kind, o.index)].id == id)?;
    let bore = narrowest(&o.inputs, &way_out_at_set(&s, &ways, o), o.out.still, read);
    Some(narrow(&flow::outlet_path(o.kind, o.index), bore))
}

/// The changes that note the narrowest place of an outlet, if there is one.
fn narrow(outlet: &str, bore: Option<f64>) -> Vec<Edit> {
    bore.map_or(vec![], |bore| {
        vec![
            Edit::pick(format!("{outlet}.narrow"), "yes"),
            Edit::num(format!("{outlet}.narrow_bore"), SHORT_LENGTH.of(bore)),
        ]
    })
}

/// What the pumps send along every edge today, m3/s.
fn sent(d: &Document) -> Option<Vec<f64>> {
    let ways = flow::ways(d).ok()?;
    Some(supply::supply(d, &ways, &flow::order(&ways).ok()?, Day::Today).ok()?.set)
}

/// What explains the flow that a bucket caught at a branch whose flow is worked out: how far its valve is open, or else other losses in its pipe. Its
/// neighbours that were read stay as they were. Nothing where more came than the pump sends through such a pipe, or less than losses explain.
fn explained(d: &Document, k: usize, caught: f64) -> Option<Vec<Edit>> {
    let before = sent(d)?;
    let key = |e: &Edge| Test::Bucket.between(&e.from, &e.to);
    let mut read: Vec<(usize, f64)> = (0..d.edges.len())
        .filter(|&j| j != k && d.edges[j].from == d.edges[k].from)
        .filter_map(|j| {
            let taken = d.notes.readings.iter().find(|r| r.test == key(&d.edges[j]))?;
            let caught = d.notes.bucket.value / taken.read.value;
            ((before[j] / caught - 1.0).abs() < AS_READ).then_some((j, caught))
        })
        .collect();
    read.push((k, caught));
    let all = |read: &[(usize, f64)]| {
        let mut after = d.clone();
        for _ in 0..ROUNDS {
            for &(j, q) in read {
                throttle(&mut after, j, q)?;
            }
            let now = sent(&after)?;
            if read.iter().all(|&(j, q)| (now[j] / q - 1.0).abs() < 4.0 * NEAR) {
                return Some(after);
            }
        }
        None
    };
    let after = all(&read).or_else(|| all(&[(k, caught)]))?;
    let mut edits = vec![];
    for (j, (was, is)) in d.edges.iter().zip(&after.edges).enumerate() {
        let (Some(was), Some(is)) = (was.run.first(), is.run.first()) else { continue };
        if was.0.open != is.0.open {
            edits.push(Edit::num(format!("edges.{j}.run.0.open"), is.0.open));
        }
        if was.0.losses != is.0.losses {
            edits.push(Edit::num(format!("edges.{j}.run.0.losses"), is.0.losses));
        }
    }
    Some(edits)
}

/// Lets so much through a branch by its valve and by other losses.
fn throttle(d: &mut Document, k: usize, q: f64) -> Option<()> {
    type Turn = fn(&mut Branch, f64);
    let run = &d.edges[k].run.first()?.0;
    let (valve, losses) = (run.valve != Valve::Missing, run.losses.value);
    // Each from where the least comes to where the most does.
    let open: (Turn, _, _) = (|b, x| b.open = PERCENT.of(x), 0.0, 1.0);
    let lose: (Turn, _, _) = (|b, x| b.losses = RATIO.of(x), if valve { losses } else { piping::LOSSES }, 0.0);
    for (turn, mut low, mut high) in [open, lose].into_iter().skip(usize::from(!valve)) {
        let mut comes = |x: f64| {
            turn(&mut d.edges[k].run.first_mut()?.0, x);
            sent(d).map(|s| s[k])
        };
        if comes(high)? < q {
            continue;
        }
        if comes(low)? > q {
            return None;
        }
        for _ in 0..STEPS {
            let middle = (low + high) / 2.0;
            let now = comes(middle)?;
            if (now / q - 1.0).abs() < NEAR {
                break;
            }
            if now < q { low = middle } else { high = middle }
        }
        return Some(());
    }
    None
}

/// The narrowest place that explains a level higher than predicted: nothing where the level is as predicted or lower, or where no narrow
/// place would explain it.
fn narrowest(outlet: &DrainIn, at: &DrainIn, still: Length, below_rim: f64) -> Option<f64> {
    if !matches!(outlet.arrangement, Arrangement::Draw | Arrangement::Wall | Arrangement::Flooded | Arrangement::Rim) {
        return None;
    }
    let bore = outlet.pipe_bore().value;
    let below = |neck: f64| {
        let i = DrainIn { narrow: form::YesNo::Yes, narrow_bore: SHORT_LENGTH.of(neck), ..at.clone() };
        let o = Drain::solve(&i, &mut Working::none()).ok()?;
        Some((o.brim - o.stand.level).value)
    };
    let [least, _] = under_rim(at, still)?;
    if below_rim >= least {
        return None;
    }
    let (mut narrow, mut wide) = (bore * NARROWEST, bore);
    if below(narrow)? > below_rim {
        return None;
    }
    for _ in 0..40 {
        let middle = (narrow + wide) / 2.0;
        if below(middle)? < below_rim { narrow = middle } else { wide = middle }
    }
    Some(wide)
}

impl Proofs {
    /// As JSON, numbers in SI.
    pub fn json(&self) -> Value {
        let one = |p: &Proof| {
            json!({
                "key": p.key, "title": p.title, "how": p.how, "predicted": p.predicted, "expect": p.expect, "unit": p.ask.map(|a| a.kind.si),
                "read": p.read, "told": p.told,
            })
        };
        json!({
            "tests": self.proofs.iter().map(one).collect::<Vec<_>>(),
            "cautions": self.cautions.iter().map(Caution::json).collect::<Vec<_>>(),
        })
    }
}

#[cfg(test)]
mod tests;
