//! A new filter: how long it takes to ripen, where its readings say it stands, and how much it may be fed.

use super::ammonia;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{
    Mass, MassConcentration, MassRate, Ratio, ThermodynamicTemperature, Time, Volume,
    kinds::*,
    si::{days, hours, mg_l},
};

/// What the filter starts with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Seed {
    /// Nothing but what is in the air and on the fish.
    #[default]
    Bare,
    /// A bottle, or a bucket of pond or filter water.
    Bottle,
    /// Some medium of a ripe filter.
    Media,
    /// Most of the medium of a ripe filter.
    Filter,
}

const fn share(low: f64, high: f64, valid: &'static str) -> [Coef; 2] {
    [Coef::new(low, "1", &src::RIPENING_RANGE, valid), Coef::new(high, "1", &src::RIPENING_RANGE, valid)]
}
const BARE: [Coef; 2] = share(0.55, 1.0, "nothing added");
const BOTTLE: [Coef; 2] = share(0.4, 1.0, "bottled bacteria, or water of a ripe system; often dead");
const MEDIA: [Coef; 2] = share(0.2, 0.6, "a tenth or more of ripe medium");
const FILTER: [Coef; 2] = share(0.05, 0.25, "a filter moved wet and aired, within hours");

/// What a seed brings at best, of the full load.
const BRINGS: [Coef; 2] = [
    Coef::new(0.1, "1", &src::RIPENING_RANGE, "a tenth of ripe medium"),
    Coef::new(0.5, "1", &src::RIPENING_RANGE, "a filter moved wet and aired, within hours"),
];

impl Seed {
    /// Share of the full load that it brings at best, where that is known.
    const fn brings(self) -> Option<Coef> {
        match self {
            Self::Bare | Self::Bottle => None,
            Self::Media => Some(BRINGS[0]),
            Self::Filter => Some(BRINGS[1]),
        }
    }
    /// Time to ripen over that of a bare start at its slowest, low and high.
    pub const fn shares(self) -> [Coef; 2] {
        match self {
            Self::Bare => BARE,
            Self::Bottle => BOTTLE,
            Self::Media => MEDIA,
            Self::Filter => FILTER,
        }
    }
}

/// Time until a filter carries its full load, low and high: [`ammonia::ripe_after`] (56 days at 20 °C and more, twice as long for each 10 K
/// below) times the range of its start.
///
/// Set against published courses: 13 days of high ammonia, then nitrite, in carp tanks; six to seven weeks with tilapia; six to eight weeks
/// in a state's manual; one to six weeks in FAO's ([`src::RIPENING_CURVES`]).
pub fn ripening(seed: Seed, t: ThermodynamicTemperature) -> (Time, Time) {
    let full = ammonia::ripe_after(t);
    let [low, high] = seed.shares().map(|c| full * RATIO.of(c.value));
    (low, high)
}

/// After so long a filter is counted on ([`ammonia::counted_after`]).
pub fn counted_after(seed: Seed, t: ThermodynamicTemperature) -> Time {
    ammonia::counted_after(ripening(seed, t).1)
}

/// Share of its `full` load that the filter carries after `age`, low and high.
///
/// At best it is a straight line from a twentieth, or the share that its seed brings; surely it is nothing before [`counted_after`], and then
/// grows from what the water bears `alone` ([`ammonia::ripeness`]).
pub fn carries(seed: Seed, age: Time, t: ThermodynamicTemperature, [alone, full]: [MassRate; 2]) -> (Ratio, Ratio) {
    let (fast, slow) = ripening(seed, t);
    let new = age < counted_after(seed, t);
    let low = if new { RATIO.of(0.0) } else { ammonia::ripeness(age, slow, alone, full) };
    (low, ammonia::ripening(age, fast, seed.brings()).max(low))
}

/// Where a filter stands, by its readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Nothing has been given yet.
    Empty,
    /// It has been fed for long, and nothing of that shows.
    Unseen,
    /// Nobody has tested nitrate, which alone would tell.
    Untested,
    /// A dose is gone that so young a filter does not take.
    Early,
    /// Ammonia is there, and nothing takes it.
    Waiting,
    /// The first bacteria work: nitrite rises.
    Nitrite,
    /// The second ones work too: nitrite falls.
    Clearing,
    /// It works, but ammonia is left over.
    Behind,
    /// It has made nitrate, and gets nothing now.
    Idle,
    /// Both are low under a load.
    Ripe,
}

