use super::*;
use crate::units::{kinds::*, si::*};

fn t(c: f64) -> ThermodynamicTemperature {
    TEMPERATURE.of(celsius(c))
}
fn near(a: f64, b: f64, by: f64, what: &str) {
    assert!((a - b).abs() <= by, "{what}: {a} not {b}");
}
fn film(h: f64) -> HeatTransfer {
    quantity(h)
}

#[test]
fn walls_of_layers() {
    // 2 mm polyethylene (0.50) bare, with 25 mm EPS (0.035), with 50 mm XPS (0.033); films 200 and 8.
    let plastic = Layer { conductivity: quantity(0.50), thickness: SHORT_LENGTH.of(mm(2.0)) };
    let eps = Layer { conductivity: quantity(0.035), thickness: SHORT_LENGTH.of(mm(25.0)) };
    let xps = Layer { conductivity: quantity(0.033), thickness: SHORT_LENGTH.of(mm(50.0)) };
    let u = |layers: &[Layer]| transmittance(film(200.0), layers, air_film(VELOCITY.of(0.0))).value;
    near(u(&[plastic]), 7.46, 0.01, "bare");
    near(u(&[plastic, eps]), 1.18, 0.005, "EPS");
    near(u(&[plastic, xps]), 0.606, 0.001, "XPS");
    // The older conductivity of polyethylene, 0.45, gives 7.44.
    let older = Layer { conductivity: quantity(0.45), thickness: SHORT_LENGTH.of(mm(2.0)) };
    near(u(&[older]), 7.44, 0.01, "older");
}

/// Approved Document L of the Building Regulations for England, appendix C, table C1: solid ground floors by ISO 13370 on clay, walls of 0.3 m,
/// films of 0.17 inside and 0.04 outside, by perimeter/area and the insulation's resistance.
#[test]
fn floors_of_a_printed_table() {
    for (ratio, insulation, printed) in [
        (0.05, 0.0, 0.13),
        (0.2, 0.0, 0.37),
        (0.5, 0.0, 0.70),
        (1.0, 0.0, 1.05),
        (0.5, 0.5, 0.50),
        (1.0, 0.5, 0.68),
        (0.5, 2.0, 0.28),
        (1.0, 2.0, 0.33),
    ] {
        let inside = film(1.0 / (0.3 / GROUND.value + 0.17 + insulation));
        near(ground_loss(AREA.of(1.0), LENGTH.of(ratio), inside).value, printed, 0.006, "U");
    }
}

/// A disc on half space whose surface beside it lets nothing through: q = 4 k r dT, the shape factor 2 D of Incropera & DeWitt, table 4.1
/// (recalled). Beside a tank the ground's surface lets heat out too, so no tank loses less.
#[test]
fn a_floor_loses_no_less_than_a_disc() {
    for area in [0.3f64, 1.2, 3.0, 12.0, 50.0] {
        for held in [0.017, 0.3, 1.4] {
            let radius = (area / PI).sqrt();
            let disc = 1.0 / (held + area / (4.0 * GROUND.value * radius));
            let ours = ground_loss(AREA.of(area), LENGTH.of(TAU * radius), film(1.0 / held)).value;
            assert!(ours > disc && ours < 1.0 / held, "{area} {held}: {ours} {disc}");
        }
    }
}

/// Convection from evaporation by Bowen's ratio: `Q_conv = Q_evap gamma (Tw - Ta)/(pw - pa)`, gamma = 0.665e-3 P: Bowen 1926, FAO-56.
fn bowen(evaporative: f64, warmer: f64, drop: crate::units::Pressure) -> f64 {
    evaporative * PSYCHROMETRIC.value * evaporation::ATMOSPHERE.value * warmer / drop.value
}

#[test]
fn convection_by_plate_and_by_bowen() {
    // Hot plate facing up, 28 over 20 °C, L = 0.25 m (a round surface of 1 m across): 3.6 W/(m² K).
    let round = AREA.of(std::f64::consts::PI / 4.0);
    near(free_convection(t(28.0), t(20.0), round).value, 3.6, 0.06, "plate");
    // Bowen: 177.2 W of evaporation at 28/24 °C and 60 % carry 24.0 W of convection.
    near(bowen(177.2, 28.0 - 24.0, PRESSURE.of(1991.1)), 24.0, 0.05, "Bowen");
    // What the evaporation equation itself implies in still air: its own still term for a pressure, a kelvin for each.
    near(bowen(evaporation::STILL_AIR.value, 1.0, PRESSURE.of(1.0)), 6.0, 0.01, "still");
    // Linearised radiation between 28 and 20 °C: 5.65 W/(m² K).
    near(radiation(AREA.of(1.0), t(28.0), t(20.0)).value / 8.0, 5.65, 0.02, "radiation");
}

