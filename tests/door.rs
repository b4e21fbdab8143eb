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
    assert_eq!(refused(&["describe", "nothing"], "")[0]["field"], "calculator");
    assert_eq!(refused(&["demo", "nothing"], "")[0]["field"], "demo");
    assert_eq!(solve(&["dance"], "").0, 2);
    assert!(solve(&[], "").2.starts_with("usage:"));
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
