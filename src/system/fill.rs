//! A calculator filled from a system: the very inputs that the check gives it, and what else the system knows of a tank's fish and water.

use super::check::{self, Day, Solved, TankSolved};
use super::document::{self, Document, Settler, Tank, Water};
use super::flow::{self, StationKind, Ways};
use super::harvest;
use super::level;
use super::quality::{self, AmmoniaSolved};
use crate::calculators::ammonia::{Ammonia, PORTION, buffer_for};
use crate::calculators::bed::Bed;
use crate::calculators::change::{Change, ChangeIn, What};
use crate::calculators::deadly::Deadly;
use crate::calculators::drain::Drain;
use crate::calculators::feed::{Feed, FeedIn};
use crate::calculators::form::{self, FieldError, YesNo};
use crate::calculators::heat::{Heat, On};
use crate::calculators::levels::Levels;
use crate::calculators::outage::{Outage, OutageIn};
use crate::calculators::outcome::{Brim, State, Working};
use crate::calculators::oxygen::{BedKind, FishGroup, Inlet, Oxygen, OxygenIn, Reading};
use crate::calculators::pump::{Pump, PumpIn, Throttle};
use crate::calculators::running::{Device, Running, RunningIn};
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon as SiphonCalculator;
use crate::calculators::startup::{Startup, StartupIn};
use crate::calculators::stocking::{FilterBy, Inflow, SettlerBy, Stocking, StockingIn};
use crate::calculators::{self, Calculator, Sheet, sheet};
use crate::catalog::media::Medium;
use crate::catalog::species::Species;
use crate::science::pump::{Valve, valve_loss};
use crate::science::solve::halve;
use crate::units::{Frequency, Mass, MassConcentration, MassRate, Volume, kinds::*};

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

/// The sheets of one calculator.
type Filled = Result<Vec<Filling>, Vec<FieldError>>;

/// How a calculator is filled, by its identifier.
type Way = fn(&Known<'_>) -> Filled;

/// Every calculator that a system says something of.
const WAYS: [(&str, Way); 15] = [
    (Stocking::ID, stocking),
    (Feed::ID, feed),
    (Oxygen::ID, oxygen),
    (Drain::ID, drain),
    (Settling::ID, settling),
    (Bed::ID, bed),
    (Outage::ID, outage),
    (Pump::ID, pump),
    (Levels::ID, levels),
    (SiphonCalculator::ID, siphon),
    (Ammonia::ID, ammonia),
    (Startup::ID, startup),
    (Heat::ID, heat),
    (Change::ID, change),
    (Running::ID, running),
];

/// What the system knows for the calculator `id`, once for every station that it can be about; nothing where the system says nothing that
/// this calculator asks.
///
/// # Errors
/// As [`check::solve`].
pub fn fill(d: &Document, id: &str) -> Result<Vec<Filling>, Vec<FieldError>> {
    let Some((_, way)) = WAYS.iter().find(|w| w.0 == id) else { return Ok(vec![]) };
    let ways = flow::ways(d)?;
    let s = check::solve_on(d, &ways, Day::Today)?;
    way(&Known { d, ways: &ways, s: &s })
}

/// A sheet, with what is past the ends of its fields brought to them.
fn filling<C: Calculator>(from: &str, mut inputs: C::In) -> Filling {
    form::into_range(&mut inputs);
    Filling { from: from.into(), sheet: sheet::<C>(inputs) }
}

/// A system and what its check says of today.
struct Known<'a> {
    d: &'a Document,
    ways: &'a Ways<'a>,
    s: &'a Solved,
}

/// What is known of one tank.
struct OneTank<'a> {
    tank: &'a Tank,
    solved: &'a TankSolved,
    /// Its oxygen inputs, as the check fills them.
    oxygen: OxygenIn,
    /// The fish that there are most of, by weight.
    fish: FishGroup,
    /// Oxygen as it was read, or what it comes to after a meal if that is less.
    lowest: MassConcentration,
}

