//! Automatic siphon of a flood-and-drain bed: does it start, does it break, how long is a cycle, and which sizes would work.

use super::form::*;
use super::mend::{self, refuse};
use super::outcome::*;
use super::piping;
use super::sheet::Calculator;
use crate::catalog::pipes::{PIPES, Pipe};
use crate::catalog::sources::{hydraulics as hyd, waterways as src};
use crate::picture::{Axis, Chart, Picture, Role, Section, Series, Shape};
use crate::science::siphon::{self, Bell, Draining};
use crate::science::{drain, pipe as full, water};
use crate::units::{kinds::*, si::*, *};

/// What helps a siphon to start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Aid {
    /// Nothing.
    #[default]
    Plain,
    /// A flared top, or a water trap at the foot.
    Helped,
}
crate::choices!(Aid:
    Plain = "plain", "Nothing: a plain cut pipe", "";
    Helped = "helped", "A flared top, or a water trap at the foot", "may start at 0.4 of the flow";
);

/// Inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct SiphonIn {
    /// Length of the bed.
    pub length: Length,
    /// Width of the bed.
    pub width: Length,
    /// Share of gaps in the medium; 1 for a bed without.
    pub porosity: Ratio,
    /// Rim of the standpipe over the bed's floor.
    pub flood: Length,
    /// Air inlet of the bell over the bed's floor: where it breaks.
    pub low: Length,
    /// Rim of the bed over its floor.
    pub rim: Length,
    /// Inflow.
    pub inflow: VolumeRate,
    /// Standpipe and the pipe below it.
    pub pipe: &'static Pipe,
    /// Bore, where it is typed.
    pub bore: Length,
    /// Outlet below the bed's floor.
    pub drop: Length,
    /// Length of the standpipe and the pipe below.
    pub run: Length,
    /// Bends of 90 degrees.
    pub elbows: Ratio,
    /// Other losses.
    pub losses: Ratio,
    /// What helps to start.
    pub aid: Aid,
    /// Inside diameter of the bell.
    pub bell: Length,
    /// Gap between the standpipe's rim and the bell's top.
    pub gap: Length,
    /// Area of the slots at the bell's foot.
    pub slots: Area,
    /// Is there an overflow for a blocked siphon?
    pub overflow: YesNo,
    /// Water temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Default for SiphonIn {
    fn default() -> Self {
        Self {
            length: LENGTH.of(1.2),
            width: LENGTH.of(1.0),
            porosity: PERCENT.of(0.40),
            flood: SHORT_LENGTH.of(mm(250.0)),
            low: SHORT_LENGTH.of(mm(30.0)),
            rim: SHORT_LENGTH.of(mm(330.0)),
            inflow: FLOW.of(l_h(600.0)),
            pipe: piping::usual(),
            bore: SHORT_LENGTH.of(mm(26.0)),
            drop: LENGTH.of(0.5),
            run: LENGTH.of(0.8),
            elbows: COUNT.of(2.0),
            losses: RATIO.of(0.0),
            aid: Aid::Plain,
            bell: SHORT_LENGTH.of(mm(60.0)),
            gap: SHORT_LENGTH.of(mm(15.0)),
            slots: SMALL_AREA.of(17e-4),
            overflow: YesNo::No,
            temperature: TEMPERATURE.of(celsius(20.0)),
        }
    }
}

impl Fields for SiphonIn {
    fn fields(&mut self, f: &mut dyn Form) {
        let length = Field::new(1, "length", "Length of the bed", LENGTH).range(0.05, 20.0).advised(0.3, 5.0);
        num(f, &length.help("Inside."), &mut self.length);
        let width = Field::new(2, "width", "Width of the bed", LENGTH).range(0.05, 20.0).advised(0.2, 2.0);
        num(f, &width.help("Inside."), &mut self.width);
        let inflow = Field::new(3, "inflow", "Water that flows in", FLOW).range(l_h(1.0), l_h(50_000.0));
        num(
            f,
            &inflow.advised(l_h(50.0), l_h(6000.0)).help("Into this bed, caught in a bucket.").way(Way::Bucket),
            &mut self.inflow,
        );
        piping::choose(
            f,
            4,
            5,
            "Standpipe, and the pipe below it",
            "It starts the siphon and carries it.",
            &mut self.pipe,
            &mut self.bore,
        );
        let flood = Field::new(6, "flood", "Rim of the standpipe over the floor", SHORT_LENGTH);
        num(
            f,
            &flood
                .range(mm(20.0), 2.0)
                .advised(mm(100.0), mm(500.0))
                .help("How deep the bed floods. 3 to 5 cm (1 to 2 in) under the top of the medium."),
            &mut self.flood,
        );
        let low = Field::new(7, "low", "Air inlet of the bell over the floor", SHORT_LENGTH);
        num(
            f,
            &low.range(0.0, 1.0)
                .advised(mm(5.0), mm(80.0))
                .likely(mm(15.0), mm(60.0))
                .help("The top of its slots, or the end of its breather tube: there the siphon breaks."),
            &mut self.low,
        );
        let drop = Field::new(8, "drop", "Outlet below the bed's floor", LENGTH).range(0.02, 10.0).advised(0.1, 1.5);
        num(
            f,
            &drop
                .likely(0.3, 0.7)
                .help("From the floor down to the open end of the pipe, or to the water it ends under."),
            &mut self.drop,
        );
        group(f, &Group::titled("More about the bed and the pipe"), true, &mut |f| {
            let porosity = Field::new(9, "porosity", "Gaps in the medium", PERCENT).range(0.05, 1.0);
            num(
                f,
                &porosity
                    .advised(0.3, 1.0)
                    .likely(0.33, 0.5)
                    .help("Gravel 35 to 45 %, clay balls 40 to 50 %; 100 % for a bed without medium.")
                    .way(Way::Jug)
                    .source(&src::BED_POROSITY)
                    .detail(),
                &mut self.porosity,
            );
            let rim = Field::new(10, "rim", "Rim of the bed over its floor", SHORT_LENGTH).range(mm(20.0), 3.0);
            num(f, &rim.advised(mm(120.0), mm(700.0)).help("Inside height of the bed.").detail(), &mut self.rim);
            let run = Field::new(11, "run", "Length of standpipe and pipe", LENGTH).range(0.05, 30.0);
            num(f, &run.advised(0.2, 4.0).help("From its rim to its end.").detail(), &mut self.run);
            piping::bends(f, 12, 13, &mut self.elbows, &mut self.losses);
            pick(
                f,
                &Pick::new(14, "aid", "What helps it to start")
                    .help("Above the rim or at the end of the pipe.")
                    .detail(),
                &mut self.aid,
            );
            piping::warmth(f, 15, &mut self.temperature);
        });
        group(f, &Group::titled("The bell"), true, &mut |f| {
            let bell = Field::new(16, "bell", "Inside diameter of the bell", SHORT_LENGTH).range(mm(10.0), 0.6);
            num(
                f,
                &bell.advised(mm(30.0), mm(200.0)).help("The pipe over the standpipe.").way(Way::Bore).detail(),
                &mut self.bell,
            );
            let gap = Field::new(17, "gap", "Gap over the standpipe's rim", SHORT_LENGTH).range(mm(1.0), 0.3);
            num(
                f,
                &gap.advised(mm(4.0), mm(60.0)).help("From the rim up to the top of the bell, inside.").detail(),
                &mut self.gap,
            );
            let slots = Field::new(18, "slots", "Slots at the bell's foot, all together", SMALL_AREA).range(1e-6, 0.1);
            num(f, &slots.advised(2e-4, 100e-4).help("Number times width times height.").detail(), &mut self.slots);
            pick(
                f,
                &Pick::new(19, "overflow", "Overflow pipe in the bed?")
                    .help("A second way out, for the day the siphon is blocked."),
                &mut self.overflow,
            );
        });
    }
}

