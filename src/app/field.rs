//! The fields: a number with its unit, a choice, a text. They show what was understood and say what is wrong.

use super::board::Board;
use super::el::*;
use super::{Shell, dom, way};
use crate::calculators::form::{EditValue, Pick, Spec, Text};
use crate::session::Val;
use crate::units::{KindInfo, ParseError, Parsed, System, THIN, Unit, number as digits, parse_in, show, show_unit};
use leptos::prelude::*;

/// The number alone, as it is put into an input. It may be shorter than the value; only what a person types is ever read back.
fn bare(unit: &Unit, si: f64) -> String {
    let x = unit.of_si(si);
    // Four figures; a large number whole, unless it is one with few decimals.
    let tenths = (x * 10.0).round() / 10.0;
    let text = if x.abs() < 1000.0 {
        digits(x, 4)
    } else if (tenths - x).abs() < 1e-6 {
        digits(tenths, 7)
    } else {
        digits(x.round(), 15)
    };
    text.replace('−', "-").replace(THIN, "")
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

/// Is a unit worth choosing here? Any can be typed, but nobody has humidity in inches a foot, or a day's feed in kilograms a second.
fn offered(kind: &KindInfo, unit: &Unit) -> bool {
    match kind.name {
        "share" => unit.symbol == "%",
        "feed a day" => unit.symbol.ends_with("/day"),
        "share a day" => unit.symbol == "%/day",
        "time" => !["months", "years"].contains(&unit.symbol) || ["days", "years"].contains(&kind.metric),
        // Cups and spoons hold what cups and spoons fill, and no tank does.
        "volume" if kind.metric == "L" => !["pt", "cups", "fl oz", "tbsp"].contains(&unit.symbol),
        "volume" => unit.factor <= 1e-3,
        _ => true,
    }
}

/// The place of a unit among those of its kind.
fn place(kind: &KindInfo, unit: &Unit) -> usize {
    kind.units.iter().position(|u| u == unit).unwrap_or(0)
}

/// The label, with its mark for what nobody has confirmed yet.
fn label(board: Board, path: &str, name: El, outer: &str) -> El {
    let path = path.to_string();
    el(outer)
        .class("label")
        .kid(name)
        .text(" ")
        .part(move || board.assumed(&path).then(|| words("span", "assumed", "assumed")))
}

/// The sentence that says what is wrong. It is read with its field, and said with the summary once the typing pauses, not at every key.
fn complaint(board: Board, path: &str, id: &str) -> El {
    let path = path.to_string();
    let place = el("p").class("wrong").set("id", &format!("{id}-wrong"));
    place.say(move || board.fault(&path).unwrap_or_default())
}

fn described(id: &str) -> String {
    format!("{id}-hint {id}-wrong")
}

/// The value when the person came, and the text that was last taken since: where that is the beginning of what is refused, or what is left of it was,
/// nobody meant it, and the value is again what it was.
#[derive(Clone, Copy)]
pub(super) struct Before(StoredValue<(Option<f64>, String)>);

impl Before {
    pub(super) fn new(value: Option<f64>) -> Self {
        Self(StoredValue::new((value, String::new())))
    }
    /// The person comes.
    pub(super) fn came(self, value: Option<f64>) {
        self.0.set_value((value, String::new()));
    }
    /// A text was taken.
    pub(super) fn took(self, text: String) {
        self.0.update_value(|b| b.1 = text);
    }
    /// A text is refused: the value that comes back, if what was taken was not meant.
    pub(super) fn refused(self, text: &str) -> Option<Option<f64>> {
        let (value, taken) = self.0.get_value();
        let meant = taken.is_empty() || !(text.starts_with(&taken) || taken.starts_with(text));
        (!meant).then(|| {
            self.came(value);
            value
        })
    }
}

/// A number with its unit. All that it holds is copied into every closure.
#[derive(Clone, Copy)]
struct Number {
    board: Board,
    spec: Spec,
    path: StoredValue<String>,
    units: RwSignal<System>,
    value: Memo<f64>,
    /// The place of its unit among those of its kind.
    unit: RwSignal<usize>,
    text: RwSignal<String>,
    /// The number that this field wrote itself: its point is decimal, whatever a person puts behind it.
    wrote: StoredValue<String>,
    /// What this field itself sent last: only a value from elsewhere rewrites the text.
    sent: StoredValue<f64>,
    /// Is the text what the person typed, or what this field wrote?
    own: StoredValue<bool>,
    /// Was its text refused?
    refused: StoredValue<bool>,
    before: Before,
}

impl Number {
    fn unit_now(self) -> &'static Unit {
        let units = self.spec.kind.units;
        units.get(self.unit.get()).unwrap_or(&units[0])
    }
    fn read(self) -> Result<Parsed, ParseError> {
        let (text, unit) = (self.text.get(), self.unit_now());
        if self.spec.hard[0] == 0.0 && ["none", "nothing", "no"].contains(&text.trim().to_ascii_lowercase().as_str()) {
            return Ok(Parsed { si: 0.0, unit });
        }
        let more = |rest: &str| rest.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',');
        if self.wrote.with_value(|wrote| text.strip_prefix(wrote.as_str()).is_some_and(|rest| !more(rest))) {
            return parse_in(&text, self.spec.kind, unit);
        }
        self.spec.read(&text, unit, self.units.get())
    }
    /// The same number in the unit of the other system, where that could be meant.
    fn other(self, system: System) -> Option<String> {
        let (spec, other) = (self.spec, if system == System::Us { System::Metric } else { System::Us });
        let unit = spec.kind.unit(other);
        let read = parse_in(&self.text.get_untracked(), spec.kind, unit).ok().filter(|p| p.unit == unit)?;
        let fits = unit != untrack(|| self.unit_now()) && spec.fault(read.si, other).is_none();
        fits.then(|| format!(" Is it {}?", show_unit(spec.kind, read.si, unit.symbol, other)))
    }
    fn rewrite(self, x: f64, to: &Unit) {
        self.own.set_value(false);
        self.refused.set_value(false);
        self.unit.set(place(self.spec.kind, to));
        self.wrote.set_value(bare(to, x));
        self.text.set(bare(to, x));
        self.path.with_value(|path| self.board.note(path, None));
    }
    /// Takes over what is typed, or notes why it cannot be taken.
    fn take(self) {
        let (spec, system) = (self.spec, self.units.get_untracked());
        let read = match self.own.get_value() {
            true => untrack(|| self.read()).map(|p| p.si),
            false => Ok(self.value.get_untracked()),
        };
        let wrong = match &read {
            Ok(x) => spec.fault(*x, system).map(|fault| {
                let fault = fault.strip_prefix("must").map_or(fault.clone(), |rest| format!("This must{rest}"));
                format!("{fault}. Accepted: {}.{}", spec.accepted(system), self.other(system).unwrap_or_default())
            }),
            Err(e) => Some(spec.unread(e, system)),
        };
        self.path.with_value(|path| {
            self.refused.set_value(wrong.is_some());
            self.board.note(path, wrong.clone());
            let text = self.text.get_untracked();
            let set = |x: f64| {
                self.sent.set_value(x);
                self.board.set(path, EditValue::Si(x));
            };
            if let (None, Ok(x)) = (wrong, read) {
                self.before.took(text);
                set(x);
            } else if let Some(Some(x)) = self.before.refused(&text) {
                set(x);
            }
        });
    }
    fn typed(self, text: String) {
        self.own.set_value(true);
        self.text.set(text);
        self.take();
    }
    /// Was what is typed taken?
    fn good(self) -> bool {
        self.path.with_value(|path| self.board.unread.with_untracked(|u| !u.contains_key(path)))
    }
    /// On leaving: a unit that was typed moves to the unit beside it. What was refused stays as it is, and so does what is said of it.
    fn left(self) {
        let (read, unit) = untrack(|| (self.read(), self.unit_now()));
        if self.good()
            && let Ok(p) = read
            && p.unit != unit
            && self.spec.kind.units.contains(p.unit)
            && offered(self.spec.kind, p.unit)
        {
            self.rewrite(p.si, p.unit);
        }
    }
    fn choose(self, symbol: &str) {
        let Some(to) = self.spec.kind.units.iter().find(|u| u.symbol == symbol) else { return };
        if self.good() {
            // The quantity stays, its number changes.
            self.rewrite(self.value.get_untracked(), to);
        } else {
            // What could not be read may be readable now.
            self.unit.set(place(self.spec.kind, to));
            self.take();
        }
    }
    fn wrong(self) -> bool {
        self.path.with_value(|path| self.board.fault(path).is_some())
    }
}

