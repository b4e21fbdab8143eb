//! Sources on fish, feed, growth and plants.

use super::Source;

// ---- fish ----

/// Fish in small aquaponic units: temperatures, oxygen, water quality, feeding.
pub static FAO_589_FISH: Source = Source::published(
    "fao_589_fish",
    "Somerville, C., Cohen, M., Pantanella, E., Stankus, A. & Lovatelli, A. 2014. Small-scale aquaponic food production. FAO Fisheries and Aquaculture Technical Paper 589, sections 7.2 to 7.4.",
);
/// The same, its table of species.
pub static FAO_589_TABLE: Source = Source::memory(
    "fao_589_table",
    "Somerville, C. et al. 2014. Small-scale aquaponic food production. FAO Technical Paper 589, Table 7.1 (limits, feed protein and growth by species).",
);
/// Temperatures of tilapia.
pub static SRAC_283: Source = Source::published(
    "srac_283",
    "Popma, T. & Masser, M. 1999. Tilapia: life history and biology. Southern Regional Aquaculture Center Publication 283.",
);
/// Tilapia in tanks: its table of sizes and feeding rates.
pub static SRAC_282_TABLE: Source = Source::memory(
    "srac_282_table",
    "Rakocy, J. E. 1989. Tank culture of tilapia. SRAC Publication 282, Table 1. The fry row and the row of 20 to 50 g were seen quoted; the others are recalled.",
);
/// Cold death of blue tilapia.
pub static HEATON_2017: Source = Source::published(
    "heaton_2017",
    "Heaton, W. C. et al. 2017. Cold tolerance of blue tilapia (Oreochromis aureus) stocks in South Carolina. Journal of the NACAA 10(1): half dead at 8.8 °C, all at 6.0 °C, falling 2 °C a day.",
);
/// Nile tilapia in the cold for a day.
pub static TILAPIA_CHILL: Source = Source::published(
    "tilapia_chill",
    "Hofer, S. C., Drackett, M. & Watts, S. A. Low temperature tolerance of GMT tilapia, Oreochromis niloticus. Society for Integrative and Comparative Biology (abstract): of fingerlings used to 28 °C, a day at 16, 14 and 12 °C and three days after it left 90, 76 and 0 %. FAO Technical Paper 589: 14 °C is borne briefly.",
);
/// Oxygen and intake of Nile tilapia.
pub static TRAN_DUY_2012: Source = Source::published(
    "tran_duy_2012",
    "Tran-Duy, A., van Dam, A. A. & Schrama, J. W. 2012. Feed intake, growth and metabolism of Nile tilapia in relation to dissolved oxygen concentration. Aquaculture Research 43: 730-744.",
);
/// Tilapia culture in extension.
pub static NAFIS_TILAPIA: Source = Source::published(
    "nafis_tilapia",
    "National Farmers Information Service, Kenya. Tilapia culture: temperature, oxygen (best 4 mg/L, not below 2.3), ammonia and nitrite.",
);
/// The upper limit of rainbow trout.
pub static HUYSMAN_2020: Source = Source::published(
    "huysman_2020",
    "Huysman, N., Voorhees, J. M., Krebs, E. & Barnes, M. E. 2020. Thermal tempering does not impact rainbow trout and brown trout survival. Advances in Bioscience and Biotechnology 11: 345-353: acclimated to 11.2 °C, half died at 25 °C and none lived at 26 °C.",
);
/// Profiles of farmed species.
pub static FAO_AFFRIS: Source = Source::published(
    "fao_affris",
    "FAO Aquaculture Feed and Fertilizer Resources Information System: species profiles of common carp, channel catfish and barramundi.",
);
/// Carp by temperature and ration.
pub static GOOLISH_ADELMAN_1984: Source = Source::published(
    "goolish_adelman_1984",
    "Goolish, E. M. & Adelman, I. R. 1984. Effects of ration size and temperature on the growth of juvenile common carp (Cyprinus carpio L.). Aquaculture 36: 27-35.",
);
/// Carp fry by ration.
pub static DESAI_SINGH_2009: Source = Source::published(
    "desai_singh_2009",
    "Desai, A. S. & Singh, R. K. 2009. The effects of water temperature and ration size on growth and body composition of fry of common carp, Cyprinus carpio. Journal of Thermal Biology 34: 276-280.",
);
/// Channel catfish and its water.
pub static FWS_CATFISH: Source = Source::published(
    "fws_catfish",
    "McMahon, T. E. & Terrell, J. W. 1982. Habitat suitability index models: channel catfish. US Fish and Wildlife Service FWS/OBS-82/10.2.",
);
/// Catfish and oxygen.
pub static OTT_TORRANS_2012: Source = Source::published(
    "ott_torrans_2012",
    "Raible, R. W. 1975, with Ott, B. D. & Torrans, E. L. 2012 (abstract of a conference). Channel catfish and dissolved oxygen: many die below 2.5 mg/L; up to half more gain at 6.8 than at 3.0 mg/L.",
);
/// A slow winter.
pub static SLOW_WINTER: Source = Source::judgement(
    "slow_winter",
    "No figure of death in a slow winter was seen for carp and channel catfish: set near freezing, because carp winter near Budapest for about five months in ponds of 2 m under ice (FAO X0086E, the overwintering season), and channel catfish are native up to the prairie provinces of Canada (Wellborn, T. L., SRAC Publication 180, as reprinted).",
);
/// Catfish that cool within hours.
pub static CATFISH_COLD: Source = Source::published(
    "catfish_cold",
    "Currie, R. J., Bennett, W. A. & Beitinger, T. L. 1998. Environmental Biology of Fishes 51: 187-200: channel catfish used to 20 °C lost their balance at 2.7 °C; Currie, R. J. et al. 2004. Hydrobiologia 523: 127-136: used to 20 to 30 °C by turns, at 6.1 to 6.6 (abstracts).",
);
/// Catfish and heat.
pub static CATFISH_HEAT: Source = Source::published(
    "catfish_heat",
    "Heat tolerance of channel catfish, Ictalurus punctatus. 1967. Proceedings of the Southeastern Association of Game and Fish Commissioners (abstract): fish under a year, used to 26, 30 and 34 °C, died at 36.6, 37.3 and 37.8 °C. McMahon & Terrell 1982 give 33.5 °C for fish used to 25.",
);
/// Catfish in winter.
pub static SEAFWA_1974: Source = Source::published(
    "seafwa_1974",
    "Lovell, R. T. & Sirikul, B. 1974. Winter feeding of channel catfish. Proceedings of the Southeastern Association of Game and Fish Commissioners 28: 208-216: 1 % on alternate days, or on days above 54 °F, gave 19 to 23 % gain in 100 days.",
);
/// Catfish feed conversion.
pub static CATFISH_FCR: Source = Source::published(
    "catfish_fcr",
    "Channel catfish feed conversion: 111 g stockers 1.3 at 27 °C; Mississippi Agricultural and Forestry Experiment Station Bulletin 1364: fingerlings 1.0 to 1.2, research to 0.68 kg up to 1.8, US industry 2.5.",
);
/// Barramundi in farms.
pub static AGRIFUTURES_BARRAMUNDI: Source = Source::published(
    "agrifutures_barramundi",
    "AgriFutures Australia, barramundi; Northern Territory Government barramundi farming handbook: best 28 to 32 °C, intake almost nil at 20 °C, deaths below 13 °C, tolerance 16 to 35 °C.",
);
/// Barramundi by temperature.
pub static KATERSKY_CARTER_2007: Source = Source::published(
    "katersky_carter_2007",
    "Katersky, R. S. & Carter, C. G. 2005, 2007. Growth efficiency of juvenile barramundi, Lates calcarifer, at high temperatures; High growth efficiency occurs over a wide temperature range for juvenile barramundi fed a balanced diet. Aquaculture 250: 775-780; 272: 444-450 (abstracts): they grew fastest at 31.4 °C and ate most at 32.8, both at least nine tenths of that over 8 °C; both rose up to 36 °C and were less at 39. Glencross, B. & Bermudes, M., Effect of high water temperatures on the utilisation efficiencies of energy and protein by juvenile barramundi (abstract): upkeep alike from 25 to 32 °C, nearly three times as much at 36.",
);
/// Barramundi by the month.
pub static BARRAMUNDI_GROWTH: Source = Source::published(
    "barramundi_growth",
    "FAO AFFRIS, barramundi, growth (Tucker 2001): 500 g in a year in tanks at 22 to 27 °C, 800 g in warmer water; FAO, cultured species, Lates calcarifer: 350 g to 3 kg in six months to two years; Brazilian Journal of Biology 2024 (abstract): fry of 1.24 g gained 39.1 g in 40 days at the best of several salinities.",
);
/// Barramundi and heat.
pub static NORIN_2014: Source = Source::published(
    "norin_2014",
    "Norin, T., Malte, H. & Clark, T. D. 2014. Aerobic scope does not predict the performance of a tropical eurythermal fish at elevated temperatures. Journal of Experimental Biology 217: 244-251: upper lethal limit of juvenile barramundi 40 to 41 °C.",
);
/// Jade perch in farms.
pub static QUEENSLAND_JADE_PERCH: Source = Source::published(
    "queensland_jade_perch",
    "Queensland Government. Jade perch aquaculture: growth falls at 20 °C, handling deaths at 17, feeding often stopped at 16, mass deaths at 13; extra aeration above 30 °C; oxygen 4 mg/L or more; 450 g in 4 months and 800 g in 7 from advanced fingerlings in recirculation.",
);
/// Jade perch in a hatchery.
pub static JADE_PERCH_HATCHERY: Source =
    Source::published("jade_perch_hatchery", "Hanwood hatchery note on jade perch: no feeding below 18 °C.");
