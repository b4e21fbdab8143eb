//! Oxygen demand: what fish, nitrifiers and solids breathe, what comes in, where the oxygen settles, and how long it lasts when something stops.

mod report;
mod working;

pub(crate) use report::{how_long, storm, worth_it};

use super::air::{self, Air, AirGain, AirMode, InWater};
use super::deadly::Deadly;
use super::form::*;
use super::handling;
use super::mend::{self, round_down, round_up};
use super::outcome::*;
use super::sheet::{self, Calculator};
use crate::catalog::sources::{Coef, biology, oxygen as src, waterways};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Band, Chart, Mark, Picture, Role, Series};
use crate::science::aeration::{self, Fall};
use crate::science::oxygen_balance::{Inflow, Loop, Supply};
use crate::science::respiration::{self, DailyMean, Governs, Meals, Regression, Solids};
use crate::science::round::Returns;
use crate::science::{ammonia, feeding, oxygen_saturation as saturation, water};
use crate::units::{kinds::*, si::*, *};

// ---- inputs ----

/// How a group of fish is entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FishBy {
    /// Weight in all.
    #[default]
    Weight,
    /// So many fish.
    Number,
}
crate::choices!(FishBy:
    Weight = "weight", "Weight in all", "";
    Number = "number", "Number of fish", "";
);

/// Fish of one species and about one size.
#[derive(Debug, Clone)]
pub struct FishGroup {
    /// Species.
    pub species: &'static Species,
    /// How they are entered.
    pub by: FishBy,
    /// Weight in all, if entered so.
    pub biomass: Mass,
    /// How many, if entered so.
    pub count: Ratio,
    /// Mean mass of one.
    pub mass: Mass,
}

impl Default for FishGroup {
    fn default() -> Self {
        Self {
            species: &SPECIES[0],
            by: FishBy::Weight,
            biomass: MASS.of(8.0),
            count: COUNT.of(30.0),
            mass: SMALL_MASS.of(g(250.0)),
        }
    }
}

impl FishGroup {
    /// So many fish of a mean mass.
    pub fn counted(species: &'static Species, count: Ratio, mass: Mass) -> Self {
        Self { species, by: FishBy::Number, biomass: mass * count, count, mass }
    }
    /// All of them together.
    pub fn total(&self) -> Mass {
        match self.by {
            FishBy::Weight => self.biomass,
            FishBy::Number => self.mass * self.count,
        }
    }
}

impl Fields for FishGroup {
    fn fields(&mut self, f: &mut dyn Form) {
        pick(f, &Pick::new(1, "species", "Species"), &mut self.species);
        pick(f, &Pick::new(2, "by", "Entered as").help("Whichever you know."), &mut self.by);
        group(f, &Group::when("by", "weight"), self.by == FishBy::Weight, &mut |f| {
            let biomass =
                Field::new(3, "biomass", "All of them together", MASS).range(0.0, 5000.0).advised(0.05, 500.0);
            num(f, &biomass.help("Number times mean mass."), &mut self.biomass);
        });
        group(f, &Group::when("by", "number"), self.by == FishBy::Number, &mut |f| {
            let count = Field::new(4, "count", "How many", COUNT).range(0.0, 20_000.0).advised(1.0, 3000.0);
            num(f, &count.help("As last counted."), &mut self.count);
        });
        let mass = Field::new(5, "mass", "Mean mass of one", SMALL_MASS).range(g(0.2), 10.0).advised(g(1.0), 3.0);
        num(
            f,
            &mass.help("Weigh ten together and divide. Small fish breathe more for their mass.").way(Way::SampleMass),
            &mut self.mass,
        );
    }
}

crate::choices!(Meals:
    Spread = "spread", "Three meals or more, or a belt", "";
    Few = "few", "One or two full meals", "";
);
crate::choices!(Solids:
    Drawn = "drawn", "Drawn off every day", "";
    Settled = "settled", "Settle in the system", "drawn now and then";
    Left = "left", "All stay in", "";
);
crate::choices!(Fall:
    None = "none", "Under water", "";
    Stream = "stream", "Falls as one stream", "";
    Broken = "broken", "Falls broken up", "over stones, through holes, a spray bar";
);

/// What feed is counted with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FeedBy {
    /// The ration of the tables for these fish at this temperature.
    #[default]
    Table,
    /// Weighed.
    Weighed,
}
crate::choices!(FeedBy:
    Table = "table", "As the tables say", "for this species, size and temperature";
    Weighed = "weighed", "I weigh it", "";
);

/// Where the filter and the solids breathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Filter {
    /// In the water of the fish, as far as its oxygen goes.
    #[default]
    SameWater,
    /// In a bed that the water passes before it comes back.
    Apart,
    /// Nowhere, or in water that does not come back.
    Without,
}
crate::choices!(Filter:
    SameWater = "same_water", "In the same water", "raft, moving bed, or a loop turned over quickly";
    Apart = "apart", "In a bed of its own", "water passes it, then a sump, and comes back";
    Without = "without", "No filter in this water", "flow-through, or the filter has its own air";
);

/// The bed of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BedKind {
    /// Always under water.
    #[default]
    Flooded,
    /// Flooded and drained in turn.
    Drained,
}
crate::choices!(BedKind:
    Flooded = "flooded", "Always under water", "raft, submerged media";
    Drained = "drained", "Flooded and drained", "air follows the water down";
);

/// Where the inflow comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Inlet {
    /// It is the same water, pumped round.
    #[default]
    Loop,
    /// Elsewhere, and was measured.
    Given,
    /// Elsewhere, in equilibrium with air.
    Saturated,
}
crate::choices!(Inlet:
    Loop = "loop", "Pumped round", "it brings back no more than it left with, but for the fall and the bed";
    Given = "given", "From elsewhere, measured", "";
    Saturated = "saturated", "From elsewhere, well aerated", "";
);

/// Whose limits count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Limits {
    /// The species'.
    #[default]
    Species,
    /// One's own.
    Own,
}
crate::choices!(Limits:
    Species = "species", "As the fish need", "";
    Own = "own", "My own", "";
);

/// A reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reading {
    /// There is none.
    #[default]
    None,
    /// Some reading; the minutes start from it.
    Now,
    /// Before the first meal with everything running; it sets what is least known.
    Dawn,
}
crate::choices!(Reading:
    None = "none", "None", "";
    Now = "now", "A reading now", "the minutes start from it";
    Dawn = "dawn", "At dawn, before the first meal", "everything running; it sets what is least known";
);

