//! A first system from a goal: fish a year, greens, a room, a species and a crop, and the water there is.
//!
//! Nothing is looked up. A small system is built, the whole check runs over it, every part that is not enough grows by what its level says
//! it lacks, and so on until the check passes on every day that it knows. What cannot be grown ends the plan, with the part that ends it and
//! with goals near by, each of which was planned too.

use super::document::{
    Ammonia, Bed, Document, Edge, FilterAt, Groups, Pump, STOCKED, Settler, Sump, SumpLevels, Tank, Water, WayOut,
};
use super::ends;
use super::flow::StationKind;
use super::level;
use super::report::{self, Checked};
use super::worst;
use crate::calculators::air::Air;
use crate::calculators::ammonia::AmmoniaIn;
use crate::calculators::bed::{BedIn, unborne};
use crate::calculators::drain::{Arrangement, DrainIn, FittingRow};
use crate::calculators::form::*;
use crate::calculators::levels::LevelsIn;
use crate::calculators::outcome::{Brim, ENOUGH, Level, State, Working};
use crate::calculators::oxygen::{FishGroup, OxygenIn, storm};
use crate::calculators::settling::SettlingIn;
use crate::calculators::stocking::{Stocking, StockingIn};
use crate::calculators::{self};
use crate::catalog::crops::{CROPS, Crop, METHODS, Method, Stands};
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::pipes::{Family, PIPES, Pipe};
use crate::catalog::species::{SPECIES, Species};
use crate::science::aeration::Fall;
use crate::science::growth::{self, Pace, Season};
use crate::science::{feeding, plants, solve::halve};
use crate::units::{kinds::*, si::*, *};

/// What is given and what follows from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Want {
    /// Fish are given, and as many greens as they feed.
    #[default]
    Fish,
    /// Greens are given, and as many fish as feed them.
    Greens,
    /// Both are given.
    Both,
}
crate::choices!(Want:
    Fish = "fish", "Fish, and the greens they feed", "";
    Greens = "greens", "Greens, and the fish that feed them", "";
    Both = "both", "So many of each", "";
);

/// Size at harvest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SizeBy {
    /// Usual for the species.
    #[default]
    Usual,
    /// One's own.
    Own,
}
crate::choices!(SizeBy: Usual = "usual", "Usual for the species", ""; Own = "own", "My own", "";);

/// The pipe that is sold here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sizes {
    /// Metric.
    #[default]
    Metric,
    /// Inch.
    Inch,
}
crate::choices!(Sizes, us Inch: Metric = "metric", "Metric PVC", ""; Inch = "inch", "Schedule 40, inch sizes", "";);

impl Sizes {
    /// A step that is round where pipes come in such sizes.
    fn step<D: uom::si::Dimension + ?Sized>(self, kind: Kind<Q<D>>, si: f64) -> f64 {
        kind.0.step(si, if self == Self::Inch { System::Us } else { System::Metric })
    }
    const fn family(self) -> Family {
        match self {
            Self::Metric => Family::MetricPn10,
            Self::Inch => Family::Schedule40,
        }
    }
}

/// What a person wants.
#[derive(Debug, Clone)]
pub struct Goal {
    /// What is given.
    pub want: Want,
    /// Fish harvested a year.
    pub fish: Mass,
    /// Plant area.
    pub greens: Area,
    /// Species.
    pub species: &'static Species,
    /// Crop.
    pub crop: &'static Crop,
    /// How the plants stand.
    pub method: &'static Method,
    /// Length of the room.
    pub length: Length,
    /// Width of the room.
    pub width: Length,
    /// Hottest water of the year.
    pub hottest: ThermodynamicTemperature,
    /// Coldest.
    pub coldest: ThermodynamicTemperature,
    /// Height above the sea.
    pub altitude: Length,
    /// Groups of fish of different age, each with its own harvest.
    pub groups: Ratio,
    /// What is known of the size at harvest.
    pub size_by: SizeBy,
    /// One's own.
    pub harvest: Mass,
    /// Mean mass when they are put in.
    pub start: Mass,
    /// Share that does not live to harvest.
    pub losses: Ratio,
    /// Pipe that is sold here.
    pub sizes: Sizes,
}

impl Default for Goal {
    fn default() -> Self {
        let t = |c| TEMPERATURE.of(celsius(c));
        Self {
            want: Want::Fish,
            fish: MASS.of(30.0),
            greens: AREA.of(4.0),
            species: &SPECIES[2],
            crop: &CROPS[1],
            method: &METHODS[1],
            length: LENGTH.of(6.0),
            width: LENGTH.of(4.0),
            hottest: t(28.0),
            coldest: t(20.0),
            altitude: LENGTH.of(0.0),
            groups: COUNT.of(2.0),
            size_by: SizeBy::Usual,
            harvest: SMALL_MASS.of(g(500.0)),
            start: SMALL_MASS.of(g(20.0)),
            losses: PERCENT.of(percent(10.0)),
            sizes: Sizes::Metric,
        }
    }
}

