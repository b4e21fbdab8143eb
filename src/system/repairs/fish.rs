//! Air, fish, and what they are fed.

use super::*;
use crate::catalog::diffusers;

impl Search<'_> {
    /// Air, and what makes more of it.
    pub(super) fn air(&self, i: usize) -> Vec<Lever<'_>> {
        let (t, o) = (&self.d.tanks[i], &self.d.tanks[i].oxygen);
        let under = |key: &str| format!("tanks.{i}.oxygen.{key}");
        let name = &t.name;
        let stones = matches!(o.air.mode, AirMode::Stones | AirMode::Pump) && o.air.on();
        let mut all = vec![];
        if o.meals == Meals::Few {
            let title = format!("{name}: spread the feed over three meals or more");
            all.push(self.once(&title, vec![Edit::pick(under("meals"), "spread")], &[]));
        }
        if stones && o.condition.value < CLEAN {
            let title = format!("{name}: clean or renew the stones");
            all.push(self.once(&title, vec![Edit::num(under("condition"), RATIO.of(1.0))], &[CLOG]));
        }
        if stones && o.air.diffuser.id != diffusers::FINE {
            let title = format!("{name}: fine-pore diffusers in place of these stones");
            all.push(self.once(&title, vec![Edit::pick(under("diffuser"), diffusers::FINE)], &[FINER]));
        }
        if o.fall != Fall::Broken {
            let none = o.fall == Fall::None || o.fall_height.value <= 0.0;
            let height = if none { LENGTH.of(FALL_NEW) } else { o.fall_height };
            let title =
                format!("{name}: let the inflow fall {} over stones or through holes", self.w.q(LENGTH, height));
            let edits = vec![Edit::pick(under("fall"), "broken"), Edit::num(under("fall_height"), height)];
            all.push(self.once(&title, edits, &[LIFT]));
        }
        all.extend(self.blow(i));
        all
    }

    /// More air, or any.
    pub(super) fn blow(&self, i: usize) -> Vec<Lever<'_>> {
        let (name, o) = (&self.d.tanks[i].name, &self.d.tanks[i].oxygen);
        let path = format!("tanks.{i}.oxygen");
        if o.air.mode != AirMode::None {
            let keys = ["air_flow", "free_flow", "rated"].into_iter();
            return keys.filter_map(|key| self.up(&format!("{path}.{key}"), MORE_AIR, &[BATTERY])).collect();
        }
        let (w, depth) = (self.w, o.air.depth);
        let at = move |k: usize| {
            let x = between(AIR_NEW[0], AIR_NEW[1], k as f64 / FINE as f64);
            let air = AIR_FLOW.of(nice(AIR_FLOW.0, x, 0.0, w.system));
            let title = format!("{name}: {} of air through stones, {} deep", w.q(AIR_FLOW, air), w.q(LENGTH, depth));
            let edits = vec![Edit::pick(format!("{path}.air"), "stones"), Edit::num(format!("{path}.air_flow"), air)];
            Change { title, edits }
        };
        vec![Lever { steps: FINE, at: Box::new(at), also: vec![BATTERY] }]
    }

    /// More air in every tank with fish that lacks some: they share the water. Each is given as many times of what it breathes on the day.
    pub(super) fn air_in_all(&self, day: &Solved) -> Option<Lever<'_>> {
        let tanks: Vec<_> = (0..self.d.tanks.len()).filter(|&i| self.d.tanks[i].fish() > 0.0).collect();
        let none = |i: &&usize| self.d.tanks[**i].oxygen.air.mode == AirMode::None;
        // What a tank without any lacks is told by a little of it.
        let little = tanks.iter().filter(none).flat_map(|i| {
            let path = |key: &str| format!("tanks.{i}.oxygen.{key}");
            [Edit::pick(path("air"), "stones"), Edit::num(path("air_flow"), AIR_FLOW.of(AIR_NEW[0]))]
        });
        let aired = self.changed(&little.collect::<Vec<_>>());
        let aired = aired.and_then(|d| check::solve_with(&d, self.ways, day.day, &mut self.shared.borrow_mut()).ok());
        let solved = aired.as_ref().unwrap_or(day);
        let each = tanks.iter().filter_map(|&i| {
            let (o, fresh) = (&solved.tanks[i].oxygen, none(&&i));
            let most = if fresh { AIR_NEW[1] / AIR_NEW[0] } else { MORE_AIR };
            // By the air alone: what comes in from the others is what they are given too.
            let wants = (o.demand_peak / (o.air.gain.0 * (o.air.saturation - o.floor))).value;
            let wants = if wants.is_finite() && wants > 0.0 { wants } else { most };
            Some((&self.d.tanks[i].name, self.blow(i).into_iter().next()?, wants, most))
        });
        let each: Vec<(&String, Lever<'_>, f64, f64)> = each.collect();
        // Past what gives the first all that it can have, for days that ask more of the others; what lacks nothing is left as it is.
        let ends = each.iter().map(|e| (1.0 / e.2, 2.0 * e.3 / e.2));
        let (from, to) = ends.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)))?;
        let all = tanks.len() > 1 && each.len() == tanks.len();
        let at = move |k: usize| {
            let times = between(from, to, k as f64 / FINE as f64);
            // Where along its own range a tank has so many times of what it has.
            let step = |wants: f64, most: f64| (wants * times).ln() / most.ln() * FINE as f64;
            let more = each.iter().filter(|e| e.2 * times > 1.0 + 1e-9);
            let more: Vec<_> = more
                .map(|(name, l, wants, most)| (name, (l.at)((step(*wants, *most).ceil() as usize).min(FINE))))
                .collect();
            // Air in one tank alone is a lever of its own.
            if more.len() < 2 {
                return Change { title: String::new(), edits: vec![] };
            }
            let what = |c: &Change, name: &str| c.title.strip_prefix(name).unwrap_or(&c.title).to_string();
            let mut said: Vec<String> = more.iter().map(|(name, c)| what(c, name)).collect();
            said.dedup();
            let title = match &said[..] {
                [one] if more.len() == each.len() => format!("In each tank{one}"),
                _ => {
                    let titles = more.iter().map(|(_, c)| c.title.clone());
                    titles.reduce(|t, next| self.and(&t, &next)).unwrap_or_default()
                }
            };
            Change { title, edits: more.into_iter().flat_map(|(_, c)| c.edits).collect() }
        };
        all.then(|| Lever { steps: FINE, at: Box::new(at), also: vec![BATTERY] })
    }

    /// A lever with no more weighed out than is eaten.
    pub(super) fn as_eaten_with<'a>(&'a self, lever: Lever<'a>) -> Option<Lever<'a>> {
        Some(self.with(self.feed_as_eaten()?, lever))
    }

    /// The solids of a tank drawn off every day.
    pub(super) fn draw(&self, i: usize) -> Option<Lever<'_>> {
        let (t, edits) = (&self.d.tanks[i], vec![Edit::pick(format!("tanks.{i}.oxygen.solids"), "drawn")]);
        let title = format!("{}: draw the solids off every day", t.name);
        (t.oxygen.solids != Solids::Drawn).then(|| self.once(&title, edits, &[FLOOR_DRAIN]))
    }

    /// Fewer fish in some tanks, every group alike.
    pub(super) fn fewer(&self, tanks: &[usize]) -> Option<Lever<'_>> {
        let groups = tanks.iter().flat_map(|&i| &self.d.tanks[i].oxygen.fish);
        let most = groups.map(|g| (g.total() / g.mass).value).fold(1.0, f64::max);
        // No fish at all are no repair, nor hardly any: one of the largest group is left, and a tenth of all.
        let steps = FINE - (FINE as f64 * (1.0 / most).max(LEAST_FISH)).ceil() as usize;
        let also = quality::too_cold_to_net(self.d).then_some(NOT_NETTED).into_iter().collect();
        (steps > 0).then(|| Lever { steps, also, ..self.stocked(tanks, 0.0) })
    }

    /// More fish in every tank.
    pub(super) fn more_in_all(&self) -> Option<Lever<'_>> {
        let all: Vec<_> = (0..self.d.tanks.len()).collect();
        self.d.tanks.iter().any(|t| t.fish() >= 1.0).then(|| self.stocked(&all, MORE_FISH))
    }

    /// So many times the fish in some tanks, every group alike.
    pub(super) fn stocked(&self, tanks: &[usize], to: f64) -> Lever<'_> {
        let tanks = tanks.to_vec();
        let all: f64 = tanks.iter().map(|&i| self.d.tanks[i].fish()).sum();
        let w = self.w;
        let at = move |k: usize| {
            let share = 1.0 + (to - 1.0) * k as f64 / FINE as f64;
            let mut edits = vec![];
            let mut left = 0.0;
            for &i in &tanks {
                let o = &self.d.tanks[i].oxygen;
                for (g, f) in o.fish.iter().enumerate() {
                    let root = format!("tanks.{i}.oxygen.fish.{g}");
                    let have = (f.total() / f.mass).value;
                    let keep = (have * share).floor();
                    left += keep;
                    edits.push(Edit::num(format!("{root}.count"), COUNT.of(keep)));
                    edits.push(Edit::num(format!("{root}.biomass"), f.mass * keep));
                }
                if o.feed_by == FeedBy::Weighed {
                    edits.push(Edit::num(format!("tanks.{i}.oxygen.feed"), o.feed * share));
                }
            }
            let of = match tanks.as_slice() {
                [i] => format!("{}: ", self.d.tanks[*i].name),
                _ => "In all tanks: ".into(),
            };
            Change {
                title: format!("{of}{} fish instead of {}", w.q(COUNT, COUNT.of(left)), w.q(COUNT, COUNT.of(all))),
                edits,
            }
        };
        Lever { steps: FINE, at: Box::new(at), also: vec![] }
    }

    /// Fewer fish in every tank.
    pub(super) fn fewer_in_all(&self) -> Option<Lever<'_>> {
        self.fewer(&(0..self.d.tanks.len()).collect::<Vec<_>>())
    }

    /// Less feed where there is one tank: of several, nobody can say which, but for what is not eaten.
    pub(super) fn feed_the_only_less(&self) -> Option<Lever<'_>> {
        if self.d.tanks.len() == 1 { self.feed_less(0) } else { self.feed_as_eaten() }
    }

    /// The most that the fish of a tank are given, or eat, this year.
    pub(super) fn of_year(&self, i: usize, by: fn(&[FishGroup], ThermodynamicTemperature) -> f64) -> f64 {
        let year = &self.d.water;
        let all = [year.today, year.coldest, year.hottest].map(|t| by(&self.d.tanks[i].oxygen.fish, t));
        all.into_iter().fold(0.0, f64::max)
    }

    /// What they eat today, which is when it is weighed out; where that is nothing, the most of the year.
    pub(super) fn eaten(&self, i: usize) -> f64 {
        let today = check::eaten(&self.d.tanks[i].oxygen.fish, self.d.water.today);
        if today > 0.0 { today } else { self.of_year(i, check::eaten) }
    }

    /// Is more weighed out in a tank than its fish eat?
    pub(super) fn is_left(&self, i: usize) -> bool {
        let (t, eaten) = (&self.d.tanks[i], self.eaten(i));
        t.oxygen.feed_by == FeedBy::Weighed && t.fish() > 0.0 && t.oxygen.feed.value > eaten * UNEATEN
    }

    /// What they eat, in every tank in which more is weighed out.
    pub(super) fn feed_as_eaten(&self) -> Option<Lever<'_>> {
        let tanks: Vec<_> = (0..self.d.tanks.len()).filter(|&i| self.is_left(i)).collect();
        let feed = |i: &usize| {
            let o = &self.d.tanks[*i].oxygen;
            (format!("tanks.{i}.oxygen.feed"), o.feed, FEED_RATE.of(self.eaten(*i)))
        };
        let all: Vec<_> = tanks.iter().map(feed).collect();
        let q = |x| self.w.q(FEED_RATE, x);
        let title = |(i, (_, was, to)): (&usize, &(String, MassRate, MassRate))| {
            format!("{}: feed {} instead of {}", self.d.tanks[*i].name, self.w.amount(FEED_RATE, *to), q(*was))
        };
        let title = tanks.iter().zip(&all).map(title).collect::<Vec<_>>().join("; ");
        let edits = all.into_iter().map(|(path, _, to)| Edit::num(path, to)).collect();
        (!tanks.is_empty()).then(|| self.once(&title, edits, &[ROTS]))
    }

    /// Less feed than today's; from then on it goes with the fish and the water. Who feeds by a table weighs out a part of what that gives today.
    pub(super) fn feed_less(&self, i: usize) -> Option<Lever<'_>> {
        let (fed, w, o) = (check::fed_today(self.d, i).value, self.w, &self.d.tanks[i].oxygen);
        let (by_table, eaten) = (o.feed_by != FeedBy::Weighed, self.eaten(i));
        // What they do not eat first: without it they grow no less.
        if self.is_left(i) {
            return self.feed_as_eaten();
        }
        let least = if by_table || eaten <= 0.0 { fed } else { eaten.min(fed) } * LEAST_FED;
        if fed <= 0.0 || fed < least {
            return None;
        }
        let at = move |k: usize| {
            let feed = nice(FEED_RATE.0, fed + (least - fed) * k as f64 / FINE as f64, fed, w.system).max(least);
            let (root, name) = (format!("tanks.{i}.oxygen"), &self.d.tanks[i].name);
            let (feed, was) = (FEED_RATE.of(feed), w.q(FEED_RATE, FEED_RATE.of(fed)));
            let to = w.q(FEED_RATE, feed);
            let title = if by_table {
                format!("{name}: weigh out {to} instead of the {was} of today")
            } else {
                format!("{name}: feed {to} instead of {was}")
            };
            Change {
                title,
                edits: vec![Edit::pick(format!("{root}.feed_by"), "weighed"), Edit::num(format!("{root}.feed"), feed)],
            }
        };
        let also = by_table.then_some(AS_MUCH_LESS).into_iter().chain([GROW_LESS]).collect();
        Some(Lever { steps: FINE, at: Box::new(at), also })
    }
}