/// Inputs.
#[derive(Debug, Clone)]
pub struct OxygenIn {
    /// The fish.
    pub fish: Vec<FishGroup>,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
    /// Water the fish live in.
    pub volume: Volume,
    /// Flow into the tank.
    pub flow: VolumeRate,
    /// Air.
    pub air: Air,
    /// How the inflow enters.
    pub fall: Fall,
    /// How far it falls.
    pub fall_height: Length,
    /// Where it comes from.
    pub inlet: Inlet,
    /// Its oxygen, if measured.
    pub inlet_oxygen: MassConcentration,
    /// Where the filter breathes.
    pub filter: Filter,
    /// A bed of its own.
    pub bed: BedKind,
    /// What becomes of the solids.
    pub solids: Solids,
    /// What feed is counted with.
    pub feed_by: FeedBy,
    /// Feed, if weighed.
    pub feed: MassRate,
    /// How it comes over the day.
    pub meals: Meals,
    /// Height above the sea.
    pub altitude: Length,
    /// Salt.
    pub salinity: MassConcentration,
    /// Mean depth of the water, for its surface.
    pub depth: Length,
    /// Transfer velocity of the surface.
    pub surface: Velocity,
    /// Transfer in this water over clean water.
    pub alpha: Ratio,
    /// Saturation in this water over clean water.
    pub beta: Ratio,
    /// Transfer of these stones over new ones.
    pub condition: Ratio,
    /// A reading.
    pub reading: Reading,
    /// What it read.
    pub reading_oxygen: MassConcentration,
    /// What the air does over the cautious end of its estimate, as an earlier reading set it.
    pub air_factor: Ratio,
    /// What is breathed over the estimate, as an earlier reading set it.
    pub demand_factor: Ratio,
    /// Whose limits count.
    pub limits: Limits,
    /// Own floor.
    pub floor: MassConcentration,
    /// Own end of a run-down.
    pub stop: MassConcentration,
    /// What the rest of a system sends back, at the low and the high end of its transfer. Not a field: the system works it out, and it counts
    /// where the water is pumped round.
    pub returns: Option<[Returns; 2]>,
}

impl Default for OxygenIn {
    fn default() -> Self {
        Self {
            fish: vec![FishGroup::default()],
            temperature: TEMPERATURE.of(celsius(26.0)),
            volume: VOLUME.of(l(1000.0)),
            flow: FLOW.of(l_h(1500.0)),
            air: Air::default(),
            fall: Fall::None,
            fall_height: LENGTH.of(0.3),
            inlet: Inlet::Loop,
            inlet_oxygen: CONCENTRATION.of(mg_l(7.0)),
            filter: Filter::SameWater,
            bed: BedKind::Flooded,
            solids: Solids::Settled,
            feed_by: FeedBy::Table,
            feed: FEED_RATE.of(g_day(150.0)),
            meals: Meals::Spread,
            altitude: LENGTH.of(0.0),
            salinity: SALINITY.of(0.0),
            depth: LENGTH.of(0.6),
            surface: aeration::metres_a_day(aeration::SURFACE.value),
            alpha: RATIO.of(aeration::ALPHA.value),
            beta: RATIO.of(aeration::BETA.value),
            condition: RATIO.of(aeration::STONES_IN_USE.value),
            reading: Reading::None,
            reading_oxygen: CONCENTRATION.of(mg_l(6.0)),
            air_factor: RATIO.of(1.0),
            demand_factor: RATIO.of(1.0),
            limits: Limits::Species,
            floor: CONCENTRATION.of(mg_l(5.0)),
            stop: CONCENTRATION.of(mg_l(3.0)),
            returns: None,
        }
    }
}

/// Flow into a tank.
pub(crate) const fn flow(tag: u8) -> Field<VolumeRate> {
    Field::new(tag, "flow", "Flow into the tank", FLOW)
        .range(0.0, l_h(200_000.0))
        .advised(0.0, l_h(50_000.0))
        .way(Way::Bucket)
        .help("What really arrives, caught in a bucket.")
}
/// How far it falls.
pub(crate) const fn fall_height(tag: u8) -> Field<Length> {
    Field::new(tag, "fall_height", "How far it falls", LENGTH)
        .range(0.0, 5.0)
        .advised(0.05, 2.0)
        .help("From the pipe's end to the water.")
}
/// Oxygen of water from elsewhere.
pub(crate) const fn inlet_oxygen(tag: u8) -> Field<MassConcentration> {
    Field::new(tag, "inlet_oxygen", "Oxygen it brings", CONCENTRATION)
        .range(0.0, mg_l(25.0))
        .advised(0.0, mg_l(15.0))
        .help("Measured where it comes in. Wells often have none.")
        .detail()
}
/// Where filter and solids breathe, and the bed if that is apart.
pub(crate) fn film(f: &mut dyn Form, tags: (u8, u8), key: &'static str, filter: &mut Filter, bed: &mut BedKind) {
    let apart = Pick::new(tags.0, key, "Where the filter and the solids are");
    pick(f, &apart.help("Their bacteria breathe as much as the fish.").detail(), filter);
    group(f, &Group::when(key, "apart"), *filter == Filter::Apart, &mut |f| {
        pick(f, &Pick::new(tags.1, "bed", "The bed").detail(), bed);
    });
}
/// Salt.
pub(crate) const fn salinity(tag: u8) -> Field<MassConcentration> {
    Field::new(tag, "salinity", "Salt", SALINITY)
        .range(0.0, 40.0)
        .advised(0.0, 36.0)
        .likely(0.0, 2.0)
        .detail()
        .help("Fresh water 0, sea 35.")
}
/// Mean depth of a tank.
pub(crate) const fn depth(tag: u8) -> Field<Length> {
    Field::new(tag, "depth", "Mean depth of the water", LENGTH)
        .range(0.05, 10.0)
        .advised(0.15, 3.0)
        .likely(0.4, 1.0)
        .detail()
}

