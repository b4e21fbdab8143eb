//! Sources of dissolved oxygen, respiration, aeration, ammonia and stocking.

use super::Source;

/// Oxygen solubility.
pub static BENSON_KRAUSE_1984: Source = Source::published(
    "benson_krause_1984",
    "Benson, B. B. & Krause, D. 1984. The concentration and isotopic fractionation of oxygen dissolved in freshwater and seawater in equilibrium with the atmosphere. Limnol. Oceanogr. 29: 620-632; the form of Standard Methods 4500-O and of USGS Office of Water Quality Technical Memorandum 2011.03. Claimed 0 to 40 °C, 0 to 40 g/kg, 0.5 to 1.1 atm, within 0.2 %.",
);
/// Vapour pressure over salt water.
pub static GREEN_CARRITT_1967: Source = Source::published(
    "green_carritt_1967",
    "Green, E. J. & Carritt, D. E. 1967. New tables for oxygen saturation of seawater. J. Mar. Res. 25: 140-147; as used in USGS Office of Water Quality Technical Memorandum 2011.03.",
);
/// Pressure by altitude.
pub static STANDARD_ATMOSPHERE: Source = Source::published(
    "standard_atmosphere",
    "ISO 2533:1975 Standard atmosphere: P = 101 325 Pa (1 - 2.255 77e-5 z)^5.255 88 up to 11 km (seen as coded in open programs).",
);
/// Oxygen used per feed.
pub static OXYGEN_PER_FEED: Source = Source::memory(
    "oxygen_per_feed",
    "Timmons, M. B. & Ebeling, J. M. Recirculating Aquaculture: 0.25 kg of oxygen breathed by the fish per kg of feed (0.2 to 0.3), about 0.12 for nitrification and 0.13 for bacteria on solids; 0.5 in all, 0.4 with prompt removal of solids, up to 0.6 to 1.0 with dirty beds.",
);
/// Oxygen for nitrification.
pub static NITRIFICATION_OXYGEN: Source = Source::published(
    "nitrification_oxygen",
    "4.57 g of oxygen per g of nitrogen: stoichiometry of NH4+ + 2 O2 -> NO3- (2 x 31.999 / 14.007), as in Zhu, S. & Chen, S. 2002. Aquac. Eng. 26: 221-237, citing USEPA 1975. Growth of the nitrifiers left out (4.18 with it), which is cautious.",
);
/// Ammonia nitrogen per feed.
pub static TAN_PER_PROTEIN: Source = Source::published(
    "tan_per_protein",
    "Timmons, M. B. Recirculating Aquaculture: ammonia nitrogen = 0.092 x feed x protein (0.16 N in protein x 0.80 assimilated x 0.80 excreted x 0.90 as ammonia); seen as quoted in a handbook.",
);
/// Trout and salmon respiration.
pub static LIAO_1971: Source = Source::memory(
    "liao_1971",
    "Liao, P. B. 1971. Water requirements of salmonids. Progressive Fish-Culturist 33: 210-215: oxygen used a day by hatchery fish in production; coefficients recalled. They rise by 43 % from 47 to 52 °F and by 19 % from 52 to 57 °F; the load of hauled trout is lowered by 5.6 % for each °F all along (Piper et al. 1982, Fish Hatchery Management, p. 356, a rule that also counts carbon dioxide and what warm water holds): carry no more than that says either.",
);
/// Catfish respiration.
pub static ANDREWS_MATSUDA_1975: Source = Source::memory(
    "andrews_matsuda_1975",
    "Andrews, J. W. & Matsuda, Y. 1975. The influence of various culture conditions on the oxygen consumption of channel catfish. Trans. Am. Fish. Soc. 104: 322-327: fish fed all they take, measured after the meal; coefficients and conditions recalled. Half of it, the mean of a day, is what their feed asks for too, and more than was measured of brown bullhead (Hartman et al. 2017) and southern catfish (Fu et al. 2005); pond keepers count all of it through the night, so give large catfish air to spare.",
);
/// Tilapia respiration.
pub static KHATER_2021: Source = Source::published(
    "khater_2021",
    "Khater, E. G. et al. 2021. Scientific Reports 11: 24130, equation 4, which it takes from earlier work (Nile tilapia; its own fish were kept at 24 to 32 °C and weighed 3 to 209 g).",
);
/// Where the regressions are cut off.
pub static REGRESSION_CLAMPS: Source = Source::judgement(
    "regression_clamps",
    "A quadratic regression is held at its own turning point and at the end of its data, and carried on to heavier fish with mass to the power -0.2 (Beamish 1964 found -0.08 to -0.12 for resting fish; -0.14 to -0.25 is usual for fed ones).",
);
/// How respiration runs over a day.
pub static RESPIRATION_DAY: Source = Source::judgement(
    "respiration_day",
    "Respiration after a meal over the mean of the day: 1.4 with feed spread over the day, 2.0 after one of one or two full meals (published peaks are 1.3 to 2, from memory); fish unfed for a day 0.7 (feeding fish use 1.5 to 2 times the fasting rate, from memory).",
);
/// Respiration of any fish that is not fed much.
pub static ROUTINE_RESPIRATION: Source = Source::judgement(
    "routine_respiration",
    "Least respiration of any kept fish, fed or not: 100 mg/kg/h at 100 g and 20 °C, doubling in 10 K (the doubling per 18 °F of Piper et al. 1982, p. 211), with mass to the power -0.2. Of the size of the maintenance rations of common carp (Goolish & Adelman 1984) taken at 0.25 kg of oxygen per kg.",
);
/// Oxygen for bacteria on solids by how solids are handled.
pub static SOLIDS_OXYGEN: Source = Source::memory(
    "solids_oxygen",
    "Bacteria on retained solids: 0.13 kg of oxygen per kg of feed (0.05 with prompt removal, 0.25 with all solids left in), Timmons & Ebeling, Recirculating Aquaculture.",
);
/// Oxygen of all that is in feed.
pub static BOYD_FEED_OXYGEN: Source = Source::published(
    "boyd_feed_oxygen",
    "Boyd, C. E. Oxygen demand of aquaculture feed. Global Aquaculture Advocate: 2.67 kg of oxygen per kg of organic carbon and 4.57 per kg of ammonia nitrogen, 1.25 kg per kg of feed for general use, uneaten feed and what pond mud uses up later included.",
);
/// Transfer at field conditions.
pub static ASCE_2_06: Source = Source::published(
    "asce_2_06",
    "ASCE/EWRI 2-06, Measurement of Oxygen Transfer in Clean Water, and EN 12255-15: OTR = SOTR alpha F (beta C* - C)/C*20 1.024^(T-20) (form seen for ASCE 2-91).",
);
/// Fish water against clean water.
pub static ALPHA_FISH_WATER: Source = Source::memory(
    "alpha_fish_water",
    "Transfer in fish water over clean water, alpha 0.85 to 0.95 (waste water, for comparison, 0.4 to 0.9, seen).",
);
/// Saturation in fish water against clean water.
pub static BETA_FISH_WATER: Source = Source::published(
    "beta_fish_water",
    "Saturation in process water over clean water, beta 0.95 to 0.98: engineering reference to ASCE 2-91.",
);
/// How bubbles transfer by diffuser and depth.
pub static DIFFUSER_EFFICIENCY: Source = Source::memory(
    "diffuser_efficiency",
    "Standard oxygen transfer efficiency per metre of depth, waste-water practice: fine pores about 6.5 %, medium stones 3 to 4 %, coarse bubbles 2 to 2.5 %; depths 0.3 to 2 m.",
);
/// Open hoses.
pub static OPEN_HOSE: Source = Source::judgement(
    "open_hose",
    "An open or drilled hose makes larger bubbles than any stone: 1 to 2 % per metre of depth.",
);
/// Stones clog.
pub static STONE_AGEING: Source = Source::judgement(
    "stone_ageing",
    "Stones in use pass less and coarser air: 0.8 of the new transfer between cleanings (fine bubble plants lose 10 to 40 % a year, seen).",
);
/// What an air pump gives against depth.
pub static AIR_PUMP_CURVE: Source = Source::judgement(
    "air_pump_curve",
    "Between the free flow on the box and the depth at which it gives nothing, the flow of a small air pump falls in a straight line; a wet stone and its hose count as 0.2 m more depth.",
);
/// Air pumps age.
pub static AIR_PUMP_AGEING: Source = Source::judgement(
    "air_pump_ageing",
    "A diaphragm pump after a year of running gives about 0.8 of what it gave new, with tired membranes 0.6.",
);
/// How much air a tank of fish is given.
pub static STORM: Source = Source::judgement(
    "storm",
    "Large raft systems run with about 0.06 to 0.1 of a tank's volume of air a minute (recalled). Past 0.15 it is a storm: that far nobody has told of what fish and settled solids bear.",
);
/// Composition and density of air.
pub static DRY_AIR: Source = Source::published(
    "dry_air",
    "Dry air: 23.15 % oxygen by mass, 1.204 kg/m3 at 20 °C and 101.325 kPa (ideal gas, molar mass 28.96 g/mol).",
);
/// Aeration by falling water.
pub static WEIR_DOE_1973: Source = Source::published(
    "weir_doe_1973",
    "UK Department of the Environment 1973 (Gameson's form): r = 1 + 0.38 a b h (1 - 0.11 h)(1 + 0.046 T); as in Butts, T. A. & Evans, R. L. 1983, Illinois State Water Survey. Fitted to river weirs.",
);
/// Aeration by a solid sheet of falling water.
pub static NAKASONE_1987: Source = Source::memory(
    "nakasone_1987",
    "Nakasone, H. 1987. Study of aeration at weirs and cascades. J. Environ. Eng. 113(1): 64-81.",
);
/// What to believe of a small fall.
pub static GARDEN_FALL: Source = Source::judgement(
    "garden_fall",
    "At garden flows the published formulas disagree by 2 to 6 times. One solid stream: from Nakasone (10 m3/h per metre of width, 0.3 m deep) to half of Gameson's form with a = 1.0, b = 0.8; a broken fall: from that half to the whole.",
);
/// Exchange at a quiet surface.
pub static QUIET_SURFACE: Source = Source::judgement(
    "quiet_surface",
    "Transfer velocity at the surface of a gently stirred indoor tank 0.3 to 1.0 m/day, here 0.5; with everything off 0.3.",
);
/// A bed's own uptake of oxygen from the air.
pub static BED_GAIN: Source = Source::judgement(
    "bed_gain",
    "A flood-and-drain bed makes up a third of the oxygen its water lacks on each pass, a raft or an always flooded bed a twentieth; a sump a fiftieth.",
);
/// What nitrifying films need.
pub static SRAC_282_FILTER: Source = Source::published(
    "srac_282_filter",
    "Rakocy, J. E. 1989. Tank culture of tilapia. SRAC Publication 282: nitrification 0.02 to 0.10 g/ft2/day; filters need 2 mg/L of oxygen or more, best 3 to 5.",
);
/// The steady balance.
pub static OXYGEN_BALANCE: Source = Source::published(
    "oxygen_balance",
    "Conservation of mass: in a well-mixed tank the inflow, the air, the surface and the falls bring what the fish and the bacteria take.",
);
/// How sure of the aeration a person can be without measuring.
pub static DAWN_READING: Source = Source::judgement(
    "dawn_reading",
    "A reading before the first meal, with everything running, sets the least known number: what the air transfers, within 0.3 to 2 times the estimate; past that, the demand, from 0.7 times (what resting fish breathe over the mean of a day) to twice the estimate. A reading that is better than that is the meter's fault, most often one that wants calibrating, and is not counted.",
);
/// Bubbles of gas in fish.
pub static GAS_BUBBLES: Source = Source::published(
    "gas_bubbles",
    "Edsall, D. A. & Smith, C. E. 1991. Oxygen-induced gas bubble disease in rainbow trout, Oncorhynchus mykiss (abstract): water at 200 % of saturation in oxygen and near 100 % in nitrogen, 120 % of all gas, made them sick in 4 days and killed half in 20. Government of British Columbia, water quality guidelines for total gas pressure, chapter 3, and Boyd, C. E., Effective management avoids gas bubble trauma, Global Seafood Advocate, on what brings such water: air that pumps suck, water that is warmed or comes under pressure, oxygen put in, algae in the sun.",
);
/// How much oxygen is too much.
pub static OXYGEN_PAST_AIR: Source = Source::judgement(
    "oxygen_past_air",
    "Oxygen is a fifth of air: at 140 % of saturation in oxygen alone all gas is at 108 %. The US EPA's old criterion for all gas is 110 % (recalled), and half the trout died in 20 days at 120 % (Edsall & Smith 1991). Where nitrogen is past saturation too, less oxygen harms. Algae bring oxygen without nitrogen, for some hours of the day, and a reading may be wrong: a reading is looked at from 150 % on.",
);
/// What a meter may be off.
pub static OXYGEN_METER: Source = Source::practice(
    "oxygen_meter",
    "A hand-held oxygen meter that was calibrated in air is commonly trusted to 0.2 mg/L or 3 % of what it reads, whichever is more; drop tests to no better. A reading at dawn counts as it is for the water that it was taken in; in other water the worse end of that counts, and where the water lacks less than twice as much of what it can hold, the estimate alone.",
);
/// Un-ionised ammonia.
pub static EMERSON_1975: Source = Source::published(
    "emerson_1975",
    "Emerson, K., Russo, R. C., Lund, R. E. & Thurston, R. V. 1975. Aqueous ammonia equilibrium calculations: effect of pH and temperature. J. Fish. Res. Board Can. 32: 2379-2383. pKa = 0.09018 + 2729.92/T.",
);
/// A working limit of ammonia.
pub static UIA_TARGET: Source = Source::practice(
    "uia_target",
    "Keep un-ionised ammonia below 0.02 mg/L: less than half of what is known to harm, widely used.",
);
/// Aquatic-life criteria for ammonia.
pub static USEPA_2013: Source = Source::published(
    "usepa_2013",
    "USEPA 2013. Aquatic life ambient water quality criteria for ammonia - freshwater (EPA 822-R-13-001): 17 and 1.9 mg/L at pH 7 and 20 °C; formulas as coded in programs of state agencies. They protect sensitive mussels and are very cautious for fish.",
);
/// Nitrification by temperature.
pub static NITRIFICATION_TABLE: Source = Source::published(
    "nitrification_table",
    "The Free On-line Aquaculture Dictionary, table of nitrification activity by temperature for a well-designed filter, 0.3 to 1.0 g of ammonia per m2 and day from 5 to 25 °C; \"guideline only\".",
);
/// Nitrification in water that is nearly freezing.
pub static HOANG_2014: Source = Source::published(
    "hoang_2014",
    "Hoang, V., Delatolla, R., Abujamel, T., Mottawea, W., Gadbois, A., Laflamme, E. & Stintzi, A. 2014. Nitrifying moving bed biofilm reactor biofilm and biomass response to long term exposure to 1 °C. Water Research 49: 215-224: about 18 % of the rate at 20 °C after a long time at 1 °C.",
);
/// How much of a tabled rate a home filter reaches.
pub static FILTER_SAFETY: Source = Source::judgement(
    "filter_safety",
    "A home filter is counted at half of the tabled rate (The Free On-line Aquaculture Dictionary, nitrification activity by temperature); below 1 mg/L of ammonia nitrogen it works in proportion (first order: Ebeling & Wheaton 2006).",
);
/// How a filter ripens.
pub static FILTER_RIPENING: Source = Source::practice(
    "filter_ripening",
    "A new filter takes six to eight weeks of feeding in warm water to carry its full load, and about twice as long ten degrees colder; at best it grows evenly from a twentieth.",
);
/// A filter of which nothing can be told yet.
pub static NEW_FILTER: Source = Source::judgement(
    "new_filter",
    "A new filter is not counted on for its first two weeks, a quarter of its slowest ripening: in carp tanks ammonia stood at 3 mg/L until about day 13 and only then fell (Applied Sciences 2020, 10: 626). Until then so much is fed that ammonia, not taken at all, brings the water to no more than half of what the fish bear, with a third of the water changed every day. A film grows on what it gets: from there what it takes is counted as growing by the same share every week, to all of its load when it is ripe.",
);
/// A filter that nothing feeds.
pub static IDLE_FILTER: Source = Source::published(
    "idle_filter",
    "Ye, L., Hu, S., Poussade, Y., Keller, J. & Yuan, Z. Nitrifier decay and recovery in a moving bed biofilm reactor treating reverse osmosis concentrate (abstract): less than a fifth of the activity was lost in ten days without ammonia, 60 to 80 % after more than twenty. That a filter that was dry starts anew is practice.",
);
/// How a filter slows down in acid water.
pub static FILTER_PH: Source = Source::judgement(
    "filter_ph",
    "A filter is counted as whole down to pH 6.5 and as a tenth at pH 6.0, evenly between; feed falls with it, to half and no less down to pH 6, and is nil below. (FAO Technical Paper 589: nitrifiers like 7.2 to 8.2 and work from 6 to 7 in aquaponics; SRAC 282: 7 to 8.)",
);
/// Alkalinity used.
pub static ALKALINITY: Source = Source::published(
    "alkalinity",
    "7.14 g of calcium carbonate per g of nitrogen nitrified (2 x 50.044/14.007); \"about 7\": SRAC Publication 282. Sodium bicarbonate carries 0.5957 g of it per g.",
);
/// Stocking with air.
pub static MSU_DENSITY: Source = Source::published(
    "msu_density",
    "Mississippi State University Extension, Tilapia in Mississippi: 1/4 lb/gal (30 kg/m3) at harvest for beginners with air, 1/2 to 1 lb/gal with pure oxygen and experience.",
);
/// Stocking without a solids filter.
pub static FAO_589_DENSITY: Source = Source::memory(
    "fao_589_density",
    "Somerville, C. et al. 2014. FAO Fisheries and Aquaculture Technical Paper 589: 10 to 20 kg/m3 in small units without a separate solids filter; start at 10.",
);
/// Fish per bed.
pub static BED_DENSITY: Source = Source::practice(
    "bed_density",
    "20 to 25 fish of 500 g for 500 L of media bed that also keeps the solids; 3 kg per 100 L at the very most.",
);
/// Solids and beds.
pub static SOLIDS_CAPACITY: Source = Source::judgement(
    "solids_capacity",
    "Feed a day whose solids a system can keep without a filter for them: 300 g per m3 of media bed (the trade's 25 kg of fish per m3 at 1.2 % a day), 20 g per m2 of raft or channel, 30 g per m3 of tank.",
);
/// Solids where they are drawn off every day.
pub static SOLIDS_DRAWN: Source = Source::judgement(
    "solids_drawn",
    "With the solids drawn off every day: 80 g of feed a day per m2 of raft, the middle of what is published of rafts behind settlers and net filters (Rakocy 2007: 60 to 100; past 60 take the fine solids out too), and 300 g per m3 of a tank with a filter apart, 1 % a day of the 30 kg/m3 that beginners keep so (Mississippi State University). A bed of a medium keeps twice what it keeps without.",
);
/// What a settler keeps of the solids.
pub static SOLIDS_REMOVED: Source = Source::judgement(
    "solids_removed",
    "A settler drawn every day takes half of the solids out before they break down, one drawn now and then a quarter.",
);
/// Rafts and tanks behind a settler.
pub static SETTLER_IN_LOOP: Source = Source::judgement(
    "settler_in_loop",
    "With a settler that all the water of a tank passes, rafts, bed and tank are held to what is published of systems with settlers (solids_drawn), however the tank itself is kept: those rafts stand behind settlers too. What is then asked is whether the settler takes the flow and is drawn before it is full, on its own page and in the check of a system. One that is over is not counted.",
);
/// Wetted area of rafts.
pub static RAFT_AREA: Source = Source::judgement(
    "raft_area",
    "Nitrifying film of a raft bed: three times its plan (underside, floor, walls); roots come on top and are not counted.",
);
/// How transfer is measured.
pub static TRANSFER_TEST: Source = Source::published(
    "transfer_test",
    "Boyd, C. E., on aerator tests (Global Aquaculture Advocate; after ASCE/EWRI 2-06): oxygen is stripped with sulfite and cobalt, in a tank without fish.",
);
/// Start small.
pub static START_SMALL: Source =
    Source::judgement("start_small", "Start with a third of the computed load and watch oxygen, ammonia and nitrite.");

