//! What one kit makes of a wader from its stand-off distance on: size, sharp zone, and from where
//! it would fill the frame: `cargo run -p wrackline-embed --example how_near`.

use wrackline_optics::{
    CircleOfConfusion, Converter, FarLimit, FrameShare, Kit, Lens, LensSpec, Sensor, SensorSpec,
};

const WADER_M: f64 = 0.24;
/// The stand-off distance at this place, from a hide: the nearest that anybody may be.
const STAND_OFF_M: f64 = 16.0;

fn main() -> Result<(), wrackline_optics::Error> {
    let lens = Lens::new(LensSpec {
        focal_length_mm: 500.0,
        f_number: 5.6,
        minimum_focus_m: 3.5,
        ..LensSpec::THIN
    })?;
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8256,
        rows: 5504,
    })?;
    let kit = Kit::new(lens, Some(Converter::new(1.4)?), sensor);

    // A table of distances is filled in one call each.
    let distances_m = [STAND_OFF_M, 25.0, 40.0, 60.0, 85.0];
    let circle = CircleOfConfusion::pixels(&sensor, 2.0)?;
    let (mut shares, mut pixels, mut near_m) = ([0.0; 5], [0.0; 5], [0.0; 5]);
    let mut far = [FarLimit::Infinity; 5];
    kit.fill_frame_shares(WADER_M, &distances_m, &mut shares)?;
    kit.fill_pixels_along(WADER_M, &distances_m, &mut pixels)?;
    kit.fill_sharp_zones(circle, &distances_m, &mut near_m, &mut far)?;
    println!("distance  of the width  pixels  sharp from  to");
    for (i, distance_m) in distances_m.iter().enumerate() {
        let far = far[i].distance_m();
        println!(
            "{distance_m:>6.0} m  {:>10.1} %  {:>6.0}  {:>8.2} m  {}",
            100.0 * shares[i],
            pixels[i],
            near_m[i],
            far.map_or("infinity".to_owned(), |far_m| format!("{far_m:.2} m")),
        );
    }

    let half = FrameShare {
        subject_m: WADER_M,
        share: 0.5,
    };
    let half_m = kit.distance_for_share(half)?;
    if half_m < STAND_OFF_M {
        println!("half the frame from {half_m:.1} m: nearer than the stand-off distance, so never");
    } else {
        println!("half the frame from {half_m:.1} m");
    }
    Ok(())
}
