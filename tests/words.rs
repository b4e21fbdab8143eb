//! What the calculators say at the ends of things: in water that kills, at the very limit of feeding, with a single plant or change, in US units.
#![cfg(not(target_arch = "wasm32"))]

use brimwise::calculators;
use brimwise::calculators::form::{Edit, EditValue, LayoutItem};
use brimwise::calculators::outcome::{Repair, State};
use brimwise::catalog::{media::MEDIA, pipes::PIPES};
use brimwise::session::{Paper, Work};
use brimwise::system;
use brimwise::units::{System, Words, edit_text};
use serde_json::{Value, json};

fn run_in(system: System, id: &str, input: &Value) -> Value {
    let mut sheet = (calculators::by_id(id).unwrap_or_else(|| panic!("{id}")).sheet)();
    let input = input.as_object().expect("an object");
    sheet.read(input, system).unwrap_or_else(|e| panic!("{id}: {e:?}"));
    sheet.run(Words::from(system), false).unwrap_or_else(|e| panic!("{id}: {e:?}")).json()
}

fn run(id: &str, input: &Value) -> Value {
    run_in(System::Metric, id, input)
}

/// Thin spaces as plain ones.
fn plain(text: &str) -> String {
    text.replace('\u{202f}', " ")
}

fn verdict(o: &Value) -> String {
    plain(o["verdict"].as_str().expect("a verdict"))
}

fn texts(o: &Value, list: &str, key: &str) -> Vec<String> {
    let of = |x: &Value| x.as_str().or_else(|| x[key].as_str()).map(plain).expect("a text");
    o[list].as_array().expect("a list").iter().map(of).collect()
}

fn has(o: &Value, list: &str, key: &str, part: &str) {
    let all = texts(o, list, key);
    assert!(all.iter().any(|t| t.contains(part)), "no “{part}” in {all:#?}");
}

/// Where the readings say that the feed is to stay as it is, less feed repairs nothing; where they say that none may come, none is the repair.
#[test]
fn feeding_nothing_is_a_repair_only_where_nothing_may_come() {
    let hold = run("startup", &json!({}));
    assert!(verdict(&hold).contains("Feed no more than"), "{}", verdict(&hold));
    assert!(texts(&hold, "repairs", "title").iter().all(|t| !t.starts_with("Feed")), "{hold}");
    has(&run("startup", &json!({ "tan": "6 mg/L", "nitrite": "6 mg/L" })), "repairs", "title", "Feed nothing");
}

/// Huysman et al. 2020: half of the trout died at 25 °C. No room is offered in such water, however much oxygen it has.
#[test]
fn nobody_is_told_to_add_fish_to_water_that_kills_them() {
    let o = run("stocking", &json!({ "species": "trout", "count": 0, "hottest": "26 C" }));
    assert_eq!(
        verdict(&o),
        "None: rainbow trout die above 24 °C, and the hottest water is 26 °C. Other fish, or other water."
    );
    assert_eq!(o["state"], "over");
    for key in ["allowed", "allowed_at_harvest", "may_add", "room_today"] {
        assert_eq!(o["outputs"][key], 0.0, "{key}");
    }
    let stocked = run("stocking", &json!({ "species": "trout", "count": 12, "hottest": "26 C" }));
    assert_eq!(stocked["outputs"]["too_many"], 12.0);
    assert_eq!(stocked["repairs"], json!([]));
    assert_ne!(
        run("stocking", &json!({ "species": "trout", "count": 0, "usual": "14 C", "hottest": "18 C" }))["outputs"]["may_add"],
        0.0
    );
    let grown = run("stocking", &json!({ "count": 1, "mass": "600 g", "harvest": "500 g" }));
    has(&grown, "notes", "", "They are at harvest weight already.");
}

#[test]
fn at_the_ends_of_the_range_they_are_not_fed() {
    let at = |species: &str, t: &str| verdict(&run("feed", &json!({ "species": species, "temperature": t })));
    assert!(
        at("tilapia", "17 C").starts_with("Do not feed. The water is 17 °C, and Nile tilapia are fed only above 17 °C")
    );
    assert!(
        at("trout", "21 C").starts_with("Do not feed. The water is 21 °C, and rainbow trout are fed only below 21 °C")
    );
    assert!(at("tilapia", "17.5 C").starts_with("Feed "));
}

/// Every reading that stops the feed is named.
#[test]
fn all_that_stops_the_feed_is_named() {
    let bad = json!({ "readings": "yes", "oxygen": "2 mg/L", "nitrite": "5 mg/L", "ph": 8.5, "tan": "2 mg/L" });
    let said = verdict(&run("feed", &bad));
    // Too little oxygen is not "past" anything, and air comes before the rest.
    assert_eq!(
        said,
        "Give air now: Nile tilapia want more oxygen than this. Do not feed today: ammonia and nitrite are past what Nile tilapia bear. Put these right first."
    );
    let one = verdict(&run("feed", &json!({ "readings": "yes", "nitrite": "5 mg/L" })));
    assert_eq!(one, "Do not feed today: nitrite is past what Nile tilapia bear. Put that right first.");
}

/// At pH 6 the filter nearly stops, and so it is counted.
#[test]
fn acid_water_slows_the_filter_everywhere() {
    let takes = |ph: f64| run("ammonia", &json!({ "ph": ph }))["outputs"]["takes"][0].as_f64().expect("a rate");
    assert!((takes(6.0) / takes(7.0) - 0.1).abs() < 1e-9 && takes(6.5) == takes(7.5));
    let fish =
        |ph: f64| run("stocking", &json!({ "ph": ph, "filter_age": "1000 days" }))["outputs"]["by_ammonia"].clone();
    assert!(fish(6.1).as_f64() < fish(6.6).as_f64());
    let carries = |ph: f64| run("startup", &json!({ "ph": ph }))["outputs"]["filter"].as_f64().expect("a feed");
    assert!((carries(6.0) / carries(7.0) - 0.1).abs() < 1e-9);
}

/// The curve ends at 1 000 L/h: what it gives without lift is not known.
#[test]
fn what_lies_past_the_curve_is_no_fact() {
    let rows = json!([{ "flow": "0 L/h", "head": "2 m" }, { "flow": "1000 L/h", "head": "1.5 m" }]);
    let said = verdict(&run("pump", &json!({ "known": "table", "rows": rows, "lift": "1.6 m" })));
    assert!(said.contains("of the perhaps 4 000 L/h"), "{said}");
    assert!(!verdict(&run("pump", &json!({}))).contains("perhaps"));
}

/// A meal and the number of meals make the day.
#[test]
fn meals_are_whole() {
    for t in ["18 C", "22 C", "28 C", "32 C"] {
        for mass in ["5 g", "40 g", "100 g", "400 g"] {
            let o = run("feed", &json!({ "temperature": t, "mass": mass }));
            let number = |key: &str| o["outputs"][key].as_f64().expect("a number");
            assert_eq!(number("meals").fract(), 0.0, "{t} {mass}");
            let day = number("feed") * 86_400.0;
            assert!((number("meals") * number("meal") / day - 1.0).abs() < 1e-9, "{t} {mass}");
        }
    }
    let one = verdict(&run("feed", &json!({ "species": "trout", "temperature": "19 C", "mass": "400 g", "count": 1 })));
    assert!(one.contains("in one meal, less than a tenth of a scoop."), "{one}");
}

#[test]
fn chlorine_that_is_left_stands_in_the_verdict() {
    let o = run("change", &json!({ "chlorine": "2 mg/L", "remover": "none" }));
    assert!(verdict(&o).starts_with(
        "A change leaves 0.333 mg/L of chlorine in the tank, which kills fish: take it out of the new water first."
    ));
    assert_eq!(o["levels"][0]["id"], "chlorine");
    // The dose stands with the first words, for as much as there may be.
    let dose = "of sodium thiosulphate crystals, enough for 2 mg/L of chlorine";
    let treated = verdict(&run("change", &json!({})));
    assert!(treated.contains(&format!("Put 2.1 g {dose}, into each change first.")), "{treated}");
    // Fish that are put into other water want it treated too.
    let bare = run("change", &json!({ "job": "move", "remover": "none" }));
    assert!(verdict(&bare).starts_with("Do not move them there: 0.5 mg/L of chlorine"), "{}", verdict(&bare));
    assert_eq!(bare["levels"][0]["id"], "chlorine");
    has(&bare, "repairs", "title", "Take the chlorine out");
    let moved = run("change", &json!({ "job": "move" }));
    let said = format!("Put 1.7 g {dose}, into every 120 L of the other water first");
    assert!(verdict(&moved).contains(&said), "{}", verdict(&moved));
    has(&moved, "cautions", "text", "Chlorine kills fish");
    let one = verdict(&run("change", &json!({ "change": "600 L" })));
    assert!(one.starts_with("1 change of 600 L brings it from"), "{one}");
}

/// Sodium chloride is 60.66 % chloride: 3 g/L of it are 1 820 mg/L. The 20 mg/L that were there stand for 30 g of the 2.7 kg.
#[test]
fn a_bath_is_weighed_and_its_chloride_counted() {
    let o = run("change", &json!({ "job": "dose", "salt": "3 g/L" }));
    assert!(verdict(&o).contains("2.67 kg of salt makes the bath of 3 g/L."), "{}", verdict(&o));
    has(&o, "notes", "", "Chloride would then stand at 1 820 mg/L");
}

#[test]
fn poisoned_water_is_not_dripped_in() {
    let o =
        run("change", &json!({ "job": "move", "ph": 6.2, "new_ph": 8.2, "tan": "5 mg/L", "new_temperature": "39 C" }));
    assert!(verdict(&o).contains("Do not mix the waters"));
    has(&o, "notes", "", "Let none of the other water into theirs");
    has(&o, "cautions", "text", "In the other water this fish dies");
    assert!(!texts(&o, "notes", "").iter().any(|n| n.contains("evens out")));
}

/// The water to change brings each reading back inside, nitrite too.
#[test]
fn enough_water_is_changed_for_every_reading() {
    for input in [
        json!({ "tan": "3 mg/L", "ph": 6.4 }),
        json!({ "tan": "1.5 mg/L", "ph": 8.3, "nitrite": "2.5 mg/L" }),
        json!({ "tan": "0.1 mg/L", "nitrite": "4 mg/L" }),
    ] {
        let o = run("ammonia", &input);
        let left = 1.0 - o["outputs"]["change"].as_f64().expect("a share");
        for level in ["unionised", "tan", "nitrite"] {
            let l = o["levels"].as_array().expect("levels").iter().find(|l| l["id"] == level).expect("there");
            let load = l["load"].as_f64().expect("a load") * left;
            assert!(load <= 0.8 + 1e-9 || l["state"] != "over", "{level} {load} {input}");
        }
        assert!(left < 1.0, "{input}");
    }
    let good = verdict(&run("ammonia", &json!({})));
    assert!(good.ends_with("The feed makes 3.53 g/day; the filter takes at least 15.4 g/day: enough."), "{good}");
}

#[test]
fn in_a_cut_what_comes_first_is_said_first() {
    let o = run("outage", &json!({ "fish": "0.1 kg", "feed": 0, "around": "-10 C" }));
    has(&o, "notes", "", "The cold comes before the oxygen runs out");
    has(&run("outage", &json!({ "around": "0 C" })), "notes", "", "Oxygen runs out first");
    let times = |o: &Value| -> Vec<String> {
        let rows = o["tables"][0]["rows"].as_array().expect("rows");
        rows.iter().map(|r| plain(r[0].as_str().expect("a time"))).collect()
    };
    let gone = times(&run("outage", &json!({ "oxygen": "1 mg/L" })));
    assert!(gone[1..4].iter().all(|t| t == "At once"), "{gone:?}");
    assert_eq!(times(&run("outage", &json!({})))[1], "Within 15 min");
}

#[test]
fn one_is_not_many() {
    let o = run("bed", &json!({ "area": "0.05 m2", "method": "film" }));
    has(&o, "notes", "", "Set out 1 plant (");
    let raft = verdict(&run("bed", &json!({ "method": "raft" })));
    assert!(raft.contains("of lettuce on a raft, and"), "{raft}");
    has(&run("bed", &json!({ "method": "tower" })), "notes", "", "it is a guess without a source");
}

/// Of several groups of fish each is told with its mass, and keeping none is no repair.
#[test]
fn fewer_fish_by_group() {
    let group = |count: u32, mass: &str| json!({ "species": "catfish", "by": "number", "count": count, "mass": mass });
    let o = run(
        "oxygen",
        &json!({ "fish": [group(25, "400 g"), group(30, "150 g")], "temperature": "28 C", "air_flow": "60 L/min" }),
    );
    // With half the air less than a fifth of them would be left, which is no repair beside more air.
    has(&o, "repairs", "title", "channel catfish of 150 g) instead of");
    let o = run("oxygen", &json!({ "fish": [group(1, "3 kg")], "temperature": "30 C", "air": "none" }));
    assert_eq!(o["state"], "over");
    assert!(!texts(&o, "repairs", "title").iter().any(|t| t.starts_with("Keep 0")));
}

/// Repairs begin as sentences do, and none leaves an outlet with many times what it can carry.
#[test]
fn repairs_read_well_and_repair() {
    for (id, input) in [
        ("pump", json!({ "lift": "3 m" })),
        ("siphon", json!({ "inflow": "3000 L/h" })),
        ("levels", json!({ "mark": "0.2 m" })),
        ("drain", json!({ "flow": "50000 L/h", "pipe": "hose_6" })),
        ("drain", json!({ "flow": "3000 L/h", "arrangement": "flooded", "tail_depth": "20 mm" })),
        ("heat", json!({ "night": "-10 C" })),
    ] {
        let o = run(id, &input);
        assert!(!texts(&o, "repairs", "title").is_empty(), "{id}");
        for t in texts(&o, "repairs", "title") {
            assert!(t.chars().next().is_some_and(|c| !c.is_lowercase()), "{id}: {t}");
            assert!(!t.contains("inside pipe"), "{t}");
        }
        for r in o["repairs"].as_array().expect("repairs").iter().filter(|_| id == "drain") {
            assert!(r["level"]["load"].as_f64().is_some_and(|l| l <= 2.0), "{r}");
        }
    }
}

