//! The parts list of a system: what has to be bought or found, how much of it, with a price for each line and the sum.
//!
//! Everything on it follows from the document. Pipe that nobody has said anything of (between settler, beds and sump) is not on it, and the
//! list says so.

use super::document::{Document, Tank};
use super::flow::{self, StationKind};
use super::quality;
use crate::calculators::air::AirMode;
use crate::calculators::care;
use crate::calculators::drain::{Arrangement, DrainIn, FarEnd, FittingRow, ScreenKind, Through};
use crate::calculators::form::FieldError;
use crate::calculators::handling::KILOGRAMS_PER_CUBIC_METRE;
use crate::calculators::heat::On;
use crate::catalog::choose::Choose;
use crate::catalog::pipes::{self, Family, PIPES, Pipe};
use crate::units::{kinds::*, *};
use serde_json::{Value, json};

/// What a line is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    /// Pieces.
    Pieces,
    /// Length.
    Length,
    /// Bulk volume.
    Volume,
    /// Area.
    Area,
}

impl Count {
    fn unit(self, system: System) -> Option<&'static Unit> {
        match self {
            Self::Pieces => None,
            Self::Length => Some(LENGTH.0.unit(system)),
            Self::Volume => Some(VOLUME.0.unit(system)),
            Self::Area => Some(AREA.0.unit(system)),
        }
    }
    /// SI in one of the unit that it is sold in.
    pub fn factor(self, system: System) -> f64 {
        self.unit(system).map_or(1.0, |u| u.factor)
    }
    /// What a price is for, such as `m`.
    pub fn per(self, system: System) -> &'static str {
        self.unit(system).map_or("each", |u| u.symbol)
    }
    fn show(self, amount: f64, system: System) -> String {
        match self {
            Self::Pieces => number(amount, 6),
            Self::Length => show(LENGTH.0, amount, system),
            Self::Volume => show(VOLUME.0, amount, system),
            Self::Area => show(AREA.0, amount, system),
        }
    }
}

/// One line of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What its price is kept under.
    pub key: String,
    /// The heading it stands under.
    pub group: &'static str,
    /// What it is.
    pub what: String,
    /// More about it, or nothing.
    pub note: String,
    /// What it is counted in.
    pub count: Count,
    /// How much is needed, SI.
    pub need: f64,
    /// How much to buy, with the spare share, SI.
    pub buy: f64,
    /// Price of one, SI, if one was typed.
    pub price: Option<f64>,
}

impl Part {
    /// How much to buy, in words.
    pub fn amount(&self, system: System) -> String {
        self.count.show(self.buy, system)
    }
    /// What it costs.
    pub fn cost(&self) -> Option<f64> {
        self.price.map(|p| p * self.buy)
    }
}

/// The list.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// Lines, group by group.
    pub parts: Vec<Part>,
    /// Sum of those that have a price.
    pub sum: f64,
    /// How many have none.
    pub unpriced: usize,
    /// What is not on it, and other plain sentences.
    pub notes: Vec<String>,
}

/// Headings, in order.
const PIPE: &str = "Pipe and fittings";
const HOLES: &str = "Holes and seals";
const WATER: &str = "Pumps and air";
const LARGE: &str = "Tanks, settlers, sumps";
const BEDS: &str = "Grow beds and filter";
const GROUPS: [&str; 5] = [LARGE, PIPE, HOLES, WATER, BEDS];
/// A vent of an outlet reaches at least this high over the tee: an upright piece of the same pipe.
const VENT: f64 = 0.3;

struct List {
    parts: Vec<Part>,
    spare: f64,
}

impl List {
    /// Adds to a line, or begins it. With `spare` more is bought than is needed.
    #[expect(clippy::too_many_arguments, reason = "a line of a parts list has this many columns")]
    fn add(
        &mut self,
        group: &'static str,
        key: String,
        what: String,
        note: String,
        count: Count,
        need: f64,
        spare: bool,
    ) {
        if need.is_nan() || need <= 0.0 {
            return;
        }
        let i = match self.parts.iter().position(|p| p.key == key) {
            Some(i) => i,
            None => {
                self.parts.push(Part { key, group, what, note, count, need: 0.0, buy: 0.0, price: None });
                self.parts.len() - 1
            }
        };
        let p = &mut self.parts[i];
        p.need += need;
        let more = p.need * if spare { 1.0 + self.spare } else { 1.0 };
        p.buy = if count == Count::Pieces { (more - 1e-9).ceil() } else { more };
    }
    fn piece(&mut self, group: &'static str, key: String, what: String, note: String, n: f64, spare: bool) {
        self.add(group, key, what, note, Count::Pieces, n, spare);
    }
}

