//! A line far out: how far out a bait is wise, and by what.
//!
//! Each bound is a distance beyond which one thing no longer holds; the least of them is the answer:
//!
//! * **a boat is seen too late**: from the moment a lookout sees its lights until it is over the line the bait must be
//!   wound in: `(sight / speed - reaction) x winding`, for a fast boat and a slow one. Only where boats run; where nobody is
//!   known to look seaward no boat is seen at all, and no distance keeps it.
//! * **the line left for a run**: bait and the longest run together fit on the spool; where no run was forecast half of
//!   the spool is kept for it.
//! * **the margin**: the line out beyond which no setting of the card keeps every part's margin.
//! * **winding in**: no longer than the crew will leave a bait to be wound in.
//!
//! A line that bellies in the current is longer than the way to the bait: what is wound in and what is gone from the spool
//! is the line out, so each bound on line is divided by line out over distance. Nearer the belly is less than in
//! proportion: the safe side.
//!
//! Beside them stands what a strike does so far away: pulling `s` metres of line adds `s / sum(l / EA)` at the hook
//! (Hooke, the pieces of line in series), so far out only a hook that sets itself sets. Sources: mechanics; the sight of
//! lights and the speeds of boats are figures of `data/limits.toml`, graded there.

use super::line::LinePiece;
use super::tables::Tables;
use crate::facts::{Band, Known};
use crate::quantity::{Force, Length, Span, Speed};
use crate::water::Strand;
use serde::Serialize;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FarAsk {
    /// Rod to bait.
    pub distance: Length,
    /// Line out with its belly; unknown counts as straight.
    pub line_out: Known<Length>,
    /// Line on the spool, all of it.
    pub on_spool: Length,
    /// Most line out in the fights forecast (90 %), the bait's distance included; unknown without a forecast.
    pub fight_out: Known<Length>,
    /// Line out from which no setting keeps the margins; unknown where all of it does.
    pub no_margin_from: Known<Length>,
    /// Line won a second with a bare bait.
    pub winding: Speed,
    /// Longest time to wind in a bait.
    pub patience: Span,
    /// How far off a boat's lights are seen; unknown where nobody is known to look for them.
    pub sight: Known<Length>,
    /// Speed of boats, slow and fast end.
    pub boat: Band<Speed>,
    /// From the sight of it to the first turn of the handle.
    pub react: Span,
    /// Boats run there, or nobody knows that none do.
    pub boats: bool,
}

/// By what a distance is bounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BoundBy {
    /// A boat's lights are seen too late to wind in.
    BoatSeen,
    /// Nobody is known to look for boats.
    NoLookout,
    /// Too little line is left for the run.
    LineLeft,
    /// No setting keeps the margins with so much line out.
    Margin,
    /// It takes too long to wind in.
    WindIn,
}

impl BoundBy {
    /// In words, after "because".
    pub const fn words(self) -> &'static str {
        match self {
            Self::BoatSeen => "a fast boat is over the line before the bait is wound in",
            Self::NoLookout => {
                "nobody is known to look seaward, so a boat is not seen before it takes the line"
            }
            Self::LineLeft => "too little line is left for a run",
            Self::Margin => "no drag setting keeps the margins with so much line out",
            Self::WindIn => "it takes too long to wind in",
        }
    }
}

/// One bound.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bound {
    /// By what.
    pub by: BoundBy,
    /// Farthest bait that keeps it.
    pub most: Length,
}

/// How far out is wise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FarOut {
    /// The bounds, nearest first. The first is the answer.
    pub bounds: Vec<Bound>,
    /// Time to wind the bait in.
    pub wind_in: Span,
    /// Time that the sight of a boat leaves: fast, middling, slow.
    pub warning: Band<Span>,
    /// Farthest bait that is wound in before a slow boat comes.
    pub slow_boat: Length,
}

impl FarOut {
    /// The farthest that is wise; `None` when nothing bounds it.
    pub fn wise(&self) -> Option<Bound> {
        self.bounds.first().copied()
    }

