//! The envelope that work is kept and exchanged in: a version, what it is of, its name, every value, and which values were only assumed.
//!
//! Values are absolute, never "missing means default": a default that changes later must not change an old verdict.

use super::work::{Paper, Work};
use crate::calculators::{self, form, form::FieldError};
use crate::system::{Document, flow, json, plan::Goal};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// The version that is written.
pub use crate::system::document::VERSION;
/// Largest file that is read, bytes. The largest system that the app can make takes 370 KiB.
pub const LARGEST: usize = 640 * 1024;
/// Longest name, characters.
pub const LONGEST_NAME: usize = 80;
/// The key that says what the file is, and its version.
const MARK: &str = json::MARK;
/// The key under which a system stands.
const SYSTEM: &str = json::SYSTEM;
/// The key under which the goal of a plan stands.
const GOAL: &str = "goal";

/// A paper and what of it was touched, or all that is wrong with it.
type Read = Result<(Paper, BTreeSet<String>), Vec<FieldError>>;

/// How work is made that is no sheet of a calculator. All of its code hangs on this table alone, so that what opens sheets does without it.
pub(super) struct Others {
    /// An empty system.
    pub(super) system: fn() -> Paper,
    /// An empty goal.
    pub(super) goal: fn() -> Paper,
    /// A system from its envelope, and what of it was touched.
    pub(super) read: fn(&Map<String, Value>) -> Read,
    /// Does its water have a way round?
    pub(super) runs: fn(&Document) -> bool,
}

static OTHERS: Others = Others {
    system: || Paper::system(Document::default()),
    goal: || Paper::goal(Goal::default()),
    read: |envelope| json::read(envelope).map(|(document, touched)| (Paper::system(document), touched)),
    runs: |document| flow::ways(document).is_ok(),
};

/// The table. The compiler must not look through it, or what hangs on it would hang on who asks.
pub(super) fn others() -> &'static Others {
    std::hint::black_box(&OTHERS)
}

/// Work with when it was saved.
#[derive(Debug, Clone)]
pub struct Saved {
    /// The work.
    pub work: Work,
    /// When, milliseconds since 1970.
    pub at_ms: f64,
}

/// What a stored or imported text turned out to be.
#[derive(Debug)]
pub enum Decoded {
    /// Work of ours.
    Good(Box<Saved>),
    /// Work of a later version of the app; it must be left as it is.
    Newer(u64),
    /// Not readable, with every reason.
    Bad(Vec<FieldError>),
}

impl Decoded {
    /// The work, or sentences that say why there is none.
    ///
    /// # Errors
    /// Every reason, as sentences.
    pub fn work(self) -> Result<Saved, Vec<String>> {
        match self {
            Self::Good(saved) => Ok(*saved),
            Self::Newer(v) => Err(vec![format!(
                "It was saved by a later version of the app (format {v}; this one reads up to {VERSION}). It is left as it is."
            )]),
            Self::Bad(faults) => Err(faults.iter().map(ToString::to_string).collect()),
        }
    }
}

/// A name that can be kept: no control characters, none that turn the direction of others, not too long, no blanks around it.
pub fn clean_name(name: &str) -> String {
    let plain: String = name.chars().filter(|c| !c.is_control() && !form::turns(*c)).take(LONGEST_NAME).collect();
    plain.trim().to_string()
}

/// Work as an envelope; nothing for what is never kept.
pub fn encode(work: &Work, at_ms: f64) -> Option<Value> {
    let values = form::write(&mut work.paper.clone());
    let mut paths = BTreeSet::new();
    every_path(&values, "", &mut paths);
    let assumed: Vec<_> = paths.into_iter().filter(|p| work.assumed(p)).collect();
    let saved = at_ms.round();
    match &work.paper {
        Paper::Sheet(sheet) => Some(json!({
            MARK: VERSION, "calculator": sheet.entry().id, "name": work.name, "saved": saved, "values": values, "assumed": assumed,
        })),
        Paper::System(_) => Some(json!({ MARK: VERSION, "saved": saved, SYSTEM: values, "assumed": assumed })),
        Paper::Goal(_) => Some(json!({ MARK: VERSION, "saved": saved, GOAL: values, "assumed": assumed })),
        Paper::Way(_) => None,
    }
}

/// The path of every value that is not itself an object or list.
fn every_path(object: &Map<String, Value>, at: &str, paths: &mut BTreeSet<String>) {
    for (key, value) in object {
        let path = format!("{at}{key}");
        match value {
            Value::Object(inner) => every_path(inner, &format!("{path}."), paths),
            Value::Array(rows) => {
                for (i, row) in rows.iter().enumerate() {
                    if let Value::Object(inner) = row {
                        every_path(inner, &format!("{path}.{i}."), paths);
                    }
                }
            }
            _ => {
                paths.insert(path);
            }
        }
    }
}

/// Reads an envelope from a stored text or a file.
pub fn decode(text: &str) -> Decoded {
    match open(text) {
        Ok(decoded) => decoded,
        Err(faults) => Decoded::Bad(faults),
    }
}

