//! `tailrope fish`: species, their size and weight.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::packs::Pack;
use crate::word::spelled;
use clap::{Args, Subcommand};
use serde::Serialize;
use tailrope::facts::Grade;
use tailrope::fish::{FishLength, LengthKind, MassBasis, MassEstimate, Region, Species, SpeciesPack};
use tailrope::quantity::{Length, Mass, Units, significant};
use tailrope::{Error, Result};

/// Species: which there are, what one is like, how long and how heavy
#[derive(Args, Debug)]
pub struct Fish {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// All species, or those likely in a region and month
    #[command(after_help = "Example:\n  tailrope fish list --region gulf-nw --month 10")]
    List(List),
    /// One species: marks of its life, season, handling, sources
    #[command(after_help = "Example:\n  tailrope fish show great hammerhead")]
    Show(Show),
    /// Lengths of every kind and mass, from a length, a mass, or length and girth
    #[command(after_help = "Examples:\n  tailrope fish size bull --length \"2.4m total\"\n  \
                            tailrope fish size bull --length \"2.1m fork\" --girth 1.2m\n  \
                            tailrope fish size bull --mass 300lb")]
    Size(Size),
}

#[derive(Args, Debug)]
struct List {
    /// Stretch of coast
    #[arg(long, value_parser = region, requires = "month")]
    region: Option<Region>,
    /// Month, 1 to 12
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), requires = "region")]
    month: Option<u8>,
}

#[derive(Args, Debug)]
struct Show {
    /// Name or id
    #[arg(required = true, num_args = 1..)]
    name: Vec<String>,
}

#[derive(Args, Debug)]
struct Size {
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

fn region(text: &str) -> Result<Region> {
    Region::read(text).ok_or_else(|| {
        let all: Vec<&str> = Region::ALL.iter().map(|r| r.code()).collect();
        Error::new(
            format!("no region `{}`", text.chars().take(40).collect::<String>()),
            all.join(", "),
            "choose one of them",
        )
    })
}

/// The species pack.
pub fn load(text: &Pack) -> Result<SpeciesPack> {
    SpeciesPack::load(&text.text())
}

/// A species by any of its names; `unknown` is the shark nobody named.
pub fn find<'a>(pack: &'a SpeciesPack, name: &str) -> Result<&'a Species> {
    if name.trim().eq_ignore_ascii_case("unknown") {
        return Ok(pack.unknown_shark());
    }
    pack.find(name).map_err(|e| e.within("species"))
}

impl Fish {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let text = desk.packs.get("species.toml")?;
        let pack = load(&text)?;
        match &self.what {
            What::List(l) => l.run(desk, &pack),
            What::Show(s) => s.run(desk, &pack),
            What::Size(s) => s.run(desk, &pack),
        }
    }
}

impl List {
    fn run(&self, desk: &Desk, pack: &SpeciesPack) -> Result<Answer, Failure> {
        let u = desk.units;
        let mut page = desk.page();
        let json = match self.region.zip(self.month) {
            Some((region, month)) => {
                let likely = pack.likely(region, month);
                page.say(&format!(
                    "Likely in month {month}, {}, each at its likely upper size. Others may come.",
                    region.words()
                ));
                page.say("");
                let rows: Vec<Vec<String>> = likely
                    .iter()
                    .map(|l| {
                        let heavy = l.heavy().map_or_else(|| "not known".to_owned(), |m| u.mass(m));
                        vec![l.species.name.clone(), l.length.show(u), heavy]
                    })
                    .collect();
                page.table(&["name", "likely upper length", "up to"], &rows, &[0, 1]);
                ListJson {
                    schema: "tailrope.fish/1",
                    region: Some(region.code()),
                    month: Some(month),
                    fish: likely
                        .iter()
                        .map(|l| {
                            let mut row = row(l.species);
                            row.likely = Some(LikelyJson {
                                length_m: l.length.length.m(),
                                length_kind: l.length.kind,
                                total_m: l.total.map(Length::m),
                                heavy_kg: l.heavy().map(Mass::kg),
                                outer_kg: l.outer_mass.map(Mass::kg),
                                note: l.note.to_owned(),
                            });
                            row
                        })
                        .collect(),
                }
            }
            None => {
                let rows: Vec<Vec<String>> = pack
                    .all()
                    .iter()
                    .map(|s| {
                        let care = if s.presumed_protected() {
                            "protected"
                        } else if s.cut_first() {
                            "cut first"
                        } else {
                            ""
                        };
                        let longest = s.max_length.value;
                        let longest = format!("{} {}", u.size(longest.length), longest.kind.short());
                        vec![s.id.clone(), s.name.clone(), longest, care.to_owned()]
                    })
                    .collect();
                page.table(&["id", "name", "longest believed", ""], &rows, &[0, 1, 2, 3]);
                page.say("");
                page.say("TL total length, FL fork length, PCL precaudal length, DW disc width. An empty last column says nothing about the law: ask `tailrope law`. A fish that nobody can name is treated as protected.");
                ListJson {
                    schema: "tailrope.fish/1",
                    region: None,
                    month: None,
                    fish: pack.all().iter().map(row).collect(),
                }
            }
        };
        Answer::new(page.into_text(), &json)
    }
}

fn row(s: &Species) -> RowJson<'_> {
    RowJson {
        id: &s.id,
        name: &s.name,
        scientific: &s.scientific,
        group: spelled(&s.group),
        max_length_m: s.max_length.value.length.m(),
        max_length_kind: s.max_length.value.kind,
        presumed_protected: s.presumed_protected(),
        cut_first: s.cut_first(),
        likely: None,
    }
}

impl Show {
    fn run(&self, desk: &Desk, pack: &SpeciesPack) -> Result<Answer, Failure> {
        let s = find(pack, &self.name.join(" "))?;
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
            water_prefer_c: s.water.prefer.map(tailrope::quantity::Temperature::c),
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
        Answer::new(page.into_text(), &json)
    }
}

impl Size {
    fn run(&self, desk: &Desk, pack: &SpeciesPack) -> Result<Answer, Failure> {
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
struct ListJson<'a> {
    schema: &'static str,
    region: Option<&'static str>,
    month: Option<u8>,
    fish: Vec<RowJson<'a>>,
}

#[derive(Serialize)]
struct RowJson<'a> {
    id: &'a str,
    name: &'a str,
    scientific: &'a str,
    group: String,
    max_length_m: f64,
    max_length_kind: LengthKind,
    presumed_protected: bool,
    cut_first: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    likely: Option<LikelyJson>,
}

#[derive(Serialize)]
struct LikelyJson {
    length_m: f64,
    length_kind: LengthKind,
    total_m: Option<f64>,
    heavy_kg: Option<f64>,
    outer_kg: Option<f64>,
    note: String,
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

#[cfg(test)]
mod tests {
    use super::months;

    #[test]
    fn months_read_as_stretches() {
        assert_eq!(months(&[1, 2, 3, 5, 10, 11, 12]), "1-3, 5, 10-12");
        assert_eq!(months(&[]), "");
    }
}
