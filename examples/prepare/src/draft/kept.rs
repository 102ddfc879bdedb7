//! Answers of questions that were broken off, kept beside the file that was to be written.

use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};

use wrackline_gather::draft::{Answer, AskError};
use wrackline_programs::cli::Failure;
use wrackline_programs::files;

/// The file that keeps them: the name of the output and `.draft`.
pub(super) struct Kept {
    path: PathBuf,
}

impl Kept {
    pub(super) fn beside(output: &Path) -> Self {
        let mut name = output.as_os_str().to_owned();
        name.push(".draft");
        Self { path: name.into() }
    }

    /// Keeps what there is. Where that cannot be done, asking goes on: it would lose no more.
    pub(super) fn keep(&self, answers: &[Answer]) {
        if let Ok(content) = serde_json::to_vec_pretty(answers) {
            let _ = files::replace_file(&self.path, &content);
        }
    }

    /// The answers of last time, if there are any and they are wanted.
    pub(super) fn take_up(
        &self,
        input: &mut impl BufRead,
        output: &mut impl Write,
    ) -> Result<Vec<Answer>, Failure> {
        let Some(answers) = self.read() else {
            return Ok(Vec::new());
        };
        loop {
            write!(
                output,
                "A draft was not finished, of {} answers. Go on with it? (yes, no) ",
                answers.len()
            )?;
            output.flush()?;
            let mut said = String::new();
            if input.read_line(&mut said)? == 0 {
                return Err(Failure::input(format!(
                    "there was no answer; what was answered before is still kept in {}",
                    self.path.display()
                )));
            }
            match said.trim().to_lowercase().as_str() {
                "yes" | "y" | "" => return Ok(answers),
                "no" | "n" => {
                    self.clear();
                    return Ok(Vec::new());
                }
                _ => {}
            }
        }
    }

    /// What the file holds; nothing where it is no such file.
    fn read(&self) -> Option<Vec<Answer>> {
        let content = std::fs::read(&self.path).ok()?;
        let answers: Vec<Answer> = serde_json::from_slice(&content).ok()?;
        (!answers.is_empty()).then_some(answers)
    }

    /// The draft is written, or is not wanted.
    pub(super) fn clear(&self) {
        let _ = std::fs::remove_file(&self.path);
    }

    /// Why asking ended, and where the answers are.
    pub(super) fn told(&self, error: &AskError) -> Failure {
        let kept = if self.path.is_file() {
            format!(
                "; the answers so far are kept in {}, and the next run offers to go on with them",
                self.path.display()
            )
        } else {
            String::new()
        };
        Failure::input(format!("{error}{kept}\nnothing was written"))
    }
}
