//! What does releasing this fish ask of the crew?
//!
//! A list of atoms, each one sentence with its source, in the order they are needed. Sources: agency and institute
//! handling rules (Florida, Texas, Maryland, New Jersey, NOAA Fisheries, ORI Durban, the Australian shark and ray
//! code); de-hook or cut within 20 s, and the minutes by class, are rules of this project.
//!
//! Limits: law comes first and lives in the rule packs; depth for handlers comes from footing and sea.

use super::hook::HookPlace;
use super::{Group, Species, SurvivalClass};
use crate::facts::Grade;
use crate::quantity::{Span, Temperature};
use serde::Serialize;

/// Water above which hammerheads and the blacktip group should not be fished for (a rule of this project: no
/// threshold study was found).
pub const WARM: Temperature = Temperature::of_c(30.0);

/// One thing to do or not to do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Handling {
    /// Handle, stable across versions.
    pub key: &'static str,
    /// One sentence for the crew.
    pub text: String,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Whose advice or rule.
    pub source: &'static str,
}

fn atom(key: &'static str, text: impl Into<String>, grade: Grade, source: &'static str) -> Handling {
    Handling { key, text: text.into(), grade, source }
}

impl Species {
    /// Longest time with gills in the air: none for a fish presumed protected (law of several states), else the two
    /// minutes of the Australian code.
    pub fn air_limit(&self) -> Span {
        if self.presumed_protected() { Span::ZERO } else { Span::of_min(2.0) }
    }

    /// Longest time from leader in hand to release: 2.5 min for hammerheads, the blacktip group and fish presumed
    /// protected, else 5 min (a rule of this project).
    pub fn handling_limit(&self) -> Span {
        let short = matches!(self.survival_class, SurvivalClass::A | SurvivalClass::B);
        Span::of_min(if short || self.presumed_protected() { 2.5 } else { 5.0 })
    }

    /// Whether the water is too warm to fish for it with a good conscience.
    pub fn too_warm(&self, water: Temperature) -> bool {
        matches!(self.survival_class, SurvivalClass::A | SurvivalClass::B) && water > WARM
    }

    /// What its release asks, in the order needed; with the place of the hook if it was seen.
    pub fn release_asks(&self, hook: Option<HookPlace>) -> Vec<Handling> {
        let mut all = Vec::new();
        let sawfish = self.law.iter().any(|c| c.ends_with("SAWFISH"));
        if let Some(why) = &self.protected {
            all.push(atom(
                "protected",
                format!(
                    "Handle it as protected ({why}): at once, no tape, no tag, no picture out of the water."
                ),
                Grade::Default,
                "unknown or widely protected fish; the rule packs decide further",
            ));
        }
        all.push(atom(
            "in-water",
            "Keep it in water that covers its gills, head to the sea; never drag it over sand or rock.",
            Grade::Published,
            "ORI Durban 2017; NOAA Fisheries; New Jersey 2024",
        ));
        if sawfish {
            all.push(atom(
                "saw",
                "Do not lift, rope or hold it; keep clear of the saw; untangle only if safe, cut the line close to the hook and report it.",
                Grade::SecondHand,
                "NOAA sawfish guidance, as repeated on a published page",
            ));
            return all;
        }
        self.hook_asks(hook, &mut all);
        let air = self.air_limit();
        let held = self.handling_limit().min_();
        all.push(if air == Span::ZERO {
            atom(
                "air",
                "No time in the air at all.",
                Grade::Published,
                "Florida, Delaware, Texas: prohibited fish stay in the water",
            )
        } else {
            atom(
                "air",
                format!(
                    "At most {:.0} minutes with gills in the air, if it must be at all; own stopwatch.",
                    air.min_()
                ),
                Grade::Published,
                "Australian shark and ray code",
            )
        });
        all.push(atom(
            "time",
            format!(
                "Leader in hand to release within {held} minutes; cut if the hook is not out in 20 seconds."
            ),
            Grade::Default,
            "rule of this project",
        ));
        match self.group {
            Group::Shark => all.push(atom(
                "support",
                "Support the body level; no lifting or hanging by tail, head or gills, no gaff, nobody sits on it, no fingers near eyes or gills.",
                Grade::Published,
                "ORI Durban 2017; Texas; Maryland; Poisson 2012",
            )),
            Group::Ray => all.push(atom(
                "ray",
                "Stay a tail's length from the spine; no fingers in the spiracles; do not turn it over.",
                Grade::Published,
                "ORI Durban 2017",
            )),
            Group::Teleost => all.push(atom(
                "bony",
                "Wet hands, body level in the water, nothing in the gills.",
                Grade::Published,
                "Horowitz 2023 (in-water handling); agency advice",
            )),
        }
        if self.ventilation.needs_flow() {
            all.push(atom(
                "flow",
                "Held still it cannot breathe: face it into the incoming water no deeper than the handlers' limit, tail hand only, and let go at the first strong beat.",
                Grade::Recalled,
                "NOAA (try reviving) in part; no study shows that walking a shark helps",
            ));
        }
        all.push(atom(
            "after",
            "A fish that swims off may still die hours later: note its condition in words.",
            Grade::SecondHand,
            "Hawaii release advice; Whitney 2021",
        ));
        all
    }

    fn hook_asks(&self, hook: Option<HookPlace>, all: &mut Vec<Handling>) {
        match hook {
            Some(HookPlace::Deep) => all.push(atom(
                "hook",
                "Deep hook: leave it, cut the leader at the hook's eye.",
                Grade::Published,
                "Aalbers 2004; Kilfoil 2017 warns that retained gear harms, so cut short",
            )),
            Some(HookPlace::Gill) => all.push(atom(
                "hook",
                "Hook in the gills: do not pull; cut the leader at the eye and let it go.",
                Grade::Default,
                "rule of this project",
            )),
            _ if self.cut_first() => all.push(atom(
                "hook",
                "Cut at first touch: the shank of the hook if it shows, else the leader at the eye.",
                Grade::Default,
                "rule of this project for hammerheads and protected fish; Florida (cut as close to the hook as possible)",
            )),
            _ => all.push(atom(
                "hook",
                "Unhook only if the hook shows in the jaw hinge and the fish lies quiet with its gills covered; otherwise cut the shank, else the leader at the eye.",
                Grade::Default,
                "rule of this project; agency advice to be quick",
            )),
        }
    }
}