/// A pipe as a line names it, its key, and the nearest of the other system of sizes.
fn pipe_words(pipe: &'static Pipe, bore: Length, w: Words) -> (String, String, String) {
    if pipe.id == pipes::OTHER.id {
        let across = w.q(SHORT_LENGTH, bore);
        return (format!("other {:.1}", bore.value * 1e3), format!("Pipe of {across} inside"), String::new());
    }
    // What is chosen has its own bore; one that is typed is of another pipe.
    let bore = pipe.bore().unwrap_or(bore);
    let outside = pipe.outside().map_or(String::new(), |o| format!("{} outside", w.q(SHORT_LENGTH, o)));
    let other = match (w.system, pipe.family) {
        (System::Us, Family::MetricPn10 | Family::MetricPn16 | Family::Drain | Family::Waste) => {
            Some(Family::Schedule40)
        }
        (System::Metric, Family::Schedule40) => Some(Family::MetricPn10),
        _ => None,
    };
    let near = other.and_then(|family| {
        // As wide inside, or wider.
        PIPES.iter().find(|p| p.family == family && p.bore().is_some_and(|b| b.value >= bore.value * 0.98))
    });
    let near = near.map_or(String::new(), |p| format!("where it is not sold: {}", p.words(w.system)));
    let note = [outside, near].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join("; ");
    (pipe.id.into(), pipe.words(w.system), note)
}

fn fittings(list: &mut List, rows: &[FittingRow], each: f64, pipe: (&str, &str)) {
    for r in rows {
        let what = format!("{} for {}", r.fitting.label, pipe.1);
        list.piece(
            PIPE,
            format!("fit {} {}", r.fitting.id, pipe.0),
            what,
            r.fitting.note.into(),
            r.count.value * each,
            true,
        );
    }
}

/// The short name of a pipe, for fittings.
fn short(name: &str) -> &str {
    name.split(',').next().unwrap_or(name)
}

fn elbows(list: &mut List, n: f64, pipe: (&str, &str)) {
    let what = format!("90° elbow for {}", pipe.1);
    list.piece(PIPE, format!("fit elbow_90 {}", pipe.0), what, "sharp, screwed or glued".into(), n, true);
}

fn tees(list: &mut List, n: f64, note: &str, pipe: (&str, &str)) {
    let what = format!("Tee, turning for {}", pipe.1);
    list.piece(PIPE, format!("fit tee_branch {}", pipe.0), what, note.into(), n, true);
}

