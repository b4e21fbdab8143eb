//! Ammonia and biofilter.

mod report;

pub(crate) use report::{SALT_BRINGS, idle, most_fed, salt_against, salted, suffocating, told, uncounted};

use super::change::Change;
use super::deadly::{Deadly, acidity};
use super::form::*;
use super::mend::{self, round_up};
use super::outcome::*;
use super::sheet::Calculator;
use crate::catalog::choose::Choose;
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::sources::{Coef, biology, climate as src, general::ELEMENTARY, oxygen as oxygen_src};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Mark, Picture, Role, Series};
use crate::science::carbonate::{self, Water};
use crate::science::feeding::{self, Readings};
use crate::science::treatment::{self, Buffer};
use crate::science::{ammonia, brackish, mixing, reserve};
use crate::units::{kinds::*, si::*, *};

/// What the ammonia test reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ReadAs {
    /// Nitrogen.
    #[default]
    Nitrogen,
    /// The whole molecule.
    Molecule,
}
crate::choices!(ReadAs:
    Nitrogen = "nitrogen", "As nitrogen (NH3-N, NO2-N)", "";
    Molecule = "molecule", "As the molecule (NH3 or NH4, NO2)", "the leaflet says so";
);

/// Inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct AmmoniaIn {
    /// Which fish.
    pub species: &'static Species,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// pH.
    pub ph: Ratio,
    /// Total ammonia as read.
    pub tan: MassConcentration,
    /// What that reads.
    pub tan_as: ReadAs,
    /// Nitrite as read.
    pub nitrite: MassConcentration,
    /// What that reads.
    pub nitrite_as: ReadAs,
    /// Was a test read? Where it reads something, it was.
    pub test_read: YesNo,
    /// Water of the system.
    pub volume: Volume,
    /// Feed a day.
    pub feed: MassRate,
    /// Protein of it.
    pub protein: Ratio,
    /// Filter or bed medium.
    pub medium: &'static Medium,
    /// How much of it.
    pub media: Volume,
    /// Water through it.
    pub flow: VolumeRate,
    /// Days that it has been fed.
    pub age: Time,
    /// Ammonia to hold in the tank.
    pub target: MassConcentration,
    /// Share taken on each pass.
    pub per_pass: Ratio,
    /// Chloride.
    pub chloride: MassConcentration,
    /// Salt.
    pub salinity: MassConcentration,
    /// Alkalinity.
    pub alkalinity: MassConcentration,
    /// Was that measured? Another than the page opens with was.
    pub alkalinity_read: YesNo,
}

impl AmmoniaIn {
    /// Does the test read something?
    pub fn reads_something(&self) -> bool {
        self.tan.value > 0.0 || self.nitrite.value > 0.0
    }
    /// Has anybody read the test? Of nothing at all that is said: it is a clean test, or one that is still to come.
    pub fn is_read(&self) -> bool {
        self.test_read.yes() || self.reads_something()
    }
    /// Does the alkalinity stand as the page opens?
    pub fn opens_with_lime(&self) -> bool {
        (self.alkalinity.value - mg_l(OPENING_LIME)).abs() <= 1e-9
    }
    /// Has anybody measured the alkalinity? Of what the page opens with that is said.
    pub fn is_lime_read(&self) -> bool {
        self.alkalinity_read.yes() || !self.opens_with_lime()
    }
}

impl Default for AmmoniaIn {
    fn default() -> Self {
        let mg = |x| CONCENTRATION.of(mg_l(x));
        Self {
            species: &SPECIES[0],
            temperature: TEMPERATURE.of(celsius(26.0)),
            ph: RATIO.of(7.2),
            tan: mg(0.5),
            tan_as: ReadAs::Nitrogen,
            nitrite: mg(0.2),
            nitrite_as: ReadAs::Nitrogen,
            test_read: YesNo::Yes,
            volume: VOLUME.of(l(900.0)),
            feed: FEED_RATE.of(g_day(120.0)),
            protein: PERCENT.of(0.32),
            medium: &MEDIA[0],
            media: VOLUME.of(l(300.0)),
            flow: FLOW.of(l_h(900.0)),
            age: DAYS.of(days(90.0)),
            target: mg(0.5),
            per_pass: PERCENT.of(0.5),
            chloride: mg(30.0),
            salinity: SALINITY.of(0.0),
            alkalinity: mg(OPENING_LIME),
            alkalinity_read: YesNo::No,
        }
    }
}

/// Chloride, beside a reading of nitrite.
pub(crate) const fn chloride(tag: u8, key: &'static str) -> Field<MassConcentration> {
    Field::new(tag, key, "Chloride", CONCENTRATION)
        .range(0.0, 30.0)
        .advised(0.0, 5.0)
        .likely(0.0, mg_l(80.0))
        .help("On the waterworks' sheet, plus 0.6 of all salt added. It holds nitrite off.")
        .read()
}

