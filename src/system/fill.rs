//! A calculator filled from a system: the very inputs that the check gives it, and what else the system knows of a tank's fish and water.

use super::check::{self, Day, Solved};
use super::document::{Document, Tank};
use super::flow::{self, StationKind, Ways};
use crate::calculators::ammonia::Ammonia;
use crate::calculators::bed::Bed;
use crate::calculators::change::{Change, ChangeIn};
use crate::calculators::drain::Drain;
use crate::calculators::feed::{Feed, FeedIn};
use crate::calculators::form::FieldError;
use crate::calculators::heat::Heat;
use crate::calculators::levels::Levels;
use crate::calculators::outage::{Outage, OutageIn};
use crate::calculators::outcome::{State, Working};
use crate::calculators::oxygen::{BedKind, FishGroup, Inlet, Oxygen, OxygenIn};
use crate::calculators::pump::Pump;
use crate::calculators::running::{Running, RunningIn};
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon as SiphonCalculator;
use crate::calculators::startup::{Startup, StartupIn};
use crate::calculators::stocking::{FilterBy, Inflow, SettlerBy, Stocking, StockingIn};
use crate::calculators::{self, Calculator, Sheet, sheet};
use crate::catalog::media::Medium;
use crate::units::{kinds::*, si::mg_l};

/// A sheet filled from one station of a system.
pub struct Filling {
    /// Name of the station.
    pub from: String,
    /// The sheet.
    pub sheet: Box<dyn Sheet>,
}

impl std::fmt::Debug for Filling {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Filling({}, {})", self.from, self.sheet.entry().id)
    }
}

/// What the system knows for the calculator `id`, once for every station that it can be about; nothing where the system says nothing that
/// this calculator asks.
///
/// # Errors
/// As [`check::solve`].
pub fn fill(d: &Document, id: &str) -> Result<Vec<Filling>, Vec<FieldError>> {
    let ways = flow::ways(d)?;
    let s = check::solve_on(d, &ways, Day::Today)?;
    // How many fish there may be is asked of the hottest water and of the harvest.
    let grown = if id == "stocking" { Some(check::solve_on(d, &ways, Day::Harvest)?) } else { None };
    let mut all = vec![];
    let mut put = |from: &str, sheet: Box<dyn Sheet>| all.push(Filling { from: from.into(), sheet });
    match id {
        "settling" => {
            for (i, settler) in d.settlers.iter().enumerate() {
                let through = FLOW.of(s.flows.through[ways.place(StationKind::Settler, i)]);
                let inputs = check::settling_of(d, settler, through, s.settler_feeds[i], Day::Today);
                put(&settler.name, sheet::<Settling>(inputs));
            }
        }
        "bed" => {
            for (i, bed) in d.beds.iter().enumerate() {
                put(&bed.name, sheet::<Bed>(check::bed_of(d, bed, s.bed_feeds[i], Day::Today)));
            }
        }
        "pump" => {
            let known = d.pumps.iter().zip(&s.pumps).filter_map(|(p, solved)| Some((p, solved.as_ref()?)));
            known.for_each(|(p, solved)| put(&p.name, sheet::<Pump>(solved.inputs.clone())));
        }
        "levels" => {
            let known = d.sumps.iter().zip(&s.sumps).filter_map(|(p, solved)| Some((p, solved.as_ref()?)));
            known.for_each(|(p, solved)| put(&p.name, sheet::<Levels>(solved.inputs.clone())));
        }
        "siphon" => {
            for (i, (bed, siphon)) in d.beds.iter().enumerate().filter_map(|(i, b)| Some((i, (b, b.siphon.first()?)))) {
                let through = FLOW.of(s.flows.through[ways.place(StationKind::Bed, i)]);
                put(&bed.name, sheet::<SiphonCalculator>(check::siphon_of(d, siphon, through, Day::Today)));
            }
        }
        "ammonia" => s.ammonia.iter().for_each(|a| put(&d.name, sheet::<Ammonia>(a.inputs.clone()))),
        "heat" => s.heat.iter().for_each(|h| put(&d.name, sheet::<Heat>(h.inputs.clone()))),
        _ => {
            // These ask of all the water and all the feed.
            let whole = matches!(id, "startup" | "change" | "running");
            for (i, tank) in d.tanks.iter().enumerate().take(if whole { 1 } else { d.tanks.len() }) {
                if let Some(grown) = &grown {
                    stock(d, &ways, [&s, grown], i).into_iter().for_each(|x| put(&tank.name, sheet::<Stocking>(x)));
                    continue;
                }
                of_tank(d, &s, i, tank, id)
                    .into_iter()
                    .for_each(|sheet| put(if whole { &d.name } else { &tank.name }, sheet));
            }
        }
    }
    Ok(all)
}

