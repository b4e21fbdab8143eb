//! Power-cut reserve.

use super::deadly::Deadly;
use super::form::*;
use super::handling;
use super::heat::{Heat, HeatIn, On};
use super::mend;
use super::outcome::*;
use super::sheet::Calculator;
use super::{oxygen, piping};
use crate::catalog::diffusers::{Diffuser, MEDIUM};
use crate::catalog::sources::{climate as src, general::ELEMENTARY, oxygen as oxygen_src, waterways::RESIDUAL_CURRENT};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Picture, Role, Series};
use crate::science::oxygen_balance::Supply;
use crate::science::oxygen_saturation::{self, OutOfRange};
use crate::science::reserve::{self, Bubbles, LastMeal};
use crate::science::respiration::{self, Meals, Regression, Solids};
use crate::science::{aeration, ammonia, feeding};
use crate::units::{kinds::*, si::*, *};

crate::choices!(LastMeal:
    Just = "just", "Within four hours", "";
    Today = "today", "Today", "";
    Day = "day", "A day ago or more", "";
);

/// What is known of the fish and of their feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Known {
    /// All of them together, and their feed.
    #[default]
    Weight,
    /// How many, and their mean mass.
    Number,
    /// That, and their feed.
    NumberFed,
}
crate::choices!(Known:
    Weight = "weight", "By weight in all, with their feed", "";
    Number = "number", "By number and mean mass", "fed as the tables say";
    NumberFed = "number_fed", "By number and mean mass, with their feed", "";
);

/// Inputs.
#[derive(Debug, Clone)]
pub struct OutageIn {
    /// Which fish.
    pub species: &'static Species,
    /// All of them.
    pub fish: Mass,
    /// One of them.
    pub mass: Mass,
    /// Water of the fish tank.
    pub volume: Volume,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Feed a day.
    pub feed: MassRate,
    /// Last meal.
    pub last: LastMeal,
    /// Meals a day.
    pub meals: Meals,
    /// Oxygen when it stops.
    pub oxygen: MassConcentration,
    /// Surface of the tank.
    pub surface: Area,
    /// Height above the sea.
    pub altitude: Length,
    /// Cut to bridge.
    pub cut: Time,
    /// Is there a battery air pump?
    pub battery: YesNo,
    /// Air it delivers.
    pub air: VolumeRate,
    /// Depth of its stone.
    pub depth: Length,
    /// Its stone.
    pub diffuser: &'static Diffuser,
    /// Energy of the battery.
    pub capacity: Energy,
    /// Of which usable.
    pub usable: Ratio,
    /// Watts of the pump.
    pub power: Power,
    /// Air temperature around the tank.
    pub around: ThermodynamicTemperature,
    /// Covered?
    pub covered: YesNo,
    /// What becomes of the solids.
    pub solids: Solids,
    /// Salt.
    pub salinity: MassConcentration,
    /// What is known of the fish.
    pub by: Known,
    /// How many.
    pub count: Ratio,
}

impl Default for OutageIn {
    fn default() -> Self {
        let t = |c| TEMPERATURE.of(celsius(c));
        Self {
            species: &SPECIES[0],
            fish: MASS.of(8.0),
            mass: SMALL_MASS.of(0.25),
            volume: VOLUME.of(l(900.0)),
            temperature: t(26.0),
            feed: FEED_RATE.of(g_day(120.0)),
            last: LastMeal::Today,
            meals: Meals::Spread,
            oxygen: CONCENTRATION.of(mg_l(5.0)),
            surface: AREA.of(1.2),
            altitude: LENGTH.of(0.0),
            cut: HOURS.of(hours(4.0)),
            battery: YesNo::No,
            air: AIR_FLOW.of(l_min(12.0)),
            depth: LENGTH.of(0.6),
            diffuser: MEDIUM,
            capacity: ENERGY.of(240.0 * 3600.0),
            usable: PERCENT.of(0.5),
            power: POWER.of(15.0),
            around: t(16.0),
            covered: YesNo::No,
            solids: Solids::Settled,
            salinity: SALINITY.of(0.0),
            by: Known::Weight,
            count: COUNT.of(30.0),
        }
    }
}

/// Height above the sea of water that stands.
pub(crate) const fn altitude(tag: u8) -> Field<Length> {
    Field::new(tag, "altitude", "Height above the sea", LENGTH)
        .range(-430.0, 5000.0)
        .advised(-430.0, 4000.0)
        .help("High up, water holds less oxygen.")
        .detail()
}

