//! Waypoints of a GPX file, version 1.1, and 1.0 as far as the reader takes its elements.

use std::borrow::Cow;
use std::cell::Cell;
use std::io::Read;
use std::path::Path;

use gpx::errors::GpxError;
use wrackline_plan::scenario::Problems;

use super::globe::Spot;
use super::names::plain;
use super::read::{one, problem};
use super::waypoint::{Kind, Waypoint};

/// The most lines and points that are taken; our default. A receiver holds some thousands.
pub(super) const MOST: usize = 1000;

/// The waypoints of a text in GPX. Tracks and routes are lines, and no places: they are not looked
/// at.
///
/// # Errors
/// What is no GPX, with the line at which reading ended.
pub fn read_gpx(file: &Path, text: &str) -> Result<Vec<Waypoint>, Problems> {
    let text = &without_variation(text);
    let at = Cell::new(0);
    let counted = Counted { text, at: &at };
    let found = gpx::read(counted).map_err(|error| {
        let read = &text.as_bytes()[..at.get().min(text.len())];
        let line = 1 + read.iter().filter(|byte| **byte == b'\n').count();
        one(
            file,
            line,
            "",
            in_words(&error),
            "mend it here or just before, or write the waypoints out again as GPX 1.1",
        )
    })?;
    let waypoints = found.waypoints;
    if waypoints.len() > MOST {
        let what = format!("holds {} waypoints, more than {MOST}", waypoints.len());
        return Err(one(
            file,
            1,
            "",
            what,
            "keep those that are places or seats",
        ));
    }
    let mut problems = Vec::new();
    let mut taken = Vec::new();
    for (index, point) in waypoints.into_iter().enumerate() {
        let place = point.point();
        let spot = match Spot::new(place.y(), place.x()) {
            Ok(spot) => spot,
            Err(what) => {
                let field = format!("waypoint {}", index + 1);
                problems.push(problem(file, 1, &field, what, "mend its position"));
                continue;
            }
        };
        let words = [&point.type_, &point.symbol];
        let texts = [&point.comment, &point.description];
        taken.push(Waypoint {
            name: point.name.as_deref().and_then(plain),
            kind: words.into_iter().flatten().find_map(|word| Kind::of(word)),
            spot,
            elevation_m: point.elevation.filter(|height| height.is_finite()),
            note: texts.into_iter().flatten().find_map(|text| plain(text)),
        });
    }
    match Problems::collect(problems) {
        Some(problems) => Err(problems),
        None => Ok(taken),
    }
}

/// The text without the magnetic variation of its waypoints, which GPX 1.1 has, the reader
/// refuses as unknown, and nobody needs here. Lines keep their numbers.
fn without_variation(text: &str) -> Cow<'_, str> {
    const OPENS: &str = "<magvar>";
    const CLOSES: &str = "</magvar>";
    if !text.contains(OPENS) {
        return Cow::Borrowed(text);
    }
    let mut kept = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(OPENS) {
        let Some((figure, after)) = after.split_once(CLOSES) else {
            break;
        };
        kept.push_str(before);
        // What is no figure stays, so that the reader tells of it.
        if figure.trim().parse::<f64>().is_ok() {
            kept.extend(figure.chars().filter(|c| *c == '\n'));
        } else {
            kept.extend([OPENS, figure, CLOSES]);
        }
        rest = after;
    }
    kept.push_str(rest);
    Cow::Owned(kept)
}

/// Gives a text byte by byte and keeps count, because the reader's own errors know no line.
struct Counted<'t> {
    text: &'t str,
    at: &'t Cell<usize>,
}

impl Read for Counted<'_> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let at = self.at.get();
        match (self.text.as_bytes().get(at), into.first_mut()) {
            (Some(byte), Some(slot)) => {
                *slot = *byte;
                self.at.set(at + 1);
                Ok(1)
            }
            _ => Ok(0),
        }
    }
}

/// What the reader says, without the line ends of a forged message.
fn in_words(error: &GpxError) -> String {
    let said = match error {
        GpxError::XmlParseError(inner) => inner.to_string(),
        other => other.to_string(),
    };
    format!(
        "cannot be read as GPX: {}",
        plain(&said).unwrap_or_else(|| "it is broken".to_owned())
    )
}
