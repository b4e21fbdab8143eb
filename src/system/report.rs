//! The words of a check: stations with their fill levels, the chain of cause, and repairs that were tried on the whole system.

use super::check::{self, Day, Solved};
use super::document::Document;
use super::flow::{self, StationKind, Ways};
use crate::calculators::Calculator;
use crate::calculators::bed::Bed as BedCalculator;
use crate::calculators::drain::Drain;
use crate::calculators::form::{self, Edit, FieldError};
use crate::calculators::outcome::{Caution, ENOUGH, Level, Repair, State};
use crate::calculators::oxygen::Oxygen;
use crate::calculators::settling::Settling;
use crate::units::{kinds::*, *};
use std::cmp::Reverse;

/// One fill level of a system on its worst day, with today's beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// Place of the station in [`Document::stations`].
    pub station: usize,
    /// The level on its worst day; its name says of which station it is.
    pub level: Level,
    /// That day.
    pub day: Day,
    /// The level today.
    pub today: Level,
}

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
    /// Where its water goes and how much: name and flow.
    pub onward: Vec<(String, String)>,
}

/// A repair that was tried on the whole system.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// What to change, and the level that it is for after it.
    pub repair: Repair,
    /// Is nothing at all over after it?
    pub whole: bool,
}

/// All that a check says.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// One or two plain sentences.
    pub verdict: String,
    /// Stations in the order the water meets them.
    pub stations: Vec<StationReport>,
    /// Every level, fullest first.
    pub levels: Vec<Checked>,
    /// What leads to what.
    pub chain: Vec<Link>,
    /// Computed repairs, those that leave nothing over first.
    pub repairs: Vec<Tried>,
    /// Flow along every edge today, in the order of the document.
    pub flows: Vec<VolumeRate>,
    /// Cautions of all its parts, once each.
    pub cautions: Vec<Caution>,
}

impl Report {
    /// The state of the fullest level.
    pub fn state(&self) -> State {
        self.levels.iter().map(|l| l.level.state()).max().unwrap_or(State::Enough)
    }
}

const DAYS_CHECKED: [Day; 3] = [Day::Today, Day::Hottest, Day::Harvest];

/// Checks a document on every day and says what follows.
///
/// # Errors
/// As [`check::solve`], on any of the days.
pub fn report(d: &Document, words: Words) -> Result<Report, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    let days = solve_days(d, &ways)?;
    let levels = merge(&ways, &days);
    let worst = days.iter().rev().max_by_key(|s| (s.over(), Reverse(s.day != Day::Today))).unwrap_or(&days[0]);
    let repairs = repairs(d, &ways, &days, &levels, words);
    let stations = stations(d, &ways, &days[0], &levels, words);
    let chain = chain(d, &ways, worst, &levels, &repairs, words);
    let verdict = verdict(d, worst, &levels, words);
    let flows = days[0].flows.edges.iter().map(|q| FLOW.of(*q)).collect();
    let cautions = cautions(d, &ways, &days[0], words);
    Ok(Report { verdict, stations, levels, chain, repairs, flows, cautions })
}

/// Every fill level on its worst day, fullest first, without words or repairs.
///
/// # Errors
/// As [`report`].
pub fn levels(d: &Document) -> Result<Vec<Checked>, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    Ok(merge(&ways, &solve_days(d, &ways)?))
}

fn solve_days(d: &Document, ways: &Ways<'_>) -> Result<Vec<Solved>, Vec<FieldError>> {
    DAYS_CHECKED.iter().map(|&day| check::solve_on(d, ways, day)).collect()
}

