//! All readings at one place of the drag: their mean, their scatter, their start-up.

use super::context::ReadingContext;
use super::reading::{Reading, ScalePlace, Setting};
use crate::Result;
use crate::facts::Known;
use crate::quantity::Torque;

/// All readings at one setting.
#[derive(Clone, Debug, PartialEq)]
pub struct Knot {
    /// Setting.
    pub setting: Setting,
    /// Mean torque.
    pub torque: Torque,
    /// Standard deviation of the torques over their mean; `None` from one reading.
    pub spread: Option<f64>,
    /// How many readings.
    pub count: usize,
    /// Start-up over running value, where it was read.
    pub start_up: Known<f64>,
    /// Indices of the readings.
    pub readings: Vec<usize>,
    pub(super) position: f64,
}

/// Scatter of repeated pulls at one setting, pooled over all settings: `sqrt(sum (n-1) s^2 / sum (n-1))`, each `s` a
/// share of its mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pooled {
    /// Standard deviation as a share of the mean.
    pub share: f64,
    /// Degrees of freedom: readings beyond the first at each setting.
    pub freedom: usize,
}

/// The knots of the used readings by rising setting.
pub(super) fn knots(
    readings: &[Reading],
    used: &[usize],
    place: ScalePlace,
    ctx: &ReadingContext<'_>,
) -> Result<Vec<Knot>> {
    let mut knots: Vec<Knot> = Vec::new();
    for &i in used {
        let position = readings[i].setting.axis(ctx.strike_at).0;
        match knots.iter_mut().find(|k| k.position == position) {
            Some(k) => k.readings.push(i),
            None => knots.push(Knot {
                setting: readings[i].setting,
                torque: Torque::ZERO,
                spread: None,
                count: 0,
                start_up: Known::Unknown,
                readings: vec![i],
                position,
            }),
        }
    }
    for k in &mut knots {
        let mut torques = Vec::with_capacity(k.readings.len());
        for &i in &k.readings {
            let r = &readings[i];
            torques.push(ctx.torque(r, place, r.value).map_err(|e| e.within(format!("readings[{i}]")))?.nm());
        }
        let n = torques.len() as f64;
        let mean = torques.iter().sum::<f64>() / n;
        k.count = torques.len();
        k.torque = Torque::of_nm(mean);
        if k.count > 1 && mean > 0.0 {
            let squares: f64 = torques.iter().map(|t| crate::math::sq(t - mean)).sum();
            k.spread = Some((squares / (n - 1.0)).sqrt() / mean);
        }
        let ratios: Vec<f64> = k
            .readings
            .iter()
            .filter_map(|i| readings[*i].start_up.get().map(|s| s / readings[*i].value))
            .collect();
        if !ratios.is_empty() {
            k.start_up = Known::Known(ratios.iter().sum::<f64>() / ratios.len() as f64);
        }
    }
    knots.sort_by(|a, b| a.position.total_cmp(&b.position));
    Ok(knots)
}

/// The pooled scatter; unknown where no setting was read twice.
pub(super) fn pooled(knots: &[Knot]) -> Known<Pooled> {
    let (mut squares, mut freedom) = (0.0, 0);
    for k in knots {
        let Some(s) = k.spread else { continue };
        let more = k.count.saturating_sub(1);
        squares += crate::math::sq(s) * more as f64;
        freedom += more;
    }
    if freedom == 0 {
        return Known::Unknown;
    }
    Known::Known(Pooled { share: (squares / freedom as f64).sqrt(), freedom })
}
