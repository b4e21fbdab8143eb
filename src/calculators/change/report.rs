//! The words, repairs, pictures and tables of the water change and moving calculator.

use super::super::ammonia::Stay;
use super::*;

/// A time to take, in days where it is long. It is not rounded down, as what is left is.
fn in_days(t: Time, words: Words) -> String {
    if t.value < days(2.0) { words.q(HOURS, t) } else { words.q(DAYS, t) }
}

fn repairs(i: &ChangeIn, o: &ChangeOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    // What a step before offers is said once, for what kills.
    let mut put = |id: &str, title: String, edits: Vec<Edit>| {
        let new = mend::mend::<Change>(i, before, levels, id, title, edits, words.system);
        all.retain(|old: &Repair| new.as_ref().is_none_or(|new| new.title != old.title));
        all.extend(new);
    };
    let main = |o: &ChangeOut| levels(i, o).into_iter().next();
    let ends = |key: &str| mend::ends::<Change>(i, key);
    let to_salt = || vec![Edit::num("new_salt", i.left_salt)];
    let bad = |id: &str| before.iter().any(|l| l.id == id && l.state() != State::Enough);
    if before[0].state() != State::Enough {
        match i.job {
            Job::Change => {
                let smaller = |x: f64| vec![Edit::num("change", VOLUME.of(x))];
                // Smaller changes end at the same pH.
                let away = before.iter().any(|l| l.id == "acidity" && leads_away(i, l));
                let [least, _] = ends("change");
                if !away && let Some(x) = mend::just_enough::<Change>(i, main, smaller, i.change.value, least) {
                    let x = VOLUME.of(mend::rounded(
                        x,
                        i.change.value,
                        words.step(VOLUME, l(if x > l(20.0) { 5.0 } else { 0.1 })),
                    )
                    .max(least));
                    put("step", format!("Change {} at a time", words.q(VOLUME, x)), smaller(x.value));
                }
                let warm = |x: f64| vec![Edit::num("new_temperature", TEMPERATURE.of(x))];
                if let Some(x) =
                    mend::just_enough::<Change>(i, main, warm, i.new_temperature.value, i.temperature.value)
                {
                    // Not past the water that they are in.
                    let (from, to) = (i.new_temperature.value, i.temperature.value);
                    let x = TEMPERATURE.of(mend::degrees(x, from, words).clamp(from.min(to), from.max(to)));
                    put("step", format!("Bring the new water to {} first", words.q(TEMPERATURE, x)), warm(x.value));
                }
            }
            Job::Hold => {
                let (fewer, [least, _]) = (|x: f64| vec![Edit::num("fish", MASS.of(x))], ends("fish"));
                if let Some(x) = mend::just_enough::<Change>(i, main, fewer, i.fish.value, least) {
                    let x = MASS.of(mend::round_down(x, words.one(MASS)).max(least));
                    put("oxygen", format!("{} of fish in a drum", words.q(MASS, x)), fewer(x.value));
                }
                let (air, [_, most]) = (|x: f64| vec![Edit::num("air", AIR_FLOW.of(x))], ends("air"));
                if let Some(x) = mend::just_enough::<Change>(i, main, air, i.air.value, most) {
                    let x = AIR_FLOW.of(mend::rounded(x, i.air.value, words.step(AIR_FLOW, l_min(5.0))).min(most));
                    put("oxygen", format!("{} of air at the stones", words.q(AIR_FLOW, x)), air(x.value));
                }
                if i.fed == Fed::Today {
                    put("oxygen", "Leave them unfed for a day before".into(), vec![Edit::pick("fed", "fasted")]);
                }
            }
            Job::Move => {
                let (longer, [_, most]) = (|x: f64| vec![Edit::num("planned", HOURS.of(x))], ends("planned"));
                // More time into water that kills only spreads the death.
                let kills = ["warmth", "acidity", "salt", "chlorine"];
                let kills = before.iter().any(|l| kills.contains(&&*l.id) && l.state() == State::Over);
                if !kills && let Some(x) = mend::just_enough::<Change>(i, main, longer, i.planned.value, most) {
                    let step = if x < days(2.0) { hours(1.0) } else { days(1.0) };
                    let x = HOURS.of(mend::rounded(x, i.planned.value, step).min(most));
                    let place = if x.value <= IN_A_DRUM { "their drum with air" } else { "a tank of their own" };
                    put("spread", format!("Take {}, in {place}", in_days(x, words)), longer(x.value));
                }
                if (i.new_ph.value - i.ph.value).abs() > i.ph_step.value {
                    put("spread", "Bring the other water to their pH first".into(), vec![Edit::num("new_ph", i.ph)]);
                }
                put("spread", THEIR_SALT.into(), to_salt());
                if (i.new_temperature.value - i.temperature.value).abs() > mixing::STEP.value {
                    put(
                        "spread",
                        "Bring the other water to their temperature first".into(),
                        vec![Edit::num("new_temperature", i.temperature)],
                    );
                    if (i.new_ph.value - i.ph.value).abs() > i.ph_step.value {
                        let both = vec![Edit::num("new_temperature", i.temperature), Edit::num("new_ph", i.ph)];
                        put("spread", "Bring it to their temperature and pH first".into(), both);
                    }
                }
            }
            Job::Dose => {
                let less = |x: f64| vec![Edit::num("alkalinity_target", CONCENTRATION.of(x))];
                if let Some(x) =
                    mend::just_enough::<Change>(i, main, less, i.alkalinity_target.value, i.alkalinity.value)
                {
                    let x = CONCENTRATION.of(significant(x * 0.995, 3).max(i.alkalinity.value));
                    put("ph", format!("Go to {} today", words.q(CONCENTRATION, x)), less(x.value));
                }
            }
        }
    }
    if let ChangeOut::Change(c) = o
        && let Some(poison) = &c.poison
    {
        for (id, title, edits) in poison.repairs(i, c, words) {
            put(id, title, edits);
        }
    }
    let to_ph = || vec![Edit::num("new_ph", i.ph)];
    let to_warmth = || vec![Edit::num("new_temperature", i.temperature)];
    match i.job {
        Job::Hold => {
            for id in ["tan", "unionised", "carbon_dioxide"].into_iter().filter(|id| bad(id)) {
                let of = |o: &ChangeOut| levels(i, o).into_iter().find(|l| l.id == id);
                let (fewer, [least, _]) = (|x: f64| vec![Edit::num("fish", MASS.of(x))], ends("fish"));
                if let Some(x) = mend::just_enough::<Change>(i, of, fewer, i.fish.value, least) {
                    let x = MASS.of(mend::round_down(x, words.one(MASS)).max(least));
                    put(id, format!("{} of fish in a drum", words.q(MASS, x)), fewer(x.value));
                }
                let (sooner, [least, _]) = (|x: f64| vec![Edit::num("hours", HOURS.of(x))], ends("hours"));
                if let Some(x) = mend::just_enough::<Change>(i, of, sooner, i.hours.value, least) {
                    let x = HOURS.of(mend::round_down(x, hours(1.0)).max(least));
                    put(id, format!("No longer than {}", words.q(HOURS, x)), sooner(x.value));
                }
                put(id, "Leave them unfed for a day before".into(), vec![Edit::pick("fed", "fasted")]);
            }
        }
        Job::Move if bad("unionised") => {
            let title = "Net them into clean water of their own temperature and pH first".into();
            put("unionised", title, vec![Edit::num("tan", CONCENTRATION.of(0.0))]);
        }
        _ => {}
    }
    let foul = i.what == What::Ammonia && i.asked().incoming() > i.poison_new;
    for id in [(bad("chloramine"), "chloramine"), (foul && bad("reach"), "reach")].iter().filter(|x| x.0).map(|x| x.1) {
        let title = "Take other water, without chloramine: rain, a well, a tank that runs".into();
        put(id, title, vec![Edit::num("chlorine", CONCENTRATION.of(0.0))]);
    }
    if bad("chlorine") {
        let title = "Take the chlorine out with thiosulphate crystals".into();
        put("chlorine", title, vec![Edit::pick("remover", "crystals")]);
    }
    for id in ["warmth", "netted"] {
        if bad(id) && !matches!(i.job, Job::Hold | Job::Dose) {
            put(id, "Bring the other water to their temperature first".into(), to_warmth());
        }
    }
    if bad("netted") && matches!(i.job, Job::Hold | Job::Move) {
        let (now, (low, high)) = (i.temperature, handled(i));
        let x = TEMPERATURE.of(mend::degrees(now.max(low).min(high).value, now.value, words));
        let title = format!("Leave them alone until their water is at {}", words.q(TEMPERATURE, x));
        put("netted", title, vec![Edit::num("temperature", x)]);
    }
    if bad("alkalinity") {
        let of = |o: &ChangeOut| levels(i, o).into_iter().find(|l| l.id == "alkalinity");
        let more = |x: f64| CONCENTRATION.of((x - i.new_alkalinity.value).max(0.0));
        let limed = |x: f64| {
            let ph = carbonate::ph_with_bicarbonate(&i.new_water(), more(x)).max(i.new_ph);
            vec![Edit::num("new_alkalinity", CONCENTRATION.of(x)), Edit::num("new_ph", ph)]
        };
        let [_, most] = ends("new_alkalinity");
        if let Some(x) = mend::just_enough::<Change>(i, of, limed, i.new_alkalinity.value, most) {
            let x = mend::upwards(ALKALINITY, CONCENTRATION.of(x), mg_l(5.0), words).min(CONCENTRATION.of(most));
            let soda = weighed(treatment::bicarbonate(more(x.value), i.change, Buffer::Sodium), words);
            let title = format!(
                "{soda} of baking soda into each change first, which lifts its alkalinity to {} (where plants grow, 1.2 times as much potassium bicarbonate)",
                words.q(ALKALINITY, x)
            );
            put("alkalinity", title, limed(x.value));
        }
    }
    if bad("nitrite") {
        let of = |o: &ChangeOut| levels(i, o).into_iter().find(|l| l.id == "nitrite");
        let less = |x: f64| vec![Edit::num("nitrite", CONCENTRATION.of(x))];
        if let Some(x) = mend::just_enough::<Change>(i, of, less, i.nitrite.value, 0.0) {
            let x = CONCENTRATION.of(significant(x * 0.995, 3));
            put(
                "nitrite",
                format!("Change water until the nitrite is down to {}", words.q(CONCENTRATION, x)),
                less(x.value),
            );
        }
    }
    if bad("acidity") && i.job != Job::Dose {
        put("acidity", "Bring the other water to their pH first".into(), to_ph());
    }
    if bad("start") {
        let least = CONCENTRATION.of((i.species.oxygen_critical().value / ENOUGH).max(i.species.oxygen_floor().value));
        let title = format!("Air the water to {} before they go in", words.q(CONCENTRATION, least));
        put("start", title, vec![Edit::num("oxygen", least)]);
    }
    if bad("salt") {
        let most = SALINITY.of(treatment::SALT_FOR_LONG.value);
        if i.salt > most {
            put("salt", format!("Salt to {}, no more", words.q(SALINITY, most)), vec![Edit::num("salt", most)]);
        }
        put("salt", THEIR_SALT.into(), to_salt());
    }
    if bad("density") {
        let fish = MASS.of(CROWDED.value * ENOUGH * i.container.value);
        put("density", format!("{} of fish in a drum", words.q(MASS, fish)), vec![Edit::num("fish", fish)]);
    }
    // What kills first is put right first.
    let mut ordered = vec![];
    for id in KILLS {
        let over = before.iter().any(|l| l.id == id && l.state() == State::Over);
        let (first, rest): (Vec<_>, _) = all.into_iter().partition(|r: &Repair| over && r.level.id == id);
        ordered.extend(first);
        all = rest;
    }
    ordered.extend(all);
    if let ChangeOut::Hold(h) = o {
        let airy = |r: Repair| match r.edits.iter().find(|e| e.path == "air").map(|e| e.to.clone()) {
            Some(EditValue::Si(air)) => outage::stormy(r, AIR_FLOW.of(air), h.water, words),
            _ => r,
        };
        ordered = outage::sparing(ordered.into_iter().map(airy).collect(), i.fish.value, i.mass.value);
    }
    ordered
}

