//! The words of a check: stations with their fill levels, the chain of cause, and repairs that were tried on the whole system.

mod unfit;

use super::check::{self, Day, SALT_OFF, Shared, Solved};
use super::document::{self, Document, FilterAt, Tank};
use super::flow::{self, StationKind, Ways};
use super::growing;
use super::level;
use super::prove::RIPPLE;
use super::quality;
use super::repairs;
use super::supply;
use super::worst::{SUFFOCATE, TODAY, inside, merge, of_plants, solve_days, solve_days_with, while_poisonous};
use crate::calculators::ammonia::{self, Ammonia};
use crate::calculators::bed::{Bed as BedCalculator, hungry, unborne, unlike};
use crate::calculators::deadly::{Deadly, salt_borne};
use crate::calculators::drain::{Drain, DrainOut};
use crate::calculators::form::{self, FieldError};
use crate::calculators::heat::Heat;
use crate::calculators::levels::{GIVE_OVERFLOW, Levels};
use crate::calculators::outcome::{Brim, Caution, ENOUGH, Level, State};
use crate::calculators::oxygen::{Oxygen, level_of};
use crate::calculators::pump::{Ends, Pump as PumpCalculator};
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon;
use crate::calculators::{Calculator, care, handling};
use crate::catalog::sources::{climate, system, waterways};
use crate::catalog::species::Species;
use crate::science::plants;
use crate::science::sump::TopUp;
use crate::units::{kinds::*, *};
use std::cmp::Ordering;

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
/// As [`check::solve`], on any of the days.
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

