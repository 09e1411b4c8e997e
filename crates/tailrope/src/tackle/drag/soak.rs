//! The soak setting: a fish that takes must be able to pull line, and the sea must not.

use super::curve::DragCurve;
use crate::facts::Known;
use crate::quantity::Force;
use crate::tackle::path::as_n;
use crate::tackle::tables::Tables;
use serde::Serialize;

/// The soak setting.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SoakCheck {
    /// Running drag beyond the tip.
    #[serde(rename = "tip_n", serialize_with = "as_n")]
    pub tip: Force,
    /// Drag at which it starts to slip.
    #[serde(rename = "start_n", serialize_with = "as_n")]
    pub start: Force,
    /// The most at which it may start to slip: start-up at the high end of what is known of it, the drag drifted upward
    /// since it was read.
    #[serde(rename = "start_high_n", serialize_with = "as_n")]
    pub start_high: Force,
    /// Whether a fish that takes surely pulls line before it meets the rod (even that is below the pack's high end).
    pub gives_line: bool,
    /// Whether it is so light that current and waves could pull line (below the pack's low end).
    pub too_loose: bool,
    /// Whether current and surf, where somebody knows their pull, would take line: it reaches the running value.
    pub sea_takes_line: Known<bool>,
}

/// Judges a soak setting of `tip` beyond the tip. `pull` is what current and surf pull on the line there.
pub(super) fn soak_check(
    tip: Force,
    curve: Option<&DragCurve>,
    tables: &Tables,
    pull: Known<Force>,
) -> SoakCheck {
    let ratio = curve.and_then(|c| c.start_up().get()).unwrap_or(tables.drag.start_up.value.central);
    let start = tip * ratio;
    // The worst mark of the crew's own; a start-up that nobody read may be any of the pack's.
    let worst = curve.and_then(DragCurve::start_up_most).unwrap_or(tables.drag.start_up.value.high);
    let start_high = tip * worst.max(ratio) * tables.drag.drift.value.high;
    let band = &tables.drag.soak.value;
    SoakCheck {
        tip,
        start,
        start_high,
        gives_line: start_high <= band.high,
        too_loose: tip < band.low,
        // Waves come in jerks: the running value is what holds once it has started.
        sea_takes_line: pull.get().map(|p| p >= tip).into(),
    }
}
