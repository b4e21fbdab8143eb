use super::*;
use crate::calculators::form;
use crate::calculators::sheet;
use crate::catalog::choose::Choose;
use crate::picture::Picture;

fn short(x: f64) -> Length {
    SHORT_LENGTH.of(mm(x))
}
fn flow(x: f64) -> VolumeRate {
    FLOW.of(l_h(x))
}
fn pvc(id: &str) -> &'static Pipe {
    pipes::by_id(id).unwrap_or_else(|| panic!("{id}"))
}
fn run(i: &DrainIn) -> DrainOut {
    sheet::solve::<Drain>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}
fn load(o: &DrainOut) -> f64 {
    Drain::level(o).map_or(f64::INFINITY, |l| l.fullness())
}
fn report(i: &DrainIn) -> Report {
    Drain::report(i, &run(i), Words::default())
}
fn outputs(o: &DrainOut) -> Vec<Output> {
    let mut all = vec![];
    Drain::outputs(o, &mut all);
    all
}
#[track_caller]
fn near(got: f64, expect: f64, tolerance: f64) {
    assert!((got - expect).abs() <= tolerance, "{got}, expected {expect} within {tolerance}");
}
fn every() -> Vec<DrainIn> {
    let mut all = vec![];
    for arrangement in [Arrangement::Draw, Arrangement::Wall, Arrangement::Rim, Arrangement::Flooded] {
        for far_end in [FarEnd::Air, FarEnd::Drop, FarEnd::DropUnder, FarEnd::Under] {
            for screen in [ScreenKind::None, ScreenKind::Holes, ScreenKind::Slots] {
                all.push(DrainIn { arrangement, far_end, screen, ..DrainIn::default() });
            }
        }
    }
    all
}
/// A bottom draw of 40 mm pipe under a pump that is too strong for it.
fn too_narrow() -> DrainIn {
    DrainIn {
        flow: flow(2400.0),
        pipe: pvc("pvc_40"),
        screen: ScreenKind::Holes,
        openings: COUNT.of(120.0),
        ..DrainIn::default()
    }
}

/// A screen of two holes is mended by as many as it takes, however far from two that is. As an orifice (0.6 of the area): 2 000 L/h through 50
/// holes of 8 mm, half blocked, goes at 0.74 m/s and takes 28 mm of head; through two, 17 m.
#[test]
fn a_screen_gets_as_many_holes_as_it_takes() {
    let i = DrainIn { screen: ScreenKind::Holes, openings: COUNT.of(2.0), ..DrainIn::default() };
    let o = crate::calculators::solve::<Drain>(&i, &mut Working::none()).expect("solved");
    let r = Drain::report(&i, &o, Words::default());
    let screen = r.repairs.iter().find(|r| r.edits.iter().any(|e| e.path == "openings")).expect("a screen");
    assert_eq!(screen.level.state(), State::Enough, "{}: {}", screen.title, screen.effect);
}

/// The sum put together by hand from its elements: drowned inlet 0.67 + 1.28 J² (FHWA HDS-5), rising pipe (K + f L/D + 1) V²/2g, and an
/// orifice for the screen.
#[test]
fn a_bottom_draw_by_hand() {
    let i = too_narrow();
    let o = run(&i);
    let (q, d) = (l_h(2400.0), mm(36.2));
    let v = q / (FRAC_PI_4 * d * d);
    let j = v / (9.80665 * d).sqrt();
    let head = v * v / (2.0 * 9.80665);
    near(o.stand.entry.value, d * (0.67 + 1.28 * j * j), 1e-6);
    // K: intake 0.78, sharp elbow between 1.30 (34.54 mm) and 1.20 (40.39 mm), exit 1; f of Colebrook at 0.1 mm.
    let elbow = 1.30 - 0.10 * (36.2 - 34.54) / (40.39 - 34.54);
    let f = {
        let (re, mut x) = (v * d / 1.0034e-6, 6.0_f64);
        for _ in 0..50 {
            x = -2.0 * (0.1 / 36.2 / 3.7 + 2.51 * x / re).log10();
        }
        1.0 / (x * x)
    };
    near(o.stand.riser.value / ((0.78 + elbow + 1.0 + f * 0.5 / d) * head), 1.0, 4e-3);
    let holes = 120.0 * FRAC_PI_4 * 0.008 * 0.008 * 0.5;
    let through = q / (0.6 * holes);
    near(o.stand.screen.value, through * through / (2.0 * 9.80665), 1e-7);
    near(o.stand.level.value, (o.stand.entry + o.stand.riser + o.stand.screen).value, 1e-12);
    // 160 mm over a hole that is 120 mm under the rim: it spills. And the capacity leaves 30 mm dry.
    near(o.stand.level.value * 1000.0, 160.0, 2.0);
    near((o.outlet.stand(o.capacity).level + i.freeboard).value, i.hole_depth.value, 1e-4);
    assert_eq!(Drain::level(&o).map(|l| l.state()), Some(State::Over));
    let r = report(&i);
    assert_eq!(
        r.verdict.replace('\u{202f}', " "),
        "Carries 1 670 L/h with the screen half blocked. The pump can send 2 400. It will spill."
    );
    assert_eq!(
        outputs(&o).iter().find(|x| x.key == "hole_saw").map(|x| x.show(System::Metric)),
        Some("50.8\u{202f}mm".into())
    );
}

