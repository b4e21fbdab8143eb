//! A pump with its supply pipes: a tree of pipes, tees and outlets, and the one flow through each at which all heads meet.

use super::pipe::{G, Pipe, bore_area, full_flow, head_loss, lost_heads};
use super::pump::Pumps;
use super::solve;
use crate::units::{KinematicViscosity, Length, VolumeRate, kinds::*};
use uom::si::kinematic_viscosity::square_meter_per_second;

/// How a pipe ends.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Mouth {
    /// In air, or over the highest water: nothing comes back.
    #[default]
    Air,
    /// Under water, without a check valve: the water there can run back.
    Water,
    /// Shut by a valve.
    Shut,
    /// With a valve that lets so much through and no more; nothing comes back.
    Held(VolumeRate),
}

/// What a pipe leads to.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// An outlet. The height is that of the mouth in air, or of the water it is under.
    Outlet {
        /// Height over the same level as that of the sump's water.
        height: Length,
        /// How it ends.
        mouth: Mouth,
    },
    /// A tee, with the pipes that leave it.
    Tee(Vec<Way>),
}

/// A pipe and what it leads to. The loss of an outlet's velocity (1.0) belongs to the pipe's loss coefficient.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The pipe with its fittings and valves.
    pub pipe: Pipe,
    /// Its end.
    pub end: End,
}

/// The solved network.
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// Flow through the pumps.
    pub pumped: VolumeRate,
    /// Head the pumps give.
    pub head: Length,
    /// Flow of every outlet, in the order of the tree; negative where water runs back.
    pub outlets: Vec<VolumeRate>,
    /// Head at every tee, in the order of the tree (a tee before those that hang on it).
    pub tees: Vec<Length>,
}

/// Heads are found to this, m: a hundredth of a nanometre, so that what a trickle loses in a wide pipe is more than the grain.
pub const TOLERANCE: f64 = 1e-11;
/// A friction factor to begin with; it costs nothing if wrong.
const FIRST_GUESS: f64 = 0.03;
/// The least sum of loss coefficients, so that a hole without any loss has a finite flow.
const LEAST_LOSS: f64 = 1e-3;

fn kinematic(nu: f64) -> KinematicViscosity {
    KinematicViscosity::new::<square_meter_per_second>(nu)
}

/// Flow through a full pipe under a head, raw: the fixed point of v = sqrt(2 g h/(K + f(v) L/D)), by secants; should they not settle,
/// by [`full_flow`]'s bracket.
fn pipe_flow(pipe: &Pipe, h: f64, nu: f64) -> f64 {
    if h.is_nan() || h <= 0.0 {
        return 0.0;
    }
    let (d, l, e, k) = (pipe.bore.value, pipe.length.value, pipe.roughness.value, pipe.loss.value.max(LEAST_LOSS));
    let area = bore_area(d);
    let next = |v: f64| (2.0 * G * h / lost_heads(v * area, d, l, e, k, nu)).sqrt();
    let mut x0 = (2.0 * G * h / (k + FIRST_GUESS * l / d)).sqrt();
    let mut y0 = next(x0);
    let mut x1 = y0;
    for _ in 0..12 {
        let y1 = next(x1);
        if (y1 - x1).abs() <= 1e-10 * x1 {
            return y1 * area;
        }
        let slope = (y1 - y0) / (x1 - x0);
        let x2 = x1 + (y1 - x1) / (1.0 - slope);
        (x0, y0) = (x1, y1);
        x1 = if x2.is_finite() && x2 > 0.0 { x2 } else { y1 };
    }
    full_flow(&Pipe { loss: RATIO.of(k), ..*pipe }, LENGTH.of(h), kinematic(nu)).value
}

/// Head lost on the way, raw; negative where the water runs back.
fn lost(pipe: &Pipe, q: f64, nu: f64) -> f64 {
    if q == 0.0 {
        return 0.0;
    }
    head_loss(pipe, FLOW.of(q), kinematic(nu)).value.copysign(q)
}

