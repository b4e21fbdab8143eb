//! The words, repairs, pictures and tables of the start-up calculator.

use super::*;

fn verdict(i: &StartupIn, o: &StartupOut, words: Words) -> String {
    if let Some(d) = &o.dosed {
        return dosing(i, o, d, words);
    }
    if let Some(deadly) = o.deadly {
        return format!("Add no fish: {}", deadly.advised("water", words));
    }
    // What harms them now comes before what the filter does.
    let urgent = o.stay >= Stay::Hours;
    let mut text = standing(i, o, words);
    if urgent {
        let read = [o.unionised, o.tan(), o.nitrite()];
        text = format!("{}{}", o.stay.first(), told(i.species, o.share, read, o.toxic, false, words));
    }
    // Without feed nothing runs out.
    let runs_out = if urgent {
        None
    } else if o.sour {
        Some(DAYS.of(0.0))
    } else {
        o.lime.filter(|t| t.value < WEEK)
    };
    text += &runs_out.map(|t| format!(" {}", lasts(t))).unwrap_or_default();
    let nothing = o.most.value <= 0.0;
    text += &match o.cut.1 {
        _ if !o.feeds => " At this temperature these fish are not fed: feed nothing".into(),
        Cut::None if o.wary => {
            format!(" Ammonia or nitrite is near what these fish bear: feed {} until it is down", at_most(o, words))
        }
        Cut::None if o.sour => format!(" Feed {} until it is up", at_most(o, words)),
        Cut::None if nothing => " Feed nothing yet".into(),
        Cut::None if o.stage.holds() => format!(" Feed {} until that changes", at_most(o, words)),
        Cut::None if o.changes() => format!(" Feed up to {}", words.q(FEED_RATE, o.most)),
        Cut::None => format!(" Feed up to {} this week", words.q(FEED_RATE, o.most)),
        Cut::Ph => " Fish do not bear this pH: feed nothing".into(),
        _ if urgent && nothing => " Feed nothing, give all the air there is, and change water until it is down".into(),
        which if nothing => format!(" Too much {}: feed nothing until it is down", which.word()),
        which => {
            format!(" Too much {}: feed half of what it got when that was read, {}", which.word(), at_most(o, words))
        }
    };
    if o.changes() {
        text += ", with a third of the water changed every day";
    }
    text += &match o.add.value > 1e-6 {
        true => format!(", and add up to {} of fish.", come(o.add, words)),
        false => format!(", and {}.", no_fish(o, words)),
    };
    if o.feed > o.room {
        text += " It gets more than that now.";
    }
    if urgent {
        text += &format!(" {}", standing(i, o, words));
    }
    text
}

/// So much fish may come: a few fingerlings are weighed in grams.
fn come(fish: Mass, words: Words) -> String {
    if fish.value < 1.0 { words.mass(SMALL_MASS, fish) } else { words.q(MASS, fish) }
}

/// Where it stands, and how long it takes.
fn standing(i: &StartupIn, o: &StartupOut, words: Words) -> String {
    let whole = |t: Time| DAYS.of((t.value / DAY).round() * DAY);
    let ripe = match o.ripe_in.1.value <= 0.0 {
        true => "By its days it should be ripe.".to_string(),
        false => format!(
            "Ripe in {}{}.",
            words.range(DAYS, whole(o.ripe_in.0), whole(o.ripe_in.1)),
            if i.unfed() && i.age.value > 0.0 {
                " from when it is first fed: days before that do not count"
            } else {
                ""
            }
        ),
    };
    format!("The readings say: {}. {ripe}", o.told().words())
}

/// That no fish may be added, and why.
fn no_fish(o: &StartupOut, words: Words) -> String {
    match () {
        () if !ph_is_borne(o.ph) => "add no fish at this pH".into(),
        () if o.cold => "add no fish: it is too cold to net them".into(),
        () if o.stale => {
            let below = CONCENTRATION.of(mg_l(startup::NITRATE_FOR_FISH.value));
            format!("add no fish: change water until nitrate nitrogen is below {}", words.q(CONCENTRATION, below))
        }
        () => "add no fish".into(),
    }
}

