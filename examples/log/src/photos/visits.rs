//! Frames grouped into visits, and where in the tide and the light the good ones lie.

use std::path::PathBuf;

use jiff::{SignedDuration, Timestamp};

use crate::Conditions;

/// A frame with its true instant.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Its file.
    pub path: PathBuf,
    /// When it was taken, the clock's error taken out.
    pub at: Timestamp,
    /// Focal length of the lens, millimetres.
    pub focal_length_mm: Option<f64>,
    /// XMP rating.
    pub rating: Option<i8>,
    /// What tide and light were, where a seat or a place is known.
    pub conditions: Option<Conditions>,
}

/// Frames taken on one visit, in order of time; never empty.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameVisit {
    /// The frames.
    pub frames: Vec<Frame>,
}

impl FrameVisit {
    /// The first instant.
    pub fn began(&self) -> Timestamp {
        self.frames
            .first()
            .map_or(Timestamp::UNIX_EPOCH, |frame| frame.at)
    }

    /// The last instant.
    pub fn ended(&self) -> Timestamp {
        self.frames
            .last()
            .map_or(Timestamp::UNIX_EPOCH, |frame| frame.at)
    }

    /// The frames rated at least `least`.
    pub fn selects(&self, least: i8) -> impl Iterator<Item = &Frame> + Clone {
        self.frames
            .iter()
            .filter(move |frame| frame.rating.is_some_and(|rating| rating >= least))
    }

    /// The instant that stands for the visit: that of the middle select, or of the middle frame.
    pub fn heart(&self, least: i8) -> Timestamp {
        let selects: Vec<&Frame> = self.selects(least).collect();
        let middle = selects
            .get(selects.len() / 2)
            .copied()
            .or_else(|| self.frames.get(self.frames.len() / 2));
        middle.map_or(Timestamp::UNIX_EPOCH, |frame| frame.at)
    }
}

/// Groups frames into visits: a longer pause than `pause` begins a new one.
pub fn into_visits(mut frames: Vec<Frame>, pause: SignedDuration) -> Vec<FrameVisit> {
    frames.sort_by(|a, b| a.at.cmp(&b.at).then_with(|| a.path.cmp(&b.path)));
    let mut visits: Vec<FrameVisit> = Vec::new();
    for frame in frames {
        match visits.last_mut() {
            Some(visit) if frame.at.duration_since(visit.ended()) <= pause => {
                visit.frames.push(frame)
            }
            _ => visits.push(FrameVisit {
                frames: vec![frame],
            }),
        }
    }
    visits
}

/// The least and the greatest of some values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

impl Reach {
    /// `None` without values.
    pub fn of(values: impl Iterator<Item = f64>) -> Option<Reach> {
        values.fold(None, |reach, value| {
            Some(reach.map_or(
                Reach {
                    low: value,
                    high: value,
                },
                |r: Reach| Reach {
                    low: r.low.min(value),
                    high: r.high.max(value),
                },
            ))
        })
    }
}

/// Where the selects lie, as one sentence: "your 12 selects lie between 40 and 95 minutes before
/// high water, sun 4-11°". `None` without selects or without conditions.
pub fn where_selects_lie<'a>(frames: impl Iterator<Item = &'a Frame> + Clone) -> Option<String> {
    let count = frames.clone().count();
    let of = |value: fn(&Conditions) -> Option<f64>| {
        Reach::of(
            frames
                .clone()
                .filter_map(move |frame| value(frame.conditions.as_ref()?)),
        )
    };
    let mut parts = Vec::new();
    if let Some(reach) = of(|conditions| conditions.minutes_from_high_water) {
        parts.push(format!("{} high water", minutes_about(reach)));
    }
    if let Some(reach) = of(|conditions| conditions.minutes_from_push) {
        parts.push(format!("{} the push", minutes_about(reach)));
    }
    if let Some(reach) = of(|conditions| conditions.sun_altitude_deg) {
        // A sun just under the horizon does not stand at -0°.
        let (low, high) = (reach.low.round() + 0.0, reach.high.round() + 0.0);
        parts.push(if low == high {
            format!("sun {low:.0}°")
        } else {
            format!("sun {low:.0} to {high:.0}°")
        });
    }
    if parts.is_empty() {
        return None;
    }
    let what = if count == 1 {
        "your select lies".to_owned()
    } else {
        format!("your {count} selects lie")
    };
    Some(format!("{what} {}", parts.join(", ")))
}

/// "between 40 and 95 minutes before", "29 minutes after", "from 10 minutes before to 20 minutes
/// after".
fn minutes_about(reach: Reach) -> String {
    let (low, high) = (reach.low.round(), reach.high.round());
    if low == high {
        let side = if low < 0.0 { "before" } else { "after" };
        return format!("{:.0} minutes {side}", low.abs());
    }
    if high <= 0.0 {
        format!("between {:.0} and {:.0} minutes before", -high, -low)
    } else if low >= 0.0 {
        format!("between {low:.0} and {high:.0} minutes after")
    } else {
        format!("from {:.0} minutes before to {high:.0} minutes after", -low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(minute: i64, from_high_water: f64, rating: i8) -> Frame {
        Frame {
            path: PathBuf::from(format!("{minute}.jpg")),
            at: Timestamp::UNIX_EPOCH + SignedDuration::from_mins(minute),
            focal_length_mm: None,
            rating: Some(rating),
            conditions: Some(Conditions {
                minutes_from_high_water: Some(from_high_water),
                sun_altitude_deg: Some(from_high_water / -10.0),
                ..Conditions::default()
            }),
        }
    }

    #[test]
    fn a_long_pause_begins_a_new_visit() {
        let frames = vec![
            frame(400, 0.0, 0),
            frame(0, 0.0, 0),
            frame(30, 0.0, 0),
            frame(209, 0.0, 5),
        ];
        let visits = into_visits(frames, SignedDuration::from_hours(3));
        let sizes: Vec<_> = visits.iter().map(|visit| visit.frames.len()).collect();
        assert_eq!(sizes, [3, 1]);
        assert_eq!(visits[0].heart(4), visits[0].frames[2].at);
    }

    #[test]
    fn selects_are_placed_in_the_tide_and_the_light() {
        let frames = [frame(0, -95.0, 4), frame(50, -40.0, 5), frame(80, 20.0, 0)];
        let said = where_selects_lie(frames.iter().filter(|frame| frame.rating >= Some(4)))
            .unwrap_or_default();
        assert_eq!(
            said,
            "your 2 selects lie between 40 and 95 minutes before high water, sun 4 to 10°"
        );
        assert_eq!(where_selects_lie(frames[..0].iter()), None);
        let one = where_selects_lie(frames[1..2].iter()).unwrap_or_default();
        assert_eq!(one, "your select lies 40 minutes before high water, sun 4°");
    }
}
