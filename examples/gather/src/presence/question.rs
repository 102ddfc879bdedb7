//! What is asked of the records, and what is wrong with asking it.

use jiff::civil::Date;
use wrackline_plan::scenario::Problems;
use wrackline_plan::words::Unknown;

/// Which animal, where, and which records are held to tell of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Latitude of the place, degrees north.
    pub latitude_deg: f64,
    /// Longitude of the place, degrees east.
    pub longitude_deg: f64,
    /// Records within this distance count, kilometres; above 0 and up to 500.
    pub radius_km: f64,
    /// Records whose position is less certain than this are left out, metres.
    pub coarsest_m: f64,
    /// Names of the animal, scientific or vernacular, in whatever case. A scientific one also
    /// stands for what begins with it: its subspecies, the authority behind it.
    pub names: Vec<String>,
    /// Records before this day are left out.
    pub since: Option<Date>,
    /// Kinds of animals that a visit must tell of, or else it is no list of what was there: whoever
    /// notes one animal need not have looked for another. At least 1.
    pub shortest_list: usize,
    /// Visits that a half-month must have, or else nothing is said of it.
    pub fewest_visits: u32,
    /// The animal counts as present where it is on this part of the share of visits that it has in
    /// its best half-month; above 0 and up to 1.
    pub threshold: f64,
    /// Leave out records that cannot be read, and count them, instead of refusing them all.
    pub skip_unreadable: bool,
}

impl Question {
    /// About an animal at a place, with our defaults: records within 10 km and certain to as much,
    /// lists of two kinds of animals, five visits a half-month, a tenth of the best share.
    pub fn new(latitude_deg: f64, longitude_deg: f64, names: Vec<String>) -> Self {
        Self {
            latitude_deg,
            longitude_deg,
            radius_km: 10.0,
            coarsest_m: 10_000.0,
            names,
            since: None,
            shortest_list: 2,
            fewest_visits: 5,
            threshold: 0.1,
            skip_unreadable: false,
        }
    }

    pub(super) fn check(&self) -> Result<(), Error> {
        let within = |what, value: f64, low: f64, high: f64| {
            if (low..=high).contains(&value) {
                Ok(())
            } else {
                Err(Error::OutOfRange {
                    what,
                    value,
                    low,
                    high,
                })
            }
        };
        within("the latitude", self.latitude_deg, -90.0, 90.0)?;
        within("the longitude", self.longitude_deg, -180.0, 180.0)?;
        within("the radius in km", self.radius_km, 0.01, 500.0)?;
        within("the coarsest position in m", self.coarsest_m, 1.0, 1e6)?;
        within("the threshold", self.threshold, 0.001, 1.0)?;
        within("the shortest list", self.shortest_list as f64, 1.0, 16.0)?;
        within("the fewest visits", f64::from(self.fewest_visits), 1.0, 1e6)?;
        if self.names.iter().all(|name| name.trim().is_empty()) {
            return Err(Error::Nameless);
        }
        Ok(())
    }
}

/// Why records tell nothing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Records that cannot be read.
    #[error("{0}")]
    Unreadable(#[from] Problems),
    /// A figure of the question that makes no sense.
    #[error("{what} is {value}; give one from {low} to {high}")]
    OutOfRange {
        /// Which one.
        what: &'static str,
        /// What it is.
        value: f64,
        /// The least that is taken.
        low: f64,
        /// The most that is taken.
        high: f64,
    },
    /// No name was given.
    #[error("no animal is named; give its scientific or vernacular name as the records have it")]
    Nameless,
    /// A name that no record around the place has. Nothing says that the animal is absent: it may
    /// go by another name.
    #[error("{0}")]
    Unheard(Unknown),
    /// No record around the place.
    #[error(
        "none of the {records} records lies within {radius_km} km of the place; give another \
         radius, or records of the place"
    )]
    Elsewhere {
        /// All records.
        records: u64,
        /// The radius.
        radius_km: f64,
    },
    /// Every record around the place was left out.
    #[error(
        "none of the {records} records within {radius_km} km of the place makes a visit: {why}"
    )]
    NoVisits {
        /// Records within the radius.
        records: u64,
        /// The radius.
        radius_km: f64,
        /// What they were left out for, most first.
        why: String,
    },
    /// Only the animal itself was recorded: how often it was looked for in vain is not known.
    #[error(
        "all visits have the animal and nothing else: how often it was looked for in vain is not \
         known; give the records of all animals at the place, or visits with what was absent"
    )]
    NoEffort,
    /// More records around the place than are held.
    #[error(
        "more than {most} records lie within {radius_km} km of the place; give a smaller radius, \
         or fewer years"
    )]
    TooMany {
        /// How many are held.
        most: usize,
        /// The radius.
        radius_km: f64,
    },
}
