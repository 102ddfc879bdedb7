//! Where a camera points, and when the sun or the moon stands near its field.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;
use nalgebra::Vector3;

use crate::body::Body;
use crate::error::{Error, within};
use crate::observer::{Observer, Place};
use crate::refraction::Atmosphere;
use crate::search::sign_changes;
use crate::sky::Sky;

/// Where a camera points, and how far its field reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Aim {
    /// Bearing of the optical axis in degrees, clockwise from true north.
    pub bearing_deg: f64,
    /// Elevation of the optical axis in degrees above the horizontal.
    pub elevation_deg: f64,
    /// Half the angle of view over the diagonal, degrees: the field reaches no further from the
    /// axis.
    pub half_diagonal_deg: f64,
}

/// How near the sun stands to the field of view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum SunInView {
    /// The whole disc is below the horizontal.
    Down,
    /// The sun is up, and further from the field than the limit.
    Clear,
    /// The sun is within the limit of the field.
    Near,
    /// The sun's disc may stand in the field.
    Inside,
}

/// The caution that belongs to a sun in or near the field of view.
pub const SUN_CAUTION: &str = "never look through an optical finder at or near the sun; \
    a long lens damages eye and camera in moments";

impl SunInView {
    /// The limit within which the sun counts as near, degrees from the edge of the field (our
    /// choice, no source).
    pub const NEAR_DEG: f64 = 10.0;

    /// Where the sun stands to the field of view; near within so many degrees of its edge.
    ///
    /// ```
    /// use wrackline_solar::{Aim, Atmosphere, Observer, Site, SunInView};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let sun = observer.sun("2026-12-29T11:50:00Z".parse()?);
    /// let south = Aim { bearing_deg: 180.0, elevation_deg: 5.0, half_diagonal_deg: 2.0 };
    /// let seen = SunInView::judge(&sun, south, SunInView::NEAR_DEG, &Atmosphere::STANDARD)?;
    /// assert_eq!(seen, SunInView::Near);
    /// assert!(seen.caution().is_some());
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If a figure of the aim or the limit lies outside its range (see
    /// [`Observer::sun_near_view`]), or the sun's place is none.
    pub fn judge(sun: &Place, aim: Aim, near_deg: f64, air: &Atmosphere) -> Result<Self, Error> {
        let near_deg = within("limit of nearness", near_deg, 0.0, 180.0, "deg")?;
        let off_axis_deg = separation_deg(sun, aim, air)?;
        let radius_deg = within("semi-diameter", sun.semi_diameter_deg, 0.0, 90.0, "deg")?;
        let off = off_axis_deg - radius_deg - aim.half_diagonal_deg;
        Ok(if sun.refracted(air)? + radius_deg < 0.0 {
            Self::Down
        } else if off > near_deg {
            Self::Clear
        } else if off > 0.0 {
            Self::Near
        } else {
            Self::Inside
        })
    }

    /// The caution to be shown, if any.
    #[must_use]
    pub fn caution(self) -> Option<&'static str> {
        matches!(self, Self::Near | Self::Inside).then_some(SUN_CAUTION)
    }
}

/// Angle between the optical axis and the centre of the sun as the air shows it, degrees, 0 to 180.
///
/// # Errors
/// If a figure of the aim lies outside its range (see [`Observer::sun_near_view`]), or the sun's
/// place is none.
pub fn separation_deg(sun: &Place, aim: Aim, air: &Atmosphere) -> Result<f64, Error> {
    let azimuth_deg = within("azimuth of the sun", sun.azimuth_deg, -360.0, 720.0, "deg")?;
    let there = direction(azimuth_deg, sun.refracted(air)?);
    Ok(apart_deg(aim.checked()?.axis(), there))
}

/// Unit vector east, north, up.
fn direction(azimuth_deg: f64, altitude_deg: f64) -> Vector3<f64> {
    let (se, ce) = libm::sincos(altitude_deg.to_radians());
    let (sb, cb) = libm::sincos(azimuth_deg.to_radians());
    Vector3::new(ce * sb, ce * cb, se)
}

/// The angle between two unit vectors, degrees.
fn apart_deg(a: Vector3<f64>, b: Vector3<f64>) -> f64 {
    libm::atan2(a.cross(&b).norm(), a.dot(&b)).to_degrees()
}

impl Aim {
    fn axis(&self) -> Vector3<f64> {
        direction(self.bearing_deg, self.elevation_deg)
    }

    fn checked(self) -> Result<Self, Error> {
        within(
            "bearing of the axis",
            self.bearing_deg,
            -360.0,
            720.0,
            "deg",
        )?;
        within(
            "elevation of the axis",
            self.elevation_deg,
            -90.0,
            90.0,
            "deg",
        )?;
        within(
            "half the diagonal angle of view",
            self.half_diagonal_deg,
            0.0,
            180.0,
            "deg",
        )?;
        Ok(self)
    }
}

