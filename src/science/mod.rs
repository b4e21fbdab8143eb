//! Physics and biology, one file per topic. Public functions take and give `uom` quantities; raw numbers (SI) stay inside.

pub mod aeration;
pub mod ammonia;
pub mod brackish;
pub mod carbonate;
pub mod drain;
pub mod evaporation;
pub mod feeding;
pub mod growth;
pub mod heat;
pub mod mixing;
pub mod network;
pub mod oxygen_balance;
pub mod oxygen_saturation;
pub mod pipe;
pub mod plants;
pub mod pump;
pub mod reserve;
pub mod respiration;
pub mod section;
pub mod settling;
pub mod siphon;
pub mod solve;
pub mod startup;
pub mod sump;
pub mod treatment;
pub mod water;
