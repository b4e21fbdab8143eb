//! Heat and heater.

mod report;
mod working;

use super::form::*;
use super::mend;
use super::outcome::*;
use super::running::KWH;
use super::sheet::Calculator;
use crate::catalog::materials::{Insulation, Wall};
use crate::catalog::sources::{Coef, climate as src, general::ELEMENTARY};
use crate::picture::{Axis, Chart, Picture, Role, Series};
use crate::science::heat::{self, Climate, Cover, Layer, Losses, Vessel};
use crate::science::{evaporation, water};
use crate::units::{kinds::*, si::*, *};
use uom::si::f64::{HeatTransfer, ThermalConductance};

static HEAT_TRANSFER_UNITS: [Unit; 2] = [
    Unit::new("W/m²K", 1.0, &["w/m2k", "w/(m2k)"]),
    Unit::new("Btu/h·ft²·°F", 5.678_263, &["btu/hft2f", "btu/(hft2f)"]),
];
static HEAT_TRANSFER_INFO: KindInfo = KindInfo {
    id: "heat transfer",
    name: "heat through an area",
    si: "W/m2/K",
    units: &HEAT_TRANSFER_UNITS,
    metric: "W/m²K",
    us: "Btu/h·ft²·°F",
    whole: false,
};
/// Heat through an area and a degree.
const HEAT_TRANSFER: Kind<HeatTransfer> = Kind::new(&HEAT_TRANSFER_INFO);
static CONDUCTANCE_UNITS: [Unit; 1] = [Unit::new("W/K", 1.0, &["w/k"])];
static CONDUCTANCE_INFO: KindInfo = KindInfo {
    id: "conductance",
    name: "heat a degree",
    si: "W/K",
    units: &CONDUCTANCE_UNITS,
    metric: "W/K",
    us: "W/K",
    whole: false,
};
const CONDUCTANCE: Kind<ThermalConductance> = Kind::new(&CONDUCTANCE_INFO);

/// What lies on the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum On {
    /// Nothing.
    #[default]
    Open,
    /// A floating film.
    Film,
    /// An insulated lid.
    Lid,
}
crate::choices!(On:
    Open = "open", "Nothing", "";
    Film = "film", "Floating film or bubble sheet", "stops evaporation, little else";
    Lid = "lid", "Insulated lid", "with gaps for pipes and air";
);

/// Where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Place {
    /// Under a roof.
    #[default]
    Room,
    /// Under the sky.
    Sky,
}
crate::choices!(Place:
    Room = "room", "In a room or under a roof", "";
    Sky = "sky", "Under the open sky", "a clear night draws heat out";
);

/// What it stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Base {
    /// The ground.
    #[default]
    Ground,
    /// A frame.
    Frame,
}
crate::choices!(Base:
    Ground = "ground", "On the ground or a slab", "";
    Frame = "frame", "On a frame, air underneath", "";
);

/// How the surface moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Motion {
    /// Quiet.
    #[default]
    Quiet,
    /// Broken by air or falls.
    Broken,
}
crate::choices!(Motion:
    Quiet = "quiet", "Quiet", "";
    Broken = "broken", "Broken by air stones or falling water", "";
);

/// Is there insulation?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lagged {
    /// Bare.
    #[default]
    Bare,
    /// Walls only.
    Walls,
    /// Walls and floor.
    All,
}
crate::choices!(Lagged:
    Bare = "bare", "Bare", "";
    Walls = "walls", "Around the walls", "";
    All = "all", "Around the walls and underneath", "";
);

/// Inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatIn {
    /// Water that is kept warm.
    pub volume: Volume,
    /// Open surface.
    pub surface: Area,
    /// Temperature to hold.
    pub water: ThermodynamicTemperature,
    /// Air on the coldest night.
    pub night: ThermodynamicTemperature,
    /// Heaters there are.
    pub heater: Power,
    /// What lies on the water.
    pub cover: On,
    /// Insulation of the lid.
    pub lid: Insulation,
    /// Its thickness.
    pub lid_thickness: Length,
    /// Where it stands.
    pub place: Place,
    /// Wall material.
    pub wall: Wall,
    /// Wall thickness.
    pub wall_thickness: Length,
    /// Insulated where.
    pub lagged: Lagged,
    /// What the walls are insulated with.
    pub insulation: Insulation,
    /// How thick.
    pub insulation_thickness: Length,
    /// What it stands on.
    pub base: Base,
    /// Coldest that the fish may get.
    pub coldest: ThermodynamicTemperature,
    /// Hottest that the fish may get.
    pub hottest: ThermodynamicTemperature,
    /// Power cut to bridge.
    pub cut: Time,
    /// Air, yearly mean.
    pub mean: ThermodynamicTemperature,
    /// Air of the hottest days, day and night.
    pub summer: ThermodynamicTemperature,
    /// Humidity.
    pub humidity: Ratio,
    /// Air speed over the water.
    pub speed: Velocity,
    /// How the surface moves.
    pub motion: Motion,
    /// Length of the night.
    pub night_length: Time,
    /// Water added.
    pub makeup: VolumeRate,
    /// Its temperature.
    pub makeup_temperature: ThermodynamicTemperature,
    /// Heat of pumps.
    pub pumps: Power,
    /// Heat of the sun in summer.
    pub sun: Power,
    /// Warm-up from.
    pub from: ThermodynamicTemperature,
    /// Price of a kilowatt-hour.
    pub price: Ratio,
    /// Tanks of one size that the water is in.
    pub tanks: Ratio,
    /// Of the surface, rafts and what is wet ground: no cover lies on plants.
    pub planted: [Area; 2],
}

