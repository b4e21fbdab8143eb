//! How numbers are shown: three significant figures, thousands parted by a thin space, one unit system at a time.

use super::kind::*;
use super::kinds::{DAYS, HOURS, MINUTES, MONEY, SECONDS};
use super::si::days;
use uom::si::Dimension;
use uom::si::f64::Time;

/// The display system: one switch for the whole app.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// Litres, millimetres, kilograms, degrees Celsius.
    #[default]
    Metric,
    /// US customary: US gallons, inches, pounds, degrees Fahrenheit.
    Us,
}

impl KindInfo {
    /// The unit shown for this kind in `system`.
    pub fn unit(&self, system: System) -> &'static Unit {
        let symbol = match system {
            System::Metric => self.metric,
            System::Us => self.us,
        };
        self.units.iter().find(|u| u.symbol == symbol).unwrap_or(&self.units[0])
    }
    /// A number to so many figures of the unit that is shown.
    pub fn rounded(&self, si: f64, figures: u32, system: System) -> f64 {
        let unit = self.unit(system);
        unit.to_si(significant(unit.of_si(si), figures))
    }
    /// A step for numbers that are to be round where they are shown: `si`, or in US units the nearest of 1, 2 and 5 to it with any noughts.
    pub fn step(&self, si: f64, system: System) -> f64 {
        if system == System::Metric || self.metric == self.us {
            return si;
        }
        let unit = self.unit(system).factor;
        let ten = 10f64.powf((si / unit).log10().floor());
        // Between the steps by ratio.
        let to = [(2f64.sqrt(), 1.0), (10f64.sqrt(), 2.0), (50f64.sqrt(), 5.0)];
        let to = to.iter().find(|t| si / unit / ten < t.0).map_or(10.0, |t| t.1);
        to * ten * unit
    }
}

/// The narrow no-break space that parts thousands, and a number from its unit.
pub const THIN: char = '\u{202f}';

/// Rounds to `digits` significant figures.
pub fn significant(x: f64, digits: u32) -> f64 {
    if x == 0.0 || !x.is_finite() {
        return x;
    }
    let place = digits as i32 - 1 - x.abs().log10().floor() as i32;
    if place.abs() > 300 {
        return x;
    }
    let scale = 10f64.powi(place.abs());
    if place >= 0 { (x * scale).round() / scale } else { (x / scale).round() * scale }
}

/// A number in plain digits with at most `digits` significant figures, thousands parted by a thin space (from 10 000 on, and for four
/// digits too, as `1 640`). Zero, and anything below a millionth of a millionth, is `0`.
pub fn number(x: f64, digits: u32) -> String {
    if !x.is_finite() {
        return "–".into();
    }
    let r = significant(x, digits);
    if r.abs() < 1e-12 {
        return "0".into();
    }
    let decimals = (digits as i32 - 1 - r.abs().log10().floor() as i32).clamp(0, 16) as usize;
    let mut text = format!("{:.*}", decimals, r.abs());
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    let (whole, rest) = text.split_at(text.find('.').unwrap_or(text.len()));
    let mut out = String::with_capacity(text.len() + 4);
    if r < 0.0 {
        out.push('−');
    }
    for (i, c) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push(THIN);
        }
        out.push(c);
    }
    out + rest
}

/// From here on money is told whole.
const WHOLE_MONEY: f64 = 1000.0;

/// A quantity's number in the unit of `system`, without the unit.
pub fn show_number(kind: &KindInfo, si: f64, system: System) -> String {
    let x = kind.unit(system).of_si(si);
    // Nobody knows what a system costs to the hundredth of a thousand.
    if kind.is(MONEY.0) && x.abs() < WHOLE_MONEY {
        money(x)
    } else if kind.is(MONEY.0) || kind.whole {
        number(x.round(), 15)
    } else {
        number(x, 3)
    }
}

