//! Pump and supply pipes: what a pump really sends through its pipes, to each outlet, and for how many watts.

mod report;
mod working;

use super::form::*;
use super::mend::{self, refuse};
use super::outcome::*;
use super::piping;
use super::sheet::Calculator;
use crate::catalog::pipes::Pipe;
use crate::catalog::sources::{Source, hydraulics as hyd, waterways as src};
use crate::picture::{Axis, Band, Chart, Mark, Picture, Role, Series};
use crate::science::network::{self, End, Flows, Mouth, Way};
use crate::science::pump::{self, Curve, CurveFault, Pumps, Together, USUAL_EXPONENT, Valve};
use crate::science::{pipe as full, water};
use crate::units::{kinds::*, si::*, *};

/// What is known of the pump's curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Known {
    /// Its two ends.
    #[default]
    Ends,
    /// Three points.
    Three,
    /// A table.
    Table,
}
crate::choices!(Known:
    Ends = "ends", "Its two ends", "most head and most flow, as on the box";
    Three = "three", "Three points", "read off the maker's curve";
    Table = "table", "A table", "";
);
impl Known {
    /// Where the shape between the known points comes from.
    const fn source(self) -> &'static Source {
        match self {
            Self::Ends => &src::CURVE_TWO_POINTS,
            Self::Three => &src::CURVE_THREE_POINTS,
            Self::Table => &src::CURVE_TABLE,
        }
    }
}
crate::choices!(Together:
    Alone = "alone", "One pump", "";
    Parallel = "parallel", "Two side by side", "into one pipe, each with a check valve";
    Series = "series", "Two in series", "";
);
/// Where the water ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Leads {
    /// At one outlet.
    #[default]
    One,
    /// At several, by tees.
    Several,
}
crate::choices!(Leads:
    One = "one", "One outlet", "";
    Several = "several", "Tees to several outlets", "";
);
/// How an outlet ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ends {
    /// Above the water.
    #[default]
    Above,
    /// Under water.
    Under,
}
crate::choices!(Ends:
    Above = "above", "Above the highest water", "";
    Under = "under", "Under water", "water can run back through it";
);
crate::choices!(Valve:
    Missing = "none", "No valve", "";
    Ball = "ball", "Ball valve", "a lever, a quarter turn";
    Gate = "gate", "Gate valve", "a wheel, many turns";
);
/// What is known of the watts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Watts {
    /// Nothing.
    #[default]
    Guessed,
    /// The label's, or a plug meter's.
    Known,
}
crate::choices!(Watts:
    Guessed = "guessed", "Not known", "a range for pumps of this size";
    Known = "known", "On the label, or from a plug meter", "";
);

/// A row of a typed curve.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CurvePoint {
    /// Flow.
    pub flow: VolumeRate,
    /// Head.
    pub head: Length,
}
impl Fields for CurvePoint {
    fn fields(&mut self, f: &mut dyn Form) {
        let flow = Field::new(1, "flow", "Flow", FLOW).range(0.0, l_h(100_000.0)).help("Rising from row to row.");
        num(f, &flow, &mut self.flow);
        let head = Field::new(2, "head", "Head", LENGTH).range(0.0, 50.0).help("Falling from row to row.");
        num(f, &head, &mut self.head);
    }
}

/// One outlet on a tee.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Outlet over the sump's water.
    pub lift: Length,
    /// Its pipe from the tee.
    pub pipe: &'static Pipe,
    /// Bore, where typed.
    pub bore: Length,
    /// Length.
    pub length: Length,
    /// Bends.
    pub elbows: Ratio,
    /// Other losses.
    pub losses: Ratio,
    /// How it ends.
    pub ends: Ends,
    /// Its valve.
    pub valve: Valve,
    /// How far that is open.
    pub open: Ratio,
    /// Main pipe between the tee before and this one's.
    pub between: Length,
    /// Flow wanted here.
    pub wanted: VolumeRate,
    /// Held by a valve to what a system bears; nobody is asked about it.
    pub held: Throttle,
}

