//! What to measure first in a whole system: every number that is only assumed, or that may be a little off, moved across its plausible spread;
//! ranked by what that does to the fill levels, those first that decide between enough, tight and over.

use super::check::{self, Day, Solved};
use super::document::Document;
use super::flow::{self, Ways};
use super::worst::{self, counts, same};
use crate::calculators::form::{self, Edit, EditValue, FieldError, LayoutItem, Spec, Way};
use crate::calculators::outcome::{Brim, Level, State};
use crate::calculators::ranking;
use crate::catalog::sources::{Coef, system::PLAUSIBLE};
use crate::units::{kinds::TEMPERATURE, *};

/// How far a number that was put in by hand may be off.
const TYPED: Coef = Coef::new(0.1, "1", &PLAUSIBLE, "to either side");
/// The same of a temperature.
const TYPED_K: Coef = Coef::new(1.0, "K", &PLAUSIBLE, "to either side");
/// Levels that stay below this at both ends decide nothing.
const FAR_FROM_BRIM: f64 = 0.6;
/// What moves no level by more than this is not told.
const LITTLE: f64 = 0.01;

/// How much one number matters.
#[derive(Debug, Clone, PartialEq)]
pub struct Matter {
    /// Path of the field.
    pub path: String,
    /// Its label.
    pub label: &'static str,
    /// The station it belongs to, if to one.
    pub of: Option<String>,
    /// Is it only assumed?
    pub assumed: bool,
    /// A way to measure it, if there is one in place.
    pub way: Option<Way>,
    /// Its kind.
    pub kind: &'static KindInfo,
    /// The ends that it was moved to, SI.
    pub moved: [f64; 2],
    /// The level that it moves most, as it stands; its name says of which station it is.
    pub level: Level,
    /// How full that is at the two ends.
    pub loads: [f64; 2],
    /// The states there, if some level changes between enough, tight and over.
    pub decides: Option<[State; 2]>,
}

impl Matter {
    /// By how much the level moves, as a share of the brim.
    pub fn swing(&self) -> f64 {
        (self.loads[1] - self.loads[0]).abs()
    }
    /// How much hangs on it: most where it decides whether something is over, then where it moves what is over, last where it only decides
    /// whether plants go hungry.
    pub fn weight(&self) -> u8 {
        weight(&self.level, self.decides)
    }
    /// What is moved, with its station.
    pub fn what(&self) -> String {
        match &self.of {
            Some(name) => format!("{name}: {}", lower(self.label)),
            None => self.label.to_string(),
        }
    }
    /// What it does, in words.
    pub fn words(&self, w: Words) -> String {
        let (a, b) = (show_number(self.kind, self.moved[0], w.system), show(self.kind, self.moved[1], w.system));
        let percent = |load: f64| {
            if load > 9.995 {
                "past 10 times".to_string()
            } else {
                format!("{}{THIN}%", number((load * 100.0).round(), 3))
            }
        };
        let assumed = if self.assumed { "Assumed. " } else { "" };
        let decides = match self.decides {
            Some([x, y]) => format!(": from {} to {}", x.word(), y.word()),
            None => String::new(),
        };
        let [x, y] = self.loads;
        // Between two brims there is no percentage that says which it is near.
        if let (Brim::Between { .. }, Some([from, to])) = (&self.level.brim, self.decides) {
            let what = worst::inside(&self.level.name);
            return format!("{assumed}{a} to {b} moves {what} from {} to {}.", from.word(), to.word());
        }
        if let Brim::Between { .. } = &self.level.brim {
            let what = worst::inside(&self.level.name);
            return format!("{assumed}{a} to {b} moves {what}, which is {} at both ends.", State::of(Some(x)).word());
        }
        format!(
            "{assumed}{a} to {b} moves {} from {} to {}{decides}.",
            worst::inside(&self.level.name),
            percent(x),
            percent(y)
        )
    }
}

