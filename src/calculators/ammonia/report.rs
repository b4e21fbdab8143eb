//! The words, repairs, pictures and tables of the ammonia calculator.

use super::*;

/// The salt against nitrite, where that is near what is borne.
fn salt_now(o: &AmmoniaOut) -> Mass {
    if o.nitrite.value > o.limits[2].value * ENOUGH { o.salt } else { MASS.of(0.0) }
}

/// The repair that puts `salt` in against nitrite, if any is wanted.
pub(crate) fn salted(chloride: MassConcentration, salt: Mass, water: Volume, words: Words) -> Option<(String, Edit)> {
    let wanted = words.as_shown(CONCENTRATION, chloride + treatment::chloride_of(salt, water));
    let title = || format!("{} of plain salt, dissolved, over an hour", weighed(salt, words));
    (salt.value > 0.0).then(|| (title(), Edit::num("chloride", wanted)))
}

/// What salt against nitrite brings beside the level.
pub(crate) const SALT_BRINGS: &str = "Chloride then holds the nitrite off: most of that stays out of their blood.";

/// What is said of the salt that brings chloride to so many times the nitrite.
pub(crate) fn salt_against(species: &Species, nitrite: MassConcentration, salt: Mass, words: Words) -> Option<Caution> {
    (nitrite.value > 0.0 && salt.value > 0.0).then(|| {
        Caution::from(
            format!(
                "Nitrite blocks the blood of fish. {} of plain salt in the system holds it off: {} want chloride at {} the nitrite, and some to spare. Salt harms plants.",
                weighed(salt, words),
                species.noun,
                times(species)
            ),
            species.tolerance.chloride.source,
        )
    })
}

/// Un-ionised ammonia, all of it and nitrite against their limits, the worst first: those that are near theirs, and what is un-ionised `always`.
pub(crate) fn told(
    species: &Species,
    share: Ratio,
    read: [MassConcentration; 3],
    limits: [MassConcentration; 3],
    always: bool,
    words: Words,
) -> String {
    let q = |c| words.q(CONCENTRATION, c);
    let mut said: Vec<_> = (0..3).map(|k| (k, (read[k] / limits[k]).value)).collect();
    said.retain(|(k, load)| *k == 0 && always || *load > ENOUGH * (1.0 + 1e-9));
    said.sort_by(|a, b| b.1.total_cmp(&a.1));
    let said = said.into_iter().map(|(k, _)| match k {
        0 => format!(
            "{} of the {} of ammonia nitrogen is un-ionised: {}, and for {} it should stay below {}.",
            words.q(PERCENT, share),
            q(read[1]),
            q(read[0]),
            species.noun,
            q(limits[0])
        ),
        1 => format!("Total ammonia nitrogen is {}, and it should stay below {}.", q(read[1]), q(limits[1])),
        _ => {
            format!("Nitrite nitrogen is {}, and with this chloride it should stay below {}.", q(read[2]), q(limits[2]))
        }
    });
    said.collect::<Vec<_>>().join(" ")
}

/// What stands beside much nitrite where salt is wanted against it.
pub(crate) fn suffocating(nitrite: MassConcentration, limit: MassConcentration, salt: Mass) -> Option<Caution> {
    (salt.value > 0.0 && nitrite > limit * ACUTE.value).then(|| {
        Caution::from(
            "So much nitrite with so little chloride blocks half of their blood in hours and most of it in a day: they suffocate in water full of oxygen. Do not net or chase them.",
            &biology::NITRITE_HOURS,
        )
    })
}

