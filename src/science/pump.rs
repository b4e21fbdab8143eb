//! Pump curves, two pumps together, power.

use super::pipe::GRAVITY;
use super::{solve, water};
use crate::catalog::sources::{Coef, waterways as src};
use crate::units::{Length, Power, Ratio, ThermodynamicTemperature, VolumeRate, kinds::*};
use std::fmt;

/// Why some points make no pump curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CurveFault {
    /// Which point, counted from 0.
    pub point: usize,
    /// What is wrong with it.
    pub fault: &'static str,
    /// What would do.
    pub accepted: &'static str,
}

impl fmt::Display for CurveFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "point {}: {}; accepted: {}", self.point + 1, self.fault, self.accepted)
    }
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    /// H = h0 (1 - (Q/q0)^n).
    Power { h0: f64, q0: f64, n: f64 },
    /// Straight lines between (flow, head), flow rising, head falling.
    Table(Vec<(f64, f64)>),
}

/// The curve of one pump: the head it gives at each flow, falling strictly.
///
/// It is known up to its last point and never drawn on for a working point: asked for less head than that, the pump is said to give the
/// flow of the last point, which is the least it can be. (See [`Curve::free_flow`] for the other end.)
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    shape: Shape,
    /// Flow of the last known point.
    known: f64,
}

/// Exponent of a curve that is known by its two ends only.
pub const USUAL_EXPONENT: Coef = Coef::new(2.0, "1", &src::CURVE_TWO_POINTS, "centrifugal pumps; often 1.3 to 2");

impl Curve {
    /// A curve through the shut-off head and the free flow: `H = H0 (1 - (Q/Qm)^n)`.
    ///
    /// A guess between two known ends, source `curve_two_points`; [`USUAL_EXPONENT`] where nothing better is known.
    ///
    /// # Errors
    /// A head, a flow or an exponent that is not above 0.
    pub fn two_points(shut_off: Length, free_flow: VolumeRate, exponent: Ratio) -> Result<Self, CurveFault> {
        let (h0, q0, n) = (shut_off.value, free_flow.value, exponent.value);
        let above = |x: f64| x.is_finite() && x > 0.0;
        if !above(h0) {
            return Err(CurveFault { point: 0, fault: "gives no head", accepted: "a head above 0" });
        }
        if !(above(q0) && above(n)) {
            return Err(CurveFault { point: 1, fault: "gives no flow", accepted: "a flow above 0" });
        }
        Ok(Self { shape: Shape::Power { h0, q0, n }, known: q0 })
    }

    /// A curve through the shut-off head and two more points: `H = H0 - c Q^n`, `n = ln((H0-H1)/(H0-H2))/ln(Q1/Q2)`.
    ///
    /// Exact at the three points; known up to the third. Source `curve_three_points`.
    ///
    /// # Errors
    /// Points whose flow does not rise or whose head does not fall from one to the next.
    pub fn three_points(
        shut_off: Length,
        second: (VolumeRate, Length),
        third: (VolumeRate, Length),
    ) -> Result<Self, CurveFault> {
        let (h0, q1, h1) = (shut_off.value, second.0.value, second.1.value);
        let (q2, h2) = (third.0.value, third.1.value);
        falling(&[(0.0, h0), (q1, h1), (q2, h2)])?;
        let n = ((h0 - h1) / (h0 - h2)).ln() / (q1 / q2).ln();
        let q0 = q1 * (h0 / (h0 - h1)).powf(1.0 / n);
        if !(n.is_finite() && n > 0.0 && q0.is_finite()) {
            return Err(CurveFault { point: 2, fault: "is too near to the second", accepted: "three distinct points" });
        }
        Ok(Self { shape: Shape::Power { h0, q0, n }, known: q2 })
    }

    /// A curve of straight lines between the rows of a table of flow and head. Below the first flow the first head holds.
    ///
    /// # Errors
    /// Fewer than two rows, or rows whose flow does not rise or whose head does not fall from one to the next.
    pub fn table(rows: &[(VolumeRate, Length)]) -> Result<Self, CurveFault> {
        let rows: Vec<_> = rows.iter().map(|(q, h)| (q.value, h.value)).collect();
        falling(&rows)?;
        let known = rows.last().map_or(0.0, |r| r.0);
        Ok(Self { shape: Shape::Table(rows), known })
    }

