//! What goes round with the water: the content that a dissolved thing settles at in every body of a system, each of them mixed.
//!
//! For every body, steady, `sum q_in [(1-E) C_from + E C_s] - q C + G (C_o - C) + P - R - U min(C/C_1, 1) = 0`: what water brings and takes
//! along, what is renewed against air, what is made, what is taken as far as there is any (R, nothing at C = 0), and what is taken in proportion
//! up to a full rate (U). Contents rise with one another and fall with what is taken, so there is one solution; it is a straight line
//! between its kinks, and is found by growing the sets of bodies that are past a kink, each at most once (source `oxygen_balance`).

use crate::units::{MassConcentration, MassRate, Ratio, VolumeRate, kinds::*};

/// One mixed body of water.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Body {
    /// Water renewed against air, G.
    pub gain: VolumeRate,
    /// Content that this renewal tends to, C_o.
    pub outside: MassConcentration,
    /// Share of its lack that all water makes up as it falls in, E.
    pub fall: Ratio,
    /// Content that the fall tends to, C_s.
    pub saturation: MassConcentration,
    /// Put in, P.
    pub made: MassRate,
    /// Taken as far as there is any, R.
    pub taken: MassRate,
    /// Share of the film that takes R.
    pub film: Ratio,
    /// Taken in proportion to the content, at the most, U.
    pub full: MassRate,
    /// Content from which it is taken at the most, C_1.
    pub full_at: MassConcentration,
}

/// A pivot below this share of its row's flows is none: nothing leaves.
const NO_PIVOT: f64 = 1e-12;
/// How near a limit is near enough, as a share of it; and the most steps to it.
const SETTLED: f64 = 1e-9;
const STEPS: usize = 80;
/// Rounding of a content, as a share of the largest term.
const ROUNDING: f64 = 1e-13;

/// What comes back to a body with the water, as a straight line in its own content: `C_in = base + slope C + film (1 - s)` where its fish are
/// the share s of what they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Returns {
    /// What would come back if the body itself held nothing.
    pub base: MassConcentration,
    /// Share of its own content that comes back.
    pub slope: Ratio,
    /// What more would come back without the film that lives on its fish.
    pub film: MassConcentration,
}

/// Bodies, and the water that runs between them.
#[derive(Debug, Clone, Default)]
pub struct Round {
    /// The bodies.
    pub bodies: Vec<Body>,
    /// From which to which, and how much.
    pub ways: Vec<(usize, usize, VolumeRate)>,
    /// Bodies whose inflow comes from elsewhere: what the ways would bring to them is lost.
    pub given: Vec<usize>,
}

/// Which side of its kinks a body is on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Side {
    /// There is some of it, so all that is asked is taken.
    some: bool,
    /// Taken at the most.
    full: bool,
}

impl Round {
    /// What all bodies settle at. `None` where more is made than can ever leave or be taken: it gathers for ever.
    pub fn settle(&self) -> Option<Vec<MassConcentration>> {
        let (c, _) = self.solve(None, &|_| 0.0)?;
        // What is below nothing is rounding.
        Some(c.into_iter().map(|c| CONCENTRATION.of(c[0].max(0.0))).collect())
    }

    /// What all bodies settle at where all that is made is `share` times as much, and what each rises by with the share; `None` as
    /// [`Round::settle`].
    fn scaled(&self, share: f64) -> Option<Vec<[f64; 3]>> {
        let mut scaled = self.clone();
        scaled.bodies.iter_mut().for_each(|b| b.made *= share);
        Some(scaled.solve(None, &|i| self.bodies[i].made.value)?.0)
    }

    /// How many times as much may be made until the first of some bodies holds its limit; `most` where none does before that.
    ///
    /// Contents rise with what is made, in straight pieces that only get steeper (what is taken grows no further past a kink), so steps along
    /// the present piece end at the limit after as many as there are kinks; where such a step leaves what is known, the middle is tried.
    pub fn until(&self, limits: &[(usize, MassConcentration)], most: Ratio) -> Ratio {
        let most = most.value;
        let (mut low, mut high) = (0.0f64, most);
        let mut at = (1.0f64).min(most / 2.0);
        for _ in 0..STEPS {
            let next = match self.scaled(at) {
                None => {
                    high = at;
                    f64::NAN
                }
                Some(c) => {
                    let past = |&(k, limit): &(usize, MassConcentration)| {
                        let over = c[k][0] - limit.value;
                        (over / limit.value, at - over / c[k][2].max(f64::MIN_POSITIVE))
                    };
                    let Some((over, next)) = limits.iter().map(past).reduce(|a, b| if b.0 > a.0 { b } else { a })
                    else {
                        return RATIO.of(most);
                    };
                    if over.abs() < SETTLED {
                        return RATIO.of(at);
                    }
                    if over > 0.0 {
                        high = high.min(at);
                    } else {
                        low = low.max(at);
                    }
                    next
                }
            };
            if high - low <= SETTLED * most {
                break;
            }
            at = if next > low && next < high { next } else { (low + high) / 2.0 };
        }
        RATIO.of(low)
    }

