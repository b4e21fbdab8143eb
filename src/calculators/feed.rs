//! Feed rate: today's ration by species, size and water temperature, meals, growth, the feed until harvest, and when to cut or stop.

use super::ammonia::{Renewal, chloride, renewal, to_change};
use super::deadly::Deadly;
use super::form::*;
use super::mend::{self, round_up};
use super::outcome::*;
use super::sheet::{self, Calculator};
use crate::catalog::crops::{Hunger, METHODS};
use crate::catalog::feeding::{self as tables, PELLET_DENSITY};
use crate::catalog::sources::{biology as src, general};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Band, Chart, Mark, Picture, Role, Series};
use crate::science::feeding::{self, Appetite, Cut, Readings};
use crate::science::growth::{self, Pace, Season};
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
            num(f, &swing.help("Nil where a heater or a climate holds the water steady."), &mut self.swing);
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
            let ph = Field::new(14, "ph", "pH", RATIO).range(6.0, 10.0).advised(6.0, 9.0);
            num(
                f,
                &ph.help("With the temperature it says how much of the ammonia is poisonous.").detail(),
                &mut self.ph,
            );
            let nitrite = Field::new(15, "nitrite", "Nitrite (as nitrogen)", CONCENTRATION)
                .range(0.0, mg_l(50.0))
                .advised(0.0, mg_l(10.0));
            num(f, &nitrite.help("In nitrite, divide by 3.28.").detail(), &mut self.nitrite);
            num(f, &chloride(16), &mut self.chloride);
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
    /// Until the target at the best feed per gain, and at the ordinary.
    pub time: (Option<Time>, Option<Time>),
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
    fn warmth(&self) -> Level {
        Level::between(
            "warmth",
            "Water for feeding",
            TEMPERATURE,
            (self.temperature, self.temperature),
            self.species.stops_below(),
            self.species.stops_above(),
            "too cold to feed",
            "too hot to feed",
        )
    }
    fn deadly(&self) -> Option<Deadly> {
        Deadly::of(self.species, self.temperature)
    }
    /// Water that kills before water that is only too cold or too hot to feed.
    fn foremost(&self) -> Level {
        self.deadly().map_or_else(|| self.warmth(), |d| d.level("warmth", "Water temperature"))
    }
    fn stopped(&self) -> bool {
        self.feed.value <= 0.0
    }
}

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
        w.step(|| {
            Step::new(
                "Ration of one fish",
                "by the table or the growth of this species, at this mass and temperature",
                &[term("W", SMALL_MASS, i.mass), term("T", TEMPERATURE, t)],
                term("r", DAILY_SHARE, ration),
                feeding::source(s),
            )
        });
        let full = feeding::feed(ration, i.count, i.mass);
        w.step(|| {
            Step::new(
                "Feed of the stock",
                "F = r n W",
                &[term("r", DAILY_SHARE, ration), term("n", COUNT, i.count), term("W", SMALL_MASS, i.mass)],
                term("F", FEED_RATE, full),
                &src::FAO_S4314E,
            )
        });
        let unionised = if i.readings.yes() {
            let part = ammonia::unionised_share(t, i.ph)
                .map_err(|_| vec![FieldError::new("ph", "ammonia cannot be split at this pH", "6 to 10")])?;
            Some(CONCENTRATION.of(i.tan.value * part.value))
        } else {
            None
        };
        let readings = unionised.map(|unionised| Readings {
            oxygen: i.oxygen,
            tan: i.tan,
            unionised,
            nitrite: i.nitrite,
            chloride: i.chloride,
        });
        let (share, cut) = readings.map_or((PERCENT.of(1.0), Cut::None), |r| feeding::after_readings(s, &r));
        let feed = full * share;
        if let Some(r) = readings {
            w.step(|| {
                Step::new(
                    "Cut by the readings",
                    "all of it inside the limits, half past one, none past twice it; for oxygen straight from the floor to the critical",
                    &[
                        term("O2", CONCENTRATION, r.oxygen),
                        term("TAN", CONCENTRATION, r.tan),
                        term("NH3", CONCENTRATION, r.unionised),
                        term("NO2", CONCENTRATION, r.nitrite),
                    ],
                    term("share", PERCENT, share),
                    &src::FEED_JUDGEMENT,
                )
            });
        }
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
        let scoops = COUNT.of(meal.value / (i.scoop.value * i.pellets.value));
        w.step(|| {
            Step::new(
                "Scoops a meal",
                "meal / (scoop x pellets)",
                &[
                    term("meal", SMALL_MASS, meal),
                    term("scoop", SMALL_VOLUME, i.scoop),
                    term("pellets", DENSITY, i.pellets),
                ],
                term("scoops", RATIO, scoops),
                &general::ELEMENTARY,
            )
        });
        let (best, ordinary) = s.fcr();
        let keep = feeding::maintenance(s, i.mass, t).map(|k| feeding::feed(k, i.count, i.mass));
        let grows = RATIO.of(if keep.is_some_and(|k| feed < k) { 0.0 } else { 1.0 });
        let gain = (feed / ordinary * grows, feed / best * grows);
        w.step(|| {
            Step::new(
                "Gain of the stock",
                "F / (feed per gain), at its best; nothing on less than their upkeep",
                &[term("F", FEED_RATE, feed), term("FCR", RATIO, best)],
                term("gain", FEED_RATE, gain.1),
                s.table.fcr_low.source,
            )
        });
        let season = season(i);
        let reach = |fcr| growth::reach(s, i.mass, i.target, &season, Pace::Fed(fcr)).map(|r| r.time);
        let time = (reach(best), reach(ordinary));
        let gained = MASS.of((i.target.value - i.mass.value).max(0.0) * i.count.value);
        let until = (gained * best, gained * ordinary);
        w.step(|| {
            Step::new(
                "Feed until harvest",
                "n (target - W) x (feed per gain), ordinary keeping",
                &[
                    term("n", COUNT, i.count),
                    term("target", SMALL_MASS, i.target),
                    term("W", SMALL_MASS, i.mass),
                    term("FCR", RATIO, ordinary),
                ],
                term("feed", MASS, until.1),
                s.table.fcr_high.source,
            )
        });
        Ok(FeedOut {
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
            scoops,
            pellet: by_size.pellet.map(|p| SHORT_LENGTH.of(mm(p))),
            gain,
            time,
            until,
            bags: (until.0 / i.bag, until.1 / i.bag),
            unionised,
            temperature: t,
            readings,
        })
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
        out_opt(s, "soonest", "Target reached, well kept", DAYS, o.time.0);
        out_opt(s, "latest", "Target reached, ordinarily kept", DAYS, o.time.1);
        span(s, "until", "Feed until the target", MASS, o.until.0, o.until.1);
        span(s, "bags", "Bags until the target", RATIO, o.bags.0, o.bags.1);
        out_opt(s, "unionised", "Un-ionised ammonia", CONCENTRATION, o.unionised);
    }

    const RANKED: Option<&'static str> = Some("feed");

    fn level(o: &FeedOut) -> Option<Level> {
        Some(o.foremost())
    }

    fn report(i: &FeedIn, o: &FeedOut, words: Words) -> Report {
        Report {
            verdict: o.deadly().map_or(String::new(), |d| d.first(words) + " ") + &verdict(i, o, words),
            levels: levels(o),
            repairs: repairs(i, o, words),
            cautions: cautions(i, o, words),
            pictures: vec![chart(i, o, words)],
            tables: vec![by_temperature(i, words), as_they_grow(i, words), when_to_stop(i, words)],
            notes: notes(i, o, words),
        }
    }
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

