//! The fish: temperatures, oxygen, water quality, feed and growth, each limit with its source.

use super::sources::{Coef, biology as src};
use crate::units::{
    Mass, MassConcentration, Ratio, ThermodynamicTemperature,
    kinds::{CONCENTRATION, MASS, PERCENT, RATIO, TEMPERATURE},
    si::{celsius, mg_l, percent},
};

/// Temperatures of the water, °C, coldest first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warmth {
    /// Deaths begin below this, where the water cools as slowly as a season does.
    pub dies_below: Coef,
    /// Deaths begin below this where water of [`SUDDEN_FROM`] cools within hours or days; as a rule [`SUDDEN_SLOPE`] warmer for each degree that
    /// it was warmer. Where it is not known, the slow limit is one of a chill over days.
    pub sudden: Option<Coef>,
    /// Many sicken and die below this within days to weeks, of those that do not winter; nothing for those that do.
    pub fails_below: Option<Coef>,
    /// Not fed below this.
    pub stops_below: Coef,
    /// Not netted, graded or moved below this.
    pub handle_from: Option<Coef>,
    /// Feeds and grows well from here.
    pub well_from: Coef,
    /// Feeds and grows well up to here.
    pub well_to: Coef,
    /// Not fed above this.
    pub stops_above: Coef,
    /// Deaths begin above this.
    pub dies_above: Coef,
}

/// Dissolved oxygen, mg/L.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Breath {
    /// The floor to design for: the water is kept above it on the worst day.
    pub floor: Coef,
    /// Below this, appetite and growth begin to fall.
    pub appetite: Coef,
    /// Where a run-down ends: distress and losses begin below it.
    pub critical: Coef,
}

/// Dissolved nitrogen, mg/L as nitrogen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Total ammonia nitrogen to stay below.
    pub tan: Coef,
    /// Un-ionised ammonia nitrogen to stay below.
    pub unionised: Coef,
    /// Nitrite nitrogen to stay below, with chloride enough.
    pub nitrite: Coef,
    /// Chloride that is enough, per nitrite (as Cl to NO2).
    pub chloride: Coef,
}

/// Feed and growth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    /// Protein of the usual grow-out feed, %.
    pub protein: Coef,
    /// Feed per gain at its best.
    pub fcr_low: Coef,
    /// Feed per gain in ordinary keeping.
    pub fcr_high: Coef,
    /// Usual mass at harvest, kg.
    pub harvest: Coef,
}

/// Growth in the cube root of mass: `d(W^(1/3))/dt = rate/1000 (T - base)`, W in g, t in days, T between `base` and `peak`. Where growth by
/// temperature was measured, a share of `peak - base` stands for the degrees ([`super::feeding::Ration::Growth`]).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// No growth at or below this, °C.
    pub base: Coef,
    /// Warmer than this adds nothing, °C.
    pub peak: Coef,
    /// Thermal growth coefficient in slow keeping, x 1000.
    pub slow: Coef,
    /// Thermal growth coefficient in good keeping, x 1000.
    pub fast: Coef,
    /// The ration's table grows them much faster than `slow`, so the coefficients hold that back.
    pub held_back: bool,
}

/// A kind of fish.
#[derive(Debug, PartialEq)]
pub struct Species {
    /// Stable identifier.
    pub id: &'static str,
    /// What the page shows.
    pub label: &'static str,
    /// A few words more.
    pub note: &'static str,
    /// In the middle of a sentence.
    pub noun: &'static str,
    /// Scientific name.
    pub latin: &'static str,
    /// Temperatures.
    pub warmth: Warmth,
    /// Oxygen.
    pub breath: Breath,
    /// Nitrogen.
    pub tolerance: Tolerance,
    /// Feed and growth.
    pub table: Table,
    /// Growth by temperature.
    pub growth: Growth,
    /// What to ask before keeping it.
    pub permit: &'static str,
}

crate::catalogue!(Species, SPECIES);

