//! The edge of numbers: quantity kinds, what a person types, and how a number is shown. Nothing here calculates.
//!
//! Inside the crate every quantity is a `uom` type in SI. A [`Kind`] ties such a type to the units that people type and read.

mod format;
mod kind;
pub mod kinds;
mod order;
mod parse;

pub use format::{
    System, THIN, Words, apart, clock, edit_text, finely, listed, lower, money, number, sentence, show, show_number,
    show_unit, significant, spoken,
};
pub use kind::{Kind, KindInfo, Q, Unit};
pub use order::arrange;
pub use parse::{ParseError, Parsed, parse, parse_in, parse_typed, plain_number};

pub use uom::si::f64::{
    Acceleration, Angle, Area, ArealMassDensity, DynamicViscosity, Energy, Frequency, HeatTransfer, KinematicViscosity,
    Length, Mass, MassConcentration, MassDensity, MassFlux, MassRate, Power, Pressure, Ratio, SpecificArea,
    TemperatureInterval, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};

/// A rate per unit of what it acts on, such as grams of oxygen per kilogram of fish per second (1/s).
pub type SpecificRate = Frequency;

/// Short constructors of SI values, so that a declaration can say `mm(50.0)` for 0.05. Each returns the plain SI number.
pub mod si {
    /// A minute, in seconds.
    pub const MINUTE: f64 = 60.0;
    /// An hour, in seconds.
    pub const HOUR: f64 = 3600.0;
    /// A day, in seconds.
    pub const DAY: f64 = 86_400.0;
    /// 0 °C, in kelvin.
    pub const ZERO_CELSIUS: f64 = 273.15;
    /// Degrees Fahrenheit in a degree Celsius.
    pub const FAHRENHEITS: f64 = 1.8;

    /// Degrees Fahrenheit of degrees Celsius.
    pub const fn fahrenheit_of(celsius: f64) -> f64 {
        celsius * FAHRENHEITS + 32.0
    }
    /// Degrees Celsius of degrees Fahrenheit.
    pub const fn of_fahrenheit(x: f64) -> f64 {
        (x - 32.0) / FAHRENHEITS
    }
    /// Inches, in metres.
    pub const fn inches(x: f64) -> f64 {
        x * 0.0254
    }
    /// Feet, in metres.
    pub const fn feet(x: f64) -> f64 {
        x * 0.3048
    }
    /// Millimetres, in metres.
    pub const fn mm(x: f64) -> f64 {
        x / 1000.0
    }
    /// Litres, in cubic metres.
    pub const fn l(x: f64) -> f64 {
        x / 1000.0
    }
    /// Litres per hour, in cubic metres per second.
    pub const fn l_h(x: f64) -> f64 {
        x / 3.6e6
    }
    /// Litres per minute, in cubic metres per second.
    pub const fn l_min(x: f64) -> f64 {
        x / 6.0e4
    }
    /// Grams, in kilograms.
    pub const fn g(x: f64) -> f64 {
        x / 1000.0
    }
    /// Grams per day, in kilograms per second.
    pub const fn g_day(x: f64) -> f64 {
        x / 8.64e7
    }
    /// Grams per hour, in kilograms per second.
    pub const fn g_h(x: f64) -> f64 {
        x / 3.6e6
    }
    /// Milligrams per litre, in kilograms per cubic metre.
    pub const fn mg_l(x: f64) -> f64 {
        x / 1000.0
    }
    /// Degrees Celsius, in kelvin.
    pub const fn celsius(x: f64) -> f64 {
        x + ZERO_CELSIUS
    }
    /// Percent, as a plain ratio.
    pub const fn percent(x: f64) -> f64 {
        x / 100.0
    }
    /// Percent per day, per second.
    pub const fn percent_day(x: f64) -> f64 {
        x / 8.64e6
    }
    /// Grams per square metre per day, in kilograms per square metre per second.
    pub const fn g_m2_day(x: f64) -> f64 {
        x / 8.64e7
    }
    /// Milligrams per kilogram per hour, per second.
    pub const fn mg_kg_h(x: f64) -> f64 {
        x / 3.6e9
    }
    /// Days, in seconds.
    pub const fn days(x: f64) -> f64 {
        x * DAY
    }
    /// Years of the calendar (365.25 days in the mean), in seconds. One year and one month for all that is counted.
    pub const fn years(x: f64) -> f64 {
        days(365.25 * x)
    }
    /// Months, twelfths of a year, in seconds.
    pub const fn months(x: f64) -> f64 {
        years(x / 12.0)
    }
    /// Hours, in seconds.
    pub const fn hours(x: f64) -> f64 {
        x * HOUR
    }
    /// Kelvin (or degrees Celsius) an hour, in kelvin per second.
    pub const fn k_h(x: f64) -> f64 {
        x / HOUR
    }
    /// Minutes, in seconds.
    pub const fn minutes(x: f64) -> f64 {
        x * MINUTE
    }
    /// Millimetres per second, in metres per second.
    pub const fn mm_s(x: f64) -> f64 {
        x / 1000.0
    }
}
