//! Light under a clear sky from the altitude of the sun.
//!
//! Values of the polynomials of Seidelmann, P. K. (ed.) (1992), Explanatory Supplement to the
//! Astronomical Almanac, as printed in Vallado, D. A. (2022), Fundamentals of Astrodynamics and
//! Applications, table 5-1, computed apart from this library in extended precision, to six digits;
//! ranges of the AMS Glossary of Meteorology ("civil twilight" and its neighbours); Janiczek, P. M.
//! & DeYoung, J. A. (1987), USNO Circular 171.

use wrackline_solar::{Luminaries, Observer, Site, SkyCondition, Upright, sun_illuminance, sun_lx};

#[test]
fn the_polynomials_give_their_values() {
    let rows = [
        (60.0, 103_118.0),
        (30.0, 46_297.3),
        (10.0, 11_121.0),
        (2.0, 1_920.78),
        (-0.8, 462.382),
        (-2.0, 189.361),
        (-4.0, 29.9348),
        (-6.0, 3.41159),
        (-8.0, 0.348056),
        (-15.0, 0.00202332),
    ];
    for (altitude, lux) in rows {
        let off = sun_lx(altitude).unwrap() / lux - 1.0;
        assert!(off.abs() < 1e-5, "{altitude}: {off}");
    }
}

#[test]
fn twilight_lies_in_the_published_ranges() {
    assert!((410.0..585.0).contains(&sun_lx(-0.8).unwrap()));
    assert!((2.0..3.5).contains(&sun_lx(-6.0).unwrap()));
    assert!((sun_lx(-12.0).unwrap() / 0.008 - 1.0).abs() < 0.1);
    assert!((sun_lx(-18.0).unwrap() / 6e-4 - 1.0).abs() < 0.1);
}

/// Light on level ground under a clear sky by the other model: Janiczek & DeYoung (1987), USNO
/// Circular 171, subroutines REFR and ATMOS, from the figures of the listing as three public
/// transcriptions agree on them; 0.0005 lx of night sky included.
fn circular_171_lx(altitude_deg: f64) -> f64 {
    let lift_deg = if altitude_deg < -5.0 / 6.0 {
        0.0
    } else {
        1.0 / (altitude_deg + 8.6 / (altitude_deg + 4.42))
            .to_radians()
            .tan()
            / 60.0
    };
    let apparent_deg = altitude_deg + lift_deg;
    let (sine, cosine) = apparent_deg.to_radians().sin_cos();
    // The Earth's radius over the scale height of the air.
    let heights = 753.66156;
    let slant = (heights * cosine / (heights + 1.0)).asin();
    let air_mass = heights * (slant.cos() - sine) + slant.cos();
    let scattered = 1.0 + (apparent_deg + 90.0) * sine / 57.295_779_51;
    let light = (-0.21 * air_mass).exp() * sine + 0.0289 * (-0.042 * air_mass).exp() * scattered;
    133_775.0 * light + 0.0005
}

#[test]
fn the_other_model_gives_its_values() {
    // A public reproduction of the circular, to three digits.
    let rows = [
        (60.0, 103_000.0),
        (30.0, 51_300.0),
        (10.0, 11_200.0),
        (0.0, 984.0),
        (-2.0, 169.0),
        (-4.0, 24.4),
        (-8.0, 0.345),
        (-12.0, 0.0049),
    ];
    for (altitude, lux) in rows {
        let off = circular_171_lx(altitude) / lux - 1.0;
        assert!(off.abs() < 0.011, "{altitude}: {off}");
    }
}

#[test]
fn the_band_of_a_clear_sky_holds_both_models() {
    for tenths in -100..=900 {
        let altitude = f64::from(tenths) / 10.0;
        let band = sun_illuminance(altitude, SkyCondition::Clear).unwrap();
        let other = circular_171_lx(altitude);
        assert!(
            band.lowest_lx < other && other < band.highest_lx,
            "{altitude}: {other} {band:?}"
        );
    }
}

#[test]
fn the_sample_run_of_circular_171_comes_out() {
    // 58 N, 4 W, 1987-05-11 22:15 UT: sun 0.0278 lx, within the "few percent" of a different model:
    // a band of a stop holds it.
    let observer = Observer::new(Site {
        latitude_deg: 58.0,
        longitude_deg: -4.0,
        elevation_m: 0.0,
    })
    .unwrap();
    let sun = observer.sun("1987-05-11T22:15:00Z".parse().unwrap());
    let ratio = sun_lx(sun.altitude_deg).unwrap() / 0.0278;
    assert!((0.8..1.25).contains(&ratio), "{} {ratio}", sun.altitude_deg);
}

#[test]
fn clouds_divide_and_bands_stay_wide() {
    // Divisors 1, 2, 3 and 10: USNO Circular 171, appendix B.
    let observer = Observer::new(Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    })
    .unwrap();
    let at = "2026-12-29T12:00:00Z".parse().unwrap();
    let light = Luminaries::new(&observer.sun(at), &observer.moon(at)).unwrap();
    let clear = light.horizontal(SkyCondition::Clear);
    for (sky, divisor) in [
        (SkyCondition::Clear, 1.0),
        (SkyCondition::ThinVeil, 2.0),
        (SkyCondition::AverageCloud, 3.0),
        (SkyCondition::DarkStratus, 10.0),
    ] {
        let level = light.horizontal(sky);
        assert!((clear.likely_lx / level.likely_lx - divisor).abs() < 1e-12);
        assert!(level.width_stops() >= 1.0 - 1e-12);
        // A low sun in the south lights what faces it more than level ground, and what turns away
        // less.
        let facing = |facing_deg| {
            let surface = Upright {
                facing_deg,
                ground_reflectance: 0.2,
            };
            light.upright(surface, sky).unwrap().likely_lx
        };
        if sky == SkyCondition::Clear {
            assert!(facing(180.0) > 1.5 * level.likely_lx);
        }
        assert!(facing(180.0) >= facing(90.0) && facing(90.0) >= facing(0.0));
        assert!(facing(0.0) < level.likely_lx);
    }
    assert!(
        light
            .upright(
                Upright {
                    facing_deg: f64::NAN,
                    ground_reflectance: 0.2
                },
                SkyCondition::Clear
            )
            .is_err()
    );
}

#[test]
fn a_full_moon_lights_the_night_a_little() {
    // A high full moon gives 0.1 to 0.3 lx (AMS Glossary and others); a thin crescent nothing to
    // see by.
    let observer = Observer::new(Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    })
    .unwrap();
    let lux = |at: &str| {
        let at = at.parse().unwrap();
        Luminaries::new(&observer.sun(at), &observer.moon(at))
            .unwrap()
            .horizontal(SkyCondition::Clear)
            .likely_lx
    };
    let full = lux("2026-12-24T00:00:00Z");
    assert!((0.1..0.4).contains(&full), "{full}");
    let new = lux("2026-12-09T00:00:00Z");
    assert!((5e-4..2e-3).contains(&new), "{new}");
}
