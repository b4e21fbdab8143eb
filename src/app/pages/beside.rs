//! What stands beside a system: its parts list, what to prove on clean water, and another system to compare it with. Each is made when it is
//! opened.

use crate::app::el::*;
use crate::app::parts::{self as outcome, fold, plain};
use crate::app::{Shell, board::Board, desk::Desk, dom, field::Before, form, gauge, store::Found, take_back};
use crate::calculators::form::Spec;
use crate::session::keys::Shelf;
use crate::session::staff::staff;
use crate::system::compare::{self, Change, Comparison, Line};
use crate::system::parts::{self, Parts};
use crate::system::prove::{self, Proof, Proofs};
use crate::system::report::Checked;
use crate::system::{Document, demo};
use crate::units::{System, Words, kinds::MONEY, money, number};
use leptos::prelude::*;

/// The three of them, closed.
pub(super) fn beside(desk: Desk, board: Board) -> Piece {
    let first = StoredValue::new(desk.work.with_untracked(|w| w.system().cloned()));
    all![
        closed("Parts list", move || buying(desk, board)),
        closed("Fill and prove", move || proving(desk, board)),
        closed("Before and after", move || comparing(desk, first)),
    ]
    .into()
}

/// A folded sheet whose inside is made when it is first opened.
fn closed(title: &'static str, make: impl Fn() -> Piece + 'static) -> El {
    let open = RwSignal::new(false);
    let inside = only(move || open.get(), make);
    fold("sheet fold prints", words("h2", "", title), inside).on("toggle", move |_| open.set(true))
}

/// A sum over the system, made again when it changes; nothing while it cannot be made.
fn follow<T: Send + Sync + 'static>(desk: Desk, make: fn(&Document, Words) -> Option<T>) -> Memo<Option<Same<T>>> {
    let shell = Shell::get();
    Memo::new(move |before: Option<&Option<Same<T>>>| {
        let words = shell.words();
        let now = desk.work.with(|w| w.system().and_then(|d| make(d, words))).map(Same::new);
        now.or_else(|| before.cloned().flatten())
    })
}

// ---- parts ----

fn buying(desk: Desk, board: Board) -> Piece {
    let list = follow(desk, |d, w| parts::parts(d, w).ok());
    let of =
        move |pick: &dyn Fn(&Parts) -> Vec<String>| list.with(|l| l.as_ref().map(|l| pick(&l.0)).unwrap_or_default());
    // A key is the heading and the line; a heading stands before the first of its lines.
    let keys = move || {
        of(&|l| {
            let mut group = "";
            let mut keys = vec![];
            for p in &l.parts {
                if p.group != group {
                    group = p.group;
                    keys.push(format!("# {group}"));
                }
                keys.push(p.key.clone());
            }
            keys
        })
    };
    let make = move |key: &str| match key.strip_prefix("# ") {
        Some(group) => words("h3", "group", group),
        None => line(desk, list, key),
    };
    let sum = move || {
        let currency = desk.work.with(|w| w.system().map(|d| d.notes.currency.clone()).unwrap_or_default());
        list.with(|l| {
            l.as_ref().map_or_else(String::new, |l| {
                let left = match l.0.unpriced {
                    0 => String::new(),
                    n if n == l.0.parts.len() => return "No prices yet.".into(),
                    n => format!("; {n} without a price"),
                };
                let sum = format!("In all: {} {currency}", money(l.0.sum));
                format!("{}{left}", sum.trim_end())
            })
        })
    };
    let notes = part(move || outcome::notes(&of(&|l| l.notes.clone())));
    all![
        form::form(board, "notes.spare"),
        form::form(board, "notes.currency"),
        div("bought").kid(each(keys, make)),
        el("p").class("num sum").say(sum),
        notes,
    ]
    .into()
}

/// What a price may be.
const PRICES: [f64; 2] = [0.0, 1e9];

