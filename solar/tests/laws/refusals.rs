//! What is wrong is refused and named, by one rule for all: no search of an empty span, no answer
//! to what is not a number.

use jiff::Timestamp;
use wrackline_solar::{
    Aim, AltitudeBand, Atmosphere, AzimuthBand, Body, Culmination, Direction, Error, LightBounds,
    LightSide, Limb, LitMoon, Luminaries, MoonPhase, Observer, Path, Place, Shadow, Site,
    SkyCondition, Skyline, SkylinePoint, SunInView, Threshold, View, moon_phases, seasons,
    separation_deg, shadow_line_angle_deg, sun_lx,
};

use super::hours;

fn observer() -> Observer {
    Observer::new(Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    })
    .unwrap()
}

#[test]
fn wrong_values_are_named() {
    let site = Site {
        latitude_deg: 95.0,
        longitude_deg: 0.0,
        elevation_m: 0.0,
    };
    let error = Observer::new(site).unwrap_err();
    assert!(matches!(error, Error::OutOfRange { value: 95.0, .. }));
    assert_eq!(
        error.to_string(),
        "latitude 95 deg is out of range: give -90 to 90 deg"
    );
    for bad in [f64::NAN, f64::INFINITY, -91.0] {
        assert!(Threshold::altitude_deg(bad).is_err());
    }
    let at = Timestamp::UNIX_EPOCH;
    let path = Path::new(Body::Sun, at..at).unwrap();
    let observer = Observer::new(Site {
        latitude_deg: 0.0,
        ..site
    })
    .unwrap();
    assert!(matches!(
        path.place(&observer, at + hours(1)),
        Err(Error::OutsideSpan { .. })
    ));
    assert!(matches!(
        path.fill_places_at(&observer, &[at], &mut []),
        Err(Error::Lengths { given: 1, room: 0 })
    ));
    assert!(Path::new(Body::Sun, at..at - hours(1)).is_err());
    assert!(Path::new(Body::Sun, Timestamp::MIN..Timestamp::MAX).is_err());
}

#[test]
fn a_span_without_time_is_refused_by_every_search() {
    let observer = observer();
    let at = Timestamp::UNIX_EPOCH;
    let skyline = Skyline::new(&[SkylinePoint {
        azimuth_deg: 0.0,
        altitude_deg: 2.0,
    }])
    .unwrap();
    let air = Atmosphere::STANDARD;
    let band = AltitudeBand {
        lowest_deg: 0.0,
        highest_deg: 12.0,
    };
    let azimuths = AzimuthBand {
        from_deg: 0.0,
        to_deg: 90.0,
    };
    let bounds = LightBounds {
        altitude: band,
        bearing_deg: 90.0,
        least_side_deg: 0.0,
        greatest_side_deg: 30.0,
    };
    let aim = Aim {
        bearing_deg: 90.0,
        elevation_deg: 0.0,
        half_diagonal_deg: 2.0,
    };
    let paths = [Body::Sun, Body::Moon].map(|body| Path::new(body, at..at + hours(1)).unwrap());
    let [sun, _] = &paths;
    for span in [at..at, at..at - hours(24)] {
        let s = || span.clone();
        let all: [Result<(), Error>; 19] = [
            observer.sun_crossings(Threshold::SUNRISE, s()).map(drop),
            observer.moon_crossings(Threshold::MOONRISE, s()).map(drop),
            observer.sun_transits(s()).map(drop),
            observer.moon_transits(s()).map(drop),
            observer.sun_between(band, s()).map(drop),
            observer.moon_between(band, s()).map(drop),
            observer.sun_azimuth_within(azimuths, s()).map(drop),
            observer.moon_azimuth_within(azimuths, s()).map(drop),
            observer.sun_light_within(bounds, s()).map(drop),
            observer.moon_light_within(bounds, s()).map(drop),
            observer
                .sun_above_skyline(&skyline, Limb::Upper, &air, s())
                .map(drop),
            observer
                .moon_above_skyline(&skyline, Limb::Upper, &air, s())
                .map(drop),
            observer.sun_near_view(aim, 10.0, &air, s()).map(drop),
            observer.moon_near_view(aim, 10.0, &air, s()).map(drop),
            sun.crossings(&observer, Threshold::SUNRISE, s()).map(drop),
            sun.between(&observer, band, s()).map(drop),
            sun.above_skyline(&observer, &skyline, Limb::Upper, &air, s())
                .map(drop),
            moon_phases(s()).map(drop),
            seasons(s()).map(drop),
        ];
        for (i, one) in all.into_iter().enumerate() {
            assert!(matches!(one, Err(Error::EmptySpan { .. })), "{i}: {one:?}");
        }
    }
}

