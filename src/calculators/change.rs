//! Water change and moving fish.

mod poison;
mod report;

use self::poison::Poison;
pub use self::poison::What;
use super::ammonia::{buffered, chloride, salt_to_hold, total, weighed, weighed_like};
use super::deadly::{self, Deadly};
use super::form::*;
use super::fouling::{Standing, aired_ph, unionised, within};
use super::mend;
use super::outcome::*;
use super::sheet::Calculator;
use super::{handling, outage, oxygen};
use crate::catalog::diffusers::MEDIUM;
use crate::catalog::sources::{Coef, climate as src, general::ELEMENTARY, oxygen as oxygen_src};
use crate::catalog::species::{SPECIES, Species};
use crate::picture::{Axis, Chart, Mark, Picture, Role, Series};
use crate::science::carbonate::{self, Water};
use crate::science::oxygen_balance::Supply;
use crate::science::oxygen_saturation::OutOfRange;
use crate::science::reserve::{self, Bubbles};
use crate::science::respiration::{self, Regression};
use crate::science::treatment::{self, Buffer};
use crate::science::{aeration, ammonia, brackish, mixing, oxygen_saturation, solve as roots};
use crate::units::{kinds::*, si::*, *};

/// What is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Job {
    /// Bring a reading down.
    #[default]
    Change,
    /// Hold or haul fish.
    Hold,
    /// Put fish into other water.
    Move,
    /// Buffer and salt.
    Dose,
}
crate::choices!(Job:
    Change = "change", "Bring a reading down with new water", "";
    Hold = "hold", "Hold or haul fish in a drum for some hours", "while glue cures, or on the road";
    Move = "move", "Put fish into other water", "of other temperature, pH or salt";
    Dose = "dose", "Dose buffer or salt", "";
);

/// What takes the chlorine out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Remover {
    /// Nothing.
    None,
    /// Sodium thiosulphate crystals.
    #[default]
    Crystals,
    /// Anhydrous.
    Anhydrous,
    /// A solution of known strength.
    Solution,
    /// By the label.
    Label,
}
crate::choices!(Remover:
    None = "none", "Nothing", "";
    Crystals = "crystals", "Sodium thiosulphate crystals", "pentahydrate, the common kind";
    Anhydrous = "anhydrous", "Sodium thiosulphate, anhydrous", "a fine white powder";
    Solution = "solution", "A solution of thiosulphate", "grams of crystals in a litre";
    Label = "label", "A product, by its label", "";
);

/// When they were last fed; not within a day of a move.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Fed {
    /// Unfed for a day.
    #[default]
    Fasted,
    /// Today.
    Today,
}
crate::choices!(Fed: Fasted = "fasted", "A day ago or more", ""; Today = "today", "Today", "";);

/// How the water that they leave was kept. A closed bag holds back its carbon dioxide ([`src::AIRED`]).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Kept {
    /// Without air.
    #[default]
    Closed,
    /// With air.
    Open,
}
crate::choices!(Kept:
    Closed = "closed", "Closed, in a bag or under a lid", "";
    Open = "open", "Open, in a drum or tank with air", "";
);

impl crate::catalog::choose::Choose for Buffer {
    fn option(i: usize) -> Option<crate::catalog::choose::Opt> {
        let opt = crate::catalog::choose::Opt::new;
        match i {
            0 => Some(opt("sodium", "Baking soda", "sodium bicarbonate")),
            1 => Some(opt("potassium", "Potassium bicarbonate", "feeds plants too")),
            _ => None,
        }
    }
    fn index(self) -> usize {
        usize::from(self == Self::Potassium)
    }
    fn nth(i: usize) -> Self {
        if i == 0 { Self::Sodium } else { Self::Potassium }
    }
}

/// Inputs.
#[derive(Debug, Clone)]
pub struct ChangeIn {
    /// What is to be done.
    pub job: Job,
    /// Which fish.
    pub species: &'static Species,
    /// Water of the system.
    pub volume: Volume,
    /// Water of the drum or bag, with the fish.
    pub container: Volume,
    /// Temperature of the water they are in.
    pub temperature: ThermodynamicTemperature,
    /// Its pH.
    pub ph: Ratio,
    /// Temperature of the new water.
    pub new_temperature: ThermodynamicTemperature,
    /// Its pH.
    pub new_ph: Ratio,
    /// Water changed each time.
    pub change: Volume,
    /// What has to come down.
    pub what: What,
    /// Chloride beside nitrite.
    pub held: MassConcentration,
    /// Ammonia or nitrite nitrogen now, where that has to come down.
    pub poison: MassConcentration,
    /// The same in the new water.
    pub poison_new: MassConcentration,
    /// Where it should come to.
    pub poison_wanted: MassConcentration,
    /// Reading now.
    pub reading: MassConcentration,
    /// The same in the new water.
    pub new_reading: MassConcentration,
    /// Wanted.
    pub target: MassConcentration,
    /// Chlorine in the new water.
    pub chlorine: MassConcentration,
    /// Is it chloramine?
    pub chloramine: YesNo,
    /// What takes it out.
    pub remover: Remover,
    /// Crystals in a litre of solution.
    pub strength: MassConcentration,
    /// Product on the label.
    pub label_dose: Volume,
    /// Water that it treats.
    pub label_water: Volume,
    /// Fish in the drum.
    pub fish: Mass,
    /// Mass of one.
    pub mass: Mass,
    /// Time in it.
    pub hours: Time,
    /// Oxygen at the start.
    pub oxygen: MassConcentration,
    /// Last meal.
    pub fed: Fed,
    /// Their usual feed.
    pub ration: SpecificRate,
    /// Air at the stone.
    pub air: VolumeRate,
    /// Its depth.
    pub depth: Length,
    /// Time you mean to take.
    pub planned: Time,
    /// How that water was kept.
    pub kept: Kept,
    /// Ammonia in the water they leave.
    pub tan: MassConcentration,
    /// Alkalinity of that water.
    pub bag_alkalinity: MassConcentration,
    /// How fast their temperature is changed.
    pub pace: TemperatureRate,
    /// Step of pH in half a day to a day.
    pub ph_step: Ratio,
    /// Alkalinity.
    pub alkalinity: MassConcentration,
    /// Of the new water.
    pub new_alkalinity: MassConcentration,
    /// Alkalinity wanted.
    pub alkalinity_target: MassConcentration,
    /// What the alkalinity is raised with.
    pub buffer: Buffer,
    /// Nitrite nitrogen.
    pub nitrite: MassConcentration,
    /// Chloride.
    pub chloride: MassConcentration,
    /// Salt to bring it to.
    pub salt: MassConcentration,
    /// Height above the sea.
    pub altitude: Length,
    /// Salt in the drum.
    pub salinity: MassConcentration,
    /// Salt in the water that they leave.
    pub left_salt: MassConcentration,
    /// Salt in the other water.
    pub new_salt: MassConcentration,
}

impl Default for ChangeIn {
    fn default() -> Self {
        let t = |c| TEMPERATURE.of(celsius(c));
        let mg = |x| CONCENTRATION.of(mg_l(x));
        Self {
            job: Job::Change,
            species: &SPECIES[0],
            volume: VOLUME.of(l(900.0)),
            container: VOLUME.of(l(120.0)),
            temperature: t(25.0),
            ph: RATIO.of(7.0),
            new_temperature: t(15.0),
            new_ph: RATIO.of(7.4),
            change: VOLUME.of(l(150.0)),
            what: What::Other,
            held: mg(30.0),
            poison: mg(2.0),
            poison_new: mg(0.0),
            poison_wanted: mg(0.5),
            reading: mg(120.0),
            new_reading: mg(10.0),
            target: mg(80.0),
            chlorine: mg(0.5),
            chloramine: YesNo::No,
            remover: Remover::Crystals,
            strength: CONCENTRATION.of(100.0),
            label_dose: VOLUME.of(5e-6),
            label_water: VOLUME.of(l(20.0)),
            fish: MASS.of(4.0),
            mass: SMALL_MASS.of(0.2),
            hours: HOURS.of(hours(3.0)),
            oxygen: mg(7.0),
            fed: Fed::Fasted,
            ration: DAILY_SHARE.of(percent_day(1.5)),
            air: AIR_FLOW.of(l_min(15.0)),
            depth: LENGTH.of(0.5),
            planned: HOURS.of(hours(6.0)),
            kept: Kept::Closed,
            tan: mg(0.5),
            bag_alkalinity: mg(60.0),
            pace: TEMPERATURE_RATE.of(k_h(mixing::SLOW.value)),
            ph_step: RATIO.of(mixing::PH_STEP.value),
            alkalinity: mg(60.0),
            new_alkalinity: mg(120.0),
            alkalinity_target: mg(80.0),
            buffer: Buffer::Sodium,
            nitrite: mg(0.5),
            chloride: mg(20.0),
            salt: SALINITY.of(0.0),
            altitude: LENGTH.of(0.0),
            salinity: SALINITY.of(0.0),
            left_salt: SALINITY.of(0.0),
            new_salt: SALINITY.of(0.0),
        }
    }
}

