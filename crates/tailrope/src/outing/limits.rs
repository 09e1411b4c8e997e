//! Limits: the only place where a number becomes *go*, *caution* or *stop*.
//!
//! The rows are data (`data/limits.toml`); a crew may edit a row in its outing file, with who and why, and
//! the plan says so. Borders are closed on the worse side: a value that two columns name takes the worse
//! one. Unknown is never *go*.
//!
//! Source: the go / caution / stop table of this project's safety notes, each row with its own grade.

use super::verdict::{Severity, Topic, Verdict};
use crate::facts::{Grade, Known, PackText};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A border on a number. Exactly one of the four is given.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub enum Border {
    /// This value and more.
    From(f64),
    /// More than this value.
    Above(f64),
    /// This value and less.
    To(f64),
    /// Less than this value.
    Below(f64),
}

impl Border {
    /// Whether `x` lies beyond the border. A NaN lies beyond every border.
    pub fn crossed(self, x: f64) -> bool {
        let beyond = match self {
            Self::From(b) => x >= b,
            Self::Above(b) => x > b,
            Self::To(b) => x <= b,
            Self::Below(b) => x < b,
        };
        beyond || x.is_nan()
    }
    /// The number on which the border lies.
    pub fn at(self) -> f64 {
        match self {
            Self::From(b) | Self::Above(b) | Self::To(b) | Self::Below(b) => b,
        }
    }
    fn upward(self) -> bool {
        matches!(self, Self::From(_) | Self::Above(_))
    }
    /// The word before the number: `from`, `above`, `at most`, `below`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::From(_) => "from",
            Self::Above(_) => "above",
            Self::To(_) => "at most",
            Self::Below(_) => "below",
        }
    }
}

/// What a row judges.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A number against two borders.
    Number,
    /// A state by its word.
    Word,
    /// A figure that a model or the choice of a word uses.
    Figure,
}

/// Who changed a row for this crew, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct EditedBy {
    /// Who answers for it.
    pub who: String,
    /// Why.
    pub why: String,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// Id; the unit of the number stands in its name.
    pub id: String,
    /// What it is about.
    pub topic: Topic,
    /// What it judges.
    pub kind: Kind,
    /// What it asks, in words.
    pub asks: String,
    /// Unit of the number or figure.
    #[serde(default)]
    pub unit: String,
    /// Where *caution* begins.
    #[serde(default)]
    pub caution: Option<Border>,
    /// Where *stop* begins.
    #[serde(default)]
    pub stop: Option<Border>,
    /// Verdict of each state.
    #[serde(default)]
    pub words: BTreeMap<String, Verdict>,
    /// The figure.
    #[serde(default)]
    pub value: Option<f64>,
    /// What an unanswered question costs: *caution* or *stop*.
    pub unknown: Verdict,
    /// What would change the verdict.
    #[serde(default)]
    pub remedy: String,
    /// Grade of the borders.
    pub grade: Grade,
    /// Source of the borders.
    pub source: String,
    /// Set when the crew changed the row.
    #[serde(skip)]
    pub edited: Option<EditedBy>,
}

/// A crew's own value for a row, with who and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LimitEdit {
    /// Row.
    pub id: String,
    /// New border of *caution*.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<Border>,
    /// New border of *stop*.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<Border>,
    /// New figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// New verdicts of states.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub words: BTreeMap<String, Verdict>,
    /// Who answers for the change.
    pub who: String,
    /// Why.
    pub why: String,
}

/// What a row says of a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement<'a> {
    /// The verdict.
    pub verdict: Verdict,
    /// Whether it was given because the answer is unknown.
    pub unknown: bool,
    /// The row.
    pub row: &'a Limit,
}

impl Judgement<'_> {
    /// Severity of the finding, `None` for *go*.
    pub fn severity(&self) -> Option<Severity> {
        match self.verdict {
            Verdict::Go => None,
            Verdict::Caution => Some(Severity::Caution),
            Verdict::Stop => Some(Severity::Stop),
        }
    }
}

