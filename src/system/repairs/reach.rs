//! How far levers reach, most as times of what there is. All judgement: what does not help by then is no repair of what stands there but another
//! system.

/// Tanks, sumps, settlers, beds, and whatever is not named here.
pub(super) const SIZE: f64 = 8.0;
/// A number that is made less goes down to what there is over this.
pub(super) const DOWN: f64 = 10.0;
/// The filter's medium.
pub(super) const MEDIUM: f64 = 20.0;
/// Heaters.
pub(super) const HEATER: f64 = 30.0;

/// The pipes of a settler.
pub(super) const SETTLER_PIPE: f64 = 5.0;
/// Outlets side by side, as many as their field takes.
pub(super) const OUTLETS: f64 = 8.0;
/// Holes or slots in a screen.
pub(super) const OPENINGS: f64 = 6.0;

/// What a siphon is made of: its bell, the gap under that, the slots in it, and how far it falls.
pub(super) const BELL: f64 = 4.0;
pub(super) const GAP: f64 = 6.0;
pub(super) const SLOTS: f64 = 8.0;
pub(super) const SIPHON_DROP: f64 = 5.0;
/// The rim of its bed.
pub(super) const BED_RIM: f64 = 2.0;

/// What a pump can send of which more is asked than that.
pub(super) const PUMP: f64 = 20.0;
/// What another pump can send, with one branch given what is more.
pub(super) const STRONGER: f64 = 8.0;
/// The ends of a pump's curve where its pipes ask for more; and how high it lifts where it does not reach.
pub(super) const FREE_FLOW: f64 = 6.0;
pub(super) const SHUT_OFF: f64 = 3.0;
pub(super) const LIFT: f64 = 6.0;
/// Sizes that a supply pipe goes up.
pub(super) const SUPPLY_SIZES: usize = 6;
/// A flow is set down to this part of what it is.
pub(super) const LEAST_FLOW: f64 = 0.05;
