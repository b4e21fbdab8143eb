//! Drain pipe capacity: how high the water stands in a tank for what the pump can send, and what its outlet carries before it spills.

mod report;
mod working;

pub(crate) use report::{VENT_OPEN, vent_place};

use super::form::*;
use super::mend::refuse;
use super::outcome::*;
use super::sheet::Calculator;
use crate::catalog::fittings::{ELBOW_90, Fitting};
use crate::catalog::pipes::{self, Pipe};
use crate::catalog::sources::{Coef, hydraulics as src};
use crate::science::drain::{self, Control, Inlet, Outlet, Run, Screen, Sleeve, Stand};
use crate::science::{pipe, water};
use crate::units::{kinds::*, si::*, *};
use std::f64::consts::FRAC_PI_4;

// ---- inputs ----

/// How the water leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Arrangement {
    /// A pipe from the floor up to a vented tee at outlet level, then a run.
    #[default]
    Draw,
    /// A hole in the wall with a bulkhead fitting or a seal.
    Wall,
    /// Over the rim of an open standpipe.
    Rim,
    /// A fully flooded pipe to a lower tank.
    Flooded,
}
crate::choices!(Arrangement:
    Draw = "draw", "Drawn from the floor, up to a vented tee", "then a run at outlet level";
    Wall = "wall", "Hole in the wall", "with a bulkhead fitting or a seal";
    Rim = "rim", "Open standpipe", "water falls over its rim";
    Flooded = "flooded", "Flooded pipe to a lower tank", "both ends under water";
);

/// Where the run ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FarEnd {
    /// Level, in air.
    #[default]
    Air,
    /// It turns down and ends in air.
    Drop,
    /// It turns down and ends under water.
    DropUnder,
    /// Level, under water.
    Under,
}
crate::choices!(FarEnd:
    Air = "air", "In air", "";
    Drop = "drop", "Turns down, ends in air", "";
    DropUnder = "drop_under", "Turns down, ends under water", "";
    Under = "under", "Ends under water without a drop", "";
);

/// The edge where the water enters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Entrance {
    /// Flush with the wall.
    #[default]
    Flush,
    /// The pipe sticks into the tank.
    Projecting,
    /// Rounded.
    Rounded,
}
crate::choices!(Entrance:
    Flush = "flush", "Flush with the wall", "";
    Projecting = "projecting", "Pipe end inside the tank", "";
    Rounded = "rounded", "Rounded like a bell", "";
);

impl Entrance {
    /// Its loss coefficient.
    pub const fn loss(self) -> Coef {
        match self {
            Self::Flush => drain::ENTRANCE_FLUSH,
            Self::Projecting => drain::ENTRANCE_PROJECTING,
            Self::Rounded => drain::ENTRANCE_ROUNDED,
        }
    }
}

/// How the pipe looks inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Age {
    /// As bought.
    New,
    /// Some years of fish water.
    #[default]
    Used,
    /// Thick with slime.
    Slimed,
}
crate::choices!(Age:
    New = "new", "New and clean", "";
    Used = "used", "Used", "a thin film";
    Slimed = "slimed", "Slimed", "never flushed";
);

const ROUGH_NEW: Coef = Coef::new(0.001_5e-3, "m", &src::ROUGHNESS_NEW, "new plastic");
const ROUGH_USED: Coef = Coef::new(0.1e-3, "m", &src::ROUGHNESS_USED, "plastic with a thin film");
const ROUGH_SLIMED: Coef = Coef::new(0.5e-3, "m", &src::ROUGHNESS_USED, "plastic with thick slime");

impl Age {
    /// Its roughness.
    pub const fn roughness(self) -> Coef {
        match self {
            Self::New => ROUGH_NEW,
            Self::Used => ROUGH_USED,
            Self::Slimed => ROUGH_SLIMED,
        }
    }
}

/// How the fall of the run is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FallBy {
    /// As a slope.
    #[default]
    Slope,
    /// As the drop from end to end.
    Drop,
}
crate::choices!(FallBy: Slope = "slope", "As a slope", ""; Drop = "drop", "As a drop from end to end", "";);

/// A screen before the outlet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ScreenKind {
    /// None.
    #[default]
    None,
    /// Round holes.
    Holes,
    /// Slots.
    Slots,
}
crate::choices!(ScreenKind:
    None = "none", "None", "";
    Holes = "holes", "With holes", "";
    Slots = "slots", "With slots", "";
);

/// How the pipe passes the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Through {
    /// A rubber seal with the pipe in it.
    #[default]
    Seal,
    /// A bulkhead fitting.
    Bulkhead,
    /// Glued or welded in.
    Glued,
}
crate::choices!(Through:
    Seal = "seal", "Rubber seal", "the pipe goes through";
    Bulkhead = "bulkhead", "Bulkhead fitting", "its maker names the hole";
    Glued = "glued", "Glued or welded in", "";
);

/// So many fittings of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct FittingRow {
    /// Which.
    pub fitting: &'static Fitting,
    /// How many.
    pub count: Ratio,
}
impl Default for FittingRow {
    fn default() -> Self {
        Self { fitting: ELBOW_90, count: COUNT.of(1.0) }
    }
}
impl Fields for FittingRow {
    fn fields(&mut self, f: &mut dyn Form) {
        pick(f, &Pick::new(1, "fitting", "Fitting").detail(), &mut self.fitting);
        num(
            f,
            &Field::new(2, "count", "How many", COUNT)
                .range(0.0, 50.0)
                .help("Of this kind, along the whole run.")
                .detail(),
            &mut self.count,
        );
    }
}

fn losses(rows: &[FittingRow], bore: Length) -> f64 {
    rows.iter().map(|r| r.fitting.loss(bore).value * r.count.value).sum()
}