/// The result.
#[derive(Debug, Clone)]
pub struct SiphonOut {
    /// Bore of the standpipe.
    pub bore: Length,
    /// Its outside diameter.
    pub outside: Length,
    /// What flows in.
    pub inflow: VolumeRate,
    /// Inflows between which it comes to start.
    pub start: (VolumeRate, VolumeRate),
    /// Inflows between which it comes not to break.
    pub breaks: (VolumeRate, VolumeRate),
    /// From where it starts, with the aid there is.
    pub starts_from: VolumeRate,
    /// The bed as it drains.
    pub bed: Draining,
    /// Water that leaves in every cycle.
    pub swung: Volume,
    /// Time to fill.
    pub fill: Option<Time>,
    /// Time to drain; none where the inflow holds it.
    pub drain: Option<Time>,
    /// Time of a cycle.
    pub cycle: Option<Time>,
    /// Water over the standpipe's rim when it overflows without siphoning.
    pub over_rim: Length,
    /// Highest level over the floor.
    pub highest: Length,
    /// What runs over the rim of the bed for good, or at least out by its overflow, where more flows in than the siphon ever carries.
    pub spilt: VolumeRate,
    /// The bell.
    pub bell: Bell,
    /// Losses of the pipe.
    pub loss: Ratio,
    /// Rim of the bed over its floor.
    pub rim: Length,
}

/// Automatic siphon.
pub struct Siphon;

fn supply(i: &SiphonIn, bore: Length) -> full::Pipe {
    full::Pipe {
        bore,
        length: i.run,
        roughness: piping::new_plastic(),
        loss: piping::entrance() + piping::exit() + i.elbows * piping::elbow(bore) + i.losses,
    }
}

fn bed(i: &SiphonIn, bore: Length) -> Draining {
    let pipe = supply(i, bore);
    let nu = water::kinematic(i.temperature);
    let (high, low) = (i.flood + i.drop, i.low + i.drop);
    Draining {
        area: siphon::free_area(i.length * i.width, i.porosity),
        high,
        low,
        flow_high: siphon::flow(&pipe, high, nu),
        flow_low: siphon::flow(&pipe, low, nu),
    }
}

/// From which inflow it starts, given the aid.
fn starts_from(start: (VolumeRate, VolumeRate), aid: Aid) -> VolumeRate {
    match aid {
        Aid::Plain => start.1,
        Aid::Helped => start.0,
    }
}

fn window(o: &SiphonOut) -> Level {
    let q = o.inflow;
    let (below, above) = ("too little: it may only trickle", "too much: it may never break");
    Level::between("inflow", "Inflow of the siphon", FLOW, (q, q), o.starts_from, o.breaks.0, below, above)
}

/// Every level of a siphon, its window first.
pub(crate) fn levels(_: &SiphonIn, o: &SiphonOut) -> Vec<Level> {
    let b = &o.bell;
    vec![
        window(o),
        Level::upper("ring", "Ring between bell and standpipe", SMALL_AREA, b.bore, b.ring),
        Level::upper("gap", "Gap over the standpipe", SMALL_AREA, b.bore, b.gap),
        Level::upper("slots", "Slot area at the bell's foot", SMALL_AREA, b.slots_wanted(), b.slots),
        Level::upper("bed_rim", "Rim of the bed", SHORT_LENGTH, o.highest, o.rim),
    ]
}

impl Calculator for Siphon {
    type In = SiphonIn;
    type Out = SiphonOut;
    const ID: &'static str = "siphon";
    const TITLE: &'static str = "Automatic siphon";
    const QUESTION: &'static str = "Will it start, and will it break?";
    const ABOUT: &'static str = "The inflows between which a bell siphon starts by itself and breaks again, the times to fill and to drain, the water it \
        swings, and the sizes of standpipe and bell that would work. What the siphon carries is elementary hydraulics; where it starts \
        and where it fails to break is judgement, since no published formula was found, and is shown as a range.";