impl Fields for ChangeIn {
    fn fields(&mut self, f: &mut dyn Form) {
        use Job::*;
        let (job, remover, what) = (self.job, self.remover, self.what);
        let is = |all: &[Job]| all.contains(&job);
        let litres = |tag, key, label| Field::new(tag, key, label, VOLUME);
        let reading = |tag, key, label| {
            Field::new(tag, key, label, CONCENTRATION).range(0.0, mg_l(5000.0)).advised(0.0, mg_l(500.0))
        };
        let ph =
            |tag, key, label| Field::new(tag, key, label, RATIO).range(4.5, 10.0).advised(6.0, 8.8).likely(6.6, 7.8);
        let lime = |tag, key, label| {
            Field::new(tag, key, label, ALKALINITY)
                .range(0.0, mg_l(1000.0))
                .advised(mg_l(10.0), mg_l(350.0))
                .help("As calcium carbonate, or in the degrees (dKH) of a kit.")
        };
        pick(f, &Pick::new(1, "job", "What do you want to do?"), &mut self.job);
        pick(f, &Pick::new(2, "species", "Fish"), &mut self.species);
        group(f, &Group::when("job", "change|dose"), is(&[Change, Dose]), &mut |f| {
            let field = litres(3, "volume", "Water of the system")
                .range(l(5.0), 200.0)
                .advised(l(20.0), 50.0)
                .help("Tanks, beds and sump together.")
                .way(Way::TapeVolume);
            num(f, &field, &mut self.volume);
        });
        group(f, &Group::when("job", "hold|move"), is(&[Hold, Move]), &mut |f| {
            let field = litres(4, "container", "Drum or bag, fish and water together")
                .range(l(1.0), 20.0)
                .advised(l(5.0), 5.0)
                .help("To the water line, with the fish in it.")
                .way(Way::TapeVolume);
            num(f, &field, &mut self.container);
        });
        let warm = Field::new(5, "temperature", "Temperature of their water", TEMPERATURE)
            .range(celsius(0.5), celsius(39.0))
            .advised(celsius(4.0), celsius(34.0))
            .help("The water that the fish are in now.");
        num(f, &warm, &mut self.temperature);
        num(f, &ph(6, "ph", "pH of their water").help("A meter or a drop test, not a strip."), &mut self.ph);
        group(f, &Group::when("job", "change|move"), is(&[Change, Move]), &mut |f| {
            let warm = Field::new(7, "new_temperature", "Temperature of the other water", TEMPERATURE)
                .range(celsius(0.5), celsius(39.0))
                .advised(celsius(4.0), celsius(34.0))
                .help("From the tap, or of the tank they go into.");
            num(f, &warm, &mut self.new_temperature);
            num(
                f,
                &ph(8, "new_ph", "pH of the other water").help("Measure after a night of standing, with air."),
                &mut self.new_ph,
            );
        });
        group(f, &Group::when("job", "change"), is(&[Change]), &mut |f| {
            let field = litres(9, "change", "Water changed each time")
                .range(l(0.1), 200.0)
                .advised(l(1.0), 25.0)
                .help("Taken out, and as much put in.");
            num(f, &field, &mut self.change);
            pick(f, &Pick::new(43, "what", "What has to come down?"), &mut self.what);
            group(f, &Group::when("what", "nitrite"), what == What::Nitrite, &mut |f| {
                num(f, &chloride(44, "held"), &mut self.held);
            });
            let (now, new) = ("Reading now", "The same in the new water");
            let (wanted, end) = ("Wanted", "Where it should come to.");
            group(f, &Group::when("what", "other"), what == What::Other, &mut |f| {
                num(
                    f,
                    &reading(10, "reading", now).help("Of nitrate, salt or whatever it is.").read(),
                    &mut self.reading,
                );
                let tap = "Test the tap too; some tap water carries nitrate.";
                num(f, &reading(11, "new_reading", new).help(tap), &mut self.new_reading);
                num(f, &reading(12, "target", wanted).help(end), &mut self.target);
            });
            group(f, &Group::when("what", "ammonia|nitrite"), what != What::Other, &mut |f| {
                let poison = |tag, key, label| {
                    Field::new(tag, key, label, CONCENTRATION).range(0.0, mg_l(200.0)).advised(0.0, mg_l(10.0))
                };
                let nitrogen = match what {
                    What::Nitrite => "As nitrogen. A kit that reads nitrite itself: divide by 3.28.",
                    _ => "Total, as nitrogen. A kit that reads ammonia itself: divide by 1.22.",
                };
                num(f, &poison(46, "poison", now).help(nitrogen).read(), &mut self.poison);
                num(f, &poison(47, "poison_new", new).help("Test the tap too."), &mut self.poison_new);
                num(f, &poison(48, "poison_wanted", wanted).help(end), &mut self.poison_wanted);
            });
        });
        group(f, &Group::when("job", "change|move"), is(&[Change, Move]), &mut |f| {
            let chlorine = Field::new(13, "chlorine", "Chlorine in the other water", CONCENTRATION)
                .range(0.0, mg_l(20.0))
                .advised(0.0, mg_l(4.0))
                .likely(mg_l(0.1), mg_l(2.0))
                .help("City water carries 0.2 to 2 mg/L. 0 for rain, a well (see the cautions) or a tank that fish live in.");
            num(f, &chlorine, &mut self.chlorine);
            pick(
                f,
                &Pick::new(14, "chloramine", "Is it chloramine?")
                    .help("Ask the waterworks. Standing or airing does not remove it."),
                &mut self.chloramine,
            );
            pick(f, &Pick::new(15, "remover", "Taken out with"), &mut self.remover);
            group(f, &Group::when("remover", "solution"), remover == Remover::Solution, &mut |f| {
                let field = Field::new(16, "strength", "Crystals in it", CONCENTRATION)
                    .range(0.1, 1000.0)
                    .advised(1.0, 500.0)
                    .help("Grams of the pentahydrate in a litre of solution.");
                num(f, &field, &mut self.strength);
            });
            group(f, &Group::when("remover", "label"), remover == Remover::Label, &mut |f| {
                let dose = litres(17, "label_dose", "Product")
                    .range(1e-8, 10.0)
                    .advised(1e-7, 1.0)
                    .help("Such as 5 mL, a teaspoon.");
                num(f, &dose, &mut self.label_dose);
                let water = litres(18, "label_water", "treats this much water")
                    .range(1e-4, 1000.0)
                    .advised(1e-3, 100.0)
                    .help("Taken as good for 2 mg/L of chlorine: where there is more, more is dosed.");
                num(f, &water, &mut self.label_water);
            });
        });
        group(f, &Group::when("job", "hold"), is(&[Hold]), &mut |f| {
            let fish = Field::new(19, "fish", "Fish in it", MASS)
                .range(0.001, 5000.0)
                .advised(0.01, 200.0)
                .help("All together.");
            num(f, &fish, &mut self.fish);
            let mass = Field::new(20, "mass", "Mass of one", SMALL_MASS)
                .range(2e-4, 20.0)
                .advised(5e-4, 3.0)
                .help("Small fish breathe more for their weight.")
                .way(Way::SampleMass);
            num(f, &mass, &mut self.mass);
            let time = Field::new(21, "hours", "How long", HOURS)
                .range(hours(0.05), hours(200.0))
                .advised(hours(0.25), hours(24.0))
                .help("Glued joints under pressure need a day, others a few hours.");
            num(f, &time, &mut self.hours);
            let oxygen = Field::new(22, "oxygen", "Oxygen at the start", CONCENTRATION)
                .range(0.0, mg_l(40.0))
                .advised(mg_l(4.0), mg_l(14.0))
                .likely(mg_l(5.5), mg_l(8.5))
                .help("Air the water before the fish go in.");
            num(f, &oxygen, &mut self.oxygen);
            pick(f, &Pick::new(23, "fed", "Last fed"), &mut self.fed);
            let air = Field::new(24, "air", "Air at the stone", AIR_FLOW)
                .range(0.0, l_min(2000.0))
                .advised(0.0, l_min(200.0))
                .likely(l_min(5.0), l_min(20.0))
                .help("What really bubbles: about half of what stands on the box. 0 without a pump.");
            num(f, &air, &mut self.air);
            let depth = Field::new(25, "depth", "Depth of the stone", LENGTH)
                .range(0.02, 3.0)
                .advised(0.1, 1.5)
                .help("Under the water line.")
                .detail();
            num(f, &depth, &mut self.depth);
            let ration = Field::new(26, "ration", "Their usual feed", DAILY_SHARE)
                .range(0.0, percent_day(25.0))
                .advised(percent_day(0.3), percent_day(8.0))
                .likely(percent_day(1.0), percent_day(3.0))
                .help("Of their weight, a day. It sets how hard they breathe.")
                .detail();
            num(f, &ration, &mut self.ration);
            num(f, &outage::altitude(38), &mut self.altitude);
            num(f, &oxygen::salinity(39), &mut self.salinity);
        });
        group(f, &Group::when("job", "move"), is(&[Move]), &mut |f| {
            let planned = Field::new(27, "planned", "Time you mean to take", HOURS)
                .range(hours(0.05), hours(2000.0))
                .advised(hours(0.25), hours(240.0))
                .help("From one water to the other.");
            num(f, &planned, &mut self.planned);
            pick(f, &Pick::new(42, "kept", "The water they leave was"), &mut self.kept);
            let tan = Field::new(28, "tan", "Ammonia nitrogen in the water they leave", CONCENTRATION)
                .range(0.0, mg_l(100.0))
                .advised(0.0, mg_l(10.0))
                .help("Total. Bags that travelled for long hold a lot of it. From a closed bag it is judged at pH 8, where its water comes to once it is open, or higher in hard water, or at that of either water if that is higher.");
            num(f, &tan, &mut self.tan);
            group(f, &Group::when("kept", "closed"), self.kept == Kept::Closed, &mut |f| {
                let bag = lime(45, "bag_alkalinity", "Alkalinity of that water");
                num(f, &bag.likely(mg_l(30.0), mg_l(250.0)), &mut self.bag_alkalinity);
            });
            let salt = |tag, key, label| {
                Field::new(tag, key, label, SALINITY).range(0.0, 40.0).advised(0.0, 36.0).help(
                    "Fresh water 0, sea 35. Hatcheries keep some fish in salt, and many are hauled in 3 to 8: ask.",
                )
            };
            num(f, &salt(40, "left_salt", "Salt in the water they leave"), &mut self.left_salt);
            num(f, &salt(41, "new_salt", "Salt in the other water"), &mut self.new_salt);
            let pace = Field::new(49, "pace", "Degrees an hour", TEMPERATURE_RATE)
                .was(29, TEMPERATURE_DIFFERENCE.0, k_h(1.0))
                .range(k_h(0.1), k_h(33.0))
                .advised(k_h(0.3), k_h(6.0))
                .likely(k_h(0.5), k_h(5.0))
                .help("Past the first 2.8 °C (5 °F).")
                .source(&src::SLOW_TEMPERING)
                .detail();
            num(f, &pace, &mut self.pace);
            let step = Field::new(30, "ph_step", "pH step for half a day to a day", RATIO)
                .range(0.05, 2.0)
                .advised(0.1, 1.0)
                .likely(0.3, 0.6)
                .help("0.3 can already harm.")
                .source(&src::SOMERVILLE_2014)
                .detail();
            num(f, &step, &mut self.ph_step);
        });
        group(f, &Group::when("job", "change|hold|dose"), is(&[Change, Hold, Dose]), &mut |f| {
            num(
                f,
                &lime(31, "alkalinity", "Alkalinity of their water").likely(mg_l(30.0), mg_l(120.0)),
                &mut self.alkalinity,
            );
        });
        group(f, &Group::when("job", "change"), is(&[Change]), &mut |f| {
            num(
                f,
                &lime(32, "new_alkalinity", "Alkalinity of the new water").likely(mg_l(40.0), mg_l(250.0)),
                &mut self.new_alkalinity,
            );
        });
        group(f, &Group::when("job", "dose"), is(&[Dose]), &mut |f| {
            num(f, &lime(33, "alkalinity_target", "Alkalinity wanted"), &mut self.alkalinity_target);
            pick(f, &Pick::new(34, "buffer", "Buffer"), &mut self.buffer);
            let nitrite = Field::new(35, "nitrite", "Nitrite nitrogen", CONCENTRATION)
                .range(0.0, mg_l(100.0))
                .advised(0.0, mg_l(10.0))
                .help("A kit that reads nitrite itself: divide by 3.28.")
                .read();
            num(f, &nitrite, &mut self.nitrite);
            let chloride = Field::new(36, "chloride", "Chloride", CONCENTRATION)
                .range(0.0, 20.0)
                .advised(0.0, 2.0)
                .likely(0.0, mg_l(60.0))
                .help("On the waterworks' sheet, plus 0.6 of all salt added since.");
            num(f, &chloride, &mut self.chloride);
            let salt = Field::new(37, "salt", "Salt to bring it to as well", SALINITY)
                .range(0.0, 35.0)
                .advised(0.0, 6.0)
                .help("For a salt bath of the whole system. 0 where plants grow.");
            num(f, &salt, &mut self.salt);
        });
    }
}

