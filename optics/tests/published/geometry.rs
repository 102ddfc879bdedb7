//! `tests/data/geometry.csv`: angles, magnifications and distances computed from the exact
//! relations with 40 digits.
//!
//! Tolerance as each row states, 1e-9 relative and closer: the relations are the same, so only
//! rounding is left.

use wrackline_optics::{
    ClosePair, Converter, Error, ExtensionTube, FrameShare, Kit, Lens, LensSetting, LensSpec,
    NegativeGroup, Sensor,
    ray::{Cardinals, TwoGroups},
};

use crate::table::{Deviation, Row, report, rows};
use crate::{converter, sensor_of_pitch, sensor_of_size, thin_kit};

fn thick_kit(row: &Row, sensor: Sensor) -> Kit {
    let mut spec = LensSpec {
        focal_length_mm: row.number("f"),
        f_number: 4.0,
        ..LensSpec::THIN
    };
    spec.principal_separation_mm = row.find("HH").unwrap_or(0.0);
    Kit::new(Lens::new(spec.to_life_size()).unwrap(), None, sensor)
}

fn sides(text: &str) -> (f64, f64) {
    let (width, height) = text
        .trim()
        .trim_end_matches("mm")
        .trim()
        .split_once('x')
        .unwrap();
    (width.parse().unwrap(), height.parse().unwrap())
}

