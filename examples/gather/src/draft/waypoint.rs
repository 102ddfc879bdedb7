//! A point that somebody noted, before it is known what it is in a scenario.

use super::globe::Spot;
use super::names::plain;

/// What a waypoint says that it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Where the animals are.
    Place,
    /// Where the photographer sits.
    Seat,
    /// A seat that is a hide.
    Hide,
    /// Where a way to seats begins that the tide may close.
    WayIn,
}

impl Kind {
    /// By its word, as a receiver or a map writes it; capitals, spaces and hyphens do not matter.
    pub fn of(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase().replace([' ', '-'], "_");
        Some(match word.as_str() {
            "place" => Self::Place,
            "seat" => Self::Seat,
            "hide" => Self::Hide,
            "way_in" => Self::WayIn,
            _ => return None,
        })
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Seat => "seat",
            Self::Hide => "hide",
            Self::WayIn => "way in",
        }
    }
}

/// A point that somebody noted.
#[derive(Clone, Debug, PartialEq)]
pub struct Waypoint {
    /// Its name in one plain line.
    pub name: Option<String>,
    /// What it says that it is.
    pub kind: Option<Kind>,
    /// Where it is.
    pub spot: Spot,
    /// Elevation as the receiver gave it, metres: above an ellipsoid or a geoid, and never above
    /// chart datum.
    pub elevation_m: Option<f64>,
    /// A remark in one plain line.
    pub note: Option<String>,
}

impl Waypoint {
    /// A point with nothing said about it but perhaps its name.
    pub fn at(spot: Spot, name: Option<&str>) -> Self {
        Self {
            name: name.and_then(plain),
            kind: None,
            spot,
            elevation_m: None,
            note: None,
        }
    }

    /// A name as a waypoint would have it, in one plain line; `None` where nothing can be read.
    pub fn plain(name: &str) -> Option<String> {
        plain(name)
    }

    /// The name, or what stands in for it: the number among all of its file.
    pub fn called(&self, number: usize) -> String {
        self.name
            .clone()
            .unwrap_or_else(|| format!("waypoint {number}"))
    }
}
