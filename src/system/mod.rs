//! The saved document of a whole system, its coupled check and its repairs.

pub mod check;
pub mod compare;
pub mod demo;
pub mod document;
mod ends;
pub mod fill;
pub mod flow;
pub mod growing;
mod harvest;
pub mod json;
mod level;
pub mod limits;
pub mod measure;
pub mod notes;
pub mod parts;
pub mod plan;
pub mod prove;
pub mod quality;
pub mod reading;
pub mod repairs;
pub mod report;
pub mod supply;
pub mod worst;

pub use document::Document;
