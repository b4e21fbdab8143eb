//! Repairs of a whole system, solved: for every level that is over, the smallest change in each direction that brings it to four fifths on
//! every day, and where no single one does, the smallest pair. Each is tried on the whole system, and what it puts over elsewhere is said.

use super::check::{self, Day, Shared, Solved};
use super::document::{Document, Tank};
use super::flow::{self, Held, StationKind, Ways, edge_of};
use super::quality;
use super::report::told;
use super::supply;
use super::worst::{Checked, SUFFOCATE, WORSE, inside, merge, of_plants, solve_days_with, while_poisonous};
use crate::calculators::air::AirMode;
use crate::calculators::ammonia as ammonia_page;
use crate::calculators::bed::in_place;
use crate::calculators::drain::{Arrangement, FarEnd, Limit, VENT_OPEN, vent_place};
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
/// Fed less than this part of what they are fed, fish starve: that is no repair.
const LEAST_FED: f64 = 0.5;
/// With less than this part of the fish a system is given up: that is no repair.
const LEAST_FISH: f64 = 0.1;
/// The chloride and the salt of the water test.
const CHLORIDE: &str = "ammonia.0.chloride";
const NITRITE: &str = "ammonia.0.nitrite";
const SALINITY_READ: &str = "ammonia.0.salinity";
/// What ammonia does at a usual pH tells whether that is the cause; and so far it is let fall (judgement).
const USUAL: f64 = 7.5;
const NEUTRAL: f64 = 7.0;
/// Air that a tank without any gets, least and most, m3/s; and so many times what there is, elsewhere.
const AIR_NEW: [f64; 2] = [l_min(5.0), l_min(500.0)];
const MORE_AIR: f64 = 15.0;
/// More fish are looked for up to so many times those that there are.
const MORE_FISH: f64 = 4.0;
/// Most changes of one repair of everything.
const MOST_AT_ONCE: usize = 4;

const LESS_WATER: Note = Note("It then holds less water.");
const ALL_LESS: Note = Note("It and what stands level with it then hold less water.");
const BATTERY: Note = Note("Keep a battery air pump for the day the power fails.");
const LIFT: Note = Note("The pump must lift the water that much higher, so it sends less.");
const CLOG: Note = Note("Lasts until they clog again.");
const FINER: Note = Note("They need more pressure and clog sooner.");
const NOT_BY_WARMTH: Note = Note("No more for warmer water.");
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
    crate::units::arrange(&mut all, |a, b| a.order().cmp(&b.order()));
    let mut all = one_of_each(&all, first);
    all.truncate(TOLD);
    // To take fish out of water without oxygen is slow and kills: what brings them air comes before, whatever else that leaves, and in which of
    // the tanks they lack it.
    let gasp = levels.iter().any(|l| l.urgency() >= SUFFOCATE);
    let order = |f: &Found| {
        let waits = f.over > 0 && !f.rations() || f.slow() || gasp && f.nets();
        (waits, gasp && f.breath() != Some(Breath::Air), Reverse(first(&f.target)), f.order())
    };
    crate::units::arrange(&mut all, |a, b| order(a).cmp(&order(b)));
    // Salt acts in hours, and needs no new water: it comes before the changes.
    if let Some(salt) = all.iter().position(|f| f.at_once && !f.rations())
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

/// A repair after its trial.
#[derive(Debug, Clone)]
struct Found {
    repair: Repair,
    /// How many levels are over after it.
    over: usize,
    /// The levels that are over after it: station, identifier and which.
    left: Vec<Checked>,
    /// Does it bring its level to four fifths?
    enough: bool,
    /// Is its own level not over any more, or at least kills no more?
    mends: bool,
    /// Does it help at once in what its level does not show?
    at_once: bool,
    /// What it puts over, and what it makes worse with how full that is then.
    puts_over: Vec<String>,
    makes_worse: Vec<String>,
    /// What is to be done with it first.
    act: Option<&'static str>,
    /// Its catches.
    notes: Vec<Note>,
    /// What is said of air that it makes a storm.
    storm: Option<String>,
    target: Checked,
}

impl Found {
    /// What it sets.
    fn paths(&self) -> impl Iterator<Item = &String> {
        self.repair.edits.iter().map(|e| &e.path)
    }
    /// Does it take days, while the water goes on killing?
    fn slow(&self) -> bool {
        self.notes.contains(&TAKES_DAYS)
    }
    /// Is it what is fed until a filter is counted on?
    fn rations(&self) -> bool {
        self.at_once && self.paths().any(|p| p.ends_with(".feed"))
    }
    /// Does it take fish out?
    fn nets(&self) -> bool {
        self.paths().any(|p| p.contains(".fish."))
    }
    /// Where fish lack oxygen today: what puts it in acts in minutes, then water and feed, and fish that are netted last.
    fn breath(&self) -> Option<Breath> {
        let air = |p: &String| {
            let key = p.split_once(".oxygen.").map_or("", |p| p.1);
            ["air", "fall", "free_flow", "rated", "condition", "diffuser"].iter().any(|k| key.starts_with(k))
        };
        // Air with no more feed than is eaten is air too.
        let fed = |p: &String| p.ends_with(".oxygen.feed");
        let acts = || self.paths().any(air) && self.paths().all(|p| air(p) || fed(p));
        self.target.gasps().then(|| match acts() {
            true => Breath::Air,
            false if self.nets() => Breath::Nets,
            false => Breath::Other,
        })
    }
    /// Is it air in more than one tank?
    fn airs_all(&self) -> bool {
        let mut tanks = self.paths().filter(|p| !p.ends_with(".feed")).map(|p| p.split('.').nth(1));
        let first = tanks.next();
        self.breath() == Some(Breath::Air) && tanks.any(|t| Some(t) != first)
    }
    /// All that it sets, together.
    fn set(&self) -> f64 {
        let si = |e: &Edit| if let EditValue::Si(x) = e.to { x } else { 0.0 };
        self.repair.edits.iter().map(si).sum()
    }
    /// Water that still kills is last; air that mends its own level is never.
    fn order(&self) -> (Breath, Leaves) {
        (self.breath().unwrap_or(Breath::Air), self.leaves())
    }
    /// The same by what it leaves alone.
    fn leaves(&self) -> Leaves {
        let kills = self.slow() || self.left.iter().any(|l| l.level.leads);
        let harms = !(self.puts_over.is_empty() && self.makes_worse.is_empty());
        Leaves { kills, over: self.over, short: !self.enough, harms }
    }
    /// What it puts over and makes worse, what is to be done with it, and its catches; with the name of a crop there that salt harms first.
    fn also(&self, d: &Document) -> Option<String> {
        let named = [("Then over: ", &self.puts_over), ("Makes worse: ", &self.makes_worse)].into_iter();
        let named = named.filter(|n| !n.1.is_empty()).map(|(what, names)| format!("{what}{}.", listed(names)));
        let shy = d.beds.iter().map(|b| b.bed.crop).find(|c| c.is_salt_shy());
        let words = |n: &Note| match shy.filter(|_| *n == SALT_SHY) {
            Some(c) => n.0.replace("plants", &format!("plants such as {}", c.noun)),
            None => n.0.into(),
        };
        let all = named.chain(self.act.map(String::from)).chain(self.notes.iter().map(words)).chain(self.storm.clone());
        let all: Vec<String> = all.collect();
        (!all.is_empty()).then(|| all.join(" "))
    }
}

/// What a repair of fish that lack oxygen does for it, what acts soonest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Breath {
    /// Air.
    Air,
    /// Water, feed and the rest.
    Other,
    /// Fish are taken out.
    Nets,
}

/// What a repair leaves, what weighs most first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Leaves {
    /// Is something left that kills?
    kills: bool,
    /// How many levels are over.
    over: usize,
    /// Is its own level over four fifths?
    short: bool,
    /// Is anything over, or worse, that was not so before?
    harms: bool,
}

/// The water of a day.
const fn water_key(day: Day) -> &'static str {
    match day {
        Day::Today | Day::Blocked => "water.today",
        Day::Coldest => "water.coldest",
        Day::Hottest | Day::Harvest | Day::Aged => "water.hottest",
    }
}

/// Is it a level that each water of the year has to itself? A change of one leaves the others as they are.
fn by_water(l: &Checked) -> bool {
    l.level.id == "warmth"
}

/// That level on a day.
fn on_day<'a>(l: &Checked, day: &'a Solved) -> Option<&'a Level> {
    day.levels.iter().filter(|o| o.0 == l.station && o.1.id == l.level.id).nth(l.nth).map(|o| &o.1)
}

/// What is to be mended of a level that is over: on its worst day, or in every water in which it is.
fn sides(l: &Checked, days: &[Solved]) -> Vec<Checked> {
    if !by_water(l) {
        return vec![l.clone()];
    }
    let waters = days.iter().filter(|s| matches!(s.day, Day::Today | Day::Hottest | Day::Coldest));
    let side = |s: &Solved| {
        let level = on_day(l, s).filter(|o| o.state() == State::Over)?;
        Some(Checked { level: Level { name: l.level.name.clone(), ..level.clone() }, day: s.day, ..l.clone() })
    };
    waters.filter_map(side).collect()
}

/// Is it the same to be mended?
fn same_side(a: &Checked, b: &Checked) -> bool {
    a.is(b) && (!by_water(a) || water_key(a.day) == water_key(b.day))
}

