//! The fields: a number with its unit, a choice, a text. They show what was understood and say what is wrong.

use super::board::Board;
use super::{Shell, dom, way};
use crate::calculators::form::{EditValue, Pick, Spec, Text};
use crate::session::Val;
use crate::units::{KindInfo, ParseError, Parsed, System, THIN, Unit, number as digits, parse, show, show_unit};
use leptos::prelude::*;

/// The number alone, as it is put into an input. It may be shorter than the value; only what a person types is ever read back.
fn bare(unit: &Unit, si: f64) -> String {
    let x = unit.of_si(si);
    digits(x, if x.abs() < 1000.0 { 4 } else { 7 }).replace('−', "-").replace(THIN, "")
}

/// What is typed, in the unit chosen beside it unless it names its own.
fn understood(text: &str, kind: &KindInfo, unit: &'static Unit, system: System) -> Result<Parsed, ParseError> {
    let here = |symbol: &str| parse(&format!("{text} {symbol}"), kind, system);
    if text.trim().is_empty() || unit.symbol.is_empty() {
        return parse(text, kind, system);
    }
    match here(unit.symbol) {
        Ok(p) => Ok(p),
        Err(_) => parse(text, kind, system),
    }
}

/// The same in the other words: the app's unit if another was used, else the other system's.
fn echo(p: &Parsed, kind: &KindInfo, system: System) -> String {
    let other = match system {
        System::Metric => System::Us,
        System::Us => System::Metric,
    };
    if p.unit != kind.unit(system) {
        format!("= {}", show(kind, p.si, system))
    } else if kind.unit(other) != kind.unit(system) {
        format!("= {}", show_unit(kind, p.si, kind.unit(other).symbol, other))
    } else {
        String::new()
    }
}

/// The label's companion for what nobody has confirmed yet.
fn mark(board: Board, path: String) -> AnyView {
    view! { <Show when=move || board.assumed(&path)><span class="assumed">"assumed"</span></Show> }.into_any()
}

/// The sentence that says what is wrong; its place is always there, so that it is announced when it fills.
fn complaint(board: Board, path: String, id: String) -> AnyView {
    view! { <p class="wrong" id=id role="alert">{move || board.fault(&path)}</p> }.into_any()
}

