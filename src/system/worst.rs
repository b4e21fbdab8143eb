//! Every check on every day that a system will see: the worst day of every level, how each day stands, and what a blocked outlet does.

use super::check::{self, Day, Shared, Solved};
use super::document::Document;
use super::flow::{self, StationKind, Ways};
use super::harvest;
use super::level;
use super::supply;
use crate::calculators::ammonia::{self, Stay};
use crate::calculators::drain::Spill;
use crate::calculators::form::FieldError;
use crate::calculators::levels::LevelsIn;
use crate::calculators::outcome::{Level, State};
use crate::calculators::oxygen::{Minutes, how_long};
use crate::calculators::pump::{Throttle, Watts};
use crate::science::pump::Valve;
use crate::science::sump::TopUp;
use crate::units::{kinds::*, *};
use std::collections::BTreeSet;

/// One fill level of a system on its worst day, with today's beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// Place of the station in [`Document::stations`].
    pub station: usize,
    /// Which it is, where a station has several levels of one identifier.
    pub nth: usize,
    /// The level on its worst day; its name says of which station it is.
    pub level: Level,
    /// That day.
    pub day: Day,
    /// The level today.
    pub today: Level,
}

impl Checked {
    /// Is it this level of another check?
    pub fn is(&self, other: &Self) -> bool {
        self.station == other.station && self.nth == other.nth && self.level.id == other.level.id
    }
    /// How soon it harms the fish; more is sooner.
    pub fn urgency(&self) -> u8 {
        let over = self.today.state() == State::Over;
        match self.level.id.as_ref() {
            level::OXYGEN if self.today.leads => SUFFOCATE,
            // Salt too: some bear more of it once they are used to it.
            level::OXYGEN | level::UNIONISED | level::TAN | level::NITRITE | level::SALT | level::CARBON_DIOXIDE
                if over =>
            {
                TODAY
            }
            _ if self.today.leads => DIE,
            _ if self.level.leads => AHEAD,
            _ => 0,
        }
    }
    /// Do the fish lack oxygen today?
    pub(super) fn gasps(&self) -> bool {
        self.level.id == level::OXYGEN && self.today.state() == State::Over
    }
    /// Do they lack it on any day?
    pub(super) fn lacks_oxygen(&self) -> bool {
        self.level.id == level::OXYGEN && self.level.state() == State::Over
    }
    /// Is it over already today, and no matter of plants?
    fn is_here(&self) -> bool {
        self.today.state() == State::Over && !of_plants(&self.level)
    }
    /// Is it of what the water holds of ammonia or nitrite, and too much today?
    pub(super) fn poisons(&self) -> bool {
        matches!(self.level.id.as_ref(), level::UNIONISED | level::TAN | level::NITRITE)
            && self.today.state() == State::Over
    }
    /// Is it a pH that kills?
    pub(super) fn by_ph(&self) -> bool {
        self.level.id == level::PH && self.today.state() == State::Over
    }
    /// For sorting: what harms soonest, of that which harms alike what is over today, then what is fuller on the day that counts for that.
    fn order(&self) -> (u8, bool, f64, f64) {
        let (urgency, full) = (self.urgency(), self.level.fullness());
        (urgency, self.is_here(), if urgency >= TODAY { self.today.fullness() } else { full }, full)
    }
}

/// A level that was over is made worse by what makes it so many times as full (judgement: a pipe's capacity in thin and in thick water differs by
/// less).
pub(super) const WORSE: f64 = 1.1;

/// [`Checked::urgency`]: they have no oxygen today, they die in today's water, they are harmed today, they die on a day to come.
pub const SUFFOCATE: u8 = 4;
const DIE: u8 = 3;
/// From here on it is today.
pub const TODAY: u8 = 2;
const AHEAD: u8 = 1;

