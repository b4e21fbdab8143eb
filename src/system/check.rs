//! The coupled check: the calculators' own functions on a whole system, at the flow that can really happen.
//!
//! First the flows: pumps with their curves, pipes and levels where these are said ([`super::supply`]), else the set flows. Each outlet is checked against
//! the most its pump could ever send, because a cleaned pump or a closed neighbouring branch will send it. Where an outlet cannot carry
//! that, its branch has to be throttled to what is enough for the outlet, its pump sends more through its others, and everything after is computed at
//! that: siphons, the water in sumps, the turnover, oxygen and ammonia round the loop ([`super::quality`]), the fish that are still safe. Last the coldest night against the heaters.
//!
//! Steady: what comes in at a station goes out of it; fish have just eaten; a bed with a siphon is taken at the mean of its cycles; the sump
//! stands at its running level, and for turnover, oxygen and ammonia at its lowest too: the worse counts. What nobody has said is not checked.

mod day;
mod water;

use super::document::*;
use super::ends;
use super::flow::{self, Flows, StationKind, Ways};
use super::harvest;
use super::level;
use super::quality::{self, AmmoniaSolved, HeatSolved};
use super::supply::{self, AtMost, Coupled, PumpSolved, Settled, SumpSolved, Supply, Surges};
use crate::calculators::bed::{Bed as BedCalculator, BedOut};
use crate::calculators::deadly::{self, Deadly};
use crate::calculators::drain::{Drain, DrainIn, DrainOut, Limit, ScreenKind};
use crate::calculators::form::{self, FieldError};
use crate::calculators::levels::LevelsIn;
use crate::calculators::outcome::{ENOUGH, Level, State, Working};
use crate::calculators::oxygen::{
    FeedBy, Filter, FishBy, FishGroup, Inlet, Oxygen, OxygenIn, OxygenOut, Reading, UNEATEN, carried_by_reading,
    level_of, settled_by_reading,
};
pub(super) use crate::calculators::oxygen::{LEAST_FED, by_table, eaten};
use crate::calculators::settling::{self, Settling, SettlingIn, SettlingOut};
use crate::calculators::siphon::{self, Siphon as SiphonCalculator, SiphonIn, SiphonOut};
use crate::calculators::stocking::Bears;
use crate::calculators::{self, Calculator, ammonia, bed::BedIn, heat, levels, pump};
use crate::catalog::sources::{Coef, biology, oxygen, system};
use crate::catalog::species::Species;
use crate::science::respiration::Solids;
use crate::science::round::Round;
use crate::science::{mixing, oxygen_saturation as saturation, solve as roots, treatment};
use crate::units::{kinds::*, si::*, *};
use std::borrow::Cow;

pub use day::{Day, outlet_of, outlet_on, temperature};
use water::Moving;
pub use water::Shared;

/// Tank volumes an hour that should pass a tank.
const TURNOVER_WANTED: Coef = Coef::new(1.0, "1/h", &biology::FAO_AZ028E, "small aquaponic systems; at least this");

/// What is to stay in a fish tank that a pump draws from.
const STAYS: Coef = Coef::new(0.5, "1", &system::DRAWN_FROM, "of its water, with all beds full");

/// What aged stones do of new ones.
const STONES_AGED: Coef = Coef::new(0.6, "1", &oxygen::STONE_AGEING, "clogged, of new ones: the low end");
/// What a clogged or worn aerator does of its rated transfer.
const RATED_AGED: Coef = Coef::new(0.75, "1", &system::WORN, "as much less as of aged stones against those in use");

/// One tank, solved.
#[derive(Debug, Clone)]
pub struct TankSolved {
    /// What its branch is set to, or as much less as its pump can send.
    pub set: VolumeRate,
    /// The most that could come, and what its outlet has to carry while siphons above it run.
    pub most: VolumeRate,
    /// What really flows: the set flow, or less where the outlet cannot carry the most.
    pub flow: VolumeRate,
    /// What of it leaves by the outlet: a pump may draw the rest.
    pub leaves: VolumeRate,
    /// Had it to be throttled?
    pub throttled: bool,
    /// Its outlet at the most.
    pub outlet: DrainOut,
    /// How far the water of a next tank that its outlet ends in backs up in it: at what flows, and at the most.
    pub backed: [Length; 2],
    /// How far its water stands over where it stands without flow, at what flows.
    pub rise: Length,
    /// Where only pumps take its water, and it has no outlet: what is missing in it at the most.
    pub gone: Option<Volume>,
    /// The inputs of its oxygen, with what comes back from the loop, and a reading at dawn written into its factors.
    pub inputs: OxygenIn,
    /// Its oxygen at what flows, or at what comes with the sump at its lowest where that is worse.
    pub oxygen: OxygenOut,
    /// Is it the oxygen with the sump at its lowest?
    pub at_lowest_sump: bool,
}

/// The outlet of a settler or a bed, solved. Nothing is throttled for it: what flows is what is set.
#[derive(Debug, Clone)]
pub struct WayOutSolved {
    /// Of what.
    pub kind: StationKind,
    /// Its place in the list of its kind.
    pub index: usize,
    /// So many like it share the flow.
    pub alike: f64,
    /// One outlet, with what the system knows filled in, at the most that could come.
    pub inputs: DrainIn,
    /// What it does.
    pub out: DrainOut,
    /// How far its water stands over where it stands without flow, at what flows.
    pub rise: Length,
}

/// A settler or a bed whose water only pumps take, so that it has no outlet.
#[derive(Debug, Clone)]
pub struct Pool {
    /// Its place among all stations.
    pub station: usize,
    /// Its water, and how deep that is, as it is filled.
    pub volume: Volume,
    /// Its depth.
    pub depth: Length,
    /// What is missing in it at the most.
    pub gone: Volume,
}

/// What a whole system has of oxygen with the sumps at their lowest.
#[derive(Debug, Clone)]
pub struct AtLowestSump {
    /// What flows then.
    pub flows: Flows,
    /// As [`Solved::rounds`].
    pub rounds: [Round; 2],
}