impl<'a> Known<'a> {
    /// The system grown to the harvest: how many fish there may be is asked of that, and what a new filter is to ripen for.
    fn grown(&self) -> Result<Solved, Vec<FieldError>> {
        harvest::most_fed(self.d, self.ways)
    }
    fn tank(&self, i: usize) -> OneTank<'a> {
        let (tank, solved) = (&self.d.tanks[i], &self.s.tanks[i]);
        // A reading is of what usually flows.
        let flow = if tank.oxygen.reading == Reading::None { solved.inputs.flow } else { solved.flow };
        let mut oxygen = check::oxygen_of(self.d, tank, flow, Day::Today);
        // What it says was found with what the other tanks bring.
        if oxygen.reading == Reading::Dawn && self.d.tanks.len() > 1 {
            let i = &solved.inputs;
            (oxygen.reading, oxygen.air_factor, oxygen.demand_factor) = (i.reading, i.air_factor, i.demand_factor);
        }
        let fish = oxygen.fish.iter().max_by(|a, b| a.total().value.total_cmp(&b.total().value));
        let fish = fish.cloned().unwrap_or_default();
        let now = solved.oxygen.start.1;
        let settled = solved.oxygen.settled.0.unwrap_or(CONCENTRATION.of(0.0));
        let lowest = now.min(settled).min(solved.oxygen.low_now.unwrap_or(now));
        OneTank { tank, solved, oxygen, fish, lowest }
    }
    fn tanks(&self) -> impl Iterator<Item = OneTank<'a>> {
        (0..self.d.tanks.len()).map(|i| self.tank(i))
    }
    /// The tank with the most fish: what is asked of all the water and all the feed is asked once, for that.
    fn fullest(&self) -> Option<OneTank<'a>> {
        let mass = |i: &usize| self.s.tanks[*i].oxygen.biomass.value;
        let most = (0..self.d.tanks.len()).reduce(|a, b| if mass(&b) > mass(&a) { b } else { a });
        most.map(|i| self.tank(i))
    }
    /// What is asked of all fish is asked of the one that bears the least.
    fn strictest(&self, t: &OneTank<'_>) -> &'static Species {
        quality::strictest(self.d).unwrap_or(t.fish.species)
    }
    /// All fish.
    fn fish(&self) -> Mass {
        MASS.of(self.s.tanks.iter().map(|t| t.oxygen.biomass.value).sum())
    }
    /// What they are fed of their mass.
    fn ration(&self) -> Option<Frequency> {
        let all = self.fish().value;
        (self.s.feed.value > 0.0 && all > 0.0).then(|| DAILY_SHARE.of(self.s.feed.value / all))
    }
}

impl OneTank<'_> {
    /// Its groups that are there.
    fn groups(&self) -> impl Iterator<Item = &FishGroup> {
        self.oxygen.fish.iter().filter(|g| g.total().value > 0.0)
    }
}

/// The least part of a tank's water that is asked about.
const LEAST_LEFT: f64 = 0.1;

fn settling(k: &Known<'_>) -> Filled {
    let of = |(i, settler): (usize, &Settler)| {
        let station = k.ways.place(StationKind::Settler, i);
        let through = FLOW.of(k.s.flows.through[station]);
        let mut inputs = check::settling_of(k.d, settler, through, k.s.settler_feeds[i], Day::Today);
        let there = k.s.levels.iter().find(|l| l.0 == station && l.1.id == level::HEAD).map(|l| l.1.brim);
        // Its way out, if said, is a drain of its own.
        if let Some(o) = settler.outlet.first() {
            inputs.outlet = o.0.pipe_bore();
        }
        if let Some(Brim::Upper(fall)) = there {
            inputs.fall = SHORT_LENGTH.of(fall.low);
        }
        filling::<Settling>(&settler.name, inputs)
    };
    Ok(k.d.settlers.iter().enumerate().map(of).collect())
}

fn bed(k: &Known<'_>) -> Filled {
    let of = |(b, feed): (&document::Bed, &MassRate)| filling::<Bed>(&b.name, check::bed_of(k.d, b, *feed, Day::Today));
    Ok(k.d.beds.iter().zip(&k.s.bed_feeds).map(of).collect())
}

fn pump(k: &Known<'_>) -> Filled {
    let known = k.d.pumps.iter().zip(&k.s.pumps).filter_map(|(p, solved)| Some((p, solved.as_ref()?)));
    Ok(known.map(|(p, solved)| filling::<Pump>(&p.name, throttled(&solved.inputs))).collect())
}

