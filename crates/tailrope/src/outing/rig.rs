//! A rig alone: what its figures come to against the limits, and what the rule packs say of hook and leader.
//!
//! The same rows and rules as in the plan of a night, without the night: what the rig does not say stays unknown,
//! and is asked. Without an outing the law is read for a baited hook fished from shore.

use super::facts::Facts;
use super::file::Outing;
use super::finding::{Finding, Findings, Reason};
use super::limits::Limits;
use super::make::Options;
use super::text::capital;
use super::verdict::{Topic, Verdict};
use crate::Result;
use crate::facts::{Grade, Known};
use crate::law::{self, Call, FactSet, Given, Kind, LawPacks, LawReport, Query, Spot};
use crate::quantity::{Units, significant};
use crate::tackle::rig::{Fit, Made};
use crate::tackle::{HookStyle, Rig, Tables};
use jiff::civil::Date;

/// Facts of the rule packs that a rig answers.
const OF_RIG: [&str; 2] = ["gear.hook.", "gear.leader."];
/// Kinds of rule whose silence is a question about the rig.
const KINDS: [Kind; 2] = [Kind::Hook, Kind::Leader];

/// Everything the rig says that a rule may ask.
pub(in crate::outing) fn rig_facts(f: &mut FactSet, rig: &Rig, tables: &Tables) -> Result<()> {
    let hook = &rig.hook;
    f.set_known("gear.hook.style", rig.hook_style().get().map(HookStyle::word))?;
    f.set_known("gear.hook.offset", rig.hook_offset().get())?;
    f.set_known("gear.hook.stainless", rig.hook_stainless().get())?;
    f.set_known("gear.hook.gap_mm", rig.hook_gap().get())?;
    f.set_known("gear.hook.point_to_shank_mm", rig.hook_point_to_shank().get())?;
    f.set_known("gear.hook.shank_mm", hook.shank.get())?;
    f.set_known("gear.hook.size_aught", hook.size.get().map(Given::Count))?;
    f.set_known("gear.hook.count_with_natural_bait", rig.hook_count().get().map(u32::from))?;
    let ganged = match (hook.ganged, hook.count) {
        (Known::Known(g), _) => Some(g),
        (_, Known::Known(1)) => Some(false),
        _ => None,
    };
    f.set_known("gear.hook.ganged", ganged)?;
    f.set_known("gear.leader.metal_length_mm", rig.metal_length().get())?;
    f.set_known("gear.leader.metal_diameter_mm", rig.metal_diameter(tables).get())?;
    f.set_known("gear.leader.mono_diameter_mm", rig.mono_diameter(tables).get())?;
    Ok(())
}

/// Where a rig without an outing is fished.
#[derive(Clone, Debug)]
pub struct Shore {
    /// Rule packs of the place.
    pub packs: Vec<String>,
    /// Zones of those packs in which the stand lies; unknown if nobody said.
    pub zones: Known<Vec<String>>,
    /// Whether sharks are fished for; unknown is asked where a rule wants it.
    pub sharks: Known<bool>,
    /// Day on which the packs are read.
    pub read_on: Date,
}

fn of_rig(packs: &LawPacks, report: LawReport) -> LawReport {
    let asking = packs.asking(&OF_RIG);
    report.only(|f| asking.contains(f.rule.as_str()), &KINDS)
}

/// What the packs of a shore say of a rig alone: only the rules that ask for hook or leader, and the questions they
/// leave. Refuses a pack that is not at hand and a place that is none of theirs.
pub fn rig_law(packs: &LawPacks, tables: &Tables, rig: &Rig, shore: &Shore) -> Result<LawReport> {
    let mut f = FactSet::new(packs.vocabulary());
    f.set("trip.mode", "shore")?;
    f.set("gear.kind", "rod-and-reel")?;
    f.set("bait.kind", "dead-natural")?;
    let in_states = shore.packs.iter().any(|p| p.starts_with("us-"));
    f.set("trip.water", if in_states { "state" } else { "foreign" })?;
    f.set_known("trip.targets_sharks", shore.sharks.get())?;
    f.set("trip.keeps_sharks", false)?;
    f.set("fish.retain", false)?;
    if let Known::Known(zones) = &shore.zones {
        let places: Vec<String> = shore.packs.iter().chain(zones).cloned().collect();
        for spot in [Spot::Stand, Spot::Bait] {
            f.set_place(spot, places.clone())?;
        }
    }
    rig_facts(&mut f, rig, tables)?;
    let named: Vec<&str> = shore.packs.iter().map(String::as_str).collect();
    let report = law::check(packs, &f, &Query::plan(&named, shore.read_on))?;
    Ok(of_rig(packs, report))
}

