//! Hostile input: files, codes, links, addresses of embedded views and typed quantities that somebody made to do harm. Whatever comes, there is no
//! panic, the work is bounded, and so is the memory.
//!
//! Most inputs are good ones that were changed, with the checksum made anew, because what is random does not get past the door.
//! `BRIMWISE_CASES=10000000 cargo test --release --test hostile -- --nocapture` is a long run; `BRIMWISE_SEED` makes it another one.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::calculators::form::{self, *};
use brimwise::calculators::{ALL, by_id};
use brimwise::session::guest::{self, Query};
use brimwise::session::keys::{self, PREFIX, Shelf};
use brimwise::session::{Decoded, Paper, Route, Work, code, everything, label, link, saved};
use brimwise::system::{Document, demo, json, report};
use brimwise::units::{System, Words, kinds, parse};
use peak_alloc::PeakAlloc;
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;
use std::time::{Duration, Instant};

#[global_allocator]
static HEAP: PeakAlloc = PeakAlloc;

/// What one input may take, bytes.
const MOST_MEMORY: usize = 64 << 20;
/// What may be said of one input, bytes.
const MOST_SAID: usize = 64 << 10;
const CASES: u64 = 30_000;
/// Worth a second look at the time that it took; nothing is judged by it.
const SLOW: Duration = Duration::from_millis(2);

/// Memory is counted for the whole process, so one test at a time.
static ONE: Mutex<()> = Mutex::new(());

/// Numbers that look drawn, the same every time (xorshift64*).
struct Dice(u64);

impl Dice {
    /// Dice of their own for every case and seed: adding an odd number and mixing in both directions loses nothing.
    fn of(seed: u64, case: u64) -> Self {
        let mut mixed = seed.wrapping_add(case.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        // Zero alone would stay what it is.
        Self((mixed ^ (mixed >> 31)).max(1))
    }
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }
    fn below(&mut self, n: usize) -> usize {
        (self.next() >> 33) as usize % n.max(1)
    }
    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
    fn pick<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
    fn byte(&mut self) -> u8 {
        self.next() as u8
    }
}

/// Says which case it was, if it ends badly.
struct Case(u64, u64);

impl Drop for Case {
    fn drop(&mut self) {
        if std::thread::panicking() {
            eprintln!("case {} of seed {}", self.0, self.1);
        }
    }
}

const LETTERS: &[u8; 32] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

/// The bytes in the letters of a code, the checksum left out.
fn body(code: &str) -> Vec<u8> {
    let (mut out, mut have, mut bits) = (vec![], 0u32, 0);
    for c in code.bytes() {
        let at = LETTERS.iter().position(|&l| l == c).expect("a letter of a code");
        (have, bits) = ((have << 5 | at as u32) & 0xffff, bits + 5);
        if bits >= 8 {
            bits -= 8;
            out.push((have >> bits) as u8);
        }
    }
    out.truncate(out.len() - 2);
    out
}

/// Values that readers stumble over.
fn nasty(dice: &mut Dice) -> Value {
    const TEXTS: &[&str] = &[
        "",
        " ",
        "-",
        "1e999 m",
        "NaN",
        "inf",
        "-1e308 L/h",
        "1/0 in",
        "0x10",
        "1,234",
        "1 1/2 in",
        "²",
        "½½½½",
        "1e-999999999999",
        "99999999999999999999999999999999999999999999 m",
        "\u{202e}evil",
        "\u{0}",
        "a\u{300}\u{300}\u{300}",
        "\u{202e}2 m",
        "2 m",
        "<img src=x onerror=alert(1)>",
        "__proto__",
        "constructor",
        "😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀",
        "5 ft 3 in",
        "82F",
        "\u{feff}1",
        "1e2147483647",
        "0e999",
        "1e-2147483648",
        "−5",
        "1.2.3",
        "percent",
        "perper",
        "1 per per day",
        "pvc_40",
        "tilapia",
        "pump",
        "yes",
        "no",
    ];
    match dice.below(14) {
        0 => Value::Null,
        1 => json!(dice.one_in(2)),
        2 => json!(f64::from_bits(dice.next())),
        3 => json!(*dice.pick(&[0.0, -0.0, 1e308, -1e308, 5e-324, 0.5, 1e9, -1.0, 273.15, 300.0, 1e-9])),
        4 => json!(dice.next()),
        5 => json!(dice.next() as i64),
        6 => json!("x".repeat(dice.below(300))),
        7 => Value::Array((0..dice.below(100)).map(|_| json!({})).collect()),
        8 => Value::Array((0..dice.below(30)).map(|i| json!(i)).collect()),
        9 => {
            let deep = dice.below(20);
            (0..deep).fold(json!(1), |v, i| if i % 2 == 0 { json!([v]) } else { json!({ "x": v }) })
        }
        10 => Value::Object((0..dice.below(60)).map(|i| (format!("k{i}"), json!(i))).collect()),
        11 => json!(format!(
            "{} {}",
            dice.below(1000),
            *dice.pick(&["m", "mm", "L/h", "gal/min", "C", "F", "kg", "%", "mg/L", "days"])
        )),
        12 => json!((0..dice.below(70)).map(|_| char::from(32 + dice.byte() % 95)).collect::<String>()),
        _ => json!(*dice.pick(TEXTS)),
    }
}

