//! Sources of water properties, pipe flow, drains and pipe sizes.

use super::Source;

/// Density of water.
pub static TANAKA_2001: Source = Source::published(
    "tanaka_2001",
    "Tanaka, M., Girard, G., Davis, R., Peuto, A. & Bignell, N. 2001. Recommended table for the density of water between 0 °C and 40 °C. Metrologia 38: 301-309.",
);
/// Viscosity of water.
pub static PATEK_2009: Source = Source::published(
    "patek_2009",
    "Patek, J., Hruby, J., Klomfar, J., Souckova, M. & Harvey, A. H. 2009. Reference correlations for thermophysical properties of liquid water at 0.1 MPa. J. Phys. Chem. Ref. Data 38: 21-29; IAPWS SR6-08.",
);
/// Vapour pressure of water.
pub static WAGNER_PRUSS_1993: Source = Source::published(
    "wagner_pruss_1993",
    "Wagner, W. & Pruss, A. 1993. International equations for the saturation properties of ordinary water substance. J. Phys. Chem. Ref. Data 22: 783-787; IAPWS SR1-86(1992).",
);
/// Friction factor in one expression for every regime.
pub static CHURCHILL_1977: Source = Source::published(
    "churchill_1977",
    "Churchill, S. W. 1977. Friction-factor equation spans all fluid-flow regimes. Chemical Engineering 84(24): 91-92; as coded in the open library fluids.",
);
/// Head lost in a full pipe.
pub static DARCY_WEISBACH: Source = Source::published(
    "darcy_weisbach",
    "Darcy-Weisbach equation h = (f L/D + sum K) V²/2g; any textbook of hydraulics.",
);
/// Loss coefficients of screwed fittings by size.
pub static RISHEL_2006: Source = Source::published(
    "rishel_2006",
    "Rishel, J. B., Durkin, T. H. & Kincaid, B. L. 2006. HVAC Pump Handbook, 2nd ed., McGraw-Hill, Tables 3.7 to 3.11 (values of the Hydraulic Institute).",
);
/// Loss coefficients as multiples of the rough-pipe friction factor.
pub static CRANE_TP410: Source = Source::published(
    "crane_tp410",
    "Crane Co., Flow of Fluids through Valves, Fittings and Pipe, Technical Paper 410: K = n f_T; multiples and friction factors as coded in the open library fluids.",
);
/// Couplings and unions.
pub static COUPLING_PRACTICE: Source =
    Source::practice("coupling_practice", "A coupling or union counts with K = 0.08.");
/// Critical depth and specific energy.
pub static OPEN_CHANNEL: Source = Source::published(
    "open_channel",
    "Critical flow, specific energy and gradually varied flow in a circular section: Q² T = g A³, E = h + Q²/2gA², dE/dx = S_f - S; Chow, V. T. 1959, Open-Channel Hydraulics, or any textbook of the field.",
);
/// Marching upstream, the higher headwater governing, and the submerged inlet.
pub static HDS5: Source = Source::published(
    "fhwa_hds5",
    "Federal Highway Administration, Hydraulic Design of Highway Culverts, Hydraulic Design Series 5: the higher of inlet-control and outlet-control headwater governs; submerged square-edged inlet in a headwall HW/D = 0.67 + 0.0398 (Q/A D^0.5)² in customary units, that is 0.67 + 1.28 V²/gD (Table A.1).",
);
/// How the gap between free and submerged inlet is bridged, and how the entrance loss shifts the submerged inlet.
pub static INLET_BRIDGE: Source = Source::judgement(
    "inlet_bridge",
    "Between the free inlet (J up to 0.617) and the submerged one (from J 0.705) the level is taken as a straight line; an entrance that loses more or less than a square edge moves the submerged level by the difference of their losses.",
);
/// Weir and orifice over a standpipe rim.
pub static SWMM_RISER: Source = Source::published(
    "swmm_riser",
    "US EPA, Storm Water Management Model, engine notes on riser outlets: weir coefficient 0.414 sqrt(2g) = 1.83 m^0.5/s round the rim, orifice coefficient 0.6 at the mouth, the smaller flow governing.",
);
/// Drowned weir.
pub static VILLEMONTE_1947: Source = Source::published(
    "villemonte_1947",
    "Villemonte, J. R. 1947. Submerged-weir discharge studies. Engineering News-Record 139: 866-869: Q = Q1 (1 - (h2/h1)^1.5)^0.385.",
);
/// Orifice equation, also part full.
pub static ORIFICE: Source = Source::published(
    "orifice",
    "Orifice flow Q = 0.6 A sqrt(2 g h) for a sharp edge; for a hole part full or shallow, its integral over the height. Any textbook of hydraulics.",
);
/// Quiet falling flow.
pub static HILLS_1983: Source = Source::published(
    "hills_1983",
    "Hills, P. D. 1983. Designing piping for gravity flow. Chemical Engineering (5 September): 111-114, as quoted: falling water vents itself up to V/sqrt(g D) = 0.3; between there and about 1 to 2 it surges.",
);
/// Where shaft inlets begin to drown.
pub static DROWNING_RIM: Source =
    Source::memory("drowning_rim", "A round rim begins to drown at a head of about 0.45 of its radius, J = 0.25.");
