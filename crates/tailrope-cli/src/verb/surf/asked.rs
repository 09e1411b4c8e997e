//! What was typed, as the library asks it.

use super::Surf;
use crate::answer::Failure;
use clap::ValueEnum;
use jiff::civil::Time;
use jiff::{Timestamp, ZonedDateTime};
use tailrope::facts::Known;
use tailrope::math::sin;
use tailrope::quantity::{Angle, Length, Mass, Slope, Span, Speed};
use tailrope::sea::surf::{
    Drift, Handler, PeriodFrom, Sea, Shore, SurfPack, Swell, Wader, WashSeen, breakers_by_eye,
    deep_water_height,
};
use tailrope::{Error, Result};

/// Whether a big sea peaked lately.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum EventSaid {
    Yes,
    No,
    Unknown,
}

/// A person as typed.
#[derive(Clone, Debug)]
pub struct WaderSaid {
    /// Role or name; empty: none was typed.
    pub name: String,
    /// Height.
    pub height: Length,
    /// Mass.
    pub mass: Mass,
    body: Wader,
}

/// Somebody who may stand in the water, as a flag value: `1.80m,85kg`, `leader:1.80m,85kg`.
pub fn wader(text: &str) -> Result<WaderSaid> {
    let (name, sizes) = text.split_once(':').map_or(("", text), |(n, s)| (n.trim(), s));
    let (height, mass) = sizes.split_once(',').ok_or_else(|| {
        Error::new(
            format!("`{}` is not a person", text.chars().take(40).collect::<String>()),
            "height, a comma, mass; a role or name and a colon before them if you like",
            "write it like 1.80m,85kg or leader:1.80m,85kg",
        )
    })?;
    let (height, mass): (Length, Mass) = (height.parse()?, mass.parse()?);
    let name = name.chars().take(40).collect();
    Ok(WaderSaid { name, height, mass, body: Wader::new(height, mass)? })
}

/// Relative humidity as a flag value.
pub fn percent(text: &str) -> Result<f64> {
    match text.trim().trim_end_matches('%').trim().parse::<f64>() {
        Ok(x) if (0.0..=100.0).contains(&x) => Ok(x),
        _ => Err(Error::new(
            format!("`{}` is no humidity", text.chars().take(20).collect::<String>()),
            "0 to 100 per cent",
            "write it like 80%",
        )),
    }
}

/// A compass direction as a flag value: 0 to 360 degrees.
pub fn compass(text: &str) -> Result<Angle> {
    const WORDS: [&str; 16] =
        ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];
    let word = text.trim();
    if let Some(i) = WORDS.iter().position(|w| w.eq_ignore_ascii_case(word)) {
        return Ok(Angle::of_deg(22.5 * i as f64));
    }
    let angle: Angle = word.parse().map_err(|e: Error| Error {
        allowed: "0 to 360 degrees from north by east, or a compass word, N to NNW".to_owned(),
        ..e
    })?;
    if (0.0..=360.0).contains(&angle.deg()) {
        return Ok(angle);
    }
    Err(Error::new(
        format!("`{}` is no compass direction", text.chars().take(20).collect::<String>()),
        "0 to 360 degrees from north by east",
        "look straight out to sea and read the compass: write it like 120deg",
    ))
}

/// When thunder was heard.
#[derive(Clone, Debug)]
pub enum Heard {
    /// By a watch, no day and no zone said.
    Clock(Time),
    /// An instant, to be shown in the offset or zone in which it was typed.
    Instant(Box<ZonedDateTime>),
}

impl Heard {
    /// The moment a wait later, shown as it was typed.
    pub fn after(&self, later: impl Fn(Timestamp) -> Timestamp, wait: Span) -> String {
        match self {
            #[allow(clippy::cast_possible_truncation)] // minutes of a wait
            Self::Clock(t) => {
                let t = t.wrapping_add(jiff::SignedDuration::from_secs(wait.s() as i64));
                format!("{} by the same watch", t.strftime("%H:%M"))
            }
            Self::Instant(z) => {
                let zone = z.time_zone();
                tailrope::outing::windows::local(later(z.timestamp()), zone)
            }
        }
    }
}

