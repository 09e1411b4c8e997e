//! Drag on lines, baits and bodies; the shape of a line in a stream; what it does when it lets go; the hold
//! of an anchor in sand.
//!
//! | question | here |
//! |---|---|
//! | What does the water cost a line that runs? | [`skin_drag`], [`skin_ct`] |
//! | What does a current across a line cost? | [`normal_drag_per_m`], [`cylinder_cn`], [`strum_band`] |
//! | How far does the line belly, and from where does it pull? | [`Belly`], [`run_in_plane`], [`Cable`], [`Pieces`] |
//! | What must the anchor of a bait resist, when does it walk? | [`Soak`] |
//! | What load may a strength check add for a sweep? | [`sweep_bound`] |
//! | How does a line hang, lie on the bed, stretch? | [`Hanging`], [`ElasticCatenary`] |
//! | At what angle does a heavy line tow? | [`critical_angle`] |
//! | What does a bait, a chunk, a fish weigh on the line? | [`body_drag`], [`bait_broadside`], [`bait_nose_on`] |
//! | How hard does a jerk hit, what flies back? | [`Strand::shock`], [`spool_start_up`], [`fly_back`] |
//! | What does a sinker, spike or plank hold? | [`WiredSinker`], [`planning_hold`], [`plank_hold`] |
//!
//! The module knows diameters, lengths, densities and speeds, no tackle: it does not know what a line is
//! called or how strong it is. It is a static model: lines stand still in steady water. A published static
//! model of a fishing line kept within 5 % of its flume shapes; the coefficients are far less certain than
//! that, so bands stand beside the centres.
//!
//! Where no other is named, the source of a formula is the cross-flow principle and the cable equations as
//! in Berteaux, *Buoy Engineering* (1976), and Faltinsen, *Sea Loads* (1990).

mod belly;
mod body;
mod cable;
mod cylinder;
mod fly_back;
mod ground;
mod hanging;
mod heavy;
mod load;
mod medium;
mod newton;
mod ode;
mod pieces;
mod plane;
mod shape;
mod shock;
mod shoot;
mod skin;
mod soak;
mod strand;
mod stream;
mod sweep;
mod vector;

pub use belly::{AnchorLoad, Belly, bend_radius, small_sag};
pub use body::{CD_BROADSIDE, CD_CHUNK, bait_broadside, bait_nose_on, body_drag, cd_fish_wetted, cd_nose_on};
pub use cable::{Cable, NormalLaw};
pub use cylinder::{cylinder_cn, normal_drag_per_m, reynolds, strum_band, strum_frequency_hz, strummed_cn};
pub use fly_back::{FLY_BACK_CAUTION, FlyBack, fly_back};
pub use ground::{
    PLANNING_DIVISOR, Sand, WiredSinker, buried_hold, plank_hold, planning_hold, scaled_drag_anchor,
    sliding_hold, wire_bend_limit,
};
pub use hanging::{ElasticCatenary, EndPull, Hanging};
pub use heavy::critical_angle;
pub use load::LineLoad;
pub use medium::{Viscosity, Water};
pub use pieces::Pieces;
pub use plane::{PlanePoint, run_in_plane};
pub use shape::{LinePoint, Place, Pull, Shape};
pub use shock::{SpoolStart, spool_start_up};
pub use skin::{CT_BRAID, CT_MONO, SKIN_K, SKIN_K_BAND, skin_ct, skin_drag, skin_drag_per_m};
pub use soak::{Keep, Soak, SoakLoad, Walk};
pub use strand::Strand;
pub use stream::{Stream, Velocity};
pub use sweep::{Sweep, sweep_bodily, sweep_bound, with_sweep_bound};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Angle, Area, Density, Force, Length, Pressure, Speed};
    use proptest::prelude::*;

    /// Anything a caller may hand over by mistake, and ordinary values beside it.
    fn any_number() -> impl Strategy<Value = f64> {
        prop_oneof![
            3 => -500.0..500.0f64,
            1 => any::<f64>(),
            1 => prop::sample::select(vec![0.0, -0.0, 1e-300, 1e300, f64::NAN, f64::INFINITY, -1.0]),
        ]
    }

    proptest! {
        #[test]
        fn nothing_panics_or_runs_on(x in prop::array::uniform12(any_number())) {
            let m = |i: usize| Length::of_m(x[i]);
            let n = |i: usize| Force::of_n(x[i]);
            let load = |i: usize| LineLoad::of_n_per_m(x[i]);
            let _ = Belly::at_tension(m(0), n(1), load(2)).map(|b| b.anchor_load(n(3)));
            let _ = Belly::of_length(m(0), m(1), load(2));
            let _ = Hanging::level(n(0), load(1), m(2));
            let _ = ElasticCatenary::free(m(0), m(1), m(2), n(3), load(4));
            let _ = ElasticCatenary::on_bed(m(0), m(1), m(2), n(3), load(4), x[5]);
            let _ = run_in_plane(n(0), Angle::of_deg(x[1]), m(2), load(3), load(4));
            let _ = critical_angle(load(0), load(1));
            let _ = WiredSinker { body_depth: m(0), leg_depth: m(1), ..WiredSinker::HALF_SET }
                .theory(Sand::under_water(Angle::of_deg(x[2])));
            let strand = Strand::new(Length::of_mm(x[6]), Density::of_kg_m3(x[7]), Pressure::of_gpa(x[8]));
            let strand = strand.or(Strand::new(Length::of_mm(0.9), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0))).unwrap();
            let stream = Stream::uniform(Water::SEA, Velocity::level(Speed::of_mps(x[9]), Speed::of_mps(x[10])));
            let soak = Soak {
                line: Pieces::one(Cable { strand, normal: NormalLaw::Cylinder { strum: x[11] }, ct: CT_MONO }),
                rod: Place::new(m(0), m(1), m(2)),
                bait: Place::new(m(3), m(4), m(5)),
                keep: if x[11] > 1.5 { Keep::Tension(n(6)) } else { Keep::Length(m(6)) },
                bait_cd: CD_BROADSIDE,
                bait_area: Area::of_m2(0.03),
            };
            let _ = soak.load(&stream);
        }
    }
}
