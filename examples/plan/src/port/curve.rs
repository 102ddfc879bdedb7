//! The predicted water at the scenario's port: from harmonic constants, from a standard port by
//! printed differences, or from a printed table of high and low waters.

use std::ops::Range;
use std::sync::OnceLock;

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Error, LevelCrossing, Port, Predictor, SecondaryPort, Turn};

use super::between::{BetweenTurns, CurveError, Shape};
use super::printed::{CURVE_SHARE, PrintedTable};

/// The predicted water over a span.
#[derive(Clone, Debug)]
pub struct TideCurve {
    source: Source,
    /// What was asked for.
    asked: Range<Timestamp>,
    /// What is known of it: less where a printed table begins or ends within it.
    span: Range<Timestamp>,
    /// Found once, when first asked for: every seat of a season asks for them.
    turns: OnceLock<Vec<Turn>>,
}

#[derive(Clone, Debug)]
enum Source {
    /// The port's own harmonic constants.
    Harmonic(Box<Predictor>),
    /// The turns of a secondary port, or of a printed table.
    BetweenTurns(BetweenTurns),
}

/// Farther than any printed time difference: how much more of the standard port is needed at either
/// end.
const REACH_HOURS: i64 = 36;

impl TideCurve {
    /// The water over a span, of the port itself or of a secondary port.
    ///
    /// # Errors
    /// A span that the calendar cannot hold.
    pub fn new(
        port: &Port,
        secondary: Option<&SecondaryPort>,
        span: Range<Timestamp>,
    ) -> Result<Self, Error> {
        let Some(secondary) = secondary else {
            let predictor = Box::new(port.predictor(span.clone())?);
            return Ok(Self::of(Source::Harmonic(predictor), span));
        };
        let reach = SignedDuration::from_hours(REACH_HOURS);
        let wide = span.start.checked_sub(reach).unwrap_or(Timestamp::MIN)
            ..span.end.checked_add(reach).unwrap_or(Timestamp::MAX);
        let turns = secondary.turns(&port.predictor(wide)?.turns())?;
        // What the differences leave open at the turns is what the scenario's allowances are for.
        let error = CurveError {
            rounding_m: 0.0,
            share: CURVE_SHARE,
        };
        Ok(Self::of(
            Source::BetweenTurns(BetweenTurns::new(turns, error)),
            span,
        ))
    }

    /// The water over as much of a span as a printed table covers: nothing is made up before its
    /// first turn and after its last.
    pub fn printed(table: &PrintedTable, asked: Range<Timestamp>) -> Self {
        let turns = table.turns();
        let first = turns.partition_point(|turn| turn.at <= asked.start);
        let end = turns.partition_point(|turn| turn.at < asked.end);
        // With the turns on either side of the span.
        let around = first.saturating_sub(1)..(end + 1).min(turns.len());
        let turns = turns.get(around).unwrap_or_default().to_vec();
        let known = match (turns.first(), turns.last()) {
            (Some(first), Some(last)) => first.at.max(asked.start)..last.at.min(asked.end),
            _ => asked.start..asked.start,
        };
        let known = if known.start < known.end {
            known
        } else {
            asked.start..asked.start
        };
        let source = Source::BetweenTurns(BetweenTurns::new(turns, table.error()));
        let mut curve = Self::of(source, asked);
        curve.span = known;
        curve
    }

    fn of(source: Source, span: Range<Timestamp>) -> Self {
        Self {
            source,
            asked: span.clone(),
            span,
            turns: OnceLock::new(),
        }
    }

    /// The span over which the water is known.
    pub fn span(&self) -> &Range<Timestamp> {
        &self.span
    }

    /// The span that was asked for.
    pub fn asked(&self) -> &Range<Timestamp> {
        &self.asked
    }

    /// The highest that the water of a stretch may stand by the prediction and its own error, metres
    /// above chart datum: at its ends or at a high water in it. None where the stretch leaves what
    /// is known.
    pub fn highest_m(&self, stretch: &Range<Timestamp>) -> Option<f64> {
        let ends = [
            self.height_of_m(stretch.start, Shape::Highest).ok()?,
            self.height_of_m(stretch.end, Shape::Highest).ok()?,
        ];
        let turns = self.turns();
        let first = turns.partition_point(|turn| turn.at < stretch.start);
        let high_waters = turns[first..]
            .iter()
            .take_while(|turn| turn.at < stretch.end)
            .map(|turn| turn.height_m + self.rounding_m());
        high_waters.chain(ends).reduce(f64::max)
    }

    fn rounding_m(&self) -> f64 {
        match &self.source {
            Source::Harmonic(_) => 0.0,
            Source::BetweenTurns(between) => between.rounding_m(),
        }
    }

    /// Height at an instant, metres above chart datum.
    ///
    /// # Errors
    /// An instant outside of the span.
    pub fn height_m(&self, at: Timestamp) -> Result<f64, Error> {
        self.height_of_m(at, Shape::Expected)
    }

    /// The same for one of the shapes that the water may have between turns.
    ///
    /// # Errors
    /// An instant outside of the span.
    pub fn height_of_m(&self, at: Timestamp, shape: Shape) -> Result<f64, Error> {
        let Range { start, end } = self.span;
        match &self.source {
            Source::Harmonic(predictor) => predictor.height_m(at),
            Source::BetweenTurns(between) if start < end && (start..=end).contains(&at) => {
                Ok(between.height_m(at, shape))
            }
            Source::BetweenTurns(_) => Err(Error::OutsideSpan { at, start, end }),
        }
    }

    /// High and low waters, in order of time.
    pub fn turns(&self) -> &[Turn] {
        match &self.source {
            Source::Harmonic(predictor) => self.turns.get_or_init(|| predictor.turns()),
            Source::BetweenTurns(between) => between.turns(),
        }
    }

    /// Every instant at which the water passes a level; none for a level that is no number.
    pub fn crossings(&self, level_m: f64) -> Vec<LevelCrossing> {
        match &self.source {
            Source::Harmonic(predictor) => predictor.crossings(level_m).unwrap_or_default(),
            Source::BetweenTurns(between) => between.crossings(level_m, Shape::Expected),
        }
    }

    /// The stretches in which the water stands above a level. Over a level that is no number it is
    /// taken to stand throughout: nobody walks on what is unknown.
    pub fn above(&self, level_m: f64) -> Vec<Range<Timestamp>> {
        self.above_of(level_m, Shape::Expected)
    }

    /// The same for one of the shapes that the water may have between turns.
    pub fn above_of(&self, level_m: f64, shape: Shape) -> Vec<Range<Timestamp>> {
        let throughout = || vec![self.span.clone()];
        match &self.source {
            Source::Harmonic(predictor) => {
                predictor.above(level_m).unwrap_or_else(|_| throughout())
            }
            Source::BetweenTurns(_) if !level_m.is_finite() => throughout(),
            Source::BetweenTurns(between) => between.above(level_m, shape),
        }
    }

    /// The stretch of [`TideCurve::above`] that holds an instant, without looking for the others.
    pub(crate) fn above_around(&self, level_m: f64, at: Timestamp) -> Option<Range<Timestamp>> {
        let Range { start, end } = self.span;
        let throughout = || (start <= at && at < end).then_some(start..end);
        match &self.source {
            Source::Harmonic(predictor) => match predictor.above_around(level_m, at) {
                Ok(around) => around,
                Err(_) => throughout(),
            },
            Source::BetweenTurns(_) if !level_m.is_finite() => throughout(),
            Source::BetweenTurns(between) => between.above_around(level_m, Shape::Expected, at),
        }
    }
}
