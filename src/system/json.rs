//! A system document as JSON, in the envelope that work is kept and exchanged in.

use super::document::{Document, VERSION};
use super::{compare as comparing, flow, growing, limits, measure, parts as listing, prove as proving, report, worst};
use crate::calculators::form::{self, FieldError, YesNo};
use crate::calculators::outcome::Caution;
use crate::units::Words;
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// The key that says what a file is, and its version.
pub const MARK: &str = "brimwise";
/// The key under which a system stands.
pub const SYSTEM: &str = "system";

/// Deepest nesting that is parsed; a document needs 8.
pub const DEEPEST: usize = 16;
/// Most values that are parsed; the largest document has fewer than half.
pub const MOST_VALUES: usize = 40_000;

/// Parses JSON that anybody may have written. Its size, depth and number of values are looked at before any of it is taken apart.
///
/// # Errors
/// What is wrong with it, and what is accepted.
pub fn parse(text: &str, largest: usize) -> Result<Value, (String, String)> {
    if text.len() > largest {
        return Err((format!("is {} KiB large", text.len().div_ceil(1024)), format!("at most {} KiB", largest / 1024)));
    }
    let (mut depth, mut values, mut inside, mut escaped) = (0usize, 1usize, false, false);
    for b in text.bytes() {
        match b {
            _ if escaped => escaped = false,
            b'\\' if inside => escaped = true,
            b'"' => inside = !inside,
            _ if inside => {}
            b'[' | b'{' => (depth, values) = (depth + 1, values + 1),
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' => values += 1,
            _ => {}
        }
        if depth > DEEPEST || values > MOST_VALUES {
            let accepted = format!("up to {DEEPEST} levels and {MOST_VALUES} values");
            return Err(("is nested too deeply, or holds too many values".into(), accepted));
        }
    }
    serde_json::from_str(text).map_err(|e| (format!("is not JSON: {e}"), String::new()))
}

/// Reads a document from its envelope: it, and the paths of the values that were not merely assumed.
///
/// # Errors
/// Every fault at once, each with its field.
pub fn read(envelope: &Map<String, Value>) -> Result<(Document, BTreeSet<String>), Vec<FieldError>> {
    match envelope.get(MARK).and_then(Value::as_u64) {
        Some(v) if (1..=VERSION).contains(&v) => {}
        Some(v) if v > VERSION => {
            return Err(vec![FieldError::new(
                MARK,
                format!("was saved by a later version (format {v})"),
                format!("up to {VERSION}"),
            )]);
        }
        _ => {
            return Err(vec![FieldError::new(
                MARK,
                "is missing or not a version",
                format!("a whole number from 1 to {VERSION}"),
            )]);
        }
    }
    let values = envelope
        .get(SYSTEM)
        .and_then(Value::as_object)
        .ok_or_else(|| vec![FieldError::new(SYSTEM, "is missing or not an object", "the fields of a system")])?;
    let mut document = Document::default();
    let touched = form::read_known(&mut document, values, envelope.get("assumed"))?;
    if envelope.get(MARK).and_then(Value::as_u64).is_some_and(|v| v < SAYS_READ) {
        as_it_was(&mut document, envelope.contains_key("assumed"));
    }
    flow::ways(&document)?;
    Ok((document, touched))
}

/// From this version on a document says whether a water test was read.
const SAYS_READ: u64 = 6;

/// What versions before took for read: a test that reads something, and an alkalinity that is another than the page opens with. Where it is that one,
/// it counts as measured only if the document lists what was assumed, and it is not listed: a planned system had every number.
fn as_it_was(d: &mut Document, listed: bool) {
    for a in d.ammonia.iter_mut().map(|a| &mut a.0) {
        a.test_read = YesNo::of(a.reads_something());
        a.alkalinity_read = YesNo::of(!a.opens_with_lime() || listed && a.alkalinity_read.yes());
    }
}

/// Writes a document with every value, in SI.
pub fn write(document: &Document) -> Value {
    json!({ MARK: VERSION, SYSTEM: form::write(&mut document.clone()) })
}

