//! Sump and levels: the lowest and highest water in the sump through siphon cycles, a pump stop and the days between top-ups.

mod report;

pub(crate) use report::{FALLS_WITH_SUMP, GIVE_OVERFLOW};

use super::form::*;
use super::mend::{self, HOPELESS, refuse};
use super::outcome::*;
use super::piping;
use super::pump::Ends;
use super::sheet::Calculator;
use crate::catalog::pipes::Pipe;
use crate::catalog::sources::{Coef, hydraulics as hyd, waterways as src};
use crate::picture::{Picture, Role, Section, Shape};
use crate::science::drain::{Inlet, Outlet, Run};
use crate::science::network::{End, Mouth, Way as Supply};
use crate::science::pump::{Curve, Pumps, USUAL_EXPONENT};
use crate::science::sump::{self, Basin, Bed, Extremes, Flooded, Loads, StartUp, Started, TopUp};
use crate::science::{pipe as full, water};
use crate::units::{kinds::*, si::*, *};

crate::choices!(TopUp:
    AtRest = "at_rest", "By hand, pump off and beds drained", "everything is back by then, so the mark always means the same";
    Running = "running", "By hand, while it runs", "nobody knows then what the beds hold";
    Float = "float", "By a float valve", "";
);

/// How the water leaves a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Leaves {
    /// Over an open standpipe.
    #[default]
    Rim,
    /// Through a hole in the wall.
    Wall,
    /// Drawn from the bottom, up to a vented tee.
    Tee,
    /// Through a pipe that is under water at both ends, in the tank and in the sump.
    Flooded,
    /// The rise is known.
    Measured,
}
crate::choices!(Leaves:
    Rim = "rim", "Over an open standpipe", "";
    Wall = "wall", "Through a hole in the wall", "";
    Tee = "tee", "From the bottom, up to a vented tee", "";
    Flooded = "flooded", "Flooded pipe into the sump's water", "at rest both stand at one level";
    Measured = "measured", "I have measured the rise", "";
);

/// What is known of the flow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FlowBy {
    /// Typed.
    #[default]
    Typed,
    /// From the pump's curve and pipe.
    Curve,
}
crate::choices!(FlowBy:
    Typed = "typed", "I know the flow", "";
    Curve = "curve", "From the pump's two points and its pipe", "then the sump's fall counts into the lift";
);

/// A tank that drains into the sump.
#[derive(Debug, Clone, PartialEq)]
pub struct TankRow {
    /// Surface.
    pub area: Area,
    /// How the water leaves.
    pub leaves: Leaves,
    /// Rise that was measured.
    pub rise: Length,
    /// Outlet pipe.
    pub pipe: &'static Pipe,
    /// Bore, where typed.
    pub bore: Length,
    /// Near-level pipe to the sump.
    pub run: Length,
    /// Its fall.
    pub slope: Ratio,
    /// Standpipe or rising pipe.
    pub riser: Length,
    /// Losses of intake and bends on the rising pipe.
    pub losses: Ratio,
    /// Part of the flow that passes it.
    pub share: Ratio,
    /// How far a submerged return siphons it down.
    pub back: Length,
    /// Flooded: losses of bends and guards.
    pub bends: Ratio,
    /// Flooded: bottom of the pipe's end over the sump's floor.
    pub end: Length,
}

impl Default for TankRow {
    fn default() -> Self {
        Self {
            area: AREA.of(1.2),
            leaves: Leaves::Rim,
            rise: SHORT_LENGTH.of(mm(30.0)),
            pipe: piping::named("pvc_63"),
            bore: SHORT_LENGTH.of(mm(50.0)),
            run: LENGTH.of(1.5),
            slope: SLOPE.of(0.01),
            riser: LENGTH.of(0.8),
            losses: RATIO.of(1.35),
            share: PERCENT.of(1.0),
            back: SHORT_LENGTH.of(0.0),
            bends: RATIO.of(0.0),
            end: SHORT_LENGTH.of(mm(50.0)),
        }
    }
}

