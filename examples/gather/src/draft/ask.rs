//! Asking one question after another, with a way back.
//!
//! What is asked next depends on what was answered, so the answers alone are the state: the
//! questions are run through from the first on, and the first without an answer is put. Going back
//! takes the last answer away, going on after an interruption brings the kept ones along.

use std::io::{BufRead, Write};

use serde::{Deserialize, Serialize};

/// An answer, and the question it belongs to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// What was asked about.
    pub about: String,
    /// What was said, word for word.
    pub said: String,
}

/// Why asking came to no end.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AskError {
    /// The answers ended before the questions.
    #[error("the answers ended at: {0}")]
    Ended(String),
    /// What was known before the first question makes no sense.
    #[error("{0}")]
    Given(String),
    /// Reading or asking failed.
    #[error("cannot ask: {0}")]
    Io(#[from] std::io::Error),
}

/// Why the questions stop before their end.
pub(super) enum Stop {
    /// A question has no answer yet.
    Open { about: String, question: String },
    /// An answer makes no sense.
    Bad { answer: usize, why: String },
}

/// The questions as they are run through.
pub(super) struct Run<'a> {
    answers: &'a [Answer],
    next: usize,
    rest: bool,
    told: Vec<String>,
}

impl Run<'_> {
    /// Tells something that was understood, once, before the next open question.
    pub(super) fn tell(&mut self, text: impl Into<String>) {
        self.told.push(text.into());
    }

    /// A question that may stay open: `None` for an empty answer.
    pub(super) fn optional<T>(
        &mut self,
        about: &str,
        question: &str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Stop> {
        self.put(about, question, true, read)
    }

    /// A question with an answer that holds where none is given.
    pub(super) fn with_default(
        &mut self,
        about: &str,
        question: &str,
        default: &str,
    ) -> Result<String, Stop> {
        let question = format!("{question} [{default}]");
        let said = self.put(about, &question, true, |text| Ok(text.to_owned()))?;
        Ok(said.unwrap_or_else(|| default.to_owned()))
    }

    /// A question that needs an answer.
    pub(super) fn required<T>(
        &mut self,
        about: &str,
        question: &str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Result<T, Stop> {
        let answer = self.next;
        let question = format!("{question} *");
        let why = || "this needs an answer".to_owned();
        self.put(about, &question, false, read)?
            .ok_or_else(|| Stop::Bad { answer, why: why() })
    }

    /// What is wrong with the last answer, seen only now.
    pub(super) fn refuse(&self, why: String) -> Stop {
        let answer = self.next.saturating_sub(1);
        Stop::Bad { answer, why }
    }

    fn put<T>(
        &mut self,
        about: &str,
        question: &str,
        may_stay_open: bool,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Stop> {
        if self.rest && may_stay_open {
            return Ok(None);
        }
        let at = self.next;
        // An answer to another question was kept from another run: what follows from it is void.
        let Some(answer) = self.answers.get(at).filter(|answer| answer.about == about) else {
            return Err(Stop::Open {
                about: about.to_owned(),
                question: question.to_owned(),
            });
        };
        self.next += 1;
        self.told.clear();
        match answer.said.trim() {
            "." if may_stay_open => {
                self.rest = true;
                Ok(None)
            }
            "" | "." => Ok(None),
            text => read(text)
                .map(Some)
                .map_err(|why| Stop::Bad { answer: at, why }),
        }
    }
}

/// Puts `questions` until they come to an end. `kept` are answers of before; `keep` is given all of
/// them after each, so that a caller can hold them against an interruption.
///
/// # Errors
/// Answers that end too early.
pub(super) fn ask<T>(
    kept: Vec<Answer>,
    input: &mut impl BufRead,
    output: &mut impl Write,
    mut keep: impl FnMut(&[Answer]),
    questions: impl Fn(&mut Run<'_>) -> Result<T, Stop>,
) -> Result<T, AskError> {
    writeln!(
        output,
        "An empty answer leaves open what is not known; a single dot leaves the rest open; < goes \
         back\none question."
    )?;
    let mut answers = kept;
    loop {
        let mut run = Run {
            answers: &answers,
            next: 0,
            rest: false,
            told: Vec::new(),
        };
        let stop = questions(&mut run);
        let (next, told) = (run.next, run.told);
        match stop {
            Ok(found) => {
                say(output, &told)?;
                return Ok(found);
            }
            Err(Stop::Bad { answer, why }) => {
                if next == 0 {
                    // No answer could mend it.
                    return Err(AskError::Given(why));
                }
                answers.truncate(answer);
                writeln!(output, "  {why}")?;
            }
            Err(Stop::Open { about, question }) => {
                answers.truncate(next);
                say(output, &told)?;
                write!(output, "{question}: ")?;
                output.flush()?;
                let mut said = String::new();
                if input.read_line(&mut said)? == 0 {
                    return Err(AskError::Ended(question));
                }
                match said.trim() {
                    "<" if answers.pop().is_none() => {
                        writeln!(output, "  this is the first question")?;
                    }
                    "<" => {}
                    said => {
                        let said = said.to_owned();
                        answers.push(Answer { about, said });
                        keep(&answers);
                    }
                }
            }
        }
    }
}

fn say(output: &mut impl Write, told: &[String]) -> std::io::Result<()> {
    told.iter()
        .try_for_each(|line| writeln!(output, "  {line}"))
}
