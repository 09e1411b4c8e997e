//! How a line and its bait lie in a current, and what that asks of the sinker.
//!
//! Model: the cable of [`crate::water`] from bait to rod tip, its drag coefficient at the Reynolds number of the current
//! ([`NormalLaw::Current`](crate::water::NormalLaw::Current)), times the strumming of a taut line: nobody measured that on
//! fishing line, so the answer is a band, still line to loudest. The bait adds its own drag. Axes: x out to sea from the
//! rod, y along the beach, z up from the water.
//!
//! Where depth or height of the tip are not known the whole line counts as in the water: the safe side, since what hangs in
//! the air drags nothing. Limits: steady water; one straight bed, no line lying on it ([`Held::on_bed`] says where it would);
//! no seaweed, of which a little doubles all this.

use super::bait::Bait;
use super::bits::{Bit, pieces};
use crate::facts::{Band, Known};
use crate::math::atan2;
use crate::quantity::{Angle, Force, Length, Quantity, Speed};
use crate::tackle::Tables;
use crate::water::{Keep, Place, Pull, Shape, Soak, SoakLoad, Stream, Velocity, Walk, Water, strum_band};
use crate::{Error, Result};

/// Fastest current asked about: beyond it nothing on a beach holds.
pub const FASTEST: Speed = Speed::of_mps(3.0);
/// Depth at which the line is laid where nobody knows it: all of it in the water.
const SOMEWHERE_UNDER: Length = Length::of_m(1.0);

/// How the current runs with depth.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Profile {
    /// The same from top to bed.
    #[default]
    Uniform,
    /// Slackening to the bed by the one-seventh power.
    Slackening,
    /// As measured: depth below the surface, share of the current at the surface.
    Layers(Vec<(Length, f64)>),
}

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// Straight level distance from the rod tip to the bait.
    pub distance: Length,
    /// Depth at the bait.
    pub depth: Known<Length>,
    /// Height of the rod tip above the water.
    pub tip: Known<Length>,
    /// How the rod keeps the line.
    pub keep: Keep,
    /// The line from the bait to the rod.
    pub line: Vec<Bit>,
    /// The bait.
    pub bait: Bait,
    /// Current along the beach; the way it runs is down-current.
    pub along: Speed,
    /// Current out to sea.
    pub out: Speed,
    /// How it runs with depth.
    pub profile: Profile,
    /// Strumming factor, where it is fixed; else the band of [`strum_band`].
    pub strum: Known<f64>,
    /// The water.
    pub water: Water,
}

/// A line that lies, at one strumming factor.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Strumming factor.
    pub strum: f64,
    /// Line and bait.
    pub load: SoakLoad,
    /// Pull on the sinker along the beach, positive down-current.
    pub down_current: Force,
    /// Pull on it towards the beach.
    pub shoreward: Force,
    /// Both together.
    pub level: Force,
    /// Upward pull; below zero it presses the sinker down.
    pub uplift: Force,
    /// Greatest distance of the line from the straight one, seen from above.
    pub belly: Length,
    /// Line between tip and bait as it is paid out (unstretched).
    pub line_out: Length,
    /// Angle at the bait between the line and the straight one, seen from above.
    pub arrives: Angle,
    /// Tension at the rod tip.
    pub at_rod: Force,
    /// Whether part of the line would lie below the bait's depth: it lies on the bed, and the numbers are rough.
    pub on_bed: bool,
}

/// A line that lies, from still to loudest strumming.
#[derive(Clone, Debug, PartialEq)]
pub struct Lying {
    /// Strumming factors reckoned.
    pub strum: Band<f64>,
    /// Low, middle, high; unknown where the line streams away.
    pub held: [Known<Held>; 3],
}

