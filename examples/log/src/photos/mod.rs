//! What pictures say about visits: when they were taken, in which tide and light, and which of them
//! were kept.

mod bounded;
mod clock;
mod header;
mod logged;
mod tiff;
mod visits;
mod xmp;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;
use rayon::prelude::*;

pub use clock::{ClockError, implausible};
pub use header::{Head, HeadError, is_picture, read, read_from};
pub use logged::{Logged, Whose, as_pictured, logged};
pub use visits::{Frame, FrameVisit, Reach, into_visits, where_selects_lie};
pub use xmp::{keywords_of_bytes, rating_of_bytes};

/// The frames of a folder, and the files that could not be used, each with the reason.
#[derive(Debug, Default)]
pub struct Gathered {
    /// The frames, by instant.
    pub frames: Vec<Frame>,
    /// Files set aside.
    pub set_aside: Vec<(PathBuf, String)>,
}

/// How deep folders are followed.
const DEEPEST: usize = 16;

/// What lies under a folder.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// The pictures that can be read, by name.
    pub pictures: Vec<PathBuf>,
    /// How many other files there are, by the ending of their names; sidecars are not counted.
    pub skipped: BTreeMap<String, usize>,
}

/// The files under a folder. Links are not followed, so a loop cannot arise.
///
/// # Errors
/// A folder that cannot be listed.
pub fn pictures_under(folder: &Path) -> std::io::Result<Found> {
    fn walk(folder: &Path, depth: usize, found: &mut Found) -> std::io::Result<()> {
        for item in std::fs::read_dir(folder)? {
            let item = item?;
            let kind = item.file_type()?;
            let path = item.path();
            if kind.is_dir() && depth < DEEPEST {
                walk(&path, depth + 1, found)?;
            } else if kind.is_file() && is_picture(&path) {
                found.pictures.push(path);
            } else if kind.is_file() {
                let ending = header::ending(&path);
                if ending != "xmp" {
                    *found.skipped.entry(ending).or_default() += 1;
                }
            }
        }
        Ok(())
    }
    let mut found = Found::default();
    walk(folder, 0, &mut found)?;
    found.pictures.sort();
    Ok(found)
}

/// Reads the heads of the pictures, on all cores, and corrects their clocks. `clock` is `None`
/// where nobody has looked into how far it was wrong.
pub fn gather(
    pictures: &[PathBuf],
    clock: Option<ClockError>,
    zone: &TimeZone,
    now: Timestamp,
) -> Gathered {
    let heads: Vec<Result<Frame, String>> = pictures
        .par_iter()
        .map(|path| {
            let head = read(path).map_err(|error| error.to_string())?;
            let at = clock
                .unwrap_or_default()
                .correct(&head, zone)
                .ok_or_else(|| head.no_instant(zone))?;
            if let Some(reason) = implausible(&head, at, clock, now) {
                return Err(reason);
            }
            Ok(Frame {
                path: path.clone(),
                at,
                focal_length_mm: head.focal_length_mm,
                rating: head.rating,
                conditions: None,
            })
        })
        .collect();
    let mut gathered = Gathered::default();
    for (path, head) in pictures.iter().zip(heads) {
        match head {
            Ok(frame) => gathered.frames.push(frame),
            Err(reason) => gathered.set_aside.push((path.clone(), reason)),
        }
    }
    gathered
        .frames
        .sort_by(|a, b| a.at.cmp(&b.at).then_with(|| a.path.cmp(&b.path)));
    gathered
}
