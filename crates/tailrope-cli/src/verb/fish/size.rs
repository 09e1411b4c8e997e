//! `tailrope fish size`: lengths of every kind and mass.

use super::find;
use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use clap::Args;
use serde::Serialize;
use tailrope::facts::Grade;
use tailrope::fish::{FishLength, LengthKind, MassBasis, MassEstimate, SpeciesPack};
use tailrope::quantity::{Length, Mass, Units, significant};
use tailrope::{Error, Result};

#[derive(Args, Debug)]
pub struct Size {
    /// Name or id
    name: String,
    /// Length and how it was measured: total, fork, precaudal or disc
    #[arg(long, allow_hyphen_values = true, required_unless_present = "mass")]
    length: Option<FishLength>,
    /// Largest girth, with --length
    #[arg(
        long,
        allow_hyphen_values = true,
        requires = "length",
        conflicts_with = "mass",
        value_name = "LENGTH"
    )]
    girth: Option<Length>,
    /// Mass in place of a length
    #[arg(long, allow_hyphen_values = true, conflicts_with = "length")]
    mass: Option<Mass>,
}

impl Size {
    /// Answers.
    pub fn run(&self, desk: &Desk, pack: &SpeciesPack) -> Result<Answer, Failure> {
        let s = find(pack, &self.name)?;
        let u = desk.units;
        let given = match (self.length, self.mass) {
            (Some(length), _) => length.sensible("length of the fish")?,
            (None, Some(mass)) => s.length_at(mass)?.sensible("length of the fish")?,
            (None, None) => {
                return Err(Error::new("nothing was measured", "--length or --mass", "give one").into());
            }
        };
        let lengths: Vec<LengthJson> =
            [LengthKind::Total, LengthKind::Fork, LengthKind::Precaudal, LengthKind::DiscWidth]
                .into_iter()
                .filter_map(|kind| s.convert(given, kind).ok())
                .map(|c| LengthJson {
                    kind: c.value.kind,
                    length_m: c.value.length.m(),
                    error_share: c.error,
                    grade: if self.mass.is_some() { Grade::Derived.max(c.grade) } else { c.grade },
                    how: c.how,
                })
                .collect();
        let mass = match self.girth {
            Some(girth) => Some(s.mass_from_girth(girth, given)?),
            None => s.mass_at(given).ok(),
        };
        let longer = s
            .convert(given, s.max_length.value.kind)
            .ok()
            .filter(|c| c.value.length > s.max_length.value.length);
        let json = SizeJson {
            schema: "tailrope.fish/1",
            species: &s.id,
            given_m: self.length.map(|l| l.length.m()),
            given_kind: self.length.map(|l| l.kind),
            given_girth_m: self.girth.map(Length::m),
            given_kg: self.mass.map(Mass::kg),
            lengths,
            mass: mass.as_ref().map(mass_json),
            beyond_longest: longer.is_some(),
        };
        let mut page = desk.page();
        page.say(&match (&mass, self.mass) {
            (_, Some(m)) => format!("{} of {}: about {}.", s.name, u.mass(m), given.show(u)),
            (Some(m), None) => format!(
                "{} of {}: {}, as heavy as {}. Reckon with the heavy end.",
                s.name,
                given.show(u),
                u.mass(m.central),
                u.mass(m.heavy)
            ),
            (None, None) => format!("{} of {}: no length gives its mass.", s.name, given.show(u)),
        });
        if longer.is_some() {
            page.say(&format!(
                "Longer than the longest believed, {}: measure again.",
                s.max_length.value.show(u)
            ));
        }
        page.head("Lengths");
        let rows: Vec<Vec<String>> = json.lengths.iter().map(|l| length_row(l, u)).collect();
        page.table(&["", "length", "error", "grade"], &rows, &[0, 3]);
        page.points(
            json.lengths
                .iter()
                .filter(|l| !l.how.is_empty())
                .map(|l| format!("{}: {}", l.kind.word(), l.how)),
        );
        page.say("A converted length decides nothing in law.");
        if let Some(m) = &mass {
            page.head("Mass").pairs(&[
                ("light end", u.mass(m.light)),
                ("middle", u.mass(m.central)),
                ("heavy end", u.mass(m.heavy)),
                ("rests on", format!("{} ({}; {})", m.basis.words(), m.grade.word(), m.source)),
            ]);
        }
        Answer::new(page.into_text(), &json)
    }
}

fn length_row(l: &LengthJson, u: Units) -> Vec<String> {
    vec![
        l.kind.word().to_owned(),
        u.size(Length::of_m(l.length_m)),
        if l.error_share > 0.0 {
            format!("± {} %", significant(l.error_share * 100.0, 2))
        } else {
            "-".into()
        },
        l.grade.word().to_owned(),
    ]
}

fn mass_json(m: &MassEstimate) -> MassJson<'_> {
    MassJson {
        light_kg: m.light.kg(),
        central_kg: m.central.kg(),
        heavy_kg: m.heavy.kg(),
        factor: m.factor,
        basis: m.basis,
        grade: m.grade,
        source: &m.source,
    }
}

#[derive(Serialize)]
struct SizeJson<'a> {
    schema: &'static str,
    species: &'a str,
    given_m: Option<f64>,
    given_kind: Option<LengthKind>,
    given_girth_m: Option<f64>,
    given_kg: Option<f64>,
    lengths: Vec<LengthJson>,
    mass: Option<MassJson<'a>>,
    beyond_longest: bool,
}

#[derive(Serialize)]
struct LengthJson {
    kind: LengthKind,
    length_m: f64,
    error_share: f64,
    grade: Grade,
    how: String,
}

#[derive(Serialize)]
struct MassJson<'a> {
    light_kg: f64,
    central_kg: f64,
    heavy_kg: f64,
    factor: f64,
    basis: MassBasis,
    grade: Grade,
    source: &'a str,
}
