//! Cautions of a system: those of its parts, and what only shows in the whole.

use super::unfit;
use crate::calculators::ammonia::{self, Ammonia};
use crate::calculators::bed::{Bed as BedCalculator, hungry, unborne, unlike};
use crate::calculators::deadly::salt_borne;
use crate::calculators::drain::Drain;
use crate::calculators::heat::Heat;
use crate::calculators::levels::{FALLS_WITH_SUMP, GIVE_OVERFLOW, Levels};
use crate::calculators::outcome::{Caution, ENOUGH};
use crate::calculators::oxygen::Oxygen;
use crate::calculators::pump::Pump as PumpCalculator;
use crate::calculators::settling::Settling;
use crate::calculators::siphon::Siphon;
use crate::calculators::{Calculator, care, handling};
use crate::catalog::sources::{climate, oxygen, system, waterways};
use crate::catalog::species::Species;
use crate::science::sump::TopUp;
use crate::system::check::{self, Day, SALT_OFF, Solved};
use crate::system::document::{self, Document, FilterAt, Tank};
use crate::system::flow::{self, StationKind, Ways};
use crate::system::quality::{self, HeatSolved};
use crate::units::{kinds::*, *};

/// Where a pump that draws from a tank of fish leaves off.
const INTAKE: &str = "Set the intake, and the heater below it, so that enough water stays for the fish.";

/// A surface this many times another is that of another tank.
const UNLIKE: f64 = 1.6;

/// A flood this many times another is that of another bed.
const UNALIKE: f64 = 1.25;

/// Fish this many times as heavy as others may well eat them (judgement: then they are more than twice as long).
const EATEN: f64 = 10.0;

/// Beds that hold this many times the medium that is counted (judgement: the top of a bed stays dry, and corners are not fed).
const UNCOUNTED: f64 = 1.75;

/// All that is told beside the levels, once each.
pub(super) fn cautions(d: &Document, ways: &Ways<'_>, s: &Solved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    all.extend(year(d, w));
    let coldest = d.water.coldest.min(d.water.today);
    all.extend(
        quality::species(d)
            .filter_map(|s| Some(Caution::from(check::no_winter(s, coldest, w)?, s.warmth.fails_below?.source))),
    );
    all.extend(names(ways));
    all.extend(dry(ways, s));
    all.extend(unkept(ways, s));
    for i in 0..s.tanks.len() {
        all.extend(of_tank(d, ways, s, i, w));
    }
    all.extend(of_ways_out(d, ways, s, w));
    for (i, _) in d.beds.iter().enumerate() {
        all.extend(of_crop(d, s, i, w));
    }
    all.extend(s.pumps.iter().flatten().flat_map(|p| PumpCalculator::cautions(&p.inputs, &p.out, w)));
    all.extend(of_siphons(d, s, w));
    all.extend(of_sumps(d, s, w));
    all.extend(unfit::siphons_back(d, ways).map(|tank| siphons_back(tank, w)));
    all.extend(unasked(d, ways, s, w));
    if let Some(a) = &s.ammonia {
        all.extend(Ammonia::cautions(&a.inputs, &a.out, w));
        all.extend(ammonia::running_out(&a.out, ammonia::buffer_for(!d.beds.is_empty()), w));
    }
    all.extend(quality::species(d).filter_map(|s| handling::too_cold(s, d.water.today, w)));
    all.extend(strangers(d, w));
    all.extend(eaten(d, w));
    all.extend(salt(d, w));
    all.extend(uncounted(d, w));
    all.extend(unfit::unfit(d, w));
    all.extend(unfit::shared(d, ways));
    if topped_up_by_hand(d) {
        all.push(Caution::from(
            "Tap water for topping up brings chlorine: let it stand in the open for a day or treat it. Standing does not remove chloramine.",
            &climate::EPA_CHLORINE,
        ));
        all.push(Caution::from(care::COLD_GAS, &oxygen::GAS_BUBBLES));
    }
    all.extend(unheated(d, w).map(Caution::new));
    all.extend(s.heat.iter().flat_map(|h| of_heat(d, ways, h, w)));
    all.push(care::yard());
    let mut once: Vec<Caution> = vec![];
    for c in all {
        if !once.iter().any(|o| o.text == c.text) {
            once.push(c);
        }
    }
    once
}

/// Temperatures of a year that do not hold today's.
fn year(d: &Document, w: Words) -> Option<Caution> {
    let (cold, today, hot) = (d.water.coldest, d.water.today, d.water.hottest);
    let t = |t| w.q(TEMPERATURE, t);
    (hot < today || hot < cold || cold > today).then(|| {
        Caution::new(format!(
            "The year's water is given as {} to {}, and today's as {}: today must lie between, or the worst day is not checked.",
            t(cold),
            t(hot),
            t(today)
        ))
    })
}

