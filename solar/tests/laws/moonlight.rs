//! The prepared moon against the full theory, and the searches for its light.

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_solar::{
    AltitudeBand, Body, Error, Grid, Horizontal, Instant, LightBounds, Limb, LitMoon, Luminaries,
    Observer, Path, Site, SkyCondition, Skyline, SkylinePoint, SunAndMoon, View, fill_level_lx,
    moon_light_at, moon_lit_above, shadow_line_angle_deg,
};

use super::{apart_arcsec, cases, grids, hours, observer, time, vector};

/// Places of the prepared moon against the full theory, arc seconds: that of a path, which agrees
/// within 0.001".
const PLACE_ARCSEC: f64 = 0.001;
/// Lit fraction: what 0.001" of the moon and of the sun come to at the quarters, where it changes
/// most.
const LIT: f64 = 5e-9;
/// Phase angle in degrees: near full and new moon an error of its cosine by 1e-10 is one of 1.4e-5
/// radians.
const PHASE_DEG: f64 = 0.001;

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn the_prepared_moon_is_the_full_theory(
        observer in observer(),
        at in time(),
        ahead in 0..400_i64,
    ) {
        let sky = SunAndMoon::new(at..at + hours(ahead)).unwrap();
        for t in [at, at + hours(ahead / 3), at + hours(ahead)] {
            let (ours, truth) = (sky.moon_place(&observer, t).unwrap(), observer.moon(t));
            let off = apart_arcsec(
                vector(ours.azimuth_deg, ours.altitude_deg),
                vector(truth.azimuth_deg, truth.altitude_deg),
            );
            prop_assert!(off < PLACE_ARCSEC, "{off}");
            prop_assert!((ours.distance_km / truth.distance_km - 1.0).abs() < 1e-8);
            prop_assert!((ours.lit_fraction - truth.lit_fraction).abs() < LIT);
            prop_assert!((ours.phase_angle_deg - truth.phase_angle_deg).abs() < PHASE_DEG);
            prop_assert_eq!(sky.lit_fraction(t).unwrap(), ours.lit_fraction);
            let tilt = (ours.bright_limb_tilt_deg - truth.bright_limb_tilt_deg + 180.0)
                .rem_euclid(360.0)
                - 180.0;
            // Close to full and new moon the limb has no side.
            let side = truth.phase_angle_deg.to_radians().sin();
            prop_assert!((tilt * side).abs() < 0.01, "{tilt}");
        }
    }

    #[test]
    fn a_batch_of_moons_is_its_single_moons(
        observer in observer(),
        grid in grids(),
    ) {
        let instants: Vec<_> = grid.instants().collect();
        let sky = SunAndMoon::new(grid.start()..grid.last()).unwrap();
        let mut even = vec![LitMoon::default(); grid.len()];
        let mut given = even.clone();
        sky.fill_moons(&observer, &grid, &mut even).unwrap();
        sky.fill_moons_at(&observer, &instants, &mut given).unwrap();
        for ((at, grid), given) in instants.iter().zip(&even).zip(&given) {
            let single = sky.moon_place(&observer, *at).unwrap();
            let there = vector(single.azimuth_deg, single.altitude_deg);
            // On a grid UT1 is taken to run evenly for some days: a millisecond is 0.015".
            for (moon, arcsec) in [(grid, 0.03), (given, 0.003)] {
                let off = apart_arcsec(vector(moon.azimuth_deg, moon.altitude_deg), there);
                prop_assert!(off < arcsec, "{off}");
                prop_assert!((moon.distance_km / single.distance_km - 1.0).abs() < 1e-8);
                prop_assert!((moon.lit_fraction - single.lit_fraction).abs() < LIT);
                prop_assert!((moon.phase_angle_deg - single.phase_angle_deg).abs() < PHASE_DEG);
            }
        }
    }

    #[test]
    fn light_of_batches_is_light_of_places(observer in observer(), at in time()) {
        let sky = SunAndMoon::new(at..at).unwrap();
        let mut moon = [LitMoon::default()];
        sky.fill_moons_at(&observer, &[at], &mut moon).unwrap();
        let sun = sky.sun().horizontal(&observer, at).unwrap();
        let batch = Luminaries::of_batches(&sun, &moon[0])
            .unwrap()
            .horizontal(SkyCondition::Clear)
            .likely_lx;
        for light in [
            sky.luminaries(&observer, at).unwrap(),
            Luminaries::new(&observer.sun(at), &observer.moon(at)).unwrap(),
        ] {
            let single = light.horizontal(SkyCondition::Clear).likely_lx;
            // The light changes by a factor of 10^2 in half a degree at most: 0.003" of altitude
            // are 1e-5 of it.
            prop_assert!((batch / single - 1.0).abs() < 2e-5, "{batch} {single}");
        }
        let mut lux = [0.0];
        fill_level_lx(&[sun], &moon, SkyCondition::Clear, &mut lux).unwrap();
        prop_assert!((lux[0] / batch - 1.0).abs() < 1e-9, "{lux:?} {batch}");
    }

    #[test]
    fn light_of_many_is_light_of_each(
        altitudes in
            proptest::collection::vec(
                (-90.0..=90.0_f64, -90.0..=90.0_f64, 0.0..=180.0_f64, 356_000.0..407_000.0_f64),
                0..40,
            ),
    ) {
        let sun: Vec<_> = altitudes
            .iter()
            .map(|a| Horizontal {
                azimuth_deg: 0.0,
                altitude_deg: a.0,
            })
            .collect();
        let moon: Vec<_> = altitudes
            .iter()
            .map(|a| LitMoon {
                azimuth_deg: 0.0,
                altitude_deg: a.1,
                distance_km: a.3,
                lit_fraction: 0.5,
                phase_angle_deg: a.2,
            })
            .collect();
        let mut lux = vec![0.0; sun.len()];
        fill_level_lx(&sun, &moon, SkyCondition::AverageCloud, &mut lux).unwrap();
        for ((sun, moon), lux) in sun.iter().zip(&moon).zip(&lux) {
            let one = Luminaries::of_batches(sun, moon)
                .unwrap()
                .horizontal(SkyCondition::AverageCloud);
            prop_assert!((lux / one.likely_lx - 1.0).abs() < 1e-9, "{lux} {one:?}");
        }
    }

    #[test]
    fn the_moon_is_lit_enough_inside_and_not_outside(
        start in time(),
        days in 1..60_i64,
        share in 0.0..=1.0_f64,
    ) {
        let span = start..start + hours(24 * days);
        let found = moon_lit_above(share, span.clone()).unwrap();
        prop_assert!(
            found
                .iter()
                .all(|s| span.start <= s.start && s.start < s.end && s.end <= span.end)
        );
        prop_assert!(found.windows(2).all(|pair| pair[0].end < pair[1].start));
        let lit = |at| moon_light_at(Instant::from_timestamp(at)).lit_fraction;
        for quarter in 0..days * 8 {
            let at = start + hours(3 * quarter);
            if (lit(at) - share).abs() > 1e-6 {
                prop_assert_eq!(
                    found.iter().any(|s| s.contains(&at)),
                    lit(at) > share,
                    "{}",
                    at
                );
            }
        }
        // Each end within the span is a crossing, to the microsecond, in which the lit fraction
        // moves by 1e-12.
        for edge in found
            .iter()
            .flat_map(|s| [s.start, s.end])
            .filter(|t| *t != span.start && *t != span.end)
        {
            prop_assert!(
                (lit(edge) - share).abs() < LIT,
                "{edge} {}",
                lit(edge) - share
            );
        }
        let sky = SunAndMoon::new(span.clone()).unwrap();
        prop_assert_eq!(sky.moon_lit_above(share, span).unwrap(), found);
    }

    #[test]
    fn moonlight_stretches_hold_inside_and_fail_outside(
        observer in observer(),
        start in time(),
        low in -10.0..20.0_f64,
        height in 0.0..20.0_f64,
        bearing in 0.0..360.0_f64,
        least in 0.0..180.0_f64,
        width in 0.0..180.0_f64,
    ) {
        let greatest = (least + width).min(180.0);
        let bounds = LightBounds {
            altitude: AltitudeBand {
                lowest_deg: low,
                highest_deg: low + height,
            },
            bearing_deg: bearing,
            least_side_deg: least,
            greatest_side_deg: greatest,
        };
        let span = start..start + hours(48);
        let found = observer.moon_light_within(bounds, span.clone()).unwrap();
        let path = Path::new(Body::Moon, span.clone()).unwrap();
        prop_assert_eq!(&path.light_within(&observer, bounds, span).unwrap(), &found);
        for minutes in (3..48 * 60).step_by(17) {
            let at = start + SignedDuration::from_mins(minutes);
            let moon = observer.moon(at);
            let view = View {
                light_azimuth_deg: moon.azimuth_deg,
                bearing_deg: bearing,
            };
            let side = shadow_line_angle_deg(view).unwrap();
            let inside = |slack: f64| {
                (low - slack..=low + height + slack).contains(&moon.altitude_deg)
                    && (least - slack..=greatest + slack).contains(&side)
            };
            if inside(1e-4) == inside(-1e-4) {
                prop_assert_eq!(
                    found.iter().any(|s| s.contains(&at)),
                    inside(0.0),
                    "{} {} {:?}",
                    at,
                    side,
                    moon
                );
            }
        }
    }

    #[test]
    fn a_path_finds_what_an_observer_finds(
        observer in observer(),
        start in time(),
        altitude in -5.0..30.0_f64,
    ) {
        let span = start..start + hours(48);
        let air = wrackline_solar::Atmosphere::STANDARD;
        let skyline = Skyline::new(&[
            SkylinePoint {
                azimuth_deg: 0.0,
                altitude_deg: altitude,
            },
            SkylinePoint {
                azimuth_deg: 180.0,
                altitude_deg: altitude + 3.0,
            },
        ])
        .unwrap();
        for body in [Body::Sun, Body::Moon] {
            let path = Path::new(body, span.clone()).unwrap();
            let found = path
                .above_skyline(&observer, &skyline, Limb::Centre, &air, span.clone())
                .unwrap();
            let same = match body {
                Body::Sun => observer
                    .sun_above_skyline(&skyline, Limb::Centre, &air, span.clone())
                    .unwrap(),
                Body::Moon => observer
                    .moon_above_skyline(&skyline, Limb::Centre, &air, span.clone())
                    .unwrap(),
            };
            prop_assert_eq!(found, same);
        }
    }
}

