//! Stocking density: how many fish space, oxygen, the filter and the solids allow, today and at harvest, and when the limit is reached.

use super::air::{self, Air, AirMode};
use super::ammonia::idle;
use super::deadly::Deadly;
use super::form::*;
use super::mend::round_up;
use super::outcome::*;
use super::oxygen::{self, BedKind, Filter, FishGroup, Inlet, Oxygen, OxygenIn, how_long, worth_it};
use super::sheet::{self, Calculator};
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::sources::{Coef, Source, biology, oxygen as src};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Mark, Picture, Role, Series};
use crate::science::aeration::Fall;
use crate::science::growth::{self, Pace, Season};
use crate::science::respiration::{Meals, Solids};
use crate::science::{ammonia, brackish, feeding};
use crate::units::{kinds::*, si::*, *};

// ---- inputs ----

/// What nitrifies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FilterBy {
    /// A bed of a medium.
    #[default]
    Media,
    /// Rafts or channels.
    Raft,
    /// A filter of a known area.
    Area,
    /// None.
    None,
    /// Rafts or channels, and a filter of a known area.
    RaftAndArea,
}
crate::choices!(FilterBy:
    Media = "media", "A bed of gravel or clay", "";
    Raft = "raft", "Rafts or channels", "";
    Area = "area", "A filter of known area", "moving bed, bought filter";
    None = "none", "No filter", "water changes only";
    RaftAndArea = "raft_area", "Rafts or channels, and a filter", "of known area";
);

/// Water that flows into the tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Inflow {
    /// It is not counted.
    #[default]
    None,
    /// It is the same water, pumped round.
    Loop,
    /// Elsewhere, and was measured.
    Given,
    /// Elsewhere, in equilibrium with air.
    Saturated,
}
crate::choices!(Inflow:
    None = "none", "Not counted", "air and surface alone";
    Loop = "loop", "Pumped round", "it brings back no more than it left with, but for the fall and the bed";
    Given = "given", "Its oxygen is known", "from elsewhere, or from other tanks";
    Saturated = "saturated", "From elsewhere, well aerated", "";
);

/// A settler that takes the solids out of the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SettlerBy {
    /// None of its own.
    #[default]
    None,
    /// All the water of the tank passes one.
    Loop,
}
crate::choices!(SettlerBy:
    None = "none", "None", "";
    Loop = "loop", "One that all the water passes", "sized for the flow, drawn before it is full";
);

/// Inputs.
#[derive(Debug, Clone)]
pub struct StockingIn {
    /// Species.
    pub species: &'static Species,
    /// Water the fish live in.
    pub volume: Volume,
    /// Fish in it now.
    pub count: Ratio,
    /// Mean mass now.
    pub mass: Mass,
    /// Mean mass at harvest.
    pub harvest: Mass,
    /// The hottest water expected.
    pub hottest: ThermodynamicTemperature,
    /// Air.
    pub air: Air,
    /// What nitrifies.
    pub filter: FilterBy,
    /// Bed of a medium.
    pub media_volume: Volume,
    /// Which.
    pub medium: &'static Medium,
    /// Rafts or channels.
    pub raft_area: Area,
    /// Known area.
    pub filter_area: Area,
    /// How long it has been fed.
    pub filter_age: Time,
    /// What becomes of the solids.
    pub solids: Solids,
    /// The usual water, for growth.
    pub usual: ThermodynamicTemperature,
    /// How the feed comes over the day.
    pub meals: Meals,
    /// pH, for the poisonous part of ammonia.
    pub ph: Ratio,
    /// Height above the sea.
    pub altitude: Length,
    /// What the water that flows in is.
    pub inflow: Inflow,
    /// How much of it.
    pub flow: VolumeRate,
    /// How it enters.
    pub fall: Fall,
    /// How far it falls.
    pub fall_height: Length,
    /// Its oxygen, if known.
    pub inlet_oxygen: MassConcentration,
    /// Where the filter and the solids breathe.
    pub film: Filter,
    /// A bed of its own.
    pub bed: BedKind,
    /// Mean depth of the water, for its surface.
    pub depth: Length,
    /// A settler in the loop.
    pub settler: SettlerBy,
    /// Salt.
    pub salinity: MassConcentration,
    /// Fish that are to come in.
    pub add: Ratio,
}

impl Default for StockingIn {
    fn default() -> Self {
        Self {
            species: &SPECIES[0],
            volume: VOLUME.of(l(1000.0)),
            count: COUNT.of(15.0),
            mass: SMALL_MASS.of(g(50.0)),
            harvest: SMALL_MASS.of(g(500.0)),
            hottest: TEMPERATURE.of(celsius(29.0)),
            air: Air::default(),
            filter: FilterBy::Media,
            media_volume: VOLUME.of(l(1000.0)),
            medium: &MEDIA[0],
            raft_area: AREA.of(4.0),
            filter_area: AREA.of(100.0),
            filter_age: DAYS.of(days(30.0)),
            solids: Solids::Settled,
            usual: TEMPERATURE.of(celsius(25.0)),
            meals: Meals::Spread,
            ph: RATIO.of(7.2),
            altitude: LENGTH.of(0.0),
            inflow: Inflow::None,
            flow: FLOW.of(l_h(1000.0)),
            fall: Fall::None,
            fall_height: LENGTH.of(0.3),
            inlet_oxygen: CONCENTRATION.of(mg_l(7.0)),
            film: Filter::SameWater,
            bed: BedKind::Flooded,
            depth: LENGTH.of(0.6),
            settler: SettlerBy::None,
            salinity: SALINITY.of(0.0),
            add: COUNT.of(0.0),
        }
    }
}

impl Fields for StockingIn {
    fn fields(&mut self, f: &mut dyn Form) {
        pick(f, &Pick::new(1, "species", "Species"), &mut self.species);
        let volume = Field::new(2, "volume", "Water the fish live in", VOLUME)
            .range(l(20.0), l(500_000.0))
            .advised(l(100.0), l(50_000.0))
            .way(Way::TapeVolume);
        num(f, &volume.help("The fish tank alone, without beds and sump."), &mut self.volume);
        let count = Field::new(3, "count", "Fish in it now", COUNT).range(0.0, 20_000.0).advised(0.0, 3000.0);
        num(f, &count.help("None, if you plan."), &mut self.count);
        let add = Field::new(37, "add", "Fish to add", COUNT).range(0.0, 20_000.0).advised(0.0, 3000.0);
        num(f, &add.help("Of the same mean mass. None asks how many may be added."), &mut self.add);
        let mass = Field::new(4, "mass", "Mean mass now", SMALL_MASS).range(g(0.2), 10.0).advised(g(1.0), 3.0);
        num(f, &mass.help("Of one; of those you would add, if there are none.").way(Way::SampleMass), &mut self.mass);
        let harvest =
            Field::new(5, "harvest", "Mean mass at harvest", SMALL_MASS).range(g(1.0), 10.0).advised(g(50.0), 3.0);
        num(f, &harvest.help("What you mean to let them grow to."), &mut self.harvest);
        let hottest = Field::new(6, "hottest", "Hottest water you expect", TEMPERATURE)
            .range(celsius(0.5), celsius(40.0))
            .advised(celsius(10.0), celsius(34.0));
        num(f, &hottest.help("Late afternoon in the hottest week: least oxygen, most breath."), &mut self.hottest);
        self.air.fields(f);
        pick(f, &Pick::new(7, "filter", "Filter").help("What turns ammonia to nitrate."), &mut self.filter);
        group(f, &Group::when("filter", "media"), self.filter == FilterBy::Media, &mut |f| {
            let media = Field::new(8, "media_volume", "Bed, medium and gaps", VOLUME)
                .range(0.0, l(500_000.0))
                .advised(l(20.0), l(50_000.0))
                .likely(l(300.0), l(2000.0))
                .source(&src::BED_DENSITY)
                .way(Way::TapeVolume);
            num(
                f,
                &media.help("Length by width by depth of the wet medium. Common: as much as the fish tank."),
                &mut self.media_volume,
            );
            pick(f, &Pick::new(9, "medium", "Medium").detail(), &mut self.medium);
        });
        let rafts = matches!(self.filter, FilterBy::Raft | FilterBy::RaftAndArea);
        group(f, &Group::when("filter", "raft|raft_area"), rafts, &mut |f| {
            let raft =
                Field::new(10, "raft_area", "Plan of rafts or channels", AREA).range(0.0, 5000.0).advised(0.2, 500.0);
            num(f, &raft.help("Length by width of the water under them."), &mut self.raft_area);
        });
        let apart = matches!(self.filter, FilterBy::Area | FilterBy::RaftAndArea);
        group(f, &Group::when("filter", "area|raft_area"), apart, &mut |f| {
            let area = Field::new(11, "filter_area", "Protected area of the medium", AREA)
                .range(0.0, 1e6)
                .advised(1.0, 50_000.0);
            num(f, &area.help("Volume of carriers times the maker's m²/m³ (ft²/ft³)."), &mut self.filter_area);
        });
        let age = Field::new(12, "filter_age", "How long the filter has been fed", DAYS)
            .range(0.0, days(3650.0))
            .likely(0.0, days(120.0))
            .source(&src::FILTER_RIPENING);
        num(f, &age.help("Since fish or ammonia first fed it: counted anew after three weeks without, or once it was dry. A young filter carries little."), &mut self.filter_age);
        group(f, &Group::titled("More about it"), true, &mut |f| {
            pick(f, &Pick::new(13, "solids", "Solids").detail(), &mut self.solids);
            group(f, &Group::when("solids", "settled|left"), self.solids != Solids::Drawn, &mut |f| {
                let settler = Pick::new(35, "settler", "Settler in the loop");
                pick(f, &settler.help("It keeps the solids off rafts and bed.").detail(), &mut self.settler);
            });
            let usual = Field::new(14, "usual", "Usual water until harvest", TEMPERATURE)
                .range(celsius(0.5), celsius(40.0))
                .advised(celsius(4.0), celsius(34.0))
                .detail();
            num(f, &usual.help("The mean of the season: it sets how fast they grow."), &mut self.usual);
            pick(f, &Pick::new(15, "meals", "Meals").detail(), &mut self.meals);
            let ph = Field::new(16, "ph", "pH", RATIO).range(6.0, 10.0).advised(6.0, 8.5).likely(6.6, 8.0).detail();
            num(f, &ph.help("Of the tank. Above 8 much more of the ammonia is poisonous."), &mut self.ph);
            let altitude = Field::new(17, "altitude", "Height above the sea", LENGTH)
                .range(-400.0, 4500.0)
                .advised(-400.0, 3500.0)
                .likely(0.0, 800.0)
                .detail();
            num(f, &altitude.help("Thin air holds less oxygen."), &mut self.altitude);
            num(f, &oxygen::depth(34).help("Volume over it is the surface that air touches."), &mut self.depth);
            let inflow = Pick::new(18, "inflow", "Water that flows in");
            pick(
                f,
                &inflow.help("It takes up oxygen as it falls in, and in a bed that drains.").detail(),
                &mut self.inflow,
            );
            group(f, &Group::when("inflow", "loop|given|saturated"), self.inflow != Inflow::None, &mut |f| {
                self.inflows(f);
            });
            num(f, &oxygen::salinity(36), &mut self.salinity);
        });
    }
}

