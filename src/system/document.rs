//! The saved document of a whole system: its stations, each with an identifier, and the edges the water takes between them.
//!
//! It is declared with the same walk as a calculator's inputs, so that the page, JSON, the range check and the edits of repairs come from
//! one place. A station holds the very inputs of the calculators that check it, without the fields that the system itself knows (such as
//! the flow through it).

use super::notes::Notes;
use crate::calculators::drain::{Arrangement, DrainIn};
use crate::calculators::{ammonia::AmmoniaIn, bed::BedIn, form::*, heat::HeatIn, levels::LevelsIn};
use crate::calculators::{oxygen::OxygenIn, pump, pump::PumpIn, settling::SettlingIn, siphon::SiphonIn, stocking};
use crate::catalog::crops::Stands;
use crate::science::{plants, settling};
use crate::units::{kinds::*, si::*, *};

/// Version of the document that this build writes. Version 2 added what may be said of a station: the levels of a sump, the curve of a pump
/// and the pipes of its branches, siphons, heat, and the ammonia test with its filter. Each is a list of one row or none, and none means that nothing
/// was said; a version 1 document is read as one that says nothing of them. Version 3 added the stocking that is held to, in the same way,
/// version 4 the outlets of settlers and beds, version 5 the harvest group by group, and version 6 whether a water test and its alkalinity were read.
pub const VERSION: u64 = 6;
/// Most stations of one kind.
const MOST: usize = 12;
/// What may stand on the box of a pump, m3/s.
pub const BOX: [f64; 2] = [l_h(10.0), l_h(50_000.0)];
/// Mass of fish that are put in, kg.
pub const STOCKED: [f64; 2] = [g(0.5), 2.0];
/// Most edges.
const MOST_EDGES: usize = 60;
/// Most characters of an identifier.
pub(super) const ID: usize = 12;
/// Most characters of a name.
pub const NAME: usize = 60;

/// A whole system.
#[derive(Debug, Clone, Default)]
pub struct Document {
    /// What the person calls it.
    pub name: String,
    /// The water, and the place.
    pub water: Water,
    /// Sumps, from which pumps draw.
    pub sumps: Vec<Sump>,
    /// Pumps.
    pub pumps: Vec<Pump>,
    /// Fish tanks.
    pub tanks: Vec<Tank>,
    /// Settlers.
    pub settlers: Vec<Settler>,
    /// Grow beds.
    pub beds: Vec<Bed>,
    /// The way of the water.
    pub edges: Vec<Edge>,
    /// Heaters, lids, walls and climate, if said.
    pub heat: Vec<Heat>,
    /// Water test and filter, if said.
    pub ammonia: Vec<Ammonia>,
    /// How many fish the tanks may hold, if said.
    pub stocking: Vec<Stocking>,
    /// That fish are harvested group by group, if said; else all are counted as grown at once.
    pub groups: Vec<Groups>,
    /// What the person notes beside it.
    pub notes: Notes,
}

/// The water, and the place.
#[derive(Debug, Clone)]
pub struct Water {
    /// Today.
    pub today: ThermodynamicTemperature,
    /// The hottest it gets.
    pub hottest: ThermodynamicTemperature,
    /// The coldest it gets.
    pub coldest: ThermodynamicTemperature,
    /// Height above the sea.
    pub altitude: Length,
    /// How long the filter has been fed.
    pub filter_age: Time,
}

/// A sump.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sump {
    /// Identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// Its size and fill mark, if said.
    pub levels: Vec<SumpLevels>,
}

/// A pump. What it sends to each tank stands on the edges: set flows, or pipes when its curve is known too.
#[derive(Debug, Clone, PartialEq)]
pub struct Pump {
    /// Identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// The number on the box: what it sends with nothing to lift.
    pub most: VolumeRate,
    /// Its curve and main pipe, if said; then `most` counts for nothing.
    pub curve: Vec<Curve>,
    /// Nothing that is kept: the set flows are what its curve gives, so that its sump has no more to fear ([`super::supply::by_hand`]).
    pub as_solved: bool,
}

