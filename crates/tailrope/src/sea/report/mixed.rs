//! Two wave trains of like energy: on which one to plan.
//!
//! A buoy gives one peak period. With swell and wind sea of like energy the peak jumps from one to the other between
//! two rows, and a mean of both is a sea that is not there. Run-up and the dry line grow with the period times the
//! root of the train's own height; the train that reaches further comes first, the other remains, and is shown.
//!
//! Borders (ours) of the words "mixed sea": trains are of like energy when the weaker has at least half the energy of
//! the stronger; the peak jumps when within six hours it differs by a factor of 1.6 or more while the mean period stays
//! within a quarter. Run-up does not wait for the words: a swell of a fifth of the energy and three times the period runs
//! as far, so [`Report::sea`] plans on the train that runs furthest of all above 0.2 m, the longest peak of six hours
//! among them, whatever the mean period did; [`Report::trains`] gives every train that is told.

use super::model::{Report, Train};
use super::series::{Reading, Series};
use crate::quantity::{Angle, Interval, Length, Span, shift, significant};
use jiff::Timestamp;

/// Energy of the weaker train as a share of the stronger from which both count.
const LIKE_ENERGY: f64 = 0.5;
/// Height of a train below which its run-up is no more than what is left of other waves, m.
pub(super) const LEAST_M: f64 = 0.2;
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
    /// Grows with run-up: period times the root of the train's own height, or of the whole sea's where that is not told.
    fn reach(&self) -> f64 {
        let own = self.own_height.unwrap_or(self.height);
        self.period.value.s() * own.value.m().max(0.0).sqrt()
    }

    fn own_m(&self) -> f64 {
        self.own_height.map_or(0.0, |h| h.value.m())
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

    /// `trains` make it mixed; of `all` the one that runs furthest comes before them where it is none of them.
    fn of(mut trains: Vec<SeaTrain>, all: Vec<SeaTrain>, why: &str) -> Self {
        trains.sort_by(|a, b| b.reach().total_cmp(&a.reach()));
        let listed: Vec<String> = trains.iter().map(SeaTrain::words).collect();
        let mut weaker = String::new();
        let reach = trains.first().map_or(0.0, SeaTrain::reach);
        if let Some(further) = all.into_iter().next().filter(|t| t.reach() > reach) {
            weaker = format!("; another runs further: {}", further.words());
            trains.insert(0, further);
        }
        let worst = trains.first().map_or(String::new(), |t| significant(t.period.value.s(), 3));
        let words = format!(
            "mixed sea: {why}: {}{weaker}; plan run-up and the dry line on {worst} s, never on a mean of the periods",
            listed.join(" and ")
        );
        Self { trains, words }
    }
}

fn near<Q: Copy>(series: &Series<Q>, at: Timestamp) -> Option<Reading<Q>> {
    series.newest(at).copied().filter(|r| r.holds(at) || r.age(at).h() <= TOGETHER_H)
}

impl Report {
    /// The sea at `at` as the one train to plan on: newest height of the whole with the period and direction of the
    /// train that runs up furthest ([`Report::run_up_trains`]). Nothing when height or periods are missing.
    pub fn sea(&self, at: Timestamp) -> Option<SeaTrain> {
        self.run_up_trains(at).into_iter().next()
    }

    /// All trains that run up the beach at `at`, the furthest first: the newest peak of the whole, the longest peak of
    /// the last six hours, and the trains told apart that are higher than 0.2 m (lower ones where there are no others).
    pub fn run_up_trains(&self, at: Timestamp) -> Vec<SeaTrain> {
        let Some(height) = self.wave_height.newest(at).copied() else { return Vec::new() };
        let peaks = [self.peak_period.newest(at).copied(), self.longest_peak(at)];
        let mut all: Vec<SeaTrain> = peaks.into_iter().flatten().map(|p| self.at_peak(height, p)).collect();
        all.dedup();
        let parts = self.parts(height, at);
        all.extend(parts.iter().filter(|t| t.own_m() >= LEAST_M));
        if all.is_empty() {
            all = parts;
        }
        all.sort_by(|a, b| b.reach().total_cmp(&a.reach()));
        all
    }

    /// The whole sea on one of its peaks, with the direction that was given with it.
    fn at_peak(&self, height: Reading<Length>, period: Reading<Span>) -> SeaTrain {
        let newest = self.wave_from.newest(period.from).copied();
        let from = newest.filter(|d| d.from == period.from || d.holds(period.from));
        SeaTrain { height, own_height: None, period, from }
    }

    /// Every train that is told apart at `at`, with its own height, the furthest run-up first; nothing where trains are
    /// not told.
    pub fn trains(&self, at: Timestamp) -> Vec<(Length, Span)> {
        let anchor = [&self.wave_height, &self.swell.height, &self.wind_sea.height];
        let Some(height) = anchor.into_iter().find_map(|s| s.newest(at)) else { return Vec::new() };
        let mut trains = self.parts(*height, at);
        trains.sort_by(|a, b| b.reach().total_cmp(&a.reach()));
        trains.iter().filter_map(|t| Some((t.own_height?.value, t.period.value))).collect()
    }

