//! A calculator filled from a system: the very inputs that the check gives it, and what else the system knows of a tank's fish and water.

use super::check::{self, Day, Solved};
use super::document::{Document, Tank};
use super::flow::{self, StationKind, Ways};
use super::quality::{self, AmmoniaSolved};
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
use crate::calculators::oxygen::{BedKind, FishGroup, Inlet, Oxygen, OxygenIn, Reading};
use crate::calculators::pump::Pump;
use crate::calculators::running::{Device, Running, RunningIn};
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
    // How many fish there may be is asked of the hottest water and of the harvest, and what a new filter is to ripen for of the harvest.
    let grown =
        if matches!(id, "stocking" | "startup") { Some(check::solve_on(d, &ways, Day::Harvest)?) } else { None };
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
            // These ask of all the water and all the feed: once, for the tank with the most fish.
            let whole = matches!(id, "startup" | "change" | "running");
            let mass = |i: &usize| s.tanks[*i].oxygen.biomass.value;
            let most = (0..d.tanks.len()).reduce(|a, b| if mass(&b) > mass(&a) { b } else { a });
            for (i, tank) in d.tanks.iter().enumerate().filter(|(i, _)| !whole || Some(*i) == most) {
                if let Some(grown) = grown.as_ref().filter(|_| id == "stocking") {
                    stock(d, &ways, [&s, grown], i).into_iter().for_each(|x| put(&tank.name, sheet::<Stocking>(x)));
                    continue;
                }
                of_tank(d, [&s, grown.as_ref().unwrap_or(&s)], i, tank, id)
                    .into_iter()
                    .for_each(|sheet| put(if whole { &d.name } else { &tank.name }, sheet));
            }
            for o in s.ways_out.iter().filter(|_| id == "drain") {
                put(ways.stations[ways.place(o.kind, o.index)].name, sheet::<Drain>(o.inputs.clone()));
            }
        }
    }
    Ok(all)
}

/// The sheets that are about a tank: one, or for the feed one for every group of fish.
fn of_tank(d: &Document, [s, grown]: [&Solved; 2], i: usize, tank: &Tank, id: &str) -> Vec<Box<dyn Sheet>> {
    let solved = &s.tanks[i];
    // A reading is of what usually flows.
    let flow = if tank.oxygen.reading == Reading::None { solved.inputs.flow } else { solved.flow };
    let mut oxygen = check::oxygen_of(d, tank, flow, Day::Today);
    // What it says was found with what the other tanks bring.
    if oxygen.reading == Reading::Dawn && d.tanks.len() > 1 {
        let i = &solved.inputs;
        (oxygen.reading, oxygen.air_factor, oxygen.demand_factor) = (i.reading, i.air_factor, i.demand_factor);
    }
    let temperature = d.water.today;
    let fish = oxygen.fish.iter().max_by(|a, b| a.total().value.total_cmp(&b.total().value));
    let Some(fish) = fish else { return vec![] };
    let count = |g: &FishGroup| COUNT.of((g.total() / g.mass).value.round());
    let (medium, bulk, _) = beds(d);
    let filter = d.ammonia.first().map(|a| &a.0);
    let water = quality::volume(d);
    let test = s.ammonia.as_ref();
    // What is asked of all fish is asked of the one that bears the least.
    let strictest = quality::strictest(d).unwrap_or(fish.species);
    vec![match id {
        "drain" if solved.gone.is_some() => return vec![],
        "drain" => {
            sheet::<Drain>(check::outlet_of(d, tank, solved.most, Day::Today).backed(solved.backed[1]).in_range())
        }
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
            // What beds hold of a tank that the pump draws from does not come back.
            volume: oxygen.volume - solved.gone.map_or(VOLUME.of(0.0), |gone| gone.min(oxygen.volume * 0.9)),
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
                species: strictest,
                temperature,
                age: d.water.filter_age,
                volume: water.min(VOLUME.of(MOST_RIPENING)),
                feed: s.feed,
                full: grown.feed.max(s.feed),
                ..StartupIn::default()
            };
            if let Some(a) = filter {
                (i.medium, i.media) = (a.medium, a.media);
                (i.protein, i.ph, i.alkalinity) = (a.protein, a.ph.min(RATIO.of(9.8)), a.alkalinity);
                i.chloride = a.chloride;
            } else if let Some(medium) = medium {
                (i.medium, i.media) = (medium, VOLUME.of(bulk));
            }
            if let Some(a) = test {
                let most = CONCENTRATION.of(mg_l(MOST_READ));
                (i.tan, i.nitrite) = (a.out.tan.min(most), a.out.nitrite.min(most));
            }
            sheet::<Startup>(i)
        }
        "change" => {
            let mut i = ChangeIn {
                species: strictest,
                volume: water.min(VOLUME.of(MOST_WATER)),
                temperature,
                fish: MASS.of(s.tanks.iter().map(|t| t.oxygen.biomass.value).sum()),
                mass: fish.mass,
                altitude: d.water.altitude,
                salinity: oxygen.salinity,
                ..ChangeIn::default()
            };
            if let Some(AmmoniaSolved { inputs: a, out, .. }) = test {
                let most = CONCENTRATION.of(mg_l(MOST_READ));
                (i.ph, i.alkalinity, i.tan, i.nitrite) = (a.ph, a.alkalinity, out.tan.min(most), out.nitrite.min(most));
                i.chloride = a.chloride.min(CONCENTRATION.of(MOST_CHLORIDE));
                // What has to come down is what the test says must.
                if out.change.value > 0.0 {
                    let left = (1.0 - out.change.value).max(0.0);
                    let reading = if out.by_nitrite { out.nitrite } else { out.tan };
                    (i.reading, i.new_reading, i.target) = (reading, CONCENTRATION.of(0.0), reading * left);
                }
            }
            sheet::<Change>(i)
        }
        "running" => sheet::<Running>(running(d, s, tank)),
        _ => return vec![],
    }]
}

