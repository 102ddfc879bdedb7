//! Civil days as a span, and the water and the sky over it.

use jiff::Timestamp;
use jiff::civil::Date;

use super::error::{Error, MOST_DAYS};
use crate::scenario::Scenario;
use crate::time::Stretch;
use crate::windows::Almanac;

/// The last of a number of civil days, and the span of them all.
pub(crate) fn days(scenario: &Scenario, from: Date, days: u32) -> Result<(Date, Stretch), Error> {
    if !(1..=MOST_DAYS).contains(&days) {
        return Err(Error::Days { days });
    }
    let more = jiff::Span::new().days(i64::from(days) - 1);
    let last = from
        .checked_add(more)
        .map_err(|error| Error::dates(from, &error))?;
    Ok((last, civil_span(scenario, from, last)?))
}

/// The instants from the start of one civil day to the end of another in the scenario's zone.
pub fn civil_span(scenario: &Scenario, from: Date, last: Date) -> Result<Stretch, Error> {
    let start = |day: Date| -> Result<Timestamp, jiff::Error> {
        Ok(day.to_zoned_datetime(scenario.zone().clone())?.timestamp())
    };
    let end = last.tomorrow().and_then(start);
    Ok(start(from).map_err(|error| Error::dates(from, &error))?
        ..end.map_err(|error| Error::dates(from, &error))?)
}

/// The water and the sky for a span that begins on a civil day.
///
/// # Errors
/// Dates that cannot be represented.
pub(crate) fn almanac(scenario: &Scenario, from: Date, span: &Stretch) -> Result<Almanac, Error> {
    Almanac::over(scenario, span).map_err(|error| Error::dates(from, &error))
}
