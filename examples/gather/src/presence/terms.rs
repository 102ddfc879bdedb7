//! The terms of Darwin Core that are read (Biodiversity Information Standards (TDWG), Darwin Core
//! Quick Reference Guide, <https://dwc.tdwg.org/terms/>), and where they stand in a table.

use super::table::{Row, problem};
use std::path::Path;
use wrackline_plan::scenario::Problem;
use wrackline_plan::words::echo;

macro_rules! terms {
    ($($term:ident $name:literal,)+) => {
        /// A term.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub(super) enum Term {
            $($term,)+
        }

        impl Term {
            pub(super) const ALL: &[Term] = &[$(Term::$term,)+];

            /// As the standard writes it.
            pub(super) const fn name(self) -> &'static str {
                match self {
                    $(Term::$term => $name,)+
                }
            }
        }
    };
}

terms! {
    OccurrenceId "occurrenceID",
    BasisOfRecord "basisOfRecord",
    EventDate "eventDate",
    Year "year",
    Month "month",
    Day "day",
    ScientificName "scientificName",
    VernacularName "vernacularName",
    OccurrenceStatus "occurrenceStatus",
    IndividualCount "individualCount",
    Latitude "decimalLatitude",
    Longitude "decimalLongitude",
    Uncertainty "coordinateUncertaintyInMeters",
    EventId "eventID",
    ParentEventId "parentEventID",
    RecordedBy "recordedBy",
    SamplingProtocol "samplingProtocol",
    SamplingEffort "samplingEffort",
    EstablishmentMeans "establishmentMeans",
    DegreeOfEstablishment "degreeOfEstablishment",
    VerificationStatus "identificationVerificationStatus",
    IdentificationQualifier "identificationQualifier",
    License "license",
    DatasetName "datasetName",
}

const TERMS: usize = Term::ALL.len();

/// The term that a heading or an identifier such as `http://rs.tdwg.org/dwc/terms/eventDate` names,
/// in whatever case. The terms of the namespace `iri` have addresses for values and are others.
pub(super) fn term(name: &str) -> Option<Term> {
    let name = name.trim();
    if name.contains("/dwc/iri/") || name.starts_with("dwciri:") {
        return None;
    }
    let local = name.rsplit(['/', ':', '#']).next()?;
    let is = |term: &&Term| term.name().eq_ignore_ascii_case(local);
    Term::ALL.iter().find(is).copied()
}

/// Where the terms stand in a table, and what holds where a field is empty.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    at: [Option<usize>; TERMS],
    default: [Option<String>; TERMS],
}

impl Columns {
    pub(super) fn none() -> Self {
        Self {
            at: [None; TERMS],
            default: [const { None }; TERMS],
        }
    }

    /// Puts a term into a column; whether it had none yet.
    pub(super) fn put(&mut self, term: Term, index: usize) -> bool {
        self.at[term as usize].replace(index).is_none()
    }

    pub(super) fn put_default(&mut self, term: Term, value: String) {
        self.default[term as usize] = Some(value);
    }

    pub(super) fn knows(&self, term: Term) -> bool {
        self.at[term as usize].is_some() || self.default[term as usize].is_some()
    }

    /// From the headings of a table.
    pub(super) fn of_headings(row: &Row<'_>) -> Result<Self, Vec<Problem>> {
        let mut columns = Self::none();
        let mut problems = Vec::new();
        for index in 0..row.len() {
            let Some(term) = row.get(index).and_then(term) else {
                continue;
            };
            if !columns.put(term, index) {
                let what = "stands twice among the headings".to_owned();
                problems.push(row.problem(index, term.name(), what, "keep one of the columns"));
            }
        }
        if problems.is_empty() {
            Ok(columns)
        } else {
            Err(problems)
        }
    }

    /// What a table of occurrences must tell and does not, itself or through its events.
    pub(super) fn lacking(&self, events: Option<&Self>, file: &Path) -> Vec<Problem> {
        let knows = |term| self.knows(term) || events.is_some_and(|events| events.knows(term));
        let mut problems = Vec::new();
        let mut lacks = |field: &str, remedy: &str| {
            let what = "is not among the headings".to_owned();
            problems.push(problem(file, 1, field, what, remedy));
        };
        for term in [Term::Latitude, Term::Longitude] {
            if !knows(term) {
                lacks(
                    term.name(),
                    "give a table of occurrences in Darwin Core with positions",
                );
            }
        }
        let in_parts = knows(Term::Year) && knows(Term::Month);
        if !knows(Term::EventDate) && !in_parts {
            lacks(
                "eventDate",
                "give days as eventDate, or as year, month and day",
            );
        }
        if !self.knows(Term::ScientificName) && !self.knows(Term::VernacularName) {
            lacks(
                "scientificName",
                "give names as scientificName or vernacularName",
            );
        }
        problems
    }
}

/// What a row, and the event that it belongs to, say.
pub(super) struct Values<'v> {
    pub(super) row: &'v Row<'v>,
    pub(super) columns: &'v Columns,
    pub(super) event: Option<&'v EventValues>,
}

/// What is kept of an event until its occurrences come.
#[derive(Clone, Debug)]
pub(super) struct EventValues([Option<Box<str>>; TERMS]);

impl EventValues {
    pub(super) fn of(values: &Values<'_>) -> Self {
        let mut kept = [const { None }; TERMS];
        for term in Term::ALL {
            kept[*term as usize] = values.get(*term).map(Into::into);
        }
        Self(kept)
    }
}

impl<'v> Values<'v> {
    /// The value of a term, without blanks around it; `None` where there is none.
    pub(super) fn get(&self, term: Term) -> Option<&'v str> {
        let at = term as usize;
        let own = self.columns.at[at].and_then(|index| self.row.get(index));
        own.or(self.columns.default[at].as_deref())
            .or_else(|| self.event?.0[at].as_deref())
    }

    /// The first of two terms that has a value.
    pub(super) fn either(&self, first: Term, second: Term) -> Option<&'v str> {
        self.get(first).or_else(|| self.get(second))
    }

    /// What is wrong with the value of a term.
    pub(super) fn problem(&self, term: Term, what: &str, remedy: &str) -> Problem {
        let value = self.get(term).map(echo).unwrap_or_default();
        let what = format!("\"{value}\" {what}");
        match self.columns.at[term as usize] {
            Some(index) => self.row.problem(index, term.name(), what, remedy),
            None => {
                let mut problem = self.row.problem_of_all(what, remedy);
                problem.field = term.name().to_owned();
                problem
            }
        }
    }
}
