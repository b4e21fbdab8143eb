//! What is said of a document and does not fit the rest of it: it is counted otherwise, and that is told.

use crate::calculators::outcome::Caution;
use crate::calculators::oxygen::{FeedBy, Filter, Inlet};
use crate::calculators::pump::Ends;
use crate::system::check;
use crate::system::document::{self, Document, FilterAt, Tank};
use crate::system::flow::{StationKind, Ways};
use crate::units::{kinds::*, *};

/// Medium that is this much more than its vessel holds is no rounding.
const FITS: f64 = 1.05;
/// Feed of the hottest water past so many times today's is told.
const MORE_FED: f64 = 1.05;

pub(super) fn unfit(d: &Document, w: Words) -> Vec<Caution> {
    let mut all = vec![];
    for t in &d.tanks {
        let (name, o) = (&t.name, &t.oxygen);
        let hot = check::weighed_in(d, o, &o.fish, d.water.hottest);
        if o.feed_by == FeedBy::Weighed && t.fish() > 0.0 && hot.value > o.feed.value * MORE_FED {
            let [today, hot] = [o.feed, hot].map(|x| w.q(FEED_RATE, x));
            all.push(Caution::new(format!(
                "{name}: the {today} that is weighed out is counted as today’s. In the hottest water {hot} is counted, for the tables give such fish as much more there."
            )));
        }
        let inlet = match o.inlet {
            Inlet::Loop => None,
            Inlet::Given => Some(
                "what was measured there counts today, and no further than water holds; on other days it is worked out",
            ),
            Inlet::Saturated => Some("so what it brings is worked out"),
        };
        all.extend(inlet.map(|counts| {
            Caution::new(format!(
                "{name}: its water is said to come from elsewhere, but it is pumped from this system’s own stations: {counts}."
            ))
        }));
        if o.filter == Filter::Without && check::filtered(d) {
            all.push(Caution::new(format!(
                "{name}: “No filter in this water” is not counted, for there is one in the same loop. Its bacteria and the solids breathe what that water brings."
            )));
        }
    }
    all.extend(too_much(d, w));
    all
}

/// Medium of the filter that what it stands in cannot hold.
fn too_much(d: &Document, w: Words) -> Option<Caution> {
    let document::Ammonia(filter, at) = d.ammonia.first()?;
    let settlers = || d.settlers.iter().map(|s| (s.surface() * s.settling.count * s.settling.depth).value).sum::<f64>();
    let known = d.sumps.iter().all(|s| !s.levels.is_empty());
    let sumps = || d.sumps.iter().flat_map(|s| &s.levels).map(|l| l.0.volume.value).sum::<f64>();
    let (holds, what) = match at {
        FilterAt::Beds => (d.beds.iter().map(|b| b.medium().value).sum(), "the beds hold no more medium than"),
        FilterAt::Settlers => (settlers(), "the settlers it is said to be in hold no more water than"),
        FilterAt::Sumps => (if known { sumps() } else { 0.0 }, "the sump it is said to be in holds no more water than"),
    };
    (holds > 0.0 && filter.media.value > holds * FITS).then(|| {
        Caution::new(format!(
            "{} of medium is counted as biofilter, but {what} {}: measure it again, and say where it is. Wherever it lies it takes the place of water.",
            w.q(VOLUME, filter.media),
            w.q(VOLUME, VOLUME.of(holds))
        ))
    })
}

/// The pumps that draw from several stations of which none runs into another, with those.
pub(super) fn shares<'a>(ways: &'a Ways<'_>) -> impl Iterator<Item = (&'a str, Vec<String>)> {
    let pumps = (0..ways.stations.len()).filter(|&p| ways.is_pump(p));
    pumps.filter_map(|p| {
        let from: Vec<usize> = ways.edges.iter().filter(|e| e.1 == p).map(|e| e.0).collect();
        let joined = |s: &usize| ways.out_of(*s).any(|k| from.contains(&ways.edges[k].1));
        let apart = from.iter().filter(|s| !joined(s)).count();
        let names = || from.iter().map(|&s| ways.stations[s].name.to_string()).collect();
        (apart > 1).then(|| (ways.stations[p].name, names()))
    })
}

/// What is said of those.
pub(super) fn shared(d: &Document, ways: &Ways<'_>) -> Vec<Caution> {
    let what = if d.sumps.len() > 1 { "Join the sumps" } else { "Join them" };
    let said = shares(ways).map(|(pump, from)| {
        Caution::new(format!(
            "{pump} draws from {}, and is counted as taking equal parts. It never does: one runs dry until the pump draws air, and another spills. {what} with a wide pipe below the water and draw from one of them.",
            listed(&from)
        ))
    });
    said.collect()
}

/// The tanks whose supply pipe ends under water, where the room in a sump is known.
pub(super) fn siphons_back<'a>(d: &'a Document, ways: &Ways<'_>) -> impl Iterator<Item = &'a Tank> {
    let known = d.sumps.iter().any(|s| !s.levels.is_empty());
    let drowned = |t: usize| {
        let to = ways.place(StationKind::Tank, t);
        d.edges.iter().zip(&ways.edges).any(|(e, w)| w.1 == to && e.run.iter().any(|r| r.0.ends == Ends::Under))
    };
    d.tanks.iter().enumerate().filter(move |(t, _)| known && drowned(*t)).map(|(_, t)| t)
}
