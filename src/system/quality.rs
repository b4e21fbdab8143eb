//! The quality of the water at the flows there are: oxygen and ammonia of every station, mixed round the loop; and the warmth of all of it.
//!
//! Steady, and every station mixed: all fish have just eaten, nothing is stored. A bed with a siphon is taken at the mean of its cycles. The film
//! that is said to live apart from the fish lives where the filter is said to be, or else in the beds (in those with a medium, if there are any;
//! without beds in the settlers, without those in the sumps), and there alone the water takes up oxygen outside the tanks. All water has one temperature.

use super::check::{self, Day, solve_at};
use super::document::*;
use super::ends;
use super::flow::{Flows, StationKind, Ways};
use crate::calculators::Calculator;
use crate::calculators::ammonia::{Ammonia as AmmoniaCalculator, AmmoniaIn, AmmoniaOut};
use crate::calculators::bed::RAFT_WATER;
use crate::calculators::form::FieldError;
use crate::calculators::handling;
use crate::calculators::heat::{Heat as HeatCalculator, HeatIn, HeatOut};
use crate::calculators::outcome::Working;
use crate::calculators::oxygen::{self, BedKind, Filter, Inlet, Oxygen, OxygenIn, OxygenOut, Reading};
use crate::catalog::crops::Stands;
use crate::catalog::species::Species;
use crate::science::ammonia;
use crate::science::oxygen_balance::Supply;
use crate::science::round::{Body, Returns, Round};
use crate::units::{kinds::*, si::*, *};
use std::f64::consts::PI;

/// Where the film lives, and which share of it.
pub fn film(d: &Document, ways: &Ways<'_>) -> Vec<(usize, f64)> {
    let beds = |media: bool| {
        let size = |b: &Bed| if media { b.medium().value } else { b.rafts().value };
        d.beds.iter().enumerate().map(|(i, b)| (ways.place(StationKind::Bed, i), size(b))).collect::<Vec<_>>()
    };
    let like = |kind: StationKind| {
        ways.stations.iter().enumerate().filter(|(_, s)| s.kind == kind).map(|(i, _)| (i, 1.0)).collect()
    };
    let said = match d.ammonia.first().map_or(FilterAt::Beds, |a| a.1) {
        FilterAt::Beds => vec![],
        FilterAt::Settlers => like(StationKind::Settler),
        FilterAt::Sumps => like(StationKind::Sump),
    };
    let all = [said, beds(true), beds(false), like(StationKind::Settler), like(StationKind::Sump)];
    for places in all {
        let sum: f64 = places.iter().map(|p| p.1).sum();
        if sum > 0.0 {
            return places.into_iter().filter(|p| p.1 > 0.0).map(|(i, x)| (i, x / sum)).collect();
        }
    }
    vec![]
}

/// The tanks' oxygen, and the balance of every station.
pub struct Aired {
    /// Inputs of every tank, with what comes back to it.
    pub inputs: Vec<OxygenIn>,
    /// Their results.
    pub tanks: Vec<OxygenOut>,
    /// The balance after the meal, at the low and the high end of transfer.
    pub rounds: [Round; 2],
}

