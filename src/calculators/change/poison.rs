//! A reading that poisons fish while it is brought down: what it is now, what the changes leave, and how long it may stand.

use super::super::ammonia::{Stay, may_stay, nitrite_held, nitrite_level, salt_against, salted, suffocating, told};
use super::*;

/// What has to come down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum What {
    /// Nothing that poisons within days.
    #[default]
    Other,
    /// Total ammonia nitrogen.
    Ammonia,
    /// Nitrite nitrogen.
    Nitrite,
}
crate::choices!(What:
    Other = "other", "Nitrate, salt or another", "";
    Ammonia = "ammonia", "Ammonia nitrogen", "it poisons";
    Nitrite = "nitrite", "Nitrite nitrogen", "it poisons";
);

/// Un-ionised ammonia, all of it, and nitrite, as nitrogen.
type Read = [MassConcentration; 3];

/// The names of the three now, and after the changes.
const NAMES: [[&str; 3]; 2] = [
    ["Un-ionised ammonia now", "Ammonia nitrogen now", "Nitrite nitrogen now"],
    [
        "Un-ionised ammonia after the changes",
        "Ammonia nitrogen after the changes",
        "Nitrite nitrogen after the changes",
    ],
];

/// So much of a reading is left at the least.
const LAST: f64 = 1e-3;

/// The reading as what poisons.
#[derive(Debug, Clone)]
pub struct Poison {
    /// Share un-ionised now.
    share: Ratio,
    now: Read,
    end: Read,
    /// Where most of it is un-ionised.
    worst: Worst,
    limits: Read,
    /// What nearly all water life bears of all ammonia for a month, in either water.
    month: [MassConcentration; 2],
    /// How long it may stand.
    pub(super) stay: Stay,
    /// Salt that holds the nitrite off, and the chloride that there is.
    salt: Mass,
    held: MassConcentration,
    what: What,
    species: &'static Species,
}

impl ChangeIn {
    /// The reading of the new water: of ammonia no less than its chloramine sets free.
    pub(super) fn incoming(&self) -> MassConcentration {
        if self.what == What::Ammonia { self.brought() } else { self.new_reading }
    }
}

