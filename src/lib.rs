//! Brimwise.
pub mod calculators;
pub mod catalog;
pub mod picture;
pub mod science;
pub mod session;
pub mod system;
pub mod units;
