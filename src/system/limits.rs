//! What this system carries as it stands: the most fish, the most flow, the hottest and the coldest water with every check at or under the
//! brim, and at or under four fifths of it; and the part that sets each.

use super::check::{self, Day, Shared, Solved};
use super::document::Document;
use super::flow::{self, Ways};
use super::level;
use super::supply;
use super::worst::{self, WORSE, counts, solve_days_with};
use crate::calculators::form::FieldError;
use crate::calculators::outcome::{BRIM, ENOUGH, Level};
use crate::calculators::oxygen::{FeedBy, FishBy};
use crate::science::solve::halve;
use crate::units::{kinds::*, si::*, *};
use std::cell::RefCell;

/// What is raised until something goes over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raised {
    /// Every group of fish, alike.
    Fish,
    /// What the pumps are set to, alike; and what they can send where that is less.
    Flow,
    /// The hottest water of the year.
    Hottest,
    /// The coldest water of the year; this goes down.
    Coldest,
    /// The air of the coldest night, where something is said of heat; this goes down too.
    Night,
}

impl Raised {
    /// Every one, in the order of the page.
    pub const ALL: [Self; 5] = [Self::Fish, Self::Flow, Self::Hottest, Self::Coldest, Self::Night];

    /// What it is called.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fish => "Most fish",
            Self::Flow => "Most flow",
            Self::Hottest => "Hottest water",
            Self::Coldest => "Coldest water",
            Self::Night => "Coldest night, the air",
        }
    }
    /// Is less of it harder?
    pub const fn down(self) -> bool {
        matches!(self, Self::Coldest | Self::Night)
    }
    /// The days that it matters on.
    const fn days(self) -> &'static [Day] {
        match self {
            Self::Fish => &[Day::Today, Day::Hottest, Day::Coldest, Day::Harvest, Day::Aged],
            Self::Flow => &[Day::Today, Day::Harvest, Day::Blocked, Day::Aged],
            Self::Hottest => &[Day::Hottest, Day::Harvest, Day::Aged],
            Self::Coldest => &[Day::Coldest],
            Self::Night => &[Day::Today],
        }
    }
    /// Does it ask anything of a level? How cold the water may get is not asked of the heaters that hold it warmer.
    fn asks(self, level: &Level) -> bool {
        self != Self::Coldest || !matches!(level.id.as_ref(), level::HEATER | level::CUT)
    }
    /// The document that is changed: for the flow itself, with every pump set by hand to what it really sends.
    fn base(self, d: &Document) -> Document {
        if self != Self::Flow {
            return d.clone();
        }
        let mut base = supply::by_hand(d);
        if let Ok(s) = check::solve(d, Day::Today) {
            for k in pumped(d).collect::<Vec<_>>() {
                base.edges[k].flow = FLOW.of(s.flows.edges[k]);
            }
        }
        base
    }
    /// How its base stands now: kilograms, flow, temperature.
    fn now(self, d: &Document) -> f64 {
        match self {
            Self::Fish => d.tanks.iter().flat_map(|t| &t.oxygen.fish).map(|g| g.total().value).sum(),
            Self::Flow => pumped(d).map(|k| d.edges[k].flow.value).sum(),
            Self::Hottest => d.water.hottest.value,
            Self::Coldest => d.water.coldest.value,
            Self::Night => d.heat.first().map_or(0.0, |h| h.0.night.value),
        }
    }
    /// Kind of its number.
    const fn kind(self) -> &'static KindInfo {
        match self {
            Self::Fish => MASS.0,
            Self::Flow => FLOW.0,
            Self::Hottest | Self::Coldest | Self::Night => TEMPERATURE.0,
        }
    }
    /// The values looked at, from what is least asked of the system to the most.
    fn looks(self, d: &Document, now: f64) -> Vec<f64> {
        let n = LOOKS - 1;
        let even = |a: f64, b: f64| (0..=n).map(move |k| a + (b - a) * k as f64 / n as f64);
        match self {
            Self::Fish | Self::Flow => {
                let none = (self == Self::Fish).then_some(now * HARDLY_ANY);
                // As it is now is among them: what is well then is not over anyway.
                let at = |k: usize| now * LEAST * (MOST / LEAST).powf(k as f64 / n as f64);
                let (less, more): (Vec<f64>, Vec<f64>) = (0..=n).map(at).partition(|x| *x < now);
                none.into_iter().chain(less).chain([now]).chain(more).collect()
            }
            Self::Hottest => even(d.water.coldest.value.min(d.water.hottest.value), celsius(40.0)).collect(),
            Self::Coldest => even(d.water.hottest.value.max(d.water.coldest.value), celsius(0.5)).collect(),
            Self::Night => even(d.water.coldest.value, celsius(COLDEST_NIGHT)).collect(),
        }
    }
    /// Its base, which stands at `now`, with it at `x`.
    fn at(self, base: &Document, now: f64, x: f64) -> Document {
        let by = x / now;
        let mut d = base.clone();
        match self {
            Self::Fish => scale_fish(&mut d, by),
            Self::Flow => {
                for k in pumped(&d).collect::<Vec<_>>() {
                    d.edges[k].flow *= by;
                }
                // What a pump can send stays, or is as much as it is set to.
                for i in 0..d.pumps.len() {
                    let sent = sent(&d, i);
                    d.pumps[i].most = d.pumps[i].most.max(FLOW.of(sent));
                }
            }
            Self::Hottest => d.water.hottest = TEMPERATURE.of(x),
            Self::Coldest => d.water.coldest = TEMPERATURE.of(x),
            Self::Night => d.heat.iter_mut().for_each(|h| h.0.night = TEMPERATURE.of(x)),
        }
        d
    }
}

