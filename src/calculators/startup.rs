//! Start-up and ramp.

mod report;
mod working;

use super::ammonia::{
    LEAST_LIME, Renewal, Stay, buffered, chloride, lasts, may_stay, nitrite_held, nitrite_level, renewal, salt_against,
    salt_to_hold, salted, suffocating, to_change, told, total, uncounted, wary, weighed,
};
use super::change::Change;
use super::deadly::{Deadly, acidity};
use super::form::*;
use super::handling;
use super::mend;
use super::outcome::*;
use super::sheet::Calculator;
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::sources::{climate as src, oxygen as oxygen_src};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Mark, Picture, Role, Series};
use crate::science::ammonia;
use crate::science::carbonate::{self, Water};
use crate::science::feeding::{self, Cut, Readings};
use crate::science::mixing::{PH_BORNE, PH_STEP};
use crate::science::oxygen_saturation::OutOfRange;
use crate::science::startup::{self, Product, Seed, Stage};
use crate::science::treatment::{self, Buffer};
use crate::units::{kinds::*, si::*, *};

crate::choices!(Seed:
    Bare = "bare", "Nothing", "";
    Bottle = "bottle", "Bottled bacteria, or water of a ripe system", "";
    Media = "media", "Some medium of a ripe filter", "a tenth or more of it";
    Filter = "filter", "A ripe filter, moved wet", "";
);

/// Where the ammonia comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Supply {
    /// Fish and their feed.
    #[default]
    Fish,
    /// It is dosed, and there are no fish.
    Dosed,
}
crate::choices!(Supply:
    Fish = "fish", "Fish", "and their feed";
    Dosed = "dosed", "Ammonia that is dosed", "no fish yet";
);
crate::choices!(Product:
    Chloride = "chloride", "Ammonium chloride", "the pure salt";
    Solution = "solution", "Household ammonia", "clear, without soap or scent";
);

/// Inputs.
#[derive(Debug, Clone)]
pub struct StartupIn {
    /// Where the ammonia comes from.
    pub supply: Supply,
    /// What it is dosed from.
    pub product: Product,
    /// Ammonia in that, by mass.
    pub strength: Ratio,
    /// Ammonia nitrogen of a dose.
    pub dose: MassConcentration,
    /// From the last dose to the readings.
    pub since: Time,
    /// Which fish.
    pub species: &'static Species,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// What the filter starts with.
    pub seed: Seed,
    /// Days since ammonia or feed first went in.
    pub age: Time,
    /// Filter or bed medium.
    pub medium: &'static Medium,
    /// How much of it.
    pub media: Volume,
    /// Water of the system.
    pub volume: Volume,
    /// Feed today.
    pub feed: MassRate,
    /// Feed at full stock.
    pub full: MassRate,
    /// Protein.
    pub protein: Ratio,
    /// Feed of fish mass a day.
    pub ration: SpecificRate,
    /// Ammonia nitrogen.
    pub tan: MassConcentration,
    /// Nitrite nitrogen.
    pub nitrite: MassConcentration,
    /// Was that of nitrate tested too?
    pub nitrate_read: YesNo,
    /// Nitrate nitrogen above that of the tap.
    pub nitrate: MassConcentration,
    /// pH.
    pub ph: Ratio,
    /// Alkalinity.
    pub alkalinity: MassConcentration,
    /// What the buffer is.
    pub buffer: Buffer,
    /// Ammonia nitrogen to hold.
    pub target: MassConcentration,
    /// Chloride.
    pub chloride: MassConcentration,
}

impl Default for StartupIn {
    fn default() -> Self {
        let mg = |x| CONCENTRATION.of(mg_l(x));
        Self {
            supply: Supply::Fish,
            product: Product::Chloride,
            strength: PERCENT.of(0.1),
            dose: mg(2.0),
            since: HOURS.of(hours(24.0)),
            species: &SPECIES[0],
            temperature: TEMPERATURE.of(celsius(25.0)),
            seed: Seed::Bare,
            age: DAYS.of(days(14.0)),
            medium: &MEDIA[0],
            media: VOLUME.of(l(300.0)),
            volume: VOLUME.of(l(900.0)),
            feed: FEED_RATE.of(g_day(5.0)),
            full: FEED_RATE.of(g_day(120.0)),
            protein: PERCENT.of(0.32),
            ration: DAILY_SHARE.of(percent_day(1.5)),
            tan: mg(0.6),
            nitrite: mg(0.5),
            nitrate_read: YesNo::Yes,
            nitrate: mg(3.0),
            ph: RATIO.of(7.2),
            alkalinity: mg(90.0),
            buffer: Buffer::Potassium,
            target: mg(1.0),
            chloride: mg(30.0),
        }
    }
}

