//! Where a body stands for somebody on the Earth: parallax, diurnal aberration, azimuth and altitude.

use nalgebra::Vector3;

use crate::angle::{positive_deg, signed_deg};
use crate::error::{Error, within};
use crate::frames::{Orientation, earth_rotation_angle, turn_third};
use crate::refraction::Atmosphere;
use crate::sun::{self, AU_KM};
use crate::time::Instant;

/// Equatorial radius of the WGS84 ellipsoid, km.
pub(crate) const EARTH_RADIUS_KM: f64 = 6_378.137;
/// Flattening of that ellipsoid.
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// Speed of a point of the equator over the speed of light: 7.292115e-5 rad/s times the radius.
const EQUATOR_SPEED: f64 = 7.292_115e-5 * EARTH_RADIUS_KM / 299_792.458;
/// Radius of the sun, km: the semi-diameter 959.63" at 1 au (Auwers 1891, as used by the almanacs).
pub(crate) const SUN_RADIUS_KM: f64 = 695_990.0;

/// A place on the Earth, on the WGS84 ellipsoid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Geodetic latitude in degrees, -90 to 90, north positive.
    pub latitude_deg: f64,
    /// Longitude in degrees, -180 to 360, east positive.
    pub longitude_deg: f64,
    /// Height above the ellipsoid in metres, -1000 to 100,000. Height above the sea serves as well: 100 m are 0.003" of the sun.
    pub elevation_m: f64,
}

/// Somebody who looks at the sky from a [`Site`].
///
/// ```
/// use wrackline_solar::{Atmosphere, Observer, Site};
///
/// let observer = Observer::new(Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 })?;
/// let sun = observer.sun("2026-12-29T11:50:00Z".parse()?);
/// assert!((sun.azimuth_deg - 180.0).abs() < 1.0);
/// assert!(sun.refracted(&Atmosphere::STANDARD) > sun.altitude_deg);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observer {
    site: Site,
    pub(crate) sine_latitude: f64,
    pub(crate) cosine_latitude: f64,
    pub(crate) longitude: f64,
    /// Distance from the Earth's axis, and north of the equator's plane, km.
    pub(crate) from_axis_km: f64,
    pub(crate) from_equator_km: f64,
    /// Speed towards the east over the speed of light.
    pub(crate) aberration: f64,
}

/// A direction and distance in the observer's own frame: east, north, up.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Local {
    pub(crate) east: f64,
    pub(crate) north: f64,
    pub(crate) up: f64,
}

/// Where a body stands for an observer, without the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Azimuth of the centre in degrees, clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Altitude of the centre above the horizontal in degrees, as if there were no air.
    pub altitude_deg: f64,
    /// Local hour angle of the centre in degrees, -180 to 180: negative before the upper transit.
    pub hour_angle_deg: f64,
    /// Declination of the centre as this observer sees it, in degrees.
    pub declination_deg: f64,
    /// Distance from the observer in astronomical units.
    pub distance_au: f64,
    /// Half the angle that the disc fills, in degrees.
    pub semi_diameter_deg: f64,
}

impl Place {
    /// The altitude of the centre in degrees as the air shows it.
    pub fn refracted(&self, air: &Atmosphere) -> f64 {
        self.altitude_deg + air.refraction_deg(self.altitude_deg)
    }

    /// Distance from the observer in kilometres.
    pub fn distance_km(&self) -> f64 {
        self.distance_au * AU_KM
    }
}

impl Observer {
    /// An observer at a site.
    ///
    /// # Errors
    /// If latitude, longitude or elevation lies outside its range or is not a number.
    pub fn new(site: Site) -> Result<Self, Error> {
        let latitude = within("the latitude in degrees", site.latitude_deg, -90.0, 90.0)?;
        let longitude = within(
            "the longitude in degrees",
            site.longitude_deg,
            -180.0,
            360.0,
        )?;
        let height = within(
            "the elevation in metres",
            site.elevation_m,
            -1_000.0,
            100_000.0,
        )? / 1e3;
        let (sine_latitude, cosine_latitude) = libm::sincos(latitude.to_radians());
        // Geodetic to geocentric on the ellipsoid (Explanatory Supplement 1992, 4.22).
        let polar = (1.0 - FLATTENING) * (1.0 - FLATTENING);
        let prime_vertical_km = EARTH_RADIUS_KM
            / libm::sqrt(cosine_latitude * cosine_latitude + polar * sine_latitude * sine_latitude);
        let from_axis_km = (prime_vertical_km + height) * cosine_latitude;
        Ok(Self {
            site,
            sine_latitude,
            cosine_latitude,
            longitude: longitude.to_radians(),
            from_axis_km,
            from_equator_km: (prime_vertical_km * polar + height) * sine_latitude,
            aberration: EQUATOR_SPEED * from_axis_km / EARTH_RADIUS_KM,
        })
    }

    /// The site of the observer.
    pub fn site(&self) -> Site {
        self.site
    }

    /// The sun at a time in UTC: see [`Observer::sun_at`].
    pub fn sun(&self, at: jiff::Timestamp) -> Place {
        self.sun_at(Instant::from_timestamp(at))
    }

    /// The sun at an instant: apparent topocentric place.
    pub fn sun_at(&self, instant: Instant) -> Place {
        let sun = sun::fixed(instant.tt());
        self.place(
            instant,
            sun.direction * (sun.distance_au * AU_KM),
            SUN_RADIUS_KM,
        )
    }

    /// From the geocentric apparent vector in the fixed frame (km) to the place.
    pub(crate) fn place(&self, instant: Instant, fixed_km: Vector3<f64>, radius_km: f64) -> Place {
        let orientation = Orientation::at(instant.tt());
        let equator = orientation.to_equator(fixed_km);
        let angle =
            earth_rotation_angle(instant.ut1()) + orientation.sidereal_excess + self.longitude;
        self.place_of(turn_third(equator, angle), radius_km)
    }

    /// From the geocentric vector in the frame whose first axis lies in the observer's meridian and whose third is the Earth's.
    pub(crate) fn place_of(&self, meridian_km: Vector3<f64>, radius_km: f64) -> Place {
        let x = meridian_km.x - self.from_axis_km;
        let z = meridian_km.z - self.from_equator_km;
        let distance_km = libm::sqrt(x * x + meridian_km.y * meridian_km.y + z * z);
        // The observer moves east, so light seems to come from further east.
        let east = meridian_km.y + self.aberration * distance_km;
        let local = Local {
            east,
            north: self.cosine_latitude * z - self.sine_latitude * x,
            up: self.cosine_latitude * x + self.sine_latitude * z,
        };
        Place {
            azimuth_deg: positive_deg(libm::atan2(local.east, local.north).to_degrees()),
            altitude_deg: libm::atan2(local.up, libm::hypot(local.east, local.north)).to_degrees(),
            hour_angle_deg: signed_deg(libm::atan2(-east, x).to_degrees()),
            declination_deg: libm::atan2(z, libm::hypot(x, east)).to_degrees(),
            distance_au: distance_km / AU_KM,
            semi_diameter_deg: libm::asin((radius_km / distance_km).min(1.0)).to_degrees(),
        }
    }
}
