//! All that a browser keeps in one file, and back.
//!
//! The file holds texts as they were kept, so nothing is opened, brought up to date or rounded on the way: what only a later version can read
//! travels like the rest. It is hostile input when it comes back: size, depth and number are looked at before any of it is parsed. Coming back
//! never overwrites: what differs stands beside what is here.

use super::bin::Gone;
use super::keys::{self, PREFIX, Shelf};
use super::{Decoded, label, route, saved};
use crate::calculators::form;
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The version that is written.
pub const VERSION: u64 = 1;
/// Largest file that is read, bytes: a browser keeps about 5 million characters for one site.
pub const LARGEST: usize = 12 * 1024 * 1024;
/// Most values in a file.
const MOST: usize = 5000;
/// Deepest nesting: the file, its entries.
const DEEPEST: usize = 2;
/// The key that says what the file is, and its version.
const MARK: &str = "brimwise_everything";

/// Does the text claim to be such a file?
pub fn is(text: &str) -> bool {
    text.contains("\"brimwise_everything\"")
}

/// Is this key for the file? What was deleted is not, nor are notes of this browser about itself.
pub fn belongs(key: &str) -> bool {
    key == keys::UNITS || Shelf::of(key).is_some_and(|(shelf, _)| shelf != Shelf::Bin)
}

/// The file of all entries (keys and texts); nothing if it were too large to be read again.
pub fn write(entries: &[(String, String)], at_ms: f64) -> Option<String> {
    let mut all = Map::new();
    for (key, text) in entries.iter().filter(|(key, _)| belongs(key)) {
        all.insert(key.strip_prefix(PREFIX).unwrap_or(key).into(), Value::String(text.clone()));
    }
    let most = all.len() + 3 <= MOST;
    let file = json!({ MARK: VERSION, "saved": at_ms.round(), "entries": all });
    Some(format!("{file:#}")).filter(|f| most && f.len() <= LARGEST)
}

/// Few values and not deep, seen without parsing, so that parsing takes no more room than the text.
fn modest(text: &str) -> bool {
    let (mut quoted, mut escaped, mut depth, mut values) = (false, false, 0, 1);
    for b in text.bytes() {
        match b {
            _ if escaped => escaped = false,
            b'\\' => escaped = quoted,
            b'"' => quoted = !quoted,
            _ if quoted => {}
            b'{' | b'[' => depth += 1,
            b'}' | b']' => depth -= depth.min(1),
            b',' => values += 1,
            _ => {}
        }
        if depth > DEEPEST || values > MOST {
            return false;
        }
    }
    true
}

/// The entries of a file, by full keys.
///
/// # Errors
/// A sentence that says why it cannot be read.
pub fn read(text: &str) -> Result<Vec<(String, String)>, String> {
    if text.len() > LARGEST {
        let mib = LARGEST / 1024 / 1024;
        return Err(format!("The file is larger than what a browser can keep. At most {mib} MiB are read."));
    }
    if !modest(text) {
        return Err(format!(
            "The file is nested too deeply, or holds too much. Up to {DEEPEST} levels and {MOST} values are read."
        ));
    }
    let mut v: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .map_err(|e| format!("The file is not whole, or not JSON: {e}."))?;
    match v.get(MARK).and_then(Value::as_u64) {
        Some(1..=VERSION) => {}
        Some(n) if n > VERSION => {
            return Err(format!(
                "The file was saved by a later version of the app (format {n}; this one reads up to {VERSION}). Nothing was changed."
            ));
        }
        _ => return Err("The file does not say that it holds everything kept by this app.".into()),
    }
    let Some(Value::Object(entries)) = v.get_mut("entries").map(Value::take) else {
        return Err("The file holds no entries.".into());
    };
    let text = |v| match v {
        Value::String(text) => text,
        // Whatever else stands there cannot be read, which is said with the rest.
        _ => String::new(),
    };
    Ok(entries.into_iter().map(|(key, v)| (format!("{PREFIX}{key}"), text(v))).collect())
}

/// One text to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Put {
    /// Its key.
    pub key: String,
    /// Its text, to the letter.
    pub text: String,
    /// What it is now called, where it stands beside one that differs.
    pub beside: Option<String>,
}

/// What is to be done to bring a file's entries back.
#[derive(Debug, Default)]
pub struct Plan {
    /// What is to be kept.
    pub puts: Vec<Put>,
    /// How many were here already.
    pub already: usize,
    /// What cannot be read, and why.
    pub unread: Vec<String>,
    /// How often a text was taken apart or a name or key tried.
    pub steps: usize,
}