impl Fields for OutageIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let battery = self.battery.yes();
        pick(f, &Pick::new(1, "species", "Fish"), &mut self.species);
        let by = self.by;
        pick(f, &Pick::new(24, "by", "They are entered").help("Whichever you know."), &mut self.by);
        group(f, &Group::when("by", "weight"), by == Known::Weight, &mut |f| {
            let fish = Field::new(2, "fish", "All of them together", MASS)
                .range(0.001, 5000.0)
                .advised(0.05, 500.0)
                .help("Number times mean mass.");
            num(f, &fish, &mut self.fish);
        });
        group(f, &Group::when("by", "number|number_fed"), by != Known::Weight, &mut |f| {
            let count = Field::new(25, "count", "How many", COUNT).range(1.0, 20_000.0).advised(1.0, 3000.0);
            num(f, &count.help("As last counted. The mass of one is asked below."), &mut self.count);
        });
        let volume = Field::new(3, "volume", "Water of the fish tank", VOLUME)
            .range(l(5.0), 200.0)
            .advised(l(30.0), 50.0)
            .help("What the fish are left with when the pump stops: not beds and sump.")
            .way(Way::TapeVolume);
        num(f, &volume, &mut self.volume);
        let warm = Field::new(4, "temperature", "Water temperature", TEMPERATURE)
            .range(celsius(1.0), celsius(39.0))
            .advised(celsius(4.0), celsius(34.0))
            .help("Warm water holds less and fish breathe more.");
        num(f, &warm, &mut self.temperature);
        pick(f, &Pick::new(5, "last", "Last fed"), &mut self.last);
        group(f, &Group::when("by", "weight|number_fed"), by != Known::Number, &mut |f| {
            let feed = Field::new(6, "feed", "Feed a day", FEED_RATE)
                .range(0.0, g_day(1e6))
                .advised(0.0, g_day(20e3))
                .likely(g_day(80.0), g_day(200.0))
                .help("It sets how hard they breathe, and what lives in the water with them.");
            num(f, &feed, &mut self.feed);
        });
        let cut = Field::new(7, "cut", "Power cut to bridge", HOURS)
            .range(hours(0.05), hours(200.0))
            .advised(hours(0.25), hours(72.0))
            .help("Until the power is back, or until you are.");
        num(f, &cut, &mut self.cut);
        pick(f, &Pick::new(8, "battery", "Is there a battery air pump?"), &mut self.battery);
        group(f, &Group::when("battery", "yes"), battery, &mut |f| {
            let air = Field::new(9, "air", "Air it delivers at the stone", AIR_FLOW)
                .range(0.0, l_min(2000.0))
                .advised(l_min(1.0), l_min(200.0))
                .likely(l_min(5.0), l_min(15.0))
                .help("About half of what stands on the box.");
            num(f, &air, &mut self.air);
            let depth = Field::new(10, "depth", "Depth of the stone", LENGTH)
                .range(0.02, 3.0)
                .advised(0.1, 1.5)
                .help("Under the water line.");
            num(f, &depth, &mut self.depth);
            pick(f, &Pick::new(11, "diffuser", "Stone").detail(), &mut self.diffuser);
            let capacity = Field::new(12, "capacity", "Battery", ENERGY)
                .range(0.0, 50_000.0 * WH)
                .advised(2.0 * WH, 5000.0 * WH)
                .help("Volts times ampere-hours: 12 V and 20 Ah are 240 Wh.");
            num(f, &capacity, &mut self.capacity);
            let power = Field::new(13, "power", "The pump draws", POWER)
                .range(0.1, 5000.0)
                .advised(0.5, 300.0)
                .help("With the inverter, if there is one.");
            num(f, &power, &mut self.power);
            let usable = Field::new(14, "usable", "Usable of the battery", PERCENT)
                .range(0.05, 1.0)
                .advised(0.3, 0.95)
                .likely(0.4, 0.8)
                .help("Half of a lead battery, four fifths of lithium.")
                .source(&src::BATTERY)
                .detail();
            num(f, &usable, &mut self.usable);
        });
        group(f, &Group::titled("More about tank and weather"), true, &mut |f| {
            let mass = Field::new(15, "mass", "Mass of one fish", SMALL_MASS)
                .range(2e-4, 20.0)
                .advised(5e-4, 3.0)
                .help("Small fish breathe more for their weight.")
                .way(Way::SampleMass);
            num(f, &mass, &mut self.mass);
            pick(f, &Pick::new(16, "meals", "Fed in").detail(), &mut self.meals);
            let oxygen = Field::new(17, "oxygen", "Oxygen when it stops", CONCENTRATION)
                .range(0.0, mg_l(40.0))
                .advised(mg_l(3.0), mg_l(13.0))
                .likely(mg_l(4.5), mg_l(7.5))
                .help("A reading at dawn, or just after a meal: then it is lowest.");
            num(f, &oxygen, &mut self.oxygen);
            let surface = Field::new(18, "surface", "Surface of the tank", AREA)
                .range(0.0, 400.0)
                .advised(0.05, 100.0)
                .help("It brings in little when nothing stirs it.")
                .detail();
            num(f, &surface, &mut self.surface);
            num(f, &altitude(19), &mut self.altitude);
            num(f, &oxygen::salinity(23), &mut self.salinity);
            let around = Field::new(20, "around", "Air around the tank", TEMPERATURE)
                .range(celsius(-45.0), celsius(40.0))
                .advised(celsius(-25.0), celsius(38.0))
                .likely(celsius(5.0), celsius(20.0))
                .help("On the night you fear.");
            num(f, &around, &mut self.around);
            pick(f, &Pick::new(21, "covered", "Is the tank covered?").detail(), &mut self.covered);
            pick(f, &Pick::new(22, "solids", "Solids").detail(), &mut self.solids);
        });
    }
}

const WH: f64 = 3600.0;
/// Longest time that is told, h: past it, it does not run out.
const LONG: f64 = 240.0;

/// The result. Ranges run from just-fed fish with the whole system's demand to resting fish.
#[derive(Debug, Clone)]
pub struct OutageOut {
    /// Demand on the tank, low and high.
    pub demand: (MassRate, MassRate),
    /// Nothing runs: to the floor of this fish.
    pub caution: (Time, Time),
    /// Nothing runs: to its critical oxygen.
    pub critical: (Time, Time),
    /// With what there is (battery or not): to the critical oxygen.
    pub lasts: (Time, Time),
    /// What the battery pump brings in at the floor, if there is one.
    pub brings: Option<MassRate>,
    /// How long the battery runs it.
    pub runs: Option<Time>,
    /// Where the oxygen settles with it, cautious end; missing where it cannot be met.
    pub settles: Option<MassConcentration>,
    /// Until it is so cold that the fish die, if it gets so.
    pub cold: Option<Time>,
    /// Until the surface may freeze over, if it may before the power is back.
    pub ice: Option<Time>,
    /// Cut to bridge.
    pub cut: Time,
    /// Air that would hold the floor against the high demand, if any can.
    pub air_needed: Option<VolumeRate>,
    deadly: Option<Deadly>,
    /// Oxygen that is counted when it stops.
    from: MassConcentration,
    still: Supply,
    aired: Supply,
}

/// Water whose saturation is not known, by the field that says so.
pub(crate) fn refused(e: OutOfRange) -> Vec<FieldError> {
    let path = match e.what {
        "altitude" | "air pressure" => "altitude",
        "salinity" => "salinity",
        _ => "temperature",
    };
    vec![FieldError::new(path, e.to_string(), format!("{} to {} {}", e.low, e.high, e.unit))]
}

