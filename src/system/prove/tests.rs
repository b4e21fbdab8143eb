use super::*;
use crate::system::demo;
use crate::units::si::*;

fn courtyard() -> Document {
    demo::by_id("courtyard").expect("there").document()
}
fn of(d: &Document, key: &str) -> Proof {
    let all = proofs(d, Words::default()).expect("a list").proofs;
    all.iter().find(|p| p.key == key).cloned().unwrap_or_else(|| panic!("no {key} in {all:#?}"))
}
fn after(d: &Document, key: &str, read: f64) -> Document {
    let mut d = d.clone();
    for e in take(&d.clone(), key, read).expect("a reading") {
        assert!(form::apply(&mut d, &e), "{e:?}");
    }
    assert!(form::check(&mut d, System::Metric).is_empty());
    d
}

/// On a branch whose flow is worked out the bucket sets what its pipe loses: pipe, height and curve stay, and so does what was read before.
#[test]
fn a_bucket_takes_the_place_of_a_solved_flow() {
    let d = demo::by_id("enlarged").expect("there").document();
    let flows = |d: &Document| sent(d).expect("runs");
    let seconds = |d: &Document, q: f64| d.notes.bucket.value / q;
    let before = flows(&d);
    let at = |to: &str| d.edges.iter().position(|e| e.from == "pump" && e.to == to).expect("a branch");
    let (k, other) = (at("trough"), at("new"));
    let one = after(&d, "bucket pump trough", seconds(&d, 0.9 * before[k]));
    let now = flows(&one);
    assert!((now[k] / before[k] - 0.9).abs() < 2e-3, "{before:?} {now:?}");
    // What does not leave here leaves there, at more head.
    assert!(now[other] > before[other] && now[other] < before[other] + 0.1 * before[k], "{before:?} {now:?}");
    let run = |d: &Document, k: usize| d.edges[k].run[0].0.clone();
    let as_described =
        |d: &Document| [k, other].map(|k| Branch { losses: RATIO.of(0.0), open: PERCENT.of(1.0), ..run(d, k) });
    assert_eq!((as_described(&one), &one.pumps), (as_described(&d), &d.pumps));
    assert!(!of(&one, "bucket pump trough").told.contains("as described"));
    // The neighbour read too, both are as read.
    let two = after(&one, "bucket pump new", seconds(&d, 0.8 * before[other]));
    let now = flows(&two);
    assert!((now[k] / before[k] - 0.9).abs() < 4e-3, "{before:?} {now:?}");
    assert!((now[other] / before[other] - 0.8).abs() < 4e-3, "{before:?} {now:?}");
    // Read again as it was first, the losses are gone again as far as they were put there.
    let again = after(&one, "bucket pump trough", seconds(&d, 0.995 * before[k]));
    let k_of = |d: &Document| run(d, k).losses.value - run(d, k).open.value;
    assert!(k_of(&again) < k_of(&one) && (flows(&again)[k] / before[k] - 0.995).abs() < 2e-3);
}

/// A valve is opened or shut by a reading, before anything else is lost in the pipe.
#[test]
fn a_bucket_finds_how_far_a_valve_is_open() {
    let mut d = demo::by_id("enlarged").expect("there").document();
    let k = d.edges.iter().position(|e| e.from == "pump" && e.to == "trough").expect("a branch");
    (d.edges[k].run[0].0.valve, d.edges[k].run[0].0.open) = (Valve::Gate, PERCENT.of(0.5));
    let half = sent(&d).expect("runs")[k];
    for share in [0.6, 1.1] {
        let read = after(&d, "bucket pump trough", d.notes.bucket.value / (share * half));
        let (was, is) = (&d.edges[k].run[0].0, &read.edges[k].run[0].0);
        assert!((sent(&read).expect("runs")[k] / half / share - 1.0).abs() < 2e-3);
        assert!(is.losses == was.losses && (is.open < was.open) == (share < 1.0), "{is:?}");
    }
}

/// What the pump cannot have sent through such a pipe changes nothing, and it is said.
#[test]
fn a_bucket_that_nothing_explains_is_noted() {
    let d = demo::by_id("enlarged").expect("there").document();
    let k = d.edges.iter().position(|e| e.from == "pump" && e.to == "trough").expect("a branch");
    let q = sent(&d).expect("runs")[k];
    for share in [3.0, 0.001] {
        let noted = after(&d, "bucket pump trough", d.notes.bucket.value / (share * q));
        assert_eq!(noted.edges, d.edges);
        let p = of(&noted, "bucket pump trough");
        assert!(p.read.is_some() && p.told.contains("Pump and pipe as described send "), "{p:#?}");
    }
}

