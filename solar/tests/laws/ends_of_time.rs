//! The first and the last years that the calendar holds: far beyond what the theories are good for,
//! but without gaps, panics or NaN.

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{
    Instant, MoonPhase, Observer, Season, Site, Threshold, moon_lit_above, moon_phases, seasons,
};

use super::hours;

fn ends() -> [(Timestamp, Timestamp); 2] {
    let year = hours(24 * 400);
    [
        (Timestamp::MIN, Timestamp::MIN + year),
        (Timestamp::MAX - year, Timestamp::MAX),
    ]
}

/// Whether events lie no further apart than given, and from the ends of the span.
fn fills(
    events: impl Iterator<Item = Timestamp>,
    (start, end): (Timestamp, Timestamp),
    days: i64,
) -> bool {
    let mut last = start;
    let mut gaps = true;
    for at in events.chain([end]) {
        gaps &= last <= at && at.duration_since(last) <= SignedDuration::from_hours(24 * days);
        last = at;
    }
    gaps
}

#[test]
fn phases_and_seasons_have_no_gaps() {
    for (start, end) in ends() {
        let phases = moon_phases(start..end).unwrap();
        // A quarter of a month lasts 6.6 to 8.3 days.
        assert!(fills(phases.iter().map(|e| e.at), (start, end), 9));
        let order = [
            MoonPhase::New,
            MoonPhase::FirstQuarter,
            MoonPhase::Full,
            MoonPhase::LastQuarter,
        ];
        let place = |phase| order.iter().position(|p| *p == phase).unwrap();
        assert!(
            phases
                .windows(2)
                .all(|pair| (place(pair[0].phase) + 1) % 4 == place(pair[1].phase))
        );
        let seasons = seasons(start..end).unwrap();
        assert!(fills(seasons.iter().map(|e| e.at), (start, end), 96));
        assert!(
            seasons
                .iter()
                .any(|event| event.season == Season::MarchEquinox)
        );
    }
}

#[test]
fn searches_end_and_find_every_day() {
    let site = Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    };
    let observer = Observer::new(site).unwrap();
    for (start, end) in ends() {
        let sun = observer
            .sun_crossings(Threshold::SUNRISE, start..end)
            .unwrap();
        assert!(fills(sun.events.iter().map(|e| e.at), (start, end), 1));
        let moon = observer
            .moon_crossings(Threshold::MOONRISE, start..end)
            .unwrap();
        assert!(fills(moon.events.iter().map(|e| e.at), (start, end), 1));
        assert!(sun.events.iter().all(|e| e.uncertainty_s.is_finite()));
        let lit = moon_lit_above(0.5, start..end).unwrap();
        assert!(fills(lit.iter().map(|s| s.start), (start, end), 31));
    }
}

#[test]
fn an_instant_of_any_time_comes_back() {
    for (start, end) in ends() {
        for at in [start, end] {
            let instant = Instant::from_timestamp(at);
            let again = Instant::from_julian_dates(instant.julian_dates()).unwrap();
            assert!((again.delta_t_s() - instant.delta_t_s()).abs() < 1e-3);
            #[cfg(feature = "serde")]
            {
                let text = serde_json::to_string(&instant).unwrap();
                assert_eq!(serde_json::from_str::<Instant>(&text).unwrap(), instant);
            }
        }
    }
}
