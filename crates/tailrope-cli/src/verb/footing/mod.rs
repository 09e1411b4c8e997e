//! `tailrope footing`: what a person bears.

mod json;
mod page;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::drawn::Drawn;
use crate::verb::night::{Night, facts};
use crate::word::word;
use clap::Args;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::{Band, Known, PackText};
use tailrope::outing::ask::{OnTheSand, on_the_sand};
use tailrope::outing::limits::Limits;
use tailrope::people::drawing::{SideView, side_view};
use tailrope::people::footing::{footing, resolve};
use tailrope::people::margin::hands_needed;
use tailrope::people::rod::{Lowering, RodAt, elevations, lowering, rod_held, rod_tip};
use tailrope::people::slip_test::DRILL;
use tailrope::people::{
    AnglerStand, Caps, Demand, DrySand, Footing as WholeFooting, FootingPack, HandsNeeded, HarnessHand,
    Lasts, Margin, RodHeld, RodTip, Sand, SlipFound, SlipTest, Stance, Stand, Surge, Wash, dry, fade,
};
use tailrope::quantity::{Angle, Force, Length, Mass, Quantity as _, Slope, Span, Speed, Torque};
use tailrope::tackle::Tables;

/// What a person bears at the rod tip before they tip over the toes, slide, or the back gives way
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                  tailrope footing --demo --minutes 30min --svg footing.svg\n  \
                  tailrope footing night.toml --who Juno\n  \
                  tailrope footing --mass 85kg --stance lean --tip-height 1.1m --tip-ahead 1.3m --drag 28lbf --hand 80kg\n  \
                  tailrope footing --mass 85kg --rod 1.7m --rod-angle 60deg --line-angle 40deg\n  \
                  tailrope footing --mass 85kg --slipped-at 85lbf --slipped-at 92lbf --slipped-at 88lbf\n\n\
                  What is typed goes before what the outing says.")]
pub struct Footing {
    /// Outing file, TOML or JSON; `-` reads standard input
    outing: Option<PathBuf>,
    /// Who of the outing holds the rod [default: the weaker of those who do in the plan]
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
    /// Body mass of the angler
    #[arg(long, allow_hyphen_values = true)]
    mass: Option<Mass>,
    /// upright, lean or sitting [default: upright]
    #[arg(long, value_parser = word::<Stance>)]
    stance: Option<Stance>,
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
    /// Rod from pin to tip, in place of the tip: what lowering it does is told
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", conflicts_with = "tip_height")]
    rod: Option<Length>,
    /// Rod above level
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE", requires = "rod", default_value = "30deg")]
    rod_angle: Angle,
    /// Line below level at the tip [default: the pack's]
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE")]
    line_angle: Option<Angle>,
    /// Fall of the beach seaward, as 1:50 or 2% [default: level]
    #[arg(long, allow_hyphen_values = true, value_name = "SLOPE")]
    slope: Option<Slope>,
    /// dry, firm-wet or moving-wash [default: dry]
    #[arg(long, value_parser = word::<Sand>)]
    sand: Option<Sand>,
    /// Friction of the feet as you measured it: pull over weight at the first slip
    #[arg(long, allow_hyphen_values = true, value_name = "RATIO")]
    friction: Option<f64>,
    /// Scale at which the feet slipped, harness on (again for each pull); see --how-to-measure
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE", conflicts_with = "friction")]
    slipped_at: Vec<Force>,
    /// Height of the rope in those pulls
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", requires = "slipped_at")]
    scale_height: Option<Length>,
    /// Mass of the person pulled [default: the angler's]
    #[arg(long, allow_hyphen_values = true, value_name = "MASS", requires = "slipped_at")]
    pulled_mass: Option<Mass>,
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
    /// How long the fight has lasted: back and hands tire
    #[arg(long, value_parser = minutes, default_value = "0min", value_name = "TIME")]
    minutes: Span,
    /// Body mass of a drilled harness hand within reach (again for each)
    #[arg(long, allow_hyphen_values = true, value_name = "MASS")]
    hand: Vec<Mass>,
    /// Pull each hand keeps up on a scale [default: the pack's band]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    hand_grip: Option<Force>,
    /// Running drag at the rod tip at strike, as the scale reads it while line runs; start-up is added
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    drag: Option<Force>,
    /// Greatest running drag at the rod tip anywhere [default: the same]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE", requires = "drag")]
    worst_drag: Option<Force>,
    /// Start-up over running drag [default: the outfit's readings, else the pack's]
    #[arg(long, allow_hyphen_values = true, value_name = "RATIO")]
    start_up: Option<f64>,
    /// Dry sand between the toes and the highest wash
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", conflicts_with = "to_water")]
    toes_above_wash: Option<Length>,
    /// Toes to the still-water line, in its place
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", requires_all = ["run_up", "foreshore"])]
    to_water: Option<Length>,
    /// How high the waves run up above still water
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", requires = "to_water")]
    run_up: Option<Length>,
    /// Slope of the foreshore, where the waves run up
    #[arg(long, allow_hyphen_values = true, value_name = "SLOPE")]
    foreshore: Option<Slope>,
    /// How a crew measures its own foot-slip load, step by step
    #[arg(long)]
    how_to_measure: bool,
    #[command(flatten)]
    drawn: Drawn,
}