impl Search<'_> {
    /// The repairs of one level.
    fn of(&self, target: &Checked, day: &Solved) -> Vec<Found> {
        let levers: Vec<_> = self.levers(target, day).into_iter().map(|lever| self.as_shown(lever)).collect();
        let mut found = vec![];
        let mut short: Vec<(f64, &Lever<'_>)> = vec![];
        for lever in &levers {
            match self.least(target, lever) {
                Ok(f) => found.push(f),
                Err(Some(load)) if load < target.level.fullness() - 1e-3 => short.push((load, lever)),
                Err(_) => {}
            }
        }
        crate::units::arrange(&mut short, |a, b| a.0.total_cmp(&b.0));
        // What chokes the system does not stand alone where an outlet is too small.
        let chokes = |f: &Found| !f.puts_over.is_empty();
        if found.iter().all(chokes) && (found.is_empty() || target.level.id == "outlet") {
            found.extend(self.pair(target, &short[..short.len().min(PAIRED)]));
        }
        // Where nothing brings it to four fifths, what helps most is better than nothing; it says how far it goes. Water that goes on
        // killing by its warmth is no repair.
        if found.is_empty() {
            let far = |(_, lever): &(f64, &Lever<'_>)| {
                let whole = |k: usize| self.tried(target, &(lever.at)(k), &lever.also);
                let end = whole(lever.steps)?;
                let level = &end.repair.level;
                if level.leads && level.kind.id == "temperature" {
                    return None;
                }
                // No farther than it helps.
                let most = (level.leads, level.fullness() + NO_WORSE);
                let as_good = |f: Found| f.repair.level.weight() <= most && f.over <= end.over;
                let k = least_step(lever.steps, |k| whole(k).is_some_and(as_good));
                if k < lever.steps { whole(k) } else { Some(end) }
            };
            found.extend(short.iter().take(PAIRED).find_map(far));
        }
        // Whatever else mends it, air is told as far as it goes: it acts while the rest is being done.
        if target.gasps() && !found.iter().any(|f| f.breath() == Some(Breath::Air)) {
            let mut far = short.iter().filter_map(|(_, l)| self.tried(target, &(l.at)(l.steps), &l.also));
            found.extend(far.find(|f| f.breath() == Some(Breath::Air)));
        }
        if target.level.id == "nitrite" {
            found.splice(0..0, self.salt(target, day));
        }
        if matches!(target.level.id.as_ref(), "filter" | "ammonia") {
            found.splice(0..0, self.fed_for_now(target));
        }
        found
    }

    /// A lever that sets what it names: numbers to three figures in the units that are read.
    fn as_shown<'a>(&'a self, lever: Lever<'a>) -> Lever<'a> {
        let exact = lever.at;
        let at = move |k: usize| {
            let mut change = exact(k);
            form::as_shown(&mut change.edits, &self.layout, self.w.system);
            change
        };
        Lever { at: Box::new(at), ..lever }
    }

    /// The document with some changes; nothing if one of them is not possible.
    fn changed(&self, edits: &[Edit]) -> Option<Document> {
        let mut d = self.d.clone();
        (!edits.is_empty() && edits.iter().all(|e| form::apply(&mut d, e))).then_some(d)
    }

    /// How full the level is after a change, on its own worst day.
    fn load(&self, target: &Checked, edits: &[Edit]) -> Option<f64> {
        let (d, which) = (self.changed(edits)?, (target.station, target.level.id.as_ref(), target.nth));
        check::level_with(&d, self.ways, target.day, &mut self.shared.borrow_mut(), which).map(|l| l.fullness())
    }

    /// The least step of a lever that is enough on every day; otherwise how far its end goes on the worst day.
    fn least(&self, target: &Checked, lever: &Lever<'_>) -> Result<Found, Option<f64>> {
        let load = |k: usize| self.load(target, &(lever.at)(k).edits);
        let fits = |k: usize| load(k).is_some_and(|l| l <= ENOUGH + 1e-9);
        let end = load(lever.steps);
        let n = lever.steps;
        // It need not fall all the way: what a lever overshoots, some step before its end may do.
        let first = match end {
            Some(l) if l <= ENOUGH + 1e-9 => Some(n),
            _ => [n / 2, n / 4, 3 * n / 4].into_iter().find(|&k| k > 0 && fits(k)),
        };
        let high = first.ok_or(end)?;
        let k = least_step(high, fits);
        let whole = |k: usize| self.tried(target, &(lever.at)(k), &lever.also);
        match whole(k).ok_or(end)? {
            f if f.enough => Ok(f),
            _ if k == high => Err(end),
            // Another day is worse by then.
            _ => {
                let k = k + least_step(high - k, |more| whole(k + more).is_some_and(|f| f.enough));
                whole(k).filter(|f| f.enough).ok_or(end)
            }
        }
    }

    /// The smallest pair of changes that is enough on every day.
    fn pair(&self, target: &Checked, levers: &[(f64, &Lever<'_>)]) -> Option<Found> {
        let mut best: Option<(f64, Found)> = None;
        for (i, (_, a)) in levers.iter().enumerate() {
            for (_, b) in &levers[i + 1..] {
                let step = |n: usize, k: usize| (n * k).div_ceil(FINE);
                let both = |k: usize| {
                    let (x, y) = ((a.at)(step(a.steps, k)), (b.at)(step(b.steps, k)));
                    self.joined(x, y)
                };
                let fits = |k: usize| self.load(target, &both(k).edits).is_some_and(|l| l <= ENOUGH + 1e-9);
                if !fits(FINE) {
                    continue;
                }
                let k = least_step(FINE, fits);
                let share = k as f64 / FINE as f64;
                if best.as_ref().is_some_and(|b| b.0 <= share) {
                    continue;
                }
                let also = all_of(&a.also, &b.also);
                let at = |k| self.tried(target, &both(k), &also).filter(|f| f.enough);
                // Another day may be worse by then.
                let later = || {
                    at(FINE)?;
                    at(k + least_step(FINE - k, |more| at(k + more).is_some()))
                };
                if let Some(f) = at(k).or_else(later) {
                    best = Some((share, f));
                }
            }
        }
        best.map(|b| b.1)
    }

    /// The best repair of each level that is over, all at once, and of each no more than it then takes.
    fn of_everything(&self, found: &[Found], order: impl Fn(&Found) -> (bool, (Breath, Leaves))) -> Option<Found> {
        let of = |target: &Checked| found.iter().filter(|f| same_side(&f.target, target)).min_by_key(|f| order(f));
        let first = of(self.levels.iter().find(|l| l.level.state() == State::Over)?)?;
        let target = &first.target;
        let mut parts = vec![first.clone()];
        let mut all = first.clone();
        while all.over > 0 && parts.len() < MOST_AT_ONCE {
            let next = all.left.iter().find_map(of).cloned().or_else(|| self.behind(&all, &order))?;
            // What sets the same again takes the place of what was set.
            let had = parts.len();
            parts.retain(|p| !p.paths().all(|path| next.paths().any(|n| n == path)));
            let grows = parts.len() >= had;
            parts.push(next);
            let more = self.together(target, &parts)?;
            // As many may be over where it is others, which the changes themselves put over.
            let new = more.left.iter().any(|l| of(l).is_none());
            if more.over > all.over || more.over == all.over && !(grows && new) {
                return None;
            }
            all = more;
        }
        if all.over > 0 {
            return None;
        }
        // With the others there, one may need less than alone, or not be needed.
        for k in (0..parts.len()).rev() {
            let mut others = parts.clone();
            let own = others.remove(k);
            let Some(less) = self.less(&own, &others) else { continue };
            others.splice(k..k, less);
            if let Some(f) = self.together(target, &others).filter(|f| f.over == 0 && f.enough >= all.enough) {
                (parts, all) = (others, f);
            }
        }
        Some(all)
    }

    /// The best repair of what a change itself puts over, to be made with it.
    fn behind<T: Ord>(&self, with: &Found, order: impl Fn(&Found) -> T) -> Option<Found> {
        let d = self.changed(&with.repair.edits)?;
        let days = solve_days_with(&d, self.ways, &Day::ALL, &mut self.shared.borrow_mut()).ok()?;
        let levels = merge(self.ways, &days);
        let was_over = |l: &Checked| self.levels.iter().any(|b| b.is(l) && b.level.state() == State::Over);
        let new = levels.iter().filter(|l| l.level.state() == State::Over && !was_over(l));
        let target = new.flat_map(|l| sides(l, &days)).next()?;
        let layout = form::layout(&mut d.clone());
        let there = Search { d: &d, ways: self.ways, levels: &levels, layout, w: self.w, shared: self.shared };
        let levers = there.levers(&target, days.iter().find(|s| s.day == target.day)?);
        let found = levers.into_iter().filter_map(|l| there.least(&target, &there.as_shown(l)).ok());
        found.filter(|f| f.mends && f.paths().all(|p| with.paths().all(|w| w != p))).min_by_key(|f| order(f))
    }

    /// Several repairs at once.
    fn together(&self, target: &Checked, parts: &[Found]) -> Option<Found> {
        let (first, rest) = parts.split_first()?;
        let change = |p: &Found| Change { title: p.repair.title.clone(), edits: p.repair.edits.clone() };
        let all = rest.iter().fold(change(first), |all, p| self.joined(all, change(p)));
        let notes = rest.iter().fold(first.notes.clone(), |a, p| all_of(&a, &p.notes));
        let act = parts.iter().find_map(|p| p.act);
        Some(Found { act, ..self.tried(target, &all, &notes)? })
    }

    /// Two changes at once. Of one pump what both want more is added up, and said in one sentence.
    fn joined(&self, mut a: Change, b: Change) -> Change {
        let Some((pump, key)) = self.stronger_of(&a).filter(|p| self.stronger_of(&b).as_ref() == Some(p)) else {
            let title = self.and(&a.title, &b.title);
            return Change { title, edits: a.edits.into_iter().chain(b.edits).collect() };
        };
        let was = |path: &str| match edge_of(path) {
            Some(k) => self.d.edges[k].flow.value,
            None => self.strength_now(pump),
        };
        for e in b.edits {
            let EditValue::Si(more) = e.to else { continue };
            match a.edits.iter_mut().find(|x| x.path == e.path) {
                Some(Edit { to: EditValue::Si(x), .. }) => *x += more - was(&e.path),
                _ => a.edits.push(e),
            }
        }
        let si = |e: &Edit| if let EditValue::Si(x) = e.to { FLOW.of(x) } else { FLOW.of(0.0) };
        let sends = a.edits.iter().find(|e| e.path == key).map_or(FLOW.of(0.0), si);
        let parts: Vec<_> = a.edits.iter().filter_map(|e| Some((edge_of(&e.path)?, si(e)))).collect();
        Change { title: self.stronger_words(sends, &parts), edits: a.edits }
    }

    /// The pump that a change makes stronger for branches of its own and does nothing else, and the field of that.
    fn stronger_of(&self, change: &Change) -> Option<(usize, String)> {
        let (first, rest) = change.edits.split_first()?;
        let pump = (0..self.d.pumps.len()).find(|&i| first.path == format!("pumps.{i}.{}", self.strength(i)))?;
        let station = self.ways.place(StationKind::Pump, pump);
        let own =
            |e: &Edit| edge_of(&e.path).is_some_and(|k| self.ways.edges[k].0 == station && e.path.ends_with(".flow"));
        (!rest.is_empty() && rest.iter().all(own)).then(|| (pump, first.path.clone()))
    }

    /// What a pump can send, or what it is set to if that is more, m3/s.
    fn strength_now(&self, pump: usize) -> f64 {
        self.d.pumps[pump].can_send().max(supply::asked_of(self.d, self.ways, pump)).value
    }

    /// A stronger pump in words, with what goes through some of its branches.
    fn stronger_words(&self, sends: VolumeRate, parts: &[(usize, VolumeRate)]) -> String {
        let (w, name) = (self.w, |k: usize| self.ways.stations[self.ways.edges[k].1].name);
        let parts = parts
            .iter()
            .enumerate()
            .map(|(n, &(k, q))| format!("{}{} to {}", w.q(FLOW, q), if n == 0 { " of it" } else { "" }, name(k)));
        format!("A pump that can send {}, {}", w.q(FLOW, sends), listed(&parts.collect::<Vec<_>>()))
    }

    /// What is left of a repair when the others are there: none, or the least of the same; nothing where that cannot be said.
    fn less(&self, own: &Found, others: &[Found]) -> Option<Option<Found>> {
        let change = |p: &Found| Change { title: String::new(), edits: p.repair.edits.clone() };
        let pump = |p: &Found| self.stronger_of(&change(p));
        // What both want of one pump is told from what it is now.
        if pump(own).is_some_and(|own| others.iter().any(|o| pump(o).as_ref() == Some(&own))) {
            return None;
        }
        let edits = others.iter().map(change).reduce(|a, b| self.joined(a, b)).map_or(vec![], |c| c.edits);
        let d = self.changed(&edits)?;
        let days = solve_days_with(&d, self.ways, &Day::ALL, &mut self.shared.borrow_mut()).ok()?;
        let levels = merge(self.ways, &days);
        let over = levels.iter().filter(|l| l.level.state() == State::Over);
        let Some(target) = over.flat_map(|l| sides(l, &days)).find(|l| same_side(l, &own.target)) else {
            return Some(None);
        };
        let layout = form::layout(&mut d.clone());
        let there = Search { d: &d, ways: self.ways, levels: &levels, layout, w: self.w, shared: self.shared };
        let day = days.iter().find(|s| s.day == target.day)?;
        let same = |l: &Lever<'_>| l.steps > 1 && (l.at)(l.steps).edits.iter().map(|e| &e.path).eq(own.paths());
        let levers = there.levers(&target, day).into_iter().filter(same).map(|l| there.as_shown(l));
        let least = levers.filter_map(|l| there.least(&target, &l).ok()).next();
        least.map(Some)
    }

    /// Two changes as one. A name keeps its capital behind the semicolon.
    fn and(&self, first: &str, second: &str) -> String {
        let name = self.ways.stations.iter().any(|s| second.starts_with(&format!("{}: ", s.name)));
        format!("{first}; {}", if name { second.into() } else { lower(second) })
    }

    /// Tries a change on the whole system and on every day: what it brings, and what it puts over. Nothing where it brings nothing, or more fish
    /// into water in which more than plants is over.
    fn tried(&self, target: &Checked, change: &Change, also: &[Note]) -> Option<Found> {
        let (f, own, more) = self.brought(target, change, also)?;
        (own.weight() < target.level.weight() && !(more && f.left.iter().any(|l| !of_plants(&l.level)))).then_some(f)
    }

    /// What is said of air that a change makes a storm; of several tanks, of the one that is the most of one.
    fn storm(&self, s: &Solved, change: &Change) -> Option<String> {
        let of = |t: usize| ["air_flow", "free_flow"].map(|key| format!("tanks.{t}.oxygen.{key}"));
        let set = |t: &usize| change.edits.iter().any(|e| of(*t).contains(&e.path));
        let air = |t: usize| (s.tanks[t].oxygen.air.delivered, s.tanks[t].inputs.volume);
        let share = |(air, water): (VolumeRate, Volume)| (air / water).value;
        let all = (0..s.tanks.len()).filter(set).map(air);
        let (air, water) = all.max_by(|a, b| share(*a).total_cmp(&share(*b)))?;
        storm(air, water, self.w)
    }

    /// What a change brings, its own level then, and whether it brings more fish.
    fn brought(&self, target: &Checked, change: &Change, also: &[Note]) -> Option<(Found, Level, bool)> {
        let mut fixed = self.changed(&change.edits)?;
        if !form::check(&mut fixed, System::Metric).is_empty() {
            return None;
        }
        let days = solve_days_with(&fixed, self.ways, &Day::ALL, &mut self.shared.borrow_mut()).ok()?;
        let after = merge(self.ways, &days);
        let level = &after.iter().find(|l| l.is(target))?.level;
        let apart = by_water(target);
        let own = match days.iter().find(|s| apart && s.day == target.day) {
            Some(s) => on_day(target, s)?,
            None => level,
        };
        let when = |day: Day| if apart { day.when() } else { "" };
        let left: Vec<Checked> = after.iter().filter(|l| l.level.state() == State::Over).cloned().collect();
        let was_over = |l: &Checked| self.levels.iter().any(|b| b.is(l) && b.level.state() == State::Over);
        let names = |new: bool| {
            let name = |l: &Checked| inside(&l.level.name) + if l.is(target) { when(l.day) } else { "" };
            let mut all: Vec<String> = left.iter().filter(|l| was_over(l) != new).map(name).collect();
            // What it puts over is named whole.
            if !new && all.len() > NAMED {
                let more = all.split_off(NAMED).len();
                all.push(format!("{more} more"));
            }
            all
        };
        let (puts_over, still) = (names(true), names(false));
        let rest = match (still.is_empty(), puts_over.is_empty()) {
            (true, true) => {
                let fullest = told(&fixed, after.clone()).into_iter().next().filter(|l| !l.is(target));
                let fullest =
                    fullest.map(|l| format!("; fullest then: {}, {}", inside(&l.level.name), l.level.percent()));
                format!(" Nothing is over{}.", fullest.unwrap_or_default())
            }
            // What it puts over stands beside it.
            (true, false) => String::new(),
            (false, _) => format!(" Still over: {}.", listed(&still)),
        };
        // What was over already and becomes so much fuller, or comes out at the other end.
        let worse = |l: &Checked| {
            let was = self.levels.iter().find(|b| b.is(l) && b.level.state() == State::Over && !l.is(target))?;
            let fuller = |is: &Level, was: &Level| {
                let flips = || is.side() != was.side();
                let more = is.fullness() > was.fullness() * WORSE || is.leads && !was.leads || flips();
                (is.state() == State::Over && more).then(|| is.percent())
            };
            let today = || Some(fuller(&l.today, &was.today)? + " today");
            Some(format!("{} ({})", inside(&l.level.name), fuller(&l.level, &was.level).or_else(today)?))
        };
        let makes_worse = left.iter().filter_map(worse).collect();
        let storm = days.first().and_then(|s| self.storm(s, change));
        let repair = Repair {
            title: change.title.clone(),
            effect: format!("{}{}: {}.{rest}", level.name, when(target.day), own.percent()),
            edits: change.edits.clone(),
            level: level.clone(),
            also: None,
        };
        let enough = own.fullness() <= ENOUGH + 1e-9;
        let mends = own.state() != State::Over || target.level.leads && !own.leads;
        let own = own.clone();
        let target = target.clone();
        let found = Found {
            repair,
            over: left.len(),
            left,
            enough,
            mends,
            at_once: false,
            puts_over,
            makes_worse,
            act: None,
            notes: also.to_vec(),
            storm,
            target,
        };
        let fish = |d: &Document| d.tanks.iter().map(Tank::fish).sum::<f64>();
        Some((found, own, fish(&fixed) > fish(self.d) * (1.0 + 1e-9)))
    }

    // ---- what can be changed ----

    fn levers(&self, target: &Checked, day: &Solved) -> Vec<Lever<'_>> {
        let (station, id) = (&self.ways.stations[target.station], target.level.id.as_ref());
        let (i, path) = (station.index, station.path());
        let mut all = vec![];
        match (station.kind, id) {
            (kind, "outlet") => {
                self.wider(kind, i, day, &mut all);
                self.send_less(target.station, FLOW.of(day.flows.most[target.station]), &mut all);
                for b in supply::siphons_above(self.d, self.ways, target.station) {
                    self.standpipes(b, true, &mut all);
                    all.extend(self.number(&format!("beds.{b}.siphon.0.flood"), f64::MIN, 1.0, &[]));
                }
            }
            (StationKind::Tank, "oxygen") => {
                let (throttled, through) = (day.tanks[i].throttled, day.tanks[i].flow.value > 0.0);
                self.air(i, &mut all);
                all.extend(self.air_in_all(day));
                // No blower for feed that nobody eats.
                if let Some(eaten) = self.feed_as_eaten() {
                    let alone = self.tried(target, &(eaten.at)(1), &[ROTS]).is_some_and(|f| f.enough);
                    all = if alone { vec![] } else { all.into_iter().filter_map(|l| self.as_eaten_with(l)).collect() };
                    all.extend((!self.is_left(i)).then_some(eaten));
                }
                if through && self.d.tanks[i].oxygen.fall != Fall::None {
                    self.send(target.station, &mut all);
                }
                if throttled {
                    self.wider(station.kind, i, day, &mut all);
                }
                if day.tanks[i].lean {
                    self.fuller_sumps(&mut all);
                }
                all.extend(self.fewer(&[i]));
                // Tanks on one loop share its water: what one lacks the others may have taken.
                if self.d.tanks.iter().filter(|t| t.fish() > 0.0).count() > 1 {
                    all.extend(self.fewer_in_all());
                }
                self.feed_less(i, &mut all);
                if target.day == Day::Harvest {
                    all.extend(self.number(&format!("{path}.harvest"), f64::MIN, 1.0, &[]));
                }
            }
            (StationKind::Tank, "turnover") => {
                self.send(target.station, &mut all);
                if day.tanks[i].throttled {
                    self.wider(station.kind, i, day, &mut all);
                }
            }
            (StationKind::Tank, "density") => {
                let o = &self.d.tanks[i].oxygen;
                all.extend(self.fewer(&[i]));
                all.extend(self.number(&format!("{path}.oxygen.volume"), 1.0, 8.0, &[DRAINS]));
                if target.day == Day::Harvest {
                    all.extend(self.number(&format!("{path}.harvest"), f64::MIN, 1.0, &[]));
                }
                if !o.air.on() {
                    self.air(i, &mut all);
                }
                all.extend(self.draw(i));
            }
            (StationKind::Tank, "solids") => {
                for t in 0..self.d.tanks.len() {
                    all.extend(self.draw(t));
                }
                for b in 0..self.d.beds.len() {
                    all.extend(self.number(&format!("beds.{b}.bed.area"), 1.0, 8.0, &[]));
                }
                all.extend(self.fewer_in_all());
                self.feed_the_only_less(&mut all);
            }
            (StationKind::Tank, "warmth") => {
                if let Some(g) = self.d.tanks[i].oxygen.fish.get(target.nth) {
                    let cold = target.level.demand.low < g.species.well_from().value;
                    let (to, also) =
                        if cold { (g.species.well_from(), &[WARM]) } else { (g.species.well_to(), &[SHADE]) };
                    all.extend(self.number_to(water_key(target.day), to.value, also));
                }
            }
            (StationKind::Pump, "lift") => {
                all.extend(self.number(&format!("{path}.curve.0.shut_off"), 1.0, 6.0, &[MORE_WATER]));
                for k in self.ways.out_of(target.station) {
                    all.extend(self.number(&format!("edges.{k}.run.0.lift"), f64::MIN, 1.0, &[]));
                }
            }
            (StationKind::Pump, _) => {
                for key in ["most", "curve.0.free_flow"] {
                    all.extend(self.number(&format!("{path}.{key}"), 1.0, 20.0, &[]));
                }
                let who = if self.d.pumps.len() > 1 { station.name } else { "the pump" };
                all.push(self.scaled(self.ways.out_of(target.station).collect(), who.into()));
            }
            (StationKind::Settler, "settling") => {
                let under = |key: &str| format!("{path}.settling.{key}");
                if self.d.settlers[i].settling.kind.id != "radial" {
                    all.push(self.once(
                        &format!("{}: a radial-flow settler", station.name),
                        vec![Edit::pick(under("kind"), "radial")],
                        &[RADIAL],
                    ));
                }
                all.extend(self.number(&under("diameter"), 1.0, 8.0, &[]));
                all.extend(self.number(&under("count"), 1.0, 8.0, &[EVEN]));
                let pumped = (0..self.ways.edges.len()).filter(|&k| self.ways.is_pump(self.ways.edges[k].0));
                all.push(self.scaled(pumped.collect(), "the pumps".into()));
            }
            (StationKind::Bed, "bed") => {
                let o = &day.beds[i];
                // What nobody feeds wants no plants, however they stand, and a bed with a siphon is a bed of medium.
                let fed = o.wanted.1 > o.area * HARDLY_ANY;
                if fed {
                    all.extend(self.plants(day));
                }
                let other = |m: &&Method| m.id != self.d.beds[i].bed.method.id && m.id != "tower";
                for m in METHODS.iter().filter(other).filter(|_| fed && self.d.beds[i].siphon.is_empty()) {
                    let title = format!("{}: {}", station.name, m.label.to_ascii_lowercase());
                    let also: &[Note] = if self.d.beds[i].bed.method.media && !m.media { &[WAS_FILTER] } else { &[] };
                    all.push(self.once(&title, vec![Edit::pick(format!("{path}.bed.method"), m.id)], also));
                }
                if o.area < o.wanted.0 {
                    all.extend(self.feed_as_eaten());
                    all.extend(self.fewer_in_all());
                } else {
                    all.extend(self.more_in_all());
                }
            }
            (StationKind::Bed, "roots") => {
                let (year, b) = (&self.d.water, &self.d.beds[i].bed);
                let all_year = in_place(b.crop, &[year.today, year.hottest, year.coldest]);
                for c in if all_year.is_empty() { in_place(b.crop, &[year.today]) } else { all_year } {
                    let title = format!("{}: {} instead of {}", station.name, c.noun, b.crop.noun);
                    all.push(self.once(&title, vec![Edit::pick(format!("{path}.bed.crop"), c.id)], &[]));
                }
                // No farther than the fish feed well in.
                let fish = || quality::species(self.d);
                let ((low, high), now) = (b.crop.best(), target.level.demand.low);
                let cold = now < low.value;
                let (to, also) = match cold {
                    true => (fish().map(|s| s.well_to().value).fold(low.value, f64::min), &[WARM]),
                    false => (fish().map(|s| s.well_from().value).fold(high.value, f64::max), &[SHADE]),
                };
                if (to > now) == cold {
                    all.extend(self.number_to(water_key(target.day), to, also));
                }
            }
            (StationKind::Bed, "inflow") => {
                self.standpipes(i, false, &mut all);
                if target.level.demand.low < target.level.demand.high {
                    self.fuller_sumps(&mut all);
                }
                all.push(self.once(
                    &format!("{}: a flared top, or a water trap at the foot", station.name),
                    vec![Edit::pick(format!("{path}.siphon.0.aid"), "helped")],
                    &[],
                ));
                all.extend(self.number(&format!("{path}.siphon.0.drop"), 1.0, 5.0, &[]));
                self.send(target.station, &mut all);
                let out: Vec<usize> = self.ways.from_pumps(target.station).filter(|&k| self.set_by_hand(k)).collect();
                if !out.is_empty() {
                    all.push(self.scaled(out, format!("the branch to {}", station.name)));
                }
            }
            (StationKind::Bed, "ring") => all.extend(self.number(&format!("{path}.siphon.0.bell"), 1.0, 4.0, &[])),
            (StationKind::Bed, "gap") => all.extend(self.number(&format!("{path}.siphon.0.gap"), 1.0, 6.0, &[])),
            (StationKind::Bed, "slots") => all.extend(self.number(&format!("{path}.siphon.0.slots"), 1.0, 8.0, &[])),
            (StationKind::Bed, "bed_rim") => {
                all.extend(self.number(&format!("{path}.siphon.0.flood"), f64::MIN, 1.0, &[]));
                all.extend(self.number(&format!("{path}.siphon.0.rim"), 1.0, 2.0, &[]));
            }
            (StationKind::Sump, "dry" | "spill" | "sump") => {
                let under = |key: &str| format!("{path}.levels.0.{key}");
                if let Some((_, depth)) = self.field(&under("depth")) {
                    all.extend(self.number_to(&under("mark"), depth, &[]));
                    all.extend(self.number(&under("mark"), f64::MIN, 1.0, &[]));
                }
                all.extend(self.number(&under("volume"), 1.0, 8.0, &[]));
                all.extend(self.number(&under("days"), f64::MIN, 1.0, &[]));
                let rest = Edit::pick(under("top_up"), "at_rest");
                all.push(self.once(&format!("{}: top it up at rest, the beds drained", station.name), vec![rest], &[]));
            }
            // A pump draws from it.
            (StationKind::Tank, "dry") => {
                all.extend(self.number(&format!("{path}.oxygen.volume"), 1.0, 8.0, &[TURNS]));
                for b in 0..self.d.beds.len() {
                    all.extend(self.number(&format!("beds.{b}.siphon.0.flood"), f64::MIN, 1.0, &[]));
                }
            }
            (_, "unionised" | "tan" | "nitrite") => {
                let alkaline = (id == "unionised").then(|| self.alkaline(day)).flatten();
                all.extend(self.freshen(day, if alkaline.is_some() { BY_PH } else { COMES_BACK }));
                all.extend(alkaline);
            }
            (_, "salt") => {
                let tanks = (0..self.d.tanks.len()).map(|i| format!("tanks.{i}.oxygen.salinity"));
                let test = [SALINITY_READ, CHLORIDE].map(String::from);
                // Some is left: without any nothing is asked.
                let read = tanks.chain(test).map(|path| (path, 0.0)).collect();
                all.push(Lever { steps: FINE - 1, ..self.renew("salt", read, None, COMES_BACK) });
            }
            (_, "ph" | "alkalinity" | "carbon_dioxide") if self.levels.iter().any(Checked::by_ph) => {
                let buffer = ammonia_page::buffer_for(!self.d.beds.is_empty());
                let back = day.ammonia.as_ref().and_then(|a| ammonia_page::ph_back(&a.inputs, &a.out, buffer, self.w));
                let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
                all.extend(back.map(|(title, edits)| self.once(&title, edits.into_iter().map(under).collect(), &[])));
            }
            (_, "alkalinity") => {
                let buffer = ammonia_page::buffer_for(!self.d.beds.is_empty());
                let said = day.ammonia.as_ref().map(|a| ammonia_page::replenished(&a.inputs, &a.out, buffer, self.w));
                let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
                all.extend(said.map(|(title, edits)| {
                    self.once(&title, edits.into_iter().map(under).collect(), &[NOT_BUFFERED, TEST])
                }));
            }
            (_, "carbon_dioxide") => {
                let said = day.ammonia.as_ref().and_then(|a| ammonia_page::aired(&a.inputs, &a.out, self.w));
                let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
                all.extend(said.map(|(title, edits)| self.once(&title, edits.into_iter().map(under).collect(), &[])));
            }
            (_, "filter" | "ammonia" | "flow") => {
                all.extend(self.ripen(day));
                all.extend(self.number("ammonia.0.media", 1.0, 20.0, &[RIPENS]));
                if id != "flow" {
                    all.extend(self.fewer_in_all());
                }
                for t in (0..self.d.tanks.len()).filter(|_| id != "filter") {
                    self.send(self.ways.place(StationKind::Tank, t), &mut all);
                }
                self.feed_the_only_less(&mut all);
            }
            (_, "heater") => {
                all.extend(self.number("heat.0.heater", 1.0, 30.0, &[GUARDED]));
                self.warmer(&mut all);
            }
            (_, "cut") => self.warmer(&mut all),
            (_, "summer") => {
                all.extend(self.number("heat.0.sun", f64::MIN, 1.0, &[SHADE]));
                let mean = self.field("heat.0.mean").map_or(f64::MAX, |f| f.1);
                let air = self.field("heat.0.summer").filter(|f| f.1 > mean);
                all.extend(air.and_then(|_| self.number_to("heat.0.summer", mean, &[COOLER])));
            }
            // A level that this file does not know by name: what stands open on the station's own page is tried both ways.
            _ => {
                let under = format!("{path}.");
                for e in self.layout.iter().filter(|e| e.path.starts_with(&under) && !e.detail) {
                    if let LayoutItem::Num(spec, _) = &e.item
                        && spec.kind.id != "temperature"
                    {
                        all.extend(self.number(&e.path, 1.0, 8.0, &[]));
                        all.extend(self.number(&e.path, f64::MIN, 1.0, &[]));
                    }
                }
            }
        }
        all
    }

    fn field(&self, path: &str) -> Option<(&Spec, f64)> {
        self.layout.iter().find_map(|e| match &e.item {
            LayoutItem::Num(spec, si) if e.path == path => Some((spec, *si)),
            _ => None,
        })
    }

    /// Does this branch carry what it is set to?
    fn set_by_hand(&self, k: usize) -> bool {
        let from = &self.ways.stations[self.ways.edges[k].0];
        !(from.kind == StationKind::Pump && supply::is_solved(self.d, self.ways, from.index))
    }

    /// Salt against nitrite, which shows in the level only in part, or not at all.
    fn salt(&self, target: &Checked, day: &Solved) -> Option<Found> {
        let quality::AmmoniaSolved { inputs, out, .. } = day.ammonia.as_ref()?;
        let (title, edit) = ammonia_page::salted(ammonia_page::chloride_in(inputs), out.salt, inputs.volume, self.w)?;
        let change = Change { title, edits: vec![Edit { path: CHLORIDE.into(), ..edit }] };
        let (mut found, ..) = self.brought(target, &change, &[SALT_SHY])?;
        found.repair.effect = format!("{} {}", ammonia_page::SALT_BRINGS, found.repair.effect);
        Some(Found { at_once: true, ..found })
    }

    /// What is fed to fish that stand before a filter too new to count on, as the water test's own page has it: they cannot wait for it.
    fn fed_for_now(&self, target: &Checked) -> Option<Found> {
        let today = check::solve_with(self.d, self.ways, Day::Today, &mut self.shared.borrow_mut()).ok()?;
        let out = &today.ammonia.as_ref().filter(|a| a.too_new())?.out;
        let (most, fed) = (ammonia_page::most_fed(out)?, |i: &usize| check::fed_today(self.d, *i));
        let tanks = (0..self.d.tanks.len()).filter(|i| fed(i).value > 0.0);
        let edits = tanks.flat_map(|i| {
            let under = |key: &str| format!("tanks.{i}.oxygen.{key}");
            [Edit::pick(under("feed_by"), "weighed"), Edit::num(under("feed"), fed(&i) * (most / out.feed))]
        });
        let mut edits: Vec<_> = edits.collect();
        form::as_shown(&mut edits, &self.layout, self.w.system);
        let all = if edits.len() > 2 && most.value > 0.0 { " in all" } else { "" };
        let title = format!(
            "Feed {}{all} for now, with a third of the water changed every day",
            self.w.amount(FEED_RATE, most)
        );
        let (found, ..) = self.brought(target, &Change { title, edits }, &[])?;
        Some(Found { at_once: true, ..found })
    }

    /// The water changed against ammonia and nitrite. Where salt alone does not do against the nitrite it goes in first.
    fn freshen(&self, day: &Solved, cause: Note) -> Option<Lever<'_>> {
        let quality::AmmoniaSolved { inputs, out, .. } = day.ammonia.as_ref()?;
        let chloride = ammonia_page::chloride_in(inputs);
        let high = out.nitrite.value > inputs.species.nitrite_limit().value * ENOUGH;
        let salt = if high { out.salt } else { MASS.of(0.0) };
        let first = ammonia_page::salted(chloride, salt, inputs.volume, self.w);
        let first = first.map(|(title, edit)| (title, Edit { path: CHLORIDE.into(), ..edit }));
        // Chloride goes out with the rest, down to that of new water.
        let read = vec![
            ("ammonia.0.tan".into(), 0.0),
            (NITRITE.into(), 0.0),
            (CHLORIDE.into(), mg_l(ammonia_page::NOT_COUNTED)),
        ];
        Some(self.renew("ammonia and nitrite", read, first, cause))
    }

    /// A pH let down, where as much ammonia would be borne at one that is not as high: that is the cause then.
    fn alkaline(&self, day: &Solved) -> Option<Lever<'_>> {
        let quality::AmmoniaSolved { inputs: i, out, .. } = day.ammonia.as_ref()?;
        let there = brackish::unionised_share(i.temperature, RATIO.of(USUAL), i.salinity).ok()?;
        if i.ph.value <= ammonia_page::ALKALINE || (out.tan * there).value > i.species.unionised_limit().value {
            return None;
        }
        let (now, lower) = (i.ph, self.number_to("ammonia.0.ph", NEUTRAL, &[])?);
        let at = move |k: usize| {
            let Change { edits, .. } = (lower.at)(k);
            let to = edits.iter().find_map(|e| if let EditValue::Si(x) = e.to { Some(x) } else { None });
            Change { title: ammonia_page::let_down(now, RATIO.of(to.unwrap_or(NEUTRAL)), self.w), edits }
        };
        Some(Lever { steps: FINE, at: Box::new(at), also: vec![TAKES_DAYS] })
    }

    /// A part of the water changed for water without something, by what is read and what new water brings of it; after something that comes first
    /// and sets what is read.
    fn renew<'a>(
        &'a self,
        without: &'static str,
        read: Vec<(String, f64)>,
        first: Option<(String, Edit)>,
        cause: Note,
    ) -> Lever<'a> {
        let (w, water) = (self.w, quality::volume(self.d));
        let also = first.is_some().then_some(SALT_SHY).into_iter().chain([TEST, cause]).collect();
        let set = |p: &str| first.as_ref().filter(|f| f.1.path == p).map(|f| f.1.to.clone());
        let now = |p: &str| if let Some(EditValue::Si(x)) = set(p) { Some(x) } else { Some(self.field(p)?.1) };
        let read: Vec<_> = read.into_iter().filter_map(|(p, new)| Some((now(&p)?, new, p))).collect();
        let at = move |k: usize| {
            let share = PERCENT.of(k as f64 / FINE as f64);
            let ammonia_page::Renewal { change, how, left } = ammonia_page::renewal(share, water, first.is_some(), w);
            let title = format!("{change} ({how}), with water free of {without}");
            let reading = |(x, new, path): &(f64, f64, String)| Edit {
                path: path.clone(),
                to: EditValue::Si(x - (x - new).max(0.0) * (1.0 - left)),
            };
            let title = first.as_ref().map_or(title.clone(), |(before, _)| self.and(before, &title));
            Change { title, edits: read.iter().map(reading).collect() }
        };
        Lever { steps: FINE, at: Box::new(at), also }
    }

    /// A filter that is still young grows up.
    fn ripen(&self, day: &Solved) -> Option<Lever<'_>> {
        let (from, w) = (self.d.water.filter_age, self.w);
        // Until it is ripe: the day on which it just carries the fish comes only if the feed was raised to that day.
        let to = ammonia::ripe_after(self.d.water.coldest.min(self.d.water.today));
        let to = DAYS.of(days((to.value / days(1.0) - 1e-9).ceil())).min(DAYS.of(OLDEST));
        // Nobody may have said yet how old it is.
        let asks = if from.value > 0.0 { "" } else { " (or say how long it has been fed already)" };
        let title = format!(
            "Ripen the filter first and stock in steps, as “Start-up” has it{asks}: fed for {} instead of {}",
            w.q(DAYS, to),
            w.q(DAYS, from)
        );
        let edits = vec![Edit::num("water.filter_age", to)];
        // Fish that are in do not bear the wait.
        let stands = day.ammonia.as_ref().is_some_and(quality::AmmoniaSolved::too_new);
        let also: &[Note] = if stands { &[TAKES_DAYS, ENTER] } else { &[WAIT] };
        (to > from && !self.d.ammonia.is_empty()).then(|| self.once(&title, edits, also))
    }

    /// The plants that the feed keeps, in every bed alike: they share it.
    fn plants(&self, day: &Solved) -> Option<Lever<'_>> {
        let mid = |b: usize| (day.beds[b].wanted.0.value + day.beds[b].wanted.1.value) / 2.0;
        let all = (0..self.d.beds.len()).filter_map(|b| self.number_to(&format!("beds.{b}.bed.area"), mid(b), &[]));
        let mut all: Vec<Lever<'_>> = all.collect();
        if all.len() < 2 {
            return all.pop();
        }
        let (d, w) = (self.d, self.w);
        let at = move |k: usize| {
            let edits: Vec<Edit> = all.iter().flat_map(|l| (l.at)(k).edits).collect();
            let area = |d: &Document| w.q(AREA, AREA.of(d.beds.iter().map(|b| b.bed.area.value).sum()));
            let mut after = d.clone();
            edits.iter().for_each(|e| _ = form::apply(&mut after, e));
            // Edits of more than the areas: beds with siphons that are made larger.
            let sides = if edits.len() > d.beds.len() { ", their sides as much longer" } else { "" };
            let title = format!("In all beds: plant area {} instead of {}{sides}", area(&after), area(d));
            Change { title, edits }
        };
        Some(Lever { steps: FINE, at: Box::new(at), also: vec![] })
    }

    /// A cover, a lid, insulation.
    fn warmer<'a>(&'a self, all: &mut Vec<Lever<'a>>) {
        for (title, edits) in [
            ("A floating film or bubble sheet on tanks, settlers and sumps", vec![Edit::pick("heat.0.cover", "film")]),
            ("An insulated lid over tanks, settlers and sumps", vec![Edit::pick("heat.0.cover", "lid")]),
            ("Insulation around the walls", vec![Edit::pick("heat.0.lagged", "walls")]),
            ("Insulation around the walls and underneath", vec![Edit::pick("heat.0.lagged", "all")]),
            (
                "An insulated lid over tanks, settlers and sumps, and insulation around the walls",
                vec![Edit::pick("heat.0.cover", "lid"), Edit::pick("heat.0.lagged", "walls")],
            ),
            (
                "An insulated lid over tanks, settlers and sumps, and insulation around the walls and underneath",
                vec![Edit::pick("heat.0.cover", "lid"), Edit::pick("heat.0.lagged", "all")],
            ),
        ] {
            // What is there already is no part of a repair: the rest of it stands in another line.
            let there = |e: &Edit| form::value_at(&mut self.d.clone(), &e.path).is_some_and(|v| v == e.to);
            if !edits.iter().any(there) {
                all.push(self.once(title, edits, &[AIR_WAY]));
            }
        }
    }

    /// A number from where it is to `to`.
    fn number_to(&self, path: &str, to: f64, also: &[Note]) -> Option<Lever<'_>> {
        let (spec, from) = self.field(path)?;
        let (kind, to) = (spec.kind, to.clamp(spec.hard[0], spec.hard[1]));
        // What a question asks is not what a change is called.
        let said = [
            (".levels.0.volume", "volume, brim full,"),
            ("ammonia.0.media", "medium"),
            (".bed.area", "plant area"),
            (".settling.count", "settlers side by side:"),
        ];
        let label = said.iter().find(|s| path.ends_with(s.0)).map_or_else(|| lower(spec.label), |s| s.1.into());
        let (path, system) = (path.to_string(), self.w.system);
        let owner = self.owner(&path);
        let at = move |k: usize| {
            let x = nice(kind, between(from, to, k as f64 / FINE as f64), from, system);
            let x = if to > from { x.min(to) } else { x.max(to) };
            let x = if kind.whole { x.round() } else { x };
            let mut title = format!("{owner}{label} {} instead of {}", show(kind, x, system), show(kind, from, system));
            let mut edits = vec![Edit { path: path.clone(), to: EditValue::Si(x) }];
            if let Some((length, width)) = self.basin(&path, x / from) {
                title += &format!(", sides {} by {}", self.w.q(LENGTH, length), self.w.q(LENGTH, width));
                let side = |key: &str, x| Edit::num(path.replace("bed.area", &format!("siphon.0.{key}")), x);
                edits.extend([side("length", length), side("width", width)]);
            }
            Change { title, edits }
        };
        ((to - from).abs() > 1e-12).then(|| Lever { steps: FINE, at: Box::new(at), also: also.to_vec() })
    }

    /// A bed with a siphon that is made larger for its plants floods and drains as much more: its sides go with its area. Fewer plants need no
    /// smaller bed.
    fn basin(&self, path: &str, times: f64) -> Option<(Length, Length)> {
        let bed = path.strip_prefix("beds.")?.strip_suffix(".bed.area")?.parse::<usize>().ok()?;
        let s = self.d.beds.get(bed)?.siphon.first().filter(|_| times > 1.0)?;
        Some((s.0.length * times.sqrt(), s.0.width * times.sqrt()))
    }

    /// A number up to `times` what it is, or with `least` below one down to a tenth.
    fn number(&self, path: &str, least: f64, times: f64, also: &[Note]) -> Option<Lever<'_>> {
        let (spec, from) = self.field(path)?;
        // From nothing, up to what is usual.
        let up = if from > 0.0 { from * times } else { spec.advised[1].min(spec.hard[1]) };
        self.number_to(path, if least < 1.0 { from / 10.0 } else { up }, also)
    }

    /// The station or branch that a path is of, with a colon.
    fn owner(&self, path: &str) -> String {
        let part = || match path.split_once('.')?.0 {
            "ammonia" if path.ends_with(".media") => Some("Filter".to_string()),
            "ammonia" => Some("Water test".into()),
            "heat" => Some("Heat".into()),
            "water" => Some("Water".into()),
            _ => None,
        };
        self.ways.owner(path).or_else(part).map_or(String::new(), |name| format!("{name}: "))
    }

    fn once(&self, title: &str, edits: Vec<Edit>, also: &[Note]) -> Lever<'_> {
        let title = title.to_string();
        let at = move |_| Change { title: title.clone(), edits: edits.clone() };
        Lever { steps: 1, at: Box::new(at), also: also.to_vec() }
    }

    /// Other standpipes of a bed's siphon, or only those that are narrower.
    fn standpipes<'a>(&'a self, bed: usize, narrower: bool, all: &mut Vec<Lever<'a>>) {
        let b = &self.d.beds[bed];
        let o = &b.siphon[0].0;
        let fits = |p: &&Pipe| !narrower || p.bore().is_some_and(|d| d < piping::bore(o.pipe, o.bore));
        for p in PIPES.iter().filter(|p| piping::like(p, o.pipe) && p.id != o.pipe.id).filter(fits) {
            let title = format!("{}: {} standpipe, with a bell to match", b.name, p.words(self.w.system));
            all.push(self.once(&title, siphon_edits(&format!("beds.{bed}"), p, o, self.w), &[]));
        }
    }

    /// Sumps that do not fall so far between two top-ups.
    fn fuller_sumps<'a>(&'a self, all: &mut Vec<Lever<'a>>) {
        for s in 0..self.d.sumps.len() {
            all.extend(self.number(&format!("sumps.{s}.levels.0.days"), f64::MIN, 1.0, &[]));
            all.extend(self.number(&format!("sumps.{s}.levels.0.volume"), 1.0, 8.0, &[]));
        }
    }

    /// A wider pipe, more outlets, more holes in the screen, a lower hole.
    fn wider<'a>(&'a self, kind: StationKind, i: usize, day: &Solved, all: &mut Vec<Lever<'a>>) {
        let (w, path) = (self.w, flow::outlet_path(kind, i));
        let said = match kind {
            StationKind::Settler => self.d.settlers[i].outlet.first().map(|o| &o.0),
            StationKind::Bed => self.d.beds[i].outlet.first().map(|o| &o.0),
            _ => Some(&self.d.tanks[i].outlet),
        };
        let Some(o) = said else { return };
        let name = self.ways.stations[self.ways.place(kind, i)].name;
        let solved = day.way_out(kind, i).map_or_else(|| &day.tanks[i].outlet, |o| &o.out);
        let family = if w.system == System::Metric { Family::MetricPn10 } else { Family::Schedule40 };
        let rim = o.arrangement == Arrangement::Rim;
        // A way out for the air that it chokes on.
        if solved.limited_by == Limit::Choking {
            let title = format!("{name}: an open vent {}", vent_place(o.arrangement));
            all.push(self.once(&title, vec![Edit::pick(format!("{path}.vent"), "yes")], &[VENT]));
        }
        let room = match o.arrangement {
            Arrangement::Draw | Arrangement::Wall => o.hole_depth,
            Arrangement::Flooded => o.pipe_depth,
            Arrangement::Rim => LENGTH.of(f64::INFINITY),
        };
        // A hole must not reach over the rim.
        let pipes: Vec<_> =
            o.pipe.wider(o.pipe_bore(), family).filter(|p| p.bore().is_some_and(|b| b <= room)).collect();
        if !pipes.is_empty() {
            let (steps, under) = (pipes.len(), path.clone());
            let narrow = o.narrow.yes();
            let at = move |k: usize| {
                let p = pipes[k.clamp(1, pipes.len()) - 1];
                let saw = o.hole_to_cut(p).map_or(String::new(), |d| format!(", a {} hole saw", hole_words(d, w)));
                let pipe = p.short();
                let mut edits = vec![Edit::pick(format!("{under}.pipe"), p.id)];
                if narrow {
                    edits.push(Edit::pick(format!("{under}.narrow"), "no"));
                }
                Change { title: format!("{name}: {pipe}{saw}"), edits }
            };
            all.push(Lever { steps, at: Box::new(at), also: narrow.then_some(FITTING).into_iter().collect() });
        }
        let have = o.outlets.value;
        if have < 8.0 {
            let under = path.clone();
            let at = move |k: usize| {
                let n = have + k as f64;
                let title = format!("{name}: {} outlets like it in all", w.plain(n));
                Change { title, edits: vec![Edit::num(format!("{under}.outlets"), COUNT.of(n))] }
            };
            all.push(Lever { steps: (8.0 - have) as usize, at: Box::new(at), also: vec![] });
        }
        all.extend(self.number(&format!("{path}.openings"), 1.0, 6.0, &[]));
        for key in ["hole_depth", "lip_depth"] {
            let path = format!("{path}.{key}");
            // A standpipe is cut, and not past its foot.
            let most = if rim { o.standpipe - o.pipe_bore() } else { o.may_go_down() };
            let most = most.value.clamp(0.0, if kind == StationKind::Tank { LOWEST } else { A_LITTLE });
            let from = self.field(&path).map(|f| f.1);
            let level = self.ending_in(self.ways.place(kind, i)).any(|h| h.outlet.arrangement == Arrangement::Flooded);
            let also = if level { ALL_LESS } else { LESS_WATER };
            let lever = from.and_then(|from| Some((from, self.number_to(&path, from + most, &[also])?)));
            if let Some((from, lever)) = lever {
                all.push(Lever { at: Box::new(move |k| self.lowered(kind, i, from, (lever.at)(k))), ..lever });
            }
        }
    }

    /// A lower outlet with the water that then stands in a tank.
    fn lowered(&self, kind: StationKind, i: usize, from: f64, mut change: Change) -> Change {
        let Some(held) = self.d.outlet(kind, i) else { return change };
        let outlet = &held.outlet;
        if let Some(EditValue::Si(to)) = change.edits.first().map(|e| e.to.clone()) {
            let fall = LENGTH.of(to - from);
            self.fallen(kind, i, fall, &mut change.edits);
            let cut = (outlet.arrangement == Arrangement::Rim)
                .then(|| Edit::num("standpipe", outlet.standpipe - fall))
                .or_else(|| outlet.gone_down(fall));
            change.edits.extend(cut.map(|e| Edit { path: format!("{}.{}", held.path(), e.path), ..e }));
        }
        change
    }

    /// What of a station goes down with its water, and with that all that ends in it.
    fn fallen(&self, kind: StationKind, i: usize, fall: Length, edits: &mut Vec<Edit>) {
        let Some(held) = self.d.outlet(kind, i) else { return };
        if kind == StationKind::Tank {
            let o = &self.d.tanks[i].oxygen;
            let under = |key: &str| format!("tanks.{i}.oxygen.{key}");
            edits.push(Edit::num(under("volume"), o.volume - held.outlet.surface * fall));
            edits.push(Edit::num(under("depth"), o.depth - fall));
        }
        if kind == StationKind::Settler {
            edits.push(Edit::num(format!("settlers.{i}.settling.depth"), self.d.settlers[i].settling.depth - fall));
        }
        for h in self.ending_in(self.ways.place(kind, i)) {
            let o = &h.outlet;
            if o.arrangement == Arrangement::Flooded {
                edits.push(Edit::num(format!("{}.tail_depth", h.path()), o.tail_depth + fall));
                self.fallen(h.kind, h.index, fall, edits);
            } else {
                edits.push(Edit::num(format!("{}.tail", h.path()), (o.tail - fall).max(LENGTH.of(0.0))));
            }
        }
    }

    /// The outlets that end in the water of a station.
    fn ending_in(&self, station: usize) -> impl Iterator<Item = Held<'_>> {
        let ends = move |h: &Held<'_>| {
            let drowned = h.outlet.arrangement == Arrangement::Flooded || h.outlet.far_end == FarEnd::Under;
            drowned && self.ways.edges.contains(&(self.ways.place(h.kind, h.index), station))
        };
        self.d.outlets().into_iter().filter(ends)
    }

    /// Air, and what makes more of it.
    fn air<'a>(&'a self, i: usize, all: &mut Vec<Lever<'a>>) {
        let (t, o) = (&self.d.tanks[i], &self.d.tanks[i].oxygen);
        let path = format!("tanks.{i}.oxygen");
        let under = |key: &str| format!("{path}.{key}");
        let name = &t.name;
        let mut once = |on: bool, title: String, edits: Vec<Edit>, also: &[Note]| {
            if on {
                all.push(self.once(&title, edits, also));
            }
        };
        let stones = matches!(o.air.mode, AirMode::Stones | AirMode::Pump) && o.air.on();
        once(
            o.meals == Meals::Few,
            format!("{name}: spread the feed over three meals or more"),
            vec![Edit::pick(under("meals"), "spread")],
            &[],
        );
        once(
            stones && o.condition.value < 0.95,
            format!("{name}: clean or renew the stones"),
            vec![Edit::num(under("condition"), RATIO.of(1.0))],
            &[CLOG],
        );
        once(
            stones && o.air.diffuser.id != "fine",
            format!("{name}: fine-pore diffusers in place of these stones"),
            vec![Edit::pick(under("diffuser"), "fine")],
            &[FINER],
        );
        let height =
            LENGTH.of(if o.fall == Fall::None || o.fall_height.value <= 0.0 { 0.3 } else { o.fall_height.value });
        once(
            o.fall != Fall::Broken,
            format!("{name}: let the inflow fall {} over stones or through holes", self.w.q(LENGTH, height)),
            vec![Edit::pick(under("fall"), "broken"), Edit::num(under("fall_height"), height)],
            &[LIFT],
        );
        self.blow(i, all);
    }

    /// More air, or any.
    fn blow<'a>(&'a self, i: usize, all: &mut Vec<Lever<'a>>) {
        let (name, o) = (&self.d.tanks[i].name, &self.d.tanks[i].oxygen);
        let path = format!("tanks.{i}.oxygen");
        if o.air.mode == AirMode::None {
            let (w, depth) = (self.w, o.air.depth);
            let at = move |k: usize| {
                let x = between(AIR_NEW[0], AIR_NEW[1], k as f64 / FINE as f64);
                let air = AIR_FLOW.of(nice(AIR_FLOW.0, x, 0.0, w.system));
                let title =
                    format!("{name}: {} of air through stones, {} deep", w.q(AIR_FLOW, air), w.q(LENGTH, depth));
                let edits =
                    vec![Edit::pick(format!("{path}.air"), "stones"), Edit::num(format!("{path}.air_flow"), air)];
                Change { title, edits }
            };
            all.push(Lever { steps: FINE, at: Box::new(at), also: vec![BATTERY] });
        } else {
            for key in ["air_flow", "free_flow", "rated"] {
                all.extend(self.number(&format!("{path}.{key}"), 1.0, MORE_AIR, &[BATTERY]));
            }
        }
    }

    /// More air in every tank with fish that lacks some: they share the water. Each is given as many times of what it breathes on the day.
    fn air_in_all(&self, day: &Solved) -> Option<Lever<'_>> {
        let tanks: Vec<_> = (0..self.d.tanks.len()).filter(|&i| self.d.tanks[i].fish() > 0.0).collect();
        let none = |i: &&usize| self.d.tanks[**i].oxygen.air.mode == AirMode::None;
        // What a tank without any lacks is told by a little of it.
        let little = tanks.iter().filter(none).flat_map(|i| {
            let path = |key: &str| format!("tanks.{i}.oxygen.{key}");
            [Edit::pick(path("air"), "stones"), Edit::num(path("air_flow"), AIR_FLOW.of(AIR_NEW[0]))]
        });
        let aired = self.changed(&little.collect::<Vec<_>>());
        let aired = aired.and_then(|d| check::solve_with(&d, self.ways, day.day, &mut self.shared.borrow_mut()).ok());
        let solved = aired.as_ref().unwrap_or(day);
        let each = tanks.iter().filter_map(|&i| {
            let mut all = vec![];
            self.blow(i, &mut all);
            let (o, fresh) = (&solved.tanks[i].oxygen, none(&&i));
            let most = if fresh { AIR_NEW[1] / AIR_NEW[0] } else { MORE_AIR };
            // By the air alone: what comes in from the others is what they are given too.
            let wants = (o.demand_peak / (o.air.gain.0 * (o.air.saturation - o.floor))).value;
            let wants = if wants.is_finite() && wants > 0.0 { wants } else { most };
            Some((&self.d.tanks[i].name, all.into_iter().next()?, wants, most))
        });
        let each: Vec<(&String, Lever<'_>, f64, f64)> = each.collect();
        // Past what gives the first all that it can have, for days that ask more of the others; what lacks nothing is left as it is.
        let ends = each.iter().map(|e| (1.0 / e.2, 2.0 * e.3 / e.2));
        let (from, to) = ends.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)))?;
        let all = tanks.len() > 1 && each.len() == tanks.len();
        let at = move |k: usize| {
            let times = between(from, to, k as f64 / FINE as f64);
            // Where along its own range a tank has so many times of what it has.
            let step = |wants: f64, most: f64| (wants * times).ln() / most.ln() * FINE as f64;
            let more = each.iter().filter(|e| e.2 * times > 1.0 + 1e-9);
            let more: Vec<_> = more
                .map(|(name, l, wants, most)| (name, (l.at)((step(*wants, *most).ceil() as usize).min(FINE))))
                .collect();
            // Air in one tank alone is a lever of its own.
            if more.len() < 2 {
                return Change { title: String::new(), edits: vec![] };
            }
            let what = |c: &Change, name: &str| c.title.strip_prefix(name).unwrap_or(&c.title).to_string();
            let mut said: Vec<String> = more.iter().map(|(name, c)| what(c, name)).collect();
            said.dedup();
            let title = match &said[..] {
                [one] if more.len() == each.len() => format!("In each tank{one}"),
                _ => {
                    let titles = more.iter().map(|(_, c)| c.title.clone());
                    titles.reduce(|t, next| self.and(&t, &next)).unwrap_or_default()
                }
            };
            Change { title, edits: more.into_iter().flat_map(|(_, c)| c.edits).collect() }
        };
        all.then(|| Lever { steps: FINE, at: Box::new(at), also: vec![BATTERY] })
    }

    /// A lever with no more weighed out than is eaten.
    fn as_eaten_with<'a>(&'a self, lever: Lever<'a>) -> Option<Lever<'a>> {
        let eaten = self.feed_as_eaten()?;
        let also = all_of(&eaten.also, &lever.also);
        let at = move |k: usize| match (lever.at)(k) {
            none if none.edits.is_empty() => none,
            change => self.joined((eaten.at)(1), change),
        };
        Some(Lever { steps: lever.steps, at: Box::new(at), also })
    }

    /// The solids of a tank drawn off every day.
    fn draw(&self, i: usize) -> Option<Lever<'_>> {
        let (t, edits) = (&self.d.tanks[i], vec![Edit::pick(format!("tanks.{i}.oxygen.solids"), "drawn")]);
        let title = format!("{}: draw the solids off every day", t.name);
        (t.oxygen.solids != Solids::Drawn).then(|| self.once(&title, edits, &[FLOOR_DRAIN]))
    }

    /// Fewer fish in some tanks, every group alike.
    fn fewer(&self, tanks: &[usize]) -> Option<Lever<'_>> {
        let groups = tanks.iter().flat_map(|&i| &self.d.tanks[i].oxygen.fish);
        let most = groups.map(|g| (g.total() / g.mass).value).fold(1.0, f64::max);
        // No fish at all are no repair, nor hardly any: one of the largest group is left, and a tenth of all.
        let steps = FINE - (FINE as f64 * (1.0 / most).max(LEAST_FISH)).ceil() as usize;
        let also = quality::too_cold_to_net(self.d).then_some(NOT_NETTED).into_iter().collect();
        (steps > 0).then(|| Lever { steps, also, ..self.stocked(tanks, 0.0) })
    }

    /// More fish in every tank.
    fn more_in_all(&self) -> Option<Lever<'_>> {
        let all: Vec<_> = (0..self.d.tanks.len()).collect();
        self.d.tanks.iter().any(|t| t.fish() >= 1.0).then(|| self.stocked(&all, MORE_FISH))
    }

    /// So many times the fish in some tanks, every group alike.
    fn stocked(&self, tanks: &[usize], to: f64) -> Lever<'_> {
        let tanks = tanks.to_vec();
        let all: f64 = tanks.iter().map(|&i| self.d.tanks[i].fish()).sum();
        let w = self.w;
        let at = move |k: usize| {
            let share = 1.0 + (to - 1.0) * k as f64 / FINE as f64;
            let mut edits = vec![];
            let mut left = 0.0;
            for &i in &tanks {
                let o = &self.d.tanks[i].oxygen;
                for (g, f) in o.fish.iter().enumerate() {
                    let root = format!("tanks.{i}.oxygen.fish.{g}");
                    let have = (f.total() / f.mass).value;
                    let keep = (have * share).floor();
                    left += keep;
                    edits.push(Edit::num(format!("{root}.count"), COUNT.of(keep)));
                    edits.push(Edit::num(format!("{root}.biomass"), f.mass * keep));
                }
                if o.feed_by == FeedBy::Weighed {
                    edits.push(Edit::num(format!("tanks.{i}.oxygen.feed"), o.feed * share));
                }
            }
            let of = match tanks.as_slice() {
                [i] => format!("{}: ", self.d.tanks[*i].name),
                _ => "In all tanks: ".into(),
            };
            Change {
                title: format!("{of}{} fish instead of {}", w.q(COUNT, COUNT.of(left)), w.q(COUNT, COUNT.of(all))),
                edits,
            }
        };
        Lever { steps: FINE, at: Box::new(at), also: vec![] }
    }

    /// Fewer fish in every tank.
    fn fewer_in_all(&self) -> Option<Lever<'_>> {
        self.fewer(&(0..self.d.tanks.len()).collect::<Vec<_>>())
    }

    /// Less feed where there is one tank: of several, nobody can say which, but for what is not eaten.
    fn feed_the_only_less<'a>(&'a self, all: &mut Vec<Lever<'a>>) {
        if let [_] = self.d.tanks[..] {
            self.feed_less(0, all);
        } else {
            all.extend(self.feed_as_eaten());
        }
    }

    /// The most that the fish of a tank are given, or eat, this year.
    fn of_year(&self, i: usize, by: fn(&[FishGroup], ThermodynamicTemperature) -> f64) -> f64 {
        let year = &self.d.water;
        let all = [year.today, year.coldest, year.hottest].map(|t| by(&self.d.tanks[i].oxygen.fish, t));
        all.into_iter().fold(0.0, f64::max)
    }

    /// The most that they eat.
    fn eaten(&self, i: usize) -> f64 {
        self.of_year(i, check::eaten)
    }

    /// Is more weighed out in a tank than its fish eat, on any day?
    fn is_left(&self, i: usize) -> bool {
        let (t, eaten) = (&self.d.tanks[i], self.eaten(i));
        t.oxygen.feed_by == FeedBy::Weighed && t.fish() > 0.0 && t.oxygen.feed.value > eaten * UNEATEN
    }

    /// What they eat, in every tank in which more is weighed out.
    fn feed_as_eaten(&self) -> Option<Lever<'_>> {
        let tanks: Vec<_> = (0..self.d.tanks.len()).filter(|&i| self.is_left(i)).collect();
        let feed = |i: &usize| {
            let o = &self.d.tanks[*i].oxygen;
            (format!("tanks.{i}.oxygen.feed"), o.feed, FEED_RATE.of(self.eaten(*i)))
        };
        let all: Vec<_> = tanks.iter().map(feed).collect();
        let q = |x| self.w.q(FEED_RATE, x);
        let title = |(i, (_, was, to)): (&usize, &(String, MassRate, MassRate))| {
            format!("{}: feed {} instead of {}", self.d.tanks[*i].name, self.w.amount(FEED_RATE, *to), q(*was))
        };
        let title = tanks.iter().zip(&all).map(title).collect::<Vec<_>>().join("; ");
        let edits = all.into_iter().map(|(path, _, to)| Edit::num(path, to)).collect();
        (!tanks.is_empty()).then(|| self.once(&title, edits, &[ROTS]))
    }

    /// Less feed than today's; from then on it grows with the fish. Who feeds by a table begins with what that gives today, weighed: it gives more in
    /// warmer water, of which fish must get their part too.
    fn feed_less<'a>(&'a self, i: usize, all: &mut Vec<Lever<'a>>) {
        let (fed, w, o) = (check::fed_today(self.d, i).value, self.w, &self.d.tanks[i].oxygen);
        let (by_table, eaten) = (o.feed_by != FeedBy::Weighed, self.eaten(i));
        // What they do not eat first: without it they grow no less.
        if self.is_left(i) {
            all.extend(self.feed_as_eaten());
            return;
        }
        let least = match by_table {
            true => self.of_year(i, check::by_table).max(fed),
            false if eaten > 0.0 => eaten.min(fed),
            false => fed,
        } * LEAST_FED;
        if fed <= 0.0 || fed < least {
            return;
        }
        let at = move |k: usize| {
            let as_today = by_table && k <= 1;
            let feed = if as_today {
                fed
            } else {
                nice(FEED_RATE.0, fed + (least - fed) * k as f64 / FINE as f64, fed, w.system).max(least)
            };
            let (root, name) = (format!("tanks.{i}.oxygen"), &self.d.tanks[i].name);
            let (feed, was) = (FEED_RATE.of(feed), w.q(FEED_RATE, FEED_RATE.of(fed)));
            let to = w.q(FEED_RATE, feed);
            let title = if as_today {
                format!("{name}: weigh out the {to} of today, more only as they grow")
            } else if by_table {
                format!("{name}: weigh out {to} instead of the {was} of today, more only as they grow")
            } else {
                format!("{name}: feed {to} instead of {was}")
            };
            Change {
                title,
                edits: vec![Edit::pick(format!("{root}.feed_by"), "weighed"), Edit::num(format!("{root}.feed"), feed)],
            }
        };
        let also = by_table.then_some(NOT_BY_WARMTH).into_iter().chain([GROW_LESS]).collect();
        all.push(Lever { steps: FINE, at: Box::new(at), also });
    }

    /// Weaker pumps before an outlet, with their branches set to no more.
    fn send_less<'a>(&'a self, station: usize, most: VolumeRate, all: &mut Vec<Lever<'a>>) {
        let (d, w) = (self.d, self.w);
        let mut pumps: Vec<usize> = self.ways.from_pumps(station).map(|k| self.ways.edges[k].0).collect();
        if pumps.is_empty() {
            pumps = (0..self.ways.stations.len()).filter(|&s| self.ways.is_pump(s)).collect();
        }
        pumps.dedup();
        let at = move |k: usize| {
            let share = between(1.0, 0.05, k as f64 / FINE as f64);
            let mut edits = vec![];
            let mut said = vec![];
            for &p in &pumps {
                let i = self.ways.stations[p].index;
                let most = d.pumps[i].can_send();
                let to = FLOW.of(nice(FLOW.0, most.value * share, most.value, w.system));
                said.push(format!("a pump that can send {} at the most", w.q(FLOW, to)));
                let key = self.strength(i);
                edits.push(Edit::num(format!("pumps.{i}.{key}"), to));
                // Its branches no more than it can, in the parts that they have.
                let out = || self.ways.out_of(p);
                let set: f64 = out().map(|k| d.edges[k].flow.value).sum();
                if set > to.value {
                    edits.extend(
                        out().map(|k| Edit::num(format!("edges.{k}.flow"), d.edges[k].flow * (to.value / set))),
                    );
                }
            }
            let title = said.join(", ");
            Change { title: sentence(&title), edits }
        };
        if most.value > 0.0 {
            all.push(Lever { steps: FINE, at: Box::new(at), also: vec![] });
        }
    }

    /// More through the branches into a station.
    fn send<'a>(&'a self, station: usize, all: &mut Vec<Lever<'a>>) {
        for k in self.ways.from_pumps(station).filter(|&k| !self.set_by_hand(k)) {
            let pump = format!("pumps.{}.curve.0", self.ways.stations[self.ways.edges[k].0].index);
            all.extend(self.number_to(&format!("edges.{k}.run.0.open"), 1.0, &[]));
            for root in [format!("edges.{k}.run.0"), pump.clone()] {
                self.wider_supply(&root, all);
            }
            all.extend(self.number(&format!("{pump}.free_flow"), 1.0, 6.0, &[MORE_WATER]));
            all.extend(self.number(&format!("{pump}.shut_off"), 1.0, 3.0, &[MORE_WATER]));
        }
        for k in self.ways.from_pumps(station).filter(|&k| self.set_by_hand(k)) {
            let pump = &self.d.pumps[self.ways.stations[self.ways.edges[k].0].index];
            let (from, to) = (self.d.edges[k].flow.value, self.d.can_lift(pump).value);
            let (w, name) = (self.w, self.ways.stations[station].name);
            let at = move |step: usize| {
                let x =
                    nice(FLOW.0, between(from.max(l_h(10.0)), to, step as f64 / FINE as f64), from, w.system).min(to);
                let title = format!("Send {} to {name} instead of {}", w.q(FLOW, FLOW.of(x)), w.q(FLOW, FLOW.of(from)));
                Change { title, edits: vec![Edit::num(format!("edges.{k}.flow"), FLOW.of(x))] }
            };
            if to > from {
                all.push(Lever { steps: FINE, at: Box::new(at), also: vec![] });
            }
            self.stronger(k, all);
        }
    }

    /// A wider supply pipe, by size.
    fn wider_supply<'a>(&'a self, root: &str, all: &mut Vec<Lever<'a>>) {
        let Some(EditValue::Option(id)) = form::value_at(&mut self.d.clone(), &format!("{root}.pipe")) else { return };
        let pipe = piping::named(&id);
        let Some(bore) = pipe.bore() else { return };
        let wider: Vec<_> =
            PIPES.iter().filter(|p| piping::like(p, pipe) && p.bore().is_some_and(|b| b > bore)).collect();
        let (steps, root, owner, system) = (wider.len().min(6), root.to_string(), self.owner(root), self.w.system);
        let what = if root.starts_with("pumps") { "main pipe" } else { "pipe" };
        let at = move |k: usize| {
            let p = wider[k.clamp(1, wider.len()) - 1];
            Change {
                title: format!("{owner}{} {what}", p.words(system)),
                edits: vec![Edit::pick(format!("{root}.pipe"), p.id)],
            }
        };
        if steps > 0 {
            all.push(Lever { steps, at: Box::new(at), also: vec![] });
        }
    }

    /// The field that says how much a pump can send.
    fn strength(&self, pump: usize) -> &'static str {
        if self.d.pumps[pump].curve.is_empty() { "most" } else { "curve.0.free_flow" }
    }

    /// A stronger pump, with one branch given what is more.
    fn stronger<'a>(&'a self, k: usize, all: &mut Vec<Lever<'a>>) {
        let (d, w) = (self.d, self.w);
        let i = self.ways.stations[self.ways.edges[k].0].index;
        let set = d.edges[k].flow.value;
        // From what it can send, or from what it is set to if that is more.
        let most = self.strength_now(i);
        let key = self.strength(i);
        let at = move |step: usize| {
            let up = nice(FLOW.0, between(most, 8.0 * most, step as f64 / FINE as f64), most, w.system);
            let (up, set) = (FLOW.of(up), FLOW.of(set + up - most));
            let title = self.stronger_words(up, &[(k, set)]);
            let edits = vec![Edit::num(format!("pumps.{i}.{key}"), up), Edit::num(format!("edges.{k}.flow"), set)];
            Change { title, edits }
        };
        all.push(Lever { steps: FINE, at: Box::new(at), also: vec![COSTS] });
    }

    /// Less through some branches, all in the same part.
    fn scaled(&self, edges: Vec<usize>, who: String) -> Lever<'_> {
        let (d, w) = (self.d, self.w);
        let all: f64 = edges.iter().map(|&k| d.edges[k].flow.value).sum();
        let at = move |k: usize| {
            let to = nice(FLOW.0, between(1.0, 0.05, k as f64 / FINE as f64) * all, all, w.system);
            let share = if all > 0.0 { to / all } else { 1.0 };
            let edits = edges.iter().map(|&k| Edit::num(format!("edges.{k}.flow"), d.edges[k].flow * share));
            let title = format!("Set {who} to send {} instead of {}", w.q(FLOW, FLOW.of(to)), w.q(FLOW, FLOW.of(all)));
            Change { title, edits: edits.collect() }
        };
        Lever { steps: FINE, at: Box::new(at), also: vec![] }
    }
}