/// The least that is predicted for dawn is what a reading stands against.
#[test]
fn dawn_is_told_by_what_was_said_before() {
    let d = courtyard();
    let p = of(&d, "dawn trough");
    let least = p.expect.expect("a range")[0];
    let shown = show(CONCENTRATION.0, least, System::Metric);
    assert_eq!(p.predicted, format!("{shown} or more"));
    let told = |read: f64| of(&after(&d, "dawn trough", read), "dawn trough").told;
    assert!(
        told(0.9 * least).ends_with(&format!("predicted was {shown} or more: 10{THIN}% less.")),
        "{}",
        told(0.9 * least)
    );
    assert!(told(1.1 * least).ends_with("or more: as predicted."), "{}", told(1.1 * least));
}

#[test]
fn a_bucket_sets_the_flow() {
    let d = courtyard();
    // 1300 L/h fill 10 L in 27.7 s.
    let p = of(&d, "bucket pump trough");
    let [low, high] = p.expect.expect("a range");
    assert!(low < 27.69 && high > 27.69 && low > 22.0 && high < 33.0, "{p:#?}");
    let slower = after(&d, "bucket pump trough", 36.0);
    assert!((slower.edges[1].flow.value - l_h(1000.0)).abs() < 1e-9);
    let p = of(&slower, "bucket pump trough");
    assert_eq!(p.read, Some(36.0));
    assert!(p.told.starts_with("Measured 36\u{202f}s; predicted was 27.7\u{202f}s: 30\u{202f}% more."), "{}", p.told);
    // Taken again, it stands against the first prediction and the note is one.
    let again = after(&slower, "bucket pump trough", 30.0);
    assert_eq!(again.notes.readings.len(), 1);
    assert!((again.notes.readings[0].predicted.value - 27.69).abs() < 0.01);
}

#[test]
fn a_high_level_is_explained_by_a_narrow_place() {
    let d = courtyard();
    let p = of(&d, "level trough");
    let [low, high] = p.expect.expect("a range");
    assert!(0.0 < low && low <= high && high < 0.14, "{p:#?}");
    let narrow = after(&d, "level trough", low - 0.02);
    assert!(narrow.tanks[0].outlet.narrow.yes() && narrow.tanks[0].outlet.narrow_bore < d.tanks[0].outlet.pipe_bore());
    // The sums now say what was read.
    let [a, b] = of(&narrow, "level trough").expect.expect("a range");
    assert!(a <= low - 0.02 && low - 0.02 <= b, "{a} {b} {low}");
    // As predicted: only noted.
    let as_said = after(&d, "level trough", (low + high) / 2.0);
    assert!(!as_said.tanks[0].outlet.narrow.yes() && as_said.notes.readings.len() == 1);
}

#[test]
fn other_readings_replace_what_was_predicted() {
    let d = courtyard();
    assert_eq!(after(&d, "fill trough", 0.8).tanks[0].oxygen.volume.value, 0.8);
    let bored = after(&d, "bore trough", 0.040);
    // The pipe keeps its name, its saw and its price; what is wider is another pipe.
    let (was, o) = (&d.tanks[0].outlet, &bored.tanks[0].outlet);
    assert!(o.narrow.yes() && o.narrow_bore.value == 0.040 && o.pipe.id == was.pipe.id);
    let [low, high] = of(&bored, "bore trough").expect.expect("a range");
    assert!(low < 0.040 && 0.040 < high);
    assert!(!after(&bored, "bore trough", was.pipe_bore().value).tanks[0].outlet.narrow.yes());
    assert_eq!(after(&d, "bore trough", 0.080).tanks[0].outlet.pipe_bore().value, 0.080);
    // What is asked is what the field takes that it goes to: a narrow place of 3 mm is one, another pipe of 3 mm is none.
    assert_eq!(after(&d, "bore trough", 0.003).tanks[0].outlet.narrow_bore.value, 0.003);
    let asked = |d: &Document| of(d, "bore trough").ask.expect("asked").range;
    let mut other = d.clone();
    other.tanks[0].outlet.pipe = pipes::OTHER;
    assert_eq!((asked(&d), asked(&other)), ([0.003, 0.5], [0.005, 0.5]));
    let air = after(&d, "air trough", l_min(80.0));
    assert!((air.tanks[0].oxygen.air.flow.value - l_min(80.0)).abs() < 1e-12);
    let dawn = after(&d, "dawn trough", mg_l(7.0));
    assert_eq!(dawn.tanks[0].oxygen.reading, crate::calculators::oxygen::Reading::Dawn);
    // Minutes to a finger under the rim are surface times room over flow, so half the time is half the surface.
    let p = of(&d, "blocked trough").expect.expect("a range");
    let half = after(&d, "blocked trough", (p[0] + p[1]) / 4.0);
    assert!(((half.tanks[0].outlet.surface / d.tanks[0].outlet.surface).value - 0.5).abs() < 1e-6);
    // By hand: what is dry under the rim but for the finger.
    let [low, high] = of(&d, "level trough").expect.expect("a range");
    let s = check::solve(&d, Day::Today).expect("solves");
    let by_hand = ((low + high) / 2.0 - 0.02) * d.tanks[0].outlet.surface.value / s.tanks[0].flow.value;
    assert!(((p[0] + p[1]) / 2.0 / by_hand - 1.0).abs() < 1e-9);
    let stop = after(&d, "stop", 0.05);
    assert_eq!(stop.notes.readings.len(), 1);
}