/// Changes something somewhere inside.
fn change(value: &mut Value, dice: &mut Dice) {
    match value {
        Value::Object(all) if !all.is_empty() && !dice.one_in(12) => {
            let at = dice.below(all.len());
            let key = all.keys().nth(at).cloned().expect("a key");
            match dice.below(12) {
                0 => {
                    all.remove(&key);
                }
                1 => {
                    let (gone, to) = (all.remove(&key).expect("there"), all.keys().next().cloned().unwrap_or_default());
                    all.insert(if dice.one_in(2) { to } else { format!("{key}x") }, gone);
                }
                2 => {
                    all.insert(key, nasty(dice));
                }
                _ => change(all.get_mut(&key).expect("there"), dice),
            }
        }
        Value::Array(all) if !all.is_empty() && !dice.one_in(8) => {
            let at = dice.below(all.len());
            match dice.below(8) {
                0 => {
                    all.remove(at);
                }
                1 => {
                    let row = all[at].clone();
                    let n = 1 + dice.below(70);
                    all.extend(std::iter::repeat_n(row, n));
                }
                2 => all[at] = nasty(dice),
                3 => {
                    let to = dice.below(all.len());
                    all.swap(at, to);
                }
                _ => change(&mut all[at], dice),
            }
        }
        other => {
            *other = match other.as_f64() {
                Some(x) if !dice.one_in(3) => json!(x * *dice.pick(&[0.0, 0.5, 0.9, 1.1, 2.0, 10.0, -1.0, 1e6, 1e-6])),
                _ => nasty(dice),
            }
        }
    }
}

fn change_bytes(bytes: &mut Vec<u8>, dice: &mut Dice, other: &[u8]) {
    for _ in 0..1 + dice.below(4) {
        let at = dice.below(bytes.len() + 1);
        match dice.below(9) {
            0 => bytes.truncate(at),
            1 => {
                let from = dice.below(other.len() + 1);
                bytes.truncate(at);
                bytes.extend_from_slice(&other[from..]);
            }
            2 => bytes.insert(at, dice.byte()),
            3 if at < bytes.len() => {
                bytes.remove(at);
            }
            4 => {
                let n = dice.below(40);
                let more: Vec<u8> = (0..n).map(|_| dice.byte()).collect();
                bytes.splice(at..at, more);
            }
            5 => {
                let to = (at + dice.below(64)).min(bytes.len());
                let part = bytes[at..to].to_vec();
                for _ in 0..dice.below(8) {
                    bytes.splice(at..at, part.iter().copied());
                }
            }
            _ if at < bytes.len() => bytes[at] ^= 1 << dice.below(8),
            _ => {}
        }
    }
}