/// What is fed in a day, as a mass, for sentences.
pub(super) fn in_a_day(feed: MassRate, w: Words) -> String {
    a_mass(MASS.of(feed.value * days(1.0)), w)
}

/// A mass of feed, in small units as long as it is small.
fn a_mass(mass: Mass, w: Words) -> String {
    if mass.value < 2.0 { w.q(SMALL_MASS, mass) } else { w.q(MASS, mass) }
}

/// Masses a day, in one unit.
pub(super) fn range_in_a_day((low, high): (MassRate, MassRate), w: Words) -> String {
    let mass = |rate: MassRate| MASS.of(rate.value * days(1.0));
    if mass(high).value < 2.0 {
        w.range(SMALL_MASS, mass(low), mass(high))
    } else {
        w.range(MASS, mass(low), mass(high))
    }
}

fn verdict(i: &FeedIn, o: &FeedOut, w: Words) -> String {
    let s = o.species;
    let t = w.q(TEMPERATURE, i.temperature);
    match o.appetite {
        Appetite::TooCold => {
            return format!(
                "Do not feed. The water is {t}, and {} are fed only above {}: what they eat rots in them and in the water.",
                s.noun,
                w.q(TEMPERATURE, s.stops_below())
            );
        }
        Appetite::TooHot => {
            return format!(
                "Do not feed. The water is {t}, and {} are fed only below {}: feeding would take the last of the oxygen.",
                s.noun,
                w.q(TEMPERATURE, s.stops_above())
            );
        }
        _ => {}
    }
    if o.stopped() {
        let past = past_bearing(s, o.readings.as_ref());
        let (is, that) = if past.len() > 1 { ("are", "these") } else { ("is", "that") };
        let past = crate::units::listed(&past);
        return format!("Do not feed today: {past} {is} past what {} bear. Put {that} right first.", s.noun);
    }
    let meals = if o.meals.value <= 1.0 {
        "in one meal".to_string()
    } else {
        format!("in {} meals of {}", w.n(COUNT, o.meals), a_mass(o.meal, w))
    };
    let each = if o.meals.value <= 1.0 { "" } else { " each" };
    let scoops = match o.scoops.value {
        x if x < 0.1 => format!(", less than a tenth of a scoop{each}"),
        // Nobody fills hundredths of a scoop.
        x if x < 1.0 => format!(", {} of a scoop{each}", w.plain((x * 10.0).round() / 10.0)),
        x => format!(", {} scoops{each}", w.plain(significant(x, 2))),
    };
    let mut text = format!("Feed {} today, {meals}{scoops}.", in_a_day(o.feed, w));
    if o.cut != Cut::None {
        text += &format!(" That is {} of the ration, because of the {}.", w.q(PERCENT, o.share), o.cut.word());
    } else if o.appetite != Appetite::Good {
        text += &format!(" The water is {}.", o.appetite.words());
    }
    text
}