impl Fields for Goal {
    fn fields(&mut self, f: &mut dyn Form) {
        let want = self.want;
        pick(
            f,
            &Pick::new(1, "want", "I want").help("Plants live on what the fish leave of their feed."),
            &mut self.want,
        );
        group(f, &Group::when("want", "fish|both"), want != Want::Greens, &mut |f| {
            let fish = Field::new(2, "fish", "Fish harvested a year", MASS).range(0.5, 5000.0).advised(2.0, 500.0);
            num(f, &fish.help("Live weight, the whole year's."), &mut self.fish);
        });
        group(f, &Group::when("want", "greens|both"), want != Want::Fish, &mut |f| {
            let greens = Field::new(3, "greens", "Plant area", AREA).range(0.1, 2000.0).advised(0.5, 200.0);
            num(f, &greens.help("Planted area alone, without paths."), &mut self.greens);
        });
        pick(f, &Pick::new(4, "species", "Fish"), &mut self.species);
        pick(f, &Pick::new(5, "crop", "Crop").help("The hungriest, if they are mixed."), &mut self.crop);
        pick(f, &Pick::new(6, "method", "Method").help("How the plants stand in the water."), &mut self.method);
        let (short, long) = (0.8, LONGEST);
        let length = Field::new(7, "length", "Length of the room", LENGTH).range(short, long).advised(1.5, 50.0);
        num(f, &length.help("What the system may take of it, inside."), &mut self.length);
        let width = Field::new(8, "width", "Width of the room", LENGTH).range(short, long).advised(1.5, 50.0);
        num(f, &width.help("Inside."), &mut self.width);
        let (low, high) = (celsius(0.5), celsius(40.0));
        let hottest = Field::new(9, "hottest", "Hottest water of the year", TEMPERATURE).range(low, high);
        num(f, &hottest.help("Late afternoon in the hottest week, with what cooling you have."), &mut self.hottest);
        let coldest = Field::new(10, "coldest", "Coldest water of the year", TEMPERATURE).range(low, high);
        num(f, &coldest.help("Before dawn in the coldest week, with what heating you have."), &mut self.coldest);
        let altitude = Field::new(11, "altitude", "Height above the sea", LENGTH).range(-400.0, 4500.0);
        num(f, &altitude.help("Thin air holds less oxygen."), &mut self.altitude);
        group(f, &Group::titled("How you mean to keep them"), true, &mut |f| {
            let groups = Field::new(12, "groups", "Groups of fish of different age", COUNT).range(1.0, 4.0);
            num(
                f,
                &groups
                    .help("Each has a tank of its own and a harvest of its own, so feed and fish come evenly.")
                    .detail(),
                &mut self.groups,
            );
            pick(f, &Pick::new(13, "size_by", "Size at harvest").detail(), &mut self.size_by);
            group(f, &Group::when("size_by", "own"), self.size_by == SizeBy::Own, &mut |f| {
                let harvest = Field::new(14, "harvest", "Mean mass at harvest", SMALL_MASS).range(g(30.0), 5.0);
                num(f, &harvest.help("Larger fish take longer, and more water.").detail(), &mut self.harvest);
            });
            let start = Field::new(15, "start", "Mean mass when they are put in", SMALL_MASS)
                .range(STOCKED[0], STOCKED[1])
                .advised(g(2.0), g(200.0));
            num(f, &start.help("As the hatchery sells them.").way(Way::SampleMass).detail(), &mut self.start);
            let losses = Field::new(16, "losses", "Lost before harvest", PERCENT).range(0.0, 0.6).advised(0.02, 0.3);
            num(f, &losses.help("A tenth is a common allowance.").detail(), &mut self.losses);
            pick(f, &Pick::new(17, "sizes", "Pipe sold here").detail(), &mut self.sizes);
        });
    }
}

impl Goal {
    fn harvest_mass(&self) -> Mass {
        match self.size_by {
            SizeBy::Usual => self.species.harvest(),
            SizeBy::Own => self.harvest,
        }
    }
    fn mean(&self) -> ThermodynamicTemperature {
        TEMPERATURE.of((self.hottest.value + self.coldest.value) / 2.0)
    }
    /// The year's water, the warmest so many seconds from now.
    fn season(&self, warmest: f64) -> Season {
        let swing = TEMPERATURE_DIFFERENCE.of((self.hottest.value - self.coldest.value) / 2.0);
        Season { mean: self.mean(), swing, warmest: DAYS.of(warmest) }
    }
}

/// A planned system.
#[derive(Debug, Clone)]
pub struct Planned {
    /// The system.
    pub document: Document,
    /// Its levels, fullest first.
    pub levels: Vec<Checked>,
    /// Fish that it harvests a year.
    pub yearly: Mass,
    /// Plant area.
    pub greens: Area,
    /// Floor that its parts stand on.
    pub floor: Area,
    /// Time between two harvests, and fish of each.
    pub every: (Time, f64),
    /// Plain sentences about it.
    pub notes: Vec<String>,
}

/// A goal near by that can be planned.
#[derive(Debug, Clone)]
pub struct Near {
    /// What changes, in words.
    pub title: String,
    /// The changes of the goal.
    pub edits: Vec<Edit>,
}

impl Near {
    /// Inside a sentence: the name of a fish or a crop keeps its capital.
    fn inside(&self) -> String {
        let named = self.edits.first().is_some_and(|e| matches!(&*e.path, "species" | "crop"));
        if named { self.title.clone() } else { lower(&self.title) }
    }
}

/// Why a goal cannot be planned.
#[derive(Debug, Clone)]
pub struct Refused {
    /// The sentence.
    pub why: String,
    /// Goals near by, nearest first.
    pub near: Vec<Near>,
}

/// What ends an attempt.
enum End {
    /// The fish do not bear the water, or do not grow in it.
    Fish(String),
    /// The crop does not.
    Crop(String),
    /// The room is too small for so much floor, m2, or for one tank, m.
    Room(String, f64),
    /// Plants and feed do not balance: the plant area, and least and most that this feed keeps, m2.
    Balance(String, [f64; 3]),
    /// A part that cannot be made larger.
    Part(String),
}

impl End {
    fn why(self) -> String {
        match self {
            Self::Fish(s) | Self::Crop(s) | Self::Room(s, _) | Self::Balance(s, _) | Self::Part(s) => s,
        }
    }
}

// Judgement, all of these: a plan has to begin somewhere, and the person changes what does not suit.

/// Part of the floor that parts may stand on; the rest is for walking and working.
const STANDS_ON: f64 = 0.6;
/// Planted face of a tower over the floor that it takes.
const TOWER_FACE: f64 = 3.0;
/// Largest tank before a group gets another, m3; and most tanks.
const LARGE: f64 = 6.0;
const MOST_TANKS: usize = 12;
/// Depth of water in a tank up to a volume, m3 and m: shallow enough to reach the floor of a small one.
const DEPTHS: [(f64, f64); 4] = [(1.0, 0.6), (3.0, 0.8), (8.0, 1.0), (f64::MAX, 1.2)];
/// Widest single settler before there are several, m, and most of them.
const SETTLER: (f64, f64) = (1.2, 20.0);
/// Parts are sized to a little less than is enough, so that rounding never undoes it.
const AIM: f64 = ENOUGH * 0.98;
/// Depth of the sump, m, how far it is filled, and water that goes a day from open water and beds, m.
const SUMP_DEPTH: f64 = 0.6;
const FILLED: f64 = 0.7;
const EVAPORATES: f64 = 0.005;
/// The longest room, m.
const LONGEST: f64 = 200.0;
/// Rounds of growing before a plan is given up.
const ROUNDS: usize = 120;
/// A filter fed so long is ripe; the plan is checked as it will run.
const RIPE: f64 = days(120.0);

/// The sizes of what is grown.
#[derive(Debug, Clone)]
struct Parts {
    /// Water of a tank, m3, and its depth, m.
    volume: f64,
    depth: f64,
    /// Flow to each tank, m3/s.
    flow: f64,
    /// Most that a pump can send, m3/s.
    most: f64,
    /// A pump for every tank.
    each: bool,
    /// Place in the list of outlets.
    outlet: usize,
    /// Those of the settler and of the bed, likewise.
    ways_out: [usize; 2],
    /// Air of each tank, m3/s.
    air: f64,
    /// Settler: diameter, m, and how many.
    settler: (f64, f64),
    /// Plant area, m2.
    bed: f64,
    /// Plan of the sump, m2.
    sump: f64,
    /// Medium of the filter, m3.
    media: f64,
}

