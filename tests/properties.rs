//! Every calculator over its own declaration: whatever stands inside the hard ranges gives finite results or a field error, never a panic
//! and never a NaN.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::calculators::form::*;
use brimwise::calculators::outcome::{Brim, Level, Outcome, Step, Value};
use brimwise::calculators::{ALL, Sheet};
use brimwise::picture::{Picture, Shape};
use brimwise::units::{System, Words, edit_text, parse};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::cell::RefCell;
use std::collections::BTreeMap;

mod working;

/// Fills every field from a stream of fractions: numbers across their hard range (often its ends, often evenly in the logarithm), any
/// option, any number of rows.
struct Fill<'a> {
    draw: Box<dyn FnMut() -> f64 + 'a>,
}

impl Form for Fill<'_> {
    fn text(&mut self, _: &Text, value: &mut String) {
        *value = if (self.draw)() < 0.5 { String::new() } else { "Trough é <b>".into() };
    }
    fn part(&mut self, _: &Part, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn num(&mut self, spec: &Spec, si: &mut f64) {
        let [low, high] = spec.hard;
        let (how, at) = ((self.draw)(), (self.draw)());
        let x = match how {
            h if h < 0.08 => low,
            h if h < 0.16 => high,
            h if h < 0.5 && low > 0.0 => low * (high / low).powf(at),
            h if h < 0.6 => spec.advised[0].max(low),
            h if h < 0.8 => spec.advised[0].max(low) + at * (spec.advised[1].min(high) - spec.advised[0].max(low)),
            _ => low + at * (high - low),
        };
        *si = if spec.kind.whole { x.round() } else { x }.clamp(low, high);
    }
    fn choice(&mut self, pick: &Pick, at: &mut usize) {
        *at = ((self.draw)() * pick.options().count() as f64) as usize;
    }
    fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
        inner.fields(self);
    }
    fn list(&mut self, list: &List, rows: &mut dyn Rows) {
        rows.resize(((self.draw)() * (list.most as f64 + 1.0)) as usize % (list.most + 1));
        for i in 0..rows.count() {
            if let Some(row) = rows.row(i) {
                row.fields(self);
            }
        }
    }
}

fn fill(sheet: &mut dyn Sheet, draws: &[f64]) {
    let mut i = 0;
    sheet.walk(&mut Fill {
        draw: Box::new(|| {
            i += 1;
            draws[i % draws.len()]
        }),
    });
}

fn sane(o: &Outcome) -> Result<(), String> {
    for out in &o.outputs {
        match out.value {
            Value::Num(x) if !x.is_finite() => return Err(format!("{} is {x}", out.key)),
            Value::Span(a, b) if !(a.is_finite() && b.is_finite()) => return Err(format!("{} is {a} to {b}", out.key)),
            _ => {}
        }
    }
    for l in o.report.levels.iter().chain(o.report.repairs.iter().map(|r| &r.level)) {
        if !l.is_finite() {
            return Err(format!("level {l:?}"));
        }
    }
    let mut words = vec![o.report.verdict.clone()];
    words.extend(
        o.report.repairs.iter().flat_map(|r| [r.title.clone(), r.effect.clone(), r.also.clone().unwrap_or_default()]),
    );
    words.extend(o.report.cautions.iter().map(|c| c.text.clone()));
    words.extend(o.report.notes.clone());
    words.extend(o.report.tables.iter().flat_map(|t| t.rows.iter().flatten().cloned()));
    for w in &words {
        let w = w.to_ascii_lowercase();
        if w.split(|c: char| !c.is_alphanumeric()).any(|w| w == "nan" || w == "inf") {
            return Err(format!("says {w}"));
        }
    }
    if o.report.verdict.is_empty() {
        return Err("has no verdict".into());
    }
    for t in &o.report.tables {
        if t.rows.iter().any(|r| r.len() != t.head.len()) {
            return Err(format!("table {} is ragged", t.title));
        }
    }
    for p in &o.report.pictures {
        let fine = match p {
            Picture::Section(s) => {
                s.width.is_finite()
                    && s.width > 0.0
                    && s.height > 0.0
                    && !s.describe.is_empty()
                    && s.items.iter().all(|i| match &i.shape {
                        Shape::Rect { x, y, w, h } => {
                            [x, y, w, h].iter().all(|v| v.is_finite()) && *w >= 0.0 && *h >= 0.0
                        }
                        Shape::Path { points, .. } => points.iter().all(|(x, y)| x.is_finite() && y.is_finite()),
                        Shape::Circle { x, y, r } => [x, y, r].iter().all(|v| v.is_finite()),
                        Shape::Measure { x, y0, y1, .. } => [x, y0, y1].iter().all(|v| v.is_finite()),
                        Shape::Text { x, y, .. } => x.is_finite() && y.is_finite(),
                    })
            }
            Picture::Chart(c) => {
                !c.describe.is_empty()
                    && c.series.iter().all(|s| s.points.iter().all(|(x, y)| x.is_finite() && y.is_finite()))
            }
        };
        if !fine {
            return Err(format!("picture {p:?}"));
        }
    }
    for s in &o.steps {
        if !s.result.si.is_finite() || s.with.iter().any(|t| !t.si.is_finite()) {
            return Err(format!("step {s:?}"));
        }
    }
    Ok(())
}

