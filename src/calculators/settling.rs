//! Settling tank sizing: how fast the water rises in a settler, what it holds back, the sludge, its pipes and the head it costs.

mod working;

use super::feed::range_in_a_day;
use super::form::*;
use super::mend::{self, round_down};
use super::outcome::*;
use super::sheet::{self, Calculator};
use crate::catalog::settlers::{
    self, AFTER_PUMP, DRAW_WITHIN, FALL, INLET_SPEED, OUTLET_SPEED, PIPE_LOSS, SETTLERS, SOLIDS_DENSITY, Settler,
};
use crate::catalog::sources::{biology, general, solids as src};
use crate::picture::{Picture, Role, Section, Shape};
use crate::science::settling::{self, Stream};
use crate::science::water;
use crate::units::{kinds::*, si::*, *};

/// What reaches the settler.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Comes {
    /// All the water that goes round.
    #[default]
    Whole,
    /// Only the small stream of a bottom drain.
    Drain,
}
crate::choices!(Comes:
    Whole = "whole", "All the water that goes round", "dilute, with many fine particles";
    Drain = "drain", "Only a bottom drain's small stream", "concentrated and fresh, the rest leaves elsewhere";
);

/// Where the settler stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stands {
    /// Before the pump.
    #[default]
    Before,
    /// After the pump.
    After,
}
crate::choices!(Stands:
    Before = "before", "Before the pump", "water comes by its own fall";
    After = "after", "After the pump", "its impeller breaks the solids";
);

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct SettlingIn {
    /// Flow through it.
    pub flow: VolumeRate,
    /// Its kind.
    pub kind: &'static Settler,
    /// Inside diameter.
    pub diameter: Length,
    /// Feed a day.
    pub feed: MassRate,
    /// Depth of still water above the sludge.
    pub depth: Length,
    /// Like ones side by side.
    pub count: Ratio,
    /// What reaches it.
    pub comes: Comes,
    /// Where it stands.
    pub stands: Stands,
    /// Bore of its inlet.
    pub inlet: Length,
    /// Bore of its outlet.
    pub outlet: Length,
    /// Fall that there is for its pipes.
    pub fall: Length,
    /// Room for sludge below, each.
    pub room: Volume,
    /// Dry solids per feed.
    pub per_feed: Ratio,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Default for SettlingIn {
    fn default() -> Self {
        Self {
            flow: FLOW.of(l_h(1200.0)),
            kind: &SETTLERS[0],
            diameter: SHORT_LENGTH.of(mm(560.0)),
            feed: FEED_RATE.of(g_day(150.0)),
            depth: SHORT_LENGTH.of(mm(600.0)),
            count: COUNT.of(1.0),
            comes: Comes::Whole,
            stands: Stands::Before,
            inlet: SHORT_LENGTH.of(mm(32.0)),
            outlet: SHORT_LENGTH.of(mm(50.0)),
            fall: SHORT_LENGTH.of(mm(FALL.value)),
            room: VOLUME.of(l(15.0)),
            per_feed: PERCENT.of(percent(settlers::SOLIDS_YIELD[1].value)),
            temperature: TEMPERATURE.of(celsius(24.0)),
        }
    }
}

impl Fields for SettlingIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let flow = Field::new(1, "flow", "Flow through it", FLOW)
            .range(l_h(10.0), l_h(200_000.0))
            .advised(l_h(100.0), l_h(20_000.0));
        num(f, &flow.help("The most that can come, all of them together."), &mut self.flow);
        let kind = Pick::new(2, "kind", "Kind of settler");
        pick(
            f,
            &kind.help("Look how the water goes in: up the middle, along the wall, or in at one side."),
            &mut self.kind,
        );
        let diameter =
            Field::new(3, "diameter", "Inside diameter", SHORT_LENGTH).range(mm(50.0), 10.0).advised(mm(250.0), 2.0);
        num(f, &diameter.help("Of the drum or tank, inside."), &mut self.diameter);
        let feed = Field::new(4, "feed", "Feed a day", FEED_RATE)
            .range(0.0, g_day(500_000.0))
            .advised(g_day(5.0), g_day(20_000.0));
        num(f, &feed.help("All the fish whose water comes here."), &mut self.feed);
        let depth = Field::new(5, "depth", "Depth of water above the sludge", SHORT_LENGTH)
            .range(mm(50.0), 5.0)
            .advised(mm(300.0), 2.0);
        num(f, &depth.help("From the water's surface to the top of the sludge."), &mut self.depth);
        group(f, &Group::titled("More about the settler"), true, &mut |f| {
            let count = Field::new(6, "count", "Like ones side by side", COUNT).range(1.0, 20.0).detail();
            num(f, &count.help("Each takes its part of the flow."), &mut self.count);
            pick(
                f,
                &Pick::new(7, "comes", "What reaches it").help("Fine particles hardly settle.").detail(),
                &mut self.comes,
            );
            pick(
                f,
                &Pick::new(8, "stands", "It stands").help("A pump breaks solids to fines.").detail(),
                &mut self.stands,
            );
            let inlet = Field::new(9, "inlet", "Bore of the inlet", SHORT_LENGTH)
                .range(mm(5.0), 0.5)
                .advised(mm(15.0), 0.2)
                .detail();
            num(f, &inlet.help("Of each, at its narrowest.").way(Way::Bore), &mut self.inlet);
            let outlet = Field::new(10, "outlet", "Bore of the outlet", SHORT_LENGTH)
                .range(mm(5.0), 0.5)
                .advised(mm(15.0), 0.2)
                .detail();
            num(f, &outlet.help("Of each, at its narrowest.").way(Way::Bore), &mut self.outlet);
            group(f, &Group::when("stands", "before"), self.stands == Stands::Before, &mut |f| {
                let fall = Field::new(14, "fall", "Fall there is for its pipes", SHORT_LENGTH)
                    .range(mm(5.0), 5.0)
                    .advised(mm(50.0), 1.0)
                    .source(&src::SETTLER_FALL)
                    .detail();
                num(f, &fall.help("From the rim of the tank before it down to its own water."), &mut self.fall);
            });
            let room = Field::new(11, "room", "Room for sludge below", VOLUME)
                .range(l(0.1), l(5000.0))
                .advised(l(1.0), l(500.0))
                .detail();
            num(f, &room.help("The cone, or the lowest hand's breadth, of each."), &mut self.room);
            let per_feed = Field::new(12, "per_feed", "Dry solids per feed", PERCENT)
                .range(percent(5.0), percent(80.0))
                .advised(percent(15.0), percent(50.0))
                .likely(percent(20.0), percent(30.0))
                .source(&src::SOLIDS_YIELD)
                .detail();
            num(
                f,
                &per_feed.help("Faeces and what is not eaten. More with cheap feed or overfeeding."),
                &mut self.per_feed,
            );
            let t = Field::new(13, "temperature", "Water temperature", TEMPERATURE)
                .range(celsius(0.0), celsius(40.0))
                .advised(celsius(4.0), celsius(34.0))
                .detail();
            num(f, &t.help("Cold water is thicker: things sink slower."), &mut self.temperature);
        });
    }
}