    /// The bounds.
    pub fn of(ask: &FarAsk) -> Self {
        let sight = ask.sight.get().unwrap_or(Length::ZERO);
        let warned = |v: Speed| {
            if v > Speed::ZERO {
                Span::of_s((sight.m() / v.mps() - ask.react.s()).max(0.0))
            } else {
                Span::ZERO
            }
        };
        let line_out = ask.line_out.get().unwrap_or(ask.distance).max(ask.distance);
        let belly = if ask.distance > Length::ZERO { line_out / ask.distance } else { 1.0 };
        let won = |t: Span| Length::of_m(ask.winding.mps().max(0.0) * t.s() / belly);
        let warning = Band {
            low: warned(ask.boat.high),
            central: warned(ask.boat.central),
            high: warned(ask.boat.low),
        };
        let run = match ask.fight_out {
            Known::Known(out) => (out - ask.distance).max(Length::ZERO),
            Known::Unknown => ask.on_spool / 2.0,
        };
        let mut bounds = vec![
            Bound { by: BoundBy::LineLeft, most: (ask.on_spool - run).max(Length::ZERO) / belly },
            Bound { by: BoundBy::WindIn, most: won(ask.patience) },
        ];
        if let Known::Known(from) = ask.no_margin_from {
            bounds.push(Bound { by: BoundBy::Margin, most: from / belly });
        }
        if ask.boats {
            let by = if ask.sight.is_unknown() { BoundBy::NoLookout } else { BoundBy::BoatSeen };
            bounds.push(Bound { by, most: won(warning.low) });
        }
        bounds.sort_by(|a, b| a.most.m().total_cmp(&b.most.m()));
        let wind_in = if ask.winding > Speed::ZERO {
            Span::of_s(line_out.m() / ask.winding.mps())
        } else {
            Span::of_h(24.0)
        };
        Self { bounds, wind_in, warning, slow_boat: won(warning.high) }
    }
}

/// Time until a boat that has the line in its propeller has stripped what is left on the spool.
pub fn stripped(on_spool: Length, distance: Length, boat: Speed) -> Span {
    if boat > Speed::ZERO {
        Span::of_s((on_spool - distance).max(Length::ZERO).m() / boat.mps())
    } else {
        Span::of_h(24.0)
    }
}

