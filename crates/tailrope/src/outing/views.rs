//! Water, sky and steps of a night as the plan shows them.

use super::assess::{self, Ctx};
use super::plan::{MoonView, SkyView, StepView, TideView};
use super::windows;
use crate::Result;
use crate::quantity::{Interval, Length, Place, Speed};
use crate::sea::tide::{Turning, Water};
use jiff::SignedDuration;

/// Height of the sun's centre at sunrise and sunset: refraction and half its disc (by convention 50 minutes of arc).
const SUNRISE_DEG: f64 = -0.8333;

pub(super) fn tide(ctx: &Ctx<'_>) -> Vec<TideView> {
    let Some(tide) = &ctx.here.tide else { return Vec::new() };
    let late = ctx.hours.until.checked_add(SignedDuration::from_hours(6)).unwrap_or(ctx.hours.until);
    tide.turning_points(Turning::Printed)
        .into_iter()
        .filter(|p| p.at <= late)
        .map(|p| TideView {
            at: windows::local(p.at, &ctx.hours.zone),
            what: match p.water {
                Water::High => "high".to_owned(),
                Water::Low => "low".to_owned(),
            },
            height_m: p.level.m(),
            datum: tide.about().datum.clone(),
        })
        .collect()
}

pub(super) fn sky(ctx: &Ctx<'_>, place: Place) -> Result<Vec<SkyView>> {
    let hour = SignedDuration::from_hours(1);
    let from = ctx.hours.from.checked_sub(hour).unwrap_or(ctx.hours.from);
    let to = ctx.hours.until.checked_add(hour * 6).unwrap_or(ctx.hours.until);
    Ok(crate::sky::events(place, Interval::new(from, to)?)?
        .into_iter()
        .map(|e| SkyView { at: windows::local(e.at, &ctx.hours.zone), what: e.what.word().to_owned() })
        .collect())
}

pub(super) fn moon(ctx: &Ctx<'_>) -> Result<MoonView> {
    let half = ctx.hours.until.duration_since(ctx.hours.from) / 2;
    let light = crate::sky::moon_light(ctx.hours.from.checked_add(half).unwrap_or(ctx.hours.from))?;
    let up = ctx.moments.iter().filter(|m| m.moon_deg > 0.0).count();
    let darkest_lux = ctx.moments.iter().map(|m| m.lux).reduce(f64::min).unwrap_or_default();
    Ok(MoonView {
        phase: crate::sky::moon_shape(light.elongation_deg),
        lit: light.illuminated,
        up: up as f64 / ctx.moments.len().max(1) as f64,
        darkest_lux,
        darkest_like: crate::sky::as_bright_as(darkest_lux),
        moonlight_lux: ctx.moments.iter().map(|m| m.moon_lux).fold(0.0, f64::max),
    })
}

pub(super) fn steps(ctx: &Ctx<'_>, steps: &[windows::Step]) -> Vec<StepView> {
    ctx.moments
        .iter()
        .zip(steps)
        .map(|(m, step)| {
            let c = ctx.conditions_at(m.at);
            StepView {
                at: windows::local(m.at, &ctx.hours.zone),
                state: match (step.stops.is_empty(), step.cautions.is_empty()) {
                    (false, _) => "closed",
                    (true, false) => "caution",
                    (true, true) => "open",
                },
                light: match m.sun_deg {
                    d if d < assess::DARK_DEG => "dark",
                    d if d < SUNRISE_DEG => "twilight",
                    _ => "day",
                },
                moon_up: m.moon_deg > 0.0,
                light_lux: m.lux,
                level_m: m.level.map(Length::m),
                breaker_m: c.breaker.get().map(Length::m),
                wind_mps: c.wind.get().map(Speed::mps),
            }
        })
        .collect()
}
