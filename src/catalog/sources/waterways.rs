//! Sources of pumps, supply networks, automatic siphons and sumps.

use super::Source;

/// What the water gains in a pump, and what the plug gives for it.
pub static PUMP_POWER: Source = Source::published(
    "pump_power",
    "Hydraulic power of a pump P = rho g Q H, and wire-to-water efficiency as hydraulic over electric power; any textbook of pumps.",
);
/// A curve between two points.
pub static CURVE_TWO_POINTS: Source = Source::judgement(
    "curve_two_points",
    "Between the shut-off head and the free flow of the label the curve is taken as H = H0 (1 - (Q/Qm)^n) with n = 2. Small magnet-driven pumps are often nearer 1.3 to 2 (from memory). It is a guess between two known ends.",
);
/// A curve through three points.
pub static CURVE_THREE_POINTS: Source = Source::published(
    "curve_three_points",
    "H = H0 - c Q^n through the shut-off head and two more points, n = ln((H0 - H1)/(H0 - H2))/ln(Q1/Q2): algebra; the form is that of the three-point pump curve of network solvers (Rossman 2000, EPANET 2 Users Manual, US EPA).",
);
/// A curve typed in as a table.
pub static CURVE_TABLE: Source = Source::published(
    "curve_table",
    "Straight lines between the rows of a maker's table, as network solvers take a multi-point pump curve (Rossman 2000, EPANET 2 Users Manual, US EPA).",
);
/// Pumps side by side and one after the other.
pub static PUMPS_TOGETHER: Source = Source::published(
    "pumps_together",
    "Pumps side by side: flows add at one head. One after the other: heads add at one flow. Any textbook of pumps.",
);
/// How well small pumps turn watts into lifted water.
pub static WIRE_TO_WATER: Source = Source::memory(
    "wire_to_water",
    "Wire-to-water efficiency of submersible pumps: 10 to 30 % in the class of 50 W, 25 to 45 % from 100 to 300 W. The label's watts, or a plug meter, are better.",
);
/// The working point with branches.
pub static NETWORK: Source = Source::published(
    "branched_network",
    "One head at every junction, inflow equal to outflow there, and the energy equation along every pipe: the steady equations of any pipe network. Every term rises with the head, so there is one solution, and it can be bracketed.",
);
/// Losses of a valve turned by a quarter, by the angle of its handle.
pub static PLUG_VALVE: Source = Source::published(
    "plug_valve",
    "Loss coefficient of a cock in a round pipe by the angle it is turned from open (5° 0.05, 10° 0.29, 20° 1.56, 40° 17.3, 60° 206), Weisbach's measurements as reprinted in handbooks of chemical engineering; closed at about 82°. A ball valve behaves alike (a third closed 5.5, two thirds 210 in textbooks of fluid mechanics).",
);
/// Losses of a gate valve by how far it is open.
pub static GATE_VALVE: Source = Source::published(
    "gate_valve",
    "Loss coefficient of a gate in a round pipe: open 0.15, a quarter closed 0.26, half closed 2.1, three quarters closed 17; textbooks of fluid mechanics after Weisbach. Other handbooks print up to twice as much.",
);
/// How the losses between the printed openings are found.
pub static VALVE_BETWEEN: Source = Source::judgement(
    "valve_between",
    "Between the printed openings the logarithm of the loss coefficient is taken as a straight line; nearer to closed than the last of them that line is drawn on, which is a guess.",
);
/// A tee on the supply side.
pub static SUPPLY_TEE: Source = Source::judgement(
    "supply_tee",
    "At each tee of a supply every branch is charged with the loss of a screwed tee's branch, and the pipe that runs on with that of its run, on the bore of the pipe that leaves.",
);
/// When a siphon starts.
pub static SIPHON_START: Source = Source::judgement(
    "siphon_start",
    "No published formula for the flow that starts an automatic siphon was found. First principles: below the self-venting flow of the standpipe (V/sqrt(g D) = 0.3) water can fall as a film round a core of air. So it is likely to start from that flow on; from 0.4 of it a flared top or a water trap at the foot may help; below, it trickles.",
);
/// When a siphon breaks.
pub static SIPHON_BREAK: Source = Source::judgement(
    "siphon_break",
    "No published formula for the flow at which an automatic siphon fails to break was found. First principles: at an inflow equal to what the siphon carries at its lowest head it can never draw the level down to its air inlet; half of that is taken as the flow up to which it breaks surely.",
);
/// What the siphon carries.
pub static SIPHON_FLOW: Source = Source::published(
    "siphon_flow",
    "Energy equation of a full pipe between the bed's surface and the outlet, Q = A sqrt(2 g H/(sum K + f L/D)); any textbook of hydraulics.",
);
/// Time to drain against an inflow.
pub static SIPHON_DRAIN: Source = Source::published(
    "siphon_drain",
    "A dy/dt = Q_in - c sqrt(y), integrated: t = (2 A/c²) [c (sqrt y1 - sqrt y2) + Q_in ln((c sqrt y1 - Q_in)/(c sqrt y2 - Q_in))]. Derived here; checked against a numerical solution of the equation.",
);
/// Areas inside a bell.
pub static BELL_GEOMETRY: Source = Source::judgement(
    "bell_geometry",
    "The way under the bell should nowhere be narrower than the standpipe: ring between bell and standpipe at least its bore area; gap over its rim at least a quarter of its bore (half is roomy); slots at the foot at least twice its bore area. Derived from continuity.",
);
/// Pores of a medium.
pub static BED_POROSITY: Source = Source::memory(
    "bed_porosity",
    "Gravel 0.35 to 0.45, expanded clay 0.40 to 0.50, lava 0.45 to 0.55; roots take some of it. Measure it with a bucket and a jug.",
);
/// What a sump must hold.
pub static SUMP_BALANCE: Source =
    Source::published("sump_balance", "Conservation of water: what is not in tanks, pipes and beds is in the sump.");