/// The levels that are told: where both readings of a water test stand at nothing nobody has read it, and it has passed no check; nor has water
/// that is asked for no fish.
pub(super) fn told(d: &Document, mut levels: Vec<Checked>) -> Vec<Checked> {
    let unread = d.ammonia.iter().any(|a| !quality::is_read(&a.0));
    levels.retain(|l| match l.level.id.as_ref() {
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

fn stations(d: &Document, ways: &Ways<'_>, today: &Solved, levels: &[Checked], w: Words) -> Vec<StationReport> {
    let order = &today.flows.order;
    let place = |i: usize| order.iter().position(|&o| o == i);
    order
        .iter()
        .map(|&i| {
            let s = &ways.stations[i];
            let onward = ways.edges.iter().zip(&today.flows.edges).filter(|(e, _)| e.0 == i);
            let fullest = levels.iter().position(|l| l.station == i);
            let of = |k: usize| match levels[k].day {
                Day::Today => levels[k].level.name.to_string(),
                day => format!("{}, {}", levels[k].level.name, day.word()),
            };
            StationReport {
                id: s.id.into(),
                name: s.name.into(),
                kind: s.kind,
                path: s.path(),
                line: line(d, ways, today, i, w),
                fullest,
                of: fullest.map_or_else(String::new, of),
                onward: onward.filter_map(|(e, q)| Some((place(e.1)?, w.q(FLOW, FLOW.of(*q))))).collect(),
                water: water(d, today, i, s.kind, s.index, w),
            }
        })
        .collect()
}

/// One line about a station.
fn line(d: &Document, ways: &Ways<'_>, today: &Solved, i: usize, w: Words) -> String {
    let s = &ways.stations[i];
    let through = w.q(FLOW, FLOW.of(today.flows.through[i]));
    match s.kind {
        StationKind::Pump => {
            let branches = ways.edges.iter().filter(|e| e.0 == i).count();
            let (free, can) = (d.pumps[s.index].can_send(), d.can_lift(&d.pumps[s.index]));
            let most = w.q(FLOW, can) + if can < free { " so high" } else { "" };
            let asked = supply::asked_of(d, ways, s.index);
            match &today.pumps[s.index] {
                Some(p) => {
                    let most = w.q(FLOW, free);
                    let head = w.q(LENGTH, p.out.usual.head);
                    format!("sends {through} against {head} of lift and friction, {most} at most")
                }
                None if asked > can => {
                    format!("is set to send {} and can send {most}: each branch gets as much less", w.q(FLOW, asked))
                }
                None => {
                    let known = if d.pumps[s.index].curve.is_empty() {
                        ""
                    } else {
                        "; not every pipe is known, so the set flows count"
                    };
                    format!("can send {most}; {branches} {}{known}", if branches == 1 { "branch" } else { "branches" })
                }
            }
        }
        StationKind::Tank => {
            let (t, o) = (&d.tanks[s.index], &today.tanks[s.index].oxygen);
            if t.fish() <= 0.0 {
                return format!("{}, no fish", w.q(VOLUME, t.oxygen.volume));
            }
            let settles =
                o.settled.0.map_or(String::new(), |c| format!(", oxygen {} after a meal", w.q(CONCENTRATION, c)));
            let fish = count(t.fish());
            format!("{}, {fish} fish, {}{settles}", w.q(VOLUME, t.oxygen.volume), w.q(MASS, o.biomass))
        }
        StationKind::Bed => {
            let cycle = today.siphons[s.index].as_ref().and_then(|o| o.cycle);
            let cycle = cycle.map_or(String::new(), |t| format!("; floods and drains in {}", w.time(t)));
            format!("{through} comes in{cycle}")
        }
        _ => format!("{through} comes in"),
    }
}

/// How high the water of a station stands today, where that is known.
fn water(d: &Document, today: &Solved, place: usize, kind: StationKind, i: usize, w: Words) -> Option<Water> {
    // As one reads it off a tape.
    let l = |x: Length| {
        let unit = SHORT_LENGTH.0.unit(w.system);
        let x = unit.of_si(x.value);
        format!("{}{THIN}{}", number(x, if x.abs() < 100.0 { 2 } else { 3 }), unit.symbol)
    };
    let at_outlet = |o: &DrainOut, rise: Length, depth: Length| {
        let dry = o.brim - o.still - rise;
        let height = (depth + o.brim - o.still).value.max(f64::MIN_POSITIVE);
        let stands = ((depth + rise).value / height).clamp(0.0, 1.0);
        let words = if dry.value > RIPPLE {
            format!("Water {} over its outlet, {} under the rim", l(o.still + rise), l(dry))
        } else if dry.value > 0.0 {
            "Water up to the rim: a ripple spills it".to_string()
        } else {
            "Water over the rim".to_string()
        };
        Some(Water { stands: (stands, stands), words })
    };
    let drawn = |depth: Length, fall: Length| {
        let fallen =
            || format!(". Running, beds full, top-up long ago: {} lower, {} over the floor", l(fall), l(depth - fall));
        let fallen = if fall.value > 0.0 { fallen() } else { String::new() };
        format!("No outlet: the pump takes what comes{fallen}")
    };
    if let Some(p) = today.pools.iter().find(|p| p.station == place) {
        let fall = (p.gone / (p.volume / p.depth)).min(p.depth);
        return Some(Water { stands: ((1.0 - (fall / p.depth).value), 1.0), words: drawn(p.depth, fall) });
    }
    if let Some(o) = today.way_out(kind, i) {
        let depth = if kind == StationKind::Bed { d.beds[i].bed.depth } else { d.settlers[i].settling.depth };
        return at_outlet(&o.out, o.rise, depth);
    }
    match kind {
        StationKind::Tank => {
            let (t, depth) = (&today.tanks[i], d.tanks[i].oxygen.depth);
            // Where only pumps take its water.
            let Some(gone) = t.gone else { return at_outlet(&t.outlet, t.rise, depth) };
            let fall = depth * (gone / d.tanks[i].oxygen.volume).value.min(1.0);
            let height = (depth + t.outlet.brim - t.outlet.still).value.max(f64::MIN_POSITIVE);
            let [low, high] = [depth - fall, depth].map(|x| (x.value / height).clamp(0.0, 1.0));
            Some(Water { stands: (low, high), words: drawn(depth, fall) })
        }
        StationKind::Sump => {
            let o = &today.sumps[i].as_ref()?.out;
            let share = |v: Volume| (v / o.brim).value.clamp(0.0, 1.0);
            let none = VOLUME.of(0.0);
            let (low, high) = (o.extremes.lowest.max(none), o.extremes.stop_high.max(none));
            let words =
                format!("Water from {} over the floor to {} when the pump stops", l(low / o.area), l(high / o.area));
            Some(Water { stands: (share(low), share(high)), words })
        }
        StationKind::Bed => {
            let (s, o) = (&d.beds[i].siphon.first()?.0, today.siphons[i].as_ref()?);
            let share = |x: Length| (x / s.rim).value.clamp(0.0, 1.0);
            let words = format!("Water from {} to {} over the floor", l(s.low), l(o.highest));
            Some(Water { stands: (share(s.low), share(o.highest)), words })
        }
        _ => None,
    }
}

fn count(x: f64) -> String {
    number(x.round(), 15)
}

/// Every tank on the day that counts for its oxygen, which need not be the worst of all.
struct Breath<'a> {
    ways: &'a Ways<'a>,
    days: &'a [Solved],
    levels: &'a [Checked],
}

impl<'a> Breath<'a> {
    /// Today where there is too little then already, and the day that is worst.
    fn of(&self, tank: usize, otherwise: &'a Solved) -> [&'a Solved; 2] {
        let station = self.ways.place(StationKind::Tank, tank);
        let level = self.levels.iter().find(|l| l.station == station && l.level.id == level::OXYGEN);
        let worst = level.and_then(|l| self.days.iter().find(|s| s.day == l.day)).unwrap_or(otherwise);
        let over = level.is_some_and(|l| l.today.state() == State::Over);
        [if over { &self.days[0] } else { worst }, worst]
    }
}

/// Fish of a tank, and how many of them its oxygen carries.
fn fish_of(d: &Document, s: &Solved, tank: usize) -> (f64, f64) {
    let o = &s.tanks[tank].oxygen;
    let all = d.tanks[tank].fish();
    let safe = if o.biomass.value > 0.0 { all * (o.carries / o.biomass).value.clamp(0.0, 1.0) } else { all };
    // A share that is a hair under one, or fish by weight that come to no whole number, take none of them out.
    (all.round(), if o.carries >= o.biomass { all.round() } else { (safe + 1e-9).floor() })
}

/// Until when fish must be gone that are not safe today.
const NOW: &str = " now";

/// How many fish of a tank are safe, and when: how many must be gone, until when, and the words. Nothing if all are.
fn safe(d: &Document, days: [&Solved; 2], tank: usize, of: &str) -> Option<(f64, &'static str, String)> {
    let [(all, safe), (_, later)] = days.map(|s| fish_of(d, s, tank));
    let (when, then) = match days[0].day {
        Day::Today => (" today", NOW),
        Day::Blocked => (Day::Blocked.when(), ""),
        day => (day.when(), " by then"),
    };
    let fewer = if later < safe { format!(", and {}{}", count(later), days[1].day.when()) } else { String::new() };
    (safe < all).then(|| (all - safe, then, format!("{} of {of}{} fish{when}{fewer}", count(safe), count(all))))
}

/// How a level stands: today, where it is over already, and what it comes to on its worst day; else on that.
fn stands(l: &Checked, w: Words) -> (&Level, &'static str, String) {
    if l.day == Day::Today || l.today.state() != State::Over {
        return (&l.level, l.day.when(), String::new());
    }
    let (now, then) = (l.today.large(w.system), l.level.large(w.system));
    let then = if now == then { String::new() } else { format!(", and {then}{}", l.day.when()) };
    (&l.today, " today", then)
}

/// What harms fish comes before hungry plants, and what is fullest before the rest.
fn subject(breath: &Breath<'_>) -> Option<usize> {
    let levels = breath.levels;
    let of = |s: State, plants: bool| levels.iter().position(|l| l.level.state() == s && of_plants(&l.level) == plants);
    let order = [(State::Over, false), (State::Over, true), (State::Tight, false)];
    let first = order.into_iter().find_map(|(s, p)| of(s, p)).or((!levels.is_empty()).then_some(0))?;
    // An outlet that spills is where it begins for its tank; not where they lack oxygen today, by a reading or with all that is set to come.
    let l = &levels[first];
    let led = matches!(l.level.id.as_ref(), level::OXYGEN | level::TURNOVER) && l.level.state() == State::Over && {
        let tank = &breath.days[0].tanks[breath.ways.stations[l.station].index];
        l.urgency() < TODAY || tank.throttled && tank.oxygen.low_now.is_none()
    };
    let outlet = levels.iter().position(|o| led && o.station == l.station && spills(o));
    Some(outlet.unwrap_or(first))
}

/// Is it the level of an outlet that spills?
fn spills(l: &Checked) -> bool {
    l.level.id == level::OUTLET && l.level.state() == State::Over
}

/// The chain of one cause, and what ends it.
fn chain<'a>(
    d: &Document,
    worst: &'a Solved,
    breath: &Breath<'a>,
    subject: Option<usize>,
    repairs: &[Tried],
    w: Words,
) -> Vec<Link> {
    let (ways, levels) = (breath.ways, breath.levels);
    let Some(first) = subject.map(|k| &levels[k]).filter(|l| l.level.state() == State::Over) else { return vec![] };
    let mut links = vec![];
    let mut put = |state, head, text| links.push(Link { state, head, text, repair: None });
    let station = &ways.stations[first.station];
    let i = station.index;
    let tank = station.kind == StationKind::Tank;
    let today = &breath.days[0];
    if spills(first) {
        let (carries, most) = carried(&first.level, w);
        let text = match surging(d, ways, worst, first) {
            Some(beds) => format!(
                "It carries {carries}; while the siphon of {beds} runs, it would have to carry {most}. It spills."
            ),
            None => format!("It carries {carries}; {} can send {most}. It spills.", pumps_of(ways, first.station)[0]),
        };
        put(State::Over, format!("Outlet of {}: {}", station.name, first.level.percent()), text);
    } else {
        let (level, when, then) = stands(first, w);
        let unit = level.kind.unit(w.system).symbol;
        let figures = level.figures(w.system);
        let figures = match (level.brim, level.measured) {
            (Brim::Between { .. }, _) if !unit.is_empty() => figures.replacen(", ", &format!("{THIN}{unit}, "), 1),
            (_, Some(m)) => sentence(&format!("{}: {}", m.asks(w.system), level.shares(w.system))),
            _ => figures,
        };
        let head = format!("{}: {}", first.level.name, level.large(w.system));
        put(State::Over, head, format!("{figures}{when}{then}."));
    }
    if tank && matches!(first.level.id.as_ref(), level::OUTLET | level::OXYGEN | level::TURNOVER) {
        let days @ [s, _] = breath.of(i, worst);
        // Where there is too little water for fish that are not there, no more is to be said of it.
        if first.level.id == level::OUTLET || first.level.id == level::TURNOVER && d.tanks[i].fish() > 0.0 {
            let t = &today.tanks[i];
            let turns = number((t.flow / d.tanks[i].oxygen.volume).value * 3600.0, 2);
            let state = level_of(&s.tanks[i].oxygen).state();
            let head = if t.throttled {
                format!("Throttled to {}, four fifths of that: {turns} tank volumes an hour", w.q(FLOW, t.flow))
            } else {
                format!("At the {} it gets: {turns} tank volumes an hour", w.q(FLOW, t.flow))
            };
            put(state, head, oxygen_words(d, s, i, w));
        }
        if let Some((go, then, safe)) = safe(d, days, i, "") {
            let what = if spills(first) { "the outlet, the flow or the air" } else { "the flow or the air" };
            let go = count(go);
            let text = match then {
                NOW => format!("Put more air in now, or {go} must go."),
                _ => format!("{go} must go{then}, or {what} must change."),
            };
            put(State::Over, format!("Safe for: {safe}"), text);
        }
    }
    if let Some((k, r)) = repairs.iter().enumerate().find(|(_, r)| r.whole) {
        let (head, text) = (r.repair.title.clone(), r.repair.effect.clone());
        links.push(Link { state: r.repair.then, head, text, repair: Some(k) });
    }
    links
}

/// What sends water to a station: the pump, or the pumps.
fn pumps_of(ways: &Ways<'_>, station: usize) -> [&'static str; 2] {
    let sends = |p: &usize| ways.is_pump(*p) && ways.below(*p).contains(&station);
    if (0..ways.stations.len()).filter(sends).count() > 1 { ["the pumps", "are"] } else { ["the pump", "is"] }
}

fn oxygen_words(d: &Document, s: &Solved, i: usize, w: Words) -> String {
    let o = &s.tanks[i].oxygen;
    if o.biomass.value <= 0.0 {
        return "It holds no fish.".into();
    }
    let who = d.tanks[i].oxygen.fish.first().map_or("the fish", |g| g.species.noun);
    let floor = w.q(CONCENTRATION, o.floor);
    match o.settled.0 {
        Some(c) => format!(
            "Oxygen settles at {} after the evening meal{}; {who} want {floor}.",
            w.q(CONCENTRATION, c),
            s.day.when()
        ),
        None => format!(
            "There is not enough oxygen for all of them after the evening meal{}; {who} want {floor}.",
            s.day.when()
        ),
    }
}

/// What an outlet carries and what may come, in words.
fn carried(outlet: &Level, w: Words) -> (String, String) {
    let capacity = match outlet.brim {
        Brim::Upper(capacity) => capacity.low,
        Brim::Between { high, .. } => high,
    };
    (w.q(FLOW, FLOW.of(capacity)), w.q(FLOW, FLOW.of(outlet.demand.high)))
}

/// While whose siphon runs an outlet spills that carries what pumps send: nothing where that is not so.
fn surging(d: &Document, ways: &Ways<'_>, s: &Solved, outlet: &Checked) -> Option<String> {
    let carries = match outlet.level.brim {
        Brim::Upper(capacity) => capacity.low,
        Brim::Between { high, .. } => high,
    };
    let k = outlet.station;
    let alike = s.way_out(ways.stations[k].kind, ways.stations[k].index).map_or(1.0, |o| o.alike);
    let beds = supply::siphons_above(d, ways, k).into_iter().map(|b| d.beds[b].name.clone());
    (s.surges[k] > 0.0 && carries * alike >= s.flows.most[k]).then(|| listed(&beds.collect::<Vec<_>>()))
}

/// What goes over within weeks as the fish grow, after a space; empty where nothing does.
fn soon(d: &Document, w: Words) -> String {
    let Some(c) = growing::soon(d) else { return String::new() };
    let whole = DAYS.of(si::days((c.time.value / si::days(1.0)).floor()));
    let when = match whole.value > 0.0 {
        true => format!("in {}", w.q(DAYS, whole)),
        false => "within a day".into(),
    };
    // So short that it stays in sight behind the first sentence; more of it is told where the growing fish are followed.
    format!(" But as the fish grow, {} goes over {when}{}.", inside(&c.level.level.name), c.level.day.when())
}

fn verdict<'a>(
    d: &Document,
    worst: &'a Solved,
    breath: &Breath<'a>,
    subject: Option<usize>,
    soon: &str,
    w: Words,
) -> String {
    let (ways, levels) = (breath.ways, breath.levels);
    let mut crops: Vec<String> = vec![];
    for (k, l) in levels.iter().enumerate() {
        let said = crop_words(d, ways, l).filter(|_| subject != Some(k)).map(|s| format!(" {s}."));
        crops.extend(said.filter(|s| !crops.contains(s)));
    }
    let unsaid = crops.concat() + &unsaid(d, ways, !uneven(ways, &worst.flows).is_empty());
    let poison = while_poisonous(levels, &breath.days[0]);
    let act = poison.map_or(String::new(), |p| format!(" {p}"));
    let subject = subject.map(|k| &levels[k]);
    // What kills them besides, which their breath or the poison of today stands before.
    let dies = levels.iter().filter_map(|l| Some((l, format!(" {}", deadly(d, l, w)?)))).next();
    let dies = dies.filter(|(l, _)| subject.is_some_and(|s| !s.is(l)));
    let there = levels.iter().filter(|l| l.urgency() == SUFFOCATE && subject.is_some_and(|s| s.station != l.station));
    let there: Vec<String> = there.map(|l| ways.stations[l.station].name.into()).collect();
    if let Some(outlet) = subject.filter(|l| spills(l)) {
        let (carries, most) = carried(&outlet.level, w);
        let station = &ways.stations[outlet.station];
        let (i, name) = (station.index, station.name);
        let [pumps, are] = pumps_of(ways, outlet.station);
        let surge = surging(d, ways, worst, outlet);
        let first = match &surge {
            Some(beds) => format!(
                "The outlet of {name} spills while the siphon of {beds} runs: it carries {carries} and would have to carry {most}."
            ),
            None => format!(
                "The outlet of {name} spills before {pumps} {are} at full flow: it carries {carries}; {most} may come."
            ),
        };
        let gone = "What it cannot carry goes over the rim, and is missing in the sump.";
        if station.kind != StationKind::Tank {
            return format!("{first} {gone}{act}{unsaid}");
        }
        let throttled = breath.days[0].tanks[i].throttled;
        let so = if throttled { "Throttled to what it can carry" } else { "At the flow as set" };
        let then = match safe(d, breath.of(i, worst), i, "its ") {
            Some((go, then, safe)) => {
                let (wider, go) = (if throttled { "enlarge the outlet, " } else { "" }, count(go));
                let act = match then {
                    NOW => format!("add air{NOW}, {wider}or remove {go}"),
                    _ => format!("{wider}remove {go}{then}, or add air"),
                };
                format!("{first} {so}, the water is safe for {safe}: {act}.")
            }
            None if surge.is_some() => format!("{first} {gone}"),
            None => format!("{first} {so} there is still enough oxygen, but anyone may open the valve."),
        };
        let there = match &there[..] {
            [] => String::new(),
            there => format!(" Oxygen is short today in {} too: put more air in now.", listed(there)),
        };
        let dies = dies.map_or(String::new(), |(_, dies)| dies);
        return then + &there + &act + &dies + &unsaid;
    }
    match subject {
        None => "There is nothing to check yet.".into(),
        Some(l) if l.level.state() == State::Over => {
            let what = deadly(d, l, w).or_else(|| crop_words(d, ways, l).map(|c| c + "."));
            let dies = dies.filter(|_| what.is_none());
            let over = levels.iter().filter(|l| l.level.state() == State::Over).count();
            let rest = match over - 1 - there.len() - usize::from(dies.is_some()) {
                0 => String::new(),
                1 => " One more is over.".into(),
                n => format!(" {n} more are over."),
            };
            let what = what.unwrap_or_else(|| {
                let (level, when, then) = stands(l, w);
                let first = format!("{} is over{when}: {}{then}.", l.level.name, level.told(w.system));
                if l.urgency() < SUFFOCATE {
                    return first;
                }
                let enough = match fish_of(d, &breath.days[0], ways.stations[l.station].index) {
                    (all, safe) if safe < all => {
                        format!(" There is enough for {} of {} fish.", count(safe), count(all))
                    }
                    _ => String::new(),
                };
                let there = if there.is_empty() { String::new() } else { format!(", in {} too", listed(&there)) };
                let down = if levels.iter().any(Checked::poisons) {
                    " and the readings of ammonia and nitrite are down"
                } else {
                    ""
                };
                format!("{first}{enough} Put more air in now and feed nothing until there is enough{there}{down}.")
            });
            let act = if l.urgency() == SUFFOCATE { String::new() } else { act };
            let dies = dies.map_or(String::new(), |(_, dies)| dies);
            format!("{what}{act}{dies}{rest}{unsaid}")
        }
        Some(l) if l.level.state() == State::Tight => {
            let tight = || format!("{} is tight{}: {}", l.level.name, l.day.when(), l.level.told(w.system));
            let first = crop_words(d, ways, l).unwrap_or_else(tight);
            format!("Nothing is over. {first}.{soon}{unsaid}")
        }
        Some(l) => {
            let first = enough(&unsaid);
            let fullest = format!("{} is fullest: {}.", l.level.name, l.level.told(w.system));
            format!("{first}, on the worst day too.{soon} {fullest}{unsaid}")
        }
    }
}