impl OutageIn {
    fn total(&self) -> Mass {
        if self.by == Known::Weight { self.fish } else { self.mass * self.count }
    }
    fn fed(&self) -> MassRate {
        match self.by {
            Known::Number => {
                feeding::feed(feeding::ration_before(self.species, self.mass, self.temperature), self.count, self.mass)
            }
            Known::Weight | Known::NumberFed => self.feed,
        }
    }
    fn bubbles(&self, air: VolumeRate) -> Bubbles {
        Bubbles { air, depth: self.depth, efficiency: aeration::efficiency(self.diffuser, self.depth).0 }
    }
    /// Standing water, and with an amount of air.
    fn supplies(&self, air: VolumeRate) -> Result<(Supply, Supply), Vec<FieldError>> {
        let pressure = oxygen_saturation::pressure_at(self.altitude).map_err(refused)?;
        let with = |bubbles| reserve::standing(self.temperature, self.salinity, pressure, self.surface, bubbles);
        Ok((with(None).map_err(refused)?, with(Some(&self.bubbles(air))).map_err(refused)?))
    }
    /// Fish that live under ice do not die of cold: the water would have to freeze through.
    fn cold(&self) -> Option<Time> {
        let limit = self.species.dies_below();
        if limit > TEMPERATURE.of(celsius(0.0)) { self.cooled_to(limit) } else { None }
    }
    /// Only for fish that live in such water at all.
    fn ice(&self) -> Option<Time> {
        let [frozen, heaviest] = [0.0, HEAVIEST].map(|c| TEMPERATURE.of(celsius(c)));
        let may = self.around < frozen && self.species.dies_below() <= heaviest;
        if may { self.cooled_to(heaviest).filter(|t| *t < self.cut) } else { None }
    }
    fn cooled_to(&self, limit: ThermodynamicTemperature) -> Option<Time> {
        if self.temperature <= limit {
            // At the very limit they die once it gets colder.
            return (self.temperature < limit || self.around < limit).then(|| HOURS.of(0.0));
        }
        let heat = HeatIn {
            volume: self.volume,
            surface: AREA.of(self.surface.value.max(SMALLEST_SURFACE)),
            water: self.temperature,
            night: self.around,
            mean: self.around,
            cover: if self.covered.yes() { On::Film } else { On::Open },
            makeup: FLOW.of(0.0),
            // It cools from where it is, whatever could be held.
            heater: POWER.of(0.0),
            coldest: limit,
            ..HeatIn::default()
        };
        Heat::solve(&heat, &mut Working::none()).ok().and_then(|h| h.hours)
    }
}
const SMALLEST_SURFACE: f64 = 0.02;
/// Water is heaviest at this temperature, °C: what is colder lies on top and freezes ([`src::ICE`]).
const HEAVIEST: f64 = 4.0;
/// No battery pump gives more, m³/s.
const MOST_AIR: f64 = l_min(60_000.0);

fn level_of(o: &OutageOut) -> Level {
    Level::upper_range("time", "Oxygen until the power is back", MINUTES, (o.cut, o.cut), o.lasts)
}

fn cold_of(o: &OutageOut, t: Time) -> Level {
    Level::upper("cold", "Warmth until the power is back", HOURS, o.cut, t)
}

fn levels(_: &OutageIn, o: &OutageOut) -> Vec<Level> {
    let mut all = vec![level_of(o)];
    if let Some(t) = o.cold.filter(|_| o.deadly.is_none()) {
        all.push(cold_of(o, t));
    }
    all
}

/// Power-cut reserve.
pub struct Outage;

impl Calculator for Outage {
    type In = OutageIn;
    type Out = OutageOut;
    const ID: &'static str = "outage";
    const TITLE: &'static str = "Power-cut reserve";
    const QUESTION: &'static str = "The power is off: how long have I got?";
    const URGENT: bool = true;
    const ANSWER: &'static str = "critical";
    const ABOUT: &'static str = "Minutes from the moment that pump and air stop until the oxygen is low and until it is critical, from resting fish to just-fed fish with everything else that breathes; hours until it is too cold; what a battery air pump buys, and what to do in which order. Fish pack together and the water does not mix: count on the low end. An alarm and a practised plan are worth more than any estimate.";