/// Every level on its worst day, fullest first.
fn merge(ways: &Ways<'_>, days: &[Solved]) -> Vec<Checked> {
    let Some(today) = days.first() else { return vec![] };
    let mut all: Vec<Checked> = (0..today.levels.len())
        .map(|k| {
            let station = today.levels[k].0;
            // The same stations give the same levels in the same order on every day.
            let of = |s: &Solved| s.levels.get(k).map(|l| l.1.clone());
            // Plants are sized for the feed of an ordinary day, not for the last one before the harvest.
            let last = if today.levels[k].1.id == "bed" { 1 } else { days.len() };
            let worst = days.iter().take(last).filter_map(|s| Some((s.day, of(s)?)));
            let (day, mut level) = worst.fold((Day::Today, today.levels[k].1.clone()), |best, next| {
                if next.1.fullness() > best.1.fullness() + 1e-9 { next } else { best }
            });
            level.name = format!("{}, {}", level.name, ways.stations[station].name).into();
            Checked { station, level, day, today: today.levels[k].1.clone() }
        })
        .collect();
    crate::units::arrange(&mut all, |a, b| b.level.fullness().total_cmp(&a.level.fullness()));
    all
}

fn stations(d: &Document, ways: &Ways<'_>, today: &Solved, levels: &[Checked], w: Words) -> Vec<StationReport> {
    today
        .flows
        .order
        .iter()
        .map(|&i| {
            let s = &ways.stations[i];
            let through = FLOW.of(today.flows.through[i]);
            let line = match s.kind {
                StationKind::Pump => {
                    let branches = ways.edges.iter().filter(|e| e.0 == i).count();
                    let most = w.q(FLOW, d.pumps[s.index].most);
                    format!("can send {most}; {branches} {}", if branches == 1 { "branch" } else { "branches" })
                }
                StationKind::Tank => {
                    let (t, o) = (&d.tanks[s.index], &today.tanks[s.index].oxygen);
                    let fish = count(t.fish());
                    format!("{}, {fish} fish, {}", w.q(VOLUME, t.oxygen.volume), w.q(MASS, o.biomass))
                }
                _ => format!("{} comes in", w.q(FLOW, through)),
            };
            let onward = ways.edges.iter().zip(&today.flows.edges).filter(|(e, _)| e.0 == i);
            StationReport {
                id: s.id.into(),
                name: s.name.into(),
                kind: s.kind,
                path: s.path(),
                line,
                fullest: levels.iter().position(|l| l.station == i),
                onward: onward.map(|(e, q)| (ways.stations[e.1].name.to_string(), w.q(FLOW, FLOW.of(*q)))).collect(),
            }
        })
        .collect()
}

fn count(x: f64) -> String {
    number(x.round(), 15)
}

/// Fish of a tank, and how many of them its oxygen carries.
fn fish_of(d: &Document, s: &Solved, tank: usize) -> (f64, f64) {
    let o = &s.tanks[tank].oxygen;
    let all = d.tanks[tank].fish();
    let safe = if o.biomass.value > 0.0 { all * (o.carries / o.biomass).value.clamp(0.0, 1.0) } else { all };
    (all.round(), safe.floor())
}

fn on_day(day: Day) -> String {
    match day {
        Day::Today => String::new(),
        Day::Hottest => " in the hottest water".into(),
        Day::Harvest => " at harvest in the hottest water".into(),
    }
}

