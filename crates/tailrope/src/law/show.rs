//! Packs laid open: their rules, how far they cover, and what changed between two versions.

use super::lint;
use super::pack::{Cite, Pack};
use super::packs::LawPacks;
use super::vocab::Vocabulary;
use super::words::{Cover, Effect, Evidence, Kind, Level, Stage, Status};
use crate::facts::PackText;
use crate::{Error, Result};
use jiff::civil::Date;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A rule as a reader sees it.
#[derive(Clone, Debug, Serialize)]
pub struct RuleShown<'a> {
    /// Its id.
    pub rule: &'a str,
    /// What it is about.
    pub kind: Kind,
    /// What it does.
    pub effect: Effect,
    /// When it counts.
    pub stage: Stage,
    /// In own words.
    pub summary: &'a str,
    /// Standing it gives.
    pub status: Option<Status>,
    /// Fish it names, by their English names.
    pub species: Vec<&'a str>,
    /// The limit as printed.
    pub as_written: Option<&'a str>,
    /// Another text that differs.
    pub conflict: Option<&'a str>,
    /// Remark.
    pub note: Option<&'a str>,
    /// Whom to report to.
    pub report_to: Option<&'a str>,
    /// Where it was read.
    pub cite: &'a Cite,
}

/// A pack as a reader sees it.
#[derive(Clone, Debug, Serialize)]
pub struct PackShown<'a> {
    /// Its id.
    pub id: &'a str,
    /// Its title.
    pub title: &'a str,
    /// Its level.
    pub level: Level,
    /// Whether it is the crew's own copy.
    pub own: bool,
    /// Whose rules.
    pub authority: &'a str,
    /// Whom to ask.
    pub contact: &'a str,
    /// Where.
    pub area: &'a str,
    /// Newest page read.
    pub as_of: Option<Date>,
    /// Review day.
    pub review_by: Date,
    /// Whether it is past that day.
    pub stale: bool,
    /// Remark.
    pub note: Option<&'a str>,
    /// Places it tests.
    pub zones: &'a BTreeMap<String, String>,
    /// Kinds it does not cover, or not in full: to be asked.
    pub ask: Vec<Kind>,
    /// Its rules.
    pub rules: Vec<RuleShown<'a>>,
}

/// The rules of a place, pack by pack in the order in which they are stacked. `places` are ids of packs or of
/// zones. Refuses places no pack knows, naming the agency as the way out.
pub fn show<'a>(law: &'a LawPacks, places: &[String], read_on: Date) -> Result<Vec<PackShown<'a>>> {
    let chosen = law.at(places);
    if let Some(lost) = places.iter().find(|p| law.at(std::slice::from_ref(*p)).is_empty()) {
        law.pack(lost)?;
    }
    let vocab = law.vocabulary();
    let shown = |pack: &'a Pack| PackShown {
        id: &pack.id,
        title: &pack.title,
        level: pack.level,
        own: pack.own,
        authority: &pack.authority,
        contact: &pack.contact,
        area: &pack.area,
        as_of: pack.as_of,
        review_by: pack.review_by,
        stale: pack.stale(read_on),
        note: pack.note.as_deref(),
        zones: &pack.zones,
        ask: asked(pack),
        rules: pack
            .rules
            .iter()
            .map(|r| RuleShown {
                rule: &r.id,
                kind: r.kind,
                effect: r.effect,
                stage: r.stage,
                summary: &r.summary,
                status: r.status,
                species: r.species.iter().map(|c| vocab.called(c)).collect(),
                as_written: r.as_written.as_deref(),
                conflict: r.conflict.as_deref(),
                note: r.note.as_deref(),
                report_to: r.report_to.as_deref(),
                cite: &r.cite,
            })
            .collect(),
    };
    Ok(law.with_parents(chosen)?.into_iter().map(shown).collect())
}

/// Kinds on which a pack leaves something to ask.
fn asked(pack: &Pack) -> Vec<Kind> {
    Kind::ALL
        .iter()
        .copied()
        .filter(|k| !matches!(k, Kind::Info | Kind::Pending) && pack.cover(*k) != Cover::Full)
        .collect()
}

/// How far one pack covers its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Coverage {
    /// The pack.
    pub pack: String,
    /// Its level.
    pub level: Level,
    /// How many rules it has.
    pub rules: usize,
    /// How many were read in the text or on the agency's page.
    pub seen: usize,
    /// How many at second hand.
    pub second_hand: usize,
    /// How many from memory.
    pub recalled: usize,
    /// Newest page read.
    pub as_of: Option<Date>,
    /// Review day.
    pub review_by: Date,
    /// Whether it is past that day.
    pub stale: bool,
    /// Kinds covered in full.
    pub full: Vec<Kind>,
    /// Kinds covered in part: ask.
    pub partial: Vec<Kind>,
    /// Kinds not covered: ask.
    pub none: Vec<Kind>,
}

/// The coverage table of all packs, by level and id.
pub fn coverage(law: &LawPacks, read_on: Date) -> Vec<Coverage> {
    let mut rows: Vec<Coverage> = law
        .packs()
        .map(|p| {
            let with = |e: Evidence| p.rules.iter().filter(|r| r.cite.evidence == e).count();
            let kinds = |c: Cover| -> Vec<Kind> {
                Kind::ALL
                    .iter()
                    .copied()
                    .filter(|k| !matches!(k, Kind::Info | Kind::Pending) && p.cover(*k) == c)
                    .collect()
            };
            Coverage {
                pack: p.id.clone(),
                level: p.level,
                rules: p.rules.len(),
                seen: with(Evidence::Seen),
                second_hand: with(Evidence::SeenSecondary),
                recalled: with(Evidence::Recalled),
                as_of: p.as_of,
                review_by: p.review_by,
                stale: p.stale(read_on),
                full: kinds(Cover::Full),
                partial: kinds(Cover::Partial),
                none: kinds(Cover::None),
            }
        })
        .collect();
    rows.sort_by(|a, b| a.level.cmp(&b.level).then_with(|| a.pack.cmp(&b.pack)));
    rows
}

