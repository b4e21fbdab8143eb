//! Pump networks, siphons and rims against tables made elsewhere (tests/reference/make_networks.py says how): every row, and never fewer rows.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::science::network::{End, Flows, Mouth, Way, solve};
use brimwise::science::pipe::{Pipe, reynolds};
use brimwise::science::pump::{Curve, Pumps};
use brimwise::science::siphon::{self, Draining};
use brimwise::units::{KinematicViscosity, kinds::*};
use uom::si::kinematic_viscosity::square_meter_per_second;

/// Rows of a table by column name.
struct Table {
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn read(name: &str, least: usize) -> Self {
        let path = format!("{}/tests/reference/{name}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
        let mut lines = text.lines().filter(|l| !l.starts_with('#'));
        let split = |l: &str| l.split(',').map(str::to_string).collect::<Vec<_>>();
        let columns = split(lines.next().expect("column names"));
        let rows: Vec<_> = lines.map(split).collect();
        assert!(rows.len() >= least, "{name} has {} rows, had {least}", rows.len());
        assert!(rows.iter().all(|r| r.len() == columns.len()), "{name} is ragged");
        Self { columns, rows }
    }
    fn word<'a>(&'a self, row: &'a [String], column: &str) -> &'a str {
        let i = self.columns.iter().position(|c| c == column).unwrap_or_else(|| panic!("no column {column}"));
        &row[i]
    }
    fn num(&self, row: &[String], column: &str) -> f64 {
        self.word(row, column).parse().unwrap_or_else(|e| panic!("{column}: {e}"))
    }
}

fn nu() -> KinematicViscosity {
    KinematicViscosity::new::<square_meter_per_second>(1.0034e-6)
}

fn pipe(bore: f64, length: f64, k: f64) -> Pipe {
    Pipe {
        bore: SHORT_LENGTH.of(bore),
        length: LENGTH.of(length),
        roughness: SHORT_LENGTH.of(1.5e-6),
        loss: RATIO.of(k),
    }
}

struct Case<'a> {
    table: &'a Table,
    row: &'a [String],
}

impl Case<'_> {
    fn num(&self, column: &str) -> f64 {
        self.table.num(self.row, column)
    }
    fn trunk(&self, i: usize) -> Pipe {
        let n = |what: &str| self.num(&format!("trunk{i}_{what}"));
        pipe(n("bore_m"), n("length_m"), n("k"))
    }
    fn out(&self, i: usize) -> Way {
        let n = |what: &str| self.num(&format!("out{i}_{what}"));
        let mouth = match self.table.word(self.row, &format!("out{i}_mouth")) {
            "air" => Mouth::Air,
            "water" => Mouth::Water,
            other => panic!("mouth {other}"),
        };
        Way { pipe: pipe(n("bore_m"), n("length_m"), n("k")), end: End::Outlet { height: LENGTH.of(n("z_m")), mouth } }
    }
    fn tee(&self, trunk: usize, ways: Vec<Way>) -> Way {
        Way { pipe: self.trunk(trunk), end: End::Tee(ways) }
    }
    fn way(&self) -> Way {
        let out = |i| self.out(i);
        match self.table.word(self.row, "shape") {
            "one" => out(1),
            "two" => self.tee(1, vec![out(1), out(2)]),
            "three" => self.tee(1, vec![out(1), out(2), out(3)]),
            "four" => self.tee(1, vec![out(1), out(2), out(3), out(4)]),
            "run_of_two" => self.tee(1, vec![out(1), self.tee(2, vec![out(2), out(3)])]),
            "run_of_three" => self.tee(1, vec![out(1), self.tee(2, vec![out(2), self.tee(3, vec![out(3), out(4)])])]),
            "pair_of_pairs" => self.tee(1, vec![self.tee(2, vec![out(1), out(2)]), self.tee(3, vec![out(3), out(4)])]),
            "pair_first" => self.tee(1, vec![self.tee(2, vec![out(1), out(2)]), out(3)]),
            other => panic!("shape {other}"),
        }
    }
    fn pumps(&self) -> Pumps {
        let (h0, qm, n) = (LENGTH.of(self.num("h0_m")), FLOW.of(self.num("qm_m3_s")), RATIO.of(self.num("exponent")));
        Pumps::one(Curve::two_points(h0, qm, n).expect("a curve"))
    }
    fn solved(&self) -> Flows {
        solve(&self.pumps(), LENGTH.of(self.num("z_sump_m")), &self.way(), nu())
    }
    /// Largest difference of any flow from the named columns.
    fn miss(&self, flows: &Flows, who: &str) -> f64 {
        let mut worst = (flows.pumped.value - self.num(&format!("{who}_m3_s"))).abs();
        for (i, q) in flows.outlets.iter().enumerate() {
            worst = worst.max((q.value - self.num(&format!("{who}{}_m3_s", i + 1))).abs());
        }
        worst
    }
}

/// Reynolds numbers of all pipes that carry anything.
fn every_reynolds(way: &Way, outlets: &mut std::slice::Iter<brimwise::units::VolumeRate>, found: &mut Vec<f64>) -> f64 {
    let q = match &way.end {
        End::Outlet { .. } => outlets.next().map_or(0.0, |q| q.value),
        End::Tee(ways) => ways.iter().map(|w| every_reynolds(w, outlets, found)).sum(),
    };
    if q != 0.0 {
        found.push(reynolds(FLOW.of(q.abs()), way.pipe.bore, nu()).value);
    }
    q
}