/// A fish tank with its outlet, its air and its fish.
#[derive(Debug, Clone)]
pub struct Tank {
    /// Identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// Its fish, water and air: the inputs of the oxygen balance.
    pub oxygen: OxygenIn,
    /// Mean mass at which the fish are harvested.
    pub harvest: Mass,
    /// Its outlet.
    pub outlet: DrainIn,
}

impl Tank {
    /// How many fish it holds, all groups together.
    pub fn fish(&self) -> f64 {
        self.oxygen.fish.iter().map(|g| (g.total() / g.mass).value).sum()
    }
}

impl Document {
    /// Is all known of a pump that its flow is worked out from: its curve, and the pipe of every branch?
    pub fn described(&self, pump: &Pump) -> bool {
        !pump.curve.is_empty() && self.edges.iter().filter(|e| e.from == pump.id).all(|e| !e.run.is_empty())
    }
    /// The most that comes of a pump whose branches are set by hand. With its curve, no more than it gives, all friction left out, at the highest of those
    /// of its outlets whose height is known: while water leaves there, all that the pump sends is lifted as high.
    pub fn can_lift(&self, pump: &Pump) -> VolumeRate {
        let used = self.edges.iter().filter(|e| e.from == pump.id && e.flow.value > 0.0);
        let highest = used.filter_map(|e| e.run.first()).map(|r| r.0.lift).fold(LENGTH.of(0.0), Length::max);
        let curve = pump.curve.first().and_then(|c| pump::pumps(&c.0).ok());
        curve.map_or(pump.most, |p| p.flow(highest))
    }
}

impl Pump {
    /// The most it can ever send, with nothing to lift: by its curve if that is known.
    pub fn can_send(&self) -> VolumeRate {
        self.curve.first().and_then(|c| pump::pumps(&c.0).ok()).map_or(self.most, |p| p.free_flow())
    }
}

/// A settler.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Settler {
    /// Identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// What it is.
    pub settling: SettlingIn,
    /// Its way out, if said.
    pub outlet: Vec<WayOut>,
}

/// A grow bed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Bed {
    /// Identifier.
    pub id: String,
    /// Name.
    pub name: String,
    /// What it is.
    pub bed: BedIn,
    /// Its automatic siphon, if it has one.
    pub siphon: Vec<Siphon>,
    /// Its way out, if said; a siphon takes its place.
    pub outlet: Vec<WayOut>,
}

impl Settler {
    /// Open water of one of them.
    pub fn surface(&self) -> Area {
        settling::round(self.settling.diameter)
    }
}

impl Bed {
    /// The water that rises and falls in it; nothing where it stands in none.
    pub fn surface(&self) -> Area {
        match self.bed.method.stands {
            Stands::Medium => self.bed.area * self.bed.porosity,
            Stands::Raft => self.bed.area,
            Stands::Film | Stands::Tower => AREA.of(0.0),
        }
    }
    /// Has it no siphon, and water that stands at an outlet?
    pub fn stands(&self) -> bool {
        self.siphon.is_empty() && self.surface().value > 0.0
    }
    /// Bulk of its medium; nothing without one.
    pub fn medium(&self) -> Volume {
        if self.bed.method.holds_medium() { plants::bulk(self.bed.area, self.bed.depth) } else { VOLUME.of(0.0) }
    }
    /// Plan of its rafts or channels; nothing with a medium.
    pub fn rafts(&self) -> Area {
        if self.bed.method.holds_medium() { AREA.of(0.0) } else { self.bed.area }
    }
}

