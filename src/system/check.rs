//! The coupled check: the calculators' own functions on a whole system, at the flow that can really happen.
//!
//! The water is followed round once. Each outlet is checked against the most its pump could ever send, because a cleaned pump or a closed
//! neighbouring branch will send it. Where an outlet cannot carry that, its branch has to be throttled to what is enough for the outlet, and everything
//! after is computed at that flow: the turnover, the oxygen, the fish that are still safe. Every tank is taken as a loop of its own: the
//! water comes back to it no richer in oxygen than it left. Steady: what comes in at a station goes out of it.

use super::document::*;
use super::flow::{self, Flows, StationKind, Ways};
use crate::calculators::bed::{Bed as BedCalculator, BedOut};
use crate::calculators::drain::{Drain, DrainIn, DrainOut};
use crate::calculators::form::FieldError;
use crate::calculators::outcome::{ENOUGH, Level, State, Working};
use crate::calculators::oxygen::{Oxygen, OxygenIn, OxygenOut, Reading, settled_by_reading};
use crate::calculators::settling::{Settling, SettlingIn, SettlingOut};
use crate::calculators::{self, Calculator, bed::BedIn};
use crate::catalog::sources::{Coef, biology, oxygen, system};
use crate::catalog::species::Species;
use crate::units::{kinds::*, si::*, *};

/// Tank volumes an hour that should pass a tank.
const TURNOVER_WANTED: Coef = Coef::new(1.0, "1/h", &biology::FAO_AZ028E, "small aquaponic systems; at least this");

/// The least feed a bed or settler is asked about, g/day; the least flow, L/h; the most water, m3: the ends of their ranges.
const ENDS: (f64, f64, f64) = (g_day(1.0), l_h(10.0), 1000.0);

/// The day that is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Day {
    /// As it is today.
    #[default]
    Today,
    /// The hottest water of the year.
    Hottest,
    /// The coldest water of the year.
    Coldest,
    /// Every fish at its mass at harvest, in the hottest water.
    Harvest,
    /// Today, with one outlet blocked in every tank that has several.
    Blocked,
    /// In the hottest water, with screens half blocked and air stones aged.
    Aged,
}

/// What a screen loses until someone looks.
const HALF_BLOCKED: Coef = Coef::new(0.5, "1", &system::WORN, "of a screen's openings");
/// What aged stones do of new ones.
const STONES_AGED: Coef = Coef::new(0.6, "1", &oxygen::STONE_AGEING, "clogged, of new ones: the low end");

impl Day {
    /// Every day, today first.
    pub const ALL: [Self; 6] = [Self::Today, Self::Hottest, Self::Coldest, Self::Harvest, Self::Blocked, Self::Aged];
    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Today => "today",
            Self::Hottest => "hottest water",
            Self::Coldest => "coldest water",
            Self::Harvest => "at harvest, hottest water",
            Self::Blocked => "one outlet blocked",
            Self::Aged => "screens and stones aged, hottest water",
        }
    }
    /// As a heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Hottest => "Hottest water",
            Self::Coldest => "Coldest water",
            Self::Harvest => "At harvest, hottest water",
            Self::Blocked => "One outlet of several blocked",
            Self::Aged => "Screens and stones aged, hottest water",
        }
    }
    /// After what is said of it: nothing for today.
    pub const fn when(self) -> &'static str {
        match self {
            Self::Today => "",
            Self::Hottest => " in the hottest water",
            Self::Coldest => " in the coldest water",
            Self::Harvest => " at harvest in the hottest water",
            Self::Blocked => " with one outlet blocked",
            Self::Aged => " in the hottest water with screens and stones aged",
        }
    }
    /// Can anything differ from today on this day?
    pub fn differs(self, d: &Document) -> bool {
        match self {
            Self::Blocked => d.tanks.iter().any(|t| t.outlet.outlets.value > 1.0),
            _ => true,
        }
    }
}