/// A whole system, solved on one day.
#[derive(Debug, Clone)]
pub struct Solved {
    /// The day.
    pub day: Day,
    /// Flows along every edge and into every station.
    pub flows: Flows,
    /// What comes to every station while the siphons above it run, m3/s; 0 where there is none.
    pub surges: Vec<f64>,
    /// Tanks, in the order of the document.
    pub tanks: Vec<TankSolved>,
    /// Outlets of settlers and beds, those that are said.
    pub ways_out: Vec<WayOutSolved>,
    /// Settlers.
    pub settlers: Vec<SettlingOut>,
    /// Feed whose solids reach each settler.
    pub settler_feeds: Vec<MassRate>,
    /// Beds.
    pub beds: Vec<BedOut>,
    /// Feed whose dissolved part each bed gets.
    pub bed_feeds: Vec<MassRate>,
    /// Pumps, those that were solved with their curves and pipes.
    pub pumps: Vec<Option<PumpSolved>>,
    /// Sumps whose size is known.
    pub sumps: Vec<Option<SumpSolved>>,
    /// Settlers and beds whose water only pumps take.
    pub pools: Vec<Pool>,
    /// Siphons of the beds that have one.
    pub siphons: Vec<Option<SiphonOut>>,
    /// The oxygen balance after the meal, at the low and the high end of transfer: what every station settles at is asked of it ([`Round::settle`]).
    pub rounds: [Round; 2],
    /// Flows and balance with the sumps at their lowest, where less comes then.
    pub low: Option<AtLowestSump>,
    /// Ammonia, if the filter is known.
    pub ammonia: Option<AmmoniaSolved>,
    /// Heat, if anything is said of it.
    pub heat: Option<HeatSolved>,
    /// Feed of the whole system.
    pub feed: MassRate,
    /// Every fill level with the station it belongs to (its place in [`Document::stations`]).
    pub levels: Vec<(usize, Level)>,
}

impl TankSolved {
    /// The water of a tank with the pump off, and at least such a part of it: what beds hold of one that the pump draws from does not come back.
    pub fn left(&self, tank: &Tank, least: f64) -> Volume {
        let volume = tank.oxygen.volume;
        self.gone.map_or(volume, |gone| (volume - gone).max(volume * least))
    }
}

impl Solved {
    /// The water that stands over an outlet ([`Document::outlets`]) while it flows.
    pub fn over(&self, outlet: usize, held: &flow::StationOutlet<'_>) -> Volume {
        let rise = |n| self.ways_out.get(n).map_or(LENGTH.of(0.0), |o: &WayOutSolved| o.rise);
        let rise = self.tanks.get(outlet).map_or_else(|| rise(outlet - self.tanks.len()), |t| t.rise);
        held.surface() * rise
    }
    /// The outlet of a settler or a bed, if one is said.
    pub fn way_out(&self, kind: StationKind, index: usize) -> Option<&WayOutSolved> {
        self.ways_out.iter().find(|o| (o.kind, o.index) == (kind, index))
    }
}

/// The oxygen inputs of a tank with what the system knows filled in.
pub fn oxygen_of(d: &Document, tank: &Tank, flow: VolumeRate, day: Day) -> OxygenIn {
    let at = |day| {
        let known =
            OxygenIn { flow, temperature: temperature(d, day), altitude: d.water.altitude, ..tank.oxygen.clone() };
        in_loop(d, known, day)
    };
    let mut i = at(day);
    // A reading is of today's water and fish; other days take over what it says of the air and of what is breathed.
    if i.reading != Reading::None && day != Day::Today {
        take_over_reading(&mut i, &at(Day::Today), carried_by_reading);
    }
    match day {
        Day::Harvest | Day::Group(_) => {
            for (g, mass) in i.fish.iter_mut().zip(harvest::masses(d, day, tank)) {
                if g.mass != mass {
                    let count = (g.total() / g.mass).value;
                    (g.mass, g.biomass) = (mass, mass * count);
                }
            }
        }
        Day::Aged => {
            i.condition = i.condition.min(RATIO.of(STONES_AGED.value));
            i.air.rated *= RATED_AGED.value;
        }
        _ => {}
    }
    if i.feed_by == FeedBy::Weighed && !matches!(day, Day::Today | Day::Blocked) {
        i.feed = weighed_in(d, &tank.oxygen, &i.fish, i.temperature);
    }
    i
}

/// All water of a document comes from its own stations. So what is measured where it comes in is today's, and no more than the water holds; on other days it is
/// what the loop brings back, and so is water of which nobody measured anything. And where there is a filter, it breathes in that water.
fn in_loop(d: &Document, mut i: OxygenIn, day: Day) -> OxygenIn {
    match (i.inlet, day) {
        (Inlet::Loop, _) => {}
        (Inlet::Given, Day::Today | Day::Blocked) => {
            let pressure = saturation::pressure_at(i.altitude).ok();
            let holds = pressure.and_then(|p| saturation::saturation(i.temperature, i.salinity, p).ok());
            i.inlet_oxygen = holds.map_or(i.inlet_oxygen, |cs| i.inlet_oxygen.min(cs));
        }
        _ => i.inlet = Inlet::Loop,
    }
    if i.filter == Filter::Without && filtered(d) {
        i.filter = Filter::Apart;
    }
    i
}

/// Is there a filter in the loop: medium that is said to be one, or beds?
pub(super) fn filtered(d: &Document) -> bool {
    let beds = d.beds.iter().any(|b| b.medium().value > 0.0 || b.rafts().value > 0.0);
    beds || d.ammonia.iter().any(|a| a.0.media.value > 0.0)
}

/// What a reading of today says of the air and of what is breathed, for some water.
type ByReading = fn(&OxygenIn, &OxygenOut) -> OxygenIn;

/// Puts what the reading of `today` says, for such water, in place of the reading.
fn take_over_reading(i: &mut OxygenIn, today: &OxygenIn, by: ByReading) {
    if let Ok(o) = calculators::solve::<Oxygen>(today, &mut Working::none()) {
        let read = by(today, &o);
        (i.air_factor, i.demand_factor) = (read.air_factor, read.demand_factor);
    }
    i.reading = Reading::None;
}

/// The document with what readings at dawn say of the air and of what is breathed in their place, where there are any: a reading is of the fish and the
/// air that there are, and must not be read again with those that are tried.
pub(super) fn as_read(d: &Document) -> Cow<'_, Document> {
    let read = |t: &Tank| t.oxygen.reading == Reading::Dawn;
    let today = if d.tanks.iter().any(read) { solve(d, Day::Today).ok() } else { None };
    let Some(today) = today else { return Cow::Borrowed(d) };
    let mut all = d.clone();
    for (t, s) in all.tanks.iter_mut().zip(&today.tanks).filter(|(t, _)| read(t)) {
        let read = carried_by_reading(&s.inputs, &s.oxygen);
        (t.oxygen.air_factor, t.oxygen.demand_factor) = (read.air_factor, read.demand_factor);
        t.oxygen.reading = Reading::None;
    }
    Cow::Owned(all)
}

/// What is weighed out to the fish of a tank once they are as many and as large as `fish`: as much more or less as the tables give them in such
/// water. Where the tables give nothing they do not grow: as it is, or less by what is gone of their weight.
pub(super) fn weighed_for(was: &OxygenIn, fish: &[FishGroup], t: ThermodynamicTemperature) -> MassRate {
    if was.feed_by != FeedBy::Weighed {
        return was.feed;
    }
    let (before, after) = (by_table(&was.fish, t), by_table(fish, t));
    let times = if before > 0.0 { after / before } else { left_of(&was.fish, fish) };
    // Nobody typed what it grows to.
    (was.feed * times).min(FEED_RATE.of(ends::WEIGHED[1]))
}

