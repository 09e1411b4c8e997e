//! The hold pack (`data/hold.toml`): how sinkers sit in sand, baits of unknown size, a bed that waves stir; with grade
//! and source of every figure.

use crate::Result;
use crate::facts::{Band, Figure, PackText, Source};
use crate::quantity::{Angle, Density, Length, Mass, Pressure, Speed};
use serde::{Deserialize, Serialize};

/// What the pack is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meta {
    /// `hold`.
    pub id: String,
    /// In words.
    pub title: String,
    /// Day on which it was written.
    pub as_of: String,
}

/// How a wired sinker sits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetRows {
    /// Angle of friction of the sand.
    pub sand: Figure<Band<Angle>>,
    /// How deep the body is buried.
    pub body_depth: Figure<Band<Length>>,
    /// How deep the wires stand.
    pub wire_depth: Figure<Band<Length>>,
}

/// The sinker itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SinkerRows {
    /// Width of the body square to the pull.
    pub body_width: Figure<Length>,
    /// Wires, where nobody counts them.
    pub wires: Figure<u8>,
    /// Diameter of a wire.
    pub wire_diameter: Figure<Length>,
    /// Stress at which a wire bends for good.
    pub wire_yield: Figure<Pressure>,
    /// Density of the body.
    pub lead: Figure<Density>,
    /// Friction of a body that slides on the sand.
    pub slides: Figure<Band<f64>>,
    /// Heaviest sinker of the trade.
    pub usual_most: Figure<Mass>,
    /// What theory is divided by for planning.
    pub divisor: Figure<f64>,
    /// Share of a pull test that counts in water that stirs the sand.
    pub pull_test_kept: Figure<Band<f64>>,
}

/// The bait of which nobody said the size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BaitRows {
    /// Its length.
    pub length: Figure<Length>,
    /// Its width.
    pub width: Figure<Length>,
}

/// The bed under waves, by the greatest water speed there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BedRows {
    /// From here sand moves.
    pub moves: Figure<Speed>,
    /// From here a half-set sinker is worked loose or in, as luck has it.
    pub stirred: Figure<Speed>,
    /// From here the sand moves as a sheet.
    pub sheet: Figure<Speed>,
}

/// The pack as read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoldPack {
    /// What it is.
    pub meta: Meta,
    /// Half set, soon after the cast.
    pub half_set: SetRows,
    /// Well worked in.
    pub well_set: SetRows,
    /// The sinker.
    pub sinker: SinkerRows,
    /// The bait.
    pub bait: BaitRows,
    /// The bed.
    pub bed: BedRows,
    /// Sources by handle.
    pub source: Vec<Source>,
}

/// A figure to be checked: where, its three values, what it may be, its source.
struct Row<'a>(&'static str, [f64; 3], (f64, f64), &'a str);

fn three<T: Copy>(f: &Figure<Band<T>>, number: impl Fn(T) -> f64) -> [f64; 3] {
    [number(f.value.low), number(f.value.central), number(f.value.high)]
}