/// Hole saws and boards are bought in eighths and half inches.
#[test]
fn what_is_bought_in_inches_is_said_in_inches() {
    let drain = json!({ "flow": "634 gal/h", "arrangement": "wall", "pipe": "sch40_1" });
    let o = run_in(System::Us, "drain", &drain);
    has(&o, "notes", "", "The hole for this pipe: 1 3/4 in hole saw.");
    has(&o, "repairs", "title", "Sch 40 PVC 1 1/2 in pipe, a 2 3/8 in hole saw");
    let o = run_in(System::Us, "heat", &json!({ "night": "-10 C" }));
    let rows = o["tables"][1]["rows"].as_array().expect("rows");
    assert!(rows.iter().all(|r| !plain(r[0].as_str().expect("a name")).contains(" mm")), "{rows:#?}");
    has(&o, "repairs", "title", "A lid of 4 in expanded polystyrene (EPS)");
    let o = run_in(System::Us, "siphon", &json!({ "pipe": "sch40_1" }));
    let rows = o["tables"][0]["rows"].as_array().expect("rows");
    assert!(rows.iter().all(|r| plain(r[0].as_str().expect("a name")).ends_with("in bore")), "{rows:#?}");
}

/// Where feet and pounds are read, no sentence slips back into grams or metres.
#[test]
fn sentences_keep_to_the_units_that_are_read() {
    let us = |id: &str| run_in(System::Us, id, &json!({}));
    let feed = us("feed");
    has(&feed, "notes", "", "The table is cautious for fish over 8.8 oz");
    has(&feed, "notes", "", "pellets of 1/8 in.");
    has(&run("feed", &json!({})), "notes", "", "pellets of 3 mm.");
    let large = run_in(System::Us, "feed", &json!({ "mass": "480 g" }));
    has(&large, "notes", "", "pellets of 3/16 in.");
    has(&us("levels"), "notes", "", "the sump rises 3.07 in a minute");
    has(&us("pump"), "notes", "", "With the sump 3.94 in lower");
    has(&us("oxygen"), "repairs", "title", "Let the inflow fall 1 ft over stones");
    has(&run("oxygen", &json!({})), "repairs", "title", "Let the inflow fall 0.3 m over stones");
}

/// What is known to a quarter at best is not told to a tenth of a per cent, a day or a minute.
#[test]
fn rough_figures_are_told_roughly() {
    let settling = run("settling", &json!({}));
    assert!(verdict(&settling).contains("It holds 25 to 58 % of the solids"), "{}", verdict(&settling));
    has(&settling, "notes", "", "g of dry solids a day");
    let startup = verdict(&run("startup", &json!({})));
    assert!(startup.contains("Ripe in 17 to 42 days."), "{startup}");
    let high = run("ammonia", &json!({ "ph": 8.6, "tan": "4 mg/L" }));
    let changes = texts(&high, "repairs", "title").into_iter().filter(|t| t.starts_with("Change a third of the water"));
    assert_eq!(changes.count(), 1, "one change of water is offered once");
    let outage = verdict(&run("outage", &json!({})));
    assert!(outage.contains("15 to 65 min until the oxygen is low, 42 min to 3 h until"), "{outage}");
}

/// Feed a fifth more or less takes the bed out at either end: that it moves far is not hidden by its being out at both.
#[test]
fn what_leaves_two_brims_at_either_end_is_named() {
    let bed = (calculators::by_id("bed").expect("a calculator").sheet)();
    let all = calculators::ranking::rank(&*bed, &|_| true);
    let feed = all.iter().find(|i| i.path == "feed").expect("the feed");
    assert_eq!(feed.words(System::Metric), "moves it from enough to over");
    assert!(all.iter().all(|i| !i.words(System::Metric).contains('%')));
}

/// Does a figure with one of these units stand in a text?
fn figures(text: &str, units: &[&str]) -> bool {
    let plain = plain(text);
    let words: Vec<&str> = plain.split([' ', '(', ')', ';', ':']).collect();
    let is_number = |w: &str| w.trim_start_matches(['−', '-', '"']).starts_with(|c: char| c.is_ascii_digit());
    words.windows(2).any(|w| {
        let unit = w[1].trim_end_matches(['.', ',', '"', '?']);
        is_number(w[0]) && w[0].ends_with(|c: char| c.is_ascii_digit()) && units.contains(&unit)
    })
}

/// A text that names metric figures alone. Pipes and media are sold by their names, fine grains are measured in millimetres everywhere, and
/// doses in millilitres.
fn metric_alone(text: &str) -> bool {
    const METRIC: [&str; 18] = [
        "mm", "cm", "m", "km", "L", "m³", "cm²", "m²", "kg", "°C", "kPa", "m/s", "mm/s", "L/h", "L/min", "L/day",
        "kg/m³", "kg/m²",
    ];
    const US: [&str; 12] = ["in", "ft", "gal", "oz", "lb", "°F", "psi", "ft/s", "ft²", "lb/gal", "gal/h", "ft³"];
    if text.starts_with("The water stays") {
        return false;
    }
    let mut rest = text.to_ascii_lowercase();
    for name in PIPES.iter().map(|p| p.label).chain(MEDIA.iter().map(|m| m.label)) {
        rest = rest.replace(&name.to_ascii_lowercase(), "it");
    }
    let lower = METRIC.map(str::to_ascii_lowercase);
    let metric: Vec<&str> = lower.iter().map(String::as_str).collect();
    figures(&rest, &metric) && !figures(&rest, &US.map(|u| if u == "°F" { "°f" } else { u }))
}

/// Every text in a value, but the keys, identifiers and sources.
fn each_text(value: &Value, see: &mut dyn FnMut(&str)) {
    match value {
        Value::String(s) => see(s),
        Value::Array(all) => all.iter().for_each(|v| each_text(v, see)),
        Value::Object(all) => {
            for (key, v) in all {
                if !["steps", "source", "sources", "formula", "edits", "citation"].contains(&key.as_str()) {
                    each_text(v, see);
                }
            }
        }
        _ => {}
    }
}

/// What a person reads in US units names no metric figure without the same in theirs: reports under every option, and the words of fields.
#[test]
fn figures_come_in_the_units_that_are_shown() {
    let mut alone = std::collections::BTreeSet::new();
    let mut see = |of: &str, v: &Value| {
        each_text(v, &mut |t| {
            if metric_alone(t) {
                alone.insert(format!("{of}: {}", plain(t)));
            }
        })
    };
    let us = System::Us;
    for entry in calculators::ALL {
        see(entry.id, &json!(entry.about));
        let born = Work::born(Paper::Sheet((entry.sheet)()), us);
        let mut all = vec![born.clone()];
        for e in born.layout() {
            let edits = match e.item {
                LayoutItem::Choice(pick, _) => pick.options().map(|o| Edit::pick(e.path.as_str(), o.id)).collect(),
                LayoutItem::List(list, n) if n < list.most => vec![Edit::rows(e.path.as_str(), n + 1)],
                _ => continue,
            };
            all.extend(edits.iter().map(|edit| {
                let mut work = born.clone();
                assert!(work.apply(edit), "{edit:?}");
                work
            }));
        }
        for work in all {
            for e in work.layout() {
                match e.item {
                    LayoutItem::Num(spec, _) => see(entry.id, &json!([spec.label, spec.help])),
                    LayoutItem::Choice(pick, _) => {
                        let options = pick.options().map(|o| json!([o.words(us), o.note]));
                        see(entry.id, &json!([pick.label, pick.help, options.collect::<Vec<_>>()]));
                    }
                    LayoutItem::List(list, _) => see(entry.id, &json!(list.help)),
                    _ => {}
                }
            }
            if let Some(Ok(outcome)) = work.sheet().map(|s| s.run(us.into(), false)) {
                see(entry.id, &outcome.json());
            }
        }
    }
    for demo in system::demo::ALL {
        let document = demo.document();
        for e in Work::new(Paper::system(document.clone())).layout() {
            match e.item {
                LayoutItem::Num(spec, _) => see(demo.id, &json!([spec.label, spec.help])),
                LayoutItem::Choice(pick, _) => see(demo.id, &json!([pick.label, pick.help])),
                _ => {}
            }
        }
        let envelope = system::json::write(&document);
        let object = envelope.as_object().expect("an object");
        for answer in [system::json::check, system::json::parts, system::json::prove] {
            see(demo.id, &answer(object, us.into()).expect("an answer"));
        }
    }
    see("plan", &Value::Array(system::plan::describe()));
    assert!(alone.is_empty(), "{alone:#?}");
}

/// What repairs set, where that is not a number that a person would set in the units that are shown; and how many numbers were looked at.
fn odd_numbers<'a>(
    of: &str,
    work: &Work,
    repairs: impl IntoIterator<Item = &'a Repair>,
    system: System,
) -> (usize, Vec<String>) {
    let (mut seen, mut odd) = (0, vec![]);
    for repair in repairs.into_iter().filter(|r| !r.title.starts_with("Only ")) {
        for edit in &repair.edits {
            let EditValue::Si(to) = edit.to else { continue };
            let spec = work.layout().into_iter().find(|e| e.path == edit.path);
            let Some(LayoutItem::Num(spec, now)) = spec.map(|e| e.item) else { continue };
            // What it ends at need not be round.
            if spec.kind.whole || spec.hard.contains(&to) || to == now {
                continue;
            }
            let text = edit_text(spec.kind, to, system);
            let figures: String = text.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
            let digits = figures.trim_start_matches(['0', '.']).replace('.', "");
            seen += 1;
            if digits.trim_end_matches('0').len() > 4 {
                odd.push(format!("{of}: {} sets {text}", repair.title));
            }
        }
    }
    (seen, odd)
}

/// A work, and others in which one number is 0.4 or 3 times what it is there.
fn around(work: &Work) -> Vec<Work> {
    let mut all = vec![work.clone()];
    for e in work.layout() {
        let LayoutItem::Num(spec, x) = e.item else { continue };
        for to in [x * 0.4, x * 3.0].into_iter().filter(|to| (spec.hard[0]..=spec.hard[1]).contains(to)) {
            let mut other = work.clone();
            assert!(other.apply(&Edit { path: e.path.clone(), to: EditValue::Si(to) }));
            all.push(other);
        }
    }
    all
}

/// What a repair sets is a number that a person would set in the units that are shown.
#[test]
fn repairs_are_round() {
    let (mut seen, mut odd) = (0, std::collections::BTreeSet::new());
    let mut see = |(more, faults): (usize, Vec<String>)| {
        seen += more;
        odd.extend(faults);
    };
    for system in [System::Metric, System::Us] {
        for entry in calculators::ALL {
            for work in around(&Work::born(Paper::Sheet((entry.sheet)()), system)) {
                let Some(Ok(outcome)) = work.sheet().map(|s| s.run(system.into(), false)) else { continue };
                see(odd_numbers(entry.id, &work, &outcome.report.repairs, system));
            }
        }
        for demo in system::demo::ALL {
            for work in around(&Work::new(Paper::system(demo.document()))) {
                let Some(Ok(report)) = work.system().map(|d| system::report::report(d, system.into())) else {
                    continue;
                };
                see(odd_numbers(demo.id, &work, report.repairs.iter().map(|t| &t.repair), system));
            }
        }
    }
    assert!(seen > 500, "{seen} numbers");
    assert!(odd.is_empty(), "{odd:#?}");
}

#[test]
fn a_metric_figure_is_seen() {
    for text in ["a hole of 5 to 6 mm", "10 kPa are one metre", "at 2.4\u{202f}L/h.", "Keep 30 kg/m³ (dry)"] {
        assert!(metric_alone(text), "{text}");
    }
    for text in ["300 mm (12 in)", "24 °C (75 °F)", "0.4 mg/L", "PVC 32 mm as main pipe"] {
        assert!(!metric_alone(text), "{text}");
    }
}

fn level(o: &Value, id: &str) -> String {
    let all = o["levels"].as_array().expect("levels");
    all.iter().find(|l| l["id"] == id).unwrap_or_else(|| panic!("{id}"))["state"].as_str().expect("a state").into()
}

/// Fish cannot be put into water without oxygen, however much air there is.
#[test]
fn the_oxygen_at_the_start_is_judged() {
    let none = run("change", &json!({ "job": "hold", "oxygen": "0 mg/L", "air": "20 L/min" }));
    assert_eq!((none["state"].as_str(), level(&none, "start").as_str()), (Some("over"), "over"));
    assert!(verdict(&none).contains("too little oxygen to put them in"), "{}", verdict(&none));
    has(&none, "repairs", "title", "Air the water to 4 mg/L before they go in");
    let trout = json!({ "job": "hold", "species": "trout", "temperature": "12 C", "fish": "3 kg", "air": "60 L/min", "oxygen": "3 mg/L" });
    assert_eq!(level(&run("change", &trout), "start"), "over");
    assert_eq!(level(&run("change", &json!({ "job": "hold" })), "start"), "enough");
}

/// What a change makes of the water is held against the fish: trout die above 24 °C, Nile tilapia below 12 °C.
#[test]
fn a_change_must_not_kill() {
    let hot = json!({ "species": "trout", "temperature": "22 C", "new_temperature": "29 C", "change": "350 L" });
    let cold = json!({ "temperature": "13 C", "new_temperature": "4 C", "change": "200 L" });
    for input in [hot, cold] {
        let o = run("change", &input);
        assert_eq!((level(&o, "step").as_str() != "over", level(&o, "warmth").as_str()), (true, "over"), "{input}");
        assert!(verdict(&o).starts_with("In such water"), "{}", verdict(&o));
        assert_eq!(o["levels"][0]["id"], "warmth", "{input}");
        has(&o, "repairs", "title", "Bring the other water to their temperature first");
    }
    for input in [
        json!({ "job": "move", "temperature": "25 C", "new_temperature": "10 C", "planned": "60 h" }),
        json!({ "temperature": "13 C", "new_temperature": "1 C", "change": "100 L" }),
        json!({ "job": "hold", "temperature": "10 C" }),
    ] {
        assert_eq!(run("change", &input)["levels"][0]["id"], "warmth", "{input}");
    }
    let hold = verdict(&run("change", &json!({ "job": "hold", "temperature": "10 C" })));
    assert!(hold.starts_with("In the water they are in, Nile tilapia die"), "{hold}");
    assert_eq!(run("change", &json!({}))["state"], "enough");
    assert_eq!(run("change", &json!({}))["levels"][0]["id"], "step");
}

