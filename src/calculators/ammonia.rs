//! Ammonia and biofilter.

use super::change::Change;
use super::deadly::Deadly;
use super::form::*;
use super::mend::{self, round_up};
use super::outcome::*;
use super::sheet::Calculator;
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::sources::{Coef, biology, climate as src, general::ELEMENTARY, oxygen as oxygen_src};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Mark, Picture, Role, Series};
use crate::science::feeding::{self, Readings};
use crate::science::{ammonia, brackish, mixing, treatment};
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
            alkalinity: mg(80.0),
        }
    }
}

/// Chloride, beside a reading of nitrite.
pub(crate) const fn chloride(tag: u8) -> Field<MassConcentration> {
    Field::new(tag, "chloride", "Chloride", CONCENTRATION)
        .range(0.0, 30.0)
        .advised(0.0, 5.0)
        .likely(0.0, mg_l(80.0))
        .help("On the waterworks' sheet, plus 0.6 of all salt added. It holds nitrite off.")
        .detail()
}

impl Fields for AmmoniaIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let reading = |tag, key, label| {
            Field::new(tag, key, label, CONCENTRATION).range(0.0, mg_l(200.0)).advised(0.0, mg_l(10.0))
        };
        pick(f, &Pick::new(1, "species", "Fish"), &mut self.species);
        let warm = Field::new(2, "temperature", "Water temperature", TEMPERATURE)
            .range(celsius(0.5), celsius(40.0))
            .advised(celsius(4.0), celsius(34.0))
            .help("Un-ionised ammonia doubles in about 10 °C (18 °F).");
        num(f, &warm, &mut self.temperature);
        let ph = Field::new(3, "ph", "pH", RATIO)
            .range(6.0, 10.0)
            .advised(6.2, 8.8)
            .likely(6.7, 7.8)
            .help("A meter or a drop test, in the afternoon, when it is highest. Each unit makes ammonia ten times as poisonous.");
        num(f, &ph, &mut self.ph);
        let tan = reading(4, "tan", "Ammonia on the test")
            .likely(0.0, mg_l(2.0))
            .help("Total ammonia, what every kit reads.");
        num(f, &tan, &mut self.tan);
        pick(
            f,
            &Pick::new(5, "tan_as", "It reads").help("One gram of nitrogen is 1.22 g of ammonia.").detail(),
            &mut self.tan_as,
        );
        num(f, &reading(6, "nitrite", "Nitrite on the test").help("High while a filter is young."), &mut self.nitrite);
        pick(
            f,
            &Pick::new(7, "nitrite_as", "It reads").help("One gram of nitrogen is 3.28 g of nitrite.").detail(),
            &mut self.nitrite_as,
        );
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
            let age = Field::new(14, "age", "Fed for", DAYS)
                .range(0.0, days(20_000.0))
                .advised(0.0, days(4000.0))
                .help("How long this filter has had ammonia to live on.");
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
                .help("Ammonia before and after the filter tells.")
                .detail();
            num(f, &pass, &mut self.per_pass);
        });
        group(f, &Group::titled("More about the water"), true, &mut |f| {
            num(f, &chloride(17), &mut self.chloride);
            let salt = Field::new(18, "salinity", "Salt", SALINITY)
                .range(0.0, 40.0)
                .advised(0.0, 10.0)
                .help("Grams in a litre. Nothing in fresh water.")
                .detail();
            num(f, &salt, &mut self.salinity);
            let lime = Field::new(19, "alkalinity", "Alkalinity", ALKALINITY)
                .range(0.0, mg_l(1000.0))
                .advised(mg_l(10.0), mg_l(400.0))
                .likely(mg_l(30.0), mg_l(150.0))
                .help("As calcium carbonate, or in the degrees (dKH) of a kit.")
                .detail();
            num(f, &lime, &mut self.alkalinity);
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
            Self::Days => "some days: find the cause",
            Self::Hours => "some hours: act today",
            Self::Now => "not at all: act now",
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
    /// Alkalinity used a day, as calcium carbonate and as baking soda.
    pub buffer: (MassRate, MassRate),
    /// Rise a day if the filter stops.
    pub rise: MassConcentration,
    /// Time until the filter brings the reading to its limit, unfed.
    pub down: Option<Time>,
    /// Time until the alkalinity is down to 20 mg/L.
    pub lime: Option<Time>,
    limits: [MassConcentration; 3],
    deadly: Option<Deadly>,
}

const DAY: f64 = 86_400.0;
const HOUR: f64 = 3600.0;
/// Where the alert stands at the latest ([`oxygen_src::UIA_TARGET`]).
const ALERT: Coef = Coef::new(0.02, "mg/L", &src::READINGS_RULE, "un-ionised, as nitrogen");
/// Alkalinity below which a pH is no longer held.
pub(crate) const LEAST_LIME: Coef = Coef::new(20.0, "mg/L", &src::READINGS_RULE, "as calcium carbonate");
/// The next test is so far off.
const NEXT_TEST: f64 = 7.0 * DAY;
/// Past this multiple of the limit there is no time left.
const ACUTE: Coef = Coef::new(10.0, "1", &src::READINGS_RULE, "of the limit for long");

/// The three readings, the filter, and the flow to it.
pub(crate) fn levels(_: &AmmoniaIn, o: &AmmoniaOut) -> Vec<Level> {
    vec![
        Level::upper("unionised", "Un-ionised ammonia", CONCENTRATION, o.unionised, o.limits[0]),
        Level::upper("tan", "Total ammonia nitrogen", CONCENTRATION, o.tan, o.limits[1]),
        Level::upper("nitrite", "Nitrite nitrogen", CONCENTRATION, o.nitrite, o.limits[2]),
        Level::upper_range("filter", "Biofilter: ammonia a day", FEED_RATE, (o.made, o.made), o.bears),
        Level::upper("flow", "Flow to the biofilter", FLOW, o.flow, o.has_flow),
    ]
}

/// The alkalinity against what still holds the pH.
pub(crate) fn buffered(i: &AmmoniaIn) -> Level {
    let least = CONCENTRATION.of(mg_l(LEAST_LIME.value));
    Level::upper("alkalinity", "Alkalinity that holds the pH", CONCENTRATION, least, i.alkalinity)
}

/// How long it lasts, where that is not to the next test, and what comes of it.
pub(crate) fn running_out(o: &AmmoniaOut, words: Words) -> Option<Caution> {
    let text = format!(
        "{} {} of baking soda make up for it, less where plants take up nitrate. Where the filter stops, ammonia rises by {} a day.",
        lasts(soon(o)?),
        words.q(FEED_RATE, o.buffer.1),
        words.q(CONCENTRATION, o.rise)
    );
    Some(Caution::from(text, &oxygen_src::ALKALINITY))
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
const PORTION: f64 = 1.0 / 3.0;

/// A change of water, as it is made: in thirds with a test after each where it is more than one.
pub(crate) struct Renewal {
    /// What to do.
    pub change: String,
    /// How much at a time, and how often.
    pub how: String,
    /// The share of the old water that is left then.
    pub left: f64,
}

/// So much of the water changed.
pub(crate) fn renewal(share: Ratio, volume: Volume, words: Words) -> Renewal {
    if share.value <= PORTION + 1e-9 {
        let change = format!("Change {} of the water", whole(share, words));
        return Renewal { change, how: words.q(VOLUME, volume * share), left: (1.0 - share.value).max(0.0) };
    }
    let nothing = CONCENTRATION.of(0.0);
    let to = CONCENTRATION.of((1.0 - share.value).max(0.0));
    let n = mixing::changes_for(CONCENTRATION.of(1.0), nothing, to, RATIO.of(PORTION))
        .map_or(MOST_PORTIONS, |n| (n - 1e-9).ceil().min(MOST_PORTIONS));
    Renewal {
        change: "Change a third of the water at a time".into(),
        how: format!("{}, {} times in all, a test after each", words.q(VOLUME, volume * PORTION), words.plain(n)),
        left: mixing::left_after(RATIO.of(PORTION), n).value,
    }
}

/// After so many thirds hardly anything is left.
const MOST_PORTIONS: f64 = 20.0;

/// Chloride that is not counted where salt is weighed, mg/L: as much is taken for granted where nobody looked, and while a little more salt does
/// no harm, too little does not help (judgement).
const NOT_COUNTED: f64 = 30.0;

/// Salt to hold nitrite nitrogen off where there is too little chloride: for a fifth more nitrite than there is, rounded up.
pub(crate) fn salt_to_hold(nitrogen: MassConcentration, chloride: MassConcentration, water: Volume) -> Mass {
    let salt = |share: f64, chloride| {
        treatment::salt_against_nitrite(treatment::nitrite_of(nitrogen) / share, chloride, water)
    };
    if salt(1.0, chloride).value <= 0.0 {
        return MASS.of(0.0);
    }
    let counted = CONCENTRATION.of((chloride.value - mg_l(NOT_COUNTED)).max(0.0));
    MASS.of(round_up(salt(ENOUGH, counted).value, g(1.0)))
}

/// What is weighed out, in US units from an ounce on in ounces and from two pounds on in pounds: small scales weigh grams.
pub(crate) fn weighed(mass: Mass, words: Words) -> String {
    let us = words.system == System::Us;
    let unit = if us && mass >= MASS.of(2.0 * words.one(MASS)) {
        "lb"
    } else if us && mass >= SMALL_MASS.of(words.one(SMALL_MASS)) {
        "oz"
    } else {
        "g"
    };
    show_unit(SMALL_MASS.0, mass.value, unit, words.system)
}

/// Chloride of sea salt.
const OF_SALT: Coef = Coef::new(19.353 / 35.165, "kg/kg", &src::SEA_SALT, "sea salt, the leanest of what is used");

/// What is entered, and no less than what the salt in the water brings along.
fn chloride_in(i: &AmmoniaIn) -> MassConcentration {
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
        let worst = (unionised.value / limits[0].value).max(nitrite.value / limits[2].value / NITRITE_PATIENCE.value);
        let stay = if worst > ACUTE.value {
            Stay::Now
        } else if worst > 1.0 || tan > criteria.0 {
            Stay::Hours
        } else if wary([unionised, tan, nitrite], limits) {
            Stay::Days
        } else {
            Stay::Long
        };
        let half = CONCENTRATION.of(limits[0].value / 2.0);
        let harmless = half.value / share.value.max(f64::MIN_POSITIVE);
        let wanted = CONCENTRATION.of(harmless.min(ENOUGH * limits[1].value));
        let clean = |now, to| mixing::share_for(now, CONCENTRATION.of(0.0), to).unwrap_or(RATIO.of(1.0));
        // Salt does what chloride lacks; water is changed for what is too much even so.
        let high = nitrite > bearable * ENOUGH;
        let by_nitrite = if high { clean(nitrite, borne.max(bearable / 2.0) * ENOUGH) } else { RATIO.of(0.0) };
        let read = Readings { oxygen: i.species.oxygen_floor(), tan, unionised, nitrite, chloride };
        let cut = if stay == Stay::Now { RATIO.of(0.0) } else { feeding::after_readings(i.species, &read).0 };
        let change = clean(tan, wanted).max(by_nitrite);
        let salt = salt_to_hold(nitrite, chloride, i.volume);
        let made = ammonia::tan_from_feed(i.feed, i.protein);
        let ripe = ammonia::ripeness(i.age, i.temperature);
        let (low, high) = i.medium.surface();
        let area = |s: crate::catalog::media::SurfacePerVolume| AREA.of(s.value * i.media.value);
        let take = |a: Area, c: MassConcentration| ammonia::filter_capacity(a, i.temperature, c, ripe, i.ph);
        let takes = (take(area(low), i.target), take(area(high), i.target));
        // Water alone may bear more than the filter ever takes; that is for no longer than it is new.
        let new = i.age < ammonia::counted_after(ammonia::ripe_after(i.temperature));
        let whole = ammonia::filter_capacity(area(low), i.temperature, i.target, RATIO.of(1.0), i.ph);
        let alone = ammonia::untaken(ammonia::tan_borne(i.species, share), tan, i.volume).min(whole);
        let (takes, bears) = if new { ((FEED_RATE.of(0.0), takes.1), (alone, alone)) } else { (takes, takes) };
        let rate = ammonia::nitrification(i.temperature, i.target) * ammonia::acid_share(i.ph);
        let need = |s: crate::catalog::media::SurfacePerVolume| VOLUME.of(made.value / (rate.value * s.value));
        let flow = ammonia::flow_for_tan(made, i.target, i.per_pass);
        let buffer = ammonia::alkalinity(made);
        let down = if new { None } else { unfed(i, tan, limits[1].value.min(harmless), low) };
        let lime = (buffer.0.value > 0.0)
            .then(|| {
                ((i.alkalinity.value - mg_l(LEAST_LIME.value)).max(0.0) * i.volume.value / buffer.0.value)
                    .min(days(3650.0))
            })
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
        w.step(|| {
            Step::new(
                "What the filter takes",
                "r × surface × medium × ripeness, low surface",
                &[term("surface", MEDIA_AREA, low), term("medium", VOLUME, i.media), term("ripeness", PERCENT, ripe)],
                term("takes", FEED_RATE, takes.0),
                if new { &oxygen_src::NEW_FILTER } else { &oxygen_src::FILTER_RIPENING },
            )
        });
        if new {
            w.step(|| {
                Step::new(
                    "What the water bears alone while the filter is new",
                    "(half of what the fish bear in all - TAN) × V a day",
                    &[term("TAN", CONCENTRATION, tan), term("V", VOLUME, i.volume)],
                    term("bears", FEED_RATE, alone),
                    &oxygen_src::NEW_FILTER,
                )
            });
        }
        w.step(|| {
            Step::new(
                "Flow that carries it there",
                "Q = P/(TAN e)",
                &[term("e", PERCENT, i.per_pass)],
                term("Q", FLOW, flow),
                &ELEMENTARY,
            )
        });
        w.step(|| {
            Step::new(
                "Baking soda used a day",
                "7.14 g of calcium carbonate for each gram of nitrogen, /0.596",
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
            salt,
            made,
            takes,
            bears,
            new,
            cut,
            ripe,
            media: (need(high), need(low)),
            flow,
            feed: i.feed,
            has_flow: i.flow,
            buffer,
            rise: CONCENTRATION.of(made.value * DAY / i.volume.value),
            down,
            lime,
            limits,
            deadly: Deadly::of(i.species, i.temperature),
        })
    }

    fn outputs(o: &AmmoniaOut, s: &mut dyn Outputs) {
        out(s, "unionised", "Un-ionised ammonia nitrogen", CONCENTRATION, o.unionised);
        out(s, "share", "Share un-ionised", PERCENT, o.share);
        out(s, "tan", "Total ammonia nitrogen", CONCENTRATION, o.tan);
        out(s, "nitrite", "Nitrite nitrogen", CONCENTRATION, o.nitrite);
        word(s, "may_stay", "It may stand", o.stay.words());
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
        out_opt(s, "down", "Back at its limit, unfed, if the filter works, in", HOURS, o.down);
    }

    fn level(o: &AmmoniaOut) -> Option<Level> {
        first(o, levels(&AmmoniaIn::default(), o)).into_iter().next()
    }

    fn cautions(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Vec<Caution> {
        cautions(i, o, words)
    }

    fn report(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Report {
        let levels = levels(i, o);
        Report {
            verdict: verdict(i, o, &levels, words),
            repairs: repairs(i, o, &levels, words),
            cautions: cautions(i, o, words),
            pictures: vec![picture(i, o, words)],
            tables: vec![now(i, o, words), meaning(i, o, words)],
            notes: notes(i, o, words),
            levels: first(o, levels),
        }
    }
}

/// The levels of what was read.
const READINGS: [&str; 3] = ["unionised", "tan", "nitrite"];

/// Water that kills first; then the fullest of the readings, where that is too much of it.
fn first(o: &AmmoniaOut, levels: Vec<Level>) -> Vec<Level> {
    let much = |l: &Level| match READINGS.contains(&&*l.id) && l.state() != State::Enough {
        true => l.fullness(),
        false => 0.0,
    };
    let deadly = o.deadly.map(|d| d.level("temperature", "Water temperature"));
    deadly.into_iter().chain(lead(levels, much)).collect()
}

/// Nitrite is borne for a while past its limit: fish sicken over days, not minutes, at up to this many times it.
const NITRITE_PATIENCE: Coef = Coef::new(3.0, "1", &src::READINGS_RULE, "of the limit for long");

/// The repair that puts `salt` in against nitrite, if any is wanted.
pub(crate) fn salted(chloride: MassConcentration, salt: Mass, water: Volume, words: Words) -> Option<(String, Edit)> {
    let wanted = words.as_shown(CONCENTRATION, chloride + treatment::chloride_of(salt, water));
    let title = || format!("{} of plain salt, dissolved, over an hour", weighed(salt, words));
    (salt.value > 0.0).then(|| (title(), Edit::num("chloride", wanted)))
}

/// What is said of the salt that brings chloride to ten times the nitrite.
pub(crate) fn salt_against(nitrite: MassConcentration, salt: Mass, words: Words) -> Option<Caution> {
    (nitrite.value > 0.0 && salt.value > 0.0).then(|| {
        Caution::from(
            format!(
                "Nitrite blocks the blood of fish. {} of plain salt in the system holds it off (chloride ten times the nitrite, and some to spare); salt harms plants.",
                weighed(salt, words)
            ),
            &biology::SRAC_462,
        )
    })
}

/// Time for the filter to bring the reading down to `target` with the feed stopped; first order below the full rate, and below what the flow
/// carries to it.
fn unfed(
    i: &AmmoniaIn,
    tan: MassConcentration,
    target: f64,
    surface: crate::catalog::media::SurfacePerVolume,
) -> Option<Time> {
    if tan.value <= target {
        return Some(HOURS.of(0.0));
    }
    let area = AREA.of(surface.value * i.media.value);
    let full = CONCENTRATION.of(mg_l(ammonia::FULL_RATE_TAN.value));
    let rate = ammonia::filter_capacity(area, i.temperature, full, ammonia::ripeness(i.age, i.temperature), i.ph).value;
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

fn verdict(i: &AmmoniaIn, o: &AmmoniaOut, levels: &[Level], words: Words) -> String {
    let mut text = match o.stay {
        Stay::Long => "",
        Stay::Days => "It may stand for some days: find the cause. ",
        Stay::Hours => "Act today: it may stand for some hours. ",
        Stay::Now => "Act now: it must not stay so. ",
    }
    .to_string();
    let q = |c| words.q(CONCENTRATION, c);
    // The worst of the readings first, and what is un-ionised always.
    let mut said: Vec<_> = levels[..3].iter().zip(o.limits).enumerate().collect();
    said.retain(|(k, (l, _))| *k == 0 || l.state() != State::Enough);
    said.sort_by(|(_, (a, _)), (_, (b, _))| b.fullness().total_cmp(&a.fullness()));
    let said = said.into_iter().map(|(k, (_, limit))| match k {
        0 => format!(
            "{} of the {} of ammonia nitrogen is un-ionised: {}, and for {} it should stay below {}.",
            words.q(PERCENT, o.share),
            q(o.tan),
            q(o.unionised),
            i.species.noun,
            q(limit)
        ),
        1 => format!("Total ammonia nitrogen is {}, and it should stay below {}.", q(o.tan), q(limit)),
        _ => format!("Nitrite nitrogen is {}, and with this chloride it should stay below {}.", q(o.nitrite), q(limit)),
    });
    text += &said.collect::<Vec<_>>().join(" ");
    if let Some(d) = o.deadly {
        text = format!("{} {text}", d.first(words));
    }
    let lime = soon(o);
    let coming = o.deadly.is_some() || lime.is_some() || levels[3..].iter().any(|l| l.state() == State::Over);
    text += match o.stay {
        Stay::Long if coming => " The readings are good today.",
        Stay::Long => " The water is good.",
        _ => "",
    };
    if let Some(t) = lime {
        text += &format!(" {}", lasts(t));
    }
    if levels[4].state() == State::Over {
        text += &format!(
            " Only {} of the {} that would carry the ammonia run through the filter.",
            words.n(FLOW, o.has_flow),
            words.q(FLOW, o.flow)
        );
    }
    if o.new {
        text += &format!(
            " The filter is too new to count on. The feed makes {}; the water alone bears {}.",
            words.q(FEED_RATE, o.made),
            words.amount(FEED_RATE, o.bears.0)
        );
        return text;
    }
    text += &match levels[3].state() {
        State::Enough | State::Tight if disproved(o) => format!(
            " The feed makes {}, which a filter of this size takes; the test says that it does not.",
            words.q(FEED_RATE, o.made)
        ),
        State::Enough => format!(
            " The feed makes {}; the filter takes at least {}: enough.",
            words.q(FEED_RATE, o.made),
            words.q(FEED_RATE, o.takes.0)
        ),
        State::Tight => " The filter just takes what the feed makes.".into(),
        State::Over => format!(
            " The feed makes {}; the filter is only sure to take {}.",
            words.q(FEED_RATE, o.made),
            words.q(FEED_RATE, o.takes.0)
        ),
    };
    text
}

/// Is there more ammonia in the water than it bears, although the filter should take what is made?
fn disproved(o: &AmmoniaOut) -> bool {
    o.unionised > o.limits[0] || o.tan > o.limits[1]
}

/// A share of the water, as it is poured: no tenths of a per cent, and rather more than less.
fn whole(share: Ratio, words: Words) -> String {
    words.q(PERCENT, PERCENT.of((share.value * 100.0 - 1e-6).ceil() / 100.0))
}

/// How long the alkalinity lasts, if it does not last to the next test.
fn soon(o: &AmmoniaOut) -> Option<Time> {
    o.lime.filter(|t| t.value < NEXT_TEST)
}

fn lasts(t: Time) -> String {
    if t.value < HOUR {
        return "The alkalinity is used up: the pH falls, and the filter stops with it.".into();
    }
    format!("The alkalinity lasts {}: without buffer the pH then falls.", spoken(t.value))
}

/// So many weeks, at least.
fn weeks(t: Time) -> String {
    match (t.value / (7.0 * DAY) - 1e-9).ceil() {
        1.0 => "a week".into(),
        n => format!("{n} weeks"),
    }
}

fn repairs(i: &AmmoniaIn, o: &AmmoniaOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    let mut put = |id: &str, title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Ammonia>(i, before, levels, id, title, edits, words.system));
    };
    let of = |n: usize| move |o: &AmmoniaOut| levels(&AmmoniaIn::default(), o).into_iter().nth(n);
    // One change of water brings both down: it is offered once, for the one that harms first.
    let high = [(0, "unionised"), (1, "tan")].into_iter().find(|(n, _)| before[*n].state() != State::Enough);
    let both = before[2].state() != State::Enough;
    let high = high.filter(|_| o.change.value > 0.0);
    if let Some((_, id)) = high {
        let Renewal { change, how, left } = renewal(o.change, i.volume, words);
        let title = format!("{change} ({how}), with water free of {}", if both { "both" } else { "ammonia" });
        let thin = |key: &str, x: MassConcentration| Edit::num(key, CONCENTRATION.of(x.value * left));
        let mut edits = vec![thin("tan", i.tan)];
        if both {
            edits.push(thin("nitrite", i.nitrite));
        }
        put(id, title, edits);
    }
    if both && high.is_none() {
        let once = 1.0 - before[2].load().map_or(1.0, |x| ENOUGH / x).clamp(0.0, 1.0);
        let Renewal { change, how, left } = renewal(PERCENT.of(once), i.volume, words);
        let title = format!("{change} ({how}), with water free of nitrite");
        put("nitrite", title, vec![Edit::num("nitrite", CONCENTRATION.of(i.nitrite.value * left))]);
    }
    if both && let Some((title, edit)) = salted(chloride_in(i), o.salt, i.volume, words) {
        put("nitrite", title, vec![edit]);
    }
    if before[3].state() != State::Enough {
        // New medium carries nothing: it is counted as it is when it is ripe.
        let ripe = ammonia::ripe_after(i.temperature);
        let ripe = DAYS.of((ripe.value / DAY - 1e-9).ceil() * DAY).max(i.age);
        let left = DAYS.of(ripe.value - i.age.value);
        let aged = || Edit::num("age", ripe);
        let media = |x: f64| {
            let edit = Edit::num("media", VOLUME.of(x));
            if left.value > 0.0 { vec![edit, aged()] } else { vec![edit] }
        };
        if let Some(x) = mend::just_enough::<Ammonia>(i, of(3), media, i.media.value, 500.0) {
            let x = VOLUME.of(mend::rounded(x, i.media.value, words.step(VOLUME, l(10.0))).min(500.0));
            let title = format!(
                "{} of {} in all, once it is ripe: what is new takes {}",
                words.q(VOLUME, x),
                lower(i.medium.label),
                weeks(ammonia::ripe_after(i.temperature))
            );
            put("filter", title, media(x.value));
        } else if left.value > 0.0 {
            put("filter", format!("Let the filter ripen, {} more", weeks(left)), vec![aged()]);
        }
        let feed = |x: f64| vec![Edit::num("feed", FEED_RATE.of(x))];
        if let Some(x) = mend::just_enough::<Ammonia>(i, of(3), feed, i.feed.value, 0.0) {
            let x = FEED_RATE.of(significant(x * 0.995, 3));
            put("filter", format!("Feed {} until then", words.amount(FEED_RATE, x)), feed(x.value));
        }
    }
    if before[4].state() != State::Enough {
        let flow = |x: f64| vec![Edit::num("flow", FLOW.of(x))];
        if let Some(x) = mend::just_enough::<Ammonia>(i, of(4), flow, i.flow.value, l_h(500_000.0)) {
            let x = FLOW.of(mend::rounded(x, i.flow.value, words.step(FLOW, l_h(50.0))).min(l_h(500_000.0)));
            put("flow", format!("{} through the filter", words.q(FLOW, x)), flow(x.value));
        }
    }
    // What salt brings does not all show in the level: past the limit it holds nitrite off as well.
    for salt in all.iter_mut().filter(|r| r.edits.iter().any(|e| e.path == "chloride")) {
        let brings = "Chloride is then past ten times the nitrite: most of that stays out of their blood.";
        salt.effect = format!("{brings} {}", salt.effect);
    }
    all
}

fn cautions(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Vec<Caution> {
    let mut all = vec![];
    if o.stay >= Stay::Days {
        all.push(Caution::from(
            "Never raise the pH while there is ammonia in the water: each unit makes it ten times as poisonous. Buffer only in small steps.",
            &oxygen_src::EMERSON_1975,
        ));
        all.push(Caution::from(
            "New water must be free of chlorine and near in temperature and pH. Chloramine brings ammonia of its own.",
            &src::EPA_CHLORINE,
        ));
    }
    all.extend(salt_against(o.nitrite, o.salt, words));
    if o.deadly.is_some() {
        all.push(Caution::new("At this temperature this fish dies, whatever the test says."));
    }
    let bears = ammonia::tan_borne(i.species, o.share);
    if i.target > bears {
        all.push(Caution::new(format!(
            "At this pH this fish bears no more than {} of ammonia nitrogen in all, less than is to be held in the tank.",
            words.q(CONCENTRATION, bears)
        )));
    }
    if o.new {
        all.push(Caution::from(
            "For its first two weeks a filter is not counted on: until then no more is fed than the water bears for a day with nothing taken.",
            &oxygen_src::NEW_FILTER,
        ));
    }
    if i.salinity.value > 0.0 && i.salinity.value < brackish::FROM.value {
        all.push(Caution::from(
            "Up to 5 g/L of salt the share goes over from that of fresh water to that of salt water.",
            &src::JOHANSSON_WEDBORG_1980,
        ));
    }
    if i.ph.value < 6.5 {
        all.push(Caution::from(
            "Below pH 6.5 the filter slows down, and it nearly stops at 6; so it is counted here.",
            &oxygen_src::FILTER_PH,
        ));
    }
    all.push(Caution::new("If fish gasp or hang at the surface, act before you calculate: stop the feed, give all the air you have, change water. Ask a veterinarian if they sicken."));
    all
}

fn notes(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Vec<String> {
    let mut all = vec![format!(
        "The feed uses up alkalinity worth {} of baking soda; plants that take up nitrate give part of it back.",
        words.q(FEED_RATE, o.buffer.1)
    )];
    if let Some(t) = o.lime {
        all.push(format!(
            "With nothing given, the alkalinity is down to {} {}, and the pH then falls away.",
            words.q(CONCENTRATION, CONCENTRATION.of(mg_l(LEAST_LIME.value))),
            if t.value < HOUR { "now".into() } else { format!("in {}", spoken(t.value)) }
        ));
    }
    all.push(format!("If the filter stopped, ammonia would rise by {} a day.", words.q(CONCENTRATION, o.rise)));
    if !o.printed {
        all.push("The criteria for other water life are printed for pH 6.5 to 9 and up to 30 °C (86 °F): none are given here.".into());
    }
    if i.media.value > 0.0 {
        all.push(format!(
            "Ripe, {} of {} would do.",
            words.range(VOLUME, o.media.0, o.media.1),
            i.medium.label.to_ascii_lowercase()
        ));
    }
    all
}

/// What to do now, in order.
fn now(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Table {
    let mut rows: Vec<[String; 2]> = vec![];
    if o.stay >= Stay::Days {
        let (cut, at_once) = (o.cut.value, o.stay >= Stay::Hours);
        let (what, why) = match cut {
            c if c <= 0.0 || c >= 1.0 && at_once => ("Feed nothing today", "What is not eaten makes no ammonia."),
            c if c < 1.0 => ("Feed half of it today, no more", "What is not eaten makes no ammonia."),
            _ => ("Feed no more than now, and add no fish", "The readings are near what these fish bear."),
        };
        rows.push([what.into(), why.into()]);
    }
    if o.stay >= Stay::Hours {
        rows.push(["All the air there is".into(), "Poisoned gills need more oxygen, and so does the filter.".into()]);
    }
    if o.change.value > 0.0 && o.stay >= Stay::Days {
        let Renewal { change, how, .. } = renewal(o.change, i.volume, words);
        rows.push([
            change,
            format!(
                "{how}, with water near in temperature and pH, until ammonia and nitrite are well below their limits. How much they bear at once is on the page “{}”.",
                Change::TITLE
            ),
        ]);
    }
    if o.salt.value > 0.0 && o.nitrite.value > o.limits[2].value * ENOUGH {
        rows.push([
            format!("{} of plain salt", weighed(o.salt, words)),
            "Dissolved, over an hour: it keeps most of the nitrite out of their blood until that is down. Not where salt-shy plants grow.".into(),
        ]);
    }
    if o.stay >= Stay::Days {
        rows.push([
            "Test again".into(),
            match o.down {
                _ if disproved(o) => {
                    "After every change, and tomorrow. Do not wait for the filter: it should have taken this.".into()
                }
                Some(_) => "Tomorrow.".into(),
                None if o.new => "Tomorrow. The filter is too new to count on.".into(),
                None => "Tomorrow. The filter alone will not bring it down.".into(),
            },
        ]);
        rows.push([
            "Look for the cause".into(),
            "A dead fish, feed left over, a stopped pump, a washed or dried filter, a new filter.".into(),
        ]);
    }
    coming(o, &mut rows, words);
    if rows.is_empty() {
        rows.push(["Nothing".into(), "Test again in a week, or when anything changes.".into()]);
    } else if o.stay == Stay::Long {
        rows.push(["Test again".into(), "Tomorrow, and every day until this is put right.".into()]);
    }
    Table {
        title: "What to do now, in this order".into(),
        head: vec!["Do".into(), "Why".into()],
        rows: rows.into_iter().map(Vec::from).collect(),
    }
}

/// What is to be done about what the readings do not show yet.
fn coming(o: &AmmoniaOut, rows: &mut Vec<[String; 2]>, words: Words) {
    if o.made > o.bears.0 {
        let rest = CONCENTRATION.of(o.rise.value * (1.0 - (o.takes.0 / o.made).value.min(1.0)));
        rows.push([
            match significant(o.bears.0.value * ENOUGH * (o.feed / o.made).value * 0.995, 3) {
                feed if feed > 0.0 => format!("Feed no more than {}", words.q(FEED_RATE, FEED_RATE.of(feed))),
                _ => "Feed nothing for now".into(),
            },
            format!(
                "What the filter is not sure to take raises the ammonia by {} a day.",
                words.q(CONCENTRATION, rest)
            ),
        ]);
    }
    if o.flow > o.has_flow {
        rows.push([
            format!("{} through the filter", words.q(FLOW, mend::upwards(FLOW, o.flow / ENOUGH, l_h(50.0), words))),
            format!("Only {} run through it: the ammonia does not get there.", words.q(FLOW, o.has_flow)),
        ]);
    }
    if let Some(t) = soon(o) {
        let when = if o.stay >= Stay::Days { "Once the ammonia is down, " } else { "" };
        rows.push([
            sentence(&format!("{when}{} of baking soda", words.q(FEED_RATE, o.buffer.1))),
            format!("{} In small steps, and less where plants take up nitrate.", lasts(t)),
        ]);
    }
}

fn meaning(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Table {
    let row = |name: &str, x: MassConcentration, limit: MassConcentration, note: &str| {
        vec![name.to_string(), words.q(CONCENTRATION, x), words.q(CONCENTRATION, limit), note.to_string()]
    };
    let nitrite = treatment::nitrite_of(o.nitrite);
    let mut rows = vec![
        row(
            "Un-ionised ammonia nitrogen",
            o.unionised,
            o.limits[0],
            "harms gills above it; the alert comes by half of it",
        ),
        row("Total ammonia nitrogen", o.tan, o.limits[1], "practice for this fish"),
    ];
    if o.printed {
        rows.push(row("Total, for a month", o.tan, o.criteria.1, "protects nearly all water life, mussels too"));
        rows.push(row("Total, for an hour", o.tan, o.criteria.0, "the same"));
    }
    let held = if o.limits[2] < i.species.nitrite_limit() {
        "with as little chloride as there is"
    } else {
        "with chloride enough"
    };
    rows.push(row("Nitrite nitrogen", o.nitrite, o.limits[2], held));
    rows.push(row(
        "Chloride",
        chloride_in(i),
        CONCENTRATION.of(nitrite.value * treatment::CHLORIDE_PER_NITRITE.value),
        "should be at least this, ten times the nitrite",
    ));
    Table {
        title: "What the readings mean".into(),
        head: vec!["".into(), "Is".into(), "Limit".into(), "".into()],
        rows,
    }
}

/// Un-ionised ammonia over the pH.
fn picture(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Picture {
    let points: Vec<_> = (0..=30)
        .map(|n| {
            let ph = 6.0 + 3.0 * f64::from(n) / 30.0;
            let share = brackish::unionised_share(i.temperature, RATIO.of(ph), i.salinity).map_or(0.0, |s| s.value);
            (ph, o.tan.value * share)
        })
        .collect();
    let most = (o.limits[0].value * 3.0).max(o.unionised.value * 1.2);
    let points: Vec<_> = points.into_iter().filter(|p| p.1 <= most).collect();
    Picture::Chart(Chart {
        title: "This reading at another pH".into(),
        describe: format!(
            "Un-ionised ammonia of {} in all rises tenfold with each unit of pH; at {} it is {}.",
            words.q(CONCENTRATION, o.tan),
            words.plain(i.ph.value),
            words.q(CONCENTRATION, o.unionised)
        ),
        x: Axis::new("pH", RATIO.0, 6.0, 9.0, words.system),
        y: Axis::new("un-ionised", CONCENTRATION.0, 0.0, most, words.system),
        series: vec![Series { name: "un-ionised ammonia nitrogen".into(), role: Role::Water, points }],
        marks: vec![Mark { label: "now".into(), x: i.ph.value, y: o.unionised.value }],
        bands: vec![],
        brim: Some((o.limits[0].value, "limit".into())),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::sheet::solve;

    fn run(i: &AmmoniaIn) -> AmmoniaOut {
        solve::<Ammonia>(i, &mut Working::none()).expect("solves")
    }
    fn near(a: f64, b: f64, by: f64) {
        assert!((a - b).abs() <= by, "{a} not {b}");
    }

    /// Salt and buffer stand in the units that are read; what a small scale weighs stays in grams.
    #[test]
    fn what_is_weighed_out() {
        let said = |x: f64, system: System| weighed(MASS.of(g(x)), system.into()).replace('\u{202f}', " ");
        assert_eq!((said(71.0, System::Metric), said(2.2, System::Us)), ("71 g".into(), "2.2 g".into()));
        assert_eq!((said(71.0, System::Us), said(1500.0, System::Us)), ("2.5 oz".into(), "3.31 lb".into()));
    }

    /// A repair that names an amount brings the level to four fifths with it, in cold water and at a large feed too.
    #[test]
    fn enough_of_a_medium_is_enough() {
        for (temperature, feed) in [(0.5, 120.0), (5.5, 180.0), (26.0, 450.0), (26.0, 52_000.0)] {
            let i = AmmoniaIn {
                temperature: TEMPERATURE.of(celsius(temperature)),
                feed: FEED_RATE.of(g_day(feed)),
                ..AmmoniaIn::default()
            };
            let o = crate::calculators::solve::<Ammonia>(&i, &mut Working::none()).expect("solved");
            let r = Ammonia::report(&i, &o, Words::default());
            let media = r.repairs.iter().find(|r| r.edits.iter().any(|e| e.path == "media")).expect("a repair");
            assert_eq!(media.level.state(), State::Enough, "{}: {}", media.title, media.effect);
            // And not far more than that.
            assert!(media.level.fullness() > 0.75, "{}: {}", media.title, media.effect);
        }
        // What there is carries it once it is ripe, so no more is named.
        let i = AmmoniaIn { temperature: TEMPERATURE.of(celsius(5.5)), ..AmmoniaIn::default() };
        let r = Ammonia::report(&i, &run(&i), Words::default());
        assert!(r.repairs.iter().all(|r| r.edits.iter().all(|e| e.path != "media")));
        let wait = r.repairs.iter().find(|r| r.edits.iter().any(|e| e.path == "age")).expect("a repair");
        assert_eq!((wait.title.as_str(), wait.level.state()), ("Let the filter ripen, 9 weeks more", State::Enough));
    }

    #[test]
    fn the_worked_example_of_the_extension_sheet() {
        // UF/IFAS FA16: 1.0 mg/L at 24 °C and pH 8.0: 0.0502 mg/L, "borderline" against 0.05.
        let i = AmmoniaIn {
            temperature: TEMPERATURE.of(celsius(24.0)),
            ph: RATIO.of(8.0),
            tan: CONCENTRATION.of(mg_l(1.0)),
            ..AmmoniaIn::default()
        };
        let o = run(&i);
        near(o.unionised.value, mg_l(0.0502), mg_l(0.00006));
        assert_eq!(levels(&i, &o)[0].state(), State::Over);
        assert_eq!(o.stay, Stay::Hours);
        // A kit that reads the molecule: 1.2159 mg/L is the same water.
        let kit = AmmoniaIn { tan: CONCENTRATION.of(mg_l(1.2159)), tan_as: ReadAs::Molecule, ..i };
        near(run(&kit).tan.value, mg_l(1.0), mg_l(0.0001));
    }

    #[test]
    fn filter_of_the_published_chain() {
        // FAO Technical Paper 589, Appendix 4: 200 g of feed at 32 %, 7.5 g of ammonia a day, 0.57 g/m2/day, 300 m2/m3: 13.2 m2, 44 L.
        let published: f64 = 200.0 * 0.32 * 0.16 * 0.61 * 1.2 / 0.57;
        near(published, 13.2, 0.06);
        near(published / 300.0 * 1000.0, 44.0, 0.3);
        // Ours for the same: 5.888 g of nitrogen, at 25 °C and 1 mg/L half of 1.0/1.2159 g/m2/day: 14.32 m2, 47.7 L of the same medium.
        let i = AmmoniaIn {
            temperature: TEMPERATURE.of(celsius(25.0)),
            feed: FEED_RATE.of(g_day(200.0)),
            medium: Medium::by_id("lava").expect("lava"),
            target: CONCENTRATION.of(mg_l(1.0)),
            ..AmmoniaIn::default()
        };
        let o = run(&i);
        near(o.made.value, g_day(5.888), g_day(1e-9));
        near(o.media.1.value, l(47.7), l(0.1));
        // 490.7 L/h at 1.0 mg/L and 50 % a pass; 42.0 g of calcium carbonate, 70.6 g of baking soda.
        near(o.flow.value, l_h(490.7), l_h(0.1));
        near(o.buffer.0.value, g_day(42.07), g_day(0.1));
        near(o.buffer.1.value, g_day(70.6), g_day(0.1));
    }

    #[test]
    fn a_good_water_is_left_alone_and_a_bad_one_is_not() {
        let good = run(&AmmoniaIn::default());
        assert_eq!(good.stay, Stay::Long);
        assert_eq!(good.change.value, 0.0);
        let i = AmmoniaIn {
            ph: RATIO.of(8.6),
            tan: CONCENTRATION.of(mg_l(4.0)),
            nitrite: CONCENTRATION.of(mg_l(2.0)),
            ..AmmoniaIn::default()
        };
        let bad = run(&i);
        assert_eq!(bad.stay, Stay::Now);
        let r = Ammonia::report(&i, &bad, Words::default());
        assert!(r.repairs.iter().any(|r| r.level.id == "unionised" && r.level.state() == State::Enough));
        assert!(r.tables[0].rows.len() >= 5);
        // Nitrite 2.0 as N is 6.57: ten times it is 65.7 mg/L of chloride, 82.1 with a fifth to spare, 122 g of salt. That of 30 mg/L of chloride
        // nobody may have measured: it is not counted.
        assert_eq!(weighed(bad.salt, Words::default()).replace('\u{202f}', " "), "130 g");
        assert_eq!(salt_to_hold(i.nitrite, CONCENTRATION.of(0.0), i.volume), bad.salt);
        assert!(salt_to_hold(i.nitrite, CONCENTRATION.of(mg_l(60.0)), i.volume) < bad.salt);
        assert_eq!(salt_to_hold(i.nitrite, CONCENTRATION.of(mg_l(66.0)), i.volume).value, 0.0);
        let salt = r.repairs.iter().find(|r| r.title.contains("plain salt")).expect("salt");
        assert!(salt.effect.starts_with("Chloride is then past"), "{}", salt.effect);
    }

    /// With 10 mg/L of chloride fish bear 0.304 mg/L of nitrite nitrogen, whether a little more or a little less is read.
    #[test]
    fn the_limit_of_nitrite_does_not_jump() {
        let full = |nitrite: f64| {
            let mg = |x| CONCENTRATION.of(mg_l(x));
            let i = AmmoniaIn { chloride: mg(10.0), nitrite: mg(nitrite), ..AmmoniaIn::default() };
            levels(&i, &run(&i))[2].fullness()
        };
        near(full(0.30), 0.30 / 0.3045, 1e-3);
        near(full(0.31), 0.31 / 0.3045, 1e-3);
    }

    #[test]
    fn coming_down_unfed_matches_a_fine_integration() {
        // Plenty of flow, then so little that it carries less to the filter than that would take.
        for flow in [9000.0, 2000.0, 900.0, 30.0] {
            let i = AmmoniaIn {
                tan: CONCENTRATION.of(mg_l(2.5)),
                ph: RATIO.of(7.0),
                flow: FLOW.of(l_h(flow)),
                ..AmmoniaIn::default()
            };
            let o = run(&i);
            let area = AREA.of(i.medium.surface().0.value * i.media.value);
            let (mut c, mut t) = (i.tan.value, 0.0);
            while c > o.limits[1].value {
                let takes = ammonia::filter_capacity(area, i.temperature, CONCENTRATION.of(c), o.ripe, i.ph).value;
                c -= takes.min(l_h(flow) * 0.5 * c) / i.volume.value * 10.0;
                t += 10.0;
            }
            near(o.down.map_or(0.0, |d| d.value) / t, 1.0, 0.01);
        }
        assert!(
            run(&AmmoniaIn { tan: CONCENTRATION.of(mg_l(2.5)), flow: FLOW.of(0.0), ..AmmoniaIn::default() })
                .down
                .is_none()
        );
    }

    /// In portions of a third 84 % of the water are four and a half of them, so five. Never is all of it changed.
    #[test]
    fn water_is_changed_in_portions() {
        let of = |share| renewal(PERCENT.of(share), VOLUME.of(l(900.0)), Words::default());
        let said = |share| format!("{}: {}", of(share).change, of(share).how).replace('\u{202f}', " ");
        assert_eq!(said(0.84), "Change a third of the water at a time: 300 L, 5 times in all, a test after each");
        assert_eq!(said(0.2), "Change 20 % of the water: 180 L");
        near(of(0.84).left, (2.0f64 / 3.0).powi(5), 1e-12);
        near(of(0.2).left, 0.8, 1e-12);
        assert!(said(1.0).contains("20 times") && said(5.0 / 9.0).contains("2 times"));
    }

    /// What a filter of some days takes is not counted on, and new medium is counted when it is ripe.
    #[test]
    fn a_new_filter_is_not_counted_on() {
        let at = |age: f64, feed: f64| AmmoniaIn {
            age: DAYS.of(days(age)),
            feed: FEED_RATE.of(g_day(feed)),
            tan: CONCENTRATION.of(mg_l(0.2)),
            ..AmmoniaIn::default()
        };
        let i = at(3.0, 300.0);
        let o = run(&i);
        // Half of 1 mg/L less 0.2 in 900 L.
        assert_eq!((o.takes.0.value, o.new), (0.0, true));
        near(o.bears.0.value, g_day(0.27), g_day(1e-9));
        let r = Ammonia::report(&i, &o, Words::default());
        assert!(r.verdict.contains("too new to count on"), "{}", r.verdict);
        assert!(r.cautions.iter().any(|c| c.text.contains("first two weeks")));
        let of = |r: &Repair, path: &str| r.edits.iter().any(|e| e.path == path);
        let filter: Vec<_> = r.repairs.iter().filter(|r| r.level.id == "filter" && !of(r, "feed")).collect();
        assert!(!filter.is_empty() && filter.iter().all(|r| of(r, "age")), "{filter:?}");
        // With more feed than the medium carries ripe, more of it is named, and that it has to ripen.
        let i = at(3.0, 900.0);
        let r = Ammonia::report(&i, &run(&i), Words::default());
        let more = r.repairs.iter().find(|r| of(r, "media")).expect("medium");
        assert!(of(more, "age") && more.title.contains("what is new takes 8 weeks"), "{}", more.title);
        // From two weeks on it is what it was.
        let o = run(&at(14.0, 300.0));
        let whole = ammonia::filter_capacity(AREA.of(75.0), celsius_of(26.0), i.target, RATIO.of(0.2875), i.ph);
        near(o.takes.0.value / whole.value, 1.0, 1e-9);
        assert_eq!(o.bears, o.takes);
    }

    fn celsius_of(c: f64) -> ThermodynamicTemperature {
        TEMPERATURE.of(celsius(c))
    }

    #[test]
    fn a_small_filter_is_mended_by_media_or_less_feed() {
        let i = AmmoniaIn { media: VOLUME.of(l(40.0)), flow: FLOW.of(l_h(100.0)), ..AmmoniaIn::default() };
        let o = run(&i);
        let r = Ammonia::report(&i, &o, Words::default());
        for id in ["filter", "flow"] {
            assert!(r.repairs.iter().any(|r| r.level.id == id && r.level.state() == State::Enough), "{id}");
        }
    }
}