impl Fields for OxygenIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let fish = List::new(1, "fish", "Fish", "group of fish", 8);
        list(f, &fish.help("One group for each species and size."), &mut self.fish);
        let temperature = Field::new(2, "temperature", "Water temperature", TEMPERATURE)
            .range(celsius(0.5), celsius(40.0))
            .advised(celsius(4.0), celsius(34.0));
        num(
            f,
            &temperature.help("The hottest you expect: warm fish breathe more and warm water holds less."),
            &mut self.temperature,
        );
        let volume = Field::new(3, "volume", "Water the fish live in", VOLUME)
            .range(l(20.0), l(500_000.0))
            .advised(l(100.0), l(50_000.0))
            .way(Way::TapeVolume);
        num(f, &volume.help("It decides how long they have, not whether the air is enough."), &mut self.volume);
        num(f, &flow(4), &mut self.flow);
        self.air.fields(f);
        pick(
            f,
            &Pick::new(5, "fall", "How the water enters").help("Falling water takes up oxygen; how much is uncertain."),
            &mut self.fall,
        );
        group(f, &Group::when("fall", "stream|broken"), self.fall != Fall::None, &mut |f| {
            num(f, &fall_height(6), &mut self.fall_height);
        });
        pick(
            f,
            &Pick::new(7, "reading", "An oxygen reading").help("If you have a meter or a drop test."),
            &mut self.reading,
        );
        group(f, &Group::when("reading", "now|dawn"), self.reading != Reading::None, &mut |f| {
            let reading = Field::new(8, "reading_oxygen", "It read", CONCENTRATION)
                .range(0.0, mg_l(25.0))
                .advised(mg_l(0.5), mg_l(15.0));
            num(f, &reading.help("In the tank, away from the stones."), &mut self.reading_oxygen);
        });
        group(f, &Group::titled("Feed and filter"), true, &mut |f| {
            pick(f, &Pick::new(9, "feed_by", "Feed").detail(), &mut self.feed_by);
            group(f, &Group::when("feed_by", "weighed"), self.feed_by == FeedBy::Weighed, &mut |f| {
                let feed = Field::new(10, "feed", "Feed a day", FEED_RATE)
                    .range(0.0, g_day(100_000.0))
                    .advised(0.0, g_day(10_000.0));
                num(f, &feed.help("Dry feed, over all fish."), &mut self.feed);
            });
            pick(
                f,
                &Pick::new(11, "meals", "Meals").help("After a full meal fish breathe up to twice as much.").detail(),
                &mut self.meals,
            );
            film(f, (12, 13), "filter", &mut self.filter, &mut self.bed);
            pick(f, &Pick::new(14, "solids", "Solids").detail(), &mut self.solids);
            pick(f, &Pick::new(15, "inlet", "Where the water comes from").detail(), &mut self.inlet);
            group(f, &Group::when("inlet", "given"), self.inlet == Inlet::Given, &mut |f| {
                num(f, &inlet_oxygen(16), &mut self.inlet_oxygen);
            });
        });
        group(f, &Group::titled("The place and the water"), true, &mut |f| {
            let altitude = Field::new(30, "altitude", "Height above the sea", LENGTH)
                .range(-400.0, 4500.0)
                .advised(-400.0, 3500.0)
                .likely(0.0, 800.0)
                .detail();
            num(
                f,
                &altitude.help("Thin air holds less oxygen: a tenth less at 900 m (3\u{202f}000 ft)."),
                &mut self.altitude,
            );
            num(f, &salinity(31), &mut self.salinity);
            num(
                f,
                &depth(32).help("Volume over it is the surface that air touches. Covers take surface away."),
                &mut self.depth,
            );
            let surface = Field::new(33, "surface", "Uptake at the surface", TRANSFER_VELOCITY)
                .range(0.0, 10.0 / DAY)
                .advised(0.0, 3.0 / DAY)
                .likely(0.3 / DAY, 1.0 / DAY)
                .source(&src::QUIET_SURFACE)
                .detail();
            num(f, &surface.help("0.3 to 1 m/day where water turns gently; more in wind."), &mut self.surface);
            let alpha = Field::new(34, "alpha", "Transfer in this water over clean water", RATIO)
                .range(0.2, 1.2)
                .advised(0.6, 1.0)
                .likely(0.85, 0.95)
                .source(&src::ALPHA_FISH_WATER)
                .detail();
            num(f, &alpha.help("Alpha: 0.85 to 0.95 in fish water, less with foam."), &mut self.alpha);
            let beta = Field::new(35, "beta", "Saturation in this water over clean water", RATIO)
                .range(0.8, 1.0)
                .advised(0.9, 1.0)
                .likely(0.95, 0.99)
                .source(&src::BETA_FISH_WATER)
                .detail();
            num(f, &beta.help("Beta: 0.95 to 0.98."), &mut self.beta);
            let condition = Field::new(36, "condition", "Used stones against new ones", RATIO)
                .range(0.1, 1.0)
                .advised(0.3, 1.0)
                .likely(0.6, 1.0)
                .source(&src::STONE_AGEING)
                .detail();
            num(
                f,
                &condition.help("Clogged stones pass less air in bigger bubbles: 0.8 between cleanings."),
                &mut self.condition,
            );
        });
        group(f, &Group::when("reading", "none|now"), self.reading != Reading::Dawn, &mut |f| {
            let air = Field::new(37, "air_factor", "Air against the estimate", RATIO)
                .range(0.05, 5.0)
                .advised(0.2, 3.0)
                .likely(0.8, 1.4)
                .source(&src::DAWN_READING)
                .detail();
            num(f, &air.help("1 unless an earlier reading at dawn set it."), &mut self.air_factor);
            let demand = Field::new(38, "demand_factor", "Breathing against the estimate", RATIO)
                .range(0.1, 5.0)
                .advised(0.3, 2.0)
                .likely(0.8, 1.3)
                .source(&src::DAWN_READING)
                .detail();
            num(f, &demand.help("1 unless an earlier reading at dawn set it."), &mut self.demand_factor);
        });
        group(f, &Group::titled("Limits"), true, &mut |f| {
            pick(f, &Pick::new(40, "limits", "Oxygen the fish need").detail(), &mut self.limits);
            group(f, &Group::when("limits", "own"), self.limits == Limits::Own, &mut |f| {
                let floor = Field::new(41, "floor", "Never below", CONCENTRATION)
                    .range(mg_l(0.5), mg_l(12.0))
                    .advised(mg_l(2.0), mg_l(9.0))
                    .detail();
                num(f, &floor.help("What the tank is designed to keep."), &mut self.floor);
                let stop = Field::new(42, "stop", "The minutes end at", CONCENTRATION)
                    .range(mg_l(0.2), mg_l(12.0))
                    .advised(mg_l(1.0), mg_l(8.0))
                    .detail();
                num(f, &stop.help("Where distress begins."), &mut self.stop);
            });
        });
    }
}

// ---- results ----

/// Minutes until the oxygen reaches the end of a run-down; `None` where it never does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minutes {
    /// Fish unfed for a day.
    pub resting: Option<Time>,
    /// Just after a full meal: the shorter end.
    pub fed: Option<Time>,
    /// Just after one of many small meals: the longer end.
    pub fed_lightly: Option<Time>,
}

impl Minutes {
    /// Until it is reached just after a full meal: without end where it never is.
    pub(crate) fn until_fed(&self) -> Time {
        self.fed.unwrap_or(SECONDS.of(f64::INFINITY))
    }

    fn scale(&mut self, part: f64) {
        for t in [&mut self.resting, &mut self.fed, &mut self.fed_lightly].into_iter().flatten() {
            *t *= part;
        }
    }
}

/// What a reading at dawn says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dawn {
    /// What the air does, over the estimate.
    pub air: Ratio,
    /// What is breathed, over the estimate.
    pub demand: Ratio,
    /// Do the two explain it?
    pub fits: bool,
    /// Does the water lack clearly more than a meter may be off?
    pub tells: bool,
    /// What counts in other water, over the cautious end of the air's estimate and over what is breathed: the worse end of what the meter may have meant.
    beyond: [Ratio; 2],
}

