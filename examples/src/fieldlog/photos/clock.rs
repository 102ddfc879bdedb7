//! Cameras' clocks run wrong. What they showed is corrected once, here.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::header::Head;

/// How far the camera's clock ran ahead of the true time; negative when it was behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ClockError(pub SignedDuration);

impl ClockError {
    /// The error, estimated from a frame whose true instant is known: a picture of a clock that is right, or of anything
    /// else that was timed.
    pub fn from_reference(frame: &Head, truly: Timestamp, zone: &TimeZone) -> Option<ClockError> {
        Some(ClockError(frame.instant(zone)?.duration_since(truly)))
    }

    /// The true instant of a frame.
    pub fn correct(self, frame: &Head, zone: &TimeZone) -> Option<Timestamp> {
        frame.instant(zone)?.checked_sub(self.0).ok()
    }
}

/// Why an instant cannot be when a picture was taken.
pub fn implausible(at: Timestamp, now: Timestamp, zone: &TimeZone) -> Option<String> {
    if at.duration_since(now) > SignedDuration::from_mins(5) {
        return Some(format!(
            "was taken in the future, at {at}; give how far the camera was ahead with --camera-ahead"
        ));
    }
    let clock = at.to_zoned_datetime(zone.clone());
    // A camera that lost its battery starts at midnight of the first of January of some year long before it was bought.
    // Digital cameras with Exif exist since 1996 (Exif 1.0, 1995).
    if clock.year() < 1996 {
        return Some(format!(
            "was taken in {}, before cameras could say so; its clock was not set",
            clock.year()
        ));
    }
    if clock.month() == 1
        && clock.day() == 1
        && clock.hour() == 0
        && clock.minute() < 30
        && clock.year() <= 2020
    {
        return Some(format!(
            "was taken just after midnight on 1 January {}: its clock was probably not set",
            clock.year()
        ));
    }
    None
}
