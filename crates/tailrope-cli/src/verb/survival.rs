//! `tailrope survival`: chance of death after release.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::fish::{find, load};
use crate::word::word;
use clap::Args;
use serde::Serialize;
use tailrope::Error;
use tailrope::facts::Band;

use tailrope::fish::{Condition, Event, FightLimit, Hook, HookPlace, HookStyle, Shares, SurvivalClass};
use tailrope::outing::limits::Limits;
use tailrope::quantity::{Span, Temperature, significant};

/// Chance that a released fish dies: low, central, high, never the middle alone
#[derive(Args, Debug)]
#[command(after_help = "Example, a bull shark fought 25 minutes, held for three, hooked in the jaw:\n  \
                        tailrope survival bull --fight 25min --held 3min --water 26C --hook jaw\n\n\
                        The name `unknown` is a shark nobody named: protected, and the worst of everything.")]
pub struct Survival {
    /// Species, by name or id
    species: String,
    /// Hook-up to leader in hand
    #[arg(long, allow_hyphen_values = true)]
    fight: Span,
    /// Water temperature
    #[arg(long, allow_hyphen_values = true, value_name = "TEMPERATURE")]
    water: Temperature,
    /// Leader in hand to release
    #[arg(long, allow_hyphen_values = true, default_value = "0s", value_name = "SPAN")]
    held: Span,
    /// The part of it without forward flow over the gills
    #[arg(long, allow_hyphen_values = true, default_value = "0s", value_name = "SPAN")]
    held_still: Span,
    /// With gills out of the water; broken wash counts as half
    #[arg(long, allow_hyphen_values = true, default_value = "0s", value_name = "SPAN")]
    air: Span,
    /// Where the hook sits, if seen: jaw, foul, deep or gill
    #[arg(long, value_parser = word::<HookPlace>, value_name = "PLACE")]
    hook: Option<HookPlace>,
    /// If it was not seen, which hook: circle or j-or-offset
    #[arg(long, value_parser = word::<HookStyle>, default_value = "circle", value_name = "STYLE", conflicts_with = "hook")]
    hook_style: HookStyle,
    /// How it left, if seen: strong, slow-but-upright, rolled-or-no-tail-beat, no-jaw-or-eyelid-reflex, dead
    #[arg(long, value_parser = word::<Condition>, value_name = "WORDS")]
    condition: Option<Condition>,
    /// Central risk at which the fight should have ended [default: where the limits begin to stop]
    #[arg(long, value_name = "SHARE")]
    line: Option<f64>,
}

impl Survival {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let text = desk.packs.get("species.toml")?;
        let pack = load(&text)?;
        let limits = desk.packs.get("limits.toml")?;
        let limits = Limits::read(&limits.text())?;
        let species = find(&pack, &self.species)?;
        let event = Event {
            fight: self.fight,
            air: self.air,
            held: self.held,
            held_still: self.held_still,
            water: self.water,
            hook: self.hook.map_or(Hook::Style(self.hook_style), Hook::At),
        };
        let risk = species.survival.risk(&event)?;
        let seen = self.condition.map(|c| pack.conditions.update(risk.death, c));
        let row = limits.row("fish.death");
        let line = self.line.or_else(|| row.and_then(|r| r.stop).map(tailrope::outing::limits::Border::at));
        let line = line.ok_or_else(|| Error::new("the limits name no line", "", "give one with --line"))?;
        let limit = species.survival.fight_limit(line, &event)?;
        let json = Json {
            schema: "tailrope.survival/1",
            species: &species.id,
            fight_s: self.fight.s(),
            held_s: self.held.s(),
            held_still_s: self.held_still.s(),
            air_s: self.air.s(),
            water_c: self.water.c(),
            hook: self.hook,
            hook_style: self.hook.is_none().then_some(self.hook_style),
            death: risk.death,
            death_seen: seen,
            condition: self.condition,
            shares: risk.shares,
            line,
            fight_limit_min: limit.minutes(),
            extrapolated: risk.extrapolated,
            cold: risk.cold,
            class: species.survival_class,
            presumed_protected: species.presumed_protected(),
            cut_first: species.cut_first(),
            model: &species.survival.model,
            calibrated_on: &species.survival.calibrated_on,
        };
        let u = desk.units;
        let hook = self.hook.map_or("hook not seen".to_owned(), |h| format!("hooked {}", h.words()));
        let mut page = desk.page();
        page.say(&format!(
            "{}, fought {} in water of {}, {hook}: {} of a hundred die after release ({} to {}).",
            species.name,
            u.span(self.fight),
            u.temperature(self.water),
            hundred(risk.death.central),
            hundred(risk.death.low),
            hundred(risk.death.high),
        ));
        if let (Some(seen), Some(_)) = (seen, self.condition) {
            page.say(&format!(
                "After how it left was seen: {} ({} to {}).",
                hundred(seen.central),
                hundred(seen.low),
                hundred(seen.high)
            ));
        }
        page.head("Where the middle comes from, of a hundred").pairs(&[
            ("being caught", hundred(risk.shares.base)),
            ("minutes of fight and holding", hundred(risk.shares.fight)),
            ("minutes in air", hundred(risk.shares.air)),
            ("place of the hook", hundred(risk.shares.hook)),
        ]);
        page.head("The clock");
        page.points([match limit {
            FightLimit::None => {
                format!("Above {} of a hundred already at hook-up: no fight meets that line.", hundred(line))
            }
            FightLimit::At(t) => {
                format!("{} of a hundred is reached at {} of fight.", hundred(line), u.span(t))
            }
            FightLimit::Never => format!("{} of a hundred is not reached within a day.", hundred(line)),
        }]);
        page.head("Handling");
        let mut points = vec![species.ventilation.words().to_owned()];
        if let Some(why) = &species.protected {
            points.push(format!("treated as protected: {why}"));
        } else if species.unidentified {
            points.push("nobody named it: treated as protected".to_owned());
        }
        if species.cut_first() {
            points.push("cut at first touch rather than unhook".to_owned());
        }
        if risk.extrapolated {
            points.push("longer than any study: extrapolated".to_owned());
        }
        if risk.cold {
            points.push("colder than the studies: the high value does not count the cold".to_owned());
        }
        page.points(points);
        page.head("What it rests on").points([&species.survival.calibrated_on]);
        Answer::new(page.into_text(), &json)
    }
}

/// A share as whole or single-digit hundredths.
pub fn hundred(share: f64) -> String {
    let x = share * 100.0;
    if x < 9.95 { significant(x, 2) } else { format!("{x:.0}") }
}

#[derive(Serialize)]
#[allow(clippy::struct_excessive_bools)] // independent facts, each with its own key
struct Json<'a> {
    schema: &'static str,
    species: &'a str,
    fight_s: f64,
    held_s: f64,
    held_still_s: f64,
    air_s: f64,
    water_c: f64,
    hook: Option<HookPlace>,
    hook_style: Option<HookStyle>,
    death: Band<f64>,
    death_seen: Option<Band<f64>>,
    condition: Option<Condition>,
    shares: Shares,
    line: f64,
    fight_limit_min: Option<f64>,
    extrapolated: bool,
    cold: bool,
    class: SurvivalClass,
    presumed_protected: bool,
    cut_first: bool,
    model: &'a str,
    calibrated_on: &'a str,
}