const THEIR_SALT: &str = "Bring the other water to their salt first";

/// What is said of water that they are netted in or into.
fn netted_in(i: &ChangeIn, words: Words) -> Option<Caution> {
    let other = match i.job {
        Job::Hold => i.temperature,
        Job::Move => i.new_temperature,
        Job::Change | Job::Dose => return None,
    };
    handling::unfit(i.species, [i.temperature, other], words)
}

fn general_cautions(i: &ChangeIn, words: Words) -> Vec<Caution> {
    let mut all = vec![];
    all.extend(netted_in(i, words));
    // Where the page leads with it, it is said once.
    let led = matches!(i.job, Job::Hold | Job::Dose);
    all.extend(dying(i, words).filter(|_| !led).map(Caution::new));
    all
}

/// What is said of fish in water that kills them.
fn dying(i: &ChangeIn, words: Words) -> Option<String> {
    let (low, high) = bears(i.species);
    (i.temperature < low || i.temperature > high).then(|| {
        format!(
            "In the water they are in, {} die: they live from {} to {}. Mind that before anything else.",
            i.species.noun,
            words.q(TEMPERATURE, low),
            words.q(TEMPERATURE, high)
        )
    })
}

/// Do changes end at a pH that fish do not bear, and no nearer to what they do than now?
fn leads_away(i: &ChangeIn, end: &Level) -> bool {
    end.state() == State::Over && end.fullness() > acidity("", i.ph).fullness()
}