    fn solve(i: &SiphonIn, w: &mut Working) -> Result<SiphonOut, Vec<FieldError>> {
        if i.low >= i.flood {
            return refuse(
                "low",
                "stands as high as the standpipe's rim, so nothing would ever drain",
                "lower than the rim of the standpipe",
            );
        }
        if i.flood >= i.rim {
            return refuse(
                "flood",
                "stands as high as the rim of the bed, so the bed spills before the siphon starts",
                "lower than the rim of the bed",
            );
        }
        let (bore, outside) = (piping::bore(i.pipe, i.bore), piping::outside(i.pipe, i.bore));
        let quiet = drain::self_venting_flow(bore);
        w.step(|| {
            let with = [term("D", SHORT_LENGTH, bore), term("V/√(gD)", RATIO, RATIO.of(drain::SELF_VENTING.value))];
            Step::new(
                "Flow that fills the standpipe",
                "Q_sv = 0.3 (π/4) D² √(g D)",
                &with,
                term("Q_sv", FLOW, quiet),
                &hyd::HILLS_1983,
            )
        });
        let start = siphon::start_flows(quiet);
        let starts_from = starts_from(start, i.aid);
        w.step(|| {
            let with = [term("Q_sv", FLOW, quiet)];
            let equation = if i.aid == Aid::Plain { "Q_start = Q_sv" } else { "Q_start = 0.4 Q_sv" };
            Step::new("It starts from", equation, &with, term("Q_start", FLOW, starts_from), &src::SIPHON_START)
        });
        let bed = bed(i, bore);
        let pipe = supply(i, bore);
        let nu = water::kinematic(i.temperature);
        for (name, head, flow) in
            [("Siphon when it starts", bed.high, bed.flow_high), ("Siphon when it breaks", bed.low, bed.flow_low)]
        {
            w.step(|| {
                let with = [
                    term("H", LENGTH, head),
                    term("D", SHORT_LENGTH, bore),
                    term("L", LENGTH, i.run),
                    term("ΣK", RATIO, pipe.loss),
                    term("f", RATIO, full::friction(&pipe, flow, nu)),
                ];
                Step::new(
                    name,
                    "Q = (π/4) D² √(2 g H/(ΣK + f L/D)), f by Churchill",
                    &with,
                    term("Q", FLOW, flow),
                    &src::SIPHON_FLOW,
                )
            });
        }
        let breaks = siphon::break_flows(bed.flow_low);
        w.step(|| {
            let with = [term("Q_low", FLOW, bed.flow_low)];
            Step::new(
                "It breaks up to",
                "Q_break = 0.5 Q_low",
                &with,
                term("Q_break", FLOW, breaks.0),
                &src::SIPHON_BREAK,
            )
        });
        let (swung, fill, drained) = (bed.swung(), bed.fill_time(i.inflow), bed.drain_time(i.inflow));
        w.step(|| {
            let with = [term("A", AREA, bed.area), term("y1", LENGTH, bed.high), term("y2", LENGTH, bed.low)];
            Step::new(
                "Water swung",
                "V = A (y1 − y2), A the plan area times the gaps",
                &with,
                term("V", VOLUME, swung),
                &src::SUMP_BALANCE,
            )
        });
        if let Some(t) = drained {
            w.step(|| {
                let with = [
                    term("A", AREA, bed.area),
                    term("y1", LENGTH, bed.high),
                    term("y2", LENGTH, bed.low),
                    term("Q_in", FLOW, i.inflow),
                    term("Q_1", FLOW, bed.flow_high),
                    term("Q_2", FLOW, bed.flow_low),
                ];
                Step::new(
                    "Time to drain",
                    "t = (2A/c²) [c (√y1 − √y2) + Q_in ln((c√y1 − Q_in)/(c√y2 − Q_in))], c = (Q_1/√y1 + Q_2/√y2)/2",
                    &with,
                    term("t", SECONDS, t),
                    &src::SIPHON_DRAIN,
                )
            });
        }
        // It need not carry more over its rim than what fills it: from there on it runs full.
        let spilling = i.inflow.min(quiet);
        let over_rim = siphon::over_rim(bore, spilling);
        w.step(|| {
            let with = [term("Q", FLOW, spilling), term("D", SHORT_LENGTH, bore)];
            Step::new(
                "Water over the rim before it starts",
                "h = max((Q/(1.83 π D))^(2/3), (Q/0.6A)²/2g), A = (π/4) D²; Q the inflow, at most Q_sv",
                &with,
                term("h", SHORT_LENGTH, over_rim),
                &hyd::SWMM_RISER,
            )
        });
        // More than it carries from its highest level stands higher still; more than it carries from the rim of the bed runs over that, or
        // out by the overflow below it.
        let (mut highest, mut spilt) = (i.flood + over_rim, FLOW.of(0.0));
        if i.inflow > bed.flow_high {
            let (pipe, nu) = (supply(i, bore), water::kinematic(i.temperature));
            let held = full::head_loss(&pipe, i.inflow, nu) - i.drop;
            highest = highest.max(if i.overflow.yes() { held.min(i.rim) } else { held });
            spilt = (i.inflow - siphon::flow(&pipe, i.rim + i.drop, nu)).max(spilt);
        }
        let bell = Bell::new(i.bell, bore, outside, i.gap, i.slots);
        let cycle = fill.zip(drained).map(|(a, b)| a + b);
        Ok(SiphonOut {
            bore,
            outside,
            inflow: i.inflow,
            start,
            breaks,
            starts_from,
            bed,
            swung,
            fill,
            drain: drained,
            cycle,
            over_rim,
            highest,
            spilt,
            bell,
            loss: pipe.loss,
            rim: i.rim,
        })
    }

