//! Place, weather, help and other people against their limits.

use super::Ctx;
use crate::facts::{Grade, Known};
use crate::outing::Topic;
use crate::outing::conditions::Conditions;
use crate::outing::file::{Animals, LineSide, RipRisk, Signal, Thunder};
use crate::outing::finding::{Findings, Reason};
use crate::quantity::{Speed, Temperature, Units};

/// A reason that the crew wrote into its outing.
pub(in crate::outing) fn said(name: &str, value: f64, unit: &str) -> Reason {
    Reason::new(name, value, unit, Grade::Measured, "outing file")
}

/// State word of thunder, lightning, storms and shelter.
pub(in crate::outing) fn thunder_state(
    thunder: Known<Thunder>,
    shelter_near: Known<bool>,
) -> Known<&'static str> {
    use Known::{Known as K, Unknown as U};
    match (thunder, shelter_near) {
        (K(Thunder::Heard), _) => K("heard"),
        (K(Thunder::None), K(true)) => K("none-shelter-near"),
        (K(Thunder::None), _) => K("none-no-shelter"),
        (K(Thunder::Slight), K(true)) => K("slight-shelter-near"),
        (K(Thunder::Slight), _) => K("slight-no-shelter"),
        (K(Thunder::Storm), K(true)) => K("storm-shelter-near"),
        (K(Thunder::Storm), _) => K("storm-no-shelter"),
        (K(Thunder::Lightning), K(true)) => K("lightning-shelter-near"),
        (K(Thunder::Lightning), _) => K("lightning-no-shelter"),
        (U, K(true)) => K("unknown-shelter-near"),
        (U, _) => U,
    }
}

/// All rows of this file.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) {
    help(ctx, f);
    others(ctx, f);
}

/// Rows that hang on the weather of a stretch of hours.
pub(in crate::outing) fn of_hours(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    if c.weather_judged {
        weather(ctx, c, f);
    } else if !c.thunder.is_unknown() {
        thunder(ctx, c, f);
    }
    hazards(ctx, c, f);
    rip(ctx, c, f);
}

/// What an agency warns of is judged for any night that it speaks of. That it warns of nothing is no reason to go.
fn hazards(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let Some(worst) = c.hazards.first() else { return };
    let mut whats: Vec<&str> = c.hazards.iter().map(|h| h.what.as_str()).collect();
    whats.dedup();
    f.judged(
        &ctx.limits.word("weather.hazards", Known::Known(worst.degree.word())),
        format!("In force: {}; by {}.", whats.join(", "), worst.whence.source),
        vec![],
    );
}

fn rip(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let warned = c.hazards.iter().any(|h| h.rips);
    if !c.sea_judged && !warned {
        return;
    }
    let rip = match c.rip {
        Known::Known(RipRisk::Low) => Known::Known("low"),
        Known::Known(RipRisk::Moderate) => Known::Known("moderate"),
        Known::Known(RipRisk::High) => Known::Known("high"),
        Known::Unknown => Known::Unknown,
    };
    let sentence = if warned {
        "Rip currents are warned of: the risk counts as high.".to_owned()
    } else {
        format!("The official outlook calls the rip current risk {}.", rip.get().unwrap_or("unknown"))
    };
    f.judged(&ctx.limits.word("surf.rip_risk", rip), sentence, vec![]);
}

fn thunder(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let l = &ctx.limits;
    let shelter = ctx.outing.beach.shelter;
    let near = match shelter {
        Known::Known(t) => Known::Known(t.min_() <= l.figure("weather.shelter_min")),
        Known::Unknown => Known::Unknown,
    };
    let state = thunder_state(c.thunder, near);
    let sentence = match (c.thunder, near) {
        (Known::Known(Thunder::Heard), _) => "Thunder is heard: off the beach, rods down.".to_owned(),
        (Known::Known(Thunder::None), _) => {
            "No storm is forecast, but no shelter is known within reach.".to_owned()
        }
        (Known::Known(Thunder::Slight), _) => "A slight chance of thunder is forecast.".to_owned(),
        (Known::Known(Thunder::Storm), _) if c.storms.is_empty() => "Storms are in the region.".to_owned(),
        (Known::Known(Thunder::Storm), _) => format!("Storms are in the region: {}.", c.storms.join(", ")),
        (Known::Known(Thunder::Lightning), _) => "Lightning is seen.".to_owned(),
        (Known::Unknown, _) => "Nobody looked whether storms are forecast.".to_owned(),
    };
    let because = shelter.get().map(|t| said("way to shelter", t.min_(), "min")).into_iter().collect();
    if c.thunder.is_unknown() {
        f.asks("weather.thunder");
    }
    f.judged(&l.word("weather.thunder", state), sentence, because);
}