#[test]
fn bands_of_nonsense_are_refused() {
    let observer = observer();
    let start = Timestamp::UNIX_EPOCH;
    let span = || start..start + hours(48);
    for (lowest_deg, highest_deg) in [
        (f64::NAN, 3.0),
        (1.0, f64::NAN),
        (3.0, 1.0),
        (f64::NEG_INFINITY, 3.0),
        (0.0, 91.0),
    ] {
        let band = AltitudeBand {
            lowest_deg,
            highest_deg,
        };
        assert!(observer.sun_between(band, span()).is_err(), "{band:?}");
        let bounds = LightBounds {
            altitude: band,
            bearing_deg: 0.0,
            least_side_deg: 0.0,
            greatest_side_deg: 30.0,
        };
        assert!(observer.sun_light_within(bounds, span()).is_err());
    }
    let nowhere = AzimuthBand {
        from_deg: f64::NAN,
        to_deg: 0.0,
    };
    assert!(observer.sun_azimuth_within(nowhere, span()).is_err());
    let everywhere = AltitudeBand {
        lowest_deg: -90.0,
        highest_deg: 90.0,
    };
    assert_eq!(observer.sun_between(everywhere, span()).unwrap(), [span()]);
}

#[test]
fn what_is_no_number_has_no_answer() {
    let air = Atmosphere::STANDARD;
    let skyline = Skyline::new(&[SkylinePoint {
        azimuth_deg: 0.0,
        altitude_deg: 2.0,
    }])
    .unwrap();
    let at = Timestamp::UNIX_EPOCH;
    let aim = Aim {
        bearing_deg: 90.0,
        elevation_deg: 0.0,
        half_diagonal_deg: 2.0,
    };
    let sun = observer().sun(at);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e4] {
        assert!(air.refraction_deg(bad).is_err());
        assert!(air.apparent_altitude_deg(bad).is_err());
        assert!(air.airless_altitude_deg(bad).is_err());
        assert!(skyline.altitude_deg(bad).is_err());
        assert!(sun_lx(bad).is_err());
        for view in [(bad, 0.0), (0.0, bad)] {
            let (light_azimuth_deg, bearing_deg) = view;
            let view = View {
                light_azimuth_deg,
                bearing_deg,
            };
            assert!(shadow_line_angle_deg(view).is_err());
        }
        for place in [
            Place {
                altitude_deg: bad,
                ..sun
            },
            Place {
                azimuth_deg: bad,
                ..sun
            },
        ] {
            assert!(separation_deg(&place, aim, &air).is_err());
            assert!(SunInView::judge(&place, aim, 10.0, &air).is_err());
            assert!(Shadow::of(&place, &air).is_err());
            assert!(Luminaries::new(&place, &observer().moon(at)).is_err());
        }
        assert!(SunInView::judge(&sun, aim, bad, &air).is_err());
        let astray = Aim {
            bearing_deg: bad,
            ..aim
        };
        assert!(SunInView::judge(&sun, astray, 10.0, &air).is_err());
    }
    // What was never filled is no moon.
    let row = wrackline_solar::Horizontal::default();
    assert!(Luminaries::of_batches(&row, &LitMoon::default()).is_err());
    // The twilight that the polynomials once took to 4e48 lx.
    assert!(sun_lx(360.0).is_err());
}

#[test]
fn messages_say_what_to_give() {
    let site = Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 1e300,
    };
    let error = Observer::new(site).unwrap_err().to_string();
    assert_eq!(
        error,
        "elevation 1e300 m is out of range: give -1000 to 100000 m"
    );
    let twice = [0.0, 360.0].map(|azimuth_deg| SkylinePoint {
        azimuth_deg,
        altitude_deg: 1.0,
    });
    let error = Skyline::new(&twice).unwrap_err().to_string();
    assert_eq!(
        error,
        "azimuth of the skyline 0 deg follows 0 deg: give figures that rise"
    );
}

#[test]
fn words_are_read_as_they_are_written() {
    fn same<T: std::str::FromStr<Err = Error> + ToString + PartialEq + std::fmt::Debug>(all: &[T]) {
        for one in all {
            assert_eq!(&one.to_string().parse::<T>().unwrap(), one);
        }
        let error = "nonsense".parse::<T>().unwrap_err();
        assert!(matches!(error, Error::UnknownWord { .. }));
    }
    same(&[Body::Sun, Body::Moon]);
    same(&[Limb::Centre, Limb::Upper, Limb::Lower]);
    same(&[Direction::Rising, Direction::Setting]);
    same(&LightSide::ALL);
    same(&[
        SkyCondition::Clear,
        SkyCondition::ThinVeil,
        SkyCondition::AverageCloud,
        SkyCondition::DarkStratus,
    ]);
    same(&[Threshold::SUNRISE, Threshold::NAUTICAL]);
    same(&[Threshold::altitude_deg(-4.5).unwrap()]);
    assert_eq!(
        "dawn".parse::<Body>().unwrap_err().to_string(),
        "\"dawn\" is no body: give sun, moon"
    );
    assert_eq!("First-Quarter".parse(), Ok(MoonPhase::FirstQuarter));
    assert_eq!(" Civil".parse(), Ok(Threshold::CIVIL));
    same(&[Culmination::Upper, Culmination::Lower]);
    let bank = Threshold::apparent_altitude_deg(2.0, &Atmosphere::STANDARD).unwrap();
    let text = bank.with_limb(Limb::Lower).to_string();
    assert!(
        text.ends_with("lower limb, 0.30° of it refraction"),
        "{text}"
    );
}