    fn solve(i: &OutageIn, w: &mut Working) -> Result<OutageOut, Vec<FieldError>> {
        let (still, aired) = i.supplies(i.air)?;
        let (total, fed) = (i.total(), i.fed());
        let ration = DAILY_SHARE.of(fed.value / total.value);
        let breath = respiration::daily_mean(Regression::of(i.species.id), i.temperature, i.mass, ration);
        let fish = OXYGEN_RATE.of(breath.mean.value * total.value);
        let factors = reserve::meal_range(i.last, i.meals);
        let nitrogen = ammonia::tan_from_feed(fed, i.species.protein());
        let film = respiration::nitrifiers(nitrogen) + fed * RATIO.of(i.solids.per_feed().value);
        let demand = reserve::demand(fish, factors, film);
        let (floor, critical) = (i.species.oxygen_floor(), i.species.oxygen_critical());
        let longest = HOURS.of(hours(LONG));
        let down = |s: &Supply, d: MassRate, from: MassConcentration, to: MassConcentration| {
            s.time_down(i.volume, d, critical, from, to).filter(|t| *t < longest).unwrap_or(longest)
        };
        // More than the water holds leaves it soon, and is mostly a meter that wants calibrating.
        let from = i.oxygen.min(still.saturation);
        let pair = |to: MassConcentration| (down(&still, demand.1, from, to), down(&still, demand.0, from, to));
        let (caution, crisis) = (pair(floor), pair(critical));
        let runs = HOURS.of((i.capacity.value * i.usable.value / i.power.value).min(longest.value));
        let lasts_at = |d: MassRate| {
            if !i.battery.yes() {
                return down(&still, d, from, critical);
            }
            // What is critical already and comes up at once with the pump lasts as long as that runs.
            let back = HOURS.of(reserve::BACK_WITHIN.value * 60.0).min(runs);
            let rises = from <= critical && aired.after(i.volume, d, from, back) > critical;
            let with = if rises { longest } else { down(&aired, d, from, critical) };
            if with <= runs {
                return with;
            }
            // The battery runs down first; what oxygen is left then carries on.
            let left = aired.after(i.volume, d, from, runs);
            let all = runs + down(&still, d, left, critical);
            if all < longest { all } else { longest }
        };
        let lasts = (lasts_at(demand.1), lasts_at(demand.0));
        let one = i.supplies(AIR_FLOW.of(1.0))?.1;
        let each = one.air.value * (one.air_saturation.value - floor.value);
        let short = (demand.1.value - still.at(floor).value).max(0.0);
        let air_needed = (each > 0.0).then(|| AIR_FLOW.of(short / each)).filter(|q| q.value < MOST_AIR || short <= 0.0);
        let battery = i.battery.yes();
        let found = OutageOut {
            demand,
            caution,
            critical: crisis,
            lasts,
            brings: battery.then(|| aired.at(floor)),
            runs: battery.then_some(runs),
            settles: aired.settled(demand.1).filter(|_| i.battery.yes()),
            cold: i.cold(),
            ice: i.ice(),
            cut: i.cut,
            air_needed,
            deadly: Deadly::of_both(i.species, i.temperature, i.salinity),
            from,
            still,
            aired,
        };
        w.step(|| {
            Step::new(
                "What the fish breathe, mean of a feeding day",
                "M = max(0.25 × feed, regression, routine) × kilograms",
                &[term("feed", FEED_RATE, fed), term("kilograms", MASS, total)],
                term("M", OXYGEN_RATE, fish),
                &oxygen_src::OXYGEN_PER_FEED,
            )
        });
        w.step(|| {
            Step::new(
                "At the least: resting fish alone",
                "low = M × factor, that of the last meal",
                &[term("factor", RATIO, RATIO.of(factors.0))],
                term("low", OXYGEN_RATE, demand.0),
                &oxygen_src::RESPIRATION_DAY,
            )
        });
        w.step(|| {
            Step::new(
                "At the most: just-fed fish and all that lives with them",
                "high = max(M × factor × 0.5/0.25, M × factor + film)",
                &[term("factor", RATIO, RATIO.of(factors.1)), term("film", OXYGEN_RATE, film)],
                term("high", OXYGEN_RATE, demand.1),
                &oxygen_src::OXYGEN_PER_FEED,
            )
        });
        w.step(|| {
            Step::new(
                "Until it is critical, at the least",
                "V dC/dt = K A (C* - C) - high",
                &[
                    term("V", VOLUME, i.volume),
                    term("C", CONCENTRATION, from),
                    term("C*", CONCENTRATION, still.saturation),
                    term("K A", FLOW, still.surface),
                    term("critical", CONCENTRATION, critical),
                ],
                term("t", MINUTES, crisis.0),
                &oxygen_src::OXYGEN_BALANCE,
            )
        });
        if i.battery.yes() {
            w.step(|| {
                Step::new(
                    "The battery runs the pump for",
                    "t = min(energy × usable/watts, 240 h)",
                    &[
                        term("energy", ENERGY, i.capacity),
                        term("usable", PERCENT, i.usable),
                        term("watts", POWER, i.power),
                    ],
                    term("t", HOURS, runs),
                    &src::BATTERY,
                )
            });
            w.step(|| {
                Step::new(
                    "It brings in, at the floor of this fish",
                    "G (Ca - Cf) + K A (C* - Cf)",
                    &[
                        term("G", FLOW, aired.air),
                        term("Ca", CONCENTRATION, aired.air_saturation),
                        term("Cf", CONCENTRATION, floor),
                    ],
                    term("oxygen", OXYGEN_RATE, aired.at(floor)),
                    &oxygen_src::ASCE_2_06,
                )
            });
        }
        if let Some(t) = found.cold {
            w.step(|| {
                Step::new(
                    "Until it is too cold",
                    "m c dT/dt = -losses, bare walls, to where this fish dies",
                    &[term("T", TEMPERATURE, i.temperature), term("air", TEMPERATURE, i.around)],
                    term("t", HOURS, t),
                    &ELEMENTARY,
                )
            });
        }
        Ok(found)
    }

    fn outputs(o: &OutageOut, s: &mut dyn Outputs) {
        span(s, "caution", "Until low oxygen", MINUTES, o.caution.0, o.caution.1);
        span(s, "critical", "Until critical oxygen", MINUTES, o.critical.0, o.critical.1);
        span(s, "lasts", "Until critical, with what you have", MINUTES, o.lasts.0, o.lasts.1);
        span(s, "demand", "Oxygen taken up", OXYGEN_RATE, o.demand.0, o.demand.1);
        out_opt(s, "brings", "Battery air brings in", OXYGEN_RATE, o.brings);
        out_opt(s, "runs", "The battery lasts", HOURS, o.runs);
        out_opt(s, "settles", "Oxygen settles at, with battery air", CONCENTRATION, o.settles);
        out_opt(s, "air_needed", "Air that would hold them", AIR_FLOW, o.air_needed);
        out_opt(s, "cold", "Until it is too cold", HOURS, o.cold);
        out_opt(s, "ice", "Until it may freeze over", HOURS, o.ice);
    }

    fn level(o: &OutageOut) -> Option<Level> {
        first(o, levels(&OutageIn::default(), o)).into_iter().next()
    }

    fn report(i: &OutageIn, o: &OutageOut, words: Words) -> Report {
        let levels = levels(i, o);
        Report {
            verdict: verdict(i, o, words),
            repairs: repairs(i, o, &levels, words),
            cautions: cautions(i, o, words),
            pictures: vec![picture(i, o, words)],
            tables: vec![order(i, o, words)],
            notes: notes(i, o, words),
            levels: first(o, levels),
        }
    }
}

/// Water that kills first; the cold before the oxygen, where it is the worse of the two.
fn first(o: &OutageOut, levels: Vec<Level>) -> Vec<Level> {
    let deadly = o.deadly.map(|d| d.level("temperature", "Water temperature"));
    deadly.into_iter().chain(lead(levels, Level::fullness)).collect()
}

fn told(t: (Time, Time)) -> String {
    if t.0.value >= hours(LONG) - 1.0 { "longer than ten days".into() } else { times(t.0.value, t.1.value) }
}