/// The coldest air that the heat calculator takes, °C.
const COLDEST_NIGHT: f64 = -45.0;
/// Looks along the way, before the brim is found between two of them.
const LOOKS: usize = 15;
/// Fish and flow are looked at from this share of what they are to this many times of it.
const LEAST: f64 = 0.05;
/// And fish with hardly any of them: what is over then does not come from them.
const HARDLY_ANY: f64 = 1e-3;
const MOST: f64 = 8.0;
/// Halvings between two looks.
const HALVINGS: usize = 7;

/// The edges that leave a pump.
fn pumped(d: &Document) -> impl Iterator<Item = usize> {
    (0..d.edges.len()).filter(|&k| d.leaves_pump(k))
}

/// What a pump is set to send, m3/s.
fn sent(d: &Document, pump: usize) -> f64 {
    d.edges.iter().filter(|e| e.from == d.pumps[pump].id).map(|e| e.flow.value).sum()
}

/// All fish, and what is weighed out to them, times a share. Counted fish become kilograms, which need not be whole.
pub(super) fn scale_fish(d: &mut Document, by: f64) {
    for t in &mut d.tanks {
        for g in &mut t.oxygen.fish {
            (g.biomass, g.by) = (g.total() * by, FishBy::Weight);
        }
        if t.oxygen.feed_by == FeedBy::Weighed {
            t.oxygen.feed *= by;
        }
    }
}

/// How far something may go.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The value, SI.
    pub at: f64,
    /// The level that sets it, just past the value, with its station's name; `None` where none does.
    pub by: Option<(Level, Day)>,
    /// Did all of what is looked at go well? Otherwise, without a level that sets it, no check is possible past it.
    pub open: bool,
}

/// What one thing may be raised to.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What is raised.
    pub what: Raised,
    /// How it is now, SI.
    pub now: f64,
    /// With every check up to the brim; `None` where no value does that.
    pub brim: Option<Reach>,
    /// With every check up to four fifths; up to the brim where four fifths are never reached.
    pub enough: Option<Reach>,
    /// Names of levels that are over whatever it is, and therefore left out, with the day where they set the limit on another.
    pub apart: Vec<String>,
    /// Names of levels that are over at the brim's value because that is too little for them, as fish for the plants: no limit upwards.
    pub wanting: Vec<String>,
    /// The same at the value with a fifth in hand, those of the brim's left out.
    pub short: Vec<String>,
    /// Names of levels that never have a fifth in hand, whatever it is: at that value they are at most at the brim.
    pub tight: Vec<String>,
    /// Does the brim's value take a stronger pump than there is?
    pub stronger: bool,
    /// Does more of it make any of those worse that are left out?
    pub worsens: bool,
}

impl Limit {
    /// The kind of its numbers.
    pub const fn kind(&self) -> &'static KindInfo {
        self.what.kind()
    }
}

/// One look: the fullness of every level that counts, its place and its day; none where nothing could be checked.
struct Look {
    x: f64,
    full: Vec<f64>,
}

