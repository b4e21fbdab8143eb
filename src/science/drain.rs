//! Gravity outlets of a tank: how high the water stands for a flow, found by marching upstream from where it leaves.
//!
//! At each element the upstream level is the higher of what its own free control needs and what the level downstream needs; full
//! elements and screens add their loss. Elements in series carry one flow, so the smallest single capacity decides nothing.
//!
//! Symbols: J = V/sqrt(g D) with V over the whole bore; E specific energy; h height of the pressure line over the inside bottom (the
//! depth, where part full); y_c critical depth. Levels are good to about 15 % of the head at best; where a pipe gulps, the level wanders
//! in a band whose upper edge is given.

use super::pipe::{G, bore_area, churchill_raw, lost_heads, velocity_head};
use super::section::Circle;
use super::solve;
use crate::catalog::sources::{Coef, hydraulics as src};
use crate::units::{Area, KinematicViscosity, Length, Ratio, Velocity, VolumeRate, kinds::*};
use std::f64::consts::PI;

/// Coefficient of a weir round a rim: `Q = 1.83 pi D h^1.5` (0.414 sqrt(2g)).
pub const RIM_WEIR: Coef =
    Coef::new(1.83, "m0.5/s", &src::SWMM_RISER, "head above 4 mm, up to where the orifice governs");
/// Coefficient of a sharp-edged orifice: `Q = 0.6 A sqrt(2 g h)`.
pub const ORIFICE: Coef = Coef::new(0.6, "1", &src::ORIFICE, "sharp edge, Reynolds number above 10 000");
/// Falling water vents itself quietly up to this J.
pub const SELF_VENTING: Coef = Coef::new(0.3, "1", &src::HILLS_1983, "vertical pipes");
/// A round rim begins to drown at this J.
const RIM_DROWNING: Coef = Coef::new(0.25, "1", &src::DROWNING_RIM, "round rims");
/// Least water over an opening that draws no air: `(h/D)² = J/1.6`.
const AIR_DRAWN: Coef = Coef::new(1.6, "1", &src::MCDUFFIE_1977, "outlets in a floor");
/// J up to which an inlet is free.
const INLET_FREE: Coef = Coef::new(0.617, "1", &src::INLET_BRIDGE, "square-edged inlets");
/// J from which an inlet is submerged.
const INLET_SUBMERGED: Coef = Coef::new(0.705, "1", &src::INLET_BRIDGE, "square-edged inlets");
const INLET_BASE: Coef = Coef::new(0.67, "1", &src::HDS5, "submerged square-edged inlet");
const INLET_RISE: Coef = Coef::new(1.28, "1", &src::HDS5, "submerged square-edged inlet");
/// Loss at a sharp flush entrance.
pub const ENTRANCE_FLUSH: Coef = Coef::new(0.5, "1", &src::ENTRANCE, "sharp edge, flush with the wall");
/// Loss at a pipe that projects into the tank.
pub const ENTRANCE_PROJECTING: Coef = Coef::new(0.78, "1", &src::ENTRANCE, "pipe end inside the tank");
/// Loss at a rounded entrance.
pub const ENTRANCE_ROUNDED: Coef = Coef::new(0.05, "1", &src::ENTRANCE, "bell-mouth");
/// Loss of the turn in a vented tee.
pub const TEE_TURN: Coef = Coef::new(0.5, "1", &src::TEE_JUDGEMENT, "vented tee at outlet level");
const RISER_EXIT: Coef = Coef::new(1.0, "1", &src::TEE_JUDGEMENT, "vented tee at outlet level");
const VILLEMONTE: Coef = Coef::new(0.385, "1", &src::VILLEMONTE_1947, "weirs drowned from below");

/// The near-level pipe that the water runs away through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Inside diameter.
    pub bore: Length,
    /// Length.
    pub length: Length,
    /// Fall per length, 0 or more.
    pub slope: Ratio,
    /// Sum of the loss coefficients of fittings on it, without entrance and exit.
    pub loss: Ratio,
    /// Roughness inside.
    pub roughness: Length,
}

