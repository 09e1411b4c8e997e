//! The hold through the tide: a current that turns and changes while the bait lies.
//!
//! A current is typed as it was measured or told (`0h:0.2m/s, 2h:0.6m/s`), or made from the tide: its greatest strength,
//! which a crew takes from a float, times how fast the level rises or falls over the fastest of that day. That it turns
//! with the level is so on few open coasts: there it may turn hours earlier or later. The share of the soak that holds is a
//! share of a *band*, least and greatest load against least and greatest hold, and no probability.

use super::grip::Grip;
use super::lie::{Ask, Lying};
use super::waves::load_with;
use crate::facts::{Band, Known};
use crate::quantity::{Force, Quantity, Span, Speed};
use crate::sea::tide::Tide;
use crate::tackle::Tables;
use crate::{Error, Result};
use core::str::FromStr;
use jiff::{SignedDuration, Timestamp};

/// Steps of a soak: ten minutes each.
pub const STEP: Span = Span::of_min(10.0);
/// Longest soak, in those steps.
const MOST_STEPS: f64 = 300.0;
/// Hours either side in which the fastest rise or fall is sought.
const DAY_H: i64 = 13;

/// The current at a time of the soak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flow {
    /// Since the bait was put out.
    pub at: Span,
    /// Along the beach, positive down-current.
    pub along: Speed,
    /// Out to sea.
    pub out: Speed,
}

/// A current typed as it changes: `0h:0.2m/s,2h:0.6m/s,4h:-0.1m/s`.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed(Vec<(Span, Speed)>);

impl FromStr for Typed {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let shown: String = text.chars().take(60).collect();
        let what = "times since the cast and currents, like 0h:0.2m/s,2h:0.6m/s";
        let refuse = || Error::new(format!("`{shown}` is no run of currents"), what, "times must rise");
        let mut all: Vec<(Span, Speed)> = Vec::new();
        for part in text.split(',') {
            let (at, speed) = part.split_once(':').ok_or_else(refuse)?;
            let (at, speed): (Span, Speed) = (at.trim().parse()?, speed.trim().parse()?);
            speed.within("a current", Speed::of_mps(-3.0), Speed::of_mps(3.0))?;
            let rises = (0.0..=1e6).contains(&at.s()) && all.last().is_none_or(|l| at > l.0);
            if !rises || all.len() >= 300 {
                return Err(refuse());
            }
            all.push((at, speed));
        }
        Ok(Self(all))
    }
}

impl Typed {
    /// The current along the beach at a time: straight between what was typed, and as the first and last beyond.
    pub fn at(&self, t: Span) -> Speed {
        let mut before: Option<(Span, Speed)> = None;
        for (at, speed) in &self.0 {
            if *at >= t {
                let Some((t0, v0)) = before else { return *speed };
                let k = (t - t0).s() / (*at - t0).s();
                return v0 + (*speed - v0) * k;
            }
            before = Some((*at, *speed));
        }
        before.map_or(Speed::ZERO, |b| b.1)
    }

    /// Step by step over a soak, every typed time among the steps: no peak is passed over.
    pub fn over(&self, soak: Span) -> Result<Vec<Flow>> {
        let mut all = steps(soak)?;
        all.extend(self.0.iter().map(|(at, _)| *at).filter(|at| *at <= soak));
        all.sort_by(|a, b| a.s().total_cmp(&b.s()));
        all.dedup();
        Ok(all.into_iter().map(|at| Flow { at, along: self.at(at), out: Speed::ZERO }).collect())
    }
}

/// Times of a soak, ten minutes apart, and its end.
fn steps(soak: Span) -> Result<Vec<Span>> {
    soak.within("the soak", Span::of_min(1.0), STEP * MOST_STEPS).map_err(|e| e.within("soak"))?;
    let mut all = Vec::new();
    let mut t = Span::ZERO;
    while t < soak {
        all.push(t);
        t = t + STEP;
    }
    all.push(soak);
    Ok(all)
}

/// A current that stays as it is.
pub fn steady(along: Speed, out: Speed, soak: Span) -> Result<Vec<Flow>> {
    Ok(steps(soak)?.into_iter().map(|at| Flow { at, along, out }).collect())
}

