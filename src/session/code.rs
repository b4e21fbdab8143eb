//! Work as a short code, for links and for codes that a camera reads: versioned, with a checksum, every field by its frozen tag with its
//! absolute value, so that a default that changes later does not change an old link.
//!
//! Bytes: format, then the fields in the order of the declaration, then a bit for every field that was only assumed, then CRC-16. A number is
//! its tag, one byte of unit and decimal exponent, and its digits; what has no short decimal in a unit of its kind is written as 64 bits. An
//! option is a 16-bit hash of its identifier. The text is base 32 in capitals (RFC 4648, section 6, without padding), which such codes
//! hold in their compact alphanumeric mode.

use crate::calculators::form::*;
use std::collections::BTreeSet;

/// The format that is written.
pub const FORMAT: u8 = 1;
/// Longest code that is looked at, characters.
pub const LONGEST: usize = 8 * 1024;
/// Ends the fields of a row, a part, or the whole.
const END: u8 = 0;
/// Marks a number that is written as 64 bits.
const RAW: u8 = 0xff;
/// Steps a reader takes at the most: no code can make it work longer.
const MOST_STEPS: usize = 20_000;

/// Why a code cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unreadable {
    /// Longer than any code of ours.
    TooLong,
    /// A character that no code has.
    Letter,
    /// Cut short, or changed on the way.
    Checksum,
    /// Made by a later version.
    Newer,
    /// The checksum is right and the contents are not ours.
    Contents,
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::TooLong => "The code is too long to be one of ours.",
            Self::Letter => "The code holds a character that does not belong. Copy it again, whole.",
            Self::Checksum => "The code was cut short or changed on the way. Copy it again, whole.",
            Self::Newer => "The code was made by a later version of the app. Update, then open it again.",
            Self::Contents => "The code cannot be read by this version of the app.",
        })
    }
}

#[derive(Default)]
struct Put<'a> {
    bytes: Vec<u8>,
    at: String,
    assumed: Vec<bool>,
    is_assumed: Option<&'a dyn Fn(&str) -> bool>,
}

impl Put<'_> {
    fn note(&mut self, key: &str) {
        let path = format!("{}{key}", self.at);
        self.assumed.push(self.is_assumed.is_some_and(|f| f(&path)));
    }
}

fn varint(out: &mut Vec<u8>, mut x: u64) {
    while x > 0x7f {
        out.push(x as u8 & 0x7f | 0x80);
        x >>= 7;
    }
    out.push(x as u8);
}

/// Whole digits and a power of ten that give `x` exactly enough, if few digits do.
fn decimal(x: f64) -> Option<(i64, i8)> {
    (-8..8i8).rev().find_map(|power| {
        let digits = x / 10f64.powi(power.into());
        let whole = digits.round();
        let back = whole * 10f64.powi(power.into());
        (whole.abs() < 1e9 && (back - x).abs() <= 1e-12 * x.abs()).then_some((whole as i64, power))
    })
}

fn zigzag(x: i64) -> u64 {
    ((x << 1) ^ (x >> 63)) as u64
}

fn hash(id: &str) -> [u8; 2] {
    // FNV-1a, folded.
    let h = id.bytes().fold(0x811c_9dc5_u32, |h, b| (h ^ u32::from(b)).wrapping_mul(0x0100_0193));
    ((h ^ (h >> 16)) as u16).to_be_bytes()
}

fn crc(bytes: &[u8]) -> [u8; 2] {
    // CRC-16/CCITT-FALSE.
    let sum = bytes.iter().fold(0xffff_u16, |crc, &b| {
        (0..8).fold(crc ^ (u16::from(b) << 8), |c, _| if c & 0x8000 != 0 { (c << 1) ^ 0x1021 } else { c << 1 })
    });
    sum.to_be_bytes()
}