/// What goes with either of two changes.
fn all_of(a: &[Note], b: &[Note]) -> Vec<Note> {
    let new = b.iter().filter(|n| !a.contains(n));
    a.iter().chain(new).copied().collect()
}

/// Another standpipe, with bell, gap and slots that suit it.
fn siphon_edits(path: &str, p: &'static Pipe, was: &SiphonIn, w: Words) -> Vec<Edit> {
    let (bore, outside) = (piping::bore(p, was.bore), piping::outside(p, was.bore));
    let under = |key: &str| format!("{path}.siphon.0.{key}");
    let slots = siphon::Bell::new(bore, bore, outside, bore, AREA.of(0.0)).slots_wanted() / ENOUGH;
    let wide = |x: Length| mend::upwards(SHORT_LENGTH, x, mm(1.0), w);
    // A quarter of the bore between rim and bell leaves as much way as the bore; the ring wants more than that of its area.
    vec![
        Edit::pick(under("pipe"), p.id),
        Edit::num(under("bell"), was.bell.max(wide(siphon::least_bell(bore, outside) * 1.25))),
        Edit::num(under("gap"), was.gap.max(wide(siphon::gaps(bore).1))),
        Edit::num(under("slots"), was.slots.max(mend::slots(slots, w))),
    ]
}