/// What a dose is weighed or measured as.
fn measured(i: &StartupIn, d: &Dosed, words: Words) -> String {
    let us = words.system == System::Us;
    let what = lower(crate::catalog::choose::Choose::label(i.product));
    let much = match (d.salt, d.water) {
        (Some(salt), _) => weighed(MASS.of(mend::round_up(salt.value, g(1.0))), words),
        (_, Some(v)) => {
            let unit = if us { "fl oz" } else { "mL" };
            show_unit(SMALL_VOLUME.0, mend::round_up(v.value, l(0.001)), unit, words.system)
        }
        _ => String::new(),
    };
    format!("{much} of {what}")
}

/// The verdict where ammonia is dosed.
fn dosing(i: &StartupIn, o: &StartupOut, d: &Dosed, words: Words) -> String {
    let q = |c| words.q(CONCENTRATION, c);
    let most = if d.dose < i.dose { format!(", no more than {} at once", q(d.most)) } else { String::new() };
    let now = match d.next {
        Next::Change => "Too much for the bacteria: give no dose, and change water.".into(),
        Next::Buffer => "The alkalinity is too low for a dose: raise it, then give the next.".into(),
        Next::Again => format!("If it did go in, give {} again{most}, and test a day later.", measured(i, d, words)),
        Next::Test => "Test a day after the dose, not before.".into(),
        Next::Wait if i.tan > d.again[0] => format!("Give no dose until ammonia is below {}.", q(d.again[0])),
        Next::Wait => format!("Give no dose until nitrite is below {}.", q(d.again[1])),
        Next::Dose => format!("Give {} now{most}, and test a day later.", measured(i, d, words)),
        Next::Fish => {
            let fish = match (o.deadly, o.add.value > 1e-6) {
                (Some(deadly), _) => format!("Even so add no fish: {}", deadly.words("water", words)),
                (_, true) => format!(
                    "In water renewed as below, add up to {} of fish, and feed up to {} in the first week",
                    come(o.add, words),
                    words.q(FEED_RATE, o.most)
                ),
                _ if o.sour => format!("Even so {}: the alkalinity is used up", no_fish(o, words)),
                _ if !o.feeds => format!("Even so {}: at this temperature they do not feed", no_fish(o, words)),
                _ => format!("Even so {}", no_fish(o, words)),
            };
            return format!(
                "The dose was gone within a day. If that of the day before was too, the filter is proved for {} of feed. {fish}.",
                words.q(FEED_RATE, d.proven)
            );
        }
    };
    format!("{} {now} No fish yet.", standing(i, o, words))
}

/// What is done until fish come, in order.
fn way(i: &StartupIn, d: &Dosed, words: Words) -> Table {
    let q = |c| words.q(CONCENTRATION, c);
    let gone = q(CONCENTRATION.of(mg_l(startup::GONE.value)));
    let buffer = treatment::bicarbonate(d.lime, i.volume, i.buffer);
    let rows = [
        (
            "A dose",
            format!(
                "{} makes {} of ammonia nitrogen. Pour it in slowly, well thinned, where the water runs.",
                measured(i, d, words),
                q(d.dose)
            ),
        ),
        ("Again", format!("Once ammonia is below {} and nitrite below {}.", q(d.again[0]), q(d.again[1]))),
        (
            "Buffer",
            format!(
                "{} of {} with each dose. Keep {} of alkalinity, twice that while nitrite stands; pH 7 to 8.",
                weighed(buffer, words),
                lower(crate::catalog::choose::Choose::label(i.buffer)),
                q(CONCENTRATION.of(mg_l(startup::LIME.value)))
            ),
        ),
        ("Ready", format!("A dose is gone in a day, ammonia and nitrite both to {gone}, two days running.")),
        (
            "Before fish",
            format!(
                "Dose until the day before, then no more: an idle filter fades. Change water until nitrate nitrogen is below {}. Test: no ammonia, nitrite or chlorine; temperature and pH as they are used to.",
                q(CONCENTRATION.of(mg_l(startup::NITRATE_FOR_FISH.value)))
            ),
        ),
        ("With fish", "Choose fish above, and go on week by week.".into()),
    ];
    Table {
        title: "Until fish come".into(),
        head: ["Step", "What"].map(Into::into).into(),
        rows: rows.map(|(step, what)| vec![step.to_string(), what]).into(),
    }
}

/// The most feed where it may not rise.
fn at_most(o: &StartupOut, words: Words) -> String {
    let most = words.amount(FEED_RATE, o.most);
    if o.most.value > 0.0 { format!("no more than {most}") } else { most }
}

