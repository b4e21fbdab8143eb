//! Ways to get a number in place, with what is in the yard: a bucket and seconds, a tape, a caliper, a kitchen scale, a jug, a hose.
//!
//! Each is a small form of its own, declared like a calculator's, and one plain sum of elementary geometry.

use super::form::*;
use crate::units::{kinds::*, si::*, *};
use std::f64::consts::{FRAC_PI_4, PI};

/// A small form that yields one SI value.
pub trait WayForm: Send + Sync {
    /// Walks a form over the fields.
    fn walk(&mut self, form: &mut dyn Form);
    /// A copy.
    fn copy(&self) -> Box<dyn WayForm>;
    /// The value in SI, of the kind of the field it is for.
    ///
    /// # Errors
    /// A field outside its range, or a combination that gives no sensible value.
    fn value(&self) -> Result<f64, Vec<FieldError>>;
}

impl Way {
    /// The words on its button.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Bucket => "With a bucket and seconds",
            Self::TapeVolume => "With a tape",
            Self::Bore => "From outside and wall",
            Self::SampleMass => "Weigh a sample",
            Self::Jug => "With a jug",
            Self::Hose => "With a hose full of water",
        }
    }
    /// An empty form of it.
    pub fn form(self) -> Box<dyn WayForm> {
        match self {
            Self::Bucket => Box::new(Bucket::default()),
            Self::TapeVolume => Box::new(Tape::default()),
            Self::Bore => Box::new(BoreOf::default()),
            Self::SampleMass => Box::new(Sample::default()),
            Self::Jug => Box::new(Jug::default()),
            Self::Hose => Box::new(Hose::default()),
        }
    }
}

impl dyn WayForm + '_ {
    /// Every active field with its value.
    pub fn layout(&self) -> Vec<LayoutEntry> {
        layout(&mut WalkWay(&mut *self.copy()))
    }
    /// Changes one field.
    pub fn apply(&mut self, edit: &Edit) -> bool {
        apply(&mut WalkWay(self), edit)
    }
}

struct WalkWay<'a>(&'a mut dyn WayForm);
impl Fields for WalkWay<'_> {
    fn fields(&mut self, form: &mut dyn Form) {
        self.0.walk(form);
    }
}

macro_rules! way_form {
    ($t:ty, $value:expr) => {
        impl WayForm for $t {
            fn walk(&mut self, form: &mut dyn Form) {
                self.fields(form);
            }
            fn copy(&self) -> Box<dyn WayForm> {
                Box::new(self.clone())
            }
            fn value(&self) -> Result<f64, Vec<FieldError>> {
                let faults = check(&mut self.clone(), System::Metric);
                if faults.is_empty() { $value(self).map_err(|e| vec![e]) } else { Err(faults) }
            }
        }
    };
}

/// Flow from a bucket of known volume and the seconds it takes to fill.
#[derive(Debug, Clone)]
pub struct Bucket {
    volume: Volume,
    time: Time,
}
impl Default for Bucket {
    fn default() -> Self {
        Self { volume: VOLUME.of(l(10.0)), time: SECONDS.of(20.0) }
    }
}
impl Fields for Bucket {
    fn fields(&mut self, f: &mut dyn Form) {
        num(
            f,
            &Field::new(1, "bucket", "Water caught", VOLUME)
                .range(l(0.1), l(1000.0))
                .help("Up to a mark that you know."),
            &mut self.volume,
        );
        num(
            f,
            &Field::new(2, "seconds", "Time to fill it", SECONDS)
                .range(1.0, 3600.0)
                .help("Take the mean of three tries."),
            &mut self.time,
        );
    }
}
way_form!(Bucket, |b: &Bucket| Ok::<_, FieldError>((b.volume / b.time).value));

