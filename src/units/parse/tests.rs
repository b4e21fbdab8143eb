use super::*;
use crate::units::kinds::*;

fn si(text: &str, kind: &KindInfo) -> f64 {
    parse(text, kind, System::Metric).unwrap_or_else(|e| panic!("{text}: {e}")).si
}

#[test]
fn plain_numbers_are_those_of_the_standard_library() {
    for text in [
        "0",
        "-0",
        "00",
        "7.",
        ".5",
        "-.25",
        "007.250",
        "0.1",
        "1e3",
        "+1",
        "",
        "-",
        ".",
        "--1",
        "1.2.3",
        "1,5",
        "inf",
        "NaN",
        "٣",
        " 1",
        "18446744073709551616",
        "9007199254740993",
        "0.000000000000000000000000123",
        "179769313486231580793728971405303415079934132710037826936173778980444968292764750946649017977587207096330286416692887910946555547851940402630657488671505820681908902000708383676273854845817711531764475730270069855571366959622842914819860834936475292719074168444365510704342711559699508093042880",
    ] {
        let theirs =
            text.parse::<f64>().ok().filter(|_| text.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b'-'));
        assert_eq!(plain_number(text).map(f64::to_bits), theirs.map(f64::to_bits), "{text}");
    }
    assert_eq!(plain_number(&"9".repeat(400)), None);
    proptest::proptest!(|(whole in "[0-9]{0,25}", part in "[0-9]{0,25}", minus in "-?", point in "\\.?")| {
        let text = format!("{minus}{whole}{point}{part}");
        let theirs = text.parse::<f64>().ok();
        proptest::prop_assert_eq!(plain_number(&text).map(f64::to_bits), theirs.map(f64::to_bits));
    });
}

