//! Sources of heat, evaporation, water treatment, handling, start-up and running cost.

use super::Source;

/// Evaporation from a water surface.
pub static CARRIER_1918: Source = Source::published(
    "carrier_1918",
    "Carrier, W. H. 1918. The temperature of evaporation. ASHVE Transactions 24: 25-50; in the form of the ASHRAE Handbook, HVAC Applications: m = A (pw - pa)(0.089 + 0.0782 V)/Y.",
);
/// Still water against that equation.
pub static SMITH_1998: Source = Source::published(
    "smith_1998",
    "Smith, C. C., Löf, G. O. G. & Jones, R. W. 1998. Rates of evaporation from swimming pools in active use. ASHRAE Transactions 104(1): 514-523 (unoccupied pools 74 % of the equation).",
);
/// Indoor pools against that equation.
pub static POOLS_2022: Source = Source::published(
    "pools_2022",
    "Field measurements of evaporation in indoor swimming pools, E3S Web of Conferences 2022: activity factor 0.50 to 0.57 unoccupied, against 0.5 in the ASHRAE Handbook, HVAC Applications 2007.",
);
/// Latent heat of vaporisation.
pub static ROGERS_YAU_1989: Source = Source::published(
    "rogers_yau_1989",
    "Rogers, R. R. & Yau, M. K. 1989. A Short Course in Cloud Physics, 3rd ed., table 2.1, in its cubic fit 2500.79 - 2.364 18 t + 0.001 589 27 t² - 0.000 061 434 2 t³ (as coded in open models; rounded here, within 0.05 % of IAPWS-95 from 0 to 40 °C).",
);
/// Vapour over ice.
pub static IAPWS_R14: Source = Source::published(
    "iapws_r14",
    "IAPWS R14-08(2011). Revised release on the pressure along the melting and sublimation curves of ordinary water substance, sublimation pressure (as coded in open libraries, compared with the ASHRAE equation over ice).",
);
/// Free convection over plates.
pub static MCADAMS_1954: Source = Source::published(
    "mcadams_1954",
    "McAdams, W. H. 1954. Heat Transmission, 3rd ed.: horizontal plates, hot side up Nu = 0.54 Ra^1/4 and 0.15 Ra^1/3, cold side up 0.27 Ra^1/4, on area over perimeter (as in Incropera & DeWitt).",
);
/// Properties of dry air.
pub static WHITE_2006: Source = Source::memory(
    "white_2006",
    "White, F. M. 2006. Viscous Fluid Flow, 3rd ed., table 1-2 and 1-3: Sutherland's law for viscosity and conductivity of air (coefficients recalled, compared with an equation of state).",
);
/// Heat and vapour carried alike.
pub static BOWEN_1926: Source = Source::published(
    "bowen_1926",
    "Bowen, I. S. 1926. The ratio of heat losses by conduction and by evaporation from any water surface. Physical Review 27: 779-787; psychrometric coefficient 0.665e-3 per kelvin of Allen et al. 1998, FAO Irrigation and Drainage Paper 56.",
);
/// Radiation constant.
pub static CODATA_2018: Source = Source::published(
    "codata_2018",
    "CODATA 2018 recommended values: Stefan-Boltzmann constant 5.670 374 419e-8 W/(m² K⁴).",
);
/// Emissivity of water.
pub static WATER_EMISSIVITY: Source = Source::published(
    "water_emissivity",
    "Emissivity of water at ordinary temperatures, 0.95 to 0.96, as in the tables of Incropera & DeWitt, Fundamentals of Heat and Mass Transfer.",
);
/// The clear night sky.
pub static SWINBANK_1963: Source = Source::published(
    "swinbank_1963",
    "Swinbank, W. C. 1963. Long-wave radiation from clear skies. Quarterly Journal of the Royal Meteorological Society 89: 339-348, as a sky temperature of 0.0552 Ta^1.5 (as coded in open models of collectors).",
);
/// Surface resistances of walls.
pub static ISO_6946: Source = Source::memory(
    "iso_6946",
    "ISO 6946, Building components and building elements: thermal resistance and transmittance, surface coefficients 4 + 4 v convective and about 5 radiative (recalled; 4 radiative here, which is emissivity 0.9 near 0 °C); layers in series.",
);
/// Sun and sky on a surface, as an air temperature.
pub static SOL_AIR: Source = Source::published(
    "sol_air",
    "Sol-air temperature: radiation exchanged by an outer surface expressed as a change of air temperature, ASHRAE Handbook, Fundamentals; an energy balance of the surface.",
);
/// Heat to the ground.
pub static ISO_13370: Source = Source::published(
    "iso_13370",
    "ISO 13370, Thermal performance of buildings: heat transfer via the ground, slab on ground (equations recalled; they give the U-values that Approved Document L of the Building Regulations for England, appendix C, table C1 prints). Ground of clay or silt 1.5, of sand or gravel 2.0 W/(m K), unknown ground is put at 2.0; dry sand has well under 1.",
);
/// How cold the ground gets below a tank.
pub static GROUND_WINTER: Source = Source::judgement(
    "ground_winter",
    "Below a small floor the ground follows the air of the last weeks (by the yearly swing in ISO 13370, 0.7 of it below 100 m², all below a few m²). The coldest month is taken halfway from the mean of the year to the coldest night; in the hottest spell the ground is taken as warm as the air.",
);
/// How much warmer a hot day's afternoon is than its mean.
pub static DAY_SWING: Source = Source::judgement(
    "day_swing",
    "Air 6 °C (11 °F) warmer in the afternoon than the mean of the day under the sky, 4 °C (7 °F) under a roof; clear days inland swing by 10 to 16 °C in all (recalled), by the sea less. The sun is taken as half a sine over 12 hours, whose first wave is pi/2 of its mean. Both are taken to peak together.",
);
/// Conductivities of materials.
pub static ISO_10456: Source = Source::published(
    "iso_10456",
    "EN ISO 10456 and ASHRAE Handbook, Fundamentals 2013: design values of thermal conductivity, as tabulated by the Python library ht 1.2.0.",
);
/// Boards of extruded polystyrene.
pub static EXTRUDED_BOARD: Source = Source::judgement(
    "extruded_board",
    "Extruded polystyrene 0.033 W/(m K): the tables' 0.026 is of old boards; those of today are declared at 0.030 to 0.036 (recalled). The middle is the cautious side of what was seen.",
);
/// Inside film of water.
pub static WATER_FILM: Source = Source::judgement(
    "water_film",
    "Water moving gently along a wall: 200 W/(m² K) or more; any such value hardly matters beside the air.",
);
/// What covers hold back.
pub static MULETA_2016: Source = Source::published(
    "muleta_2016",
    "Muleta, M. 2016. Effectiveness of pool covers to reduce evaporation from swimming pools. National Pool Industry Research Center, California Polytechnic State University: 94 to 96 % with covers always in place. We count 90 % for gaps and for the hours of feeding.",
);
/// What beds lose heat by.
pub static PLANTED: Source = Source::judgement(
    "planted",
    "No cover lies on plants. A raft is taken as a board of 25 mm of expanded polystyrene, the thin end of what is common, past whose gaps goes a tenth of the evaporation, as past a cover. A bed of a medium, a channel and a tower are taken as wet ground that loses what quiet open water does: soil just wetted evaporates 1.0 to 1.15 of the reference, open water 1.05 (Allen et al. 1998, FAO Irrigation and Drainage Paper 56, recalled). A bed that is dry on top loses less.",
);
/// The water surface of a working tank.
pub static SURFACE_MOTION: Source = Source::judgement(
    "surface_motion",
    "A surface broken by air or falling water evaporates more than a public pool (factor 1.0): we take 1.2; the literature spans 1.0 to 1.3 for active pools.",
);
/// Specific heat of water.
pub static WATER_HEAT: Source = Source::published(
    "water_heat",
    "IAPWS-95: specific heat of water at atmospheric pressure, 4.178 to 4.186 kJ/(kg K) from 15 to 45 °C.",
);
/// Two heaters rather than one.
pub static TWO_HEATERS: Source = Source::judgement(
    "two_heaters",
    "Two heaters of 60 % of the need each: one whose thermostat sticks on heats the tank less than a single large one would, and one that fails does not chill it at once. Where one alone is too much in the hottest spell, only a cut-out of its own helps.",
);
/// Sun that a surface takes in.
pub static SUN_ON_WATER: Source = Source::judgement(
    "sun_on_water",
    "A clear summer day brings 250 to 330 W per square metre as the mean of day and night, of which open water takes in nine tenths.",
);
/// Wind in a yard.
pub static YARD_WIND: Source = Source::judgement(
    "yard_wind",
    "1.5 m/s over water in a yard, out of 1 to 3: clear cold nights are calm, hot afternoons too.",
);
/// Shade over water.
pub static SHADE_CLOTH: Source =
    Source::practice("shade_cloth", "Shade cloth is sold to keep off 30 to 90 % of the sun; three quarters are taken.");