    /// The exponent n of the curve, where it has one.
    pub fn exponent(&self) -> Option<Ratio> {
        match self.shape {
            Shape::Power { n, .. } => Some(RATIO.of(n)),
            Shape::Table(_) => None,
        }
    }

    /// The head at no flow: what the pump can push at most.
    pub fn shut_off(&self) -> Length {
        LENGTH.of(self.top())
    }

    /// The flow without any head. Where the last point has a head of its own, the curve is drawn on to no head by its own form (the last
    /// straight line of a table): as pump curves bend down, that is the most it can be, which is what a drain has to cope with.
    pub fn free_flow(&self) -> VolumeRate {
        FLOW.of(match &self.shape {
            Shape::Power { q0, .. } => *q0,
            Shape::Table(rows) => match rows[..] {
                [.., (qa, ha), (qb, hb)] => qb + hb * (qb - qa) / (ha - hb),
                _ => self.known,
            },
        })
    }

    /// The flow of the last known point.
    pub fn known_flow(&self) -> VolumeRate {
        FLOW.of(self.known)
    }

    /// Head at a flow; past the last known point drawn on as in [`Curve::free_flow`], never below 0.
    pub fn head(&self, flow: VolumeRate) -> Length {
        LENGTH.of(self.head_raw(flow.value))
    }

    /// Flow against a head: 0 from the shut-off head up, the last known flow at the last known head and below.
    pub fn flow(&self, head: Length) -> VolumeRate {
        FLOW.of(self.flow_raw(head.value))
    }

    /// The most that the water gains anywhere on it.
    fn best(&self, t: ThermodynamicTemperature) -> Power {
        let at = |k: u8| self.free_flow() * (f64::from(k) / 64.0);
        (0..64).map(at).map(|q| hydraulic_power(q, self.head(q), t)).fold(POWER.of(0.0), |a, b| a.max(b))
    }

    fn top(&self) -> f64 {
        match &self.shape {
            Shape::Power { h0, .. } => *h0,
            Shape::Table(rows) => rows.first().map_or(0.0, |r| r.1),
        }
    }

    fn head_raw(&self, q: f64) -> f64 {
        match &self.shape {
            Shape::Power { h0, q0, n } => (h0 * (1.0 - (q.max(0.0) / q0).powf(*n))).max(0.0),
            Shape::Table(rows) => {
                let i = rows.partition_point(|r| r.0 < q).clamp(1, rows.len() - 1);
                let ((qa, ha), (qb, hb)) = (rows[i - 1], rows[i]);
                (ha + (hb - ha) * ((q - qa) / (qb - qa)).max(0.0)).max(0.0)
            }
        }
    }

    pub(crate) fn flow_raw(&self, h: f64) -> f64 {
        match &self.shape {
            Shape::Power { h0, q0, n } => {
                let left = 1.0 - h / h0;
                if left <= 0.0 {
                    0.0
                } else if *n == 2.0 {
                    (q0 * left.sqrt()).min(self.known)
                } else {
                    (q0 * left.powf(1.0 / n)).min(self.known)
                }
            }
            Shape::Table(rows) => {
                let i = rows.partition_point(|r| r.1 > h);
                match (i.checked_sub(1).and_then(|j| rows.get(j)), rows.get(i)) {
                    (None, _) => 0.0,
                    (Some(_), None) => self.known,
                    (Some((qa, ha)), Some((qb, hb))) => qa + (qb - qa) * (ha - h) / (ha - hb),
                }
            }
        }
    }
}

/// Refuses points that do not go down from left to right.
fn falling(points: &[(f64, f64)]) -> Result<(), CurveFault> {
    if points.len() < 2 {
        return Err(CurveFault { point: points.len(), fault: "is missing", accepted: "two points or more" });
    }
    for (i, (q, h)) in points.iter().enumerate() {
        if !(q.is_finite() && h.is_finite() && *q >= 0.0 && *h >= 0.0) {
            return Err(CurveFault { point: i, fault: "is not a flow and a head", accepted: "0 or more" });
        }
    }
    for (i, pair) in points.windows(2).enumerate() {
        if pair[1].0 <= pair[0].0 {
            let accepted = "flows that rise from each point to the next";
            return Err(CurveFault { point: i + 1, fault: "has no more flow than the one before", accepted });
        }
        if pair[1].1 >= pair[0].1 {
            let accepted = "heads that fall from each point to the next";
            return Err(CurveFault { point: i + 1, fault: "has no less head than the one before", accepted });
        }
    }
    Ok(())
}

