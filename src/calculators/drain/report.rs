//! The words, repairs, pictures and tables of the drain calculator.

use super::*;
use crate::calculators::{care, form, mend, mend::HOPELESS, mend::round_down, sheet};
use crate::catalog::choose::Choose;
use crate::catalog::pipes::hole_words;
use crate::picture::{Axis, Band, Chart, Mark, Picture, Role, Section, Series, Shape};
use crate::science::drain::Change;

/// What sets the level, in words.
pub(super) const fn control(c: Control) -> &'static str {
    match c {
        Control::Still => "nothing flows",
        Control::Rim => "the rim, as a weir",
        Control::Mouth => "the drowned mouth of the standpipe",
        Control::BackedUp => "water backing up from the run",
        Control::Hole => "the hole, part full",
        Control::Sealing => "the hole, sealing over",
        Control::Drowned => "the drowned hole",
        Control::Run => "the run, part full",
        Control::FullRun => "the full run",
    }
}

/// What ends the capacity, in words.
pub(super) const fn limit(l: Limit) -> &'static str {
    match l {
        Limit::Freeboard => "the water reaches what you keep dry",
        Limit::Vent => "the vent spills",
        Limit::Choking => "falling water chokes on its own air",
    }
}

/// The name of a stretch that begins with a change, and whether to stay out of it.
const fn stretch(c: Change) -> (&'static str, bool) {
    match c {
        Change::RimDrowns => ("rim drowning", false),
        Change::Gulps => ("gulping", true),
        Change::MouthDrowns => ("mouth drowned", true),
        Change::BacksUp => ("backed up", true),
        Change::ReachesCrown => ("over the crown", false),
        Change::Seals => ("sealing", false),
        Change::Drowns => ("hole drowned", false),
        Change::RunFills => ("run full", false),
        Change::VentSpills => ("vent spills", true),
    }
}

const fn sentence(c: Change) -> &'static str {
    match c {
        Change::RimDrowns => "The rim begins to drown; still quiet",
        Change::Gulps => "Gulping begins where water falls; the level wanders",
        Change::MouthDrowns => "The mouth of the standpipe is drowned",
        Change::BacksUp => "Water backs up from the run over the rim",
        Change::ReachesCrown => "The water before the run stands over its crown",
        Change::Seals => "The hole begins to seal over; it may gulp",
        Change::Drowns => "The hole is drowned",
        Change::RunFills => "The run is full at its beginning",
        Change::VentSpills => "The vent spills",
    }
}

pub(super) fn report(i: &DrainIn, o: &DrainOut, words: Words) -> Report {
    Report {
        verdict: verdict(i, o, words),
        levels: levels(o),
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: vec![section(i, o, words), chart(o, words)],
        tables: tables(i, o, words),
        notes: notes(i, o, words),
    }
}

fn short(words: Words, x: Length) -> String {
    // Tenths of a millimetre are more than the sum deserves.
    let grid = if words.system == System::Metric { mm(1.0) } else { mm(25.4) / 20.0 };
    words.q(SHORT_LENGTH, SHORT_LENGTH.of((x.value / grid).round() * grid))
}

fn blocked_words(o: &DrainOut, words: Words) -> String {
    match o.outlet.screen {
        Some(s) if (s.blocked.value - 0.5).abs() < 1e-6 => " with the screen half blocked".into(),
        Some(s) if s.blocked.value > 0.0 => format!(" with {} of the screen blocked", words.q(PERCENT, s.blocked)),
        Some(_) => " with a clean screen".into(),
        None => String::new(),
    }
}

fn verdict(i: &DrainIn, o: &DrainOut, words: Words) -> String {
    let many = if o.outlets > 1.0 { format!("The {} outlets carry", words.plain(o.outlets)) } else { "Carries".into() };
    let first = format!(
        "{many} {}{}. The pump can send {}.",
        words.q(FLOW, o.capacity),
        blocked_words(o, words),
        words.n(FLOW, o.flow)
    );
    let state = Drain::level(o).map_or(State::Over, |l| l.state());
    let dry = o.brim - o.stand.level;
    let second = match (state, o.limited_by) {
        (State::Enough, _) => {
            format!("It stands {} over the outlet and leaves {} dry.", short(words, o.stand.level), short(words, dry))
        }
        (State::Tight, _) => format!("It holds, with little in hand: {} stay dry.", short(words, dry)),
        (State::Over, _) if i.arrangement == Arrangement::Flooded && i.tail_depth <= i.freeboard => {
            format!("The lower tank's water alone stands within the {} that you keep dry.", short(words, i.freeboard))
        }
        (State::Over, _) if o.limit.value <= 0.0 => {
            format!("The outlet lies within the {} that you keep dry.", short(words, i.freeboard))
        }
        (State::Over, _) if o.stand.level > o.brim => "It will spill.".into(),
        (State::Over, Limit::Vent) => "The vent will spill.".into(),
        (State::Over, Limit::Choking) => "Beyond that it can choke on its own air, and then it will spill.".into(),
        (State::Over, Limit::Freeboard) => {
            format!(
                "It stands {} into the {} that you keep dry.",
                short(words, o.stand.level - o.limit),
                short(words, i.freeboard)
            )
        }
    };
    let third = match o.quiet_flow() {
        Some(quiet) if o.gulps_under_water() => format!(
            " It gulps, and its foot is under water: past {} it may choke on its own air, and then it spills.",
            words.q(FLOW, quiet)
        ),
        _ if o.noise == Noise::Gulping && state != State::Over => " It gulps.".into(),
        _ => String::new(),
    };
    let fourth = match o.others_carry() {
        Some(others) if state != State::Over && others < o.flow => " If one of them blocks, it spills.",
        _ => "",
    };
    format!("{first} {second}{third}{fourth}")
}