impl Fields for AmmoniaIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let reading = |tag, key, label| {
            Field::new(tag, key, label, CONCENTRATION).range(0.0, mg_l(200.0)).advised(0.0, mg_l(10.0)).read()
        };
        pick(f, &Pick::new(1, "species", "Fish"), &mut self.species);
        let warm = Field::new(2, "temperature", "Water temperature", TEMPERATURE)
            .range(celsius(0.5), celsius(40.0))
            .advised(celsius(4.0), celsius(34.0))
            .help("Un-ionised ammonia doubles in about 10 °C (18 °F).");
        num(f, &warm, &mut self.temperature);
        let ph = Field::new(3, "ph", "pH", RATIO)
            .range(4.5, 10.0)
            .advised(6.2, 8.8)
            .likely(6.7, 7.8)
            .help("A meter or a drop test, in the afternoon, when it is highest. Each unit makes ammonia ten times as poisonous.")
            .read();
        num(f, &ph, &mut self.ph);
        let tan = reading(4, "tan", "Ammonia on the test")
            .likely(0.0, mg_l(2.0))
            .help("Total ammonia, what every kit reads.");
        num(f, &tan, &mut self.tan);
        pick(
            f,
            &Pick::new(5, "tan_as", "The ammonia test reads")
                .help("One gram of nitrogen is 1.22 g of ammonia.")
                .detail(),
            &mut self.tan_as,
        );
        num(f, &reading(6, "nitrite", "Nitrite on the test").help("High while a filter is young."), &mut self.nitrite);
        pick(
            f,
            &Pick::new(7, "nitrite_as", "The nitrite test reads")
                .help("One gram of nitrogen is 3.28 g of nitrite.")
                .detail(),
            &mut self.nitrite_as,
        );
        let nothing = !self.reads_something();
        group(f, &Group::titled(""), nothing, &mut |f| {
            let read = Pick::new(21, "test_read", "Was a test read?").said_by(&["tan", "nitrite"]);
            let read =
                read.help("0 and 0 is what a clean test reads. Until one is read, nothing is said to be good by it.");
            pick(f, &read, &mut self.test_read);
        });
        let volume = Field::new(8, "volume", "Water of the system", VOLUME)
            .range(l(10.0), 500.0)
            .advised(l(50.0), 100.0)
            .help("Tanks, beds and sump together.")
            .way(Way::TapeVolume);
        num(f, &volume, &mut self.volume);
        group(f, &Group::titled("Feed and filter"), true, &mut |f| {
            let feed = Field::new(9, "feed", "Feed a day", FEED_RATE)
                .range(0.0, g_day(1e6))
                .advised(0.0, g_day(20e3))
                .help("Weigh a day's feed once.");
            num(f, &feed, &mut self.feed);
            let protein = Field::new(10, "protein", "Protein of the feed", PERCENT)
                .range(0.05, 0.75)
                .advised(0.2, 0.56)
                .likely(0.28, 0.45)
                .help("On the bag.");
            num(f, &protein, &mut self.protein);
            pick(f, &Pick::new(11, "medium", "Filter or bed medium"), &mut self.medium);
            let media = Field::new(12, "media", "How much of it gets wet", VOLUME)
                .range(0.0, 500.0)
                .advised(l(5.0), 50.0)
                .help("Of beds only the part that water reaches.")
                .way(Way::TapeVolume);
            num(f, &media, &mut self.media);
            let flow = Field::new(13, "flow", "Water through it", FLOW)
                .range(0.0, l_h(500_000.0))
                .advised(l_h(20.0), l_h(50_000.0))
                .help("Measured where it comes out.")
                .way(Way::Bucket);
            num(f, &flow, &mut self.flow);
            let age = Field::new(14, "age", "Filter fed for", DAYS)
                .range(0.0, days(20_000.0))
                .advised(0.0, days(4000.0))
                .help("How long this filter has had ammonia to live on. From 0 again after three weeks without, or once dry.")
                .read();
            num(f, &age, &mut self.age);
            let target = Field::new(15, "target", "Ammonia nitrogen to hold in the tank", CONCENTRATION)
                .range(mg_l(0.02), mg_l(20.0))
                .advised(mg_l(0.1), mg_l(2.0))
                .likely(mg_l(0.3), mg_l(1.0))
                .help("The lower, the larger the filter: below 1 mg/L it works in proportion.")
                .detail();
            num(f, &target, &mut self.target);
            let pass = Field::new(16, "per_pass", "Taken on each pass", PERCENT)
                .range(0.02, 1.0)
                .advised(0.1, 0.9)
                .likely(0.2, 0.7)
                .help("Test ammonia before and after the filter.")
                .detail();
            num(f, &pass, &mut self.per_pass);
        });
        group(f, &Group::titled("More about the water"), true, &mut |f| {
            num(f, &chloride(17, "chloride").detail(), &mut self.chloride);
            let salt = Field::new(18, "salinity", "Salt", SALINITY)
                .range(0.0, 40.0)
                .advised(0.0, 10.0)
                .help("Grams in a litre. 0 in fresh water.")
                .detail()
                .read();
            num(f, &salt, &mut self.salinity);
            let lime = Field::new(19, "alkalinity", "Alkalinity", ALKALINITY)
                .range(0.0, mg_l(1000.0))
                .advised(mg_l(10.0), mg_l(400.0))
                .likely(mg_l(30.0), mg_l(150.0))
                .help("As calcium carbonate, or in the degrees (dKH) of a kit.")
                .detail()
                .read();
            num(f, &lime, &mut self.alkalinity);
            let opens = self.opens_with_lime();
            group(f, &Group::titled(""), opens, &mut |f| {
                let read = Pick::new(20, "alkalinity_read", "Was this alkalinity measured?").said_by(&["alkalinity"]);
                let read = read
                    .help("Until it is, carbon dioxide is only hinted at: the water may hold other alkalinity.")
                    .detail();
                pick(f, &read, &mut self.alkalinity_read);
            });
        });
    }
}

/// How long a reading may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stay {
    /// For good.
    Long,
    /// Some days.
    Days,
    /// Some hours.
    Hours,
    /// Not at all.
    Now,
}

impl Stay {
    /// The words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Long => "as long as you like",
            Self::Days => "some days; find the cause",
            Self::Hours => "some hours; act today",
            Self::Now => "not at all; act now",
        }
    }
    /// What is said first.
    pub(crate) const fn first(self) -> &'static str {
        match self {
            Self::Long => "",
            Self::Days => "Fish can take this for days: find the cause. ",
            Self::Hours => "Act today: fish can take this for a few hours. ",
            Self::Now => "Act now: fish cannot take this. ",
        }
    }
}

/// The result.
#[derive(Debug, Clone)]
pub struct AmmoniaOut {
    /// Total ammonia nitrogen.
    pub tan: MassConcentration,
    /// Share un-ionised.
    pub share: Ratio,
    /// Un-ionised ammonia nitrogen.
    pub unionised: MassConcentration,
    /// Nitrite nitrogen.
    pub nitrite: MassConcentration,
    /// Criteria of total ammonia nitrogen for all water life: an hour, a month.
    pub criteria: (MassConcentration, MassConcentration),
    /// They are printed for this water.
    pub printed: bool,
    /// How long it may stand.
    pub stay: Stay,
    /// Share of the water to change to bring un-ionised ammonia to half its limit, all of it and nitrite to four fifths of theirs.
    pub change: Ratio,
    /// It is the nitrite that asks for it.
    pub by_nitrite: bool,
    /// Chloride keeps as much nitrite out of their blood.
    kept_out: bool,
    /// Salt that holds the nitrite off.
    pub salt: Mass,
    /// Ammonia nitrogen made a day.
    pub made: MassRate,
    /// What the filter takes at the target, low and high.
    pub takes: (MassRate, MassRate),
    /// What may be made a day: what it takes, or while it is too new to count on what the water bears alone.
    pub bears: (MassRate, MassRate),
    /// It is too new to count on.
    pub new: bool,
    /// What the water bears alone until then if none of it is changed.
    unchanged: MassRate,
    /// It is counted on after so long.
    counted: Time,
    /// Share of today's feed that the readings allow.
    pub cut: Ratio,
    /// Share of ripeness.
    pub ripe: Ratio,
    /// Medium needed, ripe, low and high surface.
    pub media: (Volume, Volume),
    /// Flow needed.
    pub flow: VolumeRate,
    /// Feed a day.
    pub feed: MassRate,
    /// Flow there is.
    pub has_flow: VolumeRate,
    /// Free carbon dioxide by pH and alkalinity; nothing in salt water, whose acid is not that of fresh water.
    pub carbon_dioxide: Option<MassConcentration>,
    /// Alkalinity used a day, as calcium carbonate and as baking soda.
    pub buffer: (MassRate, MassRate),
    /// Rise a day if the filter stops.
    pub rise: MassConcentration,
    /// Time until the filter brings the reading to its limit, unfed.
    pub down: Option<Time>,
    /// Time until the alkalinity is down to 20 mg/L.
    pub lime: Option<Time>,
    /// What there is, and what of it a day uses.
    alkalinity: (MassConcentration, MassConcentration),
    /// The alkalinity was measured.
    lime_read: bool,
    limits: [MassConcentration; 3],
    ph: Ratio,
    deadly: Option<Deadly>,
}

