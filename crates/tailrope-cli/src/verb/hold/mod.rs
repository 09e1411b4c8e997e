//! `tailrope hold`: sinker, line and bait in the current.

mod asked;
mod json;
mod page;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::drawn::Drawn;
use crate::verb::source::tables;
use crate::when::Now;
use crate::word::word;
use clap::{ArgGroup, Args};
use std::path::PathBuf;
use tailrope::hold::{BaitLies, BaitSize, HoldPack, Packs, Question, Report, SinkerSet, Typed, draw};
use tailrope::quantity::{Angle, Force, Length, Mass, Span, Speed};
use tailrope::sea::surf::SurfPack;
use tailrope::tackle::Material;

/// Whether a bait stays where it was put, what its sinker must bear, where it goes if it walks
#[derive(Args, Debug)]
#[command(group(ArgGroup::new("kept").args(["rod_tension", "line_out"])))]
#[command(after_help = "Examples:\n  \
    tailrope hold --distance 180m --line 0.9mm --current 0.6m/s --rod-tension 25N --bait 350x90mm\n  \
    tailrope hold --distance 150m --line '0.40mm braid' --current 0.5m/s --rod-tension 20N --lies nose-on \\\n    \
                  --sinker 5oz --wires 4 --set well --soak 3h --bathers-at 500m down-current --svg hold.svg\n  \
    tailrope hold --demo --sinker 6oz --wires 4\n\n\
    The load is a band from a still line to the loudest strumming; --strum fixes it. Without --depth and --tip-height the\n  \
    whole line counts as in the water. Steady water, no weed: weed on the line doubles all this. A pull test on the beach\n  \
    (--pull-test) replaces soil theory.")]
pub struct Hold {
    /// Outing file with outfit, rig, bait and sea; `-` reads standard input
    file: Option<PathBuf>,
    /// Straight distance from rod to bait
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    distance: Option<Length>,
    /// Line in the water, as 0.9mm (nylon) or '0.40mm braid'; with a length, again for each piece from the bait to the
    /// rod: '1.2mm nylon 20m'
    #[arg(long, value_parser = asked::bit, value_name = "DIAMETER [MATERIAL [LENGTH]]")]
    line: Vec<asked::BitSaid>,
    /// Material of a line that names none
    #[arg(long, value_parser = asked::material, value_name = "MATERIAL")]
    material: Option<Material>,
    /// Current along the beach; with a tide the strongest of it
    #[arg(long, allow_hyphen_values = true, value_name = "SPEED", conflicts_with = "currents")]
    current: Option<Speed>,
    /// Current as it changes while the bait lies, as 0h:0.2m/s,2h:0.6m/s
    #[arg(long, value_name = "TIME:SPEED,...", requires = "soak")]
    currents: Option<Typed>,
    /// Current out to sea
    #[arg(long, allow_hyphen_values = true, value_name = "SPEED")]
    out: Option<Speed>,
    /// The current slackens towards the bed by the one-seventh power
    #[arg(long, requires = "depth", conflicts_with = "layer")]
    slackens: bool,
    /// Current along the beach at a depth, as 3m:0.4m/s (again for each); the top one counts as --current
    #[arg(long, value_parser = asked::layer, value_name = "DEPTH:SPEED", conflicts_with_all = ["current", "currents"])]
    layer: Vec<(Length, Speed)>,
    /// Tension kept at the rod
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    rod_tension: Option<Force>,
    /// Line out with the lever locked, in place of a tension
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    line_out: Option<Length>,
    /// Depth at the bait, at the lowest tide of the soak
    #[arg(long, allow_hyphen_values = true, value_name = "DEPTH")]
    depth: Option<Length>,
    /// Rod tip above the water [default: all of the line in the water]
    #[arg(long, allow_hyphen_values = true, value_name = "HEIGHT", requires = "depth")]
    tip_height: Option<Length>,
    /// Size of the bait, as 350x90mm [default: the pack's]
    #[arg(long, value_name = "SIZE")]
    bait: Option<BaitSize>,
    /// broadside, nose-on or chunk [default: broadside]
    #[arg(long, value_parser = word::<BaitLies>)]
    lies: Option<BaitLies>,
    /// Strumming factor: 1 still, 1.7 usual [default: the band 1.0 to 2.3]
    #[arg(long, value_name = "FACTOR")]
    strum: Option<f64>,
    /// Mass of the sinker
    #[arg(long, allow_hyphen_values = true, value_name = "MASS")]
    sinker: Option<Mass>,
    /// Its wires; 0 for a plain one
    #[arg(long, value_parser = clap::value_parser!(u8).range(0..=12), value_name = "N")]
    wires: Option<u8>,
    /// half or well: how the wires sit in the sand [default: not known]
    #[arg(long, value_parser = word::<SinkerSet>)]
    set: Option<SinkerSet>,
    /// Pull that moved it in your own test, the median of five
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    pull_test: Option<Force>,
    /// Waves offshore, significant height and peak period, as 1.2m,8s
    #[arg(long, value_parser = asked::waves, value_name = "HEIGHT,PERIOD", requires = "depth")]
    waves: Option<(Length, Span)>,
    /// Angle of the waves off the line square to the beach
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE", requires = "waves")]
    wave_angle: Option<Angle>,
    /// How long the bait lies
    #[arg(long, allow_hyphen_values = true, value_name = "TIME")]
    soak: Option<Span>,
    /// Tide station whose rise and fall the current follows; --current is then its strongest
    #[arg(long, value_name = "ID", requires_all = ["at", "soak"], conflicts_with = "currents")]
    tide_station: Option<String>,
    /// When the bait is put out, as 2026-10-17T19:00 (the station's own time) or with an offset
    #[arg(long, value_parser = crate::when::now, value_name = "TIME", requires = "tide_station")]
    at: Option<Now>,
    /// The flood runs against the way that --current is counted
    #[arg(long, requires = "tide_station")]
    flood_runs_back: bool,
    /// Nearest bathers along the beach, as 500m, and whether down-current (as taken) or up-current of the rod
    #[arg(long, num_args = 1..=2, value_names = ["LENGTH", "WAY"])]
    bathers_at: Vec<String>,
    /// The next rod, told the same way
    #[arg(long, num_args = 1..=2, value_names = ["LENGTH", "WAY"])]
    next_rod_at: Vec<String>,
    #[command(flatten)]
    drawn: Drawn,
}

/// What page and JSON show.
struct Shown<'a> {
    question: &'a Question,
    report: &'a Report,
    /// What the tide is, where the current follows one.
    tide: Option<String>,
    /// Things that were taken from elsewhere or are not known.
    notes: &'a [String],
}

impl Hold {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let tables = tables(desk)?;
        let text = desk.packs.get("hold.toml")?;
        let pack = HoldPack::read(&text.text())?;
        let text = desk.packs.get("surf.toml")?;
        let surf = SurfPack::read(&text.text())?;
        let asked = self.asked(desk, &tables, &pack, &surf)?;
        let packs = Packs { tackle: &tables, hold: &pack, surf: &surf.bait };
        let report = asked.question.report(packs).map_err(asked::flagged)?;
        if self.drawn.wanted() {
            self.drawn.write(&draw(&asked.question, &report, desk.units))?;
        }
        let shown =
            Shown { question: &asked.question, report: &report, tide: asked.tide, notes: &asked.notes };
        Answer::new(page::text(&shown, desk), &json::Json::of(&shown))
    }
}