impl Fields for TankRow {
    fn fields(&mut self, f: &mut dyn Form) {
        let leaves = self.leaves;
        let area = Field::new(1, "area", "Surface of the tank", AREA).range(0.01, 100.0).advised(0.1, 20.0);
        num(f, &area.help("Length times width; for a round one 0.785 times the width squared."), &mut self.area);
        pick(
            f,
            &Pick::new(2, "leaves", "How the water leaves it")
                .help("It stands over its lip, or over the sump, while the pump runs, and that runs back."),
            &mut self.leaves,
        );
        group(f, &Group::when("leaves", "measured"), leaves == Leaves::Measured, &mut |f| {
            let rise =
                Field::new(3, "rise", "Rise while the pump runs", SHORT_LENGTH).range(0.0, 1.0).advised(0.0, mm(200.0));
            num(
                f,
                &rise.help("Water line with the pump running, less the water line an hour after it stopped."),
                &mut self.rise,
            );
        });
        group(f, &Group::when("leaves", "rim|wall|tee|flooded"), leaves != Leaves::Measured, &mut |f| {
            piping::choose(f, 4, 5, "Outlet pipe", "The pipe that drains the tank.", &mut self.pipe, &mut self.bore);
            let run =
                Field::new(6, "run", "Length of the pipe to the sump", LENGTH).range(SHORTEST, 50.0).advised(0.2, 10.0);
            num(f, &run.help("The near-level part.").detail(), &mut self.run);
        });
        let open = matches!(leaves, Leaves::Rim | Leaves::Wall | Leaves::Tee);
        group(f, &Group::when("leaves", "rim|wall|tee"), open, &mut |f| {
            let slope = Field::new(7, "slope", "Its fall", SLOPE).range(0.0, 0.2).advised(0.0, 0.05).likely(0.0, 0.02);
            num(f, &slope.help("1 % is 10 mm in a metre, or 1/8 in in a foot.").detail(), &mut self.slope);
        });
        group(f, &Group::when("leaves", "rim|tee"), matches!(leaves, Leaves::Rim | Leaves::Tee), &mut |f| {
            let riser = Field::new(8, "riser", "Height of the standpipe or rising pipe", LENGTH)
                .range(0.02, 5.0)
                .advised(0.2, 2.0);
            num(f, &riser.help("From the pipe at its foot to its rim or tee.").detail(), &mut self.riser);
        });
        group(f, &Group::when("leaves", "tee"), leaves == Leaves::Tee, &mut |f| {
            let losses =
                Field::new(9, "losses", "Losses of intake and bend, ΣK", RATIO).range(0.0, 50.0).advised(0.5, 6.0);
            num(f, &losses.help("Entrance 0.5 to 0.8, a bend 0.4 to 1.").detail(), &mut self.losses);
        });
        group(f, &Group::when("leaves", "flooded"), leaves == Leaves::Flooded, &mut |f| {
            let end = Field::new(13, "end", "Bottom of its end over the sump's floor", SHORT_LENGTH)
                .range(0.0, 5.0)
                .advised(0.0, 1.0);
            num(
                f,
                &end.help("Inside the pipe, where it ends in the sump. Its top has to stay under water."),
                &mut self.end,
            );
            let bends = Field::new(12, "bends", "Losses of bends and guards, ΣK", RATIO)
                .range(0.0, piping::LOSSES)
                .advised(0.0, 30.0);
            num(
                f,
                &bends
                    .help("A bend 0.4 to 1; a guard against fish can be ten and more. Entrance and end are counted.")
                    .detail(),
                &mut self.bends,
            );
        });
        let share =
            Field::new(10, "share", "Part of the flow that passes it", PERCENT).range(0.0, 1.0).advised(0.05, 1.0);
        num(
            f,
            &share.help("100 % for one tank and for tanks in a row; 50 % for each of two fed side by side.").detail(),
            &mut self.share,
        );
        group(f, &Group::when("leaves", "rim|wall|tee|measured"), leaves != Leaves::Flooded, &mut |f| {
            let back = Field::new(11, "back", "How far its return siphons it down", SHORT_LENGTH)
                .range(0.0, 3.0)
                .advised(0.0, mm(50.0));
            num(
                f,
                &back.help("0 if the return ends above the water. Under water: from the water line down to the air hole, or to its end if there is none.").detail(),
                &mut self.back,
            );
        });
    }
}

/// Beds with siphons, all alike.
#[derive(Debug, Clone, PartialEq)]
pub struct BedRow {
    /// How many of them.
    pub count: Ratio,
    /// Plan area of one.
    pub area: Area,
    /// Share of gaps.
    pub porosity: Ratio,
    /// From flooded down to drained.
    pub swing: Length,
    /// Inflow of one.
    pub inflow: VolumeRate,
    /// What one siphon carries.
    pub siphon: VolumeRate,
}

impl Default for BedRow {
    fn default() -> Self {
        Self {
            count: COUNT.of(1.0),
            area: AREA.of(1.2),
            porosity: PERCENT.of(0.40),
            swing: SHORT_LENGTH.of(mm(220.0)),
            inflow: FLOW.of(l_h(480.0)),
            siphon: FLOW.of(l_h(3600.0)),
        }
    }
}

impl BedRow {
    fn bed(&self) -> Bed {
        let swing = self.area * self.porosity * self.swing;
        Bed { swing, fill: swing / self.inflow, drain: swing / (self.siphon - self.inflow) }
    }
    /// Does it ever stop?
    fn breaks(&self) -> bool {
        self.siphon > self.inflow
    }
    fn together(&self) -> Volume {
        self.bed().swing * self.count
    }
}

impl Fields for BedRow {
    fn fields(&mut self, f: &mut dyn Form) {
        let count = Field::new(1, "count", "How many alike", COUNT).range(1.0, 24.0).advised(1.0, 12.0);
        num(f, &count.help("Beds of one size with one inflow."), &mut self.count);
        let area = Field::new(2, "area", "Plan area of one", AREA).range(0.01, 50.0).advised(0.1, 6.0);
        num(f, &area.help("Length times width, inside."), &mut self.area);
        let swing = Field::new(3, "swing", "From flooded down to drained", SHORT_LENGTH)
            .range(mm(5.0), 1.0)
            .advised(mm(80.0), mm(400.0));
        num(f, &swing.help("Height between the standpipe's rim and the bell's air inlet."), &mut self.swing);
        let porosity = Field::new(4, "porosity", "Gaps in the medium", PERCENT)
            .range(0.05, 1.0)
            .advised(0.3, 1.0)
            .likely(0.33, 0.5)
            .source(&src::BED_POROSITY);
        num(f, &porosity.help("Gravel 35 to 45 %, clay balls 40 to 50 %.").way(Way::Jug).detail(), &mut self.porosity);
        let inflow = Field::new(5, "inflow", "Inflow of one", FLOW)
            .range(l_h(1.0), l_h(50_000.0))
            .advised(l_h(50.0), l_h(6000.0));
        num(f, &inflow.help("Sets how fast it fills.").way(Way::Bucket).detail(), &mut self.inflow);
        let siphon = Field::new(6, "siphon", "What one siphon carries", FLOW)
            .range(l_h(2.0), l_h(200_000.0))
            .advised(l_h(500.0), l_h(20_000.0))
            .source(&src::WATERWAYS_ASSUMED);
        num(
            f,
            &siphon.help("Sets how fast the sump rises when it runs; the siphon page computes it.").detail(),
            &mut self.siphon,
        );
    }
}

/// Inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelsIn {
    /// Sump to the brim.
    pub volume: Volume,
    /// Its depth, floor to rim.
    pub depth: Length,
    /// Fill mark over its floor.
    pub mark: Length,
    /// How it is topped up.
    pub top_up: TopUp,
    /// Water that the pump needs.
    pub submergence: Length,
    /// What is kept dry under the rim.
    pub freeboard: Length,
    /// Water lost a day.
    pub evaporation: VolumeRate,
    /// Days between top-ups.
    pub days: Time,
    /// What is known of the flow.
    pub flow_by: FlowBy,
    /// Most that the pump sends.
    pub flow: VolumeRate,
    /// Head at no flow.
    pub shut_off: Length,
    /// Flow at no head.
    pub free_flow: VolumeRate,
    /// End of the return over the sump's floor.
    pub height: Length,
    /// How it ends.
    pub ends: Ends,
    /// Supply pipe.
    pub pipe: &'static Pipe,
    /// Bore, where typed.
    pub bore: Length,
    /// Its length.
    pub length: Length,
    /// Its bends.
    pub elbows: Ratio,
    /// Its other losses.
    pub losses: Ratio,
    /// Other pipes that empty into the sump.
    pub other_pipes: Volume,
    /// Tanks.
    pub tanks: Vec<TankRow>,
    /// Beds with siphons.
    pub beds: Vec<BedRow>,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Default for LevelsIn {
    fn default() -> Self {
        Self {
            volume: VOLUME.of(l(400.0)),
            depth: LENGTH.of(0.6),
            mark: SHORT_LENGTH.of(mm(450.0)),
            top_up: TopUp::AtRest,
            submergence: SHORT_LENGTH.of(mm(100.0)),
            freeboard: SHORT_LENGTH.of(mm(30.0)),
            evaporation: DAILY_VOLUME.of(l(6.0) / days(1.0)),
            days: DAYS.of(days(3.0)),
            flow_by: FlowBy::Typed,
            flow: FLOW.of(l_h(2000.0)),
            shut_off: LENGTH.of(2.5),
            free_flow: FLOW.of(l_h(2500.0)),
            height: LENGTH.of(1.2),
            ends: Ends::Above,
            pipe: piping::usual(),
            bore: SHORT_LENGTH.of(mm(25.0)),
            length: LENGTH.of(4.0),
            elbows: COUNT.of(3.0),
            losses: RATIO.of(0.0),
            other_pipes: VOLUME.of(l(3.0)),
            tanks: vec![TankRow::default()],
            beds: vec![BedRow::default()],
            temperature: TEMPERATURE.of(celsius(20.0)),
        }
    }
}

impl Fields for LevelsIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let volume =
            Field::new(1, "volume", "Sump, brim full", VOLUME).range(l(5.0), l(50_000.0)).advised(l(30.0), l(5000.0));
        num(f, &volume.help("What it holds up to its rim.").way(Way::TapeVolume), &mut self.volume);
        let depth =
            Field::new(2, "depth", "Depth of the sump, floor to rim", LENGTH).range(0.05, 5.0).advised(0.2, 1.5);
        num(f, &depth.help("Inside. Its walls are taken as upright."), &mut self.depth);
        let mark =
            Field::new(3, "mark", "Fill mark over the floor", SHORT_LENGTH).range(0.0, 5.0).advised(mm(50.0), 1.5);
        num(f, &mark.help("How deep you fill it, or where the float valve shuts."), &mut self.mark);
        pick(f, &Pick::new(4, "top_up", "How you top it up").help("It decides what the mark tells."), &mut self.top_up);
        let flow_by = self.flow_by;
        pick(
            f,
            &Pick::new(5, "flow_by", "The pump's flow").help("Known, or worked out here.").detail(),
            &mut self.flow_by,
        );
        group(f, &Group::when("flow_by", "typed"), flow_by == FlowBy::Typed, &mut |f| {
            let flow = Field::new(6, "flow", "Most that the pump sends", FLOW)
                .range(0.0, l_h(100_000.0))
                .advised(l_h(100.0), l_h(20_000.0));
            num(f, &flow.help("With every valve open: the tanks then stand highest."), &mut self.flow);
        });
        group(f, &Group::when("flow_by", "curve"), flow_by == FlowBy::Curve, &mut |f| {
            let head = Field::new(7, "shut_off", "Most head, at no flow", LENGTH).range(0.1, 50.0).advised(0.5, 12.0);
            num(f, &head.help("On the pump's box."), &mut self.shut_off);
            let flow = Field::new(8, "free_flow", "Most flow, at no head", FLOW)
                .range(l_h(10.0), l_h(100_000.0))
                .advised(l_h(100.0), l_h(20_000.0));
            num(f, &flow.help("On the pump's box."), &mut self.free_flow);
            let height = Field::new(9, "height", "End of the return over the sump's floor", LENGTH)
                .range(0.0, 30.0)
                .advised(0.3, 5.0);
            num(f, &height.help("Above water: the end of the pipe. Under water: the tank's lip, where its water stands without flow; in a tank on a flooded pipe that is the fill mark, and is taken.").way(Way::Hose), &mut self.height);
            pick(
                f,
                &Pick::new(10, "ends", "End of the return").help("Under water it meets the tank's rise."),
                &mut self.ends,
            );
        });
        list(
            f,
            &List::new(11, "tanks", "Tanks that drain into it", "tank", 12)
                .help("Each gives back what stands over its lip."),
            &mut self.tanks,
        );
        list(
            f,
            &List::new(12, "beds", "Beds with siphons", "bed", 8).help("Each drinks from the sump and gives back."),
            &mut self.beds,
        );
        group(f, &Group::titled("Water that comes and goes"), true, &mut |f| {
            let rate = Field::new(13, "evaporation", "Water lost a day", DAILY_VOLUME)
                .range(0.0, l(5000.0) / days(1.0))
                .advised(0.0, l(200.0) / days(1.0))
                .likely(l(2.0) / days(1.0), l(20.0) / days(1.0))
                .source(&src::TOP_UP);
            num(
                f,
                &rate.help("To sun, wind and plants. Mark the sump for a week without topping up.").detail(),
                &mut self.evaporation,
            );
            let between =
                Field::new(14, "days", "Days between top-ups", DAYS).range(0.0, days(60.0)).advised(0.0, days(14.0));
            num(f, &between.help("The longest you are away.").detail(), &mut self.days);
            piping::choose(
                f,
                15,
                16,
                "Supply pipe",
                "Empties back when the pump stops.",
                &mut self.pipe,
                &mut self.bore,
            );
            let length =
                Field::new(17, "length", "Length of the supply pipe", LENGTH).range(0.0, 200.0).advised(0.0, 40.0);
            num(f, &length.help("All of it that stands above the sump's water.").detail(), &mut self.length);
            piping::bends(f, 18, 19, &mut self.elbows, &mut self.losses);
            let other = Field::new(20, "other_pipes", "Other pipes that empty into it", VOLUME)
                .range(0.0, l(2000.0))
                .advised(0.0, l(60.0));
            num(
                f,
                &other.help("Drains on their way to the sump: 2 in pipe holds about 2 L a metre when full, or 0.17 gal a foot.").detail(),
                &mut self.other_pipes,
            );
        });
        group(f, &Group::titled("More about the sump"), true, &mut |f| {
            let wet = Field::new(21, "submergence", "Water the pump needs", SHORT_LENGTH)
                .range(0.0, 2.0)
                .advised(mm(30.0), mm(300.0))
                .likely(mm(50.0), mm(150.0))
                .source(&src::SUBMERGENCE);
            num(f, &wet.help("Over the sump's floor, so that it draws no air.").detail(), &mut self.submergence);
            let dry = Field::new(22, "freeboard", "Kept dry under the rim", SHORT_LENGTH)
                .range(0.0, 1.0)
                .advised(mm(10.0), mm(200.0))
                .source(&hyd::FREEBOARD);
            num(f, &dry.help("For waves and errors.").detail(), &mut self.freeboard);
            piping::warmth(f, 23, &mut self.temperature);
        });
    }
}