/// Water runs from one station to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Identifier of the station it leaves.
    pub from: String,
    /// Identifier of the station it reaches.
    pub to: String,
    /// What it is set to, where it leaves a pump; elsewhere what comes runs on, and this counts for nothing.
    pub flow: VolumeRate,
    /// Its pipe, where it leaves a pump, if said. With the pump's curve it gives the flow.
    pub run: Vec<Run>,
    /// Nothing that is kept: its set flow counts in spite of its pipe.
    pub as_set: bool,
}

/// A part that a station may have: the inputs of a calculator without what the system knows.
macro_rules! part_of {
    ($(#[$doc:meta])* $name:ident, $inputs:ty, $known:ident = [$($key:literal),*]) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Default, PartialEq)]
        pub struct $name(pub $inputs);
        #[doc = "What the system knows of it, and therefore does not ask for there."]
        pub const $known: &[&str] = &[$($key),*];
        impl Fields for $name {
            fn fields(&mut self, f: &mut dyn Form) {
                rest(f, $known, &mut self.0);
            }
        }
    };
}

part_of!(
    /// Size and fill mark of a sump.
    SumpLevels, LevelsIn,
    LEVELS_KNOWN = ["flow_by", "flow", "shut_off", "free_flow", "height", "ends", "tanks", "beds", "pipe", "bore", "length", "elbows", "losses", "temperature"]
);
part_of!(
    /// Curve of a pump, its main pipe and its watts.
    Curve, PumpIn,
    CURVE_KNOWN = ["leads", "lift", "wanted", "valve", "open", "ends", "branches", "fall", "temperature"]
);
part_of!(
    /// The pipe of a branch, from its tee to its end.
    Run, pump::Branch,
    RUN_KNOWN = ["wanted"]
);
part_of!(
    /// The automatic siphon of a bed.
    Siphon, SiphonIn,
    SIPHON_KNOWN = ["inflow", "temperature"]
);
/// The outlet of a settler, or of a bed whose water stands at one.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOut(pub DrainIn);
/// What the system knows of it, and therefore does not ask for there.
pub const WAY_OUT_KNOWN: &[&str] = &["flow", "temperature", "surface"];

impl Default for WayOut {
    fn default() -> Self {
        Self(DrainIn { arrangement: Arrangement::Wall, hole_depth: SHORT_LENGTH.of(mm(100.0)), ..DrainIn::default() })
    }
}

impl Fields for WayOut {
    fn fields(&mut self, f: &mut dyn Form) {
        rest(f, WAY_OUT_KNOWN, &mut self.0);
    }
}

part_of!(
    /// Heaters, lids, walls, room and outdoor climate, for all the water.
    Heat, HeatIn,
    HEAT_KNOWN = ["volume", "surface", "water", "coldest", "hottest", "rafts", "ground"]
);
/// A water test, and the filter with where it stands.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ammonia(pub AmmoniaIn, pub FilterAt);
/// What the system knows of it, and therefore does not ask for there.
pub const AMMONIA_KNOWN: &[&str] = &["species", "temperature", "volume", "feed", "flow", "age"];

impl Fields for Ammonia {
    fn fields(&mut self, f: &mut dyn Form) {
        rest(f, AMMONIA_KNOWN, &mut self.0);
        group(f, &Group::titled("Where the filter is"), true, &mut |f| {
            let at = Pick::new(30, "filter_at", "The filter medium is");
            pick(f, &at.help("Only water that passes there gets to it."), &mut self.1);
        });
    }
}

/// Where the filter is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FilterAt {
    /// In the beds.
    #[default]
    Beds,
    /// In the settlers.
    Settlers,
    /// In the sumps.
    Sumps,
}
crate::choices!(FilterAt:
    Beds = "beds", "In the grow beds", "without any, in the settlers or the sump";
    Settlers = "settlers", "In the settlers", "or in a box that is said as one";
    Sumps = "sumps", "In the sump", "";
);

/// How many fish the water of a tank may hold. Where it is said, the solids are checked too that no settler takes out.
#[derive(Debug, Clone)]
pub struct Stocking {
    /// Where the density comes from.
    pub by: DensityBy,
    /// One of the person's own.
    pub own: MassDensity,
}

