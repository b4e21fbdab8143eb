//! Power-cut reserve.

mod report;
mod working;

use super::deadly::Deadly;
use super::form::*;
use super::fouling::{Fouled, Standing, UNASKED_LIME};
use super::handling;
use super::heat::{HeatIn, ICE, On};
use super::mend;
use super::outcome::*;
use super::oxygen::{self, storm};
use super::piping;
use super::sheet::Calculator;
use crate::catalog::diffusers::{Diffuser, MEDIUM};
use crate::catalog::sources::{climate as src, general::ELEMENTARY, oxygen as oxygen_src, waterways::RESIDUAL_CURRENT};
use crate::catalog::species::{SPECIES, Species, UNDER_ICE};
use crate::picture::{Axis, Band, Chart, Mark, Picture, Role, Series};
use crate::science::oxygen_balance::Supply;
use crate::science::oxygen_saturation::{self, OutOfRange};
use crate::science::reserve::{self, Bubbles, LastMeal};
use crate::science::respiration::{self, Meals, Regression, Solids};
use crate::science::{aeration, ammonia, feeding};
use crate::units::{kinds::*, si::*, *};
pub(crate) use report::{FEWEST, sparing, stormy};

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
    /// pH.
    pub ph: Ratio,
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
            capacity: ENERGY.of(240.0 * HOUR),
            usable: PERCENT.of(0.5),
            power: POWER.of(15.0),
            around: t(16.0),
            covered: YesNo::No,
            solids: Solids::Settled,
            salinity: SALINITY.of(0.0),
            by: Known::Weight,
            count: COUNT.of(30.0),
            ph: RATIO.of(7.5),
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
        let volume = Field::new(3, "volume", "Water the fish live in", VOLUME)
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
                .range(0.0, MOST_STORED)
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
            let ph = Field::new(26, "ph", "pH of the water", RATIO)
                .range(4.5, 10.0)
                .advised(6.0, 8.8)
                .likely(7.0, 8.0)
                .help("As the test reads. Battery air lifts it: with that it counts as 8 at the least. The higher it is, the sooner their ammonia poisons them.");
            num(f, &ph.detail().read(), &mut self.ph);
            let around = Field::new(20, "around", "Air around the tank", TEMPERATURE)
                .range(celsius(-45.0), celsius(40.0))
                .advised(celsius(-25.0), celsius(38.0))
                .likely(celsius(5.0), celsius(20.0))
                .help("On the night you fear; in a heat wave, on its days.");
            num(f, &around, &mut self.around);
            pick(f, &Pick::new(21, "covered", "Is the tank covered?").detail(), &mut self.covered);
            pick(f, &Pick::new(22, "solids", "Solids").detail(), &mut self.solids);
        });
    }
}

const WH: f64 = HOUR;
/// Longest time that is counted, h: past it, it does not run out. The longest cut is four fifths of it, so that it is enough then.
const LONG: f64 = 250.0;

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
    /// Where it has come to when the power is back or the battery empty, cautious end; missing where it is critical before.
    pub down: Option<MassConcentration>,
    /// What this fish should have.
    pub floor: MassConcentration,
    /// Until it is so cold that the fish die, if it gets so.
    pub cold: Option<Time>,
    /// Until it is so hot that they die, if it gets so.
    pub hot: Option<Time>,
    /// Until the surface may freeze over, if it may before the power is back.
    pub ice: Option<Time>,
    /// Cut to bridge.
    pub cut: Time,
    /// Air that would hold the floor against the high demand, if any can.
    pub air_needed: Option<VolumeRate>,
    deadly: Option<Deadly>,
    /// Their ammonia when the power is back: no filter takes it.
    fouled: Fouled,
    /// Oxygen that is counted when it stops.
    from: MassConcentration,
    still: Supply,
    /// The water from the first minute on.
    waters: Vec<Warmed>,
    /// And the warmest of it before the power is back.
    warmest: Warmed,
    /// Until the surface may freeze over, whenever that is.
    freezes: Option<Time>,
}