/// How pumps stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Together {
    /// One pump.
    #[default]
    Alone,
    /// Two side by side into one pipe: flows add at one head.
    Parallel,
    /// Two one after the other: heads add at one flow.
    Series,
}

/// One pump, or two together.
#[derive(Debug, Clone, PartialEq)]
pub struct Pumps {
    /// The first.
    pub first: Curve,
    /// The second; like the first where there is none named.
    pub second: Option<Curve>,
    /// How they stand.
    pub together: Together,
}

impl Pumps {
    /// One pump.
    pub fn one(curve: Curve) -> Self {
        Self { first: curve, second: None, together: Together::Alone }
    }

    fn other(&self) -> &Curve {
        self.second.as_ref().unwrap_or(&self.first)
    }

    /// The most they can push.
    pub fn shut_off(&self) -> Length {
        let (a, b) = (self.first.shut_off(), self.other().shut_off());
        match self.together {
            Together::Alone => a,
            Together::Parallel => a.max(b),
            Together::Series => a + b,
        }
    }

    /// The most they can give without any lift.
    pub fn free_flow(&self) -> VolumeRate {
        let (a, b) = (self.first.free_flow(), self.other().free_flow());
        match self.together {
            Together::Alone => a,
            Together::Parallel => a + b,
            Together::Series => a.max(b),
        }
    }

    /// The flow up to which the curves are known.
    pub fn known_flow(&self) -> VolumeRate {
        let (a, b) = (self.first.known_flow(), self.other().known_flow());
        match self.together {
            Together::Alone => a,
            Together::Parallel => a + b,
            Together::Series => a.max(b),
        }
    }

    /// Flow against a head. Side by side, a pump that cannot push so high gives nothing (a check valve keeps the other from driving it
    /// backwards); one after the other, a pump past its free flow neither helps nor hinders.
    pub fn flow(&self, head: Length) -> VolumeRate {
        FLOW.of(self.flow_raw(head.value))
    }

    /// Head at a flow.
    pub fn head(&self, flow: VolumeRate) -> Length {
        let q = flow.value;
        LENGTH.of(match self.together {
            Together::Alone => self.first.head_raw(q),
            Together::Series => self.first.head_raw(q) + self.other().head_raw(q),
            Together::Parallel if self.second.is_none() => self.first.head_raw(q / 2.0),
            Together::Parallel => {
                let top = self.shut_off().value;
                solve::crossing(|h| self.flow_raw(h) - q, 0.0, top, top * 1e-9)
            }
        })
    }

    /// Electric power that two unlike pumps may take at the most, each at its own working point. One that does nothing there turns all the same: it
    /// takes no more than at its best.
    pub fn most_electric(&self, flow: VolumeRate, head: Length, t: ThermodynamicTemperature) -> Power {
        let of = |c: &Curve| {
            let (q, h) = match self.together {
                Together::Series => (flow, c.head(flow)),
                _ => (c.flow(head), head),
            };
            let does = hydraulic_power(q, h, t);
            usual_electric_power(if does.value > 0.0 { does } else { c.best(t) }).1
        };
        [Some(&self.first), self.second.as_ref()].into_iter().flatten().map(of).fold(POWER.of(0.0), |a, b| a + b)
    }

    pub(crate) fn flow_raw(&self, h: f64) -> f64 {
        match (self.together, &self.second) {
            (Together::Alone, _) => self.first.flow_raw(h),
            (Together::Parallel, second) => self.first.flow_raw(h) + second.as_ref().unwrap_or(&self.first).flow_raw(h),
            (Together::Series, None) => self.first.flow_raw(h / 2.0),
            (Together::Series, Some(second)) => {
                let capped = |c: &Curve, q: f64| if q > c.known { 0.0 } else { c.head_raw(q) };
                let short = |q: f64| capped(&self.first, q) + capped(second, q) - h;
                let most = self.first.known.max(second.known);
                if short(0.0) <= 0.0 { 0.0 } else { solve::crossing(short, 0.0, most, most * 1e-9) }
            }
        }
    }
}