/// How the water gets into the run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inlet {
    /// Over the rim of an open standpipe, which stands on the run. Levels count from its rim.
    Rim {
        /// Inside diameter of the standpipe.
        bore: Length,
        /// Its rim over the inside bottom of the run.
        height: Length,
        /// Loss coefficient of the elbow at its foot.
        foot: Ratio,
        /// Narrowest bore below the rim, on the axis of the run: the standpipe's own, or a fitting's.
        neck: Length,
    },
    /// Through the wall, the run behind. Levels count from the inside bottom at the wall.
    Wall {
        /// Bore at the wall: that of the run, or of a narrower fitting on its axis.
        bore: Length,
        /// Loss coefficient of the entrance.
        entrance: Ratio,
    },
    /// A bare hole in a thin wall, into air. Levels count from its bottom; the run is not looked at.
    Hole {
        /// Diameter.
        bore: Length,
    },
    /// Drawn from below through an always full pipe, up to a vented tee where the run begins. Levels count from the inside bottom of
    /// the run.
    Draw {
        /// Inside diameter of the rising pipe.
        bore: Length,
        /// Its length.
        length: Length,
        /// Sum of its loss coefficients with the intake's, without what the tee loses.
        loss: Ratio,
        /// Bore at the beginning of the run: that of the run, or of a narrower fitting on its axis, from whose bottom levels then count.
        neck: Length,
    },
}

/// A screen, with the sleeve behind it if there is one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screen {
    /// Open area when clean.
    pub open: Area,
    /// Share of it that is blocked.
    pub blocked: Ratio,
    /// A sleeve round the standpipe.
    pub sleeve: Option<Sleeve>,
}

/// A wider pipe round a standpipe, open below, so that water is drawn from the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sleeve {
    /// Inside diameter of the sleeve.
    pub bore: Length,
    /// Outside diameter of the standpipe.
    pub around: Length,
    /// Height of the ring between them.
    pub height: Length,
}

/// One outlet of a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlet {
    /// How the water gets in.
    pub inlet: Inlet,
    /// The run it leaves through.
    pub run: Run,
    /// Water over the inside bottom of the run's far end; 0 where it ends in air.
    pub tail: Length,
    /// A screen before the inlet.
    pub screen: Option<Screen>,
    /// Kinematic viscosity of the water.
    pub viscosity: KinematicViscosity,
}

/// What sets the level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Control {
    /// Nothing flows.
    Still,
    /// The rim of the standpipe as a weir.
    Rim,
    /// The drowned mouth of the standpipe.
    Mouth,
    /// Water that backs up to the rim from below.
    BackedUp,
    /// The part-full hole: critical depth there.
    Hole,
    /// The hole sealing over; it may gulp.
    Sealing,
    /// The drowned hole.
    Drowned,
    /// The run, part full, backs water up to the hole.
    Run,
    /// The run, full at its beginning.
    FullRun,
}

/// How the water stands for a flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// Water level in the tank over the reference of the inlet.
    pub level: Length,
    /// Lower edge of the band where the outlet gulps; the level itself where it does not.
    pub low: Length,
    /// Part of it: inlet and run.
    pub entry: Length,
    /// Part of it: the rising pipe.
    pub riser: Length,
    /// Part of it: screen and sleeve.
    pub screen: Length,
    /// What sets the level downstream of the riser and the screen.
    pub control: Control,
    /// J of the run.
    pub run_loading: Ratio,
    /// J of the standpipe or riser; that of the run where there is neither.
    pub loading: Ratio,
    /// Pressure height at the beginning of the run over its inside bottom.
    pub run_depth: Length,
    /// Surface in the vented tee over the inside bottom of the run.
    pub tee: Option<Length>,
    /// How far the rising water boils up over it.
    pub boil: Length,
}

/// Where something changes as the flow rises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// The rim begins to drown.
    RimDrowns,
    /// Falling water no longer vents itself: gulping begins.
    Gulps,
    /// The mouth of the standpipe is drowned.
    MouthDrowns,
    /// Water backs up over the rim from below.
    BacksUp,
    /// The hole begins to seal.
    Seals,
    /// The hole is drowned.
    Drowns,
    /// The surface in the tee, or at the hole, reaches the crown of the run.
    ReachesCrown,
    /// The run is full at its beginning.
    RunFills,
    /// The vent spills.
    VentSpills,
}

// ---- single elements ----

/// J = V/sqrt(g D), V over the whole bore: how hard a falling pipe is loaded. Any flow, any bore above 0.
pub fn loading(flow: VolumeRate, bore: Length) -> Ratio {
    RATIO.of(loading_raw(flow.value, bore.value))
}
fn loading_raw(q: f64, d: f64) -> f64 {
    q / bore_area(d) / (G * d).sqrt()
}

/// The most that falls quietly down a vertical pipe: `Q = 0.3 (pi/4) D² sqrt(g D)` (Hills 1983). A limit of noise, and of capacity only
/// where air can leave no other way than up through the falling water.
pub fn self_venting_flow(bore: Length) -> VolumeRate {
    let d = bore.value;
    FLOW.of(SELF_VENTING.value * bore_area(d) * (G * d).sqrt())
}

