//! The verdict of a system: what it is about, and its sentences.

use super::cautions::uneven;
use super::chain::{Breath, NOW, carried, fish_of, pumps_of, safe, spills, stands, surging};
use super::plain::{over_too, plain};
use super::{Checked, count, unfit};
use crate::calculators::deadly::{Deadly, salt_borne};
use crate::calculators::outcome::{Level, State};
use crate::science::plants;
use crate::system::check::{self, Day, Solved};
use crate::system::document::Document;
use crate::system::flow::{self, StationKind, Ways};
use crate::system::worst::{SUFFOCATE, TODAY, inside, of_plants, while_poisonous};
use crate::system::{growing, level, quality};
use crate::units::{kinds::*, *};

/// What harms fish comes before hungry plants, and what is fullest before the rest.
pub(super) fn subject(breath: &Breath<'_>) -> Option<usize> {
    let levels = breath.levels;
    let of = |s: State, plants: bool| levels.iter().position(|l| l.level.state() == s && of_plants(&l.level) == plants);
    let order = [(State::Over, false), (State::Over, true), (State::Tight, false)];
    let first = order.into_iter().find_map(|(s, p)| of(s, p)).or((!levels.is_empty()).then_some(0))?;
    // An outlet that spills is where it begins for its tank; not where they lack oxygen today, by a reading or with all that is set to come.
    let l = &levels[first];
    let led = matches!(l.level.id.as_ref(), level::OXYGEN | level::TURNOVER) && l.level.state() == State::Over && {
        let tank = &breath.days[0].tanks[breath.ways.stations[l.station].index];
        l.urgency() < TODAY || tank.throttled && tank.oxygen.low_now.is_none()
    };
    let outlet = levels.iter().position(|o| led && o.station == l.station && spills(o));
    Some(outlet.unwrap_or(first))
}

/// Said first of a system without fish.
const NO_FISH: &str = "No fish are in it yet: its water is checked. ";

/// What a verdict is made of.
struct Verdict<'v, 'a> {
    d: &'a Document,
    worst: &'a Solved,
    breath: &'v Breath<'a>,
    w: Words,
    /// While there is poison in the water: what to do now.
    act: String,
    /// What kills the fish besides what the verdict is about, which their breath or the poison of today stands before.
    dies: Option<(&'v Checked, String)>,
    /// Other tanks that are short of oxygen today.
    there: Vec<&'v Checked>,
    /// Crops that the water is none for, and what is not checked.
    unsaid: String,
}

/// One or two plain sentences on all of it, and what they leave out.
pub(super) fn verdict<'a>(
    d: &'a Document,
    worst: &'a Solved,
    breath: &Breath<'a>,
    subject: Option<usize>,
    soon: &str,
    w: Words,
) -> String {
    let (ways, levels) = (breath.ways, breath.levels);
    let mut crops: Vec<String> = vec![];
    for (k, l) in levels.iter().enumerate() {
        let said = crop_words(d, ways, l).filter(|_| subject != Some(k)).map(|s| format!(" {s}."));
        crops.extend(said.filter(|s| !crops.contains(s)));
    }
    let unsaid = crops.concat() + &unsaid(d, ways, !uneven(ways, &worst.flows).is_empty());
    let Some(subject) = subject.map(|k| &levels[k]) else { return "There is nothing to check yet.".into() };
    let act = while_poisonous(levels, &breath.days[0]).map_or(String::new(), |p| format!(" {p}"));
    let first_deadly = levels.iter().find_map(|l| Some((l, format!(" {}", deadly(d, l, w)?))));
    let dies = first_deadly.filter(|(l, _)| !subject.is(l));
    let there = levels.iter().filter(|l| l.urgency() == SUFFOCATE && subject.station != l.station);
    let there = there.collect();
    // Then all that is said is of water alone.
    let empty = if quality::species(d).next().is_some() { "" } else { NO_FISH };
    let v = Verdict { d, worst, breath, w, act, dies, there, unsaid };
    let said = match subject.level.state() {
        _ if spills(subject) => v.of_outlet(subject),
        State::Over => v.of_over(subject),
        State::Tight => {
            let tight =
                || format!("{} is tight{}: {}", subject.level.name, subject.day.when(), subject.level.told(w.system));
            let first = crop_words(d, ways, subject).unwrap_or_else(tight);
            format!("Nothing is over. {first}.{soon}{}", v.unsaid)
        }
        State::Enough => {
            let first = enough(&v.unsaid);
            let fullest = format!("{} is fullest: {}.", subject.level.name, subject.level.told(w.system));
            format!("{first}, on the worst day too.{soon} {fullest}{}", v.unsaid)
        }
    };
    format!("{empty}{said}")
}

