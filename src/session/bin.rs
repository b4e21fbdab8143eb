//! What was deleted, kept for a while so that it can be brought back.

use super::keys::Shelf;
use serde_json::{Value, json};

/// How long, days.
pub const DAYS: f64 = 30.0;
/// How many at the most.
pub const MOST: usize = 20;
/// The key that says what an entry is, and its version.
const MARK: &str = "deleted";
const DAY_MS: f64 = 86_400_000.0;

/// One deleted entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Gone {
    /// Where it stood.
    pub shelf: Shelf,
    /// Under which identifier.
    pub id: String,
    /// When it was deleted, milliseconds since 1970.
    pub at_ms: f64,
    /// Its text as it stood there, whatever that is.
    pub text: String,
}

impl Gone {
    /// As it is kept.
    pub fn write(&self) -> String {
        json!({ MARK: 1, "key": self.shelf.key(&self.id), "at": self.at_ms.round(), "text": self.text }).to_string()
    }
    /// From what was kept.
    pub fn read(text: &str) -> Option<Self> {
        let v: Value = serde_json::from_str(text).ok()?;
        (v.get(MARK)?.as_u64()? == 1).then_some(())?;
        let (shelf, id) = Shelf::of(v.get("key")?.as_str()?)?;
        let (at_ms, text) = (v.get("at")?.as_f64()?, v.get("text")?.as_str()?.to_string());
        Some(Self { shelf, id: id.into(), at_ms, text })
    }
    /// When, in words.
    pub fn when(&self, now_ms: f64) -> String {
        ago(now_ms - self.at_ms)
    }
}

/// A time that has passed, in days.
pub fn ago(ms: f64) -> String {
    match (ms / DAY_MS).floor() {
        ..1.0 => "today".into(),
        ..2.0 => "a day ago".into(),
        days => format!("{days} days ago"),
    }
}

/// Which of all that was deleted (keys, with when) has stood long enough, or stands behind too many.
pub fn over(all: &[(String, f64)], now_ms: f64) -> Vec<String> {
    let mut all: Vec<&(String, f64)> = all.iter().collect();
    crate::units::arrange(&mut all, |a, b| b.1.total_cmp(&a.1));
    let old = |at: f64| now_ms - at > DAYS * DAY_MS;
    all.into_iter().enumerate().filter(|(i, (_, at))| *i >= MOST || old(*at)).map(|(_, (key, _))| key.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_stood_there_comes_back() {
        for text in ["{\"brimwise\":2}", "{ half \"a\" design\n", "", "{\"brimwise\":99,\"of\":\"tomorrow\"}"] {
            let gone = Gone { shelf: Shelf::System, id: "k3x9".into(), at_ms: 1234.0, text: text.into() };
            assert_eq!(Gone::read(&gone.write()), Some(gone));
        }
        for odd in ["", "{", "{}", r#"{"deleted":2,"key":"brimwise/system/a","at":1,"text":""}"#] {
            assert_eq!(Gone::read(odd), None, "{odd}");
        }
        assert_eq!(Gone::read(r#"{"deleted":1,"key":"other/system/a","at":1,"text":""}"#), None);
    }

    #[test]
    fn a_month_and_twenty() {
        let day = |d: f64| d * DAY_MS;
        let all: Vec<_> = (0..25).map(|i| (format!("k{i}"), day(f64::from(i)))).collect();
        let gone = over(&all, day(25.0));
        assert_eq!(gone, ["k4", "k3", "k2", "k1", "k0"]);
        assert_eq!(over(&all[20..], day(53.0)), ["k22", "k21", "k20"]);
        // A clock that was put back loses nothing.
        assert_eq!(over(&all[..20], day(-400.0)), Vec::<String>::new());
    }

    #[test]
    fn when_in_words() {
        let said = |days: f64| ago(days * DAY_MS);
        assert_eq!([said(-3.0), said(0.9), said(1.2), said(12.0)], ["today", "today", "a day ago", "12 days ago"]);
    }
}
