//! A system to start from, and stations put into the way of the water or taken out of it, so that it stays whole.

use super::work::{Paper, Work};
use crate::calculators::form::{self, Edit, EditValue, FieldError};
use crate::catalog::crops::CROPS;
use crate::system::Document;
use crate::system::check::Day;
use crate::system::document::{BOX, Bed, Edge, Pump, Run, Settler, Sump, Tank, Water};
use crate::system::flow::{self, StationKind};
use crate::system::reading::Test;
use crate::system::supply;
use crate::units::{
    System,
    kinds::{AIR_FLOW, AREA, FLOW, TEMPERATURE},
    listed,
    si::{celsius, l_h, l_min},
};

/// What a new branch of a pump is set to: a tank or two an hour of most small tanks, to be changed at once.
const NEW_BRANCH: f64 = l_h(600.0);

fn edge(from: &str, to: &str, flow: f64) -> Edge {
    Edge { from: from.into(), to: to.into(), flow: FLOW.of(flow), ..Edge::default() }
}

/// What a new system's tank is sent and aired with, and the size of its bed: enough for the fish that it begins with.
const FIRST_FLOW: f64 = l_h(1300.0);
const FIRST_AIR: f64 = l_min(75.0);
const FIRST_BED: f64 = 1.7;
/// Its coldest water: a round number in either unit that its crop bears.
const FIRST_COLDEST: f64 = celsius(20.0);

/// What a new system is called, beside those there are.
pub fn new_name(taken: &[String]) -> String {
    let name = |n: usize| if n > 1 { format!("My system {n}") } else { "My system".into() };
    (1..).map(name).find(|n| !taken.contains(n)).unwrap_or_default()
}

/// A new system: one of each station in a loop, every number assumed, round in the units that are shown, and nothing over.
pub fn starter(name: &str, system: System) -> Work {
    let mut tank = Tank { id: "tank".into(), name: "Fish tank".into(), ..Tank::default() };
    tank.oxygen.air.flow = AIR_FLOW.of(FIRST_AIR);
    let mut bed = Bed { id: "bed".into(), name: "Grow bed".into(), ..Bed::default() };
    bed.bed.area = AREA.of(FIRST_BED);
    // What bears the water that is first assumed.
    bed.bed.crop = &CROPS[1];
    let document = Document {
        name: name.into(),
        sumps: vec![Sump { id: "sump".into(), name: "Sump".into(), ..Sump::default() }],
        pumps: vec![Pump { id: "pump".into(), name: "Pump".into(), ..Pump::default() }],
        tanks: vec![tank],
        settlers: vec![Settler { id: "settler".into(), name: "Settler".into(), ..Settler::default() }],
        beds: vec![bed],
        edges: vec![
            edge("sump", "pump", 0.0),
            edge("pump", "tank", FIRST_FLOW),
            edge("tank", "settler", 0.0),
            edge("settler", "bed", 0.0),
            edge("bed", "sump", 0.0),
        ],
        stocking: vec![Default::default()],
        water: Water { coldest: TEMPERATURE.of(FIRST_COLDEST), ..Water::default() },
        ..Document::default()
    };
    Work::born(Paper::system(document), system)
}

/// The list and the plain name of a kind.
const fn words(kind: StationKind) -> (&'static str, &'static str, &'static str) {
    match kind {
        StationKind::Sump => ("sumps", "sump", "Sump"),
        StationKind::Pump => ("pumps", "pump", "Pump"),
        StationKind::Tank => ("tanks", "tank", "Fish tank"),
        StationKind::Settler => ("settlers", "settler", "Settler"),
        StationKind::Bed => ("beds", "bed", "Grow bed"),
    }
}

fn kind_of(d: &Document, id: &str) -> Option<StationKind> {
    d.stations().iter().find(|s| s.id == id).map(|s| s.kind)
}

fn rows_of(d: &Document, kind: StationKind) -> usize {
    d.stations().iter().filter(|s| s.kind == kind).count()
}

