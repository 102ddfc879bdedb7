//! A CSV of constants by heads as the general programs of analysis, and those who save their
//! results, use them: a name, an amplitude (`A`), a lag (`g`, `phase`), and columns beside them
//! that tell of errors, speeds and the like (heads `A`, `g`, `name` as UTide's results name them;
//! the others from memory). What the heads do not say of units and lags must be told.

use wrackline_tides::LengthUnit;

use super::{Line, Said, Sheet, number};
use crate::port::lags::Lags;

/// Heads of names, in small letters.
const NAMES: [&str; 5] = ["name", "constituent", "constituents", "const", "con"];
/// Heads of amplitudes, in small letters, before their unit.
const AMPLITUDES: [&str; 3] = ["amplitude", "amp", "a"];
/// Heads of lags, before their unit. A small g may be for the time of any zone.
const LAGS: [&str; 5] = ["phase", "pha", "ph", "lag", "g"];
/// Heads of lags that say that they are Greenwich's.
const GREENWICH: [&str; 4] = ["G", "phase_GMT", "phase_UTC", "phase_greenwich"];
/// Endings of heads, with the unit that they stand for.
const UNITS: [(&str, LengthUnit); 7] = [
    ("m", LengthUnit::Metre),
    ("metres", LengthUnit::Metre),
    ("meters", LengthUnit::Metre),
    ("cm", LengthUnit::Centimetre),
    ("ft", LengthUnit::Foot),
    ("feet", LengthUnit::Foot),
    ("foot", LengthUnit::Foot),
];

/// Where the columns are, and what their heads say.
pub(super) struct Layout {
    name: usize,
    amplitude: usize,
    unit: Option<LengthUnit>,
    lag: usize,
    greenwich: bool,
}

/// A head in two: `Amplitude (cm)`, `amp_m` and `phase[deg]` name a unit.
fn parted(head: &str) -> (&str, Option<&str>) {
    let bare = head.trim_end_matches([')', ']']);
    match bare.rsplit_once(['_', '(', '[', ' ']) {
        Some((word, unit)) => (word.trim_end_matches([' ', '(', '[']), Some(unit)),
        None => (bare, None),
    }
}

fn amplitude(head: &str) -> Option<Option<LengthUnit>> {
    let small = head.to_lowercase();
    if AMPLITUDES.contains(&small.as_str()) {
        return Some(None);
    }
    let (word, unit) = parted(&small);
    let unit = UNITS.iter().find(|(known, _)| Some(*known) == unit)?;
    AMPLITUDES.contains(&word).then_some(Some(unit.1))
}

/// Whether a head is that of lags, and if so, whether it says that they are Greenwich's.
fn lag(head: &str) -> Option<bool> {
    let (word, unit) = match parted(head) {
        (word, Some("deg" | "degrees" | "degree" | "°")) => (word, true),
        _ => (head, false),
    };
    let greenwich = GREENWICH.contains(&word);
    let known = greenwich || LAGS.contains(&word.to_lowercase().as_str());
    known.then_some(greenwich || (unit && word == "G"))
}

impl Layout {
    /// The layout of a CSV by its heads; `None` where they are not of this kind, and where they are
    /// those that the crate's own tables have. An error begins behind the name of the file.
    pub(super) fn of(text: &str) -> Option<Result<Self, String>> {
        let mut reader = reader(text);
        let heads = reader.headers().ok()?;
        let all = |found: &dyn Fn(&str) -> bool| -> Vec<usize> {
            let heads = heads.iter().enumerate();
            heads
                .filter(|(_, head)| found(head))
                .map(|(at, _)| at)
                .collect()
        };
        let names = all(&|head| NAMES.contains(&head.to_lowercase().as_str()));
        let amplitudes = all(&|head| amplitude(head).is_some());
        let lags = all(&|head| lag(head).is_some());
        let radians = all(&|head| {
            let (word, unit) = parted(head);
            unit.is_some_and(|unit| unit.starts_with("rad")) && lag(word).is_some()
        });
        if let Some(at) = radians.first() {
            let head = heads.get(*at).unwrap_or_default();
            return Some(Err(format!(
                " line 1: `{head}` holds radians: give the lags in degrees"
            )));
        }
        // `amplitude_m` beside `lag_g_deg` is a table of the crate's own.
        if names.is_empty() || amplitudes.is_empty() || lags.is_empty() {
            return None;
        }
        for (found, what) in [
            (&names, "names"),
            (&amplitudes, "amplitudes"),
            (&lags, "lags"),
        ] {
            if found.len() > 1 {
                let heads: Vec<&str> = found.iter().filter_map(|at| heads.get(*at)).collect();
                return Some(Err(format!(
                    " line 1: there are two columns of {what}, `{}`: leave one",
                    heads.join("`, `")
                )));
            }
        }
        let head = |at: usize| heads.get(at).unwrap_or_default();
        Some(Ok(Self {
            name: names[0],
            amplitude: amplitudes[0],
            unit: amplitude(head(amplitudes[0])).flatten(),
            lag: lags[0],
            greenwich: lag(head(lags[0])) == Some(true),
        }))
    }
}

fn reader(text: &str) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