/// What comes before all else where the water is poisonous today, its pH kills, or the filter is too new for the fish; no more than the water test's own page asks.
pub(super) fn while_poisonous(levels: &[Checked], today: &Solved) -> Option<&'static str> {
    let a = today.ammonia.as_ref()?;
    let out = &a.out;
    let none = out.stay >= Stay::Hours || out.cut.value <= 0.0;
    if !levels.iter().any(Checked::poisons) {
        if levels.iter().any(Checked::by_ph) {
            return Some("Feed nothing until the pH is back.");
        }
        let most = ammonia::most_fed(out).filter(|_| a.too_new())?;
        return Some(match most.value > 0.0 {
            true => "Feed no more than the water alone can take, a third of it changed every day.",
            false => "Feed nothing for now, and change a third of the water every day.",
        });
    }
    Some(if none && ammonia::air_poisons(&a.inputs, out).is_some() {
        "Feed nothing until the readings are down."
    } else if none {
        "Feed nothing and give all the air there is until the readings are down."
    } else {
        "Feed half at most until the reading is down."
    })
}

/// The level of a day that is the same as level `k` of today.
pub(super) fn same<'a>(today: &Solved, k: usize, day: &'a Solved) -> Option<&'a Level> {
    let (station, level) = &today.levels[k];
    let is = |l: &(usize, Level)| l.0 == *station && l.1.id == level.id;
    // They mostly stand in the same order.
    let nth = today.levels[..k].iter().filter(|l| is(l)).count();
    day.levels.iter().filter(|l| is(l)).nth(nth).map(|l| &l.1)
}

/// Does a level count on a day? Plants are sized for the feed of an ordinary day, not for the last one before the harvest.
pub(super) fn counts(level: &Level, day: Day) -> bool {
    !matches!(level.id.as_ref(), level::BED | level::ALKALINITY | level::CARBON_DIOXIDE) || day == Day::Today
}

/// Is it a level of plants, which can be changed? It never stands before those of fish.
pub(super) fn of_plants(level: &Level) -> bool {
    matches!(level.id.as_ref(), level::BED | level::ROOTS | level::CROP_SALT | level::CROP_PH)
}

/// Solves a document on each of `days` on which anything can differ from today; at the harvest of every group, where they are harvested one after
/// another.
///
/// # Errors
/// As [`check::solve`], on any of the days.
pub fn solve_days(d: &Document, ways: &Ways<'_>, days: &[Day]) -> Result<Vec<Solved>, Vec<FieldError>> {
    solve_days_with(d, ways, days, &mut check::Shared::default())
}

/// [`solve_days`], with what other documents of the same stations have computed already.
///
/// # Errors
/// As [`check::solve`], on any of the days.
pub fn solve_days_with(
    d: &Document,
    ways: &Ways<'_>,
    days: &[Day],
    shared: &mut Shared,
) -> Result<Vec<Solved>, Vec<FieldError>> {
    let each = |day: &Day| if day.of_harvest() { harvest::days(d) } else { vec![*day] };
    let days = days.iter().filter(|day| day.differs(d)).flat_map(each);
    days.map(|day| check::solve_with(d, ways, day, shared)).collect()
}

/// Every level on its worst day, what harms soonest first, what is over today before what will be, and then what is fullest. Today stands first among `days`.
pub fn merge(ways: &Ways<'_>, days: &[Solved]) -> Vec<Checked> {
    let Some(today) = days.first() else { return vec![] };
    let mut all: Vec<Checked> = (0..today.levels.len())
        .map(|k| {
            let (station, now) = &today.levels[k];
            let (mut worst, breathed) = ((Day::Today, now), now.id == level::OXYGEN);
            for s in &days[1..] {
                if let Some(l) = same(today, k, s)
                    && counts(l, s.day)
                    && if breathed { fuller(l, worst.1) } else { weighs_more(l, worst.1) }
                {
                    worst = (s.day, l);
                }
            }
            let mut level = worst.1.clone();
            // That they suffocate today is true of it on whatever day it is fullest.
            level.leads |= now.leads && breathed;
            level.name = named(&level, ways, *station).into();
            let nth = today.levels[..k].iter().filter(|l| l.0 == *station && l.1.id == level.id).count();
            Checked { station: *station, nth, level, day: worst.0, today: now.clone() }
        })
        .collect();
    crate::units::arrange(&mut all, |a, b| {
        let (a, b) = (a.order(), b.order());
        b.0.cmp(&a.0).then(b.1.cmp(&a.1)).then(b.2.total_cmp(&a.2)).then(b.3.total_cmp(&a.3))
    });
    all
}

