//! Pump and supply pipes: what a pump really sends through its pipes, to each outlet, and for how many watts.

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
crate::choices!(Together:
    Alone = "alone", "One pump", "";
    Parallel = "parallel", "Two side by side", "into one pipe, each with a check valve";
    Series = "series", "Two one after the other", "";
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
        num(f, &between.help("0 for outlets that leave the same tee.").detail(), &mut self.between);
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
    num(f, &field.help("From the water in the sump up to the end of the pipe, or to the water it ends under."), value);
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
                    .help("Two side by side give more, one after the other push higher.")
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

/// The supply pipes as a tree.
pub fn way(i: &PumpIn) -> Way {
    let bore = piping::bore(i.pipe, i.bore);
    let none = RATIO.of(0.0);
    let trunk = |length: Length, loss: Ratio| full::Pipe { bore, length, roughness: i.roughness, loss };
    let main = piping::entrance() + i.elbows * piping::elbow(bore) + i.losses;
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
                let k = pump::valve_loss(b.valve, b.open);
                let tee = if tees { piping::tee_branch(bore) } else { none };
                let loss = tee + b.elbows * piping::elbow(bore) + b.losses + piping::exit();
                Way {
                    pipe: full::Pipe { bore, length: b.length, roughness: i.roughness, loss: loss + k.unwrap_or(none) },
                    end: End::Outlet { height: b.lift, mouth: mouth(b.ends, k) },
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
                let pipe = if at == 0 { trunk(i.length, main) } else { trunk(between, piping::tee_run(bore)) };
                tail = Some(Way { pipe, end: End::Tee(ways) });
            }
            tail.unwrap_or(Way { pipe: trunk(i.length, main), end: End::Outlet { height: i.lift, mouth: Mouth::Shut } })
        }
    }
}

fn curve_source(known: Known) -> &'static Source {
    match known {
        Known::Ends => &src::CURVE_TWO_POINTS,
        Known::Three => &src::CURVE_THREE_POINTS,
        Known::Table => &src::CURVE_TABLE,
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
        w.step(|| {
            let with =
                [term("H0", LENGTH, pumps.shut_off()), term("Qm", FLOW, pumps.free_flow()), term("Q", FLOW, flow)];
            let equation = match i.known {
                Known::Ends | Known::Three => "H = H0 (1 − (Q/Qm)^n)",
                Known::Table => "H on straight lines between the rows",
            };
            Step::new(
                "Head of the pump at its working point",
                equation,
                &with,
                term("H", LENGTH, usual.head),
                curve_source(i.known),
            )
        });
        if pumps.together != Together::Alone {
            w.step(|| {
                let equation =
                    if pumps.together == Together::Parallel { "Q = Q1(H) + Q2(H)" } else { "H = H1(Q) + H2(Q)" };
                Step::new(
                    "Two pumps",
                    equation,
                    &[term("H", LENGTH, usual.head)],
                    term("Q", FLOW, flow),
                    &src::PUMPS_TOGETHER,
                )
            });
        }
        let pipe = way.pipe;
        let lost = full::head_loss(&pipe, flow, nu);
        w.step(|| {
            let with = [
                term("Q", FLOW, flow),
                term("D", SHORT_LENGTH, pipe.bore),
                term("L", LENGTH, pipe.length),
                term("ΣK", RATIO, pipe.loss),
                term("V", VELOCITY, full::velocity(flow, pipe.bore)),
                term("Re", RATIO, full::reynolds(flow, pipe.bore, nu)),
            ];
            Step::new(
                "Head lost in the main pipe",
                "h = (f L/D + ΣK) V²/2g, f by Churchill",
                &with,
                term("h", LENGTH, lost),
                &hyd::DARCY_WEISBACH,
            )
        });
        if let Some(tee) = usual.tees.first() {
            w.step(|| {
                let with = [term("H", LENGTH, usual.head), term("h", LENGTH, lost)];
                Step::new(
                    "Head at the first tee",
                    "H_tee = H − h; inflow = outflow at every tee",
                    &with,
                    term("H_tee", LENGTH, *tee),
                    &src::NETWORK,
                )
            });
        }
        for (q, z) in usual.outlets.iter().zip(&lifts) {
            w.step(|| {
                let with = [term("z", LENGTH, *z)];
                Step::new(
                    "Flow of an outlet",
                    "root of H = z + (f L/D + ΣK) V²/2g",
                    &with,
                    term("Q", FLOW, *q),
                    &src::NETWORK,
                )
            });
        }
        w.step(|| {
            let with = [term("z_s", LENGTH, -i.fall)];
            Step::new(
                "The same with the sump at its lowest",
                "the same sums, every lift higher by the fall",
                &with,
                term("Q", FLOW, low.pumped),
                &src::NETWORK,
            )
        });
        let hydraulic = pump::hydraulic_power(flow, usual.head, i.temperature);
        w.step(|| {
            let with = [
                term("ρ", DENSITY, water::density(i.temperature)),
                term("Q", FLOW, flow),
                term("H", LENGTH, usual.head),
            ];
            Step::new("Power in the water", "P = ρ g Q H", &with, term("P", POWER, hydraulic), &src::PUMP_POWER)
        });
        let electric = match i.watts {
            Watts::Known => (i.label, i.label),
            Watts::Guessed => pump::usual_electric_power(hydraulic),
        };
        if hydraulic > electric.1 {
            return refuse(
                "label",
                "is less than the power that the water gains, so the curve or the watts are not this pump's",
                "more than the power in the water",
            );
        }
        let efficiency = (pump::efficiency(hydraulic, electric.1), pump::efficiency(hydraulic, electric.0));
        if electric.1.value > 0.0 {
            w.step(|| {
                let with = [term("P_water", POWER, hydraulic), term("P_plug", POWER, electric.1)];
                let source = if i.watts == Watts::Known { &src::PUMP_POWER } else { &src::WIRE_TO_WATER };
                Step::new(
                    "Wire-to-water efficiency",
                    "η = P_water/P_plug (low end)",
                    &with,
                    term("η", PERCENT, efficiency.0),
                    source,
                )
            });
        }
        let year = |p: Power| p * YEARS.of(years(1.0));
        w.step(|| {
            let with = [term("P", POWER, electric.1)];
            Step::new(
                "Energy a year (high end)",
                "E = P × 365.25 × 24 h",
                &with,
                term("E", ENERGY, year(electric.1)),
                &src::PUMP_POWER,
            )
        });
        // Not a hair of rounding: the flow of the last known point itself.
        let beyond = flow.value >= pumps.known_flow().value * (1.0 - 1e-6);
        Ok(PumpOut {
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
            efficiency,
            beyond,
        })
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
        cautions(i, o, words)
    }

    fn report(i: &PumpIn, o: &PumpOut, words: Words) -> Report {
        let mut tables = vec![];
        if i.leads == Leads::Several {
            tables.push(outlets(i, o, words));
        }
        if o.usual.pumped.value > 0.0 {
            tables.push(throttled(i, o, words));
        }
        Report {
            verdict: verdict(i, o, words),
            levels: levels(i, o),
            repairs: repairs(i, o, words),
            cautions: cautions(i, o, words),
            pictures: vec![Picture::Chart(curves(i, o, words))],
            tables,
            notes: notes(i, o, words),
        }
    }
}

