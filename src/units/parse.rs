//! One parser for everything a person types: `2 in`, `1 1/2in`, `63mm`, `40 gal/min`, `28 °C`, `82F`, `1,5 m`, `5 ft 3 in`.

use super::{format::*, kind::*, kinds, si};
use std::fmt;

/// What was understood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parsed {
    /// The value in SI.
    pub si: f64,
    /// The unit it was typed in (or the display unit, if none was typed).
    pub unit: &'static Unit,
}

/// Why a text was not understood. Its `Display` is a sentence for the person who typed it.
#[derive(Debug, Clone, PartialEq)]
pub enum ParseError {
    /// Nothing was typed.
    Empty,
    /// It does not begin with a number.
    NotANumber(String),
    /// It says what a number is under or over.
    Bound(String),
    /// Both separators, or one of them twice.
    Separators(String),
    /// Could be one and a bit, or a thousand.
    Thousand {
        /// What stands before the last three digits: a comma or a point.
        mark: char,
        /// The decimal reading, unless that cannot be meant.
        decimal: Option<String>,
        /// What to type for the thousand.
        thousand: String,
    },
    /// The unit is not known, or belongs to another kind.
    Unit {
        /// What was typed.
        typed: String,
        /// The kind it belongs to, if any.
        other: Option<&'static str>,
        /// The kind that is wanted.
        wanted: &'static str,
        /// Examples of accepted units.
        accepted: String,
    },
    /// Degrees of hardness, where those of alkalinity are asked.
    Hardness(String),
    /// Too large to be a number.
    TooLarge,
    /// Too long to be looked at.
    TooLong,
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "Nothing is typed here. Type a number, with a unit if you like."),
            Self::NotANumber(t) => write!(f, "“{t}” does not begin with a number."),
            // Which end of it is the safe one hangs on what is read.
            Self::Bound(t) => write!(
                f,
                "“{t}” could be many numbers. Type one, on the safe side: the most for a poison, the least for oxygen or alkalinity."
            ),
            Self::Separators(t) => {
                write!(f, "“{t}” mixes or repeats point and comma. Type the digits with one decimal mark only.")
            }
            Self::Thousand { mark, decimal: None, thousand } => {
                write!(f, "Type {thousand}, without the {}.", if *mark == ',' { "comma" } else { "point" })
            }
            // Some number pads have a comma and no point; fewer or four digits behind it are no thousand.
            Self::Thousand { mark, decimal: Some(decimal), thousand } => {
                let zero = decimal.split_once('.').map_or("", |(_, part)| if part.len() == 3 { "0" } else { "" });
                let same = decimal.replace('.', &mark.to_string());
                write!(f, "Could be {decimal} or {thousand}. Type {same}{zero} or {thousand}.")
            }
            Self::Unit { typed, other: Some(kind), wanted, accepted } => {
                write!(f, "“{typed}” is a unit of {kind}; this is {}{wanted}.", article(wanted))?;
                if accepted.is_empty() { write!(f, " Type the number alone.") } else { write!(f, " Use {accepted}.") }
            }
            Self::Unit { typed, other: None, wanted, accepted } if accepted.is_empty() => {
                write!(f, "“{typed}” is not understood; this {wanted} has no unit. Type the number alone.")
            }
            Self::Unit { typed, other: None, accepted, .. } => {
                write!(f, "The unit “{typed}” is not known here. Use {accepted}.")
            }
            Self::Hardness(t) => write!(
                f,
                "“{t}” may be the hardness of all salts, which is no alkalinity. Type the carbonate hardness, in dKH or mg/L."
            ),
            Self::TooLarge => write!(f, "That number is too large."),
            Self::TooLong => write!(f, "That is too long for a number with its unit."),
        }
    }
}

/// The article of a kind in words, where it takes one.
fn article(kind: &str) -> &'static str {
    match kind {
        "money" | "salinity" | "feed a day" | "mass a time" | "oxygen per fish mass" | "surface per volume" => "",
        _ if kind.starts_with(['a', 'e', 'o']) => "an ",
        _ => "a ",
    }
}

/// A text as long as this is not looked at.
const LONGEST: usize = 65;