#[test]
fn what_a_verdict_says() {
    let said = |i: DrainIn| report(&i).verdict.replace('\u{202f}', " ");
    assert_eq!(
        said(DrainIn::default()),
        "Carries 3 810 L/h. The pump can send 2 000. It stands 51 mm over the outlet and leaves 69 mm dry."
    );
    let wall = DrainIn { arrangement: Arrangement::Wall, ..DrainIn::default() };
    assert!(said(DrainIn { flow: flow(5400.0), ..wall.clone() }).contains("It holds, with little in hand"));
    assert!(said(DrainIn { flow: flow(6200.0), ..wall.clone() }).contains("into the 30 mm that you keep dry"));
    assert!(said(DrainIn { flow: flow(9000.0), ..wall.clone() }).contains("It will spill."));
    assert!(
        said(DrainIn { hole_depth: short(20.0), ..wall.clone() }).contains("lies within the 30 mm that you keep dry")
    );
    assert!(said(DrainIn { outlets: COUNT.of(2.0), ..wall.clone() }).starts_with("The 2 outlets carry"));
    let gulps = DrainIn { arrangement: Arrangement::Rim, flow: flow(2500.0), ..DrainIn::default() };
    assert!(said(gulps).ends_with("It gulps."));
    let choking = DrainIn { far_end: FarEnd::DropUnder, flow: flow(2500.0), ..wall };
    assert!(said(choking).contains("choke on its own air"));
}

#[test]
fn a_trade_fact_about_sizes() {
    // Common practice, no source: a nominal 1 in outlet does not carry what a nominal 2 in one does, and a small pond pump outruns it.
    for arrangement in [Arrangement::Draw, Arrangement::Wall, Arrangement::Rim, Arrangement::Flooded] {
        let at = |id| run(&DrainIn { arrangement, pipe: pvc(id), ..DrainIn::default() });
        let (one, two) = (at("sch40_1"), at("sch40_2"));
        assert!(one.capacity * 2.0 < two.capacity, "{arrangement:?}");
        assert!(load(&one) > 1.0 && load(&two) < 0.8, "{arrangement:?}: 2 000 L/h");
    }
}

#[test]
fn choking_where_air_has_no_way_out() {
    // The foot under water and no vent: 0.3 of V/sqrt(gD) is the end, 57 mm 2 060 L/h; with a vent the level decides.
    let i = DrainIn { arrangement: Arrangement::Rim, far_end: FarEnd::DropUnder, ..DrainIn::default() };
    let o = run(&i);
    assert_eq!(o.limited_by, Limit::Choking);
    near(o.capacity.value / l_h(1.0), 0.3 * FRAC_PI_4 * 0.057_f64.powi(2) * (9.80665_f64 * 0.057).sqrt() * 3.6e6, 1.0);
    let vented = run(&DrainIn { vent: YesNo::Yes, ..i.clone() });
    assert_eq!(vented.limited_by, Limit::Freeboard);
    assert!(vented.capacity > o.capacity);
    // Never the rising pipe of a bottom draw, never a flooded pipe.
    for arrangement in [Arrangement::Draw, Arrangement::Flooded] {
        assert_ne!(run(&DrainIn { arrangement, ..i.clone() }).limited_by, Limit::Choking);
    }
}

#[test]
fn the_vent_as_the_limit() {
    // 100 mm of vent over the outlet's bottom spill before 270 mm of tank do.
    let i = DrainIn { hole_depth: short(300.0), vent_top: short(-200.0), ..DrainIn::default() };
    let o = run(&i);
    assert_eq!(o.limited_by, Limit::Vent);
    let s = o.outlet.stand(o.capacity);
    near((s.entry + s.boil).value, 0.1, 1e-4);
    assert!(o.capacity < o.freeboard_flow && o.vent_flow() == Some(o.capacity));
    assert_eq!(report(&i).levels[1].id, "vent");
    // Below the crown of its own pipe it cannot be.
    let low = DrainIn { vent_top: short(-260.0), ..i };
    let e = sheet::solve::<Drain>(&low, &mut Working::none()).expect_err("a vent below its pipe");
    assert_eq!(e[0].path, "vent_top");
    assert!(e[0].to_string().contains("at least"), "{}", e[0]);
}

