//! Automatic siphons of flood-and-drain beds: what starts them, what they carry, what breaks them, how long a cycle takes.

use super::drain::{orifice_head, weir_head};
use super::pipe::{Pipe, bore_area, full_flow};
use crate::catalog::sources::{Coef, waterways as src};
use crate::units::{Area, KinematicViscosity, Length, Ratio, Time, Volume, VolumeRate, kinds::*};
use std::f64::consts::PI;

const START_HELPED: Coef = Coef::new(0.4, "1", &src::SIPHON_START, "share of the self-venting flow, with a start aid");
const BREAK_SURE: Coef = Coef::new(0.5, "1", &src::SIPHON_BREAK, "share of the siphon's flow at its lowest head");

/// Inflows between which it becomes likely that a siphon starts: from the low end with luck or an aid, from the high end by itself.
///
/// The high end is the self-venting flow of the standpipe, V/sqrt(g D) = 0.3 over the whole bore. Judgement, source `siphon_start`.
pub fn start_flows(self_venting: VolumeRate) -> (VolumeRate, VolumeRate) {
    (self_venting * START_HELPED.value, self_venting)
}

/// Inflows between which it becomes doubtful that a siphon breaks: up to the low end it breaks, from the high end it cannot.
///
/// `lowest` is what the siphon carries when the level reaches its air inlet. Judgement, source `siphon_break`; the high end is certain.
pub fn break_flows(lowest: VolumeRate) -> (VolumeRate, VolumeRate) {
    (lowest * BREAK_SURE.value, lowest)
}

/// What a siphon carries: the full flow of its pipe under the head from the bed's surface to the outlet (or to the water it ends under).
///
/// `Q = A sqrt(2 g H/(sum K + f L/D))`, source `siphon_flow`. 0 without a head.
pub fn flow(pipe: &Pipe, head: Length, viscosity: KinematicViscosity) -> VolumeRate {
    full_flow(pipe, head, viscosity)
}

/// A bed that a siphon empties, for the sums over time.
///
/// The friction factor moves little with the head, so the siphon's flow is taken as `c sqrt(head)`, c from the two ends of the fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draining {
    /// Area of free water: plan area times porosity.
    pub area: Area,
    /// Head over the outlet when the siphon starts.
    pub high: Length,
    /// Head over the outlet when it breaks.
    pub low: Length,
    /// What the siphon carries at the high head.
    pub flow_high: VolumeRate,
    /// What it carries at the low head.
    pub flow_low: VolumeRate,
}

impl Draining {
    /// c of `Q = c sqrt(y)`, in m^2.5/s: the mean of its values at the two ends.
    pub fn coefficient(&self) -> f64 {
        let at = |q: VolumeRate, y: Length| if y.value > 0.0 { q.value / y.value.sqrt() } else { 0.0 };
        (at(self.flow_high, self.high) + at(self.flow_low, self.low)) / 2.0
    }

    /// Time from the start of the siphon to a head, against an inflow; `None` where the inflow holds the level above it.
    ///
    /// `t = (2 A/c²) [c (sqrt y1 - sqrt y) + Q ln((c sqrt y1 - Q)/(c sqrt y - Q))]`, the integral of `A dy/dt = Q - c sqrt(y)`; exact for a
    /// constant c. Source `siphon_drain`.
    pub fn time_to(&self, head: Length, inflow: VolumeRate) -> Option<Time> {
        let (c, q, a) = (self.coefficient(), inflow.value.max(0.0), self.area.value);
        let (s1, s) = (self.high.value.max(0.0).sqrt(), head.value.max(0.0).sqrt());
        let (top, bottom) = (c * s1 - q, c * s - q);
        if c <= 0.0 || top <= 0.0 || bottom <= 0.0 {
            return None;
        }
        let t = 2.0 * a / (c * c) * (c * (s1 - s) + q * (top / bottom).ln());
        t.is_finite().then(|| SECONDS.of(t))
    }

    /// Time to drain from high to low.
    pub fn drain_time(&self, inflow: VolumeRate) -> Option<Time> {
        self.time_to(self.low, inflow)
    }

    /// Time to fill from low to high: `A (y1 - y2)/Q`; `None` without an inflow.
    pub fn fill_time(&self, inflow: VolumeRate) -> Option<Time> {
        let t = self.swung().value / inflow.value;
        (inflow.value > 0.0 && t.is_finite()).then(|| SECONDS.of(t))
    }