/// The upper of two tanks may be as far off as the lower one whose water it stands on.
#[test]
fn what_backs_up_may_be_off_too() {
    let d = check::tests::pair();
    let [low, high] = of(&d, "level trough").expect.expect("a range");
    let below = of(&d, "level low").expect.expect("a range");
    assert!(high - low >= below[1] - below[0], "{low} {high} {below:?}");
    let as_high = after(&d, "level trough", (low + high) / 2.0 - (below[1] - below[0]) / 2.0 + 1e-4);
    assert!(!as_high.tanks[0].outlet.narrow.yes());
}

/// What is told in seconds is asked in seconds, and a slip of the unit rewrites no tank.
#[test]
fn a_slip_of_the_unit_changes_no_size() {
    let mut d = courtyard();
    d.tanks[0].outlet.hole_depth = SHORT_LENGTH.of(mm(80.0));
    for (key, read) in [("blocked trough", 47.0 * 60.0), ("fill trough", 0.2)] {
        let p = of(&d, key);
        let seconds = p.ask.expect("asked").kind.unit(System::Metric).symbol == "s";
        assert!(key != "blocked trough" || seconds && p.predicted.contains("\u{202f}s at"), "{p:#?}");
        let noted = after(&d, key, read);
        assert_eq!(noted.tanks[0].outlet.surface, d.tanks[0].outlet.surface);
        assert_eq!(noted.tanks[0].oxygen.volume, d.tanks[0].oxygen.volume);
        let p = of(&noted, key);
        assert!(p.read.is_some() && p.told.contains("changes nothing"), "{p:#?}");
    }
}

/// Changed by hand, a size is what was read; and it may be read again.
#[test]
fn a_size_changed_by_hand_is_no_slip() {
    let mut d = after(&courtyard(), "fill trough", 0.25);
    assert!(of(&d, "fill trough").told.contains("changes nothing"));
    d.tanks[0].oxygen.volume = VOLUME.of(0.25);
    let told = of(&d, "fill trough").told;
    assert!(!told.is_empty() && !told.contains("changes nothing"), "{told}");
    assert_eq!(after(&d, "fill trough", 0.26).tanks[0].oxygen.volume.value, 0.26);
}

/// Where the check says that the sump is empty first, so does the test.
#[test]
fn a_sump_that_is_dry_first_is_said_to_be() {
    let mut d = courtyard();
    let checked = |d: &Document| worst::worst(d).expect("solves").sentences(d, Words::default()).remove(0);
    let dry = |d: &Document| checked(d).contains("runs dry after");
    assert!(dry(&d) && of(&d, "blocked trough").predicted.contains("The pump runs dry first, after "));
    let time =
        checked(&d).split("runs dry after ").nth(1).and_then(|s| s.split(',').next()).expect("a time").to_string();
    assert!(of(&d, "blocked trough").predicted.contains(&format!("after {time}:")), "{time}");
    // What comes first is said first.
    let said = of(&d, "blocked trough").predicted;
    assert!(said.starts_with("The pump runs dry first") && said.contains("for this test. With it, 5"), "{said}");
    d.sumps[0].levels[0].0.volume *= 4.0;
    assert!(!dry(&d) && of(&d, "blocked trough").predicted.ends_with("it must not run dry first."));
}