/// Reads what a person typed for a quantity of `kind`. Without a unit, the display unit of `system` is meant.
///
/// # Errors
/// A [`ParseError`] whose `Display` is a sentence saying what is wrong and what would do.
///
/// ```
/// use brimwise::units::{kinds::SHORT_LENGTH, parse, System};
/// let bore = parse("1 1/2in", SHORT_LENGTH.0, System::Metric).unwrap();
/// assert!((bore.si - 0.0381).abs() < 1e-12);
/// ```
pub fn parse(text: &str, kind: &KindInfo, system: System) -> Result<Parsed, ParseError> {
    parse_in(text, kind, kind.unit(system))
}

/// The same. Without a unit, `own` is meant.
///
/// # Errors
/// As [`parse`].
pub fn parse_in(text: &str, kind: &KindInfo, own: &'static Unit) -> Result<Parsed, ParseError> {
    let text: String = text.chars().take(LONGEST).flat_map(plain).collect();
    if text.chars().count() >= LONGEST {
        return Err(ParseError::TooLong);
    }
    let text = text.trim();
    // The sign of a currency says nothing: money is whatever the person keeps books in.
    let money = kind.is(kinds::MONEY.0);
    let sign = |c: char| money && matches!(c, '$' | '£' | '¤' | '¥' | '\u{20a0}'..='\u{20cf}');
    let text = text.strip_prefix(sign).unwrap_or(text).trim_start();
    if text.is_empty() {
        return Err(ParseError::Empty);
    }
    if text.starts_with(['<', '>', '≤', '≥']) {
        return Err(ParseError::Bound(text.into()));
    }
    if let Some(si) = one_in(text, kind, own).or_else(|| of_a_clock(text, own)) {
        return Ok(Parsed { si, unit: own });
    }
    // What a price is for may begin with digits and is no fraction then: "5/1000 gal".
    let per = text.find('/').filter(|at| money && find(kind, &text[*at..]).is_some()).unwrap_or(text.len());
    let (value, rest) = scan(&text[..per])?;
    let rest = text[per - rest.len()..].trim();
    let unit_text = rest.strip_prefix(sign).unwrap_or(rest).trim_start();
    let bare = unit_text.is_empty() || (fold(unit_text) == "deg" && own.symbol.starts_with('°'));
    let parsed = if let Some(unit) = if bare { Some(own) } else { find(kind, unit_text) } {
        Parsed { si: unit.to_si(value), unit }
    } else if let Some(both) = compound(kind, value, unit_text).or_else(|| of_a_day(kind, text, own)) {
        both
    } else {
        return Err(unknown(kind, unit_text, own));
    };
    if parsed.si.is_finite() { Ok(parsed) } else { Err(ParseError::TooLarge) }
}

/// Reads what a person types into a field of a page that takes only what `fits`; without a unit, `own` is meant. What could part thousands is asked
/// back where both readings fit, and where only the thousand does it is said how to type that. A comma could, and so could a point: on scales and labels
/// of half the world `1.200 g` is 1200 g. But nobody who reads US units parts thousands by points. Files, codes and links are read by
/// [`parse`]: a point is decimal there, as it is in all that the app writes.
///
/// # Errors
/// As [`parse`].
pub fn parse_typed(
    text: &str,
    kind: &KindInfo,
    own: &'static Unit,
    system: System,
    fits: &dyn Fn(f64) -> bool,
) -> Result<Parsed, ParseError> {
    let mut read = parse_in(text, kind, own);
    let fitting = |text: &str| !kind.whole && parse_in(text, kind, own).is_ok_and(|p| fits(p.si));
    match &mut read {
        Err(ParseError::Thousand { decimal, .. }) => {
            decimal.take_if(|_| !fitting(&text.replace(',', ".")));
        }
        Ok(_) if system == System::Metric => {
            let whole = parse_in(&text.replacen('.', "", 1), kind, own);
            if let Some((a, b)) = pointed(text)
                && whole.is_ok_and(|p| fits(p.si))
            {
                return Err(thousand('.', a, b, fitting(text)));
            }
        }
        _ => {}
    }
    read
}

/// The digits on either side of a point in the first number of a text, if it could part thousands.
fn pointed(text: &str) -> Option<(&str, &str)> {
    let of_number = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let text = &text[text.find(of_number)?..];
    let (number, rest) = text.split_at(text.find(|c| !of_number(c)).unwrap_or(text.len()));
    // A power of ten is no way to write thousands.
    number.split_once('.').filter(|(a, b)| parts_thousands(a, b) && !rest.starts_with(['e', 'E']))
}