/// Where the alert stands at the latest.
const ALERT: Coef = Coef::new(0.02, "mg/L", &oxygen_src::UIA_TARGET, "un-ionised, as nitrogen");
/// Alkalinity below which a pH is no longer held.
pub(crate) const LEAST_LIME: Coef = Coef::new(20.0, "mg/L", &src::READINGS_RULE, "as calcium carbonate");
/// The next test is so far off.
const NEXT_TEST: f64 = 7.0 * DAY;
/// Past this multiple of the limit there is no time left.
const ACUTE: Coef = Coef::new(10.0, "1", &src::READINGS_RULE, "of the limit for long");

/// The three readings, the filter, the flow to it, the alkalinity, the pH, and in fresh water the carbon dioxide.
pub(crate) fn levels(_: &AmmoniaIn, o: &AmmoniaOut) -> Vec<Level> {
    let mut all = vec![
        Level::upper("unionised", "Un-ionised ammonia", CONCENTRATION, o.unionised, o.limits[0]),
        total("tan", "Total ammonia nitrogen", [o.unionised, o.tan], o.limits, o.criteria.1),
        nitrite_level("nitrite", "Nitrite nitrogen", o.nitrite, o.limits[2], o.kept_out),
        Level::upper_range("filter", "Biofilter: ammonia a day", FEED_RATE, (o.made, o.made), o.bears),
        Level::upper("flow", "Flow to the biofilter", FLOW, o.flow, o.has_flow),
        buffered(o.alkalinity.0, o.alkalinity.1),
        acidity("ph", o.ph),
    ];
    all.extend(gas_of(o));
    all
}

/// While less than this share of its limit is un-ionised, all of the ammonia only tells that the filter does not keep up (judgement).
const HARDLY_ANY: f64 = 0.1;

/// All of the ammonia against its limit. That is practice for water of a usual pH: where hardly any of it is un-ionised, it harms of itself only
/// past what nearly all water life bears for a `month` ([`ammonia::usepa_2013`]), and is mild up to there.
pub(crate) fn total(
    id: &'static str,
    name: &'static str,
    [unionised, tan]: [MassConcentration; 2],
    limits: [MassConcentration; 3],
    month: MassConcentration,
) -> Level {
    let level = Level::upper(id, name, CONCENTRATION, tan, limits[1]);
    let harmless = unionised < limits[0] * HARDLY_ANY && tan < month;
    if harmless && tan > limits[1] { level.mild() } else { level }
}

/// Nitrite against its limit: mild where it is no more than chloride `kept_out` in trials ([`treatment::kept_out`]). Its cause is to be found all
/// the same.
pub(crate) fn nitrite_level(
    id: &'static str,
    name: &'static str,
    nitrite: MassConcentration,
    limit: MassConcentration,
    kept_out: bool,
) -> Level {
    let level = Level::upper(id, name, CONCENTRATION, nitrite, limit);
    if kept_out && nitrite > limit { level.mild() } else { level }
}

/// Carbon dioxide against what is borne for long. A pH read 0.1 wrong makes it a quarter wrong, so it is over only past what is borne for hours, and
/// never where nobody has measured the alkalinity.
fn gas_of(o: &AmmoniaOut) -> Option<Level> {
    let x = o.carbon_dioxide?;
    let [long, hours] = gas_borne();
    // Which of the two limits it is held against is said.
    let of = |name, most| Level::upper("carbon_dioxide", name, CONCENTRATION, x, most);
    Some(if o.lime_read && x > hours {
        of("Carbon dioxide by pH and alkalinity, for hours", hours)
    } else {
        of("Carbon dioxide by pH and alkalinity, for long", long).mild()
    })
}

/// Carbon dioxide that is borne for long, and for hours.
fn gas_borne() -> [MassConcentration; 2] {
    [reserve::CARBON_DIOXIDE_LONG, reserve::CARBON_DIOXIDE_HOURS].map(|c| CONCENTRATION.of(mg_l(c.value)))
}

/// Alkalinity as the page opens, mg/L.
const OPENING_LIME: f64 = 80.0;

/// The pH that well aired water of this alkalinity comes to, and the ammonia that is un-ionised there.
fn once_aired(i: &AmmoniaIn, o: &AmmoniaOut) -> Option<(Ratio, MassConcentration)> {
    let aired = CONCENTRATION.of(mg_l(carbonate::AIRED_GAS.value));
    o.carbon_dioxide.filter(|x| *x > aired)?;
    let ph = carbonate::ph_of(i.temperature, i.alkalinity, aired);
    let share = brackish::unionised_share(i.temperature, ph, i.salinity).ok()?;
    Some((ph, CONCENTRATION.of(o.tan.value * share.value)))
}

/// The same where more air would turn the ammonia poisonous.
pub(crate) fn air_poisons(i: &AmmoniaIn, o: &AmmoniaOut) -> Option<(Ratio, MassConcentration)> {
    once_aired(i, o).filter(|x| x.1 > o.limits[0] && o.unionised <= o.limits[0])
}