/// The same equations solved by Newton-like iteration on all nodes: the difference is that of two solvers. Ours finds heads to 1e-11 m, of which
/// a flow goes as the root: 1e-7 of what is pumped covers it, also for an outlet that only just runs.
const SAME_EQUATIONS: f64 = 1e-7;

/// EPANET has another friction factor. Swamee-Jain and Churchill part by up to 3 % between Re 4000 and 1e5 in smooth pipe; a flow goes as the
/// root of the losses, of which friction is about a third: 0.5 % of the pumped flow.
const OTHER_FRICTION: f64 = 0.005;
/// Where a pipe runs at Re 1500 to 5000 its friction factors (a cubic there, Churchill's bridge here) part by a third; but such a pipe carries
/// little of the pumped flow, and half its loss is fittings: 3 %.
const OTHER_TRANSITION: f64 = 0.03;

#[test]
fn networks_against_epanet_and_node_balances() {
    let table = Table::read("networks.csv", 320);
    let (mut worst_same, mut worst_turbulent, mut worst_transition): (f64, f64, f64) = (0.0, 0.0, 0.0);
    for (i, row) in table.rows.iter().enumerate() {
        let case = Case { table: &table, row };
        let flows = case.solved();
        let sum: f64 = flows.outlets.iter().map(|q| q.value).sum();
        let total = flows.pumped.value;
        assert!((sum - total).abs() < 1e-12, "row {i}: {sum} comes out of {total}");
        let scale = flows.outlets.iter().fold(total, |m, q| m.max(q.value.abs()));
        let same = case.miss(&flows, "flow") / scale;
        assert!(same < SAME_EQUATIONS, "row {i}: {same} from the node balance\n{flows:?}\n{row:?}");
        let mut re = vec![];
        every_reynolds(&case.way(), &mut flows.outlets.iter(), &mut re);
        let transition = re.iter().any(|re| (1500.0..5000.0).contains(re));
        let epanet = case.miss(&flows, "epanet") / scale;
        let most = if transition { OTHER_TRANSITION } else { OTHER_FRICTION };
        assert!(epanet < most, "row {i}: {epanet} from EPANET\n{flows:?}\n{row:?}");
        worst_same = worst_same.max(same);
        if transition {
            worst_transition = worst_transition.max(epanet);
        } else {
            worst_turbulent = worst_turbulent.max(epanet);
        }
    }
    println!(
        "same equations {worst_same:.1e}, EPANET {worst_turbulent:.1e}, with a pipe in transition {worst_transition:.1e}"
    );
}

#[test]
fn siphons_against_the_differential_equation() {
    let table = Table::read("siphon_drain.csv", 144);
    let mut worst: f64 = 0.0;
    for (i, row) in table.rows.iter().enumerate() {
        let n = |c: &str| table.num(row, c);
        let (y1, y2, inflow) = (LENGTH.of(n("y1_m")), LENGTH.of(n("y2_m")), FLOW.of(n("q_in_m3_s")));
        let pipe = pipe(n("bore_m"), n("length_m"), n("k"));
        let (one, two) = (siphon::flow(&pipe, y1, nu()), siphon::flow(&pipe, y2, nu()));
        // The same equation, two root finders.
        assert!((one.value / n("flow1_m3_s") - 1.0).abs() < 1e-5 && (two.value / n("flow2_m3_s") - 1.0).abs() < 1e-5);
        let bed = Draining { area: AREA.of(n("area_m2")), high: y1, low: y2, flow_high: one, flow_low: two };
        let time = bed.drain_time(inflow).unwrap_or_else(|| panic!("row {i} drains")).value;
        // The analytic integral against the same equation integrated numerically.
        let square = (time / n("time_square_s") - 1.0).abs();
        assert!(square < 1e-4, "row {i}: {time}, integrated {}", n("time_square_s"));
        // Against friction that changes with the flow: c is a mean of its ends, good to 1 % over these falls; against an inflow of nine tenths of
        // what the siphon carries at its end, the difference of two near numbers magnifies it tenfold.
        let share = inflow / two;
        let varying = (time / n("time_s") - 1.0).abs();
        let most = if share.value > 0.8 { 0.06 } else { 0.012 };
        assert!(varying < most, "row {i}: {time}, integrated {}", n("time_s"));
        worst = worst.max(varying);
    }
    println!("varying friction {worst:.1e}");
}

/// The mean time of one solve, for the record; the bound is loose, since the build may be without optimisation on a busy machine.
#[test]
fn a_network_is_solved_at_once() {
    let table = Table::read("networks.csv", 320);
    let cases: Vec<_> = table
        .rows
        .iter()
        .map(|row| {
            let c = Case { table: &table, row };
            (c.pumps(), c.num("z_sump_m"), c.way())
        })
        .collect();
    let begin = std::time::Instant::now();
    let mut total = 0.0;
    for (pumps, z, way) in &cases {
        total += solve(pumps, LENGTH.of(*z), way, nu()).pumped.value;
    }
    let mean = begin.elapsed() / cases.len() as u32;
    assert!(total > 0.0);
    println!("{mean:?} a network");
    assert!(mean.as_micros() < 2000, "{mean:?}");
}