    fn outputs(o: &SiphonOut, s: &mut dyn Outputs) {
        span(s, "start", "Comes to start from", FLOW, o.start.0, o.start.1);
        span(s, "break", "Fails to break from", FLOW, o.breaks.0, o.breaks.1);
        out_opt(s, "fill_time", "Time to fill", MINUTES, o.fill);
        out_opt(s, "drain_time", "Time to drain", MINUTES, o.drain);
        out_opt(s, "cycle_time", "Time of a cycle", MINUTES, o.cycle);
        out(s, "swung", "Water swung in a cycle", VOLUME, o.swung);
        out(s, "siphon_flow", "What it carries when it starts", FLOW, o.bed.flow_high);
        out(s, "siphon_flow_low", "What it carries when it breaks", FLOW, o.bed.flow_low);
        out(s, "over_rim", "Water over the standpipe before it starts", SHORT_LENGTH, o.over_rim);
        out(s, "highest", "Highest water over the floor", SHORT_LENGTH, o.highest);
        out(s, "ring", "Ring between bell and standpipe", SMALL_AREA, o.bell.ring);
        out(s, "gap_area", "Way over the standpipe's rim", SMALL_AREA, o.bell.gap);
        out(s, "bore_area", "Bore of the standpipe", SMALL_AREA, o.bell.bore);
        out(s, "least_bell", "Least inside diameter of the bell", SHORT_LENGTH, siphon::least_bell(o.bore, o.outside));
        out(s, "least_slots", "Slots wanted", SMALL_AREA, o.bell.slots_wanted());
    }

    fn level(o: &SiphonOut) -> Option<Level> {
        Some(window(o))
    }

    fn cautions(i: &SiphonIn, o: &SiphonOut, words: Words) -> Vec<Caution> {
        cautions(i, o, words)
    }

    fn report(i: &SiphonIn, o: &SiphonOut, words: Words) -> Report {
        Report {
            verdict: format!("{}{}", verdict(i, o, words), hindered(i, o)),
            levels: levels(i, o),
            repairs: repairs(i, o, words),
            cautions: cautions(i, o, words),
            pictures: vec![Picture::Section(section(i, o, words)), Picture::Chart(two_cycles(i, o, words))],
            tables: vec![sizes(i, o, words)],
            notes: notes(o, words),
        }
    }
}

fn verdict(i: &SiphonIn, o: &SiphonOut, w: Words) -> String {
    let q = |x| w.q(FLOW, x);
    let (starts, surely) = (o.starts_from, o.breaks.0);
    if starts >= surely {
        return format!(
            "Starts from {}, but breaks surely only up to {}: no inflow is right for this pipe and this drop.",
            q(starts),
            q(surely)
        );
    }
    let flow = format!("{} flow in.", q(o.inflow));
    if o.inflow < o.start.0 {
        format!("{flow} It starts from {}: the water will only trickle over the rim.", q(starts))
    } else if o.inflow < starts {
        format!("{flow} It starts surely from {}: it may need a flared top or a trap to start.", q(starts))
    } else if o.spilt.value > 0.0 {
        let goes = if i.overflow.yes() { "or more leave by the overflow" } else { "run over the rim of the bed" };
        let most = q(o.inflow - o.spilt);
        format!("{flow} The siphon carries {most} at most: it can never break, and {} {goes}.", q(o.spilt))
    } else if o.inflow >= o.breaks.1 {
        format!("{flow} The siphon carries {} at its end: it can never break.", q(o.breaks.1))
    } else if o.inflow > surely {
        format!("{flow} It breaks surely up to {}: it may run on for ever.", q(surely))
    } else {
        let times = match (o.fill, o.drain) {
            (Some(a), Some(b)) => format!(" Fills in {}, drains in {}.", w.time(a), w.time(b)),
            _ => String::new(),
        };
        let (may, will) = if o.inflow < o.start.1 { ("may start", "may") } else { ("starts", "will") };
        format!("{flow} It {may} from {} and breaks up to {}: it {will} do both.{times}", q(starts), q(surely))
    }
}

/// What keeps it from doing so, whatever flows in.
fn hindered(i: &SiphonIn, o: &SiphonOut) -> String {
    let over: Vec<&str> = levels(i, o)
        .iter()
        .filter(|l| l.state() == State::Over)
        .filter_map(|l| match l.id.as_ref() {
            "ring" if o.bell.ring.value <= 0.0 => Some("the bell does not go over this standpipe"),
            "ring" => Some("the bell is too narrow for this standpipe"),
            "gap" => Some("the gap over the standpipe is too small"),
            "slots" => Some("the slots at the bell's foot are too small"),
            "bed_rim" if o.spilt.value > 0.0 => None,
            "bed_rim" if i.overflow.yes() => Some("the overflow takes the water before it starts"),
            "bed_rim" => Some("the bed spills over its rim before it starts"),
            _ => None,
        })
        .collect();
    // It adds to what is bad already.
    let but = if window(o).state() == State::Over { "And" } else { "But" };
    match over.split_last() {
        None => String::new(),
        Some((one, [])) => format!(" {but} {one}."),
        Some((last, more)) => format!(" {but} {}, and {last}.", more.join(", ")),
    }
}

fn notes(o: &SiphonOut, w: Words) -> Vec<String> {
    vec![
        format!(
            "No published formula for starting and breaking was found. It comes to start somewhere from {} and fails to break \
             somewhere from {}; the cautious ends count.",
            w.range(FLOW, o.start.0, o.start.1),
            w.range(FLOW, o.breaks.0, o.breaks.1),
        ),
        format!(
            "While it runs, {} leave the bed. The pipe to the sump and the sump must take that, not the inflow.",
            w.q(FLOW, o.bed.flow_high)
        ),
        "A thin breather tube from the top of the bell down to the level where it should break makes breaking surer."
            .into(),
    ]
}