/// What brings water too sour for the filter up to what a start wants: what to give, and what it brings.
fn buffering(i: &StartupIn, words: Words) -> (String, Vec<Edit>) {
    let water = Water { temperature: i.temperature, ph: i.ph, alkalinity: i.alkalinity };
    let ph = |rise: f64| carbonate::ph_with_bicarbonate(&water, CONCENTRATION.of(rise));
    let start = (mg_l(startup::LIME.value) - i.alkalinity.value).max(0.0);
    let [most, near] = [MOST_RISE, mg_l(0.1)].map(|x| CONCENTRATION.of(x));
    let enough = carbonate::bicarbonate_for(&water, RATIO.of(SLOW_PH), most, near).value.max(start);
    let rise = CONCENTRATION.of(mend::round_up(enough, mg_l(1.0)).min(MOST_RISE));
    let [[_, most_lime], [_, most_ph]] = ["alkalinity", "ph"].map(|key| mend::ends::<Startup>(i, key));
    let (to, ph) = (CONCENTRATION.of((i.alkalinity + rise).value.min(most_lime)), ph(rise.value));
    let days = ((ph.value - i.ph.value) / PH_STEP.value - 1e-9).ceil().max(1.0);
    // Without fish nobody is harmed by a quick rise.
    let over = match i.supply == Supply::Dosed {
        true => String::new(),
        false if days > 1.0 => format!(", over {} days", words.plain(days)),
        false => ", over a day".into(),
    };
    let down = i.supply == Supply::Fish && i.tan.value > mg_l(startup::GONE.value);
    let title = format!(
        "{} of {}{over}{}: alkalinity {}, pH {}",
        weighed(treatment::bicarbonate(rise, i.volume, i.buffer), words),
        lower(crate::catalog::choose::Choose::label(i.buffer)),
        if down { ", once ammonia is down" } else { "" },
        words.q(CONCENTRATION, to),
        words.plain(ph.value)
    );
    (title, vec![Edit::num("alkalinity", to), Edit::num("ph", ph.min(RATIO.of(most_ph)))])
}

