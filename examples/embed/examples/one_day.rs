//! When does the sun stand low over a place, and how high does the water come? The libraries by
//! themselves.

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{AltitudeBand, Observer, Site};
use wrackline_tides::{Convention, Harmonic, Port, PortSpec};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let from: Timestamp = "2026-12-29T00:00:00Z".parse()?;
    let day = from..from + SignedDuration::from_hours(24);

    let place = Observer::new(Site {
        latitude_deg: 53.4,
        longitude_deg: 1.2,
        elevation_m: 0.0,
    })?;
    let low_sun = AltitudeBand {
        lowest_deg: 0.0,
        highest_deg: 12.0,
    };
    for stretch in place.sun_between(low_sun, day.clone())? {
        println!("low sun {} to {}", stretch.start, stretch.end);
    }

    let m2 = Harmonic {
        name: "M2".into(),
        amplitude_m: 2.52,
        phase_lag_deg: 171.0,
    };
    let port = Port::new(PortSpec {
        mean_level_m: 4.4,
        harmonics: &[m2],
        convention: Convention::IhoInstant,
    })?;
    for turn in port.predictor(day)?.turns() {
        println!("{:?} {} {:.2} m", turn.kind, turn.at, turn.height_m);
    }
    Ok(())
}