fn set(work: &mut Work, path: String, text: &str) -> Option<()> {
    work.apply(&Edit { path, to: EditValue::Text(text.into()) }).then_some(())
}

fn connect(work: &mut Work, from: &str, to: &str, flow: f64) -> Option<()> {
    let n = work.system()?.edges.len();
    work.apply(&Edit::rows("edges", n + 1)).then_some(())?;
    set(work, format!("edges.{n}.from"), from)?;
    set(work, format!("edges.{n}.to"), to)?;
    match &mut work.paper {
        Paper::System(d) => d.edges[n].flow = FLOW.of(flow),
        _ => return None,
    }
    Some(())
}

/// Leads water of a pump to a station. Where its other branches are worked out from their pipes, so is this one, through a like pipe: with a set
/// flow none of them would be any longer.
fn branch(work: &mut Work, pump: &str, to: &str) -> Option<()> {
    let d = work.system()?;
    let worked = d.pumps.iter().any(|p| p.id == pump && d.described(p));
    let run = d.edges.iter().filter(|e| worked && e.from == pump).map(|e| e.run.clone()).next();
    connect(work, pump, to, NEW_BRANCH)?;
    lay(work, run.unwrap_or_default())
}

/// A pump may not reach through one more pipe like its others, or have more branches than can be worked out. Then the new one, which is the last with a
/// pipe, has none, and all are set by hand: the others to what they got `before`.
fn reached(work: &mut Work, before: &Document) -> Option<()> {
    let sent = |d: &Document| {
        let ways = flow::ways(d)?;
        let order = flow::order(&ways)?;
        Day::ALL.iter().try_for_each(|day| supply::supply(d, &ways, &order, *day).map(|_| ()))
    };
    if sent(work.system()?).is_err() && sent(before).is_ok() {
        set_as_sent(work, before)?;
        match &mut work.paper {
            Paper::System(d) => d.edges.iter_mut().rfind(|e| !e.run.is_empty())?.run.clear(),
            _ => return None,
        }
    }
    Some(())
}

/// Sets the branches that there were `before` to what was worked out for them.
fn set_as_sent(work: &mut Work, before: &Document) -> Option<()> {
    let flows = supply::by_hand(before).edges;
    match &mut work.paper {
        Paper::System(d) => d.edges.iter_mut().zip(flows).for_each(|(e, by_hand)| e.flow = by_hand.flow),
        _ => return None,
    }
    Some(())
}

/// Gives the way that was put in last a pipe.
fn lay(work: &mut Work, run: Vec<Run>) -> Option<()> {
    match &mut work.paper {
        Paper::System(d) => d.edges.last_mut()?.run = run,
        _ => return None,
    }
    Some(())
}

/// A change that takes the pipe of a branch or the curve of a pump away: its branches are set to what was worked out with it till then, and the number
/// on its box stays. Nothing for any other change.
pub fn unpiped(work: &Work, edit: &Edit) -> Option<Work> {
    let taken = edit.path.ends_with(".run") || edit.path.ends_with(".curve");
    (taken && matches!(edit.to, EditValue::Remove(_))).then_some(())?;
    let mut after = work.clone();
    let d = work.system()?;
    set_as_sent(&mut after, d)?;
    let curve = edit.path.strip_suffix(".curve");
    let pump = curve.and_then(|p| d.pumps.get(p.strip_prefix("pumps.")?.parse::<usize>().ok()?));
    if let (Some(at), Some(pump)) = (curve, pump) {
        let most = Edit::num(format!("{at}.most"), FLOW.of(pump.can_send().value.clamp(BOX[0], BOX[1])));
        let said = !after.assumed(&format!("{at}.curve.0.free_flow"));
        after.apply(edit).then_some(())?;
        form::apply(&mut after.paper, &most).then_some(())?;
        if said {
            after.touched.insert(most.path);
        }
        return Some(after);
    }
    after.apply(edit).then_some(after)
}

