//! What waves add to the pull on a sinker, by the depth at the bait.
//!
//! Orbital speed at the bed by linear theory, shoaled and capped by the depth ([`bed_waves`]). The bait feels the whole of
//! it. A straight line feels it in another phase every few metres, so that most cancels: its share is bounded by
//! [`phase_factor`]. The peak is both at once, shoreward, where the line pulls already, under the highest wave of the soak:
//! an upper bound. The rms load is the same with half the significant speed, the mean of a sea of many heights.
//!
//! Limits: no breakers on the line; a bait inside the break is asked of the surf first.

use super::lie::{Ask, Lying};
use super::pack::HoldPack;
use super::through::worse;
use crate::facts::{Band, Known};
use crate::quantity::{Angle, Force, Length, Span, Speed};
use crate::sea::surf::{self, BedWaves, Linear, Swell, bed_waves, phase_factor};
use crate::tackle::Tables;
use crate::water::{Pull, Shape, Soak, SoakLoad};
use crate::{Error, Result};

/// What the bed under the bait does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bed {
    /// Sand lies still.
    Still,
    /// Sand moves in ripples.
    Ripples,
    /// Sand is stirred: a sinker is worked in, or out.
    Stirred,
    /// Sand moves as a sheet.
    Sheet,
}

impl Bed {
    /// What that does to a sinker.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Still => "the sand lies still",
            Self::Ripples => "the sand moves in ripples: a sinker settles in with time",
            Self::Stirred => "the sand is stirred: waves work a sinker in, or scour it out",
            Self::Sheet => "the sand runs as a sheet: no wire keeps its hold for long",
        }
    }
}

/// Waves at the bait.
#[derive(Clone, Debug, PartialEq)]
pub struct UnderWaves {
    /// Speeds at the bed.
    pub speeds: BedWaves,
    /// Share of a wave's peak that the line as a whole feels, at most.
    pub line_share: f64,
    /// What the bed does under the highest tenth.
    pub bed: Bed,
    /// Load at the peak of the highest wave, an upper bound; unknown where the line streams away.
    pub peak: Band<Known<Force>>,
    /// Load of the mean square.
    pub rms: Band<Known<Force>>,
}

/// The waves that are to be reckoned with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waves {
    /// Waves offshore.
    pub swell: Swell,
    /// How long the bait lies.
    pub soak: Span,
}

impl Waves {
    /// Speeds at the bed and the share of them that the line feels. Asks for the depth at the bait.
    pub(super) fn at(&self, ask: &Ask, rows: &surf::BaitRows) -> Result<(BedWaves, f64)> {
        let Known::Known(depth) = ask.depth else {
            return Err(Error::new(
                "the depth at the bait is not known",
                "the depth at the lowest tide of the soak",
                "sound it from the kayak, or read it off a chart: --depth 4m",
            )
            .within("depth"));
        };
        let speeds = bed_waves(self.swell, depth, self.soak, rows)?;
        let wave = Linear::over(self.swell.period(), depth)?;
        // The line lies square to the beach: along the waves' way but for their angle there.
        let turned: Angle = wave.refracted(self.swell.off_normal());
        Ok((speeds, phase_factor(wave, ask.distance, turned).safe))
    }
}

/// Load at one strumming factor when water of `orbital` speed comes shoreward on top of the current; nothing where the
/// line streams away. `near` is a shape of the line in water not far from this.
pub(super) fn load_one(
    ask: &Ask,
    tables: &Tables,
    which: usize,
    near: Option<&Shape>,
    (orbital, line_share): (Speed, f64),
) -> Result<Option<(SoakLoad, Pull)>> {
    let soak = ask.soak(tables, which)?;
    pulled(ask, &soak, near, (orbital, line_share))
}

/// The same of a line already asked, wherever its bait lies: the line, and the level pull of line and bait together.
pub(super) fn pulled(
    ask: &Ask,
    soak: &Soak,
    near: Option<&Shape>,
    (orbital, line_share): (Speed, f64),
) -> Result<Option<(SoakLoad, Pull)>> {
    let stream = ask.stream(ask.along, ask.out - orbital * line_share)?;
    let at_bait = ask.stream(ask.along, ask.out - orbital)?;
    Ok(soak.load_near(&stream, near).ok().map(|l| {
        let bait = soak.bait_pull(&at_bait);
        let both = Pull { x: l.line.at_a.x + bait.x, y: l.line.at_a.y + bait.y, z: Force::ZERO };
        (l, both)
    }))
}

