//! The water of one outing: what is expected, and how low and how high it may stand instead.

use jiff::{SignedDuration, Timestamp};

use super::Error;
use wrackline_plan::port::{Shape, TideCurve};
use wrackline_plan::scenario::{Scenario, Tide, Water};
use wrackline_plan::time::Stretch;

/// Seconds from one row of the card to the next.
const QUARTER_HOUR: i64 = 900;
/// Seconds from one point of the curve to the next: a tide of ten metres turns by less than a
/// line's width between them.
const CURVE_STEP: i64 = 300;

/// The water at one instant, metres above the datum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// When.
    pub at: Timestamp,
    /// By which the picture is judged: the animals may not be pushed.
    pub low_m: f64,
    /// What is expected.
    pub central_m: f64,
    /// By which access and ground are judged.
    pub upper_m: f64,
}

/// The water from the first to the last time of an outing.
#[derive(Clone, Debug)]
pub struct Levels {
    /// At every quarter of an hour.
    pub quarters: Vec<Level>,
    /// Every five minutes, for drawing.
    pub curve: Vec<Level>,
}

impl Levels {
    /// Over whole quarters of an hour that hold `span`.
    pub(super) fn over(scenario: &Scenario, tide: &Tide, span: &Stretch) -> Result<Self, Error> {
        let predictor = tide.curve(widened(span)?).map_err(|error| Error::Water {
            reason: error.to_string(),
        })?;
        let sample = |step| {
            let levels = every(span, step, |at| {
                level(&scenario.water_at(at), &predictor, at)
            });
            levels.into_iter().collect::<Result<Vec<Level>, Error>>()
        };
        Ok(Self {
            quarters: sample(QUARTER_HOUR)?,
            curve: sample(CURVE_STEP)?,
        })
    }
}

fn level(water: &Water, predictor: &TideCurve, at: Timestamp) -> Result<Level, Error> {
    let height_m = |shape| {
        let height_m = predictor.height_of_m(at, shape);
        height_m.map_err(|error| Error::Water {
            reason: error.to_string(),
        })
    };
    Ok(Level {
        at,
        low_m: height_m(Shape::Lowest)? + water.lower_m(),
        central_m: height_m(Shape::Expected)? + water.expected_m,
        upper_m: height_m(Shape::Highest)? + water.upper_m(),
    })
}

/// A value at every step of a span that has been widened to whole quarters of an hour, both ends
/// included.
pub(super) fn every<T>(
    span: &Stretch,
    step_seconds: i64,
    mut value: impl FnMut(Timestamp) -> T,
) -> Vec<T> {
    let (from, to) = quarters_around(span);
    (0..=(to - from) / step_seconds)
        .filter_map(|n| Timestamp::from_second(from + n * step_seconds).ok())
        .map(&mut value)
        .collect()
}

/// First and last full quarter of an hour, in seconds of the Unix time.
fn quarters_around(span: &Stretch) -> (i64, i64) {
    let from = span.start.as_second().div_euclid(QUARTER_HOUR) * QUARTER_HOUR;
    let to = -(-(span.end.as_second() + 1)).div_euclid(QUARTER_HOUR) * QUARTER_HOUR;
    (from, to)
}

/// What the predictor must cover.
fn widened(span: &Stretch) -> Result<Stretch, Error> {
    let margin = SignedDuration::from_hours(2);
    let failed = |error: jiff::Error| Error::Water {
        reason: error.to_string(),
    };
    Ok(span.start.checked_sub(margin).map_err(failed)?
        ..span.end.checked_add(margin).map_err(failed)?)
}
