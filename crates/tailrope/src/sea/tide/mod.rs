//! The tide: water level at any instant, high and low waters, when a level is passed.
//!
//! Model: a sum of harmonics h(t) = Z0 + sum f A cos(V0 + u + w t - G) over every constituent whose argument is
//! known (the 37 of the US agency's tables and some 110 more, `constituent`), node factors by Schureman (1940), held
//! over a calendar year as the US agency does, or renewed daily. A subordinate place follows its station by time and
//! height offsets. Where there is no station a crew types in the high and low waters of its own table. Between turning
//! points that are only listed the level follows half a cosine.
//!
//! Limits: tide is not water level. Wind and pressure easily add 0.3 m, storms more; a [`Residual`] from a
//! gauge is carried forward, a negative one fades within a day, and its error grows back in as much. Run-up comes on top (`sea::surf`). Where the node is
//! renewed the level steps, at new year by up to 14 mm; no high or low water comes of it.
//!
//! Checked, with the 37 alone, against an independently written engine (1 mm, 0.5 min), the agency's printed
//! predictions (8 mm, 3.5 min) and its own subordinate (3 mm, 1 min); with all, between two analyses of the same four
//! gauges (names read right: 2 mm nearer to each other than with the 37; see DESIGN.md).

mod astro;
mod constituent;
mod harmonic;
mod letters;
mod near;
mod own;
#[cfg(test)]
mod proofs;
mod residual;
mod station;
mod stations;
mod sweep;
mod table;
mod turning;
mod typed;
pub mod world;

pub use harmonic::{Constituents, NodeRule};
pub use near::{Choice, Doubt, Near};
pub use residual::{Residual, better_clock, held, inverse_barometer};
pub use station::{HeightRule, LeftOut, Station, Subordinate};
pub use stations::{Found, Stations};
pub use table::{HighLow, TideTable};
pub use turning::{Turning, Water};
pub use typed::{TypedTable, TypedWater};

use crate::quantity::{Interval, Length, Span, Speed, shift};
use crate::{Error, Result};
use harmonic::Harmonic;
use jiff::Timestamp;
use residual::Moving;
use serde::Serialize;
use table::Curve;
use turning::Point;

/// Mean sea level as a datum.
pub const MEAN_LEVEL: &str = "MSL";
/// How far beyond the asked stretch a curve must know its turning points (diurnal tides pause for a day).
const MARGIN_S: f64 = 3.0 * 86400.0;
/// The same for a place that follows a station: a tide may vanish there for days, and its curve still needs a
/// printed water on either side.
const FOLLOWER_MARGIN_S: f64 = 8.0 * 86400.0;
/// Longest stretch a list of levels may cover; that it lies within the tide's own stretch is asked besides.
const LONGEST_S: f64 = 1.0e9;
/// While a residual fades the sum of tide and residual is looked at this often for turns of its own, s.
const FADING_STEP_S: f64 = 600.0;
/// To what a passing of a level is refined, s. No tide keeps time to a minute.
const CROSSING_S: f64 = 0.01;
/// Years in which the mean longitudes are good.
const YEARS: (i64, i64) = (-2_208_988_800, 4_102_444_800);

/// The water level at one beach over one stretch of time.
///
/// Made once for a stretch (node factors and phases are prepared then). A level costs a third of a microsecond, a list
/// of them ([`Self::levels`]) five nanoseconds each.
#[derive(Clone, Debug)]
pub struct Tide {
    kind: Kind,
    when: Interval,
    about: About,
    residual: Option<Residual>,
}

#[derive(Clone, Debug)]
enum Kind {
    Harmonic(Harmonic),
    Curve(Curve),
}

/// What must stand beside every height.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct About {
    /// Name of the place the tide is for.
    pub name: String,
    /// What heights are above.
    pub datum: String,
    /// Mean sea level above the datum, where known.
    pub mean_level: Option<Length>,
    /// Claimed error of a level, without weather.
    pub level_error: Length,
    /// Claimed error of a turning point's time, minutes.
    pub time_error_min: f64,
    /// Where the constants come from.
    pub source: String,
    /// Licence of the constants.
    pub licence: String,
    /// Text that must be shown with them.
    pub attribution: String,
}

/// A high or low water.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TurningPoint {
    /// When.
    pub at: Timestamp,
    /// Level above the datum, residual included.
    pub level: Length,
    /// High or low.
    pub water: Water,
}

/// Unix seconds of an instant.
fn unix_s(at: Timestamp) -> f64 {
    at.as_millisecond() as f64 / 1000.0
}

fn instant(unix_s: f64) -> Timestamp {
    shift(Timestamp::UNIX_EPOCH, unix_s)
}