/// Stations that get no water.
fn dry(ways: &Ways<'_>, s: &Solved) -> Option<Caution> {
    let all = ways.stations.iter().zip(&s.flows.through);
    let dry = all.filter(|(s, q)| **q <= 0.0 && !matches!(s.kind, StationKind::Pump | StationKind::Sump));
    let dry: Vec<_> = dry.map(|(s, _)| s.name.to_string()).collect();
    (!dry.is_empty()).then(|| Caution::new(format!("No water comes to {} as things are set.", listed(&dry))))
}

/// Pumps that feed one another and that nothing keeps even.
fn unkept(ways: &Ways<'_>, s: &Solved) -> Option<Caution> {
    let uneven: Vec<String> = uneven(ways, &s.flows).into_iter().map(String::from).collect();
    (!uneven.is_empty()).then(|| Caution::new(format!(
        "Pumps that feed one another draw from {} and never quite match: within minutes or hours one of these runs dry and another spills. Give the later pump's station an overflow back to the first; set that pump to less than comes in, on a float switch, its intake high where there are fish.",
        listed(&uneven)
    )))
}

/// Has every bed with a siphon an overflow?
fn overflows(d: &Document) -> bool {
    d.beds.iter().flat_map(|b| &b.siphon).all(|s| s.0.overflow.yes())
}

/// Is there a sump that no float valve tops up?
fn topped_up_by_hand(d: &Document) -> bool {
    d.sumps.iter().flat_map(|s| &s.levels).any(|l| l.0.top_up != TopUp::Float)
}

/// A tank's outlet, its oxygen, and what draws from it.
fn of_tank(d: &Document, ways: &Ways<'_>, s: &Solved, i: usize, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let (t, tank) = (&s.tanks[i], &d.tanks[i]);
    let (name, o, surface) = (&tank.name, &tank.oxygen, tank.outlet.surface);
    let level = o.volume / o.depth;
    let off = (surface / level).value;
    let mine = ways.out_of(ways.place(StationKind::Tank, i)).map(|k| &ways.stations[ways.edges[k].1]);
    let mut drawn = mine.filter(|p| p.kind == StationKind::Pump).peekable();
    if drawn.peek().is_some() && t.gone.is_none() {
        all.push(Caution::from(
            format!("{name}: if its inflow stops, the pump empties it down to the intake. {INTAKE}"),
            &system::DRAWN_FROM,
        ));
    }
    if t.gone.is_some() {
        let give = if overflows(d) { "" } else { " Give every bed an overflow back to it." };
        let unknown = drawn.any(|p| s.pumps[p.index].is_none());
        let pipe = if unknown { " What its supply pipe holds is not counted." } else { "" };
        all.push(Caution::from(
            format!("{name}: a pump draws from it, so a hose or bed that leaks pumps it down to the pump's intake. {INTAKE} With a sump their water stays.{pipe}{give}"),
            &system::DRAWN_FROM,
        ));
    } else if !(1.0 / UNLIKE..=UNLIKE).contains(&off) {
        all.push(Caution::new(format!(
            "{name}: {} of water {} deep has a surface of about {}, but its outlet is given {}. How soon it spills and how much drains back go by the latter.",
            w.q(VOLUME, o.volume),
            w.q(LENGTH, o.depth),
            w.q(AREA, level),
            w.q(AREA, surface)
        )));
    }
    if t.gone.is_none() {
        let outlet = check::outlet_of(d, tank, t.most, s.day).backed(t.backed[1]);
        all.extend(Drain::cautions(&outlet, &t.outlet, w));
    }
    if t.at_lowest_sump && t.inputs.flow < t.flow * ENOUGH {
        all.push(Caution::new(format!(
            "{name}: just before a top-up, beds full, only {} comes. Its oxygen is worked out at that.",
            w.q(FLOW, t.inputs.flow)
        )));
    }
    all.extend(Oxygen::cautions(&t.inputs, &t.oxygen, w));
    all
}

/// Settlers, outlets that are described besides those of tanks, and vessels that only pumps draw from.
fn of_ways_out(d: &Document, ways: &Ways<'_>, s: &Solved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    for (i, o) in s.settlers.iter().enumerate() {
        let flow = FLOW.of(s.flows.through[ways.place(StationKind::Settler, i)]);
        all.extend(Settling::cautions(&check::settling_of(d, &d.settlers[i], flow, s.settler_feeds[i], s.day), o, w));
    }
    for o in &s.ways_out {
        all.extend(Drain::cautions(&o.inputs, &o.out, w));
    }
    for p in &s.pools {
        let name = ways.stations[p.station].name;
        all.push(Caution::new(format!(
            "{name}: a pump draws from it, so a leak anywhere pumps it down to the pump's intake: set that so that enough stays."
        )));
    }
    all
}