/// The result.
#[derive(Debug, Clone)]
pub struct LevelsOut {
    /// Plan area of the sump.
    pub area: Area,
    /// Sump to the brim.
    pub brim: Volume,
    /// What it must have room and water for, with the tanks that share its level.
    pub loads: Loads,
    /// Those tanks.
    pub flooded: Vec<Flooded>,
    /// What comes into the sump when the pump stops.
    pub drain_back: Volume,
    /// Least of the marks that keep the pump wet, most of those that do not spill.
    pub marks: (Volume, Volume),
    /// The mark there is.
    pub mark: Volume,
    /// Water at its extremes.
    pub extremes: Extremes,
    /// Least sump of this floor that would do.
    pub least: Volume,
    /// Least sump of this depth that would do: what the pump needs and the freeboard grow with its floor. None if such a one is too shallow.
    pub as_deep: Option<Volume>,
    /// Swing of the beds, evenly out of step and in step.
    pub swing: (Volume, Volume),
    /// Most flow.
    pub flow: VolumeRate,
    /// What a start settles at, where the pump's curve is known.
    pub started: Option<Started>,
    /// Fall of the sump at the start, before anything runs back from beds.
    pub start_fall: Length,
    /// Rise of every tank over its lip, or over where it comes to rest.
    pub rises: Vec<Length>,
    /// How far every tank stands over its lip, or over the sump: what its outlet asks.
    pub asks: Vec<Length>,
    /// Highest water of a tank on a flooded pipe, at rest or running, over the sump's floor.
    pub flooded_high: Option<Length>,
    /// How far siphons push the sump over where it settles, because part of their water has to go up a flooded pipe.
    pub surge: Length,
    /// Back from every tank.
    pub back: Vec<Volume>,
    /// Water in pipes.
    pub pipes: Volume,
    /// How fast the sump rises while all siphons run; none without a bed.
    pub rise_rate: Option<Velocity>,
    /// What all siphons carry together.
    pub siphons: VolumeRate,
    /// What comes to the sump meanwhile by other ways.
    beside: VolumeRate,
}

/// Sump and levels.
pub struct Levels;

const USED_DRAIN: Coef = Coef::new(1e-4, "m", &hyd::ROUGHNESS_USED, "a drain with a film of slime");

impl LevelsOut {
    /// The sump with the tanks that share its level.
    pub fn basin(&self) -> Basin<'_> {
        Basin { area: self.area, flooded: &self.flooded }
    }
}

impl TankRow {
    /// Does it share the sump's level?
    fn follows(&self) -> bool {
        self.leaves == Leaves::Flooded
    }
    /// How far its return siphons it down past that: a tank that shares the sump's level comes to that by its outlet already.
    fn siphoned(&self) -> Length {
        if self.follows() { LENGTH.of(0.0) } else { self.back }
    }
    /// Top of a flooded pipe's end over the sump's floor.
    pub(crate) fn top(&self) -> Length {
        self.end + piping::bore(self.pipe, self.bore)
    }
    fn flooded_pipe(&self) -> full::Pipe {
        let loss = piping::entrance() + piping::exit() + self.bends;
        let roughness = LENGTH.of(USED_DRAIN.value);
        full::Pipe { bore: piping::bore(self.pipe, self.bore), length: self.run, roughness, loss }
    }
    /// The row of a tank on a flooded pipe that stands so far over the sump at a flow, by its bends and guards, or else by a shorter pipe; nothing
    /// where neither does.
    pub(crate) fn standing(mut self, over: Length, flow: VolumeRate, nu: KinematicViscosity) -> Option<Self> {
        self.leaves = Leaves::Flooded;
        self.bends = RATIO.of(0.0);
        let bore = piping::bore(self.pipe, self.bore);
        let head = full::velocity(flow, bore);
        let head = head.value * head.value / (2.0 * full::G);
        if head <= 0.0 {
            return (over.value.abs() < STILL).then_some(self);
        }
        let lost = |t: &Self| full::head_loss(&t.flooded_pipe(), flow, nu);
        let missing = (over - lost(&self)).value / head;
        if (missing * head).abs() < STILL {
            return Some(self);
        }
        if missing >= 0.0 {
            self.bends = RATIO.of(missing);
        } else {
            let a_metre = full::friction(&self.flooded_pipe(), flow, nu).value / bore.value;
            self.run = LENGTH.of((self.run.value + missing / a_metre).max(SHORTEST));
        }
        let stands = (lost(&self) - over).value.abs() < STILL;
        (stands && self.bends.value <= piping::LOSSES).then_some(self)
    }
}

