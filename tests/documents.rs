//! Saved documents of every version are opened as long as there is a Brimwise: nothing of them is lost, and they say what they said.
//!
//! Beside every document of `tests/documents/v1/`, `v2/`, `v3/`, `v4/` and `v5/` stands what that version computed for it (`NAME.levels.json`). None of these files is ever
//! changed or deleted. (Short codes of version 1 stand in `tests/codes/`.)
#![cfg(not(target_arch = "wasm32"))]

use brimwise::calculators::form::{Edit, EditValue};
use brimwise::calculators::oxygen::FeedBy;
use brimwise::session::{Work, saved};
use brimwise::system::check::{self, Day};
use brimwise::system::{Document, json, report};
use brimwise::units::{Words, si::celsius};
use serde_json::Value;
use std::{collections::BTreeMap, fs, path::PathBuf};

/// Every document that is kept, under its version.
const ALL: [&str; 28] = [
    "v1/courtyard",
    "v1/enlarged",
    "v1/hill_trout",
    "v1/everything",
    "v1/whole",
    "v2/courtyard",
    "v2/enlarged",
    "v2/hill_trout",
    "v2/classroom",
    "v2/planned",
    "v3/courtyard",
    "v3/enlarged",
    "v3/hill_trout",
    "v3/classroom",
    "v3/planned",
    "v4/courtyard",
    "v4/enlarged",
    "v4/hill_trout",
    "v4/classroom",
    "v4/planned",
    "v4/yard",
    "v5/courtyard",
    "v5/enlarged",
    "v5/hill_trout",
    "v5/classroom",
    "v5/planned",
    "v5/untested",
    "v5/yard",
];

