//! Running cost.

mod working;

use super::form::*;
use super::outcome::*;
use super::sheet::Calculator;
use crate::catalog::sources::{climate as src, general::ELEMENTARY};
use crate::picture::{Picture, Role, Section, Shape};
use crate::units::{kinds::*, si::*, *};

/// One device.
#[derive(Debug, Clone)]
pub struct Device {
    /// What it is.
    pub name: String,
    /// Watts of one.
    pub power: Power,
    /// How many.
    pub count: Ratio,
    /// Hours a day.
    pub hours: Time,
}

impl Default for Device {
    fn default() -> Self {
        Self { name: String::new(), power: POWER.of(20.0), count: COUNT.of(1.0), hours: HOURS.of(hours(24.0)) }
    }
}

impl Fields for Device {
    fn fields(&mut self, f: &mut dyn Form) {
        text(f, &Text::new(1, "name", "What it is", 40), &mut self.name);
        let power = Field::new(2, "power", "Watts of one", POWER)
            .range(0.0, 20e3)
            .advised(1.0, 3e3)
            .help("On the label; a plug meter is better, pumps draw less than the label when throttled.");
        num(f, &power, &mut self.power);
        let count = Field::new(3, "count", "How many", COUNT)
            .range(0.0, 1000.0)
            .advised(1.0, 100.0)
            .help("Alike and on as long.");
        num(f, &count, &mut self.count);
        let on = Field::new(4, "hours", "On each day", HOURS)
            .range(0.0, hours(24.0))
            .advised(hours(0.1), hours(24.0))
            .help("Mean over the year. 24 hours for what never stops.");
        num(f, &on, &mut self.hours);
    }
}

/// Inputs.
#[derive(Debug, Clone)]
pub struct RunningIn {
    /// Devices.
    pub devices: Vec<Device>,
    /// Heating a month.
    pub heating: Energy,
    /// Price of a kilowatt-hour.
    pub price: Ratio,
    /// Feed a day.
    pub feed: MassRate,
    /// Price of a kilogram of feed.
    pub feed_price: Ratio,
    /// Feed per gain.
    pub fcr: Ratio,
    /// Price of a fingerling.
    pub fish_price: Ratio,
    /// Mass at harvest.
    pub harvest: Mass,
    /// Share that dies or is culled.
    pub lost: Ratio,
    /// Water a day.
    pub water: VolumeRate,
    /// Price of a cubic metre.
    pub water_price: Ratio,
    /// Plants harvested a month.
    pub plants: Ratio,
    /// Price of a seedling.
    pub plant_price: Ratio,
    /// Tests, buffers, the rest, a month.
    pub other: Ratio,
    /// What it cost to build.
    pub built: Ratio,
    /// Years it should last.
    pub years: Time,
    /// Share of the common cost that plants carry.
    pub share: Ratio,
}

impl Default for RunningIn {
    fn default() -> Self {
        let device = |name: &str, watts: f64| Device { name: name.into(), power: POWER.of(watts), ..Device::default() };
        Self {
            devices: vec![device("Water pump", 35.0), device("Air pump", 18.0)],
            heating: ENERGY.of(60.0 * KWH),
            price: PRICE_ENERGY.of(0.30),
            feed: FEED_RATE.of(g_day(120.0)),
            feed_price: PRICE_MASS.of(2.2),
            fcr: RATIO.of(1.6),
            fish_price: MONEY.of(0.8),
            harvest: SMALL_MASS.of(0.5),
            lost: PERCENT.of(0.1),
            water: DAILY_VOLUME.of(l(25.0) / DAY),
            water_price: PRICE_VOLUME.of(3.0),
            plants: COUNT.of(60.0),
            plant_price: MONEY.of(0.15),
            other: MONEY.of(8.0),
            built: MONEY.of(0.0),
            years: YEARS.of(years(10.0)),
            share: PERCENT.of(0.5),
        }
    }
}

pub(super) const KWH: f64 = 3.6e6;

