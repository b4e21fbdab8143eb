//! Grow-bed ratio: the plants that a feed keeps, by crop and method, the bed that holds them, and its water and weight.

mod working;

use super::deadly::Deadly;
use super::feed::in_a_day;
use super::form::*;
use super::mend;
use super::outcome::*;
use super::sheet::{self, Calculator};
use crate::catalog::crops::{CROPS, Crop, FEED_PROTEIN, Hunger, METHODS, Method, Stands};
use crate::catalog::media::{MEDIA, Medium};
use crate::catalog::sources::{Coef, biology as src, general, solids};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Picture, Role, Section, Shape};
use crate::science::feeding::{self, Appetite};
use crate::science::mixing;
use crate::science::plants::{self, Liking};
use crate::science::water;
use crate::units::{kinds::*, si::*, *};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct BedIn {
    /// Feed a day.
    pub feed: MassRate,
    /// Crop.
    pub crop: &'static Crop,
    /// Method.
    pub method: &'static Method,
    /// Plant area one has or plans.
    pub area: Area,
    /// Depth of the medium.
    pub depth: Length,
    /// Medium.
    pub medium: &'static Medium,
    /// Part of it that floods and drains.
    pub swing: Length,
    /// Pores of the medium.
    pub porosity: Ratio,
    /// Protein of the feed.
    pub protein: Ratio,
    /// Volume of the fish tank.
    pub tank: Volume,
    /// Fish.
    pub species: &'static Species,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Default for BedIn {
    fn default() -> Self {
        Self {
            feed: FEED_RATE.of(g_day(100.0)),
            crop: &CROPS[0],
            method: &METHODS[0],
            area: AREA.of(2.2),
            depth: SHORT_LENGTH.of(mm(300.0)),
            medium: &MEDIA[0],
            swing: SHORT_LENGTH.of(mm(210.0)),
            porosity: PERCENT.of(percent(MEDIA[0].porosity[1].value)),
            protein: PERCENT.of(percent(FEED_PROTEIN.value)),
            tank: VOLUME.of(l(1000.0)),
            species: &SPECIES[2],
            temperature: TEMPERATURE.of(celsius(22.0)),
        }
    }
}

impl Fields for BedIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let feed = Field::new(1, "feed", "Feed a day", FEED_RATE)
            .range(g_day(1.0), g_day(500_000.0))
            .advised(g_day(5.0), g_day(20_000.0));
        num(f, &feed.help("The mean of a few weeks: plants live on what has gone in."), &mut self.feed);
        pick(f, &Pick::new(2, "crop", "Crop").help("The hungriest, if they are mixed."), &mut self.crop);
        pick(f, &Pick::new(3, "method", "Method").help("How the plants stand in the water."), &mut self.method);
        let area = Field::new(4, "area", "Plant area you have or plan", AREA).range(0.02, 5000.0).advised(0.2, 500.0);
        num(
            f,
            &area.help("Planted area alone, without paths and tanks. Of a tower, its planted face."),
            &mut self.area,
        );
        group(f, &Group::when("method", "media"), self.method.holds_medium(), &mut |f| {
            let depth = Field::new(5, "depth", "Depth of the medium", SHORT_LENGTH)
                .range(mm(20.0), 1.5)
                .advised(mm(150.0), 0.5)
                .source(&src::BED_PRACTICE);
            num(f, &depth.help("Usually 300 mm (12 in). Push a thin rod to the floor, mark it at the top of the medium, and measure.").detail(), &mut self.depth);
            pick(f, &Pick::new(6, "medium", "Medium").help("For its weight.").detail(), &mut self.medium);
            let swing = Field::new(7, "swing", "Depth that floods and drains", SHORT_LENGTH)
                .range(0.0, 1.5)
                .advised(mm(50.0), 0.4)
                .source(&src::FAO_AZ028E);
            num(
                f,
                &swing
                    .help("Without the 3 to 5 cm (1 to 2 in) that stay wet below and dry on top. 0 if it never drains.")
                    .detail(),
                &mut self.swing,
            );
            let porosity = Field::new(8, "porosity", "Gaps in the medium", PERCENT)
                .range(percent(10.0), percent(95.0))
                .advised(percent(25.0), percent(60.0))
                .likely(percent(35.0), percent(50.0))
                .source(&solids::MEDIA_PRACTICE);
            num(
                f,
                &porosity.help("What floods and drains. Roots lessen it.").way(Way::Jug).detail(),
                &mut self.porosity,
            );
        });
        group(f, &Group::titled("More about feed, tank and fish"), true, &mut |f| {
            let protein = Field::new(9, "protein", "Protein of the feed", PERCENT)
                .range(percent(10.0), percent(70.0))
                .advised(percent(20.0), percent(55.0))
                .likely(percent(28.0), percent(45.0))
                .source(&src::FAO_589_PLANTS);
            num(f, &protein.help("On the bag. A richer feed keeps more plants.").detail(), &mut self.protein);
            let tank = Field::new(10, "tank", "Water in the fish tanks", VOLUME)
                .range(l(5.0), l(1e6))
                .advised(l(50.0), l(50_000.0))
                .way(Way::TapeVolume);
            num(f, &tank.help("All tanks whose water goes through the bed.").detail(), &mut self.tank);
            pick(
                f,
                &Pick::new(11, "species", "Fish")
                    .help("To see whether they and the crop like the same water.")
                    .detail(),
                &mut self.species,
            );
            let t = Field::new(12, "temperature", "Water temperature", TEMPERATURE)
                .range(celsius(0.0), celsius(45.0))
                .advised(celsius(4.0), celsius(34.0));
            num(f, &t.help("Usual in the growing season.").detail(), &mut self.temperature);
        });
    }
}