impl ChangeIn {
    /// The same, with what poisons as the reading where that has to come down.
    fn asked(&self) -> Self {
        let mut i = self.clone();
        if self.what != What::Other {
            (i.reading, i.new_reading, i.target) = (self.poison, self.poison_new, self.poison_wanted);
        }
        i
    }
    fn water(&self) -> Water {
        Water { temperature: self.temperature, ph: self.ph, alkalinity: self.alkalinity }
    }
    fn new_water(&self) -> Water {
        Water { temperature: self.new_temperature, ph: self.new_ph, alkalinity: self.new_alkalinity }
    }
    fn blended(&self, share: f64) -> (ThermodynamicTemperature, Ratio) {
        let (old, new) = (VOLUME.of(1.0 - share), VOLUME.of(share));
        let t = mixing::blend_temperature((old, self.temperature), (new, self.new_temperature));
        (t, carbonate::mixed_ph((old, &self.water()), (new, &self.new_water()), t))
    }
}

/// So many changes on the way are looked at for their ammonia, at the most.
const LOOKS: f64 = 60.0;

/// Ammonia where most of it is un-ionised, from now to the last change.
#[derive(Debug, Clone, Copy)]
pub struct Worst {
    /// What is un-ionised.
    unionised: MassConcentration,
    /// The pH there.
    ph: Ratio,
    /// After so many changes.
    after: f64,
}

impl ChangeIn {
    /// The reading as ammonia, with what the new water brings of it: as it falls the pH may rise, and its poisonous part has its peak on the way.
    fn worst_on_the_way(&self, changes: Option<f64>, brings: MassConcentration) -> Worst {
        let share = self.change / self.volume;
        let n = changes.filter(|n| *n > 0.0).unwrap_or(1.0);
        let at = |after: f64| {
            let (t, ph) = self.blended(1.0 - mixing::left_after(share, after).value);
            let reading = mixing::after_changes(self.reading, brings, share, after);
            Worst { unionised: unionised(t, ph, SALINITY.of(0.0), reading), ph, after }
        };
        let looks = n.min(LOOKS);
        (1..=looks as u32)
            .map(|k| at((n * f64::from(k) / looks).round()))
            .fold(at(0.0), |a, b| if b.unionised > a.unionised { b } else { a })
    }
}

/// Bringing a reading down.
#[derive(Debug, Clone)]
pub struct ChangeFound {
    /// Share changed each time.
    pub share: Ratio,
    /// Temperature after one change.
    pub blend: ThermodynamicTemperature,
    /// pH after it.
    pub ph: Ratio,
    /// The reading after it.
    pub reading: MassConcentration,
    /// Changes to the target, whole.
    pub changes: Option<f64>,
    /// Water to change, all at once.
    pub once: Option<Volume>,
    /// Run through with the overflow running.
    pub through: Option<Volume>,
    /// Temperature after all changes, if nothing brings the warmth back between them.
    pub last: ThermodynamicTemperature,
    /// pH then.
    pub last_ph: Ratio,
    /// The most to change at once.
    pub safe: Volume,
    /// The size of the change that is asked about.
    pub change: Volume,
    /// Its chlorine, in each change and in the tank.
    pub tap: Tap,
    /// Ammonia nitrogen that all changes in one day bring out of chloramine, and what of it is un-ionised, where that is not the reading itself.
    pub chloramine: Option<(MassConcentration, MassConcentration)>,
    limit: MassConcentration,
    /// Alkalinity in the end.
    pub lime: MassConcentration,
    /// The reading as what poisons, if it does.
    pub poison: Option<Poison>,
    /// The reading of the new water against what is wanted; nothing is asked of it where the reading is down already.
    reach: (MassConcentration, MassConcentration),
    bears: Bears,
}