/// Lowest and highest outlet heights that matter.
fn heights(way: &Way, ends: &mut (f64, f64)) {
    match &way.end {
        End::Outlet { mouth: Mouth::Shut, .. } => {}
        End::Outlet { height, .. } => *ends = (ends.0.min(height.value), ends.1.max(height.value)),
        End::Tee(ways) => ways.iter().for_each(|w| heights(w, ends)),
    }
}

/// What is recorded on the last walk.
#[derive(Default)]
struct Record {
    outlets: Vec<VolumeRate>,
    tees: Vec<Length>,
}

/// Flow into a way under the head at its beginning. Rises with the head, strictly where anything flows.
fn flow_into(way: &Way, head: f64, nu: f64, record: Option<&mut Record>) -> f64 {
    match &way.end {
        End::Outlet { height, mouth } => {
            let over = head - height.value;
            let q = match mouth {
                Mouth::Shut => 0.0,
                Mouth::Air => pipe_flow(&way.pipe, over, nu),
                Mouth::Held(most) => pipe_flow(&way.pipe, over, nu).min(most.value),
                Mouth::Water => pipe_flow(&way.pipe, over.abs(), nu).copysign(over),
            };
            if let Some(r) = record {
                r.outlets.push(FLOW.of(q));
            }
            q
        }
        End::Tee(_) => {
            let mut ends = (head, head);
            heights(way, &mut ends);
            let deep = solve::crossing(|h| march(way, h, nu, None).1 - head, ends.0, ends.1, TOLERANCE);
            march(way, deep, nu, record).0
        }
    }
}

/// The tee that hangs deepest on the last tee of each tee: its head is the unknown, so that a run of tees takes one bracket and not one
/// within another.
fn deepest(ways: &[Way]) -> Option<usize> {
    ways.iter().rposition(|w| matches!(w.end, End::Tee(_)))
}

/// Flow into a way, and the head at its beginning, for a head at the deepest tee of its spine (or at an outlet's own beginning).
fn march(way: &Way, deep: f64, nu: f64, mut record: Option<&mut Record>) -> (f64, f64) {
    let End::Tee(ways) = &way.end else {
        return (flow_into(way, deep, nu, record), deep);
    };
    let (flow, head) = match deepest(ways) {
        None => {
            if let Some(r) = &mut record {
                r.tees.push(LENGTH.of(deep));
            }
            (ways.iter().map(|w| flow_into(w, deep, nu, record.as_deref_mut())).sum(), deep)
        }
        Some(i) => {
            let (mut flow, head) = march(&ways[i], deep, nu, None);
            if let Some(r) = &mut record {
                r.tees.push(LENGTH.of(head));
            }
            for (j, w) in ways.iter().enumerate() {
                if j != i {
                    flow += flow_into(w, head, nu, record.as_deref_mut());
                } else if record.is_some() {
                    march(w, deep, nu, record.as_deref_mut());
                }
            }
            (flow, head)
        }
    };
    (flow, head + lost(&way.pipe, flow, nu))
}

/// Flows and heads of `pumps` in a sump whose water stands at `sump`, feeding `way`.
///
/// One head H at the pumps: `z_sump + H_pump(Q) = H`; along every pipe `H1 - H2 = (K + f L/D) V²/2g`; at every tee inflow equals outflow; an
/// outlet in air gives nothing while the head is below it, one under water runs back. Flow against head falls, flows into the tree
/// rise: one solution, found by brackets within a bracket (source `branched_network`).
///
/// Nothing flows where the outlets stand higher than the pumps can push. Heads to 1e-11 m, so far as a float of metres holds it (a millionth
/// of the flow, but for an outlet that only just runs); for what the inputs are worth see [`head_loss`].
pub fn solve(pumps: &Pumps, sump: Length, way: &Way, viscosity: KinematicViscosity) -> Flows {
    solve_to(TOLERANCE, pumps, sump, way, viscosity)
}