/// The shortest run that is asked for, m.
const SHORTEST: f64 = 0.05;
/// What is no difference between two levels, m.
const STILL: f64 = 1e-5;

/// The outlet of a tank; none where the rise was measured, or its pipe is full.
fn outlet(t: &TankRow, nu: KinematicViscosity) -> Option<Outlet> {
    let bore = piping::bore(t.pipe, t.bore);
    let inlet = match t.leaves {
        Leaves::Measured | Leaves::Flooded => return None,
        Leaves::Rim => Inlet::Rim { bore, height: t.riser, foot: piping::elbow(bore), neck: bore },
        Leaves::Wall => Inlet::Wall { bore, entrance: piping::entrance() },
        Leaves::Tee => Inlet::Draw { bore, length: t.riser, loss: t.losses, neck: bore },
    };
    let run = Run { bore, length: t.run, slope: t.slope, loss: RATIO.of(0.0), roughness: LENGTH.of(USED_DRAIN.value) };
    Some(Outlet { inlet, run, tail: LENGTH.of(0.0), screen: None, viscosity: nu })
}

/// How far a tank stands over its lip; one on a flooded pipe over the sump's water.
fn rise(t: &TankRow, flow: VolumeRate, nu: KinematicViscosity) -> Length {
    if t.follows() {
        return full::head_loss(&t.flooded_pipe(), flow * t.share, nu);
    }
    outlet(t, nu).map_or(t.rise, |o| o.stand(flow * t.share).level)
}

/// The tanks that share the sump's level, at a flow.
fn flooded(i: &LevelsIn, flow: VolumeRate, nu: KinematicViscosity) -> Vec<Flooded> {
    let of = |t: &TankRow| Flooded { area: t.area, over: rise(t, flow, nu), end: t.top() };
    i.tanks.iter().filter(|t| t.follows()).map(of).collect()
}

/// The surface that follows the sump while it runs, and what stands in the tanks besides.
fn follow(basin: Basin<'_>, sump: Volume) -> (Area, Volume) {
    let level = sump / basin.area;
    basin.flooded.iter().fold((basin.area, VOLUME.of(0.0)), |(area, held), t| {
        if t.end > level { (area, held + t.area * (t.end + t.over)) } else { (area + t.area, held + t.area * t.over) }
    })
}

/// The worst of the three.
fn main_level(o: &LevelsOut) -> Level {
    let mut all = three(o);
    crate::units::arrange(&mut all, |a, b| b.fullness().total_cmp(&a.fullness()));
    all.swap_remove(0)
}

/// Water for the pump, room in the sump, its size.
pub(crate) fn three(o: &LevelsOut) -> Vec<Level> {
    let room = o.brim - o.loads.freeboard;
    vec![
        Level::upper("dry", "Water for the pump", VOLUME, o.marks.0, o.mark),
        Level::upper("spill", "Room in the sump", VOLUME, o.extremes.stop_high, room),
        Level::upper("sump", "Size of the sump", VOLUME, o.least, o.brim),
    ]
}

/// The worst first.
fn levels(_: &LevelsIn, o: &LevelsOut) -> Vec<Level> {
    let first = main_level(o);
    let mut all = vec![first.clone()];
    all.extend(three(o).into_iter().filter(|l| l.id != first.id));
    all
}

impl Calculator for Levels {
    type In = LevelsIn;
    type Out = LevelsOut;
    const ID: &'static str = "levels";
    const TITLE: &'static str = "Sump and levels";
    const QUESTION: &'static str = "Does the sump run dry, or spill when the power goes?";
    const ABOUT: &'static str = "Lowest and highest water in a sump: siphon beds that drink and give back, in step and out of step, what stands over the lips of \
        tanks and runs back when the pump stops, tanks on flooded pipes that share its level, pipes that empty, evaporation between top-ups, the start of the pump, the fill mark, float \
        valves. Conservation of water, with tank levels from the drains' hydraulics; for a sump with upright walls.";