/// A time, or a plain number of minutes.
fn minutes(text: &str) -> tailrope::Result<Span> {
    match text.trim().parse::<f64>() {
        Ok(n) if n.is_finite() && n >= 0.0 => Ok(Span::of_min(n)),
        _ => text.parse(),
    }
}

/// Everything that is told.
struct Told {
    who: Option<String>,
    stand: AnglerStand,
    slope: f64,
    hands: Vec<HarnessHand>,
    caps: Caps,
    footing: WholeFooting,
    used: Stand,
    held: Option<Held>,
    rod: RodHeld,
    elevations: Vec<RodAt>,
    lowering: Option<Lowering>,
    slip: Option<SlipFound>,
    dry: Option<DrySand>,
    dry_wanted: Length,
    get_up: Span,
}

/// A drag held against what is borne.
struct Held {
    demand: Demand,
    start_up: f64,
    margin: Margin,
    needed: HandsNeeded,
    surge: Surge,
    lasts: Lasts,
}

impl Footing {
    fn outing(&self, desk: &Desk) -> Result<Option<OnTheSand>, Failure> {
        if self.outing.is_none() && desk.demo.is_none() {
            return Ok(None);
        }
        let night = Night::read(self.outing.as_ref(), desk)?;
        let options = night.options(desk, 2)?;
        let packs = facts(desk)?;
        let found = on_the_sand(&packs, &night.outing, &options, self.who.as_deref());
        let found = found.map_err(|e| {
            if e.place.is_empty() && self.who.is_some() { e.within("--who") } else { night.place(e) }
        })?;
        let found = found.ok_or_else(|| {
            Error::new(
                "nobody in this outing can hold the rod, or the mass is not known",
                "a person with a mass, fit for the rod",
                "give the person a mass, or name one with --who",
            )
            .within(&night.file)
        })?;
        Ok(Some(found))
    }