/// The fish as the plan keeps them.
struct Fish {
    /// Tanks, and fish in each.
    tanks: usize,
    count: f64,
    /// Mean mass of each group now.
    masses: Vec<Mass>,
    harvest: Mass,
    /// From putting in to harvest.
    time: f64,
    yearly: f64,
    /// Fish per water at harvest, kg/m3.
    density: f64,
}

fn up(x: f64, step: f64) -> f64 {
    ((x / step) - 1e-9).ceil() * step
}

/// Narrow to wide, then two and more of the widest.
fn outlets(sizes: Sizes) -> Vec<(&'static Pipe, f64)> {
    let all: Vec<&'static Pipe> =
        PIPES.iter().filter(|p| p.family == sizes.family() && p.bore().is_some_and(|b| b.value > mm(34.0))).collect();
    let mut list: Vec<_> = all.iter().map(|p| (*p, 1.0)).collect();
    list.extend(all.iter().skip(3).map(|p| (*p, 2.0)));
    if let Some(widest) = all.last() {
        list.extend((3..=8).map(|n| (*widest, f64::from(n))));
    }
    list
}

fn fish_of(goal: &Goal, w: Words) -> Result<Fish, End> {
    let (s, harvest) = (goal.species, goal.harvest_mass());
    let t = |x| w.q(TEMPERATURE, x);
    let name = s.label;
    if goal.hottest < goal.coldest {
        return Err(End::Fish("The hottest water is colder than the coldest: swap them.".into()));
    }
    if goal.start >= harvest {
        return Err(End::Fish("The fish are put in as heavy as they are harvested: there is nothing to grow.".into()));
    }
    if goal.hottest > s.stops_above() {
        let (hot, most) = (t(goal.hottest), t(s.stops_above()));
        return Err(End::Fish(format!("{name} stop feeding above {most}; this water reaches {hot}.")));
    }
    if goal.coldest < s.dies_below() {
        let (cold, least) = (t(goal.coldest), t(s.dies_below()));
        return Err(End::Fish(format!("{name} begin to die below {least}; this water falls to {cold}.")));
    }
    if let Some(least) = s.fails_below().filter(|f| goal.coldest < *f) {
        let (cold, least) = (t(goal.coldest), t(least));
        return Err(End::Fish(format!("Below {least} many {} sicken and die; this water falls to {cold}.", s.noun)));
    }
    if feeding::appetite(s, goal.mean()).stops() {
        let (mean, least) = (t(goal.mean()), t(s.stops_below()));
        return Err(End::Fish(format!("{name} do not feed below {least}; the mean of this water is {mean}.")));
    }
    // Groups are put in all round the year: the time is the mean over four seasons.
    let pace = Pace::Fed((s.fcr().0 + s.fcr().1) / 2.0);
    let (mut time, year) = (0.0, years(1.0));
    for quarter in 0..4 {
        let season = goal.season(year / 4.0 * f64::from(quarter));
        let Some(r) = growth::reach(s, goal.start, harvest, &season, pace) else {
            let to = w.mass(SMALL_MASS, harvest);
            return Err(End::Fish(format!("In this water {name} do not grow to {to} within four years.")));
        };
        time += r.time.value / 4.0;
    }
    let groups = goal.groups.value.round().max(1.0) as usize;
    let season = goal.season(year / 4.0);
    let masses = (0..groups)
        .map(|i| {
            let age = DAYS.of(time * (i as f64 + 0.5) / groups as f64);
            growth::mass_at(s, goal.start, &season, pace, age, harvest)
        })
        .collect();
    let yearly = goal.fish.value;
    let lives = 1.0 - goal.losses.value;
    let group = (yearly / harvest.value * time / year / groups as f64 / lives).max(1.0);
    // Fish per water as the stocking calculator has it, a fifth in hand, kg/m3.
    let probe = StockingIn {
        species: s,
        volume: VOLUME.of(1.0),
        count: COUNT.of(0.0),
        mass: harvest,
        harvest,
        hottest: goal.hottest,
        usual: goal.mean(),
        altitude: goal.altitude,
        ..StockingIn::default()
    };
    let dense = calculators::solve::<Stocking>(&probe, &mut Working::none()).map_err(|e| End::Fish(said(&e)))?;
    let density = dense.at_harvest.space.value * ENOUGH;
    let water = group * harvest.value / density;
    let split = ((water / LARGE).ceil() as usize).clamp(1, MOST_TANKS / groups);
    let count = (group / split as f64 - 1e-6).ceil();
    let yearly = count * (split * groups) as f64 * lives * harvest.value * year / time;
    Ok(Fish { tanks: groups * split, count, masses, harvest, time, yearly, density })
}

fn said(faults: &[FieldError]) -> String {
    faults.first().map_or_else(String::new, ToString::to_string)
}

/// Some part would have to be larger than its calculator takes.
fn past(faults: &[FieldError]) -> String {
    format!("That is more than one such system is planned for here. {}", said(faults))
}

