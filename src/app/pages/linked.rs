//! Work that came in a link: shown, kept nowhere until the person wants it.

use super::{calculator, main, system, titled};
use crate::app::el::*;
use crate::app::{Shell, bar, share};
use crate::session::{Route, code};

/// A code from an address. The address then becomes a short one, so that a reload or a bookmark does not open it once more.
pub(in crate::app) fn open(text: &str) -> Piece {
    Shell::get().readdress(Route::Linked(share::opened(text)));
    show(text)
}

const ELSEWHERE: &str = "A link was opened here in another tab or on another device. Open that link itself, or paste it on the systems page.";

/// What this tab opened before: each link has its own place, so that Back leads from one to the other.
pub(in crate::app) fn again(id: &str) -> Piece {
    share::opened_before(id).map_or_else(|| super::nothing_here(ELSEWHERE), |text| show(&text))
}

fn show(text: &str) -> Piece {
    match code::decode(text) {
        Ok(work) => match work.sheet().map(|s| s.entry()) {
            Some(entry) => calculator::linked(entry, work),
            None => system::linked(work),
        },
        Err(why) => {
            let link =
                words("a", "tap", "To the systems, where a code can be pasted").set("href", &Route::Systems.hash());
            let main = main("page").kid(words("p", "verdict", &why.to_string())).kid(el("p").kid(link));
            all![bar(titled("The link cannot be opened"), Some("#/")), main].into()
        }
    }
}
