//! `tests/data/depth_of_field.csv`: the geometry of blur discs with 40 digits, and a ray trace of a
//! published telephoto.
//!
//! Tolerance as each row states: 1e-8 and closer for the formulas (only rounding is left), 1e-6 for
//! the ray trace, whose own finite difference is of that size.

use wrackline_optics::{
    CircleOfConfusion, Elsewhere, FarLimit, Focused, Kit, Lens, LensSetting, LensSpec,
    ray::Cardinals,
};

use crate::table::{Deviation, Row, report, rows};
use crate::{sensor_of_size, thin_kit};

fn kit(row: &Row) -> Kit {
    let mut spec = LensSpec {
        focal_length_mm: row.find("f").unwrap_or(100.0),
        f_number: row.number("N"),
        ..LensSpec::THIN
    };
    spec.principal_separation_mm = row.find("HH").unwrap_or(0.0);
    spec.pupil_magnification = row.find("P").unwrap_or(1.0);
    Kit::new(
        Lens::new(spec.to_life_size()).unwrap(),
        None,
        sensor_of_size(36.0, 24.0),
    )
}

fn focused(row: &Row) -> Focused {
    match row.find("m") {
        Some(m) if m > 1.0 => {
            let lens = kit(row).lens().reaching(m).unwrap();
            Kit::new(lens, None, sensor_of_size(36.0, 24.0))
                .focused_at_magnification(m)
                .unwrap()
        }
        Some(m) => kit(row).focused_at_magnification(m).unwrap(),
        None => kit(row).focused_at_m(row.number("D") / 1000.0).unwrap(),
    }
}

fn circle(row: &Row) -> CircleOfConfusion {
    CircleOfConfusion::absolute_mm(row.number("c")).unwrap()
}

fn judge(row: &Row) -> Vec<Deviation> {
    let value = match row.quantity.as_str() {
        "depth of field in front / behind / total" => {
            let depth = focused(row).depth_of_field(circle(row));
            let limits = [
                FarLimit::At {
                    distance_m: depth.in_front_m,
                },
                depth.behind,
                depth.total,
            ];
            return row
                .expected
                .split('|')
                .zip(limits)
                .map(|(printed, limit)| match limit {
                    FarLimit::At { distance_m } => row.judge_part(printed, distance_m * 1000.0),
                    FarLimit::Infinity => {
                        assert_eq!(printed.trim(), "inf");
                        Deviation::NONE
                    }
                })
                .collect();
        }
        "macro total depth of field" => {
            1000.0
                * focused(row)
                    .depth_of_field(circle(row))
                    .total
                    .distance_m()
                    .unwrap()
        }
        "hyperfocal distance from the front principal plane" => {
            kit(row)
                .hyperfocal(circle(row))
                .unwrap()
                .from_front_principal_m
        }
        "near limit when focused at infinity, from entrance pupil" => kit(row)
            .at_infinity()
            .unwrap()
            .near_limit_from_pupil_m(circle(row)),
        "far limit just beyond hyperfocal" => {
            // k = 1 to the last bit is decided by rounding; the test by hand takes both sides of
            // it.
            let m = row.number("m") * (1.0 - 1e-12);
            let depth = kit(row)
                .focused_at_magnification(m)
                .unwrap()
                .depth_of_field(circle(row));
            assert_eq!(
                (depth.far, row.expected.as_str()),
                (FarLimit::Infinity, "inf")
            );
            return vec![Deviation::NONE];
        }
        "background blur disc diameter on the sensor" => {
            let after = row.inputs.split_once("background ").unwrap().1;
            let background = match after.split(' ').next().unwrap() {
                "inf" => Elsewhere::Infinity,
                millimetres => Elsewhere::FromPupil {
                    distance_m: millimetres.parse::<f64>().unwrap() / 1000.0,
                },
            };
            focused(row).blur_of(background).unwrap().disc_mm
        }
        "effective f-number" => focused(row).working_f_number(),
        "light loss from magnification" => focused(row).stops_lost_to_magnification(&kit(row)),
        "circle of confusion convention" => {
            // Two sides with the diagonal given.
            let diagonal = row.number("diagonal");
            let sensor = sensor_of_size(0.8 * diagonal, 0.6 * diagonal);
            CircleOfConfusion::of_diagonal(&sensor, row.number("divisor"))
                .unwrap()
                .diameter_mm()
        }
        "blur disc of a defocused point through a real prescription" => {
            let lens =
                Cardinals::of_surfaces(&crate::paraxial::surfaces("telephoto_f5.6")).unwrap();
            let lens = Lens::of_cardinals(
                &lens,
                LensSetting {
                    f_number: 5.6,
                    minimum_focus_m: 10.0,
                },
            )
            .and_then(|lens| lens.reaching(1.0))
            .unwrap();
            let kit = Kit::new(lens, None, sensor_of_size(36.0, 24.0));
            let after = row.inputs.split_once("; point ").unwrap().1;
            let behind_mm: f64 = after.split(' ').next().unwrap().parse().unwrap();
            let focused = kit.focused_at_magnification(0.02).unwrap();
            focused
                .blur_of(Elsewhere::Behind {
                    metres: behind_mm / 1000.0,
                })
                .unwrap()
                .disc_mm
        }
        other => panic!("{}: what is {other:?}?", row.id),
    };
    vec![row.judge(value)]
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/depth_of_field.csv"));
    let deviations: Vec<_> = rows.iter().flat_map(judge).collect();
    report("depth_of_field", rows.len(), &deviations);
}

/// van Walree's closed form of the total, beside ours, over a grid of lenses.
#[test]
fn the_total_is_van_walrees() {
    for (f, n, p, m) in [
        (600.0, 4.0, 0.6, 0.02),
        (50.0, 8.0, 1.0, 0.1),
        (24.0, 11.0, 1.6, 0.05),
        (100.0, 2.8, 1.4, 0.9),
    ] {
        let c = 0.03;
        let mut spec = LensSpec {
            focal_length_mm: f,
            f_number: n,
            ..LensSpec::THIN
        }
        .to_life_size();
        spec.pupil_magnification = p;
        let kit = Kit::new(Lens::new(spec).unwrap(), None, *thin_kit(f, n).sensor());
        let circle = CircleOfConfusion::absolute_mm(c).unwrap();
        let total = kit
            .focused_at_magnification(m)
            .unwrap()
            .depth_of_field(circle)
            .total
            .distance_m()
            .unwrap();
        let closed = 2.0 * n * c * (1.0 + m / p) / (m * m - (n * c / f) * (n * c / f)) / 1000.0;
        assert!((total / closed - 1.0).abs() < 1e-12);
    }
}