impl Fields for RunningIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let money = |tag, key, label, most: f64| Field::new(tag, key, label, MONEY).range(0.0, most);
        list(
            f,
            &List::new(1, "devices", "What runs", "device", 24).help("Pumps, air pumps, lights, fans."),
            &mut self.devices,
        );
        let heating = Field::new(2, "heating", "Heating a month", ENERGY)
            .range(0.0, 20e3 * KWH)
            .advised(0.0, 3e3 * KWH)
            .help("From the page on heat, at the mean of the year.");
        num(f, &heating, &mut self.heating);
        let price = Field::new(3, "price", "Price of electricity", PRICE_ENERGY).range(0.0, 1e4).help("In your money.");
        num(f, &price, &mut self.price);
        let feed = Field::new(4, "feed", "Feed a day", FEED_RATE)
            .range(0.0, g_day(1e6))
            .advised(g_day(1.0), g_day(20e3))
            .help("Mean over the year.");
        num(f, &feed, &mut self.feed);
        num(
            f,
            &Field::new(5, "feed_price", "Price of feed", PRICE_MASS).range(0.0, 1e4).help("Delivered."),
            &mut self.feed_price,
        );
        let fcr = Field::new(6, "fcr", "Feed per gain", RATIO)
            .range(0.5, 10.0)
            .advised(0.9, 3.0)
            .likely(1.3, 2.2)
            .help("Weight of feed over that of the fish grown on it: 1.0 to 1.3 for trout, 1.5 to 2.0 for tilapia and catfish.");
        num(f, &fcr, &mut self.fcr);
        group(f, &Group::titled("Fish, water, plants"), true, &mut |f| {
            num(
                f,
                &money(7, "fish_price", "Price of a young fish", 1e4).help("0 if you breed them."),
                &mut self.fish_price,
            );
            let harvest = Field::new(8, "harvest", "Mass at harvest", SMALL_MASS)
                .range(0.001, 20.0)
                .advised(0.05, 3.0)
                .help("Of one fish.");
            num(f, &harvest, &mut self.harvest);
            let lost = Field::new(9, "lost", "Lost before harvest", PERCENT)
                .range(0.0, 0.95)
                .advised(0.0, 0.4)
                .help("Deaths and culls, of those bought.")
                .detail();
            num(f, &lost, &mut self.lost);
            let water = Field::new(10, "water", "Water a day", DAILY_VOLUME)
                .range(0.0, 0.1 / DAY * 1e3)
                .advised(0.0, 2.0 / DAY)
                .help("Top-up, exchange, what leaves with the sludge.");
            num(f, &water, &mut self.water);
            let cubic = Field::new(11, "water_price", "Price of water", PRICE_VOLUME)
                .range(0.0, 1e5)
                .help("With the charge for the drain, if there is one.");
            num(f, &cubic, &mut self.water_price);
            let plants = Field::new(12, "plants", "Plants harvested a month", COUNT)
                .range(0.0, 1e6)
                .advised(0.0, 1e4)
                .help("Heads, or plants that are cut again and again counted once a month.");
            num(f, &plants, &mut self.plants);
            num(
                f,
                &money(13, "plant_price", "Price of a seedling", 1e4).help("Seed, plug and pot."),
                &mut self.plant_price,
            );
            let other = money(14, "other", "All else a month", 1e7)
                .help("Water tests, buffers, supplements, nets, spare parts.");
            num(f, &other, &mut self.other);
            let built = money(15, "built", "What it cost to build", 1e9)
                .help("To spread over its years. 0 counts running cost alone.");
            num(f, &built.detail(), &mut self.built);
            let years = Field::new(16, "years", "It should last", YEARS)
                .range(30.0 * DAY, years(60.0))
                .advised(years(1.0), years(30.0))
                .help("Tanks outlast pumps; take a mean.")
                .detail();
            num(f, &years, &mut self.years);
            let share = Field::new(17, "share", "Plants' share of common cost", PERCENT)
                .range(0.0, 1.0)
                .help("Electricity, heat and water serve both. How you split them is book-keeping, not physics.")
                .source(&src::COST_SHARE)
                .detail();
            num(f, &share, &mut self.share);
        });
    }
}

/// The result; money and energy a month.
#[derive(Debug, Clone)]
pub struct RunningOut {
    /// Electricity of the devices.
    pub energy: Energy,
    /// Each device: its energy.
    pub each: Vec<(String, Energy)>,
    /// Electricity of the devices, money.
    pub electricity: Ratio,
    /// Heating, money.
    pub heating: Ratio,
    /// Feed.
    pub feed: Ratio,
    /// Young fish.
    pub fish: Ratio,
    /// Water.
    pub water: Ratio,
    /// Seedlings.
    pub plants: Ratio,
    /// The rest.
    pub other: Ratio,
    /// What building it costs, spread.
    pub building: Ratio,
    /// What fish and plants cost in common.
    common: Ratio,
    /// The share of it that the plants carry.
    share: f64,
    /// All of it.
    pub total: Ratio,
    /// Fish grown.
    pub grown: Mass,
    /// Young fish needed.
    pub young: Ratio,
    /// All of it per kilogram of fish, the plants given away.
    pub per_kilogram_all: Option<Ratio>,
    /// Per kilogram, the common cost shared.
    pub per_kilogram: Option<Ratio>,
    /// Per plant, the common cost shared.
    pub per_plant: Option<Ratio>,
    /// A watt that runs all year, a year.
    pub watt_year: Ratio,
}