impl Dawn {
    /// Is it counted? What is better than any air and appetite explain is the meter's fault, and is not.
    fn counts(&self) -> bool {
        self.fits || self.demand.value > 1.0
    }
}

/// The result.
#[derive(Debug, Clone, PartialEq)]
pub struct OxygenOut {
    /// Air pressure.
    pub pressure: Pressure,
    /// What the water can hold.
    pub saturation: MassConcentration,
    /// All fish together.
    pub biomass: Mass,
    /// Feed a day.
    pub feed: MassRate,
    /// Fish alone, mean of the day.
    pub fish_mean: MassRate,
    /// The same from the feed alone.
    pub fish_from_feed: MassRate,
    /// The same from mass and temperature, where there is a regression for every group.
    pub fish_from_mass: Option<MassRate>,
    /// What governs the largest group.
    pub governs: Governs,
    /// Nitrifiers.
    pub nitrifiers: MassRate,
    /// Bacteria on solids.
    pub solids: MassRate,
    /// Breathed in this water, mean of the day.
    pub demand_mean: MassRate,
    /// After the meal.
    pub demand_peak: MassRate,
    /// Fish unfed for a day.
    pub demand_resting: MassRate,
    /// Floor to design for.
    pub floor: MassConcentration,
    /// End of a run-down.
    pub stop: MassConcentration,
    /// What the air does.
    pub air: AirGain,
    /// Share of the deficit that the fall makes up, low and high.
    pub fall: (Ratio, Ratio),
    /// Supply at its low and at its high end.
    pub supply: (Supply, Supply),
    /// What can come in at the floor, low and high.
    pub capacity: (MassRate, MassRate),
    /// Settled oxygen after the meal, low and high; `None` where the demand cannot be met.
    pub settled: (Option<MassConcentration>, Option<MassConcentration>),
    /// Settled oxygen at the mean of the day, low end.
    pub settled_mean: Option<MassConcentration>,
    /// Settled oxygen with fish unfed for a day, low end.
    pub settled_resting: Option<MassConcentration>,
    /// Oxygen in the bed when the tank stands at the floor or where it settles, low end.
    pub bed: Option<MassConcentration>,
    /// Fish that the supply carries, fed alike, low end.
    pub carries: Mass,
    /// Air that would just do, through these stones.
    pub air_needed: Option<VolumeRate>,
    /// Rated transfer that would just do.
    pub rated_needed: Option<MassRate>,
    /// Pump off.
    pub pump_off: Minutes,
    /// Air off.
    pub air_off: Minutes,
    /// Both off.
    pub all_off: Minutes,
    /// Where the minutes start, resting and fed.
    pub start: (MassConcentration, MassConcentration),
    /// What a reading at dawn says.
    pub dawn: Option<Dawn>,
    /// What a reading says, where it is under what the fish want.
    pub low_now: Option<MassConcentration>,
    /// What a reading says, where it is so far over what the water holds that bubbles may form in the fish.
    high_now: Option<MassConcentration>,
    /// Water that kills some of these fish.
    deadly: Option<Deadly>,
    /// What their film breathes in a bed of its own.
    pub film_apart: MassRate,
    /// Mean breathing of the fish and of the film in this water, as the reading scales them, kg/s.
    fish_film: (f64, f64),
    /// What the air does over the cautious end of its estimate, and what is breathed over its own.
    factors: (Ratio, Ratio),
    /// Protein in the feed of all fish together.
    protein: Ratio,
    /// Water renewed through the surface with everything off.
    surface_still: VolumeRate,
    /// Breathed with everything off, just fed.
    demand_few: MassRate,
}

/// The inputs with what a reading at dawn said written into its two factors: from then on the reading no longer belongs to what is changed
/// (fewer fish, another day's water) and must not be read again against it.
pub fn settled_by_reading(i: &OxygenIn, o: &OxygenOut) -> OxygenIn {
    match i.reading {
        Reading::Dawn => {
            OxygenIn { reading: Reading::None, air_factor: o.factors.0, demand_factor: o.factors.1, ..i.clone() }
        }
        _ => i.clone(),
    }
}

/// The same for other water than that of the reading, which any error of the meter would follow into it.
pub fn carried_by_reading(i: &OxygenIn, o: &OxygenOut) -> OxygenIn {
    let Some(d) = o.dawn else { return settled_by_reading(i, o) };
    OxygenIn { reading: Reading::None, air_factor: d.beyond[0], demand_factor: d.beyond[1], ..i.clone() }
}

/// What a meter may be off, either way: so much, or such a part of what it reads, whichever is more.
const METER: [Coef; 2] = [
    Coef::new(0.2, "mg/L", &src::OXYGEN_METER, "of a calibrated meter"),
    Coef::new(0.03, "1", &src::OXYGEN_METER, "of the reading"),
];
/// Water that lacks less than so many times that says nothing of the air.
const TELLS: Coef = Coef::new(2.0, "1", &src::OXYGEN_METER, "the lack over the error");

/// What a meter that reads so much may be off.
fn meter_off(read: MassConcentration) -> MassConcentration {
    CONCENTRATION.of(mg_l(METER[0].value)).max(read * METER[1].value)
}

/// How a reading counts in other water: where it is better than the estimate, at the worse end of what the meter may have meant, but no worse than the estimate;
/// where it is worse, at that end too once it is clearly so.
fn doubted(read: MassConcentration, foretold: MassConcentration) -> MassConcentration {
    let low = (read - meter_off(read)).max(CONCENTRATION.of(0.0));
    if read >= foretold { low.max(foretold) } else { low.max(read * 2.0 - foretold) }
}

fn reading_edits(i: &OxygenIn, o: &OxygenOut) -> Vec<Edit> {
    match i.reading {
        Reading::Dawn => vec![
            Edit::pick("reading", "none"),
            Edit::num("air_factor", o.factors.0),
            Edit::num("demand_factor", o.factors.1),
        ],
        _ => vec![],
    }
}

const FACTOR: [Coef; 2] = [
    Coef::new(0.3, "1", &src::DAWN_READING, "least the air does over the estimate"),
    Coef::new(2.0, "1", &src::DAWN_READING, "most"),
];
/// Least and most that is breathed over the estimate, by a reading.
const BREATHED: [Coef; 2] = [
    Coef::new(0.7, "1", &src::DAWN_READING, "least that is breathed over the estimate"),
    Coef::new(2.0, "1", &src::DAWN_READING, "most"),
];
/// Share of its deficit that water makes up in a bed and a sump.
const BED_SHARE: [Coef; 3] = [
    Coef::new(0.05, "1", &src::BED_GAIN, "always flooded"),
    Coef::new(1.0 / 3.0, "1", &src::BED_GAIN, "flooded and drained"),
    Coef::new(0.02, "1", &src::BED_GAIN, "sump"),
];
/// Water renewed against air where all of it makes up a share of its lack: s/(1 - s) of it, in a flooded bed (0), a drained one (1), a sump (2).
pub(crate) fn renewed(flow: VolumeRate, place: usize) -> VolumeRate {
    let s = BED_SHARE[place].value;
    flow * RATIO.of(s / (1.0 - s))
}
/// Oxygen that nitrifiers need.
pub(crate) const BED_OXYGEN: Coef = Coef::new(2.0, "mg/L", &src::SRAC_282_FILTER, "in the filter's outflow");