impl ChangeFound {
    /// The pH that all changes come to, or one where there are none to make: between those of the two waters it goes one way.
    fn end(&self) -> Ratio {
        if self.changes.is_some_and(|n| n > 0.0) { self.last_ph } else { self.ph }
    }
}

/// What becomes of the chlorine of the other water.
#[derive(Debug, Clone)]
pub struct Tap {
    /// Thiosulphate to take it out.
    pub dose: Option<Mass>,
    /// Or this much of a product.
    pub product: Option<Volume>,
    /// Chlorine left in the water that the fish are in.
    pub chlorine: MassConcentration,
    /// Ammonia nitrogen that chloramine leaves there.
    pub left: MassConcentration,
}

/// A dose is measured for so much chlorine at the least, mg/L: the most that is usual, because a little more thiosulphate does no harm and a
/// little less leaves what kills (judgement).
const TAP_CHLORINE: f64 = 2.0;

/// More of a solution than this share of the water is much (judgement).
const MUCH: f64 = 0.05;

impl ChangeIn {
    /// The chlorine that a dose is measured for.
    fn counted(&self) -> MassConcentration {
        self.chlorine.max(CONCENTRATION.of(if self.chlorine.value > 0.0 { mg_l(TAP_CHLORINE) } else { 0.0 }))
    }
    /// So much of the other water, which is a share of the water that the fish are in then.
    fn tap(&self, water: Volume, share: f64, w: &mut Working) -> Tap {
        let counted = self.counted();
        let crystals = treatment::thiosulphate(counted, water, &treatment::CRYSTALS);
        let (dose, product) = match self.remover {
            Remover::None => (None, None),
            Remover::Crystals => (Some(crystals), None),
            Remover::Anhydrous => (Some(treatment::thiosulphate(counted, water, &treatment::ANHYDROUS)), None),
            Remover::Solution => (None, Some(VOLUME.of(crystals.value / self.strength.value))),
            // What chlorine a label counts on it seldom says.
            Remover::Label => (
                None,
                Some(water * (self.label_dose / self.label_water) * (counted.value / mg_l(TAP_CHLORINE)).max(1.0)),
            ),
        };
        w.step(|| {
            Step::new(
                "Thiosulphate crystals each time",
                "m = 7.0 Cl V, for 2 mg/L at the least where there is any",
                &[term("Cl", CONCENTRATION, counted), term("V", VOLUME, water)],
                term("m", SMALL_MASS, crystals),
                &src::UF_CHLORINE,
            )
        });
        let untreated = if self.remover == Remover::None { self.chlorine.value } else { 0.0 };
        let left = CONCENTRATION.of(self.nitrogen().value * share);
        Tap { dose, product, chlorine: CONCENTRATION.of(untreated * share), left }
    }
    /// Ammonia nitrogen that the other water holds once the chlorine is out of its chloramine.
    fn nitrogen(&self) -> MassConcentration {
        let chlorine = if self.chloramine.yes() { self.chlorine } else { CONCENTRATION.of(0.0) };
        treatment::chloramine_nitrogen(chlorine)
    }
    /// What the new water brings, if what is read is ammonia: kits read that of chloramine with the rest.
    fn brought(&self) -> MassConcentration {
        self.new_reading.max(self.nitrogen())
    }
}

impl Tap {
    /// What goes into the other water first, if there is chlorine in it.
    fn remedy(&self, i: &ChangeIn, words: Words) -> Option<String> {
        let whole = |m: Mass| weighed(MASS.of(mend::round_up(m.value, g(1.0))), words);
        let poured = |v: Volume| show_unit(VOLUME.0, mend::round_up(v.value, 1e-6), "mL", words.system);
        let what = match (i.remover, self.dose, self.product) {
            _ if i.chlorine.value <= 0.0 => return None,
            (Remover::Anhydrous, Some(m), _) => format!("{} of anhydrous sodium thiosulphate", whole(m)),
            (_, Some(m), _) => format!("{} of sodium thiosulphate crystals", whole(m)),
            (Remover::Label, _, Some(v)) => {
                let most = words.q(CONCENTRATION, CONCENTRATION.of(mg_l(TAP_CHLORINE)));
                return Some(format!("{} of the product, if its label is for {most} of chlorine", poured(v)));
            }
            (_, _, Some(v)) => format!("{} of the solution", poured(v)),
            _ => return None,
        };
        Some(format!("{what}, enough for {} of chlorine", words.q(CONCENTRATION, i.counted())))
    }
    /// Is there enough of it left to kill?
    fn kills(&self) -> bool {
        self.chlorine.value > mg_l(treatment::CHLORINE_CHRONIC.value)
    }
    fn level(&self, name: &'static str) -> Level {
        let most = CONCENTRATION.of(mg_l(treatment::CHLORINE_CHRONIC.value));
        Level::upper("chlorine", name, CONCENTRATION, self.chlorine, most)
    }
    fn cautions(&self, i: &ChangeIn, words: Words) -> Vec<Caution> {
        let mut all = vec![];
        if i.chlorine.value > 0.0 {
            all.push(Caution::from(
                "Chlorine kills fish at hundredths of a milligram and filter bacteria soon after. Put the dechlorinator in before the water, and test. A little more of it does no harm; much more takes up oxygen.",
                &src::EPA_CHLORINE,
            ));
        }
        if i.remover == Remover::Solution && i.counted().value * treatment::CRYSTALS.value > i.strength.value * MUCH {
            all.push(Caution::new("So thin a solution takes the place of much of the water: make it stronger."));
        }
        if i.chloramine.yes() {
            all.push(Caution::from(
                format!(
                    "Standing or airing does not remove chloramine. Taking its chlorine out leaves {} of ammonia nitrogen in the water each time, for the filter or a binder.",
                    words.q(CONCENTRATION, self.left)
                ),
                &src::CHLORAMINE,
            ));
        }
        all
    }
}

/// The water that a fish lives in.
type Bears = (ThermodynamicTemperature, ThermodynamicTemperature);

fn bears(s: &Species) -> Bears {
    (s.dies_below(), s.dies_above())
}

/// Where they may be netted: never where so sudden a cold kills, nor where they are too warm to feed ([`src::HANDLING_HEAT`]).
fn handled(i: &ChangeIn) -> Bears {
    let (s, cold) = (i.species, i.species.dies_below_from(i.temperature));
    (s.handle_from().map_or(cold, |t| t.max(cold)), s.stops_above())
}

/// Salt in a water, and the most that is counted on.
type Salty = (MassConcentration, MassConcentration);

fn salty(s: &Species, salt: MassConcentration) -> Salty {
    (salt, deadly::salt_borne(s))
}

/// Holding fish.
#[derive(Debug, Clone)]
pub struct HoldFound {
    /// Water around the fish.
    pub water: Volume,
    /// Fish per volume.
    pub density: MassDensity,
    /// Oxygen they take, low and high.
    pub demand: (MassRate, MassRate),
    /// Oxygen over the whole time, low and high.
    pub need: (Mass, Mass),
    /// What store and air give over that time.
    pub have: Mass,
    /// If the air stops: to the critical oxygen, low and high.
    pub stop: (Time, Time),
    /// Carbon dioxide at the end if none leaves.
    pub carbon_dioxide: MassConcentration,
    /// Ammonia nitrogen at the end.
    pub tan: MassConcentration,
    /// Of it un-ionised.
    pub unionised: MassConcentration,
    /// What they bear of that for long, and for so many hours.
    limit: (MassConcentration, MassConcentration),
    /// What they bear of all of it for so many hours, and what nearly all water life bears of it for one.
    limit_of_all: [MassConcentration; 2],
    /// The pH that it is judged at: with air, what that brings.
    at: Ratio,
    /// No air is on.
    airless: bool,
    /// What the water holds beside air.
    holds: MassConcentration,
    /// Critical oxygen, and what there is at the start.
    start: (MassConcentration, MassConcentration),
    /// The water they are in.
    into: ThermodynamicTemperature,
    bears: Bears,
    handled: Bears,
    salty: Salty,
    ph: Ratio,
}