/// Air drawn in by an outlet with too little water over it.
pub static MCDUFFIE_1977: Source = Source::memory(
    "mcduffie_1977",
    "McDuffie, N. G. 1977. Vortex free downflow in vertical drains. AIChE Journal 23: 37-40: no air is drawn while J < 1.6 (h/D)².",
);
/// First flow over a rim.
pub static RIM_SURFACE_TENSION: Source = Source::published(
    "rim_surface_tension",
    "Capillary length of water: surface tension holds 2 sqrt(sigma/rho g) sin(theta/2), about 4 mm, over a dry rim before it runs (derived).",
);
/// Entrance losses.
pub static ENTRANCE: Source = Source::published(
    "entrance_loss",
    "Loss at a sharp flush entrance 0.5, at a pipe that projects into the tank 0.78 (Crane TP-410, as coded in the open library fluids), at a bell-mouth 0.05 (Rishel 2006, Table 3.7).",
);
/// What the vented tee loses.
pub static TEE_JUDGEMENT: Source = Source::judgement(
    "vented_tee",
    "A rising leg loses its whole velocity head in the vented tee, and the run begins there as from a small pool, with an entrance loss of 0.5 for the turn.",
);
/// Part-full fittings.
pub static FITTINGS_SPREAD: Source = Source::judgement(
    "fittings_spread",
    "Fittings on a run that is part full lose K V²/2g with the speed of the part-full flow, evenly along the run.",
);
/// Roughness of plastic.
pub static ROUGHNESS_NEW: Source = Source::published(
    "roughness_new",
    "Roughness of new plastic pipe 0.0015 mm (0.005 thousandths of a foot in the tables of network-model manuals).",
);
/// Roughness of used drains.
pub static ROUGHNESS_USED: Source =
    Source::memory("roughness_used", "Roughness of plastic drains grown over by a biofilm: 0.1 to 0.5 mm.");
/// How much of a screen is blocked when it matters.
pub static SCREEN_BLOCKED: Source = Source::judgement(
    "screen_blocked",
    "A screen is sized with half of its openings blocked, since it is cleaned when somebody looks, not when it is half full.",
);
/// Fish before a screen.
pub static SCREEN_SPEED: Source = Source::judgement(
    "screen_speed",
    "Small fish are taken to be held against openings that water goes through faster than 0.1 m/s; a hole holds back what is thicker than it is wide.",
);
/// Solids in a drain.
pub static SCOUR: Source =
    Source::memory("drain_scour", "Plumbing practice: 0.6 m/s keeps a drain clean; below 0.3 m/s solids settle in it.");
/// What is kept dry under a rim.
pub static FREEBOARD: Source =
    Source::judgement("freeboard", "30 mm under the rim are kept dry for waves, fish and errors.");
/// Assumed values that only the builder knows.
pub static DRAIN_ASSUMED: Source = Source::judgement(
    "drain_assumed",
    "A plausible first value for a small garden system, shown as assumed until it is measured.",
);
/// Accuracy of the levels.
pub static DRAIN_ACCURACY: Source = Source::judgement(
    "drain_accuracy",
    "Levels of small gravity drains agree with such sums within about 15 % of the head at best; where a pipe gulps, the level wanders in a band.",
);
/// Sched 40 PVC.
pub static ASTM_D1785: Source = Source::published(
    "astm_d1785",
    "ASTM D1785, PVC plastic pipe, Schedule 40: outside diameters and walls; average inside diameters from a maker's table to that standard.",
);
/// Metric pressure pipe.
pub static DIN_8062: Source = Source::published(
    "din_8062",
    "DIN 8062, PVC-U pressure pipe: outside diameters and least walls for PN 10 and PN 16.",
);
/// Buried drain pipe.
pub static EN_1401: Source = Source::published(
    "en_1401",
    "EN 1401, PVC-U drain and sewer pipe: outside diameters and walls, from a maker's table.",
);
/// Indoor waste pipe.
pub static EN_1451: Source = Source::memory(
    "en_1451",
    "EN 1451, PP waste pipe for use in buildings: 40 x 1.8, 50 x 1.8, 75 x 1.9, 110 x 2.7 mm.",
);
/// Hose.
pub static HOSE: Source = Source::memory("hose_sizes", "Hose is sold by its inside diameter.");
/// Hole saws and seals.
pub static HOLE_SAWS: Source = Source::practice(
    "hole_saws",
    "Hole saws come in steps of 1/8 in; rubber pipe seals want holes 5 to 16 mm over the pipe's outside, by size and maker, 10 mm in the middle. The maker's figure wins: too wide a hole leaks.",
);

/// All of this file.
pub static ALL: &[&Source] = &[
    &TANAKA_2001,
    &SCREEN_SPEED,
    &PATEK_2009,
    &WAGNER_PRUSS_1993,
    &CHURCHILL_1977,
    &DARCY_WEISBACH,
    &RISHEL_2006,
    &CRANE_TP410,
    &COUPLING_PRACTICE,
    &OPEN_CHANNEL,
    &HDS5,
    &INLET_BRIDGE,
    &SWMM_RISER,
    &VILLEMONTE_1947,
    &ORIFICE,
    &HILLS_1983,
    &DROWNING_RIM,
    &MCDUFFIE_1977,
    &RIM_SURFACE_TENSION,
    &ENTRANCE,
    &TEE_JUDGEMENT,
    &FITTINGS_SPREAD,
    &ROUGHNESS_NEW,
    &ROUGHNESS_USED,
    &SCREEN_BLOCKED,
    &SCOUR,
    &FREEBOARD,
    &DRAIN_ASSUMED,
    &DRAIN_ACCURACY,
    &ASTM_D1785,
    &DIN_8062,
    &EN_1401,
    &EN_1451,
    &HOSE,
    &HOLE_SAWS,
];
