//! What a table of constants says of itself in lines like `# mean_level_m: 4.4`.
//!
//! Keys: `name`, `datum`, `mean_level_m`, `convention`, `record_days`, `longitude_deg`, `source`,
//! `lags`, `amplitudes`, and as often as needed `rename: THEIRS=OURS` and `leave_out: NAME`.

use wrackline_tides::{Convention, LengthUnit};

use super::convention::{convention, convention_words};
use super::form::CsvExtras;
use super::lags::{LAG_WORDS, Lags, unit};

/// What the lines say.
#[derive(Default)]
pub(super) struct Told {
    pub(super) name: Option<String>,
    pub(super) source: Option<String>,
    pub(super) record_days: Option<f64>,
    datum: Option<String>,
    convention: Option<Convention>,
    mean_level_m: Option<f64>,
    longitude_deg: Option<f64>,
    lags: Option<Lags>,
    amplitudes: Option<LengthUnit>,
    rename: Vec<(String, String)>,
    leave_out: Vec<String>,
}

impl Told {
    pub(super) fn of(name: &str, text: &str) -> Result<Self, String> {
        let mut told = Self::default();
        for (index, line) in text.lines().enumerate() {
            let comment = line.trim().strip_prefix('#');
            if let Some((key, value)) = comment.and_then(|comment| comment.split_once(':')) {
                told.take(key.trim(), value.trim())
                    .map_err(|what| format!("{name} line {}: {}: {what}", index + 1, key.trim()))?;
            }
        }
        Ok(told)
    }

    fn take(&mut self, key: &str, value: &str) -> Result<(), String> {
        let number = || {
            let number = value.parse::<f64>().ok().filter(|it| it.is_finite());
            number.ok_or_else(|| format!("\"{value}\" is no number"))
        };
        let unknown = |words: &str| format!("\"{value}\" is not known here; give {words}");
        let text = || Some(value.to_owned());
        match key {
            "name" => self.name = text(),
            "datum" => self.datum = text(),
            "source" => self.source = text(),
            "mean_level_m" => self.mean_level_m = Some(number()?),
            "record_days" => self.record_days = Some(number()?),
            "longitude_deg" => self.longitude_deg = Some(number()?),
            "convention" => {
                let found = convention(value).ok_or_else(|| unknown(&convention_words()))?;
                self.convention = Some(found);
            }
            "lags" => self.lags = Some(Lags::of(value).ok_or_else(|| unknown(LAG_WORDS))?),
            "amplitudes" => {
                self.amplitudes = Some(unit(value).ok_or_else(|| unknown("m, cm or ft"))?);
            }
            "rename" => {
                let pair = value.split_once('=');
                let (theirs, ours) = pair.ok_or("give two names, such as SA_X=SA")?;
                self.rename
                    .push((theirs.trim().to_owned(), ours.trim().to_owned()));
            }
            "leave_out" => self.leave_out.push(value.to_owned()),
            // Any other comment.
            _ => {}
        }
        Ok(())
    }

    /// The options, which go before what the file says, with what it says beside them.
    pub(super) fn onto(&self, extras: &CsvExtras) -> CsvExtras {
        CsvExtras {
            mean_level_m: extras.mean_level_m.or(self.mean_level_m),
            datum: extras.datum.clone().or_else(|| self.datum.clone()),
            convention: extras.convention.or(self.convention),
            longitude_deg: extras.longitude_deg.or(self.longitude_deg),
            lags: extras.lags.or(self.lags),
            amplitudes: extras.amplitudes.or(self.amplitudes),
            station: extras.station.clone(),
            rename: [&extras.rename[..], &self.rename].concat(),
            leave_out: [&extras.leave_out[..], &self.leave_out].concat(),
        }
    }
}
