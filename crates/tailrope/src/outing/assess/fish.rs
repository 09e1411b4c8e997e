//! Which fish the plan reckons with: the target at the upper end of its band, what else is likely there, and
//! the largest of them, for which people and landing are judged.

use super::Ctx;
use crate::Result;
use crate::facts::{Grade, Known};
use crate::fish::{FishLength, LengthKind, Likely, Species, SpeciesPack};
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::FishView;
use crate::outing::{Outing, Topic};
use crate::quantity::{Length, Mass};

/// A fish of a certain size.
#[derive(Clone, Debug)]
pub(in crate::outing) struct Reckoned<'a> {
    /// Species.
    pub species: &'a Species,
    /// Length as given.
    pub length: FishLength,
    /// Total length, disc width for rays; the given length where no conversion is known.
    pub total: Length,
    /// Mass, central.
    pub mass: Mass,
    /// Mass, heavy end.
    pub heavy: Mass,
    /// Grade of the mass.
    pub grade: Grade,
    /// Source of the mass.
    pub source: String,
}

impl<'a> Reckoned<'a> {
    /// Reckons length and mass. A mass that no equation gives is taken from the outer bounds of the species by
    /// the cube of length, the weakest figure there is.
    pub fn of(species: &'a Species, length: FishLength) -> Self {
        let total = species.convert(length, LengthKind::Total).map_or(length.length, |c| c.value.length);
        let (mass, heavy, grade, source) = if let Ok(m) = species.mass_at(length) {
            (m.central, m.heavy, m.grade, m.source)
        } else {
            let cube = outer(species, length).unwrap_or_else(|| Mass::of_kg(cube_kg(length.length.m())));
            (cube, cube * 1.6, Grade::Estimate, "cube of length from the species' outer bounds".to_owned())
        };
        Self { species, length, total, mass, heavy, grade, source }
    }

    /// As shown.
    pub fn view(&self) -> FishView {
        FishView {
            species: self.species.id.clone(),
            name: self.species.name.clone(),
            length_m: self.total.m(),
            mass_kg: self.mass.kg(),
            heavy_kg: self.heavy.kg(),
        }
    }
}

/// Mass by the cube of length from the greatest length and mass of the species.
fn outer(species: &Species, length: FishLength) -> Option<Mass> {
    let most = species.max_mass.as_ref()?;
    let max = species.convert(species.max_length.value, length.kind).ok()?.value.length;
    let share = length.length / max;
    (share.is_finite() && share > 0.0).then(|| most.value * (share * share * share))
}

/// A stout fish of this length, kg: 14 kg at 1 m, 112 kg at 2 m.
fn cube_kg(m: f64) -> f64 {
    14.0 * m * m * m
}

/// Everything the plan needs to know of the fish.
#[derive(Clone, Debug)]
pub(in crate::outing) struct FishSet<'a> {
    /// The target at the upper end of its band.
    pub target: Reckoned<'a>,
    /// Whether the species named is unknown to the pack (then treated as protected).
    pub unknown_species: bool,
    /// What else may come along, each at its likely upper size; not the target.
    pub also: Vec<Reckoned<'a>>,
    /// Total length of the longest of all.
    pub longest: Reckoned<'a>,
    /// The heaviest of all.
    pub heaviest: Reckoned<'a>,
    /// Whether season and coast were known.
    pub season_known: bool,
}

impl FishSet<'_> {
    /// Length by which people are judged.
    pub fn judged_length(&self) -> Length {
        self.longest.total
    }
    /// Mass by which people are judged, heavy end.
    pub fn judged_mass(&self) -> Mass {
        self.heaviest.heavy
    }
}

/// Reckons the fish of an outing.
///
/// # Errors
/// A species name that the pack does not hold (with what is near it); the word `unknown` is an answer.
pub(in crate::outing) fn reckon<'a>(pack: &'a SpeciesPack, outing: &Outing) -> Result<FishSet<'a>> {
    let name = outing.fish.species.trim();
    let (species, known) = if name.eq_ignore_ascii_case("unknown") {
        (pack.unknown_shark(), false)
    } else {
        (pack.find(name).map_err(|e| e.within("fish.species"))?, true)
    };
    let target = Reckoned::of(species, outing.fish.to);
    let month = u8::try_from(outing.night.date.0.month()).unwrap_or(1);
    let (also, season_known) = match outing.beach.region {
        Known::Known(region) => (
            pack.likely(region, month)
                .into_iter()
                .filter(|l: &Likely<'_>| l.species.id != species.id)
                .map(|l| Reckoned::of(l.species, l.length))
                .collect(),
            true,
        ),
        Known::Unknown => (Vec::new(), false),
    };
    // The target's own likely upper size counts too: its band may only raise it.
    let mut all: Vec<Reckoned<'a>> = vec![target.clone()];
    all.extend::<Vec<Reckoned<'a>>>(also.clone());
    if let Known::Known(region) = outing.beach.region {
        let own = pack.likely(region, month).into_iter().find(|l| l.species.id == species.id);
        all.extend(own.map(|l| Reckoned::of(l.species, l.length)));
    }
    let best = |key: fn(&Reckoned<'a>) -> f64| {
        all.iter().max_by(|a, b| key(a).total_cmp(&key(b))).cloned().unwrap_or_else(|| target.clone())
    };
    let longest = best(|r| r.total.m());
    let heaviest = best(|r| r.heavy.kg());
    Ok(FishSet { target, unknown_species: !known, also, longest, heaviest, season_known })
}

/// What the fish themselves ask.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) {
    let (set, u) = (&ctx.fish, ctx.options.units);
    let named = if set.unknown_species { Known::Unknown } else { Known::Known("named") };
    f.judged(&ctx.limits.word("fish.named", named), "", vec![]);
    let region = if set.season_known { Known::Known("known") } else { Known::Unknown };
    f.judged(&ctx.limits.word("fish.region", region), "", vec![]);
    let largest = &set.longest;
    let mut because = vec![Reason::new(
        "likely length",
        largest.total.m(),
        "m",
        Grade::Default,
        "1.2 x upper female maturity length, never above the greatest known",
    )];
    because.push(Reason::new(
        format!("heavy end of the mass ({})", set.heaviest.species.name),
        set.heaviest.heavy.kg(),
        "kg",
        set.heaviest.grade,
        set.heaviest.source.clone(),
    ));
    f.note(
        Topic::Fish,
        format!(
            "People and landing are judged for the largest likely fish: {}, {}, {} at the heavy end.",
            largest.species.name,
            u.size(largest.total),
            u.mass(set.judged_mass())
        ),
        because,
        Some("fish.largest-likely"),
    );
}
