//! The predicted water at the scenario's port: from harmonic constants, or from a standard port by
//! printed differences.

use std::ops::Range;
use std::sync::OnceLock;

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Error, Flow, LevelCrossing, Port, Predictor, SecondaryPort, Turn, TurnKind};

/// The predicted water over a span.
#[derive(Clone, Debug)]
pub struct TideCurve {
    source: Source,
    /// What was asked for: outside of it nothing is known.
    span: Range<Timestamp>,
    /// Found once, when first asked for: every seat of a season asks for them.
    turns: OnceLock<Vec<Turn>>,
}

#[derive(Clone, Debug)]
enum Source {
    /// The port's own harmonic constants.
    Harmonic(Box<Predictor>),
    /// The turns of a secondary port.
    BetweenTurns(BetweenTurns),
}

/// Water that runs between turns in half cosines, the rule of the printed tables for any time
/// between high and low water (NOAA Tide Tables, Table 3, from memory). Real tides with strong
/// shallow-water constituents differ from it by decimetres.
#[derive(Clone, Debug)]
struct BetweenTurns {
    turns: Vec<Turn>,
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
        Ok(Self::of(
            Source::BetweenTurns(BetweenTurns::new(turns)),
            span,
        ))
    }

    fn of(source: Source, span: Range<Timestamp>) -> Self {
        Self {
            source,
            span,
            turns: OnceLock::new(),
        }
    }

    /// The span over which the water is known.
    pub fn span(&self) -> &Range<Timestamp> {
        &self.span
    }

    /// The highest water of a stretch, metres above chart datum: at its ends or at a high water in
    /// it. None where the stretch leaves what is known.
    pub fn highest_m(&self, stretch: &Range<Timestamp>) -> Option<f64> {
        let ends = [
            self.height_m(stretch.start).ok()?,
            self.height_m(stretch.end).ok()?,
        ];
        let turns = self.turns();
        let first = turns.partition_point(|turn| turn.at < stretch.start);
        let high_waters = turns[first..]
            .iter()
            .take_while(|turn| turn.at < stretch.end)
            .map(|turn| turn.height_m);
        high_waters.chain(ends).reduce(f64::max)
    }

    /// Height at an instant, metres above chart datum.
    ///
    /// # Errors
    /// An instant outside of the span.
    pub fn height_m(&self, at: Timestamp) -> Result<f64, Error> {
        let Range { start, end } = self.span;
        match &self.source {
            Source::Harmonic(predictor) => predictor.height_m(at),
            Source::BetweenTurns(between) if (start..=end).contains(&at) => {
                Ok(between.height_m(at))
            }
            Source::BetweenTurns(_) => Err(Error::OutsideSpan { at, start, end }),
        }
    }

    /// High and low waters, in order of time.
    pub fn turns(&self) -> &[Turn] {
        match &self.source {
            Source::Harmonic(predictor) => self.turns.get_or_init(|| predictor.turns()),
            Source::BetweenTurns(between) => &between.turns,
        }
    }

    /// Every instant at which the water passes a level; none for a level that is no number.
    pub fn crossings(&self, level_m: f64) -> Vec<LevelCrossing> {
        match &self.source {
            Source::Harmonic(predictor) => predictor.crossings(level_m).unwrap_or_default(),
            Source::BetweenTurns(between) => between.crossings(level_m),
        }
    }

    /// The stretches in which the water stands above a level. Over a level that is no number it is
    /// taken to stand throughout: nobody walks on what is unknown.
    pub fn above(&self, level_m: f64) -> Vec<Range<Timestamp>> {
        let throughout = || vec![self.span.clone()];
        match &self.source {
            Source::Harmonic(predictor) => {
                predictor.above(level_m).unwrap_or_else(|_| throughout())
            }
            Source::BetweenTurns(_) if !level_m.is_finite() => throughout(),
            Source::BetweenTurns(between) => between.above(level_m),
        }
    }
}