/// The current of a tide whose greatest strength is known, positive while it floods if `flood_down` holds.
///
/// # Errors
/// A soak longer than 50 h, a tide that does not cover it.
pub fn by_tide(
    tide: &Tide,
    from: Timestamp,
    soak: Span,
    strongest: Speed,
    flood_down: bool,
) -> Result<Vec<Flow>> {
    let later = |t: Span| {
        #[allow(clippy::cast_possible_truncation)] // hours in seconds
        let by = SignedDuration::from_secs(t.s() as i64);
        from.checked_add(by).unwrap_or(from)
    };
    let fastest = {
        let begin = from.checked_sub(SignedDuration::from_hours(DAY_H)).unwrap_or(from);
        let mut most = 0.0_f64;
        for i in 0..(DAY_H * 2 * 4) {
            let at = begin.checked_add(SignedDuration::from_mins(i * 15)).unwrap_or(begin);
            // A table ends somewhere: what it does not cover is not looked at.
            if let Ok(rate) = tide.rate(at) {
                most = most.max(rate.mps().abs());
            }
        }
        most
    };
    if fastest <= 0.0 {
        return Err(Error::new(
            "this tide does not rise or fall",
            "a tide with a day around the soak",
            "give the current by a float: --current 0.4m/s",
        ));
    }
    let sign = if flood_down { 1.0 } else { -1.0 };
    steps(soak)?
        .into_iter()
        .map(|at| {
            let share = (tide.rate(later(at))?.mps() / fastest).clamp(-1.0, 1.0);
            Ok(Flow { at, along: strongest * (share * sign), out: Speed::ZERO })
        })
        .collect()
}

/// A step of the soak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// The current then.
    pub flow: Flow,
    /// Load on the sinker, waves included where they are known.
    pub load: Band<Known<Force>>,
    /// Whether it holds: at the worst of the bands, in the middle, at the best.
    pub holds: Band<bool>,
}

/// The hold through the soak.
#[derive(Clone, Debug, PartialEq)]
pub struct Through {
    /// Step by step.
    pub steps: Vec<Step>,
    /// Share of the soak in which it holds: at the worst of the bands (low), in the middle, at the best (high).
    pub share: Band<f64>,
    /// When it first walks: at the worst of the bands, in the middle; nothing if it holds to the end.
    pub walks_from: (Option<Span>, Option<Span>),
    /// The step with the greatest load.
    pub worst: Option<Step>,
}

/// Follows the hold through a soak. `shoreward` is the orbital speed that waves add, with the share the line feels.
///
/// # Errors
/// A line that no current of a beach can be asked of.
pub fn through(
    ask: &Ask,
    flows: &[Flow],
    grip: Option<&Grip>,
    shoreward: Option<(Speed, f64)>,
    tables: &Tables,
) -> Result<Through> {
    ask.check()?;
    let mut last: Option<Lying> = None;
    let mut steps: Vec<Step> = Vec::with_capacity(flows.len());
    let soaks = [ask.soak(tables, 0)?, ask.soak(tables, 1)?, ask.soak(tables, 2)?];
    for flow in flows {
        let now = Ask { along: flow.along, out: flow.out, ..ask.clone() };
        let stream = now.stream(now.along, now.out)?;
        let mut held = [Known::Unknown, Known::Unknown, Known::Unknown];
        for (which, (soak, to)) in soaks.iter().zip(&mut held).enumerate() {
            let near = last.as_ref().and_then(|l| l.held.get(which)).and_then(Known::as_ref);
            let load = soak.load_near(&stream, near.map(|h| &h.load.line));
            *to = load.ok().map(|l| now.held(which, l)).into();
        }
        let lying = Lying { strum: ask.strums(), held };
        let load = match shoreward {
            Some((orbital, share)) => {
                let with = load_with(&now, tables, &lying, orbital, share)?;
                worse(with, lying.load())
            }
            None => lying.load(),
        };
        let holds = Band {
            low: grip.is_some_and(|g| load.high.get().is_some_and(|l| g.hold.low >= l)),
            central: grip.is_some_and(|g| load.central.get().is_some_and(|l| g.hold.central >= l)),
            high: grip.is_some_and(|g| load.low.get().is_some_and(|l| g.hold.high >= l)),
        };
        steps.push(Step { flow: *flow, load, holds });
        last = Some(lying);
    }
    // A part of the soak holds if both its ends do.
    let share = |holds: fn(&Step) -> bool| {
        let (mut held, mut all) = (0.0, 0.0);
        for pair in steps.windows(2) {
            let [a, b] = pair else { continue };
            let t = (b.flow.at - a.flow.at).s();
            all += t;
            held += if holds(a) && holds(b) { t } else { 0.0 };
        }
        if all > 0.0 { held / all } else { f64::from(u8::from(steps.iter().all(holds))) }
    };
    let first = |holds: fn(&Step) -> bool| steps.iter().find(|s| !holds(s)).map(|s| s.flow.at);
    let size = |s: &&Step| s.load.central.get().map_or(f64::INFINITY, Force::n);
    let worst = steps.iter().max_by(|a, b| size(a).total_cmp(&size(b))).copied();
    Ok(Through {
        share: Band {
            low: share(|s| s.holds.low),
            central: share(|s| s.holds.central),
            high: share(|s| s.holds.high),
        },
        walks_from: (first(|s| s.holds.low), first(|s| s.holds.central)),
        worst,
        steps,
    })
}