impl HoldPack {
    /// Reads and checks the pack: every figure within what it can mean, bands in order, every handle among the
    /// sources.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let pack: Self = text.read()?;
        if pack.meta.id != "hold" {
            return Err(text.refuse(
                "meta.id",
                format!("the pack is `{}`", pack.meta.id),
                "hold",
                "give the hold pack",
            ));
        }
        for Row(path, [low, central, high], (least, most), source) in pack.rows() {
            // Written so that a NaN fails.
            if !(low >= least && low <= central && central <= high && high <= most) {
                return Err(text.refuse(
                    path,
                    format!("the figure is {low}, {central}, {high}"),
                    format!("{least} to {most} in rising order"),
                    "correct this figure",
                ));
            }
            if !pack.source.iter().any(|s| s.id == source) {
                return Err(text.refuse(
                    path,
                    format!("there is no source `{source}`"),
                    "the id of a [[source]] of this pack",
                    "add the source, or name another",
                ));
            }
        }
        Ok(pack)
    }

    /// The citation behind a handle; the handle itself where there is none.
    pub fn cite<'a>(&'a self, handle: &'a str) -> &'a str {
        self.source.iter().find(|s| s.id == handle).map_or(handle, |s| s.cite.as_str())
    }

    fn rows(&self) -> Vec<Row<'_>> {
        let (s, bait, bed) = (&self.sinker, &self.bait, &self.bed);
        let mut rows = Vec::new();
        for (names, set) in [
            (["half_set.sand", "half_set.body_depth", "half_set.wire_depth"], &self.half_set),
            (["well_set.sand", "well_set.body_depth", "well_set.wire_depth"], &self.well_set),
        ] {
            let [sand, body, wire] = names;
            rows.push(Row(sand, three(&set.sand, Angle::deg), (20.0, 45.0), &set.sand.source));
            rows.push(Row(body, three(&set.body_depth, Length::mm), (0.0, 300.0), &set.body_depth.source));
            rows.push(Row(wire, three(&set.wire_depth, Length::mm), (0.0, 300.0), &set.wire_depth.source));
        }
        let mut one = |path, x: f64, bounds, source| rows.push(Row(path, [x; 3], bounds, source));
        one("sinker.body_width", s.body_width.value.mm(), (5.0, 200.0), &s.body_width.source);
        one("sinker.wires", f64::from(s.wires.value), (1.0, 12.0), &s.wires.source);
        one("sinker.wire_diameter", s.wire_diameter.value.mm(), (0.5, 10.0), &s.wire_diameter.source);
        one("sinker.wire_yield", s.wire_yield.value.mpa(), (20.0, 2000.0), &s.wire_yield.source);
        one("sinker.lead", s.lead.value.kg_m3(), (1500.0, 20_000.0), &s.lead.source);
        one("sinker.usual_most", s.usual_most.value.g(), (50.0, 5000.0), &s.usual_most.source);
        one("sinker.divisor", s.divisor.value, (1.0, 10.0), &s.divisor.source);
        one("bait.length", bait.length.value.mm(), (10.0, 2000.0), &bait.length.source);
        one("bait.width", bait.width.value.mm(), (5.0, 1000.0), &bait.width.source);
        let bounds = (0.01, 5.0);
        rows.push(Row("bed.moves", [bed.moves.value.mps(); 3], bounds, &bed.moves.source));
        let rising = [bed.moves.value.mps(), bed.stirred.value.mps(), bed.sheet.value.mps()];
        rows.push(Row("bed.stirred", rising, bounds, &bed.stirred.source));
        rows.push(Row("bed.sheet", [bed.sheet.value.mps(); 3], bounds, &bed.sheet.source));
        rows.push(Row("sinker.slides", three(&s.slides, |x| x), (0.0, 1.5), &s.slides.source));
        let kept = three(&s.pull_test_kept, |x| x);
        rows.push(Row("sinker.pull_test_kept", kept, (0.05, 1.0), &s.pull_test_kept.source));
        rows
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub const TEXT: &str = include_str!("../../../../data/hold.toml");

    pub fn shipped() -> HoldPack {
        HoldPack::read(&PackText::new("hold.toml", TEXT)).unwrap()
    }

    #[test]
    fn every_bad_figure_is_named_by_its_key() {
        shipped();
        for (from, to, place) in [
            ("divisor = { value = 2.0", "divisor = { value = 0.5", "sinker.divisor"),
            ("low = 0.8, central", "low = 1.1, central", "sinker.pull_test_kept"),
            ("value = \"0.6m/s\"", "value = \"1.6m/s\"", "bed.stirred"),
            ("source = \"lead\" }", "source = \"led\" }", "sinker.lead"),
            ("id = \"hold\"", "id = \"held\"", "meta.id"),
            ("low = \"40mm\"", "low = \"70mm\"", "half_set.body_depth"),
            ("body_width =", "body_wide =", "body_wide"),
        ] {
            let bad = TEXT.replacen(from, to, 1);
            assert_ne!(bad, TEXT, "{from}");
            let e = HoldPack::read(&PackText::new("hold.toml", &bad)).unwrap_err();
            assert!(e.to_string().contains(place), "{place}: {e}");
        }
    }
}
