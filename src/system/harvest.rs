//! The day of the harvest: all fish grown at once, or, where they are harvested group by group, the harvest of every group with the others at
//! the size that they have by then.
//!
//! How large the others are does not hang on how fast the water lets them grow: the cube roots of all masses grow evenly, each by its species'
//! coefficient times the same degrees and days ([`growth::mass_after`]). A group that was harvested before has been replaced by as many small ones.

use super::check::{Day, Solved};
use super::document::{Document, Tank};
use super::flow::Ways;
use super::worst::solve_days;
use crate::calculators::form::FieldError;
use crate::calculators::oxygen::FishGroup;
use crate::catalog::species::Species;
use crate::science::growth;
use crate::units::{kinds::*, *};

/// Most harvests that are told apart; with more of them all fish count as grown at once, which asks more of everything.
const MOST: usize = 8;
/// Harvests closer together than this part of the longest way to one are one.
const ALIKE: f64 = 1e-3;

/// How warm the water is over the base of their growth: any will do, as long as it is the same for all.
const WARM: f64 = 1.0;

/// How long a fish grows to a mass; no time if it is past that.
fn until(species: &Species, from: Mass, to: Mass) -> Time {
    growth::time_to(from, to, growth::middle(species), TEMPERATURE_DIFFERENCE.of(WARM))
}

/// Its mass after a time.
fn grown(species: &Species, from: Mass, time: Time) -> Mass {
    growth::mass_after(from, growth::middle(species), TEMPERATURE_DIFFERENCE.of(WARM), time)
}

/// How long every group of the document grows to its harvest.
fn times(d: &Document) -> impl Iterator<Item = Time> {
    d.tanks.iter().flat_map(|t| t.oxygen.fish.iter().map(|g| until(g.species, g.mass, t.harvest)))
}

/// The days on which something is harvested: one for all, or one for each group that is not harvested together with another.
pub(super) fn days(d: &Document) -> Vec<Day> {
    let all = vec![Day::Harvest];
    if d.groups.is_empty() {
        return all;
    }
    let times: Vec<f64> = times(d).map(|t| t.value).collect();
    let alike = times.iter().fold(0.0, |a: f64, b| a.max(*b)) * ALIKE;
    let first = |k: &usize| !times[..*k].iter().any(|t| (t - times[*k]).abs() <= alike);
    let each = (0..times.len()).filter(first).filter_map(|k| Some(Day::Group(k.try_into().ok()?)));
    let each: Vec<Day> = each.take(MOST + 1).collect();
    if each.is_empty() || each.len() > MOST { all } else { each }
}

/// Masses of the groups of a tank on a day of the harvest.
pub(super) fn masses(d: &Document, day: Day, tank: &Tank) -> Vec<Mass> {
    let own = tank.oxygen.fish.iter();
    let time = match day {
        Day::Group(k) => times(d).nth(k.into()),
        _ => None,
    };
    match (time, d.groups.first()) {
        (Some(time), Some(by)) => own.map(|g| after(g, tank.harvest, by.stocked, time)).collect(),
        _ => own.map(|g| g.mass.max(tank.harvest)).collect(),
    }
}

/// The mass of a group after a time: it grows to its harvest, then those grow that replace it, again and again.
fn after(g: &FishGroup, harvest: Mass, stocked: Mass, time: Time) -> Mass {
    let first = until(g.species, g.mass, harvest);
    if time.value <= 0.0 {
        return g.mass;
    }
    if time <= first * (1.0 + ALIKE) {
        return grown(g.species, g.mass, time).min(harvest.max(g.mass));
    }
    let again = until(g.species, stocked, harvest);
    if again.value <= 0.0 {
        return harvest;
    }
    grown(g.species, stocked, (time - first) % again)
}