impl Parts {
    fn first(goal: &Goal, f: &Fish, each: bool) -> Self {
        let water = f.count * f.harvest.value / f.density;
        let volume = up(water.max(l(100.0)), goal.sizes.step(VOLUME, if water > 1.0 { 0.1 } else { 0.05 }));
        let depth = DEPTHS.iter().find(|d| volume <= d.0).map_or(1.2, |d| d.1);
        let flow = up(volume / AIM / HOUR, goal.sizes.step(FLOW, l_h(50.0)));
        let all = if each { flow } else { flow * f.tanks as f64 };
        Self {
            volume,
            depth,
            flow,
            most: up(all / AIM, goal.sizes.step(FLOW, l_h(100.0))),
            each,
            outlet: 0,
            ways_out: [0; 2],
            air: l_min(10.0),
            settler: (0.4, 1.0),
            bed: goal.greens.value,
            sump: 0.15,
            media: l(20.0),
        }
    }
    /// The filter's medium: that of the bed, or carriers of plastic.
    fn medium(goal: &Goal) -> &'static Medium {
        if goal.method.holds_medium() { BedIn::default().medium } else { &MEDIA[MEDIA.len() - 1] }
    }
    /// How much of it: at least what the bed holds.
    fn filter(&self, goal: &Goal) -> f64 {
        let bed = if goal.method.holds_medium() { self.bed * BedIn::default().depth.value } else { 0.0 };
        self.media.max(bed)
    }
    fn surface(&self) -> f64 {
        self.volume / self.depth
    }
    fn width(&self) -> f64 {
        (self.surface() * 4.0 / std::f64::consts::PI).sqrt()
    }
    /// Floor that all of it stands on, each round thing as the square around it.
    fn floor(&self, goal: &Goal, f: &Fish) -> f64 {
        let bed = if goal.method.stands == Stands::Tower { self.bed / TOWER_FACE } else { self.bed };
        let sump = self.sump;
        self.width().powi(2) * f.tanks as f64 + self.settler.0.powi(2) * self.settler.1 + bed + sump
    }
    fn build(&self, goal: &Goal, f: &Fish) -> Document {
        let (pipe, n) = outlets(goal.sizes)[self.outlet];
        let bore = pipe.bore().map_or(0.05, |b| b.value);
        let named = |word: &str, i: usize, n: usize| if n > 1 { format!("{word} {}", i + 1) } else { word.to_string() };
        let id = |word: &str, i: usize, n: usize| if n > 1 { format!("{word}{}", i + 1) } else { word.to_string() };
        let edge = |from: &str, to: &str, q: f64| Edge {
            from: from.into(),
            to: to.into(),
            flow: FLOW.of(q),
            ..Edge::default()
        };
        let pumps = if self.each { f.tanks } else { 1 };
        let mut d = Document {
            name: format!("{} with {}", goal.species.label, goal.crop.noun),
            water: Water {
                today: goal.mean(),
                hottest: goal.hottest,
                coldest: goal.coldest,
                altitude: goal.altitude,
                filter_age: DAYS.of(RIPE),
            },
            sumps: vec![Sump {
                id: "sump".into(),
                name: "Sump".into(),
                levels: vec![SumpLevels(self.sump_levels(goal, f))],
            }],
            ammonia: vec![Ammonia(
                AmmoniaIn {
                    medium: Self::medium(goal),
                    media: VOLUME.of(self.filter(goal)),
                    protein: goal.species.protein(),
                    tan: CONCENTRATION.of(0.0),
                    nitrite: CONCENTRATION.of(0.0),
                    test_read: YesNo::No,
                    ..AmmoniaIn::default()
                },
                FilterAt::Beds,
            )],
            stocking: vec![Default::default()],
            groups: if f.masses.len() > 1 { vec![Groups { stocked: goal.start }] } else { vec![] },
            settlers: vec![self.planned_settler(goal, f, pumps)],
            beds: vec![Bed {
                id: "bed".into(),
                name: "Grow bed".into(),
                bed: BedIn {
                    crop: goal.crop,
                    method: goal.method,
                    area: AREA.of(self.bed),
                    species: goal.species,
                    ..BedIn::default()
                },
                outlet: self.bed_outlet(goal, pumps).into_iter().collect(),
                ..Bed::default()
            }],
            ..Document::default()
        };
        for i in 0..pumps {
            let name = named("Pump", i, pumps);
            d.pumps.push(Pump { id: id("pump", i, pumps), name, most: FLOW.of(self.most), ..Pump::default() });
            d.edges.push(edge("sump", &id("pump", i, pumps), 0.0));
        }
        for i in 0..f.tanks {
            let own = id("tank", i, f.tanks);
            let mass = f.masses[i * f.masses.len() / f.tanks];
            let group = FishGroup::counted(goal.species, COUNT.of(f.count), mass);
            let air = Air { flow: AIR_FLOW.of(self.air), depth: LENGTH.of(self.depth - 0.05), ..Air::default() };
            let hole = mm(140.0_f64.max(bore / mm(1.0) + 80.0));
            d.tanks.push(Tank {
                id: own.clone(),
                name: named("Fish tank", i, f.tanks),
                oxygen: OxygenIn {
                    fish: vec![group],
                    volume: VOLUME.of(self.volume),
                    air,
                    fall: Fall::Broken,
                    fall_height: LENGTH.of(0.2),
                    depth: LENGTH.of(self.depth),
                    ..OxygenIn::default()
                },
                harvest: f.harvest,
                outlet: DrainIn {
                    pipe,
                    outlets: COUNT.of(n),
                    hole_depth: SHORT_LENGTH.of(hole),
                    riser: LENGTH.of(self.depth),
                    riser_fittings: vec![FittingRow::default()],
                    length: LENGTH.of(1.2),
                    surface: AREA.of(self.surface()),
                    ..DrainIn::default()
                },
            });
            d.edges.push(edge(&id("pump", if self.each { i } else { 0 }, pumps), &own, self.flow));
        }
        for i in 0..f.tanks {
            d.edges.push(edge(&id("tank", i, f.tanks), "settler", 0.0));
        }
        d.edges.push(edge("settler", "bed", 0.0));
        d.edges.push(edge("bed", "sump", 0.0));
        d
    }
    /// An outlet of the settler, through its wall, or a standpipe of the bed.
    fn way_out(arrangement: Arrangement, (pipe, n): (&'static Pipe, f64)) -> WayOut {
        let bore = pipe.bore().map_or(mm(50.0), |b| b.value);
        let hole_depth = SHORT_LENGTH.of(bore + mm(60.0));
        let (standpipe, lip_depth) = (BedIn::default().depth, SHORT_LENGTH.of(mm(80.0)));
        let WayOut(o) = WayOut::default();
        let outlets = COUNT.of(n);
        WayOut(DrainIn { arrangement, pipe, outlets, hole_depth, standpipe, lip_depth, ..o })
    }
    /// The outlet of the bed: as wide, and as many, that the water over all of it stays shallow, with one of several blocked too. None where water stands
    /// at none, or where they are not enough.
    fn bed_outlet(&self, goal: &Goal, pumps: usize) -> Option<WayOut> {
        let comes = self.most * pumps as f64;
        let stands = goal.method.holds_medium() || goal.method.stands == Stands::Raft;
        let shallow = |sized: &(&'static Pipe, f64)| {
            let outlet = Self::way_out(Arrangement::Rim, *sized).0.outlet().ok();
            let level = outlet.map(|o| o.stand(FLOW.of(comes / (sized.1 - 1.0).max(1.0))).level);
            level.is_some_and(|l| l.value <= SHALLOW)
        };
        let wider =
            outlets(goal.sizes).into_iter().skip(self.ways_out[1]).filter(|_| stands && comes <= ends::OUTLET_FLOW[1]);
        wider.filter(shallow).map(|sized| Self::way_out(Arrangement::Rim, sized)).next()
    }
    /// Water over a bed whose outlet is not planned.
    fn over_bed(&self, goal: &Goal, f: &Fish) -> f64 {
        let pumps = if self.each { f.tanks } else { 1 };
        let stands = if goal.method.stands == Stands::Raft {
            1.0
        } else if goal.method.holds_medium() {
            BedIn::default().porosity.value
        } else {
            0.0
        };
        if self.bed_outlet(goal, pumps).is_some() { 0.0 } else { self.bed * stands * SHALLOW }
    }
    fn sump_levels(&self, goal: &Goal, f: &Fish) -> LevelsIn {
        let surface = self.surface() * f.tanks as f64 + self.bed + self.sump;
        LevelsIn {
            volume: VOLUME.of(self.sump * SUMP_DEPTH),
            depth: LENGTH.of(SUMP_DEPTH),
            mark: SHORT_LENGTH.of(SUMP_DEPTH * FILLED),
            evaporation: DAILY_VOLUME.of(surface * EVAPORATES / days(1.0)),
            other_pipes: VOLUME.of((l(3.0) * f.tanks as f64 + self.over_bed(goal, f)).min(ends::SUMP_PIPES[1])),
            ..LevelsIn::default()
        }
    }
    /// The settler with its outlet, which is as wide as its page asks for.
    fn planned_settler(&self, goal: &Goal, f: &Fish, pumps: usize) -> Settler {
        let (mut settling, all) = (self.settling(f), outlets(goal.sizes));
        let wide = |(pipe, n): &(&Pipe, f64)| pipe.bore().map_or(0.0, |b| b.value * n.sqrt()) >= settling.outlet.value;
        let from = &all[self.ways_out[0]..];
        let (pipe, n) = from.iter().copied().find(wide).unwrap_or(from[0]);
        let outlet = (self.most * pumps as f64 <= ends::OUTLET_FLOW[1] * self.settler.1)
            .then(|| Self::way_out(Arrangement::Wall, (pipe, n)));
        if let Some(bore) = pipe.bore().filter(|_| outlet.is_some() && n <= 1.0) {
            settling.outlet = bore;
        }
        Settler { id: "settler".into(), name: "Settler".into(), settling, outlet: outlet.into_iter().collect() }
    }
    fn settling(&self, f: &Fish) -> SettlingIn {
        let each = self.flow * f.tanks as f64 / self.settler.1;
        // Bores for the speeds that the settler's own calculator asks for.
        let bore = |speed: f64| up((each / speed * 4.0 / std::f64::consts::PI).sqrt(), 0.005).min(0.5);
        SettlingIn {
            diameter: SHORT_LENGTH.of(self.settler.0),
            count: COUNT.of(self.settler.1),
            inlet: SHORT_LENGTH.of(bore(0.45)),
            outlet: SHORT_LENGTH.of(bore(0.3)),
            ..SettlingIn::default()
        }
    }
    /// Grows what a level lacks; false where it cannot.
    fn grow(&mut self, goal: &Goal, f: &Fish, kind: StationKind, l: &Level) -> bool {
        let short = l.load().map_or(2.0, |x| x / AIM).clamp(1.01, 2.0);
        let all = if self.each { 1.0 } else { f.tanks as f64 };
        let (few, many) = (goal.sizes.step(FLOW, l_h(50.0)), goal.sizes.step(FLOW, l_h(100.0)));
        match l.id.as_ref() {
            level::PUMP => self.most = up(self.most * short, many),
            // Water that turns a tank over, or carries the ammonia to the filter.
            level::TURNOVER | level::FLOW => {
                self.flow = up(self.flow * short, few);
                self.most = self.most.max(up(self.flow * all / AIM, many));
            }
            level::OUTLET => {
                let at = match kind {
                    StationKind::Settler => &mut self.ways_out[0],
                    StationKind::Bed => &mut self.ways_out[1],
                    _ => &mut self.outlet,
                };
                *at += 1;
                return *at < outlets(goal.sizes).len();
            }
            level::OXYGEN if self.air < ends::STONES[1] => {
                self.air = up(self.air * short, goal.sizes.step(AIR_FLOW, l_min(5.0))).min(ends::STONES[1])
            }
            level::SETTLING => {
                let wide = up(self.settler.0 * short.sqrt(), goal.sizes.step(SHORT_LENGTH, 0.01));
                self.settler = match (wide > SETTLER.0, self.settler.1 < SETTLER.1) {
                    (true, true) => (SETTLER.0, self.settler.1 + 1.0),
                    _ => (wide, self.settler.1),
                };
                if wide > 9.0 {
                    return false;
                }
            }
            level::DRY | level::SPILL | level::SUMP => self.sump = up(self.sump * short, 0.05),
            level::FILTER | level::AMMONIA => self.media = up(self.filter(goal) * short, goal.sizes.step(VOLUME, 0.01)),
            _ => return false,
        }
        self.most.max(self.flow) <= ends::OUTLET_FLOW[1]
            && self.sump * SUMP_DEPTH <= ends::SUMP_WATER[1]
            && self.media <= ends::AMMONIA_MEDIA[1]
    }
}