/// More air, where there is too much carbon dioxide and the readings are right, and the pH that it brings.
pub(crate) fn aired(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Option<(String, Vec<Edit>)> {
    gas_of(o).filter(|l| l.state() != State::Enough)?;
    let [long, _] = gas_borne();
    let ph = RATIO.of((carbonate::ph_of(i.temperature, i.alkalinity, long).value * 10.0).ceil() / 10.0);
    let title = format!("If pH and alkalinity are right, more air until the pH is {}", words.plain(ph.value));
    Some((title, vec![Edit::num("ph", ph)]))
}

/// Alkalinity used in a time, kg/m3.
fn used(i: &AmmoniaIn, a_day: MassRate, time: f64) -> f64 {
    a_day.value * time / i.volume.value
}

/// The alkalinity against what still holds the pH once a day has `used` so much more of it. What is gone in less than three days is no more than tight.
pub(crate) fn buffered(alkalinity: MassConcentration, used: MassConcentration) -> Level {
    let upper = |name, days: f64| {
        let least = CONCENTRATION.of(mg_l(LEAST_LIME.value) + used.value * days);
        Level::upper("alkalinity", name, CONCENTRATION, least, alkalinity)
    };
    let today = upper("Alkalinity that holds the pH", 1.0);
    let soon = upper("Alkalinity that holds the pH for three days", HOLDS_FOR);
    let short = soon.state() == State::Over && today.state() == State::Enough;
    if short { soon.mild() } else { today }
}

/// Days that the alkalinity should last without buffer (judgement).
const HOLDS_FOR: f64 = 3.0;

/// How long it lasts, where that is not to the next test, and what comes of it.
pub(crate) fn running_out(o: &AmmoniaOut, buffer: Buffer, words: Words) -> Option<Caution> {
    let makes_up = match is_alkaline(o.ph) {
        true => "Give none while the pH is so high.".into(),
        false => format!("{} makes up for it, less where plants take up nitrate.", a_day(o, buffer, words)),
    };
    let rise = words.q(CONCENTRATION, o.rise);
    let text = format!("{} {makes_up} Where the filter stops, ammonia rises by {rise} a day.", lasts(soon(o)?));
    Some(Caution::from(text, &oxygen_src::ALKALINITY))
}

/// Alkalinity up to which water is commonly held (common practice, no source), mg/L: what uses more in a week is buffered more often.
const MOST_LIME: f64 = 140.0;
/// The pH of baking soda by itself: it lifts none past that.
const SODA_PH: f64 = 8.3;

/// What buffers alkalinity where plants grow or not: sodium would pile up in their water ([`src::SALT_AND_PLANTS`]).
pub(crate) fn buffer_for(plants: bool) -> Buffer {
    if plants { Buffer::Potassium } else { Buffer::Sodium }
}

/// What a day uses, of this buffer.
fn a_day(o: &AmmoniaOut, buffer: Buffer, words: Words) -> String {
    let mass = o.buffer.0 / RATIO.of(buffer.strength().value);
    format!("{} of {}", words.mass(FEED_RATE, mass), lower(buffer.label()))
}

/// Buffer until the next test, as it is weighed out, and what keeps it so; and the fields that it sets.
pub(crate) fn replenished(i: &AmmoniaIn, o: &AmmoniaOut, buffer: Buffer, words: Words) -> (String, Vec<Edit>) {
    let (least, uses) = (mg_l(LEAST_LIME.value), o.buffer.0);
    // A level takes a day's use for granted.
    let now = (least + used(i, uses, DAY)) / ENOUGH;
    let wanted = now.max((least + used(i, uses, NEXT_TEST)).min(mg_l(MOST_LIME)));
    let lime = mend::upwards(ALKALINITY, CONCENTRATION.of(wanted), mg_l(5.0), words).min(CONCENTRATION.of(1.0));
    let rise = CONCENTRATION.of((lime - i.alkalinity).value.max(0.0));
    let water = Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity };
    let most = i.ph.max(RATIO.of(SODA_PH));
    let ph = carbonate::ph_with_bicarbonate(&water, rise).max(i.ph).min(most);
    let ph = RATIO.of((ph.value * 10.0).round() / 10.0).max(i.ph);
    let days = ((ph - i.ph).value / mixing::PH_STEP.value - 1e-9).ceil().max(1.0);
    let then = match uses.value > 0.0 {
        true => format!("; and from then on {}", a_day(o, buffer, words)),
        false => String::new(),
    };
    let poisons = brackish::unionised_share(i.temperature, ph, i.salinity)
        .is_ok_and(|share| (o.tan * share).value > o.limits[0].value * ENOUGH);
    let wait = match is_alkaline(i.ph) {
        true => report::ONCE_PH_DOWN,
        false if poisons => report::ONCE_DOWN,
        false => report::once_down(o),
    };
    let title = format!(
        "{wait}{} of {}, over {}: alkalinity {}, pH {}{then}",
        weighed(treatment::bicarbonate(rise, i.volume, buffer), words),
        lower(buffer.label()),
        if days > 1.0 { format!("{} days", words.plain(days)) } else { "a day".into() },
        words.q(ALKALINITY, lime),
        words.plain(ph.value)
    );
    (sentence(&title), vec![Edit::num("alkalinity", lime), Edit::num("ph", ph)])
}

/// Alkalinity past what anybody keeps, mg/L: the end of what is advised (judgement).
const UNBUFFERED: f64 = 400.0;

/// What makes water that is too acid for a filter good, and the fields that it sets. Where there is alkalinity, carbon dioxide keeps it acid.
pub(crate) fn sweetened(water: &Water, held: bool, words: Words) -> Option<(String, Vec<Edit>)> {
    let whole = RATIO.of(ammonia::ACID[0].value);
    if water.ph >= whole {
        return None;
    }
    let steps = format!("in steps of {} a day", words.plain(mixing::PH_STEP.value));
    let when = if held { ", once the ammonia is down" } else { "" };
    let least = mg_l(LEAST_LIME.value) / ENOUGH;
    if water.alkalinity.value >= least {
        let title = format!("Bring the pH to {}, {steps}{when}: with air, and with buffer", words.plain(whole.value));
        return Some((title, vec![Edit::num("ph", whole)]));
    }
    let [most, near] = [1000.0, 0.1].map(|x| CONCENTRATION.of(mg_l(x)));
    let wanted = water.alkalinity + carbonate::bicarbonate_for(water, whole, most, near);
    let lime = mend::upwards(ALKALINITY, wanted.max(ALKALINITY.of(least)), mg_l(5.0), words);
    // What no buffer brings about is carbon dioxide too.
    if lime.value > mg_l(UNBUFFERED) {
        let lime = mend::upwards(ALKALINITY, ALKALINITY.of(least), mg_l(5.0), words);
        let title = format!(
            "Bring the pH to {}, {steps}{when}: with air, and with buffer up to {} of alkalinity",
            words.plain(whole.value),
            words.q(ALKALINITY, lime)
        );
        return Some((title, vec![Edit::num("ph", whole), Edit::num("alkalinity", lime)]));
    }
    let ph = carbonate::ph_with_bicarbonate(water, lime - water.alkalinity).max(whole);
    let ph = RATIO.of((ph.value * 10.0 + 1e-9).floor() / 10.0);
    let title = format!(
        "Buffer up to {} of alkalinity, which is pH {}, {steps}{when}",
        words.q(ALKALINITY, lime),
        words.plain(ph.value)
    );
    Some((title, vec![Edit::num("ph", ph), Edit::num("alkalinity", lime)]))
}