/// The lines. An error begins behind the name of the file.
pub(super) fn read(text: &str, layout: &Layout) -> Result<Sheet, String> {
    let mut lines = Vec::new();
    for row in reader(text).records() {
        let row = row.map_err(|error| format!(": {error}"))?;
        let cell = |at: usize| row.get(at).unwrap_or_default();
        let value = |at: usize, what: &str| {
            number(cell(at)).ok_or_else(|| {
                let line = row.position().map_or(0, csv::Position::line);
                format!(
                    " line {line}: the {what} is \"{}\": give a number",
                    cell(at)
                )
            })
        };
        lines.push(Line {
            name: cell(layout.name).to_owned(),
            amplitude: value(layout.amplitude, "amplitude")?,
            lag_deg: value(layout.lag, "lag")?,
        });
    }
    Ok(Sheet {
        name: None,
        lines,
        lags: if layout.greenwich {
            Said::Lags(Lags::Greenwich)
        } else {
            Said::Nothing
        },
        unit: layout.unit,
        convention: None,
        source: "a table of constants".to_owned(),
        levels: "whoever made the table",
    })
}

#[cfg(test)]
mod tests {
    use crate::port::convention;
    use crate::port::form::{CsvExtras, PortFile};
    use crate::port::lags::{Lags, unit};

    /// Figures that are made up, under heads of such tables.
    const SAMPLE: &str = ",name,A,A_ci,g,g_ci,SNR\n0,M2,2.5,0.01,171,0.3,900\n\
        1,S2,0.86,0.01,219,1,90\n\
        2,ZZ9X,0.013,0.01,1,50,1\n";

    fn extras() -> CsvExtras {
        CsvExtras {
            mean_level_m: Some(4.0),
            datum: Some("a datum".to_owned()),
            convention: convention("foreman-instant@61.5"),
            lags: Some(Lags::Zone(1.0)),
            amplitudes: unit("ft"),
            leave_out: vec!["ZZ9X".to_owned()],
            ..CsvExtras::default()
        }
    }

    fn read(text: &str, extras: &CsvExtras) -> Result<PortFile, String> {
        PortFile::of_file("found.csv".as_ref(), text, extras)
    }

    /// By hand: 2.5 ft are 0.762 m; 171 - 28.9841042 = 142.0159.
    #[test]
    fn heads_are_understood_and_the_rest_is_told() {
        let file = read(SAMPLE, &extras()).unwrap();
        let (_, m2) = file.port.harmonics().next().unwrap();
        assert!((m2.amplitude_m - 0.762).abs() < 1e-12);
        assert!((m2.phase_lag_deg - 142.0159).abs() < 1e-4);
        assert!(file.source.unwrap().ends_with("without ZZ9X (0.004 m)"));
        for heads in ["constituent,Amplitude_m,phase_GMT", "Name,amplitude (m),G"] {
            let mut told = extras();
            (told.lags, told.amplitudes) = (None, None);
            let file = read(&format!("{heads}\nm2,2.5,171\n"), &told).unwrap();
            let (_, m2) = file.port.harmonics().next().unwrap();
            assert!((m2.amplitude_m - 2.5).abs() < 1e-12, "{heads}");
            assert!((m2.phase_lag_deg - 171.0).abs() < 1e-12, "{heads}");
        }
    }

    /// The file may say of itself what its heads do not.
    #[test]
    fn lines_before_the_heads_tell() {
        let above = "# name: Haven\n# datum: chart datum\n# mean_level_m: 4\n# amplitudes: ft\n\
            # convention: foreman-instant@61.5\n# lags: utc+1\n# rename: ZZ9X=N2\n";
        let file = read(&format!("{above}{SAMPLE}"), &CsvExtras::default()).unwrap();
        assert_eq!(
            (file.name.as_str(), file.port.harmonics().count()),
            ("Haven", 3)
        );
        let mut asked = extras();
        (asked.leave_out, asked.rename) = (Vec::new(), vec![("ZZ9X".to_owned(), "N2".to_owned())]);
        assert_eq!(
            file.port,
            read(SAMPLE, &asked).map(|asked| asked.port).unwrap()
        );
        let odd = above.replace("utc+1", "local");
        let refused = read(&format!("{odd}{SAMPLE}"), &extras()).unwrap_err();
        assert!(refused.contains("line 6: lags: \"local\""), "{refused}");
    }

    /// κ counts from the meridian of the place: 171 - 2 · 10 = 151.
    #[test]
    fn a_lag_of_the_own_meridian_needs_the_longitude() {
        let mut told = extras();
        told.lags = Some(Lags::Local);
        assert!(read(SAMPLE, &told).unwrap_err().contains("--longitude"));
        told.longitude_deg = Some(10.0);
        let file = read(SAMPLE, &told).unwrap();
        let (_, m2) = file.port.harmonics().next().unwrap();
        let kappa = m2.phase_lag_deg - 171.0;
        assert!((kappa.abs() - 20.0).abs() < 1e-9, "{kappa}");
    }

    #[test]
    fn nothing_is_guessed() {
        for (forget, option) in [
            (
                (|it: &mut CsvExtras| it.lags = None) as fn(&mut CsvExtras),
                "--lags",
            ),
            (|it| it.amplitudes = None, "--amplitudes"),
            (|it| it.convention = None, "--convention"),
            (|it| it.leave_out.clear(), "ZZ9X"),
        ] {
            let mut told = extras();
            forget(&mut told);
            let refused = read(SAMPLE, &told).unwrap_err();
            assert!(refused.contains(option), "{refused}");
        }
        let two = SAMPLE.replace("A_ci", "amp_m");
        assert!(read(&two, &extras()).unwrap_err().contains("`A`, `amp_m`"));
        let bad = SAMPLE.replace("0.86", "much");
        assert!(
            read(&bad, &extras())
                .unwrap_err()
                .contains("found.csv line 3")
        );
        let radians = SAMPLE.replace(",g,", ",phase_rad,");
        assert!(read(&radians, &extras()).unwrap_err().contains("radians"));
    }
}
