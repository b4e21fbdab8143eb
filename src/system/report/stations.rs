//! Stations as they are drawn: a line about each, where its water goes and how high it stands.

use super::{Checked, StationReport, Water, count};
use crate::calculators::drain::DrainOut;
use crate::catalog::crops::Stands;
use crate::system::check::{Day, Solved};
use crate::system::document::Document;
use crate::system::flow::{StationKind, Ways};
use crate::system::prove::RIPPLE;
use crate::system::supply;
use crate::units::{kinds::*, *};

pub(super) fn stations(
    d: &Document,
    ways: &Ways<'_>,
    today: &Solved,
    levels: &[Checked],
    w: Words,
) -> Vec<StationReport> {
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
            // Under a raft the roots breathe in it.
            let raft = d.beds[s.index].bed.method.stands == Stands::Raft && today.flows.through[i] > 0.0;
            let holds =
                today.rounds[0].settle().filter(|_| raft && today.tanks.iter().any(|t| t.oxygen.biomass.value > 0.0));
            let holds = holds.and_then(|all| all.get(i).copied());
            let holds =
                holds.map_or(String::new(), |c| format!(", with {} of oxygen after a meal", w.q(CONCENTRATION, c)));
            format!("{through} comes in{holds}{cycle}")
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
