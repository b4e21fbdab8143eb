//! The words of a check: stations with their fill levels, the chain of cause, and repairs that were tried on the whole system.

use super::check::{self, Day, SALT_OFF, Shared, Solved};
use super::document::{self, Document, FilterAt, Tank};
use super::flow::{self, StationKind, Ways};
use super::quality;
use super::repairs;
use super::supply;
use super::worst::{SUFFOCATE, TODAY, merge, of_plants, solve_days, solve_days_with, while_poisonous};
use crate::calculators::ammonia::{self, Ammonia};
use crate::calculators::bed::{Bed as BedCalculator, unborne, unlike};
use crate::calculators::deadly::{Deadly, salt_borne};
use crate::calculators::drain::{Drain, DrainOut};
use crate::calculators::form::FieldError;
use crate::calculators::heat::Heat;
use crate::calculators::levels::{GIVE_OVERFLOW, Levels};
use crate::calculators::outcome::{Brim, Caution, ENOUGH, Level, State};
use crate::calculators::oxygen::{Oxygen, level_of};
use crate::calculators::pump::{Ends, Pump as PumpCalculator};
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon;
use crate::calculators::{Calculator, handling};
use crate::catalog::sources::{climate, system};
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

/// The same with the repairs of an earlier report, for as long as somebody is typing: looking for repairs is most of the work.
///
/// # Errors
/// As [`report`].
pub fn report_so_far(d: &Document, words: Words, before: &Report) -> Result<Report, Vec<FieldError>> {
    made(d, words, Some(before))
}

