//! Sump and levels: the lowest and highest water in the sump through siphon cycles, a pump stop and the days between top-ups.

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
            num(f, &height.help("Above water: the end of the pipe. Under water: the tank's lip, where its water stands without flow."), &mut self.height);
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
    /// How fast the sump rises while all siphons run.
    pub rise_rate: Velocity,
    /// What all siphons carry together.
    pub siphons: VolumeRate,
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
        let siphons = i.beds.iter().fold(FLOW.of(0.0), |q, b| q + b.siphon * b.count);
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
            rise_rate: sump::rise_rate(siphons, flow, area),
            siphons,
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
        out(s, "rise_rate", "The sump rises while all siphons run", OVERFLOW_RATE, o.rise_rate);
        out(s, "siphons", "What all siphons carry", FLOW, o.siphons);
    }

    fn level(o: &LevelsOut) -> Option<Level> {
        Some(main_level(o))
    }

    fn cautions(i: &LevelsIn, o: &LevelsOut, words: Words) -> Vec<Caution> {
        cautions(i, o, words)
    }

    fn report(i: &LevelsIn, o: &LevelsOut, words: Words) -> Report {
        Report {
            verdict: verdict(i, o, words),
            levels: levels(i, o),
            repairs: repairs(i, o, words),
            cautions: cautions(i, o, words),
            pictures: vec![Picture::Section(section(i, o, words))],
            tables: vec![stages(i, o, words), comes_back(i, o, words)],
            notes: notes(i, o, words),
        }
    }
}

/// Hardly a tank holds so much over its outlet.
const DROWNED: Coef = Coef::new(0.4, "m", &src::WATERWAYS_ASSUMED, "garden tanks");

/// The tank whose outlet does not carry its flow by far, and how high the water would stand over its lip.
fn drowned(i: &LevelsIn, o: &LevelsOut) -> Option<(usize, Length)> {
    let computed = |k: &usize| i.tanks.get(*k).is_some_and(|t| t.leaves != Leaves::Measured);
    let rises = o.rises.iter().copied().enumerate().filter(|(k, _)| computed(k));
    rises.max_by(|a, b| a.1.value.total_cmp(&b.1.value)).filter(|(_, rise)| rise.value > DROWNED.value)
}

/// What is gone before somebody tops it up.
fn by_hand(i: &LevelsIn) -> Volume {
    i.evaporation * i.days
}

/// Is the pump's return said to end under water?
fn under(i: &LevelsIn) -> bool {
    i.flow_by == FlowBy::Curve && i.ends == Ends::Under
}

/// How the lowest water is called.
const fn lowest(top_up: TopUp) -> &'static str {
    match top_up {
        TopUp::Float => "at a start",
        TopUp::AtRest | TopUp::Running => "before the top-up",
    }
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

fn verdict(i: &LevelsIn, o: &LevelsOut, w: Words) -> String {
    let v = |x| w.q(VOLUME, x);
    let state = |id: &str| three(o).iter().find(|l| l.id == id).map(Level::state);
    let (dry, spill) = (state("dry") == Some(State::Over), state("spill") == Some(State::Over));
    let mark = if o.marks.0 <= o.marks.1 {
        let marks = format!(
            "{} over the floor ({})",
            w.range(SHORT_LENGTH, o.marks.0 / o.area, o.marks.1 / o.area),
            w.range(VOLUME, o.marks.0, o.marks.1)
        );
        match i.top_up {
            TopUp::AtRest => format!(" Fill mark, with the pump off and the beds drained: {marks}."),
            TopUp::Running => format!(" Fill mark while it runs: {marks}."),
            TopUp::Float => format!(" Where the float may shut: {marks}."),
        }
    } else {
        let asked =
            as_deep(o, w).map_or_else(|| "be deeper".into(), |least| format!("hold {least} if it is no deeper"));
        format!(" No mark is right for it: it would have to {asked}, and holds {}.", v(o.brim))
    };
    if let Some((k, rise)) = drowned(i, o) {
        return format!(
            "The outlet of tank {} does not carry {}: its water would stand {} over the lip, more than a tank holds. See the drain page first.{mark}",
            w.plain(k as f64 + 1.0),
            w.q(FLOW, o.flow * i.tanks[k].share),
            w.q(SHORT_LENGTH, rise)
        );
    }
    let says = match (dry, spill) {
        (true, true) => {
            "The pump runs dry when the beds are full, and the sump spills when the pump stops.".to_string()
        }
        (true, false) => format!("The pump runs dry: {} in the sump, and {} are needed.", v(o.mark), v(o.marks.0)),
        (false, true) if o.extremes.stop_high <= o.brim => format!(
            "When the power goes {} stand in it, {} under the rim: within the {} that you keep dry.",
            v(o.extremes.stop_high),
            w.q(SHORT_LENGTH, (o.brim - o.extremes.stop_high) / o.area),
            w.q(SHORT_LENGTH, i.freeboard)
        ),
        (false, true) => format!(
            "It spills when the power goes: {} come together, and it holds {}.",
            v(o.extremes.stop_high),
            v(o.brim)
        ),
        (false, false) => format!(
            "The pump stays under water and nothing spills: {} in the sump.",
            w.range(VOLUME, o.extremes.lowest, o.extremes.stop_high)
        ),
    };
    // What drained beds take at a start, no float valve gives in that time.
    let first = if i.top_up == TopUp::Float && o.extremes.lowest - o.loads.swing < o.loads.submergence && !dry && !spill
    {
        format!(
            " Beds that are drained at a start take more than the valve gives: fill it to {} by hand first.",
            v(o.extremes.stop_high)
        )
    } else {
        String::new()
    };
    says + &first + &mark
}