/// One line of the list, with its price.
fn line(desk: Desk, list: Memo<Option<Same<Parts>>>, key: &str) -> El {
    let shell = Shell::get();
    let id = format!("price-{}", key.replace([' ', '.'], "-"));
    let key = StoredValue::new(key.to_string());
    let with = move |pick: fn(&parts::Part, System) -> String| {
        move || {
            let system = shell.units.get();
            list.with(|l| {
                let part = l.as_ref().and_then(|l| key.with_value(|k| l.0.parts.iter().find(|p| p.key == *k)));
                part.map_or_else(String::new, |p| pick(p, system))
            })
        }
    };
    let per_unit = move || {
        let system = shell.units.get();
        list.with(|l| {
            let part = l.as_ref().and_then(|l| key.with_value(|k| l.0.parts.iter().find(|p| p.key == *k)));
            part.map_or((None, 1.0), |p| (p.price, p.count.factor(system)))
        })
    };
    let shown = |price: Option<f64>, factor: f64| {
        price.map_or_else(String::new, |x| number(x * factor, 7).replace('\u{202f}', ""))
    };
    let price = Memo::new(move |_| {
        let (price, factor) = per_unit();
        shown(price, factor)
    });
    let text = RwSignal::new(price.get_untracked());
    let wrong = RwSignal::new(String::new());
    // What was sent from here last.
    let sent = StoredValue::new(price.get_untracked());
    let before = Before::new(None);
    // Undo and the unit switch rewrite what stands here; typing does not, here or at another price.
    Effect::new(move |_: Option<()>| {
        let now = price.get();
        if sent.get_value() != now {
            sent.set_value(now.clone());
            text.set(now);
            wrong.set(String::new());
        }
    });
    let take = move |typed: String| {
        text.set(typed.clone());
        let system = shell.units.get_untracked();
        let factor = untrack(per_unit).1;
        let set = move |price: Option<f64>| {
            sent.set_value(shown(price, factor));
            let edits = desk.work.with_untracked(|w| {
                w.system().map(|d| key.with_value(|k| d.notes.price(k, price))).unwrap_or_default()
            });
            desk.edit(&edits, &id_of(key));
        };
        let read = match typed.trim() {
            "" => Ok(None),
            t => Spec::bare(MONEY.0, PRICES).typed(t, system).map(|price| Some(price / factor)),
        };
        match read {
            Ok(price) => {
                wrong.set(String::new());
                before.took(typed);
                set(price);
            }
            Err(why) => {
                wrong.set(why);
                if let Some(price) = before.refused(&typed) {
                    set(price);
                }
            }
        }
    };
    let per = with(|p, s| match p.count.per(s) {
        "each" => "price each".into(),
        unit => format!("price a {unit}"),
    });
    let label = with(|p, s| format!("Price of {} ({})", p.what, p.count.per(s)));
    let input = el("input")
        .set("id", &id)
        .set("type", "text")
        .set("inputmode", "decimal")
        .set("autocomplete", "off")
        .set("size", "6")
        .set("aria-describedby", &format!("{id}-wrong"))
        .live("aria-label", move || Some(label()))
        .live("placeholder", move || Some(per()))
        .live("aria-invalid", move || wrong.with(|w| !w.is_empty()).then(|| "true".into()))
        .value(move || text.get())
        .on("focus", move |_| before.came(untrack(per_unit).0))
        .on("input", move |ev| take(typed(&ev)));
    let cost = with(|p, _| p.cost().map_or_else(String::new, |c| format!("= {}", money(c))));
    div("buy")
        .kid(
            div("")
                .kid(el("strong").say(with(|p, _| p.what.clone())))
                .kid(el("div").class("muted").say(with(|p, _| p.note.clone()))),
        )
        .kid(
            div("priced")
                .kid(el("span").class("num").say(with(|p, s| p.amount(s))))
                .kid(div("entry").kid(input))
                .kid(el("span").class("muted").say(cost)),
        )
        .kid(complaint(shell, &id, wrong))
}

/// What is wrong with a field, read with it, and said once the typing has settled.
pub(super) fn complaint(shell: Shell, id: &str, wrong: RwSignal<String>) -> El {
    shell.say_when(move || wrong.get());
    el("p").class("wrong").set("id", &format!("{id}-wrong")).say(move || wrong.get())
}

fn id_of(key: StoredValue<String>) -> String {
    key.with_value(|k| format!("price {k}"))
}

