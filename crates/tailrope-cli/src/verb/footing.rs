//! `tailrope footing`: what a person bears.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::word::{spelled, word};
use clap::Args;
use serde::Serialize;
use tailrope::Error;
use tailrope::facts::Grade;
use tailrope::outing::limits::Limits;
use tailrope::people::footing::resolve;
use tailrope::people::margin::hands_needed;
use tailrope::people::{
    AnglerStand, Borne, Caps, Demand, Footing as WholeFooting, FootingPack, Governs, HandsNeeded,
    HarnessHand, Margin, RodTip, Sand, Stance, StanceFooting, Wash, footing::footing,
};
use tailrope::quantity::{Angle, Force, Length, Mass, Slope, Speed, Torque, Units};

/// What a person bears at the rod tip before they tip over the toes, slide, or the back gives way
#[derive(Args, Debug)]
#[command(
    after_help = "Example, an angler of 85 kg leaning back, the rod low, 28 lbf at the tip, one harness hand of 80 kg:\n  \
                        tailrope footing --mass 85kg --stance lean --lean 0.5m --tip-height 1.1m --tip-ahead 1.3m --drag 28lbf --hand 80kg"
)]
pub struct Footing {
    /// Body mass of the angler
    #[arg(long, allow_hyphen_values = true)]
    mass: Mass,
    /// upright, lean or sitting
    #[arg(long, default_value = "upright", value_parser = word::<Stance>)]
    stance: Stance,
    /// Centre of mass behind the pivot, measured level [default: the stance's band]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    lean: Option<Length>,
    /// Pivot to the rearmost support [default: the stance's]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    base: Option<Length>,
    /// Height of the rod tip above the sand [default: the stance's]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", requires = "tip_ahead")]
    tip_height: Option<Length>,
    /// Rod tip ahead of the toes [default: the stance's]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", requires = "tip_height")]
    tip_ahead: Option<Length>,
    /// Line below level at the tip [default: the pack's]
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE")]
    line_angle: Option<Angle>,
    /// Fall of the beach seaward, as 1:50 or 2%
    #[arg(long, allow_hyphen_values = true, default_value = "0", value_name = "SLOPE")]
    slope: Slope,
    /// dry, firm-wet or moving-wash
    #[arg(long, default_value = "dry", value_parser = word::<Sand>)]
    sand: Sand,
    /// Friction of the feet as you measured it: pull over weight at the first slip
    #[arg(long, allow_hyphen_values = true, value_name = "RATIO")]
    friction: Option<f64>,
    /// Depth of the backwash at the legs
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", requires = "wash_flow")]
    wash_depth: Option<Length>,
    /// Speed of the backwash, seaward
    #[arg(long, allow_hyphen_values = true, value_name = "SPEED", requires = "wash_depth")]
    wash_flow: Option<Speed>,
    /// Moment the back bears about the rod butt [default: the pack's band]
    #[arg(long, allow_hyphen_values = true, value_name = "TORQUE")]
    back_moment: Option<Torque>,
    /// Clear soft ground behind, so that a lean beyond the base may count
    #[arg(long)]
    clear_behind: bool,
    /// Body mass of a drilled harness hand within reach (again for each)
    #[arg(long, allow_hyphen_values = true, value_name = "MASS")]
    hand: Vec<Mass>,
    /// Pull each hand keeps up on a scale [default: the pack's band]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE", requires = "hand")]
    hand_grip: Option<Force>,
    /// Drag at the rod tip at strike, to hold against the limit
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    drag: Option<Force>,
    /// Greatest drag at the rod tip anywhere [default: the same]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE", requires = "drag")]
    worst_drag: Option<Force>,
}