impl Default for HeatIn {
    fn default() -> Self {
        let t = |c| TEMPERATURE.of(celsius(c));
        Self {
            volume: VOLUME.of(l(900.0)),
            surface: AREA.of(1.4),
            water: t(25.0),
            night: t(9.0),
            heater: POWER.of(850.0),
            cover: On::Film,
            lid: Insulation::default(),
            lid_thickness: SHORT_LENGTH.of(mm(30.0)),
            place: Place::Room,
            wall: Wall::default(),
            wall_thickness: SHORT_LENGTH.of(mm(6.0)),
            lagged: Lagged::Bare,
            insulation: Insulation::default(),
            insulation_thickness: SHORT_LENGTH.of(mm(40.0)),
            base: Base::Ground,
            coldest: t(20.0),
            hottest: t(31.0),
            cut: HOURS.of(hours(8.0)),
            mean: t(17.0),
            summer: t(26.0),
            humidity: PERCENT.of(0.7),
            speed: VELOCITY.of(0.0),
            motion: Motion::Quiet,
            night_length: HOURS.of(hours(12.0)),
            makeup: DAILY_VOLUME.of(l(20.0) / DAY),
            makeup_temperature: t(10.0),
            pumps: POWER.of(0.0),
            sun: POWER.of(0.0),
            from: t(12.0),
            price: PRICE_ENERGY.of(0.30),
            tanks: COUNT.of(1.0),
            planted: [AREA.of(0.0); 2],
        }
    }
}

impl Fields for HeatIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let (lagged, lidded) = (self.lagged != Lagged::Bare, self.cover == On::Lid);
        self.warmed(f);
        self.covered(f, lidded);
        group(f, &Group::titled("Walls and floor"), true, &mut |f| self.walled(f, lagged));
        group(f, &Group::titled("What the fish bear"), true, &mut |f| self.borne(f));
        group(f, &Group::titled("Air and money"), true, &mut |f| {
            self.air(f);
            self.money(f);
        });
        self.shared_out(f);
    }
}

fn temperature(tag: u8, key: &'static str, label: &'static str) -> Field<ThermodynamicTemperature> {
    Field::new(tag, key, label, TEMPERATURE)
}

