//! A calculator filled from a system: the very inputs that the check gives it, and what else the system knows of a tank's fish and water.

use super::check::{self, Day, Solved, TankSolved};
use super::document::{Document, Tank, Water};
use super::flow::{self, StationKind, Ways};
use super::quality::{self, AmmoniaSolved};
use crate::calculators::ammonia::{Ammonia, PORTION};
use crate::calculators::bed::Bed;
use crate::calculators::change::{Change, ChangeIn, What};
use crate::calculators::deadly::Deadly;
use crate::calculators::drain::Drain;
use crate::calculators::feed::{Feed, FeedIn};
use crate::calculators::form::{FieldError, YesNo};
use crate::calculators::heat::{Heat, On};
use crate::calculators::levels::Levels;
use crate::calculators::outage::{Outage, OutageIn};
use crate::calculators::outcome::{State, Working};
use crate::calculators::oxygen::{BedKind, FishGroup, Inlet, Oxygen, OxygenIn, Reading};
use crate::calculators::pump::{Held, Pump, PumpIn};
use crate::calculators::running::{Device, Running, RunningIn};
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon as SiphonCalculator;
use crate::calculators::startup::{Startup, StartupIn};
use crate::calculators::stocking::{FilterBy, Inflow, SettlerBy, Stocking, StockingIn};
use crate::calculators::{self, Calculator, Sheet, sheet};
use crate::catalog::media::Medium;
use crate::catalog::species::Species;
use crate::science::pump::{Valve, valve_loss};
use crate::units::{MassConcentration, Volume, kinds::*, si::*};

/// A sheet filled from one station of a system.
pub struct Filling {
    /// Name of the station.
    pub from: String,
    /// The sheet.
    pub sheet: Box<dyn Sheet>,
}

impl std::fmt::Debug for Filling {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Filling({}, {})", self.from, self.sheet.entry().id)
    }
}

/// What the system knows for the calculator `id`, once for every station that it can be about; nothing where the system says nothing that
/// this calculator asks.
///
/// # Errors
/// As [`check::solve`].
pub fn fill(d: &Document, id: &str) -> Result<Vec<Filling>, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    let s = check::solve_on(d, &ways, Day::Today)?;
    // How many fish there may be is asked of the hottest water and of the harvest, and what a new filter is to ripen for of the harvest.
    let grown =
        if matches!(id, "stocking" | "startup") { Some(check::solve_on(d, &ways, Day::Harvest)?) } else { None };
    let mut all = vec![];
    let mut put = |from: &str, sheet: Box<dyn Sheet>| all.push(Filling { from: from.into(), sheet });
    match id {
        "settling" => {
            for (i, settler) in d.settlers.iter().enumerate() {
                let through = FLOW.of(s.flows.through[ways.place(StationKind::Settler, i)]);
                let inputs = check::settling_of(d, settler, through, s.settler_feeds[i], Day::Today);
                put(&settler.name, sheet::<Settling>(inputs));
            }
        }
        "bed" => {
            for (i, bed) in d.beds.iter().enumerate() {
                put(&bed.name, sheet::<Bed>(check::bed_of(d, bed, s.bed_feeds[i], Day::Today)));
            }
        }
        "pump" => {
            let known = d.pumps.iter().zip(&s.pumps).filter_map(|(p, solved)| Some((p, solved.as_ref()?)));
            known.for_each(|(p, solved)| put(&p.name, sheet::<Pump>(throttled(&solved.inputs))));
        }
        "levels" => {
            let known = d.sumps.iter().zip(&s.sumps).filter_map(|(p, solved)| Some((p, solved.as_ref()?)));
            known.for_each(|(p, solved)| put(&p.name, sheet::<Levels>(solved.inputs.clone())));
        }
        "siphon" => {
            for (i, (bed, siphon)) in d.beds.iter().enumerate().filter_map(|(i, b)| Some((i, (b, b.siphon.first()?)))) {
                let through = FLOW.of(s.flows.through[ways.place(StationKind::Bed, i)]);
                put(&bed.name, sheet::<SiphonCalculator>(check::siphon_of(d, siphon, through, Day::Today)));
            }
        }
        "ammonia" => s.ammonia.iter().for_each(|a| put(&d.name, sheet::<Ammonia>(a.inputs.clone()))),
        // All the water, which a pump mixes; and in a power cut, when it stands still, every tank alone.
        "heat" => {
            if let Some(h) = &s.heat {
                let mut whole = h.inputs.clone();
                if d.tanks.iter().any(|t| t.fish() > 0.0) {
                    whole.cut = HOURS.of(SHORTEST_CUT);
                }
                put(&d.name, sheet::<Heat>(whole));
                for (solved, tank) in s.tanks.iter().zip(&d.tanks).filter(|t| t.1.fish() > 0.0) {
                    let alone = quality::alone(&h.inputs, tank, solved.left(tank, LEAST_LEFT));
                    put(&tank.name, sheet::<Heat>(alone));
                }
            }
        }
        _ => {
            // These ask of all the water and all the feed: once, for the tank with the most fish.
            let whole = matches!(id, "startup" | "change" | "running");
            let mass = |i: &usize| s.tanks[*i].oxygen.biomass.value;
            let most = (0..d.tanks.len()).reduce(|a, b| if mass(&b) > mass(&a) { b } else { a });
            for (i, tank) in d.tanks.iter().enumerate().filter(|(i, _)| !whole || Some(*i) == most) {
                if let Some(grown) = grown.as_ref().filter(|_| id == "stocking") {
                    stock(d, &ways, [&s, grown], i).into_iter().for_each(|x| put(&tank.name, sheet::<Stocking>(x)));
                    continue;
                }
                of_tank(d, [&s, grown.as_ref().unwrap_or(&s)], i, tank, id)
                    .into_iter()
                    .for_each(|sheet| put(if whole { &d.name } else { &tank.name }, sheet));
            }
            for o in s.ways_out.iter().filter(|_| id == "drain") {
                put(ways.stations[ways.place(o.kind, o.index)].name, sheet::<Drain>(o.inputs.clone()));
            }
        }
    }
    Ok(all)
}