#[test]
fn what_no_moon_can_answer_is_refused() {
    let start: Timestamp = "2026-12-01T00:00:00Z".parse().unwrap();
    let month = start..start + hours(720);
    let sky = SunAndMoon::new(month.clone()).unwrap();
    for share in [f64::NAN, -0.1, 1.1] {
        let error = sky.moon_lit_above(share, month.clone()).unwrap_err();
        assert!(matches!(error, Error::OutOfRange { .. }), "{error}");
    }
    for backwards in [start..start, start + hours(1)..start] {
        assert!(matches!(
            moon_lit_above(0.5, backwards.clone()),
            Err(Error::EmptySpan { .. })
        ));
        assert!(matches!(
            sky.moon_lit_above(0.5, backwards),
            Err(Error::EmptySpan { .. })
        ));
    }
    let beyond = start..month.end + hours(1);
    assert!(matches!(
        sky.moon_lit_above(0.5, beyond),
        Err(Error::OutsideSpan { .. })
    ));
    let site = Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    };
    let observer = Observer::new(site).unwrap();
    let mut moons = [LitMoon::default(); 2];
    assert!(matches!(
        sky.fill_moons_at(&observer, &[start], &mut moons),
        Err(Error::Lengths { given: 1, room: 2 })
    ));
    assert!(Grid::new(start, -hours(1), 2).is_err());
    assert!(Grid::new(start, hours(0), 2).is_err());
    assert_eq!(
        Grid::new(start, hours(1), 0),
        Err(Error::GridLength { len: 0 })
    );
    assert!(Grid::new(start, hours(1), usize::MAX).is_err());
    // Everything is lit at least not at all; nothing more than full.
    assert_eq!(
        sky.moon_lit_above(0.0, month.clone()).unwrap(),
        core::slice::from_ref(&month)
    );
    assert!(sky.moon_lit_above(1.0, month).unwrap().is_empty());
}
