//! IHO Tide, Water Level and Current Working Group, *Standard list of tidal constituents*, 8 May
//! 2017. Speeds in degrees an hour, printed to 1e-7 (older rows to 1e-6).

use wrackline_tides::{Constituent, Error};

use crate::data::{constants, number, rows};

/// Rows whose printed speed contradicts their own extended Doodson number or their own name, with
/// our speed less the printed one.
const MISPRINTS: &[(&str, f64)] = &[
    ("M(KS)2", -5.92e-6), // M2 + K1 - S1
    ("M7", -1.86e-6),     // 7/2 of M2 is 101.4443648
    ("2(MN)K9", -1.81e-6),
    ("5MSN10", 7.25e-6),    // the speed is that of 5MKN10
    ("3N2MS12", -7.506e-2), // no sum of these letters has the printed speed
    ("3MNKS12", 1.03e-6),   // two digits exchanged
];

#[test]
fn every_row_is_understood_with_its_speed() {
    let rows = rows("iho_list.csv");
    assert_eq!(rows.len(), 394);
    for row in rows {
        let printed = number(&row, "speed_listed");
        let names = std::iter::once(row["name"].as_str()).chain(row["aliases"].split_whitespace());
        for name in names {
            // The package's alias is not the list's: 3N2 is 27.351 everywhere else, MKS2 is 29.066.
            if name == "3N2" {
                continue;
            }
            let constituent = Constituent::named(name).unwrap();
            let difference = constituent.speed_deg_per_h() - printed;
            let expected = MISPRINTS
                .iter()
                .find(|(known, _)| *known == name)
                .map_or(0.0, |row| row.1);
            // Half the last printed digit, and 1e-7 between the list's constants and ours.
            let tolerance = if expected == 0.0 {
                1e-6
            } else {
                1e-7 + 0.01 * expected.abs()
            };
            assert!(
                (difference - expected).abs() < tolerance,
                "{name}: {difference:e}"
            );
        }
    }
}

#[test]
fn every_constituent_of_every_station_is_understood() {
    let stations = constants();
    assert_eq!(stations["noaa/9455920"].len(), 120);
    for harmonics in stations.values() {
        for harmonic in harmonics {
            Constituent::named(&harmonic.name).unwrap();
        }
    }
}

#[test]
fn compounds_beyond_the_list_follow_annex_b() {
    let m2 = Constituent::named("M2").unwrap().speed_deg_per_h();
    let s2 = 30.0;
    let k1 = Constituent::named("K1").unwrap().speed_deg_per_h();
    for (name, speed) in [
        ("8MS14", 8.0 * m2 - s2),
        ("M14", 7.0 * m2),
        ("4MSK11", 4.0 * m2 + s2 + k1),
        ("2MSK7", 2.0 * m2 + s2 + k1),
        ("3MS7", 3.0 * m2 + 0.5 * s2),
        ("S12", 6.0 * s2),
    ] {
        let derived = Constituent::named(name).unwrap();
        assert!((derived.speed_deg_per_h() - speed).abs() < 1e-9, "{name}");
    }
    // 7·2 + 2 + 1 = 17, and no change of sign from the right brings it to 16.
    assert!(matches!(
        Constituent::named("7MSK16"),
        Err(Error::UnknownConstituent { .. })
    ));
}

#[test]
fn unknown_names_come_with_suggestions() {
    let error = Constituent::named("LAMDA2").unwrap_err();
    assert!(error.to_string().contains("LAMBDA2"), "{error}");
}