/// The shortest power cut that may be asked about: that of all the water is none, for nothing mixes it.
const SHORTEST_CUT: f64 = hours(0.1);

/// The least part of a tank's water that is asked about.
const LEAST_LEFT: f64 = 0.1;

/// The sheets that are about a tank: one, or for the feed one for every group of fish.
fn of_tank(d: &Document, [s, grown]: [&Solved; 2], i: usize, tank: &Tank, id: &str) -> Vec<Box<dyn Sheet>> {
    let solved = &s.tanks[i];
    // A reading is of what usually flows.
    let flow = if tank.oxygen.reading == Reading::None { solved.inputs.flow } else { solved.flow };
    let mut oxygen = check::oxygen_of(d, tank, flow, Day::Today);
    // What it says was found with what the other tanks bring.
    if oxygen.reading == Reading::Dawn && d.tanks.len() > 1 {
        let i = &solved.inputs;
        (oxygen.reading, oxygen.air_factor, oxygen.demand_factor) = (i.reading, i.air_factor, i.demand_factor);
    }
    let today = d.water.today;
    let within = |low: f64, high: f64| TEMPERATURE.of(today.value.clamp(celsius(low), celsius(high)));
    let fish = oxygen.fish.iter().max_by(|a, b| a.total().value.total_cmp(&b.total().value));
    let fish = fish.cloned().unwrap_or_default();
    let count = |g: &FishGroup| COUNT.of((g.total() / g.mass).value.round().max(1.0));
    let (medium, bulk, _) = beds(d);
    let filter = d.ammonia.first().map(|a| &a.0);
    let heat = d.heat.first().map(|h| &h.0);
    let water = quality::volume(d);
    let test = s.ammonia.as_ref();
    // What is asked of all fish is asked of the one that bears the least.
    let strictest = quality::strictest(d).unwrap_or(fish.species);
    let all = MASS.of(s.tanks.iter().map(|t| t.oxygen.biomass.value).sum());
    let ration = (s.feed.value > 0.0 && all.value > 0.0).then(|| DAILY_SHARE.of(s.feed.value / all.value));
    let read = |x: MassConcentration, most: f64| x.min(CONCENTRATION.of(mg_l(most)));
    let ended = |x: MassConcentration, [low, high]: [f64; 2]| {
        CONCENTRATION.of(mg_l(low)).max(x).min(CONCENTRATION.of(mg_l(high)))
    };
    // What was read, or what it comes to after a meal if that is less.
    let none = CONCENTRATION.of(0.0);
    let now = solved.oxygen.start.1;
    let lowest = now.min(solved.oxygen.settled.0.unwrap_or(none)).min(solved.oxygen.low_now.unwrap_or(now));
    vec![match id {
        "drain" if solved.gone.is_some() => return vec![],
        "drain" => {
            sheet::<Drain>(check::outlet_of(d, tank, solved.most, Day::Today).backed(solved.backed[1]).in_range())
        }
        "oxygen" => {
            let bed = bed_of(d, &oxygen);
            let (filter, inlet) = (solved.inputs.filter, brings(solved, bed));
            sheet::<Oxygen>(match inlet {
                // What a reading at dawn says is in the factors, as the system counts it.
                Some(inlet_oxygen) => OxygenIn {
                    returns: None,
                    bed,
                    inlet: Inlet::Given,
                    inlet_oxygen,
                    // It stays what is read now.
                    reading: if tank.oxygen.reading == Reading::None { Reading::None } else { Reading::Now },
                    ..solved.inputs.clone()
                },
                None => OxygenIn { filter, bed, ..oxygen },
            })
        }
        "feed" => {
            let told = test.filter(|a| quality::is_read(&a.inputs) || Deadly::of_ph(strictest, a.inputs.ph).is_some());
            let short = tank.oxygen.reading != Reading::None || lowest < solved.oxygen.floor;
            let one = |g: &FishGroup| -> Box<dyn Sheet> {
                let mut i = FeedIn {
                    species: g.species,
                    count: count(g),
                    mass: g.mass,
                    temperature: today,
                    target: tank.harvest.max(g.mass),
                    oxygen: read(lowest, 25.0),
                    ..FeedIn::default()
                };
                if told.is_some() || short {
                    (i.readings, i.tan, i.nitrite) = (YesNo::Yes, none, none);
                }
                if let Some(a) = filter {
                    i.chloride = a.chloride;
                }
                if let Some(AmmoniaSolved { inputs: a, out, .. }) = told {
                    (i.tan, i.nitrite, i.ph) = (read(out.tan, 50.0), read(out.nitrite, 50.0), a.ph);
                }
                sheet::<Feed>(i)
            };
            return oxygen.fish.iter().filter(|g| g.total().value > 0.0).map(one).collect();
        }
        "outage" => {
            // Of several species the one counts that wants the most oxygen.
            let critical = |s: &Species| s.oxygen_critical().value;
            let present = oxygen.fish.iter().filter(|g| g.total().value > 0.0).map(|g| g.species);
            let wants = present.reduce(|a, b| if critical(b) > critical(a) { b } else { a });
            let Some(wants) = wants else { return vec![] };
            let mut i = OutageIn {
                species: if critical(wants) > critical(fish.species) { wants } else { fish.species },
                fish: MASS.of(oxygen.fish.iter().map(|g| g.total().value).sum()),
                mass: fish.mass,
                volume: solved.left(tank, LEAST_LEFT),
                temperature: within(1.0, 39.0),
                feed: solved.oxygen.feed,
                meals: oxygen.meals,
                oxygen: now,
                surface: tank.outlet.surface,
                altitude: d.water.altitude,
                solids: oxygen.solids,
                salinity: oxygen.salinity,
                ..OutageIn::default()
            };
            if let Some(h) = heat {
                // The air that is feared where the year stands now.
                let Water { hottest, coldest, .. } = d.water;
                let summer = today.value - coldest.value > hottest.value - today.value;
                i.around = if summer { h.summer.min(TEMPERATURE.of(celsius(40.0))) } else { h.night };
                i.covered = if h.cover == On::Open { YesNo::No } else { YesNo::Yes };
                i.cut = h.cut.min(HOURS.of(hours(200.0)));
            }
            sheet::<Outage>(i)
        }
        "startup" => {
            let mut i = StartupIn {
                species: strictest,
                temperature: within(1.0, 40.0),
                age: d.water.filter_age,
                volume: water.min(VOLUME.of(MOST_RIPENING)),
                feed: s.feed,
                // A system has no test of it.
                nitrate_read: YesNo::No,
                ..StartupIn::default()
            };
            if grown.feed.max(s.feed).value > 0.0 {
                i.full = grown.feed.max(s.feed);
            }
            if let Some(r) = ration {
                i.ration = DAILY_SHARE.of(r.value.clamp(percent_day(0.1), percent_day(25.0)));
            }
            if let Some(a) = filter {
                (i.medium, i.media) = (a.medium, a.media);
                (i.protein, i.ph, i.alkalinity) = (a.protein, a.ph.min(RATIO.of(9.8)), a.alkalinity);
                (i.chloride, i.target) = (a.chloride, ended(a.target, [0.05, 10.0]));
            } else if let Some(medium) = medium {
                (i.medium, i.media) = (medium, VOLUME.of(bulk));
            }
            if let Some(a) = test {
                (i.tan, i.nitrite) = (read(a.out.tan, MOST_READ), read(a.out.nitrite, MOST_READ));
            }
            sheet::<Startup>(i)
        }
        "change" => {
            let salt = check::salt(d).min(SALINITY.of(40.0));
            let mut i = ChangeIn {
                species: strictest,
                volume: water.min(VOLUME.of(MOST_WATER)),
                temperature: within(0.5, 39.0),
                mass: fish.mass,
                oxygen: lowest,
                altitude: d.water.altitude,
                salinity: salt,
                left_salt: salt,
                ..ChangeIn::default()
            };
            if all.value > 0.0 {
                i.fish = all;
            }
            if let Some(r) = ration {
                i.ration = DAILY_SHARE.of(r.value.min(percent_day(25.0)));
            }
            if let Some(h) = heat {
                i.new_temperature =
                    h.makeup_temperature.max(TEMPERATURE.of(celsius(0.5))).min(TEMPERATURE.of(celsius(39.0)));
            }
            if let Some(AmmoniaSolved { inputs: a, out, .. }) = test {
                (i.ph, i.alkalinity) = (a.ph, a.alkalinity);
                (i.tan, i.nitrite) = (read(out.tan, MOST_READ), read(out.nitrite, MOST_READ));
                i.chloride = a.chloride.min(CONCENTRATION.of(MOST_CHLORIDE));
                i.held = a.chloride.min(CONCENTRATION.of(30.0));
                // What has to come down is what the test says must, in changes as large as it says.
                if out.change.value > 0.0 {
                    let left = (1.0 - out.change.value).max(0.0);
                    let reading = if out.by_nitrite { out.nitrite } else { out.tan };
                    (i.reading, i.new_reading, i.target) = (reading, none, reading * left);
                    i.what = if out.by_nitrite { What::Nitrite } else { What::Ammonia };
                    i.change = i.volume * out.change.value.min(PORTION);
                }
            }
            // The example of a larger system.
            i.change = i.change.min(i.volume);
            sheet::<Change>(i)
        }
        "running" => sheet::<Running>(running(d, s, tank)),
        _ => return vec![],
    }]
}

