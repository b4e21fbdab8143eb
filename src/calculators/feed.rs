//! Feed rate: today's ration by species, size and water temperature, meals, growth, the feed until harvest, and when to cut or stop.

mod report;
mod working;

pub(crate) use report::{in_a_day, range_in_a_day};

use super::ammonia::{Renewal, chloride, nitrite_level, renewal, times, to_change, total};
use super::deadly::Deadly;
use super::form::*;
use super::mend::{self, round_up};
use super::outcome::*;
use super::sheet::{self, Calculator};
use crate::catalog::crops::{Hunger, METHODS};
use crate::catalog::feeding::{self as tables, PELLET_DENSITY};
use crate::catalog::sources::{biology as src, general, oxygen};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Band, Chart, Mark, Picture, Role, Series};
use crate::science::feeding::{self, Appetite, Cut, Readings};
use crate::science::growth::{self, Pace, Season};
use crate::science::mixing::{PH_BORNE, PH_STEP};
use crate::science::{ammonia, plants, treatment};
use crate::units::{kinds::*, si::*, *};

/// What is asked.
#[derive(Debug, Clone)]
pub struct FeedIn {
    /// Species.
    pub species: &'static Species,
    /// How many fish.
    pub count: Ratio,
    /// Mean mass of one.
    pub mass: Mass,
    /// Water temperature today.
    pub temperature: ThermodynamicTemperature,
    /// Mass to grow them to.
    pub target: Mass,
    /// Warmest of the year above its mean.
    pub swing: TemperatureInterval,
    /// Days until the warmest.
    pub warmest: Time,
    /// Volume of the scoop.
    pub scoop: Volume,
    /// Bulk density of the pellets.
    pub pellets: MassDensity,
    /// A bag of feed.
    pub bag: Mass,
    /// Were readings taken?
    pub readings: YesNo,
    /// Oxygen before feeding.
    pub oxygen: MassConcentration,
    /// Total ammonia nitrogen.
    pub tan: MassConcentration,
    /// pH.
    pub ph: Ratio,
    /// Nitrite nitrogen.
    pub nitrite: MassConcentration,
    /// Chloride.
    pub chloride: MassConcentration,
}

impl Default for FeedIn {
    fn default() -> Self {
        Self {
            species: &SPECIES[0],
            count: COUNT.of(40.0),
            mass: SMALL_MASS.of(g(100.0)),
            temperature: TEMPERATURE.of(celsius(28.0)),
            target: SMALL_MASS.of(g(500.0)),
            swing: TEMPERATURE_DIFFERENCE.of(0.0),
            warmest: DAYS.of(days(60.0)),
            scoop: VOLUME.of(l(0.25)),
            pellets: DENSITY.of(PELLET_DENSITY.value * 1000.0),
            bag: MASS.of(15.0),
            readings: YesNo::No,
            oxygen: CONCENTRATION.of(mg_l(6.0)),
            tan: CONCENTRATION.of(mg_l(0.25)),
            ph: RATIO.of(7.0),
            nitrite: CONCENTRATION.of(mg_l(0.25)),
            chloride: CONCENTRATION.of(mg_l(30.0)),
        }
    }
}

