//! Satellite sums: f and u of a line from the lines about it, with their theoretical ratios.
//!
//! A main line and its satellites differ in the last three Doodson numbers alone. With Δ those
//! differences, α a constant in quarter turns and r the ratio of amplitudes, f e^iu = 1 + Σ r
//! e^i(Δp p + ΔN N′ + Δp₁ p₁ + α). Diurnal satellites of the third degree have a ratio that depends
//! on latitude as 0.36309 (1 - 5 sin² φ) / sin φ, semidiurnal ones as 2.59808 sin φ; within 5° of
//! the equator the latitude is taken as 5°, where the first would go beyond all bounds.
//!
//! Table and formulas: M. G. G. Foreman, *Manual for tidal heights analysis and prediction*,
//! Pacific Marine Science Report 77-10 (1977, revised 2004), appendix 7.1, as two public programs
//! carry it (utide 0.4.0, hatyan 2.14.0), which agree in every figure. Line 0 of the table, the
//! mean level, is left out.

use core::hash::{Hash, Hasher};

use super::{NodeTable, Wanted, from_parts};
use crate::astro::Longitudes;
use crate::error::{Error, in_range};

/// A latitude north, degrees, -90 to 90.
///
/// ```
/// use wrackline_tides::Latitude;
/// assert_eq!(Latitude::new(67.3)?.deg(), 67.3);
/// assert!(Latitude::new(97.3).is_err());
/// # Ok::<(), wrackline_tides::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "f64", into = "f64"))]
pub struct Latitude(f64);

// Never a number that is not equal to itself.
impl Eq for Latitude {}

impl Hash for Latitude {
    fn hash<H: Hasher>(&self, state: &mut H) {
        // The two zeros are equal.
        (self.0 + 0.0).to_bits().hash(state);
    }
}

impl Latitude {
    /// Checks a latitude.
    ///
    /// # Errors
    /// [`Error::OutOfRange`].
    pub fn new(latitude_deg: f64) -> Result<Self, Error> {
        in_range("latitude", latitude_deg, [-90.0, 90.0], "deg").map(Self)
    }

    /// Degrees north.
    #[must_use]
    pub fn deg(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Latitude {
    type Error = Error;

    fn try_from(latitude_deg: f64) -> Result<Self, Error> {
        Self::new(latitude_deg)
    }
}

impl From<Latitude> for f64 {
    fn from(latitude: Latitude) -> Self {
        latitude.0
    }
}

/// A line with satellites of its own, by the name that it has in the list of constituents.
pub(super) struct Main {
    name: &'static str,
    /// Multiples of τ, s, h, p, N′ and p₁, and the constant in quarter turns: for the test that the
    /// list has the same line.
    #[cfg_attr(
        not(test),
        allow(dead_code, reason = "the list of constituents has them too")
    )]
    doodson: [i8; 6],
    #[cfg_attr(
        not(test),
        allow(dead_code, reason = "the list of constituents has them too")
    )]
    quarters: i8,
    satellites: &'static [Satellite],
}

/// Differences in p, N′ and p₁, constant in quarter turns, ratio in ten-thousandths, and how the
/// ratio depends on latitude: not (0), as a diurnal line (1) or as a semidiurnal one (2) of the
/// third degree.
type Satellite = (i8, i8, i8, u8, u16, u8);

const fn main(
    name: &'static str,
    doodson: [i8; 6],
    quarters: i8,
    satellites: &'static [Satellite],
) -> Main {
    Main {
        name,
        doodson,
        quarters,
        satellites,
    }
}

/// The main line of a name, if Foreman has it.
pub(crate) fn main_of(name: &str) -> Option<u8> {
    let at = MAINS.iter().position(|main| main.name == name)?;
    u8::try_from(at).ok()
}

/// Fills the table with the factors that are wanted.
pub(super) fn fill(
    longitudes: &Longitudes,
    latitude: Latitude,
    wanted: Wanted,
    table: &mut NodeTable,
) {
    let degrees = if latitude.0.abs() < 5.0 {
        5.0_f64.copysign(latitude.0)
    } else {
        latitude.0
    };
    let sine = libm::sin(degrees.to_radians());
    let by_latitude = [
        1.0,
        0.36309 * (1.0 - 5.0 * sine * sine) / sine,
        2.59808 * sine,
    ];
    let perigee = Powers::of(longitudes.lunar_perigee_deg);
    let node = Powers::of(-longitudes.node_deg);
    let solar = Powers::of(longitudes.solar_perigee_deg);
    for (slot, main) in MAINS.iter().enumerate() {
        if !wanted.has_slot(slot) || main.satellites.is_empty() {
            continue;
        }
        let (mut cosines, mut sines) = (1.0, 0.0);
        for (dp, dn, dp1, quarters, ratio, how) in main.satellites {
            let (c, s) = times(times(perigee.to(*dp), node.to(*dn)), solar.to(*dp1));
            let by_latitude = by_latitude.get(usize::from(*how)).copied().unwrap_or(1.0);
            let ratio = f64::from(*ratio) * 1e-4 * by_latitude;
            let (c, s) = match quarters {
                0 => (c, s),
                1 => (-s, c),
                2 => (-c, -s),
                _ => (s, -c),
            };
            cosines += ratio * c;
            sines += ratio * s;
        }
        table.set(slot, from_parts(sines, cosines));
    }
}

