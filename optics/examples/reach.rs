//! "With the converter it reaches like 1260 mm": the claim taken apart, meaning by meaning.
//!
//! `cargo run -p wrackline-optics --example reach`

use wrackline_optics::{
    Assumptions, Claim, ClaimSpec, Converter, Error, Judgement, Kit, Lens, LensSpec, PitchSpec,
    Scene, SceneSpec, Sensor,
};

fn main() -> Result<(), Error> {
    let sensor = |width_mm, height_mm| {
        Sensor::of_pitch(PitchSpec {
            width_mm,
            height_mm,
            pixel_pitch_um: 3.76,
        })
    };
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.5,
        ..LensSpec::THIN
    })?;
    let kit = Kit::new(lens, Some(Converter::new(1.4)?), sensor(23.5, 15.7)?);
    let claim = Claim::new(ClaimSpec {
        focal_length_mm: 1260.0,
        f_number: 4.0,
        reference: sensor(36.0, 24.0)?,
    })?;
    let scene = Scene::new(SceneSpec {
        subject_m: 0.55,
        distance_m: 40.0,
        ..SceneSpec::STILL
    })?;
    let judgement = Judgement::of(kit, &claim, &scene, &Assumptions::default())?;

    println!("Is it a 1260 mm f/4? {}", judgement.lens.verdict);
    for finding in &judgement.comparison.findings {
        println!("  {}", finding.against("the claimed lens"));
    }
    if let Some(cropped) = &judgement.against_cropped {
        println!("And against its own bare lens, cropped to the same frame:");
        for finding in &cropped.findings {
            println!("  {}", finding.against("the cropped lens"));
        }
        println!(
            "Warm air leaves both the same detail {}.",
            cropped.equal_through_air
        );
    }
    Ok(())
}
