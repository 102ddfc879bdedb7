//! By how much a forecast shifts the upper and the lower water, stretch by stretch.

use jiff::{SignedDuration, Timestamp};

use super::forecast::{Forecast, Row};
use super::residual::{Residual, Taught};
use super::{ALONE_HOURS, LONGEST_GAP_HOURS, Reach};
use crate::port::{Shape, TideCurve};
use crate::scenario::Water;
use crate::time::{Stretch, Stretches};

/// What a forecast adds to the allowances of a scenario; nothing is below zero.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Shift {
    /// Added to the upper water, which then stands at whole centimetres.
    pub(crate) upper_m: f64,
    /// Taken from the lower water, which then stands at whole centimetres.
    pub(crate) lower_m: f64,
    /// By which the water may rise over what the scenario expects: then the animals come earlier
    /// and stay longer.
    pub(crate) rise_m: f64,
}

impl Shift {
    fn widest(self, other: Self) -> Self {
        Self {
            upper_m: self.upper_m.max(other.upper_m),
            lower_m: self.lower_m.max(other.lower_m),
            rise_m: self.rise_m.max(other.rise_m),
        }
    }
}

/// A stretch over which the shift is constant.
#[derive(Clone, Debug, PartialEq)]
struct Piece {
    stretch: Stretch,
    shift: Shift,
    /// What is to be expected at its rows.
    residuals: Vec<Residual>,
}

/// The shifts of a forecast, in order of time; outside of them it does not speak.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Shifts {
    pieces: Vec<Piece>,
    spoken_for: Stretches,
}

/// One row and all that it may mean for the water.
struct Said {
    at: Timestamp,
    residuals: Vec<Residual>,
}

impl Shifts {
    pub(super) fn of(water: &Water, forecast: &Forecast, taught: Option<&Taught>) -> Self {
        let rows = forecast.rows().iter();
        let said: Vec<Said> = rows
            .filter_map(|row| {
                let residuals = residuals(water, row, taught)?;
                Some(Said {
                    at: row.at,
                    residuals,
                })
            })
            .collect();
        let mut pieces = Vec::with_capacity(said.len() + 1);
        let mut piece = |stretch: Stretch, rows: &[&Said]| {
            let residuals = rows.iter().flat_map(|row| row.residuals.iter().copied());
            let residuals: Vec<Residual> = residuals.collect();
            let shifts = residuals.iter().map(|residual| shift(water, residual));
            pieces.push(Piece {
                stretch,
                shift: shifts.fold(Shift::default(), Shift::widest),
                residuals,
            });
        };
        let alone = SignedDuration::from_hours(ALONE_HOURS);
        let before = |at: Timestamp| at.checked_sub(alone).unwrap_or(Timestamp::MIN)..at;
        let after = |at: Timestamp| at..at.checked_add(alone).unwrap_or(Timestamp::MAX);
        if let Some(first) = said.first() {
            piece(before(first.at), &[first]);
        }
        for pair in said.windows(2) {
            let [a, b] = [&pair[0], &pair[1]];
            let gap = b.at.duration_since(a.at);
            if gap <= SignedDuration::from_hours(LONGEST_GAP_HOURS) {
                piece(a.at..b.at, &[a, b]);
            } else {
                piece(after(a.at), &[a]);
                piece(before(b.at), &[b]);
            }
        }
        if let Some(last) = said.last() {
            piece(after(last.at), &[last]);
        }
        Self {
            spoken_for: pieces.iter().map(|piece| piece.stretch.clone()).collect(),
            pieces,
        }
    }

    /// The pieces that a stretch touches, its end and theirs included.
    fn touching(&self, stretch: &Stretch) -> impl Iterator<Item = &Piece> {
        let first = self
            .pieces
            .partition_point(|p| p.stretch.end < stretch.start);
        let end = stretch.end;
        let from = self.pieces[first..].iter();
        from.take_while(move |piece| piece.stretch.start <= end)
    }

    /// The shift at an instant; where two meet, the wider.
    pub(crate) fn at(&self, at: Timestamp) -> Shift {
        self.widest_in(&(at..at))
    }

    /// The widest shift in a stretch.
    pub(crate) fn widest_in(&self, stretch: &Stretch) -> Shift {
        let shifts = self.touching(stretch).map(|piece| piece.shift);
        shifts.fold(Shift::default(), Shift::widest)
    }

    /// What is to be expected of the water in a stretch, by each of the rows that speak for it.
    /// Each comes with what is added to the upper water then.
    pub(crate) fn residuals_in(
        &self,
        stretch: &Stretch,
    ) -> impl Iterator<Item = (Residual, Shift)> {
        let pieces = self.touching(stretch);
        pieces.flat_map(|piece| piece.residuals.iter().map(|found| (*found, piece.shift)))
    }

