//! Codes and links: how large they get, that another decoder reads their squares, and that old ones read for ever.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::calculators::ALL;
use brimwise::calculators::form::*;
use brimwise::session::{Paper, Val, Work, code, link, saved};
use brimwise::system::demo;
use brimwise::units::{System, significant};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// An address as a club might have it.
const ADDRESS: &str = "https://tools.pond-club.example/brimwise/";
/// Codes that must read for ever, one a line, each with the values it stands for.
const OLD: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/codes/format-1.jsonl");

/// One more, in which the pace at which water may warm was a difference of temperatures (tag 29): 4 °F, and in an hour was meant.
const BEFORE_RATES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/codes/before-rates.jsonl");

/// Changes every field to something a person might type.
struct Change;

impl Form for Change {
    fn text(&mut self, text: &Text, value: &mut String) {
        if !text.hidden {
            *value = "Behind the shed, north".chars().take(text.most).collect();
        }
    }
    fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let unit = spec.kind.unit(System::Metric);
        let typed = unit.of_si(*si);
        let between = |share: f64| unit.of_si(spec.hard[0] + (spec.hard[1] - spec.hard[0]) * share);
        let tries = [typed * 1.17, typed * 0.83, between(0.37), between(0.61), between(0.0), between(1.0)];
        let tries = tries.map(|x| if spec.kind.whole { x.ceil() } else { significant(x, 3) });
        let good = |x: &f64| *x != typed && spec.fault(unit.to_si(*x), System::Metric).is_none();
        if let Some(x) = tries.into_iter().find(good) {
            *si = unit.to_si(x);
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        *at = (*at + 1) % pick.options().count();
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        rows.resize(rows.count().max(2).min(list.most));
        for i in 0..rows.count() {
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
    }
}

fn touchable(work: &Work) -> BTreeSet<String> {
    work.values().into_iter().filter(|(_, v)| !matches!(v, Val::Rows(_))).map(|(path, _)| path).collect()
}

/// Every calculator with everything changed that is sensible on its own, and a row or two in every list.
fn sheets() -> impl Iterator<Item = (&'static str, Work)> {
    ALL.iter().map(|entry| {
        let mut work = Work::new(Paper::Sheet((entry.sheet)()));
        work.paper.fields(&mut Change);
        work.touched = touchable(&work);
        work.name = "Behind the shed".into();
        (entry.id, work)
    })
}

/// The demos as the app opens them.
fn demos() -> impl Iterator<Item = (&'static str, Work)> {
    demo::ALL.iter().map(|d| {
        let mut work = Work::new(Paper::system(d.document()));
        work.touched = touchable(&work);
        (d.id, work)
    })
}

/// Is everything in `old` so in `now`? What was added since may stand there too.
fn holds(old: &Value, now: &Value) -> bool {
    match (old, now) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap_or(f64::NAN), b.as_f64().unwrap_or(f64::NAN));
            (a - b).abs() <= 1e-8 * a.abs().max(1e-12)
        }
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| holds(a, b)),
        (Value::Object(a), Value::Object(b)) => a.iter().all(|(k, a)| b.get(k).is_some_and(|b| holds(a, b))),
        _ => old == now,
    }
}

fn values(work: &Work) -> Value {
    Value::Object(write(&mut work.paper.clone()))
}

/// The active values of the two agree, numbers to nine digits.
fn alike(a: &Work, b: &Work) -> bool {
    let (a, b) = (a.values(), b.values());
    a.len() == b.len()
        && a.iter().all(|(path, x)| match (x, b.get(path)) {
            (Val::Num(x), Some(Val::Num(y))) => (x - y).abs() <= 1e-9 * x.abs().max(1e-12),
            (x, y) => Some(x) == y,
        })
}

/// The letters of a code: base 32 in capitals (RFC 4648, section 6).
const LETTERS: &[u8; 32] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

#[test]
fn there_and_back_with_name_and_what_was_assumed() {
    let first =
        ALL.iter().map(|e| Work { name: "Trough 2, “old” Ä".into(), ..Work::new(Paper::Sheet((e.sheet)())) });
    for mut work in first.chain(demos().map(|d| d.1)) {
        let paths = work.values().into_iter().filter(|(_, v)| !matches!(v, Val::Rows(_))).map(|(p, _)| p);
        work.touched = paths.filter(|p| p.len() % 2 == 0).collect();
        let code = code::encode(&work).expect("a code");
        assert!(code.bytes().all(|b| LETTERS.contains(&b)), "{}", work.called());
        let back = code::decode(&code.to_ascii_lowercase()).unwrap_or_else(|e| panic!("{}: {e}", work.called()));
        assert!(alike(&work, &back), "{}:\n{:?}\n{:?}", work.called(), work.values(), back.values());
        assert_eq!((back.called(), &back.touched), (work.called(), &work.touched));
    }
}

