//! TICON, the constants of tide gauges by the records of GESLA (Piccioni and others 2019;
//! Hart-Davis, Dettmering and Seitz 2022 and 2025): a line a gauge and constituent.
//!
//! TICON-4 has a head, `lat, lon, con, amp, pha, ..., tide_gauge_name, ...`; TICON-3 has none, and
//! tabs: latitude, longitude, constituent, amplitude, lag and nine more. Amplitudes are
//! centimetres, lags Greenwich's from -180 to 180 (columns and units as public readers of both
//! take them). By which convention the factors were made it does not say.

use std::collections::BTreeSet;

use wrackline_tides::LengthUnit;

use super::{Line, Said, Sheet, number};
use crate::port::lags::Lags;
use crate::words::remedy;

/// How TICON spells lines that the lists of names spell otherwise.
const OWN: [(&str, &str); 4] = [
    ("MI2", "MU2"),
    ("NI2", "NU2"),
    ("LM2", "LAMBDA2"),
    ("MKS", "MKS2"),
];
/// Columns of TICON-3.
const BARE_COLUMNS: usize = 14;
/// So many gauges are named where one must be chosen.
const NAMED: usize = 5;

/// Where the columns are.
pub(super) struct Layout {
    between: u8,
    headed: bool,
    name: usize,
    amplitude: usize,
    lag: usize,
    /// The gauge's name, or its latitude and longitude.
    gauge: Vec<usize>,
}

impl Layout {
    pub(super) fn of(text: &str) -> Option<Self> {
        let first = text.lines().find(|line| !line.starts_with('#'))?;
        let between = [b'\t', b',', b';']
            .into_iter()
            .find(|it| first.contains(char::from(*it)))?;
        let cells: Vec<&str> = first.split(char::from(between)).map(str::trim).collect();
        let column = |head: &str| cells.iter().position(|cell| *cell == head);
        if let (Some(name), Some(amplitude), Some(lag), Some(gauge)) = (
            column("con"),
            column("amp"),
            column("pha"),
            column("tide_gauge_name"),
        ) {
            return Some(Self {
                between,
                headed: true,
                name,
                amplitude,
                lag,
                gauge: vec![gauge],
            });
        }
        let numbers = [0, 1, 3, 4]
            .iter()
            .all(|at| cells.get(*at).is_some_and(|it| number(it).is_some()));
        let bare = between == b'\t'
            && cells.len() == BARE_COLUMNS
            && numbers
            && number(cells[2]).is_none();
        bare.then(|| Self {
            between,
            headed: false,
            name: 2,
            amplitude: 3,
            lag: 4,
            gauge: vec![0, 1],
        })
    }
}

/// The lines of a gauge: of the only one, or of the one that is named.
pub(super) fn read(
    file: &str,
    text: &str,
    layout: &Layout,
    station: Option<&str>,
) -> Result<Sheet, String> {
    let mut rows = csv::ReaderBuilder::new()
        .delimiter(layout.between)
        .comment(Some(b'#'))
        .has_headers(layout.headed)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut gauges = BTreeSet::new();
    let mut lines = Vec::new();
    for row in rows.records() {
        let row = row.map_err(|error| format!("{file}: {error}"))?;
        let cell = |at: usize| row.get(at).unwrap_or_default();
        let gauge: Vec<&str> = layout.gauge.iter().map(|at| cell(*at)).collect();
        let gauge = gauge.join(" ");
        let wanted = station.is_none_or(|station| station == gauge);
        gauges.insert(gauge);
        if !wanted {
            continue;
        }
        let value = |at: usize, what: &str| {
            number(cell(at)).ok_or_else(|| {
                let line = row.position().map_or(0, csv::Position::line);
                let given = cell(at);
                format!("{file} line {line}: the {what} is \"{given}\": give a number")
            })
        };
        let own = OWN.iter().find(|(theirs, _)| *theirs == cell(layout.name));
        lines.push(Line {
            name: own.map_or(cell(layout.name), |(_, ours)| *ours).to_owned(),
            amplitude: value(layout.amplitude, "amplitude")?,
            lag_deg: value(layout.lag, "lag")?,
        });
    }
    let name = match (station, gauges.len()) {
        (Some(station), _) if gauges.contains(station) => Some(station.to_owned()),
        (Some(station), _) => {
            // Of thousands the one that is near, or else a few to show how they are written.
            let names = || gauges.iter().map(String::as_str);
            let near = remedy(station, names()).filter(|near| near.starts_with("did you mean"));
            let known = near.or_else(|| remedy(station, names().take(NAMED)));
            let known = known.unwrap_or_default();
            return Err(format!("{file}: there is no gauge \"{station}\"; {known}"));
        }
        (None, 0 | 1) => gauges.first().cloned(),
        (None, many) => {
            let some: Vec<&str> = gauges.iter().map(String::as_str).take(NAMED).collect();
            return Err(format!(
                "{file}: it holds {many} gauges: name one with --station, such as \"{}\"",
                some.join("\", \"")
            ));
        }
    };
    Ok(Sheet {
        name,
        lines,
        lags: Said::Lags(Lags::Greenwich),
        unit: Some(LengthUnit::Centimetre),
        convention: None,
        source: "TICON".to_owned(),
        levels: "the office that keeps the gauge",
    })
}

