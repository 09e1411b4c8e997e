//! A file of water levels that does not say its unit, clock or datum, held against the station's own tide.
//!
//! Every combination of unit, clock and datum turns the file's numbers into levels at instants; what is left after the
//! prediction is taken off should be small and steady. Two measures: the middle of what is left, against the weather's
//! share of a level (0.3 m is its half-width, taken as two standard deviations; for predictions the tide's own claimed
//! error), and its wander about that middle, against a gauge's noise of 3 mm and a weather that drifts by 8 mm in an
//! hour, growing with the root of time. Their squares add to a misfit; combinations within 3 of the best cannot be told
//! apart. Borders are ours (estimate). Nothing is decided here: the person tells.

use super::told::{Clock, Product, Told, UnitSystem};
use super::{Content, coops};
use crate::quantity::{Length, significant};
use crate::sea::tide::{Tide, Turning, Water};
use crate::{Error, Result};
use jiff::Timestamp;
use jiff::civil::DateTime;

/// Weather's share of a level, one standard deviation, m.
const WEATHER_M: f64 = 0.15;
/// Wander of readings about a steady difference: of the gauge itself, and of the weather in an hour, m.
const WANDER_M: f64 = 0.003;
const WANDER_M_HOUR: f64 = 0.008;
/// No weather changes the level by more than this about its middle over a file, m.
const WANDER_MOST_M: f64 = 0.15;
/// Misfits this near the best cannot be told from it.
const ALIKE: f64 = 3.0;
/// Levels compared at most, spread over the file.
const TAKEN: usize = 400;

/// One way to read the file, and how it fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Metres or feet.
    pub units: UnitSystem,
    /// The clock of its times.
    pub clock: Clock,
    /// What its levels are above.
    pub datum: String,
    /// Middle of the differences: for observed levels the weather's residual, if this way is right.
    pub difference: Length,
    /// Their root mean square about the middle.
    pub wander: Length,
    /// Both against what is usual; 0 is perfect.
    pub misfit: f64,
    /// Levels that could be compared.
    pub levels: usize,
}

/// All ways to read the file, best first.
#[derive(Clone, Debug, PartialEq)]
pub struct Fits {
    /// Best first.
    pub ranked: Vec<Fit>,
    /// How many of the first cannot be told apart.
    pub alike: usize,
}

impl Fits {
    /// Holds a CO-OPS file of levels against `tide`, which must cover the file's times by every clock tried (a day
    /// on either side suffices). `zone` is the station's IANA zone, for its local clocks. `datums` are names of
    /// datums with their heights above the tide's own; the tide's own datum and, where known, mean sea level (`MSL`)
    /// are always tried. What `told` says is not varied.
    pub fn of(
        name: &str,
        text: &str,
        told: &Told,
        tide: &Tide,
        zone: &str,
        datums: &[(String, Length)],
    ) -> Result<Self> {
        let text = text.trim_start_matches('\u{feff}');
        let content = super::taken_apart(text).map_err(|e| e.within(name))?;
        let answer = match &content {
            Content::Csv => coops::of_csv(text),
            Content::Json(top) => super::of_json(top).and_then(|_| coops::of_json(top)),
            Content::Table(_) => Err(not_levels()),
        }
        .map_err(|e| e.within(name))?;
        let product = told.product.or(answer.product());
        if !matches!(product, Some(Product::WaterLevel | Product::Predictions)) {
            return Err(not_levels().within(name));
        }
        let rows = thinned(coops::bare_levels(&answer));
        let about = tide.about();
        let usual_m = match product {
            Some(Product::WaterLevel) => WEATHER_M,
            _ => about.level_error.m().max(0.01),
        };
        let mut frames: Vec<(String, Length)> = vec![(about.datum.clone(), Length::ZERO)];
        if let Some(mean) = about.mean_level {
            frames.push(("MSL".into(), mean));
        }
        for (datum, above) in datums {
            if !frames.iter().any(|f| f.0 == *datum) {
                frames.push((datum.clone(), *above));
            }
        }
        frames.retain(|f| told.datum.as_ref().is_none_or(|d| *d == f.0));
        let clocks = match &told.zone {
            Some(clock) => vec![clock.clone()],
            None => vec![Clock::Gmt, Clock::Standard(zone.into()), Clock::Local(zone.into())],
        };
        let systems = match told.units {
            Some(units) => vec![units],
            None => vec![UnitSystem::Metric, UnitSystem::English],
        };
        let mut ranked = Vec::new();
        for clock in &clocks {
            let predicted = predictions(&rows, clock, tide);
            for units in &systems {
                for (datum, above) in &frames {
                    ranked.extend(fit(&predicted, *units, clock, datum, *above, usual_m));
                }
            }
        }
        ranked.sort_by(|a, b| a.misfit.total_cmp(&b.misfit));
        let Some(best) = ranked.first().map(|f| f.misfit) else {
            return Err(Error::new(
                "none of its levels lies within the tide that was made for comparing",
                "at least one level",
                "make the tide for the file's own days, a day on either side",
            )
            .within(name));
        };
        let alike = ranked.iter().take_while(|f| f.misfit - best <= ALIKE).count();
        Ok(Self { ranked, alike })
    }

