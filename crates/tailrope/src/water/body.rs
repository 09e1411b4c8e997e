//! Drag of baits, chunks and fish: (1/2) rho Cd A U^2.
//!
//! Baits go by their frontal area, fish by their wetted skin. A dead bait on a hook does not keep its nose to
//! the stream, so plan with the broadside value and show the other as the low end.

use crate::facts::{Band, Figure, Grade};
use crate::math::sq;
use crate::quantity::{Area, Density, Force, Length, Speed};

/// Drag coefficient of a bait lying across the stream, on width times length (recalled, circular cylinder).
pub const CD_BROADSIDE: f64 = 1.1;
/// Drag coefficient of a cut chunk, on its front (estimate).
pub const CD_CHUNK: f64 = 1.0;

/// Drag coefficient of a dead whole bait, nose to the stream, on its front: 0.2 to 0.4.
pub fn cd_nose_on() -> Figure<Band<f64>> {
    Figure::new(
        Band { low: 0.2, central: 0.3, high: 0.4 },
        Grade::Estimate,
        "dead and loose, so above a streamlined body",
    )
}

/// Drag coefficient of a gliding fish on its wetted skin: 0.0075 to 0.015.
///
/// Gliding billfish 0.0075 and 0.0091 in a wind tunnel; coasting sunfish 0.015 with a deviation of 0.007.
/// A fish that is towed dead or sideways drags more.
pub fn cd_fish_wetted() -> Figure<Band<f64>> {
    Figure::new(
        Band { low: 0.0075, central: 0.0091, high: 0.015 },
        Grade::Published,
        "Sagong, Jeon and Choi 2013, PLoS ONE 8(12):e81323; Gellman and others, coasting bluegill (abstract)",
    )
}

/// Drag of any body in a stream.
pub fn body_drag(cd: f64, area: Area, speed: Speed, density: Density) -> Force {
    Force::of_n(0.5 * density.kg_m3() * cd * area.m2() * sq(speed.mps()))
}

/// Drag of a bait lying across the stream, `width` thick and `length` long.
///
/// ```
/// use tailrope::{quantity::{Density, Length, Speed}, water::{CD_BROADSIDE, bait_broadside}};
/// let (w, l) = (Length::of_mm(90.0), Length::of_mm(350.0));
/// let f = bait_broadside(CD_BROADSIDE, w, l, Speed::of_mps(0.6), Density::of_kg_m3(1025.0));
/// assert!((f.n() - 6.393).abs() < 0.001);
/// ```
pub fn bait_broadside(cd: f64, width: Length, length: Length, speed: Speed, density: Density) -> Force {
    body_drag(cd, Area::of_m2(width.m() * length.m()), speed, density)
}

/// Drag of a bait with its nose to the stream, `diameter` thick.
pub fn bait_nose_on(cd: f64, diameter: Length, speed: Speed, density: Density) -> Force {
    body_drag(cd, Area::of_m2(core::f64::consts::PI / 4.0 * sq(diameter.m())), speed, density)
}
