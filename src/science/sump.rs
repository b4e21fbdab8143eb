//! Sumps: what is in them when beds are full or empty, when the pump starts and when it stops.

use super::network::{self, Way};
use super::pump::Pumps;
use super::solve;
use crate::catalog::sources::{Coef, waterways as src};
use crate::units::si::hours;
use crate::units::{Area, KinematicViscosity, Length, Ratio, Time, Velocity, Volume, VolumeRate, kinds::*};
use std::f64::consts::FRAC_PI_4;

/// The water that a sump has to do with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loads {
    /// Water under the pump's least level.
    pub submergence: Volume,
    /// Water that evaporates between two top-ups.
    pub evaporation: Volume,
    /// Water that all siphon beds together take and give.
    pub swing: Volume,
    /// Water that comes back when the pump stops.
    pub drain_back: Volume,
    /// Space kept dry under the rim.
    pub freeboard: Volume,
}

impl Loads {
    /// The least sump that does: `V_sub + V_evap + sum V_f + V_drain-back + freeboard` (conservation, source `sump_balance`).
    pub fn least_sump(&self) -> Volume {
        self.least_fill() + self.freeboard
    }
    /// The least water in the sump with the pump off and the beds drained: the least fill mark.
    pub fn least_fill(&self) -> Volume {
        self.submergence + self.evaporation + self.swing + self.drain_back
    }
}

/// How a sump is topped up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TopUp {
    /// By hand to a mark, the pump off and the beds drained.
    #[default]
    AtRest,
    /// By hand to a mark while it runs, whatever the beds hold.
    Running,
    /// By a float valve at the mark.
    Float,
}

/// Water in the sump at its extremes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Pump off, every bed drained.
    pub stop_high: Volume,
    /// Running, every bed just drained.
    pub run_high: Volume,
    /// Running, every bed full.
    pub run_low: Volume,
    /// The least: the same just before the next top-up, or with a float valve at a start. Below 0 where there is not so much water.
    pub lowest: Volume,
}

/// A tank that leaves through a flooded pipe whose end is in the sump's own water: at rest the two stand at one level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flooded {
    /// Its surface.
    pub area: Area,
    /// How far it stands over the sump while the pump runs: what the full pipe loses.
    pub over: Length,
    /// Top of the pipe's end over the sump's floor. Where the sump stands lower, the tank no longer follows: it stays as far over that.
    pub end: Length,
}

/// A sump with upright walls, and the tanks that share its level.
#[derive(Debug, Clone, Copy)]
pub struct Basin<'a> {
    /// Plan area of the sump.
    pub area: Area,
    /// The tanks that leave into its water.
    pub flooded: &'a [Flooded],
}