    /// Water that leaves the bed in every cycle, whatever the inflow: `A (y1 - y2)`. (What flows in meanwhile passes straight through.)
    pub fn swung(&self) -> Volume {
        self.area * (self.high - self.low)
    }

    /// The head at which the inflow holds a siphon that does not break: `(Q/c)²`.
    pub fn held_at(&self, inflow: VolumeRate) -> Length {
        let c = self.coefficient();
        LENGTH.of(if c > 0.0 { (inflow.value / c).powi(2) } else { self.high.value })
    }
}

/// Water over the rim of a standpipe that overflows without siphoning: the higher head of weir and mouth,
/// `max((Q/(1.83 pi D))^(2/3), (Q/0.6A)²/2g)`.
pub fn over_rim(bore: Length, flow: VolumeRate) -> Length {
    let (q, d) = (flow.value.max(0.0), bore.value);
    LENGTH.of(weir_head(q, d).max(orifice_head(q, bore_area(d))))
}

/// The most that the outlet of a vessel has to carry of water that comes at once: the flow at which its level turns.
///
/// A bed with a siphon lets go no more than its swing over what comes to it, and no faster than its siphon carries. The worst of all that such beds can
/// send is then all of `more` at the rate `comes`, while the vessel stands at what flows `before`: `A dh/dt = comes - q(h)` until it is out. Less is to
/// be carried where the vessel is wide. What the outlet passes on is no more water and no faster, so the next vessel is asked the same.
///
/// `stands` is the level at a flow; between a dozen of them it is taken as straight, for which the sum over time is exact. Conservation of water,
/// source `sump_balance`.
pub fn turns_at(
    stands: &dyn Fn(VolumeRate) -> Length,
    area: Area,
    before: VolumeRate,
    comes: VolumeRate,
    more: Volume,
) -> VolumeRate {
    let excess = (comes - before).value;
    if excess <= 0.0 || more.value <= 0.0 {
        return before;
    }
    let (mut left, mut at, mut level) = (more.value / excess, before.value, stands(before).value);
    for k in 1..=PARTS {
        let next = before.value + excess * (k as f64 / PARTS as f64);
        let higher = stands(FLOW.of(next)).value;
        // How long the vessel takes to answer.
        let lag = area.value * (higher - level) / (next - at);
        let gap = comes.value - at;
        if lag > 0.0 {
            let takes = if k < PARTS { lag * (gap / (comes.value - next)).ln() } else { f64::INFINITY };
            if takes >= left {
                return FLOW.of(comes.value - gap * (-left / lag).exp());
            }
            left -= takes;
        }
        (at, level) = (next, higher);
    }
    comes
}

/// Flows between which the level of an outlet is taken as straight.
const PARTS: usize = 12;

/// Depth of media or water that a porous bed's area of free water stands for.
pub fn free_area(plan: Area, porosity: Ratio) -> Area {
    plan * porosity
}

/// The three ways through a bell, against the bore of its standpipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bell {
    /// Ring between bell and standpipe.
    pub ring: Area,
    /// Gap over the standpipe's rim.
    pub gap: Area,
    /// Slots at the foot.
    pub slots: Area,
    /// Bore of the standpipe.
    pub bore: Area,
}

const GAP_LEAST: Coef = Coef::new(0.25, "1", &src::BELL_GEOMETRY, "share of the standpipe's bore");
const GAP_ROOMY: Coef = Coef::new(0.5, "1", &src::BELL_GEOMETRY, "share of the standpipe's bore");
const SLOTS: Coef = Coef::new(2.0, "1", &src::BELL_GEOMETRY, "bore areas of the standpipe");

impl Bell {
    /// The ways through a bell of an inside diameter, over a standpipe of a bore and an outside diameter, with a gap over its rim.
    pub fn new(bell: Length, bore: Length, outside: Length, gap: Length, slots: Area) -> Self {
        let ring = bore_area(bell.value) - bore_area(outside.value);
        Self {
            ring: AREA.of(ring.max(0.0)),
            gap: AREA.of(PI * bore.value * gap.value),
            slots,
            bore: AREA.of(bore_area(bore.value)),
        }
    }
    /// What the slots should have: twice the bore.
    pub fn slots_wanted(&self) -> Area {
        self.bore * SLOTS.value
    }
}