impl Stage {
    /// The words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Empty => "nothing to live on shows yet",
            Self::Unseen => "nothing of what went in shows, so test again",
            Self::Untested => "nothing sure without nitrate, so test that too",
            Self::Early => {
                "a dose is gone sooner than so young a filter takes it: see that it went in, and test again, the tap's nitrate too"
            }
            Self::Waiting => "waiting for the first bacteria",
            Self::Nitrite => "ammonia is taken, nitrite is not",
            Self::Clearing => "nitrite is coming down",
            Self::Behind => "the filter works, but ammonia is left over",
            Self::Idle => "it has taken ammonia but gets none now, so give some and see that it is gone in a day",
            Self::Ripe => "ripe for today's load",
        }
    }
    /// Must the feed stay as it is? While ammonia or nitrite is made and not taken, or nobody knows, more would only make more. What has had
    /// nothing for long may take nothing any more.
    pub const fn holds(self) -> bool {
        matches!(
            self,
            Self::Unseen | Self::Untested | Self::Early | Self::Waiting | Self::Nitrite | Self::Behind | Self::Idle
        )
    }
}

/// Alkalinity that a filter is started with, mg/L as calcium carbonate.
pub const LIME: Coef = Coef::new(100.0, "mg/L", &src::BIOFILTER_START, "at first; more while nitrite is to come down");
/// Readings below this count as gone, mg/L.
pub const GONE: Coef = Coef::new(0.25, "mg/L", &src::STAGE_RULE, "what drop tests still tell from nothing");
/// Nitrate above this shows that the second step works, mg/L.
pub const NITRATE: Coef = Coef::new(5.0, "mg/L", &src::STAGE_RULE, "nitrate nitrogen above that of the tap");

/// After so long a time of feeding something must show, days. Later than a filter's slowest ripening, plants may well take all of it: then
/// it is ripe.
const SHOWS_AFTER: Coef = Coef::new(14.0, "day", &src::STAGE_RULE, "of feed or ammonia");

/// Where the readings say the filter stands; all as nitrogen, `nitrate` above that of the tap water if it was tested, `fed` whether ammonia or feed
/// goes in, `age` for how long, and `ripe` after how long it is ripe at the latest.
pub fn stage(
    [tan, nitrite]: [MassConcentration; 2],
    nitrate: Option<MassConcentration>,
    fed: bool,
    age: Time,
    ripe: Time,
) -> Stage {
    let late = age.value >= days(SHOWS_AFTER.value);
    let (gone, shows) = (mg_l(GONE.value), mg_l(NITRATE.value));
    let (a, b) = (tan.value > gone, nitrite.value > gone);
    let Some(nitrate) = nitrate else {
        // Ammonia that is there may be all of it or what is left over, and what is not there may have gone or never come.
        return match a || b {
            false if fed && age >= ripe => Stage::Ripe,
            false if !late => Stage::Empty,
            _ => Stage::Untested,
        };
    };
    let c = nitrate.value > shows;
    match (a, b, c) {
        (false, false, _) if fed && (c || age >= ripe) => Stage::Ripe,
        (false, false, true) if late => Stage::Idle,
        (false, false, false) if fed && late => Stage::Unseen,
        (false, false, _) => Stage::Empty,
        (true, false, false) => Stage::Waiting,
        (_, true, false) => Stage::Nitrite,
        (_, true, true) => Stage::Clearing,
        (true, false, true) => Stage::Behind,
    }
}

/// Do days without food count for nothing? Where nothing is fed and no ammonia, nitrite or nitrate shows, no film has lived on anything, however long
/// the water has stood ([`src::STAGE_RULE`]).
pub fn unfed([tan, nitrite]: [MassConcentration; 2], nitrate: Option<MassConcentration>, fed: bool) -> bool {
    let gone = mg_l(GONE.value);
    let made = nitrate.is_some_and(|n| n.value > mg_l(NITRATE.value));
    !fed && !made && tan.value <= gone && nitrite.value <= gone
}

/// Is a filter too young to take a dose in a day, even if it ripens as fast as any? A quarter of that is before its bacteria are there
/// ([`counted_after`]).
pub fn too_young(seed: Seed, age: Time, t: ThermodynamicTemperature) -> bool {
    age < ammonia::counted_after(ripening(seed, t).0)
}