/// Ammonia in fish water.
pub static UF_FA16: Source = Source::published(
    "uf_fa16",
    "Francis-Floyd, R., Watson, C., Petty, D. & Pouder, D. B. Ammonia in aquatic systems. University of Florida IFAS Extension FA16.",
);
/// Ammonia and the growth of catfish.
pub static COLT_TCHOBANOGLOUS_1978: Source = Source::published(
    "colt_tchobanoglous_1978",
    "Colt, J. & Tchobanoglous, G. 1978. Chronic exposure of channel catfish, Ictalurus punctatus, to ammonia: effects on growth and survival. Aquaculture (as summed up in a European registration dossier of ammonia): in 31 days they grew half as fast at 0.517 mg/L of un-ionised ammonia nitrogen, and less from the least tried on, 0.048.",
);
/// Nitrite and chloride.
pub static SRAC_462: Source = Source::published(
    "srac_462",
    "Durborow, R. M., Crosby, D. M. & Brunson, M. W. 1997. Nitrite in fish ponds. Southern Regional Aquaculture Center Publication 462.",
);
/// Nitrite, chloride and trout.
pub static TROUT_CHLORIDE: Source = Source::judgement(
    "trout_chloride",
    "Effects of subchronic nitrite exposure on rainbow trout. 2008. Ecotoxicology and Environmental Safety 71: 813-820 (abstract): for 28 days with 10 mg/L of chloride all trout of 19 g lived in up to 1 mg/L of nitrite (NO2), but grew less from 0.2 on: chloride at 50 times it. So much is asked for of trout, and counted on no further than their limit. Gutiérrez, X. A. et al. 2019. Aquaculture Research 50: 2687-2697 (abstract): nitrite stayed out of the blood of young Atlantic salmon where chloride was 104 times its nitrogen (32 times the nitrite); with 21 times they grew less at first.",
);
/// Nitrite where chloride is short.
pub static NITRITE_UNHELD: Source = Source::judgement(
    "nitrite_unheld",
    "The limits of nitrite hold with chloride at ten times it (SRAC Publication 462), for trout at 50 times. With less, fish are taken to bear the nitrite for which there is chloride enough, and with hardly any chloride a tenth of their limit.",
);
/// Nitrite that chloride keeps out.
pub static NITRITE_KEPT_OUT: Source = Source::judgement(
    "nitrite_kept_out",
    "Tomasso, J. R., Simco, B. A. & Davis, K. B. 1979. Chloride inhibition of nitrite-induced methemoglobinemia in channel catfish (abstract): in 1, 2.5 and 5 mg/L of nitrite (NO2) with 25, 50 and 100 mg/L of salt no more of their blood was blocked than without nitrite, chloride at 12 times it or more; 16 ions of chloride to one of nitrite suppress it completely. Tilapia and carp are taken to bear as much so (judgement): half of young Nile tilapia died in four days only at 28 and 45 mg/L of nitrite, with chloride at 1.2 and 1.6 times it. Of other fish no such trial was seen.",
);
/// How soon nitrite harms where chloride is short.
pub static NITRITE_HOURS: Source = Source::published(
    "nitrite_hours",
    "Tomasso, J. R., Simco, B. A. & Davis, K. B. 1979. Chloride inhibition of nitrite-induced methemoglobinemia in channel catfish; Nitrite-induced methemoglobin formation in channel catfish (abstracts): with little chloride 1 mg/L of nitrite blocked 21 to 35 % of the blood in a day, 2.5 to 3 mg/L 60 to 79 %, and 5 mg/L 42 to 59 % in five to six hours; with 250 mg/L of salt that was gone in a day, the nitrite still there. Striped bass died past 60 % (Mazik, P. M. et al., Influence of nitrite and chloride concentrations on survival of striped bass).",
);
/// Limits of fish without a source.
pub static SPECIES_JUDGEMENT: Source = Source::judgement(
    "species_judgement",
    "No source for this limit: set on the cautious side of related species and of the published limits next to it.",
);
/// Limits of fish, recalled.
pub static SPECIES_MEMORY: Source = Source::memory(
    "species_memory",
    "General handbooks of warm- and cold-water fish culture, recalled without a publication at hand.",
);
/// What keepers of tilapia say.
pub static TILAPIA_PRACTICE: Source = Source::practice(
    "tilapia_practice",
    "Common among keepers of tilapia: best near 27 to 32 °C, they eat little below about 24 and die near 8 to 10.",
);
/// What is at hand in a yard.
pub static YARD: Source = Source::memory(
    "yard",
    "No copper-based pipe: University of Florida IFAS Extension, guide to raising catfish in tanks (seen). Recalled: the US EPA's criteria for copper and zinc in fresh water go by its hardness; FAO Technical Paper 589, food-grade containers of known history; advice of public health services, small children drown within minutes in a few centimetres of water.",
);
/// Rules on species.
pub static SPECIES_PERMITS: Source = Source::published(
    "species_permits",
    "Somerville, C. et al. 2014. FAO Technical Paper 589, section 7.4: check local rules on species, do not release exotic fish.",
);

