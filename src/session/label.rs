//! What a kept text says of itself: what it is of, and its name. It is not opened as work for that, so this also serves what only a later
//! version can open.

use super::keys::Shelf;
use super::route::Route;
use super::saved::{self, LONGEST_NAME};
use crate::calculators::{self, Entry};
use crate::system::document::NAME;
use crate::system::json::{self, MARK, SYSTEM};
use serde_json::{Map, Value};
use std::fmt::Write;

/// The working sheet that holds the goal of a plan.
pub const PLAN: &str = "plan";

/// A kept text as a value, if it is one. The caps are those of what is opened, so no text takes more room here than there.
fn value(text: &str) -> Option<Value> {
    json::parse(text, saved::LARGEST).ok().filter(Value::is_object)
}

/// What the name stands in.
fn home(v: &Value) -> &Value {
    v.get(SYSTEM).unwrap_or(v)
}

/// The same, to change it.
fn home_mut(v: &mut Value) -> Option<&mut Map<String, Value>> {
    if v.get(SYSTEM).is_some() { v.get_mut(SYSTEM)?.as_object_mut() } else { v.as_object_mut() }
}

fn entry(v: &Value) -> Option<&'static Entry> {
    calculators::by_id(v.get("calculator")?.as_str()?)
}

/// What it is called, in words for a list.
pub fn called(shelf: Shelf, text: &str) -> String {
    let v = value(text).unwrap_or_default();
    let name = saved::clean_name(home(&v).get("name").and_then(Value::as_str).unwrap_or(""));
    let title = entry(&v).map_or("A sheet", |e| e.title);
    match shelf {
        _ if !name.is_empty() => name,
        Shelf::Draft if v.get("goal").is_some() => "The goal of a plan".into(),
        Shelf::System => "A system without a name".into(),
        Shelf::Draft => format!("{title}, working sheet"),
        _ => title.into(),
    }
}

/// Is what stands there of the kind that this shelf and identifier hold? What a later version wrote may be anything.
pub fn fits(shelf: Shelf, id: &str, text: &str) -> bool {
    let Some(v) = value(text) else { return false };
    let calculator = v.get("calculator").and_then(Value::as_str);
    v.get(MARK).and_then(Value::as_u64).is_some_and(|n| n > saved::VERSION)
        || match shelf {
            Shelf::System => v.get(SYSTEM).is_some(),
            Shelf::Sheet => calculator.is_some(),
            Shelf::Draft if id == PLAN => v.get("goal").is_some(),
            Shelf::Draft => calculator == Some(id),
            Shelf::Aside | Shelf::Bin => false,
        }
}

/// The screen that opens it.
pub fn route(shelf: Shelf, id: &str, text: &str) -> Route {
    match shelf {
        Shelf::System => Route::System(id.into()),
        Shelf::Draft if id == PLAN => Route::Plan,
        Shelf::Draft => Route::Calculator { id: id.into(), saved: None },
        _ => match value(text).as_ref().and_then(entry) {
            Some(e) => Route::Calculator { id: e.id.into(), saved: Some(id.into()) },
            None => Route::Systems,
        },
    }
}

/// What a text holds, whenever it was saved and whatever it is called, as a mark of 64 bits; nothing where it is no work.
pub fn mark(text: &str) -> Option<u64> {
    let mut v = value(text)?;
    v.as_object_mut()?.remove("saved");
    if let Some(home) = home_mut(&mut v) {
        home.remove("name");
    }
    let mut mark = Mark(FNV.0);
    write!(mark, "{v}").ok()?;
    Some(mark.0)
}

/// Takes in a text without keeping it (FNV-1a, 64 bits).
struct Mark(u64);
const FNV: (u64, u64) = (0xcbf2_9ce4_8422_2325, 0x0100_0000_01b3);

impl Write for Mark {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        self.0 = text.bytes().fold(self.0, |h, b| (h ^ u64::from(b)).wrapping_mul(FNV.1));
        Ok(())
    }
}

/// Do two texts hold the same, whenever it was saved?
pub fn same(a: &str, b: &str) -> bool {
    let bare = |text| {
        let mut v = value(text)?;
        v.as_object_mut()?.remove("saved");
        Some(v)
    };
    a == b || bare(a).is_some_and(|a| bare(b) == Some(a))
}

/// The same under another name. What a later version wrote is not touched, nor what would grow by that: strange numbers are written longer, and
/// a text that is too large opens no more.
pub fn rename(text: &str, name: &str) -> Option<String> {
    let mut v = value(text)?;
    if v.get(MARK)?.as_u64()? > saved::VERSION {
        return None;
    }
    home_mut(&mut v)?.insert("name".into(), name.into());
    let most = saved::LARGEST.min(2 * text.len() + 4 * LONGEST_NAME);
    Some(v.to_string()).filter(|t| t.len() <= most)
}

/// A name beside names that are taken: “Trough”, then “Trough, version 2”.
pub fn apart(shelf: Shelf, name: &str, taken: &[String]) -> String {
    apart_from(shelf, name, &mut 2, &|name| taken.iter().any(|t| t == name))
}