/// The greater of two bands; what is unknown in one has no bound.
pub(super) fn worse(a: Band<Known<Force>>, b: Band<Known<Force>>) -> Band<Known<Force>> {
    let up = |a: Known<Force>, b: Known<Force>| match (a, b) {
        (Known::Known(a), Known::Known(b)) => Known::Known(a.max(b)),
        _ => Known::Unknown,
    };
    Band { low: up(a.low, b.low), central: up(a.central, b.central), high: up(a.high, b.high) }
}

#[cfg(test)]
mod tests {
    use super::super::grip::{Sinker, SinkerSet};
    use super::super::lie::tests::{ask, tables};
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::tackle::Material;
    use proptest::prelude::*;

    fn grip(set: SinkerSet) -> Grip {
        let sinker = Sinker { wires: Known::Known(4), set: Known::Known(set), ..Sinker::default() };
        sinker.grip(Force::ZERO, &shipped()).get().unwrap()
    }

    #[test]
    fn a_run_of_currents_is_read_and_joined() {
        let t: Typed = "0h:0.2m/s, 2h:0.6m/s,4h:-0.2m/s".parse().unwrap();
        let at = |h: f64| t.at(Span::of_h(h)).mps();
        assert!(
            (at(1.0) - 0.4).abs() < 1e-12 && (at(3.0) - 0.2).abs() < 1e-12 && (at(9.0) + 0.2).abs() < 1e-12
        );
        let flows = t.over(Span::of_h(4.0)).unwrap();
        assert_eq!(flows.len(), 25);
        // A peak of minutes between two steps is met.
        let brief: Typed = "0h:0m/s,61min:0m/s,65min:0.9m/s,69min:0m/s,2h:0m/s".parse().unwrap();
        let flows = brief.over(Span::of_h(2.0)).unwrap();
        assert_eq!(flows.len(), 13 + 3);
        assert!(flows.iter().any(|f| (f.along.mps() - 0.9).abs() < 1e-12));
        assert!(flows.windows(2).all(|w| w[0].at < w[1].at));
        for bad in ["", "0h", "2h:0.1m/s,1h:0.1m/s", "0h:0.1kg", "0h:9m/s", "-1h:0.1m/s"] {
            assert!(bad.parse::<Typed>().is_err(), "{bad}");
        }
        assert!(t.over(Span::of_h(99.0)).is_err());
    }

    #[test]
    fn it_walks_when_the_tide_runs_and_not_before() {
        let tables = tables();
        let a = ask(120.0, 0.4, Material::HmpeBraid, 0.0, 6.0);
        let t: Typed = "0h:0.02m/s,3h:0.45m/s,6h:0.02m/s".parse().unwrap();
        let flows = t.over(Span::of_h(6.0)).unwrap();
        let half = through(&a, &flows, Some(&grip(SinkerSet::Half)), None, &tables).unwrap();
        let well = through(&a, &flows, Some(&grip(SinkerSet::Well)), None, &tables).unwrap();
        assert!(half.share.low <= half.share.central && half.share.central <= half.share.high);
        assert!(well.share.central > half.share.central && well.share.low >= half.share.low);
        let worst = half.worst.unwrap();
        assert!((worst.flow.at.h() - 3.0).abs() < 0.2, "{:?}", worst.flow.at);
        let none = through(&a, &flows, None, None, &tables).unwrap();
        assert_eq!(none.share.high, 0.0, "an unknown sinker is never said to hold");
        // Step by step it is what the single question gives.
        let single = Ask { along: worst.flow.along, ..a }.lie(&tables).unwrap().load();
        let (one, two) = (single.central.get().unwrap(), worst.load.central.get().unwrap());
        assert!((one / two - 1.0).abs() < 1e-4, "{one:?} {two:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(6))]
        #[test]
        fn more_hold_never_walks_sooner(b in 60.0..180.0f64, u in 0.1..0.5f64, n in 2.0..30.0f64, more in 1.0..2.0f64) {
            let tables = tables();
            let a = ask(b, 0.5, Material::HmpeBraid, 0.0, 8.0);
            let t: Typed = format!("0h:0m/s,2h:{u}m/s").parse().unwrap();
            let flows = t.over(Span::of_h(2.0)).unwrap();
            let of = |n: f64| {
                let sinker = Sinker { pull_test: Known::Known(Force::of_n(n)), ..Sinker::default() };
                let grip = sinker.grip(Force::ZERO, &shipped()).get().unwrap();
                through(&a, &flows, Some(&grip), None, &tables).unwrap()
            };
            let (weak, strong) = (of(n), of(n * more));
            let time = |t: Option<Span>| t.map_or(f64::INFINITY, Span::s);
            prop_assert!(time(strong.walks_from.0) >= time(weak.walks_from.0));
            prop_assert!(time(strong.walks_from.1) >= time(weak.walks_from.1));
            prop_assert!(strong.share.low >= weak.share.low && strong.share.high >= weak.share.high);
        }
    }
}