/// Ends of ranges of calculators: water to change and to ripen a filter in (m3), readings (mg/L), chloride (kg/m3), the letters of a device, heating a month (J).
const MOST_WATER: f64 = 200.0;
const MOST_RIPENING: f64 = 500.0;
const MOST_READ: f64 = 100.0;
const MOST_CHLORIDE: f64 = 20.0;
const LETTERS: usize = 40;
const MOST_HEATING: f64 = 7.2e10;

/// What runs: every pump, and one for the air of every tank; their watts where they are known. Heat as the coldest night's page says it.
fn running(d: &Document, s: &Solved, tank: &Tank) -> RunningIn {
    let mut i = RunningIn { feed: s.feed, harvest: tank.harvest, ..RunningIn::default() };
    if let [water, air] = &i.devices.clone()[..] {
        let called = |name: &str, like: &Device| Device { name: name.chars().take(LETTERS).collect(), ..like.clone() };
        let pumps = d.pumps.iter().zip(&s.pumps).map(|(p, solved)| {
            let watts = solved.as_ref().map_or(water.power, |p| (p.out.electric.0 + p.out.electric.1) / 2.0);
            Device { power: watts, ..called(&p.name, water) }
        });
        let aired = d.tanks.iter().filter(|t| t.oxygen.air.on());
        i.devices = pumps.chain(aired.map(|t| called(&format!("Air of {}", t.name), air))).collect();
    }
    if let Some(h) = &s.heat {
        (i.heating, i.price) = (h.out.month.min(ENERGY.of(MOST_HEATING)), h.inputs.price);
    }
    i
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
        flow: then.inputs.flow,
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
    let works = |s: usize| Settling::level(&grown.settlers[s]).is_some_and(|l| l.state() != State::Over);
    if check::unsettled(ways, station, &works) <= 0.0 {
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

    /// What is asked of all the water is filled with what the system knows of it: its test, its filter at full stock, its pumps and heat.
    #[test]
    fn what_the_system_knows_is_filled_in() {
        let mut d = demo::by_id("classroom").expect("a demo").document();
        let test = &mut d.ammonia[0].0;
        (test.ph, test.tan, test.nitrite) = (RATIO.of(8.4), CONCENTRATION.of(mg_l(3.0)), CONCENTRATION.of(mg_l(0.7)));
        let si = |id: &str, key: &str| match fill(&d, id).expect("filled")[0].sheet.value_at(key) {
            Some(EditValue::Si(x)) => x,
            other => panic!("{id} {key}: {other:?}"),
        };
        let s = check::solve(&d, Day::Today).expect("solved");
        let grown = check::solve(&d, Day::Harvest).expect("solved");
        assert!((si("startup", "tan") - mg_l(3.0)).abs() < 1e-9 && (si("startup", "nitrite") - mg_l(0.7)).abs() < 1e-9);
        assert_eq!((si("startup", "feed"), si("startup", "full")), (s.feed.value, grown.feed.value));
        assert!(grown.feed > s.feed);
        for id in ["startup", "change"] {
            assert_eq!(si(id, "volume"), quality::volume(&d).value, "{id}");
            assert_eq!(si(id, "ph"), 8.4, "{id}");
        }
        // As much must come down as the test's own page says.
        let asked = 1.0 - si("change", "target") / si("change", "reading");
        assert!((asked - s.ammonia.as_ref().expect("a test").out.change.value).abs() < 1e-9 && asked > 0.1, "{asked}");
        let (heat, pump) = (s.heat.as_ref().expect("heat"), s.pumps[0].as_ref().expect("solved"));
        assert_eq!(si("running", "devices.0.power"), pump.out.electric.1.value);
        assert_eq!((si("running", "heating"), pump.out.electric.1.value), (heat.out.month.value, 22.0));
    }

    /// What is filled for all the water knows all the fish: of an empty first tank too, and the species that bears least.
    #[test]
    fn all_the_water_has_all_the_fish() {
        let mut d = demo::by_id("enlarged").expect("a demo").document();
        let trout = crate::catalog::species::Species::by_id("trout").expect("trout");
        d.tanks[1].oxygen.fish[0].species = trout;
        d.ammonia[0].0.tan = CONCENTRATION.of(mg_l(3.0));
        let all: f64 = d.tanks.iter().flat_map(|t| &t.oxygen.fish).map(|g| g.total().value).sum();
        for empty in [false, true] {
            if empty {
                d.tanks[0].oxygen.fish.clear();
            }
            for id in ["startup", "change", "running"] {
                let filled = fill(&d, id).expect("filled");
                assert_eq!(filled.len(), 1, "{id}");
                if id != "running" {
                    assert_eq!(filled[0].sheet.value_at("species"), Some(EditValue::Option("trout".into())), "{id}");
                }
                if id == "change" && !empty {
                    assert_eq!(filled[0].sheet.value_at("fish"), Some(EditValue::Si(all)));
                }
            }
        }
    }

    /// Nitrite that asks for new water is what has to come down, also where there is no ammonia left.
    #[test]
    fn a_change_is_for_the_reading_that_asks_for_it() {
        let mut d = demo::by_id("courtyard").expect("a demo").document();
        let test = &mut d.ammonia[0].0;
        (test.tan, test.nitrite) = (CONCENTRATION.of(0.0), CONCENTRATION.of(mg_l(3.0)));
        let sheet = &fill(&d, "change").expect("filled")[0].sheet;
        let si = |key: &str| match sheet.value_at(key) {
            Some(EditValue::Si(x)) => x,
            other => panic!("{key}: {other:?}"),
        };
        let s = check::solve(&d, Day::Today).expect("solved").ammonia.expect("a test").out;
        assert!((si("reading") - mg_l(3.0)).abs() < 1e-12 && s.by_nitrite && s.change.value > 0.1);
        assert!((si("target") / si("reading") - (1.0 - s.change.value)).abs() < 1e-9);
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
