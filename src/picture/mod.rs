//! Pictures as data: sections to scale and curves with marks. A calculator returns them, the app draws them; nothing here knows a domain.

pub mod draw;

use crate::units::{KindInfo, System, number};

/// A picture a calculator returns.
#[derive(Debug, Clone, PartialEq)]
pub enum Picture {
    /// A section drawn to scale.
    Section(Section),
    /// Curves on two axes.
    Chart(Chart),
}

/// What a drawn thing is; the style sheet gives it its look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A body of water.
    Water,
    /// A free surface.
    Surface,
    /// The wall of a tank.
    Wall,
    /// Pipe material.
    Pipe,
    /// Water in a pipe.
    PipeWater,
    /// The brim: the level or value that must not be passed.
    Brim,
    /// Filter or bed medium.
    Media,
    /// A plant.
    Plant,
    /// Settled solids.
    Sludge,
    /// An air bubble.
    Bubble,
    /// A screen or guard.
    Screen,
    /// A measuring line.
    Measure,
    /// Something that is only hinted at.
    Guide,
    /// What goes past the brim.
    Spill,
}

/// One shape, in metres, y upward.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A rectangle by its lower left corner.
    Rect {
        /// Left.
        x: f64,
        /// Bottom.
        y: f64,
        /// Width.
        w: f64,
        /// Height.
        h: f64,
    },
    /// A run of straight lines.
    Path {
        /// Corners.
        points: Vec<(f64, f64)>,
        /// Filled (closed) or a line.
        closed: bool,
    },
    /// A circle.
    Circle {
        /// Centre.
        x: f64,
        /// Centre.
        y: f64,
        /// Radius.
        r: f64,
    },
    /// A vertical measure between two heights, with its words.
    Measure {
        /// Where it stands.
        x: f64,
        /// Lower end.
        y0: f64,
        /// Upper end.
        y1: f64,
        /// What is written.
        label: String,
    },
    /// Words at a point.
    Text {
        /// Where.
        x: f64,
        /// Where.
        y: f64,
        /// The words.
        text: String,
        /// Written to the left of the point instead of to the right.
        left: bool,
    },
}

/// A shape with its meaning.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What it is.
    pub role: Role,
    /// Its form.
    pub shape: Shape,
}

/// A section drawn to scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Short caption.
    pub title: String,
    /// The whole picture in words, for those who do not see it.
    pub describe: String,
    /// Width of the scene, m.
    pub width: f64,
    /// Height of the scene, m.
    pub height: f64,
    /// Back to front.
    pub items: Vec<Item>,
}

impl Section {
    /// An empty scene of the given size.
    pub fn new(title: impl Into<String>, describe: impl Into<String>, width: f64, height: f64) -> Self {
        Self { title: title.into(), describe: describe.into(), width, height, items: vec![] }
    }
    /// Adds a shape.
    pub fn add(&mut self, role: Role, shape: Shape) {
        self.items.push(Item { role, shape });
    }
    /// Adds words.
    pub fn text(&mut self, x: f64, y: f64, text: impl Into<String>) {
        self.add(Role::Measure, Shape::Text { x, y, text: text.into(), left: false });
    }
}

/// An axis with its ticks already chosen in display units; positions are in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Name and unit, such as `flow, L/h`.
    pub label: String,
    /// Left or lower end, SI.
    pub min: f64,
    /// Right or upper end, SI.
    pub max: f64,
    /// Position in SI and the number written there.
    pub ticks: Vec<(f64, String)>,
}

impl Axis {
    /// An axis over `min..max` (SI) with about five ticks at round numbers of the display unit.
    pub fn new(name: &str, kind: &KindInfo, min: f64, max: f64, system: System) -> Self {
        let unit = kind.unit(system);
        let (a, b) = (unit.of_si(min), unit.of_si(max.max(min + 1e-12 * min.abs().max(1e-9))));
        let step = round_step((b - a) / 5.0);
        let (first, last) = ((a / step).ceil() as i64, (b / step).floor() as i64);
        let ticks = (first..=last.min(first + 12)).map(|i| {
            let v = i as f64 * step;
            (unit.to_si(v), number(v, 4))
        });
        let label = if unit.symbol.is_empty() { name.to_string() } else { format!("{name}, {}", unit.symbol) };
        Self { label, min, max: unit.to_si(b), ticks: ticks.collect() }
    }
}

/// The next of 1, 2, 5 times a power of ten at or above `raw`.
pub fn round_step(raw: f64) -> f64 {
    if !(raw.is_finite() && raw > 0.0) {
        return 1.0;
    }
    let power = 10f64.powf(raw.log10().floor());
    let lead = raw / power;
    power * [1.0, 2.0, 5.0, 10.0].into_iter().find(|&m| lead <= m * (1.0 + 1e-9)).unwrap_or(10.0)
}

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What it is.
    pub name: String,
    /// How it looks.
    pub role: Role,
    /// Points in SI.
    pub points: Vec<(f64, f64)>,
}

/// One marked point, such as the working point.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Words beside it.
    pub label: String,
    /// Where, SI.
    pub x: f64,
    /// Where, SI.
    pub y: f64,
}

/// A stretch of the x axis with a name, such as a flow regime.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Its name.
    pub label: String,
    /// Start, SI.
    pub from: f64,
    /// End, SI.
    pub to: f64,
    /// True for a stretch to stay out of.
    pub warn: bool,
}

/// Curves on two axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Short caption.
    pub title: String,
    /// The whole chart in words.
    pub describe: String,
    /// Horizontal axis.
    pub x: Axis,
    /// Vertical axis.
    pub y: Axis,
    /// The curves.
    pub series: Vec<Series>,
    /// Marked points.
    pub marks: Vec<Mark>,
    /// Named stretches of x.
    pub bands: Vec<Band>,
    /// A horizontal brim line with its words.
    pub brim: Option<(f64, String)>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kinds::FLOW, si::l_h};

    #[test]
    fn ticks_are_round_numbers_of_the_display_unit() {
        let a = Axis::new("flow", FLOW.0, 0.0, l_h(4800.0), System::Metric);
        assert_eq!(a.label, "flow, L/h");
        let words: Vec<_> = a.ticks.iter().map(|t| t.1.as_str()).collect();
        assert_eq!(words, ["0", "1\u{202f}000", "2\u{202f}000", "3\u{202f}000", "4\u{202f}000"]);
        assert!((1..=13).contains(&Axis::new("flow", FLOW.0, 0.0, 0.0, System::Metric).ticks.len()));
    }

    #[test]
    fn steps() {
        for (raw, step) in [(0.9, 1.0), (1.1, 2.0), (3.0, 5.0), (7.0, 10.0), (0.03, 0.05), (f64::NAN, 1.0), (0.0, 1.0)]
        {
            assert!((round_step(raw) - step).abs() < 1e-12, "{raw}");
        }
    }
}
