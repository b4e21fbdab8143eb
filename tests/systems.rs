//! Random whole systems: a repair brings what it says it brings and hides nothing that it puts over; what a system is said to carry it
//! carries. `BRIMWISE_CASES=10000` for a long run.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::calculators::form::*;
use brimwise::calculators::outcome::{BRIM, ENOUGH, State};
use brimwise::system::check::Day;
use brimwise::system::report::{self, Checked};
use brimwise::system::{Document, demo, flow, growing, limits, measure, worst};
use brimwise::units::{Words, listed};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::cell::Cell;

/// Changes one number in three by up to two and a half times either way inside its hard range, temperatures by up to 6 K; one choice in twelve.
struct Shake<'a> {
    draw: &'a mut dyn FnMut() -> f64,
}

impl Form for Shake<'_> {
    fn text(&mut self, _: &Text, _: &mut String) {}
    fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let (how, at) = ((self.draw)(), (self.draw)());
        if how > 0.33 {
            return;
        }
        let x = if spec.kind.id == "temperature" { *si + 12.0 * (at - 0.5) } else { *si * 2.5f64.powf(2.0 * at - 1.0) };
        *si = if spec.kind.whole { x.round() } else { x }.clamp(spec.hard[0], spec.hard[1]);
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        let (how, to) = ((self.draw)(), (self.draw)());
        if how < 0.08 {
            *at = (to * pick.options().count() as f64) as usize;
        }
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, _: &List, rows: &mut dyn Rows) {
        for i in 0..rows.count() {
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
    }
}

fn shaken(draws: &[f64]) -> Document {
    let mut d = demo::ALL[(draws[0] * demo::ALL.len() as f64) as usize].document();
    let mut i = 0;
    let mut draw = || {
        i += 1;
        // The draws are used again and again, in another order each time round.
        draws[(i * (1 + 2 * (i / draws.len()))) % draws.len()]
    };
    d.fields(&mut Shake { draw: &mut draw });
    d
}

fn each(cases: u32, test: impl Fn(&Document) -> Result<(), String>) {
    let config = |cases| Config { cases, failure_persistence: None, max_shrink_iters: 200, ..Config::default() };
    let mut runner = match std::env::var("BRIMWISE_CASES").ok().and_then(|s| s.parse().ok()) {
        Some(cases) => TestRunner::new(config(cases)),
        None => TestRunner::new_with_rng(config(cases), TestRng::deterministic_rng(RngAlgorithm::ChaCha)),
    };
    let draws = proptest::collection::vec(0.0..1.0f64, 211);
    let result = runner.run(&draws, |draws| {
        let d = shaken(&draws);
        test(&d).map_err(|e| TestCaseError::fail(format!("{e}\n{:#}", brimwise::system::json::write(&d))))
    });
    if let Err(e) = result {
        panic!("{e}");
    }
}

fn checked(d: &Document) -> Result<Vec<Checked>, String> {
    let ways = flow::ways(d).map_err(|e| format!("{e:?}"))?;
    let days = worst::solve_days(d, &ways, &Day::ALL).map_err(|e| format!("{e:?}"))?;
    Ok(worst::merge(&ways, &days))
}

fn over(all: &[Checked]) -> Vec<&Checked> {
    all.iter().filter(|l| l.level.state() == State::Over).collect()
}