impl Species {
    /// The species of that identifier.
    pub fn by_id(id: &str) -> Option<&'static Self> {
        SPECIES.iter().find(|s| s.id == id)
    }
    /// Deaths begin below this.
    pub fn dies_below(&self) -> ThermodynamicTemperature {
        temperature(&self.warmth.dies_below)
    }
    /// The same where water in which they have lived for weeks cools within hours or days.
    pub fn dies_below_from(&self, was: ThermodynamicTemperature) -> ThermodynamicTemperature {
        let slow = self.dies_below();
        self.warmth.sudden.map_or(slow, |s| {
            let warmer = was.value - celsius(SUDDEN_FROM.value);
            slow.max(TEMPERATURE.of(celsius(s.value) + SUDDEN_SLOPE.value * warmer))
        })
    }
    /// Do they winter, under ice where there is any?
    pub fn winters(&self) -> bool {
        self.warmth.dies_below.value < UNDER_ICE
    }
    /// Many sicken and die below this within days to weeks, where they do not winter.
    pub fn fails_below(&self) -> Option<ThermodynamicTemperature> {
        self.warmth.fails_below.as_ref().map(temperature)
    }
    /// Not fed below this.
    pub fn stops_below(&self) -> ThermodynamicTemperature {
        temperature(&self.warmth.stops_below)
    }
    /// Not handled below this, where a limit is known.
    pub fn handle_from(&self) -> Option<ThermodynamicTemperature> {
        self.warmth.handle_from.as_ref().map(temperature)
    }
    /// Feeds and grows well from here.
    pub fn well_from(&self) -> ThermodynamicTemperature {
        temperature(&self.warmth.well_from)
    }
    /// Feeds and grows well up to here.
    pub fn well_to(&self) -> ThermodynamicTemperature {
        temperature(&self.warmth.well_to)
    }
    /// Not fed above this.
    pub fn stops_above(&self) -> ThermodynamicTemperature {
        temperature(&self.warmth.stops_above)
    }
    /// Deaths begin above this.
    pub fn dies_above(&self) -> ThermodynamicTemperature {
        temperature(&self.warmth.dies_above)
    }
    /// The oxygen floor to design for.
    pub fn oxygen_floor(&self) -> MassConcentration {
        concentration(&self.breath.floor)
    }
    /// Oxygen below which appetite and growth begin to fall.
    pub fn oxygen_for_appetite(&self) -> MassConcentration {
        concentration(&self.breath.appetite)
    }
    /// Oxygen at which a run-down ends.
    pub fn oxygen_critical(&self) -> MassConcentration {
        concentration(&self.breath.critical)
    }
    /// Total ammonia nitrogen to stay below.
    pub fn tan_limit(&self) -> MassConcentration {
        concentration(&self.tolerance.tan)
    }
    /// Un-ionised ammonia nitrogen to stay below.
    pub fn unionised_limit(&self) -> MassConcentration {
        concentration(&self.tolerance.unionised)
    }
    /// Nitrite nitrogen to stay below.
    pub fn nitrite_limit(&self) -> MassConcentration {
        concentration(&self.tolerance.nitrite)
    }
    /// Chloride that holds nitrite off, per nitrite.
    pub fn chloride_per_nitrite(&self) -> Ratio {
        RATIO.of(self.tolerance.chloride.value)
    }
    /// Protein of the usual grow-out feed.
    pub fn protein(&self) -> Ratio {
        PERCENT.of(percent(self.table.protein.value))
    }
    /// Feed per live gain: at its best, and in ordinary keeping.
    pub fn fcr(&self) -> (Ratio, Ratio) {
        (RATIO.of(self.table.fcr_low.value), RATIO.of(self.table.fcr_high.value))
    }
    /// Usual mass at harvest.
    pub fn harvest(&self) -> Mass {
        MASS.of(self.table.harvest.value)
    }
    /// Every coefficient, with the name of what it limits.
    pub fn coefficients(&self) -> Vec<(&'static str, Coef)> {
        let (w, b, t, f, g) = (&self.warmth, &self.breath, &self.tolerance, &self.table, &self.growth);
        let mut all = vec![
            ("deaths below", w.dies_below),
            ("no feed below", w.stops_below),
            ("feeds well from", w.well_from),
            ("feeds well to", w.well_to),
            ("no feed above", w.stops_above),
            ("deaths above", w.dies_above),
            ("oxygen to design for", b.floor),
            ("oxygen for full appetite", b.appetite),
            ("oxygen where losses begin", b.critical),
            ("total ammonia nitrogen below", t.tan),
            ("un-ionised ammonia nitrogen below", t.unionised),
            ("nitrite nitrogen below", t.nitrite),
            ("chloride that holds it off, per nitrite", t.chloride),
            ("protein of the feed", f.protein),
            ("feed per gain, best", f.fcr_low),
            ("feed per gain, ordinary", f.fcr_high),
            ("mass at harvest", f.harvest),
            ("no growth at or below", g.base),
            ("growth no faster above", g.peak),
            ("growth coefficient, slow", g.slow),
            ("growth coefficient, good", g.fast),
        ];
        all.extend(w.handle_from.map(|c| ("not handled below", c)));
        all.extend(w.fails_below.map(|c| ("many sicken and die below", c)));
        all.extend(w.sudden.map(|c| ("deaths below, cooled suddenly from 20 degC", c)));
        all
    }
}

/// The warmest that water is under ice, °C: fish that live in colder water winter there.
pub(crate) const UNDER_ICE: f64 = 4.0;

fn temperature(c: &Coef) -> ThermodynamicTemperature {
    TEMPERATURE.of(celsius(c.value))
}

fn concentration(c: &Coef) -> MassConcentration {
    CONCENTRATION.of(mg_l(c.value))
}

