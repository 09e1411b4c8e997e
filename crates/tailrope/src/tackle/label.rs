//! The label of a reel: what a newcomer knows of it before anything is measured.
//!
//! A label says how much of some line the reel holds and the greatest drag. The first gives the room of the
//! spool: `L d^2/(4 phi) = w (R^2 - r0^2)`. Only this product is known. How fast the drag grows depends on the
//! shape as well: with the share `s` of the line out, `R/r = 1/sqrt(1 - s (1 - (r0/R)^2))`, so the ratio of
//! arbor to rim decides; the width decides how large the spool is, and so depths and the line of a turn. Plausible ratios by kind of reel stand in the tackle pack as estimates and make the
//! band; three measures with a ruler (rim, arbor, width) replace it.
//!
//! Limits: a label is often for thinner line than is wound, rounds, and its diameter may be nominal: each
//! capacity has a spread of its own. Several capacities are averaged (geometric mean), and what they disagree
//! by widens the band. Sources: geometry as in [`super::spool`]; ratios and spreads are estimates of the pack.

use super::spool::Spool;
use super::tables::{BandFigure, Tables};
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Force, Length, Quantity, significant};
use crate::tackle::{Material, ReelKind};
use crate::{Error, Result, math};
use serde::{Deserialize, Serialize};

/// One capacity on the label of a reel: so much of a line by diameter, or by strength and material.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LabelCapacity {
    /// How much the reel is said to hold.
    pub length: Length,
    /// Diameter of the line it is said for.
    #[serde(default)]
    pub diameter: Known<Length>,
    /// Strength of that line, where the label gives no diameter.
    #[serde(default)]
    pub strength: Known<Force>,
    /// What it is made of; needed with a strength, nylon where only a diameter is given.
    #[serde(default)]
    pub material: Known<Material>,
}

/// Plausible shape of the spool of a kind of reel (`[[reel_shape]]` of the tackle pack).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReelShape {
    /// Kind of reel.
    pub kind: ReelKind,
    /// Radius of the arbor over that of the rim.
    pub arbor_over_rim: BandFigure<f64>,
    /// Width between the flanges over the radius of the rim.
    pub width_over_rim: BandFigure<f64>,
    /// Turns of spool (or of the rotor about it) for one of the handle.
    pub gear: BandFigure<f64>,
}

/// How far labels can be trusted (`[label]` of the tackle pack).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LabelRow {
    /// Room of the spool over what one capacity on the label gives.
    pub capacity: BandFigure<f64>,
    /// Capacities of one label that differ by more than this factor contradict each other.
    pub disagree: Figure<f64>,
    /// Room of a reel of a class over that of the class's model spool.
    pub class: BandFigure<f64>,
    /// Steady drag over the greatest drag on the label.
    pub drag: BandFigure<f64>,
}

/// Line roller of a spinning reel (`[line_roller]` of the tackle pack): one more bend on the line's way in.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineRoller {
    /// Friction.
    pub friction: BandFigure<f64>,
    /// Turn of the line over it.
    pub wrap: BandFigure<crate::quantity::Angle>,
}

/// What a crew measures first, and how.
pub const MEASURE_FIRST: &str = "measure with a ruler: radius of the spool at the rim, radius of the bare arbor, width between the flanges";

impl LabelCapacity {
    /// Refuses sizes that no label gives, and a line that cannot be told.
    pub fn check(&self) -> Result<()> {
        self.length
            .within("capacity on the label", Length::of_m(10.0), Length::of_km(5.0))
            .map_err(|e| e.within("length"))?;
        if let Known::Known(d) = self.diameter {
            d.within("diameter on the label", Length::of_mm(0.05), Length::of_mm(5.0))
                .map_err(|e| e.within("diameter"))?;
        }
        if let Known::Known(f) = self.strength {
            f.within("strength on the label", Force::of_n(5.0), Force::of_n(5000.0))
                .map_err(|e| e.within("strength"))?;
        }
        if self.diameter.is_unknown() && (self.strength.is_unknown() || self.material.is_unknown()) {
            return Err(Error::new(
                "the label's line is not known",
                "a diameter, or a strength and a material",
                "write what the label says: length = \"230m\", diameter = \"0.35mm\", or strength and material",
            )
            .within("diameter"));
        }
        Ok(())
    }