/// A bed's crop and plants, in the water of all its fish and on the year's days.
fn of_crop(d: &Document, s: &Solved, i: usize, w: Words) -> Vec<Caution> {
    let (cold, today, hot) = (d.water.coldest, d.water.today, d.water.hottest);
    let bed = check::bed_of(d, &d.beds[i], s.bed_feeds[i], s.day);
    let mut all = BedCalculator::cautions(&bed, &s.beds[i], w);
    let others = quality::species(d).filter(|s| s.id != bed.species.id);
    all.extend(others.filter_map(|s| unlike(bed.crop, s, w)));
    let read = d.ammonia.first().filter(|a| a.0.is_read());
    all.extend(read.and_then(|a| hungry(bed.crop, a.0.ph, w)));
    let gets = s.heat.as_ref().and_then(|h| check::warmer(d, h)).unwrap_or(hot);
    for (day, t) in [(Day::Hottest, gets), (Day::Coldest, cold)].into_iter().filter(|(_, t)| *t != today) {
        let unborne = unborne(bed.crop, t, w).map(|text| format!("{}{}: {text}", d.beds[i].name, day.when()));
        all.extend(unborne.map(Caution::new));
    }
    all
}

/// Siphons, and beds that are not as large as theirs.
fn of_siphons(d: &Document, s: &Solved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    for (b, o) in d.beds.iter().zip(&s.siphons) {
        if let (Some(i), Some(o)) = (b.siphon.first(), o) {
            all.extend(Siphon::cautions(&check::siphon_of(d, i, o.inflow, s.day), o, w));
        }
    }
    for (b, (bed, o)) in d.beds.iter().zip(s.beds.iter().zip(&s.siphons)) {
        let (Some(flood), Some(o)) = (bed.flood, o) else { continue };
        if !(1.0 / UNALIKE..=UNALIKE).contains(&(o.swung / flood).value) {
            all.push(Caution::new(format!(
                "{}: its area, gaps and depth make a flood of {}, the sides, gaps and heights of its siphon {}. It is one bed; the sump goes by the siphon.",
                b.name,
                w.q(VOLUME, flood),
                w.q(VOLUME, o.swung)
            )));
        }
    }
    all
}

/// Sumps, the rain on all the water, and pipes that empty into sumps uncounted.
fn of_sumps(d: &Document, s: &Solved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    for u in s.sumps.iter().flatten() {
        let said = Levels::cautions(&u.inputs, &u.out, w).into_iter();
        // Rain is said once, of all the water; with the heat, if anything is said of that.
        let once = |c: &Caution| {
            overflows(d) && c.text == GIVE_OVERFLOW
                || c.text == FALLS_WITH_SUMP
                || c.source == Some(&waterways::CLOUDBURST)
        };
        all.extend(said.filter(|c| !once(c)));
    }
    if d.heat.is_empty() {
        all.push(care::rain("If it stands under the open sky,", quality::surface(d), w));
    }
    if s.pumps.iter().any(Option::is_none) && s.sumps.iter().any(Option::is_some) {
        all.push(Caution::new(
            "A supply pipe that is not described empties into the sump when its pump stops, and is not counted: leave room for it.",
        ));
    }
    all
}

/// What stands so much higher over a surface, and where it can be counted.
fn more_by_height(surface: Area, w: Words) -> String {
    let step = SHORT_LENGTH.of(w.step(SHORT_LENGTH, si::mm(10.0)));
    let (v, h) = (w.q(VOLUME, surface * step), w.q(SHORT_LENGTH, step));
    format!("{v} for every {h}: measure it, and add it to the other pipes that empty into the sump")
}

/// A supply pipe that ends under the water of a tank.
fn siphons_back(tank: &Tank, w: Words) -> Caution {
    Caution::new(format!(
        "{}: its supply pipe ends under water and siphons it back into the sump when the pump stops, which is not counted. End it above the water, or count {}.",
        tank.name,
        more_by_height(tank.outlet.surface, w)
    ))
}

