//! From one way of measuring a fish to another, with its error.
//!
//! Model: straight lines `to = slope * from + intercept` per species; one line of a pair is preferred and its
//! inverse is used the other way, so conversions round trip. Where no line exists the mean ratio of a group
//! stands in. A missing pair may be chained once, through total length or else fork length; errors add.
//!
//! Limits: lines come from one region each and are straight only over the sizes measured. A converted length is
//! an estimate (relative error 1 sd 2 % a line, 4 % a ratio: ESTIMATE, rival lines differ by up to 4 %) and
//! never decides a size limit. Sources: each line's own (Kohler, Casey & Turner 1995 and others).

use super::{FishLength, LengthKind, Species};
use crate::facts::Grade;
use crate::quantity::Length;
use crate::{Error, Result};

/// A published line between two lengths of one species.
#[derive(Clone, Debug, PartialEq)]
pub struct Conversion {
    /// Length it starts from.
    pub from: LengthKind,
    /// Length it gives.
    pub to: LengthKind,
    /// The line of its pair that is used; the others are kept to be shown.
    pub preferred: bool,
    /// `false`: visibly wrong as transcribed, never used.
    pub usable: bool,
    /// Slope.
    pub slope: f64,
    /// Intercept.
    pub intercept: Length,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it was read.
    pub source: String,
    /// Fish measured, if known.
    pub n: Option<u32>,
    /// What the source adds.
    pub note: String,
}

/// Mean ratios of a group, for species without lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ratios {
    pub(super) fork_over_total: f64,
    pub(super) precaudal_over_total: f64,
    pub(super) grade: Grade,
}

/// A converted length.
#[derive(Clone, Debug, PartialEq)]
pub struct Converted {
    /// The length asked for.
    pub value: FishLength,
    /// Its relative error, 1 standard deviation; 0 if nothing was converted.
    pub error: f64,
    /// The weakest grade on the way.
    pub grade: Grade,
    /// How it was found, in words; empty if nothing was converted.
    pub how: String,
}

struct Step {
    length_m: f64,
    error: f64,
    grade: Grade,
    how: String,
}

impl Species {
    /// Converts a length to another kind. Refuses where no line, ratio or single chain leads there, naming the
    /// lengths that can be used instead.
    pub fn convert(&self, from: FishLength, to: LengthKind) -> Result<Converted> {
        if from.kind == to {
            let grade = Grade::Measured;
            return Ok(Converted { value: from, error: 0.0, grade, how: String::new() });
        }
        let here = from.length.m();
        let found = self.step(from.kind, to, here).or_else(|| {
            [LengthKind::Total, LengthKind::Fork]
                .into_iter()
                .filter(|via| *via != from.kind && *via != to)
                .find_map(|via| {
                    let a = self.step(from.kind, via, here)?;
                    let b = self.step(via, to, a.length_m)?;
                    Some(Step {
                        length_m: b.length_m,
                        error: a.error + b.error,
                        grade: a.grade.max(b.grade),
                        how: format!("{}, then {}", a.how, b.how),
                    })
                })
        });
        match found {
            Some(s) if s.length_m.is_finite() && s.length_m > 0.0 => Ok(Converted {
                value: FishLength::new(to, Length::of_m(s.length_m)),
                error: s.error,
                grade: s.grade,
                how: s.how,
            }),
            Some(_) => Err(Error::new(
                format!("{from} of a {} is too short for its conversion line", self.name),
                "a length of a fish of size",
                "check the number and its unit",
            )),
            None => Err(self.no_way(from.kind, to)),
        }
    }

    fn no_way(&self, from: LengthKind, to: LengthKind) -> Error {
        let known: Vec<&str> =
            [LengthKind::Total, LengthKind::Fork, LengthKind::Precaudal, LengthKind::DiscWidth]
                .into_iter()
                .filter(|k| *k == to || self.step(*k, to, 2.0).is_some())
                .map(LengthKind::word)
                .collect();
        Error::new(
            format!("no conversion from {} to {} is known for the {}", from.word(), to.word(), self.name),
            known.join(", "),
            format!("measure the {}", to.word()),
        )
    }

    /// One direct step: the preferred line, its inverse, or the group's ratio.
    fn step(&self, from: LengthKind, to: LengthKind, length_m: f64) -> Option<Step> {
        let (line_error, ratio_error) = self.conversion_error;
        for c in self.conversions.iter().filter(|c| c.preferred && c.usable) {
            let length_m = if c.from == from && c.to == to {
                c.slope * length_m + c.intercept.m()
            } else if c.from == to && c.to == from {
                (length_m - c.intercept.m()) / c.slope
            } else {
                continue;
            };
            let how = format!("{} to {} ({})", from.short(), to.short(), c.source);
            return Some(Step { length_m, error: line_error, grade: c.grade, how });
        }
        let ratios = self.ratios?;
        let over_total = |kind| match kind {
            LengthKind::Total => Some(1.0),
            LengthKind::Fork => Some(ratios.fork_over_total),
            // A line to precaudal length, where there is one, is better than the ratio.
            LengthKind::Precaudal if !self.has_line(LengthKind::Precaudal) => {
                Some(ratios.precaudal_over_total)
            }
            LengthKind::Precaudal | LengthKind::DiscWidth => None,
        };
        if from != LengthKind::Total && to != LengthKind::Total {
            return None; // through total length, as a chain
        }
        let length_m = length_m * over_total(to)? / over_total(from)?;
        let how = format!("{} to {} (mean ratio of its group)", from.short(), to.short());
        Some(Step { length_m, error: ratio_error, grade: ratios.grade, how })
    }

    fn has_line(&self, kind: LengthKind) -> bool {
        self.conversions.iter().any(|c| c.preferred && c.usable && (c.from == kind || c.to == kind))
    }

    /// The length that body formulas use: fork length, or total length for species in which no way from total
    /// to fork length is known (their tails have no fork to speak of).
    pub fn body_length(&self, length: FishLength) -> Result<Converted> {
        self.convert(length, LengthKind::Fork).or_else(|e| {
            if self.ratios.is_some() || self.has_line(LengthKind::Fork) {
                return Err(e);
            }
            self.convert(length, LengthKind::Total)
        })
    }
}
