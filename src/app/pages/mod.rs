//! The screens.

pub(super) mod answers;
pub(super) mod around;
pub(super) mod beside;
pub(super) mod calculator;
pub(super) mod guest;
pub(super) mod home;
pub(super) mod linked;
pub(super) mod plan;
pub(super) mod site;
pub(super) mod system;
pub(super) mod systems;

use super::el::*;
use super::{bar, keeping, store::Left};
use crate::session::keys::Shelf;

/// The main part of a screen.
pub(super) fn main(class: &str) -> El {
    el("main").class(class).set("id", "main").set("tabindex", "-1")
}

/// A title that does not change.
fn titled(title: &'static str) -> impl Fn() -> String + Clone {
    move || title.to_string()
}

/// What is left as it is, because only a later version can open it.
fn left(shelf: Shelf, id: &str, left: &Left) -> Piece {
    let main = main("page").kid(keeping::left(shelf, id, left));
    all![bar(titled("Not opened"), Some("#/systems")), main].into()
}

/// There is nothing at this address.
pub(super) fn lost() -> Piece {
    nothing_here("There is nothing at this address.")
}

fn nothing_here(why: &str) -> Piece {
    let link = words("a", "tap", "To the list of calculators and systems").set("href", "#/");
    let main = main("page").kid(words("p", "verdict", why)).kid(el("p").kid(link));
    all![bar(titled("Nothing here"), Some("#/")), main].into()
}