/// Up to three digits, not all nought, and then just three.
fn parts_thousands(a: &str, b: &str) -> bool {
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    (1..=3).contains(&a.len()) && b.len() == 3 && digits(a) && digits(b) && a.bytes().any(|b| b != b'0')
}

/// What is asked back of digits that may be thousands, and may be decimal if that fits.
fn thousand(mark: char, a: &str, b: &str, decimal: bool) -> ParseError {
    let small = || format!("{a}.{b}").trim_end_matches('0').trim_end_matches('.').into();
    ParseError::Thousand { mark, decimal: decimal.then(small), thousand: format!("{a}{b}") }
}

/// Typographic spellings to plain ones.
fn plain(c: char) -> impl Iterator<Item = char> {
    let s: &'static str = match c {
        '−' | '–' => "-",
        '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' | '\n' | '\r' => " ",
        '½' => " 1/2",
        '¼' => " 1/4",
        '¾' => " 3/4",
        '⅛' => " 1/8",
        '⅜' => " 3/8",
        '⅝' => " 5/8",
        '⅞' => " 7/8",
        '’' | '′' => "'",
        '”' | '″' => "\"",
        '⁄' => "/",
        _ => "",
    };
    s.chars().chain(s.is_empty().then_some(c))
}

/// A slope of one in so many, as it is told: `1:100`, and where percent are meant, `1/100`.
fn one_in(text: &str, kind: &KindInfo, own: &Unit) -> Option<f64> {
    let mark = if own.symbol == "%" { [':', '/'] } else { [':', ':'] };
    let (rise, run) = text.split_once(mark).filter(|_| kind.is(kinds::SLOPE.0))?;
    let (rise, run) = (plain_number(rise.trim())?, plain_number(run.trim())?);
    (run > 0.0).then_some(rise / run)
}

/// A time as clocks show it: `1:30` for an hour and a half where hours are meant, for a minute and a half where seconds are. Where minutes are, it may be either.
fn of_a_clock(text: &str, own: &Unit) -> Option<f64> {
    let unit = match own.symbol {
        "h" => own.factor,
        "s" => 60.0 * own.factor,
        _ => return None,
    };
    let (whole, part) = text.split_once(':')?;
    let (whole, part) = (plain_number(whole)?, plain_number(&part.replace(',', "."))?);
    let fits = whole >= 0.0 && whole.fract() == 0.0 && (0.0..60.0).contains(&part);
    fits.then_some((whole + part / 60.0) * unit)
}

/// A number at the start of `text`, and what follows it.
fn scan(text: &str) -> Result<(f64, &str), ParseError> {
    let refuse = || ParseError::NotANumber(text.to_string());
    let (sign, body) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let run = body.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(body.len());
    let (head, mut rest) = body.split_at(run);
    let mut digits = head.to_string();
    if !head.contains(|c: char| c.is_ascii_digit()) {
        return Err(refuse());
    }
    // Thousands parted by a space: up to three digits, then groups of exactly three.
    if head.len() <= 3 && head.bytes().all(|b| b.is_ascii_digit()) {
        while let Some(group) = group_of_three(rest) {
            digits += group;
            rest = &rest[4..];
            if let Some(tail) = rest.strip_prefix(['.', ',']) {
                let n = tail.find(|c: char| !c.is_ascii_digit()).unwrap_or(tail.len());
                digits = format!("{digits}.{}", &tail[..n]);
                rest = &tail[n..];
                break;
            }
        }
    }
    if digits.bytes().all(|b| b.is_ascii_digit()) {
        let whole = value(&digits)?;
        if let Some((low, after)) = rest.strip_prefix('/').and_then(leading_digits) {
            return fraction(sign, 0.0, &digits, low, after).ok_or_else(refuse);
        }
        let part = rest.strip_prefix('-').unwrap_or_else(|| rest.trim_start());
        if part.len() < rest.len()
            && let Some((high, after)) = leading_digits(part)
            && let Some((low, after)) = after.strip_prefix('/').and_then(leading_digits)
        {
            return fraction(sign, whole, high, low, after).ok_or_else(refuse);
        }
    }
    let mut n = decimal(&digits, text)?;
    if let Some(tail) = rest.strip_prefix(['e', 'E']) {
        let (negative, tail) = match tail.strip_prefix('-') {
            Some(t) => (true, t),
            None => (false, tail.strip_prefix('+').unwrap_or(tail)),
        };
        if let Some((power, after)) = leading_digits(tail) {
            let power: i32 = power.parse().map_err(|_| ParseError::TooLarge)?;
            n *= 10f64.powi(if negative { -power } else { power });
            rest = after;
        }
    }
    if n.is_finite() { Ok((sign * n, rest)) } else { Err(ParseError::TooLarge) }
}

