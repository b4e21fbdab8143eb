//! Work as a short code, for links and for codes that a camera reads: versioned, with a checksum, every field by its frozen tag with its
//! absolute value, so that a default that changes later does not change an old link.
//!
//! It is a run of bits: format; a hash of what it is of; for a sheet its name; then the fields in the order of the declaration; then CRC-16.
//! A field is its tag (one bit where it is the one after the tag before it), whether it was only assumed, and its value. A number is a unit, a
//! decimal exponent and few digits; what has no short decimal in a unit of its kind is written as 64 bits. An option is a hash of its
//! identifier. A text that stood before is named by its place, and a field of a row that is as in the row before is one bit. A field of
//! an option that is not chosen and that nobody touched is left out: it decides nothing. The text is base 32 in capitals (RFC 4648,
//! section 6, without padding), which squares hold in their compact alphanumeric mode.
//!
//! So these are frozen once released: tags, the order of fields (a new one may stand anywhere), identifiers of calculators and options, the
//! order of the units of a kind (a new one goes to the end), and the kind of a field. A field whose kind turns out wrong gets a new tag and says
//! what it was ([`Was`]). `tests/codes/` holds codes that must read for ever.

use super::saved::{LONGEST_NAME, clean_name, others};
use super::work::{Paper, Work};
use crate::calculators;
use crate::calculators::form::*;
use crate::units::{KindInfo, System, significant};
use std::collections::BTreeMap;

/// The format that is written.
pub const FORMAT: u8 = 1;
/// What stands before the code in an address.
pub const MARK: &str = "/C/";
/// Longest code that is looked at, characters.
pub const LONGEST: usize = 8 * 1024;
/// What the hash of a system is of.
const SYSTEM: &str = "system";
/// Steps a reader takes at the most: no code can make it work longer.
pub const MOST_STEPS: usize = 100_000;
/// Bits of the hash of an identifier.
const HASH: u32 = 12;
/// The unit that says that 64 bits follow.
const RAW: u64 = 15;
/// Bits for the place of a text that stood before.
const PLACE: u32 = 7;
/// Letters that short texts are mostly made of.
const COMMON: &[u8; 64] = b"abcdefghijklmnopqrstuvwxyz0123456789 -ABCDEFGHIJKLMNOPQRSTUVWXYZ";
/// How many bits the digits of a number take, by two bits before them; more stand with a sign and a length.
const WIDTHS: [u32; 3] = [4, 7, 10];
/// Powers of ten that take few bits, up to 1.
const POWERS: i8 = 4;

/// Why a code cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unreadable {
    /// Nothing is there.
    Nothing,
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
            Self::Nothing => "There is no code. Paste the whole link, or the letters at its end.",
            Self::TooLong => "The code is too long to be one of ours.",
            Self::Letter => "The code holds a character that does not belong. Copy it again, whole.",
            Self::Checksum => "The code was cut short or changed on the way. Copy it again, whole.",
            Self::Newer => "The code was made by a later version of the app. Update, then open it again.",
            Self::Contents => "The code cannot be read by this version of the app.",
        })
    }
}

type Bits = Vec<bool>;

/// Puts the lowest `n` bits of `x`, the highest of them first.
fn put(bits: &mut Bits, n: u32, x: u64) {
    bits.extend((0..n).rev().map(|i| x >> i & 1 == 1));
}

fn put_whole(bits: &mut Bits, x: i64) {
    let size = x.unsigned_abs();
    match WIDTHS.iter().position(|w| x >= 0 && size >> w == 0) {
        Some(class) => {
            put(bits, 2, class as u64);
            put(bits, WIDTHS[class], size);
        }
        None => {
            let n = u64::BITS - size.leading_zeros();
            put(bits, 2, 3);
            bits.push(x < 0);
            put(bits, 6, n.into());
            put(bits, n, size);
        }
    }
}

fn put_number(kind: &KindInfo, si: f64) -> Bits {
    let units = kind.units.iter().take(RAW as usize).enumerate();
    let all = units.filter_map(|(i, u)| {
        // The last bits of a conversion are noise: what a person typed has few digits.
        let (digits, power) = decimal(significant(u.of_si(si), 9))?;
        let back = u.to_si(digits as f64 * 10f64.powi(power.into()));
        if (back - si).abs() > 1e-9 * si.abs().max(1e-12) {
            return None;
        }
        let mut bits = vec![i > 0];
        if i > 0 {
            put(&mut bits, 4, i as u64);
        }
        let few = (1 - POWERS..=0).contains(&power);
        bits.push(!few);
        if few {
            put(&mut bits, 2, (power + POWERS - 1) as u64)
        } else {
            put(&mut bits, 4, (power + 8) as u64)
        }
        put_whole(&mut bits, digits);
        Some(bits)
    });
    all.min_by_key(Vec::len).unwrap_or_else(|| {
        let mut bits = vec![true];
        put(&mut bits, 4, RAW);
        put(&mut bits, 64, si.to_bits());
        bits
    })
}