/// What the calculator asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct DrainIn {
    /// Most that comes into the tank, all outlets together.
    pub flow: VolumeRate,
    /// How the water leaves.
    pub arrangement: Arrangement,
    /// Pipe of the outlet and its run.
    pub pipe: &'static Pipe,
    /// Its bore, for a pipe without a name.
    pub bore: Length,
    /// Wall and draw: inside bottom of the outlet hole, down from the tank's rim.
    pub hole_depth: Length,
    /// Rim: top of the standpipe, down from the tank's rim.
    pub lip_depth: Length,
    /// Flooded: inside bottom of the pipe, down from the tank's rim.
    pub pipe_depth: Length,
    /// Flooded: water of the lower tank, down from this tank's rim.
    pub tail_depth: Length,
    /// Equal outlets side by side.
    pub outlets: Ratio,
    /// What is kept dry under the rim.
    pub freeboard: Length,
    /// Length of the run.
    pub length: Length,
    /// How its fall is given.
    pub fall_by: FallBy,
    /// Its slope.
    pub slope: Ratio,
    /// Its drop from end to end.
    pub fall: Length,
    /// Fittings on the run.
    pub fittings: Vec<FittingRow>,
    /// Where it ends.
    pub far_end: FarEnd,
    /// Water over the inside bottom of that end.
    pub tail: Length,
    /// How far the pipe falls after the run.
    pub drop: Length,
    /// Is there an open vent behind the standpipe or at the top of the drop?
    pub vent: YesNo,
    /// Draw: top of the vent over the tank's rim; negative is below it.
    pub vent_top: Length,
    /// Rim: length of the standpipe.
    pub standpipe: Length,
    /// Rim: is there a sleeve around it?
    pub sleeve: YesNo,
    /// Bore of the sleeve.
    pub sleeve_bore: Length,
    /// Draw: length of the rising pipe.
    pub riser: Length,
    /// Fittings on it.
    pub riser_fittings: Vec<FittingRow>,
    /// Draw: edge of the intake.
    pub intake: Entrance,
    /// Wall and flooded: edge of the hole.
    pub entrance: Entrance,
    /// Is something narrower than the pipe?
    pub narrow: YesNo,
    /// Bore of that.
    pub narrow_bore: Length,
    /// How the pipe passes the wall.
    pub through: Through,
    /// What the seal adds to the pipe, each side.
    pub seal: Length,
    /// Screen before the outlet.
    pub screen: ScreenKind,
    /// Number of its holes or slots.
    pub openings: Ratio,
    /// Diameter of its holes.
    pub hole_size: Length,
    /// Width of its slots.
    pub slot_width: Length,
    /// Length of its slots.
    pub slot_length: Length,
    /// Share of the screen that is blocked when it matters.
    pub blocked: Ratio,
    /// How the pipe looks inside.
    pub age: Age,
    /// Water surface of the tank.
    pub surface: Area,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
}

/// A lower tank's water stands at least so far under this tank's rim; and water is so deep over a far end at the most.
const UNDER_RIM: f64 = mm(2.0);
const DEEPEST_TAIL: f64 = mm(5000.0);

impl Default for DrainIn {
    fn default() -> Self {
        let short = |x| SHORT_LENGTH.of(mm(x));
        Self {
            flow: FLOW.of(l_h(2000.0)),
            arrangement: Arrangement::Draw,
            pipe: pipes::by_id("pvc_63").unwrap_or(pipes::OTHER),
            bore: short(50.0),
            hole_depth: short(120.0),
            lip_depth: short(60.0),
            pipe_depth: short(400.0),
            tail_depth: short(80.0),
            outlets: COUNT.of(1.0),
            freeboard: short(30.0),
            length: LENGTH.of(1.0),
            fall_by: FallBy::Slope,
            slope: SLOPE.of(percent(1.0)),
            fall: short(10.0),
            fittings: vec![],
            far_end: FarEnd::Air,
            tail: short(50.0),
            drop: LENGTH.of(0.3),
            vent: YesNo::No,
            vent_top: short(100.0),
            standpipe: LENGTH.of(0.5),
            sleeve: YesNo::No,
            sleeve_bore: short(101.6),
            riser: LENGTH.of(0.5),
            riser_fittings: vec![FittingRow::default()],
            intake: Entrance::Projecting,
            entrance: Entrance::Flush,
            narrow: YesNo::No,
            narrow_bore: short(40.0),
            through: Through::Seal,
            seal: SHORT_LENGTH.of(pipes::SEAL.value),
            screen: ScreenKind::None,
            openings: COUNT.of(60.0),
            hole_size: short(8.0),
            slot_width: short(6.0),
            slot_length: short(60.0),
            blocked: PERCENT.of(percent(50.0)),
            age: Age::Used,
            surface: AREA.of(1.2),
            temperature: TEMPERATURE.of(celsius(20.0)),
        }
    }
}

impl Fields for DrainIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let a = self.arrangement;
        self.sent(f);
        self.depths(f, a);
        self.shared(f);
        group(f, &Group::titled("Screen"), true, &mut |f| {
            self.screened(f);
            self.sleeved(f, a);
        });
        group(f, &Group::titled("The way out"), true, &mut |f| {
            self.run(f);
            self.far(f, a);
            self.vented(f, a);
            self.entered(f, a);
            self.passed(f);
        });
        group(f, &Group::titled("The tank"), true, &mut |f| self.tank(f));
    }
}