fn levels(o: &DrainOut) -> Vec<Level> {
    let mut all: Vec<Level> = Drain::level(o).into_iter().collect();
    if let (Some(vent), Some(tee)) = (o.vent, o.stand.tee) {
        all.push(Level::upper("vent", "Vent", SHORT_LENGTH, tee + o.stand.boil, vent));
    }
    // To the rim, and not to what is kept dry: that is there for such a day.
    all.extend(o.others_carry().map(|q| Level::upper("one_blocked", "Drain with one outlet blocked", FLOW, o.flow, q)));
    all
}

// ---- repairs ----

/// Where a vent lets the air out of a pipe that falls.
pub(crate) const fn vent_place(a: Arrangement) -> &'static str {
    if matches!(a, Arrangement::Rim) { "behind the standpipe" } else { "at the top of the drop" }
}
/// What every vent has to be.
pub(crate) const VENT_OPEN: &str = "Full bore, open, never capped.";

/// What less flow starves.
const LESS_FLOW: &str = "Less flow stirs less and brings less oxygen: check both.";

/// Cuts of a standpipe that are tried one after the other.
const CUTS: u32 = 30;
/// Past this share a level says how many times.
const FAR_OVER: f64 = 9.995;

/// A changed copy solved, if it can be built.
fn tried(i: &DrainIn, change: impl FnOnce(&mut DrainIn)) -> Option<(DrainIn, DrainOut, Level)> {
    let mut copy = i.clone();
    change(&mut copy);
    let out = sheet::solve::<Drain>(&copy, &mut Working::none()).ok()?;
    let level = Drain::level(&out)?;
    Some((copy, out, level))
}

fn effect(o: &DrainOut, level: &Level, words: Words) -> String {
    let of = if level.fullness() > FAR_OVER { "" } else { "of " };
    let still = if level.state() == State::Over { ", still too much" } else { "" };
    format!("{} {of}what it can carry{still}, stands {}", level.percent(), short(words, o.stand.level))
}

/// Wider pipes of the same kind, with what is narrow on the way widened too.
fn wider(i: &DrainIn, system: System) -> impl Iterator<Item = &'static Pipe> {
    let family = if system == System::Metric { pipes::Family::MetricPn10 } else { pipes::Family::Schedule40 };
    i.pipe.wider(i.pipe_bore(), family)
}

/// As many outlets as are asked about.
fn most_outlets(i: &DrainIn) -> u32 {
    mend::ends::<Drain>(i, "outlets")[1] as u32
}

/// Repairs where all is well until an outlet blocks.
fn spared(i: &DrainIn, o: &DrainOut, words: Words) -> Vec<Repair> {
    let Some(others) = o.others_carry().filter(|q| *q < o.flow) else { return vec![] };
    let before = levels(o);
    let mend = |title: String, edits: Vec<Edit>| {
        mend::mend::<Drain>(i, &before, |_, o| levels(o), "one_blocked", title, edits, words.system)
    };
    let more = (o.outlets as u32 + 1..=most_outlets(i)).find_map(|n| {
        let r = mend(format!("{n} outlets like it in all"), vec![Edit::num("outlets", COUNT.of(f64::from(n)))])?;
        (r.level.state() != State::Over).then_some(r)
    });
    let less = FLOW.of(round_down(others.value * ENOUGH, words.one(FLOW)));
    let less = (less.value >= mend::ends::<Drain>(i, "flow")[0])
        .then(|| mend(format!("Send {} at most", words.q(FLOW, less)), vec![Edit::num("flow", less)]));
    let less = less.flatten().map(|r| Repair { also: Some(LESS_FLOW.into()), ..r });
    more.into_iter().chain(less).collect()
}

