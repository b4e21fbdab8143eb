//! How the water of a day moves: pumps, outlets, and what has to be throttled for them; worked out once for all that moves it alike.

use super::*;

/// What days of a document, and documents that differ in a little, have in common, so that it is computed once. All of them must have the same
/// stations and edges.
#[derive(Debug, Default)]
pub struct Shared {
    pub(super) waters: Vec<(WaterKey, Moving)>,
    pub(super) heat: Vec<HeatSolved>,
    /// Nothing else will be asked about: nothing needs to be kept.
    pub(super) alone: bool,
}

impl Shared {
    /// The water as it moves on a day.
    pub(super) fn moving(&mut self, d: &Document, ways: &Ways<'_>, day: Day) -> Result<Moving, Vec<FieldError>> {
        let wet = WaterKey::of(d, day);
        if self.alone {
            return moving(&wet.document(), ways);
        }
        if let Some((_, known)) = self.waters.iter().find(|w| w.0 == wet) {
            return Ok(known.clone());
        }
        let water = moving(&wet.clone().document(), ways)?;
        kept(&mut self.waters, (wet, water.clone()));
        Ok(water)
    }
    /// The heat of the coldest night, which is the same on all days.
    pub(super) fn heat(&mut self, d: &Document) -> Result<Option<HeatSolved>, Vec<FieldError>> {
        let Some(inputs) = quality::heat_of(d) else { return Ok(None) };
        if let Some(known) = self.heat.iter().find(|h| h.inputs == inputs) {
            return Ok(Some(known.clone()));
        }
        let heat = quality::heat(inputs)?;
        kept(&mut self.heat, heat.clone());
        Ok(Some(heat))
    }
}

/// Keeps one more: those that came first, which belong to the document that the others differ from, and the newest.
fn kept<T>(all: &mut Vec<T>, new: T) {
    if all.len() == FIRST + NEWEST {
        all.remove(FIRST);
    }
    all.push(new);
}

/// What is kept of the first and of the newest: every day of a document, and as much again.
pub(super) const FIRST: usize = Day::ALL.len();

pub(super) const NEWEST: usize = 2 * Day::ALL.len();

/// All of a document that moves its water on a day, and nothing else: where this is the same, the water moves alike.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WaterKey {
    temperature: ThermodynamicTemperature,
    sumps: Vec<Sump>,
    pumps: Vec<Pump>,
    edges: Vec<Edge>,
    outlets: Vec<DrainIn>,
    settlers: Vec<Settler>,
    beds: Vec<Bed>,
}

impl WaterKey {
    pub(super) fn of(d: &Document, day: Day) -> Self {
        let outlet = |o: &DrainIn| {
            let i = outlet_on(d, o, o.flow, day);
            // Without a screen nobody asks how far it is blocked.
            let blocked = if i.screen == ScreenKind::None { PERCENT.of(0.0) } else { i.blocked };
            DrainIn { blocked, ..i }
        };
        let ways_out = |all: &[WayOut]| all.iter().map(|o| WayOut(outlet(&o.0))).collect::<Vec<_>>();
        // Of what has an outlet the size counts too.
        let settler = |s: &Settler| match ways_out(&s.outlet) {
            none if none.is_empty() => Settler::default(),
            outlet => Settler { outlet, ..s.clone() },
        };
        let bed = |b: &Bed| match ways_out(&b.outlet) {
            none if none.is_empty() || !b.stands() => Bed { siphon: b.siphon.clone(), ..Bed::default() },
            outlet => Bed { outlet, ..b.clone() },
        };
        Self {
            temperature: temperature(d, day),
            sumps: d.sumps.clone(),
            pumps: d.pumps.clone(),
            edges: d.edges.clone(),
            outlets: d.tanks.iter().map(|t| outlet(&t.outlet)).collect(),
            settlers: d.settlers.iter().map(settler).collect(),
            beds: d.beds.iter().map(bed).collect(),
        }
    }
    /// A document with this water today and with nothing else in it.
    pub(super) fn document(self) -> Document {
        let tank = |outlet| Tank { outlet, ..Tank::default() };
        Document {
            water: Water { today: self.temperature, ..Water::default() },
            sumps: self.sumps,
            pumps: self.pumps,
            tanks: self.outlets.into_iter().map(tank).collect(),
            settlers: self.settlers,
            beds: self.beds,
            edges: self.edges,
            ..Document::default()
        }
    }
}

