//! What is found for one meaning of reach, and how it reads.

use core::fmt;

use crate::reach::verdict::{Band, Decider, Meaning, Statement, Verdict};

/// The number for each kit and the verdict, for one meaning of reach.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Finding {
    /// The meaning.
    pub meaning: Meaning,
    /// What the verdict is about.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub statement: Statement,
    /// What the numbers are, in words.
    pub quantity: &'static str,
    /// Their unit; empty for a plain number.
    pub unit: &'static str,
    /// The first kit's number, over all cases of optics and air.
    pub first: Band,
    /// The second kit's number.
    pub second: Band,
    /// By how many times the first reaches farther than the second, case by case.
    pub ratio: Band,
    /// Whether the statement holds.
    pub verdict: Verdict,
    /// What decides the numbers.
    pub decided_by: Decider,
}

impl Finding {
    /// The finding as a sentence about the first kit, with the name of the second: "framing: not
    /// farther than the cropped lens".
    #[must_use]
    pub fn against<'a>(&self, second: &'a str) -> impl fmt::Display + use<'a> {
        Told {
            finding: *self,
            second,
        }
    }
}

/// The finding as a sentence about the first kit, the second left unnamed: "framing: not farther".
impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.against("").fmt(f)
    }
}

/// A finding, and the name of the second kit if it is to be told.
struct Told<'a> {
    finding: Finding,
    second: &'a str,
}

impl fmt::Display for Told<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Finding {
            meaning,
            statement,
            verdict,
            ..
        } = self.finding;
        let not = if verdict == Verdict::False {
            "not "
        } else {
            ""
        };
        let (as_far, than) = match statement {
            Statement::Further => ("farther", "than"),
            Statement::AsFar => ("as far", "as"),
        };
        write!(f, "{meaning}: {not}{as_far}")?;
        if !self.second.is_empty() {
            write!(f, " {than} {}", self.second)?;
        }
        if let Verdict::TrueIf(cases) = verdict {
            write!(f, " with {cases}")?;
        }
        Ok(())
    }
}
