//! A new filter: how long it takes to ripen, where its readings say it stands, and how much it may be fed.

use super::ammonia;
use crate::catalog::sources::{Coef, climate as src};
use crate::units::{
    MassConcentration, MassRate, Ratio, ThermodynamicTemperature, Time,
    kinds::*,
    si::{days, mg_l},
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

/// Share of its full load that the filter carries after `age`, low and high, a straight line from what it starts with to all of it.
///
/// At best a seeded filter starts with the share that its seed brings; the low line starts at a twentieth, but is nothing before
/// [`counted_after`].
pub fn carries(seed: Seed, age: Time, t: ThermodynamicTemperature) -> (Ratio, Ratio) {
    let (fast, slow) = ripening(seed, t);
    let low = if age < counted_after(seed, t) { RATIO.of(0.0) } else { ammonia::ripening(age, slow, None) };
    (low, ammonia::ripening(age, fast, seed.brings()))
}

/// Where a filter stands, by its readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Nothing has been given yet.
    Empty,
    /// It has been fed for long, and nothing of that shows.
    Unseen,
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
            Self::Unseen => "nothing of the feed shows, so test again",
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
        matches!(self, Self::Unseen | Self::Waiting | Self::Nitrite | Self::Behind | Self::Idle)
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
pub const SHOWS_AFTER: Coef = Coef::new(14.0, "day", &src::STAGE_RULE, "of feed or ammonia");

/// Where the readings say the filter stands; all as nitrogen, `nitrate` above that of the tap water, `fed` whether ammonia or feed goes in,
/// `age` for how long, and `ripe` after how long it is ripe at the latest.
pub fn stage([tan, nitrite, nitrate]: [MassConcentration; 3], fed: bool, age: Time, ripe: Time) -> Stage {
    let late = age.value >= days(SHOWS_AFTER.value);
    let (gone, shows) = (mg_l(GONE.value), mg_l(NITRATE.value));
    let (a, b, c) = (tan.value > gone, nitrite.value > gone, nitrate.value > shows);
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

/// Share of the full stock to begin with.
pub const FIRST: Coef = Coef::new(0.2, "1", &src::KSU_2021, "fish to start a new filter with");
/// The most by which the feed is raised in a week.
pub const WEEKLY: Coef = Coef::new(1.3, "1", &src::WEEKLY_RISE, "with ammonia and nitrite in hand");

/// The most feed for the coming week: what the filter surely carries by then, but no more than 1.3 times today's feed (or, to begin with, a
/// fifth of the full feed), no more than today's where it is `held` ([`Stage::holds`]), no more than the full feed, and cut by `cut`, the share
/// that today's readings allow.
///
/// `full` is the feed that is meant in the end, `carried` what the filter surely carries in a week.
pub fn most_feed(today: MassRate, full: MassRate, carried: MassRate, held: bool, cut: Ratio) -> MassRate {
    let more = (today.value * WEEKLY.value).max(full.value * FIRST.value);
    let step = if held { today.value } else { more };
    let room = carried.value.min(full.value).min(step);
    // Readings that cut the feed cut today's, not the plan's.
    FEED_RATE.of(if cut.value < 1.0 { room.min(today.value) * cut.value } else { room })
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
        // From then on the line is what it was: half of it at 28 days.
        assert!((carries(Seed::Bare, DAYS.of(days(28.0)), t(27.0)).0.value - 0.525).abs() < 1e-9);
        // Ten degrees colder, twice as long.
        assert!((ripening(Seed::Bare, t(10.0)).1.value / high.value - 2.0).abs() < 1e-9);
        for seed in [Seed::Bare, Seed::Bottle, Seed::Media, Seed::Filter] {
            let (a, b) = carries(seed, DAYS.of(days(10.0)), t(22.0));
            assert!(a <= b && b.value <= 1.0);
            // Ten days old: in the published tanks ammonia still stood at its highest. Ripe medium and a ripe filter are counted on by then.
            assert_eq!(a.value >= 0.05, matches!(seed, Seed::Media | Seed::Filter));
            let new = carries(seed, DAYS.of(0.0), t(22.0));
            // A moved filter carries half of its load at best; nobody counts on it.
            let best = [0.05, 0.05, 0.1, 0.5][seed as usize];
            assert_eq!((new.0.value, new.1.value), (0.0, best));
            assert_eq!(carries(seed, DAYS.of(days(2000.0)), t(5.0)).0.value, 1.0);
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
            let s = stage([mg(a), mg(b), mg(c)], true, DAYS.of(days(5.0)), DAYS.of(days(56.0)));
            assert_eq!(s, expect);
            assert!(s >= last);
            last = s;
        }
        // Old nitrate without a load proves nothing.
        let read =
            |nitrate, fed, age| stage([mg(0.0), mg(0.0), mg(nitrate)], fed, DAYS.of(days(age)), DAYS.of(days(56.0)));
        assert_eq!(read(40.0, false, 5.0), Stage::Empty);
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
        let over = stage([mg(0.5), mg(0.0), mg(40.0)], true, DAYS.of(days(40.0)), DAYS.of(days(56.0)));
        assert!(over == Stage::Behind && over.holds());
        assert!(Stage::Unseen.holds() && Stage::Waiting.holds() && Stage::Nitrite.holds());
        assert!(!Stage::Empty.holds() && !Stage::Clearing.holds() && !Stage::Ripe.holds());
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
