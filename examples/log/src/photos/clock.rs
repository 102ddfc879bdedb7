//! Cameras' clocks run wrong. What they showed is corrected once, here.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::header::Head;

/// How far the camera's clock ran ahead of the true time; negative when it was behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ClockError(pub SignedDuration);

impl ClockError {
    /// The error, estimated from a frame whose true instant is known: a picture of a clock that is
    /// right, or of anything else that was timed.
    pub fn from_reference(frame: &Head, truly: Timestamp, zone: &TimeZone) -> Option<ClockError> {
        Some(ClockError(frame.instant(zone)?.duration_since(truly)))
    }

    /// The true instant of a frame.
    pub fn correct(self, frame: &Head, zone: &TimeZone) -> Option<Timestamp> {
        frame.instant(zone)?.checked_sub(self.0).ok()
    }
}

/// Why a frame cannot have been taken when its corrected clock says. Whoever gives the clock's
/// error has `checked` it.
pub fn implausible(
    frame: &Head,
    at: Timestamp,
    checked: Option<ClockError>,
    now: Timestamp,
) -> Option<String> {
    if at.duration_since(now) > SignedDuration::from_mins(5) {
        return Some(format!(
            "was taken in the future, at {at}; give how far the camera was ahead with \
             --camera-ahead"
        ));
    }
    // Digital cameras write capture times since 1996 (Exif 1.0, October 1995).
    let year = at.to_zoned_datetime(TimeZone::UTC).year();
    if year < 1996 {
        return Some(format!(
            "was taken in {year}, before cameras could say so; its clock was not set"
        ));
    }
    // A camera that lost its battery starts again at midnight of the first of January of some year
    // before it was bought.
    let clock = frame.clock;
    let reset = clock.month() == 1 && clock.day() == 1 && clock.hour() == 0 && clock.minute() < 30;
    if reset && checked.is_none() {
        return Some(format!(
            "was taken just after midnight on 1 January {}: its clock was probably not set; if it \
             was right, say --camera-ahead 0s",
            clock.year()
        ));
    }
    None
}
