//! The bibliography. Every equation, coefficient and catalogue value points at one [`Source`] by reference, so that a missing or
//! misspelt source does not compile.
//!
//! One file per field of knowledge; each lists its own in `ALL`. The citation names the original publication. What was seen was often an
//! extract or a reprint; what was not seen at all is marked [`Basis::FromMemory`] and shown as such.

pub mod biology;
pub mod climate;
pub mod general;
pub mod hydraulics;
pub mod oxygen;
pub mod solids;
pub mod system;
pub mod waterways;

/// How well founded a source is; shown beside every number that rests on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// A publication, standard or table that was seen, or elementary physics that any textbook derives.
    Published,
    /// What the trade does; no source.
    CommonPractice,
    /// A publication is named, but the value was recalled and not looked up.
    FromMemory,
    /// Our engineering judgement.
    Judgement,
}

impl Basis {
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice, no source",
            Self::FromMemory => "from memory, not looked up",
            Self::Judgement => "judgement",
        }
    }
}

/// One entry of the bibliography.
#[derive(Debug)]
pub struct Source {
    /// Stable key, such as `benson_krause_1984`.
    pub key: &'static str,
    /// Full citation, or what the practice or judgement is.
    pub citation: &'static str,
    /// How well founded it is.
    pub basis: Basis,
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Source {
    /// A publication.
    pub const fn published(key: &'static str, citation: &'static str) -> Self {
        Self { key, citation, basis: Basis::Published }
    }
    /// Common practice of the trade, without a source.
    pub const fn practice(key: &'static str, citation: &'static str) -> Self {
        Self { key, citation, basis: Basis::CommonPractice }
    }
    /// A publication whose value was recalled.
    pub const fn memory(key: &'static str, citation: &'static str) -> Self {
        Self { key, citation, basis: Basis::FromMemory }
    }
    /// Engineering judgement.
    pub const fn judgement(key: &'static str, citation: &'static str) -> Self {
        Self { key, citation, basis: Basis::Judgement }
    }
}

/// A coefficient with its unit, source and validity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coef {
    /// The number, in `unit`.
    pub value: f64,
    /// Its unit, `1` for a pure number.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static Source,
    /// Where it holds.
    pub valid: &'static str,
}

impl Coef {
    /// A coefficient. `valid` says where it holds, in words.
    pub const fn new(value: f64, unit: &'static str, source: &'static Source, valid: &'static str) -> Self {
        Self { value, unit, source, valid }
    }
}

/// The whole bibliography.
#[rustfmt::skip]
pub fn all() -> impl Iterator<Item = &'static Source> {
    [
        general::ALL,
        hydraulics::ALL,
        biology::ALL,
        oxygen::ALL,
        system::ALL,
        solids::ALL,
        climate::ALL,
        waterways::ALL,
    ].into_iter().flatten().copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn keys_are_unique_and_citations_are_there() {
        let mut keys = BTreeSet::new();
        for s in all() {
            assert!(keys.insert(s.key), "{} twice", s.key);
            assert!(s.citation.len() > 12, "{} has no citation", s.key);
            assert!(s.key.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_'), "{}", s.key);
        }
        assert!(keys.len() >= general::ALL.len());
    }
}
