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
pub mod round;
pub mod section;
pub mod settling;
pub mod siphon;
pub mod solve;
pub mod startup;
pub mod sump;
pub mod treatment;
pub mod water;

/// Two to the power of `times`. `exp2` of the browser's Rust brings a table of 4 kB for it, this agrees to fifteen digits.
pub(crate) fn doubled(times: f64) -> f64 {
    (times * std::f64::consts::LN_2).exp()
}