/// What is answered.
#[derive(Debug, Clone)]
pub struct BedOut {
    /// Feed a day per plant area that these plants want, least and most.
    pub ratio: (MassFlux, MassFlux),
    /// Plant area that the feed keeps, least and most.
    pub wanted: (Area, Area),
    /// Plant area there is.
    pub area: Area,
    /// Feed a day that this area wants, least and most.
    pub feed: (MassRate, MassRate),
    /// Plants to set out on the area, few and many.
    pub plants: (Ratio, Ratio),
    /// Heads or first harvests a week, set out week by week.
    pub weekly: (Ratio, Ratio),
    /// Fish that eat this feed at 1 to 2 % a day, few and many.
    pub fish: (Mass, Mass),
    /// Bulk volume of the medium.
    pub bulk: Option<Volume>,
    /// The same over the tank's volume.
    pub to_tank: Option<Ratio>,
    /// Water that a flood takes.
    pub flood: Option<Volume>,
    /// Share of the tank's water.
    pub flood_share: Option<Ratio>,
    /// Weight of the flooded bed.
    pub weight: Option<Mass>,
    /// Weight below each square metre.
    pub load: Option<ArealMassDensity>,
    /// How the crop likes the water.
    pub liking: Liking,
    /// How the fish like it.
    pub appetite: Appetite,
    /// The water at the roots against what the crop bears.
    pub(crate) roots: Level,
    /// Is it so cold that the crop dies?
    pub(crate) dies: bool,
    deadly: Option<Deadly>,
    tank: Volume,
}

impl BedOut {
    /// The water that a flood takes against what the fish have.
    fn flood(&self) -> Option<Level> {
        let level = Level::upper("flood", "Flood taken from the fish tank", VOLUME, self.flood?, self.tank);
        Some(if level.state() == State::Over { level.leading() } else { level })
    }
    /// Plants against the feed, where the temperature has a level of its own.
    pub(crate) fn balance(&self) -> Level {
        Level::between(
            "bed",
            "Plant area for this feed",
            AREA,
            (self.area, self.area),
            self.wanted.0,
            self.wanted.1,
            "too few plants; water left rich",
            "too many plants; they go hungry",
        )
    }
}

/// Feed of grow-out fish, % of body mass a day: least and most.
const GROW_OUT: [Coef; 2] = [
    Coef::new(1.0, "%/day", &src::FAO_589_FISH, "grow-out fish, section 7.3"),
    Coef::new(2.0, "%/day", &src::FAO_589_FISH, "grow-out fish, section 7.3"),
];
/// A flood that takes more than this share of the tank's water is worth a caution.
const MUCH: Coef = Coef::new(0.2, "1", &src::BED_CAUTIONS, "of the tank's water");

/// Water under rafts, mm.
pub(crate) const RAFT_WATER: f64 = 300.0;
/// Pores further below or above what a medium has than this are worth a caution: roots and fines take some.
const PORES_APART: Coef = Coef::new(0.8, "1", &src::BED_CAUTIONS, "of the least that is usual");
const CHECKED: &str = "Have floors, balconies, roofs and home-made legs checked by someone licensed to do so.";

/// The share of a bed that water fills, for what carries it: no fewer pores than its medium has.
fn pores_that_fill(i: &BedIn) -> Ratio {
    if i.porosity > i.medium.porosity() { i.porosity } else { i.medium.porosity() }
}

/// Grow-bed ratio.
pub struct Bed;

