//! Repairs: what a calculator's levels become when some of its fields change, found by solving again.

use super::form::{self, Edit, FieldError, Fields};
use super::outcome::{ENOUGH, Level, Repair, State, Working};
use super::sheet::{Calculator, solve};
use crate::science::solve as roots;
use crate::units::kinds::{SMALL_AREA, TEMPERATURE};
use crate::units::si::{celsius, mm};
use crate::units::{Area, Kind, Q, System, Words, lower, sentence};
use uom::si::Dimension;

/// A step of two figures of a number above zero.
fn step(x: f64) -> Option<f64> {
    (x.is_finite() && x > 0.0).then(|| 10f64.powf(x.log10().floor() - 1.0))
}

/// Two significant figures, upwards, in steps of the given unit.
pub(crate) fn round_up(si: f64, unit: f64) -> f64 {
    let x = si / unit;
    step(x).map_or(si, |step| (x / step - 1e-9).ceil() * step * unit)
}

/// The same, downwards.
pub(crate) fn round_down(si: f64, unit: f64) -> f64 {
    let x = si / unit;
    step(x).map_or(0.0, |step| (x / step + 1e-9).floor() * step * unit)
}

/// The inputs with some fields changed; `None` if there is no such field.
pub(crate) fn changed<C: Calculator>(inputs: &C::In, edits: &[Edit]) -> Option<C::In> {
    let mut copy = inputs.clone();
    form::apply_all(&mut copy, edits).then_some(copy)
}

/// The ends of the hard range of one number of the inputs, as it is declared: no repair goes past them. Asked once for a repair, not for every try.
pub(crate) fn ends<C: Calculator>(inputs: &C::In, path: &str) -> [f64; 2] {
    let spec = form::spec_at(&mut inputs.clone(), path);
    debug_assert!(spec.is_some(), "no number {path}");
    // What has no end leads nowhere, and bounds nothing.
    spec.map_or([f64::NAN; 2], |spec| spec.hard)
}

/// A number brought between two ends.
pub(crate) fn within(x: f64, [low, high]: [f64; 2]) -> f64 {
    x.max(low).min(high)
}

/// The outcome with some fields changed; `None` if they are refused.
pub(crate) fn outcome<C: Calculator>(inputs: &C::In, edits: &[Edit]) -> Option<C::Out> {
    solve::<C>(&changed::<C>(inputs, edits)?, &mut Working::none()).ok()
}

/// A repair of the level `id`: what it brings, and what it puts over elsewhere or leaves so. `before` are the levels as they are. `None` if the change
/// is refused, or brings nothing.
pub(crate) fn mend<C: Calculator>(
    inputs: &C::In,
    before: &[Level],
    levels: impl Fn(&C::In, &C::Out) -> Vec<Level>,
    id: &str,
    title: String,
    edits: Vec<Edit>,
    system: System,
) -> Option<Repair> {
    let after = |edits: &[Edit]| {
        let new = changed::<C>(inputs, edits)?;
        Some(levels(&new, &solve::<C>(&new, &mut Working::none()).ok()?))
    };
    tried(&after, &mut inputs.clone(), before, id, title, edits, system)
}

