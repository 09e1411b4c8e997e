//! Two wave trains of like energy: on which one to plan.
//!
//! A buoy gives one peak period. With swell and wind sea of like energy the peak jumps from one to the other between
//! two rows, and a mean of both is a sea that is not there. Run-up and the dry line grow with the period times the
//! root of the height, so the longer train is the worse for them; the other remains, and is shown.
//!
//! Borders (ours): trains are of like energy when the weaker has at least half the energy of the stronger; the peak
//! jumps when within six hours it differs by a factor of 1.6 or more while the mean period stays within a quarter.

use super::model::{Report, Train};
use super::series::{Reading, Series};
use crate::quantity::{Angle, Interval, Length, Span, shift, significant};
use jiff::Timestamp;

/// Energy of the weaker train as a share of the stronger from which both count.
const LIKE_ENERGY: f64 = 0.5;
/// Ratio of two peak periods from which they belong to two trains.
const JUMP: f64 = 1.6;
/// How far back a jump is looked for, h.
const BACK_H: f64 = 6.0;
/// How far the mean period may wander while the sea is still the same, as a share.
const STEADY: f64 = 0.25;
/// Readings of one train this far apart in time belong together, h.
const TOGETHER_H: f64 = 3.0;

/// A train of waves to plan on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeaTrain {
    /// Significant height to plan on: that of the whole sea, since a file that gives the trains apart still has both
    /// on the beach.
    pub height: Reading<Length>,
    /// Height of this train alone, where the file gives it.
    pub own_height: Option<Reading<Length>>,
    /// Its peak period.
    pub period: Reading<Span>,
    /// Where it comes from.
    pub from: Option<Reading<Angle>>,
}

impl SeaTrain {
    /// Grows with run-up: period times the root of the height.
    fn reach(&self) -> f64 {
        self.period.value.s() * self.height.value.m().max(0.0).sqrt()
    }

    fn words(&self) -> String {
        let from = self.from.map_or(String::new(), |f| format!(" from {}°", significant(f.value.deg(), 3)));
        format!("{} s{from} ({})", significant(self.period.value.s(), 3), self.period.from)
    }
}

/// A sea of two trains.
#[derive(Clone, Debug, PartialEq)]
pub struct MixedSea {
    /// The trains, the worse for run-up and the dry line first.
    pub trains: Vec<SeaTrain>,
    /// What to say of it.
    pub words: String,
}

impl MixedSea {
    /// The train to plan run-up and the dry line on.
    pub fn worst(&self) -> Option<&SeaTrain> {
        self.trains.first()
    }

    fn of(mut trains: Vec<SeaTrain>, why: &str) -> Self {
        trains.sort_by(|a, b| b.reach().total_cmp(&a.reach()));
        let listed: Vec<String> = trains.iter().map(SeaTrain::words).collect();
        let worst = trains.first().map_or(String::new(), |t| significant(t.period.value.s(), 3));
        let words = format!(
            "mixed sea: {why}: {}; plan run-up and the dry line on {worst} s, never on a mean of the periods",
            listed.join(" and ")
        );
        Self { trains, words }
    }
}

fn near<Q: Copy>(series: &Series<Q>, at: Timestamp) -> Option<Reading<Q>> {
    series.newest(at).copied().filter(|r| r.holds(at) || r.age(at).h() <= TOGETHER_H)
}

impl Report {
    /// The sea at `at` as one train: newest height with the peak period, or where the file gives no peak of the whole,
    /// the period of the train with the most energy. Nothing when either is missing.
    pub fn sea(&self, at: Timestamp) -> Option<SeaTrain> {
        let height = *self.wave_height.newest(at)?;
        if let Some(period) = self.peak_period.newest(at) {
            return Some(SeaTrain {
                height,
                own_height: None,
                period: *period,
                from: self.wave_from.newest(at).copied(),
            });
        }
        let trains = self.parts(height, at);
        trains.into_iter().max_by(|a, b| energy(a).total_cmp(&energy(b)))
    }

    /// Two trains of like energy at `at`, or a peak period that jumps. Nothing for a sea of one train.
    pub fn mixed_sea(&self, at: Timestamp) -> Option<MixedSea> {
        let height = *self.wave_height.newest(at)?;
        self.like_energy(height, at).or_else(|| self.jumping_peak(height, at))
    }

    /// The trains that were there with `height`: at `at` while it holds, else when it was measured.
    fn parts(&self, height: Reading<Length>, at: Timestamp) -> Vec<SeaTrain> {
        let at = if height.holds(at) { at } else { height.from };
        let of = |t: &Train| -> Option<SeaTrain> {
            Some(SeaTrain {
                height,
                own_height: Some(near(&t.height, at)?),
                period: near(&t.period, at)?,
                from: near(&t.from, at),
            })
        };
        [&self.swell, &self.second_swell, &self.wind_sea].into_iter().filter_map(of).collect()
    }

    fn like_energy(&self, height: Reading<Length>, at: Timestamp) -> Option<MixedSea> {
        let mut trains = self.parts(height, at);
        trains.sort_by(|a, b| energy(b).total_cmp(&energy(a)));
        let strongest = energy(trains.first()?);
        trains.retain(|t| energy(t) > 0.0 && energy(t) >= LIKE_ENERGY * strongest);
        (trains.len() > 1).then(|| MixedSea::of(trains, "trains of like energy"))
    }

    fn jumping_peak(&self, height: Reading<Length>, at: Timestamp) -> Option<MixedSea> {
        let newest = *self.peak_period.newest(at)?;
        let back = shift(newest.from, -3600.0 * BACK_H);
        let seen = Interval::new(back, shift(newest.from, 0.001)).ok()?;
        let ratio = |a: f64, b: f64| a.max(b) / a.min(b).max(1.0e-9);
        let other = self
            .peak_period
            .over(seen)
            .filter(|r| ratio(r.value.s(), newest.value.s()) >= JUMP)
            .last()
            .copied()?;
        // A sea whose mean period goes with the peak has changed; it is not two seas at once.
        let mean = |t: Timestamp| near(&self.mean_period, t).map(|r| r.value.s());
        if let (Some(a), Some(b)) = (mean(newest.from), mean(other.from))
            && ratio(a, b) > 1.0 + STEADY
        {
            return None;
        }
        let train = |period: Reading<Span>| SeaTrain {
            height,
            own_height: None,
            period,
            from: self.wave_from.newest(period.from).copied().filter(|d| d.from == period.from),
        };
        Some(MixedSea::of(vec![train(newest), train(other)], "the peak period jumps while the height stays"))
    }
}

fn energy(t: &SeaTrain) -> f64 {
    t.own_height.map_or(0.0, |h| h.value.m() * h.value.m())
}
