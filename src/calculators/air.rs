//! The air of a tank as people know it: what reaches the stones, what stands on an air pump's box, or what a maker states. Shared by the
//! calculators of oxygen and stocking.

use super::form::*;
use super::mend::round_down;
use super::outcome::Caution;
use crate::catalog::diffusers::{Diffuser, MEDIUM};
use crate::catalog::sources::oxygen as src;
use crate::science::aeration::{self, PumpAge};
use crate::units::{kinds::*, si::*, *};

/// What is known of the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AirMode {
    /// No air.
    None,
    /// The flow that reaches the stones.
    #[default]
    Stones,
    /// An air pump and what stands on its box.
    Pump,
    /// A transfer that the maker states.
    Rated,
}
crate::choices!(AirMode:
    None = "none", "No air", "";
    Stones = "stones", "Air through stones, flow known", "as a flow meter or an upturned bottle shows it";
    Pump = "pump", "An air pump by its box", "less depth, splitting and ageing";
    Rated = "rated", "A rated transfer", "grams of oxygen an hour in clean water";
);
crate::choices!(PumpAge:
    New = "new", "New, or new membranes", "";
    Year = "year", "About a year of running", "";
    Tired = "tired", "Several years", "on the same membranes";
);

/// The air that goes into a tank.
#[derive(Debug, Clone)]
pub struct Air {
    /// What is known of it.
    pub mode: AirMode,
    /// Flow that reaches the stones.
    pub flow: VolumeRate,
    /// How deep the stones hang.
    pub depth: Length,
    /// What they are.
    pub diffuser: &'static Diffuser,
    /// Free flow on the air pump's box.
    pub free: VolumeRate,
    /// Depth at which the air pump gives nothing.
    pub most_depth: Length,
    /// Part of its air that goes into this tank.
    pub share: Ratio,
    /// How worn the air pump is.
    pub age: PumpAge,
    /// Rated transfer.
    pub rated: MassRate,
}

impl Default for Air {
    fn default() -> Self {
        Self {
            mode: AirMode::Stones,
            flow: AIR_FLOW.of(l_min(30.0)),
            depth: LENGTH.of(0.5),
            diffuser: MEDIUM,
            free: AIR_FLOW.of(l_min(60.0)),
            most_depth: LENGTH.of(2.0),
            share: PERCENT.of(1.0),
            age: PumpAge::Year,
            rated: OXYGEN_RATE.of(g_h(10.0)),
        }
    }
}

/// What is said with stones hung higher.
pub(crate) const DELIVERS_MORE: &str = "The pump then delivers more.";
/// What is said with more air.
pub(crate) const BATTERY: &str = "Keep a battery air pump for the day the power fails.";

/// What air does in a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirGain {
    /// Air that reaches the stones; nothing for a rated transfer.
    pub delivered: VolumeRate,
    /// Transfer at standard conditions, low and high.
    pub standard: (MassRate, MassRate),
    /// Water renewed, low and high.
    pub gain: (VolumeRate, VolumeRate),
    /// Saturation against the bubbles.
    pub saturation: MassConcentration,
    /// Water renewed by each m3 of air through such stones, low end.
    pub(crate) per_air: f64,
    /// Water renewed by each kg of rated transfer.
    pub(crate) per_rated: f64,
}

/// The water that air works in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InWater {
    pub(crate) t: ThermodynamicTemperature,
    pub(crate) pressure: Pressure,
    pub(crate) saturation: MassConcentration,
    pub(crate) alpha: Ratio,
    pub(crate) beta: Ratio,
    pub(crate) condition: Ratio,
    /// Mean depth: bubbles rise through no more water than there is.
    pub(crate) depth: Length,
}

impl Air {
    /// Declares the fields; tags from 20 to 28 are theirs.
    pub(crate) fn fields(&mut self, f: &mut dyn Form) {
        pick(f, &Pick::new(20, "air", "Air").help("Bubbles. A waterfall counts below."), &mut self.mode);
        let mode = self.mode;
        group(f, &Group::when("air", "stones"), mode == AirMode::Stones, &mut |f| {
            let flow = Field::new(21, "air_flow", "Air that reaches the stones", AIR_FLOW)
                .range(0.0, l_min(5000.0))
                .advised(l_min(1.0), l_min(500.0));
            num(
                f,
                &flow.help("Hold an upturned two-litre bottle over the stones and time it. Less than the box says."),
                &mut self.flow,
            );
        });
        group(f, &Group::when("air", "pump"), mode == AirMode::Pump, &mut |f| {
            let free = Field::new(22, "free_flow", "Free flow on its box", AIR_FLOW)
                .range(0.0, l_min(5000.0))
                .advised(l_min(1.0), l_min(500.0));
            num(f, &free.help("At no depth and with nothing on the hose."), &mut self.free);
            let most = Field::new(23, "most_depth", "Depth at which it gives nothing", LENGTH)
                .range(0.1, 20.0)
                .advised(0.5, 6.0)
                .likely(1.2, 3.5)
                .source(&src::AIR_PUMP_CURVE);
            num(
                f,
                &most.help("Its greatest pressure: 10 kPa are one metre, 1 psi is 2.3 ft. Small diaphragm pumps reach 1.5 to 3 m (5 to 10 ft)."),
                &mut self.most_depth,
            );
            let share = Field::new(24, "share", "Part of its air for this tank", PERCENT).range(0.0, 1.0);
            num(f, &share.help("With like stones at like depths: stones here over all stones."), &mut self.share);
            pick(f, &Pick::new(25, "pump_age", "Wear").help("Membranes tire."), &mut self.age);
        });
        group(f, &Group::when("air", "stones|pump"), matches!(mode, AirMode::Stones | AirMode::Pump), &mut |f| {
            let depth =
                Field::new(26, "air_depth", "How deep the stones hang", LENGTH).range(0.05, 6.0).advised(0.3, 2.0);
            num(f, &depth.help("From the water's surface to the stones."), &mut self.depth);
            pick(
                f,
                &Pick::new(27, "diffuser", "Stones").help("Finer bubbles give up more of their oxygen."),
                &mut self.diffuser,
            );
        });
        group(f, &Group::when("air", "rated"), mode == AirMode::Rated, &mut |f| {
            let rated = Field::new(28, "rated", "Transfer that the maker states", OXYGEN_RATE)
                .range(0.0, g_h(100_000.0))
                .advised(g_h(1.0), g_h(3000.0));
            num(f, &rated.help("At 20 °C (68 °F) in clean water without oxygen (SOTR)."), &mut self.rated);
        });
    }

