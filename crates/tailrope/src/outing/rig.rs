//! A rig alone: what its figures come to against the limits, and what the rule packs say of hook and leader.
//!
//! The same rows and rules as in the plan of a night, without the night: what the rig does not say stays unknown,
//! and is asked. Without an outing the law is read for a baited hook fished from shore.

use super::facts::Facts;
use super::file::{Delivery, Outing};
use super::finding::{Finding, Findings, Reason};
use super::limits::Limits;
use super::make::Options;
use super::text::capital;
use super::verdict::{Topic, Verdict};
use crate::Result;
use crate::facts::{Grade, Known};
use crate::law::{self, Call, FactSet, Given, Kind, LawPacks, LawReport, Query, Spot};
use crate::quantity::{Length, Units, significant};
use crate::tackle::rig::{Fit, Flier, HandAt, Made, SinkerHang};
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
    // Between joints or from eye to eye: a limit in between is neither kept nor broken. Of what is known in part the
    // known metal counts, so that one unknown section makes no long wire a question.
    let metal = rig.metal_read(tables);
    let told = metal.whole || metal.least > Length::ZERO;
    let metal = told.then_some(Given::LengthBetween(metal.least, metal.most));
    f.set_known("gear.leader.metal_length_mm", metal)?;
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
    judged(limits, made, fit, units, &mut f);
    (f.verdict(), f.sorted())
}

fn number(x: Known<f64>) -> String {
    x.get().map_or_else(|| "unknown".to_owned(), |x| significant(x, 3))
}

/// The same rows for a rig alone and for the plan of a night.
pub(in crate::outing) fn judged(limits: &Limits, made: &Made, fit: &Fit, units: Units, f: &mut Findings) {
    margins(limits, made, units, f);
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
                "The weakest of casting leader, arm and link bears {} of what the trade asks for this cast.",
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
    hand(limits, fit, units, f);
    lead(limits, fit, f);
    fly_back(limits, fit, f);
}

/// The margin when hands and drag load the leader: by the parts that are known, and by those that are not. An
/// unknown part adds its question; it takes nothing from what a known one says.
fn margins(limits: &Limits, made: &Made, u: Units, f: &mut Findings) {
    let open = !made.unknown.is_empty();
    if let Known::Known(load) = made.load {
        let weakest = made.weakest.clone().unwrap_or_else(|| "a part".to_owned());
        let because =
            || vec![Reason::new("load at the leader", load.n(), "N", Grade::Estimate, "hands and drag")];
        let m = made.margin_of_known;
        if open {
            f.judged(&limits.number("rig.margin", Known::Unknown), "", because());
        }
        if !m.is_unknown() {
            f.judged(
                &limits.number("rig.margin", m),
                format!(
                    "At the leader, under {}, {weakest} bears {} times its load.",
                    u.force(load),
                    number(m)
                ),
                because(),
            );
        }
        let bad = made.margin_of_known_if_bad_sleeves;
        if made.parts.iter().any(|p| p.untested_sleeve) {
            f.judged(
                &limits.number("rig.untested", bad),
                format!(
                    "If a sleeve nobody tested is a badly made one, {} times its load is left at the leader.",
                    number(bad)
                ),
                because(),
            );
        }
    }
    if open {
        f.note(
            Topic::Tackle,
            format!("Nobody knows what these bear: {}.", made.unknown.join(", ")),
            Vec::new(),
            Some("rig.margin"),
        );
    }
}

/// The hand is judged at the worst of the leader's angles.
fn hand(limits: &Limits, fit: &Fit, u: Units, f: &mut Findings) {
    let state = |h: &HandAt| match h.holds {
        Known::Known(true) => Known::Known("holds"),
        Known::Known(false) if h.section.is_none() => Known::Known("none"),
        Known::Known(false) if h.material.get().is_some_and(crate::tackle::Material::is_metal) => {
            Known::Known("metal")
        }
        Known::Known(false) => Known::Known("thin"),
        Known::Unknown => Known::Unknown,
    };
    // What is known to be bad is said before what nobody knows; of equals the flattest angle.
    let worst = fit
        .hand
        .iter()
        .rev()
        .map(|h| (h, limits.word("rig.hand", state(h))))
        .max_by_key(|(_, j)| (j.verdict, !j.unknown));
    let Some((h, judgement)) = worst else { return };
    let at = format!("With the swivel at the tip and the leader {} below level", u.angle(h.angle));
    let what = match state(h).get() {
        Some("thin") => format!(
            "{at} the hand takes the {} where it is {} thick: it cuts under load.",
            h.section.map_or("leader", crate::tackle::SectionRole::word),
            h.diameter.get().map_or_else(|| "unknown".to_owned(), |d| u.diameter(d))
        ),
        Some("metal") => format!("{at} the hand finds metal, which no hand may hold under load."),
        _ => format!("{at} there is no leader at the hand."),
    };
    f.judged(&judgement, what, Vec::new());
}

