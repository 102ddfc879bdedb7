//! The direction in which an observer sees a body, as it moves.

use crate::jet::Jet;
use crate::number::Abreast;

/// A unit vector east, north, up as it moves, and the sine of the disc's semi-diameter.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moving<T = f64> {
    pub(crate) east: Jet<T>,
    pub(crate) north: Jet<T>,
    pub(crate) up: Jet<T>,
    pub(crate) radius: Jet<T>,
}

impl Moving<Abreast> {
    /// One of them.
    #[inline]
    pub(crate) fn of_lane(&self, lane: usize) -> Moving {
        let jet = |jet: &Jet<Abreast>| Jet {
            value: jet.value.0[lane],
            rate: jet.rate.0[lane],
            bend: jet.bend.0[lane],
        };
        Moving {
            east: jet(&self.east),
            north: jet(&self.north),
            up: jet(&self.up),
            radius: jet(&self.radius),
        }
    }
}

impl Moving {
    /// The direction some seconds on: after five the components are within 1e-11.
    pub(crate) fn later(&self, days: f64) -> Self {
        Self {
            east: self.east.later(days),
            north: self.north.later(days),
            up: self.up.later(days),
            radius: self.radius.later(days),
        }
    }

    /// Azimuth of the centre, degrees.
    pub(crate) fn azimuth_deg(&self) -> f64 {
        crate::angle::positive_deg(libm::atan2(self.east.value, self.north.value).to_degrees())
    }

    /// Airless altitude of the centre, degrees.
    pub(crate) fn altitude_deg(&self) -> f64 {
        libm::atan2(self.up.value, self.level()).to_degrees()
    }

    /// Rate of the altitude, degrees a day, and the rate of that.
    pub(crate) fn altitude_rates_deg(&self) -> (f64, f64) {
        let cosine = self.level();
        // At the zenith itself the altitude has no rate.
        if cosine < 1e-9 {
            return (0.0, 0.0);
        }
        let rate = self.up.rate / cosine;
        let bend = self.up.bend / cosine + self.up.value / cosine * rate * rate;
        (rate.to_degrees(), bend.to_degrees())
    }

    /// Cosine of the altitude.
    pub(crate) fn level(&self) -> f64 {
        libm::sqrt(self.east.value * self.east.value + self.north.value * self.north.value)
    }
}
