//! The words, repairs, pictures and tables of the heat calculator.

use super::*;
use crate::calculators::care;

/// Watts from which the circuit is worth a word: some countries' sockets carry little more for long.
const ONE_SOCKET: f64 = 1400.0;

pub(super) fn verdict(i: &HeatIn, o: &HeatOut, words: Words) -> String {
    let loss = o.night.total();
    let state = heater_level(o).state();
    let mut text = if loss.value <= 0.0 {
        "It loses no heat even on the coldest night. It needs no heater.".to_string()
    } else if o.heater.value == 0.0 {
        format!("{} and has no heater. By morning it is {}.", what_to_get(o, words), words.q(TEMPERATURE, o.morning))
    } else {
        // What is wanted, and then what is there: nobody is told to get what would do no better.
        let there = words.q(POWER, o.heater);
        match state {
            State::Enough => {
                format!("{} The {there} that you have hold it too, with reserve.", what_would_do(o, words))
            }
            State::Tight => {
                format!("{}. The {there} that you have just hold it, without reserve.", what_to_get(o, words))
            }
            State::Over => format!("{}. The {there} that you have do not hold it.", what_to_get(o, words)),
        }
    };
    if state == State::Over && o.heater.value > 0.0 && o.morning < i.water {
        text += &format!(" By morning it is {}.", words.q(TEMPERATURE, o.morning));
    }
    // What leads is said first, and then says of itself which night it is.
    let lead = first(levels(i, o)).swap_remove(0).id;
    let when = match (lead == "cut", o.start < i.water) {
        (false, true) => "then",
        (false, false) => "on that night",
        (true, true) => "on the coldest morning",
        (true, false) => "on the coldest night",
    };
    let cold = words.q(TEMPERATURE, i.coldest);
    let cut = match o.hours {
        Some(t) if o.heater.value <= 0.0 && t.value > 0.0 => {
            format!("It is down to {cold} in {}.", words.time(t))
        }
        Some(t) if t.value > 0.0 => format!("If the power fails {when}, it is down to {cold} in {}.", words.time(t)),
        _ if o.may_fall.value <= 0.0 => "It is kept colder than the fish may get.".to_string(),
        _ if o.start <= i.coldest => {
            "In the morning it is colder than the fish may get, with power or without.".to_string()
        }
        _ if o.heater.value <= 0.0 => "It does not get too cold for the fish.".to_string(),
        _ => "Without power it does not get too cold for the fish.".to_string(),
    };
    let hot = words.q(TEMPERATURE, i.hottest);
    let warm = match levels(i, o)[2].state() {
        _ if o.may_rise.value < 0.0 => format!("It is kept warmer than the {hot} that the fish may get."),
        State::Over => {
            let at = words.q(TEMPERATURE, o.afternoon);
            format!(
                "In the hottest spell the water reaches about {at} in the afternoon, and the fish may get no more than {hot}."
            )
        }
        _ => String::new(),
    };
    let parts = match &*lead {
        "cut" => [cut, text, warm],
        "summer" => [warm, text, cut],
        _ => [text, cut, warm],
    };
    parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The heaters to get, or two together that are as much where it is one.
fn as_sold(o: &HeatOut, words: Words) -> (String, Option<Power>) {
    let (one, two) = (sold(o.wanted.value), of_two(o));
    let or = two.map_or(String::new(), |two| format!(", or 2 of {}", words.q(POWER, two)));
    (in_shops(one, words) + &or, two)
}

/// Each of two heaters as they are sold; nothing where one that is large enough is not sold.
fn of_two(o: &HeatOut) -> Option<Power> {
    (sold(o.wanted.value).0 <= 1.0).then(|| POWER.of(sold(o.of_two.value).1))
}

/// What to get and why, without a full stop.
fn what_to_get(o: &HeatOut, words: Words) -> String {
    format!("Get {}: it loses {} on the coldest night", as_sold(o, words).0, words.q(POWER, o.night.total()))
}

/// The same where nothing is to be got.
fn what_would_do(o: &HeatOut, words: Words) -> String {
    let (sold, two) = as_sold(o, words);
    let is = if two.is_some() { ", is" } else { " are" };
    format!(
        "{}{is} the size for the {} that it loses on the coldest night.",
        sentence(&sold),
        words.q(POWER, o.night.total())
    )
}

/// Thickest boards that are offered.
const THICKEST: f64 = mm(100.0);

/// Where the coldest that they may get is no colder than the hottest, water is held so much below that (judgement).
const BELOW_HOTTEST: f64 = 5.0;

/// A change that others may stand before: what it is called and what it sets.
type Change = (String, Vec<Edit>);

/// What one number changes: the edits, from and to where it may be turned, and how it is bought or set there.
struct Turn<'a> {
    edits: &'a dyn Fn(f64) -> Vec<Edit>,
    ends: [f64; 2],
    found: &'a dyn Fn(f64) -> (String, f64),
}