#[test]
fn a_sleeve_must_fit() {
    let i = DrainIn {
        arrangement: Arrangement::Rim,
        screen: ScreenKind::Slots,
        openings: COUNT.of(12.0),
        sleeve: YesNo::Yes,
        ..DrainIn::default()
    };
    assert!(run(&i).stand.screen.value > 0.0);
    let e = sheet::solve::<Drain>(&DrainIn { sleeve_bore: short(63.0), ..i }, &mut Working::none())
        .expect_err("too narrow");
    assert_eq!(e[0].path, "sleeve_bore");
}

#[test]
fn flooded_pipes_count_from_the_lower_tank() {
    // 320 mm of still water over the hole, and the difference of the two levels is what the pipe loses.
    let i = DrainIn { arrangement: Arrangement::Flooded, ..DrainIn::default() };
    let o = run(&i);
    near(o.still.value, 0.32, 1e-9);
    let lost = pipe::head_loss(
        &pipe::Pipe {
            bore: o.outlet.run.bore,
            length: i.length,
            roughness: o.outlet.run.roughness,
            loss: RATIO.of(1.5),
        },
        i.flow,
        o.outlet.viscosity,
    );
    near((o.stand.level - o.still).value, lost.value, 1e-6);
    assert!(o.under_water() && o.noise == Noise::Silent);
    // A fall of the run changes nothing under water.
    let level = run(&DrainIn { slope: SLOPE.of(0.0), ..i.clone() });
    near(level.stand.level.value, o.stand.level.value, 1e-6);
    // With the lower water under the pipe it is a hole in the wall.
    let dry = run(&DrainIn { tail_depth: short(900.0), ..i.clone() });
    let wall = run(&DrainIn { arrangement: Arrangement::Wall, hole_depth: i.pipe_depth, ..i });
    near(dry.stand.level.value, wall.stand.level.value, 1e-9);
    assert!(!dry.under_water());
}

#[test]
fn a_narrow_bulkhead_counts() {
    for arrangement in [Arrangement::Draw, Arrangement::Wall, Arrangement::Rim, Arrangement::Flooded] {
        let i = DrainIn { arrangement, flow: flow(2500.0), ..DrainIn::default() };
        let narrow = DrainIn { narrow: YesNo::Yes, narrow_bore: short(30.0), ..i.clone() };
        let (plain, tight) = (run(&i), run(&narrow));
        near(tight.outlet.smallest_bore().value, 0.030, 1e-12);
        if arrangement == Arrangement::Rim {
            // The rim is as long as before; only what falls past the narrow place is louder.
            assert!(tight.stand.loading > plain.stand.loading && tight.quiet_flow() < plain.quiet_flow());
        } else {
            assert!(tight.capacity < plain.capacity && tight.stand.level > plain.stand.level, "{arrangement:?}");
        }
        // As wide as the pipe it changes nothing.
        let same = run(&DrainIn { narrow: YesNo::Yes, narrow_bore: short(200.0), ..i });
        assert_eq!(same.capacity, plain.capacity);
    }
}

#[test]
fn outlets_share_the_flow() {
    let one = run(&DrainIn::default());
    let two = run(&DrainIn { outlets: COUNT.of(2.0), flow: flow(4000.0), ..DrainIn::default() });
    near(two.stand.level.value, one.stand.level.value, 1e-12);
    near((two.capacity / one.capacity).value, 2.0, 1e-12);
    assert_eq!(
        report(&DrainIn { outlets: COUNT.of(2.0), ..DrainIn::default() }).levels.last().map(|l| l.id.clone()),
        Some("one_blocked".into())
    );
}

