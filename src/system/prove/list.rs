//! The tests of a system, in the order they are done in.

use super::*;
use crate::calculators::air::AirMode;
use crate::calculators::form::Fields;
use crate::catalog::sources::waterways;
use crate::science::sump::pipe_contents;

pub(super) fn proofs(d: &Document, w: Words) -> Result<Proofs, Vec<FieldError>> {
    let (solved, ways) = (check::solve(d, Day::Today)?, flow::ways(d)?);
    let mut list = List { d, solved: &solved, ways: &ways, w, all: vec![] };
    list.fills();
    list.parts_of_tanks();
    list.buckets();
    list.levels();
    list.levels_of_others();
    list.stop();
    list.lowest();
    list.sumps();
    list.siphons();
    list.power()?;
    list.dawn();
    Ok(Proofs { proofs: list.all, cautions: cautions() })
}

/// What no field takes as it is read.
fn ask(label: &'static str, kind: &'static KindInfo, low: f64, high: f64) -> Option<Ask> {
    Some(Ask { label, kind, range: [low, high] })
}

/// What stands in a field then: as the field takes it.
fn ask_for(label: &'static str, fields: &mut dyn Fields, path: &str) -> Option<Ask> {
    form::spec_at(fields, path).map(|spec| Ask { label, kind: spec.kind, range: spec.hard })
}

/// The list as it grows.
struct List<'a> {
    d: &'a Document,
    /// The system as it runs today.
    solved: &'a Solved,
    ways: &'a Ways<'a>,
    w: Words,
    all: Vec<Proof>,
}

