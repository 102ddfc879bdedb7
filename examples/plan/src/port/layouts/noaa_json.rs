//! The harmonic constituents of a station as the metadata interface of NOAA CO-OPS gives them: an
//! object with `units` and a list `HarmonicConstituents` of `name`, `amplitude` and `phase_GMT`,
//! the lag against Greenwich for UTC (names of the fields as in public readers of that interface;
//! the words of `units` from memory). The factors are those of the year. It holds neither the mean
//! level nor the datum: the station's table of datums does.

use serde::Deserialize;
use wrackline_tides::{Convention, LengthUnit};

use super::{Line, Said, Sheet};
use crate::port::lags::Lags;

#[derive(Deserialize)]
struct Layout {
    units: String,
    #[serde(rename = "HarmonicConstituents")]
    constituents: Vec<Entry>,
}

#[derive(Deserialize)]
struct Entry {
    name: String,
    amplitude: f64,
    #[serde(rename = "phase_GMT")]
    phase_gmt: f64,
}

pub(super) fn is_it(text: &str) -> bool {
    let value: Option<serde_json::Value> = serde_json::from_str(text).ok();
    value.is_some_and(|value| value.get("HarmonicConstituents").is_some())
}

pub(super) fn read(name: &str, text: &str) -> Result<Sheet, String> {
    let layout: Layout = serde_json::from_str(text).map_err(|error| format!("{name}: {error}"))?;
    let unit = match layout.units.to_lowercase().as_str() {
        "feet" | "ft" | "english" => LengthUnit::Foot,
        "meters" | "metres" | "m" | "metric" => LengthUnit::Metre,
        _ => {
            return Err(format!(
                "{name}: the unit \"{}\" is not known; it must be feet or meters",
                layout.units
            ));
        }
    };
    let lines = layout.constituents.into_iter().map(|entry| Line {
        name: entry.name,
        amplitude: entry.amplitude,
        lag_deg: entry.phase_gmt,
    });
    Ok(Sheet {
        name: None,
        lines: lines.collect(),
        lags: Said::Lags(Lags::Greenwich),
        unit: Some(unit),
        convention: Some(Convention::SchuremanAnnual),
        source: "constituents of a station, NOAA CO-OPS".to_owned(),
        levels: "the station's table of datums",
    })
}

#[cfg(test)]
mod tests {
    use wrackline_tides::Convention;

    use super::is_it;
    use crate::port::form::{CsvExtras, PortFile};

    fn read(name: &str, text: &str, extras: &CsvExtras) -> Result<PortFile, String> {
        PortFile::of_file(name.as_ref(), text, extras)
    }

    /// In the layout of the interface; the figures are those of station 8410140 as they are printed
    /// there, in metres (NOAA CO-OPS, public domain), and a line that is made up.
    const SAMPLE: &str = r#"{"units": "meters", "HarmonicConstituents": [
        {"number": 1, "name": "M2", "description": "", "amplitude": 2.648, "phase_GMT": 98.4,
         "phase_local": 0.0, "speed": 28.984104},
        {"number": 2, "name": "S2", "description": "", "amplitude": 0.415, "phase_GMT": 138.8,
         "phase_local": 0.0, "speed": 30.0},
        {"number": 3, "name": "LAM2", "amplitude": 0.0, "phase_GMT": 0.0},
        {"number": 4, "name": "QQ9X", "amplitude": 0.012, "phase_GMT": 10.0}], "self": null}"#;

    fn extras() -> CsvExtras {
        CsvExtras {
            mean_level_m: Some(2.9),
            datum: Some("MLLW".to_owned()),
            ..CsvExtras::default()
        }
    }

    #[test]
    fn a_station_is_read_and_what_is_not_known_is_asked_about() {
        let refused = read("s.json", SAMPLE, &extras()).unwrap_err();
        assert!(
            refused.contains("QQ9X") && refused.contains("0.012 m"),
            "{refused}"
        );
        assert!(refused.contains("--leave-out"), "{refused}");
        let mut told = extras();
        told.leave_out.push("QQ9X".to_owned());
        let file = read("s.json", SAMPLE, &told).unwrap();
        assert_eq!(file.port.harmonics().count(), 2);
        assert!(file.source.unwrap().ends_with("without QQ9X (0.012 m)"));
        assert_eq!(file.port.convention(), Convention::SchuremanAnnual);
        let mut renamed = extras();
        renamed.rename.push(("QQ9X".to_owned(), "N2".to_owned()));
        let feet = SAMPLE.replace("meters", "feet");
        let file = read("s.json", &feet, &renamed).unwrap();
        let (_, m2) = file.port.harmonics().next().unwrap();
        assert!((m2.amplitude_m - 2.648 * 0.3048).abs() < 1e-12);
        assert_eq!(file.port.harmonics().count(), 3);
    }

    #[test]
    fn what_it_does_not_hold_is_asked_for() {
        let none = CsvExtras::default();
        assert!(
            read("s.json", SAMPLE, &none)
                .unwrap_err()
                .contains("--mean-level")
        );
        let odd = SAMPLE.replace("meters", "fathoms");
        assert!(
            read("s.json", &odd, &extras())
                .unwrap_err()
                .contains("\"fathoms\"")
        );
        assert!(!is_it("[]") && !is_it("") && is_it(SAMPLE));
        assert!(read("s.json", "{\"HarmonicConstituents\": 3}", &extras()).is_err());
    }
}