fn weather(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let (w, l, u) = (&ctx.outing.weather, &ctx.limits, ctx.options.units);
    thunder(ctx, c, f);
    if let Known::Known(since) = w.since_thunder {
        f.judged(
            &l.number("weather.thunder_wait_min", Known::Known(since.min_())),
            format!("The last thunder was {} ago.", u.span(since)),
            vec![said("since the last thunder", since.min_(), "min")],
        );
    }
    let kn = |s: Known<Speed>| s.get().map(Speed::kn);
    let wind = kn(c.wind);
    f.judged(
        &l.number("wind.kn", wind.into()),
        format!("Wind {}.", c.wind.get().map_or_else(String::new, |s| u.wind(s))),
        wind.map(|x| c.reason("wind", "wind", x, "kn")).into_iter().collect(),
    );
    // Gusts are asked for only when the mean wind is high enough for them to matter.
    if let Some(gust) = kn(c.gust) {
        f.judged(
            &l.number("wind.gust_kn", Known::Known(gust)),
            format!("Gusts {gust:.0} kn."),
            vec![c.reason("gusts", "gusts", gust, "kn")],
        );
    }
    heat(ctx, c, f);
    let sight = c.visibility.get();
    f.judged(
        &l.number("visibility.km", sight.map(crate::quantity::Length::km).into()),
        format!("One can see {}.", sight.map_or_else(String::new, |s| sight_words(s.m(), u))),
        sight.map(|s| c.reason("visibility", "visibility", s.km(), "km")).into_iter().collect(),
    );
}

fn sight_words(m: f64, units: Units) -> String {
    match units {
        Units::Us => format!("{:.0} yd", m / 0.9144),
        Units::Metric | Units::Si => format!("{m:.0} m"),
    }
}

/// Heat is judged where it can matter: from 24 C of air upwards, or when the air is unknown.
fn heat(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let l = &ctx.limits;
    let (air, humidity) = (c.air.get(), c.humidity.get());
    let index = match (air, humidity) {
        (Some(t), _) if t.c() < 24.0 => Some(t.c()),
        (Some(t), Some(h)) => Some(crate::sea::air::heat_index(t, h).c()),
        _ => None,
    };
    let s = &ctx.outing.safety;
    let covered = s.shade.get() == Some(true) && s.drinking_water.get() == Some(true);
    let id = if covered { "heat.index_c" } else { "heat.index_no_shade_c" };
    let shown = index.map_or_else(String::new, |c| ctx.options.units.temperature(Temperature::of_c(c)));
    let without = if covered { "" } else { ", without shade and water" };
    f.judged(
        &l.number(id, index.into()),
        format!("Heat index {shown}{without}."),
        index
            .map(|c| {
                Reason::new("heat index", c, "C", Grade::Recalled, "Rothfusz regression, weather service")
            })
            .into_iter()
            .collect(),
    );
}