/// The same with heads to `tolerance`, m: for what is asked again and again until something else has settled.
pub fn solve_to(tolerance: f64, pumps: &Pumps, sump: Length, way: &Way, viscosity: KinematicViscosity) -> Flows {
    let (z, nu) = (sump.value, viscosity.value);
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    heights(way, &mut ends);
    let mut record = Record::default();
    if ends.0 > ends.1 {
        // Everything is shut: still water at the pumps' full head.
        let top = z + pumps.shut_off().value;
        march(way, top, nu, Some(&mut record));
        return Flows { pumped: FLOW.of(0.0), head: LENGTH.of(top - z), outlets: record.outlets, tees: record.tees };
    }
    let low = ends.0;
    let high = (z + pumps.shut_off().value).max(ends.1).max(low);
    let (pumped, head) = match &way.end {
        End::Outlet { .. } => {
            let h = solve::crossing(|h| pumps.flow_raw(h - z) - flow_into(way, h, nu, None), low, high, tolerance);
            (flow_into(way, h, nu, Some(&mut record)), h)
        }
        End::Tee(_) => {
            let short = |deep: f64| {
                let (q, h) = march(way, deep, nu, None);
                pumps.flow_raw(h - z) - q
            };
            let deep = solve::crossing(short, low, high, tolerance);
            march(way, deep, nu, Some(&mut record))
        }
    };
    Flows { pumped: FLOW.of(pumped), head: LENGTH.of(head - z), outlets: record.outlets, tees: record.tees }
}

