//! Physics and biology, one file per topic. Public functions take and give `uom` quantities; raw numbers (SI) stay inside.

pub mod feeding;
pub mod growth;
pub mod plants;
pub mod settling;
pub mod solve;
pub mod water;