/// Power that the water gains: `P = rho g Q H`.
///
/// Exact; the density is that of fresh water at the temperature.
///
/// ```
/// use brimwise::{science::{pump, water}, units::{kinds::*, si::*}};
/// let p = pump::hydraulic_power(FLOW.of(l_h(2000.0)), LENGTH.of(1.5), water::at_celsius(20.0));
/// assert!((p.value - 8.157).abs() < 0.002);
/// ```
pub fn hydraulic_power(flow: VolumeRate, head: Length, t: ThermodynamicTemperature) -> Power {
    POWER.of(water::density(t).value * GRAVITY.value * flow.value * head.value)
}

const SMALL_LOW: Coef = Coef::new(0.10, "1", &src::WIRE_TO_WATER, "submersible pumps of about 50 W");
const SMALL_HIGH: Coef = Coef::new(0.30, "1", &src::WIRE_TO_WATER, "submersible pumps of about 50 W");
const LARGER_LOW: Coef = Coef::new(0.25, "1", &src::WIRE_TO_WATER, "submersible pumps of 100 to 300 W");
const LARGER_HIGH: Coef = Coef::new(0.45, "1", &src::WIRE_TO_WATER, "submersible pumps of 100 to 300 W");
const LARGER_FROM: Coef = Coef::new(100.0, "W", &src::WIRE_TO_WATER, "electric power where the larger class begins");

/// Electric power that a pump of usual efficiency takes for a hydraulic power: least and most. Source `wire_to_water`.
///
/// The larger class begins at 100 W from the plug. More work never takes less: from there on it takes as much as the smaller class at its end, until the
/// efficiencies of the larger give more.
pub fn usual_electric_power(hydraulic: Power) -> (Power, Power) {
    let turn = POWER.of(LARGER_FROM.value * SMALL_HIGH.value);
    let small = hydraulic.min(turn);
    let (least, most) = (small / SMALL_HIGH.value, small / SMALL_LOW.value);
    if hydraulic <= turn {
        return (least, most);
    }
    (least.max(hydraulic / LARGER_HIGH.value), most.max(hydraulic / LARGER_LOW.value))
}

/// Wire-to-water efficiency: hydraulic over electric power.
pub fn efficiency(hydraulic: Power, electric: Power) -> Ratio {
    if electric.value > 0.0 { hydraulic / electric } else { RATIO.of(0.0) }
}

/// Loss coefficients of a cock or ball valve by the angle turned from open, in degrees.
const COCK: [(f64, Coef); 6] = [
    (0.0, Coef::new(0.05, "1", &src::PLUG_VALVE, "open")),
    (5.0, Coef::new(0.05, "1", &src::PLUG_VALVE, "5 degrees from open")),
    (10.0, Coef::new(0.29, "1", &src::PLUG_VALVE, "10 degrees")),
    (20.0, Coef::new(1.56, "1", &src::PLUG_VALVE, "20 degrees")),
    (40.0, Coef::new(17.3, "1", &src::PLUG_VALVE, "40 degrees")),
    (60.0, Coef::new(206.0, "1", &src::PLUG_VALVE, "60 degrees")),
];
/// Where a cock shuts.
const COCK_SHUT: Coef = Coef::new(82.0, "degrees", &src::PLUG_VALVE, "a cock in a round pipe");
const QUARTER_TURN: Coef = Coef::new(90.0, "degrees", &src::PLUG_VALVE, "a valve with a lever");

/// Loss coefficients of a gate valve by the share it is closed.
const GATE: [(f64, Coef); 4] = [
    (0.0, Coef::new(0.15, "1", &src::GATE_VALVE, "open")),
    (0.25, Coef::new(0.26, "1", &src::GATE_VALVE, "a quarter closed")),
    (0.5, Coef::new(2.1, "1", &src::GATE_VALVE, "half closed")),
    (THREE_QUARTERS, Coef::new(17.0, "1", &src::GATE_VALVE, "three quarters closed")),
];
const THREE_QUARTERS: f64 = 0.75;
const GATE_SHUT: f64 = 1.0;