/// The readings that alone stop the feed.
fn past_bearing(s: &Species, read: Option<&Readings>) -> Vec<&'static str> {
    let Some(r) = read else { return vec![] };
    let twice = |x: MassConcentration, limit: MassConcentration| x > limit * 2.0;
    [
        (r.oxygen < feeding::least_oxygen(s), Cut::Oxygen),
        (twice(r.tan, s.tan_limit()) || twice(r.unionised, s.unionised_limit()), Cut::Ammonia),
        (twice(r.nitrite, treatment::nitrite_borne(s, r.chloride)), Cut::Nitrite),
    ]
    .into_iter()
    .filter(|x| x.0)
    .map(|x| x.1.word())
    .collect()
}

fn levels(o: &FeedOut) -> Vec<Level> {
    let mut all = vec![o.foremost()];
    if let Some(r) = o.readings {
        let s = o.species;
        all.push(Level::upper("oxygen", "Oxygen needed to feed", CONCENTRATION, s.oxygen_floor(), r.oxygen));
        all.push(Level::upper("ammonia", "Total ammonia", CONCENTRATION, r.tan, s.tan_limit()));
        all.push(Level::upper("unionised", "Poisonous ammonia", CONCENTRATION, r.unionised, s.unionised_limit()));
        all.push(Level::upper("nitrite", "Nitrite", CONCENTRATION, r.nitrite, treatment::nitrite_borne(s, r.chloride)));
    }
    all
}