/// The least bell over a standpipe: the ring as wide as the bore, `sqrt(bore² + outside²)`.
pub fn least_bell(bore: Length, outside: Length) -> Length {
    (bore * bore + outside * outside).sqrt()
}

/// Gap over the standpipe's rim: the least, and a roomy one.
pub fn gaps(bore: Length) -> (Length, Length) {
    (bore * GAP_LEAST.value, bore * GAP_ROOMY.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;
    use uom::si::kinematic_viscosity::square_meter_per_second;

    fn near(got: f64, expect: f64, tolerance: f64) {
        assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
    }
    fn inch_pipe() -> Pipe {
        Pipe {
            bore: SHORT_LENGTH.of(mm(26.137)),
            length: LENGTH.of(0.8),
            roughness: SHORT_LENGTH.of(1.5e-6),
            loss: RATIO.of(2.84),
        }
    }
    fn bed(c: f64) -> Draining {
        let flow = |y: f64| FLOW.of(c * y.sqrt());
        Draining {
            area: free_area(AREA.of(1.2), RATIO.of(0.40)),
            high: LENGTH.of(0.75),
            low: LENGTH.of(0.53),
            flow_high: flow(0.75),
            flow_low: flow(0.53),
        }
    }

    #[test]
    fn what_an_inch_pipe_carries() {
        // Bernoulli with Churchill's friction, nu 1.0034e-6 m²/s: 66.2 L/min under 0.75 m, 55.5 under 0.53 m.
        let nu = KinematicViscosity::new::<square_meter_per_second>(1.0034e-6);
        near(flow(&inch_pipe(), LENGTH.of(0.75), nu).value / l_min(1.0), 66.2, 0.1);
        near(flow(&inch_pipe(), LENGTH.of(0.53), nu).value / l_min(1.0), 55.5, 0.1);
        assert_eq!(flow(&inch_pipe(), LENGTH.of(-0.1), nu).value, 0.0);
    }

    #[test]
    fn a_cycle() {
        // 1.2 m² at porosity 0.40, head 0.75 to 0.53 m, c = 1.272897e-3: 119.9 s against 8 L/min, fill 792 s, 105.6 L; 104.1 s without inflow.
        let b = bed(1.272_897e-3);
        near(b.coefficient(), 1.272_897e-3, 1e-12);
        near(b.drain_time(FLOW.of(l_min(8.0))).expect("drains").value, 119.9, 0.05);
        near(b.drain_time(FLOW.of(0.0)).expect("drains").value, 104.1, 0.05);
        near(b.fill_time(FLOW.of(l_min(8.0))).expect("fills").value, 792.0, 1e-9);
        near(b.swung().value, l(105.6), 1e-12);
        // Without an inflow the integral is 2 A/c (sqrt y1 - sqrt y2).
        near(
            b.drain_time(FLOW.of(0.0)).expect("drains").value,
            2.0 * 0.48 / 1.272_897e-3 * (0.75f64.sqrt() - 0.53f64.sqrt()),
            1e-9,
        );
        // Filled 0.25 m deep it holds 1.2 x 0.25 x 0.40 = 120 L.
        near((free_area(AREA.of(1.2), RATIO.of(0.40)) * LENGTH.of(0.25)).value, l(120.0), 1e-12);
    }

    #[test]
    fn a_tank_that_siphons_away() {
        // A tank of 1.2 m² through a 2 in pipe with a blocked vent, 0.7 m over its outlet, 189 L/min: 0.55 m (660 L) gone in 4.8 min.
        let c = l_min(189.0) / 0.7f64.sqrt();
        let tank = Draining {
            area: AREA.of(1.2),
            high: LENGTH.of(0.7),
            low: LENGTH.of(0.15),
            flow_high: FLOW.of(l_min(189.0)),
            flow_low: FLOW.of(c * 0.15f64.sqrt()),
        };
        near(tank.swung().value, l(660.0), 1e-9);
        near(tank.drain_time(FLOW.of(0.0)).expect("drains").value / 60.0, 4.8, 0.05);
    }

    #[test]
    fn an_inflow_that_holds_the_siphon() {
        let b = bed(1.272_897e-3);
        let lowest = b.flow_low;
        assert_eq!(b.drain_time(lowest), None);
        assert_eq!(b.drain_time(lowest * 1.5), None);
        assert!(b.drain_time(lowest * 0.999).expect("at last") > b.drain_time(lowest * 0.9).expect("sooner"));
        near(b.held_at(lowest).value, 0.53, 1e-9);
        assert_eq!(b.fill_time(FLOW.of(0.0)), None);
        let none = Draining { flow_high: FLOW.of(0.0), flow_low: FLOW.of(0.0), ..b };
        assert_eq!(none.drain_time(FLOW.of(0.0)), None);
        assert!(none.held_at(FLOW.of(1e-4)).value.is_finite());
    }

    /// A reservoir whose outflow goes with its level answers a steady inflow by `q = P - (P - q0) e^(-t/k)`, k = A dh/dq (the linear reservoir of
    /// hydrology). 0.5 m² that rise 40 mm for 1000 L/h have k = 72 s.
    #[test]
    fn a_surge_through_a_linear_reservoir() {
        let stands = |q: VolumeRate| SHORT_LENGTH.of(mm(40.0) * q.value / l_h(1000.0));
        let q = |x: f64| FLOW.of(l_h(x));
        let turns = |area: f64, more: f64| {
            turns_at(&stands, AREA.of(area), q(1000.0), q(5000.0), VOLUME.of(l(more))).value / l_h(1.0)
        };
        // 80 L over 1000 L/h come in 72 s.
        near(turns(0.5, 80.0), 5000.0 - 4000.0 * (-1.0f64).exp(), 1e-6);
        near(turns(0.5, 0.0), 1000.0, 1e-9);
        // Without room all of it is to be carried; on a pond it is not noticed.
        near(turns(1e-9, 80.0), 5000.0, 1e-6);
        near(turns(1e6, 80.0), 1000.0, 0.1);
        near(turns_at(&stands, AREA.of(0.5), q(5000.0), q(1000.0), VOLUME.of(l(80.0))).value / l_h(1.0), 5000.0, 1e-9);
    }

    #[test]
    fn windows() {
        let (low, high) = start_flows(FLOW.of(l_min(4.9)));
        near(low.value / l_min(1.0), 1.96, 1e-9);
        near(high.value / l_min(1.0), 4.9, 1e-9);
        let (low, high) = break_flows(FLOW.of(l_min(55.5)));
        near(low.value / l_min(1.0), 27.75, 1e-9);
        near(high.value / l_min(1.0), 55.5, 1e-9);
        // 8 L/min is 1.6 times what starts it and 0.14 of what holds it.
        near(8.0 / 4.9, 1.6, 0.05);
        near(8.0 / 55.5, 0.14, 0.005);
    }

    #[test]
    fn over_the_rim() {
        // Weir at 52 mm and 2000 L/h: 15.1 mm; the orifice at 4000 L/h: 38.8 mm. There and back through the drain's own functions.
        let bore = SHORT_LENGTH.of(mm(52.0));
        near(over_rim(bore, FLOW.of(l_h(2000.0))).value, mm(15.1), mm(0.05));
        near(over_rim(bore, FLOW.of(l_h(4000.0))).value, mm(38.8), mm(0.2));
        for q in [50.0, 2000.0, 9000.0] {
            let h = over_rim(bore, FLOW.of(l_h(q)));
            let least = crate::science::drain::rim_weir(bore, h).min(crate::science::drain::rim_orifice(bore, h));
            near(least.value / l_h(q), 1.0, 1e-9);
        }
    }

    #[test]
    fn bells() {
        let (bore, outside) = (SHORT_LENGTH.of(mm(26.14)), SHORT_LENGTH.of(mm(33.4)));
        let least = least_bell(bore, outside);
        let b = Bell::new(least, bore, outside, gaps(bore).0, AREA.of(0.0));
        near(b.ring.value / b.bore.value, 1.0, 1e-9);
        near(b.gap.value / b.bore.value, 1.0, 1e-9);
        near(b.slots_wanted().value / b.bore.value, 2.0, 1e-12);
        // The rule of the trade, twice the size, is roomier; sqrt(2) times the outside is enough for sure.
        assert!(outside * 2.0 > least && outside * 2f64.sqrt() > least);
        assert_eq!(Bell::new(bore, bore, outside, bore, AREA.of(0.0)).ring.value, 0.0);
    }
}
