//! Ends of ranges that the check brings what it works out to, in SI. Each is declared with its field; the test below holds the two together.

pub(super) use crate::calculators::mend::within;
use crate::units::si::*;

/// The flow of an outlet, a settler and a siphon, and how far the sump of a pump falls.
pub(super) const OUTLET_FLOW: [f64; 2] = [l_h(10.0), l_h(50_000.0)];
pub(super) const SETTLER_FLOW: [f64; 2] = [l_h(10.0), l_h(200_000.0)];
pub(super) const SIPHON_FLOW: [f64; 2] = [l_h(1.0), l_h(50_000.0)];
pub(super) const PUMP_FALL: [f64; 2] = [0.0, 5.0];

/// What is weighed out to a tank, what a bed is asked about, and the water of all tanks beside it.
pub(super) const WEIGHED: [f64; 2] = [0.0, g_day(100_000.0)];
pub(super) const BED_FEED: [f64; 2] = [g_day(1.0), g_day(500_000.0)];
pub(super) const BED_WATER: [f64; 2] = [l(5.0), 1000.0];

/// Air that reaches the stones of a tank.
pub(super) const STONES: [f64; 2] = [0.0, l_min(5000.0)];

/// The water test and filter.
pub(super) const AMMONIA_MEDIA: [f64; 2] = [0.0, 500.0];
pub(super) const AMMONIA_WATER: [f64; 2] = [l(10.0), 500.0];
pub(super) const AMMONIA_FEED: [f64; 2] = [0.0, g_day(1e6)];
pub(super) const AMMONIA_FLOW: [f64; 2] = [0.0, l_h(500_000.0)];

/// The coldest night: its water, the surface of that, in how many tanks, and temperatures.
pub(super) const HEAT_WATER: [f64; 2] = [l(10.0), 200.0];
pub(super) const HEAT_SURFACE: [f64; 2] = [0.02, 400.0];
pub(super) const HEAT_TANKS: [f64; 2] = [1.0, 200.0];
pub(super) const HEAT_HELD: [f64; 2] = [celsius(1.0), celsius(40.0)];
pub(super) const HEAT_COLDEST: [f64; 2] = [celsius(0.0), celsius(40.0)];
pub(super) const HEAT_HOTTEST: [f64; 2] = [celsius(1.0), celsius(45.0)];

/// The hottest water of the year, which the heat may raise.
pub(super) const WATER_HOTTEST: [f64; 2] = [celsius(0.5), celsius(40.0)];

/// A sump: its water, what it loses, what is pumped from it, the pipes that empty into it, and the rows of tanks and of beds.
pub(super) const SUMP_WATER: [f64; 2] = [l(5.0), l(50_000.0)];
pub(super) const SUMP_LOSS: [f64; 2] = [0.0, l(5000.0) / days(1.0)];
pub(super) const SUMP_FLOW: [f64; 2] = [0.0, l_h(100_000.0)];
pub(super) const SUMP_PIPES: [f64; 2] = [0.0, l(2000.0)];
pub(super) const TANK_ROWS: usize = 12;
pub(super) const TANK_AREA: [f64; 2] = [0.01, 100.0];
pub(super) const TANK_RISE: [f64; 2] = [0.0, 1.0];
pub(super) const TANK_BORE: [f64; 2] = [mm(3.0), mm(250.0)];
pub(super) const TANK_RUN: [f64; 2] = [0.05, 50.0];
pub(super) const BED_ROWS: usize = 8;
pub(super) const BED_AREA: [f64; 2] = [0.01, 50.0];
pub(super) const BED_SWING: [f64; 2] = [mm(5.0), 1.0];
pub(super) const BED_INFLOW: [f64; 2] = [l_h(1.0), l_h(50_000.0)];
pub(super) const BED_SIPHON: [f64; 2] = [l_h(2.0), l_h(200_000.0)];