fn repairs(i: &DrainIn, o: &DrainOut, words: Words) -> Vec<Repair> {
    let Some(now) = Drain::level(o) else { return vec![] };
    if now.state() == State::Enough {
        return spared(i, o, words);
    }
    let helps = |l: &Level| mend::helps(now.fullness(), l.fullness());
    let tick = words.step(SHORT_LENGTH, mm(1.0));
    let mut all = vec![];

    // A way out for the air, or a vent that reaches over what stands in the tee at the flow with a fifth in hand.
    let air = match (o.limited_by, o.vent) {
        (Limit::Choking, _) => {
            Some((format!("An open vent {}", vent_place(i.arrangement)), Edit::pick("vent", YesNo::Yes.id())))
        }
        (Limit::Vent, Some(vent)) => {
            let s = o.outlet.stand(o.share() / ENOUGH);
            let higher = SHORT_LENGTH.of(((s.entry + s.boil - vent).value * 1.002 / tick).ceil() * tick);
            let title = format!("A vent that is {} taller", short(words, higher));
            Some((title, Edit::num("vent_top", i.vent_top + higher)))
        }
        _ => None,
    };
    if let Some((title, edit)) = air
        && let Some((_, out, level)) = tried(i, |c| {
            form::apply_all(c, std::slice::from_ref(&edit));
        })
        && helps(&level)
        && level.fullness() <= HOPELESS
    {
        all.push(Repair {
            title,
            effect: effect(&out, &level, words),
            edits: vec![edit],
            then: level.state(),
            level,
            also: Some(VENT_OPEN.into()),
        });
    }

    // More holes in the screen, where the screen takes a good part of the head.
    if i.screen != ScreenKind::None && o.stand.screen > (o.stand.level - o.still) * 0.2 {
        // Twice to six times as many, and far more where there are next to none; six times where nothing is enough.
        const TIMES: [f64; 10] = [2.0, 3.0, 4.0, 5.0, 6.0, 10.0, 20.0, 50.0, 100.0, 6.0];
        let [_, most] = mend::ends::<Drain>(i, "openings");
        for (n, times) in TIMES.into_iter().enumerate() {
            let more = COUNT.of((i.openings.value * times).min(most));
            let Some((_, out, level)) = tried(i, |c| c.openings = more) else { continue };
            if helps(&level) && level.fullness() <= HOPELESS && (level.state() == State::Enough || n + 1 == TIMES.len())
            {
                let what = if i.screen == ScreenKind::Holes { "holes" } else { "slots" };
                all.push(Repair {
                    title: format!("A screen with {} {what}", words.q(COUNT, more)),
                    effect: effect(&out, &level, words),
                    edits: vec![Edit::num("openings", more)],
                    then: level.state(),
                    level,
                    also: None,
                });
                break;
            }
        }
    }
    // The next pipe size that is enough, or the widest of its kind.
    let mut best = None;
    for p in wider(i, words.system) {
        let change = |c: &mut DrainIn| {
            c.pipe = p;
            c.narrow = YesNo::No;
        };
        let Some((copy, out, level)) = tried(i, change) else { continue };
        if !helps(&level) || level.fullness() > HOPELESS {
            continue;
        }
        let enough = level.state() == State::Enough;
        let hole = copy.hole_to_cut(p).map_or(String::new(), |d| format!(", a {} hole saw", hole_words(d, words)));
        let too_wide = out.outlet.run.bore > out.brim && i.arrangement != Arrangement::Rim;
        let mut edits = vec![Edit::pick("pipe", p.id)];
        if i.narrow.yes() {
            edits.push(Edit::pick("narrow", YesNo::No.id()));
        }
        let also = if too_wide {
            Some("The hole would reach over the rim.".to_string())
        } else if i.narrow.yes() {
            Some("With a fitting through the wall that is as wide.".to_string())
        } else {
            None
        };
        best = Some(Repair {
            title: format!("{}{hole}", p.short()),
            effect: effect(&out, &level, words),
            edits,
            then: level.state(),
            level,
            also,
        });
        if enough {
            break;
        }
    }
    all.extend(best);
    // More outlets.
    let most = most_outlets(i);
    for n in (o.outlets as u32 + 1)..=most {
        let count = COUNT.of(f64::from(n));
        let Some((_, out, level)) = tried(i, |c| c.outlets = count) else { break };
        if level.state() == State::Enough || n == most {
            let title =
                if n == 2 { "A second outlet like it".to_string() } else { format!("{n} outlets like it in all") };
            if helps(&level) && level.fullness() <= HOPELESS {
                all.push(Repair {
                    title,
                    effect: effect(&out, &level, words),
                    edits: vec![Edit::num("outlets", count)],
                    then: level.state(),
                    level,
                    // Where one may block today too, that is a level, and said with the others.
                    also: out
                        .others_carry()
                        .is_some_and(|q| o.outlets < 2.0 && q < o.flow)
                        .then(|| "Over again if one blocks.".to_string()),
                });
            }
            break;
        }
    }
    // The outlet lower under the rim.
    let down = match i.arrangement {
        Arrangement::Rim => Some(("lip_depth", i.lip_depth, "Cut the standpipe")),
        Arrangement::Wall | Arrangement::Draw => Some(("hole_depth", i.hole_depth, "Cut the hole")),
        Arrangement::Flooded => None,
    };
    // The water of the lower tank lower, by what stands too high at the flow with a fifth in hand.
    if i.arrangement == Arrangement::Flooded {
        let high = (o.outlet.stand(o.share() / ENOUGH).level - o.limit).value;
        let lower = SHORT_LENGTH.of(((high * 1.002) / tick).ceil() * tick);
        let to = i.tail_depth + lower;
        if high > 0.0
            && let Some((_, out, level)) = tried(i, |c| c.tail_depth = to)
            && helps(&level)
        {
            all.push(Repair {
                title: format!("Keep the lower tank's water {} lower", short(words, lower)),
                effect: effect(&out, &level, words),
                edits: vec![Edit::num("tail_depth", to)],
                then: level.state(),
                level,
                also: Some("Less water there, or that tank set lower; its pump must stay covered.".into()),
            });
        }
    }
    if let Some((key, depth, what)) = down
        && o.limited_by == Limit::Freeboard
    {
        let rim = i.arrangement == Arrangement::Rim;
        let under = !rim && i.far_end == FarEnd::Under;
        // A shorter standpipe is backed up sooner, and then stands higher over its top: cut on, but not past its foot.
        let mut outlet = o.outlet;
        for _ in 0..CUTS {
            let need = outlet.stand(o.share() / ENOUGH).level + i.freeboard;
            let need = SHORT_LENGTH.of(((need.value * 1.002 + 1e-9) / tick).ceil() * tick);
            let lower = need - depth;
            let left = SHORT_LENGTH.of(((i.standpipe - lower).value / tick + 1e-6).floor() * tick);
            let foot = rim && left < o.outlet.run.bore;
            if lower.value <= 0.0 || lower.value >= 0.5 || foot || lower > i.may_go_down() {
                break;
            }
            let mut edits = vec![Edit::num(key, need)];
            if rim {
                edits.push(Edit::num("standpipe", left));
            }
            edits.extend(i.gone_down(lower));
            // The vent of a hole stays where it is on the rim.
            let Some((_, out, level)) = tried(i, |c| {
                form::apply_all(c, &edits);
            }) else {
                break;
            };
            if (rim || under) && level.state() != State::Enough && out.limited_by == Limit::Freeboard {
                outlet = out.outlet;
                continue;
            }
            if helps(&level) {
                let lost = VOLUME.of(i.surface.value * lower.value);
                all.push(Repair {
                    title: format!("{what} {} lower", short(words, lower)),
                    effect: effect(&out, &level, words),
                    edits,
                    then: level.state(),
                    level,
                    also: Some(format!("The tank then holds {} less.", words.q(VOLUME, lost))),
                });
            }
            break;
        }
    }
    // Less flow, in a round number.
    let unit = words.one(FLOW);
    let units = (o.capacity.value * ENOUGH / unit).floor();
    let step = 10f64.powf((units.max(1.0).log10().floor() - 1.0).max(0.0));
    let less = FLOW.of((units / step).floor() * step * unit);
    if less.value >= mend::ends::<Drain>(i, "flow")[0]
        && let Some((_, out, level)) = tried(i, |c| c.flow = less)
    {
        all.push(Repair {
            title: format!("Send {} at most", words.q(FLOW, less)),
            effect: effect(&out, &level, words),
            edits: vec![Edit::num("flow", less)],
            then: level.state(),
            level,
            also: Some(LESS_FLOW.into()),
        });
    }
    mend::all_beside::<Drain>(i, &levels(o), |_, o| levels(o), all)
}