/// The same, with the number to begin with, which is left at the one after that taken.
pub fn apart_from(shelf: Shelf, name: &str, n: &mut usize, taken: &dyn Fn(&str) -> bool) -> String {
    let longest = if shelf == Shelf::System { NAME } else { LONGEST_NAME };
    loop {
        let end = format!(", version {n}");
        let start: String = name.chars().take(longest - end.len()).collect();
        let whole = format!("{}{end}", start.trim_end());
        *n += 1;
        if !taken(&whole) {
            return whole;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Paper, Work, stations};

    fn system(name: &str, at_ms: f64) -> String {
        saved::encode(&stations::starter(name, crate::units::System::Metric), at_ms).expect("a system").to_string()
    }
    fn sheet(name: &str) -> String {
        let mut work = Work::new(Paper::Sheet((calculators::ALL[0].sheet)()));
        work.name = name.into();
        saved::encode(&work, 5.0).expect("a sheet").to_string()
    }

    #[test]
    fn names_and_screens() {
        let first = &calculators::ALL[0];
        assert_eq!(called(Shelf::System, &system("Trough", 1.0)), "Trough");
        assert_eq!(called(Shelf::System, &system("", 1.0)), "A system without a name");
        assert_eq!(called(Shelf::Sheet, &sheet("South \u{7}bed")), "South bed");
        assert_eq!(called(Shelf::Draft, &sheet("")), format!("{}, working sheet", first.title));
        let goal = saved::encode(&Work::new(Paper::goal(Default::default())), 0.0).expect("a goal").to_string();
        assert_eq!(called(Shelf::Draft, &goal), "The goal of a plan");
        assert_eq!(called(Shelf::System, "{ half"), "A system without a name");
        assert_eq!(route(Shelf::System, "k3x9", "{ half"), Route::System("k3x9".into()));
        let saved = Route::Calculator { id: first.id.into(), saved: Some("k3x9".into()) };
        assert_eq!(route(Shelf::Sheet, "k3x9", &sheet("")), saved);
        assert_eq!(route(Shelf::Draft, PLAN, &goal), Route::Plan);
    }

    #[test]
    fn every_kind_on_its_own_shelf() {
        let (a, b) = (calculators::ALL[0].id, calculators::ALL[1].id);
        assert!(fits(Shelf::System, "k", &system("x", 0.0)) && !fits(Shelf::System, "k", &sheet("x")));
        assert!(fits(Shelf::Sheet, "k", &sheet("x")) && !fits(Shelf::Sheet, "k", &system("x", 0.0)));
        assert!(fits(Shelf::Draft, a, &sheet("")) && !fits(Shelf::Draft, b, &sheet("")));
        assert!(
            !fits(Shelf::Draft, PLAN, &sheet("")) && !fits(Shelf::System, "k", "[]") && !fits(Shelf::Sheet, "k", "{")
        );
        assert!(fits(Shelf::System, "k", r#"{"brimwise": 99}"#));
    }

    #[test]
    fn the_same_saved_later_is_the_same() {
        assert!(same(&system("x", 1.0), &system("x", 2.0)));
        assert!(!same(&system("x", 1.0), &system("y", 1.0)));
        assert!(same("{ half", "{ half") && !same("{ half", "{ hal"));
        // The order of keys says nothing.
        assert!(same(r#"{"a": 1, "b": 2}"#, r#"{"b":2,"a":1,"saved":7}"#));
    }

    #[test]
    fn marks_are_of_what_is_held() {
        assert_eq!(mark(&system("x", 1.0)), mark(&system("y", 2.0)));
        assert_eq!(mark(&sheet("x")), mark(&sheet("")));
        assert_ne!(mark(&sheet("x")), mark(&system("x", 5.0)));
        assert_eq!(mark(r#"{"brimwise":99,"b":[1],"a":2}"#), mark(r#"{"a":2,"b":[1],"brimwise":99,"name":"x"}"#));
        assert_ne!(mark(r#"{"brimwise":99,"b":[1]}"#), mark(r#"{"brimwise":99,"b":[2]}"#));
        assert_eq!(mark("{ half"), None);
        // The mark of “foobar” by the authors of FNV.
        let mut m = Mark(FNV.0);
        write!(m, "foobar").expect("taken in");
        assert_eq!(m.0, 0x8594_4171_f739_67e8);
    }

    #[test]
    fn another_name_and_nothing_else() {
        for (text, name) in [(system("Trough", 3.0), "Tr"), (sheet("Trough"), "Tr")] {
            let now = rename(&text, name).expect("renamed");
            let (was, now) = (saved::decode(&text).work().expect("work"), saved::decode(&now).work().expect("work"));
            assert_eq!(now.work.called(), name);
            assert_eq!((now.at_ms, now.work.touched), (was.at_ms, was.work.touched));
        }
        assert_eq!(rename(r#"{"brimwise":99,"system":{"name":"x"}}"#, "y"), None);
        assert_eq!(rename("{", "y"), None);
        let grown = format!(r#"{{"brimwise":2,"calculator":"drain","values":{{}},"x":[{}0]}}"#, "1e15,".repeat(400));
        assert_eq!(rename(&grown, "y"), None);
    }

    #[test]
    fn names_apart() {
        let two = apart(Shelf::Sheet, "Trough", &[]);
        assert_eq!(two, "Trough, version 2");
        assert_eq!(apart(Shelf::Sheet, "Trough", &[two]), "Trough, version 3");
        let long = apart(Shelf::System, &"ä".repeat(80), &[]);
        assert_eq!(long.chars().count(), NAME);
        // A name of that length is one that a system may have.
        assert!(saved::decode(&rename(&system("x", 0.0), &long).expect("renamed")).work().is_ok());
    }
}
