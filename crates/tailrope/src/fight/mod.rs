//! The seeded stochastic fight and its forecast.
