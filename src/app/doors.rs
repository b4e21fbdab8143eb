//! The app comes in parts. With the first it starts; the sums of each calculator have one of their own, and what they share is one; what every
//! screen needs is the app; the pages of calculators are one; what belongs to systems, and all else that is not needed at once, is the rest.
//! `boot.js` fetches parts, and `.xtask/src/split.rs` makes them: what is reached through [`APP`], [`SHEETS`], [`DOORS`] or a calculator's own
//! door alone, and not from the start, is in another part. So nobody may go through a door before what is behind it is there.
//!
//! Where the app is one file, or is tried out, nothing is split and everything is there.

use super::el::*;
use super::store::Vault;
use super::{Shell, act, desk::Desk, dom, pages, shelf};
use crate::calculators::{self, Entry};
use crate::session::guest::Query;
use crate::session::{Route, Work, keys::Shelf, label};
use leptos::prelude::*;
use std::rc::Rc;

/// All of the app is there: then its doors can be gone through.
#[derive(Debug, Clone, Copy)]
pub(super) struct Whole(());

/// The door to the app.
struct App {
    begin: fn(Parts),
}

static APP: App = App { begin: super::begin };

/// The doors to the rest.
pub(super) struct Doors {
    pub(super) systems: fn() -> Piece,
    pub(super) plan: fn() -> Piece,
    pub(super) system: fn(String) -> Piece,
    pub(super) demo: fn(&str) -> Piece,
    pub(super) site: fn(&str) -> Piece,
    pub(super) code: fn(&str) -> Piece,
    pub(super) linked: fn(&str) -> Piece,
    pub(super) guest: fn(&Query) -> Piece,
    pub(super) fillings: fn(&'static Entry, Desk) -> Option<Piece>,
    pub(super) tabulate: fn(Shell, &Work, &str),
    pub(super) start_new: fn(Shell),
}

static DOORS: Doors = Doors {
    systems: pages::systems::page,
    plan: pages::plan::page,
    system: pages::system::saved,
    demo: pages::system::demo,
    site: pages::site::page,
    code: pages::linked::open,
    linked: pages::linked::again,
    guest: pages::guest::system_page,
    fillings: shelf::fillings,
    tabulate: shelf::tabulate,
    start_new: pages::systems::start_new,
};

/// The doors to the pages of calculators, which share them: they come with any of them.
pub(super) struct Sheets {
    pub(super) page: fn(&'static Entry, Option<String>) -> Piece,
    pub(super) guest: fn(&'static Entry, &Query) -> Piece,
}

static SHEETS: Sheets = Sheets { page: pages::calculator::page, guest: pages::guest::calculator_page };

impl Whole {
    /// The doors. The compiler must not look through them, or what is behind them would be part of what is in front.
    pub(super) fn doors(self) -> &'static Doors {
        std::hint::black_box(&DOORS)
    }
}

/// What a screen needs besides the first part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Need {
    /// What every screen needs.
    First,
    /// The sums of one calculator, without any screen.
    Sums(&'static str),
    /// One calculator and its page.
    One(&'static str),
    /// All.
    Whole,
}

impl Need {
    /// Of a screen. What is kept may be of any kind, so where a screen opens it, all must be there.
    pub(super) fn of(route: &Route, vault: &dyn Vault) -> Self {
        let named = |key: &String| matches!(Shelf::of(key), Some((Shelf::System | Shelf::Sheet, _)));
        match route {
            Route::Lost => Self::First,
            Route::Home if !vault.keys().iter().any(named) => Self::First,
            Route::Guest(id, _) if id != pages::guest::SYSTEM => Self::calculator(id),
            Route::Calculator { id, saved } => {
                let key = saved.as_ref().map_or_else(|| Shelf::Draft.key(id), |saved| Shelf::Sheet.key(saved));
                // What is kept there is of this calculator, unless somebody else has put it there.
                let own = vault.read(&key).is_none_or(|text| label::fits(Shelf::Draft, id, &text));
                if own { Self::calculator(id) } else { Self::Whole }
            }
            _ => Self::Whole,
        }
    }
    fn calculator(id: &str) -> Self {
        calculators::by_id(id).map_or(Self::First, |e| Self::One(e.id))
    }
    /// The parts that it is made of, as the script that fetches them knows them, those first that others take from.
    fn parts(self) -> String {
        match self {
            Self::First => "app".into(),
            Self::Sums(id) => format!("shared {id}"),
            Self::One(id) => format!("app shared {id} sheets"),
            Self::Whole => String::new(),
        }
    }
}

/// Where a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stand {
    /// There.
    There,
    /// On its way.
    Coming,
    /// It could not be had.
    Missing,
}

/// The page's function that fetches a part.
const BRING: &str = "brimwisePart";

/// Said by the page once all parts are there, which it fetches by itself after the first screen.
const ALL_THERE: &str = "brimwise-whole";

/// Said where a part could not be had.
const NOT_HAD: &str = "This part of the app could not be fetched.";

/// Which parts are there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parts(RwSignal<Vec<(Need, Stand)>>);

impl Parts {
    /// The first alone; or everything, where nothing is split.
    pub(super) fn new() -> Self {
        Self(RwSignal::new(if dom::can(BRING) { vec![] } else { vec![(Need::Whole, Stand::There)] }))
    }
    /// Begins the app once it is there. Where it cannot be had, the page itself says so.
    pub(super) fn begin(self) {
        // As with the others, the compiler must not look through it.
        let begin = move || (std::hint::black_box(&APP).begin)(self);
        if untrack(|| self.is_whole()) {
            begin();
        } else {
            self.bring_then(Need::First, move |had| {
                if had {
                    begin();
                }
            });
        }
    }
    /// Does something with the sums of a calculator as soon as they are there or cannot be had; not where everything is there, and nothing
    /// need be done sooner.
    pub(super) fn sooner(self, id: &'static str, then: impl FnOnce(bool) + 'static) {
        if untrack(|| self.is_whole()) {
            then(false);
        } else {
            self.bring_then(Need::Sums(id), then);
        }
    }
    /// Where something is, if anybody has asked for it.
    fn known(self, need: Need) -> Option<Stand> {
        let found = |of: Need| self.0.with(|all| all.iter().find(|(n, _)| *n == of).map(|(_, stand)| *stand));
        match (need, found(Need::Whole)) {
            (Need::First, _) | (_, Some(Stand::There)) => Some(Stand::There),
            (Need::Whole, whole) => whole,
            _ => found(need),
        }
    }
    /// Where something is. What nobody has asked for is then asked for.
    pub(super) fn stand(self, need: Need) -> Stand {
        self.known(need).unwrap_or_else(|| {
            self.bring(need);
            Stand::Coming
        })
    }
    /// The doors to the pages of calculators, if what is needed is there and brings them.
    pub(super) fn sheets(self, need: Need) -> Option<&'static Sheets> {
        let there = untrack(|| self.known(need)) == Some(Stand::There);
        // As with the others, the compiler must not look through them.
        (there && need != Need::First).then(|| std::hint::black_box(&SHEETS))
    }
    /// Is all of it there?
    pub(super) fn is_whole(self) -> bool {
        self.known(Need::Whole) == Some(Stand::There)
    }
    /// All of it, if it is there.
    pub(super) fn whole(self) -> Option<Whole> {
        untrack(|| self.is_whole()).then_some(Whole(()))
    }
    /// Can a kept text be opened already? It may be of any calculator.
    pub(super) fn opens(self, text: &str) -> bool {
        let mine = |(need, stand): &(Need, Stand)| match (need, stand) {
            (Need::Whole, Stand::There) => true,
            (Need::One(id), Stand::There) => label::fits(Shelf::Draft, id, text),
            _ => false,
        };
        self.0.with_untracked(|all| all.iter().any(mine))
    }
    fn note(self, need: Need, stand: Stand) {
        self.0.try_update(|all| {
            all.retain(|(n, _)| *n != need);
            all.push((need, stand));
        });
    }
    /// Fetches something, also once more.
    pub(super) fn bring(self, need: Need) {
        self.bring_then(need, |_| ());
    }
    fn bring_then(self, need: Need, then: impl FnOnce(bool) + 'static) {
        if let Some(Ok(promise)) = dom::call(BRING, &[need.parts().into()]) {
            dom::then(promise, move |done| {
                self.note(need, if done.is_ok() { Stand::There } else { Stand::Missing });
                then(done.is_ok());
            });
        }
    }
    /// Hears when all of it is there, and then does something.
    pub(super) fn listen(self, then: impl Fn() + 'static) {
        let heard = window_event_listener_untyped(ALL_THERE, move |_| {
            if !self.is_whole() {
                self.note(Need::Whole, Stand::There);
            }
        });
        on_cleanup(move || heard.remove());
        Effect::new(move |before: Option<bool>| {
            let whole = self.is_whole();
            if whole && before == Some(false) {
                then();
            }
            whole
        });
    }
    /// Does something once it is settled whether something can be had.
    pub(super) fn after(self, need: Need, then: impl FnOnce() + 'static) {
        match untrack(|| self.known(need)) {
            Some(Stand::There) => then(),
            _ => self.bring_then(need, move |_| then()),
        }
    }
    /// Does something once everything is there: now, if it is. Where it cannot be had, that is said, with a way to try again.
    pub(super) fn when_whole(self, shell: Shell, then: impl Fn(Whole) + 'static) {
        self.do_when_whole(shell, Rc::new(then));
    }
    fn do_when_whole(self, shell: Shell, then: Rc<dyn Fn(Whole)>) {
        if let Some(whole) = self.whole() {
            return then(whole);
        }
        self.bring_then(Need::Whole, move |_| match self.whole() {
            Some(whole) => then(whole),
            None => {
                let then = StoredValue::new_local(then);
                let again = act(move || {
                    then.try_with_value(|then| self.do_when_whole(shell, then.clone()));
                });
                shell.tell(NOT_HAD, Some((AGAIN, again)));
            }
        });
    }
}

/// The words on what fetches a part once more.
const AGAIN: &str = "Try again";

/// What stands there while a part is on its way, or where it could not be had.
pub(super) fn waiting(parts: Parts, need: Need, stand: Stand, guest: bool) -> Piece {
    let said = if stand == Stand::Missing { NOT_HAD } else { "Fetching this part of the app." };
    let line = words("p", "verdict", said).set("role", "status");
    let again = (stand == Stand::Missing).then(|| {
        let hint =
            words("p", "hint", "Nothing of yours is lost. It needs a signal once; afterwards it is on your device.");
        all![hint, div("buttons").kid(button("btn go", AGAIN, move || parts.bring(need)))]
    });
    let main = el("main").class("page").set("id", "main").set("tabindex", "-1").kid(line).kid(again);
    all![super::bar(|| "Brimwise".to_string(), (!guest).then_some("#/")), main].into()
}