impl Calculator for Bed {
    type In = BedIn;
    type Out = BedOut;
    const ID: &'static str = "bed";
    const TITLE: &'static str = "Grow-bed ratio";
    const QUESTION: &'static str = "How many plants do these fish feed?";
    const ABOUT: &'static str = "Plant area from the feed a day, by crop and method, corrected for the protein of the feed; plants to set out, heads a \
        week, the volume of the bed against the tank, the water a flood takes, and what a wet bed weighs. Published ratios differ by a factor \
        of two and more between methods, and for towers there is none: the plants and the nitrate test have the last word.";

    fn solve(i: &BedIn, w: &mut Working) -> Result<BedOut, Vec<FieldError>> {
        if i.method.holds_medium() && i.swing > i.depth {
            return Err(vec![FieldError::new("swing", "is deeper than the medium", "at most the depth of the medium")]);
        }
        let printed = i.method.ratio(i.crop.hunger);
        let ratio = (plants::corrected(printed.0, i.protein), plants::corrected(printed.1, i.protein));
        let wanted = (plants::area(i.feed, ratio.1), plants::area(i.feed, ratio.0));
        let (few, many) = i.crop.density();
        let plants = (plants::count(i.area, few), plants::count(i.area, many));
        let (short, long) = i.crop.time();
        let weekly = (plants::weekly(plants.0, long), plants::weekly(plants.1, short));
        let medium = i.method.holds_medium();
        let bulk = medium.then(|| plants::bulk(i.area, i.depth));
        let flood = medium.then(|| plants::flood(i.area, i.swing, i.porosity));
        let heavy = |bulk| plants::flooded_mass(bulk, i.medium.heaviest(), pores_that_fill(i), i.temperature);
        let weight = bulk.map(heavy);
        let (t, (low, high)) = (i.temperature, i.crop.bears());
        let dies = i.crop.dies_below().is_some_and(|d| t < d);
        let [name, above] = ["Water temperature for the crop", "too hot for the crop"];
        let below = if dies { "so cold that the crop dies" } else { "too cold for the crop" };
        let roots = Level::between("roots", name, TEMPERATURE, (t, t), low, high, below, above);
        let [least, most] = GROW_OUT.map(|p| DAILY_SHARE.of(percent_day(p.value)));
        let out = BedOut {
            ratio,
            wanted,
            area: i.area,
            feed: (plants::feed(i.area, ratio.0), plants::feed(i.area, ratio.1)),
            plants,
            weekly,
            fish: (plants::fish(i.feed, most), plants::fish(i.feed, least)),
            bulk,
            to_tank: bulk.map(|b| plants::share(b, i.tank)),
            flood,
            flood_share: flood.map(|f| plants::share(f, i.tank)),
            weight,
            load: weight.map(|m| plants::load(m, i.area)),
            liking: plants::liking(i.crop, i.temperature),
            appetite: feeding::appetite(i.species, i.temperature),
            roots,
            dies,
            deadly: Deadly::of(i.species, i.temperature),
            tank: i.tank,
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &BedOut, s: &mut dyn Outputs) {
        span(s, "wanted", "Plant area for this feed", AREA, o.wanted.0, o.wanted.1);
        span(s, "ratio", "Feed a day per plant area", AREAL_RATE, o.ratio.0, o.ratio.1);
        span(s, "feed", "Feed a day that this area wants", FEED_RATE, o.feed.0, o.feed.1);
        span(s, "plants", "Plants to set out", COUNT, o.plants.0, o.plants.1);
        span(s, "weekly", "Harvests a week", RATIO, o.weekly.0, o.weekly.1);
        span(s, "fish", "Fish that eat this feed", MASS, o.fish.0, o.fish.1);
        out_opt(s, "bulk", "Medium", VOLUME, o.bulk);
        out_opt(s, "to_tank", "Medium per tank volume", RATIO, o.to_tank);
        out_opt(s, "flood", "Water a flood takes", VOLUME, o.flood);
        out_opt(s, "flood_share", "Of the tank's water", PERCENT, o.flood_share);
        out_opt(s, "weight", "Weight of the flooded bed, at most", MASS, o.weight);
        out_opt(s, "load", "Weight per area", AREAL_MASS, o.load);
        word(s, "liking", "The water for the crop", o.liking.words());
        word(s, "appetite", "The water for the fish", o.appetite.words());
    }

    fn level(o: &BedOut) -> Option<Level> {
        levels(&BedIn::default(), o).into_iter().next()
    }

    fn cautions(i: &BedIn, o: &BedOut, words: Words) -> Vec<Caution> {
        cautions(i, o, words)
    }

    fn report(i: &BedIn, o: &BedOut, words: Words) -> Report {
        let mut pictures = vec![plan(i, o, words)];
        if i.method.holds_medium() {
            pictures.insert(0, section(i, words));
        }
        Report {
            verdict: verdict(i, o, words),
            levels: levels(i, o),
            repairs: repairs(i, o, words),
            cautions: cautions(i, o, words),
            pictures,
            tables: vec![methods(i, words), crops(i, words)],
            notes: notes(i, o, words),
        }
    }
}

fn levels(_: &BedIn, o: &BedOut) -> Vec<Level> {
    // A flood that leaves the fish no water is more urgent than the plants.
    let (flood, dry) = (o.flood(), |l: &Level| l.leads);
    let plants = [o.balance(), o.roots.clone()].into_iter().chain(flood.clone().filter(|l| !dry(l)));
    let deadly = o.deadly.map(|d| d.level("temperature", "Water temperature"));
    deadly.into_iter().chain(flood.filter(dry)).chain(plants).collect()
}

fn verdict(i: &BedIn, o: &BedOut, w: Words) -> String {
    let keeps = balanced(i, o, w);
    let text = match o.roots.state() {
        State::Over if o.deadly.is_none() => {
            let (low, high) = i.crop.bears();
            let (is, bears) = (o.liking.words(), w.range(TEMPERATURE, low, high));
            format!("The water is {is} for {}: the crop bears {bears}. {keeps}", i.crop.noun)
        }
        _ => keeps,
    };
    let Some(flood) = o.flood.filter(|f| *f > i.tank) else { return text };
    let (flood, tank) = (w.q(VOLUME, flood), w.q(VOLUME, i.tank));
    let dry = format!("A flood takes {flood}, and the fish tank holds {tank}: without a sump it runs dry.");
    if o.deadly.is_some() { format!("{text} {dry}") } else { format!("{dry} {text}") }
}

fn balanced(i: &BedIn, o: &BedOut, w: Words) -> String {
    let feed = in_a_day(i.feed, w);
    let keeps = format!(
        "{feed} of feed a day keeps {} of {} {}",
        w.range(AREA, o.wanted.0, o.wanted.1),
        i.crop.noun,
        i.method.noun
    );
    let have = w.q(AREA, o.area);
    if let Some(d) = o.deadly {
        return format!("{} Without fish nothing feeds the plants. {keeps}; you have {have}.", d.first(w));
    }
    if o.area < o.wanted.0 {
        format!("{keeps}; you have {have}. Too few plants: the water will be left rich.")
    } else if o.area > o.wanted.1 {
        format!("{keeps}; you have {have}. Too many plants: they will go hungry.")
    } else {
        format!("{keeps}, and you have {have}. Plants and feed balance.")
    }
}

fn repairs(i: &BedIn, o: &BedOut, w: Words) -> Vec<Repair> {
    let mut all = vec![];
    if let Some(flood) = o.flood().filter(|l| l.state() != State::Enough) {
        let before = levels(i, o);
        let mut put = |title: String, edits: Vec<Edit>| {
            all.extend(mend::mend::<Bed>(i, &before, levels, &flood.id, title, edits, w.system));
        };
        let tank = mend::upwards(VOLUME, o.flood.unwrap_or_default() / ENOUGH, l(10.0), w);
        put(format!("{} of water in fish tanks and sump", w.q(VOLUME, tank)), vec![Edit::num("tank", tank)]);
        let swing = |x: f64| vec![Edit::num("swing", SHORT_LENGTH.of(x))];
        if let Some(x) = mend::just_enough::<Bed>(i, BedOut::flood, swing, i.swing.value, 0.0) {
            let x = SHORT_LENGTH.of(mend::round_down(x, mm(1.0)));
            put(format!("A flood of {}", w.q(SHORT_LENGTH, x)), swing(x.value));
        }
    }
    if o.roots.state() == State::Over {
        let before = levels(i, o);
        let instead = |c: &&'static Crop| {
            let (title, edits) = (format!("{} instead of {}", c.label, i.crop.noun), vec![Edit::pick("crop", c.id)]);
            mend::mend::<Bed>(i, &before, levels, "roots", title, edits, w.system)
        };
        all.extend(in_place(i.crop, &[i.temperature]).iter().filter_map(instead));
    }
    if o.balance().state() != State::Over {
        return all;
    }
    let before = levels(i, o);
    let mut offer = |changed: BedIn, title: String, edits: Vec<Edit>, also: Option<String>| {
        let Ok(after) = sheet::solve::<Bed>(&changed, &mut Working::none()) else { return };
        let level = after.balance();
        if level.fullness() < o.balance().fullness() {
            let effect = format!(
                "{} on {}, {} wanted.",
                plants_in_words(&after, w),
                w.q(AREA, after.area),
                w.range(AREA, after.wanted.0, after.wanted.1)
            );
            let repair = Repair { title, effect, edits, then: level.state(), level, also };
            all.push(mend::beside(repair, &before, &levels(&changed, &after)));
        }
    };
    let middle = (o.wanted.0 + o.wanted.1) / 2.0;
    let more = o.area < o.wanted.0;
    let area = w.as_shown(AREA, middle);
    offer(
        BedIn { area, ..i.clone() },
        format!("{} plants: {} of them", if more { "More" } else { "Fewer" }, w.q(AREA, area)),
        vec![Edit::num("area", area)],
        more.then(|| "More bed takes more water and more flow.".to_string()),
    );
    let mean = (o.feed.0.value + o.feed.1.value) / 2.0;
    let feed = w.as_shown(FEED_RATE, FEED_RATE.of(mend::within(mean, mend::ends::<Bed>(i, "feed"))));
    offer(
        BedIn { feed, ..i.clone() },
        format!("{} {} a day", if more { "Feed cut to" } else { "Feed raised to" }, in_a_day(feed, w)),
        vec![Edit::num("feed", feed)],
        Some(if more {
            "Fewer fish, or hungry ones.".into()
        } else {
            "Only with fish that eat it: more fish want more oxygen, and the filter must be ripe for it.".into()
        }),
    );
    for method in METHODS.iter().filter(|m| m.id != i.method.id && m.stands != Stands::Tower) {
        let changed = BedIn { method, ..i.clone() };
        let fits =
            sheet::solve::<Bed>(&changed, &mut Working::none()).is_ok_and(|a| a.balance().state() != State::Over);
        if fits {
            offer(
                changed,
                format!("The same area as {}", method.label.to_ascii_lowercase()),
                vec![Edit::pick("method", method.id)],
                Some(format!("The figure is {}.", method.trust)),
            );
        }
    }
    all
}

