//! What a log is asked to teach.

use jiff::civil::Date;

use super::ageing::Fading;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'q> {
    /// One place only, by its id.
    pub place: Option<&'q str>,
    /// One subject only, by its id.
    pub subject: Option<&'q str>,
    /// How much older seasons count; the newest of the log counts in full.
    pub fading: Fading,
    /// The day from which coming tides are looked for.
    pub from: Date,
    /// Over how many days.
    pub days: u32,
}