/// Where the density that is held to comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DensityBy {
    /// Growers' practice, by air and solids.
    #[default]
    Practice,
    /// The person's own.
    Own,
}
crate::choices!(DensityBy:
    Practice = "practice", "What growers keep", "by a tank's air and solids";
    Own = "own", "A density of my own", "";
);

impl Stocking {
    /// What a tank may hold per water.
    pub fn held_to(&self, tank: &Tank) -> MassDensity {
        match self.by {
            DensityBy::Practice => STOCKING.of(stocking::practice(&tank.oxygen.air, tank.oxygen.solids).value),
            DensityBy::Own => self.own,
        }
    }
}

/// Fish of different age, of which each group is taken out at its harvest and replaced by as many small ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Groups {
    /// Mean mass of those.
    pub stocked: Mass,
}

impl Default for Groups {
    fn default() -> Self {
        Self { stocked: SMALL_MASS.of(g(20.0)) }
    }
}

impl Fields for Groups {
    fn fields(&mut self, f: &mut dyn Form) {
        let stocked = Field::new(1, "stocked", "Mean mass when they are put in", SMALL_MASS);
        let stocked = stocked.range(STOCKED[0], STOCKED[1]).advised(g(2.0), g(200.0)).way(Way::SampleMass);
        num(
            f,
            &stocked.help("Of those that replace a harvested group, as the hatchery sells them."),
            &mut self.stocked,
        );
    }
}

impl Default for Stocking {
    fn default() -> Self {
        Self { by: DensityBy::Practice, own: STOCKING.of(20.0) }
    }
}

impl Fields for Stocking {
    fn fields(&mut self, f: &mut dyn Form) {
        let by = Pick::new(1, "by", "Fish per water");
        pick(
            f,
            &by.help("Growers keep 10 kg/m³ (0.08 lb/gal) without air, 20 (0.17) with air, 30 (0.25) with the solids drawn daily too."),
            &mut self.by,
        );
        group(f, &Group::when("by", "own"), self.by == DensityBy::Own, &mut |f| {
            let own = Field::new(2, "own", "Density to hold to", STOCKING).range(0.5, 200.0).advised(5.0, 60.0);
            num(f, &own.help("Above 30 kg/m³ (0.25 lb/gal) little time is left when anything fails."), &mut self.own);
        });
    }
}

impl Default for Water {
    fn default() -> Self {
        let c = |x| TEMPERATURE.of(celsius(x));
        Self {
            today: c(24.0),
            hottest: c(28.0),
            coldest: c(18.0),
            altitude: LENGTH.of(0.0),
            filter_age: DAYS.of(days(0.0)),
        }
    }
}

impl Default for Pump {
    fn default() -> Self {
        Self { id: String::new(), name: String::new(), most: FLOW.of(l_h(2000.0)), curve: vec![], as_solved: false }
    }
}

impl Default for Edge {
    fn default() -> Self {
        Self { from: String::new(), to: String::new(), flow: FLOW.of(0.0), run: vec![], as_set: false }
    }
}

impl Default for Tank {
    fn default() -> Self {
        let (oxygen, outlet) = (OxygenIn::default(), DrainIn::default());
        Self { id: String::new(), name: String::new(), oxygen, harvest: SMALL_MASS.of(g(500.0)), outlet }
    }
}

fn identity(f: &mut dyn Form, id: &mut String, name: &mut String) {
    text(f, &Text::new(250, "id", "Identifier", ID).hidden(), id);
    text(f, &Text::new(251, "name", "Name", NAME), name);
}

fn way_out(f: &mut dyn Form, tag: u8, rows: &mut Vec<WayOut>) {
    let list_of = List::new(tag, "outlet", "Outlet", "outlet", 1);
    list(f, &list_of.help("Then it is checked whether it spills, and the sump counts what stands over it."), rows);
}

