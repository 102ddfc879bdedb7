//! Where the sun stands, by the low-precision formulas of the almanac.
//!
//! The Astronomical Almanac (US Naval Observatory and HM Nautical Almanac Office), section C,
//! "Low precision formulas for the Sun" (the page, C5 in recent years, from memory): 0.01°
//! between 1950 and 2050. Sidereal time: the same section's mean sidereal time at Greenwich,
//! 280.46062° + 360.98564737° a day; nutation in right ascension (0.005° at most) is left out.

/// The sun's centre without air.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sun {
    pub(crate) altitude_deg: f64,
    /// Clockwise from north.
    pub(crate) azimuth_deg: f64,
    pub(crate) declination_deg: f64,
    /// West of the meridian, -180 to 180.
    pub(crate) hour_angle_deg: f64,
}

/// How far the formulas may be off, degrees on the sky: 0.01 of their own, 0.005 of nutation,
/// rounded up.
pub(crate) const ERROR_DEG: f64 = 0.02;

const J2000_UNIX_S: f64 = 946_728_000.0;
/// The sun's horizontal parallax, 8.794 arc seconds (IAU 1976).
const PARALLAX_DEG: f64 = 8.794 / 3600.0;

pub(crate) fn sun(unix_s: f64, latitude_deg: f64, longitude_deg: f64) -> Sun {
    let n = (unix_s - J2000_UNIX_S) / 86_400.0;
    let mean_longitude = 280.460 + 0.985_647_4 * n;
    let anomaly = (357.528 + 0.985_600_3 * n).to_radians();
    let longitude =
        (mean_longitude + 1.915 * anomaly.sin() + 0.020 * (2.0 * anomaly).sin()).to_radians();
    let obliquity = (23.439 - 0.000_000_4 * n).to_radians();
    let right_ascension = (obliquity.cos() * longitude.sin()).atan2(longitude.cos());
    let declination = (obliquity.sin() * longitude.sin()).asin();

    let sidereal_deg = 280.460_62 + 360.985_647_37 * n;
    let hour_angle_deg = wrap_180(sidereal_deg + longitude_deg - right_ascension.to_degrees());
    let (hour_angle, latitude) = (hour_angle_deg.to_radians(), latitude_deg.to_radians());
    let up =
        latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * hour_angle.cos();
    let north =
        latitude.cos() * declination.sin() - latitude.sin() * declination.cos() * hour_angle.cos();
    let east = -declination.cos() * hour_angle.sin();
    let altitude_deg = up.atan2(north.hypot(east)).to_degrees();
    Sun {
        altitude_deg: altitude_deg - PARALLAX_DEG * altitude_deg.to_radians().cos(),
        azimuth_deg: east.atan2(north).to_degrees().rem_euclid(360.0),
        declination_deg: declination.to_degrees(),
        hour_angle_deg,
    }
}

/// Angle between the line of the shadows and a view, 0 for front light to 180 into the sun.
pub(crate) fn shadow_angle_deg(sun: Sun, bearing_deg: f64) -> f64 {
    wrap_180(sun.azimuth_deg + 180.0 - bearing_deg).abs()
}

/// An angle in [-180, 180).
pub(crate) fn wrap_180(angle_deg: f64) -> f64 {
    (angle_deg + 180.0).rem_euclid(360.0) - 180.0
}

/// The judge itself is judged: topocentric apparent places without air by Skyfield 1.55 with JPL
/// DE440 (Unix seconds, latitude, longitude, altitude, azimuth); heights of up to 2 km above the
/// sea shift them by less than 0.00001°.
#[test]
fn agrees_with_an_ephemeris() {
    const ROWS: [[f64; 5]; 8] = [
        [1_745_014_119.0, 76.015_180, 160.046_525, 20.3454, 129.4218],
        [
            1_605_181_955.0,
            -3.415_288,
            -114.651_489,
            -20.2486,
            110.4851,
        ],
        [1_125_001_459.0, -45.213_811, 65.421_838, -54.0296, 161.3444],
        [994_918_795.0, -2.883_844, 59.309_725, 53.6824, 45.5277],
        [1_931_377_706.0, -38.048_369, 40.760_526, -49.6702, 171.2389],
        [1_642_783_537.0, -56.353_143, -113.251_211, 40.7408, 60.8306],
        [1_732_138_236.0, 59.411_013, -105.465_583, 3.9427, 217.9400],
        [874_439_027.0, 34.024_786, 132.344_213, -15.3689, 76.2411],
    ];
    for [at, latitude, longitude, altitude, azimuth] in ROWS {
        let sun = sun(at, latitude, longitude);
        let along = wrap_180(sun.azimuth_deg - azimuth) * altitude.to_radians().cos();
        let off = (sun.altitude_deg - altitude).hypot(along);
        assert!(off < ERROR_DEG, "{off}° off at {at}");
    }
}
