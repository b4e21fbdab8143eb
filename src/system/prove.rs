//! Fill and prove: what to try on clean water before any fish, what the sums predict for it, and what a reading changes in the system.
//!
//! A reading replaces what was predicted: a bucket sets the flow of a branch, or what its pipe loses where that flow is worked out; a caliper the bore, a
//! level the narrowest place of an outlet, minutes to the rim the surface of a tank.

mod list;

use super::check::{self, Day, Solved, TankSolved, WayOutSolved};
use super::document::{Document, Edge};
use super::flow::{self, StationKind, Ways};
use super::reading::Test;
use super::supply;
use super::worst;
use crate::calculators::Calculator;
use crate::calculators::drain::{Arrangement, Drain, DrainIn};
use crate::calculators::form::{self, Edit, FieldError};
use crate::calculators::outcome::{Caution, Working};
use crate::calculators::piping;
use crate::calculators::pump::Branch;
use crate::catalog::pipes;
use crate::science::pump::Valve;
use crate::science::sump::TopUp;
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
#[derive(Debug, Clone, PartialEq, Default)]
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
    list::proofs(d, w)
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
    let fits = form::apply_all(&mut after, &edits) && form::check(&mut after, System::Metric).is_empty();
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
        let siphon = &d.beds[i].siphon.first()?.0;
        let gaps = siphon.porosity.value * read / middle;
        if takes(&mut siphon.clone(), "porosity", gaps) {
            edits.push(Edit::num(format!("beds.{i}.siphon.0.porosity"), PERCENT.of(gaps)));
        }
        return Some(edits);
    }
    let Some(i) = d.tanks.iter().position(|t| t.id == id) else {
        edits.extend(of_way_out(d, id, read).unwrap_or_default());
        return Some(edits);
    };
    edits.extend(of_tank(d, i, test, read).unwrap_or_default());
    Some(edits)
}

/// Is a number in the range of its field?
fn takes(fields: &mut dyn form::Fields, path: &str, x: f64) -> bool {
    form::spec_at(fields, path).is_some_and(|spec| (spec.hard[0]..=spec.hard[1]).contains(&x))
}

/// What a reading changes in a tank.
fn of_tank(d: &Document, i: usize, test: Test, read: f64) -> Option<Vec<Edit>> {
    let mut edits = vec![];
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
            if room > 0.0 && takes(&mut t.outlet.clone(), "surface", surface) {
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