/// The fields, group by group.
impl HeatIn {
    /// The water, the night and the heaters.
    fn warmed(&mut self, f: &mut dyn Form) {
        let volume = Field::new(1, "volume", "Water kept warm", VOLUME)
            .range(l(10.0), 200.0)
            .advised(l(50.0), 50.0)
            .help("Tanks, beds and sump together.")
            .way(Way::TapeVolume);
        num(f, &volume, &mut self.volume);
        let surface = Field::new(2, "surface", "Open water surface", AREA)
            .range(0.02, 400.0)
            .advised(0.05, 100.0)
            .help("All surfaces that air touches, seen from above.");
        num(f, &surface, &mut self.surface);
        let set = temperature(3, "water", "Water temperature to hold")
            .range(celsius(1.0), celsius(40.0))
            .advised(celsius(5.0), celsius(34.0))
            .help("What the thermostat is set to.");
        num(f, &set, &mut self.water);
        let night = temperature(4, "night", "Air on the coldest night")
            .range(celsius(-45.0), celsius(40.0))
            .advised(celsius(-25.0), celsius(28.0))
            .likely(celsius(0.0), celsius(14.0))
            .help("Where the tank stands. A thermometer that keeps its lowest reading tells.");
        num(f, &night, &mut self.night);
        let heater = Field::new(5, "heater", "Heaters you have", POWER)
            .range(0.0, 50e3)
            .advised(0.0, 10e3)
            .help("Watts on the labels, all together. 0 if none.");
        num(f, &heater, &mut self.heater);
    }
    /// What lies on the water, and what is over it.
    fn covered(&mut self, f: &mut dyn Form, lidded: bool) {
        pick(
            f,
            &Pick::new(6, "cover", "On the water")
                .help("Most of the heat leaves by the open surface. A system’s beds stay open."),
            &mut self.cover,
        );
        group(f, &Group::when("cover", "lid"), lidded, &mut |f| {
            pick(f, &Pick::new(7, "lid", "The lid is made of"), &mut self.lid);
            let thick = Field::new(8, "lid_thickness", "Thickness of the lid", SHORT_LENGTH)
                .range(0.0, mm(400.0))
                .advised(mm(3.0), mm(150.0))
                .help("The insulating part alone.");
            num(f, &thick, &mut self.lid_thickness);
        });
        pick(f, &Pick::new(9, "place", "Where it stands"), &mut self.place);
    }
    fn walled(&mut self, f: &mut dyn Form, lagged: bool) {
        pick(f, &Pick::new(10, "wall", "Walls are of").detail(), &mut self.wall);
        let thick = Field::new(11, "wall_thickness", "Wall thickness", SHORT_LENGTH)
            .range(mm(0.2), mm(500.0))
            .advised(mm(0.5), mm(300.0))
            .help("It hardly matters for plastic.")
            .detail();
        num(f, &thick, &mut self.wall_thickness);
        pick(f, &Pick::new(12, "lagged", "Insulation"), &mut self.lagged);
        group(f, &Group::when("lagged", "walls|all"), lagged, &mut |f| {
            pick(f, &Pick::new(13, "insulation", "Insulated with"), &mut self.insulation);
            let thick = Field::new(14, "insulation_thickness", "Thickness of the insulation", SHORT_LENGTH)
                .range(mm(1.0), mm(500.0))
                .advised(mm(5.0), mm(200.0))
                .help("Dry. Wet insulation insulates little.");
            num(f, &thick, &mut self.insulation_thickness);
        });
        pick(f, &Pick::new(15, "base", "It stands"), &mut self.base);
    }
    fn borne(&mut self, f: &mut dyn Form) {
        let low = temperature(16, "coldest", "Coldest they may get")
            .range(celsius(0.0), celsius(40.0))
            .advised(celsius(2.0), celsius(30.0))
            .help("Where this fish stops feeding, not where it dies.");
        num(f, &low, &mut self.coldest);
        let high = temperature(17, "hottest", "Hottest they may get")
            .range(celsius(1.0), celsius(45.0))
            .advised(celsius(10.0), celsius(36.0))
            .help("Warm water also holds less oxygen.");
        num(f, &high, &mut self.hottest);
        let cut = Field::new(18, "cut", "Power cut to bridge", HOURS)
            .range(hours(0.1), hours(240.0))
            .advised(hours(0.5), hours(96.0))
            .help("The longest that you want to be ready for.");
        num(f, &cut, &mut self.cut);
    }
    /// The air, and how the water lies in it.
    fn air(&mut self, f: &mut dyn Form) {
        let mean = temperature(19, "mean", "Air, mean of the year")
            .range(celsius(-30.0), celsius(40.0))
            .advised(celsius(-5.0), celsius(30.0))
            .help("Where the tank stands. In winter the ground below is taken halfway from this to the coldest night.");
        num(f, &mean, &mut self.mean);
        let summer = temperature(20, "summer", "Air in the hottest spell")
            .range(celsius(-10.0), celsius(45.0))
            .advised(celsius(5.0), celsius(40.0))
            .help("Mean of day and night over the hottest days.");
        num(f, &summer, &mut self.summer);
        let humidity = Field::new(21, "humidity", "Humidity of the air", PERCENT)
            .range(0.0, 1.0)
            .advised(0.2, 1.0)
            .likely(0.5, 0.9)
            .help("Relative humidity. Dry air draws more out of the water.")
            .detail();
        num(f, &humidity, &mut self.humidity);
        let speed = Field::new(22, "speed", "Air speed over the water", VELOCITY)
            .range(0.0, 20.0)
            .advised(0.0, 6.0)
            .likely(0.0, 0.5)
            .help("0 in a closed room; 1 to 3 m/s (3 to 10 ft/s) in a yard. Until it is entered, 1.5 (5) count under the sky.")
            .detail();
        num(f, &speed, &mut self.speed);
        pick(f, &Pick::new(23, "motion", "The surface is").detail(), &mut self.motion);
        let length = Field::new(24, "night_length", "Length of the night", HOURS)
            .range(hours(1.0), hours(24.0))
            .advised(hours(7.0), hours(18.0))
            .help("From dusk to the coldest hour of the morning.")
            .detail();
        num(f, &length, &mut self.night_length);
    }
    /// What else warms or chills the water, the first filling, and the price.
    fn money(&mut self, f: &mut dyn Form) {
        let makeup = Field::new(25, "makeup", "Fresh water a day", DAILY_VOLUME)
            .range(0.0, 1e-2)
            .advised(0.0, 1e-4)
            .help("Top-up and exchange. It has to be warmed too.")
            .detail();
        num(f, &makeup, &mut self.makeup);
        let cold = temperature(26, "makeup_temperature", "Its temperature")
            .range(celsius(0.0), celsius(40.0))
            .advised(celsius(3.0), celsius(30.0))
            .help("Tap water in winter.")
            .detail();
        num(f, &cold, &mut self.makeup_temperature);
        let pumps = Field::new(27, "pumps", "Heat of pumps in the water", POWER)
            .range(0.0, 5e3)
            .advised(0.0, 1e3)
            .help("The watts of submerged pumps. It saves on the bill but is not counted on for the coldest night.")
            .detail();
        num(f, &pumps, &mut self.pumps);
        let sun = Field::new(28, "sun", "Heat of the sun in the hottest spell", POWER)
            .range(0.0, 50e3)
            .advised(0.0, 20e3)
            .help("Mean of day and night. In full sun about 250 W for each square metre of open water (23 W for a square foot), which counts under the sky until it is entered; 0 in a room.")
            .source(&src::SUN_ON_WATER)
            .detail();
        num(f, &sun, &mut self.sun);
        let from = temperature(29, "from", "Warm up from")
            .range(celsius(0.0), celsius(40.0))
            .advised(celsius(2.0), celsius(30.0))
            .help("For the first filling.")
            .detail();
        num(f, &from, &mut self.from);
        let price = Field::new(30, "price", "Price of electricity", PRICE_ENERGY)
            .range(0.0, 1000.0)
            .advised(0.0, 100.0)
            .help("In your money.");
        num(f, &price, &mut self.price);
    }
    /// The tanks it is in, and what of it is planted.
    fn shared_out(&mut self, f: &mut dyn Form) {
        let tanks = Field::new(31, "tanks", "In how many tanks it is", COUNT)
            .range(1.0, 200.0)
            .advised(1.0, 20.0)
            .help("Taken as round and alike. Several small ones have more wall to lose heat through than a large one. A system counts its own where they are more.")
            .detail();
        num(f, &tanks, &mut self.tanks);
        let planted = |tag, key, label| {
            Field::new(tag, key, label, AREA)
                .range(0.0, 400.0)
                .advised(0.0, 100.0)
                .help("No cover lies on plants. A system counts its own.")
                .detail()
        };
        num(f, &planted(32, "rafts", "Of the surface, rafts"), &mut self.planted[0]);
        num(f, &planted(33, "ground", "Of the surface, beds of a medium"), &mut self.planted[1]);
    }
}