fn text(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/documents").join(name);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn value(name: &str) -> Value {
    serde_json::from_str(&text(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn open(name: &str) -> saved::Saved {
    saved::decode(&text(&format!("{name}.json"))).work().unwrap_or_else(|e| panic!("{name}: {e:#?}"))
}

fn document(work: &Work) -> Document {
    work.system().expect("a system").clone()
}

/// Levels that are computed otherwise now, each with why. What they ask is still what it was, but where walls lose heat; the rest must be what it was
/// to nine digits.
fn changed(of: u64, d: &Document, station: &str, id: &str) -> Option<&'static str> {
    let mixed =
        "version 1 took every tank for a loop of its own; now the water of several tanks is mixed round the loop";
    let stays = "a plain barrel was called large enough for water that did not stay in it long enough";
    let walls = "all the water was taken as in one round tank; now tanks, sumps and beds have walls of their own. A floor on the ground lost no more than a \
                 house's, in winter to ground as warm as the mean of the year; and a hot spell's afternoons were taken as no warmer than its mean. \
                 A cover was laid over the plants of beds, which nobody does";
    let salt = "the limit of nitrite was whole up to the nitrite that chloride holds off, and fell at once there; now it goes with the chloride";
    let borne = "channel catfish were said to die below 5 °C and above 32.5 °C, and carp below 4 °C, where they live";
    let slower = "channel catfish were said to bear more un-ionised ammonia than the least that slowed their growth";
    let trout = "trout were said to bear as much nitrite as chloride holds off for catfish; least of what slowed their growth counts now";
    let has = |of: &str| d.tanks.iter().any(|t| t.id == station && t.oxygen.fish.iter().any(|g| g.species.id == of));
    let slow = "solids were said to sink as fast in cold water as at 14 °C, where settlers were measured";
    let plain = || d.settlers.iter().any(|s| s.id == station && s.settling.kind.id == "plain");
    // What version 4 said already.
    let since = match id {
        "unionised" => true,
        "nitrite" => has("trout"),
        "summer" | "warmth" => has("carp"),
        _ => false,
    };
    if of > 4 || of > 3 && !since {
        return None;
    }
    match id {
        "oxygen" if of == 1 && d.tanks.len() > 1 => Some(mixed),
        "settling" if plain() => Some(stays),
        "settling" if d.water.coldest.value < celsius(14.0) => Some(slow),
        "summer" if of > 3 => Some("carp were said to stop feeding above 32 °C, where they grew in trials"),
        "heater" | "cut" | "summer" => Some(walls),
        "nitrite" if has("trout") => Some(trout),
        "nitrite" => Some(salt),
        "unionised" if has("catfish") => Some(slower),
        "dry" | "sump" | "lift" if !d.heat.is_empty() => {
            Some("what evaporates in the hottest spell by the heat part was not asked of the sump")
        }
        "alkalinity" => Some("alkalinity that is used up within the day was called enough to hold the pH"),
        "warmth" if has("catfish") || has("carp") => Some(borne),
        _ => None,
    }
}

/// The levels of walls, and how many times as much they may ask now. In summer the heat of the day and the cooling were nearly even, so that little was
/// asked at all. Alkalinity asks a day's use more, and a sump what evaporates.
const WALLS: [(&str, f64); 7] = [
    ("heater", 2.5),
    ("cut", 2.5),
    ("summer", 100.0),
    ("alkalinity", 5.0),
    ("dry", 1.1),
    ("sump", 1.1),
    ("lift", 1.01),
];

/// Where a tank spills, versions up to 3 let its water stand past its rim, and the sump fall by as much more: the pump lifted it higher, and sent a
/// little less.
const SPILLS: ([&str; 2], f64, f64) = (["v2/enlarged", "v3/enlarged"], 1e-2, 5e-2);

/// In those the branch of that tank is throttled. Versions up to 3 left the pump's other branch at what it had got beside an open one, which is no point of the
/// pump's curve; now it gets what the pump sends through it beside the throttled one, over half as much again, and tank, settler, bed, sump and lift go by
/// that. The levels that do, and between which parts of what they were they must be now.
const MOVED: [(&str, f64, f64); 8] = [
    ("turnover", 0.6, 1.001),
    ("oxygen", 0.94, 1.001),
    ("settling", 1.25, 1.35),
    ("flow", 0.72, 0.82),
    ("dry", 0.88, 0.97),
    ("sump", 0.88, 0.97),
    ("ammonia", 0.8, 0.95),
    ("lift", 0.9, 0.97),
];

/// A power cut was reckoned for all the water as one, beds too. Its pump stands still, so now each tank with fish cools alone: it may lose this part of
/// what all did, without the walls of its beds.
const CUT: f64 = 0.7;

/// Where a pump is solved, its sump stands lower before a top-up and with the beds full, and less comes. Versions up to 3 asked that of the turnover alone. The
/// levels that are asked it now too, and how many times as full they may be. Where more evaporates than was put down, the turnover too.
const LOW: [(&str, f64); 5] =
    [("oxygen", 1.06), ("flow", 1.08), ("ammonia", 1.03), ("inflow", 1.1), ("turnover", 1.003)];

/// Levels that a version had not yet and that its documents are asked too, each with why.
const NEW: [(&str, &str); 8] = [
    ("roots", "water that the crop of a bed does not bear was called enough; the bed has always said what grows in it"),
    ("alkalinity", "water without alkalinity was called enough; its test has always said how much there is"),
    ("salt", "salt that kills the fish was called enough; the water has always said how much there is"),
    ("crop_salt", "salt in which a crop does not yield was called enough; the water has always said how much there is"),
    (
        "crop_ph",
        "a pH at which a crop takes up iron and phosphorus poorly was called enough; the test has always said what it is",
    ),
    ("head", "a settler whose pipes pass nothing was called enough; it has always said how wide they are"),
    (
        "carbon_dioxide",
        "water whose pH and alkalinity tell of carbon dioxide that narcotises the fish was called enough",
    ),
    ("ph", "a pH that kills the fish was called enough; the test has always said what it is"),
];

/// The version of a document, by its folder.
fn version(name: &str) -> u64 {
    name[1..2].parse().expect("a version")
}

/// The days, by the words that were written.
fn day(word: &str) -> Day {
    Day::ALL.into_iter().find(|d| d.word() == word).unwrap_or_else(|| panic!("no day “{word}”"))
}

/// Every level of its version is there, with the numbers that it had on its worst day and today; and no other is.
fn same_verdict(name: &str, d: &Document) {
    let was = value(&format!("{name}.levels.json"));
    // Versions up to 3 found heads to 1e-8 m, and what goes by the flow a little less finely.
    let near = if SPILLS.0.contains(&name) { SPILLS.1 } else { 1e-7 };
    let stations = d.stations();
    let on = |day: Day| -> Vec<(String, Value)> {
        let s = check::solve(d, day).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        let had = |id: &str| was["levels"].as_array().is_some_and(|all| all.iter().any(|l| l["id"] == id));
        // Those of a test that nobody has read are worked out, and not told.
        let unread = d.ammonia.iter().any(|a| !a.0.is_read());
        let told = |id: &str| had(id) || !unread && NEW.iter().all(|n| n.0 != id);
        let known = s.levels.iter().filter(|l| told(&l.1.id));
        known.map(|(k, l)| (stations[*k].id.to_string(), l.json())).collect()
    };
    let (today, mut taken) = (on(Day::Today), BTreeMap::new());
    let at_worst = report::levels(d).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
    let harvests: Vec<_> = at_worst.iter().map(|l| (stations[l.station].id.to_string(), l.level.json())).collect();
    let low = check::solve(d, Day::Today).expect("solves").low.is_some();
    let levels = was["levels"].as_array().expect("levels");
    for w in levels {
        let (station, id) = (w["station"].as_str().expect("station"), w["id"].as_str().expect("id"));
        // Two groups of fish in one tank have a level each of the same name.
        let nth = taken.entry((station, id)).and_modify(|n| *n += 1).or_insert(0);
        let of = |day: &[(String, Value)]| {
            let mut same = day.iter().filter(|l| l.0 == station && l.1["id"] == id);
            same.nth(*nth).unwrap_or_else(|| panic!("{name}: {station} has lost its {id}")).1.clone()
        };
        // Where fish are harvested group by group, the harvest is that of one of them.
        let worst = match day(w["day"].as_str().expect("day")) {
            Day::Harvest if !d.groups.is_empty() => harvests.clone(),
            day => on(day),
        };
        for (which, n, w) in [("worst", of(&worst), w), ("today", of(&today), &w["today"])] {
            // What is weighed out was the same at harvest as today; now it grows with the fish as the tables say.
            let weighed = || d.tanks.iter().any(|t| t.id == station && t.oxygen.feed_by == FeedBy::Weighed);
            if version(name) < 4 && which == "worst" && id == "oxygen" && w["day"] == Day::Harvest.word() && weighed() {
                assert!(n["demand"][1].as_f64() > w["demand"][1].as_f64(), "{name}: {n}");
                continue;
            }
            if changed(version(name), d, station, id).is_some() {
                let asked = |v: &Value| v["demand"][1].as_f64().unwrap_or_else(|| panic!("{name}: {v}"));
                let (n, w) = (asked(&n), asked(w));
                // More walls ask no less, and not very much more.
                let most = WALLS.iter().find(|(of, _)| *of == id).map_or(1.0 + near, |of| of.1);
                let least = if id == "cut" { CUT } else { 1.0 - near };
                let holds = (least * w..=most * w).contains(&n);
                assert!(holds, "{name}: {station} {id}, {which}: {n}, and its version said {w}");
                continue;
            }
            if let Some((_, least, most)) = MOVED.iter().find(|m| SPILLS.0.contains(&name) && m.0 == id) {
                let part = n["load"].as_f64().expect("load") / w["load"].as_f64().expect("load");
                assert!(
                    (*least..=*most).contains(&part),
                    "{name}: {station} {id}, {which}: {part} of what its version said"
                );
                continue;
            }
            if let Some((_, most)) = LOW.iter().find(|l| low && l.0 == id && (id != "turnover" || !d.heat.is_empty())) {
                let part = n["load"].as_f64().expect("load") / w["load"].as_f64().expect("load");
                let holds = (1.0 - near.max(2e-6)..=*most).contains(&part);
                assert!(holds, "{name}: {station} {id}, {which}: {part} of what its version said");
                continue;
            }
            let (n, w) = (numbers(&n), numbers(w));
            assert!(n.len() == w.len() && n.len() >= 3, "{name}: {station} {id}");
            for (a, b) in n.into_iter().zip(w) {
                // Version 2 found what the filter carries round the loop to a millionth.
                let near = match id {
                    "ammonia" => near.max(2e-6),
                    "lift" if SPILLS.0.contains(&name) => SPILLS.2,
                    _ => near,
                };
                assert!(
                    (a - b).abs() <= near * b.abs(),
                    "{name}: {station} {id}, {which}: {a}, and its version said {b}"
                );
            }
        }
    }
    assert_eq!(today.len(), levels.len(), "{name}: a level that its version had not was invented: {today:#?}");
    let s = check::solve(d, Day::Today).expect("solves");
    let flows = s.flows.edges;
    let flows_then = was["flows"].as_array().expect("flows");
    assert_eq!(flows.len(), flows_then.len());
    for (a, w) in flows.into_iter().zip(flows_then) {
        let b = w["flow"].as_f64().expect("flow");
        if SPILLS.0.contains(&name) && (a / b - 1.0).abs() > near {
            // Of what the pump sends at its own head the other branch gets the rest.
            let out = &s.pumps[0].as_ref().expect("solved").out;
            let curve = out.pumps.flow(out.usual.head).value;
            assert!(a > 1.25 * b && (out.usual.pumped.value / curve - 1.0).abs() < 1e-6, "{name}: {a} {w}");
            continue;
        }
        assert!((a - b).abs() <= near * b, "{name}: {a} {w}");
    }
}

fn numbers(level: &Value) -> Vec<f64> {
    ["demand", "capacity", "brims", "load"]
        .iter()
        .flat_map(|k| match &level[k] {
            Value::Array(a) => a.iter().filter_map(Value::as_f64).collect(),
            v => v.as_f64().into_iter().collect::<Vec<_>>(),
        })
        .collect()
}

#[test]
fn every_version_says_what_it_said() {
    for name in ALL {
        let d = document(&open(name).work);
        assert_eq!(value(&format!("{name}.json"))["brimwise"], version(name), "{name}");
        assert!(d.stocking.is_empty() || version(name) > 2, "{name}: something was said that nobody said");
        let said = d.settlers.iter().any(|s| !s.outlet.is_empty()) || d.beds.iter().any(|b| !b.outlet.is_empty());
        assert!(!said || version(name) > 3, "{name}: something was said that nobody said");
        assert!(d.groups.is_empty() || version(name) > 4, "{name}: something was said that nobody said");
        same_verdict(name, &d);
    }
    for name in ALL.into_iter().filter(|n| version(n) == 1) {
        let d = document(&open(name).work);
        assert!(d.heat.is_empty() && d.ammonia.is_empty(), "{name}: something was said that nobody said");
        assert!(d.pumps.iter().all(|p| p.curve.is_empty()) && d.edges.iter().all(|e| e.run.is_empty()), "{name}");
        assert!(d.beds.iter().all(|b| b.siphon.is_empty()) && d.sumps.iter().all(|s| s.levels.is_empty()), "{name}");
    }
}

/// What nobody had read stays so until somebody does, if that is 0 and 0; and what read something stays read.
#[test]
fn what_was_read_is_read_and_the_rest_is_not() {
    for name in ALL {
        let work = open(name).work;
        let (d, was) = (document(&work), value(&format!("{name}.levels.json")));
        let Some(a) = d.ammonia.first().map(|a| &a.0) else { continue };
        let zero = [a.tan, a.nitrite].map(|x| x.value) == [0.0; 2];
        assert_eq!([a.test_read.yes(), a.is_read()], [!zero; 2], "{name}");
        assert_eq!(zero, ["v2/planned", "v5/untested"].contains(&name), "{name}");
        let said = "Not checked, because nothing is entered: the readings of a water test.";
        let tells = |d: &Document| report::report(d, Words::default()).expect("checks").verdict.contains(said);
        assert_eq!(tells(&d), zero && version(name) > 2, "{name}");
        if name == "v5/untested" {
            let ids = |all: &[Value]| all.iter().map(|l| l["id"].clone()).collect::<Vec<_>>();
            let levels = report::levels(&d).expect("checks");
            let now: Vec<_> = levels.iter().map(|l| l.level.json()).collect();
            assert_eq!(ids(&now), ids(was["levels"].as_array().expect("levels")), "{name}");
            assert!(!a.is_lime_read(), "a plan's alkalinity is nobody's");
            // Typing the 0 that stands there reads it.
            let mut now = work.clone();
            assert!(now.apply(&Edit { path: "ammonia.0.tan".into(), to: EditValue::Si(0.0) }));
            assert!(!tells(&document(&now)) && !now.assumed("ammonia.0.test_read"), "{name}");
        }
    }
}

#[test]
fn saved_again_it_is_of_this_version_and_says_the_same() {
    for name in ALL {
        let first = open(name);
        let again = saved::encode(&first.work, first.at_ms).expect("a system is kept");
        assert_eq!(again["brimwise"], saved::VERSION);
        let back = saved::decode(&again.to_string()).work().unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        assert_eq!(back.at_ms, first.at_ms, "{name}");
        assert_eq!(back.work.touched, first.work.touched, "{name}: what was assumed");
        assert_eq!(format!("{:?}", back.work.paper), format!("{:?}", first.work.paper), "{name}");
        same_verdict(name, &document(&back.work));
    }
}

#[test]
fn every_value_is_kept() {
    // Every value that the file of all values holds stands in what is written now.
    fn within(was: &Value, now: &Value, at: &str) {
        match (was, now) {
            (Value::Object(w), Value::Object(n)) => {
                w.iter().for_each(|(k, w)| within(w, n.get(k).unwrap_or(&Value::Null), &format!("{at}.{k}")));
            }
            (Value::Array(w), Value::Array(n)) => {
                assert_eq!(w.len(), n.len(), "{at}");
                w.iter().zip(n).enumerate().for_each(|(i, (w, n))| within(w, n, &format!("{at}.{i}")));
            }
            _ => assert_eq!(was, now, "{at}"),
        }
    }
    // These hold every value of theirs.
    for name in ALL.into_iter().filter(|n| *n == "v1/whole" || version(n) > 1) {
        let d = document(&open(name).work);
        within(&value(&format!("{name}.json"))["system"], &json::write(&d)["system"], name);
    }
}