/// The least sump of this depth in words, rounded so that what is said would do.
fn as_deep(o: &LevelsOut, w: Words) -> Option<String> {
    o.as_deep.map(|v| w.q(VOLUME, VOLUME.of(mend::round_up(v.value, w.one(VOLUME)))))
}

fn notes(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<String> {
    let least = as_deep(o, w);
    let mut notes: Vec<_> =
        least.map(|v| format!("A sump as deep would do from {v}, for all that hangs on it.")).into_iter().collect();
    if i.beds.len() == 1 && i.beds[0].count.value > 1.0 {
        notes.push(format!(
            "Beds alike swing {} together if they stay evenly out of step, and {} in step. A restart can bring them into step, so the whole counts.",
            w.q(VOLUME, o.swing.0),
            w.q(VOLUME, o.swing.1)
        ));
    } else if i.beds.len() > 1 {
        notes.push(
            "Beds with unlike cycles drift through every alignment: sooner or later all are full at once.".into(),
        );
    }
    if o.rise_rate.value > 0.0 && !i.beds.is_empty() {
        notes.push(format!(
            "With all siphons running the sump rises {} a minute. The pipes to it must carry {}, not the pump's flow.",
            w.q(SHORT_LENGTH, SHORT_LENGTH.of(o.rise_rate.value * 60.0)),
            w.q(FLOW, o.siphons)
        ));
    }
    notes.push(format!(
        "At a start the sump falls {} before the first water comes back; a bed that was dry takes what stays in it as well.",
        w.q(SHORT_LENGTH, o.start_fall)
    ));
    if let Some(s) = o.started {
        notes.push(format!(
            "As the sump falls the lift grows: the pump settles at {}, not at the {} of a full sump.",
            w.q(FLOW, s.flow),
            w.q(FLOW, s.flow_level_held)
        ));
    }
    notes.push("Prove it on clean water: fill to the mark, start, wait until all beds have been full at once, pull the plug, and watch the rim.".into());
    notes
}

fn cautions(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let mark_top = o.extremes.stop_high;
    if i.top_up == TopUp::Float && !i.beds.is_empty() {
        all.push(Caution::from(
            format!(
                "A float valve refills the sump while the beds are full. When they drain and the pump stops, {} stand in it: {} above the float. Without \
                 that room it spills, and the float fills it again.",
                w.q(VOLUME, mark_top),
                w.q(VOLUME, o.loads.swing + o.loads.drain_back)
            ),
            &src::FLOAT_VALVE,
        ));
    }
    if i.top_up == TopUp::Float {
        all.push(Caution::new(
            "A float valve on the mains: an air gap above the highest water, as local code asks, and a valve that sticks open floods. Tap water brings \
             chlorine; let it in slowly or treat it.",
        ));
    }
    if i.top_up == TopUp::Running && !i.beds.is_empty() {
        all.push(Caution::new(
            "Topped up while it runs, the same mark can mean full beds or empty ones. Top up only with the pump off and the beds drained.",
        ));
    }
    if i.tanks.iter().any(|t| t.back.value > 0.0) || under(i) {
        all.push(Caution::from(
            "A return under water siphons the tank down when the pump stops. End it above the highest water; or an air hole of 5 to 6 mm (1/4 in), 10 to 20 mm (3/8 to 3/4 in) \
             below the normal water line, kept clear. A check valve is no substitute.",
            &src::AIR_HOLE,
        ));
    }
    if i.tanks.iter().any(|t| t.leaves == Leaves::Tee) {
        all.push(Caution::new(
            "A vented tee whose vent is capped or blocked siphons its tank down to the intake. Keep the vent open and set the intake no lower than the fish can \
             live in.",
        ));
    }
    if let Some((k, rise)) = drowned(i, o) {
        all.push(Caution::new(format!(
            "At this flow the water of tank {} would stand {} over its lip: it spills before. All that is said of the sump counts that water.",
            w.plain(k as f64 + 1.0),
            w.q(SHORT_LENGTH, rise)
        )));
    }
    if i.beds.iter().any(|b| !b.breaks()) {
        all.push(Caution::new(
            "More flows into a bed than its siphon carries: it never breaks, and its bed never drains.",
        ));
    }
    let taken = i.beds.iter().fold(FLOW.of(0.0), |q, b| q + b.inflow * b.count);
    if taken.value > o.flow.value * (1.0 + 1e-3) {
        all.push(Caution::new(format!(
            "The beds are said to take {} together, and the pump sends {}: not all of them get what is said here.",
            w.q(FLOW, taken),
            w.q(FLOW, o.flow)
        )));
    }
    if !i.beds.is_empty() {
        all.push(Caution::new(
            "A siphon that blocks keeps its bed full, and then over the rim until the sump is dry. Give every bed an overflow back to the sump.",
        ));
    }
    all.push(Caution::from(piping::ELECTRICITY, &src::RESIDUAL_CURRENT));
    all
}

fn stages(i: &LevelsIn, o: &LevelsOut, w: Words) -> Table {
    let none = VOLUME.of(0.0);
    let row = |name: &str, v: Volume| {
        if v < none {
            return vec![name.to_string(), "dry".into(), "–".into()];
        }
        vec![name.to_string(), w.q(VOLUME, v.max(none)), w.q(SHORT_LENGTH, v.max(none) / o.area)]
    };
    let e = &o.extremes;
    Table {
        title: "Water in the sump".into(),
        head: ["When", "Volume", "Over the floor"].map(str::to_string).to_vec(),
        rows: vec![
            row("Brim", o.brim),
            row("Pump off, beds drained", e.stop_high),
            row("Running, beds just drained", e.run_high),
            row("Running, all beds full", e.run_low),
            row(&sentence(lowest(i.top_up)), e.lowest),
            row("The pump needs", o.loads.submergence),
        ],
    }
}

fn comes_back(i: &LevelsIn, o: &LevelsOut, w: Words) -> Table {
    let mut rows: Vec<Vec<String>> = i
        .tanks
        .iter()
        .zip(o.rises.iter().zip(&o.back))
        .enumerate()
        .map(|(k, (t, (rise, back)))| {
            vec![format!("Tank {}, {}", k + 1, t.leaves_words()), w.q(SHORT_LENGTH, *rise), w.q(VOLUME, *back)]
        })
        .collect();
    rows.push(vec!["Pipes".into(), "–".into(), w.q(VOLUME, o.pipes)]);
    rows.push(vec!["Together".into(), "–".into(), w.q(VOLUME, o.loads.drain_back)]);
    Table {
        title: "What runs back when the pump stops".into(),
        head: ["From", "Stood over its lip", "Comes back"].map(str::to_string).to_vec(),
        rows,
    }
}

impl TankRow {
    fn leaves_words(&self) -> &'static str {
        match self.leaves {
            Leaves::Rim => "open standpipe",
            Leaves::Wall => "hole in the wall",
            Leaves::Tee => "vented tee",
            Leaves::Measured => "as measured",
        }
    }
}