/// What each of two heaters should give, as a share of the need.
const OF_TWO: Coef = Coef::new(0.6, "1", &src::TWO_HEATERS, "each");
/// Heaters commonly sold, W (common practice).
const SIZES: [f64; 16] =
    [25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0, 1500.0, 2000.0, 3000.0];

/// The heaters that are sold and give at least `watts`: as few as can be, and how large each.
fn sold(watts: f64) -> (f64, f64) {
    let largest = SIZES[SIZES.len() - 1];
    let n = (watts / largest - 1e-9).ceil().max(1.0);
    (n, SIZES.into_iter().find(|s| *s >= watts / n - 1e-9).unwrap_or(largest))
}

/// The same in words, such as `a heater of 500 W` or `2 heaters of 2 000 W`.
fn in_shops((n, each): (f64, f64), words: Words) -> String {
    let each = words.q(POWER, POWER.of(each));
    if n > 1.0 { format!("{} heaters of {each}", words.plain(n)) } else { format!("a heater of {each}") }
}

/// The result.
#[derive(Debug, Clone)]
pub struct HeatOut {
    /// Losses on the coldest night.
    pub night: Losses,
    /// Losses at the mean of the year.
    pub mean: Losses,
    /// Heaters there are.
    pub heater: Power,
    /// Heaters wanted, reserve included.
    pub wanted: Power,
    /// Heaters to get, as they are sold; none where nothing is lost.
    pub get: Option<Power>,
    /// Each of two.
    pub of_two: Power,
    /// Steady temperature with the heaters full on, coldest night.
    pub holds: ThermodynamicTemperature,
    /// Temperature in the morning after the coldest night, heaters on.
    pub morning: ThermodynamicTemperature,
    /// And without a heater.
    pub morning_off: ThermodynamicTemperature,
    /// Temperature at the end of the power cut.
    pub cut_end: ThermodynamicTemperature,
    /// Hours without power until the coldest that the fish may get.
    pub hours: Option<Time>,
    /// Energy to warm the water up.
    pub warm_energy: Energy,
    /// Time to warm it up with the heaters there are, at the mean air.
    pub warm_time: Option<Time>,
    /// Heating energy of a month like the mean of the year.
    pub month: Energy,
    /// Of a month as cold as the coldest night.
    pub cold_month: Energy,
    /// Money for those two.
    pub cost: [Ratio; 2],
    /// Where the water settles in the hottest spell, the mean of day and night.
    pub summer: ThermodynamicTemperature,
    /// How warm it gets in its afternoons.
    pub afternoon: ThermodynamicTemperature,
    /// Heat to take out, day and night, so that the afternoons are no hotter than they may get.
    pub cooling: Power,
    /// Water evaporated a day at the mean air.
    pub evaporated: VolumeRate,
    /// The same in the hottest spell, no less than at the mean.
    pub evaporated_hot: VolumeRate,
    /// From the water to hold down to the coldest they may get.
    pub may_fall: TemperatureInterval,
    /// Up to the hottest.
    pub may_rise: TemperatureInterval,
    set: ThermodynamicTemperature,
    /// The water when the power fails.
    start: ThermodynamicTemperature,
    /// Where it would settle in the hottest spell with every heater stuck on.
    stuck: ThermodynamicTemperature,
    cut: Time,
}