/// Where [`Warmth::sudden`] counts from.
pub const SUDDEN_FROM: Coef = degrees(20.0, &src::CATFISH_COLD, "the coldest that the fish were used to");
/// How much of a degree warmer water kills for each degree that they were used to more.
pub const SUDDEN_SLOPE: Coef = Coef::new(
    0.7,
    "1",
    &src::CATFISH_COLD,
    "derived: 2.7 degC from 20, 6.1 to 6.6 from 20 to 30 by turns, which is like 25",
);

const fn degrees(value: f64, source: &'static super::sources::Source, valid: &'static str) -> Coef {
    Coef::new(value, "degC", source, valid)
}
const fn mg(value: f64, source: &'static super::sources::Source, valid: &'static str) -> Coef {
    Coef::new(value, "mg/L", source, valid)
}
const fn plain(value: f64, source: &'static super::sources::Source, valid: &'static str) -> Coef {
    Coef::new(value, "1", source, valid)
}
const fn share(value: f64, source: &'static super::sources::Source, valid: &'static str) -> Coef {
    Coef::new(value, "%", source, valid)
}
const fn kilograms(value: f64, source: &'static super::sources::Source, valid: &'static str) -> Coef {
    Coef::new(value, "kg", source, valid)
}
const fn rate(value: f64, source: &'static super::sources::Source, valid: &'static str) -> Coef {
    Coef::new(value, "1000 g^(1/3)/(degC day)", source, valid)
}

/// Grow-out in tanks.
const GROW_OUT: &str = "grow-out feeds in tanks";
/// The rule used where only an upper lethal limit is known.
const TWO_BELOW_LETHAL: &str = "2 degC below the upper limit";

/// Chloride that is enough against nitrite, where no trial asks for more.
const TEN_TIMES: Coef = plain(10.0, &src::SRAC_462, "as Cl to NO2; more for sick fish");

const TILAPIA_BREATH: Breath = Breath {
    floor: mg(4.0, &src::NAFIS_TILAPIA, "the least to design for; larger fish want more"),
    appetite: mg(5.5, &src::TRAN_DUY_2012, "fish over 200 g; intake rose from 2.6 to 5.5 mg/L and levelled off"),
    critical: mg(2.3, &src::NAFIS_TILAPIA, "not below"),
};
const TILAPIA_TOLERANCE: Tolerance = Tolerance {
    tan: mg(1.0, &src::FAO_589_FISH, "aim at nearly none; tilapia are said to bear 2"),
    unionised: mg(0.05, &src::UF_FA16, "harm begins; a guide for tilapia puts deaths in days at 2, over weeks at 1"),
    nitrite: mg(1.0, &src::FAO_589_FISH, "with chloride at least ten times the nitrite"),
    chloride: TEN_TIMES,
};
const TILAPIA_TABLE: Table = Table {
    protein: share(32.0, &src::FAO_589_FISH, GROW_OUT),
    fcr_low: plain(1.4, &src::SPECIES_MEMORY, "good keeping"),
    fcr_high: plain(1.8, &src::RAKOCY_UPDATE, "1.7 and 1.8 measured in tanks with rafts"),
    harvest: kilograms(0.6, &src::FAO_589_TABLE, "6 to 8 months; 0.5 to 0.9 kg in tanks with rafts"),
};
const TILAPIA_GROWTH: Growth = Growth {
    base: degrees(18.0, &src::SRAC_283, "derived: growth at 29 to 31 degC is three times that at 22"),
    peak: degrees(30.0, &src::SRAC_283, "middle of 29.4 to 31.1 degC"),
    slow: rate(2.4, &src::FAO_589_TABLE, "derived: 20 to 600 g in 8 months, taken at 28 degC"),
    fast: rate(3.5, &src::UVI_PAGES, "derived: 50 to 900 g in 168 days, taken at 28 degC"),
    held_back: false,
};

