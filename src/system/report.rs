//! The words of a check: stations with their fill levels, the chain of cause, and repairs that were tried on the whole system.

mod cautions;
mod chain;
mod plain;
mod stations;
mod unfit;
mod verdict;

use self::cautions::cautions;
use self::chain::{Breath, chain};
use self::stations::stations;
use self::verdict::{soon, subject, verdict};
use super::check::{Day, Shared, Solved};
use super::document::Document;
use super::flow::{self, StationKind};
use super::worst::{merge, of_plants, solve_days, solve_days_with};
use super::{level, quality, repairs};
use crate::calculators::form::{self, FieldError};
use crate::calculators::outcome::{Brim, Caution, State};
use crate::units::{kinds::FLOW, *};
use std::cmp::Ordering;

pub(super) use self::cautions::unheated;
pub(super) use self::verdict::{enough, unsaid_of};

/// One link of the chain of cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// How it stands.
    pub state: State,
    /// What it is about, such as `Outlet, new tank: 144 %`.
    pub head: String,
    /// The sentence.
    pub text: String,
    /// A repair that ends the chain here: its place in [`Report::repairs`].
    pub repair: Option<usize>,
}

/// One station as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct StationReport {
    /// Its identifier.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: StationKind,
    /// Its path in the document.
    pub path: String,
    /// One line about it.
    pub line: String,
    /// Its fullest level on its worst day: the place in [`Report::levels`].
    pub fullest: Option<usize>,
    /// What that level is of, and on which day.
    pub of: String,
    /// Where its water goes, as a place in [`Report::stations`], and how much.
    pub onward: Vec<(usize, String)>,
    /// How high its water stands, where that is known.
    pub water: Option<Water>,
}

/// The water in a vessel.
#[derive(Debug, Clone, PartialEq)]
pub struct Water {
    /// Lowest and highest, as shares of the height of the vessel.
    pub stands: (f64, f64),
    /// In words.
    pub words: String,
}

pub use super::repairs::Tried;
pub use super::worst::Checked;

/// All that a check says.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// One or two plain sentences.
    pub verdict: String,
    /// Stations in the order the water meets them.
    pub stations: Vec<StationReport>,
    /// Every level, what harms soonest first and then what is fullest.
    pub levels: Vec<Checked>,
    /// The level that the verdict is about: its place in [`Self::levels`].
    pub subject: Option<usize>,
    /// What goes over within weeks as the fish grow, where nothing is over yet: a sentence, or nothing.
    pub soon: String,
    /// What leads to what: from what is over first to what it does, and what ends it.
    pub chain: Vec<Link>,
    /// Computed repairs, those that leave nothing over first.
    pub repairs: Vec<Tried>,
    /// Flow along every edge today, in the order of the document.
    pub flows: Vec<VolumeRate>,
    /// Cautions of all its parts, once each.
    pub cautions: Vec<Caution>,
}

impl Report {
    /// The level that all of it is about.
    pub fn foremost(&self) -> Option<&Checked> {
        self.levels.get(self.subject?)
    }
    /// The state of the fullest level.
    pub fn state(&self) -> State {
        self.levels.iter().map(|l| l.level.state()).max().unwrap_or(State::Enough)
    }
    /// Where the water of a station goes: the place in [`Report::stations`], and how much goes there in words.
    pub fn onward<'a>(&'a self, station: &'a StationReport) -> impl Iterator<Item = (usize, String)> + 'a {
        station
            .onward
            .iter()
            .filter_map(|(to, flow)| Some((*to, format!("{flow} to {}", self.stations.get(*to)?.name))))
    }
}

/// Checks a document on every day and says what follows.
///
/// # Errors
/// As [`check::solve`](super::check::solve), on any of the days.
pub fn report(d: &Document, words: Words) -> Result<Report, Vec<FieldError>> {
    made(d, words, None)
}

/// The same with the repairs of an earlier report, and what is to come by it, for as long as somebody is typing: looking for them is most of the work.
///
/// # Errors
/// As [`report`].
pub fn report_so_far(d: &Document, words: Words, before: &Report) -> Result<Report, Vec<FieldError>> {
    made(d, words, Some(before))
}

fn made(d: &Document, words: Words, before: Option<&Report>) -> Result<Report, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    let mut shared = Shared::default();
    let days = solve_days_with(d, &ways, &Day::ALL, &mut shared).map_err(|e| form::told(e, words.system))?;
    let levels = told(d, merge(&ways, &days));
    let worst = days.iter().reduce(|a, b| if worse(b, a) { b } else { a }).unwrap_or(&days[0]);
    let over = levels.iter().any(|l| l.level.state() == State::Over);
    let breath = Breath { ways: &ways, days: &days, levels: &levels };
    let subject = subject(&breath);
    let repairs = match before {
        Some(before) if over => before.repairs.clone(),
        Some(_) => vec![],
        None => repairs::repairs(d, &ways, &days, &levels, subject, words, shared),
    };
    let stations = stations(d, &ways, &days[0], &levels, words);
    let chain = chain(d, worst, &breath, subject, &repairs, words);
    let soon = match before {
        _ if over => String::new(),
        Some(before) => before.soon.clone(),
        None => soon(d, words),
    };
    let verdict = verdict(d, worst, &breath, subject, &soon, words);
    let flows = days[0].flows.edges.iter().map(|q| FLOW.of(*q)).collect();
    let cautions = cautions(d, &ways, &days[0], words);
    Ok(Report { verdict, stations, levels, subject, soon, chain, repairs, flows, cautions })
}

/// Every fill level on its worst day, as [`Report::levels`], without words or repairs.
///
/// # Errors
/// As [`report`].
pub fn levels(d: &Document) -> Result<Vec<Checked>, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    Ok(told(d, merge(&ways, &solve_days(d, &ways, &Day::ALL)?)))
}

/// The levels that are told: nothing feeds plants where there are no fish; a water test that nobody has read has passed no check; nor has water
/// that is asked for no fish.
pub(super) fn told(d: &Document, mut levels: Vec<Checked>) -> Vec<Checked> {
    let unread = d.ammonia.iter().any(|a| !a.0.is_read());
    let fish = quality::species(d).next().is_some();
    levels.retain(|l| match l.level.id.as_ref() {
        level::BED => fish,
        level::UNIONISED | level::TAN | level::NITRITE | level::CROP_PH => !unread,
        level::PH | level::CARBON_DIOXIDE => !unread || l.level.state() == State::Over,
        level::WARMTH => matches!(l.level.brim, Brim::Between { .. }),
        _ => true,
    });
    levels
}

/// Is a day worse than another: more is over, or as much and fuller?
fn worse(day: &Solved, than: &Solved) -> bool {
    let stands = |s: &Solved| {
        // Plants make no day the worst.
        let of_day = s.levels.iter().filter(|l| !of_plants(&l.1));
        of_day
            .fold((0, 0.0), |(n, sum), l| (n + usize::from(l.1.state() == State::Over), sum + l.1.fullness().min(10.0)))
    };
    let ((over, sum), (over_then, sum_then)) = (stands(day), stands(than));
    match over.cmp(&over_then) {
        Ordering::Equal => than.day != Day::Today && sum > sum_then,
        more => more == Ordering::Greater,
    }
}

fn count(x: f64) -> String {
    number(x.round(), 15)
}

#[cfg(test)]
mod tests;