/// Weighed feed past so many times what the tables give is not eaten (judgement: tables differ by less).
pub(crate) const UNEATEN: f64 = 1.3;

/// Fed less than such a part of what the tables give fish hardly grow, and on much less they starve: nobody goes on with it (judgement).
pub(crate) const LEAST_FED: f64 = 0.5;

/// What the tables give fish a day, kg/s.
pub(crate) fn by_table(fish: &[FishGroup], t: ThermodynamicTemperature) -> f64 {
    fish.iter().map(|g| g.total().value * feeding::ration_before(g.species, g.mass, t).value).sum()
}

/// What they eat of what is weighed out: that, and nothing where it is too cold or too hot to feed them.
pub(crate) fn eaten(fish: &[FishGroup], t: ThermodynamicTemperature) -> f64 {
    let fed = |g: &&FishGroup| !feeding::appetite(g.species, t).stops();
    fish.iter().filter(fed).map(|g| by_table(std::slice::from_ref(g), t)).sum()
}

/// What is breathed, kg/s.
#[derive(Debug, Clone, Copy)]
struct Breathing {
    biomass: f64,
    feed: f64,
    /// Feed times its protein.
    protein: f64,
    from_feed: f64,
    from_mass: Option<f64>,
    /// What the group breathes that breathes most, and what governs that.
    largest: f64,
    governs: Governs,
    mean: f64,
    resting: f64,
    nitrifiers: f64,
    solids: f64,
    floor: f64,
    critical: f64,
}

impl Breathing {
    const NOTHING: Self = Self {
        biomass: 0.0,
        feed: 0.0,
        protein: 0.0,
        from_feed: 0.0,
        from_mass: Some(0.0),
        largest: -1.0,
        governs: Governs::Feed,
        mean: 0.0,
        resting: 0.0,
        nitrifiers: 0.0,
        solids: 0.0,
        floor: 0.0,
        critical: 0.0,
    };
    /// One group more, with its ration and what one kilogram breathes on it.
    fn add(&mut self, g: &FishGroup, ration: f64, m: &DailyMean, solids: Solids) {
        let kg = g.total().value;
        let (feed, mean) = (kg * ration, kg * m.mean.value);
        self.biomass += kg;
        self.feed += feed;
        self.protein += feed * g.species.protein().value;
        self.from_feed += kg * m.feed.value;
        self.from_mass = self.from_mass.zip(m.regression).map(|(sum, m)| sum + kg * m.value);
        self.mean += mean;
        self.resting += kg * (m.mean.value * respiration::RESTING.value).max(m.routine.value.min(m.mean.value));
        let nitrogen = ammonia::tan_from_feed(FEED_RATE.of(feed), g.species.protein());
        self.nitrifiers += respiration::nitrifiers(nitrogen).value;
        self.solids += feed * solids.per_feed().value;
        self.wants(g.species);
        if mean > self.largest {
            (self.largest, self.governs) = (mean, m.governs);
        }
    }
    fn wants(&mut self, species: &Species) {
        self.floor = self.floor.max(species.oxygen_floor().value);
        self.critical = self.critical.max(species.oxygen_critical().value);
    }
}

fn breathing(i: &OxygenIn, w: &mut Working) -> Breathing {
    let weighed = i.feed_by == FeedBy::Weighed;
    let table = if weighed { by_table(&i.fish, i.temperature) } else { 0.0 };
    let kilograms: f64 = i.fish.iter().map(|g| g.total().value).sum();
    // Weighed feed is shared out as the tables would, or by mass where the tables give nothing.
    let ration = |g: &FishGroup| {
        let tables = || feeding::ration_before(g.species, g.mass, i.temperature).value;
        match (weighed, table > 0.0) {
            (false, _) => tables(),
            (true, true) => i.feed.value * tables() / table,
            (true, false) => i.feed.value / kilograms,
        }
    };
    let mut b = Breathing::NOTHING;
    for g in present(i) {
        let (ration, regression) = (ration(g), Regression::of(g.species.id));
        let m = respiration::daily_mean(regression, i.temperature, g.mass, DAILY_SHARE.of(ration));
        b.add(g, ration, &m, i.solids);
        if w.on() {
            working::of_group(i, g, ration, regression, &m, w);
        }
    }
    if b.biomass <= 0.0 {
        b.from_mass = None;
        i.fish.iter().take(1).for_each(|g| b.wants(g.species));
    }
    b
}

/// What the film of filter and solids breathes in the water of the fish, and in a bed of its own from which that water comes back.
const fn films(i: &OxygenIn, film: f64) -> (f64, f64) {
    match (i.filter, i.inlet) {
        (Filter::SameWater, _) => (film, 0.0),
        (Filter::Apart, Inlet::Loop) => (0.0, film),
        _ => (0.0, 0.0),
    }
}

/// What brings oxygen, but for how much the air does and the fall makes up.
struct Sources<'a> {
    i: &'a OxygenIn,
    saturation: MassConcentration,
    air_saturation: MassConcentration,
    surface: VolumeRate,
    /// What the film breathes in a bed of its own, kg/s.
    bed_film: f64,
}

impl Sources<'_> {
    /// The supply with so much gained by air and made up by the fall; `scale` is what is breathed over the estimate, `end` that of the transfer (0 low, 1 high).
    fn supply(&self, air: VolumeRate, fall: Ratio, scale: f64, end: usize) -> Supply {
        Supply {
            flow: self.i.flow,
            inflow: self.inflow(scale, end),
            fall,
            lifted: FLOW.of(0.0),
            saturation: self.saturation,
            air,
            air_saturation: self.air_saturation,
            surface: self.surface,
        }
    }
    fn inflow(&self, scale: f64, end: usize) -> Inflow {
        let i = self.i;
        match (i.inlet, i.filter, i.returns) {
            (Inlet::Given, ..) => Inflow::Given(i.inlet_oxygen),
            (Inlet::Saturated, ..) => Inflow::Given(self.saturation),
            (Inlet::Loop, _, Some(r)) => {
                Inflow::Back(r[end].base + r[end].film * (1.0 - scale / i.demand_factor.value), r[end].slope)
            }
            (Inlet::Loop, Filter::Apart, _) => Inflow::Loop(Loop {
                bed_gain: renewed(i.flow, usize::from(i.bed == BedKind::Drained)),
                bed_demand: OXYGEN_RATE.of(self.bed_film * scale),
                sump_gain: renewed(i.flow, 2),
            }),
            (Inlet::Loop, ..) => Inflow::SameWater,
        }
    }
}

