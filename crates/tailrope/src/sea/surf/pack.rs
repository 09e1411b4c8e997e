//! The surf pack (`data/surf.toml`): what a crew may set for its own beach, with grade and source of every figure.

use crate::facts::{Band, Figure, PackText, Source};
use crate::quantity::{Angle, Length, Mass, Span, Speed};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// What the pack is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meta {
    /// `surf`.
    pub id: String,
    /// In words.
    pub title: String,
    /// Day on which it was written.
    pub as_of: String,
}

/// What counts when nobody knows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unknowns {
    /// Undertow; planning takes its high end.
    pub undertow: Figure<Band<Speed>>,
    /// Current along the beach; planning takes its high end.
    pub along: Figure<Band<Speed>>,
    /// Minutes that people stand in the water at a landing.
    pub landing: Figure<Span>,
    /// Height of a handler whom nobody named: a light one.
    pub body_height: Figure<Length>,
    /// Mass of that handler.
    pub body_mass: Figure<Mass>,
    /// How far the water may stand from mean sea level either way.
    pub level_swing: Figure<Length>,
}

/// Waves at a depth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaveRows {
    /// Error of breaker heights on top of the range of the rules, as a share.
    pub breaker_error: Figure<f64>,
    /// Error of a height reckoned for a depth, as a share.
    pub local_error: Figure<f64>,
    /// Height of a set wave over the significant height.
    pub set_share: Figure<f64>,
    /// Below this height the sea is nearly flat.
    pub calm: Figure<Length>,
}

/// Wash.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunUpRows {
    /// Scatter of the equation.
    pub scatter: Figure<Band<Length>>,
    /// Run-up is taken this many times for the dry line.
    pub spare: Figure<f64>,
}

/// Current along the beach.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CurrentRows {
    /// Error of the equation, as a share either way.
    pub error: Figure<f64>,
    /// Error of the waves' angle to the beach, read off a compass or given in degrees.
    pub angle_error: Figure<Angle>,
    /// The same where it was given by a compass word, as SSE.
    pub compass_error: Figure<Angle>,
    /// Share of the along-beach wind speed that the surface water takes up.
    pub wind_share: Figure<Band<f64>>,
}

/// Errors of what a crew measures with feet and a watch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasuredRows {
    /// A pace nobody has measured.
    pub pace: Figure<Length>,
    /// Its error, as a share.
    pub pace_error: Figure<f64>,
    /// Error of a pace stepped off along a tape, as a share.
    pub taped_error: Figure<f64>,
    /// Error of a time taken by eye.
    pub watch: Figure<Span>,
    /// What a single run of a float leaves unseen, as a share of the current.
    pub one_run: Figure<f64>,
    /// What two runs leave unseen.
    pub two_runs: Figure<f64>,
    /// Spread of single wave periods about their mean, as a share.
    pub wave_spread: Figure<f64>,
    /// Error of a slope judged by eye, as a share.
    pub slope_error: Figure<f64>,
    /// Error of a breaker's height judged by eye, as a share.
    pub breakers_error: Figure<f64>,
}

/// Limits of standing in the water.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandingRows {
    /// Depth times speed for all adults, m2/s.
    pub adult_m2_s: Figure<f64>,
    /// Depth times speed for a light person (25 to 50 m kg), m2/s.
    pub light_m2_s: Figure<f64>,
    /// Deepest for a light person.
    pub light_depth: Figure<Length>,
    /// Nobody stands in faster water.
    pub fastest: Figure<Speed>,
    /// Height of the knee over body height.
    pub knee: Figure<f64>,
    /// Greatest height of a wave over the still depth in the inner surf.
    pub inner_surf: Figure<f64>,
}

/// Bait on the bed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BaitRows {
    /// Largest share of the depth that significant waves keep.
    pub significant_cap: Figure<f64>,
}

/// The pack as read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurfPack {
    /// What it is.
    pub meta: Meta,
    /// What counts when nobody knows.
    pub unknown: Unknowns,
    /// Waves at a depth.
    pub waves: WaveRows,
    /// Wash.
    pub run_up: RunUpRows,
    /// Current along the beach.
    pub current: CurrentRows,
    /// Errors of measuring.
    pub measured: MeasuredRows,
    /// Standing in the water.
    pub standing: StandingRows,
    /// Bait on the bed.
    pub bait: BaitRows,
    /// Sources by handle.
    pub source: Vec<Source>,
}