/// Water that is about to freeze, K.
pub(crate) const ICE: f64 = 273.25;

/// Nothing is hotter than boiling water, K.
const BOILING: f64 = celsius(100.0);
/// How much warmer the air is on a hot afternoon than in the mean of the day, under a roof and under the sky.
const AFTERNOON: [Coef; 2] =
    [Coef::new(4.0, "K", &src::DAY_SWING, "under a roof"), Coef::new(6.0, "K", &src::DAY_SWING, "under the sky")];

/// Wind over water in a yard, and sun on open water in the hottest spell, where nobody has entered them.
const YARD_WIND: Coef = Coef::new(1.5, "m/s", &src::YARD_WIND, "under the open sky");
const FULL_SUN: Coef = Coef::new(250.0, "W/m2", &src::SUN_ON_WATER, "mean of day and night, the low end");
/// What a shade cloth lets through.
const IN_SHADE: Coef = Coef::new(0.25, "1", &src::SHADE_CLOTH, "of the sun");

/// Where the water settles in the hottest spell, and how warm its afternoons get, with so many watts of heaters that do not switch off.
fn warmest(i: &HeatIn, heaters: Power) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
    let (vessel, hot) = (i.vessel(), i.hot());
    let mean = heat::settles_at(&vessel, &hot, heaters + i.pumps + i.sun());
    let swing = heat::day_swing(&vessel, &hot, mean, i.sun(), i.air_swing());
    (mean, TEMPERATURE.of((mean.value + swing.value).min(BOILING)))
}

/// How warm an afternoon of the hottest spell gets with heaters that a thermostat no longer switches off.
fn stuck(i: &HeatIn, heaters: Power) -> ThermodynamicTemperature {
    warmest(i, heaters).1
}