#[test]
fn how_long_until_it_spills() {
    // One outlet: the space over the water divided by the flow.
    let i = DrainIn::default();
    let o = run(&i);
    let expect = 1.2 * (0.12 - o.stand.level.value) / l_h(2000.0);
    assert!(matches!(o.spill(), Spill::After(t) if (t.value / expect - 1.0).abs() < 1e-9));
    // Two, of which one carries it all.
    let two = run(&DrainIn { outlets: COUNT.of(2.0), ..i.clone() });
    assert!(matches!(two.spill(), Spill::Never(h) if (h - o.stand.level).value.abs() < 1e-9));
    // Two, of which one does not: by brute force.
    let many = run(&DrainIn { outlets: COUNT.of(2.0), flow: flow(6000.0), ..i.clone() });
    let Spill::After(t) = many.spill() else { panic!("{:?}", many.spill()) };
    let (mut h, mut seconds, step) = (many.stand.level, 0.0, 0.1);
    while h < many.brim {
        let left = many.flow - many.outlet.flow_at(h);
        h += SHORT_LENGTH.of(left.value * step / 1.2);
        seconds += step;
    }
    near(t.value / seconds, 1.0, 0.01);
    // Over the rim already.
    assert_eq!(run(&DrainIn { flow: flow(9000.0), ..i }).spill(), Spill::After(MINUTES.of(0.0)));
}

#[test]
fn a_blocked_vent_siphons() {
    let i = DrainIn {
        far_end: FarEnd::Drop,
        drop: LENGTH.of(0.7),
        riser: LENGTH.of(0.55),
        flow: flow(1500.0),
        ..DrainIn::default()
    };
    let o = run(&i);
    let Some(s) = o.siphon() else { panic!("no siphon") };
    // Down to the intake, 0.55 m under the outlet, not to the end of the pipe at 0.7.
    near(s.below.value, 0.55, 1e-9);
    near(s.volume.value, 1.2 * (0.55 + o.stand.level.value), 1e-9);
    // By brute force on the full pipe.
    let line = pipe::Pipe {
        bore: o.outlet.run.bore,
        length: LENGTH.of(0.55 + 1.0 + 0.7),
        roughness: o.outlet.run.roughness,
        loss: RATIO.of(0.78 + ELBOW_90.loss(o.outlet.run.bore).value + 1.0),
    };
    let (mut h, mut seconds) = (o.stand.level.value + 0.71, 0.0);
    let end = 0.71 - 0.55;
    while h > end {
        h -= pipe::full_flow(&line, LENGTH.of(h), o.outlet.viscosity).value * 0.05 / 1.2;
        seconds += 0.05;
    }
    near(s.time.value / seconds, 1.0, 0.03);
    assert!(
        report(&i)
            .cautions
            .iter()
            .any(|c| c.text.contains("makes a siphon") && c.text.contains("550\u{202f}mm below the outlet"))
    );
    // A pipe that ends higher than the intake stops there; one that does not turn down makes no siphon.
    let shallow = run(&DrainIn { drop: LENGTH.of(0.2), ..i.clone() }).siphon().map(|s| s.below.value);
    near(shallow.unwrap_or(0.0), 0.21, 1e-9);
    assert!(run(&DrainIn { far_end: FarEnd::Air, ..i }).siphon().is_none());
}

#[test]
fn every_repair_does_what_it_says() {
    let mut seen = 0;
    for mut i in every() {
        i.pipe = pvc("pvc_40");
        i.flow = flow(4200.0);
        i.openings = COUNT.of(25.0);
        i.narrow = if i.far_end == FarEnd::Drop { YesNo::Yes } else { YesNo::No };
        i.narrow_bore = short(30.0);
        let (before, r) = (load(&run(&i)), report(&i));
        for repair in &r.repairs {
            let mut mended = i.clone();
            for edit in &repair.edits {
                assert!(form::apply(&mut mended, edit), "{edit:?}");
            }
            let after = run(&mended);
            assert_eq!(Drain::level(&after).as_ref(), Some(&repair.level), "{}", repair.title);
            assert!(load(&after) < before, "{}", repair.title);
            seen += 1;
        }
        if before > 0.8 {
            assert!(!r.repairs.is_empty(), "nothing helps {i:?}");
        }
    }
    assert!(seen > 60, "{seen}");
    // Enough needs none.
    assert!(report(&DrainIn::default()).repairs.is_empty());
    // The next pipe that is enough, its hole saw, a second outlet with its catch, a lower hole, less flow.
    let titles: Vec<_> = report(&too_narrow()).repairs.iter().map(|r| r.title.replace('\u{202f}', " ")).collect();
    assert_eq!(
        titles,
        [
            "PVC 63 mm pipe, a 73 mm hole saw",
            "A second outlet like it",
            "Cut the hole 148 mm lower",
            "Send 1 300 L/h at most"
        ]
    );
    let r = report(&too_narrow());
    assert_eq!(r.repairs[1].also.as_deref(), Some("Over again if one blocks."));
    // The first is the smallest that is enough.
    let fifty = run(&DrainIn { pipe: pvc("pvc_50"), ..too_narrow() });
    assert!(load(&fifty) > 0.8 && r.repairs[0].level.state() == State::Enough);
}