/// What is left of the weight of some fish once they are others: no more than all.
fn left_of(was: &[FishGroup], fish: &[FishGroup]) -> f64 {
    let weigh = |fish: &[FishGroup]| fish.iter().map(|g| g.total().value).sum::<f64>();
    let before = weigh(was);
    if before > 0.0 { (weigh(fish) / before).min(1.0) } else { 1.0 }
}

/// What is weighed out on another day: as much of what the tables give such fish in that water as today is weighed out of it, within what fish live on and eat. What
/// they are given today stays the least, so that what is fed on into cold water is seen; where the tables give nothing today, they say the rest.
pub(super) fn weighed_in(d: &Document, was: &OxygenIn, fish: &[FishGroup], t: ThermodynamicTemperature) -> MassRate {
    let (now, then) = (by_table(&was.fish, d.water.today), by_table(fish, t));
    let part = if now > 0.0 { (was.feed.value / now).clamp(LEAST_FED, UNEATEN) } else { 1.0 };
    FEED_RATE.of((was.feed.value * left_of(&was.fish, fish)).max(then * part).min(ends::WEIGHED[1]))
}

/// A fault of fish grown to the harvest at the field that says how far they grow.
fn grown(e: FieldError) -> FieldError {
    match e.path.split_once(".oxygen.fish.") {
        Some((tank, _)) => {
            let path = format!("{tank}.harvest");
            FieldError { path, ..e.worded(&|fault| format!("at harvest {fault}")) }
        }
        None => e,
    }
}

/// What the fish of a tank are fed today.
pub(super) fn fed_today(d: &Document, tank: usize) -> MassRate {
    let o = &d.tanks[tank].oxygen;
    if o.feed_by == FeedBy::Weighed { o.feed } else { FEED_RATE.of(by_table(&o.fish, d.water.today)) }
}

/// The inputs of a settler with what the system knows filled in.
pub fn settling_of(d: &Document, s: &Settler, flow: VolumeRate, feed: MassRate, day: Day) -> SettlingIn {
    SettlingIn {
        flow: FLOW.of(flow.value.max(ends::SETTLER_FLOW[0])),
        feed,
        temperature: temperature(d, day),
        ..s.settling.clone()
    }
}

/// The inputs of a bed with what the system knows filled in.
pub fn bed_of(d: &Document, b: &Bed, feed: MassRate, day: Day) -> BedIn {
    let fish = d.tanks.iter().flat_map(|t| &t.oxygen.fish).max_by(|a, b| a.total().value.total_cmp(&b.total().value));
    let tank = VOLUME.of(d.tanks.iter().map(|t| t.oxygen.volume.value).sum::<f64>().min(ends::BED_WATER[1]));
    let species = fish.map_or(b.bed.species, |g| g.species);
    BedIn {
        feed: FEED_RATE.of(feed.value.max(ends::BED_FEED[0])),
        temperature: temperature(d, day),
        tank,
        species,
        ..b.bed.clone()
    }
}

/// The inputs of a siphon with what the system knows filled in.
pub fn siphon_of(d: &Document, s: &Siphon, flow: VolumeRate, day: Day) -> SiphonIn {
    SiphonIn {
        inflow: FLOW.of(ends::within(flow.value, ends::SIPHON_FLOW)),
        temperature: temperature(d, day),
        ..s.0.clone()
    }
}

/// Of a tank that is pumped empty so much is left, so that it has heat at all.
const HARDLY_ANY: f64 = 1e-3;

/// That fish which do not winter are in water too cold for them in the coldest weeks, and what that brings.
pub(super) fn no_winter(species: &Species, coldest: ThermodynamicTemperature, w: Words) -> Option<String> {
    let t = |t| w.q(TEMPERATURE, t);
    let below = species.fails_below().map_or(String::new(), |f| format!(", and below {} many die of it", t(f)));
    (coldest < species.stops_below() && !species.winters()).then(|| {
        format!(
            "{} do not winter: weeks of water below {} bring stress and disease{below}. Heat it, or choose fish that winter.",
            sentence(species.noun),
            t(species.stops_below())
        )
    })
}

/// Do these fish rest for the winter on a day, and feed again in the year's warmer water?
fn rests(species: &Species, d: &Document, day: Day) -> bool {
    let t = temperature(d, day);
    species.winters()
        && t < species.stops_below()
        && t >= species.dies_below()
        && d.water.hottest > species.stops_below()
}

/// What the water's temperature is to a species on a day: it must stay between where they stop feeding in the cold and in the heat. On the
/// coldest day they may well stop feeding, and must only live; so must those that winter under ice on any day. Others bear that for days, and sicken over weeks: mild, down to where many
/// die. Where they die at once, that leads.
fn warmth(fish: &FishGroup, d: &Document, day: Day) -> Level {
    let (t, species, name) = (temperature(d, day), fish.species, "Water temperature for the fish");
    // Without fish nothing is asked of the water; the level keeps its place among those of the other groups.
    if fish.total().value <= 0.0 {
        return Level::upper(level::WARMTH, name, TEMPERATURE, TEMPERATURE.of(0.0), t);
    }
    if let Some(dies) = Deadly::of(species, t) {
        return dies.level(level::WARMTH, name);
    }
    // Too cold to feed for those that do not winter (barramundi below 20 °C sicken in long spells).
    let fails = species.fails_below().is_some_and(|f| t < f);
    let chilled = day == Day::Coldest && t < species.stops_below() && !species.winters();
    let (low, below) = match day {
        Day::Coldest if !chilled => (species.dies_below(), "so cold that they die"),
        _ if fails => (species.stops_below(), "so cold that many sicken and die"),
        _ => (species.stops_below(), "too cold; they stop feeding"),
    };
    let rests = day != Day::Coldest && rests(species, d, day);
    let below = if rests { "they rest for the winter" } else { below };
    let (high, above) = (species.stops_above(), "too hot; they stop feeding");
    Level {
        mild: rests || chilled && !fails,
        ..Level::between(level::WARMTH, name, TEMPERATURE, (t, t), low, high, below, above)
    }
}

/// How warm the water gets on the afternoons of the hottest spell against what the fish live in. The heaters hold it at the coldest of the year at the least; how warm
/// that is says nothing of the summer.
fn spell(d: &Document, h: &HeatSolved) -> Level {
    let (t, name) = (h.out.afternoon.max(h.inputs.water), "Water temperature in the hottest spell");
    if let Some(dies) = Deadly::worst(quality::species(d), t, SALINITY.of(0.0)) {
        return dies.level(level::SUMMER, name);
    }
    let low = quality::species(d).map(|s| s.dies_below().value).fold(celsius(0.0), f64::max);
    Level::between(
        level::SUMMER,
        name,
        TEMPERATURE,
        (t, t),
        TEMPERATURE.of(low),
        h.inputs.hottest,
        "so cold that they die",
        "too hot; they stop feeding",
    )
}

