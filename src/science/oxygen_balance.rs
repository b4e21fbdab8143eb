//! The steady oxygen of a tank, with its bed and sump; and how long it lasts when something stops.
//!
//! `f(C) = Q[(1-E) C_in + E C_s - C] + G_a (C_a - C) + (G_s + G_f)(C_s - C) - R = 0`: inflow with its fall, bubbles, surface, water lifted
//! and dropped back, against what is breathed. `f` falls with C, so there is exactly one root. With a constant R it is a straight line
//! (with one kink where a bed has used up all it gets), and is solved without iteration. A negative root is not an oxygen content: it says
//! that the demand cannot be met.

use super::solve::crossing;
use crate::units::{MassConcentration, MassRate, Ratio, Time, Volume, VolumeRate, kinds::*};

/// Bed and sump of a loop: water leaves the tank for the bed, then the sump, then the pump sends it back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    /// Water the bed renews against air: its transfer is `G_b (C_s - C_b)`.
    pub bed_gain: VolumeRate,
    /// What the bed's bacteria take.
    pub bed_demand: MassRate,
    /// Water the sump renews against air.
    pub sump_gain: VolumeRate,
}

/// What the inflow brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inflow {
    /// Water of a known oxygen content from elsewhere.
    Given(MassConcentration),
    /// The same water again: what it lost or gained outside the tank is counted in the tank.
    SameWater,
    /// The water of a loop through a bed and a sump.
    Loop(Loop),
    /// What the rest of a system sends back: `C_in = base + slope C`.
    Back(MassConcentration, Ratio),
}

/// Everything that brings oxygen into a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// Inflow Q.
    pub flow: VolumeRate,
    /// What it brings.
    pub inflow: Inflow,
    /// Share of its deficit that the inflow makes up in its fall, E.
    pub fall: Ratio,
    /// Water of this tank lifted and dropped back, as renewed water `Q_f E`, G_f.
    pub lifted: VolumeRate,
    /// Saturation C_s.
    pub saturation: MassConcentration,
    /// Water renewed by bubbles, G_a.
    pub air: VolumeRate,
    /// Saturation against bubbles, C_a.
    pub air_saturation: MassConcentration,
    /// Water renewed through the surface, G_s.
    pub surface: VolumeRate,
}

/// `a - b C` on one side of the kink.
#[derive(Debug, Clone, Copy)]
struct Line {
    a: f64,
    b: f64,
}

impl Line {
    fn at(self, c: f64) -> f64 {
        self.a - self.b * c
    }
}

/// What each way in brings at an oxygen content.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// The inflow, without its fall.
    pub inflow: MassRate,
    /// The fall of the inflow, and water lifted and dropped back.
    pub fall: MassRate,
    /// Bubbles.
    pub air: MassRate,
    /// The surface.
    pub surface: MassRate,
}

impl Supply {
    /// Nothing comes in but through the surface.
    pub fn cut_off(self, surface: VolumeRate) -> Self {
        Self { surface, ..self.without_pump().without_air() }
    }
    /// The pump is off: no inflow, no fall, nothing lifted.
    pub fn without_pump(self) -> Self {
        Self { flow: FLOW.of(0.0), lifted: FLOW.of(0.0), ..self }
    }
    /// The air is off.
    pub fn without_air(self) -> Self {
        Self { air: FLOW.of(0.0), ..self }
    }

    /// Oxygen contents of bed and sump when the tank stands at `c` and takes its water from them; `None` without a loop or without flow.
    pub fn bed_and_sump(&self, c: MassConcentration) -> Option<(MassConcentration, MassConcentration)> {
        let Inflow::Loop(l) = self.inflow else { return None };
        let (q, cs) = (self.flow.value, self.saturation.value);
        if q <= 0.0 {
            return None;
        }
        let bed = ((q * c.value + l.bed_gain.value * cs - l.bed_demand.value) / (q + l.bed_gain.value)).max(0.0);
        let sump = (q * bed + l.sump_gain.value * cs) / (q + l.sump_gain.value);
        Some((CONCENTRATION.of(bed), CONCENTRATION.of(sump)))
    }

    /// The tank's oxygen content at which the bed has used up all that it gets.
    fn kink(&self) -> Option<f64> {
        match self.inflow {
            Inflow::Loop(l) if self.flow.value > 0.0 => {
                Some((l.bed_demand.value - l.bed_gain.value * self.saturation.value) / self.flow.value)
            }
            _ => None,
        }
    }

