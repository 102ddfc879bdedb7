//! Node factors: how the moon's 18.6-year cycle swells and shifts each constituent.
//!
//! A constituent of fixed name stands for a bundle of lines that no short record can tell apart. Its amplitude is
//! multiplied by f and its argument advanced by u, both slow functions of the node N (and for a few of the perigees).
//! Two published sets of formulas are offered:
//!
//! - **Schureman**: P. Schureman, *Manual of Harmonic Analysis and Prediction of Tides*, US Coast and Geodetic Survey Special
//!   Publication 98 (1940, revised 1958), formulas 65-79, 197-235. The obliquity is held at 23.452° and the moon's inclination
//!   at 5.145° as there. The mean coefficients that divide f are evaluated, not taken from the four printed digits: the
//!   difference is 0.03 % in Mf and 0.2 % in OO1.
//! - **IHO**: the series in N and p of A. T. Doodson as printed in the *Standard list of tidal constituents* of the IHO's Tide,
//!   Water Level and Current Working Group (8 May 2017), Annex A; OO1 by Doodson's own series instead of "as KQ1", which
//!   differs from it by up to a fifth.

use crate::astro::Longitudes;

/// Which published formulas give f and u.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Formulas {
    /// Special Publication 98: spherical trigonometry of the moon's orbit. NOAA uses it.
    #[default]
    Schureman,
    /// The same, with the coefficients of K1 and K2 worked out afresh from the elements on its page 162 instead of taken from
    /// formulas 227 and 235, whose last term for K2 is printed as 0.0981 where the elements give 0.1004. Rijkswaterstaat uses
    /// it. f of K2 differs by up to a thousandth.
    SchuremanFromElements,
    /// The series of the IHO list.
    Iho,
}

/// f and u of one constituent at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct NodeFactor {
    /// f, by which the mean amplitude is multiplied.
    pub f: f64,
    /// u, added to the equilibrium argument, degrees in [-180, 180).
    pub u_deg: f64,
}

/// The constituents whose factors have a formula of their own; all others are products of these.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "lowercase"))]
#[non_exhaustive]
pub enum NodalParent {
    /// Lunar monthly.
    Mm,
    /// Lunar fortnightly.
    Mf,
    /// Principal lunar diurnal.
    O1,
    /// Luni-solar diurnal.
    K1,
    /// Smaller elliptic diurnal.
    J1,
    /// Second-order lunar diurnal.
    Oo1,
    /// Elliptic diurnal, two lines of nearly equal size a cycle in 8.85 years apart twice over.
    M1,
    /// The elliptic diurnal referred to its slower line.
    M1B,
    /// The elliptic diurnal referred to its faster line.
    M1A,
    /// The line between the two, from the fourth power of the moon's parallax.
    M1C,
    /// Principal lunar semidiurnal.
    M2,
    /// Luni-solar semidiurnal.
    K2,
    /// Smaller elliptic semidiurnal.
    L2,
    /// γ2.
    Gamma2,
    /// α2.
    Alpha2,
    /// δ2.
    Delta2,
    /// ξ2 and η2.
    Xi2,
}

pub(crate) const PARENTS: usize = 17;

/// One factor of a product: f to the power of `f_halves / 2`, u times `u_halves / 2`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct NodalPower {
    pub(crate) parent: NodalParent,
    pub(crate) f_halves: u8,
    pub(crate) u_halves: i8,
}

/// All parents at one instant: computed once, used for every constituent of a port.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NodeTable([NodeFactor; PARENTS]);

const UNITY: NodeFactor = NodeFactor { f: 1.0, u_deg: 0.0 };

impl NodeTable {
    pub(crate) fn new(formulas: Formulas, longitudes: &Longitudes) -> Self {
        let mut table = [UNITY; PARENTS];
        match formulas {
            Formulas::Schureman => schureman(longitudes, &PRINTED, &mut table),
            Formulas::SchuremanFromElements => schureman(longitudes, &FROM_ELEMENTS, &mut table),
            Formulas::Iho => iho(longitudes, &mut table),
        }
        small_lines(longitudes, &mut table);
        Self(table)
    }