/// The salt of the water, which is one: the most that a tank or the water test is put at, and what more chloride stands for than that of fresh water.
pub(super) fn salt(d: &Document) -> MassConcentration {
    let chloride = d.ammonia.iter().map(|a| treatment::salt_of(a.0.chloride)).filter(|s| s.value > SALT_OFF);
    let said = d.tanks.iter().map(|t| t.oxygen.salinity).chain(d.ammonia.iter().map(|a| a.0.salinity));
    said.chain(chloride).fold(SALINITY.of(0.0), |a, b| a.max(b))
}

/// That against the least that any of the fish is counted on to bear; fresh water is not asked.
fn salted(d: &Document) -> Option<Level> {
    let salt = salt(d);
    let borne = quality::species(d).map(deadly::salt_borne).reduce(|a, b| a.min(b))?;
    let level = deadly::salt_level(level::SALT, salt, borne);
    (salt.value > 0.0).then(|| Level { leads: level.state() == State::Over, ..level })
}

/// That against what the crop of a bed still yields in; fresh water is not asked.
fn salted_crop(d: &Document, bed: &Bed) -> Option<Level> {
    let salt = salt(d);
    let level = || Level::upper(level::CROP_SALT, "Salt for the crop", SALINITY, salt, bed.bed.crop.salt_borne());
    (salt.value > 0.0).then(level)
}

/// The pH of the water test against what the crop of a bed bears. Such a crop grows poorly and does not die, so it is mild; whether anybody has read
/// the test, `report::told` asks.
fn soured_crop(d: &Document, bed: &Bed) -> Option<Level> {
    let (is, (low, high)) = (d.ammonia.first()?.0.ph, bed.bed.crop.bears_ph());
    let [below, above] = ["too sour for the crop", "too alkaline; iron and phosphorus run short"];
    Some(Level::between(level::CROP_PH, "pH for the crop", RATIO, (is, is), low, high, below, above).mild())
}

/// The fall that the pipes of a settler take at the most that comes, against what there is to the rim of that which runs into it;
/// nothing where that is not known. Clean: how wide they are is mostly a first guess. Of its way out, if said, there is a level of its own.
fn head(d: &Document, ways: &Ways<'_>, supply: &Supply, i: usize, most: f64) -> Option<Level> {
    let (station, s) = (ways.place(StationKind::Settler, i), &d.settlers[i].settling);
    let held = d.outlets();
    let outlet = |k: usize| held.iter().position(|h| ways.place(h.kind, h.index) == ways.edges[k].0);
    let into = (0..ways.edges.len()).filter(|&k| ways.edges[k].1 == station);
    let there = into.map(|k| Some(supply.fall(outlet(k)?))).reduce(|a, b| Some(a?.min(b?)))??;
    let (asked, _) = settling::head(s, FLOW.of(most), d.settlers[i].outlet.is_empty());
    Some(Level::upper(level::HEAD, "Fall it needs", SHORT_LENGTH, asked, there))
}

/// Salt that a test or a person may be off, g/L.
pub(super) const SALT_OFF: f64 = 0.5;

/// The fish of a tank against what its water may hold, as density.
fn density(s: &Stocking, tank: &Tank, fish: Mass) -> Level {
    let holds = STOCKING.of(fish.value / tank.oxygen.volume.value);
    Level::upper(level::DENSITY, "Stocking density", STOCKING, holds, s.held_to(tank))
}

/// The part of the water that leaves a station and meets no settler that `works` before it is anywhere but in tanks.
pub(super) fn unsettled(ways: &Ways<'_>, station: usize, works: &dyn Fn(usize) -> bool) -> f64 {
    unsettled_from(ways, station, works, &mut vec![None; ways.stations.len()])
}

/// The same; `known` is what was found already, so that every station is asked once.
fn unsettled_from(ways: &Ways<'_>, station: usize, works: &dyn Fn(usize) -> bool, known: &mut Vec<Option<f64>>) -> f64 {
    if let Some(part) = known[station] {
        return part;
    }
    let (mut left, mut all) = (0.0, 0.0);
    for k in ways.out_of(station) {
        let to = &ways.stations[ways.edges[k].1];
        all += 1.0;
        left += match to.kind {
            StationKind::Settler if works(to.index) => 0.0,
            StationKind::Tank => unsettled_from(ways, ways.edges[k].1, works, known),
            _ => 1.0,
        };
    }
    let part = if all > 0.0 { left / all } else { 1.0 };
    known[station] = Some(part);
    part
}

/// The solids that no settler takes out: the feed whose solids stay, against that whose solids beds and tanks keep without being choked; nothing
/// where the water of every tank goes through a settler. (How much that can take is its own level.) `feeds` are what every tank is fed.
fn solids(d: &Document, ways: &Ways<'_>, feeds: &[f64]) -> Option<Level> {
    let parts = (0..d.tanks.len()).map(|t| unsettled(ways, ways.place(StationKind::Tank, t), &|_| true));
    let parts: Vec<f64> = parts.collect();
    if d.stocking.is_empty() || parts.iter().all(|p| *p <= 0.0) {
        return None;
    }
    let media: f64 = d.beds.iter().map(|b| b.medium().value).sum();
    let rafts: f64 = d.beds.iter().map(|b| b.rafts().value).sum();
    let tanks: f64 = d.tanks.iter().map(|t| t.oxygen.volume.value).sum();
    let filter = d.ammonia.iter().any(|a| a.0.media.value > 0.0);
    let bears = Bears { media: VOLUME.of(media), rafts: AREA.of(rafts), tanks: VOLUME.of(tanks), filter };
    // As much as it would be if all stayed.
    let kept = bears.feed(Solids::Left);
    let fed = d.tanks.iter().zip(feeds).zip(parts);
    let stays = fed.map(|((t, f), part)| f * part * (kept / bears.feed(t.oxygen.solids)).value).sum();
    Some(Level::upper(level::SOLIDS, "Solid waste left in the water, as feed", FEED_RATE, FEED_RATE.of(stays), kept))
}

/// A calculator's function on a part of the system, its faults under the path of that part.
pub(super) fn solve_at<C: Calculator>(inputs: &C::In, path: &str) -> Result<C::Out, Vec<FieldError>> {
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
    solve_with(d, ways, day, &mut Shared { alone: true, ..Shared::default() })
}