fn group_of_three(rest: &str) -> Option<&str> {
    let b = rest.as_bytes();
    let three = b.len() >= 4 && b[0] == b' ' && b[1..4].iter().all(u8::is_ascii_digit);
    let ends = b.get(4).is_none_or(|c| !c.is_ascii_digit() && *c != b'/');
    (three && ends).then(|| &rest[1..4])
}

fn leading_digits(s: &str) -> Option<(&str, &str)> {
    let n = s.find(|c: char| !c.is_ascii_digit()).unwrap_or(s.len());
    (n > 0).then(|| s.split_at(n))
}

/// A plain number: digits, a minus before them and a point among them, if anything; the nearest that there is to what they say. Nothing for other
/// texts, and for what is too large.
///
/// The reader of JSON reads it, which the app has anyway: that of the standard library brings a table of 10 kB that nothing makes smaller.
pub fn plain_number(text: &str) -> Option<f64> {
    let (minus, digits) = text.strip_prefix('-').map_or(("", text), |digits| ("-", digits));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |run: &str| run.bytes().all(|b| b.is_ascii_digit());
    if whole.len() + part.len() == 0 || !all_digits(whole) || !all_digits(part) {
        return None;
    }
    // JSON wants a digit on either side of the point, and no zeros in front of others.
    let whole = Some(whole.trim_start_matches('0')).filter(|w| !w.is_empty()).unwrap_or("0");
    let part = if part.is_empty() { "0" } else { part };
    serde_json::from_str::<serde_json::Value>(&format!("{minus}{whole}.{part}")).ok()?.as_f64()
}

fn value(digits: &str) -> Result<f64, ParseError> {
    plain_number(digits).ok_or(ParseError::TooLarge)
}

fn fraction<'a>(sign: f64, whole: f64, high: &str, low: &str, rest: &'a str) -> Option<(f64, &'a str)> {
    let (high, low) = (plain_number(high)?, plain_number(low)?);
    (low > 0.0).then(|| (sign * (whole + high / low), rest))
}

/// Digits with at most one decimal mark; asks back what could be a thousand.
fn decimal(digits: &str, text: &str) -> Result<f64, ParseError> {
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    if points + commas > 1 {
        return Err(ParseError::Separators(text.into()));
    }
    if let Some((a, b)) = digits.split_once(',').filter(|(a, b)| parts_thousands(a, b)) {
        return Err(thousand(',', a, b, true));
    }
    value(&digits.replace(',', "."))
}

/// What people write out in a unit of several parts, and its symbol as it is folded; without the `s` of the plural.
const WRITTEN: [(&str, &str); 21] = [
    ("litre", "l"),
    ("liter", "l"),
    ("gal", "gal"),
    ("gallon", "gal"),
    ("gram", "g"),
    ("kilogram", "kg"),
    ("lb", "lb"),
    ("pound", "lb"),
    ("ounce", "oz"),
    ("sec", "s"),
    ("second", "s"),
    ("minute", "min"),
    ("hr", "h"),
    ("hour", "h"),
    ("d", "day"),
    ("metre", "m"),
    ("meter", "m"),
    ("litro", "l"),
    ("gr", "g"),
    ("minuto", "min"),
    ("hora", "h"),
];