/// The most steps for every entry of the file and of what is here: it is looked at for what it holds, for its name, and under a new one.
pub const MOST_STEPS: usize = 16;

/// A shelf as it is and will be: what its texts hold, their names, and the next number of each name.
struct Known {
    shelf: Shelf,
    marks: BTreeSet<u64>,
    names: BTreeSet<String>,
    next: BTreeMap<String, usize>,
}

impl Known {
    fn of(shelf: Shelf, here: &BTreeMap<String, String>, steps: &mut usize) -> Self {
        let mut known = Self { shelf, marks: BTreeSet::new(), names: BTreeSet::new(), next: BTreeMap::new() };
        for (_, text) in here.iter().filter(|(key, _)| Shelf::of(key).is_some_and(|(s, _)| s == shelf)) {
            known.marks.extend(label::mark(text));
            known.names.insert(label::called(shelf, text));
            *steps += 2;
        }
        known
    }
    /// A name beside those that are there. The next number is known by the beginning of a name, because the end of a long one gives way.
    fn apart(&mut self, called: &str, steps: &mut usize) -> String {
        let start: String = called.chars().take(START).collect();
        let n = self.next.entry(start).or_insert(2);
        let from = *n;
        let name = label::apart_from(self.shelf, called, n, &|name| self.names.contains(name));
        *steps += *n - from;
        self.names.insert(name.clone());
        name
    }
}

/// Characters of a name that no number takes the place of.
const START: usize = 32;

/// Finds for every entry of a file its place beside what is here, and what was deleted here. `id` draws identifiers that are not in use.
pub fn plan(
    file: Vec<(String, String)>,
    here: &BTreeMap<String, String>,
    now_ms: f64,
    id: &mut dyn FnMut(Shelf) -> String,
) -> Plan {
    let mut plan = Plan::default();
    // Made when the first of a shelf differs.
    let mut known: Vec<Known> = vec![];
    // Keys that this file brings: none of them may be given to another entry.
    let coming: BTreeSet<String> = file.iter().map(|(key, _)| key.clone()).collect();
    let (mut given, mut asides) = (BTreeMap::new(), None::<BTreeSet<&str>>);
    for (key, text) in file {
        let there = here.get(&key);
        if key == keys::UNITS {
            // A choice, not work: the one made here counts.
            if there.is_none() && (text == "\"us\"" || text == "\"metric\"") {
                plan.puts.push(Put { key, text, beside: None });
            }
            continue;
        }
        plan.steps += 4;
        if there.is_some_and(|there| label::same(there, &text)) {
            plan.already += 1;
            continue;
        }
        let (shelf, old) = match placed(&key, &text) {
            Ok(place) => place,
            Err(why) => {
                plan.unread.push(why);
                continue;
            }
        };
        if there.is_none() {
            plan.puts.push(Put { key, text, beside: None });
            continue;
        }
        // Working sheets have one place each: what differs becomes a sheet with a name.
        let to = if shelf == Shelf::Draft && old != label::PLAN { Shelf::Sheet } else { shelf };
        if to == Shelf::Aside {
            let on = |key: &str| Shelf::of(key).is_some_and(|(s, _)| s == Shelf::Aside);
            let all = asides.get_or_insert_with(|| here.iter().filter(|e| on(e.0)).map(|e| e.1.as_str()).collect());
            if all.contains(text.as_str()) {
                // It came beside the other one before.
                plan.already += 1;
                continue;
            }
            let n = given.entry(key.clone()).or_insert(2);
            let from = *n;
            let key = free_from(&key, n, &|key| here.contains_key(key) || coming.contains(key));
            plan.steps += *n - from;
            plan.puts.push(Put { key, text, beside: None });
            continue;
        }
        if to == Shelf::Draft {
            // A goal has no sheet with a name: it waits among what was deleted, and changes places when it is brought back.
            let deleted = here.iter().filter(|(key, _)| matches!(Shelf::of(key), Some((Shelf::Bin, _))));
            let waits = |gone: Gone| (gone.shelf, &gone.id) == (shelf, &old) && label::same(&gone.text, &text);
            if deleted.filter_map(|(_, text)| Gone::read(text)).any(waits) {
                plan.already += 1;
                continue;
            }
            let called = label::called(shelf, &text);
            let text = Gone { shelf, id: old, at_ms: now_ms, text }.write();
            plan.puts.push(Put { key: Shelf::Bin.key(&id(Shelf::Bin)), text, beside: Some(called) });
            continue;
        }
        if known.iter().all(|k| k.shelf != to) {
            known.push(Known::of(to, here, &mut plan.steps));
        }
        let Some(on) = known.iter_mut().find(|k| k.shelf == to) else { continue };
        if let Some(mark) = label::mark(&text)
            && !on.marks.insert(mark)
        {
            // It came beside the other one before.
            plan.already += 1;
            continue;
        }
        plan.steps += 4;
        let called = label::called(shelf, &text);
        let name = on.apart(&called, &mut plan.steps);
        // What a later version wrote keeps its name.
        let (text, name) = match label::rename(&text, &name) {
            Some(renamed) => (renamed, name),
            None => (text, called),
        };
        plan.puts.push(Put { key: to.key(&id(to)), text, beside: Some(name) });
    }
    plan
}

