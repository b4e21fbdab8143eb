//! Sources on solids, settlers, sludge and media.

use super::Source;

/// Slow settling of small spheres.
pub static STOKES_1851: Source = Source::published(
    "stokes_1851",
    "Stokes, G. G. 1851. On the effect of the internal friction of fluids on the motion of pendulums; the settling law in any textbook of fluid mechanics.",
);
/// Settling of grains of any size.
pub static FERGUSON_CHURCH_2004: Source = Source::published(
    "ferguson_church_2004",
    "Ferguson, R. I. & Church, M. 2004. A simple universal equation for grain settling velocity. J. Sediment. Res. 74: 933-937 (as coded in open models of sediment; checked against another drag law).",
);
/// Removal in a real basin.
pub static HAZEN_1904: Source = Source::memory(
    "hazen_1904",
    "Hazen, A. 1904. On sedimentation. Trans. ASCE 53: 45-71; removal in a basin that acts as n tanks.",
);
/// Swirl and radial-flow settlers measured.
pub static DAVIDSON_SUMMERFELT_2005: Source = Source::published(
    "davidson_summerfelt_2005",
    "Davidson, J. & Summerfelt, S. T. 2005. Solids removal from a coldwater recirculating system: comparison of a swirl separator and a radial-flow settler. Aquac. Eng. 33: 47-61.",
);
/// How fish solids settle.
pub static WAS_165932: Source = Source::published(
    "was_165932",
    "World Aquaculture Society, abstract 165932: trout-farm solids settle at 17 mm/s in the mean, stripped trout faeces at 7; density 1050 to 1190 kg/m3; in recirculated water most particles are under 20 micrometres, 40 to 70 % of the mass.",
);
/// Plain basins, a supplier's rule.
pub static CLARIFIER_SUPPLIER: Source = Source::published(
    "clarifier_supplier",
    "Technical talk of a supplier to fish farms: plain settling basins 0.7 to 1.4 square feet per gallon a minute, shallow, wide weir; drawn at least once a day.",
);
/// Gas of sludge that lies without air.
pub static SLUDGE_GAS: Source = Source::published(
    "sludge_gas",
    "NIOSH 1990. Preventing deaths of farm workers in manure pits. DHHS (NIOSH) Publication 90-103: dung that rots without air gives off methane, hydrogen sulphide, carbon dioxide and ammonia; whoever climbs in dies, and so do those who go in after them. That hundredths of a milligram of hydrogen sulphide kill fish is recalled (Boyd).",
);
/// Retention of a clarifier.
pub static KSU_2021: Source = Source::published(
    "ksu_2021_clarifier",
    "Kentucky State University 2021. Aquaponics production manual: a clarifier alone wants 30 minutes.",
);
/// Clarifiers of a proven system.
pub static UVI_CLARIFIER: Source = Source::published(
    "uvi_clarifier",
    "University of the Virgin Islands aquaponic system: two clarifiers of 3785 L, each half of 378.5 L/min, that is 20 minutes.",
);
/// Settlers in small systems.
pub static SETTLER_JUDGEMENT: Source = Source::judgement(
    "settler_judgement",
    "Loads for the whole flow of a small system are set below the measured ones, because its water is more dilute and its particles finer; the effective settling speeds are fitted to the measured removals.",
);
/// Settlers in cold water.
pub static SETTLER_COLD: Source = Source::memory(
    "settler_cold",
    "The loads and removals were measured on trout farms in water of about 14 °C (the temperature recalled). In colder water, which is thicker, solids sink slower: by the law of Ferguson & Church 2004 for a grain in the middle of fish solids.",
);
/// Pipes of a settler.
pub static SETTLER_PIPES: Source = Source::judgement(
    "settler_pipes",
    "Inlets fast enough to keep solids moving and slow enough not to break them (0.3 to 0.6 m/s), outlets at most 0.3 m/s, two and a half velocity heads lost at each.",
);
/// Fall to a settler.
pub static SETTLER_FALL: Source = Source::judgement(
    "settler_fall",
    "150 mm between a tank's rim and the water of the settler beside it: common practice is 100 to 200 mm, no source.",
);
/// Solids made by feed.
pub static SOLIDS_YIELD: Source = Source::memory(
    "solids_yield",
    "Timmons, M. B. & Ebeling, J. M. Recirculating aquaculture: about 0.25 kg of dry solids per kg of feed, 0.2 to 0.3 with today's feeds. Salmon 0.3 to 0.4 and catfish 0.2 to 0.7 have been measured.",
);
/// Dry matter of sludge, at best.
pub static SLUDGE_MAKER: Source =
    Source::published("sludge_maker", "Data of a maker of radial-flow settlers: sludge up to 2 % dry matter.");
/// Dry matter of sludge, as drawn.
pub static SLUDGE_MEMORY: Source =
    Source::memory("sludge_memory", "Sludge drawn straight from a swirl separator holds 0.1 to 1 % dry matter.");
/// Media.
pub static FAO_589_MEDIA: Source = Source::memory(
    "fao_589_media",
    "Somerville, C. et al. 2014. FAO Technical Paper 589, Table 4.1 (surface and pores of media).",
);
/// Media, as sold.
pub static MEDIA_PRACTICE: Source = Source::practice(
    "media_practice",
    "Figures of merchants and keepers for bed and filter media; expanded clay beds flood and drain about 40 % of their volume.",
);
/// Media, recalled.
pub static MEDIA_MEMORY: Source = Source::memory(
    "media_memory",
    "Bulk densities and pores of media from general handbooks, recalled without a publication at hand.",
);
/// Weight of a wet bed.
pub static BED_LOAD: Source =
    Source::published("bed_load", "Statics: bulk mass plus the mass of the water in the pores; water is 1 kg/L.");

/// All of this file.
pub static ALL: &[&Source] = &[
    &STOKES_1851,
    &FERGUSON_CHURCH_2004,
    &HAZEN_1904,
    &DAVIDSON_SUMMERFELT_2005,
    &WAS_165932,
    &CLARIFIER_SUPPLIER,
    &SLUDGE_GAS,
    &KSU_2021,
    &UVI_CLARIFIER,
    &SETTLER_JUDGEMENT,
    &SETTLER_COLD,
    &SETTLER_PIPES,
    &SETTLER_FALL,
    &SOLIDS_YIELD,
    &SLUDGE_MAKER,
    &SLUDGE_MEMORY,
    &FAO_589_MEDIA,
    &MEDIA_PRACTICE,
    &MEDIA_MEMORY,
    &BED_LOAD,
];
