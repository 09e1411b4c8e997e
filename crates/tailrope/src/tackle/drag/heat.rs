//! Heat of a slipping drag.

use crate::quantity::{Energy, Force, Length, Mass, Power, Speed};

/// What a run turns into heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DragHeat {
    /// Work done by the drag: `T x`.
    pub work: Energy,
    /// Power while it runs: `T v`.
    pub power: Power,
    /// Mean rise, kelvin, if none of it left: an upper bound of the mean, not of the discs' faces.
    pub rise_k: f64,
}

/// Heat of a run of `distance` at `speed` against `drag`, in `metal` of `specific_heat_j_kg_k` (900 for light
/// alloy). The rise is 0 for no metal.
pub fn drag_heat(
    drag: Force,
    distance: Length,
    speed: Speed,
    metal: Mass,
    specific_heat_j_kg_k: f64,
) -> DragHeat {
    let work = drag.n() * distance.m();
    let capacity = metal.kg() * specific_heat_j_kg_k;
    DragHeat {
        work: Energy::of_j(work),
        power: Power::of_w(drag.n() * speed.mps()),
        rise_k: if capacity > 0.0 { work / capacity } else { 0.0 },
    }
}