    /// The two straight lines of `f(C; R = 0)`: above and below the kink.
    fn lines(&self) -> [Line; 2] {
        let (q, e, cs) = (self.flow.value, self.fall.value, self.saturation.value);
        let still = self.surface.value + self.lifted.value;
        let a = q * e * cs + self.air.value * self.air_saturation.value + still * cs;
        let b = q + self.air.value + still;
        // Inflow (1 - E) Q (x + y C).
        let with = |x: f64, y: f64| Line { a: a + q * (1.0 - e) * x, b: b - q * (1.0 - e) * y };
        match self.inflow {
            _ if q <= 0.0 => [with(0.0, 0.0); 2],
            Inflow::Given(c) => [with(c.value, 0.0); 2],
            // Q[(1-E) C + E C_s - C] is Q E (C_s - C): the flow itself cancels.
            Inflow::SameWater => [Line { a, b: q * e + self.air.value + still }; 2],
            Inflow::Back(base, slope) => [with(base.value, slope.value); 2],
            Inflow::Loop(l) => {
                let (gb, gs) = (l.bed_gain.value, l.sump_gain.value);
                let (bed0, bed1) = ((gb * cs - l.bed_demand.value) / (q + gb), q / (q + gb));
                let sump = |bed: f64| q * bed / (q + gs);
                [with(sump(bed0) + gs * cs / (q + gs), sump(bed1)), with(gs * cs / (q + gs), 0.0)]
            }
        }
    }

    /// Oxygen brought in when the tank stands at `c`: `f(C; R = 0)`. Negative above equilibrium, or where a loop brings poorer water.
    pub fn at(&self, c: MassConcentration) -> MassRate {
        OXYGEN_RATE.of(self.raw(c.value))
    }

    fn raw(&self, c: f64) -> f64 {
        let lines = self.lines();
        if self.kink().is_none_or(|k| c >= k) { lines[0].at(c) } else { lines[1].at(c) }
    }

    /// Oxygen of the inflow before its fall, when the tank stands at `c`.
    pub fn comes_in(&self, c: MassConcentration) -> MassConcentration {
        match self.inflow {
            Inflow::Given(x) => x,
            Inflow::SameWater => c,
            Inflow::Back(base, slope) => CONCENTRATION.of(base.value + slope.value * c.value),
            Inflow::Loop(_) => self.bed_and_sump(c).map_or(c, |(_, sump)| sump),
        }
    }

    /// What each way in brings at `c`; the parts of [`Supply::at`].
    pub fn shares(&self, c: MassConcentration) -> Shares {
        let c_in = self.comes_in(c);
        Shares {
            inflow: self.flow * (c_in - c),
            fall: self.flow * self.fall * (self.saturation - c_in) + self.lifted * (self.saturation - c),
            air: self.air * (self.air_saturation - c),
            surface: self.surface * (self.saturation - c),
        }
    }

    /// Root of `f(C; R) = 0` with a constant R. Below zero the demand cannot be met, and the number is no oxygen content. `None` where
    /// nothing at all brings oxygen.
    pub fn root(&self, demand: MassRate) -> Option<MassConcentration> {
        let [above, below] = self.lines();
        let of = |l: Line| (l.b > 0.0).then(|| (l.a - demand.value) / l.b);
        let c = match (self.kink(), of(above)) {
            (Some(k), Some(c)) if c < k => of(below)?,
            (Some(_), None) => of(below)?,
            (_, c) => c?,
        };
        Some(CONCENTRATION.of(c))
    }

    /// The settled oxygen content, or `None` where the demand cannot be met.
    pub fn settled(&self, demand: MassRate) -> Option<MassConcentration> {
        if demand.value <= 0.0 && self.lines()[0].b <= 0.0 {
            return Some(self.saturation);
        }
        self.root(demand).filter(|c| c.value >= 0.0)
    }

