//! Where a body stands for somebody on the Earth: parallax, diurnal aberration, azimuth and
//! altitude.

use jiff::Timestamp;
use nalgebra::Vector3;

use crate::angle::{degrees_of_points, signed_deg, sincos_of_turns, small_arc_sine};
use crate::body::Body;
use crate::error::{Error, within};
use crate::frames::{earth_rotation_angle, turn_third, turned_third};
use crate::moon::{lit_fraction, phase_angle};
use crate::refraction::Atmosphere;
use crate::sun::AU_KM;
use crate::time::{EarthTime, Instant};
use crate::wide::{Work, widest};

/// Equatorial radius of the WGS84 ellipsoid, km.
pub(crate) const EARTH_RADIUS_KM: f64 = 6_378.137;
/// Flattening of that ellipsoid.
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// Speed of a point of the equator over the speed of light: 7.292115e-5 rad/s times the radius.
const EQUATOR_SPEED: f64 = 7.292_115e-5 * EARTH_RADIUS_KM / 299_792.458;
/// A place on the Earth, on the WGS84 ellipsoid.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Site {
    /// Geodetic latitude in degrees, -90 to 90, north positive.
    pub latitude_deg: f64,
    /// Longitude in degrees, -180 to 360, east positive.
    pub longitude_deg: f64,
    /// Height above the ellipsoid in metres, -1000 to 100,000. Height above the sea serves as well:
    /// 100 m are 0.003" of the sun.
    pub elevation_m: f64,
}

/// Somebody who looks at the sky from a [`Site`].
///
/// ```
/// use wrackline_solar::{Atmosphere, Observer, Site};
///
/// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
/// let observer = Observer::new(site)?;
/// let sun = observer.sun("2026-12-29T11:50:00Z".parse()?);
/// assert!((sun.azimuth_deg - 180.0).abs() < 1.0);
/// assert!(sun.refracted(&Atmosphere::STANDARD)? > sun.altitude_deg);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::ObserverRecord",
        into = "crate::record::ObserverRecord"
    )
)]
pub struct Observer {
    site: Site,
    earth_time: EarthTime,
    pub(crate) sine_latitude: f64,
    pub(crate) cosine_latitude: f64,
    sine_longitude: f64,
    cosine_longitude: f64,
    pub(crate) longitude_turns: f64,
    /// Distance from the Earth's axis, and north of the equator's plane, km.
    pub(crate) from_axis_km: f64,
    pub(crate) from_equator_km: f64,
    /// Speed towards the east over the speed of light.
    pub(crate) aberration: f64,
}

/// Where a body stands for an observer, without the air.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
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

/// Where the moon stands for an observer, without the air, and how it is lit.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct MoonPlace {
    /// Azimuth of the centre in degrees, clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Altitude of the centre above the horizontal in degrees, as if there were no air.
    pub altitude_deg: f64,
    /// Local hour angle of the centre in degrees, -180 to 180: negative before the upper transit.
    pub hour_angle_deg: f64,
    /// Declination of the centre as this observer sees it, in degrees.
    pub declination_deg: f64,
    /// Distance from the observer in kilometres.
    pub distance_km: f64,
    /// Half the angle that the disc fills, in degrees.
    pub semi_diameter_deg: f64,
    /// Lit fraction of the disc, 0 to 1, for the centre of the Earth as the almanacs give it;
    /// parallax changes it by 0.009 at most.
    pub lit_fraction: f64,
    /// Angle at the moon between sun and Earth in degrees: 0 at full moon, 180 at new moon (for the
    /// centre of the Earth).
    pub phase_angle_deg: f64,
    /// How far the middle of the bright limb leans from the top of the disc to the right, in
    /// degrees, -180 to 180: 90 is lit from the right.
    pub bright_limb_tilt_deg: f64,
}

impl MoonPlace {
    /// The altitude of the centre in degrees as the air shows it.
    ///
    /// # Errors
    /// If the altitude, as somebody may have set it, lies outside -90 to 90 degrees or is not a
    /// number.
    pub fn refracted(&self, air: &Atmosphere) -> Result<f64, Error> {
        air.apparent_altitude_deg(self.altitude_deg)
    }
}

impl Place {
    /// The altitude of the centre in degrees as the air shows it.
    ///
    /// # Errors
    /// If the altitude, as somebody may have set it, lies outside -90 to 90 degrees or is not a
    /// number.
    pub fn refracted(&self, air: &Atmosphere) -> Result<f64, Error> {
        air.apparent_altitude_deg(self.altitude_deg)
    }