/// A number with its unit.
pub(super) fn number(board: Board, path: String, spec: Spec) -> El {
    let units = Shell::get().units;
    let kind = spec.kind;
    let id = board.id(&path);
    board.forget(&path);
    let at = path.clone();
    let value = Memo::new(move |before: Option<&f64>| match board.value(&at) {
        Some(Val::Num(x)) => x,
        _ => before.copied().unwrap_or(0.0),
    });
    let (x, unit) = (value.get_untracked(), kind.unit(units.get_untracked()));
    let n = Number {
        board,
        spec,
        path: StoredValue::new(path.clone()),
        units,
        value,
        unit: RwSignal::new(place(kind, unit)),
        text: RwSignal::new(bare(unit, x)),
        wrote: StoredValue::new(bare(unit, x)),
        sent: StoredValue::new(x),
        own: StoredValue::new(false),
        refused: StoredValue::new(false),
        before: Before::new(Some(x)),
    };
    let was = StoredValue::new(units.get_untracked() == System::Us);
    Effect::new(move |_: Option<()>| {
        let (x, system) = (n.value.get(), n.units.get());
        let us = system == System::Us;
        let switched = was.get_value() != us;
        was.set_value(us);
        // Who takes its fault away means another number, even if that is the last good one.
        let anew = !n.path.with_value(|path| board.unread.with(|u| u.contains_key(path))) && n.refused.get_value();
        if switched || anew || n.sent.get_value() != x {
            n.sent.set_value(x);
            n.rewrite(x, if switched { kind.unit(system) } else { untrack(|| n.unit_now()) });
        }
    });
    // The number pad of some phones has no minus key.
    let negative = [System::Metric, System::Us].iter().any(|s| kind.unit(*s).of_si(spec.hard[0]) < 0.0);
    let own = id.clone();
    let input = el("input")
        .set("id", &id)
        .set("type", "text")
        .set("inputmode", if negative { "text" } else { "decimal" })
        .set("autocomplete", "off")
        .set("autocapitalize", "off")
        .set("spellcheck", "false")
        .set("enterkeyhint", "next")
        .set("aria-describedby", &described(&id))
        .live("aria-invalid", move || n.wrong().then(|| "true".into()))
        .value(move || n.text.get())
        .on("input", move |ev| {
            dom::hold_still();
            n.typed(typed(&ev));
        })
        .on("focus", move |_| n.before.came(Some(n.value.get_untracked())))
        .on("blur", move |_| n.left())
        .on("keydown", move |ev| {
            if dom::key(&ev) == "Enter" {
                n.take();
                dom::onward(&own);
            }
        });
    // A plain number has no unit to choose; a percentage can still be typed.
    let choices: Vec<_> = kind.units.iter().filter(|u| offered(kind, u)).collect();
    let only = (choices.len() == 1 && kind.units.len() > 1).then(|| words("span", "unit-of", unit.symbol));
    let select = (choices.len() > 1 && !kind.metric.is_empty()).then(|| {
        let options = choices.into_iter().map(|u| {
            let name = if u.symbol.is_empty() { "plain" } else { u.symbol };
            words("option", "", name).set("value", u.symbol).into()
        });
        let select = el("select").class("unit").set("aria-label", &format!("Unit of {}", spec.label));
        let select = select.kids(options.collect()).value(move || n.unit_now().symbol.to_string());
        select.on("change", move |ev| n.choose(&typed(&ev)))
    });
    // What cannot be taken is not worth saying again in other units.
    let heard = move || match n.read() {
        Ok(p) if !n.wrong() => echo(&p, kind, n.units.get()),
        _ => String::new(),
    };
    let heard = el("span").class("heard").say(heard);
    let hint = el("p").class("hint").set("id", &format!("{id}-hint")).kid(heard).text(" ").text(spec.help);
    let name = words("label", "", spec.label).set("for", &id);
    el("div")
        .live("class", move || Some(if n.wrong() { "field bad" } else { "field" }.into()))
        .kid(label(board, &path, name, "div"))
        .kid(div("entry").kid(input).kid(select).kid(only))
        .kid(complaint(board, &path, &id))
        .kid(hint)
        .kid(spec.way.map(|w| way::panel(board, path, spec, w, &id)))
}