    /// Where the oxygen ends up if the fish breathe less below `critical`, in proportion: suffocation, never to be shown as acceptable.
    ///
    /// Root of `f(C) = 0` with `R min(1, C/C_c)`, which always exists; within 1e-9 kg/m3.
    pub fn tapered(&self, demand: MassRate, critical: MassConcentration) -> MassConcentration {
        let top = self.saturation.value.max(self.air_saturation.value).max(match self.inflow {
            Inflow::Given(c) => c.value,
            _ => 0.0,
        });
        let f = |c: f64| self.raw(c) - demand.value * taper(c, critical.value);
        CONCENTRATION.of(crossing(f, 0.0, top, TOLERANCE))
    }

    /// How long the oxygen takes from `from` down to `to`, or `None` if it never gets there.
    ///
    /// `V dC/dt = f(C)` with the demand tapered below `critical`; exact, piece by piece, because every piece is a straight line.
    pub fn time_down(
        &self,
        volume: Volume,
        demand: MassRate,
        critical: MassConcentration,
        from: MassConcentration,
        to: MassConcentration,
    ) -> Option<Time> {
        let (top, bottom, cc) = (from.value, to.value, critical.value);
        if top <= bottom {
            return Some(MINUTES.of(0.0));
        }
        let mut stops = [top, bottom, bottom, bottom];
        let mut kinks = [Some(cc), self.kink()];
        if kinks[1] > kinks[0] {
            kinks.swap(0, 1);
        }
        let inside = kinks.into_iter().flatten().filter(|k| *k < top && *k > bottom);
        stops.iter_mut().skip(1).zip(inside).for_each(|(stop, k)| *stop = k);
        let fall = |c: f64| demand.value * taper(c, cc) - self.raw(c);
        let mut seconds = 0.0;
        for pair in stops.windows(2) {
            let drop = pair[0] - pair[1];
            if drop <= 0.0 {
                continue;
            }
            let (fast, slow) = (fall(pair[0]), fall(pair[1]));
            if slow <= 0.0 || fast <= 0.0 {
                return None;
            }
            let ratio = fast / slow;
            let mean = if (ratio - 1.0).abs() < SMALL { (fast + slow) / 2.0 } else { (fast - slow) / ratio.ln() };
            seconds += volume.value * drop / mean;
        }
        Some(MINUTES.of(seconds))
    }

    /// The oxygen content after `time`, from `from`, with a constant demand (not tapered); not below zero.
    pub fn after(&self, volume: Volume, demand: MassRate, from: MassConcentration, time: Time) -> MassConcentration {
        let [above, below] = self.lines();
        let line = if self.kink().is_none_or(|k| from.value >= k) { above } else { below };
        let a = line.a - demand.value;
        let c = if line.b > 0.0 && volume.value > 0.0 {
            let end = a / line.b;
            end + (from.value - end) * (-line.b * time.value / volume.value).exp()
        } else {
            from.value + a * time.value / volume.value.max(f64::MIN_POSITIVE)
        };
        CONCENTRATION.of(c.max(0.0))
    }
}

fn taper(c: f64, critical: f64) -> f64 {
    if critical > 0.0 { (c / critical).clamp(0.0, 1.0) } else { 1.0 }
}

