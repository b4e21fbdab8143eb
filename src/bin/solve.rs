//! The door for machines: the same core as JSON on standard input and output.
//!
//! ```text
//! solve list            identifiers of the calculators, one a line
//! solve describe ID     fields and outputs of a calculator, as JSON
//! solve run ID          inputs as a JSON object on standard input; the outcome as JSON
//! solve check           a system document on standard input; the whole check as JSON
//! solve plan            a goal as a JSON object on standard input; a system document that its check passes
//! solve compare         two system documents as a JSON array; what differs, and every level of both
//! solve parts | prove   a system document on standard input; its parts list, or what to try on clean water
//! solve demo [NAME]     names of the demo systems, or one as a document
//! ```
//! `--us` makes sentences and numbers without a unit US customary. `--csv` makes `check` and `run` write a table (RFC 4180) instead of JSON. Exit status: 0 done, 2 bad input (with a JSON list of field errors).

use brimwise::calculators::{self, form, form::FieldError, outcome};
use brimwise::session::{Paper, Work, csv};
use brimwise::system;
use brimwise::units::{System, Words};
use serde_json::{Map, Value, json};
use std::io::{Read, Write};
use std::process::ExitCode;

const USAGE: &str = "usage: solve list | describe ID | describe plan | run ID | check | plan | compare | parts | prove | demo [NAME]   (add --us for US customary words, --csv to check or run for a table)";
/// Largest input that is read.
const MOST: usize = 1 << 20;

fn main() -> ExitCode {
    let mut args: Vec<String> = std::env::args().skip(1).collect();
    let us = args.iter().any(|a| a == "--us");
    let csv = args.iter().any(|a| a == "--csv");
    args.retain(|a| a != "--us" && a != "--csv");
    let words = Words::from(if us { System::Us } else { System::Metric });
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let answer = match args[..] {
        ["run", id] if csv => entry(id).and_then(|e| run_table(e, words)),
        ["check"] if csv => input().and_then(|o| check_table(&o, words)),
        // There is no table of the rest.
        _ if csv => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
        ["list"] => Ok(calculators::ALL.iter().map(|e| e.id).collect::<Vec<_>>().join("\n")),
        ["describe", "plan"] => Ok(pretty(json!({ "id": "plan", "fields": system::plan::describe() }))),
        ["describe", id] => {
            // A goal is described too.
            let known = |mut errors: Vec<FieldError>| {
                errors.iter_mut().for_each(|e| e.accepted += ", plan");
                errors
            };
            entry(id).map_err(known).and_then(|e| describe(e, words)).map(pretty)
        }
        ["run", id] => entry(id).and_then(|e| run(e, words)).map(pretty),
        ["check"] => input().and_then(|o| system::json::check(&o, words)).map(pretty),
        ["plan"] => input().and_then(|o| system::plan::answer(&o, words)).map(pretty),
        ["compare"] => pair().and_then(|v| system::json::compare(&v, words)).map(pretty),
        ["parts"] => input().and_then(|o| system::json::parts(&o, words)).map(pretty),
        ["prove"] => input().and_then(|o| system::json::prove(&o, words)).map(pretty),
        ["demo"] => Ok(system::demo::ALL.iter().map(|d| d.id).collect::<Vec<_>>().join("\n")),
        ["demo", id] => system::demo::by_id(id).map(|d| pretty(system::json::write(&d.document()))).ok_or_else(|| {
            vec![FieldError::new("demo", format!("there is no demo system “{id}”"), "a name that `solve demo` lists")]
        }),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    let (text, code) = match answer {
        Ok(text) => (text, ExitCode::SUCCESS),
        Err(errors) => (pretty(outcome::errors_json(&form::told(errors, words.system))), ExitCode::from(2)),
    };
    // A table brings the end of its last line along. A reader that has gone away (a closed pipe) is no failure of ours.
    let _ = write!(std::io::stdout(), "{text}{}", if text.ends_with('\n') { "" } else { "\n" });
    code
}

type Answer<T> = Result<T, Vec<FieldError>>;

fn pretty(value: Value) -> String {
    format!("{value:#}")
}

fn entry(id: &str) -> Answer<&'static calculators::Entry> {
    calculators::by_id(id).ok_or_else(|| {
        let known: Vec<_> = calculators::ALL.iter().map(|e| e.id).collect();
        vec![FieldError::new("calculator", format!("there is no calculator “{id}”"), known.join(", "))]
    })
}

