//! A made port and made weather, for the tests of the analysis: the same numbers everywhere.

use jiff::Timestamp;
use wrackline_tides::{Convention, Harmonic, Port, PortSpec, Selection};

pub(crate) const CONSTANTS: [(&str, f64, f64); 9] = [
    ("M2", 1.80, 59.0),
    ("S2", 0.50, 118.0),
    ("N2", 0.30, 35.0),
    ("K2", 0.14, 117.0),
    ("O1", 0.11, 192.0),
    ("K1", 0.07, 11.0),
    ("P1", 0.03, 355.0),
    ("M4", 0.13, 117.0),
    ("MS4", 0.09, 178.0),
];

fn harmonics() -> Vec<Harmonic> {
    CONSTANTS
        .iter()
        .map(|(name, amplitude_m, phase_lag_deg)| Harmonic {
            name: (*name).into(),
            amplitude_m: *amplitude_m,
            phase_lag_deg: *phase_lag_deg,
        })
        .collect()
}

pub(crate) fn port(convention: Convention) -> Port {
    Port::new(PortSpec {
        mean_level_m: 2.5,
        harmonics: &harmonics(),
        convention,
    })
    .unwrap()
}

pub(crate) fn start() -> Timestamp {
    "2024-03-05T07:00:00Z".parse().unwrap()
}

/// A plain generator of normal deviates, so that the test gives the same numbers everywhere.
pub(crate) struct Noise(pub(crate) u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        // Knuth's MMIX constants.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

pub(crate) fn named() -> Selection {
    Selection::Named(
        CONSTANTS
            .iter()
            .map(|(name, _, _)| (*name).to_owned())
            .collect(),
    )
}