/// The shelf and identifier of an entry that can be kept, or a sentence why it cannot.
fn placed(key: &str, text: &str) -> Result<(Shelf, String), String> {
    let plain = saved::clean_name(key.strip_prefix(PREFIX).unwrap_or(key));
    let plain: String = plain.chars().take(40).collect();
    let (shelf, id) = Shelf::of(key)
        .filter(|(shelf, id)| *shelf != Shelf::Bin && route::identifier(id).is_some())
        .ok_or_else(|| format!("“{plain}” is no place that this version knows"))?;
    if shelf == Shelf::Aside {
        return Ok((shelf, id.into()));
    }
    match saved::decode(text) {
        Decoded::Bad(faults) => {
            Err(format!("{plain}: {}", faults.first().map(ToString::to_string).unwrap_or_default()))
        }
        _ if !label::fits(shelf, id, text) => Err(format!("{plain}: something else stands there")),
        _ => Ok((shelf, id.into())),
    }
}

/// A key like this one that is not in use.
pub fn free(here: &BTreeMap<String, String>, key: &str) -> String {
    if here.contains_key(key) { free_from(key, &mut 2, &|key| here.contains_key(key)) } else { key.into() }
}

fn free_from(key: &str, n: &mut usize, taken: &dyn Fn(&str) -> bool) -> String {
    loop {
        let free = format!("{key}-{n}");
        *n += 1;
        if !taken(&free) {
            return free;
        }
    }
}