/// One tank, solved.
#[derive(Debug, Clone)]
pub struct TankSolved {
    /// What its branch is set to.
    pub set: VolumeRate,
    /// The most that could come.
    pub most: VolumeRate,
    /// What really flows: the set flow, or less where the outlet cannot carry the most.
    pub flow: VolumeRate,
    /// Had it to be throttled?
    pub throttled: bool,
    /// Its outlet at the most.
    pub outlet: DrainOut,
    /// Its oxygen at what flows.
    pub oxygen: OxygenOut,
}

/// A whole system, solved on one day.
#[derive(Debug, Clone)]
pub struct Solved {
    /// The day.
    pub day: Day,
    /// Flows along every edge and into every station.
    pub flows: Flows,
    /// Tanks, in the order of the document.
    pub tanks: Vec<TankSolved>,
    /// Settlers.
    pub settlers: Vec<SettlingOut>,
    /// Feed whose solids reach each settler.
    pub settler_feeds: Vec<MassRate>,
    /// Beds.
    pub beds: Vec<BedOut>,
    /// Feed whose dissolved part each bed gets.
    pub bed_feeds: Vec<MassRate>,
    /// Feed of the whole system.
    pub feed: MassRate,
    /// Every fill level with the station it belongs to (its place in [`Document::stations`]).
    pub levels: Vec<(usize, Level)>,
}

impl Solved {
    /// How many levels are over.
    pub fn over(&self) -> usize {
        self.levels.iter().filter(|l| l.1.state() == State::Over).count()
    }
}

/// The water of a day.
pub fn temperature(d: &Document, day: Day) -> ThermodynamicTemperature {
    match day {
        Day::Today | Day::Blocked => d.water.today,
        Day::Coldest => d.water.coldest,
        Day::Hottest | Day::Harvest | Day::Aged => d.water.hottest,
    }
}

/// The outlet of a tank with what the system knows filled in.
pub fn outlet_of(d: &Document, tank: &Tank, most: VolumeRate, day: Day) -> DrainIn {
    let mut i = DrainIn { flow: most, temperature: temperature(d, day), ..tank.outlet.clone() };
    match day {
        Day::Blocked if i.outlets.value > 1.0 => i.outlets = COUNT.of(i.outlets.value - 1.0),
        Day::Aged => i.blocked = PERCENT.of(i.blocked.value.max(HALF_BLOCKED.value)),
        _ => {}
    }
    i
}

/// The oxygen inputs of a tank with what the system knows filled in.
pub fn oxygen_of(d: &Document, tank: &Tank, flow: VolumeRate, day: Day) -> OxygenIn {
    let at =
        |day| OxygenIn { flow, temperature: temperature(d, day), altitude: d.water.altitude, ..tank.oxygen.clone() };
    let mut i = at(day);
    // A reading is of today's water and fish; other days take over what it says of the air and of what is breathed.
    if i.reading != Reading::None && day != Day::Today {
        let today = at(Day::Today);
        if let Ok(o) = calculators::solve::<Oxygen>(&today, &mut Working::none()) {
            let read = settled_by_reading(&today, &o);
            (i.air_factor, i.demand_factor) = (read.air_factor, read.demand_factor);
        }
        i.reading = Reading::None;
    }
    match day {
        Day::Harvest => {
            for g in &mut i.fish {
                let count = (g.total() / g.mass).value;
                if g.mass < tank.harvest {
                    g.mass = tank.harvest;
                    g.biomass = tank.harvest * count;
                }
            }
        }
        Day::Aged => i.condition = i.condition.min(RATIO.of(STONES_AGED.value)),
        _ => {}
    }
    i
}

/// The inputs of a settler with what the system knows filled in.
pub fn settling_of(d: &Document, s: &Settler, flow: VolumeRate, feed: MassRate, day: Day) -> SettlingIn {
    SettlingIn { flow: FLOW.of(flow.value.max(ENDS.1)), feed, temperature: temperature(d, day), ..s.settling.clone() }
}