/// Reads and checks a document.
///
/// # Errors
/// Every fault of the document.
pub fn check(envelope: &Map<String, Value>, words: Words) -> Result<Value, Vec<FieldError>> {
    let (d, touched) = read(envelope)?;
    let r = report::report(&d, words)?;
    let stations = d.stations();
    let levels: Vec<_> = r
        .levels
        .iter()
        .map(|l| {
            let mut v = l.level.json();
            if let Some(o) = v.as_object_mut() {
                o.insert("station".into(), json!(stations[l.station].id));
                o.insert("day".into(), json!(l.day.word()));
                o.insert("today".into(), l.today.json());
            }
            v
        })
        .collect();
    let flows: Vec<_> = d
        .edges
        .iter()
        .zip(&r.flows)
        .map(|(e, q)| json!({ "from": e.from, "to": e.to, "flow": q.value, "unit": "m3/s" }))
        .collect();
    let drawn: Vec<_> = r
        .stations
        .iter()
        .map(|s| json!({ "id": s.id, "name": s.name, "path": s.path, "line": s.line, "fullest": s.fullest.map(|k| r.levels[k].level.name.clone()),
            "water": s.water.as_ref().map(|w| json!({ "stands": w.stands, "text": w.words })) }))
        .collect();
    let chain: Vec<_> = r
        .chain
        .iter()
        .map(|l| json!({ "state": l.state.word(), "head": l.head, "text": l.text, "repair": l.repair }))
        .collect();
    let repairs: Vec<_> = r
        .repairs
        .iter()
        .map(|t| {
            let mut v = t.repair.json();
            if let Some(o) = v.as_object_mut() {
                o.insert("nothing_over".into(), json!(t.whole));
            }
            v
        })
        .collect();
    let worst = worst::worst(&d)?;
    let days: Vec<_> = worst
        .days
        .iter()
        .map(|s| json!({ "day": s.day.word(), "fullest": s.fullest.json(), "over": s.over }))
        .collect();
    let limits: Vec<_> = limits::limits(&d)?
        .iter()
        .map(|l| {
            let at = |r: &Option<limits::Reach>| {
                r.as_ref().map(|r| json!({ "at": r.at, "by": r.by.as_ref().map(|b| b.0.name.clone()), "day": r.by.as_ref().map(|b| b.1.word()) }))
            };
            json!({
                "what": l.what.name(), "unit": l.kind().si, "now": l.now, "brim": at(&l.brim), "enough": at(&l.enough),
                "left_out": l.apart, "too_little_for": l.wanting, "value": l.line(&d, words).value, "text": l.line(&d, words).text,
            })
        })
        .collect();
    let measure: Vec<_> = measure::rank(&d, &|p| !touched.contains(p))?
        .iter()
        .take(8)
        .map(|m| {
            json!({ "field": m.path, "label": m.label, "assumed": m.assumed, "moved": m.moved, "level": m.level.name, "loads": m.loads,
                "decides": m.decides.is_some(), "text": m.words(words) })
        })
        .collect();
    let growing = growing::growing(&d)?;
    let crossed: Vec<_> = growing
        .crossed
        .iter()
        .map(|c| json!({ "level": c.level.level.name, "day": c.level.day.word(), "after": c.time.value, "mass": c.mass.value }))
        .collect();
    Ok(json!({
        "days": days,
        "blocked": worst.sentences(&d, words),
        "power_off": worst.outages(&d, words),
        "limits": limits,
        "measure_first": measure,
        "growing": { "harvest": growing.harvest.map(|t| t.value), "crossed": crossed, "text": growing.sentences(&d, words) },
        "verdict": r.verdict,
        "state": r.state().word(),
        "levels": levels,
        "stations": drawn,
        "flows": flows,
        "chain": chain,
        "repairs": repairs,
        "cautions": r.cautions.iter().map(Caution::json).collect::<Vec<_>>(),
    }))
}

/// Compares two documents.
///
/// # Errors
/// Every fault of either; those of the second under `1`.
pub fn compare(both: &[Map<String, Value>; 2], words: Words) -> Result<Value, Vec<FieldError>> {
    let of = |i: usize| read(&both[i]).map_err(|e| e.into_iter().map(|e| e.under(&i.to_string())).collect::<Vec<_>>());
    match (of(0), of(1)) {
        (Ok((a, _)), Ok((b, _))) => Ok(comparing::compare(&a, &b, words).json()),
        (a, b) => Err(a.err().into_iter().chain(b.err()).flatten().collect()),
    }
}

/// The parts list of a document.
///
/// # Errors
/// Every fault of the document.
pub fn parts(envelope: &Map<String, Value>, words: Words) -> Result<Value, Vec<FieldError>> {
    let (d, _) = read(envelope)?;
    Ok(listing::parts(&d, words)?.json(&d, words))
}

/// What to try of a document on clean water.
///
/// # Errors
/// Every fault of the document.
pub fn prove(envelope: &Map<String, Value>, words: Words) -> Result<Value, Vec<FieldError>> {
    let (d, _) = read(envelope)?;
    Ok(proving::proofs(&d, words)?.json())
}