fn repairs(i: &LevelsIn, o: &LevelsOut, w: Words) -> Vec<Repair> {
    let mut found = vec![];
    let main = main_level(o);
    if main.state() == State::Enough {
        return found;
    }
    let id = main.id.to_string();
    let before = levels(i, o);
    let mut add = |title: String, edits: Vec<Edit>| {
        let mended = mend::mend::<Levels>(i, &before, levels, &id, title, edits, w.system);
        found.extend(mended.filter(|r| r.level.fullness() <= HOPELESS));
    };
    // What an outlet does not carry is mended there, with room to spare, and not by a sump for it.
    if let Some((k, _)) = drowned(i, o) {
        let t = &i.tanks[k];
        let wider = |p: &Pipe| vec![Edit::pick(format!("tanks.{k}.pipe"), p.id)];
        let carries = |p: &&'static Pipe| {
            mend::outcome::<Levels>(i, &wider(p)).is_some_and(|o| o.rises[k].value < DROWNED.value / 2.0)
        };
        let sizes = t.pipe.wider(piping::bore(t.pipe, t.bore), piping::family(t.pipe));
        if let Some(p) = sizes.into_iter().find(carries) {
            add(format!("{} as outlet of tank {}", p.words(w.system), w.plain(k as f64 + 1.0)), wider(p));
        }
        return found;
    }
    // The mark that is as far from dry as from spilling: mark/least = room/(mark + what comes on top), a square root.
    let even = |least: Volume, room: Volume| {
        let (low, room, top) = (least.value, room.value, (o.brim - o.loads.freeboard - o.marks.1).value.max(0.0));
        VOLUME.of(((top * top + 4.0 * low.max(0.0) * room.max(0.0)).sqrt() - top) / 2.0)
    };
    let room = o.brim - o.loads.freeboard;
    let height = |v: Volume, area: Area| (v / area).min(i.depth).max(LENGTH.of(0.0));
    if o.marks.0 < o.marks.1 {
        let to = height(even(o.marks.0, room), o.area);
        add(format!("fill it to {} over the floor", w.q(SHORT_LENGTH, to)), vec![Edit::num("mark", to)]);
    }
    // By hand, what evaporates between two top-ups counts again.
    let least = Loads { evaporation: by_hand(i), ..o.loads }.least_fill();
    if i.top_up != TopUp::AtRest && least < room {
        let to = height((least * room).sqrt(), o.area);
        let edits = vec![Edit::pick("top_up", "at_rest"), Edit::num("mark", to)];
        add(format!("top up by hand to {}, pump off and beds drained", w.q(SHORT_LENGTH, to)), edits);
    }
    // A bigger sump of the same depth, with the mark that suits it. What the pump needs and the freeboard grow with it.
    let grow = |x: f64| {
        let fixed = o.marks.0 - o.loads.submergence;
        let to = height(even(fixed + o.loads.submergence * x, room * x), o.area * x);
        vec![Edit::num("volume", i.volume * x), Edit::num("mark", w.as_shown(SHORT_LENGTH, to).min(i.depth))]
    };
    let most = (l(50_000.0) / i.volume.value).min(8.0);
    if most > 1.0
        && let Some(x) = mend::just_enough::<Levels>(i, Levels::level, grow, 1.0, most)
    {
        let step = w.step(VOLUME, l(if i.volume.value < l(500.0) { 5.0 } else { 50.0 }));
        let first = mend::rounded(i.volume.value * x, i.volume.value, step);
        let sold = |k: u32| ((first + step * f64::from(k)) / i.volume.value).min(most);
        // With its mark as it is shown the first may be a little short.
        let does = |x: &f64| {
            mend::outcome::<Levels>(i, &grow(*x))
                .is_some_and(|o| Levels::level(&o).is_some_and(|l| l.state() == State::Enough))
        };
        let x = (0..3).map(sold).find(does).unwrap_or_else(|| sold(0));
        add(format!("a sump of {}, as deep", w.q(VOLUME, i.volume * x)), grow(x));
    }
    // Beds that swing less, down to a half.
    if !i.beds.is_empty() {
        let swing = |b: &BedRow, x: f64| SHORT_LENGTH.of((b.swing.value * x).max(mm(5.0)));
        let lower = |x: f64| {
            let at = |(k, b): (usize, &BedRow)| Edit::num(format!("beds.{k}.swing"), swing(b, x));
            i.beds.iter().enumerate().map(at).collect::<Vec<_>>()
        };
        if let Some(x) = mend::just_enough::<Levels>(i, Levels::level, lower, 1.0, 0.5) {
            let x = mend::rounded(x, 1.0, 0.05);
            let title = match &i.beds[..] {
                [one] => format!("beds that fall {} from flooded to drained", w.q(SHORT_LENGTH, swing(one, x))),
                _ => format!("beds that fall {} as far", w.q(PERCENT, PERCENT.of(x))),
            };
            add(title, lower(x));
        }
    }
    let mut back: Vec<_> = i
        .tanks
        .iter()
        .enumerate()
        .filter(|(_, t)| t.back.value > 0.0)
        .map(|(k, _)| Edit::num(format!("tanks.{k}.back"), SHORT_LENGTH.of(0.0)))
        .collect();
    if !back.is_empty() {
        if under(i) {
            back.push(Edit::pick("ends", "above"));
        }
        add("returns that end above the water".into(), back);
    }
    found
}

