//! Taking the bait out: the paddler's rows, and the ways that are always refused.

use super::{Ctx, Moment};
use crate::facts::{Grade, Known};
use crate::outing::conditions::Conditions;
use crate::outing::file::{Delivery, WindFrom};
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::HoldView;

/// Sun below this is dark for somebody on the water: the end of civil twilight.
const DARK_DEG: f64 = -6.0;
/// Fog by the meteorological definition: visibility under 1 km.
const FOG_KM: f64 = 1.0;

/// State word of the light for a paddler.
///
/// `dark`: some bait goes out after civil dusk. `moon`: the moon lights every dark moment.
pub(in crate::outing) fn light_state(
    dark: bool,
    moon: bool,
    visibility_km: Known<f64>,
    watchers: Known<u8>,
    watchers_asked: f64,
    white_light: Known<bool>,
) -> Known<&'static str> {
    if visibility_km.get().is_some_and(|km| km < FOG_KM) {
        return Known::Known("fog");
    }
    // Two people ashore who do nothing else are asked for whenever somebody paddles, by day as well.
    if watchers.get().is_some_and(|n| f64::from(n) < watchers_asked) {
        return Known::Known("no-two-watchers");
    }
    if !dark {
        return if watchers.is_unknown() || visibility_km.is_unknown() {
            Known::Unknown
        } else {
            Known::Known("day")
        };
    }
    if white_light == Known::Known(false) {
        return Known::Known("no-white-light");
    }
    if watchers.is_unknown() || white_light.is_unknown() || visibility_km.is_unknown() {
        return Known::Unknown;
    }
    Known::Known(if moon { "moon-and-watched" } else { "no-moon" })
}

/// Whether somebody goes afloat with the bait.
pub(in crate::outing) fn paddles(delivery: Known<Delivery>) -> bool {
    matches!(delivery, Known::Known(Delivery::Kayak | Delivery::Board))
}

/// All rows of this file, and whether the bait then stays where it was put.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) -> Option<HoldView> {
    let dark = ctx.bait_moments().any(|m| m.sun_deg < DARK_DEG);
    let state = match ctx.outing.bait.delivery {
        Known::Unknown => Known::Unknown,
        Known::Known(Delivery::Swim) => Known::Known(if dark { "swim-at-night" } else { "swim-by-day" }),
        Known::Known(Delivery::Cast) => Known::Known("cast"),
        d if paddles(d) => Known::Known("afloat"),
        Known::Known(_) => Known::Known("machine"),
    };
    let sentence =
        if dark { "Somebody swims the bait out at night." } else { "Somebody swims the bait out." };
    f.judged(&ctx.limits.word("bait.delivery", state), sentence, vec![]);
    if paddles(ctx.outing.bait.delivery) {
        paddler(ctx, f);
    }
    super::hold::assess(ctx, f)
}

/// Rows on the paddler that hang on the sea and weather of a stretch of hours.
pub(in crate::outing) fn of_hours(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    if paddles(ctx.outing.bait.delivery) {
        if c.sea_judged {
            surf_and_cold(ctx, c, f);
        }
        if c.weather_judged {
            wind(ctx, c, f);
        }
    }
}

fn surf_and_cold(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let (b, l, u) = (&ctx.outing.bait, &ctx.limits, ctx.options.units);
    let (judged, breaker, least) = super::sea::breaker_row(l, "kayak.surf_m", c);
    f.judged(
        &judged,
        format!(
            "The paddler crosses breakers of {least}{}.",
            breaker.map_or_else(String::new, |h| u.height(h))
        ),
        breaker.map(|h| breaker_reason(h.m())).into_iter().collect(),
    );
    let water = c.water.get();
    let suited = b.suit.get() == Some(true) && b.float.get() == Some(true);
    let id = if suited { "kayak.water_c" } else { "kayak.water_unsuited_c" };
    let judged = l.number(id, water.map(crate::quantity::Temperature::c).into());
    let without = if suited { "" } else { " without suit and float" };
    f.judged(
        &judged,
        format!("Water {} for a paddler{without}.", water.map_or_else(String::new, |t| u.temperature(t))),
        water.map(|t| c.reason("water", "water temperature", t.c(), "C")).into_iter().collect(),
    );
}