/// Is a level fuller than another, and not by a rounding?
fn fuller(level: &Level, than: &Level) -> bool {
    level.fullness() > than.fullness() + 1e-9
}

/// Does a level weigh more than another, and not by a rounding? What kills weighs more than what is fuller.
fn weighs_more(level: &Level, than: &Level) -> bool {
    let (leads, full) = than.weight();
    level.weight() > (leads, full + 1e-9)
}

/// What a level is called in a whole system; the star is the station's name. What all the water shares has none.
pub(super) struct Name {
    pub(super) id: &'static str,
    pub(super) text: &'static str,
    /// Is it a single thing, which has an article inside a sentence?
    the: bool,
}

const fn thing(id: &'static str, text: &'static str) -> Name {
    Name { id, text, the: true }
}

const fn matter(id: &'static str, text: &'static str) -> Name {
    Name { id, text, the: false }
}

/// What the levels of a whole system are called.
pub(super) static NAMES: [Name; 35] = [
    thing(level::PUMP, "Flow asked of *"),
    thing(level::LIFT, "Lift of *"),
    thing(level::OUTLET, "Outlet of *"),
    matter(level::OXYGEN, "Oxygen in *"),
    thing(level::TURNOVER, "Turnover of *"),
    thing(level::WARMTH, "Water temperature in *"),
    thing(level::DENSITY, "Stocking density of *"),
    matter(level::SOLIDS, "Solid waste left in the water"),
    matter(level::SALT, "Salt in the water"),
    thing(level::SETTLING, "Load on *"),
    thing(level::HEAD, "Fall that * needs"),
    thing(level::BED, "Plant area of *"),
    thing(level::ROOTS, "Water temperature for the crop in *"),
    matter(level::CROP_SALT, "Salt for the crop in *"),
    thing(level::CROP_PH, "pH for the crop in *"),
    thing(level::INFLOW, "Siphon inflow of *"),
    thing(level::RING, "Ring of the bell in *"),
    thing(level::GAP, "Gap over the standpipe in *"),
    thing(level::SLOTS, "Slot area of the bell in *"),
    thing(level::BED_RIM, "Water height in *"),
    matter(level::DRY, "Water for the pump in *"),
    matter(level::SPILL, "Room in * when the pump stops"),
    thing(level::SUMP, "Size of *"),
    thing(level::FILTER, "Biofilter"),
    thing(level::FLOW, "Flow to the biofilter"),
    matter(level::AMMONIA, "Ammonia carried to the biofilter"),
    matter(level::UNIONISED, "Un-ionised ammonia"),
    matter(level::TAN, "Total ammonia nitrogen"),
    matter(level::NITRITE, "Nitrite nitrogen"),
    thing(level::PH, "pH of the water"),
    thing(level::ALKALINITY, "Alkalinity that holds the pH"),
    matter(level::CARBON_DIOXIDE, "Carbon dioxide by pH and alkalinity"),
    matter(level::HEATER, "Heating on the coldest night"),
    matter(level::CUT, "Cooling of * in a power cut on the coldest night"),
    thing(level::SUMMER, "Water temperature in the hottest spell"),
];

/// The name of a level in a whole system.
pub(super) fn named(level: &Level, ways: &Ways<'_>, station: usize) -> String {
    // Carbon dioxide says itself which of its limits it is held against.
    let known = NAMES.iter().find(|n| n.id == level.id && n.id != level::CARBON_DIOXIDE);
    let name = known.map_or(level.name.as_ref(), |n| n.text);
    name.replace('*', ways.stations[station].name)
}

/// Is a level of all the water, and not of one station?
pub fn shared(level: &Level) -> bool {
    NAMES.iter().any(|n| n.id == level.id && !n.text.contains('*'))
}

/// Which of them a name is, by what stands before the station's: the longest that fits.
pub(super) fn known(name: &str) -> Option<&'static Name> {
    let before = |n: &&Name| n.text.split('*').next().unwrap_or(n.text);
    NAMES.iter().filter(|n| name.starts_with(before(n))).max_by_key(|n| before(n).len())
}

