//! As the fish grow: when each level goes over, and what it does to take some of them out each time.
//!
//! Growth is followed at the soonest in water as today's, and no faster than what is weighed out lets them; at every date the levels are those of
//! today's water, of the hottest and of the coldest, with fish of that size, whichever is fuller, because the hot or cold week may fall on that date.
//! Stones and screens are those of the check's day of the harvest: at the end nothing is over here that is not over there.

use super::check::{self, Day, Shared, Solved};
use super::document::Document;
use super::flow::{self, Ways};
use super::harvest;
use super::level;
use super::limits::scale_fish;
use super::quality;
use super::worst::{Checked, merge, of_plants, solve_days_with};
use crate::calculators::form::FieldError;
use crate::calculators::outcome::State;
use crate::calculators::oxygen::{FeedBy, FishBy, FishGroup};
use crate::catalog::sources::{Coef, system::SIZES};
use crate::science::feeding;
use crate::science::growth::{self, Pace, Season};
use crate::science::solve::halve;
use crate::units::{kinds::*, si::*, *};
use std::cell::RefCell;

mod soon;
pub use soon::soon;

/// How the sizes of one group scatter about their mean.
const SCATTER: Coef = Coef::new(0.25, "1", &SIZES, "standard deviation over mean");
/// Mean of the largest third of a normal distribution, and of the rest, in standard deviations from the mean.
const LARGEST_THIRD: Coef = Coef::new(1.0908, "1", &SIZES, "density at the upper third over a third");
const OTHER_THIRDS: Coef =
    Coef::new(-0.5454, "1", &SIZES, "density at the upper third over two thirds, below the mean");
/// Fish of this part of their harvest mass are as good as grown, and come out before any smaller ones: judgement.
const AS_GROWN: f64 = 0.95;
/// What happens within half a day happens at once.
const AT_ONCE: f64 = days(0.5);
/// Farther from the mean than this, in standard deviations, there is no fish; and halvings to a mass between them.
const FARTHEST: f64 = 6.0;
const TO_A_MASS: usize = 60;
/// A filter is followed to this age.
const OLDEST: f64 = days(3650.0);
/// The days that are looked at on every date, and with the fish as they are.
const LOOKED_AT: [Day; 3] = [Day::Today, Day::Hottest, Day::Coldest];
const AS_THEY_ARE: [Day; 5] = [Day::Today, Day::Hottest, Day::Coldest, Day::Blocked, Day::Aged];
/// Looks on the way to harvest, halvings between two of them, and most times that fish are taken out.
const LOOKS: usize = 10;
const HALVINGS: usize = 7;
const MOST_TIMES: usize = 6;
/// Levels that are over with this share of the fish do not come from them.
const FEW: f64 = 0.02;

/// How some fish are taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thinning {
    /// Half of every group, of every size alike.
    Half,
    /// The largest third of all of them.
    Largest,
}

impl Thinning {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Half => "Half of them, of every size",
            Self::Largest => "The largest third",
        }
    }
    /// Share taken out, their mean mass and that of those left, over the mean of all.
    fn parts(self) -> (f64, f64, f64) {
        match self {
            Self::Half => (0.5, 1.0, 1.0),
            Self::Largest => {
                (1.0 / 3.0, 1.0 + SCATTER.value * LARGEST_THIRD.value, 1.0 + SCATTER.value * OTHER_THIRDS.value)
            }
        }
    }
}

/// Density of the normal distribution, and the part of it past `z`.
fn normal(z: f64) -> (f64, f64) {
    let density = |z: f64| (-z * z / 2.0).exp() / std::f64::consts::TAU.sqrt();
    let z = z.clamp(-FARTHEST, FARTHEST);
    // Simpson's rule from the mean.
    let (n, mut sum) = (64, density(0.0) + density(z));
    for k in 1..n {
        sum += density(z * f64::from(k) / f64::from(n)) * if k % 2 == 1 { 4.0 } else { 2.0 };
    }
    (density(z), (0.5 - sum * z / f64::from(3 * n)).clamp(0.0, 1.0))
}

