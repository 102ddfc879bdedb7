//! What a page asks.

use jiff::civil::Date;
use serde::Deserialize;
use wrackline_plan::season::Request;
use wrackline_plan::windows;
use wrackline_show::card;

use crate::stricter::Change;
use crate::texts::File;

/// One question, as the page writes it in JSON: an object with one field, whose name says which.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Question {
    /// Whether the scenario is good, what is in it, and which of its figures can be changed.
    Check {
        /// From what.
        from: Files,
    },
    /// The files with their figures changed, to be kept.
    Files {
        /// From what.
        from: Files,
    },
    /// The season as what the season page shows, in one light or in all.
    Page {
        /// From what.
        from: Files,
        /// What is looked for.
        wanted: Wanted,
        /// How many cards come along.
        cards: usize,
    },
    /// The card of one window of that page.
    CardOfWindow {
        /// From what.
        from: Files,
        /// What is looked for; its light is that of the window.
        wanted: Wanted,
        /// The rank of the window in its light, from 1.
        rank: usize,
        /// Its number in the page, by which names on the card are kept apart.
        number: usize,
    },
    /// The season as a file.
    Season {
        /// From what.
        from: Files,
        /// What is looked for.
        wanted: Wanted,
        /// As what.
        format: SeasonFormat,
        /// The most windows, best first.
        count: usize,
    },
    /// The card of an outing as a page of its own.
    Card {
        /// From what.
        from: Files,
        /// Which outing.
        wanted: Asked,
    },
    /// High and low waters of a day, and the water between them.
    Tide {
        /// From what.
        from: Files,
        /// The day.
        day: Date,
    },
    /// A claim of reach, taken apart.
    Reach {
        /// What the question is called in messages.
        name: String,
        /// The question (TOML).
        text: String,
    },
    /// The figures of the parity file.
    #[cfg(all(feature = "parity", not(test)))]
    Parity {},
    /// The invented demo: a scenario and a question of reach.
    Demo {},
}

/// The texts that a plan is made from, and what is changed in them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Files {
    /// The scenario, and what it includes.
    pub files: Vec<File>,
    /// Figures that are changed, for this plan.
    #[serde(default)]
    pub changes: Vec<Change>,
    /// Whether it is the invented demo.
    #[serde(default)]
    pub demo: bool,
}

/// What is looked for in a season.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// First day.
    pub from: Date,
    /// Number of days.
    pub days: u32,
    /// One place only, by its id.
    #[serde(default)]
    pub place: Option<String>,
    /// One subject only, by its id, or "all".
    #[serde(default)]
    pub subject: Option<String>,
    /// The light by its name; in a page also "all".
    #[serde(default)]
    pub light: Option<String>,
    /// On which part of the tide.
    #[serde(default)]
    pub tide: Phase,
}

/// Which outing a card is asked for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// The civil day that it is now.
    pub today: Date,
    /// The day of the outing; the best one from `today` on when left out.
    #[serde(default)]
    pub date: Option<Date>,
    /// One seat only, by its id.
    #[serde(default)]
    pub seat: Option<String>,
    /// One subject only, by its id, or "all".
    #[serde(default)]
    pub subject: Option<String>,
    /// The light by its name.
    #[serde(default)]
    pub light: Option<String>,
    /// On which part of the tide.
    #[serde(default)]
    pub tide: Phase,
    /// The sheet.
    #[serde(default)]
    pub paper: Paper,
}

/// On which part of the tide.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// All of it.
    #[default]
    Both,
    /// While it rises.
    Flood,
    /// While it falls.
    Ebb,
}

impl From<Phase> for windows::Phase {
    fn from(phase: Phase) -> Self {
        match phase {
            Phase::Both => Self::Both,
            Phase::Flood => Self::Flood,
            Phase::Ebb => Self::Ebb,
        }
    }
}

/// The sheet of a card.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 148 by 210 mm.
    A5,
}

impl From<Paper> for card::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self::A4,
            Paper::A5 => Self::A5,
        }
    }
}

/// As what a season is written.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SeasonFormat {
    /// Aligned text.
    Text,
    /// CSV.
    Csv,
    /// JSON.
    Json,
}

impl Wanted {
    /// The request of it, which keeps every window and every refused tide.
    pub(crate) fn request(&self) -> Request<'_> {
        Request {
            place: self.place.as_deref(),
            subject: self.subject.as_deref(),
            light: self.light.as_deref(),
            phase: self.tide.into(),
            ..Request::new(self.from, self.days)
        }
    }
}
