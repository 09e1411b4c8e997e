//! `tailrope path compare`: which set-ups are enough.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::night::{Night, facts_without_tide, fights, parallel};
use clap::{Args, ValueEnum};
use serde::Serialize;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::{Known, PackText};
use tailrope::fish::FishLength;
use tailrope::outing::enough::{Comparison, Over, Row, compare};
use tailrope::outing::{Options, Outing};
use tailrope::quantity::{Force, Length, Mass, Quantity, Units};
use tailrope::tackle::PriceBand;

/// The night against which set-ups are held when no outing is given.
const STANDARD: &str = "compare/standard.toml";
/// Fights of each forecast: enough to tell one in twenty from one in five.
const FIGHTS: u32 = 256;

/// Which set-ups are enough for a fish, what each lacks, and the cheapest change that is enough
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope path compare --fish bull --length 2.4m\n  \
                        tailrope path compare night.toml --budget 400\n  \
                        tailrope path compare --demo --over own\n\n\
                        Without an outing file a standard night is taken: two people of 75 kg who stand\n\
                        upright on dry sand. Law, crew, sea and weather are not judged: see `tailrope plan`.\n\
                        All prices are estimates in US dollars; none was read on a price page.")]
pub struct Compare {
    /// Outing file, TOML or JSON; `-` reads standard input
    outing: Option<PathBuf>,
    /// Species, by id or name [default: the target of the outing]
    #[arg(long, value_name = "NAME")]
    fish: Option<String>,
    /// Length of the fish; total length unless it says otherwise: 2.4m, "2.1m fork"
    #[arg(long, value_parser = fish_length, value_name = "LENGTH")]
    length: Option<FishLength>,
    /// Mass of the angler on the standard night [default: 75kg]
    #[arg(long, value_name = "MASS")]
    mass: Option<Mass>,
    /// Most that may be spent, US dollars
    #[arg(long, value_parser = budget, value_name = "USD")]
    budget: Option<f64>,
    /// Which set-ups [default: both with an outing, else table]
    #[arg(long, value_enum)]
    over: Option<Which>,
    /// Fights of each forecast
    #[arg(long, value_parser = fights, value_name = "N")]
    fights: Option<u32>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Which {
    /// The outfits of the outing
    Own,
    /// Set-ups that a newcomer could buy
    Table,
    /// Both
    Both,
}

fn fish_length(text: &str) -> tailrope::Result<FishLength> {
    match text.parse::<Length>() {
        Ok(total) => Ok(FishLength::total(total)),
        Err(_) => text.parse(),
    }
}

fn budget(text: &str) -> tailrope::Result<f64> {
    match text.trim().trim_start_matches('$').parse::<f64>() {
        Ok(x) if (0.0..=1e6).contains(&x) => Ok(x),
        _ => Err(Error::new(
            format!("`{}` is no sum of money", text.chars().take(20).collect::<String>()),
            "0 to 1000000 US dollars",
            "write it like --budget 600",
        )),
    }
}

impl Compare {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let facts = facts_without_tide(desk)?;
        let standard = self.outing.is_none() && desk.demo.is_none();
        let usual = self.fights.unwrap_or(FIGHTS);
        let (mut outing, mut options, night) = if standard {
            let pack = desk.packs.get(STANDARD)?;
            let outing = Outing::read(&PackText::new(STANDARD, pack.text().text))?;
            let day = outing.night.date.0;
            (outing, Options { units: desk.units, seed: desk.seed, fights: usual, ..Options::on(day) }, None)
        } else {
            let night = Night::read(self.outing.as_ref(), desk)?;
            let options = night.options(desk, usual)?;
            (night.outing.clone(), options, Some(night))
        };
        self.change(&mut outing, standard)?;
        // Tide plays no part in this question.
        outing.beach.tide_station = Known::Unknown;
        options.now = None;
        let over = match self.over {
            Some(Which::Own) if standard => {
                return Err(Error::new(
                    "no outing is given, so there are no outfits of your own",
                    "an outing file, or --over table",
                    "write your outfits as [[outfit]] of an outing file",
                )
                .within("--over")
                .into());
            }
            Some(Which::Own) => Over::Own,
            Some(Which::Both) | None if !standard => Over::Both,
            _ => Over::Table,
        };
        let all = compare(&facts, &outing, &options, over, self.budget, &parallel)
            .map_err(|e| night.as_ref().map_or(e.clone(), |n| n.place(e)))?;
        let json = Json {
            schema: "tailrope.path-compare/1",
            standard_night: standard,
            budget: self.budget,
            comparison: &all,
        };
        Answer::new(self.page(desk, &all, standard), &json)
    }