/// The fields, group by group; `a` is how the water leaves.
impl DrainIn {
    /// What the pump sends, how it leaves, and by which pipe.
    fn sent(&mut self, f: &mut dyn Form) {
        num(
            f,
            &Field::new(1, "flow", "Most the pump can ever send here", FLOW)
                .range(l_h(10.0), l_h(50_000.0))
                .advised(l_h(200.0), l_h(20_000.0))
                .help("The number on the box, not the bucket: one day the hose slips off and the pump sends it all."),
            &mut self.flow,
        );
        pick(
            f,
            &Pick::new(2, "arrangement", "How the water leaves")
                .help("What the outlet looks like from inside the tank."),
            &mut self.arrangement,
        );
        pick(
            f,
            &Pick::new(3, "pipe", "Pipe").help("The bore counts, not the name. If unsure, measure inside."),
            &mut self.pipe,
        );
        group(f, &Group::when("pipe", "other"), self.pipe.id == pipes::OTHER.id, &mut |f| {
            num(
                f,
                &Field::new(4, "bore", "Inside diameter", SHORT_LENGTH)
                    .range(mm(5.0), mm(500.0))
                    .advised(mm(10.0), mm(160.0))
                    .help("Across the inside, at the narrowest.")
                    .way(Way::Bore),
                &mut self.bore,
            );
        });
    }
    /// How far below the rim.
    fn depths(&mut self, f: &mut dyn Form, a: Arrangement) {
        let hole = matches!(a, Arrangement::Wall | Arrangement::Draw);
        group(f, &Group::when("arrangement", "wall|draw"), hole, &mut |f| {
            num(
                f,
                &Field::new(5, "hole_depth", "Bottom of the outlet hole, down from the tank's rim", SHORT_LENGTH)
                    .range(mm(2.0), mm(3000.0))
                    .advised(mm(60.0), mm(600.0))
                    .help("Hook the tape on the rim and read it at the inside bottom of the pipe."),
                &mut self.hole_depth,
            );
        });
        group(f, &Group::when("arrangement", "rim"), a == Arrangement::Rim, &mut |f| {
            num(
                f,
                &Field::new(6, "lip_depth", "Top of the standpipe, down from the tank's rim", SHORT_LENGTH)
                    .range(mm(2.0), mm(3000.0))
                    .advised(mm(40.0), mm(600.0))
                    .help("Hook the tape on the rim and read it at the top of the standpipe."),
                &mut self.lip_depth,
            );
        });
        group(f, &Group::when("arrangement", "flooded"), a == Arrangement::Flooded, &mut |f| {
            num(
                f,
                &Field::new(7, "pipe_depth", "Bottom of the pipe's hole, down from the tank's rim", SHORT_LENGTH)
                    .range(mm(2.0), mm(3000.0))
                    .advised(mm(100.0), mm(1500.0))
                    .help("At the inside bottom of the pipe. All above it drains if the lower tank does."),
                &mut self.pipe_depth,
            );
            num(
                f,
                &Field::new(8, "tail_depth", "Water of the lower tank, down from this tank's rim", SHORT_LENGTH)
                    .range(UNDER_RIM, DEEPEST_TAIL)
                    .advised(mm(40.0), mm(2000.0))
                    .help("With the pump on; in a whole system with it off, as the check works out how far it then rises or falls. Measure with a level from this rim, or a hose full of water.")
                    .way(Way::Hose),
                &mut self.tail_depth,
            );
        });
    }
    /// How many outlets, and what is kept dry above them.
    fn shared(&mut self, f: &mut dyn Form) {
        num(
            f,
            &Field::new(9, "outlets", "Outlets like this", COUNT)
                .range(1.0, 8.0)
                .help("Side by side at one height; they share the flow.")
                .detail(),
            &mut self.outlets,
        );
        num(
            f,
            &Field::new(10, "freeboard", "Kept dry under the rim", SHORT_LENGTH)
                .range(0.0, mm(500.0))
                .advised(mm(10.0), mm(200.0))
                .likely(mm(20.0), mm(50.0))
                .help("For waves, fish and errors.")
                .detail()
                .source(&src::FREEBOARD),
            &mut self.freeboard,
        );
    }
    fn screened(&mut self, f: &mut dyn Form) {
        let assumed = &src::DRAIN_ASSUMED;
        pick(
            f,
            &Pick::new(11, "screen", "Screen before the outlet")
                .help("Anything that keeps fish out of the pipe.")
                .detail(),
            &mut self.screen,
        );
        let s = self.screen;
        group(f, &Group::when("screen", "holes|slots"), s != ScreenKind::None, &mut |f| {
            num(
                f,
                &Field::new(12, "openings", "Number of holes or slots", COUNT)
                    .range(1.0, 20_000.0)
                    .help("Only those that are under water.")
                    .detail()
                    .source(assumed),
                &mut self.openings,
            );
        });
        group(f, &Group::when("screen", "holes"), s == ScreenKind::Holes, &mut |f| {
            num(
                f,
                &Field::new(13, "hole_size", "Diameter of a hole", SHORT_LENGTH)
                    .help("Drill size. Less than the smallest fish is thick.")
                    .range(mm(0.5), mm(100.0))
                    .detail()
                    .source(assumed),
                &mut self.hole_size,
            );
        });
        group(f, &Group::when("screen", "slots"), s == ScreenKind::Slots, &mut |f| {
            num(
                f,
                &Field::new(14, "slot_width", "Width of a slot", SHORT_LENGTH)
                    .help("Narrower than the smallest fish.")
                    .range(mm(0.5), mm(100.0))
                    .detail()
                    .source(assumed),
                &mut self.slot_width,
            );
            num(
                f,
                &Field::new(15, "slot_length", "Length of a slot", SHORT_LENGTH)
                    .help("From end to end of one cut.")
                    .range(mm(1.0), mm(2000.0))
                    .detail()
                    .source(assumed),
                &mut self.slot_length,
            );
        });
        group(f, &Group::when("screen", "holes|slots"), s != ScreenKind::None, &mut |f| {
            num(
                f,
                &Field::new(16, "blocked", "Share blocked", PERCENT)
                    .range(0.0, percent(95.0))
                    .likely(percent(20.0), percent(75.0))
                    .help("Half is a fair guess for a screen that nobody looked at today.")
                    .detail()
                    .source(&src::SCREEN_BLOCKED),
                &mut self.blocked,
            );
        });
    }
    /// The wider pipe around a standpipe.
    fn sleeved(&mut self, f: &mut dyn Form, a: Arrangement) {
        let assumed = &src::DRAIN_ASSUMED;
        let sleeved = a == Arrangement::Rim && self.screen != ScreenKind::None;
        group(f, &Group::when("arrangement", "rim"), sleeved, &mut |f| {
            pick(
                f,
                &Pick::new(17, "sleeve", "A wider pipe around the standpipe?")
                    .help("Open below, it draws water from the floor.")
                    .detail(),
                &mut self.sleeve,
            );
            group(f, &Group::when("sleeve", "yes"), self.sleeve.yes(), &mut |f| {
                num(
                    f,
                    &Field::new(18, "sleeve_bore", "Inside diameter of that pipe", SHORT_LENGTH)
                        .help("The wider pipe, measured inside.")
                        .range(mm(10.0), mm(600.0))
                        .detail()
                        .source(assumed),
                    &mut self.sleeve_bore,
                );
            });
        });
    }
    /// The near-level run.
    fn run(&mut self, f: &mut dyn Form) {
        let assumed = &src::DRAIN_ASSUMED;
        num(
            f,
            &Field::new(19, "length", "Length of the near-level run", LENGTH)
                .range(0.0, 100.0)
                .advised(0.0, 20.0)
                .likely(0.3, 4.0)
                .help("From the tank to where the pipe ends or turns down.")
                .detail()
                .source(assumed),
            &mut self.length,
        );
        pick(f, &Pick::new(20, "fall_by", "Its fall is given").detail(), &mut self.fall_by);
        group(f, &Group::when("fall_by", "slope"), self.fall_by == FallBy::Slope, &mut |f| {
            num(
                f,
                &Field::new(21, "slope", "Slope of the run", SLOPE)
                    .range(0.0, percent(100.0))
                    .advised(0.0, percent(10.0))
                    .likely(0.0, percent(2.0))
                    .help("1 % is 10 mm in a metre, or 1/8 in in a foot.")
                    .detail()
                    .source(assumed),
                &mut self.slope,
            );
        });
        group(f, &Group::when("fall_by", "drop"), self.fall_by == FallBy::Drop, &mut |f| {
            num(
                f,
                &Field::new(22, "fall", "Drop of the run from end to end", SHORT_LENGTH)
                    .help("How much lower its far end lies.")
                    .range(0.0, mm(5000.0))
                    .advised(0.0, mm(1000.0))
                    .detail()
                    .source(assumed),
                &mut self.fall,
            );
        });
        list(
            f,
            &List::new(23, "fittings", "Fittings on the run", "fitting", 12)
                .help("Without the standpipe's foot and the tee, which are counted already.")
                .detail(),
            &mut self.fittings,
        );
    }
    /// Where it ends.
    fn far(&mut self, f: &mut dyn Form, a: Arrangement) {
        let assumed = &src::DRAIN_ASSUMED;
        let open = a != Arrangement::Flooded;
        group(f, &Group::when("arrangement", "wall|draw|rim"), open, &mut |f| {
            pick(f, &Pick::new(24, "far_end", "The far end of the run").detail(), &mut self.far_end);
            group(f, &Group::when("far_end", "under"), self.far_end == FarEnd::Under, &mut |f| {
                num(
                    f,
                    &Field::new(25, "tail", "Water over the inside bottom of the far end", SHORT_LENGTH)
                        .help("With everything running; in a whole system, where it ends in a tank, with the pump off.")
                        .range(0.0, DEEPEST_TAIL)
                        .advised(0.0, mm(500.0))
                        .detail()
                        .source(assumed),
                    &mut self.tail,
                );
            });
            let drops = matches!(self.far_end, FarEnd::Drop | FarEnd::DropUnder);
            group(f, &Group::when("far_end", "drop|drop_under"), drops, &mut |f| {
                num(
                    f,
                    &Field::new(26, "drop", "How far the pipe falls after the run", LENGTH)
                        .range(0.0, 10.0)
                        .advised(0.0, 3.0)
                        .help("To where it ends, or to the water it ends in.")
                        .detail()
                        .source(assumed),
                    &mut self.drop,
                );
            });
        });
    }
    /// Its vent, and what stands before that where the water is drawn from the floor.
    fn vented(&mut self, f: &mut dyn Form, a: Arrangement) {
        let assumed = &src::DRAIN_ASSUMED;
        group(
            f,
            &Group::when("arrangement", "wall|rim"),
            matches!(a, Arrangement::Wall | Arrangement::Rim),
            &mut |f| {
                pick(
                    f,
                    &Pick::new(27, "vent", "An open vent on the run?")
                        .help("An upright open pipe, so that air gets out and in other than through the water.")
                        .detail(),
                    &mut self.vent,
                );
            },
        );
        group(f, &Group::when("arrangement", "draw"), a == Arrangement::Draw, &mut |f| {
            num(
                f,
                &Field::new(28, "vent_top", "Top of the vent, over the tank's rim", SHORT_LENGTH)
                    .range(mm(-2000.0), mm(5000.0))
                    .advised(0.0, mm(1000.0))
                    .likely(mm(20.0), mm(200.0))
                    .help("Negative if below the rim. Full bore, open, never capped.")
                    .detail()
                    .source(assumed),
                &mut self.vent_top,
            );
            num(
                f,
                &Field::new(29, "riser", "Rising pipe, from its intake to the tee", LENGTH)
                    .range(0.0, 20.0)
                    .advised(0.1, 3.0)
                    .likely(0.3, 1.0)
                    .help("It is always full.")
                    .detail()
                    .source(assumed),
                &mut self.riser,
            );
            list(
                f,
                &List::new(30, "riser_fittings", "Fittings on the rising pipe", "fitting", 12).detail(),
                &mut self.riser_fittings,
            );
            pick(f, &Pick::new(31, "intake", "Edge of the intake").detail(), &mut self.intake);
        });
    }
    /// The standpipe, or the edge of the hole.
    fn entered(&mut self, f: &mut dyn Form, a: Arrangement) {
        let assumed = &src::DRAIN_ASSUMED;
        group(f, &Group::when("arrangement", "rim"), a == Arrangement::Rim, &mut |f| {
            num(
                f,
                &Field::new(32, "standpipe", "Standpipe, from the bottom of the run to its top", LENGTH)
                    .help("The length of pipe that stands up.")
                    .range(mm(10.0), 10.0)
                    .advised(0.1, 3.0)
                    .likely(0.3, 1.2)
                    .detail()
                    .source(assumed),
                &mut self.standpipe,
            );
        });
        let walled = matches!(a, Arrangement::Wall | Arrangement::Flooded);
        group(f, &Group::when("arrangement", "wall|flooded"), walled, &mut |f| {
            pick(f, &Pick::new(33, "entrance", "Edge of the hole").detail(), &mut self.entrance);
        });
    }
    /// What is narrow on the way, how the wall is passed, and how old the pipe is.
    fn passed(&mut self, f: &mut dyn Form) {
        let assumed = &src::DRAIN_ASSUMED;
        pick(
            f,
            &Pick::new(34, "narrow", "Is anything on the way narrower than the pipe?")
                .help("Often the bulkhead fitting is, or a barbed tail.")
                .detail(),
            &mut self.narrow,
        );
        group(f, &Group::when("narrow", "yes"), self.narrow.yes(), &mut |f| {
            num(
                f,
                &Field::new(35, "narrow_bore", "Its inside diameter", SHORT_LENGTH)
                    .range(mm(3.0), mm(500.0))
                    .advised(mm(8.0), mm(160.0))
                    .help("Across the inside, at the narrowest.")
                    .way(Way::Bore)
                    .detail()
                    .source(assumed),
                &mut self.narrow_bore,
            );
        });
        pick(f, &Pick::new(36, "through", "How the pipe passes the wall").detail(), &mut self.through);
        group(f, &Group::when("through", "seal"), self.through == Through::Seal, &mut |f| {
            num(
                f,
                &Field::new(37, "seal", "Seal thickness, each side", SHORT_LENGTH)
                    .range(0.0, mm(30.0))
                    .advised(mm(2.0), mm(12.0))
                    .help("Only for the hole saw: half of what the maker's hole is wider than the pipe.")
                    .detail()
                    .source(&src::HOLE_SAWS),
                &mut self.seal,
            );
        });
        pick(f, &Pick::new(38, "age", "The pipe inside").detail(), &mut self.age);
    }
    fn tank(&mut self, f: &mut dyn Form) {
        let assumed = &src::DRAIN_ASSUMED;
        num(
            f,
            &Field::new(39, "surface", "Water surface of the tank", AREA)
                .range(0.01, 1000.0)
                .advised(0.1, 50.0)
                .help("Length times width, or 0.785 times the diameter squared. Only for litres and minutes.")
                .detail()
                .source(assumed),
            &mut self.surface,
        );
        num(
            f,
            &Field::new(40, "temperature", "Water temperature", TEMPERATURE)
                .range(celsius(0.0), celsius(45.0))
                .likely(celsius(10.0), celsius(30.0))
                .help("Cold water is thicker and stands a little higher.")
                .detail()
                .source(assumed),
            &mut self.temperature,
        );
    }
}

