//! Brimwise.
pub mod units;
pub mod catalog;
pub mod science;
pub mod picture;
pub mod calculators;
pub mod system;
pub mod session;