impl Fields for StartupIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let reading = |tag, key, label, most: f64| {
            Field::new(tag, key, label, CONCENTRATION).range(0.0, mg_l(most)).advised(0.0, mg_l(most / 10.0)).read()
        };
        let (supply, product) = (self.supply, self.product);
        pick(f, &Pick::new(20, "supply", "The ammonia comes from"), &mut self.supply);
        pick(f, &Pick::new(1, "species", "Fish that go in"), &mut self.species);
        let warm = Field::new(2, "temperature", "Water temperature", TEMPERATURE)
            .range(celsius(1.0), celsius(40.0))
            .advised(celsius(6.0), celsius(32.0))
            .help("A filter ripens twice as fast at 20 °C (68 °F) as at 10 °C (50 °F).");
        num(f, &warm, &mut self.temperature);
        pick(f, &Pick::new(3, "seed", "The filter was started with"), &mut self.seed);
        let age = Field::new(4, "age", "Days so far", DAYS)
            .range(0.0, days(5000.0))
            .advised(0.0, days(1000.0))
            .help("Since ammonia or feed first went in, not the water. From 0 again after three weeks without, or once dry.")
            .read();
        num(f, &age, &mut self.age);
        group(f, &Group::when("supply", "dosed"), supply == Supply::Dosed, &mut |f| {
            pick(f, &Pick::new(21, "product", "Dosed as"), &mut self.product);
            group(f, &Group::when("product", "solution"), product == Product::Solution, &mut |f| {
                let strength = Field::new(22, "strength", "Ammonia in it", PERCENT)
                    .range(0.01, 0.3)
                    .advised(0.02, 0.1)
                    .likely(0.05, 0.1)
                    .help("By weight, on the label: 5 to 10 % in the household.");
                num(f, &strength, &mut self.strength);
            });
            let dose = Field::new(23, "dose", "Ammonia nitrogen of a dose", CONCENTRATION)
                .range(mg_l(startup::LEAST_DOSE.value), mg_l(20.0))
                .advised(mg_l(1.0), mg_l(4.0))
                .help("1 to 2 mg/L to begin with. What is gone in a day is what the filter is proved for.");
            num(f, &dose, &mut self.dose);
            let since = Field::new(24, "since", "From the last dose to the readings", HOURS)
                .range(0.0, hours(2000.0))
                .advised(0.0, hours(500.0))
                .help("A day after it tells the most.");
            num(f, &since, &mut self.since);
        });
        group(f, &Group::when("supply", "fish"), supply == Supply::Fish, &mut |f| {
            let feed = Field::new(5, "feed", "Feed a day now", FEED_RATE)
                .range(0.0, g_day(1e6))
                .advised(0.0, g_day(20e3))
                .help("0 before there are fish.");
            num(f, &feed, &mut self.feed);
        });
        let full = Field::new(6, "full", "Feed a day at full stock", FEED_RATE)
            .range(g_day(0.1), g_day(1e6))
            .advised(g_day(1.0), g_day(20e3))
            .help("Where it is meant to end.");
        num(f, &full, &mut self.full);
        group(f, &Group::titled("Last readings"), true, &mut |f| {
            num(
                f,
                &reading(7, "tan", "Ammonia nitrogen", 100.0)
                    .help("Total. A kit that reads ammonia itself: divide by 1.22."),
                &mut self.tan,
            );
            num(
                f,
                &reading(8, "nitrite", "Nitrite nitrogen", 100.0)
                    .help("A kit that reads nitrite itself: divide by 3.28."),
                &mut self.nitrite,
            );
            num(f, &chloride(19, "chloride").detail(), &mut self.chloride);
            pick(f, &Pick::new(25, "nitrate_read", "Was nitrate tested?"), &mut self.nitrate_read);
            group(f, &Group::when("nitrate_read", "yes"), self.nitrate_read.yes(), &mut |f| {
                num(
                    f,
                    &reading(9, "nitrate", "Nitrate nitrogen, above the tap's", 2000.0)
                        .help("A kit that reads nitrate itself: divide by 4.43."),
                    &mut self.nitrate,
                );
            });
            let ph = Field::new(10, "ph", "pH", RATIO)
                .range(4.5, MOST_PH)
                .advised(6.2, 8.6)
                .likely(6.7, 7.8)
                .help("A meter or a drop test.")
                .read();
            num(f, &ph, &mut self.ph);
            let lime = Field::new(11, "alkalinity", "Alkalinity", ALKALINITY)
                .range(0.0, mg_l(1000.0))
                .advised(mg_l(20.0), mg_l(350.0))
                .likely(mg_l(40.0), mg_l(180.0))
                .help("As calcium carbonate, or in the degrees (dKH) of a kit.")
                .read();
            num(f, &lime, &mut self.alkalinity);
        });
        group(f, &Group::titled("Filter and feed"), true, &mut |f| {
            pick(f, &Pick::new(12, "medium", "Filter or bed medium"), &mut self.medium);
            let media = Field::new(13, "media", "How much of it gets wet", VOLUME)
                .range(0.0, 500.0)
                .advised(l(5.0), 50.0)
                .help("Of beds only the part that water reaches.")
                .way(Way::TapeVolume);
            num(f, &media, &mut self.media);
            let volume = Field::new(14, "volume", "Water of the system", VOLUME)
                .range(l(10.0), 500.0)
                .advised(l(50.0), 100.0)
                .help("Tanks, beds and sump together.")
                .way(Way::TapeVolume);
            num(f, &volume, &mut self.volume);
            let protein = Field::new(15, "protein", "Protein of the feed", PERCENT)
                .range(0.05, 0.75)
                .advised(0.2, 0.56)
                .likely(0.28, 0.45)
                .help("On the bag.")
                .detail();
            num(f, &protein, &mut self.protein);
            let ration = Field::new(16, "ration", "Feed a day, of fish mass", DAILY_SHARE)
                .range(percent_day(0.1), percent_day(25.0))
                .advised(percent_day(0.4), percent_day(10.0))
                .likely(percent_day(1.0), percent_day(2.5))
                .help("1 to 2 % for grown fish, 3 to 6 % for small ones: see the page on feed.");
            num(f, &ration, &mut self.ration);
            pick(f, &Pick::new(17, "buffer", "Buffer").detail(), &mut self.buffer);
            let target = Field::new(18, "target", "Ammonia nitrogen at full load", CONCENTRATION)
                .range(mg_l(0.05), mg_l(10.0))
                .advised(mg_l(0.2), mg_l(2.0))
                .likely(mg_l(0.5), mg_l(1.0))
                .help("Below 1 mg/L a filter takes in proportion. Counted no higher than these fish bear.")
                .detail();
            num(f, &target, &mut self.target);
        });
    }
}