impl Lying {
    /// Load on the sinker: least and greatest of the three; the greatest is unknown, and without bound, if some line
    /// streams away.
    pub fn load(&self) -> Band<Known<Force>> {
        let of = |h: &Known<Held>| h.as_ref().map(|h| h.level);
        let all: Vec<Force> = self.held.iter().filter_map(of).collect();
        let low: Known<Force> = all.iter().copied().reduce(Force::min).into();
        let whole = all.len() == self.held.len();
        let high: Known<Force> = all.iter().copied().reduce(Force::max).filter(|_| whole).into();
        let central: Known<Force> = of(&self.held[1]).into();
        Band { low, central, high }
    }

    /// The middle one, or the first that lies.
    pub fn central(&self) -> Option<&Held> {
        self.held[1].as_ref().or(self.held[0].as_ref())
    }
}

impl Ask {
    /// Refuses what no line and no beach is.
    pub fn check(&self) -> Result<()> {
        let m = Length::of_m;
        self.distance.within("distance to the bait", m(3.0), m(1500.0)).map_err(|e| e.within("distance"))?;
        if let Known::Known(d) = self.depth {
            d.within("depth at the bait", m(0.1), m(300.0)).map_err(|e| e.within("depth"))?;
        }
        if let Known::Known(t) = self.tip {
            t.within("height of the rod tip", m(0.0), m(60.0)).map_err(|e| e.within("tip height"))?;
        }
        for (name, v) in [("along the beach", self.along), ("out to sea", self.out)] {
            v.within(&format!("current {name}"), Speed::of_mps(-FASTEST.mps()), FASTEST)
                .map_err(|e| e.within("current"))?;
        }
        match self.keep {
            Keep::Tension(t) => {
                t.within("tension at the rod", Force::of_n(0.5), Force::of_n(1000.0))
                    .map_err(|e| e.within("rod tension"))?;
            }
            Keep::Length(l) => {
                l.within("line out", self.distance * 0.8, self.distance * 8.0)
                    .map_err(|e| e.within("line out"))?;
            }
        }
        if let Known::Known(k) = self.strum
            && !(1.0..=4.0).contains(&k)
        {
            return Err(Error::new(
                format!("a strumming factor of {k}"),
                "1 for a still line, up to 4",
                "leave it out for the band, or write 1.7",
            )
            .within("strum"));
        }
        Ok(())
    }

    /// Strumming factors to reckon with.
    pub fn strums(&self) -> Band<f64> {
        self.strum.get().map_or_else(|| strum_band().value, Band::exact)
    }

    /// Rod tip and bait.
    pub fn ends(&self) -> (Place, Place) {
        // Without a depth a tip in the air would leave most of a level line in the air.
        let (tip, depth) = match (self.depth, self.tip) {
            (Known::Known(d), Known::Known(t)) => (t, d),
            (Known::Known(d), Known::Unknown) => (Length::of_mm(-1.0), d),
            (Known::Unknown, _) => (SOMEWHERE_UNDER * -1.0, SOMEWHERE_UNDER),
        };
        let zero = Length::ZERO;
        (Place::new(zero, zero, tip), Place::new(self.distance, zero, depth * -1.0))
    }

    /// The water with a current of this size at the surface.
    pub fn stream(&self, along: Speed, out: Speed) -> Result<Stream> {
        let at = |share: f64| Velocity::level(out * share, along * share);
        match &self.profile {
            Profile::Uniform => Ok(Stream::uniform(self.water, at(1.0))),
            Profile::Slackening => {
                let depth = self.depth.get().unwrap_or(SOMEWHERE_UNDER);
                Stream::slackening(self.water, at(1.0), depth)
            }
            Profile::Layers(layers) => {
                let mut rising: Vec<(Length, Velocity)> =
                    layers.iter().map(|(depth, share)| (*depth * -1.0, at(*share))).collect();
                rising.sort_by(|a, b| a.0.m().total_cmp(&b.0.m()));
                Stream::layered(self.water, &rising)
            }
        }
    }