/// Every outlet's valve.
fn valves(i: &PumpIn) -> Vec<(Valve, Ratio)> {
    match i.leads {
        Leads::One => vec![(i.valve, i.open)],
        Leads::Several => i.branches.iter().map(|b| (b.valve, b.open)).collect(),
    }
}

fn verdict(i: &PumpIn, o: &PumpOut, w: Words) -> String {
    let q = |x| w.q(FLOW, x);
    if o.usual.pumped.value <= 0.0 {
        let valves = valves(i);
        let open = o.lifts.iter().zip(&valves).filter(|(_, (v, open))| pump::valve_loss(*v, *open).is_some());
        return match open.map(|(lift, _)| *lift).reduce(Length::min) {
            None => "Sends nothing: every valve is shut.".into(),
            Some(lowest) => {
                let all = o.lifts.iter().all(|lift| *lift >= lowest);
                format!(
                    "Sends nothing: the outlet{} stands {} over the water, and the pump pushes {} at most.",
                    if all { "" } else { " that is not shut" },
                    w.q(LENGTH, lowest),
                    w.q(LENGTH, o.pumps.shut_off())
                )
            }
        };
    }
    // Past the last point of its curve nothing is known.
    let guessed = o.pumps.known_flow().value < o.pumps.free_flow().value * (1.0 - 1e-6);
    let sends = format!(
        "Sends {} of the {}{} it can give without any lift, against {}.",
        q(o.usual.pumped),
        if guessed { "perhaps " } else { "" },
        q(o.pumps.free_flow()),
        w.q(LENGTH, o.usual.head)
    );
    let level = served(o);
    let short: Vec<_> =
        (0..o.wanted.len()).filter(|&k| o.wanted[k] > o.low.outlets.get(k).copied().unwrap_or(FLOW.of(0.0))).collect();
    let rest = if o.wanted.iter().all(|x| x.value <= 0.0) {
        String::new()
    } else if short.is_empty() {
        match level.state() {
            State::Enough => " That is enough.".into(),
            _ => " That is only just enough.".into(),
        }
    } else if o.wanted.len() == 1 && o.usual.pumped >= o.wanted[0] {
        format!(" You need {}: too little once the sump is at its lowest, {}.", q(o.wanted[0]), q(o.low.pumped))
    } else if o.wanted.len() == 1 {
        format!(" You need {}: too little.", q(o.wanted[0]))
    } else {
        let which: Vec<_> = short
            .iter()
            .map(|&k| format!("outlet {} gets {} of {}", k + 1, q(o.low.outlets[k].max(FLOW.of(0.0))), q(o.wanted[k])))
            .collect();
        let when = if o.fall.value > 0.0 { " with the sump at its lowest" } else { "" };
        format!(" Too little{when}: {}.", which.join(", "))
    };
    sends + &rest
}