/// Of groups of so many fish of such a mean mass: the share of each that is larger than one mass over all of them, with the mean mass of those and of
/// the rest over that of the group.
fn largest(groups: &[(f64, f64)]) -> Vec<(f64, f64, f64)> {
    let alike = Thinning::Largest.parts();
    let (least, most) = groups.iter().fold((f64::MAX, 0.0_f64), |(a, b), g| (a.min(g.1), b.max(g.1)));
    if most - least <= most * 1e-6 {
        return vec![alike; groups.len()];
    }
    let past = |mass: f64, g: &(f64, f64)| normal((mass / g.1 - 1.0) / SCATTER.value);
    let wanted = groups.iter().map(|g| g.0).sum::<f64>() * alike.0;
    let too_many = |mass: f64| groups.iter().map(|g| g.0 * past(mass, g).1).sum::<f64>() > wanted;
    let [_, from] = halve(0.0, most * (1.0 + SCATTER.value * FARTHEST), TO_A_MASS, too_many);
    let of = |g| {
        let (density, share) = past(from, g);
        let mean = |of: f64| SCATTER.value * density / of.max(1e-9);
        (share, 1.0 + mean(share), (1.0 - mean(1.0 - share)).max(1.0 - SCATTER.value * 3.0))
    };
    groups.iter().map(of).collect()
}

/// A level that goes over on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Crossed {
    /// The level, just past its brim.
    pub level: Checked,
    /// After this time.
    pub time: Time,
    /// Mean mass of the fish that grow there, or of all of them.
    pub mass: Mass,
}

/// Fish taken out once.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// After this time.
    pub time: Time,
    /// How many.
    pub count: f64,
    /// Of so many that there were.
    pub of: f64,
    /// In so many goes, one after another.
    pub times: usize,
    /// Are they those that are as good as grown?
    pub grown: bool,
    /// All of them together.
    pub mass: Mass,
}

/// A way of taking fish out.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How.
    pub how: Thinning,
    /// Each time.
    pub stages: Vec<Stage>,
    /// How many reach harvest; `None` where that is never enough.
    pub left: Option<f64>,
}

/// A group at its harvest.
#[derive(Debug, Clone, PartialEq)]
pub struct Harvest {
    /// After this time.
    pub time: Time,
    /// Out of these tanks.
    pub tanks: Vec<usize>,
    /// How many.
    pub count: f64,
    /// All of them together.
    pub mass: Mass,
}

/// What growing brings.
#[derive(Debug, Clone, PartialEq)]
pub struct Growing {
    /// All fish are at harvest after this time at the soonest; `None` where they do not get there.
    pub harvest: Option<Time>,
    /// What is taken out at its harvest, soonest first; nothing where that is all of them at once.
    pub harvests: Vec<Harvest>,
    /// The levels that go over on the way, soonest first.
    pub crossed: Vec<Crossed>,
    /// Levels that are over with the fish as they are.
    pub already: usize,
    /// What taking fish out does; nothing where nothing goes over because of them.
    pub plans: Vec<Plan>,
}

/// One group on its way.
#[derive(Debug, Clone)]
struct Group {
    tank: usize,
    at: usize,
    count: f64,
    /// Times and masses, from the last time that fish were taken out.
    course: Vec<(f64, f64)>,
    /// Its mass at harvest.
    harvest: f64,
}

impl Group {
    /// When it is at harvest; never, if it does not get there.
    fn grown(&self) -> f64 {
        let last = self.course.last().filter(|c| c.1 >= self.harvest * (1.0 - 1e-9));
        last.map_or(f64::INFINITY, |c| c.0)
    }
    /// Is it taken out by then, for it is past its harvest?
    fn gone(&self, t: f64) -> bool {
        t > self.grown() * (1.0 + 1e-9) + 1.0
    }
    /// The fish of it that there are.
    fn there(&self, t: f64) -> f64 {
        if self.gone(t) { 0.0 } else { self.count }
    }
    fn mass(&self, t: f64) -> f64 {
        let last = self.course.last().map_or(0.0, |c| c.1);
        let k = self.course.iter().position(|c| c.0 >= t);
        match k {
            None => last,
            Some(0) => self.course[0].1,
            Some(k) => {
                let ((a, x), (b, y)) = (self.course[k - 1], self.course[k]);
                x * (y / x).powf(((t - a) / (b - a)).clamp(0.0, 1.0))
            }
        }
    }
}

