//! Values that others have published or computed, one file a source.
#![allow(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helpers too"
)]
#![allow(
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

mod depth_of_field;
mod exposure;
mod geometry;
mod motion;
mod mtf;
mod paraxial;
mod table;
mod turbulence;
mod worked_by_hand;

use wrackline_optics::{Converter, Kit, Lens, LensSpec, Sensor, SensorSpec};

/// A sensor whose pixels have the given pitch exactly; its width is no part of what is asked.
fn sensor_of_pitch(pitch_um: f64) -> Sensor {
    let (columns, rows) = (10_000, 8_000);
    let side = |pixels: u32| f64::from(pixels) * pitch_um / 1000.0;
    Sensor::new(SensorSpec {
        width_mm: side(columns),
        height_mm: side(rows),
        columns,
        rows,
    })
    .unwrap()
}

/// A sensor of the given size.
fn sensor_of_size(width_mm: f64, height_mm: f64) -> Sensor {
    Sensor::new(SensorSpec {
        width_mm,
        height_mm,
        columns: 6000,
        rows: 4000,
    })
    .unwrap()
}

/// A thin lens that focuses as near as its optics allow, on some sensor.
fn thin_kit(focal_length_mm: f64, f_number: f64) -> Kit {
    let lens = Lens::new(
        LensSpec {
            focal_length_mm,
            f_number,
            ..LensSpec::THIN
        }
        .to_life_size(),
    )
    .unwrap();
    Kit::new(lens, None, sensor_of_size(36.0, 24.0))
}

fn converter(factor: f64) -> Converter {
    Converter::new(factor).unwrap()
}