/// The head that `way` asks of a pump at a total flow, for the system curve: static lift and losses.
pub fn head_asked(flow: VolumeRate, sump: Length, way: &Way, viscosity: KinematicViscosity) -> Length {
    let (q, z, nu) = (flow.value, sump.value, viscosity.value);
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    heights(way, &mut ends);
    if ends.0 > ends.1 {
        return LENGTH.of(0.0);
    }
    let (low, mut high) = (ends.0, ends.1.max(ends.0 + 1.0));
    let into = |h: f64| match &way.end {
        End::Outlet { .. } => flow_into(way, h, nu, None),
        End::Tee(_) => march(way, h, nu, None).0,
    };
    for _ in 0..60 {
        if into(high) >= q {
            break;
        }
        high = low + 2.0 * (high - low);
    }
    let h = solve::crossing(|h| into(h) - q, low, high, TOLERANCE);
    LENGTH.of(march(way, h, nu, None).1 - z)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::pump::{Curve, Together};
    use crate::science::water;
    use crate::units::si::*;

    const NU: f64 = 1.0034e-6;

    fn near(got: f64, expect: f64, tolerance: f64, what: &str) {
        assert!((got - expect).abs() <= tolerance, "{what}: {got}, expected {expect} within {tolerance}");
    }
    fn pump(h0: f64, qm: f64) -> Pumps {
        Pumps::one(Curve::two_points(LENGTH.of(h0), FLOW.of(l_h(qm)), RATIO.of(2.0)).expect("a curve"))
    }
    fn pipe(d: f64, l: f64, k: f64) -> Pipe {
        Pipe {
            bore: SHORT_LENGTH.of(mm(d)),
            length: LENGTH.of(l),
            roughness: SHORT_LENGTH.of(1.5e-6),
            loss: RATIO.of(k),
        }
    }
    fn out(pipe: Pipe, z: f64) -> Way {
        Way { pipe, end: End::Outlet { height: LENGTH.of(z), mouth: Mouth::Air } }
    }
    /// A way without friction that loses k Q², k in m/(L/h)².
    fn square(k: f64) -> Pipe {
        let d = 0.02;
        let per_si = k * 3.6e6 * 3.6e6;
        pipe(20.0, 0.0, per_si * 2.0 * G * bore_area(d) * bore_area(d))
    }
    fn run(p: &Pumps, sump: f64, way: &Way) -> (Vec<f64>, Vec<f64>) {
        let f = solve(p, LENGTH.of(sump), way, kinematic(NU));
        let mut flows = vec![f.pumped.value * 3.6e6];
        flows.extend(f.outlets.iter().map(|q| q.value * 3.6e6));
        let mut heads = vec![f.head.value + sump];
        heads.extend(f.tees.iter().map(|h| h.value));
        (flows, heads)
    }
    fn all(got: &[f64], expect: &[f64], tolerance: f64) {
        assert_eq!(got.len(), expect.len(), "{got:?} {expect:?}");
        for (g, e) in got.iter().zip(expect) {
            near(*g, *e, tolerance, "network");
        }
    }

    /// A tank branch, and a second tee to two beds.
    fn tank_and_beds(third: f64) -> Way {
        let beds = Way {
            pipe: pipe(26.14, 2.0, 0.45),
            end: End::Tee(vec![out(pipe(20.42, 2.0, 9.14), 0.90), out(pipe(15.29, 4.0, 4.09), third)]),
        };
        Way { pipe: pipe(26.14, 2.0, 1.84), end: End::Tee(vec![out(pipe(20.42, 3.0, 3.85), 1.20), beds]) }
    }

    #[test]
    fn one_pump_one_pipe() {
        // 2.5 (1 - (Q/2500)²) = 1.0 + 2e-7 Q²: Q² = 1.5/(2.5/2500² + 2e-7) by hand, 1581.1 L/h at 1.500 m.
        let way = Way { pipe: square(2e-7), end: End::Outlet { height: LENGTH.of(1.0), mouth: Mouth::Air } };
        let (q, h) = run(&pump(2.5, 2500.0), 0.0, &way);
        near(q[0], 1581.1, 0.05, "flow");
        near(h[0], 1.500, 5e-5, "head");
        near(head_asked(FLOW.of(l_h(1581.139)), LENGTH.of(0.0), &way, kinematic(NU)).value, 1.5, 1e-6, "asked");
    }

    #[test]
    fn equal_heights_share_by_the_root_of_their_losses() {
        // 4e-7 q1² = 1e-6 q2², q1 + q2 = 1500 L/h by hand: 918.9 and 581.1. A pump with a steep curve holds the total.
        let way = Way { pipe: square(0.0), end: End::Tee(vec![out(square(4e-7), 0.0), out(square(1e-6), 0.0)]) };
        let h = head_asked(FLOW.of(l_h(1500.0)), LENGTH.of(0.0), &way, kinematic(NU)).value;
        let q = [4e-7, 1e-6].map(|k| flow_into(&out(square(k), 0.0), h, NU, None) * 3.6e6);
        all(&q, &[918.9, 581.1], 0.06);
    }

    #[test]
    fn trunk_tees_and_beds() {
        // Nested bisection, and EPANET (WNTR): 1663.9, 389.0, 819.8, 455.0 L/h; heads 1.3926, 1.2498, 1.1939 m.
        let (q, h) = run(&pump(2.5, 2500.0), 0.0, &tank_and_beds(0.90));
        all(&q, &[1664.0, 388.8, 819.8, 455.5], 0.15);
        all(&q, &[1663.9, 389.0, 819.8, 455.0], 0.7);
        all(&h, &[1.3924, 1.2497, 1.1939], 1e-4);
        all(&h, &[1.3926, 1.2498, 1.1939], 4e-4);
        // The sump 0.1 and 0.2 m lower: 1602, 346, 808, 449 and 1538, 300, 797, 442 L/h.
        let (q, _) = run(&pump(2.5, 2500.0), -0.1, &tank_and_beds(0.90));
        all(&q, &[1602.0, 346.0, 808.0, 449.0], 1.0);
        let (q, _) = run(&pump(2.5, 2500.0), -0.2, &tank_and_beds(0.90));
        all(&q, &[1538.0, 300.0, 797.0, 442.0], 1.0);
    }

    #[test]
    fn an_outlet_too_high_gives_nothing() {
        // 1265.9, 402.3, 863.6, 0 L/h; EPANET 1265.7, 402.2, 863.5, 0.
        let (q, _) = run(&pump(1.8, 2500.0), 0.0, &tank_and_beds(1.75));
        assert_eq!(q[3], 0.0);
        all(&q, &[1265.9, 402.3, 863.6, 0.0], 1.0);
    }

    #[test]
    fn trunk_and_two_square_losses() {
        // Solved by Newton's method elsewhere: 961.0, 411.6 L/h, 1.3694 m at the tee; without the trunk 1084.4, 520.0.
        let ways = || vec![out(square(4e-7), 1.0), out(square(1e-6), 1.2)];
        let (q, h) = run(&pump(2.5, 2500.0), 0.0, &Way { pipe: square(2e-7), end: End::Tee(ways()) });
        all(&q[1..], &[961.0, 411.6], 0.06);
        near(h[1], 1.3694, 5e-5, "tee");
        let (q, _) = run(&pump(2.5, 2500.0), 0.0, &Way { pipe: square(0.0), end: End::Tee(ways()) });
        all(&q[1..], &[1084.4, 520.0], 0.06);
    }

    /// What one branch is held at the others get at the pump's head for all of it: as if the valve of the first lost the rest of its head.
    #[test]
    fn a_branch_is_held() {
        let ways = |mouth: Mouth, k: f64| {
            let held = Way { pipe: square(k), end: End::Outlet { height: LENGTH.of(1.0), mouth } };
            Way { pipe: square(2e-7), end: End::Tee(vec![held, out(square(1e-6), 1.2)]) }
        };
        let (q, h) = run(&pump(2.5, 2500.0), 0.0, &ways(Mouth::Held(FLOW.of(l_h(500.0))), 4e-7));
        near(q[1], 500.0, 1e-6, "held");
        near(h[0], 2.5 * (1.0 - (q[0] / 2500.0).powi(2)), 1e-6, "on the curve");
        // Its head is lost in the valve: (H - 1 m)/Q².
        let (other, _) = run(&pump(2.5, 2500.0), 0.0, &ways(Mouth::Air, (h[1] - 1.0) / 500f64.powi(2)));
        all(&other, &q, 0.01);
        // One that lets through more than comes holds nothing; one that lets nothing through is shut.
        let (free, _) = run(&pump(2.5, 2500.0), 0.0, &ways(Mouth::Air, 4e-7));
        let (q, _) = run(&pump(2.5, 2500.0), 0.0, &ways(Mouth::Held(FLOW.of(l_h(5000.0))), 4e-7));
        all(&q, &free, 1e-6);
        let [none, shut] =
            [Mouth::Held(FLOW.of(0.0)), Mouth::Shut].map(|m| run(&pump(2.5, 2500.0), 0.0, &ways(m, 4e-7)).0);
        all(&none, &shut, 1e-6);
    }

    #[test]
    fn dead_heads_shut_valves_and_water_that_runs_back() {
        let p = pump(1.0, 2000.0);
        let (q, h) = run(&p, 0.0, &tank_and_beds(0.90));
        assert!(q[0] > 0.0 && q[1] == 0.0 && h[0] < 1.0);
        let (q, h) = run(&pump(0.8, 2000.0), 0.0, &tank_and_beds(0.90));
        assert_eq!(q, [0.0; 4]);
        near(h[0], 0.9, 1e-9, "no flow");
        let shut = Way { pipe: pipe(26.0, 2.0, 1.0), end: End::Outlet { height: LENGTH.of(0.5), mouth: Mouth::Shut } };
        let (q, h) = run(&p, 0.0, &shut);
        assert_eq!(q, [0.0, 0.0]);
        near(h[0], 1.0, 1e-12, "full head");
        // Under water and higher than the head at the tee: it feeds the lower one. In air it gives nothing.
        for (mouth, back) in [(Mouth::Water, true), (Mouth::Air, false)] {
            let high = Way { pipe: pipe(20.0, 1.0, 2.0), end: End::Outlet { height: LENGTH.of(1.5), mouth } };
            let low = out(pipe(20.0, 1.0, 2.0), 0.2);
            let way = Way { pipe: pipe(26.0, 1.0, 1.0), end: End::Tee(vec![high, low]) };
            let (q, h) = run(&p, 0.0, &way);
            assert_eq!(q[1] < 0.0, back, "{q:?}");
            near(q[0], q[1] + q[2], 1e-6, "continuity");
            assert!(h[1] > 0.2 && q[2] > 0.0);
        }
    }

    /// A trickle through wide pipes: less than a micrometre of head, found to a part in ten thousand of the flow, which the pump's curve gives at no head.
    #[test]
    fn a_trickle_in_a_wide_pipe_has_its_head() {
        let end = End::Tee(vec![out(pipe(50.0, 1e-6, 1.0), 0.0), out(pipe(20.0, 1.0, 1.0), 1.0)]);
        let f = solve(&pump(2.5, 10.0), LENGTH.of(0.0), &Way { pipe: pipe(80.0, 1.0, 0.0), end }, kinematic(NU));
        near(f.pumped.value * 3.6e6, 10.0, 1e-3, "flow");
        // By hand, laminar: h = 128 ν L Q/(π g D⁴) (Hagen and Poiseuille) and v²/2g at the mouth.
        let q = l_h(10.0);
        let lost = 128.0 * NU * q / (std::f64::consts::PI * G * 0.08f64.powi(4));
        let mouth = (q / bore_area(mm(50.0))).powi(2) / (2.0 * G);
        assert!(lost < 3e-7, "{lost}");
        near(f.head.value / (lost + mouth), 1.0, 2e-3, "head");
    }

    #[test]
    fn any_tree_balances() {
        // Two tees on one tee, neither of them last in a row of tees.
        let sub = |z: f64| Way {
            pipe: pipe(20.0, 1.0, 1.0),
            end: End::Tee(vec![out(pipe(15.0, 1.0, 2.0), z), out(pipe(13.0, 3.0, 4.0), z + 0.2)]),
        };
        let way =
            Way { pipe: pipe(26.0, 1.0, 2.0), end: End::Tee(vec![sub(0.6), out(pipe(13.0, 2.0, 2.0), 0.8), sub(0.9)]) };
        let p = Pumps { together: Together::Parallel, ..pump(2.0, 2000.0) };
        let f = solve(&p, LENGTH.of(-0.1), &way, water::kinematic(water::at_celsius(20.0)));
        let sum: f64 = f.outlets.iter().map(|q| q.value).sum();
        near(sum, f.pumped.value, 1e-9, "continuity");
        near(p.flow(f.head).value / f.pumped.value, 1.0, 1e-5, "on the pump's curve");
        assert_eq!((f.outlets.len(), f.tees.len()), (5, 3));
        // Along every path the head falls by what is lost.
        let nu = water::kinematic(water::at_celsius(20.0)).value;
        let z = [0.6, 0.8, 0.8, 0.9, 1.1];
        let pipes = [
            pipe(15.0, 1.0, 2.0),
            pipe(13.0, 3.0, 4.0),
            pipe(13.0, 2.0, 2.0),
            pipe(15.0, 1.0, 2.0),
            pipe(13.0, 3.0, 4.0),
        ];
        let at = [1, 1, 0, 2, 2];
        for i in 0..5 {
            let h = f.tees[at[i]].value;
            near(z[i] + lost(&pipes[i], f.outlets[i].value, nu), h.max(z[i]), 1e-6, "path");
        }
        let trunk = lost(&pipe(26.0, 1.0, 2.0), f.pumped.value, nu);
        near(f.head.value - 0.1 - trunk, f.tees[0].value, 1e-6, "trunk");
    }

    #[test]
    fn pipe_flow_is_full_flow() {
        for d in [8.0, 15.29, 26.14, 52.0] {
            for l in [0.0, 0.1, 3.0, 60.0] {
                for k in [0.0, 1.0, 9.0, 500.0] {
                    for h in [1e-6, 1e-4, 0.01, 0.3, 2.0, 20.0] {
                        let p = pipe(d, l, k);
                        let q = pipe_flow(&p, h, NU);
                        let lossy = pipe(d, l, k.max(LEAST_LOSS));
                        let other = full_flow(&lossy, LENGTH.of(h), kinematic(NU)).value;
                        // The bracket promises a millionth of the flow without friction.
                        let most = bore_area(mm(d)) * (2.0 * G * h / k.max(LEAST_LOSS)).sqrt();
                        assert!(q > 0.0 && (q - other).abs() <= 2e-6 * most, "{d} {l} {k} {h}: {q} {other}");
                        if k > 0.0 {
                            near(lost(&p, q, NU) / h, 1.0, 1e-8, "back");
                        }
                    }
                }
            }
        }
    }
}