fn chain(d: &Document, ways: &Ways<'_>, s: &Solved, levels: &[Checked], repairs: &[Tried], w: Words) -> Vec<Link> {
    let mut links = vec![];
    let mut told = vec![];
    for (i, t) in s.tanks.iter().enumerate() {
        let Some(level) = Drain::level(&t.outlet).filter(|l| l.state() == State::Over) else { continue };
        let station = ways.place(StationKind::Tank, i);
        let name = ways.stations[station].name;
        told.push((station, "outlet"));
        let worst = levels.iter().find(|l| l.station == station && l.level.id == "outlet").map(|l| &l.level);
        links.push(Link {
            state: State::Over,
            head: format!("Outlet, {name}: {}", worst.unwrap_or(&level).percent()),
            text: format!(
                "It carries {}; the pump can send {}. It spills.",
                w.q(FLOW, t.outlet.capacity),
                w.q(FLOW, t.most)
            ),
            repair: None,
        });
        let volume = d.tanks[i].oxygen.volume;
        let turns = number((t.flow / volume).value * 3600.0, 2);
        let oxygen = Oxygen::level(&t.oxygen);
        let state = oxygen.as_ref().map_or(State::Enough, Level::state);
        told.push((station, "oxygen"));
        told.push((station, "turnover"));
        let head = if t.throttled {
            format!("Throttled to {}, four fifths of that: {turns} tank volumes an hour", w.q(FLOW, t.flow))
        } else {
            format!("At the {} it is set to: {turns} tank volumes an hour", w.q(FLOW, t.flow))
        };
        links.push(Link { state, head, text: oxygen_words(d, s, i, w), repair: None });
        let (all, safe) = fish_of(d, s, i);
        if safe < all {
            links.push(Link {
                state: State::Over,
                head: format!("Safe so: {} of {} fish", count(safe), count(all)),
                text: format!("{} must go, or the outlet, the flow or the air must change.", count(all - safe)),
                repair: None,
            });
        }
    }
    for l in
        levels.iter().filter(|l| l.level.state() == State::Over && !told.contains(&(l.station, l.level.id.as_ref())))
    {
        let (head, text) = (format!("{}: {}", l.level.name, l.level.percent()), l.level.figures(w.system));
        links.push(Link { state: State::Over, head, text: format!("{text}{}.", on_day(l.day)), repair: None });
    }
    if !links.is_empty()
        && let Some((k, r)) = repairs.iter().enumerate().find(|(_, r)| r.whole)
    {
        links.push(Link {
            state: State::Enough,
            head: r.repair.title.clone(),
            text: r.repair.effect.clone(),
            repair: Some(k),
        });
    }
    links
}

fn oxygen_words(d: &Document, s: &Solved, i: usize, w: Words) -> String {
    let o = &s.tanks[i].oxygen;
    let who = d.tanks[i].oxygen.fish.first().map_or("the fish", |g| g.species.noun);
    let floor = w.q(CONCENTRATION, o.floor);
    match o.settled.0 {
        Some(c) => format!(
            "Oxygen settles at {} after the evening meal{}; {who} want {floor}.",
            w.q(CONCENTRATION, c),
            on_day(s.day)
        ),
        None => format!(
            "There is not oxygen enough for all of them after the evening meal{}; {who} want {floor}.",
            on_day(s.day)
        ),
    }
}

fn verdict(d: &Document, s: &Solved, levels: &[Checked], w: Words) -> String {
    let spilling: Vec<_> = s
        .tanks
        .iter()
        .enumerate()
        .filter(|(_, t)| Drain::level(&t.outlet).is_some_and(|l| l.state() == State::Over))
        .collect();
    if let Some(&(i, t)) = spilling.first() {
        let name = &d.tanks[i].name;
        let (all, safe) = fish_of(d, s, i);
        let first = format!(
            "The outlet of {name} spills before the pump is fully open: it carries {} of {}.",
            w.q(FLOW, t.outlet.capacity),
            w.q(FLOW, t.most)
        );
        return if safe < all {
            format!(
                "{first} Throttled to what it can carry, the water is safe for {} of its {} fish: enlarge the outlet, remove {}, or add air.",
                count(safe),
                count(all),
                count(all - safe)
            )
        } else {
            format!(
                "{first} Throttled to what it can carry there is still oxygen enough, but anyone may open the valve."
            )
        };
    }
    match levels.first() {
        None => "There is nothing to check yet.".into(),
        Some(l) if l.level.state() == State::Over => {
            let more = levels.iter().filter(|l| l.level.state() == State::Over).count() - 1;
            let rest = match more {
                0 => String::new(),
                1 => " One more is over.".into(),
                n => format!(" {n} more are over."),
            };
            format!("{} is over{}: {}.{rest}", l.level.name, on_day(l.day), l.level.percent())
        }
        Some(l) if l.level.state() == State::Tight => {
            format!("Nothing is over. {} is tight{}: {}.", l.level.name, on_day(l.day), l.level.percent())
        }
        Some(l) => {
            format!("Enough everywhere, on the worst day too. {} is fullest: {}.", l.level.name, l.level.percent())
        }
    }
}

