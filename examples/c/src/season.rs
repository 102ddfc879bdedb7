//! The windows of a season, as the program `season` writes them for other programs.

use std::ffi::c_char;
use std::path::Path;

use jiff::civil::Date;
use wrackline_plan::season::{self, Request};
use wrackline_plan::{scenario, windows};
use wrackline_show::report;

use crate::choices::{Phase, chosen};
use crate::refusal::Refusal;

/// A scenario, read and checked.
#[derive(Debug)]
pub struct Scenario(scenario::Scenario);

/// The windows of a season, written as JSON.
#[derive(Debug)]
pub struct Season {
    json: String,
}

/// What a season is asked for. What is null is left to the scenario.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct SeasonRequest {
    /// First day in the scenario's zone, as YYYY-MM-DD.
    pub from: *const c_char,
    /// One place only, by its id; null for all.
    pub place: *const c_char,
    /// One subject only, by its id, or "all"; null for the project's own.
    pub subject: *const c_char,
    /// The light, by its name; null for the scenario's first.
    pub light: *const c_char,
    /// The most windows to write, best first, at least 1.
    pub count: usize,
    /// Number of days, 1 to 3660.
    pub days: u32,
    /// A wrackline_phase.
    pub phase: i32,
}

/// The same with texts that have been read.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asked<'a> {
    pub(crate) from: &'a str,
    pub(crate) place: Option<&'a str>,
    pub(crate) subject: Option<&'a str>,
    pub(crate) light: Option<&'a str>,
    pub(crate) count: usize,
    pub(crate) days: u32,
    pub(crate) phase: i32,
}

impl Scenario {
    pub(crate) fn parse(name: &str, text: &str) -> Result<Self, Refusal> {
        let scenario = scenario::Scenario::parse(name, text);
        scenario.map(Self).map_err(Refusal::value)
    }

    pub(crate) fn open(path: &str) -> Result<Self, Refusal> {
        let scenario = scenario::Scenario::open(Path::new(path));
        scenario.map(Self).map_err(Refusal::value)
    }

    pub(crate) fn season(&self, asked: Asked<'_>) -> Result<Season, Refusal> {
        let from: Date = asked.from.parse().map_err(|_| {
            Refusal::Value(format!(
                "from: \"{}\" is no day: give it as YYYY-MM-DD",
                asked.from
            ))
        })?;
        if asked.count == 0 {
            return Err(Refusal::value(
                "count: no window is asked for: give 1 or more",
            ));
        }
        let request = Request {
            place: asked.place,
            subject: asked.subject,
            light: asked.light,
            phase: match chosen(asked.phase)? {
                Phase::Both => windows::Phase::Both,
                Phase::Flood => windows::Phase::Flood,
                Phase::Ebb => windows::Phase::Ebb,
            },
            keep: asked.count,
            ..Request::new(from, asked.days)
        };
        let season = season::season(&self.0, request).map_err(Refusal::value)?;
        let mut json = Vec::new();
        let format = report::Format::Json;
        report::write(&season, format, report::Options::default(), &mut json)
            .map_err(Refusal::value)?;
        let json = String::from_utf8(json).map_err(Refusal::value)?;
        Ok(Season { json })
    }
}

impl Season {
    pub(crate) fn json(&self) -> &str {
        &self.json
    }
}