    /// In the words of the label.
    pub fn words(&self) -> String {
        let line = match (self.diameter, self.strength) {
            (Known::Known(d), _) => format!("{} mm", significant(d.mm(), 3)),
            (_, Known::Known(f)) => format!("{} lb", significant(f.lbf(), 3)),
            _ => "unknown".to_owned(),
        };
        let material = self.material.get().map_or_else(String::new, |m| format!(" {}", m.word()));
        format!("{} m of {line}{material}", significant(self.length.m(), 4))
    }

    /// Room that this capacity gives, m3 over pi: `L d^2/(4 phi)`, low, central, high over diameter, packing and
    /// the label's own spread.
    fn room(&self, tables: &Tables) -> Result<Band<f64>> {
        self.check()?;
        let material = self.material.get().unwrap_or(Material::Nylon);
        let diameter = match (self.diameter, self.strength) {
            (Known::Known(d), _) => Band::exact(d),
            (_, Known::Known(f)) => tables.diameter_of(material, f).map(|d| d.value).ok_or_else(|| {
                Error::new(
                    format!("the tables list no line of {}", material.word()),
                    "a diameter",
                    "give the diameter on the label",
                )
            })?,
            _ => Band::exact(Length::ZERO),
        };
        let packing = tables.material(material).packing.value;
        let spread = tables.label.capacity.value;
        let of = |d: Length, phi: f64| self.length.m() * math::sq(d.m()) / (4.0 * phi);
        Ok(Band {
            low: of(diameter.low, packing.high) * spread.low,
            central: of(diameter.central, packing.central) * spread.central,
            high: of(diameter.high, packing.low) * spread.high,
        })
    }
}

/// A spool that is known only as a band.
///
/// `planned` is what answers are reckoned with: the crew's own measures, the model of the class, or of a label
/// the end on which the drag grows fastest and the least line fits.
#[derive(Clone, Debug, PartialEq)]
pub struct SpoolBand {
    /// Least room, smallest arbor: the drag grows fastest.
    pub least: Spool,
    /// Middle of the band.
    pub central: Spool,
    /// Most room, largest arbor: the drag grows slowest.
    pub most: Spool,
    /// What to plan with.
    pub planned: Spool,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
    /// What must be said of it.
    pub told: Vec<String>,
    /// What to measure first; nothing where the crew has measured.
    pub measure_first: Option<&'static str>,
    /// Whether room is only known from a label, so that line which is on the spool proves room for it.
    pub by_label: bool,
}

impl SpoolBand {
    /// A spool without band: the crew's own three measures.
    pub fn measured(spool: Spool) -> Self {
        Self {
            least: spool,
            central: spool,
            most: spool,
            planned: spool,
            grade: Grade::Measured,
            source: "the crew's own measures of the spool".to_owned(),
            told: Vec::new(),
            measure_first: None,
            by_label: false,
        }
    }

    /// The model spool of a class; room, and arbor over rim, within the pack's spread either way.
    pub fn of_class(spool: Spool, grade: Grade, source: String, tables: &Tables) -> Self {
        let spread = tables.label.class.value;
        let end = |k: f64| {
            let ratio = (spool.arbor / spool.rim * k).min(0.95);
            let shape = Spool { arbor: spool.rim * ratio, ..spool };
            scaled(shape, room(&spool) / room(&shape) * k)
        };
        Self {
            least: end(spread.low),
            central: spool,
            most: end(spread.high),
            planned: spool,
            grade,
            source,
            told: Vec::new(),
            measure_first: Some(MEASURE_FIRST),
            by_label: false,
        }
    }

