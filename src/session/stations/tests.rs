use super::*;
use crate::calculators::outcome::State;
use crate::system::{check, demo, report};
use crate::units::Words;

fn whole(work: &Work) {
    let d = work.system().expect("a system");
    flow::ways(d).unwrap_or_else(|e| panic!("{e:?} in {:?}", d.edges));
    report::report(d, Words::default()).unwrap_or_else(|e| panic!("{e:?}"));
}

fn all() -> Vec<Work> {
    let demos = demo::ALL.iter().map(|d| Work::new(Paper::system(d.document())));
    demos.chain([starter("New", System::Metric)]).collect()
}

#[test]
fn a_new_system_is_whole_and_assumed() {
    for system in [System::Metric, System::Us] {
        let w = starter("New", system);
        whole(&w);
        assert!(w.touched.is_empty());
        let r = report::report(w.system().expect("system"), system.into()).expect("checks");
        // Rounding makes fish a little heavier and their water a little less.
        let most = if system == System::Metric { State::Enough } else { State::Tight };
        assert!(r.state() <= most, "{}", r.verdict);
    }
}

#[test]
fn new_systems_have_names_of_their_own() {
    let taken = ["My system", "My system 3"].map(String::from);
    assert_eq!((new_name(&[]), new_name(&taken)), ("My system".to_string(), "My system 2".to_string()));
}

#[test]
fn stations_come_and_go_and_the_water_still_runs() {
    for start in all() {
        for kind in [StationKind::Tank, StationKind::Settler, StationKind::Bed] {
            let once = add(&start, kind).expect("room");
            whole(&once);
            let twice = add(&once, kind).expect("room");
            whole(&twice);
            let d = twice.system().expect("system");
            let ids: Vec<String> = d.stations().iter().filter(|s| s.kind == kind).map(|s| s.id.into()).collect();
            assert_eq!(ids.len(), rows_of(start.system().expect("system"), kind) + 2);
            let mut left = twice.clone();
            for id in ids {
                if let Some(w) = remove(&left, &id) {
                    whole(&w);
                    left = w;
                }
            }
            let expected = usize::from(kind == StationKind::Tank);
            assert_eq!(rows_of(left.system().expect("system"), kind), expected);
            whole(&add(&left, kind).expect("room"));
        }
        for kind in [StationKind::Pump, StationKind::Sump] {
            let more = add(&start, kind).expect("room");
            whole(&more);
            let d = more.system().expect("system");
            let id = d.stations().iter().rfind(|s| s.kind == kind).map(|s| s.id.to_string()).expect("there");
            whole(&remove(&more, &id).expect("goes again"));
        }
    }
}

/// A settler stands before all the beds that those before it led to, and a tank comes without fish.
#[test]
fn what_is_put_in_takes_nothing_away() {
    let two = add(&starter("New", System::Metric), StationKind::Bed).expect("room");
    let more = add(&two, StationKind::Settler).expect("room");
    whole(&more);
    let out = |id: &str| ways_out(more.system().expect("system"), id).into_iter().map(|o| o.1).collect::<Vec<_>>();
    assert_eq!(
        (out("settler"), out("settler2")),
        (vec!["Settler 2".to_string()], vec!["Grow bed".to_string(), "Grow bed 2".to_string()])
    );
    let said = put_in(&more, StationKind::Settler).expect("a station");
    assert!(said.starts_with("Settler 2 stands between Settler and Grow bed and Grow bed 2."), "{said}");
    let tank = add(&two, StationKind::Tank).expect("room");
    whole(&tank);
    let d = tank.system().expect("system");
    assert!(d.tanks[1].fish() == 0.0 && d.tanks[0].fish() > 0.0);
}

fn said(w: &Work) -> report::Report {
    report::report(w.system().expect("system"), Words::default()).expect("checks")
}
fn after(w: &Work, edits: &[Edit]) -> Work {
    let mut w = w.clone();
    edits.iter().for_each(|e| assert!(w.apply(e), "{e:?}"));
    w
}