/// A valve that can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Valve {
    /// None.
    #[default]
    Missing,
    /// A ball valve or cock: a lever that turns by a quarter.
    Ball,
    /// A gate valve: a wheel with many turns.
    Gate,
}

/// Loss coefficient of a valve that is open by a share of its travel (1 open, 0 shut); `None` where it is shut.
///
/// `COCK` and `GATE`, logarithms between the printed points (source `valve_between`); closer to shut than the last of them a guess.
pub fn valve_loss(valve: Valve, open: Ratio) -> Option<Ratio> {
    let closed = 1.0 - open.value.clamp(0.0, 1.0);
    let k = match valve {
        Valve::Missing => return Some(RATIO.of(0.0)),
        Valve::Ball => {
            let angle = closed * QUARTER_TURN.value;
            if angle >= COCK_SHUT.value {
                return None;
            }
            along(&COCK, angle)
        }
        Valve::Gate => {
            // The last per cent of a gate is its seat.
            if closed >= GATE_SHUT - 0.01 {
                return None;
            }
            along(&GATE, closed)
        }
    };
    Some(RATIO.of(k))
}

/// The share of opening below which [`valve_loss`] is a guess.
pub fn valve_known(valve: Valve) -> Ratio {
    RATIO.of(match valve {
        Valve::Missing => 0.0,
        Valve::Ball => 1.0 - COCK[COCK.len() - 1].0 / QUARTER_TURN.value,
        Valve::Gate => 1.0 - GATE[GATE.len() - 1].0,
    })
}

