//! Pumps: stronger, weaker, and what goes through their branches.

use super::*;

impl Search<'_> {
    /// Weaker pumps before an outlet, with their branches set to no more.
    pub(super) fn send_less(&self, station: usize, most: VolumeRate) -> Option<Lever<'_>> {
        let (d, w) = (self.d, self.w);
        let mut pumps: Vec<usize> = self.ways.from_pumps(station).map(|k| self.ways.edges[k].0).collect();
        if pumps.is_empty() {
            pumps = (0..self.ways.stations.len()).filter(|&s| self.ways.is_pump(s)).collect();
        }
        pumps.dedup();
        let at = move |k: usize| {
            let share = between(1.0, reach::LEAST_FLOW, k as f64 / FINE as f64);
            let mut edits = vec![];
            let mut said = vec![];
            for &p in &pumps {
                let i = self.ways.stations[p].index;
                let most = d.pumps[i].can_send();
                let to = FLOW.of(nice(FLOW.0, most.value * share, most.value, w.system));
                said.push(format!("a pump that can send {} at the most", w.q(FLOW, to)));
                let key = self.strength(i);
                edits.push(Edit::num(format!("pumps.{i}.{key}"), to));
                // Its branches no more than it can, in the parts that they have.
                let out = || self.ways.out_of(p);
                let set: f64 = out().map(|k| d.edges[k].flow.value).sum();
                if set > to.value {
                    edits.extend(
                        out().map(|k| Edit::num(format!("edges.{k}.flow"), d.edges[k].flow * (to.value / set))),
                    );
                }
            }
            let title = said.join(", ");
            Change { title: sentence(&title), edits }
        };
        (most.value > 0.0).then(|| Lever { steps: FINE, at: Box::new(at), also: vec![] })
    }

    /// More through the branches into a station: those whose flow is worked out, then those that are set.
    pub(super) fn send(&self, station: usize) -> Vec<Lever<'_>> {
        let mut all = vec![];
        for k in self.ways.from_pumps(station).filter(|&k| !self.set_by_hand(k)) {
            let (run, pump) = (format!("edges.{k}.run.0"), format!("pumps.{}.curve.0", self.pump_of(k)));
            all.extend(self.number_to(&format!("{run}.open"), 1.0, &[]));
            all.extend(self.wider_supply(&run));
            all.extend(self.wider_supply(&pump));
            all.extend(self.up(&format!("{pump}.free_flow"), reach::FREE_FLOW, &[MORE_WATER]));
            all.extend(self.up(&format!("{pump}.shut_off"), reach::SHUT_OFF, &[MORE_WATER]));
        }
        for k in self.ways.from_pumps(station).filter(|&k| self.set_by_hand(k)) {
            all.extend(self.set_to_more(k));
            all.push(self.stronger(k));
        }
        all
    }

    /// The pump that a branch leaves.
    fn pump_of(&self, k: usize) -> usize {
        self.ways.stations[self.ways.edges[k].0].index
    }

    /// A branch set to more, as far as its pump can send it.
    fn set_to_more(&self, k: usize) -> Option<Lever<'_>> {
        let (from, to) = (self.d.edges[k].flow.value, self.d.can_lift(&self.d.pumps[self.pump_of(k)]).value);
        let (w, name) = (self.w, self.ways.stations[self.ways.edges[k].1].name);
        let at = move |step: usize| {
            let x = between(from.max(FLOW_NEW), to, step as f64 / FINE as f64);
            let x = nice(FLOW.0, x, from, w.system).min(to);
            let title = format!("Send {} to {name} instead of {}", w.q(FLOW, FLOW.of(x)), w.q(FLOW, FLOW.of(from)));
            Change { title, edits: vec![Edit::num(format!("edges.{k}.flow"), FLOW.of(x))] }
        };
        (to > from).then(|| Lever { steps: FINE, at: Box::new(at), also: vec![] })
    }

    /// A wider supply pipe, by size.
    pub(super) fn wider_supply(&self, root: &str) -> Option<Lever<'_>> {
        let Some(EditValue::Option(id)) = form::value_at(&mut self.d.clone(), &format!("{root}.pipe")) else {
            return None;
        };
        let pipe = piping::named(&id);
        let bore = pipe.bore()?;
        let wider: Vec<_> =
            PIPES.iter().filter(|p| piping::like(p, pipe) && p.bore().is_some_and(|b| b > bore)).collect();
        let (steps, root, owner, system) =
            (wider.len().min(reach::SUPPLY_SIZES), root.to_string(), self.owner(root), self.w.system);
        let what = if root.starts_with("pumps") { "main pipe" } else { "pipe" };
        let at = move |k: usize| {
            let p = wider[k.clamp(1, wider.len()) - 1];
            Change {
                title: format!("{owner}{} {what}", p.words(system)),
                edits: vec![Edit::pick(format!("{root}.pipe"), p.id)],
            }
        };
        (steps > 0).then(|| Lever { steps, at: Box::new(at), also: vec![] })
    }

    /// The field that says how much a pump can send.
    pub(super) fn strength(&self, pump: usize) -> &'static str {
        if self.d.pumps[pump].curve.is_empty() { "most" } else { "curve.0.free_flow" }
    }

    /// What a pump can send, or what it is set to if that is more, m3/s.
    pub(super) fn strength_now(&self, pump: usize) -> f64 {
        self.d.pumps[pump].can_send().max(supply::asked_of(self.d, self.ways, pump)).value
    }

    /// A stronger pump, with one branch given what is more.
    pub(super) fn stronger(&self, k: usize) -> Lever<'_> {
        let (d, w) = (self.d, self.w);
        let i = self.pump_of(k);
        let set = d.edges[k].flow.value;
        // From what it can send, or from what it is set to if that is more.
        let most = self.strength_now(i);
        let key = self.strength(i);
        let at = move |step: usize| {
            let up = nice(FLOW.0, between(most, reach::STRONGER * most, step as f64 / FINE as f64), most, w.system);
            let (up, set) = (FLOW.of(up), FLOW.of(set + up - most));
            let title = self.stronger_words(up, &[(k, set)]);
            let edits = vec![Edit::num(format!("pumps.{i}.{key}"), up), Edit::num(format!("edges.{k}.flow"), set)];
            Change { title, edits }
        };
        Lever { steps: FINE, at: Box::new(at), also: vec![COSTS] }
    }

    /// The pump that a change makes stronger for branches of its own and does nothing else, and the field of that.
    pub(super) fn stronger_of(&self, change: &Change) -> Option<(usize, String)> {
        let (first, rest) = change.edits.split_first()?;
        let pump = (0..self.d.pumps.len()).find(|&i| first.path == format!("pumps.{i}.{}", self.strength(i)))?;
        let station = self.ways.place(StationKind::Pump, pump);
        let own =
            |e: &Edit| edge_of(&e.path).is_some_and(|k| self.ways.edges[k].0 == station && e.path.ends_with(".flow"));
        (!rest.is_empty() && rest.iter().all(own)).then(|| (pump, first.path.clone()))
    }

    /// A stronger pump in words, with what goes through some of its branches.
    pub(super) fn stronger_words(&self, sends: VolumeRate, parts: &[(usize, VolumeRate)]) -> String {
        let (w, name) = (self.w, |k: usize| self.ways.stations[self.ways.edges[k].1].name);
        let parts = parts
            .iter()
            .enumerate()
            .map(|(n, &(k, q))| format!("{}{} to {}", w.q(FLOW, q), if n == 0 { " of it" } else { "" }, name(k)));
        format!("A pump that can send {}, {}", w.q(FLOW, sends), listed(&parts.collect::<Vec<_>>()))
    }

    /// Less through some branches, all in the same part.
    pub(super) fn scaled(&self, edges: Vec<usize>, who: String) -> Lever<'_> {
        let (d, w) = (self.d, self.w);
        let all: f64 = edges.iter().map(|&k| d.edges[k].flow.value).sum();
        let at = move |k: usize| {
            let to = nice(FLOW.0, between(1.0, reach::LEAST_FLOW, k as f64 / FINE as f64) * all, all, w.system);
            let share = if all > 0.0 { to / all } else { 1.0 };
            let edits = edges.iter().map(|&k| Edit::num(format!("edges.{k}.flow"), d.edges[k].flow * share));
            let title = format!("Set {who} to send {} instead of {}", w.q(FLOW, FLOW.of(to)), w.q(FLOW, FLOW.of(all)));
            Change { title, edits: edits.collect() }
        };
        Lever { steps: FINE, at: Box::new(at), also: vec![] }
    }
}