fn outlet(list: &mut List, o: &DrainIn, w: Words) {
    let n = o.outlets.value.max(1.0);
    let bore = o.pipe_bore();
    let (id, name, note) = pipe_words(o.pipe, bore, w);
    let short = short(&name);
    let pipe = (id.as_str(), short);
    let a = o.arrangement;
    let drops = a != Arrangement::Flooded && matches!(o.far_end, FarEnd::Drop | FarEnd::DropUnder);
    let vented = a == Arrangement::Draw || (o.vent.yes() && matches!(a, Arrangement::Rim | Arrangement::Wall));
    let upright = match a {
        Arrangement::Draw => o.riser.value,
        Arrangement::Rim => o.standpipe.value,
        _ => 0.0,
    };
    let vent = if vented {
        VENT.max(if a == Arrangement::Draw { o.hole_depth.value + o.vent_top.value } else { 0.0 })
    } else {
        0.0
    };
    let length = o.length.value + upright + vent + if drops { o.drop.value } else { 0.0 };
    list.add(PIPE, format!("pipe {id}"), name.clone(), note, Count::Length, length * n, true);
    fittings(list, &o.fittings, n, pipe);
    if a == Arrangement::Draw {
        fittings(list, &o.riser_fittings, n, pipe);
    }
    if vented {
        tees(list, n, "open vent on top", pipe);
    }
    let turns = f64::from(u8::from(drops)) + f64::from(u8::from(a == Arrangement::Rim));
    elbows(list, turns * n, pipe);
    // A flooded pipe goes through the walls of both tanks.
    let walls = if a == Arrangement::Flooded { 2.0 * n } else { n };
    match o.through {
        Through::Seal => {
            list.piece(HOLES, format!("seal {id}"), format!("Rubber seal for {short}"), String::new(), walls, true)
        }
        Through::Bulkhead => {
            let note = "its maker names the hole; measure its bore, it is often narrower than the pipe".to_string();
            list.piece(HOLES, format!("bulkhead {id}"), format!("Bulkhead fitting for {short}"), note, walls, false);
        }
        Through::Glued => {}
    }
    if let Some(hole) = o.hole_to_cut(o.pipe) {
        let first = if o.through == Through::Seal { "; buy the seal first, its maker names the hole" } else { "" };
        let note = format!("for {short}{first}");
        let key = format!("saw {:.1}", hole.value * 1e3);
        if !list.parts.iter().any(|p| p.key == key) {
            list.piece(HOLES, key, format!("Hole saw {}", pipes::hole_words(hole, w)), note, 1.0, false);
        }
    }
    let screen = match o.screen {
        ScreenKind::None => None,
        ScreenKind::Holes => Some(format!("{} holes of {}", w.q(COUNT, o.openings), w.q(SHORT_LENGTH, o.hole_size))),
        ScreenKind::Slots => Some(format!(
            "{} slots of {} by {}",
            w.q(COUNT, o.openings),
            w.q(SHORT_LENGTH, o.slot_width),
            w.q(SHORT_LENGTH, o.slot_length)
        )),
    };
    if let Some(holes) = screen {
        list.piece(
            HOLES,
            format!("screen {id} {holes}").chars().take(40).collect(),
            format!("Screen with {holes}"),
            format!("for {short}"),
            n,
            false,
        );
    }
    if o.sleeve.yes() && a == Arrangement::Rim {
        let across = w.q(SHORT_LENGTH, o.sleeve_bore);
        list.add(
            PIPE,
            format!("sleeve {:.1}", o.sleeve_bore.value * 1e3),
            format!("Sleeve pipe of {across} inside"),
            "around the standpipe".into(),
            Count::Length,
            o.standpipe.value * n,
            true,
        );
    }
}

fn air(list: &mut List, t: &Tank, delivered: VolumeRate, w: Words) {
    let a = &t.oxygen.air;
    let deep = w.q(LENGTH, a.depth);
    match a.mode {
        AirMode::None => {}
        AirMode::Rated => {
            let what = format!("Aerator of {}", w.q(OXYGEN_RATE, a.rated));
            list.piece(WATER, format!("aerator {}", t.id), what, format!("for {}", t.name), 1.0, false);
        }
        // A pump of nothing is none.
        AirMode::Stones | AirMode::Pump if (if a.mode == AirMode::Pump { a.free } else { a.flow }).value <= 0.0 => {}
        AirMode::Stones | AirMode::Pump => {
            let none = delivered.value <= 0.0;
            let so_much = if none { String::new() } else { format!(" for {}", w.q(AIR_FLOW, delivered)) };
            let what = format!("{}{so_much}", a.diffuser.label);
            let note = format!("in {}, {deep} deep", t.name);
            list.piece(WATER, format!("stones {}", t.id), what, note, 1.0, false);
            let (what, note) = match a.mode {
                AirMode::Pump => (format!("Air pump of {} on its box", w.q(AIR_FLOW, a.free)), String::new()),
                _ => (
                    format!("Air pump that gives {} at {deep}", w.q(AIR_FLOW, a.flow)),
                    "its box must say more: depth, splitting and ageing take half".into(),
                ),
            };
            list.piece(WATER, format!("air {}", t.id), what, note, 1.0, false);
        }
    }
}