pub(super) fn verdict(i: &AmmoniaIn, o: &AmmoniaOut, levels: &[Level], words: Words) -> String {
    let mut text = o.stay.first().to_string();
    text += &told(i.species, o.share, [o.unionised, o.tan, o.nitrite], o.limits, true, words);
    let gas = gas_of(o).map_or(State::Enough, |l| l.state());
    if let Some(x) = o.carbon_dioxide.filter(|_| gas == State::Over) {
        text = format!(
            "By pH and alkalinity the water holds {} of carbon dioxide, and {}: either the fish are narcotised or one reading is wrong. Measure both again. {text}",
            words.q(CONCENTRATION, x),
            bear_gas(words)
        );
    }
    if let Some(d) = o.deadly {
        text = format!("{} {text}", d.first(words));
    }
    let lime = soon(o);
    let coming = o.deadly.is_some() || lime.is_some() || levels[3..].iter().any(|l| l.state() == State::Over);
    text += match o.stay {
        Stay::Long if !i.is_read() => " No test is read yet: what stands here is not known.",
        Stay::Long if gas != State::Enough => "",
        Stay::Long if coming => " The readings are good today.",
        Stay::Long => " The water is good.",
        _ => "",
    };
    if let Some(t) = lime {
        text += &format!(" {}", lasts(t));
    }
    if levels[4].state() == State::Over {
        text += &format!(
            " Only {} of the {} needed to carry the ammonia goes through the filter.",
            words.n(FLOW, o.has_flow),
            words.q(FLOW, o.flow)
        );
    }
    if o.new {
        text += &format!(
            " The filter is too new to count on. The feed makes {}; the water alone, a third of it changed every day, bears {}.",
            words.q(FEED_RATE, o.made),
            words.amount(FEED_RATE, o.bears.0)
        );
        return text;
    }
    text += &match levels[3].state() {
        _ if disproved(i, o) => format!(
            " The feed makes {}, which a filter of this size takes; the test says that it does not.",
            words.q(FEED_RATE, o.made)
        ),
        State::Enough => format!(
            " The feed makes {}; the filter takes at least {}: enough.",
            words.q(FEED_RATE, o.made),
            words.q(FEED_RATE, o.takes.0)
        ),
        State::Tight => " The filter just takes what the feed makes.".into(),
        State::Over => format!(
            " The feed makes {}; the filter is only sure to take {}.",
            words.q(FEED_RATE, o.made),
            words.q(FEED_RATE, o.takes.0)
        ),
    };
    text += &acid(i, o, words).map_or(String::new(), |(why, ..)| format!(" {why}"));
    text
}

/// How much carbon dioxide is borne, for how long.
fn bear_gas(words: Words) -> String {
    let [long, hours] = gas_borne().map(|x| words.q(CONCENTRATION, x));
    format!("fish bear {long} for long, {hours} for hours")
}

/// Is there ammonia enough for a rise of the pH to turn it poisonous?
pub(super) fn held(o: &AmmoniaOut) -> bool {
    wary([o.unionised, o.tan, CONCENTRATION.of(0.0)], o.limits)
}

/// What is said before the buffer that has to wait for it.
pub(super) fn once_down(o: &AmmoniaOut) -> &'static str {
    if held(o) { ONCE_DOWN } else { "" }
}
pub(super) const ONCE_DOWN: &str = "once the ammonia is down, ";
/// The same where the pH is too high.
pub(super) const ONCE_PH_DOWN: &str = "once the pH is down, ";

/// What acid water does to a filter that is counted on and takes too little, and what makes it good.
fn acid(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Option<(String, String, Vec<Edit>)> {
    let water = Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity };
    let short = !o.new && levels(i, o)[3].state() != State::Enough;
    let (title, edits) = sweetened(&water, held(o), words).filter(|_| short)?;
    let [at, whole] = [i.ph.value, ammonia::ACID[0].value].map(|x| words.plain(x));
    let share = words.q(PERCENT, ammonia::acid_share(i.ph));
    Some((format!("At pH {at} it takes {share} of what it would from {whole} on."), title, edits))
}

/// Is there more ammonia in the water than it bears, although a filter that is counted on should take what is made, and hold less?
fn disproved(i: &AmmoniaIn, o: &AmmoniaOut) -> bool {
    let takes = !o.new && levels(i, o)[3].state() != State::Over;
    takes && o.made.value > 0.0 && o.tan > o.limits[1].max(i.target)
}

