//! How a club puts a calculator on its own site: what to choose, what comes out of it, and the text to copy.

use super::systems::ask;
use super::{main, titled};
use crate::app::el::*;
use crate::app::{Shell, bar, desk::Desk, dom, dom::Later, form, parts::sheet, share, shelf};
use crate::calculators::{self, Entry, form::FieldError};
use crate::session::Route;
use crate::session::guest::{ACCENT, LOOK, Query, UNITS, accent};
use crate::units::System;
use leptos::prelude::*;
use leptos::web_sys::Event;

/// The height of a frame that nobody adjusts, pixels.
const HEIGHT: u32 = 900;

/// The page of one calculator, or the list of them.
pub(in crate::app) fn page(id: &str) -> Piece {
    match calculators::by_id(id) {
        Some(entry) => one(entry),
        None if id.is_empty() => list(),
        None => super::lost(),
    }
}

fn list() -> Piece {
    let one = |e: &Entry| -> Piece { ask("ask", &Route::Site(e.id.into()).hash(), e.title, e.question).into() };
    let about = "Any calculator can stand in a page of your own site. Choose one; set its first values, units and colours; copy a few lines.";
    let check = "The check of a whole system can stand there too: <brimwise-embed demo=\"courtyard\"></brimwise-embed>, or code=\"…\" with the end of the link under “Share by link or code” on the system's page, after the script of any calculator's lines.";
    let main = main("page home")
        .kid(words("p", "hint lead", about))
        .kid(el("ul").class("plain asks").kids(calculators::ALL.iter().map(one).collect()))
        .kid(words("p", "hint", check));
    all![bar(titled("A calculator on your site"), Some("#/")), main].into()
}

/// A choice between a few words.
fn segments(name: &'static str, label: &str, all: &[(&'static str, &str)], to: RwSignal<&'static str>) -> El {
    let one = |(value, word): &(&'static str, &str)| -> Piece {
        let value = *value;
        let input = el("input").set("type", "radio").set("name", name).set("value", value);
        let input = input.checked(move || to.get() == value).on("change", move |_| to.set(value));
        el("label").class("seg").kid(input).kid(words("span", "", word)).into()
    };
    let segs = div("segs").kids(all.iter().map(one).collect());
    el("fieldset").class("field").kid(el("legend").class("label").kid(words("span", "name", label))).kid(segs)
}

/// Words as they stand in an attribute of a page.
fn quoted(text: &str) -> String {
    text.replace('&', "&amp;").replace('"', "&quot;").replace('<', "&lt;")
}

/// Lines to copy.
fn lines(id: &'static str, label: &str, text: impl Fn() -> String + Send + Sync + 'static) -> El {
    let shell = Shell::get();
    let text = Memo::new(move |_| text());
    let copy = move || share::copy(shell, &text.get_untracked(), id);
    let text_area =
        el("textarea").class("lines").set("id", id).set("readonly", "").set("rows", "5").set("spellcheck", "false");
    div("field")
        .kid(div("label").kid(words("label", "", label).set("for", id)))
        .kid(text_area.say(move || text.get()))
        .kid(div("buttons").kid(button("btn", "Copy", copy).set("aria-label", &format!("Copy: {label}"))))
}

