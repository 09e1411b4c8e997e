//! The footing pack (`data/footing.toml`): friction of sand, stances, back, harness hands, with grade and
//! source of every figure.

use super::fade::Fade;
use super::slip_test::SlipSpread;
use super::statics::{Pin, RodTip};
use super::surge::SurgeRow;
use crate::facts::{Band, Figure, Grade, PackText, Source};
use crate::quantity::{Angle, Force, Length, Quantity, Span, Speed, Torque};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// What the feet stand on.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Sand {
    /// Dry sand above the wash.
    Dry,
    /// Wet sand that bears a foot, no water running over it.
    FirmWet,
    /// Sand under moving water: it scours from under the foot.
    MovingWash,
}

/// How the angler stands.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Stance {
    /// Standing up, feet split.
    Upright,
    /// Leaning back deeply, feet split, rod low.
    Lean,
    /// Sitting, heels in a dug step. Never below the dry line: getting up takes seconds.
    Sitting,
}

impl Stance {
    /// All, weakest first.
    pub const ALL: [Self; 3] = [Self::Upright, Self::Lean, Self::Sitting];

    /// The word in files and on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Upright => "upright",
            Self::Lean => "lean",
            Self::Sitting => "sitting",
        }
    }
}

/// The whole pack.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FootingPack {
    /// Name and date.
    pub meta: Meta,
    sand: Vec<SandRow>,
    stance: Vec<StanceRow>,
    /// What the back bears.
    pub back: Back,
    /// Heel step of a sitting angler.
    pub step: Step,
    /// Harness hands.
    pub harness: Harness,
    /// Legs in water.
    pub legs: Legs,
    /// Where the water must be.
    pub dry: Dry,
    /// The line at the tip.
    pub line: LineRow,
    /// The rod in its harness.
    pub rod: RodRow,
    /// What minutes leave of back and grip.
    pub fade: Fade,
    /// How closely pulls at the slip are known.
    pub slip_test: SlipSpread,
    /// Jerks.
    pub surge: SurgeRow,
    /// Sources by handle.
    pub source: Vec<Source>,
}

/// Name and date of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meta {
    /// Handle.
    pub id: String,
    /// Title.
    pub title: String,
    /// Day up to which it was checked.
    pub as_of: String,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SandRow {
    sand: Sand,
    friction: Figure<Band<f64>>,
}

/// One stance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StanceRow {
    /// Which.
    pub stance: Stance,
    /// Centre of mass behind the pivot.
    pub lean: Figure<Band<Length>>,
    /// Pivot to rearmost support.
    pub base: Length,
    pin_up: Length,
    pin_behind: Length,
    tip_up: Length,
    tip_ahead: Length,
}

impl StanceRow {
    /// Where the rod butt sits.
    pub fn pin(&self) -> Pin {
        Pin { up: self.pin_up, behind: self.pin_behind }
    }
    /// Where the tip is unless the crew says otherwise.
    pub fn tip(&self) -> RodTip {
        RodTip { up: self.tip_up, ahead: self.tip_ahead }
    }
}

/// What the back bears.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Back {
    /// Moment about the rod butt.
    pub moment: Figure<Band<Torque>>,
}

/// Heel step of a sitting angler, dug in moist or dry sand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Width of both heels against the sand.
    pub width: Length,
    /// Depth of the step.
    pub depth: Length,
    /// Friction angle of the sand.
    pub sand_angle: Figure<Band<Angle>>,
    /// Unit weight of the sand, newtons a cubic metre.
    pub weight_n_m3: f64,
    /// Planning divisor on the theory.
    pub divisor: f64,
    /// Grade of the whole.
    pub grade: Grade,
    /// Its source.
    pub source: String,
}

/// Harness hands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Harness {
    /// Pull a drilled hand keeps up on the strap.
    pub grip: Figure<Band<Force>>,
    /// Height of the strap.
    pub height: Figure<Length>,
    /// Lean of a hand.
    pub lean: Figure<Length>,
    /// Share lost to poor timing between two pullers.
    pub loss_two: Figure<f64>,
    /// The same between eight.
    pub loss_eight: Figure<f64>,
}

/// Legs in water.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Legs {
    /// Width of both against the stream.
    pub width: Figure<Length>,
    /// Their drag coefficient.
    pub drag_coefficient: Figure<f64>,
    immersed: Vec<Immersed>,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Immersed {
    depth: Length,
    share: f64,
}

impl Legs {
    /// Share of the body's volume under water at this depth: straight lines between the pack's points.
    pub fn immersed_share(&self, depth: Length) -> f64 {
        let mut last: Option<Immersed> = None;
        for &row in &self.immersed {
            if depth <= row.depth {
                return last.map_or(row.share, |from| {
                    let width = row.depth - from.depth;
                    if width.m() <= 0.0 {
                        return row.share;
                    }
                    from.share + (row.share - from.share) * ((depth - from.depth) / width)
                });
            }
            last = Some(row);
        }
        last.map_or(1.0, |row| row.share)
    }
}

