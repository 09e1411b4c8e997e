//! The hours: the strip, what is open and closed, water, sky, sea and weather.

use super::{clock, heading, shown, wrap};
use crate::outing::plan::{ConditionView, Plan};
use crate::outing::strip::strip;
use crate::quantity::{Length, Units, significant};

/// The section.
pub(super) fn hours(out: &mut String, plan: &Plan, units: Units, width: usize) {
    heading(out, "Hours");
    for line in strip(plan, units, width) {
        out.push_str(&line);
        out.push('\n');
    }
    if plan.windows.is_empty() {
        out.push_str(&wrap("No window: something forbids at every moment of the wanted hours.", width, "  "));
    }
    for w in &plan.windows {
        let warn = if w.cautions.is_empty() { String::new() } else { format!(": {}", w.cautions.join("; ")) };
        out.push_str(&wrap(&format!("{} to {}{warn}", clock(&w.start), clock(&w.end)), width, "  open    "));
    }
    for c in &plan.closed {
        let text = format!("{} to {}: {}", clock(&c.start), clock(&c.end), c.stops.join("; "));
        out.push_str(&wrap(&text, width, "  closed  "));
    }
    if let Some(off) = &plan.night.off_the_sand {
        let text = format!("reckoned to {} (last bait in, long fight, pack-up)", clock(off));
        out.push_str(&wrap(&text, width, "  way out "));
    }
    if !plan.tide.is_empty() {
        let all: Vec<String> = plan
            .tide
            .iter()
            .map(|t| format!("{} {} {}", t.what, clock(&t.at), units.height(Length::of_m(t.height_m))))
            .collect();
        let datum = plan.tide.first().map(|t| t.datum.as_str()).unwrap_or_default();
        out.push_str(&wrap(&format!("{} (above {datum})", all.join(", ")), width, "  tide    "));
    }
    if !plan.sky.is_empty() {
        let all: Vec<String> = plan.sky.iter().map(|s| format!("{} {}", s.what, clock(&s.at))).collect();
        out.push_str(&wrap(&all.join(", "), width, "  sky     "));
    }
    let m = &plan.moon;
    let moon = if m.up > 0.0 {
        format!("up {:.0} % of the hours, at most {} lux", m.up * 100.0, significant(m.moonlight_lux, 1))
    } else {
        "not up".to_owned()
    };
    let text = format!(
        "{}, {:.0} % lit, {moon}; darkest {} lux under a clear sky: {} (+- a factor of two)",
        m.phase,
        m.lit * 100.0,
        significant(m.darkest_lux, 1),
        m.darkest_like
    );
    out.push_str(&wrap(&text, width, "  light   "));
    let said: Vec<String> = plan
        .conditions
        .iter()
        .map(|c| match c.value {
            Some(v) => format!("{} {} ({})", c.name, shown(v, &c.unit, &c.name, units), whence(c, units)),
            None => format!("{} unknown", c.name),
        })
        .collect();
    if !said.is_empty() {
        out.push_str(&wrap(&said.join(", "), width, "  sea     "));
    }
}

/// Who said a figure and when, and what others say.
fn whence(c: &ConditionView, units: Units) -> String {
    let dated = |source: &str, at: Option<&String>, age_h: Option<f64>| {
        let age = age_h.map(|h| format!(", {} old", crate::outing::hours::age_words(h))).unwrap_or_default();
        match at {
            Some(at) => format!("{source}, {}{age}", at.get(5..16).unwrap_or(at).replace('T', " ")),
            None => source.to_owned(),
        }
    };
    // What the crew typed is dated once, in the outing file.
    let mut text = match c.kind {
        "observed" | "forecast" => format!("{}, {}", c.kind, dated(&c.source, c.at.as_ref(), c.age_h)),
        _ => c.source.clone(),
    };
    for o in &c.also {
        let value = shown(o.value, &c.unit, &c.name, units);
        text.push_str(&format!("; {value} by {}", dated(&o.source, o.at.as_ref(), o.age_h)));
    }
    text
}