impl StartupIn {
    /// Has the filter had nothing to live on?
    fn unfed(&self) -> bool {
        let nitrate = self.nitrate_read.yes().then_some(self.nitrate);
        let fed = self.supply == Supply::Dosed || self.feed.value > 0.0;
        startup::unfed([self.tan, self.nitrite], nitrate, fed)
    }
    /// The same without days that count for nothing.
    fn as_fed(&self) -> Self {
        Self { age: if self.unfed() { DAYS.of(0.0) } else { self.age }, ..self.clone() }
    }
}

/// What comes next where ammonia is dosed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// Water is changed: too much stands in it.
    Change,
    /// The dose is gone sooner than so young a filter takes it.
    Again,
    /// The dose was gone in a day: fish may come.
    Fish,
    /// The alkalinity is raised.
    Buffer,
    /// The reading is too early.
    Test,
    /// No dose before the readings are down.
    Wait,
    /// The next dose.
    Dose,
}

/// What is found where ammonia is dosed.
#[derive(Debug, Clone)]
pub struct Dosed {
    /// What is done now.
    pub next: Next,
    /// The dose, no more than may be.
    pub dose: MassConcentration,
    /// The most that may be.
    pub most: MassConcentration,
    /// Ammonium chloride for it.
    pub salt: Option<Mass>,
    /// Ammonia water for it.
    pub water: Option<Volume>,
    /// Ammonia and nitrite below which the next is given.
    pub again: [MassConcentration; 2],
    /// Alkalinity that it uses up.
    pub lime: MassConcentration,
    /// Feed a day that such a dose proves, gone in a day.
    pub proven: MassRate,
    asked: MassConcentration,
}