#[test]
fn more_of_anything_is_never_worse() {
    for i in every() {
        let o = run(&i);
        let mut last = 0.0;
        for p in [26.0, 36.2, 57.0, 80.0, 120.0] {
            let c = run(&DrainIn { pipe: pipes::OTHER, bore: short(p), sleeve_bore: short(300.0), ..i.clone() });
            assert!(c.capacity.value >= last * 0.999, "{p} {i:?}");
            last = c.capacity.value;
        }
        let more_dry = run(&DrainIn { freeboard: short(45.0), ..i.clone() });
        let cleaner = run(&DrainIn { blocked: PERCENT.of(0.1), ..i.clone() });
        let shorter = run(&DrainIn { length: LENGTH.of(0.2), fall_by: FallBy::Drop, fall: short(0.0), ..i.clone() });
        let longer = run(&DrainIn { length: LENGTH.of(5.0), fall_by: FallBy::Drop, fall: short(0.0), ..i.clone() });
        assert!(more_dry.capacity <= o.capacity && cleaner.capacity >= o.capacity);
        assert!(longer.capacity.value <= shorter.capacity.value * 1.001, "{i:?}");
    }
}

#[test]
fn the_same_outputs_always_and_all_of_them_finite() {
    let keys: Vec<_> = outputs(&run(&DrainIn::default())).iter().map(|o| o.key).collect();
    for i in every() {
        for q in [10.0, 900.0, 50_000.0] {
            let i = DrainIn { flow: flow(q), ..i.clone() };
            let o = run(&i);
            let all = outputs(&o);
            assert_eq!(all.iter().map(|o| o.key).collect::<Vec<_>>(), keys);
            let always = [
                "capacity",
                "level",
                "level_low",
                "rise",
                "dry",
                "level_clean",
                "capacity_clean",
                "rim_flow",
                "drains_back",
                "speed",
            ];
            for out in &all {
                assert!(!always.contains(&out.key) || out.value != Value::Missing, "{} {i:?}", out.key);
            }
            let r = Drain::report(&i, &o, Words::from(System::Us));
            assert!(r.levels.iter().all(Level::is_finite) && r.levels[0] == Drain::level(&o).expect("a level"));
            assert!(r.tables.iter().all(|t| t.rows.iter().all(|row| row.len() == t.head.len())));
            for text in r.notes.iter().chain([&r.verdict]).chain(r.cautions.iter().map(|c| &c.text)) {
                assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
            }
        }
    }
}

#[test]
fn the_pictures_show_the_level() {
    for i in every() {
        let o = run(&i);
        let r = report(&i);
        let [Picture::Section(s), Picture::Chart(c)] = &r.pictures[..] else { panic!("two pictures") };
        assert!(s.width > 0.0 && s.height > 0.0 && !s.describe.is_empty());
        assert!(c.series[0].points.iter().all(|p| p.0.is_finite() && p.1.is_finite()));
        // The marked flow stands on the curve's level, and on the axes.
        near(c.marks[0].y, o.stand.level.value, 1e-12);
        assert!(c.x.max >= o.flow.value && c.bands.iter().all(|b| b.from <= b.to));
    }
}

#[test]
fn a_picture_that_is_cut_short_says_so() {
    let title = |i: &DrainIn| match &report(i).pictures[..] {
        [Picture::Section(s), ..] => s.title.clone(),
        other => panic!("{other:?}"),
    };
    // The bar ends at 1.3 times the rim, whatever stands beside it.
    for (to, whole) in [(2400.0, true), (9085.0, false)] {
        let i = DrainIn { flow: flow(to), ..DrainIn::default() };
        let o = run(&i);
        assert_eq!(o.stand.level.value <= 1.3 * o.brim.value, whole, "{to} L/h");
        assert_eq!(title(&i).contains("These heights are to scale"), whole, "{}", title(&i));
        assert_eq!(title(&i).contains("cut short"), !whole, "{}", title(&i));
    }
}

#[test]
fn the_working_names_its_sources() {
    for i in every() {
        let mut w = Working::recorded();
        assert!(sheet::solve::<Drain>(&i, &mut w).is_ok());
        let steps = w.take();
        assert!(steps.len() >= 8);
        for s in &steps {
            assert!(s.result.si.is_finite() && s.with.iter().all(|t| t.si.is_finite()), "{}", s.name);
            assert!(crate::catalog::sources::all().any(|x| x.key == s.source.key), "{}", s.source.key);
        }
    }
}