/// What the water of its worst day is for a crop, where it is no water for it: no full stop.
fn crop_words(d: &Document, ways: &Ways<'_>, l: &Checked) -> Option<String> {
    if l.level.id != level::ROOTS {
        return None;
    }
    let crop = d.beds[ways.stations[l.station].index].bed.crop;
    let likes = plants::liking(crop, TEMPERATURE.of(l.level.demand.high));
    likes.bad().then(|| format!("{} is {} for {}", sentence(water_of(l.day)), likes.words(), crop.noun))
}

/// Which water a level of a day is of.
const fn water_of(day: Day) -> &'static str {
    match day {
        Day::Coldest => "the coldest water",
        Day::Hottest | Day::Harvest | Day::Group(_) | Day::Aged => "the hottest water",
        Day::Today | Day::Blocked => "the water",
    }
}

/// Of what the fish die, where a level of temperature, salt or pH says so that leads; today's, where they die in that.
fn deadly(d: &Document, l: &Checked, w: Words) -> Option<String> {
    let kills = |l: &Level| l.leads && l.state() == State::Over && l.id != level::OXYGEN;
    let (level, day) = if kills(&l.today) { (&l.today, Day::Today) } else { (&l.level, l.day) };
    let (all, is) = (quality::species(d), level.demand.high);
    let water = match level.id.as_ref() {
        _ if !kills(level) => return None,
        level::SUMMER => "water in the hottest spell",
        _ => water_of(day).trim_start_matches("the "),
    };
    let dies = match l.level.id.as_ref() {
        // The level is that of those who bear least.
        level::SALT => {
            let least = all.min_by(|a, b| salt_borne(a).value.total_cmp(&salt_borne(b).value));
            least.and_then(|s| Deadly::of_salt(s, SALINITY.of(is)))
        }
        level::PH => all.map(|s| Deadly::of_ph(s, RATIO.of(is))).next().flatten(),
        _ => Deadly::worst(all, TEMPERATURE.of(is), SALINITY.of(0.0)),
    };
    Some(sentence(&dies?.advised(water, w)))
}