/// Passes: enough, or inside both brims where there are two.
pub fn passes(l: &Level) -> bool {
    let most = if matches!(l.brim, Brim::Between { .. }) { 1.0 } else { ENOUGH };
    l.load().is_some_and(|x| x <= most + 1e-9)
}

fn crop_bears(goal: &Goal, w: Words) -> Result<(), End> {
    let kills = goal.crop.dies_below().filter(|d| goal.coldest < *d).map(|_| goal.coldest);
    let no = [goal.mean(), goal.hottest].into_iter().chain(kills).find_map(|t| unborne(goal.crop, t, w));
    no.map_or(Ok(()), |no| Err(End::Crop(no)))
}

/// Water that a planned bed's outlet may need over its foot, m: what stands over all of a bed has to come out of the sump, and goes back there.
const SHALLOW: f64 = mm(40.0);

/// Outlets of one tank that somebody may well cut.
const MOST_HOLES: f64 = 2.0;

fn attempt(goal: &Goal, w: Words) -> Result<Planned, End> {
    let mut goal = goal.clone();
    if goal.want == Want::Greens {
        // Feed goes with the fish: so many as the plants in the middle of their range want.
        let once = fish_of(&Goal { fish: MASS.of(100.0), ..goal.clone() }, w)?;
        let feed = feed_of(&goal, &once);
        let middle = wanted(&goal, feed);
        if middle > 0.0 {
            goal.fish = MASS.of(once.yearly * goal.greens.value / middle);
        }
    }
    let goal = &goal;
    let f = fish_of(goal, w)?;
    crop_bears(goal, w)?;
    // One pump for all tanks, or where its outlets cannot be had, or are more than anybody cuts, one for each.
    let holed = |p: &Planned| p.document.tanks.iter().any(|t| t.outlet.outlets.value > MOST_HOLES);
    match grown(goal, &f, false, w) {
        Err(End::Part(_)) if f.tanks > 1 => grown(goal, &f, true, w),
        Ok(p) if f.tanks > 1 && holed(&p) => Ok(grown(goal, &f, true, w).ok().filter(|each| !holed(each)).unwrap_or(p)),
        done => done,
    }
}

