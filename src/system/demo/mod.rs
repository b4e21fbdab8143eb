//! Demo systems, all invented: documents in the app's own format, written with the units a person would type.

use super::{Document, json};
use serde_json::Value;

/// A demo system.
#[derive(Debug)]
pub struct Demo {
    /// Identifier.
    pub id: &'static str,
    /// What it is called; a test sees to it that its document says the same.
    pub name: &'static str,
    /// What it shows.
    pub about: &'static str,
    text: &'static str,
}

/// Every demo system.
pub static ALL: &[Demo] = &[
    Demo {
        id: "courtyard",
        name: "Courtyard trough",
        about: "A trough of catfish over a raft of lettuce, with a filter of plastic rings. Enough everywhere.",
        text: include_str!("courtyard.json"),
    },
    Demo {
        id: "enlarged",
        name: "Courtyard trough, enlarged",
        about: "The same with a second tank and a stronger pump on the old outlet. See what goes over, and what that does.",
        text: include_str!("enlarged.json"),
    },
    Demo {
        id: "hill_trout",
        name: "Hill trout",
        about: "Rainbow trout in cold water high in the hills, with watercress. Enough today; at harvest in the hottest water oxygen runs short.",
        text: include_str!("hill_trout.json"),
    },
    Demo {
        id: "classroom",
        name: "Classroom rig",
        about: "A small tank of young common carp over a bed of herbs that floods and drains by itself, with pump curve, sump, heater and water test.",
        text: include_str!("classroom.json"),
    },
];

impl Demo {
    /// The document; a test sees to it that every demo reads.
    pub fn document(&self) -> Document {
        let Ok(Value::Object(o)) = serde_json::from_str(self.text) else { return Document::default() };
        json::read(&o).map(|r| r.0).unwrap_or_default()
    }
}