/// Flow over a round rim as a weir: `Q = 1.83 pi D h^1.5`. The sums run its inverse; a test holds the two together. Below about 4 mm surface tension holds the water.
pub fn rim_weir(bore: Length, head: Length) -> VolumeRate {
    FLOW.of(RIM_WEIR.value * PI * bore.value * head.value.max(0.0).powf(1.5))
}

/// Flow into a drowned mouth: `Q = 0.6 (pi/4) D² sqrt(2 g h)`. The sums run its inverse; a test holds the two together.
pub fn rim_orifice(bore: Length, head: Length) -> VolumeRate {
    FLOW.of(ORIFICE.value * bore_area(bore.value) * (2.0 * G * head.value.max(0.0)).sqrt())
}

pub(super) fn weir_head(q: f64, d: f64) -> f64 {
    (q / (RIM_WEIR.value * PI * d)).powi(2).cbrt()
}
pub(super) fn orifice_head(q: f64, area: f64) -> f64 {
    let v = q / (ORIFICE.value * area);
    v * v / (2.0 * G)
}

/// Flow through a bare hole in a thin wall into air: `Q = 0.6 int sqrt(2 g (h - z)) b(z) dz` over its wetted height, z and h from its
/// bottom. For a hole far under water this is the plain orifice on its centre.
pub fn hole_flow(bore: Length, level: Length) -> VolumeRate {
    FLOW.of(hole_flow_raw(bore.value, level.value))
}
/// Points of the integral; in the angle that parts the height evenly the integrand is smooth at both ends.
const HOLE_POINTS: u32 = 12;
fn hole_flow_raw(d: f64, h: f64) -> f64 {
    let top = h.min(d);
    if top <= 0.0 {
        return 0.0;
    }
    let step = PI / f64::from(HOLE_POINTS);
    let sum: f64 = (0..HOLE_POINTS)
        .map(|i| {
            let angle = (f64::from(i) + 0.5) * step;
            let z = top / 2.0 * (1.0 - angle.cos());
            let width = 2.0 * (z * (d - z)).max(0.0).sqrt();
            (2.0 * G * (h - z)).max(0.0).sqrt() * width * angle.sin()
        })
        .sum();
    ORIFICE.value * sum * step * top / 2.0
}

/// Level over the bottom of a bare hole for a flow: the inverse of [`hole_flow`], within 1e-6 of the bore.
pub fn hole_level(bore: Length, flow: VolumeRate) -> Length {
    LENGTH.of(hole_level_raw(bore.value, flow.value))
}
fn hole_level_raw(d: f64, q: f64) -> f64 {
    if q <= 0.0 {
        return 0.0;
    }
    // The plain orifice with the whole hole's height on top of it is never lower.
    let most = d + orifice_head(q, bore_area(d));
    solve::crossing(|h| hole_flow_raw(d, h) - q, 0.0, most, d * 1e-6)
}

/// Least water over an opening so that it draws no air: `h/D = sqrt(J/1.6)` (McDuffie 1977, from memory).
pub fn least_submergence(flow: VolumeRate, bore: Length) -> Length {
    LENGTH.of(bore.value * (loading_raw(flow.value, bore.value) / AIR_DRAWN.value).sqrt())
}

// ---- the march ----

/// The run, raw. Its fittings lose their K V²/2g evenly along it. Distance counts in lengths of the run, so that a
/// stub of no length may have fittings too.
#[derive(Debug, Clone, Copy)]
struct Raw {
    circle: Circle,
    length: f64,
    fall: f64,
    loss: f64,
    relative_roughness: f64,
    nu: f64,
}