/// The inputs of a bed with what the system knows filled in.
pub fn bed_of(d: &Document, b: &Bed, feed: MassRate, day: Day) -> BedIn {
    let fish = d.tanks.iter().flat_map(|t| &t.oxygen.fish).max_by(|a, b| a.total().value.total_cmp(&b.total().value));
    let tank = VOLUME.of(d.tanks.iter().map(|t| t.oxygen.volume.value).sum::<f64>().min(ENDS.2));
    let species = fish.map_or(b.bed.species, |g| g.species);
    BedIn {
        feed: FEED_RATE.of(feed.value.max(ENDS.0)),
        temperature: temperature(d, day),
        tank,
        species,
        ..b.bed.clone()
    }
}

/// What the water's temperature is to a species on a day: it must stay between where they stop feeding in the cold and in the heat. On the
/// coldest day they may well stop feeding, and must only live.
fn warmth(species: &'static Species, d: &Document, day: Day) -> Level {
    let t = temperature(d, day);
    let (low, below) = match day {
        Day::Coldest => (species.dies_below(), "so cold that they die"),
        _ => (species.stops_below(), "too cold: they stop feeding"),
    };
    Level::between(
        "warmth",
        "Water temperature for the fish",
        TEMPERATURE,
        (t, t),
        low,
        species.stops_above(),
        below,
        "too hot: they stop feeding",
    )
}

fn solve_at<C: Calculator>(inputs: &C::In, path: &str) -> Result<C::Out, Vec<FieldError>> {
    calculators::solve::<C>(inputs, &mut Working::none()).map_err(|e| e.into_iter().map(|e| e.under(path)).collect())
}

/// Solves a document on one day. Cheap: no words, no repairs.
///
/// # Errors
/// Everything impossible about the way of the water, and every field error of a station under its path.
pub fn solve(d: &Document, day: Day) -> Result<Solved, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    solve_on(d, &ways, day)
}

