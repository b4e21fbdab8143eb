//! The kinds of quantity the app knows, with the units people type for them and the two display systems.
//!
//! Factors follow the SI Brochure and NIST SP 811 Appendix B (inch 25.4 mm exactly, US gallon 231 cubic inches exactly, avoirdupois pound
//! 0.453 592 37 kg exactly). `gal` is the US gallon, and cups, ounces of volume and spoons are parts of it. A German degree of carbonate hardness
//! is 10 mg/L of CaO (from memory), by the molar masses of CaO (56.077) and CaCO3 (100.087) as much as 17.848 mg/L of CaCO3.

use super::si::{DAY, FAHRENHEITS, HOUR, MINUTE as MIN, ZERO_CELSIUS, feet, inches};
use super::{kind::*, *};

const IN: f64 = inches(1.0);
const FT: f64 = feet(1.0);
const GAL: f64 = 3.785_411_784e-3;
const IMP_GAL: f64 = 4.546_09e-3;
const FT3: f64 = FT * FT * FT;
const LB: f64 = 0.453_592_37;
const OZ: f64 = LB / 16.0;

static LENGTHS: [Unit; 7] = [
    Unit::new("m", 1.0, &["metre", "meter", "metres", "meters", "metro", "metros"]),
    Unit::new("mm", 0.001, &["millimetre", "millimeter", "millimetres", "millimeters"]),
    Unit::new("cm", 0.01, &["centimetre", "centimeter", "centimetres", "centimeters"]),
    Unit::new("km", 1000.0, &[]),
    Unit::new("in", IN, &["\"", "inch", "inches", "''", "″", "-in", "-inch", "pulgada", "pulgadas"]),
    Unit::new("ft", FT, &["'", "foot", "feet", "′", "'-", "ft-", "-ft", "-foot"]),
    Unit::new("yd", 3.0 * FT, &["yard", "yards"]),
];
static AREAS: [Unit; 5] = [
    Unit::new("m²", 1.0, &["m2", "sqm", "m^2", "squaremetre", "squaremeter", "squaremetres", "squaremeters"]),
    Unit::new("cm²", 1e-4, &["cm2", "cm^2"]),
    Unit::new("mm²", 1e-6, &["mm2", "mm^2"]),
    Unit::new("ft²", FT * FT, &["ft2", "sqft", "ft^2", "squarefoot", "squarefeet"]),
    Unit::new("in²", IN * IN, &["in2", "sqin", "in^2"]),
];
static VOLUMES: [Unit; 11] = [
    Unit::new("L", 1e-3, &["l", "litre", "liter", "litres", "liters", "litro", "litros"]),
    Unit::new("mL", 1e-6, &["ml"]),
    Unit::new("m³", 1.0, &["m3", "m^3", "cubicmetre", "cubicmeter", "cubicmetres", "cubicmeters"]),
    Unit::new("gal", GAL, &["usgal", "gallon", "gallons", "usgallon", "usgallons"]),
    Unit::new("imp gal", IMP_GAL, &["impgal", "ukgal", "imperialgallon", "imperialgallons"]),
    Unit::new("ft³", FT3, &["ft3", "cuft", "ft^3", "cubicfoot", "cubicfeet"]),
    Unit::new("qt", GAL / 4.0, &["quart", "quarts"]),
    Unit::new("pt", GAL / 8.0, &["pint", "pints"]),
    Unit::new("cups", GAL / 16.0, &["cup"]),
    Unit::new("fl oz", GAL / 128.0, &[]),
    Unit::new("tbsp", GAL / 256.0, &["tablespoon", "tablespoons"]),
];
static FLOWS: [Unit; 13] = [
    Unit::new("L/h", 1e-3 / HOUR, &["lph"]),
    Unit::new("L/min", 1e-3 / MIN, &["lpm"]),
    Unit::new("L/s", 1e-3, &[]),
    Unit::new("L/day", 1e-3 / DAY, &[]),
    Unit::new("m³/h", 1.0 / HOUR, &["m^3/h"]),
    Unit::new("m³/s", 1.0, &["m^3/s"]),
    Unit::new("gal/h", GAL / HOUR, &["gph", "usgal/h"]),
    Unit::new("gal/min", GAL / MIN, &["gpm", "usgal/min"]),
    Unit::new("gal/day", GAL / DAY, &["gpd"]),
    Unit::new("ft³/min", FT3 / MIN, &["ft3/min", "cfm", "cuft/min"]),
    Unit::new("ft³/h", FT3 / HOUR, &["ft3/h", "cfh", "cuft/h"]),
    Unit::new("mL/min", 1e-6 / MIN, &[]),
    Unit::new("imp gal/min", IMP_GAL / MIN, &["ukgal/min"]),
];
static MASSES: [Unit; 6] = [
    Unit::new("kg", 1.0, &["kilo", "kilos", "kilogram", "kilograms"]),
    Unit::new("g", 1e-3, &["gr", "gram", "grams", "gramme", "grammes"]),
    Unit::new("mg", 1e-6, &["milligram", "milligrams"]),
    Unit::new("t", 1000.0, &["tonne", "tonnes"]),
    Unit::new("lb", LB, &["lbs", "pound", "pounds"]),
    Unit::new("oz", OZ, &["ounce", "ounces"]),
];
static MASS_RATES: [Unit; 8] = [
    Unit::new("g/day", 1e-3 / DAY, &[]),
    Unit::new("kg/day", 1.0 / DAY, &[]),
    Unit::new("g/h", 1e-3 / HOUR, &[]),
    Unit::new("kg/h", 1.0 / HOUR, &[]),
    Unit::new("mg/h", 1e-6 / HOUR, &[]),
    Unit::new("oz/day", OZ / DAY, &[]),
    Unit::new("lb/day", LB / DAY, &[]),
    Unit::new("kg/s", 1.0, &[]),
];
static CONCENTRATIONS: [Unit; 4] = [
    Unit::new("mg/L", 1e-3, &["mg/l", "ppm", "g/m3"]),
    Unit::new("g/L", 1.0, &["g/l", "ppt", "‰", "psu"]),
    Unit::new("µg/L", 1e-6, &["ug/l", "μg/l", "ppb"]),
    Unit::new("kg/m³", 1.0, &["kg/m3"]),
];
static ALKALINITIES: [Unit; 5] = {
    let [a, b, c, d] = CONCENTRATIONS;
    [a, b, c, d, Unit::new("dKH", 0.01 * 100.087 / 56.077, &["kh"])]
};
static TEMPERATURES: [Unit; 3] = [
    Unit::offset("°C", 1.0, ZERO_CELSIUS, &["celsius"]),
    Unit::offset("°F", 1.0 / FAHRENHEITS, 459.67 * 5.0 / 9.0, &["fahrenheit"]),
    Unit::new("K", 1.0, &["k", "kelvin"]),
];
static TEMPERATURE_DIFFERENCES: [Unit; 3] = [
    Unit::new("°C", 1.0, &["celsius"]),
    Unit::new("°F", 1.0 / FAHRENHEITS, &["fahrenheit"]),
    Unit::new("K", 1.0, &["k", "kelvin"]),
];
static TEMPERATURE_RATES: [Unit; 4] = [
    Unit::new("°C/h", 1.0 / HOUR, &["celsius/h"]),
    Unit::new("°F/h", 1.0 / FAHRENHEITS / HOUR, &["fahrenheit/h"]),
    Unit::new("K/h", 1.0 / HOUR, &["kelvin/h"]),
    Unit::new("K/s", 1.0, &[]),
];
static AREAL_RATES: [Unit; 4] = [
    Unit::new("g/m²/day", 1e-3 / DAY, &["g/(m2d)"]),
    Unit::new("g/ft²/day", 1e-3 / DAY / (FT * FT), &[]),
    Unit::new("oz/ft²/day", OZ / DAY / (FT * FT), &[]),
    Unit::new("kg/m²/s", 1.0, &["kg/m2/s"]),
];
static AREAL_MASSES: [Unit; 2] =
    [Unit::new("kg/m²", 1.0, &["kg/m2"]), Unit::new("lb/ft²", LB / (FT * FT), &["lb/ft2", "psf"])];