    fn solve(i: &LevelsIn, w: &mut Working) -> Result<LevelsOut, Vec<FieldError>> {
        let area = i.volume / i.depth;
        if i.mark > i.depth {
            return refuse("mark", "stands higher than the rim of the sump", "at most its depth");
        }
        // A return that is said to end under water is no return that ends above it.
        if under(i) && !i.tanks.is_empty() && i.tanks.iter().all(|t| !t.follows() && t.back.value <= 0.0) {
            return refuse(
                "tanks.0.back",
                "is 0, as for a return above the water, but the return ends under water and siphons its tank down when the pump stops",
                "from the water line down to its air hole, or to its end",
            );
        }
        if let Some((k, t)) =
            i.tanks.iter().enumerate().find(|(_, t)| t.follows() && t.top().value > i.mark.value + STILL)
        {
            let say = |w: System| {
                let top = show(SHORT_LENGTH.0, t.top().value, w);
                let fault = format!(
                    "is too high: the top of the pipe's end stands {top} over the floor, over the fill mark, so at rest its tank does not share the sump's water"
                );
                [
                    fault,
                    "a pipe that ends under the fill mark; or, for one that ends above the water, a hole in the wall"
                        .into(),
                ]
            };
            return Err(vec![FieldError::with_units(format!("tanks.{k}.end"), &say)]);
        }
        let mark = area * i.mark;
        let nu = water::kinematic(i.temperature);
        let bore = piping::bore(i.pipe, i.bore);
        let supply = sump::pipe_contents(bore, i.length);
        let pipes = supply + i.other_pipes;
        w.step(|| {
            let with =
                [term("D", SHORT_LENGTH, bore), term("L", LENGTH, i.length), term("other", VOLUME, i.other_pipes)];
            Step::new("Water in pipes", "V = (π/4) D² L + other", &with, term("V", VOLUME, pipes), &src::SUMP_BALANCE)
        });
        let held = |q: VolumeRate| {
            let lips = i.tanks.iter().filter(|t| !t.follows());
            lips.fold(VOLUME.of(0.0), |v, t| v + t.area * rise(t, q, nu))
        };
        let shared = i.tanks.iter().any(TankRow::follows);
        let started = match i.flow_by {
            FlowBy::Typed => None,
            FlowBy::Curve => Some(started(i, area, supply, bore, nu, &held)?),
        };
        let flow = started.map_or(i.flow, |s| s.flow_level_held);
        if let Some(s) = started {
            w.step(|| {
                let with = [
                    term("H0", LENGTH, i.shut_off),
                    term("Qm", FLOW, i.free_flow),
                    term("z_out", LENGTH, i.height),
                    term("A_s", AREA, area),
                ];
                let equation = if shared {
                    "root of z_sump(Q) + H_pump(Q) = loss(Q) + z_out(Q), z_sump = z0 − (ΣA L(Q) + ΣA_k d(Q) + pipes)/(A_s + ΣA_k)"
                } else {
                    "root of z_sump(Q) + H_pump(Q) = loss(Q) + z_out(Q), z_sump = z0 − (ΣA L(Q) + pipes)/A_s"
                };
                Step::new(
                    "Where a start settles",
                    equation,
                    &with,
                    term("Q", FLOW, s.flow),
                    &src::NETWORK,
                )
            });
        }
        let asks: Vec<_> = i.tanks.iter().map(|t| rise(t, flow, nu)).collect();
        for (t, l) in i.tanks.iter().zip(&asks) {
            w.step(|| {
                let bore = piping::bore(t.pipe, t.bore);
                if t.follows() {
                    let pipe = t.flooded_pipe();
                    let with = [
                        term("V", VELOCITY, full::velocity(flow * t.share, bore)),
                        term("f", RATIO, full::friction(&pipe, flow * t.share, nu)),
                        term("L", LENGTH, pipe.length),
                        term("D", SHORT_LENGTH, bore),
                        term("K", RATIO, pipe.loss),
                    ];
                    let equation = "d = (f L/D + K) V²/2g, K with 0.5 for the entrance and 1 for the end";
                    let name = "A tank on a flooded pipe stands over the sump";
                    return Step::new(name, equation, &with, term("d", SHORT_LENGTH, *l), &hyd::DARCY_WEISBACH);
                }
                let with = [term("Q", FLOW, flow * t.share), term("D", SHORT_LENGTH, bore)];
                let (equation, source) = match t.leaves {
                    Leaves::Measured | Leaves::Flooded => ("L as measured", &src::WATERWAYS_ASSUMED),
                    Leaves::Rim => {
                        ("L: higher of weir and mouth over the rim, or what backs up to it", &hyd::SWMM_RISER)
                    }
                    Leaves::Wall => ("L: higher of inlet and outlet control", &hyd::HDS5),
                    Leaves::Tee => ("L: level in the vented tee, and the loss of the rising pipe", &hyd::TEE_JUDGEMENT),
                };
                Step::new("Rise of a tank over its lip", equation, &with, term("L", SHORT_LENGTH, *l), source)
            });
        }
        // What comes back past a level that is shared: from lips and pipes.
        let lips = |t: &TankRow, l: Length| if t.follows() { VOLUME.of(0.0) } else { t.area * (l + t.siphoned()) };
        let drain_back = i.tanks.iter().zip(&asks).fold(pipes, |v, (t, l)| v + lips(t, *l));
        w.step(|| {
            let with = [term("pipes", VOLUME, pipes), term("tanks", VOLUME, drain_back - pipes)];
            let name =
                if shared { "Back from lips and pipes when the pump stops" } else { "Drain-back when the pump stops" };
            Step::new(
                name,
                "V_back = tanks + pipes, tanks = Σ A (L(Q) + siphoned back)",
                &with,
                term("V_back", VOLUME, drain_back),
                &src::SUMP_BALANCE,
            )
        });
        let swing = i.beds.iter().fold(VOLUME.of(0.0), |v, b| v + b.together());
        w.step(|| {
            let with = [term("beds", COUNT, i.beds.iter().fold(COUNT.of(0.0), |n, b| n + b.count))];
            Step::new(
                "Water that all beds swing in step",
                "ΣV_f = Σ area × gaps × (flooded − drained)",
                &with,
                term("ΣV_f", VOLUME, swing),
                &src::BED_PHASES,
            )
        });
        // Beds of one kind keep their phases; those of several kinds drift through every alignment.
        let least_swing = match &i.beds[..] {
            [one] if one.breaks() => sump::swing_out_of_step(one.bed(), one.count.value as u32),
            _ => swing,
        };
        let evaporation = match i.top_up {
            TopUp::Float => VOLUME.of(0.0),
            TopUp::AtRest | TopUp::Running => by_hand(i),
        };
        let loads =
            Loads { submergence: area * i.submergence, evaporation, swing, drain_back, freeboard: area * i.freeboard };
        let flooded = flooded(i, flow, nu);
        let basin = Basin { area, flooded: &flooded };
        let part = basin.part();
        let marks = basin.marks(i.volume, &loads, i.top_up);
        let shares = |sump: Volume| {
            let (follows, tanks) = follow(basin, sump);
            [term("A_s", AREA, area), term("A", AREA, follows), term("tanks", VOLUME, tanks)]
        };
        let ends = flooded.iter().fold(VOLUME.of(0.0), |v, t| v.max(area * t.end));
        let low = basin.holds(loads.submergence);
        w.step(|| {
            let mut with = vec![
                term("V_sub", VOLUME, loads.submergence),
                term("V_evap", VOLUME, loads.evaporation),
                term("ΣV_f", VOLUME, loads.swing),
                term("V_back", VOLUME, loads.drain_back),
            ];
            let equation = match (i.top_up, shared) {
                (TopUp::AtRest, false) => "V_mark = V_sub + V_evap + ΣV_f + V_back",
                (TopUp::Running, false) => "V_mark = V_sub + V_evap + ΣV_f, the beds may be drained",
                (TopUp::Float, false) => "V_mark = V_sub + V_back, a start takes it before the valve gives it",
                (TopUp::AtRest, _) => "V_mark = max(A_s (W_low + V_evap + ΣV_f + V_back)/A, V_ends), W_low with the tanks that stand over V_sub, V_ends the tops of the pipes' ends",
                (TopUp::Running, _) => "V_mark = max(A_s (W_low + V_evap + ΣV_f − tanks)/A, V_ends), W_low with the tanks that stand over V_sub, V_ends the tops of the pipes' ends",
                (TopUp::Float, _) => "V_mark = max(A_s (W_low + V_back)/A, V_ends), W_low with the tanks that stand over V_sub, V_ends the tops of the pipes' ends",
            };
            if shared {
                let wet = basin.settles(low + loads.evaporation + loads.swing);
                with.extend([term("W_low", VOLUME, low), term("V_ends", VOLUME, ends)]);
                with.extend(match i.top_up {
                    TopUp::Running => shares(wet),
                    TopUp::AtRest | TopUp::Float => shares(i.volume.max(ends)),
                });
            }
            Step::new("Least mark", equation, &with, term("V_mark", VOLUME, marks.0), &src::SUMP_BALANCE)
        });
        w.step(|| {
            let mut with = vec![
                term("brim", VOLUME, i.volume),
                term("freeboard", VOLUME, loads.freeboard),
                term("ΣV_f", VOLUME, loads.swing),
                term("V_back", VOLUME, loads.drain_back),
            ];
            let equation = match (i.top_up, shared) {
                (TopUp::AtRest, _) => "V_mark = brim − freeboard",
                (_, false) => "V_mark = brim − freeboard − ΣV_f − V_back, the beds may be full",
                (_, true) => "V_mark = A_s (W_top − ΣV_f − V_back − tanks)/A, W_top with the tanks as high as brim − freeboard; the beds may be full",
            };
            if shared && i.top_up != TopUp::AtRest {
                with.push(term("W_top", VOLUME, (i.volume - loads.freeboard) / part));
                with.extend(shares(marks.1));
            }
            Step::new("Highest mark", equation, &with, term("V_mark", VOLUME, marks.1), &src::FLOAT_VALVE)
        });
        let extremes = basin.extremes(mark, &loads, i.top_up);
        if shared {
            w.step(|| {
                let runs = basin.holds(extremes.run_high);
                let mut with = vec![term("W", VOLUME, runs)];
                with.extend(shares(extremes.run_high));
                let equation = "V_run = A_s (W − tanks)/A, W all water in the sump and the tanks that share its level, tanks = Σ A_k d, A = A_s + Σ A_k";
                let name = "Sump while it runs, beds drained";
                Step::new(name, equation, &with, term("V_run", VOLUME, extremes.run_high), &src::SUMP_BALANCE)
            });
        }
        // How far a tank stands over where it comes to rest, running with the beds drained.
        let stands = |t: &TankRow, over: Length| {
            let (runs, rests) = (extremes.run_high / area, extremes.stop_high / area);
            if t.follows() { runs.max(t.top()) + over - rests } else { over }
        };
        let rises: Vec<_> = i.tanks.iter().zip(&asks).map(|(t, l)| stands(t, *l)).collect();
        let back: Vec<_> = i.tanks.iter().zip(&rises).map(|(t, l)| t.area * (*l + t.siphoned())).collect();
        let high = |f: &Flooded| [extremes.run_high, mark].map(|v| v / area).map(|h| h.max(f.end) + f.over);
        let high = |f: &Flooded| match (i.top_up, high(f)) {
            // Filled at rest, the mark is no level at which it runs.
            (TopUp::AtRest, [runs, _]) => runs,
            (_, [runs, marked]) => runs.max(marked),
        };
        let flooded_high = flooded.iter().map(|f| high(f).max(extremes.stop_high / area)).reduce(Length::max);
        let top = basin.extremes(marks.0, &loads, i.top_up).stop_high;
        let least = if shared { top + loads.freeboard } else { marks.0 + (i.volume - marks.1) };
        let floor = (loads.submergence + loads.freeboard) / i.volume;
        // The tanks that share its level take their part of what comes, however small its floor is.
        let others = (area / part - area) * (i.depth - i.freeboard);
        let needs = if shared { top / part - loads.submergence } else { least - loads.submergence - loads.freeboard };
        let as_deep = (floor.value < 1.0 && ends < i.volume - loads.freeboard)
            .then(|| ((needs - others) / (1.0 - floor.value)).max(VOLUME.of(0.0)));
        w.step(|| {
            let with = [term("least mark", VOLUME, marks.0), term("above it", VOLUME, least - marks.0)];
            Step::new(
                "Least sump",
                "V = least mark + above it, what must find room there",
                &with,
                term("V", VOLUME, least),
                &src::SUMP_BALANCE,
            )
        });
        let together = |of: fn(&BedRow) -> VolumeRate| i.beds.iter().fold(FLOW.of(0.0), |q, b| q + of(b) * b.count);
        let (siphons, into_beds) = (together(|b| b.siphon), together(|b| b.inflow));
        let siphoned = i.tanks.iter().fold(VOLUME.of(0.0), |v, t| v + t.area * t.siphoned());
        let start_fall = started.map_or_else(|| fall(basin, mark, drain_back - siphoned), |s| s.fall);
        w.step(|| {
            let with = [term("Q", FLOW, started.map_or(flow, |s| s.flow)), term("A_s", AREA, area)];
            let equation = if shared {
                "ΔL = (Σ A L(Q) + Σ A_k d(Q) + pipes)/(A_s + Σ A_k), the pipes' ends under water"
            } else {
                "ΔL = (Σ A L(Q) + pipes)/A_s"
            };
            Step::new(
                "Fall of the sump at a start",
                equation,
                &with,
                term("ΔL", SHORT_LENGTH, start_fall),
                &src::SUMP_BALANCE,
            )
        });
        // What goes up a pipe while siphons run: its tank's part of their water, against what the full pipe loses.
        let surge = i.tanks.iter().filter(|t| t.follows()).fold(LENGTH.of(0.0), |h, t| {
            let of_all = t.area * part / area;
            h + of_all * full::head_loss(&t.flooded_pipe(), siphons * of_all, nu)
        });
        Ok(LevelsOut {
            area,
            brim: i.volume,
            loads,
            drain_back: back.iter().fold(pipes, |v, b| v + *b),
            marks,
            mark,
            extremes,
            least,
            as_deep,
            swing: (least_swing, swing),
            flow,
            started,
            start_fall,
            rises,
            asks,
            flooded_high,
            surge,
            back,
            pipes,
            rise_rate: (!i.beds.is_empty()).then(|| sump::rise_rate(siphons, into_beds, area / part)),
            flooded,
            siphons,
            beside: (flow - into_beds).max(FLOW.of(0.0)),
        })
    }

