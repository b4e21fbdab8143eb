//! Start-up and ramp.

use super::ammonia::{
    LEAST_LIME, Renewal, chloride, renewal, salt_against, salt_to_hold, salted, to_change, wary, weighed,
};
use super::deadly::Deadly;
use super::form::*;
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
use crate::science::mixing::PH_BORNE;
use crate::science::startup::{self, Seed, Stage};
use crate::science::treatment::{self, Buffer};
use crate::units::{kinds::*, si::*, *};

crate::choices!(Seed:
    Bare = "bare", "Nothing", "";
    Bottle = "bottle", "Bottled bacteria, or water of a ripe system", "";
    Media = "media", "Some medium of a ripe filter", "a tenth or more of it";
    Filter = "filter", "A ripe filter, moved wet", "";
);

/// Inputs.
#[derive(Debug, Clone)]
pub struct StartupIn {
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
            species: &SPECIES[0],
            temperature: TEMPERATURE.of(celsius(25.0)),
            seed: Seed::Bare,
            age: DAYS.of(days(14.0)),
            medium: &MEDIA[0],
            media: VOLUME.of(l(300.0)),
            volume: VOLUME.of(l(900.0)),
            feed: FEED_RATE.of(g_day(15.0)),
            full: FEED_RATE.of(g_day(120.0)),
            protein: PERCENT.of(0.32),
            ration: DAILY_SHARE.of(percent_day(1.5)),
            tan: mg(0.6),
            nitrite: mg(0.5),
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
            Field::new(tag, key, label, CONCENTRATION).range(0.0, mg_l(most)).advised(0.0, mg_l(most / 10.0))
        };
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
            .help("Since ammonia or feed first went in, not since the water did.");
        num(f, &age, &mut self.age);
        let feed = Field::new(5, "feed", "Feed a day now", FEED_RATE)
            .range(0.0, g_day(1e6))
            .advised(0.0, g_day(20e3))
            .help("Nothing before there are fish.");
        num(f, &feed, &mut self.feed);
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
            num(f, &chloride(19), &mut self.chloride);
            num(
                f,
                &reading(9, "nitrate", "Nitrate nitrogen, above the tap's", 2000.0)
                    .help("A kit that reads nitrate itself: divide by 4.43."),
                &mut self.nitrate,
            );
            let ph = Field::new(10, "ph", "pH", RATIO)
                .range(5.0, 9.8)
                .advised(6.2, 8.6)
                .likely(6.7, 7.8)
                .help("A meter or a drop test.");
            num(f, &ph, &mut self.ph);
            let lime = Field::new(11, "alkalinity", "Alkalinity", ALKALINITY)
                .range(0.0, mg_l(1000.0))
                .advised(mg_l(20.0), mg_l(350.0))
                .likely(mg_l(40.0), mg_l(180.0))
                .help("As calcium carbonate, or in the degrees (dKH) of a kit.");
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
            let ration = Field::new(16, "ration", "Feed of fish mass a day", DAILY_SHARE)
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

/// The result.
#[derive(Debug, Clone)]
pub struct StartupOut {
    /// Ripe after, from the start.
    pub ripe: (Time, Time),
    /// Ripe in, from today.
    pub ripe_in: (Time, Time),
    /// Where the readings say it stands.
    pub stage: Stage,
    /// Share it carries today, low and high.
    pub carries: (Ratio, Ratio),
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
    /// A reading is so near its limit that nothing may be added.
    wary: bool,
    /// The fish do not feed in water of this temperature, or die of it.
    feeds: bool,
    deadly: Option<Deadly>,
    limits: [MassConcentration; 2],
    read: [MassConcentration; 2],
}

const DAY: f64 = 86_400.0;
const WEEK: f64 = 7.0 * DAY;
/// Weeks of the ramp that are followed.
const RAMP: u32 = 52;
/// The filter slows down below, and nearly stops at.
const SLOW_PH: f64 = 6.5;

fn level_of(o: &StartupOut) -> Level {
    if let Some(deadly) = o.deadly {
        return deadly.level("feed", "Water temperature");
    }
    Level::upper("feed", "Feed this week", FEED_RATE, o.feed, o.most)
}

fn levels(_: &StartupIn, o: &StartupOut) -> Vec<Level> {
    vec![
        level_of(o),
        Level::upper("filter", "Feed at full stock, filter ripe", FEED_RATE, o.full, o.filter),
        Level::upper("tan", "Ammonia nitrogen", CONCENTRATION, o.tan(), o.limits[0]),
        Level::upper("nitrite", "Nitrite nitrogen", CONCENTRATION, o.nitrite(), o.limits[1]),
    ]
}

