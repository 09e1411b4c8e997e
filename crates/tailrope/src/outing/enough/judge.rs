//! One set-up against one fish, with the plan's own judgement.

use super::{DragCaps, RULES, Row, SetUp, to_hand_at_least};
use crate::facts::{Band, Known};
use crate::fight::{Setup, Strength, with_drag};
use crate::outing::assess::{Ctx, crew, fight, footing, tackle};
use crate::outing::file::Clip;
use crate::outing::finding::Findings;
use crate::outing::limits::Border;
use crate::outing::make::prepared;
use crate::outing::{Facts, Finding, Options, Outing, RunFights, Severity};
use crate::people::{Person, Stance};
use crate::quantity::{Force, Length, Mass, Quantity, Span, significant};
use crate::tackle::drag::DragPlan;
use crate::tackle::{LoadPath, PathAsk, ShareOrForce};
use crate::{Error, Result};

/// Shares of the greatest allowed drag at which a set-up is tried: less drag may spare parts and people.
const SHARES: [f64; 3] = [1.0, 0.8, 0.6];
/// A hair below a border, so that rounding never counts as beyond it.
const HAIR: f64 = 0.999;
/// Drag with which the caps are laid out, before the greatest is known.
const PROVISIONAL: Force = Force::of_n(50.0);
/// Ladder on which the drag needed is looked for, N: steps of a quarter.
const LADDER: (f64, f64, i32) = (20.0, 1.25, 16);

/// A rung of it.
pub(super) fn rung(i: i32) -> f64 {
    LADDER.0 * crate::math::pow(LADDER.1, f64::from(i))
}

/// What every set-up of a comparison shares.
pub(super) struct Judge<'a> {
    pub facts: &'a Facts,
    pub outing: &'a Outing,
    pub options: &'a Options,
    pub run: RunFights<'a>,
}

/// Fish and people of the comparison.
pub(super) struct Who {
    pub fish: String,
    pub length: Length,
    pub heavy: Mass,
    pub angler: String,
    pub bears: Force,
    pub stance: Stance,
    pub people: u32,
    pub people_needed: u32,
}

/// One trial at one drag.
struct Trial {
    caps: DragCaps,
    findings: Vec<Finding>,
    told: fight::Told,
    margins: [f64; 3],
    line: Length,
    leader: Option<f64>,
    stops: Band<f64>,
    death: f64,
    lacks: Vec<String>,
    /// Less drag may mend it.
    eases: bool,
}

