//! Instants as C counts them: microseconds since 1970-01-01T00:00:00Z, without leap seconds.

use std::ops::Range;

use jiff::Timestamp;

use crate::refusal::Refusal;

/// The instant that a count stands for. `name` is the argument's.
pub(crate) fn instant(name: &str, at_us: i64) -> Result<Timestamp, Refusal> {
    Timestamp::from_microsecond(at_us).map_err(|_| {
        Refusal::Value(format!(
            "{name}: {at_us} microseconds since 1970 is out of range: give {} to {}",
            Timestamp::MIN.as_microsecond(),
            Timestamp::MAX.as_microsecond()
        ))
    })
}

/// All of them, or the index of the first that is none.
pub(crate) fn instants(at_us: &[i64]) -> Result<Vec<Timestamp>, Refusal> {
    let each = at_us.iter().enumerate();
    each.map(|(index, at_us)| match Timestamp::from_microsecond(*at_us) {
        Ok(at) => Ok(at),
        Err(_) => instant(&format!("at_us[{index}]"), *at_us),
    })
    .collect()
}

pub(crate) fn span(start_us: i64, end_us: i64) -> Result<Range<Timestamp>, Refusal> {
    Ok(instant("start_us", start_us)?..instant("end_us", end_us)?)
}