/// How fast the fish of a tank grow: as much of their ration as is weighed out to them today goes on being.
fn pace(d: &Document, tank: usize) -> Pace {
    let o = &d.tanks[tank].oxygen;
    let eat = |g: &FishGroup| g.total().value * feeding::ration(g.species, g.mass, d.water.today).value;
    let ration: f64 = o.fish.iter().map(eat).sum();
    match o.feed_by {
        FeedBy::Weighed if ration > 0.0 => Pace::Share(RATIO.of(o.feed.value / ration)),
        _ => Pace::Soonest,
    }
}

struct Stock<'a> {
    d: &'a Document,
    ways: &'a Ways<'a>,
    shared: &'a RefCell<Shared>,
    groups: Vec<Group>,
}

impl Stock<'_> {
    /// The way of a group from a mass and a time on.
    fn course(d: &Document, tank: usize, group: usize, mass: f64, from: f64) -> Vec<(f64, f64)> {
        let (t, g) = (&d.tanks[tank], &d.tanks[tank].oxygen.fish[group]);
        let to = if t.harvest.value > mass { t.harvest } else { MASS.of(mass) };
        let season = Season::steady(d.water.today);
        let all = growth::course(g.species, MASS.of(mass), to, &season, pace(d, tank), growth::horizon());
        all.into_iter().map(|(t, w)| (from + t.value, w.value)).collect()
    }
    /// When the last group is at harvest, or has stopped growing.
    fn end(&self) -> f64 {
        self.groups.iter().filter_map(|g| g.course.last()).map(|c| c.0).fold(0.0, f64::max)
    }
    /// The document after a time.
    fn at(&self, t: f64) -> Document {
        let mut d = self.d.clone();
        for g in &self.groups {
            let fish = &mut d.tanks[g.tank].oxygen.fish[g.at];
            let mass = MASS.of(g.mass(t));
            (fish.mass, fish.by, fish.biomass) = (mass, FishBy::Weight, mass * g.there(t));
        }
        for (t, was) in d.tanks.iter_mut().zip(&self.d.tanks) {
            t.oxygen.feed = check::weighed_for(&was.oxygen, &t.oxygen.fish, self.d.water.today);
        }
        d.water.filter_age = DAYS.of((d.water.filter_age.value + t).min(OLDEST.max(d.water.filter_age.value)));
        d
    }
    /// Times at which to look from one on: evenly, and at every harvest, just before it makes room.
    fn looks(&self, from: f64) -> Vec<f64> {
        let end = self.end().max(from);
        let mut all: Vec<f64> = (0..=LOOKS).map(|k| from + (end - from) * k as f64 / LOOKS as f64).collect();
        for grown in self.groups.iter().map(Group::grown).filter(|&t| t > from && t < end) {
            if !all.iter().any(|&t| t <= grown && grown - t < AT_ONCE) {
                all.push(grown);
            }
        }
        crate::units::arrange(&mut all, f64::total_cmp);
        all
    }
    /// A document, today, and in the hottest and the coldest water.
    fn solved(&self, d: &Document) -> Result<Vec<Solved>, Vec<FieldError>> {
        solve_days_with(d, self.ways, &LOOKED_AT, &mut self.shared.borrow_mut())
    }
    /// Every level after a time.
    fn levels(&self, t: f64) -> Option<Vec<Checked>> {
        let days = self.solved(&self.at(t)).ok()?;
        Some(merge(self.ways, &days))
    }
    /// Would it be over if the groups past their harvest were still there? Plants that are too many only for want of fish wait for those that are
    /// stocked next.
    fn lasts(&self, level: &Checked, t: f64) -> bool {
        if !of_plants(&level.level) || !self.groups.iter().any(|g| g.gone(t)) {
            return true;
        }
        let kept = self.groups.iter().map(|g| Group { harvest: f64::INFINITY, ..g.clone() }).collect();
        let kept = Stock { groups: kept, ..*self }.levels(t).unwrap_or_default();
        kept.iter().any(|l| l.is(level) && is_over(l) && l.level.side() == level.level.side())
    }
    /// Mean mass of the fish of a station, or of all where it has none.
    fn mass(&self, station: usize, t: f64) -> f64 {
        let s = &self.ways.stations[station];
        let mean = |own: bool| {
            let of = self.groups.iter().filter(|g| !own || s.path() == format!("tanks.{}", g.tank));
            let (n, m) = of.fold((0.0, 0.0), |sum, g| (sum.0 + g.there(t), sum.1 + g.there(t) * g.mass(t)));
            (n > 0.0).then(|| m / n)
        };
        mean(true).or_else(|| mean(false)).unwrap_or(0.0)
    }
    /// The last time before a level is over, between one at which it is not and one at which it is.
    fn crossing(&self, from: f64, to: f64, over: impl Fn(&[Checked]) -> bool) -> f64 {
        halve(from, to, HALVINGS, |t| self.levels(t).is_some_and(|l| !over(&l)))[0]
    }
    /// A level that is over at `to` and was not at `from`.
    fn crossed(&self, level: &Checked, from: f64, to: f64) -> Crossed {
        let t = self.crossing(from, to, |all| all.iter().any(|l| l.is(level) && is_over(l)));
        Crossed { level: level.clone(), time: DAYS.of(t), mass: MASS.of(self.mass(level.station, t)) }
    }
    /// Takes fish out: how many, and what they weigh together.
    fn thin(&mut self, how: Thinning, t: f64) -> (f64, f64) {
        let there: Vec<_> = (0..self.groups.len()).filter(|&k| self.groups[k].there(t) > 0.0).collect();
        let of: Vec<_> = there.iter().map(|&k| (self.groups[k].count, self.groups[k].mass(t))).collect();
        let parts = match how {
            Thinning::Half => vec![how.parts(); of.len()],
            Thinning::Largest => largest(&of),
        };
        let mut sum = (0.0, 0.0);
        for (&k, (share, taken, left)) in there.iter().zip(parts) {
            let g = &mut self.groups[k];
            // A fish that is hardly one is none.
            let out = (g.count * share - 0.05).ceil().clamp(0.0, g.count);
            if out <= 0.0 {
                continue;
            }
            let mass = g.mass(t);
            sum = (sum.0 + out, sum.1 + out * mass * taken);
            g.count -= out;
            g.course = Self::course(self.d, g.tank, g.at, mass * left, t);
        }
        sum
    }
    /// Takes out those that are as good as grown, where there are others: how many, and what they weigh together.
    fn take_grown(&mut self, t: f64) -> Option<(f64, f64)> {
        let grown = |g: &Group| g.mass(t) >= g.harvest * AS_GROWN;
        let there = |g: &&mut Group| g.there(t) >= 1.0;
        let (out, others): (Vec<_>, Vec<_>) = self.groups.iter_mut().filter(there).partition(|g| grown(g));
        if out.is_empty() || others.is_empty() {
            return None;
        }
        Some(out.into_iter().fold((0.0, 0.0), |sum, g| {
            let count = std::mem::take(&mut g.count);
            (sum.0 + count, sum.1 + count * g.mass(t))
        }))
    }
    /// What is taken out at its harvest, unless that is all at once.
    fn harvests(&self) -> Vec<Harvest> {
        let mut grown: Vec<&Group> = self.groups.iter().filter(|g| g.grown().is_finite()).collect();
        crate::units::arrange(&mut grown, |a, b| a.grown().total_cmp(&b.grown()));
        let mut all: Vec<Harvest> = vec![];
        for g in &grown {
            let (time, mass) = (DAYS.of(g.grown()), MASS.of(g.count * g.mass(g.grown())));
            match all.last_mut() {
                Some(h) if g.grown() - h.time.value < AT_ONCE => {
                    (h.count, h.mass) = (h.count + g.count, h.mass + mass);
                    if !h.tanks.contains(&g.tank) {
                        h.tanks.push(g.tank);
                    }
                }
                _ => all.push(Harvest { time, tanks: vec![g.tank], count: g.count, mass }),
            }
        }
        if all.len() == 1 && grown.len() == self.groups.len() { vec![] } else { all }
    }
}