/// The day of the harvest on which most is fed.
///
/// # Errors
/// As [`solve_days`].
pub(super) fn most_fed(d: &Document, ways: &Ways<'_>) -> Result<Solved, Vec<FieldError>> {
    let all = solve_days(d, ways, &[Day::Harvest])?.into_iter();
    all.reduce(|a, b| if b.feed > a.feed { b } else { a }).ok_or_else(Vec::new)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::system::document::Groups;
    use crate::system::worst::merge;
    use crate::system::{check, demo, flow};
    use crate::units::si::g;

    /// A demo whose only tank holds groups of such masses, in grams, harvested one after another at 500 g.
    fn staged(masses: &[f64]) -> Document {
        let mut d = demo::by_id("courtyard").expect("a demo").document();
        let one = d.tanks[0].oxygen.fish[0].clone();
        let count = (one.total() / one.mass) / masses.len() as f64;
        let of = |m: &f64| FishGroup::counted(one.species, count, SMALL_MASS.of(g(*m)));
        d.tanks[0].oxygen.fish = masses.iter().map(of).collect();
        d.tanks[0].harvest = SMALL_MASS.of(g(500.0));
        d.groups = vec![Groups { stocked: SMALL_MASS.of(g(20.0)) }];
        d
    }

    fn grams(d: &Document, day: Day) -> Vec<f64> {
        masses(d, day, &d.tanks[0]).iter().map(|m| m.value / g(1.0)).collect()
    }

    #[test]
    fn at_the_harvest_of_a_group_the_others_are_as_large_as_they_have_grown() {
        let d = staged(&[400.0, 200.0, 50.0]);
        assert_eq!(days(&d), [Day::Group(0), Day::Group(1), Day::Group(2)]);
        // By the cube roots of 500, 400, 200, 50 and 20 g: 7.93701, 7.36806, 5.84804, 3.68403 and 2.71442.
        let root = |x: f64| x.powi(3);
        let near = |is: Vec<f64>, want: [f64; 3]| {
            is.iter().zip(want).for_each(|(a, b)| assert!((a - b).abs() < 0.02, "{is:?} {want:?}"));
        };
        near(grams(&d, Day::Group(0)), [500.0, root(5.84804 + 0.56895), root(3.68403 + 0.56895)]);
        // The first was harvested 0.56895 on the way and replaced; 1.52002 more had passed then.
        near(grams(&d, Day::Group(1)), [root(2.71442 + 1.52002), 500.0, root(3.68403 + 2.08897)]);
        near(grams(&d, Day::Group(2)), [root(2.71442 + 4.25298 - 0.56895), root(2.71442 + 4.25298 - 2.08897), 500.0]);
        // Nothing is said of it, and they are all grown at once.
        let none = Document { groups: vec![], ..d };
        assert_eq!(days(&none), [Day::Harvest]);
        assert_eq!(grams(&none, Day::Harvest), [500.0; 3]);
    }

    #[test]
    fn groups_of_one_size_are_harvested_at_once_and_so_are_more_than_can_be_told_apart() {
        let alike = staged(&[100.0, 100.0]);
        assert_eq!(days(&alike), [Day::Group(0)]);
        assert!(grams(&alike, Day::Group(0)).iter().all(|m| (m - 500.0).abs() < 0.5));
        let many: Vec<f64> = (1..=9).map(|k| 50.0 * f64::from(k)).collect();
        assert_eq!(days(&staged(&many)), [Day::Harvest]);
        // What is past its harvest stays as it is until it is taken out, and small ones as large as that never grow.
        let mut past = staged(&[700.0, 100.0]);
        assert!(grams(&past, Day::Group(0)).iter().zip([700.0, 100.0]).all(|(a, b)| (a - b).abs() < 1e-9));
        past.groups[0].stocked = SMALL_MASS.of(g(900.0));
        assert!((grams(&past, Day::Group(1))[0] - 500.0).abs() < 0.5);
    }

    #[test]
    fn one_after_another_asks_less_than_all_at_once_and_no_less_than_today() {
        let d = staged(&[400.0, 200.0, 50.0]);
        let at_once = Document { groups: vec![], ..d.clone() };
        let ways = flow::ways(&d).expect("flows");
        let levels = |d: &Document| {
            merge(&ways, &solve_days(d, &ways, &[Day::Today, Day::Hottest, Day::Harvest]).expect("solves"))
        };
        let (staged, at_once) = (levels(&d), levels(&at_once));
        let oxygen = |all: &[crate::system::worst::Checked]| {
            let o = all.iter().find(|l| l.level.id == "oxygen").expect("oxygen").clone();
            assert!(o.day.of_harvest(), "{o:?}");
            o.level.demand.high
        };
        let (less, more) = (oxygen(&staged), oxygen(&at_once));
        assert!(less < 0.8 * more, "{less} {more}");
        for l in &staged {
            let other = at_once.iter().find(|o| o.is(l)).expect("the same levels");
            let (a, b) = (l.level.fullness(), other.level.fullness());
            assert!(a <= b + 1e-6 || l.level.id == "warmth", "{}: {a} {b}", l.level.name);
            assert!(a >= l.today.fullness() - 1e-9 || !l.level.id.contains("oxygen"));
        }
        // What is filled in from the system is of the harvest that feeds most.
        let most = most_fed(&d, &ways).expect("solves").feed;
        let all = days(&d).into_iter().map(|day| check::solve_on(&d, &ways, day).expect("solves").feed);
        assert_eq!(Some(most), all.reduce(|a, b| if b > a { b } else { a }));
    }
}
