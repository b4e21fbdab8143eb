//! The way of the water: what flows through every station when each pump sends what its branches are set to.
//!
//! Steady: what comes in at a station goes out of it: through the pumps that draw from it what they send, the rest in equal parts by its
//! other ways out. Only pumps lift water, so without its pumps the way of the water must have no circle.

use super::document::{Document, Edge, WayOut};
use crate::calculators::drain::DrainIn;
use crate::calculators::form::{FieldError, listed};
use crate::units::{Area, System, kinds::FLOW, show};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// What kind of station an identifier names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StationKind {
    /// A sump.
    Sump,
    /// A pump.
    Pump,
    /// A fish tank.
    Tank,
    /// A settler.
    Settler,
    /// A grow bed.
    Bed,
}

/// One station as the water sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station<'a> {
    /// Its identifier.
    pub id: &'a str,
    /// Its name.
    pub name: &'a str,
    /// Its kind.
    pub kind: StationKind,
    /// Its place in the list of its kind.
    pub index: usize,
}

impl Station<'_> {
    /// What is wrong with it, under its name.
    fn fault(&self, fault: String, accepted: &str) -> FieldError {
        FieldError { label: self.name.into(), ..FieldError::new(self.path(), fault, accepted) }
    }
    /// Path of the station in the document, such as `tanks.1`.
    pub fn path(&self) -> String {
        let list = match self.kind {
            StationKind::Sump => "sumps",
            StationKind::Pump => "pumps",
            StationKind::Tank => "tanks",
            StationKind::Settler => "settlers",
            StationKind::Bed => "beds",
        };
        format!("{list}.{}", self.index)
    }
}

impl Document {
    /// Does this edge leave a pump? Elsewhere a set flow counts for nothing.
    pub fn leaves_pump(&self, edge: usize) -> bool {
        self.edges.get(edge).is_some_and(|e| self.pumps.iter().any(|p| p.id == e.from))
    }
    /// Every station: sumps, pumps, tanks, settlers, beds.
    pub fn stations(&self) -> Vec<Station<'_>> {
        fn of<'a, T>(
            kind: StationKind,
            list: &'a [T],
            get: fn(&T) -> (&String, &String),
        ) -> impl Iterator<Item = Station<'a>> {
            list.iter().enumerate().map(move |(index, s)| {
                let (id, name) = get(s);
                Station { id, name, kind, index }
            })
        }
        of(StationKind::Sump, &self.sumps, |s| (&s.id, &s.name))
            .chain(of(StationKind::Pump, &self.pumps, |s| (&s.id, &s.name)))
            .chain(of(StationKind::Tank, &self.tanks, |s| (&s.id, &s.name)))
            .chain(of(StationKind::Settler, &self.settlers, |s| (&s.id, &s.name)))
            .chain(of(StationKind::Bed, &self.beds, |s| (&s.id, &s.name)))
            .collect()
    }
}

/// The outlet of a station, at which its water stands: every tank's, and those that are said of settlers and beds.
#[derive(Debug, Clone)]
pub struct StationOutlet<'a> {
    /// What kind of station it is of.
    pub kind: StationKind,
    /// The place of that in the list of its kind.
    pub index: usize,
    /// The outlet as the drain's sums see it, with the surface of the station's water.
    pub outlet: Cow<'a, DrainIn>,
    /// So many like it stand side by side and share the flow, each with its own water.
    pub alike: f64,
}

impl StationOutlet<'_> {
    /// The surface of all the water at it.
    pub fn surface(&self) -> Area {
        self.outlet.surface * self.alike
    }
    /// Its path in the document.
    pub fn path(&self) -> String {
        outlet_path(self.kind, self.index)
    }
}

/// Where the outlet of a station stands in the document.
pub fn outlet_path(kind: StationKind, i: usize) -> String {
    match kind {
        StationKind::Settler => format!("settlers.{i}.outlet.0"),
        StationKind::Bed => format!("beds.{i}.outlet.0"),
        _ => format!("tanks.{i}.outlet"),
    }
}