fn cautions(i: &SiphonIn, o: &SiphonOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    if !i.overflow.yes() {
        all.push(Caution::new(
            "A snail or a root blocks a siphon one day, and the bed then spills over its rim until the sump is dry. Give the bed an \
             overflow pipe above the flood level, led back to the sump, as wide as the standpipe.",
        ));
    } else {
        all.push(Caution::new(format!(
            "Block the siphon once, by hand, and see that the overflow takes all of {} below the rim of the bed.",
            w.q(FLOW, o.inflow)
        )));
    }
    if i.run < i.flood + i.drop {
        all.push(Caution::new(
            "The pipe is shorter than the height from the standpipe's rim to its outlet: count its whole length.",
        ));
    }
    if o.spilt.value > 0.0 {
        let over = format!(
            "More flows in than the siphon carries with the bed full to its rim: {} run over it without end, and the sump runs dry.",
            w.q(FLOW, o.spilt)
        );
        all.extend((!i.overflow.yes()).then(|| Caution::new(over)));
    } else if o.highest >= i.rim {
        all.push(Caution::new(format!(
            "Before the siphon starts the water stands {} over the floor, and the rim of the bed only {}: {}.",
            w.q(SHORT_LENGTH, o.highest),
            w.q(SHORT_LENGTH, i.rim),
            if i.overflow.yes() { "the overflow takes it, and the siphon may never start" } else { "it spills" }
        )));
    }
    let flooded = water::density(i.temperature) * o.bed.area * i.flood;
    all.push(Caution::new(format!(
        "Water is heavy: flooded, this bed holds {} of it beside its medium. Check legs, floor and roof; ask someone who may judge it.",
        w.q(MASS, flooded)
    )));
    all
}

/// Pipes of the catalogue beside which the chosen one stands.
fn alternatives(i: &SiphonIn) -> Vec<&'static Pipe> {
    PIPES.iter().filter(|p| piping::like(p, i.pipe)).collect()
}

fn with_pipe(i: &SiphonIn, p: &'static Pipe) -> SiphonIn {
    SiphonIn { pipe: p, ..i.clone() }
}

fn sizes(i: &SiphonIn, o: &SiphonOut, w: Words) -> Table {
    let head = [
        "Standpipe",
        "Starts from",
        "Breaks up to",
        "Bell, inside, at least",
        "Gap over the rim",
        "Slots",
        "With this inflow",
    ];
    let rows = alternatives(i).into_iter().map(|p| {
        let bore = piping::bore(p, i.bore);
        let outside = piping::outside(p, i.bore);
        let at = bed(&with_pipe(i, p), bore);
        let from = starts_from(siphon::start_flows(drain::self_venting_flow(bore)), i.aid);
        let (surely, never) = siphon::break_flows(at.flow_low);
        let gaps = siphon::gaps(bore);
        let slots = Bell::new(bore, bore, outside, bore, AREA.of(0.0)).slots_wanted();
        let says = if o.inflow < from {
            "may only trickle"
        } else if o.inflow >= never {
            "never breaks"
        } else if o.inflow > surely {
            "may not break"
        } else if o.inflow < siphon::start_flows(drain::self_venting_flow(bore)).1 {
            "may work"
        } else {
            "works"
        };
        vec![
            standpipe(p, w),
            w.q(FLOW, from),
            w.q(FLOW, surely),
            w.q(SHORT_LENGTH, siphon::least_bell(bore, outside)),
            w.range(SHORT_LENGTH, gaps.0, gaps.1),
            w.q(SMALL_AREA, slots),
            says.to_string(),
        ]
    });
    Table { title: "Sizes that would work".into(), head: head.map(str::to_string).to_vec(), rows: rows.collect() }
}

/// A pipe by its name, with its bore in the units that are read.
fn standpipe(p: &Pipe, w: Words) -> String {
    match (w.system, p.bore()) {
        (System::Us, Some(bore)) => format!("{}, {} bore", p.short(), w.q(SHORT_LENGTH, bore)),
        _ => p.words(w.system),
    }
}

fn repairs(i: &SiphonIn, o: &SiphonOut, w: Words) -> Vec<Repair> {
    let mut found = vec![];
    let before = levels(i, o);
    let mut add = |id: &str, title: String, edits: Vec<Edit>| {
        found.extend(mend::mend::<Siphon>(i, &before, levels, id, title, edits, w.system));
    };
    if window(o).state() != State::Enough {
        let (low, high) = (o.starts_from.value, o.breaks.0.value);
        if low < high {
            // A little more than a tenth inside the window at the nearer end: rounded, it is still enough.
            let inside = (high - low) / 9.0;
            let to = if o.inflow.value < low + inside { low + inside } else { high - inside };
            let to = FLOW.of(to);
            add("inflow", format!("{} into this bed", w.q(FLOW, to)), vec![Edit::num("inflow", to)]);
        }
        // The nearest standpipe that brings it inside, with the bell that suits it.
        let fits = |p: &&'static Pipe| {
            mend::outcome::<Siphon>(i, &[Edit::pick("pipe", p.id)]).is_some_and(|o| window(&o).state() == State::Enough)
        };
        let size = |p: &&'static Pipe| (piping::bore(p, i.bore) - o.bore).value.abs();
        let nearest = alternatives(i).into_iter().filter(fits).min_by(|a, b| size(a).total_cmp(&size(b)));
        if let Some(p) = nearest
            && let Some(after) = mend::outcome::<Siphon>(i, &[Edit::pick("pipe", p.id)])
        {
            let bell = bell_repairs(&after, w);
            let with = if bell.is_empty() {
                String::new()
            } else {
                let parts: Vec<_> = bell.iter().map(|(_, title, _)| title.as_str()).collect();
                format!(", with {}", parts.join(", "))
            };
            let mut edits = vec![Edit::pick("pipe", p.id)];
            edits.extend(bell.into_iter().map(|(_, _, edit)| edit));
            add("inflow", format!("{} as standpipe{with}", standpipe(p, w)), edits);
        }
        if i.aid == Aid::Plain && o.inflow < o.start.1 {
            add("inflow", "a flared top, or a water trap at the foot".into(), vec![Edit::pick("aid", "helped")]);
        }
        if o.inflow > o.breaks.0 {
            // The pipe grows by what the outlet goes deeper.
            let deep = |x: f64| {
                let run = i.run.value + (x - i.drop.value);
                vec![Edit::num("drop", LENGTH.of(x)), Edit::num("run", LENGTH.of(run.min(30.0)))]
            };
            let deeper =
                mend::just_enough::<Siphon>(i, Siphon::level, deep, i.drop.value, (i.drop.value + 2.0).min(10.0));
            // A pipe that goes as deep as it may and still never breaks mends nothing.
            if let Some(x) = deeper.filter(|x| *x < (i.drop.value + 2.0).min(10.0)) {
                let to = LENGTH.of(mend::rounded(x, i.drop.value, w.step(LENGTH, 0.05)).min(10.0));
                add(
                    "inflow",
                    format!("the outlet {} below the bed's floor, its pipe longer by that", w.q(LENGTH, to)),
                    deep(to.value),
                );
            }
        }
    }
    for (id, title, edit) in bell_repairs(o, w) {
        add(id, title, vec![edit]);
    }
    if o.spilt.value <= 0.0 && o.highest > o.rim * ENOUGH {
        let lower = mend::rounded((o.rim * ENOUGH - o.over_rim).value, i.flood.value, w.step(SHORT_LENGTH, mm(5.0)));
        if lower > i.low.value + mm(20.0) {
            let to = SHORT_LENGTH.of(lower);
            add("bed_rim", format!("a standpipe of {}", w.q(SHORT_LENGTH, to)), vec![Edit::num("flood", to)]);
        }
    }
    found
}