/// What each part proposes for what is over, and what the system adds, each tried on the whole system.
fn repairs(d: &Document, ways: &Ways<'_>, days: &[Solved], levels: &[Checked], w: Words) -> Vec<Tried> {
    let mut tried: Vec<(usize, Repair)> = vec![];
    for l in levels.iter().filter(|l| l.level.state() == State::Over) {
        let Some(s) = days.iter().find(|s| s.day == l.day) else { continue };
        for r in proposals(d, ways, s, l, w) {
            if let Some(found) = try_on(d, ways, levels, l, r) {
                tried.push(found);
            }
        }
    }
    crate::units::arrange(&mut tried, |a, b| (a.0, a.1.also.is_some()).cmp(&(b.0, b.1.also.is_some())));
    let mut all: Vec<Tried> = vec![];
    for (over, repair) in tried {
        if !all.iter().any(|a| a.repair.edits == repair.edits) {
            all.push(Tried { repair, whole: over == 0 });
        }
    }
    all.truncate(8);
    all
}

fn proposals(d: &Document, ways: &Ways<'_>, s: &Solved, l: &Checked, w: Words) -> Vec<Repair> {
    let station = &ways.stations[l.station];
    let (i, path) = (station.index, station.path());
    let under = |part: &str, all: Vec<Repair>| -> Vec<Repair> {
        let root = format!("{path}.{part}");
        let edit = |r: Repair| Repair { edits: r.edits.into_iter().map(|e| e.under(&root)).collect(), ..r };
        all.into_iter().map(edit).collect()
    };
    // What it brings is found out when it is tried.
    let propose = |title: String, edits: Vec<Edit>| Repair {
        title,
        effect: String::new(),
        edits,
        level: l.level.clone(),
        also: None,
    };
    match (station.kind, l.level.id.as_ref()) {
        (StationKind::Tank, "outlet") => {
            let t = &s.tanks[i];
            let inputs = check::outlet_of(d, &d.tanks[i], t.most, s.day);
            let mut all = under("outlet", Drain::report(&inputs, &t.outlet, w).repairs);
            let most = t.outlet.capacity * ENOUGH;
            all.extend(ways.from_pumps(l.station).map(|k| {
                let pump = ways.stations[ways.edges[k].0].index;
                let mut edits = vec![Edit::num(format!("pumps.{pump}.most"), most)];
                if d.edges[k].flow > most {
                    edits.push(Edit::num(format!("edges.{k}.flow"), most));
                }
                propose(format!("A pump that can send {} at the most", w.q(FLOW, most)), edits)
            }));
            all
        }
        (StationKind::Tank, "oxygen") => {
            let t = &s.tanks[i];
            let inputs = check::oxygen_of(d, &d.tanks[i], t.flow, s.day);
            let mut all = under("oxygen", Oxygen::report(&inputs, &t.oxygen, w).repairs);
            // The system keeps count and mean mass, so fewer fish is said as a share of each group.
            let (fish, safe) = fish_of(d, s, i);
            if fish > 0.0 && safe > 0.0 {
                let keep = (safe * ENOUGH).floor().max(1.0);
                let edits = d.tanks[i].oxygen.fish.iter().enumerate().flat_map(|(g, f)| {
                    let root = format!("{path}.oxygen.fish.{g}");
                    [
                        Edit::num(format!("{root}.count"), COUNT.of((f.count.value * keep / fish).floor())),
                        Edit::num(format!("{root}.biomass"), f.biomass * (keep / fish)),
                    ]
                });
                all.retain(|r| r.edits.iter().all(|e| !e.path.contains(".fish.")));
                all.push(propose(format!("{} fish instead of {}", count(keep), count(fish)), edits.collect()));
            }
            all
        }
        (StationKind::Tank, "turnover") => {
            let flow = FLOW.of(l.level.demand.high / ENOUGH);
            let send = |k| {
                let title = format!("Send {} to {}", w.q(FLOW, flow), station.name);
                propose(title, vec![Edit::num(format!("edges.{k}.flow"), flow)])
            };
            ways.from_pumps(l.station).map(send).collect()
        }
        (StationKind::Settler, _) => {
            let (flow, feed) = (FLOW.of(s.flows.through[l.station]), s.settler_feeds[i]);
            let inputs = check::settling_of(d, &d.settlers[i], flow, feed, s.day);
            under("settling", Settling::report(&inputs, &s.settlers[i], w).repairs)
        }
        (StationKind::Bed, _) => {
            let inputs = check::bed_of(d, &d.beds[i], s.bed_feeds[i], s.day);
            under("bed", BedCalculator::report(&inputs, &s.beds[i], w).repairs)
        }
        _ => vec![],
    }
}

