//! The saved document of a whole system, its coupled check and its repairs.

pub mod check;
pub mod demo;
pub mod document;
pub mod flow;
pub mod json;
pub mod quality;
pub mod report;
pub mod supply;

pub use document::Document;