/// Water of one temperature: what reaches it, and what is taken out of it. Water that warms is some of these, each as warm as at its end.
#[derive(Debug, Clone, Copy)]
struct Warmed {
    still: Supply,
    aired: Supply,
    /// Low and high.
    demand: (MassRate, MassRate),
    until: Time,
    temperature: ThermodynamicTemperature,
}

impl Warmed {
    fn supply(&self, pump: bool) -> Supply {
        if pump { self.aired } else { self.still }
    }
}

/// What reaches the water and what is taken out of it, one after the other, each until its time.
struct Course(Vec<(Supply, MassRate, Time)>);

impl Course {
    /// With the pump for so long, if there is one; through the surface until ice closes it, if it may.
    fn of(waters: &[Warmed], low: bool, pump: Option<Time>, ice: Option<Time>) -> Self {
        let mut ends: Vec<Time> = pump.into_iter().chain(ice).filter(|t| t.value > 0.0).collect();
        ends.extend(waters.iter().map(|w| w.until));
        ends.sort_by(|a, b| a.value.total_cmp(&b.value));
        let (mut from, mut left) = (HOURS.of(0.0), waters.iter().peekable());
        let part = |end: Time| {
            while left.next_if(|w| w.until <= from).is_some() {}
            let water = left.peek()?;
            let open = water.supply(pump.is_some_and(|t| from < t));
            let closed = ice.is_some_and(|t| from >= t);
            from = end;
            Some((if closed { shut(open) } else { open }, if low { water.demand.0 } else { water.demand.1 }, end))
        };
        Self(ends.into_iter().map_while(part).collect())
    }
    /// The oxygen after so long.
    fn after(&self, volume: Volume, from: MassConcentration, time: Time) -> MassConcentration {
        let (mut t, mut c) = (HOURS.of(0.0), from);
        for (supply, demand, end) in &self.0 {
            let until = end.min(time);
            c = supply.after(volume, *demand, c, until - t);
            t = until;
        }
        c
    }
    /// The time until the oxygen is down `to`, counted from `start` on; at most [`LONG`].
    fn down(
        &self,
        volume: Volume,
        critical: MassConcentration,
        start: (Time, MassConcentration),
        to: MassConcentration,
    ) -> Time {
        let (mut t, mut c) = start;
        for (supply, demand, end) in self.0.iter().filter(|p| p.2 > start.0) {
            if let Some(down) = supply.time_down(volume, *demand, critical, c, to).filter(|d| *d <= *end - t) {
                return t + down;
            }
            c = supply.after(volume, *demand, c, *end - t);
            t = *end;
        }
        t
    }
}

/// What a time until it is low hangs on.
#[derive(Clone, Copy)]
struct Lasts<'a> {
    i: &'a OutageIn,
    waters: &'a [Warmed],
    freezes: Option<Time>,
    from: MassConcentration,
    /// For how long there is a pump.
    pump: Option<Time>,
}

impl Lasts<'_> {
    /// The cautious and the hopeful end: the cautious one loses its surface to the ice.
    fn both(&self, time: impl Fn(&Course) -> Time) -> (Time, Time) {
        let [low, high] =
            [(false, self.freezes), (true, None)].map(|(low, ice)| time(&Course::of(self.waters, low, self.pump, ice)));
        (low, high)
    }
    /// Until the oxygen is down `to`.
    fn down(&self, to: MassConcentration) -> (Time, Time) {
        let critical = self.i.species.oxygen_critical();
        self.both(|course| course.down(self.i.volume, critical, (HOURS.of(0.0), self.from), to))
    }
    /// Until it is critical: what is so already and comes up at once with the pump lasts as long as that runs.
    fn with_pump(&self) -> (Time, Time) {
        let critical = self.i.species.oxygen_critical();
        self.both(|course| {
            let mut start = (HOURS.of(0.0), self.from);
            if let Some(runs) = self.pump.filter(|_| self.from <= critical) {
                let back = HOURS.of(reserve::BACK_WITHIN.value * 60.0).min(runs);
                let up = course.after(self.i.volume, self.from, back);
                if up > critical {
                    start = (back, up);
                }
            }
            course.down(self.i.volume, critical, start, critical)
        })
    }
}

