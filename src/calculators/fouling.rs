//! The ammonia of fish in water that no filter cleans, and how much of it they bear for so long.

use super::outcome::{Step, Working, term};
use crate::catalog::sources::{Coef, climate as src, oxygen as oxygen_src};
use crate::catalog::species::Species;
use crate::science::{ammonia, brackish, carbonate, mixing, reserve};
use crate::units::{
    MassConcentration, MassRate, Ratio, ThermodynamicTemperature, Time, Volume,
    kinds::{ALKALINITY, CONCENTRATION, FEED_RATE, HOURS, OXYGEN_RATE, PERCENT, RATIO, SALINITY, TEMPERATURE, VOLUME},
    si::{days, hours, mg_l},
};

/// So many times their limit for long is borne for some hours, and how many these are.
const IN_HOURS: Coef = Coef::new(5.0, "1", &src::READINGS_RULE, "netted fish in a drum, whose pH air lifts");
const SOME_HOURS: Coef = Coef::new(6.0, "h", &src::READINGS_RULE, "netted fish in a drum");
/// What was eaten is given off within so long, s.
const DIGESTED: f64 = days(1.0);

/// Alkalinity as calcium carbonate that ammonia brings with its nitrogen: fish give it off as a base, one equivalent of the two that turning it to
/// nitrate takes up.
const BASE: f64 = ammonia::ALKALINITY_PER_NITROGEN.value / 2.0;
/// Alkalinity that is counted where nobody asks for it, mg/L: that of pH 8 in balance with the air ([`src::AIRED`]).
pub(crate) const UNASKED_LIME: f64 = 30.0;

/// The pH that air brings water to: 8, or what its alkalinity holds once its carbon dioxide is out ([`src::AIRED`]).
pub(crate) fn aired_ph(t: ThermodynamicTemperature, alkalinity: MassConcentration) -> Ratio {
    let left = CONCENTRATION.of(mg_l(carbonate::AIRED_GAS.value));
    RATIO.of(mixing::AIRED_PH.value).max(carbonate::ph_of(t, alkalinity, left))
}

/// pH at which Emerson's equation is used at the ends of its range.
pub(crate) fn within(ph: Ratio) -> Ratio {
    RATIO.of(ph.value.clamp(6.0, 10.0))
}

/// Of all ammonia, what is un-ionised.
pub(crate) fn unionised(
    t: ThermodynamicTemperature,
    ph: Ratio,
    salinity: MassConcentration,
    tan: MassConcentration,
) -> MassConcentration {
    let share = brackish::unionised_share(t, within(ph), salinity).map_or(1.0, |s| s.value);
    CONCENTRATION.of(tan.value * share)
}

/// Fish in water that nothing cleans.
pub(crate) struct Standing {
    pub species: &'static Species,
    /// Oxygen that they take at rest.
    pub resting: MassRate,
    /// Feed of the day, where they were fed today.
    pub eaten: MassRate,
    pub time: Time,
    pub water: Volume,
    pub temperature: ThermodynamicTemperature,
    pub ph: Ratio,
    pub salinity: MassConcentration,
    /// Its alkalinity, where air is blown into it: that drives the carbon dioxide out, and the pH up.
    pub aired: Option<MassConcentration>,
}

/// What becomes of the water.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fouled {
    /// Ammonia nitrogen in a time, its mean.
    rate: MassRate,
    /// Does the feed of today set it?
    by_feed: bool,
    /// In the end.
    pub tan: MassConcentration,
    /// Of it un-ionised.
    pub unionised: MassConcentration,
    /// What they bear of that for so long.
    pub borne: MassConcentration,
    /// What they bear of all of it for so long: as many times their limit for long (judgement).
    pub all: MassConcentration,
    /// The pH that it is judged at.
    pub at: Ratio,
}