/// Where a pump that draws from a tank of fish leaves off.
const INTAKE: &str = "Set the intake, and the heater below it, so that enough water stays for the fish.";

/// What is enough, where so much is not checked.
pub(super) fn enough(unsaid: &str) -> &'static str {
    if unsaid.is_empty() { "Enough everywhere" } else { "Enough in all that is checked" }
}

/// [`unsaid`] of a document as its check has it; nothing where it cannot be checked.
pub(super) fn unsaid_of(d: &Document) -> String {
    let said = |d: &Document| {
        let ways = flow::ways(d).ok()?;
        let today = check::solve_on(d, &ways, Day::Today).ok()?;
        Some(unsaid(d, &ways, !uneven(&ways, &today.flows).is_empty()))
    };
    said(d).unwrap_or_default()
}

/// What decides over the fish and is not checked, because nothing is said of it: a sentence, or nothing.
fn unsaid(d: &Document, ways: &Ways<'_>, uneven: bool) -> String {
    let fed = d.ammonia.is_empty() && quality::species(d).next().is_some();
    // No pump draws from an idle one: another vessel, perhaps a header.
    let idle = |i: usize| !ways.is_drawn(ways.place(StationKind::Sump, i));
    let named = |is: &dyn Fn(usize) -> bool| -> Vec<String> {
        (0..d.sumps.len()).filter(|i| is(*i)).map(|i| d.sumps[i].name.clone()).collect()
    };
    let sumps = named(&|i| d.sumps[i].levels.is_empty() && !idle(i));
    let lets = format!("what runs down out of {} when the pump stops", listed(&named(&idle)));
    let room =
        if d.sumps.len() > 1 { format!("the room in {}", listed(&sumps)) } else { "the room in the sump".into() };
    let crowd = d.stocking.is_empty() && quality::species(d).next().is_some();
    let unread = d.ammonia.iter().any(|a| !quality::is_read(&a.0)) && quality::species(d).next().is_some();
    let all = [
        ("the filter", fed),
        ("the readings of a water test", unread),
        (&room, !sumps.is_empty()),
        (&lets, (0..d.sumps.len()).any(idle)),
        ("how many fish the water may hold", crowd),
        ("how pumps that feed one another are kept even", uneven),
        ("how what one pump draws from is kept even", unfit::shares(ways).next().is_some()),
        ("how much a supply pipe that ends under water siphons back", unfit::siphons_back(d, ways).next().is_some()),
    ];
    let what: Vec<_> = all.into_iter().filter(|x| x.1).map(|x| x.0).collect();
    if what.is_empty() {
        String::new()
    } else {
        format!(" Not checked, because nothing is entered: {}.", listed(&what))
    }
}