/// A branch of a system that is throttled.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub enum Throttle {
    /// It is not.
    #[default]
    Not,
    /// So much comes at the most.
    At(VolumeRate),
    /// So much more is lost in its valve, as ΣK; without end where it is shut.
    By(Ratio),
}
impl Default for Branch {
    fn default() -> Self {
        Self {
            lift: LENGTH.of(1.0),
            pipe: piping::named("pvc_25"),
            bore: SHORT_LENGTH.of(mm(20.0)),
            length: LENGTH.of(1.5),
            elbows: COUNT.of(1.0),
            losses: RATIO.of(0.0),
            ends: Ends::Above,
            valve: Valve::Missing,
            open: PERCENT.of(1.0),
            between: LENGTH.of(0.0),
            wanted: FLOW.of(l_h(300.0)),
            held: Throttle::Not,
        }
    }
}
impl Fields for Branch {
    fn fields(&mut self, f: &mut dyn Form) {
        lift(f, 1, &mut self.lift);
        piping::choose(
            f,
            2,
            3,
            "Pipe from the tee to it",
            "The narrowest piece counts most.",
            &mut self.pipe,
            &mut self.bore,
        );
        length(f, 4, "Length of that pipe", &mut self.length);
        valve(f, 5, 6, &mut self.valve, &mut self.open);
        wanted(f, 7, &mut self.wanted);
        let between =
            Field::new(8, "between", "Main pipe since the tee before", LENGTH).range(0.0, 100.0).advised(0.0, 20.0);
        num(
            f,
            &between
                .help("0 for outlets that leave the same tee. Before the first tee it adds to the main pipe.")
                .detail(),
            &mut self.between,
        );
        ends(f, 9, &mut self.ends);
        piping::bends(f, 10, 11, &mut self.elbows, &mut self.losses);
    }
}

/// Inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpIn {
    /// What is known of the curve.
    pub known: Known,
    /// Head at no flow.
    pub shut_off: Length,
    /// Flow at no head.
    pub free_flow: VolumeRate,
    /// Exponent between the two.
    pub exponent: Ratio,
    /// Second point.
    pub second: CurvePoint,
    /// Third point.
    pub third: CurvePoint,
    /// Table.
    pub rows: Vec<CurvePoint>,
    /// One pump or two.
    pub together: Together,
    /// Is the second like the first?
    pub alike: YesNo,
    /// The second's head at no flow.
    pub other_shut_off: Length,
    /// The second's flow at no head.
    pub other_free_flow: VolumeRate,
    /// Main pipe.
    pub pipe: &'static Pipe,
    /// Its bore, where typed.
    pub bore: Length,
    /// Its length.
    pub length: Length,
    /// Its bends.
    pub elbows: Ratio,
    /// Its other losses.
    pub losses: Ratio,
    /// Where it leads.
    pub leads: Leads,
    /// The one outlet over the sump's water.
    pub lift: Length,
    /// How it ends.
    pub ends: Ends,
    /// Its valve.
    pub valve: Valve,
    /// How far that is open.
    pub open: Ratio,
    /// Flow wanted there.
    pub wanted: VolumeRate,
    /// Several outlets.
    pub branches: Vec<Branch>,
    /// How far the sump's water falls.
    pub fall: Length,
    /// What is known of the watts.
    pub watts: Watts,
    /// The label's watts.
    pub label: Power,
    /// Roughness of the pipes.
    pub roughness: Length,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Default for PumpIn {
    fn default() -> Self {
        let point = |q: f64, h: f64| CurvePoint { flow: FLOW.of(l_h(q)), head: LENGTH.of(h) };
        Self {
            known: Known::Ends,
            shut_off: LENGTH.of(2.5),
            free_flow: FLOW.of(l_h(2500.0)),
            exponent: RATIO.of(USUAL_EXPONENT.value),
            second: point(1200.0, 1.9),
            third: point(2200.0, 0.6),
            rows: vec![point(0.0, 2.5), point(1000.0, 2.1), point(1800.0, 1.2), point(2500.0, 0.0)],
            together: Together::Alone,
            alike: YesNo::Yes,
            other_shut_off: LENGTH.of(2.5),
            other_free_flow: FLOW.of(l_h(2500.0)),
            pipe: piping::usual(),
            bore: SHORT_LENGTH.of(mm(25.0)),
            length: LENGTH.of(3.0),
            elbows: COUNT.of(3.0),
            losses: RATIO.of(0.0),
            leads: Leads::One,
            lift: LENGTH.of(1.2),
            ends: Ends::Above,
            valve: Valve::Missing,
            open: PERCENT.of(1.0),
            wanted: FLOW.of(l_h(1000.0)),
            branches: vec![
                Branch { lift: LENGTH.of(1.2), wanted: FLOW.of(l_h(400.0)), ..Branch::default() },
                Branch { lift: LENGTH.of(0.9), ..Branch::default() },
            ],
            fall: LENGTH.of(0.1),
            watts: Watts::Guessed,
            label: POWER.of(40.0),
            roughness: piping::new_plastic(),
            temperature: TEMPERATURE.of(celsius(20.0)),
        }
    }
}