/// The list of a system.
///
/// # Errors
/// What makes the way of the water impossible, and field errors of its tanks.
pub fn parts(d: &Document, w: Words) -> Result<Parts, Vec<FieldError>> {
    let solved = super::check::solve(d, super::check::Day::Today)?;
    let ways = flow::ways(d)?;
    let mut list = List { parts: vec![], spare: d.notes.spare.value };
    for (i, t) in d.tanks.iter().enumerate() {
        let o = &t.oxygen;
        let what = format!("{}: tank for {} of water", t.name, w.q(VOLUME, o.volume));
        // It is dry above its outlet.
        let stand = &solved.tanks[i].outlet;
        let full = o.volume + t.outlet.surface * (stand.brim - stand.still).max(LENGTH.of(0.0));
        let weight = MASS.of(full.value * KILOGRAMS_PER_CUBIC_METRE);
        let note = format!(
            "about {} to the rim; {} of surface; full to the rim, its water weighs {}",
            w.q(VOLUME, full),
            w.q(AREA, t.outlet.surface),
            w.q(MASS, weight)
        );
        list.piece(LARGE, format!("tank {}", t.id), what, note, 1.0, false);
        if solved.tanks[i].gone.is_none() {
            outlet(&mut list, &t.outlet, w);
        }
        air(&mut list, t, solved.tanks[i].oxygen.air.delivered, w);
    }
    for s in &d.settlers {
        let i = &s.settling;
        let what =
            format!("{}: {}, {} across", s.name, i.kind.label.to_ascii_lowercase(), w.q(SHORT_LENGTH, i.diameter));
        let note = format!(
            "{} of water over the sludge; inlet {} and outlet {} inside",
            w.q(SHORT_LENGTH, i.depth),
            w.q(SHORT_LENGTH, i.inlet),
            w.q(SHORT_LENGTH, i.outlet)
        );
        list.piece(LARGE, format!("settler {}", s.id), what, note, i.count.value, false);
    }
    for h in d.outlets().iter().filter(|h| h.kind != StationKind::Tank) {
        outlet(&mut list, &DrainIn { outlets: h.outlet.outlets * h.alike, ..h.outlet.clone().into_owned() }, w);
    }
    for s in &d.sumps {
        let (what, note) = match s.levels.first() {
            Some(l) => (
                format!("{}: {}", s.name, w.q(VOLUME, l.0.volume)),
                format!("{} deep; fill mark at {}", w.q(LENGTH, l.0.depth), w.q(SHORT_LENGTH, l.0.mark)),
            ),
            None => (s.name.clone(), String::new()),
        };
        list.piece(LARGE, format!("sump {}", s.id), what, note, 1.0, false);
    }
    for h in &d.heat {
        let cover = match h.0.cover {
            On::Open => None,
            On::Film => Some(("cover film", h.0.cover.label().to_string())),
            On::Lid => {
                let thick = w.q(SHORT_LENGTH, h.0.lid_thickness);
                Some(("cover lid", format!("{}, {thick} of {}", h.0.cover.label(), lower(h.0.lid.0.label))))
            }
        };
        if let Some((key, what)) = cover {
            let water = quality::heat_of(d).map_or(0.0, |h| h.bare().value);
            list.add(WATER, key.into(), what, "leave a way in for air".into(), Count::Area, water, false);
        }
        if h.0.heater.value > 0.0 {
            let note = "as two, each with its own thermostat: one may fail".to_string();
            list.piece(
                WATER,
                "heater".into(),
                format!("Heaters of {} in all", w.q(POWER, h.0.heater)),
                note,
                1.0,
                false,
            );
        }
    }
    // The medium of a bed is its filter too: only what is more than that is a filter of its own.
    for a in &d.ammonia {
        let same = d.beds.iter().zip(&solved.beds).filter(|(b, _)| b.bed.medium.id == a.0.medium.id);
        let in_beds: f64 = same.filter_map(|(_, o)| o.bulk).map(|v| v.value).sum();
        let more = a.0.media.value - in_beds;
        let key = format!("filter {}", a.0.medium.id());
        list.add(BEDS, key, format!("{}, for the filter", a.0.medium.label), String::new(), Count::Volume, more, false);
    }
    for (i, p) in d.pumps.iter().enumerate() {
        let station = ways.place(StationKind::Pump, i);
        let branches = ways.out_of(station).count();
        let what = format!("{} that sends {} at most", p.name, w.q(FLOW, p.can_send()));
        list.piece(WATER, format!("pump {}", p.id), what, "and its lift: check its curve".into(), 1.0, false);
        let note = "one for each branch, to set its flow";
        list.piece(WATER, "valve".into(), "Ball valve for a branch".into(), note.into(), branches as f64, false);
        // What is known of its supply pipes.
        let mut supply = |pipe: &'static Pipe, bore: Length, length: Length, turns: Ratio, parted: f64| {
            let (id, name, note) = pipe_words(pipe, bore, w);
            elbows(&mut list, turns.value, (&id, short(&name)));
            tees(&mut list, parted, "to a branch of the supply", (&id, short(&name)));
            list.add(PIPE, format!("pipe {id}"), name, note, Count::Length, length.value, true);
        };
        let none = COUNT.of(0.0);
        let trunk = p.curve.first().map(|c| &c.0);
        if let Some(c) = trunk {
            supply(c.pipe, c.bore, c.length, c.elbows, branches.saturating_sub(1) as f64);
        }
        for r in ways.out_of(station).filter_map(|k| d.edges[k].run.first()) {
            supply(r.0.pipe, r.0.bore, r.0.length, r.0.elbows, 0.0);
            if let Some(c) = trunk.filter(|_| r.0.between.value > 0.0) {
                supply(c.pipe, c.bore, r.0.between, none, 0.0);
            }
        }
    }
    for (b, o) in d.beds.iter().zip(&solved.beds) {
        let i = &b.bed;
        let method = i.method.label;
        let note = match o.weight {
            Some(weight) => format!("{} deep; flooded, it weighs {}", w.q(SHORT_LENGTH, i.depth), w.q(MASS, weight)),
            None => i.method.note.to_string(),
        };
        list.add(
            BEDS,
            format!("bed {}", b.id),
            if b.name == method { method.to_string() } else { format!("{}: {method}", b.name) },
            note,
            Count::Area,
            i.area.value,
            false,
        );
        if let Some(s) = b.siphon.first().map(|s| &s.0) {
            let (id, name, note) = pipe_words(s.pipe, s.bore, w);
            elbows(&mut list, s.elbows.value, (&id, short(&name)));
            let through = format!("Bulkhead fitting for {}", short(&name));
            let hole = "through the floor of a bed; its maker names the hole".to_string();
            list.piece(HOLES, format!("bulkhead {id}"), through, hole, 1.0, false);
            // Another standpipe as high as the rim allows, beside the siphon.
            let overflow = if s.overflow.yes() { s.rim + s.drop } else { LENGTH.of(0.0) };
            let length = s.rim + s.drop + s.run + overflow;
            list.add(PIPE, format!("pipe {id}"), name, note, Count::Length, length.value, true);
            let key = format!("bell {:.1}", s.bell.value * 1e3);
            let what = format!("Bell of {} inside, for a siphon", w.q(SHORT_LENGTH, s.bell));
            list.piece(BEDS, key, what, "with a guard around it that keeps the medium out".into(), 1.0, false);
        }
        if let Some(bulk) = o.bulk {
            let note = format!("{} dry", w.q(MASS, bulk * i.medium.bulk()));
            list.add(
                BEDS,
                format!("medium {}", i.medium.id()),
                i.medium.label.into(),
                note,
                Count::Volume,
                bulk.value,
                true,
            );
        }
    }
    let mut parts: Vec<Part> = vec![];
    for group in GROUPS {
        parts.extend(list.parts.iter().filter(|p| p.group == group).cloned());
    }
    for p in &mut parts {
        p.price = d.notes.prices.iter().find(|x| x.part == p.key).map(|x| x.price.value);
    }
    // The sum of nothing is -0.
    let sum = parts.iter().filter_map(Part::cost).sum::<f64>() + 0.0;
    let unpriced = parts.iter().filter(|p| p.price.is_none()).count();
    let mut notes = vec![
        "Not listed, because nothing is known of them: pipe between settler, beds and sump, supply pipes that are not described, insulation around \
         walls, glue, stands, cable and its protection."
            .to_string(),
    ];
    notes.push(
        "Use only containers and pipe that never held anything harmful and that are fit for fish and food.".into(),
    );
    notes.push(care::METALS.into());
    Ok(Parts { parts, sum, unpriced, notes })
}