/// The logarithm of the coefficient on straight lines, the last one drawn on.
fn along(points: &[(f64, Coef)], x: f64) -> f64 {
    let i = points.partition_point(|p| p.0 < x).clamp(1, points.len() - 1);
    let ((xa, a), (xb, b)) = (points[i - 1], points[i]);
    (a.value.ln() + (b.value / a.value).ln() * (x - xa) / (xb - xa)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::water::at_celsius;
    use crate::units::si::*;

    fn near(got: f64, expect: f64, tolerance: f64) {
        assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
    }
    fn two(h0: f64, qm: f64, n: f64) -> Curve {
        Curve::two_points(LENGTH.of(h0), FLOW.of(l_h(qm)), RATIO.of(n)).expect("a curve")
    }
    fn point(q: f64, h: f64) -> (VolumeRate, Length) {
        (FLOW.of(l_h(q)), LENGTH.of(h))
    }

    #[test]
    fn power() {
        // P = rho g Q H by hand: 998.2 x 9.80665 x 2/3600 x 1.5 = 8.157 W; a fifth of 40.8 W; 998.2 x 9.80665 x 1/3600 = 2.719 W.
        let p = hydraulic_power(FLOW.of(l_h(2000.0)), LENGTH.of(1.5), at_celsius(20.0));
        near(p.value, 8.157, 0.001);
        near(p.value / 0.2, 40.8, 0.05);
        near(efficiency(p, POWER.of(40.8)).value, 0.2, 0.001);
        near(hydraulic_power(FLOW.of(l_h(1000.0)), LENGTH.of(1.0), at_celsius(20.0)).value, 2.719, 0.001);
        let (low, high) = usual_electric_power(p);
        assert!(low < high && low.value > 20.0 && high.value < 100.0);
        // The two classes meet: no watts disappear where they change.
        let (at, just_below) = (usual_electric_power(POWER.of(30.0)), usual_electric_power(POWER.of(29.99)));
        near(at.0.value, just_below.0.value, 0.1);
        near(at.1.value, just_below.1.value, 0.2);
    }

    #[test]
    fn curves_through_their_points() {
        // H = 2.5 (1 - 0.6^n): 1.60 m for n = 2, 1.00 m for n = 1.
        near(two(2.5, 2500.0, 2.0).head(FLOW.of(l_h(1500.0))).value, 1.60, 1e-12);
        near(two(2.5, 2500.0, 1.0).head(FLOW.of(l_h(1500.0))).value, 1.00, 1e-12);
        // Through (0, 2.6), (1200, 1.9), (2200, 0.6): n = ln(0.7/2)/ln(1200/2200) = 1.7320, c = 3.25074e-6, H(1600) = 1.4479.
        let c = Curve::three_points(LENGTH.of(2.6), point(1200.0, 1.9), point(2200.0, 0.6)).expect("a curve");
        let n = c.exponent().expect("an exponent").value;
        near(n, 1.7320, 5e-5);
        near(2.6 / (c.free_flow().value * 3.6e6).powf(n) * 1e6, 3.25074, 2e-4);
        near(c.head(FLOW.of(l_h(1600.0))).value, 1.4479, 5e-5);
        for (q, h) in [(0.0, 2.6), (1200.0, 1.9), (2200.0, 0.6)] {
            near(c.head(FLOW.of(l_h(q))).value, h, 1e-9);
        }
        // Another form through the same points, the parabola through three points, differs by about 10 mm there: the size of the guess.
        let (x1, x2) = (1200.0, 2200.0);
        let det = x1 * x2 * x2 - x2 * x1 * x1;
        let (b, a) = ((-0.7 * x2 * x2 + 2.0 * x1 * x1) / det, (x1 * -2.0 - x2 * -0.7) / det);
        near(2.6 + b * 1600.0 + a * 1600.0 * 1600.0, 1.4582, 5e-5);
    }

    #[test]
    fn flow_and_head_are_inverse() {
        let table = Curve::table(&[point(0.0, 2.6), point(1200.0, 1.9), point(1800.0, 1.3), point(2200.0, 0.6)])
            .expect("falls");
        let three = Curve::three_points(LENGTH.of(2.6), point(1200.0, 1.9), point(2200.0, 0.6)).expect("a curve");
        for c in [two(2.5, 2500.0, 2.0), two(2.5, 2500.0, 1.3), three, table] {
            let known = c.known_flow();
            for i in 0..=20 {
                let q = known * (f64::from(i) / 20.0);
                near(c.flow(c.head(q)).value, q.value, 1e-9 * known.value.max(1.0));
            }
            assert_eq!(c.flow(c.shut_off()).value, 0.0);
            assert_eq!(c.flow(c.shut_off() * 2.0).value, 0.0);
            assert_eq!(c.flow(LENGTH.of(-1.0)), known, "never drawn on");
            assert!(c.free_flow() >= known);
            assert_eq!(c.head(c.free_flow() * 2.0).value, 0.0);
            // Falling everywhere.
            let mut last = f64::INFINITY;
            for i in 0..200 {
                let h = c.head(c.free_flow() * (f64::from(i) / 200.0)).value;
                assert!(h < last);
                last = h;
            }
        }
        let table = Curve::table(&[point(300.0, 2.0), point(900.0, 1.0)]).expect("falls");
        near(table.head(FLOW.of(0.0)).value, 2.0, 1e-12);
        near(table.head(FLOW.of(l_h(600.0))).value, 1.5, 1e-12);
        near(table.free_flow().value, l_h(1500.0), 1e-12);
    }

    #[test]
    fn what_does_not_fall_is_refused() {
        let at = |c: Result<Curve, CurveFault>| c.expect_err("refused").point;
        assert_eq!(at(Curve::table(&[point(0.0, 2.0)])), 1);
        assert_eq!(at(Curve::table(&[])), 0);
        assert_eq!(at(Curve::table(&[point(0.0, 2.0), point(500.0, 2.0), point(900.0, 1.0)])), 1);
        assert_eq!(at(Curve::table(&[point(0.0, 2.0), point(500.0, 1.5), point(500.0, 1.0)])), 2);
        assert_eq!(at(Curve::table(&[point(0.0, 2.0), point(500.0, -1.0)])), 1);
        assert_eq!(at(Curve::table(&[point(0.0, f64::NAN), point(500.0, 1.0)])), 0);
        assert_eq!(at(Curve::three_points(LENGTH.of(1.0), point(800.0, 1.2), point(900.0, 0.5))), 1);
        assert_eq!(at(Curve::two_points(LENGTH.of(0.0), FLOW.of(1.0), RATIO.of(2.0))), 0);
        assert_eq!(at(Curve::two_points(LENGTH.of(1.0), FLOW.of(1.0), RATIO.of(0.0))), 1);
        let said = Curve::table(&[point(0.0, 1.0), point(500.0, 2.0)]).expect_err("rises").to_string();
        assert_eq!(
            said,
            "point 2: has no less head than the one before; accepted: heads that fall from each point to the next"
        );
    }

    #[test]
    fn two_pumps() {
        let c = two(2.5, 2500.0, 2.0);
        let with = |second: Option<Curve>, together| Pumps { first: c.clone(), second, together };
        let h = LENGTH.of(1.6);
        near(with(None, Together::Alone).flow(h).value, l_h(1500.0), 1e-12);
        near(with(None, Together::Parallel).flow(h).value, l_h(3000.0), 1e-12);
        near(with(None, Together::Series).flow(h * 2.0).value, l_h(1500.0), 1e-12);
        // A pair of the same pump named twice is the same pair.
        for together in [Together::Parallel, Together::Series] {
            let (one, twice) = (with(None, together), with(Some(c.clone()), together));
            for i in 1..10 {
                let h = one.shut_off() * (f64::from(i) / 10.0);
                near(one.flow(h).value, twice.flow(h).value, 1e-9);
                near(one.head(one.flow(h)).value, h.value, 1e-6);
                near(twice.head(twice.flow(h)).value, h.value, 1e-6);
            }
            assert_eq!(one.free_flow(), twice.free_flow());
        }
        // A weak one beside a strong one gives nothing above its own head, and in a row nothing past its own flow.
        let weak = two(1.0, 1000.0, 2.0);
        near(with(Some(weak.clone()), Together::Parallel).flow(h).value, l_h(1500.0), 1e-12);
        let row = with(Some(weak), Together::Series);
        near(row.shut_off().value, 3.5, 1e-12);
        near(row.head(FLOW.of(l_h(1500.0))).value, 1.6, 1e-12);
        near(row.flow(LENGTH.of(1.6)).value, l_h(1500.0), 1e-9);
    }

    #[test]
    fn more_work_never_takes_fewer_watts() {
        let at = |p: f64| usual_electric_power(POWER.of(p));
        // 10 to 30 % of a small pump, 25 to 45 % of a larger; between them no step down, and none up.
        let (low, high) = at(20.0);
        near(low.value, 20.0 / 0.3, 1e-9);
        near(high.value, 200.0, 1e-9);
        let (low, high) = at(90.0);
        near(low.value, 200.0, 1e-9);
        near(high.value, 360.0, 1e-9);
        let mut last = at(0.0);
        for i in 1..=1000 {
            let now = at(f64::from(i) * 0.1);
            assert!(now.0 >= last.0 && now.1 >= last.1 && now.1.value - last.1.value < 1.1, "{i}");
            last = now;
        }
    }

    #[test]
    fn valves() {
        let k = |v, open: f64| valve_loss(v, RATIO.of(open)).map(|k| k.value);
        assert_eq!(k(Valve::Missing, 0.1), Some(0.0));
        // At the printed points, and near the textbook's third and two thirds closed (5.5 and 210).
        near(k(Valve::Ball, 1.0).expect("open"), 0.05, 1e-12);
        near(k(Valve::Ball, 1.0 - 40.0 / 90.0).expect("open"), 17.3, 1e-9);
        near(k(Valve::Ball, 2.0 / 3.0).expect("open"), 5.5, 0.4);
        near(k(Valve::Ball, 1.0 / 3.0).expect("open"), 210.0, 5.0);
        near(k(Valve::Gate, 0.5).expect("open"), 2.1, 1e-9);
        assert_eq!(k(Valve::Ball, 0.05), None);
        assert_eq!(k(Valve::Gate, 0.0), None);
        for v in [Valve::Ball, Valve::Gate] {
            let mut last = 0.0;
            for i in 0..=90 {
                if let Some(k) = k(v, 1.0 - f64::from(i) / 100.0) {
                    assert!(k >= last && k.is_finite());
                    last = k;
                }
            }
            assert!(valve_known(v).value > 0.2 && valve_known(v).value < 0.4);
        }
    }
}
