//! Elevation data from files and folders: the parts of them that lie within a range of a seat.

use std::fs::File;
use std::io::{BufReader, Read, Seek};
use std::path::{Path, PathBuf};

use super::error::{Error, unknown, unreadable, within};
use super::frame::Frame;
use super::grid::{Circle, Filling, Grid, Raster};
use super::{geotiff, hgt};

/// Beyond this the degrees of a grid run together; our default.
const FARTHEST_NORTH_DEG: f64 = 85.0;
/// The longest and shortest range that is looked over, metres.
const RANGE_M: [f64; 2] = [100.0, 150_000.0];

/// The part of the world that elevation data are wanted of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Latitude of the seat, degrees north, -85 to 85.
    pub latitude_deg: f64,
    /// Longitude of the seat, degrees east.
    pub longitude_deg: f64,
    /// How far around it, metres, 100 to 150,000.
    pub range_m: f64,
    /// The height that voids stand for, such as 0 where a map leaves out the sea; unknown where
    /// there is none.
    pub voids_m: Option<f64>,
}

/// Heights around a seat.
#[derive(Debug)]
pub struct Elevation {
    wanted: Wanted,
    pub(super) frames: Vec<Frame>,
    /// The finest first.
    pub(super) grids: Vec<Grid>,
    files: usize,
}

/// What was read of one file.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The file.
    pub file: String,
    /// Metres from height to height.
    pub spacing_m: f64,
    /// Heights within the range.
    pub heights: u64,
    /// Voids among them.
    pub voids: u64,
    /// How many of those the file gave as heights that no ground has.
    pub impossible: u64,
}

impl Elevation {
    /// Nothing read yet.
    ///
    /// # Errors
    /// A position or a range that cannot be worked with.
    pub fn new(wanted: Wanted) -> Result<Self, Error> {
        let north = [-FARTHEST_NORTH_DEG, FARTHEST_NORTH_DEG];
        within("latitude", wanted.latitude_deg, north, "degrees")?;
        within(
            "longitude",
            wanted.longitude_deg,
            [-180.0, 180.0],
            "degrees",
        )?;
        within("range", wanted.range_m, RANGE_M, "m")?;
        if let Some(voids_m) = wanted.voids_m {
            within("height of voids", voids_m, [-500.0, 9_000.0], "m")?;
        }
        Ok(Self {
            wanted,
            frames: Vec::new(),
            grids: Vec::new(),
            files: 0,
        })
    }

    /// Reads files and folders. Of a folder all files count that end in `.hgt`, `.tif` or `.tiff`.
    /// What lies outside the range is looked at and left where it is.
    ///
    /// # Errors
    /// The first file that cannot be read, with what was expected; or that none covers the seat.
    pub fn open(wanted: Wanted, paths: &[PathBuf]) -> Result<Self, Error> {
        let mut elevation = Self::new(wanted)?;
        for path in files(paths)? {
            elevation.add_file(&path)?;
        }
        elevation.covers_the_seat()?;
        Ok(elevation)
    }

    fn add_file(&mut self, path: &Path) -> Result<(), Error> {
        let file = path.display().to_string();
        let opened = File::open(path).map_err(|error| unreadable(&file, &error))?;
        let facts = opened.metadata();
        let facts = facts.map_err(|error| unreadable(&file, &error))?;
        if !facts.is_file() {
            let remedy = "name a file, or a folder of files; a pipe cannot be read back and forth";
            return Err(unknown(&file, "is not a file", remedy));
        }
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        self.add(&file, &name, facts.len(), BufReader::new(opened))
    }

    /// Adds what lies within the range, from whatever can be read back and forth. The ending of
    /// the name says what it is, and the name of a radar grid where it lies.
    ///
    /// # Errors
    /// What is no elevation data, with the place in it and what was expected.
    pub fn add(
        &mut self,
        file: &str,
        name: &str,
        bytes: u64,
        mut from: impl Read + Seek,
    ) -> Result<(), Error> {
        self.files += 1;
        match Kind::of(name) {
            Some(Kind::Radar) => {
                let raster = hgt::raster(file, name, bytes)?;
                self.take(file, Frame::Degrees, raster, |filling| {
                    hgt::fill(file, &mut from, &raster, filling)
                })
            }
            Some(Kind::GeoTiff) => {
                let (mut tiff, frame) = geotiff::open(file, from)?;
                let raster = tiff.raster;
                self.take(file, frame, raster, |filling| tiff.fill(filling))
            }
            None => Err(unknown(
                file,
                "is not known by its ending",
                "bring a GeoTIFF (.tif) or a grid of the shuttle radar mission (.hgt), unpacked",
            )),
        }
    }