#[test]
fn sumps_and_siphons_are_proved_where_they_are_known() {
    let d = demo::by_id("classroom").expect("there").document();
    let sump = d.sumps[0].id.clone();
    let p = of(&d, &format!("sump {sump}"));
    let deeper = after(&d, &p.key, 0.3);
    assert_eq!(deeper.sumps[0].levels[0].0.mark.value, 0.3);
    let bed = d.beds.iter().position(|b| !b.siphon.is_empty()).expect("a siphon");
    let p = of(&d, &format!("siphon {}", d.beds[bed].id));
    let [low, high] = p.expect.expect("a range");
    // A quarter sooner is a quarter less of gaps, and then the sums say what was read.
    let sooner = (low + high) / 2.0 * 0.75;
    let tight = after(&d, &p.key, sooner);
    let gaps = |d: &Document| d.beds[bed].siphon[0].0.porosity.value;
    assert!((gaps(&tight) / gaps(&d) - 0.75).abs() < 1e-9);
    let [low, high] = of(&tight, &p.key).expect.expect("a range");
    assert!(((low + high) / 2.0 / sooner - 1.0).abs() < 0.02, "{low} {high} {sooner}");
}

/// A reading that leaves nothing to check is noted and changes nothing; one past the rim is none. Names may have spaces.
#[test]
fn no_reading_ends_the_check() {
    let mut d = demo::by_id("classroom").expect("there").document();
    let (key, depth) = (format!("sump {}", d.sumps[0].id), d.sumps[0].levels[0].0.depth.value);
    assert!(take(&d, &key, depth * 1.1).is_none());
    // Under what the pump needs.
    let dry = after(&d, &key, 0.01);
    assert_eq!((dry.notes.readings.len(), dry.sumps[0].levels[0].0.mark), (1, d.sumps[0].levels[0].0.mark));
    assert!(check::solve(&dry, Day::Today).is_ok());
    let id = "fish tank";
    d.edges.iter_mut().flat_map(|e| [&mut e.from, &mut e.to]).filter(|e| **e == "tank").for_each(|e| *e = id.into());
    d.tanks[0].id = id.into();
    assert_eq!(after(&d, "fill fish tank", 0.24).tanks[0].oxygen.volume.value, 0.24);
    assert!(take(&d, "bucket pump fish tank", 30.0).is_some());
    // All outlets are stopped.
    d.tanks[0].outlet.outlets = COUNT.of(2.0);
    assert!(of(&d, "blocked fish tank").how.contains("all of its outlets"));
}

#[test]
fn fish_that_have_no_time_are_said_to_have_none() {
    let mut d = courtyard();
    d.tanks[0].oxygen.fish[0].count *= 20.0;
    d.tanks[0].oxygen.fish[0].biomass *= 20.0;
    let p = of(&d, "power trough").predicted;
    assert!(p.ends_with("none: the oxygen is under their limit before the cut"), "{p}");
}

#[test]
fn what_is_no_reading_is_refused() {
    let d = courtyard();
    for (key, read) in [
        ("bucket pump trough", f64::NAN),
        ("bucket pump trough", -1.0),
        ("bucket pump nowhere", 3.0),
        ("power trough", 3.0),
        ("", 1.0),
        ("fill trough", f64::INFINITY),
    ] {
        assert!(take(&d, key, read).is_none(), "{key} {read}");
    }
}

#[test]
fn every_demo_has_its_tests_and_cautions() {
    for demo in demo::ALL {
        let d = demo.document();
        let p = proofs(&d, Words::default()).expect("a list");
        for word in ["fill", "bore", "bucket", "level", "blocked", "stop", "power", "dawn"] {
            assert!(p.proofs.iter().any(|p| p.key.starts_with(word)), "{}: {word}", demo.id);
        }
        for p in &p.proofs {
            assert!(p.key.chars().count() <= 40 && !p.predicted.contains('–'), "{p:#?}");
            assert!(p.expect.is_none_or(|[a, b]| a.is_finite() && b.is_finite() && a <= b), "{p:#?}");
        }
        let said: Vec<&str> = p.cautions.iter().map(|c| c.text.as_str()).collect();
        for word in ["residual-current", "weighs", "chlor", "licensed", "local code", "children"] {
            assert!(said.iter().any(|s| s.to_ascii_lowercase().contains(word)), "{word}");
        }
    }
}