/// Few enough options for buttons side by side.
const FEW: usize = 4;
/// A label with more characters than this wants a wider button.
const SHORT: usize = 14;

/// A choice: buttons if the options are few, else a list.
pub(super) fn choice(board: Board, path: String, pick: Pick) -> El {
    let id = board.id(&path);
    let options: Vec<_> = pick.options().collect();
    let at = path.clone();
    let value = Memo::new(move |before: Option<&usize>| match board.value(&at) {
        Some(Val::At(i)) => i,
        _ => before.copied().unwrap_or(0),
    });
    let at = StoredValue::new(path.clone());
    let set = move |to: &str| at.with_value(|path| board.set(path, EditValue::Option(to.to_string())));
    let note = move || {
        let note = (pick.option)(value.get()).map_or("", |o| o.note);
        (!note.is_empty()).then(|| words("span", "said", &format!("{}.", note.trim_end_matches('.'))))
    };
    let hint = el("p").class("hint").set("id", &format!("{id}-hint")).part(note).text(" ").text(pick.help);
    let wrong = complaint(board, &path, &id);
    if options.len() <= FEW {
        let long = options.iter().any(|o| o.label.chars().count() > SHORT);
        let buttons = options.iter().enumerate().map(|(i, o)| {
            let o = *o;
            // The first button carries the field's own identifier, so that the field can be shown.
            let own = if i == 0 { id.clone() } else { format!("{id}-{}", o.id) };
            let radio = el("input").set("type", "radio").set("id", &own).set("name", &id);
            let radio = radio.checked(move || value.get() == i).on("change", move |_| set(o.id));
            el("label").class("seg").kid(radio).kid(words("span", "", o.label)).into()
        });
        let name = words("span", "name", pick.label);
        return el("fieldset")
            .class("field")
            .set("aria-describedby", &described(&id))
            .kid(label(board, &path, name, "legend"))
            .kid(div(if long { "segs long" } else { "segs" }).kids(buttons.collect()))
            .kid(wrong)
            .kid(hint);
    }
    let units = Shell::get().units;
    let us = units.get_untracked() == System::Us;
    let mut all: Vec<Piece> = vec![];
    for first in [true, false] {
        for o in options.iter().filter(|o| (o.inches && us) == first) {
            let o = *o;
            let option = el("option").set("value", o.id);
            let said = o.bore.is_some();
            all.push(if said { option.say(move || o.words(units.get())) } else { option.text(o.label) }.into());
        }
    }
    let select = el("select").set("id", &id).set("aria-describedby", &described(&id)).kids(all);
    let select = select.value(move || (pick.option)(value.get()).map_or("", |o| o.id).to_string());
    let select = select.on("change", move |ev| set(&typed(&ev)));
    let name = words("label", "", pick.label).set("for", &id);
    div("field").kid(label(board, &path, name, "div")).kid(div("entry").kid(select)).kid(wrong).kid(hint)
}

