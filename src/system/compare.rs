//! Before and after: two systems line by line, what differs first, every fill level of both with its state, and what got worse.

use super::document::Document;
use super::flow;
use super::report::{self, Checked};
use super::worst;
use crate::calculators::form::{self, FieldError, LayoutItem};
use crate::calculators::outcome::{Brim, Level, State, errors_json};
use crate::catalog::choose::Opt;
use crate::units::{System, Words, number, sentence, show};
use serde_json::{Value, json};

/// One input of the two systems.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The station it belongs to, or the branch, or what it is part of.
    pub place: String,
    /// What it is.
    pub what: String,
    /// Before; nothing where there is no such thing.
    pub before: Option<String>,
    /// After.
    pub after: Option<String>,
}

/// One fill level of the two systems, each on its worst day.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Its name, with its station.
    pub name: String,
    /// Before; nothing where there is no such level.
    pub before: Option<Checked>,
    /// After.
    pub after: Option<Checked>,
}

impl Change {
    /// Fuller by more than shows, or new and over.
    pub fn worse(&self) -> bool {
        match (&self.before, &self.after) {
            (Some(a), Some(b)) => fuller(&b.level, &a.level),
            (None, Some(b)) => b.level.state() == State::Over,
            _ => false,
        }
    }
    /// Emptier by more than shows.
    pub fn better(&self) -> bool {
        matches!((&self.before, &self.after), (Some(a), Some(b)) if fuller(&a.level, &b.level))
    }
    /// Another word than before.
    pub fn turned(&self) -> bool {
        let word = |l: &Option<Checked>| l.as_ref().map(|l| l.level.state());
        word(&self.before) != word(&self.after)
    }
    /// Worse and in another state first, then worse, better, the rest.
    fn rank(&self) -> u8 {
        match (self.worse(), self.turned(), self.better()) {
            (true, true, _) => 0,
            (true, ..) => 1,
            (_, true, _) => 2,
            (_, _, true) => 3,
            _ => 4,
        }
    }
}

/// Is a level fuller than another, so that it shows? Between two brims there is no percentage to show it.
fn fuller(level: &Level, than: &Level) -> bool {
    let shows = matches!(level.brim, Brim::Between { .. }) || level.percent() != than.percent();
    shows && level.weight() > (than.leads, than.fullness() + 0.005)
}

/// Two systems compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Names of the two.
    pub names: [String; 2],
    /// One or two sentences.
    pub verdict: String,
    /// Inputs that differ.
    pub lines: Vec<Line>,
    /// How many inputs are the same.
    pub same: usize,
    /// Levels, what got worse first.
    pub levels: Vec<Change>,
    /// What is wrong with either, so that it cannot be checked.
    pub faults: [Vec<FieldError>; 2],
}

/// A value of one input.
struct Input {
    /// The station or branch.
    root: String,
    /// The same thing in another system has the same key, wherever it stands in its list.
    key: String,
    place: String,
    what: String,
    value: Shown,
}

enum Shown {
    Num(&'static crate::units::KindInfo, f64),
    Word(String),
    Option(Option<Opt>),
}

impl Shown {
    fn say(&self, exact: bool, system: System) -> String {
        match self {
            Self::Word(w) => w.clone(),
            Self::Option(o) => o.map_or_else(String::new, |o| o.words(system)),
            Self::Num(k, x) if exact => {
                let unit = k.unit(system);
                format!("{} {}", number(unit.of_si(*x), 7), unit.symbol).trim_end().into()
            }
            Self::Num(k, x) => show(k, *x, system),
        }
    }
    fn same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Num(_, a), Self::Num(_, b)) => (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
            (Self::Word(a), Self::Word(b)) => a == b,
            (Self::Option(a), Self::Option(b)) => a == b,
            _ => false,
        }
    }
}