impl Poison {
    /// `end` is what the changes leave, with the temperature and pH that they come to. Nothing where the reading is none of the two.
    pub(super) fn of(
        i: &ChangeIn,
        end: (MassConcentration, ThermodynamicTemperature, Ratio),
        worst: Worst,
    ) -> Option<Self> {
        let nothing = CONCENTRATION.of(0.0);
        let read = |(x, t, ph): (MassConcentration, ThermodynamicTemperature, Ratio)| match i.what {
            What::Other => None,
            What::Ammonia => Some([unionised(t, ph, nothing, x), x, nothing]),
            What::Nitrite => Some([nothing, nothing, x]),
        };
        let now = read((i.reading, i.temperature, i.ph))?;
        let borne = treatment::nitrite_borne(i.species, i.held);
        let limits = [i.species.unionised_limit(), i.species.tan_limit(), borne];
        let salt = salt_to_hold(i.species, now[2], i.held, i.volume);
        let borne = |t, ph| ammonia::usepa_2013(t, within(ph)).unwrap_or((limits[1], limits[1]));
        let (hour, month) = borne(i.temperature, i.ph);
        Some(Self {
            share: brackish::unionised_share(i.temperature, within(i.ph), nothing).unwrap_or(RATIO.of(1.0)),
            now,
            end: read(end)?,
            worst,
            month: [month, borne(end.1, end.2).1],
            limits,
            stay: may_stay(now, limits, nitrite_held(i.species, now[2], i.held), hour),
            salt,
            held: i.held,
            what: i.what,
            species: i.species,
        })
    }
    /// Un-ionised ammonia now, where that is what is read.
    pub(super) fn unionised(&self) -> Option<MassConcentration> {
        (self.what == What::Ammonia).then_some(self.now[0])
    }
    /// The reading now, and after the changes.
    pub(super) fn levels(&self) -> [Level; 2] {
        [("reading", self.now, self.month[0]), ("end", self.end, self.month[1])].map(|(id, read, month)| {
            let load = |k: usize| (read[k] / self.limits[k]).value;
            let k = (1..3).fold(0, |best, k| if load(k) > load(best) { k } else { best });
            let name = NAMES[usize::from(id == "end")][k];
            match k {
                1 => total(id, name, [read[0], read[1]], self.limits, month),
                2 => nitrite_level(
                    id,
                    name,
                    read[k],
                    self.limits[k],
                    treatment::kept_out(self.species, read[k], self.held),
                ),
                _ => Level::upper(id, name, CONCENTRATION, read[k], self.limits[k]),
            }
        })
    }
    /// The worst of it between now and the end, where it is worse than at both.
    pub(super) fn on_the_way(&self) -> Option<Level> {
        let (x, name) = (self.worst.unionised, "Un-ionised ammonia on the way");
        // What is hardly more than at either end is no more.
        let ends = self.now[0].max(self.end[0]);
        let between = self.what == What::Ammonia && x.value > ends.value * (1.0 + NEARLY);
        between.then(|| Level::upper("way", name, CONCENTRATION, x, self.limits[0]))
    }
    /// What is said of that, if it is too much.
    pub(super) fn passes(&self, species: &Species, words: Words) -> Option<String> {
        self.on_the_way().filter(|l| l.state() == State::Over)?;
        let [x, limit] = [self.worst.unionised, self.limits[0]].map(|x| words.q(CONCENTRATION, x));
        Some(format!(
            " On the way they pass through worse: after {} of them {x} of the ammonia is un-ionised, at pH {}, and {} can take {limit}. Lower the pH of the new water first, or bind the ammonia.",
            words.plain(self.worst.after),
            words.plain(self.worst.ph.value),
            species.noun
        ))
    }
    /// What is said of it before the changes are.
    pub(super) fn said(&self, species: &Species, words: Words) -> String {
        let told = told(species, self.share, self.now, self.limits, self.what == What::Ammonia, words);
        format!("{}{told} ", self.stay.first())
    }
    /// What the changes leave, if that is too much.
    pub(super) fn still(&self, words: Words) -> Option<String> {
        let [_, end] = self.levels();
        (end.state() == State::Over).then(|| format!(" Still too much is left: {}.", end.figures(words.system)))
    }
    pub(super) fn cautions(&self, words: Words) -> impl Iterator<Item = Caution> {
        let nitrite = self.now[2];
        salt_against(self.species, nitrite, self.salt, words).into_iter().chain(suffocating(
            nitrite,
            self.limits[2],
            self.salt,
        ))
    }
    /// What brings it down: each with the level that it mends.
    pub(super) fn repairs(
        &self,
        input: &ChangeIn,
        c: &ChangeFound,
        words: Words,
    ) -> Vec<(&'static str, String, Vec<Edit>)> {
        let (mut all, i) = (vec![], &input.asked());
        let [now, end] = self.levels();
        if now.state() != State::Enough {
            if let Some((title, edit)) = salted(i.held, self.salt, i.volume, words) {
                all.push(("reading", title, vec![Edit { path: "held".into(), ..edit }]));
            }
            // Not what is too much at once, or leaves too much.
            let poisons = self.on_the_way().is_some_and(|l| l.state() == State::Over);
            let fit = c.change <= c.safe && end.state() != State::Over && !poisons;
            if let Some(n) = c.changes.filter(|n| fit && *n > 0.0) {
                let left = mixing::after_changes(i.reading, i.incoming(), c.share, n);
                let [change, after] = if n > 1.0 { ["changes", "each"] } else { ["change", "it"] };
                let soon = if self.stay >= Stay::Hours { " today" } else { "" };
                let (n, volume) = (words.plain(n), words.q(VOLUME, i.change));
                let title = format!("{n} {change} of {volume}{soon}, a test after {after}");
                all.push(("reading", title, vec![Edit::num("poison", left)]));
            }
        }
        if end.state() != State::Enough {
            let lower = |x: f64| vec![Edit::num("poison_wanted", CONCENTRATION.of(x))];
            let of = |o: &ChangeOut| levels(input, o).into_iter().find(|l| l.id == "end");
            let (from, new) = (i.target.min(i.reading), i.incoming());
            // No number of changes comes to the new water's own.
            let last = new + (i.reading - new).max(CONCENTRATION.of(0.0)) * LAST;
            if let Some(x) =
                mend::just_enough::<Change>(input, of, lower, from.value, last.value).filter(|_| new < i.reading)
            {
                let x = CONCENTRATION.of(significant(x * 0.995, 3));
                all.push(("end", format!("Bring it down to {}", words.q(CONCENTRATION, x)), lower(x.value)));
            }
        }
        if i.new_ph > i.ph && self.on_the_way().is_some_and(|l| l.state() != State::Enough) {
            let lower = |x: f64| vec![Edit::num("new_ph", RATIO.of(x))];
            // Where none of the way is the worst, the end is.
            let of = |o: &ChangeOut| {
                let worse = |l: &Level| l.id == "way" || l.id == "end";
                levels(input, o).into_iter().filter(worse).max_by(|a, b| a.fullness().total_cmp(&b.fullness()))
            };
            if let Some(x) = mend::just_enough::<Change>(input, of, lower, i.new_ph.value, i.ph.value) {
                let x = ((x * 10.0 + 1e-9).floor() / 10.0).max(i.ph.value);
                all.push(("way", format!("Bring the new water down to pH {} first", words.plain(x)), lower(x)));
            }
        }
        if new_is_foul(i) {
            let title = format!("Take other new water: this carries {}", words.q(CONCENTRATION, i.new_reading));
            all.push(("reach", title, vec![Edit::num("poison_new", CONCENTRATION.of(0.0))]));
        }
        all
    }
}

/// Does the new water by itself carry as much as is wanted?
fn new_is_foul(i: &ChangeIn) -> bool {
    i.new_reading >= i.target && i.reading > i.target
}