    /// Distance from the observer in kilometres.
    #[must_use]
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
        let latitude = within("latitude", site.latitude_deg, -90.0, 90.0, "deg")?;
        let longitude = within("longitude", site.longitude_deg, -180.0, 360.0, "deg")?;
        let height = within("elevation", site.elevation_m, -1_000.0, 100_000.0, "m")? / 1e3;
        let (sine_latitude, cosine_latitude) = libm::sincos(latitude.to_radians());
        let (sine_longitude, cosine_longitude) = sincos_of_turns(longitude / 360.0);
        // Geodetic to geocentric on the ellipsoid (Explanatory Supplement 1992, 4.22).
        let polar = (1.0 - FLATTENING) * (1.0 - FLATTENING);
        let prime_vertical_km = EARTH_RADIUS_KM
            / libm::sqrt(cosine_latitude * cosine_latitude + polar * sine_latitude * sine_latitude);
        let from_axis_km = (prime_vertical_km + height) * cosine_latitude;
        Ok(Self {
            site,
            earth_time: EarthTime::Observed,
            sine_latitude,
            cosine_latitude,
            sine_longitude,
            cosine_longitude,
            longitude_turns: longitude / 360.0,
            from_axis_km,
            from_equator_km: (prime_vertical_km * polar + height) * sine_latitude,
            aberration: EQUATOR_SPEED * from_axis_km / EARTH_RADIUS_KM,
        })
    }

    /// The site of the observer.
    #[must_use]
    pub fn site(&self) -> Site {
        self.site
    }

    /// The same observer, with the rotation of the Earth as given instead of as observed.
    #[must_use]
    pub fn with_earth_time(mut self, earth_time: EarthTime) -> Self {
        self.earth_time = earth_time;
        self
    }

    /// How this observer's times in UTC become UT1 and TT.
    #[must_use]
    pub fn earth_time(&self) -> EarthTime {
        self.earth_time
    }

    /// The sun at a time in UTC: see [`Observer::sun_at`].
    #[must_use]
    pub fn sun(&self, at: Timestamp) -> Place {
        self.sun_at(self.earth_time.instant(at))
    }

    /// The sun at an instant: apparent topocentric place, within 0.05" of the ephemeris DE440 over
    /// 1900-2100.
    #[must_use]
    pub fn sun_at(&self, instant: Instant) -> Place {
        Snapshot::sun(instant).place(self)
    }

    /// The moon at a time in UTC: see [`Observer::moon_at`].
    #[must_use]
    pub fn moon(&self, at: Timestamp) -> MoonPlace {
        self.moon_at(self.earth_time.instant(at))
    }

    /// The moon at an instant: apparent topocentric place, within 1.5" of the ephemeris DE440 over
    /// 1900-2100, and its light.
    #[must_use]
    pub fn moon_at(&self, instant: Instant) -> MoonPlace {
        let moon = Snapshot::moon(instant);
        let sun = Snapshot::sun(instant);
        let place = moon.place(self);
        let phase_angle = phase_angle(sun.equator_km, moon.equator_km);
        MoonPlace {
            azimuth_deg: place.azimuth_deg,
            altitude_deg: place.altitude_deg,
            hour_angle_deg: place.hour_angle_deg,
            declination_deg: place.declination_deg,
            distance_km: place.distance_km(),
            semi_diameter_deg: place.semi_diameter_deg,
            lit_fraction: lit_fraction(phase_angle),
            phase_angle_deg: phase_angle.to_degrees(),
            bright_limb_tilt_deg: tilt_deg(place, sun.place(self)),
        }
    }

    /// From the geocentric vector in the frame whose first axis lies in the observer's meridian and
    /// whose third is the Earth's.
    #[inline(always)]
    pub(crate) fn place_of(&self, meridian_km: Vector3<f64>, radius_km: f64) -> Place {
        let (local, distance_km) = self.local_km(meridian_km);
        let [east, north, up] = local;
        // Back to the equator: away from the axis in the meridian, and along the axis.
        let outward = self.cosine_latitude * up - self.sine_latitude * north;
        let along = self.cosine_latitude * north + self.sine_latitude * up;
        let level = libm::sqrt(east * east + north * north);
        let off_axis = libm::sqrt(east * east + outward * outward);
        let mut angles =
            degrees_of_points([east, up, -east, along], [north, level, outward, off_axis]);
        // All four take the same steps, so that they fill one register.
        for (angle, lowest) in angles.iter_mut().zip([0.0, -180.0, -180.0, -180.0]) {
            *angle = turned_up(*angle, lowest);
        }
        let [azimuth_deg, altitude_deg, hour_angle_deg, declination_deg] = angles;
        Place {
            azimuth_deg,
            altitude_deg,
            hour_angle_deg,
            declination_deg,
            distance_au: distance_km / AU_KM,
            semi_diameter_deg: small_arc_sine(radius_km / distance_km).to_degrees(),
        }
    }

    /// The apparent vector east, north, up of the observer, and the distance.
    #[inline(always)]
    pub(crate) fn local_km(&self, meridian_km: Vector3<f64>) -> ([f64; 3], f64) {
        let x = meridian_km.x - self.from_axis_km;
        let y = meridian_km.y;
        let z = meridian_km.z - self.from_equator_km;
        let distance_km = libm::sqrt(x * x + y * y + z * z);
        let local = [
            // The observer moves east, so light seems to come from further east.
            y + self.aberration * distance_km,
            self.cosine_latitude * z - self.sine_latitude * x,
            self.cosine_latitude * x + self.sine_latitude * z,
        ];
        (local, distance_km)
    }
}