    /// Line and bait as the water knows them, at one of the three strumming factors (0 low, 1 middle, 2 high).
    pub fn soak(&self, tables: &Tables, which: usize) -> Result<Soak> {
        let (rod, bait) = self.ends();
        let (cd, area) = self.bait.drag();
        let (strum, cd) = (pick(self.strums(), which), pick(cd, which));
        let line = pieces(&self.line, tables, strum)?;
        Ok(Soak { line, rod, bait, keep: self.keep, bait_cd: cd, bait_area: area })
    }

    /// How the line lies, still to loudest.
    ///
    /// # Errors
    /// What no line and no beach is; a line that streams away even if it does not strum.
    pub fn lie(&self, tables: &Tables) -> Result<Lying> {
        self.check()?;
        let stream = self.stream(self.along, self.out)?;
        let still = self.soak(tables, 0)?.load(&stream)?;
        let mut held = vec![Known::Known(self.held(0, still))];
        for which in 1..3 {
            let near = held.last().and_then(Known::as_ref).map(|h: &Held| h.load.line.clone());
            let load = self.soak(tables, which)?.load_near(&stream, near.as_ref());
            held.push(load.ok().map(|l| self.held(which, l)).into());
        }
        let mut held = held.into_iter();
        let mut next = || held.next().unwrap_or(Known::Unknown);
        Ok(Lying { strum: self.strums(), held: [next(), next(), next()] })
    }

    /// What a load says of line and sinker.
    pub(super) fn held(&self, which: usize, load: SoakLoad) -> Held {
        let down = if self.along.mps() < 0.0 { -1.0 } else { 1.0 };
        let both =
            Pull { x: load.line.at_a.x + load.bait.x, y: load.line.at_a.y + load.bait.y, z: Force::ZERO };
        let (rod, bait) = self.ends();
        Held {
            strum: pick(self.strums(), which),
            down_current: both.y * down,
            shoreward: both.x * -1.0,
            level: load.level,
            uplift: load.uplift,
            belly: belly(&load.line, bait, rod),
            line_out: load.line.length,
            arrives: arrives(&load.line, bait, rod),
            at_rod: load.line.at_b.size(),
            // A hair of sag is no line on the bed.
            on_bed: self.depth.get().is_some_and(|d| load.line.lowest().m() < -d.m() - 0.05),
            load,
        }
    }

    /// The strength of the current, and a current of that way with the strength 1 m/s; along the beach where none runs.
    fn way(&self) -> (f64, Speed, Speed) {
        let (a, o) = (self.along.mps(), self.out.mps());
        let size = (a * a + o * o).sqrt();
        if size > 0.0 {
            return (size, Speed::of_mps(a / size), Speed::of_mps(o / size));
        }
        (0.0, Speed::of_mps(1.0), Speed::ZERO)
    }

    /// The current, the same way as the one asked about, at which the bait walks off a hold.
    pub fn walks_at(&self, tables: &Tables, which: usize, hold: Force) -> Result<WalkAt> {
        let (_, along, out) = self.way();
        let unit = self.stream(along, out)?;
        Ok(match self.soak(tables, which)?.walks_at(&unit, hold, FASTEST.mps())? {
            Walk::Already => WalkAt::Already,
            Walk::At(k) => WalkAt::At(Speed::of_mps(k)),
            Walk::Holds => WalkAt::Holds,
        })
    }
}

/// When a bait walks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WalkAt {
    /// In still water: the rod alone pulls it.
    Already,
    /// From this current.
    At(Speed),
    /// Not in any current of a beach.
    Holds,
}

/// One of the three values of a band.
pub(super) fn pick(band: Band<f64>, which: usize) -> f64 {
    match which {
        0 => band.low,
        1 => band.central,
        _ => band.high,
    }
}

/// Greatest level distance of a line from the straight one.
fn belly(line: &Shape, a: Place, b: Place) -> Length {
    let (dx, dy) = ((b.x - a.x).m(), (b.y - a.y).m());
    let chord = (dx * dx + dy * dy).sqrt();
    let off = |p: Place| {
        let (x, y) = ((p.x - a.x).m(), (p.y - a.y).m());
        ((x * dy - y * dx) / chord).abs()
    };
    Length::of_m(line.points.iter().map(|p| off(p.place)).fold(0.0, f64::max))
}

