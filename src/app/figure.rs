//! Pictures drawn: the drawing scales with the page, its letters keep their size.

use super::el::*;
use crate::picture::{Chart, Picture, Role, Section, draw};

/// The class that gives a thing its look.
fn look(role: Role) -> &'static str {
    match role {
        Role::Water => "p-water",
        Role::Surface => "p-surface",
        Role::Wall => "p-wall",
        Role::Pipe => "p-pipe",
        Role::PipeWater => "p-pipe-water",
        Role::Brim => "p-brim",
        Role::Media => "p-media",
        Role::Plant => "p-plant",
        Role::Sludge => "p-sludge",
        Role::Bubble => "p-bubble",
        Role::Screen => "p-screen",
        Role::Measure => "p-measure",
        Role::Guide => "p-guide",
        Role::Spill => "p-spill",
    }
}

fn drawing(view: &str, describe: &str, all: &[draw::Stroke]) -> El {
    let stroke = |s: &draw::Stroke| -> Piece {
        let class = format!("{} {}", look(s.role), if s.filled { "area" } else { "line" });
        svg("path").class(&class).set("d", &s.path).set("vector-effect", "non-scaling-stroke").into()
    };
    let base = svg("svg").class("base").set("viewBox", view).set("role", "img").set("aria-label", describe);
    base.kids(all.iter().map(stroke).collect())
}

fn letters(class: &str, (x, y): (f64, f64), (dx, dy): (&str, &str), anchor: &str, text: &str) -> Piece {
    svg("text")
        .class(class)
        .set("x", &format!("{x:.2}%"))
        .set("y", &format!("{y:.2}%"))
        .set("dx", dx)
        .set("dy", dy)
        .set("text-anchor", anchor)
        .text(text)
        .into()
}

fn overlay(all: &[draw::Word]) -> El {
    let word = |w: &draw::Word| -> Piece {
        let (anchor, dx) = match w.hang {
            draw::Hang::Start => ("start", "5"),
            draw::Hang::Middle => ("middle", "0"),
            draw::Hang::End => ("end", "-5"),
        };
        letters(&format!("word {}", look(w.role)), (w.x, w.y), (dx, "4"), anchor, &w.text)
    };
    svg("svg").class("letters").set("aria-hidden", "true").kids(all.iter().map(word).collect())
}

/// One picture with its caption.
pub(super) fn picture(p: &Picture) -> Piece {
    match p {
        Picture::Section(s) => section(s),
        Picture::Chart(c) => chart(c),
    }
    .into()
}

fn section(s: &Section) -> El {
    let plan = draw::section(s);
    let view = format!("0 0 {} {:.2}", plan.width, plan.height);
    let drawing = div("drawing").kid(drawing(&view, &s.describe, &plan.strokes)).kid(overlay(&plan.words));
    el("figure").class("sheet figure").kid(drawing).kid(words("figcaption", "", &s.title))
}

fn chart(c: &Chart) -> El {
    let plan = draw::chart(c);
    let mut over = overlay(&plan.words);
    for (at, text) in &plan.x_ticks {
        over = over.kid(letters("tick", (*at, 100.0), ("0", "17"), "middle", text));
    }
    for (at, text) in &plan.y_ticks {
        over = over.kid(letters("tick", (0.0, *at), ("-6", "4"), "end", text));
    }
    for d in &plan.dots {
        let (x, y) = (format!("{:.2}%", d.x), format!("{:.2}%", d.y));
        over = over.kid(svg("circle").class("dot").set("r", "5").set("cx", &x).set("cy", &y));
    }
    let base = drawing("0 0 100 100", &c.describe, &plan.strokes).set("preserveAspectRatio", "none");
    let mut legend = el("ul").class("legend");
    for s in &c.series {
        let line = svg("path").class(&format!("{} line", look(s.role))).set("d", "M1 5L23 5");
        let key = svg("svg").class("key").set("aria-hidden", "true").set("viewBox", "0 0 24 10").kid(line);
        legend = legend.kid(el("li").kid(key).text(&s.name));
    }
    el("figure")
        .class("sheet figure")
        .kid(words("figcaption", "", &c.title))
        .kid(words("div", "axis-y muted", &c.y.label))
        .kid(div("chart").kid(base).kid(over))
        .kid(words("div", "axis-x muted", &c.x.label))
        .kid((c.series.len() > 1).then_some(legend))
}