impl HoldFound {
    /// All of the ammonia at the end.
    fn ammonia(&self) -> Level {
        let [all, hour] = self.limit_of_all;
        total("tan", "Ammonia nitrogen at the end", [self.unionised, self.tan], [self.limit.1, all, all], hour)
    }
}

/// Moving fish.
#[derive(Debug, Clone)]
pub struct MoveFound {
    /// Gap of temperature.
    pub gap: TemperatureInterval,
    /// Gap of pH.
    pub ph_gap: Ratio,
    /// Hours for the temperature.
    pub warm: (Time, Time),
    /// Hours for the pH.
    pub acid: (Time, Time),
    /// Hours for the salt.
    pub salt: (Time, Time),
    /// Hours to spread it over.
    pub spread: (Time, Time),
    /// The time that is meant to be taken.
    pub planned: Time,
    /// It is set by a pH so near that it may be done sooner.
    gentle: bool,
    /// Flow into the drum that begins no faster than the time taken, or the careful one if that is longer, spread evenly.
    /// None where that is longer than a drum is good for.
    pub drip: Option<VolumeRate>,
    /// Un-ionised ammonia of their water at the higher pH of the two, a bag's once it is open, in the warmer of the two.
    pub unionised: MassConcentration,
    /// The pH that it is judged at.
    at: Ratio,
    closed: bool,
    /// Un-ionised ammonia that chloramine leaves in the other water.
    chloramine: Option<MassConcentration>,
    limit: MassConcentration,
    /// Chlorine of the other water, and what takes it out of as much of it as the drum holds.
    pub tap: Tap,
    /// Temperature and pH of the other water.
    into: (ThermodynamicTemperature, Ratio),
    bears: Bears,
    /// The colder and the warmer of the two waters.
    coldest: ThermodynamicTemperature,
    warmest: ThermodynamicTemperature,
    handled: Bears,
    salty: Salty,
}

/// Doses.
#[derive(Debug, Clone)]
pub struct DoseFound {
    /// Buffer for all of it.
    pub buffer: Mass,
    /// pH after all of it.
    pub ph: Ratio,
    /// Step of pH.
    pub step: Ratio,
    /// Days to spread it over.
    pub days: f64,
    /// What each of those days takes, so that every one moves the pH alike; the first of them where they are many.
    pub portions: Vec<Mass>,
    /// Salt against nitrite.
    pub salt: Mass,
    /// Chloride after it.
    pub chloride: MassConcentration,
    /// Nitrite nitrogen, and what they bear of it with chloride enough, as there is then.
    nitrite: (MassConcentration, MassConcentration),
    /// Salt for a bath.
    pub bath: Mass,
    /// Salt in the water after all of it, and the most that is counted on.
    pub salty: Salty,
    /// The water they are in.
    water: (ThermodynamicTemperature, Ratio),
    bears: Bears,
}

/// The result.
#[derive(Debug, Clone)]
pub enum ChangeOut {
    /// Bringing a reading down.
    Change(ChangeFound),
    /// Holding fish.
    Hold(HoldFound),
    /// Moving fish.
    Move(MoveFound),
    /// Doses.
    Dose(DoseFound),
}

/// The drum with its bubbles, if any, where it stands.
fn drum(i: &ChangeIn, bubbles: Option<&Bubbles>) -> Result<Supply, OutOfRange> {
    let pressure = oxygen_saturation::pressure_at(i.altitude)?;
    reserve::standing(i.temperature, i.salinity, pressure, AREA.of(0.0), bubbles)
}

/// Parts of the way to the target at which a change is looked at.
const WAY: u32 = 8;

fn solve_change(i: &ChangeIn, w: &mut Working) -> Result<ChangeFound, Vec<FieldError>> {
    if i.change > i.volume {
        return mend::refuse("change", "is more water than the system holds", "up to the water of the system");
    }
    let share = (i.change / i.volume).value;
    let (blend, ph) = i.blended(share);
    let new = i.incoming();
    let reading = mixing::after_changes(i.reading, new, RATIO.of(share), 1.0);
    let once = mixing::share_for(i.reading, new, i.target).map(|s| i.volume * s);
    let changes = mixing::changes_for(i.reading, new, i.target, RATIO.of(share)).map(|n| (n - 1e-9).ceil().max(0.0));
    let gap = (i.new_temperature.value - i.temperature.value).abs();
    let by_warmth = if gap > mixing::STEP.value { mixing::STEP.value / gap } else { 1.0 };
    let over = |s: f64| (i.blended(s).1.value - i.ph.value).abs() - mixing::PH_STEP.value;
    let by_ph = if over(1.0) > 0.0 { roots::crossing(over, 0.0, 1.0, 1e-4) } else { 1.0 };
    // A later change can move the pH further than the first: every one on the way has to keep the step.
    let way = mixing::share_for(i.reading, new, i.target).map_or(0.0, |s| s.value);
    let starts: Vec<_> = (0..=WAY).map(|k| way * f64::from(k) / f64::from(WAY)).map(|m| (m, i.blended(m).1)).collect();
    let over = |s: f64| {
        let moved = starts.iter().map(|(m, ph)| (i.blended(m + s * (1.0 - m)).1.value - ph.value).abs());
        moved.fold(0.0, f64::max) - mixing::PH_STEP.value
    };
    let by_ph = if over(by_ph) > 1e-3 { roots::crossing(over, 0.0, by_ph, 1e-4) } else { by_ph };
    let done = mixing::left_after(RATIO.of(share), changes.unwrap_or(1.0));
    let (last, last_ph) = i.blended(1.0 - done.value);
    let left = mixing::after_changes(i.reading, new, RATIO.of(share), changes.unwrap_or(1.0));
    // With nothing to change it stays as it is.
    let end = if changes == Some(0.0) { (i.reading, i.temperature, i.ph) } else { (left, last, last_ph) };
    let safe = i.volume * RATIO.of(by_warmth.min(by_ph));
    let brought = || {
        let (none, n) = (CONCENTRATION.of(0.0), changes.filter(|n| *n > 0.0).unwrap_or(1.0));
        let all = mixing::after_changes(none, i.nitrogen(), RATIO.of(share), n);
        let (t, ph) = i.blended(1.0 - mixing::left_after(RATIO.of(share), n).value);
        (all, unionised(t, ph, none, all))
    };
    let lime = mixing::after_changes(i.alkalinity, i.new_alkalinity, RATIO.of(share), changes.unwrap_or(1.0));
    w.step(|| {
        Step::new(
            "Temperature after a change",
            "T = (V1 T1 + V2 T2)/(V1 + V2)",
            &[
                term("V1", VOLUME, i.volume - i.change),
                term("V2", VOLUME, i.change),
                term("T1", TEMPERATURE, i.temperature),
                term("T2", TEMPERATURE, i.new_temperature),
            ],
            term("T", TEMPERATURE, blend),
            &ELEMENTARY,
        )
    });
    w.step(|| {
        Step::new(
            "pH after a change",
            "alkalinity and total carbon are mixed; the pH follows from both",
            &[
                term("pH1", RATIO, i.ph),
                term("alkalinity 1", CONCENTRATION, i.alkalinity),
                term("pH2", RATIO, i.new_ph),
                term("alkalinity 2", CONCENTRATION, i.new_alkalinity),
            ],
            term("pH", RATIO, ph),
            &src::PLUMMER_BUSENBERG_1982,
        )
    });
    w.step(|| {
        Step::new(
            "Reading after a change",
            "C = Cf + (C0 - Cf)(1 - s), s = change/system",
            &[
                term("C0", CONCENTRATION, i.reading),
                term("Cf", CONCENTRATION, new),
                term("s", PERCENT, RATIO.of(share)),
            ],
            term("C", CONCENTRATION, reading),
            &ELEMENTARY,
        )
    });
    if let Some(n) = changes {
        w.step(|| {
            Step::new(
                "Changes to the target",
                if n <= 0.0 {
                    "0, at the target already"
                } else if share >= 1.0 {
                    "1, all of it being new"
                } else {
                    "n = ln((Ct - Cf)/(C0 - Cf))/ln(1 - s), rounded up"
                },
                &[term("Ct", CONCENTRATION, i.target)],
                term("n", RATIO, RATIO.of(n)),
                &ELEMENTARY,
            )
        });
    }
    w.step(|| {
        Step::new(
            "The most to change at once",
            "V = system × min(by temperature, by pH), 2.8 °C/|T2 - T1| and the share that moves the pH by 0.3 anywhere on the way to the target",
            &[
                term("system", VOLUME, i.volume),
                term("by temperature", PERCENT, RATIO.of(by_warmth)),
                term("by pH", PERCENT, RATIO.of(by_ph)),
            ],
            term("V", VOLUME, safe),
            &src::TEMPERING,
        )
    });
    Ok(ChangeFound {
        share: RATIO.of(share),
        blend,
        ph,
        reading,
        changes,
        once,
        through: mixing::run_through(i.volume, i.reading, new, i.target),
        safe,
        change: i.change,
        tap: i.tap(i.change, share, w),
        last,
        last_ph,
        chloramine: (i.chloramine.yes() && i.what != What::Ammonia).then(brought),
        limit: i.species.unionised_limit(),
        lime,
        poison: Poison::of(i, end, i.worst_on_the_way(changes, new)),
        reach: (if i.reading > i.target { new } else { CONCENTRATION.of(0.0) }, i.target),
        // A change comes within minutes.
        bears: (i.species.dies_below_from(i.temperature), i.species.dies_above()),
    })
}

