//! One visit: what was seen, under which sky and water, and how the animals took it.

use jiff::civil::{Date, DateTime};
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};

use super::outcome::Outcome;
use super::problem::{Problem, closest};
use super::wind::Wind;

/// When a visit was.
///
/// The instant that mattered (the birds came in, the picture was made) is what conditions are worked out for. A note
/// that only gives a day keeps that honesty: it is counted, but joined with no conditions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Only the local date is known.
    Day(Date),
    /// The instant that mattered.
    At(Timestamp),
}

impl When {
    /// The local date in `zone`.
    pub fn date(self, zone: &TimeZone) -> Date {
        match self {
            When::Day(date) => date,
            When::At(at) => at.to_zoned_datetime(zone.clone()).date(),
        }
    }

    /// The year in which its winter began. A winter runs from July to June.
    pub fn winter(self, zone: &TimeZone) -> i16 {
        let date = self.date(zone);
        if date.month() >= 7 {
            date.year()
        } else {
            date.year() - 1
        }
    }

    /// The instant, where one is known.
    pub const fn instant(self) -> Option<Timestamp> {
        match self {
            When::Day(_) => None,
            When::At(at) => Some(at),
        }
    }

    /// Reads a date, a local date and time in `zone`, or an instant with its own offset (`Z`, `+01:00`).
    ///
    /// # Errors
    /// A time that the clock change skips or repeats is refused, with the offset asked for: guessing would move the
    /// visit by an hour against the tide.
    pub fn parse(text: &str, zone: &TimeZone) -> Result<When, String> {
        let text = text.trim();
        if let Ok(at) = text.parse::<Timestamp>() {
            return Ok(When::At(at));
        }
        if let Ok(zoned) = text.parse::<ZonedDateTime>() {
            return Ok(When::At(zoned.timestamp()));
        }
        if text.len() <= 10 {
            return text
                .parse::<Date>()
                .map(When::Day)
                .map_err(|_| when_help(text));
        }
        let civil: DateTime = text.parse().map_err(|_| when_help(text))?;
        let ambiguous = zone.to_ambiguous_timestamp(civil);
        match ambiguous.offset() {
            AmbiguousOffset::Unambiguous { .. } => ambiguous
                .compatible()
                .map(When::At)
                .map_err(|_| when_help(text)),
            AmbiguousOffset::Gap { .. } => Err(format!(
                "'{text}' does not exist where the visit was: the clocks went forward over it; write the time with its offset, like {}+00:00",
                civil
            )),
            AmbiguousOffset::Fold { before, after } => Err(format!(
                "'{text}' happened twice where the visit was: the clocks went back; write {civil}{before} or {civil}{after}"
            )),
        }
    }
}

fn when_help(text: &str) -> String {
    format!(
        "'{text}' is neither a date nor a time; write 2026-01-24, or 2026-01-24 08:52 in the place's own time, or 2026-01-24T08:52Z"
    )
}

impl std::fmt::Display for When {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            When::Day(date) => write!(f, "{date}"),
            When::At(at) => write!(f, "{at}"),
        }
    }
}

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
    /// Strongest sign of unease that the visit caused: 0 feeding or asleep, 1 heads up, 2 calling, bunching or walking
    /// off, 3 wings up, 4 flight.
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

/// The texts of an entry before they are understood: what a row, a line of JSON, the flags or the answers gave.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    texts: Vec<(&'static str, String)>,
}

impl Draft {
    /// Puts a text into a field; an empty text takes the field out.
    ///
    /// # Errors
    /// An unknown field name, with the nearest known one.
    pub fn set(&mut self, name: &str, text: &str) -> Result<(), Problem> {
        let Some(field) = FIELDS.iter().find(|field| field.name == name) else {
            let known = FIELDS.map(|field| field.name);
            return Err(Problem::new(
                name,
                format!("no such field{}", closest(name, &known)),
            ));
        };
        self.texts.retain(|(known, _)| *known != field.name);
        if !text.trim().is_empty() {
            self.texts.push((field.name, text.trim().to_owned()));
        }
        Ok(())
    }