impl Document {
    /// Does water leave this station otherwise than through pumps? Only then does its outlet count.
    fn runs_on(&self, id: &str) -> bool {
        let drawn = |e: &Edge| self.pumps.iter().any(|p| p.id == e.to);
        let mut out = self.edges.iter().filter(|e| e.from == id).peekable();
        out.peek().is_none() || out.any(|e| !drawn(e))
    }
    /// The outlet of a station, if it has one that is said.
    pub fn outlet(&self, kind: StationKind, index: usize) -> Option<StationOutlet<'_>> {
        let said = |o: &WayOut, surface| Cow::Owned(DrainIn { surface, ..o.0.clone() });
        let mut alike = 1.0;
        let outlet = match kind {
            StationKind::Tank => Some(Cow::Borrowed(&self.tanks[index].outlet)),
            StationKind::Settler => {
                let s = &self.settlers[index];
                alike = s.settling.count.value.max(1.0);
                s.outlet.first().filter(|_| self.runs_on(&s.id)).map(|o| said(o, s.surface()))
            }
            StationKind::Bed => {
                let b = &self.beds[index];
                b.outlet.first().filter(|_| b.stands() && self.runs_on(&b.id)).map(|o| said(o, b.surface()))
            }
            _ => None,
        };
        outlet.map(|outlet| StationOutlet { kind, index, outlet, alike })
    }
    /// All of them: the tanks' first, each in its place.
    pub fn outlets(&self) -> Vec<StationOutlet<'_>> {
        let of = |kind, n: usize| (0..n).filter_map(move |i| self.outlet(kind, i));
        of(StationKind::Tank, self.tanks.len())
            .chain(of(StationKind::Settler, self.settlers.len()))
            .chain(of(StationKind::Bed, self.beds.len()))
            .collect()
    }
}

/// The flows of a document, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// Along every edge, in the order of the document, m3/s.
    pub edges: Vec<f64>,
    /// Into every station, in the order of [`Document::stations`], m3/s.
    pub through: Vec<f64>,
    /// What leaves every station otherwise than through a pump, m3/s.
    pub left: Vec<f64>,
    /// The stations in the order the water meets them, from the first pump on.
    pub order: Vec<usize>,
    /// The most that could come to every station with all other ways of the water shut, m3/s: each branch could be given all of its pump.
    pub most: Vec<f64>,
}

/// The graph of a document, with its edges as places in the list of stations.
#[derive(Debug)]
pub struct Ways<'a> {
    /// Every station.
    pub stations: Vec<Station<'a>>,
    /// Edges as pairs of places.
    pub edges: Vec<(usize, usize)>,
}

