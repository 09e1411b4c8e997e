//! `tailrope fight`: the forecast of the fight.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::night::{Night, facts, fights, parallel};
use clap::{Args, Subcommand};
use serde::Serialize;
use std::path::PathBuf;
use tailrope::fight::{DragRow, Forecast, Spread};
use tailrope::outing::ask::{self, Told};
use tailrope::outing::plan::FishView;
use tailrope::outing::text::chance;
use tailrope::outing::{Facts, Options};
use tailrope::quantity::{Force, Length, Mass, Units, significant};
use tailrope::{Error, fight};

/// What happens if such a fish takes this bait: chances, minutes, line out. A model with bands, not a promise
#[derive(Args, Debug)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  tailrope fight --demo\n  tailrope fight drags night.toml --fights 2000\n  tailrope fight compare night.toml"
)]
pub struct Fight {
    #[command(subcommand)]
    how: Option<How>,
    #[command(flatten)]
    of: Of,
}

#[derive(Debug, Subcommand)]
enum How {
    /// Drag by drag with the first outfit: which serves fish and people best
    Drags(Of),
    /// Outfit by outfit of the outing
    Compare(Of),
}

#[derive(Args, Debug)]
struct Of {
    /// Outing file, TOML or JSON; `-` reads standard input
    outing: Option<PathBuf>,
    /// Fights of each forecast
    #[arg(long, value_parser = fights, value_name = "N")]
    fights: Option<u32>,
}

/// Fights of a forecast when it is one of many.
const ONE_OF_MANY: u32 = 2000;

impl Fight {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match &self.how {
            None => one(&self.of, desk),
            Some(How::Drags(of)) => drags(of, desk),
            Some(How::Compare(of)) => compare(of, desk),
        }
    }
}

impl Of {
    fn read(&self, desk: &Desk, usual: u32) -> Result<(Night, Facts, Options), Failure> {
        let night = Night::read(self.outing.as_ref(), desk)?;
        let options = night.options(desk, self.fights.unwrap_or(usual))?;
        Ok((night, facts(desk)?, options))
    }
}

fn unknown() -> Error {
    Error::new(
        "spool, line, drag or angler are not known well enough to fight with",
        "",
        "give the outfit its reel, line and drag, and the angler a mass: `tailrope plan` asks for what is missing",
    )
}

fn one(of: &Of, desk: &Desk) -> Result<Answer, Failure> {
    let (night, facts, options) = of.read(desk, Options::FIGHTS)?;
    let told = ask::forecast(&facts, &night.outing, &options, &parallel).map_err(|e| night.place(e))?;
    let told = told.ok_or_else(unknown)?;
    let outfit = night.outing.outfit.first().map_or("", |o| o.name.as_str());
    let json = OneJson {
        schema: "tailrope.fight/1",
        outfit,
        fish: &told.fish,
        drag_n: told.drag_n,
        seed: options.seed,
        fight_limit_min: told.view.fight_limit_min,
        forecast: &told.forecast,
    };
    Answer::new(page(desk, outfit, &told), &json)
}