/// Refuses stretches in which the mean longitudes are not good.
fn check_years(when: Interval) -> Result<()> {
    if when.from().as_second() >= YEARS.0 && when.to().as_second() < YEARS.1 {
        return Ok(());
    }
    Err(Error::new(
        format!("the tide is asked for from {} to {}", when.from(), when.to()),
        "years 1900 to 2099",
        "check the date",
    ))
}

impl Tide {
    /// The tide of a station over a stretch, with the station's own node rule.
    pub fn of_station(station: &Station, when: Interval) -> Result<Self> {
        Self::of_station_with(station, when, station.nodes)
    }

    /// The same with a node rule of your choice.
    pub fn of_station_with(station: &Station, when: Interval, nodes: NodeRule) -> Result<Self> {
        Self::of_station_by(station, when, nodes, Constituents::All)
    }

    /// The same with a node rule and constituents of your choice.
    pub fn of_station_by(
        station: &Station,
        when: Interval,
        nodes: NodeRule,
        which: Constituents,
    ) -> Result<Self> {
        let harmonic = prepare(station, when, nodes, which)?;
        // Independent errors: the claim and what is left out.
        let (claim, left) = (station.level_error.m(), station.left_out.rms.m());
        Ok(Self {
            kind: Kind::Harmonic(harmonic),
            when,
            about: About {
                name: station.name.clone(),
                datum: station.datum.clone(),
                mean_level: Some(station.mean_level),
                level_error: Length::of_m((claim * claim + left * left).sqrt()),
                time_error_min: station.time_error_min,
                source: station.source.clone(),
                licence: station.licence.clone(),
                attribution: station.attribution.clone(),
            },
            residual: None,
        })
    }

    /// The tide of a place that follows a station, with the station's own node rule.
    pub fn of_subordinate(sub: &Subordinate, reference: &Station, when: Interval) -> Result<Self> {
        Self::of_subordinate_with(sub, reference, when, reference.nodes)
    }

    /// The same with a node rule of your choice.
    pub fn of_subordinate_with(
        sub: &Subordinate,
        reference: &Station,
        when: Interval,
        nodes: NodeRule,
    ) -> Result<Self> {
        let harmonic = prepare(reference, when, nodes, Constituents::All)?;
        let (from, to) = (unix_s(when.from()) - FOLLOWER_MARGIN_S, unix_s(when.to()) + FOLLOWER_MARGIN_S);
        // The offsets belong to the printed waters of the reference, not to every wiggle of its curve.
        let mut points: Vec<Point> = turning::printed(turning::all(&harmonic, from, to))
            .into_iter()
            .map(|p| {
                let (later_min, rule) = match p.water {
                    Water::High => (sub.high_later_min, sub.high),
                    Water::Low => (sub.low_later_min, sub.low),
                };
                Point { at_s: p.at_s + 60.0 * later_min, level_m: rule.apply_m(p.level_m), ..p }
            })
            .collect();
        points = in_order(points);
        Ok(Self {
            kind: Kind::Curve(Curve { points }),
            when,
            about: About {
                name: sub.name.clone(),
                datum: reference.datum.clone(),
                mean_level: None,
                // Twice the reference's claim: offsets are means over many tides.
                level_error: reference.level_error * 2.0,
                time_error_min: reference.time_error_min * 2.0,
                source: format!("{}; follows {} ({})", sub.source, reference.name, reference.source),
                licence: sub.licence.clone(),
                attribution: sub.attribution.clone(),
            },
            residual: None,
        })
    }

    /// The tide of whatever a search found, with its own node rule.
    pub fn of_found(found: &Found, when: Interval) -> Result<Self> {
        Self::of_found_with(found, when, found.reference().nodes)
    }

    /// The same with a node rule of your choice.
    pub fn of_found_with(found: &Found, when: Interval, nodes: NodeRule) -> Result<Self> {
        match found {
            Found::Station(s) => Self::of_station_with(s, when, nodes),
            Found::Subordinate(s, reference) => Self::of_subordinate_with(s, reference, when, nodes),
        }
    }

    /// The tide of a typed-in table. Its waters must begin before the stretch and end after it.
    pub fn of_table(table: &TideTable, when: Interval) -> Result<Self> {
        let points = table::points(table)?;
        let covered = points.first().is_some_and(|p| p.at_s <= unix_s(when.from()))
            && points.last().is_some_and(|p| p.at_s >= unix_s(when.to()));
        if !covered {
            return Err(Error::new(
                format!("the tide table does not cover {} to {}", when.from(), when.to()),
                "waters from before the first hour to after the last",
                "type in one more high or low water before and after the night",
            )
            .within("waters"));
        }
        Ok(Self {
            kind: Kind::Curve(Curve { points }),
            when,
            about: About {
                name: "typed-in tide table".into(),
                datum: table.datum.clone(),
                mean_level: table.mean_level,
                // A table's rounding and the cosine between its waters (ours).
                level_error: Length::of_m(0.1),
                time_error_min: 15.0,
                source: table.source.clone(),
                licence: "the crew's own entry".into(),
                attribution: table.source.clone(),
            },
            residual: None,
        })
    }