    /// The ways that cannot be told apart, best first.
    pub fn alike(&self) -> &[Fit] {
        self.ranked.get(..self.alike).unwrap_or(&self.ranked)
    }

    /// What to say: the best way, the ways that cannot be told from it, and what is still to be asked.
    pub fn words(&self) -> Vec<String> {
        let Some((best, others)) = self.alike().split_first() else { return Vec::new() };
        let mut words = vec![format!("looks like {}", best.words())];
        words.extend(others.iter().map(|f| {
            let apart = (f.difference - best.difference).mm().abs();
            format!("cannot be told apart from it ({apart:.0} mm): {}", f.words())
        }));
        if let Some(next) = self.ranked.get(self.alike) {
            words.push(format!("does not fit: {}", next.words()));
        }
        words.push(
            "this is no answer: tell what the request asked for; a residual above the wrong datum is no weather".into(),
        );
        words
    }
}

impl Fit {
    /// In one line.
    pub fn words(&self) -> String {
        format!(
            "units={}, zone={}, datum={}: {} m from the predicted tide, wandering {} mm over {} levels",
            self.units.key(),
            self.clock.words(),
            self.datum,
            significant(self.difference.m(), 3),
            significant(self.wander.mm(), 2),
            self.levels,
        )
    }
}

fn not_levels() -> Error {
    Error::new(
        "only water levels can be held against the tide",
        "a CO-OPS answer with water levels or predictions",
        "give such a file",
    )
}

/// At most [`TAKEN`] rows, evenly.
fn thinned<T: Copy>(rows: Vec<T>) -> Vec<T> {
    let step = rows.len().div_ceil(TAKEN).max(1);
    rows.into_iter().step_by(step).collect()
}

/// The file's number, the tide predicted at its instant, and the instant, by one clock.
fn predictions(
    rows: &[(DateTime, f64, Option<Water>)],
    clock: &Clock,
    tide: &Tide,
) -> Vec<(f64, f64, Timestamp)> {
    let turning =
        if rows.iter().any(|r| r.2.is_some()) { tide.turning_points(Turning::Printed) } else { Vec::new() };
    let mut before = None;
    rows.iter()
        .filter_map(|(local, value, water)| {
            let at = clock.instant(*local, before).ok()?.at;
            before = Some(at);
            // Listed waters are compared where they stand: on the slope beside them a minute would hide in millimetres.
            let level = match water {
                None => tide.predicted(at).ok()?,
                Some(kind) => {
                    let near = turning
                        .iter()
                        .filter(|p| p.water == *kind)
                        .min_by_key(|p| p.at.duration_since(at).abs())
                        .filter(|p| p.at.duration_since(at).abs().as_secs() <= 20 * 60);
                    near.map_or_else(|| tide.predicted(at).ok(), |p| Some(p.level))?
                }
            };
            Some((*value, level.m(), at))
        })
        .collect()
}

fn fit(
    predicted: &[(f64, f64, Timestamp)],
    units: UnitSystem,
    clock: &Clock,
    datum: &str,
    above: Length,
    usual_m: f64,
) -> Option<Fit> {
    let factor = if units == UnitSystem::English { crate::quantity::M_PER_FT } else { 1.0 };
    let differences: Vec<f64> =
        predicted.iter().map(|(value, level, _)| value * factor + above.m() - level).collect();
    let n = differences.len() as f64;
    let middle = differences.iter().sum::<f64>() / n;
    let wander = (differences.iter().map(|d| (d - middle) * (d - middle)).sum::<f64>() / n).sqrt();
    let (first, last) = (predicted.first()?.2, predicted.last()?.2);
    let hours = last.duration_since(first).as_secs_f64().abs() / 3600.0;
    let steady_m = (WANDER_M * WANDER_M + WANDER_M_HOUR * WANDER_M_HOUR * hours).sqrt().min(WANDER_MOST_M);
    let (a, b) = (middle / usual_m, wander / steady_m);
    let misfit = a * a + b * b;
    misfit.is_finite().then(|| Fit {
        units,
        clock: clock.clone(),
        datum: datum.into(),
        difference: Length::of_m(middle),
        wander: Length::of_m(wander),
        misfit,
        levels: differences.len(),
    })
}