    /// The longest peak period that was given in the six hours up to the newest at `at`.
    pub fn longest_peak(&self, at: Timestamp) -> Option<Reading<Span>> {
        let newest = *self.peak_period.newest(at)?;
        let seen = self.peaks_before(&newest)?;
        seen.max_by(|a, b| a.value.s().total_cmp(&b.value.s())).copied()
    }

    fn peaks_before(&self, newest: &Reading<Span>) -> Option<impl Iterator<Item = &Reading<Span>>> {
        let back = shift(newest.from, -3600.0 * BACK_H);
        Some(self.peak_period.over(Interval::new(back, shift(newest.from, 0.001)).ok()?))
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
        (trains.len() > 1).then(|| MixedSea::of(trains, self.run_up_trains(at), "trains of like energy"))
    }

    fn jumping_peak(&self, height: Reading<Length>, at: Timestamp) -> Option<MixedSea> {
        let newest = *self.peak_period.newest(at)?;
        let ratio = |a: f64, b: f64| a.max(b) / a.min(b).max(1.0e-9);
        let jumps = |r: &&Reading<Span>| ratio(r.value.s(), newest.value.s()) >= JUMP;
        // Of several other peaks the longest.
        let other =
            *self.peaks_before(&newest)?.filter(jumps).max_by(|a, b| a.value.s().total_cmp(&b.value.s()))?;
        // A sea whose mean period goes with the peak has changed; it is not two seas at once.
        let mean = |t: Timestamp| near(&self.mean_period, t).map(|r| r.value.s());
        if let (Some(a), Some(b)) = (mean(newest.from), mean(other.from))
            && ratio(a, b) > 1.0 + STEADY
        {
            return None;
        }
        let trains = vec![self.at_peak(height, newest), self.at_peak(height, other)];
        Some(MixedSea::of(trains, self.run_up_trains(at), "the peak period jumps while the height stays"))
    }
}

fn energy(t: &SeaTrain) -> f64 {
    t.own_m() * t.own_m()
}

#[cfg(test)]
mod tests {
    use super::super::{Told, read};
    use super::*;
    use proptest::prelude::*;

    fn t(text: &str) -> Timestamp {
        text.parse().unwrap()
    }

