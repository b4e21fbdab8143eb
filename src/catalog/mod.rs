//! Data with sources: bibliography, pipes, fittings, media, species, crops. No equations.

pub mod choose;
pub mod diffusers;
pub mod materials;
pub mod sources;
pub mod species;