#[test]
fn what_people_type() {
    for (text, kind, expect) in [
        ("2 in", SHORT_LENGTH.0, 0.0508),
        ("1 1/2in", SHORT_LENGTH.0, 0.0381),
        ("1-1/2 in", SHORT_LENGTH.0, 0.0381),
        ("1½\"", SHORT_LENGTH.0, 0.0381),
        ("3/4 in", SHORT_LENGTH.0, 0.01905),
        ("63mm", SHORT_LENGTH.0, 0.063),
        ("63", SHORT_LENGTH.0, 0.063),
        ("5 ft 3 in", LENGTH.0, 1.6002),
        ("5' 3\"", LENGTH.0, 1.6002),
        ("1,5 m", LENGTH.0, 1.5),
        ("1,2340 m", LENGTH.0, 1.234),
        ("0,500 m", LENGTH.0, 0.5),
        ("40 gal/min", FLOW.0, 40.0 * 3.785411784e-3 / 60.0),
        ("40 gpm", FLOW.0, 40.0 * 3.785411784e-3 / 60.0),
        ("1 640 L/h", FLOW.0, 1640.0 / 3.6e6),
        ("1\u{202f}640", FLOW.0, 1640.0 / 3.6e6),
        ("12 000,5 L/h", FLOW.0, 12000.5 / 3.6e6),
        ("0.5 kg/day", FEED_RATE.0, 0.5 / 86400.0),
        ("28 °C", TEMPERATURE.0, 301.15),
        ("28 C", TEMPERATURE.0, 301.15),
        ("82F", TEMPERATURE.0, (82.0 - 32.0) / 1.8 + 273.15),
        ("−5", TEMPERATURE.0, 268.15),
        ("9 F", TEMPERATURE_DIFFERENCE.0, 5.0),
        ("2 K/h", TEMPERATURE_RATE.0, 2.0 / 3600.0),
        ("2 C/h", TEMPERATURE_RATE.0, 2.0 / 3600.0),
        ("4,5 F/h", TEMPERATURE_RATE.0, 2.5 / 3600.0),
        ("2 °C per hour", TEMPERATURE_RATE.0, 2.0 / 3600.0),
        ("2 degrees Celsius/hour", TEMPERATURE_RATE.0, 2.0 / 3600.0),
        ("2 degrees", TEMPERATURE_RATE.0, 2.0 / 3600.0),
        ("2", TEMPERATURE_RATE.0, 2.0 / 3600.0),
        ("2 lb 8 oz", MASS.0, 2.5 * 0.45359237),
        ("5 ppm", CONCENTRATION.0, 0.005),
        ("2 %", SLOPE.0, 0.02),
        ("2", SLOPE.0, 0.02),
        ("1e3 L", VOLUME.0, 1.0),
        ("2 imp gal", VOLUME.0, 2.0 * 4.54609e-3),
        ("1.2 m²", AREA.0, 1.2),
        ("100 g per day", FEED_RATE.0, 0.1 / 86400.0),
        ("30 g/m2/day", AREAL_RATE.0, 0.03 / 86400.0),
        ("25", COUNT.0, 25.0),
        ("5'-3\"", LENGTH.0, 1.6002),
        ("2-inch", SHORT_LENGTH.0, 0.0508),
        ("900 litres per hour", FLOW.0, 2.5e-4),
        ("60 gallons per hour", FLOW.0, 3.785411784e-3 / 60.0),
        ("30 mL/min", FLOW.0, 5e-7),
        ("1 imp gal/min", FLOW.0, 4.54609e-3 / 60.0),
        ("120 grams per day", FEED_RATE.0, 0.12 / 86400.0),
        ("2 cubic metres", VOLUME.0, 2.0),
        ("3 square metres", AREA.0, 3.0),
        ("4 square feet", AREA.0, 4.0 * 0.09290304),
        ("20 cm/s", VELOCITY.0, 0.2),
        ("5 ‰", SALINITY.0, 5.0),
        ("5 psu", SALINITY.0, 5.0),
        ("10 mm/m", SLOPE.0, 0.01),
        ("15 litres/min", FLOW.0, 2.5e-4),
        ("900 litres/h", FLOW.0, 2.5e-4),
        ("900 L / hour", FLOW.0, 2.5e-4),
        ("2 m³ per hour", FLOW.0, 2.0 / 3600.0),
        ("2 pounds / d", FEED_RATE.0, 2.0 * 0.45359237 / 86400.0),
        ("25 degrees", TEMPERATURE.0, 298.15),
        ("25 degrees C", TEMPERATURE.0, 298.15),
        ("77 degrees Fahrenheit", TEMPERATURE.0, 298.15),
        ("77 deg F", TEMPERATURE.0, 298.15),
        ("2 degrees", TEMPERATURE_DIFFERENCE.0, 2.0),
        ("180 degrees", ANGLE.0, std::f64::consts::PI),
        ("1:100", SLOPE.0, 0.01),
        ("1 : 80", SLOPE.0, 0.0125),
        ("1/100", SLOPE.0, 0.01),
        ("1 1/2", SLOPE.0, 0.015),
        ("1/2 %", SLOPE.0, 0.005),
        ("1/4 in/ft", SLOPE.0, 1.0 / 48.0),
        ("1/4", PERCENT.0, 0.0025),
        // The sign of a currency may stand on either side; what a price is for may begin with digits.
        ("$45", MONEY.0, 45.0),
        ("45 $", MONEY.0, 45.0),
        ("$ 0,14", MONEY.0, 0.14),
        ("€0.90/kg", PRICE_MASS.0, 0.9),
        ("$0.90/lb", PRICE_MASS.0, 0.9 / 0.45359237),
        ("0.90 £/lb", PRICE_MASS.0, 0.9 / 0.45359237),
        ("1/2 /kg", PRICE_MASS.0, 0.5),
        ("1/2/kg", PRICE_MASS.0, 0.5),
        ("$0.14/kWh", PRICE_ENERGY.0, 0.14),
        ("0,30 €/kWh", PRICE_ENERGY.0, 0.3),
        ("0.3", PRICE_ENERGY.0, 0.3),
        ("14.5 ct/kWh", PRICE_ENERGY.0, 0.145),
        ("28 ¢ per kWh", PRICE_ENERGY.0, 0.28),
        ("5/1000 gal", PRICE_VOLUME.0, 5.0 / 3.785411784),
        ("$5/1000 gal", PRICE_VOLUME.0, 5.0 / 3.785411784),
        ("5.20 $ per 1000 gal", PRICE_VOLUME.0, 5.2 / 3.785411784),
        // Where that of a day is asked.
        ("4 oz", FEED_RATE.0, 0.45359237 / 4.0 / 86400.0),
        ("1/2 lb", FEED_RATE.0, 0.45359237 / 2.0 / 86400.0),
        ("1/2 lb a day", FEED_RATE.0, 0.45359237 / 2.0 / 86400.0),
        ("1 lb 4 oz", FEED_RATE.0, 1.25 * 0.45359237 / 86400.0),
        ("1 lb 4 oz a day", FEED_RATE.0, 1.25 * 0.45359237 / 86400.0),
        ("500 mg", FEED_RATE.0, 0.0005 / 86400.0),
        ("10 gal", DAILY_VOLUME.0, 10.0 * 3.785411784e-3 / 86400.0),
        ("20 litres", DAILY_VOLUME.0, 0.02 / 86400.0),
        ("2 qt a day", DAILY_VOLUME.0, 3.785411784e-3 / 2.0 / 86400.0),
        // Kitchen measures of the US, a year of 365.25 days, and the degrees of a kit for carbonate hardness.
        ("1 cup", SMALL_VOLUME.0, 2.365882365e-4),
        ("8 fl oz", SMALL_VOLUME.0, 2.365882365e-4),
        ("1 pint", VOLUME.0, 4.73176473e-4),
        ("2 tbsp", SMALL_VOLUME.0, 2.0 * 1.478676478125e-5),
        ("10 years", YEARS.0, 3652.5 * 86400.0),
        ("5", YEARS.0, 5.0 * 365.25 * 86400.0),
        ("1 year 6 months", YEARS.0, 1.5 * 365.25 * 86400.0),
        ("2 months", DAYS.0, 365.25 / 6.0 * 86400.0),
        // As people who speak Spanish or Portuguese write them.
        ("300 gr", SMALL_MASS.0, 0.3),
        ("2,5 metros", LENGTH.0, 2.5),
        ("1500 litros", VOLUME.0, 1.5),
        ("3000 litros/hora", FLOW.0, 3000.0 / 3.6e6),
        ("30 litros por minuto", FLOW.0, 5e-4),
        ("4 horas", HOURS.0, 14_400.0),
        ("1/2 pulgada", SHORT_LENGTH.0, 0.0127),
        // As a clock and a stopwatch show them.
        ("1:30", HOURS.0, 5400.0),
        ("01:30,5", SECONDS.0, 90.5),
        ("0:25", SECONDS.0, 25.0),
        ("7 dKH", ALKALINITY.0, 0.07 * 100.087 / 56.077),
        ("7 °KH", ALKALINITY.0, 0.07 * 100.087 / 56.077),
    ] {
        let got = si(text, kind);
        assert!((got - expect).abs() <= 1e-12 * expect.abs().max(1e-3), "{text}: {got} not {expect}");
    }
}