fn wind(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let (l, u) = (&ctx.limits, ctx.options.units);
    let wind = c.wind.get();
    let kn = wind.map(crate::quantity::Speed::kn);
    let shown = wind.map_or_else(String::new, |s| u.wind(s));
    let because: Vec<Reason> = kn.map(|x| c.reason("wind", "wind", x, "kn")).into_iter().collect();
    match c.wind_from {
        Known::Known(WindFrom::Offshore) => f.judged(
            &l.number("kayak.wind_offshore_kn", kn.into()),
            format!("Wind {shown} off the shore: it takes a paddler out."),
            because,
        ),
        Known::Known(WindFrom::Onshore | WindFrom::Along) => {
            f.judged(&l.number("kayak.wind_kn", kn.into()), format!("Wind {shown} on the paddler."), because);
        }
        // Direction unknown: judged as if it blew off the shore.
        Known::Unknown => f.judged(
            &l.number("kayak.wind_offshore_kn", kn.into()),
            format!("Wind {shown}, and nobody said whence: reckoned as off the shore."),
            because,
        ),
    }
}

/// State word of the light for a paddler at some moments.
pub(in crate::outing) fn light(ctx: &Ctx<'_>, c: &Conditions, moments: &[Moment]) -> Known<&'static str> {
    let b = &ctx.outing.bait;
    let dark = moments.iter().any(|m| m.sun_deg < DARK_DEG);
    // A new, thin or low moon is up and lights nothing.
    let enough = ctx.limits.figure("paddle.light_lux");
    let moon = moments.iter().filter(|m| m.sun_deg < DARK_DEG).all(|m| m.lux >= enough);
    let sight = c.visibility.get().map(crate::quantity::Length::km);
    // Beyond the forecast fog is not asked after: the light of sun and moon is known all the same.
    let sight = if c.weather_judged { sight } else { Some(f64::INFINITY) };
    let watchers = ctx.limits.figure("paddle.watchers");
    light_state(dark, moon, sight.into(), b.watchers, watchers, b.white_light)
}

/// What is wrong with it.
pub(in crate::outing) fn light_words(state: Known<&'static str>) -> &'static str {
    match state.get() {
        Some("fog") => "Fog: nobody paddles.",
        Some("no-two-watchers") => "Too few people ashore watch the paddler.",
        Some("no-white-light") => "The paddler carries no white light.",
        _ => "The moon is not up, or too low or thin, for every bait taken out in the dark.",
    }
}

fn paddler(ctx: &Ctx<'_>, f: &mut Findings) {
    let (b, l) = (&ctx.outing.bait, &ctx.limits);
    // Piece by piece: what is seen in one hour says nothing of another.
    let worst = ctx
        .spells
        .iter()
        .filter_map(|s| {
            let within = |m: &&Moment| s.hours.from() <= m.at && m.at <= s.hours.to();
            let of: Vec<Moment> = ctx.bait_moments().filter(within).copied().collect();
            (!of.is_empty()).then(|| light(ctx, &s.conditions, &of))
        })
        .max_by_key(|state| l.word("kayak.light", *state).verdict);
    let state = worst.unwrap_or(Known::Unknown);
    f.judged(&l.word("kayak.light", state), light_words(state), vec![]);
    let float = match b.float {
        Known::Known(true) => Known::Known("worn"),
        Known::Known(false) => Known::Known("none"),
        Known::Unknown => Known::Unknown,
    };
    f.judged(&l.word("kayak.float", float), "The paddler wears no float.", vec![]);
}

/// The breaker height as evidence.
pub(in crate::outing) fn breaker_reason(m: f64) -> Reason {
    Reason::new("breaker height", m, "m", Grade::Recalled, "Komar & Gaughan 1972")
}

#[cfg(test)]
mod tests {
    use super::*;
    use Known::{Known as K, Unknown as U};

    #[test]
    fn light_takes_the_worst_first() {
        assert_eq!(light_state(true, true, K(0.5), K(2), 2.0, K(true)), K("fog"));
        assert_eq!(light_state(true, true, K(9.0), K(1), 2.0, K(true)), K("no-two-watchers"));
        assert_eq!(light_state(false, true, K(9.0), K(1), 2.0, K(true)), K("no-two-watchers"));
        assert_eq!(light_state(true, true, K(9.0), K(2), 2.0, K(false)), K("no-white-light"));
        assert_eq!(light_state(true, false, K(9.0), K(2), 2.0, K(true)), K("no-moon"));
        assert_eq!(light_state(true, true, K(9.0), K(2), 2.0, K(true)), K("moon-and-watched"));
        assert_eq!(light_state(false, false, K(9.0), K(2), 2.0, U), K("day"));
        assert_eq!(light_state(true, true, U, K(2), 2.0, K(true)), U);
        assert_eq!(light_state(true, true, K(9.0), U, 2.0, K(true)), U);
        assert_eq!(
            light_state(true, true, K(9.0), K(2), 3.0, K(true)),
            K("no-two-watchers"),
            "the row is heeded"
        );
    }
}