/// Feed of all the fish today, kg/s.
fn feed_of(goal: &Goal, f: &Fish) -> f64 {
    let one = |m: &Mass| m.value * feeding::ration(goal.species, *m, goal.mean()).value;
    f.masses.iter().map(one).sum::<f64>() / f.masses.len() as f64 * f.count * f.tanks as f64
}

/// Plant area in the middle of what a feed keeps, m2.
fn wanted(goal: &Goal, feed: f64) -> f64 {
    let (low, high) = goal.method.ratio(goal.crop.hunger);
    (feed / low.value + feed / high.value) / 2.0
}

fn grown(goal: &Goal, f: &Fish, each: bool, w: Words) -> Result<Planned, End> {
    let mut parts = Parts::first(goal, f, each);
    if goal.want == Want::Fish {
        let area = wanted(goal, feed_of(goal, f));
        parts.bed = significant(area.max(0.02), 2);
    }
    // What does not fit at first will not when it has grown.
    fits(goal, f, &parts, w)?;
    for _ in 0..ROUNDS {
        let document = parts.build(goal, f);
        let levels = report::levels(&document).map_err(|e| End::Part(past(&e)))?;
        let lacking: Vec<&Checked> = levels.iter().filter(|l| !passes(&l.level)).collect();
        if lacking.is_empty() {
            return fits(goal, f, &parts, w).map(|floor| finished(goal, f, &parts, (document, levels, floor), w));
        }
        // What limits the flow grows first: until it does, the rest is short of water and not of size.
        let limits = |l: &&Checked| matches!(l.level.id.as_ref(), level::OUTLET | level::PUMP);
        let first = lacking.iter().any(limits);
        let mut done: Vec<(&str, StationKind)> = vec![];
        let stations = document.stations();
        for l in lacking.iter().filter(|l| !first || limits(l)) {
            let (id, kind) = (l.level.id.as_ref(), stations[l.station].kind);
            if !done.contains(&(id, kind)) && !parts.grow(goal, f, kind, &l.level) {
                return Err(stuck(goal, &l.level, w));
            }
            done.push((id, kind));
        }
    }
    Err(End::Part("The parts kept asking each other for more; there is no end to it at this size.".into()))
}

fn stuck(goal: &Goal, l: &Level, w: Words) -> End {
    match l.brim {
        Brim::Between { low, high, .. } if l.id == level::BED => {
            let area = l.demand.high;
            let keeps = w.range(AREA, AREA.of(low), AREA.of(high));
            let why = format!(
                "These fish feed {keeps} of {} {}; {} is {}.",
                goal.crop.noun,
                goal.method.noun,
                w.q(AREA, AREA.of(area)),
                if area < low {
                    "too little, and the water would be left rich"
                } else {
                    "too much, and the plants would go hungry"
                }
            );
            End::Balance(why, [area, low, high])
        }
        _ => End::Part(format!("{}: {}, and no larger part is sold for it.", l.name, l.figures(w.system))),
    }
}

/// The floor that it takes, if the room has it.
fn fits(goal: &Goal, f: &Fish, parts: &Parts, w: Words) -> Result<f64, End> {
    let room = goal.length.value * goal.width.value;
    let narrow = goal.length.value.min(goal.width.value);
    let floor = parts.floor(goal, f);
    let widest = parts.width().max(parts.settler.0);
    if widest > narrow {
        let why = format!(
            "The widest part is {} across; the room is only {} wide.",
            w.q(LENGTH, LENGTH.of(widest)),
            w.q(LENGTH, LENGTH.of(narrow))
        );
        return Err(End::Room(why, floor));
    }
    if floor > room * STANDS_ON {
        return Err(End::Room(crowded(goal, floor, w), floor));
    }
    Ok(floor)
}

fn crowded(goal: &Goal, floor: f64, w: Words) -> String {
    let room = goal.length.value * goal.width.value;
    format!(
        "The parts stand on {}; of this room's {} they may take {}: the rest is for walking and working.",
        w.q(AREA, AREA.of(floor)),
        w.q(AREA, AREA.of(room)),
        w.q(AREA, AREA.of(room * STANDS_ON))
    )
}

fn finished(
    goal: &Goal,
    f: &Fish,
    parts: &Parts,
    (document, levels, floor): (Document, Vec<Checked>, f64),
    w: Words,
) -> Planned {
    let groups = f.masses.len() as f64;
    let every = DAYS.of(f.time / groups);
    let lives = f.count * f.tanks as f64 / groups * (1.0 - goal.losses.value);
    let mut notes = vec![
        format!(
            "A group grows from {} to {} in about {}. Every {} one is harvested, about {} fish, and {} are put in.",
            w.mass(SMALL_MASS, goal.start),
            w.mass(SMALL_MASS, f.harvest),
            w.q(DAYS, DAYS.of(f.time)),
            w.q(DAYS, every),
            w.q(COUNT, COUNT.of(lives)),
            w.q(COUNT, COUNT.of(f.count * f.tanks as f64 / groups)),
        ),
        "It is checked as it will run, with a ripe filter. Stock it in steps: the start-up calculator says how soon."
            .into(),
    ];
    notes.push(format!(
        "Find a pump whose curve gives {} at the height it has to lift, then put in its curve and its pipes.",
        w.q(FLOW, FLOW.of(if parts.each { parts.flow } else { parts.flow * f.tanks as f64 }))
    ));
    let tank = document.tanks.first().map(|t| &t.oxygen);
    notes.extend(tank.and_then(|t| storm(t.air.flow, t.volume, w)));
    if goal.method.holds_medium() {
        notes.push("The medium is counted once as a bed and once as the filter. It may drain through a siphon: put one in and check.".into());
    }
    if goal.coldest < goal.species.stops_below() {
        notes.push(format!(
            "Below {} they stop feeding, and the plants then live on what is left in the water.",
            w.q(TEMPERATURE, goal.species.stops_below())
        ));
        notes.extend(super::check::no_winter(goal.species, goal.coldest, w));
    }
    if plants::liking(goal.crop, goal.coldest).bad() {
        notes.push(format!("In the coldest weeks the water is too cold for {}.", goal.crop.noun));
    }
    notes.push(goal.species.permit.into());
    Planned {
        document,
        levels,
        yearly: MASS.of(f.yearly),
        greens: AREA.of(parts.bed),
        floor: AREA.of(floor),
        every: (every, lives),
        notes,
    }
}