#[test]
fn what_is_refused_and_how() {
    for (text, kind, sentence) in [
        ("", LENGTH.0, "Nothing is typed here. Type a number, with a unit if you like."),
        ("nan", LENGTH.0, "“nan” does not begin with a number."),
        ("inf", LENGTH.0, "“inf” does not begin with a number."),
        ("-infinity", LENGTH.0, "“-infinity” does not begin with a number."),
        ("1,234", FLOW.0, "Could be 1.234 or 1234. Type 1,2340 or 1234."),
        ("1,200", FLOW.0, "Could be 1.2 or 1200. Type 1,2 or 1200."),
        ("$1,000", MONEY.0, "Could be 1 or 1000. Type 1 or 1000."),
        ("$", MONEY.0, "Nothing is typed here. Type a number, with a unit if you like."),
        ("$4", LENGTH.0, "“$4” does not begin with a number."),
        ("1.234,5", FLOW.0, "“1.234,5” mixes or repeats point and comma. Type the digits with one decimal mark only."),
        (
            "1,234,567",
            FLOW.0,
            "“1,234,567” mixes or repeats point and comma. Type the digits with one decimal mark only.",
        ),
        ("40 gal/min", LENGTH.0, "“gal/min” is a unit of flow; this is a length. Use m, mm, cm, km, in, ft, yd."),
        ("1:30", MINUTES.0, "The unit “:30” is not known here. Use min, h, days, weeks, months, years, s."),
        ("1:75", HOURS.0, "The unit “:75” is not known here. Use h, days, weeks, months, years, s, min."),
        (
            "<0,25",
            CONCENTRATION.0,
            "“<0,25” could be many numbers. Type one, on the safe side: the most for a poison, the least for oxygen or alkalinity.",
        ),
        ("7 m m", LENGTH.0, "The unit “m m” is not known here. Use m, mm, cm, km, in, ft, yd."),
        ("40 wombat", FLOW.0, "The unit “wombat” is not known here. Use L/h, L/min, L/s, L/day, m³/h, m³/s, gal/h."),
        ("3 x", COUNT.0, "“x” is not understood; this number has no unit. Type the number alone."),
        ("1e999", LENGTH.0, "That number is too large."),
        ("1/0 in", LENGTH.0, "“1/0 in” does not begin with a number."),
        ("7.2 mg/L", RATIO.0, "“mg/L” is a unit of concentration; this is a number. Type the number alone."),
        ("20 kg", COUNT.0, "“kg” is a unit of mass; this is a number. Type the number alone."),
        ("2 kg", AREA.0, "“kg” is a unit of mass; this is an area. Use m², cm², mm², ft², in²."),
        ("5 kg", SALINITY.0, "“kg” is a unit of mass; this is salinity. Use g/L, µg/L, kg/m³, mg/L."),
        ("5 kg", MONEY.0, "“kg” is a unit of mass; this is money. Type the number alone."),
        (&format!("2{}in", " ".repeat(64)), LENGTH.0, "That is too long for a number with its unit."),
    ] {
        let e = parse(text, kind, System::Metric).expect_err(text);
        assert_eq!(e.to_string(), sentence, "{text}");
    }
}

