//! The prepared curve of one port over one span.
//!
//! Over a stretch of time the tide is a sum of cosines whose amplitudes and phases run straight:
//! exactly so in the annual convention, and to a hundredth of a millimetre where node factors are
//! taken at each instant and joined by chords four days long. The curve is continuous except where
//! the convention itself has a step, at New Year.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::astro;
use crate::constants::Port;
use crate::convention::{ArgumentClock, NodeEpoch, Year, hours_after, hours_between};
use crate::course::{Course, LazyCourse};
use crate::curve::{Bounds, Four, Segment, tide, tide_at_four};
use crate::error::Error;
use crate::prepare::Preparation;
use crate::wave::{LANES, Lanes, Vectors, each};

/// Chords of the node factors: with L2 at half a metre, the fastest in common use, they stray 1 µm
/// from the curve; the error goes with the square of this.
const CHORD_S: i64 = 2 * 86_400;
const LONGEST_S: i64 = 100 * 366 * 86_400;

/// A port's tide over a span, ready to be asked for heights, turns and crossings.
///
/// ```
/// use wrackline_tides::{Convention, Harmonic, Port, PortSpec, TurnKind};
/// let m2 = Harmonic { name: "M2".into(), amplitude_m: 1.0, phase_lag_deg: 0.0 };
/// let convention = Convention::SchuremanInstant;
/// let spec = PortSpec { mean_level_m: 0.0, harmonics: &[m2], convention };
/// let day = "2026-06-01T00:00:00Z".parse()?.."2026-06-02T00:00:00Z".parse()?;
/// let predictor = Port::new(spec)?.predictor(day)?;
/// assert_eq!(predictor.turns().iter().filter(|turn| turn.kind == TurnKind::HighWater).count(), 2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Predictor {
    vectors: Vectors,
    mean_level_m: f64,
    span: Range<Timestamp>,
    base: Timestamp,
    /// Start of each segment in hours after `base`, ascending.
    starts_h: Vec<f64>,
    end_h: f64,
    first_h: f64,
    segments_per_h: f64,
    /// Groups of lines in one segment.
    width: usize,
    /// The segments' groups, one segment after another.
    table: Vec<Four>,
    bounds: Vec<Bounds>,
    /// Whether factors or arguments are held through each calendar year, so that the curve has a
    /// step at New Year.
    by_year: bool,
    course: LazyCourse,
}

impl Predictor {
    pub(crate) fn new(port: &Port, span: Range<Timestamp>) -> Result<Self, Error> {
        let Range { start, end } = span;
        if end <= start {
            return Err(Error::EmptySpan { start, end });
        }
        let long = end.as_second() - start.as_second() > LONGEST_S;
        if long || !astro::covers(start) || !astro::covers(end) {
            return Err(Error::Span { start, end });
        }
        let edges = edges(port, start, end);
        let base = edges.first().copied().unwrap_or(start);
        let whole_h = edges.last().map_or(1.0, |last| hours_between(base, *last));
        let mut preparation = Preparation::new(port);
        let mut this = Self {
            vectors: preparation.vectors,
            mean_level_m: port.mean_level_m(),
            base,
            starts_h: Vec::with_capacity(edges.len()),
            end_h: hours_between(base, end),
            first_h: hours_between(base, start),
            segments_per_h: edges.len().saturating_sub(1) as f64 / whole_h,
            span: start..end,
            width: preparation.width(),
            table: Vec::with_capacity(preparation.width() * edges.len()),
            bounds: Vec::with_capacity(edges.len()),
            by_year: preparation.stepped(),
            course: LazyCourse::default(),
        };
        for pair in edges.windows(2) {
            if let [from, to] = *pair {
                this.bounds
                    .push(preparation.push(from, to, &mut this.table));
                this.starts_h.push(hours_between(base, from));
            }
        }
        Ok(this)
    }

    /// The span that was prepared.
    #[must_use]
    pub fn span(&self) -> Range<Timestamp> {
        self.span.clone()
    }

    /// Mean level above the datum, metres.
    #[must_use]
    pub fn mean_level_m(&self) -> f64 {
        self.mean_level_m
    }

    /// Height above the datum, metres. It agrees with [`Port::height_m`] to 0.01 mm.
    ///
    /// # Errors
    /// [`Error::OutsideSpan`] before the start or after the end of the span; the end itself counts,
    /// since stretches end there.
    pub fn height_m(&self, at: Timestamp) -> Result<f64, Error> {
        let hours = self.hours_at(at)?;
        Ok(self.vectors.run(
            #[inline(always)]
            || self.height_at(hours),
        ))
    }