impl Form for Put<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        self.note(text.key);
        self.bytes.push(text.tag);
        varint(&mut self.bytes, value.len() as u64);
        self.bytes.extend(value.bytes());
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        self.bytes.push(part.tag);
        let at = self.at.clone();
        self.at = format!("{at}{}.", part.key);
        inner.fields(self);
        self.at = at;
        self.bytes.push(END);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        self.note(spec.key);
        self.bytes.push(spec.tag);
        let short = spec.kind.units.iter().take(15).enumerate().filter_map(|(i, u)| {
            let typed = u.of_si(*si);
            // The last bits of a conversion are noise: what a person typed has few digits.
            let (digits, power) = decimal(crate::units::significant(typed, 9))?;
            let back = u.to_si(digits as f64 * 10f64.powi(power.into()));
            ((back - *si).abs() <= 1e-9 * si.abs().max(1e-12)).then_some((digits, power, i))
        });
        match short.min_by_key(|s| (zigzag(s.0), s.2)) {
            Some((digits, power, unit)) => {
                self.bytes.push((unit as u8) << 4 | (power + 8) as u8);
                varint(&mut self.bytes, zigzag(digits));
            }
            None => {
                self.bytes.push(RAW);
                self.bytes.extend(si.to_be_bytes());
            }
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        self.note(pick.key);
        self.bytes.push(pick.tag);
        self.bytes.extend(hash((pick.option)(*at).map_or("", |o| o.id)));
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        self.bytes.push(list.tag);
        varint(&mut self.bytes, rows.count() as u64);
        let at = self.at.clone();
        for i in 0..rows.count() {
            self.at = format!("{at}{}.{i}.", list.key);
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
            self.bytes.push(END);
        }
        self.at = at;
    }
}

const LETTERS: &[u8; 32] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

fn to_text(bytes: &[u8]) -> String {
    let (mut out, mut have, mut bits) = (String::new(), 0u32, 0);
    for &b in bytes {
        (have, bits) = (have << 8 | u32::from(b), bits + 8);
        while bits >= 5 {
            bits -= 5;
            out.push(LETTERS[(have >> bits & 31) as usize] as char);
        }
    }
    if bits > 0 {
        out.push(LETTERS[(have << (5 - bits) & 31) as usize] as char);
    }
    out
}

fn to_bytes(text: &str) -> Result<Vec<u8>, Unreadable> {
    // Chat programs append marks to the end of a link.
    let text = text.trim().trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
    if text.len() > LONGEST {
        return Err(Unreadable::TooLong);
    }
    let (mut out, mut have, mut bits) = (vec![], 0u32, 0);
    for c in text.bytes() {
        let at = LETTERS.iter().position(|&l| l == c.to_ascii_uppercase()).ok_or(Unreadable::Letter)?;
        (have, bits) = (have << 5 | at as u32, bits + 5);
        if bits >= 8 {
            bits -= 8;
            out.push((have >> bits) as u8);
        }
    }
    Ok(out)
}

/// The code of `fields`; `assumed` says of each path whether its value was only assumed.
pub fn encode(fields: &mut dyn Fields, assumed: &dyn Fn(&str) -> bool) -> String {
    let mut put = Put { bytes: vec![FORMAT], is_assumed: Some(assumed), ..Put::default() };
    fields.fields(&mut put);
    put.bytes.push(END);
    for eight in put.assumed.chunks(8) {
        put.bytes.push(eight.iter().enumerate().fold(0, |byte, (i, &a)| byte | u8::from(a) << i));
    }
    let sum = crc(&put.bytes);
    put.bytes.extend(sum);
    to_text(&put.bytes)
}

struct Take<'a> {
    bytes: &'a [u8],
    next: usize,
    at: String,
    paths: Vec<String>,
    steps: usize,
    bad: bool,
}