#[cfg(test)]
mod tests {
    use crate::port::convention;
    use crate::port::form::{CsvExtras, PortFile};

    /// In the layout of TICON-4; gauges and figures are invented.
    const HEADED: &str = "lat,lon,con,amp,pha,amp_std,pha_std,missing_obs,no_of_obs,years_of_obs,\
        start_date,end_date,gesla_source,tide_gauge_name,type,country,record_quality,\
        datum_information\n\
        61.5,-20.5,M2,174.5,-59.5,0.1,0.1,0,9000,2,01/01/2000,31/12/2001,X,haven,Coastal,X,ok,-\n\
        61.5,-20.5,MI2,4.5,10,0.1,0.1,0,9000,2,01/01/2000,31/12/2001,X,haven,Coastal,X,ok,none\n\
        62.5,-21.5,M2,100,20,0.1,0.1,0,9000,2,01/01/2000,31/12/2001,X,skerry,Coastal,X,ok,none\n";

    fn extras() -> CsvExtras {
        CsvExtras {
            mean_level_m: Some(2.0),
            datum: Some("a datum".to_owned()),
            convention: convention("iho-instant"),
            station: Some("haven".to_owned()),
            ..CsvExtras::default()
        }
    }

    fn read(text: &str, extras: &CsvExtras) -> Result<PortFile, String> {
        PortFile::of_file("gauges.csv".as_ref(), text, extras)
    }

    #[test]
    fn one_gauge_is_read_in_centimetres() {
        let file = read(HEADED, &extras()).unwrap();
        assert_eq!(file.name, "haven");
        let found: Vec<_> = file.port.harmonics().map(|(_, it)| it.clone()).collect();
        assert_eq!(found.len(), 2);
        assert!((found[0].amplitude_m - 1.745).abs() < 1e-12);
        assert!((found[0].phase_lag_deg - 300.5).abs() < 1e-12);
        assert_eq!(found[1].name, "MU2");
    }

    /// The same gauge without a head, as TICON-3 has it.
    #[test]
    fn a_gauge_without_a_head_is_named_by_its_place() {
        let line = "61.5\t-20.5\tM2\t174.5\t-59.5\t0.1\t0.1\t0\t9000\t2\ta\tb\tX\tCoastal\n";
        let mut told = extras();
        told.station = None;
        let file = PortFile::of_file("gauges.txt".as_ref(), line, &told).unwrap();
        assert_eq!(file.name, "61.5 -20.5");
        let (_, m2) = file.port.harmonics().next().unwrap();
        assert!((m2.amplitude_m - 1.745).abs() < 1e-12);
    }

    #[test]
    fn neither_a_gauge_nor_a_convention_is_guessed() {
        let mut told = extras();
        told.station = None;
        let refused = read(HEADED, &told).unwrap_err();
        assert!(
            refused.contains("2 gauges") && refused.contains("skerry"),
            "{refused}"
        );
        told.station = Some("havn".to_owned());
        assert!(
            read(HEADED, &told)
                .unwrap_err()
                .contains("did you mean haven?")
        );
        told = extras();
        told.convention = None;
        assert!(read(HEADED, &told).unwrap_err().contains("--convention"));
        let odd = HEADED.replace(",MI2,", ",MSQ,");
        let refused = read(&odd, &extras()).unwrap_err();
        assert!(
            refused.contains("MSQ") && refused.contains("0.045 m"),
            "{refused}"
        );
        let bad = HEADED.replace("174.5", "many");
        assert!(read(&bad, &extras()).unwrap_err().contains("line 2"));
    }
}