/// A pH past this is seldom wanted (judgement).
pub(crate) const ALKALINE: f64 = 8.0;

/// Is it past that?
pub(crate) fn is_alkaline(ph: Ratio) -> bool {
    ph.value > ALKALINE + 1e-9
}

/// A pH past this, read in the afternoon, is nearly always green water's (recalled: SRAC 464 on pH and photosynthesis).
const GREEN: f64 = 8.8;

/// What lets a pH down.
pub(crate) fn let_down(from: Ratio, to: Ratio, words: Words) -> String {
    let [from, to, step] = [from.value, to.value, mixing::PH_STEP.value].map(|x| words.plain(x));
    format!(
        "Find what lifts the pH to {from} (algae in the sun, limestone, shell, buffer, tap water): measure it at dawn too, and shade the water. Bring it down to {to}, in steps of {step} a day"
    )
}

/// What brings back a pH that kills, with the alkalinity where that is used up too, and the fields that it sets.
pub(crate) fn ph_back(i: &AmmoniaIn, o: &AmmoniaOut, buffer: Buffer, words: Words) -> Option<(String, Vec<Edit>)> {
    Deadly::of_ph(i.species, i.ph)?;
    let to = RATIO.of(ALKALINE);
    let down = || buffered_then(i, o, buffer, words, (let_down(i.ph, to, words), vec![Edit::num("ph", to)]));
    unsoured(i, o, buffer, words).or_else(down)
}

/// What brings back a pH that slows the filter, with the alkalinity where that is used up too, and the fields that it sets.
pub(crate) fn unsoured(i: &AmmoniaIn, o: &AmmoniaOut, buffer: Buffer, words: Words) -> Option<(String, Vec<Edit>)> {
    let water = Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity };
    buffered_then(i, o, buffer, words, sweetened(&water, report::held(o), words)?)
}

/// A change of the pH, with buffer after it where the alkalinity does not last a day.
fn buffered_then(
    i: &AmmoniaIn,
    o: &AmmoniaOut,
    buffer: Buffer,
    words: Words,
    (mut title, mut edits): (String, Vec<Edit>),
) -> Option<(String, Vec<Edit>)> {
    let then = mend::changed::<Ammonia>(i, &edits)?;
    if buffered(then.alkalinity, CONCENTRATION.of(used(&then, o.buffer.0, DAY))).state() == State::Over {
        let (more, all) = replenished(&then, o, buffer, words);
        title = format!("{title}; then {}", lower(&more));
        edits = all;
    }
    Some((title, edits))
}

/// Readings at which nothing may be added: un-ionised ammonia past its alert, total ammonia or nitrite past four fifths of their limits.
pub(crate) fn wary(read: [MassConcentration; 3], limits: [MassConcentration; 3]) -> bool {
    let alert = mg_l(ALERT.value).min(limits[0].value / 2.0);
    read[0].value > alert || (1..3).any(|k| read[k].value > limits[k].value * ENOUGH * (1.0 + 1e-9))
}

/// Share of the water to change for ammonia and nitrite to be at four fifths of their limits, and what is un-ionised at half of its own.
pub(crate) fn to_change(read: [MassConcentration; 3], limits: [MassConcentration; 3]) -> Ratio {
    let to = [0.5, ENOUGH, ENOUGH];
    let share = |k: usize| (1.0 - limits[k].value * to[k] / read[k].value.max(f64::MIN_POSITIVE)).max(0.0);
    PERCENT.of((0..3).map(share).fold(0.0, f64::max))
}

/// The largest share of the water that is changed in one go (judgement).
pub(crate) const PORTION: f64 = 1.0 / 3.0;

/// A change of water, as it is made: in thirds with a test after each where it is more than one.
pub(crate) struct Renewal {
    /// What to do.
    pub change: String,
    /// How much at a time, and how often.
    pub how: String,
    /// The share of the old water that is left then.
    pub left: f64,
}

/// So much of the water changed. Chloride and nitrite go out alike, so salt that was enough stays enough, until a test reads more nitrite.
pub(crate) fn renewal(share: Ratio, volume: Volume, salted: bool, words: Words) -> Renewal {
    let part = |share: f64| words.q(VOLUME, VOLUME.of(volume.value * share));
    if share.value <= PORTION + 1e-9 {
        // Rounded up to whole per cents a third would be more than the amount beside it.
        let third = share.value > PORTION - 0.005;
        let share_said = if third { "a third".into() } else { whole(share, words) };
        let change = format!("Change {share_said} of the water");
        return Renewal { change, how: part(share.value), left: (1.0 - share.value).max(0.0) };
    }
    let nothing = CONCENTRATION.of(0.0);
    let to = CONCENTRATION.of((1.0 - share.value).max(0.0));
    let n = mixing::changes_for(CONCENTRATION.of(1.0), nothing, to, RATIO.of(PORTION))
        .map_or(MOST_PORTIONS, |n| (n - 1e-9).ceil().min(MOST_PORTIONS));
    Renewal {
        change: "Change a third of the water at a time".into(),
        how: format!(
            "{}, {} times in all, a test after each{}",
            part(PORTION),
            words.plain(n),
            if salted { ", and salt by it" } else { "" }
        ),
        left: mixing::left_after(RATIO.of(PORTION), n).value,
    }
}

/// After so many thirds hardly anything is left.
const MOST_PORTIONS: f64 = 20.0;

/// Chloride that new water is taken to bring, mg/L (judgement).
pub(crate) const OF_NEW_WATER: f64 = 30.0;
/// Chloride as the pages open, mg/L. As much is not counted where salt is weighed, because nobody has looked: while a little more salt does no harm,
/// too little does not help (judgement).
const NOT_ENTERED: [f64; 2] = [30.0, 20.0];

/// How many times the nitrite chloride has to be for these fish.
pub(crate) fn times(species: &Species) -> String {
    let n = species.chloride_per_nitrite().value;
    if n == 10.0 { "ten times".into() } else { format!("{n} times") }
}