/// Steps of temperature that fish bear.
pub static TEMPERING: Source = Source::published(
    "tempering",
    "Hatchery tempering sheets: temper fish where waters differ by more than 5 °F (2.8 °C; catfish 5 to 10 °F), slower than 1 °F a minute. N. Am. J. Aquaculture 65: 67 (2003): fingerling trout survived 8 to 24 °C at once.",
);
/// A slow pace for tempering.
pub static SLOW_TEMPERING: Source = Source::judgement(
    "slow_tempering",
    "About 1 °C an hour once the first step is passed: a slow pace of the trade for which no source was found.",
);
/// What gap of pH is taken as none.
pub static PH_FREE: Source = Source::judgement(
    "ph_free",
    "One step of 0.3 is taken at once, no more: as much as one change of water or a day's portion of buffer moves here. Ponds of little alkalinity swing by far more between dawn and afternoon (recalled: SRAC 464), a drop test tells 0.2 at best, and hours in a bag for less are the greater harm.",
);
/// Water that is green with algae.
pub static GREEN_WATER: Source = Source::memory(
    "green_water",
    "Southern Regional Aquaculture Center Publication 464, on the interactions of pH, carbon dioxide, alkalinity and hardness in fish ponds: algae take carbon dioxide by day, so that the pH of a pond is highest in the afternoon, past 9 where little buffers it, and lowest at dawn, as is the oxygen.",
);
/// The pH that fish bear.
pub static PH_BORNE: Source = Source::memory(
    "ph_borne",
    "European Inland Fisheries Advisory Commission 1969. Water quality criteria for European freshwater fish: extreme pH values and inland fisheries. Water Research 3: 593-611 (recalled: from pH 5 to 9 none kills by itself; 4.5 and 9.5 do harm some fish in time).",
);
/// Salt in the water of freshwater fish.
pub static SALT_BORNE: Source = Source::judgement(
    "salt_borne",
    "The blood of freshwater fish holds about as much salt as water of 9 g/L; saltier water draws water out of them. Channel catfish did not hold themselves above 12 g/L (Perry & Avault 1969, abstract), and hatchery Nile tilapia lived at 7 and died at 9 and 10 (Lawson & Anetekhai 2011, abstract). Some kinds bear more once they are used to it over days, which is not counted on. Beyond 5 g/L handbooks speak of baths of hours (recalled). Barramundi live in the sea too. Filter bacteria slow down when salt changes at once.",
);
/// How readings of a test are judged.
pub static READINGS_RULE: Source = Source::judgement(
    "readings_rule",
    "A reading is a warning at half of the limit of un-ionised ammonia, and at 0.02 mg/L at the latest. Limits are for long: up to ten times those of un-ionised ammonia and of nitrite are borne for some hours (in a drum, where air lifts the pH, five times for six hours; for five times as long the limit itself, between in proportion), and where there is chloride enough to keep it out, three times as much of it is borne for days, five times where there is a fifth more of it than that and trials are known (nitrite_kept_out). Below 20 mg/L of alkalinity a pH is no longer held. Abstracts seen of what kills half: carp fry 1.8 mg/L un-ionised, as nitrogen, in two days as in seven (Hasan & Macintosh 1986, Aquaculture 54: 97-107); rainbow trout 0.16 to 1.1 mg/L of NH3 in four days (Thurston & Russo 1983).",
);
/// What sea salt is made of.
pub static SEA_SALT: Source = Source::memory(
    "sea_salt",
    "Millero, F. J. et al. 2008. The composition of Standard Seawater and the definition of the Reference-Composition Salinity Scale. Deep-Sea Research I 55: 50-72 (recalled: 19.353 g of chloride in 35.165 g of salt).",
);
/// Steps of pH that fish bear.
pub static SOMERVILLE_2014: Source = Source::published(
    "fao_589_handling",
    "Somerville, C., Cohen, M., Pantanella, E., Stankus, A. & Lovatelli, A. 2014. Small-scale aquaponic food production. FAO Fisheries and Aquaculture Technical Paper 589 (section 7.3: a pH change of 0.3 within 12 to 24 hours can be harmful or lethal; section 7.5, fish that come in bags: at least a day where the pH is more than 0.5 apart, else a quarter of an hour afloat and another with their water mixed).",
);
/// Thiosulphate and chlorine.
pub static UF_CHLORINE: Source = Source::published(
    "uf_chlorine",
    "University of Florida IFAS extension on chlorine in fish water: 7 mg/L of sodium thiosulphate (pentahydrate) for each 1 mg/L of chlorine; 2 Na2S2O3·5H2O + Cl2 gives 7.00, the anhydrous salt 4.46.",
);
/// Chlorine that harms water life.
pub static EPA_CHLORINE: Source = Source::published(
    "epa_chlorine_1984",
    "USEPA 1985. Ambient water quality criteria for chlorine 1984. EPA 440/5-84-030: 19 µg/L acute, 11 µg/L chronic, total residual chlorine in fresh water.",
);
/// Monochloramine's nitrogen.
pub static CHLORAMINE: Source = Source::published(
    "chloramine_nitrogen",
    "Stoichiometry of monochloramine NH2Cl: one nitrogen for each Cl2 measured, 14.007/70.906 = 0.198 mg NH3-N per mg as Cl2, set free when the chlorine is reduced.",
);
/// Alkalinity in salts.
pub static STOICHIOMETRY: Source = Source::published(
    "stoichiometry",
    "IUPAC atomic weights: NaHCO3 84.007, KHCO3 100.115, CaCO3 100.087 (two equivalents), NaCl 58.443, Cl 35.453, NH4Cl 53.491, NH3 17.031, N 14.007 g/mol.",
);
/// Carbonic acid in fresh water.
pub static PLUMMER_BUSENBERG_1982: Source = Source::published(
    "plummer_busenberg_1982",
    "Plummer, L. N. & Busenberg, E. 1982. The solubilities of calcite, aragonite and vaterite in CO2-H2O solutions between 0 and 90 °C. Geochimica et Cosmochimica Acta 46: 1011-1040 (as coded in open models of water chemistry).",
);
/// Ion product of water.
pub static HARNED_OWEN_1958: Source = Source::published(
    "harned_owen_1958",
    "Harned, H. S. & Owen, B. B. 1958. The Physical Chemistry of Electrolytic Solutions: ion product of water, pKw = 4470.99/T + 0.017 060 T - 6.0875 (as coded in open models of water chemistry; 13.995 at 25 °C).",
);
/// Quarantine of new fish.
pub static QUARANTINE: Source =
    Source::practice("quarantine", "New fish are kept in water, nets and tools of their own for three to four weeks.");
