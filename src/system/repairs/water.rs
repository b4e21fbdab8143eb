//! What is done about a water test: salt, new water, what is fed meanwhile, the pH, a filter that ripens.

use super::*;

impl Search<'_> {
    /// Salt against nitrite, which shows in the level only in part, or not at all.
    pub(super) fn salt(&self, target: &Checked, day: &Solved) -> Option<Found> {
        let quality::AmmoniaSolved { inputs, out, .. } = day.ammonia.as_ref()?;
        let (title, edit) = ammonia_page::salted(ammonia_page::chloride_in(inputs), out.salt, inputs.volume, self.w)?;
        let change = Change { title, edits: vec![Edit { path: CHLORIDE.into(), ..edit }] };
        let (mut found, ..) = self.brought(target, &change, &[SALT_SHY])?;
        found.repair.effect = format!("{} {}", ammonia_page::SALT_BRINGS, found.repair.effect);
        Some(Found { at_once: true, ..found })
    }

    /// What is fed to fish that stand before a filter too new to count on, as the water test's own page has it: they cannot wait for it.
    pub(super) fn fed_for_now(&self, target: &Checked) -> Option<Found> {
        let today = check::solve_with(self.d, self.ways, Day::Today, &mut self.shared.borrow_mut()).ok()?;
        let out = &today.ammonia.as_ref().filter(|a| a.too_new())?.out;
        let (most, fed) = (ammonia_page::most_fed(out)?, |i: &usize| check::fed_today(self.d, *i));
        let tanks = (0..self.d.tanks.len()).filter(|i| fed(i).value > 0.0);
        let edits = tanks.flat_map(|i| {
            let under = |key: &str| format!("tanks.{i}.oxygen.{key}");
            [Edit::pick(under("feed_by"), "weighed"), Edit::num(under("feed"), fed(&i) * (most / out.feed))]
        });
        let mut edits: Vec<_> = edits.collect();
        form::as_shown(&mut edits, &self.layout, self.w.system);
        let all = if edits.len() > 2 && most.value > 0.0 { " in all" } else { "" };
        let title = format!(
            "Feed {}{all} for now, with a third of the water changed every day",
            self.w.amount(FEED_RATE, most)
        );
        let (found, ..) = self.brought(target, &Change { title, edits }, &[])?;
        Some(Found { at_once: true, ..found })
    }

    /// The water changed against ammonia and nitrite. Where salt alone does not do against the nitrite it goes in first.
    pub(super) fn freshen(&self, day: &Solved, cause: Note) -> Option<Lever<'_>> {
        let quality::AmmoniaSolved { inputs, out, .. } = day.ammonia.as_ref()?;
        let chloride = ammonia_page::chloride_in(inputs);
        let high = out.nitrite.value > inputs.species.nitrite_limit().value * ENOUGH;
        // Where plants are harmed by it new water comes without, and salt by itself last.
        let salt = if high && salt_shy(self.d).is_none() { out.salt } else { MASS.of(0.0) };
        let first = ammonia_page::salted(chloride, salt, inputs.volume, self.w);
        let first = first.map(|(title, edit)| (title, Edit { path: CHLORIDE.into(), ..edit }));
        // Chloride goes out with the rest, down to that of new water.
        let read = vec![
            ("ammonia.0.tan".into(), 0.0),
            (NITRITE.into(), 0.0),
            (CHLORIDE.into(), mg_l(ammonia_page::OF_NEW_WATER)),
        ];
        Some(self.renew("ammonia and nitrite", read, first, cause))
    }

    /// A pH let down, where as much ammonia would be borne at one that is not as high: that is the cause then.
    pub(super) fn alkaline(&self, day: &Solved) -> Option<Lever<'_>> {
        let quality::AmmoniaSolved { inputs: i, out, .. } = day.ammonia.as_ref()?;
        let there = brackish::unionised_share(i.temperature, RATIO.of(USUAL), i.salinity).ok()?;
        if i.ph.value <= ammonia_page::ALKALINE || (out.tan * there).value > i.species.unionised_limit().value {
            return None;
        }
        let (now, lower) = (i.ph, self.number_to("ammonia.0.ph", NEUTRAL, &[])?);
        let at = move |k: usize| {
            let Change { edits, .. } = (lower.at)(k);
            let to = edits.iter().find_map(|e| if let EditValue::Si(x) = e.to { Some(x) } else { None });
            Change { title: ammonia_page::let_down(now, RATIO.of(to.unwrap_or(NEUTRAL)), self.w), edits }
        };
        Some(Lever { steps: FINE, at: Box::new(at), also: vec![TAKES_DAYS] })
    }

    /// A part of the water changed for water without something, by what is read and what new water brings of it; after something that comes first
    /// and sets what is read.
    pub(super) fn renew<'a>(
        &'a self,
        without: &'static str,
        read: Vec<(String, f64)>,
        first: Option<(String, Edit)>,
        cause: Note,
    ) -> Lever<'a> {
        let (w, water) = (self.w, quality::volume(self.d));
        let also = first.is_some().then_some(SALT_SHY).into_iter().chain([TEST, cause]).collect();
        let set = |p: &str| first.as_ref().filter(|f| f.1.path == p).map(|f| f.1.to.clone());
        let now = |p: &str| if let Some(EditValue::Si(x)) = set(p) { Some(x) } else { Some(self.field(p)?.1) };
        let read: Vec<_> = read.into_iter().filter_map(|(p, new)| Some((now(&p)?, new, p))).collect();
        let at = move |k: usize| {
            let share = PERCENT.of(k as f64 / FINE as f64);
            let ammonia_page::Renewal { change, how, left } = ammonia_page::renewal(share, water, first.is_some(), w);
            let title = format!("{change} ({how}), with water free of {without}");
            let reading = |(x, new, path): &(f64, f64, String)| Edit {
                path: path.clone(),
                to: EditValue::Si(x - (x - new).max(0.0) * (1.0 - left)),
            };
            let title = first.as_ref().map_or(title.clone(), |(before, _)| self.and(before, &title));
            Change { title, edits: read.iter().map(reading).collect() }
        };
        Lever { steps: FINE, at: Box::new(at), also }
    }

    /// A filter that is still young grows up.
    pub(super) fn ripen(&self, day: &Solved) -> Option<Lever<'_>> {
        let (from, w) = (self.d.water.filter_age, self.w);
        // Until it is ripe: the day on which it just carries the fish comes only if the feed was raised to that day.
        let to = ammonia::ripe_after(self.d.water.coldest.min(self.d.water.today));
        let to = DAYS.of(days((to.value / days(1.0) - 1e-9).ceil())).min(DAYS.of(OLDEST));
        // Nobody may have said yet how old it is.
        let asks = if from.value > 0.0 { "" } else { " (or say how long it has been fed already)" };
        let title = format!(
            "Ripen the filter first and stock in steps, as “Start-up” has it{asks}: fed for {} instead of {}",
            w.q(DAYS, to),
            w.q(DAYS, from)
        );
        let edits = vec![Edit::num("water.filter_age", to)];
        // Fish that are in do not bear the wait.
        let stands = day.ammonia.as_ref().is_some_and(quality::AmmoniaSolved::too_new);
        let also: &[Note] = if stands { &[TAKES_DAYS, ENTER] } else { &[WAIT] };
        (to > from && !self.d.ammonia.is_empty()).then(|| self.once(&title, edits, also))
    }
}