/// What is answered.
#[derive(Debug, Clone)]
pub struct SettlingOut {
    /// Plan area of all.
    pub area: Area,
    /// How fast the water rises.
    pub rise: Velocity,
    /// What this kind can take, cautious and bold; where the time decides, no more than leaves it that time.
    pub load: (Velocity, Velocity),
    /// Flow that it can take, cautious and bold.
    pub carries: (VolumeRate, VolumeRate),
    /// Diameter that this flow wants with a fifth in hand.
    pub wanted: Length,
    /// Still water above the sludge, all.
    pub volume: Volume,
    /// Time the water stays, at best.
    pub retention: Time,
    /// Share of the suspended solids taken out, low and high.
    pub removal: (Ratio, Ratio),
    /// Smallest grain that settles against the rise: of heavy solids, and of light ones.
    pub grain: (Option<Length>, Option<Length>),
    /// Dry solids made a day.
    pub made: MassRate,
    /// Dry solids held a day, low and high.
    pub held: (MassRate, MassRate),
    /// Dry solids that go on a day, low and high.
    pub passed: (MassRate, MassRate),
    /// Sludge as drawn a day, low and high.
    pub sludge: (VolumeRate, VolumeRate),
    /// Draw it at least this often, packed as thick as it comes.
    pub draw: Time,
    /// The same, as thin as it comes out.
    pub draw_thin: Time,
    /// Water and sludge let out at a draw, low and high.
    pub flush: (Volume, Volume),
    /// Speed in the inlet of each.
    pub inlet_speed: Velocity,
    /// Bore for the inlet of each: least and most.
    pub inlet: (Length, Length),
    /// Speed in the outlet of each.
    pub outlet_speed: Velocity,
    /// Least bore for the outlet of each.
    pub outlet: Length,
    /// Head it costs, clean and slimed.
    pub head: (Length, Length),
    /// What there is of it, where the water comes by its own fall.
    fall: Option<Length>,
    kind: &'static Settler,
    timed: bool,
    /// How fast solids sink, of how fast they sink where it was measured.
    slowed: Ratio,
}