/// The station or branch that a path belongs to, as a key that does not depend on its place in the list, its name, and the rest of the path.
fn owner<'a>(d: &Document, path: &'a str) -> (String, String, &'a str) {
    let mut parts = path.splitn(3, '.');
    let (Some(list), Some(at), Some(rest)) = (parts.next(), parts.next(), parts.next()) else {
        let (part, rest) = path.split_once('.').unwrap_or(("", path));
        return (part.into(), if part == "water" { "Water and place".into() } else { "System".into() }, rest);
    };
    let Ok(i) = at.parse::<usize>() else { return (String::new(), "System".into(), path) };
    let name = |id: &str| d.stations().iter().find(|s| s.id == id).map_or_else(|| id.to_string(), |s| s.name.into());
    if list == "edges" {
        let Some(e) = d.edges.get(i) else { return (String::new(), String::new(), rest) };
        return (format!("edges {} {}", e.from, e.to), format!("{} to {}", name(&e.from), name(&e.to)), rest);
    }
    let root = format!("{list}.{i}");
    match d.stations().iter().find(|s| s.path() == root) {
        Some(s) => (format!("{list} {}", s.id), s.name.into(), rest),
        None => (root, "System".into(), rest),
    }
}

fn inputs(d: &Document) -> Vec<Input> {
    let mut rows: Vec<(String, String)> = vec![];
    let mut alone = false;
    let mut all = vec![];
    for e in form::layout(&mut d.clone()) {
        // What the person notes beside the sums is no input of the check, and a set flow counts only where it leaves a pump.
        if e.path.starts_with("notes.") {
            continue;
        }
        if flow::edge_of(&e.path).is_some_and(|k| !d.leaves_pump(k)) {
            continue;
        }
        let (label, value) = match e.item {
            LayoutItem::Num(spec, x) => (spec.label, Shown::Num(spec.kind, x)),
            LayoutItem::Choice(pick, i) => (pick.label, Shown::Option((pick.option)(i))),
            LayoutItem::Text(text, s) => (text.label, Shown::Word(s)),
            LayoutItem::List(_, rows) => {
                alone = rows == 1;
                continue;
            }
            LayoutItem::Row(name, i) => {
                let name = if alone { sentence(name) } else { sentence(&format!("{name} {}", i + 1)) };
                rows.push((format!("{}.", e.path), name));
                continue;
            }
            _ => continue,
        };
        let (root, place, rest) = owner(d, &e.path);
        // A row inside a station, such as its second group of fish.
        let inner = rows.iter().rev().find(|r| e.path.starts_with(&r.0) && r.0.matches('.').count() > 2);
        let what = inner.map_or_else(|| label.to_string(), |r| format!("{}: {label}", r.1));
        all.push(Input { key: format!("{root} {rest}"), root, place, what, value });
    }
    all
}

/// Every station and branch.
fn roots(all: &[Input]) -> Vec<String> {
    let mut roots: Vec<String> = vec![];
    for x in all {
        if !roots.contains(&x.root) {
            roots.push(x.root.clone());
        }
    }
    roots
}

/// Every level of a system, and a key that another system's has too.
fn keyed(d: &Document) -> Result<Vec<(String, Checked)>, Vec<FieldError>> {
    let stations = d.stations();
    // What all the water shares belongs to no station.
    let of = |l: &Checked| if worst::shared(&l.level) { "" } else { stations.get(l.station).map_or("", |s| s.id) };
    let key = |l: &Checked| format!("{} {} {}", of(l), l.level.id, l.nth);
    Ok(report::levels(d)?.into_iter().map(|l| (key(&l), l)).collect())
}