#[test]
fn fields_outside_their_ranges_are_refused_with_a_sentence() {
    let i = DrainIn { flow: flow(0.0), ..DrainIn::default() };
    let e = sheet::solve::<Drain>(&i, &mut Working::none()).expect_err("no flow");
    assert_eq!(e[0].path, "flow");
    // Choices keep their identifiers: designs and links hold them.
    assert_eq!(Arrangement::Draw.id(), "draw");
    assert_eq!((Arrangement::Wall.id(), Arrangement::Rim.id(), Arrangement::Flooded.id()), ("wall", "rim", "flooded"));
}

/// The report, and what is left after the first repair whose title begins so.
fn mended(i: &DrainIn, title: &str) -> (Repair, DrainOut) {
    let all = report(i).repairs;
    let found = all.iter().find(|r| r.title.starts_with(title)).unwrap_or_else(|| panic!("{title}: {all:?}"));
    let mut new = i.clone();
    for edit in &found.edits {
        assert!(form::apply(&mut new, edit), "{edit:?}");
    }
    (found.clone(), run(&new))
}

#[test]
fn a_cut_standpipe_is_shorter() {
    // A run that backs up over the rim of 120 mm: 111 mm less of it would stand in the run, and stand no lower.
    let i = DrainIn {
        arrangement: Arrangement::Rim,
        pipe: pvc("sch40_2"),
        lip_depth: short(80.0),
        standpipe: SHORT_LENGTH.of(0.12),
        slope: SLOPE.of(0.0),
        length: LENGTH.of(8.0),
        flow: flow(5000.0),
        ..DrainIn::default()
    };
    for i in [i.clone(), DrainIn { standpipe: SHORT_LENGTH.of(0.08), flow: flow(4500.0), ..i.clone() }] {
        assert!(load(&run(&i)) > 0.8);
        assert!(report(&i).repairs.iter().all(|r| !r.title.starts_with("Cut the standpipe")), "{i:?}");
    }
    // A tall one, free of the run: what its top loses, the pipe loses.
    let tall = DrainIn { standpipe: LENGTH.of(0.9), lip_depth: short(60.0), ..i };
    let (repair, after) = mended(&tall, "Cut the standpipe");
    assert_eq!(Drain::level(&after).map(|l| l.state()), Some(State::Enough), "{repair:?}");
    let Inlet::Rim { height, .. } = after.outlet.inlet else { panic!("a rim") };
    near((after.brim + height).value, 0.96, 1e-6);
}

#[test]
fn a_foot_under_water_is_said() {
    let i = DrainIn {
        arrangement: Arrangement::Rim,
        pipe: pvc("pvc_63"),
        lip_depth: short(100.0),
        standpipe: LENGTH.of(0.6),
        slope: SLOPE.of(0.0),
        length: LENGTH.of(8.0),
        flow: flow(4000.0),
        fittings: vec![FittingRow { fitting: ELBOW_90, count: COUNT.of(3.0) }],
        ..DrainIn::default()
    };
    // Whether the far end is a millimetre under its crown or in air: it may choke past 0.3 of V/sqrt(gD).
    for far_end in [FarEnd::Air, FarEnd::Under] {
        let i = DrainIn { far_end, tail: short(56.0), ..i.clone() };
        let r = report(&i);
        assert!(
            r.verdict.contains("its foot is under water: past 2\u{202f}060\u{202f}L/h it may choke"),
            "{}",
            r.verdict
        );
        assert!(r.cautions.iter().any(|c| c.text.contains("open vent behind the standpipe")));
        let vented = report(&DrainIn { vent: YesNo::Yes, ..i });
        assert!(!vented.verdict.contains("choke"), "{}", vented.verdict);
    }
    assert_eq!(run(&DrainIn { far_end: FarEnd::Under, tail: short(57.0), ..i }).limited_by, Limit::Choking);
}

#[test]
fn a_way_out_for_the_air_is_the_smallest_repair() {
    let i = DrainIn {
        flow: flow(2500.0),
        arrangement: Arrangement::Rim,
        lip_depth: short(60.0),
        far_end: FarEnd::DropUnder,
        ..DrainIn::default()
    };
    let (repair, after) = mended(&i, "An open vent behind the standpipe");
    assert_eq!(repair.level.state(), State::Enough);
    assert!(after.capacity > run(&i).capacity);
    // A vent of 100 mm that spills gets as tall as it takes.
    let i = DrainIn { hole_depth: short(300.0), vent_top: short(-200.0), ..DrainIn::default() };
    let i = DrainIn { flow: run(&i).capacity * 1.2, ..i };
    let (repair, after) = mended(&i, "A vent that is");
    assert_eq!(repair.level.state(), State::Enough, "{repair:?}");
    assert!(after.vent > run(&i).vent);
}

