//! One visit: what was seen, under which sky and water, and how the animals took it.

use super::outcome::Outcome;
#[cfg(feature = "store")]
use super::problem::Problem;
use super::when::When;
use super::wind::Wind;

/// What the sky did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sky {
    /// Direct sun.
    Clear,
    /// Sun and cloud by turns.
    Broken,
    /// Flat light: the side it comes from does not matter.
    Overcast,
    /// Fog or heavy rain: little to be seen.
    Fog,
}

impl Sky {
    /// Every sky, with its word.
    pub const ALL: [(Sky, &'static str); 4] = [
        (Sky::Clear, "clear"),
        (Sky::Broken, "broken"),
        (Sky::Overcast, "overcast"),
        (Sky::Fog, "fog"),
    ];

    /// The word that files use.
    pub fn word(self) -> &'static str {
        Sky::ALL
            .iter()
            .find(|(sky, _)| *sky == self)
            .map_or("clear", |(_, word)| word)
    }
}

/// One visit as it was noted down. Blank visits are entries like any other.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What the entry is called; unique in a log. Empty until the log gives it one.
    pub id: String,
    /// When the visit was.
    pub when: When,
    /// The place's id in the scenario.
    pub place: String,
    /// The seat's id, where one was used.
    pub seat: Option<String>,
    /// The subject's id.
    pub subject: String,
    /// How it ended.
    pub outcome: Outcome,
    /// Animals seen.
    pub count: Option<u32>,
    /// Minutes spent watching: the effort, without which an absence says little.
    pub minutes: Option<u32>,
    /// Distance to the nearest animal, metres.
    pub distance_m: Option<f64>,
    /// Height of the high water that was seen, metres above chart datum.
    pub observed_level_m: Option<f64>,
    /// Air pressure at sea level, hectopascals.
    pub pressure_hpa: Option<f64>,
    /// Wind.
    pub wind: Option<Wind>,
    /// Air temperature, degrees Celsius.
    pub air_c: Option<f64>,
    /// Frozen days in a row up to and including this one.
    pub frozen_days: Option<u32>,
    /// Sky.
    pub sky: Option<Sky>,
    /// Other people, or loose dogs, that could have moved the animals.
    pub people: Option<u32>,
    /// Strongest sign of unease that the visit caused: 0 feeding or asleep, 1 heads up, 2 calling,
    /// bunching or walking off, 3 wings up, 4 flight.
    pub unease: Option<u8>,
    /// Distance at which that sign showed, metres.
    pub unease_distance_m: Option<f64>,
    /// How often the visit put them to flight.
    pub flushes: Option<u32>,
    /// Pictures made.
    pub pictures: Option<u32>,
    /// Pictures kept in the first selection.
    pub selects: Option<u32>,
    /// Whatever else should not be forgotten.
    pub notes: Option<String>,
}

/// The value of one field, ready for any file.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Not noted.
    Missing,
    /// A word or a sentence.
    Text(String),
    /// A count.
    Whole(i64),
    /// A measured value.
    Real(f64),
}

impl std::fmt::Display for Cell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Cell::Missing => Ok(()),
            Cell::Text(text) => f.write_str(text),
            Cell::Whole(whole) => write!(f, "{whole}"),
            Cell::Real(real) => write!(f, "{real}"),
        }
    }
}

/// A field of an entry: its name in every file and flag, and the question that asks for it.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Column name, JSON key and, with hyphens, flag.
    pub name: &'static str,
    /// The question, as put to a person; it says the unit.
    pub ask: &'static str,
    /// Whether an entry cannot do without it.
    pub required: bool,
}

const fn field(name: &'static str, ask: &'static str, required: bool) -> Field {
    Field {
        name,
        ask,
        required,
    }
}