impl Ways<'_> {
    /// The place of a station among all of them, by its kind and its place in the list of its kind.
    pub fn place(&self, kind: StationKind, index: usize) -> usize {
        self.stations.iter().position(|s| s.kind == kind && s.index == index).unwrap_or(0)
    }
    /// Is this station a pump?
    pub fn is_pump(&self, station: usize) -> bool {
        self.stations[station].kind == StationKind::Pump
    }
    /// The edges from a pump to this station.
    pub fn from_pumps(&self, station: usize) -> impl Iterator<Item = usize> {
        (0..self.edges.len()).filter(move |&k| self.edges[k].1 == station && self.is_pump(self.edges[k].0))
    }
    /// The edges that leave this station.
    pub fn out_of(&self, station: usize) -> impl Iterator<Item = usize> {
        (0..self.edges.len()).filter(move |&k| self.edges[k].0 == station)
    }
    /// What a path of the document belongs to, in words: a branch or a station.
    pub fn owner(&self, path: &str) -> Option<String> {
        if let Some(&(_, to)) = edge_of(path).and_then(|k| self.edges.get(k)) {
            return Some(format!("Branch to {}", self.stations[to].name));
        }
        let of = self.stations.iter().find(|s| path.starts_with(&format!("{}.", s.path())));
        of.map(|s| s.name.to_string())
    }
    /// Does water leave this station otherwise than through a pump?
    pub fn others(&self, station: usize) -> bool {
        self.edges.iter().any(|e| e.0 == station && !self.is_pump(e.1))
    }
    /// Does a pump draw from this station?
    pub fn is_drawn(&self, station: usize) -> bool {
        self.out_of(station).any(|k| self.is_pump(self.edges[k].1))
    }
    /// The stations that pumps draw from and that water from this one falls into first: sumps, and what has no other way out.
    pub fn pools_below(&self, station: usize) -> Vec<usize> {
        let pool = |s: usize| self.is_drawn(s) && (self.stations[s].kind == StationKind::Sump || !self.others(s));
        self.first_below(station, &pool)
    }
    /// Every station that water reaches from this one by its own fall, itself left out.
    pub fn below(&self, station: usize) -> Vec<usize> {
        self.below_past(station, &|_| true)
    }
    /// The same, past such stations alone.
    pub fn below_past(&self, station: usize, past: &dyn Fn(usize) -> bool) -> Vec<usize> {
        let mut found = vec![];
        let mut next = vec![station];
        while let Some(s) = next.pop() {
            for &(_, to) in self.edges.iter().filter(|e| e.0 == s) {
                if !self.is_pump(to) && !found.contains(&to) {
                    found.push(to);
                    if past(to) {
                        next.push(to);
                    }
                }
            }
        }
        found
    }
    fn first_below(&self, station: usize, is: &dyn Fn(usize) -> bool) -> Vec<usize> {
        let mut found = vec![];
        let (mut seen, mut next) = (vec![station], vec![station]);
        while let Some(s) = next.pop() {
            for &(_, to) in self.edges.iter().filter(|e| e.0 == s) {
                if self.is_pump(to) || seen.contains(&to) {
                    continue;
                }
                seen.push(to);
                if is(to) { found.push(to) } else { next.push(to) }
            }
        }
        found
    }
}

/// The place of the edge that a path of the document belongs to.
pub fn edge_of(path: &str) -> Option<usize> {
    path.strip_prefix("edges.")?.split('.').next()?.parse().ok()
}

/// Looks the identifiers up and refuses what water cannot do.
///
/// # Errors
/// Identifiers that are missing or stand twice, edges to nowhere, a station without a way in or out, a circle without a pump.
pub fn ways(d: &Document) -> Result<Ways<'_>, Vec<FieldError>> {
    let stations = d.stations();
    let mut faults = vec![];
    let mut at = BTreeMap::new();
    for (i, s) in stations.iter().enumerate() {
        if s.id.is_empty() {
            faults.push(FieldError::new(format!("{}.id", s.path()), "has no identifier", "a short text"));
        } else if at.insert(s.id, i).is_some() {
            let fault = format!("“{}” stands twice", s.id);
            faults.push(FieldError::new(
                format!("{}.id", s.path()),
                fault,
                "an identifier of its own for every station",
            ));
        }
    }
    let mut edges = vec![];
    for (i, e) in d.edges.iter().enumerate() {
        let mut end = |id: &str, key: &str| {
            let found = at.get(id).copied();
            if found.is_none() {
                let fault = format!("there is no station “{id}”");
                faults.push(FieldError::new(format!("edges.{i}.{key}"), fault, "the identifier of a station"));
            }
            found
        };
        if let (Some(a), Some(b)) = (end(&e.from, "from"), end(&e.to, "to")) {
            edges.push((a, b));
        }
    }
    if d.tanks.is_empty() {
        faults.push(FieldError::new("tanks", "there is no fish tank", "one tank or more"));
    }
    if d.pumps.is_empty() {
        faults.push(FieldError::new("pumps", "there is no pump", "one pump or more"));
    }
    if faults.is_empty() {
        for (i, s) in stations.iter().enumerate() {
            if !edges.iter().any(|e| e.1 == i) {
                faults.push(s.fault("no water reaches it".into(), "a pipe that leads to it"));
            }
            if !edges.iter().any(|e| e.0 == i) {
                faults.push(s.fault("no water leaves it".into(), "a pipe that leads on from it"));
            }
        }
    }
    if faults.is_empty() { Ok(Ways { stations, edges }) } else { Err(listed(faults, 0)) }
}