#[test]
fn the_others_do_not_carry_what_chokes_or_spills() {
    // One of two standpipes with a sealed foot takes 2 060 L/h for sure, not 3 000.
    let i = DrainIn {
        arrangement: Arrangement::Rim,
        lip_depth: short(80.0),
        far_end: FarEnd::DropUnder,
        outlets: COUNT.of(2.0),
        flow: flow(3000.0),
        ..DrainIn::default()
    };
    let o = run(&i);
    let Spill::After(t) = o.spill() else { panic!("{:?}", o.spill()) };
    let most = crate::science::drain::self_venting_flow(o.outlet.run.bore);
    let (mut h, mut seconds, step) = (o.stand.level, 0.0, 0.1);
    while h < o.brim {
        h += SHORT_LENGTH.of((o.flow - o.outlet.flow_at(h).min(most)).value * step / 1.2);
        seconds += step;
    }
    near(t.value / seconds, 1.0, 0.01);
    // With a vent they do.
    assert!(matches!(run(&DrainIn { vent: YesNo::Yes, ..i }).spill(), Spill::Never(_)));
    // A vent that ends 90 mm under the rim spills before the tank does.
    let i = DrainIn {
        hole_depth: short(200.0),
        vent_top: short(-90.0),
        outlets: COUNT.of(2.0),
        flow: flow(6500.0),
        ..DrainIn::default()
    };
    assert_eq!(run(&i).spill(), Spill::Vent);
    assert!(report(&i).notes.iter().any(|n| n.contains("the vents of the others spill")));
}

#[test]
fn what_is_said_of_narrow_and_slow_pipes() {
    // Gulping from 414 L/h on, nothing is quiet any more.
    let i = DrainIn {
        arrangement: Arrangement::Rim,
        pipe: pvc("sch40_2"),
        narrow: YesNo::Yes,
        narrow_bore: short(30.0),
        ..DrainIn::default()
    };
    let rows = report(&i).tables.into_iter().find(|t| t.title.starts_with("What changes")).expect("there").rows;
    let at = |says: &str| rows.iter().position(|r| r[1].starts_with(says));
    assert!(at("Gulping begins") < at("The rim begins to drown"));
    assert!(rows.iter().all(|r| !r[1].contains("still quiet")), "{rows:?}");
    // Solids settle in the full rising pipe, not in the faster part-full run.
    let slow = DrainIn { flow: flow(800.0), ..DrainIn::default() };
    let said = report(&slow).cautions.into_iter().find(|c| c.text.contains("solids settle")).expect("slow").text;
    assert!(!said.contains("and the run"), "{said}");
    // Where nothing is enough, nothing hopeless is offered.
    let i = DrainIn { flow: flow(6000.0), screen: ScreenKind::Holes, pipe: pvc("pvc_50"), ..DrainIn::default() };
    assert!(report(&i).repairs.iter().all(|r| r.level.fullness() <= 2.0));
    // What is refused is said in both systems.
    let low = DrainIn { hole_depth: short(300.0), vent_top: short(-260.0), ..DrainIn::default() };
    let e = sheet::solve::<Drain>(&low, &mut Working::none()).expect_err("a vent below its pipe");
    assert!(e[0].accepted.contains("mm (") && e[0].accepted.contains("in)"), "{}", e[0]);
}

/// Plumbing practice: 0.6 m/s sweeps a drain, below 0.3 solids settle. By continuity 500 L/h through the run of a wide pipe are slower than that, and
/// through a narrow one they are not.
#[test]
fn slow_runs_are_said() {
    let said = |i: &DrainIn| {
        let all = report(i).cautions.into_iter().map(|c| c.text.replace(THIN, " "));
        all.filter(|t| t.contains("near-level run the water moves")).collect::<Vec<_>>()
    };
    let wide = DrainIn {
        arrangement: Arrangement::Wall,
        pipe: pvc("pvc_110"),
        flow: flow(500.0),
        length: LENGTH.of(4.0),
        slope: SLOPE.of(percent(0.2)),
        ..DrainIn::default()
    };
    let o = run(&wide);
    let area = crate::science::section::wetted_area(o.outlet.run.bore, o.stand.run_depth);
    near(o.run_speed().value, l_h(500.0) / area.value, 1e-12);
    assert!(o.run_speed().value < 0.3, "{:?}", o.run_speed());
    assert!(said(&wide)[0].contains("solids settle in it (0.6 m/s sweep"), "{:?}", said(&wide));
    assert!(said(&DrainIn { length: LENGTH.of(0.0), ..wide.clone() }).is_empty());
    // Full, it is the flow over the bore.
    let full = DrainIn { arrangement: Arrangement::Flooded, tail_depth: short(60.0), ..wide.clone() };
    let o = run(&full);
    near(o.run_speed().value, o.speed().value, 1e-9);
    let between = DrainIn { flow: flow(4000.0), slope: SLOPE.of(percent(0.4)), ..wide.clone() };
    assert!((0.3..0.6).contains(&run(&between).run_speed().value), "{:?}", run(&between).run_speed());
    assert!(said(&between)[0].contains("not quite swept clean"), "{:?}", said(&between));
    let swept = DrainIn { pipe: pvc("pvc_50"), flow: flow(2000.0), slope: SLOPE.of(percent(3.0)), ..wide };
    assert!(run(&swept).run_speed().value > 0.6 && said(&swept).is_empty(), "{:?}", run(&swept).run_speed());
}

