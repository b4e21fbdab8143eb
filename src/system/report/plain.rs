//! What a level that is over means, in a sentence that needs no words of the trade.

use super::Checked;
use crate::calculators::outcome::{Brim, Level};
use crate::system::level;
use crate::system::worst::inside;
use crate::units::*;

/// The sentence of a level without its day and full stop, for a station of a name; nothing where the level says it better itself, or where both of its
/// figures read alike.
pub(super) fn plain(l: &Level, station: &str, w: Words) -> Option<String> {
    let Brim::Upper(capacity) = l.brim else { return None };
    let [asked, there] = [l.demand.high, capacity.low].map(|x| show(l.kind, x, w.system));
    if asked == there {
        return None;
    }
    Some(match l.id.as_ref() {
        level::PUMP => format!("{station} is asked for {asked} and can send {there}"),
        level::LIFT => format!("{station} has to lift {asked} and can lift {there}"),
        level::OUTLET => format!("{station} spills: its outlet carries {there} and {asked} may come"),
        level::TURNOVER => format!("{station} should get {asked} and gets {there}"),
        level::HEAD => {
            format!("The pipes of {station} need {asked} of fall at the most that comes, and there is {there}")
        }
        level::DRY => format!("The pump in {station} runs dry: it takes a mark at {asked}, and it is at {there}"),
        level::SPILL => {
            format!("{station} spills when the pump stops: {asked} stand in it then, and it has room for {there}")
        }
        level::SUMP => format!("{station} has to hold {asked} and holds {there}"),
        level::FILTER => format!("The fish give {asked} of ammonia nitrogen, and the biofilter takes {there}"),
        level::AMMONIA => format!("The fish give {asked} of ammonia nitrogen, and {there} reach the biofilter"),
        level::FLOW => format!("{asked} must pass the biofilter to bring it the ammonia, and {there} do"),
        level::HEATER => format!("{asked} of heating are needed on the coldest night, and {there} are there"),
        level::DENSITY => format!("The fish in {station} come to {asked}, and {there} is the most for them"),
        level::SETTLING => format!("Water rises in {station} at {asked}, and solids settle against {there} at most"),
        level::SOLIDS => format!("Solids of {asked} of feed stay in the water, and it takes those of {there}"),
        _ => return None,
    })
}

/// Names of levels that are over, as a sentence after a space: nothing where there is none.
pub(super) fn over_too(levels: &[&Checked]) -> String {
    /// So many are named.
    const NAMED: usize = 3;
    let shown = if levels.len() > NAMED { NAMED - 1 } else { levels.len() };
    let mut names: Vec<String> = levels[..shown].iter().map(|l| inside(&l.level.name)).collect();
    if levels.len() > shown {
        names.push(format!("{} more", levels.len() - shown));
    }
    if names.is_empty() { String::new() } else { format!(" Over too: {}.", listed(&names)) }
}