fn made(d: &Document, words: Words, before: Option<&Report>) -> Result<Report, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    let mut shared = Shared::default();
    let days = solve_days_with(d, &ways, &Day::ALL, &mut shared)?;
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
    let verdict = verdict(d, worst, &breath, subject, words);
    let flows = days[0].flows.edges.iter().map(|q| FLOW.of(*q)).collect();
    let cautions = cautions(d, &ways, &days[0], words);
    Ok(Report { verdict, stations, levels, subject, chain, repairs, flows, cautions })
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
fn told(d: &Document, mut levels: Vec<Checked>) -> Vec<Checked> {
    let unread = d.ammonia.iter().any(|a| !quality::is_read(&a.0));
    levels.retain(|l| match l.level.id.as_ref() {
        "unionised" | "tan" | "nitrite" => !unread,
        "ph" => !unread || l.level.state() == State::Over,
        "warmth" => matches!(l.level.brim, Brim::Between { .. }),
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
                    format!("sends {through} against {head} of lift and friction, {most} at the most")
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
        let words = if dry.value > 0.0 {
            format!("Water {} over its outlet, {} under the rim", l(o.still + rise), l(dry))
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
        let level = self.levels.iter().find(|l| l.station == station && l.level.id == "oxygen");
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
fn stands(l: &Checked) -> (&Level, &'static str, String) {
    if l.day == Day::Today || l.today.state() != State::Over {
        return (&l.level, l.day.when(), String::new());
    }
    let (now, then) = (l.today.percent(), l.level.percent());
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
    let led = matches!(l.level.id.as_ref(), "oxygen" | "turnover") && l.level.state() == State::Over && {
        let tank = &breath.days[0].tanks[breath.ways.stations[l.station].index];
        l.urgency() < TODAY || tank.throttled && tank.oxygen.low_now.is_none()
    };
    let outlet = levels.iter().position(|o| led && o.station == l.station && spills(o));
    Some(outlet.unwrap_or(first))
}

/// Is it the level of an outlet that spills?
fn spills(l: &Checked) -> bool {
    l.level.id == "outlet" && l.level.state() == State::Over
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
            None => format!("It carries {carries}; {} can send {most}. It spills.", pumps_of(ways, first.station)),
        };
        put(State::Over, format!("Outlet of {}: {}", station.name, first.level.percent()), text);
    } else {
        let (level, when, then) = stands(first);
        let unit = level.kind.unit(w.system).symbol;
        let figures = level.figures(w.system);
        let figures = match level.brim {
            Brim::Between { .. } if !unit.is_empty() => figures.replacen(", ", &format!("{THIN}{unit}, "), 1),
            _ => figures,
        };
        put(State::Over, format!("{}: {}", first.level.name, level.percent()), format!("{figures}{when}{then}."));
    }
    if tank && matches!(first.level.id.as_ref(), "outlet" | "oxygen" | "turnover") {
        let days @ [s, _] = breath.of(i, worst);
        // Where there is too little water for fish that are not there, no more is to be said of it.
        if first.level.id == "outlet" || first.level.id == "turnover" && d.tanks[i].fish() > 0.0 {
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
            put(State::Over, format!("Safe so: {safe}"), text);
        }
    }
    if let Some((k, r)) = repairs.iter().enumerate().find(|(_, r)| r.whole) {
        let (head, text) = (r.repair.title.clone(), r.repair.effect.clone());
        links.push(Link { state: State::Enough, head, text, repair: Some(k) });
    }
    links
}

/// What sends water to a station: the pump, or the pumps.
fn pumps_of(ways: &Ways<'_>, station: usize) -> &'static str {
    let sends = |p: &usize| ways.is_pump(*p) && ways.below(*p).contains(&station);
    if (0..ways.stations.len()).filter(sends).count() > 1 { "the pumps" } else { "the pump" }
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
            "There is not oxygen enough for all of them after the evening meal{}; {who} want {floor}.",
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

fn verdict<'a>(d: &Document, worst: &'a Solved, breath: &Breath<'a>, subject: Option<usize>, w: Words) -> String {
    let (ways, levels) = (breath.ways, breath.levels);
    let mut crops: Vec<String> = vec![];
    for (k, l) in levels.iter().enumerate() {
        let said = crop_words(d, ways, l).filter(|_| subject != Some(k)).map(|s| format!(" {s}."));
        crops.extend(said.filter(|s| !crops.contains(s)));
    }
    let unsaid = crops.concat() + &unsaid(d, !uneven(ways, &worst.flows).is_empty());
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
        let pumps = pumps_of(ways, outlet.station);
        let surge = surging(d, ways, worst, outlet);
        let first = match &surge {
            Some(beds) => format!(
                "The outlet of {name} spills while the siphon of {beds} runs: it carries {carries} and would have to carry {most}."
            ),
            None => format!(
                "The outlet of {name} spills before {pumps} {} fully open: it carries {carries}; {most} may come.",
                if pumps.ends_with('s') { "are" } else { "is" }
            ),
        };
        let gone = "What it cannot carry goes over the rim, and is missing in the sump.";
        if station.kind != StationKind::Tank {
            return format!("{first} {gone}{act}{unsaid}");
        }
        let throttled = breath.days[0].tanks[i].throttled;
        let so = if throttled { "Throttled to what it can carry" } else { "With what comes as it is set" };
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
            None => format!("{first} {so} there is still oxygen enough, but anyone may open the valve."),
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
                let (level, when, then) = stands(l);
                let first = format!("{} is over{when}: {}{then}.", l.level.name, level.percent());
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
            let tight = || format!("{} is tight{}: {}", l.level.name, l.day.when(), l.level.percent());
            let first = crop_words(d, ways, l).unwrap_or_else(tight);
            format!("Nothing is over. {first}.{unsaid}")
        }
        Some(l) => {
            let first = if unsaid.is_empty() { "Enough everywhere" } else { "Enough in all that is checked" };
            let fullest = format!("{} is fullest: {}.", l.level.name, l.level.percent());
            format!("{first}, on the worst day too. {fullest}{unsaid}")
        }
    }
}

/// What the water of its worst day is for a crop, where it is no water for it: no full stop.
fn crop_words(d: &Document, ways: &Ways<'_>, l: &Checked) -> Option<String> {
    if l.level.id != "roots" {
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
        Day::Hottest | Day::Harvest | Day::Aged => "the hottest water",
        Day::Today | Day::Blocked => "the water",
    }
}

/// Of what the fish die, where a level of temperature, salt or pH says so that leads; today's, where they die in that.
fn deadly(d: &Document, l: &Checked, w: Words) -> Option<String> {
    let kills = |l: &Level| l.leads && l.state() == State::Over && l.id != "oxygen";
    let (level, day) = if kills(&l.today) { (&l.today, Day::Today) } else { (&l.level, l.day) };
    let (all, is) = (quality::species(d), level.demand.high);
    let water = match level.id.as_ref() {
        _ if !kills(level) => return None,
        "summer" => "water in the hottest spell",
        _ => water_of(day).trim_start_matches("the "),
    };
    let dies = match l.level.id.as_ref() {
        // The level is that of those who bear least.
        "salt" => {
            let least = all.min_by(|a, b| salt_borne(a).value.total_cmp(&salt_borne(b).value));
            least.and_then(|s| Deadly::of_salt(s, SALINITY.of(is)))
        }
        "ph" => all.map(|s| Deadly::of_ph(s, RATIO.of(is))).next().flatten(),
        _ => Deadly::worst(all, TEMPERATURE.of(is), SALINITY.of(0.0)),
    };
    Some(sentence(&dies?.advised(water, w)))
}

/// Where a pump that draws from a tank of fish leaves off.
const INTAKE: &str = "Set that, and the heater below it, so that enough stays for the fish.";

/// What decides over the fish and is not checked, because nothing is said of it: a sentence, or nothing.
fn unsaid(d: &Document, uneven: bool) -> String {
    let fed = d.ammonia.is_empty() && quality::species(d).next().is_some();
    let sumps: Vec<_> = d.sumps.iter().filter(|s| s.levels.is_empty()).map(|s| s.name.clone()).collect();
    let room =
        if d.sumps.len() > 1 { format!("the room in {}", listed(&sumps)) } else { "the room in the sump".into() };
    let crowd = d.stocking.is_empty() && quality::species(d).next().is_some();
    let unread = d.ammonia.iter().any(|a| !quality::is_read(&a.0)) && quality::species(d).next().is_some();
    let all = [
        ("the filter", fed),
        ("the readings of a water test", unread),
        (&room, !sumps.is_empty()),
        ("how many fish the water may hold", crowd),
        ("how pumps one behind the other are kept even", uneven),
    ];
    let what: Vec<_> = all.into_iter().filter(|x| x.1).map(|x| x.0).collect();
    match what[..] {
        [] => String::new(),
        [one] => format!(" Not checked, because nothing is said of it: {one}."),
        [ref rest @ .., last] => {
            format!(" Not checked, because nothing is said of them: {} and {last}.", rest.join(", "))
        }
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
            format!(" What stands over it there runs back when the pump stops and is not counted, {}.", each(surface))
        } else {
            String::new()
        };
        all.push(Caution::new(format!(
            "Whether the way out of {what} carries {come}, the most that may come, is not checked.{back}"
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
/// What the hottest water may be off, K.
const WARMER: f64 = 1.0;

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
                "{} of salt is more than {} are counted on to bear: {} at the most.",
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
        "" => "A part of the system has no name: give it one, or nobody can tell what is said of it.".into(),
        name => format!(
            "Two parts of the system are called {name}: give one another name, or nobody can tell them apart here."
        ),
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
            "The beds hold {} of medium, and {} is counted as biofilter. What is wet, fed and ripe counts too: type it with the water test and filter.",
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
            "The year's water is put at {} to {}, and today's at {}: the hottest must be the hottest and the coldest the coldest, or the worst day is not checked.",
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
            "Pumps one behind the other draw from {} and never send quite the same: one of these runs dry and another spills, within hours or minutes. Give the later pump's an overflow back to the first, set that pump to less than comes, on a float switch, with its intake high where there are fish.",
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
                format!(
                    "{name}: a pump draws from it, and goes on down to its intake when what fills it stops. {INTAKE}"
                ),
                &system::DRAWN_FROM,
            ));
        }
        if t.gone.is_some() {
            let give = if overflows { "" } else { " Give every bed an overflow back to it." };
            let unknown = drawn.any(|p| s.pumps[p.index].is_none());
            let pipe = if unknown { " What its supply pipe holds is not counted." } else { "" };
            all.push(Caution::from(
                format!("{name}: a pump draws from it, so a hose or bed that leaks pumps it down to the pump's intake. {INTAKE} A sump keeps their water where it is.{pipe}{give}"),
                &system::DRAWN_FROM,
            ));
        } else if !(1.0 / UNLIKE..=UNLIKE).contains(&off) {
            all.push(Caution::new(format!(
                "{name}: {} of water {} deep have a surface of about {}, but its outlet is reckoned with {}. How soon it spills and how much drains back go by that.",
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
        if t.lean && t.inputs.flow < t.flow * ENOUGH {
            all.push(Caution::new(format!(
                "{name}: only {} come before a top-up with the beds full. Its oxygen is worked out at that.",
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
        for (day, t) in [(Day::Hottest, hot), (Day::Coldest, cold)].into_iter().filter(|(_, t)| *t != today) {
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
                "{}: by its area, gaps and depth {} flood and drain, by the sides, gaps and heights of its siphon {}. It is one bed; the sump goes by the siphon.",
                b.name,
                w.q(VOLUME, flood),
                w.q(VOLUME, o.swung)
            )));
        }
    }
    for u in s.sumps.iter().flatten() {
        let said = Levels::cautions(&u.inputs, &u.out, w).into_iter();
        all.extend(said.filter(|c| !(overflows && c.text == GIVE_OVERFLOW)));
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
    let drowned = |(t, _): &(usize, &Tank)| {
        let to = ways.place(StationKind::Tank, *t);
        d.edges.iter().zip(&ways.edges).any(|(e, w)| w.1 == to && e.run.iter().any(|r| r.0.ends == Ends::Under))
    };
    for (_, tank) in d.tanks.iter().enumerate().filter(drowned).filter(|_| s.sumps.iter().any(Option::is_some)) {
        all.push(Caution::new(format!(
            "{}: its supply pipe ends under water and siphons it back into the sump when the pump stops, which is not counted. End it above the water; or it is {}.",
            tank.name,
            each(tank.outlet.surface.value)
        )));
    }
    all.extend(unasked(d, ways, s, w, &each));
    if let Some(a) = &s.ammonia {
        all.extend(Ammonia::cautions(&a.inputs, &a.out, w));
        all.extend(ammonia::running_out(&a.out, w));
    }
    all.extend(quality::species(d).filter_map(|s| handling::too_cold(s, today, w)));
    all.extend(strangers(d, w));
    all.extend(salt(d, w));
    all.extend(uncounted(d, w));
    if d.sumps.iter().flat_map(|s| &s.levels).any(|l| l.0.top_up != TopUp::Float) {
        all.push(Caution::from(
            "Tap water for topping up brings chlorine: let it stand in the open for a day or treat it. Chloramine does not go by standing.",
            &climate::EPA_CHLORINE,
        ));
    }
    if let Some(h) = &s.heat {
        if h.out.afternoon.value > hot.value + WARMER {
            all.push(Caution::new(format!(
                "In the hottest spell the water reaches about {} in the afternoon, and the hottest water of the year is put at {}: one of the two is wrong, and all else is checked at the latter.",
                w.q(TEMPERATURE, h.out.afternoon),
                w.q(TEMPERATURE, hot)
            )));
        }
        all.extend(Heat::cautions(&h.inputs, &h.out, w));
    }
    let mut once: Vec<Caution> = vec![];
    for c in all {
        if !once.iter().any(|o| o.text == c.text) {
            once.push(c);
        }
    }
    once
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::outcome::Span;
    use crate::system::{demo, growing::growing};
    use crate::units::si::mm;

    fn said(d: &Document, of: &str) -> Option<String> {
        let all = report(d, Words::default()).expect("checks").cautions;
        all.into_iter().find(|c| c.text.contains(of)).map(|c| c.text.to_string())
    }

    #[test]
    fn parts_that_cannot_be_told_apart_are_said() {
        let mut d = demo::by_id("enlarged").expect("there").document();
        assert!(said(&d, "tell them apart").is_none() && said(&d, "has no name").is_none());
        d.tanks[1].name = format!(" {} ", d.tanks[0].name.to_ascii_uppercase());
        assert!(said(&d, "tell them apart").is_some());
        d.tanks[1].name = " ".into();
        assert!(said(&d, "has no name").is_some());
    }

    /// By hand: 3 m2 of raft and a settler 580 mm across hold 33 L for every 10 mm.
    #[test]
    fn outlets_that_nobody_describes_are_named() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        d.settlers[0].settling.diameter = SHORT_LENGTH.of(mm(580.0));
        let text = said(&d, "is not checked").expect("said");
        assert!(text.contains("Settler and Raft") && text.contains("1\u{202f}700\u{202f}L/h"), "{text}");
        assert!(text.contains("32.6\u{202f}L for every 10\u{202f}mm"), "{text}");
        d.sumps[0].levels.clear();
        assert!(!said(&d, "is not checked").expect("said").contains("for every"));
        // A drowned supply pipe: 1.5 m2 of trough.
        let mut d = demo::by_id("enlarged").expect("there").document();
        d.edges[1].run[0].0.ends = Ends::Under;
        assert!(said(&d, "siphons it back").expect("said").contains("15\u{202f}L for every 10\u{202f}mm"));
        // A siphon is checked, at what it is set to: what may come is said.
        let rig = demo::by_id("classroom").expect("there").document();
        assert!(said(&rig, "is not checked").is_none());
        assert!(said(&rig, "its siphon may never break").expect("said").starts_with("Herb bed: "));
    }

    /// No outlet, no word of one: what is said is how far the beds draw the tank down, and what to do.
    #[test]
    fn a_tank_without_an_outlet_is_told_as_one() {
        let mut d = check::tests::pump_in_tank();
        let words = |d: &Document| {
            let r = report(d, Words::default()).expect("checks");
            let water = r.stations.iter().find(|s| s.id == "tank").and_then(|s| s.water.clone()).expect("known");
            water.words.replace(THIN, " ")
        };
        // By hand: 57.9 of 250 L, of 500 mm.
        assert!(words(&d).ends_with("116 mm lower, 384 mm over the floor"), "{}", words(&d));
        let text = said(&d, "a pump draws from it").expect("said");
        assert!(!text.contains("overflow") && said(&d, "vent").is_none() && said(&d, "spills").is_none(), "{text}");
        let s = &mut d.beds[0].siphon[0].0;
        (s.length, s.width, s.overflow) = (LENGTH.of(2.0), LENGTH.of(1.2), crate::calculators::form::YesNo::No);
        assert!(said(&d, "a pump draws from it").expect("said").ends_with("Give every bed an overflow back to it."));
        let r = report(&d, Words::default()).expect("checks");
        assert_eq!(r.foremost().map(|l| l.level.name.as_ref()), Some("Water for the pump in Fish tank"));
        let whole = |of: &str| r.repairs.iter().any(|t| t.repair.title.contains(of));
        assert!(whole("Fish tank: volume") || whole("water"), "{:#?}", r.repairs);
        assert!(super::super::worst::worst(&d).expect("solves").blocked.is_empty());
        let proofs = super::super::prove::proofs(&d, Words::default()).expect("a list").proofs;
        let keys: Vec<&str> = proofs.iter().map(|p| p.key.as_str()).collect();
        assert!(
            keys.contains(&"lowest tank")
                && ["bore tank", "level tank", "blocked tank", "stop"].iter().all(|k| !keys.contains(k))
        );
    }

    /// The water over an outlet and what is dry over it are the height of the rim over that outlet, wherever still water stands.
    #[test]
    fn water_is_told_over_the_outlet() {
        use crate::calculators::drain::{Arrangement, FarEnd};
        let mm_of = |d: &Document| -> f64 {
            let r = report(d, Words::default()).expect("checks");
            let water = r.stations.iter().find(|s| s.id == "trough").and_then(|s| s.water.clone()).expect("known");
            water.words.replace(THIN, " ").split(' ').filter_map(|x| x.parse::<f64>().ok()).sum()
        };
        let mut d = check::tests::pair();
        assert!((mm_of(&d) - 300.0).abs() <= 2.0, "{}", mm_of(&d));
        let o = &mut d.tanks[0].outlet;
        (o.arrangement, o.far_end) = (Arrangement::Wall, FarEnd::Under);
        (o.hole_depth, o.tail) = (SHORT_LENGTH.of(mm(300.0)), SHORT_LENGTH.of(mm(250.0)));
        assert!((mm_of(&d) - 300.0).abs() <= 2.0, "{}", mm_of(&d));
    }

    /// Beds that have an overflow are not told to get one.
    #[test]
    fn an_overflow_that_is_there_is_not_asked_for() {
        let mut d = demo::by_id("classroom").expect("there").document();
        d.beds.iter_mut().flat_map(|b| &mut b.siphon).for_each(|s| s.0.overflow = crate::calculators::form::YesNo::Yes);
        assert!(said(&d, "Give every bed an overflow").is_none());
        d.beds[0].siphon[0].0.overflow = crate::calculators::form::YesNo::No;
        assert!(said(&d, "Give every bed an overflow").is_some());
    }

    /// Two stations may have one name: where the water goes is told by the station, not by what it is called.
    #[test]
    fn water_goes_to_stations_not_to_names() {
        let mut d = demo::by_id("enlarged").expect("there").document();
        d.tanks[1].name = d.tanks[0].name.clone();
        let r = report(&d, Words::default()).expect("checks");
        for s in &r.stations {
            let goes: Vec<&str> = r.onward(s).map(|(to, _)| r.stations[to].id.as_str()).collect();
            let drawn: Vec<&str> = d.edges.iter().filter(|e| e.from == s.id).map(|e| e.to.as_str()).collect();
            assert_eq!(goes, drawn, "from {}", s.id);
        }
        assert!(r.onward(&r.stations[0]).all(|(to, said)| said.ends_with(&format!(" to {}", r.stations[to].name))));
    }

    /// What is over does not hide what nobody said, and every sump without a size is named.
    #[test]
    fn an_over_verdict_names_what_is_not_checked() {
        let verdict = |d: &Document| report(d, Words::default()).expect("checks").verdict;
        let mut d = demo::by_id("courtyard").expect("there").document();
        d.tanks[0].oxygen.fish[0].count *= 9.0;
        d.ammonia.clear();
        assert!(verdict(&d).contains(" over") && verdict(&d).ends_with("the filter."), "{}", verdict(&d));
        let mut spills = demo::by_id("enlarged").expect("there").document();
        spills.stocking.clear();
        assert!(verdict(&spills).ends_with("how many fish the water may hold."), "{}", verdict(&spills));
        let mut d = demo::by_id("courtyard").expect("there").document();
        let low = crate::system::document::Sump { id: "low".into(), name: "Low sump".into(), levels: vec![] };
        d.sumps.push(low);
        let last = d.edges.iter_mut().find(|e| e.to == "sump").expect("an edge");
        last.to = "low".into();
        d.edges.push(crate::system::document::Edge { from: "low".into(), to: "sump".into(), ..Default::default() });
        assert!(verdict(&d).ends_with("nothing is said of it: the room in Low sump."), "{}", verdict(&d));
    }

    fn said_of(d: &Document) -> Report {
        report(d, Words::default()).expect("checks")
    }

    /// A second bed of medium whose medium no filter counts.
    #[test]
    fn medium_that_is_not_counted_is_asked_about() {
        let mut d = demo::by_id("classroom").expect("there").document();
        assert!(said(&d, "is counted as biofilter").is_none());
        d.ammonia[0].0.media = d.beds[0].medium() * 0.5;
        assert!(said(&d, "is counted as biofilter").is_some());
        d.ammonia[0].1 = FilterAt::Sumps;
        assert!(said(&d, "is counted as biofilter").is_none());
    }

    /// Water that kills is said and stands first, whatever else is fuller and on whatever day it is.
    #[test]
    fn water_that_kills_leads() {
        let courtyard = || demo::by_id("courtyard").expect("there").document();
        let t = |c: f64| TEMPERATURE.of(si::celsius(c));
        let starts = |d: &Document, with: &str| {
            let r = said_of(d);
            assert!(r.verdict.replace(THIN, " ").starts_with(with), "{}", r.verdict);
            assert!(r.levels[0].level.leads && r.subject == Some(0), "{:?}", r.levels[0]);
            // What leaves it so is no better than what does not.
            let kills = |t: &Tried| {
                let mut after = d.clone();
                t.repair.edits.iter().for_each(|e| _ = crate::calculators::form::apply(&mut after, e));
                levels(&after).expect("solves").iter().any(|l| l.level.leads)
            };
            let all: Vec<bool> = r.repairs.iter().map(kills).collect();
            assert!(all.first() == Some(&false) && all.is_sorted(), "{all:?}");
        };
        let mut hot = courtyard();
        hot.water.hottest = t(36.0);
        starts(&hot, "Channel catfish die above 35 °C, and the hottest water is 36 °C. Other fish, or other water.");
        assert!(said_of(&hot).levels[1].level.fullness() > said_of(&hot).levels[0].level.fullness());
        assert_eq!(said_of(&hot).chain[0].head, "Water temperature in Trough: so hot that they die");
        // So cold that they die on one day, and on another only so cold that they do not feed; and a pump that is asked too much.
        let mut cold = courtyard();
        (cold.water.today, cold.water.coldest) = (t(10.0), t(0.5));
        cold.edges.iter_mut().for_each(|e| e.flow *= 4.0);
        starts(&cold, "Channel catfish die below 1 °C, and the coldest water is 0.5 °C.");
        assert!(said_of(&cold).levels.iter().any(|l| l.level.id == "pump" && l.level.state() == State::Over));
        let mut salt = courtyard();
        salt.tanks[0].oxygen.salinity = SALINITY.of(12.0);
        starts(&salt, "Channel catfish are counted on to bear 9 g/L of salt at the most, and the water holds 12 g/L.");
        assert!(said(&salt, "Salt harms many plants").is_some() && said(&courtyard(), "Salt").is_none());
        let free = &said_of(&salt).repairs[0].repair;
        assert!(free.title.contains("free of salt") && free.level.id == "salt", "{free:?}");
        // A pH past what fish bear, by the numbers and the words of the water test's page.
        let at = |ph: f64, alkalinity: f64| {
            let mut d = courtyard();
            let a = &mut d.ammonia[0].0;
            (a.ph, a.alkalinity) = (RATIO.of(ph), CONCENTRATION.of(si::mg_l(alkalinity)));
            a.tan = CONCENTRATION.of(si::mg_l(0.05));
            d
        };
        for (ph, alkalinity, back) in [
            (4.5, 100.0, "Bring the pH to 6.5, in steps of 0.3 a day"),
            (4.5, 5.0, "Bring the pH to 6.5, in steps of 0.3 a day: with air, and with buffer up to 25"),
            (4.9, 2.0, "Buffer up to "),
            (9.6, 150.0, "Find what lifts the pH to 9.6"),
        ] {
            let d = at(ph, alkalinity);
            starts(&d, &format!("Channel catfish are counted on to bear pH 5 to 9, and the water is at {ph}."));
            let r = said_of(&d);
            assert!(
                r.levels[0].level.id == "ph" && r.verdict.contains("Feed nothing until the pH is back."),
                "{}",
                r.verdict
            );
            assert!(r.repairs[0].repair.title.contains(back), "{}", r.repairs[0].repair.title);
            // Water that still kills is not said to be all right.
            let (i, set) = (&d.ammonia[0].0, "ammonia.0.ph");
            for t in r.repairs.iter().filter(|t| t.whole) {
                let ph = t.repair.edits.iter().rfind(|e| e.path == set).map(|e| e.to.clone());
                let is = if let Some(crate::calculators::form::EditValue::Si(x)) = ph { x } else { i.ph.value };
                assert!((5.0..=9.0).contains(&is), "{}", t.repair.title);
            }
        }
        let well = said_of(&at(7.0, 100.0));
        assert!(well.levels.iter().any(|l| l.level.id == "ph" && l.level.state() == State::Enough && !l.level.leads));
        // Where there are no fish nothing dies.
        let mut empty = at(4.5, 100.0);
        empty.tanks[0].oxygen.fish.clear();
        assert!(said_of(&empty).levels.iter().all(|l| l.level.id != "ph"));
        hot.tanks[0].oxygen.fish.clear();
        assert!(said_of(&hot).levels.iter().all(|l| !l.level.leads));
    }

    /// What kills within minutes today is told before what kills in winter, and before salt that some fish get used to.
    #[test]
    fn minutes_come_before_months() {
        let stock = |d: &mut Document, tank: usize, fish: f64, mass: f64| {
            let o = &mut d.tanks[tank].oxygen;
            o.air.mode = crate::calculators::air::AirMode::None;
            let g = &mut o.fish[0];
            (g.count, g.mass) = (COUNT.of(fish), SMALL_MASS.of(si::g(mass)));
            g.biomass = MASS.of(g.mass.value * fish);
        };
        let leads = |d: &Document, after: &str| {
            let r = said_of(d);
            let verdict = r.verdict.replace(THIN, " ");
            let name = &r.levels[0].level.name;
            assert!(r.subject == Some(0) && verdict.starts_with("Oxygen in Trough is over"), "{verdict}");
            assert!(verdict.contains("Put more air in now") && verdict.contains(after), "{verdict}");
            assert_eq!(r.repairs[0].repair.level.name, *name, "{:?}", r.repairs[0]);
            verdict
        };
        let mut d = demo::by_id("enlarged").expect("there").document();
        stock(&mut d, 0, 300.0, 300.0);
        let deadly = d.tanks[0].oxygen.fish[0].species.dies_below().value - 0.1;
        d.water.coldest = TEMPERATURE.of(deadly);
        let verdict = leads(&d, " Channel catfish die below ");
        assert!(verdict.contains(", and the coldest water is "), "{verdict}");
        assert!(verdict.contains("There is enough for 10 of 300 fish.") && !verdict.contains("by then"), "{verdict}");
        // Where an outlet that spills is the cause, the other tank is named all the same.
        stock(&mut d, 1, 400.0, 300.0);
        d.tanks.swap(0, 1);
        let verdict = said_of(&d).verdict;
        let [spills, too] = ["The outlet of New tank spills", " Oxygen is short today in Trough too: put more air in"];
        assert!(verdict.starts_with(spills) && verdict.contains(too) && verdict.contains("add air now, "), "{verdict}");
        assert!(!verdict.contains("by then") && verdict.contains(" Channel catfish die below"), "{verdict}");
        // Where nothing else is wrong today, the winter leads.
        let mut d = demo::by_id("courtyard").expect("there").document();
        d.water.coldest = TEMPERATURE.of(deadly);
        assert!(said_of(&d).verdict.starts_with("Channel catfish die below"), "{}", said_of(&d).verdict);
        // Two tanks suffocate: both are named.
        let mut d = demo::by_id("enlarged").expect("there").document();
        stock(&mut d, 0, 300.0, 300.0);
        stock(&mut d, 1, 200.0, 300.0);
        d.edges.iter_mut().for_each(|e| e.run.clear());
        d.pumps[0].curve.clear();
        d.tanks[1].outlet.outlets = COUNT.of(8.0);
        d.edges.iter_mut().filter(|e| e.from == "pump").for_each(|e| e.flow = FLOW.of(si::l_h(700.0)));
        d.tanks[0].oxygen.salinity = SALINITY.of(9.3);
        let verdict = leads(&d, "feed nothing until there is enough, in New tank too. Channel catfish are counted on");
        assert!(!verdict.contains("by then"), "{verdict}");
    }

    /// Poison that was read today is told before what a harvest will ask; what is over today is told with today's figure first.
    #[test]
    fn today_comes_before_the_harvest() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let a = &mut d.ammonia[0].0;
        (a.nitrite, a.media) = (CONCENTRATION.of(si::mg_l(4.0)), a.media / 20.0);
        let r = said_of(&d);
        let biofilter = r.levels.iter().find(|l| l.level.id == "filter").expect("a filter");
        assert!(biofilter.level.fullness() > r.levels[0].level.fullness(), "{:?}", r.levels);
        assert!(r.verdict.starts_with("Nitrite nitrogen is over: "), "{}", r.verdict);
        d.ammonia[0].0.nitrite *= 0.0;
        let (r, harvest) = (said_of(&d), " at harvest in the hottest water");
        assert!(r.levels[0].day == Day::Harvest && r.levels[0].today.state() == State::Over, "{:?}", r.levels[0]);
        let (now, then) = (r.levels[0].today.percent(), r.levels[0].level.percent());
        let said = format!("Biofilter is over today: {now}, and {then}{harvest}.");
        assert!(now != then && r.verdict.starts_with(&said), "{}: {said}", r.verdict);
        assert!(r.chain[0].text.ends_with(&format!(" today, and {then}{harvest}.")), "{:?}", r.chain);
    }

    /// A group of no fish asks nothing of the water.
    #[test]
    fn no_fish_are_not_too_warm() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let mut none = d.tanks[0].oxygen.fish[0].clone();
        none.species = crate::catalog::species::Species::by_id("trout").expect("there");
        (none.count, none.biomass) = (COUNT.of(0.0), MASS.of(0.0));
        d.water.hottest = TEMPERATURE.of(si::celsius(26.0));
        let warmth = |d: &Document| {
            let all = said_of(d).levels.into_iter().filter(|l| l.level.id == "warmth");
            all.map(|l| l.level.state()).collect::<Vec<_>>()
        };
        let before = warmth(&d);
        // In front, so that the fish that there are keep a level of their own.
        d.tanks[0].oxygen.fish.insert(0, none);
        assert_eq!(warmth(&d), before);
        d.tanks[0].oxygen.fish[0].biomass = MASS.of(1.0);
        d.tanks[0].oxygen.fish[0].count = COUNT.of(5.0);
        assert_eq!(warmth(&d).iter().filter(|s| **s == State::Over).count(), 1);
    }

    /// The salt is told against the fish that bear least of it, wherever they stand.
    #[test]
    fn salt_is_told_of_the_fish_that_bear_least() {
        let mut d = demo::by_id("enlarged").expect("there").document();
        for (t, id) in d.tanks.iter_mut().zip(["barramundi", "trout"]) {
            t.oxygen.salinity = SALINITY.of(36.0);
            t.oxygen.fish[0].species = crate::catalog::species::Species::by_id(id).expect("there");
        }
        let t = |c: f64| TEMPERATURE.of(si::celsius(c));
        (d.water.coldest, d.water.today, d.water.hottest) = (t(16.0), t(18.0), t(21.0));
        let verdict = said_of(&d).verdict.replace(THIN, " ");
        let said = "Rainbow trout are counted on to bear 9 g/L of salt at the most, and the water holds 36 g/L.";
        assert!(verdict.contains(said), "{verdict}");
    }

    /// Fish that must not be netted in water as cold as today's: who is told to take some out is told so.
    #[test]
    fn fish_are_not_netted_in_cold_water() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let g = &mut d.tanks[0].oxygen.fish[0];
        g.species = crate::catalog::species::Species::by_id("tilapia").expect("there");
        g.count *= 3.0;
        let told = |d: &Document| {
            let repairs = said_of(d).repairs;
            let fewer = repairs.iter().find(|t| t.repair.title.contains(" fish instead of ")).expect("offered");
            let grown = growing(d).expect("solves").sentences(d, Words::default()).join(" ");
            let also = fewer.repair.also.clone().unwrap_or_default();
            [said(d, "Do not net").is_some(), also.contains(quality::NOT_NETTED), grown.contains(quality::NOT_NETTED)]
        };
        assert_eq!(told(&d), [false; 3]);
        d.water.today = TEMPERATURE.of(si::celsius(17.0));
        assert_eq!(told(&d), [true; 3]);
    }

    /// The hottest week is asked of the plants too.
    #[test]
    fn water_too_hot_for_the_plants_is_said() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        assert!(said(&d, "Lettuce bears").is_none() && !said_of(&d).verdict.contains("lettuce"));
        d.water.hottest = TEMPERATURE.of(si::celsius(29.0));
        let text = said(&d, "Lettuce bears").expect("said").replace(THIN, " ");
        assert_eq!(text, "Raft in the hottest water: Lettuce bears 3 to 26 °C; at 29 °C this water is too hot for it.");
        let r = said_of(&d);
        assert!(r.verdict.contains("The hottest water is too hot for lettuce."), "{}", r.verdict);
        // Something else may grow in that season: tight, and nothing to repair.
        let roots = |r: &Report| r.levels.iter().find(|l| l.level.id == "roots").expect("a level").clone();
        assert_eq!((roots(&r).level.state(), roots(&r).day), (State::Tight, Day::Hottest));
        // What is so today is over, and is never told before what harms fish.
        (d.water.today, d.water.coldest) = (d.water.hottest, TEMPERATURE.of(si::celsius(20.0)));
        let r = said_of(&d);
        assert_eq!((roots(&r).level.state(), roots(&r).day), (State::Over, Day::Today));
        let other = |r: &Report| r.repairs.iter().any(|t| t.repair.title == "Raft: basil instead of lettuce");
        assert!(other(&r), "{:#?}", r.repairs);
        d.tanks[0].oxygen.fish[0].count *= 4.0;
        let r = said_of(&d);
        assert!(r.subject.is_some_and(|k| !of_plants(&r.levels[k].level)), "{}", r.verdict);
        assert!(r.verdict.ends_with("The water is too hot for lettuce."), "{}", r.verdict);
    }

    /// Basil bears 18 °C and dies in the cold; in trout water it is over on every day, and no page says that all is enough.
    #[test]
    fn a_crop_that_bears_no_day_of_the_year_is_said() {
        let mut d = demo::by_id("hill_trout").expect("there").document();
        let enough = said_of(&d);
        assert!(!enough.verdict.contains("too cold for"), "{}", enough.verdict);
        d.beds[0].bed.crop = crate::catalog::crops::CROPS.iter().find(|c| c.id == "basil").expect("there");
        let r = said_of(&d);
        let roots = r.levels.iter().find(|l| l.level.id == "roots").expect("a level");
        assert_eq!((roots.level.percent().as_str(), roots.day), ("so cold that the crop dies", Day::Coldest));
        assert!(r.verdict.contains("too cold for basil") && !r.verdict.contains("Enough"), "{}", r.verdict);
        // What is offered bears every day.
        let other = r.repairs.iter().find(|t| t.repair.title.contains("instead of basil")).expect("another crop");
        assert!(other.repair.level.state() != State::Over, "{other:?}");
    }

    /// Fish that the oxygen carries are not told to go because their number is not whole, and those that must go, when.
    #[test]
    fn fish_that_are_safe() {
        let mut d = demo::by_id("enlarged").expect("there").document();
        let verdict = said_of(&d).verdict;
        assert!(
            verdict.contains(" fish at harvest in the hottest water: ") && verdict.contains(" by then, or"),
            "{verdict}"
        );
        // 23 of 0.22 kg over 0.22 kg are a hair less than 23.
        for n in 1..24 {
            let g = &mut d.tanks[0].oxygen.fish[0];
            (g.count, g.mass) = (COUNT.of(f64::from(n)), SMALL_MASS.of(si::g(220.0)));
            let s = check::solve(&d, Day::Today).expect("solves");
            let (all, safe) = fish_of(&d, &s, 0);
            assert!(s.tanks[0].oxygen.carries > s.tanks[0].oxygen.biomass && all == safe, "{n}: {safe}");
        }
    }

    /// Too little water for no fish: no link says that it is enough.
    #[test]
    fn an_empty_tank_has_no_oxygen_to_tell_of() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        d.tanks[0].oxygen.fish.clear();
        d.edges.iter_mut().for_each(|e| e.flow /= 4.0);
        let chain = said_of(&d).chain;
        assert!(chain.iter().all(|l| !l.text.contains("It holds no fish")), "{chain:?}");
    }

    /// Plants count today alone, also where the worst day is looked for.
    #[test]
    fn plants_make_no_day_the_worst() {
        let d = demo::by_id("courtyard").expect("there").document();
        let at = |day| check::solve(&d, day).expect("solves");
        let (today, mut harvest) = (at(Day::Today), at(Day::Harvest));
        harvest.levels.clone_from(&today.levels);
        let bed = harvest.levels.iter_mut().find(|l| l.1.id == "bed").expect("a bed");
        bed.1.demand = Span { low: bed.1.demand.low * 9.0, high: bed.1.demand.high * 9.0 };
        assert!(bed.1.state() == State::Over && !worse(&harvest, &today));
    }
}