    /// Does any air go in?
    pub fn on(&self) -> bool {
        match self.mode {
            AirMode::None => false,
            AirMode::Stones => self.flow.value > 0.0,
            AirMode::Pump => self.free.value > 0.0 && self.share.value > 0.0,
            AirMode::Rated => self.rated.value > 0.0,
        }
    }

    /// Air that reaches the stones; nothing for a rated transfer.
    fn delivered(&self) -> VolumeRate {
        match self.mode {
            AirMode::Stones => self.flow,
            AirMode::Pump => aeration::pump_delivery(self.free, self.most_depth, self.depth, self.share, self.age),
            AirMode::None | AirMode::Rated => AIR_FLOW.of(0.0),
        }
    }
    /// Does any of it come out in the water? An air pump gives up in water that is too deep for it.
    pub(crate) fn comes_out(&self) -> bool {
        self.on() && (self.mode == AirMode::Rated || self.delivered().value > 0.0)
    }
    /// The depth that stones are counted at in water of such a mean depth.
    pub(crate) fn hang(&self, water: Length) -> Length {
        self.depth.min(water)
    }
    /// What is said of stones that hang deeper than their water.
    pub(crate) fn deeper(&self, water: Length, w: Words) -> Option<Caution> {
        let deeper = matches!(self.mode, AirMode::Stones | AirMode::Pump) && self.depth > water;
        let text = || {
            format!(
                "The stones hang {} deep in water of {} mean depth: they are counted at that. Check both.",
                w.q(LENGTH, self.depth),
                w.q(LENGTH, water)
            )
        };
        deeper.then(|| Caution::new(text()))
    }
    /// What is said of stones that hang too deep for their air pump.
    pub(crate) fn too_deep(&self, w: Words) -> Option<Caution> {
        let text = || {
            format!(
                "At {} the air pump delivers nothing: it gives up at {}, and stones and hose count as more depth. Hang them higher, or get a pump of more pressure.",
                w.q(LENGTH, self.depth),
                w.q(LENGTH, self.most_depth)
            )
        };
        (self.on() && !self.comes_out()).then(|| Caution::from(text(), &src::AIR_PUMP_CURVE))
    }
    /// Stones hung to where the straight line of their air pump and the depth together give most, if they hang deeper.
    pub(crate) fn higher(&self, w: Words) -> Option<(String, Edit)> {
        let best = (self.most_depth.value - aeration::STONE_RESISTANCE.value) / 2.0;
        let to = LENGTH.of(round_down(best, w.one(LENGTH)));
        let deeper = self.mode == AirMode::Pump && to.value >= 0.05 && to.value < self.depth.value * 0.95;
        deeper.then(|| {
            let (to_said, from) = (w.q(LENGTH, to), w.q(LENGTH, self.depth));
            (format!("Hang the stones {to_said} deep instead of {from}"), Edit::num("air_depth", to))
        })
    }

    pub(crate) fn gain(&self, w: &InWater) -> AirGain {
        let (delivered, hang) = (self.delivered(), self.hang(w.depth));
        let (low, high) = aeration::efficiency(self.diffuser, hang);
        let standard = match self.mode {
            AirMode::Rated => (self.rated, self.rated),
            _ => (
                aeration::standard_transfer(delivered, w.pressure, low),
                aeration::standard_transfer(delivered, w.pressure, high),
            ),
        };
        let condition = if self.mode == AirMode::Rated { RATIO.of(1.0) } else { w.condition };
        let gain = |sotr| aeration::gain(sotr, w.alpha, condition, w.t);
        let depth = if self.mode == AirMode::Rated { LENGTH.of(0.0) } else { hang };
        let one = AIR_FLOW.of(1.0);
        AirGain {
            delivered,
            standard,
            gain: (gain(standard.0), gain(standard.1)),
            saturation: aeration::bubble_saturation(w.saturation, w.beta, depth, w.pressure, w.t),
            per_air: gain(aeration::standard_transfer(one, w.pressure, low)).value,
            per_rated: gain(OXYGEN_RATE.of(1.0)).value,
        }
    }
}