/// The result.
#[derive(Debug, Clone)]
pub struct StartupOut {
    /// Where ammonia is dosed.
    pub dosed: Option<Dosed>,
    /// Ripe after, from the start.
    pub ripe: (Time, Time),
    /// Ripe in, from today.
    pub ripe_in: (Time, Time),
    /// Where the readings say it stands.
    pub stage: Stage,
    /// Share it carries today, low and high.
    pub carries: (Ratio, Ratio),
    /// Feed whose ammonia the water bears alone: its film has lived on that.
    lived: MassRate,
    /// Feed that the ripe filter carries, low surface.
    pub filter: MassRate,
    /// Feed that is meant: the smaller of the plan and what the ripe filter carries.
    pub goal: MassRate,
    /// Feed a day now.
    pub feed: MassRate,
    /// The plan at full stock.
    pub full: MassRate,
    /// Most feed a day this week.
    pub most: MassRate,
    /// What today's feed is held against.
    room: MassRate,
    /// What today's readings cut it by.
    pub cut: (Ratio, Cut),
    /// Fish that this feeds.
    pub fish: Mass,
    /// Fish that may be added.
    pub add: Mass,
    /// Weeks to full stock, by the ramp; missing if it is longer than the ramp is followed.
    pub weeks: Option<u32>,
    /// The ramp: feed week by week, from this one.
    pub ramp: Vec<MassRate>,
    /// Buffer for the coming week at that feed.
    pub buffer: Mass,
    /// Alkalinity used in that week.
    pub used: MassConcentration,
    /// pH in a week if no buffer is given.
    pub ph_week: Ratio,
    /// Time until the alkalinity is nearly gone.
    pub lime: Option<Time>,
    /// Un-ionised ammonia nitrogen today.
    pub unionised: MassConcentration,
    /// Until then from the start the filter is not counted on.
    pub counted: Time,
    /// That is still ahead.
    new: bool,
    /// What may be fed until it is counted on if no water is changed.
    unchanged: MassRate,
    /// How long the readings may stand where fish are, the share un-ionised, and the limits of that, of all ammonia and of nitrite.
    stay: Stay,
    share: Ratio,
    toxic: [MassConcentration; 3],
    /// Chloride keeps as much nitrite out of their blood.
    kept_out: bool,
    /// What nearly all water life bears of all ammonia for a month.
    month: MassConcentration,
    /// There is more nitrate than fish are brought into.
    stale: bool,
    /// A reading is so near its limit that nothing may be added.
    wary: bool,
    /// The alkalinity is used up.
    sour: bool,
    /// The water is too cold to net these fish into.
    cold: bool,
    /// The fish feed in water of this temperature, and live in it.
    feeds: bool,
    deadly: Option<Deadly>,
    ph: Ratio,
    alkalinity: MassConcentration,
    limits: [MassConcentration; 2],
    read: [MassConcentration; 2],
}

const WEEK: f64 = 7.0 * DAY;
/// Weeks of the ramp that are followed.
const RAMP: u32 = 52;
/// The longest that alkalinity is said to last.
const LONGEST: f64 = days(3650.0);
/// The filter slows down below.
const SLOW_PH: f64 = ammonia::ACID[0].value;
/// The highest pH that a filter is started at, where there are no fish (judgement): past it a dose that proves something would hold the second
/// bacteria back.
const WELL_PH: f64 = 8.5;
/// What is read off this page, to three figures, is at most so much more than what it is.
const AS_SHOWN: f64 = 1.005;

fn level_of(o: &StartupOut) -> Level {
    if let Some(d) = &o.dosed {
        return Level::upper("dose", "Ammonia nitrogen of a dose", CONCENTRATION, d.asked, d.most);
    }
    if let Some(deadly) = o.deadly {
        return deadly.level("feed", "Water temperature");
    }
    Level::upper("feed", "Feed this week", FEED_RATE, o.feed, o.room)
}

fn levels(_: &StartupIn, o: &StartupOut) -> Vec<Level> {
    vec![
        level_of(o),
        Level::upper("filter", "Feed at full stock, filter ripe", FEED_RATE, o.full, o.filter),
        match &o.dosed {
            Some(_) => Level::upper("tan", "Ammonia nitrogen", CONCENTRATION, o.tan(), o.limits[0]),
            None => {
                let limits = [o.toxic[0], o.limits[0], o.toxic[2]];
                total("tan", "Ammonia nitrogen", [o.unionised, o.tan()], limits, o.month)
            }
        },
        nitrite_level("nitrite", "Nitrite nitrogen", o.nitrite(), o.limits[1], o.kept_out),
        match &o.dosed {
            Some(_) => {
                let [low, high] = [SLOW_PH, WELL_PH].map(|x| RATIO.of(x));
                Level::between("ph", "pH", RATIO, (o.ph, o.ph), low, high, "too sour", "too alkaline")
            }
            None => acidity("ph", o.ph),
        },
        match &o.dosed {
            Some(d) => {
                let least = CONCENTRATION.of(mg_l(LEAST_LIME.value)) + d.lime;
                Level::upper("alkalinity", "Alkalinity for a dose", CONCENTRATION, least, o.alkalinity)
            }
            None => buffered(o.alkalinity, CONCENTRATION.of(0.0)),
        },
    ]
}