/// Water that goes round slowly is not over by itself: mild, where the oxygen of the tank and the ammonia that is carried to the filter are known, and tell
/// what starves.
fn slow_alone(levels: &mut [(usize, Level)]) {
    let known = |all: &[(usize, Level)], id: &str, at: Option<usize>| {
        all.iter().any(|l| l.1.id == id && at.is_none_or(|at| l.0 == at))
    };
    for k in (0..levels.len()).filter(|&k| levels[k].1.id == level::TURNOVER).collect::<Vec<_>>() {
        levels[k].1.mild = levels[k].1.state() == State::Over
            && known(levels, level::AMMONIA, None)
            && known(levels, level::OXYGEN, Some(levels[k].0));
    }
}

/// A document with what its heat part says of its other parts: water as warm as the afternoons of the hottest spell get, where that is clearly warmer than
/// what is put down, and sumps that lose as much by evaporation.
fn as_it_gets<'a>(d: &'a Document, ways: &Ways<'_>, day: Day, heat: Option<&HeatSolved>) -> Cow<'a, Document> {
    let Some(heat) = heat else { return Cow::Borrowed(d) };
    // The hottest spell is not the coldest day.
    let more = evaporates_more(d, ways, heat).filter(|_| day != Day::Coldest);
    let hottest = warmer(d, heat);
    if hottest.is_none() && more.is_none() {
        return Cow::Borrowed(d);
    }
    let mut all = d.clone();
    all.water.hottest = hottest.unwrap_or(d.water.hottest);
    for l in all.sumps.iter_mut().flat_map(|s| &mut s.levels) {
        l.0.evaporation = (l.0.evaporation + more.unwrap_or_default()).min(DAILY_VOLUME.of(ends::SUMP_LOSS[1]));
    }
    Cow::Owned(all)
}

/// The afternoons of the hottest spell, where they are clearly warmer than the hottest water that is put down.
pub(super) fn warmer(d: &Document, h: &HeatSolved) -> Option<ThermodynamicTemperature> {
    let gets = TEMPERATURE.of(h.out.afternoon.value.min(ends::WATER_HOTTEST[1]));
    (gets.value > d.water.hottest.value + WARMER).then_some(gets)
}

/// What evaporates beyond that which is put down for the sumps that pumps draw from, of each as much; nothing where that is no more. Others stand at their
/// way out: what they lose is missing in the next.
pub(super) fn evaporates_more(d: &Document, ways: &Ways<'_>, h: &HeatSolved) -> Option<VolumeRate> {
    let drawn = |s: &usize| ways.is_drawn(ways.place(StationKind::Sump, *s));
    let drawn = (0..d.sumps.len()).filter(drawn).flat_map(|s| &d.sumps[s].levels);
    let said: Vec<_> = drawn.map(|l| l.0.evaporation.value).collect();
    let more = (h.out.evaporated_hot.value - said.iter().sum::<f64>()) / said.len() as f64;
    (more > 0.0 && more.is_finite()).then(|| DAILY_VOLUME.of(more))
}

/// What the hottest water may be off, K.
const WARMER: f64 = 1.0;

/// [`solve_on`], with what other days and other documents of the same stations have computed already.
///
/// # Errors
/// As [`solve`].
pub fn solve_with(d: &Document, ways: &Ways<'_>, day: Day, shared: &mut Shared) -> Result<Solved, Vec<FieldError>> {
    whole(d, ways, day, shared).map_err(|e| e.into_iter().map(|e| laid(d, ways, day, e)).collect())
}

/// A fault of a flow or a feed that the check works out, which no field holds, at the field that it comes from most: of the pump that can send most, or
/// of the tank that is fed most.
fn laid(d: &Document, ways: &Ways<'_>, day: Day, e: FieldError) -> FieldError {
    let station = ways.stations.iter().position(|s| e.path.starts_with(&format!("{}.", s.path())));
    let Some(station) = station.filter(|_| form::value_at(&mut d.clone(), &e.path).is_none()) else { return e };
    let (path, all) = if e.path.ends_with(".feed") {
        let fed = |t: &usize| fed_today(d, *t).value;
        let Some(t) = (0..d.tanks.len()).max_by(|a, b| fed(a).total_cmp(&fed(b))) else { return e };
        let (o, weighs) = (&d.tanks[t].oxygen, |g: &usize| d.tanks[t].oxygen.fish[*g].total().value);
        let most = (0..o.fish.len()).max_by(|a, b| weighs(a).total_cmp(&weighs(b)));
        let path = match (o.feed_by, most) {
            (FeedBy::Weighed, _) | (_, None) => format!("tanks.{t}.oxygen.feed"),
            _ if day.of_harvest() => format!("tanks.{t}.harvest"),
            (_, Some(g)) => {
                let key = if o.fish[g].by == FishBy::Weight { "biomass" } else { "count" };
                format!("tanks.{t}.oxygen.fish.{g}.{key}")
            }
        };
        (path, if day.of_harvest() { "at harvest with all tanks" } else { "with all tanks" })
    } else if e.path.ends_with("flow") {
        let sends = |p: &usize| d.pumps[*p].can_send().value;
        let above = |p: &usize| ways.below(ways.place(StationKind::Pump, *p)).contains(&station);
        let most = (0..d.pumps.len()).filter(above).max_by(|a, b| sends(a).total_cmp(&sends(b)));
        let Some(p) = most else { return e };
        (format!("pumps.{p}{}", if d.pumps[p].curve.is_empty() { ".most" } else { "" }), "with all pumps")
    } else {
        return e;
    };
    let layout = form::layout(&mut d.clone());
    let field = layout.iter().find(|l| l.path == path).and_then(|l| l.item.label());
    // What has a curve is named as a whole: several of its numbers say what it sends.
    let owner = || ways.stations.iter().find(|s| s.path() == path).map_or("", |s| s.name);
    let (label, name) = (field.unwrap_or_else(owner).to_string(), ways.stations[station].name);
    FieldError { path, label, ..e.worded(&|fault| format!("{all} {fault} for {name}")) }
}

fn whole(d: &Document, ways: &Ways<'_>, day: Day, shared: &mut Shared) -> Result<Solved, Vec<FieldError>> {
    // What is wrong with it is told after all else.
    let heat = shared.heat(d);
    let known = heat.as_ref().ok().and_then(Option::as_ref);
    let d = &*as_it_gets(d, ways, day, known);
    let mut s = Solving::of(d, ways, day, shared)?;
    let Breathed { tanks, rounds, low } = s.breathe()?;
    let mut tanks = s.tanks(tanks);
    let feeds: Vec<f64> = tanks.iter().map(|t| t.oxygen.feed.value).collect();
    let feed: f64 = feeds.iter().sum();
    let reaches = s.solids(&feeds);
    let (settlers, settler_feeds) = s.settlers(&reaches);
    let Planted { beds, feeds: bed_feeds, siphons } = s.beds(feed)?;
    let sumps = s.sumps(&siphons);
    let pools = s.drawn(known, &mut tanks, &siphons);
    let ammonia = s.ammonia(&feeds);
    let heat = s.heat(heat, &tanks);
    s.sound()?;
    slow_alone(&mut s.levels);
    let (Solving { water, levels, .. }, feed) = (s, FEED_RATE.of(feed));
    let Moving { supply, flows, surges, ways_out, .. } = water;
    let Supply { pumps, .. } = supply;
    #[rustfmt::skip]
    let all = Solved {
        day, flows, surges, tanks, ways_out, settlers, settler_feeds, beds, bed_feeds, pumps, sumps, pools, siphons, rounds, low, ammonia, heat, feed, levels,
    };
    Ok(all)
}