/// That nothing is known of what keeps the water warm for fish that need it, and what to add; nothing for the others.
pub(in crate::system) fn unheated(d: &Document, w: Words) -> Option<String> {
    (d.heat.is_empty() && quality::wants_warmth(d)).then(|| {
        format!(
            "Heat is not checked, nor a cold night: these fish need warm water, and {} is taken to be its coldest. Add “Heat” to the system.",
            w.q(TEMPERATURE, d.water.coldest)
        )
    })
}

/// The heat part against what is entered elsewhere, and its own.
fn of_heat(d: &Document, ways: &Ways<'_>, h: &HeatSolved, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    if check::warmer(d, h).is_some() {
        all.push(Caution::new(format!(
            "In the hottest spell the water reaches about {} in the afternoon, and the hottest water of the year is given as {}: one is wrong, and hot days are checked at the first.",
            w.q(TEMPERATURE, h.out.afternoon),
            w.q(TEMPERATURE, d.water.hottest)
        )));
    }
    if topped_up_by_hand(d) && check::evaporates_more(d, ways, h).is_some() {
        all.push(Caution::new(format!(
            "In the hottest spell about {} evaporates by the heat part, more than is entered for the sump: that is counted.",
            w.q(DAILY_VOLUME, h.out.evaporated_hot)
        )));
    }
    all.extend(Heat::cautions(&h.inputs, &h.out, w));
    all
}

/// The outlets of settlers and beds, which no field describes, and siphons with more than they are set to.
fn unasked(d: &Document, ways: &Ways<'_>, s: &Solved, w: Words) -> Vec<Caution> {
    let (mut all, mut names, mut surface, mut comes) = (vec![], vec![], 0.0, 0.0f64);
    for (i, (station, most)) in ways.stations.iter().zip(&s.flows.most).enumerate() {
        if ways.is_drawn(i) && !ways.others(i) {
            continue;
        }
        surface += match station.kind {
            kind if s.way_out(kind, station.index).is_some() => continue,
            StationKind::Settler => {
                let s = &d.settlers[station.index];
                (s.surface() * s.settling.count).value
            }
            StationKind::Bed => match (&d.beds[station.index], &s.siphons[station.index]) {
                (_, Some(o)) => {
                    if *most > o.breaks.0.value && o.inflow <= o.breaks.0 {
                        let (q, full) = (|q: VolumeRate| w.q(FLOW, q), o.bed.flow_high);
                        let more = if *most > full.value {
                            format!(", and past {} the rest needs an overflow", q(full))
                        } else {
                            String::new()
                        };
                        all.push(Caution::new(format!(
                            "{}: {} may come if the pump sends all it can. From {} on its siphon may never break{more}.",
                            station.name,
                            q(FLOW.of(*most)),
                            q(o.breaks.0)
                        )));
                    }
                    continue;
                }
                (b, None) => b.surface().value,
            },
            _ => continue,
        };
        names.push(station.name.to_string());
        comes = comes.max(*most).max(s.surges[i]);
    }
    if !names.is_empty() {
        let (what, come) = (listed(&names), w.q(FLOW, FLOW.of(comes)));
        let back = if surface > 0.0 && s.sumps.iter().any(Option::is_some) {
            format!(
                " The water over it runs back when the pump stops and is not counted, {}.",
                more_by_height(AREA.of(surface), w)
            )
        } else {
            String::new()
        };
        all.push(Caution::new(format!(
            "Not checked: whether the outlet of {what} carries {come}, the most that may come.{back}"
        )));
    }
    all
}

/// Stations that pumps draw from whose water nothing keeps: what comes and what is drawn are never quite the same. An overflow past a pump that cannot take
/// all, or is set to clearly less, keeps it, and so does a pump whose water comes back there; one alone takes what all the others leave.
pub(super) fn uneven<'a>(ways: &'a Ways<'_>, flows: &flow::Flows) -> Vec<&'a str> {
    let pumps: Vec<usize> = (0..ways.stations.len()).filter(|&s| ways.is_pump(s)).collect();
    let takers = |s: usize| pumps.iter().copied().filter(move |&p| ways.edges.contains(&(s, p)));
    let kept = |s: usize| {
        let comes_back = if ways.others(s) {
            takers(s).all(|p| ways.below(p).contains(&s))
        } else {
            takers(s).all(|p| ways.pools_below(p) == [s])
        };
        let fed = || pumps.iter().filter(|p| ways.below(**p).contains(&s)).all(|p| ways.edges.contains(&(s, *p)));
        let takes = |of: &[f64]| takers(s).map(|p| of[p]).sum::<f64>();
        let (most, set, comes) = (takes(&flows.most), takes(&flows.through), flows.through[s]);
        // What an overflow takes keeps it even, whatever the pump could send if its valve were opened.
        comes_back && (ways.others(s) || fed()) || ways.others(s) && (most <= comes || set <= comes * ENOUGH)
    };
    let loose: Vec<usize> = (0..ways.stations.len()).filter(|&s| ways.is_drawn(s) && !kept(s)).collect();
    let mut all: Vec<usize> = loose.iter().flat_map(|&s| takers(s)).collect();
    all.sort_unstable();
    all.dedup();
    let names = loose.iter().filter(|_| loose.len() > 1 && all.len() > 1);
    names.map(|&s| ways.stations[s].name).collect()
}