impl Fields for Water {
    fn fields(&mut self, f: &mut dyn Form) {
        let (low, high) = (celsius(0.5), celsius(40.0));
        let today = Field::new(1, "today", "Water temperature today", TEMPERATURE)
            .range(low, high)
            .help("Measured in the tank, in the morning.");
        num(f, &today, &mut self.today);
        let hottest = Field::new(2, "hottest", "Hottest water of the year", TEMPERATURE).range(low, high);
        num(
            f,
            &hottest.help("Late afternoon in the hottest week. Warm water holds the least oxygen."),
            &mut self.hottest,
        );
        let coldest = Field::new(3, "coldest", "Coldest water of the year", TEMPERATURE).range(low, high);
        num(f, &coldest.help("Before dawn in the coldest week."), &mut self.coldest);
        let altitude = Field::new(4, "altitude", "Height above the sea", LENGTH).range(-400.0, 4500.0);
        num(f, &altitude.help("Thin air holds less oxygen."), &mut self.altitude);
        let age = Field::new(5, "filter_age", "How long the filter has been fed", DAYS)
            .range(0.0, days(3650.0))
            .likely(0.0, days(60.0))
            .read();
        num(
            f,
            &age.help("Days since fish or ammonia first fed it. A young filter carries little."),
            &mut self.filter_age,
        );
    }
}

impl Fields for Sump {
    fn fields(&mut self, f: &mut dyn Form) {
        identity(f, &mut self.id, &mut self.name);
        let levels = List::new(1, "levels", "Size and fill mark", "size and fill mark", 1);
        list(
            f,
            &levels.help("Then it is checked whether it runs dry, or spills when the power goes."),
            &mut self.levels,
        );
    }
}

impl Fields for Pump {
    fn fields(&mut self, f: &mut dyn Form) {
        identity(f, &mut self.id, &mut self.name);
        let most = Field::new(1, "most", "Most the pump can ever send", FLOW).range(BOX[0], BOX[1]);
        let most =
            most.help("The number on the box, not the bucket: with a clean pump and an open valve it may yet come.");
        group(f, &Group::titled(""), self.curve.is_empty(), &mut |f| num(f, &most, &mut self.most));
        let curve = List::new(2, "curve", "Curve and main pipe", "curve and main pipe", 1);
        let help = "With it and the pipe of every branch the flows are worked out. Until then the set flows count.";
        list(f, &curve.help(help), &mut self.curve);
    }
}

/// What the system knows of a tank's oxygen, and therefore does not ask for there.
pub const OXYGEN_KNOWN: &[&str] = &["temperature", "altitude", "flow"];
/// What the system knows of an outlet.
pub const OUTLET_KNOWN: &[&str] = &["flow", "temperature"];
/// What the system knows of a settler.
pub const SETTLER_KNOWN: &[&str] = &["flow", "temperature", "feed", "fall"];
/// What the system knows of a bed.
pub const BED_KNOWN: &[&str] = &["feed", "temperature", "tank", "species"];

impl Fields for Tank {
    fn fields(&mut self, f: &mut dyn Form) {
        identity(f, &mut self.id, &mut self.name);
        part(f, &Part::new(1, "oxygen", "Fish, water and air"), OXYGEN_KNOWN, &mut self.oxygen);
        let harvest = Field::new(2, "harvest", "Mean mass at harvest", SMALL_MASS).range(g(5.0), 8.0);
        num(f, &harvest.help("What you mean to let the fish grow to."), &mut self.harvest);
        part(f, &Part::new(3, "outlet", "Outlet"), OUTLET_KNOWN, &mut self.outlet);
    }
}

impl Fields for Settler {
    fn fields(&mut self, f: &mut dyn Form) {
        identity(f, &mut self.id, &mut self.name);
        part(f, &Part::new(1, "settling", ""), SETTLER_KNOWN, &mut self.settling);
        way_out(f, 2, &mut self.outlet);
    }
}