/// The name of a level inside a sentence; what is no single thing has no article.
pub fn inside(name: &str) -> String {
    let the = if known(name).is_none_or(|n| n.the) { "the " } else { "" };
    format!("{the}{}", lower(name))
}

/// How one day stands.
#[derive(Debug, Clone, PartialEq)]
pub struct DayStands {
    /// The day.
    pub day: Day,
    /// Its fullest level; the name says of which station it is.
    pub fullest: Level,
    /// How many levels are over.
    pub over: usize,
}

/// What a blocked outlet does.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocked {
    /// Which tank: its place among the tanks.
    pub tank: usize,
    /// What flows into it.
    pub flow: VolumeRate,
    /// When it spills, if the other outlets do not carry it.
    pub spill: Spill,
    /// When what gives its water is down to what the pump needs, if that is known: just before a top-up, and just after one.
    pub dry: Option<[Time; 2]>,
    /// What gives its water, if that is one station.
    pub source: Option<usize>,
    /// When the tank that gives its water is down to half, just after a top-up, if it is one.
    pub half: Option<Time>,
    /// If its branch is then shut: the tank whose outlet that fills most, what comes to it, and what its outlet carries.
    pub neighbour: Option<(usize, VolumeRate, VolumeRate)>,
}

/// Every day, and every blocked outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// The days, today first.
    pub days: Vec<DayStands>,
    /// One outlet blocked, tank by tank.
    pub blocked: Vec<Blocked>,
    /// With the power off: every tank with fish.
    pub power: Vec<Off>,
}

/// How long the fish of a tank have with the power off.
#[derive(Debug, Clone, PartialEq)]
pub struct Off {
    /// The tank.
    pub tank: usize,
    /// The day on which they have the shortest.
    pub day: Day,
    /// How long that is.
    pub then: Minutes,
    /// How long they have today.
    pub today: Minutes,
}

/// How every day stands.
///
/// # Errors
/// As [`check::solve`].
pub fn worst(d: &Document) -> Result<Worst, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    let days = solve_days(d, &ways, &Day::ALL)?;
    // All harvests are one day here.
    let stands = days.chunk_by(|a, b| a.day.of_harvest() && b.day.of_harvest()).filter_map(|alike| {
        let day = if alike[0].day.of_harvest() { Day::Harvest } else { alike[0].day };
        let all: Vec<_> =
            alike.iter().flat_map(|s| s.levels.iter().enumerate()).filter(|l| counts(&l.1.1, day)).collect();
        let (_, (station, level)) =
            all.iter().copied().reduce(|best, l| if weighs_more(&l.1.1, &best.1.1) { l } else { best })?;
        let over: BTreeSet<usize> = all.iter().filter(|l| l.1.1.state() == State::Over).map(|l| l.0).collect();
        let name = named(level, &ways, *station).into();
        Some(DayStands { day, fullest: Level { name, ..level.clone() }, over: over.len() })
    });
    let blocked = days.first().map_or(vec![], |today| blocked(d, &ways, today));
    let power = (0..d.tanks.len()).filter(|&t| d.tanks[t].fish() > 0.0).filter_map(|t| {
        let off = |s: &Solved| s.tanks[t].oxygen.all_off;
        let s = days.iter().reduce(|best, s| if off(s).until_fed() < off(best).until_fed() { s } else { best })?;
        Some(Off { tank: t, day: s.day, then: off(s), today: off(days.first()?) })
    });
    Ok(Worst { days: stands.collect(), blocked, power: power.collect() })
}

