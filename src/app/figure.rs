//! Pictures drawn: the drawing scales with the page, its letters keep their size.

use crate::picture::{Picture, Role, draw};
use leptos::prelude::*;

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

fn strokes(all: Vec<draw::Stroke>) -> AnyView {
    all.into_iter()
        .map(|s| {
            let class = format!("{} {}", look(s.role), if s.filled { "area" } else { "line" });
            view! { <path class=class d=s.path vector-effect="non-scaling-stroke"/> }
        })
        .collect::<Vec<_>>()
        .into_any()
}

fn letters(class: String, x: f64, y: f64, (dx, dy): (f64, f64), anchor: &'static str, text: String) -> AnyView {
    view! {
        <text class=class x=format!("{x:.2}%") y=format!("{y:.2}%") dx=dx.to_string() dy=dy.to_string() text-anchor=anchor>
            {text}
        </text>
    }
    .into_any()
}

fn words(all: Vec<draw::Word>) -> AnyView {
    all.into_iter()
        .map(|w| {
            let (anchor, dx) = match w.hang {
                draw::Hang::Start => ("start", 5.0),
                draw::Hang::Middle => ("middle", 0.0),
                draw::Hang::End => ("end", -5.0),
            };
            letters(format!("word {}", look(w.role)), w.x, w.y, (dx, 4.0), anchor, w.text)
        })
        .collect::<Vec<_>>()
        .into_any()
}

/// One picture with its caption.
pub(super) fn picture(p: Picture) -> AnyView {
    match p {
        Picture::Section(s) => {
            let plan = draw::section(&s);
            view! {
                <figure class="sheet figure">
                    <div class="drawing">
                        <svg class="base" viewBox=format!("0 0 {} {:.2}", plan.width, plan.height) role="img" aria-label=s.describe>
                            {strokes(plan.strokes)}
                        </svg>
                        <svg class="letters" aria-hidden="true">{words(plan.words)}</svg>
                    </div>
                    <figcaption>{s.title}</figcaption>
                </figure>
            }
            .into_any()
        }
        Picture::Chart(c) => {
            let plan = draw::chart(&c);
            let ticks = |all: Vec<(f64, String)>, upright: bool| {
                all.into_iter()
                    .map(|(at, text)| {
                        if upright {
                            letters("tick".into(), 0.0, at, (-6.0, 4.0), "end", text)
                        } else {
                            letters("tick".into(), at, 100.0, (0.0, 17.0), "middle", text)
                        }
                    })
                    .collect::<Vec<_>>()
            };
            let dots: Vec<_> = plan
                .dots
                .iter()
                .map(|d| view! { <circle class="dot" cx=format!("{:.2}%", d.x) cy=format!("{:.2}%", d.y) r="5"/> })
                .collect();
            let legend = (c.series.len() > 1).then(|| {
                let items: Vec<_> = c
                    .series
                    .iter()
                    .map(|s| {
                        let class = format!("{} line", look(s.role));
                        view! {
                            <li>
                                <svg class="key" aria-hidden="true" viewBox="0 0 24 10"><path class=class d="M1 5L23 5"/></svg>
                                {s.name.clone()}
                            </li>
                        }
                    })
                    .collect();
                view! { <ul class="legend">{items}</ul> }
            });
            view! {
                <figure class="sheet figure">
                    <figcaption>{c.title}</figcaption>
                    <div class="axis-y muted">{c.y.label}</div>
                    <div class="chart">
                        <svg class="base" viewBox="0 0 100 100" preserveAspectRatio="none" role="img" aria-label=c.describe>
                            {strokes(plan.strokes)}
                        </svg>
                        <svg class="letters" aria-hidden="true">
                            {ticks(plan.x_ticks, false)} {ticks(plan.y_ticks, true)} {dots} {words(plan.words)}
                        </svg>
                    </div>
                    <div class="axis-x muted">{c.x.label}</div>
                    {legend}
                </figure>
            }
            .into_any()
        }
    }
}