/// Every species, in the order of every list.
pub static SPECIES: [Species; 7] = [
    Species {
        id: "tilapia",
        label: "Nile tilapia",
        note: "warm water, forgiving",
        noun: "Nile tilapia",
        latin: "Oreochromis niloticus",
        warmth: Warmth {
            dies_below: degrees(
                12.0,
                &src::FAO_589_FISH,
                "juveniles died at 13.6 to 8.6 degC on a slow chill (Charo-Karisa et al. 2005), strains at 11 to 7.4",
            ),
            sudden: None,
            fails_below: Some(degrees(
                14.0,
                &src::TILAPIA_CHILL,
                "a quarter dead within three days of a day at 14, all at 12",
            )),
            stops_below: degrees(17.0, &src::FAO_589_FISH, "17.2 in SRAC 283; 15 in one guide"),
            handle_from: Some(degrees(18.3, &src::SRAC_283, "handled colder, many die of disease")),
            well_from: degrees(27.0, &src::FAO_589_FISH, "27 to 30 degC; SRAC 283 says 29.4 to 31.1"),
            well_to: degrees(31.0, &src::SRAC_283, "29.4 to 31.1 degC"),
            stops_above: degrees(34.0, &src::SPECIES_JUDGEMENT, TWO_BELOW_LETHAL),
            dies_above: degrees(36.0, &src::FAO_589_FISH, "borne briefly"),
        },
        breath: TILAPIA_BREATH,
        tolerance: TILAPIA_TOLERANCE,
        table: TILAPIA_TABLE,
        growth: TILAPIA_GROWTH,
        permit: "Tilapia are invasive: many states and countries ban them or ask for a permit. Ask the authority first, and never release any.",
    },
    Species {
        id: "blue_tilapia",
        label: "Blue tilapia",
        note: "bears cold best of the tilapias",
        noun: "blue tilapia",
        latin: "Oreochromis aureus",
        warmth: Warmth {
            dies_below: degrees(
                10.0,
                &src::HEATON_2017,
                "half dead at 8.8 in falling water, 8.9 in SRAC 283; one degree kept clear",
            ),
            sudden: None,
            fails_below: Some(degrees(12.0, &src::SPECIES_JUDGEMENT, "as far above their death as with Nile tilapia")),
            stops_below: degrees(17.0, &src::SRAC_283, "63 degF for tilapia in general"),
            handle_from: Some(degrees(18.3, &src::SRAC_283, "65 degF: handled colder, many die of disease")),
            well_from: degrees(27.0, &src::FAO_589_FISH, "given for Nile tilapia"),
            well_to: degrees(31.0, &src::SRAC_283, "29.4 to 31.1 degC"),
            stops_above: degrees(34.0, &src::SPECIES_JUDGEMENT, TWO_BELOW_LETHAL),
            dies_above: degrees(36.0, &src::FAO_589_FISH, "given for Nile tilapia"),
        },
        breath: TILAPIA_BREATH,
        tolerance: TILAPIA_TOLERANCE,
        table: TILAPIA_TABLE,
        growth: TILAPIA_GROWTH,
        permit: "Tilapia are invasive: many states and countries ban them or ask for a permit. Ask the authority first, and never release any.",
    },
    Species {
        id: "catfish",
        label: "Channel catfish",
        note: "warm summers, lives through winter",
        noun: "channel catfish",
        latin: "Ictalurus punctatus",
        warmth: Warmth {
            dies_below: degrees(1.0, &src::SLOW_WINTER, "they winter under ice; one degree kept clear"),
            sudden: Some(degrees(3.0, &src::CATFISH_COLD, "lost their balance at 2.7, used to 20 degC")),
            fails_below: None,
            stops_below: degrees(12.0, &src::SEAFWA_1974, "54 degF: a light winter ration above it"),
            handle_from: Some(degrees(
                5.0,
                &src::SPECIES_JUDGEMENT,
                "lower end of the vital range in FAO 589: torpid, and left alone",
            )),
            well_from: degrees(26.0, &src::FWS_CATFISH, "growth poor below 21 and nil below 18 degC"),
            well_to: degrees(29.0, &src::FWS_CATFISH, "26 to 29 degC is best"),
            stops_above: degrees(33.0, &src::SPECIES_JUDGEMENT, TWO_BELOW_LETHAL),
            dies_above: degrees(
                35.0,
                &src::CATFISH_HEAT,
                "lethal at 36.6, 37.3 and 37.8 degC, used to 26, 30 and 34; 33.5 from 25 in another",
            ),
        },
        breath: Breath {
            floor: mg(5.0, &src::FWS_CATFISH, "adequate"),
            appetite: mg(
                7.0,
                &src::FWS_CATFISH,
                "best at 7 or more; below 5 they eat less, below 3 growth is held back",
            ),
            critical: mg(3.0, &src::OTT_TORRANS_2012, "many die below 2.5"),
        },
        tolerance: Tolerance {
            tan: mg(1.0, &src::FAO_589_FISH, "aim at nearly none"),
            unionised: mg(
                0.04,
                &src::COLT_TCHOBANOGLOUS_1978,
                "below the least tried for a month, 0.048, from which on they grew less",
            ),
            nitrite: mg(1.0, &src::FAO_589_FISH, "catfish take up nitrite: chloride at least ten times the nitrite"),
            chloride: TEN_TIMES,
        },
        table: Table {
            protein: share(32.0, &src::FAO_589_TABLE, "25 to 36 %"),
            fcr_low: plain(1.3, &src::CATFISH_FCR, "stockers at 27 degC"),
            fcr_high: plain(2.0, &src::SPECIES_JUDGEMENT, "between 1.8 in research and 2.5 in ponds of the industry"),
            harvest: kilograms(
                0.6,
                &src::SPECIES_JUDGEMENT,
                "between 0.4 kg in 9 to 10 months and 0.68 kg in research",
            ),
        },
        growth: Growth {
            base: degrees(18.0, &src::FWS_CATFISH, "growth ceases"),
            peak: degrees(29.0, &src::FWS_CATFISH, "upper end of the best band"),
            slow: rate(2.0, &src::FAO_589_TABLE, "derived: 20 to 400 g in 9 to 10 months, taken at 26 degC"),
            fast: rate(3.0, &src::SPECIES_JUDGEMENT, "half more than the slow figure"),
            held_back: true,
        },
        permit: "Channel catfish are invasive outside their range: ask the authority before you buy them, and never release any.",
    },
    Species {
        id: "carp",
        label: "Common carp",
        note: "wide range of temperature",
        noun: "common carp",
        latin: "Cyprinus carpio",
        warmth: Warmth {
            dies_below: degrees(0.5, &src::SLOW_WINTER, "they winter under ice, where nothing is warmer than 4 degC"),
            sudden: Some(degrees(3.0, &src::SPECIES_JUDGEMENT, "no figure was seen: as channel catfish")),
            fails_below: None,
            stops_below: degrees(8.0, &src::FAO_AFFRIS, "torpid below 5"),
            handle_from: Some(degrees(
                4.0,
                &src::SPECIES_JUDGEMENT,
                "lower end of the vital range in FAO 589: torpid, and left alone",
            )),
            well_from: degrees(20.0, &src::FAO_AFFRIS, "20 to 25 degC"),
            well_to: degrees(27.0, &src::GOOLISH_ADELMAN_1984, "scope for growth is largest"),
            stops_above: degrees(
                33.0,
                &src::SPECIES_JUDGEMENT,
                "1 degC below the upper limit; at 32 fry on trial grew 93 % as fast as at 28 (Desai & Singh 2009)",
            ),
            dies_above: degrees(34.0, &src::FAO_589_TABLE, "upper end of the vital range"),
        },
        breath: Breath {
            floor: mg(4.0, &src::FAO_589_TABLE, "above 4"),
            appetite: mg(5.0, &src::SPECIES_JUDGEMENT, "most fish need 4 to 5"),
            critical: mg(2.0, &src::SPECIES_JUDGEMENT, "carp bear less than other fish here"),
        },
        tolerance: Tolerance {
            tan: mg(1.0, &src::FAO_589_FISH, "aim at nearly none"),
            unionised: mg(0.05, &src::UF_FA16, "harm begins"),
            nitrite: mg(1.0, &src::FAO_589_FISH, "with chloride at least ten times the nitrite"),
            chloride: TEN_TIMES,
        },
        table: Table {
            protein: share(32.0, &src::FAO_589_TABLE, "30 to 38 %"),
            fcr_low: plain(1.5, &src::SPECIES_MEMORY, "good keeping"),
            fcr_high: plain(2.2, &src::SPECIES_MEMORY, "ordinary keeping"),
            harvest: kilograms(0.6, &src::FAO_589_TABLE, "9 to 11 months"),
        },
        growth: Growth {
            base: degrees(9.0, &src::GOOLISH_ADELMAN_1984, "derived: growth from 12 to 24 degC, extended to nil"),
            peak: degrees(27.0, &src::GOOLISH_ADELMAN_1984, "scope for growth is largest"),
            slow: rate(1.1, &src::FAO_589_TABLE, "derived: 20 to 600 g in 9 to 11 months, taken at 25 degC"),
            fast: rate(1.7, &src::SPECIES_JUDGEMENT, "half more than the slow figure"),
            held_back: false,
        },
        permit: "Carp are banned or need a permit in many places. Ask the authority first, and never release any.",
    },
    Species {
        id: "trout",
        label: "Rainbow trout",
        note: "cold, well aerated water",
        noun: "rainbow trout",
        latin: "Oncorhynchus mykiss",
        warmth: Warmth {
            dies_below: degrees(0.0, &src::SPECIES_MEMORY, "they live under ice"),
            sudden: None,
            fails_below: None,
            stops_below: degrees(2.2, &src::LEITRITZ_LEWIS_1980, "the ration table begins at 36 degF"),
            handle_from: None,
            well_from: degrees(10.0, &src::FAO_589_FISH, "prefers 10 to 18, best 15 degC"),
            well_to: degrees(18.0, &src::FAO_589_FISH, "prefers 10 to 18, best 15 degC"),
            stops_above: degrees(21.0, &src::FAO_589_FISH, "growth falls sharply and oxygen may not be used"),
            dies_above: degrees(
                24.0,
                &src::HUYSMAN_2020,
                "half died at 25, none lived at 26, from 11.2 degC; one degree kept clear",
            ),
        },
        breath: Breath {
            floor: mg(6.0, &src::FAO_589_TABLE, "above 6"),
            appetite: mg(7.0, &src::TROUT_FEED_NOTES, "ration tables assume 7 in the outflow"),
            critical: mg(5.0, &src::SPECIES_JUDGEMENT, "one below the floor to design for"),
        },
        tolerance: Tolerance {
            tan: mg(0.5, &src::FAO_589_TABLE, "trout are more delicate than the others"),
            unionised: mg(0.02, &src::SPECIES_MEMORY, "the general alert level; trout are more delicate"),
            nitrite: mg(
                0.3,
                &src::FAO_589_TABLE,
                "with chloride at least 50 times the nitrite: with 10 mg/L of it, 0.061",
            ),
            chloride: plain(50.0, &src::TROUT_CHLORIDE, "as Cl to NO2; with ten times as much they grew less"),
        },
        table: Table {
            protein: share(42.0, &src::FAO_589_TABLE, GROW_OUT),
            fcr_low: plain(1.0, &src::TROUT_FEED_NOTES, "good feeds"),
            fcr_high: plain(1.2, &src::TROUT_FEED_NOTES, "ordinary keeping"),
            harvest: kilograms(0.35, &src::SPECIES_MEMORY, "portion size; 1 kg in 14 to 16 months is also given"),
        },
        growth: Growth {
            base: degrees(0.0, &src::CHO_1992, "the usual thermal growth coefficient"),
            peak: degrees(15.0, &src::FAO_589_FISH, "best 15 degC; not valid past the optimum"),
            slow: rate(1.3, &src::TROUT_TGC, "lower end of the usual"),
            fast: rate(2.0, &src::TROUT_TGC, "upper end of the usual"),
            held_back: false,
        },
        permit: "Trout need a permit where they are not native. Ask the authority first, and never release any.",
    },
    Species {
        id: "barramundi",
        label: "Barramundi",
        note: "needs warm water all year",
        noun: "barramundi",
        latin: "Lates calcarifer",
        warmth: Warmth {
            dies_below: degrees(13.0, &src::AGRIFUTURES_BARRAMUNDI, "long spells below 20 bring stress and disease"),
            sudden: None,
            fails_below: Some(degrees(16.0, &src::AGRIFUTURES_BARRAMUNDI, "lower end of tolerance")),
            stops_below: degrees(20.0, &src::AGRIFUTURES_BARRAMUNDI, "intake almost nil"),
            handle_from: Some(degrees(20.0, &src::SPECIES_JUDGEMENT, "long spells below 20 bring disease")),
            well_from: degrees(
                28.0,
                &src::AGRIFUTURES_BARRAMUNDI,
                "28 to 32; intake is also given as largest at 27 to 29",
            ),
            well_to: degrees(32.0, &src::FAO_AFFRIS, "28 to 32; fastest at 31.4"),
            stops_above: degrees(
                35.0,
                &src::AGRIFUTURES_BARRAMUNDI,
                "upper end of tolerance, as a caution: on trial they still fed well at 36, with nearly three times the upkeep (Katersky & Carter 2005, Glencross & Bermudes)",
            ),
            dies_above: degrees(
                39.0,
                &src::NORIN_2014,
                "lethal at 40 to 41 degC; one degree kept clear, they still ate at 39",
            ),
        },
        breath: Breath {
            floor: mg(4.0, &src::FAO_589_TABLE, "above 4"),
            appetite: mg(5.0, &src::SPECIES_JUDGEMENT, "most fish need 4 to 5"),
            critical: mg(3.0, &src::SPECIES_JUDGEMENT, "one below the floor to design for"),
        },
        tolerance: Tolerance {
            tan: mg(1.0, &src::FAO_589_FISH, "aim at nearly none"),
            unionised: mg(0.05, &src::UF_FA16, "harm begins"),
            nitrite: mg(1.0, &src::FAO_589_FISH, "with chloride at least ten times the nitrite"),
            chloride: TEN_TIMES,
        },
        table: Table {
            protein: share(43.0, &src::FAO_589_TABLE, "38 to 45 %"),
            fcr_low: plain(1.2, &src::SPECIES_MEMORY, "good keeping"),
            fcr_high: plain(1.8, &src::SPECIES_MEMORY, "ordinary keeping"),
            harvest: kilograms(0.5, &src::SPECIES_MEMORY, "plate size; 0.4 kg in 9 to 10 months is given"),
        },
        growth: Growth {
            base: degrees(20.0, &src::AGRIFUTURES_BARRAMUNDI, "intake almost nil"),
            peak: degrees(31.4, &src::KATERSKY_CARTER_2007, "fastest growth"),
            slow: rate(1.5, &src::FAO_589_TABLE, "derived: 20 to 400 g in 9 to 10 months, taken at 28 degC"),
            fast: rate(
                4.0,
                &src::BARRAMUNDI_GROWTH,
                "between 3.0 (350 g in six months) and 5.2 (fry); the ration, by the middle of slow and fast, then gives 500 g in a year at 22 to 27 degC",
            ),
            held_back: true,
        },
        permit: "Barramundi need a permit in many places. Ask the authority first, and never release any.",
    },
    Species {
        id: "jade_perch",
        label: "Jade perch",
        note: "warm water, eats plants too",
        noun: "jade perch",
        latin: "Scortum barcoo",
        warmth: Warmth {
            dies_below: degrees(13.0, &src::QUEENSLAND_JADE_PERCH, "mass deaths"),
            sudden: None,
            fails_below: Some(degrees(
                15.0,
                &src::SPECIES_JUDGEMENT,
                "two degrees above mass deaths; they die when handled at 17",
            )),
            stops_below: degrees(18.0, &src::JADE_PERCH_HATCHERY, "often stopped at 16 elsewhere"),
            handle_from: Some(degrees(
                18.0,
                &src::QUEENSLAND_JADE_PERCH,
                "deaths after handling at 17; one degree kept clear",
            )),
            well_from: degrees(25.0, &src::SPECIES_MEMORY, "25 to 28 degC; growth falls fast at 20 and below"),
            well_to: degrees(28.0, &src::SPECIES_MEMORY, "25 to 28 degC"),
            stops_above: degrees(32.0, &src::SPECIES_JUDGEMENT, "extra aeration is wanted above 30"),
            dies_above: degrees(34.0, &src::SPECIES_JUDGEMENT, "no figure is known; 2 degC above the feeding stop"),
        },
        breath: Breath {
            floor: mg(4.0, &src::QUEENSLAND_JADE_PERCH, "4 or more"),
            appetite: mg(5.0, &src::SPECIES_JUDGEMENT, "most fish need 4 to 5"),
            critical: mg(3.0, &src::SPECIES_JUDGEMENT, "one below the floor to design for"),
        },
        tolerance: Tolerance {
            tan: mg(1.0, &src::FAO_589_FISH, "aim at nearly none"),
            unionised: mg(0.05, &src::UF_FA16, "harm begins"),
            nitrite: mg(1.0, &src::FAO_589_FISH, "with chloride at least ten times the nitrite"),
            chloride: TEN_TIMES,
        },
        table: Table {
            protein: share(40.0, &src::SPECIES_MEMORY, "feeds sold for perch and barramundi"),
            fcr_low: plain(1.3, &src::SPECIES_JUDGEMENT, "between tilapia and barramundi"),
            fcr_high: plain(2.0, &src::SPECIES_JUDGEMENT, "ordinary keeping"),
            harvest: kilograms(0.5, &src::SPECIES_MEMORY, "plate size"),
        },
        growth: Growth {
            base: degrees(18.0, &src::JADE_PERCH_HATCHERY, "no feeding below"),
            peak: degrees(28.0, &src::SPECIES_MEMORY, "25 to 28 degC"),
            slow: rate(2.0, &src::SPECIES_JUDGEMENT, "a little over half of the good one"),
            fast: rate(
                3.7,
                &src::QUEENSLAND_JADE_PERCH,
                "derived: 10 to 800 g in 7 months, taken at 27 degC; to 450 g it is faster still",
            ),
            held_back: false,
        },
        permit: "Jade perch need a permit outside their native rivers. Ask the authority first, and never release any.",
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::{choose::Choose, sources::Basis};

    fn of(id: &str) -> &'static Species {
        Species::by_id(id).unwrap_or_else(|| panic!("{id}"))
    }

    #[test]
    fn limits_stand_in_order() {
        for s in &SPECIES {
            let w = &s.warmth;
            let t = [w.dies_below, w.stops_below, w.well_from, w.well_to, w.stops_above, w.dies_above].map(|c| c.value);
            assert!(t.is_sorted_by(|a, b| a < b), "{}: {t:?}", s.id);
            // Those that do not winter have no reserve in their last degrees.
            assert_eq!(w.fails_below.is_none(), s.winters(), "{}", s.id);
            assert!(w.fails_below.is_none_or(|f| f.value >= t[0] + 2.0 && f.value < t[1]), "{}", s.id);
            assert!(s.oxygen_critical() < s.oxygen_floor() && s.oxygen_floor() < s.oxygen_for_appetite(), "{}", s.id);
            assert!(s.unionised_limit() < s.tan_limit() && s.fcr().0 < s.fcr().1, "{}", s.id);
            let g = &s.growth;
            assert!(g.base.value < g.peak.value && g.slow.value < g.fast.value, "{}", s.id);
            assert!(g.peak.value >= w.well_from.value && g.peak.value <= w.well_to.value, "{}", s.id);
            assert!(s.permit.contains("authority") && s.coefficients().len() >= 20, "{}", s.id);
        }
    }

    #[test]
    fn identifiers_are_a_choice() {
        let ids: Vec<_> = (0..).map_while(<&Species>::option).map(|o| o.id).collect();
        assert_eq!(ids, ["tilapia", "blue_tilapia", "catfish", "carp", "trout", "barramundi", "jade_perch"]);
        assert_eq!(<&Species>::by_id("trout").map(|s| s.latin), Some("Oncorhynchus mykiss"));
    }

    #[test]
    fn published_limits() {
        // FAO Technical Paper 589, section 7.4; SRAC 283 in °F; Huysman et al. 2020; Queensland Government; AgriFutures.
        let f = |x: f64| (x - 32.0) / 1.8;
        for (found, expect, tolerance) in [
            (of("tilapia").warmth.stops_below.value, 17.0, 0.0),
            (of("tilapia").warmth.stops_below.value, f(63.0), 0.3),
            (of("tilapia").warmth.dies_below.value, 12.0, 0.0),
            (of("tilapia").warmth.handle_from.map_or(0.0, |c| c.value), f(65.0), 0.05),
            (of("tilapia").warmth.well_to.value, f(88.0), 0.2),
            (of("tilapia").warmth.fails_below.map_or(0.0, |c| c.value), 14.0, 0.0),
            (of("barramundi").warmth.fails_below.map_or(0.0, |c| c.value), 16.0, 0.0),
            (of("blue_tilapia").warmth.dies_below.value, f(48.0) + 1.0, 0.15),
            (of("trout").warmth.well_from.value, 10.0, 0.0),
            (of("trout").warmth.well_to.value, 18.0, 0.0),
            (of("trout").warmth.stops_above.value, 21.0, 0.0),
            (of("trout").warmth.dies_above.value, 25.0 - 1.0, 0.0),
            (of("catfish").warmth.dies_above.value, 36.6 - 1.6, 1e-9),
            (of("catfish").warmth.stops_below.value, f(54.0), 0.3),
            (of("barramundi").warmth.stops_below.value, 20.0, 0.0),
            (of("barramundi").warmth.dies_below.value, 13.0, 0.0),
            (of("jade_perch").warmth.stops_below.value, 18.0, 0.0),
            (of("jade_perch").warmth.dies_below.value, 13.0, 0.0),
            (of("carp").warmth.stops_below.value, 8.0, 0.0),
            (of("tilapia").breath.appetite.value, 5.5, 0.0),
        ] {
            assert!((found - expect).abs() <= tolerance, "{found} is not {expect}");
        }
    }

    /// FAO Technical Paper 589, table of fish: oxygen above 4 mg/L for barramundi; Queensland Government: 4 or more for jade perch. FAO 589, section
    /// 7.4: ammonia and nitrite nitrogen below 1 mg/L; UF/IFAS FA16: harm begins at 0.05 un-ionised. No figure was seen for the rest: judgement.
    #[test]
    fn the_water_of_barramundi_and_jade_perch() {
        for id in ["barramundi", "jade_perch"] {
            let Species { breath: b, tolerance: t, .. } = of(id);
            let all = [b.floor, b.appetite, b.critical, t.tan, t.unionised, t.nitrite].map(|c| c.value);
            assert_eq!(all, [4.0, 5.0, 3.0, 1.0, 0.05, 1.0], "{id}");
        }
    }

    #[test]
    fn upper_limits_lie_below_what_was_lethal() {
        // Norin, Malte & Clark 2014: barramundi 40 to 41 °C. Sheng & Xu 2008 (Bioinformatics and Biomedical Engineering, 4535-4538): common carp
        // 37.3 °C. SEAFWA proceedings 1967: channel catfish 36.6 °C from 26. Huysman et al. 2020: no rainbow trout lived at 26 °C.
        for (id, lethal) in [("barramundi", 40.0), ("carp", 37.3), ("catfish", 36.6), ("trout", 25.0)] {
            // One degree kept clear.
            assert!(of(id).warmth.dies_above.value <= lethal - 1.0, "{id}");
        }
    }

    /// FAO X0086E: carp winter for five months under ice, where water is heaviest at 4 °C and nothing is warmer. Currie et al. 1998: channel catfish used
    /// to 20 °C lost their balance at 2.7 °C; 2004: used to 20 to 30 by turns, at 6.1 to 6.6. A winter and a fall within days are two things.
    #[test]
    fn a_slow_winter_and_a_sudden_fall() {
        let t = |c: f64| TEMPERATURE.of(celsius(c));
        for id in ["carp", "catfish", "trout"] {
            let s = of(id);
            assert!(s.dies_below() < t(4.0) && s.dies_below_from(t(4.0)) == s.dies_below(), "{id}");
        }
        let c = of("catfish");
        assert!(c.dies_below_from(t(20.0)) >= t(2.7) && c.dies_below_from(t(20.0)) < t(4.0));
        assert!(c.dies_below_from(t(25.0)) >= t(6.1) && c.dies_below_from(t(25.0)) < t(7.6));
        // What is told of the slow chill of others stays.
        assert_eq!(of("tilapia").dies_below_from(t(30.0)), of("tilapia").dies_below());
    }

    #[test]
    fn what_keepers_of_tilapia_say() {
        // Common practice, no source: best near 27 to 32 °C, little appetite below about 24, death near 8 to 10.
        let (nile, blue) = (of("tilapia"), of("blue_tilapia"));
        assert!(nile.warmth.well_from.value >= 27.0 && nile.warmth.well_to.value <= 32.0);
        // The trade's figure for death is lower than the published ones for Nile tilapia: the published one warns earlier.
        assert!(nile.warmth.dies_below.value >= 10.0);
        assert!((8.0..=10.0).contains(&blue.warmth.dies_below.value));
        assert_eq!(src::TILAPIA_PRACTICE.basis, Basis::CommonPractice);
    }
}