impl Raw {
    fn of(run: &Run, nu: f64) -> Self {
        let (d, length) = (run.bore.value, run.length.value.max(0.0));
        Self {
            circle: Circle { d },
            length,
            fall: run.slope.value * length,
            loss: run.loss.value.max(0.0),
            relative_roughness: run.roughness.value / d,
            nu,
        }
    }
    /// The section at a depth.
    fn at(&self, h: f64, q: f64) -> Point {
        let w = self.circle.wetted(h);
        let head = q * q / (2.0 * G * w.area * w.area);
        // On the hydraulic diameter 4A/P: Re = 4 Q/(P nu), S_f = f (V²/2g)/(4A/P).
        let hydraulic = 4.0 * w.area / w.perimeter;
        let roughness = self.relative_roughness * self.circle.d / hydraulic;
        let f = churchill_raw(4.0 * q / (w.perimeter * self.nu), roughness);
        let square = h * h;
        Point {
            energy: h + head,
            w: 1.0 / (square * h),
            // dE/dh = 1 - Q² T/(g A³), never below 0 above critical depth, times h^4.
            stiffness: (1.0 - 2.0 * head * w.width / w.area).max(0.0) * square * square,
            gain: (f * self.length / hydraulic + self.loss) * head - self.fall,
        }
    }
    /// The pressure height at the beginning of the run for that at its end (critical depth or more).
    ///
    /// dE/dx = F = (f L/(4A/P) + sum K) V²/2g - fall, over the run as x = 0 to 1, so x = int dE/F. Losses fall nearly as h^-3, so between
    /// two depths F, and dE/dw (scaled to the true change of E), are taken linear in w = h^-3, for which the integral is a logarithm: exact also where the depth approaches the
    /// normal one. The depths stand in even ratios, by `parts`, between the end's depth and the crown, or critical depth where the water
    /// falls away upstream.
    fn march(&self, q: f64, critical: f64, end: f64, parts: &[f64]) -> f64 {
        let d = self.circle.d;
        let (mut x, mut h) = (0.0, end);
        let full = self.at(d, q).gain;
        if h >= d {
            if full >= 0.0 || h + full >= d {
                return h + full;
            }
            x = (h - d) / -full;
            h = d;
        }
        let mut here = self.at(h, q);
        if here.gain == 0.0 {
            return h;
        }
        let rises = here.gain > 0.0;
        let last = if rises { d } else { critical };
        loop {
            // A trickle in a wide pipe goes by stages, each of a fourfold depth.
            let (start, stage) = (h, if rises { (h * STAGE).min(last) } else { (h / STAGE).max(last) });
            let (ratio, mut before) = (stage / start, 0.0);
            for part in parts {
                h = start * ratio.powf(*part);
                let there = self.at(h, q);
                let reach = Reach::between(&here, &there);
                let left = 1.0 - x;
                let length = reach.length(reach.whole);
                if length >= left {
                    let s = reach.after(left);
                    let by_w = (here.w + s).cbrt().recip();
                    if rises || s == 0.0 {
                        return by_w;
                    }
                    // Falling away upstream the water is nearly level, and E nearly h: the gain in E is the better guide.
                    let target = here.energy + reach.rise(s) / reach.length(s) * left;
                    let above = start * ratio.powf(before);
                    return solve::crossing(|y| self.circle.energy(y, q) - target, h, above, d * 1e-6);
                }
                before = *part;
                (x, here) = (x + length, there);
            }
            if stage == last {
                break;
            }
            h = stage;
        }
        if rises { d + full.max(0.0) * (1.0 - x) } else { critical }
    }
}
const STAGE: f64 = 4.0;
/// A depth within this of the critical one is that.
const FALLS_AWAY: f64 = 1.001;
/// No run is so steep that its water is this part of critical depth deep.
const LEAST_DEPTH: f64 = 0.02;

/// A section of the run, raw.
#[derive(Debug, Clone, Copy)]
struct Point {
    energy: f64,
    /// h^-3.
    w: f64,
    /// Minus three times dE/dw.
    stiffness: f64,
    /// Energy gained upstream, over the run's length.
    gain: f64,
}

/// A piece of the profile between two depths: x(s) = int (p + r t)/(a + b t) dt from 0 to s, with s the change of w.
#[derive(Debug, Clone, Copy)]
struct Reach {
    whole: f64,
    p: f64,
    r: f64,
    a: f64,
    b: f64,
}

impl Reach {
    fn between(from: &Point, to: &Point) -> Self {
        let step = to.w - from.w;
        let mean = (from.stiffness + to.stiffness) / 2.0;
        let scale = if mean * step == 0.0 { 0.0 } else { (to.energy - from.energy) / (mean * step) };
        Self {
            whole: step,
            p: from.stiffness * scale,
            r: (to.stiffness - from.stiffness) * scale / step,
            a: from.gain,
            b: (to.gain - from.gain) / step,
        }
    }
    /// The change of energy over a change `s` of w.
    fn rise(&self, s: f64) -> f64 {
        (self.p + self.r * s / 2.0) * s
    }
    /// How far upstream w has changed by `s`; without end at normal depth.
    fn length(&self, s: f64) -> f64 {
        let Self { p, r, a, b, .. } = *self;
        let turn = b * s / a;
        if turn <= -1.0 {
            return f64::INFINITY;
        }
        let rise = self.rise(s);
        if turn.abs() < 1e-3 {
            // The mean slope at the centre of the numerator; the closed form would cancel.
            let centre = if rise == 0.0 { 0.0 } else { (p / 2.0 + r * s / 3.0) * s * s / rise };
            return rise / (a + b * centre);
        }
        r / b * s + (p - r * a / b) / b * turn.ln_1p()
    }
    /// By how much w has changed `left` upstream.
    fn after(&self, left: f64) -> f64 {
        // Stay this side of normal depth.
        let limit = if self.b * self.whole / self.a <= -1.0 { -self.a / self.b * (1.0 - 1e-9) } else { self.whole };
        solve::crossing(|s| self.length(s) - left, 0.0, limit, self.whole.abs() * 1e-4)
    }
}

