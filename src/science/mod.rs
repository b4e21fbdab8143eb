//! Physics and biology, one file per topic. Public functions take and give `uom` quantities; raw numbers (SI) stay inside.

pub mod network;
pub mod pipe;
pub mod pump;
pub mod section;
pub mod siphon;
pub mod solve;
pub mod sump;
pub mod water;
