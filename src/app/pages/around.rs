//! The water's way round, drawn: every station on a line of water with its fill level and the water that stands in it, the flow on every pipe, and
//! inside each station its fields and where its water runs.

use super::system::Check;
use crate::app::el::*;
use crate::app::{Shell, board::Board, desk::Desk, form, gauge, take_back};
use crate::calculators::form::Edit;
use crate::session::{Work, staff::staff, stations};
use crate::system::flow::StationKind;
use crate::system::report::{Report, StationReport};
use leptos::prelude::*;
use std::cmp::Ordering;

/// The stations in the order the water meets them. A key is a station's identifier and its path.
pub(super) fn loop_of(desk: Desk, board: Board, c: Check) -> El {
    let keys = move || c.get(|r, _| r.stations.iter().map(|s| format!("{} {}", s.id, s.path)).collect());
    let make = move |key: &str| {
        let (id, path) = key.rsplit_once(' ').unwrap_or((key, ""));
        station(desk, board, c, id, path)
    };
    el("ol").class("plain loop").kid(each(keys, make))
}

/// The identifier of the summary of a station's fold.
pub(super) fn fold_id(path: &str) -> String {
    format!("fold-{}", path.replace('.', "-"))
}

/// A vessel with its water between two shares of its height; what only sometimes stands in it is paler.
pub(in crate::app) fn vessel((low, high): (f64, f64)) -> El {
    let percent = |x: f64| format!("{:.1}%", 100.0 * x);
    let rect = |class: &str, top: f64, height: f64| {
        let rect = svg("rect").class(class).set("x", "8%").set("width", "84%");
        rect.set("y", &percent(1.0 - top)).set("height", &percent(height))
    };
    svg("svg")
        .class("vessel")
        .set("aria-hidden", "true")
        .kid(rect("staff-track", 1.0, 1.0))
        .kid(rect("staff-water", low, low))
        .kid(rect("staff-maybe", high, (high - low).max(0.0)))
}

fn station(desk: Desk, board: Board, c: Check, id: &str, path: &str) -> El {
    let key = StoredValue::new(id.to_string());
    let own = move |r: &Report| key.with_value(|k| r.stations.iter().position(|s| s.id == *k));
    let with = move |get: fn(&StationReport) -> String| {
        move || c.get(|r, _| own(r).and_then(|i| r.stations.get(i)).map(get).unwrap_or_default())
    };
    let level = Signal::derive(move || {
        c.get(|r, s| {
            let k = own(r).and_then(|i| r.stations.get(i)).and_then(|s| s.fullest)?;
            r.levels.get(k).map(|l| staff(&l.level, s))
        })
    });
    // Where the water goes, as it is drawn: to the next station, to one further down, back up.
    let goes = move |r: &Report| -> Option<Vec<(Ordering, String)>> {
        let own = own(r)?;
        Some(r.onward(r.stations.get(own)?).map(|(to, said)| (to.cmp(&(own + 1)), said)).collect())
    };
    let past = move || c.get(|r, _| goes(r).is_some_and(|all| all.iter().all(|way| way.0 == Ordering::Greater)));
    let class = move || {
        let tone = level.with(|l| l.as_ref().map_or("", |l| gauge::tone(l.state)));
        Some(format!("station {tone}{}", if past() { " past" } else { "" }))
    };
    let large = move || level.with(|l| l.as_ref().map(|l| l.large.clone()).unwrap_or_default());
    let row = only(
        move || level.with(Option::is_some),
        move || {
            let bar = gauge::gauge(level, gauge::Posture::Lying);
            el("span").class("level-row").kid(bar).kid(el("span").class("level-large").say(large))
        },
    );
    let water = part(move || {
        let water = c.get(|r, _| own(r).and_then(|i| r.stations.get(i)).and_then(|s| s.water.clone()));
        water.map(|w| {
            let said = el("span").class("muted").text(&w.words);
            el("span").class("stands").kid(vessel(w.stands)).kid(said)
        })
    });
    let summary = all![
        el("span").class("station-name").say(with(|s| s.name.clone())),
        part(move || level.with(|l| l.as_ref().map(|l| gauge::state(l.state)))),
        el("span").class("muted station-line").say(with(|s| s.line.clone())),
        water,
        part(move || level
            .with(Option::is_some)
            .then(|| el("span").class("muted station-line").say(with(|s| s.of.clone())))),
        row,
    ];
    let onward = part(move || {
        let arrow = |to: Ordering| match to {
            Ordering::Less => "↑",
            Ordering::Equal => "↓",
            Ordering::Greater => "→",
        };
        let way = |(to, said): (Ordering, String)| words("li", "", &format!("{} {said}", arrow(to))).into();
        c.get(|r, _| goes(r).unwrap_or_default().into_iter().map(way).collect::<Vec<Piece>>())
    });
    let open = RwSignal::new(false);
    let under = format!("{path}.");
    let inside = only(move || open.get(), move || key.with_value(|id| inside(desk, board, id, &under)));
    let name = fold_id(path);
    let fold = el("details")
        .class("sheet fold")
        .kid(el("summary").set("id", &name).kid(summary))
        .kid(inside)
        .on("toggle", move |_| open.set(true));
    el("li").live("class", class).kid(fold).kid(el("ul").class("plain onward").kid(onward))
}

/// Puts another work in place of this one, with a word and a way back; or says why not.
fn change(shell: Shell, desk: Desk, after: Result<Work, String>, said: String) {
    match after {
        Ok(after) => {
            desk.replace(after);
            shell.tell(said, take_back(desk));
        }
        Err(why) => shell.tell(why, None),
    }
}