/// The outlets of settlers and beds, which no field describes, and siphons with more than they are set to.
fn unasked(d: &Document, ways: &Ways<'_>, s: &Solved, w: Words, each: &dyn Fn(f64) -> String) -> Vec<Caution> {
    let (mut all, mut names, mut surface, mut comes) = (vec![], vec![], 0.0, 0.0f64);
    for (i, (station, most)) in ways.stations.iter().zip(&s.flows.most).enumerate() {
        if ways.is_drawn(i) && !ways.others(i) {
            continue;
        }
        surface += match station.kind {
            kind if s.way_out(kind, station.index).is_some() => continue,
            StationKind::Settler => {
                let s = &d.settlers[station.index];
                (s.surface() * s.settling.count).value
            }
            StationKind::Bed => match (&d.beds[station.index], &s.siphons[station.index]) {
                (_, Some(o)) => {
                    if *most > o.breaks.0.value && o.inflow <= o.breaks.0 {
                        let (q, full) = (|q: VolumeRate| w.q(FLOW, q), o.bed.flow_high);
                        let more = if *most > full.value {
                            format!(", and past {} the rest needs an overflow", q(full))
                        } else {
                            String::new()
                        };
                        all.push(Caution::new(format!(
                            "{}: {} may come if the pump sends all it can. From {} on its siphon may never break{more}.",
                            station.name,
                            q(FLOW.of(*most)),
                            q(o.breaks.0)
                        )));
                    }
                    continue;
                }
                (b, None) => b.surface().value,
            },
            _ => continue,
        };
        names.push(station.name.to_string());
        comes = comes.max(*most).max(s.surges[i]);
    }
    if !names.is_empty() {
        let (what, come) = (listed(&names), w.q(FLOW, FLOW.of(comes)));
        let back = if surface > 0.0 && s.sumps.iter().any(Option::is_some) {
            format!(" The water over it runs back when the pump stops and is not counted, {}.", each(surface))
        } else {
            String::new()
        };
        all.push(Caution::new(format!(
            "Not checked: whether the outlet of {what} carries {come}, the most that may come.{back}"
        )));
    }
    all
}