/// The first three powers of a number on the unit circle.
struct Powers([(f64, f64); 4]);

impl Powers {
    fn of(angle_deg: f64) -> Self {
        let angle = angle_deg.to_radians();
        let one = (libm::cos(angle), libm::sin(angle));
        let two = times(one, one);
        Self([(1.0, 0.0), one, two, times(two, one)])
    }

    fn to(&self, power: i8) -> (f64, f64) {
        let at = usize::from(power.unsigned_abs());
        let (c, s) = self.0.get(at).copied().unwrap_or((1.0, 0.0));
        (c, if power < 0 { -s } else { s })
    }
}

fn times((a, b): (f64, f64), (c, d): (f64, f64)) -> (f64, f64) {
    (a * c - b * d, a * d + b * c)
}

#[rustfmt::skip]
pub(super) const MAINS: &[Main] = &[
    main("SA(FOREMAN)", [0, 0, 1, 0, 0, -1], 0, &[]),
    main("SSA", [0, 0, 2, 0, 0, 0], 0, &[]),
    main("MSM", [0, 1, -2, 1, 0, 0], 0, &[]),
    main("MM", [0, 1, 0, -1, 0, 0], 0, &[]),
    main("MSF", [0, 2, -2, 0, 0, 0], 0, &[]),
    main("MF", [0, 2, 0, 0, 0, 0], 0, &[]),
    main("ALPHA1", [1, -4, 2, 1, 0, 0], -1, &[(-1, 0, 0, 3, 360, 1), (0, -1, 0, 0, 1906, 0)]),
    main("2Q1", [1, -3, 0, 2, 0, 0], -1, &[
        (-2, -2, 0, 2, 63, 0), (-1, -1, 0, 3, 241, 1), (-1, 0, 0, 3, 607, 1), (0, -2, 0, 2, 63, 0),
        (0, -1, 0, 0, 1885, 0),
    ]),
    main("SIGMA1", [1, -3, 2, 0, 0, 0], -1, &[
        (-1, 0, 0, 3, 95, 1), (0, -2, 0, 2, 61, 0), (0, -1, 0, 0, 1884, 0), (2, 0, 0, 2, 87, 0),
    ]),
    main("Q1", [1, -2, 0, 1, 0, 0], -1, &[
        (-2, -3, 0, 2, 7, 0), (-2, -2, 0, 2, 39, 0), (-1, -2, 0, 3, 10, 1), (-1, -1, 0, 3, 115, 1),
        (-1, 0, 0, 3, 292, 1), (0, -2, 0, 2, 57, 0), (-1, 0, 1, 0, 8, 0), (0, -1, 0, 0, 1884, 0),
        (1, 0, 0, 3, 18, 1), (2, 0, 0, 2, 28, 0),
    ]),
    main("RHO1", [1, -2, 2, -1, 0, 0], -1, &[
        (0, -2, 0, 2, 58, 0), (0, -1, 0, 0, 1882, 0), (1, 0, 0, 3, 131, 1), (2, 0, 0, 2, 576, 0),
        (2, 1, 0, 0, 175, 0),
    ]),
    main("O1", [1, -1, 0, 0, 0, 0], -1, &[
        (-1, 0, 0, 1, 3, 1), (0, -2, 0, 2, 58, 0), (0, -1, 0, 0, 1885, 0), (1, -1, 0, 1, 4, 1),
        (1, 0, 0, 3, 29, 1), (1, 1, 0, 1, 4, 1), (2, 0, 0, 2, 64, 0), (2, 1, 0, 2, 10, 0),
    ]),
    main("TAU1", [1, -1, 2, 0, 0, 0], -3, &[
        (-2, 0, 0, 0, 446, 0), (-1, 0, 0, 1, 426, 1), (0, -1, 0, 2, 284, 0), (0, 1, 0, 2, 2170, 0),
        (0, 2, 0, 2, 142, 0),
    ]),
    main("BETA1", [1, 0, -2, 1, 0, 0], -3, &[(0, -1, 0, 0, 2266, 0)]),
    main("NO1", [1, 0, 0, 1, 0, 0], -3, &[
        (-2, -2, 0, 2, 57, 0), (-2, -1, 0, 0, 665, 0), (-2, 0, 0, 0, 3596, 0),
        (-1, -1, 0, 3, 331, 1), (-1, 0, 0, 1, 2227, 1), (-1, 1, 0, 3, 290, 1),
        (0, -1, 0, 2, 290, 0), (0, 1, 0, 0, 2004, 0), (0, 2, 0, 2, 54, 0),
    ]),
    main("CHI1", [1, 0, 2, -1, 0, 0], -3, &[(0, -1, 0, 2, 282, 0), (0, 1, 0, 0, 2187, 0)]),
    main("PI1", [1, 1, -3, 0, 0, 1], -1, &[(0, -1, 0, 2, 78, 0)]),
    main("P1", [1, 1, -2, 0, 0, 0], -1, &[
        (0, -2, 0, 0, 8, 0), (0, -1, 0, 2, 112, 0), (0, 0, 2, 2, 4, 0), (1, 0, 0, 3, 4, 1),
        (2, 0, 0, 2, 15, 0), (2, 1, 0, 2, 3, 0),
    ]),
    main("S1(FOREMAN)", [1, 1, -1, 0, 0, 1], -3, &[(0, 0, -2, 0, 3534, 0), (0, 1, 0, 2, 264, 0)]),
    main("K1", [1, 1, 0, 0, 0, 0], -3, &[
        (-2, -1, 0, 0, 2, 0), (-1, -1, 0, 3, 1, 1), (-1, 0, 0, 1, 7, 1), (-1, 1, 0, 3, 1, 1),
        (0, -2, 0, 0, 1, 0), (0, -1, 0, 2, 198, 0), (0, 1, 0, 0, 1356, 0), (0, 2, 0, 2, 29, 0),
        (1, 0, 0, 1, 2, 1), (1, 1, 0, 1, 1, 1),
    ]),
    main("PSI1", [1, 1, 1, 0, 0, -1], -3, &[(0, 1, 0, 0, 190, 0)]),
    main("PHI1", [1, 1, 2, 0, 0, 0], -3, &[
        (-2, 0, 0, 0, 344, 0), (-2, 1, 0, 0, 106, 0), (0, 0, -2, 0, 132, 0), (0, 1, 0, 2, 384, 0),
        (0, 2, 0, 2, 185, 0),
    ]),
    main("THETA1", [1, 2, -2, 1, 0, 0], -3, &[
        (-2, -1, 0, 0, 300, 0), (-1, 0, 0, 1, 141, 1), (0, -1, 0, 2, 317, 0), (0, 1, 0, 0, 1993, 0),
    ]),
    main("J1", [1, 2, 0, -1, 0, 0], -3, &[
        (0, -1, 0, 2, 294, 0), (0, 1, 0, 0, 1980, 0), (0, 2, 0, 2, 47, 0), (1, -1, 0, 3, 27, 1),
        (1, 0, 0, 1, 816, 1), (1, 1, 0, 1, 331, 1), (1, 2, 0, 1, 27, 1), (2, 0, 0, 2, 152, 0),
        (2, 1, 0, 2, 98, 0), (2, 2, 0, 2, 57, 0),
    ]),
    main("OO1", [1, 3, 0, 0, 0, 0], -3, &[
        (-2, -1, 0, 2, 37, 0), (-2, 0, 0, 0, 1496, 0), (-2, 1, 0, 0, 296, 0), (-1, 0, 0, 1, 240, 1),
        (-1, 1, 0, 1, 99, 1), (0, 1, 0, 0, 6398, 0), (0, 2, 0, 0, 1342, 0), (0, 3, 0, 0, 86, 0),
    ]),
    main("UPS1", [1, 4, 0, -1, 0, 0], -3, &[
        (-2, 0, 0, 0, 611, 0), (0, 1, 0, 0, 6399, 0), (0, 2, 0, 0, 1318, 0), (1, 0, 0, 1, 289, 1),
        (1, 1, 0, 1, 257, 1),
    ]),
    main("3N2", [2, -3, 0, 3, 0, 0], 0, &[(-1, 0, 0, 1, 1042, 2), (0, -1, 0, 2, 386, 0)]),
    main("EPS2", [2, -3, 2, 1, 0, 0], 0, &[
        (-1, -1, 0, 1, 75, 2), (-1, 0, 0, 1, 402, 2), (0, -1, 0, 2, 373, 0),
    ]),
    main("2N2", [2, -2, 0, 2, 0, 0], 0, &[
        (-2, -2, 0, 2, 61, 0), (-1, -1, 0, 1, 117, 2), (-1, 0, 0, 1, 678, 2), (0, -1, 0, 2, 374, 0),
    ]),
    main("MU2", [2, -2, 2, 0, 0, 0], 0, &[
        (-1, -1, 0, 1, 18, 2), (-1, 0, 0, 1, 104, 2), (0, -1, 0, 2, 375, 0),
    ]),
    main("N2", [2, -1, 0, 1, 0, 0], 0, &[
        (-2, -2, 0, 2, 39, 0), (-1, 0, 1, 0, 8, 0), (0, -2, 0, 0, 5, 0), (0, -1, 0, 2, 373, 0),
    ]),
    main("NU2", [2, -1, 2, -1, 0, 0], 0, &[
        (0, -1, 0, 2, 373, 0), (1, 0, 0, 3, 42, 2), (2, 0, 0, 0, 42, 0), (2, 1, 0, 2, 36, 0),
    ]),
    main("GAMMA2", [2, 0, -2, 2, 0, 0], -2, &[
        (-2, -2, 0, 0, 1429, 0), (-1, 0, 0, 1, 293, 2), (0, -1, 0, 2, 330, 0),
    ]),
    main("ALPHA2", [2, 0, -1, 0, 0, 1], -2, &[(0, -1, 0, 2, 224, 0), (1, 0, -1, 2, 447, 0)]),
    main("M2", [2, 0, 0, 0, 0, 0], 0, &[
        (-1, -1, 0, 3, 1, 2), (-1, 0, 0, 3, 4, 2), (0, -2, 0, 0, 5, 0), (0, -1, 0, 2, 373, 0),
        (1, -1, 0, 1, 1, 2), (1, 0, 0, 3, 9, 2), (1, 1, 0, 3, 2, 2), (2, 0, 0, 0, 6, 0),
        (2, 1, 0, 0, 2, 0),
    ]),
    main("BETA2", [2, 0, 1, 0, 0, -1], 0, &[(0, -1, 0, 2, 217, 0)]),
    main("LAMBDA2", [2, 1, -2, 1, 0, 0], -2, &[(0, -1, 0, 2, 448, 0)]),
    main("L2", [2, 1, 0, -1, 0, 0], -2, &[
        (0, -1, 0, 2, 366, 0), (2, -1, 0, 0, 47, 0), (2, 0, 0, 2, 2505, 0), (2, 1, 0, 2, 1102, 0),
        (2, 2, 0, 2, 156, 0),
    ]),
    main("T2", [2, 2, -3, 0, 0, 1], 0, &[]),
    main("S2", [2, 2, -2, 0, 0, 0], 0, &[
        (0, -1, 0, 0, 22, 0), (1, 0, 0, 3, 1, 2), (2, 0, 0, 0, 1, 0),
    ]),
    main("R2", [2, 2, -1, 0, 0, -1], -2, &[(0, 0, 2, 2, 2535, 0), (0, 1, 2, 0, 141, 0)]),
    main("K2", [2, 2, 0, 0, 0, 0], 0, &[
        (-1, 0, 0, 3, 24, 2), (-1, 1, 0, 3, 4, 2), (0, -1, 0, 2, 128, 0), (0, 1, 0, 0, 2980, 0),
        (0, 2, 0, 0, 324, 0),
    ]),
    main("ETA2", [2, 3, 0, -1, 0, 0], 0, &[
        (0, -1, 0, 2, 187, 0), (0, 1, 0, 0, 4355, 0), (0, 2, 0, 0, 467, 0), (1, 0, 0, 3, 747, 2),
        (1, 1, 0, 3, 482, 2), (1, 2, 0, 3, 93, 2), (2, 0, 0, 2, 78, 0),
    ]),
    main("M3", [3, 0, 0, 0, 0, 0], -2, &[(0, -1, 0, 2, 564, 0)]),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arguments::Arguments;
    use crate::constituent::Constituent;

    /// Where name and satellites are taken from Foreman, the list must mean the same line by the
    /// name.
    #[test]
    fn the_list_has_every_main_line() {
        for main in MAINS {
            let listed = Constituent::named(main.name).unwrap().arguments();
            let offset = 90.0 * f64::from(main.quarters) - 180.0 * f64::from(main.doodson[0]);
            let own = Arguments::from_lunar_time(main.doodson, crate::astro::wrap_360(offset));
            assert_eq!(listed, own, "{}", main.name);
        }
    }

    #[test]
    fn satellites_are_within_reach_of_the_powers() {
        let satellites = MAINS.iter().flat_map(|main| main.satellites);
        assert_eq!(satellites.clone().count(), 162);
        for (dp, dn, dp1, quarters, ratio, how) in satellites {
            assert!([dp, dn, dp1].iter().all(|d| d.abs() <= 3));
            assert!(*quarters < 4 && *ratio < 10_000 && *how < 3);
        }
    }
}