    /// The text of a field, where there is one.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.texts
            .iter()
            .find(|(known, _)| *known == name)
            .map(|(_, text)| text.as_str())
    }

    /// Whether nothing was put in at all.
    pub fn is_empty(&self) -> bool {
        self.texts.is_empty()
    }

    /// Understands the texts, and refuses an entry that contradicts itself.
    ///
    /// # Errors
    /// Every field that is missing, not understood, out of its range or at odds with another, all at once.
    pub fn entry(&self, zone: &TimeZone) -> Result<Entry, Vec<Problem>> {
        let entry = self.entry_as_noted(zone)?;
        let mut problems = Vec::new();
        entry.contradictions(&mut problems);
        if problems.is_empty() {
            Ok(entry)
        } else {
            Err(problems)
        }
    }

    /// Understands the texts of an entry that was accepted long ago, perhaps under easier rules.
    ///
    /// # Errors
    /// Every field that is missing, not understood or out of its range, all at once.
    pub fn entry_as_noted(&self, zone: &TimeZone) -> Result<Entry, Vec<Problem>> {
        let mut read = Read {
            draft: self,
            problems: Vec::new(),
        };
        let when = read.required("when", |text| When::parse(text, zone));
        let place = read.required("place", word);
        let subject = read.required("subject", word);
        let outcome = read.required("outcome", |text| {
            Outcome::parse(text).ok_or_else(|| {
                format!(
                    "'{text}' is not an outcome{}",
                    closest(text, &Outcome::ALL.map(Outcome::word))
                )
            })
        });
        let rest = (
            read.optional("id", word).unwrap_or_default(),
            read.optional("seat", word),
            read.optional("notes", |text| Ok(text.to_owned())),
        );
        let numbers = Numbers {
            count: read.optional("count", |t| whole(t, 10_000_000)),
            minutes: read.optional("minutes", |t| whole(t, 2_880)),
            frozen_days: read.optional("frozen_days", |t| whole(t, 366)),
            people: read.optional("people", |t| whole(t, 100_000)),
            flushes: read.optional("flushes", |t| whole(t, 1_000)),
            pictures: read.optional("pictures", |t| whole(t, 1_000_000)),
            selects: read.optional("selects", |t| whole(t, 1_000_000)),
            unease: read.optional("unease", |t| whole(t, 4)),
            distance_m: read.optional("distance_m", |t| real(t, 0.1, 20_000.0)),
            unease_distance_m: read.optional("unease_distance_m", |t| real(t, 0.1, 20_000.0)),
            // The largest tidal ranges are near 16 m and datums vary: wide enough for any gauge, narrow enough for a
            // level typed in centimetres to be noticed.
            observed_level_m: read.optional("observed_level_m", |t| real(t, -20.0, 30.0)),
            // A little beyond the lowest and highest pressures ever measured at sea level, 870 and 1084 hPa.
            pressure_hpa: read.optional("pressure_hpa", |t| real(t, 850.0, 1_100.0)),
            air_c: read.optional("air_c", |t| real(t, -70.0, 60.0)),
        };
        let wind = read.optional("wind", |text| {
            Wind::parse(text).ok_or_else(|| format!("'{text}' is not a wind; write the point it comes from and the Beaufort force, like W3, or calm"))
        });
        let sky = read.optional("sky", |text| {
            let lower = text.to_lowercase();
            Sky::ALL
                .iter()
                .find(|(_, word)| *word == lower)
                .map(|(sky, _)| *sky)
                .ok_or_else(|| {
                    format!(
                        "'{text}' is not a sky{}",
                        closest(&lower, &Sky::ALL.map(|(_, word)| word))
                    )
                })
        });
        let problems = read.problems;
        let (Some(when), Some(place), Some(subject), Some(outcome)) =
            (when, place, subject, outcome)
        else {
            return Err(problems);
        };
        let (id, seat, notes) = rest;
        let entry = Entry {
            id,
            when,
            place,
            seat,
            subject,
            outcome,
            count: numbers.count,
            minutes: numbers.minutes,
            distance_m: numbers.distance_m,
            observed_level_m: numbers.observed_level_m,
            pressure_hpa: numbers.pressure_hpa,
            wind,
            air_c: numbers.air_c,
            frozen_days: numbers.frozen_days,
            sky,
            people: numbers.people,
            unease: numbers.unease.and_then(|sign| u8::try_from(sign).ok()),
            unease_distance_m: numbers.unease_distance_m,
            flushes: numbers.flushes,
            pictures: numbers.pictures,
            selects: numbers.selects,
            notes,
        };
        if problems.is_empty() {
            Ok(entry)
        } else {
            Err(problems)
        }
    }
}

struct Numbers {
    count: Option<u32>,
    minutes: Option<u32>,
    frozen_days: Option<u32>,
    people: Option<u32>,
    flushes: Option<u32>,
    pictures: Option<u32>,
    selects: Option<u32>,
    unease: Option<u32>,
    distance_m: Option<f64>,
    unease_distance_m: Option<f64>,
    observed_level_m: Option<f64>,
    pressure_hpa: Option<f64>,
    air_c: Option<f64>,
}

struct Read<'a> {
    draft: &'a Draft,
    problems: Vec<Problem>,
}

impl Read<'_> {
    fn optional<T>(
        &mut self,
        name: &'static str,
        parse: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        match parse(self.draft.get(name)?) {
            Ok(value) => Some(value),
            Err(message) => {
                self.problems.push(Problem::new(name, message));
                None
            }
        }
    }

    fn required<T>(
        &mut self,
        name: &'static str,
        parse: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        if self.draft.get(name).is_none() {
            self.problems.push(Problem::new(
                name,
                "is missing; every entry needs it".to_owned(),
            ));
        }
        self.optional(name, parse)
    }
}

fn word(text: &str) -> Result<String, String> {
    if text.chars().any(char::is_control) {
        return Err(format!("{text:?} holds control characters"));
    }
    Ok(text.to_owned())
}

fn whole(text: &str, most: u32) -> Result<u32, String> {
    text.parse()
        .ok()
        .filter(|value| *value <= most)
        .ok_or_else(|| format!("'{text}' is not a whole number from 0 to {most}"))
}

fn real(text: &str, lowest: f64, highest: f64) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|value| (lowest..=highest).contains(value))
        .ok_or_else(|| format!("'{text}' is not a number from {lowest} to {highest}"))
}

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

    /// The entry as texts again, to be changed field by field.
    pub fn draft(&self) -> Draft {
        let texts = FIELDS
            .iter()
            .zip(self.cells())
            .filter(|(_, cell)| *cell != Cell::Missing)
            .map(|(field, cell)| (field.name, cell.to_string()))
            .filter(|(_, text)| !text.is_empty())
            .collect();
        Draft { texts }
    }

    /// Fields that cannot both be true.
    fn contradictions(&self, problems: &mut Vec<Problem>) {
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
                "is 'called off', yet pictures or flushes were noted; a visit broken off is not one called off",
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