/// Stations that pumps draw from whose water nothing keeps: what comes and what is drawn are never quite the same. An overflow past a pump that cannot take
/// all, or is set to clearly less, keeps it, and so does a pump whose water comes back there; one alone takes what all the others leave.
fn uneven<'a>(ways: &'a Ways<'_>, flows: &flow::Flows) -> Vec<&'a str> {
    let pumps: Vec<usize> = (0..ways.stations.len()).filter(|&s| ways.is_pump(s)).collect();
    let takers = |s: usize| pumps.iter().copied().filter(move |&p| ways.edges.contains(&(s, p)));
    let kept = |s: usize| {
        let comes_back = if ways.others(s) {
            takers(s).all(|p| ways.below(p).contains(&s))
        } else {
            takers(s).all(|p| ways.pools_below(p) == [s])
        };
        let fed = || pumps.iter().filter(|p| ways.below(**p).contains(&s)).all(|p| ways.edges.contains(&(s, *p)));
        let takes = |of: &[f64]| takers(s).map(|p| of[p]).sum::<f64>();
        let (most, set, comes) = (takes(&flows.most), takes(&flows.through), flows.through[s]);
        // What an overflow takes keeps it even, whatever the pump could send if its valve were opened.
        comes_back && (ways.others(s) || fed()) || ways.others(s) && (most <= comes || set <= comes * ENOUGH)
    };
    let loose: Vec<usize> = (0..ways.stations.len()).filter(|&s| ways.is_drawn(s) && !kept(s)).collect();
    let mut all: Vec<usize> = loose.iter().flat_map(|&s| takers(s)).collect();
    all.sort_unstable();
    all.dedup();
    let names = loose.iter().filter(|_| loose.len() > 1 && all.len() > 1);
    names.map(|&s| ways.stations[s].name).collect()
}

/// A surface this many times another is that of another tank.
const UNLIKE: f64 = 1.6;
/// A flood this many times another is that of another bed.
const UNALIKE: f64 = 1.25;
/// Fish this many times as heavy as others may well eat them (judgement: then they are more than twice as long).
const EATEN: f64 = 10.0;

/// Fish kept with others that they would eat.
fn eaten(d: &Document, w: Words) -> impl Iterator<Item = Caution> {
    d.tanks.iter().filter_map(move |t| {
        let all = || t.oxygen.fish.iter().filter(|g| g.total().value > 0.0).map(|g| g.mass);
        let (small, large) = (all().reduce(|a, b| a.min(b))?, all().reduce(|a, b| a.max(b))?);
        let [a, b] = [large, small].map(|m| w.q(SMALL_MASS, m));
        let text = || format!("{}: fish of {a} may well eat those of {b}. Keep them apart.", t.name);
        (large.value >= small.value * EATEN).then(|| Caution::new(text()))
    })
}

/// The salt of the water: the same everywhere, and no more than its fish bear.
fn salt(d: &Document, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let said = d.tanks.iter().map(|t| t.oxygen.salinity).chain(d.ammonia.iter().map(|a| a.0.salinity));
    let (low, high) = said.fold((f64::INFINITY, 0.0), |(a, b), s| (f64::min(a, s.value), f64::max(b, s.value)));
    if high - low > SALT_OFF {
        let [low, high] = [low, high].map(|x| w.q(SALINITY, SALINITY.of(x)));
        all.push(Caution::new(format!("The salt of tanks and water test is put at {low} to {high}: it is one water.")));
    }
    let high = check::salt(d);
    if high.value > SALT_OFF && !d.beds.is_empty() {
        let text = "Salt harms many plants, lettuce and beans first, and stays in the water until it is changed.";
        all.push(Caution::from(text, &climate::SALT_AND_PLANTS));
    }
    for s in quality::species(d) {
        let borne = salt_borne(s);
        if high > borne {
            let text = format!(
                "{} of salt is more than {} can take: {} at most.",
                w.q(SALINITY, high),
                s.noun,
                w.q(SALINITY, borne)
            );
            all.push(Caution::from(text, &climate::SALT_BORNE));
        }
    }
    all
}

/// The fish in one water that are farthest from feeding well in the same.
fn strangers(d: &Document, w: Words) -> Option<Caution> {
    let warm = quality::species(d).max_by(|a, b| a.well_from().value.total_cmp(&b.well_from().value))?;
    let cold = quality::species(d).min_by(|a, b| a.well_to().value.total_cmp(&b.well_to().value))?;
    let well = |s: &Species| w.range(TEMPERATURE, s.well_from(), s.well_to());
    let text = format!(
        "{} and {} do not like the same water: they feed well from {} and from {}.",
        sentence(warm.noun),
        cold.noun,
        well(warm),
        well(cold)
    );
    (warm.well_from() > cold.well_to()).then(|| Caution::from(text, cold.warmth.well_to.source))
}