/// The first is [`src::FREE_FLOW_RULE`].
fn notes(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<String> {
    let mut notes = vec![format!(
        "Every drain below must cope with {}, the flow without any lift: valves get opened, branches get blocked, and sumps stand higher \
         than planned.",
        w.q(FLOW, o.pumps.free_flow())
    )];
    if o.fall.value > 0.0 && o.low.pumped < o.usual.pumped {
        notes.push(format!("With the sump {} lower it sends {}.", w.q(SHORT_LENGTH, o.fall), w.q(FLOW, o.low.pumped)));
    }
    match i.known {
        Known::Ends => notes.push(
            "The curve between the two points on the box is a guess. Catch the flow in a bucket and compare.".into(),
        ),
        Known::Three | Known::Table => {}
    }
    if i.watts == Watts::Guessed {
        notes.push("Watts are a range for pumps of this size; a plug meter says what this one takes.".into());
    }
    notes
}

fn cautions(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let lift = &levels(i, o)[1];
    if o.usual.pumped.value <= 0.0 || o.low.pumped.value <= 0.0 {
        all.push(Caution::new(
            "A pump that sends nothing warms the water in itself and wears out, and nothing moves in the tanks. Lower the outlet, open the valve, or take a \
             pump with more head.",
        ));
    } else if lift.state() != State::Enough {
        all.push(Caution::new(format!(
            "The lift is near the most the pump can push ({}): a little dirt or a lower sump stops the flow. Small pumps lose head with age.",
            w.q(LENGTH, o.pumps.shut_off())
        )));
    }
    if o.beyond {
        all.push(Caution::from(
            format!(
                "The pipes ask for less head than the last point of the curve has. The pump gives at least {}; how much more is not known.",
                w.q(FLOW, o.usual.pumped)
            ),
            curve_source(i.known),
        ));
    }
    if shorter_than_its_lift(i) {
        all.push(Caution::new(
            "The pipe is shorter than the height that it has to rise: count its whole length, from the pump to its end.",
        ));
    }
    if valves(i).iter().any(|(v, open)| *v != Valve::Missing && *open < pump::valve_known(*v) && open.value > 0.0) {
        all.push(Caution::from(
            "A valve so nearly shut is past the printed losses: its flow is a guess, and a snail stops it. Measure it with a bucket.",
            &src::VALVE_BETWEEN,
        ));
    }
    let under = match i.leads {
        Leads::One => i.ends == Ends::Under,
        Leads::Several => i.branches.iter().any(|b| b.ends == Ends::Under),
    };
    if under {
        all.push(Caution::from(
            "A return that ends under water siphons the tank back into the sump when the pump stops, down to its end. End it above the highest \
             water. If it must be under water, drill a hole of 5 to 6 mm (1/4 in), 10 to 20 mm (3/8 to 3/4 in) below the normal water line, on the tank side of the \
             bend, keep it clear, and count the tank down to that hole as drain-back. A check valve is no substitute, and through a tee it siphons into \
             the lower branches even while the pump is valved off.",
            &src::AIR_HOLE,
        ));
    }
    if o.usual.outlets.iter().chain(&o.low.outlets).any(|q| q.value < 0.0) {
        all.push(Caution::new("Water runs back through an outlet that ends under water, into the lower branches."));
    }
    if i.together == Together::Parallel {
        all.push(Caution::new(
            "Pumps side by side need a check valve each, or one that stops lets the water of the other run back.",
        ));
    }
    all.push(Caution::from(piping::ELECTRICITY, &src::RESIDUAL_CURRENT));
    all
}

/// Does an outlet stand higher than its pipes are long? The pump itself may stand as high as the sump's water.
fn shorter_than_its_lift(i: &PumpIn) -> bool {
    match i.leads {
        Leads::One => i.length < i.lift,
        Leads::Several => {
            let mut main = i.length;
            i.branches.iter().enumerate().any(|(k, b)| {
                // To the first tee it is the main pipe alone.
                main += if k > 0 { b.between } else { LENGTH.of(0.0) };
                main + b.length < b.lift
            })
        }
    }
}

/// Every outlet: what it gets, what it would get alone.
fn outlets(i: &PumpIn, o: &PumpOut, w: Words) -> Table {
    let nu = water::kinematic(i.temperature);
    let rows = (0..i.branches.len()).map(|k| {
        let mut alone = i.clone();
        for (j, b) in alone.branches.iter_mut().enumerate() {
            if j == k {
                b.open = PERCENT.of(1.0);
            } else {
                (b.valve, b.open) = (Valve::Ball, PERCENT.of(0.0));
            }
        }
        let most = network::solve(&o.pumps, LENGTH.of(0.0), &way(&alone), nu);
        let at = |f: &Flows| f.outlets.get(k).copied().unwrap_or(FLOW.of(0.0));
        vec![
            format!("Outlet {}", k + 1),
            w.q(LENGTH, o.lifts[k]),
            w.q(FLOW, o.wanted[k]),
            w.q(FLOW, at(&o.usual)),
            w.q(FLOW, at(&o.low)),
            w.q(FLOW, at(&most)),
            w.q(FLOW, o.pumps.free_flow()),
        ]
    });
    let head = [
        "Outlet",
        "Lift",
        "Needed",
        "Gets",
        "Sump at its lowest",
        "Alone, the others shut",
        "Its drain must cope with",
    ];
    Table { title: "Outlets".into(), head: head.map(str::to_string).to_vec(), rows: rows.collect() }
}

/// What a partly closed valve does.
fn throttled(i: &PumpIn, o: &PumpOut, w: Words) -> Table {
    let nu = water::kinematic(i.temperature);
    let at = match i.leads {
        Leads::One => None,
        Leads::Several => Some(i.branches.iter().position(|b| b.valve != Valve::Missing).unwrap_or(0)),
    };
    let valve = match at {
        None => i.valve,
        Some(k) => i.branches.get(k).map_or(Valve::Missing, |b| b.valve),
    };
    let kind = if valve == Valve::Missing { Valve::Ball } else { valve };
    let name = if kind == Valve::Gate { "gate valve" } else { "ball valve" };
    let mut head = vec!["Open".to_string(), "Sends in all".into(), "Head".into(), "Power in the water".into()];
    if let Some(k) = at {
        head.insert(2, format!("Outlet {}", k + 1));
    }
    let rows = [100, 75, 50, 40, 35, 30].map(|open| {
        let share = PERCENT.of(f64::from(open) / 100.0);
        let mut set = i.clone();
        match at {
            None => (set.valve, set.open) = (kind, share),
            Some(k) => {
                if let Some(b) = set.branches.get_mut(k) {
                    (b.valve, b.open) = (kind, share);
                }
            }
        }
        let f = network::solve(&o.pumps, LENGTH.of(0.0), &way(&set), nu);
        let mut row = vec![
            w.q(PERCENT, share),
            w.q(FLOW, f.pumped),
            w.q(LENGTH, f.head),
            w.q(POWER, pump::hydraulic_power(f.pumped, f.head, i.temperature)),
        ];
        if let Some(k) = at {
            row.insert(2, w.q(FLOW, f.outlets.get(k).copied().unwrap_or(FLOW.of(0.0))));
        }
        row
    });
    let title = match at {
        None => format!("What a {name} does: little until it is nearly shut"),
        Some(k) => format!("What a {name} at outlet {} does: little until it is nearly shut", k + 1),
    };
    Table { title, head, rows: rows.to_vec() }
}

/// A change that may help.
struct Try {
    title: String,
    edits: Vec<Edit>,
}

/// The least pipe of a family, wider than what is there, that does; else the next size.
fn wider(pipe: &Pipe, bore: Length, enough: impl Fn(&'static Pipe) -> bool) -> Option<&'static Pipe> {
    let sizes: Vec<&'static Pipe> = pipe.wider(bore, piping::family(pipe)).collect();
    sizes.iter().copied().find(|p| enough(p)).or(sizes.first().copied())
}

/// Steps in which the opening of a valve is tried.
const OPENINGS: u32 = 12;
/// Steps in which several valves are shut together.
const NOTCH: f64 = 0.05;

/// Valves on two outlets or more: always the one that has most to spare is shut by a notch, until the worst has enough. None where one valve does, or
/// where nothing is left to spare.
fn balanced(i: &PumpIn, o: &PumpOut, w: Words) -> Option<(String, Vec<Edit>)> {
    let mut set = i.clone();
    let mut flows = o.low.clone();
    let nu = water::kinematic(i.temperature);
    for _ in 0..i.branches.len() as u32 * OPENINGS {
        // How much of what comes is wanted.
        let share = |k: usize| o.wanted[k].value / flows.outlets.get(k).map_or(0.0, |q| q.value).max(1e-12);
        if (0..set.branches.len()).all(|k| share(k) <= ENOUGH) {
            let shut = set.branches.iter().zip(&i.branches).enumerate().filter(|(_, (new, old))| new != old);
            let (mut said, mut edits) = (vec![], vec![]);
            for (k, (b, _)) in shut {
                let name = if b.valve == Valve::Gate { "gate" } else { "ball" };
                said.push(format!("a {name} valve on outlet {}, {} open", k + 1, w.q(PERCENT, b.open)));
                edits.push(Edit::pick(format!("branches.{k}.valve"), name));
                edits.push(Edit::num(format!("branches.{k}.open"), b.open));
            }
            return (said.len() > 1).then(|| (said.join(", and "), edits));
        }
        let notch = |b: &Branch| {
            let (valve, open) = match b.valve {
                Valve::Missing => (Valve::Ball, 1.0),
                known => (known, b.open.value),
            };
            let to = ((open - NOTCH) / NOTCH).round() * NOTCH;
            // No nearer to shut than the printed losses go.
            (to > pump::valve_known(valve).value).then_some((valve, PERCENT.of(to)))
        };
        let (k, (valve, open)) = (0..set.branches.len())
            .filter(|&k| share(k) < ENOUGH)
            .filter_map(|k| Some((k, notch(&set.branches[k])?)))
            .min_by(|a, b| share(a.0).total_cmp(&share(b.0)))?;
        (set.branches[k].valve, set.branches[k].open) = (valve, open);
        flows = network::solve(&o.pumps, -i.fall, &way(&set), nu);
    }
    None
}

/// Changes that may help, smallest first.
fn tries(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<Try> {
    let mut all = vec![];
    let mut add = |title: String, edits: Vec<Edit>| all.push(Try { title, edits });
    let load = |edits: &[Edit]| mend::outcome::<Pump>(i, edits).map_or(f64::INFINITY, |o| served(&o).fullness());
    let enough = |edits: &[Edit]| load(edits) <= ENOUGH;
    let got = |k: usize| o.low.outlets.get(k).map_or(0.0, |q| q.value).max(1e-12);
    let by_load = |a: &usize, b: &usize| (o.wanted[*a].value / got(*a)).total_cmp(&(o.wanted[*b].value / got(*b)));
    // Open what is throttled, but not what has enough.
    let throttled = |valve: Valve, open: Ratio| valve != Valve::Missing && open.value < 1.0;
    let opened: Vec<Edit> = match i.leads {
        Leads::One if throttled(i.valve, i.open) => vec![Edit::num("open", PERCENT.of(1.0))],
        Leads::One => vec![],
        Leads::Several => {
            let short = |k: usize| o.wanted[k].value > ENOUGH * got(k);
            let here = |(k, b): (usize, &Branch)| {
                let open = Edit::num(format!("branches.{k}.open"), PERCENT.of(1.0));
                (throttled(b.valve, b.open) && short(k)).then_some(open)
            };
            i.branches.iter().enumerate().filter_map(here).collect()
        }
    };
    if !opened.is_empty() {
        add("the valve fully open".into(), opened);
    }
    if i.leads == Leads::Several && i.branches.len() > 1 {
        // A valve on the outlet that has most to spare.
        if let Some(k) = (0..i.branches.len()).min_by(by_load) {
            let b = &i.branches[k];
            let (name, from) = match b.valve {
                Valve::Missing => ("ball", 1.0),
                Valve::Ball => ("ball", b.open.value),
                Valve::Gate => ("gate", b.open.value),
            };
            let set = |x: f64| {
                vec![
                    Edit::pick(format!("branches.{k}.valve"), name),
                    Edit::num(format!("branches.{k}.open"), PERCENT.of(x)),
                ]
            };
            // No nearer to shut than the printed losses go.
            let least = pump::valve_known(if name == "gate" { Valve::Gate } else { Valve::Ball }).value;
            let steps: Vec<f64> = (1..OPENINGS)
                .map(|n| ((from - (from - least) * f64::from(n) / f64::from(OPENINGS)) * 100.0).round() / 100.0)
                .filter(|x| *x > least && *x < from)
                .collect();
            let best = steps.iter().find(|x| enough(&set(**x))).or_else(|| {
                // Where it helps most: in the end the throttled outlet is the worst.
                steps.iter().min_by(|a, b| load(&set(**a)).total_cmp(&load(&set(**b))))
            });
            if let Some(x) = best {
                add(format!("a {name} valve on outlet {}, {} open", k + 1, w.q(PERCENT, PERCENT.of(*x))), set(*x));
            }
        }
        if let Some((title, edits)) = balanced(i, o, w) {
            add(title, edits);
        }
        // A wider pipe to the outlet that is worst off.
        if let Some(k) = (0..i.branches.len()).max_by(by_load) {
            let b = &i.branches[k];
            let edits = |p: &Pipe| vec![Edit::pick(format!("branches.{k}.pipe"), p.id)];
            if let Some(p) = wider(b.pipe, piping::bore(b.pipe, b.bore), |p| enough(&edits(p))) {
                add(format!("{} to outlet {}", p.words(w.system), k + 1), edits(p));
            }
        }
    }
    let main = |p: &Pipe| vec![Edit::pick("pipe", p.id)];
    if let Some(p) = wider(i.pipe, piping::bore(i.pipe, i.bore), |p| enough(&main(p))) {
        add(format!("{} as main pipe", p.words(w.system)), main(p));
    }
    if i.leads == Leads::One && i.lift.value > 0.0 {
        let edit = |x: f64| vec![Edit::num("lift", LENGTH.of(x))];
        if let Some(x) = mend::just_enough::<Pump>(i, Pump::level, edit, i.lift.value, 0.0).filter(|x| *x > 0.0) {
            let to = LENGTH.of(mend::rounded(x, i.lift.value, w.step(LENGTH, 0.05)).max(0.0));
            add(format!("the outlet only {} over the water", w.q(LENGTH, to)), edit(to.value));
        }
    }
    // A stronger pump of the same shape.
    if i.known == Known::Ends {
        let scaled = |x: f64| {
            let flow = FLOW.of((i.free_flow.value * x).min(l_h(100_000.0)));
            let head = LENGTH.of((i.shut_off.value * x.sqrt()).min(50.0));
            let mut edits = vec![Edit::num("free_flow", flow), Edit::num("shut_off", head)];
            // The watts that are known are those of the old one.
            if i.watts == Watts::Known {
                edits.push(Edit::pick("watts", "guessed"));
            }
            edits
        };
        if let Some(x) = mend::just_enough::<Pump>(i, Pump::level, scaled, 1.0, 6.0) {
            let x = mend::rounded(x, 1.0, 0.05);
            let edits = scaled(x);
            if let [Edit { to: EditValue::Si(q), .. }, Edit { to: EditValue::Si(h), .. }, ..] = edits[..] {
                add(format!("a pump of {} and {}", w.q(FLOW, FLOW.of(q)), w.q(LENGTH, LENGTH.of(h))), edits);
            }
        }
    }
    if i.together == Together::Alone {
        for (id, title) in [
            ("parallel", "a second pump like it, side by side"),
            ("series", "a second pump like it, one after the other"),
        ] {
            let mut edits = vec![Edit::pick("together", id), Edit::pick("alike", "yes")];
            if i.watts == Watts::Known {
                edits.push(Edit::num("label", i.label * 2.0));
            }
            add(title.into(), edits);
        }
    }
    all
}

/// What brings the worst outlet to 80 %, each by itself; where no pipe or valve does, the first pair that does; where nothing does, what comes
/// nearest.
fn repairs(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<Repair> {
    if served(o).state() == State::Enough {
        return vec![];
    }
    let before = levels(i, o);
    let of = |t: &Try| {
        let mut r = mend::mend::<Pump>(i, &before, levels, "flow", t.title.clone(), t.edits.clone(), w.system)?;
        let free = mend::outcome::<Pump>(i, &t.edits)?.pumps.free_flow();
        if free.value > o.pumps.free_flow().value * (1.0 + 1e-9) {
            let drains = format!("every drain must then cope with {}", w.q(FLOW, free));
            r.also = Some(r.also.map_or(drains.clone(), |a| format!("{a}; {drains}")));
        }
        Some(r)
    };
    let tries = tries(i, o, w);
    let all: Vec<(&Try, Repair)> = tries.iter().filter_map(|t| Some((t, of(t)?))).collect();
    let mut good: Vec<Repair> =
        all.iter().filter(|(_, r)| r.level.state() == State::Enough).map(|(_, r)| r.clone()).collect();
    // Two changes of pipes and valves are less than another pump.
    let pump = |t: &Try| t.edits.iter().any(|e| e.path == "free_flow" || e.path == "together");
    if !all.iter().any(|(t, r)| !pump(t) && r.level.state() == State::Enough) {
        let pipes: Vec<_> = all.iter().filter(|(t, _)| !pump(t)).cloned().collect();
        if let Some(r) = pair(&pipes, &of) {
            good.insert(0, r);
        }
    }
    if good.is_empty() {
        good.extend(pair(&all, &of));
    }
    if good.is_empty() {
        let mut near: Vec<Repair> = all.into_iter().map(|(_, r)| r).collect();
        near.sort_by(|a, b| a.level.fullness().total_cmp(&b.level.fullness()));
        near.truncate(2);
        return near;
    }
    // After those that do: those that only just do.
    good.extend(all.into_iter().map(|(_, r)| r).filter(|r| r.level.state() == State::Tight));
    good
}

/// The first pair of changes that brings 80 %.
fn pair(all: &[(&Try, Repair)], of: &impl Fn(&Try) -> Option<Repair>) -> Option<Repair> {
    all.iter().enumerate().find_map(|(n, (a, _))| {
        all[n + 1..].iter().find_map(|(b, _)| {
            if a.edits.iter().any(|x| b.edits.iter().any(|y| x.path == y.path)) {
                return None;
            }
            let edits = a.edits.iter().chain(&b.edits).cloned().collect();
            let both = Try { title: format!("{}, and {}", a.title, b.title), edits };
            of(&both).filter(|r| r.level.state() == State::Enough)
        })
    })
}

/// Pump curve, system curve, working point.
fn curves(i: &PumpIn, o: &PumpOut, w: Words) -> Chart {
    const POINTS: u32 = 40;
    let nu = water::kinematic(i.temperature);
    let (free, known, top) = (o.pumps.free_flow().value, o.pumps.known_flow().value, o.pumps.shut_off().value);
    let at = |k: u32| free * f64::from(k) / f64::from(POINTS);
    let pump: Vec<_> = (0..=POINTS).map(|k| (at(k), o.pumps.head(FLOW.of(at(k))).value)).collect();
    let ceiling = top * 1.15;
    let mut system = vec![];
    if o.usual.outlets.iter().any(|q| q.value != 0.0) {
        for k in 0..=POINTS {
            let h = network::head_asked(FLOW.of(at(k)), LENGTH.of(0.0), &o.way, nu).value;
            if h > ceiling {
                break;
            }
            system.push((at(k), h));
        }
    }
    let mut bands = vec![];
    if known < free * (1.0 - 1e-9) {
        bands.push(Band { label: "past the known points".into(), from: known, to: free, warn: true });
    }
    let (flow, head) = (o.usual.pumped, o.usual.head);
    Chart {
        title: "Pump and pipes".into(),
        describe: format!(
            "The pump's head falls from {} at no flow to none at {}; what lift and pipes ask rises with the flow. They meet at {} and {}.",
            w.q(LENGTH, o.pumps.shut_off()),
            w.q(FLOW, o.pumps.free_flow()),
            w.q(FLOW, flow),
            w.q(LENGTH, head)
        ),
        x: Axis::new("flow", FLOW.0, 0.0, free, w.system),
        y: Axis::new("head", LENGTH.0, 0.0, ceiling, w.system),
        series: vec![
            Series { name: "pump".into(), role: Role::Pipe, points: pump },
            Series { name: "lift and pipes".into(), role: Role::Water, points: system },
        ],
        marks: vec![Mark {
            label: format!("{}, {}", w.q(FLOW, flow), w.q(LENGTH, head)),
            x: flow.value,
            y: head.value,
        }],
        bands,
        brim: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::solve;

    fn near(got: f64, expect: f64, tolerance: f64) {
        assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
    }
    fn run(i: &PumpIn) -> PumpOut {
        solve::<Pump>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
    }
    fn refused(i: &PumpIn) -> FieldError {
        solve::<Pump>(i, &mut Working::none()).expect_err("refused").swap_remove(0)
    }
    fn lph(q: VolumeRate) -> f64 {
        q.value * 3.6e6
    }
    /// A pipe that loses 2e-7 (Q in L/h)² m and nothing else: 20 mm, no friction worth the name, K of 5.016.
    fn square() -> PumpIn {
        let area = std::f64::consts::FRAC_PI_4 * 0.02f64.powi(2);
        let k = 2e-7 * 3.6e6f64.powi(2) * 2.0 * 9.806_65 * area * area;
        PumpIn {
            pipe: piping::named("other"),
            bore: SHORT_LENGTH.of(mm(20.0)),
            length: LENGTH.of(0.05),
            elbows: COUNT.of(0.0),
            losses: RATIO.of(k - 1.5),
            lift: LENGTH.of(1.0),
            fall: LENGTH.of(0.0),
            ..PumpIn::default()
        }
    }

    #[test]
    fn the_working_point() {
        // 2.5 m and 2500 L/h, n = 2, against 1.0 m + 2e-7 Q²: 1581.1 L/h at 1.500 m by hand. Five centimetres of friction cost 0.6 %.
        let o = run(&square());
        near(lph(o.usual.pumped), 1581.1, 10.0);
        near(o.usual.head.value, 1.500, 0.01);
        near(o.hydraulic.value, 998.2 * 9.806_65 * o.usual.pumped.value * o.usual.head.value, 1e-3);
        near(lph(o.pumps.free_flow()), 2500.0, 1e-6);
        // 35 W all year are 306.81 kWh (365.25 days).
        let o = run(&PumpIn { watts: Watts::Known, label: POWER.of(35.0), ..square() });
        near(o.year.0.value / 3.6e6, 306.81, 1e-6);
        near(o.efficiency.0.value, o.hydraulic.value / 35.0, 1e-12);
    }

    #[test]
    fn three_points_and_tables() {
        let three = PumpIn { known: Known::Three, shut_off: LENGTH.of(2.6), ..square() };
        let o = run(&three);
        near(o.pumps.first.exponent().expect("n").value, 1.7320, 5e-5);
        near(o.pumps.head(FLOW.of(l_h(1600.0))).value, 1.4479, 5e-5);
        let table = PumpIn { known: Known::Table, ..square() };
        let o = run(&table);
        near(o.pumps.head(o.usual.pumped).value, o.usual.head.value, 1e-4);
        let mut rising = table.clone();
        rising.rows[2].head = LENGTH.of(2.3);
        assert_eq!(refused(&rising).path, "rows.2.head");
        rising.rows[2].flow = FLOW.of(l_h(900.0));
        assert_eq!(refused(&rising).path, "rows.2.flow");
        assert_eq!(refused(&PumpIn { rows: vec![], ..table }).path, "rows");
        let flat = PumpIn { third: three.second.clone(), ..three };
        assert_eq!(refused(&flat).path, "third_flow");
    }

    #[test]
    fn never_drawn_on_past_the_last_point() {
        // A short wide pipe asks 0.3 m; the table ends at 1.0 m.
        let mut i = PumpIn { known: Known::Table, lift: LENGTH.of(0.1), pipe: piping::named("pvc_63"), ..square() };
        i.losses = RATIO.of(0.0);
        i.rows.truncate(3);
        let o = run(&i);
        near(lph(o.usual.pumped), 1800.0, 1e-3);
        assert!(o.beyond && lph(o.pumps.free_flow()) > 2500.0);
        let said = Pump::report(&i, &o, Words::default());
        assert!(said.cautions.iter().any(|c| c.text.contains("at least")));
        assert!(!run(&square()).beyond);
    }

    #[test]
    fn dead_headed() {
        let i = PumpIn { lift: LENGTH.of(2.6), ..square() };
        let o = run(&i);
        let report = Pump::report(&i, &o, Words::default());
        assert_eq!(o.usual.pumped.value, 0.0);
        assert!(report.verdict.starts_with("Sends nothing: the outlet stands 2.6"), "{}", report.verdict);
        assert!(report.cautions[0].text.contains("warms the water"));
        assert!(report.levels.iter().all(|l| l.state() == State::Over));
        assert!(report.repairs.iter().any(|r| r.title.contains("one after the other")), "{:?}", report.repairs);
        let shut = PumpIn { valve: Valve::Ball, open: PERCENT.of(0.0), ..square() };
        assert!(Pump::report(&shut, &run(&shut), Words::default()).verdict.contains("every valve is shut"));
    }

    #[test]
    fn what_keeps_it_from_sending() {
        let branch = |lift: f64| Branch { lift: LENGTH.of(lift), ..Branch::default() };
        // One is shut, the other too high: not every valve is shut.
        let shut = Branch { valve: Valve::Ball, open: PERCENT.of(0.0), ..branch(0.5) };
        let i = PumpIn { leads: Leads::Several, branches: vec![shut, branch(3.0)], ..PumpIn::default() };
        let said = Pump::report(&i, &run(&i), Words::default()).verdict;
        assert!(said.starts_with("Sends nothing: the outlet that is not shut stands 3"), "{said}");
        // Enough as usual, too little with the sump at its lowest: it is said which.
        let i = PumpIn { fall: LENGTH.of(0.1), ..square() };
        let o = run(&i);
        let i = PumpIn { wanted: FLOW.of((o.usual.pumped.value + o.low.pumped.value) / 2.0), ..i };
        let said = Pump::report(&i, &run(&i), Words::default()).verdict;
        assert!(said.contains("too little once the sump is at its lowest"), "{said}");
        // A pipe that is shorter than its lift.
        let says = |i: &PumpIn| Pump::report(i, &run(i), Words::default()).cautions;
        let i = PumpIn { lift: LENGTH.of(2.3), length: LENGTH.of(0.5), ..PumpIn::default() };
        assert!(says(&i).iter().any(|c| c.text.contains("shorter than the height")));
        assert!(says(&PumpIn::default()).iter().all(|c| !c.text.contains("shorter than the height")));
    }

    #[test]
    fn valves_on_two_outlets_before_another_pump() {
        let (ft, gal) = (0.3048, 3.785_411_784);
        let branch = |lift: f64, wanted: f64, between: f64| Branch {
            lift: LENGTH.of(lift * ft),
            wanted: FLOW.of(l_h(wanted * gal)),
            between: LENGTH.of(between * ft),
            ..Branch::default()
        };
        let none = Branch::default().between.value / ft;
        let i = PumpIn {
            leads: Leads::Several,
            pipe: piping::named("sch40_1"),
            shut_off: LENGTH.of(9.0 * ft),
            free_flow: FLOW.of(l_h(700.0 * gal)),
            branches: vec![branch(4.0, 120.0, none), branch(2.0, 100.0, none), branch(6.0, 30.0, 5.0)],
            ..PumpIn::default()
        };
        let o = run(&i);
        assert_ne!(served(&o).state(), State::Enough);
        let all = Pump::report(&i, &o, Words::default()).repairs;
        let valves =
            all.iter().find(|r| r.title.matches("valve on outlet").count() == 2).unwrap_or_else(|| panic!("{all:?}"));
        assert_eq!(valves.level.state(), State::Enough);
        let after = run(&mend::changed::<Pump>(&i, &valves.edits).expect("changed"));
        assert_eq!(after.pumps.free_flow(), o.pumps.free_flow());
        assert_eq!(served(&after), valves.level);
    }

    #[test]
    fn tees_and_branches() {
        let i = PumpIn { leads: Leads::Several, ..PumpIn::default() };
        let o = run(&i);
        near(o.usual.outlets.iter().map(|q| q.value).sum::<f64>(), o.usual.pumped.value, 1e-12);
        // The lower of two like branches gets more; both less than one alone.
        assert!(o.usual.outlets[1] > o.usual.outlets[0]);
        let single = PumpIn { branches: vec![i.branches[0].clone()], ..i.clone() };
        assert!(run(&single).usual.outlets[0] > o.usual.outlets[0]);
        // A valve on the low one gives to the high one.
        let mut throttled = i.clone();
        (throttled.branches[1].valve, throttled.branches[1].open) = (Valve::Ball, PERCENT.of(0.4));
        let t = run(&throttled);
        assert!(t.usual.outlets[0] > o.usual.outlets[0] && t.usual.outlets[1] < o.usual.outlets[1]);
        assert!(t.usual.pumped < o.usual.pumped);
        // The run between tees costs those behind it.
        let mut far = i.clone();
        far.branches[1].between = LENGTH.of(8.0);
        let f = run(&far);
        assert!(f.usual.outlets[1] < o.usual.outlets[1] && f.usual.tees.len() == 2);
        // A lower sump gives less: the tank branch first.
        assert!(o.low.outlets[0] / o.usual.outlets[0] < o.low.outlets[1] / o.usual.outlets[1]);
        // In a report: every outlet must cope with the free flow.
        let report = Pump::report(&i, &o, Words::default());
        assert_eq!(report.tables[0].rows.len(), 2);
        assert!(report.tables[0].rows.iter().all(|r| r[6].starts_with("2\u{202f}500")), "{:?}", report.tables[0]);
        assert_eq!(refused(&PumpIn { branches: vec![], ..i }).path, "branches");
    }

    #[test]
    fn two_pumps_and_impossible_watts() {
        let one = run(&square());
        let parallel = run(&PumpIn { together: Together::Parallel, ..square() });
        let series = run(&PumpIn { together: Together::Series, ..square() });
        assert!(parallel.usual.pumped > one.usual.pumped && parallel.usual.pumped < one.usual.pumped * 2.0);
        assert!(series.usual.pumped > one.usual.pumped);
        near(lph(parallel.pumps.free_flow()), 5000.0, 1e-6);
        assert_eq!(refused(&PumpIn { watts: Watts::Known, label: POWER.of(2.0), ..square() }).path, "label");
    }

    #[test]
    fn a_valve_does_little_until_it_is_nearly_shut() {
        let at = |open: f64| {
            lph(run(&PumpIn { valve: Valve::Ball, open: PERCENT.of(open), ..PumpIn::default() }).usual.pumped)
        };
        assert!(at(0.75) > 0.93 * at(1.0), "{} {}", at(0.75), at(1.0));
        assert!(at(0.35) < 0.6 * at(1.0));
        let i = PumpIn::default();
        let table = throttled(&i, &run(&i), Words::default());
        assert!(table.rows.len() == 6 && table.title.contains("ball valve"));
    }

    #[test]
    fn repairs_reach_four_fifths() {
        let i = PumpIn { wanted: FLOW.of(l_h(2200.0)), ..PumpIn::default() };
        let o = run(&i);
        let report = Pump::report(&i, &o, Words::default());
        assert_eq!(report.levels[0].state(), State::Over);
        let stronger = report.repairs.iter().find(|r| r.title.starts_with("A pump of")).expect("a stronger pump");
        assert_eq!(stronger.level.state(), State::Enough);
        assert!(stronger.level.fullness() > 0.74, "the smallest that does: {stronger:?}");
        assert!(stronger.also.as_ref().is_some_and(|a| a.contains("every drain")));
        assert!(report.repairs.iter().all(|r| r.level.state() != State::Over));
        // A long thin pipe is mended by a wider one, the least that does.
        let long = PumpIn { pipe: piping::named("pvc_25"), length: LENGTH.of(12.0), ..PumpIn::default() };
        let report = Pump::report(&long, &run(&long), Words::default());
        let pipe = report.repairs.iter().find(|r| r.title.contains("main pipe")).expect("a wider pipe");
        assert_eq!((pipe.level.state(), &pipe.edits[..]), (State::Enough, &[Edit::pick("pipe", "pvc_32")][..]));
    }

    fn shared(wanted: f64) -> PumpIn {
        let branch = |lift: f64, wanted: f64| Branch {
            lift: LENGTH.of(lift),
            wanted: FLOW.of(l_h(wanted)),
            ..Branch::default()
        };
        PumpIn { leads: Leads::Several, branches: vec![branch(1.4, wanted), branch(0.3, 200.0)], ..PumpIn::default() }
    }

    #[test]
    fn a_low_outlet_that_takes_the_water_is_throttled() {
        let i = shared(400.0);
        let o = run(&i);
        let report = Pump::report(&i, &o, Words::default());
        assert_eq!(report.levels[0].state(), State::Over, "{:?}", o.usual);
        let valve = report.repairs.iter().find(|r| r.title.contains("valve on outlet 2")).expect("a valve");
        assert_eq!(valve.level.state(), State::Enough, "{valve:?}");
    }

    #[test]
    fn where_no_single_change_does_a_pair_is_offered() {
        // Between what one change gives and what none does there is a stretch where two do.
        let at = |wanted: f64| {
            let i = PumpIn { known: Known::Table, together: Together::Parallel, ..shared(wanted) };
            Pump::report(&i, &run(&i), Words::default()).repairs
        };
        let all: Vec<_> = (10..=100).map(|n| at(20.0 * f64::from(n))).collect();
        let pairs: Vec<_> = all.iter().filter(|r| r.first().is_some_and(|r| r.title.contains(", and "))).collect();
        assert!(!pairs.is_empty());
        for repairs in pairs {
            assert_eq!(repairs[0].level.state(), State::Enough);
            assert!(repairs[0].edits.len() >= 2 && repairs[1..].iter().all(|r| r.level.state() == State::Tight));
        }
        assert!(at(5000.0).len() <= 2, "nothing does: only what comes nearest");
    }

    #[test]
    fn a_lift_that_no_change_of_pipe_overcomes() {
        let i = PumpIn { known: Known::Table, lift: LENGTH.of(6.0), ..PumpIn::default() };
        let repairs = Pump::report(&i, &run(&i), Words::default()).repairs;
        assert!(!repairs.is_empty() && repairs.iter().all(|r| r.title.contains("over the water")), "{repairs:?}");
        // Nor is an outlet at the water's own level a repair.
        let i = PumpIn { wanted: FLOW.of(l_h(2200.0)), ..PumpIn::default() };
        assert!(Pump::report(&i, &run(&i), Words::default()).repairs.iter().all(|r| !r.title.contains("only 0")));
    }

    #[test]
    fn a_return_under_water_is_warned_of() {
        let i = PumpIn { ends: Ends::Under, ..PumpIn::default() };
        let report = Pump::report(&i, &run(&i), Words::default());
        let said = report.cautions.iter().find(|c| c.text.contains("siphons the tank back")).expect("a caution");
        for part in ["above the highest", "5 to 6 mm", "10 to 20 mm (3/8 to 3/4 in) below", "no substitute"] {
            assert!(said.text.contains(part), "{part}");
        }
        assert!(report.cautions.iter().any(|c| c.text.contains("residual-current") && c.text.contains("licensed")));
    }
}