/// Whatever is asked is taken: every test of every demo and of a plan takes what it predicts, and what it says that it accepts.
#[test]
fn every_test_takes_its_reading() {
    let planned = crate::system::plan::plan(&crate::system::plan::Goal::default(), Words::default());
    let planned = planned.unwrap_or_else(|r| panic!("{}", r.why)).document;
    let (mut asked, mut ways_out) = (0, 0);
    for d in demo::ALL.iter().map(|d| d.document()).chain([planned]) {
        for p in proofs(&d, Words::default()).expect("a list").proofs {
            let (Some(a), Some(expect)) = (p.ask, p.expect) else {
                assert!(p.ask.is_none(), "{p:#?}");
                continue;
            };
            for read in [middle(Some(expect)), a.range[0], a.range[1]] {
                let noted = after(&d, &p.key, read);
                let [taken] = &noted.notes.readings[..] else { panic!("{} {read}", p.key) };
                assert!(taken.test == p.key && taken.read.value == read, "{} {taken:?}", p.key);
            }
            asked += 1;
            ways_out +=
                usize::from(p.key.starts_with("level ") && d.tanks.iter().all(|t| p.key != format!("level {}", t.id)));
        }
    }
    assert!(asked > 60 && ways_out > 1, "{asked} {ways_out}");
}

/// A level at the outlet of a settler or a bed is explained there, as it is at that of a tank.
#[test]
fn a_high_level_of_a_settler_or_a_bed_is_explained_too() {
    use crate::system::document::WayOut;
    let pipe = pipes::by_id("pvc_63").expect("a pipe");
    let o =
        DrainIn { pipe, hole_depth: SHORT_LENGTH.of(mm(90.0)), arrangement: Arrangement::Wall, ..DrainIn::default() };
    let mut d = courtyard();
    d.settlers[0].outlet = vec![WayOut(o.clone())];
    d.beds[0].outlet = vec![WayOut(o)];
    for id in [d.settlers[0].id.clone(), d.beds[0].id.clone()] {
        let key = format!("level {id}");
        let [low, high] = of(&d, &key).expect.expect("a range");
        let narrowed = |d: &Document| [&d.settlers[0].outlet[0].0, &d.beds[0].outlet[0].0].map(|o| o.narrow.yes());
        assert_eq!(narrowed(&after(&d, &key, (low + high) / 2.0)), [false; 2]);
        let read = low - 0.01;
        let narrow = after(&d, &key, read);
        assert_eq!(narrowed(&narrow), [id == d.settlers[0].id, id == d.beds[0].id], "{low} {high}");
        // The sums now say what was read.
        let [a, b] = of(&narrow, &key).expect.expect("a range");
        assert!(a <= read && read <= b, "{a} {b} {read}");
    }
}

/// There is room for a reading of every test of the largest system. Of a list that is full what is of no test any more gives way; what is of one never.
#[test]
fn no_reading_is_lost_for_want_of_room() {
    use crate::system::notes::{MOST_READINGS, Taken};
    let mut d = courtyard();
    let taken = |test: String| Taken { test, ..Taken::default() };
    d.notes.readings = (0..MOST_READINGS).map(|n| taken(format!("fill gone{n}"))).collect();
    d.notes.readings[0].test = "stop".into();
    let noted = after(&d, "fill trough", 0.8);
    assert_eq!((noted.notes.readings.len(), of(&noted, "fill trough").read), (MOST_READINGS, Some(0.8)));
    assert!(noted.notes.readings[0].test == "stop" && noted.tanks[0].oxygen.volume.value == 0.8);
    // As many as there can be: of twelve stations of each kind and all branches.
    let (tanks, branches, others, sumps, siphons, stop) = (6 * 12, 60, 2 * 12, 12, 12, 1);
    assert!(tanks + branches + others + sumps + siphons + stop < MOST_READINGS);
}

/// A reading at the rim is told as what it is, and so is a prediction that reaches it.
#[test]
fn water_at_the_rim_is_an_alarm() {
    let d = courtyard();
    let told = |key: &str, read: f64| of(&after(&d, key, read), key).told;
    assert!(told("level trough", 0.0).contains("That is at the rim: a ripple"), "{}", told("level trough", 0.0));
    assert!(!told("level trough", 0.03).contains("at the rim"));
    let depth = d.sumps[0].levels[0].0.depth.value;
    let key = format!("sump {}", d.sumps[0].id);
    assert!(told(&key, depth).contains("That is at the rim: a ripple"), "{}", told(&key, depth));
    assert!(!told(&key, depth * 0.8).contains("at the rim"));
    let flow = FLOW.of(l_h(2000.0));
    let said = |low, high| below_rim([low, high], flow, Words::default()).replace('\u{202f}', " ");
    assert_eq!(said(0.03, 0.05), "30 to 50 mm below the rim at 2 000 L/h");
    assert!(
        said(-0.01, 0.02).starts_with("0 to 20 mm below the rim at 2 000 L/h. It may spill:"),
        "{}",
        said(-0.01, 0.02)
    );
    assert!(said(-0.03, -0.01).starts_with("It spills over the rim"));
}