static PRESSURES: [Unit; 6] = [
    Unit::new("kPa", 1000.0, &["kpa"]),
    Unit::new("Pa", 1.0, &["pa"]),
    Unit::new("hPa", 100.0, &["hpa", "mbar"]),
    Unit::new("bar", 1e5, &[]),
    Unit::new("psi", LB * 9.806_65 / (IN * IN), &["lb/in2"]),
    Unit::new("atm", 101_325.0, &[]),
];
static POWERS: [Unit; 3] = [
    Unit::new("W", 1.0, &["w", "watt", "watts"]),
    Unit::new("kW", 1000.0, &["kw"]),
    Unit::new("hp", 745.699_871_582_270_2, &[]),
];
static ENERGIES: [Unit; 4] = [
    Unit::new("kWh", 3.6e6, &["kwh"]),
    Unit::new("Wh", HOUR, &["wh"]),
    Unit::new("J", 1.0, &["j"]),
    Unit::new("MJ", 1e6, &["mj"]),
];
static TIMES: [Unit; 7] = [
    Unit::new("s", 1.0, &["sec", "second", "seconds"]),
    Unit::new("min", MIN, &["minute", "minutes", "minuto", "minutos"]),
    Unit::new("h", HOUR, &["hr", "hrs", "hour", "hours", "hora", "horas"]),
    Unit::new("days", DAY, &["d", "day"]),
    Unit::new("weeks", 7.0 * DAY, &["wk", "week"]),
    Unit::new("months", si::months(1.0), &["month"]),
    Unit::new("years", si::years(1.0), &["yr", "yrs", "year"]),
];
static DENSITIES: [Unit; 5] = [
    Unit::new("kg/m³", 1.0, &["kg/m3", "g/l"]),
    Unit::new("g/cm³", 1000.0, &["g/cm3", "kg/l"]),
    Unit::new("lb/gal", LB / GAL, &[]),
    Unit::new("lb/ft³", LB / FT3, &["lb/ft3"]),
    Unit::new("g/m³", 1e-3, &["g/m3"]),
];
static ANGLES: [Unit; 2] =
    [Unit::new("°", std::f64::consts::PI / 180.0, &[]), Unit::new("rad", 1.0, &["radian", "radians"])];