/// Salt to hold nitrite nitrogen off where there is too little chloride: for a fifth more nitrite than there is, rounded up, and no more than fish
/// of fresh water can live in.
pub(crate) fn salt_to_hold(
    species: &Species,
    nitrogen: MassConcentration,
    chloride: MassConcentration,
    water: Volume,
) -> Mass {
    let salt = |share: f64, chloride| {
        treatment::salt_against_nitrite(species, treatment::nitrite_of(nitrogen) / share, chloride, water)
    };
    if salt(1.0, chloride).value <= 0.0 {
        return MASS.of(0.0);
    }
    let entered = NOT_ENTERED.iter().all(|x| (chloride.value - mg_l(*x)).abs() > 1e-9);
    let counted = if entered { chloride } else { CONCENTRATION.of(0.0) };
    let room = (treatment::SALT_FOR_LONG.value - treatment::salt_of(chloride).value).max(0.0) * water.value;
    MASS.of(round_up(salt(ENOUGH, counted).value, g(1.0)).min(room))
}

/// What is weighed out, in US units from an ounce on in ounces and from a pound on in pounds: small scales weigh grams.
pub(crate) fn weighed(mass: Mass, words: Words) -> String {
    weighed_like(mass, mass, words)
}

/// The same in the unit that `like` is weighed in: portions side by side in that of the smallest.
pub(crate) fn weighed_like(mass: Mass, like: Mass, words: Words) -> String {
    let us = words.system == System::Us;
    let unit = if us && like.value >= words.one(MASS) {
        "lb"
    } else if us && like.value >= words.one(SMALL_MASS) {
        "oz"
    } else {
        "g"
    };
    show_unit(SMALL_MASS.0, mass.value, unit, words.system)
}

/// Chloride of sea salt.
const OF_SALT: Coef = Coef::new(19.353 / 35.165, "kg/kg", &src::SEA_SALT, "sea salt, the leanest of what is used");

/// What is entered, and no less than what the salt in the water brings along.
pub(crate) fn chloride_in(i: &AmmoniaIn) -> MassConcentration {
    i.chloride.max(CONCENTRATION.of(i.salinity.value * OF_SALT.value))
}

/// Ammonia and biofilter.
pub struct Ammonia;

impl Calculator for Ammonia {
    type In = AmmoniaIn;
    type Out = AmmoniaOut;
    const ID: &'static str = "ammonia";
    const TITLE: &'static str = "Ammonia and biofilter";
    const QUESTION: &'static str = "What does my water test mean? Is there filter enough?";
    const URGENT: bool = true;
    const ANSWER: &'static str = "unionised";
    const ABOUT: &'static str = "What a reading of ammonia and nitrite means for this fish at this pH and temperature, how long it may stand and what to do now; how much ammonia the feed makes, how much the filter takes by its wetted surface, temperature and age, the flow that carries it there, and the buffer used. Filters differ by a factor of two or more: the low end of the surface decides. Not veterinary advice.";