impl Footing {
    fn stand(&self) -> AnglerStand {
        AnglerStand {
            stance: self.stance,
            lean: self.lean,
            base: self.base,
            tip: self.tip_height.zip(self.tip_ahead).map(|(up, ahead)| RodTip { up, ahead }),
            line_angle: self.line_angle,
            slope: self.slope.angle(),
            sand: self.sand,
            friction: self.friction.map(tailrope::facts::Band::exact),
            wash: self.wash_depth.zip(self.wash_flow).map(|(depth, flow)| Wash { depth, flow }),
            back_moment: self.back_moment,
            clear_behind: self.clear_behind,
            ..AnglerStand::new(self.mass)
        }
    }

    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let text = desk.packs.get("footing.toml")?;
        let pack = FootingPack::read(text.text())?;
        let limits = desk.packs.get("limits.toml")?;
        let limits = Limits::read(&limits.text())?;
        let caps = Caps::new(limits.figure("footing.strike_share"), limits.figure("footing.worst_share"))?;
        let stand = self.stand();
        let hands: Vec<HarnessHand> = self
            .hand
            .iter()
            .map(|mass| HarnessHand { grip: self.hand_grip, ..HarnessHand::drilled(*mass) })
            .collect();
        let answer = footing(&pack, &stand, &hands)?;
        let used = resolve(&pack, &stand, &[])?.stand;
        let held = match self.drag {
            None => None,
            Some(strike) => {
                let demand = Demand { strike, worst: self.worst_drag.unwrap_or(strike) };
                if strike < Force::ZERO || demand.worst < strike {
                    return Err(Error::new(
                        "the drags do not fit together",
                        "0 or more, the worst at least the one at strike",
                        "give the drag at strike with --drag, the greatest anywhere with --worst-drag",
                    )
                    .within("--drag")
                    .into());
                }
                let needed = hands_needed(&pack, &stand, &hands, demand, caps)?;
                Some((demand, Margin::of(answer.planned.best(), demand, caps), needed))
            }
        };
        let best = answer.planned.best();
        let json = Json {
            schema: "tailrope.footing/1",
            mass_kg: self.mass.kg(),
            stance: self.stance,
            lean_m: used.lean.m(),
            tip_height_m: used.tip.up.m(),
            tip_ahead_m: used.tip.ahead.m(),
            line_angle_deg: used.line_angle.deg(),
            slope: self.slope.tan(),
            sand: if stand.in_moving_wash() { Sand::MovingWash } else { self.sand },
            friction: used.friction,
            wash_n: used.wash.n(),
            hands_kg: self.hand.iter().map(|m| m.kg()).collect(),
            drag_n: held.as_ref().map(|h| h.0.strike.n()),
            worst_drag_n: held.as_ref().map(|h| h.0.worst.n()),
            limit_tip_n: best.limits.tip.map(Force::n),
            limit_slip_n: best.limits.slip.map(Force::n),
            limit_back_n: best.limits.back.map(Force::n),
            limit_n: best.limit.n(),
            governs: best.governs,
            limit_low_n: best.band.low.n(),
            limit_central_n: best.band.central.n(),
            limit_high_n: best.band.high.n(),
            grade: best.grade,
            sources: best.sources.clone(),
            hands_pull_n: answer.planned.hands_pull.n(),
            alone: one(&answer.planned, &answer.planned.alone),
            other_stances: answer.others.iter().map(|s| one(s, s.best())).collect(),
            unsupported_lean_m: answer.planned.unsupported_lean.m(),
            cap_strike_n: best.limit.n() * caps.strike,
            cap_worst_n: best.limit.n() * caps.worst,
            met: held.as_ref().map(|h| h.1.met()),
            needed_harness_hands: held.as_ref().and_then(|h| match h.2 {
                HandsNeeded::None => Some(0),
                HandsNeeded::Hands(n) => Some(n),
                HandsNeeded::NoneSuffices(_) => None,
            }),
            none_suffices: held.as_ref().map(|h| matches!(h.2, HandsNeeded::NoneSuffices(_))),
            stop_if_harnessed: answer.stop_if_harnessed,
            dry_distance_m: answer.dry_distance.m(),
        };
        Answer::new(self.page(desk, &answer, caps, held.as_ref()), &json)
    }

    fn page(
        &self,
        desk: &Desk,
        answer: &WholeFooting,
        caps: Caps,
        held: Option<&(Demand, Margin, HandsNeeded)>,
    ) -> String {
        let u = desk.units;
        let best = answer.planned.best();
        let mut page = desk.page();
        let with = match self.hand.len() {
            0 => "alone".to_owned(),
            1 => "with one harness hand".to_owned(),
            n => format!("with {n} harness hands"),
        };
        page.say(&format!(
            "An angler of {}, {}, {with}: bears {} at the rod tip; then {}. What is not known makes it {} to {}; grade: {}.",
            u.mass(self.mass),
            stance_word(self.stance),
            u.force(best.limit),
            governs_words(best.governs),
            u.force(best.band.low),
            u.force(best.band.high),
            best.grade.word(),
        ));
        if answer.stop_if_harnessed {
            page.say("STOP: water moves about the feet. Whatever the numbers say, nobody in a harness stands there.");
        }
        if answer.planned.falls_if_parted() {
            page.say(&format!(
                "Caution: leaning {} beyond the rear foot. If the line parts, the angler falls backward.",
                u.size(answer.planned.unsupported_lean)
            ));
        }
        page.head("What gives way at which pull");
        let mut rows = vec![row(&answer.planned, &answer.planned.alone, " alone", u)];
        if let Some(with_hands) = &answer.planned.with_hands {
            rows.push(row(&answer.planned, with_hands, " with hands", u));
        }
        for other in &answer.others {
            rows.push(row(
                other,
                other.best(),
                if other.with_hands.is_some() { " with hands" } else { "" },
                u,
            ));
        }
        page.table(&["stance", "tips", "slides", "back", "bears"], &rows, &[0]);
        page.head("Drag at the tip it allows");
        page.pairs(&[
            ("at strike", format!("{} (share {})", u.force(best.limit * caps.strike), caps.strike)),
            ("anywhere", format!("{} (share {})", u.force(best.limit * caps.worst), caps.worst)),
        ]);
        if let Some((demand, margin, needed)) = held {
            let verdict = if margin.met() { "is within both" } else { "is too much" };
            let worst = if demand.worst == demand.strike {
                String::new()
            } else {
                format!(", {} at the worst place,", u.force(demand.worst))
            };
            page.say(&format!(
                "A drag of {}{worst} {verdict}. {}",
                u.force(demand.strike),
                needed_words(*needed)
            ));
        }
        page.head("On the sand").points([
            format!(
                "At least {} of dry sand between the toes and the highest wash.",
                u.size(answer.dry_distance)
            ),
            "Pull your own angler with the drag scale, harness on: your number replaces these.".to_owned(),
        ]);
        page.into_text()
    }
}