/// The shape of a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TankShape {
    /// Upright round.
    Round,
    /// Oval (an ellipse in plan).
    Oval,
    /// Box.
    Box,
    /// A drum lying on its side.
    DrumOnSide,
    /// A cone, point down, or the stump of one.
    Cone,
}
crate::choices!(TankShape:
    Round = "round", "Round, upright", "";
    Oval = "oval", "Oval, upright", "";
    Box = "box", "Box", "";
    DrumOnSide = "drum_on_side", "Drum on its side", "";
    Cone = "cone", "Cone or tapered", "";
);

/// Volume of water from a tape and a shape.
#[derive(Debug, Clone)]
pub struct Tape {
    shape: TankShape,
    across: Length,
    width: Length,
    bottom: Length,
    length: Length,
    depth: Length,
}
impl Default for Tape {
    fn default() -> Self {
        let m = |x| LENGTH.of(x);
        Self { shape: TankShape::Round, across: m(1.2), width: m(0.8), bottom: m(0.3), length: m(0.9), depth: m(0.6) }
    }
}
impl Fields for Tape {
    fn fields(&mut self, f: &mut dyn Form) {
        use TankShape::*;
        let s = self.shape;
        pick(f, &Pick::new(1, "shape", "Shape"), &mut self.shape);
        let (low, high) = (0.01, 20.0);
        // The circle of a drum that lies is told by its ends, not by the water line.
        let (label, help) = match s {
            DrumOnSide => ("Diameter of the drum (inside)", "Across the round end, whatever the water stands at."),
            _ => ("Across (inside, the longer way)", "At the water line; inside, not over the rim."),
        };
        let across = Field::new(2, "across", label, LENGTH).range(low, high).help(help);
        num(f, &across, &mut self.across);
        group(f, &Group::when("shape", "oval|box"), matches!(s, Oval | Box), &mut |f| {
            num(
                f,
                &Field::new(3, "width", "Across (the shorter way)", LENGTH).range(low, high).help("Inside."),
                &mut self.width,
            );
        });
        group(f, &Group::when("shape", "cone"), s == Cone, &mut |f| {
            num(
                f,
                &Field::new(4, "bottom", "Across at the bottom", LENGTH).range(0.0, high).help("0 for a point."),
                &mut self.bottom,
            );
        });
        group(f, &Group::when("shape", "drum_on_side"), s == DrumOnSide, &mut |f| {
            num(
                f,
                &Field::new(5, "length", "Length of the drum", LENGTH).range(low, high).help("Inside."),
                &mut self.length,
            );
        });
        num(
            f,
            &Field::new(6, "depth", "Depth of the water", LENGTH)
                .range(low, high)
                .help("From the lowest point to the water line."),
            &mut self.depth,
        );
    }
}
way_form!(Tape, |t: &Tape| {
    let (a, w, b, l, d) = (t.across.value, t.width.value, t.bottom.value, t.length.value, t.depth.value);
    match t.shape {
        TankShape::Round => Ok(FRAC_PI_4 * a * a * d),
        TankShape::Oval => Ok(FRAC_PI_4 * a * w * d),
        TankShape::Box => Ok(a * w * d),
        TankShape::Cone => Ok(PI / 12.0 * d * (a * a + a * b + b * b)),
        TankShape::DrumOnSide if d <= a => {
            let angle = 2.0 * (1.0 - 2.0 * d / a).clamp(-1.0, 1.0).acos();
            Ok(a * a / 8.0 * (angle - angle.sin()) * l)
        }
        TankShape::DrumOnSide => {
            Err(FieldError::new("depth", "the water is deeper than the drum is wide", "at most the width across"))
        }
    }
});