// ---- feed and growth ----

/// Tilapia and vegetables in tanks with rafts.
pub static RAKOCY_UPDATE: Source = Source::published(
    "rakocy_update",
    "Rakocy, J. E., Bailey, D. S., Shultz, R. C. & Thoman, E. S. 2004. Update on tilapia and vegetable production in the UVI aquaponic system. Proceedings of the 6th International Symposium on Tilapia in Aquaculture.",
);
/// Tilapia in tanks, as their growers show them.
pub static UVI_PAGES: Source = Source::published(
    "uvi_pages",
    "University of the Virgin Islands, Agricultural Experiment Station, pages on its aquaponic system: tilapia stocked at 50 g reach 900 g in 24 weeks.",
);
/// Ration of trout by temperature and size.
pub static LEITRITZ_LEWIS_1980: Source = Source::published(
    "leitritz_lewis_1980",
    "Leitritz, E. & Lewis, R. C. 1980. Trout and salmon culture. California Fish Bulletin 164; feeding chart reprinted by North Carolina State Extension.",
);
/// Notes with trout feeds.
pub static TROUT_FEED_NOTES: Source = Source::published(
    "trout_feed_notes",
    "Notes of feed makers with ration tables for trout (7 mg/L or more in the outflow); Klontz, G. W., Nutritional Information Series 7: feed per gain 1.1 to 1.2.",
);
/// Thermal growth coefficient of trout, recalled.
pub static CHO_1992: Source = Source::memory(
    "cho_1992",
    "Cho, C. Y. 1992. Feeding systems for rainbow trout and other salmonids with reference to current estimates of energy and protein requirements. Aquaculture 100: 107-123.",
);
/// Thermal growth coefficient of trout, usual range.
pub static TROUT_TGC: Source = Source::published(
    "trout_tgc",
    "Growth notes of a breeder of rainbow trout: thermal growth coefficient usually 0.13 to 0.20 (x 100), that is 1.3 to 2.0 (x 1000).",
);
/// Pellets and meals.
pub static MEAL_PRACTICE: Source = Source::practice(
    "meal_practice",
    "Pellet sizes and meals a day by size of fish, and the bulk density of pellets, as feed bags and keepers have them.",
);
/// Keeping feed.
pub static FEED_PRACTICE: Source = Source::practice(
    "feed_practice",
    "Keep feed dry, cool and dark, use it within about three months, and throw away what is damp, mouldy or rancid.",
);
/// When to cut feed.
pub static FEED_JUDGEMENT: Source = Source::judgement(
    "feed_judgement",
    "Between published points rations run straight. Feed is taken to be nil below the oxygen floor, because a meal takes more of it for hours; to fall to nil past the limit of un-ionised ammonia and of nitrite with less chloride than holds it off; to half past that of all ammonia, or of nitrite held off by chloride, and to nil past twice it; and to nil at a pH that fish do not bear.",
);
/// Feed by biomass.
pub static FAO_S4314E: Source = Source::published(
    "fao_s4314e",
    "FAO document S4314E, chapter 8: the share fed falls with age; 10 000 fish of 10 g at 7 %.",
);
/// Growth rate by definition.
pub static GROWTH_RATE: Source = Source::published(
    "growth_rate",
    "Specific growth rate, 100 ln(W2/W1)/days, and feed per gain: definitions in any textbook of fish culture.",
);
/// Plants and salt.
pub static SALT_SHY: Source = Source::memory(
    "salt_shy",
    "Maas, E. V. & Hoffman, G. J. 1977. Crop salt tolerance: current assessment. J. Irrigation and Drainage Division ASCE 103: 115-134, and FAO Irrigation and Drainage Paper 29 (recalled): yields fall from so much salt in the soil on; below 2 dS/m a plant is called shy of it here.",
);
/// Salt that ends a crop.
pub static CROP_SALT: Source = Source::judgement(
    "crop_salt",
    "1 g/L of salt is about 1.9 dS/m, and roots in water stand in about twice what a soil's extract shows: 3 g/L costs lettuce a quarter to a half of its yield by Maas & Hoffman's slope of 13 % a dS/m (recalled), 5 g/L most other vegetables as much.",
);
/// Plants, fish and bacteria in one water.
pub static FAO_589_WATER: Source = Source::published(
    "fao_589_water",
    "Somerville, C. et al. 2014. FAO Technical Paper 589, Tables 3.1 and 3.2 (as reprinted): plants in water bear pH 5.5 to 7.5; for fish, plants and bacteria together 6 to 7. That iron, phosphorus and manganese run short from pH 7.5 on is recalled from the same.",
);
/// Chard and pH.
pub static CHARD_PH: Source =
    Source::practice("chard_ph", "A guide to growing without soil: Swiss chard at pH 6.0 to 6.5.");