/// Compares two systems.
pub fn compare(before: &Document, after: &Document, words: Words) -> Comparison {
    let (mut old, mut new) = (inputs(before), inputs(after));
    let system = words.system;
    let (mut lines, mut same) = (vec![], 0);
    // A station or branch that only one of them has is one line.
    let known = [roots(&old), roots(&new)];
    for (mine, there, late) in [(&mut old, &known[1], false), (&mut new, &known[0], true)] {
        while let Some(i) = mine.iter().position(|x| !there.contains(&x.root)) {
            let (root, place) = (mine[i].root.clone(), mine[i].place.clone());
            let n = mine.iter().filter(|x| x.root == root).count();
            mine.retain(|x| x.root != root);
            let said = Some(format!("{n} {}", if n == 1 { "input" } else { "inputs" }));
            let (before, after) = if late { (None, said) } else { (said, None) };
            lines.push(Line { place: String::new(), what: place, before, after });
        }
    }
    for a in old {
        match new.iter().position(|b| b.key == a.key) {
            Some(k) => {
                let b = new.remove(k);
                if a.value.same(&b.value) {
                    same += 1;
                    continue;
                }
                let exact = a.value.say(false, system) == b.value.say(false, system);
                let (x, y) = (a.value.say(exact, system), b.value.say(exact, system));
                lines.push(Line { place: b.place, what: b.what, before: Some(x), after: Some(y) });
            }
            None => {
                let x = a.value.say(false, system);
                lines.push(Line { place: a.place, what: a.what, before: Some(x), after: None });
            }
        }
    }
    for b in new {
        let y = b.value.say(false, system);
        lines.push(Line { place: b.place, what: b.what, before: None, after: Some(y) });
    }
    let (mut faults, mut sides) = ([vec![], vec![]], [vec![], vec![]]);
    for (i, d) in [before, after].into_iter().enumerate() {
        match keyed(d) {
            Ok(l) => sides[i] = l,
            Err(e) => faults[i] = form::told(e, system),
        }
    }
    let [old, mut new] = sides;
    let mut levels: Vec<Change> = vec![];
    for (key, a) in old {
        let b = new.iter().position(|b| b.0 == key).map(|k| new.remove(k).1);
        let name = b.as_ref().map_or(&a, |b| b).level.name.to_string();
        levels.push(Change { name, before: Some(a), after: b });
    }
    levels.extend(new.into_iter().map(|(_, b)| Change {
        name: b.level.name.to_string(),
        before: None,
        after: Some(b),
    }));
    let full = |c: &Change| c.after.as_ref().or(c.before.as_ref()).map_or(0.0, |l| l.level.fullness());
    crate::units::arrange(&mut levels, |a, b| a.rank().cmp(&b.rank()).then(full(b).total_cmp(&full(a))));
    let names = [before.name.clone(), after.name.clone()];
    let verdict = verdict(&lines, &levels, &faults);
    Comparison { names, verdict, lines, same, levels, faults }
}

fn verdict(lines: &[Line], levels: &[Change], faults: &[Vec<FieldError>; 2]) -> String {
    if let Some(side) = faults.iter().position(|f| !f.is_empty()) {
        let which = ["before", "after"][side];
        return format!("The system {which} cannot be checked: {}", faults[side][0]);
    }
    if lines.is_empty() {
        return "The two are the same.".into();
    }
    let count = |n: usize, one: &str, more: &str| match n {
        1 => format!("One {one}"),
        n => format!("{n} {more}"),
    };
    let over = |l: &Option<Checked>| l.as_ref().is_some_and(|l| l.level.state() == State::Over);
    let now = levels.iter().filter(|l| over(&l.after) && !over(&l.before)).count();
    let no_more = levels.iter().filter(|l| over(&l.before) && !over(&l.after)).count();
    let worse = levels.iter().filter(|l| l.worse()).count();
    let mut said = format!("{}.", count(lines.len(), "input differs", "inputs differ"));
    if now > 0 {
        said += &format!(" {} over now and not before.", count(now, "level is", "levels are"));
    }
    if no_more > 0 {
        said += &format!(" {} over no more.", count(no_more, "level is", "levels are"));
    }
    if now == 0 && no_more == 0 {
        said += &match worse {
            0 => " No level got fuller.".to_string(),
            n => format!(" {} fuller, and nothing new is over.", count(n, "level is", "levels are")),
        };
    }
    said
}