/// The same for the rig of an outing, with all that the outing says.
pub fn rig_law_of(facts: &Facts, outing: &Outing, options: &Options) -> Result<LawReport> {
    Ok(of_rig(&facts.law, super::ask::law(facts, outing, options)?))
}

/// What a rig comes to against the limits, worst first. Judged is what was asked: a fish, a cast, a pull.
pub fn judge(limits: &Limits, made: &Made, fit: &Fit, units: Units) -> (Verdict, Vec<Finding>) {
    let mut f = Findings::default();
    let u = units;
    let number = |x: Known<f64>| x.get().map_or_else(|| "unknown".to_owned(), |x| significant(x, 3));
    if let Known::Known(load) = made.load {
        let weakest = made.weakest.clone().unwrap_or_else(|| "a part".to_owned());
        let because =
            vec![Reason::new("load at the leader", load.n(), "N", Grade::Estimate, "hands and drag")];
        f.judged(
            &limits.number("rig.margin", made.margin),
            format!(
                "At the leader, under {}, {weakest} bears {} times its load.",
                u.force(load),
                number(made.margin)
            ),
            because,
        );
        if made.parts.iter().any(|p| p.untested_sleeve) {
            f.judged(
                &limits.number("rig.untested", made.margin_if_bad_sleeves),
                format!(
                    "If a sleeve nobody tested is a badly made one, {} times its load is left at the leader.",
                    number(made.margin_if_bad_sleeves)
                ),
                Vec::new(),
            );
        }
    }
    if !made.unknown.is_empty() {
        f.note(
            Topic::Tackle,
            format!("Nobody knows what these bear: {}.", made.unknown.join(", ")),
            Vec::new(),
            Some("rig.margin"),
        );
    }
    if let Some(share) = fit.leader_over_fish {
        f.judged(
            &limits.number("leader.length", share),
            format!(
                "The leader is {} of the fish's length: its tail can reach the main line.",
                number(share)
            ),
            Vec::new(),
        );
    }
    if !fit.cast.is_unknown() {
        f.judged(
            &limits.number("rig.cast", fit.cast_share),
            format!(
                "The casting leader bears {} of what the trade asks for this cast.",
                number(fit.cast_share)
            ),
            Vec::new(),
        );
    }
    if let Some(share) = fit.link_share {
        f.judged(
            &limits.number("rig.link", share),
            format!("The weak link bears {} of what the weakest part of the rig does.", number(share)),
            Vec::new(),
        );
    }
    hand(limits, fit, units, &mut f);
    fly_back(limits, fit, &mut f);
    (f.verdict(), f.sorted())
}

/// The hand is judged in the middle of the leader's angles.
fn hand(limits: &Limits, fit: &Fit, u: Units, f: &mut Findings) {
    let Some(h) = fit.hand.get(fit.hand.len() / 2) else { return };
    let state = match h.holds {
        Known::Known(true) => Known::Known("holds"),
        Known::Known(false) if h.section.is_none() => Known::Known("none"),
        Known::Known(false) if h.material.get().is_some_and(crate::tackle::Material::is_metal) => {
            Known::Known("metal")
        }
        Known::Known(false) => Known::Known("thin"),
        Known::Unknown => Known::Unknown,
    };
    let what = match state.get() {
        Some("thin") => format!(
            "With the swivel at the tip the hand takes the {} where it is {} thick: it cuts under load.",
            h.section.map_or("leader", crate::tackle::SectionRole::word),
            h.diameter.get().map_or_else(|| "unknown".to_owned(), |d| u.diameter(d))
        ),
        Some("metal") => {
            "With the swivel at the tip the hand finds metal, which no hand may hold under load.".to_owned()
        }
        _ => "With the swivel at the tip there is no leader at the hand.".to_owned(),
    };
    f.judged(&limits.word("rig.hand", state), what, Vec::new());
}

