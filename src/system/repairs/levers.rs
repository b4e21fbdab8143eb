//! What can be changed about each level, and how a number is changed.

use super::*;
use crate::calculators::heat::Place;
use crate::catalog::crops::{Crop, Stands};
use crate::catalog::settlers;
use crate::science::treatment::Buffer;

/// The level whose levers are looked for, on its day, and its station.
struct At<'a> {
    target: &'a Checked,
    day: &'a Solved,
    station: &'a Station<'a>,
    i: usize,
    path: String,
}

impl Search<'_> {
    /// What can be changed about a level.
    pub(super) fn levers(&self, target: &Checked, day: &Solved) -> Vec<Lever<'_>> {
        let station = &self.ways.stations[target.station];
        let at = &At { target, day, station, i: station.index, path: station.path() };
        match (station.kind, target.level.id.as_ref()) {
            (_, level::OUTLET) => self.of_outlet(at),
            (StationKind::Tank, level::OXYGEN) => self.of_oxygen(at),
            (StationKind::Tank, level::TURNOVER) => self.of_turnover(at),
            (StationKind::Tank, level::DENSITY) => self.of_density(at),
            (StationKind::Tank, level::SOLIDS) => self.of_solids(),
            (StationKind::Tank, level::WARMTH) => self.of_warmth(at),
            (StationKind::Pump, level::LIFT) => self.of_lift(at),
            (StationKind::Pump, _) => self.of_pump(at),
            (StationKind::Settler, level::SETTLING) => self.of_settling(at),
            (StationKind::Settler, level::HEAD) => self.of_settler_pipes(at),
            (StationKind::Bed, level::BED) => self.of_bed(at),
            (StationKind::Bed, level::ROOTS) => self.of_roots(at),
            (StationKind::Bed, level::INFLOW) => self.of_inflow(at),
            (StationKind::Bed, level::RING) => self.of_siphon(at, "bell", reach::BELL),
            (StationKind::Bed, level::GAP) => self.of_siphon(at, "gap", reach::GAP),
            (StationKind::Bed, level::SLOTS) => self.of_siphon(at, "slots", reach::SLOTS),
            (StationKind::Bed, level::BED_RIM) => self.of_bed_rim(at),
            (StationKind::Sump, level::DRY | level::SPILL | level::SUMP) => self.of_sump(at),
            // A pump draws from it.
            (StationKind::Tank, level::DRY) => self.of_drawn_tank(at),
            (_, level::UNIONISED | level::TAN | level::NITRITE) => self.of_poison(at),
            (_, level::SALT) => self.of_salt(),
            (StationKind::Bed, level::CROP_SALT) => self.of_crop_salt(at),
            (_, level::PH | level::ALKALINITY | level::CARBON_DIOXIDE) if self.levels.iter().any(Checked::by_ph) => {
                self.of_ph(at)
            }
            (_, level::ALKALINITY) => self.of_alkalinity(at),
            (_, level::CARBON_DIOXIDE) => self.of_carbon_dioxide(at),
            (_, level::FILTER | level::AMMONIA | level::FLOW) => self.of_filter(at),
            (_, level::HEATER) => self.of_heater(),
            (_, level::CUT) => self.warmer(),
            (_, level::SUMMER) => self.cooler(at.day),
            _ => self.of_unknown(at),
        }
    }

    /// A wider outlet, or less water before it.
    fn of_outlet(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (day, station) = (at.day, at.target.station);
        let mut all = self.wider(at.station.kind, at.i, day);
        all.extend(self.send_less(station, FLOW.of(day.flows.most[station])));
        for b in supply::siphons_above(self.d, self.ways, station) {
            all.extend(self.standpipes(b, true));
            all.extend(self.down(&format!("beds.{b}.siphon.0.flood"), &[]));
        }
        all
    }

    /// Air, no more feed than is eaten, more water, fewer fish, less feed.
    fn of_oxygen(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, day, i) = (at.target, at.day, at.i);
        let tank = &day.tanks[i];
        let mut all = self.air(i);
        all.extend(self.air_in_all(day));
        // No blower for feed that nobody eats.
        if let Some(eaten) = self.feed_as_eaten() {
            let alone = self.tried(target, &(eaten.at)(1), &[ROTS]).is_some_and(|f| f.enough);
            all = if alone { vec![] } else { all.into_iter().filter_map(|l| self.as_eaten_with(l)).collect() };
            all.extend((!self.is_left(i)).then_some(eaten));
        }
        if tank.flow.value > 0.0 && self.d.tanks[i].oxygen.fall != Fall::None {
            all.extend(self.send(target.station));
        }
        if tank.throttled {
            all.extend(self.wider(at.station.kind, i, day));
        }
        if tank.at_lowest_sump {
            all.extend(self.fuller_sumps());
        }
        all.extend(self.fewer(&[i]));
        // Tanks on one loop share its water: what one lacks the others may have taken.
        if self.d.tanks.iter().filter(|t| t.fish() > 0.0).count() > 1 {
            all.extend(self.fewer_in_all());
        }
        all.extend(self.feed_less(i));
        all.extend(self.harvested_smaller(at));
        all
    }

    /// Fish that are taken out before they are as large, where it is those that are too much.
    fn harvested_smaller(&self, at: &At<'_>) -> Option<Lever<'_>> {
        if at.target.day.of_harvest() { self.down(&format!("{}.harvest", at.path), &[]) } else { None }
    }

    /// More water through a tank.
    fn of_turnover(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let mut all = self.send(at.target.station);
        if at.day.tanks[at.i].throttled {
            all.extend(self.wider(at.station.kind, at.i, at.day));
        }
        all
    }

    /// Fewer fish in a tank, or a larger one.
    fn of_density(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (i, path) = (at.i, &at.path);
        let mut all = some(vec![
            self.fewer(&[i]),
            self.up(&format!("{path}.oxygen.volume"), reach::SIZE, &[DRAINS]),
            self.harvested_smaller(at),
        ]);
        if !self.d.tanks[i].oxygen.air.on() {
            all.extend(self.air(i));
        }
        all.extend(self.draw(i));
        all
    }

    /// Solids drawn off, medium that bears what is left, less feed. Roots under a raft bear solids worst (FAO 589, 4.5): more of them is no way.
    fn of_solids(&self) -> Vec<Lever<'_>> {
        let mut all: Vec<_> = self.drawn_off().into_iter().collect();
        for b in (0..self.d.beds.len()).filter(|&b| self.d.beds[b].bed.method.holds_medium()) {
            all.extend(self.up(&format!("beds.{b}.bed.area"), reach::SIZE, &[SETTLER]));
        }
        for mut lever in self.fewer_in_all().into_iter().chain(self.feed_the_only_less()) {
            lever.also.push(SETTLER);
            all.push(lever);
        }
        all
    }

    /// The solids of every tank whose water meets no settler, drawn off every day. That is what a settler is for, but a station is nothing that an
    /// edit puts in.
    fn drawn_off(&self) -> Option<Lever<'_>> {
        let stay = |t: &usize| {
            let place = self.ways.place(StationKind::Tank, *t);
            let left = self.d.tanks[*t].oxygen.solids != Solids::Drawn;
            left && check::unsettled(self.ways, place, &|_| true) > 0.0
        };
        let tanks: Vec<_> = (0..self.d.tanks.len()).filter(stay).collect();
        let names: Vec<String> = tanks.iter().map(|&t| self.d.tanks[t].name.clone()).collect();
        let title =
            format!("{}: draw the solids off every day, best with a settler between tank and beds", listed(&names));
        let edits = tanks.iter().map(|t| Edit::pick(format!("tanks.{t}.oxygen.solids"), "drawn")).collect();
        (!tanks.is_empty()).then(|| self.once(&title, edits, &[SETTLING_PAGE]))
    }

    /// Water in which the fish are well.
    fn of_warmth(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, i) = (at.target, at.i);
        let mut all = vec![];
        if let Some(g) = self.d.tanks[i].oxygen.fish.get(target.nth) {
            let cold = target.level.demand.low < g.species.well_from().value;
            let (to, also) = if cold { (g.species.well_from(), &[WARM]) } else { (g.species.well_to(), &[SHADE]) };
            all.extend(self.number_to(water_key(target.day), to.value, also));
            if !cold {
                all.extend(self.cooler(at.day));
            }
        }
        all
    }

    /// A pump that lifts higher, or that lifts less far.
    fn of_lift(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let mut all = some(vec![self.up(&format!("{}.curve.0.shut_off", at.path), reach::LIFT, &[MORE_WATER])]);
        for k in self.ways.out_of(at.target.station) {
            all.extend(self.down(&format!("edges.{k}.run.0.lift"), &[]));
        }
        all
    }

    /// A pump that sends more, or is set to less.
    fn of_pump(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let path = &at.path;
        let mut all = vec![];
        for key in ["most", "curve.0.free_flow"] {
            all.extend(self.up(&format!("{path}.{key}"), reach::PUMP, &[]));
        }
        let who = if self.d.pumps.len() > 1 { at.station.name } else { "the pump" };
        all.push(self.scaled(self.ways.out_of(at.target.station).collect(), who.into()));
        all
    }

    /// A settler of another kind, a larger one, more of them, less water.
    fn of_settling(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (name, path) = (at.station.name, &at.path);
        let under = |key: &str| format!("{path}.settling.{key}");
        let mut all = vec![];
        if self.d.settlers[at.i].settling.kind.id != settlers::RADIAL {
            let edits = vec![Edit::pick(under("kind"), settlers::RADIAL)];
            all.push(self.once(&format!("{name}: a radial-flow settler"), edits, &[RADIAL]));
        }
        all.extend(self.up(&under("diameter"), reach::SIZE, &[]));
        all.extend(self.up(&under("count"), reach::SIZE, &[EVEN]));
        let pumped = (0..self.ways.edges.len()).filter(|&k| self.ways.is_pump(self.ways.edges[k].0));
        all.push(self.scaled(pumped.collect(), "the pumps".into()));
        all
    }

    /// Wider pipes: no way of the water is changed for it.
    fn of_settler_pipes(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let wider = |key: &str| self.up(&format!("{}.settling.{key}", at.path), reach::SETTLER_PIPE, &[]);
        some(vec![wider("inlet"), wider("outlet")])
    }

    /// A part of a siphon, larger.
    fn of_siphon(&self, at: &At<'_>, key: &str, times: f64) -> Vec<Lever<'_>> {
        some(vec![self.up(&format!("{}.siphon.0.{key}", at.path), times, &[])])
    }

    /// Plants for the feed, or feed for the plants.
    fn of_bed(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (day, station, i, path) = (at.day, at.station, at.i, &at.path);
        let mut all = vec![];
        let o = &day.beds[i];
        // What nobody feeds wants no plants, however they stand, and a bed with a siphon is a bed of medium.
        let fed = o.wanted.1 > o.area * HARDLY_ANY;
        if fed {
            all.extend(self.plants(day));
        }
        let other = |m: &&Method| m.id != self.d.beds[i].bed.method.id && m.stands != Stands::Tower;
        for m in METHODS.iter().filter(other).filter(|_| fed && self.d.beds[i].siphon.is_empty()) {
            let title = format!("{}: {}", station.name, m.label.to_ascii_lowercase());
            let drops = self.d.beds[i].bed.method.holds_medium() && !m.holds_medium();
            let also: &[Note] = if drops { &[WAS_FILTER] } else { &[] };
            all.push(self.once(&title, vec![Edit::pick(format!("{path}.bed.method"), m.id)], also));
        }
        if o.area < o.wanted.0 {
            all.extend(self.feed_as_eaten());
            all.extend(self.fewer_in_all());
        } else {
            all.extend(self.more_in_all());
        }
        all
    }

    /// Another crop, or water that suits it.
    fn of_roots(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, station, i, path) = (at.target, at.station, at.i, &at.path);
        let mut all = vec![];
        let (year, b) = (&self.d.water, &self.d.beds[i].bed);
        let all_year = in_place(b.crop, &[year.today, self.hottest(at.day), year.coldest]);
        for c in if all_year.is_empty() { in_place(b.crop, &[year.today]) } else { all_year } {
            let title = format!("{}: {} instead of {}", station.name, c.noun, b.crop.noun);
            all.push(self.once(&title, vec![Edit::pick(format!("{path}.bed.crop"), c.id)], &[]));
        }
        // No farther than the fish feed well in.
        let fish = || quality::species(self.d);
        let ((low, high), now) = (b.crop.best(), target.level.demand.low);
        let cold = now < low.value;
        let (to, also) = match cold {
            true => (fish().map(|s| s.well_to().value).fold(low.value, f64::min), &[WARM]),
            false => (fish().map(|s| s.well_from().value).fold(high.value, f64::max), &[SHADE]),
        };
        if (to > now) == cold {
            all.extend(self.number_to(water_key(target.day), to, also));
        }
        if !cold {
            all.extend(self.cooler(at.day));
        }
        all
    }

    /// Another standpipe of a siphon, or more water for it.
    fn of_inflow(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, name, path) = (at.target, at.station.name, &at.path);
        let mut all = self.standpipes(at.i, false);
        if target.level.demand.low < target.level.demand.high {
            all.extend(self.fuller_sumps());
        }
        let aid = vec![Edit::pick(format!("{path}.siphon.0.aid"), "helped")];
        all.push(self.once(&format!("{name}: a flared top, or a water trap at the foot"), aid, &[]));
        all.extend(self.up(&format!("{path}.siphon.0.drop"), reach::SIPHON_DROP, &[]));
        all.extend(self.send(target.station));
        let out: Vec<usize> = self.ways.from_pumps(target.station).filter(|&k| self.set_by_hand(k)).collect();
        if !out.is_empty() {
            all.push(self.scaled(out, format!("the branch to {name}")));
        }
        all
    }

    /// A bed that floods less high, or has a higher rim.
    fn of_bed_rim(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let under = |key: &str| format!("{}.siphon.0.{key}", at.path);
        some(vec![self.down(&under("flood"), &[]), self.up(&under("rim"), reach::BED_RIM, &[])])
    }

    /// A sump filled to another mark, a larger one, or one that is topped up sooner.
    fn of_sump(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let under = |key: &str| format!("{}.levels.0.{key}", at.path);
        let mut all = vec![];
        if let Some((_, depth)) = self.field(&under("depth")) {
            all.extend(self.number_to(&under("mark"), depth, &[]));
            all.extend(self.down(&under("mark"), &[]));
        }
        all.extend(self.up(&under("volume"), reach::SIZE, &[]));
        all.extend(self.down(&under("days"), &[]));
        let rest = vec![Edit::pick(under("top_up"), "at_rest")];
        all.push(self.once(&format!("{}: top it up at rest, the beds drained", at.station.name), rest, &[]));
        all
    }

    /// A larger tank for the pump that draws from it.
    fn of_drawn_tank(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let mut all = some(vec![self.up(&format!("{}.oxygen.volume", at.path), reach::SIZE, &[TURNS])]);
        for b in 0..self.d.beds.len() {
            all.extend(self.down(&format!("beds.{b}.siphon.0.flood"), &[]));
        }
        all
    }

    /// New water, and what the pH has to do with it.
    fn of_poison(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let unionised = at.target.level.id == level::UNIONISED;
        let alkaline = if unionised { self.alkaline(at.day) } else { None };
        some(vec![self.freshen(at.day, if alkaline.is_some() { BY_PH } else { COMES_BACK }), alkaline])
    }

    /// Water without salt.
    fn of_salt(&self) -> Vec<Lever<'_>> {
        let tanks = (0..self.d.tanks.len()).map(|i| format!("tanks.{i}.oxygen.salinity"));
        let test = [SALINITY_READ, CHLORIDE].map(String::from);
        // Some is left: without any nothing is asked.
        let read = tanks.chain(test).map(|path| (path, 0.0)).collect();
        vec![Lever { steps: FINE - 1, ..self.renew("salt", read, None, COMES_BACK) }]
    }

    /// The pH brought back.
    fn of_ph(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let a = at.day.ammonia.as_ref();
        self.of_test(a.and_then(|a| ammonia_page::ph_back(&a.inputs, &a.out, self.buffer(), self.w)), &[])
    }

    /// What buffers this water.
    fn buffer(&self) -> Buffer {
        ammonia_page::buffer_for(!self.d.beds.is_empty())
    }

    /// More air against carbon dioxide.
    fn of_carbon_dioxide(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let a = at.day.ammonia.as_ref();
        self.of_test(a.and_then(|a| ammonia_page::aired(&a.inputs, &a.out, self.w)), &[])
    }

    /// What is used up of alkalinity.
    fn of_alkalinity(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let a = at.day.ammonia.as_ref();
        let said = a.map(|a| ammonia_page::replenished(&a.inputs, &a.out, self.buffer(), self.w));
        self.of_test(said, &[NOT_BUFFERED, TEST])
    }

    /// What the water test's own page says to do, on the test of the system.
    fn of_test(&self, said: Option<(String, Vec<Edit>)>, also: &[Note]) -> Vec<Lever<'_>> {
        let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
        let once =
            |(title, edits): (String, Vec<Edit>)| self.once(&title, edits.into_iter().map(under).collect(), also);
        some(vec![said.map(once)])
    }

    /// A filter that ripens or is larger, more water through it, less ammonia.
    fn of_filter(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let id = at.target.level.id.as_ref();
        // What the acid stops is neither made larger nor spared by nets where the pH brings it back; else it is counted at the pH that it is then at.
        let cure = || self.unsoured(at).filter(|_| id != level::FLOW);
        let alone = |cure: &Lever<'_>| self.tried(at.target, &(cure.at)(1), &[]).is_some_and(|f| f.enough);
        if let Some(cure) = cure().filter(alone) {
            return vec![cure];
        }
        let mut all = some(vec![self.ripen(at.day), self.up("ammonia.0.media", reach::MEDIUM, &[RIPENS])]);
        if id != level::FLOW {
            all.extend(self.fewer_in_all());
        }
        for t in (0..self.d.tanks.len()).filter(|_| id != level::FILTER) {
            all.extend(self.send(self.ways.place(StationKind::Tank, t)));
        }
        all.extend(self.feed_the_only_less());
        let cured = |lever| match cure() {
            Some(cure) => self.with(cure, lever),
            None => lever,
        };
        all.into_iter().map(cured).collect()
    }

    /// A pH that slows the filter, brought back.
    fn unsoured(&self, at: &At<'_>) -> Option<Lever<'_>> {
        let a = at.day.ammonia.as_ref()?;
        self.of_test(ammonia_page::unsoured(&a.inputs, &a.out, self.buffer(), self.w), &[NOT_BUFFERED, TEST]).pop()
    }

    /// A lever with another change made before it.
    pub(super) fn with<'a>(&'a self, first: Lever<'a>, lever: Lever<'a>) -> Lever<'a> {
        let also = all_of(&first.also, &lever.also);
        let at = move |k: usize| match (lever.at)(k) {
            none if none.edits.is_empty() => none,
            change => self.joined((first.at)(1), change),
        };
        Lever { steps: lever.steps, at: Box::new(at), also }
    }

    /// Heaters, or less to heat.
    fn of_heater(&self) -> Vec<Lever<'_>> {
        let mut all = some(vec![self.up("heat.0.heater", reach::HEATER, &[GUARDED])]);
        all.extend(self.warmer());
        all
    }

    /// Less sun on the water of the hottest spell, or cooler air around it.
    fn cooler(&self, day: &Solved) -> Vec<Lever<'_>> {
        let Some(h) = &day.heat else { return vec![] };
        let (sun, left) = (h.inputs.sun(), h.inputs.shaded());
        let mut all = vec![];
        if sun == h.inputs.sun {
            all.extend(self.down("heat.0.sun", &[SHADE]));
        } else {
            let [sun, of] = [left, sun].map(|x| self.w.q(POWER, x));
            let title = format!("Heat: shade that leaves {sun} of the sun’s {of} on the water");
            all.push(self.once(&title, vec![Edit::num("heat.0.sun", left)], &[]));
        }
        // Under the open sky the air is the weather's.
        if self.d.heat.iter().any(|h| h.0.place == Place::Sky) {
            return all;
        }
        let mean = self.field("heat.0.mean").map_or(f64::MAX, |f| f.1);
        let air = self.field("heat.0.summer").filter(|f| f.1 > mean);
        all.extend(air.and_then(|_| self.number_to("heat.0.summer", mean, &[COOLER])));
        all
    }

    /// The hottest water that is checked.
    fn hottest(&self, day: &Solved) -> ThermodynamicTemperature {
        day.heat.as_ref().and_then(|h| check::warmer(self.d, h)).unwrap_or(self.d.water.hottest)
    }

    /// A crop that bears the salt, or less of it.
    fn of_crop_salt(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (year, b) = (&self.d.water, &self.d.beds[at.i].bed);
        let bears = |c: &&Crop| c.salt_borne().value > at.target.level.demand.high;
        let other = |c: &Crop| {
            let title = format!("{}: {} instead of {}", at.station.name, c.noun, b.crop.noun);
            self.once(&title, vec![Edit::pick(format!("{}.bed.crop", at.path), c.id)], &[])
        };
        let crops = in_place(b.crop, &[year.today, self.hottest(at.day), year.coldest]);
        crops.into_iter().filter(bears).map(other).chain(self.of_salt()).collect()
    }

    /// A level that this file does not know by name: what stands open on the station's own page is tried both ways.
    fn of_unknown(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let under = format!("{}.", at.path);
        let mut all = vec![];
        for e in self.layout.iter().filter(|e| e.path.starts_with(&under) && !e.detail) {
            if let LayoutItem::Num(spec, _) = &e.item
                && !spec.kind.is(TEMPERATURE.0)
            {
                all.extend(self.up(&e.path, reach::SIZE, &[]));
                all.extend(self.down(&e.path, &[]));
            }
        }
        all
    }

    /// A number of the document: its field and what it is.
    pub(super) fn field(&self, path: &str) -> Option<(&Spec, f64)> {
        self.layout.iter().find_map(|e| match &e.item {
            LayoutItem::Num(spec, si) if e.path == path => Some((spec, *si)),
            _ => None,
        })
    }

    /// Does this branch carry what it is set to?
    pub(super) fn set_by_hand(&self, k: usize) -> bool {
        let from = &self.ways.stations[self.ways.edges[k].0];
        !(from.kind == StationKind::Pump && supply::is_solved(self.d, self.ways, from.index))
    }

    /// The plants that the feed keeps, in every bed alike: they share it.
    pub(super) fn plants(&self, day: &Solved) -> Option<Lever<'_>> {
        let mid = |b: usize| (day.beds[b].wanted.0.value + day.beds[b].wanted.1.value) / 2.0;
        let all = (0..self.d.beds.len()).filter_map(|b| self.number_to(&format!("beds.{b}.bed.area"), mid(b), &[]));
        let mut all: Vec<Lever<'_>> = all.collect();
        if all.len() < 2 {
            return all.pop();
        }
        let (d, w) = (self.d, self.w);
        let at = move |k: usize| {
            let edits: Vec<Edit> = all.iter().flat_map(|l| (l.at)(k).edits).collect();
            let area = |d: &Document| w.q(AREA, AREA.of(d.beds.iter().map(|b| b.bed.area.value).sum()));
            let mut after = d.clone();
            edits.iter().for_each(|e| _ = form::apply(&mut after, e));
            // Edits of more than the areas: beds with siphons that are made larger.
            let sides = if edits.len() > d.beds.len() { ", their sides as much longer" } else { "" };
            let title = format!("In all beds: plant area {} instead of {}{sides}", area(&after), area(d));
            Change { title, edits }
        };
        Some(Lever { steps: FINE, at: Box::new(at), also: vec![] })
    }

    /// A cover, a lid, insulation.
    pub(super) fn warmer(&self) -> Vec<Lever<'_>> {
        let ways = [
            ("A floating film or bubble sheet on tanks, settlers and sumps", vec![Edit::pick("heat.0.cover", "film")]),
            ("An insulated lid over tanks, settlers and sumps", vec![Edit::pick("heat.0.cover", "lid")]),
            ("Insulation around the walls", vec![Edit::pick("heat.0.lagged", "walls")]),
            ("Insulation around the walls and underneath", vec![Edit::pick("heat.0.lagged", "all")]),
            (
                "An insulated lid over tanks, settlers and sumps, and insulation around the walls",
                vec![Edit::pick("heat.0.cover", "lid"), Edit::pick("heat.0.lagged", "walls")],
            ),
            (
                "An insulated lid over tanks, settlers and sumps, and insulation around the walls and underneath",
                vec![Edit::pick("heat.0.cover", "lid"), Edit::pick("heat.0.lagged", "all")],
            ),
        ];
        // What is there already is no part of a repair: the rest of it stands in another line.
        let there = |e: &Edit| form::value_at(&mut self.d.clone(), &e.path).is_some_and(|v| v == e.to);
        let new = ways.into_iter().filter(|(_, edits)| !edits.iter().any(there));
        new.map(|(title, edits)| self.once(title, edits, &[AIR_WAY])).collect()
    }

    /// A number from where it is to `to`.
    pub(super) fn number_to(&self, path: &str, to: f64, also: &[Note]) -> Option<Lever<'_>> {
        let (spec, from) = self.field(path)?;
        let (kind, to) = (spec.kind, to.clamp(spec.hard[0], spec.hard[1]));
        // What a question asks is not what a change is called.
        let said = [
            (".levels.0.volume", "volume, brim full,"),
            ("ammonia.0.media", "medium"),
            (".bed.area", "plant area"),
            (".settling.count", "settlers side by side:"),
        ];
        let label = said.iter().find(|s| path.ends_with(s.0)).map_or_else(|| lower(spec.label), |s| s.1.into());
        let (path, system) = (path.to_string(), self.w.system);
        let owner = self.owner(&path);
        let at = move |k: usize| {
            let x = nice(kind, between(from, to, k as f64 / FINE as f64), from, system);
            let x = if to > from { x.min(to) } else { x.max(to) };
            let x = if kind.whole { x.round() } else { x };
            let mut title = format!("{owner}{label} {} instead of {}", show(kind, x, system), show(kind, from, system));
            let mut edits = vec![Edit { path: path.clone(), to: EditValue::Si(x) }];
            if let Some((length, width)) = self.basin(&path, x / from) {
                title += &format!(", sides {} by {}", self.w.q(LENGTH, length), self.w.q(LENGTH, width));
                let side = |key: &str, x| Edit::num(path.replace("bed.area", &format!("siphon.0.{key}")), x);
                edits.extend([side("length", length), side("width", width)]);
            }
            Change { title, edits }
        };
        ((to - from).abs() > 1e-12).then(|| Lever { steps: FINE, at: Box::new(at), also: also.to_vec() })
    }

    /// A bed with a siphon that is made larger for its plants floods and drains as much more: its sides go with its area. Fewer plants need no
    /// smaller bed.
    pub(super) fn basin(&self, path: &str, times: f64) -> Option<(Length, Length)> {
        let bed = path.strip_prefix("beds.")?.strip_suffix(".bed.area")?.parse::<usize>().ok()?;
        let s = self.d.beds.get(bed)?.siphon.first().filter(|_| times > 1.0)?;
        Some((s.0.length * times.sqrt(), s.0.width * times.sqrt()))
    }

    /// A number up to `times` what it is, or from nothing up to what is usual.
    pub(super) fn up(&self, path: &str, times: f64, also: &[Note]) -> Option<Lever<'_>> {
        let (spec, from) = self.field(path)?;
        self.number_to(path, if from > 0.0 { from * times } else { spec.advised[1].min(spec.hard[1]) }, also)
    }

    /// A number down to a small part of what it is.
    pub(super) fn down(&self, path: &str, also: &[Note]) -> Option<Lever<'_>> {
        let (_, from) = self.field(path)?;
        self.number_to(path, from / reach::DOWN, also)
    }

    /// The station or branch that a path is of, with a colon.
    pub(super) fn owner(&self, path: &str) -> String {
        let part = || match path.split_once('.')?.0 {
            "ammonia" if path.ends_with(".media") => Some("Filter".to_string()),
            "ammonia" => Some("Water test".into()),
            "heat" => Some("Heat".into()),
            "water" => Some("Water".into()),
            _ => None,
        };
        self.ways.owner(path).or_else(part).map_or(String::new(), |name| format!("{name}: "))
    }

    /// What is done or not, with nothing between.
    pub(super) fn once(&self, title: &str, edits: Vec<Edit>, also: &[Note]) -> Lever<'_> {
        let title = title.to_string();
        let at = move |_| Change { title: title.clone(), edits: edits.clone() };
        Lever { steps: 1, at: Box::new(at), also: also.to_vec() }
    }

    /// Sumps that do not fall so far between two top-ups.
    pub(super) fn fuller_sumps(&self) -> Vec<Lever<'_>> {
        let mut all = vec![];
        for s in 0..self.d.sumps.len() {
            all.extend(self.down(&format!("sumps.{s}.levels.0.days"), &[]));
            all.extend(self.up(&format!("sumps.{s}.levels.0.volume"), reach::SIZE, &[]));
        }
        all
    }
}

/// Those that there are.
fn some(levers: Vec<Option<Lever<'_>>>) -> Vec<Lever<'_>> {
    levers.into_iter().flatten().collect()
}

/// A share of the way from one number to another, evenly in the logarithm where it goes far.
pub(super) fn between(from: f64, to: f64, share: f64) -> f64 {
    if from > 0.0 && to > 0.0 && (to > 1.5 * from || from > 1.5 * to) {
        from * (to / from).powf(share)
    } else {
        from + (to - from) * share
    }
}

/// A number that can be bought or set: two figures, or halves of the second, as shown in `system`; rounded away from `from`.
pub(super) fn nice(kind: &KindInfo, si: f64, from: f64, system: System) -> f64 {
    let unit = kind.unit(system);
    let (x, start) = (unit.of_si(si), unit.of_si(from));
    if x == 0.0 || !x.is_finite() {
        return si;
    }
    let second = 10f64.powi(x.abs().log10().floor() as i32 - 1);
    let step = if x.abs() / second < 50.0 { second / 2.0 } else { second };
    let step = if kind.whole { step.max(1.0).round() } else { step };
    let away = if x >= start { (x / step - 1e-9).ceil() } else { (x / step + 1e-9).floor() };
    unit.to_si(away * step)
}
