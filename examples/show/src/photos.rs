//! What pictures say about visits, in words and columns.

use std::collections::BTreeMap;
use std::path::PathBuf;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_log::Conditions;
use wrackline_log::photos::{Frame, FrameVisit, Reach, where_selects_lie};

use crate::columns::Columns;

/// The visits in words: when, how many frames and selects, and where in tide and light the selects
/// lie.
pub fn report(
    visits: &[FrameVisit],
    set_aside: &[(PathBuf, String)],
    skipped: &BTreeMap<String, usize>,
    least: i8,
    zone: &TimeZone,
) -> String {
    let mut text = String::new();
    for (path, reason) in set_aside {
        text.push_str(&format!("Set aside: {} {reason}\n", path.display()));
    }
    if !skipped.is_empty() {
        let kinds: Vec<String> = skipped
            .iter()
            .map(|(ending, count)| match ending.as_str() {
                "" => format!("{count} without an ending"),
                ending => format!("{count} .{ending}"),
            })
            .collect();
        text.push_str(&format!("Skipped, not read here: {}\n", kinds.join(", ")));
    }
    if visits.is_empty() {
        text.push_str("No picture with a usable capture time.\n");
        return text;
    }
    let mut columns = Columns::headed([
        "from",
        "to",
        "frames",
        "selects",
        "focal length",
        "selects from HW",
        "sun",
    ]);
    for visit in visits {
        let of =
            |value: fn(&Frame) -> Option<f64>| Reach::of(visit.frames.iter().filter_map(value));
        let of_selects = |value: fn(&Conditions) -> Option<f64>| {
            Reach::of(
                visit
                    .selects(least)
                    .filter_map(move |frame| value(frame.conditions.as_ref()?)),
            )
        };
        let show = |reach: Option<Reach>, unit: &str| match reach {
            None => String::new(),
            Some(reach) if reach.low.round() == reach.high.round() => {
                format!("{:.0}{unit}", reach.low)
            }
            Some(reach) => format!("{:.0} to {:.0}{unit}", reach.low, reach.high),
        };
        let time = |at: Timestamp, format| {
            at.to_zoned_datetime(zone.clone())
                .strftime(format)
                .to_string()
        };
        columns.push([
            time(visit.began(), "%Y-%m-%d %H:%M"),
            time(visit.ended(), "%H:%M"),
            visit.frames.len().to_string(),
            visit.selects(least).count().to_string(),
            show(of(|frame| frame.focal_length_mm), " mm"),
            show(
                of_selects(|conditions| conditions.minutes_from_high_water),
                " min",
            ),
            show(of_selects(|conditions| conditions.sun_altitude_deg), "°"),
        ]);
    }
    text.push_str(&columns.to_string());
    let selects = visits.iter().flat_map(|visit| visit.selects(least));
    if let Some(said) = where_selects_lie(selects) {
        text.push_str(&format!("In all, {said}.\n"));
    }
    text
}
