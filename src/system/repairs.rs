//! Repairs of a whole system, solved: for every level that is over, the smallest change in each direction that brings it to four fifths on
//! every day, and where no single one does, the smallest pair. Each is tried on the whole system, and what it puts over elsewhere is said.

mod fish;
mod found;
mod levers;
mod outlets;
mod pumps;
mod reach;
mod search;
mod water;

use super::check::{self, Day, LEAST_FED, Shared, Solved};
use super::document::{Bed, Document, Tank};
use super::flow::{self, Station, StationKind, StationOutlet, Ways, edge_of};
use super::level;
use super::quality;
use super::report::told;
use super::supply;
use super::worst::{Checked, SUFFOCATE, WORSE, inside, merge, of_plants, solve_days_with, while_poisonous};
use crate::calculators::air::{self, AirMode};
use crate::calculators::ammonia as ammonia_page;
use crate::calculators::bed::in_place;
use crate::calculators::drain::{Arrangement, DrainIn, FarEnd, Limit, VENT_OPEN, vent_place};
use crate::calculators::form::{self, Edit, EditValue, LayoutEntry, LayoutItem, Spec};
use crate::calculators::mend;
use crate::calculators::outcome::{ENOUGH, Level, Repair, State};
use crate::calculators::oxygen::{FeedBy, FishGroup, UNEATEN, storm};
use crate::calculators::piping;
use crate::calculators::siphon::SiphonIn;
use crate::catalog::crops::{METHODS, Method};
use crate::catalog::pipes::{Family, PIPES, Pipe, hole_words};
use crate::science::aeration::Fall;
use crate::science::respiration::{Meals, Solids};
use crate::science::siphon;
use crate::science::{ammonia, brackish};
use crate::units::{kinds::*, si::*, *};
use found::{Breath, Found, Leaves, by_water, on_day, same_side, sides, water_key};
use levers::{between, nice};
use search::all_of;
use std::cell::RefCell;
use std::cmp::Reverse;

/// A repair that was tried on the whole system.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// What to change, and the level that it is for after it.
    pub repair: Repair,
    /// What it puts over, by the names that levels have inside a sentence.
    pub puts_over: Vec<String>,
    /// What was over before and becomes so much worse, with how full it is then.
    pub makes_worse: Vec<String>,
    /// Is nothing at all over after it?
    pub whole: bool,
}

/// A change: what it is called, and the edits that it means.
#[derive(Debug, Clone)]
struct Change {
    title: String,
    edits: Vec<Edit>,
}

/// Something that can be changed, by steps from the least to the most.
struct Lever<'a> {
    steps: usize,
    at: Box<dyn Fn(usize) -> Change + 'a>,
    also: Vec<Note>,
}

/// A catch of a change, in its words. What is decided on it is decided on which it is, and it is said once.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Note(&'static str);

/// Steps of a lever that can be set to anything.
const FINE: usize = 128;
/// The oldest filter of the document, s.
const OLDEST: f64 = days(3650.0);
/// Most repairs that are told.
const TOLD: usize = 10;
/// Most levels that are told by name of what is still over after a repair: what kills and is fullest stands first.
const NAMED: usize = 4;
/// A share of a bed that is not worth planting.
const HARDLY_ANY: f64 = 0.05;
/// How much lower an outlet may be set, m.
const LOWEST: f64 = 0.5;
/// That of a raft or a settler, which needs its water: judgement, m.
const A_LITTLE: f64 = 0.05;
/// Levers that are tried in pairs.
const PAIRED: usize = 4;
/// A level within this of another is as full.
const NO_WORSE: f64 = 0.005;
/// With less than this part of the fish a system is given up: that is no repair.
const LEAST_FISH: f64 = 0.1;
/// Where the water test has its chloride, its nitrite and its salt.
const CHLORIDE: &str = "ammonia.0.chloride";
const NITRITE: &str = "ammonia.0.nitrite";
/// The air of the hottest spell.
const SUMMER_AIR: &str = "heat.0.summer";
const SALINITY_READ: &str = "ammonia.0.salinity";
/// What ammonia does at a usual pH tells whether that is the cause; and so far it is let fall (judgement).
const USUAL: f64 = 7.5;
const NEUTRAL: f64 = 7.0;
/// Air that a tank without any gets, least and most, m3/s; and so many times what there is, elsewhere.
const AIR_NEW: [f64; 2] = [l_min(5.0), l_min(500.0)];
const MORE_AIR: f64 = 15.0;
/// Stones that are as good as new, over new ones; and how far an inflow is let fall that does not, m.
const CLEAN: f64 = 0.95;
const FALL_NEW: f64 = 0.3;
/// A branch without any flow begins with this, m3/s.
const FLOW_NEW: f64 = l_h(10.0);
/// More fish are looked for up to so many times those that there are.
const MORE_FISH: f64 = 4.0;
/// Most changes of one repair of everything.
const MOST_AT_ONCE: usize = 4;