impl Turn<'_> {
    /// The least of it, after another change, that brings a level to four fifths; else all of it.
    fn after(&self, i: &HeatIn, level: usize, first: &Change) -> Option<Change> {
        let all = |x: f64| first.1.iter().cloned().chain((self.edits)(x)).collect::<Vec<_>>();
        let of = |o: &HeatOut| levels(i, o).into_iter().nth(level);
        // What is not enough yet is where it is looked from.
        let [from, to] = self.ends;
        let (title, x) = (self.found)(mend::just_enough::<Heat>(i, of, all, from, to)?);
        Some((if first.0.is_empty() { title } else { format!("{}, and {title}", first.0) }, all(x)))
    }
}

/// Heaters that hold the water as a change has it.
fn heaters(i: &HeatIn, first: &Change, words: Words) -> Option<Change> {
    let (n, each) = sold(mend::outcome::<Heat>(i, &first.1)?.wanted.value);
    let watts = POWER.of(n * each);
    let title = format!("heaters of {} in all", words.q(POWER, watts));
    let title = if first.0.is_empty() { title } else { format!("{}, {title}", first.0) };
    let edits = first.1.iter().cloned().chain([Edit::num("heater", watts)]).collect();
    (watts > i.heater && watts.value <= mend::ends::<Heat>(i, "heater")[1]).then_some((title, edits))
}