fn report_change(i: &ChangeIn, c: &ChangeFound, words: Words) -> Report {
    let mut verdict = String::new();
    if c.tap.kills() {
        verdict += &format!(
            "A change leaves {} of chlorine in the tank, which kills fish: take it out of the new water first. ",
            words.q(CONCENTRATION, c.tap.chlorine)
        );
    }
    let (low, high) = c.bears;
    if c.blend < low || c.blend > high {
        verdict += &format!(
            "In such water {} die: a change takes it to {}, and {}they live from {} to {}. ",
            i.species.noun,
            words.q(TEMPERATURE, c.blend),
            match low > i.species.dies_below() {
                true => format!("used to {} ", words.q(TEMPERATURE, i.temperature)),
                false => String::new(),
            },
            words.q(TEMPERATURE, low),
            words.q(TEMPERATURE, high)
        );
    }
    let away = leads_away(i, &acidity("", c.end()));
    if away {
        let [low, high] = mixing::PH_BORNE.map(|c| words.plain(c.value));
        verdict += &format!(
            "Not with this water: it brings theirs to pH {}, and {} can take {low} to {high}. ",
            words.plain(c.end().value),
            i.species.noun
        );
    } else if let Some(d) = Deadly::of_ph(i.species, i.ph) {
        verdict += &(d.first(words) + " ");
    }
    if let Some(poison) = &c.poison {
        verdict += &poison.said(i.species, words);
    }
    let (new, brought) = (i.incoming(), i.brought());
    let perhaps = i.what == What::Other && i.reading.value <= mg_l(PERHAPS_AMMONIA);
    verdict += &match c.changes {
        Some(n) if n <= 0.0 => "It is down already.".to_string(),
        Some(n) => format!(
            "{} {} of {} {} it from {} to {}.",
            words.plain(n),
            if n > 1.0 { "changes" } else { "change" },
            words.q(VOLUME, i.change),
            if n > 1.0 { "bring" } else { "brings" },
            words.q(CONCENTRATION, i.reading),
            words.q(CONCENTRATION, mixing::after_changes(i.reading, new, c.share, n))
        ),
        None if new > i.target => format!(
            "New water alone cannot bring it there: it carries more than that itself{}.",
            if new > i.new_reading { ", out of its chloramine" } else { "" }
        ),
        None => "New water alone comes near it and never there: it carries as much itself.".into(),
    };
    if perhaps && brought > i.new_reading && i.new_reading < i.target && i.target < i.reading {
        let left = mixing::after_changes(i.reading, brought, c.share, c.changes.unwrap_or(1.0));
        verdict += &format!(
            " If that is ammonia nitrogen, the new water brings {} of it out of its chloramine: {}.",
            words.q(CONCENTRATION, brought),
            match brought < i.target {
                true => format!("so many changes leave {}", words.q(CONCENTRATION, left)),
                false => "new water alone cannot bring it there".into(),
            }
        );
    }
    // No change is made where it makes it worse.
    let worse = c.poison.is_some() && c.changes.is_none() && new >= i.reading;
    if worse {
        verdict += " Use other water.";
    } else if let Some(remedy) = c.tap.remedy(i, words).filter(|_| c.changes.is_none_or(|n| n > 0.0)) {
        let each = match c.changes {
            Some(1.0) => "it",
            Some(n) if n > 1.0 => "each change",
            _ => "a change",
        };
        verdict += &format!(" Put {remedy}, into {each} first.");
    }
    let water = |t, ph: Ratio| format!("{} and pH {}", words.q(TEMPERATURE, t), words.plain(ph.value));
    let after = water(c.blend, c.ph);
    verdict += &match c.changes {
        Some(n) if n <= 0.0 => format!(" A change would take the water to {after}."),
        Some(n) if n > 1.0 => {
            let cooled = (c.last.value - i.temperature.value).abs() > mixing::STEP.value;
            let soured = (c.last_ph.value - i.ph.value).abs() > mixing::PH_STEP.value;
            let last = water(c.last, c.last_ph);
            let soon = c.poison.as_ref().is_some_and(|p| p.stay >= Stay::Hours);
            let pace = match (cooled, soured) {
                _ if away => "",
                (true, _) if soon => ": warm the new water to theirs, and spread them over the day",
                (true, _) => ": make one a day, no more, and let the water come back to its warmth before the next",
                (_, true) if soon => ": bring the new water near their pH, and spread them over the day",
                (_, true) => ": make one a day, no more",
                _ => "",
            };
            format!(" The first takes the water to {after}. All of them in one day would end at {last}{pace}.")
        }
        Some(_) => format!(" It takes the water to {after}."),
        None if worse => String::new(),
        None => format!(" A change would take the water to {after}."),
    };
    if c.change > c.safe {
        let each = if c.changes.is_some_and(|n| n > 1.0) { "Each change" } else { "That" };
        verdict += &format!(" {each} is too much at once: {} at most.", words.q(VOLUME, c.safe));
    }
    let mut cautions = general_cautions(i, words);
    if i.new_temperature < low || i.new_temperature > high {
        cautions.push(Caution::new(format!(
            "The new water itself kills {}: let it in slowly, where it mixes at once, or bring it nearer to their temperature first.",
            i.species.noun
        )));
    }
    verdict += &c.poison.as_ref().filter(|_| !worse).and_then(|p| p.still(words)).unwrap_or_default();
    verdict += &c.poison.as_ref().filter(|_| !worse).and_then(|p| p.passes(i.species, words)).unwrap_or_default();
    if let Some((all, x)) = c.chloramine.filter(|x| x.1 > c.limit) {
        verdict += &format!(" The new water brings {}. Bind it, or take other water.", brings(all, x, c.limit, words));
    }
    if buffered(c.lime, CONCENTRATION.of(0.0)).state() == State::Over {
        let lime = words.q(ALKALINITY, c.lime);
        verdict += &format!(" They end at {lime} of alkalinity, which no longer holds the pH: buffer the new water.");
    }
    cautions.extend(turning_poisonous(i, c, words).or_else(|| lifting(i, c, words)));
    cautions.extend(c.poison.iter().flat_map(|p| p.cautions(words)));
    cautions.extend(c.tap.cautions(i, words));
    cautions.extend(untapped(i));
    cautions.push(Caution::from(
        "Fill across an air gap, as a spray where the water is cold or comes under pressure (it lets go of gas that harms fish), never with a hose left in the tank: system water must not be sucked back into the drinking water. Local codes say how.",
        &src::BACKFLOW,
    ));
    let mut notes = vec![];
    if let Some(x) = c.once.filter(|x| x.value > 0.0 && !away) {
        let mut note = format!(
            "All at once it would take {}; run through with the overflow running, {}.",
            words.q(VOLUME, x),
            c.through.map_or("more than any amount".into(), |t| words.q(VOLUME, t))
        );
        if x > c.safe {
            note += &format!(
                " Either is more than the {} that these fish bear at once: only run through over days, or for a tank without fish.",
                words.q(VOLUME, c.safe)
            );
        }
        if i.chlorine.value > 0.0 && i.remover != Remover::None {
            note += " The remover has to be measured for all of that water, not for one change.";
        }
        notes.push(note);
    }
    let n = c.changes.unwrap_or(6.0).clamp(3.0, 30.0) as u32 + 1;
    let points: Vec<_> =
        (0..=n).map(|k| (f64::from(k), mixing::after_changes(i.reading, new, c.share, f64::from(k)).value)).collect();
    let most = points.iter().map(|p| p.1).fold(i.target.value, f64::max);
    Report {
        verdict,
        cautions,
        notes,
        pictures: vec![Picture::Chart(Chart {
            title: "The reading, change by change".into(),
            describe: format!(
                "From {} down towards {}, the reading of the new water.",
                words.q(CONCENTRATION, i.reading),
                words.q(CONCENTRATION, new)
            ),
            x: Axis::new("changes", COUNT.0, 0.0, f64::from(n), words.system),
            y: Axis::new("reading", CONCENTRATION.0, 0.0, most * 1.05, words.system),
            series: vec![Series { name: "reading".into(), role: Role::Water, points }],
            marks: vec![],
            bands: vec![],
            brim: Some((i.target.value, "wanted".into())),
        })],
        ..Report::default()
    }
}