/// The same for any calculator: `after` gives its levels with some fields changed, and `fields` are its inputs, to be changed.
fn tried(
    after: &dyn Fn(&[Edit]) -> Option<Vec<Level>>,
    fields: &mut dyn Fields,
    before: &[Level],
    id: &str,
    title: String,
    edits: Vec<Edit>,
    system: System,
) -> Option<Repair> {
    let exact = after(&edits)?;
    let state = find_by(&exact, id)?.state();
    // What is shown is what is set, unless it would not do what the exact numbers do.
    let does = |after: &Vec<Level>| find_by(after, id).is_some_and(|level| level.state() == state);
    let round = as_shown(fields, &edits, system);
    let (edits, after) = match round.and_then(|round| Some((after(&round).filter(does)?, round))) {
        Some((after, round)) => (round, after),
        None => (edits, exact),
    };
    let level = find_by(&after, id)?.clone();
    let was = find_by(before, id)?.fullness();
    let better =
        if level.state() == State::Over { helps(was, level.fullness()) } else { level.fullness() < was - 1e-9 };
    if !better {
        return None;
    }
    // What is tight is not mended by what makes something else over.
    let was = |l: &Level| find_by(before, &l.id).map(Level::state);
    let goes = |l: &Level| l.state() == State::Over && was(l).is_some_and(|s| s != State::Over);
    if find_by(before, id)?.state() == State::Tight && after.iter().any(goes) {
        return None;
    }
    let short = level.state() == State::Over;
    // Of several levels it is said which.
    let name = if before.len() > 1 { format!("{}, ", level.name) } else { String::new() };
    let repair = Repair {
        title: sentence(&title),
        effect: format!("{name}{}: {}, {}", level.figures(system), level.percent(), level.state().word()),
        edits,
        then: level.state(),
        level,
        also: None,
    };
    let mut repair = beside(repair, before, &after);
    if short {
        repair.also = Some(repair.also.map_or_else(|| NOT_ENOUGH.into(), |also| format!("{NOT_ENOUGH} {also}")));
    }
    Some(repair)
}

/// A repair with how all levels stand `after` it, of those that there were `before`: of the others what is tight then is named in what it brings, and
/// what is over beside it.
pub(crate) fn beside(mut repair: Repair, before: &[Level], after: &[Level]) -> Repair {
    let id = repair.level.id.clone();
    let others = || after.iter().filter(|l| l.id != id && find_by(before, &l.id).is_some());
    repair.then = others().map(Level::state).fold(repair.level.state(), State::max);
    let fullest = others().max_by(|a, b| a.fullness().total_cmp(&b.fullness()));
    if repair.then == State::Tight
        && repair.level.state() == State::Enough
        && let Some(l) = fullest
    {
        repair.effect =
            format!("{}. Then tight: {}, {}.", repair.effect.trim_end_matches('.'), lower(&l.name), l.percent());
    }
    let said = goes_over(before, after, &id).into_iter().chain(repair.also.take()).collect::<Vec<_>>().join(" ");
    repair.also = (!said.is_empty()).then_some(said);
    repair
}

/// [`beside`] for repairs that were made otherwise than by [`mend`].
pub(crate) fn all_beside<C: Calculator>(
    inputs: &C::In,
    before: &[Level],
    levels: impl Fn(&C::In, &C::Out) -> Vec<Level>,
    all: Vec<Repair>,
) -> Vec<Repair> {
    let look = |repair: Repair| {
        let after = changed::<C>(inputs, &repair.edits)
            .and_then(|new| Some(levels(&new, &solve::<C>(&new, &mut Working::none()).ok()?)));
        match after {
            Some(after) => beside(repair, before, &after),
            None => repair,
        }
    };
    all.into_iter().map(look).collect()
}

/// What else is over after a change that mends the level `id`, in words.
pub(crate) fn goes_over(before: &[Level], after: &[Level], id: &str) -> Vec<String> {
    let others = after.iter().filter(|l| l.id != id && l.state() == State::Over);
    let said = |l: &Level| {
        let was = find_by(before, &l.id)?.state() == State::Over;
        Some(format!("{} {} over.", l.name, if was { "stays" } else { "goes" }))
    };
    others.filter_map(said).collect()
}

/// A level that stays over must fall to less than this share of what it was (judgement): nobody sees less, in a figure or in the water.
const SEEN: f64 = 0.98;

/// Does a level that may stay over fall by as much as one sees?
pub(crate) fn helps(before: f64, after: f64) -> bool {
    after < before * SEEN
}

/// A change that leaves its level past this share of the brim repairs nothing.
pub(crate) const HOPELESS: f64 = 2.0;

