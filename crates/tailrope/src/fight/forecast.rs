//! From many endings to what the crew reads: chances with their error, and bands.

use super::ending::{Ended, Ending};
use crate::facts::Band;
use serde::Serialize;

/// A chance and its Monte Carlo error (one standard error, pairs that share unknowns counted as such).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Chance {
    /// The chance.
    pub p: f64,
    /// One standard error; never 0, for no finite number of fights proves never.
    pub error: f64,
}

/// 10, 50 and 90 % of a quantity over fights.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// One fight in ten is below.
    pub p10: f64,
    /// The middle fight.
    pub p50: f64,
    /// One fight in ten is above.
    pub p90: f64,
    /// One standard error of the middle.
    pub error50: f64,
}

/// The endings; they sum to one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Outcomes {
    /// Brought to hand.
    pub to_hand: Chance,
    /// The spool ran empty.
    pub spooled: Chance,
    /// A part let go.
    pub parted: Chance,
    /// The hook pulled out.
    pub hook_pulled: Chance,
    /// Cut at the rod.
    pub cut_at_rod: Chance,
}

/// What becomes of those brought to hand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct AtHandChances {
    /// Unhooked.
    pub unhooked: Chance,
    /// Cut at the hook or leader.
    pub cut_at_fish: Chance,
}

/// How often a part is the one that lets go.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartedBy {
    /// The part.
    pub part: String,
    /// Chance of a fight ending with it.
    pub chance: Chance,
}

/// Line left on fish that are lost with line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Trailing {
    /// The middle of those that trail any.
    pub p50: f64,
    /// One in ten trails more.
    pub p90: f64,
    /// Mean metres per hooked fish, those that trail none included.
    pub mean: f64,
}

/// How far what we do not know moves a result, apart from luck: standard deviations between nights (unknown
/// parameters) and between fights of one night.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Doubt {
    /// Standard deviation over what is unknown tonight.
    pub unknown: f64,
    /// Standard deviation from fight to fight, the unknown held.
    pub luck: f64,
}

/// What happens if such a fish takes this bait tonight.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Forecast {
    /// Fights run.
    pub fights: u64,
    /// Endings.
    pub outcomes: Outcomes,
    /// Those brought to hand, by what was done.
    pub at_hand: AtHandChances,
    /// Parts that let go, most often first; parts that never did are left out.
    pub parted_by: Vec<PartedBy>,
    /// The pull moves the angler at least once.
    pub angler_moved: Chance,
    /// Minutes to the leader in hand, of those brought to hand; none if fewer than ten were.
    pub minutes: Option<Spread>,
    /// Minutes to the end, whatever it was.
    pub minutes_any: Spread,
    /// Minutes from the leader in hand to the fish secured; none if fewer than ten were.
    pub landing_minutes: Option<Spread>,
    /// Greatest line out, m.
    pub line_out_m: Spread,
    /// Greatest tension at the hook, N.
    pub peak_n: Spread,
    /// Line left on lost fish, m; none if no fish trails any.
    pub trailing_m: Option<Trailing>,
    /// Chance of death after release of a fish brought to hand; none if none was.
    pub death_after_release: Option<Band<f64>>,
    /// Chance that the hooked fish lives, whatever the ending.
    pub alive: Band<f64>,
    /// Monte Carlo error of the central `alive`.
    pub alive_error: f64,
    /// Chance that it is brought to hand and lives.
    pub to_hand_alive: Band<f64>,
    /// What moves the chance to bring it to hand.
    pub doubt_to_hand: Doubt,
    /// What moves the minutes of fish brought to hand (of pairs where both were).
    pub doubt_minutes: Option<Doubt>,
}