/// A runner of 256 cases, the same on every run; with `BRIMWISE_CASES` set, of that many, new ones on every run.
fn runner() -> TestRunner {
    let config = |cases| Config { cases, failure_persistence: None, ..Config::default() };
    match std::env::var("BRIMWISE_CASES").ok().and_then(|s| s.parse().ok()) {
        Some(cases) => TestRunner::new(config(cases)),
        None => TestRunner::new_with_rng(config(256), TestRng::deterministic_rng(RngAlgorithm::ChaCha)),
    }
}

fn each(test: impl Fn(&dyn Sheet) -> Result<(), String>) {
    for entry in ALL {
        let mut runner = runner();
        let draws = proptest::collection::vec(0.0..1.0f64, 160);
        let result = runner.run(&draws, |d| {
            let mut sheet = (entry.sheet)();
            fill(&mut *sheet, &d);
            test(&*sheet).map_err(|e| {
                TestCaseError::fail(format!("{}: {e}\n{:#}", entry.id, serde_json::Value::Object(sheet.write())))
            })
        });
        if let Err(e) = result {
            panic!("{}: {e}", entry.id);
        }
    }
}

/// A calculator that is written is in the list, or nothing here asks about it.
#[test]
fn every_calculator_is_registered() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/calculators");
    let files = std::fs::read_dir(folder).expect("there").map(|f| f.expect("a file").path());
    let texts = files.filter(|f| f.is_file()).map(|f| std::fs::read_to_string(f).expect("readable"));
    let written: usize = texts.map(|t| t.matches("\nimpl Calculator for ").count()).sum();
    assert!(written > 0);
    assert_eq!(ALL.len(), written);
}