/// All fish of a document, on their way to harvest.
fn groups(d: &Document) -> Vec<Group> {
    let mut groups = vec![];
    for (tank, t) in d.tanks.iter().enumerate() {
        for (at, g) in t.oxygen.fish.iter().enumerate() {
            let count = (g.total() / g.mass).value;
            if count > 0.0 {
                let (course, harvest) = (Stock::course(d, tank, at, g.mass.value, 0.0), t.harvest.value);
                groups.push(Group { tank, at, count, course, harvest });
            }
        }
    }
    groups
}

fn is_over(l: &Checked) -> bool {
    l.level.state() == State::Over
}

/// Follows the fish to harvest.
///
/// # Errors
/// As [`super::check::solve`].
pub fn growing(d: &Document) -> Result<Growing, Vec<FieldError>> {
    let d = &*check::as_read(d);
    let ways = flow::ways(d)?;
    let shared = RefCell::default();
    let stock = Stock { d, ways: &ways, shared: &shared, groups: groups(d) };
    let start = merge(&ways, &stock.solved(&stock.at(0.0))?);
    let there = stock.groups.iter().all(|g| g.grown().is_finite());
    let end = stock.end();
    let mut crossed: Vec<Crossed> = vec![];
    let (mut before, mut from) = (start.clone(), 0.0);
    for to in stock.looks(0.0).into_iter().skip(1) {
        let Some(now) = stock.levels(to).filter(|_| end > 0.0) else { break };
        for level in now.iter().filter(|l| is_over(l)) {
            let was = before.iter().any(|b| b.is(level) && is_over(b));
            if was || crossed.iter().any(|c| c.level.is(level)) || !stock.lasts(level, to) {
                continue;
            }
            crossed.push(stock.crossed(level, from, to));
        }
        (before, from) = (now, to);
    }
    crate::units::arrange(&mut crossed, |a, b| a.time.value.total_cmp(&b.time.value));

    // What is over with hardly any fish is not mended by taking some out; plants that could take more are no reason to.
    let mut few = d.clone();
    scale_fish(&mut few, FEW);
    let few = merge(&ways, &stock.solved(&few)?);
    let by_fish = |l: &Checked| is_over(l) && !of_plants(&l.level) && !few.iter().any(|f| f.is(l) && is_over(f));
    let any = start.iter().any(by_fish) || crossed.iter().any(|c| by_fish(&c.level));
    let plan = |how| plan(&stock, how, &by_fish);
    let mut plans = if any { vec![plan(Thinning::Half), plan(Thinning::Largest)] } else { vec![] };
    // Where those that are grown are enough, there is one way.
    if plans.len() == 2 && plans[0].stages == plans[1].stages {
        plans.pop();
    }
    let as_they_are = solve_days_with(&stock.at(0.0), &ways, &AS_THEY_ARE, &mut shared.borrow_mut())?;
    let already = merge(&ways, &as_they_are).iter().filter(|l| is_over(l)).count();
    let harvests = stock.harvests();
    Ok(Growing { harvest: there.then_some(DAYS.of(end)), harvests, crossed, already, plans })
}