impl Judge<'_> {
    /// The outing with this set-up as its only one, at a drag.
    fn outing_with(&self, s: &SetUp, fight: Force) -> Outing {
        let mut o = self.outing.clone();
        let mut outfit = s.outfit.clone();
        let strike = match (outfit.drag.strike, outfit.drag.fight) {
            (Known::Known(ShareOrForce::Share(x)), _) => Known::Known(ShareOrForce::Share(x)),
            (Known::Known(ShareOrForce::Force(f)), Known::Known(fight)) if fight > Force::ZERO => {
                Known::Known(ShareOrForce::Share((f / fight).clamp(0.05, 1.0)))
            }
            _ => Known::Unknown,
        };
        outfit.drag = DragPlan {
            fight: Known::Known(fight),
            strike,
            soak: Known::Unknown,
            at: crate::tackle::ScalePlace::Reel,
            ..outfit.drag
        };
        o.outfit = vec![outfit];
        o.rig = s.rig.clone();
        o.safety.clip = match (s.harness, o.safety.clip) {
            (false, _) => Known::Known(Clip::NotClipped),
            // How the clip opens is no question of the set-up: that it is worn is.
            (true, Known::Unknown | Known::Known(Clip::NotClipped)) => Known::Known(Clip::Tonight),
            (true, worn) => worn,
        };
        if let Some(stance) = s.stance {
            o.stand.stance = Known::Known(stance);
            // Lean and feet were said of the other stance: the pack's are taken.
            (o.stand.lean, o.stand.feet_split) = (Known::Unknown, Known::Unknown);
        }
        if let Some((up, ahead)) = s.tip {
            (o.stand.tip_up, o.stand.tip_ahead) = (Known::Known(up), Known::Known(ahead));
        }
        o
    }

    /// Harness hands that stand in for people whom the change asks for.
    fn hands(s: &SetUp, first: &Person) -> Vec<Person> {
        (0..s.more_hands)
            .map(|i| Person {
                name: format!("harness hand {}", i + 1),
                mass: first.mass,
                ..Person::default()
            })
            .collect()
    }

    /// Fish and people, by the first outfit of the outing.
    pub fn who(&self) -> Result<Who> {
        let ctx = prepared(self.facts, self.outing, self.options, self.run)?;
        let standing = standing(&ctx, &[])?;
        let fish = &ctx.fish.target;
        Ok(Who {
            fish: fish.species.name.clone(),
            length: fish.total,
            heavy: fish.heavy,
            angler: standing.as_ref().map_or_else(|| "unknown".to_owned(), |s| s.angler.clone()),
            stance: standing.as_ref().map_or(Stance::Upright, |s| s.stand.stance),
            bears: standing.map_or(Force::ZERO, |s| s.alone().limit),
            people: crew::counted(&ctx, &crew::rules(&ctx)),
            people_needed: crew::needed(&ctx, &crew::rules(&ctx)).count,
        })
    }

    /// The set-up judged, at the greatest drag allowed or at less where only that is enough.
    pub fn row(&self, s: &SetUp, own: bool) -> Result<Row> {
        self.judged(s, own, true)
    }

    /// The same without looking for the drag needed: for changes, of which only the outcome counts.
    pub fn changed(&self, s: &SetUp, own: bool) -> Result<Row> {
        self.judged(s, own, false)
    }

    fn judged(&self, s: &SetUp, own: bool, needed: bool) -> Result<Row> {
        let mut best: Option<Trial> = None;
        let mut least = None;
        for share in SHARES {
            let trial = self.trial(s, share, needed && share == 1.0)?;
            let mends = trial.as_ref().is_ok_and(|t| t.eases);
            if let (1.0, Ok(t)) = (share, &trial) {
                least = t.caps.needed_n;
            }
            match trial {
                Err(why) => return Ok(not_told(s, own, &why)),
                Ok(t) if t.lacks.is_empty() => {
                    best = Some(t);
                    break;
                }
                Ok(t) => {
                    best.get_or_insert(t);
                }
            }
            if !mends {
                break;
            }
        }
        let Some(t) = best else { return Ok(not_told(s, own, "nothing to judge")) };
        let o = &t.told.forecast.outcomes;
        Ok(Row {
            name: s.name.clone(),
            own,
            enough: t.lacks.is_empty(),
            reel: reel_words(s),
            line_m: t.line.m(),
            drags: DragCaps { needed_n: least, ..t.caps },
            margin_full: t.margins[0],
            margin_half: t.margins[1],
            margin_low_spool: t.margins[2],
            leader_over_fish: t.leader,
            spooled: o.spooled.p,
            to_hand: o.to_hand.p,
            error: o.spooled.error.max(o.to_hand.error),
            moved: t.told.forecast.angler_moved.p,
            death: t.death,
            minutes: t.told.forecast.minutes.map(|m| m.p50),
            stops_kg: [t.stops.low, t.stops.central, t.stops.high],
            lacks: t.lacks,
            findings: t.findings,
            price: s.price,
            change: None,
        })
    }

    /// One trial at a share of the greatest drag; the inner error says why it cannot be judged.
    fn trial(&self, s: &SetUp, share: f64, needed: bool) -> Result<Result<Trial, String>> {
        let outing = self.outing_with(s, PROVISIONAL);
        let ctx = prepared(self.facts, &outing, self.options, self.run)?;
        let path = match LoadPath::new(ctx.main_outfit(), Some(&outing.rig), &self.facts.tackle) {
            Ok(path) => path,
            Err(e) => return Ok(Err(format!("{}; {}", e.error, e.remedy))),
        };
        let rod = anglers(&ctx)?;
        let extra = rod.first().map(|p| Self::hands(s, p)).unwrap_or_default();
        let hands: Vec<&Person> = extra.iter().collect();
        let Some(stand) = standing(&ctx, &hands)? else {
            return Ok(Err("nobody with a known mass may hold the rod".to_owned()));
        };
        let Some(laid) = tackle::gear(&ctx, Some(&path), Some(&stand))? else {
            return Ok(Err("reel, line or drag are not known".to_owned()));
        };
        let caps = caps(&ctx, s, &laid, &stand);
        let may = Force::of_n(caps.may_n * share);
        if may < Force::of_n(2.0) {
            return Ok(Err(format!("hardly any drag is left: {} hold it to nothing", caps.held_by)));
        }
        // The same again with the drag that may be used.
        let outing = self.outing_with(s, may);
        let ctx = prepared(self.facts, &outing, self.options, self.run)?;
        let rod = anglers(&ctx)?;
        let Some(laid) = tackle::gear(&ctx, Some(&path), Some(&stand))? else {
            return Ok(Err("reel, line or drag are not known".to_owned()));
        };
        let fish = &ctx.fish.target;
        let Some(setup) = fight::setup(&ctx, &laid.gear, &stand, &rod, fish) else {
            return Ok(Err("the bait's distance is not known".to_owned()));
        };
        let setup = fight::coarse(setup);
        let n = u64::from(self.options.fights);
        let told = fight::tell(&ctx, setup.clone(), fish, n)?;
        let mut f = Findings::default();
        let tackled = tackle::assess(&ctx, Some(&path), Some(&laid), Some(&told), &mut f)?;
        footing::assess(&ctx, Some(&stand), tackled.tip, &mut f)?;
        fight::assess(&ctx, Some(&told), &mut f);
        fight::assess_moved(&ctx, fish, &told, &mut f);
        let death = fight::death_at_80(&ctx, &told).central;
        let findings: Vec<Finding> = f
            .sorted()
            .into_iter()
            .filter(|f| f.severity != Severity::Note && f.rule.as_deref().is_some_and(|r| RULES.contains(&r)))
            .collect();
        let needed_n = if needed { self.needed(&ctx, &setup)? } else { None };
        let line = path.spool().line_length();
        let store = self.facts.species.body.store(Mass::of_kg(1.0));
        // Work of the drag over four fifths of the line, by the store of a kilogram of fish.
        let work = may.n() * line.m() * 0.8;
        let stops = Band {
            low: work / store.high.si(),
            central: work / store.central.si(),
            high: work / store.low.si(),
        };
        let half = line * 0.5;
        let at_half = path.at(&PathAsk {
            factor: laid.factor,
            ..PathAsk::at_reel(laid.card.set_at(half), half, tackle::RUN)
        })?;
        let caps = DragCaps { may_n: may.n(), needed_n, ..caps };
        let near = near(&ctx, &told);
        let eases = findings
            .iter()
            .filter(|f| f.severity == Severity::Stop)
            .filter_map(|f| f.rule.as_deref())
            .chain(near.iter().map(|n| n.0))
            .any(|r| EASED_BY_LESS.contains(&r));
        let lacks = lacks(&ctx, &findings, &near, &told, &caps, needed);
        Ok(Ok(Trial {
            margins: [
                tackled.path.margin_full,
                at_half.margin.get().unwrap_or(f64::NAN),
                tackled.path.margin_low_spool,
            ],
            leader: outing.rig.leader_over_fish(fish.total).and_then(Known::get),
            caps,
            findings,
            told,
            line,
            stops,
            death,
            lacks,
            eases,
        }))
    }

    /// About the least drag with which the spool is not emptied too often and the fish is brought to hand often enough,
    /// if no part and no angler gave way.
    fn needed(&self, ctx: &Ctx<'_>, setup: &Setup) -> Result<Option<f64>> {
        let mut free = setup.clone();
        free.outfit.max_drag = Force::of_n(2000.0);
        free.outfit.card.clear();
        for l in &mut free.outfit.line {
            l.strength = Strength::Unbreakable;
        }
        for e in &mut free.ends {
            e.strength = Strength::Unbreakable;
        }
        free.people.angler.hold = Some(Band::exact(Force::of_n(1e5)));
        if let Some(r) = &mut free.people.relief {
            r.angler.hold = Some(Band::exact(Force::of_n(1e5)));
        }
        let stop = ctx
            .limits
            .row("forecast.spooled")
            .and_then(|r| r.stop)
            .map_or(0.2, crate::outing::limits::Border::at);
        let n = u64::from((self.options.fights / 2).max(64));
        let drag = rung;
        let serves = |i: i32| -> Result<(bool, bool)> {
            let t = fight::tell(ctx, with_drag(&free, Force::of_n(drag(i))), &ctx.fish.target, n)?;
            let o = &t.forecast.outcomes;
            Ok((o.spooled.p <= stop, o.to_hand.p >= to_hand_at_least()))
        };
        let (mut low, mut high) = (-1, LADDER.2);
        // The chance falls with the drag, but for the noise of few fights: halve the ladder.
        while high - low > 1 {
            let middle = i32::midpoint(low, high);
            if serves(middle)?.0 {
                high = middle;
            } else {
                low = middle;
            }
        }
        // Brought to hand as well: from there upward, for a hook holds less often under much drag.
        for i in high..LADDER.2 {
            if serves(i)? == (true, true) {
                return Ok(Some(drag(i)));
            }
        }
        Ok(None)
    }
}