fn repairs(i: &StartupIn, o: &StartupOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all = vec![];
    let mut put = |id: &str, title: String, edits: Vec<Edit>| {
        let mended = mend::mend::<Startup>(i, before, levels, id, title, edits, words.system);
        // A filter that carries a tenth of what is fed is no repair of the feed.
        all.extend(mended.filter(|r| id != "feed" || mend::repairs(&r.level)));
    };
    let of = |n: usize| move |o: &StartupOut| levels(&StartupIn::default(), o).into_iter().nth(n);
    // What a filter is stopped by is put right before more of it is asked for.
    let (title, raised) = buffering(i, words);
    let acid = ammonia::acid_share(i.ph).value < 1.0;
    let id = if before[5].state() == State::Enough { "filter" } else { "alkalinity" };
    if id == "alkalinity" || acid && before[1].state() != State::Enough {
        put(id, title, raised.clone());
    }
    let (also, raised) = if acid { (", and the pH put right", raised) } else { ("", vec![]) };
    if let Some(d) = &o.dosed {
        if before[0].state() == State::Over && d.most.value >= mend::ends::<Startup>(i, "dose")[0] {
            let dose = CONCENTRATION.of(mend::round_down(d.most.value, mg_l(1.0)));
            let title = format!("Doses of {}", words.q(CONCENTRATION, dose));
            put("dose", title, vec![Edit::num("dose", dose)]);
        }
        let full = if before[2].fullness() > before[3].fullness() { 2 } else { 3 };
        if before[full].state() == State::Over {
            let share = 1.0 - ENOUGH / before[full].fullness();
            let Renewal { change, how, left } = renewal(PERCENT.of(share), i.volume, false, words);
            put(if full == 2 { "tan" } else { "nitrite" }, format!("{change} ({how})"), thinned(i, left));
        }
    }
    // Salt acts in hours: it comes before the changes.
    let salt = if o.dosed.is_some() || before[3].state() == State::Enough { MASS.of(0.0) } else { salt(i) };
    if let Some((title, edit)) = salted(i.chloride, salt, i.volume, words) {
        put("nitrite", title, vec![edit]);
    }
    // To four fifths of both limits, and half that of what is un-ionised: as the page on ammonia has it. It mends what leads.
    let worst = &before[if before[2].fullness() > before[3].fullness() { 2 } else { 3 }];
    let fed = before[0].state() != State::Enough && (matches!(o.cut.1, Cut::Ammonia | Cut::Nitrite) || o.wary);
    if o.dosed.is_none() && (worst.state() == State::Over || fed) {
        let share = to_change([o.unionised, i.tan, i.nitrite], o.toxic);
        let Renewal { change, how, left } = renewal(share, i.volume, salt.value > 0.0, words);
        let id = if worst.state() == State::Over { worst.id.to_string() } else { "feed".into() };
        put(&id, format!("{change} first ({how})"), thinned(i, left));
    }
    if o.dosed.is_none() && before[0].state() != State::Enough {
        let feed = |x: f64| vec![Edit::num("feed", FEED_RATE.of(x))];
        // Where the feed is to stay as it is, less of it is no repair.
        let stays = o.cut.1 == Cut::None && (o.stage.holds() || o.wary || o.sour) && o.feed <= o.room;
        if let Some(x) = mend::just_enough::<Startup>(i, of(0), feed, o.feed.value, 0.0)
            && (x > 0.0 && !stays || o.most.value <= 0.0)
        {
            let x = FEED_RATE.of(significant(x * 0.995, 3));
            put("feed", format!("Feed {}", words.amount(FEED_RATE, x)), feed(x.value));
        }
        let swaps = [
            (Seed::Media, "Move in some medium of a ripe, healthy filter"),
            (Seed::Filter, "Move in a ripe, healthy filter, wet"),
        ];
        for (seed, title) in swaps {
            if seed.shares()[1].value < i.seed.shares()[1].value {
                put("feed", title.into(), vec![Edit::pick("seed", crate::catalog::choose::Choose::id(seed))]);
            }
        }
    }
    let with = |edit: Edit| raised.iter().cloned().chain([edit]).collect::<Vec<_>>();
    let put_right = mend::outcome::<Startup>(i, &raised).and_then(|o| of(1)(&o));
    if put_right.is_some_and(|l| l.state() != State::Enough) {
        let media = |x: f64| with(Edit::num("media", VOLUME.of(x)));
        let [_, most] = mend::ends::<Startup>(i, "media");
        if let Some(x) = mend::just_enough::<Startup>(i, of(1), media, i.media.value, most) {
            let x = VOLUME.of(mend::rounded(x, i.media.value, words.step(VOLUME, l(10.0))).min(most));
            let title =
                format!("{} of {} in all, ripened like the rest{also}", words.q(VOLUME, x), lower(i.medium.label));
            put("filter", title, media(x.value));
        }
        let full = |x: f64| with(Edit::num("full", FEED_RATE.of(x)));
        let [least, _] = mend::ends::<Startup>(i, "full");
        if let Some(x) = mend::just_enough::<Startup>(i, of(1), full, i.full.value, least) {
            let x = FEED_RATE.of(significant(x * 0.995, 3).max(least));
            put("filter", format!("Plan for {}{also}", words.q(FEED_RATE, x)), full(x.value));
        }
    }
    all
}

/// The readings with so much of the old water left: new water thins out what shows that the filter works, too.
fn thinned(i: &StartupIn, left: f64) -> Vec<Edit> {
    let readings = [("tan", i.tan), ("nitrite", i.nitrite), ("nitrate", i.nitrate)];
    readings.map(|(key, x)| Edit::num(key, CONCENTRATION.of(x.value * left))).into()
}

/// Salt that holds the nitrite off.
fn salt(i: &StartupIn) -> Mass {
    salt_to_hold(i.species, i.nitrite, i.chloride, i.volume)
}