/// Every tank by itself. Of those in `known` the ranges have been looked at: less flow is within them too.
fn each_tank(inputs: &[OxygenIn], known: &[OxygenIn]) -> Result<Vec<OxygenOut>, Vec<FieldError>> {
    let (mut all, mut faults) = (vec![], vec![]);
    for (i, x) in inputs.iter().enumerate() {
        let within = known.get(i).is_some_and(|k| x.flow <= k.flow && x.reading == k.reading);
        match if within { within_range(i, x) } else { solve_at::<Oxygen>(x, &path(i)) } {
            Ok(o) => all.push(o),
            Err(mut e) => faults.append(&mut e),
        }
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

/// A tank whose ranges have been looked at.
fn within_range(tank: usize, x: &OxygenIn) -> Result<OxygenOut, Vec<FieldError>> {
    let at_home = |e: Vec<FieldError>| e.into_iter().map(|e| e.under(&path(tank))).collect();
    Oxygen::solve(x, &mut Working::none()).map_err(at_home)
}

fn path(tank: usize) -> String {
    format!("tanks.{tank}.oxygen")
}

/// The oxygen that goes round, at which end of transfer.
fn round(
    d: &Document,
    ways: &Ways<'_>,
    flows: &Flows,
    film: &[(usize, f64)],
    (inputs, alone): (&[OxygenIn], &[OxygenOut]),
    end: usize,
) -> Round {
    let apart: f64 = alone.iter().map(|o| o.film_apart.value).sum();
    let drained = |bed: usize| {
        let said = inputs.iter().any(|i| i.filter == Filter::Apart && i.bed == BedKind::Drained);
        said || !d.beds[bed].siphon.is_empty()
    };
    let place = |t: usize| ways.place(StationKind::Tank, t);
    let mut bodies = vec![Body::default(); ways.stations.len()];
    let cs = alone.first().map_or(CONCENTRATION.of(0.0), |o| o.saturation);
    let mut given = vec![];
    for (t, (i, o)) in inputs.iter().zip(alone).enumerate() {
        let s: &Supply = if end == 0 { &o.supply.0 } else { &o.supply.1 };
        let still = s.surface + s.lifted;
        let gain = s.air + still;
        let weighed = (s.air * s.air_saturation + still * s.saturation).value / gain.value;
        let outside = if gain.value > 0.0 { CONCENTRATION.of(weighed) } else { s.saturation };
        let b = &mut bodies[place(t)];
        *b = Body { gain, outside, fall: s.fall, saturation: s.saturation, taken: o.demand_peak, ..Body::default() };
        // Water from elsewhere brings what it brings.
        let from = match i.inlet {
            Inlet::Loop => continue,
            Inlet::Given => i.inlet_oxygen,
            Inlet::Saturated => s.saturation,
        };
        let one = RATIO.of(1.0);
        b.made = s.flow * (from * (one - s.fall) + s.saturation * s.fall);
        given.push(place(t));
    }
    for (k, s) in ways.stations.iter().enumerate() {
        let q = FLOW.of(flows.through[k]);
        let share = film.iter().find(|f| f.0 == k).map_or(0.0, |f| f.1);
        if apart <= 0.0 || (share <= 0.0 && s.kind != StationKind::Sump) {
            continue;
        }
        let which = match s.kind {
            StationKind::Sump => 2,
            StationKind::Bed => usize::from(drained(s.index)),
            _ => 0,
        };
        bodies[k] = Body {
            gain: oxygen::renewed(q, which),
            outside: cs,
            taken: OXYGEN_RATE.of(apart * share),
            film: RATIO.of(share),
            ..Body::default()
        };
    }
    let edges = ways.edges.iter().zip(&flows.edges).filter(|(_, q)| **q > 0.0);
    // Water that comes from elsewhere takes the place of what the loop would bring, which is lost.
    let edges = edges.map(|(&(a, b), &q)| (a, b, FLOW.of(q))).collect();
    Round { bodies, ways: edges, given }
}

/// Readings at dawn in tanks whose water others share, each with what comes back to it then: all fish at rest, and what is read as it is read.
/// Inputs are today's; nothing where a tank has no such reading.
///
/// # Errors
/// Field errors of the tanks.
pub fn read(
    d: &Document,
    ways: &Ways<'_>,
    flows: &Flows,
) -> Result<Vec<Option<(OxygenIn, OxygenOut)>>, Vec<FieldError>> {
    let dawn = |i: &OxygenIn| i.reading == Reading::Dawn && i.inlet == Inlet::Loop;
    let mut all = vec![None; d.tanks.len()];
    if d.tanks.len() < 2 || !d.tanks.iter().any(|t| dawn(&t.oxygen)) {
        return Ok(all);
    }
    let place = |t: usize| ways.place(StationKind::Tank, t);
    let film = film(d, ways);
    let today = |(t, tank): (usize, &Tank)| {
        let mut i = check::oxygen_of(d, tank, FLOW.of(flows.through[place(t)]), Day::Today);
        if film.is_empty() && i.filter == Filter::Apart {
            i.filter = Filter::SameWater;
        }
        i
    };
    let inputs: Vec<_> = d.tanks.iter().enumerate().map(today).collect();
    let unread: Vec<_> = inputs.iter().map(|i| OxygenIn { reading: Reading::None, ..i.clone() }).collect();
    let alone = each_tank(&unread, &[])?;
    let mut round = round(d, ways, flows, &film, (&unread, &alone), 0);
    for (k, (i, o)) in inputs.iter().zip(&alone).enumerate() {
        let b = &mut round.bodies[place(k)];
        b.taken = o.demand_resting;
        if dawn(i) && flows.through[place(k)] > 0.0 {
            // So much is renewed that it stays at what was read.
            let gain = FLOW.of(flows.through[place(k)] * HELD);
            *b = Body { gain, outside: i.reading_oxygen, ..Body::default() };
        }
    }
    for (t, i) in inputs.iter().enumerate().filter(|i| dawn(i.1)) {
        if let Some(back) = round.returns(place(t), i.reading_oxygen, alone[t].film_apart) {
            let i = OxygenIn { returns: Some([back; 2]), ..i.clone() };
            // What is read has not been looked at yet.
            let o = solve_at::<Oxygen>(&i, &path(t))?;
            all[t] = Some((i, o));
        }
    }
    Ok(all)
}

/// A body that was read is held at its reading by a renewal of so many times its flow: what comes in then hardly moves it.
const HELD: f64 = 1e6;

/// Oxygen at the flows there are. `inputs` are those of every tank, each as a loop of its own; `known` those that were solved before with all but
/// the flow the same, if they were.
///
/// # Errors
/// Field errors of the tanks.
pub fn oxygen(
    d: &Document,
    ways: &Ways<'_>,
    flows: &Flows,
    mut inputs: Vec<OxygenIn>,
    known: &[OxygenIn],
) -> Result<Aired, Vec<FieldError>> {
    let film = film(d, ways);
    if film.is_empty() {
        inputs.iter_mut().filter(|i| i.filter == Filter::Apart).for_each(|i| i.filter = Filter::SameWater);
    }
    let alone = each_tank(&inputs, known)?;
    let rounds = [0, 1].map(|end| round(d, ways, flows, &film, (&inputs, &alone), end));
    let back = |t: usize, o: &OxygenOut| -> Option<[Returns; 2]> {
        let place = ways.place(StationKind::Tank, t);
        let at = |end: usize| rounds[end].returns(place, o.floor, o.film_apart);
        let both = [at(0)?, at(1)?];
        // The same water again: nothing to do anew.
        let same = |r: &Returns| {
            (r.slope.value - 1.0).abs() < 1e-12 && r.base.value.abs() < 1e-15 && r.film.value.abs() < 1e-15
        };
        let alone = inputs[t].filter != Filter::Apart && both.iter().all(same);
        (inputs[t].inlet == Inlet::Loop && !alone).then_some(both)
    };
    let returns: Vec<_> = alone.iter().enumerate().map(|(t, o)| back(t, o)).collect();
    let mut tanks = alone;
    for (t, returns) in returns.into_iter().enumerate().filter(|r| r.1.is_some()) {
        // A reading at dawn that is left here was read against the tank alone, and stays so.
        inputs[t] = OxygenIn { returns, ..oxygen::settled_by_reading(&inputs[t], &tanks[t]) };
        let (dawn, low) = (tanks[t].dawn, tanks[t].low_now);
        tanks[t] = within_range(t, &inputs[t])?;
        (tanks[t].dawn, tanks[t].low_now) = (dawn, low);
    }
    Ok(Aired { inputs, tanks, rounds })
}

/// Ammonia, solved.
#[derive(Debug, Clone)]
pub struct AmmoniaSolved {
    /// The inputs of its calculator.
    pub inputs: AmmoniaIn,
    /// Its results.
    pub out: AmmoniaOut,
    /// Made a day by all fish.
    pub made: MassRate,
    /// What could be made a day until the first tank reaches what its fish bear.
    pub carries: MassRate,
    /// The balance: what every station settles at is asked of it ([`Round::settle`]).
    pub round: Round,
}

impl AmmoniaSolved {
    /// Do fish make ammonia before a filter that is too new to count on? Where nobody has read a test, they are still to come.
    pub fn too_new(&self) -> bool {
        self.out.new && self.made.value > 0.0 && self.inputs.is_read()
    }
}

/// The fish, over all tanks, that are there.
pub fn species(d: &Document) -> impl Iterator<Item = &'static Species> + Clone {
    d.tanks.iter().flat_map(|t| &t.oxygen.fish).filter(|g| g.total().value > 0.0).map(|g| g.species)
}

/// Fish that stop feeding below this want water that is kept warm, in most places and winters (judgement).
const WARM: f64 = 10.0;

/// Do any fish want water that is kept warm?
pub(super) fn wants_warmth(d: &Document) -> bool {
    species(d).any(|s| s.stops_below().value > celsius(WARM))
}

/// Said where fish are to be taken out and today's water is too cold for that.
pub(super) const NOT_NETTED: &str =
    "Not in water as cold as today's: netted in it, many die of disease in the days after.";

/// Is today's water too cold for one of the species to be netted in?
pub(super) fn too_cold_to_net(d: &Document) -> bool {
    species(d).any(|s| handling::is_too_cold(s, d.water.today))
}

/// Of those, the one that bears the least ammonia.
pub fn strictest(d: &Document) -> Option<&'static Species> {
    species(d).min_by(|a, b| a.unionised_limit().value.total_cmp(&b.unionised_limit().value))
}

