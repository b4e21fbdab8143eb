//! The days that are checked: the water of each, and how outlets stand then.

use super::*;

/// The day that is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Day {
    /// As it is today.
    #[default]
    Today,
    /// The hottest water of the year.
    Hottest,
    /// The coldest water of the year.
    Coldest,
    /// Every fish at its mass at harvest, in the hottest water.
    Harvest,
    /// The harvest of the group at this place among those of all tanks, where they are harvested group by group.
    Group(u8),
    /// Today, with one outlet blocked in every tank that has several.
    Blocked,
    /// In the hottest water, with screens half blocked and air stones aged.
    Aged,
}

/// What a screen loses until someone looks.
const HALF_BLOCKED: Coef = Coef::new(0.5, "1", &system::WORN, "of a screen's openings");

impl Day {
    /// Every day, today first. Where fish are harvested group by group, the harvest is several ([`super::super::worst::solve_days`]).
    pub const ALL: [Self; 6] = [Self::Today, Self::Hottest, Self::Coldest, Self::Harvest, Self::Blocked, Self::Aged];
    /// In words that are frozen: saved documents and what reads them know the days by these.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Today => "today",
            Self::Hottest => "hottest water",
            Self::Coldest => "coldest water",
            Self::Harvest | Self::Group(_) => "at harvest, hottest water",
            Self::Blocked => "one outlet blocked",
            Self::Aged => "screens and stones aged, hottest water",
        }
    }
    /// As a heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Hottest => "Hottest water",
            Self::Coldest => "Coldest water",
            Self::Harvest | Self::Group(_) => "At harvest, hottest water",
            Self::Blocked => "One outlet of several blocked",
            Self::Aged => "Screens and stones aged, hottest water",
        }
    }
    /// After what is said of it: nothing for today.
    pub const fn when(self) -> &'static str {
        match self {
            Self::Today => "",
            Self::Hottest => " in the hottest water",
            Self::Coldest => " in the coldest water",
            Self::Harvest | Self::Group(_) => " at harvest in the hottest water",
            Self::Blocked => " with one outlet blocked",
            Self::Aged => " in the hottest water with screens and stones aged",
        }
    }
    /// Is something harvested on it?
    pub const fn of_harvest(self) -> bool {
        matches!(self, Self::Harvest | Self::Group(_))
    }
    /// Can anything differ from today on this day?
    pub fn differs(self, d: &Document) -> bool {
        match self {
            Self::Blocked => d.outlets().iter().any(|h| h.outlet.outlets.value > 1.0),
            _ => true,
        }
    }
}

/// The water of a day.
pub fn temperature(d: &Document, day: Day) -> ThermodynamicTemperature {
    match day {
        Day::Today | Day::Blocked => d.water.today,
        Day::Coldest => d.water.coldest,
        Day::Hottest | Day::Harvest | Day::Group(_) | Day::Aged => d.water.hottest,
    }
}

/// The outlet of a tank with what the system knows filled in.
pub fn outlet_of(d: &Document, tank: &Tank, most: VolumeRate, day: Day) -> DrainIn {
    outlet_on(d, &tank.outlet, most, day)
}

/// The same of any outlet.
pub fn outlet_on(d: &Document, outlet: &DrainIn, most: VolumeRate, day: Day) -> DrainIn {
    let mut i = DrainIn { flow: most, temperature: temperature(d, day), ..outlet.clone() };
    match day {
        Day::Blocked if i.outlets.value > 1.0 => i.outlets = COUNT.of(i.outlets.value - 1.0),
        Day::Aged => i.blocked = PERCENT.of(i.blocked.value.max(HALF_BLOCKED.value)),
        _ => {}
    }
    i
}
