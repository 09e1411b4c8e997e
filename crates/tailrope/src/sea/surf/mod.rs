//! Breakers, run-up, currents and how deep somebody may stand.
//!
//! Answers, from the waves offshore and the slope of the beach: where and how high waves break and in what form, how
//! high the wash comes and where dry sand begins, how fast water runs along the beach and out to sea, how likely a set
//! wave and how likely rips are, how deep a handler may stand, and which water speeds a bait must hold against. And,
//! from a float, a watch and paces, what the crew itself can measure there.
//!
//! Model: linear waves over straight contours, empirical rules for all that breaks; each file names its own. Bars,
//! troughs, headlands and jetties are not in it: a crew's own look and float count more than any of these numbers.

mod along;
mod breaker;
mod current;
mod linear;
mod measured;
mod pack;
mod random;
mod rip;
mod run_up;
mod shore;
mod soak;
mod swell;
mod typed;
mod wading;

/// Kept here too: the crew reads surf and air in one go.
pub use super::air::{heat_index, wind_chill};
pub use along::{AlongShore, Drift, along_by_waves, driving_breaker};
pub use breaker::{
    Breaking, Form, MCCOWAN, Rule, breaker_height, breaking, deep_water_height, surf_similarity, surf_width,
    weggel_index, worst_form,
};
pub use current::{
    Bore, Undertow, bed_orbital_rms, bore, longshore, longshore_band, longshore_by_slope, shallow_orbital,
    undertow,
};
pub use linear::Linear;
pub use measured::{
    FloatRun, Paces, WashSeen, WaveCount, breakers_by_eye, current_from_floats, mean_period_from_count,
    peak_from_count, run_up_from_wash,
};
pub use pack::{
    BaitRows, CurrentRows, MeasuredRows, Meta, RunUpRows, StandingRows, SurfPack, Unknowns, WaveRows,
};
pub use random::{Local, Waves, depth_cap, local_waves, mean_period, saturated_rms};
pub use rip::rip_chance;
pub use run_up::{DryLine, RunUp, dry_line, worst_run_up};
pub use shore::{
    AtDepth, Deepest, Dry, Handler, Hold, PeriodFrom, Reading, Rip, Sea, SetWave, Shore, StandAt, Stander,
    Train,
};
pub use soak::{BedWaves, PhaseFactor, bed_waves, mean_signed_square, peak_speed, phase_factor};
pub use swell::{Swell, off_normal};
pub use wading::{Balance, Bed, Footing, Governs, Standing, Wader, Wash};