    /// The same tide with heights above another datum: mean sea level ([`MEAN_LEVEL`]), where its height is known.
    /// Its own is a legal wish, too. A residual taken before stays as it is: it is a difference.
    ///
    /// # Errors
    /// Any other datum: stations are shipped with the height of no more than these two.
    pub fn above_datum(mut self, datum: &str) -> Result<Self> {
        let word = datum.trim();
        if word.eq_ignore_ascii_case(self.about.datum.trim()) {
            return Ok(self);
        }
        let Some(mean) = self.about.mean_level.filter(|_| word.eq_ignore_ascii_case(MEAN_LEVEL)) else {
            let own = &self.about.datum;
            let shown: String = word.chars().take(40).collect();
            return Err(Error::new(
                format!("the height of the datum `{shown}` is not known at {}", self.about.name),
                if self.about.mean_level.is_some() { format!("{own}, {MEAN_LEVEL}") } else { own.clone() },
                "take one of these; the agency's datum page says how others lie to them",
            ));
        };
        match &mut self.kind {
            Kind::Harmonic(h) => h.mean_m -= mean.m(),
            Kind::Curve(c) => c.points.iter_mut().for_each(|p| p.level_m -= mean.m()),
        }
        MEAN_LEVEL.clone_into(&mut self.about.datum);
        self.about.mean_level = Some(Length::ZERO);
        Ok(self)
    }

    /// The same tide with the weather's share from a gauge carried forward.
    #[must_use]
    pub fn with_residual(mut self, residual: Residual) -> Self {
        self.residual = Some(residual);
        self
    }

    /// What must stand beside every height: datum, source, licence, claimed errors.
    pub fn about(&self) -> &About {
        &self.about
    }

    /// The stretch it was made for.
    pub fn when(&self) -> Interval {
        self.when
    }

    /// The residual carried forward, if a gauge was read.
    pub fn residual(&self) -> Option<Residual> {
        self.residual
    }

    /// Predicted level above the datum, without weather. Refuses an instant outside the stretch (three days
    /// before it are allowed, for comparing with a gauge).
    pub fn predicted(&self, at: Timestamp) -> Result<Length> {
        let s = unix_s(at);
        let known = s >= unix_s(self.when.from()) - MARGIN_S && s <= unix_s(self.when.to());
        let level = match &self.kind {
            Kind::Harmonic(h) => known.then(|| h.level_m(s)),
            Kind::Curve(c) => known.then(|| c.level_m(s)).flatten(),
        };
        level.map(Length::of_m).ok_or_else(|| {
            Error::new(
                format!("the tide at {at} is not known"),
                format!("{} to {}", self.when.from(), self.when.to()),
                "ask for a longer stretch, or type in more high and low waters",
            )
        })
    }

    /// Level above the datum with the residual carried forward ([`Residual::carried`]).
    pub fn level(&self, at: Timestamp) -> Result<Length> {
        Ok(self.predicted(at)? + self.carried(at))
    }

    /// Levels above the datum, residual included, at `count` instants from `from` on, `step` apart: what a curve
    /// or a table of heights is drawn from, many times faster than one level after the other.
    ///
    /// Refuses a step under a second and instants outside the stretch (see [`Self::predicted`]). Each level is
    /// within 1e-9 m of [`Self::level`] at the same instant.
    pub fn levels(&self, from: Timestamp, step: Span, count: usize) -> Result<Vec<Length>> {
        let Some(steps) = count.checked_sub(1) else { return Ok(Vec::new()) };
        let length_s = step.s() * steps as f64;
        if !(step.s() >= 1.0 && length_s <= LONGEST_S) {
            return Err(Error::new(
                format!("{count} levels are asked for, {} s apart", step.s()),
                "a step of at least one second, and a last level within the stretch",
                "ask for a longer step or fewer levels",
            ));
        }
        self.predicted(from)?;
        self.predicted(shift(from, length_s))?;
        let (from_s, step_s) = (unix_s(from), step.s());
        let levels = match &self.kind {
            Kind::Harmonic(h) => h.levels_m(from_s, step_s, count),
            Kind::Curve(c) => c.levels_m(from_s, step_s, count),
        };
        let at_s = |i: usize| from_s + step_s * i as f64;
        let with = |(i, m): (usize, f64)| Length::of_m(m + self.carried_m(at_s(i)).0);
        Ok(levels.into_iter().enumerate().map(with).collect())
    }

