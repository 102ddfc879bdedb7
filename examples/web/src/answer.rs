//! A question, answered.

use serde::Serialize;
use wrackline_plan::reach::Question as Claim;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Problem, Problems, Scenario};
use wrackline_show::reach;

use crate::question::{Files, Question};
use crate::texts::{File, Texts};
use crate::{check, page, season, stricter, tide};

/// What a page is told.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
enum Answer {
    /// What was asked for.
    Good(serde_json::Value),
    /// A text that was asked for.
    Text(String),
    /// What is wrong with the scenario, each with its place.
    Problems(Vec<Problem>),
    /// Why there is no answer, in words.
    Trouble(String),
}

/// Why there is no answer.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The scenario is at fault.
    Problems(Problems),
    /// Anything else.
    Trouble(String),
}

impl Failure {
    /// Anything that says what it is.
    pub(crate) fn trouble(what: impl ToString) -> Self {
        Self::Trouble(what.to_string())
    }
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::Problems(problems)
    }
}

/// Answers a question of the page, both in JSON. Whatever is asked, there is an answer: `good` or
/// `text`, or `problems` of the scenario, or `trouble` in words.
pub fn answer(question: &str) -> String {
    let answered = serde_json::from_str(question)
        .map_err(|error| Failure::Trouble(format!("the question cannot be read: {error}")))
        .and_then(asked);
    let answer = answered.unwrap_or_else(|failure| match failure {
        Failure::Problems(problems) => Answer::Problems(problems.iter().cloned().collect()),
        Failure::Trouble(what) => Answer::Trouble(what),
    });
    serde_json::to_string(&answer).unwrap_or_else(|error| {
        let what = serde_json::Value::from(error.to_string());
        format!("{{\"trouble\":{what}}}")
    })
}

fn asked(question: Question) -> Result<Answer, Failure> {
    Ok(match question {
        Question::Check { from } => good(&check::checked(texts(&from)?, &from)?)?,
        Question::Files { from } => {
            let (changed, _) = changed(&from)?;
            good(&changed.files())?
        }
        Question::Page {
            from,
            wanted,
            cards,
        } => Answer::Text(page::page(&scenario(&from)?, &wanted, cards, from.demo)?),
        Question::CardOfWindow {
            from,
            wanted,
            rank,
            number,
        } => Answer::Text(page::card(&scenario(&from)?, &wanted, rank, number)?),
        Question::Season {
            from,
            wanted,
            format,
            count,
        } => Answer::Text(season::file(
            &scenario(&from)?,
            &wanted,
            format,
            count,
            from.demo,
        )?),
        Question::Card { from, wanted } => {
            Answer::Text(page::card_alone(&scenario(&from)?, &wanted, from.demo)?)
        }
        Question::Tide { from, day } => good(&tide::of_day(&scenario(&from)?, day)?)?,
        Question::Reach { name, text } => {
            let claim = Claim::parse(&name, &text).map_err(Failure::trouble)?;
            let answer = claim.answer().map_err(Failure::trouble)?;
            good(&serde_json::json!({
                "text": reach::text(&answer).map_err(Failure::trouble)?,
                "drawing": reach::drawing(&answer).map_err(Failure::trouble)?,
            }))?
        }
        #[cfg(all(feature = "parity", not(test)))]
        Question::Parity {} => Answer::Text(crate::parity::computed()),
        Question::Demo {} => good(&serde_json::json!({
            "scenario": File { name: DEMO_NAME.to_owned(), text: DEMO.to_owned() },
            "reach": include_str!("../../demo/reach.toml"),
        }))?,
    })
}

fn good(value: &impl Serialize) -> Result<Answer, Failure> {
    let value = serde_json::to_value(value).map_err(Failure::trouble)?;
    Ok(Answer::Good(value))
}

/// The texts of a question.
fn texts(from: &Files) -> Result<Texts, Failure> {
    Texts::new(from.files.clone())
        .ok_or_else(|| Failure::trouble("no scenario is given; open one, or take the demo"))
}

/// The texts with their changes, and the scenario that these make.
fn changed(from: &Files) -> Result<(Texts, Scenario), Failure> {
    stricter::changed(texts(from)?, &from.changes)
}

fn scenario(from: &Files) -> Result<Scenario, Failure> {
    changed(from).map(|(_, scenario)| scenario)
}
