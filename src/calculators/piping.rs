//! What the calculators of pumps, siphons and sumps share: a pipe from the catalogue or typed, its bends, its losses, the water.

use super::form::*;
use crate::catalog::choose::Choose;
use crate::catalog::fittings::{ELBOW_90, FITTINGS, Fitting};
use crate::catalog::pipes::{Family, OTHER, Pipe};
use crate::catalog::sources::{Coef, hydraulics as src};
use crate::science::drain::ENTRANCE_FLUSH;
use crate::units::{kinds::*, si::*, *};

const EXIT: Coef = Coef::new(1.0, "1", &src::DARCY_WEISBACH, "the velocity head that leaves with the water");
const NEW_PLASTIC: Coef = Coef::new(1.5e-6, "m", &src::ROUGHNESS_NEW, "new smooth plastic");
/// Wall of a pipe that is known by its bore alone, as a share of it; only bells and pictures ask for it.
const WALL: Coef = Coef::new(0.1, "1", &src::DRAIN_ASSUMED, "small plastic pipe");

/// The pipe that forms begin with.
pub(crate) fn usual() -> &'static Pipe {
    <&Pipe>::by_id("pvc_32").unwrap_or(OTHER)
}
/// A pipe by its identifier.
pub(crate) fn named(id: &str) -> &'static Pipe {
    <&Pipe>::by_id(id).unwrap_or(OTHER)
}
/// Inside diameter: the catalogue's, or the typed one.
pub(crate) fn bore(pipe: &Pipe, typed: Length) -> Length {
    pipe.bore().unwrap_or(typed)
}
/// Outside diameter, guessed where the name implies none.
pub(crate) fn outside(pipe: &Pipe, typed: Length) -> Length {
    pipe.outside().unwrap_or(bore(pipe, typed) * (1.0 + 2.0 * WALL.value))
}
/// Does a pipe stand beside the chosen one in a shop?
pub(crate) fn like(pipe: &Pipe, chosen: &Pipe) -> bool {
    pipe.family == family(chosen) && pipe.bore().is_some()
}
/// The family that a chosen pipe is compared with.
pub(crate) fn family(chosen: &Pipe) -> Family {
    if chosen.family == Family::Other { Family::MetricPn10 } else { chosen.family }
}
/// Roughness of new plastic.
pub(crate) fn new_plastic() -> Length {
    LENGTH.of(NEW_PLASTIC.value)
}
/// Loss at a flush entrance.
pub(crate) fn entrance() -> Ratio {
    RATIO.of(ENTRANCE_FLUSH.value)
}
/// Loss of the velocity at the end.
pub(crate) fn exit() -> Ratio {
    RATIO.of(EXIT.value)
}
/// Loss of a sharp bend.
pub(crate) fn elbow(bore: Length) -> Ratio {
    ELBOW_90.loss(bore)
}
fn fitting(id: &str, bore: Length) -> Ratio {
    <&Fitting>::by_id(id).unwrap_or(&FITTINGS[0]).loss(bore)
}
/// Loss of a tee's branch.
pub(crate) fn tee_branch(bore: Length) -> Ratio {
    fitting("tee_branch", bore)
}
/// Loss of a swing check valve.
pub(crate) fn check(bore: Length) -> Ratio {
    fitting("swing_check", bore)
}
/// Loss straight on through a tee.
pub(crate) fn tee_run(bore: Length) -> Ratio {
    fitting("tee_run", bore)
}

/// A pipe of the catalogue, and its bore where it is another.
pub(crate) fn choose(
    f: &mut dyn Form,
    tag: u8,
    bore_tag: u8,
    label: &'static str,
    help: &'static str,
    pipe: &mut &'static Pipe,
    bore: &mut Length,
) {
    pick(f, &Pick::new(tag, "pipe", label).help(help), pipe);
    group(f, &Group::when("pipe", "other"), pipe.id == OTHER.id, &mut |f| {
        let field = Field::new(bore_tag, "bore", "Inside diameter", SHORT_LENGTH)
            .range(mm(3.0), mm(250.0))
            .advised(mm(8.0), mm(120.0));
        num(f, &field.help("Of the pipe itself, not its name.").way(Way::Bore), bore);
    });
}

/// The most that other losses may be, ΣK.
pub(crate) const LOSSES: f64 = 200.0;

/// Bends and other losses.
pub(crate) fn bends(f: &mut dyn Form, tag: u8, loss_tag: u8, elbows: &mut Ratio, losses: &mut Ratio) {
    let count = Field::new(tag, "elbows", "Bends of 90°", COUNT).range(0.0, 40.0).advised(0.0, 12.0);
    num(f, &count.help("Sharp elbows, screwed or glued; a swept bend counts as half a one.").detail(), elbows);
    let loss = Field::new(loss_tag, "losses", "Other losses, ΣK", RATIO).range(0.0, LOSSES).advised(0.0, 30.0);
    num(
        f,
        &loss.help("Loss coefficients of whatever else the water passes: filters, UV lamps, check valves.").detail(),
        losses,
    );
}

/// Temperature of the water.
pub(crate) fn warmth(f: &mut dyn Form, tag: u8, t: &mut ThermodynamicTemperature) {
    let field = Field::new(tag, "temperature", "Water temperature", TEMPERATURE)
        .range(celsius(0.0), celsius(45.0))
        .advised(celsius(3.0), celsius(34.0));
    num(f, &field.help("Cold water is thicker; it matters little.").detail(), t);
}

/// Words about electricity beside water.
pub(crate) const ELECTRICITY: &str = "Electricity beside water: every circuit on residual-current protection (30 mA at most; in North America a Class A \
    ground-fault interrupter), air pumps above the water line, cables with a drip loop, no joints over water; unplug before a hand goes in. Local code and a licensed installer \
    decide.";
