//! The texts of a scenario: what a program reads from a folder, the page holds by name.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use wrackline_plan::scenario::{Problems, Scenario};

/// One text and its name.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    /// What messages call it, and what another text includes it by.
    pub name: String,
    /// What stands in it.
    pub text: String,
}

/// The scenario, first, and what it includes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Texts(Vec<File>);

impl Texts {
    /// `None` where there is no text at all.
    pub fn new(files: Vec<File>) -> Option<Self> {
        (!files.is_empty()).then_some(Self(files))
    }

    /// The texts.
    pub fn files(&self) -> &[File] {
        &self.0
    }

    /// The text at a position, to be changed.
    pub(crate) fn text_mut(&mut self, at: usize) -> Option<&mut String> {
        self.0.get_mut(at).map(|file| &mut file.text)
    }

    /// What the scenario is called.
    pub(crate) fn main(&self) -> &Path {
        Path::new(self.0.first().map_or("", |file| file.name.as_str()))
    }

    /// The text that a path stands for. A picker of files tells no folders, so a file that is
    /// included from one is found by its own name.
    pub(crate) fn load(&self, path: &Path) -> Result<String, String> {
        let whole = self.0.iter().find(|file| Path::new(&file.name) == path);
        let by_name = || {
            let name = path.file_name()?;
            let mut files = self.0.iter();
            files.find(|file| Path::new(&file.name).file_name() == Some(name))
        };
        match whole.or_else(by_name) {
            Some(file) => Ok(file.text.clone()),
            None => Err("it was not opened; open it together with the scenario".to_owned()),
        }
    }

    /// The scenario that they make, as [`scenario`](Self::scenario) reads it. The last one that was
    /// good is remembered: a page asks many questions of one text, and reading it walks years of
    /// tide.
    pub(crate) fn as_written(&self) -> Result<Scenario, Problems> {
        thread_local! {
            static LAST: RefCell<Option<(Texts, Scenario)>> = const { RefCell::new(None) };
        }
        let known = LAST.with_borrow(|last| {
            let (texts, scenario) = last.as_ref()?;
            (texts == self).then(|| scenario.clone())
        });
        if let Some(scenario) = known {
            return Ok(scenario);
        }
        let scenario = self.scenario()?;
        LAST.set(Some((self.clone(), scenario.clone())));
        Ok(scenario)
    }

    /// The scenario that they make.
    ///
    /// # Errors
    /// Every problem.
    pub fn scenario(&self) -> Result<Scenario, Problems> {
        let main: PathBuf = self.main().to_owned();
        Scenario::parse_with(&main, &|path| self.load(path))
    }
}
