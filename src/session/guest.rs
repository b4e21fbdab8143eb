//! A calculator or a system as a guest in somebody else's page: what its address says, and how such an address is written.

use super::work::{Paper, Work};
use crate::calculators::{
    Entry,
    form::{FieldError, LayoutEntry, LayoutItem},
};
use crate::units::{KindInfo, System, significant};
use serde_json::{Map, Value};

/// Longest address that is read, bytes.
const LONGEST: usize = 4096;
/// Most rows of a list that an address can set.
const MOST_ROWS: usize = 20;
/// Most keys in a path, such as 3 in `rows.0.flow`; no field lies deeper.
const DEEPEST: usize = 8;
/// `rows.rows=0` says that a list is empty.
const ROWS: &str = "rows";
/// How many digits of a number an address carries.
const DIGITS: u32 = 9;

/// The key of nothing but that the address is too long.
const TOO_LONG: &str = "";

/// The keys of an address that are no field: the unit system, light or dark, the accent, a system's code, a demo.
pub const UNITS: &str = "units";
/// Light or dark.
pub const LOOK: &str = "look";
/// The accent colour.
pub const ACCENT: &str = "accent";
/// A system's code.
pub const CODE: &str = "code";
/// A demo system.
pub const DEMO: &str = "demo";
const OWN: [&str; 5] = [UNITS, LOOK, ACCENT, CODE, DEMO];

/// What an address says, in the order in which it says it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Query(Vec<(String, String)>);

/// Undoes the `%2F` and `+` writing of an address. A `%` that begins no such writing is meant as it stands; what is no text is empty.
fn plain(text: &str) -> String {
    let mut bytes = vec![];
    let mut rest = text.as_bytes().iter();
    while let Some(&b) = rest.next() {
        let digit = |at: usize| char::from(*rest.as_slice().get(at)?).to_digit(16);
        let coded = (b == b'%').then(|| Some((digit(0)? << 4 | digit(1)?) as u8)).flatten();
        if coded.is_some() {
            rest.nth(1);
        }
        bytes.push(coded.unwrap_or(if b == b'+' { b' ' } else { b }));
    }
    String::from_utf8(bytes).unwrap_or_default()
}

fn written(text: &str, out: &mut String) {
    for b in text.bytes() {
        match b {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' => out.push(char::from(b)),
            b' ' => out.push('+'),
            _ => out.push_str(&format!("%{b:02X}")),
        }
    }
}

impl Query {
    /// Reads what follows the `?` of an address. Of one that is too long only that is known.
    pub fn read(text: &str) -> Self {
        if text.len() > LONGEST {
            return Self(vec![(TOO_LONG.into(), String::new())]);
        }
        let pair = |pair: &str| {
            let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
            (plain(key), plain(value))
        };
        Self(text.split('&').map(pair).filter(|(key, _)| key != TOO_LONG).collect())
    }
    /// The same as text.
    pub fn write(&self) -> String {
        let mut out = String::new();
        for (key, value) in &self.0 {
            out.push_str(if out.is_empty() { "" } else { "&" });
            written(key, &mut out);
            out.push('=');
            written(value, &mut out);
        }
        out
    }
    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.0.iter().find(|(k, _)| k == key).map(|(_, v)| v.as_str())
    }
    /// Adds a key, unless the value is empty.
    pub fn put(&mut self, key: &str, value: &str) {
        if !value.is_empty() {
            self.0.push((key.into(), value.into()));
        }
    }
    /// The unit system asked for.
    pub fn units(&self) -> Option<System> {
        let is = |name: &str| self.get(UNITS).is_some_and(|units| units.trim().eq_ignore_ascii_case(name));
        if is("us") { Some(System::Us) } else { is("metric").then_some(System::Metric) }
    }
    /// A calculator's work with the values of the address, the rest as it begins in the units that are `shown`. They are first values, confirmed by
    /// nobody, so none counts as touched. What a number without a unit is in is the address's to say, not the visitor's browser's.
    ///
    /// # Errors
    /// Every value that cannot be taken; then none is.
    pub fn work(&self, entry: &Entry, shown: System) -> Result<Work, Vec<FieldError>> {
        let mut faults = vec![];
        if self.get(TOO_LONG).is_some() {
            faults.push(FieldError::new("The address", "is too long", format!("at most {LONGEST} characters")));
        } else if self.get(UNITS).is_some_and(|units| !units.is_empty()) && self.units().is_none() {
            faults.push(FieldError::new(UNITS, "is not known", "metric, us"));
        }
        let mut object = Map::new();
        for (path, text) in self.0.iter().filter(|(key, _)| key != TOO_LONG && !OWN.contains(&key.as_str())) {
            if path.split('.').count() > DEEPEST {
                // Under its whole name, which no field has.
                object.insert(path.clone(), text.as_str().into());
            } else {
                put(&mut object, path, text);
            }
        }
        let mut work = Work::born(Paper::Sheet((entry.sheet)()), self.units().unwrap_or(shown));
        if let Paper::Sheet(sheet) = &mut work.paper {
            faults.extend(sheet.read(&object, self.units().unwrap_or(System::Metric)).err().unwrap_or_default());
        }
        if faults.is_empty() { Ok(work) } else { Err(faults) }
    }
    /// Adds what was touched of a sheet, as a person would type it. A list is written whole where any of it was touched.
    pub fn put_touched(&mut self, work: &Work) {
        let born = work.sheet().map(|s| (s.entry().sheet)().layout()).unwrap_or_default();
        let mut list = String::new();
        for e in work.layout() {
            if let LayoutItem::List(_, rows) = e.item {
                list = format!("{}.", e.path);
                let same = |b: &LayoutEntry| b.path == e.path && matches!(b.item, LayoutItem::List(_, n) if n == rows);
                if born.iter().any(same) && !work.touched.iter().any(|t| t.starts_with(&list)) {
                    list.clear();
                } else if rows == 0 {
                    self.put(&format!("{list}{ROWS}"), "0");
                }
                continue;
            }
            if work.assumed(&e.path) && (list.is_empty() || !e.path.starts_with(&list)) {
                continue;
            }
            match e.item {
                LayoutItem::Num(spec, si) => {
                    self.put(&e.path, &typed(spec.kind, si, self.units().unwrap_or(System::Metric)))
                }
                LayoutItem::Choice(pick, at) => self.put(&e.path, (pick.option)(at).map_or("", |o| o.id)),
                LayoutItem::Text(_, text) => self.put(&e.path, &text),
                _ => {}
            }
        }
    }
    /// The values of fields, as an attribute of the element lists them.
    pub fn defaults(&self) -> String {
        let own = |(key, value): &(String, String)| (!OWN.contains(&key.as_str())).then(|| format!("{key} = {value}"));
        self.0.iter().filter_map(own).collect::<Vec<_>>().join("; ")
    }
}