    fn stand(&self, from: Option<&OnTheSand>, pack: &FootingPack) -> Result<AnglerStand, Failure> {
        let mut s = match (from, self.mass) {
            (Some(from), mass) => AnglerStand { mass: mass.unwrap_or(from.stand.mass), ..from.stand },
            (None, Some(mass)) => AnglerStand::new(mass),
            (None, None) => {
                return Err(Error::new(
                    "nobody's mass is given",
                    "--mass, an outing file, or --demo",
                    "write it like --mass 85kg",
                )
                .within("--mass")
                .into());
            }
        };
        if let Some(stance) = self.stance.filter(|x| *x != s.stance) {
            // Lean, base and tip of the outing were those of its own stance.
            (s.stance, s.lean, s.base, s.tip) = (stance, None, None, None);
        }
        s.lean = self.lean.or(s.lean);
        s.base = self.base.or(s.base);
        s.tip = self.tip_height.zip(self.tip_ahead).map(|(up, ahead)| RodTip { up, ahead }).or(s.tip);
        s.line_angle = self.line_angle.or(s.line_angle);
        s.slope = self.slope.map_or(s.slope, Slope::angle);
        if let Some(sand) = self.sand.filter(|x| *x != s.sand) {
            // A friction was measured on the outing's own sand.
            (s.sand, s.friction) = (sand, None);
        }
        s.friction = self.friction.map(Band::exact).or(s.friction);
        s.wash = self.wash_depth.zip(self.wash_flow).map(|(depth, flow)| Wash { depth, flow }).or(s.wash);
        s.back_moment = self.back_moment.or(s.back_moment);
        s.clear_behind |= self.clear_behind;
        s.after = self.minutes;
        if let Some(rod) = self.rod {
            s.tip = Some(rod_tip(pack, &s, rod, self.rod_angle).map_err(|e| e.within("--rod"))?);
        }
        Ok(s)
    }

    fn slip(&self, stand: &AnglerStand, pack: &FootingPack) -> Result<Option<SlipFound>, Failure> {
        if self.slipped_at.is_empty() {
            return Ok(None);
        }
        let test = SlipTest {
            pulls: self.slipped_at.clone(),
            mass: self.pulled_mass.unwrap_or(stand.mass),
            scale_height: self.scale_height.into(),
            slope: Known::Known(Slope::of_rise_over_run(stand.slope_tan())?),
        };
        Ok(Some(test.found(pack).map_err(|e| e.within("--slipped-at"))?))
    }

    fn dry_sand(&self, from: Option<&OnTheSand>) -> Result<(Option<Length>, Option<Slope>), Failure> {
        let foreshore = self.foreshore.or(from.and_then(|f| f.foreshore.get()));
        let there = match (self.to_water, self.run_up, foreshore) {
            (Some(to), Some(run_up), Some(slope)) => {
                run_up
                    .within("run-up", Length::ZERO, Length::of_m(20.0))
                    .map_err(|e| e.within("--run-up"))?;
                let there = dry::above_wash(to, run_up, slope);
                Some(there.ok_or_else(|| {
                    Error::new(
                        "on a level beach the wash has no end",
                        "a slope above 0",
                        "write it like 1:20",
                    )
                    .within("--foreshore")
                })?)
            }
            _ => self.toes_above_wash.or(from.and_then(|f| f.dry_sand.get())),
        };
        Ok((there, foreshore))
    }

    /// What the tip meets as line begins to run: the plan's, or the running drags typed with the start-up on them.
    fn demand(&self, from: Option<&OnTheSand>, start_up: f64) -> Result<Option<Demand>, Failure> {
        let Some(strike) = self.drag else { return Ok(from.and_then(|f| f.demand)) };
        let worst = self.worst_drag.unwrap_or(strike);
        if strike < Force::ZERO || worst < strike {
            return Err(Error::new(
                "the drags do not fit together",
                "0 or more, the worst at least the one at strike",
                "give the running drag at strike with --drag, the greatest anywhere with --worst-drag",
            )
            .within("--drag")
            .into());
        }
        Ok(Some(Demand { strike: strike * start_up, worst: worst * start_up }))
    }

