//! Constants from a gauge's record, with their errors and what to beware of: `cargo run -p
//! wrackline-tides --example from_readings`.

use wrackline_tides::jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Analysis, AnalysisSpec, Convention, Reading};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    // A made record: two months of hours with two tides, a ripple for the weather, and a gauge that
    // writes -99 where it has no reading.
    let start: Timestamp = "2026-03-01T00:00:00Z".parse()?;
    let readings: Vec<Reading> = (0..24 * 60)
        .map(|hour| {
            let hours = f64::from(hour);
            let tide = 1.8 * (28.984_104 * hours).to_radians().cos()
                + 0.5 * (30.0 * hours + 40.0).to_radians().cos();
            let weather = 0.05 * (0.7 * hours).sin() + 0.04 * (0.013 * hours).cos();
            Reading {
                at: start + SignedDuration::from_hours(hour.into()),
                height_m: if hour % 200 == 7 {
                    -99.0
                } else {
                    2.5 + tide + weather
                },
            }
        })
        .collect();

    let mut spec = AnalysisSpec::new(Convention::IhoInstant);
    spec.missing_m = vec![-99.0];
    let found = Analysis::of(&readings, &spec)?;
    println!(
        "mean level {:.3} m, residual {:.3} m",
        found.mean_level_m, found.residual.standard_deviation_m
    );
    for line in found
        .harmonics
        .iter()
        .filter(|line| line.signal_to_noise > 10.0)
    {
        println!(
            "{:<6} {:.4} ± {:.4} m  {:6.2} ± {:.2}°",
            line.name,
            line.amplitude_m,
            line.amplitude_error_m,
            line.phase_lag_deg,
            line.phase_lag_error_deg
        );
    }
    for warning in &found.warnings {
        println!("beware: {warning}");
    }
    // And a port that predicts with them.
    let port = found.port()?;
    println!(
        "in June: {:.2} m",
        port.height_m("2026-06-01T12:00:00Z".parse()?)?
    );
    Ok(())
}