fn lift(f: &mut dyn Form, tag: u8, value: &mut Length) {
    let field = Field::new(tag, "lift", "Outlet over the sump's water", LENGTH).range(0.0, 30.0).advised(0.2, 5.0);
    num(
        f,
        &field
            .help("From the water in the sump up to the end of the pipe, or to the water it ends under.")
            .way(super::form::Way::Hose),
        value,
    );
}
fn length(f: &mut dyn Form, tag: u8, label: &'static str, value: &mut Length) {
    let field = Field::new(tag, "length", label, LENGTH).range(0.05, 200.0).advised(0.3, 30.0);
    num(f, &field.help("Along the pipe."), value);
}
fn ends(f: &mut dyn Form, tag: u8, value: &mut Ends) {
    pick(f, &Pick::new(tag, "ends", "Its end").help("Decides what runs back when the pump stops.").detail(), value);
}
fn valve(f: &mut dyn Form, tag: u8, open_tag: u8, valve: &mut Valve, open: &mut Ratio) {
    pick(f, &Pick::new(tag, "valve", "Valve").help("To set the flow by hand.").detail(), valve);
    group(f, &Group::when("valve", "ball|gate"), *valve != Valve::Missing, &mut |f| {
        let field = Field::new(open_tag, "open", "How far it is open", PERCENT).range(0.0, 1.0).advised(0.3, 1.0);
        num(f, &field.help("Of its turn: 100 % open, 50 % half way, 0 % shut.").detail(), open);
    });
}
fn wanted(f: &mut dyn Form, tag: u8, value: &mut VolumeRate) {
    let field =
        Field::new(tag, "wanted", "Flow you need there", FLOW).range(0.0, l_h(100_000.0)).advised(0.0, l_h(20_000.0));
    num(f, &field.help("Often the tank once or twice an hour. 0 if any will do."), value);
}

