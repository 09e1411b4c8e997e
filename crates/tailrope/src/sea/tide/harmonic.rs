//! The sum of harmonics, prepared for a stretch of time: plain for one level, by [`Sweep`] for many.

use super::astro::{Arguments, Factors, speed_deg_h};
use super::constituent::{self, CONSTITUENTS, Constituent};
use super::sweep::{BLOCK, Of, Steps, Sweep};
use crate::math::{cos, sin};
use serde::{Deserialize, Serialize};

/// When node factors are renewed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NodeRule {
    /// Once a calendar year (UTC), from its middle: what agrees best with the US agency's own tables. The
    /// level steps by up to 14 mm at new year.
    #[default]
    MidYear,
    /// Every day, from its noon.
    Daily,
}

/// Which of a station's constituents are reckoned.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Constituents {
    /// All whose argument is known, read as their source means them.
    #[default]
    All,
    /// Only the 37 of the US agency's tables, read as that agency does: for comparing with what others reckoned
    /// from those.
    Agency,
}

/// One constituent at one place, as its source gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Constant {
    /// Its position ([`constituent::find`]).
    pub index: usize,
    /// Amplitude, m.
    pub amplitude_m: f64,
    /// Greenwich phase lag, degrees.
    pub lag_deg: f64,
}

/// Constituents with the node settled, side by side so that neighbours are reckoned together. Their clock
/// begins with their epoch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Waves<'a> {
    pub amplitude_m: &'a [f64],
    pub speed_rad_s: &'a [f64],
    pub phase_rad: &'a [f64],
}

impl Waves<'_> {
    fn angles(&self, t: f64) -> impl Iterator<Item = (f64, f64, f64)> {
        let Self { amplitude_m, speed_rad_s, phase_rad } = self;
        amplitude_m.iter().zip(*speed_rad_s).zip(*phase_rad).map(move |((a, w), p)| (*a, *w, p + w * t))
    }
}

/// A stretch over which the node is held.
#[derive(Clone, Copy, Debug)]
pub(super) struct Epoch<'a> {
    pub from_s: f64,
    pub to_s: f64,
    pub waves: Waves<'a>,
}

impl Epoch<'_> {
    /// Level about the mean, m.
    pub fn level_m(&self, unix_s: f64) -> f64 {
        self.waves.angles(unix_s - self.from_s).map(|(a, _, x)| a * cos(x)).sum()
    }

    /// How fast it rises, m/s.
    pub fn rate_m_s(&self, unix_s: f64) -> f64 {
        -self.waves.angles(unix_s - self.from_s).map(|(a, w, x)| a * w * sin(x)).sum::<f64>()
    }
}

/// What a stretch of held nodes keeps.
#[derive(Clone, Debug)]
struct Held {
    from_s: f64,
    to_s: f64,
    amplitude_m: Vec<f64>,
    phase_rad: Vec<f64>,
}

impl Held {
    fn new(constants: &[(Constituent, Constant)], from_s: f64, to_s: f64, node_s: f64) -> Self {
        let (start, factors) = (Arguments::at(from_s), Factors::at(node_s));
        let (amplitude_m, phase_rad) = constants
            .iter()
            .map(|(c, k)| {
                let (f, u) = factors.of(c);
                let phase = start.v_deg(c) + u - k.lag_deg;
                (f * k.amplitude_m, (phase - 360.0 * (phase / 360.0).floor()).to_radians())
            })
            .unzip();
        Self { from_s, to_s, amplitude_m, phase_rad }
    }
}

/// Harmonic constants made ready for a stretch of time.
#[derive(Clone, Debug)]
pub(super) struct Harmonic {
    pub mean_m: f64,
    speed_rad_s: Vec<f64>,
    held: Vec<Held>,
}

/// A source's constants, each with its constituent, read as `which` says.
pub(super) fn read(
    constants: &[Constant],
    source: &str,
    which: Constituents,
) -> Vec<(Constituent, Constant)> {
    let wanted = |k: &&Constant| which == Constituents::All || k.index < CONSTITUENTS.len();
    let read = |k: &Constant| {
        let c = constituent::get(k.index)?;
        let (factor, added_deg) = match which {
            Constituents::All => constituent::correction(source, c.name),
            Constituents::Agency => (1.0, 0.0),
        };
        let amplitude_m = k.amplitude_m * c.scale * factor;
        (amplitude_m != 0.0).then_some((c, Constant { amplitude_m, lag_deg: k.lag_deg + added_deg, ..*k }))
    };
    constants.iter().filter(wanted).filter_map(read).collect()
}

/// First second (Unix) of a calendar year and of the next, and the year's middle, UTC.
fn year_bounds(unix_s: f64) -> (f64, f64, f64) {
    // Days from the civil calendar (proleptic Gregorian), counted from 1 March of year 0.
    let days = (unix_s / 86400.0).floor();
    let first = |year: f64| {
        let y = year - 1.0;
        365.0 * y + (y / 4.0).floor() - (y / 100.0).floor() + (y / 400.0).floor() - 719162.0
    };
    let mut year = 1970.0 + (days / 365.2425).floor();
    while first(year) > days {
        year -= 1.0;
    }
    while first(year + 1.0) <= days {
        year += 1.0;
    }
    let (from, to) = (first(year) * 86400.0, first(year + 1.0) * 86400.0);
    // 2 July 12:00, the instant for which the agencies' node tables are made.
    (from, to, to - 182.5 * 86400.0)
}

