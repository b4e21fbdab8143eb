//! The saved document of a whole system, its coupled check and its repairs.

pub mod demo;
pub mod json;