/// Plans a system.
///
/// # Errors
/// What makes it impossible, and the nearest goals that are possible.
pub fn plan(goal: &Goal, w: Words) -> Result<Planned, Refused> {
    if let Some(fault) = check(&mut goal.clone(), w.system).first() {
        return Err(Refused { why: fault.to_string(), near: vec![] });
    }
    let mut end = match attempt(goal, w) {
        Ok(planned) => return Ok(planned),
        Err(end) => end,
    };
    // A room may be too small for parts that are not yet large enough: what counts is what they stand on in the end. And what no room cures
    // is said before the room.
    if let End::Room(why, floor) = &mut end {
        let longest = LENGTH.of(LONGEST);
        let long = Goal { length: longest, ..goal.clone() };
        if let Ok(p) = attempt(&long, w) {
            (*why, *floor) = (crowded(goal, p.floor.value, w), p.floor.value);
        } else if let Err(other) = attempt(&Goal { width: longest, ..long }, w)
            && !matches!(other, End::Room(..))
        {
            end = other;
        }
    }
    let near = near(goal, &end, w);
    Err(Refused { why: end.why(), near })
}

impl Planned {
    /// What came of it, in a few sentences.
    pub fn verdict(&self, w: Words) -> String {
        let d = &self.document;
        let tanks = match (d.tanks.len(), d.tanks.first()) {
            (1, Some(t)) => format!("one tank of {}", w.q(VOLUME, t.oxygen.volume)),
            (n, Some(t)) => format!("{n} tanks of {}", w.q(VOLUME, t.oxygen.volume)),
            _ => String::new(),
        };
        // What is said of what is not checked is what the check of it says.
        let unsaid = report::unsaid_of(d);
        // Between two brims a plan may stand near one of them.
        let tight: Vec<_> = self
            .levels
            .iter()
            .filter(|l| l.level.state() != State::Enough)
            .map(|l| worst::inside(&l.level.name))
            .collect();
        let enough = if tight.is_empty() {
            format!("{}, on the worst day too", report::enough(&unsaid))
        } else {
            format!("Enough on the worst day too, but tight: {}", crate::units::listed(&tight))
        };
        let cold = report::unheated(&self.document, w).map_or(String::new(), |cold| format!(" {cold}"));
        format!(
            "{} of fish a year and {} of greens: {tanks}. {enough}.{unsaid}{cold}",
            w.q(MASS, self.yearly),
            w.q(AREA, self.greens)
        )
    }
    /// Its parts: name and size.
    pub fn sizes(&self, w: Words) -> Vec<(&'static str, String)> {
        let d = &self.document;
        let (Some(t), Some(p)) = (d.tanks.first(), d.pumps.first()) else { return vec![] };
        let times = |n: usize| if n > 1 { format!("{n} × ") } else { String::new() };
        let mut rows = vec![
            ("Fish tanks", format!("{}{}", times(d.tanks.len()), w.q(VOLUME, t.oxygen.volume))),
            ("Fish in all", format!("{} of mixed age", w.q(COUNT, COUNT.of(d.tanks.iter().map(Tank::fish).sum())))),
            ("Flow to each tank", d.edges.iter().find(|e| e.to == t.id).map_or(String::new(), |e| w.q(FLOW, e.flow))),
            ("Pump, at most", format!("{}{}", times(d.pumps.len()), w.q(FLOW, p.most))),
            (
                "Outlet of each tank",
                format!("{}{}", times(t.outlet.outlets.value as usize), t.outlet.pipe.words(w.system)),
            ),
            ("Air in each tank", w.q(AIR_FLOW, t.oxygen.air.flow)),
        ];
        for s in &d.settlers {
            let i = &s.settling;
            let across = w.q(SHORT_LENGTH, i.diameter);
            rows.push(("Settler", format!("{}{}, {across} across", times(i.count.value as usize), i.kind.label)));
        }
        for h in d.outlets().iter().filter(|h| h.kind != StationKind::Tank) {
            let name = if h.kind == StationKind::Bed { "Outlet of the bed" } else { "Outlet of the settler" };
            let o = &h.outlet;
            rows.push((name, format!("{}{}", times(o.outlets.value as usize), o.pipe.words(w.system))));
        }
        for l in d.sumps.iter().flat_map(|s| &s.levels) {
            rows.push(("Sump", format!("{}, filled to {}", w.q(VOLUME, l.0.volume), w.q(SHORT_LENGTH, l.0.mark))));
        }
        for a in &d.ammonia {
            rows.push(("Filter", format!("{} of {}", w.q(VOLUME, a.0.media), a.0.medium.label.to_ascii_lowercase())));
        }
        rows.push(("Plant area", w.q(AREA, self.greens)));
        rows.push(("Floor, without paths", w.q(AREA, self.floor)));
        rows.push(("A harvest every", w.q(DAYS, self.every.0)));
        rows
    }
}

/// The fields of a goal, described.
pub fn describe() -> Vec<serde_json::Value> {
    crate::calculators::form::describe(&mut Goal::default())
}

/// A goal as JSON to a system document as JSON, with what is said of it beside.
///
/// # Errors
/// Field errors of the goal; what makes it impossible, with the nearest goals as what is accepted.
pub fn answer(
    goal: &serde_json::Map<String, serde_json::Value>,
    w: Words,
) -> Result<serde_json::Value, Vec<FieldError>> {
    let mut wanted = Goal::default();
    read(&mut wanted, goal, w.system)?;
    let p = plan(&wanted, w).map_err(|r| {
        let near: Vec<String> = r.near.iter().map(Near::inside).collect();
        vec![FieldError::new("goal", r.why, near.join("; or "))]
    })?;
    let mut v = super::json::write(&p.document);
    if let Some(o) = v.as_object_mut() {
        let told = serde_json::json!({
            "verdict": p.verdict(w), "fish_a_year": p.yearly.value, "greens": p.greens.value, "floor": p.floor.value, "notes": p.notes,
        });
        o.insert("planned".into(), told);
    }
    Ok(v)
}

/// Most goals near by.
const MOST_NEAR: usize = 3;