// ---- cautions and notes ----

pub(super) fn cautions(i: &DrainIn, o: &DrainOut, words: Words) -> Vec<Caution> {
    let mut all = vec![];
    let state = Drain::level(o).map_or(State::Over, |l| l.state());
    if o.noise == Noise::Gulping {
        let (low, high) = (o.low(), o.stand.level);
        let wanders = if low < high {
            format!(
                " The level wanders between {} and {} over the outlet; the upper edge counts here.",
                short(words, low),
                short(words, high)
            )
        } else {
            String::new()
        };
        all.push(Caution::from(
            format!("It gulps: falling water carries more air than it can let go.{wanders}"),
            &src::HILLS_1983,
        ));
    }
    if o.limited_by == Limit::Choking {
        all.push(Caution::from(
            "The pipe's foot stands under water and there is no vent: air can leave only up through the falling water. An open vent \
             behind the standpipe, or at the top of the drop, lifts this limit.",
            &src::HILLS_1983,
        ));
    }
    if o.gulps_under_water() {
        all.push(Caution::from(
            "The run is full, so the foot of the standpipe is under water: air has to leave up through the falling water, and that may choke on it. An \
             open vent behind the standpipe lets it out.",
            &src::HILLS_1983,
        ));
    }
    if o.noise == Noise::DrawsAir {
        all.push(Caution::from(
            "Too little water stands over the opening: it draws air in a vortex, carries less than this and is loud.",
            &src::MCDUFFIE_1977,
        ));
    }
    match i.arrangement {
        Arrangement::Draw => {
            all.push(match o.siphon() {
                Some(x) => Caution::from(
                    format!(
                        "A blocked or missing vent makes a siphon: the tank falls {} below the outlet, {} in {}. Leave the vent open, full bore, \
                         never capped, and set the intake no lower than the depth that the fish can live in.",
                        short(words, x.below),
                        words.q(VOLUME, x.volume),
                        words.time(x.time)
                    ),
                    &src::DARCY_WEISBACH,
                ),
                None => Caution::new(
                    "Keep the vent open, full bore, never capped. If the pipe ever turns down after the run, a blocked vent siphons the tank \
                     down to the intake: set that no lower than the depth the fish can live in.",
                ),
            });
            if let Some(vent) = o.vent
                && vent < o.brim
            {
                all.push(Caution::new("The vent ends below the rim: when it spills, the water is lost outside the tank."));
            }
            if o.speed() < VELOCITY.of(SETTLES.value) {
                let run = if o.run_is_full() { " and the run" } else { "" };
                all.push(Caution::from(
                    format!(
                        "At {} solids settle in the rising pipe{run}; flush them now and then.",
                        words.q(VELOCITY, o.speed())
                    ),
                    &src::SCOUR,
                ));
            }
        }
        Arrangement::Flooded => all.push(Caution::new(
            "If the lower tank leaks or is drained, this tank falls to the bottom of the hole. Set the hole no lower than the depth the \
             fish can live in. A high point in the pipe traps air: vent it.",
        )),
        Arrangement::Rim | Arrangement::Wall => {}
    }
    all.extend(slow_run(i, o, words));
    if i.screen == ScreenKind::None {
        all.push(Caution::new(
            "No screen is counted. One that keeps fish out takes head, most of all when half blocked.",
        ));
    } else {
        all.push(Caution::from(
            "A screen can block altogether. Leave it open at the top, with that top below the tank's rim, so that water gets over it. Holes \
             above the water carry nothing: count those below.",
            &src::SCREEN_BLOCKED,
        ));
        all.extend(at_the_screen(i, o, words));
    }
    if i.narrow.yes() && i.narrow_bore >= i.pipe_bore() {
        all.push(Caution::new("What you call narrower is as wide as the pipe, so it changes nothing."));
    }
    if matches!(i.arrangement, Arrangement::Wall | Arrangement::Draw) && i.hole_depth < o.outlet.wall_bore() {
        all.push(Caution::new("The top of the hole would lie over the tank's rim."));
    }
    if i.arrangement == Arrangement::Rim && o.stand.level < SHORT_LENGTH.of(RIM_HANGS.value) {
        all.push(Caution::from(
            "Water can bulge about 4 mm (5/32 in) over the rim before it runs over.",
            &src::RIM_SURFACE_TENSION,
        ));
    }
    if i.far_end == FarEnd::DropUnder && i.arrangement == Arrangement::Draw && o.stand.control == Control::FullRun {
        all.push(Caution::new(
            "The run is full and its drop ends under water: air comes from the vent alone, in gulps.",
        ));
    }
    if state != State::Over {
        all.push(Caution::from(
            "Prove it before fish go in: full flow for ten minutes, then with the screen half covered. Levels agree with such sums within \
             about 15 % of the head at best.",
            &src::DRAIN_ACCURACY,
        ));
    }
    all.push(care::yard());
    all
}