/// Fish kept with others that they would eat.
fn eaten(d: &Document, w: Words) -> impl Iterator<Item = Caution> {
    d.tanks.iter().filter_map(move |t| {
        let all = || t.oxygen.fish.iter().filter(|g| g.total().value > 0.0).map(|g| g.mass);
        let (small, large) = (all().reduce(|a, b| a.min(b))?, all().reduce(|a, b| a.max(b))?);
        let [a, b] = [large, small].map(|m| w.q(SMALL_MASS, m));
        let text = || format!("{}: fish of {a} may well eat those of {b}. Keep them apart.", t.name);
        (large.value >= small.value * EATEN).then(|| Caution::new(text()))
    })
}

/// The salt of the water: the same everywhere, and no more than its fish bear.
fn salt(d: &Document, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let said = d.tanks.iter().map(|t| t.oxygen.salinity).chain(d.ammonia.iter().map(|a| a.0.salinity));
    let (low, high) = said.fold((f64::INFINITY, 0.0), |(a, b), s| (f64::min(a, s.value), f64::max(b, s.value)));
    if high - low > SALT_OFF {
        let [low, high] = [low, high].map(|x| w.q(SALINITY, SALINITY.of(x)));
        all.push(Caution::new(format!("The salt of tanks and water test is put at {low} to {high}: it is one water.")));
    }
    let high = check::salt(d);
    if high.value > SALT_OFF && !d.beds.is_empty() {
        let text = "Salt harms many plants, lettuce and beans first, and stays in the water until it is changed.";
        all.push(Caution::from(text, &climate::SALT_AND_PLANTS));
    }
    for s in quality::species(d) {
        let borne = salt_borne(s);
        if high > borne {
            let text = format!(
                "{} of salt is more than {} can take: {} at most.",
                w.q(SALINITY, high),
                s.noun,
                w.q(SALINITY, borne)
            );
            all.push(Caution::from(text, &climate::SALT_BORNE));
        }
    }
    all
}

/// The fish in one water that are farthest from feeding well in the same.
fn strangers(d: &Document, w: Words) -> Option<Caution> {
    let warm = quality::species(d).max_by(|a, b| a.well_from().value.total_cmp(&b.well_from().value))?;
    let cold = quality::species(d).min_by(|a, b| a.well_to().value.total_cmp(&b.well_to().value))?;
    let well = |s: &Species| w.range(TEMPERATURE, s.well_from(), s.well_to());
    let text = format!(
        "{} and {} do not like the same water: they feed well from {} and from {}.",
        sentence(warm.noun),
        cold.noun,
        well(warm),
        well(cold)
    );
    (warm.well_from() > cold.well_to()).then(|| Caution::from(text, cold.warmth.well_to.source))
}

/// Stations that what is said here cannot be told apart by.
fn names(ways: &Ways<'_>) -> Option<Caution> {
    let names: Vec<_> = ways.stations.iter().map(|s| s.name.trim()).collect();
    let unclear = |&(i, n): &(usize, &&str)| n.is_empty() || names[..i].iter().any(|m| m.eq_ignore_ascii_case(n));
    let (_, name) = names.iter().enumerate().find(unclear)?;
    Some(Caution::new(match *name {
        "" => "A station has no name: give it one, or nobody can tell which is meant.".into(),
        name => format!("Two stations are called {name}: rename one, or nobody can tell them apart."),
    }))
}

/// A filter that stands in the beds, and beds that hold far more of medium than is counted: one was added, perhaps.
fn uncounted(d: &Document, w: Words) -> Option<Caution> {
    let document::Ammonia(filter, FilterAt::Beds) = d.ammonia.first()? else { return None };
    let held = VOLUME.of(d.beds.iter().map(|b| b.medium().value).sum());
    (held.value > filter.media.value * UNCOUNTED).then(|| {
        Caution::new(format!(
            "The beds hold {} of medium, and {} is counted as biofilter. What is wet, fed and ripe counts too: enter it under “Water test and filter”.",
            w.q(VOLUME, held),
            w.q(VOLUME, filter.media)
        ))
    })
}