/// [`solve`], with the way of the water already looked up.
///
/// # Errors
/// As [`solve`].
pub fn solve_on(d: &Document, ways: &Ways<'_>, day: Day) -> Result<Solved, Vec<FieldError>> {
    let set: Vec<f64> = d.edges.iter().map(|e| e.flow.value).collect();
    let wanted = flow::flows(d, ways, &set)?;
    let mut levels = vec![];
    let mut faults = vec![];

    // Pumps: what their branches are set to, of what they can send.
    for (i, p) in d.pumps.iter().enumerate() {
        let station = ways.place(StationKind::Pump, i);
        let asked: f64 = ways.edges.iter().zip(&wanted.edges).filter(|(e, _)| e.0 == station).map(|e| e.1).sum();
        levels.push((station, Level::upper("pump", "What the branches are set to", FLOW, FLOW.of(asked), p.most)));
    }

    // Outlets, and what they leave of the flow.
    let mut share = vec![1.0; ways.stations.len()];
    let mut outlets = vec![];
    for (i, t) in d.tanks.iter().enumerate() {
        let station = ways.place(StationKind::Tank, i);
        let most = FLOW.of(wanted.most[station]);
        match solve_at::<Drain>(&outlet_of(d, t, most, day), &format!("tanks.{i}.outlet")) {
            Ok(out) => {
                let set = wanted.through[station];
                let over = Drain::level(&out).is_some_and(|l| l.state() == State::Over);
                let left = if over { set.min(ENOUGH * out.capacity.value) } else { set };
                share[station] = if set > 0.0 { left / set } else { 1.0 };
                if let Some(l) = Drain::level(&out) {
                    levels.push((station, Level { id: "outlet".into(), name: "Outlet".into(), ..l }));
                }
                outlets.push((most, over && left < set, out));
            }
            Err(mut e) => faults.append(&mut e),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let throttled: Vec<f64> = ways.edges.iter().zip(&set).map(|(&(_, to), q)| q * share[to]).collect();
    let flows = flow::flows(d, ways, &throttled)?;

    // Turnover and oxygen of every tank at what really flows.
    let mut tanks = vec![];
    let mut feed_in = vec![0.0; ways.stations.len()];
    for (i, (t, (most, less, outlet))) in d.tanks.iter().zip(outlets).enumerate() {
        let station = ways.place(StationKind::Tank, i);
        let (set, through) = (FLOW.of(wanted.through[station]), FLOW.of(flows.through[station]));
        let path = format!("tanks.{i}.oxygen");
        let oxygen = match solve_at::<Oxygen>(&oxygen_of(d, t, through, day), &path) {
            Ok(o) => o,
            Err(mut e) => {
                faults.append(&mut e);
                continue;
            }
        };
        if let Some(l) = Oxygen::level(&oxygen) {
            levels.push((station, Level { id: "oxygen".into(), name: "Oxygen".into(), ..l }));
        }
        let turn = FLOW.of(t.oxygen.volume.value * TURNOVER_WANTED.value / 3600.0);
        levels.push((station, Level::upper("turnover", "Turnover", FLOW, turn, through)));
        for g in &t.oxygen.fish {
            levels.push((station, warmth(g.species, d, day)));
        }
        feed_in[station] = oxygen.feed.value;
        tanks.push(TankSolved { set, most, flow: through, throttled: less, outlet, oxygen });
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let feed: f64 = feed_in.iter().sum();

    // Solids travel with the water, in equal parts where it parts.
    for &s in &flows.order {
        let out = ways.edges.iter().filter(|e| e.0 == s).count().max(1) as f64;
        let passes = match ways.stations[s].kind {
            StationKind::Pump | StationKind::Sump => 0.0,
            _ => feed_in[s] / out,
        };
        for &(_, to) in ways.edges.iter().filter(|e| e.0 == s) {
            if ways.stations[to].kind != StationKind::Pump {
                feed_in[to] += passes;
            }
        }
    }
    let mut settlers = vec![];
    let mut settler_feeds = vec![];
    for (i, s) in d.settlers.iter().enumerate() {
        let station = ways.place(StationKind::Settler, i);
        let (q, f) = (FLOW.of(flows.through[station]), FEED_RATE.of(feed_in[station]));
        settler_feeds.push(f);
        match solve_at::<Settling>(&settling_of(d, s, q, f, day), &format!("settlers.{i}.settling")) {
            Ok(o) => {
                levels.extend(Settling::level(&o).map(|l| (station, l)));
                settlers.push(o);
            }
            Err(mut e) => faults.append(&mut e),
        }
    }

    // Dissolved food mixes in all the water: every bed gets the share of it that its plants could take.
    let mut beds = vec![];
    let mut wants = vec![];
    for (i, b) in d.beds.iter().enumerate() {
        match solve_at::<BedCalculator>(&bed_of(d, b, FEED_RATE.of(feed), day), &format!("beds.{i}.bed")) {
            Ok(o) => wants.push((o.feed.0.value + o.feed.1.value) / 2.0),
            Err(mut e) => faults.append(&mut e),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let all: f64 = wants.iter().sum();
    let mut bed_feeds = vec![];
    for (i, b) in d.beds.iter().enumerate() {
        let part = if all > 0.0 { wants[i] / all } else { 1.0 / d.beds.len() as f64 };
        bed_feeds.push(FEED_RATE.of(feed * part));
        match solve_at::<BedCalculator>(&bed_of(d, b, FEED_RATE.of(feed * part), day), &format!("beds.{i}.bed")) {
            Ok(o) => {
                levels.extend(BedCalculator::level(&o).map(|l| (ways.place(StationKind::Bed, i), l)));
                beds.push(o);
            }
            Err(mut e) => faults.append(&mut e),
        }
    }
    if faults.is_empty() {
        Ok(Solved { day, flows, tanks, settlers, settler_feeds, beds, bed_feeds, feed: FEED_RATE.of(feed), levels })
    } else {
        Err(faults)
    }
}