fn one(entry: &'static Entry) -> Piece {
    let shell = Shell::get();
    let us = shell.units.get_untracked() == System::Us;
    let (units, look) = (RwSignal::new(if us { "us" } else { "metric" }), RwSignal::new(""));
    let colour = RwSignal::new(String::new());
    let desk = Desk::new(shelf::fresh(shell, entry), None, shell.store);
    let faults = Memo::new(move |_| {
        let words = shell.words();
        let found = desk.work.with(|w| w.sheet().map(|s| s.run(words, false)));
        Same::new(match found {
            Some(Err(faults)) => faults,
            _ => Vec::<FieldError>::new(),
        })
    });
    let board = desk.board(faults);
    let good = move || colour.with(|c| accent(c).is_some());
    let query = Memo::new(move |_| {
        let mut query = Query::default();
        query.put(UNITS, units.get());
        query.put(LOOK, look.get());
        if good() {
            query.put(ACCENT, colour.get().trim().trim_start_matches('#'));
        }
        desk.work.with(|w| query.put_touched(w));
        query
    });

    // What it looks like, in a frame as a club's page would have it.
    let shown = RwSignal::new(query.get_untracked());
    let later = Later::here();
    Effect::new(move |_: Option<()>| {
        let now = query.get();
        later.stop();
        if shown.with_untracked(|s| *s != now) {
            later.after(dom::PAUSE, move || shown.set(now.clone()));
        }
    });
    let route = move |q: &Query| Route::Guest(entry.id.into(), q.write()).hash();
    // Only the app of a site has such a file beside it.
    let sited = dom::by_id("app-js").is_some();
    let live = part(move || {
        if !sited {
            return words("p", "hint", "The live picture needs the app on a site; this is a file.");
        }
        let frame = el("iframe").class("live").set("title", &format!("How it looks: {}", entry.title));
        frame.set("src", &shown.with(|q| format!("./{}", route(q))))
    });

    let base = dom::address();
    let nowhere = base.is_empty();
    let home = if nowhere { "https://example.org/brimwise/".to_string() } else { base };
    let folder = home.rsplit_once('/').map_or(home.clone(), |(folder, _)| format!("{folder}/"));
    let script = folder.clone();
    let element = move || {
        let q = query.get();
        let mut out =
            format!("<script src=\"{script}embed.js\" async></script>\n<brimwise-embed calculator=\"{}\"", entry.id);
        for (name, value) in [
            ("units", q.get(UNITS).unwrap_or_default().to_string()),
            ("look", q.get(LOOK).unwrap_or_default().to_string()),
            ("accent", q.get(ACCENT).map(|a| format!("#{a}")).unwrap_or_default()),
            ("defaults", q.defaults()),
        ] {
            if !value.is_empty() {
                out += &format!("\n  {name}=\"{}\"", quoted(&value));
            }
        }
        out + "></brimwise-embed>"
    };
    let plain = move || {
        let to = query.with(|q| format!("{folder}{}", route(q)));
        format!(
            "<iframe src=\"{}\" title=\"{}\" width=\"100%\" height=\"{HEIGHT}\"></iframe>",
            quoted(&to),
            entry.title
        )
    };

    let input =
        el("input").set("id", "accent").set("type", "text").set("autocomplete", "off").set("placeholder", "#1d7186");
    let input = input.set("maxlength", "9").on("input", move |ev: Event| colour.set(typed(&ev)));
    let wrong = move || {
        if good() || colour.with(|c| c.trim().is_empty()) {
            ""
        } else {
            "A colour is a # and six digits or letters a to f."
        }
    };
    shell.say_when(move || wrong().into());
    let accent = div("field")
        .kid(div("label").kid(words("label", "", "Accent colour").set("for", "accent")))
        .kid(div("entry").kid(input.set("aria-describedby", "accent-hint accent-wrong")))
        .kid(
            words("p", "hint", "Such as #1d7186. It is darkened or lightened until it can be read.")
                .set("id", "accent-hint"),
        )
        .kid(el("p").class("wrong").set("id", "accent-wrong").say(move || wrong().to_string()));
    let choose = all![
        segments("units", "Units", &[("metric", "Metric"), ("us", "US")], units),
        segments("look", "Light or dark", &[("", "As the visitor has it"), ("light", "Light"), ("dark", "Dark")], look),
        accent,
    ];
    let hint = "What you change here is what a visitor finds filled in. The rest keeps its usual first value.";
    let first = all![words("p", "hint", hint), form::form(board, "")];
    let copy = all![
        lines("by-element", "With a small script: the height follows what is inside", element),
        lines("by-frame", "Without a script: a frame of one height", plain),
    ];
    let own = "These lines name no real site: put the address of your own copy of the app in place of https://example.org/brimwise/.";
    let own = nowhere.then(|| words("p", "hint", own));
    let note = "A number that you write in without a unit is in the units of the frame; so is a price. A visitor's numbers stay in their browser and in the frame. Your site needs to allow this one in its own policy, if it has one: frame-src, and script-src for the small script.";
    let left = div("inputs").kid(sheet("How it looks", choose)).kid(sheet("First values", first));
    let right = div("see")
        .kid(sheet("The lines to copy", copy).kid(own).kid(words("p", "hint", note)))
        .kid(sheet("What a visitor sees", live));
    let title = move || format!("{} on your site", entry.title);
    let main = main("page site").kid(left).kid(right);
    all![bar(title, Some("#/site")), main].into()
}