impl SettlingOut {
    fn overflow(&self) -> Level {
        Level::upper_range("settling", "Settler", OVERFLOW_RATE, (self.rise, self.rise), self.load)
    }
    /// Is it the time that decides, not how fast the water rises?
    fn timed(&self) -> bool {
        self.timed
    }
    fn narrow(&self) -> Option<Level> {
        // Clean: how wide they are is mostly a first guess.
        self.fall.map(|fall| Level::upper("head", "Fall its pipes need", SHORT_LENGTH, self.head.0, fall))
    }
    fn rest(&self) -> Option<Level> {
        let (low, high) = wants(self.kind)?;
        Some(Level::upper_range("retention", "Time to settle", MINUTES, (low, high), (self.retention, self.retention)))
    }
}

/// Time that a kind wants, low and high, where time decides.
fn wants(kind: &Settler) -> Option<(Time, Time)> {
    let [low, high] = kind.retention.as_ref()?.map(|c| MINUTES.of(minutes(c.value)));
    Some((low, high))
}

/// What its kind can take in warm water, cautious and hopeful: in a plain barrel the water must also stay long enough.
fn warm_load(i: &SettlingIn) -> (Velocity, Velocity) {
    let load = i.kind.load();
    wants(i.kind).map_or(load, |(short, long)| {
        (load.0.min(settling::rise_for(i.depth, long)), load.1.min(settling::rise_for(i.depth, short)))
    })
}

/// What comes to it, and how.
fn stream(i: &SettlingIn) -> Stream {
    Stream { bottom_drain: i.comes == Comes::Drain, pumped: i.stands == Stands::After }
}

/// Head that the pipes of one cost at a flow through all of them, clean and slimed; without its outlet where that is looked at by itself.
pub(crate) fn head(i: &SettlingIn, flow: VolumeRate, outlet: bool) -> (Length, Length) {
    let each = flow / i.count.value.max(1.0);
    let loss = |bore| settling::head(RATIO.of(PIPE_LOSS.value), settling::pipe_speed(each, bore));
    let clean = loss(i.inlet) + if outlet { loss(i.outlet) } else { LENGTH.of(0.0) };
    (clean, clean * 2.0)
}

/// Settling tank sizing.
pub struct Settling;

/// A settler is filled to this share when it is sized: a fifth stays in hand.
const SIZED_TO: f64 = ENOUGH;

impl Calculator for Settling {
    type In = SettlingIn;
    type Out = SettlingOut;
    const ID: &'static str = "settling";
    const TITLE: &'static str = "Settling tank sizing";
    const QUESTION: &'static str = "What does my settler catch, and how often do I draw it?";
    const ANSWER: &'static str = "carries";
    const ABOUT: &'static str = "How fast water rises in a plain basin, a swirl separator or a radial-flow settler, against what that kind can take; \
        the solids it holds as a range, the smallest grain that settles, sludge a day and how often to draw it, pipes and the head it costs. \
        Settling never takes the fine particles, which are often half of the mass: removal is a range and not a promise.";

