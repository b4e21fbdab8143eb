//! Stocking density: how many fish space, oxygen, the filter and the solids allow, today and at harvest, and when the limit is reached.

mod report;

use super::air::{self, Air, AirMode};
use super::ammonia::idle;
use super::deadly::Deadly;
use super::form::*;
use super::handling;
use super::mend::{self, round_up};
use super::outcome::*;
use super::oxygen::{self, BedKind, Filter, FishGroup, Inlet, Oxygen, OxygenIn, how_long, worth_it};
use super::sheet::{self, Calculator};
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::sources::{Coef, Source, biology, climate, oxygen as src};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Mark, Picture, Role, Series};
use crate::science::aeration::Fall;
use crate::science::growth::{self, Pace, Season};
use crate::science::respiration::{Meals, Solids};
use crate::science::{ammonia, brackish, feeding, startup};
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

/// What the filter has lived on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LivedOn {
    /// The fish that are in it now.
    #[default]
    Fish,
    /// A known feed.
    Feed,
}
crate::choices!(LivedOn:
    Fish = "fish", "The fish in it now", "";
    Feed = "feed", "So much feed a day", "more fish until now, or ammonia that was dosed";
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
    /// With what.
    pub lived: LivedOn,
    /// Feed a day until now.
    pub lived_feed: MassRate,
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
            lived: LivedOn::Fish,
            lived_feed: FEED_RATE.of(g_day(30.0)),
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
        num(f, &count.help("0 if you are planning."), &mut self.count);
        let add = Field::new(37, "add", "Fish to add", COUNT).range(0.0, 20_000.0).advised(0.0, 3000.0);
        num(f, &add.help("Of the same mean mass. 0 asks how many may be added."), &mut self.add);
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
        num(f, &age.help("Since fish or ammonia first fed it. From 0 again after three weeks without, or once dry. A young filter carries little."), &mut self.filter_age);
        let lived = Pick::new(38, "lived", "The filter has lived on");
        pick(f, &lived.help("It carries what it is used to, and a little more each week.").detail(), &mut self.lived);
        group(f, &Group::when("lived", "feed"), self.lived == LivedOn::Feed, &mut |f| {
            let feed = Field::new(39, "lived_feed", "Feed a day until now", FEED_RATE)
                .range(0.0, g_day(1e6))
                .advised(0.0, g_day(20e3))
                .help("Ammonia nitrogen that was dosed counts as 34 times as much feed.")
                .detail();
            num(f, &feed, &mut self.lived_feed);
        });
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
            let ph = Field::new(16, "ph", "pH", RATIO).range(4.5, 10.0).advised(6.0, 8.5).likely(6.6, 8.0).detail();
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
    /// Feed a day that the filter has lived on: no less than the fish in it eat.
    fn lived_on(&self) -> MassRate {
        let eaten = feeding::feed(feeding::ration_before(self.species, self.mass, self.usual), self.count, self.mass);
        if self.lived == LivedOn::Feed { eaten.max(self.lived_feed) } else { eaten }
    }
    /// Has the filter nothing to live on? Then its days count for nothing.
    fn unfed(&self) -> bool {
        self.count.value <= 0.0 && self.lived_on().value <= 0.0
    }
    /// The age of the filter, as far as it counts.
    fn age(&self) -> Time {
        if self.unfed() { DAYS.of(0.0) } else { self.filter_age }
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

/// What a filter may be given now, however old it is: it has grown on what it was fed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Used {
    /// Feed a day that it has lived on.
    pub lived: MassRate,
    /// The most of this week.
    pub feed: MassRate,
    /// Fish that this feeds.
    pub mass: Mass,
    /// What the water bears besides, with a third of it changed every day.
    alone: MassRate,
}

impl Used {
    /// 1.3 times what it has lived on ([`startup::WEEKLY`]), or that and what the water bears alone, whichever is more. None where there is no filter
    /// that has lived on anything, or no feed.
    fn of(i: &StockingIn, tan: MassConcentration) -> Option<Self> {
        let ration = feeding::ration_before(i.species, i.mass, i.usual);
        if i.filter == FilterBy::None || i.unfed() || ration.value <= 0.0 {
            return None;
        }
        let alone = ammonia::untaken_for_long(tan, CONCENTRATION.of(0.0), i.volume);
        let alone = ammonia::feed_for_tan(alone, i.species.protein());
        let lived = i.lived_on();
        let feed = (lived * RATIO.of(startup::WEEKLY.value)).max(lived + alone);
        Some(Self { lived, feed, mass: MASS.of(feed.value / ration.value), alone })
    }
    /// Does it count on water being changed?
    fn changes(&self) -> bool {
        self.feed.value > self.lived.value * startup::WEEKLY.value * (1.0 + 1e-9)
    }
    /// Weeks until so many times as many fish as it takes now may be in it, each week 1.3 times as many.
    fn weeks(times: f64) -> f64 {
        (times.ln() / startup::WEEKLY.value.ln() - 1e-9).ceil().max(1.0)
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
    /// Of them those that are in it.
    had: Mass,
    /// Why none may come now, whatever room there is.
    unfit: Option<Unfit>,
    /// Fish that may be added and stay to harvest; below zero, that must go.
    pub may_add: Ratio,
    /// Fish that today's limits would still take.
    pub room_today: Ratio,
    /// Where on the way to harvest the fewest are allowed.
    pub fewest: Allowed,
    /// The filter is too new to be counted on.
    pub untrusted: bool,
    /// What the filter may be given now by what it has lived on.
    pub used: Option<Used>,
    /// Fish that may come in all and the weeks until then, where the filter is used to less.
    pub later: Option<(Ratio, Ratio)>,
    /// Fish are to come in.
    adds: bool,
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
        .map_err(|e| vec![FieldError::new("ph", e.to_string(), "4.5 to 10")])?;
    Ok(ammonia::tan_borne(i.species, share))
}

/// After so long what the filter takes is counted.
fn counted_after(t: ThermodynamicTemperature) -> Time {
    ammonia::counted_after(ammonia::ripe_after(t))
}

/// What the water bears alone, what the ripe filter takes in water of `t`, and the share of that which it surely carries: it ripens in the usual
/// water.
fn ripeness(
    i: &StockingIn,
    age: Time,
    t: ThermodynamicTemperature,
    tan: MassConcentration,
) -> (MassRate, MassRate, Ratio) {
    let alone = ammonia::untaken_for_long(tan, CONCENTRATION.of(0.0), i.volume);
    let full = ammonia::filter_capacity(AREA.of(filter_area(i)), t, tan, RATIO.of(1.0), i.ph);
    (alone.min(full), full, ammonia::ripeness(age, ammonia::ripe_after(i.usual), alone, full))
}

/// In how many waters from the usual to the hottest the feed is looked at.
const WATERS: u32 = 8;

fn allowed(i: &StockingIn, mass: Mass, age: Time, tan: MassConcentration) -> Result<Allowed, Vec<FieldError>> {
    let oxygen = Oxygen::solve(&breathing(i, mass), &mut Working::none())?.carries;
    // Feed, and with it ammonia and solids, in every water from the usual to the hottest: the least counts.
    let mut fed = [None, None];
    let kept = solids_feed(i);
    for n in 0..=WATERS {
        let t = TEMPERATURE.of(i.usual.value + (i.hottest.value - i.usual.value) * f64::from(n) / f64::from(WATERS));
        let ration = feeding::ration_before(i.species, mass, t).value;
        if ration > 0.0 {
            let (_, full, ripe) = ripeness(i, age, t, tan);
            let taken = full * ripe;
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
    let at = |t: f64, w: f64| allowed(i, MASS.of(w), DAYS.of(i.age().value + t), tan);
    let count = i.all().value;
    let over = |a: &Allowed| a.least().0.value < count * a.mass.value * (1.0 - 1e-9);
    let course =
        growth::course(i.species, i.mass, i.harvest, &Season::steady(i.usual), Pace::Soonest, growth::horizon());
    let stride = course.len().div_ceil(LOOKS).max(1);
    let counts = counted_after(i.usual).value;
    let mut looks: Vec<(f64, f64)> = vec![];
    for (n, (t, w)) in course.iter().enumerate() {
        // The last day on which a new filter is not counted on, too.
        let day = (counts - i.age().value) * (1.0 - 1e-9);
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
const USED: &str = "Fish, by what the filter is used to";

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
        let now = allowed(i, i.mass, i.age(), tan)?;
        let harvest = if i.harvest > i.mass { i.harvest } else { i.mass };
        let reached =
            growth::reach(i.species, i.mass, harvest, &Season::steady(i.usual), Pace::Soonest).map(|r| r.time);
        let then = DAYS.of(i.age().value + reached.unwrap_or(DAYS.of(0.0)).value);
        let at_harvest = allowed(i, harvest, then, tan)?;
        let way = way(&StockingIn { harvest, ..i.clone() }, tan)?;
        let practice = practice(&i.air, i.solids);
        let room_today = now.carries() - i.count.value;
        let stay = at_harvest.carries().min(way.fewest.carries()) - i.count.value;
        // In water that kills them there is room for none, whatever it holds.
        let of = |t, water| Deadly::of(i.species, t).map(|d| (d, water));
        let salty = || Deadly::of_salt(i.species, i.salinity).map(|d| (d, USUAL));
        let ph = || Deadly::of_ph(i.species, i.ph).map(|d| (d, USUAL));
        let deadly = of(i.hottest, HOTTEST).or_else(|| of(i.usual, USUAL)).or_else(salty).or_else(ph);
        let most = if deadly.is_some() { -i.count.value } else { f64::INFINITY };
        // Ripe for what it was fed is not ripe for many times that.
        let used = Used::of(i, tan);
        let used_room = used.map_or(f64::INFINITY, |u| (now.fish(u.mass) - i.count.value).max(0.0));
        // Nor may any come in water that they must not be netted in, or are not fed in for its heat.
        let unfit = Unfit::of(i);
        let comes = if unfit.is_some() { most.min(0.0) } else { most };
        let rest = room_today.min(stay).min(comes);
        let rest = if i.add.value > 0.0 { rest.min(i.add.value) } else { rest };
        let later = used.filter(|u| rest > used_room && u.mass.value > 0.0).map(|u| {
            let times = i.mass.value * (i.count.value + rest) / u.mass.value;
            (COUNT.of(rest), COUNT.of(Used::weeks(times)))
        });
        let out = StockingOut {
            biomass: i.mass * i.all(),
            had: i.mass * i.count,
            biomass_at_harvest: harvest * i.all(),
            density: STOCKING.of(i.mass.value * i.all().value / i.volume.value),
            density_at_harvest: STOCKING.of(harvest.value * i.all().value / i.volume.value),
            now,
            at_harvest,
            practice: (STOCKING.of(practice.value), practice.source),
            ripeness: ripeness(i, i.age(), i.usual, tan).2,
            tan,
            until_harvest: reached,
            until_limit: way.limit,
            fewest: way.fewest,
            untrusted: i.filter != FilterBy::None && i.age() < counted_after(i.usual),
            used,
            later,
            adds: i.add.value > 0.0,
            may_add: COUNT.of(room_today.min(stay).min(used_room).min(comes)),
            room_today: COUNT.of(room_today.min(used_room).min(most)),
            deadly,
            unfit,
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
        let by_used = o.used.map(|u| COUNT.of(o.now.fish(u.mass)));
        let today = allowed(&o.now);
        out(s, "allowed", "Fish allowed today", COUNT, by_used.map_or(today, |n| today.min(n)));
        out(s, "allowed_at_harvest", "Fish allowed at harvest", COUNT, allowed(&o.at_harvest));
        let count = |a: &Allowed, limit| a.by(limit).map(|m| COUNT.of(a.fish(m)));
        out_opt(s, "by_space", "Fish today, by space", COUNT, count(&o.now, Limit::Space));
        out_opt(s, "by_oxygen", "Fish today, by oxygen", COUNT, count(&o.now, Limit::Oxygen));
        out_opt(s, "by_ammonia", "Fish today, by the filter", COUNT, count(&o.now, Limit::Ammonia));
        out_opt(s, "by_solids", "Fish today, by solids", COUNT, count(&o.now, Limit::Solids));
        out_opt(s, "by_used", "Fish today, by what the filter is used to", COUNT, by_used);
        out_opt(s, "harvest_by_space", "Fish at harvest, by space", COUNT, count(&o.at_harvest, Limit::Space));
        out_opt(s, "harvest_by_oxygen", "Fish at harvest, by oxygen", COUNT, count(&o.at_harvest, Limit::Oxygen));
        out_opt(s, "harvest_by_ammonia", "Fish at harvest, by the filter", COUNT, count(&o.at_harvest, Limit::Ammonia));
        out_opt(s, "harvest_by_solids", "Fish at harvest, by solids", COUNT, count(&o.at_harvest, Limit::Solids));
        out(s, "may_add", "May be added now and stay to harvest", COUNT, COUNT.of(o.may_add.value.max(0.0)));
        out(s, "too_many", "Too many", COUNT, COUNT.of((-o.may_add.value).max(0.0)));
        out(s, "room_today", "Room today", COUNT, COUNT.of(o.room_today.value.max(0.0)));
        out_opt(s, "later", "May be added in all, week by week", COUNT, o.later.map(|l| l.0));
        out_opt(s, "weeks", "Weeks until they may all be in it", COUNT, o.later.map(|l| l.1));
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
        if let Some(unfit) = o.unfit.filter(|_| o.adds) {
            let fish = o.biomass - o.had;
            return Some(Level::upper("stocking", unfit.level(), MASS, fish, MASS.of(0.0)));
        }
        // Their number is the same all the way. Where there is none and not one may be added, it is asked of one.
        let none = o.biomass.value <= 0.0 && o.may_add.value < 1.0;
        let count = if none { 1.0 } else { o.biomass.value / o.now.mass.value };
        let level = |name, a: &Allowed| Level::upper("stocking", name, MASS, a.mass * count, a.least().0);
        let (today, harvest) = (level(TODAY, &o.now), level(HARVEST, &o.at_harvest));
        let fullest = if today.fullness() > harvest.fullness() { today } else { harvest };
        let way = level(ON_THE_WAY, &o.fewest);
        let fullest = if way.fullness() > fullest.fullness() * (1.0 + 1e-6) { way } else { fullest };
        // Those that are in it are what it is used to.
        let used = o.used.filter(|_| o.adds).map(|u| Level::upper("stocking", USED, MASS, o.biomass, u.mass));
        Some(used.filter(|u| u.fullness() > fullest.fullness() * (1.0 + 1e-6)).unwrap_or(fullest))
    }

    fn cautions(i: &StockingIn, o: &StockingOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &StockingIn, o: &StockingOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// Why no fish may come, whatever the tank holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unfit {
    /// Netted in water as cold, many die.
    Cold,
    /// So hot that they are not fed.
    Hot,
}

impl Unfit {
    fn of(i: &StockingIn) -> Option<Self> {
        if handling::is_too_cold(i.species, i.usual) {
            Some(Self::Cold)
        } else {
            handling::is_too_hot(i.species, i.usual).then_some(Self::Hot)
        }
    }
    const fn level(self) -> &'static str {
        match self {
            Self::Cold => "Fish to add in water too cold to net them",
            Self::Hot => "Fish to add in water too hot to feed them",
        }
    }
    const fn why(self) -> &'static str {
        match self {
            Self::Cold => "it is too cold to net them, and many die of disease in the days after",
            Self::Hot => "it is too hot for them to be fed, and netted in it many die",
        }
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
    let (alone, full, ripe) = ripeness(i, i.age(), i.usual, o.tan);
    // Without a filter nothing ripens.
    if full.value > 0.0 {
        w.step(|| {
            let (age, ripens) = (i.age(), ammonia::ripe_after(i.usual));
            let with = [
                term("alone", FEED_RATE, alone),
                term("full", FEED_RATE, full),
                term("age", DAYS, age),
                term("after", DAYS, ripens),
                term("counted", DAYS, counted_after(i.usual)),
            ];
            Step::new(
                "Ripeness of the filter, in the usual water",
                "ripe = (alone/full)^min(1, max(0, (after - age)/(after - counted))), alone what the water bears without it, after and counted the days after which it is ripe and counted on",
                &with,
                term("ripe", PERCENT, ripe),
                &src::NEW_FILTER,
            )
        });
    }
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
            let with = [
                term("T", TEMPERATURE, t),
                term("A", AREA, area),
                term("ripe", PERCENT, ripeness(i, a.age, t, o.tan).2),
                term("p", PERCENT, i.species.protein()),
                term("ration", DAILY_SHARE, feeding::ration_before(i.species, a.mass, t)),
            ];
            Step::new(name, "B = r A ripe/(0.092 p ration)", &with, m("B", b), &src::TAN_PER_PROTEIN)
        });
    }
    if let Some(u) = o.used {
        w.step(|| {
            let with = [
                term("F", FEED_RATE, u.lived),
                term("alone", FEED_RATE, u.alone),
                term("ration", DAILY_SHARE, feeding::ration_before(i.species, i.mass, i.usual)),
            ];
            let equation =
                "B = max(1.3 F, F + alone)/ration, F the feed that it has lived on, alone what the water bears besides";
            Step::new("What the filter is used to, today", equation, &with, m("B", u.mass), &climate::WEEKLY_RISE)
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

#[cfg(test)]
mod tests;