    /// Puts fish and angler into the outing.
    fn change(&self, outing: &mut Outing, standard: bool) -> Result<(), Failure> {
        if let Some(fish) = &self.fish {
            outing.fish.species.clone_from(fish);
        } else if standard {
            return Err(Error::new("no fish is named", "a species", "write --fish bull --length 2.4m")
                .within("--fish")
                .into());
        }
        if let Some(l) = self.length {
            l.sensible("length of the fish").map_err(|e| e.within("--length"))?;
            (outing.fish.from, outing.fish.to) = (l, l);
        } else if standard {
            return Err(Error::new("no length is given", "a length", "write --fish bull --length 2.4m")
                .within("--length")
                .into());
        }
        if let Some(mass) = self.mass {
            if !standard {
                return Err(Error::new(
                    "the outing says who holds the rod",
                    "--mass without an outing",
                    "change the mass in the outing file",
                )
                .within("--mass")
                .into());
            }
            mass.within("mass of the angler", Mass::of_kg(25.0), Mass::of_kg(250.0))
                .map_err(|e| e.within("--mass"))?;
            for p in &mut outing.person {
                p.mass = Known::Known(mass);
            }
        }
        Ok(())
    }

    fn page(&self, desk: &Desk, c: &Comparison, standard: bool) -> String {
        let u = desk.units;
        let mut page = desk.page();
        let fish = format!(
            "a {} of {} (up to {})",
            c.fish,
            u.size(Length::of_m(c.fish_length_m)),
            u.mass(Mass::of_kg(c.fish_heavy_kg))
        );
        let enough = c.set_ups.iter().filter(|r| r.enough).count();
        let n = c.set_ups.len();
        let counted = |none: bool| match (none, n) {
            (true, 1) => "The one set-up asked of is not".to_owned(),
            (false, 1) => "The one set-up asked of is".to_owned(),
            (true, _) => format!("None of these {n} set-ups is"),
            (false, _) => format!("{enough} of {n} set-ups are"),
        };
        page.say(&if c.none_enough {
            format!(
                "{} enough for {fish}. Do not fish for it so: another fish, more people, or a crew that has the tackle.",
                counted(true)
            )
        } else {
            format!("{} enough for {fish}.", counted(false))
        });
        page.say(&format!(
            "{} bears {} at the rod tip, {}{}.",
            c.angler,
            u.force(Force::of_n(c.angler_bears_n)),
            stance(c.stance),
            if standard {
                ", an estimate for a standard night: pull your own angler with a scale"
            } else {
                ""
            }
        ));
        page.say(&format!(
            "Judged: tackle, what the angler bears, the forecast of fights, death after release. Not judged: {}; \
             `tailrope plan` asks these.{}",
            c.not_judged.join(", "),
            crew(c)
        ));
        page.say("");
        let rows: Vec<Vec<String>> = c.set_ups.iter().map(|r| row(r, u)).collect();
        page.table(
            &["set-up", "may use", "needs", "held by", "spooled", "to hand", "margin", "enough"],
            &rows,
            &[0, 3],
        );
        page.say(
            "Drag off the reel, full spool: the greatest that reel, parts and people allow, and about what would be \
             needed to keep line and bring it to hand if nothing gave way. Spooled and to hand of a hundred fights; margin of the weakest part at the worst line out.",
        );
        if enough < n {
            page.head("What is lacking");
        }
        for r in c.set_ups.iter().filter(|r| !r.enough) {
            page.points([lacking(r, c, desk)]);
        }
        if c.set_ups.iter().any(|r| !r.own) {
            page.head("Cheapest that is enough");
            match c.cheapest.and_then(|i| c.set_ups.get(i)) {
            Some(r) => page.say(&format!(
                "{} ({}): {} for the whole of it, {}. Not in it: hooks to spare, scale, cutters, what the landing and the \
                 safety kit need.",
                r.name,
                r.reel,
                r.price.map_or_else(String::new, |p| money(p, c)),
                c.price_grade.word()
            )),
            None => page.say(match self.budget {
                Some(_) => "No whole set-up within this budget is enough.",
                None => "No whole set-up of the table is enough.",
            }),
        };
        }
        page.say(&format!(
            "Prices: {}. Before buying, ask a crew lead who has landed such fish, measure rim, arbor and width of the reel \
             in the shop, and go out with that crew first.",
            c.price_source
        ));
        page.into_text()
    }
}