/// What was brought back, in one sentence. `refused` is for how many there was no room.
pub fn told(plan: &Plan, refused: usize) -> String {
    let were = |n: usize| if n == 1 { "was" } else { "were" };
    let mut said = vec![];
    let came = plan.puts.iter().filter(|p| p.key != keys::UNITS).count().saturating_sub(refused);
    if came > 0 {
        let beside: Vec<String> =
            plan.puts.iter().filter_map(|p| p.beside.as_ref()).map(|name| format!("“{name}”")).collect();
        let named = beside.iter().take(3).cloned().collect::<Vec<_>>().join(", ");
        said.push(match beside.len() {
            0 => format!("{came} came back"),
            n if n > 3 => format!("{came} came back ({n} of them beside what differs here: {named} and others)"),
            _ => format!("{came} came back (beside what differs here: {named})"),
        });
    }
    if plan.already > 0 {
        said.push(format!("{} {} here already", plan.already, were(plan.already)));
    }
    if refused > 0 {
        said.push(format!("for {refused} there was no room"));
    }
    if let Some(why) = plan.unread.first() {
        // It may quote what stands in the file.
        let why: String = why.chars().filter(|c| !c.is_control() && !form::turns(*c)).collect();
        said.push(format!("{} could not be read ({})", plan.unread.len(), why.trim_end_matches('.')));
    }
    if said.is_empty() { "The file holds nothing to bring back.".into() } else { format!("{}.", said.join("; ")) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators;
    use crate::session::{Paper, Work, stations};

    type Kept = BTreeMap<String, String>;

    fn system(name: &str, hottest: f64) -> String {
        let mut work = stations::starter(name, crate::units::System::Metric);
        let edit = crate::calculators::form::EditValue::Si(hottest);
        assert!(work.apply(&crate::calculators::form::Edit { path: "water.hottest".into(), to: edit }));
        saved::encode(&work, 5.0).expect("a system").to_string()
    }
    fn sheet() -> String {
        saved::encode(&Work::new(Paper::Sheet((calculators::ALL[0].sheet)())), 5.0).expect("a sheet").to_string()
    }
    fn goal(name: &str) -> String {
        let mut v = saved::encode(&Work::new(Paper::goal(Default::default())), 5.0).expect("a goal");
        if !name.is_empty() {
            v["assumed"] = json!([]);
        }
        v.to_string()
    }
    fn of(all: &[(&str, &str)]) -> Kept {
        all.iter().map(|(key, text)| (format!("{PREFIX}{key}"), (*text).to_string())).collect()
    }
    fn file(kept: &Kept) -> String {
        write(&kept.clone().into_iter().collect::<Vec<_>>(), 7.0).expect("not too large")
    }
    /// Brings a file back to what is here.
    fn back(text: &str, here: &mut Kept) -> String {
        let mut n = here.len();
        let plan = plan(read(text).expect("a file"), here, 9.0, &mut |_| {
            n += 1;
            format!("new{n}")
        });
        for p in &plan.puts {
            assert!(here.insert(p.key.clone(), p.text.clone()).is_none(), "{} was overwritten", p.key);
        }
        told(&plan, 0)
    }

    #[test]
    fn everything_goes_and_comes() {
        let draft = format!("draft/{}", calculators::ALL[0].id);
        let kept = of(&[
            ("system/a", &system("Trough", 300.0)),
            ("sheet/b", &sheet()),
            (&draft, &sheet()),
            ("draft/plan", &goal("")),
            ("system/later", r#"{"brimwise":99,"of":"tomorrow","n":1.000000000000000000001}"#),
            ("aside/draft-bed", "\"{ half a design\""),
            ("setting/units", "\"us\""),
            ("bin/x", "of no concern"),
            ("setting/exported", "\"12\""),
        ]);
        let text = file(&kept);
        assert!(is(&text) && !text.contains("of no concern") && !text.contains("exported"));
        let mut here = Kept::new();
        assert_eq!(back(&text, &mut here), "6 came back.");
        for (key, text) in &kept {
            let expected = belongs(key).then_some(text);
            assert_eq!(here.get(key), expected, "{key} is not as it was, to the letter");
        }
        assert_eq!(back(&text, &mut here), "6 were here already.");
    }

    #[test]
    fn what_differs_stands_beside_and_comes_once() {
        let draft = format!("draft/{}", calculators::ALL[0].id);
        let mut other = Work::new(Paper::Sheet((calculators::ALL[0].sheet)()));
        other.touched.insert("x".into());
        let other = saved::encode(&other, 6.0).expect("a sheet");
        let mut touched = other.clone();
        touched["assumed"] = json!([]);
        let theirs = of(&[
            ("system/a", &system("Trough", 300.0)),
            (&draft, &sheet()),
            ("draft/plan", &goal("other")),
            ("aside/draft-bed", "\"{ half\""),
            ("setting/units", "\"us\""),
        ]);
        let mut here = of(&[
            ("system/a", &system("Trough", 301.0)),
            (&draft, &touched.to_string()),
            ("draft/plan", &goal("")),
            ("aside/draft-bed", "\"{ other\""),
            ("setting/units", "\"metric\""),
        ]);
        let before = here.clone();
        assert_ne!(theirs["brimwise/system/a"], here["brimwise/system/a"]);
        let said = back(&file(&theirs), &mut here);
        let title = calculators::ALL[0].title;
        assert!(said.starts_with("4 came back (beside what differs here: "), "{said}");
        assert!(said.contains("“Trough, version 2”") && said.contains("“The goal of a plan”"), "{said}");
        assert!(said.contains(&format!("“{title}, working sheet, version 2”")), "{said}");
        for (key, text) in &before {
            assert_eq!(here.get(key), Some(text), "{key} was overwritten");
        }
        assert_eq!(here.len(), before.len() + 4);
        assert_eq!(here.get("brimwise/aside/draft-bed-2").map(String::as_str), Some("\"{ half\""));
        let copy =
            here.iter().find(|(k, t)| Shelf::of(k).is_some_and(|(s, _)| s == Shelf::System) && t.contains("version 2"));
        let copy = saved::decode(copy.expect("a copy").1).work().expect("work").work;
        assert_eq!(copy.system().map(|d| d.water.hottest.value), Some(300.0));
        // Once more: the copies are known.
        let n = here.len();
        let said = back(&file(&theirs), &mut here);
        assert!(said.ends_with("4 were here already."), "{said}");
        assert_eq!(here.len(), n, "{here:?}");
    }

    #[test]
    fn what_comes_beside_takes_no_place_that_the_file_fills() {
        let theirs =
            of(&[("aside/a", "\"x\""), ("aside/a-2", "\"y\""), ("system/a", r#"{"brimwise":99,"of":"tomorrow"}"#)]);
        let mut here = of(&[("aside/a", "\"other\""), ("system/a", &system("Trough", 300.0))]);
        assert!(back(&file(&theirs), &mut here).starts_with("3 came back"));
        for (key, text) in [
            ("aside/a", "\"other\""),
            ("aside/a-2", "\"y\""),
            ("aside/a-3", "\"x\""),
            ("system/new3", &theirs["brimwise/system/a"]),
        ] {
            assert_eq!(here.get(&format!("{PREFIX}{key}")).map(String::as_str), Some(text), "{key}");
        }
        assert_eq!(back(&file(&theirs), &mut here), "3 were here already.");
    }

    #[test]
    fn what_cannot_be_read_is_said_and_the_rest_comes() {
        let mut wild: Value = serde_json::from_str(&system("Wild", 300.0)).expect("JSON");
        wild["system"]["water"]["hottest"] = json!(1e300);
        let kept = of(&[
            ("system/a", &system("Trough", 300.0)),
            ("system/b", &wild.to_string()),
            ("system/c", &sheet()),
            ("draft/nothing", &sheet()),
            ("system/../x", &system("Out", 300.0)),
            ("system/cut", &system("Cut", 300.0)[..200]),
        ]);
        let mut here = Kept::new();
        let said = back(&file(&kept), &mut here);
        assert!(said.starts_with("1 came back; 5 could not be read ("), "{said}");
        assert_eq!(here.len(), 1);
        let strange =
            r#"{"brimwise_everything": 1, "entries": {"system/a": {"brimwise": 2}, "shelf/of/tomorrow": "x", "": ""}}"#;
        let said = back(&strange.replace("{\"brimwise\": 2}", "12"), &mut Kept::new());
        assert!(said.starts_with("3 could not be read"), "{said}");
        assert!(read(strange).is_err_and(|e| e.contains("nested too deeply")));
        assert_eq!(
            back(r#"{"brimwise_everything": 1, "entries": {}}"#, &mut here),
            "The file holds nothing to bring back."
        );
    }

    #[test]
    fn a_file_that_is_none_says_why_and_is_capped_before_it_is_parsed() {
        let why = |text: &str| read(text).expect_err("no file");
        assert!(why("{").contains("not whole"));
        let whole = file(&of(&[("system/a", &system("Trough", 300.0))]));
        assert!(why(&whole[..whole.len() / 2]).contains("not whole"));
        assert!(why("{}").contains("does not say"));
        assert!(why(r#"{"brimwise_everything": 0}"#).contains("does not say"));
        assert!(why(r#"{"brimwise_everything": 2, "entries": {}}"#).contains("later version of the app (format 2"));
        assert!(why(r#"{"brimwise_everything": 1}"#).contains("no entries"));
        assert!(why(&"[".repeat(1_000_000)).contains("nested too deeply"));
        let many = |n: usize| {
            format!("{{\"brimwise_everything\": 1, \"entries\": {{{}\"x\":\"\"}}}}", "\"x\":\"\",".repeat(n))
        };
        assert!(why(&many(MOST)).contains("holds too much"));
        assert!(read(&many(MOST - 10)).is_ok());
        assert!(why(&" ".repeat(LARGEST + 1)).contains("At most 12 MiB"));
        // Brackets and commas inside of texts count for nothing.
        let text = format!(
            "{{\"brimwise_everything\": 1, \"entries\": {{\"aside/x\": \"{}\\\"{{[\"}}}}",
            "[,\\\\".repeat(9000)
        );
        assert!(read(&text).is_ok());
        assert_eq!(write(&[("brimwise/aside/x".into(), "x".repeat(LARGEST))], 0.0), None);
    }

    #[test]
    fn no_room_is_said() {
        let put = |key: &str| Put { key: key.into(), text: String::new(), beside: None };
        let plan = Plan { puts: vec![put("a"), put("b"), put(keys::UNITS)], ..Plan::default() };
        assert_eq!(told(&plan, 1), "1 came back; for 1 there was no room.");
        assert_eq!(told(&plan, 2), "for 2 there was no room.");
    }
}
