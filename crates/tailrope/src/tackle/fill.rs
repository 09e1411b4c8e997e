//! How full the spool is, and what an under-filled one costs.
//!
//! Line short of the rim is line that is not there in the run, a drag that pulls harder for the same lever
//! mark from the first metre (`R/r_full`), grows faster, and a handle that wins less. All by the law of
//! [`super::spool`]; nothing here is an estimate of its own, its grade is the spool's.

use super::label::SpoolBand;
use super::path::{as_m, as_mm};
use super::spool::{LoadedSpool, Spool, Wound};
use crate::facts::{Band, Grade};
use crate::math::sq;
use crate::quantity::Length;
use serde::Serialize;

/// A value at the two ends of a spool's band and in its middle, in rising order.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ends {
    /// Least.
    pub low: f64,
    /// Middle.
    pub central: f64,
    /// Most.
    pub high: f64,
}

impl Ends {
    /// From three values in any order of the ends.
    pub fn of(a: f64, central: f64, b: f64) -> Self {
        Self { low: a.min(b).min(central), central, high: a.max(b).max(central) }
    }
}

/// A spool filled to the rim against the spool as it is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct UnderFill {
    /// Line of the outermost kind that still fits below the rim.
    #[serde(rename = "room_left_m", serialize_with = "as_m")]
    pub room: Length,
    /// Depth of the line below the rim.
    #[serde(rename = "below_rim_mm", serialize_with = "as_mm")]
    pub depth: Length,
    /// Drag of one lever mark over what it is with the spool full to the rim, nothing out: `R/r`.
    pub drag_over_full: f64,
    /// Drag growth at four fifths of the line out, as the spool is.
    pub growth_last_fifth: f64,
    /// Drag growth with the same metres out of a spool filled to the rim.
    pub growth_if_full: f64,
    /// Line won by a turn of the handle over that of a spool filled to the rim, nothing out: `r/R`.
    pub retrieve_over_full: f64,
}

impl LoadedSpool {
    /// How full it is, and what filling it would mend.
    pub fn under_fill(&self) -> UnderFill {
        let (rim, full) = (self.spool().rim, self.full_radius());
        let out = self.line_length() * 0.8;
        let outer = self.pieces().last();
        let free = (sq(rim.m()) - sq(full.m())).max(0.0);
        let room = outer.map_or(Length::ZERO, |w| w.fills(self.spool().width, free));
        let brim = outer.filter(|_| room.m() > 0.1).and_then(|w| {
            let mut pieces = self.pieces().to_vec();
            pieces.pop();
            pieces.push(Wound { length: w.length + room, ..w.clone() });
            LoadedSpool::wind(*self.spool(), pieces).ok()
        });
        UnderFill {
            room,
            depth: (rim - full).max(Length::ZERO),
            drag_over_full: (rim / full).max(1.0),
            growth_last_fifth: self.growth(out),
            growth_if_full: brim.as_ref().map_or_else(|| self.growth(out), |b| b.growth(out)),
            retrieve_over_full: (full / rim).min(1.0),
        }
    }
}

impl Spool {
    /// How much of a line fits on top of what is wound already, up to `below_rim` under the rim. Zero where there
    /// is no room.
    ///
    /// Units as the types say; `packing` 0.3 to 0.907 (see [`super::spool`]).
    pub fn fits_on(&self, below: &[Wound], diameter: Length, packing: f64, below_rim: Length) -> Length {
        let growth = |w: &Wound| w.length.m() * sq(w.diameter.m()) / (4.0 * w.packing * self.width.m());
        let start = sq(self.arbor.m()) + below.iter().map(growth).sum::<f64>();
        let end = sq((self.rim - below_rim).m().max(0.0));
        Wound::new("", Length::ZERO, diameter, packing).fills(self.width, (end - start).max(0.0))
    }
}

/// The spool as the load path tells it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpoolReport {
    /// All line on the spool.
    #[serde(rename = "on_spool_m", serialize_with = "as_m")]
    pub on_spool: Length,
    /// Line left on the spool at the moment asked.
    #[serde(rename = "left_m", serialize_with = "as_m")]
    pub left: Length,
    /// Radius at the rim, of the arbor, and width, as planned.
    #[serde(rename = "rim_mm", serialize_with = "as_mm")]
    pub rim: Length,
    /// Radius of the arbor.
    #[serde(rename = "arbor_mm", serialize_with = "as_mm")]
    pub arbor: Length,
    /// Width between the flanges.
    #[serde(rename = "width_mm", serialize_with = "as_mm")]
    pub width: Length,
    /// How full it is.
    #[serde(flatten)]
    pub fill: UnderFill,
    /// Radius at the moment asked over the spool's band, mm.
    pub radius_mm: Ends,
    /// Depth of the line below the rim at the moment asked over the spool's band, mm.
    pub depth_mm: Ends,
    /// Line won by a turn of the handle in the fast gear at the moment asked over the spool's band, m; nothing where the
    /// gears are not known.
    pub turn_m: Option<Ends>,
    /// Drag growth at the moment asked over the spool's band.
    pub growth: Ends,
    /// Tension at the hook at the moment asked over the spool's band, N.
    pub hook_n: Ends,
    /// How much of the outermost line the bare spool would hold over its band, m.
    pub holds_m: Ends,
    /// How far all this can be trusted.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
    /// What must be said of it.
    pub told: Vec<String>,
    /// What to measure first.
    pub measure_first: Option<&'static str>,
}