/// A filter that is not ripe wants time and fewer fish; none are starved for it.
#[test]
fn a_young_filter_is_ripened_and_no_fish_are_starved() {
    let w = after(&starter("New", System::Metric), &[Edit::rows("ammonia", 1)]);
    // Fish that are in, with ammonia in their water, do not live to see it ripe: what they are fed until then comes first.
    let read = &said(&w).repairs[0].repair;
    assert!(read.title.starts_with("Feed ") && read.title.contains(" for now, with a third of the water"), "{read:?}");
    // Where nobody has read the water they are still to come.
    let none = |key: &str| Edit::num(format!("ammonia.0.{key}"), crate::units::kinds::CONCENTRATION.of(0.0));
    let w = after(&w, &[none("tan"), none("nitrite"), Edit::pick("ammonia.0.test_read", "no")]);
    for w in [add(&w, StationKind::Bed).expect("room"), w] {
        let r = said(&w);
        assert!(r.verdict.contains("of ammonia nitrogen, and the biofilter takes"), "{}", r.verdict);
        assert!(r.repairs[0].repair.title.starts_with("Ripen the filter first and stock in steps"), "{r:#?}");
        // It says to wait until it is ripe, not for the first day on which something is counted of it; and that day changes next to nothing.
        let days = |x| crate::units::kinds::DAYS.of(crate::units::si::days(x));
        let ripe = Edit::num("water.filter_age", days(56.0));
        assert!(r.repairs[0].repair.edits.contains(&ripe), "{:?}", r.repairs[0].repair.edits);
        let load = |age: f64| {
            let aged = said(&after(&w, &[Edit::num("water.filter_age", days(age))]));
            aged.levels.iter().find(|l| l.level.id == "filter").map_or(0.0, |l| l.level.fullness())
        };
        assert!(load(14.1) > 0.9 * load(13.9), "{} to {}", load(13.9), load(14.1));
        for t in &r.repairs {
            let repair = &t.repair;
            assert!(repair.level.state() != State::Over, "{repair:?}");
            let d = after(&w, &repair.edits);
            let o = &said(&d).levels;
            assert!(o.iter().any(|l| l.level.name == repair.level.name), "{repair:?}");
            let fed = |w: &Work| {
                let d = w.system().expect("system");
                crate::system::check::solve(d, crate::system::check::Day::Today).expect("solves").feed.value
                    / d.tanks[0].fish()
            };
            assert!(fed(&d) > 0.4 * fed(&w), "{repair:?}");
        }
    }
}

/// A pump sends no more than it can, whatever its branches are set to, and all is checked at that.
#[test]
fn a_pump_sends_no_more_than_it_can() {
    let two = add(&starter("New", System::Metric), StationKind::Tank).expect("room");
    let weak = after(&two, &[Edit::num("pumps.0.most", FLOW.of(l_h(800.0)))]);
    let r = said(&weak);
    let flow = |to: &str| {
        let d = weak.system().expect("system");
        r.flows[d.edges.iter().position(|e| e.from == "pump" && e.to == to).expect("there")].value / l_h(1.0)
    };
    assert!((flow("tank") - 800.0 * 1300.0 / 1900.0).abs() < 1e-6, "{}", flow("tank"));
    assert!((flow("tank2") - 800.0 * 600.0 / 1900.0).abs() < 1e-6);
    let of = |name: &str| r.levels.iter().find(|l| l.level.name == name).expect("there").level.fullness();
    assert!((of("Flow asked of Pump") - 1900.0 / 800.0).abs() < 1e-9);
    assert!((of("Turnover of Fish tank") - 1000.0 / flow("tank")).abs() < 1e-9);
    let line = &r.stations.iter().find(|s| s.id == "pump").expect("a pump").line;
    assert!(line.contains("is set to send 1\u{202f}900\u{202f}L/h and can send 800\u{202f}L/h"), "{line}");
}

/// Beds share the feed, so one alone cannot be sized for it.
#[test]
fn beds_are_sized_together() {
    let r = said(&add(&starter("New", System::Metric), StationKind::Bed).expect("room"));
    assert!(r.repairs[0].whole && r.repairs[0].repair.title.starts_with("In all beds: plant area "), "{r:#?}");
    // More fish are a repair only where nothing else is over with them.
    assert!(r.repairs.iter().filter(|t| t.repair.title.starts_with("Fish tank: ")).all(|t| t.whole), "{r:#?}");
    assert!(!r.repairs.iter().any(|t| t.repair.title.contains("channel")), "the medium is the filter");
    assert!(r.chain[0].text.contains("\u{202f}m², allowed "), "{}", r.chain[0].text);
}

/// The verdict and the first link speak of one level, and the chain is that of one cause.
#[test]
fn one_subject_and_one_cause() {
    for start in all() {
        let weak = after(&start, &[Edit::num("tanks.0.oxygen.air_flow", AIR_FLOW.of(l_min(5.0)))]);
        for w in [add(&weak, StationKind::Tank).expect("room"), add(&weak, StationKind::Pump).expect("room"), weak] {
            let r = said(&w);
            assert!(r.chain.len() <= 4, "{:#?}", r.chain);
            let Some(first) = r.subject.map(|k| &r.levels[k]) else { continue };
            if first.level.state() == State::Over {
                assert!(r.chain[0].head.starts_with(first.level.name.as_ref()), "{:#?}", r.chain);
                // By the level's name, or in the same sentence.
                let name = first.level.name.replace("Outlet of", "The outlet of");
                let alike = r.verdict.chars().zip(r.chain[0].text.chars()).take_while(|(a, b)| a == b).count();
                assert!(r.verdict.starts_with(&name) || alike > 20, "{}: {name}", r.verdict);
            } else {
                assert!(r.chain.is_empty());
            }
        }
    }
}

