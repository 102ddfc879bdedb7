//! What a season is asked for.

use jiff::civil::Date;

use crate::experience::Experience;
use crate::windows::Phase;

/// What a season is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Request<'r> {
    /// First civil day in the scenario's zone.
    pub from: Date,
    /// Number of days, at least 1.
    pub days: u32,
    /// One place only, by its id.
    pub place: Option<&'r str>,
    /// One subject only, by its id; [`EVERY_SUBJECT`] for all, and the project's own (or all) when
    /// left out.
    pub subject: Option<&'r str>,
    /// The light, by its name; the scenario's first when left out.
    pub light: Option<&'r str>,
    /// On which part of the tide.
    pub phase: Phase,
    /// The most windows to keep, best first. Memory grows with this and the number of seats, not
    /// with the days.
    pub keep: usize,
    /// Keep every refused tide with its reasons, for
    /// [`SeatReport::refused`](super::SeatReport::refused).
    pub keep_refused: bool,
    /// What past visits tell; `None` where nobody has kept a log.
    pub experience: Option<&'r Experience>,
}

impl Request<'_> {
    /// All of it, from a day for a number of days.
    pub fn new(from: Date, days: u32) -> Self {
        Self {
            from,
            days,
            place: None,
            subject: None,
            light: None,
            phase: Phase::Both,
            keep: usize::MAX,
            keep_refused: true,
            experience: None,
        }
    }
}

/// Asks for all subjects, not only the project's.
pub const EVERY_SUBJECT: &str = "all";