/// Air of a stone under rafts, and how much of them it is for.
const RAFT_STONE: Coef = Coef::new(4.0, "L/min", &src::RAFT_AIR, "under rafts");
const RAFT_EVERY: [Coef; 2] =
    [Coef::new(2.0, "m2", &src::RAFT_AIR, "at least"), Coef::new(4.0, "m2", &src::RAFT_AIR, "at most")];

fn cautions(i: &BedIn, o: &BedOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    if let (Some(weight), Some(load)) = (o.weight, o.load) {
        all.push(Caution::from(
            format!(
                "Flooded, the bed weighs up to {} ({}), without its box and without people leaning on it. {CHECKED}",
                w.q(MASS, weight),
                w.q(AREAL_MASS, load)
            ),
            &solids::BED_LOAD,
        ));
    } else if i.method.stands == Stands::Raft {
        let depth = SHORT_LENGTH.of(mm(RAFT_WATER));
        let weight = MASS.of(water::density(i.temperature).value * plants::bulk(o.area, depth).value);
        all.push(Caution::from(
            format!(
                "With {} of water, as is usual under rafts, it weighs {} ({}) without its box; deeper water weighs more. {CHECKED}",
                w.q(SHORT_LENGTH, depth),
                w.q(MASS, weight),
                w.q(AREAL_MASS, plants::load(weight, o.area))
            ),
            &solids::BED_LOAD,
        ));
        let (air, every) = (AIR_FLOW.of(l_min(RAFT_STONE.value)), RAFT_EVERY.map(|c| AREA.of(c.value)));
        all.push(Caution::from(
            format!(
                "Roots under rafts breathe too: an air stone of about {} for every {}.",
                w.q(AIR_FLOW, air),
                w.range(AREA, every[0], every[1])
            ),
            &src::RAFT_AIR,
        ));
    } else {
        all.push(Caution::new(format!(
            "Full of water and grown plants, channels and towers are heavy, and so is their tank. {CHECKED}"
        )));
    }
    if i.method.holds_medium() && i.medium.for_filters() {
        all.push(Caution::new(format!("{}: for filters only; plants cannot root there.", i.medium.label)));
    }
    let (least, most) = i.medium.porosity_range();
    if i.method.holds_medium() && (i.porosity < least * PORES_APART.value || i.porosity > most / PORES_APART.value) {
        all.push(Caution::from(
            format!(
                "Gaps of {} are not those of {}: {} are usual. The flood is counted with yours, the weight with the larger.",
                w.q(PERCENT, i.porosity),
                lower(i.medium.label),
                w.range(PERCENT, least, most)
            ),
            i.medium.porosity[1].source,
        ));
    }
    if o.flood_share.is_some_and(|s| s.value > MUCH.value) && o.flood <= Some(i.tank) {
        all.push(Caution::new(format!(
            "A flood takes {} of the tank's water ({}). Use a sump, or more and smaller beds that flood in turn.",
            w.q(PERCENT, o.flood_share.unwrap_or_default()),
            w.q(VOLUME, o.flood.unwrap_or_default())
        )));
    }
    if o.liking.bad() {
        all.push(Caution::from(
            format!(
                "Water at {} is {} for {}: it bears {} and does best at {}.",
                w.q(TEMPERATURE, i.temperature),
                o.liking.words(),
                i.crop.noun,
                w.range(TEMPERATURE, i.crop.bears().0, i.crop.bears().1),
                w.range(TEMPERATURE, i.crop.best().0, i.crop.best().1)
            ),
            i.crop.bears.source,
        ));
    }
    if o.appetite.stops() {
        all.push(Caution::from(
            format!(
                "Water at {} is {} for {}: without feed the plants get nothing.",
                w.q(TEMPERATURE, i.temperature),
                o.appetite.words(),
                i.species.noun
            ),
            i.species.warmth.stops_below.source,
        ));
    }
    all.extend(unlike(i.crop, i.species, w));
    if i.method.stands == Stands::Tower {
        all.push(Caution::from(
            "For towers there is no published ratio; this range is our guess between film channel and media bed.",
            &src::PLANT_JUDGEMENT,
        ));
    }
    if i.method.holds_medium() && i.medium.limy {
        all.push(Caution::from(
            "Limestone dissolves and holds the pH high, where plants take up iron poorly.",
            &solids::FAO_589_MEDIA,
        ));
    }
    all.push(Caution::new("Hydroxides are caustic and lift the pH at once: gloves, goggles, a few grams at a time, a pH test before and after."));
    all.push(Caution::from(
        "Keep warm-blooded animals and dirty hands out of the water, do not wet leaves that are eaten raw, wash hands, rinse and chill the harvest. Local food \
         rules come first.",
        &src::CTAHR_FST_38,
    ));
    all
}