/// Rows the plan relies on; a pack without one of them is refused.
pub const REQUIRED: &[(&str, Kind)] = {
    use Kind::{Figure, Number, Word};
    &[
        ("law.breach", Word),
        ("weather.thunder", Word),
        ("weather.shelter_min", Figure),
        ("weather.thunder_wait_min", Number),
        ("weather.lightning_level", Figure),
        ("weather.hazards", Word),
        ("wind.kn", Number),
        ("wind.gust_kn", Number),
        ("heat.index_c", Number),
        ("heat.index_no_shade_c", Number),
        ("visibility.km", Number),
        ("visibility.fog_km", Figure),
        ("visibility.dense_fog_km", Figure),
        ("surf.rip_risk", Word),
        ("surf.height_m", Number),
        ("landing.depth", Word),
        ("landing.shore_break", Word),
        ("landing.shore_break_m", Figure),
        ("handlers.water_c", Number),
        ("handlers.water_bare_c", Number),
        ("handlers.one_spell_c", Figure),
        ("way_out.h", Number),
        ("way_out.pack_up_min", Figure),
        ("animals", Word),
        ("kayak.surf_m", Number),
        ("kayak.wind_kn", Number),
        ("kayak.wind_offshore_kn", Number),
        ("kayak.offshore_deg", Figure),
        ("kayak.light", Word),
        ("kayak.water_c", Number),
        ("kayak.water_unsuited_c", Number),
        ("bathers.distance_m", Number),
        ("bathers.before_h", Figure),
        ("bathers.hour", Word),
        ("bathers.count_days", Figure),
        ("bathers.count_min", Figure),
        ("bathers.none_days", Figure),
        ("line_side", Word),
        ("crew.count", Number),
        ("crew.roles", Word),
        ("crew.drilled", Word),
        ("crew.newcomer_fish_m", Figure),
        ("crew.awake_h", Number),
        ("crew.sober", Word),
        ("contact.ashore", Word),
        ("phone.signal", Word),
        ("first_aid", Word),
        ("care.trained_min", Number),
        ("care.untrained_min", Number),
        ("drag.measured", Word),
        ("drag.reading_days", Figure),
        ("drag.check_pull_c", Number),
        ("drag.fish_m", Figure),
        ("footing.drag", Word),
        ("footing.strike_share", Figure),
        ("footing.worst_share", Figure),
        ("footing.no_harness_n", Figure),
        ("footing.arms", Word),
        ("footing.dry_m", Number),
        ("harness.release", Word),
        ("path.margin", Number),
        ("tackle.contradiction", Word),
        ("leader.length", Number),
        ("rig.margin", Number),
        ("rig.untested", Number),
        ("rig.hand", Word),
        ("rig.lead", Word),
        ("rig.fly_back_j", Number),
        ("rig.cast", Number),
        ("rig.link", Number),
        ("forecast.spooled", Number),
        ("forecast.parted", Number),
        ("forecast.trailing_m", Figure),
        ("forecast.cut_at_rod", Number),
        ("forecast.angler_moved", Number),
        ("fish.death", Number),
        ("crew.relief_min", Figure),
        ("conditions.age_h", Number),
        ("conditions.dead_h", Figure),
        ("conditions.reach", Word),
        ("report.place", Word),
        ("weather.thunder_percent", Figure),
        ("bait.delivery", Word),
        ("kayak.float", Word),
        ("room_behind.m", Number),
        ("lean.unsupported_m", Number),
        ("station.km", Number),
        ("station.doubt", Word),
        ("station.nearer_km", Figure),
        ("tide.table", Word),
        ("tide.table_m", Figure),
        ("tide.table_min", Figure),
        ("baits.crews", Number),
        ("relief.angler", Word),
        ("landing.night_crew", Figure),
        ("landing.night_wave_m", Figure),
        ("paddle.watchers", Figure),
        ("paddle.light_lux", Figure),
        ("driver.fit", Word),
        ("kit.safety", Word),
        ("fish.named", Word),
        ("fish.region", Word),
        ("soak.line", Word),
        ("hold.bait", Word),
        ("hold.soak_h", Figure),
        ("night.past", Word),
        ("windows", Word),
        ("outfit.judged", Word),
        ("driver.drive_h", Figure),
        ("conditions.span_d", Figure),
        ("footing.high_water_m", Number),
        ("level.unread_m", Figure),
        ("level.fades_h", Figure),
        ("level.spread_m", Figure),
        ("level.typed_m", Figure),
        ("level.doubt_m", Figure),
        ("far.line_m", Figure),
        ("far.lookout", Word),
        ("far.marked", Word),
        ("far.boats", Number),
        ("far.wise", Number),
        ("far.spool", Number),
        ("far.keel_m", Figure),
        ("far.boat_fast_kn", Figure),
        ("far.boat_slow_kn", Figure),
        ("far.sight_m", Figure),
        ("far.react_s", Figure),
        ("far.turns_s", Figure),
        ("far.wind_in_min", Figure),
    ]
};

