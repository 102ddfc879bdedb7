//! Schureman's formulas: the spherical trigonometry of the moon's orbit.
//!
//! P. Schureman, *Manual of Harmonic Analysis and Prediction of Tides*, US Coast and Geodetic
//! Survey Special Publication 98 (1940, revised 1958), formulas 65-79, 197-235.

use super::{NodalParent, NodeFactor, NodeTable, Wanted};
use crate::astro::Longitudes;

// What follows from the obliquity of 23.452° and the moon's inclination of 5.145°; the test works
// them out again.
const COS_INCL_COS_OMEGA: f64 = 0.913_697_573_806_277_5;
const SIN_INCL_SIN_OMEGA: f64 = 0.035_689_535_334_757_75;
const COS_HALF_DIFFERENCE: f64 = 0.987_265_696_036_541_9;
const COS_HALF_SUM: f64 = 0.969_022_197_493_824_1;
const SIN_HALF_DIFFERENCE: f64 = 0.159_079_996_949_592_63;
const SIN_HALF_SUM: f64 = 0.246_973_643_865_575_6;
// The mean coefficients that f counts from.
const MEAN_MM: f64 = 0.502_146_794_512_349_9;
const MEAN_MF: f64 = 0.157_751_087_204_388_05;
const MEAN_O1: f64 = 0.380_007_111_215_229_95;
const MEAN_J1: f64 = 0.721_401_579_268_336_4;
const MEAN_OO1: f64 = 0.016_371_670_937_015_536;
const MEAN_M2: f64 = 0.915_400_376_208_166_8;

/// The moon's orbit against the equator.
#[derive(Clone, Copy)]
struct Orbit {
    cos_i: f64,
    /// I, the inclination to the equator, radians.
    i: f64,
    /// ν, the right ascension of the crossing.
    nu: f64,
    /// ξ, the longitude in the orbit of the crossing.
    xi: f64,
}

impl Orbit {
    /// Special Publication 98, page 156.
    fn new(node: f64) -> Self {
        use libm::{atan2, cos, sin};
        let cos_i = COS_INCL_COS_OMEGA - SIN_INCL_SIN_OMEGA * cos(node);
        let (sine, cosine) = (sin(node / 2.0), cos(node / 2.0));
        let sum = atan2(COS_HALF_DIFFERENCE * sine, COS_HALF_SUM * cosine);
        let difference = atan2(SIN_HALF_DIFFERENCE * sine, SIN_HALF_SUM * cosine);
        Self {
            cos_i,
            i: libm::acos(cos_i),
            nu: sum - difference,
            xi: node - sum - difference,
        }
    }
}

/// Coefficients of f² for the lines that sun and moon make together.
pub(super) struct Lunisolar {
    k1: Together,
    k2: Together,
}

/// f² = moon · x² + both · x · cos(angle) + sun; tan u = x sin(angle) / (x cos(angle) + share).
struct Together {
    moon: f64,
    both: f64,
    sun: f64,
    share: f64,
}

impl Together {
    fn factor(&self, x: f64, angle: f64) -> f64 {
        libm::sqrt(self.moon * x * x + self.both * x * libm::cos(angle) + self.sun)
    }
}

/// Special Publication 98, formulas 227 and 235; 224 and 232 for u (their numbers from memory).
pub(super) const PRINTED: Lunisolar = Lunisolar {
    k1: Together {
        moon: 0.8965,
        both: 0.6001,
        sun: 0.1006,
        share: 0.3347,
    },
    k2: Together {
        moon: 19.0444,
        both: 2.7702,
        sun: 0.0981,
        share: 0.0727,
    },
};

/// Worked out from the elements of Special Publication 98, page 162: with a = 1/2 + 3/4 e² of the
/// moon, b = (1/2 + 3/4 e1²) S' times sin 2ω or sin² ω, and m the mean of the moon's part, they are
/// a², 2ab and b², each over (am + b)², and b / a.
pub(super) const FROM_ELEMENTS: Lunisolar = Lunisolar {
    k1: Together {
        moon: 0.896_593_65,
        both: 0.600_154_30,
        sun: 0.100_431_56,
        share: 0.334_685_77,
    },
    k2: Together {
        moon: 19.055_972_2,
        both: 2.766_818_33,
        sun: 0.100_431_56,
        share: 0.072_597_14,
    },
};