/// Fasting before a move.
pub static FASTING: Source = Source::practice(
    "fasting",
    "Fish are not fed for 24 hours before a move (12 hours for fry, up to 48 hours for large fish in cool water).",
);
/// Netting in warm water.
pub static HANDLING_HEAT: Source = Source::practice(
    "handling_heat",
    "Fish are not netted, hauled or let go in water so warm that they stop feeding (trout: many stop at 18 to 20 °C); losses come in the days after.",
);
/// Splitting a common cost.
pub static COST_SHARE: Source = Source::judgement(
    "cost_share",
    "Electricity, heat and water serve fish and plants alike; half to each unless the books say otherwise.",
);
/// What must not stop.
pub static RUN_ALWAYS: Source = Source::practice(
    "run_always",
    "Water and air of stocked tanks run day and night; savings are looked for elsewhere.",
);
/// Fish that were just handled.
pub static HANDLED_FISH: Source = Source::judgement(
    "handled_fish",
    "Netted fish breathe up to twice as much as undisturbed ones for an hour or more; we count 2 on the upper side.",
);
/// Carbon dioxide breathed out.
pub static RESPIRATORY_QUOTIENT: Source = Source::published(
    "respiratory_quotient",
    "One mole of carbon dioxide for one of oxygen (respiratory quotient 1): 44.01/32.00 = 1.375 g per g.",
);
/// Carbon dioxide that fish bear.
pub static CARBON_DIOXIDE_LIMIT: Source = Source::memory(
    "carbon_dioxide_limit",
    "Handbooks of recirculating culture: free carbon dioxide below 15 to 20 mg/L for long, 40 mg/L for hours (recalled).",
);
/// Ammonia of unfed trout and salmon.
pub static UNFED_TROUT: Source = Source::published(
    "unfed_trout",
    "Abstracts seen. Brett, J. R. & Zala, C. A. 1975. J. Fisheries Research Board of Canada 32: 2479-2486: sockeye salmon of 29 g at 15 °C, long after the meal: 8.2 mg of ammonia nitrogen beside 170 mg of oxygen, 0.11 mol/mol. Kieffer, J. D. et al. 1998. J. Experimental Biology 201: 3123-3133: rainbow trout at rest 0.08, urea counted in.",
);
/// Ammonia of other unfed fish.
pub static UNFED_TILAPIA: Source = Source::published(
    "unfed_tilapia",
    "Kutty, M. N. 1972. Marine Biology 16 (abstract seen): Tilapia mossambica at 30 °C about 0.2 of ammonia to oxygen, more where oxygen is short. The highest that was found; for the other fish none was.",
);
/// Travel water that is opened.
pub static AIRED: Source = Source::judgement(
    "aired",
    "Carbon dioxide keeps travel water acid and leaves it within an hour or so of air; notes of the trade tell of a rise from below 6 to above 7.5. In balance with the air, which keeps about 0.6 mg/L of it in warm water, 30 mg/L of alkalinity has pH 8 (arithmetic); aired water with fish in it is taken to hold 1.5 mg/L. What fish give off is a base: each mole of it brings an equivalent of alkalinity (stoichiometry).",
);
/// Steps of salt.
pub static SALT_STEP: Source = Source::published(
    "salt_step",
    "Abstracts seen. Marino, G. et al. 1994. J. Applied Ichthyology 10: 57-63: fry of sea bass from the sea into 9 g/L or more all lived, into fresh water none; over 17 days nearly nine in ten, over 48 h fewer. Bringolf, R. B. et al. 2005. Trans. Am. Fisheries Society 134: 927-936: over 95 % of flathead catfish lived from fresh water into 8 or 11 g/L for a day and back. Oreochromis into sea water (Al-Amoudi 1987, its place recalled): 4 to 8 days.",
);
/// Reading of salt by plants.
pub static SALT_AND_PLANTS: Source = Source::practice(
    "salt_and_plants",
    "Salt harms many plants and stays in the water until it is exchanged: lettuce and beans suffer first; potassium salts are preferred where plants grow.",
);
/// Water that must not run back.
pub static BACKFLOW: Source = Source::memory(
    "backflow",
    "EN 1717 and the International Plumbing Code, section 608: an air gap, or a listed device, between system water and drinking water (recalled).",
);
/// Ammonia in salt water.
pub static JOHANSSON_WEDBORG_1980: Source = Source::memory(
    "johansson_wedborg_1980",
    "Johansson, O. & Wedborg, M. 1980. The ammonia-ammonium equilibrium in seawater at temperatures between 5 and 25 °C. J. Solution Chemistry 9: 37-44 (pKa = -0.467 + 0.001 13 S + 2887.9/T recalled; measured at 5 to 40 g/kg. At 5 to 40 °C no more than 6 % below Millero 1995).",
);
/// What a battery gives.
pub static BATTERY: Source = Source::practice(
    "battery_use",
    "Half of a lead battery's rated energy and four fifths of a lithium battery's can be used again and again; cold and age take more.",
);
/// Batteries that burn and gas.
pub static BATTERY_SAFE: Source = Source::published(
    "battery_safe",
    "Health and Safety Executive. Using electric storage batteries safely. INDG139: covers over the terminals, charging in a well-ventilated place away from flames and sparks, a charger made for the battery. The fuse at the pole is common practice.",
);
/// Oxygen that comes by itself when the power fails.
pub static OXYGEN_BACKUP: Source = Source::published(
    "oxygen_backup",
    "Ebeling, J. M. & Hightower, P. Backup oxygen, power systems essential insurance. Global Seafood Advocate: a diffuser in each tank that the failing power turns on; after 20 minutes the fish were well. Health and Safety Executive 2013. Oxygen use in the workplace. INDG459: things burn fiercely in a little more oxygen, and oil and grease react violently with it.",
);
/// Water of wells and of rain.
pub static WELL_WATER: Source = Source::published(
    "well_water",
    "Boyd, C. E. Assessing groundwater quality in aquaculture. Global Seafood Advocate: water of wells often has no oxygen, much carbon dioxide and dissolved substances, and may be supersaturated with air. Iron, nitrate and hydrogen sulphide in it, rain without buffer and calcium, and zinc and copper off roofs are recalled.",
);
/// Fish that prick.
pub static SPINES: Source = Source::published(
    "spines",
    "Haenen, O. L. M., Evans, J. J. & Berthe, F. 2013. Bacterial infections from aquatic species: potential for and prevention of contact zoonoses. Rev. sci. tech. Off. int. Epiz. 32: 497-507 (summary seen): Aeromonas, Edwardsiella, Mycobacterium, Streptococcus and Vibrio get in through spine punctures and open wounds.",
);
/// How soon air must bring it back.
pub static OXYGEN_BACK: Source = Source::judgement(
    "oxygen_back",
    "Fish are counted as held by an air pump where their oxygen is critical already only if it brings that back within ten minutes.",
);
/// Exhaust and flames.
pub static CARBON_MONOXIDE: Source = Source::published(
    "carbon_monoxide",
    "Florida Department of Health 2024 (page seen): generators outdoors, 20 ft away from doors, windows and vents; no running car in a garage. Tacoma-Pierce County Health Department (page seen): unvented heaters give off carbon monoxide.",
);
/// Ice on tanks.
pub static ICE: Source = Source::practice(
    "ice",
    "Keepers of ponds keep a hole in the ice open with moving water, air or a pan of hot water and never break it by blows, which stun fish. Water is heaviest at 4 °C: below that the coldest lies on top and freezes first.",
);
/// Courses of ripening that were published.
pub static RIPENING_CURVES: Source = Source::published(
    "ripening_curves",
    "Applied Sciences 2020, 10: 626 (carp tanks: 3 mg/L of ammonia nitrogen from day 3 for ten days, then below 0.25; nitrite up to 12 mg/L and more); Mnyoro, M. S. et al. 2022. J. Cleaner Production 366: 132929 (abstract: ammonium chloride and sodium nitrite for four weeks, then 20 kg of tilapia to a system of 1 m3: full capacity after six to seven weeks); glossary of FAO's aquaponics manual: one to six weeks by temperature and source of ammonia.",
);
/// A manual on starting.
pub static KSU_2021: Source = Source::published(
    "ksu_2021_startup",
    "Hager, J., Bright, L. A., Dusci, J. & Tidwell, J. 2021. Aquaponics production manual. Kentucky State University, section 6.6: six to eight weeks; start with 20 % of the fish.",
);
/// The range of ripening.
pub static RIPENING_RANGE: Source = Source::judgement(
    "ripening_range",
    "Between the published courses: a bare start takes 31 to 56 days at 20 °C and more, twice as long for each 10 degrees below; ripe medium shortens it to a fifth to three fifths (moving elements of a running filter is the surest way: DeLong & Losordo 2012, SRAC Publication 4502), a bottle sometimes. At best a moved filter carries half of its load at once, and ripe medium its tenth.",
);
/// Reading the stages.
pub static STAGE_RULE: Source = Source::judgement(
    "stage_rule",
    "Ammonia first, then nitrite, then nitrate: below 0.25 mg/L a drop test tells nothing, and 5 mg/L of nitrate nitrogen shows that the second step works. After two weeks of feed something must show; nitrate without a load shows a filter that has worked, and no more.",
);
/// How fast the feed may rise.
pub static WEEKLY_RISE: Source = Source::judgement(
    "weekly_rise",
    "The feed rises by at most three tenths a week, and only while ammonia and nitrite are taken and stay below the limits of the fish.",
);
/// Starting a filter without animals.
pub static BIOFILTER_START: Source = Source::published(
    "biofilter_start",
    "Losordo, T. M. & DeLong, D. P. Recirculating aquaculture technology, part 2. Global Aquaculture Advocate: without animals, for what goes in can kill them; alkalinity raised to about 100 mg/L at first, 150 to 200 mg/L while the second bacteria settle, then let fall. (DeLong & Losordo 2012, SRAC Publication 4502, of which a part was seen, says 150 and 200 to 250.)",
);
/// Starting without fish.
pub static FISHLESS: Source = Source::practice(
    "fishless",
    "Without fish: 1 to 2 mg/L of ammonia nitrogen at first, 2 to 4 as a rule, and no more than 5 mg/L of ammonia or nitrite nitrogen standing; given again when it is below about 0.5 mg/L; ripe when a dose is gone within a day with no nitrite left, two days running. (Hager et al. 2021 name household ammonia without detergents.)",
);
/// What a dose that is gone proves.
pub static DOSE_TEST: Source = Source::judgement(
    "dose_test",
    "A dose gone within a day, with no nitrite left, proves so much ammonia a day at the full rate of the filter, in proportion less where fish bear less than the 1 mg/L at which it is reached; four fifths of that feed go in in the first week. Read less than twelve hours after the dose it is not counted.",
);
/// What the second bacteria bear.
pub static NITRITE_BACTERIA: Source = Source::published(
    "nitrite_bacteria",
    "Anthonisen, A. C. et al. 1976. J. Water Pollution Control Federation 48: 835-852, as later papers sum it up: nitrite bacteria are slowed from 0.1 to 1 mg/L of free ammonia. (The same summary: Mauret et al. 1996, 6.6 to 8.9 mg/L; Turk & Mavinic 1986, not below 10 mg/L.)",
);
/// Handling household ammonia.
pub static HOUSEHOLD_AMMONIA: Source = Source::published(
    "household_ammonia",
    "US Environmental Protection Agency, pages on household waste (archive of 2008): household ammonia holds 5 to 10 % of ammonia; its vapour hurts eyes, skin and lungs; gloves, goggles and fresh air, out of the reach of children; with chlorine bleach it makes chloramine gas, which can kill.",
);
/// How dense ammonia water is.
pub static AMMONIA_DENSITY: Source = Source::published(
    "ammonia_density",
    "Cooley's Cyclopaedia of Practical Receipts, 6th ed., table of ammonia water at 60 degF: 4.956 % is 0.980, 10.119 % 0.960, 20.046 % 0.924, 30.016 % 0.890 as dense as water; 1 - 0.4 times the share is within 1.2 %.",
);
/// Nitrate that fish live in.
pub static NITRATE_BORNE: Source = Source::published(
    "nitrate_borne",
    "Losordo, T. M. & DeLong, D. P. Recirculating aquaculture technology, part 1. Global Aquaculture Advocate: nitrate is relatively harmless at the 50 to 200 mg/L of recirculating systems; the low end is taken before fish come (judgement).",
);