/// Stations that what is said here cannot be told apart by.
fn names(ways: &Ways<'_>) -> Option<Caution> {
    let names: Vec<_> = ways.stations.iter().map(|s| s.name.trim()).collect();
    let unclear = |&(i, n): &(usize, &&str)| n.is_empty() || names[..i].iter().any(|m| m.eq_ignore_ascii_case(n));
    let (_, name) = names.iter().enumerate().find(unclear)?;
    Some(Caution::new(match *name {
        "" => "A station has no name: give it one, or nobody can tell which is meant.".into(),
        name => format!("Two stations are called {name}: rename one, or nobody can tell them apart."),
    }))
}

/// Beds that hold this many times the medium that is counted (judgement: the top of a bed stays dry, and corners are not fed).
const UNCOUNTED: f64 = 1.75;

/// A filter that stands in the beds, and beds that hold far more of medium than is counted: one was added, perhaps.
fn uncounted(d: &Document, w: Words) -> Option<Caution> {
    let document::Ammonia(filter, FilterAt::Beds) = d.ammonia.first()? else { return None };
    let held = VOLUME.of(d.beds.iter().map(|b| b.medium().value).sum());
    (held.value > filter.media.value * UNCOUNTED).then(|| {
        Caution::new(format!(
            "The beds hold {} of medium, and {} is counted as biofilter. What is wet, fed and ripe counts too: enter it under “Water test and filter”.",
            w.q(VOLUME, held),
            w.q(VOLUME, filter.media)
        ))
    })
}