/// Branches that the system throttles, as their valves then stand.
fn throttled(i: &PumpIn) -> PumpIn {
    let mut i = i.clone();
    for b in &mut i.branches {
        if let (Held::By(more), Some(own)) = (b.held, valve_loss(b.valve, b.open)) {
            if b.valve == Valve::Missing {
                (b.valve, b.open) = (Valve::Ball, PERCENT.of(1.0));
            }
            let wanted = own.value + more.value;
            let [mut too_far, mut open] = [0.0, b.open.value];
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(too_far, open);
                match valve_loss(b.valve, PERCENT.of(middle)) {
                    Some(k) if k.value <= wanted => open = middle,
                    _ => too_far = middle,
                }
            }
            b.open = PERCENT.of(if more.value.is_finite() { open } else { 0.0 });
        }
        b.held = Held::Not;
    }
    i
}

/// A valve's opening is found to a millionth.
const HALVINGS: usize = 20;

/// Where the filter's bed stands: as it is said, or drained where a siphon does it.
fn bed_of(d: &Document, oxygen: &OxygenIn) -> BedKind {
    if d.beds.iter().any(|b| !b.siphon.is_empty()) { BedKind::Drained } else { oxygen.bed }
}

/// What water brings to a tank at the oxygen that its fish need, for a page that knows this tank alone; nothing where a loop of its own brings as much.
fn brings(tank: &TankSolved, bed: BedKind) -> Option<MassConcentration> {
    let low = tank.inputs.returns?[0];
    let alone = OxygenIn { returns: None, bed, ..tank.inputs.clone() };
    let own = calculators::solve::<Oxygen>(&alone, &mut Working::none()).ok()?.capacity.0.value;
    let brings = low.base.value + low.slope.value * tank.oxygen.floor.value;
    let differs = (own - tank.oxygen.capacity.0.value).abs() > ALIKE * own.abs();
    differs.then(|| CONCENTRATION.of(brings.clamp(0.0, mg_l(25.0))))
}

