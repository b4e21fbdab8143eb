//! What the pumps really send: the set flows, or what curve, pipes and levels give; and the water in sumps.
//!
//! A pump whose curve and every branch's pipe are known is solved with them: the tanks rise over their lips, the sump falls by what they and the
//! pipes hold, the lift grows by that, until all agree. Every term falls with the flow, so there is one answer. Heights count from the
//! sump's water at its fill mark with the pump off. Where an outlet ends under the water of the next tank, that tank's rise backs up in it.

use super::check::{self, Day, solve_at};
use super::document::*;
use super::ends;
use super::flow::{self, StationKind, StationOutlet, Ways};
use crate::calculators;
use crate::calculators::drain::{Arrangement, DrainIn, FarEnd};
use crate::calculators::form::FieldError;
use crate::calculators::levels::{BedRow, Leaves, Levels, LevelsIn, LevelsOut, TankRow};
use crate::calculators::outcome::Working;
use crate::calculators::pump::{self, Ends, Leads, Pump as PumpCalculator, PumpIn, PumpOut, Throttle};
use crate::calculators::siphon::{self, SiphonOut};
use crate::science::drain::{Inlet, Outlet};
use crate::science::pump::{Pumps, Valve};
use crate::science::siphon::turns_at;
use crate::science::solve::root;
use crate::science::sump::{TopUp, pipe_contents};
use crate::science::{network, water};
use crate::units::{kinds::*, *};
use std::cell::RefCell;

/// A pump that was solved with its curve and pipes.
#[derive(Debug, Clone)]
pub struct PumpSolved {
    /// Its inputs, with lifts over the running sump and the sump's fall filled in.
    pub inputs: PumpIn,
    /// What it does.
    pub out: PumpOut,
    /// Its branches: places of edges.
    pub branches: Vec<usize>,
}

/// A sump whose levels were solved.
#[derive(Debug, Clone)]
pub struct SumpSolved {
    /// The inputs, with everything that hangs on it.
    pub inputs: LevelsIn,
    /// Its levels.
    pub out: LevelsOut,
}

/// What the pumps send.
#[derive(Debug, Clone)]
pub struct Supply {
    /// What every edge that leaves a pump carries, m3/s.
    pub set: Vec<f64>,
    /// Pumps that were solved; nothing for those whose set flows count.
    pub pumps: Vec<Option<PumpSolved>>,
    /// Stations in the order of the water.
    order: Vec<usize>,
    /// The outlets, in the order of [`Document::outlets`].
    lips: Vec<Lip>,
    /// What falls, and ends of outlets with it.
    pools: Vec<Pool>,
}

/// No tank that a pump draws from is deeper, m.
const DEEPEST: f64 = 10.0;
/// A level has settled when it moves less than this, m.
const STILL: f64 = 1e-7;
/// Heads are found to this while levels settle, m: by seven halvings less than to all that a float holds, as they are once the levels have settled. A
/// branch that loses h in its pipe sends 1/2h of this more or less, as a part of its flow, and the water at its outlet, which rises with the square of
/// the flow at the most, stands 1/h of this off, as a part of its rise: less than what is still unless it rises 78 times h. Such a branch only just runs.
const NEAR: f64 = 128.0 * network::TOLERANCE;
/// Steps in which levels have to settle.
const STEPS: usize = 60;

/// An outlet as hydraulics see it, and how many of them share the flow.
#[derive(Debug, Clone)]
struct Lip {
    station: usize,
    outlet: Outlet,
    outlets: f64,
    still: Length,
    /// From where the water stands without flow to the rim.
    room: Length,
    area: Area,
    /// Only pumps take its water: there is none.
    missing: bool,
    /// Where it ends in the water of others: what it is, and which.
    into: Option<(DrainIn, Vec<usize>)>,
    /// The only water that it ends in, if that falls while water flows: its place among the [`Pool`]s.
    pool: Option<usize>,
    /// The station into whose water a flooded pipe leads, with that pipe as the page of sumps has it: its end is so far under that water at rest.
    flooded: Option<(usize, TankRow, Length)>,
}

/// Water that falls while water flows, because it gives what stands over outlets and fills pipes: a sump that was filled with the pump off, or what only
/// pumps take from.
#[derive(Debug, Clone)]
struct Pool {
    station: usize,
    area: f64,
    /// What its pumps' pipes hold; where outlets end in it, the others too that fill out of it.
    pipes: f64,
    /// The outlets whose water falls into it.
    outlets: Vec<usize>,
    /// The most it can fall.
    most: f64,
}

/// How far the water at every outlet stands over where it stands without flow, with so much out of each station. Every one is asked once, however many end in it.
struct Rises<'a> {
    lips: &'a [Lip],
    pools: &'a [Pool],
    through: &'a dyn Fn(usize) -> f64,
    known: RefCell<Vec<Option<Length>>>,
    fallen: RefCell<Vec<Option<f64>>>,
}