/// Is a level, after a change, near enough to its brim for that to be a repair?
pub(crate) fn repairs(after: &Level) -> bool {
    after.state() != State::Over || after.fullness() <= HOPELESS
}

/// What is said of a change that helps and leaves its level over.
const NOT_ENOUGH: &str = "Not enough by itself.";

/// The same changes with their numbers as they are shown; nothing where they are that round already.
fn as_shown(fields: &mut dyn Fields, edits: &[Edit], system: System) -> Option<Vec<Edit>> {
    let mut told = edits.to_vec();
    // Some fields are there only after the change.
    let there = form::apply_all(fields, edits);
    (there && form::as_shown(&mut told, &form::layout(fields), system)).then_some(told)
}

fn find_by<'a>(all: &'a [Level], id: &str) -> Option<&'a Level> {
    all.iter().find(|l| l.id == id)
}

/// The value of one number field, between `from` (which is not enough) and `to`, at which the level is just enough, on the side where it is;
/// `to` if even that is not, and `None` where nothing changes.
pub(crate) fn just_enough<C: Calculator>(
    inputs: &C::In,
    level: impl Fn(&C::Out) -> Option<Level>,
    edit: impl Fn(f64) -> Vec<Edit>,
    from: f64,
    to: f64,
) -> Option<f64> {
    let over = |x: f64| {
        let load = outcome::<C>(inputs, &edit(x)).and_then(|o| level(&o)).map_or(f64::INFINITY, |l| l.fullness());
        (load - ENOUGH).min(1e6)
    };
    nearest(&over, from, to)
}

/// The first number on the way from `from` to `to` at which something is not over zero any more; `to` if it always is, and `None` where nothing
/// changes.
fn nearest(over: &dyn Fn(f64) -> f64, from: f64, to: f64) -> Option<f64> {
    let (at_from, at_to) = (over(from), over(to));
    if at_from <= 0.0 || at_to >= at_from {
        return None;
    }
    if at_to > 0.0 {
        return Some(to);
    }
    // Near the root of a wide range a share of the range is coarse, so what is left is looked through on the scale of the answer.
    let coarse = (to - from).abs() * 1e-4;
    let near = roots::root_between(over, (from, at_from), (to, at_to), coarse).ok()?;
    let step = coarse.copysign(to - from);
    let between = |x: f64| x.clamp(from.min(to), from.max(to));
    let (mut not, mut enough) = (between(near - 2.0 * step), between(near + 2.0 * step));
    // Where something else is rounded along the way it is not smooth: what is a hair short there is enough soon after, not only at the end.
    let mut ahead = 2.0 * step;
    while over(enough) > 0.0 {
        if enough == to {
            return Some(to);
        }
        not = enough;
        ahead *= 2.0;
        enough = between(near + ahead);
    }
    if over(not) <= 0.0 {
        return Some(not);
    }
    for _ in 0..HALVINGS {
        if (enough - not).abs() <= 1e-4 * enough.abs() {
            break;
        }
        let middle = f64::midpoint(not, enough);
        if over(middle) > 0.0 {
            not = middle;
        } else {
            enough = middle;
        }
    }
    Some(enough)
}

/// The most halvings after the root is known roughly.
const HALVINGS: usize = 24;

/// Rounds a repair's number away from `from`, to a step that can be bought or set.
pub(crate) fn rounded(x: f64, from: f64, step: f64) -> f64 {
    if x >= from { (x / step - 1e-9).ceil() * step } else { (x / step + 1e-9).floor() * step }
}

/// Rounds a quantity up to what can be bought or set: to steps of about `step` that are round in the units that are read.
pub(crate) fn upwards<D: Dimension + ?Sized>(kind: Kind<Q<D>>, x: Q<D>, step: f64, w: Words) -> Q<D> {
    kind.of(rounded(x.value, 0.0, w.step(kind, step)))
}

