//! Near the subject: a lens that focuses inside, an extension tube, and a tube behind a converter.
//!
//! `cargo run -p wrackline-optics --example close_up`

use wrackline_optics::{
    Error, ExtensionTube, Kit, Lens, LensSpec, NegativeGroup, Sensor, SensorSpec,
};

fn main() -> Result<(), Error> {
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })?;
    // 0.3 m is within four focal lengths, so this lens shortens its focal length when close: the
    // magnification there says by how much.
    let spec = LensSpec {
        focal_length_mm: 100.0,
        f_number: 2.8,
        minimum_focus_m: 0.3,
        ..LensSpec::THIN
    };
    if let Err(refused) = Lens::new(spec) {
        println!("{refused}");
    }
    let macro_kit = Kit::new(Lens::breathing_to(spec, 1.0)?, None, sensor);
    show("100 mm to 1:1", &macro_kit);
    let tube = ExtensionTube::new(25.0)?;
    show("with 25 mm of tube", &macro_kit.with_tube(tube));

    let long = Lens::new(LensSpec {
        focal_length_mm: 300.0,
        f_number: 4.0,
        minimum_focus_m: 1.5,
        ..LensSpec::THIN
    })?;
    let group = NegativeGroup::of_factor(1.4, 40.0)?;
    let behind = group.with_tube_behind(tube)?;
    let kit = Kit::new(long, Some(behind.converter), sensor).with_tube(behind.tube);
    show("300 mm, 1.4x, 25 mm of tube behind it", &kit);
    Ok(())
}

fn show(name: &str, kit: &Kit) {
    println!(
        "{name}: {:.3} m to {:.2}, magnification up to {:.2}",
        kit.minimum_focus_m(),
        kit.farthest_focus(),
        kit.largest_magnification()
    );
}