impl Verdict<'_, '_> {
    /// Where an outlet spills: what it carries, and for how many fish the water is safe at that.
    fn of_outlet(self, outlet: &Checked) -> String {
        let Self { d, worst, breath, w, act, dies, there, unsaid } = self;
        let ways = breath.ways;
        let (carries, most) = carried(&outlet.level, w);
        let station = &ways.stations[outlet.station];
        let (i, name) = (station.index, station.name);
        let [pumps, are] = pumps_of(ways, outlet.station);
        let surge = surging(d, ways, worst, outlet);
        let first = match &surge {
            Some(beds) => format!(
                "The outlet of {name} spills while the siphon of {beds} runs: it carries {carries} and would have to carry {most}."
            ),
            None => format!(
                "The outlet of {name} spills before {pumps} {are} at full flow: it carries {carries}; {most} may come."
            ),
        };
        let gone = "What it cannot carry goes over the rim, and is missing in the sump.";
        if station.kind != StationKind::Tank {
            return format!("{first} {gone}{act}{unsaid}");
        }
        let throttled = breath.days[0].tanks[i].throttled;
        let so = if throttled { "Throttled to what it can carry" } else { "At the flow as set" };
        let then = match safe(d, breath.of(i, worst), i, "its ") {
            Some((go, then, safe)) => {
                let (wider, go) = (if throttled { "enlarge the outlet, " } else { "" }, count(go));
                let act = match then {
                    NOW => format!("add air{NOW}, {wider}or remove {go}"),
                    _ => format!("{wider}remove {go}{then}, or add air"),
                };
                format!("{first} {so}, the water is safe for {safe}: {act}.")
            }
            None if surge.is_some() => format!("{first} {gone}"),
            None => format!("{first} {so} there is still enough oxygen, but anyone may open the valve."),
        };
        let there = match &stations_of(&there, ways)[..] {
            [] => String::new(),
            there => format!(" Oxygen is short today in {} too: put more air in now.", listed(there)),
        };
        then + &there + &act + &dies.map_or(String::new(), |d| d.1) + &unsaid
    }

    /// Where anything else is over: of what they die, or that level; what to do; and how much more is over.
    fn of_over(self, l: &Checked) -> String {
        let what = deadly(self.d, l, self.w).or_else(|| crop_words(self.d, self.breath.ways, l).map(|c| c + "."));
        // One thing that they die of is enough.
        let dies = self.dies.as_ref().filter(|_| what.is_none());
        let told = |o: &Checked| o.is(l) || self.there.iter().any(|t| t.is(o)) || dies.is_some_and(|d| d.0.is(o));
        let over = self.breath.levels.iter().filter(|o| o.level.state() == State::Over && !told(o));
        // Water on the floor is told whatever is fuller.
        let (spilling, over): (Vec<&Checked>, Vec<&Checked>) = over.partition(|o| o.level.id == level::OUTLET);
        let spills = spilling.first().and_then(|o| plain(&o.level, self.name(o), self.w));
        let over: Vec<&Checked> = spilling.iter().skip(usize::from(spills.is_some())).copied().chain(over).collect();
        let spills = spills.map_or(String::new(), |s| format!(" {s}."));
        let what = what.unwrap_or_else(|| self.stands_over(l));
        let act = if l.urgency() == SUFFOCATE { "" } else { &self.act };
        let dies = dies.map_or("", |d| &d.1);
        format!("{what}{act}{dies}{spills}{}{}", over_too(&over), self.unsaid)
    }

    /// The station of a level.
    fn name(&self, l: &Checked) -> &str {
        self.breath.ways.stations[l.station].name
    }

    /// A level that is over, and what to do at once where the fish lack oxygen today.
    fn stands_over(&self, l: &Checked) -> String {
        let (d, breath) = (self.d, self.breath);
        let (level, when, then) = stands(l, self.w);
        let percent = level.told(self.w.system);
        let first = match plain(level, self.name(l), self.w) {
            Some(said) => format!("{said}{when}: {percent}{then}."),
            None => format!("{} is over{when}: {percent}{then}.", l.level.name),
        };
        if l.urgency() < SUFFOCATE {
            // Harmed, and not yet dying.
            return if l.gasps() { format!("{first} Put more air in now.") } else { first };
        }
        let enough = match fish_of(d, &breath.days[0], breath.ways.stations[l.station].index) {
            (all, safe) if safe < all => format!(" There is enough for {} of {} fish.", count(safe), count(all)),
            _ => String::new(),
        };
        let there = match &stations_of(&self.there, breath.ways)[..] {
            [] => String::new(),
            there => format!(", in {} too", listed(there)),
        };
        let poisons = breath.levels.iter().any(Checked::poisons);
        let down = if poisons { " and the readings of ammonia and nitrite are down" } else { "" };
        format!("{first}{enough} Put more air in now and feed nothing until there is enough{there}{down}.")
    }
}

/// The names of the stations of levels.
fn stations_of(levels: &[&Checked], ways: &Ways<'_>) -> Vec<String> {
    levels.iter().map(|l| ways.stations[l.station].name.into()).collect()
}