fn repairs(i: &HeatIn, o: &HeatOut, before: &[Level], words: Words) -> Vec<Repair> {
    let mut all: Vec<Repair> = vec![];
    // Tells whether it is enough then.
    let mut put = |id: &str, (title, edits): Change| {
        let mended = mend::mend::<Heat>(i, before, levels, id, title, edits, words.system);
        let Some(r) = mended.filter(|r| mend::repairs(&r.level)) else { return false };
        let enough = r.level.state() == State::Enough;
        // What mends two levels is told once.
        match all.iter_mut().find(|other| other.edits == r.edits) {
            Some(other) if other.level.id != r.level.id => other.effect += &format!(". {}", r.effect),
            Some(_) => {}
            None => all.push(r),
        }
        enough
    };
    let nothing = (String::new(), vec![]);
    let thick = |x: f64| words.q(SHORT_LENGTH, SHORT_LENGTH.of(x));
    let degrees = |x: f64| words.q(TEMPERATURE, TEMPERATURE.of(x));
    // Boards come in whole centimetres or half inches.
    let sheet = if words.system == System::Us { mm(12.7) } else { mm(10.0) };
    let boards = |x: f64, now: f64, most: f64| mend::rounded(x.max(sheet), now, sheet).min(most);
    let ends = |key: &str| mend::ends::<Heat>(i, key);
    let ([least_lagged, most_lagged], [least_held, _]) = (ends("insulation_thickness"), ends("water"));
    let ([_, most_lid], [_, warmest]) = (ends("lid_thickness"), ends("night"));
    let (lid_now, lagged_now) = (
        if i.cover == On::Lid { i.lid_thickness.value } else { 0.0 },
        if i.lagged == Lagged::All { i.insulation_thickness.value } else { least_lagged },
    );
    let lid_of = |x: f64| vec![Edit::pick("cover", "lid"), Edit::num("lid_thickness", SHORT_LENGTH.of(x))];
    let lag_of = |x: f64| vec![Edit::pick("lagged", "all"), Edit::num("insulation_thickness", SHORT_LENGTH.of(x))];
    let (lid_name, lag_name) = (lower(i.lid.0.label), lower(i.insulation.0.label));
    let lid = Turn {
        edits: &lid_of,
        ends: [lid_now, THICKEST.max(lid_now)],
        found: &|x| {
            let x = boards(x, lid_now, most_lid);
            (format!("a lid of {} {lid_name}", thick(x)), x)
        },
    };
    let lagging = Turn {
        edits: &lag_of,
        ends: [lagged_now, THICKEST.max(lagged_now)],
        found: &|x| {
            let x = boards(x, lagged_now, most_lagged);
            (format!("{} of {lag_name} around and under the tank", thick(x)), x)
        },
    };
    let both = Turn {
        edits: &|x| lid_of(x.max(lid_now)).into_iter().chain(lag_of(x.max(lagged_now))).collect(),
        ends: [0.0, THICKEST],
        found: &|x| {
            let x = boards(x, 0.0, THICKEST);
            let (lid, lag) = (thick(x.max(lid_now)), thick(x.max(lagged_now)));
            (format!("a lid of {lid} {lid_name}, and {lag} of {lag_name} around and under the tank"), x)
        },
    };
    let sheltered = i.water.value.max(i.hottest.value).min(warmest);
    let shelter = Turn {
        edits: &|x| vec![Edit::num("night", TEMPERATURE.of(x))],
        ends: [i.night.value, sheltered],
        found: &|x| {
            let x = mend::degrees(x, i.night.value, words).min(sheltered);
            (format!("air of {} at least around it that night, in a warmer place", degrees(x)), x)
        },
    };
    let film = || ("Float a film or bubble sheet on the water".into(), vec![Edit::pick("cover", "film")]);
    if before[0].state() != State::Enough {
        if i.cover == On::Open {
            put("heater", film());
        }
        for turn in [&lid, &lagging] {
            turn.after(i, 0, &nothing).map(|change| put("heater", change));
        }
        heaters(i, &nothing, words).map(|change| put("heater", change));
        let floor = i.coldest.value.max(least_held);
        let cooler = Turn {
            edits: &|x| vec![Edit::num("water", TEMPERATURE.of(x))],
            ends: [i.water.value, floor],
            found: &|x| {
                let x = mend::degrees(x, i.water.value, words).max(floor);
                (format!("hold {} instead", degrees(x)), x)
            },
        };
        if floor < i.water.value {
            cooler.after(i, 0, &nothing).map(|change| put("heater", change));
        }
        if before[0].state() == State::Over {
            shelter.after(i, 0, &nothing).map(|change| put("heater", change));
        }
    }
    // What is held where they do not live is held in the middle of where they do, if there is such a place.
    let live = i.coldest < i.hottest;
    let hold = (o.may_rise.value < 0.0 || o.may_fall.value <= 0.0 && live).then(|| {
        let least = if live { i.coldest.value.max(least_held) } else { i.hottest.value - 2.0 * BELOW_HOTTEST };
        let between = f64::midpoint(least, i.hottest.value).max(least_held);
        let x = TEMPERATURE.of(mend::degrees(between, i.water.value, words));
        (format!("hold {} instead", words.q(TEMPERATURE, x)), vec![Edit::num("water", x)])
    });
    let held = hold.clone().is_some_and(|hold| put(if o.may_rise.value < 0.0 { "summer" } else { "cut" }, hold));
    if before[2].state() != State::Enough {
        // Water that is held cooler wants a place that is no warmer.
        let first = hold.clone().filter(|_| o.may_rise.value < 0.0);
        let mean = i.mean.value.min(i.summer.value);
        let least = if first.is_some() { mean.min(i.hottest.value - 2.0 * BELOW_HOTTEST) } else { mean };
        let open = |mut first: Change, joint: &str| {
            let title = "take the cover off in the hottest spell";
            first.0 = if first.0.is_empty() { title.into() } else { format!("{}{joint}{title}", first.0) };
            first.1.push(Edit::pick("cover", "open"));
            first
        };
        // Under the open sky the air is the weather's.
        let sky = i.place == Place::Sky;
        let cooler = Turn {
            edits: &|x| vec![Edit::num("summer", TEMPERATURE.of(x))],
            ends: [i.summer.value, least],
            found: &|x| {
                let x = mend::degrees(x, i.summer.value, words).max(least);
                (format!("air of {} at most around it, in a cooler place", degrees(x)), x)
            },
        };
        let mut well = held;
        let shade = (first.is_none() && i.sun().value > 0.0).then(|| {
            let left = i.shaded();
            let title = match left.value > 0.0 {
                true => format!("Shade the water: {} of sun left on it", words.q(POWER, left)),
                false => "Shade the water from the sun".into(),
            };
            (title, vec![Edit::num("sun", left)])
        });
        if let Some(shade) = &shade {
            well |= put("summer", shade.clone());
        }
        if first.is_none() && i.cover != On::Open {
            well |= put("summer", open(nothing.clone(), ""));
        }
        // What growers do together comes before other air.
        if let Some(shade) = shade.filter(|_| !well && i.cover != On::Open) {
            well |= put("summer", open(shade, ", and "));
        }
        if !sky && (first.is_none() || !well) {
            let first = first.as_ref().unwrap_or(&nothing);
            well |= cooler.after(i, 2, first).is_some_and(|change| put("summer", change));
        }
        if !sky && !well && i.cover != On::Open {
            let first = open(first.unwrap_or_else(|| nothing.clone()), ", ");
            cooler.after(i, 2, &first).map(|change| put("summer", change));
        }
    }
    if before[1].state() != State::Enough {
        if i.cover == On::Open {
            put("cut", film());
        }
        // A cut begins with what the heaters hold.
        let mut first = if o.may_fall.value > 0.0 { Some(nothing) } else { hold.filter(|_| live && !held) };
        while let Some(change) = first {
            let mut well = lid.after(i, 1, &change).is_some_and(|change| put("cut", change));
            well = well || both.after(i, 1, &change).is_some_and(|change| put("cut", change));
            if before[1].state() == State::Over {
                well |= shelter.after(i, 1, &change).is_some_and(|change| put("cut", change));
            }
            let weak = mend::outcome::<Heat>(i, &change.1).is_some_and(|o| heater_level(&o).state() == State::Over);
            first = if weak && !well { heaters(i, &change, words) } else { None };
        }
    }
    all
}