impl Fields for FeedIn {
    fn fields(&mut self, f: &mut dyn Form) {
        pick(f, &Pick::new(1, "species", "Species").help("Limits and tables go with it."), &mut self.species);
        let count = Field::new(2, "count", "How many fish", COUNT).range(1.0, 100_000.0).advised(1.0, 5000.0);
        num(f, &count.help("As last counted."), &mut self.count);
        let mass = Field::new(3, "mass", "Mean mass of one", SMALL_MASS).range(g(0.02), 20.0).advised(g(0.5), 3.0);
        num(f, &mass.help("Weigh ten together and divide.").way(Way::SampleMass), &mut self.mass);
        let t = Field::new(4, "temperature", "Water temperature", TEMPERATURE)
            .range(celsius(0.0), celsius(45.0))
            .advised(celsius(4.0), celsius(34.0));
        num(f, &t.help("At the time of feeding, at mid depth."), &mut self.temperature);
        group(f, &Group::titled("Until harvest"), true, &mut |f| {
            let target =
                Field::new(5, "target", "Grow them to", SMALL_MASS).range(g(0.1), 20.0).advised(g(5.0), 3.0).detail();
            num(f, &target.help("Mean mass at harvest."), &mut self.target);
            let swing = Field::new(6, "swing", "Warmest of the year above its mean", TEMPERATURE_DIFFERENCE)
                .range(0.0, 20.0)
                .advised(0.0, 15.0)
                .detail();
            num(f, &swing.help("0 where a heater or a climate holds the water steady."), &mut self.swing);
            let warmest = Field::new(7, "warmest", "Days until the warmest", DAYS).range(0.0, days(365.0)).detail();
            num(
                f,
                &warmest.help("Counts only with a season. Midsummer, and about a month more for water."),
                &mut self.warmest,
            );
            let bag = Field::new(8, "bag", "A bag of feed", MASS).range(0.1, 1000.0).advised(0.5, 50.0).detail();
            num(f, &bag.help("What it says on the bag."), &mut self.bag);
        });
        group(f, &Group::titled("The scoop"), true, &mut |f| {
            let scoop = Field::new(9, "scoop", "What the scoop holds", SMALL_VOLUME).range(l(0.001), l(20.0)).detail();
            num(f, &scoop.help("Level, in water from a jug."), &mut self.scoop);
            let pellets = Field::new(10, "pellets", "Weight of the pellets", DENSITY)
                .range(100.0, 1200.0)
                .advised(300.0, 800.0)
                .likely(380.0, 650.0)
                .source(&src::MEAL_PRACTICE)
                .detail();
            num(f, &pellets.help("Weigh a level litre or quart of pellets."), &mut self.pellets);
        });
        let pick_readings = Pick::new(11, "readings", "Readings today?");
        pick(
            f,
            &pick_readings.help("With them the ration is cut where the water says so.").detail(),
            &mut self.readings,
        );
        group(f, &Group::when("readings", "yes"), self.readings.yes(), &mut |f| {
            let oxygen = Field::new(12, "oxygen", "Oxygen before feeding", CONCENTRATION)
                .range(0.0, mg_l(25.0))
                .advised(mg_l(0.5), mg_l(15.0));
            num(f, &oxygen.help("Near dawn is the low of the day.").detail(), &mut self.oxygen);
            let tan = Field::new(13, "tan", "Total ammonia (as nitrogen)", CONCENTRATION)
                .range(0.0, mg_l(50.0))
                .advised(0.0, mg_l(10.0));
            num(f, &tan.help("What the usual test reads. In ammonia, divide by 1.22.").detail(), &mut self.tan);
            let ph = Field::new(14, "ph", "pH", RATIO).range(4.5, 10.0).advised(6.0, 9.0);
            num(
                f,
                &ph.help("With the temperature it says how much of the ammonia is poisonous.").detail(),
                &mut self.ph,
            );
            let nitrite = Field::new(15, "nitrite", "Nitrite (as nitrogen)", CONCENTRATION)
                .range(0.0, mg_l(50.0))
                .advised(0.0, mg_l(10.0));
            num(f, &nitrite.help("In nitrite, divide by 3.28.").detail(), &mut self.nitrite);
            num(f, &chloride(16, "chloride").detail(), &mut self.chloride);
        });
    }
}

/// What is answered.
#[derive(Debug, Clone)]
pub struct FeedOut {
    /// Species.
    pub species: &'static Species,
    /// All of them together.
    pub biomass: Mass,
    /// How the temperature lets them feed.
    pub appetite: Appetite,
    /// Ration at this size and temperature, as a share of mass a day.
    pub ration: SpecificRate,
    /// Feed a day that the ration makes.
    pub full: MassRate,
    /// Share of it to feed after the readings.
    pub share: Ratio,
    /// Which reading cuts it.
    pub cut: Cut,
    /// Feed today.
    pub feed: MassRate,
    /// Meals today.
    pub meals: Ratio,
    /// Feed a meal.
    pub meal: Mass,
    /// Scoops a meal.
    pub scoops: Ratio,
    /// Pellet; nothing for powder.
    pub pellet: Option<Length>,
    /// Gain of the stock a day, at the ordinary feed per gain and at the best.
    pub gain: (MassRate, MassRate),
    /// Until the target at the soonest, and on the ration at the ordinary feed per gain: as the stocking page counts it.
    pub time: (Option<Time>, Option<Time>),
    /// On the ration at the best feed per gain.
    on_ration: Option<Time>,
    /// Feed until the target, low and high.
    pub until: (Mass, Mass),
    /// Bags of it.
    pub bags: (Ratio, Ratio),
    /// Un-ionised ammonia nitrogen, from the readings.
    pub unionised: Option<MassConcentration>,
    temperature: ThermodynamicTemperature,
    readings: Option<Readings>,
}