fn verdict(i: &OutageIn, o: &OutageOut, words: Words) -> String {
    let mut text = if o.critical.0.value <= 0.0 {
        "The oxygen is critical already: give them air now.".to_string()
    } else {
        format!(
            "Without pump and air: {} until the oxygen is low, {} until it is critical.",
            told(o.caution),
            told(o.critical)
        )
    };
    if i.battery.yes() {
        text += &format!(
            " With the battery pump: {}.",
            if o.lasts.0.value >= hours(LONG) - 1.0 { "it does not run out".into() } else { told(o.lasts) }
        );
    }
    if let Some(d) = o.deadly {
        return format!("{} {text}", d.first(words));
    }
    let cold = o.cold.filter(|t| cold_of(o, *t).state() == State::Over);
    let (air, at) = (level_of(o).state(), |t: Time| match t.value > 0.0 {
        true => format!("it gets so cold that they die in {}", words.time(t)),
        false => "the water is as cold already as they bear".into(),
    });
    text += &match (air, cold) {
        (State::Enough, None) => " The cut is bridged.".to_string(),
        (State::Tight, None) => " The cut is just bridged.".into(),
        (State::Over, None) => " The cut is not bridged.".into(),
        (State::Over, Some(t)) => {
            format!(" The cut is not bridged, and {}.", at(t))
        }
        (_, Some(t)) => {
            format!(" The oxygen would do, but the cut is not bridged: {}.", at(t))
        }
    };
    if o.ice.is_some() {
        text += " The surface may freeze over: keep a hole open.";
    }
    text
}

fn repairs(i: &OutageIn, o: &OutageOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    if o.deadly.is_some() {
        return all;
    }
    // The cold has its own: a cover, and less time.
    if o.cold.is_some() && before.get(1).is_some_and(|cold| cold.state() != State::Enough) {
        let mut put = |title: String, edits: Vec<Edit>| {
            all.extend(mend::mend::<Outage>(i, before, levels, "cold", title, edits, words.system));
        };
        if !i.covered.yes() {
            put("Cover the water, leaving a gap for air".into(), vec![Edit::pick("covered", "yes")]);
        }
        let cold = |o: &OutageOut| o.cold.map(|t| cold_of(o, t));
        let shorter = |x: f64| vec![Edit::num("cut", HOURS.of(x))];
        if before[1].fullness() > before[0].fullness()
            && let Some(x) = mend::just_enough::<Outage>(i, cold, shorter, i.cut.value, hours(0.05))
        {
            let x = HOURS.of((x * 0.995).max(hours(0.05)));
            put(format!("Be there, with warmth, within {}", words.time(x)), shorter(x.value));
        }
    }
    if before[0].state() == State::Enough {
        return all;
    }
    let mut put = |title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Outage>(i, before, levels, "time", title, edits, words.system));
    };
    let main = |o: &OutageOut| Some(level_of(o));
    // A battery pump with air to spare and the energy to run through: air in proportion, a tenth over; watts in proportion to the air.
    let air = |x: f64| {
        // A pump that delivers nothing says nothing of the watts that air takes.
        let usual = OutageIn::default();
        let like = if i.air.value > 0.0 { i } else { &usual };
        let watts = (like.power.value * x / like.air.value).clamp(0.5, 5000.0);
        let energy = watts * i.cut.value * 1.3 / i.usable.value;
        vec![
            Edit::pick("battery", "yes"),
            Edit::num("air", AIR_FLOW.of(x)),
            Edit::num("power", POWER.of(watts)),
            Edit::num("capacity", ENERGY.of(energy.min(50_000.0 * WH))),
        ]
    };
    let step = words.step(AIR_FLOW, l_min(5.0));
    let round = |x: f64| mend::rounded(x, 0.0, step).clamp(l_min(5.0), l_min(2000.0));
    let mut wanted = AIR_FLOW.of(round(o.air_needed.map_or(MOST_AIR, |q| q.value) * 1.1));
    // Oxygen that is critical already must come up soon, and that takes more.
    if i.oxygen <= i.species.oxygen_critical()
        && let Some(x) = mend::just_enough::<Outage>(i, main, air, wanted.value, l_min(2000.0))
    {
        wanted = AIR_FLOW.of(round(x));
    }
    let edits = air(wanted.value);
    if let Some(EditValue::Si(energy)) = edits.last().map(|e| e.to.clone()) {
        let title = format!(
            "A battery pump that delivers {} at the stone, on {}",
            words.q(AIR_FLOW, wanted),
            show_unit(ENERGY.0, energy, "Wh", words.system)
        );
        put(title, edits);
    }
    if i.battery.yes() {
        let more = |x: f64| vec![Edit::num("capacity", ENERGY.of(x))];
        if let Some(x) = mend::just_enough::<Outage>(i, main, more, i.capacity.value, 50_000.0 * WH) {
            let x = mend::rounded(x, i.capacity.value, 10.0 * WH).min(50_000.0 * WH);
            put(format!("A battery of {}", show_unit(ENERGY.0, x, "Wh", words.system)), more(x));
        }
    }
    let weighed = i.by == Known::Weight;
    let now = if weighed { i.fish.value } else { i.count.value };
    let fewer = |x: f64| {
        let fish = if weighed { Edit::num("fish", MASS.of(x)) } else { Edit::num("count", COUNT.of(x.floor())) };
        let feed = (i.by != Known::Number).then(|| Edit::num("feed", i.feed * (x / now)));
        [fish].into_iter().chain(feed).collect::<Vec<_>>()
    };
    let least = if weighed { 0.001 } else { 1.0 };
    if let Some(x) = mend::just_enough::<Outage>(i, main, fewer, now, least).filter(|x| *x < now) {
        let (x, said) = if weighed {
            let x = significant(x * 0.995, 3).max(least);
            (x, format!("{} of fish", words.q(MASS, MASS.of(x))))
        } else {
            (x.floor(), format!("{} fish", words.q(COUNT, COUNT.of(x.floor()))))
        };
        put(format!("{said}, fed in proportion"), fewer(x));
    }
    if i.last != LastMeal::Day {
        put("Leave them unfed when a cut is announced".into(), vec![Edit::pick("last", "day")]);
    }
    let shorter = |x: f64| vec![Edit::num("cut", HOURS.of(x))];
    if let Some(x) = mend::just_enough::<Outage>(i, main, shorter, i.cut.value, hours(0.05)) {
        let x = HOURS.of((x * 0.995).max(hours(0.05)));
        put(format!("Be there, with power or air, within {}", words.time(x)), shorter(x.value));
    }
    all
}