fn levels(k: &Known<'_>) -> Filled {
    let known = k.d.sumps.iter().zip(&k.s.sumps).filter_map(|(p, solved)| Some((p, solved.as_ref()?)));
    Ok(known.map(|(p, solved)| filling::<Levels>(&p.name, solved.inputs.clone())).collect())
}

fn siphon(k: &Known<'_>) -> Filled {
    let of = |(i, b): (usize, &document::Bed)| {
        let through = FLOW.of(k.s.flows.through[k.ways.place(StationKind::Bed, i)]);
        let inputs = check::siphon_of(k.d, b.siphon.first()?, through, Day::Today);
        Some(filling::<SiphonCalculator>(&b.name, inputs))
    };
    Ok(k.d.beds.iter().enumerate().filter_map(of).collect())
}

fn ammonia(k: &Known<'_>) -> Filled {
    Ok(k.s.ammonia.iter().map(|a| filling::<Ammonia>(&k.d.name, a.inputs.clone())).collect())
}

/// All the water, which a pump mixes; and in a power cut, when it stands still, every tank alone.
fn heat(k: &Known<'_>) -> Filled {
    let Some(h) = &k.s.heat else { return Ok(vec![]) };
    let mut whole = h.inputs.clone();
    let with_fish = || k.s.tanks.iter().zip(&k.d.tanks).filter(|t| t.1.fish() > 0.0);
    // All the water is asked about none, for nothing mixes it: about the shortest there is.
    if with_fish().next().is_some() {
        whole.cut = HOURS.of(0.0);
    }
    let alone = |(solved, tank): (&TankSolved, &Tank)| {
        filling::<Heat>(&tank.name, quality::alone(&h.inputs, tank, solved.left(tank, LEAST_LEFT)))
    };
    Ok(std::iter::once(filling::<Heat>(&k.d.name, whole)).chain(with_fish().map(alone)).collect())
}

fn drain(k: &Known<'_>) -> Filled {
    let of = |t: OneTank<'_>| {
        let inputs = || check::outlet_of(k.d, t.tank, t.solved.most, Day::Today).backed(t.solved.backed[1]);
        t.solved.gone.is_none().then(|| filling::<Drain>(&t.tank.name, inputs()))
    };
    let others = k.s.ways_out.iter();
    let others =
        others.map(|o| filling::<Drain>(k.ways.stations[k.ways.place(o.kind, o.index)].name, o.inputs.clone()));
    Ok(k.tanks().filter_map(of).chain(others).collect())
}

fn oxygen(k: &Known<'_>) -> Filled {
    let of = |t: OneTank<'_>| {
        let (i, read) = (&t.solved.inputs, t.tank.oxygen.reading != Reading::None);
        let bed = bed_of(k.d, &t.oxygen);
        let inputs = match brings(t.solved, bed) {
            // What a reading at dawn says is in the factors, as the system counts it.
            Some(inlet_oxygen) => OxygenIn {
                returns: None,
                bed,
                inlet: Inlet::Given,
                inlet_oxygen,
                // It stays what is read now.
                reading: if read { Reading::Now } else { Reading::None },
                ..i.clone()
            },
            None => OxygenIn { filter: i.filter, bed, ..t.oxygen },
        };
        filling::<Oxygen>(&t.tank.name, inputs)
    };
    Ok(k.tanks().map(of).collect())
}

/// One for every group of fish.
fn feed(k: &Known<'_>) -> Filled {
    let mut all = vec![];
    let none = CONCENTRATION.of(0.0);
    for t in k.tanks() {
        let strictest = k.strictest(&t);
        let told = |a: &&AmmoniaSolved| a.inputs.is_read() || Deadly::of_ph(strictest, a.inputs.ph).is_some();
        let told = k.s.ammonia.as_ref().filter(told);
        let short = t.tank.oxygen.reading != Reading::None || t.lowest < t.solved.oxygen.floor;
        let one = |g: &FishGroup| {
            let mut i = FeedIn {
                species: g.species,
                count: COUNT.of((g.total() / g.mass).value.round()),
                mass: g.mass,
                temperature: k.d.water.today,
                target: t.tank.harvest.max(g.mass),
                oxygen: t.lowest,
                ..FeedIn::default()
            };
            if told.is_some() || short {
                (i.readings, i.tan, i.nitrite) = (YesNo::Yes, none, none);
            }
            if let Some(a) = k.d.ammonia.first() {
                i.chloride = a.0.chloride;
            }
            if let Some(AmmoniaSolved { inputs: a, out, .. }) = told {
                (i.tan, i.nitrite, i.ph) = (out.tan, out.nitrite, a.ph);
            }
            filling::<Feed>(&t.tank.name, i)
        };
        all.extend(t.groups().map(one));
    }
    Ok(all)
}