/// Readings that nobody has taken are no passed check; 0 and 0 that somebody typed are.
#[test]
fn readings_that_nobody_took_are_not_checked() {
    let ripe = [
        Edit::rows("ammonia", 1),
        Edit::num("water.filter_age", crate::units::kinds::DAYS.of(crate::units::si::days(200.0))),
    ];
    let w = after(&starter("New", System::Metric), &ripe);
    let of = |w: &Work| said(w).levels.iter().any(|l| matches!(l.level.id.as_ref(), "tan" | "nitrite" | "unionised"));
    let none = crate::units::kinds::CONCENTRATION.of(0.0);
    let zero = after(&w, &[Edit::num("ammonia.0.tan", none), Edit::num("ammonia.0.nitrite", none)]);
    let unread = after(&zero, &[Edit::pick("ammonia.0.test_read", "no")]);
    assert!(of(&w) && of(&zero) && !of(&unread));
    let tells = |w: &Work| said(w).verdict.contains("the readings of a water test");
    assert!(!tells(&zero) && tells(&unread), "{}", said(&unread).verdict);
    // The question stands there as long as it is one, and the 0 typed once more answers it.
    let asked = |w: &Work| w.values().contains_key("ammonia.0.test_read");
    assert_eq!([&w, &zero, &unread].map(asked), [false, true, true]);
    let again = after(&unread, &[Edit::num("ammonia.0.nitrite", none)]);
    assert!(of(&again) && !again.assumed("ammonia.0.test_read"));
}

#[test]
fn water_is_led_where_it_can_run() {
    let w = add(&starter("New", System::Metric), StationKind::Bed).expect("room");
    let d = w.system().expect("system");
    assert_eq!(ways_out(d, "tank"), [(2, "Settler".to_string())]);
    let open: Vec<_> = open_to(d, "tank").into_iter().map(|o| o.0).collect();
    assert_eq!(open, ["sump", "pump", "bed", "bed2"]);
    // Beside the settler straight to a bed, and that way taken out again.
    let more = lead(&w, "tank", "bed").expect("runs");
    whole(&more);
    let k = ways_out(more.system().expect("system"), "tank")[1].0;
    assert_eq!(ways_out(cut(&more, k).expect("runs").system().expect("system"), "tank").len(), 1);
    // In a circle without a pump it does not run, nor without any way out.
    assert!(lead(&w, "bed", "settler").expect_err("a loop").contains("loop"));
    assert!(cut(&w, 2).expect_err("no way out").contains("no water leaves it"));
}

/// A tank beside others whose flow is worked out from pipes is sent water through such a pipe too, and the others keep theirs.
#[test]
fn a_new_branch_stops_no_other() {
    let start = Work::new(Paper::system(demo::by_id("enlarged").expect("there").document()));
    let flows = |w: &Work| check::solve(w.system().expect("system"), check::Day::Today).expect("solves").flows.edges;
    let sent = |w: &Work, to: &str| {
        let k = w.system().expect("system").edges.iter().position(|e| e.from == "pump" && e.to == to);
        flows(w)[k.expect("a branch")]
    };
    let first = sent(&start, "trough");
    let bed = start.system().expect("system").beds[0].id.clone();
    let more = add(&start, StationKind::Tank).expect("room");
    assert!(!put_in(&more, StationKind::Tank).expect("said").contains("by hand"));
    // Where one pipe more gets nothing, all are set by hand, to what they got, and there may be as many as a system takes.
    let mut many = more;
    for n in 3..9 {
        let (before, worked) = (flows(&many), many.system().is_some_and(|d| d.described(&d.pumps[0])));
        let next = add(&many, StationKind::Tank).expect("room");
        whole(&next);
        let d = next.system().expect("system");
        let pumped = || (0..before.len()).filter(|&k| worked && d.leaves_pump(k) && !d.described(&d.pumps[0]));
        assert!(pumped().all(|k| (d.edges[k].flow.value / before[k] - 1.0).abs() < 0.01), "{n}: {before:?}");
        let said = put_in(&next, StationKind::Tank).expect("said");
        assert_eq!(said.contains("by hand"), !d.described(&d.pumps[0]), "{said}");
        many = next;
    }
    assert!(!many.system().is_some_and(|d| d.described(&d.pumps[0])));
    for more in [add(&start, StationKind::Tank).expect("room"), lead(&start, "pump", &bed).expect("runs")] {
        let d = more.system().expect("system");
        assert!(d.described(&d.pumps[0]));
        for (e, q) in d.edges.iter().zip(flows(&more)) {
            assert!(e.from != "pump" || q > 0.1 * first, "{}: {q}", e.to);
        }
    }
    // The pipe of a branch taken away, its flow stays, and so do the others'; and what counts can be set.
    let k = start.system().expect("system").edges.iter().position(|e| e.to == "trough").expect("a branch");
    let asked = |w: &Work, k: usize| w.layout().iter().any(|e| e.path == format!("edges.{k}.flow"));
    assert!(!asked(&start, k) && !asked(&start, k + 1));
    let edit = Edit { path: format!("edges.{k}.run"), to: EditValue::Remove(0) };
    let after = unpiped(&start, &edit).expect("taken away");
    let d = after.system().expect("system");
    assert!(d.edges[k].run.is_empty());
    for (e, (a, b)) in d.edges.iter().zip(flows(&start).into_iter().zip(flows(&after))) {
        assert!((a - b).abs() <= 1e-3 * a, "{}: {a} {b}", e.to);
    }
    for k in (0..d.edges.len()).filter(|&k| d.leaves_pump(k)) {
        assert!(asked(&after, k), "{k}");
    }
    assert!(unpiped(&start, &Edit::rows("edges.1.run", 1)).is_none());
}