/// States that are never *go*, whatever a pack or a crew writes: what lies beyond all that was read is not known, and
/// what an agency warns of is not the crew's to lift.
const NEVER_GO: &[(&str, &[&str])] = &[
    ("conditions.reach", &["beyond"]),
    ("weather.hazards", &["statement", "advisory", "watch", "other", "warning", "tsunami"]),
];

/// All rows, the crew's edits applied.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    rows: BTreeMap<String, Limit>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pack {
    schema: String,
    limit: Vec<Limit>,
}

impl Limits {
    /// Reads and checks the pack.
    ///
    /// Refuses a row that judges nothing, borders in the wrong order or direction, an unknown that would be
    /// *go*, a row given twice, and a pack that lacks a row of [`REQUIRED`].
    pub fn read(pack: &PackText<'_>) -> Result<Self> {
        let raw: Pack = pack.read()?;
        if raw.schema != "tailrope.limits/1" {
            return Err(pack.refuse(
                "schema",
                format!("the schema is `{}`", raw.schema),
                "tailrope.limits/1",
                "give the limits pack",
            ));
        }
        let mut rows = BTreeMap::new();
        for (i, row) in raw.limit.into_iter().enumerate() {
            let path = format!("limit[{i}]");
            check_row(&row).map_err(|e| pack.place(&path, e.within(&row.id)))?;
            if rows.contains_key(&row.id) {
                return Err(pack.refuse(
                    &path,
                    format!("row `{}` stands twice", row.id),
                    "each id once",
                    "remove one of them",
                ));
            }
            rows.insert(row.id.clone(), row);
        }
        for (id, kind) in REQUIRED {
            if rows.get(*id).is_none_or(|r| r.kind != *kind) {
                return Err(pack.refuse(
                    "limit",
                    format!("row `{id}` of kind {kind:?} is missing"),
                    "every row the plan relies on",
                    "copy it from the shipped pack",
                ));
            }
        }
        Ok(Self { rows })
    }

    /// Applies the crew's edits. Refuses an unknown row, an edit without who or why, and a row that the edit
    /// would break.
    pub fn edited(mut self, edits: &[LimitEdit]) -> Result<Self> {
        for (i, edit) in edits.iter().enumerate() {
            let place = format!("limit[{i}] {}", edit.id);
            let Some(row) = self.rows.get_mut(&edit.id) else {
                return Err(Error::new(
                    format!("there is no limit `{}`", edit.id),
                    "an id of the limits pack",
                    "look the id up in the limits pack",
                )
                .within(place));
            };
            if edit.id == "law.breach" {
                return Err(Error::new(
                    "the law is not a limit of the crew",
                    "any other row",
                    "change what the rule asks to change",
                )
                .within(place));
            }
            if edit.who.trim().is_empty() || edit.why.trim().is_empty() {
                return Err(Error::new(
                    "a changed limit needs who and why",
                    "two words that are not empty",
                    "say who answers for it and why",
                )
                .within(place));
            }
            row.caution = edit.caution.or(row.caution);
            row.stop = edit.stop.or(row.stop);
            row.value = edit.value.or(row.value);
            for (word, verdict) in &edit.words {
                if !row.words.contains_key(word) {
                    let known: Vec<&str> = row.words.keys().map(String::as_str).collect();
                    return Err(Error::new(
                        format!("`{word}` is no state of this row"),
                        known.join(", "),
                        "use one of its states",
                    )
                    .within(place));
                }
                row.words.insert(word.clone(), *verdict);
            }
            check_row(row).map_err(|e| e.within(place))?;
            row.edited = Some(EditedBy { who: edit.who.clone(), why: edit.why.clone() });
        }
        Ok(self)
    }

