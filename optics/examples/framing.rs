//! How large does a wader stand in the frame, and from where would it fill half of it?
//!
//! `cargo run -p wrackline-optics --example framing`

use wrackline_optics::{
    Converter, Error, FrameShare, FrameSide, Kit, Lens, LensSpec, Sensor, SensorSpec,
};

const WADER_M: f64 = 0.24;

fn main() -> Result<(), Error> {
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.3,
        ..LensSpec::THIN
    })?;
    let sensor = Sensor::new(SensorSpec {
        width_mm: 23.5,
        height_mm: 15.7,
        columns: 6000,
        rows: 4000,
    })?;
    let reference = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })?;

    println!("converter  distance   of the width   pixels");
    for factor in [1.0, 1.4, 2.0] {
        let kit = Kit::new(lens, Some(Converter::new(factor)?), sensor);
        for distance_m in [16.0, 40.0, 85.0] {
            let focused = kit.focused_at_m(distance_m)?;
            println!(
                "{factor:>8.1}x  {distance_m:>6.0} m   {:>10.1} %   {:>6.0}",
                100.0 * focused.frame_share(WADER_M)?,
                focused.pixels_along(WADER_M)?,
            );
        }
        let half = kit.distance_for_share(FrameShare {
            subject_m: WADER_M,
            share: 0.5,
        })?;
        println!("           half the frame from {half:.1} m");
        let same = kit.equivalent_on(&reference, FrameSide::Diagonal);
        println!("           frames like {same} on a sensor of 36 x 24 mm");
    }
    Ok(())
}