impl BetweenTurns {
    /// Keeps turns that alternate: of two high waters in a row the higher, of two low waters the
    /// lower.
    fn new(turns: Vec<Turn>) -> Self {
        let mut kept: Vec<Turn> = Vec::with_capacity(turns.len());
        for turn in turns {
            match kept.last_mut() {
                Some(last) if last.kind == turn.kind => {
                    let more = match turn.kind {
                        TurnKind::HighWater => turn.height_m > last.height_m,
                        TurnKind::LowWater => turn.height_m < last.height_m,
                    };
                    if more {
                        *last = turn;
                    }
                }
                Some(last) if last.at >= turn.at => {}
                _ => kept.push(turn),
            }
        }
        Self { turns: kept }
    }

    fn height_m(&self, at: Timestamp) -> f64 {
        let after = self.turns.partition_point(|turn| turn.at <= at);
        let before = after
            .checked_sub(1)
            .and_then(|before| self.turns.get(before));
        match (before, self.turns.get(after)) {
            (Some(a), Some(b)) => {
                let share = seconds(a.at, at) / seconds(a.at, b.at);
                let half = (a.height_m - b.height_m) / 2.0;
                (a.height_m + b.height_m) / 2.0 + half * (std::f64::consts::PI * share).cos()
            }
            // Beyond the outermost turns, which lie beyond the span that was asked for.
            (Some(turn), None) | (None, Some(turn)) => turn.height_m,
            (None, None) => 0.0,
        }
    }

    fn crossings(&self, level_m: f64) -> Vec<LevelCrossing> {
        let pairs = self.turns.windows(2);
        pairs
            .filter_map(|pair| {
                let (a, b) = (pair[0], pair[1]);
                let (low, high) = (a.height_m.min(b.height_m), a.height_m.max(b.height_m));
                if !(low < level_m && level_m < high) {
                    return None;
                }
                let cosine = (2.0 * level_m - a.height_m - b.height_m) / (a.height_m - b.height_m);
                let share = cosine.clamp(-1.0, 1.0).acos() / std::f64::consts::PI;
                let by = SignedDuration::try_from_secs_f64(share * seconds(a.at, b.at)).ok()?;
                Some(LevelCrossing {
                    at: a.at.checked_add(by).ok()?,
                    direction: if b.height_m > a.height_m {
                        Flow::Rising
                    } else {
                        Flow::Falling
                    },
                })
            })
            .collect()
    }

    fn above(&self, level_m: f64) -> Vec<Range<Timestamp>> {
        let (Some(first), Some(last)) = (self.turns.first(), self.turns.last()) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        let mut since = (first.height_m > level_m).then_some(first.at);
        for crossing in self.crossings(level_m) {
            match crossing.direction {
                Flow::Rising => since = Some(crossing.at),
                Flow::Falling => out.extend(since.take().map(|from| from..crossing.at)),
            }
        }
        out.extend(since.map(|from| from..last.at));
        out
    }
}

fn seconds(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve() -> BetweenTurns {
        let turn = |hour: i64, height_m: f64, kind| Turn {
            at: Timestamp::from_second(hour * 3600).unwrap(),
            height_m,
            kind,
        };
        BetweenTurns::new(vec![
            turn(0, 1.0, TurnKind::LowWater),
            turn(6, 5.0, TurnKind::HighWater),
            turn(12, 2.0, TurnKind::LowWater),
        ])
    }

    /// By hand: half way in time is half way in height, a third of the way is a quarter of the
    /// range.
    #[test]
    fn heights_follow_half_cosines() {
        let curve = curve();
        let at = |hours: f64| Timestamp::from_second((hours * 3600.0) as i64).unwrap();
        assert!((curve.height_m(at(3.0)) - 3.0).abs() < 1e-12);
        assert!((curve.height_m(at(2.0)) - 2.0).abs() < 1e-12);
        assert!((curve.height_m(at(9.0)) - 3.5).abs() < 1e-12);
    }

    #[test]
    fn crossings_invert_heights() {
        let curve = curve();
        for level in [1.5, 2.5, 3.0, 4.9] {
            let crossings = curve.crossings(level);
            assert!(!crossings.is_empty());
            for crossing in crossings {
                // A nanosecond of the steepest rate, 0.3 mm/s, is far below this.
                assert!((curve.height_m(crossing.at) - level).abs() < 1e-9);
            }
        }
        assert_eq!(curve.above(3.0).len(), 1);
        assert!(curve.above(5.0).is_empty());
        assert_eq!(curve.above(1.5).len(), 1);
    }
}
