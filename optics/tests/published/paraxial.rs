//! `tests/data/paraxial.csv`: cardinal points and pupils of published prescriptions, by three
//! independent tracers.
//!
//! Tolerance as each row states (1e-5 relative: the prescriptions' indices are given to sixteen
//! digits, the results to six decimals; a paraxial trace itself is exact but for rounding, about
//! 1e-14).

use wrackline_optics::{
    Converter,
    ray::{Cardinals, Shape, Surface},
};

use crate::table::{report, rows};

#[derive(serde::Deserialize)]
struct Line {
    #[serde(rename = "R")]
    radius: Option<f64>,
    z: f64,
    n_after: f64,
    stop: bool,
}

#[derive(serde::Deserialize)]
struct Prescription {
    surfaces: Vec<Line>,
}

/// The surfaces of a published lens.
pub(crate) fn surfaces(system: &str) -> Vec<Surface> {
    let text = include_str!("../data/paraxial_prescriptions.json");
    let all: std::collections::HashMap<String, Prescription> = serde_json::from_str(text).unwrap();
    let lines = &all[system].surfaces;
    let next = lines
        .iter()
        .skip(1)
        .map(|line| line.z)
        .chain([lines[lines.len() - 1].z]);
    lines
        .iter()
        .zip(next)
        .map(|(line, next_z)| Surface {
            shape: line
                .radius
                .map_or(Shape::Plane, |radius_mm| Shape::Sphere { radius_mm }),
            to_next_mm: next_z - line.z,
            index_after: line.n_after,
            stop: line.stop,
        })
        .collect()
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/paraxial.csv"));
    let deviations: Vec<_> = rows
        .iter()
        .map(|row| {
            let lens = Cardinals::of_surfaces(&surfaces(&row.system)).unwrap();
            let value = match row.quantity.as_str() {
                "effective focal length" => lens.focal_length_mm,
                "back focal distance (last vertex to F2)" => lens.back_focus_mm,
                "front principal plane, z from first vertex" => lens.front_principal_z_mm,
                "rear principal plane, z from first vertex" => lens.rear_principal_z_mm,
                "principal plane separation HH2 (signed)" => lens.principal_separation_mm,
                "entrance pupil, z from first vertex" => lens.entrance_pupil_z_mm,
                "exit pupil, z from first vertex" => lens.exit_pupil_z_mm,
                "pupil magnification XP/EP diameter" => lens.pupil_magnification,
                other => panic!("{}: what is {other:?}?", row.id),
            };
            row.judge(value)
        })
        .collect();
    report("paraxial", rows.len(), &deviations);
}

/// The telephoto with its converter behind it, as one row of surfaces and as lens and relay: the
/// same focal length.
#[test]
fn a_relay_behind_a_lens_is_the_row_of_both() {
    let lens = Cardinals::of_surfaces(&surfaces("telephoto_f5.6")).unwrap();
    let both = surfaces("telephoto_plus_negative_converter");
    let whole = Cardinals::of_surfaces(&both).unwrap();
    let first_vertex_z: f64 = both[..9].iter().map(|surface| surface.to_next_mm).sum();
    let converter =
        Converter::from_surfaces(&both[9..], lens.rear_focus_z_mm - first_vertex_z).unwrap();
    let by_relay = converter.factor() * lens.focal_length_mm;
    assert!((by_relay / whole.focal_length_mm - 1.0).abs() < 1e-12);
    let shifted = lens.rear_focus_z_mm + converter.spec().image_shift_mm;
    assert!((shifted / whole.rear_focus_z_mm - 1.0).abs() < 1e-12);
}