/// So many weeks, at least.
fn weeks(t: Time) -> String {
    match (t.value / (7.0 * DAY) - 1e-9).ceil() {
        1.0 => "a week".into(),
        n => format!("{n} weeks"),
    }
}

fn repairs(i: &AmmoniaIn, o: &AmmoniaOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    let mut put = |id: &str, title: String, edits: Vec<Edit>| {
        all.extend(mend::mend::<Ammonia>(i, before, levels, id, title, edits, words.system));
    };
    let of = |n: usize| move |o: &AmmoniaOut| levels(&AmmoniaIn::default(), o).into_iter().nth(n);
    // One change of water brings both down: it is offered once, for the one that harms first.
    let high = [(0, "unionised"), (1, "tan")].into_iter().find(|(n, _)| before[*n].state() != State::Enough);
    let both = before[2].state() != State::Enough;
    let high = high.filter(|_| o.change.value > 0.0);
    // Salt acts in hours, and needs no new water: it comes before the changes.
    let salt = salted(chloride_in(i), salt_now(o), i.volume, words);
    if let Some((title, edit)) = &salt {
        put("nitrite", title.clone(), vec![edit.clone()]);
    }
    let salted = salt.is_some();
    // Where a change is said to go with salt, it is counted with it.
    let with_salt = |mut edits: Vec<Edit>| {
        edits.extend(salt.as_ref().map(|s| s.1.clone()));
        edits
    };
    if let Some((_, id)) = high {
        let Renewal { change, how, left } = renewal(o.change, i.volume, salted, words);
        let title =
            format!("{change} ({how}), with water free of {}", if both { "ammonia and nitrite" } else { "ammonia" });
        let thin = |key: &str, x: MassConcentration| Edit::num(key, CONCENTRATION.of(x.value * left));
        let mut edits = vec![thin("tan", i.tan)];
        if both {
            edits.push(thin("nitrite", i.nitrite));
        }
        put(id, title, with_salt(edits));
    }
    if both && high.is_none() {
        // As much as the list of what to do says, where that has a change.
        let once = PERCENT.of(1.0 - before[2].asked().map_or(1.0, |x| ENOUGH / x).clamp(0.0, 1.0));
        let once = if salted && o.change.value > 0.0 { o.change } else { once };
        let Renewal { change, how, left } = renewal(once, i.volume, salted, words);
        let title = format!("{change} ({how}), with water free of nitrite");
        put("nitrite", title, with_salt(vec![Edit::num("nitrite", CONCENTRATION.of(i.nitrite.value * left))]));
    }
    let back = ph_back(i, o, Buffer::Sodium, words);
    if let Some((title, edits)) = &back {
        put("ph", title.clone(), edits.clone());
    }
    if before[3].state() != State::Enough {
        // New medium carries nothing: it is counted as it is when it is ripe.
        let ripe = ammonia::ripe_after(i.temperature);
        let ripe = DAYS.of((ripe.value / DAY - 1e-9).ceil() * DAY).max(i.age);
        let left = DAYS.of(ripe.value - i.age.value);
        // What the acid stops is not made larger.
        let (mut cure, mut cured) = (vec![], String::new());
        if let Some((_, title, edits)) = acid(i, o, words) {
            let (title, edits) = back.unwrap_or((title, edits));
            cured = format!(", with the pH at {} or more", words.plain(ammonia::ACID[0].value));
            cure = edits.clone();
            // The one that brings a deadly pH back is told already.
            if before[6].state() != State::Over {
                put("filter", title, edits);
            }
        }
        let enough = mend::outcome::<Ammonia>(i, &cure).is_some_and(|o| levels(i, &o)[3].state() == State::Enough);
        let aged = || Edit::num("age", ripe);
        let [_, most] = mend::ends::<Ammonia>(i, "media");
        let media = |x: f64| {
            let aged = (left.value > 0.0).then(aged);
            [Edit::num("media", VOLUME.of(x))].into_iter().chain(aged).chain(cure.iter().cloned()).collect::<Vec<_>>()
        };
        if enough {
            // The cure does it alone.
        } else if let Some(x) = mend::just_enough::<Ammonia>(i, of(3), media, i.media.value, most) {
            let x = VOLUME.of(mend::rounded(x, i.media.value, words.step(VOLUME, l(10.0))).min(most));
            let title = format!(
                "{} of {} in all{cured}, once it is ripe: what is new takes {}",
                words.q(VOLUME, x),
                lower(i.medium.label),
                weeks(ammonia::ripe_after(i.temperature))
            );
            put("filter", title, media(x.value));
        } else if left.value > 0.0 {
            let edits = [aged()].into_iter().chain(cure.iter().cloned()).collect();
            put("filter", format!("Let the filter ripen, {} more{cured}", weeks(left)), edits);
        }
        let feed = |x: f64| vec![Edit::num("feed", FEED_RATE.of(x))];
        if let Some(x) = mend::just_enough::<Ammonia>(i, of(3), feed, i.feed.value, 0.0) {
            let x = FEED_RATE.of(significant(x * 0.995, 3));
            let changed = if o.new && x.value > 0.0 { ", with a third of the water changed every day" } else { "" };
            // Today the readings may allow less.
            let when = if x <= o.feed * o.cut { ["", " for now"] } else { ["once the readings are good, ", ""] };
            put("filter", format!("{}feed {}{}{changed}", when[0], words.amount(FEED_RATE, x), when[1]), feed(x.value));
        }
    }
    if before[4].state() != State::Enough {
        let flow = |x: f64| vec![Edit::num("flow", FLOW.of(x))];
        let [_, most] = mend::ends::<Ammonia>(i, "flow");
        if let Some(x) = mend::just_enough::<Ammonia>(i, of(4), flow, i.flow.value, most) {
            let x = FLOW.of(mend::rounded(x, i.flow.value, words.step(FLOW, l_h(50.0))).min(most));
            put("flow", format!("{} through the filter", words.q(FLOW, x)), flow(x.value));
        }
    }
    // No buffer into water that is too alkaline, before none is left.
    let wants = if is_alkaline(i.ph) { before[5].state() == State::Over } else { before[5].state() != State::Enough };
    if wants {
        let (title, edits) = replenished(i, o, Buffer::Sodium, words);
        put("alkalinity", title, edits);
    }
    if let Some((title, edits)) = aired(i, o, words) {
        put("carbon_dioxide", title, edits);
    }
    // What waits for the ammonia is not done with it.
    for buffer in all.iter_mut().filter(|r| r.level.state() != State::Over && r.title.starts_with(&sentence(ONCE_DOWN)))
    {
        (buffer.also, buffer.then) = (None, buffer.level.state());
    }
    // What salt brings does not all show in the level: past the limit it holds nitrite off as well.
    for salt in all.iter_mut().filter(|r| r.edits.iter().all(|e| e.path == "chloride")) {
        salt.effect = format!("{SALT_BRINGS} {}", salt.effect);
    }
    all
}