/// Plant area without a source.
pub static PLANT_JUDGEMENT: Source = Source::judgement(
    "plant_judgement",
    "Scaled from the published ratios: by protein (nitrogen), by a third more for fruit, and for towers between film channel and media bed.",
);
/// Air for the roots under rafts.
pub static RAFT_AIR: Source = Source::published(
    "raft_air",
    "Somerville, C. et al. 2014. FAO Technical Paper 589, deep water culture (as reprinted): the water under rafts must be aerated, by stones of about 4 L/min of air for every 2 to 4 m2.",
);
/// Plants by feed.
pub static FAO_589_PLANTS: Source = Source::published(
    "fao_589_plants",
    "Somerville, C. et al. 2014. FAO Technical Paper 589, sections 2.1.4 and 8.1 (40 to 50 g of feed a day per m2 of leaves, 50 to 80 of fruit, at 32 % protein) and Appendix 1 (crops).",
);
/// Crops, recalled.
pub static FAO_589_CROPS_MEMORY: Source = Source::memory(
    "fao_589_crops",
    "Somerville, C. et al. 2014. FAO Technical Paper 589, Appendix 1, crops whose pages were not seen.",
);
/// Crops in a textbook.
pub static AQUTEACH: Source =
    Source::published("aquteach", "Aqu@teach: aquaponics textbook for higher education, chapter 7 (plant varieties).");