/// Share of the full stock to begin with.
pub const FIRST: Coef = Coef::new(0.2, "1", &src::KSU_2021, "fish to start a new filter with");
/// The most by which the feed is raised in a week.
pub const WEEKLY: Coef = Coef::new(1.3, "1", &src::WEEKLY_RISE, "with ammonia and nitrite in hand");

/// The most feed for the coming week: what the filter surely carries as it begins, but no more than 1.3 times today's feed (or, to begin with, a
/// fifth of the full feed), no more than today's where it is `held` ([`Stage::holds`]), no more than the full feed, and cut by `cut`, the share
/// that today's readings allow.
///
/// `full` is the feed that is meant in the end, `carried` what the filter surely carries.
pub fn most_feed(today: MassRate, full: MassRate, carried: MassRate, held: bool, cut: Ratio) -> MassRate {
    let more = (today.value * WEEKLY.value).max(full.value * FIRST.value);
    let step = if held { today.value } else { more };
    let room = carried.value.min(full.value).min(step);
    // Readings that cut the feed cut today's, not the plan's.
    FEED_RATE.of(if cut.value < 1.0 { room.min(today.value) * cut.value } else { room })
}

/// What ammonia is dosed from, where there are no fish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Product {
    /// Ammonium chloride.
    #[default]
    Chloride,
    /// Ammonia in water.
    Solution,
}

const CHLORIDE: Coef = Coef::new(53.491 / 14.007, "kg/kg", &src::STOICHIOMETRY, "NH4Cl per N");
const IN_AMMONIA: Coef = Coef::new(14.007 / 17.031, "kg/kg", &src::STOICHIOMETRY, "N in NH3");
/// Density of ammonia water: that of water, less so much of it for the share of ammonia.
const SOLUTION: [Coef; 2] = [
    Coef::new(1000.0, "kg/m3", &src::AMMONIA_DENSITY, "water"),
    Coef::new(0.4, "1", &src::AMMONIA_DENSITY, "up to 30 % of ammonia"),
];
/// Ammonia itself is a base: it brings half of the alkalinity that is used up when it turns to nitrate.
const BASE: Coef = Coef::new(0.5, "1", &src::STOICHIOMETRY, "one equivalent of two");

impl Product {
    /// Alkalinity, as calcium carbonate, that a dose of ammonia nitrogen uses up in the end.
    pub fn uses(self, dose: MassConcentration) -> MassConcentration {
        let share = if self == Self::Solution { BASE.value } else { 1.0 };
        CONCENTRATION.of(dose.value * ammonia::ALKALINITY_PER_NITROGEN.value * share)
    }
}

/// Ammonium chloride that holds so much nitrogen: 3.819 times its mass.
pub fn ammonium_chloride(nitrogen: Mass) -> Mass {
    MASS.of(nitrogen.value * CHLORIDE.value)
}

/// Ammonia water of a `strength` (share of its mass) that holds so much nitrogen.
pub fn ammonia_water(nitrogen: Mass, strength: Ratio) -> Volume {
    let [water, less] = SOLUTION.map(|c| c.value);
    let density = water * (1.0 - less * strength.value);
    VOLUME.of(nitrogen.value / (density * strength.value * IN_AMMONIA.value))
}

/// The most ammonia nitrogen in a dose, and of ammonia or nitrite nitrogen that may stand; ammonia below which the next dose is given.
const DOSES: [Coef; 3] = [
    Coef::new(4.0, "mg/L", &src::FISHLESS, "a dose"),
    Coef::new(5.0, "mg/L", &src::FISHLESS, "standing"),
    Coef::new(0.5, "mg/L", &src::FISHLESS, "of ammonia: time for the next"),
];
/// The least dose that proves anything.
pub const LEAST_DOSE: Coef = Coef::new(0.5, "mg/L", &src::DOSE_TEST, "twice what counts as gone");
/// Free ammonia from which nitrite bacteria are slowed.
const FREE: Coef = Coef::new(0.1, "mg/L", &src::NITRITE_BACTERIA, "as ammonia");
/// A dose is read so long after it: at the earliest and at the latest.
const READ: [Coef; 2] =
    [Coef::new(12.0, "h", &src::DOSE_TEST, "at the earliest"), Coef::new(24.0, "h", &src::FISHLESS, "within a day")];
/// Nitrate nitrogen that is low enough for fish to come.
pub const NITRATE_FOR_FISH: Coef = Coef::new(50.0, "mg/L", &src::NITRATE_BORNE, "above that of the tap");