/// What a pump sent through a station that is taken out it sends on, through its pipe.
#[test]
fn a_pump_goes_on_sending_what_it_sent() {
    let mut w = starter("New", System::Metric);
    // A bed on a branch of its own, and a second tank in a row with the first.
    w = lead(&add(&w, StationKind::Bed).expect("room"), "pump", "bed2").expect("runs");
    let at = |w: &Work, from: &str, to: &str| {
        w.system().expect("system").edges.iter().position(|e| e.from == from && e.to == to).expect("a way")
    };
    let k = at(&w, "pump", "bed2");
    w.apply(&Edit::num(format!("edges.{k}.flow"), FLOW.of(l_h(250.0))));
    w.apply(&Edit::rows(format!("edges.{k}.run"), 1));
    let gone = remove(&w, "bed2").expect("goes");
    whole(&gone);
    let k = at(&gone, "pump", "sump");
    let e = &gone.system().expect("system").edges[k];
    assert!((e.flow.value - l_h(250.0)).abs() < 1e-12 && e.run.len() == 1);
    assert!(!gone.assumed(&format!("edges.{k}.flow")));
    let row = add(&starter("New", System::Metric), StationKind::Tank).expect("room");
    let row = lead(&row, "tank2", "tank").expect("runs");
    let row = cut(&row, at(&row, "tank2", "settler")).expect("runs");
    let row = cut(&row, at(&row, "pump", "tank")).expect("runs");
    for id in ["tank", "tank2"] {
        whole(&remove(&row, id).unwrap_or_else(|| panic!("{id} stays")));
    }
}

/// What was measured at a station, and paid for it, goes with it and is not of the next one.
#[test]
fn notes_go_with_their_station() {
    let mut w = add(&starter("New", System::Metric), StationKind::Tank).expect("room");
    let d = w.system().expect("system").clone();
    let notes = [("bucket pump tank2", 30.0), ("fill tank2", 0.8), ("fill tank", 0.9)];
    let mut edits = d.notes.price("tank tank2", Some(90.0));
    for (i, (key, read)) in notes.iter().enumerate() {
        edits.push(Edit::rows("notes.readings", i + 1));
        edits.push(Edit { path: format!("notes.readings.{i}.test"), to: EditValue::Text((*key).into()) });
        edits.push(Edit { path: format!("notes.readings.{i}.read"), to: EditValue::Si(*read) });
    }
    edits.iter().for_each(|e| assert!(w.apply(e), "{e:?}"));
    let left = remove(&w, "tank2").expect("goes");
    let notes = &left.system().expect("system").notes;
    assert!(notes.prices.is_empty() && notes.readings.len() == 1 && notes.readings[0].test == "fill tank");
    assert!(left.touched.contains("notes.readings.0.read") && !left.touched.contains("notes.readings.1.read"));
}

#[test]
fn the_lists_end_somewhere() {
    let mut w = starter("New", System::Metric);
    let mut n = 0;
    while let Some(more) = add(&w, StationKind::Tank) {
        w = more;
        n += 1;
        assert!(n < 100);
    }
    whole(&w);
}

#[test]
fn what_was_touched_stays_with_its_station() {
    let mut w = add(&starter("New", System::Metric), StationKind::Tank).expect("room");
    w.apply(&Edit { path: "tanks.1.harvest".into(), to: EditValue::Si(0.4) });
    let first = w.system().expect("system").tanks[0].id.clone();
    let left = remove(&w, &first).expect("goes");
    assert!(left.touched.contains("tanks.0.harvest"));
    assert!(remove(&left, &left.system().expect("system").tanks[0].id).is_none(), "the last tank stays");
}