// ---- the outlet as science sees it ----

impl DrainIn {
    /// The bore of the pipe.
    pub fn pipe_bore(&self) -> Length {
        self.pipe.bore().unwrap_or(self.bore)
    }
    /// Fall per length of the run.
    fn run_slope(&self) -> f64 {
        match self.fall_by {
            FallBy::Slope => self.slope.value,
            FallBy::Drop if self.length.value > 0.0 => (self.fall.value / self.length.value).min(1.0),
            FallBy::Drop => 0.0,
        }
    }
    /// From the reference of the outlet up to the tank's rim.
    pub(crate) fn brim(&self) -> Length {
        match self.arrangement {
            Arrangement::Draw | Arrangement::Wall => self.hole_depth,
            Arrangement::Rim => self.lip_depth,
            Arrangement::Flooded => self.pipe_depth,
        }
    }
    /// The same with so much more water over its far end than without flow: past its range where a lower tank has the higher rim.
    pub(crate) fn backed(self, by: Length) -> Self {
        match (self.arrangement, self.far_end) {
            (Arrangement::Flooded, _) => Self { tail_depth: self.tail_depth - by, ..self },
            (_, FarEnd::Under) => Self { tail: self.tail + by, ..self },
            _ => self,
        }
    }
    /// Solved with so much more water over its far end.
    pub(crate) fn solve_backed(mut self, by: Length) -> Result<DrainOut, Vec<FieldError>> {
        let faults = super::form::check(&mut self, System::Metric);
        if faults.is_empty() { Drain::solve(&self.backed(by), &mut Working::none()) } else { Err(faults) }
    }
    /// Does the pipe turn down after the run?
    fn drops(&self) -> bool {
        self.arrangement != Arrangement::Flooded && matches!(self.far_end, FarEnd::Drop | FarEnd::DropUnder)
    }
    /// How much lower its hole may be cut: the place where a drop ends, or the water that it ends in, stays where it is.
    pub(crate) fn may_go_down(&self) -> Length {
        let reaches = self.arrangement != Arrangement::Rim && self.drops();
        LENGTH.of(if reaches { self.drop.value } else { f64::INFINITY })
    }
    /// What the far end of the run becomes with the hole that much lower, and all that it ends in where it was.
    pub(crate) fn gone_down(&self, lower: Length) -> Option<Edit> {
        match self.arrangement {
            Arrangement::Draw | Arrangement::Wall if self.drops() => {
                Some(Edit::num("drop", LENGTH.of((self.drop - lower).value.max(0.0))))
            }
            Arrangement::Draw | Arrangement::Wall if self.far_end == FarEnd::Under => {
                Some(Edit::num("tail", self.tail + lower))
            }
            _ => None,
        }
    }
    /// Diameter of the hole to be cut, where it follows from the pipe.
    pub fn hole_to_cut(&self, pipe: &Pipe) -> Option<Length> {
        let outside = pipe.outside()?;
        match self.through {
            Through::Seal => Some(pipes::hole_saw(outside + self.seal * 2.0)),
            Through::Bulkhead => None,
            Through::Glued => Some(pipes::hole_saw(outside)),
        }
    }
    /// One outlet, its screen blocked as it may be.
    ///
    /// # Errors
    /// What cannot be built: a sleeve that the standpipe does not fit into, a vent below its pipe.
    pub fn outlet(&self) -> Result<Outlet, Vec<FieldError>> {
        let bore = self.pipe_bore();
        let neck = if self.narrow.yes() { self.narrow_bore.min(bore) } else { bore };
        let run = Run {
            bore,
            length: self.length,
            slope: RATIO.of(self.run_slope()),
            loss: RATIO.of(losses(&self.fittings, bore)),
            roughness: SHORT_LENGTH.of(self.age.roughness().value),
        };
        let inlet = match self.arrangement {
            Arrangement::Rim => Inlet::Rim { bore, height: self.standpipe, foot: ELBOW_90.loss(bore), neck },
            Arrangement::Wall | Arrangement::Flooded => {
                Inlet::Wall { bore: neck, entrance: RATIO.of(self.entrance.loss().value) }
            }
            Arrangement::Draw => {
                let loss = RATIO.of(self.intake.loss().value + losses(&self.riser_fittings, bore));
                Inlet::Draw { bore, length: self.riser, loss, neck }
            }
        };
        let fall = self.length * self.run_slope();
        let tail = match (self.arrangement, self.far_end) {
            // The far end's bottom lies lower than the hole's by the fall, and by half of what the neck is narrower.
            (Arrangement::Flooded, _) => self.pipe_depth + fall + (bore - neck) / 2.0 - self.tail_depth,
            (_, FarEnd::Under) => self.tail,
            _ => LENGTH.of(0.0),
        };
        Ok(Outlet {
            inlet,
            run,
            tail: tail.max(LENGTH.of(0.0)),
            screen: self.screen()?,
            viscosity: water::kinematic(self.temperature),
        })
    }
    fn screen(&self) -> Result<Option<Screen>, Vec<FieldError>> {
        let one = match self.screen {
            ScreenKind::None => return Ok(None),
            ScreenKind::Holes => FRAC_PI_4 * self.hole_size * self.hole_size,
            ScreenKind::Slots => self.slot_width * self.slot_length,
        };
        let sleeve = if self.arrangement == Arrangement::Rim && self.sleeve.yes() {
            let around = self.pipe.outside().unwrap_or(self.pipe_bore());
            if self.sleeve_bore.value <= around.value * 1.01 {
                let fault = "the standpipe does not fit into this sleeve with room for water";
                return refuse("sleeve_bore", fault, format!("more than {}", either(around)));
            }
            Some(Sleeve { bore: self.sleeve_bore, around, height: self.standpipe })
        } else {
            None
        };
        Ok(Some(Screen { open: one * self.openings, blocked: self.blocked, sleeve }))
    }
}