/// Goals near by, each tried.
fn near(goal: &Goal, end: &End, w: Words) -> Vec<Near> {
    let mut found: Vec<Near> = vec![];
    let mut offer = |title: String, changed: &Goal, edits: Vec<Edit>| {
        let good = check(&mut changed.clone(), w.system).is_empty() && attempt(changed, w).is_ok();
        if good && found.len() < MOST_NEAR {
            found.push(Near { title, edits });
        }
        good
    };
    let mut balanced = false;
    if let End::Balance(_, [area, low, high]) = *end {
        // A little inside the brim, because fish come in whole numbers.
        let greens = AREA.of(significant(area.clamp(low * 1.05, high * 0.95), 3));
        let title = format!("{} of {}", w.q(AREA, greens), goal.crop.noun);
        balanced |= offer(title, &Goal { greens, ..goal.clone() }, vec![Edit::num("greens", greens)]);
        let by = if area < low { area / low * 0.95 } else { area / high * 1.05 };
        let fish = MASS.of(significant(goal.fish.value * by, 3));
        let title = format!("{} of fish a year", w.q(MASS, fish));
        balanced |= offer(title, &Goal { fish, ..goal.clone() }, vec![Edit::num("fish", fish)]);
        for method in METHODS.iter().filter(|m| m.id != goal.method.id && m.stands != Stands::Tower) {
            let edits = vec![Edit::pick("method", method.id)];
            balanced |= offer(
                format!("The same as {}", method.label.to_ascii_lowercase()),
                &Goal { method, ..goal.clone() },
                edits,
            );
        }
    }
    if let End::Fish(_) = end {
        let s = goal.species;
        let (cool, warm) = (s.stops_above(), s.stops_below());
        if goal.hottest > cool {
            let title = format!("Water kept under {}", w.q(TEMPERATURE, cool));
            let changed = Goal { hottest: cool, ..goal.clone() };
            offer(title, &changed, vec![Edit::num("hottest", cool)]);
        }
        if goal.coldest < warm {
            let title = format!("Water kept over {}", w.q(TEMPERATURE, warm));
            let changed = Goal { coldest: warm, ..goal.clone() };
            offer(title, &changed, vec![Edit::num("coldest", warm)]);
        }
    }
    if let End::Crop(_) = end {
        for crop in CROPS.iter().filter(|c| c.hunger == goal.crop.hunger).chain(&CROPS) {
            if offer(
                format!("{} instead", crop.label),
                &Goal { crop, ..goal.clone() },
                vec![Edit::pick("crop", crop.id)],
            ) {
                break;
            }
        }
    }
    if let End::Room(_, floor) = *end {
        let long = LENGTH.of(up(floor / STANDS_ON / goal.width.value, goal.sizes.step(LENGTH, 0.1)));
        let title = format!("A room of {} by {}", w.q(LENGTH, long), w.q(LENGTH, goal.width));
        offer(title, &Goal { length: long, ..goal.clone() }, vec![Edit::num("length", long)]);
    }
    if (matches!(end, End::Room(..) | End::Part(_)) || matches!(end, End::Balance(..)) && !balanced)
        && let Some((title, changed, edits)) = smaller(goal, w)
        && (!matches!(end, End::Balance(..)) || is_near(goal, &changed))
    {
        offer(title, &changed, edits);
    }
    if matches!(end, End::Fish(_) | End::Part(_) | End::Crop(_)) {
        for species in SPECIES.iter().filter(|s| s.id != goal.species.id) {
            let edits = vec![Edit::pick("species", species.id)];
            if offer(format!("{} instead", species.label), &Goal { species, ..goal.clone() }, edits) {
                break;
            }
        }
    }
    // Where no one change does it, other fish and another crop together, or less of them in such a room.
    if matches!(end, End::Fish(_) | End::Crop(_)) && found.is_empty() {
        found.extend(suited(goal, w));
    }
    found
}

/// Other fish, or another crop, or both, that bear the water: as much of them as can be planned. The fish that are wanted come first.
fn suited(goal: &Goal, w: Words) -> Option<Near> {
    let other = |s: &&Species| s.id != goal.species.id;
    for species in [goal.species].into_iter().chain(SPECIES.iter().filter(other)) {
        if fish_of(&Goal { species, ..goal.clone() }, w).is_err() {
            continue;
        }
        let alike = |c: &&'static Crop| c.hunger == goal.crop.hunger;
        let bears = |c: &&'static Crop| crop_bears(&Goal { crop: c, ..goal.clone() }, w).is_ok();
        let crops = [goal.crop].into_iter().chain(CROPS.iter().filter(alike)).chain(&CROPS);
        let crop = crops.into_iter().find(bears)?;
        let both = Goal { species, crop, ..goal.clone() };
        let (mut names, mut edits) = (vec![], vec![]);
        if species.id != goal.species.id {
            names.push(species.label.to_string());
            edits.push(Edit::pick("species", species.id));
        }
        if crop.id != goal.crop.id {
            names.push(if names.is_empty() { crop.label.to_string() } else { lower(crop.label) });
            edits.push(Edit::pick("crop", crop.id));
        }
        let title = format!("{} instead", crate::units::listed(&names));
        if attempt(&both, w).is_ok() {
            return Some(Near { title, edits });
        }
        if let Some((less, _, more)) = smaller(&both, w).filter(|s| is_near(goal, &s.1)) {
            edits.extend(more);
            return Some(Near { title: format!("{title}: {less}"), edits });
        }
    }
    None
}

/// With less than this part of what is wanted a goal is no longer near by (judgement).
const LEAST_PART: f64 = 0.1;

/// Is a smaller goal as much of one?
fn is_near(goal: &Goal, smaller: &Goal) -> bool {
    let fish = goal.want == Want::Greens || smaller.fish >= goal.fish * LEAST_PART;
    fish && (goal.want == Want::Fish || smaller.greens >= goal.greens * LEAST_PART)
}

/// A part of a goal is found to a five-hundredth.
const HALVINGS: usize = 9;

/// The largest part of a goal that can be planned.
fn smaller(goal: &Goal, w: Words) -> Option<(String, Goal, Vec<Edit>)> {
    let part = |share: f64| Goal {
        fish: MASS.of(significant(goal.fish.value * share, 2).max(0.5)),
        greens: AREA.of(significant(goal.greens.value * share, 2).max(0.1)),
        ..goal.clone()
    };
    let [good, _] = halve(0.0, 1.0, HALVINGS, |share| attempt(&part(share), w).is_ok());
    (good > 0.0).then(|| {
        let g = part(good);
        let (mut title, mut edits) = (vec![], vec![]);
        if goal.want != Want::Greens {
            title.push(format!("{} of fish a year", w.q(MASS, g.fish)));
            edits.push(Edit::num("fish", g.fish));
        }
        if goal.want != Want::Fish {
            title.push(format!("{} of {}", w.q(AREA, g.greens), g.crop.noun));
            edits.push(Edit::num("greens", g.greens));
        }
        (title.join(" and "), g, edits)
    })
}

#[cfg(test)]
mod tests;