/// The least of 1 to `high` that fits; `high` must.
fn least_step(high: usize, fits: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (0, high);
    while high - low > 1 {
        let middle = (low + high) / 2;
        if fits(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

/// A share of the way from one number to another, evenly in the logarithm where it goes far.
fn between(from: f64, to: f64, share: f64) -> f64 {
    if from > 0.0 && to > 0.0 && (to > 1.5 * from || from > 1.5 * to) {
        from * (to / from).powf(share)
    } else {
        from + (to - from) * share
    }
}

/// A number that can be bought or set: two figures, or halves of the second, as shown in `system`; rounded away from `from`.
fn nice(kind: &KindInfo, si: f64, from: f64, system: System) -> f64 {
    let unit = kind.unit(system);
    let (x, start) = (unit.of_si(si), unit.of_si(from));
    if x == 0.0 || !x.is_finite() {
        return si;
    }
    let second = 10f64.powi(x.abs().log10().floor() as i32 - 1);
    let step = if x.abs() / second < 50.0 { second / 2.0 } else { second };
    let step = if kind.whole { step.max(1.0).round() } else { step };
    let away = if x >= start { (x / step - 1e-9).ceil() } else { (x / step + 1e-9).floor() };
    unit.to_si(away * step)
}

#[cfg(test)]
mod tests;