fn bad(fault: impl Into<String>, accepted: &str) -> Vec<FieldError> {
    vec![FieldError::new("input", fault, accepted)]
}

/// The text on standard input, as JSON; nothing where there is none.
fn read_input(accepted: &str) -> Answer<Option<Value>> {
    let mut text = String::new();
    let stdin = std::io::stdin();
    let read = stdin.lock().take(MOST as u64 + 1).read_to_string(&mut text);
    read.map_err(|e| bad(format!("cannot be read: {e}"), accepted))?;
    if text.trim().is_empty() {
        return Ok(None);
    }
    let said = |(fault, most): (String, String)| bad(fault, if most.is_empty() { accepted } else { &most });
    system::json::parse(&text, MOST).map(Some).map_err(said)
}

fn input() -> Answer<Map<String, Value>> {
    let accepted = "a JSON object of at most 1 MiB on standard input";
    match read_input(accepted)? {
        None => Ok(Map::new()),
        Some(Value::Object(o)) => Ok(o),
        Some(_) => Err(bad("is JSON, but not an object", accepted)),
    }
}

/// Two documents.
fn pair() -> Answer<[Map<String, Value>; 2]> {
    let accepted = "a JSON array of two system documents on standard input";
    match read_input(accepted)? {
        Some(Value::Array(all)) => match <[Value; 2]>::try_from(all) {
            Ok([Value::Object(a), Value::Object(b)]) => Ok([a, b]),
            _ => Err(bad("is not an array of two objects", accepted)),
        },
        _ => Err(bad("is not an array", accepted)),
    }
}

fn describe(entry: &calculators::Entry, words: Words) -> Answer<Value> {
    let sheet = (entry.sheet)();
    let outcome = sheet.run(words, false).map_err(|e| sheet.named(e))?;
    let outputs: Vec<_> = outcome
        .outputs
        .iter()
        .map(|o| json!({ "key": o.key, "label": o.label, "kind": o.kind.map(|k| k.id), "unit": o.kind.map(|k| k.si) }))
        .collect();
    Ok(json!({
        "id": entry.id, "title": entry.title, "question": entry.question, "about": entry.about,
        "answer": entry.answer,
        "fields": sheet.describe(), "outputs": outputs,
    }))
}

fn check_table(envelope: &Map<String, Value>, words: Words) -> Answer<String> {
    let (document, _) = system::json::read(envelope)?;
    Ok(csv::check(&document, &system::report::report(&document, words)?, words.system))
}

fn run_table(entry: &calculators::Entry, words: Words) -> Answer<String> {
    let mut sheet = (entry.sheet)();
    let touched = sheet.read(&input()?, words.system)?;
    let outcome = sheet.run(words, false).map_err(|e| sheet.named(e))?;
    let work = Work { touched, ..Work::new(Paper::Sheet(sheet)) };
    Ok(csv::sheet(&work, &outcome, words.system))
}

fn run(entry: &calculators::Entry, words: Words) -> Answer<Value> {
    let mut sheet = (entry.sheet)();
    let given = sheet.read(&input()?, words.system)?;
    let mut json = sheet.run(words, true).map_err(|e| sheet.named(e))?.json();
    let assumed = |path: &str| !given.contains(path);
    let first: Vec<_> = calculators::ranking::rank(&*sheet, &assumed)
        .into_iter()
        .take(3)
        .map(|i| json!({ "field": i.path, "label": i.label, "ends": i.ends, "of": i.of.map(|o| o.0) }))
        .collect();
    if let Some(o) = json.as_object_mut() {
        o.insert("measure_first".into(), json!(first));
    }
    Ok(json)
}