impl StockingIn {
    /// Those that are there and those that are to come.
    fn all(&self) -> Ratio {
        self.count + self.add
    }
    fn inflows(&mut self, f: &mut dyn Form) {
        num(f, &oxygen::flow(19).detail(), &mut self.flow);
        group(f, &Group::when("inflow", "given"), self.inflow == Inflow::Given, &mut |f| {
            num(f, &oxygen::inlet_oxygen(31), &mut self.inlet_oxygen);
        });
        pick(f, &Pick::new(29, "fall", "How the water enters").detail(), &mut self.fall);
        group(f, &Group::when("fall", "stream|broken"), self.fall != Fall::None, &mut |f| {
            num(f, &oxygen::fall_height(30).detail(), &mut self.fall_height);
        });
        oxygen::film(f, (32, 33), "film", &mut self.film, &mut self.bed);
    }
}

// ---- results ----

/// What can bind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Room.
    Space,
    /// Oxygen.
    Oxygen,
    /// The filter.
    Ammonia,
    /// The solids.
    Solids,
}

impl Limit {
    const ALL: [Self; 4] = [Self::Space, Self::Oxygen, Self::Ammonia, Self::Solids];
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Space => "space",
            Self::Oxygen => "oxygen",
            Self::Ammonia => "ammonia",
            Self::Solids => "solids",
        }
    }
    const fn name(self) -> &'static str {
        match self {
            Self::Space => "Space",
            Self::Oxygen => "Oxygen",
            Self::Ammonia => "Ammonia",
            Self::Solids => "Solids",
        }
    }
}

/// Mass of fish that each limit allows; `None` where it does not bind because they are not fed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowed {
    /// Mean mass of one.
    pub mass: Mass,
    /// By space.
    pub space: Mass,
    /// By oxygen.
    pub oxygen: Mass,
    /// By the filter, as ripe as it then is.
    pub ammonia: Option<Mass>,
    /// By the solids.
    pub solids: Option<Mass>,
    /// Age of the filter then.
    age: Time,
    /// The water in which the filter's limit and that of the solids are least.
    water: [ThermodynamicTemperature; 2],
}

impl Allowed {
    /// By one of them.
    pub fn by(&self, limit: Limit) -> Option<Mass> {
        match limit {
            Limit::Space => Some(self.space),
            Limit::Oxygen => Some(self.oxygen),
            Limit::Ammonia => self.ammonia,
            Limit::Solids => self.solids,
        }
    }
    /// The least, and which it is.
    pub fn least(&self) -> (Mass, Limit) {
        let mut least = (self.space, Limit::Space);
        for limit in Limit::ALL {
            if let Some(m) = self.by(limit)
                && m < least.0
            {
                least = (m, limit);
            }
        }
        least
    }
    /// Whole fish of the least limit.
    fn carries(&self) -> f64 {
        self.fish(self.least().0)
    }
    /// Whole fish of a limit.
    fn fish(&self, mass: Mass) -> f64 {
        (mass.value / self.mass.value + 1e-9).floor()
    }
}

/// The result.
#[derive(Debug, Clone, PartialEq)]
pub struct StockingOut {
    /// Mass of all fish now.
    pub biomass: Mass,
    /// Mass of all of them at harvest.
    pub biomass_at_harvest: Mass,
    /// Fish per water now.
    pub density: MassDensity,
    /// Fish per water at harvest.
    pub density_at_harvest: MassDensity,
    /// Allowed today.
    pub now: Allowed,
    /// Allowed at harvest.
    pub at_harvest: Allowed,
    /// What one fish may weigh, all space limits taken together, kg/m3.
    pub practice: (MassDensity, &'static Source),
    /// Share of its full load that the filter carries today.
    pub ripeness: Ratio,
    /// Ammonia nitrogen to keep.
    pub tan: MassConcentration,
    /// Until harvest at the soonest, if they ever get there.
    pub until_harvest: Option<Time>,
    /// Until they outgrow the limit, if they do before harvest, and their mass then.
    pub until_limit: Option<(Time, Mass)>,
    /// Fish that may be added and stay to harvest; below zero, that must go.
    pub may_add: Ratio,
    /// Fish that today's limits would still take.
    pub room_today: Ratio,
    /// Where on the way to harvest the fewest are allowed.
    pub fewest: Allowed,
    /// The filter is too new to be counted on.
    pub untrusted: bool,
    /// Water that kills these fish, and which it is.
    deadly: Option<(Deadly, Water)>,
}

/// Which water: its level, and what it is called in a sentence.
type Water = (&'static str, &'static str);
const HOTTEST: Water = ("Hottest water", "hottest water");
const USUAL: Water = ("Usual water", "usual water");

/// Fish per water by practice.
const DENSITY_NO_AIR: Coef = Coef::new(10.0, "kg/m3", &src::FAO_589_DENSITY, "no air");
const DENSITY_AIR: Coef = Coef::new(20.0, "kg/m3", &src::FAO_589_DENSITY, "air, solids in the system");
const DENSITY_DRAWN: Coef = Coef::new(30.0, "kg/m3", &src::MSU_DENSITY, "air, solids drawn off daily");
const RAFT: Coef = Coef::new(3.0, "m2/m2", &src::RAFT_AREA, "rafts and channels");
const KEPT: [Coef; 3] = [
    Coef::new(300.0, "g/m3/day", &src::SOLIDS_CAPACITY, "media beds"),
    Coef::new(20.0, "g/m2/day", &src::SOLIDS_CAPACITY, "rafts and channels"),
    Coef::new(30.0, "g/m3/day", &src::SOLIDS_CAPACITY, "the tank itself"),
];
/// The same for rafts and tank where the solids are drawn off every day.
const DRAWN: [Coef; 2] = [
    Coef::new(80.0, "g/m2/day", &src::SOLIDS_DRAWN, "rafts and channels"),
    Coef::new(300.0, "g/m3/day", &src::SOLIDS_DRAWN, "a tank with a filter apart, and no bed"),
];
const REMOVED: [Coef; 2] = [
    Coef::new(0.5, "1", &src::SOLIDS_REMOVED, "drawn off every day"),
    Coef::new(0.25, "1", &src::SOLIDS_REMOVED, "drawn now and then"),
];

/// Share of the solids that is taken out before it breaks down.
pub(crate) fn removed(solids: Solids) -> f64 {
    match solids {
        Solids::Drawn => REMOVED[0].value,
        Solids::Settled => REMOVED[1].value,
        Solids::Left => 0.0,
    }
}

/// Fish per water that growers keep, kg/m3.
pub(crate) fn practice(air: &Air, solids: Solids) -> Coef {
    match (air.comes_out(), solids) {
        (false, _) => DENSITY_NO_AIR,
        (true, Solids::Drawn) => DENSITY_DRAWN,
        (true, _) => DENSITY_AIR,
    }
}

fn filter_area(i: &StockingIn) -> f64 {
    match i.filter {
        FilterBy::Media => i.media_volume.value * i.medium.surface().0.value,
        FilterBy::Raft => i.raft_area.value * RAFT.value,
        FilterBy::Area => i.filter_area.value,
        FilterBy::RaftAndArea => i.filter_area.value + i.raft_area.value * RAFT.value,
        FilterBy::None => 0.0,
    }
}

/// What bears the solids.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bears {
    /// Beds of a medium, bulk.
    pub media: Volume,
    /// Rafts and channels.
    pub rafts: Area,
    /// Tanks.
    pub tanks: Volume,
    /// There is a filter apart that turns ammonia over.
    pub filter: bool,
}

impl Bears {
    /// Feed a day whose solids media, rafts and tanks bear without being choked. Where they are drawn off every day, what is published of such
    /// systems counts for rafts and for tanks with a filter apart.
    pub(crate) fn feed(&self, solids: Solids) -> MassRate {
        let (media, rafts, tanks) = (self.media.value, self.rafts.value, self.tanks.value);
        let stays = 1.0 - removed(solids);
        let kept = |k: usize| KEPT[k].value / stays;
        let bare = media <= 0.0 && rafts <= 0.0;
        let (raft, tank) = match solids {
            Solids::Drawn => (DRAWN[0].value, if bare && self.filter { DRAWN[1].value } else { kept(2) }),
            _ => (kept(1), kept(2)),
        };
        FEED_RATE.of(g_day(kept(0) * media + raft * rafts + tank * tanks))
    }
}

/// Feed a day whose solids the system bears.
fn solids_feed(i: &StockingIn) -> f64 {
    let (no_media, no_rafts) = (VOLUME.of(0.0), AREA.of(0.0));
    let (media, rafts) = match i.filter {
        FilterBy::Media => (i.media_volume, no_rafts),
        FilterBy::Raft | FilterBy::RaftAndArea => (no_media, i.raft_area),
        FilterBy::Area | FilterBy::None => (no_media, no_rafts),
    };
    let filter = i.filter == FilterBy::Area && i.filter_area.value > 0.0;
    Bears { media, rafts, tanks: i.volume, filter }.feed(taken_out(i)).value
}