impl Fields for Bed {
    fn fields(&mut self, f: &mut dyn Form) {
        identity(f, &mut self.id, &mut self.name);
        part(f, &Part::new(1, "bed", ""), BED_KNOWN, &mut self.bed);
        let siphon = List::new(2, "siphon", "Automatic siphon", "siphon", 1);
        list(f, &siphon.help("For a bed that floods and drains by itself."), &mut self.siphon);
        let stands = self.stands();
        group(f, &Group::titled(""), stands, &mut |f| way_out(f, 3, &mut self.outlet));
    }
}

impl Fields for Edge {
    fn fields(&mut self, f: &mut dyn Form) {
        text(f, &Text::new(1, "from", "From", ID).hidden(), &mut self.from);
        text(f, &Text::new(2, "to", "To", ID).hidden(), &mut self.to);
        let flow = Field::new(3, "flow", "Set to send", FLOW).range(0.0, l_h(50_000.0)).way(Way::Bucket);
        let flow = flow.help("What the valve of this branch is set to. Catch it in a bucket.");
        group(f, &Group::titled(""), self.run.is_empty() || self.as_set, &mut |f| num(f, &flow, &mut self.flow));
        let run = List::new(4, "run", "Its pipe", "pipe", 1);
        let help = "From the main pipe to its end. Heights count from the sump's water with the pump off.";
        list(f, &run.help(help), &mut self.run);
    }
}

impl Fields for Document {
    fn fields(&mut self, f: &mut dyn Form) {
        text(f, &Text::new(1, "name", "Name", NAME), &mut self.name);
        part(f, &Part::new(2, "water", "The water and the place"), &[], &mut self.water);
        list(f, &List::new(3, "sumps", "Sumps", "sump", MOST), &mut self.sumps);
        list(f, &List::new(4, "pumps", "Pumps", "pump", MOST), &mut self.pumps);
        list(f, &List::new(5, "tanks", "Fish tanks", "tank", MOST), &mut self.tanks);
        list(f, &List::new(6, "settlers", "Settlers", "settler", MOST), &mut self.settlers);
        list(f, &List::new(7, "beds", "Grow beds", "bed", MOST), &mut self.beds);
        // Where the flow of a pump is not worked out, what its branches are set to counts, and so it is asked for.
        let worked: Vec<bool> = self.pumps.iter().map(|p| self.described(p)).collect();
        let from = |e: &Edge| self.pumps.iter().position(|p| p.id == e.from);
        let as_set: Vec<bool> = self.edges.iter().map(|e| from(e).is_some_and(|p| !worked[p])).collect();
        self.edges.iter_mut().zip(as_set).for_each(|(e, set)| e.as_set = set);
        list(f, &List::new(8, "edges", "The water loop", "edge", MOST_EDGES), &mut self.edges);
        self.edges.iter_mut().for_each(|e| e.as_set = false);
        let heat = List::new(9, "heat", "Heat", "heater and climate", 1);
        list(f, &heat.help("Heaters, lids, walls and the climate."), &mut self.heat);
        let test = List::new(10, "ammonia", "Water test and filter", "water test and filter", 1);
        list(f, &test.help("What the test kit reads, and the medium that turns ammonia over."), &mut self.ammonia);
        let stocking = List::new(11, "stocking", "Stocking density", "stocking density", 1);
        list(
            f,
            &stocking.help("The fish per water that is held to; where no settler takes them out, the solids too."),
            &mut self.stocking,
        );
        let groups = List::new(12, "groups", "Harvest group by group", "harvest in groups", 1);
        let help = "For fish of different age: each group is taken out when it is grown, and replaced by as many small ones. Else all count as grown at once.";
        list(f, &groups.help(help), &mut self.groups);
        part(f, &Part::new(200, "notes", ""), &[], &mut self.notes);
    }
}