    fn outputs(o: &LevelsOut, s: &mut dyn Outputs) {
        let none = VOLUME.of(0.0);
        out(s, "drain_back", "Runs back when the pump stops", VOLUME, o.drain_back);
        span(s, "swing", "Beds swing, out of step and in step", VOLUME, o.swing.0, o.swing.1);
        out(s, "least_sump", "Least sump of this floor", VOLUME, o.least);
        out(s, "least_mark", "Least mark", VOLUME, o.marks.0);
        out(s, "highest_mark", "Highest mark", VOLUME, o.marks.1.max(none));
        out(s, "least_mark_level", "Least mark over the floor", SHORT_LENGTH, o.marks.0 / o.area);
        out(s, "highest_mark_level", "Highest mark over the floor", SHORT_LENGTH, o.marks.1.max(none) / o.area);
        out(s, "stop_high", "Pump off, beds drained", VOLUME, o.extremes.stop_high);
        out(s, "run_high", "Running, beds drained", VOLUME, o.extremes.run_high.max(none));
        out(s, "run_low", "Running, beds full", VOLUME, o.extremes.run_low.max(none));
        out(s, "lowest", "Lowest water", VOLUME, o.extremes.lowest.max(none));
        let over = |v: Volume| v.max(none) / o.area;
        out(s, "highest_level", "Highest water over the floor", SHORT_LENGTH, over(o.extremes.stop_high));
        out(s, "lowest_level", "Lowest water over the floor", SHORT_LENGTH, over(o.extremes.lowest));
        out(s, "flow", "Most that the pump sends", FLOW, o.flow);
        out_opt(s, "flow_settled", "Once the sump has fallen", FLOW, o.started.map(|s| s.flow));
        out_opt(s, "flooded_high", "Highest in a tank on a flooded pipe, over the floor", SHORT_LENGTH, o.flooded_high);
        out(s, "start_fall", "Fall of the sump at a start", SHORT_LENGTH, o.start_fall);
        out_opt(s, "rise_rate", "The sump rises while all siphons run", OVERFLOW_RATE, o.rise_rate);
        out(s, "siphons", "What all siphons carry", FLOW, o.siphons);
    }