impl FeedOut {
    /// At the very end of the range, where nothing is fed, it is out of it. Fish that winter rest in the cold: mild.
    fn warmth(&self) -> Level {
        let (t, s, rests) = (self.temperature, self.species, self.rests());
        let hair = |side: f64| TEMPERATURE.of(t.value + side * HAIR);
        let (low, high) = match self.appetite {
            Appetite::TooCold => (s.stops_below().max(hair(1.0)), s.stops_above()),
            Appetite::TooHot => (s.stops_below(), s.stops_above().min(hair(-1.0))),
            _ => (s.stops_below(), s.stops_above()),
        };
        let below = if rests { "they rest for the winter" } else { "too cold to feed" };
        let level =
            Level::between("warmth", "Water for feeding", TEMPERATURE, (t, t), low, high, below, "too hot to feed");
        Level { mild: rests, ..level }
    }
    /// Do they rest for the winter?
    fn rests(&self) -> bool {
        self.appetite == Appetite::TooCold && self.species.winters() && self.temperature >= self.species.dies_below()
    }
    fn deadly(&self) -> Option<Deadly> {
        let ph = || self.readings.and_then(|r| Deadly::of_ph(self.species, r.ph));
        Deadly::of(self.species, self.temperature).or_else(ph)
    }
    fn stopped(&self) -> bool {
        self.feed.value <= 0.0
    }
}

/// So much past an end of the range is past it, K.
const HAIR: f64 = 1e-3;

/// Feed rate.
pub struct Feed;

fn season(i: &FeedIn) -> Season {
    if i.swing.value == 0.0 {
        Season::steady(i.temperature)
    } else {
        Season::through(i.temperature, i.swing, i.warmest)
    }
}

impl Calculator for Feed {
    type In = FeedIn;
    type Out = FeedOut;
    const ID: &'static str = "feed";
    const TITLE: &'static str = "Feed rate";
    const QUESTION: &'static str = "How much do I feed today?";
    const ANSWER: &'static str = "feed";
    const ABOUT: &'static str = "Today's ration by species, size and water temperature, from published tables where there are any; meals, \
        pellets and scoops; growth and the feed until harvest; and when cold water or a reading says to cut or stop. Tables scatter by a \
        quarter either way: what the fish leave after a quarter of an hour is the last word.";