/// The ends that a number is moved to; nothing where it is given by what was built or bought and read off it.
fn moved(spec: &Spec, si: f64, assumed: bool) -> Option<[f64; 2]> {
    let [low, high] = if assumed {
        ranking::spread(spec, si)
    } else {
        let off = if spec.kind.is(TEMPERATURE.0) { TYPED_K.value } else { si.abs() * TYPED.value };
        // No more than it can be at all.
        let off = spec.likely.map_or(off, |[a, b]| off.min((b - a) / 2.0));
        [si - off, si + off]
    };
    let ends = [low, high].map(|x| {
        let x = if spec.kind.whole { x.round() } else { x };
        x.clamp(spec.hard[0], spec.hard[1])
    });
    // What already stands outside its spread is moved up to where it stands.
    let ends = [ends[0].min(si), ends[1].max(si)];
    (ends[1] - ends[0] > 1e-9 * ends[1].abs()).then_some(ends)
}

/// Every number that moves a level, those first that decide something, and then by how far. `assumed` says which were never set.
///
/// # Errors
/// As [`check::solve`].
pub fn rank(d: &Document, assumed: &dyn Fn(&str) -> bool) -> Result<Vec<Matter>, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    // Today, and the day of the fullest level that is not of plants: more would say the same.
    let mut shared = check::Shared::default();
    let mut days = worst::solve_days_with(d, &ways, &Day::ALL, &mut shared)?;
    let all = worst::merge(&ways, &days);
    let day = all.iter().find(|l| l.day != Day::Today && !worst::of_plants(&l.level)).map_or(Day::Today, |l| l.day);
    days.retain(|s| s.day == Day::Today || s.day == day);
    let mut copy = d.clone();
    let mut found = vec![];
    for e in form::layout(&mut d.clone()) {
        let LayoutItem::Num(spec, si) = e.item else { continue };
        // What is noted beside the sums moves nothing.
        if e.path.starts_with("notes.") || flow::edge_of(&e.path).is_some_and(|k| !d.leaves_pump(k)) {
            continue;
        }
        let assumed = assumed(&e.path);
        let Some(ends) = moved(&spec, si, assumed) else { continue };
        let mut at = |x: f64| -> Option<Vec<Solved>> {
            let edit = |x: f64| Edit { path: e.path.clone(), to: EditValue::Si(x) };
            form::apply(&mut copy, &edit(x)).then_some(())?;
            let solved = days.iter().map(|s| check::solve_with(&copy, &ways, s.day, &mut shared).ok()).collect();
            form::apply(&mut copy, &edit(si));
            solved
        };
        let (Some(low), Some(high)) = (at(ends[0]), at(ends[1])) else { continue };
        if let Some((level, loads, decides)) = moves(&ways, &days, &low, &high) {
            let of = ways.owner(&e.path);
            found.push(Matter {
                path: e.path,
                label: spec.label,
                of,
                assumed,
                way: spec.way,
                kind: spec.kind,
                moved: ends,
                level,
                loads,
                decides,
            });
        }
    }
    let order =
        |a: &Matter, b: &Matter| (b.weight().cmp(&a.weight())).then(b.swing().min(CAP).total_cmp(&a.swing().min(CAP)));
    crate::units::arrange(&mut found, order);
    Ok(found)
}

fn weight(level: &Level, decides: Option<[State; 2]>) -> u8 {
    match decides {
        _ if worst::of_plants(level) => 0,
        Some(states) if states.contains(&State::Over) => 4,
        _ if level.state() == State::Over => 3,
        Some(_) => 2,
        None => 1,
    }
}

/// Ten times and more is all the same: it is over.
const CAP: f64 = 10.0;

/// A level, how full it is at the two ends, and its states there if they differ.
type Moved = (Level, [f64; 2], Option<[State; 2]>);