fn stance_word(stance: Stance) -> &'static str {
    match stance {
        Stance::Upright => "standing upright",
        Stance::Lean => "leaning back",
        Stance::Sitting => "sitting dug in",
    }
}

fn governs_words(g: Governs) -> &'static str {
    match g {
        Governs::Tip => "goes over the toes",
        Governs::Slip => "the feet slide",
        Governs::Back => "the back gives way",
    }
}

fn needed_words(needed: HandsNeeded) -> String {
    match needed {
        HandsNeeded::None => "No harness hand is needed.".into(),
        HandsNeeded::Hands(1) => "One of the harness hands is needed.".into(),
        HandsNeeded::Hands(n) => format!("{n} of the harness hands are needed."),
        HandsNeeded::NoneSuffices(Governs::Back) => {
            "No harness hand helps: the back is in the way. Rod lower, or less drag.".into()
        }
        HandsNeeded::NoneSuffices(g) => format!(
            "The hands offered are not enough ({}): rod lower, deeper lean, another drilled hand, a heavier angler, or less drag.",
            spelled(&g)
        ),
    }
}

fn row(stance: &StanceFooting, borne: &Borne, with: &str, u: Units) -> Vec<String> {
    let force = |f: Option<Force>| f.map_or_else(|| "never".to_owned(), |f| u.force(f));
    vec![
        format!("{}{with}", stance.stance.word()),
        force(borne.limits.tip),
        force(borne.limits.slip),
        force(borne.limits.back),
        u.force(borne.limit),
    ]
}

fn one(stance: &StanceFooting, borne: &Borne) -> StanceJson {
    StanceJson {
        stance: stance.stance,
        lean_m: stance.lean.m(),
        tip_height_m: stance.tip.up.m(),
        tip_ahead_m: stance.tip.ahead.m(),
        limit_tip_n: borne.limits.tip.map(Force::n),
        limit_slip_n: borne.limits.slip.map(Force::n),
        limit_back_n: borne.limits.back.map(Force::n),
        limit_n: borne.limit.n(),
        governs: borne.governs,
        dry_only: stance.dry_only,
    }
}

#[derive(Serialize)]
struct StanceJson {
    stance: Stance,
    lean_m: f64,
    tip_height_m: f64,
    tip_ahead_m: f64,
    limit_tip_n: Option<f64>,
    limit_slip_n: Option<f64>,
    limit_back_n: Option<f64>,
    limit_n: f64,
    governs: Governs,
    dry_only: bool,
}

#[derive(Serialize)]
struct Json {
    schema: &'static str,
    mass_kg: f64,
    stance: Stance,
    lean_m: f64,
    tip_height_m: f64,
    tip_ahead_m: f64,
    line_angle_deg: f64,
    slope: f64,
    sand: Sand,
    friction: f64,
    wash_n: f64,
    hands_kg: Vec<f64>,
    drag_n: Option<f64>,
    worst_drag_n: Option<f64>,
    limit_tip_n: Option<f64>,
    limit_slip_n: Option<f64>,
    limit_back_n: Option<f64>,
    limit_n: f64,
    governs: Governs,
    limit_low_n: f64,
    limit_central_n: f64,
    limit_high_n: f64,
    grade: Grade,
    sources: Vec<String>,
    hands_pull_n: f64,
    alone: StanceJson,
    other_stances: Vec<StanceJson>,
    unsupported_lean_m: f64,
    cap_strike_n: f64,
    cap_worst_n: f64,
    met: Option<bool>,
    needed_harness_hands: Option<usize>,
    none_suffices: Option<bool>,
    stop_if_harnessed: bool,
    dry_distance_m: f64,
}