/// Those who may hold the rod.
fn anglers<'a>(ctx: &'a Ctx<'_>) -> Result<Vec<&'a Person>> {
    let rules = crew::rules(ctx);
    let assumed = Span::of_min(fight::fight_limit(ctx, &ctx.fish.target));
    let first = crew::assigned(ctx, &rules, assumed, Known::Unknown, 0, &[])?;
    let rod = crew::anglers(ctx, &first);
    if rod.is_empty() {
        return Err(Error::new(
            "nobody of this outing may hold the rod",
            "an angler of known mass whom nothing bars",
            "see `tailrope plan`: it says why each is barred",
        )
        .within("person"));
    }
    Ok(rod)
}

fn standing(ctx: &Ctx<'_>, more: &[&Person]) -> Result<Option<footing::Standing>> {
    let rules = crew::rules(ctx);
    let assumed = Span::of_min(fight::fight_limit(ctx, &ctx.fish.target));
    let first = crew::assigned(ctx, &rules, assumed, Known::Unknown, 0, &[])?;
    let mut hands = crew::harness_hands(ctx, &rules, &first);
    hands.extend(more);
    footing::standing(ctx, &crew::anglers(ctx, &first), &hands)
}

/// What reel, parts, people and bare arms allow; the least of them may be used.
fn caps(ctx: &Ctx<'_>, s: &SetUp, laid: &tackle::Laid<'_>, stand: &footing::Standing) -> DragCaps {
    let reel = s.outfit.reel.max_drag(&ctx.facts.tackle).get().map_or(laid.gear.max_drag, |m| m.value.low);
    // A run begins against the start-up value, and harness hands count where they are offered.
    let gain = if s.more_hands > 0 { stand.best().limit / stand.alone().limit } else { 1.0 };
    let people = laid.gear.footing_cap * (gain / laid.gear.start_up);
    let arms = laid.gear.arms_cap.map(|a| a / laid.gear.start_up);
    let mut all = vec![(reel, "reel"), (laid.gear.parts_cap, "parts"), (people, "people")];
    all.extend(arms.map(|a| (a, "arms")));
    let (may, held_by) =
        all.into_iter().min_by(|a, b| a.0.n().total_cmp(&b.0.n())).unwrap_or((Force::ZERO, "reel"));
    DragCaps {
        may_n: may.n() * HAIR,
        reel_n: reel.n(),
        parts_n: laid.gear.parts_cap.n(),
        people_n: arms.map_or(people, |a| a.min(people)).n(),
        held_by,
        needed_n: None,
    }
}