/// What every blocked outlet does today.
pub(super) fn blocked(d: &Document, ways: &Ways<'_>, today: &Solved) -> Vec<Blocked> {
    let mut all = vec![];
    for (i, (t, s)) in d.tanks.iter().zip(&today.tanks).enumerate().filter(|(_, (_, s))| s.gone.is_none()) {
        let Ok(outlet) = check::outlet_of(d, t, s.leaves, Day::Today).solve_backed(s.backed[0]) else { continue };
        let (spill, room) = (outlet.spill(), t.outlet.surface * (outlet.brim - outlet.stand.level));
        let source = source(ways, ways.place(StationKind::Tank, i));
        let (mut dry, mut half) = (None, None);
        if let (Spill::After(time), Some(source)) = (spill, source)
            && time.value > 0.0
        {
            let takes = |v: Volume| MINUTES.of(time.value / room.value * v.value.max(0.0));
            let has = gives(d, ways, today, i, source);
            dry = has.map(|has| has.map(takes));
            // Half of the tank is more than what the pump needs of it.
            let tank = Some(&ways.stations[source]).filter(|s| s.kind == StationKind::Tank);
            let more = tank.and_then(|s| {
                let o = &d.tanks[s.index].oxygen;
                Some(
                    has?[1]
                        - (o.volume / 2.0 - o.volume / o.depth * LevelsIn::default().submergence).max(VOLUME.of(0.0)),
                )
            });
            half = more.map(takes);
        }
        all.push(Blocked {
            tank: i,
            flow: s.leaves,
            spill,
            dry,
            source,
            half,
            neighbour: neighbour(d, ways, today, i),
        });
    }
    all
}

/// What the pumps that send water to a station draw from, if that is one station.
fn source(ways: &Ways<'_>, station: usize) -> Option<usize> {
    let feeds = |&p: &usize| ways.is_pump(p) && ways.below(p).contains(&station);
    let from = (0..ways.stations.len()).filter(feeds).flat_map(|p| ways.edges.iter().filter(move |e| e.1 == p));
    let mut from: Vec<usize> = from.map(|e| e.0).collect();
    from.sort_unstable();
    from.dedup();
    let [one] = from[..] else { return None };
    Some(one)
}

/// What stays in a tank is missing where its water falls to, and once that is down to what its pump needs, in what that pump filled, and so on to the
/// source of the tank's own: how much all of them have for it, just before a top-up and just after one; nothing where
/// the way parts, for nobody knows which part the water takes.
fn gives(d: &Document, ways: &Ways<'_>, today: &Solved, tank: usize, source: usize) -> Option<[Volume; 2]> {
    let place = ways.place(StationKind::Tank, tank);
    let [mut at] = ways.pools_below(place)[..] else { return None };
    let mut all = has(d, ways, today, at, place)?;
    let mut seen = vec![at];
    while at != source {
        let pumps = ways.out_of(at).map(|k| ways.edges[k].1).filter(|&s| ways.is_pump(s));
        let mut next: Vec<usize> = pumps.flat_map(|p| ways.pools_below(p)).collect();
        next.dedup();
        let [one] = next[..] else { return None };
        // The source is passed by what comes back: when this is dry, so is that soon.
        if seen.contains(&one) {
            break;
        }
        seen.push(one);
        at = one;
        let more = has(d, ways, today, at, place)?;
        all = [all[0] + more[0], all[1] + more[1]];
    }
    Some(all)
}

