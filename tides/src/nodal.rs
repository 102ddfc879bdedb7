//! Node factors: how the moon's 18.6-year cycle swells and shifts each constituent.
//!
//! A constituent of fixed name stands for a bundle of lines that no short record can tell apart.
//! Its amplitude is multiplied by f and its argument advanced by u, both slow functions of the node
//! N (and for a few of the perigees). Three published sets of formulas are offered:
//!
//! - **Schureman**: P. Schureman, *Manual of Harmonic Analysis and Prediction of Tides*, US Coast
//!   and Geodetic Survey Special Publication 98 (1940, revised 1958), formulas 65-79, 197-235. The
//!   obliquity is held at 23.452° and the moon's inclination at 5.145° as there. The mean
//!   coefficients that divide f are evaluated, not taken from the four printed digits: the
//!   difference is 0.03 % in Mf and 0.2 % in OO1.
//! - **IHO**: the series in N and p of A. T. Doodson as printed in the *Standard list of tidal
//!   constituents* of the IHO's Tide, Water Level and Current Working Group (8 May 2017), Annex A;
//!   OO1 by Doodson's own series instead of "as KQ1", which differs from it by up to a fifth.
//! - **Satellites**: the lines of the bundle added up with their theoretical ratios, as tabulated
//!   by M. G. G. Foreman, *Manual for tidal heights analysis and prediction*, Pacific Marine
//!   Science Report 77-10, Institute of Ocean Sciences, Sidney (1977, revised 2004).

mod foreman;
mod iho;
mod schureman;

pub use foreman::Latitude;
pub(crate) use foreman::main_of;

use alloc::vec::Vec;

use crate::astro::Longitudes;

/// Which published formulas give f and u.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Formulas {
    /// Special Publication 98: spherical trigonometry of the moon's orbit. NOAA uses it.
    #[default]
    Schureman,
    /// The same, with the coefficients of K1 and K2 worked out afresh from the elements on its page
    /// 162 instead of taken from formulas 227 and 235, whose last term for K2 is printed as 0.0981
    /// where the elements give 0.1004. Rijkswaterstaat uses it. f of K2 differs by up to a
    /// thousandth.
    SchuremanFromElements,
    /// The series of the IHO list, as printed.
    Iho,
    /// The same with 1.0129 for the mean of J1's f, where the list prints 1.1029: two figures look
    /// exchanged, since the mean over the node's cycle is 1.013 in Schureman's formulas too.
    IhoMended,
    /// Sums of satellites, some of which depend on latitude (M. G. G. Foreman 1977).
    Satellites(Latitude),
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

impl NodalParent {
    /// The line of the list that it is called after.
    pub(crate) fn list_name(self) -> &'static str {
        match self {
            Self::Mm => "MM",
            Self::Mf => "MF",
            Self::O1 => "O1",
            Self::K1 => "K1",
            Self::J1 => "J1",
            Self::Oo1 => "OO1",
            Self::M1 => "M1",
            Self::M1B => "M1B",
            Self::M1A => "M1A",
            Self::M1C => "M1C",
            Self::M2 => "M2",
            Self::K2 => "K2",
            Self::L2 => "L2",
            Self::Gamma2 => "GAMMA2",
            Self::Alpha2 => "ALPHA2",
            Self::Delta2 => "DELTA2",
            Self::Xi2 => "XI2",
        }
    }
}

/// Factors with a formula of their own: the parents, or the main lines of Foreman's table.
const SLOTS: usize = foreman::MAINS.len();

/// One factor of a product: f to the power of `f_halves / 2`, u times `u_halves / 2`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct NodalPower {
    /// Index of the parent, or of Foreman's main line.
    pub(crate) slot: u8,
    pub(crate) f_halves: u8,
    pub(crate) u_halves: i8,
}

impl NodalPower {
    /// A factor itself.
    pub(crate) fn of(slot: u8) -> Self {
        Self {
            slot,
            f_halves: 2,
            u_halves: 2,
        }
    }
}

/// The products that give a constituent's factor by each set of formulas.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct NodalPowers {
    /// Of the parents, by the IHO list.
    pub(crate) iho: Vec<NodalPower>,
    /// Of the parents, by Schureman.
    pub(crate) schureman: Vec<NodalPower>,
    /// Of Foreman's main lines.
    pub(crate) satellites: Vec<NodalPower>,
}

