//! The saved document of a whole system, its coupled check and its repairs.

pub mod check;
pub mod compare;
pub mod demo;
pub mod document;
pub mod flow;
pub mod json;
pub mod notes;
pub mod parts;
pub mod plan;
pub mod prove;
pub mod report;

pub use document::Document;