pub(super) fn cautions(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Vec<Caution> {
    let mut all = vec![];
    if held(o) {
        all.push(Caution::from(
            "Never raise the pH while there is ammonia in the water: each unit makes it ten times as poisonous. Buffer only in small steps.",
            &oxygen_src::EMERSON_1975,
        ));
    }
    if o.stay >= Stay::Days {
        all.push(Caution::from(
            "New water must be free of chlorine and close in temperature and pH. Chloramine brings ammonia of its own.",
            &src::EPA_CHLORINE,
        ));
    }
    all.extend(salt_against(i.species, o.nitrite, o.salt, words));
    all.extend(suffocating(o.nitrite, o.limits[2], o.salt));
    all.extend(o.deadly.map(|d| d.caution("the test says")));
    all.extend(gassed(i, o, words));
    if i.ph.value > GREEN {
        all.push(Caution::from(
            "Algae in the sun lift the pH by one or two units from dawn to afternoon, and take the oxygen at night: measure both at dawn too, before the lamp or the sun is on. Give air all night, and shade the water.",
            &src::GREEN_WATER,
        ));
    }
    let bears = ammonia::tan_borne(i.species, o.share);
    if i.target > bears {
        all.push(Caution::new(format!(
            "At this pH this fish bears no more than {} of ammonia nitrogen in all, less than you mean to hold in the tank.",
            words.q(CONCENTRATION, bears)
        )));
    }
    if o.new {
        let feed = ammonia::feed_for_tan(o.unchanged, i.protein);
        all.push(Caution::from(uncounted(o.counted, bears, feed, words), &oxygen_src::NEW_FILTER));
    }
    if !o.new && o.made.value > 0.0 && o.tan.value <= 0.0 {
        all.push(idle());
    }
    if i.salinity.value > 0.0 && i.salinity.value < brackish::FROM.value {
        all.push(Caution::from(
            "Up to 5 g/L of salt the share is blended from fresh to salt water.",
            &src::JOHANSSON_WEDBORG_1980,
        ));
    }
    let [slow, stops] = [0, 1].map(|k| ammonia::ACID[k].value);
    if i.ph.value < slow {
        all.push(Caution::from(
            format!(
                "Below pH {} the filter slows down, and it nearly stops at {}; that is counted here.",
                words.plain(slow),
                words.plain(stops)
            ),
            &oxygen_src::FILTER_PH,
        ));
    }
    all.push(Caution::new("If fish gasp or hang at the surface, act before you calculate: stop the feed, give all the air you have, change water. Ask a veterinarian if they sicken."));
    all
}

/// What is said of much carbon dioxide, and where to drive it out would turn the ammonia poisonous.
fn gassed(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Option<Caution> {
    let much = o.carbon_dioxide.filter(|_| gas_of(o).is_some_and(|l| l.state() != State::Enough));
    let poisons = air_poisons(i, o);
    let text = [
        much.map(|x| {
            format!(
                "By pH and alkalinity the water holds {} of carbon dioxide; {}. Measure both again: a pH read 0.1 too low adds a quarter. Air drives it out.",
                words.q(CONCENTRATION, x),
                bear_gas(words)
            )
        }),
        poisons.map(|(ph, x)| {
            format!(
                "More air lifts the pH as far as {}, where {} of this ammonia is un-ionised: bring that down first.",
                words.plain((ph.value * 10.0).round() / 10.0),
                words.q(CONCENTRATION, x)
            )
        }),
    ];
    let text = text.into_iter().flatten().collect::<Vec<_>>().join(" ");
    (!text.is_empty()).then(|| Caution::from(text, &src::CARBON_DIOXIDE_LIMIT))
}

/// What is fed while a filter is too new to count on.
pub(crate) fn uncounted(counted: Time, borne: MassConcentration, unchanged: MassRate, words: Words) -> String {
    let no_more = if unchanged.value > 0.0 { "no more than " } else { "" };
    format!(
        "For its first {} the filter is not counted on: with a third of the water changed every day (no chlorine, close in temperature and pH), ammonia that nothing takes stays below half of the {} that these fish bear at this pH. Without the changes, feed {no_more}{}.",
        spoken(counted.value),
        words.q(CONCENTRATION, borne),
        words.amount(FEED_RATE, unchanged)
    )
}

/// What stands beside a filter that is counted as ripe by its days alone.
pub(crate) fn idle() -> Caution {
    Caution::from(
        "A filter without ammonia loses up to a fifth of its capacity in ten days, most of it in three weeks: its days then start again, as after drying out. A test that reads zero proves a filter only while it is fed.",
        &oxygen_src::IDLE_FILTER,
    )
}

fn notes(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Vec<String> {
    let mut all = vec![];
    // Of nothing fed nothing comes.
    let fed = o.buffer.1.value > 0.0;
    if fed {
        all.push(format!(
            "The feed uses up alkalinity worth {}; plants that take up nitrate give part of it back. Where plants grow, take {} instead: sodium stays in the water and harms them.",
            a_day(o, Buffer::Sodium, words),
            a_day(o, Buffer::Potassium, words)
        ));
    }
    if let Some(t) = o.lime {
        all.push(format!(
            "With nothing given, the alkalinity is down to {} {}, and the pH then falls away.",
            words.q(CONCENTRATION, CONCENTRATION.of(mg_l(LEAST_LIME.value))),
            if t.value < HOUR { "now".into() } else { format!("in {}", spoken(t.value)) }
        ));
    }
    if fed {
        all.push(format!("If the filter stopped, ammonia would rise by {} a day.", words.q(CONCENTRATION, o.rise)));
    }
    if !o.printed {
        all.push("The criteria for other water life are printed for pH 6.5 to 9 and up to 30 °C (86 °F): none are given here.".into());
    }
    if i.media.value > 0.0 && fed && acid(i, o, words).is_none() {
        all.push(format!(
            "Ripe, {} of {} is enough.",
            words.range(VOLUME, o.media.0, o.media.1),
            i.medium.label.to_ascii_lowercase()
        ));
    }
    all
}

/// What to do now, in order.
fn now(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Table {
    let mut rows: Vec<[String; 2]> = vec![];
    if o.stay >= Stay::Days {
        let cut = o.cut.value;
        // What the filter is sure to take may be less than what the readings allow.
        let held = most_fed(o).filter(|most| *most < o.feed * cut);
        let row = |what: &str, why: &str| [what.to_string(), why.to_string()];
        rows.push(match (cut, held) {
            (c, most) if c <= 0.0 || most.is_some_and(|m| m.value <= 0.0) => {
                row("Feed nothing today", "What is not eaten makes no ammonia.")
            }
            (_, Some(most)) => held_to(o, most, words),
            (c, _) if c < 1.0 => row("Feed half of it today, no more", "What is not eaten makes no ammonia."),
            _ => row("Feed no more than now, and add no fish", "The readings are near what these fish bear."),
        });
    }
    if o.stay >= Stay::Hours {
        rows.push(["All the air you have".into(), "Poisoned gills need more oxygen, and so does the filter.".into()]);
    }
    if salt_now(o).value > 0.0 {
        rows.push([
            format!("{} of plain salt", weighed(o.salt, words)),
            "Dissolved, over an hour: it keeps most of the nitrite out of their blood until that is down. Not where salt-shy plants grow.".into(),
        ]);
    }
    if o.deadly.is_some_and(|d| d.by_ph()) {
        let step = words.plain(mixing::PH_STEP.value);
        rows.push(match is_alkaline(o.ph) {
            true => [
                format!("Bring the pH down, by {step} a day at most"),
                "Shade the water, give it air, and change a little at a time for softer water, close in temperature. Acid only where you know how: a little at a time, well diluted, never straight to the fish, with gloves and goggles.".into(),
            ],
            false => [
                format!("Bring the pH back, by {step} a day at most"),
                format!("With water close in temperature. The page “{}” has the portions.", Change::TITLE),
            ],
        });
    }
    if o.change.value > 0.0 && o.stay >= Stay::Days {
        let Renewal { change, how, .. } = renewal(o.change, i.volume, salt_now(o).value > 0.0, words);
        rows.push([
            change,
            format!(
                "{how}, with water close in temperature and pH, until ammonia and nitrite are well below their limits. How much they bear at once is on the page “{}”.",
                Change::TITLE
            ),
        ]);
    }
    if o.stay >= Stay::Days {
        rows.push([
            "Test again".into(),
            match o.down {
                _ if disproved(i, o) => {
                    "After every change, and tomorrow. Do not wait for the filter: it should have taken this.".into()
                }
                _ if o.new => "Tomorrow. The filter is too new to count on.".into(),
                Some(_) => "Tomorrow.".into(),
                None => "Tomorrow. The filter alone will not bring it down.".into(),
            },
        ]);
        // Little ammonia, and much of it un-ionised.
        let by_ph = o.unionised > o.limits[0] && o.tan <= o.limits[1] || o.deadly.is_some_and(|d| d.by_ph());
        rows.push([
            "Look for the cause".into(),
            match (by_ph, acid(i, o, words)) {
                (true, _) if i.ph.value < ammonia::ACID[0].value => "The pH: the alkalinity is used up, or acid went in.".into(),
                (true, _) => "The pH: this little ammonia harms only at a high pH. Buffer, limestone, shells and algae in the sun raise it.".into(),
                (_, Some((why, ..))) => format!("The pH stops the filter. {why}"),
                _ => "A dead fish, feed left over, a stopped pump, a washed or dried filter, a new filter.".into(),
            },
        ]);
    }
    if gas_of(o).is_some_and(|l| l.state() == State::Over) {
        let then = match air_poisons(i, o) {
            Some(_) => "change water first, for air alone turns the ammonia poisonous.",
            None => "and they are dull or gasp, give all the air you have.",
        };
        let why = format!("So much carbon dioxide narcotises them: if both are right, {then}");
        rows.push(["Measure pH and alkalinity again".into(), why]);
    }
    coming(i, o, &mut rows, words);
    if !i.is_read() {
        rows.push(["Test the water".into(), "Nobody has read its ammonia and nitrite yet.".into()]);
    } else if rows.is_empty() {
        rows.push(["Nothing".into(), "Test again in a week, or when anything changes.".into()]);
    } else if o.stay == Stay::Long {
        rows.push(["Test again".into(), "Tomorrow, and every day until all that stands above is done.".into()]);
    }
    Table {
        title: "What to do now, in this order".into(),
        head: vec!["Do".into(), "Why".into()],
        rows: rows.into_iter().map(Vec::from).collect(),
    }
}

/// The most to feed, where the filter is not sure to take what is made now.
pub(crate) fn most_fed(o: &AmmoniaOut) -> Option<MassRate> {
    let most = || significant(o.bears.0.value * ENOUGH * (o.feed / o.made).value * 0.995, 3);
    (o.made > o.bears.0).then(|| FEED_RATE.of(most()))
}

fn held_to(o: &AmmoniaOut, most: MassRate, words: Words) -> [String; 2] {
    let rest = CONCENTRATION.of(o.rise.value * (1.0 - (o.takes.0 / o.made).value.min(1.0)));
    let rest = words.q(CONCENTRATION, rest);
    [
        match most.value > 0.0 {
            true => {
                let changed = if o.new { ", with a third of the water changed every day" } else { "" };
                format!("Feed no more than {}{changed}", words.q(FEED_RATE, most))
            }
            false => "Feed nothing for now".into(),
        },
        format!("What the filter is not sure to take raises the ammonia by {rest} a day."),
    ]
}

/// What is to be done about what the readings do not show yet.
fn coming(i: &AmmoniaIn, o: &AmmoniaOut, rows: &mut Vec<[String; 2]>, words: Words) {
    if let Some((why, title, _)) = acid(i, o, words) {
        rows.push([title, format!("The filter: {}", lower(&why))]);
    }
    if let Some(most) = most_fed(o) {
        let [what, why] = held_to(o, most, words);
        // What is to be fed today stands first already.
        if o.stay == Stay::Long {
            rows.push([what, why]);
        } else if most.value > 0.0 && rows.first().is_none_or(|r| r[0] != what) {
            rows.push([format!("Once the readings are good, {}", lower(&what)), why]);
        }
    }
    if o.flow > o.has_flow {
        rows.push([
            format!("{} through the filter", words.q(FLOW, mend::upwards(FLOW, o.flow / ENOUGH, l_h(50.0), words))),
            format!("Only {} run through it: the ammonia does not get there.", words.q(FLOW, o.has_flow)),
        ]);
    }
    // No buffer into water that is too alkaline.
    if let Some(t) = soon(o).filter(|t| !is_alkaline(o.ph) || t.value < DAY) {
        // What a day uses holds only what is there.
        let what = match acid(i, o, words).is_none() && levels(i, o)[5].state() != State::Enough {
            true => replenished(i, o, Buffer::Sodium, words).0,
            false => sentence(&format!("{}{}", once_down(o), a_day(o, Buffer::Sodium, words))),
        };
        rows.push([what, format!("{} In small steps, and less where plants take up nitrate.", lasts(t))]);
    }
}

fn meaning(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Table {
    let row = |name: &str, x: MassConcentration, limit: MassConcentration, note: &str| {
        vec![name.to_string(), words.q(CONCENTRATION, x), words.q(CONCENTRATION, limit), note.to_string()]
    };
    let nitrite = treatment::nitrite_of(o.nitrite);
    let mut rows = vec![
        row(
            "Un-ionised ammonia nitrogen",
            o.unionised,
            o.limits[0],
            "harms gills above it; the alert comes by half of it",
        ),
        row("Total ammonia nitrogen", o.tan, o.limits[1], "practice for this fish"),
    ];
    if o.printed {
        rows.push(row("Total, for a month", o.tan, o.criteria.1, "protects nearly all water life, mussels too"));
        rows.push(row("Total, for an hour", o.tan, o.criteria.0, "the same"));
    }
    let held = if o.limits[2] < i.species.nitrite_limit() {
        "with as little chloride as there is"
    } else {
        "with chloride enough"
    };
    rows.push(row("Nitrite nitrogen", o.nitrite, o.limits[2], held));
    rows.push(row(
        "Chloride",
        chloride_in(i),
        treatment::chloride_for(i.species, nitrite),
        &format!("should be at least this, {} the nitrite", times(i.species)),
    ));
    if let Some(x) = o.carbon_dioxide {
        let [long, hours] = gas_borne();
        rows.push(row(
            "Carbon dioxide, for long",
            x,
            long,
            "by pH and alkalinity: a pH read 0.1 too low adds a quarter",
        ));
        rows.push(row("Carbon dioxide, for hours", x, hours, "narcotises above it"));
    }
    Table {
        title: "What the readings mean".into(),
        head: vec!["".into(), "Is".into(), "Limit".into(), "".into()],
        rows,
    }
}

/// Un-ionised ammonia over the pH.
fn picture(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Picture {
    let (low, high) = (i.ph.value.min(6.0), i.ph.value.max(9.0));
    let points: Vec<_> = (0..=30)
        .map(|n| {
            let ph = low + (high - low) * f64::from(n) / 30.0;
            let share = brackish::unionised_share(i.temperature, RATIO.of(ph), i.salinity).map_or(0.0, |s| s.value);
            (ph, o.tan.value * share)
        })
        .collect();
    let most = (o.limits[0].value * 3.0).max(o.unionised.value * 1.2);
    let points: Vec<_> = points.into_iter().filter(|p| p.1 <= most).collect();
    Picture::Chart(Chart {
        title: "This reading at another pH".into(),
        describe: format!(
            "Un-ionised ammonia of {} in all rises tenfold with each unit of pH; at {} it is {}.",
            words.q(CONCENTRATION, o.tan),
            words.plain(i.ph.value),
            words.q(CONCENTRATION, o.unionised)
        ),
        x: Axis::new("pH", RATIO.0, low, high, words.system),
        y: Axis::new("un-ionised", CONCENTRATION.0, 0.0, most, words.system),
        series: vec![Series { name: "un-ionised ammonia nitrogen".into(), role: Role::Water, points }],
        marks: vec![Mark { label: "now".into(), x: i.ph.value, y: o.unionised.value }],
        bands: vec![],
        brim: Some((o.limits[0].value, "limit".into())),
    })
}

/// What a page shows of a result.
pub(super) fn report(i: &AmmoniaIn, o: &AmmoniaOut, words: Words) -> Report {
    let levels = levels(i, o);
    Report {
        verdict: verdict(i, o, &levels, words),
        repairs: repairs(i, o, &levels, words),
        cautions: cautions(i, o, words),
        pictures: vec![picture(i, o, words)],
        tables: vec![now(i, o, words), meaning(i, o, words)],
        notes: notes(i, o, words),
        levels: first(o, levels),
    }
}