/// What flows where, when the edges that leave a pump carry `set` (m3/s, one number for every edge; the others count for nothing).
///
/// A pump draws what it sends, in equal parts where it draws from several stations; what is left of a station's water leaves by its other
/// ways in equal parts.
///
/// # Errors
/// More drawn from a station than comes, or more coming than its pumps take with no other way out.
pub fn flows(d: &Document, ways: &Ways<'_>, order: &[usize], set: &[f64]) -> Result<Flows, Vec<FieldError>> {
    let (edges, through) = run(ways, order, set);
    let mut faults = vec![];
    for (i, s) in ways.stations.iter().enumerate() {
        let Some(drawn) = drawn_from(ways, &edges, i) else { continue };
        let (comes, slack) = (through[i], UNEVEN * through[i].max(drawn));
        let too_much = drawn > comes + slack;
        let say = |w: System| {
            let [drawn, comes] = [drawn, comes].map(|q| show(FLOW.0, q, w));
            if too_much {
                let fault = format!("its pumps take {drawn}, but only {comes} comes in");
                [fault, "pumps that take no more than comes in".into()]
            } else {
                let fault = format!("would overflow: {comes} comes in, and its pumps take {drawn}");
                [fault, "a way out for the rest, or pumps that take all of it".into()]
            }
        };
        if too_much || (drawn < comes - slack && !ways.others(i)) {
            faults.push(FieldError { label: s.name.into(), ..FieldError::with_units(s.path(), &say) });
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(settled(d, ways, order, set))
}

/// [`flows`] without its refusals: no pump sends more than comes to it.
pub fn settled(d: &Document, ways: &Ways<'_>, order: &[usize], set: &[f64]) -> Flows {
    let set = within_reach(ways, order, set);
    let (edges, through) = run(ways, order, &set);
    // Each pump once, however many of its branches come together again.
    let mut most = vec![0.0; ways.stations.len()];
    for (p, pump) in d.pumps.iter().enumerate() {
        let (station, sends) = (ways.place(StationKind::Pump, p), pump.can_send().value);
        most[station] = sends;
        ways.below(station).into_iter().for_each(|s| most[s] += sends);
    }
    let left = left(ways, &edges, &through);
    Flows { edges, through, left, order: order.to_vec(), most }
}

/// What is left of a difference between what comes and what is drawn is not worth a word: flows are caught in buckets.
const UNEVEN: f64 = 0.01;

/// The stations in the order the water meets them from the pumps on.
///
/// # Errors
/// A circle that no pump is part of.
pub fn order(ways: &Ways<'_>) -> Result<Vec<usize>, Vec<FieldError>> {
    let n = ways.stations.len();
    // Edges still to bring their water; those into pumps bring it last and hold nothing up.
    let mut waiting = vec![0usize; n];
    for &(a, b) in &ways.edges {
        if !ways.is_pump(b) && !ways.is_pump(a) {
            waiting[b] += 1;
        }
    }
    let mut ready: Vec<usize> = (0..n).filter(|&i| ways.is_pump(i)).collect();
    ready.extend((0..n).filter(|&i| !ways.is_pump(i) && waiting[i] == 0));
    let mut next = 0;
    while next < ready.len() {
        let i = ready[next];
        next += 1;
        for &(_, b) in ways.edges.iter().filter(|e| e.0 == i && !ways.is_pump(i) && !ways.is_pump(e.1)) {
            waiting[b] -= 1;
            if waiting[b] == 0 {
                ready.push(b);
            }
        }
    }
    if ready.len() < n {
        // A circle has no end: what leaves one of its stations comes back to it. What only waits for its water has another fault.
        let left = || (0..n).filter(|i| !ready.contains(i));
        let stuck = left().find(|&i| comes_back(ways, i)).or_else(|| left().next()).unwrap_or(0);
        let fault = "water would run round a loop with no pump to lift it".to_string();
        return Err(vec![ways.stations[stuck].fault(fault, "a pump in every loop")]);
    }
    Ok(ready)
}

/// Does what leaves a station come back to it without a pump?
fn comes_back(ways: &Ways<'_>, from: usize) -> bool {
    let mut reached = vec![from];
    let mut next = 0;
    while next < reached.len() {
        let i = reached[next];
        next += 1;
        for &(_, b) in ways.edges.iter().filter(|e| e.0 == i && !ways.is_pump(e.1)) {
            if b == from {
                return true;
            }
            if !reached.contains(&b) {
                reached.push(b);
            }
        }
    }
    false
}

/// What flows along every edge and into every station, when pumps send `set`.
pub fn run(ways: &Ways<'_>, order: &[usize], set: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let mut edges = vec![0.0; ways.edges.len()];
    let mut through = vec![0.0; ways.stations.len()];
    for &p in order.iter().filter(|&&i| ways.is_pump(i)) {
        let sends: f64 = ways
            .out_of(p)
            .map(|k| {
                edges[k] = set[k];
                through[ways.edges[k].1] += set[k];
                set[k]
            })
            .sum();
        let into = ways.edges.iter().filter(|e| e.1 == p).count().max(1) as f64;
        for k in (0..edges.len()).filter(|&k| ways.edges[k].1 == p) {
            edges[k] = sends / into;
        }
        through[p] = sends;
    }
    for &i in order.iter().filter(|&&i| !ways.is_pump(i)) {
        let out: Vec<usize> = ways.out_of(i).filter(|&k| !ways.is_pump(ways.edges[k].1)).collect();
        let rest = (through[i] - drawn_from(ways, &edges, i).unwrap_or(0.0)).max(0.0);
        for &k in &out {
            edges[k] = rest / out.len() as f64;
            through[ways.edges[k].1] += edges[k];
        }
    }
    (edges, through)
}

/// What leaves every station otherwise than through pumps, m3/s.
pub fn left(ways: &Ways<'_>, edges: &[f64], through: &[f64]) -> Vec<f64> {
    let rest = |(i, q): (usize, &f64)| (q - drawn_from(ways, edges, i).unwrap_or(0.0)).max(0.0);
    through.iter().enumerate().map(rest).collect()
}

/// What pumps take from a station; nothing where none draws from it.
fn drawn_from(ways: &Ways<'_>, edges: &[f64], station: usize) -> Option<f64> {
    let mut drawn = ways.out_of(station).filter(|&k| ways.is_pump(ways.edges[k].1)).map(|k| edges[k]).peekable();
    drawn.peek().is_some().then(|| drawn.sum())
}

/// The flows that pumps can really send: none sends more than comes to it.
pub fn within_reach(ways: &Ways<'_>, order: &[usize], set: &[f64]) -> Vec<f64> {
    let mut set = set.to_vec();
    for _ in 0..4 * ways.stations.len() {
        let (edges, through) = run(ways, order, &set);
        let mut even = true;
        for (i, comes) in through.iter().enumerate() {
            let Some(drawn) = drawn_from(ways, &edges, i).filter(|d| *d > comes * (1.0 + 1e-12)) else { continue };
            even = false;
            for &(_, p) in ways.edges.iter().filter(|e| e.0 == i && ways.is_pump(e.1)) {
                ways.out_of(p).for_each(|k| set[k] *= comes / drawn);
            }
        }
        if even {
            break;
        }
    }
    set
}