// ---- fill and prove ----

fn proving(desk: Desk, board: Board) -> Piece {
    let list = follow(desk, |d, w| prove::proofs(d, w).ok());
    let keys = move || {
        list.with(|l| l.as_ref().map(|l| l.0.proofs.iter().map(|p| p.key.clone()).collect()).unwrap_or_default())
    };
    let make = move |key: &str| proof(desk, list, key);
    let cautions = part(move || list.with(|l| l.as_ref().map(|l| outcome::cautions(&l.0.cautions))));
    let hint = "On clean water, before any fish. What you measure takes the place of what was predicted.";
    all![
        words("p", "hint", hint),
        cautions,
        form::form(board, "notes.bucket"),
        el("ol").class("plain").kid(each(keys, make)),
    ]
    .into()
}

fn proof(desk: Desk, list: Memo<Option<Same<Proofs>>>, key: &str) -> El {
    let shell = Shell::get();
    let units = shell.units;
    let id = format!("proof-{}", key.replace([' ', '.'], "-"));
    let key = StoredValue::new(key.to_string());
    let get = move |pick: &dyn Fn(&Proof) -> String| {
        list.with(|l| {
            let proof = l.as_ref().and_then(|l| key.with_value(|k| l.0.proofs.iter().find(|p| p.key == *k)));
            proof.map_or_else(String::new, pick)
        })
    };
    let with = move |pick: fn(&Proof) -> String| move || get(&pick);
    let ask = list.with_untracked(|l| {
        l.as_ref().and_then(|l| key.with_value(|k| l.0.proofs.iter().find(|p| p.key == *k)).and_then(|p| p.ask))
    });
    let field = ask.map(|a| {
        let text = RwSignal::new(String::new());
        let wrong = RwSignal::new(String::new());
        let take = move || {
            let system = shell.units.get_untracked();
            let typed = text.get_untracked();
            // A second tap on what was just noted.
            if typed.trim().is_empty() && !untrack(|| get(&|p| p.told.clone())).is_empty() {
                return;
            }
            let spec = Spec::bare(a.kind, a.range);
            let read = spec.typed(&typed, system).and_then(|x| {
                let take = |k: &String| desk.work.with_untracked(|w| prove::take(w.system()?, k, x));
                key.with_value(take).ok_or_else(|| format!("Accepted: {}.", spec.accepted(system)))
            });
            match read {
                Ok(edits) => {
                    wrong.set(String::new());
                    text.set(String::new());
                    if desk.edit(&edits, "") {
                        let said = format!("Measured: {}.", untrack(|| get(&|p| p.title.clone())));
                        shell.tell(said, take_back(desk));
                    }
                }
                Err(why) => wrong.set(why),
            }
        };
        let unit = move || a.kind.unit(units.get()).symbol.to_string();
        let name = words("label", "", a.label).set("for", &id);
        let input = el("input")
            .set("id", &id)
            .set("type", "text")
            .set("inputmode", "decimal")
            .set("autocomplete", "off")
            .set("aria-describedby", &format!("{id}-wrong"))
            .live("aria-invalid", move || wrong.with(|w| !w.is_empty()).then(|| "true".into()))
            .value(move || text.get())
            .on("input", move |ev| text.set(typed(&ev)))
            .on("keydown", move |ev| {
                if dom::key(&ev) == "Enter" {
                    take();
                }
            });
        let label = move || Some(format!("Note it: {}", get(&|p| p.title.clone())));
        let note = button("btn", "Note it", take).live("aria-label", label);
        let entry = div("entry").kid(input).kid(el("span").class("muted unit-of").say(unit)).kid(note);
        all![div("label").kid(name), entry, complaint(shell, &id, wrong)]
    });
    el("li")
        .class("proof")
        .kid(el("h3").say(with(|p| p.title.clone())))
        .kid(el("p").say(with(|p| p.how.clone())))
        .kid(el("p").kid(words("strong", "", "Predicted: ")).kid(el("span").say(with(|p| p.predicted.clone()))))
        .kid(field.map(Piece::from))
        .kid(el("p").class("measured").say(with(|p| p.told.clone())))
}

// ---- before and after ----

