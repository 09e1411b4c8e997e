//! A bait that soaks on the bottom: what line, current and bait pull on whatever anchors it, and the current at
//! which it walks.
//!
//! The line by [`Pieces`], the bait as a body in the current at its own height. Steady: where waves stir, give a
//! current with the orbital speed added, which is the load at its peak (upper bound). The anchor is held against
//! the level pull; an upward pull lowers what sand holds, and no figure for that was found: it is shown apart.

use super::vector::{norm, times};
use super::{Pieces, Place, Pull, Shape, Stream};
use crate::quantity::{Area, Force, Length};
use crate::{Error, Result};

/// Currents tried on the way to the one at which a bait walks.
const TRIES: i32 = 12;

/// How the rod's end of the line is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Keep {
    /// Line is given and taken so that the tip feels this tension.
    Tension(Force),
    /// The reel is locked with this length of (unstretched) line between tip and anchor.
    Length(Length),
}

/// A line from rod tip to a bait on the bottom.
#[derive(Clone, Debug, PartialEq)]
pub struct Soak {
    /// The line, from the bait to the rod.
    pub line: Pieces,
    /// Rod tip.
    pub rod: Place,
    /// Bait and anchor.
    pub bait: Place,
    /// How the line is kept at the rod.
    pub keep: Keep,
    /// Drag coefficient of the bait ([`super::CD_BROADSIDE`]).
    pub bait_cd: f64,
    /// Area on which it counts.
    pub bait_area: Area,
}

/// What the anchor of a soaking bait must resist.
#[derive(Clone, Debug, PartialEq)]
pub struct SoakLoad {
    /// The line between anchor (end A) and rod tip.
    pub line: Shape,
    /// Pull of the current on the bait.
    pub bait: Pull,
    /// Line and bait together, along the bottom.
    pub level: Force,
    /// Upward pull of the line; below zero it presses the anchor down.
    pub uplift: Force,
}

/// When a bait walks, against the current it was asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Walk {
    /// Even without current: the rod alone pulls it.
    Already,
    /// At so many times the current asked for. Beyond it the line may also stream away.
    At(f64),
    /// Not up to the multiple asked for.
    Holds,
}

impl Soak {
    /// Shape of the line and load on the anchor in a current.
    pub fn load(&self, stream: &Stream) -> Result<SoakLoad> {
        self.load_near(stream, None)
    }

    /// The same, begun from the shape of this line in a current not far from this: several times as quick.
    pub fn load_near(&self, stream: &Stream, near: Option<&Shape>) -> Result<SoakLoad> {
        let line = match self.keep {
            Keep::Tension(t) => self.line.kept_at(self.bait, self.rod, t, stream, near)?,
            Keep::Length(l) => self.line.fixed(self.bait, self.rod, l, stream, near)?,
        };
        let bait = self.bait_pull(stream);
        let both = Pull { x: line.at_a.x + bait.x, y: line.at_a.y + bait.y, z: Force::ZERO };
        Ok(SoakLoad { bait, level: both.size(), uplift: line.at_a.z + bait.z, line })
    }

    /// Pull of a stream on the bait.
    pub fn bait_pull(&self, stream: &Stream) -> Pull {
        let (water, u) = stream.at(self.bait.z.m());
        let drag = 0.5 * water.density.kg_m3() * self.bait_cd * self.bait_area.m2() * norm(u);
        Pull::of(times(u, drag))
    }

    /// At what multiple of `stream`, up to `most`, the load along the bottom reaches `hold`. A line that streams
    /// away counts as walking. Accurate to a thousandth of `most`.
    pub fn walks_at(&self, stream: &Stream, hold: Force, most: f64) -> Result<Walk> {
        if !(most.is_finite() && most > 0.0 && hold.n().is_finite()) {
            return Err(Error::new(
                format!("a hold of {} N up to {most} times the current", hold.n()),
                "a hold and a multiple above zero",
                "give what the anchor holds",
            ));
        }
        // A tight line is refused only where it streams away: that is walking. A locked slack one is refused
        // only where too little water moves to give it a shape: that pulls nothing.
        let refused_walks = match self.keep {
            Keep::Tension(t) => {
                self.load(&stream.clone().scaled(0.0))?;
                if t >= hold {
                    return Ok(Walk::Already);
                }
                true
            }
            Keep::Length(_) => {
                self.load(&stream.clone().scaled(most))?;
                false
            }
        };
        let mut last: Option<Shape> = None;
        let mut walks = |k: f64| match self.load_near(&stream.clone().scaled(k), last.as_ref()) {
            Ok(load) => {
                let beyond = load.level >= hold;
                last = Some(load.line);
                beyond
            }
            Err(_) => refused_walks,
        };
        let (mut low, mut high) = (0.0, None);
        for i in 1..=TRIES {
            let k = most * f64::from(i) / f64::from(TRIES);
            if walks(k) {
                high = Some(k);
                break;
            }
            low = k;
        }
        let Some(mut high) = high else { return Ok(Walk::Holds) };
        while high - low > 1e-3 * most {
            let mid = 0.5 * (low + high);
            if walks(mid) { high = mid } else { low = mid }
        }
        Ok(Walk::At(low))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Density, Pressure, Speed};
    use crate::water::{
        Belly, CD_BROADSIDE, CT_MONO, Cable, NormalLaw, Strand, Velocity, Water, bait_broadside,
        normal_drag_per_m,
    };
    use proptest::prelude::*;