/// 2 500 L/h through 30 holes of 10 mm: 0.295 m/s, and twice that half blocked.
#[test]
fn what_a_screen_does_to_fish_is_said() {
    let i = DrainIn {
        arrangement: Arrangement::Wall,
        screen: ScreenKind::Holes,
        openings: COUNT.of(30.0),
        hole_size: short(10.0),
        flow: flow(2500.0),
        hole_depth: short(250.0),
        ..DrainIn::default()
    };
    let said = |i: &DrainIn| {
        let all = report(i).cautions.into_iter().map(|c| c.text.replace(THIN, " "));
        all.filter(|t| t.contains("hold back only fish")).collect::<Vec<_>>()
    };
    assert_eq!(
        said(&i),
        [
            "Water goes through the screen at 0.589 m/s, 0.295 m/s clean. From about 0.1 m/s on it holds small fish against it: give it more openings. \
          Openings of 10 mm hold back only fish that are thicker."
        ]
    );
    let many = DrainIn { openings: COUNT.of(300.0), ..i.clone() };
    assert_eq!(said(&many), ["Openings of 10 mm hold back only fish that are thicker."]);
    assert!(said(&DrainIn { screen: ScreenKind::None, ..i }).is_empty());
}

#[test]
fn what_pipe_and_tank_are_of_is_said() {
    let has = |i: &DrainIn, text: &str| report(i).cautions.iter().any(|c| c.text.contains(text));
    let plain = DrainIn::default();
    assert!(has(&plain, "oil, solvents or pesticides") && has(&plain, "Small children") && has(&plain, "galvanised"));
    let sizes = report(&plain).tables.into_iter().find(|t| t.title.starts_with("Other sizes")).expect("there");
    assert_eq!(sizes.head[3], "Of what it can carry");
}

/// A hole goes no lower than the place where its drop ends: past that the far end would lie deep in the water that it ends in.
#[test]
fn a_hole_is_not_cut_past_the_end_of_its_drop() {
    let cut = |i: &DrainIn| report(i).repairs.into_iter().find(|r| r.title.starts_with("Cut the hole"));
    for arrangement in [Arrangement::Draw, Arrangement::Wall] {
        for far_end in [FarEnd::Drop, FarEnd::DropUnder] {
            let i = DrainIn { arrangement, far_end, flow: flow(9000.0), ..DrainIn::default() };
            let deep = DrainIn { drop: LENGTH.of(0.9), ..i.clone() };
            let Some(r) = cut(&deep) else { continue };
            let to = r.edits.iter().find(|e| e.path == "drop").expect("the drop");
            let EditValue::Si(to) = to.to else { panic!("a number") };
            let new = r.edits.iter().find(|e| e.path == "hole_depth").map(|e| e.to.clone());
            let Some(EditValue::Si(hole)) = new else { panic!("a hole") };
            near(0.9 - to, hole - deep.hole_depth.value, 1e-9);
            assert!(cut(&DrainIn { drop: LENGTH.of(0.03), ..i }).is_none(), "{arrangement:?} {far_end:?}");
        }
    }
    assert!(
        cut(&DrainIn { far_end: FarEnd::Drop, drop: LENGTH.of(0.9), flow: flow(9000.0), ..DrainIn::default() })
            .is_some()
    );
}

#[test]
fn less_flow_is_never_offered_without_its_catch() {
    for q in [5500.0, 6500.0] {
        let i = DrainIn { outlets: COUNT.of(2.0), flow: flow(q), ..DrainIn::default() };
        let r = report(&i).repairs.into_iter().find(|r| r.title.starts_with("Send ")).expect("less flow");
        assert!(r.also.is_some_and(|a| a.contains("less oxygen")), "{q}");
    }
}
