//! Instants as C counts them: microseconds since 1970-01-01T00:00:00Z, without leap seconds.

use std::ops::Range;

use jiff::{SignedDuration, Timestamp};

use crate::refusal::Refusal;

/// Instants at equal steps.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct Grid {
    /// The first, microseconds since 1970 (UTC).
    pub start_us: i64,
    /// From one to the next, microseconds, above zero; a tide takes up to a day.
    pub step_us: i64,
    /// How many there are.
    pub count: usize,
}

impl Grid {
    fn step(&self) -> Result<SignedDuration, Refusal> {
        if self.step_us > 0 {
            Ok(SignedDuration::from_micros(self.step_us))
        } else {
            Err(Refusal::Value(format!(
                "step_us: {} is no step forward: give microseconds above zero",
                self.step_us
            )))
        }
    }

    /// `None` where there is no instant.
    pub(crate) fn of_sky(&self) -> Result<Option<wrackline_solar::Grid>, Refusal> {
        let (start, step) = (instant("start_us", self.start_us)?, self.step()?);
        let grid = |count| wrackline_solar::Grid::new(start, step, count);
        Ok((self.count > 0).then(|| grid(self.count)).transpose()?)
    }

    /// `None` where there is no instant.
    pub(crate) fn of_tide(&self) -> Result<Option<wrackline_tides::Grid>, Refusal> {
        let (start, step) = (instant("start_us", self.start_us)?, self.step()?);
        let grid = |count| wrackline_tides::Grid::new(start, step, count);
        Ok((self.count > 0).then(|| grid(self.count)).transpose()?)
    }
}

/// So many results, before they are worked out. A number that a caller made up must not end the
/// program.
pub(crate) fn rows<T: Clone + Default>(count: usize) -> Result<Vec<T>, Refusal> {
    let mut rows = Vec::new();
    rows.try_reserve_exact(count).map_err(|_| Refusal::Length {
        name: "count",
        length: count,
    })?;
    rows.resize(count, T::default());
    Ok(rows)
}

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
