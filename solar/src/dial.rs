//! What a sundial shows, how a body's path leans, and how squarely its light falls on a surface.

use jiff::Timestamp;

use crate::angle::{positive_deg, signed_deg};
use crate::error::{Error, within};
use crate::frames::greenwich_apparent_sidereal_time_deg;
use crate::observer::{Observer, Place};
use crate::rows::Horizontal;
use crate::sun::sun_at;

impl Observer {
    /// True solar time in hours, 0 to 24: 12 when the sun passes the meridian, what a sundial
    /// shows.
    ///
    /// Of the sun as the centre of the Earth sees it, whose hour angle an observer's differs from
    /// by less than 0.6 s.
    ///
    /// ```
    /// use wrackline_solar::{Observer, Site};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let noon = "2026-12-29T11:50:07Z".parse()?;
    /// assert!((observer.true_solar_time_h(noon) - 12.0).abs() < 0.01);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    #[must_use]
    pub fn true_solar_time_h(&self, at: Timestamp) -> f64 {
        let instant = self.earth_time().instant(at);
        let sidereal_deg = greenwich_apparent_sidereal_time_deg(instant);
        let hour_angle_deg =
            sidereal_deg + self.site().longitude_deg - sun_at(instant).right_ascension_deg;
        positive_deg(hour_angle_deg + 180.0) / 15.0
    }

    /// Parallactic angle of a body in degrees, -180 to 180: from the direction to the zenith to
    /// that to the celestial pole above the horizon's north, positive towards greater azimuth after
    /// the upper transit (as Meeus, Astronomical Algorithms, chapter 14, has it).
    ///
    /// It is the angle by which the disc, and a star trail, leans. In the zenith and at the poles
    /// of the sky it is zero.
    ///
    /// ```
    /// use wrackline_solar::{Observer, Site};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let lean = |at| observer.parallactic_angle_deg(&observer.sun(at));
    /// // The sun stands highest ten minutes before noon.
    /// assert!(lean("2026-12-29T09:00:00Z".parse()?)? < 0.0);
    /// assert!(lean("2026-12-29T15:00:00Z".parse()?)? > 0.0);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If hour angle or declination of the place, as somebody may have set it, lie outside their
    /// ranges.
    pub fn parallactic_angle_deg(&self, place: &Place) -> Result<f64, Error> {
        let hour_deg = within("hour angle", place.hour_angle_deg, -360.0, 360.0, "deg")?;
        let declination_deg = within("declination", place.declination_deg, -90.0, 90.0, "deg")?;
        let (sine_h, cosine_h) = libm::sincos(hour_deg.to_radians());
        let (sine_d, cosine_d) = libm::sincos(declination_deg.to_radians());
        // Meeus 14.1 without its division by the cosine of the latitude, so that it holds at the
        // poles.
        let across = self.cosine_latitude * sine_h;
        let along = self.sine_latitude * cosine_d - self.cosine_latitude * sine_d * cosine_h;
        Ok(signed_deg(libm::atan2(across, along).to_degrees()))
    }
}

/// A plane that faces the light: a flank, a slope, a rock.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Surface {
    /// The azimuth towards which it falls away, or looks, degrees clockwise from true north, -360
    /// to 720.
    pub facing_deg: f64,
    /// How far it leans from level, degrees: 0 is level ground, 90 upright, more overhangs, to 180.
    pub tilt_deg: f64,
}

impl Surface {
    /// The angle between the light and the square to the surface in degrees: 0 is full on, 90
    /// grazes, more leaves it in its own shade.
    ///
    /// ```
    /// use wrackline_solar::{Horizontal, Surface};
    ///
    /// let south_slope = Surface { facing_deg: 180.0, tilt_deg: 30.0 };
    /// let noon = Horizontal { azimuth_deg: 180.0, altitude_deg: 12.0 };
    /// assert!((south_slope.incidence_deg(noon)? - 48.0).abs() < 1e-9);
    /// # Ok::<(), wrackline_solar::Error>(())
    /// ```
    ///
    /// # Errors
    /// If an angle of the surface or of the light lies outside its range or is not a number.
    pub fn incidence_deg(&self, light: Horizontal) -> Result<f64, Error> {
        let facing_deg = within(
            "facing of the surface",
            self.facing_deg,
            -360.0,
            720.0,
            "deg",
        )?;
        let tilt_deg = within("tilt of the surface", self.tilt_deg, 0.0, 180.0, "deg")?;
        let azimuth = within(
            "azimuth of the light",
            light.azimuth_deg,
            -360.0,
            720.0,
            "deg",
        )?;
        let altitude = within(
            "altitude of the light",
            light.altitude_deg,
            -90.0,
            90.0,
            "deg",
        )?;
        let (sine_h, cosine_h) = libm::sincos(altitude.to_radians());
        let (sine_t, cosine_t) = libm::sincos(tilt_deg.to_radians());
        let (sine_a, cosine_a) = libm::sincos((azimuth - facing_deg).to_radians());
        // Both directions in the surface's own frame: square to it, up along it, across it.
        let square = sine_h * cosine_t + cosine_h * sine_t * cosine_a;
        let along = sine_h * sine_t - cosine_h * cosine_t * cosine_a;
        let across = cosine_h * sine_a;
        Ok(libm::atan2(libm::hypot(along, across), square).to_degrees())
    }
}