/// Watercress.
pub static SEED_SHEETS: Source = Source::practice("seed_sheets", "Growing sheets of four seed firms on watercress.");
/// Crops, recalled.
pub static CROP_MEMORY: Source =
    Source::memory("crop_memory", "General horticultural handbooks, recalled without a publication at hand.");
/// Leaves by the temperature of their roots.
pub static ROOTS_OF_LEAVES: Source = Source::published(
    "roots_of_leaves",
    "Effects of microclimate in glasshouse and root temperature of hydroponic vegetables, crops of 1992 to 1994 (abstract): lettuce and pak-choi slowed once the water passed 26 °C, and did not at 21 to 24; water convolvulus grew faster at 26 to 33. Horticulturae 2021, 7(9), 321 (abstract): 17 lettuces weighed 15 % more at 21.1 °C than at 20 to 26.5.",
);
/// Basil by the temperature of its roots.
pub static ROOTS_OF_BASIL: Source = Source::published(
    "roots_of_basil",
    "Hendrickson, T. 2022. Effect of water temperature on basil growth in hydroponics. Thesis, Oklahoma State University (abstract): of 17 cultivars in film channels at 23, 27.5 and 31 °C most yielded more at 27.5 or 31.",
);
/// Fruit by the temperature of its roots.
pub static ROOTS_OF_FRUIT: Source = Source::published(
    "roots_of_fruit",
    "Roots at 12, 18, 24, 30 and 36 °C (abstracts): Influence of root-zone temperature on growth, development and yield of cucumber plants cv. Toska, Plant and Soil, doi 10.1007/BF02220188: most at 24 and 30; Root-zone temperature effects on pepper, 'Bell Boy': shoots most at 24 and 30, fruit at 30; Interactions between air and root temperatures on greenhouse tomato, 'Vendor': yield most at 24, shoots at 30.",
);
/// Cold that kills crops.
pub static CROP_COLD: Source = Source::judgement(
    "crop_cold",
    "No figure for roots was seen. Set from leaves: cucumber outlived a week at 10 °C and was harmed within three days at 8 (Chilling injury in cucumber leaves in relation to temperature, abstract); chilling begins below 55 °F (13 °C), and pepper recovers less than tomato (Vegetable Crops Hotline, Purdue); gardening pages have basil suffer below 10 °C.",
);
/// Crops without a source.
pub static CROP_JUDGEMENT: Source = Source::judgement(
    "crop_judgement",
    "No source for this limit: set from the published limits next to it, related crops, roots at steady temperatures (abstracts), and the monthly means of Knott's handbook for vegetable growers (Maynard & Hochmuth 1997, as reprinted): chard and cabbage 4 to 24 °C, parsley 7 to 24, beans 10 to 27, squash 10 to 32, eggplant and okra 18 to 35.",
);
/// Rafts by feed.
pub static RAKOCY_2007: Source = Source::published(
    "rakocy_2007",
    "Rakocy, J. E. 2007. Ten guidelines for aquaponic systems. Aquaponics Journal 46: 60 to 100 g of feed a day per m2 of raft; film channels roughly a quarter.",
);
/// Beds by tank.
pub static BED_PRACTICE: Source = Source::practice(
    "bed_practice",
    "One volume of media bed to one of fish tank for beginners, up to two to one; beds 300 mm deep.",
);
/// What is worth a word about a bed.
pub static BED_CAUTIONS: Source = Source::judgement(
    "bed_cautions",
    "A flood of more than a fifth of the tank's water, and pores a fifth outside of what a medium usually has, are worth a caution.",
);
/// Levels in media beds.
pub static FAO_AZ028E: Source = Source::published(
    "fao_az028e",
    "FAO AZ028E, small-scale aquaponic manual: media beds keep 3 to 5 cm wet at the bottom and dry at the top; at least one tank volume an hour through the unit.",
);
/// Food safety.
pub static CTAHR_FST_38: Source = Source::published(
    "ctahr_fst_38",
    "Hollyer, J., Tamaru, C., Riggs, A., Klinger-Bowen, R., Howerton, R., Okimoto, D., Castro, L., Ron, T., Fox, B. K., Troegner, V. & Martinez, G. 2009. On-farm food safety: aquaponics. University of Hawaii CTAHR FST-38.",
);

