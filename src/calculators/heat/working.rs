//! The working of heat, step by step.

use super::*;

/// Every step, in the order in which the sums hang on each other.
pub(super) fn steps(i: &HeatIn, o: &HeatOut, w: &mut Working) {
    let (vessel, cold) = (i.vessel(), i.cold());
    // Water without plants, and what those stand on as one sum.
    let over = heat::losses(&Vessel { planted: [(AREA.of(0.0), Cover::Open); 2], ..vessel }, &cold, i.water);
    walls(i, &vessel, o, w);
    if i.base == Base::Ground {
        ground(i, &vessel, &cold, o, w);
    }
    if vessel.surface.value > 0.0 {
        surface(i, &vessel, &cold, &over, w);
    }
    all(&over, o, w);
    cut(i, heat::losses(&vessel, &cold, o.start).total(), o, w);
    energy(i, o, w);
}

fn walls(i: &HeatIn, vessel: &Vessel, o: &HeatOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Heat through the walls",
            "UA = U A, U = 1/(1/h_i + sum t/k + 1/h_o)",
            &[
                term("h_i", HEAT_TRANSFER, HEAT_TRANSFER.of(heat::WATER_FILM.value)),
                term("h_o", HEAT_TRANSFER, heat::air_film(i.wind())),
                term("A", AREA, vessel.wall),
                term("U", HEAT_TRANSFER, vessel.wall_loss),
            ],
            term("UA", CONDUCTANCE, CONDUCTANCE.of((vessel.wall_loss * vessel.wall).value)),
            &src::ISO_6946,
        )
    });
    w.step(|| {
        Step::new(
            "Loss through the walls, coldest night",
            "Q walls = UA (Tw - Ta)",
            &[term("Tw", TEMPERATURE, i.water), term("Ta", TEMPERATURE, i.night)],
            term("Q walls", POWER, o.night.walls),
            &ELEMENTARY,
        )
    });
}

fn ground(i: &HeatIn, vessel: &Vessel, cold: &Climate, o: &HeatOut, w: &mut Working) {
    let (around, inside) = (i.around(), i.inside());
    w.step(|| {
        let thin = heat::ground_thickness(inside) < heat::floor_dimension(vessel.floor, around);
        Step::new(
            "Heat into the ground",
            if thin {
                "U = 2 × 1.5/(pi B + d) ln(pi B/d + 1), B = 2 A/P, d = 1.5 (1/U_i + 0.04)"
            } else {
                "U = 1.5/(0.457 B + d), B = 2 A/P, d = 1.5 (1/U_i + 0.04)"
            },
            &[term("A", AREA, vessel.floor), term("P", LENGTH, around), term("U_i", HEAT_TRANSFER, inside)],
            term("U", HEAT_TRANSFER, vessel.floor_loss),
            &src::ISO_13370,
        )
    });
    w.step(|| {
        Step::new(
            "Loss to the ground, coldest night",
            "Q floor = U A (Tw - Tg), Tg halfway from the mean air of the year to the coldest night",
            &[term("Tg", TEMPERATURE, cold.ground)],
            term("Q floor", POWER, o.night.floor),
            &src::GROUND_WINTER,
        )
    });
}

