//! What is filled in, as lines under headings: for a paper and for a table.

use super::work::{Paper, Work};
use crate::calculators::form::{LayoutEntry, LayoutItem, List};
use crate::system::{Document, flow};
use crate::units::{System, sentence, show};

/// One field with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is called.
    pub label: &'static str,
    /// Its value in words.
    pub words: String,
    /// Its number in the unit that is shown, and that unit.
    pub number: Option<(f64, &'static str)>,
    /// Is it still at what it was born with?
    pub assumed: bool,
    /// Does it stand behind "more detail"?
    pub detail: bool,
}

/// Lines that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they are of; empty for the first fields of a sheet.
    pub title: String,
    /// The lines, in the order of the page.
    pub lines: Vec<Line>,
}

/// A heading, and what the paths under it begin with.
struct Head {
    words: String,
    under: String,
    group: bool,
}

/// Every active field of some work in the order of the page; the details too, because they are computed with.
pub fn inputs(work: &Work, system: System) -> Vec<Group> {
    let mut all: Vec<Group> = vec![];
    let mut heads: Vec<Head> = vec![];
    let mut lists: Vec<(List, usize)> = vec![];
    for LayoutEntry { path, item, detail } in work.layout() {
        let group = matches!(item, LayoutItem::Title(title) if title == path);
        if !group && let Some(ended) = heads.iter().position(|h| !path.starts_with(&h.under)) {
            heads.truncate(ended);
        }
        let (label, words, number) = match item {
            LayoutItem::Title(_) if detail => continue,
            LayoutItem::Title(title) => {
                while heads.last().is_some_and(|h| h.group) {
                    heads.pop();
                }
                let outer = heads.last().map(|h| h.under.clone()).unwrap_or_default();
                heads.push(Head { words: title.into(), under: if group { outer } else { path + "." }, group });
                continue;
            }
            LayoutItem::List(list, rows) => {
                lists.push((list, rows));
                continue;
            }
            LayoutItem::EndList => {
                lists.pop();
                continue;
            }
            LayoutItem::Row(name, i) => {
                let words = match (work.system().and_then(|d| way(d, &path)), lists.last()) {
                    (Some(way), _) => way,
                    (None, Some((list, 1))) => list.label.into(),
                    (None, Some((list, _))) => format!("{} {}", list.label, i + 1),
                    _ => sentence(name),
                };
                heads.push(Head { words, under: path + ".", group: false });
                continue;
            }
            LayoutItem::Text(text, name) => {
                // The name of a station is the heading of what is said of it.
                if let (false, Some(head), "name") = (lists.is_empty(), heads.last_mut(), text.key) {
                    if !name.is_empty() {
                        head.words = name;
                    }
                    continue;
                }
                (text.label, name, None)
            }
            LayoutItem::Num(spec, si) => {
                let unit = spec.kind.unit(system);
                (spec.label, show(spec.kind, si, system), Some((unit.of_si(si), unit.symbol)))
            }
            LayoutItem::Choice(pick, at) => {
                (pick.label, (pick.option)(at).map(|o| o.words(system)).unwrap_or_default(), None)
            }
        };
        if beside(work, &path) {
            continue;
        }
        let line = Line { label, words, number, assumed: work.assumed(&path), detail };
        let title = heads.iter().map(|h| h.words.as_str()).collect::<Vec<_>>().join(" · ");
        match all.iter_mut().find(|g| g.title == title) {
            Some(group) => group.lines.push(line),
            None => all.push(Group { title, lines: vec![line] }),
        }
    }
    all
}

/// What a system is called and what is noted beside its sums is no input of them; nor is the set flow of a way that no pump feeds.
fn beside(work: &Work, path: &str) -> bool {
    match &work.paper {
        Paper::System(d) => {
            path == "name"
                || path.starts_with("notes.")
                || flow::edge_of(path).is_some_and(|k| {
                    let pumped = |from: &str| d.pumps.iter().any(|p| p.id == from);
                    !d.edges.get(k).is_some_and(|e| pumped(&e.from))
                })
        }
        _ => false,
    }
}

