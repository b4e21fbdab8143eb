//! What a practitioner would try from the fewest inputs, through the `solve` binary. The bands are a practitioner's judgement.
#![cfg(not(target_arch = "wasm32"))]

use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Stdio};

fn run(id: &str, input: &Value) -> Value {
    let mut child = Command::new(env!("CARGO_BIN_EXE_solve"))
        .args(["run", id])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("solve starts");
    child.stdin.take().expect("stdin").write_all(input.to_string().as_bytes()).expect("writes");
    let out = child.wait_with_output().expect("ends");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stdout));
    serde_json::from_slice(&out.stdout).expect("JSON")
}

fn number(o: &Value, key: &str) -> f64 {
    o["outputs"][key].as_f64().unwrap_or_else(|| panic!("{key} is {}", o["outputs"][key]))
}

fn within(what: &str, x: f64, low: f64, high: f64) {
    assert!((low..=high).contains(&x), "{what}: {x} is not within {low} to {high}");
}

const G_H: f64 = 3.6e6;
const L_MIN: f64 = 6.0e4;

/// A 1 100 L round trough over a raft in the heat, with a little air: too many fish. (Bands: judgement.)
#[test]
fn a_warm_trough_of_catfish() {
    let trough = |fish: Value| {
        json!({
            "fish": fish, "volume": "1100 L", "temperature": "28 C", "flow": "1500 L/h",
            "air": "stones", "air_flow": "30 L/min", "air_depth": "0.5 m", "limits": "own", "floor": "5 mg/L",
        })
    };
    let large = json!({ "species": "catfish", "by": "number", "count": 25, "mass": "400 g" });
    let small = json!({ "species": "catfish", "by": "number", "count": 30, "mass": "150 g" });
    let both = run("oxygen", &trough(json!([large, small])));
    assert_eq!(both["state"], "over");
    within("peak demand of the whole system, g/h", number(&both, "demand_peak") * G_H, 6.0, 9.0);
    let air = &both["outputs"]["from_air"];
    within("from air, low, g/h", air[0].as_f64().expect("low") * G_H, 1.7, 3.4);
    within("from air, high, g/h", air[1].as_f64().expect("high") * G_H, 1.7, 3.4);
    within("air needed, L/min", number(&both, "air_needed") * L_MIN, 70.0, 180.0);
    let first = run("oxygen", &trough(json!([large])));
    assert!(first["state"] == "tight" || first["state"] == "over", "{}", first["verdict"]);
}

/// 1 400 L at 700 m, 30 trout of 300 g, everything off: minutes until 5 mg/L. (Bands: judgement.)
#[test]
fn trout_when_everything_stops() {
    let tank = |t: &str, reading: &str| {
        let fish = json!([{ "species": "trout", "by": "number", "count": 30, "mass": "300 g" }]);
        json!({
            "fish": fish, "volume": "1400 L", "altitude": "700 m", "temperature": t, "flow": 0, "air": "none",
            "reading": "now", "reading_oxygen": reading, "limits": "own", "floor": "5 mg/L", "stop": "5 mg/L",
        })
    };
    let cool = run("oxygen", &tank("12 C", "9 mg/L"));
    within("unfed at 12 degC, min", number(&cool, "all_off_resting") / 60.0, 90.0, 200.0);
    let warm = run("oxygen", &tank("19 C", "7.5 mg/L"));
    within("unfed at 19 degC, min", number(&warm, "all_off_resting") / 60.0, 35.0, 75.0);
    within("just fed at 19 degC, min", number(&warm, "all_off_fed") / 60.0, 20.0, 35.0);
}

/// A nominal 1 in outlet cannot carry what a nominal 2 in one does, and small garden pumps (1 000 to 2 500 L/h) outrun it.
/// Common practice, no source.
#[test]
fn an_inch_is_too_small_for_a_garden_pump() {
    let outlet = |pipe: &str, flow: &str| {
        run("drain", &json!({ "pipe": pipe, "flow": flow, "arrangement": "wall", "hole_depth": "100 mm" }))
    };
    let (one, two) = (outlet("sch40_1", "2500 L/h"), outlet("sch40_2", "2500 L/h"));
    assert!(
        number(&two, "capacity") > 3.0 * number(&one, "capacity"),
        "{} {}",
        number(&two, "capacity"),
        number(&one, "capacity")
    );
    assert_eq!(one["state"], "over");
    assert!(one["repairs"].as_array().is_some_and(|r| !r.is_empty()), "a repair is offered");
    for r in one["repairs"].as_array().expect("repairs") {
        assert_ne!(r["level"]["state"], "over", "{r}");
    }
    assert_eq!(outlet("sch40_2", "1000 L/h")["state"], "enough");
}