impl HeatIn {
    /// What a cover may lie on.
    pub fn bare(&self) -> Area {
        let [rafts, ground] = self.planted();
        (self.surface - rafts - ground).max(AREA.of(0.0))
    }
    /// What plants stand on, no more than there is.
    fn planted(&self) -> [Area; 2] {
        let all = self.planted[0] + self.planted[1];
        let fits = if all > self.surface { self.surface / all } else { RATIO.of(1.0) };
        self.planted.map(|a| a * fits)
    }
    /// Under the sky, which draws heat out by night, nobody has entered a wind or a sun of nothing: what is usual counts.
    fn unsaid(&self, entered: f64) -> bool {
        self.place == Place::Sky && entered <= 0.0
    }
    /// Air speed over the water that counts.
    pub(crate) fn wind(&self) -> Velocity {
        if self.unsaid(self.speed.value) { VELOCITY.of(YARD_WIND.value) } else { self.speed }
    }
    /// Heat of the sun in the hottest spell that counts.
    pub(crate) fn sun(&self) -> Power {
        let open = if self.cover == On::Lid { AREA.of(0.0) } else { self.bare() };
        let whole = POWER.of(FULL_SUN.value * open.value);
        if self.unsaid(self.sun.value) { whole } else { self.sun }
    }
    /// What is left of that in good shade.
    pub(crate) fn shaded(&self) -> Power {
        let left = if self.place == Place::Sky { IN_SHADE.value } else { 0.0 };
        POWER.of((self.sun().value * left).round())
    }
    /// Round all tanks together.
    fn around(&self) -> Length {
        2.0 * (self.surface * self.tanks * std::f64::consts::PI).sqrt()
    }
    /// The wall, and the insulation on it.
    fn layers(&self) -> [Layer; 2] {
        [
            Layer::of(&self.wall.0.conductivity, self.wall_thickness),
            Layer::of(&self.insulation.0.conductivity, self.insulation_thickness),
        ]
    }
    /// How many of them the floor has.
    fn layers_under(&self) -> usize {
        1 + usize::from(self.lagged == Lagged::All)
    }
    /// Between the water and the ground.
    fn inside(&self) -> HeatTransfer {
        let (layers, n) = (self.layers(), self.layers_under());
        heat::transmittance(HEAT_TRANSFER.of(heat::WATER_FILM.value), &layers[..n], HEAT_TRANSFER.of(f64::INFINITY))
    }
    fn air_swing(&self) -> TemperatureInterval {
        TEMPERATURE_DIFFERENCE.of(AFTERNOON[usize::from(self.place == Place::Sky)].value)
    }
    fn vessel(&self) -> Vessel {
        let films = (HEAT_TRANSFER.of(heat::WATER_FILM.value), heat::air_film(self.wind()));
        let layers = self.layers();
        let walls = if self.lagged == Lagged::Bare { &layers[..1] } else { &layers[..] };
        let under = &layers[..self.layers_under()];
        // Upright round tanks, alike, of this volume and surface together.
        let depth = self.volume.value / self.surface.value;
        let side = self.around().value * depth;
        let wall_loss = heat::transmittance(films.0, walls, films.1);
        let board = |of: &Insulation, thick| {
            Cover::Lid(heat::transmittance(films.0, &[Layer::of(&of.0.conductivity, thick)], films.1))
        };
        let (wall_area, floor_area, mean_loss) = match self.base {
            Base::Ground => (side, self.surface.value, wall_loss),
            Base::Frame => {
                let floor = heat::transmittance(films.0, under, films.1);
                let all = side + self.surface.value;
                let mean = (wall_loss.value * side + floor.value * self.surface.value) / all;
                (all, 0.0, HEAT_TRANSFER.of(mean))
            }
        };
        Vessel {
            volume: self.volume,
            surface: self.bare(),
            cover: match self.cover {
                On::Open => Cover::Open,
                On::Film => Cover::Film,
                On::Lid => board(&self.lid, self.lid_thickness),
            },
            planted: [
                (self.planted()[0], board(&Insulation::default(), SHORT_LENGTH.of(heat::RAFT_BOARD.value))),
                (self.planted()[1], Cover::Open),
            ],
            motion: RATIO.of(match self.motion {
                Motion::Quiet => evaporation::QUIET.value,
                Motion::Broken => evaporation::BROKEN.value,
            }),
            wall: AREA.of(wall_area),
            wall_loss: mean_loss,
            floor: AREA.of(floor_area),
            floor_loss: heat::ground_loss(self.surface, self.around(), self.inside()),
            makeup: self.makeup,
            makeup_temperature: self.makeup_temperature,
        }
    }
    fn climate(&self, air: ThermodynamicTemperature, ground: ThermodynamicTemperature) -> Climate {
        Climate { air, humidity: self.humidity, speed: self.wind(), ground, sky: self.place == Place::Sky }
    }
    /// The coldest night, after weeks that chilled the ground.
    fn cold(&self) -> Climate {
        let (mean, follows) = (self.mean.value, heat::GROUND_FOLLOWS.value);
        self.climate(self.night, TEMPERATURE.of(mean + (self.night.value - mean) * follows))
    }
    /// Until water without a heater is at `to` on such a night; nothing if it never is.
    pub(crate) fn until(&self, to: ThermodynamicTemperature) -> Option<Time> {
        heat::time_to(&self.vessel(), &self.cold(), POWER.of(0.0), self.water, to)
    }
    /// Where it is after so many times.
    pub(crate) fn on_the_way(&self, time: Time, steps: u32) -> Vec<(Time, ThermodynamicTemperature)> {
        heat::path(&self.vessel(), &self.cold(), POWER.of(0.0), self.water, time, steps)
    }
    /// How far the first filling is warmed.
    fn to_warm(&self) -> TemperatureInterval {
        TEMPERATURE_DIFFERENCE.of((self.water.value - self.from.value).max(0.0))
    }
    /// The hottest spell, the ground as warm.
    fn hot(&self) -> Climate {
        self.climate(self.summer, self.summer)
    }
}