fn open(text: &str) -> Result<Decoded, Vec<FieldError>> {
    const OURS: &str = "a file that this app exported";
    const NOT_OURS: &str = "This is not a file of this app";
    let file = |(fault, accepted): (String, String)| {
        let (label, fault) = match fault.strip_prefix("is not JSON: ") {
            // Half of ours still begins as ours does.
            Some(_) if text.trim_start().starts_with('{') => ("This file", "is cut short or damaged".to_string()),
            Some(_) => (NOT_OURS, "it holds something else".to_string()),
            None => ("This file", fault),
        };
        let accepted = if accepted.is_empty() { OURS.into() } else { accepted };
        vec![FieldError { label: label.into(), ..FieldError::new("file", fault, accepted) }]
    };
    let value = json::parse(text.trim_start_matches('\u{feff}'), LARGEST).map_err(file)?;
    let object = value.as_object().ok_or_else(|| file(("is JSON, but not an object".into(), String::new())))?;
    match object.get(MARK).and_then(Value::as_u64) {
        Some(v) if v > VERSION => return Ok(Decoded::Newer(v)),
        Some(v) if v > 0 => {}
        _ => {
            let fault = format!("“{MARK}” is missing or no version");
            return Err(vec![FieldError { label: NOT_OURS.into(), ..FieldError::new(MARK, fault, OURS) }]);
        }
    }
    let name = clean_name(object.get("name").and_then(Value::as_str).unwrap_or(""));
    let at_ms = object.get("saved").and_then(Value::as_f64).filter(|t| t.is_finite()).unwrap_or(0.0);
    if object.contains_key(SYSTEM) {
        let (paper, touched) = (others().read)(object)?;
        return Ok(Decoded::Good(Box::new(Saved { work: Work { touched, ..Work::new(paper) }, at_ms })));
    }
    if let Some(values) = object.get(GOAL).and_then(Value::as_object) {
        let mut paper = (others().goal)();
        let touched = form::read_known(&mut paper, values, object.get("assumed"))?;
        return Ok(Decoded::Good(Box::new(Saved { work: Work { touched, ..Work::new(paper) }, at_ms })));
    }
    let known = || calculators::ALL.iter().map(|e| e.id).collect::<Vec<_>>().join(", ");
    let id = object.get("calculator").and_then(Value::as_str).unwrap_or("");
    let entry = calculators::by_id(id).ok_or_else(|| {
        let typed: String = id.chars().take(40).collect();
        vec![FieldError::new("calculator", format!("there is no calculator “{typed}”"), known())]
    })?;
    let values = object
        .get("values")
        .and_then(Value::as_object)
        .ok_or_else(|| vec![FieldError::new("values", "is missing or not an object", "an object of fields")])?;
    let mut paper = Paper::Sheet((entry.sheet)());
    let touched = form::read_known(&mut paper, values, object.get("assumed"))?;
    Ok(Decoded::Good(Box::new(Saved { work: Work { paper, name, touched }, at_ms })))
}