/// A number with its unit.
pub(super) fn number(board: Board, path: String, spec: Spec) -> AnyView {
    let units = Shell::get().units;
    let kind = spec.kind;
    let id = board.id(&path);
    let at = StoredValue::new(path.clone());
    let value = {
        let path = path.clone();
        Memo::new(move |before: Option<&f64>| match board.value(&path) {
            Some(Val::Num(x)) => x,
            _ => before.copied().unwrap_or(0.0),
        })
    };
    let unit = RwSignal::new(kind.unit(units.get_untracked()));
    let text = RwSignal::new(bare(unit.get_untracked(), value.get_untracked()));
    // What this field itself sent last: only a value from elsewhere rewrites the text.
    let sent = StoredValue::new(value.get_untracked());
    // Is the text what the person typed, or what this field wrote?
    let own = StoredValue::new(false);
    let parsed = Memo::new(move |_| understood(&text.get(), kind, unit.get(), units.get()));

    let rewrite = move |x: f64, to: &'static Unit| {
        own.set_value(false);
        unit.set(to);
        text.set(bare(to, x));
        at.with_value(|path| board.note(path, None));
    };
    Effect::watch(
        move || (value.get(), units.get()),
        move |(x, system), before, _| {
            let switched = before.is_some_and(|(_, was)| was != system);
            if switched || sent.with_value(|s| s != x) {
                sent.set_value(*x);
                rewrite(*x, if switched { kind.unit(*system) } else { unit.get_untracked() });
            }
        },
        false,
    );
    let take = move || {
        let system = units.get_untracked();
        let read = match own.get_value() {
            true => understood(&text.get_untracked(), kind, unit.get_untracked(), system).map(|p| p.si),
            false => Ok(value.get_untracked()),
        };
        let read = read.map_err(|e| match e {
            // It asks back; a range would only confuse.
            ParseError::Thousand { .. } => e.to_string(),
            _ if spec.hard[0] > f64::MIN => format!("{e} Accepted: {}.", spec.accepted(system)),
            _ => e.to_string(),
        });
        let read = read.and_then(|x| match spec.fault(x, system) {
            None => Ok(x),
            Some(fault) => {
                let fault = fault.strip_prefix("must").map_or(fault.clone(), |rest| format!("This must{rest}"));
                Err(format!("{fault}. Accepted: {}.", spec.accepted(system)))
            }
        });
        at.with_value(|path| match read {
            Ok(x) => {
                board.note(path, None);
                sent.set_value(x);
                board.set(path, EditValue::Si(x));
            }
            Err(wrong) => board.note(path, Some(wrong)),
        });
    };
    let typed = move |ev: leptos::ev::Targeted<leptos::ev::Event, leptos::web_sys::HtmlInputElement>| {
        own.set_value(true);
        text.set(ev.target().value());
        take();
    };
    // On leaving: a unit that was typed moves to the unit beside it.
    let left = move |_| {
        if let Ok(p) = parsed.get_untracked()
            && p.unit != unit.get_untracked()
            && kind.units.contains(p.unit)
        {
            rewrite(p.si, p.unit);
        }
    };
    let enter = move |ev: leptos::ev::KeyboardEvent| {
        if ev.key() == "Enter" {
            take();
        }
    };
    let unit_chosen = move |ev: leptos::ev::Targeted<leptos::ev::Event, leptos::web_sys::HtmlSelectElement>| {
        let symbol = ev.target().value();
        if let Some(to) = kind.units.iter().find(|u| u.symbol == symbol) {
            match parsed.get_untracked() {
                // The quantity stays, its number changes.
                Ok(_) if board.unread.with_untracked(|u| at.with_value(|path| !u.contains_key(path))) => {
                    rewrite(value.get_untracked(), to);
                }
                // What could not be read may be readable now.
                _ => {
                    unit.set(to);
                    take();
                }
            }
        }
    };
    let wrong = {
        let path = path.clone();
        Memo::new(move |_| board.fault(&path).is_some())
    };
    let heard = Memo::new(move |_| parsed.with(|p| p.as_ref().map(|p| echo(p, kind, units.get())).unwrap_or_default()));
    let several = kind.units.len() > 1;
    let negative = {
        let u = kind.unit(System::Metric);
        u.of_si(spec.hard[0]) < 0.0 || kind.unit(System::Us).of_si(spec.hard[0]) < 0.0
    };
    // The number pad of some phones has no minus key.
    let pad = if negative { "text" } else { "decimal" };
    let (hint_id, wrong_id) = (format!("{id}-hint"), format!("{id}-wrong"));
    let described = format!("{hint_id} {wrong_id}");
    let select = several.then(|| {
        view! {
            <select class="unit" aria-label=format!("Unit of {}", spec.label) on:change:target=unit_chosen>
                {kind
                    .units
                    .iter()
                    .map(|u| {
                        let name = if u.symbol.is_empty() { "plain" } else { u.symbol };
                        view! { <option value=u.symbol selected=move || unit.get() == u>{name}</option> }
                    })
                    .collect::<Vec<_>>()}
            </select>
        }
    });
    view! {
        <div class="field" class:bad=move || wrong.get()>
            <div class="label"><label for=id.clone()>{spec.label}</label>{mark(board, path.clone())}</div>
            <div class="entry">
                <input
                    id=id.clone()
                    type="text"
                    inputmode=pad
                    autocomplete="off"
                    autocapitalize="off"
                    spellcheck="false"
                    enterkeyhint="next"
                    aria-describedby=described
                    aria-invalid=move || wrong.get().then_some("true")
                    prop:value=move || text.get()
                    on:input:target=typed
                    on:blur=left
                    on:keydown=enter
                />
                {select}
            </div>
            {complaint(board, path.clone(), wrong_id)}
            <p class="hint" id=hint_id><span class="heard">{move || heard.get()}</span>" "{spec.help}</p>
            {spec.way.map(|w| way::panel(board, path, spec, w, &id))}
        </div>
    }
    .into_any()
}

/// Few enough options for buttons side by side.
const FEW: usize = 4;

