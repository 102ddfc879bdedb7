//! Which f-number makes a bird sharp from bill to tail, and where to focus for a flock?
//!
//! `cargo run -p wrackline-optics --example depth`

use wrackline_optics::{
    CircleOfConfusion, DepthWish, Diffraction, DiffractionSpec, Error, FarLimit, GREEN_UM, Kit,
    Lens, LensSpec, Sensor, SensorSpec, SharpBetween,
};

fn main() -> Result<(), Error> {
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.3,
        ..LensSpec::THIN
    })?;
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })?;
    let kit = Kit::new(lens, None, sensor);
    // A 1500th of the diagonal is a convention about small prints, two pixels what a screen shows.
    let print = CircleOfConfusion::of_diagonal(&sensor, 1500.0)?;
    let screen = CircleOfConfusion::pixels(&sensor, 2.0)?;

    let depth = kit.focused_at_m(16.0)?.depth_of_field(print);
    println!(
        "at 16 m with f/4 a print is sharp from {:.2} m to {:.2}",
        depth.near_m, depth.far
    );

    for (name, circle) in [("print", print), ("screen", screen)] {
        let wish = DepthWish {
            depth_m: 0.24,
            circle,
        };
        let f_number = kit.f_number_for_depth(16.0, wish)?;
        let working = kit
            .stopped_to(f_number)?
            .focused_at_m(16.0)?
            .working_f_number();
        let airy = Diffraction::new(DiffractionSpec {
            f_number: working,
            wavelength_um: GREEN_UM,
        })?;
        let warning = match circle.below_airy(&airy) {
            Some(_) => ", where diffraction blurs more than that",
            None => "",
        };
        println!("24 cm of bird at 16 m, sharp on a {name}: f/{f_number:.1}{warning}");
        let focused = kit.focused_for_depth(wish)?;
        println!(
            "                       the same with f/4: from {:.1} m on",
            focused.sensor_distance_m()
        );
    }

    let flock = kit.sharp_between(SharpBetween {
        near_m: 38.0,
        far: FarLimit::At { distance_m: 42.0 },
        circle: print,
    })?;
    println!(
        "a flock from 38 to 42 m: focus at {:.2} m, f/{:.1}",
        flock.distance_m, flock.f_number
    );
    Ok(())
}
