//! Figures of a scenario that can be changed for a plan, and the rule that holds them: what guards
//! animals or people can be made stricter, never looser.
//!
//! A change is made in the text of the scenario, so that it is checked like any other, warned of
//! with its line, and can be kept as a file. Then the figures of both scenarios are held against
//! each other: whatever the text was, no guard has become looser.

mod edit;
mod figure;

use std::fmt;

use serde::Deserialize;
use wrackline_plan::scenario::Scenario;

pub use self::figure::{Figure, Rule, Table, figures};
use crate::answer::Failure;
use crate::texts::Texts;

/// A figure, and what it is to be.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// The table that it stands in.
    pub table: Table,
    /// The id of that table, where there are several.
    #[serde(default)]
    pub of: Option<String>,
    /// Its name there.
    pub field: String,
    /// What it is to be.
    pub value: f64,
}

/// Why a figure was not changed.
#[derive(Clone, Debug, PartialEq)]
pub enum Refused {
    /// It would be looser than the scenario, and it guards somebody.
    Looser {
        /// The figure of the scenario.
        figure: Box<Figure>,
        /// What was asked for.
        value: f64,
    },
    /// The scenario has no such figure.
    Unknown {
        /// What was named.
        name: String,
    },
    /// It is written in a way that nothing can be set into.
    Unwritten {
        /// The figure of the scenario.
        figure: Box<Figure>,
    },
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Looser { figure, value } => write!(
                f,
                "{}: {value} {} is looser than the scenario's own {}, and it guards {}; it can be \
                 made stricter, never looser",
                figure.name,
                figure.unit,
                figure.own,
                figure.guards.unwrap_or("somebody"),
            ),
            Self::Unknown { name } => {
                write!(f, "the scenario has no figure {name} that can be changed")
            }
            Self::Unwritten { figure } => write!(
                f,
                "{}: cannot be set in this text; write `{} = ...` into its table yourself",
                figure.name, figure.field
            ),
        }
    }
}

/// The texts with the changes made, and the scenario that they make.
///
/// # Errors
/// Problems of the scenario, before or after; a change that is refused.
pub(crate) fn changed(texts: Texts, changes: &[Change]) -> Result<(Texts, Scenario), Failure> {
    let own = texts.as_written()?;
    if changes.is_empty() {
        return Ok((texts, own));
    }
    let known = figures(&own);
    let mut texts = texts;
    for change in changes {
        let figure = known.iter().find(|figure| figure.is_of(change));
        let figure = figure.ok_or_else(|| Failure::trouble(unknown(change)))?;
        if !figure.allows(change.value) {
            return Err(Failure::trouble(looser(figure, change.value)));
        }
        if change.value != figure.own && !edit::set(&mut texts, figure, change.value) {
            let figure = Box::new(figure.clone());
            return Err(Failure::trouble(Refused::Unwritten { figure }));
        }
    }
    let scenario = texts.scenario()?;
    match loosened(&own, &scenario) {
        Some(refused) => Err(Failure::trouble(refused)),
        None => Ok((texts, scenario)),
    }
}

/// The first guard that is looser in one scenario than in another of the same places, if any.
pub fn loosened(own: &Scenario, changed: &Scenario) -> Option<Refused> {
    let now = figures(changed);
    figures(own).into_iter().find_map(|figure| {
        let same = |other: &&Figure| {
            (other.table, &other.of, other.field) == (figure.table, &figure.of, figure.field)
        };
        // A guard that is gone is as loose as can be.
        let value = now.iter().find(same).map_or(f64::NAN, |other| other.own);
        (!figure.allows(value)).then(|| looser(&figure, value))
    })
}

fn looser(figure: &Figure, value: f64) -> Refused {
    Refused::Looser {
        figure: Box::new(figure.clone()),
        value,
    }
}

fn unknown(change: &Change) -> Refused {
    let name = match &change.of {
        Some(of) => format!("\"{}\" of \"{of}\"", change.field),
        None => format!("\"{}\"", change.field),
    };
    Refused::Unknown { name }
}