/// The water of a vessel, in metres.
struct Vessel {
    surface: f64,
    depth: f64,
    /// Its walls as far as they are wet.
    wall: f64,
}

impl Vessel {
    /// A round one.
    fn round(surface: f64, depth: f64) -> Self {
        Self { surface, depth, wall: 2.0 * (PI * surface).sqrt() * depth }
    }
}

/// Every vessel of water: tanks, sumps whose size is known, settlers, rafts, and beds of a medium with the water that never drains out of them: what
/// floods and drains is that of the sump.
fn vessels(d: &Document) -> Vec<Vessel> {
    let tanks =
        d.tanks.iter().map(|t| Vessel::round(t.outlet.surface.value, (t.oxygen.volume / t.outlet.surface).value));
    let sumps = d.sumps.iter().filter_map(|s| s.levels.first()).map(|l| &l.0);
    let sumps = sumps.map(|l| Vessel::round((l.volume / l.depth).value, l.mark.value));
    let settlers = d.settlers.iter().flat_map(|s| {
        let (across, depth) = (s.settling.diameter.value, s.settling.depth.value);
        (0..s.settling.count.value as usize).map(move |_| Vessel::round(PI / 4.0 * across * across, depth))
    });
    let beds = d.beds.iter().map(|b| {
        let drained = b.siphon.first().map_or(b.bed.depth - b.bed.swing, |s| s.0.low);
        // A bed of a medium is wet to its top. Channels and towers lose heat by all that is wet of them.
        let (depth, wet) = match b.bed.method.stands {
            Stands::Raft => (mm(RAFT_WATER), mm(RAFT_WATER)),
            Stands::Medium => ((drained * b.bed.porosity).value.max(0.0), b.bed.depth.value),
            Stands::Film | Stands::Tower => (0.0, 0.0),
        };
        let surface = b.bed.area.value;
        Vessel { surface, depth, wall: 4.0 * surface.sqrt() * wet }
    });
    tanks.chain(sumps).chain(settlers).chain(beds).collect()
}