pub(super) fn cautions(i: &HeatIn, o: &HeatOut, words: Words) -> Vec<Caution> {
    let mut all = vec![
        Caution::from(
            "Heaters, pumps and every circuit near water belong behind a residual-current device (30 mA, or a ground-fault interrupter where that is the rule), tested regularly, with drip loops and outdoor-rated fittings. Have fixed wiring done by a licensed electrician, under your local code.",
            &crate::catalog::sources::waterways::RESIDUAL_CURRENT,
        ),
        Caution::new(
            "Unplug before a hand goes into the water. A heater must never run dry or touch plastic: guard it, and switch it off by level.",
        ),
    ];
    if cooks(i, o) {
        // Those that the verdict names, so that no two figures of one thing stand on a page.
        let each = of_two(o).filter(|_| o.night.total().value > 0.0).unwrap_or(i.heater / 2.0);
        let (hot, size) = (stuck(i, each), words.q(POWER, each));
        let least = if hot > i.hottest {
            format!(" One of two of {size} would bring it to {}. A", words.q(TEMPERATURE, hot))
        } else {
            format!(" One of two of {size} would not; with a single one, a")
        };
        all.push(Caution::from(
            format!(
                "A thermostat that sticks on in the hottest spell would drive the water to {}; the fish bear {}.{least} separate cut-out that opens when the water is too warm prevents that.",
                words.q(TEMPERATURE, o.stuck),
                words.q(TEMPERATURE, i.hottest)
            ),
            &src::TWO_HEATERS,
        ));
    }
    if o.heater.value.max(if o.night.total().value > 0.0 { o.wanted.value } else { 0.0 }) > ONE_SOCKET {
        all.push(Caution::new("What a socket and its circuit may carry for days on end is for a licensed electrician and your local code to say: large heaters want several, or one of their own."));
    }
    if o.cooling.value > 0.0 {
        all.push(Caution::new(format!(
            "In the hottest spell the water reaches about {} in the afternoon, too hot for these fish. Shade, night air, a cooler room or a chiller of {} day and night has to take that out. Warm water holds less oxygen: aerate more, feed less.",
            words.q(TEMPERATURE, o.afternoon),
            words.q(POWER, o.cooling)
        )));
    }
    if o.holds.value <= celsius(0.0) + 1e-6 {
        all.push(Caution::new("On that night the water would freeze in the end. Ice bursts pipes and stops pumps."));
    }
    if i.coldest >= i.hottest {
        all.push(Caution::new("The coldest the fish may get is not below the hottest. Check both."));
    }
    if i.night > i.mean {
        all.push(Caution::new("The coldest night is given warmer than the mean of the year. Check both."));
    }
    if i.mean > i.summer {
        all.push(Caution::new("The mean of the year is given warmer than the hottest spell. Check both."));
    }
    if i.wind() != i.speed {
        all.push(Caution::from(
            format!(
                "Outdoors the air hardly ever stands still: until the wind at the water is entered, {} count. It matters much.",
                words.q(VELOCITY, i.wind())
            ),
            &src::YARD_WIND,
        ));
    }
    if i.sun() != i.sun {
        all.push(Caution::from(
            format!(
                "Until the heat of the sun is entered, {} count in the hottest spell: full sun on the open water. In the shade enter what is left of it.",
                words.q(POWER, i.sun())
            ),
            &src::SUN_ON_WATER,
        ));
    }
    // A lid sheds it.
    let rained = if i.cover == On::Lid { i.surface - i.bare() } else { i.surface };
    if i.place == Place::Sky && rained.value > 0.0 {
        all.push(care::rain("Under the open sky,", rained, words));
    }
    if i.cover != On::Open {
        all.push(Caution::new("Under a tight cover oxygen can only come from air stones and falling water, and carbon dioxide must be able to leave: keep a gap."));
    }
    all.push(care::yard());
    all
}