fn cautions(d: &Document, ways: &Ways<'_>, s: &Solved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let (cold, today, hot) = (d.water.coldest, d.water.today, d.water.hottest);
    if hot < today || hot < cold || cold > today {
        let t = |t| w.q(TEMPERATURE, t);
        all.push(Caution::new(format!(
            "The year's water is given as {} to {}, and today's as {}: today must lie between, or the worst day is not checked.",
            t(cold),
            t(hot),
            t(today)
        )));
    }
    all.extend(names(ways));
    let dry = ways
        .stations
        .iter()
        .zip(&s.flows.through)
        .filter(|(s, q)| **q <= 0.0 && !matches!(s.kind, StationKind::Pump | StationKind::Sump));
    let dry: Vec<_> = dry.map(|(s, _)| s.name.to_string()).collect();
    if !dry.is_empty() {
        all.push(Caution::new(format!("No water comes to {} as things are set.", listed(&dry))));
    }
    let uneven: Vec<String> = uneven(ways, &s.flows).into_iter().map(String::from).collect();
    if !uneven.is_empty() {
        all.push(Caution::new(format!(
            "Pumps that feed one another draw from {} and never quite match: within minutes or hours one of these runs dry and another spills. Give the later pump's station an overflow back to the first; set that pump to less than comes in, on a float switch, its intake high where there are fish.",
            listed(&uneven)
        )));
    }
    let overflows = d.beds.iter().flat_map(|b| &b.siphon).all(|s| s.0.overflow.yes());
    for (i, t) in s.tanks.iter().enumerate() {
        let (name, o, surface) = (&d.tanks[i].name, &d.tanks[i].oxygen, d.tanks[i].outlet.surface);
        let level = o.volume / o.depth;
        let off = (surface / level).value;
        let mine = ways.out_of(ways.place(StationKind::Tank, i)).map(|k| &ways.stations[ways.edges[k].1]);
        let mut drawn = mine.filter(|p| p.kind == StationKind::Pump).peekable();
        if drawn.peek().is_some() && t.gone.is_none() {
            all.push(Caution::from(
                format!("{name}: if its inflow stops, the pump empties it down to the intake. {INTAKE}"),
                &system::DRAWN_FROM,
            ));
        }
        if t.gone.is_some() {
            let give = if overflows { "" } else { " Give every bed an overflow back to it." };
            let unknown = drawn.any(|p| s.pumps[p.index].is_none());
            let pipe = if unknown { " What its supply pipe holds is not counted." } else { "" };
            all.push(Caution::from(
                format!("{name}: a pump draws from it, so a hose or bed that leaks pumps it down to the pump's intake. {INTAKE} With a sump their water stays.{pipe}{give}"),
                &system::DRAWN_FROM,
            ));
        } else if !(1.0 / UNLIKE..=UNLIKE).contains(&off) {
            all.push(Caution::new(format!(
                "{name}: {} of water {} deep has a surface of about {}, but its outlet is given {}. How soon it spills and how much drains back go by the latter.",
                w.q(VOLUME, o.volume),
                w.q(LENGTH, o.depth),
                w.q(AREA, level),
                w.q(AREA, surface)
            )));
        }
        if t.gone.is_none() {
            let outlet = check::outlet_of(d, &d.tanks[i], t.most, s.day).backed(t.backed[1]);
            all.extend(Drain::cautions(&outlet, &t.outlet, w));
        }
        if t.at_lowest_sump && t.inputs.flow < t.flow * ENOUGH {
            all.push(Caution::new(format!(
                "{name}: just before a top-up, beds full, only {} comes. Its oxygen is worked out at that.",
                w.q(FLOW, t.inputs.flow)
            )));
        }
        all.extend(Oxygen::cautions(&t.inputs, &t.oxygen, w));
    }
    for (i, o) in s.settlers.iter().enumerate() {
        let station = ways.place(StationKind::Settler, i);
        let flow = FLOW.of(s.flows.through[station]);
        all.extend(Settling::cautions(&check::settling_of(d, &d.settlers[i], flow, s.settler_feeds[i], s.day), o, w));
    }
    for o in &s.ways_out {
        all.extend(Drain::cautions(&o.inputs, &o.out, w));
    }
    for p in &s.pools {
        let name = ways.stations[p.station].name;
        all.push(Caution::new(format!(
            "{name}: a pump draws from it, so a leak anywhere pumps it down to the pump's intake: set that so that enough stays."
        )));
    }
    for (i, o) in s.beds.iter().enumerate() {
        let bed = check::bed_of(d, &d.beds[i], s.bed_feeds[i], s.day);
        all.extend(BedCalculator::cautions(&bed, o, w));
        let others = quality::species(d).filter(|s| s.id != bed.species.id);
        for c in others.filter_map(|s| unlike(bed.crop, s, w)) {
            if !all.iter().any(|a| a.text == c.text) {
                all.push(c);
            }
        }
        let read = d.ammonia.first().filter(|a| quality::is_read(&a.0));
        all.extend(read.and_then(|a| hungry(bed.crop, a.0.ph, w)));
        let gets = s.heat.as_ref().and_then(|h| check::warmer(d, h)).unwrap_or(hot);
        for (day, t) in [(Day::Hottest, gets), (Day::Coldest, cold)].into_iter().filter(|(_, t)| *t != today) {
            let unborne = unborne(bed.crop, t, w).map(|text| format!("{}{}: {text}", d.beds[i].name, day.when()));
            all.extend(unborne.map(Caution::new));
        }
    }
    for p in s.pumps.iter().flatten() {
        all.extend(PumpCalculator::cautions(&p.inputs, &p.out, w));
    }
    for (b, o) in d.beds.iter().zip(&s.siphons) {
        if let (Some(i), Some(o)) = (b.siphon.first(), o) {
            all.extend(Siphon::cautions(&check::siphon_of(d, i, o.inflow, s.day), o, w));
        }
    }
    for (b, (bed, o)) in d.beds.iter().zip(s.beds.iter().zip(&s.siphons)) {
        let (Some(flood), Some(o)) = (bed.flood, o) else { continue };
        if !(1.0 / UNALIKE..=UNALIKE).contains(&(o.swung / flood).value) {
            all.push(Caution::new(format!(
                "{}: its area, gaps and depth make a flood of {}, the sides, gaps and heights of its siphon {}. It is one bed; the sump goes by the siphon.",
                b.name,
                w.q(VOLUME, flood),
                w.q(VOLUME, o.swung)
            )));
        }
    }
    for u in s.sumps.iter().flatten() {
        let said = Levels::cautions(&u.inputs, &u.out, w).into_iter();
        // Rain is said once, of all the water; with the heat, if anything is said of that.
        let once = |c: &Caution| overflows && c.text == GIVE_OVERFLOW || c.source == Some(&waterways::CLOUDBURST);
        all.extend(said.filter(|c| !once(c)));
    }
    if d.heat.is_empty() {
        all.push(care::rain("If it stands under the open sky,", quality::surface(d), w));
    }
    if s.pumps.iter().any(Option::is_none) && s.sumps.iter().any(Option::is_some) {
        all.push(Caution::new(
            "A supply pipe that is not described empties into the sump when its pump stops, and is not counted: leave room for it.",
        ));
    }
    // What stands so much higher over a surface, and where it can be counted.
    let step = w.step(SHORT_LENGTH, si::mm(10.0));
    let each = |surface: f64| {
        let (v, h) = (w.q(VOLUME, VOLUME.of(surface * step)), w.q(SHORT_LENGTH, SHORT_LENGTH.of(step)));
        format!("{v} for every {h}: measure it, and add it to the other pipes that empty into the sump")
    };
    for tank in unfit::siphons_back(d, ways) {
        all.push(Caution::new(format!(
            "{}: its supply pipe ends under water and siphons it back into the sump when the pump stops, which is not counted. End it above the water, or count {}.",
            tank.name,
            each(tank.outlet.surface.value)
        )));
    }
    all.extend(unasked(d, ways, s, w, &each));
    if let Some(a) = &s.ammonia {
        all.extend(Ammonia::cautions(&a.inputs, &a.out, w));
        all.extend(ammonia::running_out(&a.out, ammonia::buffer_for(!d.beds.is_empty()), w));
    }
    all.extend(quality::species(d).filter_map(|s| handling::too_cold(s, today, w)));
    all.extend(strangers(d, w));
    all.extend(eaten(d, w));
    all.extend(salt(d, w));
    all.extend(uncounted(d, w));
    all.extend(unfit::unfit(d, w));
    all.extend(unfit::shared(d, ways));
    if d.sumps.iter().flat_map(|s| &s.levels).any(|l| l.0.top_up != TopUp::Float) {
        all.push(Caution::from(
            "Tap water for topping up brings chlorine: let it stand in the open for a day or treat it. Standing does not remove chloramine.",
            &climate::EPA_CHLORINE,
        ));
    }
    if let Some(h) = &s.heat {
        if check::warmer(d, h).is_some() {
            all.push(Caution::new(format!(
                "In the hottest spell the water reaches about {} in the afternoon, and the hottest water of the year is given as {}: one is wrong, and hot days are checked at the first.",
                w.q(TEMPERATURE, h.out.afternoon),
                w.q(TEMPERATURE, hot)
            )));
        }
        let by_hand = d.sumps.iter().flat_map(|s| &s.levels).any(|l| l.0.top_up != TopUp::Float);
        if by_hand && check::evaporates_more(d, ways, h).is_some() {
            all.push(Caution::new(format!(
                "In the hottest spell about {} evaporates by the heat part, more than is entered for the sump: that is counted.",
                w.q(DAILY_VOLUME, h.out.evaporated_hot)
            )));
        }
        all.extend(Heat::cautions(&h.inputs, &h.out, w));
    }
    all.push(care::yard());
    let mut once: Vec<Caution> = vec![];
    for c in all {
        if !once.iter().any(|o| o.text == c.text) {
            once.push(c);
        }
    }
    once
}

#[cfg(test)]
mod tests;