fn outage(k: &Known<'_>) -> Filled {
    let of = |t: OneTank<'_>| {
        // Of several species the one counts that wants the most oxygen.
        let critical = |s: &Species| s.oxygen_critical().value;
        let present = t.groups().map(|g| g.species);
        let wants = present.reduce(|a, b| if critical(b) > critical(a) { b } else { a })?;
        let mut i = OutageIn {
            species: if critical(wants) > critical(t.fish.species) { wants } else { t.fish.species },
            fish: MASS.of(t.groups().map(|g| g.total().value).sum()),
            mass: t.fish.mass,
            volume: t.solved.left(t.tank, LEAST_LEFT),
            temperature: k.d.water.today,
            feed: t.solved.oxygen.feed,
            meals: t.oxygen.meals,
            oxygen: t.solved.oxygen.start.1,
            surface: t.tank.outlet.surface,
            altitude: k.d.water.altitude,
            solids: t.oxygen.solids,
            salinity: t.oxygen.salinity,
            ..OutageIn::default()
        };
        if let Some(h) = k.d.heat.first().map(|h| &h.0) {
            // The air that is feared where the year stands now.
            let Water { hottest, coldest, today, .. } = k.d.water;
            let summer = today.value - coldest.value > hottest.value - today.value;
            i.around = if summer { h.summer } else { h.night };
            i.covered = if h.cover == On::Open { YesNo::No } else { YesNo::Yes };
            i.cut = h.cut;
        }
        // Air lifts the pH, and no filter runs then.
        if let Some(a) = k.d.ammonia.first() {
            i.ph = a.0.ph.max(i.ph);
        }
        Some(filling::<Outage>(&t.tank.name, i))
    };
    Ok(k.tanks().filter_map(of).collect())
}

fn startup(k: &Known<'_>) -> Filled {
    let grown = k.grown()?;
    let Some(t) = k.fullest() else { return Ok(vec![]) };
    let mut i = StartupIn {
        species: k.strictest(&t),
        temperature: k.d.water.today,
        age: k.d.water.filter_age,
        volume: quality::volume(k.d),
        feed: k.s.feed,
        // A system has no test of it.
        nitrate_read: YesNo::No,
        ..StartupIn::default()
    };
    if grown.feed.max(k.s.feed).value > 0.0 {
        i.full = grown.feed.max(k.s.feed);
    }
    if let Some(r) = k.ration() {
        i.ration = r;
    }
    let (medium, bulk, _) = beds(k.d);
    if let Some(a) = k.d.ammonia.first().map(|a| &a.0) {
        (i.medium, i.media) = (a.medium, a.media);
        (i.protein, i.ph, i.alkalinity) = (a.protein, a.ph, a.alkalinity);
        (i.chloride, i.target) = (a.chloride, a.target);
    } else if let Some(medium) = medium {
        (i.medium, i.media) = (medium, VOLUME.of(bulk));
    }
    if let Some(a) = &k.s.ammonia {
        (i.tan, i.nitrite) = (a.out.tan, a.out.nitrite);
    }
    Ok(vec![filling::<Startup>(&k.d.name, i)])
}