fn fly_back(limits: &Limits, fit: &Fit, f: &mut Findings) {
    // Asked only where a pull was given: without one nothing flies.
    if fit.pull.is_unknown() {
        return;
    }
    // The hook always flies back with the path; what a crew can change is what else does.
    let fixed = fit.fliers.iter().filter(|w| w.what != "hook" && w.fixed != Known::Known(false));
    let worst = fixed.max_by(|a, b| {
        let j = |k: Known<crate::quantity::Energy>| k.get().map_or(f64::INFINITY, crate::quantity::Energy::j);
        j(a.near).total_cmp(&j(b.near))
    });
    let Some(w) = worst else { return };
    let j = w.near.get().map(crate::quantity::Energy::j);
    f.judged(
        &limits.number("rig.fly_back_j", j.into()),
        format!(
            "{} flies back with {} J with the leader in{}, an upper bound; stand out of the line's direction.",
            capital(&w.what),
            j.map_or_else(|| "unknown".to_owned(), |j| significant(j, 2)),
            w.snagged.get().map_or_else(String::new, |e| format!(
                ", with {} J with all line out and snagged",
                significant(e.j(), 2)
            ))
        ),
        Vec::new(),
    );
    if j.is_none() {
        f.advise(
            "rig.fly_back_j",
            "say what line is on the reel, and what the weight weighs: then it can be told",
        );
    }
}