/// The sheets that are about a tank: one, or for the feed one for every group of fish.
fn of_tank(d: &Document, s: &Solved, i: usize, tank: &Tank, id: &str) -> Vec<Box<dyn Sheet>> {
    let solved = &s.tanks[i];
    let oxygen = check::oxygen_of(d, tank, solved.flow, Day::Today);
    let temperature = d.water.today;
    let fish = oxygen.fish.iter().max_by(|a, b| a.total().value.total_cmp(&b.total().value));
    let Some(fish) = fish else { return vec![] };
    let count = |g: &FishGroup| COUNT.of((g.total() / g.mass).value.round());
    let (medium, bulk, _) = beds(d);
    let filter = d.ammonia.first().map(|a| &a.0);
    let water = VOLUME.of(d.tanks.iter().map(|t| t.oxygen.volume.value).sum());
    vec![match id {
        "drain" => sheet::<Drain>(check::outlet_of(d, tank, solved.most, Day::Today)),
        "oxygen" => sheet::<Oxygen>(oxygen),
        "feed" => {
            let one = |g: &FishGroup| -> Box<dyn Sheet> {
                sheet::<Feed>(FeedIn {
                    species: g.species,
                    count: count(g),
                    mass: g.mass,
                    temperature,
                    target: tank.harvest.max(g.mass),
                    chloride: filter.map_or(FeedIn::default().chloride, |a| a.chloride),
                    ..FeedIn::default()
                })
            };
            return oxygen.fish.iter().map(one).collect();
        }
        "outage" => sheet::<Outage>(OutageIn {
            species: fish.species,
            fish: MASS.of(oxygen.fish.iter().map(|g| g.total().value).sum()),
            mass: fish.mass,
            volume: oxygen.volume,
            temperature,
            feed: solved.oxygen.feed,
            surface: tank.outlet.surface,
            altitude: d.water.altitude,
            solids: oxygen.solids,
            salinity: oxygen.salinity,
            ..OutageIn::default()
        }),
        "startup" => {
            let mut i = StartupIn {
                species: fish.species,
                temperature,
                age: d.water.filter_age,
                volume: water,
                feed: s.feed,
                full: s.feed,
                ..StartupIn::default()
            };
            if let Some(a) = filter {
                (i.medium, i.media) = (a.medium, a.media);
                (i.protein, i.ph, i.alkalinity) = (a.protein, a.ph.min(RATIO.of(9.8)), a.alkalinity);
                i.chloride = a.chloride;
            } else if let Some(medium) = medium {
                (i.medium, i.media) = (medium, VOLUME.of(bulk));
            }
            sheet::<Startup>(i)
        }
        "change" => sheet::<Change>(ChangeIn {
            species: fish.species,
            volume: water,
            temperature,
            fish: fish.total(),
            mass: fish.mass,
            altitude: d.water.altitude,
            salinity: oxygen.salinity,
            ..ChangeIn::default()
        }),
        "running" => sheet::<Running>(RunningIn { feed: s.feed, harvest: tank.harvest, ..RunningIn::default() }),
        _ => return vec![],
    }]
}

/// The beds that the water of all tanks goes through: the first medium, the bulk of all, and the plan of rafts.
fn beds(d: &Document) -> (Option<&'static Medium>, f64, f64) {
    let medium = d.beds.iter().find(|b| b.bed.method.media).map(|b| b.bed.medium);
    let bulk = d.beds.iter().map(|b| b.medium().value).sum();
    (medium, bulk, d.beds.iter().map(|b| b.rafts().value).sum())
}