/// The main level.
fn heater_level(o: &HeatOut) -> Level {
    let asked = POWER.of(o.night.total().value.max(0.0));
    Level::upper("heater", "Heating on the coldest night", POWER, asked, o.heater)
}

/// What is held past what they bear is so whatever the weather does.
fn asked(moved: f64, may: TemperatureInterval) -> TemperatureInterval {
    TEMPERATURE_DIFFERENCE.of(moved.max(-may.value).max(0.0))
}

fn cut_level(set: ThermodynamicTemperature, end: ThermodynamicTemperature, may: TemperatureInterval) -> Level {
    let fall = asked(set.value - end.value, may);
    Level::upper("cut", "Cooling in a power cut that night", TEMPERATURE_DIFFERENCE, fall, may)
}

/// A power cut for one tank of a system, whose pump stands still then: it cools alone, from where all the water was in the morning.
pub(crate) fn cut_alone(alone: &HeatIn, all: &HeatOut) -> Level {
    let end = heat::after(&alone.vessel(), &alone.cold(), POWER.of(0.0), all.morning, alone.cut);
    cut_level(alone.water, end, TEMPERATURE_DIFFERENCE.of(alone.water.value - alone.coldest.value.max(ICE)))
}

/// Heaters, a power cut, the hottest spell.
pub(crate) fn levels(_: &HeatIn, o: &HeatOut) -> Vec<Level> {
    let rise = asked(o.afternoon.value - o.set.value, o.may_rise);
    vec![
        heater_level(o),
        cut_level(o.set, o.cut_end, o.may_fall),
        Level::upper("summer", "Warming in the hottest spell", TEMPERATURE_DIFFERENCE, rise, o.may_rise),
    ]
}

/// A power cut or the hottest spell before the heaters, where it is over and the worst.
fn first(levels: Vec<Level>) -> Vec<Level> {
    lead(levels, |l| if l.id == "heater" || l.state() == State::Over { l.fullness() } else { 0.0 })
}

/// Heat and heater.
pub struct Heat;

impl Calculator for Heat {
    type In = HeatIn;
    type Out = HeatOut;
    const ID: &'static str = "heat";
    const TITLE: &'static str = "Heat and heater";
    const QUESTION: &'static str = "Which heater, and how cold by morning?";
    const ANSWER: &'static str = "get";
    const ABOUT: &'static str = "What a tank loses through walls, floor, lid and above all its open surface; the heater it takes, how far the water falls over a night and a power cut, what it costs, what a cover or insulation saves, and whether the hottest spell is too hot. The water is taken as mixed and the air of a night as steady, so it is on the cautious side for a short one. The ground is taken as clay: wet sand takes a third more, dry ground a third less. Evaporation is only known to about a quarter; air is taken as at sea level, which at 2\u{202f}000 m (6\u{202f}600 ft) is up to 9 % off. It does not size the heating of a greenhouse.";