    /// Hours of one forecast: whole, its peak, swell, wind sea, second swell with the mean period in its place.
    fn forecast(arrays: &str) -> Report {
        let text = format!(
            r#"{{"latitude":1,"longitude":2,"utc_offset_seconds":0,"hourly_units":{{"time":"iso8601","wave_height":"m",
            "wave_peak_period":"s","wave_period":"s","swell_wave_height":"m","swell_wave_peak_period":"s",
            "wind_wave_height":"m","wind_wave_peak_period":"s"}},"hourly":{{{arrays}}}}}"#
        );
        read("f.json", &text, &Told::default()).unwrap()
    }

    #[test]
    fn a_long_swell_under_a_wind_sea_is_planned_on_though_the_sea_is_not_mixed() {
        let of = |swell: f64, wind: f64| {
            let whole = (swell * swell + wind * wind).sqrt();
            forecast(&format!(
                r#""time":["2026-12-05T00:00"],"wave_height":[{whole}],"wave_peak_period":[6],
                "swell_wave_height":[{swell}],"swell_wave_peak_period":[16],
                "wind_wave_height":[{wind}],"wind_wave_peak_period":[6]"#
            ))
        };
        let at = t("2026-12-05T00:00Z");
        // A quarter of the energy: 16 s of 0.7 m run up further than 6 s of 1.57 m.
        let r = of(0.7, 1.4);
        let sea = r.sea(at).unwrap();
        assert_eq!((sea.period.value.s(), sea.own_height.unwrap().value.m()), (16.0, 0.7));
        assert!((sea.height.value.m() - 1.565).abs() < 1e-3, "with the height of the whole sea");
        assert!(r.mixed_sea(at).is_none(), "the word is for trains of like energy");
        // Less than 0.2 m is what is left of other waves, however long.
        assert_eq!(of(0.19, 1.4).sea(at).unwrap().period.value.s(), 6.0);
        assert_eq!(of(0.23, 0.23).sea(at).unwrap().period.value.s(), 16.0);
        // Like energy: both, the worse first.
        let mixed = of(1.2, 1.4).mixed_sea(at).unwrap();
        let periods: Vec<f64> = mixed.trains.iter().map(|t| t.period.value.s()).collect();
        assert_eq!(periods, [16.0, 6.0]);
    }

    #[test]
    fn a_third_train_that_runs_further_comes_first_in_a_mixed_sea() {
        let layer = |name: &str, uom: &str, value: f64| {
            format!(
                r#""{name}":{{"uom":"{uom}","values":[{{"validTime":"2026-12-05T00:00:00+00:00/PT6H","value":{value}}}]}}"#
            )
        };
        let layers = [
            layer("waveHeight", "wmoUnit:m", 1.4),
            layer("wavePeriod", "nwsUnit:s", 8.0),
            layer("secondarySwellHeight", "wmoUnit:m", 0.5),
            layer("wavePeriod2", "nwsUnit:s", 17.0),
        ]
        .join(",");
        let at = t("2026-12-05T02:00Z");
        let mut r = read("g.json", &format!(r#"{{"properties":{{{layers}}}}}"#), &Told::default()).unwrap();
        assert_eq!(r.sea(at).unwrap().period.value.s(), 17.0);
        let one = |si: f64| Reading { value: Length::of_m(si), from: at, to: at };
        let span = |si: f64| Reading { value: Span::of_s(si), from: at, to: at };
        r.swell.height = Series::new(vec![one(0.9)]);
        r.swell.period = Series::new(vec![span(8.0)]);
        r.wind_sea.height = Series::new(vec![one(0.9)]);
        r.wind_sea.period = Series::new(vec![span(5.0)]);
        let mixed = r.mixed_sea(at).unwrap();
        let periods: Vec<f64> = mixed.trains.iter().map(|t| t.period.value.s()).collect();
        assert_eq!(periods, [17.0, 8.0, 5.0]);
        assert!(
            mixed.words.contains("another runs further: 17 s") && mixed.words.contains("dry line on 17 s"),
            "{}",
            mixed.words
        );
    }

    #[test]
    fn the_longest_peak_of_six_hours_is_planned_on_whatever_the_mean_does() {
        let rows = |oldest: &str| {
            let text = format!(
                "#YY  MM DD hh mm WVHT DPD APD MWD\n#yr mo dy hr mn m sec sec degT\n\
                 2026 09 26 05 00 0.7 4 4.4 266\n2026 09 26 04 00 0.7 8 4.2 230\n{oldest}\n"
            );
            read("46253.txt", &text, &Told::default()).unwrap()
        };
        let at = t("2026-09-26T05:10Z");
        // Two other peaks: the longest counts, not the last.
        let r = rows("2026 09 26 00 00 0.7 14 4.1 198");
        assert_eq!(r.mixed_sea(at).unwrap().worst().unwrap().period.value.s(), 14.0);
        let sea = r.sea(at).unwrap();
        assert_eq!((sea.period.value.s(), sea.from.unwrap().value.deg().round()), (14.0, 198.0));
        // The mean period went with it: another sea by the word, and still the run-up to plan on.
        let r = rows("2026 09 26 00 00 0.7 14 9.5 198");
        let worst = r.mixed_sea(at).map(|m| m.worst().unwrap().period.value.s());
        assert!(worst.is_none(), "{worst:?}");
        assert_eq!(r.sea(at).unwrap().period.value.s(), 14.0);
        // Longer ago than six hours it is gone.
        assert_eq!(rows("2026 09 25 22 59 0.7 14 4.1 198").sea(at).unwrap().period.value.s(), 8.0);
    }

    proptest! {
        /// Whatever trains a file gives, run-up planned on is not below that of any of them taken alone.
        #[test]
        fn no_train_runs_further_than_the_one_planned_on(
            parts in proptest::collection::vec((0.2..6.0_f64, 2.0..22.0_f64), 0..=3),
            peaks in proptest::collection::vec((0..360_i64, 2.0..22.0_f64, 2.0..15.0_f64), 0..6),
            whole in 0.2..8.0_f64,
        ) {
            let at = t("2026-09-26T05:00Z");
            let mut r = read("f", "#YY MM DD hh mm WVHT\n2026 09 26 05 00 1\n", &Told::default()).unwrap();
            let when = |min: i64| Timestamp::from_second(at.as_second() - 60 * min).unwrap();
            let now = |si: f64| Reading { value: Length::of_m(si), from: at, to: at };
            let span = |min: i64, si: f64| Reading { value: Span::of_s(si), from: when(min), to: when(min) };
            let height = parts.iter().map(|p| p.0 * p.0).sum::<f64>().sqrt().max(whole);
            r.wave_height = Series::new(vec![now(height)]);
            r.peak_period = Series::new(peaks.iter().map(|p| span(p.0, p.1)).collect());
            r.mean_period = Series::new(peaks.iter().map(|p| span(p.0, p.2)).collect());
            for (train, (h, s)) in [&mut r.swell, &mut r.second_swell, &mut r.wind_sea].into_iter().zip(&parts) {
                train.height = Series::new(vec![now(*h)]);
                train.period = Series::new(vec![span(0, *s)]);
            }
            let newest = peaks.iter().map(|p| p.0).min().unwrap_or(0);
            let seen = peaks.iter().filter(|p| p.0 <= newest + 360).map(|p| p.1 * height.sqrt());
            let furthest = parts.iter().map(|(h, s)| s * h.sqrt()).chain(seen).fold(0.0, f64::max);
            let planned = |t: &SeaTrain| t.period.value.s() * t.height.value.m().sqrt();
            prop_assert_eq!(r.sea(at).is_some(), furthest > 0.0);
            if let Some(sea) = r.sea(at) {
                prop_assert!(planned(&sea) >= furthest - 1e-9);
            }
            if let Some(mixed) = r.mixed_sea(at) {
                prop_assert!(planned(mixed.worst().unwrap()) >= furthest - 1e-9);
                prop_assert!(mixed.trains.len() >= 2);
            }
        }
    }
}