impl Fields for PumpIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let known = self.known;
        pick(
            f,
            &Pick::new(1, "known", "What you know of the pump").help("The more points, the less is guessed."),
            &mut self.known,
        );
        group(f, &Group::when("known", "ends|three"), known != Known::Table, &mut |f| {
            let field = Field::new(2, "shut_off", "Most head, at no flow", LENGTH).range(0.1, 50.0).advised(0.5, 12.0);
            num(f, &field.help("\"Hmax\" on the box: where no more water comes."), &mut self.shut_off);
        });
        group(f, &Group::when("known", "ends"), known == Known::Ends, &mut |f| {
            let field = Field::new(3, "free_flow", "Most flow, at no head", FLOW)
                .range(l_h(10.0), l_h(100_000.0))
                .advised(l_h(100.0), l_h(20_000.0));
            num(f, &field.help("\"Qmax\" on the box. No pump gives it through a pipe."), &mut self.free_flow);
            let field = Field::new(4, "exponent", "Bend of the curve between", RATIO)
                .range(0.5, 6.0)
                .advised(1.0, 3.0)
                .likely(1.3, 2.2)
                .source(&src::CURVE_TWO_POINTS);
            num(
                f,
                &field
                    .help("1 is a straight line, 2 a parabola. Three points of the curve make it unnecessary.")
                    .detail(),
                &mut self.exponent,
            );
        });
        group(f, &Group::when("known", "three"), known == Known::Three, &mut |f| {
            let flow = |tag, key, label| {
                Field::new(tag, key, label, FLOW).range(0.0, l_h(100_000.0)).help("Read off the maker's curve.")
            };
            let head = |tag, key, label| Field::new(tag, key, label, LENGTH).range(0.0, 50.0).help("At that flow.");
            num(f, &flow(5, "second_flow", "Second point: flow"), &mut self.second.flow);
            num(f, &head(6, "second_head", "Second point: head"), &mut self.second.head);
            num(f, &flow(7, "third_flow", "Third point: flow"), &mut self.third.flow);
            num(f, &head(8, "third_head", "Third point: head"), &mut self.third.head);
        });
        group(f, &Group::when("known", "table"), known == Known::Table, &mut |f| {
            list(f, &List::new(9, "rows", "Curve", "point", 16).help("Flows rising, heads falling."), &mut self.rows);
        });
        let leads = self.leads;
        pick(
            f,
            &Pick::new(10, "leads", "Where the water goes").help("Tees share it by height and pipe."),
            &mut self.leads,
        );
        group(f, &Group::when("leads", "one"), leads == Leads::One, &mut |f| {
            lift(f, 11, &mut self.lift);
            wanted(f, 12, &mut self.wanted);
        });
        piping::choose(
            f,
            13,
            14,
            "Main pipe",
            "From the pump to the outlet, or to the first tee.",
            &mut self.pipe,
            &mut self.bore,
        );
        length(f, 15, "Length of the main pipe", &mut self.length);
        group(f, &Group::when("leads", "one"), leads == Leads::One, &mut |f| {
            valve(f, 16, 17, &mut self.valve, &mut self.open);
            ends(f, 18, &mut self.ends);
        });
        group(f, &Group::when("leads", "several"), leads == Leads::Several, &mut |f| {
            list(
                f,
                &List::new(19, "branches", "Outlets", "outlet", 6).help("In the order of their tees."),
                &mut self.branches,
            );
        });
        group(f, &Group::titled("More about the pipes"), true, &mut |f| {
            piping::bends(f, 20, 21, &mut self.elbows, &mut self.losses);
            let rough = Field::new(22, "roughness", "Roughness inside", SHORT_LENGTH)
                .range(0.0, mm(2.0))
                .advised(0.0, mm(0.5))
                .likely(mm(0.0015), mm(0.1))
                .source(&hyd::ROUGHNESS_NEW);
            num(
                f,
                &rough.help("New plastic 0.0015 mm (0.00006 in); with a film of slime 0.1 mm (0.004 in).").detail(),
                &mut self.roughness,
            );
            let fall = Field::new(23, "fall", "How far the sump's water falls", LENGTH)
                .range(0.0, 5.0)
                .advised(0.0, 1.0)
                .likely(0.05, 0.25)
                .source(&src::WATERWAYS_ASSUMED);
            num(
                f,
                &fall.help("At its lowest, below the level the lift is measured from. It adds to the lift.").detail(),
                &mut self.fall,
            );
            piping::warmth(f, 24, &mut self.temperature);
        });
        group(f, &Group::titled("More about the pump"), true, &mut |f| {
            pick(
                f,
                &Pick::new(25, "together", "Pumps")
                    .help("Two side by side give more, two in series push higher.")
                    .detail(),
                &mut self.together,
            );
            group(f, &Group::when("together", "parallel|series"), self.together != Together::Alone, &mut |f| {
                pick(
                    f,
                    &Pick::new(26, "alike", "Is the second like the first?").help("Unlike pumps share badly.").detail(),
                    &mut self.alike,
                );
                group(f, &Group::when("alike", "no"), !self.alike.yes(), &mut |f| {
                    let head = Field::new(27, "other_shut_off", "The second's most head", LENGTH)
                        .range(0.1, 50.0)
                        .advised(0.5, 12.0);
                    num(f, &head.help("At no flow.").detail(), &mut self.other_shut_off);
                    let flow = Field::new(28, "other_free_flow", "The second's most flow", FLOW)
                        .range(l_h(10.0), l_h(100_000.0))
                        .advised(l_h(100.0), l_h(20_000.0));
                    num(f, &flow.help("At no head.").detail(), &mut self.other_free_flow);
                });
            });
            pick(f, &Pick::new(29, "watts", "Its watts").help("A plug meter says best.").detail(), &mut self.watts);
            group(f, &Group::when("watts", "known"), self.watts == Watts::Known, &mut |f| {
                let field = Field::new(30, "label", "Electric power, all pumps", POWER)
                    .range(0.5, 20_000.0)
                    .advised(3.0, 1500.0);
                num(f, &field.help("On the label, or by a plug meter while it runs.").detail(), &mut self.label);
            });
        });
    }
}

/// The result.
#[derive(Debug, Clone)]
pub struct PumpOut {
    /// The pumps.
    pub pumps: Pumps,
    /// Supply pipes.
    pub way: Way,
    /// Flows with the sump at its usual level.
    pub usual: Flows,
    /// Flows with the sump at its lowest.
    pub low: Flows,
    /// Lift of every outlet.
    pub lifts: Vec<Length>,
    /// Flow wanted at every outlet.
    pub wanted: Vec<VolumeRate>,
    /// How far the sump's water falls.
    pub fall: Length,
    /// What the water gains.
    pub hydraulic: Power,
    /// What the plug gives.
    pub electric: (Power, Power),
    /// Wire-to-water efficiency.
    pub efficiency: (Ratio, Ratio),
    /// Energy a year.
    pub year: (Energy, Energy),
    /// Less head is asked than the last point of the curve has.
    pub beyond: bool,
}

