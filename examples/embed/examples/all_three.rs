//! Light, water and picture at one seat: when the sun stands low behind the camera while the water
//! surely covers the flats, and how large a wader is then in the frame: `cargo run -p
//! wrackline-embed --example all_three`.
//!
//! The libraries do not know each other: instants and stretches of them are what they share.

use wrackline_optics::{Converter, Kit, Lens, LensSpec, Sensor, SensorSpec};
use wrackline_solar::{AltitudeBand, Body, LightBounds, Observer, Path, Site};
use wrackline_tides::{Convention, Harmonic, Port, PortSpec, WaterBounds};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let month = "2026-11-27T00:00:00Z".parse()?.."2026-12-27T00:00:00Z".parse()?;

    // Water: the roost fills once even the lower level stands over the flats.
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    let port = Port::new(PortSpec {
        mean_level_m: 4.4,
        harmonics: &[line("M2", 2.52, 171.0), line("S2", 0.86, 219.0)],
        convention: Convention::IhoInstant,
    })?;
    let weather = WaterBounds {
        upper_m: 0.4,
        lower_m: -0.2,
    };
    let roosting = port.predictor(month.clone())?.surely_above(6.4, weather)?;

    // Light: low, and within 60° of straight behind the camera.
    let site = Site {
        latitude_deg: 53.4,
        longitude_deg: 1.2,
        elevation_m: 2.0,
    };
    let seat = Observer::new(site)?;
    let sun = Path::new(Body::Sun, month)?;
    let behind = LightBounds {
        altitude: AltitudeBand {
            lowest_deg: 0.0,
            highest_deg: 15.0,
        },
        bearing_deg: 330.0,
        least_side_deg: 0.0,
        greatest_side_deg: 60.0,
    };

    // Picture: what the kit makes of a wader at the seat's stand-off distance.
    let lens = LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.3,
        ..LensSpec::THIN
    };
    let sensor = SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    };
    let kit = Kit::new(
        Lens::new(lens)?,
        Some(Converter::new(1.4)?),
        Sensor::new(sensor)?,
    );
    let wader = kit.focused_at_m(40.0)?;

    println!(
        "a wader 40 m off: {:.0} % of the width",
        100.0 * wader.frame_share(0.24)?
    );
    for roost in roosting {
        for lit in sun.light_within(&seat, behind, roost)? {
            println!(
                "{:.16} to {:.16}",
                lit.start.to_string(),
                lit.end.to_string()
            );
        }
    }
    println!("estimated from the tide alone; ways in and out are not looked at here");
    Ok(())
}