    /// Level about mean sea level, where that is known: what the rip figure asks for.
    pub fn level_about_mean(&self, at: Timestamp) -> Result<Option<Length>> {
        let level = self.level(at)?;
        Ok(self.about.mean_level.map(|mean| level - mean))
    }

    /// Half-width of the level at an instant: the prediction's claim and the weather's share.
    pub fn error(&self, at: Timestamp) -> Length {
        Length::of_m(self.error_m(unix_s(at)).0)
    }

    /// How fast the water rises (falls when negative), with what a negative residual gives back.
    pub fn rate(&self, at: Timestamp) -> Result<Speed> {
        self.predicted(at)?;
        let s = unix_s(at);
        let tide = match &self.kind {
            Kind::Harmonic(h) => h.rate_m_s(s),
            Kind::Curve(c) => c.rate_m_s(s).unwrap_or_default(),
        };
        Ok(Speed::of_mps(tide + self.carried_m(s).1))
    }

    /// High and low waters of the stretch, in order, with the residual as it is then. A tide that vanishes has none; ask
    /// for [`Turning::All`] to see double waters. Their times are those of the tide: a residual that fades by 0.4 m in a
    /// day moves a tide's turn by minutes, a very small one's by hours.
    pub fn turning_points(&self, which: Turning) -> Vec<TurningPoint> {
        let (from, to) = (unix_s(self.when.from()), unix_s(self.when.to()));
        let points = match &self.kind {
            // Wider than the stretch, so that a pair is judged the same whoever asks for which night.
            Kind::Harmonic(h) => turning::all(h, from - MARGIN_S, to + MARGIN_S),
            Kind::Curve(c) => c.points.clone(),
        };
        let points = if which == Turning::Printed { turning::printed(points) } else { points };
        // The last water of a table belongs to its stretch.
        let last = if let Kind::Curve(c) = &self.kind { c.points.last().map(|p| p.at_s) } else { None };
        points
            .into_iter()
            .filter(|p| (from..to).contains(&p.at_s) || (last == Some(p.at_s) && p.at_s == to))
            .map(|p| TurningPoint {
                at: instant(p.at_s),
                level: Length::of_m(p.level_m + self.carried_m(p.at_s).0),
                water: p.water,
            })
            .collect()
    }

    /// When the water stands above a level, within the stretch.
    pub fn above(&self, level: Length) -> Vec<Interval> {
        self.spans(level, true, End::Expected)
    }

    /// When the water stands below a level, within the stretch.
    pub fn below(&self, level: Length) -> Vec<Interval> {
        self.spans(level, false, End::Expected)
    }

    /// When it stands above a level at an end of [`Self::error`]: what may cut off the way out at its high end, what
    /// surely floats a boat over the bar at its low one.
    pub fn above_at(&self, level: Length, end: End) -> Vec<Interval> {
        self.spans(level, true, end)
    }

    /// When it stands below a level at an end of [`Self::error`]: the ledge is surely dry at its high end, perhaps at
    /// its low one.
    pub fn below_at(&self, level: Length, end: End) -> Vec<Interval> {
        self.spans(level, false, end)
    }

    fn carried(&self, at: Timestamp) -> Length {
        Length::of_m(self.carried_m(unix_s(at)).0)
    }

    fn carried_m(&self, unix_s: f64) -> Moving {
        self.residual.map_or((0.0, 0.0), |r| r.carried_m(unix_s))
    }

    fn error_m(&self, unix_s: f64) -> Moving {
        let (weather, pace) = self.residual.map_or((residual::unread().m(), 0.0), |r| r.error_m(unix_s));
        let claim = self.about.level_error.m();
        let error = (claim * claim + weather * weather).sqrt();
        (error, if error > 0.0 { weather * pace / error } else { 0.0 })
    }

    /// What is added to the prediction at an end of the error.
    fn added_m(&self, unix_s: f64, end: End) -> Moving {
        let (carried, error) = (self.carried_m(unix_s), self.error_m(unix_s));
        let side = match end {
            End::Expected => 0.0,
            End::High => 1.0,
            End::Low => -1.0,
        };
        (carried.0 + side * error.0, carried.1 + side * error.1)
    }