/// That solids settle in the near-level run at what flows there, or are not quite swept through it. Where the rising pipe is said to hold them and the run
/// is full, that says it of both.
fn slow_run(i: &DrainIn, o: &DrainOut, words: Words) -> Option<Caution> {
    let (run, settles) = (o.run_speed(), VELOCITY.of(SETTLES.value));
    let said = i.arrangement == Arrangement::Draw && o.run_is_full() && o.speed() < settles;
    if i.length.value <= 0.0 || said || run >= VELOCITY.of(CLEANS.value) {
        return None;
    }
    let [is, least, clean] = [run, settles, VELOCITY.of(CLEANS.value)].map(|v| words.q(VELOCITY, v));
    let does = if run < settles { "solids settle in it" } else { "it is not quite swept clean" };
    let steeper = if o.run_is_full() { "" } else { ", or lay it steeper" };
    Some(Caution::from(
        format!(
            "In the near-level run the water moves at {is} at the most: {does} ({clean} sweep a drain, below {least} solids settle). Flush it now and then{steeper}."
        ),
        &src::SCOUR,
    ))
}

/// How fast the water goes through the screen, and what its openings hold back.
fn at_the_screen(i: &DrainIn, o: &DrainOut, words: Words) -> Option<Caution> {
    let [now, clean] = [o.outlet, o.clean].map(|of| of.screen.map(|s| s.speed(o.share())));
    let (now, clean) = (now?, clean?);
    let wide = if i.screen == ScreenKind::Holes { i.hole_size } else { i.slot_width.min(i.slot_length) };
    let held = VELOCITY.of(HELD.value);
    let speed = if now > held {
        let as_clean = if now > clean { format!(", {} clean", words.q(VELOCITY, clean)) } else { String::new() };
        format!(
            "Water goes through the screen at {}{as_clean}. From about {} on it holds small fish against it: give it more openings. ",
            words.q(VELOCITY, now),
            words.q(VELOCITY, held)
        )
    } else {
        String::new()
    };
    let text = format!("{speed}Openings of {} hold back only fish that are thicker.", words.q(SHORT_LENGTH, wide));
    Some(Caution::from(text, &src::SCREEN_SPEED))
}
const SETTLES: Coef = Coef::new(0.3, "m/s", &src::SCOUR, "fish solids in pipes");
const CLEANS: Coef = Coef::new(0.6, "m/s", &src::SCOUR, "at the most that flows");
const HELD: Coef = Coef::new(0.1, "m/s", &src::SCREEN_SPEED, "through the openings, for small fish");
const RIM_HANGS: Coef = Coef::new(0.004, "m", &src::RIM_SURFACE_TENSION, "water on plastic");