/// A drum is no deeper than so many times the edge of a cube that holds as much (judgement: a barrel is 1.3 to 1.6).
const TALL: f64 = 1.6;

impl ChangeIn {
    /// The depth that the stone is counted at: no more than a drum of such a volume has.
    fn hang(&self) -> Length {
        self.depth.min(LENGTH.of(TALL * self.container.value.cbrt()))
    }
}

fn solve_hold(i: &ChangeIn, w: &mut Working) -> Result<HoldFound, Vec<FieldError>> {
    let water = handling::around(i.fish, i.container, "fish", "drum")?;
    let depth = i.hang();
    let bubbles = Bubbles { air: i.air, depth, efficiency: aeration::efficiency(MEDIUM, depth).0 };
    let supply = drum(i, Some(&bubbles)).map_err(outage::refused)?;
    let breath = respiration::daily_mean(Regression::of(i.species.id), i.temperature, i.mass, i.ration);
    let peak = if i.fed == Fed::Today { respiration::PEAK_SPREAD.value } else { 1.0 };
    let each = |factor: f64| OXYGEN_RATE.of(breath.mean.value * i.fish.value * factor);
    let demand = (each(respiration::RESTING.value), each(reserve::HANDLED.value * peak));
    let (floor, critical) = (i.species.oxygen_floor(), i.species.oxygen_critical());
    // Water that starts below the floor has to be brought up to it first. While the store lasts, the air brings less than at the floor.
    let share = reserve::store_beside_air(supply.air, water, i.hours);
    // Air drives out what is above saturation before it is breathed; a closed drum without any keeps it.
    let airless = i.air.value <= 0.0;
    let from = if airless { i.oxygen } else { i.oxygen.min(supply.saturation) };
    let store = (from.value - floor.value) * water.value;
    let brought = supply.at(floor).value * i.hours.value;
    let have = MASS.of((store * share.value + brought).max(0.0));
    let need = (demand.0 * i.hours, demand.1 * i.hours);
    let still = supply.without_air();
    let down = |d: MassRate| still.time_down(water, d, critical, from, critical).unwrap_or(HOURS.of(hours(LONG)));
    let standing = Standing {
        species: i.species,
        resting: demand.0,
        eaten: FEED_RATE.of(if i.fed == Fed::Today { i.ration.value * i.fish.value } else { 0.0 }),
        time: i.hours,
        water,
        temperature: i.temperature,
        ph: i.ph,
        salinity: i.salinity,
        aired: (!airless).then_some(i.alkalinity),
    };
    let fouled = standing.solve();
    let hour = ammonia::usepa_2013(i.temperature, within(fouled.at)).map_or(fouled.all, |c| c.0);
    let found = HoldFound {
        water,
        density: i.fish / i.container,
        demand,
        need,
        have,
        stop: (down(demand.1), down(demand.0)),
        carbon_dioxide: reserve::carbon_dioxide(CONCENTRATION.of(need.1.value / water.value)),
        tan: fouled.tan,
        unionised: fouled.unionised,
        limit: (i.species.unionised_limit(), fouled.borne),
        limit_of_all: [fouled.all, hour],
        at: fouled.at,
        airless,
        holds: supply.saturation,
        start: (critical, from),
        into: i.temperature,
        bears: bears(i.species),
        handled: handled(i),
        salty: salty(i.species, i.salinity),
        ph: i.ph,
    };
    w.step(|| {
        Step::new(
            "What they breathe, mean of a feeding day",
            "m = max(0.25 × feed, regression, routine)",
            &[term("feed", DAILY_SHARE, i.ration), term("one fish", SMALL_MASS, i.mass)],
            term("m", RESPIRATION, breath.mean),
            &oxygen_src::OXYGEN_PER_FEED,
        )
    });
    w.step(|| {
        Step::new(
            "At the most, just netted",
            if i.fed == Fed::Today { "M = m × kilograms × 2 × 1.4, fed today" } else { "M = m × kilograms × 2" },
            &[term("kilograms", MASS, i.fish)],
            term("M", OXYGEN_RATE, demand.1),
            &src::HANDLED_FISH,
        )
    });
    if !found.airless {
        w.step(|| {
            Step::new(
                "The part of the store that counts beside the air, which brings less into richer water",
                "s = x/(exp(x) - 1), x = G t/V",
                &[term("G", FLOW, supply.air), term("t", HOURS, i.hours), term("V", VOLUME, water)],
                term("s", RATIO, share),
                &oxygen_src::ASCE_2_06,
            )
        });
    }
    w.step(|| {
        Step::new(
            "Oxygen there is",
            match found.airless {
                true => "have = max(0, V (C0 - Cf)), Cf the floor of this fish",
                false => "have = max(0, V (C0 - Cf) s + G (Ca - Cf) t), Cf the floor of this fish",
            },
            &[
                term("V", VOLUME, water),
                term("C0", CONCENTRATION, from),
                term("Cf", CONCENTRATION, floor),
                term("s", RATIO, share),
                term("Ca", CONCENTRATION, supply.air_saturation),
                term("t", HOURS, i.hours),
            ],
            term("have", SMALL_MASS, have),
            &oxygen_src::ASCE_2_06,
        )
    });
    standing.steps(&fouled, w);
    Ok(found)
}

/// Longest time that is told, h.
const LONG: f64 = 240.0;

