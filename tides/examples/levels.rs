//! When the water stands above a level, surely and possibly: `cargo run -p wrackline-tides
//! --example levels`.

use wrackline_tides::{Convention, Harmonic, Port, PortSpec, Residual, ResidualSpec};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    // An invented port.
    let port = Port::new(PortSpec {
        mean_level_m: 4.4,
        harmonics: &[line("M2", 2.52, 171.0), line("S2", 0.86, 219.0)],
        convention: Convention::IhoInstant,
    })?;
    let week = "2026-12-24T00:00:00Z".parse()?.."2026-12-31T00:00:00Z".parse()?;
    let tide = port.predictor(week)?;

    // What is known of the weather: two decimetres either way, and low pressure.
    let weather = Residual::new(ResidualSpec {
        bias_m: 0.0,
        standard_deviation_m: 0.2,
        pressure_hpa: Some(990.0),
        surge_m: 0.0,
        upper_allowance_m: 0.1,
        lower_allowance_m: 0.0,
        memory_h: 36.0,
    })?;
    let bounds = weather.bounds(0.95)?;
    let level_m = 7.2;
    println!("the water passes {level_m} m, estimated:");
    for stretch in tide.surely_above(level_m, bounds)? {
        println!("  surely    {} to {}", stretch.start, stretch.end);
    }
    for stretch in tide.possibly_above(level_m, bounds)? {
        println!("  possibly  {} to {}", stretch.start, stretch.end);
    }
    println!(
        "chance within the week: {:.2}",
        tide.probability_above(level_m, &weather)?
    );
    Ok(())
}
