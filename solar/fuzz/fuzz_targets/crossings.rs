//! Searches end, for any place, threshold and span: with crossings in order, in the span, and turn
//! about up and down.
#![no_main]

use arbitrary::Arbitrary;
use jiff::{SignedDuration, Timestamp};
use libfuzzer_sys::fuzz_target;
use wrackline_solar::{AltitudeBand, AzimuthBand, Limb, Observer, Site, Threshold};

#[derive(Debug, Arbitrary)]
struct Case {
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    altitude_deg: f64,
    other_deg: f64,
    start_s: i64,
    length_s: u32,
    limb: u8,
    moon: bool,
}

fuzz_target!(|case: Case| {
    let Ok(observer) = Observer::new(Site {
        // Most of all numbers are no latitude: fold them, so that most cases reach the search.
        latitude_deg: case.latitude_deg % 91.0,
        longitude_deg: case.longitude_deg % 181.0,
        elevation_m: case.elevation_m % 10_000.0,
    }) else {
        return;
    };
    // Any time that the calendar holds, for up to twenty days.
    let Ok(start) = Timestamp::from_second(case.start_s % 200_000_000_000) else {
        return;
    };
    let length = SignedDuration::from_secs(i64::from(1 + case.length_s % 1_728_000));
    let Ok(end) = start.checked_add(length) else {
        return;
    };
    let span = || start..end;
    if let Ok(threshold) = Threshold::altitude_deg(case.altitude_deg % 91.0) {
        let threshold = threshold.with_limb(match case.limb % 3 {
            0 => Limb::Centre,
            1 => Limb::Upper,
            _ => Limb::Lower,
        });
        let found = if case.moon {
            observer.moon_crossings(threshold, span()).unwrap()
        } else {
            observer.sun_crossings(threshold, span()).unwrap()
        };
        for pair in found.events.windows(2) {
            assert!(pair[0].at <= pair[1].at);
            assert!(pair[0].direction != pair[1].direction);
        }
        for event in &found.events {
            assert!(start <= event.at && event.at <= end);
            assert!(event.azimuth_deg.is_finite());
            assert!(event.rate_deg_per_h.is_finite() && event.uncertainty_s.is_finite());
        }
    }
    let band = AltitudeBand {
        lowest_deg: case.altitude_deg,
        highest_deg: case.other_deg,
    };
    let azimuths = AzimuthBand {
        from_deg: case.altitude_deg,
        to_deg: case.other_deg,
    };
    for stretches in [
        // A band of nonsense is refused.
        observer.sun_between(band, span()).unwrap_or_default(),
        observer.moon_azimuth_within(azimuths, span()).unwrap_or_default(),
    ] {
        for stretch in &stretches {
            assert!(start <= stretch.start && stretch.start < stretch.end && stretch.end <= end);
        }
        for pair in stretches.windows(2) {
            assert!(pair[0].end <= pair[1].start);
        }
    }
});