fn page(desk: &Desk, outfit: &str, told: &Told) -> String {
    let (u, f) = (desk.units, &told.forecast);
    let mut page = desk.page();
    page.say(&format!(
        "{}, {} ({}), on {outfit} at {} off the reel: brought to hand in {} of {} fights.",
        told.fish.name,
        u.size(Length::of_m(told.fish.length_m)),
        u.mass(Mass::of_kg(told.fish.mass_kg)),
        u.force(Force::of_n(told.drag_n)),
        pc(f.outcomes.to_hand),
        f.fights,
    ));
    let o = &f.outcomes;
    page.head("How it ends").pairs(&[
        ("brought to hand", pc(o.to_hand)),
        ("  unhooked", pc(f.at_hand.unhooked)),
        ("  cut at the fish", pc(f.at_hand.cut_at_fish)),
        ("spool empty", pc(o.spooled)),
        ("a part broke", pc(o.parted)),
        ("hook pulled", pc(o.hook_pulled)),
        ("cut at the rod", pc(o.cut_at_rod)),
    ]);
    if !f.parted_by.is_empty() {
        page.points(f.parted_by.iter().map(|p| format!("{}: {}", p.part, pc(p.chance))));
    }
    page.head("People").pairs(&[("angler moved", pc(f.angler_moved))]);
    page.head("10, 50 and 90 of a hundred fights");
    let row = |name: &str, s: Option<Spread>, show: &dyn Fn(f64) -> String| {
        let cell = |x: fn(&Spread) -> f64| s.as_ref().map_or_else(|| "-".to_owned(), |s| show(x(s)));
        vec![name.to_owned(), cell(|s| s.p10), cell(|s| s.p50), cell(|s| s.p90)]
    };
    let minutes = |m: f64| format!("{m:.0} min");
    page.table(
        &["", "10", "50", "90"],
        &[
            row("minutes, brought to hand", f.minutes, &minutes),
            row("minutes, any ending", Some(f.minutes_any), &minutes),
            row("landing", f.landing_minutes, &minutes),
            row("greatest line out", Some(f.line_out_m), &|m| u.line(Length::of_m(m))),
            row("greatest pull at the hook", Some(f.peak_n), &|n| u.force(Force::of_n(n))),
        ],
        &[0],
    );
    page.head("The fish, of a hundred").pairs(&[
        ("dies after release", band(f.death_after_release.unwrap_or(f.alive.map(|_| f64::NAN)))),
        ("lives, any ending", band(f.alive)),
        ("in hand and lives", band(f.to_hand_alive)),
    ]);
    if let Some(t) = f.trailing_m {
        page.points([format!(
            "A fish lost with line trails {} in the middle case, {} in one of ten. That harm is in no figure here.",
            u.line(Length::of_m(t.p50)),
            u.line(Length::of_m(t.p90))
        )]);
    }
    page.head("What moves it").points([format!(
        "Brought to hand: {} of a hundred by what is not known tonight, {} by luck from fight to fight (standard deviations).",
        hundred(f.doubt_to_hand.unknown),
        hundred(f.doubt_to_hand.luck)
    )]);
    page.into_text()
}

fn pc(c: fight::Chance) -> String {
    chance(tailrope::outing::plan::Chance { p: c.p, error: c.error })
}

fn hundred(x: f64) -> String {
    significant(x * 100.0, 2)
}

fn band(b: tailrope::facts::Band<f64>) -> String {
    format!("{} (low {}, high {})", hundred(b.central), hundred(b.low), hundred(b.high))
}

fn drags(of: &Of, desk: &Desk) -> Result<Answer, Failure> {
    let (night, facts, options) = of.read(desk, ONE_OF_MANY)?;
    let choice = ask::drags(&facts, &night.outing, &options, &parallel).map_err(|e| night.place(e))?;
    let choice = choice.ok_or_else(unknown)?;
    let u = desk.units;
    let outfit = night.outing.outfit.first().map_or("", |o| o.name.as_str());
    let mut page = desk.page();
    page.say(&match choice.best_drag_n {
        Some(n) => format!(
            "{outfit}: {} off the reel, full spool, serves fish and people best.",
            u.force(Force::of_n(n))
        ),
        None => format!("{outfit}: no drag of this outfit is enough for this fish and these people."),
    });
    page.say("");
    let rows: Vec<Vec<String>> = choice.rows.iter().map(|r| drag_row(r, u)).collect();
    page.table(
        &["drag", "to hand", "and lives", "spooled", "parted", "moved", "min", "against it"],
        &rows,
        &[7],
    );
    page.say("Of a hundred fights each. Drag off the reel with a full spool; minutes in the middle case.");
    let json = DragsJson {
        schema: "tailrope.fight-drags/1",
        outfit,
        fights: options.fights,
        seed: options.seed,
        best_drag_n: choice.best_drag_n,
        none_enough: choice.none_enough,
        drags: &choice.rows,
    };
    Answer::new(page.into_text(), &json)
}