#[cfg(test)]
mod tests {
    use super::super::document::Document;
    use super::*;
    use crate::calculators::form::{Fields, LayoutItem, layout};
    use crate::calculators::levels::{BedRow, Leaves, LevelsIn, TankRow};
    use crate::calculators::oxygen::{FeedBy, OxygenIn};
    use crate::calculators::{
        ammonia::AmmoniaIn, bed::BedIn, drain::DrainIn, heat::HeatIn, pump::PumpIn, settling::SettlingIn,
        siphon::SiphonIn,
    };

    #[test]
    fn the_ends_are_those_of_the_declarations() {
        let measured = TankRow { leaves: Leaves::Measured, ..TankRow::default() };
        let levels = LevelsIn { tanks: vec![measured], beds: vec![BedRow::default()], ..LevelsIn::default() };
        let flooded = TankRow { leaves: Leaves::Flooded, pipe: crate::catalog::pipes::OTHER, ..TankRow::default() };
        let flooded = LevelsIn { tanks: vec![flooded], ..LevelsIn::default() };
        let weighed = OxygenIn { feed_by: FeedBy::Weighed, ..OxygenIn::default() };
        let levels = &mut levels.clone();
        type Ends<'a> = Vec<(&'a str, [f64; 2])>;
        let all: [(&mut dyn Fields, Ends<'_>); 11] = [
            (&mut flooded.clone(), vec![("tanks.0.bore", TANK_BORE), ("tanks.0.run", TANK_RUN)]),
            (&mut Document::default(), vec![("water.hottest", WATER_HOTTEST)]),
            (&mut DrainIn::default(), vec![("flow", OUTLET_FLOW)]),
            (&mut SettlingIn::default(), vec![("flow", SETTLER_FLOW)]),
            (&mut SiphonIn::default(), vec![("inflow", SIPHON_FLOW)]),
            (&mut PumpIn::default(), vec![("fall", PUMP_FALL)]),
            (&mut weighed.clone(), vec![("feed", WEIGHED), ("air_flow", STONES)]),
            (&mut BedIn::default(), vec![("feed", BED_FEED), ("tank", BED_WATER)]),
            (
                &mut AmmoniaIn::default(),
                vec![
                    ("volume", AMMONIA_WATER),
                    ("feed", AMMONIA_FEED),
                    ("flow", AMMONIA_FLOW),
                    ("media", AMMONIA_MEDIA),
                ],
            ),
            (
                &mut HeatIn::default(),
                vec![
                    ("volume", HEAT_WATER),
                    ("surface", HEAT_SURFACE),
                    ("tanks", HEAT_TANKS),
                    ("water", HEAT_HELD),
                    ("coldest", HEAT_COLDEST),
                    ("hottest", HEAT_HOTTEST),
                ],
            ),
            (
                levels,
                vec![
                    ("volume", SUMP_WATER),
                    ("evaporation", SUMP_LOSS),
                    ("flow", SUMP_FLOW),
                    ("other_pipes", SUMP_PIPES),
                    ("tanks.0.area", TANK_AREA),
                    ("tanks.0.rise", TANK_RISE),
                    ("beds.0.area", BED_AREA),
                    ("beds.0.swing", BED_SWING),
                    ("beds.0.inflow", BED_INFLOW),
                    ("beds.0.siphon", BED_SIPHON),
                ],
            ),
        ];
        for (fields, ends) in all {
            let layout = layout(fields);
            for (path, ends) in ends {
                let found = layout.iter().find(|e| e.path == path);
                let Some(LayoutItem::Num(spec, _)) = found.map(|e| &e.item) else { panic!("{path}") };
                assert_eq!(spec.hard, ends, "{path}");
            }
        }
    }

    #[test]
    fn the_rows_are_those_of_the_declaration() {
        let rows = layout(&mut LevelsIn::default()).into_iter().filter_map(|e| match e.item {
            LayoutItem::List(list, _) => Some((list.key, list.most)),
            _ => None,
        });
        assert_eq!(rows.collect::<Vec<_>>(), [("tanks", TANK_ROWS), ("beds", BED_ROWS)]);
    }
}