    fn solve(i: &SettlingIn, w: &mut Working) -> Result<SettlingOut, Vec<FieldError>> {
        let n = i.count.value.max(1.0);
        let one = settling::round(i.diameter);
        let area = one * n;
        let rise = settling::rise(i.flow, area);
        let warm = warm_load(i);
        let timed = warm.0 < i.kind.load().0;
        let slowed = settling::slowed(i.temperature);
        let load = if slowed.value < 1.0 { (warm.0 * slowed, warm.1 * slowed) } else { warm };
        let volume = VOLUME.of((area * i.depth).value);
        let retention = settling::retention(volume, i.flow);
        let removal = settling::removal(i.kind, rise / slowed, stream(i));
        let grain = |k: usize| settling::smallest_held(rise, DENSITY.of(SOLIDS_DENSITY[k].value), i.temperature);
        let grain = (grain(1), grain(0));
        let made = settling::solids(i.feed, i.per_feed);
        let held = (made * removal.0, made * removal.1);
        let dry = i.kind.dry_matter();
        let sludge = (settling::sludge(held.0, dry.1, i.temperature), settling::sludge(held.1, dry.0, i.temperature));
        // The room fills with the most solids, packed as thick as they come.
        let packed = settling::sludge(held.1, dry.1, i.temperature);
        let full = |sludge: VolumeRate| {
            let full = if sludge.value > 0.0 { i.room.value * n / sludge.value } else { f64::INFINITY };
            DAYS.of(full.min(days(DRAW_WITHIN.value)))
        };
        let (draw, draw_thin) = (full(packed), full(sludge.1));
        let flush = (VOLUME.of(sludge.0.value * draw.value), VOLUME.of(sludge.1.value * draw.value));
        let each = i.flow / n;
        let [slow, fast] = INLET_SPEED.map(|c| VELOCITY.of(c.value));
        let out = SettlingOut {
            area,
            rise,
            load,
            carries: (area * load.0, area * load.1),
            wanted: settling::diameter_for(each, load.0 * SIZED_TO),
            volume,
            retention,
            removal,
            grain,
            made,
            held,
            passed: (made - held.1, made - held.0),
            sludge,
            draw,
            draw_thin,
            flush,
            inlet_speed: settling::pipe_speed(each, i.inlet),
            inlet: (settling::bore_for(each, fast), settling::bore_for(each, slow)),
            outlet_speed: settling::pipe_speed(each, i.outlet),
            outlet: settling::bore_for(each, VELOCITY.of(OUTLET_SPEED.value)),
            head: head(i, i.flow, true),
            fall: (i.stands == Stands::Before).then_some(i.fall),
            kind: i.kind,
            timed,
            slowed,
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
    }

    fn outputs(o: &SettlingOut, s: &mut dyn Outputs) {
        out(s, "rise", "How fast the water rises", OVERFLOW_RATE, o.rise);
        span(s, "load", "What this kind can take", OVERFLOW_RATE, o.load.0, o.load.1);
        span(s, "carries", "Flow it can take", FLOW, o.carries.0, o.carries.1);
        out(s, "wanted", "Diameter for this flow", SHORT_LENGTH, o.wanted);
        out(s, "area", "Plan area", AREA, o.area);
        out(s, "volume", "Still water", VOLUME, o.volume);
        out(s, "retention", "Time the water stays", MINUTES, o.retention);
        span(s, "removal", "Solids taken out", PERCENT, o.removal.0, o.removal.1);
        out_opt(s, "grain_heavy", "Smallest heavy grain that settles", SHORT_LENGTH, o.grain.0);
        out_opt(s, "grain_light", "Smallest light grain that settles", SHORT_LENGTH, o.grain.1);
        out(s, "solids", "Dry solids made a day", FEED_RATE, o.made);
        span(s, "held", "Dry solids held a day", FEED_RATE, o.held.0, o.held.1);
        span(s, "passed", "Dry solids that go on a day", FEED_RATE, o.passed.0, o.passed.1);
        span(s, "sludge", "Sludge a day", DAILY_VOLUME, o.sludge.0, o.sludge.1);
        out(s, "draw", "Draw it at least every", HOURS, o.draw);
        span(s, "flush", "Let out at a draw", VOLUME, o.flush.0, o.flush.1);
        out(s, "inlet_speed", "Speed in the inlet", VELOCITY, o.inlet_speed);
        span(s, "inlet", "Bore for the inlet", SHORT_LENGTH, o.inlet.0, o.inlet.1);
        out(s, "outlet_speed", "Speed in the outlet", VELOCITY, o.outlet_speed);
        out(s, "outlet", "Least bore for the outlet", SHORT_LENGTH, o.outlet);
        span(s, "head", "Head it costs", SHORT_LENGTH, o.head.0, o.head.1);
    }

    fn level(o: &SettlingOut) -> Option<Level> {
        Some(o.overflow())
    }

    fn cautions(i: &SettlingIn, o: &SettlingOut, words: Words) -> Vec<Caution> {
        cautions(i, o, words)
    }

    fn report(i: &SettlingIn, o: &SettlingOut, words: Words) -> Report {
        let levels = levels(i, o);
        let mut repairs = repairs(i, o, words);
        repairs.splice(0..0, wider(i, o, &levels, words));
        Report {
            verdict: verdict(i, o, words),
            repairs,
            // Pipes that pass nothing before all else.
            levels: lead(levels, |l| if l.id == "head" && l.state() == State::Over { 1.0 } else { 0.0 }),
            cautions: cautions(i, o, words),
            pictures: vec![section(i, o, words)],
            tables: vec![kinds(i, words)],
            notes: notes(i, o, words),
        }
    }
}

fn levels(_: &SettlingIn, o: &SettlingOut) -> Vec<Level> {
    [Some(o.overflow()), o.rest(), o.narrow()].into_iter().flatten().collect()
}

/// Pipes as wide as the speeds in them want.
fn wider(i: &SettlingIn, o: &SettlingOut, before: &[Level], w: Words) -> Option<Repair> {
    let short = o.narrow().is_some_and(|l| l.state() != State::Enough);
    let to = |now: Length, wanted: Length| mend::upwards(SHORT_LENGTH, wanted, mm(5.0), w).max(now);
    let (inlet, outlet) = (to(i.inlet, o.inlet.0), to(i.outlet, o.outlet));
    let title = format!("An inlet of {} and an outlet of {} bore", w.q(SHORT_LENGTH, inlet), w.q(SHORT_LENGTH, outlet));
    let edits = vec![Edit::num("inlet", inlet), Edit::num("outlet", outlet)];
    short.then(|| mend::mend::<Settling>(i, before, levels, "head", title, edits, w.system)).flatten()
}

fn verdict(i: &SettlingIn, o: &SettlingOut, w: Words) -> String {
    let level = o.overflow();
    let narrow = o.narrow().filter(|l| l.state() == State::Over).map_or(String::new(), |_| {
        format!(
            "Its pipes, inlet {} and outlet {}, are too narrow together: they take {} of fall, and there are {}. ",
            w.q(SHORT_LENGTH, i.inlet),
            w.q(SHORT_LENGTH, i.outlet),
            w.range(SHORT_LENGTH, o.head.0, o.head.1),
            w.q(SHORT_LENGTH, i.fall)
        )
    });
    let carries = w.range(FLOW, o.carries.0, o.carries.1);
    let first = match level.state() {
        State::Over => {
            let why = match (o.timed(), o.rise <= o.load.1) {
                (true, false) => "The water does not stay long enough to settle well",
                (true, true) => "The water stays too short a time to settle for sure",
                (false, false) => "The water rises too fast to settle well",
                (false, true) => "The water rises too fast to settle for sure",
            };
            format!("{why}: this {} can take {carries}.", o.kind.noun)
        }
        State::Tight => format!("Just large enough: this {} can take {carries}.", o.kind.noun),
        State::Enough => format!("Large enough: this {} can take {carries}.", o.kind.noun),
    };
    format!("{narrow}{first} It holds {} of the solids; draw it {}.", whole_percents(o.removal, w), every(o.draw, w))
}

/// Shares that nobody knows to a tenth of a per cent.
fn whole_percents((low, high): (Ratio, Ratio), w: Words) -> String {
    let whole = |x: Ratio| PERCENT.of((x.value * 100.0).round() / 100.0);
    w.range(PERCENT, whole(low), whole(high))
}

fn every(draw: Time, w: Words) -> String {
    if draw.value >= days(1.0) - 1.0 {
        "at least once a day".into()
    } else {
        format!("at least every {}", w.time(draw))
    }
}

/// The deepest drum that is offered, m.
const DEEPEST: f64 = 2.0;

fn repairs(i: &SettlingIn, o: &SettlingOut, w: Words) -> Vec<Repair> {
    if o.overflow().state() == State::Enough {
        return vec![];
    }
    let (before, mut all) = (levels(i, o), vec![]);
    let mut offer = |changed: SettlingIn, title: String, edits: Vec<Edit>, also: Option<String>| {
        let Ok(after) = sheet::solve::<Settling>(&changed, &mut Working::none()) else { return };
        let level = after.overflow();
        if level.state() != State::Over && level.fullness() < o.overflow().fullness() {
            let effect = format!(
                "{} of what it can take; {} of the solids held.",
                level.percent(),
                whole_percents(after.removal, w)
            );
            let repair = Repair { title, effect, edits, then: level.state(), level, also };
            all.push(mend::beside(repair, &before, &levels(&changed, &after)));
        }
    };
    // Up to the next 10 mm, so that the drum is not a hair short.
    let steps = 1.0 / w.step(SHORT_LENGTH, 0.01);
    let sized = |wanted: Length| SHORT_LENGTH.of((wanted.value * steps).ceil() / steps);
    if i.kind.id != settlers::RADIAL {
        let kind = &SETTLERS[0];
        let mut changed = SettlingIn { kind, ..i.clone() };
        let mut edits = vec![Edit::pick("kind", kind.id)];
        let mut title = String::from("Rebuilt as a radial-flow settler");
        // Where the same drum is too small for that too, a drum of the size it wants.
        if let Ok(same) = sheet::solve::<Settling>(&changed, &mut Working::none())
            && same.overflow().state() == State::Over
        {
            changed.diameter = sized(same.wanted);
            edits.push(Edit::num("diameter", changed.diameter));
            title = format!("A radial-flow settler {} across", w.q(SHORT_LENGTH, changed.diameter));
        }
        offer(changed, title, edits, Some("It wants a centre cylinder and a level rim all round.".into()));
    }
    let diameter = sized(o.wanted);
    offer(
        SettlingIn { diameter, ..i.clone() },
        format!("A drum {} across", w.q(SHORT_LENGTH, diameter)),
        vec![Edit::num("diameter", diameter)],
        None,
    );
    if o.timed() {
        let deep = o.rise.value * wants(i.kind).map_or(0.0, |t| t.1.value) / SIZED_TO;
        let depth = sized(SHORT_LENGTH.of(deep));
        if deep <= DEEPEST {
            offer(
                SettlingIn { depth, ..i.clone() },
                format!("Water {} deep above the sludge", w.q(SHORT_LENGTH, depth)),
                vec![Edit::num("depth", depth)],
                Some("In a taller drum.".into()),
            );
        }
    }
    let enough = i.count.value * (o.rise / (o.load.0 * SIZED_TO)).value;
    let count = COUNT.of(enough.ceil().max(i.count.value + 1.0));
    offer(
        SettlingIn { count, ..i.clone() },
        format!("{} like it side by side", w.q(COUNT, count)),
        vec![Edit::num("count", count)],
        Some("Split the flow evenly: like pipes at like heights.".into()),
    );
    let flow = FLOW.of(round_down((o.carries.0 * SIZED_TO).value, w.one(FLOW)));
    offer(
        SettlingIn { flow, ..i.clone() },
        format!("Only {} through it", w.q(FLOW, flow)),
        vec![Edit::num("flow", flow)],
        Some("Less water turned over brings less oxygen to the fish: check that first, or send the rest past the settler.".into()),
    );
    all
}

fn cautions(i: &SettlingIn, o: &SettlingOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let [slow, fast] = INLET_SPEED.map(|c| VELOCITY.of(c.value));
    if o.inlet_speed < slow {
        all.push(Caution::from(
            format!(
                "Water creeps in the inlet ({}); solids will lie in the pipe. {} to {} would keep them moving.",
                w.q(VELOCITY, o.inlet_speed),
                w.n(SHORT_LENGTH, o.inlet.0),
                w.q(SHORT_LENGTH, o.inlet.1)
            ),
            &src::SETTLER_PIPES,
        ));
    } else if o.inlet_speed > fast {
        all.push(Caution::from(
            format!(
                "Water shoots in at {} and breaks the solids. An inlet of {} would be gentle.",
                w.q(VELOCITY, o.inlet_speed),
                w.range(SHORT_LENGTH, o.inlet.0, o.inlet.1)
            ),
            &src::SETTLER_PIPES,
        ));
    }
    if o.outlet_speed.value > OUTLET_SPEED.value * (1.0 + 1e-9) {
        all.push(Caution::from(
            format!(
                "The outlet is narrow ({}): it raises the water and draws solids over. Use {} or more.",
                w.q(VELOCITY, o.outlet_speed),
                w.q(SHORT_LENGTH, o.outlet)
            ),
            &src::SETTLER_PIPES,
        ));
    }
    if let Some(rest) = o.rest()
        && rest.state() != State::Enough
    {
        all.push(Caution::from(
            format!(
                "In a plain barrel the time counts as well: the water stays {}, and it needs 20 to 30 minutes, whatever its rate.",
                w.q(MINUTES, o.retention)
            ),
            &src::KSU_2021,
        ));
    }
    if i.stands == Stands::After {
        all.push(Caution::from(
            "A pump breaks solids so finely that half of them no longer settle. Put the settler before it if the fall allows.",
            &src::SETTLER_JUDGEMENT,
        ));
    }
    all.push(Caution::from(
        "What lies longer than a day leaches ammonia and phosphorus, takes oxygen and rises with gas.",
        &src::CLARIFIER_SUPPLIER,
    ));
    all.push(Caution::from(
        "Old sludge makes hydrogen sulphide: it kills fish, and people in closed tanks. Never stir it in, and never lean or climb into one.",
        &src::SLUDGE_GAS,
    ));
    all.push(Caution::from(
        "Keep sludge off what is eaten raw, and away from children and open wounds; wash hands. Compost it or dig it in where rules allow.",
        &biology::CTAHR_FST_38,
    ));
    all.push(Caution::new(
        "A drum of water is heavy (1 kg a litre, over 8 lb a gallon): a firm, level stand, and no drum that held oil or poison.",
    ));
    all
}

fn notes(i: &SettlingIn, o: &SettlingOut, w: Words) -> Vec<String> {
    let mut notes = vec![];
    if o.draw_thin < o.draw {
        notes.push(format!(
            "How often depends on how thick the sludge lies: packed tight, the room is full after {}; as thin as it drains, after {}. Look.",
            w.time(o.draw),
            w.time(o.draw_thin)
        ));
    }
    if o.slowed.value < 1.0 {
        let cold = w.q(TEMPERATURE, i.temperature);
        notes.push(format!(
            "In water of {cold} solids sink at {} of their usual speed; this is counted.",
            w.q(PERCENT, o.slowed)
        ));
    }
    // Fine grains are measured in millimetres everywhere.
    let grain =
        |d: Option<Length>| d.map_or("nothing".to_string(), |d| show_unit(SHORT_LENGTH.0, d.value, "mm", w.system));
    notes.extend([
        format!(
            "The water stays {} at best. Grains down to {} (heavy) or {} (light) settle against it; finer ones go on to the filter: {} of dry solids a day.",
            w.q(MINUTES, o.retention),
            grain(o.grain.0),
            grain(o.grain.1),
            range_in_a_day(o.passed, w)
        ),
        format!(
            "A draw lets out {} of water and sludge{}, {} a week to be made up.",
            w.range(VOLUME, o.flush.0, o.flush.1),
            if o.flush.1 > i.room * i.count { ", more than the room holds where much water comes along" } else { "" },
            w.range(VOLUME, VOLUME.of(o.sludge.0.value * days(7.0)), VOLUME.of(o.sludge.1.value * days(7.0)))
        ),
        format!(
            "It costs {} of head: its water stands that much below the tank's, and what follows lower still. Leave a hand's breadth of rim above it.",
            w.range(SHORT_LENGTH, o.head.0, o.head.1)
        ),
        format!(
            "The published removals, 77.9 % by a radial-flow settler and 37.1 % by a swirl at {}, were measured on a small, concentrated stream from the \
             bottom of trout tanks. A whole flow is more dilute and finer.",
            w.q(OVERFLOW_RATE, SETTLERS[0].load().1)
        ),
        match i.stands {
            Stands::Before => "Before the pump is right: solids arrive whole, by gravity.".into(),
            Stands::After => "Before the pump more would settle.".into(),
        },
    ]);
    notes
}

fn kinds(i: &SettlingIn, w: Words) -> Table {
    let rows = SETTLERS.iter().filter_map(|kind| {
        let o = sheet::solve::<Settling>(&SettlingIn { kind, ..i.clone() }, &mut Working::none()).ok()?;
        Some(vec![
            kind.label.to_string(),
            w.range(FLOW, o.carries.0, o.carries.1),
            w.q(SHORT_LENGTH, o.wanted),
            whole_percents(o.removal, w),
            o.overflow().state().word().to_string(),
        ])
    });
    Table {
        title: "The same drum as another kind".into(),
        head: ["Kind", "Can take", "Diameter wanted", "Solids held", ""].map(String::from).to_vec(),
        rows: rows.collect(),
    }
}

fn section(i: &SettlingIn, o: &SettlingOut, w: Words) -> Picture {
    let (d, depth) = (i.diameter.value, i.depth.value);
    let area = settling::round(i.diameter).value;
    // A cone as deep as holds the room for sludge, within reason.
    let cone = (3.0 * i.room.value / area).clamp(0.05 * d, 0.8 * d);
    let rim = (0.12 * (depth + cone)).max(0.03);
    let margin = 0.45 * d + 0.05;
    let (width, height) = (d + 2.0 * margin, depth + cone + rim + 0.05 * d);
    let (left, right, middle) = (margin, margin + d, margin + d / 2.0);
    let (floor, surface, top) = (cone, cone + depth, cone + depth + rim);
    let radial = i.kind.id == settlers::RADIAL;
    let mut s = Section::new(
        format!("{}, to scale", i.kind.label),
        format!(
            "{}, {} across, {} of water above {} of sludge room. The water rises at {} and can rise at {}.",
            i.kind.label,
            w.q(SHORT_LENGTH, i.diameter),
            w.q(SHORT_LENGTH, i.depth),
            w.q(VOLUME, i.room),
            w.q(OVERFLOW_RATE, o.rise),
            w.range(OVERFLOW_RATE, o.load.0, o.load.1)
        ),
        width,
        height,
    );
    let path = |points: Vec<(f64, f64)>, closed| Shape::Path { points, closed };
    let point = 0.06 * d;
    s.add(
        Role::Water,
        path(
            vec![
                (left, surface),
                (left, floor),
                (middle - point, 0.0),
                (middle + point, 0.0),
                (right, floor),
                (right, surface),
            ],
            true,
        ),
    );
    // Sludge of one draw, packed, as far up the cone as it lies (volume of a cone goes with the cube of its height).
    let share = (o.flush.0.value / i.count.value.max(1.0) / i.room.value).clamp(0.02, 1.0).cbrt();
    let lies = point + (d / 2.0 - point) * share;
    s.add(
        Role::Sludge,
        path(
            vec![
                (middle - lies, cone * share),
                (middle - point, 0.0),
                (middle + point, 0.0),
                (middle + lies, cone * share),
            ],
            true,
        ),
    );
    s.add(
        Role::Wall,
        path(
            vec![
                (left, top),
                (left, floor),
                (middle - point, 0.0),
                (middle + point, 0.0),
                (right, floor),
                (right, top),
            ],
            false,
        ),
    );
    s.add(Role::Surface, path(vec![(left, surface), (right, surface)], false));
    let bore = i.inlet.value.min(0.3 * depth).min(0.3 * d);
    let pipe = |s: &mut Section, x: f64, y: f64, w: f64, h: f64| {
        s.add(Role::Pipe, Shape::Rect { x, y, w, h });
        s.add(
            Role::PipeWater,
            Shape::Rect {
                x: x + 0.08 * w.min(h),
                y: y + 0.08 * w.min(h),
                w: (w - 0.16 * w.min(h)).max(0.0),
                h: (h - 0.16 * w.min(h)).max(0.0),
            },
        );
    };
    let low = floor + 0.45 * depth;
    if radial {
        // Inlet up the middle of a cylinder whose foot is open; out over the rim.
        let cylinder = 0.16 * d;
        pipe(&mut s, 0.0, low, middle - bore / 2.0, bore);
        pipe(&mut s, middle - bore / 2.0, low, bore, 0.35 * depth);
        for x in [middle - cylinder, middle + cylinder] {
            s.add(Role::Wall, path(vec![(x, floor + 0.3 * depth), (x, surface + 0.4 * rim)], false));
        }
    } else {
        pipe(&mut s, 0.0, surface - 0.25 * depth - bore, left + 0.1 * d, bore);
    }
    let out_bore = i.outlet.value.min(0.3 * depth).min(0.3 * d);
    let out_from = if i.kind.id == settlers::SWIRL { middle } else { right - 0.04 * d };
    pipe(&mut s, out_from, surface - out_bore, width - out_from, out_bore);
    s.add(
        Role::Measure,
        // Right of the pipe up the middle, where no inlet lies.
        Shape::Measure { x: middle + 0.22 * d, y0: floor, y1: surface, label: w.q(SHORT_LENGTH, i.depth) },
    );
    let inlet = if radial { low } else { surface - 0.25 * depth - bore };
    s.text(0.0, (inlet + bore * 1.4).min(top), "in");
    s.text(width - 0.25 * margin, surface + 0.2 * rim, "out");
    if i.count.value > 1.0 {
        s.text(left, top + 0.02 * d, format!("one of {}", w.q(COUNT, i.count)));
    }
    Picture::Section(s)
}

#[cfg(test)]
mod tests;