/// How many fish tank `t` may hold, asked with what the check knows today and at harvest in the hottest water.
fn stock(d: &Document, ways: &Ways<'_>, [s, grown]: [&Solved; 2], t: usize) -> Option<StockingIn> {
    let (tank, then) = (&d.tanks[t], &grown.tanks[t]);
    let oxygen = check::oxygen_of(d, tank, s.tanks[t].flow, Day::Today);
    let fish = oxygen.fish.iter().max_by(|a, b| a.total().value.total_cmp(&b.total().value))?;
    // Other fish of the tank are counted as so many of these.
    let all: f64 = oxygen.fish.iter().map(|g| g.total().value).sum();
    let mut i = StockingIn {
        species: fish.species,
        volume: oxygen.volume,
        count: COUNT.of((all / fish.mass.value).round()),
        mass: fish.mass,
        harvest: tank.harvest.max(fish.mass),
        hottest: d.water.hottest,
        usual: d.water.today,
        air: oxygen.air.clone(),
        filter_age: d.water.filter_age,
        solids: oxygen.solids,
        meals: oxygen.meals,
        altitude: d.water.altitude,
        depth: oxygen.depth,
        salinity: oxygen.salinity,
        flow: then.flow,
        fall: oxygen.fall,
        fall_height: oxygen.fall_height,
        film: then.inputs.filter,
        ..StockingIn::default()
    };
    (i.inflow, i.inlet_oxygen) = match then.inputs.inlet {
        Inlet::Given => (Inflow::Given, then.inputs.inlet_oxygen),
        Inlet::Saturated => (Inflow::Saturated, i.inlet_oxygen),
        Inlet::Loop => (Inflow::Loop, i.inlet_oxygen),
    };
    i.bed = if d.beds.iter().any(|b| !b.siphon.is_empty()) { BedKind::Drained } else { oxygen.bed };
    if let Some([low, _]) = then.inputs.returns {
        // A tank on a loop of its own is asked as such. Where other tanks or ways join, the water brings what the check finds.
        let alone = OxygenIn { returns: None, bed: i.bed, ..then.inputs.clone() };
        let own = calculators::solve::<Oxygen>(&alone, &mut Working::none()).ok()?.capacity.0.value;
        if (own - then.oxygen.capacity.0.value).abs() > ALIKE * own.abs() {
            let brings = low.base.value + low.slope.value * then.oxygen.floor.value;
            (i.inflow, i.inlet_oxygen) = (Inflow::Given, CONCENTRATION.of(brings.clamp(0.0, mg_l(25.0))));
        }
    }
    // A settler that takes too little is none.
    let station = ways.place(StationKind::Tank, t);
    let works = |at: usize| {
        let s = &ways.stations[at];
        let level = || Settling::level(&grown.settlers[s.index]);
        s.kind == StationKind::Settler && level().is_some_and(|l| l.state() != State::Over)
    };
    if ways.out_of(station).all(|k| works(ways.edges[k].1)) && ways.out_of(station).next().is_some() {
        i.settler = SettlerBy::Loop;
    }
    // What all tanks have in common carries of each what it is fed.
    let part = if s.feed.value > 0.0 { (s.tanks[t].oxygen.feed / s.feed).value.min(1.0) } else { 1.0 };
    let (medium, bulk, rafts) = beds(d);
    (i.media_volume, i.raft_area) = (VOLUME.of(bulk * part), AREA.of(rafts * part));
    let filter = d.ammonia.first().map(|a| &a.0);
    if let Some(a) = filter {
        i.filter_area = AREA.of(a.medium.surface().0.value * a.media.value * part);
        i.ph = a.ph;
    }
    let apart = i.filter_area.value > 0.0 && filter.is_some();
    i.filter = match medium {
        Some(medium) => {
            i.medium = medium;
            FilterBy::Media
        }
        None if rafts > 0.0 && apart => FilterBy::RaftAndArea,
        None if rafts > 0.0 => FilterBy::Raft,
        None if apart => FilterBy::Area,
        None => FilterBy::None,
    };
    Some(i)
}