pub(super) fn cautions(i: &StartupIn, o: &StartupOut, words: Words) -> Vec<Caution> {
    let mut all = vec![];
    if o.dosed.is_some() {
        all.push(Caution::from(
            "Ammonia hurts eyes and lungs: goggles, gloves, open air, and what the label says. Never together with bleach or chlorine: the gas can kill. Away from children.",
            &src::HOUSEHOLD_AMMONIA,
        ));
        all.push(Caution::from(
            match i.product {
                Product::Chloride => "Ammonium chloride alone, without anything mixed in.",
                Product::Solution => {
                    "Nothing but ammonia and water: no soap, scent or dye. Foam that stays when it is shaken is soap."
                }
            },
            &src::FISHLESS,
        ));
        all.push(Caution::new(
            "This water kills fish, here and in a stream: none go in before the test, and old water goes where local rules allow.",
        ));
    }
    all.push(Caution::from(
        "The readings decide, not the calendar. Test ammonia and nitrite every day until both have been low for a week.",
        &src::RIPENING_CURVES,
    ));
    if o.unionised > i.species.unionised_limit() && o.feed.value > 0.0 {
        all.push(Caution::from(
            format!(
                "{} of the ammonia is un-ionised: harmful to fish now. See the page on ammonia.",
                words.q(CONCENTRATION, o.unionised)
            ),
            &oxygen_src::EMERSON_1975,
        ));
    }
    if o.dosed.is_none() {
        all.extend(salt_against(i.species, i.nitrite, salt(i), words));
        all.extend(suffocating(i.nitrite, o.toxic[2], salt(i)));
    }
    if o.ph_week.value < SLOW_PH && !o.untried() {
        all.push(Caution::new(format!(
            "Without buffer the pH would be {} in a week. Below {} the filter slows down and at {} it nearly stops: ammonia then comes back at once.",
            words.plain(o.ph_week.value),
            words.plain(SLOW_PH),
            words.plain(ammonia::ACID[1].value)
        )));
    }
    if o.dosed.is_none() && (o.sour || ammonia::acid_share(i.ph).value < 1.0) {
        all.push(Caution::from(
            format!(
                "Acid water stops the filter, not its size. Raise the pH by {} a day at most, ammonia down first: each unit makes it ten times as poisonous. The page “{}” has the portions.",
                words.plain(PH_STEP.value),
                Change::TITLE
            ),
            PH_STEP.source,
        ));
    }
    if !ph_is_borne(o.ph) {
        all.push(Caution::from(
            format!(
                "Fish bear pH {} to {}, and little is left here: put that right, in small steps, before any go in.",
                words.plain(PH_BORNE[0].value),
                words.plain(PH_BORNE[1].value)
            ),
            PH_BORNE[0].source,
        ));
    }
    all.extend(o.deadly.map(|d| d.caution("the filter carries")));
    all.extend(handling::too_cold(i.species, i.temperature, words));
    if o.dosed.is_none() && !appetite(i) {
        all.push(Caution::new(
            "This fish does not feed in water of this temperature: start the filter without fish, with ammonia that is dosed, or wait.",
        ));
    }
    if i.seed == Seed::Media || i.seed == Seed::Filter {
        all.push(Caution::new("Ripe medium also carries the diseases of where it came from. Take it from a healthy system only, keep it wet and aired, and use it within hours."));
    }
    if o.dosed.is_none() && o.feed.value <= 0.0 {
        all.push(Caution::from(
            "All this is about fish. To start, or to try a filter, without them choose ammonia that is dosed, above.",
            &src::FISHLESS,
        ));
    }
    all
}

fn notes(i: &StartupIn, o: &StartupOut, words: Words) -> Vec<String> {
    let mut all = vec![];
    if let Some(d) = &o.dosed {
        let given = words.q(CONCENTRATION, d.dose);
        all.push(format!(
            "{given} gone in a day proves the filter for {} of feed: four fifths of it for the first week. Half the dose proves half.",
            words.q(FEED_RATE, d.proven)
        ));
        all.push("Each 1 mg/L of ammonia nitrogen becomes 1 mg/L of nitrite nitrogen (3.28 as nitrite): past the end of the kit's colours thin the sample with pure water.".into());
        if matches!(i.seed, Seed::Bare | Seed::Bottle) {
            all.push("Some medium of a ripe, healthy filter shortens it most.".into());
        }
    }
    // Without feed nothing is used up.
    if o.most.value > 0.0 {
        all.push(format!(
            "This week's feed uses up {} of alkalinity: {} of {}, a seventh each day, puts it back.",
            words.q(CONCENTRATION, o.used),
            weighed(o.buffer, words),
            crate::catalog::choose::Choose::label(i.buffer).to_ascii_lowercase()
        ));
        all.push(format!(
            "Without it the pH goes from {} to {} in a week.",
            words.plain(i.ph.value),
            words.plain(o.ph_week.value)
        ));
    }
    if let Some(t) = o.lime.filter(|t| t.value >= WEEK && !o.untried()) {
        all.push(format!("The alkalinity would last {}.", spoken(t.value)));
    }
    if o.filter < o.full {
        let acid = if ammonia::acid_share(i.ph).value < 1.0 { "At this pH, even" } else { "Even" };
        all.push(format!(
            "{acid} ripe, this filter is only sure to carry {} of the {} planned.",
            words.q(FEED_RATE, o.filter),
            words.q(FEED_RATE, o.full)
        ));
    }
    if o.new && o.feeds {
        all.push(uncounted(o.counted, o.limits[0], o.unchanged, words));
    }
    let whole = if o.filter < o.full { "all that this filter carries" } else { "the full feed" };
    all.extend(match o.weeks {
        // What carries nothing has no full feed.
        _ if !o.feeds || o.filter.value <= 0.0 || o.untried() => None,
        Some(0) => Some(format!("This week it may get {whole}.")),
        Some(1) => Some(format!("If the readings stay good, {whole} is reached in a week.")),
        Some(n) => Some(format!("If the readings stay good, {whole} is reached in {n} weeks.")),
        None => Some(format!("By this ramp {whole} is more than a year away.")),
    });
    if o.dosed.is_none() && !o.new && o.feed.value <= 0.0 && o.feeds {
        all.push("Begin with a fifth of the fish.".into());
    }
    all
}