/// Money to the hundredth, as it is written; what is less than that to two figures.
pub fn money(x: f64) -> String {
    if x.abs() < 0.01 || !x.is_finite() {
        return number(x, 2);
    }
    let all = (x.abs() * 100.0).round();
    let text = if x < 0.0 { "−" } else { "" }.to_string() + &number((all / 100.0).floor(), 15);
    // One before the two figures keeps their noughts.
    text + "." + &number(100.0 + all % 100.0, 3)[1..]
}

/// Up to how many seconds a time is told in which unit, by which steps of it.
const TOLD: [(f64, f64, f64, &str); 5] = [
    (100.0, 1.0, 1.0, "s"),
    (600.0, 60.0, 0.5, "min"),
    (6000.0, 60.0, 1.0, "min"),
    (days(2.0), 3600.0, 1.0, "h"),
    (f64::INFINITY, days(1.0), 1.0, "days"),
];

/// A time that is left, as people say it and never more than it is.
pub fn spoken(seconds: f64) -> String {
    let told = TOLD.iter().find(|t| seconds < t.0).unwrap_or(&TOLD[4]);
    let down = |unit: f64, step: f64| (seconds / unit / step + 1e-9).floor() * step;
    let text = with_unit(number(down(told.1, told.2), 9), told.3);
    // Hours in tens of minutes, as long as they are few.
    let rest = if told.3 == "h" && seconds < 36_000.0 { down(600.0, 1.0) % 6.0 } else { 0.0 };
    if rest > 0.0 { text + " " + &with_unit(number(rest * 10.0, 2), "min") } else { text }
}

/// A time that is left in two units, for where one alone says too little: `3 days 22 h`. Never more than it is.
pub fn finely(seconds: f64) -> String {
    let (unit, part, name, of) = match clock(seconds).metric {
        "min" => (60.0, 1.0, "min", "s"),
        "h" => (3600.0, 60.0, "h", "min"),
        "days" if seconds < days(10.0) => (days(1.0), 3600.0, "days", "h"),
        _ => return spoken(seconds),
    };
    let parts = (seconds / part + 1e-9).floor();
    let whole = (parts * part / unit + 1e-9).floor();
    let rest = parts - whole * unit / part;
    let text = with_unit(number(whole, 9), name);
    if rest > 0.5 { text + " " + &with_unit(number(rest, 2), of) } else { text }
}

/// Two times that are held against each other: finely where they would be said alike, and what is said in days.
pub fn apart(a: f64, b: f64) -> [String; 2] {
    let alike = a != b && spoken(a) == spoken(b);
    [a, b].map(|t| if alike || t >= days(2.0) { finely(t) } else { spoken(t) })
}

/// The kind of time that is read in the unit in which [`spoken`] says it.
pub fn clock(seconds: f64) -> &'static KindInfo {
    match TOLD.iter().find(|t| seconds < t.0).unwrap_or(&TOLD[4]).3 {
        "s" => SECONDS.0,
        "min" => MINUTES.0,
        "h" => HOURS.0,
        _ => DAYS.0,
    }
}

/// A quantity as a person reads it, such as `1 640 L/h`.
pub fn show(kind: &KindInfo, si: f64, system: System) -> String {
    with_unit(show_number(kind, si, system), kind.unit(system).symbol)
}

/// A quantity as a person reads it, in the named one of its kind's units (or, if there is none of that name, in the system's).
pub fn show_unit(kind: &KindInfo, si: f64, symbol: &str, system: System) -> String {
    let unit = kind.units.iter().find(|u| u.symbol == symbol).unwrap_or_else(|| kind.unit(system));
    with_unit(number(unit.of_si(si), 3), unit.symbol)
}

fn heavy(kind: &KindInfo, si: f64, system: System) -> String {
    let unit = kind.unit(system);
    let unit = match unit.symbol {
        "oz" if unit.of_si(si) >= 16.0 => "lb",
        "oz/day" if unit.of_si(si) >= 16.0 => "lb/day",
        small => small,
    };
    show_unit(kind, si, unit, system)
}