/// Rows that less drag may mend: a part or the angler gave way.
const EASED_BY_LESS: [&str; 5] =
    ["path.margin", "forecast.parted", "forecast.angler_moved", "footing.drag", "footing.arms"];

/// Chances that do not stop, but would with one error on top: few fights promise nothing at a border.
fn near(ctx: &Ctx<'_>, told: &fight::Told) -> Vec<(&'static str, String)> {
    let o = &told.forecast.outcomes;
    let (parted, moved) = (told.parted_trailing, told.forecast.angler_moved);
    [
        ("forecast.spooled", o.spooled.p, o.spooled.error, "The spool is emptied"),
        ("forecast.parted", parted.p, parted.error, "It breaks off with much line"),
        ("forecast.cut_at_rod", o.cut_at_rod.p, o.cut_at_rod.error, "It is cut at the rod"),
        ("forecast.angler_moved", moved.p, moved.error, "The angler is moved"),
    ]
    .into_iter()
    .filter_map(|(id, p, error, what)| {
        let stop = ctx.limits.row(id)?.stop?;
        too_near(stop, p, error).then(|| {
            let of_hundred = |x: f64| significant(x * 100.0, 2);
            let (p, error, at) = (of_hundred(p), of_hundred(error), of_hundred(stop.at()));
            (id, format!("{what} in {p} of a hundred fights, with an error of {error}: too near {at} to call it enough."))
        })
    })
    .collect()
}