/// The units that are named begin with the reader's own.
#[test]
fn a_complaint_names_the_units_that_are_read() {
    let said = |text: &str, kind: &KindInfo| parse(text, kind, System::Us).expect_err(text).to_string();
    assert!(said("4 x", FLOW.0).ends_with("Use gal/h, gal/min, gal/day, ft³/min, ft³/h, mL/min, imp gal/min."));
    assert!(said("4 x", SHORT_LENGTH.0).ends_with("Use in, ft, yd, m, mm, cm, km."));
    assert!(said("4 x", MASS.0).ends_with("Use lb, oz, kg, g, mg, t."));
}

#[test]
fn a_complaint_names_the_smaller_units_too() {
    let said = |text: &str, kind: &'static KindInfo, own: &str| {
        let own = kind.units.iter().find(|u| u.symbol == own).expect("a unit");
        parse_in(text, kind, own).expect_err(text).to_string()
    };
    assert!(said("4 x", FLOW.0, "m³/h").ends_with("Use m³/h, L/h, L/min, L/s, L/day, m³/s, gal/h."));
    assert!(said("4 x", VOLUME.0, "m³").ends_with("Use m³, L, mL, gal, imp gal, ft³, qt."));
    assert!(said("4 x", VOLUME.0, "ft³").ends_with("Use ft³, gal, imp gal, qt, pt, cups, fl oz."));
}

/// Three digits behind a point are thousands on labels and scales wherever thousands are parted by points; the SI Brochure (9th ed., 5.4.4, from memory) wants
/// neither sign for that.
#[test]
fn a_point_may_part_thousands() {
    let said = |text: &str, kind: &'static KindInfo, range: [f64; 2], system: System| {
        let fits = |x: f64| range[0] <= x && x <= range[1];
        parse_typed(text, kind, kind.unit(system), system, &fits).map(|p| p.si).map_err(|e| e.to_string())
    };
    let mass = |text: &str| said(text, SMALL_MASS.0, [1e-4, 20.0], System::Metric);
    let asked =
        |small: &str, typed: &str, large: &str| Err(format!("Could be {small} or {large}. Type {typed} or {large}."));
    for text in ["1.200 g", "1.200", "1.200g", " 1.200 g"] {
        assert_eq!(mass(text), asked("1.2", "1.2", "1200"), "{text}");
    }
    assert_eq!(mass("1,200 g"), asked("1.2", "1,2", "1200"));
    assert_eq!(mass("1.234"), asked("1.234", "1.2340", "1234"));
    assert_eq!(mass("12.000"), asked("12", "12", "12000"));
    // What the question says to type is taken.
    assert_eq!((mass("1.2340"), mass("1.2"), mass("1200")), (Ok(0.001234), Ok(0.0012), Ok(1.2)));
    // A leading nought, other numbers of digits, digits parted by a space, powers of ten, and where the thousand would be too much.
    for (text, x) in [
        ("0.125", 0.000125),
        ("00.125", 0.000125),
        (".125", 0.000125),
        ("1.25", 0.00125),
        ("1 200.125", 1.200125),
        ("1.234e3", 1.234),
        ("1.250 kg", 1.25),
        ("125.500", 0.1255),
        ("2.375 lb", 2.375 * 0.45359237),
    ] {
        assert!(mass(text).is_ok_and(|si| (si - x).abs() < 1e-12), "{text}: {:?}", mass(text));
    }
    // Where only the thousand fits, and of what is counted.
    let flow = |text: &str| said(text, FLOW.0, [10.0 / 3.6e6, 0.01], System::Metric);
    assert_eq!(flow("3.000 l/h"), Err("Type 3000, without the point.".into()));
    assert_eq!(flow("3,000 l/h"), Err("Type 3000, without the comma.".into()));
    assert_eq!(said("1.000", COUNT.0, [0.0, 1e6], System::Metric), Err("Type 1000, without the point.".into()));
    assert_eq!(said("$1.200", MONEY.0, [0.0, 1e9], System::Metric), asked("1.2", "1.2", "1200"));
    // Where neither fits, the range is said; that is not the parser's.
    assert_eq!(said("1.200", LENGTH.0, [5.0, 50.0], System::Metric), Ok(1.2));
    // Among US units a point is decimal, and in files and links everywhere.
    assert_eq!(said("1.200", COUNT.0, [0.0, 1e6], System::Us), Ok(1.2));
    assert_eq!(parse("1.200 g", SMALL_MASS.0, System::Metric).map(|p| p.si), Ok(0.0012));
}