/// Depths of the march as parts of its range, dense at both ends: (1 - cos(pi i/8))/2.
const PARTS: [f64; 8] = [0.038_060, 0.146_447, 0.308_658, 0.5, 0.691_342, 0.853_553, 0.961_940, 1.0];

/// Level before a run over the inside bottom of its inlet, raw.
#[derive(Debug, Clone, Copy)]
struct Pool {
    level: f64,
    /// Pressure height at the beginning of the run over its own bottom.
    run_depth: f64,
    control: Control,
}

/// Level of a pool before a run. `inlet` is the bore at its beginning, on its axis, no wider than the run.
fn pool(q: f64, run: &Raw, inlet: f64, entrance: f64, tail: f64, parts: &[f64]) -> Pool {
    let critical = run.circle.critical_depth(q);
    let run_depth = run.march(q, critical, tail.max(critical), parts);
    let narrow = inlet < run.circle.d * (1.0 - 1e-9);
    let circle = if narrow { Circle { d: inlet } } else { run.circle };
    let critical = if narrow { circle.critical_depth(q) } else { critical };
    // A narrower inlet is taken as a stub in which the pressure height of the run continues: nothing of its velocity head is regained.
    let behind = run_depth - (run.circle.d - circle.d) / 2.0;
    let depth = behind.max(critical);
    let outlet_control = head_before(&circle, depth, q, entrance);
    let (inlet_control, state) = inlet_control(&circle, critical, q, entrance);
    if inlet_control >= outlet_control {
        return Pool { level: inlet_control, run_depth, control: state };
    }
    let control = if behind >= circle.d { Control::FullRun } else { Control::Run };
    Pool { level: outlet_control, run_depth, control }
}

/// E + K_e V²/2g.
fn head_before(circle: &Circle, depth: f64, q: f64, entrance: f64) -> f64 {
    let a = circle.wetted(depth).area;
    depth + (1.0 + entrance) * q * q / (2.0 * G * a * a)
}

/// What an inlet asks for itself: critical depth there, E_c + K_e V_c²/2g, while J is at most 0.617; drowned from J 0.705,
/// D (0.67 + 1.28 J²) with the difference of its entrance loss to that of a square edge; between the two a straight line.
fn inlet_control(circle: &Circle, critical: f64, q: f64, entrance: f64) -> (f64, Control) {
    let d = circle.d;
    let j = loading_raw(q, d);
    if j <= INLET_FREE.value {
        return (head_before(circle, critical, q, entrance), Control::Hole);
    }
    // V²/2g over the full bore is J² D/2.
    let drowned =
        |j: f64| d * (INLET_BASE.value + (INLET_RISE.value + (entrance - ENTRANCE_FLUSH.value) / 2.0) * j * j);
    if j >= INLET_SUBMERGED.value {
        return (drowned(j), Control::Drowned);
    }
    let from = INLET_FREE.value * bore_area(d) * (G * d).sqrt();
    let free = head_before(circle, circle.critical_depth(from), from, entrance);
    let share = (j - INLET_FREE.value) / (INLET_SUBMERGED.value - INLET_FREE.value);
    (free + (drowned(INLET_SUBMERGED.value) - free) * share, Control::Sealing)
}

impl Screen {
    /// How fast the water goes through its openings, as blocked as they are: `V = Q/(A (1 - blocked))`.
    pub fn speed(&self, flow: VolumeRate) -> Velocity {
        let open = self.open.value * (1.0 - self.blocked.value);
        VELOCITY.of(flow.value / open.max(f64::MIN_POSITIVE))
    }
    /// What the holes and the ring of a sleeve cost.
    pub fn loss(&self, flow: VolumeRate, viscosity: KinematicViscosity) -> Length {
        LENGTH.of(self.loss_raw(flow.value, viscosity.value))
    }
    fn loss_raw(&self, q: f64, nu: f64) -> f64 {
        let holes = orifice_head(q, self.open.value * (1.0 - self.blocked.value).max(1e-3));
        let ring = self.sleeve.map_or(0.0, |s| {
            let area = bore_area(s.bore.value) - bore_area(s.around.value);
            if area <= 0.0 {
                return 0.0;
            }
            let gap = s.bore.value - s.around.value;
            let v = q / area;
            let f = churchill_raw(v * gap / nu, ROUGH_SLEEVE.value / gap);
            (ENTRANCE_FLUSH.value + f * s.height.value / gap) * v * v / (2.0 * G)
        });
        holes + ring
    }
}
const ROUGH_SLEEVE: Coef = Coef::new(1e-4, "m", &src::ROUGHNESS_USED, "used plastic");