/// How often something was seen of every calculator, and that it was often enough.
#[derive(Default)]
struct Seen(RefCell<BTreeMap<&'static str, usize>>);

impl Seen {
    fn add(&self, sheet: &dyn Sheet, n: usize) {
        *self.0.borrow_mut().entry(sheet.entry().id).or_default() += n;
    }
    /// At least so often of every calculator, `but` of those that have none.
    fn enough(&self, least: usize, but: &[&str]) {
        for entry in ALL {
            let n = self.0.borrow().get(entry.id).copied().unwrap_or_default();
            let fine = if but.contains(&entry.id) { n == 0 } else { n >= least };
            assert!(fine, "{} of {}, of all {:?}", n, entry.id, self.0.borrow());
        }
    }
}

#[test]
fn whatever_is_inside_the_ranges_gives_finite_results_or_a_field_error() {
    each(|sheet| {
        for system in [System::Metric, System::Us] {
            match sheet.run(Words::from(system), true) {
                Ok(o) => sane(&o)?,
                Err(errors) if errors.is_empty() => return Err("refused without a reason".into()),
                Err(errors) => {
                    for e in errors {
                        if e.fault.is_empty() || (e.path.is_empty() && e.label.is_empty()) {
                            return Err(format!("nameless error {e:?}"));
                        }
                    }
                }
            }
        }
        Ok(())
    });
}

#[test]
fn every_input_survives_json() {
    each(|sheet| {
        let written = sheet.write();
        let mut back = (sheet.entry().sheet)();
        back.read(&written, System::Metric).map_err(|e| format!("{e:?}"))?;
        if back.write() == written { Ok(()) } else { Err("changed on the way".into()) }
    });
}

#[test]
fn defaults_are_inside_every_range_and_answer() {
    for entry in ALL {
        let sheet = (entry.sheet)();
        let o = sheet.run(Words::default(), true).unwrap_or_else(|e| panic!("{}: {e:?}", entry.id));
        sane(&o).unwrap_or_else(|e| panic!("{}: {e}", entry.id));
        assert!(!o.steps.is_empty(), "{} shows no working", entry.id);
        assert!(!o.report.pictures.is_empty(), "{} has no picture", entry.id);
        assert!(o.report.cautions.iter().all(|c| !c.text.contains("unusual")), "{} has unusual defaults", entry.id);
        assert!(entry.about.len() > 80 && entry.question.ends_with('?'), "{}", entry.id);
    }
}

/// Whoever hears a field's name without seeing its neighbours must know which it is.
#[test]
fn fields_side_by_side_have_names_of_their_own() {
    for entry in ALL {
        let mut names: Vec<(String, &str)> = vec![];
        for e in (entry.sheet)().layout() {
            let place = e.path.rsplit_once('.').map_or("", |(place, _)| place).to_string();
            if let Some(label) = e.item.label() {
                assert!(!names.contains(&(place.clone(), label)), "{}: two fields are called “{label}”", entry.id);
                names.push((place, label));
            }
        }
    }
}

/// What a field says that it accepts, typed as it is said, is accepted; and no end of a range is said to more figures than a person wants.
#[test]
fn what_is_said_to_be_accepted_is() {
    let mut ends = 0;
    for entry in ALL {
        for e in (entry.sheet)().layout() {
            let LayoutItem::Num(spec, _) = e.item else { continue };
            for system in [System::Metric, System::Us] {
                let said = spec.accepted(system);
                let unit = spec.kind.unit(system);
                let mut read = [0.0; 2];
                for (end, x) in said.split(" to ").zip(&mut read) {
                    let typed = spec
                        .read(end, unit, system)
                        .unwrap_or_else(|e| panic!("{}.{}: {end}: {e}", entry.id, spec.key));
                    assert_eq!(spec.fault(typed.si, system), None, "{}.{}: {said}", entry.id, spec.key);
                    *x = typed.si;
                    ends += 1;
                }
                // Nearly all of the range is said.
                let whole = spec.hard[1] - spec.hard[0];
                assert!(read[0] < read[1] && read[1] - read[0] > 0.85 * whole, "{}.{}: {said}", entry.id, spec.key);
            }
        }
    }
    assert!(ends > 500, "{ends}");
}

#[test]
fn keys_and_tags_are_unique_and_every_field_has_help_and_a_range() {
    #[derive(Default)]
    struct Look {
        keys: Vec<String>,
        tags: Vec<u8>,
        bad: Vec<String>,
    }
    impl Look {
        fn put(&mut self, key: &str, tag: u8) {
            self.keys.push(key.into());
            self.tags.push(tag);
        }
    }
    impl Form for Look {
        fn text(&mut self, t: &Text, _: &mut String) {
            self.put(t.key, t.tag);
        }
        fn part(&mut self, p: &Part, inner: &mut dyn Fields) {
            self.put(p.key, p.tag);
            unique(inner, p.key);
        }
        fn num(&mut self, s: &Spec, _: &mut f64) {
            self.put(s.key, s.tag);
            let usual = s.advised[0] <= s.advised[1];
            if s.help.is_empty()
                || s.label.is_empty()
                || !(s.hard[0] > f64::MIN && s.hard[1] < f64::MAX && s.hard[0] <= s.hard[1] && usual)
            {
                self.bad.push(s.key.into());
            }
        }
        fn choice(&mut self, p: &Pick, _: &mut usize) {
            self.put(p.key, p.tag);
            if p.options().count() < 2 {
                self.bad.push(p.key.into());
            }
        }
        fn group(&mut self, _: &Group, _: bool, inner: &mut dyn Fields) {
            inner.fields(self);
        }
        fn list(&mut self, l: &List, rows: &mut dyn Rows) {
            self.put(l.key, l.tag);
            rows.resize(1);
            if let Some(row) = rows.row(0) {
                unique(row, l.key);
            }
        }
    }
    fn unique(fields: &mut dyn Fields, name: &str) {
        let mut look = Look::default();
        fields.fields(&mut look);
        let (n, m) = (look.keys.len(), look.tags.len());
        look.keys.sort();
        look.keys.dedup();
        look.tags.sort();
        look.tags.dedup();
        assert_eq!((look.keys.len(), look.tags.len()), (n, m), "{name}: a key or a tag stands twice");
        assert!(look.bad.is_empty(), "{name}: no help, no range or no options: {:?}", look.bad);
    }
    for entry in ALL {
        let mut sheet = (entry.sheet)();
        unique(&mut |f: &mut dyn Form| sheet.walk(f), entry.id);
    }
}

/// Steps that name a table, a sum over rows, a root or a march instead of plain arithmetic; other tests hold what they come to.
const IN_WORDS: &[&str] = &[
    "a straight line between J 0.617 and 0.705, where it drowns",
    "alkalinity and carbon rise alike; the pH follows from both",
    "alkalinity and total carbon are mixed; the pH follows from both",
    "all of it inside the limits; none past that of oxygen, of poisonous ammonia, of nitrite with less chloride than holds it off, and of pH; of the others half past it and none past twice it",
    "by the table or the growth of this species, at this mass and temperature",
    "C_s(T, S, P), Benson & Krause eq. 24 and 32",
    "dE/dx = S_f - S upstream from max(y_c, tail), S_f = f V²/(2 g 4A/P); fittings lose K V²/2g along it",
    "E + K_e V²/2g at the critical depth in it",
    "E + K_e V²/2g, E and V of the water behind it",
    "E = 1 - 1/r(h, T)",
    "E = sum of watts × number × hours a day/24 h × 30.44 days",
    "f = 1/(1 + 10^(pKa - pH)), the larger by pKa = 0.09018 + 2729.92/T and -0.467 + 0.00113 S + 2887.9/T; below 5 g/L between",
    "f(C) = R",
    "fish whose after-meal breath, with filter and solids, equals f(C_min), cautious end",
    "from the catalogue of settlers",
    "growth at the best feed per gain",
    "H = H1(Q) + H2(Q)",
    "H on straight lines between the rows",
    "H where both curves together meet the pipes",
    "L as measured",
    "L: higher of inlet and outlet control",
    "L: higher of weir and mouth over the rim, or what backs up to it",
    "L: level in the vented tee, and the loss of the rising pipe",
    "log10 m = -0.999 - 0.000957 W + 6.0e-7 W² + 0.0327 T - 8.7e-6 T² + 3.0e-7 W T (g, °C), g/kg/h, just fed",
    "m = (1.25 r NO2 - Cl past 30 mg/L) V/0.6066 where Cl is less than r NO2, NO2 = 3.28 NO2-N, rounded up, 5 g/L of salt at most",
    "m = 2014.45 + 2.75 W - 165.2 T + 0.007 W² + 3.93 T² - 0.21 W T (g, °C), mg/kg/h",
    "m = K T^a W^b (°F, lb), lb a day for 100 lb",
    "m = max(0.25 × feed, regression, routine)",
    "M = max(0.25 × feed, regression, routine) × kilograms",
    "m c dT/dt = -losses, bare walls, to where this fish dies",
    "m c dT/dt = -Q(T)",
    "none where it is shut, or H lower than z",
    "not counted on while it is new",
    "nothing: no dose was gone in a day",
    "nothing: these fish do not feed in water of this temperature",
    "q = 0.6 ∫ √(2 g (h - z)) b(z) dz",
    "Q = Q1(H) + Q2(H)",
    "q² T = g A³",
    "r = 0.5 table(T) min(1, TAN/1.0)/1.216, less below pH 6.5",
    "r from the tables for this species, size and temperature; in hot water the most on the way there",
    "Re = 4 q/(π D ν(T))",
    "root of z_sump(Q) + H_pump(Q) = loss(Q) + z_out(Q), z_sump = z0 − (ΣA L(Q) + pipes)/A_s",
    "root of z_sump(Q) + H_pump(Q) = loss(Q) + z_out(Q), z_sump = z0 − (ΣA L(Q) + ΣA_k d(Q) + pipes)/(A_s + ΣA_k)",
    "s = w(0.2 mm, 1120 kg/m³, T)/w(0.2 mm, 1120 kg/m³, 14 °C)",
    "TAN times its share in salt water, as on the page of ammonia",
    "the flow at which the level is the rim less what is kept dry, times n",
    "the flow at which z + V²/2g reaches the top of the vent, times n",
    "the pH of what alkalinity is left, at today's carbon dioxide",
    "the same sums, every lift higher by the fall",
    "V dC/dt = G_s (C_s - C) - R",
    "V dC/dt = K A (C* - C) - high",
    "w(d) = R g d^2/(18 nu + sqrt(0.75 R g d^3)) = v",
    "what a filter keeps of its rate below pH 6.5, half at the least down to pH 6, and none below",
    "what alkalinity, with 3.57 of it for each of the ammonia, holds beside 1.5 mg/L of carbon dioxide, 8 at the least",
    "what pH and alkalinity leave free of carbonic acid",
    "what the pipes ask, past an end of the curve",
    "what the run backs up over the rim, by the full pipe or the drowned weir",
    "ΔL = (Σ A L(Q) + pipes)/A_s",
    "ΔL = (Σ A L(Q) + Σ A_k d(Q) + pipes)/(A_s + Σ A_k), the pipes' ends under water",
    "ΣV_f = Σ area × gaps × (flooded − drained)",
    "nothing in its first days, then grown from the feed whose ammonia the water bears alone, by the same share every week",
];

/// A person with a calculator gets what the page prints: from what stands in the step, and above it.
#[test]
fn the_numbers_shown_give_the_result_shown() {
    let seen = Seen::default();
    each(|sheet| {
        let Ok(o) = sheet.run(Words::default(), true) else { return Ok(()) };
        seen.add(sheet, 1);
        // What a pump barely moves is found to within a head, which is more than such a trickle needs.
        let trickle = |s: &Step| {
            s.with.iter().any(|m| m.symbol == "Qm" && s.with.iter().any(|q| q.symbol == "Q" && q.si < 0.01 * m.si))
        };
        if o.steps.first().is_some_and(trickle) {
            return Ok(());
        }
        // Heads are found to a hundredth of a nanometre, which in a wide stub moves much of what a small pump sends: where there is hardly more
        // head than that, and in nets, which `networks.rs` holds.
        let net = sheet.value_at("leads") == Some(EditValue::Option("several".into()));
        for (n, step) in o.steps.iter().enumerate().filter(|(_, s)| !IN_WORDS.contains(&s.equation)) {
            if step.result.symbol == "H" && (net || step.result.si < 1e-6) {
                continue;
            }
            let (is, again) = (step.result.si, working::again(step, &o.steps[..n])?);
            // What heads are off is at a trickle a little of what a pump pushes at most.
            let found = if step.result.symbol == "H" { 0.01 * step.with[0].si } else { 1e-12 };
            // Figures of an equation are rounded: 0.596 for 0.5957.
            if again.is_nan() || (again - is).abs() > 2e-3 * is.abs() + found {
                let with: Vec<_> = step.with.iter().map(|t| (t.symbol, t.si)).collect();
                return Err(format!("{}: {} with {with:?} is {is}, not {again}", step.name, step.equation));
            }
        }
        Ok(())
    });
    seen.enough(32, &[]);
}

#[test]
fn repairs_do_what_they_say() {
    let seen = Seen::default();
    each(|sheet| {
        let Ok(o) = sheet.run(Words::default(), false) else { return Ok(()) };
        seen.add(sheet, o.report.repairs.iter().filter(|r| !r.edits.is_empty()).count());
        for r in &o.report.repairs {
            if r.edits.is_empty() {
                continue;
            }
            let mut fixed = sheet.copy();
            for e in &r.edits {
                if !fixed.apply(e) {
                    return Err(format!("repair “{}” edits {} in vain", r.title, e.path));
                }
            }
            let after =
                fixed.run(Words::default(), false).map_err(|e| format!("repair “{}” breaks: {e:?}", r.title))?;
            let level = after.report.levels.iter().find(|l| l.id == r.level.id).ok_or("the level is gone")?;
            let (said, is) = (r.level.fullness(), level.fullness());
            if (said - is).abs() > 0.02 * said.abs().max(0.02) && said.is_finite() {
                return Err(format!("repair “{}” promised {said}, gave {is}", r.title));
            }
        }
        Ok(())
    });
    // What a system costs is no fault to mend.
    seen.enough(5, &["running"]);
}

proptest! {
    #![proptest_config(Config { cases: 512, failure_persistence: None, ..Config::default() })]

    #[test]
    fn units_round_trip(x in -1e6..1e6f64, k in 0usize..60, us in any::<bool>()) {
        let all = brimwise::units::kinds::all();
        let kind = all[k % all.len()];
        let system = if us { System::Us } else { System::Metric };
        let unit = kind.unit(system);
        let si = unit.to_si(x);
        let back = parse(&edit_text(kind, si, system), kind, system).map(|p| p.si).map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert!((unit.of_si(back) - x).abs() <= 1e-5 * x.abs().max(1e-6), "{x} {} -> {back}", unit.symbol);
    }

    #[test]
    fn the_parser_never_panics(s in "\\PC{0,80}", k in 0usize..60) {
        let all = brimwise::units::kinds::all();
        if let Ok(p) = parse(&s, all[k % all.len()], System::Metric) {
            prop_assert!(p.si.is_finite());
        }
    }
}

/// Two runs that differ in one field: the load of the main level must not rise.
fn never_fuller(id: &str, first: impl Fn(&mut dyn Sheet) -> bool, edit: impl Fn(&mut dyn Sheet, &[f64]) -> bool) {
    let entry = brimwise::calculators::by_id(id).unwrap_or_else(|| panic!("{id}"));
    let mut runner = runner();
    let draws = proptest::collection::vec(0.0..1.0f64, 160);
    let result = runner.run(&draws, |d| {
        let mut sheet = (entry.sheet)();
        fill(&mut *sheet, &d);
        prop_assert!(first(&mut *sheet));
        let mut better = sheet.copy();
        if !edit(&mut *better, &d) {
            return Ok(());
        }
        // Flows below a litre an hour are held back by surface tension, which no calculator here models.
        let trickle = |l: &Level| l.kind.id == "flow" && matches!(l.brim, Brim::Upper(c) if c.low < 1e-3 / 3600.0);
        // Nor is gas past saturation what is asked: fish breathe some of it.
        let asked = |l: &Level| !trickle(l) && l.id != "gas";
        let load = |s: &dyn Sheet| s.level().ok().flatten().filter(asked).map(|l| l.fullness());
        if let (Some(before), Some(after)) = (load(&*sheet), load(&*better)) {
            // A capacity is found to within 0.0008 of itself, and there are two of them.
            let slack = 2e-3 * before.abs().max(1e-6);
            prop_assert!(
                after <= before + slack || after.is_infinite() && before.is_infinite(),
                "{before} rose to {after}: {:#}",
                serde_json::Value::Object(sheet.write())
            );
        }
        Ok(())
    });
    if let Err(e) = result {
        panic!("{id}: {e}");
    }
}

fn scale(sheet: &mut dyn Sheet, path: &str, by: f64) -> bool {
    match sheet.value_at(path) {
        Some(EditValue::Si(x)) => sheet.apply(&Edit { path: path.into(), to: EditValue::Si(x * by) }),
        _ => false,
    }
}

#[test]
fn more_pipe_never_carries_less() {
    never_fuller(
        "drain",
        |s| s.apply(&Edit::pick("pipe", "other")) && s.apply(&Edit::pick("screen", "none")),
        |s, d| scale(s, "bore", 1.0 + d[0]),
    );
}

#[test]
fn less_flow_never_fills_a_drain_more() {
    never_fuller("drain", |_| true, |s, d| scale(s, "flow", 0.3 + 0.7 * d[0]));
}

#[test]
fn fewer_fish_never_leave_less_oxygen() {
    never_fuller(
        "oxygen",
        |s| {
            // Weighed feed stays the same with fewer fish, and a reading at dawn is of the fish that are there.
            let fed = s.apply(&Edit::pick("feed_by", "table")) && s.apply(&Edit::pick("reading", "none"));
            // Water that kills leads, whatever the oxygen: all of them live at 20 °C without salt.
            let deadly =
                s.level().ok().flatten().is_some_and(|l| l.name.ends_with("temperature") || l.name.starts_with("Salt"));
            let mild = [("temperature", 293.15), ("salinity", 0.0)]
                .map(|(path, to)| Edit { path: path.into(), to: EditValue::Si(to) });
            fed && (!deadly || mild.iter().all(|e| s.apply(e)))
        },
        |s, d| {
            let rows = match s.value_at("fish") {
                Some(EditValue::Rows(n)) => n,
                _ => 0,
            };
            let by = d[0];
            (0..rows).all(|i| scale(s, &format!("fish.{i}.biomass"), by))
                && (0..rows).all(|i| match s.value_at(&format!("fish.{i}.count")) {
                    Some(EditValue::Si(n)) => {
                        s.apply(&Edit { path: format!("fish.{i}.count"), to: EditValue::Si((n * by).floor()) })
                    }
                    _ => false,
                })
        },
    );
}