/// The level that is moved most, one that changes its state before all others.
fn moves(ways: &Ways<'_>, days: &[Solved], low: &[Solved], high: &[Solved]) -> Option<Moved> {
    let today = days.first()?;
    let mut best: Option<Moved> = None;
    for (n, s) in days.iter().enumerate() {
        for k in 0..today.levels.len() {
            let at = |all: &[Solved]| all.get(n).and_then(|s| same(today, k, s)).cloned();
            let (Some(now), Some(a), Some(b)) = (same(today, k, s), at(low), at(high)) else { continue };
            let loads = [a.fullness().min(CAP), b.fullness().min(CAP)];
            let swing = (loads[1] - loads[0]).abs();
            if !counts(now, s.day) || swing < LITTLE || loads[0].max(loads[1]) < FAR_FROM_BRIM {
                continue;
            }
            let states = [a.state(), b.state()];
            let decides = (states[0] != states[1]).then_some(states);
            let better = best
                .as_ref()
                .is_none_or(|best| (decides.is_some(), swing) > (best.2.is_some(), (best.1[1] - best.1[0]).abs()));
            if better {
                let name = worst::named(now, ways, today.levels[k].0) + s.day.when();
                best = Some((Level { name: name.into(), ..now.clone() }, loads, decides));
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::system::demo;

    fn of(id: &str) -> Document {
        demo::by_id(id).expect("there").document()
    }

    #[test]
    fn notes_are_not_solved_for() {
        let mut d = of("enlarged");
        d.notes.readings = vec![Default::default(); 3];
        let start = rank(&d, &|_| true).expect("solves");
        assert!(start.iter().all(|m| !m.path.starts_with("notes")));
    }

    /// What is over ten times at either end, and what has no percentage, is not told as if it moved.
    #[test]
    fn nothing_moves_from_over_ten_times_to_over_ten_times() {
        let mut d = of("hill_trout");
        d.tanks[0].oxygen.air.mode = crate::calculators::air::AirMode::None;
        d.tanks[0].oxygen.fish[0].count *= 20.0;
        d.water.hottest = kinds::TEMPERATURE.of(si::celsius(23.0));
        let all = crate::system::report::levels(&d).expect("solves");
        assert!(all.iter().filter(|l| l.level.fullness() > 10.0).count() > 1, "{all:#?}");
        for m in rank(&d, &|_| true).expect("solves") {
            let words = m.words(Words::default());
            assert!(!words.contains("from past 10 times to past 10 times"), "{words}");
            let between = matches!(m.level.brim, Brim::Between { .. });
            assert!(!between || m.decides.is_some() || words.ends_with("at both ends."), "{words}");
        }
    }

    #[test]
    fn what_decides_comes_first() {
        let d = of("enlarged");
        let all = rank(&d, &|_| false).expect("solves");
        assert!(!all.is_empty() && all.iter().all(|m| !m.assumed));
        assert!(
            all.windows(2)
                .all(|w| { (w[0].weight(), w[0].swing().min(CAP)) >= (w[1].weight(), w[1].swing().min(CAP)) })
        );
        assert!(all[0].weight() >= 3 && all[0].level.id != "bed", "{:?}", all[0]);
        for m in &all {
            assert!(!m.words(Words::default()).contains("NaN") && m.moved[0] < m.moved[1], "{m:?}");
        }
    }

    /// What is assumed is moved farther than what was put in, and its claim is what the check itself says there.
    #[test]
    fn the_ends_are_what_the_check_says() {
        let d = of("courtyard");
        let ways = flow::ways(&d).expect("ways");
        for assumed in [true, false] {
            for m in rank(&d, &|_| assumed).expect("solves").iter().take(6) {
                let loads = m.moved.map(|x| {
                    let mut copy = d.clone();
                    assert!(form::apply(&mut copy, &Edit { path: m.path.clone(), to: EditValue::Si(x) }));
                    let days = worst::solve_days(&copy, &ways, &Day::ALL).expect("solves");
                    // Carbon dioxide says which of its two limits it is held against: that may be another there.
                    let bare = |name: &str| name.split(", for ").next().unwrap_or_default().to_string();
                    let full = |s: &Solved| {
                        let named = |l: &&(usize, Level)| {
                            bare(&worst::named(&l.1, &ways, l.0)) + s.day.when() == bare(&m.level.name)
                        };
                        s.levels.iter().find(named).map(|l| l.1.fullness())
                    };
                    // Past ten times there is nothing more to tell.
                    days.iter().find_map(full).expect("the level").min(CAP)
                });
                assert!(
                    (loads[0] - m.loads[0]).abs() < 1e-9 && (loads[1] - m.loads[1]).abs() < 1e-9,
                    "{m:?} {loads:?}"
                );
            }
        }
        // Of what is said of water alone: a filter and a sump have other things that matter more.
        let mut d = d.clone();
        d.ammonia.clear();
        d.sumps[0].levels.clear();
        let wide = rank(&d, &|p| p == "tanks.0.oxygen.air_flow").expect("solves");
        let air = wide.iter().find(|m| m.path == "tanks.0.oxygen.air_flow").expect("air matters");
        assert!(air.assumed && (air.moved[1] / air.moved[0] - 1.5).abs() < 1e-9);
    }
}