/// What good inputs look like.
struct Good {
    codes: Vec<String>,
    bodies: Vec<Vec<u8>>,
    documents: Vec<Value>,
    texts: Vec<String>,
    /// Calculators with the paths of their fields.
    paths: Vec<(&'static str, Vec<String>)>,
}

fn good() -> Good {
    let mut works: Vec<Work> = ALL.iter().map(|e| Work::new(Paper::Sheet((e.sheet)()))).collect();
    works.extend(demo::ALL.iter().map(|d| Work::new(Paper::system(d.document()))));
    let old = include_str!("codes/format-1.jsonl").lines().map(|l| serde_json::from_str::<Value>(l).expect("JSON"));
    let old: Vec<String> = old.map(|l| l["code"].as_str().expect("a code").into()).collect();
    for code in &old {
        works.push(code::decode(code).expect("an old code"));
    }
    let mut codes: Vec<String> = works.iter().filter_map(code::encode).collect();
    codes.extend(old);
    let mut documents: Vec<Value> = works.iter().filter_map(|w| saved::encode(w, 1.0)).collect();
    documents.extend(saved::encode(&Work::new(Paper::goal(Default::default())), 1.0));
    for old in [include_str!("documents/v1/whole.json"), include_str!("documents/v1/everything.json")] {
        documents.push(serde_json::from_str(old).expect("JSON"));
    }
    for d in &documents {
        assert!(matches!(saved::decode(&d.to_string()), Decoded::Good(_)), "{d}");
    }
    let paths = ALL.iter().map(|e| {
        let layout = (e.sheet)().layout();
        (e.id, layout.into_iter().map(|l| l.path).filter(|p| !p.is_empty()).collect())
    });
    Good {
        bodies: codes.iter().map(|c| body(c)).collect(),
        texts: documents.iter().map(Value::to_string).collect(),
        paths: paths.collect(),
        codes,
        documents,
    }
}

/// A text of the kind a reader gets, and what becomes of it.
#[derive(Default)]
struct Tally {
    inputs: u64,
    read: u64,
    steps: usize,
    slowest: Duration,
    peak: usize,
    largest: usize,
}

impl Tally {
    /// Runs a reader on an input; gives what it gave.
    fn watch<T>(&mut self, size: usize, mut read: impl FnMut() -> T) -> T {
        HEAP.reset_peak_usage();
        let (before, started) = (HEAP.current_usage(), Instant::now());
        let out = read();
        let mut took = started.elapsed();
        let peak = HEAP.peak_usage().saturating_sub(before);
        assert!(peak < MOST_MEMORY, "{peak} bytes of memory for an input of {size}");
        // A busy machine stops what runs on it; what is slow of itself is slow again.
        for _ in 0..3 {
            if took > SLOW {
                let started = Instant::now();
                let _ = read();
                took = took.min(started.elapsed());
            }
        }
        self.slowest = self.slowest.max(took);
        self.peak = self.peak.max(peak);
        self.largest = self.largest.max(size);
        self.inputs += 1;
        out
    }
}

fn whole_and_in_range(work: &mut Work) {
    let faults = form::check(&mut work.paper, System::Metric);
    // What is read may lie outside by what a conversion of units leaves.
    assert!(faults.is_empty(), "{:?} of what was read", faults[0].to_string());
    let called = work.called();
    assert!(called.chars().count() <= saved::LONGEST_NAME && !called.chars().any(|c| c.is_control() || turns(c)));
}

fn bounded(faults: &[String]) {
    let said: usize = faults.iter().map(String::len).sum();
    assert!(said < MOST_SAID && faults.len() <= MOST_FAULTS + 1, "{} sentences, {said} bytes", faults.len());
    assert!(faults.iter().all(|s| s.len() > 3), "{faults:?}");
}

/// A code, read.
fn code_in(text: &str, tally: &mut Tally, dice: &mut Dice) {
    let mut steps = 0;
    let read = tally.watch(text.len(), || code::decode_counting(&code::find(text), &mut steps));
    tally.steps = tally.steps.max(steps);
    assert!(steps <= code::MOST_STEPS, "{steps} steps");
    if let Ok(mut work) = read {
        tally.read += 1;
        whole_and_in_range(&mut work);
        if dice.one_in(64) {
            let again = code::encode(&work).expect("a code");
            let back = code::decode(&again).unwrap_or_else(|e| panic!("what was read cannot be written: {e}\n{text}"));
            assert_eq!(back.touched.len(), work.touched.len());
            let _ = link::link(&work, "https://club.example/");
        }
        shown(&work, dice);
    }
}

/// A file, read.
fn file_in(text: &str, tally: &mut Tally, dice: &mut Dice) {
    match tally.watch(text.len(), || saved::decode(text)) {
        Decoded::Good(mut found) => {
            tally.read += 1;
            whole_and_in_range(&mut found.work);
            assert!(found.at_ms.is_finite());
            if dice.one_in(64) {
                let again = saved::encode(&found.work, found.at_ms).expect("kept").to_string();
                let Decoded::Good(back) = saved::decode(&again) else {
                    panic!("what was read cannot be kept: {again}")
                };
                assert_eq!(format!("{:?}", back.work), format!("{:?}", found.work));
            }
            shown(&found.work, dice);
        }
        other => {
            if let Err(faults) = other.work() {
                bounded(&faults);
            }
        }
    }
}

/// What was read is put on the page now and then: its check is run as the page would.
fn shown(work: &Work, dice: &mut Dice) {
    if !dice.one_in(512) {
        return;
    }
    let words = Words::from(if dice.one_in(2) { System::Us } else { System::Metric });
    match &work.paper {
        Paper::Sheet(sheet) => drop(sheet.run(words, true)),
        Paper::System(d) => drop(report::report(d, words)),
        _ => {}
    }
}

/// An address, read.
fn address_in(text: &str, tally: &mut Tally, dice: &mut Dice) {
    let route = tally.watch(text.len(), || {
        let route = Route::parse(text);
        if let Route::Guest(id, query) = &route {
            let query = Query::read(query);
            let _ = (
                query.write().len(),
                query.defaults().len(),
                query.units(),
                query.get(guest::ACCENT).map(guest::accent),
            );
            if let Some(entry) = by_id(id) {
                return (route.clone(), Some(query.work(entry, System::Metric)));
            }
        }
        (route, None)
    });
    match route {
        (Route::Code(code), _) => code_in(&code, &mut Tally::default(), dice),
        (_, Some(Ok(mut work))) => {
            tally.read += 1;
            whole_and_in_range(&mut work);
            shown(&work, dice);
        }
        (_, Some(Err(faults))) => bounded(&faults.iter().map(ToString::to_string).collect::<Vec<_>>()),
        (route, None) => assert!(route.hash().len() <= text.len() + 32, "{}", route.hash()),
    }
}

fn escaped(text: &str, dice: &mut Dice) -> String {
    let one = |b: u8| match b {
        b'a'..=b'z' | b'0'..=b'9' | b'.' | b'_' => char::from(b).to_string(),
        b' ' => "+".into(),
        _ => format!("%{b:02x}"),
    };
    let mut out: String = text.bytes().map(one).collect();
    if dice.one_in(20) {
        out += *dice.pick(&["%", "%f", "%zz", "%ff", "%00", "&", "=", "#"]);
    }
    out
}

fn address(good: &Good, dice: &mut Dice) -> String {
    let (id, paths) = dice.pick(&good.paths);
    let mut out = format!("#/embed/{id}?");
    for _ in 0..dice.below(12) {
        let mut path = match dice.below(12) {
            0 => dice.pick(&["units", "look", "accent", "code", "demo", "", ".", "a..b", "x"]).to_string(),
            1 => format!("{}.{}.x", dice.pick(paths), dice.below(30)),
            2 => format!("{}.rows", dice.pick(paths)),
            3 => vec!["a"; dice.below(1500)].join("."),
            _ => dice.pick(paths).clone(),
        };
        if dice.one_in(30) {
            path.push_str(".0.0");
        }
        let value = match nasty(dice) {
            Value::String(s) => s,
            other => other.to_string(),
        };
        out += &format!("{}={}&", escaped(&path, dice), escaped(&value, dice));
    }
    out
}

fn long() -> bool {
    std::env::var("BRIMWISE_CASES").is_ok()
}

fn cases() -> u64 {
    std::env::var("BRIMWISE_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(CASES)
}

#[test]
fn whatever_comes_nothing_breaks() {
    let _one = ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let seed: u64 = std::env::var("BRIMWISE_SEED").ok().and_then(|n| n.parse().ok()).unwrap_or(20_261_128);
    let good = good();
    let names = ["codes", "files", "addresses", "quantities"];
    let mut tallies: [Tally; 4] = Default::default();
    let [codes, files, addresses, quantities] = &mut tallies;
    let kinds = kinds::all();
    let started = Instant::now();
    for n in 0..cases() {
        let _case = Case(n, seed);
        let mut dice = Dice::of(seed, n);
        match dice.below(20) {
            // Codes: changed inside and sealed again.
            0..=6 => {
                let mut bytes = dice.pick(&good.bodies).clone();
                let other = dice.pick(&good.bodies);
                change_bytes(&mut bytes, &mut dice, other);
                code_in(&code::seal(bytes), codes, &mut dice);
            }
            // The right beginning, and chance after it.
            7 | 8 => {
                let mut bytes = dice.pick(&good.bodies).clone();
                bytes.truncate(2 + dice.below(8));
                let most = if dice.one_in(20) { 5000 } else { 200 };
                let n = dice.below(most);
                // Runs of zeros and ones say "the next field" and "as before".
                let (and, or) = (dice.byte() | dice.byte(), if dice.one_in(3) { dice.byte() } else { 0 });
                bytes.extend((0..n).map(|_| dice.byte() & and | or));
                code_in(&code::seal(bytes), codes, &mut dice);
            }
            // What was pasted.
            9 => {
                let mut text = format!("https://club.example/#/C/{}", dice.pick(&good.codes)).into_bytes();
                change_bytes(&mut text, &mut dice, b"/C/ #\n\xe2\x80\xae");
                code_in(&String::from_utf8_lossy(&text), codes, &mut dice);
            }
            // Files: changed as JSON.
            10..=12 => {
                let mut value = dice.pick(&good.documents).clone();
                for _ in 0..1 + dice.below(3) {
                    change(&mut value, &mut dice);
                }
                file_in(&value.to_string(), files, &mut dice);
            }
            // Changed as text.
            13 | 14 => {
                let mut text = dice.pick(&good.texts).clone().into_bytes();
                let other = dice.pick(&good.texts).as_bytes();
                change_bytes(&mut text, &mut dice, other);
                file_in(&String::from_utf8_lossy(&text), files, &mut dice);
            }
            // The signs of JSON by chance.
            15 => {
                const SIGNS: &[&str] = &[
                    "{",
                    "}",
                    "[",
                    "]",
                    ",",
                    ":",
                    "\"",
                    "\\",
                    "\"brimwise\":",
                    "1",
                    "2",
                    "1e999",
                    "-",
                    "null",
                    "true",
                    "\"system\":{",
                    "\\u0000",
                    " ",
                    "é",
                    "\"values\":{",
                ];
                let text: String = (0..dice.below(200)).map(|_| *dice.pick(SIGNS)).collect();
                file_in(&text, files, &mut dice);
            }
            16 | 17 => {
                let text = address(&good, &mut dice);
                address_in(&text, addresses, &mut dice);
            }
            18 => {
                let mut text = address(&good, &mut dice).into_bytes();
                change_bytes(&mut text, &mut dice, b"#/system/C/site/../%2e?x=1&y");
                address_in(&String::from_utf8_lossy(&text), addresses, &mut dice);
            }
            _ => {
                let mut text = nasty(&mut dice).to_string().trim_matches('"').as_bytes().to_vec();
                if dice.one_in(2) {
                    change_bytes(&mut text, &mut dice, "1 1/2 in per ½″ −e5,".as_bytes());
                }
                let text = String::from_utf8_lossy(&text);
                for kind in [dice.pick(&kinds), dice.pick(&kinds)] {
                    match quantities.watch(text.len(), || parse(&text, kind, System::Us)) {
                        Ok(p) => {
                            quantities.read += 1;
                            assert!(p.si.is_finite(), "{text}");
                        }
                        Err(e) => assert!(e.to_string().len() < 1000, "{e}"),
                    }
                }
            }
        }
    }
    let seconds = started.elapsed().as_secs_f64();
    for (name, t) in names.iter().zip(&tallies) {
        println!(
            "{name}: {} inputs, {} read, largest {} bytes, most steps {}, peak {:.2} MB, slowest {:.1} ms",
            t.inputs,
            t.read,
            t.largest,
            t.steps,
            t.peak as f64 / 1e6,
            t.slowest.as_secs_f64() * 1e3
        );
        assert!(t.inputs > cases() / 50, "{name}: too few");
        assert!(
            t.read > 0 && t.read < t.inputs,
            "{name}: {} of {} were read: the inside is not reached",
            t.read,
            t.inputs
        );
    }
    println!("{} cases in {seconds:.0} s", cases());
}

type Kept = BTreeMap<String, String>;

/// Something to stand under a key: most often what may stand there, sometimes changed.
fn entry(good: &Good, dice: &mut Dice) -> (String, String) {
    let at = dice.below(good.documents.len());
    let document = &good.documents[at];
    let few = *dice.pick(&["a", "b", "c", "a-2"]);
    let mut key = match document["calculator"].as_str() {
        Some(id) if dice.one_in(2) => format!("draft/{id}"),
        Some(_) => format!("sheet/{few}"),
        None if document["goal"].is_object() => "draft/plan".to_string(),
        None => format!("system/{few}"),
    };
    let mut text = match dice.below(8) {
        0 => {
            let mut v = document.clone();
            for _ in 0..1 + dice.below(2) {
                change(&mut v, dice);
            }
            v.to_string()
        }
        1 => {
            let mut text = good.texts[at].clone().into_bytes();
            change_bytes(&mut text, dice, b"{\"brimwise\":99}");
            String::from_utf8_lossy(&text).into_owned()
        }
        // Another name, or a later version.
        2 | 3 => {
            let mut v = document.clone();
            let home = if v["system"].is_object() { &mut v["system"] } else { &mut v };
            home["name"] = json!(dice.pick(&["x", "x, version 2", "", "\u{202e}x", "é"]).repeat(1 + dice.below(30)));
            if dice.one_in(4) {
                v["brimwise"] = json!(99);
            }
            if dice.one_in(8) {
                v["junk"] = nasty(dice);
            }
            v.to_string()
        }
        _ => good.texts[at].clone(),
    };
    match dice.below(20) {
        0 | 1 => {
            key = format!("aside/{}", dice.pick(&["a", "a-2", "a-3", "draft-bed"]));
            text = nasty(dice).to_string();
        }
        2 => (key, text) = ("setting/units".into(), dice.pick(&["\"us\"", "\"metric\"", "\"\"", "{"]).to_string()),
        3 => key = format!("{}/{few}", dice.pick(&["draft", "sheet", "system", "aside", "bin", "setting", "shelf"])),
        4 => {
            const STRANGE: &[&str] =
                &["", "/", "system/", "system/../a", "sheet/\u{202e}", "draft/a/b", "brimwise/system/a"];
            key = match nasty(dice) {
                Value::String(s) if dice.one_in(2) => s,
                _ => dice.pick(STRANGE).to_string(),
            };
        }
        _ => {}
    }
    (format!("{PREFIX}{key}"), text)
}

/// A file of everything, brought back beside what is here.
fn everything_in(text: &str, here: &mut Kept, tally: &mut Tally, dice: &mut Dice) {
    let restored = |here: &Kept| {
        let file = everything::read(text)?;
        let mut n = here.len();
        Ok(everything::plan(file, here, 9.0, &mut |_| {
            n += 1;
            format!("new{n}")
        }))
    };
    let told = tally.watch(text.len(), || {
        let plan: Result<_, String> = restored(here);
        plan.map(|p| (everything::told(&p, 0), p))
    });
    let (said, plan) = match told {
        Ok(both) => both,
        Err(said) => return bounded(&[said]),
    };
    tally.read += 1;
    let entries = everything::read(text).expect("read before");
    tally.steps = tally.steps.max(plan.steps);
    let most = everything::MOST_STEPS * (entries.len() + here.len() + 1);
    assert!(plan.steps <= most, "{} steps, more than {most}", plan.steps);
    bounded(std::slice::from_ref(&said));
    assert!(!said.chars().any(|c| c.is_control() || turns(c)), "{said:?}");
    // Every entry is somewhere, and nothing stands in another's place.
    let units = entries.iter().filter(|e| e.0 == keys::UNITS).count();
    let put = plan.puts.iter().filter(|p| p.key != keys::UNITS).count();
    assert_eq!(put + plan.already + plan.unread.len(), entries.len() - units);
    for p in &plan.puts {
        assert!(here.insert(p.key.clone(), p.text.clone()).is_none(), "{} was written over", p.key);
        if let Some(name) = &p.beside {
            let long = name.chars().count() > saved::LONGEST_NAME;
            assert!(!long && !name.chars().any(|c| c.is_control() || turns(c)), "{name:?}");
        }
        if p.key == keys::UNITS {
            continue;
        }
        let (shelf, id) = Shelf::of(&p.key).expect("a place");
        if matches!(shelf, Shelf::Aside | Shelf::Bin) || !dice.one_in(4) {
            continue;
        }
        assert!(label::fits(shelf, id, &p.text), "{}", p.key);
        match saved::decode(&p.text) {
            Decoded::Good(mut found) => whole_and_in_range(&mut found.work),
            Decoded::Newer(_) => {}
            Decoded::Bad(faults) => panic!("{} cannot be opened: {}", p.key, faults[0]),
        }
    }
    // Once more: what came is known, also a goal that was in the way and waits among what was deleted.
    if dice.one_in(4) {
        let again = restored(here).expect("read before");
        let keys: BTreeSet<&str> = again.puts.iter().map(|p| p.key.as_str()).collect();
        assert!(keys.is_empty(), "it came again: {keys:?}");
    }
}

/// Files of everything: entries that meet, changed in themselves and as a whole.
#[test]
fn whatever_is_restored_nothing_breaks() {
    let _one = ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let seed: u64 = std::env::var("BRIMWISE_SEED").ok().and_then(|n| n.parse().ok()).unwrap_or(20_261_129);
    let (good, all) = (good(), cases().min(if long() { u64::MAX } else { CASES / 4 }));
    let mut tally = Tally::default();
    let started = Instant::now();
    for n in 0..all {
        let _case = Case(n, seed);
        let mut dice = Dice::of(seed, n);
        let mut some = |most: usize| -> Kept { (0..dice.below(most)).map(|_| entry(&good, &mut dice)).collect() };
        let (mut here, file) = (some(5), some(7));
        here.retain(|key, _| everything::belongs(key));
        let file: Vec<(String, String)> = file.into_iter().collect();
        let mut text = everything::write(&file, 7.0).expect("not too large");
        match dice.below(8) {
            0 => {
                let mut v: Value = serde_json::from_str(&text).expect("JSON");
                change(&mut v, &mut dice);
                text = v.to_string();
            }
            1 | 2 => {
                let mut bytes = text.into_bytes();
                change_bytes(&mut bytes, &mut dice, b"\"entries\":{\"system/a\":\"\\u0000");
                text = String::from_utf8_lossy(&bytes).into_owned();
            }
            // Keys that the app would never write.
            3 | 4 => {
                let all: Map<String, Value> = file.iter().map(|(k, t)| (k.replacen(PREFIX, "", 1), json!(t))).collect();
                text = json!({ "brimwise_everything": 1, "entries": all }).to_string();
            }
            _ => {}
        }
        everything_in(&text, &mut here, &mut tally, &mut dice);
    }
    println!(
        "everything: {} inputs, {} read, largest {} bytes, most steps {}, peak {:.2} MB, slowest {:.1} ms; {:.0} s",
        tally.inputs,
        tally.read,
        tally.largest,
        tally.steps,
        tally.peak as f64 / 1e6,
        tally.slowest.as_secs_f64() * 1e3,
        started.elapsed().as_secs_f64()
    );
    assert_eq!(tally.inputs, all);
    assert!(tally.read > all / 2 && tally.read < all, "{} of {all} were read", tally.read);
}

/// The largest files of everything that the caps let through, beside the most that is here: names that all meet, texts that grow when they are
/// written anew, and values that take the most room.
#[test]
fn the_worst_of_everything_is_bounded() {
    let _one = ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let (mut dice, mut tally) = (Dice(9), Tally::default());
    let sheet = |name: &str, more: &str| {
        format!("{{\"brimwise\":2,\"calculator\":\"drain\",\"name\":\"{name}\",\"saved\":1,\"values\":{{}}{more}}}")
    };
    let named = |name: &dyn Fn(usize) -> String, count: usize, more: &str| -> (Kept, Kept) {
        let all = |other: &str| {
            let one = |i: usize| {
                let own = format!(",\"own\":\"{other}{i}\"{more}");
                (format!("{PREFIX}sheet/a{i}"), sheet(&name(i), &own))
            };
            (0..count).map(one).collect()
        };
        (all("x"), all("y"))
    };
    let junk = |unit: &str, n: usize| format!(",\"junk\":[{}0]", unit.repeat(n));
    let aside = |own: &str| {
        (0..4900)
            .map(|i| (format!("{PREFIX}aside/a{}{}", i / 7, "-2".repeat(i % 7)), format!("{own}{i}")))
            .collect::<Kept>()
    };
    let shapes: Vec<(Kept, Kept)> = vec![
        named(&|_| "x".into(), 4900, ""),
        named(&|i| format!("{}{i}", "x".repeat(70)), 4900, ""),
        named(&|i| format!("x, version {i}"), 4900, ""),
        named(&|_| "x".into(), 6, &junk("1e15,", 39_000)),
        named(&|_| "x".into(), 84, &junk("1e15,1,1,1,1,1,1,", 5_700)),
        named(&|_| "x".into(), 20, &junk("{\"\":0},", 19_000)),
        named(&|_| "x".into(), 6, &junk("{\"\":[[[]]]},", 7_800)),
        named(&|_| "x".into(), 22, &format!(",\"junk\":\"{}\"", "\u{7f}".repeat(500_000))),
        (aside("x"), aside("y")),
    ];
    for (mut here, file) in shapes {
        let file: Vec<(String, String)> = file.into_iter().collect();
        let text = everything::write(&file, 7.0).expect("not too large");
        let (before, reset) = (tally.read, (std::mem::take(&mut tally.peak), std::mem::take(&mut tally.slowest)));
        everything_in(&text, &mut here, &mut tally, &mut dice);
        assert_eq!(tally.read, before + 1);
        println!(
            "{} entries, {} KiB: steps {}, peak {:.2} MB, {:.0} ms",
            file.len(),
            text.len() / 1024,
            tally.steps,
            tally.peak as f64 / 1e6,
            tally.slowest.as_secs_f64() * 1e3
        );
        (tally.peak, tally.slowest) = (tally.peak.max(reset.0), tally.slowest.max(reset.1));
    }
    // Nobody's file, as large as may be.
    for unit in ["\"a\":\"\",", "[", "{\"x\":", "\"\\", "\"a\":[],", "1,"] {
        let mut text = String::from("{\"brimwise_everything\":1,\"entries\":{");
        text += &unit.repeat((everything::LARGEST - text.len()) / unit.len());
        everything_in(&text, &mut Kept::new(), &mut tally, &mut dice);
    }
    println!("everything: peak {:.2} MB, slowest {:.0} ms", tally.peak as f64 / 1e6, tally.slowest.as_secs_f64() * 1e3);
}

/// The largest inputs of each shape that the caps let through or should not.
#[test]
fn the_worst_of_each_shape_is_bounded() {
    let _one = ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let mut dice = Dice(7);
    let mut tally = Tally::default();
    let full = |unit: &str, open: &str, close: &str| {
        let room = saved::LARGEST - open.len() - close.len();
        let mut text = open.to_string();
        while text.len() - open.len() + unit.len() <= room {
            text += unit;
        }
        let cut = text.trim_end_matches(',').len();
        text.truncate(cut);
        text + close
    };
    let head = r#"{"brimwise":2,"calculator":"drain","values":{"#;
    let strangers: String = (0..30_000).map(|i| format!("\"{i}\":0,")).collect();
    let first = write(&mut Paper::Sheet((ALL[3].sheet)()));
    let known = Value::Object(first).to_string();
    for text in [
        // As much as passes the count.
        format!("[{}0]", "{\"\":0},".repeat(19_990)),
        format!("[{}0]", "{\"\":{\"\":0}},".repeat(13_000)),
        format!("[{}0]", "\"\",".repeat(39_990)),
        full("1,", "[", "]"),
        full("[],", "[", "]"),
        full("{\"\":0},", "[", "]"),
        full("{\"\":[{}]},", "[", "]"),
        full("\"\",", "[", "]"),
        full("\\u0000", "[\"", "\"]"),
        full("9", "[", "]"),
        full("[", "", ""),
        full("{\"x\":", "", ""),
        full("\"\\", "", ""),
        full("{\"a\":1},", "{\"brimwise\":2,\"system\":{\"edges\":[", "]}}"),
        full("{\"x\":1,\"y\":2},", "{\"brimwise\":2,\"system\":{\"tanks\":[", "]}}"),
        format!("{head}{}}}}}", strangers.trim_end_matches(',')),
        format!("{head}{}{}}}", strangers, &known[1..]),
        "[".repeat(10_000_000),
        "\"".repeat(10_000_000),
    ] {
        let before = tally.read;
        file_in(&text, &mut tally, &mut dice);
        assert_eq!(tally.read, before, "this is nobody's work: {}", &text[..60.min(text.len())]);
    }
    println!("files: peak {:.2} MB, slowest {:.1} ms", tally.peak as f64 / 1e6, tally.slowest.as_secs_f64() * 1e3);

    let mut tally = Tally::default();
    for deep in ["a.", "a.0.", "fittings.19.", "."] {
        for room in [4000, 4090, 40_000, 1 << 20] {
            let path = deep.repeat(room / deep.len());
            address_in(&format!("#/embed/drain?{path}x=1"), &mut tally, &mut dice);
        }
    }
    for text in ["&=", "a=1&", "fittings.19.kind=x&", "%41=%41&", "%", "é"] {
        address_in(&format!("#/embed/drain?{}", text.repeat(4090 / text.len())), &mut tally, &mut dice);
        address_in(&format!("#/{}", text.repeat((8 << 20) / text.len())), &mut tally, &mut dice);
    }
    println!("addresses: peak {:.2} MB, slowest {:.1} ms", tally.peak as f64 / 1e6, tally.slowest.as_secs_f64() * 1e3);

    let mut tally = Tally::default();
    for letter in ["A", "7", "é", " ", "\u{2028}", "/C/"] {
        for n in [10, code::LONGEST, 2 * code::LONGEST, 8 << 20] {
            code_in(&letter.repeat(n), &mut tally, &mut dice);
        }
    }
    // The longest code there is, of every work that there is, each bit after its beginning the same.
    for good in good().bodies {
        for fill in [0x00, 0xff, 0x55, 0xaa, 0x01, 0x80] {
            for keep in [2, 3, 5, good.len() / 2, good.len()] {
                let mut bytes = good[..keep].to_vec();
                bytes.resize(code::LONGEST * 5 / 8 - 3, fill);
                code_in(&code::seal(bytes), &mut tally, &mut dice);
            }
        }
    }
    println!(
        "codes: most steps {}, peak {:.2} MB, slowest {:.1} ms",
        tally.steps,
        tally.peak as f64 / 1e6,
        tally.slowest.as_secs_f64() * 1e3
    );
}

/// As many rows and as long texts as may be, everywhere.
struct Fill;

impl Form for Fill {
    fn text(&mut self, text: &Text, value: &mut String) {
        *value = "\u{1f41f}".repeat(text.most);
    }
    fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn num(&mut self, _: &Spec, si: &mut f64) {
        // As many digits as a number can have.
        *si *= 1.0 + f64::EPSILON;
    }
    fn choice(&mut self, _: &Pick, _: &mut usize) {}
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        rows.resize(list.most);
        for i in 0..list.most {
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
    }
}

/// The caps must let through the largest work that the app itself can make: what is saved must open again.
#[test]
fn the_largest_work_passes_the_caps() {
    let _one = ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let sheets = ALL.iter().map(|e| (e.id, Paper::Sheet((e.sheet)())));
    let papers = sheets.chain([("system", Paper::system(Document::default()))]);
    for (id, mut paper) in papers {
        paper.fields(&mut Fill);
        let kept = saved::encode(&Work::new(paper.clone()), 1e15).expect("kept");
        let text = format!("{kept:#}");
        println!("{id}: {} KiB as a file", text.len() / 1024);
        let read = json::parse(&text, saved::LARGEST).unwrap_or_else(|e| panic!("{id}: {}: {}", e.0, e.1));
        let values: &Map<String, Value> =
            read.get("values").or(read.get("system")).and_then(Value::as_object).expect("values");
        form::read(&mut paper, values, System::Metric).unwrap_or_else(|e| panic!("{id}: {}", e[0]));
        // A choice of two systems is compared as one text.
        json::parse(&json!([read, read]).to_string(), 1 << 20)
            .unwrap_or_else(|e| panic!("two of {id}: {}: {}", e.0, e.1));
    }
}

#[test]
fn what_turns_words_round_is_left_out_of_names() {
    let evil = "Trough \u{202e}gnp.exe\u{2066}";
    let mut d = serde_json::to_value(json::write(&demo::ALL[0].document())).expect("JSON");
    d["system"]["name"] = json!(evil);
    let Decoded::Good(read) = saved::decode(&d.to_string()) else { panic!("refused") };
    assert_eq!(read.work.called(), "Trough gnp.exe");
    assert_eq!(saved::clean_name(evil), "Trough gnp.exe");
}