impl Outlet {
    /// How the water stands for a flow.
    ///
    /// * Rim: `h = max((Q/(1.83 pi D))^(2/3), (Q/0.6A)²/2g)`, or with the pipe full `h2 + (0.5 + f L/D) V²/2g` where that is higher, h2 the level
    ///   behind the run over the rim; where h2 is above the rim, the drowned weir (Villemonte 1947) if that is higher still.
    /// * Wall: the higher of outlet control (marched from the far end: `E + K_e V²/2g`) and inlet control (FHWA HDS-5).
    /// * Draw: the same for the run from the tee, and `(K + f L/D + 1) V²/2g` for the rising pipe.
    /// * Screens add theirs.
    ///
    /// Any flow from 0; bores above 0. Always finite, never falling with flow.
    pub fn stand(&self, flow: VolumeRate) -> Stand {
        self.stand_with(flow.value, &PARTS)
    }

    fn stand_with(&self, q: f64, parts: &[f64]) -> Stand {
        let nu = self.viscosity.value;
        if q.is_nan() || q <= 0.0 {
            return self.still();
        }
        let tail = self.tail.value.max(0.0);
        let run = Raw::of(&self.run, nu);
        let d = run.circle.d;
        let (entry, low, riser, control, run_depth, bore, tee, boil);
        match self.inlet {
            Inlet::Rim { bore: pipe, height, foot, neck } => {
                let p = pool(q, &run, neck.value.min(d), foot.value, tail, parts);
                let pipe = pipe.value;
                let (weir, mouth) = (weir_head(q, pipe), orifice_head(q, bore_area(pipe)));
                let free = weir.max(mouth);
                let below = p.level - height.value;
                let friction = lost_heads(q, pipe, height.value, self.run.roughness.value, 0.5, nu);
                let full = below + friction * velocity_head(q, pipe);
                (entry, control) = if below > 0.0 || full > free {
                    (free.max(drowned_weir_head(q, pipe, below.max(0.0))).max(full), Control::BackedUp)
                } else {
                    (free, if mouth > weir { Control::Mouth } else { Control::Rim })
                };
                let gulps = loading_raw(q, neck.value.min(pipe)) > SELF_VENTING.value;
                // Gulping, the level falls as low as the rim, or as what stands below.
                low = if gulps { below.max(0.0).min(entry) } else { entry };
                (riser, run_depth, bore, tee, boil) = (0.0, p.run_depth, neck.value.min(pipe), None, 0.0);
            }
            Inlet::Wall { bore: wall, entrance } => {
                let p = pool(q, &run, wall.value.min(d), entrance.value, tail, parts);
                (entry, low, riser, control, run_depth) = (p.level, p.level, 0.0, p.control, p.run_depth);
                (bore, tee, boil) = (wall.value.min(d), None, 0.0);
            }
            Inlet::Hole { bore: hole } => {
                let level = hole_level_raw(hole.value, q);
                (entry, low, riser, run_depth) = (level, level, 0.0, 0.0);
                control = if level < hole.value { Control::Hole } else { Control::Drowned };
                (bore, tee, boil) = (hole.value, None, 0.0);
            }
            Inlet::Draw { bore: pipe, length, loss, neck } => {
                let p = pool(q, &run, neck.value.min(d), TEE_TURN.value, tail, parts);
                let pipe = pipe.value;
                let head = velocity_head(q, pipe);
                let k = loss.value + RISER_EXIT.value;
                riser = lost_heads(q, pipe, length.value, self.run.roughness.value, k, nu) * head;
                (entry, low, control, run_depth) = (p.level, p.level, p.control, p.run_depth);
                (bore, tee, boil) = (pipe, Some(p.level), head);
            }
        }
        let screen = self.screen.map_or(0.0, |s| s.loss_raw(q, nu));
        let m = |x| LENGTH.of(x);
        Stand {
            level: m(entry + riser + screen),
            low: m(low + riser + screen),
            entry: m(entry),
            riser: m(riser),
            screen: m(screen),
            control,
            run_loading: RATIO.of(loading_raw(q, d)),
            loading: RATIO.of(loading_raw(q, bore)),
            run_depth: m(run_depth),
            tee: tee.map(m),
            boil: m(boil),
        }
    }