/// A short text.
pub(super) fn text(board: Board, path: String, spec: Text) -> El {
    let id = board.id(&path);
    board.forget(&path);
    let at = path.clone();
    let value = Memo::new(move |_| match board.value(&at) {
        Some(Val::Text(s)) => s,
        _ => String::new(),
    });
    let text = RwSignal::new(value.get_untracked());
    let (own, at) = (id.clone(), path.clone());
    Effect::new(move |_: Option<()>| {
        let now = value.get();
        if !dom::focused(&own) {
            text.set(now);
            board.note(&at, None);
        }
    });
    let at = path.clone();
    let take = move |now: String| {
        text.set(now.clone());
        match spec.fault(&now) {
            None => {
                board.note(&at, None);
                board.set(&at, EditValue::Text(now));
            }
            Some(fault) => board.note(&at, Some(format!("This {fault}."))),
        }
    };
    let input = el("input")
        .set("id", &id)
        .set("type", "text")
        .set("autocomplete", "off")
        .set("aria-describedby", &format!("{id}-wrong"))
        .value(move || text.get())
        .on("input", move |ev| take(typed(&ev)));
    let name = words("label", "", spec.label).set("for", &id);
    div("field").kid(div("label").kid(name)).kid(div("entry").kid(input)).kid(complaint(board, &path, &id))
}
