//! What is tried: the least of one change, of two, and of one for each level that is over.

use super::*;

impl Search<'_> {
    /// The repairs of one level.
    pub(super) fn of(&self, target: &Checked, day: &Solved) -> Vec<Found> {
        let levers: Vec<_> = self.levers(target, day).into_iter().map(|lever| self.as_shown(lever)).collect();
        let mut found = vec![];
        let mut short: Vec<(f64, &Lever<'_>)> = vec![];
        for lever in &levers {
            match self.least(target, lever) {
                Ok(f) => found.push(f),
                Err(Some(load)) if load < target.level.fullness() - 1e-3 => short.push((load, lever)),
                Err(_) => {}
            }
        }
        crate::units::arrange(&mut short, |a, b| a.0.total_cmp(&b.0));
        // What chokes the system does not stand alone where an outlet is too small.
        let chokes = |f: &Found| !f.puts_over.is_empty();
        if found.iter().all(chokes) && (found.is_empty() || target.level.id == level::OUTLET) {
            found.extend(self.pair(target, &short[..short.len().min(PAIRED)]));
        }
        // Where nothing brings it to four fifths, what helps most is better than nothing; it says how far it goes. Water that goes on
        // killing by its warmth is no repair.
        if found.is_empty() {
            let far = |(_, lever): &(f64, &Lever<'_>)| {
                let whole = |k: usize| self.tried(target, &(lever.at)(k), &lever.also);
                let end = whole(lever.steps)?;
                let level = &end.repair.level;
                if level.leads && level.kind.is(TEMPERATURE.0) {
                    return None;
                }
                // No farther than it helps.
                let most = (level.leads, level.fullness() + NO_WORSE);
                let as_good = |f: Found| f.repair.level.weight() <= most && f.over <= end.over;
                let k = least_step(lever.steps, |k| whole(k).is_some_and(as_good));
                if k < lever.steps { whole(k) } else { Some(end) }
            };
            found.extend(short.iter().take(PAIRED).find_map(far));
        }
        // Whatever else mends it, air is told as far as it goes: it acts while the rest is being done.
        if target.gasps() && !found.iter().any(|f| f.breath() == Some(Breath::Air)) {
            let mut far = short.iter().filter_map(|(_, l)| self.tried(target, &(l.at)(l.steps), &l.also));
            found.extend(far.find(|f| f.breath() == Some(Breath::Air)));
        }
        // So are solids that are drawn off every day: what everybody means comes first.
        let draws = |f: &Found| f.paths().all(|p| p.ends_with(".solids"));
        if target.level.id == level::SOLIDS && !found.iter().any(draws) {
            let mut far = short.iter().filter_map(|(_, l)| self.tried(target, &(l.at)(l.steps), &l.also));
            found.splice(0..0, far.find(draws));
        }
        if target.level.id == level::NITRITE {
            found.splice(0..0, self.salt(target, day));
        }
        if matches!(target.level.id.as_ref(), level::FILTER | level::AMMONIA) {
            found.splice(0..0, self.fed_for_now(target));
        }
        found
    }

    /// A lever that sets what it names: numbers to three figures in the units that are read.
    pub(super) fn as_shown<'a>(&'a self, lever: Lever<'a>) -> Lever<'a> {
        let exact = lever.at;
        let at = move |k: usize| {
            let mut change = exact(k);
            form::as_shown(&mut change.edits, &self.layout, self.w.system);
            change
        };
        Lever { at: Box::new(at), ..lever }
    }

    /// The document with some changes; nothing if one of them is not possible.
    pub(super) fn changed(&self, edits: &[Edit]) -> Option<Document> {
        let mut d = self.d.clone();
        (!edits.is_empty() && form::apply_all(&mut d, edits)).then_some(d)
    }

    /// How full the level is after a change, on its own worst day.
    pub(super) fn load(&self, target: &Checked, edits: &[Edit]) -> Option<f64> {
        let (d, which) = (self.changed(edits)?, (target.station, target.level.id.as_ref(), target.nth));
        check::level_with(&d, self.ways, target.day, &mut self.shared.borrow_mut(), which).map(|l| l.fullness())
    }

    /// The least step of a lever that is enough on every day; otherwise how far its end goes on the worst day.
    pub(super) fn least(&self, target: &Checked, lever: &Lever<'_>) -> Result<Found, Option<f64>> {
        let load = |k: usize| self.load(target, &(lever.at)(k).edits);
        let fits = |k: usize| State::of(load(k)) == State::Enough;
        let end = load(lever.steps);
        let n = lever.steps;
        // It need not fall all the way: what a lever overshoots, some step before its end may do.
        let first = match State::of(end) {
            State::Enough => Some(n),
            _ => [n / 2, n / 4, 3 * n / 4].into_iter().find(|&k| k > 0 && fits(k)),
        };
        let high = first.ok_or(end)?;
        let k = least_step(high, fits);
        let whole = |k: usize| self.tried(target, &(lever.at)(k), &lever.also);
        match whole(k).ok_or(end)? {
            f if f.enough => Ok(f),
            _ if k == high => Err(end),
            // Another day is worse by then.
            _ => {
                let k = k + least_step(high - k, |more| whole(k + more).is_some_and(|f| f.enough));
                whole(k).filter(|f| f.enough).ok_or(end)
            }
        }
    }

    /// The smallest pair of changes that is enough on every day.
    pub(super) fn pair(&self, target: &Checked, levers: &[(f64, &Lever<'_>)]) -> Option<Found> {
        let mut best: Option<(f64, Found)> = None;
        for (i, (_, a)) in levers.iter().enumerate() {
            for (_, b) in &levers[i + 1..] {
                let step = |n: usize, k: usize| (n * k).div_ceil(FINE);
                let both = |k: usize| {
                    let (x, y) = ((a.at)(step(a.steps, k)), (b.at)(step(b.steps, k)));
                    self.joined(x, y)
                };
                let fits = |k: usize| State::of(self.load(target, &both(k).edits)) == State::Enough;
                if !fits(FINE) {
                    continue;
                }
                let k = least_step(FINE, fits);
                let share = k as f64 / FINE as f64;
                if best.as_ref().is_some_and(|b| b.0 <= share) {
                    continue;
                }
                let also = all_of(&a.also, &b.also);
                let at = |k| self.tried(target, &both(k), &also).filter(|f| f.enough);
                // Another day may be worse by then.
                let later = || {
                    at(FINE)?;
                    at(k + least_step(FINE - k, |more| at(k + more).is_some()))
                };
                if let Some(f) = at(k).or_else(later) {
                    best = Some((share, f));
                }
            }
        }
        best.map(|b| b.1)
    }

    /// The best repair of each level that is over, all at once, and of each no more than it then takes.
    pub(super) fn of_everything(
        &self,
        found: &[Found],
        order: impl Fn(&Found) -> (bool, (Breath, Leaves)),
    ) -> Option<Found> {
        let of = |target: &Checked| found.iter().filter(|f| same_side(&f.target, target)).min_by_key(|f| order(f));
        let first = of(self.levels.iter().find(|l| l.level.state() == State::Over)?)?;
        let target = &first.target;
        let mut parts = vec![first.clone()];
        let mut all = first.clone();
        while all.over > 0 && parts.len() < MOST_AT_ONCE {
            let next = all.left.iter().find_map(of).cloned().or_else(|| self.behind(&all, &order))?;
            // What sets the same again takes the place of what was set.
            let had = parts.len();
            parts.retain(|p| !p.paths().all(|path| next.paths().any(|n| n == path)));
            let grows = parts.len() >= had;
            parts.push(next);
            let more = self.together(target, &parts)?;
            // As many may be over where it is others, which the changes themselves put over.
            let new = more.left.iter().any(|l| of(l).is_none());
            if more.over > all.over || more.over == all.over && !(grows && new) {
                return None;
            }
            all = more;
        }
        if all.over > 0 {
            return None;
        }
        // With the others there, one may need less than alone, or not be needed.
        for k in (0..parts.len()).rev() {
            let mut others = parts.clone();
            let own = others.remove(k);
            let Some(less) = self.less(&own, &others) else { continue };
            others.splice(k..k, less);
            if let Some(f) = self.together(target, &others).filter(|f| f.over == 0 && f.enough >= all.enough) {
                (parts, all) = (others, f);
            }
        }
        Some(all)
    }

    /// The best repair of what a change itself puts over, to be made with it.
    pub(super) fn behind<T: Ord>(&self, with: &Found, order: impl Fn(&Found) -> T) -> Option<Found> {
        let d = self.changed(&with.repair.edits)?;
        let days = solve_days_with(&d, self.ways, &Day::ALL, &mut self.shared.borrow_mut()).ok()?;
        let levels = merge(self.ways, &days);
        let was_over = |l: &Checked| self.levels.iter().any(|b| b.is(l) && b.level.state() == State::Over);
        let new = levels.iter().filter(|l| l.level.state() == State::Over && !was_over(l));
        let target = new.flat_map(|l| sides(l, &days)).next()?;
        let layout = form::layout(&mut d.clone());
        let there = Search { d: &d, ways: self.ways, levels: &levels, layout, w: self.w, shared: self.shared };
        let levers = there.levers(&target, days.iter().find(|s| s.day == target.day)?);
        let found = levers.into_iter().filter_map(|l| there.least(&target, &there.as_shown(l)).ok());
        found.filter(|f| f.mends && f.paths().all(|p| with.paths().all(|w| w != p))).min_by_key(|f| order(f))
    }

    /// Several repairs at once.
    pub(super) fn together(&self, target: &Checked, parts: &[Found]) -> Option<Found> {
        let (first, rest) = parts.split_first()?;
        let change = |p: &Found| Change { title: p.repair.title.clone(), edits: p.repair.edits.clone() };
        let all = rest.iter().fold(change(first), |all, p| self.joined(all, change(p)));
        let notes = rest.iter().fold(first.notes.clone(), |a, p| all_of(&a, &p.notes));
        let act = parts.iter().find_map(|p| p.act);
        Some(Found { act, ..self.tried(target, &all, &notes)? })
    }

    /// Two changes at once. Of one pump what both want more is added up, and said in one sentence.
    pub(super) fn joined(&self, mut a: Change, b: Change) -> Change {
        let Some((pump, key)) = self.stronger_of(&a).filter(|p| self.stronger_of(&b).as_ref() == Some(p)) else {
            let title = self.and(&a.title, &b.title);
            return Change { title, edits: a.edits.into_iter().chain(b.edits).collect() };
        };
        let was = |path: &str| match edge_of(path) {
            Some(k) => self.d.edges[k].flow.value,
            None => self.strength_now(pump),
        };
        for e in b.edits {
            let EditValue::Si(more) = e.to else { continue };
            match a.edits.iter_mut().find(|x| x.path == e.path) {
                Some(Edit { to: EditValue::Si(x), .. }) => *x += more - was(&e.path),
                _ => a.edits.push(e),
            }
        }
        let si = |e: &Edit| if let EditValue::Si(x) = e.to { FLOW.of(x) } else { FLOW.of(0.0) };
        let sends = a.edits.iter().find(|e| e.path == key).map_or(FLOW.of(0.0), si);
        let parts: Vec<_> = a.edits.iter().filter_map(|e| Some((edge_of(&e.path)?, si(e)))).collect();
        Change { title: self.stronger_words(sends, &parts), edits: a.edits }
    }

    /// What is left of a repair when the others are there: none, or the least of the same; nothing where that cannot be said.
    pub(super) fn less(&self, own: &Found, others: &[Found]) -> Option<Option<Found>> {
        let change = |p: &Found| Change { title: String::new(), edits: p.repair.edits.clone() };
        let pump = |p: &Found| self.stronger_of(&change(p));
        // What both want of one pump is told from what it is now.
        if pump(own).is_some_and(|own| others.iter().any(|o| pump(o).as_ref() == Some(&own))) {
            return None;
        }
        let edits = others.iter().map(change).reduce(|a, b| self.joined(a, b)).map_or(vec![], |c| c.edits);
        let d = self.changed(&edits)?;
        let days = solve_days_with(&d, self.ways, &Day::ALL, &mut self.shared.borrow_mut()).ok()?;
        let levels = merge(self.ways, &days);
        let over = levels.iter().filter(|l| l.level.state() == State::Over);
        let Some(target) = over.flat_map(|l| sides(l, &days)).find(|l| same_side(l, &own.target)) else {
            return Some(None);
        };
        let layout = form::layout(&mut d.clone());
        let there = Search { d: &d, ways: self.ways, levels: &levels, layout, w: self.w, shared: self.shared };
        let day = days.iter().find(|s| s.day == target.day)?;
        let same = |l: &Lever<'_>| l.steps > 1 && (l.at)(l.steps).edits.iter().map(|e| &e.path).eq(own.paths());
        let levers = there.levers(&target, day).into_iter().filter(same).map(|l| there.as_shown(l));
        let least = levers.filter_map(|l| there.least(&target, &l).ok()).next();
        least.map(Some)
    }

    /// Two changes as one. A name keeps its capital behind the semicolon.
    pub(super) fn and(&self, first: &str, second: &str) -> String {
        let name = self.ways.stations.iter().any(|s| second.starts_with(&format!("{}: ", s.name)));
        format!("{first}; {}", if name { second.into() } else { lower(second) })
    }

    /// Tries a change on the whole system and on every day: what it brings, and what it puts over. Nothing where it brings nothing, or more fish
    /// into water in which more than plants is over.
    pub(super) fn tried(&self, target: &Checked, change: &Change, also: &[Note]) -> Option<Found> {
        let (f, own, more) = self.brought(target, change, also)?;
        (own.weight() < target.level.weight() && !(more && f.left.iter().any(|l| !of_plants(&l.level)))).then_some(f)
    }

    /// What is said of air that a change makes a storm; of several tanks, of the one that is the most of one.
    pub(super) fn storm(&self, s: &Solved, change: &Change) -> Option<String> {
        let of = |t: usize| ["air_flow", "free_flow"].map(|key| format!("tanks.{t}.oxygen.{key}"));
        let set = |t: &usize| change.edits.iter().any(|e| of(*t).contains(&e.path));
        let air = |t: usize| (s.tanks[t].oxygen.air.delivered, s.tanks[t].inputs.volume);
        let share = |(air, water): (VolumeRate, Volume)| (air / water).value;
        let all = (0..s.tanks.len()).filter(set).map(air);
        let (air, water) = all.max_by(|a, b| share(*a).total_cmp(&share(*b)))?;
        storm(air, water, self.w)
    }

    /// What a change brings, its own level then, and whether it brings more fish.
    pub(super) fn brought(&self, target: &Checked, change: &Change, also: &[Note]) -> Option<(Found, Level, bool)> {
        let mut fixed = self.changed(&change.edits)?;
        if !form::check(&mut fixed, System::Metric).is_empty() {
            return None;
        }
        let days = solve_days_with(&fixed, self.ways, &Day::ALL, &mut self.shared.borrow_mut()).ok()?;
        let after = merge(self.ways, &days);
        let level = &after.iter().find(|l| l.is(target))?.level;
        let apart = by_water(target);
        let own = match days.iter().find(|s| apart && s.day == target.day) {
            Some(s) => on_day(target, s)?,
            None => level,
        };
        let when = |day: Day| if apart { day.when() } else { "" };
        let left: Vec<Checked> = after.iter().filter(|l| l.level.state() == State::Over).cloned().collect();
        let was_over = |l: &Checked| self.levels.iter().any(|b| b.is(l) && b.level.state() == State::Over);
        let names = |new: bool| {
            let name = |l: &Checked| inside(&l.level.name) + if l.is(target) { when(l.day) } else { "" };
            let mut all: Vec<String> = left.iter().filter(|l| was_over(l) != new).map(name).collect();
            // What it puts over is named whole.
            if !new && all.len() > NAMED {
                let more = all.split_off(NAMED).len();
                all.push(format!("{more} more"));
            }
            all
        };
        let (puts_over, still) = (names(true), names(false));
        let whole = (still.is_empty() && puts_over.is_empty()).then(|| told(&fixed, after.clone()));
        let then = whole.as_ref().and_then(|all| all.iter().map(|l| l.level.state()).max()).unwrap_or(State::Over);
        let rest = match (still.is_empty(), puts_over.is_empty()) {
            (true, true) => {
                let fullest = whole.into_iter().flatten().next().filter(|l| !l.is(target));
                let fullest =
                    fullest.map(|l| format!("; fullest then: {}, {}", inside(&l.level.name), l.level.percent()));
                format!(" Nothing is over{}.", fullest.unwrap_or_default())
            }
            // What it puts over stands beside it.
            (true, false) => String::new(),
            (false, _) => format!(" Still over: {}.", listed(&still)),
        };
        // What was over already and becomes so much fuller, or comes out at the other end.
        let worse = |l: &Checked| {
            let was = self.levels.iter().find(|b| b.is(l) && b.level.state() == State::Over && !l.is(target))?;
            let fuller = |is: &Level, was: &Level| {
                let flips = || is.side() != was.side();
                let more = is.fullness() > was.fullness() * WORSE || is.leads && !was.leads || flips();
                (is.state() == State::Over && more).then(|| is.percent())
            };
            let today = || Some(fuller(&l.today, &was.today)? + " today");
            Some(format!("{} ({})", inside(&l.level.name), fuller(&l.level, &was.level).or_else(today)?))
        };
        let makes_worse = left.iter().filter_map(worse).collect();
        let storm = days.first().and_then(|s| self.storm(s, change));
        let repair = Repair {
            title: change.title.clone(),
            effect: format!("{}{}: {}.{rest}", level.name, when(target.day), own.percent()),
            edits: change.edits.clone(),
            level: level.clone(),
            then,
            also: None,
        };
        let enough = own.is_enough();
        let mends = own.state() != State::Over || target.level.leads && !own.leads;
        let own = own.clone();
        let target = target.clone();
        let found = Found {
            repair,
            over: left.len(),
            left,
            enough,
            mends,
            at_once: false,
            puts_over,
            makes_worse,
            act: None,
            notes: also.to_vec(),
            storm,
            target,
        };
        let fish = |d: &Document| d.tanks.iter().map(Tank::fish).sum::<f64>();
        Some((found, own, fish(&fixed) > fish(self.d) * (1.0 + 1e-9)))
    }
}

/// What goes with either of two changes.
pub(super) fn all_of(a: &[Note], b: &[Note]) -> Vec<Note> {
    let new = b.iter().filter(|n| !a.contains(n));
    a.iter().chain(new).copied().collect()
}

/// The least of 1 to `high` that fits; `high` must.
fn least_step(high: usize, fits: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (0, high);
    while high - low > 1 {
        let middle = (low + high) / 2;
        if fits(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}