/// The first of several changes is told as the first, with what all of them in one day would do and how often to make one.
#[test]
fn a_row_of_changes_has_a_pace() {
    let said = verdict(&run("change", &json!({})));
    assert!(said.contains("The first takes the water to 23.3 °C and pH 7.08."), "{said}");
    assert!(
        said.contains("All of them in one day would end at 20.8 °C") && said.contains("make one a day, no more"),
        "{said}"
    );
    has(&run("change", &json!({})), "notes", "", "Either is more than the 250 L that these fish bear at once");
    let one = verdict(&run("change", &json!({ "change": "600 L" })));
    assert!(one.contains("It takes the water to") && !one.contains("Each"), "{one}");
    let near = verdict(&run("change", &json!({ "new_temperature": "25 C", "new_ph": 7.0 })));
    assert!(!near.contains("one a day"), "{near}");
    // A later change can move the pH further than the first: the water there is acid with much carbon dioxide, and the new water has none.
    let later = json!({ "ph": 6.6, "alkalinity": "60 mg/L", "new_ph": 9.0, "new_alkalinity": "60 mg/L", "new_temperature": "25 C",
        "reading": "100 mg/L", "new_reading": 0, "target": "2 mg/L", "change": "250 L" });
    assert_eq!(level(&run("change", &later), "step"), "over");
    let down = run("change", &json!({ "target": "130 mg/L", "chlorine": 0 }));
    assert!(verdict(&down).starts_with("It is down already. A change would take"), "{}", verdict(&down));
    assert!(!texts(&down, "notes", "").iter().any(|n| n.contains("Thiosulphate")));
    assert_eq!(down["outputs"]["through"].as_f64().map(f64::is_sign_positive), Some(true));
    let never = run("change", &json!({ "new_reading": "90 mg/L" }));
    assert_eq!(level(&never, "reach"), "over");
}

/// Emerson et al. 1975: new water that lifts the pH turns more ammonia poisonous than it takes away.
#[test]
fn new_water_can_turn_ammonia_poisonous() {
    let input = |reading: &str| {
        json!({ "species": "trout", "temperature": "12 C", "new_temperature": "12 C", "ph": 6.6, "alkalinity": "20 mg/L", "new_ph": 8.4,
            "new_alkalinity": "220 mg/L", "reading": reading, "new_reading": 0, "target": "1 mg/L", "change": "50 L" })
    };
    has(&run("change", &input("6 mg/L")), "cautions", "text", "If the reading is ammonia nitrogen: at pH 7.9");
    assert!(
        !texts(&run("change", &input("1.5 mg/L")), "cautions", "text").iter().any(|c| c.contains("If the reading"))
    );
}

/// Portions of buffer that are alike would move the pH most on the first day; each is to keep the step.
#[test]
fn portions_of_buffer_keep_the_step() {
    let o = run("change", &json!({ "job": "dose", "alkalinity": "5 mg/L", "ph": 6.0 }));
    let first = o["outputs"]["portion"].as_f64().expect("a mass");
    // What that much brings on its own, by the same calculator: the alkalinity that 0.596 of it is, in 900 L.
    let target = format!("{} mg/L", 5.0 + first * 1e6 * 0.59567 / 900.0);
    let alone =
        run("change", &json!({ "job": "dose", "alkalinity": "5 mg/L", "ph": 6.0, "alkalinity_target": target }));
    let after = alone["outputs"]["ph_after"].as_f64().expect("a pH");
    assert!(after > 6.25 && after <= 6.301, "{after} after {first}");
    assert!(verdict(&o).contains("4 daily portions, which are not alike: 7.6"), "{}", verdict(&o));
}

/// Salt that is there counts, and no more is poured over fish than they are counted on to bear.
#[test]
fn salt_has_an_end() {
    let there = run("change", &json!({ "job": "dose", "chloride": "3033 mg/L", "salt": "5 g/L" }));
    assert!(verdict(&there).ends_with("The salt for the bath is in the water already."), "{}", verdict(&there));
    // Against nitrite and for the bath together: 3 g/L, not more.
    has(
        &run("change", &json!({ "job": "dose", "salt": "3 g/L", "nitrite": "5 mg/L" })),
        "notes",
        "",
        "Chloride would then stand at 1 820 mg/L",
    );
    for (species, salt) in [("tilapia", "35 g/L"), ("catfish", "10 g/L")] {
        let o = run("change", &json!({ "job": "dose", "species": species, "salt": salt }));
        assert_eq!(level(&o, "salt"), "over", "{species}");
        has(&o, "cautions", "text", "are not known to survive it");
    }
    assert_eq!(
        level(&run("change", &json!({ "job": "dose", "species": "barramundi", "salt": "10 g/L" })), "salt"),
        "enough"
    );
    assert_eq!(run("change", &json!({ "job": "dose" }))["state"], "enough");
}

/// Salt past what fish are counted on to bear leads, whatever the oxygen, the room and the test: the most that the page on doses has, on all.
#[test]
fn no_page_calls_salt_enough_that_fish_do_not_bear() {
    let catfish = |salt: &str| json!({ "species": "catfish", "temperature": "16 C", "salinity": salt });
    let with = |mut input: Value, more: Value| {
        input.as_object_mut().expect("fields").extend(more.as_object().expect("fields").clone());
        input
    };
    let group = json!([{ "species": "catfish", "by": "weight", "biomass": "2 kg" }]);
    let pages = |salt: &str| {
        [
            ("oxygen", json!({ "temperature": "16 C", "salinity": salt, "fish": group })),
            ("ammonia", catfish(salt)),
            ("ammonia", json!({ "species": "catfish", "chloride": salt })),
            ("startup", json!({ "species": "catfish", "chloride": salt })),
            ("outage", catfish(salt)),
            ("change", with(catfish(salt), json!({ "job": "hold", "fish": "1 kg" }))),
            (
                "stocking",
                json!({ "species": "catfish", "usual": "15 C", "hottest": "18 C", "salinity": salt, "count": 2, "filter_age": "200 d" }),
            ),
        ]
    };
    for (page, input) in pages("30 g/L") {
        let o = run(page, &input);
        assert_eq!(
            (&o["state"], &o["levels"][0]["name"], &o["levels"][0]["state"]),
            (&json!("over"), &json!("Salt in the water"), &json!("over")),
            "{page}"
        );
        let said = verdict(&o);
        assert!(said.contains("hannel catfish can take 9 g/L of salt at most"), "{page}: {said}");
        assert!(said.contains("More only if they are used to it") && !said.contains("Other fish"), "{page}: {said}");
        assert_ne!(o["levels"][0]["id"], "temperature", "{page}");
    }
    for (page, input) in pages("5 g/L") {
        assert_ne!(run(page, &input)["levels"][0]["name"], "Salt in the water", "{page}");
    }
    let none = run("stocking", &pages("30 g/L")[6].1);
    assert_eq!((&none["outputs"]["may_add"], &none["outputs"]["allowed"]), (&json!(0.0), &json!(0.0)));
    has(&none, "cautions", "text", "some fish can take it once used to it");
    let barramundi = json!({ "species": "barramundi", "temperature": "28 C", "salinity": "30 g/L" });
    assert_ne!(run("ammonia", &barramundi)["levels"][0]["name"], "Salt in the water");
}

/// No time makes other water bearable that is not, and fish are not netted into water that is far from theirs.
#[test]
fn no_time_makes_deadly_water_good() {
    let trout = json!({ "job": "move", "species": "trout", "new_temperature": "25.5 C", "temperature": "15 C", "planned": "1000 h" });
    for (input, id) in [
        (trout, "warmth"),
        (json!({ "job": "move", "new_ph": 10, "planned": "2000 h" }), "acidity"),
        (json!({ "job": "move", "new_ph": 4.5, "planned": "2000 h" }), "acidity"),
    ] {
        let o = run("change", &input);
        assert_eq!(level(&o, id), "over", "{input}");
        assert!(verdict(&o).starts_with("Do not move them there, however slowly"), "{}", verdict(&o));
    }
    let far = json!({ "job": "move", "ph": 6.5, "new_ph": 8.6, "new_temperature": "25 C", "tan": "6 mg/L" });
    let said = verdict(&run("change", &far));
    assert!(!said.contains("Net them across") && said.contains("clean water of their own temperature"), "{said}");
    let near = json!({ "job": "move", "ph": 8.4, "new_ph": 8.4, "new_temperature": "25 C", "tan": "6 mg/L" });
    let said = verdict(&run("change", &near));
    assert!(said.starts_with("Do not mix the waters") && said.contains("then net them across. Put "), "{said}");
    // Waters that are mixed steadily come together fastest at first: 120 L over 12 h begin with 10 L/h, and over 6 h, where they are to be spread over
    // 8, with 15. Longer than a day no fish stay in a drum.
    for (planned, flow) in [("12 h", 10.0), ("6 h", 15.0)] {
        let o = run("change", &json!({ "job": "move", "planned": planned }));
        let drip = o["outputs"]["drip"].as_f64().expect("a flow");
        assert!((drip * 3.6e6 - flow).abs() < 1e-6, "{planned}: {drip}");
        has(&o, "notes", "", &format!("Run {flow} L/h of the other water into the drum"));
    }
    let long = run("change", &json!({ "job": "move", "planned": "40 h" }));
    has(
        &long,
        "notes",
        "",
        "in 3 parts, one a day, let in slowly: one part in 3 of it first, then one in 2, and so on",
    );
    assert!(
        long["outputs"]["drip"].is_null() && !texts(&long, "notes", "").iter().any(|n| n.contains("into the drum"))
    );
}

/// What helps and does not suffice says so.
#[test]
fn a_repair_that_is_not_enough_says_so() {
    let o = run("heat", &json!({ "heater": "100 W", "night": "-10 C" }));
    for r in o["repairs"].as_array().expect("repairs") {
        let told = r["also"].as_str().is_some_and(|a| a.starts_with("Not enough by itself"));
        assert_eq!(told, r["level"]["state"] == "over", "{r}");
    }
}

#[test]
fn small_things_are_said_well() {
    has(&run("bed", &json!({ "area": "0.02 m2", "method": "film" })), "notes", "", "Set out less than 1 plant (");
    has(&run("bed", &json!({ "protein": "10 %" })), "notes", "", "units (for feed of 32 %, scaled)");
    let many = verdict(&run("feed", &json!({ "count": 2000, "mass": "600 g" })));
    assert!(many.contains("in 2 meals of 6 kg"), "{many}");
    let carp = run("feed", &json!({ "species": "carp", "temperature": "9 C", "mass": "300 g", "count": 50 }));
    has(&carp, "notes", "", "On less than that they do not grow.");
    has(&carp, "notes", "", "500 g is not reached");
    assert_eq!(carp["tables"][2]["rows"][0][2].as_str().map(plain).as_deref(), Some("up to 8 °C"));
    has(&run("heat", &json!({ "heater": 0 })), "notes", "", "without a heater it never gets there");
}

/// Trout die above 24 °C and Nile tilapia below 12: the page on starting lets none in either, nor any that are not fed.
#[test]
fn a_start_puts_no_fish_into_water_that_kills_them() {
    for (species, t) in [("trout", "27 C"), ("tilapia", "8 C"), ("trout", "22 C"), ("tilapia", "15 C")] {
        let o = run("startup", &json!({ "species": species, "temperature": t, "feed": 0, "tan": 0, "nitrite": 0 }));
        for key in ["add", "most", "fish"] {
            assert_eq!(o["outputs"][key], 0.0, "{species} {t} {key}");
        }
        assert!(verdict(&o).to_ascii_lowercase().contains("add no fish"), "{}", verdict(&o));
        has(&o, "cautions", "text", "does not feed in water of this temperature");
        if t == "27 C" || t == "8 C" {
            assert_eq!(o["state"], "over");
            has(&o, "cautions", "text", "At this temperature this fish dies");
        }
    }
}

/// What the readings do not show yet is said with them, and there is something to do about it.
#[test]
fn a_good_reading_hides_nothing_that_comes() {
    for (input, row) in [
        (json!({ "media": "0 L", "tan": "0.2 mg/L" }), "Feed nothing for now"),
        (json!({ "flow": "0 L/h" }), "750 L/h through the filter"),
        (json!({ "alkalinity": "10 mg/L", "ph": 6.2 }), "of baking soda"),
        (json!({}), "42.4 g/day of baking soda"),
    ] {
        let o = run("ammonia", &input);
        let rows = o["tables"][0]["rows"].as_array().expect("rows");
        let does: Vec<_> = rows.iter().map(|r| plain(r[0].as_str().expect("a text"))).collect();
        assert!(does.iter().any(|d| d.contains(row)) && does.iter().all(|d| d != "Nothing"), "{does:?}");
        assert!(!verdict(&o).contains("water is good"), "{}", verdict(&o));
    }
    // At pH 7.2 so much alkalinity tells of 37 mg/L of carbon dioxide; at 7.8 of 9.
    assert!(!verdict(&run("ammonia", &json!({ "alkalinity": "300 mg/L" }))).contains("water is good"));
    let calm = run("ammonia", &json!({ "alkalinity": "300 mg/L", "ph": 7.8 }));
    assert!(verdict(&calm).contains("The water is good."), "{}", verdict(&calm));
    assert_eq!(calm["tables"][0]["rows"][0][0], "Nothing");
}