/// Crops as hungry as this one that bear all of these waters, those first that like more of them; no more than are worth telling.
pub(crate) fn in_place(crop: &Crop, waters: &[ThermodynamicTemperature]) -> Vec<&'static Crop> {
    let liked = |c: &Crop, how: fn(Liking) -> bool| waters.iter().filter(|t| how(plants::liking(c, **t))).count();
    let mut all: Vec<_> =
        CROPS.iter().filter(|c| c.hunger == crop.hunger && c.id != crop.id && liked(c, Liking::bad) == 0).collect();
    let good = |c: &Crop| liked(c, |l| l == Liking::Good);
    arrange(&mut all, |a, b| good(b).cmp(&good(a)));
    all.truncate(IN_PLACE);
    all
}
/// Crops that are offered in place of another.
const IN_PLACE: usize = 2;

/// That a crop does not bear water of this temperature, if so.
pub(crate) fn unborne(crop: &Crop, t: ThermodynamicTemperature, w: Words) -> Option<String> {
    let (likes, (low, high)) = (plants::liking(crop, t), crop.bears());
    let (name, bears, at) = (crop.label, w.range(TEMPERATURE, low, high), w.q(TEMPERATURE, t));
    likes.bad().then(|| format!("{name} bears {bears}; at {at} this water is {} for it.", likes.words()))
}

