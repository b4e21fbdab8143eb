use super::*;
use crate::system::demo;

/// What has settled with heads as near as they are then found stays where it is with heads to all that a float holds.
#[test]
fn levels_that_have_settled_stay() {
    let samples = [check::tests::pair(), check::tests::two_pumps(), check::tests::low_tank()];
    let mut seen = 0;
    for d in demo::ALL.iter().map(|demo| demo.document()).chain(samples) {
        let ways = flow::ways(&d).expect("ways");
        let order = flow::order(&ways).expect("an order");
        let all = coupled(&d, &ways, &order, Day::Today).expect("is sound");
        let levels = all.settled().expect("settle");
        if levels.is_empty() {
            continue;
        }
        for (at, then) in levels.iter().zip(all.follow(&levels, network::TOLERANCE)) {
            assert!((at - then).abs() <= 2.0 * STILL, "{at} m and {then} m");
            seen += usize::from(*at > 0.0);
        }
    }
    assert!(seen > 2, "{seen} levels moved");
}
