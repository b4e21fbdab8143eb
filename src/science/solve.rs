//! The one root finder of the crate: bracketing, with a cap on the number of evaluations that holds for every function.

use std::fmt;

/// Why there is no root to report.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoRoot {
    /// The function has the same sign at both ends of the bracket.
    SameSign {
        /// Its value at the lower end.
        at_low: f64,
        /// Its value at the upper end.
        at_high: f64,
    },
    /// The function, or an end of the bracket, is not a number.
    NotANumber,
}

impl fmt::Display for NoRoot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SameSign { at_low, at_high } => write!(f, "no change of sign between {at_low} and {at_high}"),
            Self::NotANumber => write!(f, "not a number within the bracket"),
        }
    }
}

/// Most evaluations inside the bracket, whatever the tolerance: 52 halvings exhaust a 64-bit float, with one spare.
pub const MOST_STEPS: u32 = 53;
/// First parameter of the method, times the width of the bracket; the authors' choice.
const K1: f64 = 0.2;
/// Projection steps granted beyond those of bisection; the authors' choice.
const SPARE: u32 = 1;

/// A point within `tolerance` of where `f` changes sign between `low` and `high`.
///
/// The ITP method (interpolate, truncate, project: Oliveira and Takahashi 2021, ACM Trans. Math. Softw. 47(1), with k1 = 0.2/(b - a),
/// k2 = 2, n0 = 1; from memory, proved here by the tests): the secant's speed on smooth functions, never more than one evaluation over
/// bisection on any.
///
/// *Guarantee.* If `f(low)` and `f(high)` differ in sign (or one is zero) and `f` is a number throughout, the result lies within
/// `tolerance` of a change of sign, after at most 2 + ceil(log2((high - low)/(2 tolerance))) + 1 evaluations, capped at 2 +
/// [`MOST_STEPS`]. `f` need not be continuous: a jump through zero counts. The ends may come in either order.
///
/// # Errors
/// [`NoRoot`] where the ends do not bracket a root, or something is not a number.
///
/// ```
/// use brimwise::science::solve::root;
/// let x = root(|x| x * x - 2.0, 0.0, 2.0, 1e-12).unwrap();
/// assert!((x - 2f64.sqrt()).abs() <= 1e-12);
/// ```
pub fn root(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Result<f64, NoRoot> {
    let (at_low, at_high) = (f(low), f(high));
    bracketed(&mut f, (low, at_low), (high, at_high), tolerance)
}

/// [`root`], where the values at the ends are known already.
///
/// # Errors
/// As [`root`].
pub fn root_between(
    mut f: impl FnMut(f64) -> f64,
    low: (f64, f64),
    high: (f64, f64),
    tolerance: f64,
) -> Result<f64, NoRoot> {
    bracketed(&mut f, low, high, tolerance)
}

/// The search itself, once in the program: what is looked for costs more than a call through a pointer.
fn bracketed(
    f: &mut dyn FnMut(f64) -> f64,
    (low, at_low): (f64, f64),
    (high, at_high): (f64, f64),
    tolerance: f64,
) -> Result<f64, NoRoot> {
    if !(low.is_finite() && high.is_finite()) || at_low.is_nan() || at_high.is_nan() {
        return Err(NoRoot::NotANumber);
    }
    if at_low == 0.0 {
        return Ok(low);
    }
    if at_high == 0.0 {
        return Ok(high);
    }
    if (at_low < 0.0) == (at_high < 0.0) {
        return Err(NoRoot::SameSign { at_low, at_high });
    }
    // From here on the function rises from a to b in sign: s f(a) < 0 < s f(b).
    let s = if at_low < 0.0 { 1.0 } else { -1.0 };
    let ((mut a, mut fa), (mut b, mut fb)) = ((low, s * at_low), (high, s * at_high));
    let width = (b - a).abs();
    let tolerance = tolerance.abs().max(width * f64::EPSILON).max(f64::MIN_POSITIVE);
    let halvings = (width / (2.0 * tolerance)).log2().ceil().max(0.0);
    let most = (halvings as u32 + SPARE).min(MOST_STEPS);
    let k1 = K1 / width;
    for step in 0..most {
        let half = (b - a).abs() / 2.0;
        if half <= tolerance {
            break;
        }
        let middle = (a + b) / 2.0;
        let secant = (fb * a - fa * b) / (fb - fa);
        let secant = if secant.is_finite() { secant } else { middle };
        // Truncate towards the middle, then project into the reach that keeps the promise of bisection.
        let toward = (middle - secant).signum();
        let shift = k1 * (b - a) * (b - a);
        let cut = if shift <= (middle - secant).abs() { secant + toward * shift } else { middle };
        let reach = tolerance * 2f64.powi((most - step).min(1000) as i32) - half;
        let x = if (cut - middle).abs() <= reach { cut } else { middle - toward * reach.max(0.0) };
        let y = s * f(x);
        if y > 0.0 {
            (b, fb) = (x, y);
        } else if y < 0.0 {
            (a, fa) = (x, y);
        } else if y == 0.0 {
            return Ok(x);
        } else {
            return Err(NoRoot::NotANumber);
        }
    }
    Ok((a + b) / 2.0)
}

/// Where a function that only rises (or only falls) passes through zero within the bracket, or the end nearest to it where it does not.
///
/// As [`root`], but total: with no change of sign it gives the end at which the function is nearer to zero, and with something that is
/// not a number the lower end.
pub fn crossing(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, tolerance: f64) -> f64 {
    let (at_low, at_high) = (f(low), f(high));
    match bracketed(&mut f, (low, at_low), (high, at_high), tolerance) {
        Ok(x) => x,
        Err(NoRoot::SameSign { .. }) if at_high.abs() < at_low.abs() => high,
        Err(_) => low,
    }
}

/// Where something ceases to hold, between a point where it does and one where it does not, that many halvings apart: the last point found where it
/// holds, and the last where it does not. Neither end is looked at.
pub fn halve(holds: f64, fails: f64, halvings: usize, mut at: impl FnMut(f64) -> bool) -> [f64; 2] {
    let (mut holds, mut fails) = (holds, fails);
    for _ in 0..halvings {
        let middle = f64::midpoint(holds, fails);
        if at(middle) { holds = middle } else { fails = middle }
    }
    [holds, fails]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both ends close in on the brink, from whichever side, and the one that holds never passes it.
    #[test]
    fn halving_ends_on_either_side_of_the_brink() {
        for (from, to) in [(0.0, 1.0), (1.0, 0.0)] {
            let holds = |x: f64| (x < 0.3) == (from < to);
            let mut asked = 0;
            let [good, bad] = halve(from, to, 20, |x| {
                asked += 1;
                holds(x)
            });
            assert!(holds(good) && !holds(bad) && (good - bad).abs() < 1.1e-6 && asked == 20, "{good} {bad}");
        }
        // What never holds leaves the end that was said to.
        assert_eq!(halve(2.0, 4.0, 1, |_| false), [2.0, 3.0]);
        assert_eq!(halve(2.0, 4.0, 0, |_| true), [2.0, 4.0]);
    }

    /// Finds the root and counts the evaluations against the promise.
    fn within(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> f64 {
        let mut n = 0;
        let x = root(
            |x| {
                n += 1;
                f(x)
            },
            low,
            high,
            tolerance,
        )
        .unwrap_or_else(|e| panic!("{e}"));
        let most = 2.0 + ((high - low).abs() / (2.0 * tolerance)).log2().ceil() + 1.0;
        assert!(f64::from(n) <= most, "{n} evaluations, {most} promised");
        x
    }

    #[test]
    fn known_roots() {
        for (f, low, high, expect) in [
            ((|x| x * x * x - 27.0) as fn(f64) -> f64, 0.0, 10.0, 3.0),
            (|x| x.cos() - x, 0.0, 1.0, 0.739_085_133_215_160_6), // the Dottie number
            (|x| x.exp() - 1.0, -5.0, 3.0, 0.0),
            (|x| 1.0 - x, 5.0, -5.0, 1.0), // falling, and the ends the wrong way round
            (|x| (x - 0.3).powi(9), -1.0, 1.0, 0.3),
            (|x| if x < 0.7 { -1.0 } else { 1e9 }, 0.0, 1.0, 0.7), // a jump
            (|x| 1.0 / (x - 0.4), 0.0, 1.0, 0.4),                  // a pole changes sign too
        ] {
            let x = within(f, low, high, 1e-9);
            assert!((x - expect).abs() <= 1e-9, "{x} not {expect}");
        }
    }

    #[test]
    fn smooth_functions_cost_a_fraction_of_bisection() {
        let mut n = 0;
        let r = root(
            |x| {
                n += 1;
                x * x - 2.0
            },
            0.0,
            2.0,
            1e-12,
        );
        assert!((r.unwrap_or(0.0) - 2f64.sqrt()).abs() <= 1e-12);
        assert!(n <= 14, "{n} evaluations; bisection takes 42");
    }

    #[test]
    fn refusals_and_ends() {
        assert_eq!(root(|x| x, 0.0, 1.0, 1e-9), Ok(0.0));
        assert_eq!(root(|x| x - 1.0, 0.0, 1.0, 1e-9), Ok(1.0));
        assert!(matches!(root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), Err(NoRoot::SameSign { .. })));
        assert_eq!(root(|_| f64::NAN, 0.0, 1.0, 1e-9), Err(NoRoot::NotANumber));
        assert_eq!(root(|x| x, f64::NEG_INFINITY, 1.0, 1e-9), Err(NoRoot::NotANumber));
        assert_eq!(
            root(|x| if x > 0.2 && x < 0.9 { f64::NAN } else { x - 0.5 }, 0.0, 1.0, 1e-9),
            Err(NoRoot::NotANumber)
        );
        // A tolerance of nothing still ends.
        assert!(root(|x| x - 1.0 / 3.0, 0.0, 1.0, 0.0).is_ok_and(|x| (x - 1.0 / 3.0).abs() < 1e-15));
    }

    #[test]
    fn crossing_is_total() {
        assert!((crossing(|x| x - 0.25, 0.0, 1.0, 1e-9) - 0.25).abs() <= 1e-9);
        assert_eq!(crossing(|x| x + 1.0, 0.0, 1.0, 1e-9), 0.0);
        assert_eq!(crossing(|x| x - 2.0, 0.0, 1.0, 1e-9), 1.0);
        assert_eq!(crossing(|_| f64::NAN, 0.0, 1.0, 1e-9), 0.0);
    }
}