fn comparing(desk: Desk, first: StoredValue<Option<Document>>) -> Piece {
    let shell = Shell::get();
    let chosen = RwSignal::new("first".to_string());
    let here = desk.place.with_untracked(|p| p.as_ref().map(|p| p.1.clone()));
    let mut options = vec![("first".to_string(), "It, as you opened it".to_string())];
    let (mine, _) = untrack(|| shell.store.list(Shelf::System));
    for (id, saved) in mine.iter().filter(|(id, _)| here.as_ref() != Some(id)) {
        options.push((format!("mine {id}"), saved.work.called().to_string()));
    }
    options.extend(demo::ALL.iter().map(|d| (format!("demo {}", d.id), format!("{} (demo)", d.document().name))));
    let other = move || -> Option<Document> {
        let which = chosen.get();
        match which.split_once(' ') {
            Some(("mine", id)) => match shell.store.load(Shelf::System, id) {
                Found::Work(found) => found.work.system().cloned(),
                _ => None,
            },
            Some(("demo", id)) => demo::by_id(id).map(|d| d.document()),
            _ => first.get_value(),
        }
    };
    let options = options.iter().map(|(id, name)| words("option", "", name).set("value", id).into());
    let select = el("select").set("id", "before").kids(options.collect()).value(move || chosen.get());
    let select = select.on("change", move |ev| chosen.set(typed(&ev)));
    let result = part(move || {
        let (words, before) = (shell.words(), other());
        desk.work.with(|w| match (before, w.system()) {
            (Some(a), Some(b)) => told(&compare::compare(&a, b, words), words.system),
            _ => "It can no longer be read.".into(),
        })
    });
    let label = words("label", "", "Compare it with").set("for", "before");
    all![div("field").kid(div("label").kid(label)).kid(div("entry").kid(select)), result].into()
}

fn told(c: &Comparison, system: System) -> Piece {
    let none = |text: &Option<String>| text.clone().unwrap_or_else(|| "not there".into());
    let pair = |a: Piece, b: Piece| div("pair").kid(div("").kid(a)).kid(div("").kid(b));
    let said =
        |word: &str, text: &str| -> Piece { all![words("span", "muted", word), words("strong", "", text)].into() };
    let line = |l: &Line| -> Piece {
        let head = el("div").kid(words("strong", "", &l.what)).text(" ").kid(words("span", "muted", &l.place));
        let (a, b) = (said("before ", &none(&l.before)), said("after ", &none(&l.after)));
        el("li").class("differs").kid(head).kid(pair(a, b)).into()
    };
    let side = |word: &str, l: &Option<Checked>| -> Piece {
        match l {
            None => said(word, "not there"),
            Some(l) => {
                let s = staff(&l.level, system);
                let row = div("level-row").kid(words("strong", "", &s.large)).kid(gauge::state(s.state));
                all![words("span", "muted", word), row].into()
            }
        }
    };
    let level = |l: &Change| -> Piece {
        let mark = match (l.worse(), l.better()) {
            (true, _) => Some(words("span", "worse", "▲ worse")),
            (_, true) => Some(words("span", "better", "▼ better")),
            _ => None,
        };
        let head = div("level-head").kid(words("strong", "", &l.name)).kid(mark);
        el("li").class("differs").kid(head).kid(pair(side("before ", &l.before), side("after ", &l.after))).into()
    };
    let (moved, still): (Vec<&Change>, Vec<&Change>) =
        c.levels.iter().partition(|l| l.worse() || l.better() || l.turned());
    let rest = format!("{} levels as before", still.len());
    let rest = (!still.is_empty()).then(|| fold("fold", rest, plain(still.into_iter().map(level).collect())));
    let same = format!("{} inputs are the same.", c.same);
    all![
        words("p", "note", &c.verdict),
        (!moved.is_empty()).then(|| words("h3", "group", "Fill levels that moved, each on its worst day")),
        plain(moved.into_iter().map(level).collect()),
        rest,
        (!c.lines.is_empty()).then(|| words("h3", "group", "What differs")),
        plain(c.lines.iter().map(line).collect()),
        words("p", "hint", &same),
    ]
    .into()
}