/// One cubic metre with 6 W/K through its walls and one square metre open, 28 °C, in air of 10 °C and 70 %.
fn garden(cover: Cover, surface: f64) -> (Vessel, Climate) {
    let v = Vessel {
        volume: VOLUME.of(1.0),
        surface: AREA.of(surface),
        cover,
        motion: RATIO.of(evaporation::QUIET.value),
        planted: [(AREA.of(0.0), Cover::Open); 2],
        wall: AREA.of(6.0),
        wall_loss: film(1.0),
        floor: AREA.of(0.0),
        floor_loss: film(0.4),
        makeup: FLOW.of(0.0),
        makeup_temperature: t(10.0),
    };
    let c = Climate { air: t(10.0), humidity: PERCENT.of(0.7), speed: VELOCITY.of(0.0), ground: t(10.0), sky: false };
    (v, c)
}

#[test]
fn a_tank_over_a_night() {
    // Losses 108 walls + 192 evaporation + 85 convection + 97 radiation = 482 W; 23.74 °C after 12 h; covered 25.1 °C.
    let (v, c) = garden(Cover::Open, 1.0);
    let l = losses(&v, &c, t(28.0));
    near(l.walls.value, 108.0, 0.1, "walls");
    near(l.evaporation.value, 192.0, 1.0, "evaporation");
    near(l.convection.value, 85.0, 1.5, "convection");
    near(l.radiation.value, 97.0, 0.5, "radiation");
    near(l.total().value, 482.0, 2.5, "all");
    near(after(&v, &c, POWER.of(0.0), t(28.0), HOURS.of(hours(12.0))).value - 273.15, 23.74, 0.05, "morning");
    let (v, c) = garden(Cover::Film, 1.0);
    near(after(&v, &c, POWER.of(0.0), t(28.0), HOURS.of(hours(12.0))).value - 273.15, 25.1, 0.05, "covered");
    // The walls alone: time constant 193.6 h, 26.92 °C after 12 h.
    let (v, c) = garden(Cover::Lid(film(0.0)), 1e-9);
    near(after(&v, &c, POWER.of(0.0), t(28.0), HOURS.of(hours(12.0))).value - 273.15, 26.92, 0.01, "walls alone");
    let back = time_to(&v, &c, POWER.of(0.0), t(28.0), t(26.92)).map_or(0.0, |x| x.value / 3600.0);
    near(back, 12.0, 0.1, "hours");
}

/// What plants stand on is under no cover: a board loses by what goes through it, wet ground what open water does.
#[test]
fn beds_keep_surfaces_of_their_own() {
    let lid = Cover::Lid(film(1.0));
    let (mut v, c) = garden(lid, 1.0);
    let lost = |v: &Vessel| losses(v, &c, t(28.0)).total().value;
    let lidded = lost(&v);
    // 18 K through 1.2 W/(m² K), and a tenth of 192 W of evaporation; openly 192 + 85 + 97 W.
    v.planted = [(AREA.of(1.0), Cover::Lid(film(1.2))), (AREA.of(0.0), Cover::Open)];
    near(lost(&v) - lidded, 18.0 * 1.2 + 19.2, 0.2, "board");
    v.planted = [(AREA.of(0.0), lid), (AREA.of(1.0), Cover::Open)];
    near(lost(&v) - lidded, 192.0 + 85.0 + 97.0, 2.5, "wet ground");
}