/// Water of the system in all its vessels.
pub fn volume(d: &Document) -> Volume {
    VOLUME.of(vessels(d).iter().map(|v| v.surface * v.depth).sum())
}

/// All that is open to the sky, if it stands under it.
pub fn surface(d: &Document) -> Area {
    AREA.of(vessels(d).iter().map(|v| v.surface).sum())
}

/// Ammonia at the flows there are, if the filter is known. `feeds` are what every tank is fed.
///
/// # Errors
/// Field errors of the test and the filter.
pub fn ammonia(
    d: &Document,
    ways: &Ways<'_>,
    flows: &Flows,
    feeds: &[f64],
    day: Day,
) -> Result<Option<AmmoniaSolved>, Vec<FieldError>> {
    let Some(known) = d.ammonia.first() else { return Ok(None) };
    let film = film(d, ways);
    let pumped: f64 =
        ways.stations.iter().zip(&flows.through).filter(|s| s.0.kind == StationKind::Pump).map(|s| *s.1).sum();
    let through: f64 = film.iter().map(|f| flows.through[f.0]).sum();
    let inputs = AmmoniaIn {
        species: strictest(d).unwrap_or(known.0.species),
        temperature: check::temperature(d, day),
        volume: VOLUME.of(ends::within(volume(d).value, ends::AMMONIA_WATER)),
        feed: FEED_RATE.of(feeds.iter().sum::<f64>().min(ends::AMMONIA_FEED[1])),
        flow: FLOW.of(through.min(pumped).min(ends::AMMONIA_FLOW[1])),
        age: d.water.filter_age,
        ..known.0.clone()
    };
    let out = solve_at::<AmmoniaCalculator>(&inputs, "ammonia.0")?;
    let full_at = CONCENTRATION.of(mg_l(ammonia::FULL_RATE_TAN.value));
    let area = inputs.medium.surface().0.value * inputs.media.value;
    let takes =
        |share: f64| ammonia::filter_capacity(AREA.of(area * share), inputs.temperature, full_at, out.ripe, inputs.ph);
    let mut bodies = vec![Body::default(); ways.stations.len()];
    for (t, feed) in feeds.iter().enumerate() {
        bodies[ways.place(StationKind::Tank, t)].made = ammonia::tan_from_feed(FEED_RATE.of(*feed), inputs.protein);
    }
    for &(k, share) in &film {
        (bodies[k].full, bodies[k].full_at) = (takes(share), full_at);
    }
    let edges = ways.edges.iter().zip(&flows.edges).filter(|(_, q)| **q > 0.0).map(|(&(a, b), &q)| (a, b, FLOW.of(q)));
    let round = Round { bodies, ways: edges.collect(), given: vec![] };
    let made: f64 = round.bodies.iter().map(|b| b.made.value).sum();
    let most: f64 = round.bodies.iter().map(|b| b.full.value).sum();
    let limits: Vec<(usize, MassConcentration)> = d
        .tanks
        .iter()
        .enumerate()
        .filter_map(|(t, tank)| {
            let own = tank.oxygen.fish.iter().filter(|g| g.total().value > 0.0);
            let own = own.map(|g| ammonia::tan_borne(g.species, out.share));
            Some((ways.place(StationKind::Tank, t), own.reduce(|a, b| a.min(b))?))
        })
        .collect();
    // The fish of all tanks, scaled alike until the first of them has all that it bears.
    let carries =
        if made > 0.0 && most > 0.0 { made * round.until(&limits, RATIO.of(most / made)).value } else { most };
    Ok(Some(AmmoniaSolved { inputs, out, made: FEED_RATE.of(made), carries: FEED_RATE.of(carries), round }))
}

