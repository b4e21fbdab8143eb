//! Data with sources: bibliography, pipes, fittings, media, species, crops. No equations.

pub mod choose;
pub mod crops;
pub mod diffusers;
pub mod feeding;
pub mod fittings;
pub mod materials;
pub mod media;
pub mod pipes;
pub mod settlers;
pub mod sources;
pub mod species;
