//! What the programs that plan outings are all asked: from which scenario, for what, and where the
//! answer goes. A program that means something narrower says so in its own words over the help.

use std::path::{Path, PathBuf};

use clap::Args;
use jiff::Timestamp;
use wrackline_plan::experience::Experience;
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