/// A choice: buttons if the options are few, else a list.
pub(super) fn choice(board: Board, path: String, pick: Pick) -> AnyView {
    let id = board.id(&path);
    let options: Vec<_> = pick.options().collect();
    let value = {
        let path = path.clone();
        Memo::new(move |before: Option<&usize>| match board.value(&path) {
            Some(Val::At(i)) => i,
            _ => before.copied().unwrap_or(0),
        })
    };
    let set = {
        let path = path.clone();
        move |to: &'static str| board.set(&path, EditValue::Option(to.to_string()))
    };
    let note = move || {
        let note = (pick.option)(value.get()).map_or("", |o| o.note);
        (!note.is_empty()).then(|| view! { <span class="said">{note}</span> })
    };
    let hint = view! { <p class="hint" id=format!("{id}-hint")>{note} {pick.help}</p> };
    let described = format!("{id}-hint {id}-wrong");
    let wrong = complaint(board, path.clone(), format!("{id}-wrong"));
    if options.len() <= FEW {
        let long = options.iter().any(|o| o.label.chars().count() > 14);
        let buttons: Vec<_> = options
            .iter()
            .enumerate()
            .map(|(i, o)| {
                let (set, o) = (set.clone(), *o);
                // The first button carries the field's own identifier, so that the field can be shown.
                let own = if i == 0 { id.clone() } else { format!("{id}-{}", o.id) };
                view! {
                    <label class="seg">
                        <input type="radio" id=own name=id.clone() prop:checked=move || value.get() == i on:change=move |_| set(o.id)/>
                        <span>{o.label}</span>
                    </label>
                }
            })
            .collect();
        return view! {
            <fieldset class="field" aria-describedby=described>
                <legend class="label"><span class="name">{pick.label}</span>" "{mark(board, path)}</legend>
                <div class="segs" class:long=long>{buttons}</div>
                {wrong}
                {hint}
            </fieldset>
        }
        .into_any();
    }
    let chosen = move |ev: leptos::ev::Targeted<leptos::ev::Event, leptos::web_sys::HtmlSelectElement>| {
        let id = ev.target().value();
        if let Some(o) = pick.options().find(|o| o.id == id) {
            set(o.id);
        }
    };
    let options: Vec<_> = options
        .into_iter()
        .enumerate()
        .map(|(i, o)| view! { <option value=o.id selected=move || value.get() == i>{o.label}</option> })
        .collect();
    view! {
        <div class="field">
            <div class="label"><label for=id.clone()>{pick.label}</label>{mark(board, path)}</div>
            <div class="entry"><select id=id aria-describedby=described on:change:target=chosen>{options}</select></div>
            {wrong}
            {hint}
        </div>
    }
    .into_any()
}

/// A short text.
pub(super) fn text(board: Board, path: String, spec: Text) -> AnyView {
    let id = board.id(&path);
    let at = StoredValue::new(path.clone());
    let value = {
        let path = path.clone();
        Memo::new(move |_| match board.value(&path) {
            Some(Val::Text(s)) => s,
            _ => String::new(),
        })
    };
    let text = RwSignal::new(value.get_untracked());
    let own = id.clone();
    Effect::watch(
        move || value.get(),
        move |now, _, _| {
            if !dom::focused(&own) {
                text.set(now.clone());
            }
        },
        false,
    );
    let typed = move |ev: leptos::ev::Targeted<leptos::ev::Event, leptos::web_sys::HtmlInputElement>| {
        let now = ev.target().value();
        text.set(now.clone());
        at.with_value(|path| match spec.fault(&now) {
            None => {
                board.note(path, None);
                board.set(path, EditValue::Text(now));
            }
            Some(fault) => board.note(path, Some(format!("This {fault}."))),
        });
    };
    let wrong_id = format!("{id}-wrong");
    view! {
        <div class="field">
            <div class="label"><label for=id.clone()>{spec.label}</label></div>
            <div class="entry">
                <input id=id type="text" autocomplete="off" aria-describedby=wrong_id.clone() prop:value=move || text.get() on:input:target=typed/>
            </div>
            {complaint(board, path, wrong_id)}
        </div>
    }
    .into_any()
}
