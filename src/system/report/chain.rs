//! The chain of one cause: from what is over to what it does to the fish, and what ends it.

use super::plain::plain;
use super::{Checked, Link, Tried, count};
use crate::calculators::outcome::{Brim, Level, State};
use crate::calculators::oxygen::level_of;
use crate::system::check::{Day, Solved};
use crate::system::document::Document;
use crate::system::flow::{StationKind, Ways};
use crate::system::{level, supply};
use crate::units::{kinds::*, *};

/// Every tank on the day that counts for its oxygen, which need not be the worst of all.
pub(super) struct Breath<'a> {
    pub(super) ways: &'a Ways<'a>,
    pub(super) days: &'a [Solved],
    pub(super) levels: &'a [Checked],
}

impl<'a> Breath<'a> {
    /// Today where there is too little then already, and the day that is worst.
    pub(super) fn of(&self, tank: usize, otherwise: &'a Solved) -> [&'a Solved; 2] {
        let station = self.ways.place(StationKind::Tank, tank);
        let level = self.levels.iter().find(|l| l.station == station && l.level.id == level::OXYGEN);
        let worst = level.and_then(|l| self.days.iter().find(|s| s.day == l.day)).unwrap_or(otherwise);
        let over = level.is_some_and(|l| l.today.state() == State::Over);
        [if over { &self.days[0] } else { worst }, worst]
    }
}

/// Fish of a tank, and how many of them its oxygen carries.
pub(super) fn fish_of(d: &Document, s: &Solved, tank: usize) -> (f64, f64) {
    let o = &s.tanks[tank].oxygen;
    let all = d.tanks[tank].fish();
    let safe = if o.biomass.value > 0.0 { all * (o.carries / o.biomass).value.clamp(0.0, 1.0) } else { all };
    // A share that is a hair under one, or fish by weight that come to no whole number, take none of them out.
    (all.round(), if o.carries >= o.biomass { all.round() } else { (safe + 1e-9).floor() })
}

/// Until when fish must be gone that are not safe today.
pub(super) const NOW: &str = " now";

/// How many fish of a tank are safe, and when: how many must be gone, until when, and the words. Nothing if all are.
pub(super) fn safe(d: &Document, days: [&Solved; 2], tank: usize, of: &str) -> Option<(f64, &'static str, String)> {
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
pub(super) fn stands(l: &Checked, w: Words) -> (&Level, &'static str, String) {
    if l.day == Day::Today || l.today.state() != State::Over {
        return (&l.level, l.day.when(), String::new());
    }
    let (now, then) = (l.today.large(w.system), l.level.large(w.system));
    let then = if now == then { String::new() } else { format!(", and {then}{}", l.day.when()) };
    (&l.today, " today", then)
}

/// Is it the level of an outlet that spills?
pub(super) fn spills(l: &Checked) -> bool {
    l.level.id == level::OUTLET && l.level.state() == State::Over
}

/// The chain of one cause, and what ends it.
pub(super) fn chain<'a>(
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
        let said = plain(level, station.name, w).unwrap_or_else(|| {
            let figures = level.figures(w.system);
            match (level.brim, level.measured) {
                (Brim::Between { .. }, _) if !unit.is_empty() => figures.replacen(", ", &format!("{THIN}{unit}, "), 1),
                (_, Some(m)) => sentence(&format!("{}: {}", m.asks(w.system), level.shares(w.system))),
                _ => figures,
            }
        });
        let head = format!("{}: {}", first.level.name, level.large(w.system));
        put(State::Over, head, format!("{said}{when}{then}."));
    }
    if tank && matches!(first.level.id.as_ref(), level::OUTLET | level::OXYGEN | level::TURNOVER) {
        let days @ [s, _] = breath.of(i, worst);
        // Where there is too little water for fish that are not there, no more is to be said of it.
        if first.level.id == level::OUTLET || first.level.id == level::TURNOVER && d.tanks[i].fish() > 0.0 {
            let t = &today.tanks[i];
            let turns = number((t.flow / d.tanks[i].oxygen.volume).value * si::HOUR, 2);
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
pub(super) fn pumps_of(ways: &Ways<'_>, station: usize) -> [&'static str; 2] {
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
pub(super) fn carried(outlet: &Level, w: Words) -> (String, String) {
    let capacity = match outlet.brim {
        Brim::Upper(capacity) => capacity.low,
        Brim::Between { high, .. } => high,
    };
    (w.q(FLOW, FLOW.of(capacity)), w.q(FLOW, FLOW.of(outlet.demand.high)))
}

/// While whose siphon runs an outlet spills that carries what pumps send: nothing where that is not so.
pub(super) fn surging(d: &Document, ways: &Ways<'_>, s: &Solved, outlet: &Checked) -> Option<String> {
    let carries = match outlet.level.brim {
        Brim::Upper(capacity) => capacity.low,
        Brim::Between { high, .. } => high,
    };
    let k = outlet.station;
    let alike = s.way_out(ways.stations[k].kind, ways.stations[k].index).map_or(1.0, |o| o.alike);
    let beds = supply::siphons_above(d, ways, k).into_iter().map(|b| d.beds[b].name.clone());
    (s.surges[k] > 0.0 && carries * alike >= s.flows.most[k]).then(|| listed(&beds.collect::<Vec<_>>()))
}