/// A length in both systems: what is refused does not know in which it is read.
fn either(x: Length) -> String {
    format!("{} ({})", show(SHORT_LENGTH.0, x.value, System::Metric), show(SHORT_LENGTH.0, x.value, System::Us))
}

// ---- the result ----

/// What ends the capacity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The water reaches what is to be kept dry.
    Freeboard,
    /// The vent spills.
    Vent,
    /// Air can leave only through the falling water, which it chokes.
    Choking,
}

/// How it sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Noise {
    /// Air and water pass each other quietly.
    Quiet,
    /// It gulps; the level wanders.
    Gulping,
    /// Full of water, without air.
    Silent,
    /// It draws air with the water.
    DrawsAir,
}

impl Noise {
    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Quiet => "quiet",
            Self::Gulping => "gulping",
            Self::Silent => "silent, full of water",
            Self::DrawsAir => "draws air",
        }
    }
}

/// How long until the tank spills with one outlet blocked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spill {
    /// The others carry it, at this level.
    Never(Length),
    /// The vents of the others spill.
    Vent,
    /// After this time.
    After(Time),
}

/// What a blocked vent does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Siphon {
    /// How far below the outlet the water falls.
    pub below: Length,
    /// Water lost, one outlet siphoning.
    pub volume: Volume,
    /// In this time, without inflow.
    pub time: Time,
    /// At this flow to begin with.
    pub flow: VolumeRate,
}