impl Look {
    fn checked(&self) -> bool {
        !self.full.is_empty()
    }
}

/// What this system carries, one thing after another.
///
/// # Errors
/// As [`super::check::solve`].
pub fn limits(d: &Document) -> Result<Vec<Limit>, Vec<FieldError>> {
    let shared = RefCell::default();
    Raised::ALL.into_iter().map(|what| limit_with(d, what, &shared)).filter_map(Result::transpose).collect()
}

/// How far one thing may be raised; nothing where there is none of it.
///
/// # Errors
/// As [`super::check::solve`].
pub fn limit(d: &Document, what: Raised) -> Result<Option<Limit>, Vec<FieldError>> {
    limit_with(d, what, &RefCell::default())
}

fn limit_with(d: &Document, what: Raised, shared: &RefCell<Shared>) -> Result<Option<Limit>, Vec<FieldError>> {
    let solve = |d: &Document, ways: &Ways<'_>| solve_days_with(d, ways, what.days(), &mut shared.borrow_mut());
    let d = &*check::as_read(d);
    let ways = flow::ways(d)?;
    let base = what.base(d);
    let now = what.now(&base);
    if now <= 0.0 {
        return Ok(None);
    }
    // The levels in the order in which the present document gives them; every look gives the same ones.
    let present = solve(d, &ways)?;
    let look = |x: f64| {
        let full = solve(&what.at(&base, now, x), &ways).map_or(vec![], |days| fullness(&days, what));
        Look { x, full }
    };
    let looks: Vec<Look> = what.looks(&base, now).into_iter().map(look).skip_while(|l| !l.checked()).collect();
    if looks.is_empty() {
        return Ok(None);
    }
    let lowest = lowest(&looks, what, now);
    let wants = matches!(what, Raised::Fish | Raised::Flow);
    let search = Search { ways: &ways, present: &present, looks: &looks, look: &look, lowest, wants };
    let caps = search.caps(BRIM);
    let left_out = || (0..caps.len()).filter(|&k| caps[k].is_infinite());
    // Heaters that hold no night, or nothing that does, hold no colder one.
    let heats = |k: usize| search.level(k).is_some_and(|l| matches!(l.0.id.as_ref(), level::HEATER | level::CUT));
    let cold = what == Raised::Night && left_out().any(heats);
    let worsens =
        cold || looks.iter().rfind(|l| l.checked()).is_some_and(|hardest| left_out().any(|k| search.worse(k, hardest)));
    let mut brim = search.reach(&caps);
    if cold {
        brim.iter_mut().for_each(|r| (r.by, r.open) = (None, true));
    }
    let with_hand = search.caps(ENOUGH);
    let enough = search.reach(&with_hand);
    let at_brim = || (0..caps.len()).filter(|&k| with_hand[k].is_finite() && with_hand[k] > ENOUGH);
    // One that is left out on one day and counts on another is named with both.
    let tight = search.dated(at_brim(), &search.names(left_out()));
    let by = [&brim, &enough].into_iter().flatten().filter_map(|r| Some(r.by.as_ref()?.0.name.to_string()));
    let apart = search.dated(left_out(), &by.chain(search.names(at_brim())).collect::<Vec<_>>());
    let weak = |by: f64| {
        (0..base.pumps.len()).any(|p| sent(&base, p) * by > base.can_lift(&base.pumps[p]).value * (1.0 + 1e-9))
    };
    let stronger = what == Raised::Flow && brim.as_ref().is_some_and(|r| weak(r.at / now));
    let wants = |r: &Option<Reach>| {
        let at = r.as_ref().map(|r| look(r.at)).filter(Look::checked);
        at.map_or(vec![], |l| search.names((0..caps.len()).filter(|&k| caps[k].is_finite() && l.full[k] > BRIM + 1e-9)))
    };
    let (wanting, mut short) = (wants(&brim), wants(&enough));
    short.retain(|n| !wanting.contains(n));
    Ok(Some(Limit { what, now, brim, enough, apart, wanting, short, tight, stronger, worsens }))
}