impl Basin<'_> {
    /// Of all the surface that shares one level at rest, the sump's part: `A_s/(A_s + sum A_k)`.
    pub fn part(&self) -> Ratio {
        self.area / self.flooded.iter().fold(self.area, |a, t| a + t.area)
    }
    /// Water in the sump and in those tanks while the pump runs, with so much of it in the sump: `A_s h + sum A_k (max(h, end_k) + d_k)`.
    pub fn holds(&self, sump: Volume) -> Volume {
        let level = sump / self.area;
        self.flooded.iter().fold(sump, |v, t| v + t.area * (level.max(t.end) + t.over))
    }
    /// What of so much water is in the sump while the pump runs: the inverse of [`Basin::holds`]. Below 0 where there is not so much water.
    pub fn settles(&self, water: Volume) -> Volume {
        // With every pipe's end under water the sump stands highest; each that is not leaves it lower, so that ends are found dry one after the other.
        let (mut at, mut dry) = (LENGTH.of(f64::INFINITY), usize::MAX);
        let mut sump = water;
        for _ in 0..=self.flooded.len() {
            let (mut left, mut shared) = (water, self.area);
            for t in self.flooded {
                left -= t.area * (t.over + if t.end > at { t.end } else { LENGTH.of(0.0) });
                shared += if t.end > at { AREA.of(0.0) } else { t.area };
            }
            sump = left * (self.area / shared);
            at = sump / self.area;
            let now = self.flooded.iter().filter(|t| t.end > at).count();
            if now == dry {
                break;
            }
            dry = now;
        }
        sump
    }
    /// The highest end of a pipe that has to be under water at rest, as water in the sump.
    fn ends(&self) -> Volume {
        self.flooded.iter().fold(VOLUME.of(0.0), |v, t| v.max(self.area * t.end))
    }

    /// Water in a sump that is filled to `mark`, at its extremes.
    ///
    /// Filled at rest: `run_high = mark - drain-back`, `run_low = run_high - swing`, `lowest = run_low - evaporation`, `stop_high = mark`. Filled while it runs,
    /// nobody knows what the beds hold: they may be full (then `stop_high = mark + swing + drain-back`) or drained (then `run_low = mark - swing`). A
    /// float valve refills at the low phase: `run_low = mark`, `stop_high = mark + swing + drain-back`. But a start takes what stands over the lips and
    /// in the pipes within a minute or two, long before the valve has given it: `lowest = mark - drain-back`. What beds take that were drained must have
    /// been filled in before such a start. All of it is water of the sump and of the tanks that share its level, `h (A_s + sum A_k)` at rest and
    /// [`Basin::holds`] while it runs: one tank alone makes `h = (V - A_k d)/(A_s + A_k)`. Conservation; source `sump_balance`.
    pub fn extremes(&self, mark: Volume, loads: &Loads, top_up: TopUp) -> Extremes {
        let (l, part) = (loads, self.part());
        match top_up {
            TopUp::AtRest => {
                let runs = mark / part - l.drain_back;
                let full = runs - l.swing;
                Extremes {
                    stop_high: mark,
                    run_high: self.settles(runs),
                    run_low: self.settles(full),
                    lowest: self.settles(full - l.evaporation),
                }
            }
            TopUp::Running => {
                let runs = self.holds(mark);
                Extremes {
                    stop_high: (runs + l.swing + l.drain_back) * part,
                    run_high: self.settles(runs + l.swing),
                    run_low: self.settles(runs - l.swing),
                    lowest: self.settles(runs - l.swing - l.evaporation),
                }
            }
            TopUp::Float => Extremes {
                stop_high: (self.holds(mark) + l.swing + l.drain_back) * part,
                run_high: self.settles(self.holds(mark) + l.swing),
                run_low: mark,
                lowest: self.settles(mark / part - l.drain_back),
            },
        }
    }

    /// The marks between which a sump of `brim` volume neither runs its pump dry nor spills, with every pipe's end under water at rest; the low one is
    /// the higher where none does.
    pub fn marks(&self, brim: Volume, loads: &Loads, top_up: TopUp) -> (Volume, Volume) {
        let (l, part) = (loads, self.part());
        let (room, least) = (brim - l.freeboard, self.holds(l.submergence));
        let below = || self.settles(room / part - l.swing - l.drain_back);
        let (low, high) = match top_up {
            TopUp::AtRest => ((least + l.evaporation + l.swing + l.drain_back) * part, room),
            TopUp::Running => (self.settles(least + l.evaporation + l.swing), below()),
            TopUp::Float => ((least + l.drain_back) * part, below()),
        };
        (low.max(self.ends()), high)
    }
}

/// One siphon bed in time: it fills evenly, then drains evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Water it takes and gives.
    pub swing: Volume,
    /// Time to fill.
    pub fill: Time,
    /// Time to drain.
    pub drain: Time,
}

impl Bed {
    /// Time of a cycle.
    pub fn cycle(&self) -> Time {
        self.fill + self.drain
    }

    /// Water of the swing that it holds, a share `phase` of a cycle after it was drained.
    fn held(&self, phase: f64) -> f64 {
        let (fill, cycle) = (self.fill.value, self.cycle().value);
        let t = phase.rem_euclid(1.0) * cycle;
        let share = if t < fill { t / fill } else { 1.0 - (t - fill) / self.drain.value.max(f64::MIN_POSITIVE) };
        self.swing.value * share.clamp(0.0, 1.0)
    }
}

/// How far the water in a sump swings over `time` with beds that begin so far into their cycles (shares of one after drained): most less least of
/// what they hold together.
///
/// Exact for beds that fill and drain evenly: the extremes lie where one of them turns. Never more than the sum of the swings. Source
/// `bed_phases`.
fn swing_over(beds: &[(Bed, Ratio)], time: Time) -> Volume {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut look = |t: f64| {
        let held: f64 = beds.iter().map(|(b, p)| b.held(p.value + t / b.cycle().value)).sum();
        (least, most) = (least.min(held), most.max(held));
    };
    for (bed, phase) in beds {
        let cycle = bed.cycle().value;
        if !(cycle > 0.0 && cycle.is_finite()) {
            continue;
        }
        let turns = [1.0 - phase.value.rem_euclid(1.0), bed.fill.value / cycle - phase.value.rem_euclid(1.0)];
        let cycles = (time.value / cycle).ceil().min(1e5) as u32;
        for i in 0..=cycles {
            for turn in turns {
                let t = (turn + f64::from(i)) * cycle;
                if t >= 0.0 && t <= time.value {
                    look(t);
                }
            }
        }
    }
    look(0.0);
    look(time.value);
    VOLUME.of((most - least).max(0.0))
}

