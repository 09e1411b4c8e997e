//! The brief: five minutes, spoken; one reads, all repeat.
//!
//! Eight points in the order of this project's safety notes, section 9: situation, species gate, roles, words,
//! drag cap, emergency, turn-back, questions. Made from the plan alone, so that brief and plan cannot differ.

use super::plan::Plan;
use super::text::capital;
use super::verdict::{Severity, Verdict};
use crate::quantity::{Force, Length, Span, Units};

/// What the brief needs beside the plan: things of the outing that no model works on.
#[derive(Clone, Debug, Default)]
pub struct Place<'a> {
    /// Latitude and longitude in decimal degrees.
    pub coordinates: String,
    /// Where a rescuer drives in.
    pub access: Option<&'a str>,
    /// Emergency number.
    pub emergency_number: Option<&'a str>,
    /// Hospital.
    pub hospital: Option<&'a str>,
    /// Contact ashore and when it acts.
    pub contact: Option<String>,
    /// Who drives home.
    pub driver: Option<&'a str>,
    /// Whether a tail rope is used.
    pub roped: bool,
    /// Fish that must not leave the water, by name.
    pub in_water_only: Vec<String>,
}

/// The words everybody knows before the first bait.
const WORDS: &str = "LET GO: the angler frees the lever and the clip, sits down, hands off. CUT: whoever holds the fish end cuts. WAVE: eyes to the sea. CLEAR: answered before every cast and clip. STOP: all still. Anyone may call STOP, CUT or LET GO; in wind one whistle is a wave, many are stop.";

/// The brief, line by line.
pub fn brief(plan: &Plan, place: &Place<'_>, units: Units) -> Vec<String> {
    let mut lines = Vec::new();

    lines.push(situation(plan));

    let gate = if place.in_water_only.is_empty() {
        "2 Species gate. Name the fish before it is touched; a fish nobody can name is treated as protected: in the water, gills under, cut.".to_owned()
    } else {
        format!(
            "2 Species gate. Name the fish before it is touched. These stay in the water, gills under, released at once: {}. A fish nobody can name is treated the same.",
            place.in_water_only.join(", ")
        )
    };
    let cut: Vec<&str> = plan
        .also_likely
        .iter()
        .filter(|a| a.advice.starts_with("cut") || a.advice.starts_with("this outfit"))
        .map(|a| a.fish.name.as_str())
        .collect();
    let gate =
        if cut.is_empty() { gate } else { format!("{gate} Cut and not played on: {}.", cut.join(", ")) };
    lines.push(gate);

    let mut roles = String::from("3 Roles.");
    for phase in &plan.phases {
        let all: Vec<String> = phase
            .roles
            .iter()
            .map(|r| format!("{} {}", r.role, r.person.as_deref().unwrap_or("nobody")))
            .collect();
        roles.push_str(&format!(" {}: {}.", capital(&phase.phase), all.join(", ")));
    }
    if let Some(driver) = place.driver {
        roles.push_str(&format!(" {driver} drives home."));
    }
    lines.push(roles);

    lines.push(format!("4 Words. {WORDS}"));

    lines.push(drag(plan, place, units));

    let or = |v: Option<&str>, ask: &str| {
        v.map_or_else(
            || format!("{ask}: NOT KNOWN, find out before the first bait"),
            |v| format!("{ask} {v}"),
        )
    };
    lines.push(format!(
        "6 Emergency. {}; place {}; {}; {}; {}. Tourniquet in the landing bag: say where it lies.",
        or(place.emergency_number, "Call"),
        place.coordinates,
        or(place.access, "access"),
        or(place.hospital, "hospital"),
        place.contact.clone().unwrap_or_else(|| "contact ashore: NOT KNOWN".to_owned()),
    ));

    let turn = if plan.verdict == Verdict::Stop {
        "7 Turn-back. It is stop: nobody fishes until the remedies are done.".to_owned()
    } else {
        let named: Vec<&str> = plan
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Caution)
            .take(super::text::READ_OUT)
            .map(|f| f.sentence.as_str())
            .collect();
        format!(
            "7 Turn-back. Thunder, bathers, fog, anybody hurt, tired or gone home ends it. Name one thing more. Cautions tonight: {}",
            if named.is_empty() { "none".to_owned() } else { named.join(" ") }
        )
    };
    lines.push(turn);
    lines.push("8 Questions from each of us.".to_owned());
    lines
}

fn drag(plan: &Plan, place: &Place<'_>, units: Units) -> String {
    let force = |n: f64| units.force(Force::of_n(n));
    let fight = plan.drag_settings.iter().find(|s| s.what == "fight").map_or(0.0, |s| s.drag_n);
    let mut drag = if plan.footing.limit_n.is_finite() {
        format!(
            "5 Drag. Fight {} at the reel, full spool; never more than {} at the tip. The safety lead sets it.",
            force(fight),
            force(plan.footing.cap_worst_n)
        )
    } else {
        "5 Drag. What the angler bears is not known: nobody clips in.".to_owned()
    };
    if let Some(row) = plan.drag_card.iter().find(|r| r.back_off_to < 0.995) {
        if row.line_out_m > 0.0 {
            drag.push_str(&format!(
                " Back off from {} out ({}).",
                units.line(Length::of_m(row.line_out_m)),
                row.seen
            ));
        } else {
            drag.push_str(&format!(" Set to {} from the start.", force(fight * row.back_off_to)));
        }
    }
    if let Some(m) = plan.card_stop_from_m {
        drag.push_str(&format!(" Cut at the rod before {} are out.", units.line(Length::of_m(m))));
    }
    if plan.forecast.fight_limit_min > 0.0 {
        drag.push_str(&format!(
            " At {} we decide: cut at the fish in reach, go on while it comes, else cut at the rod.",
            units.span(Span::of_min(plan.forecast.fight_limit_min))
        ));
    }
    drag.push_str(if place.roped {
        " Tail rope only from behind, on the beach side, faces to the sea."
    } else {
        " No tail rope: the fish is unhooked or cut at the leader."
    });
    drag
}

fn situation(plan: &Plan) -> String {
    let clock = |t: &str| t.get(11..16).unwrap_or(t).to_owned();
    let mut situation = format!("1 Situation. Tonight is {}.", plan.verdict.word());
    if let Some(first) = plan.findings.iter().find(|f| f.severity != Severity::Note) {
        situation.push_str(&format!(" First: {}", first.sentence));
    }
    for w in &plan.windows {
        situation.push_str(&format!(" Open {} to {}.", clock(&w.start), clock(&w.end)));
    }
    for t in &plan.tide {
        situation.push_str(&format!(" {} water {}.", capital(&t.what), clock(&t.at)));
    }
    if let Some(off) = &plan.night.off_the_sand {
        situation.push_str(&format!(" Off the sand by {} at the latest.", clock(off)));
    }
    situation
}
