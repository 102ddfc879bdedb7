//! Water that runs between turns in half cosines.

use std::f64::consts::PI;

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Flow, LevelCrossing, Turn, TurnKind};

use crate::time::Stretch;

/// Which of the waters that known turns leave possible.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shape {
    /// The half cosine itself: by this the animals are expected.
    #[default]
    Expected,
    /// As high as the curve's own error lets it stand: by this people are kept from the water.
    Highest,
    /// As low as it lets it stand.
    Lowest,
}

/// What is not known about a curve between turns.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CurveError {
    /// Half the last printed digit of the heights, metres: it holds at the turns, too.
    pub rounding_m: f64,
    /// How far the water may stand from the half cosine half way in time between two turns, as a
    /// share of the range between them. Towards the turns it falls to nothing as a sine, which is
    /// water that runs sooner or later than the half cosine; it never stands beyond the turns
    /// themselves. Where two turns are further apart than 6.21 h the share is larger in
    /// proportion: in the long pauses of tides that come once a day, or of an ebb that drags, the
    /// water is left more ways to run (our default).
    pub share: f64,
}

impl CurveError {
    /// What is left open half way between two turns, as a share of their range.
    fn share_between(&self, a: &Turn, b: &Turn) -> f64 {
        self.share * (seconds(a.at, b.at) / (EVEN_PAUSE_H * 3600.0)).max(1.0)
    }
}

/// The pause between two turns where the tides of half a lunar day run evenly, hours: a quarter of
/// a lunar day of 24.84 h (the period of M2 is half of it).
const EVEN_PAUSE_H: f64 = 6.21;

/// Water that runs between turns in half cosines, the rule of the printed tables for any time
/// between high and low water (NOAA Tide Tables, Table 3, from memory). Real tides with strong
/// shallow-water constituents differ from it by decimetres: see [`CurveError`].
#[derive(Clone, Debug)]
pub(super) struct BetweenTurns {
    turns: Vec<Turn>,
    error: CurveError,
}

impl BetweenTurns {
    /// Keeps turns that alternate: of two high waters in a row the higher, of two low waters the
    /// lower.
    pub(super) fn new(turns: Vec<Turn>, error: CurveError) -> Self {
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
        Self { turns: kept, error }
    }

    pub(super) fn turns(&self) -> &[Turn] {
        &self.turns
    }

    pub(super) fn rounding_m(&self) -> f64 {
        self.error.rounding_m
    }

    /// What is added throughout, metres.
    fn added_m(&self, shape: Shape) -> f64 {
        match shape {
            Shape::Expected => 0.0,
            Shape::Highest => self.error.rounding_m,
            Shape::Lowest => -self.error.rounding_m,
        }
    }

    /// By how much of half a turn the water runs later than the half cosine, radians. With it the
    /// water stands at `half · cos(passed - later) / cos(later)` over the middle, and no further
    /// from it than the turns do: half way in time at `half · tan(later)`, the share of the range
    /// that is left open. The highest water is one that rises sooner and falls later.
    fn later(&self, shape: Shape, a: &Turn, b: &Turn) -> f64 {
        let later = (2.0 * self.error.share_between(a, b)).atan();
        let falls = a.height_m > b.height_m;
        match (shape, falls) {
            (Shape::Expected, _) => 0.0,
            (Shape::Highest, true) | (Shape::Lowest, false) => later,
            (Shape::Highest, false) | (Shape::Lowest, true) => -later,
        }
    }

    pub(super) fn height_m(&self, at: Timestamp, shape: Shape) -> f64 {
        let always = self.added_m(shape);
        let after = self.turns.partition_point(|turn| turn.at <= at);
        let before = after
            .checked_sub(1)
            .and_then(|before| self.turns.get(before));
        match (before, self.turns.get(after)) {
            (Some(a), Some(b)) => {
                let passed = PI * seconds(a.at, at) / seconds(a.at, b.at);
                let (half, middle) = half_and_middle(a, b);
                let later = self.later(shape, a, b);
                let from_middle = half * (passed - later).cos() / later.cos();
                middle + from_middle.min(half.abs()).max(-half.abs()) + always
            }
            // Beyond the outermost turns, which lie beyond the span that was asked for.
            (Some(turn), None) | (None, Some(turn)) => turn.height_m + always,
            (None, None) => 0.0,
        }
    }

    pub(super) fn crossings(&self, level_m: f64, shape: Shape) -> Vec<LevelCrossing> {
        let pairs = self.turns.windows(2);
        pairs
            .filter_map(|pair| self.crossing(&pair[0], &pair[1], level_m, shape))
            .collect()
    }

