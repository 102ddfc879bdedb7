//! UTide 0.4.0 (Wesley Bowman, Daniel Codiga and others): heights that it reconstructs from made
//! constants of 144 constituents of its table (all but the mean level and M7, which flips there
//! with each turn of M2), at six latitudes and 120 instants of 1970-2050, with its satellite
//! corrections at each instant; metres, UTC, printed to 1e-6 m.
//!
//! Tolerance: half the last digit, and for each of the 144 constants 3 ns of its argument: UTide
//! counts days since the year 1 in double precision, which is good to 1e-10 days or 10 µs, 3e-8
//! radians of the fastest lines at metres of sum.

use wrackline_tides::{Constituent, Convention, Harmonic, Latitude, Port, PortSpec};

use crate::data::{number, rows};

fn harmonics() -> Vec<Harmonic> {
    rows("satellites.csv")
        .iter()
        .filter(|row| row["row"] == "constant")
        .map(|row| Harmonic {
            name: row["name_or_time"].clone(),
            amplitude_m: number(row, "amplitude_m"),
            phase_lag_deg: number(row, "lag_deg"),
        })
        .collect()
}

#[test]
fn heights_follow_the_reconstruction_at_every_latitude() {
    let harmonics = harmonics();
    assert_eq!(harmonics.len(), 144);
    let mut worst = 0.0_f64;
    for latitude in ["-62.0", "-33.9", "-2.0", "14.6", "51.5", "67.3"] {
        let convention =
            Convention::ForemanInstant(Latitude::new(latitude.parse().unwrap()).unwrap());
        let port = Port::new(PortSpec {
            mean_level_m: 0.0,
            harmonics: &harmonics,
            convention,
        })
        .unwrap();
        for row in rows("satellites.csv") {
            if row["row"] != "height" {
                continue;
            }
            let at = row["name_or_time"].replace('Z', ":00Z").parse().unwrap();
            let printed = number(&row, &format!("height_m_at_{latitude}"));
            let apart = (port.height_m(at).unwrap() - printed).abs();
            worst = worst.max(apart);
            assert!(apart < 2e-6, "{latitude} {at}: {apart:e}");
        }
    }
    println!("heights by satellites: max {:.4} mm", worst * 1e3);
}

/// The speeds of a table of other words: each name of it is understood, and where a name means
/// another line than in the IHO's list, it is that table's line in this convention.
#[test]
fn every_name_has_its_own_line() {
    let foreman = Convention::ForemanInstant(Latitude::new(45.0).unwrap());
    for (name, speed) in [
        ("SA", 0.041_066_7),
        ("S1", 15.000_002),
        ("ST3", 27.803_933_9),
        ("ST4", 28.604_004_1),
        ("OQ2", 27.350_980_2),
        ("3KM5", 74.107_310_2),
        ("M7", 101.444_364_8),
        ("ALP1", 12.382_765_1),
        ("BET1", 14.414_556_7),
        ("H1", 28.943_037_6),
        ("H2", 29.025_170_9),
        ("GAM2", 28.911_250_6),
        ("ST36", 26.407_938_1),
        ("ST35", 175.474_179_6),
    ] {
        let own = foreman.constituent(name).unwrap();
        assert!((own.speed_deg_per_h() - speed).abs() < 2e-6, "{name}");
        // The name it is known by then means it everywhere.
        let again = Constituent::named(own.name()).unwrap();
        assert_eq!(again, own, "{name}");
    }
}
