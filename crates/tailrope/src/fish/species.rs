//! What is known of one kind of fish.
//!
//! Every figure keeps its grade and source. A species is built only by [`super::SpeciesPack::load`], which checks
//! it; the unknown shark ([`super::SpeciesPack::unknown_shark`]) is one too, at the cautious end of everything.

use super::convert::Ratios;
use super::marks::Marks;
use super::mass::MassRule;
use super::survival::Survival;
use super::{Conversion, FishLength, Months, Region};
use crate::facts::{Band, Figure, Grade};
use crate::quantity::{Density, Mass, Temperature};
use serde::{Deserialize, Serialize};

/// Broad build of a fish; decides which handling advice fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// A shark.
    Shark,
    /// A ray, wedgefish or sawfish.
    Ray,
    /// A bony fish.
    Teleost,
}

/// How it gets water over its gills.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Ventilation {
    /// Only by swimming: held still it gets none.
    Ram,
    /// By swimming or by pumping.
    #[serde(alias = "buccal_or_ram")]
    BuccalOrRam,
    /// By pumping.
    Buccal,
    /// By swimming, and it gulps air.
    #[serde(alias = "ram_airbreather")]
    RamAirbreather,
    /// By its gill covers.
    Operculum,
}

impl Ventilation {
    /// Whether still water passes nothing through its gills (`ram` and nothing else).
    pub const fn needs_flow(self) -> bool {
        matches!(self, Self::Ram)
    }
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ram => "breathes only while it moves",
            Self::BuccalOrRam => "breathes by swimming or by pumping",
            Self::Buccal => "pumps water while it lies still",
            Self::RamAirbreather => "breathes by swimming and gulps air",
            Self::Operculum => "breathes by its gill covers",
        }
    }
}

/// How a fish bears being caught (fish.md 3.2); the weights of a class are judgement.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
pub enum SurvivalClass {
    /// Hammerheads: must swim to breathe, hypersensitive.
    A,
    /// Blacktip group and small whalers: must swim to breathe, sensitive.
    B,
    /// Large whalers, lamnids, tiger: robust.
    C,
    /// Those that pump water or lie on the bottom, sand tiger, rays.
    D,
    /// Bony fish.
    T,
}

/// Lengths at which half of a sex is mature, lower and upper figure met.
#[derive(Clone, Debug, PartialEq)]
pub struct Maturity {
    /// Males.
    pub male: [FishLength; 2],
    /// Females.
    pub female: [FishLength; 2],
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it was read.
    pub source: String,
}

/// Water it is met in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterRange {
    /// Coldest.
    pub min: Temperature,
    /// Range it prefers.
    pub prefer: [Temperature; 2],
    /// Warmest.
    pub max: Temperature,
    /// How far it can be trusted.
    pub grade: Grade,
}

/// When it is met on one stretch of coast.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// Where.
    pub region: Region,
    /// When.
    pub months: Months,
    /// What the source adds.
    pub note: String,
    /// Recalled, unless the note says it was seen.
    pub grade: Grade,
}

/// One kind of fish.
#[derive(Clone, Debug)]
pub struct Species {
    /// Handle in files (`great_hammerhead`).
    pub id: String,
    /// English name.
    pub name: String,
    /// Scientific name.
    pub scientific: String,
    /// Other names; some of them belong to look-alikes as well.
    pub also: Vec<String>,
    /// Its codes in the rule packs; empty for the unknown shark, whose law is a question.
    pub law: Vec<String>,
    /// Why it is handled as protected wherever it is caught, where that is known without a rule pack.
    pub protected: Option<String>,
    /// Shark, ray or bony fish.
    pub group: Group,
    /// How it breathes.
    pub ventilation: Ventilation,
    /// How it bears being caught.
    pub survival_class: SurvivalClass,
    /// Longest believed.
    pub max_length: Figure<FishLength>,
    /// Heaviest believed.
    pub max_mass: Option<Figure<Mass>>,
    /// Length at maturity.
    pub maturity: Option<Maturity>,
    /// Water it is met in.
    pub water: WaterRange,
    /// What it does on the line.
    pub on_the_line: String,
    /// Length conversions, as published.
    pub conversions: Vec<Conversion>,
    /// When and where.
    pub seasons: Vec<Season>,
    /// Marks by night.
    pub marks: Marks,
    /// Survival after release.
    pub survival: Survival,
    /// Whether it is the stand-in for a shark nobody named.
    pub unidentified: bool,
    /// Whether its muscle is warm (mako, white).
    pub endotherm: bool,
    pub(super) mass: MassRule,
    pub(super) ratios: Option<Ratios>,
    pub(super) conversion_error: (f64, f64),
    pub(super) girth_const: Band<Density>,
}

impl Species {
    /// Whether the crew must handle it as protected before any rule pack has spoken: the unknown shark, and
    /// kinds protected nearly everywhere. `false` says nothing about the law.
    pub fn presumed_protected(&self) -> bool {
        self.unidentified || self.protected.is_some()
    }

    /// Whether the plan is to cut at first touch rather than unhook: hammerheads and presumed protected fish
    /// (fish.md 3.4, a project rule).
    pub fn cut_first(&self) -> bool {
        self.presumed_protected() || self.survival_class == SurvivalClass::A
    }

    /// The season of a region and month, if any.
    pub fn season(&self, region: Region, month: u8) -> Option<&Season> {
        self.seasons.iter().find(|s| s.region == region && s.months.holds(month))
    }
}