#[test]
fn a_calculator_fits_version_10_and_a_typical_system_version_20() {
    let mut table = String::new();
    let mut wrong = vec![];
    for (most, all) in [(10, sheets().collect::<Vec<_>>()), (20, demos().collect())] {
        for (id, work) in all {
            let made = link::link(&work, ADDRESS).unwrap_or_else(|e| panic!("{id}: {e}"));
            let version = made.symbol.as_ref().map_or(99, |s| s.version);
            let _ = writeln!(table, "{id}: {} characters, version {version}", made.text.len());
            if version > most {
                wrong.push(format!("{id}: version {version}, past {most}"));
            }
        }
    }
    println!("{table}");
    assert!(wrong.is_empty(), "{wrong:#?}\n{table}");
}

#[test]
fn a_link_says_everything_that_was_filled_in() {
    for (id, work) in sheets().chain(demos()) {
        let made = link::link(&work, ADDRESS).expect("a link");
        let back = code::decode(&code::find(&made.text)).unwrap_or_else(|e| panic!("{id}: {e}"));
        assert!(alike(&work, &back), "{id}:\n{:?}\n{:?}", work.values(), back.values());
        assert_eq!(back.called(), work.called());
        assert_eq!(back.touched, work.touched, "{id}");
    }
}

#[test]
fn what_is_too_large_is_refused_in_words() {
    let mut work = demos().next().expect("a demo").1;
    while let Some(more) = brimwise::session::stations::add(&work, brimwise::system::flow::StationKind::Tank) {
        work = more;
    }
    match link::link(&work, ADDRESS) {
        Err(why) => assert!(why.contains("file"), "{why}"),
        Ok(made) => assert!(made.symbol.is_none(), "twelve tanks fit version {:?}", made.symbol.map(|s| s.version)),
    }
    assert!(saved::encode(&work, 0.0).is_some());
}

/// What was said as a difference an hour is a rate now, and is written as one: by a code and in a file, a bare number as before it too.
#[test]
fn a_field_whose_kind_was_wrong_keeps_its_meaning() {
    let text = std::fs::read_to_string(BEFORE_RATES).expect("an old code");
    let old: Value = serde_json::from_str(text.trim()).expect("JSON");
    let work = code::decode(old["code"].as_str().expect("a code")).expect("reads");
    let pace = |work: &Work| value_at(&mut work.paper.clone(), "pace");
    let Some(EditValue::Si(now)) = pace(&work) else { panic!("no pace") };
    assert!((now * 3600.0 - 4.0 / 1.8).abs() < 1e-9, "{now}");
    // What stands after it is found too.
    assert_eq!(value_at(&mut work.paper.clone(), "ph_step"), Some(EditValue::Si(0.2)));
    assert!(work.touched.contains("pace"));
    let again = code::encode(&work).expect("a code");
    assert!(
        again != old["code"].as_str().unwrap_or_default() && pace(&code::decode(&again).expect("reads")) == pace(&work)
    );
    let file = |pace: Value| {
        let text =
            json!({ "brimwise": 5, "calculator": "change", "values": { "job": "move", "pace": pace } }).to_string();
        saved::decode(&text).work().map(|s| value_at(&mut s.work.paper.clone(), "pace"))
    };
    assert_eq!(file(json!(1.0)), Ok(Some(EditValue::Si(1.0 / 3600.0))));
    assert_eq!(file(json!(1.0 / 3600.0)), file(json!(1.0)));
    assert_eq!(file(json!("1 K/h")), file(json!(1.0)));
    assert!(file(json!(40.0)).is_err() && file(json!("1 K")).is_err());
}

/// Run with `BRIMWISE_WRITE=1` to put down what is written today, for a new format only.
#[test]
fn old_codes_read_for_ever() {
    if std::env::var_os("BRIMWISE_WRITE").is_some() {
        let line = |(id, work): (&str, Work)| {
            let code = code::encode(&work).expect("a code");
            let read = code::decode(&code).expect("reads");
            json!({ "of": id, "code": code, "values": values(&read), "touched": read.touched.len() })
        };
        let lines: String = sheets().chain(demos()).map(|w| format!("{}\n", line(w))).collect();
        std::fs::write(OLD, lines).expect("written");
    }
    let text = std::fs::read_to_string(OLD).expect("the old codes");
    assert!(text.lines().count() >= 18);
    let since = std::fs::read_to_string(BEFORE_RATES).expect("an old code");
    for line in text.lines().chain(since.lines()) {
        let old: Value = serde_json::from_str(line).expect("JSON");
        let work = code::decode(old["code"].as_str().expect("a code")).unwrap_or_else(|e| panic!("{}: {e}", old["of"]));
        // The numbers as they were written then: a file of a sheet says them so too, and they are read like it.
        let meant = match ALL.iter().find(|e| old["of"] == e.id) {
            Some(e) => {
                let mut sheet = Paper::Sheet((e.sheet)());
                read(&mut sheet, old["values"].as_object().expect("values"), System::Metric)
                    .unwrap_or_else(|e| panic!("{}: {e:?}", old["of"]));
                let now = write(&mut sheet);
                let said = |(key, _): &(String, Value)| old["values"].get(key).is_some();
                Value::Object(now.into_iter().filter(said).collect())
            }
            None => old["values"].clone(),
        };
        assert!(holds(&meant, &values(&work)), "{} reads differently:\n{meant}\n{}", old["of"], values(&work));
        assert_eq!(old["touched"], json!(work.touched.len()), "{}", old["of"]);
    }
}