    /// What comes back to `body` while it holds `at`, and its fish feed a film that takes so much of R; `None` where nothing flows in, or as
    /// [`Round::settle`].
    pub fn returns(&self, body: usize, at: MassConcentration, film: MassRate) -> Option<Returns> {
        let inflow: f64 = self.ways.iter().filter(|w| w.1 == body).map(|w| w.2.value).sum();
        if inflow <= 0.0 {
            return None;
        }
        let (c, _) = self.solve(Some((body, at.value)), &|i| (film * self.bodies[i].film).value)?;
        let mean =
            |k: usize| self.ways.iter().filter(|w| w.1 == body).map(|w| w.2.value * c[w.0][k]).sum::<f64>() / inflow;
        let slope = mean(1);
        Some(Returns {
            base: CONCENTRATION.of(mean(0) - slope * at.value),
            slope: RATIO.of(slope),
            film: CONCENTRATION.of(mean(2)),
        })
    }

    /// Contents, what each rises by with a unit in the fixed body, and with so much `more` in every body.
    fn solve(&self, fixed: Option<(usize, f64)>, more: &dyn Fn(usize) -> f64) -> Option<(Vec<[f64; 3]>, Vec<Side>)> {
        let n = self.bodies.len();
        // Most often there is some everywhere: tried first, and taken if it is so.
        let mut sides = vec![Side { some: true, full: false }; n];
        let mut grown = false;
        for _ in 0..4 * n + 4 {
            let Some(c) = self.linear(fixed, more, &sides) else {
                if grown {
                    return None;
                }
                grown = true;
                sides.fill(Side::default());
                self.grow(fixed, &vec![[0.0; 3]; n], &mut sides);
                continue;
            };
            if !grown && c.iter().zip(&self.bodies).any(|(c, b)| c[0] < 0.0 && b.taken.value > 0.0) {
                grown = true;
                sides.fill(Side::default());
                self.grow(fixed, &vec![[0.0; 3]; n], &mut sides);
                continue;
            }
            if !self.grow(fixed, &c, &mut sides) {
                return Some((c, sides));
            }
        }
        None
    }

    /// Moves bodies past the kinks that `c` is past; true if any was.
    fn grow(&self, fixed: Option<(usize, f64)>, c: &[[f64; 3]], sides: &mut [Side]) -> bool {
        let mut moved = false;
        for (i, b) in self.bodies.iter().enumerate() {
            if fixed.is_some_and(|f| f.0 == i) {
                continue;
            }
            if !sides[i].some {
                let (come, size) = self.at_nothing(i, c);
                if come > ROUNDING * size {
                    (sides[i].some, moved) = (true, true);
                }
            }
            if sides[i].some && !sides[i].full && b.full.value > 0.0 && c[i][0] > b.full_at.value {
                (sides[i].full, moved) = (true, true);
            }
        }
        moved
    }

    /// What would be left over in a body that holds nothing, and the size of its terms.
    fn at_nothing(&self, i: usize, c: &[[f64; 3]]) -> (f64, f64) {
        let b = &self.bodies[i];
        let e = b.fall.value;
        let into = self.ways.iter().filter(|w| w.1 == i && !self.given.contains(&i));
        let come = into.map(|w| w.2.value * ((1.0 - e) * c[w.0][0] + e * b.saturation.value));
        let come = come.sum::<f64>() + b.gain.value * b.outside.value + b.made.value;
        (come - b.taken.value, come + b.taken.value)
    }