fn judge(row: &Row) -> Deviation {
    let full = sensor_of_size(36.0, 24.0);
    let value = match row.quantity.as_str() {
        "full angle of view at infinity" => {
            let kit =
                thin_kit(row.number("f"), 4.0).on_sensor(sensor_of_size(row.number("w"), 20.0));
            kit.at_infinity().unwrap().angle_of_view().across_deg
        }
        "full angle of view, diagonal" => {
            let (width, height) = sides(row.inputs.split_once("; ").unwrap().1);
            let kit = thin_kit(row.number("f"), 4.0).on_sensor(sensor_of_size(width, height));
            kit.at_infinity().unwrap().angle_of_view().diagonal_deg
        }
        "crop factor by width" => {
            let (narrow, wide) = row.inputs.split_once(" vs ").unwrap();
            let narrow = sensor_of_size(narrow.parse().unwrap(), 15.7);
            narrow.crop_factor_by_width(&sensor_of_size(wide.parse().unwrap(), 24.0))
        }
        "crop factor by diagonal" => {
            let (small, large) = row.inputs.split_once(" vs ").unwrap();
            let ((w1, h1), (w2, h2)) = (sides(small), sides(large));
            sensor_of_size(w1, h1).crop_factor_by_diagonal(&sensor_of_size(w2, h2))
        }
        "full angle of view at finite focus, from entrance pupil" => {
            let mut spec = LensSpec {
                focal_length_mm: row.number("f"),
                f_number: 4.0,
                ..LensSpec::THIN
            }
            .to_life_size();
            spec.pupil_magnification = row.number("P");
            let kit = Kit::new(
                Lens::new(spec).unwrap(),
                None,
                sensor_of_size(row.number("w"), 20.0),
            );
            kit.focused_at_magnification(row.number("m"))
                .unwrap()
                .angle_of_view()
                .across_deg
        }
        "magnification from sensor-plane distance" => {
            let kit = thick_kit(row, full);
            let distance_m = row.number("D") / 1000.0;
            let focused = kit.focused_at_m(distance_m).unwrap().magnification();
            // Focusing and asking the optics alone are one and the same.
            assert_eq!(
                focused,
                kit.lens()
                    .conjugates_at_m(distance_m)
                    .unwrap()
                    .magnification
            );
            focused
        }
        "magnification from sensor-plane distance, macro root" => {
            let lens = *thick_kit(row, full).lens();
            let distance_m = row.number("D") / 1000.0;
            let root = lens
                .conjugates_at_m(distance_m)
                .unwrap()
                .macro_magnification;
            // A lens that reaches it only there, as on a long tube, is focused on that root.
            let tube = ExtensionTube::new(1.5 * lens.focal_length_mm()).unwrap();
            let macro_kit = Kit::new(lens, None, full).with_tube(tube);
            assert!(
                (macro_kit.focused_at_m(distance_m).unwrap().magnification() - root).abs() < 1e-12
            );
            root
        }
        "error case" => {
            let kit = thick_kit(row, full);
            let error = kit.focused_at_m(row.number("D") / 1000.0).unwrap_err();
            assert!(
                matches!(error, Error::CloserThanFourFocalLengths { .. }),
                "{error}"
            );
            return Deviation::NONE;
        }
        "sensor-plane distance for a subject to fill a part of the frame" => {
            let kit = thick_kit(row, sensor_of_size(row.number("side"), 20.0));
            let wish = FrameShare {
                subject_m: row.number("S") / 1000.0,
                share: row.number("fraction"),
            };
            kit.distance_for_share(wish).unwrap()
        }
        "pixels on subject" => {
            let kit = thick_kit(row, sensor_of_pitch(row.number("pitch")));
            let focused = kit.focused_at_m(row.number("D") / 1000.0).unwrap();
            focused.pixels_along(row.number("S") / 1000.0).unwrap()
        }
        "breathing: focal length at closest focus from spec-sheet pair" => {
            let pair = ClosePair {
                distance_m: row.number("D") / 1000.0,
                magnification: row.number("m"),
            };
            // The focal length at infinity plays no part; 600 mm is a lens that would breathe like
            // this.
            let lens = Lens::new(LensSpec {
                focal_length_mm: 600.0,
                f_number: 4.0,
                minimum_focus_m: 4.5,
                ..LensSpec::THIN
            })
            .unwrap();
            let closest = Kit::new(lens.breathing(pair).unwrap(), None, full)
                .focused_at_m(pair.distance_m)
                .unwrap();
            assert!((closest.magnification() / pair.magnification - 1.0).abs() < 1e-9);
            lens.focal_length_at_mm(pair).unwrap()
        }
        "extension tube: magnification at infinity setting" => tubed(row).smallest_magnification(),
        "extension tube: sensor-plane distance at infinity setting" => {
            let kit = tubed(row);
            kit.focused_at_magnification(kit.smallest_magnification())
                .unwrap()
                .sensor_distance_m()
        }
        "thin negative converter focal length" => {
            // The row gives the focal length of a factor; ours gives the factor of a focal length.
            let focal_length_mm = row.expected.parse().unwrap();
            let group = NegativeGroup {
                focal_length_mm,
                before_focus_mm: row.number("a"),
            };
            let factor = Converter::from_group(group).unwrap().factor();
            assert!((factor / row.number("factor") - 1.0).abs() < 1e-12);
            NegativeGroup::of_factor(row.number("factor"), row.number("a"))
                .unwrap()
                .focal_length_mm
        }
        "image shift caused by the converter" => {
            // "same": the group of the row before, -140 mm at 40 mm before the focus.
            let group = NegativeGroup {
                focal_length_mm: -140.0,
                before_focus_mm: 40.0,
            };
            Converter::from_group(group).unwrap().spec().image_shift_mm
        }
        "two-thin-group telephoto: telephoto ratio" => {
            // "same" points to a row that is not here; groups of this ratio, worked by hand: 1/f =
            // 1/300 - 1/360 + 120/(300·360) = 1/600, B = 600 (1 - 120/300) = 360, (d + B)/f =
            // 480/600.
            let groups = TwoGroups {
                front_focal_length_mm: 300.0,
                rear_focal_length_mm: -360.0,
                separation_mm: 120.0,
            };
            Cardinals::of_groups(groups).unwrap().telephoto_ratio()
        }
        "angle of view with a converter (fixed conjugates)" => {
            let mut spec = LensSpec {
                focal_length_mm: row.number("f"),
                f_number: 4.0,
                ..LensSpec::THIN
            }
            .to_life_size();
            spec.pupil_magnification = row.number("P_bare");
            let t = row.number("t");
            let sensor = sensor_of_size(row.number("w"), 20.0);
            let kit = Kit::new(Lens::new(spec).unwrap(), Some(converter(t)), sensor);
            kit.focused_at_magnification(t * row.number("m_bare"))
                .unwrap()
                .angle_of_view()
                .across_deg
        }
        "magnification with converter, ray traced" => {
            let (kit, t) = traced();
            kit.focused_at_magnification(0.15 * t)
                .unwrap()
                .magnification()
        }
        "effective f-number with converter, ray traced" => {
            let (kit, t) = traced();
            kit.focused_at_magnification(0.15 * t)
                .unwrap()
                .working_f_number()
        }
        other => panic!("{}: what is {other:?}?", row.id),
    };
    row.judge(value)
}

fn tubed(row: &Row) -> Kit {
    thin_kit(row.number("f"), 4.0).with_tube(ExtensionTube::new(row.number("tube")).unwrap())
}

/// Laikin's telephoto at f/5.6 with the synthetic negative group behind it, and the group's factor.
fn traced() -> (Kit, f64) {
    let lens = Cardinals::of_surfaces(&crate::paraxial::surfaces("telephoto_f5.6")).unwrap();
    let both = crate::paraxial::surfaces("telephoto_plus_negative_converter");
    let first_vertex_z: f64 = both[..9].iter().map(|surface| surface.to_next_mm).sum();
    let converter =
        Converter::from_surfaces(&both[9..], lens.rear_focus_z_mm - first_vertex_z).unwrap();
    let lens = Lens::of_cardinals(
        &lens,
        LensSetting {
            f_number: 5.6,
            minimum_focus_m: 10.0,
        },
    )
    .and_then(|lens| lens.reaching(1.0))
    .unwrap();
    (
        Kit::new(lens, Some(converter), sensor_of_size(36.0, 24.0)),
        converter.factor(),
    )
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/geometry.csv"));
    let deviations: Vec<_> = rows.iter().map(judge).collect();
    report("geometry", rows.len(), &deviations);
}