fn cautions(i: &OutageIn, o: &OutageOut, words: Words) -> Vec<Caution> {
    let mut all = vec![
        Caution::new(
            "Count on the low end: fish crowd, the water layers, and the reading you start from is a good one. An alarm that calls you, and a drill with a watch, are worth more than this number.",
        ),
        Caution::from(
            "Carbon monoxide kills people: a generator or a car runs outdoors only, 6 m (20 ft) from doors, windows and vents, and no flame heats a closed room or greenhouse.",
            &src::CARBON_MONOXIDE,
        ),
        Caution::from(
            format!(
                "{} That goes for what a generator or inverter feeds too: many have no such protection of their own. Never feed one back into the house wiring; a changeover switch is an electrician's work.",
                piping::ELECTRICITY
            ),
            &RESIDUAL_CURRENT,
        ),
    ];
    all.extend(handling::too_cold(i.species, i.temperature, words));
    if o.ice.is_some() {
        all.push(Caution::from(
            "Under a whole sheet of ice the water gets no air and the gases stay in. Keep a hole open with moving water, air or a pan of hot water; never break it by blows, which stun fish. See that the air line is not frozen.",
            &src::ICE,
        ));
    }
    all.extend(o.deadly.map(|d| d.caution("the oxygen")));
    if o.caution.0.value <= 0.0 {
        all.push(Caution::new(format!(
            "The oxygen is below the {} that this fish should have even before anything stops.",
            words.q(CONCENTRATION, i.species.oxygen_floor())
        )));
    }
    if i.oxygen > o.still.saturation {
        all.push(Caution::new(format!(
            "The reading is above the {} that water holds here, and counts as that: the rest leaves the water soon. Check the meter.",
            words.q(CONCENTRATION, o.still.saturation)
        )));
    }
    if i.battery.yes() && o.settles.is_none_or(|c| c < i.species.oxygen_critical()) {
        all.push(Caution::new("The battery pump does not hold them on its own: it only gives time."));
    }
    if i.covered.yes() {
        all.push(Caution::new("Take the cover off while nothing bubbles, unless it is the cold that kills first."));
    }
    all
}

fn notes(i: &OutageIn, o: &OutageOut, words: Words) -> Vec<String> {
    let surface = o.still.at(i.species.oxygen_floor());
    let mut all = vec![format!(
        "They take up {}; the still surface brings in {} when it is low{}.",
        words.range(OXYGEN_RATE, o.demand.0, o.demand.1),
        words.q(OXYGEN_RATE, surface),
        match surface {
            s if s >= o.demand.1 => ", which is all they need while it stays open",
            s if s >= o.demand.0 => ", enough for resting fish alone",
            s if s.value > o.demand.0.value * 0.2 => ", which helps a little",
            _ => ", next to nothing",
        }
    )];
    match o.air_needed {
        Some(q) if q.value > 0.0 => all.push(format!("{} of air at the stone would hold them.", words.q(AIR_FLOW, q))),
        Some(_) => {}
        None => all.push("No air through such a stone holds them at the oxygen that they should have.".into()),
    }
    all.push(match o.cold {
        Some(t) if t.value <= 0.0 && o.deadly.is_none() => "It is as cold already as this fish bears.".into(),
        Some(t) if t.value <= 0.0 => "It is colder already than this fish lives in.".into(),
        Some(t) => format!(
            "In air of {} it takes {} until they die of cold; they sicken before. {}",
            words.q(TEMPERATURE, i.around),
            words.time(t),
            if o.lasts.0 <= t {
                "Oxygen runs out first; think of warmth second."
            } else {
                "The cold comes before the oxygen runs out: keep the warmth in first."
            }
        ),
        None if o.ice.is_some() => "They live under ice, but a surface that is frozen over brings in nothing.".into(),
        None => "In this air the water does not get so cold that they die.".into(),
    });
    all.push("The filter's bacteria live through some hours if the beds stay wet and drained; a closed filter full of standing water turns foul: empty it before it goes back on.".into());
    all
}

/// What to do in which order ([`src::OUTAGE_ORDER`]).
fn order(i: &OutageIn, o: &OutageOut, words: Words) -> Table {
    let before = |t: Time| match told((t, t)) {
        _ if t.value <= 0.0 => "At once".to_string(),
        _ if t.value >= hours(LONG) - 1.0 => "If it gets low".into(),
        told => format!("Within {told}"),
    };
    let mut rows = vec![
        ["At once".to_string(), "Feed nothing, now and until a day after".to_string()],
        [
            if i.battery.yes() { "At once".into() } else { before(o.caution.0) },
            if i.battery.yes() {
                "Battery air pump on; see that it bubbles".into()
            } else {
                "Air: a battery pump, an inverter on a car that stands outdoors, or pour water from a height with a bucket, again and again"
                    .to_string()
            },
        ],
    ];
    // Blankets only slow what is still to come.
    let blankets = "Cover the walls with blankets, then the water, leaving a gap for air";
    let cold = o.cold.filter(|t| t.value > 0.0).map(|t| cold_of(o, t).state() == State::Enough);
    if cold == Some(false) {
        rows.push(["At once, after the air".into(), blankets.into()]);
    }
    // Where it may freeze now it comes before what can wait.
    let ice = |now: bool| {
        o.ice.filter(|t| now == (t.value <= 0.0)).map(|t| {
            let when = if now { "At once".into() } else { format!("Within {}", words.time(t)) };
            [when, "Keep a hole open in the ice; never break it by blows".into()]
        })
    };
    rows.extend(ice(true));
    rows.push([
        before(o.critical.0),
        "The water pump, off a generator outdoors or an inverter, with its return falling from a height".into(),
    ]);
    let netted = match handling::is_too_cold(i.species, i.temperature) {
        true => "and only then take fish out to another aired tank: netted in such cold, many die in the days after",
        false => "take fish out to another aired tank",
    };
    rows.push([
        before(o.critical.0),
        format!("If nothing works: run in clean dechlorinated water, a tenth at a time, near in temperature; {netted}"),
    ]);
    if cold == Some(true) {
        rows.push(["If it lasts longer".into(), blankets.into()]);
    }
    rows.extend(ice(false));
    rows.push([
        "When it is back".into(),
        "Look at pump, siphons and levels; air on full; test ammonia and nitrite the next two days; feed nothing for a day, then a third"
            .into(),
    ]);
    Table {
        title: "In this order".into(),
        head: vec!["When".into(), "What".into()],
        rows: rows.into_iter().map(Vec::from).collect(),
    }
}