/// What the air does over the cautious end of its estimate, with what it then renews at both ends, and what is breathed over its own.
struct Scales {
    air: f64,
    gains: (VolumeRate, VolumeRate),
    demand: f64,
    dawn: Option<Dawn>,
}

impl Scales {
    /// As an earlier reading set them; or a reading at dawn sets what the air does, and past a plausible factor, what is breathed.
    fn of(i: &OxygenIn, sources: &Sources<'_>, air: &AirGain, fall: (Ratio, Ratio), resting: f64) -> Self {
        if i.reading != Reading::Dawn {
            let gains = (air.gain.0 * i.air_factor, air.gain.1 * i.air_factor);
            return Self { air: i.air_factor.value, gains, demand: i.demand_factor.value, dawn: None };
        }
        let middle = (air.gain.0 + air.gain.1) / 2.0;
        // What explains water that stands at so much.
        let explain = |read: MassConcentration| {
            let bare = sources.supply(FLOW.of(0.0), (fall.0 + fall.1) / 2.0, 1.0, 0).at(read).value;
            let bubbles = middle.value * (air.saturation.value - read.value);
            let factor = match i.air.on() {
                false => 1.0,
                true if bubbles > 0.0 => ((resting - bare) / bubbles).clamp(FACTOR[0].value, FACTOR[1].value),
                true => FACTOR[1].value,
            };
            let scale = if resting > 0.0 { (bare + factor * bubbles) / resting } else { 1.0 };
            let demand = scale.clamp(BREATHED[0].value, BREATHED[1].value);
            Dawn {
                air: RATIO.of(factor),
                demand: RATIO.of(demand),
                fits: (scale - demand).abs() < 1e-6,
                tells: sources.saturation - read > meter_off(read) * TELLS.value,
                beyond: [RATIO.of(1.0); 2],
            }
        };
        let over = |d: &Dawn| if air.gain.0.value > 0.0 { middle * d.air / air.gain.0 } else { RATIO.of(1.0) };
        let mut said = explain(i.reading_oxygen);
        if !said.counts() {
            return Self { air: 1.0, gains: air.gain, demand: 1.0, dawn: Some(said) };
        }
        let estimate = sources.supply(air.gain.0, fall.0, 1.0, 0).settled(OXYGEN_RATE.of(resting));
        let foretold = estimate.unwrap_or(CONCENTRATION.of(0.0));
        let read = doubted(i.reading_oxygen, foretold);
        let far = explain(read);
        if said.tells && read != foretold && far.counts() {
            said.beyond = [over(&far), far.demand];
        }
        let gain = middle * said.air;
        Self { air: over(&said).value, gains: (gain, gain), demand: said.demand.value, dawn: Some(said) }
    }
}

/// So many times the fish are carried, everything that grows with them scaled until it just does: `comes` is what can come in with them scaled, `peak`
/// what they breathe as they are.
fn carried(peak: f64, comes: &dyn Fn(f64) -> f64) -> f64 {
    let most = comes(0.0);
    if peak <= 0.0 || most <= 0.0 {
        return 0.0;
    }
    crate::science::solve::crossing(|s| comes(s) - s * peak, 0.0, most / peak, 1e-6 * most / peak)
}

/// What the water begins with when something stops, resting and fed: what was read, or where it has settled.
fn start(i: &OxygenIn, saturation: MassConcentration, dawn: Option<&Dawn>, settled: Starts) -> Starts {
    // More than the water holds leaves it soon, and is mostly a meter that wants calibrating.
    let read = i.reading_oxygen.min(saturation);
    match (i.reading, dawn) {
        (Reading::Now, _) => (read, read),
        // At dawn they are unfed: after the meal the water stands where it settles then.
        (_, Some(d)) if d.counts() => (read, read.min(settled.1)),
        _ => settled,
    }
}
type Starts = (MassConcentration, MassConcentration);

/// The calculator.
#[derive(Debug)]
pub struct Oxygen;

impl Calculator for Oxygen {
    type In = OxygenIn;
    type Out = OxygenOut;
    const ID: &'static str = "oxygen";
    const TITLE: &'static str = "Oxygen demand";
    const QUESTION: &'static str = "Is there enough oxygen, and for how many minutes without pump or air?";
    const ANSWER: &'static str = "settled";
    const ABOUT: &'static str = "What the fish breathe (from their feed and from their mass, the larger counts), what nitrifiers and solids \
        take, what air, inflow, a fall and the surface bring, where the oxygen settles after the evening meal, and how long it lasts when \
        the pump, the air or everything stops. Planning figures: transfer by bubbles and falls is known to a quarter at best, so they are \
        ranges and the cautious end decides. Plants and algae are left out: at night they breathe too.";

