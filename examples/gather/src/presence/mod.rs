//! When an animal is present at a place, from what others have recorded.
//!
//! Occurrence records in Darwin Core, a table or an archive, become visits; visits become the share
//! of them that found the animal in each half-month, with the interval that holds it nine times in
//! ten; and that becomes the `present` of a scenario. What is not known is said to be unknown and
//! never taken for absence: in a scenario an animal outside its `present` is guarded by nothing.
//!
//! ```
//! use wrackline_gather::presence::{Question, SAMPLE, SAMPLE_AT, Source, presence};
//!
//! let [latitude_deg, longitude_deg] = SAMPLE_AT;
//! let question = Question::new(latitude_deg, longitude_deg, vec!["Slate Knotling".to_owned()]);
//! let told = presence(&question, [Ok(Source::of_bytes("sightings.csv", SAMPLE))])?;
//! assert_eq!(told.year.narrow().to_string(), "late Sep - early Apr");
//! // What nobody can tell stays guarded.
//! assert_eq!(told.year.wide().to_string(), "Sep - Apr");
//! # Ok::<(), wrackline_gather::presence::Error>(())
//! ```

mod collect;
mod cyclic;
mod left_out;
mod meaning;
mod meta;
mod question;
mod source;
mod table;
mod terms;
mod visits;
mod when;
mod year;

pub use cyclic::{LEVEL, Share};
pub use left_out::{LeftOut, Number};
pub use question::{Error, Question};
pub use source::Source;
pub use visits::{Count, Effort};
pub use year::{HalfMonth, State, Year};

use collect::Collector;
use wrackline_plan::scenario::Problems;

/// Invented records around an invented place, for trying out.
pub const SAMPLE: &str = include_str!("../../../demo/sightings.csv");
/// Where they lie, degrees north and east.
pub const SAMPLE_AT: [f64; 2] = [53.4016, 1.202];

/// A data set that records came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DataSet {
    /// Its name; empty where the records name none.
    pub name: String,
    /// Its licence; empty where the records name none.
    pub license: String,
    /// Records that counted.
    pub records: u64,
}

/// What records say of an animal at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Presence {
    /// What was asked.
    pub question: Question,
    /// Its year.
    pub year: Year,
    /// The visits.
    pub effort: Effort,
    /// All records.
    pub records: u64,
    /// Those that counted.
    pub counted: u64,
    /// Those of the animal that counted.
    pub of_animal: u64,
    /// Those that counted and do not say how certain their position is.
    pub uncertainty_unstated: u64,
    /// Those that did not count, by reason, in the order of [`LeftOut::ALL`].
    pub left_out: Vec<(LeftOut, Number)>,
    /// Where those that counted came from, most first.
    pub sets: Vec<DataSet>,
}

/// Finds out what records say.
///
/// # Errors
/// Records that cannot be read, a name that none of them has, or records of which no visit can be
/// made: then nothing is said at all.
pub fn presence(
    question: &Question,
    sources: impl IntoIterator<Item = Result<Source, Problems>>,
) -> Result<Presence, Error> {
    question.check()?;
    let mut taken = Collector::new(question);
    let mut problems = Vec::new();
    for source in sources {
        let read = source.and_then(|source| source.read(&mut taken));
        problems.extend(read.err().iter().flat_map(Problems::iter).cloned());
    }
    if let Some(problems) = Problems::collect(problems) {
        return Err(problems.into());
    }
    taken.complain()?;
    let mut seen = taken.seen_otherwise;
    let effort = taken
        .visits
        .count(question.shortest_list, |half| seen[half] = true);
    let left_out: Vec<(LeftOut, Number)> = taken.left_out.into_iter().collect();
    if effort.visits().visits == 0 {
        let near = left_out
            .iter()
            .filter(|(why, _)| *why != LeftOut::Elsewhere);
        let mut why: Vec<(u64, String)> = near
            .map(|(why, number)| (number.records, why.words().to_owned()))
            .collect();
        why.push((
            u64::from(effort.too_short.visits),
            "visits with too few kinds".to_owned(),
        ));
        why.sort_by(|a, b| b.cmp(a));
        let why = why.iter().filter(|(number, _)| *number > 0);
        let why: Vec<String> = why.map(|(number, why)| format!("{number} {why}")).collect();
        let elsewhere = left_out.iter().find(|(why, _)| *why == LeftOut::Elsewhere);
        return Err(Error::NoVisits {
            records: taken.records - elsewhere.map_or(0, |(_, number)| number.records),
            radius_km: question.radius_km,
            why: why.join(", "),
        });
    }
    if !effort.looked_in_vain {
        return Err(Error::NoEffort);
    }
    let mut sets: Vec<DataSet> = taken
        .sets
        .into_iter()
        .map(|((name, license), records)| DataSet {
            name,
            license,
            records,
        })
        .collect();
    sets.sort_by(|a, b| b.records.cmp(&a.records).then_with(|| a.name.cmp(&b.name)));
    Ok(Presence {
        question: question.clone(),
        year: Year::of(&effort, &seen, question),
        effort,
        records: taken.records,
        counted: taken.counted,
        of_animal: taken.of_animal,
        uncertainty_unstated: taken.uncertainty_unstated,
        left_out,
        sets,
    })
}