impl<'a> Rises<'a> {
    fn new((lips, pools): (&'a [Lip], &'a [Pool]), through: &'a dyn Fn(usize) -> f64) -> Self {
        let (known, fallen) = (RefCell::new(vec![None; lips.len()]), RefCell::new(vec![None; pools.len()]));
        Self { lips, pools, through, known, fallen }
    }
    /// Of one outlet.
    fn of(&self, at: usize) -> Length {
        let known = self.known.borrow()[at];
        known.unwrap_or_else(|| {
            let rise = self.work_out(at);
            self.known.borrow_mut()[at] = Some(rise);
            rise
        })
    }
    fn work_out(&self, at: usize) -> Length {
        let (lip, by) = (&self.lips[at], self.back_up(at));
        let q = (self.through)(lip.station);
        if lip.missing {
            return LENGTH.of(0.0);
        }
        if q <= 0.0 && by.value <= 0.0 && lip.pool.is_none() {
            return LENGTH.of(0.0);
        }
        let raised = lip.into.as_ref().filter(|_| by.value != 0.0).and_then(|i| i.0.clone().backed(by).outlet().ok());
        let level = raised.unwrap_or(lip.outlet).stand(FLOW.of(q.max(0.0) / lip.outlets)).level;
        // With the water that it ends in a tank may fall as well, where lips and pipes take more than stands over it.
        let least = if lip.pool.is_some() { f64::NEG_INFINITY } else { 0.0 };
        (level - lip.still).max(LENGTH.of(least))
    }
    /// How far the water that the outlet ends in stands over where it stands without flow, past its rim no more; below nothing where it falls.
    fn back_up(&self, at: usize) -> Length {
        if let Some(pool) = self.lips[at].pool {
            return LENGTH.of(-self.fallen(pool));
        }
        let into = self.lips[at].into.iter().flat_map(|i| &i.1);
        into.map(|&b| self.of(b).min(self.lips[b].room)).fold(LENGTH.of(0.0), |a, b| a.max(b))
    }
    /// How far a pool falls: what it gives is as much as stands over outlets then, and the lower it stands, the less stands over those that end in it.
    fn fallen(&self, pool: usize) -> f64 {
        let known = self.fallen.borrow()[pool];
        known.unwrap_or_else(|| {
            let p = &self.pools[pool];
            let gives = |fall: f64| {
                // All that stands above follows.
                self.fallen.borrow_mut()[pool] = Some(fall);
                self.known.borrow_mut().fill(None);
                let held = |t: &usize| self.lips[*t].area.value * self.of(*t).min(self.lips[*t].room).value;
                p.pipes + p.outlets.iter().map(held).sum::<f64>() - fall * p.area
            };
            let fall = root(gives, 0.0, p.most, STILL).unwrap_or(if gives(0.0) > 0.0 { p.most } else { 0.0 });
            self.fallen.borrow_mut()[pool] = Some(fall);
            self.known.borrow_mut().fill(None);
            fall
        })
    }
}