/// One level of a day, by its station, its identifier and which of those it is: no stage is solved that comes after its own, so that what is refused
/// there is not.
pub(super) fn level_with(
    d: &Document,
    ways: &Ways<'_>,
    day: Day,
    shared: &mut Shared,
    (station, id, nth): (usize, &str, usize),
) -> Option<Level> {
    let of_water = matches!(id, level::OUTLET | level::PUMP | level::LIFT);
    // The turnover is none of these: whether slow water is mild hangs on the ammonia.
    let levels = if of_water || matches!(id, level::OXYGEN | level::WARMTH | level::DENSITY) {
        let heat = shared.heat(d);
        let d = &*as_it_gets(d, ways, day, heat.as_ref().ok().and_then(Option::as_ref));
        let mut s = Solving::of(d, ways, day, shared).ok()?;
        if !of_water {
            let breathed = s.breathe().ok()?;
            s.tanks(breathed.tanks);
        }
        s.levels
    } else {
        solve_with(d, ways, day, shared).ok()?.levels
    };
    levels.into_iter().filter(|l| l.0 == station && l.1.id == id).nth(nth).map(|l| l.1)
}

/// A day of a document while it is solved, stage by stage in the order of [`solve_with`].
struct Solving<'a> {
    d: &'a Document,
    ways: &'a Ways<'a>,
    day: Day,
    water: Moving,
    /// Those of the stages so far.
    levels: Vec<(usize, Level)>,
    faults: Vec<FieldError>,
}

/// The oxygen of every tank, whether it is that with the sumps at their lowest, and the balance.
struct Breathed {
    tanks: Vec<(OxygenIn, OxygenOut, bool)>,
    rounds: [Round; 2],
    low: Option<AtLowestSump>,
}

/// Beds, the feed that each gets, and their siphons.
struct Planted {
    beds: Vec<BedOut>,
    feeds: Vec<MassRate>,
    siphons: Vec<Option<SiphonOut>>,
}

impl<'a> Solving<'a> {
    /// How the water moves.
    fn of(d: &'a Document, ways: &'a Ways<'a>, day: Day, shared: &mut Shared) -> Result<Self, Vec<FieldError>> {
        let mut water = shared.moving(d, ways, day)?;
        let levels = std::mem::take(&mut water.levels);
        Ok(Self { d, ways, day, water, levels, faults: vec![] })
    }

    /// Keeps faults for the end of a stage.
    fn keep<T>(&mut self, result: Result<T, Vec<FieldError>>) -> Option<T> {
        result.map_err(|e| self.faults.extend(e)).ok()
    }

    /// No faults so far?
    fn sound(&mut self) -> Result<(), Vec<FieldError>> {
        if self.faults.is_empty() { Ok(()) } else { Err(std::mem::take(&mut self.faults)) }
    }

    /// Do all the fish rest for the winter?
    fn all_rest(&self) -> bool {
        let all = || quality::species(self.d);
        all().next().is_some() && all().all(|s| rests(s, self.d, self.day))
    }

    fn tank(&self, i: usize) -> usize {
        self.ways.place(StationKind::Tank, i)
    }

    /// Oxygen of every tank at what really flows, mixed round the loop.
    fn breathe(&self) -> Result<Breathed, Vec<FieldError>> {
        let (d, ways, day) = (self.d, self.ways, self.day);
        let Moving { flows, low, .. } = &self.water;
        let read = quality::read(d, ways, flows)?;
        let input = |(i, t): (usize, &Tank)| {
            let flow = FLOW.of(flows.through[self.tank(i)]);
            let Some((today, out)) = &read[i] else { return oxygen_of(d, t, flow, day) };
            let by = if day == Day::Today { settled_by_reading } else { carried_by_reading };
            let read = by(today, out);
            let unread = Tank { oxygen: OxygenIn { reading: Reading::None, ..t.oxygen.clone() }, ..t.clone() };
            let (air_factor, demand_factor) = (read.air_factor, read.demand_factor);
            OxygenIn { air_factor, demand_factor, ..oxygen_of(d, &unread, flow, day) }
        };
        let inputs: Vec<_> = d.tanks.iter().enumerate().map(input).collect();
        let at_home = |e: Vec<FieldError>| if day.of_harvest() { e.into_iter().map(grown).collect() } else { e };
        let aired = quality::oxygen(d, ways, flows, inputs.clone(), &[]).map_err(at_home)?;
        let mut tanks: Vec<_> = aired.inputs.into_iter().zip(aired.tanks).map(|(i, o)| (i, o, false)).collect();
        for (s, read) in tanks.iter_mut().zip(&read).filter(|_| day == Day::Today) {
            if let Some((_, read)) = read {
                (s.1.dawn, s.1.low_now) = (read.dawn, read.low_now);
            }
        }
        let rounds = aired.rounds;
        let Some(low) = low else { return Ok(Breathed { tanks, rounds, low: None }) };
        // Less comes before a top-up and with the beds full, to a high outlet far less. A reading is of what usually flows.
        let less = |(i, mut x): (usize, OxygenIn)| {
            if x.reading == Reading::Dawn {
                let read = x.clone();
                take_over_reading(&mut x, &read, settled_by_reading);
            }
            OxygenIn { flow: FLOW.of(low.through[self.tank(i)]), ..x }
        };
        let lean = inputs.iter().cloned().enumerate().map(less).collect();
        let lean = quality::oxygen(d, ways, low, lean, &inputs).map_err(at_home)?;
        for (s, (inputs, mut oxygen)) in tanks.iter_mut().zip(lean.inputs.into_iter().zip(lean.tanks)) {
            let full = |o: &OxygenOut| level_of(o).fullness();
            if full(&oxygen) > full(&s.1) {
                (oxygen.dawn, oxygen.low_now) = (s.1.dawn, s.1.low_now);
                *s = (inputs, oxygen, true);
            }
        }
        Ok(Breathed { tanks, rounds, low: Some(AtLowestSump { flows: low.clone(), rounds: lean.rounds }) })
    }

