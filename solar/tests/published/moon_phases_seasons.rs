//! Phases of the moon, equinoxes and solstices, computed with Skyfield 1.55 and JPL DE440 (header
//! of the file).

use wrackline_solar::{MoonPhase, Season, moon_phases, seasons};

use crate::{Spread, number, rows};

const TABLE: &str = include_str!("../data/moon_phases_seasons.csv");

#[test]
fn phases_and_seasons_come_when_de440_says() {
    let span = || "2019-12-31T00:00:00Z".parse().unwrap().."2036-01-02T00:00:00Z".parse().unwrap();
    let mut phases: Vec<(&str, f64)> = Vec::new();
    for event in moon_phases(span()).unwrap() {
        let name = match event.phase {
            MoonPhase::New => "new",
            MoonPhase::FirstQuarter => "first_quarter",
            MoonPhase::Full => "full",
            MoonPhase::LastQuarter => "last_quarter",
        };
        phases.push((name, event.instant.julian_dates().tt_jd));
    }
    let mut beginnings: Vec<(&str, f64)> = Vec::new();
    for event in seasons(span()).unwrap() {
        let name = match event.season {
            Season::MarchEquinox => "march_equinox",
            Season::JuneSolstice => "june_solstice",
            Season::SeptemberEquinox => "september_equinox",
            Season::DecemberSolstice => "december_solstice",
        };
        beginnings.push((name, event.instant.julian_dates().tt_jd));
    }
    // Sixteen years hold 198 lunations at least and 64 beginnings of seasons.
    assert!((791..=795).contains(&phases.len()));
    assert_eq!(beginnings.len(), 64);
    let mut phases_s = Vec::new();
    let mut seasons_s = Vec::new();
    for row in rows(TABLE) {
        let tt = number(&row, "jd_tt");
        let name = row["event"].as_str();
        let nearest = |list: &[(&str, f64)]| {
            list.iter()
                .filter(|event| event.0 == name)
                .map(|event| (event.1 - tt) * 86_400.0)
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))
        };
        match (nearest(&phases), nearest(&beginnings)) {
            (Some(apart), None) => phases_s.push(apart),
            (None, Some(apart)) => seasons_s.push(apart),
            _ => panic!("{name}"),
        }
    }
    let [phases_s, seasons_s] = [phases_s, seasons_s].map(Spread::of);
    println!("phases, s: {phases_s:?}");
    println!("seasons, s: {seasons_s:?}");
    // The moon gains 0.5" a second on the sun and stands within 1.5"; the sun moves 0.041" a second
    // and stands within 0.05".
    assert!(phases_s.max < 3.0);
    assert!(seasons_s.max < 1.2);
}