    /// Start-up over running drag.
    fn start_up(&self, desk: &Desk, from: Option<&OnTheSand>) -> Result<f64, Failure> {
        let start_up = match (self.start_up, from) {
            (Some(x), _) => x,
            (None, Some(from)) => from.start_up,
            (None, None) => {
                let tables = desk.packs.get("tackle.toml")?;
                let text: PackText<'_> = tables.text();
                Tables::read(&text)?.drag.start_up.value.central.max(1.0)
            }
        };
        if (1.0..=4.0).contains(&start_up) {
            return Ok(start_up);
        }
        Err(Error::new(
            format!("a start-up of {start_up}"),
            "1 to 4",
            "write the scale as the spool begins to turn over the scale while it turns",
        )
        .within("--start-up")
        .into())
    }

    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let text = desk.packs.get("footing.toml")?;
        let pack = FootingPack::read(text.text())?;
        if self.how_to_measure {
            return page::drill(desk, &DRILL);
        }
        let limits = desk.packs.get("limits.toml")?;
        let limits = Limits::read(&limits.text())?;
        let caps = Caps::new(limits.figure("footing.strike_share"), limits.figure("footing.worst_share"))?;
        if self.who.is_some() && self.outing.is_none() && desk.demo.is_none() {
            return Err(Error::new(
                "there is no outing to look for that name in",
                "",
                "give an outing file, or --demo",
            )
            .within("--who")
            .into());
        }
        let from = self.outing(desk)?;
        let mut stand = self.stand(from.as_ref(), &pack)?;
        let slip = self.slip(&stand, &pack)?;
        if let Some(found) = &slip {
            stand.friction = Some(found.friction);
        }
        let hands: Vec<HarnessHand> = if self.hand.is_empty() {
            from.iter()
                .flat_map(|f| &f.hands)
                .map(|(_, h)| HarnessHand { grip: self.hand_grip.or(h.grip), ..*h })
                .collect()
        } else {
            self.hand
                .iter()
                .map(|m| HarnessHand { grip: self.hand_grip, ..HarnessHand::drilled(*m) })
                .collect()
        };
        let answer = footing(&pack, &stand, &hands)?;
        let used = resolve(&pack, &stand, &[])?.stand;
        let start_up = self.start_up(desk, from.as_ref())?;
        let held = match self.demand(from.as_ref(), start_up)? {
            None => None,
            Some(demand) => {
                let running = demand.strike / start_up;
                let weakest = from.as_ref().and_then(|f| f.weakest);
                // From the first minute on: how long the drag is borne does not hang on how long it was.
                let fresh = AnglerStand { after: Span::ZERO, ..stand };
                let most = Span::of_min(limits.figure("crew.relief_min"));
                Some(Held {
                    demand,
                    start_up,
                    margin: Margin::of(answer.planned.best(), demand, caps),
                    needed: hands_needed(&pack, &stand, &hands, demand, caps)?,
                    surge: Surge::of(&pack.surge, running, start_up, weakest)?,
                    lasts: fade::lasts(&pack, &fresh, &hands, demand, caps, most)?,
                })
            }
        };
        let drawn_at = held.as_ref().map(|h| h.demand.strike);
        let (there, foreshore) = self.dry_sand(from.as_ref())?;
        if self.drawn.wanted() {
            let view = SideView { drag: drawn_at, dry_sand: there, units: desk.units };
            self.drawn.write(&side_view(&pack, &stand, &hands, &view)?)?;
        }
        let told = Told {
            who: from.map(|f| f.angler),
            slope: stand.slope_tan(),
            caps,
            rod: rod_held(&pack, &stand, drawn_at.unwrap_or(answer.planned.best().limit))?,
            elevations: match self.rod {
                Some(rod) => elevations(&pack, &stand, &hands, rod)?,
                None => Vec::new(),
            },
            lowering: self.rod.map(|_| lowering(self.rod_angle, used.line_angle)),
            dry: there.map(|d| DrySand::of(&pack, stand.stance, d, foreshore)),
            dry_wanted: dry::wanted(&pack, stand.stance),
            get_up: pack.dry.get_up.value,
            stand,
            hands,
            footing: answer,
            used,
            held,
            slip,
        };
        Answer::new(page::page(desk, &told), &json::json(&told))
    }
}