    fn solve(i: &HeatIn, w: &mut Working) -> Result<HeatOut, Vec<FieldError>> {
        let vessel = i.vessel();
        let (cold, mean, hot) = (i.cold(), i.climate(i.mean, i.mean), i.hot());
        let at_night = heat::losses(&vessel, &cold, i.water);
        let at_mean = heat::losses(&vessel, &mean, i.water);
        let none = POWER.of(0.0);
        let loss = at_night.total();
        let wanted = POWER.of(loss.value.max(0.0) / ENOUGH);
        let (n, each) = sold(wanted.value);
        let get = (loss.value > 0.0).then(|| POWER.of(n * each));
        // Two together are no less than one alone.
        let of_two = POWER.of(wanted.value * ENOUGH * OF_TWO.value).max(get.map_or(none, |w| w / 2.0));
        let clipped = |t: ThermodynamicTemperature| if t > i.water { i.water } else { t };
        let holds = heat::settles_at(&vessel, &cold, i.heater);
        let morning = if i.heater >= loss {
            i.water
        } else {
            clipped(heat::after(&vessel, &cold, i.heater, i.water, i.night_length))
        };
        let morning_off = heat::after(&vessel, &cold, none, i.water, i.night_length);
        // Heaters that do not hold the water leave less warmth to a power cut, none the least: in the morning it is worst.
        let start = morning;
        let cut_end = heat::after(&vessel, &cold, none, start, i.cut);
        // Ice is too cold for any fish.
        let coldest = if i.coldest.value > ICE { i.coldest } else { TEMPERATURE.of(ICE) };
        // Where there is none to fail, from the evening on.
        let from = if i.heater.value > 0.0 { start } else { i.water };
        let hours = if coldest < from { heat::time_to(&vessel, &cold, none, from, coldest) } else { None };
        let rise = i.to_warm();
        let warm_energy = heat::warming_energy(i.volume, i.from, rise);
        let warm_time = if rise.value > 0.0 {
            heat::time_to(&vessel, &mean, i.heater + i.pumps, i.from, i.water)
        } else {
            Some(HOURS.of(0.0))
        };
        let month_of = |l: &Losses| ENERGY.of((l.total() - i.pumps).value.max(0.0) * months(1.0));
        let (month, cold_month) = (month_of(&at_mean), month_of(&at_night));
        let cost = [month, cold_month].map(|e| MONEY.of(e.value / KWH * i.price.value));
        let gains = i.pumps + i.sun();
        let (summer, afternoon) = warmest(i, none);
        let held = TEMPERATURE.of((i.hottest.value - (afternoon.value - summer.value)).max(celsius(0.0)));
        let cooling = POWER.of((gains - heat::losses(&vessel, &hot, held).total()).value.max(0.0));
        let gone = |l: &Losses, t: ThermodynamicTemperature| {
            DAILY_VOLUME.of((l.evaporation / evaporation::latent_heat(t) / water::density(t)).value.max(0.0))
        };
        let evaporated = gone(&at_mean, i.water);
        let evaporated_hot = gone(&heat::losses(&vessel, &hot, summer), summer).max(evaporated);
        let out = HeatOut {
            night: at_night,
            mean: at_mean,
            heater: i.heater,
            wanted,
            get,
            of_two,
            holds,
            morning,
            morning_off,
            cut_end,
            hours,
            warm_energy,
            warm_time,
            month,
            cold_month,
            cost,
            summer,
            afternoon,
            cooling,
            evaporated,
            evaporated_hot,
            may_fall: TEMPERATURE_DIFFERENCE.of(i.water.value - coldest.value),
            may_rise: TEMPERATURE_DIFFERENCE.of(i.hottest.value - i.water.value),
            set: i.water,
            start,
            stuck: stuck(i, i.heater),
            cut: i.cut,
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &HeatOut, s: &mut dyn Outputs) {
        out(s, "loss", "Loss on the coldest night", POWER, o.night.total());
        out(s, "loss_walls", "of it through walls", POWER, o.night.walls);
        out(s, "loss_floor", "of it to the ground", POWER, o.night.floor);
        out(s, "loss_evaporation", "of it by evaporation", POWER, o.night.evaporation);
        out(s, "loss_convection", "of it to the air over the water", POWER, o.night.convection);
        out(s, "loss_radiation", "of it by radiation", POWER, o.night.radiation);
        out(s, "loss_lid", "of it through the lid", POWER, o.night.lid);
        out(s, "loss_makeup", "of it warming fresh water", POWER, o.night.makeup);
        out_opt(s, "get", "Heaters that hold it, as sold", POWER, o.get);
        out(s, "heater_wanted", "Heaters wanted, with reserve", POWER, o.wanted);
        out(s, "heater_of_two", "or two of at least", POWER, o.of_two);
        out(s, "morning", "In the morning, heaters on", TEMPERATURE, o.morning);
        out(s, "morning_off", "In the morning without heat", TEMPERATURE, o.morning_off);
        out(s, "cut_end", "At the end of the power cut", TEMPERATURE, o.cut_end);
        out_opt(s, "hours_to_cold", "Until the coldest they may get, without power", HOURS, o.hours);
        out(s, "holds", "What the heaters could hold on that night", TEMPERATURE, o.holds);
        out(s, "loss_mean", "Loss at the mean of the year", POWER, o.mean.total());
        span(s, "energy_month", "Heating a month, mean to coldest", ENERGY, o.month, o.cold_month);
        span(s, "cost_month", "Money a month, mean to coldest", MONEY, o.cost[0], o.cost[1]);
        out(s, "warm_energy", "To warm it up", ENERGY, o.warm_energy);
        out_opt(s, "warm_time", "Time that takes", HOURS, o.warm_time);
        out(s, "summer", "Settles at, hottest spell", TEMPERATURE, o.summer);
        out(s, "afternoon", "In its afternoons, about", TEMPERATURE, o.afternoon);
        out(s, "cooling", "Heat to take out then", POWER, o.cooling);
        out(s, "evaporated", "Water that evaporates", DAILY_VOLUME, o.evaporated);
    }

    fn level(o: &HeatOut) -> Option<Level> {
        first(levels(&HeatIn::default(), o)).into_iter().next()
    }

    fn cautions(i: &HeatIn, o: &HeatOut, words: Words) -> Vec<Caution> {
        report::cautions(i, o, words)
    }

    fn report(i: &HeatIn, o: &HeatOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

#[cfg(test)]
mod tests;