/// Puts a station in: a tank beside the tanks, a bed beside the beds (or before the sump), a settler after the tanks. Nothing for what cannot be
/// put in by itself, or where there is no room for more.
pub fn add(work: &Work, kind: StationKind) -> Option<Work> {
    let d = work.system()?;
    let (list, plain, title) = words(kind);
    let n = rows_of(d, kind);
    // What was noted of a station that is gone is not of this one.
    let noted = |id: &str| {
        d.notes
            .readings
            .iter()
            .map(|r| &r.test)
            .chain(d.notes.prices.iter().map(|p| &p.part))
            .any(|key| of_station(key, id))
    };
    let free = |i: &usize| {
        let id = format!("{plain}{i}");
        kind_of(d, &id).is_none() && !noted(&id)
    };
    let id = format!("{plain}{}", (n + 1..).find(free)?);
    let name = format!("{title} {}", n + 1);
    let ends = |k: StationKind, out: bool| -> Vec<(usize, &str)> {
        d.edges
            .iter()
            .enumerate()
            .filter(|(_, e)| kind_of(d, if out { &e.from } else { &e.to }) == Some(k))
            .map(|(i, e)| (i, if out { e.to.as_str() } else { e.from.as_str() }))
            .collect()
    };
    let mut after = work.clone();
    after.apply(&Edit::rows(list, n + 1)).then_some(())?;
    set(&mut after, format!("{list}.{n}.id"), &id)?;
    set(&mut after, format!("{list}.{n}.name"), &name)?;
    match kind {
        StationKind::Tank => {
            // Nobody's fish come with a tank.
            after.apply(&Edit::rows(format!("{list}.{n}.oxygen.fish"), 0)).then_some(())?;
            let pump = d.pumps.first()?;
            let next = ends(StationKind::Tank, true).first()?.1;
            branch(&mut after, &pump.id, &id)?;
            connect(&mut after, &id, next, 0.0)?;
            runs(&after).ok()?;
            reached(&mut after, d)?;
        }
        StationKind::Bed => match (ends(StationKind::Bed, false).first(), ends(StationKind::Bed, true).first()) {
            (Some((_, from)), Some((_, to))) => {
                connect(&mut after, from, &id, 0.0)?;
                connect(&mut after, &id, to, 0.0)?;
            }
            _ => before(
                &mut after,
                &ends(if d.sumps.is_empty() { StationKind::Pump } else { StationKind::Sump }, false),
                &id,
            )?,
        },
        StationKind::Settler => {
            let from = if d.settlers.is_empty() { StationKind::Tank } else { StationKind::Settler };
            // All that leaves those before it comes to it, and goes on from it to wherever it went; it parts no water that came together.
            let past = |to: &str| kind_of(d, to) != Some(from);
            let outs: Vec<_> = ends(from, true).into_iter().filter(|o| past(o.1)).collect();
            let (mut led, mut on): (Vec<&str>, Vec<&str>) = (vec![], vec![]);
            let mut spare = vec![];
            for (k, to) in outs {
                let out_of = d.edges.get(k)?.from.as_str();
                if led.contains(&out_of) {
                    spare.push(k);
                } else {
                    set(&mut after, format!("edges.{k}.to"), &id)?;
                    led.push(out_of);
                }
                if !on.contains(&to) {
                    on.push(to);
                }
            }
            for to in on {
                connect(&mut after, &id, to, 0.0)?;
            }
            for k in spare.into_iter().rev() {
                after.apply(&Edit { path: "edges".into(), to: EditValue::Remove(k) }).then_some(())?;
            }
        }
        // A second pump draws where the first does, and has its own branch to the first tank.
        StationKind::Pump => {
            let pump = &d.pumps.first()?.id;
            let from = d.edges.iter().find(|e| e.to == *pump)?.from.clone();
            let tank = d.tanks.first()?.id.clone();
            connect(&mut after, &from, &id, 0.0)?;
            connect(&mut after, &id, &tank, NEW_BRANCH)?;
        }
        // All that runs to the first sump, or to the pump, passes the new one first.
        StationKind::Sump => {
            before(
                &mut after,
                &ends(if d.sumps.is_empty() { StationKind::Pump } else { StationKind::Sump }, false),
                &id,
            )?;
        }
    }
    runs(&after).is_ok().then_some(after)
}

