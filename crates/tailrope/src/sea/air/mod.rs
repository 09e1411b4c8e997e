//! Cold, heat and thunder on the beach.

mod cold;
mod heat;
mod thunder;

pub use cold::{Immersion, Minutes, immersion, wind_chill};
pub use heat::heat_index;
pub use thunder::{come_back_at, thunder_distance};