/// What a bell needs so that every way through it stands at 80 %: level, words, change.
fn bell_repairs(o: &SiphonOut, w: Words) -> Vec<(&'static str, String, Edit)> {
    let (b, mut all) = (&o.bell, vec![]);
    let roomy = |x: Area| x / ENOUGH;
    if b.ring < roomy(b.bore) {
        let wide = (roomy(b.bore) / std::f64::consts::FRAC_PI_4 + o.outside * o.outside).sqrt();
        let to = mend::upwards(SHORT_LENGTH, wide, mm(1.0), w).min(LENGTH.of(0.6));
        all.push(("ring", format!("a bell of {} inside", w.q(SHORT_LENGTH, to)), Edit::num("bell", to)));
    }
    if b.gap < roomy(b.bore) {
        let to = mend::upwards(SHORT_LENGTH, siphon::gaps(o.bore).1, mm(1.0), w);
        all.push(("gap", format!("a gap of {} over the rim", w.q(SHORT_LENGTH, to)), Edit::num("gap", to)));
    }
    if b.slots < roomy(b.slots_wanted()) {
        let to = mend::slots(roomy(b.slots_wanted()), w);
        all.push(("slots", format!("slots of {} all together", w.q(SMALL_AREA, to)), Edit::num("slots", to)));
    }
    all
}

/// The level in the bed over its floor, in time, over two cycles.
fn two_cycles(i: &SiphonIn, o: &SiphonOut, w: Words) -> Chart {
    const POINTS: u32 = 24;
    let over_floor = |y: Length| (y - i.drop).value;
    let mut points = vec![];
    let mut t = 0.0;
    let fill = o.fill.map_or(HOURS.of(3600.0).value, |t| t.value);
    for _ in 0..2 {
        points.push((t, i.low.value));
        t += fill;
        points.push((t, i.flood.value));
        let floor = match o.drain {
            Some(_) => o.bed.low,
            None => o.bed.held_at(o.inflow).min(o.bed.high),
        };
        for k in 1..=POINTS {
            let share = f64::from(k) / f64::from(POINTS);
            let y = o.bed.high - (o.bed.high - floor) * share;
            if let Some(dt) = o.bed.time_to(y, o.inflow).filter(|dt| dt.value <= 10.0 * fill) {
                points.push((t + dt.value, over_floor(y)));
            }
        }
        match o.drain {
            Some(dt) => t += dt.value,
            None => {
                // It runs on: the level stays where inflow and siphon meet.
                let last = points.last().map_or(t, |p| p.0);
                points.push((last + fill, over_floor(floor)));
                break;
            }
        }
    }
    let end = points.last().map_or(1.0, |p| p.0);
    let top = i.rim.value;
    let describe = match (o.fill, o.drain) {
        (Some(a), Some(b)) => format!(
            "The level rises from {} to {} over the floor in {} and falls again in {}, twice.",
            w.q(SHORT_LENGTH, i.low),
            w.q(SHORT_LENGTH, i.flood),
            w.time(a),
            w.time(b)
        ),
        _ => "The level rises to the standpipe's rim, falls, and stays where the siphon carries just what flows in."
            .into(),
    };
    Chart {
        title: "Level in the bed over two cycles".into(),
        describe,
        x: Axis::new("time", MINUTES.0, 0.0, end, w.system),
        y: Axis::new("water over the floor", SHORT_LENGTH.0, 0.0, top, w.system),
        series: vec![Series { name: "level".into(), role: Role::Water, points }],
        marks: vec![],
        bands: vec![],
        brim: Some((i.rim.value, "rim of the bed".into())),
    }
}