/// The typed result. Levels count from the outlet's own mark: the inside bottom of the hole, or the standpipe's top.
#[derive(Debug, Clone)]
pub struct DrainOut {
    /// What was asked.
    pub flow: VolumeRate,
    /// How many outlets share it.
    pub outlets: f64,
    /// One of them, its screen blocked as it may be.
    pub outlet: Outlet,
    /// The same with a clean screen.
    pub clean: Outlet,
    /// The tank's rim.
    pub brim: Length,
    /// The highest level that leaves the freeboard dry.
    pub limit: Length,
    /// How the water stands at the flow.
    pub stand: Stand,
    /// The level without flow.
    pub still: Length,
    /// What the outlets carry.
    pub capacity: VolumeRate,
    /// The flow at which the level reaches the limit.
    pub freeboard_flow: VolumeRate,
    /// What ends the capacity.
    pub limited_by: Limit,
    /// Top of the vent.
    pub vent: Option<Length>,
    /// How it sounds.
    pub noise: Noise,
    /// Bore that water falls down, if it falls down somewhere.
    pub falling: Option<Length>,
    /// Air can leave only through the falling water: the foot stands under water and has no vent.
    pub sealed: bool,
    vented: bool,
    arrangement: Arrangement,
    far_end: FarEnd,
    drop: Length,
    surface: Area,
    hole: Option<Length>,
}

/// The calculator.
#[derive(Debug)]
pub struct Drain;

impl Calculator for Drain {
    type In = DrainIn;
    type Out = DrainOut;
    const ID: &'static str = "drain";
    const TITLE: &'static str = "Drain pipe capacity";
    const QUESTION: &'static str = "Will it spill?";
    const ANSWER: &'static str = "capacity";
    const ABOUT: &'static str = "How high the water stands in a tank for the most that the pump can send, and the flow at which it reaches \
        what you keep dry under the rim. The level is found by going upstream from where the water leaves: critical depth, backwater, full \
        pipe, sealed inlet, rising pipe and screen, friction after Churchill at the water's temperature. Levels are good to about 15 % of \
        the head at best. It does not know waves, snails, or pipes with a sag.";