/// Where the water must be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dry {
    /// Time to react and unclip.
    pub react: Figure<Span>,
    /// Speed of a person pulled along.
    pub stumble: Figure<Speed>,
    /// Time to get up from the sand, for a sitting angler.
    pub get_up: Figure<Span>,
}

/// The line at the tip.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineRow {
    /// Angle below level when the fish is far.
    pub angle: Figure<Angle>,
}

/// The rod in its harness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RodRow {
    /// Pin to the harness strap, along the rod.
    pub strap: Figure<Length>,
}

impl FootingPack {
    /// Reads and checks the pack.
    pub fn read(text: PackText<'_>) -> Result<Self> {
        let pack: Self = text.read()?;
        pack.check(text)?;
        Ok(pack)
    }

    /// Friction of this sand.
    pub fn friction(&self, sand: Sand) -> Result<&Figure<Band<f64>>> {
        self.sand.iter().find(|row| row.sand == sand).map(|row| &row.friction).ok_or_else(|| {
            Error::new(
                format!("the footing pack has no row for {sand:?}"),
                "one row a sand",
                "restore the shipped pack",
            )
        })
    }

    /// This stance's row.
    pub fn stance(&self, stance: Stance) -> Result<&StanceRow> {
        self.stance.iter().find(|row| row.stance == stance).ok_or_else(|| {
            Error::new(
                format!("the footing pack has no row for {}", stance.word()),
                "one row a stance",
                "restore the shipped pack",
            )
        })
    }

    fn check(&self, text: PackText<'_>) -> Result<()> {
        for (i, row) in self.sand.iter().enumerate() {
            let path = format!("sand[{i}].friction");
            band_ok(text, &path, row.friction.value, 0.0, 2.0)?;
            self.source_ok(text, &path, &row.friction.source)?;
        }
        for sand in [Sand::Dry, Sand::FirmWet, Sand::MovingWash] {
            self.friction(sand).map_err(|e| e.within(text.file))?;
        }
        for (i, row) in self.stance.iter().enumerate() {
            let path = format!("stance[{i}].lean");
            band_ok(text, &path, row.lean.value.map(Length::m), 0.0, 2.0)?;
            self.source_ok(text, &path, &row.lean.source)?;
            for (key, length) in [
                ("base", row.base),
                ("pin_up", row.pin_up),
                ("tip_up", row.tip_up),
                ("tip_ahead", row.tip_ahead),
            ] {
                length
                    .within(key, Length::of_m(0.05), Length::of_m(5.0))
                    .map_err(|e| text.place(&format!("stance[{i}].{key}"), e))?;
            }
        }
        for stance in Stance::ALL {
            self.stance(stance).map_err(|e| e.within(text.file))?;
        }
        band_ok(text, "back.moment", self.back.moment.value.map(Torque::nm), 1.0, 1000.0)?;
        band_ok(text, "step.sand_angle", self.step.sand_angle.value.map(Angle::deg), 15.0, 50.0)?;
        band_ok(text, "harness.grip", self.harness.grip.value.map(Force::n), 0.0, 1000.0)?;
        for (path, x, min, max) in [
            ("step.weight_n_m3", self.step.weight_n_m3, 5.0e3, 2.5e4),
            ("step.divisor", self.step.divisor, 1.0, 10.0),
            ("step.width", self.step.width.m(), 0.05, 1.0),
            ("step.depth", self.step.depth.m(), 0.0, 1.0),
            ("harness.height", self.harness.height.value.m(), 0.3, 1.6),
            ("harness.lean", self.harness.lean.value.m(), 0.0, 1.0),
            ("harness.loss_two", self.harness.loss_two.value, 0.0, 0.5),
            ("harness.loss_eight", self.harness.loss_eight.value, self.harness.loss_two.value, 0.6),
            ("legs.width", self.legs.width.value.m(), 0.05, 1.0),
            ("legs.drag_coefficient", self.legs.drag_coefficient.value, 0.1, 3.0),
            ("dry.react", self.dry.react.value.s(), 0.0, 60.0),
            ("dry.stumble", self.dry.stumble.value.mps(), 0.1, 10.0),
            ("dry.get_up", self.dry.get_up.value.s(), 0.0, 60.0),
            ("line.angle", self.line.angle.value.deg(), 0.0, 80.0),
            ("rod.strap", self.rod.strap.value.m(), 0.1, 1.5),
        ] {
            if !(x >= min && x <= max) {
                return Err(text.refuse(
                    path,
                    format!("{path} is {x}"),
                    format!("{min} to {max}"),
                    "correct this figure",
                ));
            }
        }
        self.fade.check(text)?;
        self.slip_test.check(text)?;
        self.surge.check(text)?;
        let rising =
            self.legs.immersed.windows(2).all(|w| w[0].depth < w[1].depth && w[0].share <= w[1].share);
        let within = self.legs.immersed.iter().all(|r| (0.0..=1.0).contains(&r.share));
        if self.legs.immersed.len() < 2 || !rising || !within {
            return Err(text.refuse(
                "legs.immersed",
                "the shares under water do not rise with depth",
                "at least two rows, depth rising, share 0 to 1 and never falling",
                "order the rows by depth",
            ));
        }
        for (path, source) in [
            ("back.moment", &self.back.moment.source),
            ("step.sand_angle", &self.step.sand_angle.source),
            ("step.source", &self.step.source),
            ("harness.grip", &self.harness.grip.source),
            ("harness.height", &self.harness.height.source),
            ("harness.lean", &self.harness.lean.source),
            ("harness.loss_two", &self.harness.loss_two.source),
            ("harness.loss_eight", &self.harness.loss_eight.source),
            ("legs.width", &self.legs.width.source),
            ("legs.drag_coefficient", &self.legs.drag_coefficient.source),
            ("dry.react", &self.dry.react.source),
            ("dry.stumble", &self.dry.stumble.source),
            ("dry.get_up", &self.dry.get_up.source),
            ("line.angle", &self.line.angle.source),
            ("rod.strap", &self.rod.strap.source),
            ("fade.minute", &self.fade.minute.source),
            ("fade.hour_held", &self.fade.hour_held.source),
            ("fade.hour_rests", &self.fade.hour_rests.source),
            ("fade.source", &self.fade.source),
            ("slip_test.few", &self.slip_test.few.source),
            ("slip_test.read", &self.slip_test.read.source),
            ("surge.jam", &self.surge.jam.source),
        ] {
            self.source_ok(text, path, source)?;
        }
        Ok(())
    }