/// What is said of water without chlorine, which is no tap's.
fn untapped(i: &ChangeIn) -> Option<Caution> {
    (i.chlorine.value <= 0.0).then(|| {
        Caution::from(
            "Water of a well: test iron and nitrate, smell for rotten eggs (hydrogen sulphide, which kills), and let it fall or air it for a day, for it often has no oxygen and too much of other gases. Rain has no buffer and no calcium; take none off metal roofs.",
            &src::WELL_WATER,
        )
    })
}

/// What is said to those who net them.
fn spines() -> Caution {
    Caution::from(
        "Spines of fins and gill covers prick: gloves, and no open cuts in the water. Show a wound that swells or does not heal to a doctor, and tell of the fish.",
        &src::SPINES,
    )
}

/// The highest reading that may still be ammonia; nitrate and salt stand higher, and are harmless in this way.
const PERHAPS_AMMONIA: f64 = 20.0;

/// If what is read is ammonia, new water that lifts the pH can turn more of it poisonous than it takes away.
fn turning_poisonous(i: &ChangeIn, c: &ChangeFound, words: Words) -> Option<Caution> {
    let now = unionised(i.temperature, i.ph, SALINITY.of(0.0), i.reading);
    let worst = i.worst_on_the_way(c.changes, i.brought());
    let limit = i.species.unionised_limit();
    let perhaps = i.what == What::Other && i.reading.value <= mg_l(PERHAPS_AMMONIA);
    (perhaps && worst.unionised > now && worst.unionised > limit).then(|| {
        Caution::from(
            format!(
                "If the reading is ammonia nitrogen: at pH {} {} of it is un-ionised, more than the {} now and the {} that {} bear. Lower the pH of the new water first, or bind the ammonia.",
                words.plain(worst.ph.value),
                words.q(CONCENTRATION, worst.unionised),
                words.q(CONCENTRATION, now),
                words.q(CONCENTRATION, limit),
                i.species.noun
            ),
            &oxygen_src::EMERSON_1975,
        )
    })
}