/// Tries a repair on the whole system: how many levels are over after it, and the repair with what it brings there and what it puts over.
fn try_on(d: &Document, ways: &Ways<'_>, before: &[Checked], target: &Checked, r: Repair) -> Option<(usize, Repair)> {
    let mut fixed = d.clone();
    if r.edits.is_empty() || !r.edits.iter().all(|e| form::apply(&mut fixed, e)) {
        return None;
    }
    if !form::check(&mut fixed, System::Metric).is_empty() {
        return None;
    }
    let after = merge(ways, &solve_days(&fixed, ways).ok()?);
    let level = after.iter().find(|l| l.station == target.station && l.level.id == target.level.id)?;
    if level.level.fullness() >= target.level.fullness() {
        return None;
    }
    let over: Vec<&Checked> = after.iter().filter(|l| l.level.state() == State::Over).collect();
    let was_over = |l: &Checked| {
        before.iter().any(|b| b.station == l.station && b.level.id == l.level.id && b.level.state() == State::Over)
    };
    let new: Vec<_> = over.iter().filter(|l| !was_over(l)).map(|l| l.level.name.to_string()).collect();
    let left: Vec<_> = over.iter().filter(|l| was_over(l)).map(|l| l.level.name.to_string()).collect();
    let fullest =
        after.first().map_or(String::new(), |l| format!("; {} is then fullest, {}", l.level.name, l.level.percent()));
    let rest =
        if over.is_empty() { format!("nothing is over{fullest}") } else { format!("still over: {}", left.join("; ")) };
    let rest = if left.is_empty() && !new.is_empty() { String::from("the rest holds") } else { rest };
    let effect = format!("{} {}: {rest}.", level.level.name, level.level.percent());
    let also = (!new.is_empty()).then(|| format!("Puts over: {}.", new.join("; "))).or(r.also);
    Some((over.len(), Repair { effect, also, level: level.level.clone(), ..r }))
}

fn cautions(d: &Document, ways: &Ways<'_>, s: &Solved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    for (i, t) in s.tanks.iter().enumerate() {
        all.extend(Drain::report(&check::outlet_of(d, &d.tanks[i], t.most, s.day), &t.outlet, w).cautions);
        all.extend(Oxygen::report(&check::oxygen_of(d, &d.tanks[i], t.flow, s.day), &t.oxygen, w).cautions);
    }
    for (i, o) in s.settlers.iter().enumerate() {
        let station = ways.place(StationKind::Settler, i);
        let flow = FLOW.of(s.flows.through[station]);
        all.extend(
            Settling::report(&check::settling_of(d, &d.settlers[i], flow, s.settler_feeds[i], s.day), o, w).cautions,
        );
    }
    for (i, o) in s.beds.iter().enumerate() {
        all.extend(BedCalculator::report(&check::bed_of(d, &d.beds[i], s.bed_feeds[i], s.day), o, w).cautions);
    }
    let mut once: Vec<Caution> = vec![];
    for c in all {
        if !once.iter().any(|o| o.text == c.text) {
            once.push(c);
        }
    }
    once
}