/// The sump in section, with its levels.
fn section(i: &LevelsIn, o: &LevelsOut, w: Words) -> Section {
    let wall = 0.02;
    let (depth, wide) = (i.depth.value, o.area.value.sqrt().max(0.1));
    let over = |v: Volume| (v.value / o.area.value).clamp(0.0, depth * 1.3);
    let e = &o.extremes;
    let describe = format!(
        "The sump in section, {} deep: pump off {} over its floor, running with beds drained {}, with beds full {}, {} {}; the pump needs {}.",
        w.q(LENGTH, i.depth),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.stop_high))),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.run_high))),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.run_low))),
        lowest(i.top_up),
        w.q(SHORT_LENGTH, LENGTH.of(over(e.lowest))),
        w.q(SHORT_LENGTH, i.submergence),
    );
    let mut s = Section::new("The sump", describe, wide * 2.8 + 2.0 * wall, depth * 1.25 + wall);
    let rect = |x: f64, y: f64, w: f64, h: f64| Shape::Rect { x, y, w: w.max(0.0), h: h.max(0.0) };
    let line = |y: f64| Shape::Path { points: vec![(wall, wall + y), (wall + wide, wall + y)], closed: false };
    s.add(Role::Water, rect(wall, wall, wide, over(e.lowest)));
    s.add(Role::Water, rect(wall, wall, wide, over(e.stop_high).min(depth)));
    if e.stop_high > o.brim {
        s.add(Role::Spill, rect(wall, wall + depth, wide, over(e.stop_high) - depth));
    }
    s.add(Role::Wall, rect(0.0, 0.0, wide + 2.0 * wall, wall));
    s.add(Role::Wall, rect(0.0, wall, wall, depth));
    s.add(Role::Wall, rect(wall + wide, wall, wall, depth));
    let pump = i.submergence.value.min(depth) * 0.7;
    s.add(Role::Pipe, rect(wall + wide * 0.15, wall, wide * 0.2, pump));
    s.add(Role::Guide, line(i.submergence.value));
    s.add(Role::Brim, line(depth));
    // Words beside the lines, none closer to the one below than a line of text.
    let mut lines = [
        ("the pump needs", i.submergence.value),
        (lowest(i.top_up), over(e.lowest)),
        ("beds full", over(e.run_low)),
        ("beds drained", over(e.run_high)),
        ("pump off", over(e.stop_high)),
        ("rim", depth),
    ];
    crate::units::arrange(&mut lines, |a, b| a.1.total_cmp(&b.1));
    // On the narrowest picture a line of text is about a seventeenth of its width high.
    let apart = s.width * 0.06;
    let mut last = f64::NEG_INFINITY;
    for (name, y) in lines {
        if name != "rim" && name != "the pump needs" {
            s.add(Role::Surface, line(y));
        }
        let at = y.max(last + apart);
        last = at;
        s.text(wall * 3.0 + wide, wall + at, format!("{name}, {}", w.q(SHORT_LENGTH, LENGTH.of(y))));
    }
    s.height = s.height.max(wall + last + apart);
    s
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::solve;

    fn near(got: f64, expect: f64, tolerance: f64) {
        assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
    }
    fn run(i: &LevelsIn) -> LevelsOut {
        solve::<Levels>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
    }
    fn litres(v: Volume) -> f64 {
        v.value * 1000.0
    }
    fn tank(leaves: Leaves) -> TankRow {
        TankRow {
            leaves,
            pipe: piping::named("sch40_2"),
            run: LENGTH.of(1.5),
            slope: SLOPE.of(0.0),
            riser: LENGTH.of(0.9),
            ..TankRow::default()
        }
    }
    fn only(t: TankRow, flow: f64) -> LevelsIn {
        LevelsIn {
            tanks: vec![t],
            beds: vec![],
            flow: FLOW.of(l_h(flow)),
            length: LENGTH.of(0.0),
            other_pipes: VOLUME.of(0.0),
            ..LevelsIn::default()
        }
    }

    #[test]
    fn what_stands_over_the_lip_comes_back() {
        // A tank of 1.2 m² on 52 mm pipe: over a rim at 2000 L/h 18.1 L, at 4000 L/h 46.6; through a wall at 1500 L/h and 0.5 % 46 L; from a vented tee with a level
        // leg of 1.5 m at 1500 L/h 54.9 L, of 3 m at 4000 L/h 155.6 L.
        let back = |t: TankRow, q: f64| litres(run(&only(t, q)).loads.drain_back);
        near(back(tank(Leaves::Rim), 2000.0), 18.1, 0.1);
        near(back(tank(Leaves::Rim), 4000.0), 46.6, 0.1);
        let wall = TankRow { run: LENGTH.of(2.0), slope: SLOPE.of(0.005), ..tank(Leaves::Wall) };
        near(back(wall, 1500.0), 46.0, 1.0);
        near(back(tank(Leaves::Tee), 1500.0), 54.9, 0.5);
        near(back(TankRow { run: LENGTH.of(3.0), ..tank(Leaves::Tee) }, 4000.0), 155.6, 1.5);
        let measured = TankRow { rise: SHORT_LENGTH.of(mm(20.0)), ..tank(Leaves::Measured) };
        near(back(measured.clone(), 9000.0), 24.0, 1e-9);
        // A return under water, 100 mm above its hole: 120 L more.
        near(back(TankRow { back: SHORT_LENGTH.of(mm(100.0)), ..measured }, 9000.0), 144.0, 1e-9);
    }

    /// Beds of 105.6 L on a sump of 0.4 m², 100 mm under the pump, 30 L evaporated, 34 L back.
    fn two_beds(count: f64) -> LevelsIn {
        LevelsIn {
            volume: VOLUME.of(l(320.0)),
            depth: LENGTH.of(0.8),
            mark: LENGTH.of(0.788),
            freeboard: SHORT_LENGTH.of(0.0),
            evaporation: DAILY_VOLUME.of(l(6.0) / days(1.0)),
            days: DAYS.of(days(5.0)),
            other_pipes: VOLUME.of(l(10.0)),
            tanks: vec![TankRow { rise: SHORT_LENGTH.of(mm(20.0)), ..tank(Leaves::Measured) }],
            beds: vec![BedRow { count: COUNT.of(count), ..BedRow::default() }],
            ..only(tank(Leaves::Measured), 1000.0)
        }
    }

    #[test]
    fn the_sump_of_two_beds() {
        // 2 x 105.6 + 34 + 5 x 6 + 40 = 315.2 L, the fill mark at rest; running 281.2, beds full 70.0, before the top-up 40.0.
        let o = run(&two_beds(2.0));
        for (got, expect) in [
            (o.least, 315.2),
            (o.marks.0, 315.2),
            (o.extremes.stop_high, 315.2),
            (o.extremes.run_high, 281.2),
            (o.extremes.run_low, 70.0),
            (o.extremes.lowest, 40.0),
        ] {
            near(litres(got), expect, 1e-6);
        }
        near(litres(o.swing.1), 211.2, 1e-9);
        assert!(o.swing.0 < o.swing.1 * 0.6);
        let tight = three(&o);
        assert!(tight.iter().all(|l| l.state() == State::Tight), "{tight:?}");
        // A float at the least level: 245.2 L must find room above it.
        let float = LevelsIn { top_up: TopUp::Float, mark: LENGTH.of(0.1), ..two_beds(2.0) };
        let o = run(&float);
        near(litres(o.extremes.stop_high), 285.2, 1e-6);
        near(litres(o.marks.1), 320.0 - 245.2, 1e-6);
        let said = Levels::report(&float, &o, Words::default());
        assert!(said.cautions[0].text.contains("float"));
        // Half way up, it spills.
        let spills = LevelsIn { mark: LENGTH.of(0.4), ..float };
        let o = run(&spills);
        assert!(Levels::report(&spills, &o, Words::default()).verdict.starts_with("It spills when the power goes"));
    }

    /// Who buys the sump that is named, as deep as this one, has one that would do; a tenth less would not.
    #[test]
    fn the_sump_that_is_named_would_do() {
        for count in [1.0, 3.0, 6.0] {
            let i = LevelsIn { freeboard: SHORT_LENGTH.of(mm(50.0)), ..two_beds(count) };
            let bought = |x: f64| {
                let o = run(&LevelsIn { volume: run(&i).as_deep.expect("deep enough") * x, ..i.clone() });
                o.marks.0 <= o.marks.1
            };
            assert!(bought(1.001) && !bought(0.9), "{count} beds");
        }
        let i = LevelsIn { submergence: SHORT_LENGTH.of(mm(300.0)), depth: LENGTH.of(0.3), ..two_beds(1.0) };
        let i = LevelsIn { mark: LENGTH.of(0.3), ..i };
        let o = run(&i);
        assert_eq!(o.as_deep, None);
        assert!(Levels::report(&i, &o, Words::default()).verdict.contains("have to be deeper"));
    }

    #[test]
    fn the_sump_of_three_beds() {
        // Drain-back 18.1 + 12, 30 evaporation, 40 submergence, freeboard 20: 436.9 L, fill mark 416.9.
        let i = LevelsIn {
            volume: VOLUME.of(l(500.0)),
            depth: LENGTH.of(0.5),
            mark: LENGTH.of(0.45),
            submergence: SHORT_LENGTH.of(mm(40.0)),
            freeboard: SHORT_LENGTH.of(mm(20.0)),
            other_pipes: VOLUME.of(l(12.0)),
            flow: FLOW.of(l_h(2000.0)),
            tanks: vec![tank(Leaves::Rim)],
            ..two_beds(3.0)
        };
        let o = run(&i);
        near(litres(o.least), 436.9, 0.15);
        near(litres(o.marks.0), 416.9, 0.15);
        let at = |mark: f64| {
            let i = LevelsIn { mark: LENGTH.of(mark / 1000.0), ..i.clone() };
            let o = run(&i);
            Levels::report(&i, &o, Words::default())
        };
        assert!(at(300.0).verdict.starts_with("The pump runs dry"));
        // Ten millimetres under the rim, of twenty that stay dry: not over it yet.
        assert!(
            at(490.0).verdict.starts_with("When the power goes 490\u{202f}L stand in it, 10\u{202f}mm under the rim")
        );
        let dry = at(300.0);
        let fill = dry.repairs.iter().find(|r| r.title.starts_with("Fill it")).expect("a better mark");
        assert_ne!(fill.level.state(), State::Over);
        let bigger = dry.repairs.iter().find(|r| r.title.starts_with("A sump of")).expect("a bigger sump");
        assert!(bigger.level.fullness() < dry.levels[0].fullness());
    }

    #[test]
    fn a_start_with_a_vented_tee() {
        // Tank 1.2 m² over a vented tee with a level leg of 1.5 m, lip at 1.0 m; sump 0.35 m², water at 0.60 m; submerged return, 26.14 mm, 5 m, losses 4; pump 2.5 m
        // and 2500 L/h. Without the pipe's own water: 1893 L/h (1986 with the sump's level held), tank + 54.7 mm, sump - 188 mm.
        let t = tank(Leaves::Tee);
        let nu = water::kinematic(TEMPERATURE.of(celsius(20.0)));
        let area = AREA.of(0.35);
        let pump = Pumps::one(Curve::two_points(LENGTH.of(2.5), FLOW.of(l_h(2500.0)), RATIO.of(2.0)).expect("a curve"));
        let pipe = full::Pipe {
            bore: SHORT_LENGTH.of(mm(26.14)),
            length: LENGTH.of(5.0),
            roughness: piping::new_plastic(),
            loss: RATIO.of(4.0),
        };
        let way = Supply { pipe, end: End::Outlet { height: LENGTH.of(0.4), mouth: Mouth::Water } };
        let s = sump::start(&StartUp {
            pumps: &pump,
            way: &way,
            viscosity: nu,
            sump: area,
            pipes: VOLUME.of(0.0),
            held: &|q| t.area * rise(&t, q, nu),
            rise: &|q| rise(&t, q, nu),
        });
        near(s.flow.value * 3.6e6, 1893.0, 4.0);
        near(s.flow_level_held.value * 3.6e6, 1986.0, 4.0);
        near(rise(&t, s.flow, nu).value, mm(54.7), mm(0.4));
        near(s.fall.value, mm(188.0), mm(1.5));
        // The same by the form, which counts the 2.7 L of the pipe as well: 7.7 mm more, and a little less flow.
        let i = LevelsIn {
            volume: VOLUME.of(l(350.0)),
            depth: LENGTH.of(1.0),
            mark: LENGTH.of(0.6),
            flow_by: FlowBy::Curve,
            height: LENGTH.of(1.0),
            ends: Ends::Under,
            pipe: piping::named("sch40_1"),
            length: LENGTH.of(5.0),
            elbows: COUNT.of(0.0),
            losses: RATIO.of(2.5),
            ..only(TankRow { back: SHORT_LENGTH.of(mm(15.0)), ..t }, 0.0)
        };
        let o = run(&i);
        near(o.start_fall.value, mm(188.0 + 7.7), mm(2.5));
        near(o.started.expect("started").flow.value * 3.6e6, 1890.0, 6.0);
        near(o.flow.value * 3.6e6, 1986.0, 4.0);
    }

    /// 400 L of 0.667 m² under the default: 105.6 L swing, 22.6 L back.
    fn float(mark: f64) -> LevelsIn {
        LevelsIn { top_up: TopUp::Float, mark: SHORT_LENGTH.of(mm(mark)), ..LevelsIn::default() }
    }

    #[test]
    fn a_float_valve_gives_nothing_in_time_for_a_start() {
        // The start takes 22.6 L, 34 mm, at once: 105 mm leave 71 of the 100 that the pump needs.
        let low = run(&float(105.0));
        near((low.marks.0 / low.area).value, mm(100.0) + low.start_fall.value, 1e-9);
        let said = Levels::report(&float(105.0), &low, Words::default());
        assert!(said.verdict.starts_with("The pump runs dry"), "{}", said.verdict);
        // A bed that was drained takes 105.6 L more: said where there is not so much.
        let says = |mark: f64| Levels::report(&float(mark), &run(&float(mark)), Words::default()).verdict;
        assert!(says(200.0).contains("fill it to 262\u{202f}L by hand first"), "{}", says(200.0));
        assert!(!says(330.0).contains("by hand first"), "{}", says(330.0));
    }

    #[test]
    fn topped_up_by_hand_it_evaporates_again() {
        // 0.534 m², a bed of 56.7 L, 22.6 L back, 10 days of 12 L: marks from 473 to 645 mm, as far from either 552.
        let i = LevelsIn {
            volume: VOLUME.of(l(360.4)),
            depth: LENGTH.of(0.6747),
            mark: LENGTH.of(0.669),
            top_up: TopUp::Float,
            beds: vec![BedRow { area: AREA.of(0.644), ..BedRow::default() }],
            days: DAYS.of(days(10.0)),
            evaporation: DAILY_VOLUME.of(1.389e-7),
            ..LevelsIn::default()
        };
        let said = Levels::report(&i, &run(&i), Words::default());
        let hand = said.repairs.iter().find(|r| r.title.starts_with("Top up by hand")).expect("by hand");
        assert!(hand.title.contains("552") && hand.also.is_none(), "{hand:?}");
        let after = run(&mend::changed::<Levels>(&i, &hand.edits).expect("changed"));
        assert!(three(&after).iter().all(|l| l.state() != State::Over), "{:?}", three(&after));
        // Where it evaporates more than there is room for, no mark is offered.
        let long = LevelsIn { days: DAYS.of(days(60.0)), ..i };
        let said = Levels::report(&long, &run(&long), Words::default());
        assert!(said.repairs.iter().all(|r| !r.title.starts_with("Top up by hand")));
    }

    #[test]
    fn a_return_under_water_siphons() {
        let i = LevelsIn { flow_by: FlowBy::Curve, ends: Ends::Under, height: LENGTH.of(1.1), ..LevelsIn::default() };
        let e = solve::<Levels>(&i, &mut Working::none()).expect_err("nobody said how far");
        assert_eq!(e[0].path, "tanks.0.back");
        let back = |x: f64| vec![TankRow { back: SHORT_LENGTH.of(mm(x)), ..TankRow::default() }];
        let i = LevelsIn { tanks: back(300.0), ..i };
        let o = run(&i);
        assert_eq!(main_level(&o).state(), State::Over);
        let said = Levels::report(&i, &o, Words::default());
        let above = said.repairs.iter().find(|r| r.title.starts_with("Returns that end above")).expect("above");
        assert!(above.edits.iter().any(|e| e.path == "ends"), "{above:?}");
    }

    #[test]
    fn what_is_kept_dry_is_not_yet_spilt() {
        // 390 L in a sump that holds 400: 15 mm under the rim.
        let i = LevelsIn { mark: SHORT_LENGTH.of(mm(585.0)), ..LevelsIn::default() };
        let said = Levels::report(&i, &run(&i), Words::default()).verdict;
        assert!(said.contains("15\u{202f}mm under the rim: within the 30\u{202f}mm that you keep dry"), "{said}");
        // Eight beds of 480 L/h on 2000.
        let beds = vec![BedRow { count: COUNT.of(8.0), ..BedRow::default() }];
        let i = LevelsIn { beds, ..LevelsIn::default() };
        let said = Levels::report(&i, &run(&i), Words::default());
        assert!(said.cautions.iter().any(|c| c.text.contains("and the pump sends")), "{:?}", said.cautions);
        assert!(said.repairs.iter().all(|r| r.level.fullness() <= HOPELESS));
    }

    #[test]
    fn impossible_sumps_are_sentences() {
        let refused = |i: LevelsIn| solve::<Levels>(&i, &mut Working::none()).expect_err("refused")[0].path.clone();
        assert_eq!(refused(LevelsIn { mark: LENGTH.of(0.7), ..LevelsIn::default() }), "mark");
        // No room at all, and siphons that never break, are answers.
        let none = run(&LevelsIn { submergence: LENGTH.of(1.0), mark: LENGTH.of(0.1), ..LevelsIn::default() });
        assert!(none.marks.0 > none.marks.1 && main_level(&none).state() == State::Over);
        let beds = vec![BedRow { siphon: FLOW.of(l_h(300.0)), count: COUNT.of(2.0), ..BedRow::default() }];
        let i = LevelsIn { beds, ..LevelsIn::default() };
        let o = run(&i);
        assert_eq!(o.swing.0, o.swing.1);
        assert!(Levels::report(&i, &o, Words::default()).cautions.iter().any(|c| c.text.contains("never breaks")));
    }
}