/// The demo of that name.
pub fn by_id(id: &str) -> Option<&'static Demo> {
    ALL.iter().find(|d| d.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::air::AirMode;
    use crate::calculators::outcome::{Brim, State};
    use crate::science::respiration::Solids;
    use crate::system::check::Day;
    use crate::system::document::{DensityBy, Stocking};
    use crate::system::{check, report};
    use crate::units::{Words, kinds::*, si::*};

    #[test]
    fn every_demo_reads_and_is_checked() {
        for demo in ALL {
            let Ok(Value::Object(o)) = serde_json::from_str(demo.text) else { panic!("{} is no JSON object", demo.id) };
            let (d, _) = json::read(&o).unwrap_or_else(|e| panic!("{}: {e:#?}", demo.id));
            assert!(d.name == demo.name && !d.tanks.is_empty(), "{}", demo.id);
            report::report(&d, Words::default()).unwrap_or_else(|e| panic!("{}: {e:#?}", demo.id));
        }
    }

    #[test]
    fn the_first_is_enough_everywhere() {
        let r = report::report(&ALL[0].document(), Words::default()).expect("checks");
        for l in &r.levels {
            assert_ne!(l.level.state(), State::Over, "{}: {}", l.level.name, l.level.percent());
        }
        assert!(r.levels.iter().all(|l| l.today.state() == State::Enough), "{:#?}", r.levels);
        assert!(r.chain.is_empty());
        assert!(r.levels.iter().any(|l| l.level.id == "filter"), "the filter is not checked");
    }

    /// Fish without a word of their filter are not called enough: rafts alone may carry a fraction of them.
    #[test]
    fn what_nothing_is_said_of_is_named() {
        let said = |d: &super::Document| report::report(d, Words::default()).expect("checks").verdict;
        let mut d = by_id("courtyard").expect("there").document();
        assert!(said(&d).starts_with("Enough everywhere"), "{}", said(&d));
        d.sumps[0].levels.clear();
        assert!(said(&d).starts_with("Enough in all that is checked"), "{}", said(&d));
        assert!(said(&d).ends_with("nothing is entered: the room in the sump."), "{}", said(&d));
        d.ammonia.clear();
        assert!(said(&d).ends_with("nothing is entered: the filter and the room in the sump."), "{}", said(&d));
        d.stocking.clear();
        let three = "nothing is entered: the filter, the room in the sump and how many fish the water may hold.";
        assert!(said(&d).ends_with(three), "{}", said(&d));
        d.tanks[0].oxygen.fish.clear();
        assert!(!said(&d).contains("the filter"), "without fish nothing feeds it: {}", said(&d));
        assert!(!said(&d).contains("how many fish"), "{}", said(&d));
        assert!(!said(&by_id("classroom").expect("there").document()).contains("Not checked"));
    }

    /// Practice by a tank's air and solids, or the person's own; and solids only where no settler takes them out.
    #[test]
    fn fish_per_water_and_solids_are_checked() {
        let mut d = by_id("courtyard").expect("there").document();
        let load = |d: &super::Document, id: &str| {
            let s = check::solve(d, Day::Harvest).expect("solves");
            s.levels.iter().find(|l| l.1.id == id).and_then(|l| l.1.load())
        };
        let near = |d: &super::Document, id: &str, want: f64| {
            let is = load(d, id).unwrap_or_else(|| panic!("no {id}"));
            assert!((is - want).abs() < 1e-9, "{id}: {is} instead of {want}");
        };
        // 36 fish of 450 g in 900 L are 18 kg/m3; growers keep 30 with air and the solids drawn, 20 where they settle, 10 without air.
        near(&d, "density", 18.0 / 30.0);
        d.tanks[0].oxygen.solids = Solids::Settled;
        near(&d, "density", 18.0 / 20.0);
        d.tanks[0].oxygen.air.mode = AirMode::None;
        near(&d, "density", 18.0 / 10.0);
        d.stocking[0] = Stocking { by: DensityBy::Own, own: STOCKING.of(45.0) };
        near(&d, "density", 18.0 / 45.0);
        assert_eq!(load(&d, "solids"), None, "a settler takes them out");
        let mut d = by_id("classroom").expect("there").document();
        let (t, bed) = (&d.tanks[0].oxygen, &d.beds[0].bed);
        let kept = 300.0 * (bed.area * bed.depth).value + 30.0 * t.volume.value;
        let fed = check::solve(&d, Day::Harvest).expect("solves").feed.value / g_day(1.0);
        near(&d, "solids", fed * 0.5 / kept);
        d.stocking.clear();
        assert_eq!((load(&d, "solids"), load(&d, "density")), (None, None), "nobody said so");
    }

    /// Crowded fish are thinned, drawn or given room, and each repair brings what it says.
    #[test]
    fn crowded_water_is_repaired() {
        let mut d = by_id("courtyard").expect("there").document();
        (d.tanks[0].oxygen.solids, d.tanks[0].harvest) = (Solids::Settled, SMALL_MASS.of(g(520.0)));
        let r = report::report(&d, Words::default()).expect("checks");
        let over: Vec<_> =
            r.levels.iter().filter(|l| l.level.state() == State::Over).map(|l| l.level.id.as_ref()).collect();
        assert_eq!(over, ["density"], "{}", r.verdict);
        for way in ["36", "draw the solids off", "mean mass at harvest", "water the fish live in"] {
            let found = r.repairs.iter().find(|t| t.repair.title.to_ascii_lowercase().contains(way));
            let t = found.unwrap_or_else(|| {
                panic!("{way}: {:#?}", r.repairs.iter().map(|t| &t.repair.title).collect::<Vec<_>>())
            });
            assert!(t.repair.level.fullness() <= 0.8 + 1e-9, "{}: {}", t.repair.title, t.repair.effect);
        }
    }

    #[test]
    fn a_hottest_water_that_is_colder_than_todays_is_noticed() {
        let mut d = by_id("courtyard").expect("there").document();
        let said = |d: &super::Document| {
            let r = report::report(d, Words::default()).expect("checks");
            r.cautions.iter().any(|c| c.text.contains("the worst day is not checked"))
        };
        assert!(!said(&d));
        d.water.hottest = d.water.coldest;
        assert!(said(&d));
    }

    /// From the outlet to the oxygen to the fish, and a repair that ends it.
    #[test]
    fn the_second_shows_the_whole_chain() {
        let d = by_id("enlarged").expect("there").document();
        let s = check::solve(&d, Day::Today).expect("solves");
        let r = report::report(&d, Words::default()).expect("checks");
        let over: Vec<_> =
            r.levels.iter().filter(|l| l.level.state() == State::Over).map(|l| l.level.id.as_ref()).collect();
        assert!(over.contains(&"outlet") && over.contains(&"oxygen"), "{over:?}");
        let (i, narrow) = s.tanks.iter().enumerate().find(|(_, t)| t.throttled).expect("one is throttled");
        assert!(narrow.flow < narrow.set);
        let mut wide = d.clone();
        wide.tanks[i].outlet.pipe = crate::catalog::pipes::by_id("pvc_110").expect("a pipe");
        let wide = check::solve(&wide, Day::Today).expect("solves");
        assert!(
            !wide.tanks[i].throttled && narrow.oxygen.capacity.0 < wide.tanks[i].oxygen.capacity.0,
            "less flow, less oxygen"
        );
        assert!(r.chain.len() >= 4, "{:#?}", r.chain);
        let last = r.chain.last().and_then(|l| l.repair).expect("the chain ends in a repair");
        assert!(r.repairs[last].whole);
        assert!(r.verdict.contains("spills"), "{}", r.verdict);
    }

    /// While somebody types, everything but the search for repairs is as ever, and nothing is repaired that is not over.
    #[test]
    fn a_report_so_far_differs_in_its_repairs_alone() {
        let (w, d) = (Words::default(), by_id("enlarged").expect("there").document());
        let before = report::report(&d, w).expect("checks");
        let mut typed = d.clone();
        typed.tanks[1].outlet.length = LENGTH.of(9.0);
        let (so_far, whole) =
            (report::report_so_far(&typed, w, &before).expect("checks"), report::report(&typed, w).expect("checks"));
        assert_eq!((&so_far.levels, &so_far.verdict), (&whole.levels, &whole.verdict));
        assert_ne!(so_far.levels, before.levels);
        assert_eq!(so_far.repairs, before.repairs);
        assert_ne!(whole.repairs, before.repairs);
        let enough = report::report_so_far(&ALL[0].document(), w, &before).expect("checks");
        assert!(enough.repairs.is_empty() && enough.chain.is_empty());
    }

    /// One page says one capacity: the verdict, the chain and the level.
    #[test]
    fn the_capacity_of_an_outlet_is_said_alike() {
        let r = report::report(&by_id("enlarged").expect("there").document(), Words::default()).expect("checks");
        let outlet = r.levels.iter().find(|l| l.level.id == "outlet").expect("an outlet");
        let Brim::Upper(capacity) = outlet.level.brim else { panic!("one brim") };
        let carries = format!("carries {}", Words::default().q(FLOW, FLOW.of(capacity.low)));
        assert!(r.verdict.contains(&carries), "{}: {carries}", r.verdict);
        assert!(r.chain[0].text.contains(&carries), "{}: {carries}", r.chain[0].text);
    }

    #[test]
    fn the_classroom_is_enough_on_every_day() {
        let d = by_id("classroom").expect("there").document();
        let r = report::report(&d, Words::default()).expect("checks");
        for l in &r.levels {
            assert_eq!(l.level.state(), State::Enough, "{}: {}", l.level.name, l.level.percent());
        }
        // The whole loop is shown: pump, siphon, sump, water test and heat.
        for id in ["lift", "inflow", "spill", "unionised", "ammonia", "heater"] {
            assert!(r.levels.iter().any(|l| l.level.id == id), "{id}");
        }
        assert_eq!(r.stations.iter().filter(|s| s.water.is_some()).count(), 3);
    }

    #[test]
    fn the_trout_are_well() {
        let r = report::report(&by_id("hill_trout").expect("there").document(), Words::default()).expect("checks");
        for l in &r.levels {
            assert_ne!(l.today.state(), State::Over, "{}: {}", l.level.name, l.level.percent());
        }
    }
}
