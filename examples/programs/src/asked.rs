//! What the programs that plan outings are all asked: from which scenario, for what, and where the
//! answer goes. A program that means something narrower says so in its own words over the help.

use std::path::{Path, PathBuf};

use clap::Args;
use jiff::Timestamp;
use wrackline_plan::experience::Experience;
use wrackline_plan::experience::sightings::{Sightings, YearRound};
use wrackline_plan::scenario::Scenario;
use wrackline_plan::weather;

use crate::cli::{self, Failure};
use crate::files;
use crate::words::Phase;

/// What it is planned from.
#[derive(Args, Debug)]
pub struct Source {
    /// Scenario file (TOML); the invented demo when left out
    scenario: Option<PathBuf>,
    /// Field log whose visits keep distances and rest places; see `fieldlog`
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Time zone of dates and times (IANA name); the scenario's own when left out
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
}

impl Source {
    /// The scenario, in the zone that was asked for.
    pub fn scenario(&self) -> Result<Scenario, Failure> {
        cli::scenario_in(self.scenario.as_deref(), self.zone.as_deref())
    }

    /// Whether the scenario is the invented one.
    pub fn is_demo(&self) -> bool {
        self.scenario.is_none()
    }

    /// Says that it is, so that nobody takes it for a place of this world.
    pub fn tell_of_demo(&self, program: &str) {
        cli::tell_of_demo(program, self.scenario.as_deref());
    }

    /// What the log tells, where there is one.
    pub fn experience(&self, scenario: &Scenario) -> Result<Option<Experience>, Failure> {
        cli::experience(scenario, self.log.as_deref())
    }

    /// The same with what others saw.
    pub(crate) fn experience_with(
        &self,
        scenario: &Scenario,
        seen: &Seen,
    ) -> Result<Option<Experience>, Failure> {
        cli::experience_with(scenario, self.log.as_deref(), &seen.sightings(scenario)?)
    }
}

/// What others saw through the year.
#[derive(Args, Debug)]
pub(crate) struct Seen {
    /// Year of an animal at a place, as `presence --format json` writes it; may be repeated. Weighs
    /// the chances by the time of the year, and nothing else
    #[arg(long, value_name = "FILE")]
    presence: Vec<PathBuf>,
    /// How many visits of your own each of these years is worth; 0 uses none
    #[arg(long, value_name = "N", default_value_t = 0.0, requires = "presence")]
    presence_weight: f64,
}

impl Seen {
    fn sightings(&self, scenario: &Scenario) -> Result<Sightings, Failure> {
        let mut years: Vec<YearRound> = Vec::new();
        for path in &self.presence {
            let wrong = |why: String| Failure::input(format!("{}: {why}", path.display()));
            let year = YearRound::from_json(&cli::text(path)?).map_err(wrong)?;
            let known = scenario.place_asked(&year.place).map(drop);
            let known = known.and_then(|()| scenario.subject_asked(&year.subject).map(drop));
            known.map_err(|unknown| wrong(unknown.to_string()))?;
            let same =
                |other: &YearRound| other.place == year.place && other.subject == year.subject;
            if years.iter().any(same) {
                let (subject, place) = (&year.subject, &year.place);
                return Err(wrong(format!(
                    "is a second year of {subject} at {place}; keep one"
                )));
            }
            years.push(year);
        }
        if !years.is_empty() && self.presence_weight == 0.0 {
            eprintln!("warning: --presence changes nothing without --presence-weight N");
        }
        let wrong = |why: String| Failure::input(format!("--presence-weight: {why}"));
        Sightings::new(years, self.presence_weight).map_err(wrong)
    }
}

/// In which weather.
#[derive(Args, Debug)]
pub struct Week {
    /// Forecast of the week (CSV with units in the heads: at, issued, pressure_hpa, wind_m_per_s,
    /// wind_from_deg, cloud_percent, air_c): it widens allowances, adds frozen days and marks
    /// windows by the cloud; with --log the water answers to its wind as well
    #[arg(long, value_name = "FILE")]
    weather: Option<PathBuf>,
}

impl Week {
    /// The scenario of a source, in the weather of the forecast where one was brought.
    pub fn scenario(&self, source: &Source) -> Result<Scenario, Failure> {
        let scenario = source.scenario()?;
        let Some(path) = &self.weather else {
            return Ok(scenario);
        };
        let text = cli::text(path)?;
        let name = path.display().to_string();
        let forecast = weather::read(&name, &text, scenario.zone())?;
        let taught = cli::taught(source.log.as_deref())?;
        Ok(scenario.in_weather(forecast, taught, Timestamp::now()))
    }
}

/// What is looked for.
#[derive(Args, Debug)]
pub struct Wish {
    /// One subject only, by its id, or "all"; the project's own subject when left out
    #[arg(long, value_name = "ID")]
    pub(crate) subject: Option<String>,
    /// Kind of light, by its name in the scenario; the first one there when left out
    #[arg(long, value_name = "NAME")]
    pub(crate) light: Option<String>,
    /// On which part of the tide
    #[arg(long, value_enum, default_value_t)]
    pub(crate) tide: Phase,
}

/// Where the answer goes.
#[derive(Args, Debug)]
pub struct Destination {
    /// File to write, replaced whole; standard output when left out
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
}

impl Destination {
    /// The file, for programs that tell the format by its name.
    pub fn file(&self) -> Option<&Path> {
        self.output.as_deref()
    }

    /// Brings it there.
    pub fn deliver(&self, content: Vec<u8>, out: &mut Vec<u8>) -> Result<(), Failure> {
        match &self.output {
            Some(path) => files::replace_file(path, &content)?,
            None => *out = content,
        }
        Ok(())
    }
}