/// Salt holds nitrite off within hours and waits for nobody's new water; what is changed later takes as large a share of it out as of the nitrite that
/// it holds off, so none goes in with it (with each change a third of the salt went in again: at the end many times what the nitrite left asks, and
/// plants in it). A test after each says whether nitrite has come back.
#[test]
fn salt_comes_before_the_changes_and_goes_out_with_them() {
    let water = |chloride: &str| json!({ "species": "catfish", "ph": 7.6, "nitrite": "8 mg/L", "chloride": chloride });
    let o = run("ammonia", &water("10 mg/L"));
    let rows = o["tables"][0]["rows"].as_array().expect("rows");
    let does: Vec<_> = rows.iter().map(|r| plain(r[0].as_str().expect("a text"))).collect();
    assert_eq!(
        does[..4],
        ["Feed nothing today", "All the air you have", "480 g of plain salt", "Change a third of the water at a time"]
    );
    let by_test = "300 L, 8 times in all, a test after each, and salt by it";
    let how = plain(rows[3][1].as_str().expect("a text"));
    assert!(how.starts_with(by_test), "{how}");
    let titles = texts(&o, "repairs", "title");
    assert!(
        titles[0].contains("plain salt, dissolved") && titles[1].contains("after each, and salt by it"),
        "{titles:#?}"
    );
    // What is in already goes out in proportion too.
    let salted = run("ammonia", &water("340 mg/L"));
    let rows = salted["tables"][0]["rows"].as_array().expect("rows");
    assert!(rows.iter().all(|r| !r.to_string().contains("of plain salt")), "{rows:#?}");
    // Where nitrite is no matter nothing is said of salt.
    for chloride in ["30 mg/L", "3 mg/L"] {
        let o = run("ammonia", &json!({ "tan": "6 mg/L", "nitrite": "0.07 mg/L", "chloride": chloride }));
        let said = format!("{} {}", o["tables"], o["repairs"]);
        assert!(!said.contains("plain salt"), "{said}");
    }
    let start = run("startup", &json!({ "nitrite": "5 mg/L", "chloride": "10 mg/L" }));
    let titles = texts(&start, "repairs", "title");
    let at = |part: &str| titles.iter().position(|t| t.contains(part)).unwrap_or_else(|| panic!("{part}: {titles:#?}"));
    assert!(at("plain salt, dissolved") < at("salt by it"), "{titles:#?}");
}

/// Channel catfish in 5 mg/L of nitrite with little chloride have half of their blood blocked in five to six hours, and most of it in a day
/// (Tomasso, Simco & Davis 1979): past ten times what is borne it must not stay. With chloride at ten times it, it is kept out.
#[test]
fn nitrite_without_chloride_does_not_wait() {
    let at = |species: &str, nitrite: &str, chloride: &str| {
        let t = if species == "trout" { "12 C" } else { "26 C" };
        let input = json!({ "species": species, "temperature": t, "nitrite": nitrite, "chloride": chloride, "tan": "0.2 mg/L" });
        run("ammonia", &input)
    };
    for (species, nitrite, chloride) in
        [("catfish", "8 mg/L", "10 mg/L"), ("catfish", "1.53 mg/L", "0 mg/L"), ("trout", "0.8 mg/L", "0 mg/L")]
    {
        let o = at(species, nitrite, chloride);
        assert!(verdict(&o).starts_with("Act now"), "{species} {nitrite}: {}", verdict(&o));
        has(&o, "cautions", "text", "Do not net or chase them");
    }
    for (nitrite, chloride, says) in [
        ("0.9 mg/L", "0 mg/L", "Act today"),
        ("8 mg/L", "340 mg/L", "Act today"),
        ("2.5 mg/L", "340 mg/L", "Fish can take this for days"),
    ] {
        let o = at("catfish", nitrite, chloride);
        assert!(verdict(&o).starts_with(says), "{nitrite}: {}", verdict(&o));
        let said = texts(&o, "cautions", "text");
        assert!(said.iter().all(|t| !t.contains("net or chase")), "{said:#?}");
    }
}