    /// How much of a stretch the forecast speaks for.
    pub(super) fn reach(&self, stretch: &Stretch) -> Reach {
        let spoken = self.spoken_for.within(stretch);
        if spoken.is_empty() {
            Reach::Nothing
        } else if spoken.gaps_in(stretch).is_empty() {
            Reach::Whole
        } else {
            Reach::Part
        }
    }

    /// When the water stands over a level, raised piece by piece: exactly for water that is raised
    /// so, since each piece is raised by a constant. Holds all of the time in which it stands over
    /// it without being raised.
    pub(crate) fn over(
        &self,
        curve: &TideCurve,
        level_m: f64,
        shape: Shape,
        by: impl Fn(&Shift) -> f64,
    ) -> Stretches {
        let own = Stretches::new(curve.above_of(level_m, shape));
        self.each(curve, level_m, shape, &by)
            .fold(own, |all, more| all.union(&more))
    }

    /// When the water stands over a level, lowered piece by piece; the lowest of its shapes.
    pub(crate) fn over_when_lowered(
        &self,
        curve: &TideCurve,
        level_m: f64,
        by: impl Fn(&Shift) -> f64,
    ) -> Stretches {
        let lowered = |piece: &&Piece| by(&piece.shift) > 0.0;
        let there = self.pieces.iter().filter(lowered);
        let there: Stretches = there.map(|piece| piece.stretch.clone()).collect();
        let elsewhere = there.gaps_in(curve.span());
        let lowest = Shape::Lowest;
        let own = Stretches::new(curve.above_of(level_m, lowest)).intersect(&elsewhere);
        self.each(curve, level_m, lowest, &|shift| -by(shift))
            .fold(own, |all, more| all.union(&more))
    }

    /// For each shift that is not zero, when the water with it stands over a level.
    fn each<'s>(
        &'s self,
        curve: &'s TideCurve,
        level_m: f64,
        shape: Shape,
        by: &'s dyn Fn(&Shift) -> f64,
    ) -> impl Iterator<Item = Stretches> + 's {
        let mut shifts: Vec<f64> = self.pieces.iter().map(|piece| by(&piece.shift)).collect();
        shifts.sort_by(f64::total_cmp);
        shifts.dedup();
        shifts.retain(|shift| *shift != 0.0);
        shifts.into_iter().map(move |shift| {
            let pieces = self.pieces.iter();
            let there: Stretches = pieces
                .filter(|piece| by(&piece.shift) == shift)
                .map(|piece| piece.stretch.clone())
                .collect();
            Stretches::new(curve.above_of(level_m - shift, shape)).intersect(&there)
        })
    }

    /// The highest water of a stretch, raised piece by piece, metres above chart datum. `None` where
    /// the stretch leaves what is known.
    pub(crate) fn highest_m(
        &self,
        curve: &TideCurve,
        stretch: &Stretch,
        by: impl Fn(&Shift) -> f64,
    ) -> Option<f64> {
        let mut highest = curve.highest_m(stretch)?;
        for piece in self.touching(stretch) {
            let within = piece.stretch.start.max(stretch.start)..piece.stretch.end.min(stretch.end);
            highest = highest.max(curve.highest_m(&within)? + by(&piece.shift));
        }
        Some(highest)
    }
}

/// All that a row may mean for the water; `None` where it says nothing about it.
fn residuals(water: &Water, row: &Row, taught: Option<&Taught>) -> Option<Vec<Residual>> {
    let pressure_hpa = row.pressure_hpa?;
    let mut all = vec![Residual::by_pressure(water, pressure_hpa)];
    if let (Some(taught), Some(wind)) = (taught, row.wind) {
        all.extend(taught.residuals(pressure_hpa, wind));
    }
    Some(all)
}

/// What a residual adds to the scenario's own allowances.
fn shift(water: &Water, residual: &Residual) -> Shift {
    Shift {
        upper_m: (up(residual.mean_m + residual.upper_m) - water.upper_m()).max(0.0),
        lower_m: (water.lower_m() + up(residual.lower_m - residual.mean_m)).max(0.0),
        rise_m: (up(residual.mean_m) - water.expected_m).max(0.0),
    }
}

/// Up to whole centimetres, as the water itself stands: a shift rounded by itself would fall where
/// an allowance grows. Few different waters are few levels to be found, and no forecast knows the
/// water to a centimetre. A ten-millionth of one is a sum's rounding.
fn up(metres: f64) -> f64 {
    (metres * 100.0 - 1e-7).ceil() / 100.0
}
