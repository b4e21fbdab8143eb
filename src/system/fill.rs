//! A calculator filled from a system: the very inputs that the check gives it, and what else the system knows of a tank's fish and water.

use super::check::{self, Day, Solved};
use super::document::{Document, Tank};
use super::flow::{self, StationKind};
use crate::calculators::ammonia::Ammonia;
use crate::calculators::bed::Bed;
use crate::calculators::change::{Change, ChangeIn};
use crate::calculators::drain::Drain;
use crate::calculators::feed::{Feed, FeedIn};
use crate::calculators::form::FieldError;
use crate::calculators::heat::Heat;
use crate::calculators::levels::Levels;
use crate::calculators::outage::{Outage, OutageIn};
use crate::calculators::oxygen::{FishGroup, Oxygen};
use crate::calculators::pump::Pump;
use crate::calculators::running::{Running, RunningIn};
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon as SiphonCalculator;
use crate::calculators::startup::{Startup, StartupIn};
use crate::calculators::stocking::{FilterBy, Stocking, StockingIn};
use crate::calculators::{Sheet, sheet};
use crate::units::kinds::*;

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
    // The beds that the water of all tanks goes through, and the filter beside them.
    let medium = d.beds.iter().find(|b| b.bed.method.media).map(|b| b.bed.medium);
    let bulk: f64 = s.beds.iter().filter_map(|b| b.bulk).map(|b| b.value).sum();
    let rafts: f64 = d.beds.iter().filter(|b| !b.bed.method.media).map(|b| b.bed.area.value).sum();
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
                    ..FeedIn::default()
                })
            };
            return oxygen.fish.iter().map(one).collect();
        }
        "stocking" => {
            let mut i = StockingIn {
                species: fish.species,
                volume: oxygen.volume,
                count: count(fish),
                mass: fish.mass,
                harvest: tank.harvest.max(fish.mass),
                hottest: d.water.hottest,
                usual: temperature,
                air: oxygen.air.clone(),
                filter_age: d.water.filter_age,
                solids: oxygen.solids,
                meals: oxygen.meals,
                altitude: d.water.altitude,
                ..StockingIn::default()
            };
            // What all tanks have in common carries of each what it is fed.
            let part = if s.feed.value > 0.0 { (solved.oxygen.feed / s.feed).value.min(1.0) } else { 1.0 };
            (i.media_volume, i.raft_area) = (VOLUME.of(bulk * part), AREA.of(rafts * part));
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
            sheet::<Stocking>(i)
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
            ..ChangeIn::default()
        }),
        "running" => sheet::<Running>(RunningIn { feed: s.feed, harvest: tank.harvest, ..RunningIn::default() }),
        _ => return vec![],
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::outcome::State;
    use crate::calculators::{ALL, form::EditValue};
    use crate::science::respiration::Solids;
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

    /// What the check finds enough for the filter and the solids is not too much for the calculator that is filled from it.
    #[test]
    fn the_fish_of_a_system_are_carried_by_its_own_filter() {
        for demo in demo::ALL {
            let d = demo.document();
            for f in fill(&d, "stocking").expect("filled") {
                let outcome = f.sheet.run(Words::default(), false).expect("solved");
                for id in ["ammonia", "solids"] {
                    let level = outcome.report.levels.iter().find(|l| l.id == id).expect("a level");
                    // The Hill trout's settler is drawn now and then, and its tank says so.
                    if id == "ammonia" || d.tanks.iter().all(|t| t.oxygen.solids == Solids::Drawn) {
                        assert_ne!(level.state(), State::Over, "{} {}: {}", demo.id, f.from, level.percent());
                    }
                }
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