/// What becomes of the solids before they reach rafts and bed (source `settler_in_loop`).
fn taken_out(i: &StockingIn) -> Solids {
    match i.settler {
        SettlerBy::Loop => Solids::Drawn,
        SettlerBy::None => i.solids,
    }
}

/// What the solids' figure stands on.
fn solids_source(i: &StockingIn) -> &'static Source {
    match (i.solids, i.settler) {
        (Solids::Drawn, _) => &src::SOLIDS_DRAWN,
        (_, SettlerBy::Loop) => &src::SETTLER_IN_LOOP,
        _ => &src::SOLIDS_CAPACITY,
    }
}

/// The hottest water expected, which is no cooler than the usual one.
fn hottest(i: &StockingIn) -> ThermodynamicTemperature {
    if i.usual > i.hottest { i.usual } else { i.hottest }
}

/// The oxygen calculator's inputs for a kilogram of these fish at a mean mass.
fn breathing(i: &StockingIn, mass: Mass) -> OxygenIn {
    let (inlet, filter) = match i.inflow {
        Inflow::None => (Inlet::Loop, Filter::SameWater),
        Inflow::Loop => (Inlet::Loop, i.film),
        Inflow::Given => (Inlet::Given, i.film),
        Inflow::Saturated => (Inlet::Saturated, i.film),
    };
    OxygenIn {
        fish: vec![FishGroup { species: i.species, biomass: MASS.of(1.0), mass, ..FishGroup::default() }],
        // As it warms, no less is breathed (what was fed before counts) and less comes in: the hottest water carries least.
        temperature: hottest(i),
        volume: i.volume,
        flow: if i.inflow == Inflow::None { FLOW.of(0.0) } else { i.flow },
        inlet,
        inlet_oxygen: i.inlet_oxygen,
        fall: i.fall,
        fall_height: i.fall_height,
        filter,
        bed: i.bed,
        depth: i.depth,
        air: i.air.clone(),
        solids: i.solids,
        meals: i.meals,
        altitude: i.altitude,
        salinity: i.salinity,
        ..OxygenIn::default()
    }
}

/// Ammonia nitrogen to keep: the species' limit, or less where pH makes too much of it poisonous.
fn tan_to_keep(i: &StockingIn) -> Result<MassConcentration, Vec<FieldError>> {
    let share = brackish::unionised_share(hottest(i), i.ph, i.salinity)
        .map_err(|e| vec![FieldError::new("ph", e.to_string(), "6 to 10")])?;
    Ok(ammonia::tan_borne(i.species, share))
}

/// After so long what the filter takes is counted.
fn counted_after(t: ThermodynamicTemperature) -> Time {
    ammonia::counted_after(ammonia::ripe_after(t))
}

/// In how many waters from the usual to the hottest the feed is looked at.
const WATERS: u32 = 8;

fn allowed(i: &StockingIn, mass: Mass, age: Time, tan: MassConcentration) -> Result<Allowed, Vec<FieldError>> {
    let oxygen = Oxygen::solve(&breathing(i, mass), &mut Working::none())?.carries;
    // Feed, and with it ammonia and solids, in every water from the usual to the hottest: the least counts.
    let mut fed = [None, None];
    let kept = solids_feed(i);
    // A filter ripens in the usual water.
    let (ripe, new) = (ammonia::ripeness(age, i.usual), age < counted_after(i.usual));
    for n in 0..=WATERS {
        let t = TEMPERATURE.of(i.usual.value + (i.hottest.value - i.usual.value) * f64::from(n) / f64::from(WATERS));
        let ration = feeding::ration_before(i.species, mass, t).value;
        if ration > 0.0 {
            let taken = ammonia::filter_capacity(AREA.of(filter_area(i)), t, tan, ripe, i.ph);
            let taken = if new { taken.min(ammonia::untaken(tan, CONCENTRATION.of(0.0), i.volume)) } else { taken };
            let borne = ammonia::feed_for_tan(taken, i.species.protein()).value;
            for (least, feed) in fed.iter_mut().zip([borne, kept]) {
                let here = (MASS.of(feed / ration), t);
                *least = least.filter(|l: &(Mass, _)| l.0 <= here.0).or(Some(here));
            }
        }
    }
    let [ammonia, solids] = fed;
    Ok(Allowed {
        mass,
        space: MASS.of(practice(&i.air, i.solids).value * i.volume.value),
        oxygen,
        ammonia: ammonia.map(|l| l.0),
        solids: solids.map(|l| l.0),
        age,
        water: [ammonia, solids].map(|l| l.map_or(i.hottest, |l| l.1)),
    })
}

/// What is found on the way to harvest.
struct Ahead {
    /// The soonest that they outgrow what is allowed, and their mass then.
    limit: Option<(Time, Mass)>,
    /// Where the fewest are allowed.
    fewest: Allowed,
}