/// What leaves by the open surface, plants beside.
fn surface(i: &HeatIn, vessel: &Vessel, cold: &Climate, over: &Losses, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Loss by evaporation, coldest night",
            if i.cover == On::Open {
                "Q evaporation = A (pw - pa)(0.089 + 0.0782 V) Fa"
            } else {
                "Q evaporation = 0.1 A (pw - pa)(0.089 + 0.0782 V) Fa, a tenth past a cover"
            },
            &[
                term("A", AREA, vessel.surface),
                term("pw", PRESSURE, water::vapour_pressure(i.water)),
                term("pa", PRESSURE, evaporation::vapour_in_air(i.night, i.humidity)),
                term("V", VELOCITY, i.wind()),
                term("Fa", RATIO, vessel.motion),
            ],
            term("Q evaporation", POWER, over.evaporation),
            &src::CARRIER_1918,
        )
    });
    let around = if cold.sky { heat::sky_temperature(i.night) } else { i.night };
    if let Cover::Lid(u) = vessel.cover {
        w.step(|| {
            Step::new(
                "Loss through the lid, coldest night",
                "Q lid = U A (Tw - Ta + 0.95 × 5.6704e-8 (Ta^4 - Ts^4)/h_o), kelvin",
                &[term("U", HEAT_TRANSFER, u), term("A", AREA, vessel.surface), term("Ts", TEMPERATURE, around)],
                term("Q lid", POWER, over.lid),
                &src::SOL_AIR,
            )
        });
        return;
    }
    w.step(|| {
        Step::new(
            "Loss by convection, coldest night",
            "Q convection = h A (Tw - Ta), h = ((h still)³ + (h wind)³)^(1/3); Nu = 0.15 Ra^1/3 (or 0.54 Ra^1/4) still, 0.665e-3 P 0.0782 V wind",
            &[
                term("h still", HEAT_TRANSFER, heat::free_convection(i.water, i.night, vessel.surface)),
                term("h wind", HEAT_TRANSFER, heat::wind_convection(i.wind())),
            ],
            term("Q convection", POWER, over.convection),
            &src::MCADAMS_1954,
        )
    });
    w.step(|| {
        Step::new(
            "Loss by radiation, coldest night",
            "Q radiation = 0.95 × 5.6704e-8 A (Tw^4 - Ts^4), kelvin",
            &[term("Ts", TEMPERATURE, around)],
            term("Q radiation", POWER, over.radiation),
            if cold.sky { &src::SWINBANK_1963 } else { &src::CODATA_2018 },
        )
    });
}

fn all(over: &Losses, o: &HeatOut, w: &mut Working) {
    let loss = o.night.total();
    w.step(|| {
        Step::new(
            "All losses on the coldest night",
            "Q = walls + floor + evaporation + convection + radiation + lid + fresh water + rafts and beds",
            &[
                term("walls", POWER, o.night.walls),
                term("floor", POWER, o.night.floor),
                term("evaporation", POWER, over.evaporation),
                term("convection", POWER, over.convection),
                term("radiation", POWER, over.radiation),
                term("lid", POWER, over.lid),
                term("fresh water", POWER, o.night.makeup),
                term("rafts and beds", POWER, POWER.of(loss.value - over.total().value)),
            ],
            term("Q", POWER, loss),
            &ELEMENTARY,
        )
    });
}

/// The water after a power cut, which begins with this loss.
fn cut(i: &HeatIn, loss: Power, o: &HeatOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Water after the power cut",
            "m c dT/dt = -Q(T)",
            &[
                term("T0", TEMPERATURE, o.start),
                term("V", VOLUME, i.volume),
                term("t", HOURS, i.cut),
                term("Q(T0)", POWER, loss),
            ],
            term("T", TEMPERATURE, o.cut_end),
            &ELEMENTARY,
        )
    });
}

fn energy(i: &HeatIn, o: &HeatOut, w: &mut Working) {
    w.step(|| {
        Step::new(
            "Energy to warm it up",
            "E = 4181 rho V dT, J/(kg K)",
            &[
                term("rho", DENSITY, water::density(i.from)),
                term("V", VOLUME, i.volume),
                term("dT", TEMPERATURE_DIFFERENCE, i.to_warm()),
            ],
            term("E", ENERGY, o.warm_energy),
            &src::WATER_HEAT,
        )
    });
    w.step(|| {
        Step::new(
            "Heating a month at the mean of the year",
            "E = max(0, Q - pumps) 30.44 days",
            &[term("Q", POWER, o.mean.total()), term("pumps", POWER, i.pumps)],
            term("E", ENERGY, o.month),
            &ELEMENTARY,
        )
    });
}