/// The fields of one station, where its water runs, and a way to take it out.
fn inside(desk: Desk, board: Board, id: &str, under: &str) -> Piece {
    let shell = Shell::get();
    let id = StoredValue::new(id.to_string());
    let of = move |get: fn(&crate::system::Document, &str) -> bool| {
        move || desk.work.with(|w| w.system().is_some_and(|d| id.with_value(|id| get(d, id))))
    };
    let gone = "Taken out; the water runs on without it.";
    let remove = move || {
        let after = desk.work.with_untracked(|w| id.with_value(|id| stations::remove(w, id)));
        change(shell, desk, after.ok_or_else(|| "The loop cannot run without it.".into()), gone.into());
    };
    let name = move || {
        let name = desk.work.with(|w| {
            w.system()
                .and_then(|d| id.with_value(|id| d.stations().iter().find(|s| s.id == id).map(|s| s.name.to_string())))
        });
        Some(format!("Take this station out: {}", name.unwrap_or_default()))
    };
    let out = button("btn small", "Take this station out", remove).live("aria-label", name).when("hidden", {
        let may = of(stations::may_go);
        move || !may()
    });
    let board = piped(desk, board);
    all![form::form(board, under), ways(desk, board, id), out].into()
}

/// The same board; but where a pipe or a curve is taken away, what was worked out with it stays.
fn piped(desk: Desk, mut board: Board) -> Board {
    let plain = board.edit;
    board.edit = Callback::new(move |e: Edit| match desk.work.with_untracked(|w| stations::unpiped(w, &e)) {
        Some(after) => desk.replace(after),
        None => plain.run(e),
    });
    board
}

/// Where the water of a station runs: every way, with its pipe where a pump sends it; and one more.
fn ways(desk: Desk, board: Board, id: StoredValue<String>) -> El {
    let shell = Shell::get();
    // A key is the place of the edge, and the name of what it leads to.
    let is_pump = move || {
        desk.work.with(|w| {
            w.system().is_some_and(|d| {
                id.with_value(|id| d.stations().iter().any(|s| s.id == id && s.kind == StationKind::Pump))
            })
        })
    };
    let keys = move || {
        let out =
            desk.work.with(|w| w.system().map(|d| id.with_value(|id| stations::ways_out(d, id))).unwrap_or_default());
        let pump = is_pump();
        out.into_iter().map(|(k, to)| format!("{k} {} {to}", u8::from(pump))).collect()
    };
    let make = move |key: &str| {
        let mut parts = key.splitn(3, ' ');
        let k: usize = parts.next().and_then(|k| k.parse().ok()).unwrap_or(usize::MAX);
        let pump = parts.next() == Some("1");
        let to = parts.next().unwrap_or_default().to_string();
        let heading = words("h3", "group", &if pump { format!("The branch to {to}") } else { format!("On to {to}") });
        let cut = {
            let to = to.clone();
            move || {
                change(
                    shell,
                    desk,
                    desk.work.with_untracked(|w| stations::cut(w, k)),
                    format!("No more water from here to {to}."),
                )
            }
        };
        let cut = button("btn small", "Disconnect", cut).set("aria-label", &format!("Disconnect {to}"));
        let fields = pump.then(|| form::form(board, &format!("edges.{k}.")));
        div("branch").kid(div("row-head").kid(heading).kid(cut)).kid(fields)
    };
    let more = move || {
        let open =
            desk.work.with(|w| w.system().map(|d| id.with_value(|id| stations::open_to(d, id))).unwrap_or_default());
        let one = |(to, name): (String, String)| -> Piece {
            let go = {
                let name = name.clone();
                move || {
                    let after = desk.work.with_untracked(|w| {
                        let after = id.with_value(|id| stations::lead(w, id, &to))?;
                        Ok(after.opened(w, shell.units.get_untracked()))
                    });
                    change(shell, desk, after, format!("Some water now runs to {name}."));
                }
            };
            button("btn small", &format!("To {name}"), go).into()
        };
        div("buttons").kids(open.into_iter().map(one).collect())
    };
    let more = el("details").class("fold more").kid(el("summary").text("Send its water elsewhere too")).kid(part(more));
    div("ways").kid(each(keys, make)).kid(more)
}

/// Stations that can be added.
pub(super) fn grow(desk: Desk) -> El {
    let shell = Shell::get();
    let one = move |word: &'static str, kind: StationKind| {
        button("btn small", word, move || {
            let after = desk
                .work
                .with_untracked(|w| stations::add(w, kind).map(|after| after.opened(w, shell.units.get_untracked())));
            let said = after.as_ref().and_then(|after| stations::put_in(after, kind)).unwrap_or_default();
            change(shell, desk, after.ok_or_else(|| "No more of these can be added.".into()), said);
        })
    };
    div("buttons grow")
        .kid(one("Add a fish tank", StationKind::Tank))
        .kid(one("Add a settler", StationKind::Settler))
        .kid(one("Add a grow bed", StationKind::Bed))
        .kid(one("Add a pump", StationKind::Pump))
        .kid(one("Add a sump", StationKind::Sump))
}

/// What is of all the water: its temperature and place, heat, the water test and its filter, how many fish it may hold, how they are harvested.
pub(super) fn whole(board: Board) -> Piece {
    all![
        el("section").class("sheet").kid(form::form(board, "ammonia")),
        el("section").class("sheet").kid(form::form(board, "water")),
        el("section").class("sheet").kid(form::form(board, "heat")),
        el("section").class("sheet").kid(form::form(board, "stocking")),
        el("section").class("sheet").kid(form::form(board, "groups")),
    ]
    .into()
}
