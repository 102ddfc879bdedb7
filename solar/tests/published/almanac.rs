//! Values that the national almanac offices printed (from memory): equinoxes, solstices and phases
//! to the minute (The Astronomical Almanac; USNO, "Earth's seasons", "Phases of the moon"), and the
//! central line of an eclipse, where sun and moon must meet for the observer.

use wrackline_solar::{MoonPhase, Observer, Season, Site, moon_phases, seasons};

/// Departure in seconds of an event nearest a printed minute.
fn off_s(found: impl Iterator<Item = jiff::Timestamp>, printed: &str) -> f64 {
    let printed: jiff::Timestamp = printed.parse().unwrap();
    found
        .map(|at| at.duration_since(printed).as_secs_f64())
        .min_by(|a, b| a.abs().total_cmp(&b.abs()))
        .unwrap()
}

#[test]
fn seasons_begin_in_the_printed_minute() {
    let printed = [
        (Season::MarchEquinox, "2024-03-20T03:06:00Z"),
        (Season::JuneSolstice, "2024-06-20T20:51:00Z"),
        (Season::SeptemberEquinox, "2024-09-22T12:44:00Z"),
        (Season::MarchEquinox, "2025-03-20T09:01:00Z"),
        (Season::JuneSolstice, "2025-06-21T02:42:00Z"),
        (Season::SeptemberEquinox, "2025-09-22T18:19:00Z"),
        (Season::DecemberSolstice, "2025-12-21T15:03:00Z"),
        (Season::MarchEquinox, "2026-03-20T14:46:00Z"),
    ];
    let all =
        seasons("2024-01-01T00:00:00Z".parse().unwrap().."2027-01-01T00:00:00Z".parse().unwrap())
            .unwrap();
    assert_eq!(all.len(), 12);
    for (season, minute) in printed {
        let same = all
            .iter()
            .filter(|event| event.season == season)
            .map(|event| event.at);
        let off = off_s(same, minute);
        // Half a minute of rounding, and a second of ours.
        assert!(off.abs() < 32.0, "{season:?} {minute}: {off}");
    }
}

#[test]
fn phases_come_in_the_printed_minute() {
    let printed = [
        (MoonPhase::New, "2017-08-21T18:30:00Z"),
        (MoonPhase::Full, "2024-03-25T07:00:00Z"),
        (MoonPhase::New, "2024-04-08T18:21:00Z"),
        (MoonPhase::New, "2026-08-12T17:37:00Z"),
    ];
    let all = moon_phases(
        "2017-01-01T00:00:00Z".parse().unwrap().."2027-01-01T00:00:00Z".parse().unwrap(),
    )
    .unwrap();
    for (phase, minute) in printed {
        let same = all
            .iter()
            .filter(|event| event.phase == phase)
            .map(|event| event.at);
        let off = off_s(same, minute);
        assert!(off.abs() < 32.0, "{phase:?} {minute}: {off}");
    }
}

#[test]
fn sun_and_moon_meet_on_the_line_of_an_eclipse() {
    // Espenak, F., eclipse of 2017-08-21: greatest eclipse 18:25:31.8 UT1 at 36°58.0' N, 87°40.3'
    // W, on the central line.
    let observer = Observer::new(Site {
        latitude_deg: 36.0 + 58.0 / 60.0,
        longitude_deg: -(87.0 + 40.3 / 60.0),
        elevation_m: 0.0,
    })
    .unwrap();
    let at = "2017-08-21T18:25:31.5Z".parse().unwrap();
    let (sun, moon) = (observer.sun(at), observer.moon(at));
    let cosine = sun.altitude_deg.to_radians().cos();
    let across = (moon.azimuth_deg - sun.azimuth_deg) * cosine * 3600.0;
    let up = (moon.altitude_deg - sun.altitude_deg) * 3600.0;
    // The place is printed to 0.1' (0.1" here); the moon runs past the sun by 0.4" a second; the
    // moon's centre of figure lies 0.5" off.
    assert!(across.hypot(up) < 2.0, "{across} {up}");
}
