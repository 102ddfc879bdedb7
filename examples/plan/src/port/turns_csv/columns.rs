//! Where the columns of a printed table are, by their heads.

use super::{RowProblem, problem};

/// Units of heights by the head of their column.
const HEIGHTS: [(&str, f64); 3] = [
    ("height_m", 1.0),
    ("height_cm", 0.01),
    ("height_ft", 0.3048),
];
/// Where the columns are.
pub(super) struct Columns {
    pub(super) when: When,
    pub(super) height: usize,
    pub(super) metres: f64,
    pub(super) water: Option<usize>,
    pub(super) datum: Option<usize>,
}

pub(super) enum When {
    DayAndTime(usize, usize),
    At(usize),
    AtUtc(usize),
}

impl Columns {
    pub(super) fn of(heads: &csv::StringRecord) -> Result<Self, RowProblem> {
        let column = |name: &str| heads.iter().position(|head| head == name);
        if heads.len() == 1 && heads.iter().any(|head| head.contains(';')) {
            return Err(problem(
                1,
                "the columns are set apart by semicolons",
                "save the file with commas, and decimals with points",
            ));
        }
        let when = match (
            column("day"),
            column("time"),
            column("at"),
            column("at_utc"),
        ) {
            (_, _, _, Some(at)) => When::AtUtc(at),
            (_, _, Some(at), _) => When::At(at),
            (Some(day), Some(time), ..) => When::DayAndTime(day, time),
            _ => {
                return Err(problem(
                    1,
                    "there are no columns `day` and `time`",
                    "head the columns so, or one of both as `at`",
                ));
            }
        };
        let heights = HEIGHTS.iter();
        let mut heights = heights.filter_map(|(head, metres)| Some((column(head)?, *metres)));
        let (height, metres) = match (heights.next(), heights.next()) {
            (Some(height), None) => height,
            (None, _) => {
                return Err(problem(
                    1,
                    "there is no column of heights",
                    "head it by its unit: height_m, height_cm or height_ft",
                ));
            }
            (Some(_), Some(_)) => {
                return Err(problem(
                    1,
                    "there are heights in two units",
                    "leave one column",
                ));
            }
        };
        Ok(Self {
            when,
            height,
            metres,
            water: column("water"),
            datum: column("datum"),
        })
    }
}