impl SurfPack {
    /// Reads and checks the pack: every figure finite and within what it can mean, bands in order, every handle
    /// among the sources.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let pack: Self = text.read()?;
        if pack.meta.id != "surf" {
            return Err(text.refuse(
                "meta.id",
                format!("the pack is `{}`", pack.meta.id),
                "surf",
                "give the surf pack",
            ));
        }
        for row in pack.rows() {
            row.check(&pack.source).map_err(|e| text.place(row.path, e))?;
        }
        Ok(pack)
    }

    /// The citation behind a handle; the handle itself where there is none.
    pub fn cite<'a>(&'a self, handle: &'a str) -> &'a str {
        self.source.iter().find(|s| s.id == handle).map_or(handle, |s| s.cite.as_str())
    }

    fn rows(&self) -> Vec<Row<'_>> {
        let (u, w, r, c) = (&self.unknown, &self.waves, &self.run_up, &self.current);
        let (m, s) = (&self.measured, &self.standing);
        let band = |path, f: &'_ Figure<Band<Speed>>, most| Row::new(path, three(f.value, Speed::mps), most);
        vec![
            band("unknown.undertow", &u.undertow, (0.0, 2.0)).of(&u.undertow.source),
            band("unknown.along", &u.along, (0.0, 3.0)).of(&u.along.source),
            Row::one("unknown.landing", u.landing.value.min_(), (0.5, 120.0)).of(&u.landing.source),
            Row::one("unknown.body_height", u.body_height.value.m(), (1.0, 2.3)).of(&u.body_height.source),
            Row::one("unknown.body_mass", u.body_mass.value.kg(), (25.0, 250.0)).of(&u.body_mass.source),
            Row::one("unknown.level_swing", u.level_swing.value.m(), (0.0, 8.0)).of(&u.level_swing.source),
            Row::one("waves.breaker_error", w.breaker_error.value, (0.0, 0.9)).of(&w.breaker_error.source),
            Row::one("waves.local_error", w.local_error.value, (0.0, 0.9)).of(&w.local_error.source),
            Row::one("waves.set_share", w.set_share.value, (1.0, 3.0)).of(&w.set_share.source),
            Row::one("waves.calm", w.calm.value.m(), (0.0, 0.5)).of(&w.calm.source),
            Row::new("run_up.scatter", three(r.scatter.value, Length::m), (0.0, 3.0)).of(&r.scatter.source),
            Row::one("run_up.spare", r.spare.value, (1.0, 5.0)).of(&r.spare.source),
            Row::one("current.error", c.error.value, (0.0, 0.9)).of(&c.error.source),
            Row::one("current.angle_error", c.angle_error.value.deg(), (0.0, 45.0)).of(&c.angle_error.source),
            Row::one("current.compass_error", c.compass_error.value.deg(), (0.0, 45.0))
                .of(&c.compass_error.source),
            Row::new("current.wind_share", three(c.wind_share.value, |x| x), (0.0, 0.1))
                .of(&c.wind_share.source),
            Row::one("measured.pace", m.pace.value.m(), (0.3, 1.2)).of(&m.pace.source),
            Row::one("measured.pace_error", m.pace_error.value, (0.0, 0.5)).of(&m.pace_error.source),
            Row::one("measured.taped_error", m.taped_error.value, (0.0, 0.5)).of(&m.taped_error.source),
            Row::one("measured.watch", m.watch.value.s(), (0.0, 2.5)).of(&m.watch.source),
            Row::one("measured.one_run", m.one_run.value, (0.0, 0.9)).of(&m.one_run.source),
            Row::one("measured.two_runs", m.two_runs.value, (0.0, 0.9)).of(&m.two_runs.source),
            Row::one("measured.wave_spread", m.wave_spread.value, (0.0, 1.0)).of(&m.wave_spread.source),
            Row::one("measured.slope_error", m.slope_error.value, (0.0, 0.9)).of(&m.slope_error.source),
            Row::one("measured.breakers_error", m.breakers_error.value, (0.0, 0.9))
                .of(&m.breakers_error.source),
            Row::one("standing.adult_m2_s", s.adult_m2_s.value, (0.0, 1.2)).of(&s.adult_m2_s.source),
            Row::one("standing.light_m2_s", s.light_m2_s.value, (0.0, 0.6)).of(&s.light_m2_s.source),
            Row::one("standing.light_depth", s.light_depth.value.m(), (0.0, 1.2)).of(&s.light_depth.source),
            Row::one("standing.fastest", s.fastest.value.mps(), (0.0, 3.0)).of(&s.fastest.source),
            Row::one("standing.knee", s.knee.value, (0.05, 0.35)).of(&s.knee.source),
            Row::one("standing.inner_surf", s.inner_surf.value, (0.5, 1.5)).of(&s.inner_surf.source),
            Row::one("bait.significant_cap", self.bait.significant_cap.value, (0.3, 1.0))
                .of(&self.bait.significant_cap.source),
        ]
    }
}

