//! What can be changed about each level, and how a number is changed.

use super::*;
use crate::calculators::heat::Place;
use crate::catalog::crops::Crop;
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
            (_, "outlet") => self.of_outlet(at),
            (StationKind::Tank, "oxygen") => self.of_oxygen(at),
            (StationKind::Tank, "turnover") => self.of_turnover(at),
            (StationKind::Tank, "density") => self.of_density(at),
            (StationKind::Tank, "solids") => self.of_solids(),
            (StationKind::Tank, "warmth") => self.of_warmth(at),
            (StationKind::Pump, "lift") => self.of_lift(at),
            (StationKind::Pump, _) => self.of_pump(at),
            (StationKind::Settler, "settling") => self.of_settling(at),
            // Wider pipes: no way of the water is changed for it.
            (StationKind::Settler, "head") => ["inlet", "outlet"]
                .iter()
                .filter_map(|key| self.number(&format!("{}.settling.{key}", at.path), 1.0, 5.0, &[]))
                .collect(),
            (StationKind::Bed, "bed") => self.of_bed(at),
            (StationKind::Bed, "roots") => self.of_roots(at),
            (StationKind::Bed, "inflow") => self.of_inflow(at),
            (StationKind::Bed, "ring") => {
                self.number(&format!("{}.siphon.0.bell", at.path), 1.0, 4.0, &[]).into_iter().collect()
            }
            (StationKind::Bed, "gap") => {
                self.number(&format!("{}.siphon.0.gap", at.path), 1.0, 6.0, &[]).into_iter().collect()
            }
            (StationKind::Bed, "slots") => {
                self.number(&format!("{}.siphon.0.slots", at.path), 1.0, 8.0, &[]).into_iter().collect()
            }
            (StationKind::Bed, "bed_rim") => self.of_bed_rim(at),
            (StationKind::Sump, "dry" | "spill" | "sump") => self.of_sump(at),
            // A pump draws from it.
            (StationKind::Tank, "dry") => self.of_drawn_tank(at),
            (_, "unionised" | "tan" | "nitrite") => self.of_poison(at),
            (_, "salt") => self.of_salt(),
            (StationKind::Bed, "crop_salt") => self.of_crop_salt(at),
            (_, "ph" | "alkalinity" | "carbon_dioxide") if self.levels.iter().any(Checked::by_ph) => self.of_ph(at),
            (_, "alkalinity") => self.of_alkalinity(at),
            (_, "carbon_dioxide") => self.of_carbon_dioxide(at),
            (_, "filter" | "ammonia" | "flow") => self.of_filter(at),
            (_, "heater") => self.of_heater(),
            (_, "cut") => self.of_cut(),
            (_, "summer") => self.cooler(at.day),
            _ => self.of_unknown(at),
        }
    }

    /// A wider outlet, or less water before it.
    fn of_outlet(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, day, i, kind) = (at.target, at.day, at.i, at.station.kind);
        let mut all = vec![];
        self.wider(kind, i, day, &mut all);
        self.send_less(target.station, FLOW.of(day.flows.most[target.station]), &mut all);
        for b in supply::siphons_above(self.d, self.ways, target.station) {
            self.standpipes(b, true, &mut all);
            all.extend(self.number(&format!("beds.{b}.siphon.0.flood"), f64::MIN, 1.0, &[]));
        }
        all
    }

    /// Air, no more feed than is eaten, more water, fewer fish, less feed.
    fn of_oxygen(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, day, station, i, path) = (at.target, at.day, at.station, at.i, &at.path);
        let mut all = vec![];
        let (throttled, through) = (day.tanks[i].throttled, day.tanks[i].flow.value > 0.0);
        self.air(i, &mut all);
        all.extend(self.air_in_all(day));
        // No blower for feed that nobody eats.
        if let Some(eaten) = self.feed_as_eaten() {
            let alone = self.tried(target, &(eaten.at)(1), &[ROTS]).is_some_and(|f| f.enough);
            all = if alone { vec![] } else { all.into_iter().filter_map(|l| self.as_eaten_with(l)).collect() };
            all.extend((!self.is_left(i)).then_some(eaten));
        }
        if through && self.d.tanks[i].oxygen.fall != Fall::None {
            self.send(target.station, &mut all);
        }
        if throttled {
            self.wider(station.kind, i, day, &mut all);
        }
        if day.tanks[i].lean {
            self.fuller_sumps(&mut all);
        }
        all.extend(self.fewer(&[i]));
        // Tanks on one loop share its water: what one lacks the others may have taken.
        if self.d.tanks.iter().filter(|t| t.fish() > 0.0).count() > 1 {
            all.extend(self.fewer_in_all());
        }
        self.feed_less(i, &mut all);
        if target.day.of_harvest() {
            all.extend(self.number(&format!("{path}.harvest"), f64::MIN, 1.0, &[]));
        }
        all
    }

    /// More water through a tank.
    fn of_turnover(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, day, station, i) = (at.target, at.day, at.station, at.i);
        let mut all = vec![];
        self.send(target.station, &mut all);
        if day.tanks[i].throttled {
            self.wider(station.kind, i, day, &mut all);
        }
        all
    }

    /// Fewer fish in a tank, or a larger one.
    fn of_density(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, i, path) = (at.target, at.i, &at.path);
        let mut all = vec![];
        let o = &self.d.tanks[i].oxygen;
        all.extend(self.fewer(&[i]));
        all.extend(self.number(&format!("{path}.oxygen.volume"), 1.0, 8.0, &[DRAINS]));
        if target.day.of_harvest() {
            all.extend(self.number(&format!("{path}.harvest"), f64::MIN, 1.0, &[]));
        }
        if !o.air.on() {
            self.air(i, &mut all);
        }
        all.extend(self.draw(i));
        all
    }

    /// Solids drawn off, plants that take what they leave, less feed.
    fn of_solids(&self) -> Vec<Lever<'_>> {
        let mut all = vec![];
        for t in 0..self.d.tanks.len() {
            all.extend(self.draw(t));
        }
        for b in 0..self.d.beds.len() {
            all.extend(self.number(&format!("beds.{b}.bed.area"), 1.0, 8.0, &[]));
        }
        all.extend(self.fewer_in_all());
        self.feed_the_only_less(&mut all);
        all
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
        let (target, path) = (at.target, &at.path);
        let mut all = vec![];
        all.extend(self.number(&format!("{path}.curve.0.shut_off"), 1.0, 6.0, &[MORE_WATER]));
        for k in self.ways.out_of(target.station) {
            all.extend(self.number(&format!("edges.{k}.run.0.lift"), f64::MIN, 1.0, &[]));
        }
        all
    }

    /// A pump that sends more, or is set to less.
    fn of_pump(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (target, station, path) = (at.target, at.station, &at.path);
        let mut all = vec![];
        for key in ["most", "curve.0.free_flow"] {
            all.extend(self.number(&format!("{path}.{key}"), 1.0, 20.0, &[]));
        }
        let who = if self.d.pumps.len() > 1 { station.name } else { "the pump" };
        all.push(self.scaled(self.ways.out_of(target.station).collect(), who.into()));
        all
    }

    /// A settler of another kind, a larger one, more of them, less water.
    fn of_settling(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (station, i, path) = (at.station, at.i, &at.path);
        let mut all = vec![];
        let under = |key: &str| format!("{path}.settling.{key}");
        if self.d.settlers[i].settling.kind.id != "radial" {
            all.push(self.once(
                &format!("{}: a radial-flow settler", station.name),
                vec![Edit::pick(under("kind"), "radial")],
                &[RADIAL],
            ));
        }
        all.extend(self.number(&under("diameter"), 1.0, 8.0, &[]));
        all.extend(self.number(&under("count"), 1.0, 8.0, &[EVEN]));
        let pumped = (0..self.ways.edges.len()).filter(|&k| self.ways.is_pump(self.ways.edges[k].0));
        all.push(self.scaled(pumped.collect(), "the pumps".into()));
        all
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
        let other = |m: &&Method| m.id != self.d.beds[i].bed.method.id && m.id != "tower";
        for m in METHODS.iter().filter(other).filter(|_| fed && self.d.beds[i].siphon.is_empty()) {
            let title = format!("{}: {}", station.name, m.label.to_ascii_lowercase());
            let also: &[Note] = if self.d.beds[i].bed.method.media && !m.media { &[WAS_FILTER] } else { &[] };
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
        let (target, station, i, path) = (at.target, at.station, at.i, &at.path);
        let mut all = vec![];
        self.standpipes(i, false, &mut all);
        if target.level.demand.low < target.level.demand.high {
            self.fuller_sumps(&mut all);
        }
        all.push(self.once(
            &format!("{}: a flared top, or a water trap at the foot", station.name),
            vec![Edit::pick(format!("{path}.siphon.0.aid"), "helped")],
            &[],
        ));
        all.extend(self.number(&format!("{path}.siphon.0.drop"), 1.0, 5.0, &[]));
        self.send(target.station, &mut all);
        let out: Vec<usize> = self.ways.from_pumps(target.station).filter(|&k| self.set_by_hand(k)).collect();
        if !out.is_empty() {
            all.push(self.scaled(out, format!("the branch to {}", station.name)));
        }
        all
    }

    /// A bed that floods less high, or has a higher rim.
    fn of_bed_rim(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let path = &at.path;
        let mut all = vec![];
        all.extend(self.number(&format!("{path}.siphon.0.flood"), f64::MIN, 1.0, &[]));
        all.extend(self.number(&format!("{path}.siphon.0.rim"), 1.0, 2.0, &[]));
        all
    }

    /// A sump filled to another mark, a larger one, or one that is topped up sooner.
    fn of_sump(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (station, path) = (at.station, &at.path);
        let mut all = vec![];
        let under = |key: &str| format!("{path}.levels.0.{key}");
        if let Some((_, depth)) = self.field(&under("depth")) {
            all.extend(self.number_to(&under("mark"), depth, &[]));
            all.extend(self.number(&under("mark"), f64::MIN, 1.0, &[]));
        }
        all.extend(self.number(&under("volume"), 1.0, 8.0, &[]));
        all.extend(self.number(&under("days"), f64::MIN, 1.0, &[]));
        let rest = Edit::pick(under("top_up"), "at_rest");
        all.push(self.once(&format!("{}: top it up at rest, the beds drained", station.name), vec![rest], &[]));
        all
    }

    /// A larger tank for the pump that draws from it.
    fn of_drawn_tank(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let path = &at.path;
        let mut all = vec![];
        all.extend(self.number(&format!("{path}.oxygen.volume"), 1.0, 8.0, &[TURNS]));
        for b in 0..self.d.beds.len() {
            all.extend(self.number(&format!("beds.{b}.siphon.0.flood"), f64::MIN, 1.0, &[]));
        }
        all
    }

    /// New water, and what the pH has to do with it.
    fn of_poison(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (day, id) = (at.day, at.target.level.id.as_ref());
        let mut all = vec![];
        let alkaline = (id == "unionised").then(|| self.alkaline(day)).flatten();
        all.extend(self.freshen(day, if alkaline.is_some() { BY_PH } else { COMES_BACK }));
        all.extend(alkaline);
        all
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
        let day = at.day;
        let mut all = vec![];
        let back = day.ammonia.as_ref().and_then(|a| ammonia_page::ph_back(&a.inputs, &a.out, self.buffer(), self.w));
        let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
        all.extend(back.map(|(title, edits)| self.once(&title, edits.into_iter().map(under).collect(), &[])));
        all
    }

    /// What buffers this water.
    fn buffer(&self) -> Buffer {
        ammonia_page::buffer_for(!self.d.beds.is_empty())
    }

    /// More air against carbon dioxide.
    fn of_carbon_dioxide(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let said = at.day.ammonia.as_ref().and_then(|a| ammonia_page::aired(&a.inputs, &a.out, self.w));
        let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
        said.map(|(title, edits)| self.once(&title, edits.into_iter().map(under).collect(), &[])).into_iter().collect()
    }

    /// What is used up of alkalinity.
    fn of_alkalinity(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let day = at.day;
        let mut all = vec![];
        let said = day.ammonia.as_ref().map(|a| ammonia_page::replenished(&a.inputs, &a.out, self.buffer(), self.w));
        let under = |e: Edit| Edit { path: format!("ammonia.0.{}", e.path), ..e };
        all.extend(
            said.map(|(title, edits)| self.once(&title, edits.into_iter().map(under).collect(), &[NOT_BUFFERED, TEST])),
        );
        all
    }

    /// A filter that ripens or is larger, more water through it, less ammonia.
    fn of_filter(&self, at: &At<'_>) -> Vec<Lever<'_>> {
        let (day, id) = (at.day, at.target.level.id.as_ref());
        let mut all = vec![];
        all.extend(self.ripen(day));
        all.extend(self.number("ammonia.0.media", 1.0, 20.0, &[RIPENS]));
        if id != "flow" {
            all.extend(self.fewer_in_all());
        }
        for t in (0..self.d.tanks.len()).filter(|_| id != "filter") {
            self.send(self.ways.place(StationKind::Tank, t), &mut all);
        }
        self.feed_the_only_less(&mut all);
        all
    }

    /// Heaters, or less to heat.
    fn of_heater(&self) -> Vec<Lever<'_>> {
        let mut all = vec![];
        all.extend(self.number("heat.0.heater", 1.0, 30.0, &[GUARDED]));
        self.warmer(&mut all);
        all
    }

    /// Less sun on the water of the hottest spell, or cooler air around it.
    fn cooler(&self, day: &Solved) -> Vec<Lever<'_>> {
        let Some(h) = &day.heat else { return vec![] };
        let (sun, left) = (h.inputs.sun(), h.inputs.shaded());
        let mut all = vec![];
        if sun == h.inputs.sun {
            all.extend(self.number("heat.0.sun", f64::MIN, 1.0, &[SHADE]));
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
        let path = &at.path;
        let mut all = vec![];
        let under = format!("{path}.");
        for e in self.layout.iter().filter(|e| e.path.starts_with(&under) && !e.detail) {
            if let LayoutItem::Num(spec, _) = &e.item
                && spec.kind.id != "temperature"
            {
                all.extend(self.number(&e.path, 1.0, 8.0, &[]));
                all.extend(self.number(&e.path, f64::MIN, 1.0, &[]));
            }
        }
        all
    }

    /// What keeps the water warm in a power cut.
    fn of_cut(&self) -> Vec<Lever<'_>> {
        let mut all = vec![];
        self.warmer(&mut all);
        all
    }

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
    pub(super) fn warmer<'a>(&'a self, all: &mut Vec<Lever<'a>>) {
        for (title, edits) in [
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
        ] {
            // What is there already is no part of a repair: the rest of it stands in another line.
            let there = |e: &Edit| form::value_at(&mut self.d.clone(), &e.path).is_some_and(|v| v == e.to);
            if !edits.iter().any(there) {
                all.push(self.once(title, edits, &[AIR_WAY]));
            }
        }
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

    /// A number up to `times` what it is, or with `least` below one down to a tenth.
    pub(super) fn number(&self, path: &str, least: f64, times: f64, also: &[Note]) -> Option<Lever<'_>> {
        let (spec, from) = self.field(path)?;
        // From nothing, up to what is usual.
        let up = if from > 0.0 { from * times } else { spec.advised[1].min(spec.hard[1]) };
        self.number_to(path, if least < 1.0 { from / 10.0 } else { up }, also)
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

    pub(super) fn once(&self, title: &str, edits: Vec<Edit>, also: &[Note]) -> Lever<'_> {
        let title = title.to_string();
        let at = move |_| Change { title: title.clone(), edits: edits.clone() };
        Lever { steps: 1, at: Box::new(at), also: also.to_vec() }
    }

    /// Sumps that do not fall so far between two top-ups.
    pub(super) fn fuller_sumps<'a>(&'a self, all: &mut Vec<Lever<'a>>) {
        for s in 0..self.d.sumps.len() {
            all.extend(self.number(&format!("sumps.{s}.levels.0.days"), f64::MIN, 1.0, &[]));
            all.extend(self.number(&format!("sumps.{s}.levels.0.volume"), 1.0, 8.0, &[]));
        }
    }
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
