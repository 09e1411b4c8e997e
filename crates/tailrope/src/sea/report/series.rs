//! Readings in order of time, one quantity each.

use crate::quantity::{Interval, Span};
use jiff::Timestamp;
use serde::Serialize;

/// One value and the time it holds for: an instant (`from == to`), or a span (`from` included, `to` excluded) for
/// forecasts that hold over one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Reading<Q> {
    /// The value.
    pub value: Q,
    /// When it was taken, or when it begins to hold.
    pub from: Timestamp,
    /// When it ceases to hold; the same as `from` for an instant.
    pub to: Timestamp,
}

impl<Q> Reading<Q> {
    /// Time from its beginning to `at`; none when it begins later.
    pub fn age(&self, at: Timestamp) -> Span {
        Span::of_s(at.duration_since(self.from).as_secs_f64().max(0.0))
    }

    /// Whether it speaks of `at`: within its span, or at its very instant.
    pub fn holds(&self, at: Timestamp) -> bool {
        self.from == at || (self.from <= at && at < self.to)
    }
}

/// Readings of one quantity, oldest first. Missing values are not in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Series<Q> {
    readings: Vec<Reading<Q>>,
}

impl<Q> Default for Series<Q> {
    fn default() -> Self {
        Self { readings: Vec::new() }
    }
}

impl<Q> Series<Q> {
    /// Puts readings in order of time; those of one time stay as they were given.
    pub fn new(mut readings: Vec<Reading<Q>>) -> Self {
        readings.sort_by_key(|r| r.from);
        Self { readings }
    }

    /// The last reading that began at or before `at`. Look at its [`Reading::age`], and for forecasts at
    /// [`Reading::holds`]: it may have ceased to hold long ago.
    pub fn newest(&self, at: Timestamp) -> Option<&Reading<Q>> {
        self.readings.get(self.readings.partition_point(|r| r.from <= at).checked_sub(1)?)
    }

    /// The reading whose span or instant is at `at`.
    pub fn holding(&self, at: Timestamp) -> Option<&Reading<Q>> {
        self.newest(at).filter(|r| r.holds(at))
    }

    /// Readings that lie in a stretch or reach into it.
    pub fn over(&self, when: Interval) -> impl Iterator<Item = &Reading<Q>> {
        self.readings
            .iter()
            .filter(move |r| when.contains(r.from) || (r.from < when.to() && r.to > when.from()))
    }

    /// All, oldest first.
    pub fn iter(&self) -> core::slice::Iter<'_, Reading<Q>> {
        self.readings.iter()
    }

    /// The oldest.
    pub fn first(&self) -> Option<&Reading<Q>> {
        self.readings.first()
    }

    /// The one that begins last, whatever the time is.
    pub fn last(&self) -> Option<&Reading<Q>> {
        self.readings.last()
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.readings.len()
    }

    /// Whether nothing was read.
    pub fn is_empty(&self) -> bool {
        self.readings.is_empty()
    }
}

impl<'a, Q> IntoIterator for &'a Series<Q> {
    type Item = &'a Reading<Q>;
    type IntoIter = core::slice::Iter<'a, Reading<Q>>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn t(s: i64) -> Timestamp {
        Timestamp::from_second(s).unwrap()
    }

    fn r(value: i32, from: i64, to: i64) -> Reading<i32> {
        Reading { value, from: t(from), to: t(to) }
    }

    #[test]
    fn newest_is_the_last_that_has_begun() {
        let s = Series::new(vec![r(3, 300, 300), r(1, 100, 100), r(2, 200, 200)]);
        let value = |at| s.newest(t(at)).map(|r| r.value);
        assert_eq!([value(99), value(100), value(299), value(9000)], [None, Some(1), Some(2), Some(3)]);
        assert_eq!(s.newest(t(260)).unwrap().age(t(260)).s(), 60.0);
        assert_eq!(s.newest(t(100)).unwrap().age(t(40)).s(), 0.0);
        assert_eq!((s.first().unwrap().value, s.last().unwrap().value, s.len()), (1, 3, 3));
    }

    #[test]
    fn a_span_holds_to_its_end_and_no_further() {
        let s = Series::new(vec![r(1, 0, 100), r(2, 200, 300), r(3, 400, 400)]);
        let holding = |at| s.holding(t(at)).map(|r| r.value);
        assert_eq!([holding(99), holding(100), holding(400), holding(401)], [Some(1), None, Some(3), None]);
        let over = |a, b| s.over(Interval::new(t(a), t(b)).unwrap()).map(|r| r.value).collect::<Vec<_>>();
        assert_eq!(over(50, 201), [1, 2]);
        assert_eq!(over(100, 200), Vec::<i32>::new());
        assert_eq!(over(299, 401), [2, 3]);
    }
}