/// Water that kills first; then the reading that is furthest past what fish bear, and a pH near its end before feed that is enough. Where nothing may be
/// fed for it, it leads.
fn first(o: &StartupOut, levels: Vec<Level>) -> Vec<Level> {
    if o.deadly.is_some() && o.dosed.is_none() {
        return levels;
    }
    let well = levels[0].state() == State::Enough;
    let mut all = lead(levels, |l| match (&*l.id, l.state()) {
        ("tan" | "nitrite" | "ph" | "alkalinity", State::Over) => l.fullness(),
        ("ph", State::Tight) if well => l.fullness(),
        _ => 0.0,
    });
    all[0].leads = (all[0].leads || o.dosed.is_some()) && o.most.value <= 0.0;
    all
}

impl StartupOut {
    /// Where it is said to stand: a dose that went too soon proves nothing.
    fn told(&self) -> Stage {
        if self.dosed.as_ref().is_some_and(|d| d.next == Next::Again) { Stage::Early } else { self.stage }
    }
    /// Is nothing said yet of fish, because what is dosed was not gone in a day?
    fn untried(&self) -> bool {
        self.dosed.as_ref().is_some_and(|d| d.next != Next::Fish)
    }
    /// Does the feed need water changed, because the filter is new?
    fn changes(&self) -> bool {
        self.new && self.most > self.unchanged
    }
    fn tan(&self) -> MassConcentration {
        self.read[0]
    }
    fn nitrite(&self) -> MassConcentration {
        self.read[1]
    }
}

/// Start-up and ramp.
pub struct Startup;

/// The highest pH that may be entered, and the most that the alkalinity is raised by in one repair.
const MOST_PH: f64 = 9.8;
const MOST_RISE: f64 = mg_l(500.0);

/// Less than this is not one fish, kg (judgement: a small fingerling).
const FINGERLING: f64 = g(5.0);

impl Calculator for Startup {
    type In = StartupIn;
    type Out = StartupOut;
    const ID: &'static str = "startup";
    const TITLE: &'static str = "Start-up and ramp";
    const QUESTION: &'static str = "How soon may fish go in, and how much may I feed this week?";
    const ANSWER: &'static str = "most";
    const ABOUT: &'static str = "How long a new filter takes to ripen, by temperature and what it was started with; where the last readings say it stands; the most feed it may get this week, and so the fish that may be added; the ramp to full stock; the buffer that this feed uses up, and the fall of pH that comes without it. Or without fish, with ammonia that is dosed: how much, when again, and when it is ripe. Ripening differs from case to case by a factor of two: the readings decide, not the calendar.";