impl StartupOut {
    fn tan(&self) -> MassConcentration {
        self.read[0]
    }
    fn nitrite(&self) -> MassConcentration {
        self.read[1]
    }
}

/// Start-up and ramp.
pub struct Startup;

/// The least pH that the un-ionised share is computed for.
const LEAST_PH: f64 = 6.0;

impl Calculator for Startup {
    type In = StartupIn;
    type Out = StartupOut;
    const ID: &'static str = "startup";
    const TITLE: &'static str = "Start-up and ramp";
    const QUESTION: &'static str = "How soon may fish go in, and how much may I feed this week?";
    const ANSWER: &'static str = "most";
    const ABOUT: &'static str = "How long a new filter takes to ripen, by temperature and what it was started with; where the last readings say it stands; the most feed it may get this week, and so the fish that may be added; the ramp to full stock; the buffer that this feed uses up, and the fall of pH that comes without it. Ripening differs from case to case by a factor of two: the readings decide, not the calendar.";

    fn solve(i: &StartupIn, w: &mut Working) -> Result<StartupOut, Vec<FieldError>> {
        let ripe = startup::ripening(i.seed, i.temperature);
        let left = |t: Time| DAYS.of((t.value - i.age.value).max(0.0));
        let carries = startup::carries(i.seed, i.age, i.temperature);
        let area = AREA.of(i.medium.surface().0.value * i.media.value);
        // Below pH 6 the share is less still: on the safe side.
        let share = ammonia::unionised_share(i.temperature, i.ph.max(RATIO.of(LEAST_PH)))
            .map_err(|e| vec![FieldError::new("ph", e.to_string(), "pH 6 to 10 at 0 to 50 °C")])?;
        let unionised = CONCENTRATION.of(i.tan.value * share.value);
        // Full load holds no more ammonia than these fish bear at this pH.
        let borne = ammonia::tan_borne(i.species, share);
        let target = i.target.min(borne);
        let takes = ammonia::filter_capacity(area, i.temperature, target, RATIO.of(1.0), i.ph);
        let filter = ammonia::feed_for_tan(takes, i.protein);
        let goal = if i.full < filter { i.full } else { filter };
        let feeds = !feeding::appetite(i.species, i.temperature).stops();
        let deadly = Deadly::of(i.species, i.temperature);
        let nitrite = treatment::nitrite_borne(i.species, i.chloride);
        let limits = [i.species.unionised_limit(), i.species.tan_limit(), nitrite];
        let wary = wary([unionised, i.tan, i.nitrite], limits);
        let read = Readings {
            oxygen: i.species.oxygen_floor(),
            tan: i.tan,
            unionised,
            nitrite: i.nitrite,
            chloride: i.chloride,
        };
        let cut = feeding::after_readings(i.species, &read);
        let in_week = |n: u32| startup::carries(i.seed, i.age + DAYS.of(WEEK * f64::from(n)), i.temperature).0;
        let one = RATIO.of(1.0);
        let counted = startup::counted_after(i.seed, i.temperature);
        let alone = |tan| ammonia::feed_for_tan(ammonia::untaken(borne, tan, i.volume), i.protein);
        // While it is new the water bears the ammonia alone; no more of it than the filter carries once it is counted on.
        let young = startup::carries(i.seed, counted + DAYS.of(WEEK), i.temperature).0;
        let carried = |n: u32| {
            if i.age.value + WEEK * f64::from(n - 1) < counted.value {
                let alone = alone(if n == 1 { i.tan } else { CONCENTRATION.of(0.0) });
                return alone.min(FEED_RATE.of(filter.value * young.value));
            }
            FEED_RATE.of(filter.value * in_week(n).value)
        };
        // A trace of ammonia beside old nitrate is no load.
        let old = i.nitrate.value > mg_l(startup::NITRATE.value);
        let fed = i.feed.value > 0.0 || i.tan.value > 0.0 && !old;
        let stage = startup::stage([i.tan, i.nitrite, i.nitrate], fed, i.age, ripe.1);
        let most = startup::most_feed(i.feed, goal, carried(1), stage.holds() || wary, cut.0);
        let most = if feeds { most } else { FEED_RATE.of(0.0) };
        let mut ramp = vec![most];
        let mut weeks = (most >= goal && feeds).then_some(0);
        for n in (2..=RAMP).take_while(|_| feeds) {
            let last = ramp[ramp.len() - 1];
            let next = startup::most_feed(last, goal, carried(n), false, one);
            ramp.push(next);
            if next >= goal {
                weeks = weeks.or(Some(n - 1));
                break;
            }
        }
        let fish = MASS.of(most.value / i.ration.value);
        let now = i.feed.value / i.ration.value;
        let add = MASS.of((fish.value - now).max(0.0));
        let nitrogen = ammonia::tan_from_feed(most, i.protein);
        let (carbonate, _) = ammonia::alkalinity(nitrogen);
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
                "56 days at 20 °C and more, × 2 for each 10 °C below, × the start's share",
                &[term("T", TEMPERATURE, i.temperature), term("share", RATIO, RATIO.of(i.seed.shares()[1].value))],
                term("t", DAYS, ripe.1),
                &src::RIPENING_RANGE,
            )
        });
        w.step(|| {
            Step::new(
                "What it surely carries in a week, of its full load",
                "a straight line from 5 % to all of it",
                &[term("days so far", DAYS, i.age)],
                term("share", PERCENT, in_week(1)),
                &src::RIPENING_RANGE,
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
        let new = i.age < counted;
        if new {
            w.step(|| {
                Step::new(
                    "What the water bears alone while the filter is new",
                    "(half of what the fish bear in all - TAN) × V a day/(0.092 × protein)",
                    &[
                        term("they bear", CONCENTRATION, borne),
                        term("TAN", CONCENTRATION, i.tan),
                        term("V", VOLUME, i.volume),
                    ],
                    term("feed", FEED_RATE, alone(i.tan)),
                    &oxygen_src::NEW_FILTER,
                )
            });
        }
        w.step(|| {
            Step::new(
                "Most feed this week",
                if !feeds {
                    "nothing: these fish do not feed in water of this temperature"
                } else if new {
                    "min(what the water bears alone, full, fifth of full or 1.3 × today, or today where it is held) × what the readings allow"
                } else if stage.holds() || wary {
                    "min(share × what it carries ripe, full, today) × what the readings allow"
                } else {
                    "min(share × what it carries ripe, full, max(1.3 × today, full/5)) × what the readings allow"
                },
                &[term("today", FEED_RATE, i.feed), term("readings allow", PERCENT, cut.0)],
                term("most", FEED_RATE, most),
                &src::WEEKLY_RISE,
            )
        });
        w.step(|| {
            Step::new(
                "Alkalinity that a week of it uses",
                "7.14 × 0.092 × feed × protein × 7 days/V",
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
        Ok(StartupOut {
            ripe,
            ripe_in: (left(ripe.0), left(ripe.1)),
            stage,
            carries,
            filter,
            goal,
            feed: i.feed,
            full: i.full,
            most,
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
            wary,
            feeds,
            deadly,
            limits: [borne, nitrite],
            read: [i.tan, i.nitrite],
        })
    }

    fn outputs(o: &StartupOut, s: &mut dyn Outputs) {
        word(s, "stage", "Where it stands", o.stage.words());
        span(s, "ripe_in", "Ripe in", DAYS, o.ripe_in.0, o.ripe_in.1);
        span(s, "ripe", "Ripe after, from the start", DAYS, o.ripe.0, o.ripe.1);
        span(s, "carries", "Carries, of its full load", PERCENT, o.carries.0, o.carries.1);
        out(s, "most", "Most feed a day this week", FEED_RATE, o.most);
        out(s, "fish", "Fish that this feeds", MASS, o.fish);
        out(s, "add", "Fish that may be added", MASS, o.add);
        out_opt(s, "weeks", "Weeks to full stock", COUNT, o.weeks.map(|n| COUNT.of(f64::from(n))));
        out(s, "filter", "Feed the ripe filter carries", FEED_RATE, o.filter);
        out(s, "buffer", "Buffer for the week", SMALL_MASS, o.buffer);
        out(s, "used", "Alkalinity used in the week", CONCENTRATION, o.used);
        out(s, "ph_week", "pH in a week without it", RATIO, o.ph_week);
        out_opt(s, "lime", "Alkalinity lasts", DAYS, o.lime);
        out(s, "unionised", "Un-ionised ammonia nitrogen", CONCENTRATION, o.unionised);
    }

    fn level(o: &StartupOut) -> Option<Level> {
        Some(level_of(o))
    }

    fn report(i: &StartupIn, o: &StartupOut, words: Words) -> Report {
        let levels = levels(i, o);
        Report {
            verdict: verdict(i, o, words),
            repairs: repairs(i, o, &levels, words),
            cautions: cautions(i, o, words),
            pictures: vec![picture(i, o, words)],
            tables: vec![ramp(i, o, words)],
            notes: notes(i, o, words),
            levels,
        }
    }
}

/// Is the pH well inside what fish bear?
fn ph_is_borne(i: &StartupIn) -> bool {
    let [low, high] = PH_BORNE.map(|c| RATIO.of(c.value));
    Level::between("ph", "pH", RATIO, (i.ph, i.ph), low, high, "too sour", "too alkaline").state() == State::Enough
}

fn verdict(i: &StartupIn, o: &StartupOut, words: Words) -> String {
    if let Some(deadly) = o.deadly {
        return format!("Add no fish: {}. Other fish, or other water.", deadly.words("water", words));
    }
    let stage = o.stage.words();
    let mut text = format!("The readings say: {stage}.");
    text += &if o.ripe_in.1.value <= 0.0 {
        " By its days it should be ripe.".to_string()
    } else {
        let whole = |t: Time| DAYS.of((t.value / DAY).round() * DAY);
        format!(" Ripe in {}.", words.range(DAYS, whole(o.ripe_in.0), whole(o.ripe_in.1)))
    };
    text += &match o.cut.1 {
        _ if !o.feeds => " At this temperature these fish are not fed: feed nothing".into(),
        Cut::None if o.wary => format!(
            " Ammonia or nitrite is near what these fish bear: feed no more than {} until it is down",
            words.amount(FEED_RATE, o.most)
        ),
        Cut::None if o.most.value > 0.0 && o.stage.holds() => {
            format!(" Feed no more than {} until that changes", words.q(FEED_RATE, o.most))
        }
        Cut::None if o.most.value > 0.0 => format!(" Feed up to {} this week", words.q(FEED_RATE, o.most)),
        Cut::None => " Feed nothing yet".into(),
        which if o.most.value > 0.0 => {
            format!(" Too much {}: feed no more than {}", which.word(), words.q(FEED_RATE, o.most))
        }
        which => format!(" Too much {}: feed nothing until it is down", which.word()),
    };
    text += &if o.add.value > 1e-6 && o.cut.1 == Cut::None && ph_is_borne(i) {
        format!(", and add up to {} of fish.", words.q(MASS, o.add))
    } else {
        ", and add no fish.".into()
    };
    if i.feed > o.most {
        text += " It gets more than that now.";
    }
    text
}

fn repairs(i: &StartupIn, o: &StartupOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    let mut put = |id: &str, title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Startup>(i, before, levels, id, title, edits, words.system));
    };
    let of = |n: usize| move |o: &StartupOut| levels(&StartupIn::default(), o).into_iter().nth(n);
    if before[0].state() != State::Enough {
        let feed = |x: f64| vec![Edit::num("feed", FEED_RATE.of(x))];
        // Where the feed is to stay as it is, less of it only lowers what may come: no repair.
        if let Some(x) = mend::just_enough::<Startup>(i, of(0), feed, i.feed.value, 0.0)
            && (x > 0.0 || o.most.value <= 0.0)
        {
            let x = FEED_RATE.of(significant(x * 0.995, 3));
            put("feed", format!("Feed {}", words.amount(FEED_RATE, x)), feed(x.value));
        }
        let swaps = [
            (Seed::Media, "Move in some medium of a ripe, healthy filter"),
            (Seed::Filter, "Move in a ripe, healthy filter, wet"),
        ];
        for (seed, title) in swaps {
            if seed.shares()[1].value < i.seed.shares()[1].value {
                put("feed", title.into(), vec![Edit::pick("seed", crate::catalog::choose::Choose::id(seed))]);
            }
        }
        if o.cut.1 != Cut::None || o.wary {
            // To four fifths of both limits, and half that of what is un-ionised: as the page on ammonia has it.
            let limits = [i.species.unionised_limit(), i.species.tan_limit(), o.limits[1]];
            let share = to_change([o.unionised, i.tan, i.nitrite], limits);
            let Renewal { change, how, left } = renewal(share, i.volume, words);
            // New water thins out what shows that the filter works, too.
            let readings = [("tan", i.tan), ("nitrite", i.nitrite), ("nitrate", i.nitrate)];
            let thin = readings.map(|(key, x)| Edit::num(key, CONCENTRATION.of(x.value * left)));
            put("feed", format!("{change} first ({how})"), thin.into());
        }
    }
    if before[3].state() != State::Enough
        && let Some((title, edit)) = salted(i.chloride, salt(i), i.volume, words)
    {
        put("nitrite", title, vec![edit]);
    }
    if before[1].state() != State::Enough {
        let media = |x: f64| vec![Edit::num("media", VOLUME.of(x))];
        if let Some(x) = mend::just_enough::<Startup>(i, of(1), media, i.media.value, 500.0) {
            let x = VOLUME.of(mend::rounded(x, i.media.value, words.step(VOLUME, l(10.0))).min(500.0));
            let title = format!("{} of {} in all, ripened like the rest", words.q(VOLUME, x), lower(i.medium.label));
            put("filter", title, media(x.value));
        }
        let full = |x: f64| vec![Edit::num("full", FEED_RATE.of(x))];
        if let Some(x) = mend::just_enough::<Startup>(i, of(1), full, i.full.value, g_day(0.1)) {
            let x = FEED_RATE.of(significant(x * 0.995, 3).max(g_day(0.1)));
            put("filter", format!("Plan for {}", words.q(FEED_RATE, x)), full(x.value));
        }
    }
    all
}

/// Salt that brings chloride to ten times the nitrite.
fn salt(i: &StartupIn) -> Mass {
    salt_to_hold(i.nitrite, i.chloride, i.volume)
}

fn cautions(i: &StartupIn, o: &StartupOut, words: Words) -> Vec<Caution> {
    let mut all = vec![Caution::from(
        "The readings decide, not the calendar. Test ammonia and nitrite every day until both have been low for a week.",
        &src::RIPENING_CURVES,
    )];
    if o.unionised > i.species.unionised_limit() && i.feed.value > 0.0 {
        all.push(Caution::from(
            format!(
                "{} of the ammonia is un-ionised: harmful to fish now. See the page on ammonia.",
                words.q(CONCENTRATION, o.unionised)
            ),
            &oxygen_src::EMERSON_1975,
        ));
    }
    all.extend(salt_against(i.nitrite, salt(i), words));
    if o.ph_week.value < SLOW_PH {
        all.push(Caution::new(format!(
            "Without buffer the pH would be {} in a week. Below 6.5 the filter slows down and at 6 it nearly stops: ammonia then comes back at once.",
            words.plain(o.ph_week.value)
        )));
    }
    if !ph_is_borne(i) {
        all.push(Caution::from(
            format!(
                "Fish bear pH {} to {}, and little is left here: put that right, in small steps, before any go in.",
                words.plain(PH_BORNE[0].value),
                words.plain(PH_BORNE[1].value)
            ),
            PH_BORNE[0].source,
        ));
    }
    if o.deadly.is_some() {
        all.push(Caution::new("At this temperature this fish dies, whatever the filter carries."));
    }
    if !o.feeds {
        all.push(Caution::new(
            "This fish does not feed in water of this temperature: start the filter without fish, with ammonia, or wait.",
        ));
    }
    if i.seed == Seed::Media || i.seed == Seed::Filter {
        all.push(Caution::new("Ripe medium also carries the diseases of where it came from. Take it from a healthy system only, keep it wet and aired, and use it within hours."));
    }
    all.push(Caution::from(
        "Without fish: household ammonia without soap or scent, to 2 mg/L and no more than 5. Gloves, goggles, open windows, and never together with bleach.",
        &src::FISHLESS,
    ));
    all
}

fn notes(i: &StartupIn, o: &StartupOut, words: Words) -> Vec<String> {
    let mut all = vec![];
    // Without feed nothing is used up.
    if o.most.value > 0.0 {
        all.push(format!(
            "This week's feed uses up {} of alkalinity: {} of {}, a seventh each day, puts it back.",
            words.q(CONCENTRATION, o.used),
            weighed(o.buffer, words),
            crate::catalog::choose::Choose::label(i.buffer).to_ascii_lowercase()
        ));
        all.push(format!(
            "Without it the pH goes from {} to {} in a week.",
            words.plain(i.ph.value),
            words.plain(o.ph_week.value)
        ));
    }
    if let Some(t) = o.lime {
        all.push(if t.value < DAY / 24.0 {
            "The alkalinity is used up: the filter has none to work with.".into()
        } else {
            format!("The alkalinity would last {}.", spoken(t.value))
        });
    }
    if o.filter < o.full {
        all.push(format!(
            "Even ripe, this filter is only sure to carry {} of the {} planned.",
            words.q(FEED_RATE, o.filter),
            words.q(FEED_RATE, o.full)
        ));
    }
    if o.new && o.feeds {
        all.push(format!(
            "For its first {} the filter is not counted on: so much is fed that a day's ammonia, not taken at all, brings the water to half of the {} that these fish bear at this pH.",
            spoken(o.counted.value),
            words.q(CONCENTRATION, o.limits[0])
        ));
    }
    let whole = if o.filter < o.full { "all that this filter carries" } else { "the full feed" };
    all.extend(match o.weeks {
        // What carries nothing has no full feed.
        _ if !o.feeds || o.filter.value <= 0.0 => None,
        Some(0) => Some(format!("This week it may get {whole}.")),
        Some(1) => Some(format!("If the readings stay good, {whole} is reached in a week.")),
        Some(n) => Some(format!("If the readings stay good, {whole} is reached in {n} weeks.")),
        None => Some(format!("By this ramp {whole} is more than a year away.")),
    });
    if i.feed.value <= 0.0 && o.feeds {
        all.push("Begin with a fifth of the fish.".into());
    }
    all
}

fn ramp(i: &StartupIn, o: &StartupOut, words: Words) -> Table {
    let protein = i.protein;
    let rows = o.ramp.iter().enumerate().take(16).map(|(n, feed)| {
        let fish = MASS.of(feed.value / i.ration.value);
        let nitrogen = ammonia::tan_from_feed(*feed, protein);
        let lime = CONCENTRATION.of(ammonia::alkalinity(nitrogen).0.value * WEEK / i.volume.value);
        let buffer = treatment::bicarbonate(lime, i.volume, i.buffer);
        vec![
            if n == 0 { "this".to_string() } else { format!("{}", n + 1) },
            words.q(FEED_RATE, *feed),
            words.q(MASS, fish),
            weighed(buffer, words),
        ]
    });
    Table {
        title: "The ramp, while ammonia and nitrite stay low".into(),
        head: ["Week", "Feed", "Fish it feeds", "Buffer that week"].map(Into::into).into(),
        rows: rows.collect(),
    }
}

fn picture(i: &StartupIn, o: &StartupOut, words: Words) -> Picture {
    let span = (o.ripe.1.value * 1.2).max(i.age.value * 1.1).max(days(14.0));
    let line = |high: bool| -> Vec<(f64, f64)> {
        (0..=40)
            .map(|n| {
                let t = span * f64::from(n) / 40.0;
                let (a, b) = startup::carries(i.seed, DAYS.of(t), i.temperature);
                (t, o.filter.value * if high { b.value } else { a.value })
            })
            .collect()
    };
    let mut steps = vec![];
    for (n, feed) in o.ramp.iter().enumerate() {
        let from = i.age.value + WEEK * n as f64;
        if from < span {
            steps.extend([(from, feed.value), ((from + WEEK).min(span), feed.value)]);
        }
    }
    let top = o.filter.value.max(o.feed.value).max(o.full.value);
    Picture::Chart(Chart {
        title: "What the filter carries, and the ramp".into(),
        describe: format!(
            "The filter carries {} of its full load today and is ripe after {}. The ramp begins with {} of feed a day.",
            words.range(PERCENT, o.carries.0, o.carries.1),
            words.range(DAYS, o.ripe.0, o.ripe.1),
            words.q(FEED_RATE, o.most)
        ),
        x: Axis::new("since the start", DAYS.0, 0.0, span, words.system),
        y: Axis::new("feed", FEED_RATE.0, 0.0, top * 1.1, words.system),
        series: vec![
            Series { name: "surely".into(), role: Role::Water, points: line(false) },
            Series { name: "at best".into(), role: Role::Guide, points: line(true) },
            Series { name: "ramp".into(), role: Role::Plant, points: steps },
        ],
        marks: vec![Mark { label: "today".into(), x: i.age.value, y: o.feed.value }],
        bands: vec![],
        brim: Some((o.full.value, "full stock".into())),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::sheet::solve;

    fn run(i: &StartupIn) -> StartupOut {
        solve::<Startup>(i, &mut Working::none()).expect("solves")
    }
    fn mg(x: f64) -> MassConcentration {
        CONCENTRATION.of(mg_l(x))
    }

    #[test]
    fn a_week_by_hand() {
        let o = run(&StartupIn::default());
        // 300 L at 250 m2/m3: 75 m2; at 25 °C 0.5/1.2159 g/m2/day: 30.84 g of nitrogen, 1047.6 g of feed at 32 %.
        assert!((o.filter.value / g_day(1047.6) - 1.0).abs() < 1e-3, "{}", o.filter.value / g_day(1.0));
        // Nitrite is not taken yet: today's 15 g are not raised. Then a fifth of the 120 g planned, and 1.3 times a week: 24, 31, 41, 53, 69, 89,
        // 116, 120.
        assert_eq!(o.stage, Stage::Nitrite);
        assert!((o.most.value / g_day(15.0) - 1.0).abs() < 1e-9, "{}", o.most.value / g_day(1.0));
        assert_eq!((o.weeks, o.add.value), (Some(8), 0.0));
        let said = |i: &StartupIn| Startup::report(i, &run(i), Words::default());
        assert!(said(&StartupIn::default()).verdict.ends_with("until that changes, and add no fish."));
        // Once it comes down, a fifth of the plan may go in: surely carried on day 28 of 56 is more than that.
        let i = StartupIn { nitrate: mg(20.0), ..StartupIn::default() };
        assert!((run(&i).most.value / g_day(24.0) - 1.0).abs() < 1e-9);
        // Two weeks of feed and clean readings prove nothing, and nothing is used up where nothing is fed.
        let i = StartupIn { tan: mg(0.0), nitrite: mg(0.0), nitrate: mg(0.0), ..StartupIn::default() };
        assert_eq!((run(&i).stage, run(&i).add.value), (Stage::Unseen, 0.0));
        let i = StartupIn { tan: mg(3.0), ..StartupIn::default() };
        assert!(!said(&i).notes.iter().any(|n| n.contains("uses up")));
    }

    /// A filter of no age takes nothing: a day's ammonia brings the water to half of what the fish bear at this pH.
    #[test]
    fn a_new_filter_is_fed_by_what_the_water_bears() {
        let i = StartupIn {
            age: DAYS.of(0.0),
            volume: VOLUME.of(l(300.0)),
            ph: RATIO.of(8.2),
            temperature: TEMPERATURE.of(celsius(28.0)),
            feed: FEED_RATE.of(0.0),
            tan: mg(0.0),
            nitrite: mg(0.0),
            nitrate: mg(0.0),
            ..StartupIn::default()
        };
        let o = run(&i);
        let made = ammonia::tan_from_feed(o.most, i.protein).value * DAY / i.volume.value;
        let share = ammonia::unionised_share(i.temperature, i.ph).expect("a share").value;
        assert!((made * share / i.species.unionised_limit().value - 0.5).abs() < 1e-9, "{made}");
        assert!(o.carries.0.value == 0.0 && o.add.value < 0.2);
        // What is there already counts, and after two weeks the filter does.
        assert_eq!(run(&StartupIn { tan: mg(0.26), ..i.clone() }).most.value, 0.0);
        let later = run(&StartupIn { age: DAYS.of(days(14.0)), ..i.clone() });
        assert!((later.most.value / g_day(24.0) - 1.0).abs() < 1e-9);
        // A ripe filter that was moved is counted on after some days.
        assert!(run(&StartupIn { age: DAYS.of(days(5.0)), seed: Seed::Filter, ..i }).carries.0.value > 0.3);
    }

    /// Full load is what holds the ammonia to what these fish bear, as stocking has it.
    #[test]
    fn the_full_load_is_that_of_the_fish_and_the_ph() {
        let trout = StartupIn {
            species: Species::by_id("trout").expect("trout"),
            temperature: TEMPERATURE.of(celsius(14.0)),
            ..StartupIn::default()
        };
        let set = |x| run(&StartupIn { target: mg(x), ..trout.clone() }).filter.value;
        assert!((set(1.0) / set(0.5) - 1.0).abs() < 1e-12 && set(0.4) < set(0.5));
        let warm = StartupIn { temperature: TEMPERATURE.of(celsius(28.0)), ..StartupIn::default() };
        let share = ammonia::unionised_share(warm.temperature, RATIO.of(8.5)).expect("a share").value;
        let [low, high] = [7.2, 8.5].map(|ph| run(&StartupIn { ph: RATIO.of(ph), ..warm.clone() }).filter.value);
        assert!((high / low - 0.05 / share).abs() < 1e-9, "{}", high / low);
    }

    /// New water thins out nitrate too, so a change of water does not bring fish; and un-ionised ammonia is thinned out as well.
    #[test]
    fn a_change_of_water_thins_out_what_shows_the_stage() {
        let i = StartupIn {
            feed: FEED_RATE.of(g_day(100.0)),
            tan: mg(2.5),
            nitrite: mg(3.0),
            nitrate: mg(6.0),
            age: DAYS.of(days(20.0)),
            ..StartupIn::default()
        };
        let change = |i: &StartupIn| {
            let r = Startup::report(i, &run(i), Words::default());
            let change = r.repairs.into_iter().find(|r| r.title.starts_with("Change")).expect("a change of water");
            mend::outcome::<Startup>(i, &change.edits).expect("solves")
        };
        let after = change(&i);
        assert_eq!((after.stage, after.add.value), (Stage::Nitrite, 0.0));
        let high = StartupIn { ph: RATIO.of(8.6), ..StartupIn::default() };
        assert!(change(&high).unionised.value <= mg_l(0.0252));
    }

    #[test]
    fn bad_readings_stop_the_ramp() {
        let i = StartupIn { tan: mg(3.0), ..StartupIn::default() };
        let o = run(&i);
        assert_eq!(o.most.value, 0.0);
        assert_eq!(o.add.value, 0.0);
        let r = Startup::report(&i, &o, Words::default());
        assert!(r.verdict.contains("feed nothing"), "{}", r.verdict);
        // A change of water that clears the readings does not ripen the filter: today's feed stays the most.
        let cleared = r.repairs.iter().find(|r| r.title.starts_with("Change")).expect("a change of water");
        assert_eq!((cleared.level.state(), cleared.level.percent().as_str()), (State::Tight, "100\u{202f}%"));
        let half = run(&StartupIn { nitrite: mg(1.5), ..StartupIn::default() });
        assert!((half.most.value / g_day(7.5) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_ramp_never_falls_and_ends_at_the_plan() {
        for seed in [Seed::Bare, Seed::Bottle, Seed::Media, Seed::Filter] {
            let i = StartupIn {
                seed,
                feed: FEED_RATE.of(0.0),
                age: DAYS.of(0.0),
                media: VOLUME.of(l(60.0)),
                tan: mg(0.0),
                ..StartupIn::default()
            };
            let o = run(&i);
            assert!(o.ramp.windows(2).all(|p| p[1] >= p[0]), "{seed:?}");
            let weeks = o.weeks.expect("it ends");
            assert!((o.ramp[o.ramp.len() - 1].value / o.goal.value - 1.0).abs() < 1e-9);
            assert!(weeks >= 1 && f64::from(weeks) * 7.0 <= o.ripe.1.value / 86_400.0 + 60.0, "{seed:?} {weeks}");
        }
    }

    #[test]
    fn buffer_and_the_fall_of_ph() {
        let i = StartupIn {
            feed: FEED_RATE.of(g_day(200.0)),
            full: FEED_RATE.of(g_day(200.0)),
            age: DAYS.of(days(200.0)),
            media: VOLUME.of(l(57.28)),
            ..StartupIn::default()
        };
        let o = run(&i);
        // The filter carries just 200 g: 5.888 g of nitrogen, 42.07 g of calcium carbonate a day, 294.5 g a week in 900 L: 327 mg/L; more than
        // the 90 there are, so the pH falls away.
        assert!((o.most.value / g_day(200.0) - 1.0).abs() < 2e-3, "{}", o.most.value / g_day(1.0));
        assert!((o.used.value / mg_l(327.2) - 1.0).abs() < 3e-3, "{}", o.used.value * 1e3);
        assert!(o.ph_week.value < 6.0);
        // 589 g of potassium bicarbonate put it back.
        assert!((o.buffer.value - 0.589).abs() < 0.003, "{}", o.buffer.value);
        // Half the alkalinity at the same carbon dioxide costs 0.3 of pH.
        let w = Water { temperature: i.temperature, ph: RATIO.of(7.2), alkalinity: mg(90.0) };
        let half = carbonate::ph_of(i.temperature, mg(45.0), carbonate::carbon_dioxide(&w));
        assert!((half.value - 6.9).abs() < 0.01);
    }
}
