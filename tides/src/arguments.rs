//! The equilibrium argument of a constituent.

use crate::astro::{Longitudes, SPEEDS_DEG_PER_H, wrap_360};

/// The equilibrium argument V as whole multiples of the slow angles, with T = 180° at midnight,
/// plus a constant.
///
/// V = T·`solar_time` + s·`moon` + h·`sun` + p·`lunar_perigee` + N·`node` + p₁·`solar_perigee` +
/// `offset_deg`, as in Schureman's table 2;
/// [`Constituent::equilibrium_argument_deg`](crate::Constituent::equilibrium_argument_deg) gives it
/// at an instant. Lists that count in lunar time τ = T - s + h convert by
/// [`Arguments::from_lunar_time`].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Arguments {
    /// Multiple of T: the species, cycles a day.
    pub solar_time: i8,
    /// Multiple of s.
    pub moon: i8,
    /// Multiple of h.
    pub sun: i8,
    /// Multiple of p.
    pub lunar_perigee: i8,
    /// Multiple of N.
    pub node: i8,
    /// Multiple of p₁.
    pub solar_perigee: i8,
    /// The constant, degrees.
    pub offset_deg: f64,
}

impl Arguments {
    /// From Doodson's multiples of τ, s, h, p, N′ = -N and p₁ (not raised by five) and the constant
    /// that belongs to T = 180° at midnight.
    #[must_use]
    pub fn from_lunar_time(multiples: [i8; 6], offset_deg: f64) -> Self {
        let [tau, moon, sun, lunar_perigee, minus_node, solar_perigee] = multiples;
        Self {
            solar_time: tau,
            moon: moon.saturating_sub(tau),
            sun: sun.saturating_add(tau),
            lunar_perigee,
            node: minus_node.saturating_neg(),
            solar_perigee,
            offset_deg,
        }
    }

    pub(crate) fn multiples(&self) -> [i8; 6] {
        [
            self.solar_time,
            self.moon,
            self.sun,
            self.lunar_perigee,
            self.node,
            self.solar_perigee,
        ]
    }

    /// V at an instant whose longitudes are given, degrees in [0, 360).
    pub(crate) fn value_deg(&self, longitudes: &Longitudes) -> f64 {
        let angles = [
            longitudes.solar_time_deg,
            longitudes.moon_deg,
            longitudes.sun_deg,
            longitudes.lunar_perigee_deg,
            longitudes.node_deg,
            longitudes.solar_perigee_deg,
        ];
        let sum: f64 = self
            .multiples()
            .iter()
            .zip(angles)
            .map(|(multiple, angle)| f64::from(*multiple) * angle)
            .sum();
        wrap_360(sum + self.offset_deg)
    }

    /// The speed of V at J2000.0, degrees an hour.
    #[must_use]
    pub fn speed_deg_per_h(&self) -> f64 {
        self.multiples()
            .iter()
            .zip(SPEEDS_DEG_PER_H)
            .map(|(multiple, speed)| f64::from(*multiple) * speed)
            .sum()
    }

    pub(crate) fn plus(self, times: i8, other: &Self) -> Self {
        let add = |mine: i8, theirs: i8| mine.saturating_add(theirs.saturating_mul(times));
        Self {
            solar_time: add(self.solar_time, other.solar_time),
            moon: add(self.moon, other.moon),
            sun: add(self.sun, other.sun),
            lunar_perigee: add(self.lunar_perigee, other.lunar_perigee),
            node: add(self.node, other.node),
            solar_perigee: add(self.solar_perigee, other.solar_perigee),
            offset_deg: wrap_360(self.offset_deg + f64::from(times) * other.offset_deg),
        }
    }
}
