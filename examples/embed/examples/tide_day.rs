//! A civil day of water: high and low waters, heights by the hour, and when a low way out may be
//! under water: `cargo run -p wrackline-embed --example tide_day`.

use wrackline_tides::jiff::tz::TimeZone;
use wrackline_tides::jiff::{SignedDuration, Timestamp, civil::date};
use wrackline_tides::{Convention, Grid, Harmonic, Port, PortSpec, Residual, ResidualSpec};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    // An invented port; a table of constants as CSV is read by `constants_from_csv`.
    let port = Port::new(PortSpec {
        mean_level_m: 4.4,
        harmonics: &[line("M2", 2.52, 171.0), line("S2", 0.86, 219.0)],
        convention: Convention::IhoInstant,
    })?;

    // From one midnight of the place to the next, by the rule of its clock.
    let zone = TimeZone::posix("GMT0BST,M3.5.0/1,M10.5.0")?;
    let midnight = date(2026, 6, 14).to_zoned_datetime(zone.clone())?;
    let day = midnight.timestamp()..midnight.tomorrow()?.timestamp();
    let clock = |at: Timestamp| at.to_zoned_datetime(zone.clone()).time().to_string();

    let tide = port.predictor(day.clone())?;
    for turn in tide.turns() {
        println!(
            "{:.5}  {:<10}  {:.2} m",
            clock(turn.at),
            turn.kind,
            turn.height_m
        );
    }

    let hours = Grid::new(day.start, SignedDuration::from_hours(1), 24)?;
    let mut heights_m = [0.0; 24];
    tide.fill_heights(&hours, &mut heights_m)?;
    for (at, height_m) in hours.instants().zip(heights_m) {
        println!("{:.5}  {height_m:.2} m", clock(at));
    }

    // Weather adds to the water and takes from it: a way is judged by the upper level.
    let weather = Residual::new(ResidualSpec {
        bias_m: 0.05,
        standard_deviation_m: 0.15,
        pressure_hpa: Some(1002.0),
        surge_m: 0.0,
        upper_allowance_m: 0.3,
        lower_allowance_m: 0.1,
        memory_h: 36.0,
    })?;
    let way_m = 5.9;
    println!("the way at {way_m} m may be under water (estimated; not for navigation):");
    for wet in tide.possibly_above(way_m, weather.bounds(0.99)?)? {
        println!("  {:.5} to {:.5}", clock(wet.start), clock(wet.end));
    }
    Ok(())
}