    /// The linear system between the kinks.
    fn linear(
        &self,
        fixed: Option<(usize, f64)>,
        more: &dyn Fn(usize) -> f64,
        sides: &[Side],
    ) -> Option<Vec<[f64; 3]>> {
        let n = self.bodies.len();
        let wide = n + 3;
        let mut a = vec![0.0; n * wide];
        let mut size = vec![0.0; n];
        for (i, b) in self.bodies.iter().enumerate() {
            let row = &mut a[i * wide..(i + 1) * wide];
            if let Some((_, c)) = fixed.filter(|f| f.0 == i) {
                (row[i], row[n], row[n + 1], size[i]) = (1.0, c, 1.0, 1.0);
                continue;
            }
            if !sides[i].some {
                (row[i], size[i]) = (1.0, 1.0);
                continue;
            }
            let (mut out, mut right) = (b.gain.value, b.gain.value * b.outside.value + b.made.value - b.taken.value);
            for &(from, to, q) in &self.ways {
                if from == i {
                    out += q.value;
                }
                if to == i && !self.given.contains(&i) {
                    row[from] -= q.value * (1.0 - b.fall.value);
                    right += q.value * b.fall.value * b.saturation.value;
                }
            }
            if b.full.value > 0.0 {
                if sides[i].full {
                    right -= b.full.value;
                } else {
                    out += b.full.value / b.full_at.value;
                }
            }
            if out <= 0.0 {
                // Still water that nothing is put into and nothing leaves.
                if b.made.value > 0.0 {
                    return None;
                }
                (row[i], size[i]) = (1.0, 1.0);
                continue;
            }
            row[i] += out;
            (row[n], row[n + 2]) = (right, more(i));
            size[i] = out;
        }
        eliminate(&mut a, n, wide, &size)?;
        Some((0..n).map(|i| [a[i * wide + n], a[i * wide + n + 1], a[i * wide + n + 2]]).collect())
    }
}

