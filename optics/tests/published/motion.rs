//! `tests/data/motion.csv`: motion blur, the longest exposure, the reciprocal rule, in closed form.
//!
//! Tolerance as each row states, 1e-8 and closer: only rounding is left.

use wrackline_optics::{BlurLimit, Motion, exposure::ReciprocalRule};

use crate::table::{Deviation, Row, report, rows};
use crate::{sensor_of_pitch, thin_kit};

fn judge(row: &Row) -> Deviation {
    let focused = || {
        let kit = thin_kit(row.number("f"), 4.0).on_sensor(sensor_of_pitch(row.number("p")));
        // In metres here, where the other tables use millimetres.
        kit.focused_at_m(row.number("D")).unwrap()
    };
    let value = match row.quantity.as_str() {
        "subject motion blur" => focused()
            .motion_blur_px(Motion {
                speed_m_per_s: row.number("v"),
                time_s: row.number("t"),
            })
            .unwrap(),
        "longest exposure for a blur limit" => focused()
            .longest_time_s(BlurLimit {
                speed_m_per_s: row.number("v"),
                pixels: row.number("limit"),
            })
            .unwrap(),
        "handshake reciprocal rule" => ReciprocalRule {
            focal_length_mm: row.number("f"),
            crop_factor: row.number("crop"),
            stabiliser_stops: row.number("stabiliser"),
        }
        .longest_time_s()
        .unwrap(),
        "hand drift implied by the reciprocal rule" => {
            let rule = ReciprocalRule {
                focal_length_mm: 600.0,
                crop_factor: 1.0,
                stabiliser_stops: 0.0,
            };
            rule.drift_rad_per_s(0.030).unwrap()
        }
        other => panic!("{}: what is {other:?}?", row.id),
    };
    row.judge(value)
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/motion.csv"));
    let deviations: Vec<_> = rows.iter().map(judge).collect();
    report("motion", rows.len(), &deviations);
}