/// A set-up as a row of the table.
fn row(r: &Row, u: Units) -> Vec<String> {
    let pc = |x: f64| format!("{:.0}", x * 100.0);
    let needed = r.drags.needed_n.map_or_else(
        || "-".to_owned(),
        |n| format!("{}{}", if r.drags.needed_at_most() { "<= " } else { "" }, u.force(Force::of_n(n))),
    );
    let enough = match (r.enough, r.findings.is_empty()) {
        (true, true) => "yes",
        (true, false) => "with caution",
        _ => "no",
    };
    vec![
        r.name.clone(),
        u.force(Force::of_n(r.drags.may_n)),
        needed,
        r.drags.held_by.to_owned(),
        pc(r.spooled),
        pc(r.to_hand),
        format!("{:.2}", r.margin_low_spool),
        enough.to_owned(),
    ]
}

/// The stance in words.
fn stance(word: &str) -> &'static str {
    match word {
        "lean" => "leaning back deeply, feet split",
        "sitting" => "sitting, heels in a dug step",
        _ => "standing upright",
    }
}

/// Too few people for such a fish, whatever the tackle.
fn crew(c: &Comparison) -> String {
    if c.people >= c.people_needed {
        return String::new();
    }
    format!(
        " Such a fish asks for {} people and {} count here: however good the tackle, fewer do not fish for it.",
        c.people_needed, c.people
    )
}

fn money(p: PriceBand, c: &Comparison) -> String {
    format!("about {:.0} to {:.0} {}", p.low, p.high, c.currency)
}

/// One set-up that is not enough, in words.
fn lacking(r: &Row, c: &Comparison, desk: &Desk) -> String {
    let change = r.change.as_ref().map_or_else(
        || "No single change is enough.".to_owned(),
        |x| {
            let cost = if x.price.high > 0.0 { money(x.price, c) } else { "nothing to buy".to_owned() };
            format!("Cheapest change that is enough: {} ({cost}).", x.what)
        },
    );
    let stops = if r.stops_kg[1] > 0.0 {
        format!(
            " By the store of its muscles alone, a fish of about {} ({} to {}) is what it stops.",
            desk.units.mass(Mass::of_kg(r.stops_kg[1])),
            desk.units.mass(Mass::of_kg(r.stops_kg[0])),
            desk.units.mass(Mass::of_kg(r.stops_kg[2])),
        )
    } else {
        String::new()
    };
    format!("{} ({}): {}{stops} {change}", r.name, r.reel, r.lacks.join(" "))
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    standard_night: bool,
    budget: Option<f64>,
    #[serde(flatten)]
    comparison: &'a Comparison,
}