impl Comparison {
    /// As JSON.
    pub fn json(&self) -> Value {
        let side = |l: &Option<Checked>| {
            l.as_ref().map(|l| {
                let mut v = l.level.json();
                if let Some(o) = v.as_object_mut() {
                    o.insert("day".into(), json!(l.day.word()));
                }
                v
            })
        };
        let lines: Vec<_> = self
            .lines
            .iter()
            .map(|l| json!({ "place": l.place, "what": l.what, "before": l.before, "after": l.after }))
            .collect();
        let levels: Vec<_> = self
            .levels
            .iter()
            .map(|c| json!({ "name": c.name, "before": side(&c.before), "after": side(&c.after), "worse": c.worse() }))
            .collect();
        json!({
            "verdict": self.verdict, "names": self.names, "differ": lines, "same": self.same, "levels": levels,
            "faults": [errors_json(&self.faults[0])["errors"], errors_json(&self.faults[1])["errors"]],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::form::Edit;
    use crate::system::demo;
    use crate::units::{kinds::*, si::*};

    fn demo(id: &str) -> Document {
        demo::by_id(id).expect("there").document()
    }

    #[test]
    fn a_system_is_the_same_as_itself() {
        for d in demo::ALL {
            let d = d.document();
            let c = compare(&d, &d, Words::default());
            assert!(c.lines.is_empty() && c.same > 20 && c.verdict == "The two are the same.", "{c:#?}");
            assert!(c.levels.iter().all(|l| !l.worse() && !l.better() && !l.turned()));
        }
    }

    #[test]
    fn one_change_is_one_line() {
        let a = demo("courtyard");
        let mut b = a.clone();
        b.tanks[0].oxygen.fish[0].count = COUNT.of(72.0);
        let c = compare(&a, &b, Words::default());
        assert_eq!(c.lines.len(), 1, "{:#?}", c.lines);
        let l = &c.lines[0];
        assert_eq!((l.place.as_str(), l.what.as_str()), ("Trough", "Group of fish: How many"));
        assert_eq!((l.before.as_deref(), l.after.as_deref()), (Some("36"), Some("72")));
        let first = &c.levels[0];
        assert!(first.worse() && first.turned(), "{first:#?}");
        assert!(["Oxygen", "Plants", "filter"].iter().any(|n| first.name.contains(n)), "{}", first.name);
        assert!(c.verdict.starts_with("One input differs."), "{}", c.verdict);
        // The other way round nothing is worse, but for plants that starve.
        let back = compare(&b, &a, Words::default());
        assert!(back.verdict.contains("over no more"), "{}", back.verdict);
    }

    #[test]
    fn stations_are_known_by_name_and_not_by_place() {
        let a = demo("enlarged");
        let mut b = a.clone();
        b.tanks.reverse();
        let c = compare(&a, &b, Words::default());
        assert!(c.lines.is_empty(), "{:#?}", c.lines);
        let enlarged = compare(&demo("courtyard"), &a, Words::default());
        let tank = enlarged.lines.iter().find(|l| l.what == "New tank").expect("the new tank");
        assert!(tank.before.is_none() && tank.after.as_ref().is_some_and(|a| a.ends_with("inputs")), "{tank:?}");
        assert!(enlarged.verdict.contains("over now and not before"));
        assert!(enlarged.levels.iter().any(|l| l.before.is_none()), "a new tank has levels of its own");
    }

    #[test]
    fn small_changes_show() {
        let a = demo("courtyard");
        let mut b = a.clone();
        assert!(form::apply(&mut b, &Edit::num("pumps.0.most", FLOW.of(l_h(1700.4)))));
        let c = compare(&a, &b, Words::default());
        assert_eq!(c.lines.len(), 1);
        assert_ne!(c.lines[0].before, c.lines[0].after);
        assert!(!c.levels.iter().any(Change::worse), "too little to be said");
    }

    #[test]
    fn what_cannot_be_checked_says_why() {
        let a = demo("courtyard");
        let mut b = a.clone();
        b.edges.pop();
        let c = compare(&a, &b, Words::default());
        assert!(c.verdict.starts_with("The system after cannot be checked"), "{}", c.verdict);
        assert!(c.faults[0].is_empty() && !c.faults[1].is_empty());
    }
}
