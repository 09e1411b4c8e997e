//! Tide, waves, current, run-up, wading limit.