fn lips(d: &Document, ways: &Ways<'_>, day: Day) -> Result<Vec<Lip>, Vec<FieldError>> {
    let (mut all, mut faults) = (vec![], vec![]);
    let held = d.outlets();
    let places: Vec<usize> = held.iter().map(|h| ways.place(h.kind, h.index)).collect();
    for (h, &station) in held.iter().zip(&places) {
        let inputs = check::outlet_on(d, &h.outlet, h.outlet.flow, day);
        let drowned = inputs.arrangement == Arrangement::Flooded || inputs.far_end == FarEnd::Under;
        let next = ways.out_of(station).filter(|_| drowned).map(|k| ways.edges[k].1);
        let next: Vec<_> = next.collect();
        let into: Vec<_> = next.iter().filter_map(|to| places.iter().position(|p| p == to)).collect();
        let next = next.first().copied();
        match inputs.outlet() {
            Ok(outlet) => {
                let still = outlet.stand(FLOW.of(0.0)).level;
                let (outlets, room) =
                    (inputs.outlets.value.max(1.0) * h.alike, (inputs.brim() - still).max(LENGTH.of(0.0)));
                let area = h.surface();
                // Whether it ends in water that falls is found in [`pools`].
                let into = (drowned || !into.is_empty()).then_some((inputs, into));
                let missing = !ways.others(station);
                // What the page has no room for is made up by its other losses, or the tank is no row of this kind.
                let row = |i: &DrainIn| {
                    let bore = SHORT_LENGTH.of(ends::within(i.bore.value, ends::TANK_BORE));
                    let run = LENGTH.of(ends::within(i.length.value, ends::TANK_RUN));
                    TankRow { area, pipe: i.pipe, bore, run, ..TankRow::default() }
                };
                let flooded = into.as_ref().filter(|i| i.0.arrangement == Arrangement::Flooded);
                let flooded = flooded.and_then(|i| Some((next?, row(&i.0), outlet.tail)));
                all.push(Lip { station, outlet, outlets, still, room, area, missing, into, pool: None, flooded });
            }
            Err(e) => faults.extend(e.into_iter().map(|e| e.under(&h.path()))),
        }
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

/// What falls at a station, of such an area and by so much at the most.
fn pool(d: &Document, ways: &Ways<'_>, station: usize, pumps: &[Option<Turning>], (area, most): (f64, f64)) -> Pool {
    let mine = |p: &usize| ways.edges.contains(&(station, ways.place(StationKind::Pump, *p)));
    let filled = |p: usize| pumps[p].as_ref().map(|p| contents(&p.inputs));
    let pipes = (0..pumps.len()).filter(mine).filter_map(filled).sum();
    Pool { station, area, pipes, outlets: falls_into(d, ways, &|s| ways.pools_below(s).contains(&station)), most }
}

/// A sump that was filled with the pump off; nothing where that is not said.
fn falling(d: &Document, ways: &Ways<'_>, sump: usize, pumps: &[Option<Turning>]) -> Option<Pool> {
    let l = &d.sumps[sump].levels.first().filter(|l| l.0.top_up == TopUp::AtRest)?.0;
    Some(pool(d, ways, ways.place(StationKind::Sump, sump), pumps, ((l.volume / l.depth).value, l.mark.value)))
}

/// What falls while water flows, where an outlet ends under it.
fn pools(d: &Document, ways: &Ways<'_>, lips: &mut [Lip], pumps: &[Option<Turning>]) -> Vec<Pool> {
    let mut pools: Vec<Pool> = vec![];
    for at in 0..lips.len() {
        let Some((_, into)) = &lips[at].into else { continue };
        let [to] = ways
            .out_of(lips[at].station)
            .map(|k| ways.edges[k].1)
            .filter(|&s| !ways.is_pump(s))
            .collect::<Vec<_>>()[..]
        else {
            continue;
        };
        let known = pools.iter().position(|p| p.station == to);
        let s = &ways.stations[to];
        let new = match (s.kind, into[..].first()) {
            _ if known.is_some() => None,
            (StationKind::Sump, _) => falling(d, ways, s.index, pumps).map(|p| {
                let others = d.sumps[s.index].levels.iter().map(|l| l.0.other_pipes.value).sum::<f64>();
                Pool { pipes: p.pipes + others, ..p }
            }),
            (_, Some(&b)) if lips[b].missing && ways.is_drawn(to) => {
                Some(pool(d, ways, to, pumps, (lips[b].area.value, DEEPEST)))
            }
            _ => None,
        };
        lips[at].pool = known.or(new.is_some().then_some(pools.len()));
        pools.extend(new);
    }
    // Others than those that fall have been looked at.
    lips.iter_mut()
        .filter(|l| l.pool.is_none() && l.into.as_ref().is_some_and(|i| i.1.is_empty()))
        .for_each(|l| l.into = None);
    pools
}

/// The branches of a pump that is solved with its curve; nothing where its curve or a branch's pipe is not known.
fn branches(d: &Document, ways: &Ways<'_>, pump: usize) -> Option<Vec<usize>> {
    let station = ways.place(StationKind::Pump, pump);
    d.pumps[pump].curve.first()?;
    let all: Vec<usize> = ways.out_of(station).collect();
    all.iter().all(|&k| !d.edges[k].run.is_empty()).then_some(all)
}

/// Is this pump solved with its curve and pipes?
pub fn is_solved(d: &Document, ways: &Ways<'_>, pump: usize) -> bool {
    branches(d, ways, pump).is_some()
}

/// What the branches of a pump are set to, all together.
pub fn asked_of(d: &Document, ways: &Ways<'_>, pump: usize) -> VolumeRate {
    FLOW.of(ways.out_of(ways.place(StationKind::Pump, pump)).map(|k| d.edges[k].flow.value).sum())
}

fn inputs_of(d: &Document, pump: usize, branches: &[usize], day: Day) -> Option<PumpIn> {
    let curve = d.pumps[pump].curve.first()?;
    let branches = branches.iter().filter_map(|&k| Some(d.edges[k].run.first()?.0.clone())).collect();
    Some(PumpIn { leads: Leads::Several, branches, temperature: check::temperature(d, day), ..curve.0.clone() })
}

/// Water in the supply pipes of a pump.
pub(super) fn contents(i: &PumpIn) -> f64 {
    let trunk = pipe_contents(i.pipe.bore().unwrap_or(i.bore), i.length).value;
    let between = |b: &pump::Branch| {
        let main =
            if b.between.value > 0.0 { pipe_contents(i.pipe.bore().unwrap_or(i.bore), b.between).value } else { 0.0 };
        main + pipe_contents(b.pipe.bore().unwrap_or(b.bore), b.length).value
    };
    trunk + i.branches.iter().map(between).sum::<f64>()
}

/// Sumps that a pump draws from.
fn drawn(ways: &Ways<'_>, pump: usize) -> Vec<usize> {
    let station = ways.place(StationKind::Pump, pump);
    let from = ways.edges.iter().filter(|e| e.1 == station).map(|e| &ways.stations[e.0]);
    from.filter(|s| s.kind == StationKind::Sump).map(|s| s.index).collect()
}

/// Outlets whose water is missing in a sump while it stands over them: their places in [`Document::outlets`].
pub(super) fn outlets_above(d: &Document, ways: &Ways<'_>, sump: usize) -> Vec<usize> {
    let place = ways.place(StationKind::Sump, sump);
    falls_into(d, ways, &|station| ways.pools_below(station).contains(&place))
}

/// Outlets of stations of which something holds: their places in [`Document::outlets`].
pub(super) fn falls_into(d: &Document, ways: &Ways<'_>, is: &dyn Fn(usize) -> bool) -> Vec<usize> {
    let falls = |h: &StationOutlet<'_>| is(ways.place(h.kind, h.index));
    (0..).zip(d.outlets()).filter(|(_, h)| falls(h)).map(|(i, _)| i).collect()
}

/// Pumps, outlets and sumps of a day before anything flows, so that they are made ready once, however often branches are held.
pub struct Coupled<'a> {
    d: &'a Document,
    ways: &'a Ways<'a>,
    /// Stations in the order of the water.
    pub order: &'a [usize],
    set: Vec<f64>,
    lips: Vec<Lip>,
    pools: Vec<Pool>,
    pumps: Vec<Option<Turning>>,
    /// Sumps that fall, with levels.
    sumps: Vec<Option<Pool>>,
    /// Under-water ends: edge and tank.
    under: Vec<(usize, usize)>,
    viscosity: KinematicViscosity,
}

/// The levels at which what pumps send and where the water stands agree, m.
pub type Settled = Vec<f64>;

/// A pump while levels settle.
struct Turning {
    inputs: PumpIn,
    pumps: Pumps,
    /// The sumps it draws from.
    from: Vec<usize>,
    branches: Vec<usize>,
}

impl Coupled<'_> {
    /// Lifts of a pump's branches over the running sump.
    fn lifted(&self, pump: usize, levels: &[f64]) -> Option<PumpIn> {
        let p = self.pumps[pump].as_ref()?;
        let mut i = p.inputs.clone();
        let fall = p.from.iter().map(|&s| levels[s]).fold(0.0, f64::max);
        for (b, k) in i.branches.iter_mut().zip(&p.branches) {
            let rise = self.under.iter().position(|u| u.0 == *k).map_or(0.0, |u| levels[self.sumps.len() + u]);
            b.lift = LENGTH.of(b.lift.value + fall + rise);
        }
        Some(i)
    }
    /// What every edge that leaves a pump carries at some levels, with heads to `tolerance`, m.
    fn sends(&self, levels: &[f64], tolerance: f64) -> Vec<f64> {
        let mut set = self.set.clone();
        for p in 0..self.pumps.len() {
            let (Some(i), Some(p)) = (self.lifted(p, levels), &self.pumps[p]) else { continue };
            let flows = network::solve_to(tolerance, &p.pumps, LENGTH.of(0.0), &pump::way(&i), self.viscosity);
            for (q, &k) in flows.outlets.iter().zip(&p.branches) {
                set[k] = q.value.max(0.0);
            }
        }
        set
    }
    /// The levels that the flows at `levels` bring about.
    fn follow(&self, levels: &[f64], tolerance: f64) -> Vec<f64> {
        let set = self.sends(levels, tolerance);
        let (edges, through) = flow::run(self.ways, self.order, &set);
        let left = flow::left(self.ways, &edges, &through);
        let through = |station: usize| left[station];
        let rises = Rises::new((&self.lips, &self.pools), &through);
        // Past its rim the water is on the floor: it stands no higher, and the outlet's own level tells it.
        let rise = |t: usize| rises.of(t).min(self.lips[t].room).value;
        let falls = self.sumps.iter().map(|s| {
            s.as_ref().map_or(0.0, |s| {
                let held: f64 = s.outlets.iter().map(|&t| self.lips[t].area.value * rise(t)).sum();
                ((held + s.pipes) / s.area).min(s.most)
            })
        });
        falls.chain(self.under.iter().map(|u| rise(u.1))).collect()
    }
    /// Where the levels settle, from where they settled before: they answer a higher flow by a lower one, so every step halves or better what is left.
    pub fn settle(&self, before: Option<&Settled>) -> Option<Settled> {
        // What is set by hand hangs on no level.
        if self.pumps.iter().all(Option::is_none) {
            return Some(vec![]);
        }
        let mut at = before.cloned().unwrap_or_else(|| vec![0.0; self.sumps.len() + self.under.len()]);
        let mut next = self.follow(&at, NEAR);
        for _ in 0..STEPS {
            let off = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if off(&next, &at) <= STILL {
                return Some(next);
            }
            let after = self.follow(&next, NEAR);
            if off(&after, &next) <= STILL {
                return Some(after);
            }
            let better: Vec<f64> = (0..at.len())
                .map(|i| {
                    let moved = next[i] - at[i];
                    let slope =
                        if moved.abs() > STILL { ((after[i] - next[i]) / moved).clamp(-20.0, 0.0) } else { 0.0 };
                    next[i] + (after[i] - next[i]) / (1.0 - slope)
                })
                .collect();
            next = self.follow(&better, NEAR);
            at = better;
        }
        None
    }
}

