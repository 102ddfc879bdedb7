//! High and low waters of one civil day, in the place's own time: `cargo run -p wrackline-tides
//! --example civil_day`.

use wrackline_tides::jiff::Timestamp;
use wrackline_tides::jiff::civil::date;
use wrackline_tides::jiff::tz::{Offset, TimeZone};
use wrackline_tides::{Convention, Harmonic, Port, PortSpec};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    // An invented port.
    let port = Port::new(PortSpec {
        mean_level_m: 4.4,
        harmonics: &[
            line("M2", 2.52, 171.0),
            line("S2", 0.86, 219.0),
            line("N2", 0.47, 149.0),
        ],
        convention: Convention::IhoInstant,
    })?;

    // From one midnight to the next; with a database of zones, `TimeZone::get` knows the hours of
    // summer.
    let zone = TimeZone::fixed(Offset::constant(1));
    let day = date(2026, 12, 29);
    let start: Timestamp = day.to_zoned_datetime(zone.clone())?.timestamp();
    let end: Timestamp = day.tomorrow()?.to_zoned_datetime(zone.clone())?.timestamp();
    for turn in port.predictor(start..end)?.turns() {
        let clock = turn.at.to_zoned_datetime(zone.clone()).time();
        let (hour, minute) = (clock.hour(), clock.minute());
        println!(
            "{hour:02}:{minute:02}  {:<10}  {:.2} m",
            turn.kind.to_string(),
            turn.height_m
        );
    }
    Ok(())
}