    /// The spool behind the capacities on a label, for a kind of reel; an unknown kind takes the widest shapes.
    ///
    /// Refuses no capacity at all, and capacities that differ by more than the pack's factor, naming the two.
    pub fn of_label(label: &[LabelCapacity], kind: Known<ReelKind>, tables: &Tables) -> Result<Self> {
        let mut rooms = Vec::with_capacity(label.len());
        for (i, l) in label.iter().enumerate() {
            rooms.push((l, l.room(tables).map_err(|e| e.within(format!("label[{i}]")))?));
        }
        let by_central = |a: &&(&LabelCapacity, Band<f64>), b: &&(&LabelCapacity, Band<f64>)| {
            a.1.central.total_cmp(&b.1.central)
        };
        let (Some(small), Some(large)) = (rooms.iter().min_by(by_central), rooms.iter().max_by(by_central))
        else {
            return Err(Error::new(
                "the label gives no capacity",
                "at least one",
                "write one [[outfit.reel.label]]",
            ));
        };
        let factor = large.1.central / small.1.central;
        let most = tables.label.disagree.value;
        if factor.is_nan() || factor > most {
            return Err(Error::new(
                format!(
                    "the label contradicts itself: {} and {} give spools that differ by a factor of {}",
                    small.0.words(),
                    large.0.words(),
                    significant(factor, 3)
                ),
                format!("a factor of {} at most", significant(most, 3)),
                format!("read the label again: length, diameter, material; or {MEASURE_FIRST}"),
            )
            .within("label"));
        }
        let mean = math::exp(rooms.iter().map(|r| math::ln(r.1.central)).sum::<f64>() / rooms.len() as f64);
        let room = Band {
            low: rooms.iter().map(|r| r.1.low).fold(f64::INFINITY, f64::min),
            central: mean,
            high: rooms.iter().map(|r| r.1.high).fold(0.0, f64::max),
        };
        let shape = tables.shape(kind.get().unwrap_or(ReelKind::Other));
        let width = shape.width_over_rim.value;
        let arbor = shape.arbor_over_rim.value;
        let mut told = vec![
            "what the label says gives only a wide band: the shape of the spool is not known; radius, depth below the rim \
             and line won by a turn are no marks until it is measured"
                .to_owned(),
        ];
        if factor > 1.05 {
            told.push(format!(
                "the label's capacities disagree by {:.0} %: {} against {}",
                (factor - 1.0) * 100.0,
                small.0.words(),
                large.0.words()
            ));
        }
        // A wide spool of the same room is a small one: less line a turn, and less depth for the same metres.
        let least = of_room(room.low, arbor.low, width.high)?;
        Ok(Self {
            least,
            central: of_room(room.central, arbor.central, width.central)?,
            most: of_room(room.high, arbor.high, width.low)?,
            planned: least,
            grade: shape
                .arbor_over_rim
                .grade
                .max(shape.width_over_rim.grade)
                .max(tables.label.capacity.grade),
            source: format!(
                "label of the reel, shape of {} by {}",
                kind.get().map_or("an unknown kind of reel", ReelKind::words),
                shape.arbor_over_rim.source
            ),
            told,
            measure_first: Some(MEASURE_FIRST),
            by_label: true,
        })
    }

    /// How much of one line fits: least, central, most.
    pub fn capacity(&self, diameter: Length, packing: f64) -> Band<Length> {
        Band {
            low: self.least.capacity(diameter, packing),
            central: self.central.capacity(diameter, packing),
            high: self.most.capacity(diameter, packing),
        }
    }

    /// The same with at least the room that `needed` (m3 over pi) of line takes: a spool that carries its line
    /// has room for it. What is planned with moves only where it comes from a label. Refuses more than a label
    /// allows at most.
    pub(super) fn holding(&self, needed: f64) -> Result<Self> {
        if self.measure_first.is_none() {
            return Ok(self.clone());
        }
        let most = room(&self.most);
        if self.by_label && needed > most * HAIR {
            return Err(Error::new(
                format!(
                    "the line does not fit: it takes {} times the most room that the label of the reel gives",
                    significant(needed / most, 3)
                ),
                "what the label allows, its band counted",
                format!("correct length and diameter of the line, or {MEASURE_FIRST}"),
            ));
        }
        let at_least = |s: Spool| scaled(s, (needed * HAIR / room(&s)).max(1.0));
        Ok(Self {
            least: at_least(self.least),
            central: at_least(self.central),
            most: at_least(self.most),
            planned: if self.by_label { at_least(self.planned) } else { self.planned },
            ..self.clone()
        })
    }
}

