//! Physics and biology, one file per topic. Public functions take and give `uom` quantities; raw numbers (SI) stay inside.

pub mod evaporation;
pub mod heat;
pub mod solve;
pub mod water;