    /// Rate of rise (negative: fall), metres an hour.
    ///
    /// # Errors
    /// As [`Predictor::height_m`].
    pub fn rate_m_per_h(&self, at: Timestamp) -> Result<f64, Error> {
        let hours = self.hours_at(at)?;
        let segment = self.segment_at(hours);
        Ok(self.vectors.run(
            #[inline(always)]
            || segment.height_and_rate(hours).1,
        ))
    }

    /// An instant of the span on the predictor's clock: every public way in goes through here or
    /// through [`Predictor::all_within`], because beyond its ends the curve means nothing.
    pub(crate) fn hours_at(&self, at: Timestamp) -> Result<f64, Error> {
        self.all_within(&[at])?;
        Ok(hours_between(self.base, at))
    }

    /// Whether all instants lie in the span, its end included.
    pub(crate) fn all_within(&self, instants: &[Timestamp]) -> Result<(), Error> {
        let Range { start, end } = self.span;
        match instants.iter().find(|at| !(start..=end).contains(*at)) {
            None => Ok(()),
            Some(&at) => Err(Error::OutsideSpan { at, start, end }),
        }
    }

    /// Where the water turns and how high it stands there: found once.
    pub(crate) fn course(&self) -> &Course {
        self.course.get_or_find(|| Course::of(self))
    }

    pub(crate) fn vectors(&self) -> Vectors {
        self.vectors
    }

    pub(crate) fn base(&self) -> Timestamp {
        self.base
    }

    /// Which segment holds an instant: that of its share of the whole, or a neighbour, since
    /// segments are of nearly one length.
    #[inline(always)]
    fn index_at(&self, hours: f64) -> usize {
        let starts = self.starts_h.as_slice();
        // A negative product is cut to 0, one beyond the last segment to it.
        let mut index = (hours * self.segments_per_h) as usize;
        index = index.min(starts.len().saturating_sub(1));
        while index + 1 < starts.len() && starts[index + 1] <= hours {
            index += 1;
        }
        while index > 0 && starts[index] > hours {
            index -= 1;
        }
        index
    }

    /// Height at an instant of the predictor's clock: what is behind [`Predictor::height_m`] and
    /// its batches.
    #[inline(always)]
    pub(crate) fn height_at(&self, hours: f64) -> f64 {
        let index = self.index_at(hours);
        let start_h = self.starts_h.get(index).copied().unwrap_or(0.0);
        self.mean_level_m + tide(self.fours(index), hours - start_h)
    }

    /// Heights at four instants at once, to the same bits; quicker where one segment holds them.
    #[inline(always)]
    pub(crate) fn heights_at_four(&self, hours: Lanes) -> Lanes {
        let mut indices = [0; LANES];
        for (index, hours) in indices.iter_mut().zip(hours) {
            *index = self.index_at(hours);
        }
        if indices.iter().any(|index| *index != indices[0]) {
            let mut heights_m = hours;
            for height in &mut heights_m {
                *height = self.height_at(*height);
            }
            return heights_m;
        }
        let start_h = self.starts_h.get(indices[0]).copied().unwrap_or(0.0);
        let tides = tide_at_four(self.fours(indices[0]), each(|i| hours[i] - start_h));
        each(|i| self.mean_level_m + tides[i])
    }

    #[inline(always)]
    pub(crate) fn segment_at(&self, hours: f64) -> Segment<'_> {
        self.segment(self.index_at(hours))
    }

    #[inline(always)]
    fn fours(&self, index: usize) -> &[Four] {
        let block = index * self.width;
        self.table
            .get(block..block + self.width)
            .unwrap_or_default()
    }

    fn segment(&self, index: usize) -> Segment<'_> {
        let start_h = self.starts_h.get(index).copied().unwrap_or(0.0);
        let to_h = self.starts_h.get(index + 1).copied().unwrap_or(self.end_h);
        Segment {
            from_h: start_h.max(self.first_h),
            to_h: to_h.min(self.end_h),
            start_h,
            vectors: self.vectors,
            mean_level_m: self.mean_level_m,
            fours: self.fours(index),
            bounds: self.bounds.get(index).copied().unwrap_or_default(),
        }
    }

    /// The segments that the span touches, clipped to it.
    pub(crate) fn segments(&self) -> impl Iterator<Item = Segment<'_>> {
        (0..self.starts_h.len())
            .map(|index| self.segment(index))
            .filter(|segment| segment.to_h > segment.from_h)
    }

    /// Whether the curve has a step at an edge between two segments.
    pub(crate) fn steps_at(&self, hours: f64) -> bool {
        let at = hours_after(self.base, hours);
        self.by_year && Year::of(at).start == at
    }

    pub(crate) fn timestamp(&self, hours: f64) -> Timestamp {
        hours_after(self.base, hours).clamp(self.span.start, self.span.end)
    }
}