/// Pump and supply pipes.
pub struct Pump;

fn fault(at: CurveFault, paths: [&str; 3]) -> Vec<FieldError> {
    vec![FieldError::new(paths[at.point.min(2)], at.fault, at.accepted)]
}

fn curve(i: &PumpIn) -> Result<Curve, Vec<FieldError>> {
    match i.known {
        Known::Ends => Curve::two_points(i.shut_off, i.free_flow, i.exponent)
            .map_err(|e| fault(e, ["shut_off", "free_flow", "exponent"])),
        Known::Three => {
            let at = |p: &CurvePoint| (p.flow, p.head);
            Curve::three_points(i.shut_off, at(&i.second), at(&i.third)).map_err(|e| {
                let flow = e.fault.contains("flow");
                fault(
                    e,
                    [
                        "shut_off",
                        if flow { "second_flow" } else { "second_head" },
                        if flow { "third_flow" } else { "third_head" },
                    ],
                )
            })
        }
        Known::Table => {
            let rows: Vec<_> = i.rows.iter().map(|r| (r.flow, r.head)).collect();
            Curve::table(&rows).map_err(|e| {
                let key = if e.fault.contains("flow") { "flow" } else { "head" };
                let path = if e.point < rows.len() { format!("rows.{}.{key}", e.point) } else { "rows".into() };
                vec![FieldError::new(path, e.fault, e.accepted)]
            })
        }
    }
}

/// The pumps of the inputs.
///
/// # Errors
/// Points that make no curve.
pub fn pumps(i: &PumpIn) -> Result<Pumps, Vec<FieldError>> {
    let second = if i.together == Together::Alone || i.alike.yes() {
        None
    } else {
        let other = Curve::two_points(i.other_shut_off, i.other_free_flow, i.exponent);
        Some(other.map_err(|e| fault(e, ["other_shut_off", "other_free_flow", "exponent"]))?)
    };
    Ok(Pumps { first: curve(i)?, second, together: i.together })
}

fn mouth(ends: Ends, k: Option<Ratio>) -> Mouth {
    match (ends, k) {
        (_, None) => Mouth::Shut,
        (Ends::Above, _) => Mouth::Air,
        (Ends::Under, _) => Mouth::Water,
    }
}

/// Each of two pumps side by side sends half through its check valve, which loses a quarter of what it would of all: so much of it is counted where
/// both flow as one.
const CHECKS: f64 = 4.0;

/// The supply pipes as a tree.
pub fn way(i: &PumpIn) -> Way {
    let bore = piping::bore(i.pipe, i.bore);
    let none = RATIO.of(0.0);
    let trunk = |length: Length, loss: Ratio| full::Pipe { bore, length, roughness: i.roughness, loss };
    let checks = if i.together == Together::Parallel { piping::check(bore) / CHECKS } else { none };
    let main = piping::entrance() + i.elbows * piping::elbow(bore) + i.losses + checks;
    match i.leads {
        Leads::One => {
            let k = pump::valve_loss(i.valve, i.open);
            let end = End::Outlet { height: i.lift, mouth: mouth(i.ends, k) };
            Way { pipe: trunk(i.length, main + piping::exit() + k.unwrap_or(none)), end }
        }
        Leads::Several => {
            // A single outlet hangs on no tee.
            let tees = i.branches.len() > 1;
            let branch = |b: &Branch| {
                let bore = piping::bore(b.pipe, b.bore);
                let k = pump::valve_loss(b.valve, b.open).filter(|_| b.held != Throttle::By(RATIO.of(f64::INFINITY)));
                let tee = if tees { piping::tee_branch(bore) } else { none };
                let loss = tee + b.elbows * piping::elbow(bore) + b.losses + piping::exit();
                let loss = if let Throttle::By(more) = b.held { loss + more } else { loss };
                let mouth = match (mouth(b.ends, k), b.held) {
                    (Mouth::Air | Mouth::Water, Throttle::At(most)) => Mouth::Held(most),
                    (as_it_is, _) => as_it_is,
                };
                Way {
                    pipe: full::Pipe { bore, length: b.length, roughness: i.roughness, loss: loss + k.unwrap_or(none) },
                    end: End::Outlet { height: b.lift, mouth },
                }
            };
            // From the last tee back to the first.
            let mut groups: Vec<(Length, Vec<Way>)> = vec![];
            for b in &i.branches {
                match groups.last_mut() {
                    Some((_, ways)) if b.between.value <= 0.0 => ways.push(branch(b)),
                    _ => groups.push((b.between, vec![branch(b)])),
                }
            }
            let mut tail: Option<Way> = None;
            for (at, (between, mut ways)) in groups.into_iter().enumerate().rev() {
                ways.extend(tail.take());
                // Main pipe that is said before the first tee is more of the same.
                let pipe =
                    if at == 0 { trunk(i.length + between, main) } else { trunk(between, piping::tee_run(bore)) };
                tail = Some(Way { pipe, end: End::Tee(ways) });
            }
            tail.unwrap_or(Way { pipe: trunk(i.length, main), end: End::Outlet { height: i.lift, mouth: Mouth::Shut } })
        }
    }
}

