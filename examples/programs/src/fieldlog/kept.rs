//! Answers of an entry that was not finished, kept beside the log until it is.

use std::collections::BTreeMap;
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};

use wrackline_log::{AskError, Draft, FIELDS};

use crate::cli::Failure;
use crate::files;

/// The file that keeps them: the log's name and `.draft`.
pub(super) struct Kept {
    path: PathBuf,
}

impl Kept {
    pub(super) fn beside(log: &Path) -> Self {
        let mut name = log.as_os_str().to_owned();
        name.push(".draft");
        Self { path: name.into() }
    }

    /// Keeps what there is. Where that cannot be done, asking goes on: it would lose no more.
    pub(super) fn keep(&self, draft: &Draft) {
        let texts: BTreeMap<&str, &str> = FIELDS
            .iter()
            .filter_map(|field| Some((field.name, draft.get(field.name)?)))
            .collect();
        if let Ok(content) = serde_json::to_vec_pretty(&texts)
            && !texts.is_empty()
        {
            let _ = files::replace_file(&self.path, &content);
        }
    }

    /// The answers of last time, if there are any and they are wanted.
    pub(super) fn take_up(
        &self,
        answers: &mut impl BufRead,
        questions: &mut impl Write,
    ) -> Result<Draft, Failure> {
        let Some(draft) = self.read() else {
            return Ok(Draft::default());
        };
        let told = FIELDS.iter().filter_map(|field| draft.get(field.name));
        let told: Vec<&str> = told.collect();
        loop {
            write!(
                questions,
                "An entry was not finished: {}. Go on with it? (yes, no) ",
                told.join(", ")
            )?;
            questions.flush()?;
            let mut answer = String::new();
            if answers.read_line(&mut answer)? == 0 {
                return Err(Failure::input(format!(
                    "there was no answer; what was answered before is still kept in {}",
                    self.path.display()
                )));
            }
            match answer.trim().to_lowercase().as_str() {
                "yes" | "y" | "" => return Ok(draft),
                "no" | "n" => {
                    self.clear();
                    return Ok(Draft::default());
                }
                _ => {}
            }
        }
    }

    /// What the file holds of an entry; nothing where it is no such file.
    fn read(&self) -> Option<Draft> {
        let content = std::fs::read(&self.path).ok()?;
        let texts: BTreeMap<String, String> = serde_json::from_slice(&content).ok()?;
        let mut draft = Draft::default();
        for (name, text) in texts {
            draft.set(&name, &text).ok()?;
        }
        (!draft.is_empty()).then_some(draft)
    }

    /// The entry is in the log, or is not wanted.
    pub(super) fn clear(&self) {
        let _ = std::fs::remove_file(&self.path);
    }

    /// Why asking ended, and where the answers are.
    pub(super) fn told(&self, error: &AskError) -> Failure {
        if self.path.is_file() {
            Failure::input(format!(
                "{error}; the answers so far are kept in {}, and the next `add` offers to go on \
                 with them",
                self.path.display()
            ))
        } else {
            Failure::input(error)
        }
    }
}