/// Where something else is read, what a rise of the pH makes of the ammonia that nobody read.
fn lifting(i: &ChangeIn, c: &ChangeFound, words: Words) -> Option<Caution> {
    let warm = if c.changes.is_some_and(|n| n > 0.0) { c.last } else { c.blend };
    let share = |t, ph| brackish::unionised_share(t, within(ph), SALINITY.of(0.0)).ok();
    let (now, then) = (share(i.temperature, i.ph)?, share(warm, c.end())?);
    let lifts = i.what == What::Other && c.end().value > i.ph.value + mixing::PH_STEP.value && then > now;
    lifts.then(|| {
        Caution::from(
            format!(
                "The new water brings the pH from {} to {}, where {} times as much of any ammonia is un-ionised. Test ammonia first: there {} bear {} of it, as nitrogen.",
                words.plain(i.ph.value),
                words.plain(c.end().value),
                words.plain(significant((then / now).value, 2)),
                i.species.noun,
                words.q(CONCENTRATION, ammonia::tan_borne(i.species, then))
            ),
            &oxygen_src::EMERSON_1975,
        )
    })
}

fn report_hold(i: &ChangeIn, h: &HoldFound, words: Words) -> Report {
    let state = levels(i, &ChangeOut::Hold(h.clone()))[0].state();
    let dies = dying(i, words);
    let cold = netted_in(i, words).filter(|_| dies.is_none()).map(|c| c.text);
    let sour = Deadly::of_ph(i.species, h.ph).map(|d| d.first(words));
    let mut told: Vec<_> = [dies, sour, Deadly::of_salt(i.species, h.salty.0).map(|d| d.first(words)), cold].into();
    let [poison, most] = [h.unionised, h.limit.1].map(|x| words.q(CONCENTRATION, x));
    let short = h.start.1 <= h.start.0;
    let left = match h.airless {
        _ if short => String::new(),
        true => format!(" Without air they have {}.", words.range(MINUTES, h.stop.0, h.stop.1)),
        false => format!(" If the air stops they have {}.", words.range(MINUTES, h.stop.0, h.stop.1)),
    };
    let lasts = format!(
        "{} in {} for {}: {}{left}",
        words.q(MASS, i.fish),
        words.q(VOLUME, i.container),
        words.q(HOURS, i.hours),
        match state {
            _ if short => "the water holds too little oxygen to put them in. Air it first.",
            State::Enough => "there is enough oxygen.",
            State::Tight => "oxygen just lasts.",
            State::Over => "oxygen does not last.",
        }
    );
    told.push(Some(lasts));
    let at = match h.at > h.ph {
        true => format!(" at pH {}, which the air brings", words.plain(h.at.value)),
        false => String::new(),
    };
    let all = words.q(CONCENTRATION, h.tan);
    let ammonia = match h.ammonia().state() {
        _ if h.unionised > h.limit.1 => Some(format!(
            "Their ammonia poisons them: {poison} of it is un-ionised by the end{at}, and for so long they bear {most}. Fewer fish, less time, or new water on the way."
        )),
        State::Over => Some(format!(
            "Their ammonia poisons them: {all} of it by the end, and for so long they bear {}. Fewer fish, less time, or new water on the way.",
            words.q(CONCENTRATION, h.limit_of_all[0])
        )),
        _ if h.unionised > h.limit.0 => Some(format!(
            "By the end {poison} of their ammonia is un-ionised{at}, more than the {} safe for long: they can take that for some hours, no more.",
            words.q(CONCENTRATION, h.limit.0)
        )),
        State::Tight => {
            Some(format!("By the end there is {all} of ammonia nitrogen in it: test it, and change water on the way."))
        }
        State::Enough => None,
    };
    // Want of oxygen kills before the ammonia does.
    let poisons = h.unionised > h.limit.1 || h.ammonia().state() == State::Over;
    let before = poisons && state != State::Over && h.start.1 > h.start.0;
    told.insert(told.len() - usize::from(before), ammonia);
    let gas = words.q(CONCENTRATION, h.carbon_dioxide);
    let narcotic = h.carbon_dioxide.value > mg_l(reserve::CARBON_DIOXIDE_HOURS.value);
    if h.airless {
        told.push(
            narcotic.then(|| format!("They breathe out up to {gas} of carbon dioxide, and without air it stays.")),
        );
        let bag = "A bag filled with oxygen is not counted here: keep to the seller's packing and hours.";
        told.push(Some(bag.into()));
    }
    let mut verdict = told.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let most = STOCKING.of(CROWDED.value);
    if h.density > most {
        let (is, most) = (words.q(STOCKING, h.density), words.q(STOCKING, most));
        verdict += &format!(" That is {is}, too crowded: growers with air and pure oxygen keep {most} at most.");
    }
    let mut cautions = general_cautions(i, words);
    cautions.extend(outage::no_more_than(h.start.1, i.oxygen, words));
    if i.depth > i.hang() && !h.airless {
        let [said, most] = [i.depth, i.hang()].map(|x| words.q(LENGTH, x));
        cautions.push(Caution::new(format!("No drum of that size is {said} deep: the stone is counted at {most}.")));
    }
    if h.start.1 > h.holds {
        let holds = words.q(CONCENTRATION, h.holds);
        cautions.push(Caution::new(format!(
            "Water holds {holds} beside air: the rest of the reading counts only while the drum stays closed."
        )));
    }
    cautions.push(Caution::from(
        "Stay with them. Keep a second, battery-driven air pump at hand, shade and a lid on the drum, and watch for fish at the surface.",
        &src::RUN_ALWAYS,
    ));
    if narcotic {
        cautions.push(Caution::from(
            format!(
                "They breathe out {gas} of carbon dioxide over that time. Strong bubbling drives it off; a tight lid does not let it."
            ),
            &src::CARBON_DIOXIDE_LIMIT,
        ));
    }
    cautions.push(spines());
    cautions.push(Caution::new("Use a food-grade drum of known history, rinsed, with water of their own tank. Pipe glue must be cured and rinsed before fish go back."));
    let notes = vec![
        "Unfed for a day before, they breathe less and foul the water less. Move them in the cool of the day.".into(),
        format!(
            "The drum holds {}. For hours, watched, up to {} is done. To live in, they need more room: {} at harvest with air for beginners, fewer fish where solids stay in.",
            words.q(STOCKING, h.density),
            words.q(STOCKING, most),
            words.q(STOCKING, STOCKING.of(BEGINNERS))
        ),
        format!(
            "Tie the drum down: full, it weighs {}, and it surges.",
            words.q(MASS, MASS.of(i.container.value * handling::KILOGRAMS_PER_CUBIC_METRE))
        ),
    ];
    let still = drum(i, None);
    let span = HOURS.of(h.stop.1.value.clamp(600.0, hours(48.0)));
    let series =
        [("just netted", h.demand.1, Role::Spill), ("at rest", h.demand.0, Role::Water)].map(|(name, demand, role)| {
            let points = (0..=24).map(|n| {
                let t = HOURS.of(span.value * f64::from(n) / 24.0);
                let c = still.as_ref().map_or(i.oxygen, |s| s.after(h.water, demand, i.oxygen, t));
                (t.value, c.value)
            });
            Series { name: name.into(), role, points: points.collect() }
        });
    let critical = i.species.oxygen_critical();
    Report {
        verdict,
        cautions,
        notes,
        pictures: vec![Picture::Chart(Chart {
            title: if h.airless { "Without air" } else { "If the air stops" }.into(),
            describe: format!(
                "Oxygen falls from {} to the critical {} in {}.",
                words.q(CONCENTRATION, i.oxygen),
                words.q(CONCENTRATION, critical),
                words.range(MINUTES, h.stop.0, h.stop.1)
            ),
            x: Axis::new("time", MINUTES.0, 0.0, span.value, words.system),
            y: Axis::new("oxygen", CONCENTRATION.0, 0.0, i.oxygen.value.max(critical.value) * 1.1, words.system),
            series: series.into(),
            marks: vec![],
            bands: vec![],
            brim: Some((critical.value, "critical".into())),
        })],
        ..Report::default()
    }
}
/// 1/4 lb/gal, MSU Extension.
const BEGINNERS: f64 = 30.0;