    /// Between turning points (and renewals of the node, where the level steps by millimetres) the water rises
    /// or falls throughout, so a level is passed at most once. What is added to it while a residual fades has it turn a
    /// little earlier or later: there the sum's own turns are sought.
    fn spans(&self, level: Length, above: bool, end: End) -> Vec<Interval> {
        let sought = level.m();
        let (from, to) = (unix_s(self.when.from()), unix_s(self.when.to()));
        let mut watch = Watch { above, since: None, spans: Vec::new() };
        let mut run = |from: f64, turns: Vec<f64>, to: f64, f: &dyn Fn(f64) -> Moving| {
            let whole = |s: f64| {
                let (tide, added) = (f(s), self.added_m(s, end));
                (tide.0 + added.0 - sought, tide.1 + added.1)
            };
            let turns = match self.residual {
                Some(r) => with_own_turns(from, turns, to, r.fading(), &whole),
                None => turns,
            };
            watch.run(from, turns.into_iter(), to, whole);
        };
        match &self.kind {
            Kind::Harmonic(h) => {
                let turns = turning::all(h, from, to);
                for (epoch, from, to) in h.epochs(from, to) {
                    let within = turns.iter().map(|p| p.at_s).filter(|t| (from..to).contains(t));
                    run(from, within.collect(), to, &|s| (h.mean_m + epoch.level_m(s), epoch.rate_m_s(s)));
                }
            }
            Kind::Curve(c) => {
                let within = c.points.iter().map(|p| p.at_s).filter(|t| (from..to).contains(t));
                let at = |s| c.level_m(s).or_else(|| c.nearest_m(s)).unwrap_or(f64::NAN);
                run(from, within.collect(), to, &|s| (at(s), c.rate_m_s(s).unwrap_or_default()));
            }
        }
        watch.end(to)
    }
}

/// Which end of the error is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Its middle: the level as it is told.
    Expected,
    /// The most the water is to be expected at.
    High,
    /// The least.
    Low,
}

/// The turns of a tide from `from` to `to`, and those of its sum with what fades meanwhile, in order: between two of
/// them the sum rises or falls throughout, but for less than [`FADING_STEP_S`].
fn with_own_turns(
    from: f64,
    mut turns: Vec<f64>,
    to: f64,
    (starts, ends): (f64, f64),
    f: &impl Fn(f64) -> Moving,
) -> Vec<f64> {
    let (a, b) = (starts.max(from), ends.min(to));
    if a >= b {
        return turns;
    }
    let mut at = a;
    while at < b {
        turns.push(at);
        at += FADING_STEP_S;
    }
    turns.push(b);
    turns.retain(|t| (from..to).contains(t));
    turns.sort_by(f64::total_cmp);
    let mut own = Vec::new();
    for pair in turns.windows(2) {
        let [mut a, mut b] = *pair else { continue };
        let rises = f(a).1 > 0.0;
        if a < starts || b > ends || rises == (f(b).1 > 0.0) {
            continue;
        }
        while b - a > CROSSING_S {
            let middle = f64::midpoint(a, b);
            if (f(middle).1 > 0.0) == rises {
                a = middle;
            } else {
                b = middle;
            }
        }
        own.push(b);
    }
    turns.extend(own);
    turns.sort_by(f64::total_cmp);
    turns
}

/// Follows the water through a stretch and notes when it stands on the wanted side of a level.
struct Watch {
    above: bool,
    since: Option<f64>,
    spans: Vec<Interval>,
}

impl Watch {
    fn set(&mut self, wanted: bool, at: f64) {
        match (wanted, self.since) {
            (true, None) => self.since = Some(at),
            (false, Some(since)) => {
                self.since = None;
                // Shorter than a millisecond is no time at all.
                self.spans
                    .extend(Interval::new(instant(since), instant(at)).ok().filter(|i| i.from() < i.to()));
            }
            _ => {}
        }
    }

    /// Along one smooth curve with its turns; `f` gives the height over the level, and its rate.
    fn run(&mut self, from: f64, turns: impl Iterator<Item = f64>, to: f64, f: impl Fn(f64) -> (f64, f64)) {
        // A height of just zero counts on both sides.
        let wanted = |height: f64| if self.above { height >= 0.0 } else { height <= 0.0 };
        let mut changes = vec![(from, wanted(f(from).0))];
        let mut a = from;
        for b in turns.chain([to]) {
            if let Some(at) = sweep::zero(&f, a, b, CROSSING_S) {
                changes.push((at, wanted(f(b).0)));
            }
            a = b;
        }
        for (at, wanted) in changes {
            self.set(wanted, at);
        }
    }

    fn end(mut self, to: f64) -> Vec<Interval> {
        self.set(false, to);
        self.spans
    }
}

fn prepare(station: &Station, when: Interval, nodes: NodeRule, which: Constituents) -> Result<Harmonic> {
    check_years(when)?;
    let constants = harmonic::read(&station.constants, &station.source, which);
    let (from, to) = (unix_s(when.from()) - FOLLOWER_MARGIN_S, unix_s(when.to()) + FOLLOWER_MARGIN_S);
    Ok(Harmonic::new(station.mean_level.m(), &constants, nodes, from, to))
}

