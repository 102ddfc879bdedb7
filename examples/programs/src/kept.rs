//! Answers of questions that were broken off, kept beside the file that they were for.

use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::cli::Failure;
use crate::files;

/// The file that keeps them: the name of the other and `.draft`.
#[derive(Debug)]
pub struct Kept {
    path: PathBuf,
}

impl Kept {
    /// The one beside a file.
    pub fn beside(file: &Path) -> Self {
        let mut name = file.as_os_str().to_owned();
        name.push(".draft");
        Self { path: name.into() }
    }

    /// Keeps what there is. Where that cannot be done, asking goes on: it would lose no more.
    pub fn keep(&self, answers: &(impl Serialize + ?Sized)) {
        if let Ok(content) = serde_json::to_vec_pretty(answers) {
            let _ = files::replace_file(&self.path, &content);
        }
    }

    /// What the file holds; nothing where it is no such file.
    pub fn read<T: DeserializeOwned>(&self) -> Option<T> {
        let content = std::fs::read(&self.path).ok()?;
        serde_json::from_slice(&content).ok()
    }

    /// Asks whether to go on with what is kept, after saying what that is; what is not wanted is
    /// cleared away.
    ///
    /// # Errors
    /// No answer at all: then it stays.
    pub fn goes_on(
        &self,
        what: &str,
        answers: &mut impl BufRead,
        questions: &mut impl Write,
    ) -> Result<bool, Failure> {
        loop {
            write!(questions, "{what}. Go on with it? (yes, no) ")?;
            questions.flush()?;
            let mut answer = String::new();
            if answers.read_line(&mut answer)? == 0 {
                return Err(Failure::input(format!(
                    "there was no answer; what was answered before is still kept in {}",
                    self.path.display()
                )));
            }
            match answer.trim().to_lowercase().as_str() {
                "yes" | "y" | "" => return Ok(true),
                "no" | "n" => {
                    self.clear();
                    return Ok(false);
                }
                _ => {}
            }
        }
    }

    /// What they were for is written, or is not wanted.
    pub fn clear(&self) {
        let _ = std::fs::remove_file(&self.path);
    }

    /// Where the answers are, to follow on why asking ended; nothing where none are kept. `next` is
    /// what will offer to go on with them.
    pub fn where_they_are(&self, next: &str) -> String {
        if self.path.is_file() {
            format!(
                "; the answers so far are kept in {}, and the next {next} offers to go on with them",
                self.path.display()
            )
        } else {
            String::new()
        }
    }
}