fn ramp(i: &StartupIn, o: &StartupOut, words: Words) -> Table {
    let protein = i.protein;
    let rows = o.ramp.iter().enumerate().take(16).map(|(n, feed)| {
        let fish = MASS.of(feed.value / i.ration.value);
        let nitrogen = ammonia::tan_from_feed(*feed, protein);
        let lime = CONCENTRATION.of(ammonia::alkalinity(nitrogen).0.value * WEEK / i.volume.value);
        let buffer = treatment::bicarbonate(lime, i.volume, i.buffer);
        vec![
            if n == 0 { "this".to_string() } else { format!("{}", n + 1) },
            words.q(FEED_RATE, *feed),
            words.q(MASS, fish),
            weighed(buffer, words),
        ]
    });
    Table {
        title: "The ramp, while ammonia and nitrite stay low".into(),
        head: ["Week", "Feed", "Fish it feeds", "Buffer that week"].map(Into::into).into(),
        rows: rows.collect(),
    }
}

fn picture(i: &StartupIn, o: &StartupOut, words: Words) -> Picture {
    let i = &i.as_fed();
    let span = (o.ripe.1.value * 1.2).max(i.age.value * 1.1).max(days(14.0));
    let line = |high: bool| -> Vec<(f64, f64)> {
        (0..=40)
            .map(|n| {
                let t = span * f64::from(n) / 40.0;
                let (a, b) = startup::carries(i.seed, DAYS.of(t), i.temperature, [o.lived, o.filter]);
                (t, o.filter.value * if high { b.value } else { a.value })
            })
            .collect()
    };
    let mut steps = vec![];
    for (n, feed) in o.ramp.iter().enumerate() {
        let from = i.age.value + WEEK * n as f64;
        if from < span {
            steps.extend([(from, feed.value), ((from + WEEK).min(span), feed.value)]);
        }
    }
    let top = o.filter.value.max(o.feed.value).max(o.full.value);
    Picture::Chart(Chart {
        title: "What the filter carries, and the ramp".into(),
        describe: format!(
            "By its days the filter carries {} of its full load today and is ripe after {}. The ramp begins with {} of feed a day.",
            words.range(PERCENT, o.carries.0, o.carries.1),
            words.range(DAYS, o.ripe.0, o.ripe.1),
            words.amount(FEED_RATE, o.most)
        ),
        x: Axis::new("since the start", DAYS.0, 0.0, span, words.system),
        y: Axis::new("feed", FEED_RATE.0, 0.0, top * 1.1, words.system),
        series: vec![
            Series { name: "surely".into(), role: Role::Water, points: line(false) },
            Series { name: "at best".into(), role: Role::Guide, points: line(true) },
            Series { name: "ramp".into(), role: Role::Plant, points: steps },
        ],
        marks: vec![Mark { label: "today".into(), x: i.age.value, y: o.feed.value }],
        bands: vec![],
        brim: Some((o.full.value, "full stock".into())),
    })
}

/// What a page shows of a result.
pub(super) fn report(i: &StartupIn, o: &StartupOut, words: Words) -> Report {
    let levels = levels(i, o);
    let way = o.dosed.as_ref().map(|d| way(i, d, words));
    let tables = way.into_iter().chain((!o.untried()).then(|| ramp(i, o, words))).collect();
    Report {
        verdict: verdict(i, o, words),
        repairs: repairs(i, o, &levels, words),
        cautions: cautions(i, o, words),
        pictures: vec![picture(i, o, words)],
        tables,
        notes: notes(i, o, words),
        levels: first(o, levels),
    }
}
