//! The staff: one picture for every fill level, standing beside a page's own result and lying in lists.

use super::el::*;
use crate::calculators::outcome::State;
use crate::session::staff::Staff;
use leptos::prelude::*;

/// The word for a state with its mark; the word is always written.
pub(super) fn state(state: State) -> El {
    let (mark, class) = match state {
        State::Enough => ("✓", "state enough"),
        State::Tight => ("◆", "state tight"),
        State::Over => ("▲", "state over"),
    };
    let mark = words("span", "", mark).set("aria-hidden", "true");
    el("span").class(class).kid(mark).text(" ").text(state.word())
}

/// The class of a state, for what repeats it by colour.
pub(super) fn tone(state: State) -> &'static str {
    match state {
        State::Enough => "is-enough",
        State::Tight => "is-tight",
        State::Over => "is-over",
    }
}

/// A level that may change, or may not be there.
pub(super) type Shown = Signal<Option<Staff>>;

/// How a staff stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Posture {
    /// Upright, at a page's own result.
    Standing,
    /// On its side, in lists.
    Lying,
}

fn percent(share: f64) -> String {
    format!("{:.2}%", share * 100.0)
}

/// The three bars of a staff: what is sure, what may be, what is out; each from where to where.
fn bars(s: &Staff) -> [(f64, f64); 3] {
    let brim = s.brims.last().copied().unwrap_or(1.0);
    let solid = s.water[0].min(if s.out.is_some() { brim } else { 1.0 });
    let out = s.out.map_or((brim, brim), |o| (o[0], o[1]));
    [(0.0, solid), (solid, s.water[1].min(brim).max(solid)), out]
}

/// A staff. Its parts stay in the page and only move, so that a change can be seen.
pub(super) fn gauge(staff: Shown, posture: Posture) -> El {
    let standing = posture == Posture::Standing;
    // Along the staff and across it.
    let (along, long) = if standing { ("y", "height") } else { ("x", "width") };
    let (across, wide) = if standing { ("x", "width") } else { ("y", "height") };
    let (edge, breadth) = if standing { ("32%", "44%") } else { ("22%", "52%") };
    let rect = move |class: &str| svg("rect").class(class).set(across, edge).set(wide, breadth);
    let bar = move |i: usize, class: &str| {
        let ends = move || staff.with(|s| s.as_ref().map_or((0.0, 0.0), |s| bars(s)[i]));
        let from = move || {
            let (a, b) = ends();
            Some(percent(if standing { 1.0 - b.max(a) } else { a }))
        };
        let length = move || {
            let (a, b) = ends();
            Some(percent((b - a).max(0.0)))
        };
        rect(class).live(along, from).live(long, length)
    };
    let (a, b) = if standing { ("y1", "y2") } else { ("x1", "x2") };
    let (c, d) = if standing { ("x1", "x2") } else { ("y1", "y2") };
    let brim = move |i: usize| {
        let place = move || staff.with(|s| s.as_ref().and_then(|s| s.brims.get(i).copied()));
        let at = move || Some(percent(place().map_or(0.0, |b| if standing { 1.0 - b } else { b })));
        let (from, to) = if standing { ("10%", "94%") } else { ("2%", "96%") };
        let hidden = move || place().is_none().then(|| "none".into());
        svg("line").class("staff-brim").set(c, from).set(d, to).live(a, at).live(b, at).live("display", hidden)
    };
    let tick = |i: u8| -> Piece {
        let at = percent(f64::from(i) / 6.0);
        let (from, to) = match (standing, i.is_multiple_of(2)) {
            (true, true) => ("14%", "32%"),
            (true, false) => ("22%", "32%"),
            (false, true) => ("74%", "96%"),
            (false, false) => ("74%", "88%"),
        };
        svg("line").class("staff-tick").set(a, &at).set(b, &at).set(c, from).set(d, to).into()
    };
    svg("svg")
        .class(if standing { "staff standing" } else { "staff lying" })
        .set("role", "img")
        .live("aria-label", move || staff.with(|s| s.as_ref().map(|s| s.words.clone())))
        .kid(rect("staff-track").set(along, "0").set(long, "100%"))
        .kid(bar(0, "staff-water"))
        .kid(bar(1, "staff-maybe"))
        .kid(bar(2, "staff-over").set("fill", "url(#spill)"))
        .kids((0..=6).map(tick).collect())
        .kid(brim(0))
        .kid(brim(1))
}

/// A staff that does not change.
pub(super) fn still(s: Staff) -> El {
    gauge(Signal::stored(Some(s)), Posture::Lying)
}

/// One level in a list: its name, its word, its staff and its number.
pub(super) fn lying(s: Staff, name: &str) -> Piece {
    let head = div("level-head").kid(words("span", "level-name", name)).kid(state(s.state));
    // All that it says stands beside it in words.
    let bar = still(s.clone()).set("aria-hidden", "true");
    let (large, figures) = (words("span", "level-large", &s.large), words("div", "muted figures", &s.figures));
    let class = format!("level {}", tone(s.state));
    div(&class).kid(head).kid(div("level-row").kid(bar).kid(large)).kid(figures).into()
}

/// The pattern past the brim, once a page.
pub(super) fn pattern() -> El {
    let square = |class: &str, width: &str| svg("rect").class(class).set("width", width).set("height", "6");
    let pattern = svg("pattern")
        .set("id", "spill")
        .set("width", "6")
        .set("height", "6")
        .set("patternUnits", "userSpaceOnUse")
        .set("patternTransform", "rotate(45)")
        .kid(square("hatch-ground", "6"))
        .kid(square("hatch-line", "2.4"));
    let empty = svg("svg").class("defs").set("width", "0").set("height", "0").set("aria-hidden", "true");
    empty.kid(svg("defs").kid(pattern))
}