/// Loads of the three strumming factors when water of `orbital` speed comes shoreward on top of the current.
pub(super) fn load_with(
    ask: &Ask,
    tables: &Tables,
    steady: &Lying,
    orbital: Speed,
    line_share: f64,
) -> Result<Band<Known<Force>>> {
    let mut all = [Known::Unknown; 3];
    for (which, load) in all.iter_mut().enumerate() {
        let near = steady.held.get(which).and_then(Known::as_ref).map(|h| &h.load.line);
        let one = load_one(ask, tables, which, near, (orbital, line_share))?;
        *load = one.map(|(_, pull)| pull.size()).into();
    }
    let known: Vec<Force> = all.iter().filter_map(|f| f.get()).collect();
    let high = known.iter().copied().reduce(Force::max).filter(|_| known.len() == all.len());
    Ok(Band { low: known.iter().copied().reduce(Force::min).into(), central: all[1], high: high.into() })
}

impl Ask {
    /// What waves add. `steady` is how the line lies without them.
    pub fn under_waves(
        &self,
        waves: &Waves,
        steady: &Lying,
        tables: &Tables,
        pack: &HoldPack,
        rows: &surf::BaitRows,
    ) -> Result<UnderWaves> {
        let (speeds, line_share) = waves.at(self, rows)?;
        let b = &pack.bed;
        let bed = match speeds.creep {
            u if u >= b.sheet.value => Bed::Sheet,
            u if u >= b.stirred.value => Bed::Stirred,
            u if u >= b.moves.value => Bed::Ripples,
            _ => Bed::Still,
        };
        let load = |u: Speed| load_with(self, tables, steady, u, line_share);
        // Waves never lower what a sinker must hold: between two of them the steady load is there.
        let raised = |with: Band<Known<Force>>| worse(with, steady.load());
        Ok(UnderWaves {
            speeds,
            line_share,
            bed,
            peak: raised(load(speeds.hold)?),
            rms: raised(load(speeds.significant / 2.0)?),
        })
    }
}

/// Whether a bait at this depth lies inside the break: shallower than where the significant wave breaks.
pub fn inside_the_break(depth: Length, swell: Swell) -> bool {
    surf::driving_breaker(swell).depth > depth
}

#[cfg(test)]
mod tests {
    use super::super::lie::tests::{ask, tables};
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::facts::PackText;
    use crate::sea::surf::SurfPack;
    use crate::tackle::Material;
    use proptest::prelude::*;

    fn rows() -> surf::BaitRows {
        let text = PackText::new("surf.toml", include_str!("../../../../data/surf.toml"));
        SurfPack::read(&text).unwrap().bait
    }

    fn at(depth: f64, hs: f64, t: f64) -> UnderWaves {
        let mut a = ask(150.0, 0.5, Material::HmpeBraid, 0.3, 20.0);
        a.depth = Known::Known(Length::of_m(depth));
        let waves = Waves {
            swell: Swell::square_on(Length::of_m(hs), Span::of_s(t)).unwrap(),
            soak: Span::of_h(2.0),
        };
        let steady = a.lie(&tables()).unwrap();
        a.under_waves(&waves, &steady, &tables(), &shipped(), &rows()).unwrap()
    }

    #[test]
    fn depth_quietens_the_bed() {
        let (shallow, deep) = (at(4.0, 1.2, 8.0), at(25.0, 0.3, 5.0));
        assert!(shallow.bed >= Bed::Stirred, "{:?}", shallow.bed);
        assert_eq!(deep.bed, Bed::Still);
        assert!(shallow.peak.central.get() > deep.peak.central.get());
        assert!(shallow.peak.central.get() > shallow.rms.central.get());
        assert!(shallow.line_share < 0.2);
    }

    #[test]
    fn asks_for_the_depth() {
        let a = ask(150.0, 0.5, Material::HmpeBraid, 0.3, 20.0);
        let swell = Swell::square_on(Length::of_m(1.0), Span::of_s(8.0)).unwrap();
        let waves = Waves { swell, soak: Span::of_h(2.0) };
        let steady = a.lie(&tables()).unwrap();
        let e = a.under_waves(&waves, &steady, &tables(), &shipped(), &rows()).unwrap_err();
        assert!(e.error.contains("depth"), "{e}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(12))]
        #[test]
        fn higher_waves_never_lower_the_load(depth in 3.0..12.0f64, hs in 0.2..1.5f64, t in 5.0..14.0f64, more in 1.05..1.5f64) {
            let (less, more) = (at(depth, hs, t), at(depth, hs * more, t));
            for (a, b) in [(less.peak, more.peak), (less.rms, more.rms)] {
                if let (Some(a), Some(b)) = (a.central.get(), b.central.get()) {
                    prop_assert!(b.n() >= a.n() * (1.0 - 1e-6));
                }
            }
        }
    }
}