    /// Speed of the water in the run: where it is deepest, at its beginning; in a run so steep that it falls away from critical depth there, that of the
    /// normal depth it falls to, where friction and fittings take the fall.
    pub fn run_speed(&self, flow: VolumeRate, stand: &Stand) -> Velocity {
        let (q, run, deep) = (flow.value, Raw::of(&self.run, self.viscosity.value), stand.run_depth.min(self.run.bore));
        let critical = run.circle.critical_depth(q);
        let falls = q > 0.0 && deep.value <= critical * FALLS_AWAY && run.at(critical, q).gain < 0.0;
        let normal = || solve::crossing(|h| -run.at(h, q).gain, critical * LEAST_DEPTH, critical, critical * 1e-6);
        let depth = if falls { normal() } else { deep.value };
        VELOCITY.of(q / run.circle.wetted(depth).area.max(f64::MIN_POSITIVE))
    }

    /// The level at no flow: the far end's water, where it stands higher than the reference.
    fn still(&self) -> Stand {
        let over_run = (self.tail.value.max(0.0) - self.run.slope.value * self.run.length.value).max(0.0);
        let level = match self.inlet {
            Inlet::Rim { height, .. } => (over_run - height.value).max(0.0),
            Inlet::Wall { bore: neck, .. } | Inlet::Draw { neck, .. } => {
                (over_run - (self.run.bore.value - neck.value).max(0.0) / 2.0).max(0.0)
            }
            Inlet::Hole { .. } => 0.0,
        };
        let (m, none) = (LENGTH.of(level), LENGTH.of(0.0));
        Stand {
            level: m,
            low: m,
            entry: m,
            riser: none,
            screen: none,
            control: Control::Still,
            run_loading: RATIO.of(0.0),
            loading: RATIO.of(0.0),
            run_depth: LENGTH.of(over_run),
            tee: matches!(self.inlet, Inlet::Draw { .. }).then_some(m),
            boil: none,
        }
    }

    /// The smallest bore on the way.
    pub fn smallest_bore(&self) -> Length {
        match self.inlet {
            Inlet::Hole { bore } => bore,
            Inlet::Wall { bore, .. } => bore.min(self.run.bore),
            Inlet::Rim { bore, neck, .. } | Inlet::Draw { bore, neck, .. } => bore.min(neck).min(self.run.bore),
        }
    }

    /// The flow for which the water stands at `level`: the inverse of [`Outlet::stand`], within 1e-4 of the flow. Zero where the water
    /// stands that high without flow.
    pub fn flow_at(&self, level: Length) -> VolumeRate {
        FLOW.of(self.flow_where(&|s: &Stand| s.level.value, level.value))
    }

    /// The flow for which something that rises with flow reaches `limit`.
    fn flow_where(&self, what: &dyn Fn(&Stand) -> f64, limit: f64) -> f64 {
        let at = |q: f64| what(&self.stand_with(q, &PARTS)) - limit;
        let still = at(0.0);
        if still.is_nan() || still >= 0.0 {
            return 0.0;
        }
        // A first guess: a bore that stands full one bore high carries about J = 0.5; below, levels go with Q^(2/3), above with Q².
        let d = self.smallest_bore().value;
        let scale = bore_area(d) * (G * d).sqrt();
        let over = limit / d;
        let mut high = scale * if over < 1.0 { over.max(1e-3).powf(1.5) } else { over.sqrt() } * 0.5;
        let (mut low, mut at_low) = (0.0, still);
        let mut at_high = at(high);
        for _ in 0..WIDEN_MOST {
            if at_high >= 0.0 {
                break;
            }
            (low, at_low) = (high, at_high);
            high *= 2.0;
            at_high = at(high);
        }
        // The tolerance goes with the bracket; where the flow is far below the first guess, the bracket is drawn in until it goes with
        // the flow.
        for _ in 0..NARROW_MOST {
            let within = high * FLOW_TOLERANCE;
            let q = solve::root_between(at, (low, at_low), (high, at_high), within).unwrap_or(high);
            if q > high / 8.0 {
                return q;
            }
            high = (q + within) * 1.5;
            at_high = at(high);
            if at_high < 0.0 {
                return high;
            }
        }
        high
    }

