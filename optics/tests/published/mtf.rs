//! `tests/data/mtf.csv`: diffraction, pixels, aberrations and their product, by prysm, mpmath and
//! numpy.
//!
//! Tolerance as each row states. MTF50 and MTF10 are roots that ours finds to 1e-13; the rows' own
//! bisection gives 1e-6.

use wrackline_optics::{
    Chain, ChainSpec, Converter, Diffraction, DiffractionSpec, Kit, Lens, LensSpec,
    detail::Wavefront,
};

use crate::table::{Deviation, Row, report, rows};
use crate::{sensor_of_pitch, sensor_of_size};

fn diffraction(row: &Row) -> Diffraction {
    let spec = DiffractionSpec {
        f_number: row.find("N").unwrap_or(8.0),
        wavelength_um: row.find("lambda").unwrap_or(0.55),
    };
    Diffraction::new(spec).unwrap()
}

fn chain(row: &Row) -> Chain {
    Chain::new(ChainSpec {
        f_number: row.number("N"),
        wavelength_um: row.number("lambda"),
        pixel_pitch_um: row.number("p"),
    })
    .unwrap()
}

fn judge(row: &Row) -> Deviation {
    let value = match row.quantity.as_str() {
        "Airy disc first dark ring radius" => diffraction(row).airy_radius_um(),
        "diffraction cut-off" => diffraction(row).cutoff_lp_per_mm(),
        "diffraction-limited MTF" => diffraction(row).mtf(row.number("nu")).unwrap(),
        "diffraction-limited MTF at half the cut-off" => {
            let diffraction = diffraction(row);
            diffraction
                .mtf(diffraction.cutoff_lp_per_mm() / 2.0)
                .unwrap()
        }
        "encircled energy in the Airy disc" => {
            let diffraction = diffraction(row);
            diffraction
                .encircled_energy(diffraction.airy_radius_um())
                .unwrap()
        }
        "MTF at the Rayleigh frequency 1/(1.22 lambda N)" => {
            let diffraction = diffraction(row);
            diffraction.mtf(diffraction.rayleigh_lp_per_mm()).unwrap()
        }
        "Nyquist frequency" => sensor_of_pitch(row.number("pitch")).nyquist_lp_per_mm(),
        "pixel box MTF at Nyquist" => {
            let sensor = sensor_of_pitch(4.0);
            sensor.pixel_mtf(sensor.nyquist_lp_per_mm()).unwrap()
        }
        "pixel box MTF" => sensor_of_pitch(row.number("pitch"))
            .pixel_mtf(row.number("nu"))
            .unwrap(),
        "Q sampling ratio lambda N / p" => {
            diffraction(row).sampling_ratio(&sensor_of_pitch(row.number("p")))
        }
        "system MTF50 (perfect lens x pixel box)" => chain(row).frequency_at_contrast(0.5).unwrap(),
        "system MTF10 (perfect lens x pixel box)" => chain(row).frequency_at_contrast(0.1).unwrap(),
        "Shannon aberration transfer factor" => {
            let relative = row.number("nu") / diffraction(row).cutoff_lp_per_mm();
            Wavefront::new(row.number("Wrms"))
                .unwrap()
                .transfer(relative)
                .unwrap()
        }
        "invariance: diffraction cut-off at the subject" => {
            let lens = Lens::new(LensSpec {
                focal_length_mm: 600.0,
                f_number: 4.0,
                minimum_focus_m: 4.3,
                ..LensSpec::THIN
            })
            .unwrap();
            let bare = Kit::new(lens, None, sensor_of_size(36.0, 24.0));
            let with = Kit::new(lens, Some(Converter::new(1.4).unwrap()), *bare.sensor());
            let at_subject = |kit: &Kit| {
                let focused = kit.focused_at_m(40.0).unwrap();
                let spec = DiffractionSpec {
                    f_number: focused.working_f_number(),
                    wavelength_um: 0.55,
                };
                Diffraction::new(spec).unwrap().cutoff_lp_per_mm() * focused.magnification()
            };
            assert!((at_subject(&with) / at_subject(&bare) - 1.0).abs() < 1e-12);
            // The row takes the subject to be far: D/(λL) with L = 40 m, where the pupil is 0.6 m
            // nearer.
            at_subject(&bare) * bare.focused_at_m(40.0).unwrap().entrance_pupil_distance_m() / 40.0
        }
        "motion blur MTF first null" => {
            // In cycles a pixel: the frequency at which a blur of 4 px leaves nothing.
            let pixels = row.number("blur b px ");
            let chain = Chain::new(ChainSpec {
                f_number: 1.0,
                wavelength_um: 0.55,
                pixel_pitch_um: 1.0,
            })
            .unwrap();
            let chain = chain.with_motion_px(pixels).unwrap();
            let null = row.expected.parse::<f64>().unwrap();
            assert!(chain.transfers(null * 1000.0).unwrap().motion < 1e-12);
            assert!(chain.transfers(0.99 * null * 1000.0).unwrap().motion > 1e-3);
            1.0 / pixels
        }
        other => panic!("{}: what is {other:?}?", row.id),
    };
    row.judge(value)
}

#[test]
fn every_row() {
    let rows = rows(include_str!("../data/mtf.csv"));
    let deviations: Vec<_> = rows.iter().map(judge).collect();
    report("mtf", rows.len(), &deviations);
}
