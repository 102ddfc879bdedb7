//! Where a table looks from.

use jiff::tz::TimeZone;
use wrackline_plan::levels::{self, Standing};
use wrackline_solar::Observer;
use wrackline_tides::Port;

/// One row's worth of place: all that does not change with the instant.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Its name.
    pub place: String,
    /// The seat there, if it is one.
    pub seat: Option<String>,
    /// Where it is.
    pub observer: Observer,
    /// True bearing of the view, degrees; without it light has no side.
    pub bearing_deg: Option<f64>,
    /// Its water levels.
    pub levels: Levels,
    /// Its tide, as a position in [`Places::ports`].
    pub port: Option<usize>,
    /// Its time zone, as a position in [`Places::zones`].
    pub zone: usize,
    /// For a seat of a scenario, what is looked for from there.
    pub wish: Option<SeatWish>,
}

/// The water levels of a place, metres above its port's datum.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Levels {
    /// From here the animals come up.
    pub push_m: Option<f64>,
    /// Above this the place drowns.
    pub overtop_m: Option<f64>,
    /// What is added to a prediction before it is held against the levels.
    pub expected_m: f64,
}

impl Levels {
    /// Whether there is any.
    pub fn any(&self) -> bool {
        self.of_the_place().any()
    }

    /// Where the expected water over a predicted height stands.
    pub(super) fn standing(&self, height_m: f64) -> Standing {
        self.of_the_place().standing(height_m + self.expected_m)
    }

    /// The highest level that it reaches, as a position among the words of its column.
    pub(super) fn exceeded(&self, height_m: f64) -> i8 {
        match self.standing(height_m) {
            Standing::Over => 2,
            Standing::InBand if self.push_m.is_some() => 1,
            Standing::InBand | Standing::Under => 0,
        }
    }

    fn of_the_place(&self) -> levels::Levels {
        levels::Levels {
            push_m: self.push_m,
            overtop_m: self.overtop_m,
        }
    }
}

/// A seat, a subject and a light by their positions in the scenario.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeatWish {
    /// Position among the seats.
    pub seat: usize,
    /// Position among the subjects.
    pub subject: usize,
    /// Position among the lights.
    pub light: usize,
}

/// The light that is wanted at places without a scenario, judged at each instant by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightWish {
    /// Lowest and highest airless altitude of the sun's centre, degrees.
    pub altitude_deg: [f64; 2],
    /// Smallest and largest angle between the shadow line and the view, degrees; places without a
    /// bearing pass.
    pub angle_deg: [f64; 2],
}

/// A port and the name by which places refer to it.
#[derive(Clone, Debug)]
pub struct NamedPort {
    /// Its name.
    pub name: String,
    /// Its harmonic constants.
    pub port: Port,
}

/// The places of a table with the ports and zones that they share.
#[derive(Clone, Debug, Default)]
pub struct Places {
    /// The places, at least one in a table.
    pub spots: Vec<Spot>,
    /// The ports.
    pub ports: Vec<NamedPort>,
    /// The time zones by name.
    pub zones: Vec<(String, TimeZone)>,
}

impl Places {
    /// The position of a zone of the IANA database, kept once; `None` if there is none of that
    /// name.
    pub(super) fn zone(&mut self, name: &str) -> Option<usize> {
        if let Some(at) = self.zones.iter().position(|(known, _)| known == name) {
            return Some(at);
        }
        let zone = TimeZone::get(name).ok()?;
        Some(self.add_zone(name, zone))
    }

    pub(super) fn add_zone(&mut self, name: &str, zone: TimeZone) -> usize {
        self.zones.push((name.to_owned(), zone));
        self.zones.len() - 1
    }
}