fn with_unit(number: String, symbol: &str) -> String {
    match symbol {
        "" => number,
        "°" => number + "°",
        // One of what is counted in words.
        "days" | "weeks" | "months" | "years" | "cups" if number == "1" => {
            format!("1{THIN}{}", &symbol[..symbol.len() - 1])
        }
        _ => format!("{number}{THIN}{symbol}"),
    }
}

/// The text put into an input for an SI value: six significant figures, plain digits, with the unit; the parser reads it back.
pub fn edit_text(kind: &KindInfo, si: f64, system: System) -> String {
    let unit = kind.unit(system);
    let text = number(unit.of_si(si), 6).replace('−', "-").replace(THIN, "");
    if unit.symbol.is_empty() { text } else { format!("{text} {}", unit.symbol) }
}

/// Words as they begin a sentence.
pub fn sentence(words: &str) -> String {
    begun(words, str::make_ascii_uppercase)
}

/// Words as they stand inside a sentence. What begins with an abbreviation (PVC, PIR) stays.
pub fn lower(words: &str) -> String {
    if words.as_bytes().get(1).is_some_and(u8::is_ascii_uppercase) {
        return words.into();
    }
    begun(words, str::make_ascii_lowercase)
}

fn begun(words: &str, change: fn(&mut str)) -> String {
    let mut words = words.to_owned();
    if let Some(first) = words.get_mut(..1) {
        change(first);
    }
    words
}

/// Things one after the other: `a, b and c`.
pub fn listed<S: AsRef<str>>(all: &[S]) -> String {
    let mut out = String::new();
    for (i, one) in all.iter().enumerate() {
        out += match i {
            0 => "",
            _ if i + 1 == all.len() => " and ",
            _ => ", ",
        };
        out += one.as_ref();
    }
    out
}

/// Says quantities in one display system; a report writes its sentences with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Words {
    /// The display system.
    pub system: System,
    /// The day, counted from 1 January 1970, where it is known: then what is some time away has a date.
    pub today: Option<i64>,
}

impl From<System> for Words {
    fn from(system: System) -> Self {
        Self { system, today: None }
    }
}

/// A day of the calendar that is so many days after 1 January 1970, such as `29 December`.
fn calendar(day: i64) -> String {
    // Years from March on, in eras of 400 of them (from the rules of the Gregorian calendar).
    let z = day + 719_468;
    let of_era = z.rem_euclid(146_097);
    let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    const NAMES: [&str; 12] = [
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
        "January",
        "February",
    ];
    let name = usize::try_from(month).ok().and_then(|m| NAMES.get(m)).unwrap_or(&"");
    format!("{} {name}", of_year - (153 * month + 2) / 5 + 1)
}