// No percent: a pH of "720 %" would be one of 7.2.
static RATIOS: [Unit; 1] = [Unit::new("", 1.0, &[])];
static MASS_PRICES: [Unit; 2] = [Unit::new("/kg", 1.0, &[]), Unit::new("/lb", 1.0 / LB, &[])];
static VOLUME_PRICES: [Unit; 3] = [
    Unit::new("/m³", 1.0, &["/m3"]),
    Unit::new("/1000 gal", 1e-3 / GAL, &["/1000gal", "/kgal"]),
    Unit::new("/L", 1e3, &["/l"]),
];
static ENERGY_PRICES: [Unit; 2] =
    [Unit::new("/kWh", 1.0, &["/kwh"]), Unit::new("ct/kWh", 0.01, &["c/kwh", "¢/kwh", "cents/kwh", "p/kwh"])];
static PERCENTS: [Unit; 4] = [
    Unit::new("%", 0.01, &["percent", "pct"]),
    Unit::new("(fraction)", 1.0, &["fraction"]),
    Unit::new("in/ft", IN / FT, &["in/ft", "inperft"]),
    Unit::new("mm/m", 1e-3, &[]),
];
static COUNTS: [Unit; 1] = [Unit::new("", 1.0, &["fish", "plants", "pcs", "pieces"])];
static VELOCITIES: [Unit; 7] = [
    Unit::new("m/s", 1.0, &[]),
    Unit::new("mm/s", 1e-3, &[]),
    Unit::new("m/h", 1.0 / HOUR, &[]),
    Unit::new("m/day", 1.0 / DAY, &[]),
    Unit::new("ft/s", FT, &["fps"]),
    Unit::new("gal/min/ft²", GAL / MIN / (FT * FT), &["gal/min/ft2", "gpm/ft2"]),
    Unit::new("cm/s", 0.01, &[]),
];
static SPECIFIC_RATES: [Unit; 5] = [
    Unit::new("%/day", 0.01 / DAY, &["percent/day"]),
    Unit::new("mg/kg/h", 1e-6 / HOUR, &["mg/(kgh)"]),
    Unit::new("g/kg/h", 1e-3 / HOUR, &[]),
    Unit::new("1/s", 1.0, &["/s"]),
    Unit::new("1/h", 1.0 / HOUR, &["/h"]),
];
static SPECIFIC_AREAS: [Unit; 2] = [Unit::new("m²/m³", 1.0, &["m2/m3"]), Unit::new("ft²/ft³", 1.0 / FT, &["ft2/ft3"])];
static PLANT_DENSITIES: [Unit; 2] =
    [Unit::new("/m²", 1.0, &["/m2", "plants/m2", "m-2"]), Unit::new("/ft²", 1.0 / (FT * FT), &["/ft2", "plants/ft2"])];

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident: $t:ty = $id:literal, $words:literal, $si:literal, $units:ident, $metric:literal, $us:literal, $whole:literal;)*) => {
        $($(#[$doc])* pub const $name: Kind<$t> = Kind::new({
            static INFO: KindInfo =
                KindInfo { id: $id, name: $words, si: $si, units: &$units, metric: $metric, us: $us, whole: $whole };
            &INFO
        });)*
        /// Every kind, for tests and for documentation.
        pub fn all() -> Vec<&'static KindInfo> {
            vec![$($name.0),*]
        }
    };
}