    /// Tanks with their oxygen, and their levels.
    fn tanks(&mut self, breathed: Vec<(OxygenIn, OxygenOut, bool)>) -> Vec<TankSolved> {
        let (d, day) = (self.d, self.day);
        let mut tanks = vec![];
        let outlets = std::mem::take(&mut self.water.outlets);
        for (i, ((t, (most, outlet)), (inputs, oxygen, lean))) in d.tanks.iter().zip(outlets).zip(breathed).enumerate()
        {
            let (station, water) = (self.tank(i), &self.water);
            let ((set, less), through) = (water.comes[station], FLOW.of(water.flows.through[station]));
            // What they suffocate in today kills within minutes; on a day to come there is time. The temperature has a level of its own.
            let l = level_of(&oxygen);
            let leads = day == Day::Today && l.state() == State::Over && oxygen.suffocates();
            let measured = oxygen.measured(&l);
            self.levels
                .push((station, Level { id: level::OXYGEN.into(), name: "Oxygen".into(), leads, measured, ..l }));
            let turn = FLOW.of(t.oxygen.volume.value * TURNOVER_WANTED.value / HOUR);
            let least = water.low.as_ref().map_or(through, |low| FLOW.of(low.through[station]).min(through));
            let comes = (least, through);
            // Water that no fish live in need not be turned.
            if t.fish() > 0.0 {
                self.levels.push((station, Level::upper_range(level::TURNOVER, "Turnover", FLOW, (turn, turn), comes)));
            }
            for g in &t.oxygen.fish {
                self.levels.push((station, warmth(g, d, day)));
            }
            if let Some(s) = d.stocking.first() {
                self.levels.push((station, density(s, t, oxygen.biomass)));
            }
            tanks.push(TankSolved {
                set: FLOW.of(set),
                most,
                flow: through,
                leaves: FLOW.of(water.flows.left[station]),
                throttled: less,
                outlet,
                backed: water.backed[i],
                rise: water.rises[i],
                gone: None,
                inputs,
                oxygen,
                at_lowest_sump: lean,
            });
        }
        tanks
    }

    /// The feed whose solids reach each station: they travel with the water, in equal parts where it parts.
    fn solids(&mut self, feeds: &[f64]) -> Vec<f64> {
        let (d, ways) = (self.d, self.ways);
        let first = self.tank(0);
        self.levels.extend(solids(d, ways, feeds).into_iter().chain(salted(d)).map(|l| (first, l)));
        let mut feed_in = vec![0.0; ways.stations.len()];
        feeds.iter().enumerate().for_each(|(i, feed)| feed_in[self.tank(i)] = *feed);
        for &s in &self.water.flows.order {
            let out = ways.edges.iter().filter(|e| e.0 == s).count().max(1) as f64;
            let passes = match ways.stations[s].kind {
                StationKind::Pump | StationKind::Sump => 0.0,
                _ => feed_in[s] / out,
            };
            for &(_, to) in ways.edges.iter().filter(|e| e.0 == s) {
                if !ways.is_pump(to) {
                    feed_in[to] += passes;
                }
            }
        }
        feed_in
    }

    /// Settlers, and the feed whose solids reach each.
    fn settlers(&mut self, feed_in: &[f64]) -> (Vec<SettlingOut>, Vec<MassRate>) {
        let (d, day) = (self.d, self.day);
        let mut settlers = vec![];
        let mut feeds = vec![];
        let all_rest = self.all_rest();
        for (i, s) in d.settlers.iter().enumerate() {
            let station = self.ways.place(StationKind::Settler, i);
            let (q, f) = (FLOW.of(self.water.flows.through[station]), FEED_RATE.of(feed_in[station]));
            feeds.push(f);
            let solved = solve_at::<Settling>(&settling_of(d, s, q, f, day), &format!("settlers.{i}.settling"));
            if let Some(o) = self.keep(solved) {
                let head = head(d, self.ways, &self.water.supply, i, self.water.high.through[station]);
                // Of fish that rest for the winter and are fed nothing hardly anything has to settle in the thick water.
                let load = Settling::level(&o).map(|l| if all_rest && f.value <= 0.0 { l.mild() } else { l });
                self.levels.extend(load.into_iter().chain(head).map(|l| (station, l)));
                settlers.push(o);
            }
        }
        (settlers, feeds)
    }

    /// Dissolved food mixes in all the water: every bed gets the share of it that its plants could take.
    fn beds(&mut self, feed: f64) -> Result<Planted, Vec<FieldError>> {
        let (d, day) = (self.d, self.day);
        let mut wants = vec![];
        let bed_at = |i: usize, b: &Bed, feed: f64| {
            solve_at::<BedCalculator>(&bed_of(d, b, FEED_RATE.of(feed), day), &format!("beds.{i}.bed"))
        };
        for (i, b) in d.beds.iter().enumerate() {
            let wanted = self.keep(bed_at(i, b, feed));
            wants.extend(wanted.map(|o| (o.feed.0.value + o.feed.1.value) / 2.0));
        }
        self.sound()?;
        let all: f64 = wants.iter().sum();
        let mut planted = Planted { beds: vec![], feeds: vec![], siphons: vec![] };
        let all_rest = self.all_rest();
        for (i, b) in d.beds.iter().enumerate() {
            let station = self.ways.place(StationKind::Bed, i);
            let part = if all > 0.0 { wants[i] / all } else { 1.0 / d.beds.len() as f64 };
            planted.feeds.push(FEED_RATE.of(feed * part));
            if let Some(o) = self.keep(bed_at(i, b, feed * part)) {
                // In the hottest or the coldest weeks something else may be grown, but what is killed is gone.
                let stands = matches!(day, Day::Today | Day::Blocked) || o.dies;
                let roots = if stands { o.roots.clone() } else { o.roots.clone().mild() };
                // What rests for the winter feeds no plants, and those grow as little.
                let balance = if all_rest { o.balance().mild() } else { o.balance() };
                let water = salted_crop(d, b).into_iter().chain(soured_crop(d, b));
                self.levels.extend([balance, roots].into_iter().chain(water).map(|l| (station, l)));
                planted.beds.push(o);
            }
            match b.siphon.first() {
                Some(s) => {
                    let siphon = self.siphon(i, station, s);
                    planted.siphons.extend(siphon.map(Some));
                }
                None => planted.siphons.push(None),
            }
        }
        self.sound()?;
        Ok(planted)
    }