    fn source_ok(&self, text: PackText<'_>, path: &str, source: &str) -> Result<()> {
        source_listed(text, path, source, &self.source)
    }
}

/// Refuses a figure whose source is not in the pack's own list.
pub(super) fn source_listed(text: PackText<'_>, path: &str, source: &str, listed: &[Source]) -> Result<()> {
    if listed.iter().any(|s| s.id == source) {
        return Ok(());
    }
    Err(text.refuse(
        path,
        format!("no source `{source}`"),
        listed.iter().map(|s| s.id.as_str()).collect::<Vec<_>>().join(", "),
        "add the source or correct the handle",
    ))
}

/// Refuses a band that is out of order or out of bounds.
fn band_ok(text: PackText<'_>, path: &str, band: Band<f64>, min: f64, max: f64) -> Result<()> {
    let ordered = band.low <= band.central && band.central <= band.high;
    if ordered && band.low >= min && band.high <= max {
        return Ok(());
    }
    Err(text.refuse(
        path,
        format!("{} / {} / {} is no band here", band.low, band.central, band.high),
        format!("low <= central <= high, between {min} and {max}"),
        "correct this band",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHIPPED: &str = include_str!("../../../../data/footing.toml");

    #[test]
    fn the_shipped_pack_reads() {
        let p = FootingPack::read(PackText::new("footing.toml", SHIPPED)).unwrap();
        assert_eq!(p.friction(Sand::Dry).unwrap().value.low, 0.5);
        assert_eq!(p.stance(Stance::Lean).unwrap().base, Length::of_m(0.7));
        // 85 kg: half a metre is 0.0105 m3, crotch-deep 0.02975 m3 of 0.085 m3.
        assert!((p.legs.immersed_share(Length::of_m(0.5)) * 0.085 - 0.0105).abs() < 1e-6);
        assert!((p.legs.immersed_share(Length::of_m(0.25)) * 0.085 - 0.00525).abs() < 1e-6);
        assert_eq!(p.legs.immersed_share(Length::of_m(9.0)), 1.0);
    }

    #[test]
    fn refuses_a_broken_pack_with_its_line() {
        let say = |from: &str, to: &str| {
            assert!(SHIPPED.contains(from));
            let text = SHIPPED.replacen(from, to, 1);
            FootingPack::read(PackText::new("footing.toml", &text)).unwrap_err().to_string()
        };
        assert!(
            say("low = 0.50, central = 0.60", "low = 0.80, central = 0.60")
                .contains("line 14, sand[0].friction")
        );
        assert!(say("source = \"scour\"", "source = \"hearsay\"").contains("no source `hearsay`"));
        assert!(say("sand = \"firm-wet\"", "sand = \"dry\"").contains("no row for FirmWet"));
        assert!(
            say("hour_held = { value = 0.079", "hour_held = { value = 0.2")
                .contains("hour_held <= hour_rests")
        );
        assert!(say("few = { value = 0.15", "few = { value = 0.01").contains("slip_test"));
        assert!(say("jam = { value = 2.0", "jam = { value = 0.5").contains("surge.jam"));
        assert!(say("get_up = { value = \"3s\"", "get_up = { value = \"3min\"").contains("dry.get_up"));
        assert!(say("divisor = 2.0", "divisor = 0.5").contains("step.divisor"));
        assert!(say("base = ", "bass = ").contains("unknown field `bass`"));
        assert!(say("depth = \"0.85m\"", "depth = \"0.4m\"").contains("rise with depth"));
    }
}