/// Where one segment ends and the next begins, from before the start of the span to its end or
/// later.
fn edges(port: &Port, start: Timestamp, end: Timestamp) -> Vec<Timestamp> {
    let terms = port.convention().terms();
    let by_year =
        terms.clock == ArgumentClock::StartOfYear || terms.nodes == NodeEpoch::MiddleOfYear;
    let by_chord = terms.nodes == NodeEpoch::Instant || terms.clock == ArgumentClock::Instant;
    let mut edges = Vec::new();
    let mut year = Year::of(start);
    let mut at = if by_year {
        year.start
    } else {
        chord_start(start)
    };
    if by_chord {
        at = at.max(chord_start(start));
    }
    while at < end {
        edges.push(at);
        if at >= year.end {
            year = Year::of(at);
        }
        let next_chord = Timestamp::from_second(chord_start(at).as_second() + CHORD_S);
        at = match (by_year, by_chord, next_chord) {
            (true, true, Ok(chord)) => year.end.min(chord),
            (false, true, Ok(chord)) => chord,
            _ => year.end,
        };
    }
    edges.push(at);
    edges
}

fn chord_start(at: Timestamp) -> Timestamp {
    let second = at.as_second();
    Timestamp::from_second(second - second.rem_euclid(CHORD_S)).unwrap_or(at)
}

impl Port {
    /// Prepares the curve over a span: heights, turns and crossings without further set-up.
    ///
    /// # Errors
    /// [`Error::EmptySpan`] and [`Error::Span`].
    pub fn predictor(&self, span: Range<Timestamp>) -> Result<Predictor, Error> {
        Predictor::new(self, span)
    }
}

#[cfg(test)]
mod tests {
    use std::vec::Vec;

    use jiff::{SignedDuration, Timestamp};

    use super::Predictor;
    use crate::constants::{Harmonic, PortSpec};
    use crate::convention::Convention;
    use crate::dense::HeightTable;
    use crate::grid::Grid;
    use crate::{Port, Turn};

    /// Heights on grids and at instants, rates, a table and turns.
    fn all_of(predictor: &Predictor) -> (Vec<u64>, Vec<Turn>) {
        let start = predictor.span().start;
        let mut values = Vec::new();
        for (minutes, len) in [(6, 2_000), (60, 700), (360, 100)] {
            let grid = Grid::new(start, SignedDuration::from_mins(minutes), len).unwrap();
            let mut some = std::vec![0.0; len];
            predictor.fill_heights(&grid, &mut some).unwrap();
            values.extend_from_slice(&some);
            predictor.fill_rates(&grid, &mut some).unwrap();
            values.extend_from_slice(&some);
            let instants: Vec<Timestamp> = grid.instants().collect();
            predictor.fill_heights_at(&instants, &mut some).unwrap();
            values.extend_from_slice(&some);
            let table = HeightTable::of(predictor);
            table.fill_heights_at(&instants, &mut some).unwrap();
            values.extend_from_slice(&some);
        }
        let bits = values.iter().map(|value| value.to_bits()).collect();
        (bits, predictor.turns())
    }

    #[test]
    fn vectors_of_every_width_give_the_same_bits() {
        let line = |(index, name): (usize, &str)| Harmonic {
            name: name.into(),
            amplitude_m: 2.0 / (1.0 + index as f64),
            phase_lag_deg: 33.0 * index as f64,
        };
        let names = [
            "M2", "S2", "N2", "K1", "O1", "L2", "M4", "MS4", "SA", "K2", "Q1",
        ];
        let harmonics: Vec<Harmonic> = names.into_iter().enumerate().map(line).collect();
        for convention in [Convention::SchuremanAnnual, Convention::IhoInstant] {
            let port = Port::new(PortSpec {
                mean_level_m: 3.0,
                harmonics: &harmonics,
                convention,
            });
            let span = "2026-12-01T00:00:00Z".parse().unwrap()
                .."2027-02-01T00:00:00Z".parse::<Timestamp>().unwrap();
            let wide = port.unwrap().predictor(span).unwrap();
            let mut narrow = wide.clone();
            narrow.vectors = crate::wave::Vectors::baseline();
            assert_eq!(all_of(&wide), all_of(&narrow));
        }
    }
}
