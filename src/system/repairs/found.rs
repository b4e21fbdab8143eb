//! A repair after its trial, and what is to be mended of a level.

use super::*;

/// A repair after its trial.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) repair: Repair,
    /// How many levels are over after it.
    pub(super) over: usize,
    /// The levels that are over after it: station, identifier and which.
    pub(super) left: Vec<Checked>,
    /// Does it bring its level to four fifths?
    pub(super) enough: bool,
    /// Is its own level not over any more, or at least kills no more?
    pub(super) mends: bool,
    /// Does it help at once in what its level does not show?
    pub(super) at_once: bool,
    /// What it puts over, and what it makes worse with how full that is then.
    pub(super) puts_over: Vec<String>,
    pub(super) makes_worse: Vec<String>,
    /// What is to be done with it first.
    pub(super) act: Option<&'static str>,
    /// Its catches.
    pub(super) notes: Vec<Note>,
    /// What is said of air that it makes a storm.
    pub(super) storm: Option<String>,
    pub(super) target: Checked,
}

impl Found {
    /// What it sets.
    pub(super) fn paths(&self) -> impl Iterator<Item = &String> {
        self.repair.edits.iter().map(|e| &e.path)
    }
    /// Does it take days, while the water goes on killing?
    pub(super) fn slow(&self) -> bool {
        self.notes.contains(&TAKES_DAYS)
    }
    /// Is it what is fed until a filter is counted on?
    pub(super) fn rations(&self) -> bool {
        self.at_once && self.paths().any(|p| p.ends_with(".feed"))
    }
    /// Does it take fish out?
    pub(super) fn nets(&self) -> bool {
        self.paths().any(|p| p.contains(".fish."))
    }
    /// Where fish lack oxygen today: what puts it in acts in minutes, then water and feed, and fish that are netted last.
    pub(super) fn breath(&self) -> Option<Breath> {
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
    pub(super) fn airs_all(&self) -> bool {
        let mut tanks = self.paths().filter(|p| !p.ends_with(".feed")).map(|p| p.split('.').nth(1));
        let first = tanks.next();
        self.breath() == Some(Breath::Air) && tanks.any(|t| Some(t) != first)
    }
    /// All that it sets, together.
    pub(super) fn set(&self) -> f64 {
        let si = |e: &Edit| if let EditValue::Si(x) = e.to { x } else { 0.0 };
        self.repair.edits.iter().map(si).sum()
    }
    /// Water that still kills is last; air that mends its own level is never.
    pub(super) fn order(&self) -> (Breath, Leaves) {
        (self.breath().unwrap_or(Breath::Air), self.leaves())
    }
    /// The same by what it leaves alone.
    pub(super) fn leaves(&self) -> Leaves {
        let kills = self.slow() || self.left.iter().any(|l| l.level.leads);
        let harms = !(self.puts_over.is_empty() && self.makes_worse.is_empty());
        Leaves { kills, over: self.over, short: !self.enough, harms }
    }
    /// What it puts over and makes worse, what is to be done with it, and its catches; with the name of a crop there that salt harms first.
    pub(super) fn also(&self, d: &Document) -> Option<String> {
        let named = [("Then over: ", &self.puts_over), ("Makes worse: ", &self.makes_worse)].into_iter();
        let named = named.filter(|n| !n.1.is_empty()).map(|(what, names)| format!("{what}{}.", listed(names)));
        let shy = salt_shy(d);
        let words = |n: &Note| match shy.filter(|_| *n == SALT_SHY) {
            Some(b) => format!(
                "It harms the {} in {}: only where changes do not bring the nitrite down in time.",
                b.bed.crop.noun, b.name
            ),
            None => n.0.into(),
        };
        let all = named.chain(self.act.map(String::from)).chain(self.notes.iter().map(words)).chain(self.storm.clone());
        let all: Vec<String> = all.collect();
        (!all.is_empty()).then(|| all.join(" "))
    }
}

/// What a repair of fish that lack oxygen does for it, what acts soonest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Breath {
    /// Air.
    Air,
    /// Water, feed and the rest.
    Other,
    /// Fish are taken out.
    Nets,
}

/// What a repair leaves, what weighs most first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Leaves {
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
pub(super) const fn water_key(day: Day) -> &'static str {
    match day {
        Day::Today | Day::Blocked => "water.today",
        Day::Coldest => "water.coldest",
        Day::Hottest | Day::Harvest | Day::Group(_) | Day::Aged => "water.hottest",
    }
}

/// Is it a level that each water of the year has to itself? A change of one leaves the others as they are.
pub(super) fn by_water(l: &Checked) -> bool {
    l.level.id == level::WARMTH
}

/// That level on a day.
pub(super) fn on_day<'a>(l: &Checked, day: &'a Solved) -> Option<&'a Level> {
    day.levels.iter().filter(|o| o.0 == l.station && o.1.id == l.level.id).nth(l.nth).map(|o| &o.1)
}

/// What is to be mended of a level that is over: on its worst day, or in every water in which it is.
pub(super) fn sides(l: &Checked, days: &[Solved]) -> Vec<Checked> {
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
pub(super) fn same_side(a: &Checked, b: &Checked) -> bool {
    a.is(b) && (!by_water(a) || water_key(a.day) == water_key(b.day))
}