/// An angle between -180 and 180 degrees in the turn that begins with the lowest, which is included,
/// and whose end is not.
#[inline(always)]
fn turned_up(angle_deg: f64, lowest_deg: f64) -> f64 {
    let turned = if angle_deg < lowest_deg {
        angle_deg + 360.0
    } else {
        angle_deg
    };
    // A tiny negative angle rounds up to a full turn.
    if turned < lowest_deg + 360.0 {
        turned
    } else {
        lowest_deg
    }
}

/// How far the bright limb of the moon leans from the top of its disc towards the right, degrees.
pub(crate) fn tilt_deg(moon: Place, sun: Place) -> f64 {
    let (sine_m, cosine_m) = libm::sincos(moon.altitude_deg.to_radians());
    let (sine_s, cosine_s) = libm::sincos(sun.altitude_deg.to_radians());
    let (sine, cosine) = libm::sincos((sun.azimuth_deg - moon.azimuth_deg).to_radians());
    // Direction to the sun in the plane of the moon's disc: to the right (towards greater azimuth),
    // and up.
    let right = cosine_s * sine;
    let up = cosine_m * sine_s - sine_m * cosine_s * cosine;
    signed_deg(libm::atan2(right, up).to_degrees())
}

/// A body at one instant, worked out once for any number of observers.
///
/// ```
/// use wrackline_solar::{Instant, Observer, Site, Snapshot};
///
/// let sun = Snapshot::sun(Instant::from_timestamp("2026-12-29T09:33:00Z".parse()?));
/// let site = Site { latitude_deg: 53.0, longitude_deg: 3.0, elevation_m: 0.0 };
/// let south = Observer::new(site)?;
/// let site = Site { latitude_deg: 55.0, longitude_deg: 3.0, elevation_m: 0.0 };
/// let north = Observer::new(site)?;
/// assert!(sun.place(&south).altitude_deg > sun.place(&north).altitude_deg);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Snapshot {
    /// Geocentric apparent vector, true equator and equinox of date.
    equator_km: Vector3<f64>,
    /// The same with its first axis in the meridian of Greenwich.
    greenwich_km: Vector3<f64>,
    radius_km: f64,
}

impl Snapshot {
    /// The sun at an instant.
    #[must_use]
    pub fn sun(instant: Instant) -> Self {
        Self::of(Body::Sun, instant)
    }

    /// The moon at an instant.
    #[must_use]
    pub fn moon(instant: Instant) -> Self {
        Self::of(Body::Moon, instant)
    }

    fn of(body: Body, instant: Instant) -> Self {
        let (orientation, equator_km) = body.equator_km(instant);
        let greenwich = earth_rotation_angle(instant.ut1()) + orientation.sidereal_excess;
        Self {
            equator_km,
            greenwich_km: turn_third(equator_km, greenwich),
            radius_km: body.radius_km(),
        }
    }

    /// The place for an observer.
    #[must_use]
    pub fn place(&self, observer: &Observer) -> Place {
        let snapshot = self;
        widest(Seen { snapshot, observer })
    }
}

/// A body at one instant as an observer sees it.
struct Seen<'a> {
    snapshot: &'a Snapshot,
    observer: &'a Observer,
}

impl Work for Seen<'_> {
    type Output = Place;

    #[inline(always)]
    fn run(self) -> Place {
        let Self { snapshot, observer } = self;
        let turn = (observer.sine_longitude, observer.cosine_longitude);
        observer.place_of(
            turned_third(snapshot.greenwich_km, turn),
            snapshot.radius_km,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_and_narrow_registers_give_the_same_bits() {
        let snapshot = &Snapshot::moon(Instant::from_timestamp(Timestamp::UNIX_EPOCH));
        for degrees in -90..=90 {
            let site = Site {
                latitude_deg: f64::from(degrees),
                longitude_deg: 1.97 * f64::from(degrees),
                elevation_m: 2.0,
            };
            let observer = &Observer::new(site).expect("a place");
            let narrow = Seen { snapshot, observer }.run();
            assert_eq!(snapshot.place(observer), narrow);
        }
    }
}