    /// Where something changes between no flow and `most`, in rising order. `vent` is the top of the vent over the inside bottom of the
    /// run.
    pub fn changes(&self, most: VolumeRate, vent: Option<Length>) -> Vec<(VolumeRate, Change)> {
        let mut found = vec![];
        let mut add = |q: f64, change| {
            if q > 0.0 && q.is_finite() && q <= most.value {
                found.push((FLOW.of(q), change));
            }
        };
        let at_loading = |j: f64, d: f64| j * bore_area(d) * (G * d).sqrt();
        let d = self.run.bore.value;
        match self.inlet {
            Inlet::Rim { bore, height, neck, .. } => {
                let pipe = bore.value;
                add(at_loading(RIM_DROWNING.value, pipe), Change::RimDrowns);
                add(at_loading(SELF_VENTING.value, neck.value.min(pipe)), Change::Gulps);
                // Weir and orifice ask the same head where h/D = 0.6/(4 x 0.414): found from the two formulas themselves.
                let turn = solve::crossing(
                    |q| orifice_head(q, bore_area(pipe)) - weir_head(q, pipe),
                    at_loading(1e-2, pipe),
                    at_loading(10.0, pipe),
                    at_loading(1e-4, pipe),
                );
                add(turn, Change::MouthDrowns);
                let foot = Outlet {
                    inlet: Inlet::Wall { bore: neck.min(self.run.bore), entrance: self.foot_loss() },
                    screen: None,
                    ..*self
                };
                add(foot.flow_at(height).value, Change::BacksUp);
            }
            Inlet::Wall { .. } | Inlet::Draw { .. } => {
                let wall = self.wall_bore().value;
                let tee = |s: &Stand| s.entry.value;
                add(self.flow_where(&tee, wall), Change::ReachesCrown);
                if self.stand(FLOW.of(at_loading(INLET_SUBMERGED.value, wall))).control == Control::Drowned {
                    add(at_loading(INLET_FREE.value, wall), Change::Seals);
                    add(at_loading(INLET_SUBMERGED.value, wall), Change::Drowns);
                }
                if self.run.length.value > 0.0 {
                    add(self.flow_where(&|s: &Stand| s.run_depth.value, d), Change::RunFills);
                }
                if let (Some(vent), Inlet::Draw { .. }) = (vent, self.inlet) {
                    add(self.vent_spills(vent).value, Change::VentSpills);
                }
            }
            Inlet::Hole { bore } => add(hole_flow_raw(bore.value, bore.value), Change::Drowns),
        }
        crate::units::arrange(&mut found, |a, b| a.0.value.total_cmp(&b.0.value));
        found
    }

    /// The bore at the beginning of the run.
    pub fn wall_bore(&self) -> Length {
        match self.inlet {
            Inlet::Hole { bore } => bore,
            Inlet::Wall { bore: neck, .. } | Inlet::Rim { neck, .. } | Inlet::Draw { neck, .. } => {
                neck.min(self.run.bore)
            }
        }
    }

    fn foot_loss(&self) -> Ratio {
        match self.inlet {
            Inlet::Rim { foot, .. } => foot,
            _ => RATIO.of(ENTRANCE_FLUSH.value),
        }
    }

    /// The flow at which a vent with its top at `vent` over the inside bottom of the run spills: surface in the tee and boil reach it.
    pub fn vent_spills(&self, vent: Length) -> VolumeRate {
        FLOW.of(self.flow_where(&|s: &Stand| (s.entry + s.boil).value, vent.value))
    }

    /// Water volume of the full run.
    pub fn contents(&self) -> crate::units::Volume {
        VOLUME.of(bore_area(self.run.bore.value) * self.run.length.value)
    }
}
const WIDEN_MOST: u32 = 60;
/// Times that a bracket is drawn in for a flow far below the first guess.
const NARROW_MOST: usize = 12;
const FLOW_TOLERANCE: f64 = 1e-4;

/// Head over a rim drowned from below by `below`, by Villemonte: Q = 1.83 pi D h^1.5 (1 - (below/h)^1.5)^0.385.
fn drowned_weir_head(q: f64, d: f64, below: f64) -> f64 {
    let passes = |h: f64| {
        let open = 1.0 - (below / h).powf(1.5);
        RIM_WEIR.value * PI * d * h.powf(1.5) * open.max(0.0).powf(VILLEMONTE.value) - q
    };
    // Free flow needs the least; with the depth below on top of it, it passes more than enough.
    let most = below + 2.0 * weir_head(q, d);
    let most = if passes(most) < 0.0 { most * 10.0 } else { most };
    solve::crossing(passes, below, most, d * 1e-5)
}

#[cfg(test)]
mod tests;