/// Takes fish out each time that something goes over because of them, until harvest.
fn plan(stock: &Stock<'_>, how: Thinning, by_fish: &dyn Fn(&Checked) -> bool) -> Plan {
    let mut s = Stock { groups: stock.groups.clone(), ..*stock };
    let mut plan = Plan { how, stages: vec![], left: None };
    let mut from = 0.0;
    for _ in 0..=MOST_TIMES {
        let over = |all: &[Checked]| all.iter().any(by_fish);
        let mut last = None;
        let mut at = None;
        for t in s.looks(from) {
            if s.levels(t).is_none_or(|l| over(&l)) {
                at = Some(last.map_or(t, |last| s.crossing(last, t, over)));
                break;
            }
            last = Some(t);
        }
        let Some(t) = at else {
            plan.left = Some(s.groups.iter().map(|g| g.count).sum());
            return plan;
        };
        if plan.stages.len() == MOST_TIMES || s.groups.iter().all(|g| g.there(t) < 1.0) {
            let harvested: f64 = s.groups.iter().filter(|g| g.gone(t)).map(|g| g.count).sum();
            plan.left = (harvested >= 1.0).then_some(harvested);
            return plan;
        }
        let of = s.groups.iter().map(|g| g.there(t)).sum();
        let out = s.take_grown(t);
        let grown = out.is_some();
        let (count, mass) = out.unwrap_or_else(|| s.thin(how, t));
        match plan.stages.last_mut() {
            // Twice on one day is once, and more.
            Some(stage) if t - stage.time.value < AT_ONCE && stage.grown == grown => {
                (stage.count, stage.mass) = (stage.count + count, MASS.of(stage.mass.value + mass));
                stage.times += 1;
            }
            _ => plan.stages.push(Stage { time: DAYS.of(t), count, of, times: 1, grown, mass: MASS.of(mass) }),
        }
        from = t;
    }
    plan
}