impl RunningOut {
    fn parts(&self) -> [(&'static str, Ratio); 8] {
        [
            ("Electricity", self.electricity),
            ("Heating", self.heating),
            ("Feed", self.feed),
            ("Young fish", self.fish),
            ("Water", self.water),
            ("Seedlings", self.plants),
            ("All else", self.other),
            ("Building, spread", self.building),
        ]
    }
}

/// Running cost.
pub struct Running;

impl Calculator for Running {
    type In = RunningIn;
    type Out = RunningOut;
    const ID: &'static str = "running";
    const TITLE: &'static str = "Running cost";
    const QUESTION: &'static str = "What does it cost a month, and by weight of fish?";
    const ANSWER: &'static str = "total";
    const ABOUT: &'static str = "Electricity by device and hours, heating, feed, young fish, water, seedlings and the rest: a month, by weight of fish, and a plant. Fish grown follow from the feed and the feed per gain. Your own labour is not counted.";

    fn solve(i: &RunningIn, w: &mut Working) -> Result<RunningOut, Vec<FieldError>> {
        let month = DAYS.of(months(1.0));
        let day = HOURS.of(DAY);
        let each: Vec<(String, Energy)> = i
            .devices
            .iter()
            .enumerate()
            .map(|(n, d)| {
                let name = if d.name.trim().is_empty() { format!("Device {}", n + 1) } else { d.name.clone() };
                (name, d.power * d.count * (d.hours / day) * month)
            })
            .collect();
        let energy = each.iter().fold(ENERGY.of(0.0), |sum, (_, e)| sum + *e);
        let money = |x: f64| MONEY.of(x);
        let electricity = money(energy.value / KWH * i.price.value);
        let heating = money(i.heating.value / KWH * i.price.value);
        let fed = i.feed * month;
        let feed = money(fed.value * i.feed_price.value);
        let grown = fed / i.fcr;
        let young = COUNT.of((grown / i.harvest).value / (1.0 - i.lost.value));
        let fish = money(young.value * i.fish_price.value);
        let water = money((i.water * month).value * i.water_price.value);
        let plants = i.plants * i.plant_price;
        let building = i.built * (month / i.years);
        let common = electricity + heating + water + i.other + building;
        let total = common + feed + fish + plants;
        let per = |cost: Ratio, of: f64| (of > 0.0).then(|| money(cost.value / of)).filter(|x| x.value.is_finite());
        // What is not there carries nothing.
        let share = match (grown.value > 0.0, i.plants.value > 0.0) {
            (true, false) => 0.0,
            (false, true) => 1.0,
            _ => i.share.value,
        };
        let out = RunningOut {
            energy,
            each,
            electricity,
            heating,
            feed,
            fish,
            water,
            plants,
            other: i.other,
            building,
            common,
            share,
            total,
            grown,
            young,
            per_kilogram_all: per(total, grown.value),
            per_kilogram: per(feed + fish + common * (1.0 - share), grown.value),
            per_plant: per(plants + common * share, i.plants.value),
            watt_year: money(years(1.0) / KWH * i.price.value),
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &RunningOut, s: &mut dyn Outputs) {
        out(s, "total", "A month", MONEY, o.total);
        out_opt(s, "per_kilogram", "Fish, by weight", PRICE_MASS, o.per_kilogram);
        out_opt(s, "per_kilogram_all", "Fish, by weight, the plants given away", PRICE_MASS, o.per_kilogram_all);
        out_opt(s, "per_plant", "A plant", MONEY, o.per_plant);
        out(s, "energy", "Electricity a month, without heating", ENERGY, o.energy);
        out(s, "electricity", "Electricity, money", MONEY, o.electricity);
        out(s, "heating", "Heating, money", MONEY, o.heating);
        out(s, "feed", "Feed, money", MONEY, o.feed);
        out(s, "fish", "Young fish, money", MONEY, o.fish);
        out(s, "water", "Water, money", MONEY, o.water);
        out(s, "plants", "Seedlings, money", MONEY, o.plants);
        out(s, "other", "All else, money", MONEY, o.other);
        out(s, "building", "Building, spread, money", MONEY, o.building);
        out(s, "grown", "Fish grown a month", MASS, o.grown);
        out(s, "young", "Young fish a month", RATIO, o.young);
        out(s, "watt_year", "A watt that never stops, a year", MONEY, o.watt_year);
    }

    fn level(_: &RunningOut) -> Option<Level> {
        None
    }

    fn cautions(i: &RunningIn, o: &RunningOut, words: Words) -> Vec<Caution> {
        Self::report(i, o, words).cautions
    }

    fn report(i: &RunningIn, o: &RunningOut, words: Words) -> Report {
        let mut verdict = format!("Costs {} a month.", words.q(MONEY, o.total));
        if let Some(x) = o.per_kilogram {
            verdict += &format!(" A {} of fish costs {}", weight(words), words.q(MONEY, per_weight(x, words)));
            verdict += &match o.per_plant {
                Some(p) => format!(", a plant {}.", words.q(MONEY, p)),
                None => ".".into(),
            };
        } else if let Some(p) = o.per_plant {
            verdict += &format!(" A plant costs {}.", words.q(MONEY, p));
        }
        let mut parts: Vec<_> = o.parts().into_iter().filter(|p| p.1.value > 0.0).collect();
        crate::units::arrange(&mut parts, |a, b| b.1.value.total_cmp(&a.1.value));
        let share_of = |x: Ratio| if o.total.value > 0.0 { x / o.total } else { PERCENT.of(0.0) };
        let mut tables = vec![Table {
            title: "Where the money goes".into(),
            head: vec!["".into(), "A month".into(), "A year".into(), "Share".into()],
            rows: parts
                .iter()
                .chain([&("Together", o.total)])
                .map(|(name, x)| {
                    vec![
                        (*name).to_string(),
                        words.q(MONEY, *x),
                        words.q(MONEY, *x * 12.0),
                        words.q(PERCENT, share_of(*x)),
                    ]
                })
                .collect(),
        }];
        if !o.each.is_empty() {
            let rows = o.each.iter().map(|(name, e)| {
                vec![name.clone(), words.q(ENERGY, *e), words.q(MONEY, MONEY.of(e.value / KWH * i.price.value))]
            });
            tables.push(Table {
                title: "Electricity by device".into(),
                head: vec!["".into(), "A month".into(), "Money a month".into()],
                rows: rows.collect(),
            });
        }
        let mut notes = vec![format!(
            "Each watt that never stops costs {} a year: a pump that does the same with 10 W less saves {}.",
            words.q(MONEY, o.watt_year),
            words.q(MONEY, o.watt_year * 10.0)
        )];
        if o.grown.value > 0.0 {
            notes.push(format!(
                "The feed grows {} of fish a month, for which {} young fish have to be stocked.",
                words.q(MASS, o.grown),
                // Fish come whole, but a mean of less than one does not.
                number(if o.young.value > 1.0 { (o.young.value - 1e-9).ceil() } else { o.young.value }, 3)
            ));
        }
        if let Some(x) = o.per_kilogram_all.filter(|_| i.plants.value > 0.0) {
            notes.push(format!(
                "If the plants were given away, the fish would cost {} a {}.",
                words.q(MONEY, per_weight(x, words)),
                weight(words)
            ));
        }
        Report {
            verdict,
            cautions: vec![
                Caution::from(
                    "Do not save on what keeps fish alive: pumps and air run day and night, and a cheaper device has to move as much at the same lift.",
                    &src::RUN_ALWAYS,
                ),
                Caution::new("Whether home-grown fish and plants may be sold is a matter of local food law."),
            ],
            pictures: vec![bars(&parts, o.total, words)],
            tables,
            notes,
            ..Report::default()
        }
    }
}

/// The weight that fish are priced by.
fn weight(words: Words) -> &'static str {
    if words.system == System::Us { "pound" } else { "kilogram" }
}
/// A price of a kilogram, for the weight that fish are priced by.
fn per_weight(kilogram: Ratio, words: Words) -> Ratio {
    kilogram * MASS.0.unit(words.system).factor
}

/// Bars to scale: the longest is as wide as the scene.
fn bars(parts: &[(&str, Ratio)], total: Ratio, words: Words) -> Picture {
    let rows = parts.len().max(1) as f64;
    let (width, height) = (4.0, rows * 0.5 + 0.1);
    let told: Vec<_> = parts.iter().map(|(name, x)| format!("{name} {}", words.q(MONEY, *x))).collect();
    let mut s = Section::new(
        "Where the money goes, a month",
        if told.is_empty() {
            "Nothing costs anything.".into()
        } else {
            format!("{} of {} a month.", told.join(", "), words.q(MONEY, total))
        },
        width,
        height,
    );
    let most = parts.iter().map(|p| p.1.value).fold(0.0, f64::max).max(f64::MIN_POSITIVE);
    for (n, (_, x)) in parts.iter().enumerate() {
        let y = height - 0.5 * (n as f64 + 1.0);
        s.add(Role::Water, Shape::Rect { x: 0.0, y: y + 0.05, w: width * (x.value / most).clamp(0.0, 1.0), h: 0.4 });
        s.text(0.1, y + 0.18, told[n].clone());
    }
    Picture::Section(s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::sheet::solve;

    fn run(i: &RunningIn) -> RunningOut {
        solve::<Running>(i, &mut Working::none()).expect("solves")
    }
    fn near(a: f64, b: f64, share: f64) {
        assert!((a / b - 1.0).abs() < share, "{a} not {b}");
    }

    #[test]
    fn thirty_five_watts_all_year() {
        // 35 W without a stop: 306.6 kWh in 365 days.
        let i =
            RunningIn { devices: vec![Device { power: POWER.of(35.0), ..Device::default() }], ..RunningIn::default() };
        near(run(&i).energy.value / KWH * 12.0 * 365.0 / 365.25, 306.6, 1e-4);
        // Half the day, two of them: the same.
        let twice =
            Device { power: POWER.of(35.0), count: COUNT.of(2.0), hours: HOURS.of(hours(12.0)), ..Device::default() };
        near(run(&RunningIn { devices: vec![twice], ..i }).energy.value / KWH * 12.0, 306.6, 1e-3);
    }

    #[test]
    fn it_lasts_for_years() {
        let sheet = (crate::calculators::by_id("running").expect("running").sheet)();
        let years = sheet.layout().into_iter().find(|e| e.path == "years").expect("a field");
        let LayoutItem::Num(spec, si) = years.item else { panic!("no number") };
        assert_eq!(show(spec.kind, si, System::Metric), "10\u{202f}years");
    }

    #[test]
    fn a_month_by_hand() {
        // 30.4375 days: 53 W are 38.72 kWh, heating 60, at 0.30: 29.61. Feed 3.6525 kg at 2.2: 8.04; fish 2.283 kg, 5.07 young at 0.8: 4.06.
        // Water 0.761 m³ at 3: 2.28. Seedlings 9. All else 8. Together 60.99.
        let o = run(&RunningIn::default());
        near(o.energy.value / KWH, 38.717, 1e-3);
        near(o.electricity.value + o.heating.value, 29.615, 1e-3);
        near(o.feed.value, 8.0355, 1e-3);
        near(o.grown.value, 2.2828, 1e-3);
        near(o.young.value, 5.0729, 1e-3);
        near(o.total.value, 29.615 + 8.0355 + 4.0583 + 2.2828 + 9.0 + 8.0, 1e-3);
        // What fish and plants are charged adds up to what is spent.
        let charged =
            o.per_kilogram.map_or(0.0, |x| x.value * o.grown.value) + o.per_plant.map_or(0.0, |x| x.value * 60.0);
        near(charged, o.total.value, 1e-9);
    }

    /// All that is spent is charged to what there is: fish alone, plants alone.
    #[test]
    fn what_is_not_there_carries_nothing() {
        let fish = RunningIn { plants: COUNT.of(0.0), ..RunningIn::default() };
        let o = run(&fish);
        near(o.per_kilogram.map_or(0.0, |x| x.value), o.per_kilogram_all.map_or(0.0, |x| x.value), 1e-9);
        near(o.per_kilogram.map_or(0.0, |x| x.value) * o.grown.value, o.total.value, 1e-9);
        let report = Running::report(&fish, &o, Words::default());
        assert!(!report.notes.iter().any(|n| n.contains("given away")), "{:?}", report.notes);
        let plants = RunningIn { feed: FEED_RATE.of(0.0), ..RunningIn::default() };
        let o = run(&plants);
        near(o.per_plant.map_or(0.0, |x| x.value) * 60.0, o.total.value, 1e-9);
        assert!(Running::report(&plants, &o, Words::default()).verdict.contains("A plant costs"));
    }

    #[test]
    fn nothing_grown_has_no_price_a_kilogram() {
        let o = run(&RunningIn { feed: FEED_RATE.of(0.0), plants: COUNT.of(0.0), ..RunningIn::default() });
        assert!(o.per_kilogram.is_none() && o.per_plant.is_none() && o.per_kilogram_all.is_none());
    }
}