    fn solve(i: &FeedIn, w: &mut Working) -> Result<FeedOut, Vec<FieldError>> {
        let s = i.species;
        let t = i.temperature;
        let appetite = appetite(s, i.mass, t);
        let ration = feeding::ration(s, i.mass, t);
        let full = feeding::feed(ration, i.count, i.mass);
        let readings = readings(i)?;
        let (share, cut) = readings.map_or((PERCENT.of(1.0), Cut::None), |r| feeding::after_readings(s, &r));
        // What is eaten is given off, and in acid water nothing takes it.
        let acid = readings.map(|r| feeding::in_acid_water(r.ph)).filter(|a| *a < share);
        let (share, cut) = acid.map_or((share, cut), |a| (a, Cut::Acid));
        let feed = full * share;
        let grams = i.mass.value / g(1.0);
        let by_size = tables::meal(grams);
        // Where they eat less for cold or heat there are fewer meals in it.
        let well = feeding::ration(s, i.mass, if t < s.well_from() { s.well_from() } else { t.min(s.well_to()) });
        let meals = match appetite {
            _ if feed.value <= 0.0 => 0.0,
            Appetite::Good => by_size.meals,
            _ => (by_size.meals * (ration / well).value.min(1.0)).round().max(1.0),
        };
        let meal = MASS.of(if meals > 0.0 { feed.value * days(1.0) / meals } else { 0.0 });
        let (best, ordinary) = s.fcr();
        let grows = RATIO.of(if grow(i, feed) { 1.0 } else { 0.0 });
        let season = season(i);
        // Fish that their ration's table outruns are not fed past it.
        let on_ration = Some(Pace::Fed(best)).filter(|_| !s.growth.held_back);
        let on_ration = on_ration.and_then(|p| growth::reach(s, i.mass, i.target, &season, p)).map(|r| r.time);
        let gained = MASS.of((i.target.value - i.mass.value).max(0.0) * i.count.value);
        let until = (gained * best, gained * ordinary);
        let out = FeedOut {
            species: s,
            biomass: i.mass * i.count,
            appetite,
            ration,
            full,
            share,
            cut,
            feed,
            meals: COUNT.of(meals),
            meal,
            scoops: COUNT.of(meal.value / (i.scoop.value * i.pellets.value)),
            pellet: by_size.pellet.map(|p| SHORT_LENGTH.of(mm(p))),
            gain: (feed / ordinary * grows, feed / best * grows),
            time: growth::reached_between(s, i.mass, i.target, &season),
            on_ration,
            until,
            bags: (until.0 / i.bag, until.1 / i.bag),
            unionised: readings.map(|r| r.unionised),
            temperature: t,
            readings,
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &FeedOut, s: &mut dyn Outputs) {
        out(s, "feed", "Feed today", FEED_RATE, o.feed);
        out(s, "full", "Ration before any cut", FEED_RATE, o.full);
        out(s, "ration", "Ration by body mass", DAILY_SHARE, o.ration);
        out(s, "biomass", "Fish in all", MASS, o.biomass);
        word(s, "appetite", "Water is", o.appetite.words());
        out(s, "share", "Share of the ration after readings", PERCENT, o.share);
        word(s, "cut", "Cut by", o.cut.word());
        out(s, "meals", "Meals today", COUNT, o.meals);
        out(s, "meal", "Feed a meal", SMALL_MASS, o.meal);
        out(s, "scoops", "Scoops a meal", RATIO, o.scoops);
        out_opt(s, "pellet", "Pellet", SHORT_LENGTH, o.pellet);
        span(s, "gain", "Gain of all fish a day", FEED_RATE, o.gain.0, o.gain.1);
        out_opt(s, "soonest", "Target reached, at the soonest", DAYS, o.time.0);
        out_opt(s, "latest", "Target reached, ordinarily kept", DAYS, o.time.1);
        span(s, "until", "Feed until the target", MASS, o.until.0, o.until.1);
        span(s, "bags", "Bags until the target", RATIO, o.bags.0, o.bags.1);
        out_opt(s, "unionised", "Un-ionised ammonia", CONCENTRATION, o.unionised);
    }

    const RANKED: Option<&'static str> = Some("feed");

    fn level(o: &FeedOut) -> Option<Level> {
        levels(o).into_iter().next()
    }

    fn cautions(i: &FeedIn, o: &FeedOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &FeedIn, o: &FeedOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// What was read, if anything was.
fn readings(i: &FeedIn) -> Result<Option<Readings>, Vec<FieldError>> {
    if !i.readings.yes() {
        return Ok(None);
    }
    let part = ammonia::unionised_share(i.temperature, i.ph)
        .map_err(|_| vec![FieldError::new("ph", "ammonia cannot be split at this pH", "4.5 to 10")])?;
    Ok(Some(Readings {
        oxygen: i.oxygen,
        tan: i.tan,
        unionised: CONCENTRATION.of(i.tan.value * part.value),
        nitrite: i.nitrite,
        chloride: i.chloride,
        ph: i.ph,
    }))
}

/// Do they grow on so much? Not on less than their upkeep.
fn grow(i: &FeedIn, feed: MassRate) -> bool {
    let keep = feeding::maintenance(i.species, i.mass, i.temperature).map(|k| feeding::feed(k, i.count, i.mass));
    !keep.is_some_and(|k| feed < k)
}

/// How water lets these fish feed. At the very ends of their range the ration is nil: that is no feeding either.
fn appetite(species: &Species, mass: Mass, t: ThermodynamicTemperature) -> Appetite {
    let nil = feeding::ration(species, mass, t).value <= 0.0;
    match feeding::appetite(species, t) {
        Appetite::Cool if nil => Appetite::TooCold,
        Appetite::Warm if nil => Appetite::TooHot,
        other => other,
    }
}

/// Water that kills stands first; then the reading that is furthest past its limit, and where nothing is fed for it, it leads.
fn levels(o: &FeedOut) -> Vec<Level> {
    let deadly = o.deadly();
    let first = deadly.is_some();
    let mut all = match deadly {
        Some(d) if d.by_ph() => vec![d.own_level(), o.warmth()],
        Some(d) => vec![d.level("warmth", "Water temperature")],
        None => vec![o.warmth()],
    };
    if let Some(r) = o.readings {
        let s = o.species;
        if !deadly.is_some_and(|d| d.by_ph()) {
            let ends = [ammonia::ACID[1].value, PH_BORNE[1].value].map(|x| RATIO.of(x));
            let [sour, alkaline] = ["so sour that the filter hardly works", "too alkaline"];
            all.push(Level::between("ph", "pH", RATIO, (r.ph, r.ph), ends[0], ends[1], sour, alkaline));
        }
        all.push(Level::upper("oxygen", "Oxygen needed to feed", CONCENTRATION, s.oxygen_floor(), r.oxygen));
        let nitrite = treatment::nitrite_borne(s, r.chloride);
        let limits = [s.unionised_limit(), s.tan_limit(), nitrite];
        let month = ammonia::usepa_2013(o.temperature, r.ph).map_or(limits[1], |c| c.1);
        all.push(total("ammonia", "Total ammonia", [r.unionised, r.tan], limits, month));
        all.push(Level::upper("unionised", "Un-ionised ammonia", CONCENTRATION, r.unionised, limits[0]));
        all.push(nitrite_level(
            "nitrite",
            "Nitrite",
            r.nitrite,
            nitrite,
            treatment::kept_out(s, r.nitrite, r.chloride),
        ));
    }
    if !first {
        all = lead(all, |l| if l.state() == State::Over { l.fullness() } else { 0.0 });
        all[0].leads &= o.stopped();
    }
    all
}

#[cfg(test)]
mod tests;