/// Under ice nothing comes in through the surface ([`src::ICE`]).
fn shut(s: Supply) -> Supply {
    Supply { surface: FLOW.of(0.0), ..s }
}

/// What may be frozen over before the power is back is counted as that.
fn iced(s: Supply, ice: Option<Time>) -> Supply {
    if ice.is_some() { shut(s) } else { s }
}

/// What is said of a reading that is above what is counted of it: the most that water holds.
pub(crate) fn no_more_than(counted: MassConcentration, read: MassConcentration, words: Words) -> Option<Caution> {
    (read > counted).then(|| {
        Caution::new(format!(
            "The reading is above the {} that water holds here, and counts as that: the rest leaves the water soon. Check the meter.",
            words.q(CONCENTRATION, counted)
        ))
    })
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
    fn supplies(&self, air: VolumeRate, t: ThermodynamicTemperature) -> Result<(Supply, Supply), Vec<FieldError>> {
        let pressure = oxygen_saturation::pressure_at(self.altitude).map_err(refused)?;
        let with = |bubbles| reserve::standing(t, self.salinity, pressure, self.surface, bubbles);
        Ok((with(None).map_err(refused)?, with(Some(&self.bubbles(air))).map_err(refused)?))
    }
    /// What the fish breathe in water of that temperature, mean of a feeding day.
    fn breath(&self, t: ThermodynamicTemperature) -> MassRate {
        let total = self.total();
        let ration = DAILY_SHARE.of(self.fed().value / total.value);
        let breath = respiration::daily_mean(Regression::of(self.species.id), t, self.mass, ration);
        OXYGEN_RATE.of(breath.mean.value * total.value)
    }
    /// How much more or less than that, by their last meal.
    fn factors(&self) -> (Ratio, Ratio) {
        reserve::meal_range(self.last, self.meals)
    }
    /// What lives with the fish and breathes.
    fn film(&self) -> MassRate {
        let fed = self.fed();
        let nitrogen = ammonia::tan_from_feed(fed, self.species.protein());
        respiration::nitrifiers(nitrogen) + fed * RATIO.of(self.solids.per_feed().value)
    }
    /// The water as it warms, if it does: warm water holds less, and fish breathe more in it. That it cools is not counted on.
    fn waters(&self, film: MassRate) -> Result<Vec<Warmed>, Vec<FieldError>> {
        let factors = self.factors();
        let of = |t, until| -> Result<Warmed, Vec<FieldError>> {
            let (still, aired) = self.supplies(self.air, t)?;
            let demand = reserve::demand(self.breath(t), factors, film);
            Ok(Warmed { still, aired, demand, until, temperature: t })
        };
        let mut all = vec![];
        let long = HOURS.of(hours(LONG));
        if self.around > self.temperature {
            // Half an hour each at first; hotter than they live in, nothing breathes.
            let mut way = self.left_to_itself().on_the_way(HOURS.of(hours(SOON)), STEPS);
            let rest = HeatIn { water: way[STEPS as usize].1, ..self.left_to_itself() };
            let later = rest.on_the_way(long - HOURS.of(hours(SOON)), STEPS).into_iter().skip(1);
            way.extend(later.map(|(t, c)| (t + HOURS.of(hours(SOON)), c)));
            let most = self.species.dies_above().max(self.temperature);
            for (until, t) in way.into_iter().skip(1) {
                all.push(of(t.max(self.temperature).min(most), until)?);
            }
        }
        if all.is_empty() {
            all.push(of(self.temperature, long)?);
        }
        Ok(all)
    }
    /// Air that would hold them in such water, where any pump gives it.
    fn air_needed(&self, warmest: &Warmed, ice: Option<Time>) -> Result<Option<VolumeRate>, Vec<FieldError>> {
        let floor = self.species.oxygen_floor();
        let one = self.supplies(AIR_FLOW.of(1.0), warmest.temperature)?.1;
        let each = one.air.value * (one.air_saturation.value - floor.value);
        let short = (warmest.demand.1.value - iced(warmest.still, ice).at(floor).value).max(0.0);
        Ok((each > 0.0).then(|| AIR_FLOW.of(short / each)).filter(|q| q.value < MOST_AIR || short <= 0.0))
    }
    /// What becomes of the water while no filter works, as warm as this.
    fn standing(&self, temperature: ThermodynamicTemperature) -> Standing {
        Standing {
            species: self.species,
            resting: self.breath(temperature) * RATIO.of(respiration::RESTING.value),
            eaten: if self.last == LastMeal::Day { FEED_RATE.of(0.0) } else { self.fed() },
            time: self.cut,
            water: self.volume,
            temperature,
            ph: self.ph,
            salinity: self.salinity,
            aired: (self.battery.yes() && self.air.value > 0.0).then(|| CONCENTRATION.of(mg_l(UNASKED_LIME))),
        }
    }
    /// Fish that winter under ice do not die of cold in water that stands (it would have to freeze through), but of a fall from warmth they may.
    fn cold(&self) -> Option<Time> {
        let (limit, slow) = (self.species.dies_below_from(self.temperature), self.species.dies_below());
        if limit > slow || slow > TEMPERATURE.of(celsius(HEAVIEST)) { self.cooled_to(limit) } else { None }
    }
    /// What cools or shades stops in a cut as heaters do.
    fn hot(&self) -> Option<Time> {
        let limit = self.species.dies_above();
        if self.temperature >= limit {
            return (self.temperature > limit || self.around > limit).then(|| HOURS.of(0.0));
        }
        if self.around > limit { self.left_to_itself().until(limit) } else { None }
    }
    /// Only for fish that live in such water at all.
    fn freezes(&self) -> Option<Time> {
        let [frozen, heaviest] = [0.0, HEAVIEST].map(|c| TEMPERATURE.of(celsius(c)));
        let may = self.around < frozen && self.species.dies_below() <= heaviest;
        if may { self.cooled_to(heaviest) } else { None }
    }
    fn cooled_to(&self, limit: ThermodynamicTemperature) -> Option<Time> {
        if self.temperature <= limit {
            // At the very limit they die once it gets colder.
            return (self.temperature < limit || self.around < limit).then(|| HOURS.of(0.0));
        }
        // Ice is too cold for any fish.
        let limit = limit.max(TEMPERATURE.of(ICE));
        if limit < self.temperature { self.left_to_itself().until(limit) } else { None }
    }
    /// The tank with nothing that heats or cools it.
    fn left_to_itself(&self) -> HeatIn {
        HeatIn {
            volume: self.volume,
            surface: AREA.of(self.surface.value.max(SMALLEST_SURFACE)),
            water: self.temperature,
            night: self.around,
            mean: self.around,
            cover: if self.covered.yes() { On::Film } else { On::Open },
            makeup: FLOW.of(0.0),
            ..HeatIn::default()
        }
    }
}
const SMALLEST_SURFACE: f64 = 0.02;
/// For so many hours the water is looked at in short steps as it warms, and as many long ones after that.
const SOON: f64 = 12.0;
const STEPS: u32 = 24;
/// Water is heaviest at this temperature, °C: what is colder lies on top and freezes ([`src::ICE`]).
const HEAVIEST: f64 = UNDER_ICE;
/// A battery that runs for less is as good as empty, s.
const LEAST_RUN: f64 = 60.0;
/// No battery holds more, J.
const MOST_STORED: f64 = 50_000.0 * WH;
/// What would take more air than this is told to be held by none, m³/s. How much a pump may give is declared with its field.
const MOST_AIR: f64 = l_min(60_000.0);