impl Words {
    /// The date that is so far from today, in brackets behind a space; nothing where the day is not known.
    pub fn date(self, away: Time) -> String {
        let whole = (away.value / days(1.0)).floor() as i64;
        self.today.map_or(String::new(), |day| format!(" ({})", calendar(day.saturating_add(whole))))
    }
    /// A quantity with its unit, such as `1 640 L/h`.
    pub fn q<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, q: Q<D>) -> String {
        show(kind.0, q.value, self.system)
    }
    /// A quantity with its unit, or `nothing`.
    pub fn amount<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, q: Q<D>) -> String {
        if q.value == 0.0 { "nothing".into() } else { self.q(kind, q) }
    }
    /// A mass, or one a day, as a sentence says it: where ounces are read, in pounds from one on.
    pub fn mass<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, q: Q<D>) -> String {
        heavy(kind.0, q.value, self.system)
    }
    /// A quantity's number alone.
    pub fn n<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, q: Q<D>) -> String {
        show_number(kind.0, q.value, self.system)
    }
    /// A range, such as `45 to 70 %`; one value if both ends read the same.
    pub fn range<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, low: Q<D>, high: Q<D>) -> String {
        let (a, b) = (show_number(kind.0, low.value, self.system), show(kind.0, high.value, self.system));
        if b == show(kind.0, low.value, self.system) { b } else { format!("{a} to {b}") }
    }
    /// A step for numbers that are to be round where they are shown, of about this size.
    pub fn step<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, si: f64) -> f64 {
        kind.0.step(si, self.system)
    }
    /// A quantity as it is shown: to three significant figures of its unit.
    pub fn as_shown<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>, quantity: Q<D>) -> Q<D> {
        kind.of(kind.0.rounded(quantity.value, 3, self.system))
    }
    /// One of the unit that is shown.
    pub fn one<D: Dimension + ?Sized>(self, kind: Kind<Q<D>>) -> f64 {
        kind.0.unit(self.system).factor
    }
    /// A time that is left, as people say it: rounded down.
    pub fn time(self, t: Time) -> String {
        spoken(t.value)
    }
    /// A plain number to three significant figures.
    pub fn plain(self, x: f64) -> String {
        number(x, 3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kinds::*, si::*};

    #[test]
    fn one_of_a_thing_is_singular() {
        let said = |x: f64| show(DAYS.0, days(x), System::Metric);
        assert_eq!([said(1.0), said(2.0), said(0.5)], ["1\u{202f}day", "2\u{202f}days", "0.5\u{202f}days"]);
        assert_eq!(show(YEARS.0, years(1.0), System::Metric), "1\u{202f}year");
    }

    #[test]
    fn heavy_things_are_said_in_pounds() {
        let said = |ounces: f64, system| Words::from(system).mass(SMALL_MASS, MASS.of(ounces / 16.0 * 0.45359237));
        assert_eq!([said(15.9, System::Us), said(16.0, System::Us)], ["15.9\u{202f}oz", "1\u{202f}lb"]);
        assert_eq!(said(106.0, System::Metric), "3\u{202f}010\u{202f}g");
        let day = FEED_RATE.of(7.06 / 86_400.0);
        assert_eq!(Words::from(System::Us).mass(FEED_RATE, day), "15.6\u{202f}lb/day");
    }

    #[test]
    fn inside_a_sentence() {
        assert_eq!(lower("Expanded clay, 8 to 16 mm"), "expanded clay, 8 to 16 mm");
        assert_eq!(lower("PIR or PUR board"), "PIR or PUR board");
        assert_eq!((lower("A lid"), lower("pH"), lower("")), ("a lid".into(), "pH".into(), String::new()));
    }

    /// The proleptic Gregorian calendar: leap days of 2000 and 2024, none in 2100 (ISO 8601).
    #[test]
    fn days_of_the_calendar() {
        for (day, text) in [
            (0, "1 January"),
            (-1, "31 December"),
            (11_016, "29 February"), // 2000
            (19_782, "29 February"), // 2024
            (47_540, "28 February"), // 2100
            (47_541, "1 March"),
            (20_782, "25 November"), // 2026
        ] {
            assert_eq!(calendar(day), text, "{day}");
        }
    }

    #[test]
    fn numbers_for_people() {
        for (x, text) in [
            (1638.2, "1\u{202f}640"),
            (0.0, "0"),
            (0.05, "0.05"),
            (28.0, "28"),
            (-3.456, "−3.46"),
            (1234567.0, "1\u{202f}230\u{202f}000"),
            (999.6, "1\u{202f}000"),
            (0.000123456, "0.000123"),
            (f64::NAN, "–"),
        ] {
            assert_eq!(number(x, 3), text, "{x}");
        }
    }

    #[test]
    fn times_are_said_and_never_longer() {
        for (seconds, text) in [
            (0.0, "0\u{202f}s"),
            (71.9, "71\u{202f}s"),
            (299.9, "4.5\u{202f}min"),
            (300.0, "5\u{202f}min"),
            (3484.4, "58\u{202f}min"),
            (7200.0, "2\u{202f}h"),
            (8424.0, "2\u{202f}h 20\u{202f}min"),
            (152_999.0, "42\u{202f}h"),
            (864_000.0, "10\u{202f}days"),
        ] {
            assert_eq!(spoken(seconds), text, "{seconds}");
        }
    }

    /// 76 % of a time is not told as `3 days of 3 days`.
    #[test]
    fn times_held_against_each_other_are_told_apart() {
        for (a, b, text) in [
            (72.0, 94.7, ["3 days", "3 days 22 h"]),
            (4.0, 4.15, ["4 h", "4 h 9 min"]),
            (12.0, 12.9, ["12 h", "12 h 54 min"]),
            (0.2, 0.21, ["12 min", "12 min 36 s"]),
            (0.0761, 0.0819, ["4 min 33 s", "4 min 54 s"]),
            (4.0, 9.0, ["4 h", "9 h"]),
            (4.0, 240.0, ["4 h", "10 days"]),
            (70.0, 0.7, ["2 days 22 h", "42 min"]),
            (71.0, 300.0, ["2 days 23 h", "12 days"]),
            (4.0, 4.0, ["4 h", "4 h"]),
            (0.0, 0.005, ["0 s", "18 s"]),
        ] {
            let said = apart(a * 3600.0, b * 3600.0).map(|t| t.replace(THIN, " "));
            assert_eq!(said, text, "{a} {b}");
        }
        for minutes in 1..20_000 {
            let t = f64::from(minutes) * 60.0;
            let fine = finely(t);
            assert!(!fine.contains(" 60\u{202f}") && !fine.contains(" 24\u{202f}h"), "{minutes} {fine}");
        }
    }

    #[test]
    fn money_reads_like_money() {
        for (x, text) in [(0.3, "0.30"), (61.0, "61.00"), (60.9916, "60.99"), (1234.56, "1\u{202f}235"), (0.0, "0")] {
            assert_eq!(show(MONEY.0, x, System::Metric), text);
        }
        assert_eq!(money(1234.5), "1\u{202f}234.50");
        assert_eq!((money(0.00264), money(-0.5), money(9.999)), ("0.0026".into(), "−0.50".into(), "10.00".into()));
        // 2.2 a kilogram, by the pound of 0.453 592 37 kg.
        assert_eq!(show(PRICE_MASS.0, 2.2, System::Us), "1.00\u{202f}/lb");
        let read = crate::units::parse("11.4 /1000 gal", PRICE_VOLUME.0, System::Metric).expect("a price");
        assert!((read.si / 3.011_55 - 1.0).abs() < 1e-4, "{}", read.si);
    }

    #[test]
    fn steps_are_round_where_they_are_shown() {
        let gal = 3.785_411_784e-3;
        for (kind, si, us) in [
            (VOLUME.0, l(10.0), 2.0 * gal),
            (VOLUME.0, l(5.0), gal),
            (FLOW.0, l_h(50.0), 10.0 * gal / 3600.0),
            (SHORT_LENGTH.0, mm(5.0), 0.2 * 0.0254),
            (LENGTH.0, 0.05, 0.2 * 0.3048),
            (TEMPERATURE.0, 0.5, 5.0 / 9.0),
            (ENERGY.0, 36_000.0, 36_000.0),
        ] {
            assert_eq!(kind.step(si, System::Metric), si);
            let step = kind.step(si, System::Us);
            assert!((step / us - 1.0).abs() < 1e-9, "{}: {step}", kind.id);
        }
    }

    #[test]
    fn both_systems() {
        assert_eq!(show(FLOW.0, l_h(1638.2), System::Metric), "1\u{202f}640\u{202f}L/h");
        assert_eq!(show(FLOW.0, l_h(1638.2), System::Us), "433\u{202f}gal/h");
        assert_eq!(show(TEMPERATURE.0, celsius(28.0), System::Us), "82.4\u{202f}°F");
        assert_eq!(show(TEMPERATURE_DIFFERENCE.0, 5.0, System::Us), "9\u{202f}°F");
        assert_eq!(show(COUNT.0, 1250.0, System::Us), "1\u{202f}250");
    }

    #[test]
    fn every_kind_has_its_display_units() {
        for k in all() {
            for symbol in [k.metric, k.us] {
                assert!(k.units.iter().any(|u| u.symbol == symbol), "{} lacks {symbol}", k.id);
            }
        }
    }
}