/// What is done with water whose ammonia poisons them. Air stays on wherever it is on: without it they die sooner.
fn poison(m: &MoveFound, words: Words) -> String {
    if m.closed {
        return "Do not mix the waters. Open the bag only to net them out at once: once it is open its pH rises, and its ammonia turns poisonous.".into();
    }
    let at = words.plain(m.at.value);
    format!("Do not mix the waters: at pH {at} the ammonia of theirs poisons them. Keep the air on until they are out.")
}

/// Ammonia out of chloramine that poisons.
fn brings(all: MassConcentration, x: MassConcentration, limit: MassConcentration, words: Words) -> String {
    let [all, x, limit] = [all, x, limit].map(|x| words.q(CONCENTRATION, x));
    format!("{all} of ammonia nitrogen out of its chloramine, {x} of it un-ionised, and they bear {limit}")
}

fn report_move(i: &ChangeIn, m: &MoveFound, words: Words) -> Report {
    let kills = i.new_temperature < m.bears.0 || i.new_temperature > m.bears.1;
    let far = acidity("", i.new_ph).state() == State::Over;
    let salty = Deadly::of_salt(i.species, m.salty.0);
    let poisons = m.unionised > m.limit;
    let foul = m.chloramine.filter(|x| *x > m.limit);
    let mut verdict = if m.tap.kills() {
        format!(
            "Do not move them there: {} of chlorine is in the other water, which kills fish. Take it out first. ",
            words.q(CONCENTRATION, m.tap.chlorine)
        )
    } else {
        String::new()
    };
    let lives = !kills && !far && salty.is_none();
    let near = m.spread.1.value <= 0.0;
    if let Some(x) = foul.filter(|_| lives) {
        verdict += &format!(
            "Do not move them there yet: the other water holds {}. Bind it, or let a ripe filter take it, and test. ",
            brings(m.tap.left, x, m.limit, words)
        );
    }
    let unfit = netted_in(i, words).filter(|_| lives);
    // How it is done is for when it may be done.
    let once = |text: String| match unfit.is_some() {
        true => format!("Once that is put right, {}", lower(&text)),
        false => text,
    };
    if let Some(unfit) = &unfit {
        verdict += &format!("{} ", unfit.text);
    }
    let sudden = i.species.dies_below_from(i.temperature);
    if lives && i.new_temperature < sudden {
        verdict += &format!(
            "Used to {}, {} die below {} if it comes within days: let a season cool them. ",
            words.q(TEMPERATURE, i.temperature),
            i.species.noun,
            words.q(TEMPERATURE, sudden)
        );
    }
    if poisons && lives {
        verdict += &poison(m, words);
        verdict += if near && m.closed {
            " Float the bag closed for a quarter of an hour, then net them across."
        } else if near {
            " Net them across."
        } else {
            " Net them first into clean water of their own temperature and pH, without ammonia, and spread it from there. "
        };
    }
    verdict += &if kills || far {
        let water =
            if kills { words.q(TEMPERATURE, i.new_temperature) } else { format!("pH {}", words.plain(i.new_ph.value)) };
        format!("Do not move them there, however slowly: {} do not live in water of {water}.", i.species.noun)
    } else if let Some(salty) = salty {
        format!("Do not move them there: {}", salty.advised("water", words))
    } else if near && poisons {
        String::new()
    } else if near {
        let then = match (foul, m.closed) {
            (Some(_), _) => "",
            (_, true) => ": float the bag for a quarter of an hour, then let them go",
            _ => ": net them across",
        };
        once(format!("The two waters are near enough, in salt too{then}."))
    } else {
        let (time, mut what) = (in_days(m.spread.1, words), "pH");
        let mut gap = words.plain(m.ph_gap.value.abs());
        if m.salt.1 >= m.spread.1 {
            what = "salt";
            gap = words.q(SALINITY, SALINITY.of((i.new_salt.value - i.left_salt.value).abs()));
        } else if m.warm.1 >= m.acid.1 {
            what = "temperature";
            gap = words.q(TEMPERATURE_DIFFERENCE, TEMPERATURE_DIFFERENCE.of(m.gap.value.abs()));
        }
        once(match m.gentle {
            true => format!("Best spread it over {time}, and over half an hour at the least: the pH is {gap} apart."),
            false => format!("Spread it over {time} or more. The {what} sets it: {gap} apart."),
        })
    };
    if let Some(remedy) = m.tap.remedy(i, words).filter(|_| lives) {
        verdict += &format!(" Put {remedy}, into every {} of the other water first.", words.q(VOLUME, i.container));
    }
    if poisons && !lives {
        verdict += " ";
        verdict += &poison(m, words);
    }
    let mut cautions = general_cautions(i, words);
    cautions.extend(m.tap.cautions(i, words));
    cautions.extend(untapped(i));
    cautions.push(Caution::from(
        "The pH matters as much as the temperature: 0.3 within half a day can harm, and past 0.5 the FAO's handbook asks for a day at least. A long gap is evened out in a tank of their own, with air and a filter or daily changes, not in a bag.",
        &src::SOMERVILLE_2014,
    ));
    cautions.push(Caution::from(
        "Do not feed for 24 hours before a move (12 for fry), and little on the day after.",
        &src::FASTING,
    ));
    if kills {
        cautions.push(Caution::new("In the other water this fish dies: do not move it there."));
    } else if i.new_temperature < i.species.stops_below() || i.new_temperature > i.species.stops_above() {
        cautions.push(Caution::new("The other water is outside what this fish feeds in."));
    }
    if i.new_salt != i.left_salt {
        let text = if m.salt.1.value > 0.0 {
            "Between salt and fresh water fish need days. European sea bass put from the sea into fresh water at once all died; over 17 days nearly nine in ten lived. For other fish no figure was found: ask who bred them, and stop where they lie still or gasp."
        } else {
            "A step of salt that does not pass 9 g/L, the salt of blood, is counted as none: catfish lived from 8 g/L into fresh water and back, sea bass from the sea into 9."
        };
        cautions.push(Caution::from(text, &src::SALT_STEP));
    }
    cautions.push(Caution::from(
        "Keep new fish apart for three to four weeks, with nets and buckets of their own, before they meet the others. Ask a veterinarian about signs of disease.",
        &src::QUARANTINE,
    ));
    cautions.push(spines());
    cautions.push(Caution::new(i.species.permit));
    let (mut notes, mut pictures) = (vec![], vec![]);
    if poisons || !lives {
        notes.push("Let none of the other water into theirs, and none of theirs into the system.".into());
    } else if let Some(drip) = m.drip.filter(|_| !near) {
        let even = mixing::evened_out(i.container, drip);
        notes.push(format!(
            "Run {} of the other water into the drum to begin with, and as much out: the waters come together fastest at first, and more would be faster than {} spread evenly. Left so it evens out 95 % in {}; as they come together, raise it little by little to three times as much.",
            words.q(FLOW, drip),
            in_days(m.planned.max(m.spread.1), words),
            in_days(even, words)
        ));
        let points = (0..=24).map(|n| {
            let t = even.value * f64::from(n) / 24.0;
            (t, i.new_temperature.value - m.gap.value * (-t * drip.value / i.container.value).exp())
        });
        pictures.push(Picture::Chart(Chart {
            title: "Temperature in the drum at that flow".into(),
            describe: format!(
                "From {} to nearly {} in {}.",
                words.q(TEMPERATURE, i.temperature),
                words.q(TEMPERATURE, i.new_temperature),
                in_days(even, words)
            ),
            x: Axis::new("time", HOURS.0, 0.0, even.value, words.system),
            y: Axis::new("water", TEMPERATURE.0, m.coldest.value - 1.0, m.warmest.value + 1.0, words.system),
            series: vec![Series { name: "in the drum".into(), role: Role::Water, points: points.collect() }],
            marks: vec![Mark { label: "start".into(), x: 0.0, y: i.temperature.value }],
            bands: vec![],
            brim: None,
        }));
    }
    if m.drip.is_none() && !near && !poisons && lives {
        // One part in n, then one in n - 1 of what there is: so every day brings as much.
        let n = (m.planned.max(m.spread.1).value / days(1.0) - 1e-9).ceil() + 1.0;
        notes.push(format!(
            "That is too long for a drum: give them a tank of their own, with air, a ripe filter and a test of ammonia every day. Change its water for the other in {} parts, one a day, let in slowly: one part in {} of it first, then one in {}, and so on to all of it.",
            words.plain(n),
            words.plain(n),
            words.plain(n - 1.0)
        ));
    }
    notes.push("Pour the fish through a net; leave the travel water out of the system.".into());
    Report { verdict, cautions, notes, pictures, ..Report::default() }
}

