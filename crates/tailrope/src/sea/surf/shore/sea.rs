//! The sea offshore when it is more than one train of waves.

use super::super::breaker::deep_water_height;
use super::super::measured::{WaveCount, breakers_by_eye, peak_from_count};
use super::super::pack::MeasuredRows;
use super::super::swell::Swell;
use crate::facts::Known;
use crate::quantity::{Angle, Length, Quantity, Span};
use crate::{Error, Result};
use serde::Serialize;

/// Most trains of one sea.
const MOST: usize = 4;

/// The waves offshore.
///
/// Two kinds of mixed sea look alike in a table and are not. *Jumping*: one report gives 0.7 m at 13 s, the next 0.7 m at
/// 4 s: two trains of like energy, each height that of the whole sea. *Apart*: a forecast tells swell and wind waves
/// apart, and their energies add. Neither is ever planned on a mean of the periods.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind", content = "trains")]
pub enum Sea {
    /// Nobody knows.
    Unknown,
    /// One train or several whose energies add.
    Apart(Vec<Swell>),
    /// A peak that jumps: each train with the height of the whole sea.
    Jumping(Vec<Swell>),
    /// One train whose period is known only roughly: the ends of what it may be, each with its height.
    Between(Vec<Swell>),
}

/// Where the period comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PeriodFrom {
    /// Said: a buoy, a forecast.
    Said,
    /// Counted by the crew; its long end is taken.
    Counted,
    /// Said and counted, which do not agree: both are reckoned with, as a peak that jumps.
    Both,
}

impl Sea {
    /// Checks that there are one to four trains, none of them steeper than waves can stand.
    pub fn check(&self) -> Result<()> {
        if *self == Self::Unknown {
            return Ok(());
        }
        let n = self.trains().len();
        if !(1..=MOST).contains(&n) {
            return Err(Error::new(
                format!("the sea has {n} trains of waves"),
                "1 to 4",
                "give the largest of them",
            ));
        }
        self.trains().iter().try_for_each(|s| s.stands())
    }

    /// One train from a height, an angle, and a period that was said, counted, or both.
    ///
    /// A said period is never planned on alone where the crew counted: the long end of the count stands beside it, within
    /// the band as one train known roughly, outside it as a peak that jumps. With a count alone its long end is planned
    /// on. Neither: the sea is unknown.
    pub fn seen(
        height: Length,
        said: Known<Span>,
        counted: Known<WaveCount>,
        off_normal: Angle,
        rows: &MeasuredRows,
    ) -> Result<(Self, Option<PeriodFrom>)> {
        Self::of_periods(|t| Swell::new(height, t, off_normal), said, counted, rows)
    }

    /// The same from the height of the breakers as a crew judges it by eye, at the high end of its error, turned back
    /// to deep water by the rule that gives breakers their height. The waves count as square on for that. Of a count
    /// alone both ends are reckoned with.
    ///
    /// ```
    /// # use tailrope::{facts::{Known, PackText}, quantity::{Angle, Length}, sea::surf::{Sea, SurfPack, breaker_height}};
    /// # let text = include_str!("../../../../../../data/surf.toml");
    /// let pack = SurfPack::read(&PackText::new("surf.toml", text))?;
    /// let (count, square) = (Known::Known("8 in 1min".parse()?), Angle::ZERO);
    /// let (sea, _) = Sea::judged(Length::of_m(1.2), Known::Unknown, count, square, &pack.measured)?;
    /// assert!((breaker_height(sea.trains()[0]).m() - 1.3 * 1.2).abs() < 1e-9);
    /// # Ok::<(), tailrope::Error>(())
    /// ```
    pub fn judged(
        breakers: Length,
        said: Known<Span>,
        counted: Known<WaveCount>,
        off_normal: Angle,
        rows: &MeasuredRows,
    ) -> Result<(Self, Option<PeriodFrom>)> {
        let high = breakers_by_eye(breakers, rows)?.high;
        let train = |t| {
            let t = Quantity::within(t, "the period", Span::of_s(1.0), Span::of_s(30.0))?;
            Swell::new(deep_water_height(high, t), t, off_normal)
        };
        let (sea, from) = Self::of_periods(train, said, counted, rows)?;
        let (Self::Apart(mut trains), Some(PeriodFrom::Counted), Known::Known(c)) =
            (sea.clone(), from, counted)
        else {
            return Ok((sea, from));
        };
        // Of one height of the break the shorter waves stand higher offshore: neither end is the safe one for all.
        let short = peak_from_count(c, rows)?.low.max(Span::of_s(1.0));
        let height = deep_water_height(high, short).min(Swell::steepest(short));
        trains.push(Swell::new(height, short, off_normal)?);
        Ok((Self::Between(trains), from))
    }

    fn of_periods(
        train: impl Fn(Span) -> Result<Swell>,
        said: Known<Span>,
        counted: Known<WaveCount>,
        rows: &MeasuredRows,
    ) -> Result<(Self, Option<PeriodFrom>)> {
        let counted = counted.get().map(|c| peak_from_count(c, rows)).transpose()?;
        Ok(match (said, counted) {
            (Known::Known(t), None) => (Self::Apart(vec![train(t)?]), Some(PeriodFrom::Said)),
            (Known::Unknown, Some(band)) => {
                let longest = band.high.min(Span::of_s(30.0));
                (Self::Apart(vec![train(longest)?]), Some(PeriodFrom::Counted))
            }
            (Known::Known(t), Some(band)) => {
                let longest = band.high.min(Span::of_s(30.0));
                let both = vec![train(t)?, train(longest)?];
                match t {
                    t if t == longest => (Self::Apart(vec![train(t)?]), Some(PeriodFrom::Said)),
                    t if t >= band.low && t <= band.high => (Self::Between(both), Some(PeriodFrom::Said)),
                    _ => (Self::Jumping(both), Some(PeriodFrom::Both)),
                }
            }
            (Known::Unknown, None) => (Self::Unknown, None),
        })
    }

    /// Its trains.
    pub fn trains(&self) -> &[Swell] {
        match self {
            Self::Unknown => &[],
            Self::Apart(trains) | Self::Jumping(trains) | Self::Between(trains) => trains,
        }
    }

    /// Significant height of the whole sea.
    pub fn height(&self) -> Known<Length> {
        let heights = self.trains().iter().map(|s| s.height().m());
        match self {
            Self::Unknown => Known::Unknown,
            Self::Apart(_) => Known::Known(Length::of_m(heights.map(|h| h * h).sum::<f64>().sqrt())),
            Self::Jumping(_) | Self::Between(_) => Known::Known(Length::of_m(heights.fold(0.0, f64::max))),
        }
    }

    /// The trains of which the worst is planned on wherever heights do not simply add: those of a jumping peak; of
    /// trains apart one with the height of all, the longest period and the squarest angle.
    pub(super) fn candidates(&self) -> Vec<Swell> {
        match self {
            Self::Unknown => Vec::new(),
            Self::Jumping(trains) | Self::Between(trains) => trains.clone(),
            Self::Apart(trains) => {
                let longest = trains.iter().map(|s| s.period()).reduce(Span::max);
                let squarest = trains
                    .iter()
                    .map(|s| s.off_normal())
                    .min_by(|a, b| a.deg().abs().total_cmp(&b.deg().abs()));
                let height = self.height().get().map(|h| h.min(Length::of_m(20.0)));
                match (height, longest, squarest) {
                    (Some(h), Some(t), Some(a)) => Swell::new(h, t, a).into_iter().collect(),
                    _ => Vec::new(),
                }
            }
        }
    }
}