/// The pipes that end in outlets, and the head at the beginning of each, in the order of the tree.
fn mouths<'a>(
    way: &'a Way,
    head: Length,
    tees: &mut std::slice::Iter<'_, Length>,
    found: &mut Vec<(&'a full::Pipe, Length)>,
) {
    match &way.end {
        End::Outlet { .. } => found.push((&way.pipe, head)),
        End::Tee(ways) => {
            let head = tees.next().map_or(head, |h| *h);
            ways.iter().for_each(|w| mouths(w, head, tees, found));
        }
    }
}

/// What the valves lose that hold branches at so much, in place of that: so they stand, whatever comes later.
pub fn set_valves(i: &mut PumpIn, pumps: &Pumps) {
    let (way, nu) = (way(i), water::kinematic(i.temperature));
    let flows = network::solve(pumps, LENGTH.of(0.0), &way, nu);
    let mut ways = vec![];
    mouths(&way, flows.head, &mut flows.tees.iter(), &mut ways);
    for ((b, (pipe, head)), q) in i.branches.iter_mut().zip(ways).zip(flows.outlets) {
        if let Throttle::At(most) = b.held {
            let left = (head - b.lift - full::head_loss(pipe, q, nu)).value.max(0.0);
            b.held = match full::velocity(q, pipe.bore) {
                // What comes by itself needs no valve.
                _ if q < most => Throttle::Not,
                v if v.value > 0.0 => Throttle::By(RATIO.of(left * 2.0 * full::G / v.value.powi(2))),
                _ => Throttle::By(RATIO.of(f64::INFINITY)),
            };
        }
    }
}

/// Flow wanted against what comes with the sump at its lowest and as usual, at the outlet that is worst off.
fn served(o: &PumpOut) -> Level {
    let one = |k: usize| {
        let come = (o.low.outlets[k].max(FLOW.of(0.0)), o.usual.outlets[k].max(FLOW.of(0.0)));
        Level::upper_range("flow", "Flow wanted", FLOW, (o.wanted[k], o.wanted[k]), come)
    };
    let count = o.wanted.len().min(o.usual.outlets.len()).min(o.low.outlets.len());
    let worst = (0..count).map(one).max_by(|a, b| a.fullness().total_cmp(&b.fullness()));
    worst.unwrap_or_else(|| Level::upper("flow", "Flow wanted", FLOW, FLOW.of(0.0), o.low.pumped))
}

fn levels(_: &PumpIn, o: &PumpOut) -> Vec<Level> {
    vec![served(o), lifted(o)]
}

/// The highest outlet against the most that the pump can push.
pub fn lifted(o: &PumpOut) -> Level {
    let highest = o.lifts.iter().fold(LENGTH.of(0.0), |a, b| a.max(*b));
    let most = o.pumps.shut_off();
    Level::upper_range("lift", "Lift", LENGTH, (highest, highest + o.fall), (most, most))
}

/// What the plug gives for so much power in the water, least and most: as the label says, or as pumps usually do.
fn electric(i: &PumpIn, pumps: &Pumps, usual: &Flows, hydraulic: Power) -> (Power, Power) {
    if i.watts == Watts::Known {
        return (i.label, i.label);
    }
    let (least, most) = pump::usual_electric_power(hydraulic);
    let unlike = pumps.second.is_some() && i.together != Together::Alone;
    (least, if unlike { most.max(pumps.most_electric(usual.pumped, usual.head, i.temperature)) } else { most })
}

