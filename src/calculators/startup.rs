//! Start-up and ramp.

mod report;

use super::ammonia::{
    LEAST_LIME, Renewal, Stay, buffered, chloride, lasts, may_stay, renewal, salt_against, salt_to_hold, salted,
    suffocating, to_change, told, total, uncounted, wary, weighed,
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

/// What comes next where ammonia is dosed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// Water is changed: too much stands in it.
    Change,
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

const DAY: f64 = 86_400.0;
const WEEK: f64 = 7.0 * DAY;
/// Weeks of the ramp that are followed.
const RAMP: u32 = 52;
/// The filter slows down below.
const SLOW_PH: f64 = 6.5;
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
        Level::upper("nitrite", "Nitrite nitrogen", CONCENTRATION, o.nitrite(), o.limits[1]),
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

impl Calculator for Startup {
    type In = StartupIn;
    type Out = StartupOut;
    const ID: &'static str = "startup";
    const TITLE: &'static str = "Start-up and ramp";
    const QUESTION: &'static str = "How soon may fish go in, and how much may I feed this week?";
    const ANSWER: &'static str = "most";
    const ABOUT: &'static str = "How long a new filter takes to ripen, by temperature and what it was started with; where the last readings say it stands; the most feed it may get this week, and so the fish that may be added; the ramp to full stock; the buffer that this feed uses up, and the fall of pH that comes without it. Or without fish, with ammonia that is dosed: how much, when again, and when it is ripe. Ripening differs from case to case by a factor of two: the readings decide, not the calendar.";

    fn solve(i: &StartupIn, w: &mut Working) -> Result<StartupOut, Vec<FieldError>> {
        let ripe = startup::ripening(i.seed, i.temperature);
        let left = |t: Time| DAYS.of((t.value - i.age.value).max(0.0));
        let area = AREA.of(i.medium.surface().0.value * i.media.value);
        let refused = |e: OutOfRange| vec![FieldError::new("ph", e.to_string(), "pH 4.5 to 10 at 0 to 50 °C")];
        let share = ammonia::unionised_share(i.temperature, i.ph).map_err(refused)?;
        let hour = ammonia::usepa_2013(i.temperature, i.ph).map_err(refused)?.0;
        let unionised = CONCENTRATION.of(i.tan.value * share.value);
        // Full load holds no more ammonia than these fish bear at this pH.
        let borne = ammonia::tan_borne(i.species, share);
        let target = i.target.min(borne);
        let takes = ammonia::filter_capacity(area, i.temperature, target, RATIO.of(1.0), i.ph);
        let filter = ammonia::feed_for_tan(takes, i.protein);
        let goal = if i.full < filter { i.full } else { filter };
        let deadly = Deadly::of_both(i.species, i.temperature, treatment::salt_of(i.chloride));
        let feeds = appetite(i) && deadly.is_none();
        let nitrite = treatment::nitrite_borne(i.species, i.chloride);
        let limits = [i.species.unionised_limit(), i.species.tan_limit(), nitrite];
        let readings = [unionised, i.tan, i.nitrite];
        let wary = wary(readings, limits);
        let wanted = salt_to_hold(i.nitrite, i.chloride, i.volume).value > 0.0;
        let stay = match i.supply {
            Supply::Fish => may_stay(readings, limits, wanted, hour),
            Supply::Dosed => Stay::Long,
        };
        let read = Readings {
            oxygen: i.species.oxygen_floor(),
            tan: i.tan,
            unionised,
            nitrite: i.nitrite,
            chloride: i.chloride,
            ph: i.ph,
        };
        let cut = feeding::after_readings(i.species, &read);
        let one = RATIO.of(1.0);
        let counted = startup::counted_after(i.seed, i.temperature);
        // While it is new the water bears the ammonia alone, of all the days so far; no more of it than the ripe filter takes.
        let alone = |tan| ammonia::feed_for_tan(ammonia::untaken_for_long(borne, tan, i.volume), i.protein);
        // Its film has lived on what the water bore.
        let lived = alone(CONCENTRATION.of(0.0)).min(filter);
        let rates = [lived, filter];
        let carries = startup::carries(i.seed, i.age, i.temperature, rates);
        let in_week = |n: u32| startup::carries(i.seed, i.age + DAYS.of(WEEK * f64::from(n)), i.temperature, rates).0;
        let carried = |n: u32| match i.age.value + WEEK * f64::from(n - 1) < counted.value {
            true => alone(if n == 1 { i.tan } else { CONCENTRATION.of(0.0) }).min(filter),
            // What it carries only at the end of a week is not fed from its first day on.
            false => filter * in_week(n - 1),
        };
        let nitrate = i.nitrate_read.yes().then_some(i.nitrate);
        // A trace of ammonia beside old nitrate is no load.
        let old = nitrate.is_none_or(|n| n.value > mg_l(startup::NITRATE.value));
        let without = i.supply == Supply::Dosed;
        let feed = if without { FEED_RATE.of(0.0) } else { i.feed };
        let fed = without || feed.value > 0.0 || i.tan.value > 0.0 && !old;
        let stage = startup::stage([i.tan, i.nitrite], nitrate, fed, i.age, ripe.1);
        let dosed = without.then(|| doses(i, stage, share, target));
        let begun = dosed.as_ref().is_none_or(|d| d.next == Next::Fish);
        let sour = i.alkalinity.value < mg_l(LEAST_LIME.value);
        let held = stage.holds() || wary || sour;
        let most = match &dosed {
            // Of what the test proves four fifths.
            Some(d) if begun => (d.proven * RATIO.of(ENOUGH)).min(goal),
            Some(_) => FEED_RATE.of(0.0),
            None => startup::most_feed(feed, goal, carried(1), held, cut.0),
        };
        let most = if feeds { most } else { FEED_RATE.of(0.0) };
        // Readings that halve the feed halve what was fed then: whoever does so is not told again that it is too much.
        // Nor is feed that is only held where it is at its limit because of that.
        let fed = !without && most.value > 0.0;
        let room = match () {
            () if fed && cut.0.value < 1.0 => carried(1).min(goal),
            () if fed && held => startup::most_feed(feed, goal, carried(1), false, one),
            () => most,
        };
        // Whoever feeds what was read here yesterday feeds no more than that.
        let feed = if feed > room && feed.value <= room.value * AS_SHOWN { room } else { feed };
        let until = ((counted.value - i.age.value) / DAY).max(1.0);
        let unchanged = ammonia::feed_for_tan(ammonia::untaken(borne, i.tan, i.volume), i.protein) / RATIO.of(until);
        let mut ramp = if begun { vec![most] } else { vec![] };
        let mut weeks = (most >= goal && feeds && begun).then_some(0);
        for n in (2..=RAMP).take_while(|_| feeds && begun) {
            let last = ramp[ramp.len() - 1];
            let next = startup::most_feed(last, goal, carried(n).max(most), false, one);
            ramp.push(next);
            if next >= goal {
                weeks = weeks.or(Some(n - 1));
                break;
            }
        }
        let fish = MASS.of(most.value / i.ration.value);
        let now = feed.value / i.ration.value;
        let cold = handling::is_too_cold(i.species, i.temperature);
        // Where it is dosed, that is changed before fish come.
        let stale = !without && nitrate.is_some_and(|n| n.value > mg_l(startup::NITRATE_FOR_FISH.value));
        let well = deadly.is_none() && ph_is_borne(i.ph) && !stale && !cold;
        let may = cut.1 == Cut::None && well && !sour && (dosed.is_none() || !wary);
        let add = MASS.of(if may { (fish.value - now).max(0.0) } else { 0.0 });
        let carbonate = match &dosed {
            // A dose a day at most.
            Some(d) if !begun => FEED_RATE.of(d.lime.value * i.volume.value / DAY),
            _ => ammonia::alkalinity(ammonia::tan_from_feed(most, i.protein)).0,
        };
        let used = CONCENTRATION.of(carbonate.value * WEEK / i.volume.value);
        let buffer = treatment::bicarbonate(used, i.volume, i.buffer);
        let water = Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity };
        let gas = carbonate::carbon_dioxide(&water);
        let after = CONCENTRATION.of((i.alkalinity.value - used.value).max(0.0));
        let ph_week = carbonate::ph_of(i.temperature, after, gas);
        let ph_week = if ph_week < i.ph { ph_week } else { i.ph };
        let lime = (carbonate.value > 0.0).then(|| {
            DAYS.of(((i.alkalinity.value - mg_l(LEAST_LIME.value)).max(0.0) * i.volume.value / carbonate.value)
                .min(days(3650.0)))
        });
        w.step(|| {
            Step::new(
                "Time to ripen, slowest",
                "t = 56 days × 2^(max(0, 20 °C - T)/10) × share, that of the start",
                &[term("T", TEMPERATURE, i.temperature), term("share", RATIO, RATIO.of(i.seed.shares()[1].value))],
                term("t", DAYS, ripe.1),
                &src::RIPENING_RANGE,
            )
        });
        w.step(|| {
            Step::new(
                "What it surely carries now, of its full load",
                "nothing in its first days, then grown from the feed whose ammonia the water bears alone, by the same share every week",
                &[term("days so far", DAYS, i.age), term("alone", FEED_RATE, lived), term("full", FEED_RATE, filter)],
                term("share", PERCENT, in_week(0)),
                &oxygen_src::NEW_FILTER,
            )
        });
        w.step(|| {
            Step::new(
                "Feed that the ripe filter carries",
                "r × surface × medium/(0.092 × protein), r where ammonia is as these fish bear it",
                &[
                    term("r", AREAL_RATE, ammonia::nitrification(i.temperature, target) * ammonia::acid_share(i.ph)),
                    term("surface × medium", AREA, area),
                    term("protein", PERCENT, i.protein),
                ],
                term("feed", FEED_RATE, filter),
                &oxygen_src::FILTER_SAFETY,
            )
        });
        let new = i.age < counted && dosed.is_none();
        if new {
            w.step(|| {
                Step::new(
                    "What the water bears alone while the filter is new",
                    "max(0, min(borne/6, borne/2 - 2/3 × TAN)) V/1 day/(0.092 × protein), borne by the fish in all, a third of the water changed every day",
                    &[
                        term("borne", CONCENTRATION, borne),
                        term("TAN", CONCENTRATION, i.tan),
                        term("V", VOLUME, i.volume),
                    ],
                    term("feed", FEED_RATE, alone(i.tan)),
                    &oxygen_src::NEW_FILTER,
                )
            });
        }
        if let Some(d) = &dosed {
            d.steps(i, target, w);
        }
        w.step(|| {
            Step::new(
                "Most feed this week",
                if !begun {
                    "nothing: no dose was gone in a day"
                } else if feeds && dosed.is_some() {
                    "min(0.8 × proven, full)"
                } else if !feeds {
                    "nothing: these fish do not feed in water of this temperature"
                } else if cut.0.value < 1.0 || held {
                    "min(carried, full, today) × readings allow, carried by the water alone or by the filter"
                } else {
                    "min(carried, full, max(1.3 × today, full/5)), carried by the water alone or by the filter"
                },
                &[
                    term("carried", FEED_RATE, carried(1)),
                    term("full", FEED_RATE, goal),
                    term("today", FEED_RATE, feed),
                    term("readings allow", PERCENT, cut.0),
                ],
                term("most", FEED_RATE, most),
                &src::WEEKLY_RISE,
            )
        });
        w.step(|| {
            Step::new(
                "Alkalinity that a week of it uses",
                if begun { "7.14 × 0.092 × most × protein × 7 days/V" } else { "7 × lime, a dose every day" },
                &[term("V", VOLUME, i.volume)],
                term("used", CONCENTRATION, used),
                &oxygen_src::ALKALINITY,
            )
        });
        w.step(|| {
            Step::new(
                "pH in a week without buffer",
                "the pH of what alkalinity is left, at today's carbon dioxide",
                &[term("left", CONCENTRATION, after), term("carbon dioxide", CONCENTRATION, gas)],
                term("pH", RATIO, ph_week),
                &src::PLUMMER_BUSENBERG_1982,
            )
        });
        let toxic = limits;
        let limits = if without { startup::doses(share).1 } else { [borne, nitrite] };
        Ok(StartupOut {
            dosed,
            ripe,
            ripe_in: (left(ripe.0), left(ripe.1)),
            stage,
            carries,
            lived,
            filter,
            goal,
            feed,
            full: i.full,
            most,
            room,
            cut,
            fish,
            add,
            weeks,
            ramp,
            buffer,
            used,
            ph_week,
            lime,
            unionised,
            counted,
            new,
            unchanged,
            stay,
            share,
            toxic,
            month: ammonia::usepa_2013(i.temperature, i.ph).map_or(limits[0], |c| c.1),
            stale,
            wary,
            sour,
            cold,
            feeds,
            deadly,
            ph: i.ph,
            alkalinity: i.alkalinity,
            limits,
            read: [i.tan, i.nitrite],
        })
    }

    fn outputs(o: &StartupOut, s: &mut dyn Outputs) {
        word(s, "stage", "Where it stands", o.stage.words());
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

/// What is dosed, and what comes next, with `share` of the ammonia un-ionised.
fn doses(i: &StartupIn, stage: Stage, share: Ratio, target: MassConcentration) -> Dosed {
    let (most, [tan, nitrite]) = startup::doses(share);
    let dose = i.dose.min(most);
    let nitrogen = MASS.of(dose.value * i.volume.value);
    let lime = i.product.uses(dose);
    let again = startup::again(dose, share);
    let next = if i.tan > tan || i.nitrite > nitrite {
        Next::Change
    } else if startup::gone_in_a_day(stage, dose, i.since) {
        Next::Fish
    } else if i.alkalinity.value < mg_l(LEAST_LIME.value) + lime.value {
        Next::Buffer
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

impl Dosed {
    fn steps(&self, i: &StartupIn, target: MassConcentration, w: &mut Working) {
        let terms = [term("dose", CONCENTRATION, self.dose), term("V", VOLUME, i.volume)];
        if let Some(salt) = self.salt {
            w.step(|| {
                Step::new(
                    "Ammonium chloride for a dose",
                    "m = 53.491/14.007 × dose × V",
                    &terms,
                    term("m", SMALL_MASS, salt),
                    &src::STOICHIOMETRY,
                )
            });
        }
        if let Some(water) = self.water {
            w.step(|| {
                Step::new(
                    "Household ammonia for a dose",
                    "v = dose × V × 17.031/14.007/(strength × 1000 kg/m³ × (1 - 0.4 × strength))",
                    &[terms[0].clone(), terms[1].clone(), term("strength", PERCENT, i.strength)],
                    term("v", SMALL_VOLUME, water),
                    &src::AMMONIA_DENSITY,
                )
            });
        }
        w.step(|| {
            let salt = i.product == Product::Chloride;
            Step::new(
                "Alkalinity that a dose uses up",
                if salt { "lime = 7.14 × dose" } else { "lime = 7.14/2 × dose, ammonia is half of a buffer itself" },
                &terms[..1],
                term("lime", CONCENTRATION, self.lime),
                &oxygen_src::ALKALINITY,
            )
        });
        w.step(|| {
            Step::new(
                "Feed that a dose proves, gone in a day",
                "proven = dose × V/1 day × min(1, held/1 mg/L)/(0.092 × protein), held what these fish bear",
                &[
                    terms[0].clone(),
                    terms[1].clone(),
                    term("held", CONCENTRATION, target),
                    term("protein", PERCENT, i.protein),
                ],
                term("proven", FEED_RATE, self.proven),
                &src::DOSE_TEST,
            )
        });
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