/// A number with its unit, so that reading it gives the same number.
fn typed(kind: &KindInfo, si: f64, system: System) -> String {
    let unit = kind.unit(system);
    format!("{} {}", significant(unit.of_si(si), DIGITS), unit.symbol).trim_end().to_string()
}

/// Puts a text under a path such as `flow`, `part.flow` or `rows.0.flow`.
fn put(object: &mut Map<String, Value>, path: &str, text: &str) {
    let Some((head, rest)) = path.split_once('.') else {
        object.insert(path.into(), text.into());
        return;
    };
    let slot = object.entry(head);
    if rest == ROWS && text == "0" {
        slot.or_insert_with(|| Value::Array(vec![]));
        return;
    }
    match rest.split_once('.').and_then(|(i, field)| Some((i.parse::<usize>().ok().filter(|i| *i < MOST_ROWS)?, field)))
    {
        Some((i, field)) => {
            if let Value::Array(rows) = slot.or_insert_with(|| Value::Array(vec![])) {
                while rows.len() <= i {
                    rows.push(Value::Object(Map::new()));
                }
                if let Value::Object(row) = &mut rows[i] {
                    put(row, field, text);
                }
            }
        }
        None => {
            if let Value::Object(part) = slot.or_insert_with(|| Value::Object(Map::new())) {
                put(part, rest, text);
            }
        }
    }
}

/// A colour, each part from 0 to 255.
type Rgb = [f64; 3];

/// What an accent must stand out from, as `style/tokens.css` has it: paper, sheet and pale water, in the light and in the dark.
const GROUNDS: [[u32; 3]; 2] = [[0xf6_f4_ec, 0xff_fd_f7, 0xcf_e6_ea], [0x0f_18_1b, 0x16_22_26, 0x1d_3f_48]];
/// The contrast that words need (WCAG 2.2, 1.4.3).
const ENOUGH: f64 = 4.5;
/// In how many steps an accent goes to black or white until it stands out.
const SHADES: u32 = 32;

fn rgb(x: u32) -> Rgb {
    [16, 8, 0].map(|shift| f64::from(x >> shift & 0xff))
}