struct Put<'a> {
    bits: Bits,
    /// Path of what the fields are in.
    at: String,
    /// The same without the numbers of rows.
    like: String,
    /// The tag before.
    tag: u8,
    /// Inside what belongs to an option that is not chosen.
    idle: bool,
    /// The last value of every field of a row.
    last: BTreeMap<String, Bits>,
    texts: Vec<String>,
    assumed: &'a dyn Fn(&str) -> bool,
}

impl Put<'_> {
    fn bytes(&self) -> Vec<u8> {
        let byte = |eight: &[bool]| eight.iter().enumerate().fold(0, |byte, (i, &b)| byte | u8::from(b) << (7 - i));
        self.bits.chunks(8).map(byte).collect()
    }
    fn tag(&mut self, tag: u8) {
        let next = self.tag.checked_add(1) == Some(tag);
        self.bits.push(!next);
        if !next {
            self.bits.push(true);
            put(&mut self.bits, 8, tag.into());
        }
        self.tag = tag;
    }
    fn end(&mut self) {
        put(&mut self.bits, 2, 2);
    }
    fn letters(&mut self, text: &str) -> Bits {
        let place = self.texts.iter().position(|t| t == text);
        let mut bits = vec![place.is_some()];
        if let Some(place) = place {
            put(&mut bits, PLACE, place as u64);
            return bits;
        }
        if self.texts.len() < 1 << PLACE {
            self.texts.push(text.into());
        }
        let all: Option<Vec<_>> = text.bytes().map(|b| COMMON.iter().position(|&c| c == b)).collect();
        bits.push(all.is_none());
        put_whole(&mut bits, text.len() as i64);
        match all {
            Some(all) => all.into_iter().for_each(|i| put(&mut bits, 6, i as u64)),
            None => text.bytes().for_each(|b| put(&mut bits, 8, b.into())),
        }
        bits
    }
    fn field(&mut self, tag: u8, key: &str, value: Bits) {
        let assumed = (self.assumed)(&format!("{}{key}", self.at));
        if self.idle && assumed {
            return;
        }
        self.tag(tag);
        self.bits.push(assumed);
        let same = self.last.get(&format!("{}{key}", self.like)).map(|last| *last == value);
        self.bits.extend(same.map(|same| !same));
        if same != Some(true) {
            self.bits.extend(&value);
            self.last.insert(format!("{}{key}", self.like), value);
        }
    }
    /// Fields in something of their own: a part, or a row of a list.
    fn inside(&mut self, tag: u8, key: &str, row: &str, inner: &mut dyn Fields) {
        let (at, like) = (self.at.clone(), self.like.clone());
        self.at = format!("{at}{key}.{row}");
        self.like = format!("{like}{key}.");
        self.tag = 0;
        inner.fields(self);
        self.end();
        (self.at, self.like, self.tag) = (at, like, tag);
    }
}

/// Whole digits and a power of ten that give `x` exactly enough, if few digits do.
fn decimal(x: f64) -> Option<(i64, i8)> {
    if x == 0.0 {
        return Some((0, 0));
    }
    (-8..8i8).rev().find_map(|power| {
        let digits = x / 10f64.powi(power.into());
        let whole = digits.round();
        let back = whole * 10f64.powi(power.into());
        (whole.abs() < 1e9 && (back - x).abs() <= 1e-12 * x.abs()).then_some((whole as i64, power))
    })
}

