//! The constituents: the 37 of the agency's tables, and those that stations elsewhere carry besides.
//!
//! Three lists in one order: [`CONSTITUENTS`] (Schureman 1940, table 2, as NOAA uses it), [`OTHERS`] with arguments of
//! their own, and [`COMPOUNDS`], of which only the names are kept; argument and node follow from the letters
//! (`letters`). Speeds of all names are checked against a published list (IHO 2017, as a public package carries
//! it). What is on none of the lists is left out and said: a constituent with a wrong argument is worse than none.
//!
//! Sources of [`OTHERS`], second-hand: Schureman's table 2 as documented by CNES for its prediction library; IHO,
//! standard list of tidal constituents (2017). Where neither gives a node rule a line stands by itself (f = 1).

use super::astro::Base;
use super::letters;
use Base::{Eta2, J1, K1, K2, L2, M1, M2, Mf, Mm, O1, Oo1};
use std::borrow::Cow;

/// One constituent: how its argument is made, and what the node does to it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Constituent {
    /// Name as the tables give it.
    pub name: &'static str,
    /// Multiples of the Sun's hour angle (zero at noon), s, h, p, p1.
    pub v: [i8; 5],
    /// Added constant, degrees.
    pub constant_deg: f64,
    /// Bases with the power of f and the multiple of u.
    pub node: Cow<'static, [(Base, f64, f64)]>,
    /// What amplitudes under this name are multiplied with.
    pub scale: f64,
}

const fn c(
    name: &'static str,
    v: [i8; 5],
    constant_deg: f64,
    node: &'static [(Base, f64, f64)],
) -> Constituent {
    Constituent { name, v, constant_deg, node: Cow::Borrowed(node), scale: 1.0 }
}

/// A line whose amplitudes are multiplied.
const fn scaled(
    scale: f64,
    name: &'static str,
    v: [i8; 5],
    constant_deg: f64,
    node: &'static [(Base, f64, f64)],
) -> Constituent {
    Constituent { name, v, constant_deg, node: Cow::Borrowed(node), scale }
}

