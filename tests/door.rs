//! The machine door from outside: the `solve` binary, JSON in and out.
#![cfg(not(target_arch = "wasm32"))]

use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Stdio};

/// Runs `solve` with `input`; exit status, standard output, standard error.
fn solve(args: &[&str], input: &str) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_solve"))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("solve starts");
    // A child that does not read its input may have closed it already.
    let _ = child.stdin.take().expect("stdin").write_all(input.as_bytes());
    let out = child.wait_with_output().expect("solve ends");
    let text = |b| String::from_utf8(b).expect("UTF-8");
    (out.status.code().expect("not killed"), text(out.stdout), text(out.stderr))
}

fn ok(args: &[&str], input: &str) -> Value {
    let (code, out, err) = solve(args, input);
    assert_eq!(code, 0, "{args:?}: {out}{err}");
    serde_json::from_str(&out).unwrap_or_else(|e| panic!("{args:?}: {e}: {out}"))
}

fn refused(args: &[&str], input: &str) -> Vec<Value> {
    let (code, out, err) = solve(args, input);
    assert_eq!(code, 2, "{args:?}: {out}{err}");
    let v: Value = serde_json::from_str(&out).unwrap_or_else(|e| panic!("{args:?}: {e}: {out}"));
    v["errors"].as_array().expect("a list of errors").clone()
}

fn ids() -> Vec<String> {
    solve(&["list"], "").1.lines().map(str::to_string).collect()
}

#[test]
fn the_six_come_first() {
    assert_eq!(ids()[..6], ["stocking", "feed", "oxygen", "drain", "settling", "bed"]);
}

#[test]
fn every_calculator_describes_itself_and_runs_on_its_defaults() {
    for id in ids() {
        let d = ok(&["describe", &id], "");
        assert_eq!(d["id"], json!(id));
        let mut defaults = serde_json::Map::new();
        for f in d["fields"].as_array().expect("fields") {
            for key in ["key", "label", "kind", "default"] {
                assert!(!f[key].is_null(), "{id}: {f} has no {key}");
            }
            if f["kind"] == "choice" {
                assert!(f["choices"].as_array().is_some_and(|c| c.len() > 1), "{f}");
            } else if f["kind"] != "list" {
                assert!(f["unit"].is_string() && f["range"].as_array().is_some_and(|r| r.len() == 2), "{f}");
            }
            defaults.insert(f["key"].as_str().expect("key").into(), f["default"].clone());
        }
        let empty = ok(&["run", &id], "{}");
        let full = ok(&["run", &id], &Value::Object(defaults).to_string());
        assert_eq!(empty["outputs"], full["outputs"], "{id}: the described defaults are not the defaults");
        let keys: Vec<_> = d["outputs"].as_array().expect("outputs").iter().map(|o| o["key"].clone()).collect();
        let got: Vec<_> = empty["outputs"].as_object().expect("outputs").keys().map(|k| json!(k)).collect();
        assert!(
            got.iter().all(|k| keys.contains(k)) && keys.len() == got.len(),
            "{id}: {got:?} is not what is described"
        );
        for key in ["verdict", "levels", "repairs", "cautions", "working", "measure_first"] {
            assert!(!empty[key].is_null(), "{id} has no {key}");
        }
        for step in empty["working"].as_array().expect("steps") {
            assert!(step["source"].is_string() && step["basis"].is_string(), "{id}: {step}");
        }
    }
}

