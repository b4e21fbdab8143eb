//! Sump and levels: the lowest and highest water in the sump through siphon cycles, a pump stop and the days between top-ups.

mod report;

pub(crate) use report::GIVE_OVERFLOW;

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
use crate::science::sump::{self, Bed, Extremes, Loads, StartUp, Started, TopUp};
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
    /// The rise is known.
    Measured,
}
crate::choices!(Leaves:
    Rim = "rim", "Over an open standpipe", "";
    Wall = "wall", "Through a hole in the wall", "";
    Tee = "tee", "From the bottom, up to a vented tee", "";
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
                .help("It stands over its lip while the pump runs, and that runs back."),
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
        group(f, &Group::when("leaves", "rim|wall|tee"), leaves != Leaves::Measured, &mut |f| {
            piping::choose(f, 4, 5, "Outlet pipe", "The pipe that drains the tank.", &mut self.pipe, &mut self.bore);
            let run =
                Field::new(6, "run", "Length of the pipe to the sump", LENGTH).range(0.05, 50.0).advised(0.2, 10.0);
            num(f, &run.help("The near-level part.").detail(), &mut self.run);
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
        let share =
            Field::new(10, "share", "Part of the flow that passes it", PERCENT).range(0.0, 1.0).advised(0.05, 1.0);
        num(
            f,
            &share.help("100 % for one tank and for tanks in a row; 50 % for each of two fed side by side.").detail(),
            &mut self.share,
        );
        let back = Field::new(11, "back", "How far its return siphons it down", SHORT_LENGTH)
            .range(0.0, 3.0)
            .advised(0.0, mm(50.0));
        num(
            f,
            &back.help("0 if the return ends above the water. Under water: from the water line down to the air hole, or to its end if there is none.").detail(),
            &mut self.back,
        );
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
            num(f, &height.help("Above water: the end of the pipe. Under water: the tank's lip, where its water stands without flow.").way(Way::Hose), &mut self.height);
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
    /// What it must have room and water for.
    pub loads: Loads,
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
    /// Rise of every tank over its lip.
    pub rises: Vec<Length>,
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

/// The outlet of a tank; none where the rise was measured.
fn outlet(t: &TankRow, nu: KinematicViscosity) -> Option<Outlet> {
    let bore = piping::bore(t.pipe, t.bore);
    let inlet = match t.leaves {
        Leaves::Measured => return None,
        Leaves::Rim => Inlet::Rim { bore, height: t.riser, foot: piping::elbow(bore), neck: bore },
        Leaves::Wall => Inlet::Wall { bore, entrance: piping::entrance() },
        Leaves::Tee => Inlet::Draw { bore, length: t.riser, loss: t.losses, neck: bore },
    };
    let run = Run { bore, length: t.run, slope: t.slope, loss: RATIO.of(0.0), roughness: LENGTH.of(USED_DRAIN.value) };
    Some(Outlet { inlet, run, tail: LENGTH.of(0.0), screen: None, viscosity: nu })
}

fn rise(t: &TankRow, flow: VolumeRate, nu: KinematicViscosity) -> Length {
    outlet(t, nu).map_or(t.rise, |o| o.stand(flow * t.share).level)
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
        tanks and runs back when the pump stops, pipes that empty, evaporation between top-ups, the start of the pump, the fill mark, float \
        valves. Conservation of water, with tank levels from the drains' hydraulics; for a sump with upright walls.";

    fn solve(i: &LevelsIn, w: &mut Working) -> Result<LevelsOut, Vec<FieldError>> {
        let area = i.volume / i.depth;
        if i.mark > i.depth {
            return refuse("mark", "stands higher than the rim of the sump", "at most its depth");
        }
        // A return that is said to end under water is no return that ends above it.
        if under(i) && !i.tanks.is_empty() && i.tanks.iter().all(|t| t.back.value <= 0.0) {
            return refuse(
                "tanks.0.back",
                "is 0, as for a return above the water, but the return ends under water and siphons its tank down when the pump stops",
                "from the water line down to its air hole, or to its end",
            );
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
        let held = |q: VolumeRate| i.tanks.iter().fold(VOLUME.of(0.0), |v, t| v + t.area * rise(t, q, nu));
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
                Step::new(
                    "Where a start settles",
                    "root of z_sump(Q) + H_pump(Q) = loss(Q) + z_out(Q), z_sump = z0 − (ΣA L(Q) + pipes)/A_s",
                    &with,
                    term("Q", FLOW, s.flow),
                    &src::NETWORK,
                )
            });
        }
        let rises: Vec<_> = i.tanks.iter().map(|t| rise(t, flow, nu)).collect();
        for (t, l) in i.tanks.iter().zip(&rises) {
            w.step(|| {
                let with = [term("Q", FLOW, flow * t.share), term("D", SHORT_LENGTH, piping::bore(t.pipe, t.bore))];
                let (equation, source) = match t.leaves {
                    Leaves::Measured => ("L as measured", &src::WATERWAYS_ASSUMED),
                    Leaves::Rim => {
                        ("L: higher of weir and mouth over the rim, or what backs up to it", &hyd::SWMM_RISER)
                    }
                    Leaves::Wall => ("L: higher of inlet and outlet control", &hyd::HDS5),
                    Leaves::Tee => ("L: level in the vented tee, and the loss of the rising pipe", &hyd::TEE_JUDGEMENT),
                };
                Step::new("Rise of a tank over its lip", equation, &with, term("L", SHORT_LENGTH, *l), source)
            });
        }
        let back: Vec<_> = i.tanks.iter().zip(&rises).map(|(t, l)| t.area * (*l + t.back)).collect();
        let drain_back = back.iter().fold(pipes, |v, b| v + *b);
        w.step(|| {
            let with = [term("pipes", VOLUME, pipes), term("tanks", VOLUME, drain_back - pipes)];
            Step::new(
                "Drain-back when the pump stops",
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
        let marks = sump::marks(i.volume, &loads, i.top_up);
        w.step(|| {
            let with = [
                term("V_sub", VOLUME, loads.submergence),
                term("V_evap", VOLUME, loads.evaporation),
                term("ΣV_f", VOLUME, loads.swing),
                term("V_back", VOLUME, loads.drain_back),
            ];
            let equation = match i.top_up {
                TopUp::AtRest => "V_mark = V_sub + V_evap + ΣV_f + V_back",
                TopUp::Running => "V_mark = V_sub + V_evap + ΣV_f, the beds may be drained",
                TopUp::Float => "V_mark = V_sub + V_back, a start takes it before the valve gives it",
            };
            Step::new("Least mark", equation, &with, term("V_mark", VOLUME, marks.0), &src::SUMP_BALANCE)
        });
        w.step(|| {
            let with = [
                term("brim", VOLUME, i.volume),
                term("freeboard", VOLUME, loads.freeboard),
                term("ΣV_f", VOLUME, loads.swing),
                term("V_back", VOLUME, loads.drain_back),
            ];
            let equation = match i.top_up {
                TopUp::AtRest => "V_mark = brim − freeboard",
                TopUp::Running | TopUp::Float => "V_mark = brim − freeboard − ΣV_f − V_back, the beds may be full",
            };
            Step::new("Highest mark", equation, &with, term("V_mark", VOLUME, marks.1), &src::FLOAT_VALVE)
        });
        let extremes = sump::extremes(mark, &loads, i.top_up);
        let least = marks.0 + (i.volume - marks.1);
        let floor = (loads.submergence + loads.freeboard) / i.volume;
        let as_deep = (floor.value < 1.0).then(|| (least - loads.submergence - loads.freeboard) / (1.0 - floor.value));
        w.step(|| {
            let with = [term("least mark", VOLUME, marks.0), term("above it", VOLUME, i.volume - marks.1)];
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
        let start_fall = started.map_or(
            ((drain_back - i.tanks.iter().fold(VOLUME.of(0.0), |v, t| v + t.area * t.back)) / area).max(LENGTH.of(0.0)),
            |s| s.fall,
        );
        w.step(|| {
            let with = [term("Q", FLOW, started.map_or(flow, |s| s.flow)), term("A_s", AREA, area)];
            Step::new(
                "Fall of the sump at a start",
                "ΔL = (Σ A L(Q) + pipes)/A_s",
                &with,
                term("ΔL", SHORT_LENGTH, start_fall),
                &src::SUMP_BALANCE,
            )
        });
        Ok(LevelsOut {
            area,
            brim: i.volume,
            loads,
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
            back,
            pipes,
            rise_rate: (!i.beds.is_empty()).then(|| sump::rise_rate(siphons, into_beds, area)),
            siphons,
            beside: (flow - into_beds).max(FLOW.of(0.0)),
        })
    }

    fn outputs(o: &LevelsOut, s: &mut dyn Outputs) {
        let none = VOLUME.of(0.0);
        out(s, "drain_back", "Runs back when the pump stops", VOLUME, o.loads.drain_back);
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
    let lift = i.height - i.mark;
    let loss = piping::entrance() + i.elbows * piping::elbow(bore) + i.losses + piping::exit();
    let pipe = full::Pipe { bore, length: i.length, roughness: piping::new_plastic(), loss };
    let mouth = if i.ends == Ends::Under { Mouth::Water } else { Mouth::Air };
    let way = Supply { pipe, end: End::Outlet { height: lift, mouth } };
    let rises = |q: VolumeRate| match (i.ends, i.tanks.first()) {
        (Ends::Under, Some(t)) => rise(t, q, nu),
        _ => LENGTH.of(0.0),
    };
    Ok(sump::start(&StartUp {
        pumps: &Pumps::one(curve),
        way: &way,
        viscosity: nu,
        sump: area,
        pipes: supply,
        held,
        rise: &rises,
    }))
}

#[cfg(test)]
mod tests;