/// In the order of the agency's tables (NOAA CO-OPS); arguments and node rules after Schureman (1940), table 2.
/// NOAA's Sa is the plain h, its M1 carries p and the rule of Schureman's paragraph on M1.
#[rustfmt::skip]
pub(super) static CONSTITUENTS: [Constituent; 37] = [
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

/// Lines with an argument of their own that the agency's tables do not carry.
///
/// - 3N2 and 3L2 are the third-degree tides beside N2 and L2 (Ray 2020); no node rule was found.
/// - MA2 and MB2 are the yearly side lines of M2 without p1, ALPHA2 and M(KS)2 the same with p1.
/// - SGM, S3, T3, R3 are names of TICON-4, whose arguments leave out the constant of the species, and in SGM have
///   it the wrong way round (see [`correction`]); R3 has the speed and node of SK3.
/// - SA_KV, S1_KV, OQ2_KV are the Norwegian (Canadian) Sa with p1, S1 with the share that its yearly side lines
///   add (Wallner's rule: 154.3 degrees and 0.699), and OQ2, which is not IHO's.
/// - NO1 is the main line of M1 alone: 0.701 of it is Schureman's M1 (Wallner).
/// - 2MS8, 2MN8, M2KS2 stand for 2(MS)8, 2(MN)8, M2(KS)2 and break the letters' rule.
#[rustfmt::skip]
static OTHERS: [Constituent; 30] = [
    c("SA_KV", [0, 0, 1, 0, -1], 0.0, &[]),
    c("MTM", [0, 3, 0, -1, 0], 0.0, &[(Mf, 1.0, 1.0)]),
    c("MSQM", [0, 4, -2, 0, 0], 0.0, &[(Mf, 1.0, 1.0)]),
    c("ALP1", [1, -5, 3, 1, 0], 90.0, &[(O1, 1.0, 1.0)]),
    c("SIGMA1", [1, -4, 3, 0, 0], 90.0, &[(O1, 1.0, 1.0)]),
    c("SGM", [1, -4, 3, 0, 0], -90.0, &[(O1, 1.0, 1.0)]),
    c("TAU1", [1, -2, 3, 0, 0], -90.0, &[(K1, 1.0, 1.0)]),
    scaled(0.701, "NO1", [1, -1, 1, 1, 0], -90.0, &[(M1, 1.0, 1.0)]),
    c("CHI1", [1, -1, 3, -1, 0], -90.0, &[(J1, 1.0, 1.0)]),
    c("PI1", [1, 0, -2, 0, 1], 90.0, &[]),
    scaled(0.699, "S1_KV", [1, 0, 0, 0, 0], -154.3, &[]),
    c("PSI1", [1, 0, 2, 0, -1], -90.0, &[]),
    c("PHI1", [1, 0, 3, 0, 0], -90.0, &[]),
    c("THETA1", [1, 1, -1, 1, 0], -90.0, &[(J1, 1.0, 1.0)]),
    c("OQ2_KV", [2, -5, 2, 3, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("EPS2", [2, -5, 4, 1, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("3N2", [2, -3, 2, 0, 0], 0.0, &[]),
    c("GAMMA2", [2, -2, 0, 2, 0], 180.0, &[]),
    c("ALPHA2", [2, -2, 1, 0, 1], 180.0, &[(M2, 1.0, 1.0)]),
    c("MA2", [2, -2, 1, 0, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("MB2", [2, -2, 3, 0, 0], 0.0, &[(M2, 1.0, 1.0)]),
    c("M(KS)2", [2, -2, 3, 0, -1], 0.0, &[(M2, 1.0, 1.0)]),
    c("M2KS2", [2, -2, 6, 0, 0], 0.0, &[(M2, 1.0, 1.0), (K2, 2.0, 2.0)]),
    c("3L2", [2, -1, 2, 0, 0], 0.0, &[]),
    c("ETA2", [2, 1, 2, -1, 0], 0.0, &[(Eta2, 1.0, 1.0)]),
    c("T3", [3, 0, -1, 0, 0], 180.0, &[]),
    c("S3", [3, 0, 0, 0, 0], 180.0, &[]),
    c("R3", [3, 0, 1, 0, 0], 180.0, &[(K1, 1.0, 1.0)]),
    c("2MS8", [8, -4, 4, 0, 0], 0.0, &[(M2, 2.0, 2.0)]),
    c("2MN8", [8, -10, 8, 2, 0], 0.0, &[(M2, 4.0, 4.0)]),
];

/// Compounds that stations carry: their letters say all.
#[rustfmt::skip]
static COMPOUNDS: [&str; 80] = [
    "MP1", "TK1", "RP1", "KP1", "2PO1", "SO1",
    "2NS2", "MLN2S2", "MNS2", "2ML2S2", "2MS2K2", "MKL2S2", "OP2", "MKS2", "2SNMK2", "MSN2", "2KMSN2", "SKM2",
    "NO3", "MO3", "SO3", "SK3",
    "N4", "3MS4", "2MLS4", "SN4", "ML4", "MK4", "SL4", "SK4",
    "MNO5", "2MO5", "3MP5", "MNK5", "2MP5", "2MK5", "MSK5", "3KM5", "2SK5",
    "2NMLS6", "2NM6", "2MLNS6", "2MN6", "3MLS6", "MSN6", "2ML6", "2MS6", "2MK6", "MSL6", "2SM6", "MSK6",
    "2MNO7", "2NMK7", "2MSO7", "3MK7", "MSKO7",
    "3MN8", "4MLS8", "2MSN8", "3ML8", "3MS8", "3MK8", "2MSL8", "2MSK8",
    "2M2NK9", "3MNK9", "4MK9", "3MSK9",
    "4MN10", "M10", "3MNS10", "4MS10", "3MSL10", "3M2S10",
    "4MSK11", "4MNS12", "5MS12", "4MSL12", "4M2S12", "M12",
];

/// What a source's constants of some names are corrected by: a factor for the amplitude, degrees for the lag.
///
/// TICON-4 leaves the species' constant out of the arguments of M1, 2MO5 and 2MK5. Not documented; found by
/// comparing gauges that several sources analysed: M1 lags 108 degrees less than NOAA's at 199 gauges with more than
/// 8 mm of it (and 70 less than Norway's NO1 at 44), 2MK5 91 less than Norway's at 36, 2MO5 81 more than NOAA's at the
/// one gauge that has it; all other common names agree within 7 degrees. Norway's R2, as Canada's, carries its side
/// lines (Wallner's rule; 52 gauges say 1.31 and 2 degrees).
pub(super) fn correction(source: &str, name: &str) -> (f64, f64) {
    match name {
        "M1" | "2MK5" if source.starts_with("TICON") => (1.0, 90.0),
        "2MO5" if source.starts_with("TICON") => (1.0, -90.0),
        "R2" if source.starts_with("Kartverket") => (1.233, -5.1),
        _ => (1.0, 0.0),
    }
}

/// Position of a name in the three lists, in any usual spelling.
pub(super) fn find(name: &str) -> Option<usize> {
    let upper = name.trim().to_ascii_uppercase();
    let ours = SPELLINGS.iter().find(|(other, _)| *other == upper).map_or(upper.as_str(), |(_, ours)| ours);
    names().position(|n| n == ours)
}

/// Other spellings in use, and ours.
const SPELLINGS: [(&str, &str); 8] = [
    ("LAMBDA2", "LAM2"),
    ("LDA2", "LAM2"),
    ("RHO1", "RHO"),
    ("NUE2", "NU2"),
    ("MI2", "MU2"),
    ("EP2", "EPS2"),
    // Schureman's KJ2 is eta 2; by its letters it would be turned by 180 degrees.
    ("KJ2", "ETA2"),
    ("SIG1", "SIGMA1"),
];

fn names() -> impl Iterator<Item = &'static str> {
    CONSTITUENTS.iter().chain(&OTHERS).map(|c| c.name).chain(COMPOUNDS)
}

/// Name at a position.
pub(super) fn name(index: usize) -> Option<&'static str> {
    names().nth(index)
}

/// The constituent at a position.
pub(super) fn get(index: usize) -> Option<Constituent> {
    match CONSTITUENTS.iter().chain(&OTHERS).nth(index) {
        Some(c) => Some(c.clone()),
        None => {
            COMPOUNDS.get(index - CONSTITUENTS.len() - OTHERS.len()).and_then(|name| letters::compound(name))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::astro::speed_deg_h;
    use super::*;

    const SPEEDS: &str = include_str!("../../../tests/reference/fixtures/constituent_speeds.csv");

    #[test]
    fn every_name_is_found_once_and_can_be_read() {
        for (i, n) in names().enumerate() {
            assert_eq!((find(n), name(i)), (Some(i), Some(n)));
            assert_eq!(get(i).unwrap_or_else(|| panic!("{n}")).name, n);
        }
        let end = names().count();
        assert_eq!((name(end), get(end)), (None, None));
        assert_eq!(find("lambda2"), find("LAM2"));
        assert_eq!(find(" Rho1"), find("RHO"));
        assert_eq!(find("eps2"), find("EP2"));
    }

    #[test]
    fn speeds_of_all_stations_names_are_the_published_ones() {
        // OO2: O1 + O1 by its letters, O1 + Q1 by the list; nobody says what the station means.
        // 3N2: the list gives the speed of MKS2, which the same stations carry besides. T3: the list adds p1.
        let (mut known, mut unknown) = (0, Vec::new());
        for line in SPEEDS.lines().filter(|l| !l.starts_with('#')).skip(1) {
            let (name, speed) = line.split_once(',').unwrap();
            let Some(c) = find(name).and_then(get) else {
                unknown.push(name);
                continue;
            };
            known += 1;
            let off = (speed_deg_h(&c) - speed.parse::<f64>().unwrap()).abs();
            match name {
                "3N2" => assert!((speed_deg_h(&c) - 28.4350877).abs() < 1e-6),
                "T3" => assert!(off < 3e-6, "{off}"),
                // The list's own numbers for it (2 565 545) give 29.0251709, and so do Foreman's for H2.
                "M(KS)2" => assert!((speed_deg_h(&c) - 29.0251709).abs() < 1e-6),
                _ => assert!(off < 1e-6, "{name} {off}"),
            }
        }
        assert_eq!((known, &unknown[..]), (155, &["OO2"][..]));
        // Norway's own (Foreman 1977).
        for (name, cycles_an_hour) in [("ALP1", 0.0343965699), ("OQ2_KV", 0.0759749451)] {
            let c = find(name).and_then(get).unwrap();
            assert!((speed_deg_h(&c) / 360.0 - cycles_an_hour).abs() < 3e-9, "{name}");
        }
        assert_eq!(find("BET1"), None);
    }

    #[test]
    fn a_source_s_own_reading_of_a_name_is_put_right() {
        let v = |name: &str| find(name).and_then(get).map(|c| (c.v, c.constant_deg)).unwrap();
        // TICON-4's R3 is SK3 with an argument 90 degrees behind, as its M1 and 2MK5 are behind ours: 3 T + h.
        assert_eq!(v("R3").0, v("SK3").0);
        assert_eq!((v("R3").1 - v("SK3").1).rem_euclid(360.0), 270.0);
        // Without the species' constant an argument is that of midnight: n times 180 degrees against noon.
        for (name, cycles) in
            [("R3", 3), ("S3", 3), ("T3", 3), ("MA2", 2), ("MB2", 2), ("3L2", 2), ("3N2", 2)]
        {
            assert_eq!(v(name).1, if cycles % 2 == 1 { 180.0 } else { 0.0 }, "{name}");
        }
        for (name, cycles) in [("M1", 1), ("2MK5", 5), ("2MO5", 5)] {
            let (_, added) = correction("TICON-4, station x", name);
            // Lag as ours = lag as theirs + (V ours - V theirs).
            let theirs = f64::from(cycles) * 180.0;
            assert_eq!((v(name).1 - theirs).rem_euclid(360.0), added.rem_euclid(360.0), "{name}");
            assert_eq!(correction("NOAA", name), (1.0, 0.0));
        }
        assert_eq!(correction("Kartverket (Norwegian Mapping Authority), station x", "R2"), (1.233, -5.1));
        assert_eq!(correction("TICON-4, station x", "R2"), (1.0, 0.0));
    }
}
