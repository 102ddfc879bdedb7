//! A curve read off a table of its own heights.
//!
//! Heights stand every quarter of an hour, or closer where fast lines need it, and between them a
//! polynomial through the eight nearest gives the height: for whoever asks a curve for instants in
//! no order, many thousand times. A table never reaches across a step of the curve at New Year.

use alloc::vec::Vec;
use core::f64::consts::TAU;
use core::ops::Range;

use jiff::Timestamp;

use crate::curve::Segment;
use crate::error::{Error, same_length};
use crate::predict::Predictor;
use crate::wave::{Lanes, Vectors, each};

/// Heights on which a polynomial rests, and those of them before the instant.
const NODES: usize = 8;
const BEFORE: usize = 3;
/// The widest step, hours.
const WIDEST_H: f64 = 0.25;
/// What the polynomial may stray by, metres, as long as the step is above the shortest.
const ERROR_M: f64 = 2e-7;
/// The most that the step is halved: to under a minute.
const HALVINGS: u32 = 5;
/// The product of the distances to eight nodes, at most, is (7·5·3·1)² / 2⁸ steps to the eighth;
/// over 8! it multiplies the eighth derivative.
const PRODUCT: f64 = 11_025.0 / 256.0 / 40_320.0;

/// The heights of a span, ready to be read off at any instant of it in a few nanoseconds.
///
/// ```
/// use wrackline_tides::{Convention, Harmonic, HeightTable, Port, PortSpec};
/// let m2 = Harmonic { name: "M2".into(), amplitude_m: 2.5, phase_lag_deg: 40.0 };
/// let spec = PortSpec { mean_level_m: 4.0, harmonics: &[m2], convention: Convention::IhoInstant };
/// let year = "2026-01-01T00:00:00Z".parse()?.."2027-01-01T00:00:00Z".parse()?;
/// let tide = Port::new(spec)?.predictor(year)?;
/// let table = HeightTable::of(&tide);
/// let at = "2026-12-29T09:33:21Z".parse()?;
/// assert!((table.height_m(at)? - tide.height_m(at)?).abs() < 1e-6);
/// assert!(table.height_m("2027-01-01T00:00:01Z".parse()?).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct HeightTable {
    span: Range<Timestamp>,
    /// Stretches without a step, in order.
    pieces: Vec<Piece>,
    heights_m: Vec<f64>,
    steps_per_s: f64,
    error_m: f64,
    vectors: Vectors,
}

#[derive(Clone, Copy, Debug)]
struct Piece {
    from: Timestamp,
    /// Index of the first height, which stands three steps before the piece.
    first: usize,
    /// Heights of the piece.
    count: usize,
}

impl HeightTable {
    /// Tabulates a prepared curve: 280 kB a year at the usual step of a quarter of an hour.
    #[must_use]
    pub fn of(predictor: &Predictor) -> Self {
        let eighth = predictor
            .segments()
            .map(|segment| eighth_derivative(&segment))
            .fold(0.0, f64::max);
        let stray = |step_h: f64| PRODUCT * eighth * libm::pow(step_h, NODES as f64);
        let step_h = (0..HALVINGS)
            .map(|halvings| WIDEST_H / f64::from(1_u32 << halvings))
            .find(|step_h| stray(*step_h) < ERROR_M)
            .unwrap_or(WIDEST_H / f64::from(1_u32 << HALVINGS));
        let mut this = Self {
            span: predictor.span(),
            pieces: Vec::new(),
            heights_m: Vec::new(),
            steps_per_s: 1.0 / (step_h * 3600.0),
            error_m: stray(step_h),
            vectors: predictor.vectors(),
        };
        for (from_h, to_h) in predictor.smooth_stretches() {
            let count = libm::ceil((to_h - from_h) / step_h) as usize + NODES;
            let first = this.heights_m.len();
            this.pieces.push(Piece {
                from: predictor.timestamp(from_h),
                first,
                count,
            });
            this.heights_m.resize(first + count, 0.0);
            let heights = this.heights_m.get_mut(first..).unwrap_or_default();
            predictor.fill_stretch((from_h, to_h), BEFORE, step_h, heights);
        }
        this
    }

    /// The span that was tabulated.
    #[must_use]
    pub fn span(&self) -> Range<Timestamp> {
        self.span.clone()
    }

    /// How far the polynomial may stray from the curve, metres; the curve's own 1 µm against its
    /// definition comes on top.
    #[must_use]
    pub fn error_m(&self) -> f64 {
        self.error_m
    }

    /// Height above the datum, metres.
    ///
    /// # Errors
    /// [`Error::OutsideSpan`] outside the span, whose end counts.
    pub fn height_m(&self, at: Timestamp) -> Result<f64, Error> {
        if !self.covers(at) {
            return Err(self.outside(at));
        }
        Ok(self.read(at))
    }

    fn covers(&self, at: Timestamp) -> bool {
        (self.span.start..=self.span.end).contains(&at)
    }

    fn outside(&self, at: Timestamp) -> Error {
        let Range { start, end } = self.span;
        Error::OutsideSpan { at, start, end }
    }