/// The least that beds alike can swing together: evenly out of step. In step they swing the sum.
pub fn swing_out_of_step(bed: Bed, count: u32) -> Volume {
    let beds: Vec<_> = (0..count).map(|i| (bed, RATIO.of(f64::from(i) / f64::from(count.max(1))))).collect();
    swing_over(&beds, bed.cycle())
}

/// How fast a sump rises while siphons run at once: `(sum Q_s - sum Q_in)/A`, with what goes into their beds. All else that is pumped comes back
/// as before.
pub fn rise_rate(siphons: VolumeRate, into_beds: VolumeRate, area: Area) -> Velocity {
    VELOCITY.of((siphons.value - into_beds.value) / area.value)
}

/// A cloudburst that roofs are drained for.
pub const CLOUDBURST: Coef = Coef::new(102.6, "mm/h", &src::CLOUDBURST, "285 L/(s ha), the example's place");

/// What rain of a depth in an hour brings to open water: `Q = A h/t`.
pub fn rain(water: Area, in_an_hour: Length) -> VolumeRate {
    FLOW.of((water * in_an_hour).value / hours(1.0))
}

/// Water in a full pipe.
pub fn pipe_contents(bore: Length, length: Length) -> Volume {
    FRAC_PI_4 * bore * bore * length
}

/// A pump that starts: the tanks it feeds rise over their lips, the sump falls, and the lift grows until all agree.
pub struct StartUp<'a> {
    /// The pumps.
    pub pumps: &'a Pumps,
    /// The supply pipes, with outlets at their heights over the sump's water before the start.
    pub way: &'a Way,
    /// Viscosity.
    pub viscosity: KinematicViscosity,
    /// How far the sump falls at a flow: by what stands over the lips and is in the pipes then.
    pub fall: &'a dyn Fn(VolumeRate) -> Length,
    /// How far the water that a submerged return ends under rises at a flow, with the sump fallen so far; 0 for returns in air.
    pub rise: &'a dyn Fn(VolumeRate, Length) -> Length,
}

/// What a start settles at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Started {
    /// Flow.
    pub flow: VolumeRate,
    /// Flow if the sump's level did not fall.
    pub flow_level_held: VolumeRate,
    /// How far the sump's level falls.
    pub fall: Length,
}