/// Tolerance of an oxygen content, kg/m3.
const TOLERANCE: f64 = 1e-9;
/// Ratio so near to one that the logarithmic mean is the arithmetic one.
const SMALL: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::aeration::{bubble_saturation, gain, metres_a_day, surface_gain};
    use crate::science::oxygen_saturation::{pressure_at, saturation};
    use crate::units::si::{celsius, g_h, l, mg_l};

    fn mg(x: f64) -> MassConcentration {
        CONCENTRATION.of(mg_l(x))
    }
    fn rate(x: f64) -> MassRate {
        OXYGEN_RATE.of(g_h(x))
    }
    /// m3/h.
    fn m3h(x: f64) -> VolumeRate {
        FLOW.of(x / 3600.0)
    }
    fn near(c: MassConcentration, expect: f64, within: f64) {
        let got = c.value * 1e3;
        assert!((got - expect).abs() <= within, "{got} not {expect}");
    }
    /// 25 °C, 1 atm, Q 1.0 m3/h at 6.0 mg/L, E 0.0797, SOTR 10.03 g/h with alpha 0.9, beta 0.98, K_L 0.5 m/day over 0.8 m2.
    fn first() -> Supply {
        let t = TEMPERATURE.of(celsius(25.0));
        let sea = PRESSURE.of(101_325.0);
        let cs = saturation(t, SALINITY.of(0.0), sea).unwrap();
        Supply {
            flow: m3h(1.0),
            inflow: Inflow::Given(mg(6.0)),
            fall: RATIO.of(0.0797),
            lifted: m3h(0.0),
            saturation: cs,
            air: gain(rate(10.03), RATIO.of(0.9), RATIO.of(1.0), t),
            air_saturation: bubble_saturation(cs, RATIO.of(0.98), LENGTH.of(0.0), sea, t),
            surface: surface_gain(AREA.of(0.8), metres_a_day(0.5)),
        }
    }

    /// Worked values that agree with an integration of the differential equation to the last digit given.
    #[test]
    fn one_tank() {
        let s = first();
        assert!((s.air.value * 3600.0 - 1.118).abs() < 0.0005 && (s.surface.value * 3600.0 - 0.0167).abs() < 0.00005);
        near(s.air_saturation, 8.098, 0.0005);
        let c = s.settled(rate(3.0)).unwrap();
        near(c, 5.796, 0.001);
        let parts = s.shares(c);
        let g = |m: MassRate| m.value / g_h(1.0);
        for (got, expect) in
            [(g(parts.inflow), 0.204), (g(parts.fall), 0.180), (g(parts.air), 2.574), (g(parts.surface), 0.041)]
        {
            assert!((got - expect).abs() < 0.0011, "{got} {expect}");
        }
        assert!((g(parts.inflow) + g(parts.fall) + g(parts.air) + g(parts.surface) - g(s.at(c))).abs() < 1e-9);
        near(s.settled(rate(3.0 * 1.4)).unwrap(), 5.234, 0.001);
        near(s.settled(rate(3.0 * 2.0)).unwrap(), 4.390, 0.001);
        near(s.without_pump().settled(rate(3.0)).unwrap(), 5.457, 0.001);
        near(s.without_air().settled(rate(3.0)).unwrap(), 3.264, 0.001);
        // Both off: the straight line has its root at -171.7, which is no oxygen content.
        let off = s.without_pump().without_air();
        near(off.root(rate(3.0)).unwrap(), -171.7, 0.1);
        assert_eq!(off.settled(rate(3.0)), None);
        near(off.tapered(rate(3.0), mg(2.0)), 0.091, 0.001);
        // Largest load for 5 mg/L at 0.3 g/kg/h.
        assert!((g(s.at(mg(5.0))) / 0.3 - 15.66).abs() < 0.01);
    }

    #[test]
    fn a_high_cold_tank_without_air() {
        let t = TEMPERATURE.of(celsius(12.0));
        let cs = saturation(t, SALINITY.of(0.0), pressure_at(LENGTH.of(600.0)).unwrap()).unwrap();
        let s = Supply {
            flow: m3h(3.6),
            inflow: Inflow::Given(mg(7.0)),
            fall: RATIO.of(0.1432),
            lifted: m3h(0.0),
            saturation: cs,
            air: m3h(0.0),
            air_saturation: cs,
            surface: surface_gain(AREA.of(2.0), metres_a_day(0.5)),
        };
        near(s.settled(rate(25.0 * 0.22)).unwrap(), 5.952, 0.001);
    }

    #[test]
    fn a_loop_is_not_saturated_water() {
        let with = |gb: f64| Supply {
            inflow: Inflow::Loop(Loop { bed_gain: m3h(gb), bed_demand: rate(2.6), sump_gain: m3h(0.02) }),
            ..first()
        };
        let s = with(0.5);
        let c = s.settled(rate(3.0)).unwrap();
        near(c, 5.166, 0.001);
        let (bed, sump) = s.bed_and_sump(c).unwrap();
        near(bed, 4.465, 0.001);
        near(sump, 4.540, 0.001);
        // What the three bodies take from the air is what fish and bed breathe.
        let g = |m: MassRate| m.value / g_h(1.0);
        let p = s.shares(c);
        let outside = s.saturation.value * 1e3;
        let taken = g(p.fall)
            + g(p.air)
            + g(p.surface)
            + 0.5 * (outside - bed.value * 1e3)
            + 0.02 * (outside - sump.value * 1e3);
        assert!((taken - 5.6).abs() < 1e-6, "{taken}");
        let poor = with(0.05);
        let c = poor.settled(rate(3.0)).unwrap();
        near(c, 4.015, 0.001);
        let (bed, sump) = poor.bed_and_sump(c).unwrap();
        near(bed, 1.741, 0.001);
        near(sump, 1.869, 0.001);
        // Taken for saturated, the inflow would promise 1.6 mg/L too much.
        let wrong = Supply { inflow: Inflow::Given(first().saturation), ..first() };
        near(wrong.settled(rate(3.0)).unwrap(), 6.77, 0.01);
    }

    #[test]
    fn a_bed_cannot_take_more_than_it_gets() {
        let s = Supply {
            inflow: Inflow::Loop(Loop { bed_gain: m3h(0.05), bed_demand: rate(60.0), sump_gain: m3h(0.02) }),
            ..first()
        };
        let c = s.settled(rate(3.0)).unwrap();
        let (bed, sump) = s.bed_and_sump(c).unwrap();
        assert_eq!(bed.value, 0.0);
        assert!(sump.value > 0.0 && c.value > 0.0);
        assert!((s.at(c).value - g_h(3.0)).abs() < 1e-15);
        // The same with the kink on either side of the root, always falling.
        let mut last = f64::INFINITY;
        for i in 0..1000 {
            let now = s.at(mg(0.01 * f64::from(i))).value;
            assert!(now < last, "{i}");
            last = now;
        }
    }

    /// 500 L, 10 kg at 300 mg/kg/h, 6.5 to 3 mg/L: 35 min at the mean of the fish alone; 25 at 1.4, 17.5 at 2.0 or with the whole system,
    /// 12.5 with the whole system at 1.4.
    #[test]
    fn minutes_to_danger() {
        let s = first().cut_off(m3h(0.0));
        let minutes = |share: f64| {
            s.time_down(VOLUME.of(l(500.0)), rate(3.0 * share), mg(2.0), mg(6.5), mg(3.0)).unwrap().value / 60.0
        };
        for (share, expect) in [(1.0, 35.0), (1.4, 25.0), (2.0, 17.5), (2.8, 12.5)] {
            assert!((minutes(share) - expect).abs() < 1e-6, "{share}: {}", minutes(share));
        }
        // 1000 L/h from 7.5 to 5 mg/L carries 8.33 kg at 300 mg/kg/h.
        let flow = Supply { fall: RATIO.of(0.0), inflow: Inflow::Given(mg(7.5)), ..first().without_air() };
        let flow = Supply { surface: m3h(0.0), ..flow };
        assert!((flow.at(mg(5.0)).value / g_h(0.3) - 8.333).abs() < 0.001);
    }

    #[test]
    fn times_agree_with_small_steps() {
        let s = first().without_air();
        let volume = VOLUME.of(l(400.0));
        for (demand, to) in [(8.0, 4.0), (12.0, 1.0), (12.0, 2.5)] {
            let exact = s.time_down(volume, rate(demand), mg(2.0), mg(6.0), mg(to)).unwrap().value;
            let (mut c, mut t, step) = (6.0e-3, 0.0, 0.2);
            while c > to * 1e-3 {
                let f = |c: f64| (s.raw(c) - g_h(demand) * taper(c, 2e-3)) / volume.value;
                c += step * f(c + step / 2.0 * f(c));
                t += step;
            }
            assert!((exact - t).abs() < 1.0, "{demand} {to}: {exact} {t}");
        }
        assert_eq!(s.time_down(volume, rate(1.0), mg(2.0), mg(6.0), mg(4.0)), None, "it settles above");
        assert_eq!(s.time_down(volume, rate(1.0), mg(2.0), mg(4.0), mg(6.0)).unwrap().value, 0.0);
    }

    #[test]
    fn after_a_while_it_settles() {
        let s = first();
        let volume = VOLUME.of(l(500.0));
        let c = s.after(volume, rate(3.0), mg(8.0), HOURS.of(3600.0 * 24.0));
        near(c, 5.796, 0.001);
        let still = s.cut_off(m3h(0.0));
        near(still.after(volume, rate(3.0), mg(6.5), MINUTES.of(35.0 * 60.0)), 3.0, 1e-6);
        assert_eq!(still.after(volume, rate(3.0), mg(6.5), HOURS.of(36_000.0)).value, 0.0);
        assert_eq!(still.settled(rate(0.0)), Some(s.saturation));
        assert_eq!(still.settled(rate(1.0)), None);
    }
}
