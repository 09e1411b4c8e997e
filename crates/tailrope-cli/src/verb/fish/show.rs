//! `tailrope fish show`: one species.

use super::{RowJson, find, row};
use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::word::spelled;
use clap::Args;
use serde::Serialize;
use tailrope::Result;
use tailrope::facts::Grade;
use tailrope::fish::{FishLength, LengthKind, Species, SpeciesPack};
use tailrope::quantity::Temperature;

#[derive(Args, Debug)]
pub struct Show {
    /// Name or id
    #[arg(required = true, num_args = 1..)]
    name: Vec<String>,
}

impl Show {
    /// Answers.
    pub fn run(&self, desk: &Desk, pack: &SpeciesPack) -> Result<Answer, Failure> {
        let s = find(pack, &self.name.join(" "))?;
        let json = ShowJson {
            schema: "tailrope.fish/1",
            fish: row(s),
            also: &s.also,
            law_codes: &s.law,
            protected: s.protected.as_deref(),
            max_mass_kg: s.max_mass.as_ref().map(|m| m.value.kg()),
            mature_female_m: s.maturity.as_ref().map(|m| m.female.map(|l| l.length.m())),
            mature_male_m: s.maturity.as_ref().map(|m| m.male.map(|l| l.length.m())),
            mature_kind: s.maturity.as_ref().map(|m| m.female[0].kind),
            water_min_c: s.water.min.c(),
            water_max_c: s.water.max.c(),
            water_prefer_c: s.water.prefer.map(Temperature::c),
            ventilation: spelled(&s.ventilation),
            survival_class: spelled(&s.survival_class),
            on_the_line: &s.on_the_line,
            seasons: s
                .seasons
                .iter()
                .map(|x| SeasonJson {
                    region: x.region.code(),
                    months: x.months.list(),
                    note: &x.note,
                    grade: x.grade,
                })
                .collect(),
            calibrated_on: &s.survival.calibrated_on,
            max_length_grade: s.max_length.grade,
            max_length_source: &s.max_length.source,
        };
        Answer::new(page(desk, pack, s), &json)
    }
}

fn page(desk: &Desk, pack: &SpeciesPack, s: &Species) -> String {
    let u = desk.units;
    let mut page = desk.page();
    page.say(&format!("{} ({})", s.name, s.scientific));
    if let Some(why) = &s.protected {
        page.say(&format!("Treated as protected wherever it is caught: {why}"));
    } else if s.unidentified {
        page.say("A shark nobody named: treated as protected, and the worst of everything.");
    }
    let grade = |g: Grade| g.word();
    let mut pairs = vec![("id", s.id.clone())];
    if !s.also.is_empty() {
        pairs.push(("also called", s.also.join(", ")));
    }
    pairs.push(("longest", format!("{} ({})", s.max_length.value.show(u), grade(s.max_length.grade))));
    if let Some(m) = &s.max_mass {
        pairs.push(("heaviest", format!("{} ({})", u.mass(m.value), grade(m.grade))));
    }
    if let Some(m) = &s.maturity {
        let range = |[a, b]: [FishLength; 2]| {
            if a == b { a.show(u) } else { format!("{} to {}", u.size(a.length), b.show(u)) }
        };
        pairs.push((
            "mature",
            format!("female {}, male {} ({})", range(m.female), range(m.male), grade(m.grade)),
        ));
    }
    pairs.push((
        "water",
        format!(
            "{} to {}, prefers {} to {} ({})",
            u.temperature(s.water.min),
            u.temperature(s.water.max),
            u.temperature(s.water.prefer[0]),
            u.temperature(s.water.prefer[1]),
            grade(s.water.grade)
        ),
    ));
    pairs.push(("breathing", s.ventilation.words().to_owned()));
    pairs.push(("on the line", s.on_the_line.clone()));
    pairs.push((
        "release",
        if s.cut_first() {
            "cut at first touch rather than unhook".into()
        } else {
            "unhook if quick, else cut".to_owned()
        },
    ));
    page.pairs(&pairs);
    if !s.seasons.is_empty() {
        page.head("Met");
        let rows: Vec<(String, String)> = s
            .seasons
            .iter()
            .map(|x| {
                let months = months(&x.months.list());
                let note = if x.note.is_empty() { String::new() } else { format!("; {}", x.note) };
                (x.region.code().to_owned(), format!("months {months}{note} ({})", grade(x.grade)))
            })
            .collect();
        page.pairs(&rows);
    }
    let taken: Vec<String> = pack
        .lookalikes_of(&s.id)
        .map(|l| {
            let other = l.pair.iter().find(|id| **id != s.id).map_or("", String::as_str);
            let name = pack.by_id(other).map_or(other, |o| &o.name);
            format!("{name}: {}", l.tell)
        })
        .collect();
    if !taken.is_empty() {
        page.head("Taken for it, and how to tell").points(&taken);
    }
    page.head("Survival after release rests on").points([&s.survival.calibrated_on]);
    page.into_text()
}

/// Months as stretches: `1-5, 10-12`.
fn months(list: &[u8]) -> String {
    let mut out: Vec<(u8, u8)> = Vec::new();
    for m in list {
        match out.last_mut() {
            Some((_, to)) if *to + 1 == *m => *to = *m,
            _ => out.push((*m, *m)),
        }
    }
    let words: Vec<String> =
        out.iter().map(|(a, b)| if a == b { a.to_string() } else { format!("{a}-{b}") }).collect();
    words.join(", ")
}

#[derive(Serialize)]
struct ShowJson<'a> {
    schema: &'static str,
    #[serde(flatten)]
    fish: RowJson<'a>,
    also: &'a [String],
    law_codes: &'a [String],
    protected: Option<&'a str>,
    max_mass_kg: Option<f64>,
    mature_female_m: Option<[f64; 2]>,
    mature_male_m: Option<[f64; 2]>,
    mature_kind: Option<LengthKind>,
    water_min_c: f64,
    water_max_c: f64,
    water_prefer_c: [f64; 2],
    ventilation: String,
    survival_class: String,
    on_the_line: &'a str,
    seasons: Vec<SeasonJson<'a>>,
    calibrated_on: &'a str,
    max_length_grade: Grade,
    max_length_source: &'a str,
}

#[derive(Serialize)]
struct SeasonJson<'a> {
    region: &'static str,
    months: Vec<u8>,
    note: &'a str,
    grade: Grade,
}

#[cfg(test)]
mod tests {
    use super::months;

    #[test]
    fn months_read_as_stretches() {
        assert_eq!(months(&[1, 2, 3, 5, 10, 11, 12]), "1-3, 5, 10-12");
        assert_eq!(months(&[]), "");
    }
}