/// Bore from outside diameter and wall.
#[derive(Debug, Clone)]
pub struct BoreOf {
    outside: Length,
    wall: Length,
}
impl Default for BoreOf {
    fn default() -> Self {
        Self { outside: SHORT_LENGTH.of(mm(50.0)), wall: SHORT_LENGTH.of(mm(2.4)) }
    }
}
impl Fields for BoreOf {
    fn fields(&mut self, f: &mut dyn Form) {
        let outside = Field::new(1, "outside", "Outside diameter", SHORT_LENGTH)
            .range(mm(4.0), 1.0)
            .help("A tape around it, divided by 3.14, does.");
        num(f, &outside, &mut self.outside);
        num(
            f,
            &Field::new(2, "wall", "Wall", SHORT_LENGTH).range(mm(0.2), mm(50.0)).help("At a cut end."),
            &mut self.wall,
        );
    }
}
way_form!(BoreOf, |b: &BoreOf| {
    let bore = b.outside.value - 2.0 * b.wall.value;
    if bore > 0.0 {
        Ok(bore)
    } else {
        Err(FieldError::new("wall", "the walls leave no bore", "less than half the outside diameter"))
    }
});

/// Mean mass of a fish from a weighed sample.
#[derive(Debug, Clone)]
pub struct Sample {
    mass: Mass,
    fish: Ratio,
}
impl Default for Sample {
    fn default() -> Self {
        Self { mass: MASS.of(2.0), fish: COUNT.of(10.0) }
    }
}
impl Fields for Sample {
    fn fields(&mut self, f: &mut dyn Form) {
        let mass = Field::new(1, "mass", "Mass of the sample", MASS)
            .range(1e-4, 1000.0)
            .help("Fish in a bucket of water, less the bucket and water alone.");
        num(f, &mass, &mut self.mass);
        num(
            f,
            &Field::new(2, "fish", "Fish in it", COUNT)
                .range(1.0, 10_000.0)
                .help("Ten or more, netted without choosing."),
            &mut self.fish,
        );
    }
}
way_form!(Sample, |s: &Sample| Ok::<_, FieldError>(s.mass.value / s.fish.value));

/// Porosity of a medium from a jug: the water that fills the gaps of a bucket of it.
#[derive(Debug, Clone)]
pub struct Jug {
    bucket: Volume,
    poured: Volume,
}
impl Default for Jug {
    fn default() -> Self {
        Self { bucket: VOLUME.of(l(10.0)), poured: VOLUME.of(l(4.0)) }
    }
}
impl Fields for Jug {
    fn fields(&mut self, f: &mut dyn Form) {
        let bucket = Field::new(1, "bucket", "Bucket of damp medium, level full", VOLUME)
            .range(l(0.1), l(500.0))
            .help("Soak it first and let it drip: pores inside the grains do not drain.");
        num(f, &bucket, &mut self.bucket);
        num(
            f,
            &Field::new(2, "poured", "Water poured in to the top", VOLUME)
                .range(l(0.01), l(500.0))
                .help("With a jug that has marks."),
            &mut self.poured,
        );
    }
}
way_form!(Jug, |j: &Jug| {
    let p = (j.poured / j.bucket).value;
    if p < 1.0 {
        Ok(p)
    } else {
        Err(FieldError::new("poured", "is more water than the bucket holds", "less than the bucket"))
    }
});

/// A height between two places from where the water stands in the ends of a hose.
#[derive(Debug, Clone)]
pub struct Hose {
    down: Length,
    up: Length,
}
impl Default for Hose {
    fn default() -> Self {
        Self { down: LENGTH.of(0.8), up: LENGTH.of(0.4) }
    }
}
impl Fields for Hose {
    fn fields(&mut self, f: &mut dyn Form) {
        let down = Field::new(1, "down", "From the hose's water down to the lower place", LENGTH).range(0.0, 20.0);
        num(
            f,
            &down.help("A clear hose full of water, without bubbles, an open end held up at either place: the water stands level in both."),
            &mut self.down,
        );
        let up = Field::new(2, "up", "From the hose's water up to the upper place", LENGTH).range(-20.0, 20.0);
        num(f, &up.help("At its other end. Negative if that place is lower than the hose's water."), &mut self.up);
    }
}
way_form!(Hose, |h: &Hose| {
    let between = h.down + h.up;
    if between.value >= 0.0 {
        Ok(between.value)
    } else {
        Err(FieldError::new("up", "puts the upper place below the lower one", "no farther down than the lower place"))
    }
});