impl Growing {
    /// Plain sentences, with dates where the day is known.
    pub fn sentences(&self, d: &Document, w: Words) -> Vec<String> {
        let fish: f64 = d.tanks.iter().map(super::document::Tank::fish).sum();
        if fish < 1.0 {
            return vec!["There are no fish to grow.".into()];
        }
        let after = |t: Time| {
            let whole = DAYS.of(days((t.value / days(1.0)).floor()));
            if whole.value > 0.0 { format!("in {}{}", w.q(DAYS, whole), w.date(whole)) } else { "now".to_string() }
        };
        let water = w.q(TEMPERATURE, d.water.today);
        let mut all = vec![match self.harvest {
            Some(t) if t.value < days(1.0) => "They are at harvest size.".to_string(),
            Some(t) => format!("In water of {water}, as today, they all reach harvest {} at the soonest.", after(t)),
            None => format!("In water of {water}, as today, they do not all reach harvest within four years."),
        }];
        let over = match self.already {
            0 => String::new(),
            1 => " One level is over already.".into(),
            n => format!(" {n} levels are over already."),
        };
        if self.crossed.is_empty() {
            let more = if self.already > 0 { "more " } else { "" };
            all[0] += &format!(" Nothing {more}goes over on the way while screens and stones are clean.");
        }
        all[0] += &over;
        let out = |h: &Harvest| {
            let of: Vec<_> = h.tanks.iter().map(|&t| d.tanks[t].name.as_str()).collect();
            let (count, mass) = (w.q(COUNT, COUNT.of(h.count)), w.q(MASS, h.mass));
            format!("{count} fish of {} ({mass}) {}", listed(&of), after(h.time))
        };
        if !self.harvests.is_empty() {
            let steps = self.harvests.iter().map(out).collect::<Vec<_>>().join(", then ");
            let count = match harvest::days(d)[..] {
                [Day::Harvest] => {
                    "Levels at harvest count them as if all were grown at once; if others take their place each time, add \"harvest group by group\" under the water and the place."
                }
                _ => "Levels at harvest count the others as they are by then, and those that are put in.",
            };
            all.push(format!("Taken out at harvest: {steps}. {count}"));
        }
        for c in &self.crossed {
            let (name, when, at) = (&c.level.level.name, after(c.time), w.mass(SMALL_MASS, c.mass));
            // Plants are sized for the feed of an ordinary day; that grows.
            let how =
                if c.level.level.id == level::BED { format!(": {}", c.level.level.percent()) } else { String::new() };
            let text = format!("{name} goes over {when}, at {at}{}{how}.", c.level.day.when());
            all.push(text);
        }
        for p in &self.plans {
            let all_grown = p.stages.iter().all(|s| s.grown);
            let stages: Vec<_> = p
                .stages
                .iter()
                .map(|s| {
                    let goes = if s.times > 1 { format!(", in {} goes", s.times) } else { String::new() };
                    let (out, of) = (w.q(COUNT, COUNT.of(s.count)), w.q(COUNT, COUNT.of(s.of)));
                    let fish = if s.grown && !all_grown { "fish, those near harvest" } else { "fish" };
                    format!("{out} of {of} {fish} ({}) {}{goes}", w.q(MASS, s.mass), after(s.time))
                })
                .collect();
            let end = match p.left {
                Some(n) if n >= 1.0 => {
                    let then = if self.harvest.is_some() { "then grow to harvest" } else { "then go on growing" };
                    format!("{} {then}.", w.q(COUNT, COUNT.of(n)))
                }
                _ => "That is not enough to bring any to harvest.".into(),
            };
            let how = if all_grown { "Those near harvest" } else { p.how.words() };
            all.push(format!("{how}, taken out each time: {}. {end}", stages.join(", then ")));
        }
        if !self.plans.is_empty() && quality::too_cold_to_net(d) {
            all.push(quality::NOT_NETTED.into());
        }
        all
    }
}

#[cfg(test)]
mod tests;
