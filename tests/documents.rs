//! Saved documents of every version are opened as long as there is a Brimwise: nothing of them is lost, and they say what they said.
//!
//! Beside every document of `tests/documents/v1/` stands what version 1 computed for it (`NAME.levels.json`), and its short code as version 1 wrote
//! it stands in `codes.txt`. None of these files is ever changed or deleted.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::session::{Work, saved};
use brimwise::system::{Document, json};
use brimwise::units::Words;
use serde_json::Value;
use std::{fs, path::PathBuf};

const NAMES: [&str; 5] = ["courtyard", "enlarged", "hill_trout", "everything", "whole"];

fn text(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/documents/v1").join(name);
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

/// Levels that are computed otherwise now, each with why. The rest must be what it was to nine digits.
fn changed(_document: &str, _station: &str, _id: &str) -> Option<&'static str> {
    None
}

/// Every level of version 1 is there, with the numbers it had.
fn same_verdict(name: &str, d: &Document) {
    let envelope = json::write(d);
    let now = json::check(envelope.as_object().expect("an object"), Words::default())
        .unwrap_or_else(|e| panic!("{name}: {e:#?}"));
    let was = value(&format!("{name}.levels.json"));
    let list = |v: &Value| v["levels"].as_array().expect("levels").clone();
    let (now_levels, mut compared, mut other_days) = (list(&now), 0, 0);
    let mut taken = vec![false; now_levels.len()];
    for w in list(&was) {
        let (station, id) = (w["station"].as_str().expect("station"), w["id"].as_str().expect("id"));
        // Two groups of fish in one tank have a level each of the same name.
        let at = (0..now_levels.len())
            .find(|&k| !taken[k] && now_levels[k]["station"] == w["station"] && now_levels[k]["id"] == w["id"])
            .unwrap_or_else(|| panic!("{name}: {station} has lost its {id}"));
        taken[at] = true;
        if changed(name, station, id).is_some() {
            continue;
        }
        let n = &now_levels[at];
        // More days are checked now than version 1 knew: a level may be worst on one of those, and is fuller then.
        let of_old = n["day"] == w["day"];
        if !of_old {
            other_days += 1;
            let load = |level: &Value| level["load"].as_f64().unwrap_or(f64::INFINITY);
            assert!(load(n) > load(&w), "{name}: {station} {id}: {n} and version 1 said {w}");
        }
        for (which, n, w) in [("worst", n, &w), ("today", &n["today"], &w["today"])] {
            if which == "worst" && !of_old {
                continue;
            }
            for (a, b) in numbers(n).into_iter().zip(numbers(w)) {
                compared += 1;
                assert!(
                    (a - b).abs() <= 1e-9 * b.abs(),
                    "{name}: {station} {id}, {which}: {a}, and version 1 said {b}"
                );
            }
        }
    }
    assert!(taken.iter().all(|t| *t), "{name}: a level that version 1 had not was invented: {now_levels:#?}");
    assert!(compared >= 20, "{name}: only {compared} numbers compared");
    let list_changed = list(&was)
        .iter()
        .any(|w| changed(name, w["station"].as_str().unwrap_or(""), w["id"].as_str().unwrap_or("")).is_some());
    if !list_changed && other_days == 0 {
        assert_eq!(now["verdict"], was["verdict"], "{name}");
    }
    for (n, w) in now["flows"].as_array().expect("flows").iter().zip(was["flows"].as_array().expect("flows")) {
        let (a, b) = (n["flow"].as_f64().expect("flow"), w["flow"].as_f64().expect("flow"));
        assert!((a - b).abs() <= 1e-9 * b.abs(), "{name}: {n} {w}");
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
fn version_1_says_what_it_said() {
    for name in NAMES {
        let d = document(&open(name).work);
        assert!(d.heat.is_empty() && d.ammonia.is_empty(), "{name}: something was said that nobody said");
        assert!(d.pumps.iter().all(|p| p.curve.is_empty()) && d.edges.iter().all(|e| e.run.is_empty()), "{name}");
        assert!(d.beds.iter().all(|b| b.siphon.is_empty()) && d.sumps.iter().all(|s| s.levels.is_empty()), "{name}");
        same_verdict(name, &d);
    }
}

#[test]
fn saved_again_it_is_of_this_version_and_says_the_same() {
    for name in NAMES {
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
fn every_value_of_version_1_is_kept() {
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
    let d = document(&open("whole").work);
    within(&value("whole.json")["system"], &json::write(&d)["system"], "system");
}