/// Special Publication 98, with the printed page's formula numbers.
pub(super) fn fill(
    longitudes: &Longitudes,
    lunisolar: &Lunisolar,
    wanted: Wanted,
    table: &mut NodeTable,
) {
    use libm::{atan2, cos, sin, sqrt};
    let node = longitudes.node_deg.to_radians();
    let Orbit { cos_i, i, nu, xi } = Orbit::new(node);
    let half = i / 2.0;
    let (sin_i, sin_2i) = (sin(i), sin(2.0 * i));
    let sin2_i = sin_i * sin_i;
    let cos2_half = cos(half) * cos(half);
    let sin2_half = 1.0 - cos2_half;
    let f_o1 = sin_i * cos2_half / MEAN_O1;
    let f_m2 = cos2_half * cos2_half / MEAN_M2;

    let mut set = |parent: NodalParent, f: f64, u_rad: f64| {
        table.set(
            parent as usize,
            NodeFactor {
                f,
                u_deg: crate::astro::wrap_180(u_rad.to_degrees()),
            },
        );
    };
    set(NodalParent::Mm, (2.0 / 3.0 - sin2_i) / MEAN_MM, 0.0);
    set(NodalParent::Mf, sin2_i / MEAN_MF, -2.0 * xi);
    set(NodalParent::O1, f_o1, 2.0 * xi - nu);
    set(NodalParent::J1, sin_2i / MEAN_J1, -nu);
    set(
        NodalParent::Oo1,
        sin_i * sin2_half / MEAN_OO1,
        -2.0 * xi - nu,
    );
    set(NodalParent::M2, f_m2, 2.0 * xi - 2.0 * nu);
    if wanted.has(NodalParent::K1) {
        let k1 = &lunisolar.k1;
        let u = -atan2(sin_2i * sin(nu), sin_2i * cos(nu) + k1.share);
        set(NodalParent::K1, k1.factor(sin_2i, nu), u);
    }
    if wanted.has(NodalParent::K2) {
        let k2 = &lunisolar.k2;
        let u = -atan2(sin2_i * sin(2.0 * nu), sin2_i * cos(2.0 * nu) + k2.share);
        set(NodalParent::K2, k2.factor(sin2_i, 2.0 * nu), u);
    }
    if wanted.has(NodalParent::M1) || wanted.has(NodalParent::L2) {
        let p = longitudes.lunar_perigee_deg.to_radians() - xi;
        let (sin_p, cos_p) = (sin(p), cos(p));
        let (sin_2p, cos_2p) = (2.0 * sin_p * cos_p, cos_p * cos_p - sin_p * sin_p);
        // M1: formulas 194-207, with Q in the quadrant of P.
        let q = atan2((5.0 * cos_i - 1.0) * sin_p, (7.0 * cos_i + 1.0) * cos_p);
        let share = cos_i / cos2_half;
        let m1_ratio = sqrt(0.25 + 1.5 * share * cos_2p + 2.25 * share * share);
        set(NodalParent::M1, f_o1 * m1_ratio, xi - nu + q);
        // L2: formulas 213-215.
        let tan2_half = sin2_half / cos2_half;
        let l2_ratio = sqrt(1.0 - 12.0 * tan2_half * cos_2p + 36.0 * tan2_half * tan2_half);
        let r = atan2(sin_2p, 1.0 / (6.0 * tan2_half) - cos_2p);
        set(NodalParent::L2, f_m2 * l2_ratio, 2.0 * xi - 2.0 * nu - r);
    }
}

/// Special Publication 98, formula 144 and u = ξ - ν.
pub(super) fn m1c(node: f64) -> NodeFactor {
    use libm::{cos, sin};
    let orbit = Orbit::new(node);
    let sine2 = sin(orbit.i / 2.0) * sin(orbit.i / 2.0);
    let cosine = cos(orbit.i / 2.0);
    let f = (1.0 - 10.0 * sine2 + 15.0 * sine2 * sine2) * cosine * cosine / 0.5873;
    NodeFactor {
        f,
        u_deg: (orbit.xi - orbit.nu).to_degrees(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_constants_follow_from_obliquity_and_inclination() {
        use libm::{cos, pow, sin};
        let (omega, incl) = (23.452_f64.to_radians(), 5.145_f64.to_radians());
        let cos4 = pow(cos(incl / 2.0), 4.0);
        let inclined = 1.0 - 1.5 * sin(incl) * sin(incl);
        let cos2_half = cos(omega / 2.0) * cos(omega / 2.0);
        for (printed, worked_out) in [
            (COS_INCL_COS_OMEGA, cos(incl) * cos(omega)),
            (SIN_INCL_SIN_OMEGA, sin(incl) * sin(omega)),
            (COS_HALF_DIFFERENCE, cos((omega - incl) / 2.0)),
            (COS_HALF_SUM, cos((omega + incl) / 2.0)),
            (SIN_HALF_DIFFERENCE, sin((omega - incl) / 2.0)),
            (SIN_HALF_SUM, sin((omega + incl) / 2.0)),
            (MEAN_MM, (2.0 / 3.0 - sin(omega) * sin(omega)) * inclined),
            (MEAN_MF, sin(omega) * sin(omega) * cos4),
            (MEAN_O1, sin(omega) * cos2_half * cos4),
            (MEAN_J1, sin(2.0 * omega) * inclined),
            (MEAN_OO1, sin(omega) * (1.0 - cos2_half) * cos4),
            (MEAN_M2, cos2_half * cos2_half * cos4),
        ] {
            let apart = (printed - worked_out).abs();
            assert!(apart < 1e-15, "{printed} {worked_out}");
        }
    }
}