    /// When the water passes a level between two turns; None where it stands on one side of it, or
    /// comes up to it at a turn and no further.
    fn crossing(&self, a: &Turn, b: &Turn, level_m: f64, shape: Shape) -> Option<LevelCrossing> {
        let (half, middle) = half_and_middle(a, b);
        let wanted = level_m - middle - self.added_m(shape);
        if wanted.abs() >= half.abs() {
            return None;
        }
        let later = self.later(shape, a, b);
        let passed = later + (wanted / half * later.cos()).acos();
        let share = passed.clamp(0.0, PI) / PI;
        let by = SignedDuration::try_from_secs_f64(share * seconds(a.at, b.at)).ok()?;
        Some(LevelCrossing {
            at: a.at.checked_add(by).ok()?,
            direction: if half < 0.0 {
                Flow::Rising
            } else {
                Flow::Falling
            },
        })
    }

    /// The stretches over a level, from the first turn to the last.
    pub(super) fn above(&self, level_m: f64, shape: Shape) -> Vec<Stretch> {
        let mut out: Vec<Stretch> = Vec::new();
        let pairs = self.turns.windows(2);
        for over in pairs.filter_map(|pair| self.above_between(pair, level_m, shape)) {
            match out.last_mut() {
                Some(last) if last.end == over.start => last.end = over.end,
                _ => out.push(over),
            }
        }
        out
    }

    /// The one of them that holds an instant.
    pub(super) fn above_around(
        &self,
        level_m: f64,
        shape: Shape,
        at: Timestamp,
    ) -> Option<Stretch> {
        let after = self.turns.partition_point(|turn| turn.at <= at);
        let over = |pair: &[Turn]| self.above_between(pair, level_m, shape);
        let mut around = over(self.turns.get(after.checked_sub(1)?..=after)?)?;
        if !around.contains(&at) {
            return None;
        }
        for before in self.turns[..after].windows(2).rev().map_while(over) {
            if before.end != around.start {
                break;
            }
            around.start = before.start;
        }
        for next in self.turns[after..].windows(2).map_while(over) {
            if next.start != around.end {
                break;
            }
            around.end = next.end;
        }
        Some(around)
    }

    /// The stretch over a level between a turn and the next.
    fn above_between(&self, pair: &[Turn], level_m: f64, shape: Shape) -> Option<Stretch> {
        let [a, b] = pair else { return None };
        let always = self.added_m(shape);
        match self.crossing(a, b, level_m, shape) {
            Some(crossing) if crossing.direction == Flow::Rising => Some(crossing.at..b.at),
            Some(crossing) => Some(a.at..crossing.at),
            // On one side of the level throughout.
            None => (a.height_m.max(b.height_m) + always > level_m).then_some(a.at..b.at),
        }
    }
}

/// Half the fall from one turn to the next, and the level half way between them.
fn half_and_middle(a: &Turn, b: &Turn) -> (f64, f64) {
    (
        (a.height_m - b.height_m) / 2.0,
        (a.height_m + b.height_m) / 2.0,
    )
}