fn change(k: &Known<'_>) -> Filled {
    let Some(t) = k.fullest() else { return Ok(vec![]) };
    let salt = check::salt(k.d);
    let mut i = ChangeIn {
        species: k.strictest(&t),
        volume: quality::volume(k.d),
        temperature: k.d.water.today,
        mass: t.fish.mass,
        oxygen: t.lowest,
        altitude: k.d.water.altitude,
        salinity: salt,
        left_salt: salt,
        ..ChangeIn::default()
    };
    if k.fish().value > 0.0 {
        i.fish = k.fish();
    }
    if let Some(r) = k.ration() {
        i.ration = r;
    }
    if let Some(h) = k.d.heat.first() {
        i.new_temperature = h.0.makeup_temperature;
    }
    if let Some(AmmoniaSolved { inputs: a, out, .. }) = &k.s.ammonia {
        (i.ph, i.alkalinity, i.bag_alkalinity) = (a.ph, a.alkalinity, a.alkalinity);
        i.buffer = buffer_for(!k.d.beds.is_empty());
        (i.tan, i.nitrite) = (out.tan, out.nitrite);
        (i.chloride, i.held) = (a.chloride, a.chloride);
        form::into_range(&mut i);
        // What has to come down is what the test says must, in changes as large as it says.
        if out.change.value > 0.0 {
            let left = (1.0 - out.change.value).max(0.0);
            let reading = if out.by_nitrite { i.nitrite } else { i.tan };
            (i.poison, i.poison_new, i.poison_wanted) = (reading, CONCENTRATION.of(0.0), reading * left);
            i.what = if out.by_nitrite { What::Nitrite } else { What::Ammonia };
            i.change = i.volume * out.change.value.min(PORTION);
        }
    }
    // The example of a larger system.
    i.change = i.change.min(i.volume);
    Ok(vec![filling::<Change>(&k.d.name, i)])
}

/// What runs: every pump, and one for the air of every tank; their watts where they are known. Heat as the coldest night's page says it.
fn running(k: &Known<'_>) -> Filled {
    let (d, s) = (k.d, k.s);
    let Some(t) = k.fullest() else { return Ok(vec![]) };
    let mut i = RunningIn { feed: s.feed, harvest: t.tank.harvest, ..RunningIn::default() };
    if let [water, air] = &i.devices.clone()[..] {
        let called = |name: &str, like: &Device| Device { name: name.into(), ..like.clone() };
        let pumps = d.pumps.iter().zip(&s.pumps).map(|(p, solved)| {
            let watts = solved.as_ref().map_or(water.power, |p| (p.out.electric.0 + p.out.electric.1) / 2.0);
            Device { power: watts, ..called(&p.name, water) }
        });
        let aired = d.tanks.iter().filter(|t| t.oxygen.air.on());
        i.devices = pumps.chain(aired.map(|t| called(&format!("Air of {}", t.name), air))).collect();
    }
    if let Some(h) = &s.heat {
        (i.heating, i.price, i.water) = (h.out.month, h.inputs.price, h.inputs.makeup);
    }
    if !s.beds.is_empty() {
        let weekly: f64 = s.beds.iter().map(|b| f64::midpoint(b.weekly.0.value, b.weekly.1.value)).sum();
        i.plants = COUNT.of((weekly * 52.0 / 12.0).round());
    }
    Ok(vec![filling::<Running>(&d.name, i)])
}

fn stocking(k: &Known<'_>) -> Filled {
    let grown = k.grown()?;
    let of =
        |(t, tank): (usize, &Tank)| stock(k.d, k.ways, [k.s, &grown], t).map(|i| filling::<Stocking>(&tank.name, i));
    Ok(k.d.tanks.iter().enumerate().filter_map(of).collect())
}

/// Branches that the system throttles, as their valves then stand.
fn throttled(i: &PumpIn) -> PumpIn {
    let mut i = i.clone();
    for b in &mut i.branches {
        if let (Throttle::By(more), Some(own)) = (b.held, valve_loss(b.valve, b.open)) {
            if b.valve == Valve::Missing {
                (b.valve, b.open) = (Valve::Ball, PERCENT.of(1.0));
            }
            let wanted = own.value + more.value;
            let passes = |open: f64| valve_loss(b.valve, PERCENT.of(open)).is_some_and(|k| k.value <= wanted);
            let [open, _] = halve(b.open.value, 0.0, HALVINGS, passes);
            b.open = PERCENT.of(if more.value.is_finite() { open } else { 0.0 });
        }
        b.held = Throttle::Not;
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
    differs.then(|| CONCENTRATION.of(brings))
}

/// The beds that the water of all tanks goes through: the first medium, the bulk of all, and the plan of rafts.
fn beds(d: &Document) -> (Option<&'static Medium>, f64, f64) {
    let medium = d.beds.iter().find(|b| b.bed.method.holds_medium()).map(|b| b.bed.medium);
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
        hottest: then.inputs.temperature,
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