    fn solve(i: &OxygenIn, w: &mut Working) -> Result<OxygenOut, Vec<FieldError>> {
        let pressure = saturation::pressure_at(i.altitude)
            .map_err(|e| vec![FieldError::new("altitude", e.to_string(), "-400 to 4\u{202f}500 m")])?;
        let cs = saturation::saturation(i.temperature, i.salinity, pressure).map_err(|e| {
            vec![FieldError::new("temperature", e.to_string(), "0 to 40 °C, 0 to 40 g/L, up to 4\u{202f}500 m")]
        })?;
        held(i)?;
        let b = breathing(i, w);
        let (own_film, bed_film) = films(i, b.nitrifiers + b.solids);
        let mut air = i.air.gain(&InWater {
            t: i.temperature,
            pressure,
            saturation: cs,
            alpha: i.alpha,
            beta: i.beta,
            condition: i.condition,
            depth: i.depth,
        });
        let fall = aeration::fall_range(i.fall, i.fall_height, i.temperature);
        let area = i.volume / over_surface(i);
        let surface = aeration::surface_gain(area, i.surface);
        let still = aeration::surface_gain(area, i.surface * aeration::SURFACE_STILL.value / aeration::SURFACE.value);
        let sources = Sources { i, saturation: cs, air_saturation: air.saturation, surface, bed_film };
        let scales = Scales::of(i, &sources, &air, fall, b.resting + own_film);
        air.per_air *= scales.air;
        air.per_rated *= scales.air;
        air.gain = scales.gains;
        let low = |scale: f64| sources.supply(air.gain.0, fall.0, scale, 0);
        let ends = (low(scales.demand), sources.supply(air.gain.1, fall.1, scales.demand, 1));

        // What is breathed, what that may leave, and where it settles.
        let in_tank = |fish: f64| OXYGEN_RATE.of((fish + own_film) * scales.demand);
        let peak = in_tank(b.mean * i.meals.peak().value);
        let (mean, resting) = (in_tank(b.mean), in_tank(b.resting));
        let (floor, stop) = match i.limits {
            Limits::Species => (CONCENTRATION.of(b.floor), CONCENTRATION.of(b.critical)),
            // Distress does not begin above what is enough, and nobody's fish bear less than their kind.
            Limits::Own => {
                let dies = CONCENTRATION.of(if b.biomass > 0.0 { b.critical } else { 0.0 });
                (i.floor.max(dies), i.stop.min(i.floor).max(dies))
            }
        };
        let capacity = (ends.0.at(floor), ends.1.at(floor));
        let settled = (ends.0.settled(peak), ends.1.settled(peak));
        let settled_resting = ends.0.settled(resting);
        let carries = b.biomass * carried(peak.value, &|s| low(s * scales.demand).at(floor).value);
        let lack = (peak.value - ends.0.without_air().at(floor).value).max(0.0);
        let drive = air.saturation.value - floor.value;
        let needed = |per: f64| (drive > 0.0 && per > 0.0).then(|| lack / (per * drive));

        // How long it lasts when something stops.
        let zero = CONCENTRATION.of(0.0);
        // What is past saturation leaves once nothing brings more.
        let by_day = (settled_resting.unwrap_or(zero).min(cs), settled.0.unwrap_or(zero).min(cs));
        let start = start(i, cs, scales.dawn.as_ref(), by_day);
        let critical = CONCENTRATION.of(b.critical.min(stop.value));
        let few = in_tank(b.mean * respiration::PEAK_FEW.value);
        let run = |s: Supply| {
            let s = if s.flow.value <= 0.0 && s.air.value <= 0.0 { s.cut_off(still) } else { s };
            let down = |demand: MassRate, from| s.time_down(i.volume, demand, critical, from, stop);
            Minutes {
                resting: down(resting, start.0),
                fed: down(few, start.1),
                fed_lightly: down(in_tank(b.mean * respiration::PEAK_SPREAD.value), start.1),
            }
        };
        let out = OxygenOut {
            pressure,
            saturation: cs,
            biomass: MASS.of(b.biomass),
            feed: FEED_RATE.of(b.feed),
            fish_mean: OXYGEN_RATE.of(b.mean),
            fish_from_feed: OXYGEN_RATE.of(b.from_feed),
            fish_from_mass: b.from_mass.map(|m| OXYGEN_RATE.of(m)),
            governs: b.governs,
            nitrifiers: OXYGEN_RATE.of(b.nitrifiers),
            solids: OXYGEN_RATE.of(b.solids),
            demand_mean: mean,
            demand_peak: peak,
            demand_resting: resting,
            floor,
            stop,
            air,
            fall,
            supply: ends,
            capacity,
            settled,
            settled_mean: ends.0.settled(mean),
            settled_resting,
            bed: ends.0.bed_and_sump(settled.0.unwrap_or(zero)).map(|(bed, _)| bed),
            carries: MASS.of(carries),
            air_needed: needed(air.per_air).filter(|_| i.air.mode != AirMode::Rated).map(|q| AIR_FLOW.of(q)),
            rated_needed: needed(air.per_rated).map(|m| OXYGEN_RATE.of(m)),
            pump_off: run(ends.0.without_pump()),
            air_off: run(ends.0.without_air()),
            all_off: run(ends.0.cut_off(still)),
            start,
            dawn: scales.dawn,
            low_now: (i.reading != Reading::None && b.biomass > 0.0 && i.reading_oxygen < floor)
                .then_some(i.reading_oxygen),
            high_now: (i.reading != Reading::None && b.biomass > 0.0 && i.reading_oxygen > cs * GREEN.value)
                .then_some(i.reading_oxygen),
            deadly: Deadly::worst(present(i).map(|g| g.species), i.temperature, i.salinity),
            film_apart: OXYGEN_RATE.of(bed_film * scales.demand),
            fish_film: (b.mean * scales.demand, own_film * scales.demand),
            factors: (RATIO.of(scales.air), RATIO.of(scales.demand)),
            protein: RATIO.of(if b.feed > 0.0 { b.protein / b.feed } else { 0.0 }),
            surface_still: still,
            demand_few: few,
        };
        if w.on() {
            working::steps(i, &out, surface, w);
        }
        Ok(out)
    }

    fn outputs(o: &OxygenOut, s: &mut dyn Outputs) {
        out(s, "saturation", "What the water can hold", CONCENTRATION, o.saturation);
        out(s, "biomass", "All fish together", MASS, o.biomass);
        out(s, "feed", "Feed a day", FEED_RATE, o.feed);
        out(s, "fish_mean", "Fish alone, mean of the day", OXYGEN_RATE, o.fish_mean);
        out(s, "fish_from_feed", "The same from their feed", OXYGEN_RATE, o.fish_from_feed);
        out_opt(s, "fish_from_mass", "The same from mass and temperature", OXYGEN_RATE, o.fish_from_mass);
        word(
            s,
            "governs",
            "Which counts",
            match o.governs {
                Governs::Feed => "feed",
                Governs::Regression => "mass and temperature",
                Governs::Routine => "the least any fish breathes",
            },
        );
        out(s, "nitrifiers", "Nitrifiers", OXYGEN_RATE, o.nitrifiers);
        out(s, "solids", "Bacteria on solids", OXYGEN_RATE, o.solids);
        out(s, "demand_mean", "Breathed here, mean of the day", OXYGEN_RATE, o.demand_mean);
        out(s, "demand_peak", "Breathed here after the meal", OXYGEN_RATE, o.demand_peak);
        out(s, "demand_resting", "Breathed here, fish unfed for a day", OXYGEN_RATE, o.demand_resting);
        out(s, "floor", "Oxygen to keep", CONCENTRATION, o.floor);
        span(s, "supply", "What can come in at that oxygen", OXYGEN_RATE, o.capacity.0, o.capacity.1);
        let air = |s: &Supply| s.shares(o.floor).air;
        span(s, "from_air", "of it from the air stones", OXYGEN_RATE, air(&o.supply.0), air(&o.supply.1));
        out(s, "air_delivered", "Air that reaches the stones", AIR_FLOW, o.air.delivered);
        span(
            s,
            "standard_transfer",
            "Transfer of the air in clean water",
            OXYGEN_RATE,
            o.air.standard.0,
            o.air.standard.1,
        );
        out_opt(s, "settled", "Settles after the meal, cautious end", CONCENTRATION, o.settled.0);
        out_opt(s, "settled_best", "Settles after the meal, best case", CONCENTRATION, o.settled.1);
        out_opt(s, "settled_mean", "Settles over the mean of the day", CONCENTRATION, o.settled_mean);
        out_opt(s, "settled_resting", "Settles with fish unfed for a day", CONCENTRATION, o.settled_resting);
        flag(s, "met", "Can the demand be met at all?", o.settled.0.is_some());
        out_opt(s, "bed_oxygen", "Oxygen in the bed", CONCENTRATION, o.bed);
        out(s, "carries", "Fish that the supply carries", MASS, o.carries);
        out_opt(s, "air_needed", "Air that would just do", AIR_FLOW, o.air_needed);
        out_opt(s, "rated_needed", "Rated transfer that would just do", OXYGEN_RATE, o.rated_needed);
        out(s, "stop", "The minutes end at", CONCENTRATION, o.stop);
        out_opt(s, "pump_off_resting", "Pump off, fish unfed for a day", MINUTES, o.pump_off.resting);
        out_opt(s, "pump_off_fed", "Pump off, just fed", MINUTES, o.pump_off.fed);
        out_opt(s, "air_off_resting", "Air off, fish unfed for a day", MINUTES, o.air_off.resting);
        out_opt(s, "air_off_fed", "Air off, just fed", MINUTES, o.air_off.fed);
        out_opt(s, "all_off_resting", "Everything off, fish unfed for a day", MINUTES, o.all_off.resting);
        out_opt(s, "all_off_fed", "Everything off, just fed", MINUTES, o.all_off.fed);
        out_opt(s, "all_off_fed_lightly", "Everything off, after a small meal", MINUTES, o.all_off.fed_lightly);
        let dawn = o.dawn.filter(Dawn::counts);
        out_opt(s, "dawn_air", "What the air does over the estimate, by the reading", RATIO, dawn.map(|d| d.air));
        out_opt(s, "dawn_demand", "Breathing against the estimate, by the reading", RATIO, dawn.map(|d| d.demand));
    }