impl Forecast {
    /// Sums up `endings`, which must begin with an even fight (as chunks do). `parts` names the parts, pieces
    /// of line first; `death` gives the chance of death after each ending, low, central, high.
    ///
    /// With no endings every chance is 0 with error 1/2.
    pub fn new(endings: &[Ending], parts: &[&str], death: impl Fn(&Ending) -> Band<f64>) -> Self {
        let chance = |is: &dyn Fn(&Ending) -> bool| chance(endings, is);
        let landed: Vec<&Ending> = endings.iter().filter(|e| e.ended.to_hand()).collect();
        let of_landed = |get: &dyn Fn(&Ending) -> f64| {
            (landed.len() >= 10).then(|| spread(landed.iter().map(|e| get(e)).collect()))
        };
        let of_all = |get: &dyn Fn(&Ending) -> f64| spread(endings.iter().map(get).collect());
        let mut parted_by: Vec<PartedBy> = (0..parts.len())
            .map(|k| PartedBy {
                part: parts.get(k).copied().unwrap_or_default().to_owned(),
                chance: chance(&|e| e.ended == Ended::Parted { part: k }),
            })
            .filter(|p| p.chance.p > 0.0)
            .collect();
        parted_by.sort_by(|a, b| b.chance.p.total_cmp(&a.chance.p));

        let n = endings.len().max(1) as f64;
        let deaths: Vec<Band<f64>> = endings.iter().map(death).collect();
        let mut alive = Band::exact(0.0);
        let mut to_hand_alive = Band::exact(0.0);
        let mut died = Band::exact(0.0);
        for (e, d) in endings.iter().zip(&deaths) {
            add(&mut alive, 1.0 - d.high, 1.0 - d.central, 1.0 - d.low);
            if e.ended.to_hand() {
                add(&mut to_hand_alive, 1.0 - d.high, 1.0 - d.central, 1.0 - d.low);
                add(&mut died, d.low, d.central, d.high);
            }
        }
        let lives: Vec<f64> = deaths.iter().map(|d| 1.0 - d.central).collect();
        let life = split(lives.chunks_exact(2).filter_map(pair));
        let mut trails: Vec<f64> = endings.iter().map(|e| e.trailing_m).filter(|m| *m > 0.0).collect();
        trails.sort_by(f64::total_cmp);
        let trailing_m = (!trails.is_empty()).then(|| Trailing {
            p50: quantile(&trails, 0.5),
            p90: quantile(&trails, 0.9),
            mean: trails.iter().sum::<f64>() / n,
        });
        let hand: Vec<f64> = endings.iter().map(|e| f64::from(u8::from(e.ended.to_hand()))).collect();
        Self {
            fights: endings.len() as u64,
            outcomes: Outcomes {
                to_hand: chance(&|e| e.ended.to_hand()),
                spooled: chance(&|e| e.ended == Ended::Spooled),
                parted: chance(&|e| matches!(e.ended, Ended::Parted { .. })),
                hook_pulled: chance(&|e| e.ended == Ended::HookPulled),
                cut_at_rod: chance(&|e| e.ended == Ended::CutAtRod),
            },
            at_hand: AtHandChances {
                unhooked: chance(&|e| e.ended == Ended::Unhooked),
                cut_at_fish: chance(&|e| e.ended == Ended::CutAtFish),
            },
            parted_by,
            angler_moved: chance(&|e| e.moved),
            minutes: of_landed(&|e| e.minutes),
            minutes_any: of_all(&|e| e.minutes),
            landing_minutes: of_landed(&|e| e.landing_minutes),
            line_out_m: of_all(&|e| e.line_out_m),
            peak_n: of_all(&|e| e.peak_n),
            trailing_m,
            death_after_release: (!landed.is_empty()).then(|| scaled(died, 1.0 / landed.len() as f64)),
            alive: scaled(alive, 1.0 / n),
            alive_error: ((2.0 * life.unknown * life.unknown + life.luck * life.luck) / n).sqrt(),
            to_hand_alive: scaled(to_hand_alive, 1.0 / n),
            doubt_to_hand: split(hand.chunks_exact(2).filter_map(pair)),
            doubt_minutes: minutes_doubt(endings),
        }
    }
}

fn minutes_doubt(endings: &[Ending]) -> Option<Doubt> {
    let pairs: Vec<(f64, f64)> = endings
        .chunks_exact(2)
        .filter_map(|p| match p {
            [a, b] if a.ended.to_hand() && b.ended.to_hand() => Some((a.minutes, b.minutes)),
            _ => None,
        })
        .collect();
    (pairs.len() >= 10).then(|| split(pairs.into_iter()))
}

fn pair(two: &[f64]) -> Option<(f64, f64)> {
    match two {
        [a, b] => Some((*a, *b)),
        _ => None,
    }
}

/// Variance between pairs that share what is unknown, and within them (one-way analysis of variance with two
/// fights a group; R. A. Fisher 1925).
fn split(pairs: impl Iterator<Item = (f64, f64)>) -> Doubt {
    let (mut n, mut sum, mut sum2, mut within) = (0.0, 0.0, 0.0, 0.0);
    for (a, b) in pairs {
        let mean = 0.5 * (a + b);
        n += 1.0;
        sum += mean;
        sum2 += mean * mean;
        within += 0.5 * (a - b) * (a - b);
    }
    if n < 2.0 {
        return Doubt { unknown: 0.0, luck: 0.0 };
    }
    let luck2 = within / n;
    let between = (sum2 - sum * sum / n) / (n - 1.0);
    Doubt { unknown: (between - 0.5 * luck2).max(0.0).sqrt(), luck: luck2.sqrt() }
}

fn chance(endings: &[Ending], is: &dyn Fn(&Ending) -> bool) -> Chance {
    let n = endings.len() as f64;
    let hits: Vec<f64> = endings.iter().map(|e| f64::from(u8::from(is(e)))).collect();
    let k: f64 = hits.iter().sum();
    // A rate that cannot be 0 or 1 for the error (Jeffreys 1946), and what sharing unknowns in pairs adds.
    let q = (k + 0.5) / (n + 1.0);
    let d = split(hits.chunks_exact(2).filter_map(pair));
    let all = d.unknown * d.unknown + d.luck * d.luck;
    let shared = if all > 0.0 { d.unknown * d.unknown / all } else { 0.0 };
    Chance {
        p: if n > 0.0 { k / n } else { 0.0 },
        error: (q * (1.0 - q) * (1.0 + shared) / n.max(1.0)).sqrt(),
    }
}

fn spread(mut x: Vec<f64>) -> Spread {
    x.sort_by(f64::total_cmp);
    // Error of the middle from the spread of order statistics: 1/2 a standard error either way.
    let se = 0.5 / (x.len().max(1) as f64).sqrt();
    Spread {
        p10: quantile(&x, 0.1),
        p50: quantile(&x, 0.5),
        p90: quantile(&x, 0.9),
        error50: 0.5 * (quantile(&x, 0.5 + se) - quantile(&x, 0.5 - se)),
    }
}

/// Quantile of sorted values, straight between them; 0 of none.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // an index within the slice
fn quantile(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let x = p.clamp(0.0, 1.0) * last as f64;
    let low = x.floor() as usize;
    match (sorted.get(low), sorted.get(low + 1)) {
        (Some(a), Some(b)) => a + (b - a) * (x - low as f64),
        (Some(a), None) => *a,
        _ => 0.0,
    }
}

fn add(to: &mut Band<f64>, low: f64, central: f64, high: f64) {
    to.low += low;
    to.central += central;
    to.high += high;
}

fn scaled(b: Band<f64>, k: f64) -> Band<f64> {
    b.map(|x| x * k)
}