impl Take<'_> {
    fn byte(&mut self) -> u8 {
        self.steps += 1;
        match self.bytes.get(self.next) {
            Some(&b) if self.steps < MOST_STEPS => {
                self.next += 1;
                b
            }
            _ => {
                self.bad = true;
                END
            }
        }
    }
    fn varint(&mut self) -> u64 {
        let mut x = 0;
        for shift in (0..63).step_by(7) {
            let b = self.byte();
            x |= u64::from(b & 0x7f) << shift;
            if b < 0x80 {
                return x;
            }
        }
        self.bad = true;
        0
    }
    /// Is the next field the one with this tag? Fields stand in the order of the declaration; a field that a later declaration added is
    /// simply not there.
    fn here(&mut self, tag: u8) -> bool {
        let here = !self.bad && self.bytes.get(self.next) == Some(&tag);
        if here {
            self.byte();
        }
        here
    }
    fn end(&mut self) {
        if self.byte() != END {
            self.bad = true;
        }
    }
    fn note(&mut self, key: &str) {
        self.paths.push(format!("{}{key}", self.at));
    }
}

impl Form for Take<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        if !self.here(text.tag) {
            return;
        }
        self.note(text.key);
        let n = usize::try_from(self.varint()).unwrap_or(usize::MAX);
        let bytes = self.next.checked_add(n).and_then(|end| self.bytes.get(self.next..end));
        match bytes.and_then(|b| std::str::from_utf8(b).ok()).filter(|s| text.fault(s).is_none()) {
            Some(s) => {
                *value = s.to_string();
                self.next += n;
            }
            None => self.bad = true,
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        if self.here(part.tag) {
            let at = self.at.clone();
            self.at = format!("{at}{}.", part.key);
            inner.fields(self);
            self.at = at;
            self.end();
        }
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        if !self.here(spec.tag) {
            return;
        }
        self.note(spec.key);
        let head = self.byte();
        let x = if head == RAW {
            let mut raw = [0; 8];
            raw.fill_with(|| self.byte());
            f64::from_be_bytes(raw)
        } else {
            let z = self.varint();
            let digits = (z >> 1) as i64 ^ -((z & 1) as i64);
            match spec.kind.units.get(usize::from(head >> 4)) {
                Some(unit) => unit.to_si(digits as f64 * 10f64.powi(i32::from(head & 15) - 8)),
                None => f64::NAN,
            }
        };
        if spec.fault(x, crate::units::System::Metric).is_some() {
            self.bad = true;
        } else {
            *si = x.clamp(spec.hard[0], spec.hard[1]);
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        if !self.here(pick.tag) {
            return;
        }
        self.note(pick.key);
        let h = [self.byte(), self.byte()];
        match pick.options().position(|o| hash(o.id) == h) {
            Some(i) => *at = i,
            None => self.bad = true,
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if !self.here(list.tag) {
            return;
        }
        let n = usize::try_from(self.varint()).unwrap_or(usize::MAX);
        if n > list.most {
            self.bad = true;
            return;
        }
        rows.resize(0);
        rows.resize(n);
        let at = self.at.clone();
        for i in 0..n {
            self.at = format!("{at}{}.{i}.", list.key);
            if let Some(row) = rows.row(i)
                && !self.bad
            {
                row.fields(self);
            }
            self.end();
        }
        self.at = at;
    }
}

/// Reads a code into `fields`, which should be at their defaults; the paths whose values were not assumed.
///
/// # Errors
/// Why it cannot be read; `fields` are then half changed and should be dropped. Values outside their ranges are refused.
pub fn decode(fields: &mut dyn Fields, code: &str) -> Result<BTreeSet<String>, Unreadable> {
    let bytes = to_bytes(code)?;
    let (body, sum) = bytes.split_at_checked(bytes.len().wrapping_sub(2)).ok_or(Unreadable::Checksum)?;
    if crc(body) != sum {
        return Err(Unreadable::Checksum);
    }
    match body.first() {
        Some(&f) if f > FORMAT => return Err(Unreadable::Newer),
        Some(&FORMAT) => {}
        _ => return Err(Unreadable::Contents),
    }
    let mut take = Take { bytes: body, next: 1, at: String::new(), paths: vec![], steps: 0, bad: false };
    fields.fields(&mut take);
    take.end();
    let bits = &body[take.next.min(body.len())..];
    if take.bad || bits.len() != take.paths.len().div_ceil(8) {
        return Err(Unreadable::Contents);
    }
    let touched = take.paths.into_iter().enumerate().filter(|(i, _)| bits[i / 8] >> (i % 8) & 1 == 0);
    Ok(touched.map(|(_, path)| path).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::{ALL, Sheet};
    use crate::system::{Document, demo};
    use crate::units::System;

    struct Walk<'a>(&'a mut dyn Sheet);
    impl Fields for Walk<'_> {
        fn fields(&mut self, form: &mut dyn Form) {
            self.0.walk(form);
        }
    }

    /// The two agree in every number to nine digits, and in everything else.
    fn alike(a: &serde_json::Value, b: &serde_json::Value) -> bool {
        use serde_json::Value::{Array, Number, Object};
        match (a, b) {
            (Number(x), Number(y)) => match (x.as_f64(), y.as_f64()) {
                (Some(x), Some(y)) => (x - y).abs() <= 1e-9 * x.abs().max(1e-12),
                _ => false,
            },
            (Array(x), Array(y)) => x.len() == y.len() && x.iter().zip(y).all(|(x, y)| alike(x, y)),
            (Object(x), Object(y)) => {
                x.len() == y.len() && x.iter().all(|(k, x)| y.get(k).is_some_and(|y| alike(x, y)))
            }
            _ => a == b,
        }
    }

    #[test]
    fn every_calculator_there_and_back() {
        for entry in ALL {
            let mut sheet = (entry.sheet)();
            let code = encode(&mut Walk(&mut *sheet), &|path| path.len() % 2 == 0);
            assert!(code.bytes().all(|b| LETTERS.contains(&b)), "{}", entry.id);
            let mut back = (entry.sheet)();
            let known =
                decode(&mut Walk(&mut *back), &code.to_lowercase()).unwrap_or_else(|e| panic!("{}: {e}", entry.id));
            assert!(alike(&sheet.write().into(), &back.write().into()), "{}", entry.id);
            assert!(!known.is_empty() && known.iter().all(|path| path.len() % 2 == 1), "{}: {known:?}", entry.id);
        }
    }

    #[test]
    fn every_demo_there_and_back() {
        for demo in demo::ALL {
            let mut document = demo.document();
            let code = encode(&mut document, &|_| false);
            let mut back = Document::default();
            decode(&mut back, &code).unwrap_or_else(|e| panic!("{}: {e}", demo.id));
            let (a, b) = (write(&mut document), write(&mut back));
            assert!(alike(&a.into(), &b.into()), "{}", demo.id);
            assert!(check(&mut back, System::Metric).is_empty(), "{}", demo.id);
        }
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        let sheet = || (ALL[0].sheet)();
        let code = encode(&mut Walk(&mut *sheet()), &|_| false);
        let why = |code: &str| decode(&mut Walk(&mut *sheet()), code).expect_err(code);
        assert_eq!(why(&code[..code.len() - 4]), Unreadable::Checksum);
        assert_eq!(
            why(&format!("{}A{}", &code[..9], &code[10..]).replace(&code[..10], "AEAAAAAAAA")),
            Unreadable::Checksum
        );
        assert_eq!(why(""), Unreadable::Checksum);
        assert_eq!(why("A1"), Unreadable::Letter);
        assert_eq!(why(&"A".repeat(LONGEST + 1)), Unreadable::TooLong);
        let sealed = |mut bytes: Vec<u8>| {
            let sum = crc(&bytes);
            bytes.extend(sum);
            to_text(&bytes)
        };
        assert_eq!(why(&sealed(vec![FORMAT + 1])), Unreadable::Newer);
        assert_eq!(why(&sealed(vec![0])), Unreadable::Contents);
        assert_eq!(why(&sealed(vec![FORMAT, 1, 2, 3])), Unreadable::Contents);
        // What a chat program appends does no harm.
        assert!(decode(&mut Walk(&mut *sheet()), &format!(" {code}.)")).is_ok());
    }
}
