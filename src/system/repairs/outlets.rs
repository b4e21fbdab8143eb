//! Outlets of tanks, settlers and beds: wider, more of them, lower; and the standpipes of siphons.

use super::*;

impl Search<'_> {
    /// Other standpipes of a bed's siphon, or only those that are narrower.
    pub(super) fn standpipes(&self, bed: usize, narrower: bool) -> Vec<Lever<'_>> {
        let b = &self.d.beds[bed];
        let o = &b.siphon[0].0;
        let fits = |p: &&Pipe| !narrower || p.bore().is_some_and(|d| d < piping::bore(o.pipe, o.bore));
        let others = PIPES.iter().filter(|p| piping::like(p, o.pipe) && p.id != o.pipe.id).filter(fits);
        let lever = |p: &'static Pipe| {
            let title = format!("{}: {} standpipe, with a bell to match", b.name, p.words(self.w.system));
            self.once(&title, siphon_edits(&format!("beds.{bed}"), p, o, self.w), &[])
        };
        others.map(lever).collect()
    }

    /// A wider pipe, more outlets, more holes in the screen, a lower hole.
    pub(super) fn wider(&self, kind: StationKind, i: usize, day: &Solved) -> Vec<Lever<'_>> {
        let path = flow::outlet_path(kind, i);
        let said = match kind {
            StationKind::Settler => self.d.settlers[i].outlet.first().map(|o| &o.0),
            StationKind::Bed => self.d.beds[i].outlet.first().map(|o| &o.0),
            _ => Some(&self.d.tanks[i].outlet),
        };
        let Some(o) = said else { return vec![] };
        let name = self.ways.stations[self.ways.place(kind, i)].name;
        let solved = day.way_out(kind, i).map_or_else(|| &day.tanks[i].outlet, |o| &o.out);
        let mut all = vec![];
        // A way out for the air that it chokes on.
        if solved.limited_by == Limit::Choking {
            let title = format!("{name}: an open vent {}", vent_place(o.arrangement));
            all.push(self.once(&title, vec![Edit::pick(format!("{path}.vent"), "yes")], &[VENT]));
        }
        all.extend(self.wider_pipe(name, o, &path));
        all.extend(self.more_outlets(name, o, &path));
        all.extend(self.up(&format!("{path}.openings"), reach::OPENINGS, &[]));
        all.extend(["hole_depth", "lip_depth"].into_iter().filter_map(|key| self.lower(kind, i, o, key)));
        all
    }

    /// A wider pipe of an outlet, by size, with the hole saw for it.
    fn wider_pipe<'a>(&'a self, name: &'a str, o: &'a DrainIn, path: &str) -> Option<Lever<'a>> {
        let w = self.w;
        let family = if w.system == System::Metric { Family::MetricPn10 } else { Family::Schedule40 };
        // A hole must not reach over the rim.
        let room = match o.arrangement {
            Arrangement::Draw | Arrangement::Wall => o.hole_depth,
            Arrangement::Flooded => o.pipe_depth,
            Arrangement::Rim => LENGTH.of(f64::INFINITY),
        };
        let fits = |p: &&Pipe| p.bore().is_some_and(|b| b <= room);
        let pipes: Vec<_> = o.pipe.wider(o.pipe_bore(), family).filter(fits).collect();
        let (steps, path, narrow) = (pipes.len(), path.to_string(), o.narrow.yes());
        let at = move |k: usize| {
            let p = pipes[k.clamp(1, pipes.len()) - 1];
            let saw = o.hole_to_cut(p).map_or(String::new(), |d| format!(", a {} hole saw", hole_words(d, w)));
            let mut edits = vec![Edit::pick(format!("{path}.pipe"), p.id)];
            if narrow {
                edits.push(Edit::pick(format!("{path}.narrow"), "no"));
            }
            Change { title: format!("{name}: {}{saw}", p.short()), edits }
        };
        (steps > 0).then(|| Lever { steps, at: Box::new(at), also: narrow.then_some(FITTING).into_iter().collect() })
    }

    /// More outlets side by side.
    fn more_outlets<'a>(&'a self, name: &'a str, o: &DrainIn, path: &str) -> Option<Lever<'a>> {
        let (w, path, have) = (self.w, path.to_string(), o.outlets.value);
        let at = move |k: usize| {
            let n = have + k as f64;
            let title = format!("{name}: {} outlets like it in all", w.plain(n));
            Change { title, edits: vec![Edit::num(format!("{path}.outlets"), COUNT.of(n))] }
        };
        let steps = (reach::OUTLETS - have) as usize;
        (have < reach::OUTLETS).then(|| Lever { steps, at: Box::new(at), also: vec![] })
    }

    /// A lower hole or rim of an outlet.
    fn lower(&self, kind: StationKind, i: usize, o: &DrainIn, key: &str) -> Option<Lever<'_>> {
        let path = format!("{}.{key}", flow::outlet_path(kind, i));
        // A standpipe is cut, and not past its foot.
        let rim = o.arrangement == Arrangement::Rim;
        let most = if rim { o.standpipe - o.pipe_bore() } else { o.may_go_down() };
        let most = most.value.clamp(0.0, if kind == StationKind::Tank { LOWEST } else { A_LITTLE });
        let level = self.ending_in(self.ways.place(kind, i)).any(|h| h.outlet.arrangement == Arrangement::Flooded);
        let (_, from) = self.field(&path)?;
        let lever = self.number_to(&path, from + most, &[if level { ALL_LESS } else { LESS_WATER }])?;
        Some(Lever { at: Box::new(move |k| self.lowered(kind, i, from, (lever.at)(k))), ..lever })
    }

    /// A lower outlet with the water that then stands in a tank.
    pub(super) fn lowered(&self, kind: StationKind, i: usize, from: f64, mut change: Change) -> Change {
        let Some(held) = self.d.outlet(kind, i) else { return change };
        let outlet = &held.outlet;
        if let Some(EditValue::Si(to)) = change.edits.first().map(|e| e.to.clone()) {
            let fall = LENGTH.of(to - from);
            self.fallen(kind, i, fall, &mut change.edits);
            let cut = (outlet.arrangement == Arrangement::Rim)
                .then(|| Edit::num("standpipe", outlet.standpipe - fall))
                .or_else(|| outlet.gone_down(fall));
            change.edits.extend(cut.map(|e| Edit { path: format!("{}.{}", held.path(), e.path), ..e }));
        }
        change
    }

    /// What of a station goes down with its water, and with that all that ends in it.
    pub(super) fn fallen(&self, kind: StationKind, i: usize, fall: Length, edits: &mut Vec<Edit>) {
        let Some(held) = self.d.outlet(kind, i) else { return };
        if kind == StationKind::Tank {
            let o = &self.d.tanks[i].oxygen;
            let under = |key: &str| format!("tanks.{i}.oxygen.{key}");
            edits.push(Edit::num(under("volume"), o.volume - held.outlet.surface * fall));
            edits.push(Edit::num(under("depth"), o.depth - fall));
        }
        if kind == StationKind::Settler {
            edits.push(Edit::num(format!("settlers.{i}.settling.depth"), self.d.settlers[i].settling.depth - fall));
        }
        for h in self.ending_in(self.ways.place(kind, i)) {
            let o = &h.outlet;
            if o.arrangement == Arrangement::Flooded {
                edits.push(Edit::num(format!("{}.tail_depth", h.path()), o.tail_depth + fall));
                self.fallen(h.kind, h.index, fall, edits);
            } else {
                edits.push(Edit::num(format!("{}.tail", h.path()), (o.tail - fall).max(LENGTH.of(0.0))));
            }
        }
    }

    /// The outlets that end in the water of a station.
    pub(super) fn ending_in(&self, station: usize) -> impl Iterator<Item = StationOutlet<'_>> {
        let ends = move |h: &StationOutlet<'_>| {
            let drowned = h.outlet.arrangement == Arrangement::Flooded || h.outlet.far_end == FarEnd::Under;
            drowned && self.ways.edges.contains(&(self.ways.place(h.kind, h.index), station))
        };
        self.d.outlets().into_iter().filter(ends)
    }
}

/// Another standpipe, with bell, gap and slots that suit it.
fn siphon_edits(path: &str, p: &'static Pipe, was: &SiphonIn, w: Words) -> Vec<Edit> {
    let (bore, outside) = (piping::bore(p, was.bore), piping::outside(p, was.bore));
    let under = |key: &str| format!("{path}.siphon.0.{key}");
    let slots = siphon::Bell::new(bore, bore, outside, bore, AREA.of(0.0)).slots_wanted() / ENOUGH;
    let wide = |x: Length| mend::upwards(SHORT_LENGTH, x, mm(1.0), w);
    // A quarter of the bore between rim and bell leaves as much way as the bore; the ring wants more than that of its area.
    vec![
        Edit::pick(under("pipe"), p.id),
        Edit::num(under("bell"), was.bell.max(wide(siphon::least_bell(bore, outside) * 1.25))),
        Edit::num(under("gap"), was.gap.max(wide(siphon::gaps(bore).1))),
        Edit::num(under("slots"), was.slots.max(mend::slots(slots, w))),
    ]
}
