//! The series in N and p of A. T. Doodson as the IHO prints them.
//!
//! *Standard list of tidal constituents*, IHO Tide, Water Level and Current Working Group (8 May
//! 2017), Annex A; OO1 by Doodson's own series instead of "as KQ1", which differs from it by up to
//! a fifth.

use super::schureman::m1c;
use super::{NodalParent, NodeFactor, NodeTable, Wanted, from_parts};
use crate::astro::Longitudes;

/// The mean of J1's f as the list prints it.
pub(super) const PRINTED_J1: f64 = 1.1029;
/// The same where two figures that look exchanged are put back, as in Schureman's and in other
/// programs' series.
pub(super) const MENDED_J1: f64 = 1.0129;

/// Node and perigees as pairs of cosine and sine.
struct Angles {
    n: Pair,
    n2: Pair,
    n3: Pair,
    p: Pair,
    p2: Pair,
}

#[derive(Clone, Copy)]
struct Pair {
    cos: f64,
    sin: f64,
}

impl Pair {
    fn of(angle_deg: f64) -> Self {
        let angle = angle_deg.to_radians();
        Self {
            cos: libm::cos(angle),
            sin: libm::sin(angle),
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            cos: self.cos * other.cos - self.sin * other.sin,
            sin: self.sin * other.cos + self.cos * other.sin,
        }
    }

    fn less(self, other: Self) -> Self {
        self.plus(Self {
            sin: -other.sin,
            ..other
        })
    }
}

impl Angles {
    fn new(longitudes: &Longitudes) -> Self {
        let (n, p) = (
            Pair::of(longitudes.node_deg),
            Pair::of(longitudes.lunar_perigee_deg),
        );
        let n2 = n.plus(n);
        Self {
            n,
            n2,
            n3: n2.plus(n),
            p,
            p2: p.plus(p),
        }
    }
}

/// The IHO list, Annex A.
pub(super) fn fill(longitudes: &Longitudes, mean_j1: f64, wanted: Wanted, table: &mut NodeTable) {
    let Angles { n, n2, n3, p, p2 } = Angles::new(longitudes);
    let (c1, c2, c3) = (n.cos, n2.cos, n3.cos);
    let (s1, s2, s3) = (n.sin, n2.sin, n3.sin);
    let mut set = |parent: NodalParent, f: f64, u_deg: f64| {
        table.set(parent as usize, NodeFactor { f, u_deg });
    };
    set(
        NodalParent::Mm,
        1.0 - 0.1311 * c1 + 0.0538 * p2.cos + 0.0205 * p2.less(n).cos,
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
        mean_j1 + 0.1676 * c1 - 0.0170 * c2 + 0.0016 * c3,
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
    if wanted.has(NodalParent::M1) {
        let other = p.less(n);
        let m1 = from_parts(p.sin + 0.2 * other.sin, 2.0 * (p.cos + 0.2 * other.cos));
        table.set(NodalParent::M1 as usize, m1);
    }
    if wanted.has(NodalParent::L2) {
        let (once, twice) = (p2.less(n), p2.less(n2));
        let sine = -0.2505 * p2.sin - 0.1102 * once.sin - 0.0156 * twice.sin - 0.0370 * s1;
        let cosine = 1.0 - 0.2505 * p2.cos - 0.1102 * once.cos - 0.0156 * twice.cos - 0.0370 * c1;
        table.set(NodalParent::L2 as usize, from_parts(sine, cosine));
    }
}

/// Lines that have a formula in one source only, which serves all conventions but that of
/// satellites.
pub(super) fn small_lines(longitudes: &Longitudes, wanted: Wanted, table: &mut NodeTable) {
    use NodalParent::{Alpha2, Delta2, Gamma2, M1A, M1B, M1C, Xi2};
    if ![M1A, M1B, M1C, Gamma2, Alpha2, Delta2, Xi2]
        .iter()
        .any(|parent| wanted.has(*parent))
    {
        return;
    }
    let Angles { n, n2, p2, .. } = Angles::new(longitudes);
    let once = p2.less(n);
    let mut set = |parent: NodalParent, sine: f64, cosine: f64| {
        table.set(parent as usize, from_parts(sine, cosine));
    };
    set(
        M1B,
        2.783 * p2.sin + 0.558 * once.sin + 0.184 * n.sin,
        1.0 + 2.783 * p2.cos + 0.558 * once.cos + 0.184 * n.cos,
    );
    set(
        M1A,
        -0.3593 * p2.sin - 0.2 * n.sin - 0.066 * once.sin,
        1.0 + 0.3593 * p2.cos + 0.2 * n.cos + 0.066 * once.cos,
    );
    let gamma = n2.less(p2);
    set(Gamma2, 0.147 * gamma.sin, 1.0 + 0.147 * gamma.cos);
    let alpha = Pair::of(longitudes.lunar_perigee_deg - longitudes.solar_perigee_deg);
    set(Alpha2, -0.0446 * alpha.sin, 1.0 - 0.0446 * alpha.cos);
    set(Delta2, 0.477 * n.sin, 1.0 - 0.477 * n.cos);
    set(Xi2, -0.439 * n.sin, 1.0 + 0.439 * n.cos);
    table.set(M1C as usize, m1c(longitudes.node_deg.to_radians()));
}
