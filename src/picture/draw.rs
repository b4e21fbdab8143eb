//! From a picture to what is drawn: paths in a fixed grid, and words at places given in shares of the picture, so that the page can keep
//! letters at their own size while the drawing scales.

use super::*;

/// A path of the drawing with its meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stroke {
    /// What it is.
    pub role: Role,
    /// Filled, or only a line.
    pub filled: bool,
    /// Its form, in SVG path commands.
    pub path: String,
}

/// Where a word hangs on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hang {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// Words on the drawing. Places are in per cent of the drawing, from the left and from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// What it belongs to.
    pub role: Role,
    /// Where, from the left, %.
    pub x: f64,
    /// Where the middle of the line of letters is, from the top, %.
    pub y: f64,
    /// How it hangs.
    pub hang: Hang,
    /// The words.
    pub text: String,
}

/// A dot on the drawing, in per cent like [`Word`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// From the left, %.
    pub x: f64,
    /// From the top, %.
    pub y: f64,
}

/// A section ready to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Width of the grid.
    pub width: f64,
    /// Height of the grid.
    pub height: f64,
    /// Back to front.
    pub strokes: Vec<Stroke>,
    /// Words.
    pub words: Vec<Word>,
}

/// A chart ready to be drawn: paths in a grid of 100 by 100, to be stretched over the plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    /// Bands (roles `Spill` for those to stay out of, `Guide` for others), grid, brim and curves, back to front.
    pub strokes: Vec<Stroke>,
    /// Words of bands, marks and the brim.
    pub words: Vec<Word>,
    /// Marked points.
    pub dots: Vec<Dot>,
    /// Numbers along the horizontal axis: place from the left in %, number.
    pub x_ticks: Vec<(f64, String)>,
    /// Numbers along the vertical axis: place from the top in %, number.
    pub y_ticks: Vec<(f64, String)>,
}

/// Width of the drawing grid of a section.
const GRID: f64 = 1000.0;
/// Room around a section, as a share of its larger side.
const MARGIN: f64 = 0.03;
/// The tallest and the flattest section, height to width; what is beyond gets room at its sides.
const TALL: f64 = 0.95;
const FLAT: f64 = 0.42;
/// The narrowest picture that words must fit, and the size of its letters, px.
const NARROW: f64 = 300.0;
const LETTER: f64 = 6.6;
const LINE: f64 = 16.5;
/// Room between a point and the word that hangs on it, px.
const GAP: f64 = 5.0;

fn path_of(points: &[(f64, f64)], closed: bool) -> String {
    let mut path = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        path += &format!("{}{x:.2} {y:.2}", if i == 0 { 'M' } else { 'L' });
    }
    if closed {
        path.push('Z');
    }
    path
}

fn circle_of(x: f64, y: f64, r: f64) -> String {
    let d = 2.0 * r;
    format!("M{:.2} {y:.2}a{r:.2} {r:.2} 0 1 0 {d:.2} 0a{r:.2} {r:.2} 0 1 0 -{d:.2} 0Z", x - r)
}

/// Lays out a section.
pub fn section(s: &Section) -> Plan {
    let whole = |x: f64, least: f64| if x.is_finite() { x.max(least) } else { least };
    let (w, h) = (whole(s.width, 1e-6), whole(s.height, 1e-6));
    let margin = MARGIN * w.max(h);
    let (mut full_w, mut full_h) = (w + 2.0 * margin, h + 2.0 * margin);
    full_w = full_w.max(full_h / TALL);
    full_h = full_h.max(full_w * FLAT);
    let scale = GRID / full_w;
    let (left, low) = ((full_w - w) / 2.0, (full_h - h) / 2.0);
    // Clamped: a shape far outside must not make a path that no browser draws.
    let px = |x: f64| ((x + left) * scale).clamp(-GRID, 2.0 * GRID);
    let height = full_h * scale;
    let py = |y: f64| (height - (y + low) * scale).clamp(-height, 2.0 * height);
    let at = |x: f64, y: f64| (px(x), py(y));
    let mut plan = Plan { width: GRID, height, strokes: vec![], words: vec![] };
    for item in &s.items {
        let role = item.role;
        let mut stroke = |filled, path| plan.strokes.push(Stroke { role, filled, path });
        let mut word = |x: f64, y: f64, hang, text: &String| {
            plan.words.push(Word {
                role,
                x: px(x) / GRID * 100.0,
                y: py(y) / height * 100.0,
                hang,
                text: text.clone(),
            });
        };
        match &item.shape {
            Shape::Rect { x, y, w, h } => {
                stroke(true, path_of(&[at(*x, *y), at(x + w, *y), at(x + w, y + h), at(*x, y + h)], true));
            }
            Shape::Path { points, closed } => {
                let points: Vec<_> = points.iter().map(|(x, y)| at(*x, *y)).collect();
                stroke(*closed, path_of(&points, *closed));
            }
            Shape::Circle { x, y, r } => {
                let (x, y) = at(*x, *y);
                stroke(true, circle_of(x, y, (r * scale).clamp(0.0, GRID)));
            }
            Shape::Measure { x, y0, y1, label } => {
                let (mx, a, b) = (px(*x), py(*y0), py(*y1));
                let foot = GRID / 80.0;
                let mut path = path_of(&[(mx, a), (mx, b)], false);
                for y in [a, b] {
                    path += &path_of(&[(mx - foot, y), (mx + foot, y)], false);
                }
                stroke(false, path);
                word(*x, (y0 + y1) / 2.0, Hang::Start, label);
            }
            Shape::Text { x, y, text, left } => word(*x, *y, if *left { Hang::End } else { Hang::Start }, text),
        }
    }
    settle(&mut plan.words, NARROW, NARROW * height / GRID, &[]);
    plan
}

