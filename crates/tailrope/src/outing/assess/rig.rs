//! Does the rig bear the leader stage, the cast and the hand: the rows that a rig alone is asked, asked of the night.
//!
//! One judge for both ([`crate::outing::rig`]): what stops a rig by itself stops the night that fishes it. The load
//! is that of the leader stage: the fight setting as it starts, and the hands.

use super::Ctx;
use super::tackle::Laid;
use crate::Result;
use crate::facts::Known;
use crate::outing::finding::Findings;
use crate::outing::rig::{carried, judged};
use crate::quantity::Force;
use crate::tackle::LoadPath;
use crate::tackle::rig::{FitAsk, leader_load};

/// Pulls between which a rig is asked. Beyond them no outfit is fished; the borders are crossed long before.
const LEAST: Force = Force::of_n(1.0);
const MOST: Force = Force::of_n(5000.0);

/// Judges the rig. The leader against the fish has its own row with the tackle; a fight setting that nobody knows is
/// a stop of the load path, and asks no margin here.
pub(in crate::outing) fn assess(
    ctx: &Ctx<'_>,
    path: Option<&LoadPath>,
    laid: Option<&Laid<'_>>,
    f: &mut Findings,
) -> Result<()> {
    let (rig, tables) = (&ctx.outing.rig, &ctx.facts.tackle);
    let pull = match (path, laid) {
        (Some(path), Some(laid)) => Some(path.leader_stage(laid.gear.fight).line.max(LEAST).min(MOST)),
        _ => None,
    };
    let ask = FitAsk {
        carried: carried(ctx.outing),
        pull,
        line: ctx.main_outfit().line.clone(),
        ..FitAsk::default()
    };
    let fit = rig.fit(tables, &ask).map_err(|e| e.within("rig"))?;
    let load: Known<Force> = pull.map(|p| leader_load(tables, p)).into();
    let made = rig.made(tables, load).map_err(|e| e.within("rig"))?;
    judged(&ctx.limits, &made, &fit, ctx.options.units, f);
    Ok(())
}