fn notes(i: &DrainIn, o: &DrainOut, words: Words) -> Vec<String> {
    let mut all = vec![];
    all.push(format!("What sets the level: {}.", control(o.stand.control)));
    if o.outlet.screen.is_some() {
        all.push(format!(
            "With a clean screen it carries {} and stands {} over the outlet.",
            words.q(FLOW, o.capacity_clean()),
            short(words, o.level_clean())
        ));
    }
    if let (Some(quiet), Limit::Freeboard | Limit::Vent) = (o.quiet_flow(), o.limited_by) {
        let then = if o.gulps_under_water() { "may choke" } else { "still carries what is said here" };
        all.push(format!("Falling water stays quiet up to {}. Past that it gulps, and {then}.", words.q(FLOW, quiet)));
    }
    if let Some(vent) = o.vent_flow() {
        all.push(format!("The vent spills at {}.", words.q(FLOW, vent)));
    }
    all.push(match o.spill() {
        Spill::After(t) if o.stand.level >= o.brim || t.value <= 0.0 => {
            "At full flow it is over the rim already.".into()
        }
        Spill::After(t) if o.outlets > 1.0 => {
            format!("With one outlet blocked it spills after {}, if the pump has water for that long.", words.time(t))
        }
        Spill::After(t) => {
            format!("If it blocks, the tank spills after {}, if the pump has water for that long.", words.time(t))
        }
        Spill::Vent => "With one outlet blocked the vents of the others spill.".into(),
        Spill::Never(h) => {
            format!("With one outlet blocked the others carry it; it then stands {} over the outlet.", short(words, h))
        }
    });
    all.push(format!(
        "When the pump stops, {} drain from the tank, and up to {} from the runs. The lower tank needs room for both.",
        words.q(VOLUME, o.drains_back()),
        words.q(VOLUME, o.outlet.contents() * o.outlets)
    ));
    let end = if o.under_water() { "under water" } else { "in air" };
    all.push(format!(
        "The far end is {end}. The smallest bore on the way is {}.",
        words.q(SHORT_LENGTH, o.outlet.smallest_bore())
    ));
    all.push(match (i.through, o.hole) {
        (Through::Bulkhead, _) => {
            "The maker of the bulkhead fitting names its hole; its bore is often narrower than the pipe's.".into()
        }
        (Through::Seal, Some(d)) => {
            let saw = hole_words(d, words);
            format!("The hole for this pipe: {saw} hole saw. Buy the seal first: its maker's figure wins, and too wide a hole leaks.")
        }
        (Through::Glued, Some(d)) => format!("The hole for this pipe: {} hole saw.", hole_words(d, words)),
        (_, None) => "This pipe has no standard outside diameter; measure it for the hole saw.".into(),
    });
    all
}

// ---- tables ----

fn tables(i: &DrainIn, o: &DrainOut, words: Words) -> Vec<Table> {
    let mut parts = vec![];
    let mut part = |name: &str, x: Length| {
        if x.value > 0.0 {
            parts.push(vec![name.to_string(), short(words, x)]);
        }
    };
    match i.arrangement {
        Arrangement::Rim => part("Over the rim", o.stand.entry),
        Arrangement::Wall => part("The hole and its run", o.stand.entry),
        Arrangement::Draw => {
            part("The run, at the tee", o.stand.entry);
            part("The rising pipe", o.stand.riser);
        }
        Arrangement::Flooded => {
            part("The lower tank's water over this outlet", o.still);
            part("Lost in the pipe", o.stand.entry - o.still);
        }
    }
    part(
        if o.outlet.screen.is_some_and(|s| s.blocked.value > 0.0) { "Screen, partly blocked" } else { "Screen" },
        o.stand.screen,
    );
    let from = Table {
        title: format!("What makes up the {}", short(words, o.stand.level)),
        head: vec!["Part".into(), "Head".into()],
        rows: parts,
    };

    let mut rows = vec![];
    let mut row = |name: String, found: Option<(DrainIn, DrainOut, Level)>| {
        if let Some((_, out, level)) = found {
            rows.push(vec![name, words.q(FLOW, out.capacity), short(words, out.stand.level), level.percent()]);
        }
    };
    let plain = |p: &Pipe| p.label.to_string();
    let own = if i.pipe.bore().is_some() { plain(i.pipe) } else { words.q(SHORT_LENGTH, i.bore) };
    row(format!("{own}, as it is"), tried(i, |_| {}));
    if o.outlets < 8.0 {
        let more = COUNT.of(o.outlets + 1.0);
        row(format!("{} of {own}", words.q(COUNT, more)), tried(i, |c| c.outlets = more));
    }
    for p in wider(i, words.system).take(3) {
        row(plain(p), tried(i, |c| (c.pipe, c.narrow) = (p, YesNo::No)));
    }
    for (age, name) in [(Age::New, "new"), (Age::Slimed, "slimed")] {
        if age != i.age {
            row(format!("{own}, {name}"), tried(i, |c| c.age = age));
        }
    }
    let sizes = Table {
        title: "Other sizes, at the same flow".into(),
        head: vec!["Pipe".into(), "Carries".into(), "Stands".into(), "Of what it can carry".into()],
        rows,
    };

    let most = o.flow.max(o.capacity) * 2.0;
    let rows = changes(o, most)
        .into_iter()
        .map(|(q, c)| {
            let gulps = o.quiet_flow().is_some_and(|quiet| quiet < q);
            let says = if gulps && c == Change::RimDrowns { "The rim begins to drown" } else { sentence(c) };
            vec![words.q(FLOW, q), says.to_string(), short(words, o.outlet.stand(q / o.outlets).level)]
        })
        .collect();
    let regimes = Table {
        title: "What changes as the flow rises".into(),
        head: vec!["Flow".into(), "What happens".into(), "Stands".into()],
        rows,
    };
    [from, sizes, regimes].into_iter().filter(|t| !t.rows.is_empty()).collect()
}