/// Relative luminance and contrast ratio as WCAG 2.2 defines them.
fn luminance(c: Rgb) -> f64 {
    let part = |x: f64| {
        let x = x / 255.0;
        if x <= 0.040_45 { x / 12.92 } else { ((x + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(c[0]) + 0.7152 * part(c[1]) + 0.0722 * part(c[2])
}

fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
    a.max(b) / a.min(b)
}

/// An accent in the light and in the dark, each darkened or lightened until words in it can be read; nothing if `text` is no colour such as
/// `#1d7186`.
pub fn accent(text: &str) -> Option<[String; 2]> {
    let hex = text.trim().trim_start_matches('#');
    if hex.len() != 6 || !hex.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    let asked = rgb(u32::from_str_radix(hex, 16).ok()?);
    Some([0, 1].map(|dark| {
        let end = 255.0 * dark as f64;
        let shade = |step: u32| asked.map(|x| (x + (end - x) * f64::from(step) / f64::from(SHADES)).round());
        let stands = |c: &Rgb| GROUNDS[dark].iter().all(|g| contrast(*c, rgb(*g)) >= ENOUGH);
        let [r, g, b] = (0..SHADES).map(shade).find(stands).unwrap_or([end; 3]);
        format!("#{:02x}{:02x}{:02x}", r as u8, g as u8, b as u8)
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::{ALL, by_id, form::Edit, form::EditValue};

    #[test]
    fn addresses_there_and_back() {
        let mut query = Query::default();
        query.put("flow", "2 400,5 L/h");
        query.put("name", "Ü & #?=+%");
        query.put("empty", "");
        assert_eq!(Query::read(&query.write()), query);
        assert_eq!(query.get("empty"), None);
        assert_eq!(Query::read("a=%zz&b=%&c=%ff&d&=&e=%41+").get("e"), Some("A "));
        assert_eq!(Query::read("a=32%&b=5%/day&c=%é%25").write(), "a=32%25&b=5%25%2Fday&c=%25%C3%A9%25");
        assert_eq!(Query::read(""), Query::default());
    }

    #[test]
    fn no_field_has_a_key_of_the_address() {
        for entry in ALL {
            for e in (entry.sheet)().layout() {
                assert!(!OWN.contains(&e.path.as_str()), "{} {}", entry.id, e.path);
            }
        }
    }

    #[test]
    fn first_values_as_a_person_types_them() {
        let drain = by_id("drain").expect("drain");
        let work =
            Query::read("flow=2400+L%2Fh&pipe=pvc_40&units=us&look=dark").work(drain, System::Metric).expect("good");
        let fields = work.sheet().expect("a sheet").write();
        assert!((fields["flow"].as_f64().expect("a number") - 2400.0 / 3.6e6).abs() < 1e-12);
        assert_eq!(fields["pipe"], "pvc_40");
        assert!(work.touched.is_empty(), "a first value is an assumption");
        let faults = Query::read("flow=fast&nothing=1&pipe=wood").work(drain, System::Metric).expect_err("bad");
        assert_eq!(faults.len(), 3, "{faults:?}");
        let pounds =
            Query::read("feed_price=1&units=US").work(by_id("running").expect("running costs"), System::Metric);
        assert!(pounds.is_ok_and(|w| w.values()["feed_price"] != super::super::Val::Num(1.0)));
        let share = Query::read("flow=2 L/s&oversize=&units=imperial").work(drain, System::Metric).expect_err("bad");
        assert!(share.iter().any(|f| f.to_string() == "units: is not known. Accepted: metric, us."), "{share:?}");
        let long = Query::read(&"a=b&".repeat(2000)).work(drain, System::Metric).expect_err("bad");
        assert_eq!(long[0].to_string(), "The address: is too long. Accepted: at most 4096 characters.");
        for odd in
            ["flow", "flow.x=1", "fittings=1", "fittings.x.y=1", "fittings.0=1", "fittings.99.kind=x", ".=1", "a..b=1"]
        {
            assert!(Query::read(odd).work(drain, System::Metric).is_err(), "{odd}");
        }
    }

    /// A bare price is by the pound in a frame of US units, by the kilogram in any other; the lines to copy say which.
    #[test]
    fn a_price_says_what_it_is_for() {
        let running = by_id("running").expect("running costs");
        let price = |text: &str| match Query::read(text).work(running, System::Metric).expect("good").values()["feed_price"]
        {
            super::super::Val::Num(x) => x,
            _ => f64::NAN,
        };
        // By the pound of 0.453 592 37 kg.
        assert!((price("feed_price=1&units=us") - 1.0 / 0.453_592_37).abs() < 1e-9);
        assert_eq!((price("feed_price=1&units=metric"), price("feed_price=1")), (1.0, 1.0));
        // A visitor's units are for what the address leaves open.
        let visited = Query::read("feed_price=1").work(running, System::Us).expect("good").values();
        let born = Work::born(Paper::Sheet((running.sheet)()), System::Us).values();
        assert_eq!(visited["feed_price"], super::super::Val::Num(1.0));
        assert_eq!(visited["harvest"], born["harvest"]);
        assert_ne!(visited["harvest"], Work::new(Paper::Sheet((running.sheet)())).values()["harvest"]);
        let mut work = Work::new(Paper::Sheet((running.sheet)()));
        work.apply(&Edit { path: "feed_price".into(), to: EditValue::Si(2.0 / 0.453_592_37) });
        let mut query = Query::default();
        query.put(UNITS, "us");
        query.put_touched(&work);
        assert_eq!(query.defaults(), "feed_price = 2 /lb");
    }

    /// Every field of every calculator, set to a value inside its range, written into an address and read from it again.
    #[test]
    fn what_was_touched_there_and_back() {
        for entry in ALL {
            for (system, emptied) in [(System::Metric, false), (System::Us, false), (System::Us, true)] {
                let mut work = Work::new(Paper::Sheet((entry.sheet)()));
                for e in work.layout().into_iter().filter(|_| emptied) {
                    if let LayoutItem::List(..) = e.item {
                        work.apply(&Edit::rows(e.path, 0));
                    }
                }
                for e in work.layout() {
                    let to = match e.item {
                        LayoutItem::Num(spec, x) if spec.kind.whole => EditValue::Si(x),
                        LayoutItem::Num(spec, x) => {
                            EditValue::Si((x * 1.012_345_678).clamp(spec.hard[0], spec.hard[1]))
                        }
                        LayoutItem::Choice(pick, at) => {
                            EditValue::Option((pick.option)(at).map_or("", |o| o.id).into())
                        }
                        _ => continue,
                    };
                    work.apply(&Edit { path: e.path, to });
                }
                let mut query = Query::default();
                query.put(UNITS, if system == System::Us { "us" } else { "metric" });
                query.put_touched(&work);
                // Every figure names its unit, prices too: in a frame of other units it is the same.
                for units in ["units=us", "units=metric", "look=dark"] {
                    let text = query.write().replacen(&format!("units={}", query.get(UNITS).unwrap_or("")), units, 1);
                    let back = Query::read(&text).work(entry, system);
                    let back = back.unwrap_or_else(|e| panic!("{}: {e:?}", entry.id));
                    let (a, b) = (work.values(), back.values());
                    assert_eq!(a.len(), b.len(), "{}", entry.id);
                    for (path, x) in &a {
                        match (x, &b[path]) {
                            (super::super::Val::Num(x), super::super::Val::Num(y)) => {
                                assert!((x - y).abs() <= 1e-7 * x.abs().max(1e-9), "{} {path}: {x} {y}", entry.id);
                            }
                            (x, y) => assert_eq!(x, y, "{} {path}", entry.id),
                        }
                    }
                }
            }
        }
    }

    /// Ratios that follow from the definition in WCAG 2.2: black on white is 21; #767676 is the lightest grey that passes on white.
    #[test]
    fn contrast_as_the_standard_defines_it() {
        let on_white = |x| contrast(rgb(x), rgb(0xff_ff_ff));
        assert!((on_white(0) - 21.0).abs() < 1e-9);
        assert!(on_white(0x76_76_76) >= ENOUGH && on_white(0x77_77_77) < ENOUGH);
        assert!((on_white(0xff_ff_ff) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn an_accent_can_always_be_read() {
        for asked in ["#1d7186", "ffff00", "#000000", "#FFFFFF", "#808080", " #a92e1b "] {
            for (dark, shown) in accent(asked).expect(asked).iter().enumerate() {
                let shown = rgb(u32::from_str_radix(&shown[1..], 16).expect("hex"));
                for ground in GROUNDS[dark] {
                    assert!(contrast(shown, rgb(ground)) >= ENOUGH, "{asked} {dark} {shown:?}");
                }
            }
        }
        assert_eq!(
            accent("#0d4b5c").map(|[light, _]| light).as_deref(),
            Some("#0d4b5c"),
            "a good one is left as it is"
        );
        for bad in ["", "#", "red", "#12345", "#1234567", "url(x)", "#12 456", "+12345", "#é2345"] {
            assert_eq!(accent(bad), None, "{bad}");
        }
    }

    #[test]
    fn the_grounds_are_those_of_the_style() {
        let tokens = include_str!("../../style/tokens.css");
        let (light, dark) = tokens.split_once("prefers-color-scheme: dark").expect("both");
        // The dark stands there twice: as the device asks for it, and as a page around does.
        let values = |after: &str| {
            let block = tokens.split_once(after).and_then(|(_, rest)| rest.split_once('}')).expect(after).0;
            block.replace("color-scheme: dark;", "").split_whitespace().collect::<String>()
        };
        assert_eq!(values(":root:not(.light) {"), values(":root.dark {"));
        for (part, grounds) in [(light, GROUNDS[0]), (dark, GROUNDS[1])] {
            for (name, ground) in ["--paper", "--sheet", "--water-soft"].into_iter().zip(grounds) {
                assert!(part.contains(&format!("{name}: #{ground:06x};")), "{name}");
            }
        }
    }
}