/// Lays out a chart.
pub fn chart(c: &Chart) -> Curves {
    let share = |axis: &Axis, v: f64| {
        let span = axis.max - axis.min;
        let s = if span > 0.0 { (v - axis.min) / span * 100.0 } else { 50.0 };
        if s.is_finite() { s } else { 50.0 }
    };
    let px = |x: f64| share(&c.x, x).clamp(-50.0, 150.0);
    let py = |y: f64| (100.0 - share(&c.y, y)).clamp(-50.0, 150.0);
    let inside = |p: &f64| (-0.01..=100.01).contains(p);
    let mut out = Curves { strokes: vec![], words: vec![], dots: vec![], x_ticks: vec![], y_ticks: vec![] };
    for band in &c.bands {
        let (a, b) = (px(band.from).clamp(0.0, 100.0), px(band.to).clamp(0.0, 100.0));
        let role = if band.warn { Role::Spill } else { Role::Guide };
        let path = path_of(&[(a, 0.0), (b, 0.0), (b, 100.0), (a, 100.0)], true);
        out.strokes.push(Stroke { role, filled: true, path });
        if b - a > 1.0 {
            out.words.push(Word { role, x: (a + b) / 2.0, y: 5.0, hang: Hang::Middle, text: band.label.clone() });
        }
    }
    out.x_ticks = c.x.ticks.iter().map(|(v, t)| (px(*v), t.clone())).filter(|(p, _)| inside(p)).collect();
    out.y_ticks = c.y.ticks.iter().map(|(v, t)| (py(*v), t.clone())).filter(|(p, _)| inside(p)).collect();
    let mut grid = String::new();
    for (y, _) in &out.y_ticks {
        grid += &path_of(&[(0.0, *y), (100.0, *y)], false);
    }
    for (x, _) in &out.x_ticks {
        grid += &path_of(&[(*x, 0.0), (*x, 100.0)], false);
    }
    out.strokes.push(Stroke { role: Role::Measure, filled: false, path: grid });
    let mut curves = vec![];
    if let Some((y, text)) = &c.brim {
        let y = py(*y);
        let line = vec![(0.0, y), (100.0, y)];
        out.strokes.push(Stroke { role: Role::Brim, filled: false, path: path_of(&line, false) });
        curves.push(line);
        out.words.push(Word { role: Role::Brim, x: 1.0, y: y - 5.0, hang: Hang::Start, text: text.clone() });
    }
    for s in &c.series {
        let points: Vec<_> =
            s.points.iter().filter(|(x, y)| x.is_finite() && y.is_finite()).map(|(x, y)| (px(*x), py(*y))).collect();
        out.strokes.push(Stroke { role: s.role, filled: false, path: path_of(&points, false) });
        curves.push(points);
    }
    for m in &c.marks {
        let (x, y) = (px(m.x).clamp(0.0, 100.0), py(m.y).clamp(0.0, 100.0));
        out.dots.push(Dot { x, y });
        let hang = if x > 55.0 { Hang::End } else { Hang::Start };
        out.words.push(Word { role: Role::Surface, x, y: y - 5.0, hang, text: m.label.clone() });
    }
    settle(&mut out.words, NARROW * 0.8, NARROW * 0.6, &curves);
    out
}

/// Left and right end of a word, px.
fn reach(w: &Word, width: f64) -> (f64, f64) {
    let (at, long) = (w.x / 100.0 * width, w.text.chars().count() as f64 * LETTER);
    match w.hang {
        Hang::Start => (at + GAP, at + GAP + long),
        Hang::Middle => (at - long / 2.0, at + long / 2.0),
        Hang::End => (at - GAP - long, at - GAP),
    }
}