/// What changed in one entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// The rule, or empty for the pack itself.
    pub rule: String,
    /// The key.
    pub key: String,
    /// What stood there.
    pub was: Option<String>,
    /// What stands there now.
    pub is: Option<String>,
}

/// What changed between two versions of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PackDiff {
    /// Hash of the old text.
    pub old_hash: String,
    /// Hash of the new text.
    pub new_hash: String,
    /// Rules only in the new version.
    pub added: Vec<String>,
    /// Rules only in the old one.
    pub removed: Vec<String>,
    /// Entries that differ.
    pub changed: Vec<Changed>,
}

/// Compares two versions of a pack, rule by rule. Refuses a file that does not lint.
pub fn diff(vocab: &Vocabulary, old: &PackText<'_>, new: &PackText<'_>) -> Result<PackDiff> {
    let mut sides = Vec::new();
    for text in [old, new] {
        lint::read(vocab, text, false).map_err(|mut e| e.remove(0))?;
        sides.push(entries(text)?);
    }
    let (Some(is), Some(was)) = (sides.pop(), sides.pop()) else {
        return Err(Error::new("nothing to compare", "two packs", "give two files"));
    };
    let rules = |side: &BTreeMap<(String, String), String>| -> BTreeSet<String> {
        side.keys().map(|(r, _)| r.clone()).filter(|r| !r.is_empty()).collect()
    };
    let (old_rules, new_rules) = (rules(&was), rules(&is));
    let both: BTreeSet<&(String, String)> = was.keys().chain(is.keys()).collect();
    let changed = both
        .into_iter()
        .filter(|(rule, _)| rule.is_empty() || old_rules.contains(rule) && new_rules.contains(rule))
        .filter(|k| was.get(k) != is.get(k))
        .map(|k| Changed {
            rule: k.0.clone(),
            key: k.1.clone(),
            was: was.get(k).cloned(),
            is: is.get(k).cloned(),
        })
        .collect();
    Ok(PackDiff {
        old_hash: old.hash(),
        new_hash: new.hash(),
        added: new_rules.difference(&old_rules).cloned().collect(),
        removed: old_rules.difference(&new_rules).cloned().collect(),
        changed,
    })
}

/// Every entry of a pack as text, by rule and key.
fn entries(text: &PackText<'_>) -> Result<BTreeMap<(String, String), String>> {
    let file: toml::Table = text.read()?;
    let mut out = BTreeMap::new();
    let packs = file.get("pack").and_then(toml::Value::as_array).into_iter().flatten();
    for (key, value) in packs.filter_map(toml::Value::as_table).flatten() {
        if key != "rule" {
            out.insert((String::new(), key.clone()), value.to_string());
            continue;
        }
        for rule in value.as_array().into_iter().flatten().filter_map(toml::Value::as_table) {
            let id = rule.get("id").and_then(toml::Value::as_str).unwrap_or_default();
            for (key, value) in rule {
                match value.as_table() {
                    Some(cite) => out.extend(
                        cite.iter().map(|(k, v)| ((id.to_owned(), format!("{key}.{k}")), v.to_string())),
                    ),
                    None => {
                        out.insert((id.to_owned(), key.clone()), value.to_string());
                    }
                }
            }
        }
    }
    Ok(out)
}

/// The text of a new pack for one beach, pier or club, to be filled in. It covers nothing, so that every kind
/// is asked about until somebody has read the rule. Refuses an id that is no plain file name.
pub fn site_pack(id: &str, title: &str, parents: &[&str], made_on: Date) -> Result<String> {
    let plain = |s: &str| {
        !s.is_empty() && s.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
    };
    if !plain(id) || !parents.iter().all(|p| plain(p)) {
        return Err(Error::new(
            format!("`{id}` is no pack id"),
            "small letters, digits and hyphens",
            "name it like us-tx-some-beach",
        ));
    }
    let quoted = |s: &str| toml::Value::String(s.to_owned()).to_string();
    let parents: Vec<String> = parents.iter().map(|p| quoted(p)).collect();
    let review = made_on.checked_add(jiff::Span::new().years(1)).unwrap_or(made_on);
    Ok(format!(
        "# {}\n# Rule pack of your own; facts and codes: law-facts.toml. Own words, never the legal text.\n\
         format = \"rule-packs\"\nformat_version = \"0.2\"\n\n[[pack]]\nid = {}\ntitle = {}\nlevel = \"site\"\n\
         parents = [{}]\nauthority = \"\"\ncontact = \"\"\narea = \"\"\nas_of = {made_on}\nreview_by = {review}\n\
         # Ask whoever rules here about each of these, write a rule for every answer, then say full or partial.\n\
         [pack.coverage]\naccess-hours = \"none\"\nbathers = \"none\"\nvehicle = \"none\"\nfire-camp = \"none\"\n\
         craft = \"none\"\ndrone = \"none\"\nchumming = \"none\"\narea-closure = \"none\"\nother-gear = \"none\"\n\
         [pack.zones]\n",
        title.replace(['\n', '\r'], " "),
        quoted(id),
        quoted(title),
        parents.join(", "),
    ))
}
