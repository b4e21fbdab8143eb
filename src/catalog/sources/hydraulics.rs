//! Sources of water properties, pipe flow, drains and pipe sizes.

use super::Source;

/// Density of water.
pub static TANAKA_2001: Source = Source::published(
    "tanaka_2001",
    "Tanaka, M., Girard, G., Davis, R., Peuto, A. & Bignell, N. 2001. Recommended table for the density of water between 0 °C and 40 °C. Metrologia 38: 301-309.",
);
/// Viscosity of water.
pub static PATEK_2009: Source = Source::published(
    "patek_2009",
    "Patek, J., Hruby, J., Klomfar, J., Souckova, M. & Harvey, A. H. 2009. Reference correlations for thermophysical properties of liquid water at 0.1 MPa. J. Phys. Chem. Ref. Data 38: 21-29; IAPWS SR6-08.",
);
/// Vapour pressure of water.
pub static WAGNER_PRUSS_1993: Source = Source::published(
    "wagner_pruss_1993",
    "Wagner, W. & Pruss, A. 1993. International equations for the saturation properties of ordinary water substance. J. Phys. Chem. Ref. Data 22: 783-787; IAPWS SR1-86(1992).",
);

/// All of this file.
pub static ALL: &[&Source] = &[&TANAKA_2001, &PATEK_2009, &WAGNER_PRUSS_1993];
