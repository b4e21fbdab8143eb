//! What goes over within weeks as the fish grow, for the verdict: a few looks on the way, and none at what taking some of them out would do.

use super::*;

/// So far ahead it is said at once: judgement, as long as it takes to get plants, a pipe or a pump.
const AHEAD: f64 = days(30.0);
/// Looks on the way there, as shares of it.
const ON_THE_WAY: [f64; 3] = [0.25, 0.5, 1.0];

/// The first level that goes over within weeks, at the soonest; nothing where none does, or nothing can be checked.
pub fn soon(d: &Document) -> Option<Crossed> {
    let d = &*check::as_read(d);
    let ways = flow::ways(d).ok()?;
    let shared = RefCell::default();
    let stock = Stock { d, ways: &ways, shared: &shared, groups: groups(d) };
    let end = stock.end().min(AHEAD);
    if end <= 0.0 {
        return None;
    }
    let (mut before, mut from) = (stock.levels(0.0)?, 0.0);
    for to in ON_THE_WAY.map(|share| share * end) {
        let now = stock.levels(to)?;
        let was = |level: &Checked| before.iter().any(|b| b.is(level) && is_over(b));
        let new = now.iter().filter(|l| is_over(l) && !was(l) && stock.lasts(l, to));
        if let Some(first) =
            new.map(|level| stock.crossed(level, from, to)).min_by(|a, b| a.time.value.total_cmp(&b.time.value))
        {
            return Some(first);
        }
        (before, from) = (now, to);
    }
    None
}