    fn cable(mm: f64, strum: f64) -> Cable {
        let strand =
            Strand::new(Length::of_mm(mm), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0)).unwrap();
        Cable { strand, normal: NormalLaw::Current { strum }, ct: CT_MONO }
    }
    fn soak(mm: f64, strum: f64, keep: Keep) -> Soak {
        let place = |x, z| Place::new(Length::of_m(x), Length::ZERO, Length::of_m(z));
        Soak {
            line: Pieces::one(cable(mm, strum)),
            rod: place(0.0, -0.01),
            bait: place(180.0, -4.0),
            keep,
            bait_cd: CD_BROADSIDE,
            bait_area: Area::of_m2(0.09 * 0.35),
        }
    }
    fn across(mps: f64) -> Stream {
        Stream::uniform(Water::SEA, Velocity::level(Speed::ZERO, Speed::of_mps(mps)))
    }

    /// BAIT-3 and BAIT-4 are this without stretch, weight and skin friction: within a hundredth, the belly within two.
    #[test]
    fn agrees_with_the_closed_belly() {
        for (strum, resultant) in [(1.0, 29.28), (1.7, 30.49)] {
            let load = soak(0.9, strum, Keep::Tension(Force::of_n(25.0))).load(&across(0.6)).unwrap();
            assert!((load.level.n() / resultant - 1.0).abs() < 0.01, "{} {resultant}", load.level.n());
            let drag = normal_drag_per_m(Length::of_mm(0.9), Speed::of_mps(0.6), strum, Water::SEA);
            let belly = Belly::at_tension(Length::of_m(180.0), Force::of_n(25.0), drag).unwrap();
            let bait = bait_broadside(
                CD_BROADSIDE,
                Length::of_mm(90.0),
                Length::of_mm(350.0),
                Speed::of_mps(0.6),
                Water::SEA.density,
            );
            assert!((load.bait.size().n() / bait.n() - 1.0).abs() < 1e-12);
            assert!((load.line.belly().m() / belly.sag.m() - 1.0).abs() < 0.02, "{}", load.line.belly().m());
        }
    }

    #[test]
    fn walks_where_the_load_meets_the_hold() {
        let s = soak(0.9, 1.7, Keep::Length(Length::of_m(183.0)));
        let hold = Force::of_n(15.0);
        let Walk::At(k) = s.walks_at(&across(1.0), hold, 1.5).unwrap() else { panic!("walks somewhere") };
        assert!((s.load(&across(k)).unwrap().level.n() / hold.n() - 1.0).abs() < 0.02, "{k}");
        let thin = soak(0.5, 1.7, Keep::Length(Length::of_m(183.0)));
        let Walk::At(later) = thin.walks_at(&across(1.0), hold, 1.5).unwrap() else {
            panic!("walks somewhere")
        };
        assert!(later > k, "thin line lets the bait lie in more current: {later} {k}");
        let tight = soak(0.9, 1.7, Keep::Tension(Force::of_n(25.0)));
        assert_eq!(tight.walks_at(&across(1.0), hold, 1.5).unwrap(), Walk::Already);
        assert_eq!(s.walks_at(&across(0.05), hold, 1.0).unwrap(), Walk::Holds);
        assert!(s.walks_at(&across(0.05), hold, f64::NAN).is_err());
        let nowhere = Soak { rod: tight.bait, ..tight.clone() };
        assert!(nowhere.walks_at(&across(1.0), hold, 1.5).is_err());
        assert!(Soak { rod: s.bait, ..s.clone() }.walks_at(&across(1.0), hold, 1.5).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]
        #[test]
        fn more_current_thicker_line_bigger_bait_never_lower_the_load(
            u in 0.1..0.8f64, mm in 0.4..1.1f64, locked in any::<bool>(), more in 1.05..1.5f64,
        ) {
            let keep = if locked { Keep::Length(Length::of_m(184.0)) } else { Keep::Tension(Force::of_n(30.0)) };
            let level = |u: f64, mm: f64, bait: f64| {
                let mut s = soak(mm, 1.0, keep);
                s.bait_area = Area::of_m2(0.03 * bait);
                // Neither weight nor stiffness is compared: a heavy line hangs steeper and lifts more than it drags.
                let strand = Strand::with_stiffness(Length::of_mm(mm), Density::of_kg_m3(1025.0), Force::of_n(1300.0)).unwrap();
                s.line = Pieces::one(Cable { strand, ..cable(mm, 1.0) });
                s.load(&across(u)).unwrap().level.n()
            };
            let base = level(u, mm, 1.0) * (1.0 - 1e-6);
            prop_assert!(level(u * more, mm, 1.0) >= base);
            prop_assert!(level(u, mm * more, 1.0) >= base);
            prop_assert!(level(u, mm, more) >= base);
        }
    }
}