/// Ends of ranges of calculators: water to change and to ripen a filter in (m3), readings (mg/L), chloride (kg/m3), the letters of a device, heating a month (J),
/// water a day (m3/s), plants a month.
const MOST_WATER: f64 = 200.0;
const MOST_RIPENING: f64 = 500.0;
const MOST_READ: f64 = 100.0;
const MOST_CHLORIDE: f64 = 20.0;
const LETTERS: usize = 40;
const MOST_HEATING: f64 = 7.2e10;
const MOST_ADDED: f64 = 100.0 / 86_400.0;
const MOST_PLANTS: f64 = 1e6;

/// What runs: every pump, and one for the air of every tank; their watts where they are known. Heat as the coldest night's page says it.
fn running(d: &Document, s: &Solved, tank: &Tank) -> RunningIn {
    let mut i = RunningIn { feed: s.feed, harvest: tank.harvest, ..RunningIn::default() };
    if let [water, air] = &i.devices.clone()[..] {
        let called = |name: &str, like: &Device| Device { name: name.chars().take(LETTERS).collect(), ..like.clone() };
        let pumps = d.pumps.iter().zip(&s.pumps).map(|(p, solved)| {
            let watts = solved.as_ref().map_or(water.power, |p| (p.out.electric.0 + p.out.electric.1) / 2.0);
            Device { power: watts, ..called(&p.name, water) }
        });
        let aired = d.tanks.iter().filter(|t| t.oxygen.air.on());
        i.devices = pumps.chain(aired.map(|t| called(&format!("Air of {}", t.name), air))).collect();
    }
    if let Some(h) = &s.heat {
        (i.heating, i.price) = (h.out.month.min(ENERGY.of(MOST_HEATING)), h.inputs.price);
        i.water = h.inputs.makeup.min(DAILY_VOLUME.of(MOST_ADDED));
    }
    if !s.beds.is_empty() {
        let weekly: f64 = s.beds.iter().map(|b| f64::midpoint(b.weekly.0.value, b.weekly.1.value)).sum();
        i.plants = COUNT.of((weekly * 52.0 / 12.0).round().min(MOST_PLANTS));
    }
    i
}