    /// M1 keeps the perigee in u. Where factors are held and the arguments run on, the perigee's motion since must not be lost.
    pub(crate) fn carry_perigee(&mut self, advance_deg: f64) {
        self.0[NodalParent::M1 as usize].u_deg += advance_deg;
    }

    pub(crate) fn factor(&self, powers: &[NodalPower]) -> NodeFactor {
        let mut f = 1.0;
        let mut u_deg = 0.0;
        for power in powers {
            let one = self.0[power.parent as usize];
            for _ in 0..power.f_halves / 2 {
                f *= one.f;
            }
            if power.f_halves % 2 == 1 {
                f *= libm::sqrt(one.f);
            }
            u_deg += one.u_deg * 0.5 * f64::from(power.u_halves);
        }
        NodeFactor {
            f,
            u_deg: crate::astro::wrap_180(u_deg),
        }
    }
}

const OMEGA_DEG: f64 = 23.452;
const INCLINATION_DEG: f64 = 5.145;

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
        let (omega, incl) = (OMEGA_DEG.to_radians(), INCLINATION_DEG.to_radians());
        let cos_i = cos(incl) * cos(omega) - sin(incl) * sin(omega) * cos(node);
        let (sine, cosine) = (sin(node / 2.0), cos(node / 2.0));
        let sum = atan2(
            cos((omega - incl) / 2.0) * sine,
            cos((omega + incl) / 2.0) * cosine,
        );
        let difference = atan2(
            sin((omega - incl) / 2.0) * sine,
            sin((omega + incl) / 2.0) * cosine,
        );
        Self {
            cos_i,
            i: libm::acos(cos_i),
            nu: sum - difference,
            xi: node - sum - difference,
        }
    }
}

