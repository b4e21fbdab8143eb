//! Brimwise says, before pipe is cut or fish are moved, whether the parts of a small recirculating fish-and-plant system
//! balance: water, oxygen, waste and plants, by how much, what fails first and what fixes it.
//!
//! # The crate on one page
//!
//! Data flows one way: *what a person types → [`units`] → a calculator in [`calculators`] (declared fields and one pure function) →
//! an outcome → the page, JSON, the whole-system check in [`system`]*.
//!
//! | layer | what it holds |
//! |---|---|
//! | [`units`] | quantity kinds, what a person types, how numbers are shown; no calculation |
//! | [`catalog`] | data with sources: bibliography, pipes, fittings, media, species, crops |
//! | [`science`] | one file per topic of physics or biology; `uom` quantities in and out |
//! | [`picture`] | sections and curves as data, that a calculator returns and the app draws |
//! | [`calculators`] | one file per calculator: declared fields and `inputs → outcome`; `mod.rs` is the registry |
//! | [`system`] | the saved document, its coupled check and its repairs |
//! | [`session`] | routes, undo, import and export |
//! | `app` | the only part that knows a browser |
//!
//! A module may use only what stands above it in this table (`picture` stands on `units` alone); a test reads the sources and checks this.
//!
//! To add a calculator, write one file in `calculators/` and one line in its registry. DEVELOPERS.md walks through it.

pub mod calculators;
pub mod catalog;
pub mod picture;
pub mod science;
pub mod session;
pub mod system;
pub mod units;

#[cfg(feature = "app")]
pub mod app;