/// The way of the water at this path, by the names of its ends.
fn way(d: &Document, path: &str) -> Option<String> {
    let at = path.strip_prefix("edges.")?;
    let e = d.edges.get(at.parse::<usize>().ok()?)?;
    let all = d.stations();
    let name = |id: &str| all.iter().find(|s| s.id == id).map_or(id.to_string(), |s| s.name.to_string());
    Some(format!("{} to {}", name(&e.from), name(&e.to)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::{self, form::Edit, form::EditValue};
    use crate::session::stations::starter;
    use crate::system::demo;

    fn sheet(id: &str) -> Work {
        Work::new(Paper::Sheet((calculators::by_id(id).expect("there").sheet)()))
    }

    fn find<'a>(all: &'a [Group], title: &str, label: &str) -> &'a Line {
        let group = all.iter().find(|g| g.title == title).unwrap_or_else(|| panic!("no {title}: {all:#?}"));
        group.lines.iter().find(|l| l.label == label).unwrap_or_else(|| panic!("no {label}: {group:#?}"))
    }

    #[test]
    fn every_field_of_every_sheet_is_told_once() {
        for entry in calculators::ALL {
            let work = sheet(entry.id);
            let field = |e: &LayoutEntry| matches!(e.item, LayoutItem::Num(..) | LayoutItem::Choice(..));
            let fields = work.layout().iter().filter(|e| field(e)).count();
            let told: usize = inputs(&work, System::Us).iter().map(|g| g.lines.len()).sum();
            assert!(told >= fields && fields > 0, "{}: {told} of {fields}", entry.id);
        }
    }

    #[test]
    fn what_was_touched_is_not_assumed_and_stands_in_the_units_shown() {
        let mut work = sheet("drain");
        assert!(work.apply(&Edit { path: "flow".into(), to: EditValue::Si(0.001) }));
        let all = inputs(&work, System::Metric);
        let flow = all.iter().flat_map(|g| &g.lines).find(|l| l.words == "3\u{202f}600\u{202f}L/h").expect("the flow");
        assert!(!flow.assumed && flow.number.is_some_and(|(x, u)| (x - 3600.0).abs() < 1e-6 && u == "L/h"), "{flow:?}");
        assert!(all.iter().flat_map(|g| &g.lines).filter(|l| !l.assumed).count() == 1);
        let us = inputs(&work, System::Us);
        assert!(us.iter().flat_map(|g| &g.lines).any(|l| l.number.is_some_and(|(_, unit)| unit == "gal/h")));
    }

    #[test]
    fn a_system_is_told_station_by_station() {
        let d = demo::by_id("classroom").expect("there").document();
        let fish = d.tanks[0].oxygen.fish[0].count.value;
        let all = inputs(&Work::new(Paper::system(d)), System::Metric);
        assert_eq!(find(&all, "Fish tank · Fish, water and air · Fish", "How many").number, Some((fish, "")));
        find(&all, "Fish tank · Outlet · Fittings on the rising pipe", "Fitting");
        find(&all, "Herb bed · Automatic siphon", "Length of the bed");
        find(&all, "Pump to Fish tank · Its pipe", "Length of that pipe");
        find(&all, "Heat", "Heaters you have");
        // A way that no pump feeds has nothing to say, notes and names are no inputs.
        assert!(!all.iter().any(|g| g.title.starts_with("Fish tank to")), "{all:#?}");
        assert!(!all.iter().flat_map(|g| &g.lines).any(|l| l.label == "Currency" || l.label == "Name"));
    }

    #[test]
    fn a_station_without_a_name_has_that_of_its_list() {
        let mut work = starter("New", System::Metric);
        assert!(work.apply(&Edit { path: "tanks.0.name".into(), to: EditValue::Text(String::new()) }));
        assert!(inputs(&work, System::Metric).iter().any(|g| g.title == "Fish tanks · Outlet"));
    }
}