/// Coefficients of f² for the lines that sun and moon make together.
struct Lunisolar {
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
const PRINTED: Lunisolar = Lunisolar {
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

/// Worked out from the elements of Special Publication 98, page 162: with a = 1/2 + 3/4 e² of the moon, b = (1/2 + 3/4 e1²) S'
/// times sin 2ω or sin² ω, and m the mean of the moon's part, they are a², 2ab and b², each over (am + b)², and b / a.
const FROM_ELEMENTS: Lunisolar = Lunisolar {
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
fn schureman(longitudes: &Longitudes, lunisolar: &Lunisolar, table: &mut [NodeFactor; PARENTS]) {
    use libm::{atan2, cos, sin, sqrt, tan};
    let omega = OMEGA_DEG.to_radians();
    let incl = INCLINATION_DEG.to_radians();
    let node = longitudes.node_deg.to_radians();
    let perigee = longitudes.lunar_perigee_deg.to_radians();

    let orbit = Orbit::new(node);
    let Orbit { cos_i, i, nu, xi } = orbit;
    let nu_k1 = atan2(
        sin(2.0 * i) * sin(nu),
        sin(2.0 * i) * cos(nu) + lunisolar.k1.share,
    );
    let two_nu_k2 = atan2(
        sin(i) * sin(i) * sin(2.0 * nu),
        sin(i) * sin(i) * cos(2.0 * nu) + lunisolar.k2.share,
    );
    let p = perigee - xi;

    let half = i / 2.0;
    let (sin_i, sin_2i) = (sin(i), sin(2.0 * i));
    let cos4_half_incl = libm::pow(cos(incl / 2.0), 4.0);
    let inclined = 1.0 - 1.5 * sin(incl) * sin(incl);

    let mean_mm = (2.0 / 3.0 - sin(omega) * sin(omega)) * inclined;
    let mean_mf = sin(omega) * sin(omega) * cos4_half_incl;
    let mean_o1 = sin(omega) * cos(omega / 2.0) * cos(omega / 2.0) * cos4_half_incl;
    let mean_j1 = sin(2.0 * omega) * inclined;
    let mean_oo1 = sin(omega) * sin(omega / 2.0) * sin(omega / 2.0) * cos4_half_incl;
    let mean_m2 = libm::pow(cos(omega / 2.0), 4.0) * cos4_half_incl;

    let f_o1 = sin_i * cos(half) * cos(half) / mean_o1;
    let f_m2 = libm::pow(cos(half), 4.0) / mean_m2;

    // M1: formulas 194-207, with Q in the quadrant of P.
    let q = atan2((5.0 * cos_i - 1.0) * sin(p), (7.0 * cos_i + 1.0) * cos(p));
    let cos2_half = cos(half) * cos(half);
    let m1_ratio = sqrt(
        0.25 + 1.5 * cos_i / cos2_half * cos(2.0 * p)
            + 2.25 * cos_i * cos_i / (cos2_half * cos2_half),
    );
    // L2: formulas 213-215.
    let tan2_half = tan(half) * tan(half);
    let l2_ratio = sqrt(1.0 - 12.0 * tan2_half * cos(2.0 * p) + 36.0 * tan2_half * tan2_half);
    let r = atan2(sin(2.0 * p), 1.0 / (6.0 * tan2_half) - cos(2.0 * p));

    let mut set = |parent: NodalParent, f: f64, u_rad: f64| {
        table[parent as usize] = NodeFactor {
            f,
            u_deg: crate::astro::wrap_180(u_rad.to_degrees()),
        };
    };
    set(NodalParent::Mm, (2.0 / 3.0 - sin_i * sin_i) / mean_mm, 0.0);
    set(NodalParent::Mf, sin_i * sin_i / mean_mf, -2.0 * xi);
    set(NodalParent::O1, f_o1, 2.0 * xi - nu);
    set(NodalParent::K1, lunisolar.k1.factor(sin_2i, nu), -nu_k1);
    set(NodalParent::J1, sin_2i / mean_j1, -nu);
    set(
        NodalParent::Oo1,
        sin_i * sin(half) * sin(half) / mean_oo1,
        -2.0 * xi - nu,
    );
    set(NodalParent::M1, f_o1 * m1_ratio, xi - nu + q);
    set(NodalParent::M2, f_m2, 2.0 * xi - 2.0 * nu);
    let sin2_i = sin_i * sin_i;
    set(
        NodalParent::K2,
        lunisolar.k2.factor(sin2_i, 2.0 * nu),
        -two_nu_k2,
    );
    set(NodalParent::L2, f_m2 * l2_ratio, 2.0 * xi - 2.0 * nu - r);
}

/// The IHO list, Annex A.
fn iho(longitudes: &Longitudes, table: &mut [NodeFactor; PARENTS]) {
    use libm::{cos, sin};
    let n = longitudes.node_deg.to_radians();
    let p = longitudes.lunar_perigee_deg.to_radians();
    let (c1, c2, c3) = (cos(n), cos(2.0 * n), cos(3.0 * n));
    let (s1, s2, s3) = (sin(n), sin(2.0 * n), sin(3.0 * n));

    let mut set = |parent: NodalParent, f: f64, u_deg: f64| {
        table[parent as usize] = NodeFactor { f, u_deg };
    };
    set(
        NodalParent::Mm,
        1.0 - 0.1311 * c1 + 0.0538 * cos(2.0 * p) + 0.0205 * cos(2.0 * p - n),
        0.0,
    );
    set(
        NodalParent::Mf,
        1.084 + 0.415 * c1 + 0.039 * c2,
        -23.7 * s1 + 2.7 * s2 - 0.4 * s3,
    );
    set(
        NodalParent::O1,
        1.0176 + 0.1871 * c1 - 0.0147 * c2,
        10.80 * s1 - 1.34 * s2 + 0.19 * s3,
    );
    set(
        NodalParent::K1,
        1.0060 + 0.1150 * c1 - 0.0088 * c2 + 0.0006 * c3,
        -8.86 * s1 + 0.68 * s2 - 0.07 * s3,
    );
    set(
        NodalParent::J1,
        1.1029 + 0.1676 * c1 - 0.0170 * c2 + 0.0016 * c3,
        -12.94 * s1 + 1.34 * s2 - 0.19 * s3,
    );
    set(
        NodalParent::Oo1,
        1.1027 + 0.6504 * c1 + 0.0317 * c2 - 0.0014 * c3,
        -36.68 * s1 + 4.02 * s2 - 0.57 * s3,
    );
    set(
        NodalParent::M2,
        1.0007 - 0.0373 * c1 + 0.0002 * c2,
        -2.14 * s1,
    );
    set(
        NodalParent::K2,
        1.0246 + 0.2863 * c1 + 0.0083 * c2 - 0.0015 * c3,
        -17.74 * s1 + 0.68 * s2 - 0.04 * s3,
    );
    table[NodalParent::M1 as usize] =
        from_parts(sin(p) + 0.2 * sin(p - n), 2.0 * (cos(p) + 0.2 * cos(p - n)));
    let twice = 2.0 * p;
    table[NodalParent::L2 as usize] = from_parts(
        -0.2505 * sin(twice)
            - 0.1102 * sin(twice - n)
            - 0.0156 * sin(twice - 2.0 * n)
            - 0.0370 * s1,
        1.0 - 0.2505 * cos(twice)
            - 0.1102 * cos(twice - n)
            - 0.0156 * cos(twice - 2.0 * n)
            - 0.0370 * c1,
    );
}

/// Lines that have a formula in one source only, which serves both conventions.
fn small_lines(longitudes: &Longitudes, table: &mut [NodeFactor; PARENTS]) {
    use libm::{cos, sin};
    let n = longitudes.node_deg.to_radians();
    let p = longitudes.lunar_perigee_deg.to_radians();
    let solar = longitudes.solar_perigee_deg.to_radians();
    let twice = 2.0 * p;
    table[NodalParent::M1B as usize] = from_parts(
        2.783 * sin(twice) + 0.558 * sin(twice - n) + 0.184 * sin(n),
        1.0 + 2.783 * cos(twice) + 0.558 * cos(twice - n) + 0.184 * cos(n),
    );
    table[NodalParent::M1A as usize] = from_parts(
        -0.3593 * sin(twice) - 0.2 * sin(n) - 0.066 * sin(twice - n),
        1.0 + 0.3593 * cos(twice) + 0.2 * cos(n) + 0.066 * cos(twice - n),
    );
    table[NodalParent::Gamma2 as usize] =
        from_parts(0.147 * sin(2.0 * (n - p)), 1.0 + 0.147 * cos(2.0 * (n - p)));
    table[NodalParent::Alpha2 as usize] =
        from_parts(-0.0446 * sin(p - solar), 1.0 - 0.0446 * cos(p - solar));
    table[NodalParent::Delta2 as usize] = from_parts(0.477 * sin(n), 1.0 - 0.477 * cos(n));
    table[NodalParent::M1C as usize] = m1c(n);
    table[NodalParent::Xi2 as usize] = from_parts(-0.439 * sin(n), 1.0 + 0.439 * cos(n));
}

/// Special Publication 98, formula 144 and u = ξ - ν.
fn m1c(node: f64) -> NodeFactor {
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

fn from_parts(f_sin_u: f64, f_cos_u: f64) -> NodeFactor {
    NodeFactor {
        f: libm::hypot(f_sin_u, f_cos_u),
        u_deg: libm::atan2(f_sin_u, f_cos_u).to_degrees(),
    }
}