fn solve_move(i: &ChangeIn, w: &mut Working) -> MoveFound {
    let gap = TEMPERATURE_DIFFERENCE.of(i.new_temperature.value - i.temperature.value);
    let ph_gap = i.new_ph - i.ph;
    let (warm, acid) = (mixing::tempering(gap, i.pace), mixing::ph_spread(ph_gap, i.ph_step));
    let salt = mixing::salt_spread(i.left_salt, i.new_salt);
    let longest = (warm.0.max(acid.0).max(salt.0), warm.1.max(acid.1).max(salt.1));
    // What is evened out while the bag floats is no time to spread anything over.
    let spread = if longest.1.value <= FLOATED { (HOURS.of(0.0), HOURS.of(0.0)) } else { longest };
    let limit = i.species.unionised_limit();
    // The water of a closed bag loses its carbon dioxide once it is open: its pH rises whatever the other's is.
    let closed = i.kept == Kept::Closed;
    let warmest = i.temperature.max(i.new_temperature);
    let airs = || aired_ph(warmest, i.bag_alkalinity);
    let opened = i.ph.max(i.new_ph).max(if closed { airs() } else { RATIO.of(0.0) });
    let poison = unionised(warmest, opened, i.new_salt, i.tan);
    w.step(|| {
        Step::new(
            "Hours for the temperature",
            "t = max(0, |T2 - T1| - free)/pace",
            &[
                term("T2 - T1", TEMPERATURE_DIFFERENCE, gap),
                term("free", TEMPERATURE_DIFFERENCE, TEMPERATURE_DIFFERENCE.of(mixing::STEP.value)),
                term("pace", TEMPERATURE_RATE, i.pace),
            ],
            term("t", HOURS, warm.1),
            &src::TEMPERING,
        )
    });
    w.step(|| {
        Step::new(
            "Hours for the pH",
            "t = max(0, |pH2 - pH1| - min(0.3, step))/step × 24 h",
            &[term("pH2 - pH1", RATIO, ph_gap), term("step", RATIO, i.ph_step)],
            term("t", HOURS, acid.1),
            &src::SOMERVILLE_2014,
        )
    });
    w.step(|| {
        Step::new(
            if closed {
                "Un-ionised ammonia of their water once it is open"
            } else {
                "Un-ionised ammonia of their water at the higher pH of the two"
            },
            if i.new_salt.value > 0.0 {
                "TAN times its share in salt water, as on the page of ammonia"
            } else {
                "NH3-N = TAN/(1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92/T"
            },
            &[
                term("TAN", CONCENTRATION, i.tan),
                term("pH", RATIO, within(opened)),
                term("T", TEMPERATURE, warmest),
                term("S", SALINITY, i.new_salt),
            ],
            term("NH3-N", CONCENTRATION, poison),
            if closed { &src::AIRED } else { &oxygen_src::EMERSON_1975 },
        )
    });
    if salt.1.value > 0.0 {
        w.step(|| {
            Step::new(
                "Hours for the salt",
                "t = 17 days × min(1, |S1/9 g/L - 1|, |S2/9 g/L - 1|)",
                &[term("S1", SALINITY, i.left_salt), term("S2", SALINITY, i.new_salt)],
                term("t", HOURS, salt.1),
                &src::SALT_STEP,
            )
        });
    }
    let taken = i.planned.max(spread.1);
    let others = warm.1.max(salt.1);
    let gentle = acid.1 > others
        && others <= i.planned
        && ph_gap.value.abs() <= mixing::PH_NEAR.value + 1e-9
        && i.ph_step.value >= mixing::PH_STEP.value
        && i.planned.value >= mixing::NEAR_HOURS.value * hours(1.0);
    MoveFound {
        gap,
        ph_gap,
        warm,
        acid,
        salt,
        spread,
        planned: i.planned,
        gentle,
        drip: (taken.value <= IN_A_DRUM).then(|| mixing::drip(i.container, taken)),
        unionised: poison,
        at: opened,
        closed,
        chloramine: i.chloramine.yes().then(|| unionised(i.new_temperature, i.new_ph, i.new_salt, i.nitrogen())),
        limit,
        tap: i.tap(i.container, 1.0, w),
        into: (i.new_temperature, i.new_ph),
        bears: bears(i.species),
        coldest: i.temperature.min(i.new_temperature),
        warmest,
        handled: handled(i),
        salty: salty(i.species, i.new_salt),
    }
}

/// A bag floats for so long before it is opened, s.
const FLOATED: f64 = hours(0.25);
/// Longer than this fish are not kept in a drum, s (judgement): what they give off stays in it.
const IN_A_DRUM: f64 = days(1.0);

fn solve_dose(i: &ChangeIn, w: &mut Working) -> DoseFound {
    let rise = CONCENTRATION.of((i.alkalinity_target.value - i.alkalinity.value).max(0.0));
    let buffer = treatment::bicarbonate(rise, i.volume, i.buffer);
    let ph = carbonate::ph_with_bicarbonate(&i.water(), rise);
    let step = RATIO.of((ph.value - i.ph.value).abs());
    let nitrite = treatment::nitrite_of(i.nitrite);
    let salt = salt_to_hold(i.species, i.nitrite, i.chloride, i.volume);
    // What there is counts, and what goes in against nitrite.
    let there = treatment::salt_of(i.chloride).value * i.volume.value + salt.value;
    let wanted = i.salt.value * i.volume.value;
    let bath = MASS.of(if there < wanted * (1.0 - NEARLY) { wanted - there } else { 0.0 });
    let chloride = i.chloride + treatment::chloride_of(salt + bath, i.volume);
    let days = (step.value / mixing::PH_STEP.value - 1e-9).ceil().max(1.0);
    // The pH rises most with the first grams: portions of one size would break the step that sets their number.
    let given = |share: f64| {
        let wanted = i.ph.value + (ph.value - i.ph.value) * share;
        match share {
            0.0 => 0.0,
            1.0 => rise.value,
            _ => carbonate::bicarbonate_for(&i.water(), RATIO.of(wanted), rise, rise * 1e-5).value,
        }
    };
    let told = if days > TOLD { 1.0 } else { days };
    let sums: Vec<_> = (0..=told as u32).map(|k| given(f64::from(k) / days)).collect();
    let portion = |w: &[f64]| treatment::bicarbonate(CONCENTRATION.of(w[1] - w[0]), i.volume, i.buffer);
    let found = DoseFound {
        buffer,
        ph,
        step,
        days,
        portions: sums.windows(2).map(portion).collect(),
        salt,
        chloride,
        nitrite: (i.nitrite, i.species.nitrite_limit()),
        bath,
        salty: salty(i.species, treatment::salt_of(chloride)),
        water: (i.temperature, i.ph),
        bears: bears(i.species),
    };
    w.step(|| {
        Step::new(
            "Buffer",
            "m = (wanted - now) V/strength",
            &[
                term("wanted - now", CONCENTRATION, rise),
                term("V", VOLUME, i.volume),
                term("strength", RATIO, RATIO.of(i.buffer.strength().value)),
            ],
            term("m", SMALL_MASS, buffer),
            &src::STOICHIOMETRY,
        )
    });
    w.step(|| {
        Step::new(
            "pH with all of it",
            "alkalinity and carbon rise alike; the pH follows from both",
            &[term("pH now", RATIO, i.ph), term("alkalinity now", CONCENTRATION, i.alkalinity)],
            term("pH", RATIO, ph),
            &src::PLUMMER_BUSENBERG_1982,
        )
    });
    w.step(|| {
        Step::new(
            "Salt against nitrite",
            "m = (1.25 r NO2 - Cl past 30 mg/L) V/0.6066 where Cl is less than r NO2, NO2 = 3.28 NO2-N, rounded up, 5 g/L of salt at most",
            &[
                term("r", RATIO, i.species.chloride_per_nitrite()),
                term("NO2", CONCENTRATION, nitrite),
                term("Cl", CONCENTRATION, i.chloride),
                term("V", VOLUME, i.volume),
            ],
            term("m", SMALL_MASS, salt),
            i.species.tolerance.chloride.source,
        )
    });
    found
}

/// A bath that is within this share of what is wanted is there already.
const NEARLY: f64 = 0.005;
/// The most portions that are told one by one.
const TOLD: f64 = 6.0;

fn levels(_: &ChangeIn, o: &ChangeOut) -> Vec<Level> {
    let warmth = |name: &'static str, t: ThermodynamicTemperature, (low, high): Bears| {
        Level::between(
            "warmth",
            name,
            TEMPERATURE,
            (t, t),
            low,
            high,
            "colder than they live in",
            "warmer than they live in",
        )
    };
    let poison = |x: MassConcentration, limit: MassConcentration| {
        Level::upper("unionised", "Un-ionised ammonia", CONCENTRATION, x, limit)
    };
    let salt = |(is, most): Salty| deadly::salt_level("salt", is, most);
    let netted = |waters: Bears, (low, high): Bears| {
        let [cold, hot] = ["too cold to net them", "too warm to net them"];
        Level::between("netted", "Water to net them in", TEMPERATURE, waters, low, high, cold, hot)
    };
    let foul = |x: MassConcentration, limit: MassConcentration| {
        Level::upper("chloramine", "Un-ionised ammonia out of chloramine", CONCENTRATION, x, limit)
    };
    match o {
        ChangeOut::Change(c) => [
            Level::upper("step", "Water changed at once", VOLUME, c.change, c.safe),
            c.tap.level("Chlorine left in the tank"),
            warmth("Water after a change", c.blend, c.bears),
            acidity("pH in the end", c.end()),
            Level::upper("reach", "The reading in the new water", CONCENTRATION, c.reach.0, c.reach.1),
            buffered(c.lime, CONCENTRATION.of(0.0)),
        ]
        .into_iter()
        .chain(c.chloramine.map(|x| foul(x.1, c.limit)))
        .chain(c.poison.iter().flat_map(Poison::levels))
        .chain(c.poison.iter().filter_map(Poison::on_the_way))
        .collect(),
        ChangeOut::Hold(h) => {
            let mut all = vec![
                Level::upper_range("oxygen", "Oxygen for that time", SMALL_MASS, h.need, (h.have, h.have)),
                poison(h.unionised, h.limit.1),
                h.ammonia(),
                Level::upper("density", "Fish per water", STOCKING, h.density, STOCKING.of(CROWDED.value)),
                Level::upper("start", "Oxygen at the start", CONCENTRATION, h.start.0, h.start.1),
                warmth("The water they are in", h.into, h.bears),
                salt(h.salty),
                acidity("pH of the water they are in", h.ph),
            ];
            let most = CONCENTRATION.of(mg_l(reserve::CARBON_DIOXIDE_HOURS.value));
            let gas = || Level::upper("carbon_dioxide", "Carbon dioxide", CONCENTRATION, h.carbon_dioxide, most);
            all.extend(h.airless.then(gas));
            all.push(netted((h.into, h.into), h.handled));
            all
        }
        ChangeOut::Move(m) => {
            let spread = || Level::upper_range("spread", "Time to even out", HOURS, m.spread, (m.planned, m.planned));
            let mut all = vec![
                if m.gentle { spread().mild() } else { spread() },
                poison(m.unionised, m.limit),
                warmth("The other water", m.into.0, m.bears),
                acidity("pH of the other water", m.into.1),
                m.tap.level("Chlorine left in the other water"),
                salt(m.salty),
            ];
            all.extend(m.chloramine.map(|x| foul(x, m.limit)));
            all.push(netted((m.coldest, m.warmest), m.handled));
            all
        }
        ChangeOut::Dose(d) => {
            vec![
                Level::upper("ph", "pH moved by the buffer", RATIO, d.step, RATIO.of(mixing::PH_STEP.value)),
                salt(d.salty),
                Level::upper("nitrite", "Nitrite nitrogen", CONCENTRATION, d.nitrite.0, d.nitrite.1),
                warmth("The water they are in", d.water.0, d.bears),
                acidity("pH of the water they are in", d.water.1),
            ]
        }
    }
}