/// The verdict of a law report as the plan counts it.
pub const fn verdict_of(call: Call) -> Verdict {
    match call {
        Call::Go => Verdict::Go,
        Call::Caution => Verdict::Caution,
        Call::Stop => Verdict::Stop,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::PackText;
    use crate::law::testing::law as packs;
    use crate::quantity::{Force, Length};
    use crate::tackle::rig::{FitAsk, leader_load, piece};
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{Material, SectionRole};
    use jiff::civil::date;

    fn rig(hook: &str, sections: &[(SectionRole, &str)]) -> Rig {
        Rig {
            name: "bench".into(),
            sections: sections.iter().map(|(r, w)| piece::section(*r, w).unwrap()).collect(),
            hook: piece::hook(hook).unwrap(),
            sinker: None,
        }
    }

    fn at(pack: &str, zones: Known<Vec<String>>, rig: &Rig) -> LawReport {
        let shore =
            Shore { packs: vec![pack.into()], zones, sharks: Known::Known(true), read_on: date(2026, 11, 1) };
        rig_law(&packs(), &shipped(), rig, &shore).unwrap()
    }

    /// Case Q36: 17 mm point to shank and 20 in of wire on the closed shore.
    #[test]
    fn the_pair_of_gap_and_metal_counts_together() {
        use law::Verdict as Said;
        let zone = Known::Known(vec!["ma-white-shark-shore".to_owned()]);
        let rig = |hook: &str, wire: &str| rig(hook, &[(SectionRole::Bite, wire)]);
        let said = |hook: &str, wire: &str| {
            let r = at("us-ma", zone.clone(), &rig(hook, wire));
            (r.verdict_of("us-ma/closed-shore"), r.verdict)
        };
        let (rule, all) = said("circle point 17mm gap 20mm x1", "20in cable 480lb");
        assert!(matches!(rule, Said::Breach | Said::LikelyBreach), "{rule:?}");
        assert_eq!(all, Call::Stop);
        // Either alone does not make the pair; 5/8 in is 15.875 mm, not 16.
        assert_eq!(said("circle point 15.8mm gap 20mm x1", "20in cable 480lb").0, Said::Silent);
        assert_eq!(said("circle point 17mm gap 20mm x1", "18in cable 480lb").0, Said::Silent);
        assert_ne!(said("circle point 15.9mm gap 20mm x1", "20in cable 480lb").0, Said::Silent);
        // Only the widest gap is known: ask, never comply.
        assert_eq!(said("circle gap 20mm x1", "20in cable 480lb"), (Said::NeedFact, Call::Caution));
        // A widest gap below the limit bounds the other from above.
        assert_eq!(said("circle gap 15mm x1", "20in cable 480lb").0, Said::Silent);
        // Nobody said where the stand lies: a question.
        let open = at("us-ma", Known::Unknown, &rig("circle point 17mm gap 20mm x1", "20in cable 480lb"));
        assert_eq!(open.verdict_of("us-ma/closed-shore"), Said::NeedFact);
    }

    #[test]
    fn three_metres_of_metal_where_eighteen_inches_are_allowed_is_a_stop() {
        let long = rig("circle 5.2mm x1", &[(SectionRole::Bite, "3m cable 480lb")]);
        let r = at("us-ny", Known::Unknown, &long);
        assert_eq!(r.verdict, Call::Stop);
        let f = r.of(law::Severity::Stop).find(|f| f.rule == "us-ny/metal-leader").unwrap();
        assert!(f.summary.contains("18 in"));
        // Nothing but hook and leader is in it.
        assert!(r.findings.iter().all(|f| f.kind != Kind::Vehicle && f.kind != Kind::Drone));
        let short = rig("circle 5.2mm x1", &[(SectionRole::Bite, "18in cable 480lb")]);
        let kept = at("us-ny", Known::Unknown, &short);
        assert_eq!(kept.of(law::Severity::Stop).filter(|f| f.rule == "us-ny/metal-leader").count(), 0);
        let open = rig("circle 5.2mm x1", &[(SectionRole::Bite, "cable 480lb")]);
        let asked = at("us-ny", Known::Unknown, &open);
        assert_ne!(asked.verdict, Call::Go, "an unknown length is never allowed");
        assert_eq!(asked.verdict_of("us-ny/metal-leader"), law::Verdict::NeedFact);
    }

    #[test]
    fn limits_judge_what_was_asked_and_nothing_else() {
        let (t, limits) = (shipped(), {
            let text = include_str!("../../../../data/limits.toml");
            Limits::read(&PackText::new("limits.toml", text)).unwrap()
        });
        let hand = (SectionRole::Hand, "8m mono 600lb crimp");
        let judged = |rig: &Rig, ask: &FitAsk, load: Known<Force>| {
            let (made, fit) = (rig.made(&t, load).unwrap(), rig.fit(&t, ask).unwrap());
            let (v, list) = judge(&limits, &made, &fit, Units::Us);
            (v, list.into_iter().filter_map(|f| f.rule).collect::<Vec<_>>())
        };
        let good = rig("circle 5.2mm x1", &[hand]);
        assert_eq!(judged(&good, &FitAsk::default(), Known::Unknown), (Verdict::Go, vec![]));
        let load = Known::Known(leader_load(&t, Force::of_lbf(28.0)));
        let fish = FitAsk { fish: Some(Length::of_m(9.0)), ..FitAsk::default() };
        assert_eq!(judged(&good, &fish, load).1, ["leader.length"]);
        let weak = rig("circle 5.2mm x1", &[(SectionRole::Hand, "8m mono 100lb crimp padded")]);
        assert_eq!(
            judged(&weak, &FitAsk::default(), load),
            (Verdict::Stop, vec!["rig.margin".into(), "rig.untested".into()])
        );
        let thin = rig("circle 5.2mm x1", &[(SectionRole::Hand, "8m mono 150lb")]);
        assert_eq!(
            judged(&thin, &FitAsk::default(), Known::Unknown),
            (Verdict::Caution, vec!["rig.hand".into()])
        );
        // A fixed lead on a line that nobody described: unknown is never go.
        let mut lead = good;
        lead.sinker = Some(piece::sinker("150g fixed").unwrap());
        let pull = FitAsk { pull: Some(Force::of_n(100.0)), ..FitAsk::default() };
        assert!(judged(&lead, &pull, Known::Unknown).1.contains(&"rig.fly_back_j".to_owned()));
        lead.sinker = Some(piece::sinker("150g sliding").unwrap());
        assert!(!judged(&lead, &pull, Known::Unknown).1.contains(&"rig.fly_back_j".to_owned()));
        assert_eq!(lead.sections[0].material, Known::Known(Material::Nylon));
    }
}