/// What every pump sends on a day.
///
/// # Errors
/// A curve that is none, a pump above the water, an outlet that it cannot reach, levels that do not settle: at the station.
pub fn supply(d: &Document, ways: &Ways<'_>, order: &[usize], day: Day) -> Result<Supply, Vec<FieldError>> {
    held(d, ways, order, day, &|_| Throttle::Not)
}

/// The same with a valve in each edge that leaves a solved pump.
///
/// # Errors
/// As [`supply`].
pub fn held(
    d: &Document,
    ways: &Ways<'_>,
    order: &[usize],
    day: Day,
    valve: &dyn Fn(usize) -> Throttle,
) -> Result<Supply, Vec<FieldError>> {
    let mut coupled = coupled(d, ways, order, day)?;
    coupled.hold(valve);
    coupled.finish(&coupled.settled()?)
}

/// Makes ready what is solved together.
///
/// # Errors
/// As [`supply`], but for what only shows while water flows.
pub fn coupled<'a>(
    d: &'a Document,
    ways: &'a Ways<'a>,
    order: &'a [usize],
    day: Day,
) -> Result<Coupled<'a>, Vec<FieldError>> {
    let mut set: Vec<f64> = d.edges.iter().map(|e| e.flow.value).collect();
    let known: Vec<_> = (0..d.pumps.len()).map(|p| branches(d, ways, p)).collect();
    // A pump that is set to more than it can send, as high as its outlets are known to stand, gives every branch as much less.
    for (p, pump) in d.pumps.iter().enumerate().filter(|p| known[p.0].is_none()) {
        let curve = pump.curve.first().and_then(|c| pump::pumps(&c.0).ok());
        for k in ways.out_of(ways.place(StationKind::Pump, p)).filter(|&k| set[k] > 0.0) {
            if let (Some(curve), Some(run)) = (&curve, d.edges[k].run.first())
                && curve.shut_off() <= run.0.lift
            {
                return Err(vec![too_high(d, ways, p, k, curve.shut_off(), run.0.lift)]);
            }
        }
        let (asked, most) = (asked_of(d, ways, p).value, d.can_lift(pump).value);
        if asked > most {
            ways.out_of(ways.place(StationKind::Pump, p)).for_each(|k| set[k] *= most / asked);
        }
    }
    for (s, sump) in d.sumps.iter().enumerate() {
        if let Some(l) = sump.levels.first().filter(|l| l.0.mark <= l.0.submergence && l.0.submergence.value > 0.0) {
            let say = |w: System| {
                let needs = show(SHORT_LENGTH.0, l.0.submergence.value, w);
                let fault = format!("the pump in {} would run dry: it needs {needs} of water", sump.name);
                [fault, "a fill mark above what the pump needs".into()]
            };
            return Err(vec![FieldError::with_units(format!("sumps.{s}.levels.0.mark"), &say)]);
        }
    }
    let mut lips = lips(d, ways, day)?;
    let mut faults = vec![];
    let mut pumps = vec![];
    for (p, k) in known.iter().enumerate() {
        let Some((branches, inputs)) = k.as_ref().and_then(|b| Some((b.clone(), inputs_of(d, p, b, day)?))) else {
            pumps.push(None);
            continue;
        };
        match pump::pumps(&inputs) {
            Ok(pair) => pumps.push(Some(Turning { inputs, pumps: pair, from: drawn(ways, p), branches })),
            Err(e) => {
                faults.extend(e.into_iter().map(|e| e.under(&format!("pumps.{p}.curve.0"))));
                pumps.push(None);
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let pools = pools(d, ways, &mut lips, &pumps);
    let sumps = (0..d.sumps.len()).map(|s| falling(d, ways, s, &pumps));
    let under = pumps.iter().flatten().flat_map(|p| {
        p.inputs.branches.iter().zip(&p.branches).filter(|(b, _)| b.ends == Ends::Under).map(|(_, k)| *k)
    });
    let tank =
        |k: usize| Some(&ways.stations[ways.edges[k].1]).filter(|s| s.kind == StationKind::Tank).map(|s| s.index);
    Ok(Coupled {
        d,
        ways,
        order,
        set,
        lips,
        pools,
        sumps: sumps.collect(),
        under: under.filter_map(|k| Some((k, tank(k)?))).collect(),
        pumps,
        viscosity: water::kinematic(check::temperature(d, day)),
    })
}

impl Coupled<'_> {
    /// What every edge that leaves a pump carries at the levels that have settled.
    pub fn sent(&self, levels: &Settled) -> Vec<f64> {
        self.sends(levels, network::TOLERANCE)
    }
    /// Puts a valve in each edge that leaves a solved pump.
    pub fn hold(&mut self, valve: &dyn Fn(usize) -> Throttle) {
        for p in self.pumps.iter_mut().flatten() {
            p.inputs.branches.iter_mut().zip(&p.branches).for_each(|(b, &k)| b.held = valve(k));
        }
    }
    /// Where the levels settle.
    ///
    /// # Errors
    /// That they do not.
    pub fn settled(&self) -> Result<Settled, Vec<FieldError>> {
        self.settle(None).ok_or_else(|| {
            let p = self.pumps.iter().position(Option::is_some).unwrap_or(0);
            let fault = "its flow and the levels in tanks and sump never settle".to_string();
            let at = FieldError::new(format!("pumps.{p}"), fault, "a larger sump, or a shorter pipe");
            vec![FieldError { label: self.d.pumps[p].name.clone(), ..at }]
        })
    }
    /// What every pump does at the levels that have settled.
    ///
    /// # Errors
    /// As [`supply`].
    pub fn finish(&self, levels: &Settled) -> Result<Supply, Vec<FieldError>> {
        let (d, ways, mut set) = (self.d, self.ways, self.set.clone());
        let (mut solved, mut faults) = (vec![], vec![]);
        for p in 0..d.pumps.len() {
            let (Some(mut inputs), Some(Turning { from, branches, pumps, .. })) =
                (self.lifted(p, levels), &self.pumps[p])
            else {
                solved.push(None);
                continue;
            };
            if inputs.branches.iter().any(|b| b.held != Throttle::Not) {
                pump::set_valves(&mut inputs, pumps);
            }
            // How much lower the sump may still stand: the beds full, and days without a top-up.
            let lower =
                from.iter().map(|&s| lowest(d, ways, s)).fold(None, |a, b| Some(f64::max(a.unwrap_or(0.0), b?)));
            if let Some(f) = lower {
                inputs.fall = LENGTH.of(f.min(ends::PUMP_FALL[1]));
            }
            let out = match calculators::solve::<PumpCalculator>(&inputs, &mut Working::none()) {
                Ok(out) => out,
                Err(e) => {
                    faults.extend(e.into_iter().map(|e| at_home(e, p, branches)));
                    solved.push(None);
                    continue;
                }
            };
            for (b, (q, &k)) in inputs.branches.iter().zip(out.usual.outlets.iter().zip(branches)) {
                set[k] = q.value;
                // A valve that somebody shut is a caution like a branch set to nothing.
                let shut = b.valve != Valve::Missing && b.open.value <= 0.0 || b.held != Throttle::Not;
                if q.value <= 0.0 && !shut {
                    faults.push(unreached(d, ways, p, k, b, &out));
                }
            }
            solved.push(Some(PumpSolved { inputs, out, branches: branches.clone() }));
        }
        if faults.is_empty() {
            Ok(Supply {
                set,
                pumps: solved,
                order: self.order.to_vec(),
                lips: self.lips.clone(),
                pools: self.pools.clone(),
            })
        } else {
            Err(faults)
        }
    }
}

/// The same system with every pump set by hand to what it sends today: for questions about the flow itself.
pub fn by_hand(d: &Document) -> Document {
    let mut by_hand = d.clone();
    let solved = flow::ways(d).and_then(|ways| {
        let supply = supply(d, &ways, &flow::order(&ways)?, Day::Today)?;
        let solved: Vec<usize> = (0..d.pumps.len()).filter(|&p| supply.pumps[p].is_some()).collect();
        let own = |k: &usize| solved.iter().any(|&p| ways.place(StationKind::Pump, p) == ways.edges[*k].0);
        // Where a branch is throttled, what flows then.
        let flows = check::solve_on(d, &ways, Day::Today).map_or_else(|_| supply.set.clone(), |s| s.flows.edges);
        Ok((solved.clone(), (0..d.edges.len()).filter(own).map(|k| (k, flows[k])).collect::<Vec<_>>()))
    });
    // What cannot be solved stays as it is.
    let Ok((pumps, edges)) = solved else { return by_hand };
    for p in pumps {
        by_hand.pumps[p].most = d.pumps[p].can_send();
        by_hand.pumps[p].curve.clear();
        by_hand.pumps[p].as_solved = true;
    }
    for (k, q) in edges {
        by_hand.edges[k].flow = FLOW.of(q);
        by_hand.edges[k].run.clear();
    }
    by_hand
}

/// An error of the pump calculator at the field of the system that it comes from.
fn at_home(e: FieldError, pump: usize, branches: &[usize]) -> FieldError {
    FieldError { path: home(&e.path, pump, branches), ..e }
}

/// The path in the system of a field of the pump calculator.
pub fn home(path: &str, pump: usize, branches: &[usize]) -> String {
    let branch = path.strip_prefix("branches.").and_then(|rest| rest.split_once('.'));
    match branch.and_then(|(n, key)| Some((branches.get(n.parse::<usize>().ok()?)?, key))) {
        Some((k, key)) => format!("edges.{k}.run.0.{key}"),
        None => format!("pumps.{pump}.curve.0.{path}"),
    }
}

fn unreached(d: &Document, ways: &Ways<'_>, p: usize, k: usize, b: &pump::Branch, out: &PumpOut) -> FieldError {
    if out.pumps.shut_off() <= b.lift {
        return too_high(d, ways, p, k, out.pumps.shut_off(), b.lift);
    }
    let (pump, to) = (&d.pumps[p].name, ways.stations[ways.edges[k].1].name);
    let fault = format!("no water from {pump} reaches {to}: lower outlets take it all");
    FieldError::new(format!("edges.{k}.run.0.lift"), fault, "a valve on the lower outlets, or a lower outlet here")
}

fn too_high(d: &Document, ways: &Ways<'_>, p: usize, k: usize, most: Length, lift: Length) -> FieldError {
    let (pump, to) = (&d.pumps[p].name, ways.stations[ways.edges[k].1].name);
    let say = |w: System| {
        let [most, lift] = [most, lift].map(|x| show(LENGTH.0, x.value, w));
        let fault = format!("{pump} lifts {most} at most, and the outlet to {to} is {lift} over the water");
        [fault, "a lower outlet, or a pump with more head".into()]
    };
    FieldError::with_units(format!("edges.{k}.run.0.lift"), &say)
}

/// How far a sump may stand below its running level: what beds with siphons swing and what evaporates; nothing where its size is not known.
fn lowest(d: &Document, ways: &Ways<'_>, sump: usize) -> Option<f64> {
    let l = &d.sumps[sump].levels.first()?.0;
    let swing: f64 = siphons_on(d, ways, sump)
        .iter()
        .filter_map(|&b| d.beds[b].siphon.first())
        .map(|s| (s.0.length * s.0.width * s.0.porosity * (s.0.flood - s.0.low)).value.max(0.0))
        .sum();
    let gone = if l.top_up == TopUp::Float { 0.0 } else { (l.evaporation * l.days).value };
    Some((swing + gone) / (l.volume / l.depth).value)
}

/// Beds with a siphon whose water a sump gives or takes.
fn siphons_on(d: &Document, ways: &Ways<'_>, sump: usize) -> Vec<usize> {
    let place = ways.place(StationKind::Sump, sump);
    let gives: Vec<usize> = (0..d.pumps.len())
        .filter(|&p| drawn(ways, p).contains(&sump))
        .flat_map(|p| ways.below(ways.place(StationKind::Pump, p)))
        .collect();
    (0..d.beds.len())
        .filter(|&b| !d.beds[b].siphon.is_empty())
        .filter(|&b| {
            let bed = ways.place(StationKind::Bed, b);
            gives.contains(&bed) || ways.pools_below(bed).contains(&place)
        })
        .collect()
}

/// What comes while siphons run.
#[derive(Debug, Clone, PartialEq)]
pub struct Surges {
    /// To every station, m3/s; 0 where no siphon is above it.
    pub comes: Vec<f64>,
    /// The most that goes on from every station, m3/s: at an outlet what that has to carry then. Where no siphon is above it, the most that may come.
    pub carries: Vec<f64>,
}

/// Beds whose siphon sends its water to a station before a sump takes it.
pub fn siphons_above(d: &Document, ways: &Ways<'_>, station: usize) -> Vec<usize> {
    let past = |s: usize| ways.stations[s].kind != StationKind::Sump;
    let sends = |b: &usize| ways.below_past(ways.place(StationKind::Bed, *b), &past).contains(&station);
    (0..d.beds.len()).filter(|&b| !d.beds[b].siphon.is_empty()).filter(sends).collect()
}

/// An area and a height within the ranges of a row, their product kept or, past all ranges, as much of it as there is room for.
fn within(volume: f64, height: f64, heights: [f64; 2], [least, most]: [f64; 2]) -> (Area, Length) {
    let h = ends::within(height, heights);
    let a = if h > 0.0 { (volume / h).max(least) } else { least };
    let (a, h) = if a > most { (most, (volume / most).min(heights[1])) } else { (a, h) };
    (AREA.of(a), SHORT_LENGTH.of(h))
}

/// The water with each pump that is set by hand sending all it can: one day it may.
#[derive(Debug, Clone)]
pub struct AtMost {
    /// What flows through every station, m3/s.
    pub through: Vec<f64>,
    /// How far the water at every outlet then stands over where it stands without flow.
    rises: Vec<Length>,
    /// What every outlet then carries, and how far the water falls that it ends in.
    carried: Vec<(VolumeRate, Length)>,
}

impl Supply {
    /// How far the water at every outlet stands over where it stands without flow, with so much through every station.
    pub fn rises(&self, through: &dyn Fn(usize) -> f64) -> Vec<Length> {
        let rises = Rises::new((&self.lips, &self.pools), through);
        (0..self.lips.len()).map(|outlet| rises.of(outlet)).collect()
    }
    /// The water at its highest, where outlets carry so much.
    pub fn at_most(&self, d: &Document, ways: &Ways<'_>, carry: &[VolumeRate]) -> AtMost {
        let [left, through] = self.high(d, ways);
        // No more of it than the outlet carries.
        let carried = |station: usize| {
            let lip = self.lips.iter().position(|l| l.station == station);
            left[station].min(lip.map_or(f64::INFINITY, |o| carry[o].value))
        };
        let rises = Rises::new((&self.lips, &self.pools), &carried);
        let fallen = |l: &Lip| LENGTH.of(l.pool.map_or(0.0, |p| rises.fallen(p)));
        let carried = self.lips.iter().map(|l| (FLOW.of(carried(l.station) / l.outlets), fallen(l))).collect();
        AtMost { rises: (0..self.lips.len()).map(|outlet| rises.of(outlet)).collect(), carried, through }
    }
    /// What a station whose water only pumps take lacks at its lowest: what stands over the outlets that drain into it, at the most that may come, what
    /// the siphon beds there hold at once, and its pumps' pipes, so far as they are known.
    pub fn gone(
        &self,
        d: &Document,
        ways: &Ways<'_>,
        place: usize,
        high: &AtMost,
        siphons: &[Option<SiphonOut>],
    ) -> Option<Volume> {
        if ways.others(place) || !ways.is_drawn(place) {
            return None;
        }
        let into = |station| ways.pools_below(station).contains(&place);
        let held = falls_into(d, ways, &into).into_iter().map(|t| self.lips[t].area.value * high.rises[t].value);
        let back = |b: &usize| into(ways.place(StationKind::Bed, *b));
        let beds = (0..d.beds.len()).filter(back).filter_map(|b| Some(siphons[b].as_ref()?.swung.value));
        let mine = |p: &usize| ways.edges.contains(&(place, ways.place(StationKind::Pump, *p)));
        let pipes = (0..d.pumps.len()).filter(mine).filter_map(|p| Some(contents(&self.pumps[p].as_ref()?.inputs)));
        Some(VOLUME.of(held.chain(beds).chain(pipes).sum()))
    }
    /// What flows out of every station by its fall, and through it, with each pump that is set by hand sending all it can.
    fn high(&self, d: &Document, ways: &Ways<'_>) -> [Vec<f64>; 2] {
        let mut high = self.set.clone();
        let free = |(p, pump): &(usize, &Pump)| self.pumps[*p].is_none() && !pump.as_solved;
        for (p, pump) in d.pumps.iter().enumerate().filter(free) {
            let station = ways.place(StationKind::Pump, p);
            let asked: f64 = ways.out_of(station).map(|k| high[k]).sum();
            let most = pump.can_send().value.max(asked);
            ways.out_of(station).for_each(|k| high[k] *= if asked > 0.0 { most / asked } else { 1.0 });
        }
        let (edges, through) = flow::run(ways, &self.order, &high);
        [flow::left(ways, &edges, &through), through]
    }
    /// What siphons send to the stations below them, where `most` may come to each otherwise: at any time and all at once, for their cycles drift. A sump
    /// takes it, and what only pumps empty. Where the water parts, any part may get all of it.
    pub fn surges(&self, d: &Document, ways: &Ways<'_>, most: &[f64], day: Day) -> Surges {
        let n = most.len();
        let siphon = |s: usize| {
            let bed = Some(&ways.stations[s]).filter(|b| b.kind == StationKind::Bed && most[s] > 0.0)?;
            siphon::drains(&check::siphon_of(d, d.beds[bed.index].siphon.first()?, FLOW.of(0.0), day))
        };
        let drains: Vec<_> = (0..n).map(siphon).collect();
        let (mut comes, mut carries) = (vec![0.0; n], most.to_vec());
        if drains.iter().all(Option::is_none) {
            return Surges { comes, carries };
        }
        // What comes past no siphon.
        let mut direct = vec![0.0; n];
        for (p, pump) in d.pumps.iter().enumerate() {
            let below = ways.below_past(ways.place(StationKind::Pump, p), &|s| drains[s].is_none());
            below.into_iter().for_each(|s| direct[s] += pump.can_send().value);
        }
        // What every siphon sends to every station, and the water in that.
        let (mut sent, mut water) = (vec![vec![0.0; n]; n], vec![0.0; n]);
        let lip = |s: usize| self.lips.iter().position(|l| l.station == s);
        let turns = |i: usize, outlet: &Outlet, comes: f64, more: f64| {
            let lip = &self.lips[i];
            let stands = |q: VolumeRate| outlet.stand(q / lip.outlets).level;
            turns_at(&stands, lip.area, FLOW.of(most[lip.station]), FLOW.of(comes), VOLUME.of(more)).value
        };
        for &s in &self.order {
            let all: f64 = sent[s].iter().sum();
            let more: f64 = sent[s].iter().zip(&water).filter(|x| *x.0 > 0.0).map(|x| x.1).sum();
            if all > 0.0 {
                comes[s] = direct[s] + all;
                carries[s] = comes[s].max(most[s]);
            }
            let own = if let Some(b) = &drains[s] {
                water[s] = more + b.swung().value;
                let mut own = vec![0.0; n];
                own[s] = b.flow_high.value;
                own
            } else {
                match lip(s) {
                    _ if all <= 0.0 || ways.stations[s].kind == StationKind::Sump => continue,
                    Some(i) if self.lips[i].missing => continue,
                    Some(i) if self.lips[i].into.is_none() => {
                        carries[s] = turns(i, &self.lips[i].outlet, comes[s], more);
                        let part = ((carries[s] - direct[s]) / all).clamp(0.0, 1.0);
                        sent[s].iter().map(|q| q * part).collect()
                    }
                    _ => sent[s].clone(),
                }
            };
            for k in ways.out_of(s).filter(|&k| !ways.is_pump(ways.edges[k].1)) {
                let to = &mut sent[ways.edges[k].1];
                to.iter_mut().zip(&own).for_each(|(a, b)| *a = a.max(*b));
            }
        }
        // What ends in the water of the next is asked with that as high as it then stands.
        for &s in self.order.iter().rev().filter(|&&s| comes[s] > 0.0) {
            let Some(i) = lip(s) else { continue };
            let Some((inputs, _)) = self.lips[i].into.as_ref().filter(|_| !self.lips[i].missing) else { continue };
            let by = self.back_up(i, &|s| carries[s]);
            let more: f64 = sent[s].iter().zip(&water).filter(|x| *x.0 > 0.0).map(|x| x.1).sum();
            let outlet = inputs.clone().backed(by).outlet().unwrap_or(self.lips[i].outlet);
            carries[s] = turns(i, &outlet, comes[s], more);
        }
        Surges { comes, carries }
    }
    /// How much more water it then has over its far end; nothing unless it ends in the water of another station.
    pub fn back_up(&self, outlet: usize, through: &dyn Fn(usize) -> f64) -> Length {
        Rises::new((&self.lips, &self.pools), through).back_up(outlet)
    }
    /// Does it end in the water of another station?
    pub fn ends_in_water(&self, outlet: usize) -> bool {
        self.lips[outlet].into.is_some()
    }
    /// The fall from its rim to the end of its pipe: over where the water stands without flow, down an open standpipe, along the run.
    pub fn fall(&self, outlet: usize) -> Length {
        let Lip { room, outlet: o, .. } = &self.lips[outlet];
        let down = if let Inlet::Rim { height, .. } = o.inlet { height } else { LENGTH.of(0.0) };
        *room + down + o.run.length * o.run.slope
    }
    /// Where the water stands without flow.
    pub fn still(&self, outlet: usize) -> Length {
        self.lips[outlet].still
    }
    /// What comes when the sumps stand at their lowest; nothing where that is the same.
    pub fn least(&self) -> Option<Vec<f64>> {
        let mut set = self.set.clone();
        let mut solved = false;
        for p in self.pumps.iter().flatten() {
            solved = true;
            for (q, &k) in p.out.low.outlets.iter().zip(&p.branches) {
                set[k] = q.value.max(0.0);
            }
        }
        solved.then_some(set)
    }
    /// The row of a tank that shares the level of a sump, because its flooded pipe ends in that: as far over it as it stands at the most. Nothing for another,
    /// or where no pipe of the page stands so.
    fn follows(
        &self,
        t: usize,
        ways: &Ways<'_>,
        (sump, levels): (usize, &LevelsIn),
        high: &AtMost,
        (flow, nu): (VolumeRate, KinematicViscosity),
    ) -> Option<TankRow> {
        let (to, row, under) = self.lips[t].flooded.as_ref()?;
        let (q, fall) = high.carried[t];
        if *to != ways.place(StationKind::Sump, sump) || *under > levels.mark {
            return None;
        }
        let end = levels.mark - *under;
        let row = TankRow { end, share: if flow.value > 0.0 { q / flow } else { RATIO.of(0.0) }, ..row.clone() };
        if row.top() > levels.mark || row.share.value > 1.0 {
            return None;
        }
        let over = levels.mark + high.rises[t] - (levels.mark - fall).max(row.top());
        let rise = SHORT_LENGTH.of(ends::within(high.rises[t].value, ends::TANK_RISE));
        let there = ends::within(row.area.value, ends::TANK_AREA) == row.area.value;
        TankRow { rise, ..row }.standing(over, q, nu).filter(|_| there)
    }
    /// The levels of a sump, if its size is known and a pump draws from it; another stands at its way out, whatever flows. Tanks stand as high as the most that a pump set by hand may send makes them.
    ///
    /// # Errors
    /// Field errors of the sump.
    pub fn sump(
        &self,
        d: &Document,
        ways: &Ways<'_>,
        sump: usize,
        high: &AtMost,
        siphons: &[Option<SiphonOut>],
        day: Day,
    ) -> Result<Option<SumpSolved>, Vec<FieldError>> {
        let pumped = ways.is_drawn(ways.place(StationKind::Sump, sump));
        let Some(known) = d.sumps[sump].levels.first().filter(|_| pumped) else { return Ok(None) };
        let mine = |p: &usize| drawn(ways, *p).contains(&sump);
        let pumped: f64 = (0..d.pumps.len()).filter(mine).map(|p| high.through[ways.place(StationKind::Pump, p)]).sum();
        let flow = FLOW.of(pumped.min(ends::SUMP_FLOW[1]));
        let nu = water::kinematic(check::temperature(d, day));
        let mut rows: Vec<TankRow> = vec![];
        for t in outlets_above(d, ways, sump) {
            // The last row is for all that find no other.
            let room = rows.len() + 1 < ends::TANK_ROWS;
            if let Some(row) = self.follows(t, ways, (sump, &known.0), high, (flow, nu)).filter(|_| room) {
                rows.push(row);
                continue;
            }
            let (held, rise) = (self.lips[t].area.value, high.rises[t].value);
            if let Some(last) = rows.get_mut(ends::TANK_ROWS - 1) {
                let all = held * rise + (last.area * last.rise).value;
                (last.area, last.rise) = within(all, last.rise.value.max(rise), ends::TANK_RISE, ends::TANK_AREA);
                continue;
            }
            let (area, rise) = within(held * rise, rise, ends::TANK_RISE, ends::TANK_AREA);
            rows.push(TankRow { area, rise, leaves: Leaves::Measured, ..TankRow::default() });
        }
        let mut beds: Vec<BedRow> = vec![];
        for b in siphons_on(d, ways, sump) {
            let (Some(s), Some(o)) = (d.beds[b].siphon.first(), &siphons[b]) else { continue };
            let height = (s.0.flood - s.0.low).value;
            if let Some(last) = beds.last_mut().filter(|_| b >= ends::BED_ROWS) {
                last.area += o.swung / (last.porosity * last.swing);
                continue;
            }
            let (area, swing) = within((o.swung / s.0.porosity).value, height, ends::BED_SWING, ends::BED_AREA);
            let inflow = o.inflow.max(FLOW.of(ends::BED_INFLOW[0]));
            let siphon = o.bed.flow_high.max(FLOW.of(ends::BED_SIPHON[0]));
            beds.push(BedRow { count: COUNT.of(1.0), area, porosity: s.0.porosity, swing, inflow, siphon });
        }
        let pipes = (0..d.pumps.len()).filter(mine).filter_map(|p| self.pumps[p].as_ref()).map(|p| contents(&p.inputs));
        let inputs = LevelsIn {
            flow,
            length: LENGTH.of(0.0),
            other_pipes: VOLUME.of((known.0.other_pipes.value + pipes.sum::<f64>()).min(ends::SUMP_PIPES[1])),
            tanks: rows,
            beds,
            temperature: check::temperature(d, day),
            ..known.0.clone()
        };
        let out = solve_at::<Levels>(&inputs, &format!("sumps.{sump}.levels.0"))?;
        Ok(Some(SumpSolved { inputs, out }))
    }
}

#[cfg(test)]
mod tests;
