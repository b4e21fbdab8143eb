//! The staff: one picture for every fill level, standing beside a page's own result and lying in lists.

use crate::calculators::outcome::State;
use crate::session::staff::Staff;
use leptos::prelude::*;

/// The word for a state with its mark; the word is always written.
pub(super) fn state(state: State) -> AnyView {
    let (mark, class) = match state {
        State::Enough => ("✓", "state enough"),
        State::Tight => ("◆", "state tight"),
        State::Over => ("▲", "state over"),
    };
    view! { <span class=class><span aria-hidden="true">{mark}</span>" "{state.word()}</span> }.into_any()
}

/// The class of a state, for what repeats it by colour.
pub(super) fn tone(state: State) -> &'static str {
    match state {
        State::Enough => "is-enough",
        State::Tight => "is-tight",
        State::Over => "is-over",
    }
}

/// How a staff stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Posture {
    /// Upright, at a page's own result.
    Standing,
    /// On its side, in lists.
    Lying,
}

/// Where a bar begins and how long it is, in per cent along the staff and in the staff's own sense.
fn bar(posture: Posture, from: f64, to: f64) -> (String, String) {
    let at = if posture == Posture::Standing { 1.0 - to } else { from };
    (format!("{:.2}%", at * 100.0), format!("{:.2}%", (to - from).max(0.0) * 100.0))
}

/// A staff. Its parts stay in the page and only move, so that a change can be seen.
pub(super) fn gauge(staff: Signal<Option<Staff>>, posture: Posture) -> AnyView {
    let standing = posture == Posture::Standing;
    let parts = move |s: &Staff| {
        let brim = s.brims.last().copied().unwrap_or(1.0);
        let solid = s.water[0].min(if s.out.is_some() { brim } else { 1.0 });
        let sure = (0.0, solid);
        let maybe = (solid, s.water[1].min(brim).max(solid));
        let out = s.out.map_or((brim, brim), |o| (o[0], o[1]));
        [sure, maybe, out]
    };
    let one = move |i: usize, class: &'static str, fill: Option<&'static str>| {
        let place = Memo::new(move |_| {
            staff.with(|s| {
                s.as_ref().map_or(("0%".into(), "0%".into()), |s| {
                    let (a, b) = parts(s)[i];
                    bar(posture, a, b)
                })
            })
        });
        let (from, long) = (move || place.with(|p| p.0.clone()), move || place.with(|p| p.1.clone()));
        if standing {
            view! { <rect class=class x="32%" width="44%" y=from height=long fill=fill/> }.into_any()
        } else {
            view! { <rect class=class y="22%" height="52%" x=from width=long fill=fill/> }.into_any()
        }
    };
    let line = move |i: usize| {
        let at = Memo::new(move |_| {
            staff.with(|s| {
                s.as_ref()
                    .and_then(|s| s.brims.get(i))
                    .map(|b| format!("{:.2}%", 100.0 * if standing { 1.0 - b } else { *b }))
            })
        });
        let show = move || at.with(Option::is_none).then_some("none");
        let at = move || at.get().unwrap_or_else(|| "0%".into());
        if standing {
            view! { <line class="staff-brim" x1="10%" x2="94%" y1=at y2=at display=show/> }.into_any()
        } else {
            view! { <line class="staff-brim" y1="2%" y2="96%" x1=at x2=at display=show/> }.into_any()
        }
    };
    let ticks: Vec<_> = (0..=6)
        .map(|i| {
            let at = f64::from(i) / 6.0 * 100.0;
            let long = if i % 2 == 0 { 14.0 } else { 22.0 };
            if standing {
                view! { <line class="staff-tick" x1=format!("{long}%") x2="32%" y1=format!("{at:.2}%") y2=format!("{at:.2}%")/> }.into_any()
            } else {
                view! { <line class="staff-tick" y1="74%" y2=format!("{}%", 110.0 - long) x1=format!("{at:.2}%") x2=format!("{at:.2}%")/> }.into_any()
            }
        })
        .collect();
    let track = if standing {
        view! { <rect class="staff-track" x="32%" width="44%" y="0" height="100%"/> }.into_any()
    } else {
        view! { <rect class="staff-track" y="22%" height="52%" x="0" width="100%"/> }.into_any()
    };
    let words = move || staff.with(|s| s.as_ref().map(|s| s.words.clone()).unwrap_or_default());
    view! {
        <svg class=if standing { "staff standing" } else { "staff lying" } role="img" aria-label=words>
            {track}
            {one(0, "staff-water", None)}
            {one(1, "staff-maybe", None)}
            {one(2, "staff-over", Some("url(#spill)"))}
            {ticks}
            {line(0)}
            {line(1)}
        </svg>
    }
    .into_any()
}

/// One level in a list: its name, its word, its staff and its number.
pub(super) fn lying(s: Staff, name: String) -> AnyView {
    let tone = tone(s.state);
    let (word, large, figures) = (state(s.state), s.large.clone(), s.figures.clone());
    view! {
        <div class=format!("level {tone}")>
            <div class="level-head"><span class="level-name">{name}</span>{word}</div>
            <div class="level-row">{gauge(Signal::derive(move || Some(s.clone())), Posture::Lying)}<span class="level-large">{large}</span></div>
            <div class="muted figures">{figures}</div>
        </div>
    }
    .into_any()
}

/// The pattern past the brim, once a page.
pub(super) fn pattern() -> AnyView {
    view! {
        <svg class="defs" width="0" height="0" aria-hidden="true" focusable="false">
            <defs>
                <pattern id="spill" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                    <rect class="hatch-ground" width="6" height="6"/>
                    <rect class="hatch-line" width="2.4" height="6"/>
                </pattern>
            </defs>
        </svg>
    }
    .into_any()
}