/// That a crop takes up too little in water of this pH, if so.
pub(crate) fn hungry(crop: &Crop, ph: Ratio, w: Words) -> Option<Caution> {
    let ((low, high), (best, to)) = (crop.bears_ph(), crop.ph());
    let out = match (ph < low, ph > high) {
        (true, _) => "too sour for it. Raise it with carbonate, never while ammonia is high",
        (_, true) => {
            "too alkaline: iron, phosphorus and manganese run short, and new leaves turn pale. Take out shells and limestone, and add no lime until it is back"
        }
        _ => return None,
    };
    let text = format!(
        "{} bears pH {} and does best at {}; at {} the water is {out}. Move it by no more than {} a day, for the fish.",
        crop.label,
        w.range(RATIO, low, high),
        w.range(RATIO, best, to),
        w.n(RATIO, ph),
        w.n(RATIO, RATIO.of(mixing::PH_STEP.value))
    );
    Some(Caution::from(text, crop.bears_ph.source))
}

/// What is said of a crop and fish that do not suit each other.
pub(crate) fn unlike(crop: &Crop, species: &Species, w: Words) -> Option<Caution> {
    if suits(crop, species) {
        return None;
    }
    let text = format!(
        "{} and {} do not like the same water: the crop bears {}, the fish feed well from {}.",
        crop.label,
        species.noun,
        w.range(TEMPERATURE, crop.bears().0, crop.bears().1),
        w.range(TEMPERATURE, species.well_from(), species.well_to())
    );
    Some(Caution::from(text, crop.bears.source))
}