/// Heat, solved.
#[derive(Debug, Clone)]
pub struct HeatSolved {
    /// The inputs of its calculator.
    pub inputs: HeatIn,
    /// Its results.
    pub out: HeatOut,
}

/// The inputs of the coldest night against the heaters, if anything is said of them: the water held at the coldest of the year.
pub fn heat_of(d: &Document) -> Option<HeatIn> {
    let known = d.heat.first()?;
    let all = vessels(d);
    let surface: f64 = all.iter().map(|v| v.surface).sum();
    let (volume, surface) =
        (ends::within(volume(d).value, ends::HEAT_WATER), ends::within(surface, ends::HEAT_SURFACE));
    // As many round tanks alike as have the walls of all.
    let walls: f64 = all.iter().map(|v| v.wall).sum();
    let alike = (walls / Vessel::round(surface, volume / surface).wall).powi(2).ceil();
    let degrees = |x: ThermodynamicTemperature, ends| TEMPERATURE.of(ends::within(x.value, ends));
    let water = degrees(d.water.coldest, ends::HEAT_HELD);
    let bear = |of: fn(&Species) -> ThermodynamicTemperature, worst: fn(f64, f64) -> f64, none: f64| {
        TEMPERATURE.of(species(d).map(|s| of(s).value).reduce(worst).unwrap_or(celsius(none)))
    };
    Some(HeatIn {
        volume: VOLUME.of(volume),
        surface: AREA.of(surface),
        water,
        coldest: degrees(bear(Species::stops_below, f64::max, 0.0), ends::HEAT_COLDEST),
        hottest: degrees(bear(Species::stops_above, f64::min, 45.0), ends::HEAT_HOTTEST),
        tanks: COUNT.of(known.0.tanks.value.max(alike).min(ends::HEAT_TANKS[1])),
        // No more than there is where that is cut off.
        planted: {
            let whole = (surface / all.iter().map(|v| v.surface).sum::<f64>()).min(1.0);
            let beds = |raft: bool| d.beds.iter().filter(move |b| (b.bed.method.stands == Stands::Raft) == raft);
            [true, false].map(|raft| beds(raft).map(|b| b.bed.area).sum::<Area>() * whole)
        },
        ..known.0.clone()
    })
}

/// One tank with fish by itself, as it is in a power cut, with what is in it: what it loses then, and what its own fish bear.
pub fn alone(all: &HeatIn, tank: &Tank, holds: Volume) -> HeatIn {
    let fish = tank.oxygen.fish.iter().filter(|g| g.total().value > 0.0);
    let coldest = fish.map(|g| g.species.stops_below().value).fold(celsius(0.0), f64::max);
    HeatIn {
        volume: holds,
        surface: tank.outlet.surface,
        coldest: TEMPERATURE.of(coldest),
        tanks: COUNT.of(1.0),
        planted: [AREA.of(0.0); 2],
        makeup: all.makeup * (holds / all.volume),
        ..all.clone()
    }
}

/// The coldest night, solved.
///
/// # Errors
/// Field errors of the heat.
pub fn heat(inputs: HeatIn) -> Result<HeatSolved, Vec<FieldError>> {
    let out = solve_at::<HeatCalculator>(&inputs, "heat.0")?;
    Ok(HeatSolved { inputs, out })
}