impl Parts {
    /// As JSON, amounts in SI.
    pub fn json(&self, d: &Document, w: Words) -> Value {
        let one = |p: &Part| {
            let unit = match p.count {
                Count::Pieces => "1",
                Count::Length => "m",
                Count::Volume => "m3",
                Count::Area => "m2",
            };
            json!({
                "key": p.key, "group": p.group, "what": p.what, "note": p.note, "need": p.need, "buy": p.buy, "unit": unit,
                "amount": p.amount(w.system), "price": p.price, "cost": p.cost(),
            })
        };
        json!({
            "parts": self.parts.iter().map(one).collect::<Vec<_>>(), "sum": self.sum, "currency": d.notes.currency,
            "unpriced": self.unpriced, "notes": self.notes,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::form;
    use crate::system::demo;
    use crate::units::si::*;

    fn of<'a>(p: &'a Parts, key: &str) -> &'a Part {
        p.parts.iter().find(|p| p.key == key).unwrap_or_else(|| panic!("no {key} in {:#?}", p.parts))
    }

    #[test]
    fn a_demo_counted_by_hand() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let p = parts(&d, Words::default()).expect("a list");
        // 1.2 m run, 0.6 m rising pipe, a vent from the hole 140 mm under the rim to 100 mm over it, but at least 0.3 m.
        let pipe = of(&p, "pipe pvc_50");
        assert!((pipe.need - (1.2 + 0.6 + 0.3)).abs() < 1e-9 && (pipe.buy - pipe.need * 1.1).abs() < 1e-9, "{pipe:#?}");
        // One elbow at the foot of the rising pipe by default, and a tenth more is another whole one.
        let elbow = of(&p, "fit elbow_90 pvc_50");
        assert_eq!((elbow.need, elbow.buy), (1.0, 2.0));
        assert_eq!(of(&p, "fit tee_branch pvc_50").need, 1.0);
        // 50 mm pipe in a seal of 5 mm each side: 60 mm, and the next eighth of an inch is 2 3/8 in, 60.3 mm, which
        // is sold as 60.
        assert_eq!(of(&p, "saw 60.3").what, "Hole saw 60\u{202f}mm");
        // 900 L of water, and 140 mm of tank over it that stay dry but for the water over the hole's bottom.
        let dry = d.tanks[0].outlet.surface.value * 0.14;
        let rim = Words::default().q(VOLUME, VOLUME.of(d.tanks[0].oxygen.volume.value + dry));
        let tank = of(&p, "tank trough");
        assert!(tank.note.starts_with(&format!("about {rim} to the rim")), "{rim}: {tank:?}");
        let us = parts(&d, Words::from(System::Us)).expect("a list");
        assert_eq!(of(&us, "saw 60.3").what, "Hole saw 2 3/8\u{202f}in");
        assert!(of(&us, "pipe pvc_50").note.contains("Sch 40 PVC 2 in"), "{}", of(&us, "pipe pvc_50").note);
        // A pipe of the other system is as wide inside, or wider: of supplies and siphons too, whose field for another pipe's bore says nothing then.
        for system in [System::Us, System::Metric] {
            for demo in demo::ALL {
                let all = parts(&demo.document(), Words::from(system)).expect("a list").parts;
                let named = all.iter().filter_map(|p| Some((pipes::by_id(p.key.strip_prefix("pipe ")?)?, &p.note)));
                for (pipe, note) in named {
                    let Some((_, near)) = note.split_once("where it is not sold: ") else { continue };
                    let near = PIPES.iter().find(|p| p.words(system) == near).unwrap_or_else(|| panic!("{near}"));
                    assert!(near.bore() >= pipe.bore().map(|b| b * 0.98), "{}: {} for {}", demo.id, near.id, pipe.id);
                }
            }
        }
        for n in [
            "tank trough",
            "settler settler",
            "sump sump",
            "pump pump",
            "bed raft",
            "stones trough",
            "air trough",
            "valve",
        ] {
            of(&p, n);
        }
        assert_eq!((p.sum, p.unpriced), (0.0, p.parts.len()));
        // A price for each metre, kept with the system; the sum follows.
        for e in d.notes.price("pipe pvc_50", Some(4.0)).into_iter().chain(d.notes.clone().price("nothing", None)) {
            assert!(form::apply(&mut d, &e));
        }
        let p = parts(&d, Words::default()).expect("a list");
        assert!((p.sum - 4.0 * 2.1 * 1.1).abs() < 1e-9 && p.unpriced == p.parts.len() - 1);
        for e in d.notes.price("pipe pvc_50", None) {
            assert!(form::apply(&mut d, &e));
        }
        assert!(d.notes.prices.is_empty());
    }