/// The three loaded spools of a band.
#[derive(Clone, Debug)]
pub struct LoadedBand {
    /// What is planned with.
    pub planned: LoadedSpool,
    /// Least room.
    pub least: LoadedSpool,
    /// Middle.
    pub central: LoadedSpool,
    /// Most room.
    pub most: LoadedSpool,
    /// The bare spool.
    pub spool: SpoolBand,
    /// Grade of all of it, line included.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
}

impl LoadedBand {
    /// Depth below the rim by which a crew may know that so much is out: of a spool known by its label the least of the
    /// band, so that it is seen too early and never too late.
    pub fn depth_mark(&self, line_out: Length) -> Length {
        let of = |s: &LoadedSpool| s.depth_below_rim(line_out);
        let planned = of(&self.planned);
        if self.spool.by_label {
            [&self.least, &self.central, &self.most].into_iter().map(of).fold(planned, Length::min)
        } else {
            planned
        }
    }

    /// Drag growth with so much out: least, middle, most.
    pub fn growth(&self, line_out: Length) -> Band<f64> {
        let e =
            Ends::of(self.most.growth(line_out), self.central.growth(line_out), self.least.growth(line_out));
        Band { low: e.low, central: e.central, high: e.high }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::spool::PACKING_SQUARE;
    use proptest::prelude::*;

    fn spool() -> Spool {
        Spool::new(Length::of_mm(57.0), Length::of_mm(19.0), Length::of_mm(78.0)).unwrap()
    }
    fn wound(m: f64) -> Wound {
        Wound::new("main", Length::of_m(m), Length::of_mm(0.9), PACKING_SQUARE)
    }

    #[test]
    fn a_half_filled_spool_is_told_by_numbers() {
        // r_full^2 = 19^2 + 437 x 0.81e-6/(4 x 0.7854 x 78e-3) in mm^2 = 361 + 1444 -> 42.5 mm (worked by hand).
        let s = LoadedSpool::wind(spool(), vec![wound(437.0)]).unwrap();
        let f = s.under_fill();
        assert!((s.full_radius().mm() - 42.49).abs() < 0.02, "{:?}", s.full_radius());
        assert!((f.depth.mm() - 14.51).abs() < 0.02);
        assert!((f.drag_over_full - 57.0 / 42.49).abs() < 1e-3);
        assert!((f.room.m() - 437.0).abs() < 2.0, "{:?}", f.room);
        assert!(f.growth_if_full < f.growth_last_fifth);
        assert!((f.retrieve_over_full * f.drag_over_full - 1.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn filling_what_is_missing_fills_it(m in 20.0..860.0_f64, mm in 0.3..1.4_f64, below in 0.0..6.0_f64) {
            let s = LoadedSpool::wind(spool(), vec![wound(m)]).unwrap();
            let (d, below) = (Length::of_mm(mm), Length::of_mm(below));
            let more = spool().fits_on(s.pieces(), d, PACKING_SQUARE, below);
            prop_assume!(more > Length::of_m(0.2) && more < Length::of_km(5.0));
            let top = Wound::new("top", more, d, PACKING_SQUARE);
            let full = LoadedSpool::wind(spool(), vec![wound(m), top]).unwrap();
            prop_assert!((full.full_radius() - (spool().rim - below)).m().abs() < 1e-9);
            prop_assert!(s.under_fill().drag_over_full >= full.under_fill().drag_over_full);
        }

        #[test]
        fn a_fuller_spool_is_never_worse(a in 20.0..860.0_f64, b in 20.0..860.0_f64) {
            let f = |m: f64| LoadedSpool::wind(spool(), vec![wound(m)]).unwrap().under_fill();
            let (less, more) = (f(a.min(b)), f(a.max(b)));
            prop_assert!(more.room <= less.room && more.drag_over_full <= less.drag_over_full);
            prop_assert!(more.retrieve_over_full >= less.retrieve_over_full);
        }
    }
}