    fn solve(i: &StartupIn, w: &mut Working) -> Result<StartupOut, Vec<FieldError>> {
        let i = &i.as_fed();
        let dosing = i.supply == Supply::Dosed;
        let refused = |e: OutOfRange| vec![FieldError::new("ph", e.to_string(), "pH 4.5 to 10 at 0 to 50 °C")];
        let share = ammonia::unionised_share(i.temperature, i.ph).map_err(refused)?;
        let (hour, month) = ammonia::usepa_2013(i.temperature, i.ph).map_err(refused)?;
        let bears = Bears::of(i, share);
        let goal = if i.full < bears.filter { i.full } else { bears.filter };
        let deadly = Deadly::of_both(i.species, i.temperature, treatment::salt_of(i.chloride));
        let feeds = appetite(i) && deadly.is_none();

        // What the readings say.
        let unionised = CONCENTRATION.of(i.tan.value * share.value);
        let nitrite = treatment::nitrite_borne(i.species, i.chloride);
        let toxic = [i.species.unionised_limit(), i.species.tan_limit(), nitrite];
        let readings = [unionised, i.tan, i.nitrite];
        let wary = wary(readings, toxic);
        let sour = i.alkalinity.value < mg_l(LEAST_LIME.value);
        let held = nitrite_held(i.species, i.nitrite, i.chloride);
        let stay = if dosing { Stay::Long } else { may_stay(readings, toxic, held, hour) };
        let cut = cut_by_readings(i, unionised);
        let ripe = startup::ripening(i.seed, i.temperature);
        let stage = stage(i, ripe.1);
        let dosed = dosing.then(|| doses(i, stage, share, bears.target));
        let begun = dosed.as_ref().is_none_or(|d| d.next == Next::Fish);

        // The feed of this week, and of those after it.
        let fed = if dosing { FEED_RATE.of(0.0) } else { i.feed };
        let carried = bears.carried(i, 1);
        let most = match &dosed {
            _ if !feeds => FEED_RATE.of(0.0),
            // Of what the test proves four fifths.
            Some(d) if begun => (d.proven * RATIO.of(ENOUGH)).min(goal),
            Some(_) => FEED_RATE.of(0.0),
            None => startup::most_feed(fed, goal, carried, holds(stage, wary, sour), cut.0),
        };
        // Readings that halve the feed halve what was fed then: whoever does so is not told again that it is too much.
        // Nor is feed that is only held where it is at its limit because of that.
        let feeding = !dosing && most.value > 0.0;
        let room = match () {
            () if feeding && cut.0.value < 1.0 => carried.min(goal),
            () if feeding && holds(stage, wary, sour) => startup::most_feed(fed, goal, carried, false, RATIO.of(1.0)),
            () => most,
        };
        // Whoever feeds what was read here yesterday feeds no more than that.
        let feed = if fed > room && fed.value <= room.value * AS_SHOWN { room } else { fed };
        let (ramp, weeks) = match (begun, feeds) {
            (false, _) => (vec![], None),
            (true, false) => (vec![most], None),
            (true, true) => ramp(i, &bears, most, goal),
        };

        // The fish that it feeds, and those of them that may come.
        let fish = MASS.of(most.value / i.ration.value);
        let cold = handling::is_too_cold(i.species, i.temperature);
        // Where it is dosed, that is changed before fish come.
        let stale = !dosing && i.nitrate_read.yes() && i.nitrate.value > mg_l(startup::NITRATE_FOR_FISH.value);
        let well = deadly.is_none() && ph_is_borne(i.ph) && !stale && !cold;
        let may = cut.1 == Cut::None && well && !sour && (dosed.is_none() || !wary);
        let more = fish.value - feed.value / i.ration.value;
        let add = if may && more >= FINGERLING { more } else { 0.0 };

        // What a week of it takes of the alkalinity.
        let lime = match &dosed {
            // A dose a day at most.
            Some(d) if !begun => FEED_RATE.of(d.lime.value * i.volume.value / DAY),
            _ => ammonia::alkalinity(ammonia::tan_from_feed(most, i.protein)).0,
        };
        let used = CONCENTRATION.of(lime.value * WEEK / i.volume.value);
        let ph_week = carbonate::ph_of(i.temperature, left_of(i, used), gas(i));
        let out = StartupOut {
            ripe,
            ripe_in: (to_come(i, ripe.0), to_come(i, ripe.1)),
            stage,
            carries: bears.share(i, 0),
            lived: bears.lived,
            filter: bears.filter,
            goal,
            feed,
            full: i.full,
            most,
            room,
            cut,
            fish,
            add: MASS.of(add),
            weeks,
            ramp,
            buffer: treatment::bicarbonate(used, i.volume, i.buffer),
            used,
            ph_week: if ph_week < i.ph { ph_week } else { i.ph },
            lime: (lime.value > 0.0).then(|| lasting(i, lime)),
            unionised,
            counted: bears.counted,
            new: i.age < bears.counted && dosed.is_none(),
            unchanged: bears.unchanged(i),
            stay,
            share,
            toxic,
            month,
            stale,
            wary,
            sour,
            cold,
            feeds,
            deadly,
            ph: i.ph,
            alkalinity: i.alkalinity,
            limits: if dosing { startup::doses(share).1 } else { [bears.borne, nitrite] },
            read: [i.tan, i.nitrite],
            kept_out: !dosing && treatment::kept_out(i.species, i.nitrite, i.chloride),
            dosed,
        };
        if w.on() {
            working::steps(i, &bears, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &StartupOut, s: &mut dyn Outputs) {
        word(s, "stage", "Where it stands", o.told().words());
        span(s, "ripe_in", "Ripe in", DAYS, o.ripe_in.0, o.ripe_in.1);
        span(s, "ripe", "Ripe after, from the start", DAYS, o.ripe.0, o.ripe.1);
        span(s, "carries", "Carries, of its full load", PERCENT, o.carries.0, o.carries.1);
        let changed = "Most feed a day, a third of the water changed daily";
        out(s, "most", if o.changes() { changed } else { "Most feed a day this week" }, FEED_RATE, o.most);
        out(s, "fish", "Fish that this feeds", MASS, o.fish);
        out(s, "add", "Fish that may be added", MASS, o.add);
        out_opt(s, "weeks", "Weeks to full stock", COUNT, o.weeks.map(|n| COUNT.of(f64::from(n))));
        out(s, "filter", "Feed the ripe filter carries", FEED_RATE, o.filter);
        out(s, "buffer", "Buffer for the week", SMALL_MASS, o.buffer);
        out(s, "used", "Alkalinity used in the week", CONCENTRATION, o.used);
        out(s, "ph_week", "pH in a week without it", RATIO, o.ph_week);
        out_opt(s, "lime", "Alkalinity lasts", DAYS, o.lime);
        out(s, "unionised", "Un-ionised ammonia nitrogen", CONCENTRATION, o.unionised);
        let d = o.dosed.as_ref();
        out_opt(s, "dose_salt", "Ammonium chloride for a dose", SMALL_MASS, d.and_then(|d| d.salt));
        out_opt(s, "dose_water", "Household ammonia for a dose", SMALL_VOLUME, d.and_then(|d| d.water));
        out_opt(s, "dose_most", "Most ammonia nitrogen of a dose", CONCENTRATION, d.map(|d| d.most));
        out_opt(s, "proven", "Feed a day that the dose proves, gone in a day", FEED_RATE, d.map(|d| d.proven));
    }

    fn level(o: &StartupOut) -> Option<Level> {
        first(o, levels(&StartupIn::default(), o)).into_iter().next()
    }

    fn cautions(i: &StartupIn, o: &StartupOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &StartupIn, o: &StartupOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// What feed the filter carries, and the water alone while that is new.
struct Bears {
    /// Surface of the filter.
    area: Area,
    /// Ammonia nitrogen that these fish bear at this pH, and that at full load, which is no more.
    borne: MassConcentration,
    target: MassConcentration,
    /// Feed that the ripe filter carries.
    filter: MassRate,
    /// Feed whose ammonia clean water bears alone, no more of it than the ripe filter takes: its film has lived on that.
    lived: MassRate,
    /// Until then from the start the filter is not counted on.
    counted: Time,
}

impl Bears {
    fn of(i: &StartupIn, share: Ratio) -> Self {
        let area = AREA.of(i.medium.surface().0.value * i.media.value);
        let borne = ammonia::tan_borne(i.species, share);
        let target = i.target.min(borne);
        let takes = ammonia::filter_capacity(area, i.temperature, target, RATIO.of(1.0), i.ph);
        let filter = ammonia::feed_for_tan(takes, i.protein);
        let counted = startup::counted_after(i.seed, i.temperature);
        let bare = Self { area, borne, target, filter, lived: filter, counted };
        Self { lived: bare.alone(i, CONCENTRATION.of(0.0)).min(filter), ..bare }
    }
    /// Feed whose ammonia the water bears alone, of all the days so far, with so much in it.
    fn alone(&self, i: &StartupIn, tan: MassConcentration) -> MassRate {
        ammonia::feed_for_tan(ammonia::untaken_for_long(self.borne, tan, i.volume), i.protein)
    }
    /// The same until the filter is counted on, if no water is changed.
    fn unchanged(&self, i: &StartupIn) -> MassRate {
        let until = ((self.counted.value - i.age.value) / DAY).max(1.0);
        ammonia::feed_for_tan(ammonia::untaken(self.borne, i.tan, i.volume), i.protein) / RATIO.of(until)
    }
    /// The share of its full load that the filter carries in so many weeks, low and high.
    fn share(&self, i: &StartupIn, weeks: u32) -> (Ratio, Ratio) {
        let age = i.age + DAYS.of(WEEK * f64::from(weeks));
        startup::carries(i.seed, age, i.temperature, [self.lived, self.filter])
    }
    /// Feed that is carried in a week, this one being the first: by the water while the filter is new, then by that.
    fn carried(&self, i: &StartupIn, week: u32) -> MassRate {
        if i.age.value + WEEK * f64::from(week - 1) < self.counted.value {
            self.alone(i, if week == 1 { i.tan } else { CONCENTRATION.of(0.0) }).min(self.filter)
        } else {
            // What it carries only at the end of a week is not fed from its first day on.
            self.filter * self.share(i, week - 1).0
        }
    }
}

/// What is left of a time that counts from the start.
fn to_come(i: &StartupIn, from_start: Time) -> Time {
    DAYS.of((from_start.value - i.age.value).max(0.0))
}

/// What today's readings cut the feed by.
fn cut_by_readings(i: &StartupIn, unionised: MassConcentration) -> (Ratio, Cut) {
    let read = Readings {
        oxygen: i.species.oxygen_floor(),
        tan: i.tan,
        unionised,
        nitrite: i.nitrite,
        chloride: i.chloride,
        ph: i.ph,
    };
    feeding::after_readings(i.species, &read)
}

/// Where the readings say it stands.
fn stage(i: &StartupIn, slowest: Time) -> Stage {
    let nitrate = i.nitrate_read.yes().then_some(i.nitrate);
    // A trace of ammonia beside old nitrate is no load.
    let old = nitrate.is_none_or(|n| n.value > mg_l(startup::NITRATE.value));
    let fed = i.supply == Supply::Dosed || i.feed.value > 0.0 || i.tan.value > 0.0 && !old;
    startup::stage([i.tan, i.nitrite], nitrate, fed, i.age, slowest)
}

/// Is the feed not raised this week?
const fn holds(stage: Stage, wary: bool, sour: bool) -> bool {
    stage.holds() || wary || sour
}

/// The feed week by week up to the goal, from that of this week on, and the weeks until then; none where that is not seen.
fn ramp(i: &StartupIn, bears: &Bears, most: MassRate, goal: MassRate) -> (Vec<MassRate>, Option<u32>) {
    let mut ramp = vec![most];
    let mut weeks = (most >= goal).then_some(0);
    for n in 2..=RAMP {
        let last = ramp[ramp.len() - 1];
        let next = startup::most_feed(last, goal, bears.carried(i, n).max(most), false, RATIO.of(1.0));
        ramp.push(next);
        if next >= goal {
            weeks = weeks.or(Some(n - 1));
            break;
        }
    }
    (ramp, weeks)
}

/// Alkalinity that is left with so much of it used.
fn left_of(i: &StartupIn, used: MassConcentration) -> MassConcentration {
    CONCENTRATION.of((i.alkalinity.value - used.value).max(0.0))
}

/// Today's carbon dioxide.
fn gas(i: &StartupIn) -> MassConcentration {
    carbonate::carbon_dioxide(&Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity })
}

/// How long the alkalinity lasts where so much goes.
fn lasting(i: &StartupIn, lime: MassRate) -> Time {
    let spare = (i.alkalinity.value - mg_l(LEAST_LIME.value)).max(0.0);
    DAYS.of((spare * i.volume.value / lime.value).min(LONGEST))
}

/// What is dosed, and what comes next, with `share` of the ammonia un-ionised.
fn doses(i: &StartupIn, stage: Stage, share: Ratio, target: MassConcentration) -> Dosed {
    let (most, [tan, nitrite]) = startup::doses(share);
    let dose = i.dose.min(most);
    let nitrogen = MASS.of(dose.value * i.volume.value);
    let lime = i.product.uses(dose);
    let again = startup::again(dose, share);
    // What is gone from a filter that cannot have taken it is asked again, not believed.
    let young = startup::too_young(i.seed, i.age, i.temperature);
    let gone = startup::gone_in_a_day(stage, dose, i.since);
    let next = if i.tan > tan || i.nitrite > nitrite {
        Next::Change
    } else if gone && !young {
        Next::Fish
    } else if i.alkalinity.value < mg_l(LEAST_LIME.value) + lime.value {
        Next::Buffer
    } else if gone {
        Next::Again
    } else if startup::read_early(i.since) && i.age.value >= DAY {
        Next::Test
    } else if i.tan > again[0] || i.nitrite > again[1] {
        Next::Wait
    } else {
        Next::Dose
    };
    Dosed {
        next,
        dose,
        most,
        salt: (i.product == Product::Chloride).then(|| startup::ammonium_chloride(nitrogen)),
        water: (i.product == Product::Solution).then(|| startup::ammonia_water(nitrogen, i.strength)),
        again,
        lime,
        proven: ammonia::feed_for_tan(startup::proven(dose, target, i.volume), i.protein),
        asked: i.dose,
    }
}

/// Do they feed in water of this temperature?
fn appetite(i: &StartupIn) -> bool {
    !feeding::appetite(i.species, i.temperature).stops()
}

/// Is the pH well inside what fish bear?
fn ph_is_borne(ph: Ratio) -> bool {
    acidity("ph", ph).state() == State::Enough
}

#[cfg(test)]
mod tests;