/// Would what there is of heaters make it too hot if a thermostat stuck, where it is not so anyway?
fn cooks(i: &HeatIn, o: &HeatOut) -> bool {
    o.heater.value > 0.0 && o.stuck > i.hottest && o.afternoon <= i.hottest
}

fn notes(i: &HeatIn, o: &HeatOut, words: Words) -> Vec<String> {
    let mut all = vec![];
    if o.night.total().value > 0.0 {
        all.push(match of_two(o) {
            None => "No single heater that is sold is that large.".to_string(),
            Some(two) => {
                let mut note = "With two heaters, one failing does not chill the tank at once.".to_string();
                // What is told of those that there are stands with the cautions.
                if !cooks(i, o) {
                    let hot = stuck(i, two);
                    note += &if hot > i.hottest {
                        format!(
                            " One of {} stuck on would bring it to {} in the hottest spell.",
                            words.q(POWER, two),
                            words.q(TEMPERATURE, hot)
                        )
                    } else {
                        " One of them stuck on does not cook it either.".into()
                    };
                }
                note
            }
        });
    }
    let warmed = || match o.warm_time {
        Some(t) => format!(
            "Warming it up from {} takes {}, what is lost meanwhile, and {} with these heaters.",
            words.q(TEMPERATURE, i.from),
            words.q(ENERGY, o.warm_energy),
            words.time(t)
        ),
        None => format!(
            "Warming it up from {} takes {} and what is lost meanwhile; {} there.",
            words.q(TEMPERATURE, i.from),
            words.q(ENERGY, o.warm_energy),
            if o.heater.value > 0.0 { "these heaters never get" } else { "without a heater it never gets" }
        ),
    };
    all.extend((o.warm_energy.value > 0.0).then(warmed));
    // What no cover keeps in has to be made.
    let asks = heat::losses(&i.vessel(), &i.cold(), i.coldest).total();
    if levels(i, o)[1].state() == State::Over && asks.value > 0.0 && o.may_fall.value > 0.0 {
        all.push(format!(
            "To stay at {} through a cut on such a night it takes {} of heat that needs no mains, from a generator or a burner in the open: their fumes kill in closed rooms.",
            words.q(TEMPERATURE, i.coldest),
            words.q(POWER, asks)
        ));
    }
    all.push(format!(
        "In the hottest spell the water is about {} in the mean of day and night, and {} in the afternoon if the air is {} warmer then than in the mean and the sun comes within 12 hours. The afternoon counts.",
        words.q(TEMPERATURE, o.summer),
        words.q(TEMPERATURE, o.afternoon),
        words.q(TEMPERATURE_DIFFERENCE, i.air_swing())
    ));
    if i.place == Place::Room && i.cover == On::Open && i.motion == Motion::Quiet {
        let share = evaporation::QUIET_LOW.value / evaporation::QUIET.value;
        all.push(format!(
            "Quiet indoor pools have been measured at down to {} of this evaporation; the heater is sized for the upper end.",
            words.q(PERCENT, PERCENT.of(share))
        ));
    }
    all.push(format!("About {} evaporates; that is what has to be topped up.", words.q(DAILY_VOLUME, o.evaporated)));
    all
}

