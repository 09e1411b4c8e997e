//! Species, length and mass, survival after release.