/// For every level the place of the look at which it is least full. Before it, it is over only because there is too little. Water that is hotter
/// than the year's is no relief to anything, though fish eat nothing in it; nor is colder.
fn lowest(looks: &[Look], what: Raised, now: f64) -> Vec<usize> {
    let n = looks.iter().filter(|l| l.checked()).map(|l| l.full.len()).min().unwrap_or(0);
    let relief = |l: &Look| {
        l.checked()
            && match what {
                Raised::Fish | Raised::Flow => true,
                _ if what.down() => l.x >= now - 1e-9,
                _ => l.x <= now + 1e-9,
            }
    };
    let eased = |k: usize, i: usize, m: usize| relief(&looks[i]) && looks[i].full[k] < looks[m].full[k];
    let least = |k: usize| (1..looks.len()).fold(0, |m, i| if eased(k, i, m) { i } else { m });
    (0..n).map(least).collect()
}

/// The fullness of every level of every day, those that do not count as empty.
fn fullness(days: &[Solved], what: Raised) -> Vec<f64> {
    let full = |s: &Solved, l: &Level| if counts(l, s.day) && what.asks(l) { l.fullness() } else { 0.0 };
    days.iter().flat_map(|s| s.levels.iter().map(move |l| full(s, &l.1))).collect()
}

struct Search<'a> {
    ways: &'a Ways<'a>,
    present: &'a [Solved],
    looks: &'a [Look],
    look: &'a dyn Fn(f64) -> Look,
    lowest: Vec<usize>,
    /// Can there be too little of it, to which more may be added? Water too cold for its fish is no answer to how hot it may get.
    wants: bool,
}

impl Search<'_> {
    /// How full every level may be: `most`; the brim where it is past that at every look, as between two brims near each other; anything where it
    /// is over at every look.
    fn caps(&self, most: f64) -> Vec<f64> {
        let least = self.lowest.iter().enumerate().map(|(k, &m)| self.looks[m].full[k]);
        least.map(|x| [most, BRIM].into_iter().find(|cap| x <= cap + 1e-9).unwrap_or(f64::INFINITY)).collect()
    }
    /// Is a level at this look so much fuller than at its least that what is raised makes it so? Warmer water alone runs a little thinner.
    fn worse(&self, k: usize, look: &Look) -> bool {
        look.full[k] > self.looks[self.lowest[k]].full[k] * WORSE
    }
    /// Which they are, once each.
    fn names(&self, which: impl Iterator<Item = usize>) -> Vec<String> {
        let mut all: Vec<String> = vec![];
        for (l, _) in which.filter_map(|k| self.level(k)) {
            if !all.iter().any(|n| *n == l.name) {
                all.push(l.name.to_string());
            }
        }
        all
    }
    /// The same, each with its day where one of its name is among `others` on another.
    fn dated(&self, which: impl Iterator<Item = usize>, others: &[String]) -> Vec<String> {
        let mut all: Vec<String> = vec![];
        for (l, day) in which.filter_map(|k| self.level(k)) {
            let name = format!("{}{}", l.name, if others.iter().any(|o| *o == l.name) { day.when() } else { "" });
            if !all.contains(&name) {
                all.push(name);
            }
        }
        all
    }
    /// The fullest level that is past its cap because there is too much.
    fn past(&self, look: &Look, caps: &[f64]) -> Option<usize> {
        let (first, down) = (self.looks[0].x, self.looks[self.looks.len() - 1].x < self.looks[0].x);
        let beyond = |k: usize| {
            let m = self.looks[self.lowest[k]].x;
            !self.wants || m == first || if down { look.x <= m } else { look.x >= m }
        };
        let past = (0..caps.len()).filter(|&k| look.full[k] > caps[k] + 1e-9 && beyond(k));
        past.reduce(|a, b| if look.full[b] > look.full[a] { b } else { a })
    }
    /// The level in place `k` of a look, and its day.
    fn level(&self, mut k: usize) -> Option<(Level, Day)> {
        for s in self.present {
            match s.levels.get(k) {
                Some((station, level)) => {
                    let name = worst::named(level, self.ways, *station).into();
                    return Some((Level { name, ..level.clone() }, s.day));
                }
                None => k -= s.levels.len(),
            }
        }
        None
    }
    /// The farthest look at which all is well, and from there on to just before something is not, or nothing can be checked. No way between is
    /// taken on trust: the value that is given was itself looked at.
    fn reach(&self, caps: &[f64]) -> Option<Reach> {
        let past = |l: &Look| if l.checked() { self.past(l, caps) } else { None };
        let well = |l: &Look| l.checked() && past(l).is_none();
        let last = self.looks.iter().rposition(well)?;
        let Some(next) = self.looks.get(last + 1) else {
            return Some(Reach { at: self.looks[last].x, by: None, open: true });
        };
        let mut by = past(next);
        let [at, _] = halve(self.looks[last].x, next.x, HALVINGS, |x| {
            let look = (self.look)(x);
            let well = well(&look);
            if !well {
                by = past(&look);
            }
            well
        });
        Some(Reach { at, by: by.and_then(|k| self.level(k)), open: false })
    }
}