/// The most ammonia nitrogen in a dose, where `share` of it is un-ionised, and what may stand of ammonia and of nitrite nitrogen.
pub fn doses(share: Ratio) -> (MassConcentration, [MassConcentration; 2]) {
    let free = FREE.value / ammonia::AMMONIA_PER_NITROGEN.value / share.value.max(f64::MIN_POSITIVE);
    let [dose, standing, _] = DOSES.map(|c| c.value);
    let most = free.min(dose);
    let mg = |x| CONCENTRATION.of(mg_l(x));
    (mg(most), [mg(most * standing / dose), mg(standing)])
}

/// Ammonia and nitrite nitrogen below which a dose may follow: what stands after it is then no more than may ([`doses`]).
pub fn again(dose: MassConcentration, share: Ratio) -> [MassConcentration; 2] {
    let (most, [all, nitrite]) = doses(share);
    let ammonia = (all - most).min(CONCENTRATION.of(mg_l(DOSES[2].value)));
    [ammonia, (nitrite - dose - ammonia).max(CONCENTRATION.of(mg_l(GONE.value)))]
}

/// Was the last dose read too early to tell anything?
pub fn read_early(since: Time) -> bool {
    since.value < hours(READ[0].value)
}

/// Does a reading so long after a dose prove that it was gone within a day?
pub fn gone_in_a_day(stage: Stage, dose: MassConcentration, since: Time) -> bool {
    dose.value >= mg_l(LEAST_DOSE.value)
        && stage == Stage::Ripe
        && !read_early(since)
        && since.value <= hours(READ[1].value)
}