/// Oxygen that may come in this much more or less, as a share, on a loop of a tank's own than the check finds.
const ALIKE: f64 = 0.01;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::{ALL, form::EditValue};
    use crate::system::demo;
    use crate::units::Words;

    #[test]
    fn every_filling_of_every_demo_is_a_case_its_calculator_takes() {
        let mut filled = std::collections::BTreeSet::new();
        for demo in demo::ALL {
            let d = demo.document();
            for entry in ALL {
                for f in fill(&d, entry.id).unwrap_or_else(|e| panic!("{}: {e:?}", demo.id)) {
                    assert_eq!(f.sheet.entry().id, entry.id);
                    let run = f.sheet.run(Words::default(), false);
                    assert!(run.is_ok(), "{}, {f:?}: {run:?}", demo.id);
                    filled.insert(entry.id);
                }
            }
        }
        assert_eq!(filled.len(), ALL.len(), "{filled:?}");
    }

    /// What the check finds enough is not too much for the calculator that is filled from it, matter by matter: the days of the check that the
    /// calculator asks about are the hottest water, with the fish as they are and at harvest.
    #[test]
    fn the_stocking_of_a_system_is_not_over_where_its_check_is_enough() {
        let mut asked = 0;
        for demo in demo::ALL {
            let d = demo.document();
            let ways = flow::ways(&d).expect("ways");
            let days = [Day::Hottest, Day::Harvest].map(|day| check::solve_on(&d, &ways, day).expect("solved"));
            for (t, f) in fill(&d, "stocking").expect("filled").iter().enumerate() {
                let outcome = f.sheet.run(Words::default(), false).expect("solved");
                for level in &outcome.report.levels {
                    // A settler is asked instead of the solids; the main levels are the fullest of the four matters.
                    let same: &[&str] = match level.id.as_ref() {
                        "space" => &["density"],
                        "oxygen" => &["oxygen"],
                        "ammonia" => &["ammonia", "filter"],
                        "solids" => &["solids", "settling"],
                        _ => &["density", "oxygen", "ammonia", "filter", "solids", "settling"],
                    };
                    let tank = ways.place(StationKind::Tank, t);
                    let its = |id: &str, at| same.contains(&id) && (at == tank || !matches!(id, "density" | "oxygen"));
                    let all = days.iter().flat_map(|s| s.levels.iter()).filter(|l| its(&l.1.id, l.0));
                    let full = all.map(|l| l.1.fullness()).fold(0.0, f64::max);
                    if full <= 0.8 {
                        asked += 1;
                        assert_ne!(level.state(), State::Over, "{} {}: {} {full}", demo.id, f.from, level.percent());
                    }
                }
            }
        }
        assert!(asked > 20, "{asked}");
    }

    /// The oxygen carries as many fish as the check finds, however the tanks share their water.
    #[test]
    fn the_oxygen_of_the_stocking_is_that_of_the_check() {
        for demo in demo::ALL {
            let d = demo.document();
            let ways = flow::ways(&d).expect("ways");
            let [today, grown] = [Day::Today, Day::Harvest].map(|day| check::solve_on(&d, &ways, day).expect("solved"));
            for (t, then) in grown.tanks.iter().enumerate() {
                let i = stock(&d, &ways, [&today, &grown], t).expect("fish");
                let o = calculators::solve::<Stocking>(&i, &mut Working::none()).expect("solved");
                let (says, carries) = (o.at_harvest.oxygen.value, then.oxygen.carries.value);
                assert!((says / carries - 1.0).abs() < 0.01, "{} {t}: {says} kg, the check {carries} kg", demo.id);
            }
        }
    }

    /// A filter that several tanks have in common is not counted once for each.
    #[test]
    fn tanks_share_their_filter() {
        let d = demo::by_id("enlarged").expect("a demo").document();
        let all = fill(&d, "stocking").expect("filled");
        let area = |key: &str| -> f64 {
            let si = |f: &Filling| match f.sheet.value_at(key) {
                Some(EditValue::Si(x)) => x,
                other => panic!("{other:?}"),
            };
            all.iter().map(si).sum()
        };
        let known = &d.ammonia[0].0;
        assert!(
            all.len() > 1 && (area("filter_area") / (known.medium.surface().0 * known.media).value - 1.0).abs() < 1e-9
        );
        assert!((area("raft_area") / d.beds.iter().map(|b| b.bed.area.value).sum::<f64>() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_outlet_is_filled_with_what_the_check_asks_of_it() {
        let d = demo::by_id("enlarged").expect("a demo").document();
        let all = fill(&d, "drain").expect("filled");
        let names: Vec<_> = all.iter().map(|f| f.from.as_str()).collect();
        assert_eq!(names, d.tanks.iter().map(|t| t.name.as_str()).collect::<Vec<_>>());
        let s = check::solve(&d, Day::Today).expect("solved");
        for (f, t) in all.iter().zip(&s.tanks) {
            assert_eq!(f.sheet.value_at("flow"), Some(EditValue::Si(t.most.value)));
            let level = f.sheet.level().expect("solved").expect("a level");
            assert_eq!(level.demand.high, t.most.value);
        }
    }
}