/// All of this file.
pub static ALL: &[&Source] = &[
    &CARRIER_1918,
    &SMITH_1998,
    &POOLS_2022,
    &ROGERS_YAU_1989,
    &IAPWS_R14,
    &MCADAMS_1954,
    &WHITE_2006,
    &BOWEN_1926,
    &CODATA_2018,
    &WATER_EMISSIVITY,
    &SWINBANK_1963,
    &ISO_6946,
    &SOL_AIR,
    &ISO_13370,
    &GROUND_WINTER,
    &DAY_SWING,
    &ISO_10456,
    &EXTRUDED_BOARD,
    &WATER_FILM,
    &MULETA_2016,
    &PLANTED,
    &SURFACE_MOTION,
    &WATER_HEAT,
    &TWO_HEATERS,
    &SUN_ON_WATER,
    &YARD_WIND,
    &SHADE_CLOTH,
    &TEMPERING,
    &SLOW_TEMPERING,
    &PH_FREE,
    &GREEN_WATER,
    &PH_BORNE,
    &SALT_BORNE,
    &SEA_SALT,
    &READINGS_RULE,
    &SOMERVILLE_2014,
    &UF_CHLORINE,
    &EPA_CHLORINE,
    &CHLORAMINE,
    &STOICHIOMETRY,
    &PLUMMER_BUSENBERG_1982,
    &HARNED_OWEN_1958,
    &QUARANTINE,
    &FASTING,
    &COST_SHARE,
    &RUN_ALWAYS,
    &HANDLED_FISH,
    &RESPIRATORY_QUOTIENT,
    &CARBON_DIOXIDE_LIMIT,
    &HANDLING_HEAT,
    &UNFED_TROUT,
    &UNFED_TILAPIA,
    &AIRED,
    &SALT_STEP,
    &SALT_AND_PLANTS,
    &BACKFLOW,
    &JOHANSSON_WEDBORG_1980,
    &BATTERY,
    &BATTERY_SAFE,
    &OXYGEN_BACKUP,
    &WELL_WATER,
    &SPINES,
    &OXYGEN_BACK,
    &CARBON_MONOXIDE,
    &ICE,
    &RIPENING_CURVES,
    &KSU_2021,
    &RIPENING_RANGE,
    &STAGE_RULE,
    &WEEKLY_RISE,
    &BIOFILTER_START,
    &FISHLESS,
    &DOSE_TEST,
    &NITRITE_BACTERIA,
    &HOUSEHOLD_AMMONIA,
    &AMMONIA_DENSITY,
    &NITRATE_BORNE,
];
