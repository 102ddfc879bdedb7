//! Instants at equal steps.

use jiff::{SignedDuration, Timestamp};

use crate::error::{Error, in_range};

/// Instants at equal steps, checked: one at least, the last within what a timestamp holds.
///
/// ```
/// use jiff::{SignedDuration, Timestamp};
/// use wrackline_tides::Grid;
/// let start: Timestamp = "2026-12-29T00:00:00Z".parse()?;
/// let day = Grid::new(start, SignedDuration::from_mins(6), 240)?;
/// assert_eq!(day.last(), "2026-12-29T23:54:00Z".parse()?);
/// assert_eq!(day.instants().nth(10), Some("2026-12-29T01:00:00Z".parse()?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Grid {
    start: Timestamp,
    step: SignedDuration,
    len: usize,
}

impl Grid {
    /// From the first instant, the step (longer than nothing and at most a day) and the number of
    /// instants.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for the step; [`Error::GridLength`] for no instants, or more than time
    /// has room for.
    pub fn new(start: Timestamp, step: SignedDuration, len: usize) -> Result<Self, Error> {
        in_range(
            "step of the grid",
            step.as_secs_f64(),
            [1e-9, 86_400.0],
            "s",
        )?;
        let last = len
            .checked_sub(1)
            .and_then(|last| i32::try_from(last).ok())
            .and_then(|last| step.checked_mul(last))
            .and_then(|length| start.checked_add(length).ok());
        if last.is_none() {
            return Err(Error::GridLength { len });
        }
        Ok(Self { start, step, len })
    }

    /// The first instant.
    #[must_use]
    pub fn start(&self) -> Timestamp {
        self.start
    }

    /// From one instant to the next.
    #[must_use]
    pub fn step(&self) -> SignedDuration {
        self.step
    }

    /// How many instants; never none.
    #[must_use]
    #[allow(clippy::len_without_is_empty, reason = "a grid is never empty")]
    pub fn len(&self) -> usize {
        self.len
    }

    /// The last instant.
    #[must_use]
    pub fn last(&self) -> Timestamp {
        self.at(self.len - 1)
    }

    /// The instants in order.
    #[must_use]
    pub fn instants(&self) -> impl ExactSizeIterator<Item = Timestamp> + use<> {
        let grid = *self;
        (0..self.len).map(move |index| grid.at(index))
    }

    /// The instant of an index below the length.
    pub(crate) fn at(&self, index: usize) -> Timestamp {
        // The last instant has been found to exist, and the others lie before it.
        i32::try_from(index)
            .ok()
            .and_then(|index| self.step.checked_mul(index))
            .and_then(|length| self.start.checked_add(length).ok())
            .unwrap_or(self.start)
    }
}