/// The area of slots, to square centimetres or what is like them.
pub(crate) fn slots(x: Area, w: Words) -> Area {
    upwards(SMALL_AREA, x, mm(10.0) * mm(10.0), w)
}

/// Rounds a temperature away from `from`, to half degrees or whole ones of Fahrenheit.
pub(crate) fn degrees(x: f64, from: f64, w: Words) -> f64 {
    let zero = celsius(0.0);
    zero + rounded(x - zero, from - zero, w.step(TEMPERATURE, 0.5))
}

/// One field error as a list.
pub(crate) fn refuse<T>(
    path: &str,
    fault: impl Into<String>,
    accepted: impl Into<String>,
) -> Result<T, Vec<FieldError>> {
    Err(vec![FieldError::new(path, fault, accepted)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::kinds::FLOW;

    /// The word beside a repair is that of the fullest level: what else is tight is named with it, what is over beside it.
    #[test]
    fn no_green_word_stands_where_something_else_is_tight() {
        let level =
            |id: &'static str, name: &'static str, load: f64| Level::upper(id, name, FLOW, FLOW.of(load), FLOW.of(1.0));
        let before = [level("a", "Drain", 1.3), level("b", "Vent", 0.5)];
        let made = |a: f64, b: f64| {
            let own = level("a", "Drain", a);
            let also = Some("Mind the step.".to_string());
            let effect = "75\u{202f}% of what it can carry.".into();
            let bare = Repair { title: "X".into(), effect, edits: vec![], then: own.state(), level: own.clone(), also };
            // What was not there before is not held against it.
            beside(bare, &before, &[own, level("b", "Vent", b), level("c", "New", 2.0)])
        };
        let good = made(0.75, 0.6);
        assert_eq!((good.then, good.effect.as_str()), (State::Enough, "75\u{202f}% of what it can carry."));
        let tight = made(0.75, 0.98);
        assert_eq!(tight.then, State::Tight);
        assert_eq!(tight.effect, "75\u{202f}% of what it can carry. Then tight: vent, 98\u{202f}%.");
        let over = made(0.75, 1.2);
        assert_eq!((over.then, over.also.as_deref()), (State::Over, Some("Vent goes over. Mind the step.")));
    }

    /// What stays over and falls by less than anybody sees is not offered; what comes under its brim is, however little it was over.
    #[test]
    fn what_hardly_helps_is_not_offered() {
        let level = |load: f64| vec![Level::upper("a", "Drain", FLOW, FLOW.of(load), FLOW.of(1.0))];
        let offered = |from: f64, to: f64| {
            let none = &mut |_: &mut dyn form::Form| {};
            tried(&|_| Some(level(to)), none, &level(from), "a", "X".into(), vec![], System::Metric)
        };
        assert!(offered(3.0, 2.95).is_none() && offered(1.01, 1.001).is_none());
        let far = offered(3.0, 2.9).expect("helps");
        assert_eq!(far.also.as_deref(), Some(NOT_ENOUGH));
        assert!(offered(1.005, 0.999).is_some() && offered(0.95, 0.945).is_some() && offered(0.95, 0.95).is_none());
        assert!(offered(f64::INFINITY, 5.0).is_some() && offered(f64::INFINITY, f64::INFINITY).is_none());
    }

    /// Something that falls in steps is a hair over where it is looked for: the next number that is enough counts, not the end of the way.
    #[test]
    fn what_is_not_smooth_is_found_near() {
        let over = |x: f64| 1.3 - x + if x < 1.31 { 0.004 } else { 0.0 };
        let found = nearest(&over, 1.0, 8.0).expect("one");
        assert!((1.3..1.35).contains(&found), "{found}");
        assert_eq!(nearest(&|x: f64| if x < 8.0 { 1.3 - x / 10.0 } else { 0.0 }, 1.0, 8.0), Some(8.0));
    }
}