fn help(ctx: &Ctx<'_>, f: &mut Findings) {
    let (s, b, l) = (&ctx.outing.safety, &ctx.outing.beach, &ctx.limits);
    let contact = match &s.contact {
        Known::Unknown => Known::Unknown,
        Known::Known(name) if name.trim().eq_ignore_ascii_case("none") => Known::Known("none"),
        Known::Known(_) if s.overdue_at.is_unknown() => Known::Known("named-no-time"),
        Known::Known(_) => Known::Known("named-with-time"),
    };
    let sentence = if contact.get() == Some("none") {
        "Nobody ashore knows the plan."
    } else {
        "A contact ashore is named, but no time at which to act."
    };
    f.judged(&l.word("contact.ashore", contact), sentence, vec![]);
    let signal = match (b.phone, s.beacon) {
        (Known::Known(Signal::VoiceAndData), _) => Known::Known("voice-and-data"),
        (Known::Known(Signal::VoiceOrText), _) => Known::Known("voice-or-text"),
        (Known::Known(Signal::None), Known::Known(true)) => Known::Known("none-with-beacon"),
        (Known::Known(Signal::None), _) => Known::Known("none"),
        (Known::Unknown, _) => Known::Unknown,
    };
    let sentence = match signal.get() {
        Some("voice-or-text") => "The phone gives voice or text only on that beach.",
        Some("none-with-beacon") => "No phone works there; a tested beacon or radio is carried.",
        _ => "No phone works there, and no beacon is carried.",
    };
    f.judged(&l.word("phone.signal", signal), sentence, vec![]);
    let aid = match (s.bleeding_kit, s.bleeding_trained) {
        (Known::Known(false), _) => Known::Known("none"),
        (Known::Known(true), Known::Known(true)) => Known::Known("kit-and-trained"),
        (Known::Known(true), Known::Known(false)) => Known::Known("kit-untrained"),
        _ => Known::Unknown,
    };
    let sentence = if aid.get() == Some("none") {
        "No tourniquet and gauze on the beach."
    } else {
        "Tourniquet and gauze are there, but nobody is trained."
    };
    f.judged(&l.word("first_aid", aid), sentence, vec![]);
    let trained = s.bleeding_trained.get() == Some(true);
    let id = if trained { "care.trained_min" } else { "care.untrained_min" };
    let care = b.care.get();
    f.judged(
        &l.number(id, care.map(crate::quantity::Span::min_).into()),
        format!("Medical help is {} away.", care.map_or_else(String::new, |t| ctx.options.units.span(t))),
        care.map(|t| said("time to medical help", t.min_(), "min")).into_iter().collect(),
    );
    f.judged(
        &l.word("night.past", Known::Known(if ctx.over() { "past" } else { "ahead" })),
        format!(
            "This night is over: that of {} is past on the day of reading, {}.",
            ctx.hours.date(),
            ctx.options.read_on
        ),
        vec![],
    );
    if ctx.hours.clock_change {
        f.note(
            Topic::Sky,
            "Clocks change within a day of this night: read the hours of this plan aloud with their offset.",
            vec![],
            Some("clock-change"),
        );
    }
}

fn others(ctx: &Ctx<'_>, f: &mut Findings) {
    let (b, l, u) = (&ctx.outing.beach, &ctx.limits, ctx.options.units);
    let bathers = b.bathers.get();
    f.judged(
        &l.number("bathers.distance_m", bathers.map(crate::quantity::Length::m).into()),
        format!("The nearest bather is {} away.", bathers.map_or_else(String::new, |d| u.line(d))),
        bathers.map(|d| said("distance to bathers", d.m(), "m")).into_iter().collect(),
    );
    let side = match b.line_side {
        Known::Known(LineSide::None) => Known::Known("none"),
        Known::Known(LineSide::Few) => Known::Known("few"),
        Known::Known(LineSide::Some) => Known::Known("some"),
        Known::Known(LineSide::Crowd) => Known::Known("crowd"),
        Known::Unknown => Known::Unknown,
    };
    f.judged(&l.word("line_side", side), "Walkers or vehicles cross the line side.", vec![]);
    if !ctx.conditions.sea_judged {
        return;
    }
    let animals = match ctx.outing.sea.animals {
        Known::Known(Animals::None) => Known::Known("none"),
        Known::Known(Animals::Nearby) => Known::Known("nearby"),
        Known::Known(Animals::AtTheBait) => Known::Known("at-the-bait"),
        Known::Unknown => Known::Unknown,
    };
    f.judged(&l.word("animals", animals), "Animals swim near the bait.", vec![]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thunder_is_read_with_the_shelter() {
        use Known::{Known as K, Unknown as U};
        assert_eq!(thunder_state(K(Thunder::Heard), K(true)), K("heard"));
        assert_eq!(thunder_state(K(Thunder::None), U), K("none-no-shelter"));
        assert_eq!(thunder_state(K(Thunder::Lightning), K(false)), K("lightning-no-shelter"));
        assert_eq!(thunder_state(U, K(true)), K("unknown-shelter-near"));
        assert_eq!(
            thunder_state(U, K(false)),
            U,
            "unknown thunder without known shelter is a stop by the row"
        );
    }
}
