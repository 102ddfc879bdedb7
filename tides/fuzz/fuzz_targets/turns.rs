//! Any port, any span: the search for turns ends, and high and low alternate.
#![no_main]

use jiff::Timestamp;
use libfuzzer_sys::fuzz_target;
use wrackline_tides::{Convention, Harmonic, Latitude, Port, PortSpec};

const NAMES: [&str; 12] = [
    "M2", "S2", "K1", "O1", "M4", "M6", "SA", "3M2S2", "L2", "MF", "M12", "3MS2",
];

fuzz_target!(|data: ([(u16, u16); 12], u8, i32, u16)| {
    let (lines, convention, start, hours) = data;
    let harmonics: Vec<Harmonic> = NAMES
        .iter()
        .zip(lines)
        .map(|(name, (amplitude, lag))| Harmonic {
            name: (*name).into(),
            amplitude_m: f64::from(amplitude) / 8192.0,
            phase_lag_deg: f64::from(lag) / 182.0,
        })
        .collect();
    let convention = match convention % 5 {
        0 => Convention::SchuremanAnnual,
        1 => Convention::SchuremanInstant,
        2 => Convention::IhoInstant,
        3 => Convention::ForemanInstant(Latitude::new(51.5).unwrap()),
        _ => Convention::Rijkswaterstaat,
    };
    let spec = PortSpec { mean_level_m: 0.0, harmonics: &harmonics, convention };
    let port = Port::new(spec).unwrap();
    let start = Timestamp::from_second(i64::from(start)).unwrap();
    let length_s = 60 + i64::from(hours % 2000) * 3600;
    let end = Timestamp::from_second(start.as_second() + length_s).unwrap();
    let predictor = port.predictor(start..end).unwrap();
    let turns = predictor.turns();
    for pair in turns.windows(2) {
        assert!(pair[0].at <= pair[1].at && pair[0].kind != pair[1].kind);
    }
    let total: i64 = predictor
        .above(0.1)
        .unwrap()
        .iter()
        .chain(&predictor.below(0.1).unwrap())
        .map(|span| span.end.as_second() - span.start.as_second())
        .sum();
    assert!((total - (end.as_second() - start.as_second())).abs() < 10_000);
});