/// A little more than the line takes, so that rounding does not put it over the rim.
const HAIR: f64 = 1.000_001;

/// Room of a spool, m3 over pi: `w (R^2 - r0^2)`.
pub(super) fn room(s: &Spool) -> f64 {
    s.width.m() * (math::sq(s.rim.m()) - math::sq(s.arbor.m()))
}

/// The same shape with `factor` times the room.
fn scaled(s: Spool, factor: f64) -> Spool {
    let k = factor.cbrt();
    Spool { rim: s.rim * k, arbor: s.arbor * k, width: s.width * k }
}

/// The spool of a room and a shape: `R^3 = room/(w/R (1 - (r0/R)^2))`. Refuses what no reel has.
fn of_room(room: f64, arbor: f64, width: f64) -> Result<Spool> {
    let rim = (room / (width * (1.0 - math::sq(arbor)))).cbrt();
    Spool::new(Length::of_m(rim), Length::of_m(rim * arbor), Length::of_m(rim * width)).map_err(|e| {
        Error::new(
            format!("the label gives a spool that no reel has ({})", e.error),
            e.allowed,
            "read the label again: length, diameter, material",
        )
        .within("label")
    })
}

/// The greatest drag on a label as a band.
pub(super) fn label_drag(drag: Force, tables: &Tables) -> BandFigure<Force> {
    let share = &tables.label.drag;
    Figure::new(share.value.map(|s| drag * s), share.grade, format!("label of the reel; {}", share.source))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LoadedSpool, Wound};
    use proptest::prelude::*;

    fn by_diameter(m: f64, mm: f64) -> LabelCapacity {
        LabelCapacity {
            length: Length::of_m(m),
            diameter: Known::Known(Length::of_mm(mm)),
            strength: Known::Unknown,
            material: Known::Unknown,
        }
    }

    fn filled(spool: Spool, mm: f64) -> LoadedSpool {
        let d = Length::of_mm(mm);
        let phi = super::super::spool::PACKING_SQUARE;
        LoadedSpool::wind(spool, vec![Wound::new("l", spool.capacity(d, phi), d, phi)]).unwrap()
    }

    #[test]
    fn a_label_made_from_a_known_spool_brackets_it() {
        // A model spool of every class, sold by its label only: the truth lies in the band, growth included.
        let t = shipped();
        for r in &t.reels {
            let (d, full) = (r.model_line.diameter, r.model_line.length);
            let band = SpoolBand::of_label(
                &[LabelCapacity { diameter: Known::Known(d), ..by_diameter(full.m(), 1.0) }],
                Known::Known(r.kind),
                &t,
            )
            .unwrap();
            let holds = band.capacity(d, super::super::spool::PACKING_SQUARE);
            assert!(holds.low < full && full < holds.high, "{}", r.class);
            assert!((holds.central / full - 1.0).abs() < 1e-9);
            let mm = d.mm();
            let out = full * 0.7;
            let true_growth = filled(r.spool, mm).growth(out);
            assert!(filled(band.least, mm).growth(out.min(holds.low * 0.999)) > true_growth, "{}", r.class);
            assert!(filled(band.most, mm).growth(out) < true_growth, "{}", r.class);
            assert_eq!(band.planned, band.least);
            assert_eq!(band.grade, Grade::Estimate);
            assert!(band.measure_first.is_some());
        }
    }

    #[test]
    fn the_width_makes_a_band_of_radius_and_none_of_growth() {
        let t = shipped();
        let mut narrow = t.clone();
        for s in &mut narrow.reel_shapes {
            let middle = s.width_over_rim.value.central;
            s.width_over_rim.value = Band::exact(middle);
        }
        let of = |t: &Tables| {
            SpoolBand::of_label(&[by_diameter(300.0, 0.5)], Known::Known(ReelKind::Spinning), t).unwrap()
        };
        let (banded, point) = (of(&t), of(&narrow));
        assert!(banded.least.rim < point.least.rim && banded.most.rim > point.most.rim);
        assert!(banded.most.rim / banded.least.rim > 1.3 * (point.most.rim / point.least.rim));
        // By hand: the same room in a spool 1.1/0.75 times as wide for its rim is the cube root of that smaller.
        let k = (0.75_f64 / 1.1).cbrt();
        assert!((banded.least.rim / point.least.rim - k).abs() < 1e-9);
        let growth = |b: &SpoolBand| filled(b.least, 0.5).growth(Length::of_m(150.0));
        assert!((growth(&banded) / growth(&point) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn capacities_that_disagree_widen_or_refuse() {
        let t = shipped();
        let kind = Known::Known(ReelKind::Spinning);
        let one = SpoolBand::of_label(&[by_diameter(300.0, 0.4)], kind, &t).unwrap();
        let two = SpoolBand::of_label(&[by_diameter(300.0, 0.4), by_diameter(220.0, 0.5)], kind, &t).unwrap();
        assert!(room(&two.most) > room(&one.most) && room(&two.least) <= room(&one.least));
        assert!(two.told.iter().any(|s| s.contains("disagree by 15 %")), "{:?}", two.told);
        let e =
            SpoolBand::of_label(&[by_diameter(300.0, 0.4), by_diameter(300.0, 0.55)], kind, &t).unwrap_err();
        assert!(e.error.contains("300 m of 0.4 mm") && e.error.contains("300 m of 0.55 mm"), "{e}");
        assert!(e.remedy.contains("rim") && e.remedy.contains("arbor") && e.remedy.contains("width"), "{e}");
        assert!(SpoolBand::of_label(&[], kind, &t).is_err());
        let e = SpoolBand::of_label(
            &[LabelCapacity { diameter: Known::Unknown, ..by_diameter(300.0, 0.4) }],
            kind,
            &t,
        )
        .unwrap_err();
        assert!(e.place.contains("label[0]"), "{e}");
    }

    #[test]
    fn an_unknown_kind_is_wider_than_a_known_one() {
        let t = shipped();
        let growth = |kind: Known<ReelKind>| {
            let b = SpoolBand::of_label(&[by_diameter(400.0, 0.7)], kind, &t).unwrap();
            (
                filled(b.most, 0.7).growth(Length::of_m(300.0)),
                filled(b.least, 0.7).growth(Length::of_m(250.0)),
            )
        };
        let (low, high) = growth(Known::Unknown);
        for kind in [ReelKind::Lever, ReelKind::Star, ReelKind::Spinning, ReelKind::Casting] {
            let (l, h) = growth(Known::Known(kind));
            assert!(low <= l && high >= h, "{kind:?}");
        }
    }

    proptest! {
        #[test]
        fn the_band_is_in_order_and_grows_with_the_label(m in 100.0..1500.0_f64, mm in 0.2..1.2_f64, more in 1.01..2.0_f64) {
            let t = shipped();
            for kind in [ReelKind::Lever, ReelKind::Star, ReelKind::Spinning, ReelKind::Casting, ReelKind::Other] {
                let Ok(b) = SpoolBand::of_label(&[by_diameter(m, mm)], Known::Known(kind), &t) else { continue };
                prop_assert!(room(&b.least) < room(&b.central) && room(&b.central) < room(&b.most));
                let Ok(c) = SpoolBand::of_label(&[by_diameter(m * more, mm)], Known::Known(kind), &t) else { continue };
                prop_assert!(room(&c.least) > room(&b.least) && room(&c.most) > room(&b.most));
            }
        }
    }
}