/// Beds out of step.
pub static BED_PHASES: Source = Source::published(
    "bed_phases",
    "Beds with unequal cycles drift through every alignment, so that their swings add; beds with equal cycles keep theirs until they are restarted. Kinematics.",
);
/// How much water a pump needs over its intake.
pub static SUBMERGENCE: Source = Source::practice(
    "pump_submergence",
    "A small submersible pump wants its body covered; 50 to 150 mm of water. The maker's figure wins.",
);
/// Evaporation of a small system.
pub static TOP_UP: Source = Source::memory(
    "evaporation_small",
    "A small outdoor system loses some 1 to 3 % of its water a day to sun, wind and plants. Mark the sump for a week and measure.",
);
/// A hole that lets air into a return under water.
pub static AIR_HOLE: Source = Source::judgement(
    "air_hole",
    "End the return above the highest water. If it must be under water: a hole of 5 to 6 mm, 10 to 20 mm below the normal water line, on the tank side of the bend, kept clear; the tank drains back to that hole.",
);
/// Float valves and siphon beds.
pub static FLOAT_VALVE: Source = Source::judgement(
    "float_valve",
    "A float valve in a sump with siphon beds refills at the low phase; when the beds empty the sump rises by all they held above the float.",
);
/// Electricity near water.
pub static RESIDUAL_CURRENT: Source = Source::published(
    "residual_current",
    "Residual-current protection for circuits near water: 30 mA at most for people where IEC rules hold (BS 7671 practice, tested about every three months); Class A ground-fault interrupters of 4 to 6 mA in North America (UL 943).",
);
/// Rain on open water.
pub static CLOUDBURST: Source = Source::published(
    "cloudburst",
    "DIN 1986-100, drainage of buildings and plots: an example (reprint) drains a roof of 50 m2 for 285 L/(s ha), 102.6 mm in an hour, which is 1.43 L/s. Every place has a figure of its own.",
);
/// Values that only the builder knows.
pub static WATERWAYS_ASSUMED: Source = Source::judgement(
    "waterways_assumed",
    "A plausible first value for a small garden system, shown as assumed until it is measured.",
);

/// All of this file.
pub static ALL: &[&Source] = &[
    &PUMP_POWER,
    &CURVE_TWO_POINTS,
    &CURVE_THREE_POINTS,
    &CURVE_TABLE,
    &PUMPS_TOGETHER,
    &WIRE_TO_WATER,
    &NETWORK,
    &PLUG_VALVE,
    &GATE_VALVE,
    &VALVE_BETWEEN,
    &SUPPLY_TEE,
    &SIPHON_START,
    &SIPHON_BREAK,
    &SIPHON_FLOW,
    &SIPHON_DRAIN,
    &BELL_GEOMETRY,
    &BED_POROSITY,
    &SUMP_BALANCE,
    &BED_PHASES,
    &SUBMERGENCE,
    &TOP_UP,
    &AIR_HOLE,
    &FLOAT_VALVE,
    &RESIDUAL_CURRENT,
    &CLOUDBURST,
    &WATERWAYS_ASSUMED,
];