#[test]
fn quantities_are_texts_with_a_unit_or_si() {
    let text = ok(&["run", "drain"], r#"{"flow": "2400 L/h"}"#);
    let si = ok(&["run", "drain"], &json!({ "flow": 2400.0 / 3.6e6 }).to_string());
    assert_eq!(text["outputs"], si["outputs"]);
    let us = ok(&["run", "drain", "--us"], r#"{"flow": "2400 L/h"}"#);
    assert_eq!(text["outputs"], us["outputs"], "the words change, the numbers do not");
    assert!(us["verdict"].as_str().is_some_and(|v| v.contains("gal")), "{}", us["verdict"]);
}

/// What a system is refused for names its quantities in the units that are asked for.
#[test]
fn a_system_is_refused_in_the_units_that_are_read() {
    let demo = |id: &str| ok(&["demo", id], "");
    // A pump too low for its outlets, a pump above its water, and one that takes more than comes.
    let mut high = demo("enlarged");
    for e in high["system"]["edges"].as_array_mut().expect("edges") {
        if let Some(run) = e["run"].get_mut(0) {
            run["lift"] = json!(9.0);
        }
    }
    let mut dry = demo("classroom");
    let levels = &mut dry["system"]["sumps"][0]["levels"][0];
    levels["mark"] = levels["submergence"].clone();
    let mut more = demo("courtyard");
    let system = &mut more["system"];
    for (list, id) in [("sumps", "low"), ("pumps", "lift")] {
        let mut other = system[list][0].clone();
        other["id"] = json!(id);
        system[list].as_array_mut().expect("a list").push(other);
    }
    let edges = system["edges"].as_array_mut().expect("edges");
    let mut edge = |from: &str, to: &str, flow: f64| {
        let mut e = edges[0].clone();
        (e["from"], e["to"], e["flow"]) = (json!(from), json!(to), json!(flow));
        edges.push(e);
    };
    edge("trough", "low", 0.0);
    edge("low", "lift", 0.0);
    edge("lift", "settler", 1400.0 / 3.6e6);
    edges.retain(|e| e["from"] != "trough" || e["to"] != "settler");
    for (what, d, metric, us) in
        [("high", high, " m ", " ft "), ("dry", dry, " 60 mm", " 2.36 in"), ("more", more, " L/h", " gal/h")]
    {
        for (args, is, not) in [(&["check"][..], metric, us), (&["check", "--us"][..], us, metric)] {
            let fault = refused(args, &d.to_string())[0]["fault"].as_str().expect("words").replace('\u{202f}', " ");
            let fault = format!("{fault} ");
            assert!(fault.contains(is) && !fault.contains(not), "{what}: {fault}");
        }
    }
}

#[test]
fn bad_input_is_status_2_and_names_the_field() {
    let faults = refused(&["run", "drain"], r#"{"flow": "40 kg", "wombat": 1, "fittings": 7}"#);
    let fields: Vec<_> = faults.iter().map(|f| f["field"].as_str().expect("field")).collect();
    assert!(fields.contains(&"flow") && fields.contains(&"wombat") && fields.contains(&"fittings"), "{fields:?}");
    for f in &faults {
        assert!(f["fault"].as_str().is_some_and(|s| !s.is_empty()), "{f}");
        assert!(f["sentence"].as_str().is_some_and(|s| s.ends_with('.')), "{f}");
    }
    assert!(
        refused(&["run", "drain"], r#"{"flow": "1,234 L/h"}"#)[0]["fault"].as_str().is_some_and(|s| s.contains("1234"))
    );
    assert!(refused(&["run", "drain"], r#"{"flow": 1e9}"#)[0]["accepted"].as_str().is_some_and(|s| s.contains("L/h")));
    for input in ["[1]", "{", "nan", "\u{7}"] {
        assert_eq!(refused(&["run", "drain"], input)[0]["field"], "input", "{input}");
    }
    assert_eq!(refused(&["run", "nothing"], "{}")[0]["field"], "calculator");
    let unknown = &refused(&["describe", "nothing"], "")[0];
    assert_eq!(unknown["field"], "calculator");
    assert!(unknown["accepted"].as_str().is_some_and(|s| s.ends_with(", plan")), "{unknown}");
    assert_eq!(refused(&["demo", "nothing"], "")[0]["field"], "demo");
    assert_eq!(solve(&["dance"], "").0, 2);
    assert!(solve(&[], "").2.starts_with("usage:"));
}

/// A pace is a rate: it is typed as one, and degrees alone are no pace.
#[test]
fn a_pace_is_degrees_in_a_time() {
    let hours = |pace: &str| {
        let input =
            json!({ "job": "move", "new_temperature": "15 C", "temperature": "25 C", "ph": 7, "new_ph": 7, "pace": pace }).to_string();
        ok(&["run", "change"], &input)["outputs"].clone()
    };
    assert_eq!(hours("2 K/h"), hours("2 C/h"));
    assert_eq!(hours("2 K/h"), hours("3.6 F/h"));
    assert!(hours("2 K/h") != hours("1 K/h"));
    let no = refused(&["run", "change"], r#"{"job": "move", "pace": "2 K"}"#);
    assert!(no[0]["accepted"].as_str().is_some_and(|s| s.contains("°C/h")), "{no:?}");
}

/// Whoever mistypes a key is told which there are.
#[test]
fn an_unknown_key_is_answered_with_those_there_are() {
    let errors = refused(&["run", "stocking"], r#"{"count": 3, "adding": 2}"#);
    assert_eq!((errors.len(), &errors[0]["field"]), (1, &json!("adding")));
    let accepted = errors[0]["accepted"].as_str().expect("a text");
    assert!(["add", "count", "usual"].iter().all(|key| accepted.split(", ").any(|k| k == *key)), "{accepted}");
}

#[test]
fn every_demo_is_a_document_that_can_be_checked() {
    let demos: Vec<String> = solve(&["demo"], "").1.lines().map(str::to_string).collect();
    assert!(demos.len() >= 3, "{demos:?}");
    for id in demos {
        let document = ok(&["demo", &id], "");
        let check = ok(&["check"], &document.to_string());
        for key in
            ["verdict", "levels", "stations", "flows", "chain", "repairs", "days", "limits", "measure_first", "growing"]
        {
            assert!(!check[key].is_null(), "{id} has no {key}");
        }
    }
    assert!(!refused(&["check"], "{}").is_empty(), "an empty object is no system");
}

#[test]
fn a_check_and_a_sheet_are_tables_too() {
    let document = ok(&["demo", "enlarged"], "").to_string();
    let levels = ok(&["check"], &document)["levels"].as_array().expect("levels").len();
    let (code, check, err) = solve(&["check", "--csv"], &document);
    assert_eq!(code, 0, "{check}{err}");
    assert!(check.starts_with("station,what,asked,asked_to,brim,capacity,"), "{check}");
    assert!(check.ends_with("\r\n") && check.matches("\r\n").count() == levels + 1, "{check}");
    let metric = solve(&["run", "drain", "--csv"], r#"{"flow": "2400 L/h"}"#);
    assert!(metric.0 == 0 && metric.1.contains(",2400,L/h,,"), "given, so not assumed: {}", metric.1);
    let us = solve(&["run", "--us", "drain", "--csv"], r#"{"flow": "2400 L/h"}"#);
    // A US gallon is 3.785411784 L exactly (NIST SP 811, appendix B).
    assert!(us.1.contains(",634.013,gal/h,,"), "{}", us.1);
    // What is wrong is still JSON, and there is no table of the rest.
    assert_eq!(refused(&["run", "drain", "--csv"], r#"{"flow": "40 kg"}"#)[0]["field"], "flow");
    assert!(!refused(&["check", "--csv"], "{}").is_empty());
    assert_eq!(solve(&["list", "--csv"], "").0, 2);
}

#[test]
fn a_plan_is_a_document_whose_check_passes() {
    let described = ok(&["describe", "plan"], "");
    assert!(described["fields"].as_array().is_some_and(|f| f.iter().any(|f| f["key"] == "fish")));
    for goal in [
        "{}",
        r#"{"fish": "45 kg", "hottest": "28 C", "coldest": "20 C", "length": "8 m", "width": "5 m"}"#,
        r#"{"want": "greens", "greens": "40 ft2", "species": "trout", "crop": "watercress", "hottest": "60 F", "coldest": "45 F"}"#,
    ] {
        let document = ok(&["plan"], goal);
        let check = ok(&["check"], &document.to_string());
        assert_eq!(check["state"], "enough", "{goal}: {}", check["verdict"]);
        assert!(document["planned"]["verdict"].as_str().is_some_and(|v| v.contains("tank")));
    }
    let small = refused(&["plan"], r#"{"fish": "200 kg", "length": "2 m", "width": "2 m"}"#);
    assert_eq!(small[0]["field"], "goal");
    assert!(small[0]["fault"].as_str().is_some_and(|s| s.contains("room")), "{small:?}");
    assert!(small[0]["accepted"].as_str().is_some_and(|s| s.contains("a year")), "{small:?}");
    assert_eq!(refused(&["plan"], r#"{"fish": "much"}"#)[0]["field"], "fish");
}

#[test]
fn two_documents_are_compared() {
    let (a, b) = (ok(&["demo", "courtyard"], ""), ok(&["demo", "enlarged"], ""));
    let c = ok(&["compare"], &json!([a, b]).to_string());
    assert!(c["verdict"].as_str().is_some_and(|v| v.contains("over now and not before")), "{}", c["verdict"]);
    assert!(c["differ"].as_array().is_some_and(|l| !l.is_empty()) && c["same"].as_u64() > Some(0));
    assert!(c["levels"].as_array().is_some_and(|l| l.iter().any(|l| l["worse"] == true)));
    let same = ok(&["compare"], &json!([a, a]).to_string());
    assert_eq!(same["verdict"], "The two are the same.");
    for input in ["{}", "[]", "[{}, {}, {}]", "[1, 2]", ""] {
        assert_eq!(refused(&["compare"], input)[0]["field"], "input", "{input}");
    }
    assert_eq!(refused(&["compare"], &json!([a, {}]).to_string())[0]["field"], "1.brimwise");
}

#[test]
fn a_document_has_its_parts_and_its_tests() {
    let d = ok(&["demo", "courtyard"], "").to_string();
    let parts = ok(&["parts"], &d);
    let pipe = parts["parts"].as_array().expect("parts").iter().find(|p| p["key"] == "pipe pvc_50").expect("pipe");
    assert!(pipe["unit"] == "m" && pipe["buy"].as_f64() > pipe["need"].as_f64(), "{pipe}");
    let prove = ok(&["prove"], &d);
    let bucket =
        prove["tests"].as_array().expect("tests").iter().find(|t| t["key"] == "bucket pump trough").expect("bucket");
    assert!(bucket["expect"][0].as_f64() > Some(20.0), "{bucket}");
    assert!(!refused(&["parts"], "{}").is_empty() && !refused(&["prove"], "{}").is_empty());
}

/// What a calculator finds wrong by itself names the field as its page does.
#[test]
fn a_refusal_of_the_calculator_names_its_field() {
    let all = refused(&["run", "drain"], r#"{ "arrangement": "draw", "vent_top": "-300 mm" }"#);
    assert_eq!(all[0]["field"], "vent_top");
    let label = all[0]["label"].as_str().expect("a label");
    assert!(!label.is_empty() && label != "vent_top", "{all:?}");
    assert!(all[0]["sentence"].as_str().is_some_and(|s| s.starts_with(label)), "{all:?}");
}