fn where_it_goes(o: &HeatOut, words: Words) -> Table {
    let rows = [
        ("Walls", o.night.walls, o.mean.walls),
        ("Ground", o.night.floor, o.mean.floor),
        ("Evaporation", o.night.evaporation, o.mean.evaporation),
        ("Air over the water", o.night.convection, o.mean.convection),
        ("Radiation", o.night.radiation, o.mean.radiation),
        ("Lid", o.night.lid, o.mean.lid),
        ("Fresh water", o.night.makeup, o.mean.makeup),
        ("Together", o.night.total(), o.mean.total()),
    ];
    Table {
        title: "Where the heat goes".into(),
        head: vec!["".into(), "Coldest night".into(), "Mean of the year".into()],
        rows: rows.map(|(name, a, b)| vec![name.into(), words.q(POWER, a), words.q(POWER, b)]).into(),
    }
}

fn savings(i: &HeatIn, o: &HeatOut, words: Words) -> Table {
    // Boards as they are sold: a thin and a thick one, and one for a lid.
    let [lid, thin, board] = match words.system {
        System::Metric => [mm(30.0), mm(25.0), mm(50.0)],
        System::Us => [inches(1.0), inches(1.0), inches(2.0)],
    };
    let said = |x: f64| words.q(SHORT_LENGTH, SHORT_LENGTH.of(x));
    let thick = |key: &str, x: f64| Edit::num(key, SHORT_LENGTH.of(x));
    let lidded = || vec![Edit::pick("cover", "lid"), Edit::pick("lid", "eps"), thick("lid_thickness", lid)];
    let lagged = |how: &str, of: &str, x| {
        vec![Edit::pick("lagged", how), Edit::pick("insulation", of), thick("insulation_thickness", x)]
    };
    let mut options = vec![];
    if i.cover == On::Open {
        options.push(("Floating film".to_string(), vec![Edit::pick("cover", "film")]));
    }
    if i.cover != On::Lid {
        options.push((format!("Lid, {} EPS", said(lid)), lidded()));
    }
    if i.lagged == Lagged::Bare {
        options.push((format!("Walls, {} EPS", said(thin)), lagged("walls", "eps", thin)));
        options.push((format!("Walls, {} EPS", said(board)), lagged("walls", "eps", board)));
    }
    if i.lagged != Lagged::All && i.base == Base::Ground {
        options.push((format!("Walls and underneath, {} XPS", said(board)), lagged("all", "xps", board)));
    }
    if i.cover != On::Lid && i.lagged == Lagged::Bare {
        let mut edits = lidded();
        edits.extend(lagged("walls", "eps", board));
        options.push((format!("Lid {} and walls {} EPS", said(lid), said(board)), edits));
    }
    let rows = options.into_iter().filter_map(|(name, edits)| {
        let n = mend::outcome::<Heat>(i, &edits)?;
        let saved = ENERGY.of((o.month.value - n.month.value).max(0.0));
        let money = MONEY.of(saved.value / KWH * i.price.value);
        Some(vec![
            name,
            words.q(POWER, n.night.total()),
            words.q(ENERGY, saved),
            words.q(MONEY, money),
            words.q(TEMPERATURE, n.cut_end),
        ])
    });
    Table {
        title: "What a cover or insulation saves".into(),
        head: ["", "Loss, coldest night", "Saved a month", "Money a month", "After the power cut"]
            .map(Into::into)
            .into(),
        rows: rows.collect(),
    }
}