/// What is said of a station that was put in last: its name, and where it stands in the way of the water.
pub fn put_in(after: &Work, kind: StationKind) -> Option<String> {
    let d = after.system()?;
    let all = d.stations();
    let new = all.iter().rfind(|s| s.kind == kind)?;
    let named = |out: bool| {
        let ends = d.edges.iter().map(|e| if out { (&e.from, &e.to) } else { (&e.to, &e.from) });
        let far = ends.filter(|e| *e.0 == new.id).filter_map(|e| all.iter().find(|s| s.id == *e.1));
        listed(&far.map(|s| s.name.to_string()).collect::<Vec<_>>())
    };
    let fish = if kind == StationKind::Tank { " It holds no fish yet." } else { "" };
    let unlike =
        |b: &Edge| !b.run.is_empty() && d.edges.iter().any(|e| e.to == new.id && e.from == b.from && e.run.is_empty());
    let set = if d.edges.iter().any(unlike) {
        " The pump's flows now count as set by hand: with one more such pipe they cannot be worked out."
    } else {
        ""
    };
    Some(format!(
        "{} stands between {} and {}.{fish}{set} Open it and put in your own numbers.",
        new.name,
        named(false),
        named(true)
    ))
}

/// Can the water of a system run?
///
/// # Errors
/// The sentence that says why not.
fn runs(work: &Work) -> Result<(), String> {
    let d = work.system().ok_or_else(String::new)?;
    let ways = flow::ways(d).map_err(first)?;
    flow::order(&ways).map(|_| ()).map_err(first)
}

fn first(faults: Vec<FieldError>) -> String {
    faults.first().map_or_else(String::new, ToString::to_string)
}

/// The ways out of a station: the place of the edge, and the name of what it leads to.
pub fn ways_out(d: &Document, id: &str) -> Vec<(usize, String)> {
    let all = d.stations();
    let name = |to: &str| all.iter().find(|s| s.id == to).map_or_else(String::new, |s| s.name.to_string());
    d.edges.iter().enumerate().filter(|(_, e)| e.from == id).map(|(k, e)| (k, name(&e.to))).collect()
}

/// Where else a station's water may be led: identifier and name.
pub fn open_to(d: &Document, id: &str) -> Vec<(String, String)> {
    let pump = kind_of(d, id) == Some(StationKind::Pump);
    let open = |s: &flow::Station<'_>| {
        s.id != id
            && !(pump && s.kind == StationKind::Pump)
            && !d.edges.iter().any(|e| e.from == id && e.to == s.id || pump && e.to == id && e.from == s.id)
    };
    d.stations().iter().filter(|s| open(s)).map(|s| (s.id.to_string(), s.name.to_string())).collect()
}

/// Leads water of one station to another as well.
///
/// # Errors
/// Why it cannot run so, or that there is no room for more.
pub fn lead(work: &Work, from: &str, to: &str) -> Result<Work, String> {
    let mut after = work.clone();
    let pump = work.system().filter(|d| kind_of(d, from) == Some(StationKind::Pump));
    let led = if pump.is_some() { branch(&mut after, from, to) } else { connect(&mut after, from, to, 0.0) };
    led.ok_or("No more pipes can be added.")?;
    runs(&after)?;
    pump.and_then(|before| reached(&mut after, before));
    Ok(after)
}

/// Takes one way out.
///
/// # Errors
/// Why the rest could not run.
pub fn cut(work: &Work, edge: usize) -> Result<Work, String> {
    let mut after = work.clone();
    after.apply(&Edit { path: "edges".into(), to: EditValue::Remove(edge) });
    runs(&after).map(|()| after)
}

/// Leads the edges `into` one place to `id` instead, and from there on to where they led.
fn before(after: &mut Work, into: &[(usize, &str)], id: &str) -> Option<()> {
    let to = after.system()?.edges.get(into.first()?.0)?.to.clone();
    for (k, _) in into {
        let same = after.system()?.edges.get(*k).is_some_and(|e| e.to == to);
        if same {
            set(after, format!("edges.{k}.to"), id)?;
        }
    }
    connect(after, id, &to, 0.0)
}