/// Offsets can turn a close pair round: then both are left out.
fn in_order(points: Vec<Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for p in points {
        match kept.last() {
            Some(last) if last.at_s >= p.at_s => {
                kept.pop();
            }
            _ => kept.push(p),
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::astro::{Arguments, Factors, speed_deg_h};
    use super::constituent::{CONSTITUENTS, find};
    use super::*;
    use crate::facts::PackText;
    use proptest::prelude::*;
    use serde_json::Value;

    const FIXTURE: &str = include_str!("../../../tests/reference/fixtures/constituents.json");

    fn stations() -> Stations {
        Stations::read(&PackText::new("s", include_str!("../../../tests/reference/fixtures/stations.toml")))
            .unwrap()
    }

    fn seconds(text: &str) -> f64 {
        unix_s(text.parse().unwrap())
    }

    #[test]
    fn speeds_are_the_published_ones() {
        let data: Value = serde_json::from_str(FIXTURE).unwrap();
        for c in data["constituents"].as_array().unwrap() {
            let ours = &CONSTITUENTS[find(c["name"].as_str().unwrap()).unwrap()];
            let off = speed_deg_h(ours) - c["speed_deg_per_h"].as_f64().unwrap();
            assert!(off.abs() < 2e-6, "{} {off}", ours.name);
        }
    }

    #[test]
    fn node_factors_and_arguments_are_the_tabulated_ones() {
        let data: Value = serde_json::from_str(FIXTURE).unwrap();
        for (year, table) in data["mid_year_node_factors_f_u_deg"].as_object().unwrap() {
            let node = Factors::at(seconds(&format!("{year}-07-02T12:00Z")));
            for (name, fu) in table.as_object().unwrap() {
                let (f, u) = node.of(&CONSTITUENTS[find(name).unwrap()]);
                assert!((f - fu[0].as_f64().unwrap()).abs() < 1e-4, "{year} {name} f {f} {fu}");
                assert!((u - fu[1].as_f64().unwrap()).abs() < 0.01, "{year} {name} u {u} {fu}");
            }
        }
        for (year, table) in data["V0_plus_u"].as_object().unwrap() {
            let node = Factors::at(seconds(&format!("{year}-07-02T12:00Z")));
            let start = Arguments::at(seconds(&format!("{year}-01-01T00:00Z")));
            for (name, expected) in table.as_object().unwrap() {
                let c = &CONSTITUENTS[find(name).unwrap()];
                let ours = start.v_deg(c) + node.of(c).1;
                let off = (ours - expected.as_f64().unwrap() + 180.0).rem_euclid(360.0) - 180.0;
                assert!(off.abs() < 0.01, "{year} {name}: {off}");
            }
        }
    }

    #[test]
    fn heights_can_be_above_mean_sea_level() {
        let all = stations();
        let when = Interval::new(instant(1.79e9), instant(1.79e9 + 86400.0)).unwrap();
        let of = |id: &str| Tide::of_found(&all.get(id).unwrap(), when).unwrap();
        let (own, mean) = (of("boston_ma"), of("boston_ma").above_datum("msl").unwrap());
        assert_eq!((mean.about().datum.as_str(), mean.about().mean_level), ("MSL", Some(Length::ZERO)));
        for h in 0..24 {
            let at = instant(1.79e9 + 3600.0 * f64::from(h));
            let gap = own.level(at).unwrap() - mean.level(at).unwrap();
            assert!((gap.m() - 1.586).abs() < 1e-9, "{gap:?}");
            let (a, b) = (own.level_about_mean(at).unwrap(), mean.level_about_mean(at).unwrap());
            assert!((a.unwrap() - b.unwrap()).m().abs() < 1e-9);
        }
        let turns = |t: &Tide| t.turning_points(Turning::All);
        assert!(
            turns(&own)
                .iter()
                .zip(turns(&mean))
                .all(|(a, b)| a.at == b.at && (a.level.m() - b.level.m() - 1.586).abs() < 1e-9)
        );
        // A list goes the same way, and so does the time above a level.
        let spans = |t: &Tide, m: f64| t.above(Length::of_m(m));
        assert_eq!(spans(&own, 2.0), spans(&mean, 2.0 - 1.586));
        assert_eq!(of("boston_ma").above_datum("mllw").unwrap().about().datum, "MLLW");
        let e = of("boston_ma").above_datum("NAVD88").unwrap_err();
        assert!(e.error.contains("NAVD88") && e.allowed == "MLLW, MSL", "{e}");
        // The mean level of a place that follows another is not known.
        assert_eq!(of("craney_island_va").above_datum("MSL").unwrap_err().allowed, "MLLW");
    }

    #[test]
    fn outside_its_stretch_a_tide_says_so() {
        let all = stations();
        let when = Interval::new(instant(1.79e9), instant(1.79e9 + 86400.0)).unwrap();
        let tide = Tide::of_found(&all.get("boston_ma").unwrap(), when).unwrap();
        assert!(tide.level(instant(1.79e9 + 86401.0)).unwrap_err().error.contains("not known"));
        assert!(tide.level(instant(1.79e9 - 86400.0)).is_ok());
        let far = Interval::new(Timestamp::MIN, Timestamp::MIN).unwrap();
        assert!(Tide::of_found(&all.get("boston_ma").unwrap(), far).is_err());
    }

    #[test]
    fn a_typed_in_table_serves_like_a_station() {
        let text = "datum = 'LAT'\nsource = 'harbour office'\nwaters = [\
            { at = '2026-10-17T12:00Z', water = 'low', height = '0.2m' },\
            { at = '2026-10-17T18:00Z', water = 'high', height = '1.4m' },\
            { at = '2026-10-18T00:30Z', water = 'low', height = '0.4m' }]";
        let table: TideTable = PackText::new("t", text).read().unwrap();
        let when = |a: &str, b: &str| Interval::new(a.parse().unwrap(), b.parse().unwrap()).unwrap();
        let tide = Tide::of_table(&table, when("2026-10-17T13:00Z", "2026-10-18T00:00Z")).unwrap();
        assert_eq!(tide.turning_points(Turning::Printed).len(), 1);
        assert!((tide.level("2026-10-17T15:00Z".parse().unwrap()).unwrap().m() - 0.8).abs() < 1e-9);
        let above = tide.above(Length::of_m(0.8));
        assert_eq!(above.len(), 1);
        // Up at 15:00, down where cos falls to -0.2: 3.667 h after high water.
        assert!((above[0].length().h() - 6.667).abs() < 1e-3, "{above:?}");
        assert_eq!(tide.about().datum, "LAT");
        assert!(Tide::of_table(&table, when("2026-10-17T13:00Z", "2026-10-18T03:00Z")).is_err());
    }

    #[test]
    fn water_below_the_prediction_is_told_no_longer_than_a_day() {
        let all = stations();
        let when = Interval::new("2026-09-15T04:00Z".parse().unwrap(), "2026-09-18T04:00Z".parse().unwrap())
            .unwrap();
        let tide = Tide::of_found(&all.get("boston_ma").unwrap(), when).unwrap();
        let low = tide.clone().with_residual(Residual::said(Length::of_m(-0.4), when.from()).unwrap());
        let at = |h: f64| shift(when.from(), 3600.0 * h);
        let apart = |h: f64| (low.level(at(h)).unwrap() - tide.level(at(h)).unwrap()).m();
        assert!((apart(0.0) + 0.4).abs() < 1e-9 && (apart(6.0) + 0.3).abs() < 1e-9 && apart(25.0) == 0.0);
        // Lists, turning points and times above a level say the same.
        for (i, level) in low.levels(when.from(), Span::of_min(30.0), 100).unwrap().iter().enumerate() {
            assert!((*level - low.level(at(0.5 * i as f64)).unwrap()).m().abs() < 1e-9);
        }
        for (p, q) in low.turning_points(Turning::All).iter().zip(tide.turning_points(Turning::All)) {
            let age_h = p.at.duration_since(when.from()).as_secs_f64() / 3600.0;
            assert!((p.level.m() - q.level.m() + 0.4 * (1.0 - age_h / 24.0).max(0.0)).abs() < 1e-6);
        }
        let border = Length::of_m(2.6);
        assert_eq!(low.above(border).last(), tide.above(border).last());
        let h = at(3.0);
        let slope = low.rate(h).unwrap().mps() - tide.rate(h).unwrap().mps();
        assert!((slope - 0.4 / 86400.0).abs() < 1e-12);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn times_above_a_level_follow_what_fades_and_its_error(
            which in 0usize..12, day in 0i64..20_000, level in -0.5..2.5f64, value in -0.4..0.5f64,
            spread in 0.0..0.4f64, taken_h in -30.0..40.0f64,
        ) {
            let all = stations();
            let from = 1.0e9 + day as f64 * 86400.0;
            let when = Interval::new(instant(from), instant(from + 2.0 * 86400.0)).unwrap();
            let found = if which < 11 { all.get(&all.stations[which].id) } else { all.get("craney_island_va") };
            let at = instant(from + 3600.0 * taken_h);
            let residual = Residual { value: Length::of_m(value), spread: Length::of_m(spread), at, readings: 3 };
            let tide = Tide::of_found(&found.unwrap(), when).unwrap().with_residual(residual);
            let border = Length::of_m(level);
            let holds = |list: &[Interval], at: Timestamp| list.iter().any(|i| i.from() <= at && at < i.to());
            let (above, below) = (tide.above(border), tide.below(border));
            let perhaps = tide.above_at(border, End::High);
            let floats = tide.above_at(border, End::Low);
            let surely = tide.below_at(border, End::High);
            let may_be = tide.below_at(border, End::Low);
            for i in 0..576 {
                let at = instant(from + 300.0 * f64::from(i));
                let (stands, error) = (tide.level(at).unwrap().m(), tide.error(at).m());
                for (list, over) in [
                    (&above, stands - level),
                    (&below, level - stands),
                    (&perhaps, stands + error - level),
                    (&floats, stands - error - level),
                    (&surely, level - stands - error),
                    (&may_be, level - stands + error),
                ] {
                    prop_assert!(over.abs() < 0.002 || holds(list, at) == (over > 0.0), "{} {}", at, over);
                }
            }
        }

        #[test]
        fn heights_stay_within_the_sum_of_amplitudes(
            which in 0usize..11, day in 0i64..60_000, step in 0u32..200, daily in any::<bool>(),
        ) {
            let all = stations();
            let s = &all.stations[which];
            let from = -2.0e9 + day as f64 * 86400.0;
            let when = Interval::new(instant(from), instant(from + 30.0 * 86400.0)).unwrap();
            let rule = if daily { NodeRule::Daily } else { NodeRule::MidYear };
            let tide = Tide::of_station_with(s, when, rule).unwrap();
            let at = instant(from + f64::from(step) * 12345.0 % (29.0 * 86400.0));
            let node = Factors::at(unix_s(at));
            // A tenth of room: the node may be held half a year away.
            let bound: f64 = s.constants.iter()
                .map(|k| (constituent::get(k.index).unwrap(), k.amplitude_m))
                .map(|(c, a)| node.of(&c).0 * c.scale * a).sum::<f64>() * 1.1;
            let level = tide.predicted(at).unwrap() - s.mean_level;
            prop_assert!(level.m().abs() <= bound, "{} {} {}", s.id, level.m(), bound);
        }

        #[test]
        fn turning_points_alternate_and_bound_the_water_between(
            which in 0usize..11, day in 0i64..40_000, all_of_them in any::<bool>(),
        ) {
            let all = stations();
            let from = -1.0e9 + day as f64 * 86400.0;
            let when = Interval::new(instant(from), instant(from + 8.0 * 86400.0)).unwrap();
            let tide = Tide::of_station(&all.stations[which], when).unwrap();
            let points = tide.turning_points(if all_of_them { Turning::All } else { Turning::Printed });
            for w in points.windows(2) {
                prop_assert!(w[0].water != w[1].water && w[0].at < w[1].at);
                prop_assert_eq!(w[0].level.m() > w[1].level.m(), w[0].water == Water::High);
                if all_of_them {
                    let t = f64::midpoint(unix_s(w[0].at), unix_s(w[1].at));
                    let (low, high) = (w[0].level.min(w[1].level).m(), w[0].level.max(w[1].level).m());
                    // New year's step is the only break.
                    prop_assert!((low - 0.02..=high + 0.02).contains(&tide.level(instant(t)).unwrap().m()));
                }
            }
        }

        #[test]
        fn above_and_below_share_the_night(which in 0usize..12, day in 0i64..20_000, level in -0.5..2.5f64) {
            let all = stations();
            let from = 1.0e9 + day as f64 * 86400.0;
            let when = Interval::new(instant(from), instant(from + 4.0 * 86400.0)).unwrap();
            let found = if which < 11 { all.get(&all.stations[which].id) } else { all.get("craney_island_va") };
            let tide = Tide::of_found(&found.unwrap(), when).unwrap();
            let level = Length::of_m(level);
            let (above, below) = (tide.above(level), tide.below(level));
            let total: f64 = above.iter().chain(&below).map(|i| i.length().s()).sum();
            prop_assert!((total - when.length().s()).abs() < 1.0, "{total}");
            for i in &above {
                let middle = instant(f64::midpoint(unix_s(i.from()), unix_s(i.to())));
                prop_assert!(tide.level(middle).unwrap().m() >= level.m() - 0.001);
            }
            // A higher level is passed for no longer.
            let higher: f64 = tide.above(level + Length::of_m(0.1)).iter().map(|i| i.length().s()).sum();
            prop_assert!(higher <= above.iter().map(|i| i.length().s()).sum::<f64>() + 1.0);
        }
    }
}
