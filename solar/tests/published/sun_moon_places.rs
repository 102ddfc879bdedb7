//! Topocentric and geocentric places, 1900-2100, computed with Skyfield 1.55 and the ephemeris JPL
//! DE440 (header of the file). An independent pipeline (ERFA by pyerfa, jplephem) agrees with the
//! table within 0.0011".

use wrackline_solar::{Instant, JulianDates, Observer, Site, moon_at, moon_light_at, sun_at};

use crate::{Spread, number, rows, utc};

const TABLE: &str = include_str!("../data/sun_moon_places.csv");

/// Angle in arc seconds between two directions given as longitude-like and latitude-like angles in
/// degrees.
fn apart_arcsec(a: (f64, f64), b: (f64, f64)) -> f64 {
    let (d_lon, d_lat) = ((a.0 - b.0).to_radians(), (a.1 - b.1).to_radians());
    let h = (d_lat / 2.0).sin().powi(2)
        + a.1.to_radians().cos() * b.1.to_radians().cos() * (d_lon / 2.0).sin().powi(2);
    (2.0 * h.sqrt().asin()).to_degrees() * 3600.0
}

#[test]
fn the_sun_stands_where_de440_has_it() {
    let mut topocentric = Vec::new();
    let mut geocentric = Vec::new();
    let mut distance = Vec::new();
    let mut sidereal = Vec::new();
    let mut from_utc = Vec::new();
    for row in rows(TABLE) {
        let n = |column| number(&row, column);
        let observer = Observer::new(Site {
            latitude_deg: n("lat"),
            longitude_deg: n("lon"),
            elevation_m: n("h_m"),
        })
        .unwrap();
        let instant = Instant::from_julian_dates(JulianDates {
            ut1_jd: n("jd_ut1"),
            tt_jd: n("jd_tt"),
        })
        .unwrap();
        let place = observer.sun_at(instant);
        let truth = (n("sun_az"), n("sun_alt"));
        topocentric.push(apart_arcsec((place.azimuth_deg, place.altitude_deg), truth));
        let sun = sun_at(instant);
        geocentric.push(apart_arcsec(
            (sun.right_ascension_deg, sun.declination_deg),
            (n("sun_ra_geo"), n("sun_dec_geo")),
        ));
        distance.push(sun.distance_au - n("sun_dist_geo_au"));
        distance.push(place.distance_au - n("sun_dist_topo_au"));
        let gast = wrackline_solar::greenwich_apparent_sidereal_time_deg(instant);
        sidereal.push(apart_arcsec((gast, 0.0), (n("gast_deg"), 0.0)));
        let place = observer.sun(utc(n("unix")));
        from_utc.push(apart_arcsec((place.azimuth_deg, place.altitude_deg), truth));
    }
    let [topocentric, geocentric, distance, sidereal, from_utc] =
        [topocentric, geocentric, distance, sidereal, from_utc].map(Spread::of);
    println!("topocentric, arc seconds: {topocentric:?}");
    println!("geocentric, arc seconds: {geocentric:?}");
    println!("distance, au: {distance:?}");
    println!("sidereal time, arc seconds: {sidereal:?}");
    println!("from UTC alone, arc seconds: {from_utc:?}");
    // The cut series leave 0.05" in longitude and latitude each; a Julian date in one number
    // resolves 0.0003" of sky.
    assert!(topocentric.max < 0.1);
    assert!(geocentric.max < 0.1);
    // Terms of less than 1e-7 au are left out.
    assert!(distance.max < 1.5e-6);
    assert!(sidereal.max < 0.01);
    // Interpolated UT1-UTC: 3 ms at most are 0.05"; the rows after the end of the table are the
    // table's convention.
    assert!(from_utc.max < 15.0);
}

#[test]
fn the_moon_stands_where_de440_has_it() {
    let mut topocentric = Vec::new();
    let mut geocentric = Vec::new();
    let mut distance = Vec::new();
    let mut lit = Vec::new();
    let mut elongation = Vec::new();
    for row in rows(TABLE) {
        let n = |column| number(&row, column);
        let observer = Observer::new(Site {
            latitude_deg: n("lat"),
            longitude_deg: n("lon"),
            elevation_m: n("h_m"),
        })
        .unwrap();
        let instant = Instant::from_julian_dates(JulianDates {
            ut1_jd: n("jd_ut1"),
            tt_jd: n("jd_tt"),
        })
        .unwrap();
        let place = observer.moon_at(instant);
        topocentric.push(apart_arcsec(
            (place.azimuth_deg, place.altitude_deg),
            (n("moon_az"), n("moon_alt")),
        ));
        let moon = moon_at(instant);
        geocentric.push(apart_arcsec(
            (moon.right_ascension_deg, moon.declination_deg),
            (n("moon_ra_geo"), n("moon_dec_geo")),
        ));
        distance.push(moon.distance_km() - n("moon_dist_geo_km"));
        distance.push(place.distance_km - n("moon_dist_topo_km"));
        let light = moon_light_at(instant);
        lit.push(light.lit_fraction - n("moon_illum"));
        lit.push(place.lit_fraction - n("moon_illum"));
        let off = light.longitude_from_sun_deg - n("moon_elong_lon_deg");
        elongation.push((off - (off / 360.0).round() * 360.0) * 3600.0);
    }
    let [topocentric, geocentric, distance, lit, elongation] =
        [topocentric, geocentric, distance, lit, elongation].map(Spread::of);
    println!("topocentric, arc seconds: {topocentric:?}");
    println!("geocentric, arc seconds: {geocentric:?}");
    println!("distance, km: {distance:?}");
    println!("lit fraction: {lit:?}");
    println!("elongation in longitude, arc seconds: {elongation:?}");
    // Hundreds of terms of up to 0.03" are left out, which add up to 0.2" rms and five times that
    // at worst.
    assert!(topocentric.max < 1.5);
    assert!(geocentric.max < 1.5);
    // Likewise for terms of up to 0.08 km.
    assert!(distance.max < 2.5);
    // Printed to 1e-6; 1" of elongation is worth 2.4e-6.
    assert!(lit.max < 4e-6);
    assert!(elongation.max < 1.5);
}