impl Calculator for Pump {
    type In = PumpIn;
    type Out = PumpOut;
    const ID: &'static str = "pump";
    const TITLE: &'static str = "Pump and supply pipes";
    const QUESTION: &'static str = "What does my pump really send?";
    const ANSWER: &'static str = "flow";
    const ABOUT: &'static str = "Where the pump's curve meets the lift and the friction of its pipes: the flow to each outlet, what valves do to it, the watts in \
        the water and from the plug, and the flow that every drain below must cope with. For full pipes of fresh water; the curve between its \
        known points is a guess, and the working point is never drawn on past them.";

    fn solve(i: &PumpIn, w: &mut Working) -> Result<PumpOut, Vec<FieldError>> {
        if i.leads == Leads::Several && i.branches.is_empty() {
            return refuse("branches", "there is no outlet", "one outlet or more");
        }
        let pumps = pumps(i)?;
        let way = way(i);
        let nu = water::kinematic(i.temperature);
        let usual = network::solve(&pumps, LENGTH.of(0.0), &way, nu);
        let low = if i.fall.value > 0.0 { network::solve(&pumps, -i.fall, &way, nu) } else { usual.clone() };
        let (lifts, wanted): (Vec<_>, Vec<_>) = match i.leads {
            Leads::One => (vec![i.lift], vec![i.wanted]),
            Leads::Several => i.branches.iter().map(|b| (b.lift, b.wanted)).unzip(),
        };
        let flow = usual.pumped;
        let hydraulic = pump::hydraulic_power(flow, usual.head, i.temperature);
        let electric = electric(i, &pumps, &usual, hydraulic);
        if hydraulic > electric.1 {
            return refuse(
                "label",
                "is less than the power that the water gains, so the curve or the watts are not this pump's",
                "more than the power in the water",
            );
        }
        let year = |p: Power| p * YEARS.of(years(1.0));
        let out = PumpOut {
            // Not a hair of rounding: the flow of the last known point itself.
            beyond: flow.value >= pumps.known_flow().value * (1.0 - 1e-6),
            efficiency: (pump::efficiency(hydraulic, electric.1), pump::efficiency(hydraulic, electric.0)),
            year: (year(electric.0), year(electric.1)),
            fall: i.fall,
            pumps,
            way,
            usual,
            low,
            lifts,
            wanted,
            hydraulic,
            electric,
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &PumpOut, s: &mut dyn Outputs) {
        const EACH: [(&str, &str); 6] = [
            ("outlet_1", "Flow of outlet 1"),
            ("outlet_2", "Flow of outlet 2"),
            ("outlet_3", "Flow of outlet 3"),
            ("outlet_4", "Flow of outlet 4"),
            ("outlet_5", "Flow of outlet 5"),
            ("outlet_6", "Flow of outlet 6"),
        ];
        out(s, "flow", "What it sends", FLOW, o.usual.pumped);
        out(s, "flow_low", "With the sump at its lowest", FLOW, o.low.pumped);
        out(s, "free_flow", "What every drain must cope with", FLOW, o.pumps.free_flow());
        out(s, "head", "Head it works against", LENGTH, o.usual.head);
        out(s, "shut_off", "Most head", LENGTH, o.pumps.shut_off());
        for (k, (key, label)) in EACH.into_iter().enumerate() {
            out_opt(s, key, label, FLOW, o.usual.outlets.get(k).copied());
        }
        out_opt(s, "tee_head", "Head at the first tee", LENGTH, o.usual.tees.first().copied());
        out(s, "hydraulic_power", "Power in the water", POWER, o.hydraulic);
        span(s, "electric_power", "Power from the plug", POWER, o.electric.0, o.electric.1);
        span(s, "efficiency", "Wire-to-water efficiency", PERCENT, o.efficiency.0, o.efficiency.1);
        span(s, "energy_year", "Energy a year", ENERGY, o.year.0, o.year.1);
        flag(s, "beyond_curve", "Past the last point of its curve", o.beyond);
    }

    fn level(o: &PumpOut) -> Option<Level> {
        Some(served(o))
    }

    fn cautions(i: &PumpIn, o: &PumpOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &PumpIn, o: &PumpOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

#[cfg(test)]
mod tests;