/// Where a start settles: `z_sump(Q) + H_pump(Q) - loss(Q) - z_out(Q) = 0`, `z_sump = z0 - fall(Q)`; every term falls with Q, so there is one
/// root. To 1e-7 of the free flow.
pub fn start(s: &StartUp) -> Started {
    let most = s.pumps.free_flow().value;
    let at = |q: f64, falls: bool| {
        let q = FLOW.of(q);
        let fall = if falls { (s.fall)(q) } else { LENGTH.of(0.0) };
        let lower = fall + (s.rise)(q, fall);
        network::solve(s.pumps, -lower, s.way, s.viscosity).pumped.value - q.value
    };
    let found = |falls| FLOW.of(solve::crossing(|q| at(q, falls), 0.0, most, most * 1e-7));
    let flow = found(true);
    Started { flow, flow_level_held: found(false), fall: (s.fall)(flow) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    fn near(got: f64, expect: f64, tolerance: f64) {
        assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
    }
    fn litres(x: f64) -> Volume {
        VOLUME.of(l(x))
    }
    /// A sump that shares its level with nothing.
    fn alone() -> Basin<'static> {
        Basin { area: AREA.of(0.5), flooded: &[] }
    }

    /// Examples of DIN 1986-100 (reprint): 50 and 60 m² at 285 L/(s ha), 80 m² at 209 with nine tenths running off, are 1.43, 1.71 and 1.50 L/s.
    #[test]
    fn published_rain() {
        for (area, rate, printed) in [(50.0, 285.0, 1.43), (60.0, 285.0, 1.71), (80.0 * 0.9, 209.0, 1.50)] {
            // 1 L/(s ha) is 0.36 mm an hour.
            near(rain(AREA.of(area), SHORT_LENGTH.of(mm(rate * 0.36))).value / l(1.0), printed, 0.006);
        }
        near(CLOUDBURST.value, 285.0 * 0.36, 1e-9);
    }

    #[test]
    fn two_beds_on_a_sump() {
        // 2 beds of 105.6 L, 34 L of drain-back and pipes, 30 of evaporation (5 days of 6 L), 40 under the pump: 315.2 L by sum. That is also the fill
        // mark, pump off and beds empty; running with beds empty 281.2, with beds full 70.0, before the top-up 40.0.
        let loads = Loads {
            submergence: litres(40.0),
            evaporation: litres(5.0 * 6.0),
            swing: litres(2.0 * 105.6),
            drain_back: litres(0.020 * 1.2 * 1000.0 + 10.0),
            freeboard: litres(0.0),
        };
        near(loads.least_sump().value, l(315.2), 1e-12);
        let e = alone().extremes(loads.least_fill(), &loads, TopUp::AtRest);
        near(e.stop_high.value, l(315.2), 1e-12);
        near(e.run_high.value, l(281.2), 1e-12);
        near(e.run_low.value, l(70.0), 1e-12);
        near(e.lowest.value, l(40.0), 1e-12);
        // A float valve at the least level needs the swing and the drain-back above it, and for a start the drain-back below it.
        let float = alone().extremes(litres(40.0), &loads, TopUp::Float);
        near(float.stop_high.value - float.run_low.value, l(2.0 * 105.6 + 34.0), 1e-12);
        near(float.run_low.value - float.lowest.value, l(34.0), 1e-12);
        // Filled while it runs, nobody knows.
        let running = alone().extremes(litres(281.2), &loads, TopUp::Running);
        assert!(running.stop_high > e.stop_high && running.lowest <= e.lowest);
    }

    /// Tanks on flooded pipes: a network of 0.8 and 0.3 m² at 454.5 mm, 500 L, by hand; and no water made or lost, whatever the pipes' ends stand at.
    #[test]
    fn tanks_that_share_its_level() {
        let loads = Loads {
            submergence: litres(30.0),
            evaporation: litres(0.0),
            swing: litres(0.0),
            drain_back: litres(0.0),
            freeboard: litres(0.0),
        };
        let flooded = |area: f64, over: f64, end: f64| Flooded {
            area: AREA.of(area),
            over: LENGTH.of(mm(over)),
            end: LENGTH.of(mm(end)),
        };
        for (over, tank, sump) in [(16.3, 459.0, 442.7), (63.6, 471.9, 408.3)] {
            let one = [flooded(0.8, over, 60.0)];
            let b = Basin { area: AREA.of(0.3), flooded: &one };
            let e = b.extremes(litres(454.5 * 0.3), &loads, TopUp::AtRest);
            near(e.run_high.value / 0.3, mm(sump), mm(0.1));
            near(e.run_high.value / 0.3 + mm(over), mm(tank), mm(0.1));
            // Filled to that while it runs, it comes to rest where it did.
            let back = b.extremes(e.run_high, &loads, TopUp::Running);
            near(back.stop_high.value, e.stop_high.value, 1e-12);
        }
        let several = [flooded(0.8, 20.0, 60.0), flooded(1.5, 70.0, 300.0), flooded(0.2, 5.0, 200.0)];
        let b = Basin { area: AREA.of(0.3), flooded: &several };
        near(b.part().value, 0.3 / 2.8, 1e-12);
        for sump in [-20.0, 10.0, 18.0, 40.0, 60.0, 75.0, 90.0, 140.0] {
            near(b.settles(b.holds(litres(sump))).value, l(sump), 1e-12);
        }
        // An end that comes out of the water leaves the sump alone: below 60 mm all that is taken is the sump's.
        let fallen = b.settles(b.holds(litres(15.0))) - b.settles(b.holds(litres(15.0)) - litres(6.0));
        near(fallen.value, l(6.0), 1e-12);
        let shared = b.settles(b.holds(litres(140.0))) - b.settles(b.holds(litres(140.0)) - litres(6.0));
        near(shared.value, l(6.0 * 0.3 / 2.8), 1e-12);
        // At its two marks it just keeps its pump wet and just does not spill, all of it.
        let loads = Loads { evaporation: litres(18.0), swing: litres(60.0), drain_back: litres(25.0), ..loads };
        for top_up in [TopUp::AtRest, TopUp::Running, TopUp::Float] {
            let (low, high) = b.marks(litres(240.0), &loads, top_up);
            assert!(low < high && low >= litres(90.0), "{low:?} {high:?}");
            near(b.extremes(high, &loads, top_up).stop_high.value, l(240.0), 1e-12);
            let e = b.extremes(low, &loads, top_up);
            assert!(e.lowest.value >= l(30.0) - 1e-12, "{e:?}");
            // What stands over the rest while it runs, and what the lips hold, is the same water.
            near((b.holds(e.run_high) + loads.drain_back).value, (e.stop_high / b.part()).value, 1e-12);
        }
    }

    #[test]
    fn three_beds_on_a_sump() {
        // Drain-back 18.1 + 12 L of pipes, 30 evaporation, 40 submergence, 20 freeboard: 436.9 L, fill mark 416.9.
        let loads = Loads {
            submergence: litres(40.0),
            evaporation: litres(30.0),
            swing: litres(3.0 * 105.6),
            drain_back: litres(18.1 + 12.0),
            freeboard: litres(20.0),
        };
        near(loads.least_sump().value, l(436.9), 1e-12);
        near(loads.least_fill().value, l(416.9), 1e-12);
        let (low, high) = alone().marks(loads.least_sump(), &loads, TopUp::AtRest);
        near(low.value, high.value, 1e-12);
        for top_up in [TopUp::AtRest, TopUp::Running, TopUp::Float] {
            // At its two marks a sump just keeps its pump wet and just does not spill.
            let brim = litres(1000.0);
            let (low, high) = alone().marks(brim, &loads, top_up);
            near(alone().extremes(low, &loads, top_up).lowest.value, loads.submergence.value, 1e-12);
            near(alone().extremes(high, &loads, top_up).stop_high.value, (brim - loads.freeboard).value, 1e-12);
        }
    }

    fn bed(inflow: f64) -> Bed {
        // The bed of the siphon's worked example: 105.6 L, drained in 119.9 s against 8 L/min, 119.1 against 7.6.
        let drain = if inflow > 7.9 { 119.9 } else { 119.0 };
        Bed { swing: litres(105.6), fill: SECONDS.of(105.6 / inflow * 60.0), drain: SECONDS.of(drain) }
    }

    #[test]
    fn beds_in_and_out_of_step() {
        let days = |d: f64| DAYS.of(d * 86_400.0);
        let run = |beds: &[(Bed, f64)], d: f64| {
            let beds: Vec<_> = beds.iter().map(|(b, p)| (*b, RATIO.of(*p))).collect();
            swing_over(&beds, days(d)).value * 1000.0
        };
        // Simulated elsewhere over 14 days: one 105.6 L; two at 8.0 and 7.6 L/min 210.7 (210.3 within the first day), bound 211.2.
        near(run(&[(bed(8.0), 0.0)], 14.0), 105.6, 1e-9);
        let two = [(bed(8.0), 0.0), (bed(7.6), 0.0)];
        near(run(&two, 14.0), 210.7, 0.6);
        assert!(run(&two, 14.0) <= 211.2 && run(&two, 1.0) > 205.0);
        // Unequal cycles drift through every alignment whatever they begin with; three and four come near their sums.
        near(run(&[(bed(8.0), 0.1), (bed(7.6), 0.6)], 14.0), 210.7, 1.2);
        let four: Vec<_> = [8.0, 7.6, 7.2, 6.9].iter().enumerate().map(|(i, q)| (bed(*q), 0.2 * i as f64)).collect();
        let (three, four) = (run(&four[..3], 14.0), run(&four, 14.0));
        assert!((300.0..=316.8).contains(&three) && (380.0..=422.4).contains(&four), "{three} {four}");
        // Two alike keep their phase: 0.37 of a cycle apart they swing 121 L, in step 211.2.
        near(run(&[(bed(8.0), 0.0), (bed(8.0), 0.37)], 14.0), 121.0, 4.0);
        near(run(&[(bed(8.0), 0.3), (bed(8.0), 0.3)], 14.0), 211.2, 1e-6);
        // Evenly out of step is the least.
        let even = swing_out_of_step(bed(8.0), 2).value * 1000.0;
        assert!(even < 121.0 && even > 60.0, "{even}");
        near(swing_out_of_step(bed(8.0), 1).value, l(105.6), 1e-12);
    }

    #[test]
    fn a_sump_rises_fast() {
        // 0.35 m², siphons of 66 L/min each from beds that get 8 L/min: 2.8 mm/s for one, 8.2 for three.
        let area = AREA.of(0.35);
        near(rise_rate(FLOW.of(l_min(66.0)), FLOW.of(l_min(8.0)), area).value, mm_s(2.8), mm_s(0.06));
        near(rise_rate(FLOW.of(l_min(198.0)), FLOW.of(l_min(24.0)), area).value, mm_s(8.2), mm_s(0.1));
    }

    #[test]
    fn a_full_pipe() {
        // 2.4 m of 2 in pipe hold 5.1 L.
        near(pipe_contents(SHORT_LENGTH.of(mm(51.99)), LENGTH.of(2.4)).value, l(5.1), l(0.01));
    }
}
