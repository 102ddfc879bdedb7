//! `tests/data/exposure.csv`: exposure values, metering, clouds, converter loss, ISO speeds.
//!
//! Tolerance as each row states.

use wrackline_optics::{
    ConverterSpec, Exposure, ExposureSpec, Sky, ev100_of_illuminance,
    exposure::{illuminance_of_ev100_lx, luminance_of_ev100, middle_tone_lx_s},
};

use crate::table::{Deviation, Row, report, rows};
use crate::{converter, thin_kit};

fn exposure(row: &Row) -> Exposure {
    Exposure::new(ExposureSpec {
        f_number: row.number("N"),
        time_s: row.number("t"),
    })
    .unwrap()
}

fn judge(row: &Row) -> Deviation {
    let value = match row.quantity.as_str() {
        "exposure value" => exposure(row).value(),
        "illuminance for EV100" => illuminance_of_ev100_lx(row.number("EV100")).unwrap(),
        "luminance for EV100" => luminance_of_ev100(row.number("EV100")).unwrap(),
        "sky condition divisor" => match row.inputs.as_str() {
            "clear or cloud under 30 percent" => Sky::Clear.divisor(),
            "thin veil over the sun" => Sky::ThinVeil.divisor(),
            "dark stratus over the whole sky" => Sky::DarkStratus.divisor(),
            other => panic!("{}: what sky is {other:?}?", row.id),
        },
        "light lost to a converter" => wrackline_optics::Converter::from_spec(ConverterSpec {
            factor: row.number("factor"),
            transmittance: row.number("transmittance"),
            image_shift_mm: 0.0,
        })
        .unwrap()
        .stops_lost(),
        "f-number with converter" => {
            let bare = thin_kit(600.0, 4.0);
            wrackline_optics::Kit::new(*bare.lens(), Some(converter(1.4)), *bare.sensor())
                .effective_f_number()
        }
        "ISO for a shot" => {
            // The printed EV is rounded; the row was computed from a clear sky with the sun at 10
            // degrees: the polynomial of the Explanatory Supplement (1992) from 5 to 20 degrees, as
            // printed in Vallado (2022), table 5-1, in powers of altitude / 90 degrees.
            let x = 10.0 / 90.0;
            let lx = 10_f64.powf(3.05 + x * (13.28 + x * (-45.98 + x * 64.33)));
            let ev100 = ev100_of_illuminance(lx).unwrap();
            assert!((ev100 - row.number("EV100")).abs() < 0.005);
            exposure(row).iso_under(ev100).unwrap()
        }
        "mid-tone exposure at the sensor" => middle_tone_lx_s(row.number("ISO")).unwrap(),
        other => panic!("{}: what is {other:?}?", row.id),
    };
    row.judge(value)
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/exposure.csv"));
    let deviations: Vec<_> = rows.iter().map(judge).collect();
    report("exposure", rows.len(), &deviations);
}