/// One line of the answer: what, how it is, what may come and what sets it, and the same with a fifth in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What is raised.
    pub what: &'static str,
    /// How far.
    pub value: String,
    /// What sets it, and how it is now.
    pub text: String,
    /// Is the present value past it?
    pub past: bool,
}

/// Names of levels inside a sentence.
fn named_in(all: &[String]) -> String {
    listed(&all.iter().map(|n| worst::inside(n)).collect::<Vec<_>>())
}

/// Is a level of a day one of these names?
fn named_among(all: &[String], name: &str, day: Day) -> bool {
    all.iter().any(|n| n.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest == day.when()))
}

impl Limit {
    /// The line of the page.
    pub fn line(&self, d: &Document, w: Words) -> Line {
        let all: f64 = d.tanks.iter().map(super::document::Tank::fish).sum();
        let fish = |n: f64, x: f64| match n {
            0.0 => "no fish".to_string(),
            n => format!("{} fish ({})", w.q(COUNT, COUNT.of(n)), show(MASS.0, x, w.system)),
        };
        let mean = self.now / all;
        let q = |x: f64| match self.what {
            // Rounded down: a fish more would be over.
            Raised::Fish => {
                let whole = (x / mean + 1e-6).floor();
                fish(whole, whole * mean)
            }
            _ => show(self.kind(), x, w.system),
        };
        let down = self.what.down();
        let past = |r: &Reach| if down { self.now < r.at - 1e-6 } else { self.now > r.at * (1.0 + 1e-9) };
        let now = match self.what {
            Raised::Hottest | Raised::Coldest | Raised::Night => format!("Entered: {}.", q(self.now)),
            Raised::Fish => format!("Now: {}.", fish(all.round(), self.now)),
            Raised::Flow if d.pumps.len() > 1 => format!("Now: {}, all pumps together.", q(self.now)),
            Raised::Flow => format!("Now: {}.", q(self.now)),
        };
        let open = if down { " or colder" } else { " or more" };
        // What would set it is over whatever it is.
        let none = self.worsens && self.brim.as_ref().is_some_and(|r| r.open);
        let value = match &self.brim {
            None => "none suits every check".to_string(),
            Some(_) if none => "none, as it stands".into(),
            Some(r) => q(r.at) + if r.open { open } else { "" },
        };
        let mut text = match &self.brim {
            Some(Reach { by: Some((l, day)), .. }) => {
                format!("Beyond that, {} goes over{}. ", worst::inside(&l.name), day.when())
            }
            Some(r) if !r.open => "Beyond that, it cannot be checked. ".into(),
            _ => String::new(),
        };
        if self.stronger && !none {
            text += "Only pumps that can send it get there. ";
        }
        match &self.enough {
            _ if none => {}
            // As far as the brim, because something is never less than that full.
            Some(r) if r.by.as_ref().is_some_and(|by| named_among(&self.tight, &by.0.name, by.1)) => {
                text += &format!("Never with a fifth in hand, because of {}. ", named_in(&self.tight));
            }
            Some(r) if !r.open => {
                let short = match &self.short[..] {
                    [] => String::new(),
                    all => format!(", too little for {}", named_in(all)),
                };
                let but = match &self.tight[..] {
                    [] => String::new(),
                    all => format!(" in all but {}", named_in(all)),
                };
                text += &format!("With a fifth in hand{but}: {}{short}. ", q(r.at));
            }
            Some(_) => {}
            None => text += "Never with a fifth in hand. ",
        }
        if let Some(r) = self.brim.as_ref().filter(|_| !none && !self.wanting.is_empty()) {
            text += &format!("At {} there is too little for {}. ", q(r.at), named_in(&self.wanting));
        }
        text += &now;
        if !self.apart.is_empty() {
            text += &format!(" Not counted, because over anyway: {}.", named_in(&self.apart));
        }
        Line { what: self.what.name(), value, text, past: self.brim.as_ref().is_none_or(past) }
    }
}

#[cfg(test)]
mod tests;