fn hash(id: &str) -> u64 {
    // FNV-1a, folded.
    let h = id.bytes().fold(0x811c_9dc5_u32, |h, b| (h ^ u32::from(b)).wrapping_mul(0x0100_0193));
    u64::from((h ^ (h >> 16)) & ((1 << HASH) - 1))
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
        let bits = self.letters(value);
        self.field(text.tag, text.key, bits);
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        self.tag(part.tag);
        self.inside(part.tag, part.key, "", inner);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        self.field(spec.tag, spec.key, put_number(spec.kind, *si));
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        let mut bits = vec![];
        put(&mut bits, HASH, hash((pick.option)(*at).map_or("", |o| o.id)));
        self.field(pick.tag, pick.key, bits);
    }
    fn group(&mut self, _: &Group, active: bool, inner: &mut dyn Fields) {
        let was = self.idle;
        self.idle |= !active;
        inner.fields(self);
        self.idle = was;
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        self.tag(list.tag);
        put_whole(&mut self.bits, rows.count() as i64);
        for i in 0..rows.count() {
            if let Some(row) = rows.row(i) {
                self.inside(list.tag, list.key, &format!("{i}."), row);
            }
        }
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

/// Bytes with their checksum, as text.
pub fn seal(mut bytes: Vec<u8>) -> String {
    let sum = crc(&bytes);
    bytes.extend(sum);
    to_text(&bytes)
}

/// The code of some work; nothing for what is never kept.
pub fn encode(work: &Work) -> Option<String> {
    let mut paper = work.paper.clone();
    let assumed = |path: &str| work.assumed(path);
    let mut out = putter(&assumed);
    put(&mut out.bits, 8, FORMAT.into());
    match &paper {
        Paper::Sheet(sheet) => {
            put(&mut out.bits, HASH, hash(sheet.entry().id));
            let name = out.letters(&work.name);
            out.bits.extend(name);
        }
        Paper::System(_) => put(&mut out.bits, HASH, hash(SYSTEM)),
        Paper::Goal(_) | Paper::Way(_) => return None,
    }
    paper.fields(&mut out);
    out.end();
    Some(seal(out.bytes()))
}

fn putter(assumed: &dyn Fn(&str) -> bool) -> Put<'_> {
    let (at, like) = (String::new(), String::new());
    Put { bits: vec![], at, like, tag: 0, idle: false, last: BTreeMap::new(), texts: vec![], assumed }
}

struct Take<'a> {
    bytes: &'a [u8],
    /// The next bit.
    next: usize,
    at: String,
    like: String,
    /// The tag before, and the next one if it has been read (0 is the end).
    tag: u8,
    ahead: Option<u8>,
    /// Where the last value of every field of a row stands.
    last: BTreeMap<String, usize>,
    texts: Vec<String>,
    touched: Vec<String>,
    steps: usize,
    bad: bool,
}

fn taker() -> Take<'static> {
    Take {
        bytes: &[],
        next: 0,
        at: String::new(),
        like: String::new(),
        tag: 0,
        ahead: None,
        last: BTreeMap::new(),
        texts: vec![],
        touched: vec![],
        steps: 0,
        bad: false,
    }
}

