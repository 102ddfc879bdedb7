//! `tests/data/turbulence.csv`: Fried's parameter and what follows from it, with 40 digits.
//!
//! Tolerance as each row states, 1e-6 and closer: only rounding is left.

use wrackline_optics::{Air, AirSpec, GREEN_UM, HeatedGround, Seeing};

use crate::table::{Deviation, Row, report, rows};
use crate::{sensor_of_pitch, thin_kit};

fn seeing(row: &Row) -> Seeing {
    Air::even(row.number("Cn2"))
        .unwrap()
        .over(row.number("L"), row.find("lambda").unwrap_or(GREEN_UM))
        .unwrap()
}

fn judge(row: &Row) -> Deviation {
    let value = match row.quantity.as_str() {
        "Fried parameter, spherical wave, uniform path" => seeing(row).r0_mm(),
        "long-exposure blur at the subject, FWHM 0.98 lambda L/r0" => {
            seeing(row).blur_at_subject_mm()
        }
        "D/r0" => seeing(row).pupil_over_r0(row.number("aperture")).unwrap(),
        "MTF50 of long-exposure turbulence at the subject" => {
            seeing(row).at_subject_lp_per_mm(0.5).unwrap()
        }
        "rms image wander, one axis (seen as shape wobble between frames)" => seeing(row)
            .wander_at_subject_mm(row.number("aperture"))
            .unwrap(),
        "long-exposure turbulence OTF, plane wave" => {
            // 40 lp/mm behind 840 mm are 33,600 cycles a radian.
            let air = Air::even(row.number("Cn2")).unwrap();
            let cycles_per_rad = row.number("nu") * 840.0;
            air.over_from_afar(row.number("L"), row.number("lambda"))
                .unwrap()
                .mtf(cycles_per_rad)
                .unwrap()
        }
        "distance at which shimmer FWHM equals a two-pixel spacing" => {
            let kit = thin_kit(row.number("f"), 4.0).on_sensor(sensor_of_pitch(row.number("p")));
            let angle_rad = kit.at_infinity().unwrap().two_pixel_rad();
            Air::even(row.number("Cn2"))
                .unwrap()
                .path_for_blur_m(angle_rad, row.number("lambda"))
                .unwrap()
        }
        "height scaling of daytime Cn2 (free convection)" => {
            HeatedGround::relative_cn2(row.number("h")).unwrap()
        }
        other => panic!("{}: what is {other:?}?", row.id),
    };
    row.judge(value)
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/turbulence.csv"));
    let deviations: Vec<_> = rows.iter().map(judge).collect();
    report("turbulence", rows.len(), &deviations);
}

/// A level line of sight over heated ground is even air of that height's strength, and one that
/// rises from the subject is clearer than one that sinks towards the lens: the weight is highest
/// near the lens.
#[test]
fn the_air_near_the_lens_counts_most() {
    let over = |lens_height_m: f64, subject_height_m: f64| {
        let ground = HeatedGround {
            cn2_at_1_m: 1e-13,
            lens_height_m,
            subject_height_m,
        };
        Air::new(AirSpec::HeatedGround(ground))
            .unwrap()
            .over(100.0, GREEN_UM)
            .unwrap()
            .r0_mm()
    };
    let level = Air::even(1e-13 * 0.5_f64.powf(-4.0 / 3.0))
        .unwrap()
        .over(100.0, GREEN_UM)
        .unwrap()
        .r0_mm();
    assert!((over(0.5, 0.5) / level - 1.0).abs() < 1e-12);
    assert!(over(1.6, 0.2) > over(0.2, 1.6) * 1.5);
    let weight = numerical(|s| s.powf(5.0 / 3.0) * (0.2 + 1.4 * s).powf(-4.0 / 3.0));
    let even = Air::even(1e-13 * weight * 8.0 / 3.0)
        .unwrap()
        .over(100.0, GREEN_UM)
        .unwrap()
        .r0_mm();
    assert!((over(1.6, 0.2) / even - 1.0).abs() < 1e-8);
}

/// Simpson's rule with a million steps: slow, plain and independent of the library's quadrature.
fn numerical(of: impl Fn(f64) -> f64) -> f64 {
    let steps = 1_000_000;
    let width = 1.0 / f64::from(steps);
    (0..=steps)
        .map(|number| {
            let weight = if number == 0 || number == steps {
                1.0
            } else if number % 2 == 1 {
                4.0
            } else {
                2.0
            };
            weight * of(f64::from(number) * width)
        })
        .sum::<f64>()
        * width
        / 3.0
}