#[cfg(test)]
mod tests {
    use super::*;

    fn set(way: Way, values: &[(&str, f64)]) -> Result<f64, Vec<FieldError>> {
        let mut f = way.form();
        for (path, x) in values {
            assert!(f.apply(&Edit { path: (*path).into(), to: EditValue::Si(*x) }), "{path}");
        }
        f.value()
    }

    #[test]
    fn plain_geometry() {
        let near =
            |a: Result<f64, _>, b: f64| assert!((a.clone().unwrap_or(f64::NAN) - b).abs() < 1e-9 * b, "{a:?} {b}");
        near(set(Way::Bucket, &[("bucket", 0.012), ("seconds", 18.0)]), 0.012 / 18.0);
        near(set(Way::TapeVolume, &[("across", 2.0), ("depth", 0.5)]), PI / 2.0);
        near(set(Way::Bore, &[("outside", 0.063), ("wall", 0.003)]), 0.057);
        near(set(Way::SampleMass, &[("mass", 3.0), ("fish", 12.0)]), 0.25);
        near(set(Way::Jug, &[("bucket", 0.010), ("poured", 0.0042)]), 0.42);
        near(set(Way::Hose, &[("down", 0.95), ("up", 0.3)]), 1.25);
        near(set(Way::Hose, &[("down", 0.95), ("up", -0.3)]), 0.65);
        assert!(set(Way::Hose, &[("down", 0.2), ("up", -0.3)]).is_err());
    }

    #[test]
    fn shapes_agree_with_their_limits() {
        let shape = |id: &str, values: &[(&str, f64)]| {
            let mut f = Way::TapeVolume.form();
            assert!(f.apply(&Edit::pick("shape", id)));
            for (p, x) in values {
                f.apply(&Edit { path: (*p).into(), to: EditValue::Si(*x) });
            }
            f.value()
        };
        let close = |a: Result<f64, Vec<FieldError>>, b: f64| {
            assert!((a.clone().unwrap_or(f64::NAN) - b).abs() < 1e-9, "{a:?} {b}")
        };
        // A full drum is its cylinder, a half full one half of it.
        close(shape("drum_on_side", &[("across", 0.6), ("length", 0.9), ("depth", 0.6)]), PI * 0.09 * 0.9);
        close(shape("drum_on_side", &[("across", 0.6), ("length", 0.9), ("depth", 0.3)]), PI * 0.09 * 0.45);
        // A cone with equal ends is a cylinder, with a point a third of it.
        close(shape("cone", &[("across", 1.0), ("bottom", 1.0), ("depth", 1.0)]), PI / 4.0);
        close(shape("cone", &[("across", 1.0), ("bottom", 0.0), ("depth", 1.0)]), PI / 12.0);
        close(shape("oval", &[("across", 2.0), ("width", 1.0), ("depth", 1.0)]), PI / 2.0);
        assert!(shape("drum_on_side", &[("across", 0.6), ("length", 0.9), ("depth", 0.7)]).is_err());
        // It asks for the width of the drum, which is not that of its water line.
        let mut drum = Way::TapeVolume.form();
        assert!(drum.apply(&Edit::pick("shape", "drum_on_side")));
        let across = drum.layout().into_iter().find(|e| e.path == "across").expect("across");
        assert!(matches!(across.item, LayoutItem::Num(spec, _) if spec.label.starts_with("Diameter")));
    }

    #[test]
    fn impossible_is_a_sentence() {
        let e = set(Way::Bore, &[("outside", 0.02), ("wall", 0.01)]).unwrap_err();
        assert_eq!(e[0].to_string(), "wall: the walls leave no bore. Accepted: less than half the outside diameter.");
        assert!(set(Way::Bucket, &[("seconds", 0.0)]).is_err());
    }
}
