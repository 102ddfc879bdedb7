//! A skyline of any shape yields stretches of light in order and within the span.
#![no_main]

use arbitrary::Arbitrary;
use jiff::{SignedDuration, Timestamp};
use libfuzzer_sys::fuzz_target;
use wrackline_solar::{Atmosphere, Limb, Observer, Site, Skyline, SkylinePoint};

#[derive(Debug, Arbitrary)]
struct Case {
    latitude_deg: f64,
    start_s: i64,
    points: Vec<(u16, u8)>,
}

fuzz_target!(|case: Case| {
    let Ok(observer) = Observer::new(Site {
        latitude_deg: case.latitude_deg % 91.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    }) else {
        return;
    };
    let points: Vec<_> = case
        .points
        .iter()
        .take(40)
        .map(|(azimuth, altitude)| SkylinePoint {
            azimuth_deg: f64::from(*azimuth) / 65536.0 * 360.0,
            altitude_deg: f64::from(*altitude) / 255.0 * 90.0 - 10.0,
        })
        .collect();
    let Ok(skyline) = Skyline::new(&points) else {
        return;
    };
    let Ok(start) = Timestamp::from_second(case.start_s % 200_000_000_000) else {
        return;
    };
    let Ok(end) = start.checked_add(SignedDuration::from_hours(48)) else {
        return;
    };
    let air = Atmosphere::STANDARD;
    let lit = observer.sun_above_skyline(&skyline, Limb::Upper, &air, start..end).unwrap();
    for stretch in &lit {
        assert!(start <= stretch.start && stretch.start < stretch.end && stretch.end <= end);
    }
    for pair in lit.windows(2) {
        assert!(pair[0].end <= pair[1].start);
    }
});