#[test]
fn a_repair_brings_what_it_says_and_hides_nothing() {
    let (repairs, whole, levels, mended) = (Cell::new(0), Cell::new(0), Cell::new(0), Cell::new(0));
    let several = Cell::new(0);
    let add = |c: &Cell<usize>, n: usize| c.set(c.get() + n);
    each(256, |d| {
        let Ok(r) = report::report(d, Words::default()) else { return Ok(()) };
        let before = checked(d)?;
        if over(&before).is_empty() && !r.repairs.is_empty() {
            return Err("repairs where nothing is over".into());
        }
        add(&levels, over(&before).len());
        for l in over(&before) {
            let of =
                r.repairs.iter().filter(|t| t.repair.level.name == l.level.name && t.repair.level.id == l.level.id);
            add(&mended, usize::from(of.into_iter().any(|t| t.repair.level.fullness() <= ENOUGH + 1e-9)));
        }
        for t in &r.repairs {
            let r = &t.repair;
            let say = |what: &str| format!("“{}” {what}", r.title);
            let mut fixed = d.clone();
            if r.edits.is_empty() || !r.edits.iter().all(|e| apply(&mut fixed, e)) {
                return Err(say("edits in vain"));
            }
            let after = checked(&fixed).map_err(|e| say(&format!("breaks: {e}")))?;
            let same = |l: &&Checked| l.level.name == r.level.name && l.level.id == r.level.id;
            let brings = |l: &Checked| (l.level.fullness() - r.level.fullness()).abs() < 1e-9 || l.level == r.level;
            if !after.iter().filter(same).any(brings) {
                return Err(say(&format!("promised {}", r.level.percent())));
            }
            // What is newly over is said by name, and nothing else is.
            let new = over(&after).into_iter().filter(|l| !over(&before).iter().any(|b| b.is(l)));
            let new: Vec<_> = new.map(|l| worst::inside(&l.level.name)).collect();
            let said = r.also.as_deref().and_then(|a| a.strip_prefix("Puts over: ")).unwrap_or_default();
            let said = said.split_once(". ").map_or(said.trim_end_matches('.'), |s| s.0);
            if said != listed(&new) {
                return Err(say(&format!("says it puts over “{said}”, and puts over {new:?}")));
            }
            if t.whole != over(&after).is_empty() {
                return Err(say("does not know whether anything is left over"));
            }
            add(&repairs, 1);
            add(&whole, usize::from(t.whole));
            add(&several, usize::from(r.title.contains("; ")));
        }
        Ok(())
    });
    println!(
        "{} levels over, {} with a repair to four fifths; {} repairs, {} of several changes, {} mend all",
        levels.get(),
        mended.get(),
        repairs.get(),
        several.get(),
        whole.get()
    );
    assert!(repairs.get() > 100 && mended.get() * 10 > levels.get() * 5, "too few repairs to prove anything");
}

#[test]
fn what_is_said_of_a_system_is_finite_and_never_a_panic() {
    each(96, |d| {
        let Ok(ranked) = measure::rank(d, &|_| true) else { return Ok(()) };
        let all = limits::limits(d).map_err(|e| format!("{e:?}"))?;
        let grown = growing::growing(d).map_err(|e| format!("{e:?}"))?;
        let worst = worst::worst(d).map_err(|e| format!("{e:?}"))?;
        let w = Words::default();
        let mut said: Vec<String> = ranked.iter().map(|m| m.words(w)).collect();
        said.extend(all.iter().map(|l| l.line(d, w)).map(|l| format!("{} {}", l.value, l.text)));
        said.extend(grown.sentences(d, Words { today: Some(20_000), ..w }));
        said.extend(worst.sentences(d, w));
        for s in &said {
            if s.contains("NaN") || s.contains("inf ") || s.contains('–') {
                return Err(format!("says {s}"));
            }
        }
        for l in &all {
            for r in [&l.brim, &l.enough].into_iter().flatten() {
                if !r.at.is_finite() || r.by.as_ref().is_some_and(|b| !b.0.is_finite()) {
                    return Err(format!("{l:?}"));
                }
            }
            // With nothing over now that could be past its brim, the present value is within it.
            if let Some(b) = &l.brim
                && worst.days.iter().all(|s| s.fullest.fullness() <= BRIM)
            {
                let past = if l.what.down() { l.now < b.at - 0.1 } else { l.now > b.at * 1.01 };
                if past && l.apart.is_empty() {
                    return Err(format!("nothing is over, and yet {l:?}"));
                }
            }
        }
        Ok(())
    });
}
