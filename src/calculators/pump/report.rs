//! The words, repairs, pictures and tables of the pump calculator.

use super::*;
use crate::calculators::care;
use crate::catalog::pipes::OTHER;
use crate::catalog::sources::oxygen;

/// Every outlet's valve.
fn valves(i: &PumpIn) -> Vec<(Valve, Ratio)> {
    match i.leads {
        Leads::One => vec![(i.valve, i.open)],
        Leads::Several => i.branches.iter().map(|b| (b.valve, b.open)).collect(),
    }
}

fn verdict(i: &PumpIn, o: &PumpOut, w: Words) -> String {
    let q = |x| w.q(FLOW, x);
    if o.usual.pumped.value <= 0.0 {
        let valves = valves(i);
        let open = o.lifts.iter().zip(&valves).filter(|(_, (v, open))| pump::valve_loss(*v, *open).is_some());
        return match open.map(|(lift, _)| *lift).reduce(Length::min) {
            None => "Sends nothing: every valve is shut.".into(),
            Some(lowest) => {
                let all = o.lifts.iter().all(|lift| *lift >= lowest);
                format!(
                    "Sends nothing: the outlet{} stands {} over the water, and the pump lifts {} at most.",
                    if all { "" } else { " that is not shut" },
                    w.q(LENGTH, lowest),
                    w.q(LENGTH, o.pumps.shut_off())
                )
            }
        };
    }
    // Past the last point of its curve nothing is known.
    let guessed = o.pumps.known_flow().value < o.pumps.free_flow().value * (1.0 - 1e-6);
    let sends = format!(
        "Sends {} of the {}{} it can give without any lift, against {}.",
        q(o.usual.pumped),
        if guessed { "perhaps " } else { "" },
        q(o.pumps.free_flow()),
        w.q(LENGTH, o.usual.head)
    );
    let level = served(o);
    // What a solve leaves between two equal flows is no want.
    let got = |k: usize| o.low.outlets.get(k).map_or(0.0, |q| q.value) * (1.0 + 1e-9);
    let short: Vec<_> = (0..o.wanted.len()).filter(|&k| o.wanted[k].value > got(k)).collect();
    let rest = if o.wanted.iter().all(|x| x.value <= 0.0) {
        String::new()
    } else if short.is_empty() {
        match level.state() {
            State::Enough => " That is enough.".into(),
            _ => " That is only just enough.".into(),
        }
    } else if o.wanted.len() == 1 && o.usual.pumped >= o.wanted[0] {
        format!(" You need {}: too little once the sump is at its lowest, {}.", q(o.wanted[0]), q(o.low.pumped))
    } else if o.wanted.len() == 1 {
        format!(" You need {}: too little.", q(o.wanted[0]))
    } else {
        let which: Vec<_> = short
            .iter()
            .map(|&k| format!("outlet {} gets {} of {}", k + 1, q(o.low.outlets[k].max(FLOW.of(0.0))), q(o.wanted[k])))
            .collect();
        let when = if o.fall.value > 0.0 { " with the sump at its lowest" } else { "" };
        format!(" Too little{when}: {}.", which.join(", "))
    };
    sends + &rest
}

