//! The way of the water: what flows through every station when each pump sends what its branches are set to.
//!
//! Steady: what comes in at a station goes out of it, in equal parts where it has several ways out. Only pumps lift water, so without its pumps
//! the way of the water must have no circle.

use super::document::Document;
use crate::calculators::form::FieldError;
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

/// The flows of a document, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// Along every edge, in the order of the document, m3/s.
    pub edges: Vec<f64>,
    /// Into every station, in the order of [`Document::stations`], m3/s.
    pub through: Vec<f64>,
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
    /// The edges from a pump to this station.
    pub fn from_pumps(&self, station: usize) -> impl Iterator<Item = usize> {
        let is_pump = |s: usize| self.stations[s].kind == StationKind::Pump;
        (0..self.edges.len()).filter(move |&k| self.edges[k].1 == station && is_pump(self.edges[k].0))
    }
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
                faults.push(FieldError::new(
                    s.path(),
                    format!("no water reaches {}", s.name),
                    "an edge that leads to it",
                ));
            }
            if !edges.iter().any(|e| e.0 == i) {
                faults.push(FieldError::new(
                    s.path(),
                    format!("no water leaves {}", s.name),
                    "an edge that leads away from it",
                ));
            }
        }
    }
    if faults.is_empty() { Ok(Ways { stations, edges }) } else { Err(faults) }
}

/// What flows where, when the edges that leave a pump carry `set` (m3/s, one number for every edge; the others count for nothing).
///
/// # Errors
/// A circle that no pump is part of.
pub fn flows(d: &Document, ways: &Ways<'_>, set: &[f64]) -> Result<Flows, Vec<FieldError>> {
    let n = ways.stations.len();
    let is_pump = |i: usize| ways.stations[i].kind == StationKind::Pump;
    let mut edges = vec![0.0; ways.edges.len()];
    let mut through = vec![0.0; n];
    // Edges still to bring their water; those into pumps bring it last and hold nothing up.
    let mut waiting = vec![0usize; n];
    for &(a, b) in &ways.edges {
        if !is_pump(b) && !is_pump(a) {
            waiting[b] += 1;
        }
    }
    let mut ready: Vec<usize> = (0..n).filter(|&i| is_pump(i)).collect();
    for &p in &ready {
        for (k, &(a, b)) in ways.edges.iter().enumerate() {
            if a == p {
                edges[k] = set[k];
                through[b] += edges[k];
            }
        }
    }
    ready.extend((0..n).filter(|&i| !is_pump(i) && waiting[i] == 0));
    let mut next = 0;
    while next < ready.len() {
        let i = ready[next];
        next += 1;
        if is_pump(i) {
            continue;
        }
        let out: Vec<usize> = (0..edges.len()).filter(|&k| ways.edges[k].0 == i).collect();
        for &k in &out {
            let b = ways.edges[k].1;
            edges[k] = through[i] / out.len() as f64;
            through[b] += edges[k];
            if !is_pump(b) {
                waiting[b] -= 1;
                if waiting[b] == 0 {
                    ready.push(b);
                }
            }
        }
    }
    if ready.len() < n {
        let stuck = (0..n).find(|i| !ready.contains(i)).unwrap_or(0);
        let s = &ways.stations[stuck];
        let fault = format!("water would run in a circle through {} with no pump to lift it", s.name);
        return Err(vec![FieldError::new(s.path(), fault, "a pump in every circle")]);
    }
    let all: f64 = d.pumps.iter().map(|p| p.most.value).sum();
    let mut most = vec![0.0; n];
    for &i in &ready {
        most[i] = if is_pump(i) {
            d.pumps[ways.stations[i].index].most.value
        } else {
            let into: f64 = ways.edges.iter().filter(|e| e.1 == i).map(|e| most[e.0]).sum();
            into.min(all)
        };
    }
    Ok(Flows { edges, through, order: ready, most })
}
