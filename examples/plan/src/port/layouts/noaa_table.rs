//! The harmonic constituents of a station as NOAA CO-OPS prints them: lines of a number, name,
//! amplitude, phase, speed and description, and above them that "amplitudes are in feet" and that
//! phases are "referenced to" local time or GMT (as on the page of station 8727328). The order is
//! also that of the older lists (National Ocean Service, Harmonic Constant Data Format).

use wrackline_tides::{Convention, LengthUnit};

use super::{Line, Said, Sheet, number};
use crate::port::lags::Lags;

/// A line of the table.
fn row(line: &str) -> Option<Line> {
    let mut words = line.split_whitespace();
    let _number: u32 = words.next()?.parse().ok()?;
    let name = words.next().filter(|name| number(name).is_none())?;
    let (amplitude, lag_deg) = (number(words.next()?)?, number(words.next()?)?);
    let _speed = number(words.next()?)?;
    Some(Line {
        name: name.to_owned(),
        amplitude,
        lag_deg,
    })
}

pub(super) fn is_it(text: &str) -> bool {
    text.lines().take(60).any(|line| row(line).is_some())
}

pub(super) fn read(name: &str, text: &str) -> Result<Sheet, String> {
    let mut above = String::new();
    let mut lines = Vec::new();
    for (index, line) in text.lines().enumerate() {
        match row(line) {
            Some(row) => lines.push(row),
            None if lines.is_empty() => above.extend([&line.to_lowercase(), " "]),
            None if line.trim().is_empty() => {}
            None => {
                return Err(format!(
                    "{name} line {}: is no line of the table: a number, name, amplitude, phase and \
                     speed; mend it, or delete what stands below the table",
                    index + 1
                ));
            }
        }
    }
    let says = |words: &str| above.contains(words);
    Ok(Sheet {
        name: None,
        lines,
        lags: if says("referenced to gmt") {
            Said::Lags(Lags::Greenwich)
        } else if says("referenced to local") {
            Said::SomeZone
        } else {
            Said::Nothing
        },
        unit: if says("amplitudes are in feet") {
            Some(LengthUnit::Foot)
        } else if says("amplitudes are in meters") {
            Some(LengthUnit::Metre)
        } else {
            None
        },
        convention: Some(Convention::SchuremanAnnual),
        source: "printed constituents of a station, NOAA".to_owned(),
        levels: "the station's table of datums",
    })
}

#[cfg(test)]
mod tests {
    use crate::port::form::{CsvExtras, PortFile};
    use crate::port::lags::Lags;

    /// The first lines of the table of station 8727328, Ozello North (NOAA CO-OPS, public domain).
    const SAMPLE: &str = "Harmonic Constituents for 8727328\n\
        Amplitudes are in feet. Phases are in degrees, referenced to Local. Z0 (MSL): 0 feet\n\
        Constituent #\tName\tAmplitude\tPhase\tSpeed\tDescription\n\
        1\tM2\t0.59\t103.5\t28.984104\tPrincipal lunar semidiurnal constituent\n\
        2\tS2\t0.18\t149.8\t30.0\tPrincipal solar semidiurnal constituent\n\
        8\tMK3\t0.0\t0.0\t44.025173\tShallow water terdiurnal\n";

    fn read(text: &str, extras: &CsvExtras) -> Result<PortFile, String> {
        PortFile::of_file("station.txt".as_ref(), text, extras)
    }

    fn extras() -> CsvExtras {
        CsvExtras {
            mean_level_m: Some(0.5),
            datum: Some("MLLW".to_owned()),
            lags: Some(Lags::Zone(-5.0)),
            ..CsvExtras::default()
        }
    }

    /// By hand: 0.59 ft are 0.179832 m; 103.5 + 5 · 28.9841042 = 248.4205.
    #[test]
    fn the_table_is_read_with_its_unit_and_zone() {
        let file = read(SAMPLE, &extras()).unwrap();
        let (_, m2) = file.port.harmonics().next().unwrap();
        assert!((m2.amplitude_m - 0.179_832).abs() < 1e-9);
        assert!((m2.phase_lag_deg - 248.4205).abs() < 1e-4);
        assert_eq!(file.port.harmonics().count(), 2);
    }

    #[test]
    fn what_it_does_not_say_is_asked() {
        let mut told = extras();
        for lags in [None, Some(Lags::Greenwich)] {
            told.lags = lags;
            assert!(read(SAMPLE, &told).unwrap_err().contains("--lags utc-8"));
        }
        let gmt = SAMPLE.replace("to Local", "to GMT");
        assert!(read(&gmt, &told).is_ok());
        assert!(read(&gmt, &extras()).unwrap_err().contains("leave it out"));
        let bare = SAMPLE.replace("Amplitudes are in feet.", "");
        assert!(read(&bare, &extras()).unwrap_err().contains("--amplitudes"));
        let more = format!("{SAMPLE}Revised: 2005\n");
        assert!(read(&more, &extras()).unwrap_err().contains("line 7"));
    }
}