/// A clock or an instant as a flag value.
pub fn heard(text: &str) -> Result<Heard> {
    let text = text.trim();
    if let Ok(zoned) = text.parse::<ZonedDateTime>() {
        return Ok(Heard::Instant(Box::new(zoned)));
    }
    let offset = jiff::fmt::temporal::Pieces::parse(text).ok();
    if let (Some(pieces), Ok(at)) = (offset, text.parse::<Timestamp>()) {
        let zone = pieces.to_numeric_offset().map_or(jiff::tz::TimeZone::UTC, jiff::tz::TimeZone::fixed);
        return Ok(Heard::Instant(Box::new(at.to_zoned_datetime(zone))));
    }
    let bare = text.len() <= 8 && text.contains(':');
    match text.parse::<Time>() {
        Ok(t) if bare => Ok(Heard::Clock(t)),
        _ => Err(Error::new(
            format!("`{}` is no time", text.chars().take(40).collect::<String>()),
            "a clock as 21:40, or an instant with its offset",
            "write it like 21:40 or 2026-10-17T21:40-05:00",
        )),
    }
}

/// The longest period of a sea.
fn trains_longest(sea: &Sea) -> Option<Span> {
    sea.trains().iter().map(|s| s.period()).reduce(Span::max)
}

impl Surf {
    /// The sea as typed and, where it was counted, where its period comes from.
    fn sea(&self, pack: &SurfPack) -> std::result::Result<(Sea, Option<PeriodFrom>), Failure> {
        let trains = &self.files.trains;
        let highest = trains.iter().map(|t| t.height).max_by(|a, b| a.m().total_cmp(&b.m()));
        let timed = self.period.is_some() || self.waves.is_some() || !trains.is_empty();
        if self.breakers.is_some() && !(timed && self.sloped()) {
            // The break stands for itself; what asks for the sea stays open.
            return Ok((Sea::Unknown, None));
        }
        let Some(height) = self.hs.or(self.breakers).or(highest) else { return Ok((Sea::Unknown, None)) };
        if self.period.is_none() && self.waves.is_none() && !trains.is_empty() {
            self.slope_said()?;
            return Ok((self.sea_of_files(pack)?, Some(PeriodFrom::Said)));
        }
        let angle = self.off_square().unwrap_or(Angle::ZERO);
        if self.period.is_none() && self.waves.is_none() {
            return Err(Error::new(
                "the period of the waves is not said",
                "a peak period or counted waves",
                "write --period 9s, or count for a minute or more and write --waves 8:1min",
            )
            .within("--period")
            .into());
        }
        self.slope_said()?;
        let one = |t: Span, h: Length, a: Angle| Swell::new(h, t, a);
        let (said, counted) = (self.period.into(), self.waves.into());
        let (sea, from) = match self.breakers {
            Some(seen) => Sea::judged(seen, said, counted, angle, &pack.measured),
            None => Sea::seen(height, said, counted, angle, &pack.measured),
        }?;
        let mut trains = sea.trains().to_vec();
        let unsure = matches!(sea, Sea::Between(_));
        if let (Some(h), Some(t)) = (self.hs2, self.period2) {
            if unsure {
                // Of one train known roughly its long end, beside the other.
                trains.retain(|s| trains_longest(&sea).is_none_or(|t| s.period() >= t));
            }
            trains.push(one(t, h, self.angle2.unwrap_or(Angle::ZERO))?);
            return Ok((Sea::Apart(trains), from));
        }
        if self.or_period.is_empty() {
            return Ok((sea, from));
        }
        for t in &self.or_period {
            trains.push(one(*t, self.judged_at(*t, pack)?.unwrap_or(height), angle)?);
        }
        Ok((Sea::Jumping(trains), from))
    }

    /// Height in deep water of the breakers that were judged by eye, were the period this one.
    fn judged_at(&self, period: Span, pack: &SurfPack) -> Result<Option<Length>> {
        let high = self.breakers.map(|b| breakers_by_eye(b, &pack.measured)).transpose()?;
        Ok(high.map(|b| deep_water_height(b.high, period)))
    }

    fn slope_said(&self) -> std::result::Result<(), Failure> {
        if !self.sloped() {
            return Err(Error::new(
                "the slope of the beach is not said",
                "rise over run, as 0.02, 1:50 or 2%",
                "write --slope 1:50; step off the wet sand and sight its fall against the horizon",
            )
            .within("--slope")
            .into());
        }
        Ok(())
    }