const LESS_WATER: Note = Note("It then holds less water.");
const ALL_LESS: Note = Note("It and what stands level with it then hold less water.");
const BATTERY: Note = Note(air::BATTERY);
const LIFT: Note = Note("The pump must lift the water that much higher, so it sends less.");
const CLOG: Note = Note("Lasts until they clog again.");
const FINER: Note = Note("They need more pressure and clog sooner.");
const AS_MUCH_LESS: Note = Note("In other water, and once they have grown, as much less than the table gives then.");
const GROW_LESS: Note = Note("They grow less, and filter and solids calm down only over days.");
const ROTS: Note = Note("More than that they do not eat: it rots.");
const MORE_WATER: Note = Note("Every drain below must then cope with more.");
const EVEN: Note = Note("Split the flow evenly: like pipes at like heights.");
const WAIT: Note = Note("Only time does this: enter it once it is so.");
const TAKES_DAYS: Note = Note("That takes days: change water meanwhile.");
const ENTER: Note = Note("Enter it once it is so.");
const WAS_FILTER: Note = Note("The medium was the filter too: then something else must be.");
const DRAINS: Note = Note("Its outlet and its turnover must keep up.");
const TURNS: Note = Note("Its turnover must keep up.");
const RADIAL: Note = Note("It wants a centre cylinder and a level rim all round.");
const NOT_BUFFERED: Note = Note("Never while ammonia is high.");
const SALT_SHY: Note = Note("No salt where salt-shy plants grow.");
const TEST: Note = Note("Test again after.");
const COMES_BACK: Note = Note("It comes back unless its cause is found.");
const BY_PH: Note = Note("The pH makes it poisonous: it comes back unless what raises the pH is found.");
const COOLER: Note = Note("Only where night air, a cooler room or shade on roof and walls brings it.");
const SHADE: Note = Note("Only with shade, a lid, new water or a chiller that holds it there on the worst day.");
const WARM: Note = Note("Only with a heater or cover that holds it there on the worst night.");
const RIPENS: Note = Note("New medium takes weeks to ripen.");
const GUARDED: Note = Note("Two of them, each with a thermostat and a guard of its own.");
const AIR_WAY: Note = Note("Leave a way in for air.");
const FITTING: Note = Note("With a fitting that is as wide.");
const FLOOR_DRAIN: Note = Note("It wants a drain at the floor, or a settler.");
const SETTLER: Note =
    Note("A settler between tank and beds, drawn every day, takes more of them out: page “Settling tank sizing”.");
const SETTLING_PAGE: Note = Note("The page “Settling tank sizing” has its size.");
const COSTS: Note = Note("It costs more to run.");
const VENT: Note = Note(VENT_OPEN);
const NOT_NETTED: Note = Note(quality::NOT_NETTED);

/// The search: the document as it is, and what it said.
pub(super) struct Search<'a> {
    d: &'a Document,
    ways: &'a Ways<'a>,
    levels: &'a [Checked],
    layout: Vec<LayoutEntry>,
    w: Words,
    shared: &'a RefCell<Shared>,
}