/// A file name for what is exported: plain letters of its name, or of what it is, and the ending of its kind.
pub fn file_name(name: &str, fallback: &str, ending: &str) -> String {
    let mut plain = String::new();
    for c in name.to_ascii_lowercase().chars().take(LONGEST_NAME) {
        match c {
            'a'..='z' | '0'..='9' => plain.push(c),
            _ if !plain.ends_with('-') => plain.push('-'),
            _ => {}
        }
    }
    let plain = plain.trim_matches('-');
    format!("{}.{ending}", if plain.is_empty() { fallback } else { plain })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::form::{EditValue, LayoutItem};

    fn why(text: &str) -> String {
        match decode(text) {
            Decoded::Bad(faults) => faults.iter().map(ToString::to_string).collect::<Vec<_>>().join(" | "),
            other => panic!("{other:?}"),
        }
    }

    /// Every calculator's sheet, one number of it touched.
    fn works() -> Vec<(String, Work)> {
        let works: Vec<_> = calculators::ALL
            .iter()
            .map(|entry| {
                let mut work = Work::new(Paper::Sheet((entry.sheet)()));
                let number = work.layout().into_iter().find_map(|e| match e.item {
                    LayoutItem::Num(spec, x) => Some((e.path, if spec.kind.whole { x } else { x * 1.000_001 })),
                    _ => None,
                });
                let (path, x) = number.expect("a number field");
                assert!(work.apply(&form::Edit { path: path.clone(), to: EditValue::Si(x) }));
                work.name = "Trough 2, “old” Ä".into();
                (path, work)
            })
            .collect();
        assert!(!works.is_empty());
        works
    }

    #[test]
    fn every_calculator_is_kept_whole() {
        for (path, work) in works() {
            let text = encode(&work, 1234.0).expect("a sheet").to_string();
            let back = match decode(&text) {
                Decoded::Good(saved) => saved,
                other => panic!("{other:?}"),
            };
            assert_eq!(back.at_ms, 1234.0);
            assert_eq!(back.work.name, work.name);
            assert_eq!(format!("{:?}", back.work.paper), format!("{:?}", work.paper), "{path}");
            assert_eq!(back.work.touched.into_iter().collect::<Vec<_>>(), [path]);
        }
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        assert!(why("{").starts_with("This file: is cut short or damaged. Accepted:"), "{}", why("{"));
        assert!(
            why("<html>").starts_with("This is not a file of this app: it holds something else"),
            "{}",
            why("<html>")
        );
        assert!(why("[1]").contains("not an object"));
        assert!(
            why("{}").starts_with("This is not a file of this app: “brimwise” is missing or no version. Accepted:")
        );
        assert!(why(r#"{"brimwise": "1"}"#).contains("no version"));
        assert!(why(r#"{"brimwise": 1, "calculator": "astrology"}"#).contains("“astrology”"));
        let id = calculators::ALL[0].id;
        assert!(why(&format!(r#"{{"brimwise": 1, "calculator": "{id}"}}"#)).starts_with("values: is missing"));
        let stranger = format!(r#"{{"brimwise": 1, "calculator": "{id}", "values": {{"no_such_field": 1}}}}"#);
        assert!(why(&stranger).contains("no_such_field: there is no such field"));
        assert!(matches!(decode(r#"{"brimwise": 99, "of": "the future"}"#), Decoded::Newer(99)));
        let later = decode(r#"{"brimwise": 9}"#).work().expect_err("later");
        assert!(later[0].contains("later version"), "{later:?}");
    }

    #[test]
    fn size_depth_and_count_are_capped_before_anything_is_parsed() {
        let large = format!(r#"{{"brimwise": 1, "x": "{}"}}"#, "x".repeat(LARGEST));
        assert!(why(&large).contains("KiB large. Accepted: at most 640 KiB."));
        let deep = format!(r#"{{"brimwise": 1, "x": {}1{}}}"#, "[".repeat(40), "]".repeat(40));
        assert!(why(&deep).contains("nested too deeply"));
        let deeper = format!(r#"{{"brimwise": 1, "x": {}1{}}}"#, "[".repeat(100_000), "]".repeat(100_000));
        assert!(why(&deeper).contains("nested too deeply"));
        let many = format!(r#"{{"brimwise": 1, "x": [{}1]}}"#, "1,".repeat(50_000));
        assert!(why(&many).contains("too many values"));
        // What stands in a text counts for nothing.
        let quoted =
            format!(r#"{{"brimwise": 1, "x": "{}\\\" {}", "calculator": "x"}}"#, "[{,".repeat(20_000), "[".repeat(99));
        assert!(why(&quoted).contains("there is no calculator"), "{}", why(&quoted));
    }

    #[test]
    fn every_demo_system_is_kept_whole() {
        for demo in crate::system::demo::ALL {
            let mut work = Work::new(Paper::system(demo.document()));
            assert!(work.apply(&form::Edit { path: "tanks.0.oxygen.volume".into(), to: EditValue::Si(0.95) }));
            let text = encode(&work, 5.0).expect("a system").to_string();
            let Decoded::Good(back) = decode(&text) else { panic!("{text}") };
            assert_eq!(format!("{:?}", back.work.paper), format!("{:?}", work.paper));
            assert_eq!(back.work.touched.into_iter().collect::<Vec<_>>(), ["tanks.0.oxygen.volume"]);
        }
        let said = why(r#"{"brimwise": 1, "system": {"tanks": [{"oxygen": {"volume": "-5 L"}}]}}"#);
        assert!(said.contains("Accepted: "), "{said}");
    }

    #[test]
    fn a_goal_is_kept_whole() {
        let mut work = Work::new(Paper::goal(Default::default()));
        assert!(work.apply(&form::Edit { path: "fish".into(), to: EditValue::Si(75.0) }));
        let text = encode(&work, 5.0).expect("a goal").to_string();
        let Decoded::Good(back) = decode(&text) else { panic!("{text}") };
        assert_eq!(format!("{:?}", back.work.paper), format!("{:?}", work.paper));
        assert_eq!(back.work.touched.into_iter().collect::<Vec<_>>(), ["fish"]);
        assert!(why(r#"{"brimwise": 1, "goal": {"fish": "-5 kg"}}"#).contains("Accepted: "));
    }

    #[test]
    fn every_number_out_of_range_is_named() {
        for (path, work) in works() {
            let mut value = encode(&work, 0.0).expect("a sheet");
            let key = path.split('.').next().expect("key");
            value["values"][key] = json!(1e300);
            let said = why(&value.to_string());
            assert!(said.contains("Accepted: "), "{said}");
        }
    }

    #[test]
    fn names() {
        assert_eq!(clean_name("  a\u{0}b\n "), "ab");
        assert_eq!(clean_name(&"x".repeat(200)).len(), LONGEST_NAME);
        assert_eq!(file_name("Courtyard trough, enlarged!", "sheet", "json"), "courtyard-trough-enlarged.json");
        assert_eq!(file_name("../..", "sheet", "json"), "sheet.json");
        assert_eq!(file_name("水", "sheet", "json"), "sheet.json");
    }
}