/// The water as it moves.
#[derive(Debug, Clone)]
pub(super) struct Moving {
    pub(super) supply: Supply,
    /// Of every tank the most that could come, and its outlet at the most.
    pub(super) outlets: Vec<(VolumeRate, DrainOut)>,
    /// What would come to every station with its own branch as it is, and whether that had to be throttled.
    pub(super) comes: Vec<(f64, bool)>,
    /// Of settlers and beds the same.
    pub(super) ways_out: Vec<WayOutSolved>,
    /// How far the next tank's water backs up in each, at what flows and at the most.
    pub(super) backed: Vec<[Length; 2]>,
    /// How far the water of each stands over where it stands without flow, at what flows.
    pub(super) rises: Vec<Length>,
    pub(super) high: AtMost,
    /// What really flows, and the least of it: with the sumps at their lowest, where that is less.
    pub(super) flows: Flows,
    pub(super) low: Option<Flows>,
    pub(super) surges: Vec<f64>,
    pub(super) levels: Vec<(usize, Level)>,
}

/// Pumps, outlets and what they leave of the flow, of a document that holds nothing else ([`WaterKey::document`]).
pub(super) fn moving(d: &Document, ways: &Ways<'_>) -> Result<Moving, Vec<FieldError>> {
    let day = Day::Today;
    let order = flow::order(ways)?;
    let coupled = supply::coupled(d, ways, &order, day)?;
    let settled = coupled.settled()?;
    let supply = coupled.finish(&settled)?;
    let wanted = flow::flows(d, ways, &order, &supply.set)?;
    let mut levels = vec![];
    let mut faults = vec![];

    // Outlets, and what they leave of the flow.
    let mut carries = vec![f64::INFINITY; ways.stations.len()];
    let mut outlets = vec![];
    let mut ways_out = vec![];
    let Surges { comes: surges, carries: mut most } = supply.surges(d, ways, &wanted.most, day);
    // As far as the outlet's own page goes.
    most.iter_mut().zip(&wanted.most).for_each(|(q, most)| *q = q.min(most.max(ends::OUTLET_FLOW[1])));
    for (i, h) in d.outlets().iter().enumerate() {
        let station = ways.place(h.kind, h.index);
        match outlet_at_most(d, ways, &supply, &most, i, h) {
            Ok((inputs, out)) => {
                // Where only pumps take the water there is no outlet, and nothing to throttle for it.
                let level = Drain::level(&out).filter(|_| ways.others(station));
                let over = level.as_ref().is_some_and(|l| l.state() == State::Over);
                // A throttled pump makes no siphon send less.
                let over =
                    over && (most[station] <= wanted.most[station] || FLOW.of(wanted.most[station]) > out.capacity);
                levels.extend(level.map(|l| (station, Level { id: level::OUTLET.into(), name: "Outlet".into(), ..l })));
                if h.kind != StationKind::Tank {
                    let rise = LENGTH.of(0.0);
                    ways_out.push(WayOutSolved { kind: h.kind, index: h.index, alike: h.alike, inputs, out, rise });
                    continue;
                }
                if over {
                    carries[station] = THROTTLED_TO.value * out.capacity.value;
                }
                outlets.push((FLOW.of(most[station]), out));
            }
            Err(mut e) => faults.append(&mut e),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let Throttled { supply, share, comes } = throttled(d, ways, (coupled, settled), supply, &wanted, &carries, ROUNDS);
    // Pumps: what their branches are set to, of what they can send; or how high they lift, of what they can. They stand before the outlets.
    let of_pump = |(i, p): (usize, &Pump)| {
        let level = match &supply.pumps[i] {
            Some(s) => pump::lifted(&s.out),
            None => {
                Level::upper(level::PUMP, "Flow asked of the pump", FLOW, supply::asked_of(d, ways, i), d.can_lift(p))
            }
        };
        (ways.place(StationKind::Pump, i), level)
    };
    let levels = d.pumps.iter().enumerate().map(of_pump).chain(levels).collect();
    let flows = flow::settled(d, ways, &order, &times(&supply.set, &share));
    let low = supply.least().map(|set| flow::settled(d, ways, &order, &times(&set, &share)));
    let low = low.filter(|low| low.through.iter().zip(&flows.through).any(|(low, q)| *low < q * (1.0 - AGAIN)));
    let backed = |t: usize| [&flows.left, &most].map(|q| supply.back_up(t, &|s| q[s]));
    let backed = (0..d.tanks.len()).map(backed).collect();
    let rises = supply.rises(&|s| flows.left[s]);
    ways_out.iter_mut().zip(&rises[d.tanks.len()..]).for_each(|(o, rise)| o.rise = *rise);
    let carry = ways_out.iter().map(|o| o.out.capacity * o.alike);
    let carry: Vec<VolumeRate> = outlets.iter().map(|o| o.1.capacity).chain(carry).collect();
    let high = supply.at_most(d, ways, &carry);
    Ok(Moving { supply, outlets, comes, ways_out, backed, rises, high, flows, low, surges, levels })
}

/// What an outlet is left of what it carries, where its branch is throttled for it.
const THROTTLED_TO: Coef = Coef::new(ENOUGH, "1", &system::THROTTLING, "of what it carries");

/// Branches throttled so that no outlet of a tank gets more than it is to carry.
struct Throttled {
    /// Solved anew with what is held.
    supply: Supply,
    /// What is left of the flow that is set in each edge.
    share: Vec<f64>,
    /// As [`Moving::comes`].
    comes: Vec<(f64, bool)>,
}

/// A branch is throttled for every tank that its water passes before another pump lifts it. What a solved pump does not send there goes
/// elsewhere, so it is solved again with those branches held, until no other has to be, in so many rounds.
fn throttled(
    d: &Document,
    ways: &Ways<'_>,
    (mut coupled, settled): (Coupled<'_>, Settled),
    supply: Supply,
    wanted: &Flows,
    carries: &[f64],
    rounds: usize,
) -> Throttled {
    let (n, order) = (ways.edges.len(), coupled.order);
    let solved: Vec<usize> = supply.pumps.iter().flatten().flat_map(|p| p.branches.clone()).collect();
    let mut comes: Vec<(f64, bool)> = wanted.through.iter().map(|&q| (q, false)).collect();
    let (mut held, mut share) = (vec![f64::INFINITY; n], vec![1.0; n]);
    let mut sent = supply.set.clone();
    // Where the levels settled last, and with what held.
    let mut last: Option<(Settled, Vec<f64>)> = None;
    for round in 0..=rounds {
        let through = flow::settled(d, ways, order, &times(&sent, &share)).through;
        let mut left = vec![1.0; through.len()];
        for (s, &q) in through.iter().enumerate() {
            let less = q > carries[s] * (1.0 + AGAIN);
            comes[s] = (comes[s].0.max(q), comes[s].1 || less);
            left[s] = if less { carries[s] / q } else { 1.0 };
        }
        let kept = |to: usize| ways.below(to).into_iter().map(|s| left[s]).fold(left[to], f64::min);
        let kept = |k: usize| if ways.is_pump(ways.edges[k].0) { kept(ways.edges[k].1) } else { 1.0 };
        let kept: Vec<f64> = (0..n).map(kept).collect();
        let less: Vec<usize> = solved.iter().copied().filter(|&k| kept[k] < 1.0).collect();
        less.iter().for_each(|&k| held[k] = held[k].min(sent[k] * kept[k]));
        // What cannot be solved so, past the ends of what is known of the pump, is throttled without.
        let again = if round == rounds || less.is_empty() {
            None
        } else {
            coupled.hold(&|k| valve(&held, k));
            coupled.settle(last.as_ref().map(|l| &l.0).or(Some(&settled)))
        };
        (0..n).filter(|k| again.is_none() || !solved.contains(k)).for_each(|k| share[k] *= kept[k]);
        match again {
            Some(levels) => {
                sent = coupled.sent(&levels);
                last = Some((levels, held.clone()));
            }
            None => break,
        }
    }
    let Some((levels, held)) = last else { return Throttled { supply, share, comes } };
    coupled.hold(&|k| valve(&held, k));
    match coupled.finish(&levels) {
        Ok(supply) => Throttled { supply, share, comes },
        Err(_) => throttled(d, ways, (coupled, settled), supply, wanted, carries, 0),
    }
}

/// The valve in a branch that is held to so much, without end where it is not.
fn valve(held: &[f64], k: usize) -> pump::Throttle {
    if held[k].is_finite() { pump::Throttle::At(FLOW.of(held[k])) } else { pump::Throttle::Not }
}

fn times(set: &[f64], share: &[f64]) -> Vec<f64> {
    set.iter().zip(share).map(|(q, k)| q * k).collect()
}

/// Rounds in which branches are held, and what is too little more for another.
const ROUNDS: usize = 8;

const AGAIN: f64 = 1e-9;

/// An outlet with the most that may come. Where it ends in the water of the next station, that rises with the flow: what it carries is
/// the flow at which both agree.
fn outlet_at_most(
    d: &Document,
    ways: &Ways<'_>,
    supply: &Supply,
    most_of: &[f64],
    i: usize,
    held: &flow::StationOutlet<'_>,
) -> Result<(DrainIn, DrainOut), Vec<FieldError>> {
    let most = most_of[ways.place(held.kind, held.index)] / held.alike;
    let own = outlet_on(d, &held.outlet, FLOW.of(most), Day::Today);
    let path = held.path();
    let by = |share: f64| supply.back_up(i, &|s| most_of[s] * share);
    let at = |by: Length| {
        let at_home = |e: Vec<FieldError>| e.into_iter().map(|e| e.under(&path)).collect::<Vec<_>>();
        own.clone().solve_backed(by).map_err(at_home)
    };
    let most_by = by(1.0);
    let mut out = at(most_by)?;
    if supply.ends_in_water(i) && most > 0.0 {
        let share = |o: &DrainOut| o.capacity.value / most;
        let carries = |s: f64| at(by(s)).map_or(0.0, |o| share(&o));
        // Where the next water falls instead, it carries more than with that at rest.
        let mut high = carries(0.0);
        while carries(high) > high && high < MANY {
            high *= 2.0;
        }
        let agree = roots::crossing(|s| carries(s) - s, 0.0, high, AGREES);
        let then = at(by(agree))?;
        // Where the next water alone brings it to its limit, what it carries by itself falls steeply: the flow counts at which that is.
        let carried = FLOW.of(agree * most);
        let freeboard = if then.limited_by == Limit::Freeboard { carried } else { then.freeboard_flow };
        (out.capacity, out.freeboard_flow, out.limited_by) = (carried, freeboard, then.limited_by);
        out.still = supply.still(i);
    }
    Ok((own.backed(most_by), out))
}

/// So many times what may come is as good as any more.
const MANY: f64 = 1e6;
/// What an outlet carries into the next tank's water is found to this share of the most.
const AGREES: f64 = 1e-4;