impl Observer {
    /// The stretches of a span in which the sun is up and its disc comes within so many degrees of
    /// the edge of the field: those in which [`SunInView::judge`] says [`SunInView::Near`] or
    /// [`SunInView::Inside`], to the microsecond.
    ///
    /// With a half diagonal of zero the angle counts from the optical axis.
    ///
    /// ```
    /// use wrackline_solar::{Aim, Atmosphere, Observer, Site, SunInView};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let south = Aim { bearing_deg: 180.0, elevation_deg: 0.0, half_diagonal_deg: 2.0 };
    /// let day = "2026-12-29T00:00:00Z".parse()?.."2026-12-30T00:00:00Z".parse()?;
    /// // The midwinter noon sun is 13° high, and its disc a quarter of a degree lower.
    /// let air = Atmosphere::STANDARD;
    /// assert!(observer.sun_near_view(south, 10.0, &air, day.clone())?.is_empty());
    /// assert_eq!(observer.sun_near_view(south, 15.0, &air, day)?.len(), 1);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the bearing lies outside -360 to 720 degrees, the elevation outside -90 to 90, the half
    /// diagonal or the limit outside 0 to 180, or if the span holds no time.
    pub fn sun_near_view(
        &self,
        aim: Aim,
        near_deg: f64,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = Sky::new(self, Body::Sun, span)?;
        Ok(sky.timed(sky.near_view(aim, near_deg, air)?))
    }

    /// The stretches of a span in which the moon is up and its disc comes within so many degrees of
    /// the edge of the field.
    ///
    /// # Errors
    /// As [`Observer::sun_near_view`].
    pub fn moon_near_view(
        &self,
        aim: Aim,
        near_deg: f64,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = Sky::new(self, Body::Moon, span)?;
        Ok(sky.timed(sky.near_view(aim, near_deg, air)?))
    }
}

/// By how much faster than the airless altitude the apparent one changes at most (measured: 1.519,
/// in the densest air that an [`Atmosphere`] may hold).
const LIFT_RATE: f64 = 1.6;

impl Sky<'_> {
    pub(crate) fn near_view(
        &self,
        aim: Aim,
        near_deg: f64,
        air: &Atmosphere,
    ) -> Result<Vec<(f64, f64)>, Error> {
        let axis = aim.checked()?.axis();
        let reach_deg =
            aim.half_diagonal_deg + within("limit of nearness", near_deg, 0.0, 180.0, "deg")?;
        // Degrees by which the disc is both up and near: whichever is less.
        let margin = |east: f64, north: f64, up: f64, semi_diameter_deg: f64| {
            let level = libm::sqrt(east * east + north * north);
            let apparent_deg = air.apparent_deg(libm::atan2(up, level).to_degrees());
            let (sine, cosine) = libm::sincos(apparent_deg.to_radians());
            // In the zenith itself any bearing serves.
            let across = cosine / level.max(f64::MIN_POSITIVE);
            let there = Vector3::new(east * across, north * across, sine);
            let near = reach_deg + semi_diameter_deg - apart_deg(axis, there);
            near.min(apparent_deg + semi_diameter_deg)
        };
        // No direction turns faster than the Earth and the body together, parallax included.
        let fastest_deg = LIFT_RATE
            * match self.body {
                Body::Sun => 6.33_f64,
                Body::Moon => 6.75,
            }
            .to_degrees();
        let mut cuts = Vec::new();
        self.each_piece(|piece, stretch| {
            let value = |ut1: f64| {
                let ([east, north, up], distance_km) = piece.local_km(self.observer, ut1);
                let semi_diameter_deg =
                    libm::asin((self.body.radius_km() / distance_km).min(1.0)).to_degrees();
                margin(east, north, up, semi_diameter_deg)
            };
            sign_changes(&value, fastest_deg, stretch, &mut |time| cuts.push(time));
        });
        Ok(self.stretches(cuts, |m| {
            let semi_diameter_deg = libm::asin(m.radius.value).to_degrees();
            margin(m.east.value, m.north.value, m.up.value, semi_diameter_deg) >= 0.0
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::refraction::{AirSpec, RefractionFormula};

    #[test]
    fn the_air_lifts_no_faster_than_assumed() {
        let spec = AirSpec {
            pressure_hpa: 1200.0,
            temperature_c: -90.0,
        };
        let mut fastest = 0.0_f64;
        for formula in [RefractionFormula::Saemundsson, RefractionFormula::Bennett] {
            let air = Atmosphere::new(spec)
                .expect("dense air")
                .with_formula(formula);
            for step in -9_000..9_000 {
                let altitude = f64::from(step) / 100.0;
                let [a, b] = [altitude, altitude + 0.01].map(|h| air.apparent_deg(h));
                fastest = fastest.max((b - a) / 0.01);
            }
        }
        assert!(
            0.9 * LIFT_RATE < fastest && fastest < LIFT_RATE,
            "{fastest}"
        );
    }
}