fn picture(i: &OutageIn, o: &OutageOut, words: Words) -> Picture {
    let span = HOURS.of((o.critical.1.value * 1.3).clamp(minutes(20.0), hours(48.0)).max(if i.battery.yes() {
        i.cut.value.min(hours(48.0))
    } else {
        0.0
    }));
    let curve = |name: &str, s: &Supply, d: MassRate, role| {
        let points = (0..=30).map(|n| {
            let t = HOURS.of(span.value * f64::from(n) / 30.0);
            (t.value, s.after(i.volume, d, o.from, t).value)
        });
        Series { name: name.into(), role, points: points.collect() }
    };
    let mut series = vec![
        curve("just fed, with the whole system", &o.still, o.demand.1, Role::Spill),
        curve("resting fish alone", &o.still, o.demand.0, Role::Water),
    ];
    if i.battery.yes() {
        series.push(curve("with the battery pump", &o.aired, o.demand.1, Role::Bubble));
    }
    let critical = i.species.oxygen_critical();
    let top = series.iter().flat_map(|s| s.points.iter().map(|p| p.1)).fold(critical.value, f64::max);
    Picture::Chart(Chart {
        title: "Oxygen after pump and air stop".into(),
        describe: format!(
            "From {} the oxygen falls to the critical {} in {}.",
            words.q(CONCENTRATION, o.from),
            words.q(CONCENTRATION, critical),
            told(o.critical)
        ),
        x: Axis::new("time", MINUTES.0, 0.0, span.value, words.system),
        y: Axis::new("oxygen", CONCENTRATION.0, 0.0, top * 1.1, words.system),
        series,
        marks: vec![],
        bands: vec![],
        brim: Some((critical.value, "critical".into())),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::sheet::solve;

    fn run(i: &OutageIn) -> OutageOut {
        solve::<Outage>(i, &mut Working::none()).expect("solves")
    }

    /// 500 L, 10 kg at 300 mg/kg/h (288 g of feed a day), 6.5 down to 3 mg/L. Catfish: critical at 3.0.
    fn published() -> OutageIn {
        OutageIn {
            species: Species::by_id("catfish").expect("catfish"),
            fish: MASS.of(10.0),
            mass: SMALL_MASS.of(0.5),
            volume: VOLUME.of(l(500.0)),
            temperature: TEMPERATURE.of(celsius(25.0)),
            feed: FEED_RATE.of(g_day(288.0)),
            last: LastMeal::Just,
            oxygen: CONCENTRATION.of(mg_l(6.5)),
            surface: AREA.of(0.0),
            ..OutageIn::default()
        }
    }

    #[test]
    fn twelve_to_thirty_five_minutes() {
        let o = run(&published());
        assert!((o.critical.0.value / 60.0 - 12.5).abs() < 0.01, "{:?}", o.critical);
        assert!((o.critical.1.value / 60.0 - 35.0).abs() < 0.01, "{:?}", o.critical);
        // One or two meals: the whole system at twice the mean, 8.75 min.
        let few = run(&OutageIn { meals: Meals::Few, ..published() });
        assert!((few.critical.0.value / 60.0 - 8.75).abs() < 0.01);
        // Fish unfed for a day have longer.
        let unfed = run(&OutageIn { last: LastMeal::Day, ..published() });
        assert!(unfed.critical.0 > o.critical.0 && unfed.critical.1 > o.critical.1);
    }

    #[test]
    fn a_battery_pump_buys_time_or_holds() {
        let weak = OutageIn { battery: YesNo::Yes, air: AIR_FLOW.of(l_min(2.0)), ..published() };
        let o = run(&weak);
        assert!(o.lasts.0 > o.critical.0 && o.settles.is_none_or(|c| c.value < mg_l(3.0)));
        let strong = OutageIn { air: AIR_FLOW.of(l_min(80.0)), power: POWER.of(60.0), ..weak };
        let s = run(&strong);
        // 120 usable Wh at 60 W: two hours, and then the water as it stands.
        assert!(s.runs.is_some_and(|t| (t.value - hours(2.0)).abs() < 1.0));
        assert!(s.settles.is_some_and(|c| c.value > mg_l(4.0)));
        assert!((hours(2.0)..hours(3.0)).contains(&s.lasts.0.value));
        // What is said to be needed, given, holds the floor.
        let need = run(&OutageIn { air: s.air_needed.expect("enough air"), ..strong });
        assert!((need.settles.map_or(0.0, |c| c.value) - mg_l(5.0)).abs() < mg_l(0.02), "{:?}", need.settles);
    }

    #[test]
    fn repairs_bridge_the_cut() {
        let i = published();
        let o = run(&i);
        let r = Outage::report(&i, &o, Words::default());
        assert_eq!(r.levels[0].state(), State::Over);
        let battery = r.repairs.iter().find(|r| r.title.starts_with("A battery pump")).expect("a battery pump");
        assert_eq!(battery.level.state(), State::Enough, "{battery:?}");
        assert!(r.repairs.iter().any(|r| r.title.starts_with("Be there") && r.level.state() == State::Enough));
        assert!(r.tables[0].rows.len() >= 5);
    }

    #[test]
    fn cold_comes_after_oxygen() {
        let i = OutageIn { around: TEMPERATURE.of(celsius(0.0)), ..OutageIn::default() };
        let o = run(&i);
        let cold = o.cold.expect("it gets cold");
        assert!(cold.value > hours(3.0) && cold > o.critical.1);
        assert!(run(&OutageIn { around: TEMPERATURE.of(celsius(30.0)), ..i }).cold.is_none());
    }

    fn verdict_of(i: &OutageIn) -> String {
        verdict(i, &run(i), Words::default())
    }

    /// Warmth is part of a power cut: the cold has its place in the verdict, the level and the repairs.
    #[test]
    fn a_cut_that_gets_too_cold_is_not_bridged() {
        let i = OutageIn {
            battery: YesNo::Yes,
            air: AIR_FLOW.of(l_min(60.0)),
            capacity: ENERGY.of(5000.0 * WH),
            volume: VOLUME.of(l(200.0)),
            surface: AREA.of(0.5),
            fish: MASS.of(1.0),
            feed: FEED_RATE.of(g_day(15.0)),
            around: TEMPERATURE.of(celsius(-10.0)),
            temperature: TEMPERATURE.of(celsius(20.0)),
            cut: HOURS.of(hours(24.0)),
            ..OutageIn::default()
        };
        let o = run(&i);
        assert_eq!(Outage::level(&o).map(|l| (l.id.to_string(), l.state())), Some(("cold".into(), State::Over)));
        assert!(level_of(&o).state() == State::Enough && verdict_of(&i).contains("not bridged: it gets so cold"));
        let r = Outage::report(&i, &o, Words::default());
        assert!(r.repairs.iter().any(|r| r.title.starts_with("Cover the water")), "{:?}", r.repairs);
        assert!(r.repairs.iter().any(|r| r.title.contains("with warmth") && r.level.state() == State::Enough));
        assert!(verdict_of(&OutageIn { around: i.temperature, ..i }).ends_with("The cut is bridged."));
    }

    #[test]
    fn a_pump_that_brings_it_back_counts_where_it_is_critical_already() {
        let at = |oxygen: f64, air: f64| OutageIn {
            species: Species::by_id("trout").expect("trout"),
            temperature: TEMPERATURE.of(celsius(12.0)),
            fish: MASS.of(5.0),
            feed: FEED_RATE.of(g_day(50.0)),
            battery: YesNo::Yes,
            air: AIR_FLOW.of(l_min(air)),
            capacity: ENERGY.of(1000.0 * WH),
            oxygen: CONCENTRATION.of(mg_l(oxygen)),
            ..OutageIn::default()
        };
        // A hair above and at the critical content are alike.
        let (above, there) = (run(&at(5.001, 40.0)), run(&at(5.0, 40.0)));
        assert!((above.lasts.0.value / there.lasts.0.value - 1.0).abs() < 0.01, "{above:?} {there:?}");
        assert!(verdict_of(&at(5.0, 40.0)).contains("critical already: give them air now"));
        // Far below, a weak pump is no rescue; a stronger one is offered.
        let low = at(3.0, 40.0);
        let o = run(&low);
        assert_eq!((o.lasts.0.value, level_of(&o).state()), (0.0, State::Over));
        let r = Outage::report(&low, &o, Words::default());
        let pump = r.repairs.iter().find(|r| r.title.starts_with("A battery pump")).expect("a stronger pump");
        assert_eq!(pump.level.state(), State::Enough, "{pump:?}");
        // A pump that cannot hold them is none.
        assert_eq!(run(&at(5.0, 5.0)).lasts.0.value, 0.0);
    }

    #[test]
    fn what_is_done_when_says_what_is_so() {
        let when = |i: &OutageIn| {
            order(i, &run(i), Words::default()).rows.into_iter().map(|r| r[0].clone()).collect::<Vec<_>>()
        };
        let note = |i: &OutageIn| notes(i, &run(i), Words::default()).remove(0);
        let usual = OutageIn::default();
        assert!(when(&usual)[1].starts_with("Within") && note(&usual).contains("next to nothing"));
        assert_eq!(when(&OutageIn { battery: YesNo::Yes, ..usual.clone() })[1], "At once");
        let few = OutageIn { fish: MASS.of(0.1), feed: FEED_RATE.of(g_day(1.0)), surface: AREA.of(8.0), ..usual };
        assert!(when(&few).iter().all(|w| !w.contains("ten days")) && when(&few)[1] == "If it gets low");
        assert!(note(&few).contains("all they need"), "{}", note(&few));
    }

    /// The low end is never longer than what the oxygen calculator says of the same tank, and water holds no more than it can.
    #[test]
    fn the_low_end_is_the_cautious_one() {
        use crate::calculators::oxygen::{FishGroup, Oxygen, OxygenIn, Reading};
        for species in &SPECIES {
            for solids in [Solids::Drawn, Solids::Settled, Solids::Left] {
                let i = OxygenIn {
                    fish: vec![FishGroup { species, ..FishGroup::default() }],
                    temperature: species.well_to(),
                    solids,
                    reading: Reading::Now,
                    reading_oxygen: CONCENTRATION.of(mg_l(7.0)),
                    ..OxygenIn::default()
                };
                let o = solve::<Oxygen>(&i, &mut Working::none()).expect("solves");
                let unfed = run(&OutageIn {
                    species,
                    temperature: i.temperature,
                    feed: o.feed,
                    volume: i.volume,
                    surface: i.volume / i.depth,
                    oxygen: i.reading_oxygen,
                    last: LastMeal::Day,
                    solids,
                    ..OutageIn::default()
                });
                let longest = o.all_off.resting.map_or(f64::INFINITY, |t| t.value);
                assert!(unfed.critical.0.value <= longest * 1.001, "{} {solids:?}", species.id);
            }
        }
        let at = |c: f64| run(&OutageIn { oxygen: CONCENTRATION.of(c), ..OutageIn::default() });
        assert_eq!(at(mg_l(12.0)).critical, at(at(mg_l(6.0)).still.saturation.value).critical);
        assert!(at(mg_l(12.0)).critical.0 > at(mg_l(7.0)).critical.0);
        // Benson & Krause 1984: sea water of 26 °C holds 6.66 mg/L. So less is brought in.
        let aired = |salt| run(&OutageIn { salinity: SALINITY.of(salt), battery: YesNo::Yes, ..OutageIn::default() });
        let sea = aired(35.0);
        assert!((sea.still.saturation.value - mg_l(6.66)).abs() < mg_l(0.005), "{:?}", sea.still.saturation);
        assert!(sea.brings.is_some() && sea.brings < aired(0.0).brings);
    }

    /// At the temperature of death itself, as a person types it: it is said what is so, and water that gets no colder kills none.
    #[test]
    fn at_the_edge_of_death_by_cold() {
        let at = |c: f64, around: f64| OutageIn {
            temperature: TEMPERATURE.of(celsius(c)),
            around: TEMPERATURE.of(celsius(around)),
            ..OutageIn::default()
        };
        let i = OutageIn { species: &SPECIES[0], ..at(12.0, 5.0) };
        assert_eq!(i.species.dies_below(), i.temperature);
        let said = |i: &OutageIn| {
            let r = Outage::report(i, &run(i), Words::default());
            format!("{} {}", r.verdict, r.notes.join(" "))
        };
        let text = said(&i);
        assert!(
            text.contains("as cold already as they bear") && text.contains("as cold already as this fish"),
            "{text}"
        );
        assert!(!text.contains("0\u{202f}s") && !text.contains("colder already"), "{text}");
        assert!(run(&at(12.0, 20.0)).cold.is_none() && run(&at(11.9, 20.0)).cold.is_some());
    }
}
