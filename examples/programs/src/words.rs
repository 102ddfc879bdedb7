//! The words of options that choose one of a few things, each with the thing that it stands for.

use std::ffi::OsStr;

use clap::builder::{PossibleValue, TypedValueParser};
use wrackline_plan::port::{convention, convention_words};
use wrackline_plan::windows;
use wrackline_show::{card, harmonics, project, report, sweep, tidetable};
use wrackline_tides::Convention;

/// An enum for the command line whose variants are named as those of what it stands for.
#[macro_export]
macro_rules! words {
    (
        $(#[$meta:meta])*
        $name:ident for $meant:ty { $($(#[$of_word:meta])* $word:ident,)+ }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
        pub(crate) enum $name {
            $($(#[$of_word])* $word,)+
        }

        impl From<$name> for $meant {
            fn from(word: $name) -> Self {
                match word {
                    $($name::$word => Self::$word,)+
                }
            }
        }
    };
}

words! {
    /// A part of the tide.
    #[derive(Default)]
    Phase for windows::Phase {
        /// Until high water.
        Flood,
        /// From high water.
        Ebb,
        /// All of it.
        #[default]
        Both,
    }
}

/// How a season is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, clap::ValueEnum)]
pub(crate) enum SeasonFormat {
    /// Aligned text for people.
    #[default]
    Text,
    /// One row for each window (RFC 4180), column names with units.
    Csv,
    /// One object with windows, seats and cautions.
    Json,
    /// A calendar with an event for each window (RFC 5545), its alarms before setting out and at
    /// the latest departure.
    #[value(name = "icalendar")]
    ICalendar,
    /// Places, seats and ways for a map (RFC 7946); sensitive places coarsened.
    #[value(name = "geojson")]
    GeoJson,
    /// The same for a hand-held receiver (GPX 1.1); sensitive places coarsened.
    Gpx,
    /// One page with calendar, windows, cards and field sheet, for a phone without signal and for
    /// paper.
    Html,
    /// The calendar as a picture for a wall.
    Svg,
}

/// The two ways in which a season can be written.
pub(crate) enum SeasonWriter {
    /// As a report of one light.
    Report(report::Format),
    /// As a page, of one light or all.
    Page,
    /// As a picture of one light.
    Wall,
}

impl SeasonFormat {
    /// Who writes it.
    pub(crate) fn writer(self) -> SeasonWriter {
        SeasonWriter::Report(match self {
            Self::Text => report::Format::Text,
            Self::Csv => report::Format::Csv,
            Self::Json => report::Format::Json,
            Self::ICalendar => report::Format::ICalendar,
            Self::GeoJson => report::Format::GeoJson,
            Self::Gpx => report::Format::Gpx,
            Self::Html => return SeasonWriter::Page,
            Self::Svg => return SeasonWriter::Wall,
        })
    }

    /// What the ending of a file's name asks for.
    pub(crate) fn of_file(path: &std::path::Path) -> Option<Self> {
        let ending = path.extension()?.to_str()?.to_ascii_lowercase();
        Some(match ending.as_str() {
            "txt" => Self::Text,
            "csv" => Self::Csv,
            "json" => Self::Json,
            "ics" => Self::ICalendar,
            "geojson" => Self::GeoJson,
            "gpx" => Self::Gpx,
            "html" | "htm" => Self::Html,
            "svg" => Self::Svg,
            _ => return None,
        })
    }
}

words! {
    /// The order in which windows are shown.
    #[derive(Default)]
    Order for report::Order {
        /// The best first.
        #[default]
        Rank,
        /// The best of them, by the calendar.
        Date,
    }
}

/// When text is coloured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, clap::ValueEnum)]
pub(crate) enum Colour {
    /// On a terminal, unless the environment has NO_COLOR.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

words! {
    /// How a sweep is written.
    #[derive(Default)]
    SweepFormat for sweep::Format {
        /// Aligned text for people.
        #[default]
        Text,
        /// One row for each bearing and distance (RFC 4180).
        Csv,
        /// One object.
        Json,
        /// A picture, north at the top.
        Svg,
    }
}

words! {
    /// What a project is written as.
    #[derive(Default)]
    ProjectFormat for project::Format {
        /// Aligned text for people.
        #[default]
        Text,
        /// One row for each visit of the plan (RFC 4180).
        Csv,
        /// One object with pictures, the plan and cautions.
        Json,
    }
}

words! {
    /// The sheet for which a card is set.
    #[derive(Default)]
    Paper for card::Paper {
        /// 210 by 297 mm.
        #[default]
        A4,
        /// 148 by 210 mm, over several sides in type of 8 points and more.
        A5,
    }
}

words! {
    /// How a table of turns is written.
    #[derive(Default)]
    TideTableFormat for tidetable::Format {
        /// Aligned text.
        #[default]
        Text,
        /// CSV (RFC 4180).
        Csv,
        /// JSON.
        Json,
        /// iCalendar (RFC 5545).
        Ics,
    }
}

words! {
    /// How harmonic constants are written.
    #[derive(Default)]
    HarmonicsFormat for harmonics::Format {
        /// A table to read.
        #[default]
        Text,
        /// CSV of the constants (RFC 4180).
        Csv,
        /// A port file that `tidetable` reads, with errors and residual.
        Json,
        /// The `[port]` of a scenario, for its `include` and for `tidetable`.
        Toml,
    }
}

/// Reads the convention that harmonic constants belong to: the words of the files, and the
/// convention of satellites with its latitude, which no list of fixed words can hold.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ConventionParser;

/// The words with what they stand for, as the help and the completions list them.
const CONVENTIONS: [(&str, &str); 5] = [
    (
        "schureman-annual",
        "Schureman's factors at the middle of each year, as NOAA",
    ),
    ("schureman-instant", "Schureman's factors at each instant"),
    ("iho-instant", "The IHO list's factors at each instant"),
    (
        "rijkswaterstaat",
        "Schureman's factors at the middle of each year with the Dutch office's longitudes",
    ),
    (
        "foreman-instant@LATITUDE",
        "Foreman's satellites at each instant, for a latitude in degrees north",
    ),
];

impl TypedValueParser for ConventionParser {
    type Value = Convention;

    fn parse_ref(
        &self,
        command: &clap::Command,
        argument: Option<&clap::Arg>,
        value: &OsStr,
    ) -> Result<Convention, clap::Error> {
        let parse = |word: &str| {
            convention(word).ok_or_else(|| format!("give one of {}", convention_words()))
        };
        parse.parse_ref(command, argument, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let listed = CONVENTIONS.iter();
        Some(Box::new(
            listed.map(|(word, help)| PossibleValue::new(*word).help(*help)),
        ))
    }
}

#[cfg(test)]
mod tests {
    use wrackline_plan::port;

    use super::*;

    #[test]
    fn flags_and_files_name_the_conventions_alike() {
        let command = clap::Command::new("any");
        let read = |word: &str| {
            ConventionParser
                .parse_ref(&command, None, OsStr::new(word))
                .ok()
        };
        for (word, _) in CONVENTIONS {
            let word = word.replace("LATITUDE", "52.5");
            assert!(port::convention(&word).is_some(), "{word}");
            assert_eq!(read(&word), port::convention(&word));
        }
        assert_eq!(CONVENTIONS.len(), port::CONVENTIONS.len() + 1);
        assert_eq!(read("noaa-annual"), port::convention("noaa-annual"));
        assert_eq!(read("foreman-instant"), None);
        assert_eq!(read("foreman-instant@95"), None);
    }
}