fn falling(i: &HeatIn, o: &HeatOut, words: Words) -> Picture {
    let span = HOURS.of(i.cut.value.max(i.night_length.value) * 1.5);
    let cold = i.cold();
    let vessel = i.vessel();
    let none = POWER.of(0.0);
    let points = |v: &Vessel, gain: Power, cap: f64| -> Vec<(f64, f64)> {
        // Without power from what the heaters had left.
        let from = if gain.value > 0.0 { i.water } else { o.start };
        heat::path(v, &cold, gain, from, span, 48).into_iter().map(|(t, x)| (t.value, x.value.min(cap))).collect()
    };
    let mut series =
        vec![Series { name: "without power".into(), role: Role::Spill, points: points(&vessel, none, f64::INFINITY) }];
    if o.heater.value > 0.0 {
        series.push(Series {
            name: "heaters on".into(),
            role: Role::Water,
            points: points(&vessel, o.heater, i.water.value),
        });
    }
    if i.cover != On::Lid
        && let Some(n) = mend::changed::<Heat>(
            i,
            &[
                Edit::pick("cover", "lid"),
                Edit::pick("lid", "eps"),
                Edit::num("lid_thickness", SHORT_LENGTH.of(mm(30.0))),
            ],
        )
    {
        series.push(Series {
            name: "without power, under a lid".into(),
            role: Role::Guide,
            points: points(&n.vessel(), none, f64::INFINITY),
        });
    }
    let all = series.iter().flat_map(|s| s.points.iter().map(|p| p.1)).chain([i.coldest.value, i.water.value]);
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    Picture::Chart(Chart {
        title: "The coldest night".into(),
        describe: format!(
            "Water temperature over {}: from {} it falls to {} after {} without power. The coldest the fish may get is {}.",
            words.q(HOURS, span),
            words.q(TEMPERATURE, o.start),
            words.q(TEMPERATURE, o.cut_end),
            words.q(HOURS, o.cut),
            words.q(TEMPERATURE, i.coldest)
        ),
        x: Axis::new("time", HOURS.0, 0.0, span.value, words.system),
        y: Axis::new("water", TEMPERATURE.0, low - 1.0, high + 1.0, words.system),
        series,
        marks: vec![],
        bands: vec![],
        brim: Some((i.coldest.value, "coldest they may get".into())),
    })
}

/// What a page shows of a result.
pub(super) fn report(i: &HeatIn, o: &HeatOut, words: Words) -> Report {
    let levels = levels(i, o);
    Report {
        verdict: verdict(i, o, words),
        repairs: repairs(i, o, &levels, words),
        cautions: cautions(i, o, words),
        pictures: vec![falling(i, o, words)],
        tables: vec![where_it_goes(o, words), savings(i, o, words)],
        notes: notes(i, o, words),
        levels: first(levels),
    }
}