    /// An air pump of nothing is none, nor are there stones for it; where it is too weak for the depth, stones are for no flow.
    #[test]
    fn nothing_is_no_air() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        let aired = |d: &Document, mode: AirMode, air: f64, deep: f64| {
            let mut d = d.clone();
            let a = &mut d.tanks[0].oxygen.air;
            (a.mode, a.depth) = (mode, LENGTH.of(deep));
            (a.free, a.flow) = (AIR_FLOW.of(air), AIR_FLOW.of(air));
            let all = parts(&d, Words::default()).expect("a list").parts;
            all.into_iter()
                .filter(|p| p.key == "stones trough" || p.key == "air trough")
                .map(|p| p.what)
                .collect::<Vec<_>>()
        };
        for mode in [AirMode::Stones, AirMode::Pump] {
            assert_eq!(aired(&d, mode, 0.0, 0.5), Vec::<String>::new());
            let some = aired(&d, mode, l_min(30.0), 0.5);
            assert!(some.len() == 2 && some[0].contains(" for "), "{some:?}");
        }
        d.tanks[0].oxygen.air.most_depth = LENGTH.of(0.6);
        let weak = aired(&d, AirMode::Pump, l_min(30.0), 0.9);
        assert!(weak.len() == 2 && !weak[0].contains(" for "), "{weak:?}");
    }

    #[test]
    fn supply_siphon_and_lid_are_counted() {
        // Two branches of one pump: a tee; the elbows that the pipes are said to have.
        let d = demo::by_id("enlarged").expect("there").document();
        let p = parts(&d, Words::default()).expect("a list");
        let c = &d.pumps[0].curve[0].0;
        let runs: Vec<_> = d.edges.iter().filter_map(|e| e.run.first()).map(|r| &r.0).collect();
        assert_eq!(of(&p, &format!("fit tee_branch {}", c.pipe.id)).need, (runs.len() - 1) as f64);
        let elbows = runs.iter().filter(|r| r.pipe.id == c.pipe.id).map(|r| r.elbows.value).sum::<f64>();
        let drains = d.tanks.iter().filter(|t| t.outlet.pipe.id == c.pipe.id).count();
        assert_eq!(drains, 0, "no drain of that pipe");
        assert_eq!(of(&p, &format!("fit elbow_90 {}", c.pipe.id)).need, c.elbows.value + elbows);
        // A siphon goes through the floor of its bed, and a lid is bought by its area.
        let mut d = demo::by_id("classroom").expect("there").document();
        d.heat[0].0.cover = On::Lid;
        let p = parts(&d, Words::default()).expect("a list");
        let s = &d.beds[0].siphon[0].0;
        assert!(of(&p, &format!("bulkhead {}", s.pipe.id)).need >= 1.0);
        // Tanks and sump; nobody lays one on plants.
        let tanks: f64 = d.tanks.iter().map(|t| t.outlet.surface.value).sum();
        let sump = &d.sumps[0].levels[0].0;
        let rest = (sump.volume / sump.depth).value;
        assert!((of(&p, "cover lid").need - tanks - rest).abs() < 1e-9 && d.settlers.is_empty() && d.beds.len() == 1);
    }

    #[test]
    fn two_tanks_of_one_pipe_are_one_line() {
        let d = demo::by_id("enlarged").expect("there").document();
        let p = parts(&d, Words::default()).expect("a list");
        let valve = of(&p, "valve");
        assert_eq!(valve.need, 2.0);
        let mut keys: Vec<&str> = p.parts.iter().map(|p| p.key.as_str()).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), p.parts.len());
        assert!(keys.iter().all(|k| k.chars().count() <= 40), "{keys:?}");
    }

    #[test]
    fn media_are_weighed() {
        let mut d = demo::by_id("courtyard").expect("there").document();
        d.beds[0].bed.method = &crate::catalog::crops::METHODS[0];
        d.beds[0].bed.area = AREA.of(2.0);
        d.beds[0].bed.depth = SHORT_LENGTH.of(mm(300.0));
        let p = parts(&d, Words::default()).expect("a list");
        let medium = of(&p, "medium clay");
        assert!((medium.need - 0.6).abs() < 1e-9);
        // 0.6 m3 of clay at 450 kg/m3.
        assert_eq!(medium.note, "270\u{202f}kg dry");
    }
}