/// The first is judgement.
fn notes(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<String> {
    let mut notes = vec![format!(
        "Every drain below must cope with {}, the flow without any lift: valves get opened, branches get blocked, and sumps stand higher \
         than planned.",
        w.q(FLOW, o.pumps.free_flow())
    )];
    if o.fall.value > 0.0 && o.low.pumped < o.usual.pumped {
        notes.push(format!("With the sump {} lower it sends {}.", w.q(SHORT_LENGTH, o.fall), w.q(FLOW, o.low.pumped)));
    }
    match i.known {
        Known::Ends => notes.push(
            "The curve between the two points on the box is a guess. Catch the flow in a bucket and compare.".into(),
        ),
        Known::Three | Known::Table => {}
    }
    if i.watts == Watts::Guessed {
        notes.push("Watts are a range for pumps of this size; a plug meter says what this one takes.".into());
    }
    notes
}

pub(super) fn cautions(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    let lift = &levels(i, o)[1];
    if o.usual.pumped.value <= 0.0 || o.low.pumped.value <= 0.0 {
        all.push(Caution::new(
            "A pump that sends nothing warms the water in itself and wears out, and nothing moves in the tanks. Lower the outlet, open the valve, or take a \
             pump with more head.",
        ));
    } else if lift.state() != State::Enough {
        all.push(Caution::new(format!(
            "The lift is near the most the pump can push ({}): a little dirt or a lower sump stops the flow. Small pumps lose head with age.",
            w.q(LENGTH, o.pumps.shut_off())
        )));
    }
    // Of two unlike pumps the weaker may do nothing, or worse.
    let second = o.pumps.second.as_ref().filter(|_| o.usual.pumped.value > 0.0);
    if let Some(second) = second {
        let (first, q) = (&o.pumps.first, o.usual.pumped);
        let (push, pass) = (first.shut_off().min(second.shut_off()), first.free_flow().min(second.free_flow()));
        match i.together {
            Together::Parallel if o.pumps.head(q) >= push => all.push(Caution::new(format!(
                "One of the pumps pushes {} at most and stands against the other's {}: it sends nothing, warms the water in itself and wears out. Take two alike.",
                w.q(LENGTH, push),
                w.q(LENGTH, o.pumps.head(q))
            ))),
            Together::Series if q >= pass => all.push(Caution::new(format!(
                "One of the pumps passes {} at most by itself: past that it holds the other back, so less than {} comes. Take two alike.",
                w.q(FLOW, pass),
                w.q(FLOW, q)
            ))),
            _ => {}
        }
    }
    if o.beyond {
        all.push(Caution::from(
            format!(
                "The pipes ask for less head than the last point of the curve has. The pump gives at least {}; how much more is not known.",
                w.q(FLOW, o.usual.pumped)
            ),
            i.known.source(),
        ));
    }
    if shorter_than_its_lift(i) {
        all.push(Caution::new(
            "The pipe is shorter than the height that it has to rise: count its whole length, from the pump to its end.",
        ));
    }
    if valves(i).iter().any(|(v, open)| *v != Valve::Missing && *open < pump::valve_known(*v) && open.value > 0.0) {
        all.push(Caution::from(
            "A valve so nearly shut is past the printed losses: its flow is a guess, and a snail stops it. Measure it with a bucket.",
            &src::VALVE_BETWEEN,
        ));
    }
    let under = match i.leads {
        Leads::One => i.ends == Ends::Under,
        Leads::Several => i.branches.iter().any(|b| b.ends == Ends::Under),
    };
    if under {
        all.push(Caution::from(
            "A return that ends under water siphons the tank back into the sump when the pump stops, down to its end. End it above the highest \
             water. If it must be under water, drill a hole of 5 to 6 mm (1/4 in), 10 to 20 mm (3/8 to 3/4 in) below the normal water line, on the tank side of the \
             bend, keep it clear, and count the tank down to that hole as drain-back. A check valve is no substitute, and through a tee it siphons into \
             the lower branches even while the pump is valved off.",
            &src::AIR_HOLE,
        ));
    }
    if o.usual.outlets.iter().chain(&o.low.outlets).any(|q| q.value < 0.0) {
        all.push(Caution::new("Water runs back through an outlet that ends under water, into the lower branches."));
    }
    if i.together == Together::Parallel {
        all.push(Caution::new(
            "Pumps side by side need a check valve each, or one that stops lets the water of the other run back. Swing valves as wide as the pipe are counted; with springs, or narrower, they cost several times as much: add that to the other losses.",
        ));
    }
    if i.pipe.id == OTHER.id || i.leads == Leads::Several && i.branches.iter().any(|b| b.pipe.id == OTHER.id) {
        all.push(care::metals());
    }
    all.push(Caution::from(care::SUCKS_AIR, &oxygen::GAS_BUBBLES));
    all.push(Caution::from(piping::ELECTRICITY, &src::RESIDUAL_CURRENT));
    all
}

/// Does an outlet stand higher than its pipes are long? The pump itself may stand as high as the sump's water.
fn shorter_than_its_lift(i: &PumpIn) -> bool {
    match i.leads {
        Leads::One => i.length < i.lift,
        Leads::Several => {
            let mut main = i.length;
            i.branches.iter().any(|b| {
                main += b.between;
                main + b.length < b.lift
            })
        }
    }
}

/// Every outlet: what it gets, what it would get alone.
fn outlets(i: &PumpIn, o: &PumpOut, w: Words) -> Table {
    let nu = water::kinematic(i.temperature);
    let rows = (0..i.branches.len()).map(|k| {
        let mut alone = i.clone();
        for (j, b) in alone.branches.iter_mut().enumerate() {
            if j == k {
                b.open = PERCENT.of(1.0);
            } else {
                (b.valve, b.open) = (Valve::Ball, PERCENT.of(0.0));
            }
        }
        let most = network::solve(&o.pumps, LENGTH.of(0.0), &way(&alone), nu);
        let at = |f: &Flows| f.outlets.get(k).copied().unwrap_or(FLOW.of(0.0));
        vec![
            format!("Outlet {}", k + 1),
            w.q(LENGTH, o.lifts[k]),
            w.q(FLOW, o.wanted[k]),
            w.q(FLOW, at(&o.usual)),
            w.q(FLOW, at(&o.low)),
            w.q(FLOW, at(&most)),
            w.q(FLOW, o.pumps.free_flow()),
        ]
    });
    let head = [
        "Outlet",
        "Lift",
        "Needed",
        "Gets",
        "Sump at its lowest",
        "Alone, the others shut",
        "Its drain must cope with",
    ];
    Table { title: "Outlets".into(), head: head.map(str::to_string).to_vec(), rows: rows.collect() }
}

/// What a partly closed valve does.
pub(super) fn throttled(i: &PumpIn, o: &PumpOut, w: Words) -> Table {
    let nu = water::kinematic(i.temperature);
    let at = match i.leads {
        Leads::One => None,
        Leads::Several => Some(i.branches.iter().position(|b| b.valve != Valve::Missing).unwrap_or(0)),
    };
    let valve = match at {
        None => i.valve,
        Some(k) => i.branches.get(k).map_or(Valve::Missing, |b| b.valve),
    };
    let kind = if valve == Valve::Missing { Valve::Ball } else { valve };
    let name = if kind == Valve::Gate { "gate valve" } else { "ball valve" };
    let mut head = vec!["Open".to_string(), "Sends in all".into(), "Head".into(), "Power in the water".into()];
    if let Some(k) = at {
        head.insert(2, format!("Outlet {}", k + 1));
    }
    let rows = [100, 75, 50, 40, 35, 30].map(|open| {
        let share = PERCENT.of(f64::from(open) / 100.0);
        let mut set = i.clone();
        match at {
            None => (set.valve, set.open) = (kind, share),
            Some(k) => {
                if let Some(b) = set.branches.get_mut(k) {
                    (b.valve, b.open) = (kind, share);
                }
            }
        }
        let f = network::solve(&o.pumps, LENGTH.of(0.0), &way(&set), nu);
        let mut row = vec![
            w.q(PERCENT, share),
            w.q(FLOW, f.pumped),
            w.q(LENGTH, f.head),
            w.q(POWER, pump::hydraulic_power(f.pumped, f.head, i.temperature)),
        ];
        if let Some(k) = at {
            row.insert(2, w.q(FLOW, f.outlets.get(k).copied().unwrap_or(FLOW.of(0.0))));
        }
        row
    });
    let title = match at {
        None => format!("What a {name} does: little until it is nearly shut"),
        Some(k) => format!("What a {name} at outlet {} does: little until it is nearly shut", k + 1),
    };
    Table { title, head, rows: rows.to_vec() }
}

/// A change that may help.
struct Try {
    title: String,
    edits: Vec<Edit>,
}

/// The least pipe of a family, wider than what is there, that does; else the next size.
fn wider(pipe: &Pipe, bore: Length, enough: impl Fn(&'static Pipe) -> bool) -> Option<&'static Pipe> {
    let sizes: Vec<&'static Pipe> = pipe.wider(bore, piping::family(pipe)).collect();
    sizes.iter().copied().find(|p| enough(p)).or(sizes.first().copied())
}

/// Steps in which the opening of a valve is tried.
const OPENINGS: u32 = 12;
/// Steps in which several valves are shut together.
const NOTCH: f64 = 0.05;

/// Valves on two outlets or more: always the one that has most to spare is shut by a notch, until the worst has enough. None where one valve does, or
/// where nothing is left to spare.
fn balanced(i: &PumpIn, o: &PumpOut, w: Words) -> Option<(String, Vec<Edit>)> {
    let mut set = i.clone();
    let mut flows = o.low.clone();
    let nu = water::kinematic(i.temperature);
    for _ in 0..i.branches.len() as u32 * OPENINGS {
        // How much of what comes is wanted.
        let share = |k: usize| o.wanted[k].value / flows.outlets.get(k).map_or(0.0, |q| q.value).max(1e-12);
        if (0..set.branches.len()).all(|k| share(k) <= ENOUGH) {
            let shut = set.branches.iter().zip(&i.branches).enumerate().filter(|(_, (new, old))| new != old);
            let (mut said, mut edits) = (vec![], vec![]);
            for (k, (b, _)) in shut {
                let name = if b.valve == Valve::Gate { "gate" } else { "ball" };
                said.push(format!("a {name} valve on outlet {}, {} open", k + 1, w.q(PERCENT, b.open)));
                edits.push(Edit::pick(format!("branches.{k}.valve"), name));
                edits.push(Edit::num(format!("branches.{k}.open"), b.open));
            }
            return (said.len() > 1).then(|| (said.join(", and "), edits));
        }
        let notch = |b: &Branch| {
            let (valve, open) = match b.valve {
                Valve::Missing => (Valve::Ball, 1.0),
                known => (known, b.open.value),
            };
            let to = ((open - NOTCH) / NOTCH).round() * NOTCH;
            // No nearer to shut than the printed losses go.
            (to > pump::valve_known(valve).value).then_some((valve, PERCENT.of(to)))
        };
        let (k, (valve, open)) = (0..set.branches.len())
            .filter(|&k| share(k) < ENOUGH)
            .filter_map(|k| Some((k, notch(&set.branches[k])?)))
            .min_by(|a, b| share(a.0).total_cmp(&share(b.0)))?;
        (set.branches[k].valve, set.branches[k].open) = (valve, open);
        flows = network::solve(&o.pumps, -i.fall, &way(&set), nu);
    }
    None
}

/// A pump is changed for one so many times as strong at most, and for one so many times as strong where nothing else helps.
const STRONGER: f64 = 6.0;
const STRONGEST: f64 = 60.0;

/// A stronger pump of the same shape: the least that does, else the strongest.
fn stronger(i: &PumpIn, most: f64, w: Words) -> Option<Try> {
    if i.known != Known::Ends {
        return None;
    }
    let [[_, most_flow], [_, most_head]] = ["free_flow", "shut_off"].map(|key| mend::ends::<Pump>(i, key));
    let scaled = |x: f64| {
        let flow = FLOW.of((i.free_flow.value * x).min(most_flow));
        let head = LENGTH.of((i.shut_off.value * x.sqrt()).min(most_head));
        let mut edits = vec![Edit::num("free_flow", flow), Edit::num("shut_off", head)];
        // The watts that are known are those of the old one.
        if i.watts == Watts::Known {
            edits.push(Edit::pick("watts", "guessed"));
        }
        edits
    };
    let x = mend::rounded(mend::just_enough::<Pump>(i, Pump::level, scaled, 1.0, most)?, 1.0, 0.05);
    let edits = scaled(x);
    let [Edit { to: EditValue::Si(q), .. }, Edit { to: EditValue::Si(h), .. }, ..] = edits[..] else { return None };
    Some(Try { title: format!("a pump of {} and {}", w.q(FLOW, FLOW.of(q)), w.q(LENGTH, LENGTH.of(h))), edits })
}

/// A pump however strong, with the main pipe as it is or the least wider one with which there is such a pump.
fn anew(i: &PumpIn, of: &impl Fn(&Try) -> Option<Repair>, w: Words) -> Option<Repair> {
    let enough = |t: &Try| of(t).filter(|r| r.level.state() == State::Enough);
    let wider = i.pipe.wider(piping::bore(i.pipe, i.bore), piping::family(i.pipe)).find_map(|p| {
        let main = vec![Edit::pick("pipe", p.id)];
        let pump = stronger(&mend::changed::<Pump>(i, &main)?, STRONGEST, w)?;
        let title = format!("{} as main pipe, and {}", p.words(w.system), pump.title);
        enough(&Try { title, edits: main.into_iter().chain(pump.edits).collect() })
    });
    stronger(i, STRONGEST, w).and_then(|t| enough(&t)).or(wider)
}

/// Changes that may help, smallest first.
fn tries(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<Try> {
    let mut all = vec![];
    let mut add = |title: String, edits: Vec<Edit>| all.push(Try { title, edits });
    let load = |edits: &[Edit]| mend::outcome::<Pump>(i, edits).map_or(f64::INFINITY, |o| served(&o).fullness());
    let enough = |edits: &[Edit]| load(edits) <= ENOUGH;
    let got = |k: usize| o.low.outlets.get(k).map_or(0.0, |q| q.value).max(1e-12);
    let by_load = |a: &usize, b: &usize| (o.wanted[*a].value / got(*a)).total_cmp(&(o.wanted[*b].value / got(*b)));
    // Open what is throttled, but not what has enough.
    let throttled = |valve: Valve, open: Ratio| valve != Valve::Missing && open.value < 1.0;
    let opened: Vec<Edit> = match i.leads {
        Leads::One if throttled(i.valve, i.open) => vec![Edit::num("open", PERCENT.of(1.0))],
        Leads::One => vec![],
        Leads::Several => {
            let short = |k: usize| o.wanted[k].value > ENOUGH * got(k);
            let here = |(k, b): (usize, &Branch)| {
                let open = Edit::num(format!("branches.{k}.open"), PERCENT.of(1.0));
                (throttled(b.valve, b.open) && short(k)).then_some(open)
            };
            i.branches.iter().enumerate().filter_map(here).collect()
        }
    };
    if !opened.is_empty() {
        add("the valve fully open".into(), opened);
    }
    if i.leads == Leads::Several && i.branches.len() > 1 {
        // A valve on the outlet that has most to spare.
        if let Some(k) = (0..i.branches.len()).min_by(by_load) {
            let b = &i.branches[k];
            let (name, from) = match b.valve {
                Valve::Missing => ("ball", 1.0),
                Valve::Ball => ("ball", b.open.value),
                Valve::Gate => ("gate", b.open.value),
            };
            let set = |x: f64| {
                vec![
                    Edit::pick(format!("branches.{k}.valve"), name),
                    Edit::num(format!("branches.{k}.open"), PERCENT.of(x)),
                ]
            };
            // No nearer to shut than the printed losses go.
            let least = pump::valve_known(if name == "gate" { Valve::Gate } else { Valve::Ball }).value;
            let steps: Vec<f64> = (1..OPENINGS)
                .map(|n| ((from - (from - least) * f64::from(n) / f64::from(OPENINGS)) * 100.0).round() / 100.0)
                .filter(|x| *x > least && *x < from)
                .collect();
            let best = steps.iter().find(|x| enough(&set(**x))).or_else(|| {
                // Where it helps most: in the end the throttled outlet is the worst.
                steps.iter().min_by(|a, b| load(&set(**a)).total_cmp(&load(&set(**b))))
            });
            if let Some(x) = best {
                add(format!("a {name} valve on outlet {}, {} open", k + 1, w.q(PERCENT, PERCENT.of(*x))), set(*x));
            }
        }
        if let Some((title, edits)) = balanced(i, o, w) {
            add(title, edits);
        }
        // A wider pipe to the outlet that is worst off.
        if let Some(k) = (0..i.branches.len()).max_by(by_load) {
            let b = &i.branches[k];
            let edits = |p: &Pipe| vec![Edit::pick(format!("branches.{k}.pipe"), p.id)];
            if let Some(p) = wider(b.pipe, piping::bore(b.pipe, b.bore), |p| enough(&edits(p))) {
                add(format!("{} to outlet {}", p.words(w.system), k + 1), edits(p));
            }
        }
    }
    let main = |p: &Pipe| vec![Edit::pick("pipe", p.id)];
    if let Some(p) = wider(i.pipe, piping::bore(i.pipe, i.bore), |p| enough(&main(p))) {
        add(format!("{} as main pipe", p.words(w.system)), main(p));
    }
    if i.leads == Leads::One && i.lift.value > 0.0 {
        let edit = |x: f64| vec![Edit::num("lift", LENGTH.of(x))];
        if let Some(x) = mend::just_enough::<Pump>(i, Pump::level, edit, i.lift.value, 0.0).filter(|x| *x > 0.0) {
            let to = LENGTH.of(mend::rounded(x, i.lift.value, w.step(LENGTH, 0.05)).max(0.0));
            add(format!("the outlet only {} over the water", w.q(LENGTH, to)), edit(to.value));
        }
    }
    if let Some(Try { title, edits }) = stronger(i, STRONGER, w) {
        add(title, edits);
    }
    if i.together == Together::Alone {
        for (id, title) in
            [("parallel", "a second pump like it, side by side"), ("series", "a second pump like it, in series")]
        {
            let mut edits = vec![Edit::pick("together", id), Edit::pick("alike", "yes")];
            if i.watts == Watts::Known {
                edits.push(Edit::num("label", i.label * 2.0));
            }
            add(title.into(), edits);
        }
    }
    all
}

/// What brings the worst outlet to 80 %, each by itself; where no pipe or valve does, the first pair that does; where nothing does, what comes
/// nearest.
fn repairs(i: &PumpIn, o: &PumpOut, w: Words) -> Vec<Repair> {
    if served(o).state() == State::Enough {
        return vec![];
    }
    let before = levels(i, o);
    let of = |t: &Try| {
        let mut r = mend::mend::<Pump>(i, &before, levels, "flow", t.title.clone(), t.edits.clone(), w.system)?;
        let free = mend::outcome::<Pump>(i, &t.edits)?.pumps.free_flow();
        if free.value > o.pumps.free_flow().value * (1.0 + 1e-9) {
            let drains = format!("Every drain must then cope with {}.", w.q(FLOW, free));
            r.also = Some(r.also.map_or(drains.clone(), |a| format!("{a} {drains}")));
        }
        Some(r)
    };
    let tries = tries(i, o, w);
    let all: Vec<(&Try, Repair)> = tries.iter().filter_map(|t| Some((t, of(t)?))).collect();
    let mut good: Vec<Repair> =
        all.iter().filter(|(_, r)| r.level.state() == State::Enough).map(|(_, r)| r.clone()).collect();
    // Two changes of pipes and valves are less than another pump.
    let pump = |t: &Try| t.edits.iter().any(|e| e.path == "free_flow" || e.path == "together");
    if !all.iter().any(|(t, r)| !pump(t) && r.level.state() == State::Enough) {
        let pipes: Vec<_> = all.iter().filter(|(t, _)| !pump(t)).cloned().collect();
        if let Some(r) = pair(&pipes, &of) {
            good.insert(0, r);
        }
    }
    if good.is_empty() {
        good.extend(pair(&all, &of));
    }
    if good.is_empty() {
        good.extend(anew(i, &of, w));
    }
    if good.is_empty() {
        let mut near: Vec<Repair> = all.into_iter().map(|(_, r)| r).filter(|r| mend::repairs(&r.level)).collect();
        near.sort_by(|a, b| a.level.fullness().total_cmp(&b.level.fullness()));
        near.truncate(2);
        return near;
    }
    // After those that do: those that only just do.
    good.extend(all.into_iter().map(|(_, r)| r).filter(|r| r.level.state() == State::Tight));
    good
}

/// The first pair of changes that brings 80 %.
fn pair(all: &[(&Try, Repair)], of: &impl Fn(&Try) -> Option<Repair>) -> Option<Repair> {
    all.iter().enumerate().find_map(|(n, (a, _))| {
        all[n + 1..].iter().find_map(|(b, _)| {
            if a.edits.iter().any(|x| b.edits.iter().any(|y| x.path == y.path)) {
                return None;
            }
            let edits = a.edits.iter().chain(&b.edits).cloned().collect();
            let both = Try { title: format!("{}, and {}", a.title, b.title), edits };
            of(&both).filter(|r| r.level.state() == State::Enough)
        })
    })
}

/// Pump curve, system curve, working point.
fn curves(i: &PumpIn, o: &PumpOut, w: Words) -> Chart {
    const POINTS: u32 = 40;
    let nu = water::kinematic(i.temperature);
    let (free, known, top) = (o.pumps.free_flow().value, o.pumps.known_flow().value, o.pumps.shut_off().value);
    let at = |k: u32| free * f64::from(k) / f64::from(POINTS);
    let pump: Vec<_> = (0..=POINTS).map(|k| (at(k), o.pumps.head(FLOW.of(at(k))).value)).collect();
    let ceiling = top * 1.15;
    let mut system = vec![];
    if o.usual.outlets.iter().any(|q| q.value != 0.0) {
        for k in 0..=POINTS {
            let h = network::head_asked(FLOW.of(at(k)), LENGTH.of(0.0), &o.way, nu).value;
            if h > ceiling {
                break;
            }
            system.push((at(k), h));
        }
    }
    let mut bands = vec![];
    if known < free * (1.0 - 1e-9) {
        bands.push(Band { label: "past the known points".into(), from: known, to: free, warn: true });
    }
    let (flow, head) = (o.usual.pumped, o.usual.head);
    Chart {
        title: "Pump and pipes".into(),
        describe: format!(
            "The pump's head falls from {} at no flow to none at {}; what lift and pipes ask rises with the flow. They meet at {} and {}.",
            w.q(LENGTH, o.pumps.shut_off()),
            w.q(FLOW, o.pumps.free_flow()),
            w.q(FLOW, flow),
            w.q(LENGTH, head)
        ),
        x: Axis::new("flow", FLOW.0, 0.0, free, w.system),
        y: Axis::new("head", LENGTH.0, 0.0, ceiling, w.system),
        series: vec![
            Series { name: "pump".into(), role: Role::Pipe, points: pump },
            Series { name: "lift and pipes".into(), role: Role::Water, points: system },
        ],
        marks: vec![Mark {
            label: format!("{}, {}", w.q(FLOW, flow), w.q(LENGTH, head)),
            x: flow.value,
            y: head.value,
        }],
        bands,
        brim: None,
    }
}

/// What a page shows of a result.
pub(super) fn report(i: &PumpIn, o: &PumpOut, words: Words) -> Report {
    let mut tables = vec![];
    if i.leads == Leads::Several {
        tables.push(outlets(i, o, words));
    }
    if o.usual.pumped.value > 0.0 {
        tables.push(throttled(i, o, words));
    }
    Report {
        verdict: verdict(i, o, words),
        levels: levels(i, o),
        repairs: repairs(i, o, words),
        cautions: cautions(i, o, words),
        pictures: vec![Picture::Chart(curves(i, o, words))],
        tables,
        notes: notes(i, o, words),
    }
}