/// Ammonia nitrogen a day that a dose which is gone in a day proves, where the water is to hold `target`: all of it from 1 mg/L on, less in
/// proportion below, as the filter then works ([`ammonia::nitrification`]).
pub fn proven(dose: MassConcentration, target: MassConcentration, water: Volume) -> MassRate {
    let share = (target.value / mg_l(ammonia::FULL_RATE_TAN.value)).min(1.0);
    OXYGEN_RATE.of(dose.value * share * water.value / days(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;

    fn t(c: f64) -> ThermodynamicTemperature {
        TEMPERATURE.of(celsius(c))
    }
    fn mg(x: f64) -> MassConcentration {
        CONCENTRATION.of(mg_l(x))
    }

    #[test]
    fn the_range_spans_what_was_measured() {
        let (low, high) = ripening(Seed::Bare, t(27.0));
        // Mnyoro et al. 2022: six weeks on local media, seven on plastic, with tilapia. KSU manual: six to eight weeks.
        for weeks in [6.0, 7.0, 8.0] {
            assert!(low.value <= days(7.0 * weeks) && days(7.0 * weeks) <= high.value + 1.0, "{weeks}");
        }
        // Our judgement between them: 31 to 56 days.
        assert_eq!((low.value / days(1.0)).round(), 31.0);
        // FAO: one to six weeks, by temperature and ammonia source; the short end is a seeded one.
        assert!(ripening(Seed::Media, t(27.0)).0.value <= days(14.0));
        assert!(ripening(Seed::Filter, t(27.0)).0.value <= days(7.0));
        assert_eq!(counted_after(Seed::Bare, t(27.0)), DAYS.of(days(14.0)));
        // It grows from what the water bears alone, a 27th of its load: a third of the way on that is a ninth.
        let rates = [1.0, 27.0].map(|x| FEED_RATE.of(x));
        assert!((carries(Seed::Bare, DAYS.of(days(28.0)), t(27.0), rates).0.value - 1.0 / 9.0).abs() < 1e-9);
        // Ten degrees colder, twice as long.
        assert!((ripening(Seed::Bare, t(10.0)).1.value / high.value - 2.0).abs() < 1e-9);
        for seed in [Seed::Bare, Seed::Bottle, Seed::Media, Seed::Filter] {
            let (a, b) = carries(seed, DAYS.of(days(10.0)), t(22.0), rates);
            assert!(a <= b && b.value <= 1.0);
            // Ten days old: in the published tanks ammonia still stood at its highest. Ripe medium and a ripe filter are counted on by then.
            assert_eq!(a.value > 1.0 / 27.0, matches!(seed, Seed::Media | Seed::Filter));
            let new = carries(seed, DAYS.of(0.0), t(22.0), rates);
            // A moved filter carries half of its load at best; nobody counts on it.
            let best = [0.05, 0.05, 0.1, 0.5][seed as usize];
            assert_eq!((new.0.value, new.1.value), (0.0, best));
            assert_eq!(carries(seed, DAYS.of(days(2000.0)), t(5.0), rates).0.value, 1.0);
        }
    }

    #[test]
    fn the_course_of_a_start_read_stage_by_stage() {
        // Carp tanks (Appl. Sci. 2020, 10: 626): 3 mg/L of ammonia nitrogen by day 3 and for ten days, then below 0.25; nitrite to over 11 mg/L
        // before it fell too.
        let course = [
            ((0.0, 0.0, 0.0), Stage::Empty),
            ((3.0, 0.0, 0.0), Stage::Waiting),
            ((3.0, 1.0, 0.0), Stage::Nitrite),
            ((0.2, 11.0, 1.0), Stage::Nitrite),
            ((0.2, 4.0, 20.0), Stage::Clearing),
            ((0.1, 0.1, 40.0), Stage::Ripe),
        ];
        let mut last = Stage::Empty;
        for ((a, b, c), expect) in course {
            let s = stage([mg(a), mg(b)], Some(mg(c)), true, DAYS.of(days(5.0)), DAYS.of(days(56.0)));
            assert_eq!(s, expect);
            assert!(s >= last);
            last = s;
        }
        // Old nitrate without a load proves nothing.
        let of = |read: [f64; 2], nitrate: Option<f64>, fed, age| {
            stage(read.map(mg), nitrate.map(mg), fed, DAYS.of(days(age)), DAYS.of(days(56.0)))
        };
        let read = |nitrate, fed, age| of([0.0, 0.0], Some(nitrate), fed, age);
        assert_eq!(read(40.0, false, 5.0), Stage::Empty);
        // Nothing given and nothing made: no film has lived on it.
        let idle = |tan, nitrate: Option<f64>, fed| unfed([mg(tan), mg(0.0)], nitrate.map(mg), fed);
        assert!(idle(0.0, Some(0.0), false) && idle(0.1, None, false));
        assert!(!idle(0.0, Some(0.0), true) && !idle(0.5, Some(0.0), false) && !idle(0.0, Some(40.0), false));
        // A quarter of the fastest ripening, 31 days of a bare start: 7.7 days; of a filter that was moved, less than one.
        let young = |seed, age: f64| too_young(seed, DAYS.of(days(age)), t(25.0));
        assert!(young(Seed::Bare, 7.0) && !young(Seed::Bare, 8.0) && !young(Seed::Filter, 1.0));
        // After weeks it shows a filter that was ripened without fish: what it takes today is not known before it is tried.
        assert_eq!(read(40.0, false, 20.0), Stage::Idle);
        assert!(Stage::Idle.holds());
        // Two weeks of feed and nothing of it anywhere: the kit, or the feed, is looked at first. Long ripe, plants may take all of it.
        assert_eq!(read(0.0, true, 13.0), Stage::Empty);
        assert_eq!(read(0.0, true, 14.0), Stage::Unseen);
        assert_eq!(read(0.0, false, 14.0), Stage::Empty);
        assert_eq!(read(0.0, true, 60.0), Stage::Ripe);
        assert_eq!(read(0.0, false, 60.0), Stage::Empty);
        // Nitrite is not coming down where there is none, and what leaves ammonia over gets no more.
        let over = of([0.5, 0.0], Some(40.0), true, 40.0);
        assert!(over == Stage::Behind && over.holds());
        // What of those it is nobody can tell who has not tested nitrate: the feed stays as it is until then.
        for read in [[0.5, 0.0], [0.5, 0.5], [0.0, 0.5]] {
            assert_eq!(of(read, None, true, 100.0), Stage::Untested);
        }
        assert_eq!(
            [5.0, 20.0, 60.0].map(|age| of([0.0, 0.0], None, true, age)),
            [Stage::Empty, Stage::Untested, Stage::Ripe]
        );
        assert!(Stage::Untested.holds() && of([0.0, 0.0], None, false, 60.0) == Stage::Untested);
        assert!(Stage::Unseen.holds() && Stage::Waiting.holds() && Stage::Nitrite.holds());
        assert!(!Stage::Empty.holds() && !Stage::Clearing.holds() && !Stage::Ripe.holds());
    }

    #[test]
    fn doses_by_hand() {
        // 2 mg/L in 900 L are 1.8 g of nitrogen: 53.491/14.007 times as much ammonium chloride, 6.87 g; of ammonia water of 10 %, which holds
        // 0.8224 x 0.1 x 960 g/L, 22.8 mL.
        let nitrogen = MASS.of(1.8e-3);
        assert!((ammonium_chloride(nitrogen).value - 6.874e-3).abs() < 2e-6);
        assert!((ammonia_water(nitrogen, RATIO.of(0.1)).value / l(0.022_80) - 1.0).abs() < 1e-3);
        // Cooley's table, 60 degF.
        for (strength, density) in [(0.04956, 0.98), (0.10119, 0.96), (0.20046, 0.92375), (0.30016, 0.89)] {
            let of = nitrogen.value / IN_AMMONIA.value / strength / ammonia_water(nitrogen, RATIO.of(strength)).value;
            assert!((of / (density * 1e3) - 1.0).abs() < 0.012, "{strength}: {of}");
        }
        // Nitrification uses 7.14 mg/L for each; ammonia itself is half of that.
        assert!((Product::Chloride.uses(mg(2.0)).value / mg_l(14.29) - 1.0).abs() < 1e-3);
        assert!((Product::Solution.uses(mg(2.0)).value / mg_l(7.146) - 1.0).abs() < 1e-3);
        // 2 mg/L at pH 8.4 and 28 degC hold 0.30 mg/L of free ammonia (15 % of it, by Emerson et al. 1975): past the 0.1 of Anthonisen et al. 1976.
        let share = |c, ph| ammonia::unionised_share(t(c), RATIO.of(ph)).expect("a share");
        assert!((doses(share(28.0, 8.4)).0.value / mg_l(0.1 / 1.2159 / 0.1495) - 1.0).abs() < 1e-3);
        assert_eq!(doses(share(25.0, 7.2)), (mg(4.0), [mg(5.0), mg(5.0)]));
        // What is left and what follows never stand higher than they may.
        for ph in [6.5, 7.2, 8.0, 8.6, 9.4] {
            let share = share(26.0, ph);
            let (most, [ammonia, nitrite]) = doses(share);
            for dose in [0.25, 0.5, 1.0].map(|x| most * x) {
                let [a, b] = again(dose, share);
                assert!(a + dose <= ammonia * (1.0 + 1e-9) && (a + b + dose <= nitrite * (1.0 + 1e-9)), "{ph}");
            }
        }
        // 2 mg/L a day in 900 L: 1.8 g of nitrogen; half of it where the fish bear 0.5 mg/L.
        assert!((proven(mg(2.0), mg(1.0), VOLUME.of(0.9)).value / g_day(1.8) - 1.0).abs() < 1e-9);
        assert!((proven(mg(2.0), mg(0.5), VOLUME.of(0.9)).value / g_day(0.9) - 1.0).abs() < 1e-9);
        let gone = |h: f64| gone_in_a_day(Stage::Ripe, mg(0.5), HOURS.of(hours(h)));
        assert_eq!([6.0, 12.0, 24.0, 30.0].map(gone), [false, true, true, false]);
        assert!(!gone_in_a_day(Stage::Ripe, mg(0.3), HOURS.of(hours(24.0))));
    }

    #[test]
    fn feed_rises_by_steps_and_falls_by_readings() {
        let f = |g| FEED_RATE.of(g_day(g));
        let most = |today: f64, carries: f64, cut: f64| {
            most_feed(f(today), f(100.0), f(100.0 * carries), false, RATIO.of(cut)).value / g_day(1.0)
        };
        let held = |today| most_feed(f(today), f(100.0), f(50.0), true, RATIO.of(1.0)).value / g_day(1.0);
        assert!((held(15.0) - 15.0).abs() < 1e-9 && held(0.0) == 0.0 && (held(70.0) - 50.0).abs() < 1e-9);
        assert!((most(0.0, 0.5, 1.0) - 20.0).abs() < 1e-9);
        assert!((most(0.0, 0.1, 1.0) - 10.0).abs() < 1e-9);
        assert!((most(40.0, 1.0, 1.0) - 52.0).abs() < 1e-9);
        assert!((most(90.0, 1.0, 1.0) - 100.0).abs() < 1e-9);
        assert!((most(40.0, 1.0, 0.5) - 20.0).abs() < 1e-9);
        assert_eq!(most(40.0, 1.0, 0.0), 0.0);
    }
}
