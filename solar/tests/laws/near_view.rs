//! The sun near the field of view: stretches against the judgement of single instants.

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_solar::{
    Aim, AirSpec, Atmosphere, Body, Error, Observer, Path, Place, RefractionFormula, Site,
    SunInView, separation_deg,
};

use super::{cases, full, hours, observer, time};

/// Degrees by which the disc is up and near, the lesser of the two.
fn margin(there: &Place, aim: Aim, near_deg: f64, air: &Atmosphere) -> f64 {
    let off =
        separation_deg(there, aim, air).unwrap() - there.semi_diameter_deg - aim.half_diagonal_deg;
    (near_deg - off).min(there.refracted(air).unwrap() + there.semi_diameter_deg)
}

proptest! {
    #![proptest_config(cases(128))]

    #[test]
    fn near_stretches_are_what_single_instants_say(
        moon in any::<bool>(),
        observer in observer(),
        start in time(),
        bearing_deg in 0.0..360.0_f64,
        elevation_deg in -10.0..60.0_f64,
        half_diagonal_deg in 0.0..20.0_f64,
        near_deg in 0.0..40.0_f64,
        pressure_hpa in 0.0..1200.0_f64,
        bennett in any::<bool>(),
    ) {
        let aim = Aim {
            bearing_deg,
            elevation_deg,
            half_diagonal_deg,
        };
        let formula = if bennett {
            RefractionFormula::Bennett
        } else {
            RefractionFormula::Saemundsson
        };
        let air = Atmosphere::new(AirSpec {
            pressure_hpa,
            temperature_c: -40.0,
        })
        .unwrap()
        .with_formula(formula);
        let span = start..start + hours(48);
        let body = if moon { Body::Moon } else { Body::Sun };
        let found = match body {
            Body::Sun => observer.sun_near_view(aim, near_deg, &air, span.clone()),
            Body::Moon => observer.moon_near_view(aim, near_deg, &air, span.clone()),
        }
        .unwrap();
        let path = Path::new(body, span.clone()).unwrap();
        prop_assert_eq!(
            &path
                .near_view(&observer, aim, near_deg, &air, span.clone())
                .unwrap(),
            &found
        );
        prop_assert!(
            found
                .iter()
                .all(|s| span.start <= s.start && s.start < s.end && s.end <= span.end)
        );
        prop_assert!(found.windows(2).all(|pair| pair[0].end < pair[1].start));
        // Where the body is up and near at an instant, a stretch holds it; the prepared path is
        // good to 0.001", the judgement to less.
        for minutes in (0..48 * 60).step_by(7) {
            let at = start + SignedDuration::from_mins(minutes);
            let margin = margin(&full(body, &observer, at), aim, near_deg, &air);
            if margin.abs() > 1e-6 {
                prop_assert_eq!(
                    found.iter().any(|s| s.contains(&at)),
                    margin > 0.0,
                    "{} {}",
                    at,
                    margin
                );
            }
        }
        // Each end within the span is where it changes: in a microsecond the sky turns by 4e-9 of a
        // degree.
        for edge in found
            .iter()
            .flat_map(|s| [s.start, s.end])
            .filter(|t| *t != span.start && *t != span.end)
        {
            let margin = margin(&full(body, &observer, edge), aim, near_deg, &air);
            prop_assert!(margin.abs() < 1e-6, "{edge} {margin}");
        }
    }

    #[test]
    fn the_verdict_is_the_stretch(
        observer in observer(),
        at in time(),
        bearing_deg in 0.0..360.0_f64,
    ) {
        let aim = Aim {
            bearing_deg,
            elevation_deg: 0.0,
            half_diagonal_deg: 6.0,
        };
        let air = Atmosphere::STANDARD;
        let sun = observer.sun(at);
        let verdict = SunInView::judge(&sun, aim, SunInView::NEAR_DEG, &air).unwrap();
        let span = at - hours(1)..at + hours(1);
        let found = observer
            .sun_near_view(aim, SunInView::NEAR_DEG, &air, span)
            .unwrap();
        let warned = matches!(verdict, SunInView::Near | SunInView::Inside);
        if margin(&sun, aim, SunInView::NEAR_DEG, &air).abs() > 1e-6 {
            prop_assert_eq!(found.iter().any(|s| s.contains(&at)), warned);
        }
    }
}

#[test]
fn an_aim_of_nonsense_is_refused() {
    let site = Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    };
    let observer = Observer::new(site).unwrap();
    let start: Timestamp = "2026-12-29T00:00:00Z".parse().unwrap();
    let day = start..start + hours(24);
    let aim = Aim {
        bearing_deg: 180.0,
        elevation_deg: 0.0,
        half_diagonal_deg: 2.0,
    };
    let search =
        |aim, near_deg, span| observer.sun_near_view(aim, near_deg, &Atmosphere::STANDARD, span);
    for nonsense in [
        Aim {
            bearing_deg: f64::NAN,
            ..aim
        },
        Aim {
            elevation_deg: 91.0,
            ..aim
        },
        Aim {
            half_diagonal_deg: -1.0,
            ..aim
        },
    ] {
        let error = search(nonsense, 10.0, day.clone()).unwrap_err();
        assert!(matches!(error, Error::OutOfRange { .. }), "{error}");
    }
    assert!(search(aim, f64::INFINITY, day.clone()).is_err());
    let backwards = search(aim, 10.0, day.end..day.start);
    assert!(matches!(backwards, Err(Error::EmptySpan { .. })));
    // As wide as the sky: the whole of the day in which any of the disc is up.
    let all = search(aim, 180.0, day).unwrap();
    assert_eq!(all.len(), 1);
}