/// Level angle at A between the line and the straight one to B.
fn arrives(line: &Shape, a: Place, b: Place) -> Angle {
    let (dx, dy) = ((b.x - a.x).m(), (b.y - a.y).m());
    let (fx, fy) = (line.at_a.x.n(), line.at_a.y.n());
    Angle::of_rad(atan2((fx * dy - fy * dx).abs(), fx * dx + fy * dy))
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::facts::PackText;
    use crate::hold::BaitLies;
    use crate::tackle::Material;
    use proptest::prelude::*;

    pub fn tables() -> Tables {
        Tables::read(&PackText::new("tackle.toml", include_str!("../../../../data/tackle.toml"))).unwrap()
    }

    pub fn ask(m: f64, mm: f64, material: Material, u: f64, t: f64) -> Ask {
        let bit = Bit { material, diameter: Length::of_mm(mm), length: Length::of_m(1.0) };
        Ask {
            distance: Length::of_m(m),
            depth: Known::Unknown,
            tip: Known::Unknown,
            keep: Keep::Tension(Force::of_n(t)),
            line: vec![bit],
            bait: Bait::of(Known::Unknown, Known::Unknown, &shipped()),
            along: Speed::of_mps(u),
            out: Speed::ZERO,
            profile: Profile::Uniform,
            strum: Known::Unknown,
            water: Water::SEA,
        }
    }

    fn near(ours: f64, worked: f64, share: f64) {
        assert!((ours / worked - 1.0).abs() < share, "{ours} instead of {worked}");
    }

    /// BAIT-3 and BAIT-4: 180 m of 0.9 mm, 0.6 m/s, 25 N, a bait of 350 x 90 mm across. The worked values leave out
    /// weight, stretch and skin friction.
    #[test]
    fn the_worked_bait_lies_as_worked() {
        let lying = ask(180.0, 0.9, Material::Nylon, 0.6, 25.0).lie(&tables()).unwrap();
        let bare = lying.held[0].as_ref().unwrap();
        near(bare.level.n(), 29.28, 0.002);
        let strummed = lying.held[1].as_ref().unwrap();
        near(strummed.level.n(), 30.49, 0.002);
        near(strummed.down_current.n(), 27.04, 0.002);
        near(strummed.shoreward.n(), 14.10, 0.01);
        near(strummed.belly.m(), 59.22, 0.01);
        near(strummed.arrives.deg(), 55.66, 0.01);
        // Nylon stretches by 2 %: what is paid out is so much less.
        near(strummed.line_out.m() * (1.0 + 25.0 / 1272.0), 224.3, 0.01);
        let load = lying.load();
        assert!(load.low.get() < load.central.get() && load.central.get() < load.high.get());
    }

    /// Five ounces on wires (Q38) and three hundred yards of 0.9 mm (Q40).
    #[test]
    fn two_nights_of_the_cases() {
        let mut five = ask(150.0, 0.40, Material::HmpeBraid, 0.5, 20.0);
        five.bait.lies = BaitLies::NoseOn;
        let l = five.lie(&tables()).unwrap();
        let c = l.central().unwrap();
        near(c.level.n(), 20.1, 0.005);
        near(c.belly.m(), 16.2, 0.01);
        near(c.arrives.deg(), 23.7, 0.01);
        near(c.down_current.n(), 8.4, 0.02);
        near(c.shoreward.n(), 18.3, 0.01);
        five.keep = Keep::Tension(Force::of_n(10.0));
        let eased = five.lie(&tables()).unwrap();
        near(eased.central().unwrap().level.n(), 10.2, 0.01);
        near(eased.central().unwrap().belly.m(), 34.0, 0.02);

        let mut far = ask(274.0, 0.9, Material::Nylon, 0.5, 25.0);
        far.bait = Bait { size: "5x5mm".parse().unwrap(), lies: BaitLies::NoseOn };
        let l = far.lie(&tables()).unwrap();
        let (bare, sung) = (l.held[0].as_ref().unwrap(), l.held[1].as_ref().unwrap());
        near(bare.belly.m(), 53.0, 0.01);
        near(bare.arrives.deg(), 39.0, 0.01);
        near(sung.belly.m(), 99.0, 0.01);
        near(sung.arrives.deg(), 58.0, 0.01);
        far.line = vec![Bit { material: Material::HmpeBraid, diameter: Length::of_mm(0.4), ..far.line[0] }];
        let thin = far.lie(&tables()).unwrap();
        near(thin.central().unwrap().belly.m(), 44.0, 0.02);
        near(thin.central().unwrap().arrives.deg(), 34.0, 0.02);
    }

    #[test]
    fn line_in_the_air_drags_nothing_and_a_slack_bed_current_less() {
        let t = tables();
        let wet = ask(200.0, 0.9, Material::Nylon, 0.5, 30.0);
        let dry = Ask {
            depth: Known::Known(Length::of_m(6.0)),
            tip: Known::Known(Length::of_m(4.0)),
            ..wet.clone()
        };
        let slow = Ask { profile: Profile::Slackening, ..dry.clone() };
        let down = |a: &Ask| a.lie(&t).unwrap().central().unwrap().down_current.n();
        assert!(down(&dry) < down(&wet) && down(&slow) < down(&dry));
        let tip_alone = Ask { tip: Known::Known(Length::of_m(4.0)), ..wet.clone() };
        assert_eq!(down(&tip_alone).to_bits(), down(&wet).to_bits(), "no depth: all in the water");
        let layers = Profile::Layers(vec![(Length::ZERO, 1.0), (Length::of_m(6.0), 0.5)]);
        assert!(down(&Ask { profile: layers, ..dry.clone() }) < down(&dry));
    }

    #[test]
    fn refuses_what_no_beach_is_and_says_when_a_line_streams_away() {
        let t = tables();
        let no = |a: Ask| a.lie(&t).unwrap_err().to_string();
        let base = ask(200.0, 0.9, Material::Nylon, 0.5, 25.0);
        assert!(no(Ask { distance: Length::of_m(1.0), ..base.clone() }).contains("distance"));
        assert!(no(Ask { along: Speed::of_mps(9.0), ..base.clone() }).contains("current"));
        assert!(no(Ask { line: vec![], ..base.clone() }).contains("no line"));
        assert!(no(Ask { strum: Known::Known(0.5), ..base.clone() }).contains("strum"));
        assert!(no(Ask { keep: Keep::Length(Length::of_m(100.0)), ..base.clone() }).contains("line out"));
        assert!(no(Ask { along: Speed::of_mps(2.5), ..base.clone() }).contains("cannot hold"));
        let loud = ask(330.0, 0.9, Material::Nylon, 0.6, 12.0).lie(&t);
        if let Ok(l) = loud {
            assert!(l.load().high.is_unknown(), "{:?}", l.load());
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(12))]

        /// More current or thicker line never lowers the load at the same tension; the band is ordered.
        #[test]
        fn more_water_never_lowers_the_load(
            b in 60.0..220.0f64, mm in 0.3..1.1f64, u in 0.05..0.6f64, t in 15.0..60.0f64, more in 1.02..1.4f64,
        ) {
            let tables = tables();
            let of = |mm, u| ask(b, mm, Material::Nylon, u, t).lie(&tables).map(|l| l.load());
            let Ok(base) = of(mm, u) else { return Ok(()) };
            let (low, central) = (base.low.get().unwrap().n(), base.central.get());
            if let Some(c) = central {
                prop_assert!(low <= c.n() * (1.0 + 1e-9));
                if let Some(h) = base.high.get() { prop_assert!(c <= h * (1.0 + 1e-9)); }
            }
            for greater in [of(mm, u * more), of(mm * more, u)].into_iter().flatten() {
                prop_assert!(greater.low.get().unwrap().n() >= low * (1.0 - 1e-5));
            }
        }
    }
}