impl List<'_> {
    /// Puts a test on the list, with what was read of it.
    fn put(&mut self, mut p: Proof) {
        let taken = self.d.notes.readings.iter().find(|r| r.test == p.key);
        p.read = taken.map(|r| r.read.value);
        if let (Some(t), Some(a)) = (taken, p.ask) {
            let (predicted, read) = (t.predicted.value, t.read.value);
            // A size that was changed by hand since then agrees now.
            let far = slip(&p.key, predicted, read) && slip(&p.key, middle(p.expect), read);
            p.told = told(&a, &p.key, predicted, read, self.w) + if far { TOO_FAR } else { "" };
        }
        self.all.push(p);
    }

    fn fills(&mut self) {
        let w = self.w;
        for t in &self.d.tanks {
            let v = t.oxygen.volume;
            let weight = w.q(MASS, MASS.of(v.value * 1000.0));
            self.put(Proof {
                key: Test::Fill.at(&t.id),
                title: format!("Fill {} and look for leaks", t.name),
                how: "Fill it slowly to its outlet or its mark, through a water meter if you have one. Mark the level, float an open bucket of water in it with a mark of its own, and \
                      look after a day: the tank may fall no more than the bucket."
                    .into(),
                predicted: format!("{} of water, which weigh {weight}", w.q(VOLUME, v)),
                expect: Some(about(v.value, BROAD)),
                ask: ask_for("It took", &mut t.oxygen.clone(), "volume"),
                ..Proof::default()
            });
        }
    }

    /// Bores of outlets, and air that reaches stones.
    fn parts_of_tanks(&mut self) {
        let (s, w) = (self.solved, self.w);
        for (t, of) in self.d.tanks.iter().zip(&s.tanks) {
            let o = &t.outlet;
            let bore = if o.narrow.yes() { o.narrow_bore.min(o.pipe_bore()) } else { o.pipe_bore() };
            if of.gone.is_none() {
                let noted = if o.pipe.bore().is_some() { "narrow_bore" } else { "bore" };
                self.put(Proof {
                    key: Test::Bore.at(&t.id),
                    title: format!("Bore of the outlet of {}", t.name),
                    how: "Across the inside at its narrowest: pipe, fitting or barbed tail. The name of a pipe is not its bore.".into(),
                    predicted: w.q(SHORT_LENGTH, bore),
                    expect: Some(about(bore.value, 0.02)),
                    ask: ask_for("Measured inside", &mut o.clone(), noted),
                    ..Proof::default()
                });
            }
            let air = of.oxygen.air.delivered;
            if air.value > 0.0 && t.oxygen.air.mode != AirMode::Rated {
                self.put(Proof {
                    key: Test::Air.at(&t.id),
                    title: format!("Air that reaches the stones of {}", t.name),
                    how: "Hold an upturned bottle full of water over the stones and time how fast it fills with air; do it at every stone and add.".into(),
                    predicted: w.q(AIR_FLOW, air),
                    expect: Some(about(air.value, BROAD)),
                    ask: ask_for("All stones together", &mut t.oxygen.clone(), "air_flow"),
                    ..Proof::default()
                });
            }
        }
    }

    fn buckets(&mut self) {
        let (d, ways, s, w) = (self.d, self.ways, self.solved, self.w);
        // Those that are throttled first: what they do not take goes through the others.
        let throttled = |k: usize| {
            let to = &ways.stations[ways.edges[k].1];
            to.kind == StationKind::Tank && s.tanks[to.index].throttled
        };
        let (first, then): (Vec<usize>, Vec<usize>) = (0..d.edges.len()).partition(|&k| throttled(k));
        let free = sent(d);
        for k in first.into_iter().chain(then) {
            let (e, (from, to)) = (&d.edges[k], ways.edges[k]);
            let flow = s.flows.edges[k];
            if !ways.is_pump(from) || flow.is_nan() || flow <= 0.0 {
                continue;
            }
            let seconds = d.notes.bucket.value / flow;
            let expect = timed(seconds);
            let quick = if seconds < TOO_FAST { " That is too quick to time: take a drum." } else { "" };
            self.put(Proof {
                key: Test::Bucket.between(&e.from, &e.to),
                title: format!("Bucket at {}", ways.stations[to].name),
                how: "Let the whole branch run into the bucket and time it, three times. Set the valve until it is as you want it.".into(),
                predicted: format!(
                    "{} for {} at {}.{quick}",
                    span(SECONDS.0, expect, w),
                    w.q(VOLUME, d.notes.bucket),
                    w.q(FLOW, FLOW.of(flow))
                ),
                expect: Some(expect),
                ask: ask("It took", SECONDS.0, 0.1, 86_400.0),
                ..Proof::default()
            });
            // More than its tank's outlet carries may be sent, and less elsewhere, until the valve is set to less.
            if let Some(sent) = free.as_ref().filter(|_| s.pumps[ways.stations[from].index].is_some()) {
                self.doubt_bucket(sent[k]);
            }
        }
    }

    /// What is said more of the bucket that was put last, where its reading is neither what comes as set nor what its pump is worked out to send.
    fn doubt_bucket(&mut self, sent: f64) {
        let by_pump = timed(self.d.notes.bucket.value / sent);
        let out = |r: f64, [low, high]: [f64; 2]| r < low || r > high;
        let Some(p) = self.all.last_mut() else { return };
        if p.read.is_some_and(|r| out(r, by_pump) && p.expect.is_none_or(|e| out(r, e))) {
            let flow = self.w.q(FLOW, FLOW.of(sent));
            p.told +=
                &format!(" Pump and pipe as described send {flow}: look at height, pipe and curve, and measure again.");
        }
    }

    /// How high the water of tanks stands, and how soon it comes to the rim when the outlet is blocked.
    fn levels(&mut self) {
        let (d, s) = (self.d, self.solved);
        let stopped = worst::blocked(d, self.ways, s);
        for (i, t) in d.tanks.iter().enumerate() {
            let (of, at) = (&s.tanks[i], at_set(d, i, &s.tanks[i]));
            let Some(expect) = under_rim(&at, of.outlet.still).filter(|_| of.gone.is_none()) else { continue };
            self.put(Proof {
                key: Test::Level.at(&t.id),
                title: format!("Level of {} while it runs", t.name),
                how: "Ten minutes at that flow, then hook the tape on the rim and read down to the water. Then cover half of the screen and read again.".into(),
                predicted: below_rim(expect, of.leaves, self.w),
                expect: Some(expect),
                ask: ask("Below the rim", SHORT_LENGTH.0, 0.0, 3.0),
                ..Proof::default()
            });
            self.blocked(i, to_finger(expect), stopped.iter().find(|b| b.tank == i));
        }
    }

    /// A tank's outlet blocked, with so much room up to a finger under its rim, m.
    fn blocked(&mut self, i: usize, room: f64, blocked: Option<&worst::Blocked>) {
        let (ways, w, t, of) = (self.ways, self.w, &self.d.tanks[i], &self.solved.tanks[i]);
        let (surface, q) = (t.outlet.surface.value, of.leaves.value.max(1e-9));
        let (soon, set) = (room * surface / of.most.value.max(1e-9), room * surface / q);
        let bungs = match t.outlet.outlets.value > 1.0 {
            true => "Stop all of its outlets with bungs",
            false => "Stop the outlet with a bung",
        };
        // What the sump has, just before a top-up and just after one.
        let dry = blocked.and_then(|b| b.dry).filter(|d| d[0].value <= set);
        let from = blocked.and_then(|b| b.source).map(|s| &ways.stations[s]).filter(|s| s.kind != StationKind::Sump);
        let source = from.map_or("the sump", |s| s.name);
        let takes = format!("{} at the set flow, {} if the pump sends all it can.", spoken(set), spoken(soon));
        // What comes first is said first.
        let predicted = match dry {
            Some([_, latest]) if latest.value <= set => format!(
                "The pump runs dry first, after {}: hold a hose in {source} for this test. With it, {takes}",
                spoken(latest.value.max(0.0))
            ),
            Some(_) => format!("Long after a top-up the pump runs dry first: top up before this test. Then {takes}"),
            None => format!("{takes} {} falls by as much: it must not run dry first.", sentence(source)),
        };
        let finger = w.q(SHORT_LENGTH, SHORT_LENGTH.of(SHORT_LENGTH.0.rounded(FINGER, 1, w.system)));
        self.put(Proof {
            key: Test::Blocked.at(&t.id),
            title: format!("Outlet of {} blocked", t.name),
            how: format!(
                "Stay beside it with a hand at the pump's switch. {bungs}, time until the water is a finger ({finger}) under the rim, and open again."
            ),
            predicted,
            expect: Some(about(set, 0.25)),
            ask: ask("It took", clock(set), 1.0, 864_000.0),
            ..Proof::default()
        });
    }

    /// How high the water of settlers and beds stands whose outlets are described.
    fn levels_of_others(&mut self) {
        let (ways, s) = (self.ways, self.solved);
        for o in &s.ways_out {
            let station = &ways.stations[ways.place(o.kind, o.index)];
            let at = way_out_at_set(s, ways, o);
            let Some(expect) = under_rim(&at, o.out.still) else { continue };
            self.put(Proof {
                key: Test::Level.at(station.id),
                title: format!("Level of {} while it runs", station.name),
                how: "Ten minutes at that flow, then hook the tape on the rim and read down to the water.".into(),
                predicted: below_rim(expect, at.flow, self.w),
                expect: Some(expect),
                ask: ask("Below the rim", SHORT_LENGTH.0, 0.0, 3.0),
                ..Proof::default()
            });
        }
    }

    /// What runs back when the pump stops: what stands over the lips, and what is in the drains.
    fn stop(&mut self) {
        let s = self.solved;
        let all_held = self.d.outlets();
        let held = || all_held.iter().enumerate().filter(|(i, _)| s.tanks.get(*i).is_none_or(|t| t.gone.is_none()));
        if held().next().is_none() {
            return;
        }
        let back: f64 = held().map(|(i, h)| s.over(i, h).value).sum();
        let runs: f64 = held().map(|(_, h)| pipe_water(&h.outlet) * h.alike).sum();
        let expect = [back * (1.0 - HEAD_SHARE), back * (1.0 + HEAD_SHARE) + runs];
        self.put(Proof {
            key: Test::Stop.key(),
            title: "Stop the pump".into(),
            how: "With everything running at its usual level, pull the plug and wait until nothing runs any more. Measure how far the sump rises, and see that no tank is \
                  siphoned empty through its supply pipe. Then start again: the pump must not draw air while the tanks fill."
                .into(),
            predicted: format!(
                "{} run back: what stands over the outlets that are described, and what is in their drains. Supply pipes and beds that drain come on top.",
                span(VOLUME.0, expect, self.w)
            ),
            expect: Some(expect),
            ask: ask("Ran back", VOLUME.0, 0.0, 500.0),
            ..Proof::default()
        });
    }

    /// The lowest water of tanks that pumps draw from.
    fn lowest(&mut self) {
        for (t, of) in self.d.tanks.iter().zip(&self.solved.tanks) {
            let (Some(gone), o) = (of.gone.filter(|g| g.value > 0.0), &t.oxygen) else { continue };
            let left = o.depth * (1.0 - (gone / o.volume).value).max(0.0);
            self.put(Proof {
                key: Test::Lowest.at(&t.id),
                title: format!("Lowest water in {}", t.name),
                how: "Fill it to its mark, start, and wait until all beds have been full at once. Pump and heater must stay covered, and the pump must draw no air.".into(),
                predicted: format!("No lower than {} over the floor", self.w.q(SHORT_LENGTH, left)),
                ..Proof::default()
            });
        }
    }

    fn sumps(&mut self) {
        let w = self.w;
        for (sump, solved) in self.d.sumps.iter().zip(&self.solved.sumps) {
            let Some(solved) = solved else { continue };
            let (l, x) = (&solved.inputs, &solved.out.extremes);
            let area = solved.out.area.value;
            let over_floor = |v: Volume| SHORT_LENGTH.of((v.value / area).max(0.0));
            self.put(Proof {
                key: Test::Sump.at(&sump.id),
                title: format!("Water in {}, pump stopped", sump.name),
                how: "Pump off, every bed drained, nothing runs any more: read the depth over the floor. Then start, and watch that it never falls to what the pump needs.".into(),
                predicted: format!(
                    "{} over the floor; running {}. The pump needs {}, the rim stands at {}.",
                    w.q(SHORT_LENGTH, over_floor(x.stop_high)),
                    w.range(SHORT_LENGTH, over_floor(x.run_low), over_floor(x.run_high)),
                    w.q(SHORT_LENGTH, l.submergence),
                    w.q(SHORT_LENGTH, l.depth)
                ),
                expect: Some(about(x.stop_high.value / area, 0.05)),
                ask: ask("Over the floor", SHORT_LENGTH.0, 0.0, l.depth.value),
                ..Proof::default()
            });
        }
    }

    fn siphons(&mut self) {
        for (b, o) in self.d.beds.iter().zip(&self.solved.siphons) {
            let Some((o, fill)) = o.as_ref().and_then(|o| Some((o, o.fill?))) else { continue };
            let drain = match o.drain {
                None => "and may never break".into(),
                Some(t) => format!("then {} to drain", spoken(t.value)),
            };
            self.put(Proof {
                key: Test::Siphon.at(&b.id),
                title: format!("Siphon of {}", b.name),
                how: "Time it from drained to the moment it starts, three cycles long. It must start by itself and break by itself at this flow, and at half of it.".into(),
                predicted: format!("{} to fill, {drain}", spoken(fill.value)),
                expect: Some(about(fill.value, BROAD)),
                ask: ask("To fill it took", clock(fill.value), 1.0, 864_000.0),
                ..Proof::default()
            });
        }
    }

    /// How long the fish of each tank live with everything off, at the harvest that leaves them least.
    fn power(&mut self) -> Result<(), Vec<FieldError>> {
        let harvest = worst::solve_days(self.d, self.ways, &[Day::Harvest])?;
        for (i, t) in self.d.tanks.iter().enumerate() {
            let off = harvest.iter().map(|s| s.tanks[i].oxygen.all_off);
            let Some(m) = off.min_by(|a, b| a.until_fed().value.total_cmp(&b.until_fed().value)) else { continue };
            let words = match (m.fed, m.resting) {
                (Some(fed), _) if fed.value <= 0.0 => "none: the oxygen is under their limit before the cut".into(),
                (Some(fed), Some(rest)) => {
                    format!("{} just fed, {} unfed for a day", spoken(fed.value), spoken(rest.value))
                }
                (Some(fed), None) => format!("{} just fed; unfed for a day they hold", spoken(fed.value)),
                _ => "they hold through still water".into(),
            };
            self.put(Proof {
                key: Test::Power.at(&t.id),
                title: format!("Power cut at {}", t.name),
                how: "Switch everything off at the fuse. Whatever is to save the fish must start by itself and bubble within a minute. Let it run as long as a cut lasts \
                      where you live."
                    .into(),
                predicted: format!("With fish at harvest in the hottest water: {words}"),
                ..Proof::default()
            });
        }
        Ok(())
    }

    fn dawn(&mut self) {
        for (t, of) in self.d.tanks.iter().zip(&self.solved.tanks) {
            let Some(c) = of.oxygen.settled_resting else { continue };
            self.put(Proof {
                key: Test::Dawn.at(&t.id),
                title: format!("Dawn oxygen in {}, once fish are in", t.name),
                how: "Before the first meal, with everything running. It sets what is least known: what the air does and what is breathed.".into(),
                predicted: format!("{} or more", self.w.q(CONCENTRATION, c)),
                expect: Some([c.value, of.oxygen.saturation.value * 1.05]),
                ask: ask_for("It read", &mut t.oxygen.clone(), "reading_oxygen"),
                ..Proof::default()
            });
        }
    }
}

/// What to mind while proving.
fn cautions() -> Vec<Caution> {
    vec![
        Caution::from(piping::ELECTRICITY, &waterways::RESIDUAL_CURRENT),
        Caution::new(
            "A litre of water weighs a kilogram (a US gallon over 8 lb). Floors, stands and walls are for someone licensed to judge; stay clear while a tank is filled the \
             first time.",
        ),
        Caution::new(
            "Tap water carries chlorine or chloramine: treat it before fish or a ripe filter meet it. Never connect a system to the mains without the backflow \
             protection that the local code asks for.",
        ),
        Caution::new(
            "Keep children away from open tanks and from running tests. Prove it all again after every change.",
        ),
    ]
}

/// Water in the drain of a tank when it is full, m3.
fn pipe_water(o: &DrainIn) -> f64 {
    pipe_contents(o.pipe_bore(), o.length).value * o.outlets.value.max(1.0)
}