    fn solve(i: &DrainIn, w: &mut Working) -> Result<DrainOut, Vec<FieldError>> {
        let outlet = i.outlet()?;
        let outlets = i.outlets.value.max(1.0);
        let brim = i.brim();
        let limit = brim - i.freeboard;
        let share = i.flow / outlets;
        let stand = outlet.stand(share);
        let one = outlet.flow_at(limit);
        let freeboard_flow = one * outlets;
        let vent = (i.arrangement == Arrangement::Draw).then_some(brim + i.vent_top);
        if let Some(vent) = vent
            && vent < outlet.run.bore
        {
            let fault = "the vent ends below the top of its pipe, so the water leaves there";
            return refuse("vent_top", fault, format!("at least {}", either(outlet.run.bore - brim)));
        }
        let mut capacity = freeboard_flow;
        let mut limited_by = Limit::Freeboard;
        if let Some(vent) = vent {
            let s = outlet.stand(one);
            if s.entry + s.boil > vent {
                capacity = outlet.vent_spills(vent) * outlets;
                limited_by = Limit::Vent;
            }
        }
        let falling = match i.arrangement {
            Arrangement::Rim => Some(outlet.smallest_bore()),
            Arrangement::Wall | Arrangement::Draw if i.drops() => Some(outlet.run.bore),
            _ => None,
        };
        // Air that can only rise through the falling water: the foot stands under water, and there is no vent.
        let sealed = match (i.arrangement, i.far_end) {
            (Arrangement::Rim | Arrangement::Wall, FarEnd::DropUnder) => !i.vent.yes(),
            (Arrangement::Rim, FarEnd::Under) => !i.vent.yes() && i.tail >= outlet.run.bore,
            _ => false,
        };
        if let (true, Some(bore)) = (sealed, falling) {
            let quiet = drain::self_venting_flow(bore) * outlets;
            if quiet < capacity {
                (capacity, limited_by) = (quiet, Limit::Choking);
            }
        }
        let out = DrainOut {
            flow: i.flow,
            outlets,
            outlet,
            clean: Outlet { screen: outlet.screen.map(|s| Screen { blocked: RATIO.of(0.0), ..s }), ..outlet },
            brim,
            limit,
            stand,
            still: outlet.stand(FLOW.of(0.0)).level,
            capacity,
            freeboard_flow,
            limited_by,
            vent,
            noise: noise(i, &outlet, &stand, share, falling),
            falling,
            sealed,
            vented: i.vent.yes(),
            arrangement: i.arrangement,
            far_end: i.far_end,
            drop: if i.drops() { i.drop } else { LENGTH.of(0.0) },
            surface: i.surface,
            hole: i.hole_to_cut(i.pipe),
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &DrainOut, s: &mut dyn Outputs) {
        out(s, "capacity", "What it can carry", FLOW, o.capacity);
        out(s, "level", "Water over the outlet", SHORT_LENGTH, o.stand.level);
        out(s, "level_low", "Lower edge where it gulps", SHORT_LENGTH, o.low());
        out(s, "rise", "Level rise over still water", SHORT_LENGTH, o.stand.level - o.still);
        out(s, "dry", "Left dry under the rim", SHORT_LENGTH, o.brim - o.stand.level);
        flag(s, "spills", "Spills over the rim", o.stand.level > o.brim);
        out(s, "level_clean", "Water over the outlet, screen clean", SHORT_LENGTH, o.level_clean());
        out(s, "capacity_clean", "What it can carry, screen clean", FLOW, o.capacity_clean());
        out(s, "freeboard_flow", "Flow that reaches what you keep dry", FLOW, o.freeboard_flow);
        out(s, "rim_flow", "Flow that reaches the rim", FLOW, o.outlet.flow_at(o.brim) * o.outlets);
        out_opt(s, "vent_flow", "Flow at which the vent spills", FLOW, o.vent_flow());
        out_opt(s, "quiet_flow", "Most that falls quietly", FLOW, o.quiet_flow());
        word(s, "control", "What sets the level", report::control(o.stand.control));
        word(s, "limited_by", "What ends the capacity", report::limit(o.limited_by));
        word(s, "noise", "How it sounds", o.noise.word());
        flag(s, "gulps", "Gulps", o.noise == Noise::Gulping);
        word(s, "far_end", "The far end is", if o.under_water() { "under water" } else { "in air" });
        out(s, "smallest_bore", "Smallest bore on the way", SHORT_LENGTH, o.outlet.smallest_bore());
        out_opt(s, "hole_saw", "Hole saw", SHORT_LENGTH, o.hole);
        out(s, "speed", "Speed in the full pipe", VELOCITY, o.speed());
        out(s, "loading", "V/√gD of the pipe", RATIO, o.stand.loading);
        let spill = o.spill();
        let minutes = if let Spill::After(t) = spill { Some(t) } else { None };
        out_opt(s, "spills_after", "Until it spills, one outlet blocked", MINUTES, minutes);
        let level = if let Spill::Never(h) = spill { Some(h) } else { None };
        out_opt(s, "level_one_blocked", "Water over the outlet, one blocked", SHORT_LENGTH, level);
        out(s, "drains_back", "Drains from the tank when the pump stops", VOLUME, o.drains_back());
        out(s, "in_the_runs", "Water in the runs, at most", VOLUME, o.outlet.contents() * o.outlets);
        let siphon = o.siphon();
        out_opt(
            s,
            "siphons_below",
            "A blocked vent drains the tank below the outlet by",
            SHORT_LENGTH,
            siphon.map(|x| x.below),
        );
        out_opt(s, "siphons_in", "In", MINUTES, siphon.map(|x| x.time));
    }

    fn level(o: &DrainOut) -> Option<Level> {
        Some(Level::upper("drain", "Drain", FLOW, o.flow, o.capacity))
    }

    fn cautions(i: &DrainIn, o: &DrainOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &DrainIn, o: &DrainOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

fn noise(i: &DrainIn, outlet: &Outlet, stand: &Stand, share: VolumeRate, falling: Option<Length>) -> Noise {
    let gulps = falling.is_some_and(|bore| drain::loading(share, bore).value > drain::SELF_VENTING.value);
    match i.arrangement {
        _ if gulps => Noise::Gulping,
        Arrangement::Wall if stand.control == Control::Sealing => Noise::Gulping,
        Arrangement::Flooded => {
            // What stands over the crown of the hole.
            let cover = stand.level - stand.screen - outlet.wall_bore();
            if cover < drain::least_submergence(share, outlet.wall_bore()) { Noise::DrawsAir } else { Noise::Silent }
        }
        Arrangement::Draw if stand.level + i.riser < drain::least_submergence(share, outlet.run.bore) => {
            Noise::DrawsAir
        }
        _ if stand.control == Control::FullRun => Noise::Silent,
        _ => Noise::Quiet,
    }
}

impl DrainOut {
    /// One outlet's share of the flow.
    pub fn share(&self) -> VolumeRate {
        self.flow / self.outlets
    }
    /// Is the far end under water?
    pub fn under_water(&self) -> bool {
        match self.arrangement {
            Arrangement::Flooded => self.outlet.tail.value > 0.0,
            _ => matches!(self.far_end, FarEnd::DropUnder) || self.outlet.tail.value > 0.0,
        }
    }
    /// Lower edge of the band where it gulps.
    pub fn low(&self) -> Length {
        match (self.arrangement, self.noise) {
            (Arrangement::Wall, Noise::Gulping) => self.still,
            _ => self.stand.low,
        }
    }
    /// The level with a clean screen.
    pub fn level_clean(&self) -> Length {
        self.clean.stand(self.share()).level
    }
    /// The capacity with a clean screen.
    pub fn capacity_clean(&self) -> VolumeRate {
        let freeboard = self.clean.flow_at(self.limit) * self.outlets;
        match self.limited_by {
            // These do not know of the screen.
            Limit::Choking => self.capacity,
            _ => self.vent_flow().map_or(freeboard, |v| v.min(freeboard)),
        }
    }
    /// The flow at which the vent spills.
    pub fn vent_flow(&self) -> Option<VolumeRate> {
        self.vent.map(|v| self.outlet.vent_spills(v) * self.outlets)
    }
    /// The most that falls quietly.
    pub fn quiet_flow(&self) -> Option<VolumeRate> {
        self.falling.map(|bore| drain::self_venting_flow(bore) * self.outlets)
    }
    /// Speed in the full pipe.
    pub fn speed(&self) -> Velocity {
        pipe::velocity(self.share(), self.outlet.run.bore)
    }
    /// Speed in the near-level run.
    pub fn run_speed(&self) -> Velocity {
        self.outlet.run_speed(self.share(), &self.stand)
    }
    /// Water that drains from the tank when the pump stops, down to where it stands still.
    pub fn drains_back(&self) -> Volume {
        self.surface * (self.stand.level.min(self.brim.max(self.still)) - self.still)
    }
    /// Is the foot of a standpipe under water, by what backs up in the run alone, where more falls than lets air past?
    pub fn gulps_under_water(&self) -> bool {
        self.arrangement == Arrangement::Rim
            && !self.sealed
            && !self.vented
            && self.noise == Noise::Gulping
            && self.run_is_full()
    }
    /// Does the water in the run fill it?
    pub fn run_is_full(&self) -> bool {
        self.stand.run_depth >= self.outlet.run.bore
    }
    /// What one outlet carries with the water this high. One that chokes carries no more for sure, however high it stands.
    fn each_to(&self, h: Length) -> VolumeRate {
        let q = self.outlet.flow_at(h);
        self.falling.filter(|_| self.sealed).map_or(q, |bore| q.min(drain::self_venting_flow(bore)))
    }
    /// What the others carry before the tank or their vents spill, with one outlet blocked.
    pub fn others_carry(&self) -> Option<VolumeRate> {
        let rim = self.each_to(self.brim);
        let one = self.vent.map_or(rim, |vent| rim.min(self.outlet.vent_spills(vent)));
        (self.outlets > 1.0).then(|| one * (self.outlets - 1.0))
    }
    /// With one outlet blocked.
    pub fn spill(&self) -> Spill {
        let (others, from) = (self.outlets - 1.0, self.stand.level);
        if from >= self.brim {
            return Spill::After(MINUTES.of(0.0));
        }
        if others < 1.0 {
            return Spill::After(self.surface * (self.brim - from) / self.flow);
        }
        let carries = |h: Length| self.each_to(h);
        let rim = carries(self.brim) * others;
        if self.vent.is_some_and(|vent| (self.outlet.vent_spills(vent) * others) < self.flow.min(rim)) {
            return Spill::Vent;
        }
        if rim >= self.flow {
            return Spill::Never(self.outlet.stand(self.flow / others).level);
        }
        // dh/dt = (Q - q(h))/A, by Simpson's rule over the height.
        let parts = 8;
        let step = (self.brim - from) / f64::from(parts);
        let slowness = |k: i32| {
            let h = from + step * f64::from(k);
            (self.flow - carries(h) * others).value.recip()
        };
        let sum: f64 = (0..=parts)
            .map(|k| {
                slowness(k)
                    * if k == 0 || k == parts {
                        1.0
                    } else if k % 2 == 1 {
                        4.0
                    } else {
                        2.0
                    }
            })
            .sum();
        Spill::After(MINUTES.of((self.surface * step).value * sum / 3.0))
    }
    /// What happens when the vent of a bottom draw is blocked: the tank siphons down to the intake, or to where the pipe ends.
    pub fn siphon(&self) -> Option<Siphon> {
        let Inlet::Draw { bore, length, loss, .. } = self.outlet.inlet else { return None };
        let run = &self.outlet.run;
        let deep = self.drop + run.length * run.slope;
        if self.drop.value <= 0.0 {
            return None;
        }
        let below = length.min(deep);
        let head = self.stand.level.min(self.brim) + deep;
        let line = pipe::Pipe {
            bore: bore.min(self.outlet.wall_bore()),
            length: length + run.length + self.drop,
            roughness: run.roughness,
            // With the exit's velocity head.
            loss: loss + run.loss + RATIO.of(1.0),
        };
        let flow = pipe::full_flow(&line, head, self.outlet.viscosity);
        // Q falls with the root of the head.
        let rest = deep - below;
        let (from, to) = (head.value.sqrt(), rest.value.max(0.0).sqrt());
        let time = 2.0 * self.surface.value * from * (from - to) / flow.value.max(f64::MIN_POSITIVE);
        let volume = self.surface * (head - rest);
        Some(Siphon { below, volume, time: MINUTES.of(time), flow })
    }
}

#[cfg(test)]
mod tests;