/// Rainbow trout grew less in 0.2 mg/L of nitrite, 0.061 of its nitrogen, with 10 mg/L of chloride (Ecotoxicology and Environmental Safety 71:
/// 813-820): no page calls that enough, and each asks for chloride at 50 times the nitrite.
#[test]
fn trout_want_more_chloride_against_nitrite() {
    let water = |id: &str, more: &str, species: &str| {
        let mut all = json!({ "species": species, "temperature": "14 C", "tan": "0.1 mg/L", "nitrite": "0.07 mg/L", "chloride": "10 mg/L" });
        let more: Value = serde_json::from_str(more).expect("JSON");
        for (key, x) in more.as_object().expect("an object") {
            all[key] = x.clone();
        }
        run(id, &all)
    };
    for (id, more) in [
        ("ammonia", "{}"),
        ("startup", r#"{ "nitrate": "20 mg/L" }"#),
        ("feed", r#"{ "readings": "yes", "oxygen": "9 mg/L" }"#),
    ] {
        let (trout, tilapia) = (water(id, more, "trout"), water(id, more, "tilapia"));
        assert_eq!([&trout, &tilapia].map(|o| level(o, "nitrite")), ["over", "enough"], "{id}");
        has(&trout, "cautions", "text", "50 times");
        assert!(!texts(&trout, "cautions", "text").iter().any(|t| t.contains("ten times the nitrite")), "{trout}");
    }
    let fed = water("feed", r#"{ "readings": "yes", "oxygen": "9 mg/L" }"#, "trout");
    assert_eq!(fed["outputs"]["feed"], 0.0, "{fed}");
    // On the page of changes too: 0.07 of nitrogen are 0.23 mg/L, that asks for 11.5 of chloride, and 14.4 with a fifth to spare; 10 are
    // there: 7.2 g in 1000 L.
    let change = json!({ "job": "change", "species": "trout", "what": "nitrite", "poison": "0.07 mg/L", "held": "10 mg/L", "temperature": "14 C" });
    assert_eq!(level(&run("change", &change), "reading"), "over");
    let dose =
        json!({ "job": "dose", "species": "trout", "nitrite": "0.07 mg/L", "chloride": "10 mg/L", "volume": "1000 L" });
    let salt = run("change", &dose)["outputs"]["salt_dose"].as_f64().expect("salt");
    assert!((0.0072..0.0075).contains(&salt), "{salt}");
}

/// Days alone prove no filter: one that stood unfed is new again, and no ammonia in water that nobody fed shows nothing.
#[test]
fn a_filter_that_stood_unfed_is_not_taken_for_ripe_unsaid() {
    let part = "its days then start again";
    has(&run("ammonia", &json!({ "age": "365 days", "tan": 0, "nitrite": 0 })), "cautions", "text", part);
    has(&run("stocking", &json!({ "filter_age": "365 days" })), "cautions", "text", part);
    for (page, input) in [("ammonia", json!({ "age": "365 days" })), ("stocking", json!({ "filter_age": "20 days" }))] {
        let said = texts(&run(page, &input), "cautions", "text");
        assert!(said.iter().all(|t| !t.contains(part)), "{page}: {said:#?}");
    }
}

/// Nitrite is named, and its limit holds only with chloride enough.
#[test]
fn nitrite_is_named_and_wants_chloride() {
    let high = run("ammonia", &json!({ "nitrite": "5 mg/L", "chloride": "200 mg/L" }));
    assert!(verdict(&high).contains("Nitrite nitrogen is 5 mg/L"), "{}", verdict(&high));
    let short = run("ammonia", &json!({ "species": "catfish", "nitrite": "0.7 mg/L", "chloride": "2 mg/L" }));
    assert!(!verdict(&short).contains("water is good") && verdict(&short).contains("with this chloride"));
    assert_eq!(short["state"], "over");
    has(&short, "repairs", "title", "g of plain salt");
    let enough = run("ammonia", &json!({ "species": "catfish", "nitrite": "0.7 mg/L", "chloride": "40 mg/L" }));
    assert!(verdict(&enough).contains("The readings are good today."), "{}", verdict(&enough));
}

/// The same reading is near what the fish bear on the page of the test and on that of the start.
#[test]
fn both_pages_read_a_test_alike() {
    for both in [
        json!({ "tan": "0.4 mg/L", "ph": 8, "temperature": "28 C", "nitrite": "0.1 mg/L" }),
        json!({ "tan": "0.98 mg/L", "nitrite": "0.9 mg/L" }),
        json!({ "tan": "0.1 mg/L", "nitrite": "0.9 mg/L" }),
    ] {
        let test = run("ammonia", &both);
        assert_eq!(test["outputs"]["may_stay"], "some days; find the cause", "{both}");
        assert_eq!(test["tables"][0]["rows"][0][0], "Feed no more than now, and add no fish");
        let mut start = both.clone();
        start["nitrate"] = json!("12 mg/L");
        let start = run("startup", &start);
        assert_eq!(start["outputs"]["add"], 0.0, "{both}");
        assert!(verdict(&start).contains("near what these fish bear"), "{}", verdict(&start));
    }
}

/// A filter that was ripened without fish is no empty one, whether the last trace of ammonia reads as nothing or not.
#[test]
fn a_filter_ripened_without_fish_is_known() {
    for tan in ["0 mg/L", "0.1 mg/L"] {
        let o = run("startup", &json!({ "feed": 0, "tan": tan, "nitrite": 0, "nitrate": "30 mg/L" }));
        assert!(verdict(&o).contains("it has taken ammonia but gets none now"), "{}", verdict(&o));
        has(&o, "notes", "", "Begin with a fifth");
    }
    let full = run(
        "startup",
        &json!({
            "feed": "110 g/day", "age": "200 days", "tan": 0, "nitrite": 0, "nitrate": "30 mg/L", "media": "20 L",
        }),
    );
    let notes = texts(&full, "notes", "");
    assert!(notes.iter().all(|n| !n.contains("Begin with") && !n.contains("the full feed")), "{notes:#?}");
}

/// The criteria for other water life are printed for pH 6.5 to 9 and up to 30 °C, and given there alone.
#[test]
fn criteria_are_given_where_they_are_printed() {
    for (input, there) in [(json!({}), true), (json!({ "temperature": "31 C" }), false), (json!({ "ph": 6.3 }), false)]
    {
        let o = run("ammonia", &input);
        let rows = o["tables"][1]["rows"].as_array().expect("rows");
        assert_eq!(rows.iter().any(|r| r[0] == "Total, for a month"), there, "{input}");
        assert_eq!(o["outputs"]["month"].is_number(), there, "{input}");
    }
}

/// No more than a third of the water is changed without a test, and the salt is weighed as if nobody had measured the chloride.
#[test]
fn a_bad_reading_is_mended_in_steps() {
    for (input, portion) in [
        (json!({ "tan": "2 mg/L", "nitrite": "1 mg/L", "ph": 8 }), "300 L, "),
        (json!({ "tan": "8 mg/L" }), "300 L, "),
        (json!({ "species": "trout", "temperature": "12 C", "tan": "20 mg/L" }), "300 L, "),
    ] {
        let o = run("ammonia", &input);
        assert!(verdict(&o).starts_with("Act "), "{}", verdict(&o));
        let rows = o["tables"][0]["rows"].as_array().expect("rows");
        let row = rows.iter().find(|r| r[0].as_str().is_some_and(|t| t.starts_with("Change"))).expect("a change");
        assert_eq!(row[0], "Change a third of the water at a time");
        let how = plain(row[1].as_str().expect("a text"));
        assert!(how.starts_with(portion) && how.contains("Water change and moving fish"), "{how}");
        // The filter is not called enough where the test says otherwise, and no hours are promised.
        assert!(verdict(&o).ends_with("the test says that it does not."), "{}", verdict(&o));
        assert!(!o["tables"].to_string().contains("would take"));
    }
    let total = verdict(&run("ammonia", &json!({ "tan": "2 mg/L" })));
    assert!(total.contains("Total ammonia nitrogen is 2 mg/L, and it should stay below 1 mg/L."), "{total}");
    let salt = |chloride: &str| {
        let o = run_in(System::Us, "ammonia", &json!({ "nitrite": "1 mg/L", "chloride": chloride }));
        has(&o, "repairs", "title", "2.15 oz of plain salt");
    };
    salt("30 mg/L");
    salt("0 mg/L");
    has(
        &run("ammonia", &json!({ "nitrite": "40 mg/L" })),
        "repairs",
        "effect",
        "most of that stays out of their blood",
    );
}

/// Thirty more: yes, or how many of them; what is shown has them in.
#[test]
fn fish_to_add_are_answered_with_yes_or_no() {
    let stock = |count: f64, add: f64| {
        run(
            "stocking",
            &json!({ "filter_age": "400 days", "count": count, "add": add, "lived": "feed", "lived_feed": "5 kg/day" }),
        )
    };
    let at = |add: f64| stock(5.0, add);
    let none = at(0.0);
    let may = none["outputs"]["may_add"].as_f64().expect("a number");
    assert!(may >= 2.0 && verdict(&none).starts_with("You may add"), "{}", verdict(&none));
    let (yes, no) = (at(may), at(may + 5.0));
    assert!(verdict(&yes).starts_with(&format!("Yes, you may add {may} Nile tilapia")), "{}", verdict(&yes));
    assert!(verdict(&no).starts_with(&format!("No, {may} of the {}", may + 5.0)), "{}", verdict(&no));
    assert_eq!([&yes, &no].map(|o| o["outputs"]["may_add"].as_f64()), [Some(may); 2]);
    assert_eq!((yes["levels"][0]["state"] != "over", &no["levels"][0]["state"]), (true, &json!("over")));
    has(&no, "repairs", "title", &format!("instead of {}", may + 5.0));
    let full = verdict(&stock(5.0 + may, 3.0));
    assert!(full.starts_with("No, none of the 3;"), "{full}");
    let over = verdict(&stock(500.0, 3.0));
    assert!(over.starts_with("No. ") && over.contains("too many today"), "{over}");
}

/// A power cut over fish that are counted is one over their weight, with the feed that the tables say.
#[test]
fn fish_in_a_cut_may_be_counted() {
    let fed = run("feed", &json!({ "count": 40, "mass": "250 g", "temperature": "26 C" }))["outputs"]["feed"].clone();
    let counted = run("outage", &json!({ "by": "number", "count": 40, "mass": "250 g" }));
    let grams = format!("{} g/day", fed.as_f64().expect("a feed") * 86.4e6);
    let weighed = run("outage", &json!({ "fish": "10 kg", "mass": "250 g", "feed": grams }));
    for k in 0..2 {
        let at = |o: &Value| o["outputs"]["critical"][k].as_f64().expect("a time");
        assert!((at(&counted) / at(&weighed) - 1.0).abs() < 1e-6, "{counted} {weighed}");
    }
    // Of forty fish five are no repair of four hours; within the hour half of them are.
    assert!(texts(&counted, "repairs", "title").iter().all(|t| !t.contains("fed in proportion")), "{counted}");
    let hour = run("outage", &json!({ "by": "number", "count": 40, "mass": "250 g", "cut": "1 h" }));
    has(&hour, "repairs", "title", "fish, fed in proportion");
    let rows = counted["tables"][0]["rows"].as_array().expect("rows");
    assert!(rows.last().is_some_and(|r| r[1].as_str().is_some_and(|t| t.contains("nothing for a day, then a third"))));
}

/// In water that kills them the first word is not about feed.
#[test]
fn fish_that_die_are_not_only_not_fed() {
    let o = run("feed", &json!({ "temperature": "4 C" }));
    assert!(verdict(&o).starts_with("Nile tilapia die below 12 °C, and the water is 4 °C."), "{}", verdict(&o));
    assert!(verdict(&o).contains("Do not feed.") && o["levels"][0]["name"] == "Water temperature");
}

/// What is written large is what is worst: nitrite before a good reading of ammonia, the cold before oxygen that lasts; and one change of water brings
/// ammonia and nitrite down.
#[test]
fn the_worst_stands_first() {
    let first = |o: &Value| o["levels"][0]["id"].as_str().expect("a level").to_string();
    assert_eq!(first(&run("ammonia", &json!({}))), "unionised");
    let both = run("ammonia", &json!({ "nitrite": "5 mg/L", "tan": "2 mg/L" }));
    assert_eq!(first(&both), "nitrite");
    let changes = both["repairs"].as_array().expect("repairs").iter();
    let changes: Vec<_> = changes.filter(|r| r["title"].as_str().is_some_and(|t| t.starts_with("Change"))).collect();
    assert!(
        changes.len() == 1 && changes[0]["title"].as_str().is_some_and(|t| t.ends_with("free of ammonia and nitrite")),
        "{changes:?}"
    );
    let cold = json!({ "battery": "yes", "air": "60 L/min", "capacity": "5000 Wh", "volume": "200 L", "surface": "0.5 m2", "fish": "1 kg",
        "feed": "15 g/day", "around": "-10 C", "temperature": "20 C", "cut": "24 h" });
    assert_eq!((first(&run("outage", &cold)), first(&run("outage", &json!({})))), ("cold".into(), "time".into()));
}

/// The limit of nitrite holds with chloride enough. Without it a tenth of it counts wherever nitrite is read, and salt is named.
#[test]
fn nitrite_counts_with_its_chloride_everywhere() {
    let readings = |id: &str, chloride: &str| {
        let mut all = json!({ "nitrite": "0.15 mg/L", "tan": "0.1 mg/L", "chloride": chloride });
        let (key, more) = if id == "feed" { ("readings", "yes") } else { ("nitrate", "20 mg/L") };
        all[key] = json!(more);
        all
    };
    for id in ["startup", "feed"] {
        let (none, some) = (run(id, &readings(id, "0 mg/L")), run(id, &readings(id, "40 mg/L")));
        assert_eq!([&none, &some].map(|o| level(o, "nitrite")), ["over", "enough"], "{id}");
        assert!(verdict(&none).to_ascii_lowercase().contains("nitrite"), "{id}: {}", verdict(&none));
        assert!(texts(&none, "cautions", "text").iter().any(|c| c.contains("alt ")), "{id}");
    }
    let start = run("startup", &readings("startup", "0 mg/L"));
    has(&start, "repairs", "title", "of plain salt");
    let said = verdict(&start);
    // As the page on ammonia has it: past what so little chloride holds off they suffocate, and nothing is fed.
    assert!(said.starts_with("Act today: ") && said.contains(" Feed nothing, give all the air there is"), "{said}");
}

/// A planted filter, fed for longer than its slowest ripening and clean, is ripe; one that leaves ammonia over is not called one of nitrite.
#[test]
fn the_stage_is_what_the_readings_say() {
    let planted = json!({ "age": "80 days", "tan": 0, "nitrite": 0, "nitrate": "2 mg/L" });
    assert!(verdict(&run("startup", &planted)).contains("ripe for today's load"));
    let over = run("startup", &json!({ "tan": "0.5 mg/L", "nitrite": 0, "nitrate": "40 mg/L" }));
    assert!(verdict(&over).contains("ammonia is left over"), "{}", verdict(&over));
    assert_eq!(over["outputs"]["add"], 0.0);
}

/// The water at the far end stays where it is, so a lower hole gains nothing there.
#[test]
fn a_lower_hole_is_not_offered_into_standing_water() {
    for (arrangement, hole, tail) in
        [("draw", "150 mm", "110 mm"), ("wall", "140 mm", "110 mm"), ("wall", "190 mm", "160 mm")]
    {
        let at = json!({ "arrangement": arrangement, "pipe": "pvc_63", "flow": "3000 L/h", "hole_depth": hole, "far_end": "under", "tail": tail });
        let o = run("drain", &at);
        assert_eq!(o["state"], "over");
        assert!(texts(&o, "repairs", "title").iter().all(|t| !t.contains("Cut the hole")), "{o}");
    }
    // In air it helps.
    let air = json!({ "arrangement": "wall", "pipe": "pvc_63", "flow": "3000 L/h", "hole_depth": "60 mm" });
    has(&run("drain", &air), "repairs", "title", "Cut the hole");
    // A drop ends where it ended.
    let drop = json!({ "arrangement": "wall", "pipe": "pvc_63", "flow": "3000 L/h", "hole_depth": "60 mm", "far_end": "drop" });
    let o = run("drain", &drop);
    let cut = o["repairs"]
        .as_array()
        .expect("repairs")
        .iter()
        .find(|r| plain(r["title"].as_str().unwrap_or("")).contains("Cut the hole"))
        .expect("a cut")
        .clone();
    assert!(cut["edits"].to_string().contains("drop"), "{cut}");
}

#[test]
fn a_low_reading_at_dawn_is_a_low_reading() {
    for read in ["1.5 mg/L", "3 mg/L"] {
        let fish = json!([{ "by": "weight", "biomass": "1 kg", "mass": "250 g" }]);
        let o =
            run("oxygen", &json!({ "fish": fish, "air_flow": "60 L/min", "reading": "dawn", "reading_oxygen": read }));
        assert!(verdict(&o).starts_with("Act now"), "{}", verdict(&o));
        assert_eq!(o["state"], "over");
        has(&o, "repairs", "title", "until it reads 5 mg/L");
        assert_eq!(o["repairs"][0]["level"]["state"], "enough");
    }
}

/// Water that kills stands first on every page that asks for fish and water.
#[test]
fn water_that_kills_leads_everywhere() {
    let hot = |fish: Value| json!({ "species": "trout", "temperature": "28 C", "fish": fish });
    let group = json!([{ "species": "trout", "by": "weight", "biomass": "2 kg", "mass": "250 g" }]);
    let without = |mut v: Value| {
        v.as_object_mut().expect("an object").remove("fish");
        v
    };
    for (page, input) in [
        ("oxygen", json!({ "temperature": "28 C", "fish": group })),
        ("ammonia", without(hot(json!(null)))),
        ("bed", without(hot(json!(null)))),
        ("startup", without(hot(json!(null)))),
        ("outage", hot(json!("2 kg"))),
    ] {
        let o = run(page, &input);
        assert!(
            verdict(&o).contains("ainbow trout die above 24 °C, and the water is 28 °C"),
            "{page}: {}",
            verdict(&o)
        );
        assert!(verdict(&o).contains("Other fish, or other water."), "{page}: {}", verdict(&o));
        assert_eq!(o["levels"][0]["name"], "Water temperature", "{page}");
        assert_eq!(o["levels"][0]["state"], "over", "{page}");
        assert!(!verdict(&o).contains("readings are good") || page == "ammonia");
    }
    let cold = run("stocking", &json!({ "count": 4, "usual": "8 C", "hottest": "29 C", "filter_age": "400 day" }));
    assert_eq!(
        verdict(&cold),
        "None: Nile tilapia die below 12 °C, and the usual water is 8 °C. Other fish, or other water."
    );
    assert_eq!((&cold["outputs"]["may_add"], &cold["state"]), (&json!(0.0), &json!("over")));
    // Where the usual water is the hotter of the two, it counts.
    let tan = |usual: &str, hottest: &str| {
        run("stocking", &json!({ "usual": usual, "hottest": hottest, "ph": 8.5 }))["outputs"]["tan"].clone()
    };
    assert_eq!(tan("29 C", "25 C"), tan("25 C", "29 C"));
}

#[test]
fn more_than_a_siphon_carries_runs_over() {
    let at = |inflow: &str| run("siphon", &json!({ "inflow": inflow }));
    for inflow in ["4500 L/h", "6000 L/h"] {
        let o = at(inflow);
        assert_eq!(level(&o, "bed_rim"), "over", "{inflow}");
        assert!(verdict(&o).contains("runs over the rim of the bed"), "{}", verdict(&o));
        has(&o, "cautions", "text", "runs over it without end");
    }
    // It would have to stand at 0.75 m x (6000/3920)² - 0.5 m, and stands at the rim.
    let o = at("6000 L/h");
    let rim = o["levels"].as_array().and_then(|all| all.iter().find(|l| l["id"] == "bed_rim")).expect("a level");
    let asked = rim["demand"][1].as_f64().expect("a height");
    assert!((1.2..1.32).contains(&asked), "{asked}");
    assert_eq!(o["outputs"]["highest"].as_f64(), rim["capacity"][0].as_f64());
    let helped = verdict(&run("siphon", &json!({ "inflow": "200 L/h", "aid": "helped" })));
    assert!(helped.contains("It may start from") && helped.contains("may do both"), "{helped}");
}

/// Carp do not feed at 6 °C, and winter so.
#[test]
fn a_cut_in_winter_kills_no_carp() {
    let o = run(
        "outage",
        &json!({ "species": "carp", "temperature": "6 C", "fish": "1 kg", "feed": 0, "surface": "8 m2", "around": "5 C" }),
    );
    assert!(!verdict(&o).contains("cold") && o["state"] != "over", "{}", verdict(&o));
}

/// Sea salt is more than half chloride (Millero 2008: 19.35 of 35.17): 15 g/L hold off all nitrite that a test shows.
#[test]
fn salt_in_the_water_is_chloride() {
    let o = run("ammonia", &json!({ "species": "barramundi", "salinity": "15 g/L", "nitrite": "2 mg/L" }));
    assert_eq!(o["outputs"]["salt"], 0.0);
    assert!(texts(&o, "repairs", "title").iter().all(|t| !t.contains("salt")));
    let fresh = run("ammonia", &json!({ "species": "barramundi", "nitrite": "2 mg/L" }));
    assert_ne!(fresh["outputs"]["salt"], 0.0);
}

/// What the others carry with one outlet blocked is one figure, to the rim.
#[test]
fn a_blocked_outlet_is_told_once() {
    let at = |flow: &str| run("drain", &json!({ "outlets": 2, "flow": flow }));
    for n in 2..12 {
        let o = at(&format!("{} L/h", 500 * n));
        let carried = texts(&o, "notes", "").iter().any(|t| t.contains("the others carry it"));
        assert_eq!(carried, level(&o, "one_blocked") != "over", "{n}: {o}");
        if !carried && level(&o, "drain") == "enough" {
            assert!(verdict(&o).contains("If one of them blocks, it spills."), "{}", verdict(&o));
            has(&o, "repairs", "title", "3 outlets like it in all");
        }
    }
}

#[test]
fn what_is_over_can_be_mended() {
    let summer = run("heat", &json!({ "summer": "33 C" }));
    assert_eq!(level(&summer, "summer"), "over");
    has(&summer, "repairs", "title", "Air of");
    let cold = run("heat", &json!({ "water": "15 C", "coldest": "18 C" }));
    assert_eq!(level(&cold, "cut"), "over");
    has(&cold, "repairs", "title", "Hold");
    has(&run("heat", &json!({ "coldest": "30 C", "hottest": "20 C" })), "cautions", "text", "not below the hottest");
    let feed =
        run("feed", &json!({ "readings": "yes", "oxygen": "2 mg/L", "nitrite": "5 mg/L", "tan": "4 mg/L", "ph": 8 }));
    has(&feed, "repairs", "title", "Change a third of the water at a time first: see the page on ammonia");
    has(&feed, "repairs", "title", "More air, until it reads");
}

/// The watts of a pump are not those of the pump that takes its place.
#[test]
fn known_watts_spoil_no_repair() {
    let titles = |input: Value| texts(&run("pump", &input), "repairs", "title");
    let known = titles(json!({ "watts": "known", "label": "40 W", "wanted": "1500 L/h" }));
    let guessed = titles(json!({ "wanted": "1500 L/h" }));
    let pump = |all: &[String]| all.iter().find(|t| t.starts_with("A pump of")).cloned();
    assert!(pump(&guessed).is_some());
    assert_eq!(pump(&known), pump(&guessed));
}

#[test]
fn a_battery_pump_without_air_is_measured_by_a_usual_one() {
    let none = run("outage", &json!({ "battery": "yes", "air": 0 }));
    let usual = run("outage", &json!({ "battery": "yes" }));
    assert_eq!(none["outputs"]["air_needed"], usual["outputs"]["air_needed"]);
    let pump = |o: &Value| texts(o, "repairs", "title").into_iter().find(|t| t.starts_with("A battery pump"));
    assert_eq!(pump(&none), pump(&usual));
    let without = run("outage", &json!({}));
    assert_eq!((&without["outputs"]["brings"], &without["outputs"]["runs"]), (&json!(null), &json!(null)));
    let high = run("outage", &json!({ "species": "trout", "temperature": "22 C", "altitude": "3500 m" }));
    assert_eq!(high["outputs"]["air_needed"], json!(null));
}

/// In cold water a filter ripens slowly, however hot one week of the year is.
#[test]
fn a_filter_ripens_in_the_usual_water() {
    let at = |age: &str, usual: &str| {
        run("stocking", &json!({ "species": "carp", "usual": usual, "hottest": "18 C", "filter_age": age }))
    };
    let ripe = |v: &Value, of: &str| v["outputs"][of].as_f64().expect("a share");
    assert!(ripe(&at("40 day", "6 C"), "ripeness") < 0.3 * ripe(&at("40 day", "18 C"), "ripeness"));
    let ammonia = |t: &str| ripe(&run("ammonia", &json!({ "temperature": t, "age": "40 day" })), "ripe");
    assert!(ammonia("6 C") < 0.3 * ammonia("18 C"));
    has(&at("20 day", "6 C"), "cautions", "text", "about two weeks");
}

/// The same new filter bears the same feed on every page that is asked: what the start-up page allows, and nowhere without the changes of water.
#[test]
fn a_new_filter_is_fed_the_same_on_every_page() {
    for ph in [7.2, 8.0, 8.4] {
        let start = run(
            "startup",
            &json!({ "age": 0, "temperature": "26 C", "ph": ph, "tan": 0, "nitrite": 0, "nitrate": 0, "feed": 0 }),
        );
        let most = start["outputs"]["most"].as_f64().expect("feed");
        let today = json!({ "age": 0, "temperature": "26 C", "ph": ph, "tan": 0, "nitrite": 0 });
        let title = texts(&run("ammonia", &today), "repairs", "title").into_iter().find(|t| t.starts_with("Feed"));
        let title = title.expect("a repair");
        assert!(title.ends_with(" for now, with a third of the water changed every day"), "{title}");
        // The repair keeps the fifth in hand that is wanted for enough.
        let grams: f64 = title.split(' ').nth(1).and_then(|x| x.parse().ok()).expect("a number");
        assert!((grams / (most * 86_400_000.0) / 0.8 - 1.0).abs() < 0.02, "{title}: {most}");
        let stock = json!({
            "filter_age": 0, "volume": "900 L", "media_volume": "300 L", "ph": ph, "mass": "50 g", "count": 0, "usual": "26 C", "hottest": "26 C"
        });
        let fish = run("stocking", &stock)["outputs"]["by_ammonia"].as_f64().expect("fish");
        let ration = json!({ "mass": "50 g", "count": 1, "temperature": "26 C" });
        let each = run("feed", &ration)["outputs"]["full"].as_f64().expect("feed");
        assert!(fish * each <= most * 1.001 && (fish + 1.0) * each > most, "{ph}: {fish} of {each}, {most}");
    }
}

/// A young filter gets no more on the first day of a week than the water test's page counts on it for that day.
#[test]
fn a_young_filter_is_fed_the_same_on_every_page() {
    for (age, ph) in [(14.1, 7.2), (21.0, 7.2), (28.0, 7.2), (28.0, 8.4), (42.0, 7.2), (56.0, 7.2)] {
        let water = json!({
            "age": format!("{age} days"), "temperature": "26 C", "ph": ph, "tan": "0.01 mg/L", "nitrite": 0, "volume": "900 L",
            "media": "300 L", "protein": "32 %"
        });
        let with = |more: Value| {
            let mut all = water.clone();
            more.as_object().expect("an object").iter().for_each(|(k, x)| all[k] = x.clone());
            all
        };
        let plan = json!({ "supply": "fish", "nitrate": "20 mg/L", "full": "9000 g/day", "feed": "9000 g/day", "alkalinity": "100 mg/L" });
        let start = run("startup", &with(plan));
        let most = start["outputs"]["most"].as_f64().expect("feed");
        // No less ammonia is held than these fish bear, as start-up has it.
        let held = if ph > 8.0 { "0.5 mg/L" } else { "1 mg/L" };
        let page = run("ammonia", &with(json!({ "feed": most, "target": held })));
        let filter = page["levels"].as_array().expect("levels").iter().find(|l| l["id"] == "filter").expect("there");
        let full = filter["load"].as_f64().expect("a load");
        assert!(full <= 1.001, "{age} days, pH {ph}: {full}");
        // And it is what that page allows, not a share of it.
        assert!(ph > 8.0 || full > 0.99, "{age} days: {full}");
    }
}

/// Nothing is offered to be fed for now where the page says to feed nothing today, and a pH that kills has its repair.
#[test]
fn repairs_feed_nothing_into_water_that_bears_none() {
    for (ph, nitrite, back) in
        [(8.8, 0.0, ""), (7.0, 3.0, ""), (4.5, 0.0, "Bring the pH to 6.5"), (9.5, 0.0, "Find what lifts the pH to 9.5")]
    {
        let test = json!({ "ph": ph, "tan": "0.5 mg/L", "nitrite": format!("{nitrite} mg/L"), "chloride": "5 mg/L", "age": "20 days" });
        let o = run("ammonia", &test);
        assert_eq!(o["tables"][0]["rows"][0][0], "Feed nothing today", "{ph}");
        let all = texts(&o, "repairs", "title");
        assert!(all.iter().all(|t| !t.starts_with("Feed ") || t.starts_with("Feed nothing")), "{all:?}");
        assert!(all.iter().any(|t| t.starts_with("Once the readings are good, feed ")), "{all:?}");
        assert!(all.iter().any(|t| t.starts_with(back)), "{all:?}");
    }
}

/// One test of the water has one answer to whether anything is fed today, on the pages on ammonia, on feed and on start-up.
#[test]
fn feed_nothing_today_is_one_rule() {
    for (ph, tan, nitrite, chloride, fed) in [
        // 0.06 mg/L un-ionised against 0.04, and 0.03.
        (8.66, 0.25, 0.0, 30.0, false),
        (8.26, 0.25, 0.0, 30.0, true),
        // All ammonia half past its limit: half.
        (6.8, 1.4, 0.0, 30.0, true),
        (6.8, 2.2, 0.0, 30.0, false),
        // Nitrite past what 10 mg/L of chloride hold off, and within.
        (7.0, 0.1, 0.5, 10.0, false),
        (7.0, 0.1, 0.2, 10.0, true),
        (7.0, 0.1, 1.5, 200.0, true),
        (9.3, 0.0, 0.0, 30.0, false),
        (4.8, 0.0, 0.0, 30.0, false),
    ] {
        let mg = |x: f64| format!("{x} mg/L");
        let water = |more: Value| {
            let mut all = json!({
                "species": "catfish", "temperature": "28 C", "ph": ph, "tan": mg(tan), "nitrite": mg(nitrite), "chloride": mg(chloride)
            });
            for (key, x) in more.as_object().expect("an object") {
                all[key] = x.clone();
            }
            all
        };
        let ammonia = run("ammonia", &water(json!({ "feed": "20 g/day" })));
        let first = ammonia["tables"][0]["rows"][0][0].as_str().expect("a row").to_string();
        let feed = run("feed", &water(json!({ "readings": "yes", "oxygen": "7.5 mg/L" })))["outputs"]["feed"].as_f64();
        // The filter is asked too where it stops: ripe, and of water that is not too sour.
        let start = run("startup", &water(json!({ "feed": "20 g/day", "age": "400 days", "nitrate": "20 mg/L" })));
        let most = start["outputs"]["most"].as_f64().expect("feed");
        let said = (first != "Feed nothing today", feed.is_some_and(|x| x > 0.0), most > 0.0);
        assert_eq!(said, (fed, fed, fed), "pH {ph}, {tan}, {nitrite}: {first}, {feed:?}, {most}");
    }
}

/// European Inland Fisheries Advisory Commission 1969: from pH 5 to 9 none kills by itself. Past that no page calls the water good or takes fish.
#[test]
fn a_ph_that_fish_do_not_bear_is_said_first() {
    for ph in [4.7, 9.6, 10.0] {
        let well = json!({ "ph": ph, "tan": 0, "nitrite": 0, "readings": "yes", "oxygen": "7 mg/L", "count": 0 });
        let take = |keys: &[&str]| -> Value {
            keys.iter().map(|k| (k.to_string(), well[*k].clone())).collect::<serde_json::Map<_, _>>().into()
        };
        let ammonia = run("ammonia", &take(&["ph", "tan", "nitrite"]));
        let feed = run("feed", &take(&["ph", "tan", "nitrite", "readings", "oxygen"]));
        let stocking = run("stocking", &take(&["ph", "count"]));
        let bear = format!("ile tilapia can take pH 5 to 9, and the water is at {ph}. ");
        for (o, start) in [(&ammonia, "N"), (&feed, "N"), (&stocking, "None: N")] {
            assert!(verdict(o).starts_with(&format!("{start}{bear}")), "{}", verdict(o));
            assert_eq!(o["state"], "over");
        }
        assert!(!verdict(&ammonia).contains("good"), "{}", verdict(&ammonia));
        has(&ammonia, "tables", "title", "What to do now");
        assert!(verdict(&feed).contains("Do not feed today"), "{}", verdict(&feed));
        assert_eq!(stocking["outputs"]["may_add"], 0.0);
    }
    // A loop without alkalinity stands there, and its test is read.
    for id in ["ammonia", "stocking"] {
        let o = run(id, &json!({ "ph": 5.5 }));
        assert!(!verdict(&o).contains("bear pH"), "{}", verdict(&o));
    }
    let sour = run("ammonia", &json!({ "ph": 5.5, "tan": "2 mg/L" }));
    assert!(verdict(&sour).contains("Total ammonia nitrogen is 2 mg/L"), "{}", verdict(&sour));
}

#[test]
fn an_air_pump_that_gives_nothing_is_no_air() {
    let weak = json!({ "air": "pump", "most_depth": "1 m", "air_depth": "1.1 m", "count": 8, "filter_age": "400 day" });
    let o = run("stocking", &weak);
    has(&o, "cautions", "text", "the air pump delivers nothing");
    has(&o, "repairs", "title", "Hang the stones 0.4 m deep");
    let none = json!({ "air": "none", "count": 8, "filter_age": "400 day" });
    assert_eq!(o["outputs"]["by_space"], run("stocking", &none)["outputs"]["by_space"]);
}

#[test]
fn an_empty_tank_that_carries_none_is_not_full() {
    let o = run("stocking", &json!({ "count": 0, "filter": "none" }));
    assert_eq!(verdict(&o), "It carries none; there is no filter for the ammonia.");
}

#[test]
fn what_an_outlet_cannot_carry_is_no_matter_of_the_sump() {
    let o = run("levels", &json!({ "flow": "12000 L/h", "tanks": [{ "pipe": "pvc_40" }] }));
    assert!(verdict(&o).starts_with("The outlet of tank 1 does not carry"), "{}", verdict(&o));
    has(&o, "cautions", "text", "it spills first");
    assert!(texts(&o, "repairs", "title").iter().all(|t| t.contains("as outlet of tank 1")), "{o}");
    assert!(!verdict(&run("levels", &json!({}))).contains("does not carry"));
}

/// From the report of a tank with hardly any fish: what just does, and what is unfed, are said as people would.
#[test]
fn nothing_is_not_a_number_that_just_does() {
    let fish = json!([{ "by": "weight", "biomass": "10 g", "mass": "50 g" }]);
    let o = run("oxygen", &json!({ "fish": fish }));
    assert!(texts(&o, "notes", "").iter().all(|t| !t.contains("would just do")), "{o}");
    for volume in 1..30 {
        let fish = json!([{ "by": "weight", "biomass": format!("{} g", 40 * volume), "mass": "250 g" }]);
        let said = verdict(&run("oxygen", &json!({ "fish": fish, "volume": "3000 L" })));
        assert!(!said.contains("have stays") && !said.contains("and stays above unfed"), "{said}");
    }
}

#[test]
fn a_start_without_a_filter_or_in_sour_water_says_so() {
    let bare = run("startup", &json!({ "media": "0 L" }));
    assert!(texts(&bare, "notes", "").iter().all(|t| !t.contains("it may get")), "{bare}");
    let sour = run("startup", &json!({ "ph": 5, "tan": 0, "nitrite": 0, "feed": 0 }));
    assert!(verdict(&sour).contains("add no fish"), "{}", verdict(&sour));
    has(&sour, "cautions", "text", "Fish bear pH 5 to 9");
}

#[test]
fn a_bed_beside_water_from_elsewhere_is_named() {
    let o = run("oxygen", &json!({ "filter": "apart", "inlet": "saturated" }));
    has(&o, "cautions", "text", "does not come back from the bed");
    let own = run("oxygen", &json!({ "limits": "own", "floor": "4 mg/L", "stop": "6 mg/L" }));
    assert_eq!(own["outputs"]["stop"], own["outputs"]["floor"]);
}

/// What decides is listed, however little is left to carry it at one end.
#[test]
fn what_takes_all_away_is_measured_first() {
    let mut sheet = (calculators::by_id("drain").expect("drain").sheet)();
    let input = json!({ "flow": "150 L/h", "hole_depth": "45 mm" });
    sheet.read(input.as_object().expect("an object"), System::Metric).expect("reads");
    let all = calculators::ranking::rank(&*sheet, &|_| true);
    let freeboard = all.iter().find(|i| i.path == "freeboard").expect("the freeboard");
    assert!(freeboard.words(System::Metric).ends_with("past all bounds"), "{}", freeboard.words(System::Metric));
}

/// Emerson et al. 1975: at pH 8 and 25 °C 5.37 % of the ammonia is un-ionised, of 6 mg/L 0.32. Travel water comes to that pH whatever the other water's
/// is, once its carbon dioxide has left: it is not opened for long, nor dripped into.
#[test]
fn travel_water_is_not_opened_for_long() {
    let bag = json!({ "job": "move", "container": "20 L", "temperature": "25 C", "ph": 6.6, "new_temperature": "25 C", "new_ph": 7.0,
        "tan": "6 mg/L", "planned": "24 h", "chlorine": 0 });
    let o = run("change", &bag);
    let poison = o["outputs"]["unionised"].as_f64().expect("ammonia") * 1e3;
    assert!((poison - 0.322).abs() < 0.001, "{poison}");
    assert_eq!((o["levels"][0]["id"].as_str(), level(&o, "unionised").as_str()), (Some("unionised"), "over"));
    assert!(verdict(&o).starts_with("Do not mix the waters. Open the bag only to net them out"), "{}", verdict(&o));
    has(&o, "repairs", "title", "Net them into clean water of their own temperature and pH first");
    assert!(!texts(&o, "notes", "").iter().any(|n| n.contains("of the other water into the drum")));
    // Near enough otherwise, as trout from 5 °C and pH 7 to 7.05.
    let trout = json!({ "job": "move", "species": "trout", "temperature": "5 C", "ph": 7, "new_temperature": "5 C", "new_ph": 7.05,
        "tan": "12 mg/L", "chlorine": 0 });
    let o = run("change", &trout);
    assert!(
        verdict(&o).ends_with("Float the bag closed for a quarter of an hour, then net them across."),
        "{}",
        verdict(&o)
    );
}

/// Water with air has no carbon dioxide to lose: it is judged as it is, at the higher pH of the two, and its air is never spoken against, for without it
/// they die within the hour. Emerson et al. 1975: at pH 7 and 26 °C 0.605 % of 1 mg/L.
#[test]
fn an_open_drum_keeps_its_air() {
    let drum = |ph: f64, new_ph: f64, tan: &str| {
        run(
            "change",
            &json!({ "job": "move", "kept": "open", "tan": tan, "ph": ph, "new_ph": new_ph, "temperature": "26 C", "new_temperature": "26 C",
            "chlorine": 0, "planned": "30 h" }),
        )
    };
    let o = drum(6.4, 7.0, "1 mg/L");
    let poison = o["outputs"]["unionised"].as_f64().expect("ammonia") * 1e3;
    assert!((poison - 0.00605).abs() < 5e-5, "{poison}");
    assert!(level(&o, "unionised") == "enough" && verdict(&o).starts_with("Spread it over 24 h"), "{}", verdict(&o));
    for o in [drum(7.0, 8.2, "3 mg/L"), drum(8.4, 8.4, "6 mg/L"), drum(7.0, 10.0, "6 mg/L")] {
        assert_eq!(level(&o, "unionised"), "over");
        assert!(verdict(&o).contains("Keep the air on") && !verdict(&o).contains("bag"), "{}", verdict(&o));
    }
    // What is above pH 8 already stays there, in a bag too.
    let bag = run(
        "change",
        &json!({ "job": "move", "ph": 8.6, "new_ph": 8.5, "temperature": "26 C", "new_temperature": "26 C", "tan": "0.5 mg/L" }),
    );
    assert_eq!(level(&bag, "unionised"), "over");
}

/// Monochloramine of 4 mg/L leaves 0.79 mg/L of ammonia nitrogen (14.007/70.906): at pH 8.7 and 25 °C 22 % of it is un-ionised, three times what they
/// bear. New water that brings 0.59 mg/L cannot bring it to 0.5.
#[test]
fn ammonia_out_of_chloramine_counts() {
    let tap = |chloramine: &str| {
        json!({ "job": "move", "tan": 0, "chloramine": chloramine, "chlorine": "4 mg/L", "ph": 8.6, "new_ph": 8.7, "temperature": "25 C",
            "new_temperature": "25 C" })
    };
    let o = run("change", &tap("yes"));
    assert_eq!((o["levels"][0]["id"].as_str(), level(&o, "chloramine").as_str()), (Some("chloramine"), "over"));
    assert!(
        (o["levels"][0]["demand"][1].as_f64().expect("ammonia") / 0.177e-3 - 1.0).abs() < 0.02,
        "{}",
        o["levels"][0]
    );
    assert!(verdict(&o).starts_with("Do not move them there yet: the other water holds 0.79"), "{}", verdict(&o));
    assert!(!verdict(&o).contains("let them go"), "{}", verdict(&o));
    has(&o, "repairs", "title", "without chloramine");
    assert!(verdict(&run("change", &tap("no"))).contains("let them go"));
    let change = |target: &str, new: &str, reading: &str| {
        verdict(&run(
            "change",
            &json!({ "reading": reading, "new_reading": new, "target": target, "chloramine": "yes", "chlorine": "3 mg/L" }),
        ))
    };
    let never = "brings 0.593 mg/L of it out of its chloramine: new water alone cannot bring it there.";
    assert!(change("0.5 mg/L", "0", "3 mg/L").contains(never), "{}", change("0.5 mg/L", "0", "3 mg/L"));
    // Seven sixths of the way: 0.593 + (3 - 0.593) (5/6)^7.
    assert!(
        change("1 mg/L", "0", "3 mg/L").contains("7 changes")
            && change("1 mg/L", "0", "3 mg/L").contains("so many changes leave 1.26 mg/L")
    );
    // What the kit has read in it is no more than that, and nitrate is none of it.
    assert!(
        !change("1 mg/L", "0.7 mg/L", "3 mg/L").contains("chloramine")
            && !change("80 mg/L", "10 mg/L", "120 mg/L").contains("chloramine")
    );
}

/// Between the sea and fresh water: Marino et al. 1994 lost all fry of sea bass at once, and a tenth over 17 days. Within the salt of blood it is no step.
#[test]
fn a_step_of_salt_is_a_step() {
    let sea = |from: &str, to: &str| {
        let near = json!({ "job": "move", "species": "barramundi", "temperature": "28 C", "new_temperature": "28 C", "ph": 8, "new_ph": 8,
            "planned": "0.25 h", "chlorine": 0, "left_salt": from, "new_salt": to });
        run("change", &near)
    };
    let o = sea("30 g/L", "0");
    assert_eq!(verdict(&o), "Spread it over 17 days or more. The salt sets it: 30 g/L apart.");
    assert_eq!((o["state"].as_str(), level(&o, "spread").as_str()), (Some("over"), "over"));
    has(&o, "cautions", "text", "over 17 days nearly nine in ten lived");
    has(&o, "repairs", "title", "Bring the other water to their salt first");
    // Eighteen parts, one a day from the first on, and no drum of fifty days.
    has(&o, "notes", "", "one part in 18 of it first, then one in 17");
    // What is offered for two levels is offered once.
    let twice =
        run("change", &json!({ "job": "move", "new_salt": "12 g/L", "new_temperature": "25 C", "chlorine": 0 }));
    let salted = texts(&twice, "repairs", "title").iter().filter(|t| t.contains("their salt first")).count();
    assert_eq!(salted, 1, "{}", twice["repairs"]);
    for (from, to) in [("0", "0"), ("8 g/L", "0"), ("35 g/L", "12 g/L")] {
        let o = sea(from, to);
        assert!(verdict(&o).starts_with("The two waters are near enough, in salt too"), "{from} {to}: {}", verdict(&o));
        assert_eq!(level(&o, "spread"), "enough");
    }
    // Fish of fresh water are not put into the sea, and not held in it.
    for input in [
        json!({ "job": "move", "new_temperature": "25 C", "new_salt": "30 g/L" }),
        json!({ "job": "hold", "salinity": "30 g/L" }),
    ] {
        let o = run("change", &input);
        assert_eq!((o["levels"][0]["id"].as_str(), level(&o, "salt").as_str()), (Some("salt"), "over"), "{input}");
        assert!(verdict(&o).contains("Nile tilapia can take 9 g/L of salt at most"), "{}", verdict(&o));
    }
}

/// SRAC Publication 283: tilapia that are handled below 65 °F, 18.3 °C, die of disease in the days after; jade perch did at 17.
#[test]
fn no_fish_is_netted_into_the_cold() {
    for (species, from, to) in
        [("tilapia", "26 C", "17 C"), ("jade_perch", "28 C", "17 C"), ("tilapia", "17 C", "26 C")]
    {
        let o = run(
            "change",
            &json!({ "job": "move", "species": species, "temperature": from, "new_temperature": to, "new_ph": 7.0,
            "planned": "10 h", "chlorine": 0 }),
        );
        assert_eq!(
            (o["levels"][0]["id"].as_str(), level(&o, "netted").as_str()),
            (Some("netted"), "over"),
            "{species}"
        );
        assert!(verdict(&o).starts_with("Do not net, grade, weigh or move"), "{}", verdict(&o));
    }
    let held = run("change", &json!({ "job": "hold", "temperature": "17 C" }));
    assert_eq!((held["levels"][0]["id"].as_str(), level(&held, "netted").as_str()), (Some("netted"), "over"));
    assert!(verdict(&held).starts_with("Do not net, grade, weigh or move"), "{}", verdict(&held));
    has(&held, "repairs", "title", "Leave them alone until their water is at 18.5 °C");
    let cut = |species: &str, t: &str| run("outage", &json!({ "species": species, "temperature": t }));
    for (species, t) in [("tilapia", "16 C"), ("jade_perch", "14 C")] {
        let o = cut(species, t);
        has(&o, "cautions", "text", "many die of disease in the days after");
        assert!(o["tables"][0].to_string().contains("only then take fish out"), "{o}");
    }
    assert!(!cut("tilapia", "26 C")["tables"][0].to_string().contains("only then"));
    let stock = run("stocking", &json!({ "usual": "17 C", "hottest": "26 C" }));
    has(&stock, "cautions", "text", "Do not net, grade, weigh or move Nile tilapia in water below 18.3 °C");
}

/// What a bag evens out while it floats is not spread, a rounding least of all; the time told is the careful one; nothing is dripped in where nothing is spread.
#[test]
fn waters_that_are_near_are_near() {
    for (ph, new_ph) in [(6.6, 6.7), (7.2, 7.25), (7.6, 7.4)] {
        let near = json!({ "job": "move", "ph": ph, "new_ph": new_ph, "new_temperature": "25 C", "chlorine": 0 });
        let o = run("change", &near);
        assert!(verdict(&o).starts_with("The two waters are near enough"), "{}", verdict(&o));
        assert!(!texts(&o, "notes", "").iter().any(|n| n.contains("into the drum")), "{o}");
        assert_eq!(o["pictures"].as_array().map_or(0, Vec::len), 0);
    }
    let o = run("change", &json!({ "job": "move", "new_ph": 7, "new_temperature": "34 C", "chlorine": 0 }));
    assert!(verdict(&o).starts_with("Spread it over 6.22 h or more. The temperature sets it: 9 "), "{}", verdict(&o));
}

/// Unfed fish give off ammonia by the oxygen that they take: small ones in warm water more.
#[test]
fn small_warm_fish_foul_a_drum_unfed() {
    let drum = |species: &str, grams: &str, t: &str, ph: f64, hours: &str| {
        let input = json!({ "job": "hold", "species": species, "fish": "2 kg", "mass": grams, "container": "60 L", "temperature": t, "ph": ph,
            "hours": hours, "air": "60 L/min", "oxygen": "7.5 mg/L", "fed": "fasted" });
        run("change", &input)
    };
    for (species, t, ph) in [("carp", "24 C", 7.8), ("tilapia", "28 C", 8.0), ("tilapia", "28 C", 7.6)] {
        let o = drum(species, "5 g", t, ph, "12 h");
        assert_eq!(level(&o, "unionised"), "over", "{species} {ph}");
        assert!(verdict(&o).starts_with("Their ammonia poisons them"), "{}", verdict(&o));
        // A seventh of the tilapia in a drum is no repair where a shorter way is one.
        let few = texts(&o, "repairs", "title").iter().any(|t| t.contains("of fish in a drum"));
        assert_eq!(few, species == "carp", "{species} {ph}");
        has(&o, "repairs", "title", "No longer than");
    }
    assert_eq!(level(&drum("tilapia", "5 g", "28 C", 8.0, "6 h"), "unionised"), "over");
    // Twice and six times what they bear for long they bear for a morning.
    // The air of the drum brings either to pH 8, which leaves less time than 7.6 would.
    for (species, t, ph, time) in [("carp", "24 C", 7.8, "6 h"), ("tilapia", "28 C", 7.6, "3 h")] {
        let o = drum(species, "5 g", t, ph, time);
        assert_eq!(level(&o, "unionised"), "enough", "{species} {ph}");
        assert!(verdict(&o).contains("they can take that for some hours, no more"), "{}", verdict(&o));
    }
    let trout = drum("trout", "250 g", "10 C", 7.2, "4 h");
    assert!(level(&trout, "unionised") == "enough" && !verdict(&trout).contains("un-ionised"));
    // Want of oxygen is told before the ammonia.
    let o = run("change", &json!({ "job": "hold", "fish": "12 kg", "hours": "40 h", "ph": 8.2, "air": 0 }));
    let at = |part: &str| verdict(&o).find(part).unwrap_or_else(|| panic!("{}", verdict(&o)));
    assert!(at("oxygen does not last") < at("ammonia poisons them"));
    assert_eq!(o["levels"][0]["id"], "oxygen");
}

/// A bag holds oxygen over its water, which is not counted and said not to be; its end is carbon dioxide, where no air is on: 40 mg/L for hours.
#[test]
fn a_bag_is_no_drum() {
    let bag = json!({ "job": "hold", "container": "10 L", "fish": "0.3 kg", "mass": "2 g", "hours": "12 h", "air": 0, "oxygen": "20 mg/L", "ph": 7.2 });
    let o = run("change", &bag);
    assert!(verdict(&o).contains("A bag filled with oxygen is not counted here"), "{}", verdict(&o));
    assert_eq!(level(&o, "carbon_dioxide"), "over");
    let rich = run(
        "change",
        &json!({ "job": "hold", "air": 0, "oxygen": "40 mg/L", "fish": "3 kg", "hours": "4 h", "ph": 6.8 }),
    );
    assert_eq!(
        (rich["levels"][0]["id"].as_str(), level(&rich, "carbon_dioxide").as_str()),
        (Some("carbon_dioxide"), "over")
    );
    assert!(verdict(&rich).contains("of carbon dioxide, and without air it stays"), "{}", verdict(&rich));
    has(&rich, "repairs", "title", "No longer than");
    let aired = run("change", &json!({ "job": "hold" }));
    assert!(
        !verdict(&aired).contains("bag")
            && aired["levels"].as_array().is_some_and(|l| l.iter().all(|l| l["id"] != "carbon_dioxide"))
    );
}

/// A car and a flame kill like a generator; wet hands are spoken of; blankets are no use at the hour of death.
#[test]
fn a_power_cut_kills_people_too() {
    let o = run("outage", &json!({}));
    for said in [
        "Carbon monoxide kills people: a generator or a car runs outdoors only",
        "no flame heats a closed room",
        "residual-current",
    ] {
        has(&o, "cautions", "text", said);
    }
    let input = json!({ "fish": "6 kg", "temperature": "20 C", "around": "-5 C", "cut": "10 h", "last": "day", "oxygen": "7 mg/L",
        "feed": "60 g/day", "battery": "yes", "air": "40 L/min" });
    let o = run("outage", &input);
    let rows = o["tables"][0]["rows"].as_array().expect("rows");
    let at = |what: &str| rows.iter().position(|r| r[1].as_str().is_some_and(|t| t.contains(what))).expect("a row");
    assert_eq!(rows[at("blankets")][0], "At once, after the air");
    assert!(at("air pump on") < at("blankets") && at("blankets") < at("The water pump"));
    let warm = run("outage", &json!({ "around": "0 C", "cut": "1 h" }));
    assert!(warm["tables"][0].to_string().contains("If it lasts longer"), "{}", warm["tables"][0]);
}

/// Trout live under ice: 900 L that freeze take days. A hole in the ice is what they want.
#[test]
fn trout_do_not_die_at_the_freezing_point() {
    let input = json!({ "species": "trout", "fish": "3 kg", "temperature": "2 C", "around": "-8 C", "cut": "10 h", "battery": "yes",
        "air": "15 L/min", "capacity": "500 Wh", "usable": 0.8, "oxygen": "12 mg/L", "feed": "10 g/day" });
    let o = run("outage", &input);
    assert!(o["outputs"]["cold"].is_null() && !verdict(&o).contains("cold that they die"), "{}", verdict(&o));
    assert!(verdict(&o).ends_with("brings in no air: keep a hole open, and air in the water."), "{}", verdict(&o));
    has(&o, "cautions", "text", "never break it by blows");
    assert_eq!(o["tables"][0]["rows"][2], json!(["At once", "Keep a hole open in the ice; never break it by blows"]));
    let mild = run("outage", &json!({ "species": "trout", "temperature": "2 C", "around": "3 C" }));
    assert!(!verdict(&mild).contains("freeze over"));
}

/// FAO X0086E: carp winter for five months under ice; Currie et al. 2004: channel catfish used to 20 to 30 °C lose their balance at 6.1 to 6.6. SEAFWA
/// proceedings 1967: those used to 26 °C died at 36.6. Who is told that they die moves or warms fish that should be left alone.
#[test]
fn carp_and_catfish_live_through_a_winter_and_a_summer() {
    for (page, input) in [
        ("oxygen", json!({ "temperature": "3 C", "fish": [{ "species": "carp" }] })),
        ("feed", json!({ "species": "catfish", "temperature": "4 C" })),
        ("stocking", json!({ "species": "catfish", "hottest": "33.5 C" })),
        (
            "outage",
            json!({ "species": "carp", "temperature": "3 C", "around": "1 C", "feed": "0 g/day", "oxygen": "11 mg/L" }),
        ),
    ] {
        let o = run(page, &input);
        assert!(!verdict(&o).contains(" die ") && !o["cautions"].to_string().contains(" die "), "{page}: {o}");
    }
    let to = |c: &str| {
        let input = json!({ "job": "move", "species": "catfish", "temperature": "26 C", "new_temperature": c, "tan": "0 mg/L" });
        run("change", &input)
    };
    let fall = verdict(&to("6 C"));
    assert!(fall.contains("Used to 26 °C, channel catfish die below 7.2 °C if it comes within days"), "{fall}");
    has(&to("4.5 C"), "cautions", "text", "Leave them alone");
    assert!(!verdict(&to("9 C")).contains("Used to"));
}

/// Water that is too cold or too hot to feed in does not hide readings that kill.
#[test]
fn deadly_readings_stand_before_the_appetite() {
    let bad = json!({ "temperature": "16 C", "readings": "yes", "oxygen": "0.8 mg/L", "tan": "6 mg/L", "ph": 8.8,
        "nitrite": "6 mg/L", "chloride": "5 mg/L" });
    let o = run("feed", &bad);
    let said = verdict(&o);
    assert!(said.starts_with("Give air now: ") && said.contains("ammonia and nitrite are past"), "{said}");
    assert!(said.contains("fed only above 17 °C") && said.matches("Do not feed").count() == 1, "{said}");
    let titles = texts(&o, "repairs", "title");
    assert!(titles.len() == 3 && titles[2].starts_with("Water at"), "{titles:?}");
    let hot = json!({ "species": "trout", "temperature": "23 C", "readings": "yes", "oxygen": "1.5 mg/L" });
    let said = verdict(&run("feed", &hot));
    assert!(said.starts_with("Give air now: rainbow trout want") && said.contains("only below 21 °C"), "{said}");
    let good = json!({ "temperature": "16 C", "readings": "yes" });
    assert!(verdict(&run("feed", &good)).starts_with("Do not feed. The water is 16 °C"));
}

/// Currie et al. 1998, 2004: channel catfish used to 20 to 30 °C lose their balance at 6.1 to 6.6 when it comes within days. A change comes within
/// minutes; the slow limit of a winter, 1 °C, is none for it.
#[test]
fn a_change_is_a_sudden_fall() {
    let to = |species: &str, from: &str, new: &str| {
        run(
            "change",
            &json!({ "job": "change", "species": species, "temperature": from, "new_temperature": new, "change": "800 L",
            "chlorine": 0 }),
        )
    };
    for species in ["catfish", "carp"] {
        let o = to(species, "25 C", "3 C");
        assert!(
            verdict(&o).contains(" die: a change takes it to 5.44 °C, and used to 25 °C they live from 6.5"),
            "{o}"
        );
        assert!(o["levels"][0]["id"] == "warmth" && o["state"] == "over", "{o}");
        // Used to cold water they bear as cold a change.
        assert!(!verdict(&to(species, "7 C", "5 C")).contains(" die"), "{species}");
    }
}

/// Benson & Krause 1984: fresh water of 25 °C holds 8.26 mg/L. Bubbles take what is above that out of it at once.
#[test]
fn a_drum_counts_no_more_oxygen_than_water_holds() {
    let with = |oxygen: &str, air: &str| run("change", &json!({ "job": "hold", "oxygen": oxygen, "air": air }));
    let stop = |o: &Value| o["outputs"]["stop_low"].as_f64().expect("a time");
    let (full, over) = (with("8.26 mg/L", "15 L/min"), with("20 mg/L", "15 L/min"));
    assert!((stop(&over) / stop(&full) - 1.0).abs() < 2e-3, "{over}");
    has(&over, "cautions", "text", "above the 8.26 mg/L that water holds here, and counts as that");
    assert!(!with("8.2 mg/L", "15 L/min")["cautions"].to_string().contains("counts"));
    // A closed drum without air keeps it, and that is said.
    let closed = with("20 mg/L", "0 L/min");
    assert!(stop(&closed) > stop(&over) * 2.0);
    has(&closed, "cautions", "text", "counts only while the drum stays closed");
}

/// Goolish & Adelman 1984: carp grow fastest near 30 °C, so at 27 they eat more than at 20, and nobody should cut that again.
#[test]
fn a_ration_in_warm_water_is_not_cut_twice() {
    let at = |t: &str| run("feed", &json!({ "species": "carp", "mass": "800 g", "target": "1 kg", "temperature": t }));
    let (warm, cool) = (at("27.1 C"), at("20 C"));
    assert!(warm["outputs"]["feed"].as_f64() > cool["outputs"]["feed"].as_f64());
    assert!(verdict(&warm).ends_with("rather warm: no more than that.") && !verdict(&warm).contains("feed less"));
    let catfish = verdict(&run("feed", &json!({ "species": "catfish", "temperature": "32 C" })));
    assert!(catfish.starts_with("Feed "), "{catfish}");
}

/// 2.2 m² × 0.21 m × 0.40 of pores are 185 L: a tank of 150 L has not so much.
#[test]
fn a_flood_that_empties_the_tank_stands_first() {
    let o = run("bed", &json!({ "tank": "150 L" }));
    let said = verdict(&o);
    assert!(
        said.starts_with("A flood takes 185 L, and the fish tank holds 150 L: without a sump it runs dry."),
        "{said}"
    );
    assert!(o["levels"][0]["id"] == "flood" && o["state"] == "over", "{o}");
    has(&o, "repairs", "title", "240 L of water in fish tanks and sump");
    has(&o, "repairs", "title", "A flood of 130 mm");
    let usual = run("bed", &json!({}));
    assert!(usual["levels"][0]["id"] == "bed" && !verdict(&usual).contains("flood"), "{usual}");
    assert!(run("bed", &json!({ "method": "raft", "tank": "150 L" }))["levels"].to_string().find("flood").is_none());
}

/// The goal that a plan opens with is one that its own first values reach, in either unit: none is rounded out of what its crop bears.
#[test]
fn a_plan_opens_with_enough_in_either_unit() {
    for unit in [System::Metric, System::Us] {
        let goal = Work::born(Paper::goal(Default::default()), unit);
        let planned = system::plan::plan(goal.goal().expect("a goal"), unit.into()).expect("is planned");
        let short: Vec<_> = planned.levels.iter().filter(|l| l.level.state() != State::Enough).collect();
        assert!(short.is_empty(), "{unit:?}: {short:?}");
    }
}

/// The label of a dechlorinator is for one strength of chlorine: of twice as much the same product treats half the water. Read the other way round,
/// half the dose would be given and chlorine left for the fish.
#[test]
fn a_label_treats_half_the_water_at_twice_the_chlorine() {
    let product = |water: &str| {
        let o = run("change", &json!({ "remover": "label", "label_water": water }));
        o["outputs"]["product"].as_f64().expect("a dose")
    };
    assert!((product("10 L") / product("20 L") - 2.0).abs() < 1e-9);
    // A label is taken as good for 2 mg/L: for 4 mg/L twice as much of the product goes in.
    let with = |chlorine: &str| {
        let o = run("change", &json!({ "remover": "label", "chlorine": chlorine }));
        o["outputs"]["product"].as_f64().expect("a dose")
    };
    assert!((with("4 mg/L") / with("2 mg/L") - 2.0).abs() < 1e-9);
    assert!((with("1 mg/L") / with("2 mg/L") - 1.0).abs() < 1e-9);
}

/// One list is in one unit, and a meal in that of the day; a sentence about nothing is not written; what follows a semicolon begins small.
#[test]
fn numbers_are_said_as_people_say_them() {
    let dose = json!({ "job": "dose", "ph": 4.5, "alkalinity": "0 mg/L" });
    let said = verdict(&run_in(System::Us, "change", &dose));
    assert!(said.contains("not alike: 3.37 g, 4.87 g, 8.51 g, 15.9 g, 30.3 g, 58 g."), "{said}");
    let said = verdict(&run("feed", &json!({ "count": 900, "mass": "300 g" })));
    assert!(said.starts_with("Feed ") && said.contains(" kg today, in 2 meals of ") && !said.contains(" g,"), "{said}");
    let grown = run("running", &json!({ "feed": "122 g/day" }));
    has(&grown, "notes", "", "for which 6 young fish have to be stocked");
    let warm = run("heat", &json!({ "from": "32 C" }));
    assert!(texts(&warm, "notes", "").iter().all(|n| !n.contains("Warming it up")), "{warm}");
    let unfed = run("ammonia", &json!({ "feed": 0.0 }));
    assert!(texts(&unfed, "notes", "").iter().all(|n| !n.contains("is enough.")), "{unfed}");
    let bare = json!({ "ph": 10, "alkalinity": "0 mg/L" });
    has(&run("ammonia", &bare), "repairs", "title", "a day; then once the ammonia is down, ");
    let far = json!({ "job": "move", "new_ph": 8.9, "new_temperature": "25 C", "chlorine": 0.0 });
    has(&run("change", &far), "repairs", "title", "Take 7 days, in a tank of their own");
}

/// What goes with a repair is a sentence on every page.
#[test]
fn what_goes_with_a_repair_is_a_sentence() {
    let near = [
        ("stocking", json!({ "count": 200, "solids": "left" })),
        ("oxygen", json!({})),
        ("oxygen", json!({ "temperature": "34 C", "flow": "500 L/h" })),
        ("pump", json!({ "wanted": "9000 L/h" })),
        ("bed", json!({ "area": "20 m2" })),
        ("drain", json!({ "flow": "9000 L/h" })),
        ("ammonia", json!({ "tan": "9 mg/L", "nitrite": "9 mg/L" })),
        ("change", json!({ "job": "hold", "fish": "40 kg" })),
    ];
    let mut seen = 0;
    for (page, input) in near {
        for also in run(page, &input)["repairs"].as_array().expect("a list").iter().filter_map(|r| r["also"].as_str()) {
            assert!(also.ends_with('.') && also.starts_with(|c: char| c.is_uppercase()), "{page}: {also}");
            seen += 1;
        }
    }
    assert!(seen > 10, "{seen}");
}

/// What harms people and fish where somebody builds with what is at hand stands where it is built.
#[test]
fn metals_containers_children_and_rain_are_cautioned() {
    let said = |page: &str, input: &Value| texts(&run(page, input), "cautions", "text").join(" ");
    for page in ["stocking", "heat", "levels", "drain"] {
        let found = said(page, &json!({}));
        let all = ["copper, brass or galvanised steel", "oil, solvents or pesticides", "Small children drown"];
        assert!(all.iter().all(|a| found.contains(a)), "{page}: {found}");
    }
    let pump = |pipe: &str| said("pump", &json!({ "pipe": pipe }));
    assert!(pump("other").contains("Copper, brass and zinc") && !pump("pvc_32").contains("Copper, brass and zinc"));
    // 10 mm on 2 m2 are 20 L; indoors it does not rain.
    let heat = |place: &str| said("heat", &json!({ "place": place, "surface": "2 m2" }));
    assert!(heat("sky").contains("each 10 mm of rain on 2 m² of open water and beds is 20 L more"), "{}", heat("sky"));
    assert!(!heat("room").contains("of rain"));
    assert!(said("levels", &json!({})).contains("If it stands under the open sky, each 10 mm of rain on"));
}

/// How a transfer is tested is said only where one is entered that was.
#[test]
fn an_aerators_test_is_cautioned_where_one_is_rated() {
    let said = |mode: &str| texts(&run("oxygen", &json!({ "air": mode })), "cautions", "text").join(" ");
    assert!(said("rated").contains("Never do that to water with fish in it"), "{}", said("rated"));
    assert!(!said("stones").contains("Never do that"));
}