/// Every field, in the order of columns and questions.
pub const FIELDS: [Field; 22] = [
    field("id", "name of the entry (empty: made from the date)", false),
    field(
        "when",
        "when (2026-01-24, or 2026-01-24 08:52 in local time, or with an offset)",
        true,
    ),
    field("place", "place", true),
    field("seat", "seat", false),
    field("subject", "subject", true),
    field(
        "outcome",
        "outcome (called off, absent, out of range, in range, picture, select)",
        true,
    ),
    field("count", "animals seen", false),
    field("minutes", "minutes watched", false),
    field("distance_m", "distance to the nearest animal, m", false),
    field(
        "observed_level_m",
        "high water as seen, m above chart datum",
        false,
    ),
    field("pressure_hpa", "air pressure, hPa", false),
    field("wind", "wind (W3, calm)", false),
    field("air_c", "air temperature, degrees C", false),
    field("frozen_days", "frozen days in a row, today included", false),
    field("sky", "sky (clear, broken, overcast, fog)", false),
    field("people", "other people or loose dogs about", false),
    field(
        "unease",
        "sign of unease (0 at ease, 1 heads up, 2 calling or bunching, 3 wings up, 4 flight)",
        false,
    ),
    field("unease_distance_m", "distance at which it showed, m", false),
    field(
        "flushes",
        "times they were put to flight by the visit",
        false,
    ),
    field("pictures", "pictures made", false),
    field("selects", "pictures kept", false),
    field("notes", "notes", false),
];

impl Entry {
    /// The fields in the order of [`FIELDS`].
    pub fn cells(&self) -> [Cell; FIELDS.len()] {
        let text = |value: &Option<String>| value.clone().map_or(Cell::Missing, Cell::Text);
        let whole = |value: Option<u32>| value.map_or(Cell::Missing, |v| Cell::Whole(i64::from(v)));
        let real = |value: Option<f64>| value.map_or(Cell::Missing, Cell::Real);
        [
            Cell::Text(self.id.clone()),
            Cell::Text(self.when.to_string()),
            Cell::Text(self.place.clone()),
            text(&self.seat),
            Cell::Text(self.subject.clone()),
            Cell::Text(self.outcome.word().to_owned()),
            whole(self.count),
            whole(self.minutes),
            real(self.distance_m),
            real(self.observed_level_m),
            real(self.pressure_hpa),
            self.wind
                .map_or(Cell::Missing, |wind| Cell::Text(wind.to_string())),
            real(self.air_c),
            whole(self.frozen_days),
            self.sky
                .map_or(Cell::Missing, |sky| Cell::Text(sky.word().to_owned())),
            whole(self.people),
            whole(self.unease.map(u32::from)),
            real(self.unease_distance_m),
            whole(self.flushes),
            whole(self.pictures),
            whole(self.selects),
            text(&self.notes),
        ]
    }

    /// Fields that cannot both be true.
    #[cfg(feature = "store")]
    pub(super) fn contradictions(&self, problems: &mut Vec<Problem>) {
        let mut say = |name, message: &str| problems.push(Problem::new(name, message.to_owned()));
        if self.outcome == Outcome::Absent && self.count.is_some_and(|count| count > 0) {
            say(
                "count",
                "animals were counted, yet the outcome is 'absent'; correct one of the two",
            );
        }
        if self.outcome > Outcome::Absent && self.count == Some(0) {
            say(
                "count",
                "is 0, yet the outcome says that they were there; correct one of the two",
            );
        }
        if self.outcome == Outcome::CalledOff
            && self
                .pictures
                .or(self.selects)
                .or(self.flushes)
                .is_some_and(|n| n > 0)
        {
            say(
                "outcome",
                "is 'called off', yet pictures or flushes were noted; a visit broken off is not \
                 one called off",
            );
        }
        if let (Some(selects), Some(pictures)) = (self.selects, self.pictures)
            && selects > pictures
        {
            say("selects", "more pictures kept than made");
        }
        if self.outcome != Outcome::Select && self.selects.is_some_and(|n| n > 0) {
            say(
                "selects",
                "pictures were kept, yet the outcome is not 'select'; correct one of the two",
            );
        }
        if self.unease_distance_m.is_some() && self.unease.is_none() {
            say(
                "unease_distance_m",
                "a distance needs the sign of unease (0-4) that showed there",
            );
        }
        if self.flushes.is_some_and(|n| n > 0) && self.unease.is_some_and(|sign| sign < 4) {
            say("unease", "they were put to flight, which is sign 4");
        }
    }
}