/// Is there a temperature that the crop bears and the fish feed well in?
fn suits(crop: &Crop, species: &Species) -> bool {
    crop.bears().0 <= species.well_to() && species.well_from() <= crop.bears().1
}

fn plants_in_words(o: &BedOut, w: Words) -> String {
    if o.plants.1.value < 0.95 {
        return "less than 1 plant".into();
    }
    let plants = if o.plants.1.value < 2.0 { "plant" } else { "plants" };
    format!("{} {plants}", w.range(COUNT, o.plants.0, o.plants.1))
}

fn notes(i: &BedIn, o: &BedOut, w: Words) -> Vec<String> {
    let between = |a: String, b: String| if a == b { a } else { format!("{a} to {b}") };
    let (few, many) = i.crop.density();
    let usual = crate::catalog::crops::feed_protein();
    let mut all = vec![
        format!(
            "Set out {} ({} a square {}). Set out a batch each week and {} a week come ripe, {} after planting.",
            plants_in_words(o, w),
            between(w.n(PLANT_DENSITY, few), w.n(PLANT_DENSITY, many)),
            match w.system {
                System::Metric => "metre",
                System::Us => "foot",
            },
            between(w.plain(significant(o.weekly.0.value, 2)), w.plain(significant(o.weekly.1.value, 2))),
            w.range(DAYS, i.crop.time().0, i.crop.time().1)
        ),
        format!(
            "The ratio is {} with feed of {} protein; it is {}{}. {} of fish eat this feed at 1 to 2 % of their mass a day.",
            w.range(AREAL_RATE, o.ratio.0, o.ratio.1),
            w.q(PERCENT, i.protein),
            i.method.trust,
            if (i.protein.value - usual.value).abs() > 1e-6 {
                format!(" (for feed of {}, scaled)", w.q(PERCENT, usual))
            } else {
                String::new()
            },
            w.range(MASS, o.fish.0, o.fish.1)
        ),
        format!(
            "Water at {} is {} for {} (best {}); for {} it is {}.",
            w.q(TEMPERATURE, i.temperature),
            o.liking.words(),
            i.crop.noun,
            w.range(TEMPERATURE, i.crop.best().0, i.crop.best().1),
            i.species.noun,
            o.appetite.words()
        ),
    ];
    all.push(format!(
        "{} bears water of pH {} and does best at {}. More alkaline, iron and phosphorus run short.",
        i.crop.label,
        w.range(RATIO, i.crop.bears_ph().0, i.crop.bears_ph().1),
        w.range(RATIO, i.crop.ph().0, i.crop.ph().1)
    ));
    if let (Some(bulk), Some(to_tank), Some(flood)) = (o.bulk, o.to_tank, o.flood) {
        all.push(format!(
            "{} of {}: {} of bed to one of tank, where 1 to 2 are usual. A flood takes {} from the tank or the sump.",
            w.q(VOLUME, bulk),
            i.medium.label.to_ascii_lowercase(),
            w.plain(significant(to_tank.value, 2)),
            w.q(VOLUME, flood)
        ));
    }
    all.push(
        "Fish feed is short of iron, potassium and calcium for plants. Usual: chelated iron (about 2 mg/L, every three weeks), and potassium and calcium \
         hydroxide or carbonate by turns, which hold the pH near 7."
            .into(),
    );
    all.push("Nitrate rising from week to week: more plants. Pale new growth and nitrate near nil: fewer plants, or more fish.".into());
    if i.crop.hunger == Hunger::Fruiting {
        all.push("Fruiting plants want a system that has run for some months.".into());
    }
    all
}