impl Take<'_> {
    fn bit(&mut self) -> bool {
        if self.bad {
            return false;
        }
        self.steps += 1;
        let byte = self.bytes.get(self.next / 8).filter(|_| self.steps < MOST_STEPS);
        let bit = byte.map(|b| b >> (7 - self.next % 8) & 1 == 1);
        self.next += 1;
        self.bad |= bit.is_none();
        bit.unwrap_or_default()
    }
    fn take(&mut self, n: u32) -> u64 {
        (0..n).fold(0, |x, _| x << 1 | u64::from(self.bit()))
    }
    fn whole(&mut self) -> i64 {
        let class = self.take(2) as usize;
        if let Some(&n) = WIDTHS.get(class) {
            return self.take(n) as i64;
        }
        let below = self.bit();
        let n = self.take(6) as u32;
        let size = self.take(n.min(62)) as i64;
        if below { -size } else { size }
    }
    fn number(&mut self, kind: &KindInfo) -> f64 {
        let unit = if self.bit() { self.take(4) } else { 0 };
        if unit == RAW {
            return f64::from_bits(self.take(64));
        }
        let power = if self.bit() { self.take(4) as i32 - 8 } else { self.take(2) as i32 + 1 - i32::from(POWERS) };
        let typed = self.whole() as f64 * 10f64.powi(power);
        kind.units.get(unit as usize).map_or(f64::NAN, |u| u.to_si(typed))
    }
    /// A text of at most so many characters.
    fn letters(&mut self, most: usize) -> Option<String> {
        if self.bit() {
            let place = self.take(PLACE) as usize;
            return self.texts.get(place).cloned();
        }
        let plain = self.bit();
        let n = usize::try_from(self.whole()).ok().filter(|&n| n <= 4 * most && !self.bad)?;
        let byte =
            |take: &mut Self| if plain { take.take(8) as u8 } else { COMMON[take.take(6) as usize % COMMON.len()] };
        let text = String::from_utf8((0..n).map(|_| byte(self)).collect()).ok()?;
        if self.texts.len() < 1 << PLACE {
            self.texts.push(text.clone());
        }
        Some(text)
    }
    /// Is the next field the one with this tag? Fields stand in the order of the declaration; a field that a later declaration added is
    /// simply not there.
    fn here(&mut self, tag: u8) -> bool {
        let ahead = self.ahead();
        let here = !self.bad && ahead == tag;
        if here {
            (self.tag, self.ahead) = (tag, None);
        }
        here
    }
    fn ahead(&mut self) -> u8 {
        if self.ahead.is_none() {
            let next = match (self.bit(), self.tag) {
                (false, tag) => tag.wrapping_add(1),
                (true, _) if self.bit() => self.take(8) as u8,
                _ => 0,
            };
            self.ahead = Some(next);
        }
        self.ahead.unwrap_or_default()
    }
    fn end(&mut self) {
        self.bad |= self.ahead() != 0;
        self.ahead = None;
    }
    /// A field with this tag, if it is there: its value is read by `read`.
    fn field<T>(&mut self, tag: u8, key: &str, read: impl FnOnce(&mut Self) -> T) -> Option<T> {
        if !self.here(tag) {
            return None;
        }
        if !self.bit() {
            self.touched.push(format!("{}{key}", self.at));
        }
        let like = format!("{}{key}", self.like);
        let after = match self.last.get(&like).copied() {
            Some(at) if !self.bit() => Some(std::mem::replace(&mut self.next, at)),
            _ => {
                self.last.insert(like, self.next);
                None
            }
        };
        let value = read(self);
        self.next = after.unwrap_or(self.next);
        Some(value)
    }
    fn inside(&mut self, tag: u8, key: &str, row: &str, inner: &mut dyn Fields) {
        let (at, like) = (self.at.clone(), self.like.clone());
        self.at = format!("{at}{key}.{row}");
        self.like = format!("{like}{key}.");
        (self.tag, self.ahead) = (0, None);
        if !self.bad {
            inner.fields(self);
        }
        self.end();
        (self.at, self.like, self.tag) = (at, like, tag);
    }
}

impl Form for Take<'_> {
    fn text(&mut self, text: &Text, value: &mut String) {
        if let Some(read) = self.field(text.tag, text.key, |t| t.letters(text.most)) {
            match read.filter(|s| text.fault(s).is_none()) {
                Some(s) => *value = s,
                None => self.bad = true,
            }
        }
    }
    fn part(&mut self, part: &Part, inner: &mut dyn Fields) {
        if self.here(part.tag) {
            self.inside(part.tag, part.key, "", inner);
        }
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let now = self.field(spec.tag, spec.key, |t| t.number(spec.kind));
        let read = now.or_else(|| {
            let was = spec.was?;
            self.field(was.tag, spec.key, |t| t.number(was.kind)).map(|x| x * was.worth)
        });
        if let Some(x) = read {
            if spec.fault(x, System::Metric).is_some() {
                self.bad = true;
            } else {
                *si = x.clamp(spec.hard[0], spec.hard[1]);
            }
        }
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        if let Some(h) = self.field(pick.tag, pick.key, |t| t.take(HASH)) {
            match pick.options().position(|o| hash(o.id) == h) {
                Some(i) => *at = i,
                None => self.bad = true,
            }
        } else if !pick.said_by.is_empty() {
            // A code that was made before there was this choice.
            *at = 0;
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        if !self.here(list.tag) {
            return;
        }
        let n = usize::try_from(self.whole()).unwrap_or(usize::MAX);
        if n > list.most || self.bad {
            self.bad = true;
            return;
        }
        rows.resize(0);
        rows.resize(n);
        for i in 0..n {
            if let Some(row) = rows.row(i).filter(|_| !self.bad) {
                self.inside(list.tag, list.key, &format!("{i}."), row);
            }
        }
    }
}

/// Into how many lines mail may have broken a link.
const MOST_LINES: usize = 200;