/// The bed in section, with the siphon.
fn section(i: &SiphonIn, o: &SiphonOut, w: Words) -> Section {
    let wall = 0.02;
    let (long, rim, drop) = (i.length.value, i.rim.value, i.drop.value);
    let (flood, low) = (i.flood.value, i.low.value);
    let base = drop + 0.05;
    let describe = format!(
        "The bed in section: it floods to {} over its floor and drains to {}; the outlet ends {} below the floor.",
        w.q(SHORT_LENGTH, i.flood),
        w.q(SHORT_LENGTH, i.low),
        w.q(LENGTH, i.drop)
    );
    let mut s = Section::new("The bed and its siphon", describe, long + 4.0 * wall + 0.5, base + rim + 0.1);
    let left = wall;
    let rect = |x: f64, y: f64, w: f64, h: f64| Shape::Rect { x, y, w: w.max(0.0), h: h.max(0.0) };
    s.add(Role::Media, rect(left, base, long, (flood + 0.04).min(rim)));
    s.add(Role::Water, rect(left, base, long, low));
    s.add(Role::Water, rect(left, base, long, flood));
    s.add(Role::Wall, rect(left - wall, base - wall, long + 2.0 * wall, wall));
    s.add(Role::Wall, rect(left - wall, base, wall, rim));
    s.add(Role::Wall, rect(left + long, base, wall, rim));
    let (outside, bell) = (o.outside.value, i.bell.value.max(o.outside.value));
    let x = left + (long - bell * 2.0).max(long * 0.5);
    s.add(Role::Screen, rect(x - bell / 2.0, base, bell, flood + i.gap.value));
    s.add(Role::Pipe, rect(x - outside / 2.0, base - drop, outside, flood + drop));
    s.add(Role::PipeWater, rect(x - o.bore.value / 2.0, base - drop, o.bore.value, flood + drop));
    for y in [flood, low] {
        s.add(Role::Surface, Shape::Path { points: vec![(left, base + y), (left + long, base + y)], closed: false });
    }
    s.add(
        Role::Brim,
        Shape::Path { points: vec![(left - wall, base + rim), (left + long + wall, base + rim)], closed: false },
    );
    let beside = left + long + 3.0 * wall;
    let measure = |x: f64, y0: f64, y1: f64, label: String| Shape::Measure { x, y0, y1, label };
    s.add(Role::Measure, measure(beside, base + low, base + flood, w.q(SHORT_LENGTH, i.flood - i.low)));
    s.add(Role::Measure, measure(beside, base - drop, base, w.q(LENGTH, i.drop)));
    s
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::solve;

    fn near(got: f64, expect: f64, tolerance: f64) {
        assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
    }
    fn run(i: &SiphonIn) -> SiphonOut {
        solve::<Siphon>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
    }
    /// The worked bed: 1.2 x 1.0 m at 40 %, 0.25 m deep to 0.03 over an outlet 0.5 m below, 1 in pipe of 0.8 m with losses of 2.84, 8 L/min.
    fn worked() -> SiphonIn {
        SiphonIn {
            pipe: piping::named("other"),
            bore: SHORT_LENGTH.of(mm(26.137)),
            elbows: COUNT.of(0.0),
            losses: RATIO.of(1.34),
            inflow: FLOW.of(l_min(8.0)),
            ..SiphonIn::default()
        }
    }

    /// A bell has to go over its standpipe, and water through its slots: no inflow helps where it does not.
    #[test]
    fn a_bell_that_does_not_fit_is_said() {
        let said = |i: &SiphonIn| {
            let o = crate::calculators::solve::<Siphon>(i, &mut Working::none()).expect("solved");
            Siphon::report(i, &o, Words::default()).verdict
        };
        assert!(!said(&SiphonIn::default()).contains("But"), "{}", said(&SiphonIn::default()));
        let narrow = SiphonIn { bell: SHORT_LENGTH.of(mm(30.0)), ..SiphonIn::default() };
        assert!(said(&narrow).ends_with("But the bell does not go over this standpipe."), "{}", said(&narrow));
        let slots = SiphonIn { slots: SMALL_AREA.of(2e-4), gap: SHORT_LENGTH.of(mm(2.0)), ..SiphonIn::default() };
        assert!(said(&slots).contains("is too small, and the slots"), "{}", said(&slots));
    }

    #[test]
    fn the_worked_bed() {
        // Bernoulli with Churchill's friction: 66.2 and 55.5 L/min; the integral: 119.9 s (with c from those two flows), fill 792 s, 105.6 L; starts from
        // 4.9 L/min, so 8 L/min is 1.6 of it, and 0.14 of what it carries at its end.
        let o = run(&worked());
        near(o.loss.value, 2.84, 1e-12);
        near(o.bed.flow_high.value / l_min(1.0), 66.2, 0.1);
        near(o.bed.flow_low.value / l_min(1.0), 55.5, 0.1);
        near(o.drain.expect("drains").value, 119.9, 0.3);
        near(o.fill.expect("fills").value, 792.0, 1e-6);
        near(o.swung.value, l(105.6), 1e-9);
        near(o.start.1.value / l_min(1.0), 4.9, 0.05);
        near(o.inflow.value / o.start.1.value, 1.6, 0.05);
        near(o.inflow.value / o.bed.flow_low.value, 0.14, 0.005);
        near(o.cycle.expect("cycles").value / 60.0, 15.2, 0.05);
        assert_eq!(window(&o).state(), State::Enough);
    }

    #[test]
    fn too_little_and_too_much() {
        let at = |q: f64, aid| {
            let i = SiphonIn { inflow: FLOW.of(l_min(q)), aid, ..worked() };
            let o = run(&i);
            (window(&o).state(), window(&o).percent(), Siphon::report(&i, &o, Words::default()))
        };
        let (state, side, report) = at(1.5, Aid::Plain);
        assert!(state == State::Over && side.contains("trickle") && report.verdict.contains("trickle"));
        assert!(!report.repairs.is_empty());
        let (state, side, report) = at(3.5, Aid::Plain);
        assert!(state == State::Over && side.contains("trickle") && report.verdict.contains("flared"));
        assert!(report.repairs.iter().any(|r| r.title.contains("flared")));
        assert_ne!(at(3.5, Aid::Helped).0, State::Over);
        let (state, side, report) = at(35.0, Aid::Plain);
        assert!(state == State::Over && side.contains("never break") && report.verdict.contains("for ever"));
        let pipe = report.repairs.iter().find(|r| r.title.contains("standpipe")).expect("a standpipe");
        assert!(pipe.also.is_none(), "with the bell that suits it: {pipe:?}");
        let (_, _, report) = at(60.0, Aid::Plain);
        assert!(report.verdict.contains("can never break") && report.pictures.len() == 2);
        let o = run(&SiphonIn { inflow: FLOW.of(l_min(60.0)), ..worked() });
        assert!(o.drain.is_none() && o.cycle.is_none() && o.fill.is_some());
    }

    #[test]
    fn impossible_beds_are_sentences() {
        let refused = |i: SiphonIn| solve::<Siphon>(&i, &mut Working::none()).expect_err("refused")[0].path.clone();
        assert_eq!(refused(SiphonIn { low: SHORT_LENGTH.of(0.3), ..worked() }), "low");
        assert_eq!(refused(SiphonIn { flood: SHORT_LENGTH.of(0.4), ..worked() }), "flood");
        assert_eq!(refused(SiphonIn { inflow: FLOW.of(0.0), ..worked() }), "inflow");
    }

    #[test]
    fn a_tight_bell_is_repaired() {
        let i = SiphonIn {
            bell: SHORT_LENGTH.of(mm(33.0)),
            gap: SHORT_LENGTH.of(mm(2.0)),
            slots: SMALL_AREA.of(3e-4),
            ..worked()
        };
        let o = run(&i);
        let report = Siphon::report(&i, &o, Words::default());
        for id in ["ring", "gap", "slots"] {
            let before = report.levels.iter().find(|l| l.id == id).expect("level");
            assert_eq!(before.state(), State::Over, "{id}");
            let r = report.repairs.iter().find(|r| r.level.id == id).unwrap_or_else(|| panic!("no repair of {id}"));
            assert_eq!(r.level.state(), State::Enough, "{r:?}");
        }
    }

    #[test]
    fn a_deeper_outlet_has_a_longer_pipe() {
        let i = SiphonIn { inflow: FLOW.of(l_h(2000.0)), ..SiphonIn::default() };
        let report = Siphon::report(&i, &run(&i), Words::default());
        let r = report.repairs.iter().find(|r| r.title.starts_with("The outlet ")).expect("deeper");
        let after = mend::changed::<Siphon>(&i, &r.edits).expect("changed");
        near((after.run - i.run).value, (after.drop - i.drop).value, 1e-9);
        assert!(after.drop > i.drop && r.level.state() == State::Enough, "{r:?}");
        // A pipe that does not reach its outlet is said to be too short.
        let short = SiphonIn { run: LENGTH.of(0.5), ..SiphonIn::default() };
        let says = |i: &SiphonIn| Siphon::report(i, &run(i), Words::default()).cautions;
        assert!(says(&short).iter().any(|c| c.text.contains("count its whole length")));
        assert!(says(&SiphonIn::default()).iter().all(|c| !c.text.contains("count its whole length")));
    }

    #[test]
    fn bad_on_bad_is_and() {
        let i = SiphonIn { inflow: FLOW.of(l_h(2000.0)), gap: SHORT_LENGTH.of(mm(2.0)), ..SiphonIn::default() };
        let said = Siphon::report(&i, &run(&i), Words::default()).verdict;
        assert!(said.contains(" And the gap"), "{said}");
        let fine = SiphonIn { inflow: SiphonIn::default().inflow, ..i.clone() };
        let said = Siphon::report(&fine, &run(&fine), Words::default()).verdict;
        assert!(said.contains(" But the gap"), "{said}");
        // A gap that is read in inches is a round one.
        let us = Siphon::report(&i, &run(&i), System::Us.into());
        let gap = us.repairs.iter().find(|r| r.title.contains("A gap of")).expect("a gap");
        assert!(gap.title.contains("0.6\u{202f}in"), "{}", gap.title);
    }

    /// What flows in, what the siphon carries at most and what runs over are one sum, and an overflow leads it back to the sump.
    #[test]
    fn what_it_cannot_carry_adds_up() {
        let at = |q: f64, overflow| SiphonIn { inflow: FLOW.of(l_h(q)), overflow, ..SiphonIn::default() };
        let said = |i: &SiphonIn| {
            let r = Siphon::report(i, &run(i), Words::default());
            (r.verdict.clone(), r.cautions.iter().map(|c| c.text.clone()).collect::<String>(), r)
        };
        let i = at(4320.0, YesNo::No);
        let o = run(&i);
        let most = siphon::flow(&supply(&i, o.bore), i.rim + i.drop, water::kinematic(i.temperature));
        near((most + o.spilt).value, i.inflow.value, 1e-12);
        let (verdict, cautions, _) = said(&i);
        let carries = format!("carries {} at most", Words::default().q(FLOW, most));
        assert!(verdict.contains(&carries) && verdict.contains("run over the rim"), "{verdict}");
        assert!(cautions.contains("the sump runs dry"), "{cautions}");
        let (verdict, cautions, r) = said(&at(4320.0, YesNo::Yes));
        assert!(verdict.contains("or more leave by the overflow") && !verdict.contains("over the rim"), "{verdict}");
        assert!(!cautions.contains("runs dry") && !cautions.contains("spills"), "{cautions}");
        assert!(r.levels.iter().all(|l| l.id != "bed_rim" || l.state() != State::Over));
        // Up to just what it carries from the rim, the water stands below that.
        let full = SiphonIn { inflow: most * 0.9999, ..i };
        let o = run(&full);
        assert!(o.spilt.value == 0.0 && o.highest < full.rim && o.highest > full.rim * 0.999, "{o:?}");
        assert!(!said(&full).0.contains("spills"), "{}", said(&full).0);
    }
}