/// Where something changes, for all outlets together, with where falling water begins to gulp.
fn changes(o: &DrainOut, most: VolumeRate) -> Vec<(VolumeRate, Change)> {
    let mut all: Vec<_> =
        o.outlet.changes(most / o.outlets, o.vent).into_iter().map(|(q, c)| (q * o.outlets, c)).collect();
    if o.arrangement != Arrangement::Rim
        && let Some(quiet) = o.quiet_flow()
        && quiet <= most
    {
        all.push((quiet, Change::Gulps));
    }
    crate::units::arrange(&mut all, |a, b| a.0.value.total_cmp(&b.0.value));
    all
}

// ---- pictures ----

fn chart(o: &DrainOut, words: Words) -> Picture {
    let most = (o.flow * 1.25).max(o.capacity * 1.15);
    let parts = 36;
    let level = |q: VolumeRate| o.outlet.stand(q / o.outlets).level.value;
    let curve = |of: &dyn Fn(VolumeRate) -> f64| -> Vec<(f64, f64)> {
        // Dense where the curve is steep, at its beginning.
        (0..=parts).map(|k| most * (f64::from(k) / f64::from(parts)).powf(1.5)).map(|q| (q.value, of(q))).collect()
    };
    let mut series = vec![Series { name: "Water over the outlet".into(), role: Role::Water, points: curve(&level) }];
    if o.outlet.screen.is_some() {
        let clean = |q: VolumeRate| o.clean.stand(q / o.outlets).level.value;
        series[0].name = "With the screen partly blocked".into();
        series.push(Series { name: "With a clean screen".into(), role: Role::Guide, points: curve(&clean) });
    }
    let top =
        (o.brim.value * 1.25).max(level(o.flow) * 1.1).min(o.brim.value.max(mm(1.0)) * 4.0).max(o.still.value * 1.3);
    let mut bands: Vec<Band> = vec![];
    for (q, c) in o.outlet.changes(most / o.outlets, o.vent) {
        let q = q * o.outlets;
        if let Some(last) = bands.last_mut() {
            last.to = q.value;
        }
        let (label, warn) = stretch(c);
        // What is to be kept out of has no far side.
        let warn = warn || bands.last().is_some_and(|b| b.warn);
        bands.push(Band { label: label.into(), from: q.value, to: most.value, warn });
    }
    // Short stretches say nothing on a phone.
    bands.retain(|b| b.to - b.from > most.value * 0.02);
    let mut marks = vec![Mark {
        label: format!("your flow: {}", short(words, o.stand.level)),
        x: o.flow.value,
        y: o.stand.level.value,
    }];
    if o.capacity.value > 0.0 {
        marks.push(Mark {
            label: format!("carries {}", words.q(FLOW, o.capacity)),
            x: o.capacity.value,
            y: level(o.capacity),
        });
    }
    if o.arrangement != Arrangement::Rim
        && let Some(quiet) = o.quiet_flow()
        && quiet < most
    {
        marks.push(Mark { label: "gulps from here".into(), x: quiet.value, y: level(quiet) });
    }
    let describe = format!(
        "Water level over the outlet against flow. At {} it stands {}; what is kept dry is reached at {}.",
        words.q(FLOW, o.flow),
        short(words, o.stand.level),
        words.q(FLOW, o.freeboard_flow)
    );
    Picture::Chart(Chart {
        title: "How high it stands for a flow".into(),
        describe,
        x: Axis::new("flow", FLOW.0, 0.0, most.value, words.system),
        y: Axis::new("over the outlet", SHORT_LENGTH.0, 0.0, top, words.system),
        series,
        marks,
        bands,
        brim: Some((
            o.limit.value.max(0.0),
            format!("kept dry above {}", short(words, o.limit.max(SHORT_LENGTH.of(0.0)))),
        )),
    })
}

/// What holds of the heights that a section names.
const TO_SCALE: &str = "These heights are to scale, lengths are not.";