/// All of this file.
pub static ALL: &[&Source] = &[
    &BENSON_KRAUSE_1984,
    &GREEN_CARRITT_1967,
    &STANDARD_ATMOSPHERE,
    &OXYGEN_PER_FEED,
    &NITRIFICATION_OXYGEN,
    &TAN_PER_PROTEIN,
    &LIAO_1971,
    &ANDREWS_MATSUDA_1975,
    &KHATER_2021,
    &REGRESSION_CLAMPS,
    &RESPIRATION_DAY,
    &ROUTINE_RESPIRATION,
    &SOLIDS_OXYGEN,
    &BOYD_FEED_OXYGEN,
    &ASCE_2_06,
    &ALPHA_FISH_WATER,
    &BETA_FISH_WATER,
    &DIFFUSER_EFFICIENCY,
    &OPEN_HOSE,
    &STONE_AGEING,
    &AIR_PUMP_CURVE,
    &AIR_PUMP_AGEING,
    &STORM,
    &DRY_AIR,
    &WEIR_DOE_1973,
    &NAKASONE_1987,
    &GARDEN_FALL,
    &QUIET_SURFACE,
    &BED_GAIN,
    &SRAC_282_FILTER,
    &OXYGEN_BALANCE,
    &DAWN_READING,
    &GAS_BUBBLES,
    &OXYGEN_PAST_AIR,
    &OXYGEN_METER,
    &EMERSON_1975,
    &UIA_TARGET,
    &USEPA_2013,
    &NITRIFICATION_TABLE,
    &HOANG_2014,
    &FILTER_SAFETY,
    &FILTER_RIPENING,
    &NEW_FILTER,
    &IDLE_FILTER,
    &FILTER_PH,
    &ALKALINITY,
    &MSU_DENSITY,
    &FAO_589_DENSITY,
    &BED_DENSITY,
    &SOLIDS_CAPACITY,
    &SOLIDS_DRAWN,
    &SOLIDS_REMOVED,
    &SETTLER_IN_LOOP,
    &RAFT_AREA,
    &TRANSFER_TEST,
    &START_SMALL,
];