/// Whether a chance stays within its border only as long as its Monte Carlo error is left out.
pub(super) fn too_near(stop: Border, p: f64, error: f64) -> bool {
    !stop.crossed(p) && stop.crossed(p + error)
}

/// What keeps a set-up from being enough: the stops, what is too near one, and too seldom to hand.
fn lacks(
    ctx: &Ctx<'_>,
    findings: &[Finding],
    near: &[(&'static str, String)],
    told: &fight::Told,
    caps: &DragCaps,
    needed: bool,
) -> Vec<String> {
    let u = ctx.options.units;
    let mut all: Vec<String> =
        findings.iter().filter(|f| f.severity == Severity::Stop).map(|f| f.sentence.clone()).collect();
    all.extend(near.iter().map(|n| n.1.clone()));
    let hand = told.forecast.outcomes.to_hand;
    let of_hundred = |x: f64| significant(x * 100.0, 2);
    if hand.p < to_hand_at_least() {
        all.push(format!("It is brought to hand in {} of a hundred fights only.", of_hundred(hand.p)));
    } else if hand.p - hand.error < to_hand_at_least() {
        all.push(format!(
            "It is brought to hand in {} of a hundred fights, with an error of {}: too near {} to call it enough.",
            of_hundred(hand.p),
            of_hundred(hand.error),
            of_hundred(to_hand_at_least())
        ));
    }
    if needed && !all.is_empty() {
        let may = Force::of_n(caps.may_n);
        let by = match caps.held_by {
            "reel" => "the reel gives no more",
            "parts" => "the weakest part bears no more",
            "arms" => "arms without plate and harness hold no more",
            _ => "the angler bears no more",
        };
        match caps.needed_n {
            Some(n) if n > caps.may_n => all.push(format!(
                "Drag: {} {} would be needed to keep line and bring it to hand, {} may be used: {by}.",
                if caps.needed_at_most() { "at most" } else { "about" },
                u.force(Force::of_n(n)),
                u.force(may)
            )),
            None => all.push(format!(
                "Line: no drag up to {} keeps this fish from emptying the spool and brings it to hand; {} may be used: {by}.",
                u.force(Force::of_n(rung(LADDER.2 - 1))),
                u.force(may)
            )),
            Some(_) => {}
        }
    }
    all
}

/// A set-up that cannot be judged is not enough.
fn not_told(s: &SetUp, own: bool, why: &str) -> Row {
    Row {
        name: s.name.clone(),
        own,
        enough: false,
        reel: reel_words(s),
        line_m: 0.0,
        drags: DragCaps {
            may_n: 0.0,
            reel_n: 0.0,
            parts_n: 0.0,
            people_n: 0.0,
            held_by: "unknown",
            needed_n: None,
        },
        margin_full: 0.0,
        margin_half: 0.0,
        margin_low_spool: 0.0,
        leader_over_fish: None,
        spooled: 1.0,
        to_hand: 0.0,
        error: 0.0,
        moved: 0.0,
        death: 1.0,
        minutes: None,
        stops_kg: [0.0; 3],
        lacks: vec![format!("It cannot be judged: {why}.")],
        findings: vec![],
        price: s.price,
        change: None,
    }
}

fn reel_words(s: &SetUp) -> String {
    let r = &s.outfit.reel;
    let reel = match (&r.class, r.kind, &r.spool) {
        (Known::Known(c), ..) => c.clone(),
        (_, Known::Known(k), _) => k.words().to_owned(),
        (.., Known::Known(_)) => "a measured spool".to_owned(),
        _ => "unknown reel".to_owned(),
    };
    let line: Vec<String> = s
        .outfit
        .line
        .iter()
        .map(|p| {
            let material = p.material.get().map_or("line", crate::tackle::Material::word);
            match p.strength {
                Known::Known(f) => format!("{} lb {material}", significant(f.lbf(), 3)),
                Known::Unknown => material.to_owned(),
            }
        })
        .collect();
    format!("{reel}, {}", line.join(" + "))
}