impl Harmonic {
    /// Prepares every epoch that `from_s..=to_s` (Unix seconds) touches.
    pub fn new(
        mean_m: f64,
        constants: &[(Constituent, Constant)],
        rule: NodeRule,
        from_s: f64,
        to_s: f64,
    ) -> Self {
        let mut held = Vec::new();
        let mut at = from_s;
        while at <= to_s {
            let (from, to, node) = match rule {
                NodeRule::MidYear => year_bounds(at),
                NodeRule::Daily => {
                    let day = 86400.0 * (at / 86400.0).floor();
                    (day, day + 86400.0, day + 43200.0)
                }
            };
            held.push(Held::new(constants, from, to, node));
            at = to;
        }
        let speeds = constants.iter().map(|(c, _)| (speed_deg_h(c) / 3600.0).to_radians());
        Self { mean_m, speed_rad_s: speeds.collect(), held }
    }

    fn epoch_of<'a>(&'a self, held: &'a Held) -> Epoch<'a> {
        let Held { from_s, to_s, amplitude_m, phase_rad } = held;
        let waves = Waves { amplitude_m, speed_rad_s: &self.speed_rad_s, phase_rad };
        Epoch { from_s: *from_s, to_s: *to_s, waves }
    }

    /// The epoch of an instant; the nearest one outside the prepared stretch.
    fn epoch(&self, unix_s: f64) -> Option<Epoch<'_>> {
        let i = self.held.partition_point(|e| e.to_s <= unix_s);
        self.held.get(i).or(self.held.last()).map(|held| self.epoch_of(held))
    }

    /// What a sweep in steps of `step_s` needs.
    pub fn steps(&self, step_s: f64) -> Steps<'_> {
        Steps::new(&self.speed_rad_s, step_s)
    }

    /// Level above the datum, m.
    pub fn level_m(&self, unix_s: f64) -> f64 {
        self.epoch(unix_s).map_or(self.mean_m, |e| self.mean_m + e.level_m(unix_s))
    }

    /// How fast the level rises, m/s.
    pub fn rate_m_s(&self, unix_s: f64) -> f64 {
        self.epoch(unix_s).map_or(0.0, |e| e.rate_m_s(unix_s))
    }

    /// Levels above the datum at `count` instants from `from_s` on, `step_s` (positive) apart.
    pub fn levels_m(&self, from_s: f64, step_s: f64, count: usize) -> Vec<f64> {
        let mut out = Vec::with_capacity(count);
        let steps = self.steps(step_s);
        while out.len() < count {
            let at = from_s + step_s * out.len() as f64;
            let Some(epoch) = self.epoch(at) else { break };
            let mut left = count - out.len();
            // Beyond the last epoch, and at its rounded edge, go on with it.
            if self.held.last().is_some_and(|last| last.to_s > epoch.to_s) {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, then clamped
                let within = ((epoch.to_s - at) / step_s).ceil() as usize;
                left = within.clamp(1, left);
            }
            let mut sweep = Sweep::new(&steps, epoch.waves, Of::Level, at - epoch.from_s);
            while left > 0 {
                let block = sweep.next_block();
                let wanted = left.min(BLOCK);
                out.extend(block.iter().take(wanted).map(|x| self.mean_m + x));
                left -= wanted;
            }
        }
        out.resize(count, self.mean_m);
        out
    }

    /// The epochs that touch `from_s..to_s`, each with its part of that stretch.
    pub fn epochs(&self, from_s: f64, to_s: f64) -> impl Iterator<Item = (Epoch<'_>, f64, f64)> {
        let (first, last) = (self.held.first(), self.held.last());
        self.held.iter().filter_map(move |e| {
            let from = if first.is_some_and(|f| f.from_s < e.from_s) { from_s.max(e.from_s) } else { from_s };
            let to = if last.is_some_and(|l| l.to_s > e.to_s) { to_s.min(e.to_s) } else { to_s };
            (from < to).then_some((self.epoch_of(e), from, to))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn years_begin_where_the_calendar_says() {
        let second = |t: &str| t.parse::<jiff::Timestamp>().unwrap().as_second() as f64;
        for year in [1900, 1970, 2000, 2026, 2027, 2028, 2100] {
            let (from, to, middle) = year_bounds(second(&format!("{year}-08-03T01:00Z")));
            assert_eq!(from, second(&format!("{year}-01-01T00:00Z")));
            assert_eq!(to, second(&format!("{}-01-01T00:00Z", year + 1)));
            assert_eq!(middle, second(&format!("{year}-07-02T12:00Z")));
            assert_eq!(year_bounds(from).0, from);
            assert_eq!(year_bounds(from - 1.0).1, from);
        }
    }

    #[test]
    fn the_rate_is_the_slope_of_the_level() {
        let constants = [
            Constant { index: 0, amplitude_m: 0.6, lag_deg: 100.0 },
            Constant { index: 3, amplitude_m: 0.2, lag_deg: 30.0 },
        ];
        let constants = read(&constants, "", Constituents::All);
        let h = Harmonic::new(0.3, &constants, NodeRule::Daily, 1.79e9, 1.79e9 + 2.0e5);
        for i in 0..40 {
            let t = 1.79e9 + 4321.0 * f64::from(i);
            let slope = (h.level_m(t + 30.0) - h.level_m(t - 30.0)) / 60.0;
            assert!((slope - h.rate_m_s(t)).abs() < 1e-8, "{slope} {}", h.rate_m_s(t));
        }
    }
}
