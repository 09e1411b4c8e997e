//! A sea of two trains: a buoy's peak period that jumps between them, or swell and wind sea of like weight.
//!
//! The peak period is that of the stronger train. Of two of like energy now the one, now the other is stronger, and the
//! period jumps while the height stays. A mean of the two is the period of no wave: the longer runs further up the
//! beach and breaks higher, so it is planned on, and both are shown.
//!
//! Borders (ours): periods half as long again, readings within three hours whose heights differ by at most a quarter,
//! and trains of which the weaker has at least a quarter of the stronger one's energy.

use super::voices::Voice;
use crate::outing::file::{Report, ReportKind, Said};
use crate::outing::hours::Hours;
use crate::quantity::{Length, Span};

/// Longer over shorter period from which two trains are told apart.
const APART: f64 = 1.5;
/// Readings so far back count as the same sea, h.
const SAME_H: f64 = 3.0;
/// Heights of the same sea differ by at most this share.
const STEADY: f64 = 0.25;
/// Energy of the weaker train over the stronger, from which both count.
const LIKE: f64 = 0.25;

/// Two trains at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixed {
    /// Who said so.
    pub source: String,
    /// Period of the shorter train.
    pub short: Span,
    /// Period of the longer train.
    pub long: Span,
}

/// Whether an instrument's newest readings, or the trains of a report, show two seas at once. `height` is what the
/// report says of the whole sea, `swell` and `wind_sea` height and period of its trains, at the hours looked at.
pub fn of_report(
    report: &Report,
    newest: Option<&Voice<Length>>,
    swell: (Option<Length>, Option<Span>),
    wind_sea: (Option<Length>, Option<Span>),
) -> Option<Mixed> {
    let two = |a: Span, b: Span| {
        let (short, long) = if a < b { (a, b) } else { (b, a) };
        (long.s() >= APART * short.s()).then(|| Mixed { source: report.source.clone(), short, long })
    };
    if let ((Some(h1), Some(t1)), (Some(h2), Some(t2))) = (swell, wind_sea) {
        let (e1, e2) = (h1.m() * h1.m(), h2.m() * h2.m());
        if e1.min(e2) >= LIKE * e1.max(e2) && e1 > 0.0 {
            return two(t1, t2);
        }
        return None;
    }
    if report.kind != ReportKind::Observed {
        return None;
    }
    let last = newest?.whence.at.get()?;
    let same = |at: jiff::Timestamp| (0.0..=SAME_H).contains(&Hours::hours_between(at, last));
    let heights = range(&report.wave_height, |h| h.m(), same)?;
    if heights.1 - heights.0 > STEADY * heights.1 {
        return None;
    }
    let periods = range(&report.wave_period, |t| t.s(), same)?;
    two(Span::of_s(periods.0), Span::of_s(periods.1))
}

/// Least and greatest of the readings taken at such times.
fn range<Q: Copy>(
    said: &[Said<Q>],
    number: impl Fn(Q) -> f64,
    taken: impl Fn(jiff::Timestamp) -> bool,
) -> Option<(f64, f64)> {
    let mut all = said.iter().filter(|s| taken(s.from.0)).map(|s| number(s.value));
    let first = all.next()?;
    Some(all.fold((first, first), |(least, most), x| (least.min(x), most.max(x))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Known;
    use crate::outing::conditions::voices::Whence;

    fn buoy(rows: &[(&str, f64, f64)]) -> (Report, Voice<Length>) {
        let mut r = Report::new("a buoy", ReportKind::Observed);
        for (at, h, t) in rows {
            let from = at.parse().unwrap();
            r.wave_height.push(Said { value: Length::of_m(*h), from, to: None });
            r.wave_period.push(Said { value: Span::of_s(*t), from, to: None });
        }
        let last = r.wave_height.last().unwrap();
        let at = Known::Known(last.from.0);
        let whence = Whence { source: "a buoy".into(), kind: "observed", at, age_h: Known::Known(0.0) };
        let newest = Voice { value: last.value, whence };
        (r, newest)
    }

    #[test]
    fn a_peak_that_jumps_while_the_height_stays_is_two_trains() {
        let none = (None, None);
        let of = |rows: &[_]| {
            let (r, newest) = buoy(rows);
            of_report(&r, Some(&newest), none, none).map(|m| (m.short.s(), m.long.s()))
        };
        let jumps = [
            ("2026-09-26T03:56Z", 0.7, 4.0),
            ("2026-09-26T04:26Z", 0.7, 4.0),
            ("2026-09-26T04:56Z", 0.7, 13.0),
        ];
        assert_eq!(of(&jumps), Some((4.0, 13.0)));
        let wanders = [("2019-04-02T13:00Z", 1.7, 17.4), ("2019-04-02T14:00Z", 1.5, 13.8)];
        assert_eq!(of(&wanders), None);
        let rises = [("2026-09-26T04:26Z", 0.4, 4.0), ("2026-09-26T04:56Z", 0.7, 13.0)];
        assert_eq!(of(&rises), None, "a new swell that comes in is another sea, not a mixed one");
        let old = [("2026-09-26T00:26Z", 0.7, 4.0), ("2026-09-26T04:56Z", 0.7, 13.0)];
        assert_eq!(of(&old), None);
    }

    #[test]
    fn trains_count_by_their_energy() {
        let (r, newest) = buoy(&[("2019-04-02T16:00Z", 1.8, 14.8)]);
        let of = |h1: f64, t1: f64, h2: f64, t2: f64| {
            let train = |h: f64, t: f64| (Some(Length::of_m(h)), Some(Span::of_s(t)));
            of_report(&r, Some(&newest), train(h1, t1), train(h2, t2)).is_some()
        };
        assert!(!of(1.8, 14.8, 0.2, 3.4), "ripples on a swell");
        assert!(of(1.0, 12.0, 0.6, 5.0));
        assert!(!of(1.0, 7.0, 0.9, 6.0), "one broad sea");
    }
}