fn level_of(o: &OutageOut) -> Level {
    Level::upper_range("time", "Oxygen until the power is back", MINUTES, (o.cut, o.cut), o.lasts)
}

fn cold_of(o: &OutageOut, t: Time) -> Level {
    Level::upper("cold", "Warmth until the power is back", HOURS, o.cut, t)
}

fn hot_of(o: &OutageOut, t: Time) -> Level {
    Level::upper("hot", "Cool water until the power is back", HOURS, o.cut, t)
}

fn foul_of(o: &OutageOut) -> Level {
    let name = "Un-ionised ammonia when the power is back";
    Level::upper("unionised", name, CONCENTRATION, o.fouled.unionised, o.fouled.borne)
}

/// What they should have of what is there with the pump: less is borne for a while.
fn held_of(o: &OutageOut) -> Option<Level> {
    let of = |down| Level::upper("held", "Oxygen that they should have, with the pump", CONCENTRATION, o.floor, down);
    o.down.map(|down| of(down).mild())
}

/// Changed at a time where no filter takes the ammonia: a third of the water.
const PART: f64 = 1.0 / 3.0;

impl OutageOut {
    /// How often a third of the water is to be changed for the ammonia to stay at four fifths of what is borne, if it does not by itself.
    fn changed_every(&self) -> Option<Time> {
        let foul = foul_of(self);
        (foul.state() != State::Enough).then(|| self.cut * RATIO.of(ENOUGH * PART / foul.fullness()))
    }
    /// Until it is too cold or too hot, whichever it gets, as a level.
    fn warmth(&self) -> Option<(Level, Time)> {
        let hot = || self.hot.map(|t| (hot_of(self, t), t));
        self.cold.map(|t| (cold_of(self, t), t)).or_else(hot).filter(|_| self.deadly.is_none())
    }
}