    /// Fills a slice with the heights at given instants, metres above the datum.
    ///
    /// # Errors
    /// [`Error::Lengths`] if the two slices differ in length; [`Error::OutsideSpan`] if an instant
    /// lies outside the span: the heights then mean nothing.
    pub fn fill_heights_at(
        &self,
        instants: &[Timestamp],
        heights_m: &mut [f64],
    ) -> Result<(), Error> {
        same_length(instants.len(), heights_m.len())?;
        let inside = self.vectors.run(
            #[inline(always)]
            || {
                let mut inside = true;
                for (height, at) in heights_m.iter_mut().zip(instants) {
                    inside &= self.covers(*at);
                    *height = self.read(*at);
                }
                inside
            },
        );
        if inside {
            return Ok(());
        }
        let first = instants.iter().find(|at| !self.covers(**at));
        first.map_or(Ok(()), |at| Err(self.outside(*at)))
    }

    #[inline(always)]
    fn read(&self, at: Timestamp) -> f64 {
        let after = match self.pieces.as_slice() {
            [_] => 1,
            pieces => pieces.partition_point(|piece| piece.from <= at),
        };
        let Some(piece) = self.pieces.get(after.saturating_sub(1)) else {
            return 0.0;
        };
        let seconds = (at.as_second() - piece.from.as_second()) as f64;
        let fraction = f64::from(at.subsec_nanosecond() - piece.from.subsec_nanosecond());
        let steps = (seconds + fraction * 1e-9) * self.steps_per_s;
        // An instant before the first node is cut to it, one beyond the last to that.
        let whole = (steps as usize).min(piece.count - NODES);
        let from = piece.first + whole;
        let nodes = self.heights_m.get(from..).and_then(<[f64]>::first_chunk);
        nodes.map_or(0.0, |nodes| interpolate(nodes, steps - whole as f64))
    }
}

/// The polynomial through eight heights, a share of a step after the fourth.
///
/// Lagrange's form with the nodes in pairs about the middle of the step, ±d from it: with q = w² -
/// d² of each pair, the product of the other three times (w + d) y₊ - (w - d) y₋.
#[inline(always)]
fn interpolate(nodes: &[f64; NODES], share: f64) -> f64 {
    const DISTANCES: Lanes = [0.5, 1.5, 2.5, 3.5];
    /// One over 2 d and the differences of d² from those of the others.
    const WEIGHTS: Lanes = [-1.0 / 144.0, 1.0 / 240.0, -1.0 / 720.0, 1.0 / 5040.0];
    let w = share - 0.5;
    let square = w * w;
    let q = each(|k| square - DISTANCES[k] * DISTANCES[k]);
    let (inner, outer) = (q[0] * q[1], q[2] * q[3]);
    let others = [q[1] * outer, q[0] * outer, q[3] * inner, q[2] * inner];
    let ahead = [nodes[4], nodes[5], nodes[6], nodes[7]];
    let behind = [nodes[3], nodes[2], nodes[1], nodes[0]];
    let part = each(|k| {
        let pair = (w + DISTANCES[k]) * ahead[k] - (w - DISTANCES[k]) * behind[k];
        WEIGHTS[k] * others[k] * pair
    });
    (part[0] + part[1]) + (part[2] + part[3])
}

/// No less than the eighth derivative of a stretch, metres in an hour to the eighth.
fn eighth_derivative(segment: &Segment<'_>) -> f64 {
    let length = segment.to_h - segment.start_h;
    let mut total = 0.0;
    for four in segment.fours {
        for (k, speed) in four.speed.iter().enumerate() {
            let greatest = four.amplitude[k].abs() + four.growth[k].abs() * length;
            let omega = (speed * TAU).abs();
            let seventh = libm::pow(omega, 7.0);
            total += seventh * (greatest * omega + 8.0 * four.growth[k].abs());
        }
    }
    total
}

impl Predictor {
    /// Stretches of the span between which the convention has a step, on the predictor's clock.
    fn smooth_stretches(&self) -> Vec<(f64, f64)> {
        let mut stretches: Vec<(f64, f64)> = Vec::new();
        for segment in self.segments() {
            match stretches.last_mut() {
                Some((_, to_h)) if !self.steps_at(segment.from_h) => *to_h = segment.to_h,
                _ => stretches.push((segment.from_h, segment.to_h)),
            }
        }
        stretches
    }

    /// Fills a slice with heights at equal steps from some steps before a stretch to some after;
    /// outside the stretch its first and last segments are carried on.
    fn fill_stretch(
        &self,
        (from_h, to_h): (f64, f64),
        before: usize,
        step_h: f64,
        heights_m: &mut [f64],
    ) {
        let mut index = 0;
        let hours_of = |index: usize| from_h + step_h * (index as f64 - before as f64);
        while index < heights_m.len() {
            let at = hours_of(index);
            let segment = self.segment_at(at.clamp(from_h, to_h - 0.5 * step_h.min(to_h - from_h)));
            let mut end = index + 1;
            let last = segment.to_h >= to_h;
            while end < heights_m.len() && (last || hours_of(end) < segment.to_h) {
                end += 1;
            }
            if let Some(block) = heights_m.get_mut(index..end) {
                self.fill_along(&segment, at, step_h, block);
            }
            index = end;
        }
    }
}