fn methods(i: &BedIn, w: Words) -> Table {
    let rows = METHODS.iter().map(|m| {
        let (low, high) = m.ratio(i.crop.hunger);
        let (low, high) = (plants::corrected(low, i.protein), plants::corrected(high, i.protein));
        vec![
            m.label.to_string(),
            w.range(AREA, plants::area(i.feed, high), plants::area(i.feed, low)),
            w.range(AREAL_RATE, low, high),
            m.trust.to_string(),
        ]
    });
    Table {
        title: format!("{} by method, on this feed", i.crop.label),
        head: ["Method", "Area", "Feed per area", "How sure"].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn crops(i: &BedIn, w: Words) -> Table {
    let rows = CROPS.iter().map(|c| {
        vec![
            c.label.to_string(),
            w.range(COUNT, plants::count(i.area, c.density().0), plants::count(i.area, c.density().1)),
            w.range(DAYS, c.time().0, c.time().1),
            plants::liking(c, i.temperature).words().to_string(),
        ]
    });
    Table {
        title: format!("On {}, at {}", w.q(AREA, i.area), w.q(TEMPERATURE, i.temperature)),
        head: ["Crop", "Plants", "Until harvest", "This water is"].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn section(i: &BedIn, w: Words) -> Picture {
    let depth = i.depth.value;
    // A strip of the bed, four times as long as it is deep.
    let long = (4.0 * depth).max(0.3);
    let (rim, leaf) = (0.12 * depth + 0.01, (0.5 * depth).clamp(0.08, 0.3));
    let margin = 0.12 * long;
    let mut s = Section::new(
        "The bed, to scale",
        format!(
            "A media bed {} deep. {} of it floods and drains; the rest stays wet below and dry on top.",
            w.q(SHORT_LENGTH, i.depth),
            w.q(SHORT_LENGTH, i.swing)
        ),
        long + 2.0 * margin,
        depth + rim + leaf,
    );
    let (left, right) = (margin, margin + long);
    // What does not swing is split between the wet foot and the dry top (`FAO_AZ028E`, as beside the field).
    let still = (depth - i.swing.value).max(0.0) / 2.0;
    let high = depth - still;
    s.add(Role::Media, Shape::Rect { x: left, y: 0.0, w: long, h: depth });
    s.add(Role::Water, Shape::Rect { x: left, y: 0.0, w: long, h: still });
    s.add(Role::Guide, Shape::Rect { x: left, y: still, w: long, h: (high - still).max(0.0) });
    s.add(Role::Surface, Shape::Path { points: vec![(left, high), (right, high)], closed: false });
    s.add(
        Role::Wall,
        Shape::Path {
            points: vec![(left, depth + rim), (left, 0.0), (right, 0.0), (right, depth + rim)],
            closed: false,
        },
    );
    let apart = (1.0 / i.crop.density.high.max(0.5)).sqrt().clamp(0.1, long / 2.0);
    let n = ((long / apart).floor() as usize).clamp(1, 12);
    for k in 0..n {
        let x = left + long * (k as f64 + 0.5) / n as f64;
        let half = (0.4 * long / n as f64).min(leaf);
        let points = vec![(x, depth), (x - half, depth + leaf), (x, depth + 0.7 * leaf), (x + half, depth + leaf)];
        s.add(Role::Plant, Shape::Path { points, closed: true });
    }
    if i.swing.value > 0.0 {
        let label = w.q(SHORT_LENGTH, i.swing);
        s.add(Role::Measure, Shape::Measure { x: left + 0.05 * long, y0: still, y1: high, label });
    }
    Picture::Section(s)
}

fn plan(i: &BedIn, o: &BedOut, w: Words) -> Picture {
    // A square from above, planted as densely as the middle of the range.
    let (side, title, square) = match w.system {
        System::Metric => (1.0, "One square metre from above", "a square metre"),
        System::Us => (3.0 * w.one(LENGTH), "A square of 3 by 3 ft from above", "a square of 3 by 3 ft"),
    };
    let margin = 0.08;
    let n = ((i.crop.density.low + i.crop.density.high) / 2.0 * side * side).round().clamp(1.0, 60.0);
    let across = n.sqrt().ceil();
    let down = (n / across).ceil();
    let mut s = Section::new(
        title,
        format!(
            "{} plants of {} on {square}. {} holds {}.",
            w.q(COUNT, COUNT.of(n)),
            i.crop.noun,
            w.q(AREA, o.area),
            w.range(COUNT, o.plants.0, o.plants.1)
        ),
        side + 2.0 * margin,
        side + 2.0 * margin,
    );
    s.add(
        if i.method.holds_medium() { Role::Media } else { Role::Water },
        Shape::Rect { x: margin, y: margin, w: side, h: side },
    );
    let r = 0.38 * side / across.max(down);
    let mut left = n as usize;
    for row in 0..down as usize {
        let here = left.min(across as usize);
        for k in 0..here {
            let x = margin + side * (k as f64 + 0.5) / here as f64;
            let y = margin + side * (1.0 - (row as f64 + 0.5) / down);
            s.add(Role::Plant, Shape::Circle { x, y, r });
        }
        left -= here;
    }
    Picture::Section(s)
}

#[cfg(test)]
mod tests;