fn levels(_: &OutageIn, o: &OutageOut) -> Vec<Level> {
    [level_of(o)].into_iter().chain(o.warmth().map(|w| w.0)).chain([foul_of(o)]).chain(held_of(o)).collect()
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
    const ANSWER: &'static str = "lasts";
    const ABOUT: &'static str = "Minutes from the moment that pump and air stop until the oxygen is low and until it is critical, from resting fish to just-fed fish with everything else that breathes; hours until it is too cold or too hot; what a battery air pump buys, and what to do in which order. Fish pack together and the water does not mix: count on the low end. An alarm and a practised plan are worth more than any estimate.";

    fn solve(i: &OutageIn, w: &mut Working) -> Result<OutageOut, Vec<FieldError>> {
        let total = i.total();
        handling::around(total, i.volume, if i.by == Known::Weight { "fish" } else { "count" }, "tank")?;
        let film = i.film();
        let demand = reserve::demand(i.breath(i.temperature), i.factors(), film);
        let (still, _) = i.supplies(i.air, i.temperature)?;
        let waters = i.waters(film)?;
        let (floor, critical) = (i.species.oxygen_floor(), i.species.oxygen_critical());
        // More than the water holds leaves it soon, and is mostly a meter that wants calibrating.
        let from = i.oxygen.min(still.saturation);
        let runs = HOURS.of((i.capacity.value * i.usable.value / i.power.value).min(hours(LONG)));
        let freezes = i.freezes();
        let idle = Lasts { i, waters: &waters, freezes, from, pump: None };
        let (caution, crisis) = (idle.down(floor), idle.down(critical));
        let battery = i.battery.yes();
        let lasts = Lasts { pump: battery.then_some(runs), ..idle }.with_pump();
        let ice = freezes.filter(|t| *t < i.cut);
        // As warm as it gets before the power is back.
        let warmest = *waters.iter().find(|w| w.until >= i.cut).unwrap_or(&waters[waters.len() - 1]);
        let aired = iced(warmest.aired, ice);
        let end = i.cut.min(runs);
        let down = Course::of(&waters, false, Some(runs), freezes).after(i.volume, from, end);
        let pumps = battery && i.air.value > 0.0 && runs.value >= LEAST_RUN && lasts.0 >= end;
        let found = OutageOut {
            demand,
            caution,
            critical: crisis,
            lasts,
            brings: battery.then(|| aired.at(floor)),
            runs: battery.then_some(runs),
            settles: aired.settled(warmest.demand.1).filter(|_| battery),
            down: (pumps && down > critical).then_some(down),
            floor,
            cold: i.cold(),
            hot: i.hot(),
            ice,
            cut: i.cut,
            air_needed: i.air_needed(&warmest, ice)?,
            deadly: Deadly::of_both(i.species, i.temperature, i.salinity),
            fouled: i.standing(warmest.temperature).solve(),
            from,
            still,
            waters,
            warmest,
            freezes,
        };
        if w.on() {
            working::steps(i, &found, w);
        }
        Ok(found)
    }

    fn outputs(o: &OutageOut, s: &mut dyn Outputs) {
        span(s, "lasts", "Until critical oxygen, with what you have", MINUTES, o.lasts.0, o.lasts.1);
        span(s, "caution", "Until low oxygen, nothing running", MINUTES, o.caution.0, o.caution.1);
        span(s, "critical", "Until critical oxygen, nothing running", MINUTES, o.critical.0, o.critical.1);
        span(s, "demand", "Oxygen taken up", OXYGEN_RATE, o.demand.0, o.demand.1);
        out_opt(s, "brings", "Battery air brings in", OXYGEN_RATE, o.brings);
        out_opt(s, "runs", "The battery lasts", HOURS, o.runs);
        out_opt(s, "settles", "Oxygen settles at, with battery air", CONCENTRATION, o.settles);
        out_opt(s, "down", "Oxygen when the power is back or the battery empty", CONCENTRATION, o.down);
        out_opt(s, "air_needed", "Air that would hold them", AIR_FLOW, o.air_needed);
        out_opt(s, "cold", "Until it is too cold", HOURS, o.cold);
        out_opt(s, "hot", "Until it is too hot", HOURS, o.hot);
        out_opt(s, "ice", "Until it may freeze over", HOURS, o.ice);
        out(s, "tan_end", "Ammonia nitrogen when the power is back", CONCENTRATION, o.fouled.tan);
        out(s, "unionised", "Of it un-ionised", CONCENTRATION, o.fouled.unionised);
    }

    fn level(o: &OutageOut) -> Option<Level> {
        first(o, levels(&OutageIn::default(), o)).into_iter().next()
    }

    fn cautions(i: &OutageIn, o: &OutageOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &OutageIn, o: &OutageOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// Water that kills first; cold or heat before the oxygen, where it is the worse of the two; ammonia where neither kills before it; and little oxygen
/// for long where nothing else is short.
fn first(o: &OutageOut, levels: Vec<Level>) -> Vec<Level> {
    let deadly = o.deadly.map(|d| d.own_level());
    let sooner = levels.iter().any(|l| l.id != "unionised" && l.state() == State::Over);
    let much = |l: &Level| match &*l.id {
        "time" => l.fullness(),
        // The page is asked how long they have: what is enough beside that stands behind it.
        _ if l.state() == State::Enough => 0.0,
        "unionised" if sooner => 0.0,
        // Less oxygen than they should have comes before what is enough, and after what is not.
        "held" => ENOUGH + 1e-6,
        _ => l.fullness(),
    };
    let mut levels = lead(levels, much);
    // How long they have stays what is written large.
    levels[0].leads &= levels[0].id != "held";
    deadly.into_iter().chain(levels).collect()
}

#[cfg(test)]
mod tests;