/// The beds that the water of all tanks goes through: the first medium, the bulk of all, and the plan of rafts.
fn beds(d: &Document) -> (Option<&'static Medium>, f64, f64) {
    let medium = d.beds.iter().find(|b| b.bed.method.media).map(|b| b.bed.medium);
    let bulk = d.beds.iter().map(|b| b.medium().value).sum();
    (medium, bulk, d.beds.iter().map(|b| b.rafts().value).sum())
}

/// How many fish tank `t` may hold, asked with what the check knows today and at harvest in the hottest water.
fn stock(d: &Document, ways: &Ways<'_>, [s, grown]: [&Solved; 2], t: usize) -> Option<StockingIn> {
    let (tank, then) = (&d.tanks[t], &grown.tanks[t]);
    let oxygen = check::oxygen_of(d, tank, s.tanks[t].flow, Day::Today);
    let fish = oxygen.fish.iter().max_by(|a, b| a.total().value.total_cmp(&b.total().value))?;
    // Other fish of the tank are counted as so many of these.
    let all: f64 = oxygen.fish.iter().map(|g| g.total().value).sum();
    let mut i = StockingIn {
        species: fish.species,
        volume: oxygen.volume,
        count: COUNT.of((all / fish.mass.value).round()),
        mass: fish.mass,
        harvest: tank.harvest.max(fish.mass),
        hottest: d.water.hottest,
        usual: d.water.today,
        air: oxygen.air.clone(),
        filter_age: d.water.filter_age,
        solids: oxygen.solids,
        meals: oxygen.meals,
        altitude: d.water.altitude,
        depth: oxygen.depth,
        salinity: oxygen.salinity,
        flow: then.inputs.flow,
        fall: oxygen.fall,
        fall_height: oxygen.fall_height,
        film: then.inputs.filter,
        ..StockingIn::default()
    };
    (i.inflow, i.inlet_oxygen) = match then.inputs.inlet {
        Inlet::Given => (Inflow::Given, then.inputs.inlet_oxygen),
        Inlet::Saturated => (Inflow::Saturated, i.inlet_oxygen),
        Inlet::Loop => (Inflow::Loop, i.inlet_oxygen),
    };
    i.bed = bed_of(d, &oxygen);
    // A tank on a loop of its own is asked as such. Where other tanks or ways join, the water brings what the check finds.
    if let Some(brings) = brings(then, i.bed) {
        (i.inflow, i.inlet_oxygen) = (Inflow::Given, brings);
    }
    // A settler that takes too little is none.
    let station = ways.place(StationKind::Tank, t);
    let works = |s: usize| Settling::level(&grown.settlers[s]).is_some_and(|l| l.state() != State::Over);
    if check::unsettled(ways, station, &works) <= 0.0 {
        i.settler = SettlerBy::Loop;
    }
    // What all tanks have in common carries of each what it is fed.
    let part = if s.feed.value > 0.0 { (s.tanks[t].oxygen.feed / s.feed).value.min(1.0) } else { 1.0 };
    let (medium, bulk, rafts) = beds(d);
    (i.media_volume, i.raft_area) = (VOLUME.of(bulk * part), AREA.of(rafts * part));
    let filter = d.ammonia.first().map(|a| &a.0);
    if let Some(a) = filter {
        i.filter_area = AREA.of(a.medium.surface().0.value * a.media.value * part);
        i.ph = a.ph;
    }
    // No more of a bed than the check counts as filter.
    let counted = filter.map(|a| (a.medium, VOLUME.of(a.media.value * part)));
    let apart = i.filter_area.value > 0.0 && filter.is_some();
    i.filter = match medium {
        Some(medium) => {
            i.medium = medium;
            let area = |m: &Medium, v: Volume| m.surface().0.value * v.value;
            if let Some((m, v)) = counted.filter(|c| area(c.0, c.1) < area(medium, i.media_volume)) {
                (i.medium, i.media_volume) = (m, v);
            }
            FilterBy::Media
        }
        None if rafts > 0.0 && apart => FilterBy::RaftAndArea,
        None if rafts > 0.0 => FilterBy::Raft,
        None if apart => FilterBy::Area,
        None => FilterBy::None,
    };
    Some(i)
}

/// Oxygen that may come in this much more or less, as a share, on a loop of a tank's own than the check finds.
const ALIKE: f64 = 0.01;

#[cfg(test)]
mod tests;