/// What a station that pumps draw from has over what they need, just before a top-up and just after one, with all that then runs down to it from below
/// a tank that is blocked. Nobody knows of what a float valve fills.
fn has(d: &Document, ways: &Ways<'_>, today: &Solved, pool: usize, blocked: usize) -> Option<[Volume; 2]> {
    let (none, station) = (VOLUME.of(0.0), &ways.stations[pool]);
    let (all, below) = (d.outlets(), ways.below(blocked));
    let into = |s: usize| ways.pools_below(s).contains(&pool);
    let over = |is: &dyn Fn(usize) -> bool| {
        let over = supply::falls_into(d, ways, is).into_iter().map(|i| today.over(i, &all[i]));
        over.fold(none, |a, b| a + b)
    };
    let back = over(&|s| into(s) && below.contains(&s));
    let least = LevelsIn::default().submergence;
    let kept = |volume: Volume, depth: Length, gone: Volume| {
        let mine = |p: &usize| ways.edges.contains(&(pool, ways.place(StationKind::Pump, *p)));
        let pipes = (0..d.pumps.len()).filter(mine).filter_map(|p| today.pumps[p].as_ref());
        let held = pipes.fold(over(&into), |v, p| v + VOLUME.of(supply::contents(&p.inputs)));
        let needs = volume / depth * least;
        Some([(volume - gone - needs).max(none), (volume - held + back - needs).max(none)])
    };
    match station.kind {
        StationKind::Sump => {}
        StationKind::Tank => {
            let o = &d.tanks[station.index].oxygen;
            return kept(o.volume, o.depth, today.tanks[station.index].gone?);
        }
        _ => return today.pools.iter().find(|p| p.station == pool).and_then(|p| kept(p.volume, p.depth, p.gone)),
    }
    let sump = station.index;
    let s = today.sumps[sump].as_ref().filter(|s| s.inputs.top_up != TopUp::Float)?;
    let x = &s.out.extremes;
    // A sump that is filled at rest was worked out with the tanks as high as the most makes them; what flows leaves more in it.
    let above = supply::outlets_above(d, ways, sump);
    let held = above.into_iter().fold(none, |v, i| v + today.over(i, &all[i]));
    let less = if s.inputs.top_up == TopUp::AtRest { s.out.back.iter().fold(-held, |a, b| a + *b) } else { none };
    let over = |v: Volume| (v + less - s.out.loads.submergence).max(none);
    Some([over(x.lowest), over(x.run_high + back)])
}

/// With the branches into a tank shut, each pump sends more through its others: by its curve, pipes and the valves that all else counts, or in the
/// parts that they are set to.
fn neighbour(d: &Document, ways: &Ways<'_>, today: &Solved, tank: usize) -> Option<(usize, VolumeRate, VolumeRate)> {
    let station = ways.place(StationKind::Tank, tank);
    let mut shut = d.clone();
    // Watts that are not this pump's are not the question here.
    shut.pumps.iter_mut().flat_map(|p| &mut p.curve).for_each(|c| c.0.watts = Watts::Guessed);
    // As they are throttled: by valves, or to a part of what is set or sent.
    let flows = &today.flows;
    let (mut valves, mut share) = (vec![Throttle::Not; shut.edges.len()], vec![1.0; shut.edges.len()]);
    for p in today.pumps.iter().flatten() {
        for ((b, q), &k) in p.inputs.branches.iter().zip(&p.out.usual.outlets).zip(&p.branches) {
            valves[k] = b.held;
            share[k] = if q.value > 0.0 { flows.edges[k] / q.value } else { 1.0 };
        }
    }
    for k in (0..shut.edges.len()).filter(|&k| ways.is_pump(ways.edges[k].0)) {
        shut.edges[k].flow = FLOW.of(flows.edges[k]);
    }
    for pump in ways.from_pumps(station).map(|k| ways.edges[k].0) {
        let (into, others): (Vec<usize>, Vec<usize>) = ways.out_of(pump).partition(|&k| ways.edges[k].1 == station);
        let all = |edges: &[usize]| edges.iter().map(|&k| flows.edges[k]).sum::<f64>();
        let (gone, left) = (all(&into), all(&others));
        for k in into {
            shut.edges[k].flow = FLOW.of(0.0);
            shut.edges[k].run.iter_mut().for_each(|r| (r.0.valve, r.0.open) = (Valve::Ball, PERCENT.of(0.0)));
        }
        others.into_iter().filter(|_| left > 0.0).for_each(|k| shut.edges[k].flow *= (left + gone) / left);
    }
    let order = &flows.order;
    let set = supply::held(&shut, ways, order, Day::Today, &|k| valves[k]).ok()?.set;
    let set: Vec<f64> = set.iter().zip(share).map(|(q, share)| q * share).collect();
    let through = flow::settled(&shut, ways, order, &set).through;
    let fills = today.tanks.iter().enumerate().filter_map(|(j, t)| {
        let place = ways.place(StationKind::Tank, j);
        let comes = FLOW.of(through[place]);
        (j != tank && ways.others(place) && comes > t.flow * MORE).then_some((j, comes, t.outlet.capacity))
    });
    // Compared as products, so that an outlet that carries nothing is the worst.
    fills.reduce(|a, b| if b.1.value * a.2.value > a.1.value * b.2.value { b } else { a })
}

