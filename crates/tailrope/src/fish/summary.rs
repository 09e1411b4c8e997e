//! What `fish list` and `fish show` tell, ready to be written out.

use super::handling::Handling;
use super::mass::MassEstimate;
use super::{FishLength, Group, Region, Species, SpeciesPack, SurvivalClass, Ventilation};
use crate::facts::{Band, Figure, Grade, Source};
use crate::quantity::{Mass, Span, Temperature};
use serde::Serialize;

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpeciesLine {
    /// Handle.
    pub id: String,
    /// English name.
    pub name: String,
    /// Scientific name.
    pub scientific: String,
    /// Codes in the rule packs.
    pub law: Vec<String>,
    /// Shark, ray or bony fish.
    pub group: Group,
    /// How it bears being caught.
    pub survival_class: SurvivalClass,
    /// Longest believed.
    pub max_length: FishLength,
    /// Chance of death after release at its reference event.
    pub death_at_reference: Band<f64>,
    /// Cut at first touch.
    pub cut_first: bool,
}

/// Mass at a length, for the card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MassRow {
    /// At this length.
    pub length: FishLength,
    /// It weighs.
    pub mass: MassEstimate,
}

/// A season, for the card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonRow {
    /// Where.
    pub region: Region,
    /// Months, 1 to 12.
    pub months: Vec<u8>,
    /// What the source adds.
    pub note: String,
    /// How far it can be trusted.
    pub grade: Grade,
}

/// A look-alike, for the card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LookAlikeRow {
    /// Its name.
    pub name: String,
    /// 1: cannot be told apart.
    pub overlap: f64,
    /// What tells them apart.
    pub tell: String,
}

/// The reference event of its survival figures, for the card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReferenceRow {
    /// Fight.
    pub fight: Span,
    /// Gills in the air.
    pub air: Span,
    /// Water.
    pub water: Temperature,
    /// Chance of death: low, central, high.
    pub death: Band<f64>,
    /// Studies behind it.
    pub calibrated_on: String,
    /// Version of the model.
    pub model: String,
}

/// All that is known of one species.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpeciesCard {
    /// Its line in the list.
    #[serde(flatten)]
    pub line: SpeciesLine,
    /// Other names.
    pub also: Vec<String>,
    /// Why it is handled as protected without a rule pack, if so.
    pub protected: Option<String>,
    /// How it breathes.
    pub ventilation: Ventilation,
    /// Longest believed, with grade and source.
    pub max_length_figure: Figure<FishLength>,
    /// Heaviest believed.
    pub max_mass: Option<Figure<Mass>>,
    /// Females mature at, lower and upper figure.
    pub female_maturity: Option<Figure<[FishLength; 2]>>,
    /// Coldest and warmest water, and the range it prefers between.
    pub water: Figure<[Temperature; 4]>,
    /// What it does on the line.
    pub on_the_line: String,
    /// Likely upper length where it is in season.
    pub likely_upper: FishLength,
    /// Mass at half, three quarters and all of its greatest length; empty where the crew must give it.
    pub mass: Vec<MassRow>,
    /// When and where.
    pub seasons: Vec<SeasonRow>,
    /// Survival at the reference event.
    pub survival: ReferenceRow,
    /// What its release asks.
    pub release: Vec<Handling>,
    /// What it is taken for.
    pub lookalikes: Vec<LookAlikeRow>,
    /// The sources its figures name.
    pub sources: Vec<Source>,
}

impl Species {
    /// Its line in the list.
    pub fn line(&self) -> SpeciesLine {
        SpeciesLine {
            id: self.id.clone(),
            name: self.name.clone(),
            scientific: self.scientific.clone(),
            law: self.law.clone(),
            group: self.group,
            survival_class: self.survival_class,
            max_length: self.max_length.value,
            death_at_reference: self.survival.reference.death,
            cut_first: self.cut_first(),
        }
    }
}

impl SpeciesPack {
    /// The list, in the order of the pack.
    pub fn list(&self) -> Vec<SpeciesLine> {
        self.all().iter().map(Species::line).collect()
    }

    /// The card of a species.
    pub fn card(&self, s: &Species) -> SpeciesCard {
        let max = s.max_length.value;
        let mass = [0.5, 0.75, 1.0].iter().filter_map(|share| {
            let length = FishLength::new(max.kind, max.length * *share);
            s.mass_at(length).ok().map(|mass| MassRow { length, mass })
        });
        let r = s.survival.reference;
        let lookalikes = self.lookalikes_of(&s.id).filter_map(|l| {
            let other = l.pair.iter().find(|p| **p != s.id)?;
            let name = self.by_id(other)?.name.clone();
            Some(LookAlikeRow { name, overlap: l.overlap, tell: l.tell.clone() })
        });
        let mut words = vec![s.max_length.source.as_str(), s.survival.calibrated_on.as_str()];
        words.extend(s.max_mass.as_ref().map(|m| m.source.as_str()));
        words.extend(s.maturity.as_ref().map(|m| m.source.as_str()));
        words.extend(s.mass_line().map(|m| m.source.as_str()));
        words.extend(s.conversions.iter().map(|c| c.source.as_str()));
        let named = |id: &str| {
            words
                .iter()
                .any(|w| w.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).any(|part| part == id))
        };
        let w = s.water;
        SpeciesCard {
            line: s.line(),
            also: s.also.clone(),
            protected: s.protected.clone(),
            ventilation: s.ventilation,
            max_length_figure: s.max_length.clone(),
            max_mass: s.max_mass.clone(),
            female_maturity: s.maturity.as_ref().map(|m| Figure::new(m.female, m.grade, m.source.clone())),
            water: Figure::new([w.min, w.prefer[0], w.prefer[1], w.max], w.grade, ""),
            on_the_line: s.on_the_line.clone(),
            likely_upper: self.likely_upper(s),
            mass: mass.collect(),
            seasons: s
                .seasons
                .iter()
                .map(|x| SeasonRow {
                    region: x.region,
                    months: x.months.list(),
                    note: x.note.clone(),
                    grade: x.grade,
                })
                .collect(),
            survival: ReferenceRow {
                fight: r.fight,
                air: r.air,
                water: r.water,
                death: r.death,
                calibrated_on: s.survival.calibrated_on.clone(),
                model: s.survival.model.clone(),
            },
            release: s.release_asks(None),
            lookalikes: lookalikes.collect(),
            sources: self.sources.iter().filter(|x| named(&x.id)).cloned().collect(),
        }
    }
}