/// The code in what was pasted: a whole link, or the code alone, perhaps broken into lines and quoted.
pub fn find(text: &str) -> String {
    let cut = (0..=2 * LONGEST).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0);
    let text = if text.len() > cut { &text[..cut] } else { text };
    let between = |c: char| c.is_whitespace() || c == '>';
    let Some((_, rest)) = text.rsplit_once(MARK) else { return text.chars().filter(|&c| !between(c)).collect() };
    let letters = |s: &str| s.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(s.len());
    let first = &rest[..letters(rest)];
    // What follows the link may be more of it, or the words after it: the checksum tells.
    let mut whole = String::new();
    for piece in rest.split(between).filter(|s| !s.is_empty()).take(MOST_LINES) {
        let n = letters(piece);
        whole += &piece[..n];
        if sealed(&whole).is_ok() {
            return whole;
        }
        if n < piece.len() {
            break;
        }
    }
    first.to_string()
}

/// The bytes of a code without their checksum, which is right.
fn sealed(code: &str) -> Result<Vec<u8>, Unreadable> {
    let mut bytes = to_bytes(code)?;
    let sum = bytes.split_off(bytes.len().saturating_sub(2));
    if crc(&bytes) == *sum { Ok(bytes) } else { Err(Unreadable::Checksum) }
}

/// The work in a code.
///
/// # Errors
/// Why it cannot be read. Values outside their ranges are refused, and so is a system whose water cannot run.
pub fn decode(code: &str) -> Result<Work, Unreadable> {
    decode_counting(code, &mut 0)
}