/// A unit's spelling without what people vary: case, blanks, degrees, raised digits, `per`, and around a stroke what is written out.
fn fold(unit: &str) -> String {
    if matches!(unit.trim(), "°" | "º") {
        return "deg".into();
    }
    let mut s: String = unit
        .to_ascii_lowercase()
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '°' | 'º' | '(' | ')'))
        .collect();
    for (from, to) in [("²", "2"), ("³", "3"), ("per", "/"), ("por", "/"), ("µ", "u"), ("μ", "u"), ("·", "")] {
        // "percent" keeps its name.
        if !(from == "per" && s.starts_with("percent")) {
            s = s.replace(from, to);
        }
    }
    s.truncate(s.trim_end_matches('.').len());
    if let Some(of) = ["degrees", "degree", "deg"].iter().find_map(|d| s.strip_prefix(d)) {
        s = if of.is_empty() { return "deg".into() } else { of.into() };
    }
    if s.contains('/') {
        let is = |part: &str, word: &str| part == word || part.strip_suffix('s') == Some(word);
        let short = |part| WRITTEN.iter().find(|w| is(part, w.0)).map_or(part, |w| w.1);
        s = s.split('/').map(short).collect::<Vec<_>>().join("/");
    }
    s
}

fn find(kind: &KindInfo, typed: &str) -> Option<&'static Unit> {
    let called = |typed: &str| {
        let typed = fold(typed);
        let is = |u: &&Unit| fold(u.symbol) == typed || u.names.iter().any(|n| fold(n) == typed);
        kind.units.iter().filter(|_| !typed.is_empty()).find(is)
    };
    // What a blank parts is not joined where that makes another unit: "m m" is not "mm".
    let first = called(typed.split_whitespace().next()?);
    called(typed).filter(|u| first.is_none_or(|f| f == *u))
}

/// Feet with inches, pounds with ounces, hours with minutes: a second, smaller part after the first unit.
fn compound(kind: &KindInfo, value: f64, text: &str) -> Option<Parsed> {
    let cut = text.find(|c: char| c.is_ascii_digit())?;
    let big = find(kind, &text[..cut])?;
    let (small_value, rest) = scan(&text[cut..]).ok()?;
    let small = match (rest.trim(), big.symbol) {
        ("", "ft") => find(kind, "in")?,
        ("", "lb") => find(kind, "oz")?,
        ("", "h") => find(kind, "min")?,
        ("", _) => return None,
        (unit, _) => find(kind, unit)?,
    };
    let fits = small.factor < big.factor && small_value >= 0.0 && big.offset == 0.0;
    let si = big.to_si(value.abs()) + small.to_si(small_value);
    fits.then_some(Parsed { si: si * value.signum(), unit: big })
}

/// A mass or a volume where that of a day is asked.
fn of_a_day(kind: &KindInfo, text: &str, own: &'static Unit) -> Option<Parsed> {
    let of = match kind.name {
        "feed a day" => kinds::MASS.0,
        "daily volume" => kinds::VOLUME.0,
        _ => return None,
    };
    let whole = parse_in(text.strip_suffix("a day").unwrap_or(text), of, own).ok()?;
    let of_whole = |u: &&Unit| u.symbol.strip_suffix("/day") == Some(whole.unit.symbol);
    let unit = kind.units.iter().find(of_whole).unwrap_or(own);
    Some(Parsed { si: whole.si / si::days(1.0), unit })
}

/// Units that are named at the most.
const NAMED: usize = 7;

fn unknown(kind: &KindInfo, typed: &str, own: &Unit) -> ParseError {
    // Kits of Germany tell general hardness in °dH.
    if matches!(&*fold(typed), "dh" | "gh" | "dgh") && kind.units.iter().any(|u| u.symbol == "dKH") {
        return ParseError::Hardness(typed.to_string());
    }
    let other = kinds::all().into_iter().find(|k| k.id != kind.id && find(k, typed).is_some()).map(|k| k.name);
    // The person's own first, and those that stand with it; where there are many, the metric ones or those from what is shown in US units on.
    let place = |symbol: &str| kind.units.iter().position(|u| u.symbol == symbol).unwrap_or(0);
    let (at, us, all) = (place(own.symbol), place(kind.us), kind.units.len());
    let from = match at {
        _ if all <= NAMED => at,
        _ if at < us => 0,
        _ => us,
    };
    let others = (0..all).map(|n| (from + n) % all).filter(|n| *n != at);
    let symbols = std::iter::once(at).chain(others).map(|n| kind.units[n].symbol);
    let symbols: Vec<_> = symbols.filter(|s| !s.is_empty()).take(NAMED).collect();
    ParseError::Unit { typed: typed.to_string(), other, wanted: kind.name, accepted: symbols.join(", ") }
}

#[cfg(test)]
mod tests;