    /// How the waves stand to the beach: as typed, else as the file of the worst train says.
    fn off_square(&self) -> Option<Angle> {
        self.angle.or(self.files.trains.first().and_then(|t| t.angle))
    }

    /// Whether anybody said that of every train that is reckoned with.
    fn off_square_known(&self) -> bool {
        let of_files = self.period.is_none() && self.waves.is_none() && !self.files.trains.is_empty();
        match self.angle {
            Some(_) => true,
            None if of_files => self.files.trains.iter().all(|t| t.angle.is_some()),
            None => self.off_square().is_some(),
        }
    }

    /// The trains of the files, what was typed in place of theirs.
    fn sea_of_files(&self, pack: &SurfPack) -> Result<Sea> {
        let mut trains = Vec::new();
        for t in &self.files.trains {
            let period = t.period.min(Span::of_s(30.0)).max(Span::of_s(1.0));
            let seen = self.hs.or(self.judged_at(period, pack)?);
            let height = seen.unwrap_or(t.height).min(Length::of_m(20.0));
            // A short train with the height of the whole sea stands no higher than water can.
            let height = height.min(Swell::steepest(period).max(Length::of_m(0.01)));
            let train = Swell::new(height, period, self.angle.or(t.angle).unwrap_or(Angle::ZERO))?;
            if !trains.contains(&train) {
                trains.push(train);
            }
        }
        Ok(if trains.len() == 1 { Sea::Apart(trains) } else { Sea::Jumping(trains) })
    }

    /// The beach as typed.
    pub fn shore(&self, pack: &SurfPack) -> std::result::Result<(Shore, Option<PeriodFrom>), Failure> {
        let (sea, from) = self.sea(pack)?;
        // Without waves no slope is asked for, and none is used.
        let any = Slope::of_rise_over_run(0.02)?;
        let near = self.slope.or(self.foreshore).unwrap_or(any);
        let face = self.foreshore.or(self.slope).unwrap_or(any);
        let second_known = self.hs2.is_none() || self.angle2.is_some();
        let mut shore = Shore::of(sea, face, near);
        shore.angle_known = self.off_square_known() && second_known;
        shore.still_water = self.level.into();
        shore.about_mean = self.level.zip(self.mean).map(|(l, m)| l - m).into();
        shore.wind_along = match (self.wind, self.wind_angle) {
            (Some(v), Some(a)) => Drift::Along(Speed::of_mps(v.mps() * sin(a.rad()))),
            (Some(v), None) => Drift::EitherWay(v),
            (None, _) => Drift::Unknown,
        };
        shore.dark = if self.day {
            Known::Known(false)
        } else if self.night {
            Known::Known(true)
        } else {
            Known::Unknown
        };
        shore.current = self.current.into();
        shore.undertow = self.undertow.into();
        shore.floats.clone_from(&self.float);
        // Without a slope the paces say how far the wash comes and not how high: the slope taken falls out of the
        // reach again, and so does its error.
        let slope_measured = self.slope_measured || !self.sloped();
        shore.wash = self.wash.map(|w| WashSeen { slope_measured, ..w }).into();
        shore.breakers = self.breakers.into();
        shore.after_big_sea = match self.after_big_sea {
            Some(EventSaid::Yes) => Known::Known(true),
            Some(EventSaid::No) => Known::Known(false),
            Some(EventSaid::Unknown) | None => Known::Unknown,
        };
        shore.at_5_m = self.hs_5m.into();
        shore.depths.clone_from(&self.depth);
        shore.landing = self.landing.into();
        shore.soak = self.soak.into();
        let unnamed = Handler {
            name: "nobody named".to_owned(),
            body: Wader::new(pack.unknown.body_height.value, pack.unknown.body_mass.value)?,
        };
        shore.handlers = self
            .wader
            .iter()
            .enumerate()
            .map(|(i, w)| Handler {
                name: if w.name.is_empty() { format!("handler {}", i + 1) } else { w.name.clone() },
                body: w.body,
            })
            .collect();
        if shore.handlers.is_empty() {
            shore.handlers.push(unnamed);
        }
        Ok((shore, from))
    }
}