/// What the water of its worst day is for a crop, where it is no water for it: no full stop.
fn crop_words(d: &Document, ways: &Ways<'_>, l: &Checked) -> Option<String> {
    if l.level.id != level::ROOTS {
        return None;
    }
    let crop = d.beds[ways.stations[l.station].index].bed.crop;
    let likes = plants::liking(crop, TEMPERATURE.of(l.level.demand.high));
    likes.bad().then(|| format!("{} is {} for {}", sentence(water_of(l.day)), likes.words(), crop.noun))
}

/// Which water a level of a day is of.
const fn water_of(day: Day) -> &'static str {
    match day {
        Day::Coldest => "the coldest water",
        Day::Hottest | Day::Harvest | Day::Group(_) | Day::Aged => "the hottest water",
        Day::Today | Day::Blocked => "the water",
    }
}

/// Of what the fish die, where a level of temperature, salt or pH says so that leads; today's, where they die in that.
fn deadly(d: &Document, l: &Checked, w: Words) -> Option<String> {
    let kills = |l: &Level| l.leads && l.state() == State::Over && l.id != level::OXYGEN;
    let (level, day) = if kills(&l.today) { (&l.today, Day::Today) } else { (&l.level, l.day) };
    let (all, is) = (quality::species(d), level.demand.high);
    let water = match level.id.as_ref() {
        _ if !kills(level) => return None,
        level::SUMMER => "water in the hottest spell",
        _ => water_of(day).trim_start_matches("the "),
    };
    let dies = match l.level.id.as_ref() {
        // The level is that of those who bear least.
        level::SALT => {
            let least = all.min_by(|a, b| salt_borne(a).value.total_cmp(&salt_borne(b).value));
            least.and_then(|s| Deadly::of_salt(s, SALINITY.of(is)))
        }
        level::PH => all.map(|s| Deadly::of_ph(s, RATIO.of(is))).next().flatten(),
        _ => Deadly::worst(all, TEMPERATURE.of(is), SALINITY.of(0.0)),
    };
    Some(sentence(&dies?.advised(water, w)))
}

/// What is enough, where so much is not checked.
pub(in crate::system) fn enough(unsaid: &str) -> &'static str {
    if unsaid.is_empty() { "Enough everywhere" } else { "Enough in all that is checked" }
}

/// [`unsaid`] of a document as its check has it; nothing where it cannot be checked.
pub(in crate::system) fn unsaid_of(d: &Document) -> String {
    let said = |d: &Document| {
        let ways = flow::ways(d).ok()?;
        let today = check::solve_on(d, &ways, Day::Today).ok()?;
        Some(unsaid(d, &ways, !uneven(&ways, &today.flows).is_empty()))
    };
    said(d).unwrap_or_default()
}

/// What decides over the fish and is not checked, because nothing is said of it: a sentence, or nothing.
fn unsaid(d: &Document, ways: &Ways<'_>, uneven: bool) -> String {
    let fed = d.ammonia.is_empty() && quality::species(d).next().is_some();
    // No pump draws from an idle one: another vessel, perhaps a header.
    let idle = |i: usize| !ways.is_drawn(ways.place(StationKind::Sump, i));
    let named = |is: &dyn Fn(usize) -> bool| -> Vec<String> {
        (0..d.sumps.len()).filter(|i| is(*i)).map(|i| d.sumps[i].name.clone()).collect()
    };
    let sumps = named(&|i| d.sumps[i].levels.is_empty() && !idle(i));
    let lets = format!("what runs down out of {} when the pump stops", listed(&named(&idle)));
    let room =
        if d.sumps.len() > 1 { format!("the room in {}", listed(&sumps)) } else { "the room in the sump".into() };
    let crowd = d.stocking.is_empty() && quality::species(d).next().is_some();
    let unread = d.ammonia.iter().any(|a| !a.0.is_read()) && quality::species(d).next().is_some();
    let all = [
        ("the filter", fed),
        ("the readings of a water test", unread),
        (&room, !sumps.is_empty()),
        (&lets, (0..d.sumps.len()).any(idle)),
        ("how many fish the water may hold", crowd),
        ("how pumps that feed one another are kept even", uneven),
        ("how what one pump draws from is kept even", unfit::shares(ways).next().is_some()),
        ("how much a supply pipe that ends under water siphons back", unfit::siphons_back(d, ways).next().is_some()),
    ];
    let what: Vec<_> = all.into_iter().filter(|x| x.1).map(|x| x.0).collect();
    if what.is_empty() {
        String::new()
    } else {
        format!(" Not checked, because nothing is entered: {}.", listed(&what))
    }
}

/// What goes over within weeks as the fish grow, after a space; empty where nothing does.
pub(super) fn soon(d: &Document, w: Words) -> String {
    let Some(c) = growing::soon(d) else { return String::new() };
    let whole = DAYS.of(si::days((c.time.value / si::days(1.0)).floor()));
    let when = match whole.value > 0.0 {
        true => format!("in {}", w.q(DAYS, whole)),
        false => "within a day".into(),
    };
    // So short that it stays in sight behind the first sentence; more of it is told where the growing fish are followed.
    format!(" But as the fish grow, {} goes over {when}{}.", inside(&c.level.level.name), c.level.day.when())
}
