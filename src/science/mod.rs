//! Physics and biology, one file per topic. Public functions take and give `uom` quantities; raw numbers (SI) stay inside.

pub mod pipe;
pub mod section;
pub mod solve;
pub mod water;