/// Pull that a strike adds at the hook when `stroke` of line is taken in at the rod, with so much line out, no slack
/// and no water on it: an upper bound. `line` is the outfit's, innermost piece first. `None` where a piece's material or diameter is not known.
pub fn strike_reaches(line: &[LinePiece], tables: &Tables, out: Length, stroke: Length) -> Option<Force> {
    // Metres of stretch for a newton, the outermost pieces first.
    let mut give = 0.0;
    let mut left = out;
    for piece in line.iter().rev() {
        if left <= Length::ZERO {
            break;
        }
        let row = tables.material(piece.material.get()?);
        let diameter = piece.diameter(tables).get()?.value.central;
        let strand = Strand::new(diameter, row.density.value.central, row.modulus.value.central).ok()?;
        let length = piece.length.min(left);
        give += length.m() / strand.stiffness().n();
        left = left - length;
    }
    (give > 0.0 && left <= Length::of_m(1e-6)).then(|| Force::of_n(stroke.m().max(0.0) / give))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::PackText;
    use crate::tackle::{LineRole, Material};
    use proptest::prelude::*;

    fn m(x: f64) -> Length {
        Length::of_m(x)
    }
    fn kn(x: f64) -> Speed {
        Speed::of_kn(x)
    }
    fn ask(distance: f64) -> FarAsk {
        FarAsk {
            distance: m(distance),
            line_out: Known::Unknown,
            on_spool: m(900.0),
            fight_out: Known::Unknown,
            no_margin_from: Known::Unknown,
            winding: Speed::of_mps(0.8),
            patience: Span::of_min(10.0),
            sight: Known::Known(m(1852.0)),
            boat: Band { low: kn(10.0), central: kn(17.5), high: kn(25.0) },
            react: Span::of_s(15.0),
            boats: true,
        }
    }

    #[test]
    fn a_fast_boat_bounds_it_where_boats_run_and_the_spool_where_none_do() {
        let far = FarOut::of(&ask(300.0));
        // 1852 m at 12.861 m/s: 144.0 s, less 15 s, at 0.8 m/s.
        let wise = far.wise().unwrap();
        assert_eq!(wise.by, BoundBy::BoatSeen);
        assert!((wise.most.m() - 0.8 * (1852.0 / 12.8611 - 15.0)).abs() < 0.01, "{wise:?}");
        assert!((far.slow_boat.m() - 0.8 * (360.0 - 15.0)).abs() < 0.01);
        assert!((far.wind_in.min_() - 6.25).abs() < 1e-9);
        let none = FarOut::of(&FarAsk { boats: false, ..ask(300.0) });
        assert_eq!(none.wise().unwrap(), Bound { by: BoundBy::LineLeft, most: m(450.0) });
        // A forecast run of 250 m leaves 650 m, and winding in bounds it at 480 m.
        let run = FarAsk { boats: false, fight_out: Known::Known(m(550.0)), ..ask(300.0) };
        assert_eq!(FarOut::of(&run).wise().unwrap(), Bound { by: BoundBy::WindIn, most: m(480.0) });
        let thin = FarAsk { no_margin_from: Known::Known(m(200.0)), ..run };
        assert_eq!(FarOut::of(&thin).wise().unwrap(), Bound { by: BoundBy::Margin, most: m(200.0) });
    }

    #[test]
    fn a_belly_brings_every_bound_nearer() {
        let straight = FarAsk { no_margin_from: Known::Known(m(600.0)), ..ask(300.0) };
        let bellied = FarAsk { line_out: Known::Known(m(450.0)), ..straight };
        let of = |a: &FarAsk| FarOut::of(a);
        for (near, far) in of(&bellied).bounds.iter().zip(&of(&straight).bounds) {
            assert_eq!(near.by, far.by);
            assert!((near.most.m() - far.most.m() / 1.5).abs() < 1e-9, "{near:?} {far:?}");
        }
        assert!((of(&bellied).wind_in.min_() - 450.0 / 0.8 / 60.0).abs() < 1e-9);
        // A line that is said to be shorter than the way is straight.
        let short = FarAsk { line_out: Known::Known(m(200.0)), ..straight };
        assert_eq!(of(&short), of(&straight));
    }

    #[test]
    fn nobody_who_looks_sees_no_boat() {
        let wise = |a: &FarAsk| FarOut::of(a).wise().unwrap();
        let blind = FarAsk { sight: Known::Unknown, ..ask(300.0) };
        assert_eq!(wise(&blind), Bound { by: BoundBy::NoLookout, most: Length::ZERO });
        assert_eq!(FarOut::of(&blind).warning, Band::exact(Span::ZERO));
        let empty = FarAsk { boats: false, ..blind };
        assert_eq!(wise(&empty).by, BoundBy::LineLeft);
    }

    #[test]
    fn nylon_far_out_eats_the_strike() {
        let text = include_str!("../../../../data/tackle.toml");
        let tables = Tables::read(&PackText::new("tackle.toml", text)).unwrap();
        let line = [LinePiece::new(
            LineRole::Main,
            m(500.0),
            Material::Nylon,
            Force::of_lbf(80.0),
            Length::of_mm(0.9),
        )];
        // E A = 2.0e9 x 0.6362e-6 = 1272 N at the pack's middle modulus: 2 m over 300 m gives 8.5 N.
        let e = tables.material(Material::Nylon).modulus.value.central.pa();
        let want = 2.0 * e * core::f64::consts::PI / 4.0 * 0.9e-3 * 0.9e-3 / 300.0;
        let got = strike_reaches(&line, &tables, m(300.0), m(2.0)).unwrap();
        assert!((got.n() - want).abs() < 1e-9 && got.n() < 15.0, "{got:?} {want}");
        assert_eq!(strike_reaches(&line, &tables, m(900.0), m(2.0)), None);
        assert!((stripped(m(500.0), m(300.0), Speed::of_mps(10.0)).s() - 20.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn less_line_a_faster_boat_and_slower_winding_never_let_a_bait_lie_farther(
            d in 50.0..600.0f64, line in 200.0..1200.0f64, w in 0.2..2.0f64, v in 5.0..30.0f64, less in 0.1..1.0f64,
        ) {
            let it = FarAsk {
                on_spool: m(line), winding: Speed::of_mps(w), boat: Band { low: kn(5.0), central: kn(v), high: kn(v) }, ..ask(d)
            };
            let most = |a: &FarAsk| FarOut::of(a).wise().unwrap().most.m();
            let base = most(&it);
            let worse = [
                FarAsk { on_spool: m(line * less), ..it },
                FarAsk { winding: Speed::of_mps(w * less), ..it },
                FarAsk { sight: Known::Known(m(1852.0 * less)), ..it },
                FarAsk { sight: Known::Unknown, ..it },
                FarAsk { line_out: Known::Known(m(d / less)), ..it },
                FarAsk { boat: Band { high: kn(v / less), ..it.boat }, ..it },
            ];
            for ask in worse {
                prop_assert!(most(&ask) <= base + 1e-9);
            }
            let no_boats = FarAsk { boats: false, ..it };
            prop_assert!(most(&no_boats) >= base - 1e-9);
        }
    }
}
