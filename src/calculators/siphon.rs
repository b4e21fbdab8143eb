//! Automatic siphon of a flood-and-drain bed: does it start, does it break, how long is a cycle, and which sizes would work.

mod report;
mod working;

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

/// The bed as its siphon empties it; nothing where nothing would ever drain.
pub(crate) fn drains(i: &SiphonIn) -> Option<Draining> {
    (i.low < i.flood).then(|| bed(i, piping::bore(i.pipe, i.bore)))
}

/// From which inflow it starts, given the aid.
fn starts_from(start: (VolumeRate, VolumeRate), aid: Aid) -> VolumeRate {
    match aid {
        Aid::Plain => start.1,
        Aid::Helped => start.0,
    }
}

/// What it may have to carry over its rim: no more than what fills it, since from there on it runs full.
fn spilling(i: &SiphonIn, bore: Length) -> VolumeRate {
    i.inflow.min(drain::self_venting_flow(bore))
}

fn window(o: &SiphonOut) -> Level {
    window_from(o.inflow, o)
}

fn window_from(least: VolumeRate, o: &SiphonOut) -> Level {
    let (below, above) = ("too little; it may only trickle", "too much; it may never break");
    Level::between("inflow", "Inflow of the siphon", FLOW, (least, o.inflow), o.starts_from, o.breaks.0, below, above)
}

/// Every level of a siphon, its window first.
pub(crate) fn levels(_: &SiphonIn, o: &SiphonOut) -> Vec<Level> {
    levels_from(o.inflow, o)
}

/// The same where at times as little as `least` comes.
pub(crate) fn levels_from(least: VolumeRate, o: &SiphonOut) -> Vec<Level> {
    let b = &o.bell;
    vec![
        window_from(least, o),
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
        let start = siphon::start_flows(drain::self_venting_flow(bore));
        let bed = bed(i, bore);
        let pipe = supply(i, bore);
        let (fill, drained) = (bed.fill_time(i.inflow), bed.drain_time(i.inflow));
        let over_rim = siphon::over_rim(bore, spilling(i, bore));
        // More than it carries from its highest level stands higher still; more than it carries from the rim of the bed runs over that, or
        // out by the overflow below it.
        let (mut highest, mut spilt) = (i.flood + over_rim, FLOW.of(0.0));
        if i.inflow > bed.flow_high {
            let nu = water::kinematic(i.temperature);
            let held = full::head_loss(&pipe, i.inflow, nu) - i.drop;
            highest = highest.max(if i.overflow.yes() { held.min(i.rim) } else { held });
            spilt = (i.inflow - siphon::flow(&pipe, i.rim + i.drop, nu)).max(spilt);
        }
        let out = SiphonOut {
            bore,
            outside,
            inflow: i.inflow,
            start,
            breaks: siphon::break_flows(bed.flow_low),
            starts_from: starts_from(start, i.aid),
            bed,
            swung: bed.swung(),
            fill,
            drain: drained,
            cycle: fill.zip(drained).map(|(a, b)| a + b),
            over_rim,
            highest,
            spilt,
            bell: Bell::new(i.bell, bore, outside, i.gap, i.slots),
            loss: pipe.loss,
            rim: i.rim,
        };
        if w.on() {
            working::steps(i, &out, w);
        }
        Ok(out)
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
        // What would have to stand higher runs over the rim; how much higher is the level of the rim.
        out(s, "highest", "Highest water over the floor", SHORT_LENGTH, o.highest.min(o.rim));
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
        report::cautions(i, o, words)
    }

    fn report(i: &SiphonIn, o: &SiphonOut, words: Words) -> Report {
        report::report(i, o, words)
    }
}

#[cfg(test)]
mod tests;