fn seconds(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHAPES: [Shape; 3] = [Shape::Expected, Shape::Highest, Shape::Lowest];

    fn curve(error: CurveError) -> BetweenTurns {
        let turn = |hour: i64, height_m: f64, kind| Turn {
            at: Timestamp::from_second(hour * 3600).unwrap(),
            height_m,
            kind,
        };
        let turns = vec![
            turn(0, 1.0, TurnKind::LowWater),
            turn(6, 5.0, TurnKind::HighWater),
            turn(12, 2.0, TurnKind::LowWater),
        ];
        BetweenTurns::new(turns, error)
    }

    fn at(hours: f64) -> Timestamp {
        Timestamp::from_second((hours * 3600.0) as i64).unwrap()
    }

    /// By hand: half way in time is half way in height, a third of the way is a quarter of the
    /// range.
    #[test]
    fn heights_follow_half_cosines() {
        let curve = curve(CurveError::default());
        for shape in SHAPES {
            assert!((curve.height_m(at(3.0), shape) - 3.0).abs() < 1e-12);
            assert!((curve.height_m(at(2.0), shape) - 2.0).abs() < 1e-12);
            assert!((curve.height_m(at(9.0), shape) - 3.5).abs() < 1e-12);
        }
    }

    /// By hand: half way a tenth of the range of 4 m and half a centimetre, a third of the way that
    /// tenth by the sine of 60 degrees, at the turns the half centimetre alone.
    #[test]
    fn the_error_is_widest_between_the_turns() {
        let curve = curve(CurveError {
            rounding_m: 0.005,
            share: 0.1,
        });
        let third = 0.005 + 0.4 * 0.75_f64.sqrt();
        for (hours, expected, by) in [(0.0, 1.0, 0.005), (3.0, 3.0, 0.405), (2.0, 2.0, third)] {
            let height = |shape| curve.height_m(at(hours), shape);
            assert!((height(Shape::Expected) - expected).abs() < 1e-12);
            assert!((height(Shape::Highest) - expected - by).abs() < 1e-12);
            assert!((height(Shape::Lowest) - expected + by).abs() < 1e-12);
        }
    }

    /// The water may stand at the height of a turn for a while, and never beyond it.
    #[test]
    fn the_error_ends_at_the_turns_heights() {
        let curve = curve(CurveError {
            rounding_m: 0.005,
            share: 0.25,
        });
        for (hours, shape, height_m) in [
            (5.5, Shape::Highest, 5.005),
            (6.5, Shape::Highest, 5.005),
            (0.5, Shape::Lowest, 0.995),
            (11.5, Shape::Lowest, 1.995),
        ] {
            assert!((curve.height_m(at(hours), shape) - height_m).abs() < 1e-12);
        }
        assert!(curve.height_m(at(5.5), Shape::Lowest) < 4.9);
    }

    /// By hand: 12.42 h are twice the pause of 6.21 h, so twice the share of 3 m.
    #[test]
    fn a_long_pause_leaves_more_open() {
        let turn = |seconds: i64, height_m: f64, kind| Turn {
            at: Timestamp::from_second(seconds).unwrap(),
            height_m,
            kind,
        };
        let pause = 12 * 3600 + 25 * 60 + 12;
        let turns = vec![
            turn(0, 4.0, TurnKind::HighWater),
            turn(pause, 1.0, TurnKind::LowWater),
        ];
        let error = CurveError {
            rounding_m: 0.0,
            share: 0.1,
        };
        let curve = BetweenTurns::new(turns, error);
        let half_way = Timestamp::from_second(pause / 2).unwrap();
        let over = curve.height_m(half_way, Shape::Highest) - 2.5;
        assert!((over - 0.6).abs() < 1e-12, "{over}");
    }

    #[test]
    fn crossings_invert_heights() {
        for share in [0.0, 1e-9, 0.1, 0.25, 0.5] {
            let curve = curve(CurveError {
                rounding_m: 0.01,
                share,
            });
            for shape in SHAPES {
                for level in [1.5, 2.5, 3.0, 4.9] {
                    let crossings = curve.crossings(level, shape);
                    assert!(!crossings.is_empty());
                    for crossing in crossings {
                        // A nanosecond of the steepest rate, 0.5 mm/s, is far below this.
                        let height_m = curve.height_m(crossing.at, shape);
                        assert!((height_m - level).abs() < 1e-9, "{share} {shape:?} {level}");
                    }
                }
                assert_eq!(curve.above(3.0, shape).len(), 1);
                assert!(curve.above(5.02, shape).is_empty());
                assert_eq!(curve.above(1.5, shape).len(), 1);
            }
            let longest = |shape| {
                let above = &curve.above(3.0, shape)[0];
                above.end.duration_since(above.start)
            };
            assert!(longest(Shape::Highest) > longest(Shape::Expected));
            assert!(longest(Shape::Lowest) < longest(Shape::Expected));
        }
    }

    /// At turns, at crossings and between them, before the first turn and at the last.
    #[test]
    fn one_stretch_is_found_as_among_all() {
        let curve = curve(CurveError {
            rounding_m: 0.01,
            share: 0.1,
        });
        for shape in SHAPES {
            for level in [0.5, 1.0, 1.5, 2.0, 3.0, 4.9, 5.0, 6.0] {
                let all = curve.above(level, shape);
                let ends = all.iter().flat_map(|stretch| [stretch.start, stretch.end]);
                for at in (-4..52)
                    .map(|quarter| at(f64::from(quarter) / 4.0))
                    .chain(ends)
                {
                    let among = all.iter().find(|stretch| stretch.contains(&at));
                    let found = curve.above_around(level, shape, at);
                    assert_eq!(found.as_ref(), among, "{shape:?} {level} {at}");
                }
            }
        }
    }

    /// Heights are printed round, and so are the levels of ways: they meet.
    #[test]
    fn a_level_at_a_turn_loses_no_water() {
        let curve = curve(CurveError::default());
        let over = |level| curve.above(level, Shape::Expected);
        assert_eq!(over(1.0), [at(0.0)..at(12.0)]);
        assert_eq!(over(2.0).len(), 1);
        assert_eq!(over(2.0)[0].end, at(12.0));
        assert!(over(5.0).is_empty());
    }
}
