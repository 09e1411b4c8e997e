//! The figures of making and holding rigs, from the tackle pack.

use crate::facts::Figure;
use crate::quantity::{Angle, Density, Length, Mass};
use crate::tackle::tables::BandFigure;
use serde::Deserialize;

/// Figures of making and holding rigs.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RigTables {
    /// Thinnest bare leader that a hand may hold.
    pub hand_least: Figure<Length>,
    /// Rod tip above the water when the swivel is at the tip.
    pub tip_height: BandFigure<Length>,
    /// Hand above the water.
    pub hand_height: BandFigure<Length>,
    /// Leader below level.
    pub leader_angle: BandFigure<Angle>,
    /// Line out when the leader is in.
    pub near: Figure<Length>,
    /// Wire of a hook in gaps.
    pub hook_wire_in_gaps: BandFigure<f64>,
    /// Gap of a hook in wires.
    pub hook_gap_in_wires: BandFigure<f64>,
    /// Density of hooks.
    pub hook_density: Figure<Density>,
    /// Mass of a swivel for each kilonewton of its strength.
    pub swivel_per_kn: BandFigure<Mass>,
    /// Length of a swivel.
    pub swivel_length: BandFigure<Length>,
    /// Length of a sleeve in bores.
    pub sleeve_length_in_bores: BandFigure<f64>,
    /// Wall of a sleeve.
    pub sleeve_wall: BandFigure<Length>,
    /// Density of copper sleeves.
    pub copper_density: Figure<Density>,
    /// Trimmed from each end.
    pub trim: Figure<Length>,
    /// Piece that is pulled to destruction.
    pub test_piece: Figure<Length>,
}