/// The way from now to harvest, at its soonest.
fn way(i: &StockingIn, tan: MassConcentration) -> Result<Ahead, Vec<FieldError>> {
    let at = |t: f64, w: f64| allowed(i, MASS.of(w), DAYS.of(i.filter_age.value + t), tan);
    let count = i.all().value;
    let over = |a: &Allowed| a.least().0.value < count * a.mass.value * (1.0 - 1e-9);
    let course =
        growth::course(i.species, i.mass, i.harvest, &Season::steady(i.usual), Pace::Soonest, growth::horizon());
    let stride = course.len().div_ceil(LOOKS).max(1);
    let counts = counted_after(i.usual).value;
    let mut looks: Vec<(f64, f64)> = vec![];
    for (n, (t, w)) in course.iter().enumerate() {
        // The last day on which a new filter is not counted on, too.
        let day = (counts - i.filter_age.value) * (1.0 - 1e-9);
        if let Some((t0, w0)) = n.checked_sub(1).map(|k| course[k])
            && t0.value < day
            && day < t.value
        {
            let part = (day - t0.value) / (t.value - t0.value);
            looks.push((day, w0.value * (w.value / w0.value).powf(part)));
        }
        if n % stride == 0 || n + 1 == course.len() {
            looks.push((t.value, w.value));
        }
    }
    let mut found = Ahead { limit: None, fewest: at(0.0, i.mass.value)? };
    if count > 0.0 && over(&found.fewest) {
        found.limit = Some((DAYS.of(0.0), i.mass));
    }
    let mut from = (0.0, i.mass.value);
    for &to in looks.iter().skip(1) {
        let a = at(to.0, to.1)?;
        if a.least().0.value / a.mass.value < found.fewest.least().0.value / found.fewest.mass.value {
            found.fewest = a;
        }
        if count > 0.0 && found.limit.is_none() && over(&a) {
            let (mut low, mut high) = (0.0, 1.0);
            let between = |part: f64| (from.0 + part * (to.0 - from.0), from.1 * (to.1 / from.1).powf(part));
            for _ in 0..HALVINGS {
                let middle = (low + high) / 2.0;
                let (t, w) = between(middle);
                if over(&at(t, w)?) {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            let (t, w) = between(low);
            found.limit = Some((DAYS.of(t), MASS.of(w)));
        }
        from = to;
    }
    Ok(found)
}

/// How often the way to harvest is looked at, and how finely the day is then found.
const LOOKS: usize = 12;
const HALVINGS: usize = 8;

const TODAY: &str = "Fish, today";
const ON_THE_WAY: &str = "Fish, on the way to harvest";
const HARVEST: &str = "Fish, at harvest";

/// The calculator.
#[derive(Debug)]
pub struct Stocking;

impl Calculator for Stocking {
    type In = StockingIn;
    type Out = StockingOut;
    const ID: &'static str = "stocking";
    const TITLE: &'static str = "Stocking density";
    const QUESTION: &'static str = "Can I add fish?";
    const ABOUT: &'static str = "How many fish a tank may hold in the hottest water expected, today and at harvest weight: by space (what growers \
        keep), by oxygen (the balance of the oxygen calculator), by the filter's ammonia (as ripe as it is), and by the solids. The least of \
        them counts. It says how many may be added now and when the fish outgrow the limit. Planning figures from tables that scatter by a \
        quarter and more; start with a third and watch oxygen, ammonia and nitrite.";

    fn solve(i: &StockingIn, w: &mut Working) -> Result<StockingOut, Vec<FieldError>> {
        let tan = tan_to_keep(i)?;
        let now = allowed(i, i.mass, i.filter_age, tan)?;
        let harvest = if i.harvest > i.mass { i.harvest } else { i.mass };
        let reached =
            growth::reach(i.species, i.mass, harvest, &Season::steady(i.usual), Pace::Soonest).map(|r| r.time);
        let then = DAYS.of(i.filter_age.value + reached.unwrap_or(DAYS.of(0.0)).value);
        let at_harvest = allowed(i, harvest, then, tan)?;
        let way = way(&StockingIn { harvest, ..i.clone() }, tan)?;
        let practice = practice(&i.air, i.solids);
        let room_today = now.carries() - i.count.value;
        let stay = at_harvest.carries().min(way.fewest.carries()) - i.count.value;
        // In water that kills them there is room for none, whatever it holds.
        let of = |t, water| Deadly::of(i.species, t).map(|d| (d, water));
        let salty = || Deadly::of_salt(i.species, i.salinity).map(|d| (d, USUAL));
        let deadly = of(i.hottest, HOTTEST).or_else(|| of(i.usual, USUAL)).or_else(salty);
        let most = if deadly.is_some() { -i.count.value } else { f64::INFINITY };
        let out = StockingOut {
            biomass: i.mass * i.all(),
            biomass_at_harvest: harvest * i.all(),
            density: STOCKING.of(i.mass.value * i.all().value / i.volume.value),
            density_at_harvest: STOCKING.of(harvest.value * i.all().value / i.volume.value),
            now,
            at_harvest,
            practice: (STOCKING.of(practice.value), practice.source),
            ripeness: ammonia::ripeness(i.filter_age, i.usual),
            tan,
            until_harvest: reached,
            until_limit: way.limit,
            fewest: way.fewest,
            untrusted: i.filter != FilterBy::None && i.filter_age < counted_after(i.usual),
            may_add: COUNT.of(room_today.min(stay).min(most)),
            room_today: COUNT.of(room_today.min(most)),
            deadly,
        };
        if w.on() {
            steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &StockingOut, s: &mut dyn Outputs) {
        out(s, "biomass", "All fish now", MASS, o.biomass);
        out(s, "biomass_at_harvest", "All of them at harvest", MASS, o.biomass_at_harvest);
        out(s, "density", "Density now", STOCKING, o.density);
        out(s, "density_at_harvest", "Density at harvest", STOCKING, o.density_at_harvest);
        out(s, "practice", "Density that growers keep", STOCKING, o.practice.0);
        word(s, "binds", "What is the limit today", o.now.least().1.word());
        word(s, "binds_at_harvest", "What is the limit at harvest", o.at_harvest.least().1.word());
        let allowed = |a: &Allowed| COUNT.of(if o.deadly.is_some() { 0.0 } else { a.fish(a.least().0) });
        out(s, "allowed", "Fish allowed today", COUNT, allowed(&o.now));
        out(s, "allowed_at_harvest", "Fish allowed at harvest", COUNT, allowed(&o.at_harvest));
        let count = |a: &Allowed, limit| a.by(limit).map(|m| COUNT.of(a.fish(m)));
        out_opt(s, "by_space", "Fish today, by space", COUNT, count(&o.now, Limit::Space));
        out_opt(s, "by_oxygen", "Fish today, by oxygen", COUNT, count(&o.now, Limit::Oxygen));
        out_opt(s, "by_ammonia", "Fish today, by the filter", COUNT, count(&o.now, Limit::Ammonia));
        out_opt(s, "by_solids", "Fish today, by solids", COUNT, count(&o.now, Limit::Solids));
        out_opt(s, "harvest_by_space", "Fish at harvest, by space", COUNT, count(&o.at_harvest, Limit::Space));
        out_opt(s, "harvest_by_oxygen", "Fish at harvest, by oxygen", COUNT, count(&o.at_harvest, Limit::Oxygen));
        out_opt(s, "harvest_by_ammonia", "Fish at harvest, by the filter", COUNT, count(&o.at_harvest, Limit::Ammonia));
        out_opt(s, "harvest_by_solids", "Fish at harvest, by solids", COUNT, count(&o.at_harvest, Limit::Solids));
        out(s, "may_add", "May be added now and stay to harvest", COUNT, COUNT.of(o.may_add.value.max(0.0)));
        out(s, "too_many", "Too many", COUNT, COUNT.of((-o.may_add.value).max(0.0)));
        out(s, "room_today", "Room today", COUNT, COUNT.of(o.room_today.value.max(0.0)));
        out_opt(s, "until_harvest", "Days until harvest weight, at the soonest", DAYS, o.until_harvest);
        out_opt(s, "until_limit", "Days until the limit is reached, at the soonest", DAYS, o.until_limit.map(|l| l.0));
        out_opt(s, "mass_at_limit", "Their mass then", SMALL_MASS, o.until_limit.map(|l| l.1));
        out(s, "ripeness", "What the filter carries today of its full load", PERCENT, o.ripeness);
        out(s, "tan", "Ammonia nitrogen to stay below", CONCENTRATION, o.tan);
    }

    fn level(o: &StockingOut) -> Option<Level> {
        if let Some((deadly, water)) = o.deadly {
            return Some(deadly.level("stocking", water.0));
        }
        // Their number is the same all the way. Where there is none and not one may be added, it is asked of one.
        let none = o.biomass.value <= 0.0 && o.may_add.value < 1.0;
        let count = if none { 1.0 } else { o.biomass.value / o.now.mass.value };
        let level = |name, a: &Allowed| Level::upper("stocking", name, MASS, a.mass * count, a.least().0);
        let (today, harvest) = (level(TODAY, &o.now), level(HARVEST, &o.at_harvest));
        let fullest = if today.fullness() > harvest.fullness() { today } else { harvest };
        let way = level(ON_THE_WAY, &o.fewest);
        Some(if way.fullness() > fullest.fullness() * (1.0 + 1e-6) { way } else { fullest })
    }

    fn report(i: &StockingIn, o: &StockingOut, words: Words) -> Report {
        report(i, o, words)
    }
}

fn steps(i: &StockingIn, o: &StockingOut, w: &mut Working) {
    let m = |symbol, x| term(symbol, MASS, x);
    for (name, a) in [("Space, today", &o.now), ("Space, at harvest", &o.at_harvest)] {
        w.step(|| {
            let with = [term("density", STOCKING, o.practice.0), term("V", VOLUME, i.volume)];
            Step::new(name, "B = density × V", &with, m("B", a.space), o.practice.1)
        });
    }
    for (name, a) in [("Oxygen, today", &o.now), ("Oxygen, at harvest", &o.at_harvest)] {
        w.step(|| {
            let mut with = vec![term("W", SMALL_MASS, a.mass), term("T", TEMPERATURE, hottest(i))];
            if i.inflow != Inflow::None {
                with.push(term("Q", FLOW, i.flow));
            }
            let equation = "fish whose after-meal breath, with filter and solids, equals f(C_min), cautious end";
            Step::new(name, equation, &with, m("B", a.oxygen), &src::OXYGEN_BALANCE)
        });
    }
    let area = AREA.of(filter_area(i));
    w.step(|| {
        let with = [term("age", DAYS, i.filter_age), term("T", TEMPERATURE, i.usual)];
        Step::new(
            "Ripeness of the filter",
            "a twentieth to all, evenly over 56 days (longer in the cold)",
            &with,
            term("ripe", PERCENT, o.ripeness),
            &src::FILTER_RIPENING,
        )
    });
    let mut told = None;
    for (name, a) in [("Filter, today", &o.now), ("Filter, at harvest", &o.at_harvest)] {
        let Some(b) = a.ammonia else { continue };
        let t = a.water[0];
        if told != Some(t) {
            told = Some(t);
            w.step(|| {
                let r = ammonia::nitrification(t, o.tan) * ammonia::acid_share(i.ph);
                Step::new(
                    "Ammonia nitrogen per wetted area",
                    "r = 0.5 table(T) min(1, TAN/1.0)/1.216, less below pH 6.5",
                    &[term("T", TEMPERATURE, t), term("TAN", CONCENTRATION, o.tan)],
                    term("r", AREAL_RATE, r),
                    &src::FILTER_SAFETY,
                )
            });
        }
        w.step(|| {
            let mut with = vec![
                term("T", TEMPERATURE, t),
                term("A", AREA, area),
                term("ripe", PERCENT, ammonia::ripeness(a.age, i.usual)),
                term("p", PERCENT, i.species.protein()),
                term("ration", DAILY_SHARE, feeding::ration_before(i.species, a.mass, t)),
            ];
            if a.age >= counted_after(i.usual) {
                return Step::new(name, "B = r A ripe/(0.092 p ration)", &with, m("B", b), &src::TAN_PER_PROTEIN);
            }
            with.push(term("V", VOLUME, i.volume));
            let equation = "B = min(r A ripe, TAN/2 V/1 day)/(0.092 p ration), new as it is";
            Step::new(name, equation, &with, m("B", b), &src::NEW_FILTER)
        });
    }
    for (name, a) in [("Solids, today", &o.now), ("Solids, at harvest", &o.at_harvest)] {
        if let Some(b) = a.solids {
            w.step(|| {
                let with = [
                    term("T", TEMPERATURE, a.water[1]),
                    term("kept", FEED_RATE, FEED_RATE.of(solids_feed(i))),
                    term("ration", DAILY_SHARE, feeding::ration_before(i.species, a.mass, a.water[1])),
                ];
                let equation = "B = kept/ration, kept the feed whose solids stay or are taken out";
                Step::new(name, equation, &with, m("B", b), solids_source(i))
            });
        }
    }
    if let Some((t, mass)) = o.until_limit {
        w.step(|| {
            let with = [term("W0", SMALL_MASS, i.mass), term("W", SMALL_MASS, mass), term("T", TEMPERATURE, i.usual)];
            Step::new(
                "Until the limit, at the soonest",
                "growth at the best feed per gain",
                &with,
                term("t", DAYS, t),
                feeding::source(i.species),
            )
        });
    }
}

// ---- words ----

fn tried(i: &StockingIn, edits: &[Edit]) -> Option<(StockingIn, StockingOut)> {
    let mut changed = i.clone();
    if !edits.iter().all(|e| apply(&mut changed, e)) {
        return None;
    }
    let out = sheet::solve::<Stocking>(&changed, &mut Working::none()).ok()?;
    Some((changed, out))
}

fn load(o: &StockingOut) -> f64 {
    Stocking::level(o).map_or(f64::INFINITY, |l| l.fullness())
}

/// Smallest of a rising row of changes that brings the level to enough, or else the one that helps most.
fn first_enough<T: Copy>(i: &StockingIn, tries: &[T], edits: impl Fn(T) -> Vec<Edit>) -> Option<T> {
    let now = load(&tried(i, &[])?.1);
    let mut best = None;
    for t in tries {
        if let Some((_, o)) = tried(i, &edits(*t)) {
            let l = load(&o);
            if l <= ENOUGH + 1e-9 {
                return Some(*t);
            }
            if l < best.map_or(now * 0.98, |b: (f64, T)| b.0 * 0.98) {
                best = Some((l, *t));
            }
        }
    }
    best.map(|b| b.1)
}

/// What a change is called, and the edits that it means.
type Change = (String, Vec<Edit>);

const NEW_FILTER: &str = "a new filter has to ripen first; check the floor under a bed's weight";

/// The air `k` times as strong.
fn more_air(i: &StockingIn, k: f64, words: Words) -> Change {
    match i.air.mode {
        AirMode::None | AirMode::Stones => {
            let base = if i.air.on() { i.air.flow.value } else { l_min(10.0) };
            let to = AIR_FLOW.of(round_up(base * k, words.one(AIR_FLOW)));
            let mut edits = vec![Edit::num("air_flow", to)];
            if i.air.mode == AirMode::None {
                edits.insert(0, Edit::pick("air", "stones"));
            }
            (format!("{} of air at the stones, {} deep", words.q(AIR_FLOW, to), words.q(LENGTH, i.air.depth)), edits)
        }
        AirMode::Pump => {
            let to = AIR_FLOW.of(round_up(i.air.free.value * k, words.one(AIR_FLOW)));
            (format!("An air pump of {} on its box", words.q(AIR_FLOW, to)), vec![Edit::num("free_flow", to)])
        }
        AirMode::Rated => {
            let to = OXYGEN_RATE.of(round_up(i.air.rated.value * k, words.one(OXYGEN_RATE)));
            (format!("A rated transfer of {}", words.q(OXYGEN_RATE, to)), vec![Edit::num("rated", to)])
        }
    }
}

/// The filter `k` times as large; where there is none, a bed.
fn more_filter(i: &StockingIn, k: f64, words: Words) -> Change {
    match i.filter {
        FilterBy::Media => {
            let to = VOLUME.of(round_up(i.media_volume.value.max(l(50.0)) * k, words.one(VOLUME)));
            (format!("A bed of {}", words.q(VOLUME, to)), vec![Edit::num("media_volume", to)])
        }
        FilterBy::Raft => {
            let to = AREA.of(round_up(i.raft_area.value.max(1.0) * k, words.one(AREA)));
            (format!("{} of rafts", words.q(AREA, to)), vec![Edit::num("raft_area", to)])
        }
        FilterBy::Area | FilterBy::RaftAndArea => {
            let to = AREA.of(round_up(i.filter_area.value.max(1.0) * k, words.one(AREA)));
            (format!("A filter of {}", words.q(AREA, to)), vec![Edit::num("filter_area", to)])
        }
        FilterBy::None => {
            let to = VOLUME.of(round_up(i.volume.value * k / 2.0, words.one(VOLUME)));
            let edits = vec![Edit::pick("filter", "media"), Edit::num("media_volume", to)];
            (format!("A media bed of {}", words.q(VOLUME, to)), edits)
        }
    }
}

const FACTORS: [f64; 15] = [1.1, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 25.0, 50.0, 100.0];

fn repairs(i: &StockingIn, o: &StockingOut, words: Words) -> Vec<Repair> {
    let now = load(o);
    if now <= ENOUGH + 1e-9 || o.deadly.is_some() {
        return vec![];
    }
    let mut found = vec![];
    let mut offer = |title: String, edits: Vec<Edit>, also: Option<String>| {
        let Some((_, after)) = tried(i, &edits) else { return };
        let Some(level) = Stocking::level(&after) else { return };
        if worth_it(now, level.fullness()) {
            let (limit, a) = (after.at_harvest.least().1, &after.at_harvest);
            let effect = format!(
                "{} fish at harvest, {} is the limit then: {}",
                words.q(COUNT, COUNT.of(a.fish(a.least().0))),
                limit.word(),
                level.state().word()
            );
            found.push(Repair { title, effect, edits, level, also });
        }
    };
    if i.meals == Meals::Few {
        offer("Spread the feed over three meals or more".into(), vec![Edit::pick("meals", "spread")], None);
    }
    if i.solids != Solids::Drawn {
        offer(
            "Draw the solids off every day".into(),
            vec![Edit::pick("solids", "drawn")],
            Some("needs a settler that can be drained".into()),
        );
    }
    if let Some((title, edit)) = i.air.higher(words) {
        offer(title, vec![edit], Some(air::DELIVERS_MORE.into()));
    }
    let ages = [14.0, 28.0, 42.0, 56.0, 84.0, 112.0, 224.0].map(|more| i.filter_age.value + days(more));
    let age = |t: f64| vec![Edit::num("filter_age", DAYS.of(t))];
    if o.ripeness.value < 1.0
        && let Some(t) = first_enough(i, &ages, age)
    {
        let wait = DAYS.of(t - i.filter_age.value);
        offer(format!("Wait {} while the filter ripens, feeding it little", words.q(DAYS, wait)), age(t), None);
    }
    // More air, more filter, and where neither will do alone, both.
    let (more, filter) = (|k: f64| more_air(i, k, words), |k: f64| more_filter(i, k, words));
    let enough = |o: &StockingOut, limits: &[Limit]| {
        [(&o.now, o.biomass), (&o.at_harvest, o.biomass_at_harvest)]
            .iter()
            .all(|(a, fish)| limits.iter().all(|l| a.by(*l).is_none_or(|m| fish.value <= m.value * (ENOUGH + 1e-9))))
    };
    let least = |change: &dyn Fn(f64) -> Change, limits: &[Limit]| {
        FACTORS.into_iter().find(|k| tried(i, &change(*k).1).is_some_and(|(_, o)| enough(&o, limits)))
    };
    if let Some(k) = first_enough(i, &FACTORS, |k| more(k).1) {
        let (title, edits) = more(k);
        offer(title, edits, Some(air::BATTERY.into()));
    }
    if let Some(k) = first_enough(i, &FACTORS, |k| filter(k).1) {
        let (title, edits) = filter(k);
        offer(title, edits, Some(NEW_FILTER.into()));
    }
    let (short_air, short_filter) = (!enough(o, &[Limit::Oxygen]), !enough(o, &[Limit::Ammonia, Limit::Solids]));
    if short_air
        && short_filter
        && let (Some(a), Some(b)) = (least(&more, &[Limit::Oxygen]), least(&filter, &[Limit::Ammonia, Limit::Solids]))
    {
        let ((first, mut edits), (second, bed)) = (more(a), filter(b));
        edits.extend(bed);
        offer(format!("{first}, and {}", lower(&second)), edits, Some(NEW_FILTER.into()));
    }
    // Harvest sooner.
    let smaller: Vec<f64> = (1..=18)
        .map(|n| 1.0 - 0.05 * f64::from(n))
        .map(|s| words.as_shown(SMALL_MASS, i.harvest * s).value)
        .filter(|m| *m > i.mass.value * 1.5)
        .collect();
    let harvest = |m: f64| vec![Edit::num("harvest", SMALL_MASS.of(m))];
    if let Some(m) = first_enough(i, &smaller, harvest) {
        offer(format!("Harvest at {}", words.q(SMALL_MASS, SMALL_MASS.of(m))), harvest(m), None);
    }
    // Fewer fish: the level is in proportion to their number.
    let n = |x: Ratio| words.q(COUNT, x);
    let all = COUNT.of((i.all().value * ENOUGH / now + 1e-9).floor());
    let few = (all - i.count).max(COUNT.of(0.0));
    let mut said = vec![];
    let mut edits = vec![];
    if i.add.value > 0.0 {
        said.push(if few.value > 0.0 { format!("add {} instead of {}", n(few), n(i.add)) } else { "add none".into() });
        edits.push(Edit::num("add", few));
    }
    if all < i.count {
        said.push(format!("keep {} instead of {}", n(all), n(i.count)));
        edits.push(Edit::num("count", all));
    }
    if all.value >= 1.0 || (i.add.value > 0.0 && all >= i.count) {
        offer(sentence(&said.join(", and ")), edits, None);
    }
    found
}

fn why(i: &StockingIn, a: &Allowed, limit: Limit, ripe: bool, untrusted: bool) -> String {
    match limit {
        Limit::Space => "space is the limit".into(),
        Limit::Oxygen if i.air.comes_out() => "oxygen is the limit".into(),
        Limit::Oxygen => "oxygen is the limit, without air".into(),
        Limit::Ammonia if i.filter == FilterBy::None => "there is no filter for the ammonia".into(),
        Limit::Ammonia if untrusted => "the filter is too new to be counted on".into(),
        Limit::Ammonia if !ripe => "the filter is not ripe yet".into(),
        Limit::Ammonia => "the filter's ammonia is the limit".into(),
        Limit::Solids if a.solids.is_some() => "the solids are the limit".into(),
        Limit::Solids => String::new(),
    }
}

fn verdict(i: &StockingIn, o: &StockingOut, words: Words) -> String {
    if let Some((deadly, water)) = o.deadly {
        return format!("None: {}. Other fish, or other water.", deadly.words(water.1, words));
    }
    let state = Stocking::level(o).map_or("", |l| l.state().word());
    let n = |x: f64| words.q(COUNT, COUNT.of(x));
    let (now, end) = (o.now.least(), o.at_harvest.least());
    let ripe = o.ripeness.value >= 1.0;
    let at = words.q(SMALL_MASS, o.at_harvest.mass);
    let (today, harvest) = (o.now.fish(now.0), o.at_harvest.fish(end.0));
    let keep = if o.at_harvest.mass > o.now.mass { format!(" and keep them all to {at}") } else { String::new() };
    let fewest = o.fewest.carries();
    let mut text = if o.may_add.value >= i.add.value && i.add.value > 0.0 {
        format!("Yes, you may add {} {}{keep}", n(i.add.value), i.species.noun)
    } else if o.may_add.value >= 1.0 && i.add.value > 0.0 {
        format!("No, {} of the {}{keep}", n(o.may_add.value), n(i.add.value))
    } else if o.may_add.value >= 0.0 && i.add.value > 0.0 {
        format!("No, none of the {}", n(i.add.value))
    } else if o.may_add.value >= 1.0 {
        format!("You may add {} {}{keep}", n(o.may_add.value), i.species.noun)
    } else if o.room_today.value < 0.0 {
        format!("{} too many today: it carries {}", n(-o.room_today.value), n(today))
    } else if o.may_add.value < 0.0 && fewest < harvest {
        format!("No room for more. On the way to {at} it carries {}, and you have {}", n(fewest), n(i.count.value))
    } else if o.may_add.value < 0.0 {
        format!("No room for more. It carries {} at {at}, and you have {}", n(harvest), n(i.count.value))
    } else if i.count.value <= 0.0 {
        "It carries none".to_string()
    } else {
        "No more and no fewer: it is full".to_string()
    };
    let (a, limit, ripe) = if today <= harvest.min(fewest) {
        (&o.now, now.1, ripe)
    } else if harvest <= fewest {
        (&o.at_harvest, end.1, true)
    } else {
        (&o.fewest, o.fewest.least().1, ripe)
    };
    if i.add.value > 0.0 && o.room_today.value < 0.0 {
        text = format!("No. {text}");
    }
    text += &format!("; {}.", why(i, a, limit, ripe, o.untrusted));
    // Where there are none and may be none, nothing is enough.
    if i.all().value > 0.0 || o.may_add.value >= 1.0 {
        text += &format!(" {}.", sentence(state));
    }
    if o.untrusted && limit == Limit::Ammonia {
        text += " Few fish at first: test ammonia every day, and see Start-up for how to raise the feed.";
    }
    if let Some((t, mass)) = o.until_limit.filter(|l| l.0.value > 0.0) {
        text += &format!(
            " They reach the limit in {}{} at the soonest, at {}.",
            how_long(words, Some(t)),
            words.date(t),
            words.q(SMALL_MASS, mass)
        );
    }
    text
}

fn chart(i: &StockingIn, o: &StockingOut, words: Words) -> Option<Picture> {
    let (from, to) = (o.now.mass.value, o.at_harvest.mass.value.max(o.now.mass.value * 1.01));
    let points: Vec<Allowed> = (0..=24)
        .filter_map(|n| {
            let w = from * (to / from).powf(f64::from(n) / 24.0);
            let until = growth::reach(i.species, i.mass, MASS.of(w), &Season::steady(i.usual), Pace::Soonest);
            let age = DAYS.of(i.filter_age.value + until.map_or(0.0, |r| r.time.value));
            allowed(i, MASS.of(w), age, o.tan).ok()
        })
        .collect();
    let top = points.iter().map(|a| a.least().0.value / a.mass.value).fold(i.all().value, f64::max).max(1.0) * 1.6;
    let role = |limit| match limit {
        Limit::Space => Role::Wall,
        Limit::Oxygen => Role::Bubble,
        Limit::Ammonia => Role::Plant,
        Limit::Solids => Role::Sludge,
    };
    let series = Limit::ALL.iter().filter_map(|&limit| {
        let line: Vec<_> =
            points.iter().filter_map(|a| a.by(limit).map(|m| (a.mass.value, m.value / a.mass.value))).collect();
        // A curve that stands over the picture all the way is left out of it; one that goes out of it is cut at its edge.
        (line.iter().any(|p| p.1 < top) && line.len() > 1).then(|| Series {
            name: limit.word().into(),
            role: role(limit),
            points: line,
        })
    });
    let series: Vec<_> = series.collect();
    let n = |x: f64| words.q(COUNT, COUNT.of(x.floor()));
    let describe = format!(
        "Fish allowed by each limit as they grow from {} to {}: today {} ({}), at harvest {} ({}). There are {}.",
        words.q(SMALL_MASS, o.now.mass),
        words.q(SMALL_MASS, o.at_harvest.mass),
        n(o.now.fish(o.now.least().0)),
        o.now.least().1.word(),
        n(o.at_harvest.fish(o.at_harvest.least().0)),
        o.at_harvest.least().1.word(),
        n(i.count.value)
    );
    let marks = o.until_limit.iter().map(|(t, mass)| Mark {
        label: if t.value > 0.0 { format!("full in {}", how_long(words, Some(*t))) } else { "over today".into() },
        x: mass.value,
        y: i.all().value,
    });
    Some(Picture::Chart(Chart {
        title: "Fish allowed as they grow".into(),
        describe,
        x: Axis::new("mean mass", SMALL_MASS.0, from, to, words.system),
        y: Axis::new("fish", COUNT.0, 0.0, top, words.system),
        series,
        marks: marks.collect(),
        bands: vec![],
        brim: Some((
            i.all().value,
            format!("{} {}", if i.add.value > 0.0 { "with those to add" } else { "you have" }, n(i.all().value)),
        )),
    }))
}

fn report(i: &StockingIn, o: &StockingOut, words: Words) -> Report {
    let mut levels: Vec<Level> = Stocking::level(o).into_iter().collect();
    for limit in Limit::ALL {
        if let Some(m) = o.at_harvest.by(limit) {
            let name = format!("{}, at harvest", limit.name());
            let level = Level::upper(limit.word(), limit.name(), MASS, o.biomass_at_harvest, m);
            levels.push(Level { name: name.into(), ..level });
        }
    }
    let main = levels[0].name.clone();
    if main != HARVEST {
        levels.push(Level::upper("harvest", HARVEST, MASS, o.biomass_at_harvest, o.at_harvest.least().0));
    }
    if main != TODAY {
        levels.push(Level::upper("today", TODAY, MASS, o.biomass, o.now.least().0));
    }
    let count = |a: &Allowed, limit| match a.by(limit) {
        Some(m) => words.q(COUNT, COUNT.of(a.fish(m))),
        None => "not fed".into(),
    };
    let rows =
        Limit::ALL.iter().map(|&l| vec![l.name().to_string(), count(&o.now, l), count(&o.at_harvest, l)]).collect();
    let tables = vec![Table {
        title: "Fish allowed by each limit".into(),
        head: vec![
            "".into(),
            format!("today, {}", words.q(SMALL_MASS, o.now.mass)),
            format!("at harvest, {}", words.q(SMALL_MASS, o.at_harvest.mass)),
        ],
        rows,
    }];
    let mut notes = vec![format!(
        "{} now, {} at harvest; growers in such tanks keep up to {}.",
        words.q(STOCKING, o.density),
        words.q(STOCKING, o.density_at_harvest),
        words.q(STOCKING, o.practice.0)
    )];
    notes.push(match o.until_harvest {
        Some(t) if t.value <= 0.0 => "They are at harvest weight already.".into(),
        Some(t) => format!("Harvest weight in {}{} at the soonest.", how_long(words, Some(t)), words.date(t)),
        None => format!("At {} they will not reach harvest weight within four years.", words.q(TEMPERATURE, i.usual)),
    });
    if o.ripeness.value < 1.0 && i.filter != FilterBy::None && !o.untrusted {
        notes.push(format!("The filter carries {} of its full load today.", words.q(PERCENT, o.ripeness)));
    }
    if i.inflow == Inflow::None && [&o.now, &o.at_harvest].iter().any(|a| a.least().1 == Limit::Oxygen) {
        notes.push("Oxygen is counted from air and surface alone. Water that falls in, or comes from a bed that floods and drains, brings more: say so at “Water that flows in”.".into());
    }
    Report {
        verdict: verdict(i, o, words),
        levels,
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: chart(i, o, words).into_iter().collect(),
        tables,
        notes,
    }
}

fn cautions(i: &StockingIn, o: &StockingOut, words: Words) -> Vec<Caution> {
    let s = i.species;
    let t = |c| words.q(TEMPERATURE, c);
    let mut all = vec![];
    if hottest(i) > s.dies_above() {
        all.push(Caution::from(
            format!("{} die above {}.", sentence(s.noun), t(s.dies_above())),
            s.warmth.dies_above.source,
        ));
    } else if i.usual < s.dies_below() {
        all.push(Caution::from(
            format!("{} die below {}.", sentence(s.noun), t(s.dies_below())),
            s.warmth.dies_below.source,
        ));
    } else if hottest(i) > s.stops_above() {
        all.push(Caution::from(
            format!(
                "{} are not fed above {}: what they ate before it got so warm is counted.",
                sentence(s.noun),
                t(s.stops_above())
            ),
            s.warmth.stops_above.source,
        ));
    } else if hottest(i) < s.stops_below() {
        all.push(Caution::from(
            format!(
                "{} are not fed below {}; here even the hottest water is colder.",
                sentence(s.noun),
                t(s.stops_below())
            ),
            s.warmth.stops_below.source,
        ));
    }
    all.extend(Deadly::of_salt(i.species, i.salinity).map(|d| d.caution("there is room for")));
    if i.usual > i.hottest {
        all.push(Caution::new(
            "The usual water is given hotter than the hottest: the hotter of the two counts. Check both.",
        ));
    }
    all.extend(i.air.too_deep(words));
    if o.untrusted {
        all.push(Caution::from("What a filter takes is not counted before it has been fed for about two weeks, longer in the cold: until then a day's ammonia, none of it taken, may bring the water to half of what these fish bear.", &src::NEW_FILTER));
    }
    if i.filter != FilterBy::None && o.ripeness.value >= 1.0 {
        all.push(idle());
    }
    if o.ripeness.value < 1.0 {
        all.push(Caution::from("An unripe filter caps the stock whatever the tank holds. Raise the feed only as ammonia and nitrite stay near nothing.", &src::FILTER_RIPENING));
    }
    if !i.air.comes_out() && i.inflow == Inflow::None {
        all.push(Caution::from("Without air the surface alone feeds the fish: that carries a few fish in a large tank, and none through a warm night.", &src::QUIET_SURFACE));
    }
    if o.tan < s.tan_limit() {
        all.push(Caution::from(
            format!("At this pH ammonia nitrogen must stay below {}.", words.q(CONCENTRATION, o.tan)),
            &src::EMERSON_1975,
        ));
    }
    all.push(Caution::from(
        "Start with a third of the computed load and watch oxygen, ammonia and nitrite.",
        &src::START_SMALL,
    ));
    all.push(Caution::new(
        "Quarantine new fish; the more fish, the shorter the time when power fails: alarm and battery air pump.",
    ));
    all.extend(super::handling::too_cold(s, i.usual, words));
    all.push(Caution::from(s.permit, &biology::SPECIES_PERMITS));
    all.push(Caution::from("Food safety: no warm-blooded animals or dirty hands in the water, none of it on leaves eaten raw, rinse and chill. Local rules on eating and selling home-grown fish count.", &biology::CTAHR_FST_38));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(i: &StockingIn) -> StockingOut {
        sheet::solve::<Stocking>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
    }
    fn text(i: &StockingIn) -> Report {
        report(i, &run(i), Words::default())
    }
    fn of(id: &str) -> &'static Species {
        Species::by_id(id).unwrap_or_else(|| panic!("{id}"))
    }
    /// A ripe system.
    fn ripe() -> StockingIn {
        StockingIn { filter_age: DAYS.of(days(400.0)), ..StockingIn::default() }
    }

    /// What allows far more than there are is left out of the picture, and nothing is drawn along its edge.
    #[test]
    fn curves_are_where_they_are_or_not_at_all() {
        let i = StockingIn::default();
        let o = run(&i);
        let Some(Picture::Chart(c)) = chart(&i, &o, Words::default()) else { panic!("a chart") };
        assert!(!c.series.is_empty());
        for limit in Limit::ALL {
            let least = |a: &Allowed| a.by(limit).map_or(f64::INFINITY, |m| m.value / a.mass.value);
            let drawn = c.series.iter().find(|s| s.name == limit.word());
            assert_eq!(drawn.is_some(), least(&o.now).min(least(&o.at_harvest)) < c.y.max, "{}", limit.word());
            if let Some(last) = drawn.and_then(|s| s.points.last()) {
                assert!((last.1 / least(&o.at_harvest) - 1.0).abs() < 0.02, "{}: {}", limit.word(), last.1);
            }
        }
        assert!(c.series.len() < Limit::ALL.len(), "ammonia allows ten times as many");
    }

    /// Mississippi State University: a quarter pound a gallon is 29.96 kg/m3. FAO: 10 to 20 kg/m3 without a solids filter, start at 10.
    #[test]
    fn space_is_what_growers_keep() {
        let quarter = 0.25 * 0.453_592_37 / 3.785_411_784e-3;
        assert!((quarter - 29.96f64).abs() < 0.01 && (DENSITY_DRAWN.value / quarter - 1.0).abs() < 0.01);
        let space = |i: &StockingIn| run(i).now.space.value;
        let drawn = StockingIn { solids: Solids::Drawn, ..ripe() };
        assert!((space(&drawn) - 30.0).abs() < 1e-9 && (space(&ripe()) - 20.0).abs() < 1e-9);
        let still = StockingIn { air: Air { mode: AirMode::None, ..Air::default() }, ..drawn };
        assert!((space(&still) - 10.0).abs() < 1e-9);
        // Density: 40 fish of 500 g in 1000 L are 20 kg/m3.
        let o = run(&StockingIn { count: COUNT.of(40.0), ..ripe() });
        assert!((o.density_at_harvest.value - 20.0).abs() < 1e-9);
    }

    /// Water that falls in brings oxygen, the more the more of it; what is not said counts for nothing. A settler bears on the solids alone.
    #[test]
    fn what_flows_in_and_a_settler_count_where_they_are_said() {
        let at = |inflow, flow: f64| StockingIn {
            inflow,
            flow: FLOW.of(l_h(flow)),
            fall: Fall::Broken,
            inlet_oxygen: CONCENTRATION.of(mg_l(1.0)),
            ..ripe()
        };
        let oxygen = |i: &StockingIn| run(i).now.oxygen.value;
        let bare = oxygen(&ripe());
        assert_eq!(oxygen(&at(Inflow::None, 9000.0)), bare);
        assert!(oxygen(&at(Inflow::Loop, 500.0)) > bare * 1.01);
        assert!(oxygen(&at(Inflow::Loop, 2000.0)) > oxygen(&at(Inflow::Loop, 500.0)));
        assert!(oxygen(&at(Inflow::Saturated, 500.0)) > oxygen(&at(Inflow::Loop, 500.0)));
        assert!(
            oxygen(&StockingIn { fall: Fall::None, ..at(Inflow::Given, 500.0) }) < bare,
            "a poor well takes oxygen"
        );
        let apart = StockingIn { film: Filter::Apart, bed: BedKind::Drained, ..at(Inflow::Loop, 2000.0) };
        assert!(oxygen(&apart) > oxygen(&at(Inflow::Loop, 2000.0)));
        let noted = |i: &StockingIn| text(i).notes.iter().any(|n| n.contains("surface alone"));
        let still = |inflow| StockingIn { air: Air { mode: AirMode::None, ..Air::default() }, ..at(inflow, 100.0) };
        assert!(noted(&still(Inflow::None)) && !noted(&still(Inflow::Loop)));
        let rafts = StockingIn { filter: FilterBy::Raft, ..ripe() };
        let (without, with) = (run(&rafts), run(&StockingIn { settler: SettlerBy::Loop, ..rafts.clone() }));
        assert!(with.now.solids > without.now.solids);
        assert_eq!(Allowed { solids: None, ..with.now }, Allowed { solids: None, ..without.now });
    }

    /// Common practice, no source: 20 to 25 fish of 500 g for 500 L of media bed.
    #[test]
    fn solids_of_a_media_bed_are_near_the_trades_rule() {
        let i = StockingIn {
            media_volume: VOLUME.of(l(500.0)),
            volume: VOLUME.of(l(500.0)),
            solids: Solids::Left,
            harvest: SMALL_MASS.of(g(500.0)),
            ..ripe()
        };
        let o = run(&i);
        let fish = o.at_harvest.fish(o.at_harvest.solids.expect("fed"));
        assert!((18.0..=40.0).contains(&fish), "{fish}");
    }

    /// Solids drawn off every day: what runs so is not called too much. Rakocy 2007: rafts take 60 to 100 g of feed a day for each m2 (here the
    /// 214 m2 and 31.2 m3 of his system), and the rule stays within. Mississippi State University: beginners keep 30 kg/m3 with the solids
    /// drawn and a filter apart, which is 300 g of feed a day for each m3 at 1 % (FAO 589: 1 to 2 %).
    #[test]
    fn solids_that_are_drawn_daily_are_no_more_than_is_published() {
        let (rafts, tanks, media) = (AREA.of(214.0), VOLUME.of(31.2), VOLUME.of(0.0));
        let grams = |b: Bears, s| b.feed(s).value * 8.64e7;
        let raft = Bears { media, rafts, tanks, filter: true };
        let drawn = grams(raft, Solids::Drawn) / 214.0;
        assert!((60.0..=100.0).contains(&drawn), "{drawn}");
        assert!(grams(raft, Solids::Left) / 214.0 < 30.0, "no such rafts without taking solids out");
        let bare = Bears { media, rafts: AREA.of(0.0), tanks: VOLUME.of(1.0), filter: true };
        assert!((grams(bare, Solids::Drawn) - 0.01 * DENSITY_DRAWN.value * 1000.0).abs() < 1e-6);
        // Never less for taking more out, nor for a larger bed or tank.
        for b in [raft, bare, Bears { filter: false, ..bare }, Bears { media: VOLUME.of(1.0), ..raft }] {
            let [left, settled, drawn] = [Solids::Left, Solids::Settled, Solids::Drawn].map(|s| grams(b, s));
            assert!(left < settled && settled < drawn, "{b:?}");
        }
        let apart = StockingIn {
            filter: FilterBy::Area,
            filter_area: AREA.of(500.0),
            solids: Solids::Drawn,
            count: COUNT.of(50.0),
            hottest: TEMPERATURE.of(celsius(28.0)),
            usual: TEMPERATURE.of(celsius(27.0)),
            ..ripe()
        };
        let o = run(&apart);
        assert!(o.at_harvest.fish(o.at_harvest.solids.expect("fed")) >= 50.0, "25 kg/m3 of tilapia");
        // Rafts and a filter beside them carry the ammonia of both.
        let both = StockingIn { filter: FilterBy::RaftAndArea, raft_area: AREA.of(4.0), ..apart.clone() };
        assert!(filter_area(&both) > filter_area(&apart));
    }

    #[test]
    fn an_unripe_filter_caps_it() {
        let at = |age: f64| StockingIn {
            filter_age: DAYS.of(days(age)),
            media_volume: VOLUME.of(l(100.0)),
            ..StockingIn::default()
        };
        let (new, young, old) = (run(&at(0.0)), run(&at(28.0)), run(&at(400.0)));
        assert!(new.now.ammonia < young.now.ammonia && young.now.ammonia < old.now.ammonia);
        // A new one carries a twentieth, and no more than the water bears alone.
        let small = |age: f64| StockingIn { media_volume: VOLUME.of(l(5.0)), ..at(age) };
        let [first, last] = [0.0, 400.0].map(|age| run(&small(age)).now.ammonia.expect("fed").value);
        assert!((first * 20.0 / last - 1.0).abs() < 1e-9, "{first} {last}");
        assert!(new.now.ammonia.expect("fed").value * 20.0 < old.now.ammonia.expect("fed").value);
        assert_eq!(new.now.least().1, Limit::Ammonia);
        assert!(new.room_today < old.room_today);
        // It ripens on the way to harvest.
        assert!(new.at_harvest.ammonia.expect("fed").value > 10.0 * new.now.ammonia.expect("fed").value * 0.5);
        let air = Air { flow: AIR_FLOW.of(l_min(60.0)), ..Air::default() };
        let with = |age| {
            text(&StockingIn {
                count: COUNT.of(40.0),
                media_volume: VOLUME.of(l(20.0)),
                harvest: SMALL_MASS.of(g(100.0)),
                solids: Solids::Drawn,
                air: air.clone(),
                ..at(age)
            })
        };
        assert!(with(15.0).verdict.contains("not ripe"), "{}", with(15.0).verdict);
        let r = text(&StockingIn { count: COUNT.of(12.0), air: air.clone(), ..at(0.0) });
        assert!(
            r.verdict.contains("too new to be counted on") && r.verdict.contains("Few fish at first"),
            "{}",
            r.verdict
        );
        assert!(r.repairs.iter().any(|r| r.title.starts_with("Wait")), "{:?}", r.repairs);
        assert!(r.cautions.iter().any(|c| c.text.contains("unripe filter")));
    }

    #[test]
    fn without_air_few_fish_live() {
        let still = StockingIn { air: Air { mode: AirMode::None, ..Air::default() }, ..ripe() };
        let (o, aired) = (run(&still), run(&ripe()));
        assert_eq!(o.at_harvest.least().1, Limit::Oxygen);
        assert!(o.at_harvest.oxygen.value < 0.2 * aired.at_harvest.oxygen.value);
        let r = text(&still);
        assert!(r.repairs.iter().any(|r| r.edits.iter().any(|e| e.path == "air")), "{:?}", r.repairs);
        assert!(r.verdict.contains("oxygen is the limit, without air"), "{}", r.verdict);
    }

    #[test]
    fn the_day_the_limit_is_reached() {
        let i = StockingIn { count: COUNT.of(35.0), ..ripe() };
        let o = run(&i);
        let (t, mass) = o.until_limit.expect("they outgrow it");
        assert!(t.value > 0.0 && mass > i.mass && mass < i.harvest && Some(t) < o.until_harvest, "{t:?} {mass:?}");
        // On that day they fill it, within the fineness of the search.
        let then = allowed(&i, mass, DAYS.of(i.filter_age.value + t.value), o.tan).expect("solves").least().0;
        assert!((then.value / (mass.value * 35.0) - 1.0).abs() < 0.02, "{then:?}");
        assert!(o.may_add.value < 0.0);
        let r = text(&i);
        assert!(r.verdict.contains("reach the limit in"), "{}", r.verdict);
        assert!(
            r.repairs.iter().any(|r| r.title.starts_with("Harvest at"))
                && r.repairs.iter().any(|r| r.title.starts_with("Keep"))
        );
        // Fewer fish never reach it.
        assert!(run(&StockingIn { count: COUNT.of(3.0), ..ripe() }).until_limit.is_none());
    }

    #[test]
    fn may_add_what_stays_to_harvest() {
        let i = StockingIn { count: COUNT.of(4.0), ..ripe() };
        let o = run(&i);
        let more = o.may_add.value;
        assert!(more >= 1.0 && o.room_today.value >= more);
        let filled = run(&StockingIn { count: COUNT.of(4.0 + more), ..ripe() });
        assert!(filled.may_add.value == 0.0 && filled.until_limit.is_none());
        assert!(run(&StockingIn { count: COUNT.of(5.0 + more), ..ripe() }).may_add.value < 0.0);
        assert!(text(&i).verdict.contains(&format!("You may add {more}")), "{}", text(&i).verdict);
    }

    #[test]
    fn a_high_ph_makes_ammonia_bind() {
        let at = |ph: f64| StockingIn { ph: RATIO.of(ph), media_volume: VOLUME.of(l(60.0)), ..ripe() };
        let (mild, high) = (run(&at(7.0)), run(&at(8.8)));
        assert!(high.tan < mild.tan && high.now.ammonia < mild.now.ammonia);
        assert!(text(&at(8.8)).cautions.iter().any(|c| c.text.contains("At this pH")));
    }

    #[test]
    fn every_species_answers() {
        for id in ["tilapia", "blue_tilapia", "catfish", "carp", "trout", "barramundi", "jade_perch"] {
            let s = of(id);
            let i =
                StockingIn { species: s, hottest: s.well_to(), usual: s.well_from(), harvest: s.harvest(), ..ripe() };
            let o = run(&i);
            assert!(o.until_harvest.is_some() && o.at_harvest.least().0.value > 0.5, "{id} {o:?}");
            assert!(o.at_harvest.least().0.value < 40.0, "{id}");
            assert!(!text(&i).verdict.is_empty());
        }
    }

    #[test]
    fn solve_is_cheap() {
        let i = StockingIn { count: COUNT.of(35.0), ..ripe() };
        let start = std::time::Instant::now();
        let n = 200;
        for _ in 0..n {
            let _ = std::hint::black_box(Stocking::solve(std::hint::black_box(&i), &mut Working::none()));
        }
        let each = start.elapsed().as_secs_f64() / f64::from(n);
        println!("stocking: {:.1} us", each * 1e6);
        assert!(each < 5e-3, "{each}");
    }

    #[test]
    fn hotter_water_never_carries_more() {
        for s in &SPECIES {
            for usual in [s.well_from().value, s.well_to().value] {
                let mut last: Option<Allowed> = None;
                let mut t = usual;
                while t <= s.dies_above().value {
                    let i = StockingIn {
                        species: s,
                        usual: TEMPERATURE.of(usual),
                        hottest: TEMPERATURE.of(t),
                        harvest: s.harvest(),
                        ..ripe()
                    };
                    let a = run(&i).at_harvest;
                    if let Some(last) = last {
                        for limit in Limit::ALL {
                            let (now, before) = (a.by(limit).expect("fed"), last.by(limit).expect("fed"));
                            assert!(now.value <= before.value * 1.02, "{} {limit:?} {t}", s.id);
                        }
                    }
                    last = Some(a);
                    t += 0.5;
                }
            }
        }
    }

    /// What a filter of no age takes is not known. By hand: tilapia bear 0.05 mg/L un-ionised, at pH 8 and 28 °C (6.55 %) 0.763 mg/L in all; half of
    /// that in 1000 L is 0.38 g a day, of 13 g of feed.
    #[test]
    fn a_bare_filter_takes_few_fish() {
        let new = |age: f64, count: f64| StockingIn {
            filter_age: DAYS.of(days(age)),
            count: COUNT.of(count),
            air: Air { flow: AIR_FLOW.of(l_min(150.0)), ..Air::default() },
            hottest: TEMPERATURE.of(celsius(28.0)),
            usual: TEMPERATURE.of(celsius(28.0)),
            ph: RATIO.of(8.0),
            ..StockingIn::default()
        };
        let o = run(&new(0.0, 0.0));
        let feed = feeding::ration(o_species(), o.now.mass, TEMPERATURE.of(celsius(28.0))).value;
        let fed = o.now.ammonia.expect("fed").value * feed / g_day(1.0);
        assert!((12.0..14.0).contains(&fed), "{fed}");
        let more = o.may_add.value;
        assert!((1.0..=6.0).contains(&more), "{more}");
        // They stay within it until the filter is counted on, and beyond.
        let with = run(&new(0.0, more));
        assert!(with.until_limit.is_none() && with.may_add.value == 0.0, "{with:?}");
        assert!(run(&new(0.0, more + 1.0)).may_add.value < 0.0);
        assert!(run(&new(15.0, 0.0)).may_add.value > 2.0 * more);
        let r = text(&new(0.0, 0.0));
        assert!(
            r.verdict.contains("too new to be counted on") && r.verdict.contains("test ammonia every day"),
            "{}",
            r.verdict
        );
        assert!(r.cautions.iter().any(|c| c.text.contains("about two weeks")));
        assert!(text(&new(15.0, 0.0)).cautions.iter().all(|c| !c.text.contains("about two weeks")));
    }
    fn o_species() -> &'static Species {
        StockingIn::default().species
    }

    /// What may be added may stay: nothing on the way to harvest takes it back.
    #[test]
    fn what_may_be_added_reaches_no_limit_on_the_way() {
        for id in ["tilapia", "blue_tilapia", "catfish", "barramundi"] {
            for age in [0.0, 7.0, 16.0, 20.0, 25.0, 40.0] {
                for media in [30.0, 100.0, 1000.0] {
                    let at = |count: f64| StockingIn {
                        species: of(id),
                        filter_age: DAYS.of(days(age)),
                        media_volume: VOLUME.of(l(media)),
                        count: COUNT.of(count),
                        ..StockingIn::default()
                    };
                    let more = run(&at(0.0)).may_add.value;
                    let o = run(&at(more));
                    assert!(o.until_limit.is_none() && o.may_add.value == 0.0, "{id} {age} {media}: {more} {o:?}");
                    assert_ne!(Stocking::level(&o).map(|l| l.state()), Some(State::Over), "{id} {age} {media}");
                    let over = run(&at(more + 1.0));
                    assert!(over.may_add.value < 0.0);
                    assert_eq!(Stocking::level(&over).map(|l| l.state()), Some(State::Over), "{id} {age} {media}");
                }
            }
        }
        let grown = StockingIn { count: COUNT.of(0.0), mass: SMALL_MASS.of(g(500.0)), ..ripe() };
        assert!(!text(&grown).verdict.contains("keep them all"), "{}", text(&grown).verdict);
    }

    #[test]
    fn salt_water_carries_less() {
        let at = |salt: f64| StockingIn {
            species: of("barramundi"),
            hottest: TEMPERATURE.of(celsius(31.0)),
            salinity: SALINITY.of(salt),
            ..ripe()
        };
        let (fresh, sea) = (run(&at(0.0)), run(&at(35.0)));
        assert!(sea.at_harvest.oxygen < fresh.at_harvest.oxygen * RATIO.of(0.75));
        // As the oxygen calculator has it.
        let kg = Oxygen::solve(&breathing(&at(35.0), at(35.0).harvest), &mut Working::none()).expect("solves").carries;
        assert_eq!(kg, sea.at_harvest.oxygen);
        // A little salt leaves more of the ammonia un-ionised in warm water, as the page on ammonia has it.
        let kept = |salt| tan_to_keep(&StockingIn { ph: RATIO.of(8.6), ..at(salt) }).expect("a share").value;
        assert!(kept(5.0) < 0.97 * kept(0.0));
    }

    /// Where there is no fish and may be none, the level says so too, and what would help is offered.
    #[test]
    fn room_for_none_is_not_enough() {
        let i = StockingIn { count: COUNT.of(0.0), filter: FilterBy::None, ..ripe() };
        let r = text(&i);
        assert!(r.verdict.starts_with("It carries none") && r.levels[0].state() == State::Over, "{r:?}");
        let bed = r.repairs.iter().find(|r| r.title.contains("media bed")).expect("a bed");
        assert!(bed.level.state() != State::Over, "{bed:?}");
        // Room for some, and none there: enough.
        let empty = Stocking::level(&run(&StockingIn { filter: FilterBy::Media, ..i })).expect("a level");
        assert!(empty.demand.high == 0.0 && empty.state() == State::Enough, "{empty:?}");
    }

    #[test]
    fn too_many_fish_are_lessened_whether_more_come_or_not() {
        let keeps = |count: f64, add: f64| {
            let i = StockingIn { count: COUNT.of(count), add: COUNT.of(add), ..ripe() };
            text(&i).repairs.into_iter().find(|r| r.title.contains("instead of")).expect("fewer")
        };
        let (few, more) = (keeps(60.0, 0.0), keeps(60.0, 5.0));
        assert!(few.title.starts_with("Keep ") && more.title.starts_with("Add none, and keep "), "{more:?}");
        assert!(few.level.state() == State::Enough && more.level.state() == State::Enough, "{more:?}");
        assert!(keeps(1.0, 200.0).title.starts_with("Add "));
    }
}
