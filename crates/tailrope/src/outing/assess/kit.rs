//! What tonight asks for and what is not packed.

use super::Ctx;
use crate::facts::Known;
use crate::outing::conditions::Conditions;
use crate::outing::finding::{Findings, Reason};
use crate::outing::kit::{Item, Weight, When};
use crate::outing::{Severity, Topic};

/// Water under this asks for dry clothes.
const COLD_C: f64 = 15.0;

/// What makes tonight ask for more than the usual.
pub(in crate::outing) fn tonight(ctx: &Ctx<'_>) -> Vec<When> {
    let mut all = Vec::new();
    let mut add = |when, yes| {
        if yes {
            all.push(when);
        }
    };
    add(When::Night, ctx.dark());
    add(When::Paddle, super::bait::paddles(ctx.outing.bait.delivery));
    add(When::Rope, super::crew::roped(ctx));
    add(When::Harness, ctx.clipped());
    // Unknown metal or unknown water counts as there.
    add(When::Metal, ctx.outing.rig.metal_length().get().is_none_or(|l| l.m() > 0.0));
    let cold = |c: &Conditions| c.water.get().is_none_or(|t| t.c() < COLD_C);
    add(When::Cold, cold(&ctx.conditions) || ctx.spells.iter().any(|s| cold(&s.conditions)));
    all
}

/// The list, and what is missing of it, in packing order.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) -> (Vec<String>, Vec<String>) {
    let when = tonight(ctx);
    let people = ctx.outing.person.len();
    let asked: Vec<&Item> = ctx.facts.kit.asked(&when).collect();
    let list = asked.iter().map(|i| i.words(people)).collect();
    let Known::Known(have) = &ctx.outing.kit.have else {
        f.judged(&ctx.limits.word("kit.safety", Known::Unknown), "", vec![]);
        return (list, asked.iter().map(|i| i.words(people)).collect());
    };
    let missing: Vec<&&Item> = asked.iter().filter(|i| !have.iter().any(|h| h.trim() == i.id)).collect();
    let grave: Vec<String> =
        missing.iter().filter(|i| i.weight == Weight::Safety).map(|i| i.words(people)).collect();
    let light = missing.len() - grave.len();
    let state = if grave.is_empty() { "packed" } else { "missing" };
    f.judged(
        &ctx.limits.word("kit.safety", Known::Known(state)),
        format!("Not packed: {}.", grave.join("; ")),
        vec![super::site::said("safety items missing", grave.len() as f64, "-")],
    );
    if light > 0 {
        f.push(crate::outing::Finding {
            severity: Severity::Note,
            topic: Topic::Kit,
            sentence: format!("{light} more of the list are not packed; see the kit."),
            because: vec![Reason::new(
                "items missing",
                light as f64,
                "-",
                crate::facts::Grade::Measured,
                "outing file",
            )],
            remedy: "pack them, or know why not".into(),
            rule: Some("kit.comfort".into()),
            rule_grade: None,
            rule_source: None,
        });
    }
    for odd in have.iter().filter(|h| !ctx.facts.kit.items.iter().any(|i| i.id == h.trim())) {
        f.note(
            Topic::Kit,
            format!("`{odd}` is not on the kit list: misspelt?"),
            vec![],
            Some("kit.unknown-item"),
        );
    }
    (list, missing.iter().map(|i| i.words(people)).collect())
}
