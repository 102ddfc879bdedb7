//! Ports from a CSV file of harmonic constants, one constituent a line.

use std::collections::HashSet;

use wrackline_tides::{Convention, Harmonic, Port, PortSpec};

use super::record::{Reader, Record};
use crate::spot::NamedPort;
use wrackline_plan::port::{self, convention_words};

pub(super) const COLUMNS: [&str; 5] = [
    "port",
    "convention",
    "constituent",
    "amplitude_m",
    "phase_lag_deg",
];

/// The mean level is the constituent that does not turn.
const MEAN_LEVEL: &str = "Z0";

pub(super) fn gather(reader: &mut Reader, records: &[Record]) -> Vec<NamedPort> {
    let mut ports: Vec<Draft> = Vec::new();
    let mut known = HashSet::new();
    for record in records {
        let name = reader.text(record, "port");
        let convention = convention(reader, record);
        let constituent = reader.text(record, "constituent");
        let at = ports.iter().rposition(|port| port.name == name);
        let draft = match at {
            Some(at) => &mut ports[at],
            None => ports.push_mut(Draft {
                name,
                line: record.line,
                convention,
                mean_level_m: None,
                harmonics: Vec::new(),
            }),
        };
        if draft.convention != convention {
            let what = format!("differs from line {} of the same port", draft.line);
            reader.report(
                record.line,
                "convention",
                what,
                "give one convention a port",
            );
        }
        if constituent == MEAN_LEVEL {
            let level = reader.needed_number(record, "amplitude_m", -30.0..=30.0);
            if draft.mean_level_m.replace(level).is_some() {
                let what = format!("{MEAN_LEVEL} stands twice");
                reader.report(record.line, "constituent", what, "keep one");
            }
            continue;
        }
        let harmonic = Harmonic {
            name: constituent,
            amplitude_m: reader.needed_number(record, "amplitude_m", 0.0..=20.0),
            phase_lag_deg: reader.needed_number(record, "phase_lag_deg", -360.0..=360.0),
        };
        if known.contains(&harmonic.name) {
            draft.harmonics.push(harmonic);
            continue;
        }
        // By itself, so that a name that is not known is reported where it stands; amplitude and
        // lag are within what a port can have.
        let alone = Port::new(PortSpec {
            mean_level_m: 0.0,
            harmonics: std::slice::from_ref(&harmonic),
            convention: Convention::SchuremanInstant,
        });
        match alone {
            Ok(_) => {
                known.insert(harmonic.name.clone());
                draft.harmonics.push(harmonic);
            }
            Err(error) => {
                reader.report(record.line, "constituent", error, "mend the constituent");
            }
        }
    }
    if records.is_empty() {
        reader.report(1, "", "holds no port", "give one constituent a line");
    }
    ports
        .into_iter()
        .filter_map(|draft| draft.build(reader))
        .collect()
}

struct Draft {
    name: String,
    line: usize,
    convention: Option<Convention>,
    mean_level_m: Option<f64>,
    harmonics: Vec<Harmonic>,
}

impl Draft {
    fn build(self, reader: &mut Reader) -> Option<NamedPort> {
        let Some(mean_level_m) = self.mean_level_m else {
            reader.report(
                self.line,
                "constituent",
                format!("port \"{}\" has no mean level", self.name),
                format!(
                    "add a line with constituent {MEAN_LEVEL} and the level above the datum \
                    as amplitude_m"
                ),
            );
            return None;
        };
        let port = Port::new(PortSpec {
            mean_level_m,
            harmonics: &self.harmonics,
            convention: self.convention?,
        });
        match port {
            Ok(port) => Some(NamedPort {
                name: self.name,
                port,
            }),
            Err(error) => {
                reader.report(self.line, "port", error, "mend the port");
                None
            }
        }
    }
}

fn convention(reader: &mut Reader, record: &Record) -> Option<Convention> {
    let word = reader.text(record, "convention");
    let found = port::convention(&word);
    if found.is_none() && !word.is_empty() {
        let what = format!("\"{word}\" is not known");
        reader.report(
            record.line,
            "convention",
            what,
            format!("give one of {}", convention_words()),
        );
    }
    found
}