/// Does a curve pass through a box?
fn passes(curve: &[(f64, f64)], (a, b): (f64, f64), (top, low): (f64, f64)) -> bool {
    curve.windows(2).any(|p| {
        let ((x0, y0), (x1, y1)) = if p[0].0 <= p[1].0 { (p[0], p[1]) } else { (p[1], p[0]) };
        if x1 < a || x0 > b {
            return false;
        }
        let at = |x: f64| if x1 > x0 { y0 + (y1 - y0) * (x - x0) / (x1 - x0) } else { y0 };
        let (y, z) = if x1 > x0 { (at(a.max(x0)), at(b.min(x1))) } else { (y0, y1) };
        y.min(z) < low && y.max(z) > top
    })
}

/// How far a word may go from its point to get out of the way of a curve, lines.
const FAR: f64 = 3.0;

/// Turns words that would leave a picture of `width` by `height` px to their other side or pushes them in, and moves apart those that would
/// cover each other. Words that come later give way; and where there is room near by, to curves.
fn settle(words: &mut [Word], width: f64, height: f64, curves: &[Vec<(f64, f64)>]) {
    let line = LINE / height * 100.0;
    for i in 0..words.len() {
        let (before, rest) = words.split_at_mut(i);
        let Some(w) = rest.first_mut() else { break };
        let (a, b) = reach(w, width);
        if b > width && w.hang == Hang::Start {
            w.hang = Hang::End;
        } else if a < 0.0 && w.hang == Hang::End {
            w.hang = Hang::Start;
        }
        let (a, b) = reach(w, width);
        if b > width {
            w.x -= (b - width).min(a.max(0.0)) / width * 100.0;
        } else if a < 0.0 {
            w.x += -a / width * 100.0;
        }
        let covers = |y: f64, w: &Word| {
            let (a, b) = reach(w, width);
            before.iter().any(|o| {
                let (c, d) = reach(o, width);
                (o.y - y).abs() < line && a < d && c < b
            })
        };
        let home = w.y.clamp(line / 2.0, 100.0 - line / 2.0);
        // The nearest line free of words and curves, below and above in turn, on its own side and on the other; else one free of words.
        let own = (w.hang, w.x);
        let other = match w.hang {
            _ if curves.is_empty() => own,
            Hang::Start if w.role == Role::Brim => (Hang::End, 99.0),
            Hang::Start => (Hang::End, w.x),
            Hang::End => (Hang::Start, w.x),
            Hang::Middle => own,
        };
        let mut found = None;
        'free: for k in 0..50_i32 {
            let (near, k) = (k < 25, k % 25);
            let y = home + f64::from((k + 1) / 2) * line / 2.0 * if k % 2 == 1 { 1.0 } else { -1.0 };
            if y < line / 2.0 - 0.01 || y > 100.01 - line / 2.0 || (near && (y - home).abs() > FAR * line) {
                continue;
            }
            for (hang, x) in [own, other] {
                (w.hang, w.x) = (hang, x);
                let (a, b) = reach(w, width);
                let across = (a / width * 100.0, b / width * 100.0);
                let fits = (hang, x) == own || (a >= 0.0 && b <= width);
                let crossed = near && curves.iter().any(|c| passes(c, across, (y - line / 2.0, y + line / 2.0)));
                if fits && !crossed && !covers(y, w) {
                    found = Some(y);
                    break 'free;
                }
            }
        }
        if found.is_none() {
            (w.hang, w.x) = own;
        }
        w.y = found.unwrap_or(home);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{kinds::FLOW, si::l_h};

    fn tank() -> Section {
        let mut s = Section::new("Tank", "A tank", 2.0, 1.0);
        s.add(Role::Water, Shape::Rect { x: 0.0, y: 0.0, w: 2.0, h: 0.8 });
        s.add(Role::Measure, Shape::Measure { x: 1.0, y0: 0.8, y1: 1.0, label: "200 mm".into() });
        s
    }

    #[test]
    fn a_section_keeps_its_scale_and_stands_upright() {
        let plan = section(&tank());
        assert_eq!(plan.width, GRID);
        let y: Vec<f64> =
            plan.strokes[0].path.split(['M', 'L', 'Z']).filter_map(|p| p.split(' ').nth(1)?.parse().ok()).collect();
        let x: Vec<f64> =
            plan.strokes[0].path.split(['M', 'L', 'Z']).filter_map(|p| p.split(' ').next()?.parse().ok()).collect();
        let (wide, high) = (x[1] - x[0], y[0] - y[2]);
        assert!((wide / high - 2.0 / 0.8).abs() < 1e-3, "{wide} {high}");
        assert!(plan.words[0].x > 49.0 && plan.words[0].x < 51.0);
        assert!(plan.words[0].y < 50.0, "the measure is in the upper half");
    }

    #[test]
    fn extremes_stay_finite() {
        for (w, h) in [(0.0, 0.0), (f64::NAN, 1.0), (1e-9, 50.0), (50.0, 1e-9)] {
            let mut s = Section::new("", "", w, h);
            s.add(Role::Wall, Shape::Rect { x: -1e9, y: 0.0, w: 1e12, h });
            s.text(f64::MAX, 0.0, "far");
            let plan = section(&s);
            assert!(plan.height.is_finite() && plan.height > 0.0);
            assert!(plan.strokes.iter().all(|s| !s.path.contains("inf")), "{plan:?}");
            assert!((FLAT - 1e-9..=TALL + 1e-9).contains(&(plan.height / plan.width)));
        }
    }

    #[test]
    fn words_do_not_leave_or_cover() {
        let mut s = tank();
        for _ in 0..4 {
            s.text(1.9, 0.5, "a long label at the edge");
        }
        let plan = section(&s);
        let width = NARROW;
        for w in &plan.words {
            let (a, b) = reach(w, width);
            assert!(a >= -0.1 && b <= width + 0.1, "{w:?}");
        }
        let mut y: Vec<_> = plan.words.iter().skip(1).map(|w| w.y).collect();
        y.sort_by(f64::total_cmp);
        let line = LINE / (NARROW * plan.height / GRID) * 100.0;
        assert!(y.windows(2).all(|p| p[1] - p[0] >= line - 0.01), "{y:?}");
    }

    /// The label of a point on a falling curve stands where the curve is not.
    #[test]
    fn a_label_gets_out_of_the_way_of_curves() {
        let axis = |name| Axis::new(name, FLOW.0, 0.0, l_h(1000.0), crate::units::System::Metric);
        let fall = vec![(0.0, l_h(1000.0)), (l_h(1000.0), 0.0)];
        let c = Chart {
            title: "c".into(),
            describe: "c".into(),
            x: axis("in"),
            y: axis("out"),
            series: vec![Series { name: "s".into(), role: Role::Surface, points: fall }],
            marks: vec![Mark { label: "600 L/h, 400".into(), x: l_h(600.0), y: l_h(400.0) }],
            bands: vec![],
            brim: Some((l_h(950.0), "brim".into())),
        };
        let line = LINE / (NARROW * 0.6) * 100.0;
        let curve = [(0.0, 0.0), (100.0, 100.0)];
        for w in chart(&c).words {
            let (a, b) = reach(&w, 100.0);
            let (a, b) = ((a - w.x) * 100.0 / (NARROW * 0.8) + w.x, (b - w.x) * 100.0 / (NARROW * 0.8) + w.x);
            assert!(!passes(&curve, (a, b), (w.y - line / 2.0, w.y + line / 2.0)), "{w:?}");
        }
        assert!(passes(&curve, (40.0, 60.0), (45.0, 55.0)) && !passes(&curve, (60.0, 90.0), (30.0, 50.0)));
    }

    #[test]
    fn a_chart_puts_its_points_between_its_axes() {
        let axis = |name| Axis::new(name, FLOW.0, 0.0, l_h(1000.0), crate::units::System::Metric);
        let c = Chart {
            title: "c".into(),
            describe: "c".into(),
            x: axis("in"),
            y: axis("out"),
            series: vec![Series {
                name: "s".into(),
                role: Role::Surface,
                points: vec![(0.0, 0.0), (l_h(500.0), l_h(1000.0)), (f64::NAN, 1.0)],
            }],
            marks: vec![Mark { label: "here".into(), x: l_h(500.0), y: l_h(500.0) }],
            bands: vec![Band { label: "spills".into(), from: l_h(800.0), to: l_h(2000.0), warn: true }],
            brim: Some((l_h(900.0), "brim".into())),
        };
        let d = chart(&c);
        assert_eq!(d.dots, [Dot { x: 50.0, y: 50.0 }]);
        assert_eq!(d.x_ticks.first().map(|t| t.0), Some(0.0));
        assert_eq!(d.y_ticks.first().map(|t| t.0), Some(100.0));
        let curve = d.strokes.last().expect("curve");
        assert_eq!(curve.path, "M0.00 100.00L50.00 0.00");
        assert_eq!(d.strokes[0].path, "M80.00 0.00L100.00 0.00L100.00 100.00L80.00 100.00Z");
    }
}
