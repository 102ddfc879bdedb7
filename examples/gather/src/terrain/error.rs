//! Why elevation data cannot be read, or no skyline can be told from it.

/// Why elevation data cannot be read, or no skyline can be told from it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The system does not give the file or the folder.
    #[error("{file}: cannot be read: {why}")]
    Unreadable {
        /// Which.
        file: String,
        /// What the system says.
        why: String,
    },
    /// The bytes are not what the format demands.
    #[error("{file}: at byte {offset}: found {found}; expected {expected}")]
    Broken {
        /// In which file.
        file: String,
        /// Where in it.
        offset: u64,
        /// What stands there.
        found: String,
        /// What should.
        expected: String,
    },
    /// A well-formed file of a kind that is not read here.
    #[error("{file}: {what}; {remedy}")]
    Unknown {
        /// Which file.
        file: String,
        /// What is not read.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// A folder without elevation data.
    #[error("{folder}: holds no elevation data; put files there that end in .hgt, .tif or .tiff")]
    EmptyFolder {
        /// Which.
        folder: String,
    },
    /// Too many posts within the range to be held in memory.
    #[error(
        "{file}: with it {posts} heights lie within the range, and at most {most} are held; ask \
         for a smaller range, or thin the data out"
    )]
    TooMany {
        /// The file that was too much.
        file: String,
        /// Heights within the range.
        posts: u64,
        /// The most that are held.
        most: u64,
    },
    /// The data lie elsewhere.
    #[error(
        "none of the {files} elevation files covers the seat at {latitude_deg}, {longitude_deg} \
         (north, east); name the one that does, or mend the position"
    )]
    Elsewhere {
        /// How many files were looked at.
        files: usize,
        /// Latitude of the seat, degrees north.
        latitude_deg: f64,
        /// Longitude of the seat, degrees east.
        longitude_deg: f64,
    },
    /// The data have no height for the seat itself.
    #[error(
        "{file}: has no height where the seat is; give the height that its voids stand for, such \
         as 0 where it leaves out the sea, or bring data that know the seat"
    )]
    SeatInVoid {
        /// The file.
        file: String,
    },
    /// A number outside what can be worked with.
    #[error("{what} of {value} {unit} is out of range; give {low} to {high} {unit}")]
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// What was given.
        value: f64,
        /// The lowest that is taken.
        low: f64,
        /// The highest.
        high: f64,
        /// The unit.
        unit: &'static str,
    },
    /// A skyline that no scenario can hold.
    #[error(
        "the skyline stands {altitude_deg:.1} degrees high at {azimuth_deg} degrees, and a \
         scenario takes at most {highest_deg}; is the eye lower than the ground of the data? Give \
         the seat's own height"
    )]
    TooHigh {
        /// Where.
        azimuth_deg: f64,
        /// How high.
        altitude_deg: f64,
        /// The most that is taken.
        highest_deg: f64,
    },
    /// A direction of which nothing is known.
    #[error(
        "nothing is known of the terrain at {azimuth_deg} degrees; bring data that cover it, or \
         give the height that voids stand for"
    )]
    Blind {
        /// Where.
        azimuth_deg: f64,
    },
}

/// A number within bounds.
pub(super) fn within(
    what: &'static str,
    value: f64,
    [low, high]: [f64; 2],
    unit: &'static str,
) -> Result<f64, Error> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(Error::OutOfRange {
            what,
            value,
            low,
            high,
            unit,
        })
    }
}

/// Says of which file a failure of the system is.
pub(super) fn unreadable(file: &str, error: &std::io::Error) -> Error {
    Error::Unreadable {
        file: file.to_owned(),
        why: error.to_string(),
    }
}

/// Says what is not read, and what to do.
pub(super) fn unknown(file: &str, what: impl Into<String>, remedy: impl Into<String>) -> Error {
    Error::Unknown {
        file: file.to_owned(),
        what: what.into(),
        remedy: remedy.into(),
    }
}