    /// The siphon of a bed at what comes, and at the most.
    fn siphon(&mut self, i: usize, station: usize, s: &Siphon) -> Option<SiphonOut> {
        let inputs = siphon_of(self.d, s, FLOW.of(self.water.flows.through[station]), self.day);
        let mut o = self.keep(solve_at::<SiphonCalculator>(&inputs, &format!("beds.{i}.siphon.0")))?;
        // Another siphon may send it more than its own carries.
        let surge =
            SiphonIn { inflow: FLOW.of(self.water.surges[station].min(ends::SIPHON_FLOW[1])), ..inputs.clone() };
        if surge.inflow > inputs.inflow
            && let Ok(then) = solve_at::<SiphonCalculator>(&surge, "")
        {
            o.highest = o.highest.max(then.highest);
        }
        // As with turnover, the least that comes counts too.
        let low = self.water.low.as_ref();
        let least = low.map_or(o.inflow, |low| FLOW.of(low.through[station]).min(o.inflow));
        self.levels.extend(siphon::levels_from(least, &o).into_iter().map(|l| (station, l)));
        Some(o)
    }

    /// The water in sumps, through siphon cycles, a pump stop and the days between top-ups.
    fn sumps(&mut self, siphons: &[Option<SiphonOut>]) -> Vec<Option<SumpSolved>> {
        let mut sumps = vec![];
        for i in 0..self.d.sumps.len() {
            let solved = self.water.supply.sump(self.d, self.ways, i, &self.water.high, siphons, self.day);
            if let Some(s) = self.keep(solved) {
                let station = self.ways.place(StationKind::Sump, i);
                self.levels.extend(s.iter().flat_map(|s| levels::three(&s.out)).map(|l| (station, l)));
                sumps.push(s);
            }
        }
        sumps
    }

    /// Where a pump draws from a fish tank, that is the sump. What only pumps fill has nothing above it that takes its water.
    fn drawn(
        &mut self,
        heat: Option<&HeatSolved>,
        tanks: &mut [TankSolved],
        siphons: &[Option<SiphonOut>],
    ) -> Vec<Pool> {
        let (d, ways, water) = (self.d, self.ways, &self.water);
        let sump = LevelsIn::default();
        let evaporates = heat.map_or(sump.evaporation, |h| match self.day {
            Day::Coldest => h.inputs.makeup,
            _ => h.inputs.makeup.max(h.out.evaporated_hot),
        });
        let gone = |place: usize| {
            let fed = ways.edges.iter().any(|e| e.1 == place && !ways.is_pump(e.0));
            let drawn = water.supply.gone(d, ways, place, &water.high, siphons)?;
            Some((drawn + if fed { evaporates * sump.days } else { VOLUME.of(0.0) }, fed))
        };
        let mut pools = vec![];
        for (station, s) in ways.stations.iter().enumerate() {
            let (surface, depth) = match s.kind {
                StationKind::Settler => {
                    let s = &d.settlers[s.index];
                    (s.surface() * s.settling.count, s.settling.depth)
                }
                StationKind::Bed if d.beds[s.index].stands() => (d.beds[s.index].surface(), d.beds[s.index].bed.depth),
                _ => continue,
            };
            pools.extend(gone(station).map(|(gone, _)| Pool { station, volume: surface * depth, depth, gone }));
        }
        for (i, t) in d.tanks.iter().enumerate() {
            let station = ways.place(StationKind::Tank, i);
            let Some((gone, fed)) = gone(station) else { continue };
            let o = &t.oxygen;
            tanks[i].gone = Some(gone);
            // With the power off what beds hold does not come back, and what there is lasts as much less.
            tanks[i].oxygen.in_less((1.0 - (gone / o.volume).value).max(0.0));
            let stays = (o.volume * STAYS.value).max(o.volume / o.depth * sump.submergence);
            let level = Level::upper(level::DRY, "Water for the pump", VOLUME, gone + stays, o.volume);
            self.levels.extend(fed.then_some((station, level)));
        }
        pools
    }

    /// Ammonia round the loop.
    fn ammonia(&mut self, feeds: &[f64]) -> Option<AmmoniaSolved> {
        let (d, ways, day) = (self.d, self.ways, self.day);
        let usual = self.keep(quality::ammonia(d, ways, &self.water.flows, feeds, day)).flatten()?;
        // With the sumps at their lowest less of it is carried to the filter.
        let low = self.water.low.as_ref().map(|low| quality::ammonia(d, ways, low, feeds, day));
        let low = low.and_then(|low| self.keep(low)).flatten();
        let a = low.into_iter().fold(usual, |a, low| if low.carries < a.carries { low } else { a });
        let first = self.tank(0);
        let filter = quality::film(d, ways).first().map_or(first, |f| f.0);
        // pH and carbon dioxide are asked of the fish; a pH that kills leads.
        let fish = quality::species(d).next().is_some();
        let all = ammonia::levels(&a.inputs, &a.out)
            .into_iter()
            .filter(|l| fish || l.id != level::PH && l.id != level::CARBON_DIOXIDE);
        let led = |l: Level| Level { leads: l.id == level::PH && l.state() == State::Over, ..l };
        self.levels
            .extend(all.map(|l| (if l.id == level::FILTER || l.id == level::FLOW { filter } else { first }, led(l))));
        let carried = Level::upper(level::AMMONIA, "Ammonia carried to the biofilter", FEED_RATE, a.made, a.carries);
        self.levels.push((first, carried));
        Some(a)
    }

    /// The coldest night.
    fn heat(
        &mut self,
        solved: Result<Option<HeatSolved>, Vec<FieldError>>,
        tanks: &[TankSolved],
    ) -> Option<HeatSolved> {
        let d = self.d;
        let h = self.keep(solved).flatten()?;
        // The pump stands still in a power cut: nothing mixes, and every tank cools alone.
        let holds = |i: usize| tanks[i].left(&d.tanks[i], HARDLY_ANY);
        // Those that winter rest in colder water than they feed in: that may cool by what they bear at once, down to where it kills.
        let rested = TEMPERATURE.of(h.inputs.water.value - mixing::STEP.value);
        let bears = |s: &Species| match s.winters() {
            true => s.stops_below().min(rested).max(s.dies_below_from(h.inputs.water)),
            false => s.stops_below(),
        };
        let alone = |i: usize| {
            let fish = d.tanks[i].oxygen.fish.iter().filter(|g| g.total().value > 0.0);
            let coldest = TEMPERATURE.of(fish.map(|g| bears(g.species).value).fold(celsius(0.0), f64::max));
            heat::HeatIn { coldest, ..quality::alone(&h.inputs, &d.tanks[i], holds(i)) }
        };
        let with_fish = (0..d.tanks.len()).filter(|&i| d.tanks[i].fish() > 0.0);
        let cuts: Vec<_> = with_fish.map(|i| (self.tank(i), heat::cut_alone(&alone(i), &h.out))).collect();
        let first = self.tank(0);
        for l in heat::levels(&h.inputs, &h.out) {
            match l.id.as_ref() {
                level::CUT if !cuts.is_empty() => self.levels.extend(cuts.clone()),
                level::SUMMER => self.levels.push((first, spell(d, &h))),
                _ => self.levels.push((first, l)),
            }
        }
        Some(h)
    }
}

#[cfg(test)]
pub(super) mod tests;
