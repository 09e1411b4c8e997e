//! The 37 constituents of the tide tables.

use super::astro::Base;
use Base::{J1, K1, K2, L2, M1, M2, Mf, Mm, O1, Oo1};

/// One constituent: how its argument is made, and what the node does to it.
#[derive(Debug)]
pub(super) struct Constituent {
    /// Name as the tables give it.
    pub name: &'static str,
    /// Multiples of the Sun's hour angle, s, h, p, p1.
    pub v: [i8; 5],
    /// Added constant, degrees.
    pub constant_deg: f64,
    /// Bases with the power of f and the multiple of u.
    pub node: &'static [(Base, f64, f64)],
}

const fn c(
    name: &'static str,
    v: [i8; 5],
    constant_deg: f64,
    node: &'static [(Base, f64, f64)],
) -> Constituent {
    Constituent { name, v, constant_deg, node }
}

/// Other spellings in use, and ours.
const OTHER_NAMES: [(&str, &str); 5] =
    [("LAMBDA2", "LAM2"), ("LDA2", "LAM2"), ("RHO1", "RHO"), ("NUE2", "NU2"), ("MI2", "MU2")];

/// In the order of the agency's tables (NOAA CO-OPS); arguments and node rules after Schureman (1940), table 2.
/// NOAA's Sa is the plain h, its M1 carries p and the rule of Schureman's paragraph on M1.
#[rustfmt::skip]
pub(super) const CONSTITUENTS: [Constituent; 37] = [
    c("M2", [2, -2, 2, 0, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("S2", [2, 0, 0, 0, 0], 0.0, &[]),
    c("N2", [2, -3, 2, 1, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("K1", [1, 0, 1, 0, 0], -90.0, &[(K1, 1.0, 1.0)]),
    c("M4", [4, -4, 4, 0, 0], 0.0, &[(M2, 2.0, 2.0)]),
    c("O1", [1, -2, 1, 0, 0], 90.0, &[(O1, 1.0, 1.0)]),
    c("M6", [6, -6, 6, 0, 0], 0.0, &[(M2, 3.0, 3.0)]),
    c("MK3", [3, -2, 3, 0, 0], -90.0, &[(M2, 1.0, 1.0), (K1, 1.0, 1.0)]),
    c("S4", [4, 0, 0, 0, 0], 0.0, &[]),
    c("MN4", [4, -5, 4, 1, 0], 0.0, &[(M2, 2.0, 2.0)]),
    c("NU2", [2, -3, 4, -1, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("S6", [6, 0, 0, 0, 0], 0.0, &[]),
    c("MU2", [2, -4, 4, 0, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("2N2", [2, -4, 2, 2, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("OO1", [1, 2, 1, 0, 0], -90.0, &[(Oo1, 1.0, 1.0)]),
    c("LAM2", [2, -1, 0, 1, 0], 180.0, &[(M2, 1.0, 1.0)]),
    c("S1", [1, 0, 0, 0, 0], 0.0, &[]),
    c("M1", [1, -1, 1, 1, 0], -90.0, &[(M1, 1.0, 1.0)]),
    c("J1", [1, 1, 1, -1, 0], -90.0, &[(J1, 1.0, 1.0)]),
    c("MM", [0, 1, 0, -1, 0], 0.0, &[(Mm, 1.0, 1.0)]),
    c("SSA", [0, 0, 2, 0, 0], 0.0, &[]),
    c("SA", [0, 0, 1, 0, 0], 0.0, &[]),
    c("MSF", [0, 2, -2, 0, 0], 0.0, &[(M2, 1.0, -1.0)]),
    c("MF", [0, 2, 0, 0, 0], 0.0, &[(Mf, 1.0, 1.0)]),
    c("RHO", [1, -3, 3, -1, 0], 90.0, &[(O1, 1.0, 1.0)]),
    c("Q1", [1, -3, 1, 1, 0], 90.0, &[(O1, 1.0, 1.0)]),
    c("T2", [2, 0, -1, 0, 1], 0.0, &[]),
    c("R2", [2, 0, 1, 0, -1], 180.0, &[]),
    c("2Q1", [1, -4, 1, 2, 0], 90.0, &[(O1, 1.0, 1.0)]),
    c("P1", [1, 0, -1, 0, 0], 90.0, &[]),
    c("2SM2", [2, 2, -2, 0, 0], 0.0, &[(M2, 1.0, -1.0)]),
    c("M3", [3, -3, 3, 0, 0], 0.0, &[(M2, 1.5, 1.5)]),
    c("L2", [2, -1, 2, -1, 0], 180.0, &[(L2, 1.0, 1.0)]),
    c("2MK3", [3, -4, 3, 0, 0], 90.0, &[(M2, 2.0, 2.0), (K1, 1.0, -1.0)]),
    c("K2", [2, 0, 2, 0, 0], 0.0, &[(K2, 1.0, 1.0)]),
    c("M8", [8, -8, 8, 0, 0], 0.0, &[(M2, 4.0, 4.0)]),
    c("MS4", [4, -2, 2, 0, 0], 0.0, &[(M2, 1.0, 1.0)]),
];

/// Position in [`CONSTITUENTS`] of a name in any usual spelling.
pub(super) fn find(name: &str) -> Option<usize> {
    let upper = name.trim().to_ascii_uppercase();
    let ours = OTHER_NAMES.iter().find(|(other, _)| *other == upper).map_or(upper.as_str(), |(_, ours)| ours);
    CONSTITUENTS.iter().position(|c| c.name == ours)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_found_once() {
        for (i, c) in CONSTITUENTS.iter().enumerate() {
            assert_eq!(find(c.name), Some(i));
        }
        assert_eq!(find("lambda2"), find("LAM2"));
        assert_eq!(find("Rho1"), find("RHO"));
        assert_eq!(find("MA2"), None);
    }
}