/// What comes is more than before by no rounding.
const MORE: f64 = 1.0 + 1e-6;

impl Worst {
    /// One sentence for every tank whose outlet may block.
    pub fn sentences(&self, d: &Document, w: Words) -> Vec<String> {
        let stations = d.stations();
        let one = |b: &Blocked| {
            let name = &d.tanks[b.tank].name;
            let first = match b.spill {
                _ if b.flow.value <= 0.0 => return format!("Nothing flows into {name}."),
                Spill::Never(_) => {
                    format!("{name}: with one outlet blocked the others carry the {}.", w.q(FLOW, b.flow))
                }
                Spill::Vent => {
                    format!(
                        "{name}: with one outlet blocked {} are too much for the others: their vents spill.",
                        w.q(FLOW, b.flow)
                    )
                }
                Spill::After(t) if t.value <= 0.0 => format!("{name} spills as it is."),
                Spill::After(t) => {
                    let (spills, flow) = (w.time(t), w.q(FLOW, b.flow));
                    let from = b.source.map(|s| &stations[s]).filter(|s| s.kind != StationKind::Sump);
                    let from = from.zip(b.dry).map_or(String::new(), |(s, dry)| {
                        let half = b.half.map_or(String::new(), |h| format!("to half after {}, ", w.time(h)));
                        format!(
                            ". That water is {}'s: it is down {half}to its pump's intake after {}",
                            s.name,
                            w.time(dry[1])
                        )
                    });
                    let so = match b.dry {
                        Some([_, latest]) if latest.value <= 0.0 => {
                            "nothing more comes: its pump runs dry as it is".into()
                        }
                        Some([_, latest]) if latest <= t => format!(
                            "the pump runs dry after {}, before it is full: from then on no water moves",
                            w.time(latest)
                        ),
                        Some([soonest, _]) if soonest <= t => format!(
                            "it spills after {spills}, {flow} onto the floor until the pump runs dry; if the last top-up is long ago, the pump runs dry before that"
                        ),
                        Some(_) => format!("it spills after {spills}, {flow} onto the floor until the pump runs dry"),
                        None => format!("it spills after {spills}, {flow} onto the floor from then on"),
                    };
                    format!("{name}: with its outlet blocked {so}{from}.")
                }
            };
            let then = b.neighbour.map_or(String::new(), |(j, comes, carries)| {
                format!(
                    " With its branch shut, {} gets {}; its outlet carries {}.{}",
                    d.tanks[j].name,
                    w.q(FLOW, comes),
                    w.q(FLOW, carries),
                    if comes > carries { " That spills too." } else { "" }
                )
            });
            first + &then
        };
        self.blocked.iter().map(one).collect()
    }
    /// One sentence for every tank with fish: how long they have with the power off.
    pub fn outages(&self, d: &Document, w: Words) -> Vec<String> {
        let one = |o: &Off| {
            let name = &d.tanks[o.tank].name;
            match o.then.fed {
                None => format!("{name}: with everything off, the still water keeps its fish, fed or not."),
                Some(fed) => {
                    let has = |t: Time| if t.value > 0.0 { how_long(w, Some(t)) } else { "no time".into() };
                    let unfed = match o.then.resting {
                        None => "; unfed for a day, the still water keeps them".to_string(),
                        Some(t) => format!(", or {} unfed for a day", has(t)),
                    };
                    let today = match (o.day, o.today.fed) {
                        (Day::Today, _) => String::new(),
                        (_, Some(t)) if has(t) != has(fed) => format!("{} today;{} ", has(t), o.day.when()),
                        (_, Some(_)) => String::new(),
                        (_, None) => format!("all they need today;{} ", o.day.when()),
                    };
                    let when = if today.is_empty() { o.day.when() } else { "" };
                    format!(
                        "{name}: with everything off, fish that have just eaten have {today}{}{when}{unfed}.",
                        has(fed)
                    )
                }
            }
        };
        self.power.iter().map(one).collect()
    }
}

#[cfg(test)]
mod tests;