/// [`decode`] that says how many steps it took.
///
/// # Errors
/// As [`decode`].
pub fn decode_counting(code: &str, steps: &mut usize) -> Result<Work, Unreadable> {
    if code.trim().is_empty() {
        return Err(Unreadable::Nothing);
    }
    let body = sealed(code)?;
    match body.first() {
        Some(&f) if f > FORMAT => return Err(Unreadable::Newer),
        Some(&FORMAT) => {}
        _ => return Err(Unreadable::Contents),
    }
    let mut take = Take { bytes: &body, next: 8, ..taker() };
    let of = take.take(HASH);
    let mut work = if of == hash(SYSTEM) {
        Work::new((others().system)())
    } else {
        let entry = calculators::ALL.iter().find(|e| hash(e.id) == of).ok_or(Unreadable::Contents)?;
        let name = take.letters(LONGEST_NAME).ok_or(Unreadable::Contents)?;
        Work { name: clean_name(&name), ..Work::new(Paper::Sheet((entry.sheet)())) }
    };
    work.paper.fields(&mut take);
    take.end();
    *steps = take.steps;
    if take.bad || take.next.div_ceil(8) != body.len() || work.system().is_some_and(|d| !(others().runs)(d)) {
        return Err(Unreadable::Contents);
    }
    // Not collected: that sorts, which is code for each kind of set.
    for path in take.touched {
        work.touched.insert(path);
    }
    Ok(work)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::ALL;
    use crate::session::work::Val;
    use crate::system::{Document, demo};
    use std::collections::BTreeSet;

    fn sheets() -> impl Iterator<Item = Work> {
        ALL.iter().map(|e| Work { name: "Trough 2, “old” Ä".into(), ..Work::new(Paper::Sheet((e.sheet)())) })
    }
    fn demos() -> impl Iterator<Item = Work> {
        demo::ALL.iter().map(|d| Work::new(Paper::system(d.document())))
    }

    #[test]
    fn numbers_keep_their_digits() {
        use crate::units::kinds::{COUNT, FLOW, LENGTH, TEMPERATURE};
        for kind in [LENGTH.0, FLOW.0, TEMPERATURE.0, COUNT.0] {
            for unit in kind.units {
                for typed in [0.0, 1.0, 2.4, 63.0, 127.0, 1023.0, 1024.0, 99_999.0, -3.7, 1.0 / 3.0, 1e-5, 7e22] {
                    let si = unit.to_si(typed);
                    let bits = put_number(kind, si);
                    let byte = |e: &[bool]| e.iter().enumerate().fold(0, |x, (i, &b)| x | u8::from(b) << (7 - i));
                    let bytes: Vec<u8> = bits.chunks(8).map(byte).collect();
                    let back = Take { bytes: &bytes, next: 0, ..taker() }.number(kind);
                    assert!(
                        (back - si).abs() <= 1e-9 * si.abs().max(1e-12),
                        "{typed} {}: {back} for {si}",
                        unit.symbol
                    );
                }
            }
        }
    }

    /// A code from before it was said whether a test was read says no more than its values do.
    #[test]
    fn an_old_code_has_read_no_zeros() {
        let mut work = sheets().find(|w| w.sheet().is_some_and(|s| s.entry().id == "ammonia")).expect("there");
        for path in ["tan", "nitrite"] {
            work.apply(&Edit { path: path.into(), to: EditValue::Si(0.0) });
        }
        let said = |w: &Work| ["test_read", "alkalinity_read"].map(|key| w.values().get(key).cloned());
        let now = decode(&encode(&work).expect("a code")).expect("reads");
        assert_eq!(said(&now), [Some(Val::At(1)), Some(Val::At(0))]);
        let assumed = |_: &str| true;
        let mut out = putter(&assumed);
        put(&mut out.bits, 8, FORMAT.into());
        put(&mut out.bits, HASH, hash("ammonia"));
        let name = out.letters("");
        out.bits.extend(name);
        rest(&mut out, &["test_read", "alkalinity_read"], &mut work.paper);
        out.end();
        let old = decode(&seal(out.bytes())).expect("reads");
        assert_eq!(said(&old), [0, 0].map(|at| Some(Val::At(at))));
    }

    #[test]
    fn names_and_options_are_told_apart() {
        let mut known: BTreeSet<u64> = BTreeSet::from([hash(SYSTEM)]);
        assert!(ALL.iter().all(|e| known.insert(hash(e.id))), "two calculators have one hash");
        struct Options;
        impl Form for Options {
            fn text(&mut self, _: &Text, _: &mut String) {}
            fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
                inner.fields(self);
            }
            fn num(&mut self, _: &Spec, _: &mut f64) {}
            fn choice(&mut self, pick: &Pick, _: &mut usize) {
                let all: BTreeSet<_> = pick.options().map(|o| hash(o.id)).collect();
                assert_eq!(all.len(), pick.options().count(), "two options of {} have one hash", pick.key);
            }
            fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
                inner.fields(self);
            }
            fn list(&mut self, _: &List, rows: &mut dyn Rows) {
                rows.resize(1);
                if let Some(row) = rows.row(0) {
                    row.fields(self);
                }
            }
        }
        for mut work in sheets().chain(demos()) {
            work.paper.fields(&mut Options);
        }
    }

    #[test]
    fn what_cannot_be_read_says_why() {
        let work = sheets().next().expect("a sheet");
        let code = encode(&work).expect("a code");
        let why = |code: &str| decode(code).expect_err(code);
        assert_eq!(why(&code[..code.len() - 4]), Unreadable::Checksum);
        let swapped = if &code[9..10] == "A" { "B" } else { "A" };
        assert_eq!(why(&format!("{}{swapped}{}", &code[..9], &code[10..])), Unreadable::Checksum);
        assert_eq!(why(""), Unreadable::Nothing);
        assert_eq!(why("A1"), Unreadable::Letter);
        assert_eq!(why(&"A".repeat(LONGEST + 1)), Unreadable::TooLong);
        assert_eq!(why(&seal(vec![FORMAT + 1])), Unreadable::Newer);
        assert_eq!(why(&seal(vec![0])), Unreadable::Contents);
        assert_eq!(why(&seal(vec![FORMAT, 1, 2, 3])), Unreadable::Contents);
        // A system without an edge cannot run.
        assert_eq!(why(&encode(&Work::new(Paper::system(Document::default()))).expect("a code")), Unreadable::Contents);
        // What a chat program appends does no harm.
        assert!(decode(&format!(" {code}.)")).is_ok());
    }

    #[test]
    fn a_code_is_found_in_what_was_pasted() {
        for text in
            ["ABC2", " ABC2\n", "AB\n C2", "https://club.example/x/#/C/ABC2", "See https://a.example/#/C/ABC2). Bye"]
        {
            assert_eq!(find(text), "ABC2", "{text}");
        }
        assert_eq!(find(""), "");
        // Mail breaks long lines, and quotes them; a field of one line makes the breaks spaces.
        let code = encode(&demos().next().expect("a demo")).expect("a code");
        let (one, two) = code.split_at(76);
        for way in ["\n", "\r\n", " ", "\n> ", "\n>> "] {
            for after in ["", "\nGreetings", ". Greetings", "\n-- \nthe club"] {
                assert_eq!(
                    find(&format!("Look: https://a.example/#/C/{one}{way}{two}{after}")),
                    code,
                    "{way:?} {after:?}"
                );
            }
            assert_eq!(find(&format!("{one}{way}{two}")), code, "{way:?}");
        }
    }
}