/// How the lead hangs: a fixed one comes back with whatever lets go, whatever its energy is reckoned at.
fn lead(limits: &Limits, fit: &Fit, f: &mut Findings) {
    let Some(hang) = fit.sinker_hang else { return };
    let state = hang.get().map(|h| match h {
        SinkerHang::Fixed => "fixed",
        SinkerHang::Sliding => "sliding",
        SinkerHang::WeakLink => "weak-link",
    });
    f.judged(
        &limits.word("rig.lead", state.into()),
        "The lead is fixed in the loaded path: it flies back with whatever lets go.",
        Vec::new(),
    );
}

fn fly_back(limits: &Limits, fit: &Fit, f: &mut Findings) {
    // Asked only where a pull was given: without one nothing flies.
    if fit.pull.is_unknown() {
        return;
    }
    let energy = |k: Known<crate::quantity::Energy>| k.get().map(crate::quantity::Energy::j);
    // The larger of the leader in and all line out and snagged; an unknown one adds, it takes nothing away.
    let larger = |w: &Flier| energy(w.near).into_iter().chain(energy(w.snagged)).reduce(f64::max);
    // The hook always flies back with the path; what a crew can change is what else does.
    let fixed = || fit.fliers.iter().filter(|w| w.what != "hook" && w.fixed != Known::Known(false));
    let worst = fixed()
        .filter_map(|w| larger(w).map(|j| (w, j)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(w, j)| (w, j, limits.number("rig.fly_back_j", Known::Known(j))));
    if let Some((w, j, judgement)) = worst
        && judgement.severity().is_some()
    {
        let each = |k| {
            energy(k).map_or_else(|| "an unknown energy".to_owned(), |j| format!("{} J", significant(j, 2)))
        };
        f.judged(
            &judgement,
            format!(
                "{} flies back with {} with the leader in and {} with all line out and snagged, upper bounds; stand out of the line's direction.",
                capital(&w.what),
                each(w.near),
                each(w.snagged)
            ),
            vec![Reason::new("energy that flies back", j, "J", Grade::Derived, "wave law, no loss in the line")],
        );
    } else if fixed().any(|w| w.near.is_unknown() || w.snagged.is_unknown()) {
        f.judged(&limits.number("rig.fly_back_j", Known::Unknown), "", Vec::new());
        f.advise(
            "rig.fly_back_j",
            "say what line is on the reel, and what the weight weighs: then it can be told",
        );
    }
}

/// Whether the bait of an outing is taken out, so that its sinker is no weight cast. A launcher throws it; of an
/// unsaid delivery the cast is asked.
pub fn carried(outing: &Outing) -> bool {
    !matches!(outing.bait.delivery, Known::Unknown | Known::Known(Delivery::Cast | Delivery::Launcher))
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
    use crate::quantity::{Angle, Force};
    use crate::tackle::rig::{FitAsk, leader_load, piece};
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LinePiece, LineRole, Material, SectionRole};
    use jiff::civil::date;

    fn rig(hook: &str, sections: &[(SectionRole, &str)]) -> Rig {
        Rig {
            name: "bench".into(),
            sections: sections.iter().map(|(r, w)| piece::section(*r, w).unwrap()).collect(),
            hook: piece::hook(hook).unwrap(),
            sinker: None,
        }
    }

    fn limits() -> Limits {
        let text = include_str!("../../../../data/limits.toml");
        Limits::read(&PackText::new("limits.toml", text)).unwrap()
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
        assert_eq!(said("circle point 17mm gap 20mm x1", "13in cable 480lb").0, Said::Silent);
        // Eighteen inches between its joints are more from eye to eye: neither kept nor broken.
        assert_eq!(
            said("circle point 17mm gap 20mm x1", "18in cable 480lb"),
            (Said::NeedFact, Call::Caution)
        );
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
        let said = |sections: &[(SectionRole, &str)]| {
            at("us-ny", Known::Unknown, &rig("circle 5.2mm x1", sections)).verdict_of("us-ny/metal-leader")
        };
        let bite = |words| said(&[(SectionRole::Bite, words)]);
        assert!(matches!(bite("18.1in cable 480lb"), law::Verdict::Breach | law::Verdict::LikelyBreach));
        // With its eyes a sleeved piece of 18 in is longer than 18 in; what is within it with its eyes is within.
        for (words, keeps) in
            [("18in cable 480lb", false), ("14in cable 480lb", false), ("13in cable 480lb", true)]
        {
            let v = bite(words);
            assert_eq!(v == law::Verdict::NeedFact, !keeps, "{words}: {v:?}");
            assert!(!matches!(v, law::Verdict::Breach | law::Verdict::LikelyBreach), "{words}: {v:?}");
        }
        // A section of unknown material beside it is no way out of the breach.
        let beside = said(&[(SectionRole::Rubbing, "2m 400lb"), (SectionRole::Bite, "3m cable 480lb")]);
        assert!(matches!(beside, law::Verdict::Breach | law::Verdict::LikelyBreach), "{beside:?}");
        let open = rig("circle 5.2mm x1", &[(SectionRole::Bite, "cable 480lb")]);
        let asked = at("us-ny", Known::Unknown, &open);
        assert_ne!(asked.verdict, Call::Go, "an unknown length is never allowed");
        assert_eq!(asked.verdict_of("us-ny/metal-leader"), law::Verdict::NeedFact);
    }

    #[test]
    fn limits_judge_what_was_asked_and_nothing_else() {
        let (t, limits) = (shipped(), limits());
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
        // Beyond a weak known part an unknown one adds its question, and the stop stays.
        let open = rig(
            "circle 5.2mm x1",
            &[(SectionRole::Hand, "8m mono"), (SectionRole::Rubbing, "4m mono 60lb crimp")],
        );
        let (v, rules) = judged(&open, &FitAsk::default(), load);
        assert_eq!(v, Verdict::Stop, "{rules:?}");
        assert!(rules.iter().filter(|r| *r == "rig.margin").count() >= 2, "{rules:?}");
        let strong = rig(
            "circle 7mm x1",
            &[(SectionRole::Hand, "8m mono"), (SectionRole::Rubbing, "4m mono 900lb crimp")],
        );
        assert_eq!(judged(&strong, &FitAsk::default(), load).0, Verdict::Caution, "unknown is never go");
    }

    /// 150 g fixed, 400 m of 80 lb braid, 60 N: a tenth of a joule with the leader in, 88 J snagged.
    #[test]
    fn a_fixed_lead_cautions_and_the_larger_energy_is_judged() {
        let (t, limits) = (shipped(), limits());
        let line = LinePiece::new(
            LineRole::Main,
            Length::of_m(400.0),
            Material::HmpeBraid,
            Force::of_lbf(80.0),
            Length::of_mm(0.41),
        );
        let ask = FitAsk { pull: Some(Force::of_n(60.0)), line: vec![line], ..FitAsk::default() };
        let of = |sinker: &str, ask: &FitAsk| {
            let mut r = rig("circle 5.2mm x1", &[(SectionRole::Hand, "8m mono 600lb crimp")]);
            r.sinker = Some(piece::sinker(sinker).unwrap());
            let (made, fit) = (r.made(&t, Known::Unknown).unwrap(), r.fit(&t, ask).unwrap());
            let (_, list) = judge(&limits, &made, &fit, Units::Metric);
            let rules: Vec<String> = list.into_iter().filter_map(|f| f.rule).collect();
            (fit, rules)
        };
        let (fit, rules) = of("150g fixed", &ask);
        let (near, far) = (fit.fliers[0].near.get().unwrap().j(), fit.fliers[0].snagged.get().unwrap().j());
        assert!(near < 5.0 && far > 5.0, "{near} {far}");
        assert!(rules.contains(&"rig.fly_back_j".into()) && rules.contains(&"rig.lead".into()), "{rules:?}");
        assert!(of("150g", &ask).1.contains(&"rig.lead".into()), "nobody said how it hangs");
        let slides = of("150g sliding", &ask).1;
        assert!(!slides.iter().any(|r| r == "rig.fly_back_j" || r == "rig.lead"), "{slides:?}");
        // Fixed alone is enough, without any pull.
        assert!(of("150g fixed", &FitAsk::default()).1.contains(&"rig.lead".into()));
    }

    /// The hand section reaches the hand at 30 degrees and not at 15, where cable begins.
    #[test]
    fn the_hand_is_judged_at_its_worst_angle() {
        let (t, limits) = (shipped(), limits());
        let of = |hand: &str, angle: Option<f64>| {
            let r = rig(
                "circle 5.2mm x1",
                &[(SectionRole::Hand, hand), (SectionRole::Bite, "5m cable 900lb crimp")],
            );
            let ask = FitAsk { angle: angle.map(Angle::of_deg), ..FitAsk::default() };
            let (made, fit) = (r.made(&t, Known::Unknown).unwrap(), r.fit(&t, &ask).unwrap());
            let (_, list) = judge(&limits, &made, &fit, Units::Metric);
            list.into_iter().find(|f| f.rule.as_deref() == Some("rig.hand")).map(|f| f.sentence)
        };
        let said = of("1.5m mono 600lb crimp", None).unwrap();
        assert!(said.contains("metal") && said.contains("15"), "{said}");
        assert_eq!(of("1.5m mono 600lb crimp", Some(30.0)), None);
        assert_eq!(of("3m mono 600lb crimp", None), None);
    }
}