fn drag_row(r: &DragRow, u: Units) -> Vec<String> {
    let pc = |x: f64| format!("{:.0}", x * 100.0);
    vec![
        u.force(Force::of_n(r.drag_n)),
        pc(r.to_hand),
        pc(r.to_hand_alive),
        pc(r.spooled),
        pc(r.parted),
        pc(r.moved),
        r.minutes_p50.map_or_else(|| "-".to_owned(), |m| format!("{m:.0}")),
        r.against.join(", "),
    ]
}

fn compare(of: &Of, desk: &Desk) -> Result<Answer, Failure> {
    let (night, facts, options) = of.read(desk, ONE_OF_MANY)?;
    let u = desk.units;
    let mut rows = Vec::new();
    let mut outfits = Vec::new();
    for i in 0..night.outing.outfit.len() {
        let mut outing = night.outing.clone();
        // The plan fights with the first.
        outing.outfit.swap(0, i);
        let name = outing.outfit.first().map_or_else(String::new, |o| o.name.clone());
        let choice = ask::drags(&facts, &outing, &options, &parallel).map_err(|e| night.place(e))?;
        let told = ask::forecast(&facts, &outing, &options, &parallel).map_err(|e| night.place(e))?;
        let best = choice.as_ref().and_then(|c| c.best_drag_n);
        rows.push(match &told {
            Some(t) => {
                let f = &t.forecast;
                let pc = |x: f64| format!("{:.0}", x * 100.0);
                vec![
                    name.clone(),
                    u.force(Force::of_n(t.drag_n)),
                    pc(f.outcomes.to_hand.p),
                    pc(f.to_hand_alive.central),
                    pc(f.outcomes.spooled.p),
                    pc(f.outcomes.parted.p),
                    pc(f.angler_moved.p),
                    best.map_or_else(|| "not enough".to_owned(), |n| u.force(Force::of_n(n))),
                ]
            }
            None => vec![name.clone(), "not known".into()],
        });
        outfits.push(OutfitJson {
            outfit: name,
            drag_n: told.as_ref().map(|t| t.drag_n),
            best_drag_n: best,
            none_enough: choice.as_ref().map(|c| c.none_enough),
            forecast: told.map(|t| t.forecast),
        });
    }
    let mut page = desk.page();
    page.table(
        &["outfit", "at drag", "to hand", "and lives", "spooled", "parted", "moved", "best drag"],
        &rows,
        &[0],
    );
    page.say("Of a hundred fights each, at the drag the outfit is set to; best drag among those tried.");
    let enough = outfits.iter().any(|o| o.none_enough == Some(false));
    if !enough {
        page.say("No outfit of this outing is enough for this fish and these people.");
    }
    let json = CompareJson {
        schema: "tailrope.fight-compare/1",
        fights: options.fights,
        seed: options.seed,
        none_enough: !enough,
        outfits,
    };
    Answer::new(page.into_text(), &json)
}

#[derive(Serialize)]
struct OneJson<'a> {
    schema: &'static str,
    outfit: &'a str,
    fish: &'a FishView,
    drag_n: f64,
    seed: u64,
    fight_limit_min: f64,
    #[serde(flatten)]
    forecast: &'a Forecast,
}

#[derive(Serialize)]
struct DragsJson<'a> {
    schema: &'static str,
    outfit: &'a str,
    fights: u32,
    seed: u64,
    best_drag_n: Option<f64>,
    none_enough: bool,
    drags: &'a [DragRow],
}

#[derive(Serialize)]
struct CompareJson {
    schema: &'static str,
    fights: u32,
    seed: u64,
    none_enough: bool,
    outfits: Vec<OutfitJson>,
}

#[derive(Serialize)]
struct OutfitJson {
    outfit: String,
    drag_n: Option<f64>,
    best_drag_n: Option<f64>,
    none_enough: Option<bool>,
    forecast: Option<Forecast>,
}