    fn solve(i: &AmmoniaIn, w: &mut Working) -> Result<AmmoniaOut, Vec<FieldError>> {
        let per = |x: MassConcentration, how: ReadAs, factor: f64| {
            CONCENTRATION.of(if how == ReadAs::Molecule { x.value / factor } else { x.value })
        };
        let tan = per(i.tan, i.tan_as, ammonia::AMMONIA_PER_NITROGEN.value);
        let nitrite = per(i.nitrite, i.nitrite_as, treatment::NITRITE_PER_NITROGEN.value);
        let share = match brackish::unionised_share(i.temperature, i.ph, i.salinity) {
            Ok(s) => s,
            Err(e) => {
                return mend::refuse(
                    if e.what == "pH" { "ph" } else { "temperature" },
                    e.to_string(),
                    format!("{} to {}", e.low, e.high),
                );
            }
        };
        let criteria = match ammonia::usepa_2013(i.temperature, i.ph) {
            Ok(c) => c,
            Err(e) => return mend::refuse("ph", e.to_string(), format!("{} to {}", e.low, e.high)),
        };
        let unionised = CONCENTRATION.of(tan.value * share.value);
        let bearable = i.species.nitrite_limit();
        let chloride = chloride_in(i);
        let borne = treatment::nitrite_borne(i.species, chloride);
        let limits = [i.species.unionised_limit(), i.species.tan_limit(), borne];
        let salt = salt_to_hold(i.species, nitrite, chloride, i.volume);
        let deadly_ph = Deadly::of_ph(i.species, i.ph);
        let held = nitrite_held(i.species, nitrite, chloride);
        let stay = match may_stay([unionised, tan, nitrite], limits, held, criteria.0) {
            Stay::Long | Stay::Days if deadly_ph.is_some() => Stay::Hours,
            stay => stay,
        };
        let half = CONCENTRATION.of(limits[0].value / 2.0);
        let harmless = half.value / share.value.max(f64::MIN_POSITIVE);
        let wanted = CONCENTRATION.of(harmless.min(ENOUGH * limits[1].value));
        let clean = |now, to| mixing::share_for(now, CONCENTRATION.of(0.0), to).unwrap_or(RATIO.of(1.0));
        // Salt does what chloride lacks; water is changed for what is too much even so.
        let high = nitrite > bearable * ENOUGH;
        let by_nitrite = if high { clean(nitrite, borne.max(bearable / 2.0) * ENOUGH) } else { RATIO.of(0.0) };
        let read = Readings { oxygen: i.species.oxygen_floor(), tan, unionised, nitrite, chloride, ph: i.ph };
        let cut = feeding::after_readings(i.species, &read).0;
        let change = clean(tan, wanted).max(by_nitrite);
        let made = ammonia::tan_from_feed(i.feed, i.protein);
        let (low, high) = i.medium.surface();
        let area = |s: crate::catalog::media::SurfacePerVolume| AREA.of(s.value * i.media.value);
        let whole = |s| ammonia::filter_capacity(area(s), i.temperature, i.target, RATIO.of(1.0), i.ph);
        let (ripens, in_all) = (ammonia::ripe_after(i.temperature), ammonia::tan_borne(i.species, share));
        let counted = ammonia::counted_after(ripens);
        let alone = |tan| ammonia::untaken_for_long(in_all, tan, i.volume).min(whole(low));
        // Its film has lived on what the water bore.
        let lived = alone(CONCENTRATION.of(0.0));
        let ripe = ammonia::ripeness(i.age, ripens, lived, whole(low));
        let takes = (whole(low) * ripe, whole(high) * ripe);
        let (new, whole, alone) = (i.age < counted, whole(low), alone(tan));
        let until = ((counted.value - i.age.value) / DAY).max(1.0);
        let unchanged = (ammonia::untaken(in_all, tan, i.volume) / RATIO.of(until)).min(alone);
        let (takes, bears) = if new { ((FEED_RATE.of(0.0), takes.1), (alone, alone)) } else { (takes, takes) };
        let rate = ammonia::nitrification(i.temperature, i.target) * ammonia::acid_share(i.ph);
        let need = |s: crate::catalog::media::SurfacePerVolume| VOLUME.of(made.value / (rate.value * s.value));
        let flow = ammonia::flow_for_tan(made, i.target, i.per_pass);
        let buffer = ammonia::alkalinity(made);
        let water = Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity };
        let fresh = i.salinity.value < brackish::FROM.value;
        let carbon_dioxide = fresh.then(|| carbonate::carbon_dioxide(&water));
        let down = if new { None } else { unfed(i, tan, limits[1].value.min(harmless), low, ripe) };
        let spare = i.alkalinity.value - mg_l(LEAST_LIME.value);
        let lime = (buffer.0.value > 0.0 || spare < 0.0)
            .then(|| (spare.max(0.0) * i.volume.value / buffer.0.value.max(f64::MIN_POSITIVE)).min(days(3650.0)))
            .map(|s| DAYS.of(s));
        let salty = i.salinity.value > 0.0;
        w.step(|| {
            Step::new(
                "Share of the ammonia that is un-ionised",
                if salty {
                    "f = 1/(1 + 10^(pKa - pH)), the larger by pKa = 0.09018 + 2729.92/T and -0.467 + 0.00113 S + 2887.9/T; below 5 g/L between"
                } else {
                    "f = 1/(1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92/T"
                },
                &[
                    term("pH", RATIO, i.ph),
                    term("T", TEMPERATURE, i.temperature),
                    term("S", SALINITY, i.salinity),
                ][..if salty { 3 } else { 2 }],
                term("f", PERCENT, share),
                if salty { &src::JOHANSSON_WEDBORG_1980 } else { &oxygen_src::EMERSON_1975 },
            )
        });
        w.step(|| {
            Step::new(
                "Un-ionised ammonia nitrogen",
                "NH3-N = f TAN",
                &[term("TAN", CONCENTRATION, tan)],
                term("NH3-N", CONCENTRATION, unionised),
                &oxygen_src::EMERSON_1975,
            )
        });
        if let Some(x) = carbon_dioxide {
            w.step(|| {
                Step::new(
                    "Carbon dioxide",
                    "what pH and alkalinity leave free of carbonic acid",
                    &[term("pH", RATIO, i.ph), term("alkalinity", CONCENTRATION, i.alkalinity)],
                    term("CO2", CONCENTRATION, x),
                    &src::PLUMMER_BUSENBERG_1982,
                )
            });
        }
        w.step(|| {
            Step::new(
                "Ammonia nitrogen from the feed",
                "P = 0.092 F p",
                &[term("F", FEED_RATE, i.feed), term("p", PERCENT, i.protein)],
                term("P", FEED_RATE, made),
                &oxygen_src::TAN_PER_PROTEIN,
            )
        });
        w.step(|| {
            Step::new(
                "What the surface takes",
                "r = 0.5 table(T) min(1, TAN/1.0)/1.216, less below pH 6.5",
                &[term("T", TEMPERATURE, i.temperature), term("TAN", CONCENTRATION, i.target)],
                term("r", AREAL_RATE, rate),
                &oxygen_src::FILTER_SAFETY,
            )
        });
        if !new && whole.value > 0.0 {
            w.step(|| {
                Step::new(
                    "What a young filter surely carries of its full load",
                    "ripeness = (alone/full)^min(1, max(0, (ripe - age)/(ripe - counted))), alone what the water bears without it, ripe and counted the days after which it is",
                    &[
                        term("alone", FEED_RATE, lived),
                        term("full", FEED_RATE, whole),
                        term("age", DAYS, i.age),
                        term("ripe", DAYS, ripens),
                        term("counted", DAYS, counted),
                    ],
                    term("ripeness", PERCENT, ripe),
                    &oxygen_src::NEW_FILTER,
                )
            });
        }
        w.step(|| {
            Step::new(
                "What the filter takes",
                if new { "not counted on while it is new" } else { "r × surface × medium × ripeness, low surface" },
                &[term("surface", MEDIA_AREA, low), term("medium", VOLUME, i.media), term("ripeness", PERCENT, ripe)],
                term("takes", FEED_RATE, takes.0),
                if new { &oxygen_src::NEW_FILTER } else { &oxygen_src::FILTER_RIPENING },
            )
        });
        if new {
            w.step(|| {
                Step::new(
                    "What the water bears alone while the filter is new",
                    "min(max(0, min(borne/6, borne/2 - 2/3 × TAN)) V/1 day, ripe), borne by the fish in all, a third of the water changed every day, ripe what the filter takes then",
                    &[
                        term("borne", CONCENTRATION, in_all),
                        term("TAN", CONCENTRATION, tan),
                        term("V", VOLUME, i.volume),
                        term("ripe", FEED_RATE, whole),
                    ],
                    term("bears", FEED_RATE, alone),
                    &oxygen_src::NEW_FILTER,
                )
            });
        }
        w.step(|| {
            Step::new(
                "Flow that carries it there",
                "Q = P/(TAN e)",
                &[term("TAN", CONCENTRATION, i.target), term("e", PERCENT, i.per_pass)],
                term("Q", FLOW, flow),
                &ELEMENTARY,
            )
        });
        w.step(|| {
            Step::new(
                "Baking soda used a day",
                "baking soda = calcium carbonate/0.596, calcium carbonate = 7.14 P",
                &[term("calcium carbonate", FEED_RATE, buffer.0)],
                term("baking soda", FEED_RATE, buffer.1),
                &oxygen_src::ALKALINITY,
            )
        });
        Ok(AmmoniaOut {
            tan,
            share,
            unionised,
            nitrite,
            criteria,
            printed: ammonia::criteria_printed(i.temperature, i.ph),
            stay,
            change,
            by_nitrite: change == by_nitrite,
            kept_out: treatment::kept_out(i.species, nitrite, chloride),
            salt,
            made,
            takes,
            bears,
            new,
            unchanged,
            counted,
            cut,
            ripe,
            media: (need(high), need(low)),
            flow,
            feed: i.feed,
            has_flow: i.flow,
            carbon_dioxide,
            buffer,
            rise: CONCENTRATION.of(made.value * DAY / i.volume.value),
            down,
            lime,
            alkalinity: (i.alkalinity, CONCENTRATION.of(used(i, buffer.0, DAY))),
            lime_read: i.is_lime_read(),
            limits,
            ph: i.ph,
            deadly: Deadly::of_both(i.species, i.temperature, i.salinity.max(treatment::salt_of(i.chloride)))
                .or(deadly_ph),
        })
    }

    fn outputs(o: &AmmoniaOut, s: &mut dyn Outputs) {
        out(s, "unionised", "Un-ionised ammonia nitrogen", CONCENTRATION, o.unionised);
        out(s, "share", "Share un-ionised", PERCENT, o.share);
        out(s, "tan", "Total ammonia nitrogen", CONCENTRATION, o.tan);
        out(s, "nitrite", "Nitrite nitrogen", CONCENTRATION, o.nitrite);
        word(s, "may_stay", "Fish can take it", o.stay.words());
        out(s, "change", "Water to renew in all, in thirds", PERCENT, o.change);
        out(s, "salt", "Salt against nitrite", SMALL_MASS, o.salt);
        let printed = |x| o.printed.then_some(x);
        out_opt(s, "hour", "Most water life bears it for an hour up to (total)", CONCENTRATION, printed(o.criteria.0));
        out_opt(s, "month", "and for a month up to (total)", CONCENTRATION, printed(o.criteria.1));
        out(s, "made", "Ammonia nitrogen made a day", FEED_RATE, o.made);
        span(s, "takes", "The filter takes", FEED_RATE, o.takes.0, o.takes.1);
        out(s, "ripe", "Ripe to", PERCENT, o.ripe);
        span(s, "media_needed", "Medium needed, ripe", VOLUME, o.media.0, o.media.1);
        out(s, "flow_needed", "Flow needed", FLOW, o.flow);
        out(s, "alkalinity", "Alkalinity used a day", FEED_RATE, o.buffer.0);
        out(s, "baking_soda", "as baking soda", FEED_RATE, o.buffer.1);
        out_opt(s, "lime_lasts", "Alkalinity lasts, with nothing given", DAYS, o.lime);
        out(s, "rise", "Rise a day if the filter stops", CONCENTRATION, o.rise);
        out_opt(s, "carbon_dioxide", "Carbon dioxide by pH and alkalinity", CONCENTRATION, o.carbon_dioxide);
        out_opt(s, "down", "Back at its limit, unfed, if the filter works, in", HOURS, o.down);
    }

    fn level(o: &AmmoniaOut) -> Option<Level> {
        first(o, levels(&AmmoniaIn::default(), o)).into_iter().next()
    }

    fn cautions(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// Nitrite is borne longer where chloride keeps it out: so many times its limit counts as once that of ammonia.
const NITRITE_HELD: Coef = Coef::new(3.0, "1", &src::READINGS_RULE, "of the limit, with chloride enough");
const NITRITE_OUT: Coef = Coef::new(5.0, "1", &src::READINGS_RULE, "of the limit, with chloride to spare");

/// So many times its limit nitrite counts as once that of ammonia.
pub(crate) fn nitrite_held(species: &Species, nitrogen: MassConcentration, chloride: MassConcentration) -> f64 {
    if treatment::chloride_to_spare(species, nitrogen, chloride) {
        NITRITE_OUT.value
    } else if chloride >= treatment::chloride_for(species, treatment::nitrite_of(nitrogen)) {
        NITRITE_HELD.value
    } else {
        1.0
    }
}

/// How long the three readings may stand: un-ionised ammonia, all of it and nitrite, which counts as so much less where it is `held` off
/// ([`nitrite_held`]); `hour` is what most water life bears of all ammonia for an hour.
pub(crate) fn may_stay(
    read: [MassConcentration; 3],
    limits: [MassConcentration; 3],
    held: f64,
    hour: MassConcentration,
) -> Stay {
    let worst = (read[0] / limits[0]).value.max((read[2] / limits[2]).value / held);
    if worst > ACUTE.value {
        Stay::Now
    } else if worst > 1.0 + 1e-9 || read[1] > hour {
        Stay::Hours
    } else if wary(read, limits) {
        Stay::Days
    } else {
        Stay::Long
    }
}

/// Water that kills first; then the fullest of the readings, where that is too much of it.
fn first(o: &AmmoniaOut, levels: Vec<Level>) -> Vec<Level> {
    let much = |l: &Level| match READINGS.contains(&&*l.id) && l.state() != State::Enough
        || l.id == "carbon_dioxide" && l.state() == State::Over
    {
        true => l.fullness(),
        false => 0.0,
    };
    let deadly = o.deadly.map(|d| d.own_level());
    let others = levels.into_iter().filter(|l| deadly.as_ref().is_none_or(|d| d.id != l.id)).collect();
    deadly.iter().cloned().chain(lead(others, much)).collect()
}

/// Time for the filter to bring the reading down to `target` with the feed stopped; first order below the full rate, and below what the flow
/// carries to it.
fn unfed(
    i: &AmmoniaIn,
    tan: MassConcentration,
    target: f64,
    surface: crate::catalog::media::SurfacePerVolume,
    ripe: Ratio,
) -> Option<Time> {
    if tan.value <= target {
        return Some(HOURS.of(0.0));
    }
    let area = AREA.of(surface.value * i.media.value);
    let full = CONCENTRATION.of(mg_l(ammonia::FULL_RATE_TAN.value));
    let rate = ammonia::filter_capacity(area, i.temperature, full, ripe, i.ph).value;
    let carried = i.flow.value * i.per_pass.value;
    if rate <= 0.0 || carried <= 0.0 {
        return None;
    }
    // Where little water runs through it, it works at its full rate only in water that holds more.
    let (v, at) = (i.volume.value, full.value.max(rate / carried));
    let steady = (tan.value - target.max(at)).max(0.0) * v / rate;
    let from = tan.value.min(at);
    let falling = if target < from { v * at / rate * (from / target).ln() } else { 0.0 };
    let all = steady + falling;
    (all.is_finite() && all < days(3650.0)).then(|| HOURS.of(all))
}

/// A share of the water, as it is poured: no tenths of a per cent, and rather more than less.
fn whole(share: Ratio, words: Words) -> String {
    words.q(PERCENT, PERCENT.of((share.value * 100.0 - 1e-6).ceil() / 100.0))
}

/// How long the alkalinity lasts, if it does not last to the next test.
fn soon(o: &AmmoniaOut) -> Option<Time> {
    o.lime.filter(|t| t.value < NEXT_TEST)
}

pub(crate) fn lasts(t: Time) -> String {
    if t.value < HOUR {
        return "The alkalinity is used up: the pH falls, and the filter stops with it.".into();
    }
    format!("The alkalinity lasts {}: without buffer the pH then falls.", spoken(t.value))
}

/// The levels of what was read.
const READINGS: [&str; 3] = ["unionised", "tan", "nitrite"];

#[cfg(test)]
mod tests;