/// What was eaten before it got too hot to feed.
pub static FED_BEFORE: Source = Source::judgement(
    "fed_before",
    "Fish that are fed less in hot water, or not at all, leave a filter and solids that grew on what they ate before, and these calm down only over days: above the good band the largest ration on the way there still counts for what breathes and for the ammonia.",
);

/// All of this file.
pub static ALL: &[&Source] = &[
    &FED_BEFORE,
    &FAO_589_FISH,
    &FAO_589_TABLE,
    &SRAC_283,
    &SRAC_282_TABLE,
    &HEATON_2017,
    &TILAPIA_CHILL,
    &TRAN_DUY_2012,
    &NAFIS_TILAPIA,
    &HUYSMAN_2020,
    &FAO_AFFRIS,
    &GOOLISH_ADELMAN_1984,
    &DESAI_SINGH_2009,
    &FWS_CATFISH,
    &SLOW_WINTER,
    &CATFISH_COLD,
    &CATFISH_HEAT,
    &OTT_TORRANS_2012,
    &SEAFWA_1974,
    &CATFISH_FCR,
    &AGRIFUTURES_BARRAMUNDI,
    &KATERSKY_CARTER_2007,
    &BARRAMUNDI_GROWTH,
    &NORIN_2014,
    &QUEENSLAND_JADE_PERCH,
    &JADE_PERCH_HATCHERY,
    &UF_FA16,
    &COLT_TCHOBANOGLOUS_1978,
    &SRAC_462,
    &TROUT_CHLORIDE,
    &NITRITE_UNHELD,
    &NITRITE_KEPT_OUT,
    &NITRITE_HOURS,
    &SPECIES_JUDGEMENT,
    &SPECIES_MEMORY,
    &TILAPIA_PRACTICE,
    &YARD,
    &SPECIES_PERMITS,
    &RAKOCY_UPDATE,
    &UVI_PAGES,
    &LEITRITZ_LEWIS_1980,
    &TROUT_FEED_NOTES,
    &CHO_1992,
    &TROUT_TGC,
    &MEAL_PRACTICE,
    &FEED_PRACTICE,
    &FEED_JUDGEMENT,
    &FAO_S4314E,
    &GROWTH_RATE,
    &SALT_SHY,
    &CROP_SALT,
    &FAO_589_WATER,
    &CHARD_PH,
    &PLANT_JUDGEMENT,
    &RAFT_AIR,
    &FAO_589_PLANTS,
    &FAO_589_CROPS_MEMORY,
    &AQUTEACH,
    &SEED_SHEETS,
    &CROP_MEMORY,
    &ROOTS_OF_LEAVES,
    &ROOTS_OF_BASIL,
    &ROOTS_OF_FRUIT,
    &CROP_COLD,
    &CROP_JUDGEMENT,
    &RAKOCY_2007,
    &BED_PRACTICE,
    &BED_CAUTIONS,
    &FAO_AZ028E,
    &CTAHR_FST_38,
];