#[test]
fn the_display_unit_is_meant_where_none_is_typed() {
    assert_eq!(parse("2", SHORT_LENGTH.0, System::Us).map(|p| p.si), Ok(0.0508));
    let unit = |text: &str| parse(text, FEED_RATE.0, System::Us).map(|p| p.unit.symbol);
    assert_eq!((unit("4 oz"), unit("1 lb 4"), unit("500 mg")), (Ok("oz/day"), Ok("lb/day"), Ok("oz/day")));
    assert_eq!(parse("82.4", TEMPERATURE.0, System::Us).map(|p| (p.si * 1e9).round() / 1e9), Ok(301.15));
}

#[test]
fn the_unit_chosen_beside_a_field_is_meant_where_none_is_typed() {
    let of = |text: &str, kind: &KindInfo, symbol: &str| {
        let own = kind.units.iter().find(|u| u.symbol == symbol).expect("a unit");
        (parse_in(text, kind, own).unwrap_or_else(|e| panic!("{text}: {e}")).si * 1e9).round() / 1e9
    };
    for (text, kind, symbol, expect) in [
        ("700 m", LENGTH.0, "m", 700.0),
        ("700 m", SHORT_LENGTH.0, "mm", 700.0),
        ("700", SHORT_LENGTH.0, "m", 700.0),
        ("5 ft 3", LENGTH.0, "mm", 1.6002),
        ("2 lb 8", MASS.0, "oz", 1.133980925),
        ("1 h 30", HOURS.0, "min", 5400.0),
        ("2 lb 8", MASS.0, "g", 1.133980925),
        ("10 °", TEMPERATURE.0, "°C", 283.15),
        ("50 deg", TEMPERATURE.0, "°F", 283.15),
        ("10 °", ANGLE.0, "rad", 0.174532925),
        ("3 g per day", FEED_RATE.0, "kg/day", 0.000000035),
        ("1/4", SLOPE.0, "in/ft", 0.020833333),
        ("1:40", SLOPE.0, "in/ft", 0.025),
    ] {
        assert_eq!(of(text, kind, symbol), expect, "{text} in {symbol}");
    }
    // After feet come inches, after pounds ounces, after hours minutes, whatever unit is beside the field; after others nothing is sure.
    for (text, kind) in [("5 m 6", LENGTH.0), ("2 kg 8", MASS.0), ("1 min 30", HOURS.0)] {
        assert!(parse(text, kind, System::Metric).is_err(), "{text}");
    }
}

#[test]
fn every_symbol_and_spelling_is_unique_in_its_kind_and_reads_back() {
    for kind in all() {
        for unit in kind.units {
            for name in unit.names.iter().chain([&unit.symbol]) {
                if !name.is_empty() {
                    assert_eq!(find(kind, name).map(|u| u.symbol), Some(unit.symbol), "{} {name}", kind.id);
                }
            }
        }
    }
}

#[test]
fn what_is_shown_for_editing_reads_back() {
    for kind in all() {
        for system in [System::Metric, System::Us] {
            for x in [1.0, 12.5, 1640.0, 0.0375, 273.15, 300.0] {
                let text = edit_text(kind, x, system);
                let back = parse(&text, kind, system).unwrap_or_else(|e| panic!("{text}: {e}")).si;
                let tolerance = 1e-5 * kind.unit(system).factor * (kind.unit(system).of_si(x)).abs();
                assert!((back - x).abs() <= tolerance.max(1e-9), "{}: {x} -> {text} -> {back}", kind.id);
            }
        }
    }
}

/// DIN 38409-6: a German degree of hardness is of calcium and magnesium together. Water of 15 °dH may hold 3 of carbonate hardness.
#[test]
fn hardness_is_no_alkalinity() {
    for text in ["15 dH", "15 °dH", "15 dGH", "15gh"] {
        let e = parse(text, ALKALINITY.0, System::Metric).expect_err(text);
        assert!(e.to_string().ends_with("Type the carbonate hardness, in dKH or mg/L."), "{e}");
    }
    assert!(!parse("15 dH", CONCENTRATION.0, System::Metric).expect_err("no unit").to_string().contains("dKH"));
}