fn three<T: Copy>(band: Band<T>, number: impl Fn(T) -> f64) -> [f64; 3] {
    [number(band.low), number(band.central), number(band.high)]
}

/// One figure to check.
struct Row<'a> {
    path: &'static str,
    values: [f64; 3],
    bounds: (f64, f64),
    source: &'a str,
}

impl<'a> Row<'a> {
    fn new(path: &'static str, values: [f64; 3], bounds: (f64, f64)) -> Self {
        Self { path, values, bounds, source: "" }
    }

    fn one(path: &'static str, value: f64, bounds: (f64, f64)) -> Self {
        Self::new(path, [value; 3], bounds)
    }

    fn of(self, source: &'a str) -> Self {
        Self { source, ..self }
    }

    fn check(&self, sources: &[Source]) -> Result<()> {
        let [low, central, high] = self.values;
        let (least, most) = self.bounds;
        // Written so that a NaN fails.
        if !(low >= least && low <= central && central <= high && high <= most) {
            return Err(Error::new(
                format!("the figure is {low}, {central}, {high}"),
                format!("{least} to {most} in rising order"),
                "correct this figure",
            ));
        }
        if !sources.iter().any(|s| s.id == self.source) {
            return Err(Error::new(
                format!("there is no source `{}`", self.source),
                "the id of a [[source]] of this pack",
                "add the source, or name another",
            ));
        }
        Ok(())
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    const SHIPPED: &str = include_str!("../../../../../data/surf.toml");

    /// The shipped pack.
    pub(in crate::sea::surf) fn shipped() -> SurfPack {
        SurfPack::read(&PackText::new("surf.toml", SHIPPED)).unwrap()
    }

    #[test]
    fn every_row_is_checked() {
        // As many rows as the text has figures.
        assert_eq!(shipped().rows().len(), SHIPPED.matches("grade =").count());
        assert!(shipped().cite("sets").starts_with("Judgement: current pulses"));
    }

    #[test]
    fn refuses_what_would_let_people_deeper() {
        for (from, to, path) in [
            ("adult_m2_s = { value = 0.6", "adult_m2_s = { value = 2.0", "standing.adult_m2_s"),
            ("spare = { value = 1.5", "spare = { value = 0.5", "run_up.spare"),
            ("spare = { value = 1.5", "spare = { value = nan", "run_up.spare"),
            ("knee = { value = 0.28", "knee = { value = 0.6", "standing.knee"),
            (
                "low = \"0.30m\", central = \"0.35m\"",
                "low = \"0.40m\", central = \"0.35m\"",
                "run_up.scatter",
            ),
            ("source = \"body\"", "source = \"nobody\"", "standing.knee"),
        ] {
            assert!(SHIPPED.contains(from), "{from}");
            let text = SHIPPED.replace(from, to);
            let e = SurfPack::read(&PackText::new("surf.toml", &text)).unwrap_err();
            assert!(e.place.starts_with("surf.toml, line ") && e.place.ends_with(path), "{to}: {e}");
        }
        assert!(SurfPack::read(&PackText::new("surf.toml", &(SHIPPED.to_owned() + "\n[more]\n"))).is_err());
    }
}