/// The tank's section: heights to scale, the run not to its length.
fn section(i: &DrainIn, o: &DrainOut, words: Words) -> Picture {
    let (brim, level, bore) = (o.brim.value, o.stand.level.value, o.outlet.run.bore.value);
    let neck = o.outlet.smallest_bore().value;
    // Depth of what is shown under the outlet's mark.
    let below = match i.arrangement {
        Arrangement::Rim => i.standpipe.value,
        Arrangement::Draw => i.riser.value.max(1.5 * bore),
        Arrangement::Wall | Arrangement::Flooded => (0.6 * brim).max(2.0 * bore),
    }
    .min(4.0 * brim.max(2.0 * bore));
    let over = level.min(brim * 1.3).max(brim);
    let vent = o.vent.map_or(0.0, |v| v.value.min(over * 1.6));
    let top = over.max(vent) + 0.12 * (over + below);
    let height = top + below;
    let (tank, out) = (1.05 * height, 0.75 * height);
    let mut s = Section::new("", "", tank + out, height);
    let y = |h: f64| h + below;
    let wet = level.min(brim);
    let rect = |x: f64, low: f64, w: f64, h: f64| Shape::Rect { x, y: low + below, w, h: h.max(0.0) };

    // Water, its surface, and what spills.
    s.add(Role::Water, rect(0.0, -below, tank, wet + below));
    s.add(Role::Surface, Shape::Path { points: vec![(0.0, y(wet)), (tank, y(wet))], closed: false });
    if level > brim {
        let (w, h) = (0.05 * tank, below + brim);
        for x in [-w, tank] {
            s.add(Role::Spill, rect(x, brim - 0.8 * h, w, 0.8 * h));
        }
    }
    // Pipes: outside, then what is wet in them.
    let mut tube = |x: f64, low: f64, w: f64, h: f64, filled: f64| {
        let wall = 0.08 * bore;
        s.add(Role::Pipe, rect(x - wall, low - wall, w + 2.0 * wall, h + 2.0 * wall));
        if filled > 0.0 {
            s.add(Role::PipeWater, rect(x, low, w, filled.min(h)));
        }
    };
    let run_depth = o.stand.run_depth.value;
    let drop_tube = |tube: &mut dyn FnMut(f64, f64, f64, f64, f64), base: f64| {
        if o.drop.value > 0.0 {
            let fall = o.drop.value.min(base + below).max(0.0);
            tube(tank + out * 0.8, base - fall, bore, fall, fall);
        }
    };
    match i.arrangement {
        Arrangement::Rim => {
            let x = 0.6 * tank;
            let base = -below;
            tube(x, base, tank + out * 0.8 + bore - x, bore, run_depth);
            tube(x, base, bore, below, run_depth.max(bore));
        }
        Arrangement::Wall => {
            let base = -(bore - neck) / 2.0;
            tube(tank - bore * 0.3, base, out * 0.8 + bore * 1.3, bore, run_depth);
            drop_tube(&mut tube, base);
        }
        Arrangement::Flooded => {
            tube(tank - bore * 0.3, 0.0, out * 0.55, bore, bore);
        }
        Arrangement::Draw => {
            let x = 0.62 * tank;
            let tee = o.stand.tee.map_or(0.0, |t| t.value);
            tube(x, 0.0, tank + out * 0.8 + bore - x, bore, run_depth);
            tube(x, bore, bore, (vent - bore).max(0.0), (tee - bore).max(0.0));
            let foot = (below - 0.5 * bore).max(0.0);
            tube(x, -foot, bore, foot, foot);
            drop_tube(&mut tube, 0.0);
            if vent > bore {
                s.text(x + 1.3 * bore, y(vent - 0.3 * bore), "open vent");
            }
        }
    }
    if o.outlet.screen.is_some() {
        let (x, low, high) = match i.arrangement {
            Arrangement::Rim => (0.6 * tank - 0.6 * bore, -below, level.max(0.0)),
            Arrangement::Draw => (0.62 * tank - 0.6 * bore, -below, -below + 1.2 * bore),
            Arrangement::Wall | Arrangement::Flooded => (tank - 0.8 * bore, -0.3 * bore, 1.3 * bore),
        };
        s.add(Role::Screen, Shape::Path { points: vec![(x, y(low)), (x, y(high))], closed: false });
    }
    // The lower tank.
    if i.arrangement == Arrangement::Flooded {
        let (x, w) = (tank + out * 0.5, out * 0.5);
        let lower = o.still.value.max(-below * 0.8);
        s.add(Role::Water, rect(x, -below, w, lower + below));
        s.add(Role::Surface, Shape::Path { points: vec![(x, y(lower)), (x + w, y(lower))], closed: false });
        s.add(
            Role::Wall,
            Shape::Path {
                points: vec![(x, y(lower + 0.3 * brim)), (x, 0.0), (x + w, 0.0), (x + w, y(lower + 0.3 * brim))],
                closed: false,
            },
        );
    }
    s.add(
        Role::Wall,
        Shape::Path { points: vec![(0.0, y(brim)), (0.0, 0.0), (tank, 0.0), (tank, y(brim))], closed: false },
    );
    s.add(Role::Brim, Shape::Path { points: vec![(-0.02 * tank, y(brim)), (tank * 1.04, y(brim))], closed: false });
    if o.limit.value > 0.0 && o.limit.value < brim {
        s.add(
            Role::Guide,
            Shape::Path { points: vec![(0.0, y(o.limit.value)), (tank, y(o.limit.value))], closed: false },
        );
    }
    s.add(Role::Brim, Shape::Text { x: tank * 1.05, y: y(brim), text: "rim".into(), left: false });
    let name = if i.arrangement == Arrangement::Rim { "standpipe's top" } else { "outlet's bottom" };
    if wet > 0.0 {
        s.add(
            Role::Measure,
            Shape::Measure { x: 0.2 * tank, y0: y(0.0), y1: y(level.min(over)), label: short(words, o.stand.level) },
        );
    }
    let pipe = format!("{} bore", words.q(SHORT_LENGTH, o.outlet.run.bore));
    let clear = bore + 0.07 * height;
    // Beside a vent's name there is no room above the pipe.
    let pipe_y = match i.arrangement {
        Arrangement::Rim => clear - below,
        _ if vent > bore && below > 0.2 * height => -0.09 * height,
        _ => clear,
    };
    s.text(tank + out * 0.15, y(pipe_y), pipe);
    s.title = if level > brim {
        let scale = if level > over { "The bar is cut short, and not to scale." } else { TO_SCALE };
        format!(
            "The water would need {} over the {name}; the rim is at {}. {scale}",
            short(words, o.stand.level),
            short(words, o.brim)
        )
    } else {
        format!(
            "The water stands {} over the {name}; {} up to the rim stay dry. {TO_SCALE}",
            short(words, o.stand.level),
            short(words, o.brim - o.stand.level)
        )
    };
    s.describe = format!("Section through the tank. {} {}", i.arrangement.label(), s.title);
    Picture::Section(s)
}