/// A change of temperature in a time (K/s): `uom` has no name for it here.
pub type TemperatureRate = <TemperatureInterval as std::ops::Div<Time>>::Output;
/// Number of things per area (1/m²); `uom` has the dimension but no name for it here.
pub type PerArea = uom::si::f64::ArealNumberDensity;

kinds! {
    /// Lengths of rooms, lifts, runs and altitudes.
    LENGTH: Length = "length", "length", "m", LENGTHS, "m", "ft", false;
    /// Bores, levels, depths on a tape: shown in millimetres or inches.
    SHORT_LENGTH: Length = "length", "length", "m", LENGTHS, "mm", "in", false;
    /// Plan and surface areas.
    AREA: Area = "area", "area", "m2", AREAS, "m²", "ft²", false;
    /// Hole and slot areas.
    SMALL_AREA: Area = "area", "area", "m2", AREAS, "cm²", "in²", false;
    /// Tank and bed volumes.
    VOLUME: Volume = "volume", "volume", "m3", VOLUMES, "L", "gal", false;
    /// Scoops and cups.
    SMALL_VOLUME: Volume = "volume", "volume", "m3", VOLUMES, "mL", "cups", false;
    /// Water flow.
    FLOW: VolumeRate = "flow", "flow", "m3/s", FLOWS, "L/h", "gal/h", false;
    /// Small daily water volumes, such as sludge drawn.
    DAILY_VOLUME: VolumeRate = "flow", "daily volume", "m3/s", FLOWS, "L/day", "gal/day", false;
    /// Air flow.
    AIR_FLOW: VolumeRate = "flow", "air flow", "m3/s", FLOWS, "L/min", "ft³/min", false;
    /// Masses of stock, feed bags, loads.
    MASS: Mass = "mass", "mass", "kg", MASSES, "kg", "lb", false;
    /// Mass of one fish, of a meal.
    SMALL_MASS: Mass = "mass", "mass", "kg", MASSES, "g", "oz", false;
    /// Feed a day.
    FEED_RATE: MassRate = "mass rate", "feed a day", "kg/s", MASS_RATES, "g/day", "oz/day", false;
    /// Oxygen and ammonia rates.
    OXYGEN_RATE: MassRate = "mass rate", "mass a time", "kg/s", MASS_RATES, "g/h", "g/h", false;
    /// Dissolved matter in water.
    CONCENTRATION: MassConcentration = "concentration", "concentration", "kg/m3", CONCENTRATIONS, "mg/L", "mg/L", false;
    /// Salt, in grams per litre (close to PSS-78 for this use).
    SALINITY: MassConcentration = "concentration", "salinity", "kg/m3", CONCENTRATIONS, "g/L", "g/L", false;
    /// Alkalinity as calcium carbonate.
    ALKALINITY: MassConcentration = "concentration", "concentration", "kg/m3", ALKALINITIES, "mg/L", "mg/L", false;
    /// A temperature on the thermometer.
    TEMPERATURE: ThermodynamicTemperature = "temperature", "temperature", "K", TEMPERATURES, "°C", "°F", false;
    /// A difference of temperatures.
    TEMPERATURE_DIFFERENCE: TemperatureInterval = "temperature difference", "temperature difference", "K", TEMPERATURE_DIFFERENCES, "°C", "°F", false;
    /// How fast water warms or cools.
    TEMPERATURE_RATE: TemperatureRate = "temperature rate", "change of temperature in a time", "K/s", TEMPERATURE_RATES, "°C/h", "°F/h", false;
    /// Feed per plant area per day, nitrification per media area.
    AREAL_RATE: MassFlux = "areal rate", "rate per area", "kg/m2/s", AREAL_RATES, "g/m²/day", "g/ft²/day", false;
    /// Load on a floor.
    AREAL_MASS: ArealMassDensity = "areal mass", "load per area", "kg/m2", AREAL_MASSES, "kg/m²", "lb/ft²", false;
    /// Pressure.
    PRESSURE: Pressure = "pressure", "pressure", "Pa", PRESSURES, "kPa", "psi", false;
    /// Power.
    POWER: Power = "power", "power", "W", POWERS, "W", "W", false;
    /// Energy.
    ENERGY: Energy = "energy", "energy", "J", ENERGIES, "kWh", "kWh", false;
    /// Short times.
    MINUTES: Time = "time", "time", "s", TIMES, "min", "min", false;
    /// Seconds on a stopwatch.
    SECONDS: Time = "time", "time", "s", TIMES, "s", "s", false;
    /// Hours.
    HOURS: Time = "time", "time", "s", TIMES, "h", "h", false;
    /// Days.
    DAYS: Time = "time", "time", "s", TIMES, "days", "days", false;
    /// Years.
    YEARS: Time = "time", "time", "s", TIMES, "years", "years", false;
    /// Stocking density: fish mass per water volume.
    STOCKING: MassDensity = "density", "density", "kg/m3", DENSITIES, "kg/m³", "lb/gal", false;
    /// Density of a material.
    DENSITY: MassDensity = "density", "density", "kg/m3", DENSITIES, "kg/m³", "lb/ft³", false;
    /// An angle.
    ANGLE: Angle = "angle", "angle", "rad", ANGLES, "°", "°", false;
    /// A plain number, such as a loss coefficient.
    RATIO: Ratio = "ratio", "number", "1", RATIOS, "", "", false;
    /// A share, shown in percent.
    PERCENT: Ratio = "share", "share", "1", PERCENTS, "%", "%", false;
    /// Fall per length, shown in percent.
    SLOPE: Ratio = "slope", "slope", "1", PERCENTS, "%", "%", false;
    /// A count of fish, plants, stones.
    COUNT: Ratio = "count", "number", "1", COUNTS, "", "", true;
    /// Water speed.
    VELOCITY: Velocity = "velocity", "speed", "m/s", VELOCITIES, "m/s", "ft/s", false;
    /// How fast water rises in a settler.
    OVERFLOW_RATE: Velocity = "velocity", "overflow rate", "m/s", VELOCITIES, "mm/s", "gal/min/ft²", false;
    /// Surface transfer velocity.
    TRANSFER_VELOCITY: Velocity = "velocity", "transfer velocity", "m/s", VELOCITIES, "m/day", "m/day", false;
    /// Feed per fish mass per day, growth per day.
    DAILY_SHARE: SpecificRate = "specific rate", "share a day", "1/s", SPECIFIC_RATES, "%/day", "%/day", false;
    /// Oxygen per fish mass per hour.
    RESPIRATION: SpecificRate = "specific rate", "oxygen per fish mass", "1/s", SPECIFIC_RATES, "mg/kg/h", "mg/kg/h", false;
    /// Turnovers an hour.
    TURNOVER: SpecificRate = "specific rate", "turnover", "1/s", SPECIFIC_RATES, "1/h", "1/h", false;
    /// Surface of a filter medium in its volume.
    MEDIA_AREA: uom::si::f64::ReciprocalLength = "media area", "surface per volume", "1/m", SPECIFIC_AREAS, "m²/m³", "ft²/ft³", false;
    /// Plants per area.
    PLANT_DENSITY: PerArea = "per area", "number per area", "1/m2", PLANT_DENSITIES, "/m²", "/ft²", false;
    /// Money, with whatever currency the person keeps books in.
    MONEY: Ratio = "money", "money", "1", RATIOS, "", "", false;
    /// What a mass costs.
    PRICE_MASS: Ratio = "money", "price by weight", "1/kg", MASS_PRICES, "/kg", "/lb", false;
    /// What a volume costs.
    PRICE_VOLUME: Ratio = "money", "price by volume", "1/m3", VOLUME_PRICES, "/m³", "/1000 gal", false;
    /// What a kilowatt-hour costs.
    PRICE_ENERGY: Ratio = "money", "price by energy", "1/kWh", ENERGY_PRICES, "/kWh", "/kWh", false;
}