impl NodalPowers {
    /// Multiplies a part's factors in, `times` times.
    pub(crate) fn merge(&mut self, part: &Self, times: i8) {
        for (product, factors) in [
            (&mut self.iho, &part.iho),
            (&mut self.schureman, &part.schureman),
            (&mut self.satellites, &part.satellites),
        ] {
            for factor in factors {
                merge(product, *factor, times);
            }
        }
    }

    pub(crate) fn by(&self, formulas: Formulas) -> &[NodalPower] {
        match formulas {
            Formulas::Iho | Formulas::IhoMended => &self.iho,
            Formulas::Schureman | Formulas::SchuremanFromElements => &self.schureman,
            Formulas::Satellites(_) => &self.satellites,
        }
    }
}

/// f is multiplied even where the part is subtracted (IHO list, Annex B).
fn merge(product: &mut Vec<NodalPower>, part: NodalPower, times: i8) {
    let f_halves = part.f_halves.saturating_mul(times.unsigned_abs());
    let u_halves = part.u_halves.saturating_mul(times);
    match product.iter_mut().find(|power| power.slot == part.slot) {
        Some(power) => {
            power.f_halves = power.f_halves.saturating_add(f_halves);
            power.u_halves = power.u_halves.saturating_add(u_halves);
        }
        None => product.push(NodalPower {
            f_halves,
            u_halves,
            ..part
        }),
    }
}

/// Which slots of a table a port needs.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Wanted(u64);

impl Wanted {
    pub(crate) fn add(&mut self, powers: &[NodalPower]) {
        for power in powers {
            self.0 |= 1 << power.slot;
        }
    }

    fn has_slot(self, slot: usize) -> bool {
        self.0 >> slot & 1 == 1
    }

    fn has(self, parent: NodalParent) -> bool {
        self.has_slot(parent as usize)
    }
}

/// The factors that are wanted at one instant: computed once, used for every constituent of a port.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NodeTable([NodeFactor; SLOTS]);

const UNITY: NodeFactor = NodeFactor { f: 1.0, u_deg: 0.0 };

impl NodeTable {
    pub(crate) fn new(formulas: Formulas, longitudes: &Longitudes, wanted: Wanted) -> Self {
        let mut table = Self([UNITY; SLOTS]);
        match formulas {
            Formulas::Schureman => {
                schureman::fill(longitudes, &schureman::PRINTED, wanted, &mut table);
            }
            Formulas::SchuremanFromElements => {
                schureman::fill(longitudes, &schureman::FROM_ELEMENTS, wanted, &mut table);
            }
            Formulas::Iho => iho::fill(longitudes, iho::PRINTED_J1, wanted, &mut table),
            Formulas::IhoMended => iho::fill(longitudes, iho::MENDED_J1, wanted, &mut table),
            Formulas::Satellites(latitude) => {
                foreman::fill(longitudes, latitude, wanted, &mut table);
                return table;
            }
        }
        iho::small_lines(longitudes, wanted, &mut table);
        table
    }

    fn set(&mut self, slot: usize, factor: NodeFactor) {
        if let Some(place) = self.0.get_mut(slot) {
            *place = factor;
        }
    }

    /// M1 keeps the perigee in u. Where factors are held and the arguments run on, the perigee's
    /// motion since must not be lost.
    pub(crate) fn carry_perigee(&mut self, advance_deg: f64) {
        self.0[NodalParent::M1 as usize].u_deg += advance_deg;
    }

    /// The product of powers, u not brought into a turn.
    pub(crate) fn factor(&self, powers: &[NodalPower]) -> NodeFactor {
        let mut f = 1.0;
        let mut u_deg = 0.0;
        for power in powers {
            let one = self.0.get(usize::from(power.slot)).unwrap_or(&UNITY);
            for _ in 0..power.f_halves / 2 {
                f *= one.f;
            }
            if power.f_halves % 2 == 1 {
                f *= libm::sqrt(one.f);
            }
            u_deg += one.u_deg * 0.5 * f64::from(power.u_halves);
        }
        NodeFactor { f, u_deg }
    }
}

fn from_parts(f_sin_u: f64, f_cos_u: f64) -> NodeFactor {
    NodeFactor {
        f: libm::hypot(f_sin_u, f_cos_u),
        u_deg: libm::atan2(f_sin_u, f_cos_u).to_degrees(),
    }
}