/// What brings readings down or up that are past their limits.
fn of_readings(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<Repair> {
    let Some(r) = o.readings else { return vec![] };
    let (s, before) = (o.species, levels(o));
    let worst = |ids: &[&str]| {
        let over = before.iter().filter(|l| ids.contains(&l.id.as_ref()) && l.state() == State::Over);
        over.max_by(|a, b| a.fullness().total_cmp(&b.fullness())).map(|l| l.id.to_string())
    };
    let mend = |id: String, title: String, edits: Vec<Edit>| {
        mend::mend::<Feed>(i, &before, |_, o| levels(o), &id, title, edits, w.system)
    };
    let air = worst(&["oxygen"]).and_then(|id| {
        let to = CONCENTRATION.of(round_up(s.oxygen_floor().value / ENOUGH, w.one(CONCENTRATION)));
        let title = format!("More air, until it reads {}", w.q(CONCENTRATION, to));
        mend(id, title, vec![Edit::num("oxygen", to)])
    });
    let water = worst(&["ammonia", "unionised", "nitrite"]).and_then(|id| {
        let limits = [s.unionised_limit(), s.tan_limit(), treatment::nitrite_borne(s, i.chloride)];
        let share = to_change([r.unionised, r.tan, r.nitrite], limits);
        // How much water there is nobody asks here.
        let Renewal { change, left, .. } = renewal(share, VOLUME.of(0.0), w);
        let title = format!("{change} first: see the page on ammonia");
        let left = |key: &str, x: MassConcentration| Edit::num(key, x * left);
        mend(id, title, vec![left("tan", r.tan), left("nitrite", r.nitrite)])
    });
    air.into_iter().chain(water).collect()
}

fn repairs(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<Repair> {
    let mut all = of_readings(i, o, w);
    let (to, also) = match o.appetite {
        Appetite::TooCold => (o.species.well_from(), "Warm slowly, and count what the heater costs."),
        Appetite::TooHot => (o.species.well_to(), "Shade, night air and new water cool; warm water holds less oxygen."),
        _ => return all,
    };
    let changed = FeedIn { temperature: to, ..i.clone() };
    let Ok(after) = sheet::solve::<Feed>(&changed, &mut Working::none()) else { return all };
    // Warmer water makes more of the same ammonia poisonous.
    let poisoned =
        after.unionised > o.unionised && after.unionised.is_some_and(|u| u > after.species.unionised_limit());
    let first =
        if poisoned { "Change water first: so much warmer, more ammonia is poisonous than they bear. " } else { "" };
    let effect = if after.stopped() {
        format!("Even then nothing may be fed, because of the {}.", after.cut.word())
    } else {
        format!("{} may then be fed a day.", in_a_day(after.feed, w))
    };
    all.insert(
        0,
        Repair {
            title: format!("Water at {}", w.q(TEMPERATURE, to)),
            effect,
            edits: vec![Edit::num("temperature", to)],
            level: after.warmth(),
            also: Some(format!("{first}{also}")),
        },
    );
    all
}

fn cautions(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<Caution> {
    let s = o.species;
    let (ends, t) = (season(i).ends(), i.temperature);
    let mut all = vec![];
    if t < s.dies_below() || t > s.dies_above() {
        all.push(Caution::from(
            format!(
                "At {} {} die: they live from {} to {}.",
                w.q(TEMPERATURE, t),
                s.noun,
                w.q(TEMPERATURE, s.dies_below()),
                w.q(TEMPERATURE, s.dies_above())
            ),
            if t < s.dies_below() { s.warmth.dies_below.source } else { s.warmth.dies_above.source },
        ));
    } else if i.swing.value > 0.0 && (ends.1 < s.dies_below() || ends.0 > s.dies_above()) {
        all.push(Caution::from(
            format!(
                "Through the year the water goes from {} to {}; {} begin to die below {} and above {}.",
                w.q(TEMPERATURE, ends.1),
                w.q(TEMPERATURE, ends.0),
                s.noun,
                w.q(TEMPERATURE, s.dies_below()),
                w.q(TEMPERATURE, s.dies_above())
            ),
            s.warmth.dies_below.source,
        ));
    }
    if let Some(from) = s.handle_from()
        && t < from
    {
        let source = s.warmth.handle_from.map_or(&src::SPECIES_JUDGEMENT, |c| c.source);
        all.push(Caution::from(
            format!("Do not net, grade or weigh {} below {}: many die of it later.", s.noun, w.q(TEMPERATURE, from)),
            source,
        ));
    }
    if let Some(r) = o.readings
        && r.nitrite > treatment::nitrite_borne(s, r.chloride)
    {
        all.push(Caution::from(
            "Nitrite is kept out of fish by chloride: at least ten times as much. Salt harms plants; work it out before adding any.",
            &src::SRAC_462,
        ));
    }
    all.push(Caution::new(
        "Oxygen falls for hours after a meal. Feed only with the air on and time left to watch; never just before leaving.",
    ));
    all.push(Caution::from(
        "Keep feed dry, cool and dark, use it within about three months, and throw away what is damp, mouldy or rancid.",
        &src::FEED_PRACTICE,
    ));
    all.push(Caution::from(s.permit, &src::SPECIES_PERMITS));
    all
}

fn notes(i: &FeedIn, o: &FeedOut, w: Words) -> Vec<String> {
    let s = o.species;
    let mut all = vec![format!(
        "Give a meal in small handfuls and stop when they slow. Feed still lying there after a quarter of an hour is too much: give less next time. \
         {} eat well from {} to {}.",
        s.label,
        w.q(TEMPERATURE, s.well_from()),
        w.q(TEMPERATURE, s.well_to())
    )];
    let meal = tables::meal(i.mass.value / g(1.0));
    all.push(match o.pellet {
        Some(p) => format!("At this size: {} of {}.", meal.name, pellet(p, w)),
        None => format!("At this size: {}.", meal.name),
    });
    all.push(match (o.time.0, o.time.1) {
        _ if i.target <= i.mass => "They are at the target already.".into(),
        (Some(a), Some(b)) => format!(
            "{} is reached in {}, with {} of feed ({} of {}), if none die.",
            w.q(SMALL_MASS, i.target),
            w.range(DAYS, whole_days(a), whole_days(b)),
            w.range(MASS, o.until.0, o.until.1),
            match (o.bags.0.value.ceil(), o.bags.1.value.ceil()) {
                (_, most) if most <= 1.0 => "1 bag".to_string(),
                (least, most) => format!("{} bags", w.range(COUNT, COUNT.of(least), COUNT.of(most))),
            },
            w.q(MASS, i.bag)
        ),
        _ => format!(
            "At this temperature {} is not reached within four years in ordinary keeping.",
            w.q(SMALL_MASS, i.target)
        ),
    });
    if let Some(keep) = feeding::maintenance(s, i.mass, i.temperature)
        && !o.appetite.stops()
    {
        let feed = feeding::feed(keep, i.count, i.mass);
        all.push(format!("{} a day only hold their weight.", in_a_day(feed, w)));
        if o.feed < feed {
            all.push("On less than that they do not grow.".into());
        }
    }
    if matches!(s.id, "tilapia" | "blue_tilapia") {
        let mass = |grams: f64| w.q(SMALL_MASS, SMALL_MASS.of(g(grams)));
        all.push(format!(
            "The table is cautious for fish over {}: fed to their fill in warm, well aerated tanks, tilapia have grown from {} to {} in 24 weeks.",
            mass(250.0),
            mass(50.0),
            mass(900.0)
        ));
    }
    all.extend(plants_kept(o, w));
    all
}

/// A pellet's size: where inches are read, pellets are sold by thirty-seconds and what they reduce to.
fn pellet(size: Length, w: Words) -> String {
    if w.system == System::Metric {
        return w.q(SHORT_LENGTH, size);
    }
    let (mut top, mut low) = ((size.value / 0.0254 * 32.0).round().max(1.0) as u32, 32);
    while top.is_multiple_of(2) && low > 1 {
        (top, low) = (top / 2, low / 2);
    }
    if low == 1 { format!("{top}{THIN}in") } else { format!("{top}/{low}{THIN}in") }
}

/// A time in whole days: nobody knows it better.
fn whole_days(t: Time) -> Time {
    DAYS.of(days((t.value / days(1.0)).round()))
}

/// The plants that today's feed keeps, as a bridge to the bed.
fn plants_kept(o: &FeedOut, w: Words) -> Option<String> {
    let (low, high) = METHODS.first()?.ratio(Hunger::Leafy);
    let text = || {
        let (least, most) = (plants::area(o.feed, high), plants::area(o.feed, low));
        format!(
            "This feed keeps {} of leafy plants in media beds, with feed of 32 % protein.",
            w.range(AREA, least, most)
        )
    };
    (!o.stopped()).then(text)
}

fn by_temperature(i: &FeedIn, w: Words) -> Table {
    let s = i.species;
    let (low, high) = (s.warmth.stops_below.value.floor(), s.warmth.stops_above.value.ceil());
    let step = if high - low > 20.0 { 3.0 } else { 2.0 };
    let first = (low / step).floor() * step;
    let rows = (0..=11).map(|n| first + step * f64::from(n)).filter(|c| *c <= high + step && *c >= 0.0).map(|c| {
        let t = TEMPERATURE.of(celsius(c));
        let r = feeding::ration(s, i.mass, t);
        vec![
            w.q(TEMPERATURE, t),
            w.q(FEED_RATE, feeding::feed(r, i.count, i.mass)),
            w.q(DAILY_SHARE, r),
            appetite(s, i.mass, t).words().to_string(),
        ]
    });
    Table {
        title: "At this size, by temperature".into(),
        head: ["Water", "Feed", "Of body mass", ""].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn as_they_grow(i: &FeedIn, w: Words) -> Table {
    let s = i.species;
    let season = season(i);
    let middle = RATIO.of((s.fcr().0.value + s.fcr().1.value) / 2.0);
    let course = growth::course(s, i.mass, i.target, &season, Pace::Fed(middle), growth::horizon());
    let most = 8;
    let every = course.len().div_ceil(most).max(1);
    let last = course.len().saturating_sub(1);
    let rows = course.iter().enumerate().filter(|(n, _)| n % every == 0 || *n == last).map(|(_, (time, mass))| {
        let r = feeding::ration(s, *mass, season.at(*time));
        let m = tables::meal(mass.value / g(1.0));
        vec![
            w.q(DAYS, whole_days(*time)),
            w.q(SMALL_MASS, *mass),
            w.q(FEED_RATE, feeding::feed(r, i.count, *mass)),
            m.pellet.map_or(m.name.to_string(), |p| pellet(SHORT_LENGTH.of(mm(p)), w)),
        ]
    });
    Table {
        title: "As they grow (middle course)".into(),
        head: ["After", "Mean mass", "Feed a day", "Pellet"].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn when_to_stop(i: &FeedIn, w: Words) -> Table {
    let s = i.species;
    let (nitrite, limit) = if i.readings.yes() {
        ("Nitrite nitrogen, with this chloride", treatment::nitrite_borne(s, i.chloride))
    } else {
        ("Nitrite nitrogen, with chloride enough", s.nitrite_limit())
    };
    // At the very end of the range the ration is nil with some.
    let stop = |t: ThermodynamicTemperature, past: &str, from: &str| {
        let word = if appetite(s, i.mass, t).stops() { from } else { past };
        format!("{word} {}", w.q(TEMPERATURE, t))
    };
    let c = |x: MassConcentration| w.q(CONCENTRATION, x);
    let row = |what: &str, cut: String, stop: String| vec![what.to_string(), cut, stop];
    let twice = |x: MassConcentration| c(x * 2.0);
    Table {
        title: "When to feed less, and when not at all".into(),
        head: ["Reading", "Feed less", "Do not feed"].map(String::from).to_vec(),
        rows: vec![
            row(
                "Water, cold",
                format!("below {}", w.q(TEMPERATURE, s.well_from())),
                stop(s.stops_below(), "below", "up to"),
            ),
            row(
                "Water, warm",
                format!("above {}", w.q(TEMPERATURE, s.well_to())),
                stop(s.stops_above(), "above", "from"),
            ),
            row("Oxygen", format!("below {}", c(s.oxygen_floor())), format!("below {}", c(feeding::least_oxygen(s)))),
            row(
                "Total ammonia nitrogen",
                format!("above {}", c(s.tan_limit())),
                format!("above {}", twice(s.tan_limit())),
            ),
            row(
                "Un-ionised ammonia nitrogen",
                format!("above {}", c(s.unionised_limit())),
                format!("above {}", twice(s.unionised_limit())),
            ),
            row(nitrite, format!("above {}", c(limit)), format!("above {}", twice(limit))),
            row("Fish", "leave feed, hang at the surface or the inlet".into(), "gasp, flash, or one has died".into()),
        ],
    }
}

fn chart(i: &FeedIn, o: &FeedOut, w: Words) -> Picture {
    let s = o.species;
    let season = season(i);
    let (best, ordinary) = s.fcr();
    let longest =
        o.time.1.or(o.time.0).map_or(days(365.0), |t| t.value * 1.02).clamp(days(30.0), growth::horizon().value);
    let until = DAYS.of(longest);
    let course = |fcr| {
        let points: Vec<_> = growth::course(s, i.mass, i.target, &season, Pace::Fed(fcr), until)
            .into_iter()
            .map(|(t, m)| (t.value, m.value))
            .collect();
        points
    };
    let curve = |name: &str, role, points| Series { name: name.into(), role, points };
    let top = i.target.value.max(i.mass.value) * 1.08;
    // Stretches of the year in which the water stops the feed.
    let n = 120;
    let mut bands: Vec<Band> = vec![];
    let mut open: Option<(f64, &str)> = None;
    for k in 0..=n {
        let t = longest * f64::from(k) / f64::from(n);
        let now = match feeding::appetite(s, season.at(DAYS.of(t))) {
            Appetite::TooCold => Some("too cold to feed"),
            Appetite::TooHot => Some("too hot to feed"),
            _ => None,
        };
        if let Some((from, label)) = open
            && (now != Some(label) || k == n)
        {
            bands.push(Band { label: label.into(), from, to: t, warn: true });
            open = None;
        }
        if open.is_none() {
            open = now.map(|label| (t, label));
        }
    }
    let days_words = |t: Option<Time>| t.map_or("more than four years".to_string(), |t| w.q(DAYS, whole_days(t)));
    Picture::Chart(Chart {
        title: "Mean mass of one fish".into(),
        describe: format!(
            "From {} the fish reach {} after {} well kept and after {} ordinarily kept.",
            w.q(SMALL_MASS, i.mass),
            w.q(SMALL_MASS, i.target),
            days_words(o.time.0),
            days_words(o.time.1)
        ),
        x: Axis::new("time", DAYS.0, 0.0, longest, w.system),
        y: Axis::new("mean mass", SMALL_MASS.0, 0.0, top, w.system),
        series: vec![
            curve("well kept", Role::Water, course(best)),
            curve("ordinarily kept", Role::Guide, course(ordinary)),
        ],
        marks: vec![Mark { label: "today".into(), x: 0.0, y: i.mass.value }],
        bands,
        brim: (i.target.value > i.mass.value)
            .then(|| (i.target.value, format!("target {}", w.q(SMALL_MASS, i.target)))),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(i: &FeedIn) -> FeedOut {
        sheet::solve::<Feed>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
    }
    fn with(id: &str, count: f64, grams: f64, c: f64) -> FeedIn {
        FeedIn {
            species: Species::by_id(id).unwrap_or_else(|| panic!("{id}")),
            count: COUNT.of(count),
            mass: SMALL_MASS.of(g(grams)),
            temperature: TEMPERATURE.of(celsius(c)),
            ..FeedIn::default()
        }
    }
    fn text(i: &FeedIn) -> String {
        Feed::report(i, &run(i), Words::default()).verdict
    }

    /// Emerson et al. 1975: at pH 8.4 the un-ionised share of ammonia is 5.1 % at 12 °C and about 14 % at 27 °C, so what is borne in cold water can
    /// poison in warm.
    #[test]
    fn warming_says_when_it_poisons() {
        let i = FeedIn {
            temperature: TEMPERATURE.of(celsius(12.5)),
            readings: YesNo::Yes,
            tan: CONCENTRATION.of(mg_l(0.8)),
            ph: RATIO.of(8.4),
            ..FeedIn::default()
        };
        let also = |i: &FeedIn| {
            let o = sheet::solve::<Feed>(i, &mut Working::none()).expect("solved");
            repairs(i, &o, Words::default())[0].also.clone().expect("something")
        };
        assert!(also(&i).starts_with("Change water first"), "{}", also(&i));
        // And where it is past the limit already: more of it is worse, and nothing is fed then.
        let past = FeedIn { tan: CONCENTRATION.of(mg_l(2.0)), ..i.clone() };
        let o = sheet::solve::<Feed>(&past, &mut Working::none()).expect("solved");
        assert!(o.unionised > Some(past.species.unionised_limit()) && also(&past).starts_with("Change water first"));
        let effect = repairs(&past, &o, Words::default()).remove(0).effect;
        assert!(effect.contains("nothing may be fed, because of the ammonia"), "{effect}");
        assert!(!also(&FeedIn { ph: RATIO.of(7.0), ..i }).contains("poisonous"));
    }

    #[test]
    fn a_ration_in_meals_and_scoops() {
        // SRAC 282, Table 1 (from memory): 100 g at 3.5 %, so 40 fish get 140 g a day.
        let o = run(&with("tilapia", 40.0, 100.0, 28.0));
        assert!((o.feed.value - g_day(140.0)).abs() < g_day(0.01), "{o:?}");
        assert_eq!((o.meals.value, o.cut, o.appetite), (3.0, Cut::None, Appetite::Good));
        assert!((o.meal.value * o.meals.value - g(140.0)).abs() < 1e-9);
        // A quarter litre of pellets at 0.45 kg/L weighs 112.5 g.
        assert!((o.scoops.value - 140.0 / 3.0 / 112.5).abs() < 1e-9);
        // 40 fish gain 400 g each: 16 kg, on 1.4 to 1.8 kg of feed a kg.
        assert!((o.until.0.value - 22.4).abs() < 1e-9 && (o.until.1.value - 28.8).abs() < 1e-9);
        assert!(o.time.0 < o.time.1 && o.time.1.is_some());
    }

    #[test]
    fn the_fed_stock_of_a_forum_example() {
        // A keepers' forum: 100 fish of 35 g at 5.5 % get 192.5 g a day; between the rows in ln mass it is 5.17 % and 181 g.
        let o = run(&with("tilapia", 100.0, 35.0, 28.0));
        assert!((o.feed.value / g_day(192.5) - 1.0).abs() < 0.07, "{o:?}");
        // The example goes on: 1347.5 g a week at 0.75 kg of gain a kg of feed are 1010.6 g; rounded to 1000, 45 g each.
        let week = g_day(192.5) * days(7.0);
        assert!((week - g(1347.5)).abs() < 1e-9 && (week * 0.75 - g(1010.6)).abs() < g(0.05));
        // And the app's own gain in a week lies by it: a feed per gain of 1.4 to 1.8 against their 1.33.
        let gained = [o.gain.0, o.gain.1].map(|x| x.value * days(7.0) / g(1.0));
        assert!(gained[0] > 650.0 && gained[1] < 1010.6, "{gained:?}");
    }

    #[test]
    fn cold_and_hot_water_stop_the_feed() {
        let cold = with("tilapia", 40.0, 100.0, 14.0);
        assert_eq!((run(&cold).feed.value, run(&cold).meals.value, run(&cold).scoops.value), (0.0, 0.0, 0.0));
        assert!(
            text(&cold).starts_with(
                "Do not feed. The water is 14\u{202f}°C, and Nile tilapia are fed only above 17\u{202f}°C"
            ),
            "{}",
            text(&cold)
        );
        assert_eq!(run(&cold).warmth().state(), State::Over);
        let hot = with("trout", 40.0, 100.0, 22.5);
        assert_eq!(run(&hot).appetite, Appetite::TooHot);
        let fixed = Feed::report(&hot, &run(&hot), Words::default()).repairs;
        assert_eq!(fixed.len(), 1);
        assert!(fixed[0].level.state() != State::Over);
        assert_eq!(run(&with("trout", 40.0, 100.0, 12.0)).warmth().state(), State::Enough);
        // Cool water: fewer meals.
        assert!(run(&with("tilapia", 40.0, 100.0, 22.0)).meals.value < 3.0);
        // They fall with the ration, not all at once.
        let meals = |t: f64| run(&with("tilapia", 40.0, 227.0, t)).meals.value;
        assert_eq!((meals(27.0), meals(26.9), meals(19.0)), (2.0, 2.0, 1.0));
    }

    #[test]
    fn readings_cut_the_feed() {
        let mut i = FeedIn { readings: YesNo::Yes, ..with("tilapia", 40.0, 100.0, 28.0) };
        assert_eq!(run(&i).cut, Cut::None);
        i.tan = CONCENTRATION.of(mg_l(1.5));
        assert_eq!((run(&i).share.value, run(&i).cut), (0.5, Cut::Ammonia));
        assert!(text(&i).contains("50\u{202f}% of the ration, because of the ammonia"), "{}", text(&i));
        // Emerson et al. 1975: at pH 8.4 and 28 °C 14.95 % is un-ionised: 0.9 mg/L is then past twice 0.05.
        i.tan = CONCENTRATION.of(mg_l(0.9));
        i.ph = RATIO.of(8.4);
        assert!((run(&i).unionised.map_or(0.0, |u| u.value) - mg_l(0.9 * 0.1495)).abs() < mg_l(1e-3));
        assert_eq!(run(&i).feed.value, 0.0);
        assert!(text(&i).starts_with("Do not feed today: ammonia"), "{}", text(&i));
        i.ph = RATIO.of(7.0);
        i.oxygen = CONCENTRATION.of(mg_l(2.0));
        assert_eq!((run(&i).feed.value, run(&i).cut), (0.0, Cut::Oxygen));
        // Just above the critical 2.3 mg/L they gasp.
        i.oxygen = CONCENTRATION.of(mg_l(2.35));
        assert!(text(&i).starts_with("Do not feed today: oxygen is past"), "{}", text(&i));
    }

    #[test]
    fn a_season_is_shown_and_slows() {
        let steady = with("tilapia", 40.0, 100.0, 28.0);
        let season = FeedIn { swing: TEMPERATURE_DIFFERENCE.of(8.0), warmest: DAYS.of(0.0), ..steady.clone() };
        assert!(run(&season).time.1 > run(&steady).time.1);
        let r = Feed::report(&season, &run(&season), Words::default());
        let Some(Picture::Chart(c)) = r.pictures.first() else { panic!("no chart") };
        assert!(c.bands.iter().any(|b| b.label == "too cold to feed"), "{:?}", c.bands);
    }

    #[test]
    fn assumptions_are_ranked_by_the_ration() {
        let sheet = sheet::entry::<Feed>();
        let all = crate::calculators::ranking::rank(&*(sheet.sheet)(), &|_| true);
        let at = |path: &str| all.iter().position(|i| i.path == path);
        // The mass and the number of fish set the ration; what the scoop holds does not.
        assert!(at("count").is_some_and(|k| k < 3) && at("mass").is_some_and(|k| k < 3), "{all:?}");
        assert!(at("scoop").is_none());
        assert!(all[0].words(System::Metric).starts_with("moves feed today from "), "{}", all[0].words(System::Metric));
    }

    #[test]
    fn at_target_already() {
        let i = FeedIn { target: SMALL_MASS.of(g(80.0)), ..with("carp", 10.0, 100.0, 24.0) };
        let o = run(&i);
        assert_eq!((o.until.1.value, o.time.1.map(|t| t.value)), (0.0, Some(0.0)));
        let notes = Feed::report(&i, &o, Words::default()).notes;
        assert!(
            notes.iter().any(|n| n.contains("at the target already"))
                && notes.iter().any(|n| n.contains("hold their weight"))
        );
    }
}