/// May this station be taken out, so that a system is left?
pub fn may_go(d: &Document, id: &str) -> bool {
    match kind_of(d, id) {
        Some(StationKind::Tank) => d.tanks.len() > 1,
        Some(StationKind::Settler | StationKind::Bed) => true,
        Some(StationKind::Sump) => d.sumps.len() > 1,
        Some(StationKind::Pump) => d.pumps.len() > 1,
        None => false,
    }
}

/// Is this the key of a price or a reading of a station?
fn of_station(key: &str, id: &str) -> bool {
    // Air and sumps are tests as well.
    const PARTS: [&str; 6] = ["tank", "aerator", "stones", "settler", "pump", "bed"];
    match Test::of(key) {
        Some((Test::Bucket, ends)) => {
            ends.strip_prefix(id).is_some_and(|to| to.starts_with(' '))
                || ends.strip_suffix(id).is_some_and(|from| from.ends_with(' '))
        }
        Some((_, of)) => of == id,
        None => key.split_once(' ').is_some_and(|(part, of)| of == id && PARTS.contains(&part)),
    }
}

/// Takes a station out; what led to it leads on to where it led.
pub fn remove(work: &Work, id: &str) -> Option<Work> {
    let d = work.system()?;
    may_go(d, id).then_some(())?;
    // A tank's own branch goes with it, and so do a pump's; through a settler or a bed the water still has to run, and through a tank in a row.
    let past: &[bool] = match kind_of(d, id)? {
        StationKind::Pump => &[false],
        StationKind::Tank => &[false, true],
        _ => &[true],
    };
    past.iter().find_map(|&past| without(work, id, past))
}

fn without(work: &Work, id: &str, past: bool) -> Option<Work> {
    let d = work.system()?;
    let station = d.stations().into_iter().find(|s| s.id == id)?;
    let (kind, index) = (station.kind, station.index);
    let onward: Vec<String> = d.edges.iter().filter(|e| e.from == id).map(|e| e.to.clone()).collect();
    let mut after = work.clone();
    for (k, into) in d.edges.iter().enumerate().filter(|e| past && e.1.to == id) {
        for to in onward.iter().filter(|to| **to != into.from) {
            // A pump goes on sending what it sent, through the pipe that it had.
            let part = into.flow / onward.len() as f64;
            let all = &after.system()?.edges;
            let n = all.len();
            if let Some(there) = all.iter().position(|e| e.from == into.from && e.to == *to) {
                let sum = all[there].flow + part;
                after.apply(&Edit::num(format!("edges.{there}.flow"), sum));
                continue;
            }
            connect(&mut after, &into.from, to, part.value)?;
            lay(&mut after, into.run.clone())?;
            let own = format!("edges.{k}.");
            let said = |path: &String| Some(format!("edges.{n}.{}", path.strip_prefix(&own)?));
            let said: Vec<String> = after.touched.iter().filter_map(said).collect();
            after.touched.extend(said);
        }
    }
    while let Some(k) = after.system()?.edges.iter().position(|e| e.from == id || e.to == id) {
        after.apply(&Edit { path: "edges".into(), to: EditValue::Remove(k) }).then_some(())?;
    }
    after.apply(&Edit { path: words(kind).0.into(), to: EditValue::Remove(index) }).then_some(())?;
    // What was paid for it and measured at it is not of a station that comes later.
    let row = |list: &str, i: usize| Edit { path: format!("notes.{list}"), to: EditValue::Remove(i) };
    while let Some(i) = after.system()?.notes.prices.iter().position(|p| of_station(&p.part, id)) {
        after.apply(&row("prices", i)).then_some(())?;
    }
    while let Some(i) = after.system()?.notes.readings.iter().position(|r| of_station(&r.test, id)) {
        after.apply(&row("readings", i)).then_some(())?;
    }
    runs(&after).is_ok().then_some(after)
}

#[cfg(test)]
mod tests;