    fn level(o: &LevelsOut) -> Option<Level> {
        Some(main_level(o))
    }

    fn cautions(i: &LevelsIn, o: &LevelsOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &LevelsIn, o: &LevelsOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// What is gone before somebody tops it up.
fn by_hand(i: &LevelsIn) -> Volume {
    i.evaporation * i.days
}

/// Is the pump's return said to end under water?
fn under(i: &LevelsIn) -> bool {
    i.flow_by == FlowBy::Curve && i.ends == Ends::Under
}

/// How far the sump falls from its mark when so much is taken to lips and into pipes.
fn fall(basin: Basin<'_>, mark: Volume, taken: Volume) -> Length {
    ((mark - basin.settles(mark / basin.part() - taken)) / basin.area).max(LENGTH.of(0.0))
}

fn started(
    i: &LevelsIn,
    area: Area,
    supply: Volume,
    bore: Length,
    nu: KinematicViscosity,
    held: &dyn Fn(VolumeRate) -> Volume,
) -> Result<Started, Vec<FieldError>> {
    let curve = Curve::two_points(i.shut_off, i.free_flow, RATIO.of(USUAL_EXPONENT.value))
        .map_err(|e| vec![FieldError::new("shut_off", e.fault, e.accepted)])?;
    let first = i.tanks.first();
    // Without flow the water of a tank that shares the sump's level stands at the mark.
    let level = under(i) && first.is_some_and(TankRow::follows);
    let lift = if level { LENGTH.of(0.0) } else { i.height - i.mark };
    let loss = piping::entrance() + i.elbows * piping::elbow(bore) + i.losses + piping::exit();
    let pipe = full::Pipe { bore, length: i.length, roughness: piping::new_plastic(), loss };
    let mouth = if i.ends == Ends::Under { Mouth::Water } else { Mouth::Air };
    let way = Supply { pipe, end: End::Outlet { height: lift, mouth } };
    let rises = |q: VolumeRate, fall: Length| match (i.ends, first) {
        (Ends::Under, Some(t)) if t.follows() => (i.mark - fall).max(t.top()) + rise(t, q, nu) - i.mark,
        (Ends::Under, Some(t)) => rise(t, q, nu),
        _ => LENGTH.of(0.0),
    };
    let falls = |q: VolumeRate| {
        let flooded = flooded(i, q, nu);
        fall(Basin { area, flooded: &flooded }, area * i.mark, held(q) + supply)
    };
    Ok(sump::start(&StartUp { pumps: &Pumps::one(curve), way: &way, viscosity: nu, fall: &falls, rise: &rises }))
}

#[cfg(test)]
mod tests;
