//! The two bodies that give light, and what the rest of the library asks of them.

use nalgebra::Vector3;

use crate::frames::{Orientation, turn_third};
use crate::sun::AU_KM;
use crate::time::Instant;
use crate::{moon, sun};

/// A body that gives light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Body {
    /// The sun.
    Sun,
    /// The moon.
    Moon,
}

impl Body {
    /// Radius of the disc, km: the sun's from its semi-diameter of 959.63" at 1 au (Auwers 1891, as
    /// the almanacs have it), the moon's mean radius (IAU working group on cartographic coordinates
    /// 2015).
    pub(crate) const fn radius_km(self) -> f64 {
        match self {
            Self::Sun => 695_990.0,
            Self::Moon => 1_737.4,
        }
    }

    /// By how much a place may lie off the ephemeris DE440 over 1900-2100, degrees: twice what was
    /// measured at 1,100 places.
    pub(crate) const fn uncertainty_deg(self) -> f64 {
        match self {
            Self::Sun => 0.05 / 3600.0,
            Self::Moon => 1.5 / 3600.0,
        }
    }

    /// Geocentric apparent vector, true equator and equinox of date, with the length of the
    /// geometric distance.
    pub(crate) fn equator_km(self, instant: Instant) -> (Orientation, Vector3<f64>) {
        let orientation = Orientation::at(instant.tt());
        let (direction, distance_km) = match self {
            Self::Sun => {
                let sun = sun::fixed(instant.tt());
                (sun.direction, sun.distance_au * AU_KM)
            }
            Self::Moon => moon::fixed_km(instant.tt()),
        };
        (orientation, orientation.to_equator(direction) * distance_km)
    }

    /// The same in the frame of the equator whose angle to Greenwich is the Earth Rotation Angle,
    /// which runs evenly with UT1.
    pub(crate) fn intermediate_km(self, instant: Instant) -> Vector3<f64> {
        let (orientation, equator_km) = self.equator_km(instant);
        turn_third(equator_km, orientation.sidereal_excess)
    }
}