/// Gauss and Jordan; rows are weakly diagonal-dominant, so the pivots stand on the diagonal. `None` where one vanishes.
fn eliminate(a: &mut [f64], n: usize, wide: usize, size: &[f64]) -> Option<()> {
    for k in 0..n {
        let pivot = a[k * wide + k];
        if pivot.is_nan() || pivot <= NO_PIVOT * size[k] || size[k] <= 0.0 {
            return None;
        }
        for j in k..wide {
            a[k * wide + j] /= pivot;
        }
        for i in 0..n {
            let f = a[i * wide + k];
            if i != k && f != 0.0 {
                for j in k..wide {
                    a[i * wide + j] -= f * a[k * wide + j];
                }
            }
        }
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::{g_h, mg_l};

    fn m3h(x: f64) -> VolumeRate {
        FLOW.of(x / 3600.0)
    }
    fn mg(x: f64) -> MassConcentration {
        CONCENTRATION.of(mg_l(x))
    }
    fn rate(x: f64) -> MassRate {
        OXYGEN_RATE.of(g_h(x))
    }
    fn near(c: MassConcentration, expect: f64, within: f64) {
        let got = c.value * 1e3;
        assert!((got - expect).abs() <= within, "{got} not {expect}");
    }

    /// Tank, bed and sump of check value OB6: 25 °C, saturation 8.263 mg/L, against bubbles 8.098.
    fn loop_of(bed_gain: f64) -> Round {
        let cs = mg(8.2631);
        let (ga, gs) = (1.118, 0.016_667);
        let tank = Body {
            gain: m3h(ga + gs),
            outside: mg((ga * 8.098 + gs * 8.2631) / (ga + gs)),
            fall: RATIO.of(0.0797),
            saturation: cs,
            taken: rate(3.0),
            ..Body::default()
        };
        let bed = Body { gain: m3h(bed_gain), outside: cs, taken: rate(2.6), film: RATIO.of(1.0), ..Body::default() };
        let sump = Body { gain: m3h(0.02), outside: cs, ..Body::default() };
        let q = m3h(1.0);
        Round { bodies: vec![tank, bed, sump], ways: vec![(0, 1, q), (1, 2, q), (2, 0, q)], given: vec![] }
    }

    #[test]
    fn tank_bed_and_sump() {
        // The same three by an ODE: 5.166, 4.465, 4.540 mg/L; with a bed that hardly breathes air 4.015, 1.741, 1.869.
        for (gain, expect) in [(0.5, [5.166, 4.465, 4.540]), (0.05, [4.015, 1.741, 1.869])] {
            let c = loop_of(gain).settle().expect("settles");
            for (c, e) in c.iter().zip(expect) {
                near(*c, e, 0.0015);
            }
        }
    }

    #[test]
    fn what_comes_back_is_the_line_through_what_settles() {
        let round = loop_of(0.5);
        let c = round.settle().expect("settles");
        let r = round.returns(0, mg(5.0), rate(2.6)).expect("flows");
        near(CONCENTRATION.of(r.base.value + r.slope.value * c[0].value), c[2].value * 1e3, 1e-9);
        // Without the bed's film the same line lies higher by what the film took.
        let mut bare = round.clone();
        bare.bodies[1].taken = rate(0.0);
        let b = bare.returns(0, mg(5.0), rate(0.0)).expect("flows");
        near(CONCENTRATION.of(r.base.value + r.film.value), b.base.value * 1e3, 1e-9);
        assert_eq!(round.returns(1, mg(3.0), rate(2.6)).map(|r| r.slope.value < 1.0), Some(true));
    }

    #[test]
    fn nothing_goes_below_nothing() {
        let mut round = loop_of(0.05);
        round.bodies[1].taken = rate(60.0);
        let c = round.settle().expect("settles");
        assert_eq!(c[1].value, 0.0);
        assert!(c[0].value > 0.0 && c[2].value > 0.0 && c[2] < c[0]);
    }

    #[test]
    fn what_is_made_and_never_taken_gathers() {
        let full = Body { full: rate(2.0), full_at: mg(1.0), ..Body::default() };
        let of = |made: f64| Round {
            bodies: vec![Body { made: rate(made), ..Body::default() }, full],
            ways: vec![(0, 1, m3h(1.0)), (1, 0, m3h(1.0))],
            given: vec![],
        };
        // Half the full rate is taken at half the content; the tank stands higher by made over flow.
        let c = of(1.0).settle().expect("settles");
        near(c[1], 0.5, 1e-9);
        near(c[0], 1.5, 1e-9);
        assert_eq!(of(2.5).settle(), None);
    }

    /// Against halving: what every share between nothing and the filter's own most settles at is looked at, and the first past a limit is found.
    #[test]
    fn what_may_be_made_until_a_limit() {
        let tank = |made: f64| Body { made: rate(made), ..Body::default() };
        let film = |most: f64| Body { full: rate(most), full_at: mg(1.0), ..Body::default() };
        let (q, p) = (m3h(1.0), m3h(0.4));
        let round = Round {
            bodies: vec![tank(0.6), tank(0.3), film(1.2), film(0.8)],
            ways: vec![(0, 2, q), (1, 3, p), (2, 0, q), (3, 1, p), (2, 3, p), (3, 2, p)],
            given: vec![],
        };
        let most = 2.0 / 0.9;
        for limits in [vec![(0, 0.8)], vec![(0, 1.5), (1, 0.9)], vec![(1, 3.0)], vec![(0, 50.0)], vec![]] {
            let of = limits.iter().map(|&(k, x)| (k, mg(x))).collect::<Vec<_>>();
            let past = |share: f64| match round.scaled(share) {
                None => true,
                Some(c) => of.iter().any(|(k, limit)| c[*k][0] > limit.value),
            };
            let (mut low, mut high) = (0.0, most);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                if past(middle) { high = middle } else { low = middle }
            }
            let got = round.until(&of, RATIO.of(most)).value;
            assert!((got - low).abs() < 1e-7 * most, "{limits:?}: {got} not {low}");
        }
    }

    #[test]
    fn two_tanks_share_what_the_water_carries() {
        // Two tanks side by side on one sump: the rich one lends to the poor one.
        let tank =
            |gain: f64, taken: f64| Body { gain: m3h(gain), outside: mg(8.0), taken: rate(taken), ..Body::default() };
        let q = m3h(1.0);
        let round = Round {
            bodies: vec![tank(2.0, 2.0), tank(0.2, 2.0), Body::default()],
            ways: vec![(2, 0, q), (2, 1, q), (0, 2, q), (1, 2, q)],
            given: vec![],
        };
        let c = round.settle().expect("settles");
        // By hand: C1 = (Cs + 14)/3, C2 = (Cs - 0.4)/1.2, Cs = (C1 + C2)/2.
        let sump = (14.0 / 3.0 - 0.4 / 1.2) / 2.0 / (1.0 - (1.0 / 3.0 + 1.0 / 1.2) / 2.0);
        near(c[2], sump, 1e-9);
        near(c[0], (sump + 14.0) / 3.0, 1e-9);
        near(c[1], (sump - 0.4) / 1.2, 1e-9);
    }
}