/// Air of 2000 m, 0.785 of sea level's. Convection goes with the density to 2/3 (free, McAdams 1954) or 0.8 (forced), and by the analogy of
/// heat and mass transfer (Chilton & Colburn 1934) evaporation per vapour pressure with the same over the pressure.
#[test]
fn thin_air_changes_little() {
    let thin = (1.0 - 2.255_77e-5 * 2000.0f64).powf(5.255_88);
    let change = |cover, air: f64, humidity: f64, speed: f64, motion: f64| {
        let (mut v, mut c) = garden(cover, 1.4);
        v.motion = RATIO.of(motion);
        (c.air, c.humidity, c.speed) = (t(air), PERCENT.of(humidity), VELOCITY.of(speed));
        let power: f64 = if speed > 0.0 { 0.8 } else { 2.0 / 3.0 };
        let l = losses(&v, &c, t(28.0));
        let more = l.evaporation.value * (thin.powf(power - 1.0) - 1.0) + l.convection.value * (thin.powf(power) - 1.0);
        more / l.total().value
    };
    for air in [-10.0, 0.0, 10.0, 18.0] {
        for (humidity, speed) in [(0.5, 0.0), (0.7, 0.0), (0.7, 1.0), (0.9, 2.0)] {
            for cover in [Cover::Open, Cover::Film] {
                let d = change(cover, air, humidity, speed, evaporation::QUIET.value);
                assert!((-0.09..0.05).contains(&d), "{cover:?} {air} {humidity} {speed}: {d}");
            }
        }
    }
    // On a cold night the sums are on the cautious side up there. The most the other way: open, broken water in dry air that is nearly as warm.
    let d = change(Cover::Open, 23.0, 0.3, 0.0, evaporation::BROKEN.value);
    assert!((0.04..0.08).contains(&d), "{d}");
}

#[test]
fn warming_up() {
    // 1000 L by 10 K: 11.61 kWh, 968 W over 12 h.
    let e = warming_energy(VOLUME.of(1.0), t(15.0), TEMPERATURE_DIFFERENCE.of(10.0)).value;
    near(e / 3.6e6, 11.61, 0.02, "kWh");
    near(e / (12.0 * 3600.0), 968.0, 1.5, "W");
}

#[test]
fn paths_and_times_agree_with_a_fine_integration() {
    for (air, gain, sky) in [(4.0, 0.0, true), (10.0, 300.0, false), (30.0, 900.0, false), (18.0, 0.0, true)] {
        let (mut v, mut c) = garden(Cover::Open, 1.3);
        v.volume = VOLUME.of(0.4);
        v.floor = AREA.of(1.0);
        v.makeup = FLOW.of(l_h(1.0));
        (c.air, c.sky) = (t(air), sky);
        let gain = POWER.of(gain);
        // Classical Runge-Kutta of minute steps.
        let capacity = water::density(t(22.0)).value * 0.4 * 4181.0;
        let rate = |x: f64| (gain.value - losses(&v, &c, TEMPERATURE.of(x)).total().value) / capacity;
        let mut x = celsius(22.0);
        for minute in 1..=1440 {
            let (k1, h) = (rate(x), 60.0);
            let k2 = rate(x + h / 2.0 * k1);
            let k3 = rate(x + h / 2.0 * k2);
            let k4 = rate(x + h * k3);
            x += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
            if minute % 480 == 0 {
                let time = MINUTES.of(minutes(f64::from(minute)));
                near(after(&v, &c, gain, t(22.0), time).value, x, 0.01, "temperature");
                let back = time_to(&v, &c, gain, t(22.0), TEMPERATURE.of(x));
                near(back.map_or(0.0, |b| b.value / time.value), 1.0, 2e-3, "time");
            }
        }
        let end = settles_at(&v, &c, gain);
        if end.value > 273.16 {
            near(losses(&v, &c, end).total().value, gain.value, 0.01, "settled");
            assert!(time_to(&v, &c, gain, t(22.0), end).is_none());
        }
    }
}

#[test]
fn water_stops_at_freezing_and_never_runs_the_wrong_way() {
    let (v, mut c) = garden(Cover::Open, 1.0);
    c.air = t(-30.0);
    near(after(&v, &c, POWER.of(0.0), t(5.0), DAYS.of(days(30.0))).value, 273.15, 1e-9, "ice");
    assert_eq!(settles_at(&v, &c, POWER.of(0.0)).value, 273.15);
    assert!(time_to(&v, &c, POWER.of(0.0), t(5.0), t(10.0)).is_none());
    assert_eq!(time_to(&v, &c, POWER.of(0.0), t(5.0), t(5.0)).map(|x| x.value), Some(0.0));
}

#[test]
fn a_clear_sky_is_colder_than_the_air() {
    // Swinbank at 10 °C: 262.9 K.
    near(sky_temperature(t(10.0)).value, 263.0, 0.2, "sky");
    let (v, mut c) = garden(Cover::Lid(film(1.0)), 1.0);
    let roofed = losses(&v, &c, t(20.0)).lid.value;
    c.sky = true;
    let open = losses(&v, &c, t(20.0)).lid.value;
    assert!(open > roofed + 5.0 && open < roofed * 2.5, "{open} {roofed}");
}