    /// The row of an id.
    pub fn row(&self, id: &str) -> Option<&Limit> {
        self.rows.get(id)
    }

    /// All rows in order of id.
    pub fn rows(&self) -> impl Iterator<Item = &Limit> {
        self.rows.values()
    }

    /// Judges a number by the row `id`.
    ///
    /// # Panics
    /// Never for an id of [`REQUIRED`]; the plan uses no other.
    pub fn number(&self, id: &'static str, value: Known<f64>) -> Judgement<'_> {
        let row = &self.rows[id];
        let Known::Known(x) = value else {
            return Judgement { verdict: row.unknown, unknown: true, row };
        };
        let crossed = |b: Option<Border>| b.is_some_and(|b| b.crossed(x));
        let verdict = if crossed(row.stop) {
            Verdict::Stop
        } else if crossed(row.caution) {
            Verdict::Caution
        } else {
            Verdict::Go
        };
        Judgement { verdict, unknown: false, row }
    }

    /// Judges a state by its word. A word the row does not hold counts as unknown.
    ///
    /// # Panics
    /// As [`Limits::number`].
    pub fn word(&self, id: &'static str, word: Known<&str>) -> Judgement<'_> {
        let row = &self.rows[id];
        match word.get().and_then(|w| row.words.get(w)) {
            Some(verdict) => Judgement { verdict: *verdict, unknown: false, row },
            None => Judgement { verdict: row.unknown, unknown: true, row },
        }
    }

    /// The figure of a row.
    ///
    /// # Panics
    /// As [`Limits::number`].
    pub fn figure(&self, id: &'static str) -> f64 {
        self.rows[id].value.unwrap_or(f64::NAN)
    }
}

/// Greatest border or figure of any row.
const MOST: f64 = 10_000.0;

fn check_row(row: &Limit) -> Result<()> {
    let refuse = |error: &str, allowed: &str| Err(Error::new(error, allowed, "correct this row"));
    if row.unknown == Verdict::Go {
        return refuse("unknown would be go", "caution or stop");
    }
    let finite = [row.caution.map(Border::at), row.stop.map(Border::at), row.value];
    if finite.iter().flatten().any(|x| x.abs() > MOST || !x.is_finite()) {
        return refuse("a border or figure is beyond anything this can mean", "-10000 to 10000");
    }
    match row.kind {
        Kind::Number => {
            if row.caution.is_none() && row.stop.is_none() {
                return refuse("the row has no border", "caution, stop or both");
            }
            if row.unit.is_empty() {
                return refuse("the row has no unit", "a unit, or \"-\"");
            }
            if let (Some(c), Some(s)) = (row.caution, row.stop) {
                let ordered = if c.upward() { c.at() <= s.at() } else { c.at() >= s.at() };
                if c.upward() != s.upward() || !ordered {
                    return refuse(
                        "the border of stop lies before that of caution",
                        "both in one direction, stop beyond caution",
                    );
                }
            }
        }
        Kind::Word => {
            if row.words.is_empty() {
                return refuse("the row has no states", "words with their verdicts");
            }
            let held = NEVER_GO.iter().find(|(id, _)| *id == row.id).map_or(&[][..], |(_, words)| words);
            if let Some(word) = held.iter().find(|w| row.words.get(**w) == Some(&Verdict::Go)) {
                return refuse(&format!("`{word}` would be go"), "caution or stop");
            }
        }
        Kind::Figure => {
            if row.value.is_none() {
                return refuse("the row has no value", "a number");
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