    fn level(o: &OxygenOut) -> Option<Level> {
        let level = level_of(o);
        let first = |gas: Level| if gas.state() == State::Over { gas.leading() } else { gas };
        let gas = gas(o).filter(|gas| gas.fullness() > level.fullness()).map(first);
        Some(o.deadly.map_or_else(|| gas.unwrap_or(level), |d| d.level("oxygen", "Water temperature")))
    }

    fn cautions(i: &OxygenIn, o: &OxygenOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &OxygenIn, o: &OxygenOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// The oxygen alone, where the temperature has a level of its own: what was read, where that is the worse, or what settles.
pub(crate) fn level_of(o: &OxygenOut) -> Level {
    let level = balance(o);
    let now = o.low_now.map(|c| Level::upper("oxygen", "Oxygen now", CONCENTRATION, o.floor, c).leading());
    now.filter(|now| now.fullness() > level.fullness()).unwrap_or(level)
}

/// Oxygen, of what the water holds against air, past which bubbles form in fish.
const GASSY: Coef = Coef::new(1.4, "1", &src::OXYGEN_PAST_AIR, "of saturation, nitrogen at saturation");
/// The same of a reading, which may be of green water in the sun or wrong.
const GREEN: Coef = Coef::new(1.5, "1", &src::OXYGEN_PAST_AIR, "of saturation, by a reading");
/// From here on it is told at all (judgement: what a meter may be off, and stones in deep water bring).
const TOLD_FROM: f64 = 1.1;

/// Oxygen that is more than the water holds against air: what settles, on a meal or unfed; or what was read, mild. Nothing where it is hardly more.
fn gas(o: &OxygenOut) -> Option<Level> {
    let all = [o.settled.0, o.settled.1, o.settled_mean, o.settled_resting].into_iter().flatten();
    let most = all.reduce(|a, b| a.max(b)).filter(|c| *c > o.saturation * TOLD_FROM);
    let most_now = |at: MassConcentration| {
        Level::upper("gas", "Oxygen past what the water holds", CONCENTRATION, at, o.saturation * GASSY.value)
    };
    let settled = most.map(most_now);
    let read = || o.high_now.map(|c| most_now(c).mild());
    settled.or_else(read).filter(|_| o.biomass.value > 0.0)
}

impl OxygenOut {
    /// With so much of the water in the tank, under the same surface, what is in it lasts so much of the time.
    pub(crate) fn in_less(&mut self, part: f64) {
        [&mut self.pump_off, &mut self.air_off, &mut self.all_off].into_iter().for_each(|m| m.scale(part));
    }
    /// What a meter shows of a level of this oxygen, which is by the reading where it is a concentration; nothing without fish.
    pub(crate) fn measured(&self, level: &Level) -> Option<Measured> {
        let read = self.low_now.filter(|_| level.kind == CONCENTRATION.0);
        let (is, when) = match read {
            Some(c) => (Some(c), "by the reading"),
            None => (self.settled.0, "after the evening meal"),
        };
        let wants = self.floor.value;
        (self.biomass.value > 0.0).then(|| Measured { kind: CONCENTRATION.0, is: is.map(|c| c.value), wants, when })
    }
    /// Is it where losses begin, by what was read or after the meal?
    pub(crate) fn suffocates(&self) -> bool {
        let dies = |c: MassConcentration| c < self.stop;
        self.biomass.value > 0.0 && (self.low_now.is_some_and(dies) || self.settled.0.is_none_or(dies))
    }
}

/// The groups that hold fish.
fn present(i: &OxygenIn) -> impl Iterator<Item = &FishGroup> {
    i.fish.iter().filter(|g| g.total().value > 0.0)
}

/// Is there water around the fish? The heaviest group is named if there is not.
fn held(i: &OxygenIn) -> Result<(), Vec<FieldError>> {
    let all: Mass = present(i).map(FishGroup::total).fold(MASS.of(0.0), |a, b| a + b);
    let heavy = |a: &usize, b: &usize| i.fish[*a].total().value.total_cmp(&i.fish[*b].total().value);
    let Some(k) = (0..i.fish.len()).max_by(heavy) else { return Ok(()) };
    let key = if i.fish[k].by == FishBy::Weight { "biomass" } else { "count" };
    handling::around(all, i.volume, &format!("fish.{k}.{key}"), "tank").map(|_| ())
}

/// What is breathed against what comes in, once it has settled.
fn balance(o: &OxygenOut) -> Level {
    Level::upper_range("oxygen", "Oxygen", OXYGEN_RATE, (o.demand_peak, o.demand_peak), o.capacity)
}

/// Volume over it is the surface: the mean depth, or that of the stones where those hang deeper.
fn over_surface(i: &OxygenIn) -> Length {
    let stones = matches!(i.air.mode, AirMode::Stones | AirMode::Pump);
    if stones && i.air.depth > i.depth { i.air.depth } else { i.depth }
}

#[cfg(test)]
mod tests;
