//! A curve of a year, every six minutes with its rate, and a table for instants in no order: `cargo
//! run -p wrackline-tides --example whole_year`.

use wrackline_tides::jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Convention, Grid, Harmonic, HeightTable, Latitude, Port, PortSpec};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    // Constants of an invented port, from an analysis with satellites at 67° north.
    let port = Port::new(PortSpec {
        mean_level_m: 1.9,
        harmonics: &[
            line("M2", 0.87, 10.0),
            line("S2", 0.31, 47.0),
            line("SA", 0.11, 300.0),
        ],
        convention: Convention::ForemanInstant(Latitude::new(67.0)?),
    })?;
    let start: Timestamp = "2026-01-01T00:00:00Z".parse()?;
    let tide = port.predictor(start.."2027-01-01T00:00:00Z".parse()?)?;

    let grid = Grid::new(start, SignedDuration::from_mins(6), 365 * 240)?;
    let (mut heights_m, mut rates_m_per_h) = (vec![0.0; grid.len()], vec![0.0; grid.len()]);
    tide.fill_heights(&grid, &mut heights_m)?;
    tide.fill_rates(&grid, &mut rates_m_per_h)?;
    let fastest = rates_m_per_h.iter().copied().fold(0.0, f64::max);
    let highest = heights_m.iter().copied().fold(f64::MIN, f64::max);
    println!("highest {highest:.2} m, fastest rise {fastest:.2} m/h");

    let table = HeightTable::of(&tide);
    let at = "2026-10-10T10:10:10Z".parse()?;
    println!(
        "at {at}: {:.3} m, to {:.1e} m",
        table.height_m(at)?,
        table.error_m()
    );
    Ok(())
}