    fn take(
        &mut self,
        file: &str,
        frame: Frame,
        raster: Raster,
        fill: impl FnOnce(&mut Filling) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let Wanted {
            latitude_deg,
            longitude_deg,
            range_m,
            voids_m,
        } = self.wanted;
        let circle = Circle {
            latitude_deg,
            longitude_deg,
            range_m,
        };
        let Some(part) = raster.part_in(&frame, circle) else {
            return Ok(());
        };
        let held = self.grids.iter().map(Grid::posts).sum();
        let mut filling = Filling::new(file, part, held)?;
        fill(&mut filling)?;
        let spacing = (raster.step[0] * raster.step[1]).abs().sqrt();
        let spacing_m = spacing * frame.metres(latitude_deg);
        let known = self.frames.iter().position(|f| f.is_that_of(&frame));
        let index = known.unwrap_or_else(|| {
            self.frames.push(frame);
            self.frames.len() - 1
        });
        let grid = Grid::new(
            (file.to_owned(), index, raster),
            spacing_m,
            filling,
            voids_m,
        );
        // The finest first; of two alike the one that was named first.
        let finer = self.grids.partition_point(|g| g.spacing_m <= spacing_m);
        self.grids.insert(finer, grid);
        Ok(())
    }

    /// The part that was asked for.
    pub fn wanted(&self) -> Wanted {
        self.wanted
    }

    /// What was read, the finest first.
    pub fn sources(&self) -> Vec<Source> {
        let of = |grid: &Grid| Source {
            file: grid.file.clone(),
            spacing_m: grid.spacing_m,
            heights: grid.posts(),
            voids: grid.voids,
            impossible: grid.impossible,
        };
        self.grids.iter().map(of).collect()
    }

    /// Files that were looked at, also those that lie outside the range.
    pub fn files(&self) -> usize {
        self.files
    }

    /// Height of the ground at the seat, metres, from the finest data that know it.
    ///
    /// # Errors
    /// That no file covers the seat, or that those which do have a void there.
    pub fn ground_m(&self) -> Result<f64, Error> {
        let at = [self.wanted.latitude_deg, self.wanted.longitude_deg];
        let mut void = None;
        for grid in &self.grids {
            let frame = &self.frames[grid.frame];
            let place = frame.place(at);
            let place = place.map(|place| grid.raster.column_and_row(frame, place));
            match place.and_then(|place| grid.height_at(place)) {
                Some(height) if height.is_nan() => void = void.or(Some(&grid.file)),
                Some(height) => return Ok(height),
                None => {}
            }
        }
        Err(match void {
            Some(file) => Error::SeatInVoid { file: file.clone() },
            None => Error::Elsewhere {
                files: self.files,
                latitude_deg: at[0],
                longitude_deg: at[1],
            },
        })
    }

    fn covers_the_seat(&self) -> Result<(), Error> {
        match self.ground_m() {
            Err(error @ Error::Elsewhere { .. }) => Err(error),
            _ => Ok(()),
        }
    }
}

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Radar,
    GeoTiff,
}

impl Kind {
    fn of(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "hgt" => Some(Self::Radar),
            "tif" | "tiff" => Some(Self::GeoTiff),
            _ => None,
        }
    }
}

/// The files that paths name, those of a folder in the order of their names.
fn files(paths: &[PathBuf]) -> Result<Vec<PathBuf>, Error> {
    let mut files = Vec::new();
    for path in paths {
        let name = path.display().to_string();
        let facts = std::fs::metadata(path).map_err(|error| unreadable(&name, &error))?;
        if !facts.is_dir() {
            files.push(path.clone());
            continue;
        }
        let mut inside = Vec::new();
        for item in std::fs::read_dir(path).map_err(|error| unreadable(&name, &error))? {
            let item = item.map_err(|error| unreadable(&name, &error))?.path();
            let known = item
                .file_name()
                .and_then(|name| Kind::of(&name.to_string_lossy()));
            if known.is_some() && item.is_file() {
                inside.push(item);
            }
        }
        if inside.is_empty() {
            return Err(Error::EmptyFolder { folder: name });
        }
        inside.sort();
        files.extend(inside);
    }
    Ok(files)
}