/// What kills fish, where it is over, in the order in which it is told: what nothing in the drum or bag makes good comes first.
const KILLS: [&str; 15] = [
    "chlorine",
    "warmth",
    "acidity",
    "salt",
    "nitrite",
    "reading",
    "chloramine",
    "netted",
    "start",
    "oxygen",
    "unionised",
    "tan",
    "carbon_dioxide",
    "way",
    "end",
];

/// What kills them first, whatever was asked.
fn first(levels: Vec<Level>) -> Vec<Level> {
    lead(levels, |l| {
        let place = KILLS.iter().rev().position(|id| *id == l.id);
        place.filter(|_| l.state() == State::Over).map_or(0.0, |k| k as f64 + 1.0)
    })
}

fn acidity(name: &'static str, ph: Ratio) -> Level {
    let [low, high] = mixing::PH_BORNE.map(|c| RATIO.of(c.value));
    Level::between(
        "acidity",
        name,
        RATIO,
        (ph, ph),
        low,
        high,
        "more acid than fish bear",
        "more alkaline than fish bear",
    )
}

/// Water change and moving fish.
pub struct Change;

impl Calculator for Change {
    type In = ChangeIn;
    type Out = ChangeOut;
    const ID: &'static str = "change";
    const TITLE: &'static str = "Water change and moving fish";
    const QUESTION: &'static str = "How do I bring it down, and move them safely?";
    const ABOUT: &'static str = "New water: blend of temperature and pH, how many changes bring a reading down, what takes the chlorine out. Holding or hauling fish in a drum: oxygen, carbon dioxide and ammonia over the hours. Moving them: the time that a gap of temperature, pH and salt should be spread over. Doses of buffer and salt. Estimates for planning; they do not replace a veterinarian.";

    fn solve(i: &ChangeIn, w: &mut Working) -> Result<ChangeOut, Vec<FieldError>> {
        Ok(match i.job {
            Job::Change => ChangeOut::Change(solve_change(&i.asked(), w)?),
            Job::Hold => ChangeOut::Hold(solve_hold(i, w)?),
            Job::Move => ChangeOut::Move(solve_move(i, w)),
            Job::Dose => ChangeOut::Dose(solve_dose(i, w)),
        })
    }

    fn outputs(o: &ChangeOut, s: &mut dyn Outputs) {
        let c = if let ChangeOut::Change(c) = o { Some(c) } else { None };
        let h = if let ChangeOut::Hold(h) = o { Some(h) } else { None };
        let m = if let ChangeOut::Move(m) = o { Some(m) } else { None };
        let d = if let ChangeOut::Dose(d) = o { Some(d) } else { None };
        out_opt(s, "changes", "Changes to the target", RATIO, c.and_then(|c| c.changes).map(|n| RATIO.of(n)));
        out_opt(s, "once", "or all at once", VOLUME, c.and_then(|c| c.once));
        out_opt(s, "through", "or run through with the overflow running", VOLUME, c.and_then(|c| c.through));
        out_opt(s, "safe", "The most to change at once", VOLUME, c.map(|c| c.safe));
        out_opt(s, "blend", "Temperature after a change", TEMPERATURE, c.map(|c| c.blend));
        out_opt(s, "ph_after", "pH after it", RATIO, c.map(|c| c.ph).or(d.map(|d| d.ph)));
        out_opt(s, "reading_after", "Reading after a change", CONCENTRATION, c.map(|c| c.reading));
        let tap = c.map(|c| &c.tap).or(m.map(|m| &m.tap));
        out_opt(s, "dose", "Thiosulphate each time", SMALL_MASS, tap.and_then(|t| t.dose));
        out_opt(s, "product", "Product each time", VOLUME, tap.and_then(|t| t.product));
        out_opt(s, "chlorine_left", "Chlorine left in the water", CONCENTRATION, tap.map(|t| t.chlorine));
        out_opt(s, "ammonia_left", "Ammonia nitrogen from chloramine", CONCENTRATION, tap.map(|t| t.left));
        out_opt(s, "density", "Fish in the drum", STOCKING, h.map(|h| h.density));
        out_opt(s, "demand_low", "Oxygen they take, at rest", OXYGEN_RATE, h.map(|h| h.demand.0));
        out_opt(s, "demand_high", "Oxygen they take, just netted", OXYGEN_RATE, h.map(|h| h.demand.1));
        out_opt(s, "stop_low", "If the air stops, at the least", MINUTES, h.map(|h| h.stop.0));
        out_opt(s, "stop_high", "If the air stops, at rest", MINUTES, h.map(|h| h.stop.1));
        out_opt(
            s,
            "carbon_dioxide",
            "Carbon dioxide at the end, if none leaves",
            CONCENTRATION,
            h.map(|h| h.carbon_dioxide),
        );
        let poison = c.and_then(|c| c.poison.as_ref()).and_then(Poison::unionised);
        out_opt(s, "tan_end", "Ammonia nitrogen at the end", CONCENTRATION, h.map(|h| h.tan));
        out_opt(
            s,
            "unionised",
            "Of it un-ionised",
            CONCENTRATION,
            h.map(|h| h.unionised).or(m.map(|m| m.unionised)).or(poison),
        );
        out_opt(s, "spread_low", "Spread it over, never less than", HOURS, m.map(|m| m.spread.0));
        out_opt(s, "spread_high", "Spread it over, to be careful", HOURS, m.map(|m| m.spread.1));
        out_opt(s, "drip", "Other water run into the drum, to begin with", FLOW, m.and_then(|m| m.drip));
        out_opt(s, "buffer_dose", "Buffer", SMALL_MASS, d.map(|d| d.buffer));
        out_opt(s, "days", "In daily portions", RATIO, d.map(|d| RATIO.of(d.days)));
        out_opt(s, "portion", "The first of them", SMALL_MASS, d.and_then(|d| d.portions.first().copied()));
        out_opt(s, "salt_dose", "Salt against nitrite", SMALL_MASS, d.map(|d| d.salt));
        out_opt(s, "bath", "Salt for the bath", MASS, d.map(|d| d.bath));
    }

    fn level(o: &ChangeOut) -> Option<Level> {
        first(levels(&ChangeIn::default(), o)).into_iter().next()
    }

    fn cautions(i: &ChangeIn, o: &ChangeOut, words: Words) -> Vec<Caution> {
        Self::report(i, o, words).cautions
    }

    fn report(i: &ChangeIn, o: &ChangeOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

/// The most fish per water that any keeper with air is told of.
const CROWDED: Coef = Coef::new(120.0, "kg/m3", &oxygen_src::MSU_DENSITY, "with pure oxygen and experience");

#[cfg(test)]
mod tests;
