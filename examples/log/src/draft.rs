//! An entry before it is understood, and an entry as texts again.

use jiff::tz::TimeZone;

use super::entry::{Cell, Entry, FIELDS, Sky};
use super::outcome::Outcome;
use super::problem::{Problem, closest, echo};
use super::when::When;
use super::wind::Wind;

/// The texts of an entry before they are understood: what a row, a line of JSON, the flags or the
/// answers gave.
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
    /// Every field that is missing, not understood, out of its range or at odds with another, all
    /// at once.
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
        let when = read.required("when", |text| {
            When::parse(text, zone).map_err(|error| error.to_string())
        });
        let place = read.required("place", word);
        let subject = read.required("subject", word);
        let outcome = read.required("outcome", |text| {
            Outcome::parse(text).ok_or_else(|| {
                format!(
                    "'{}' is not an outcome{}",
                    echo(text),
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
            // The largest tidal ranges are near 16 m and datums vary: wide enough for any gauge,
            // narrow enough for a level typed in centimetres to be noticed.
            observed_level_m: read.optional("observed_level_m", |t| real(t, -20.0, 30.0)),
            // A little beyond the lowest and highest pressures ever measured at sea level, 870 and
            // 1084 hPa.
            pressure_hpa: read.optional("pressure_hpa", |t| real(t, 850.0, 1_100.0)),
            air_c: read.optional("air_c", |t| real(t, -70.0, 60.0)),
        };
        let wind = read.optional("wind", |text| {
            Wind::parse(text).ok_or_else(|| {
                format!(
                    "'{}' is not a wind; write the point it comes \
                from and the Beaufort force, like W3, or calm",
                    echo(text)
                )
            })
        });
        let sky = read.optional("sky", |text| {
            let lower = text.to_lowercase();
            Sky::ALL
                .iter()
                .find(|(_, word)| *word == lower)
                .map(|(sky, _)| *sky)
                .ok_or_else(|| {
                    format!(
                        "'{}' is not a sky{}",
                        echo(text),
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

impl Entry {
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
        return Err(format!("{:?} holds control characters", echo(text)));
    }
    Ok(text.to_owned())
}

fn whole(text: &str, most: u32) -> Result<u32, String> {
    text.parse()
        .ok()
        .filter(|value| *value <= most)
        .ok_or_else(|| format!("'{}' is not a whole number from 0 to {most}", echo(text)))
}

fn real(text: &str, lowest: f64, highest: f64) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|value| (lowest..=highest).contains(value))
        .ok_or_else(|| {
            format!(
                "'{}' is not a number from {lowest} to {highest}",
                echo(text)
            )
        })
}