impl Standing {
    pub(crate) fn solve(&self) -> Fouled {
        let fed = ammonia::tan_from_feed(self.eaten, self.species.protein());
        let unfed = reserve::ammonia_of_unfed(self.species, self.resting);
        let by_feed = fed > unfed;
        let first = (DIGESTED / self.time.value).min(1.0);
        let rate = if by_feed { fed * RATIO.of(first) + unfed * RATIO.of(1.0 - first) } else { unfed };
        let tan = CONCENTRATION.of(rate.value * self.time.value / self.water.value);
        let times = (IN_HOURS.value * hours(SOME_HOURS.value) / self.time.value).clamp(1.0, IN_HOURS.value);
        let borne = CONCENTRATION.of(self.species.unionised_limit().value * times);
        let all = CONCENTRATION.of(self.species.tan_limit().value * times);
        let lifted = self.aired.map(|lime| aired_ph(self.temperature, CONCENTRATION.of(lime.value + tan.value * BASE)));
        let at = lifted.map_or(self.ph, |ph| ph.max(self.ph));
        let unionised = unionised(self.temperature, at, self.salinity, tan);
        Fouled { rate, by_feed, tan, unionised, borne, all, at }
    }
    pub(crate) fn steps(&self, o: &Fouled, w: &mut Working) {
        let quotient = reserve::unfed_ammonia(self.species);
        let source = if o.by_feed { &oxygen_src::TAN_PER_PROTEIN } else { quotient.source };
        w.step(|| {
            let fed = [term("F", FEED_RATE, self.eaten), term("p", PERCENT, self.species.protein())];
            let unfed = [term("AQ", RATIO, RATIO.of(quotient.value)), term("M", OXYGEN_RATE, self.resting)];
            let (formula, with) = match (o.by_feed, self.time.value > DIGESTED) {
                (true, true) => (
                    "P = (0.092 F p × 24 h + AQ × 14.007/31.998 × M × (t - 24 h))/t, M at rest",
                    fed.into_iter().chain(unfed).chain([term("t", HOURS, self.time)]).collect(),
                ),
                (true, false) => ("P = 0.092 F p", fed.to_vec()),
                _ => ("P = AQ × 14.007/31.998 × M, M at rest", unfed.to_vec()),
            };
            let p = term("P", OXYGEN_RATE, OXYGEN_RATE.of(o.rate.value));
            Step::new("Ammonia nitrogen that they give off", formula, &with, p, source)
        });
        w.step(|| {
            Step::new(
                "Ammonia nitrogen at the end",
                "TAN = P t/V",
                &[
                    term("P", OXYGEN_RATE, OXYGEN_RATE.of(o.rate.value)),
                    term("t", HOURS, self.time),
                    term("V", VOLUME, self.water),
                ],
                term("TAN", CONCENTRATION, o.tan),
                source,
            )
        });
        if let Some(lime) = self.aired {
            w.step(|| {
                Step::new(
                    "The pH that air brings, or that of the start if it is higher",
                    "what alkalinity, with 3.57 of it for each of the ammonia, holds beside 1.5 mg/L of carbon dioxide, 8 at the least",
                    &[term("alkalinity", ALKALINITY, lime), term("TAN", CONCENTRATION, o.tan)],
                    term("pH", RATIO, within(o.at)),
                    &src::AIRED,
                )
            });
            w.step(|| {
                Step::new(
                    "Un-ionised ammonia at that pH",
                    match self.salinity.value > 0.0 {
                        true => "TAN times its share in salt water, as on the page of ammonia",
                        false => "NH3-N = TAN/(1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92/T",
                    },
                    &[
                        term("TAN", CONCENTRATION, o.tan),
                        term("pH", RATIO, within(o.at)),
                        term("T", TEMPERATURE, self.temperature),
                        term("S", SALINITY, self.salinity),
                    ],
                    term("NH3-N", CONCENTRATION, o.unionised),
                    &oxygen_src::EMERSON_1975,
                )
            });
        }
        w.step(|| {
            Step::new(
                "Un-ionised ammonia that they bear for so long",
                "borne = limit × min(5, max(1, 5 × 6 h/t))",
                &[term("limit", CONCENTRATION, self.species.unionised_limit()), term("t", HOURS, self.time)],
                term("borne", CONCENTRATION, o.borne),
                &src::READINGS_RULE,
            )
        });
    }
}