fn report_dose(i: &ChangeIn, d: &DoseFound, words: Words) -> Report {
    let mut verdict = if d.buffer.value > 0.0 {
        format!(
            "{} of {} brings the alkalinity from {} to {}, and the pH to {}.",
            weighed(d.buffer, words),
            crate::catalog::choose::Choose::label(i.buffer).to_ascii_lowercase(),
            words.q(CONCENTRATION, i.alkalinity),
            words.q(CONCENTRATION, i.alkalinity_target),
            words.plain(d.ph.value)
        )
    } else {
        "No buffer is needed.".into()
    };
    if d.days > 1.0 {
        let least = d.portions.iter().fold(MASS.of(f64::INFINITY), |a, m| a.min(*m));
        let sizes: Vec<_> = d.portions.iter().map(|m| weighed_like(*m, least, words)).collect();
        let limit = words.plain(mixing::PH_STEP.value);
        verdict += &match &sizes[..] {
            [first] => format!(
                " Give it in {} daily portions, the first of {first} and each so that the pH moves by no more than {limit}.",
                words.plain(d.days)
            ),
            all => format!(
                " Give it in {} daily portions, which are not alike: {}. So each moves the pH by no more than {limit}.",
                words.plain(d.days),
                all.join(", ")
            ),
        };
    }
    if d.salt.value > 0.0 {
        let holds = if d.nitrite.0 > d.nitrite.1 { "helps to hold" } else { "holds" };
        verdict += &format!(" {} of salt {holds} the nitrite off.", weighed(d.salt, words));
    }
    if d.nitrite.0 > d.nitrite.1 {
        let [is, borne] = [d.nitrite.0, d.nitrite.1].map(|x| words.q(CONCENTRATION, x));
        verdict += &format!(
            " But {is} of nitrite nitrogen is more than the {borne} that they bear even so: change water today."
        );
    }
    if d.bath.value > 0.0 {
        verdict += &format!(
            " {} of salt{} makes the bath of {}.",
            words.q(MASS, d.bath),
            if d.salt.value > 0.0 { " besides" } else { "" },
            words.q(SALINITY, i.salt)
        );
    } else if i.salt.value > 0.0 {
        verdict += " The salt for the bath is in the water already.";
    }
    let salted = d.salt.value > 0.0 || d.bath.value > 0.0;
    if let Some(salty) = Deadly::of_salt(i.species, d.salty.0) {
        // What is dosed is not in the water yet.
        let (now, then) = ("the water holds", "the water would then hold");
        let said = salty.words("water", words);
        verdict += &format!(" {}.", sentence(&if salted { said.replace(now, then) } else { said }));
    }
    // Heat, cold and pH that kill come before any dose.
    let sour = Deadly::of_ph(i.species, d.water.1).map(|d| d.first(words));
    let kills: Vec<_> = dying(i, words).into_iter().chain(sour).collect();
    if !kills.is_empty() {
        verdict = format!("{} {verdict}", kills.join(" "));
    }
    let mut cautions = general_cautions(i, words);
    if salted || d.buffer.value > 0.0 {
        cautions.push(Caution::from("Dissolve it first and let it in over hours: a pH that moves by 0.3 in half a day can harm fish, and un-ionised ammonia grows tenfold with each unit.", &src::SOMERVILLE_2014));
    }
    if salted {
        cautions.push(Caution::from("Plain salt without additives. Salt harms plants and stays until it is changed out; what may be used on food fish is a matter of local rules.", &src::SALT_AND_PLANTS));
    }
    let long = SALINITY.of(treatment::SALT_FOR_LONG.value);
    if d.salty.0 > long && salted {
        cautions.push(Caution::from(
            format!(
                "That is {} of salt, and {} are {}. More than {} is for a bath of hours, in a tank of its own without plants or filter: whole systems are brought there over days or not at all. Ask a veterinarian.",
                words.q(SALINITY, d.salty.0),
                i.species.noun,
                if d.salty.0 > d.salty.1 { "not known to survive it" } else { "used to far less" },
                words.q(SALINITY, long)
            ),
            &src::SALT_BORNE,
        ));
    }
    let w = i.water();
    let most = (i.alkalinity_target.value - i.alkalinity.value).max(mg_l(20.0));
    let points: Vec<_> = (0..=20)
        .map(|n| {
            let rise = most * f64::from(n) / 20.0;
            (i.alkalinity.value + rise, carbonate::ph_with_bicarbonate(&w, CONCENTRATION.of(rise)).value)
        })
        .collect();
    let (low, high) = points.iter().fold((i.ph.value, i.ph.value), |(a, b), p| (a.min(p.1), b.max(p.1)));
    let [chloride, reserve] =
        [d.chloride, CONCENTRATION.of(mg_l(treatment::CHLORIDE_RESERVE.value))].map(|x| words.q(CONCENTRATION, x));
    let stands = if salted { "would then stand" } else { "stands" };
    let mut notes = vec![format!("Chloride {stands} at {chloride}; {reserve} is a routine reserve.")];
    if d.buffer.value > 0.0 {
        notes.push("Air drives the pH further within hours, towards what the carbon dioxide of the air allows: measure again before the next portion.".into());
    }
    Report {
        verdict,
        cautions,
        notes,
        pictures: vec![Picture::Chart(Chart {
            title: "pH as the buffer goes in".into(),
            describe: format!(
                "From pH {} at {} to {} at the target.",
                words.plain(i.ph.value),
                words.q(CONCENTRATION, i.alkalinity),
                words.plain(d.ph.value)
            ),
            x: Axis::new("alkalinity", CONCENTRATION.0, i.alkalinity.value, i.alkalinity.value + most, words.system),
            y: Axis::new("pH", RATIO.0, low - 0.2, high + 0.2, words.system),
            series: vec![Series { name: "pH".into(), role: Role::Water, points }],
            marks: vec![],
            bands: vec![],
            brim: Some((i.ph.value + mixing::PH_STEP.value, "a day's step".into())),
        })],
        ..Report::default()
    }
}

/// What a page shows of a result.
pub(super) fn report(i: &ChangeIn, o: &ChangeOut, words: Words) -> Report {
    let levels = levels(i, o);
    let mut report = match o {
        ChangeOut::Change(c) => report_change(&i.asked(), c, words),
        ChangeOut::Hold(h) => report_hold(i, h, words),
        ChangeOut::Move(m) => report_move(i, m, words),
        ChangeOut::Dose(d) => report_dose(i, d, words),
    };
    report.repairs = repairs(i, o, &levels, words);
    report.levels = first(levels);
    report
}