/// Every repair that was found, those that leave nothing over first (but no nets before air where fish suffocate), then those of the level that the verdict is about, the `subject`, and of what
/// harms soonest. `shared` is what solving the document has left.
pub fn repairs(
    d: &Document,
    ways: &Ways<'_>,
    days: &[Solved],
    levels: &[Checked],
    subject: Option<usize>,
    w: Words,
    shared: Shared,
) -> Vec<Tried> {
    let over = || levels.iter().filter(|l| l.level.state() == State::Over);
    if over().next().is_none() {
        return vec![];
    }
    let read = check::as_read(d);
    let shared = RefCell::new(shared);
    let s = Search { d: &read, ways, levels, layout: form::layout(&mut read.clone().into_owned()), w, shared: &shared };
    let targets: Vec<Checked> = over().flat_map(|l| sides(l, days)).collect();
    let mut tried: Vec<Found> = vec![];
    for target in &targets {
        let Some(day) = days.iter().find(|s| s.day == target.day) else { continue };
        let mut found = s.of(target, day);
        if let Some(act) = while_poisonous(levels, &days[0]).filter(|_| target.poisons() || target.by_ph()) {
            found.iter_mut().for_each(|f| f.act = Some(act));
        }
        tried.extend(found);
    }
    let mut all: Vec<Found> = vec![];
    for found in tried {
        if !all.iter().any(|a| a.repair.edits == found.repair.edits) {
            all.push(found);
        }
    }
    if targets.len() > 1 && !all.iter().any(|f| f.over == 0) {
        let by_air = |f: &Found| (!f.mends, f.order());
        let every = s.of_everything(&all, by_air);
        let mut every = every.or_else(|| s.of_everything(&all, |f| (!f.mends, (Breath::Air, f.leaves()))));
        let act = while_poisonous(levels, &days[0]).filter(|_| targets.iter().any(|t| t.poisons() || t.by_ph()));
        every.iter_mut().zip(act).for_each(|(f, act)| f.act = Some(act));
        all.extend(every);
    }
    // What the verdict is about, and what cannot wait.
    let subject = subject.map(|k| &levels[k]);
    let first = |t: &Checked| if subject.is_some_and(|s| s.is(t)) { u8::MAX } else { t.urgency() };
    // What leaves its own level over is told only where nothing else helps, or nothing else helps those.
    let mended: Vec<Checked> = all.iter().filter(|f| f.mends).map(|f| f.target.clone()).collect();
    let alone = |t: &Checked| first(t) >= SUFFOCATE && !mended.iter().any(|m| m.is(t));
    if !mended.is_empty() {
        all.retain(|f| f.mends || f.at_once || f.breath() == Some(Breath::Air) || alone(&f.target));
    }
    // Air in every tank once: as much as the tank takes that wants the most.
    let mut airs: Vec<Found> = all.iter().filter(|f| f.airs_all()).cloned().collect();
    crate::units::arrange(&mut airs, |a, b| a.over.cmp(&b.over).then(b.set().total_cmp(&a.set())));
    let mut kept: Vec<Found> = vec![];
    for f in airs {
        if !kept.iter().any(|k| k.paths().eq(f.paths()) && !k.left.iter().any(|l| l.is(&f.target))) {
            kept.push(f);
        }
    }
    all.retain(|f| !f.airs_all() || kept.iter().any(|k| k.repair.edits == f.repair.edits));
    // So with cooler air: as cool as the level takes that wants it coolest.
    let cools = |f: &Found| f.paths().eq([SUMMER_AIR]);
    let mut cool: Vec<Found> = all.iter().filter(|f| cools(f)).cloned().collect();
    crate::units::arrange(&mut cool, |a, b| a.over.cmp(&b.over).then(a.set().total_cmp(&b.set())));
    all.retain(|f| !cools(f) || cool[0].repair.edits == f.repair.edits);
    crate::units::arrange(&mut all, |a, b| a.order().cmp(&b.order()));
    let mut all = one_of_each(&all, first);
    all.truncate(TOLD);
    // To take fish out of water without oxygen is slow and kills: what brings them air comes before, whatever else that leaves, and in which of
    // the tanks they lack it. Where they will lack it, there is time, and still no reason to take fish out first.
    let gasp = levels.iter().any(Checked::gasps);
    let lacks = levels.iter().any(Checked::lacks_oxygen);
    let order = |f: &Found| {
        let waits = f.over > 0 && !f.rations() || f.slow() || lacks && f.nets();
        let air = f.breath() == Some(Breath::Air);
        (waits, gasp && !air, lacks && f.nets(), Reverse(first(&f.target)), f.order())
    };
    crate::units::arrange(&mut all, |a, b| order(a).cmp(&order(b)));
    // Salt acts in hours, and needs no new water: it comes before the changes, but last where it harms what grows.
    let salt = all.iter().position(|f| f.at_once && !f.rations());
    if let Some(salt) = salt
        && salt_shy(d).is_some()
    {
        all[salt..].rotate_left(1);
    } else if let Some(salt) = salt
        && let Some(change) = all[..salt].iter().position(|f| f.paths().any(|p| p == NITRITE))
    {
        all[change..=salt].rotate_right(1);
    }
    let readings = read_before(d, &read);
    let tried = |f: Found| {
        let also = f.also(&read);
        let edits = readings.iter().cloned().chain(f.repair.edits).collect();
        let repair = Repair { edits, also, ..f.repair };
        Tried { whole: f.over == 0, repair, puts_over: f.puts_over, makes_worse: f.makes_worse }
    };
    all.into_iter().map(tried).collect()
}

/// What mends all, and what helps at once; then of each level one before a second: what comes first, one of every kind, those of other stations.
fn one_of_each(all: &[Found], first: impl Fn(&Checked) -> u8) -> Vec<Found> {
    let place = |(k, f): (usize, &Found)| {
        let before = || all[..k].iter();
        // Air in all tanks is no reason to leave out what one of them wants by itself.
        let seconds = before().filter(|b| b.target.is(&f.target) && !b.airs_all()).count();
        let alike = before().any(|b| b.target.level.id == f.target.level.id);
        ((f.over > 0 && !f.at_once, seconds, Reverse(first(&f.target)), alike), k)
    };
    let mut places: Vec<_> = all.iter().enumerate().map(place).collect();
    crate::units::arrange(&mut places, Ord::cmp);
    places.into_iter().map(|(_, k)| all[k].clone()).collect()
}

/// A bed whose crop salt harms first.
fn salt_shy(d: &Document) -> Option<&Bed> {
    d.beds.iter().find(|b| b.bed.crop.is_salt_shy())
}

/// What goes before any change where there are readings at dawn: they are of what was there before it.
fn read_before(d: &Document, read: &Document) -> Vec<Edit> {
    let both = d.tanks.iter().zip(&read.tanks).enumerate();
    let changed = both.filter(|(_, (was, is))| was.oxygen.reading != is.oxygen.reading);
    let edits = changed.flat_map(|(i, (_, t))| {
        let under = |key: &str| format!("tanks.{i}.oxygen.{key}");
        [
            Edit::pick(under("reading"), "none"),
            Edit::num(under("air_factor"), t.oxygen.air_factor),
            Edit::num(under("demand_factor"), t.oxygen.demand_factor),
        ]
    });
    edits.collect()
}

#[cfg(test)]
mod tests;
