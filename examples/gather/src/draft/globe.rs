//! Points on the globe: bearings and distances between them, and where one is in words.

use geographiclib_rs::{Geodesic, InverseGeodesic};
use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{Crossing, Direction, Observer, Site, Threshold};

/// A point on the WGS84 ellipsoid, which receivers and RFC 7946 mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    latitude_deg: f64,
    longitude_deg: f64,
}

impl Spot {
    /// A latitude from -90 to 90 and a longitude from -180 to 180 degrees, kept to a hundred
    /// millionth of a degree: about a millimetre.
    ///
    /// # Errors
    /// What is out of range, and what may have happened.
    pub fn new(latitude_deg: f64, longitude_deg: f64) -> Result<Self, String> {
        let turned = (-90.0..=90.0).contains(&longitude_deg) && latitude_deg.abs() <= 180.0;
        if !(-90.0..=90.0).contains(&latitude_deg) {
            let hint = if turned {
                ": are latitude and longitude exchanged?"
            } else {
                ""
            };
            return Err(format!(
                "latitude {latitude_deg} is not from -90 to 90 degrees{hint}"
            ));
        }
        if !(-180.0..=180.0).contains(&longitude_deg) {
            return Err(format!(
                "longitude {longitude_deg} is not from -180 to 180 degrees"
            ));
        }
        // Adding zero takes the sign from a negative zero.
        let kept = |angle: f64| (angle * 1e8).round() / 1e8 + 0.0;
        Ok(Self {
            latitude_deg: kept(latitude_deg),
            longitude_deg: kept(longitude_deg),
        })
    }

    /// Degrees north.
    pub fn latitude_deg(&self) -> f64 {
        self.latitude_deg
    }

    /// Degrees east.
    pub fn longitude_deg(&self) -> f64 {
        self.longitude_deg
    }
}

/// The shortest line from one point to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Its length along the ellipsoid, metres.
    pub distance_m: f64,
    /// Its true bearing at the start, degrees from 0 to below 360.
    pub bearing_deg: f64,
}

/// The shortest line between two points, by Karney's method (Algorithms for geodesics, Journal of
/// Geodesy 87, 2013), exact to nanometres: what is wrong with it is the receiver's error, several
/// metres.
pub fn line(from: Spot, to: Spot) -> Line {
    let (distance_m, start_deg, _, _): (f64, f64, f64, f64) = Geodesic::wgs84().inverse(
        from.latitude_deg,
        from.longitude_deg,
        to.latitude_deg,
        to.longitude_deg,
    );
    // A remainder of a tiny negative angle rounds up to 360 itself.
    let bearing_deg = start_deg.rem_euclid(360.0) % 360.0;
    Line {
        distance_m,
        bearing_deg,
    }
}

/// Where a point is, in degrees, minutes and seconds, and in words that tell a slip of sign or
/// order.
pub fn in_words(spot: Spot) -> String {
    let (latitude, longitude) = (spot.latitude_deg, spot.longitude_deg);
    let north = if latitude < 0.0 { "S" } else { "N" };
    let east = if longitude < 0.0 { "W" } else { "E" };
    let region = match latitude.abs() {
        lat if lat > 66.56 => "polar",
        lat if lat < 23.44 => "tropical",
        _ => "temperate",
    };
    let half = if latitude < 0.0 {
        "southern"
    } else {
        "northern"
    };
    // Mean noon: the equation of time moves it by a quarter of an hour through the year.
    let noon = (12.0 - longitude / 15.0).rem_euclid(24.0) * 60.0;
    let noon = noon.round() as u32 % 1440;
    format!(
        "{} {north}, {} {east}: {region}, {half} half of the globe, noon by the sun near \
         {:02}:{:02} UTC",
        sexagesimal(latitude),
        sexagesimal(longitude),
        noon / 60,
        noon % 60
    )
}

