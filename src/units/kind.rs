//! What a kind of quantity is: its type, its SI unit, and the units that people type and read.

use std::{
    marker::PhantomData,
    ops::{Div, Mul},
};
use uom::si::{Dimension, Quantity, SI};

/// Any `uom` quantity of this crate: 64-bit floats on SI base units.
pub type Q<D> = Quantity<D, SI<f64>, f64>;

/// One unit that people use for a kind: `si = typed * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The symbol shown, such as `L/h`.
    pub symbol: &'static str,
    /// Other spellings accepted, in the parser's folded form (lower case, no blanks, `2` for `²`).
    pub names: &'static [&'static str],
    /// SI units in one of this unit.
    pub factor: f64,
    /// SI value of zero of this unit; only temperatures have one.
    pub offset: f64,
}

impl Unit {
    /// A unit that is a multiple of the SI unit.
    pub const fn new(symbol: &'static str, factor: f64, names: &'static [&'static str]) -> Self {
        Self { symbol, names, factor, offset: 0.0 }
    }
    /// A unit whose zero is not the SI zero.
    pub const fn offset(symbol: &'static str, factor: f64, offset: f64, names: &'static [&'static str]) -> Self {
        Self { symbol, names, factor, offset }
    }
    /// A value typed in this unit, in SI.
    pub fn to_si(&self, typed: f64) -> f64 {
        self.offset + typed.mul(self.factor)
    }
    /// An SI value, in this unit.
    pub fn of_si(&self, si: f64) -> f64 {
        (si - self.offset).div(self.factor)
    }
}

/// A kind of quantity without its type: what the page, the JSON interface and messages need.
#[derive(Debug)]
pub struct KindInfo {
    /// Stable identifier, such as `length`.
    pub id: &'static str,
    /// The kind in words, for messages.
    pub name: &'static str,
    /// Symbol of the SI unit.
    pub si: &'static str,
    /// Every unit understood for this kind.
    pub units: &'static [Unit],
    /// Symbol of the unit shown in metric display.
    pub metric: &'static str,
    /// Symbol of the unit shown in US customary display.
    pub us: &'static str,
    /// Whole numbers only (counts).
    pub whole: bool,
}

impl KindInfo {
    /// Is it the same quantity, in whatever unit that is shown?
    pub fn is(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl PartialEq for KindInfo {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id && self.metric == other.metric
    }
}

/// A kind of quantity tied to its `uom` type, so that a length declared as a flow does not compile.
#[derive(Debug)]
pub struct Kind<T>(pub &'static KindInfo, PhantomData<fn() -> T>);

impl<T> Clone for Kind<T> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<T> Copy for Kind<T> {}

impl<D: Dimension + ?Sized> Kind<Q<D>> {
    /// Ties `info` to the quantity type.
    pub const fn new(info: &'static KindInfo) -> Self {
        Self(info, PhantomData)
    }
    /// The quantity of this kind with an SI value.
    pub fn of(self, si: f64) -> Q<D> {
        Quantity { dimension: PhantomData, units: PhantomData, value: si }
    }
}