fn sexagesimal(angle_deg: f64) -> String {
    let tenths = (angle_deg.abs() * 36_000.0).round() as u64;
    let (degrees, rest) = (tenths / 36_000, tenths % 36_000);
    let (minutes, tenths) = (rest / 600, rest % 600);
    format!(
        "{degrees}°{minutes:02}'{:02}.{}\"",
        tenths / 10,
        tenths % 10
    )
}

/// The next sunset over an open horizon within two days; `None` where there is none.
pub fn next_sunset(spot: Spot, now: Timestamp) -> Option<Timestamp> {
    let observer = Observer::new(Site {
        latitude_deg: spot.latitude_deg,
        longitude_deg: spot.longitude_deg,
        elevation_m: 0.0,
    })
    .ok()?;
    let until = now.checked_add(SignedDuration::from_hours(48)).ok()?;
    let found = observer
        .sun_crossings(Threshold::SUNRISE, now..until)
        .ok()?;
    let sets = |crossing: &&Crossing| crossing.direction == Direction::Setting;
    found.events.iter().find(sets).map(|crossing| crossing.at)
}

#[cfg(test)]
mod tests {
    use super::{Spot, in_words, line};

    fn spot(latitude_deg: f64, longitude_deg: f64) -> Spot {
        Spot::new(latitude_deg, longitude_deg).expect("in range")
    }

    /// C. F. F. Karney, the geodesic routines of GeographicLib, their page in the npm registry
    /// (package `geographiclib`, section Examples): from 41.32 S, 174.81 E to 40.96 N, 5.50 W,
    /// printed to the millimetre. The line is nearly half of the globe, where simpler series fail.
    #[test]
    fn a_published_line_nearly_to_the_antipodes() {
        let far = line(spot(-41.32, 174.81), spot(40.96, -5.50));
        assert!((far.distance_m - 19_959_679.267).abs() < 0.000_5 + 1e-6);
    }

    /// The quarter meridian by Bessel's series in the third flattening, pi/2 a/(1 + n) (1 + n²/4 +
    /// n⁴/64 + n⁶/256), and the equator, an arc of a circle; both with the a and f of WGS84 (NIMA
    /// TR8350.2, table 3.1).
    #[test]
    fn a_quarter_meridian_and_the_equator() {
        let (a, f) = (6_378_137.0_f64, 1.0 / 298.257_223_563_f64);
        let n = f / (2.0 - f);
        let quarter = core::f64::consts::FRAC_PI_2 * a / (1.0 + n)
            * (1.0 + n.powi(2) / 4.0 + n.powi(4) / 64.0 + n.powi(6) / 256.0);
        let north = line(spot(0.0, 30.0), spot(90.0, 30.0));
        assert!((north.distance_m - quarter).abs() < 1e-6);
        assert!(north.bearing_deg.abs() < 1e-9);
        let east = line(spot(0.0, 179.99), spot(0.0, -179.99));
        assert!((east.distance_m - a * 0.02_f64.to_radians()).abs() < 1e-6);
        assert!((east.bearing_deg - 90.0).abs() < 1e-9);
    }

    #[test]
    fn a_point_in_words() {
        assert_eq!(
            in_words(spot(53.4016, -1.202)),
            "53°24'05.8\" N, 1°12'07.2\" W: temperate, northern half of the globe, noon by the sun \
             near 12:05 UTC"
        );
        assert!(in_words(spot(-0.0, -179.999_999_99)).contains("noon by the sun near 00:00 UTC"));
    }

    #[test]
    fn what_is_not_on_the_globe_is_said() {
        let exchanged = Spot::new(120.0, 53.0).unwrap_err();
        assert!(exchanged.contains("exchanged"), "{exchanged}");
        assert!(Spot::new(f64::NAN, 0.0).is_err() && Spot::new(0.0, f64::INFINITY).is_err());
        assert!(Spot::new(0.0, 180.1).is_err() && Spot::new(-90.0, -180.0).is_ok());
    }
}
