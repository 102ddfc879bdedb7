//! The path of a body over a span, prepared once: for many instants, and for many places.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;
use nalgebra::Vector3;

use crate::batch::{self, Batch, LANES, Row, Run, Vectors, fill};
use crate::body::Body;
use crate::error::{Error, same_length, within};
use crate::frames::{earth_turn, turned_third};
use crate::observer::{Observer, Place};
use crate::piece::Piece;
use crate::rows::{Grid, Horizontal};
use crate::time::EarthTime;
use crate::wide::{Work, widest};

/// The path of sun or moon over a span, worked out from the full theory once, in polynomials of 16
/// days (sun) or 4 days (moon).
///
/// Every place agrees with the full theory within 0.001" (measured over 1900-2100), batches within
/// 0.003". A path serves any number of observers; its way from UTC to UT1 is its own, not theirs.
///
/// ```
/// use jiff::SignedDuration;
/// use wrackline_solar::{Body, Grid, Horizontal, Observer, Path, Site};
///
/// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
/// let observer = Observer::new(site)?;
/// let start = "2026-12-29T00:00:00Z".parse()?;
/// let path = Path::new(Body::Sun, start.."2026-12-30T00:00:00Z".parse()?)?;
/// let mut day = [Horizontal::default(); 24];
/// path.fill_places(&observer, &Grid::new(start, SignedDuration::from_hours(1), 24)?, &mut day)?;
/// assert!(day[12].altitude_deg > 12.0 && day[0].altitude_deg < -50.0);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    body: Body,
    earth_time: EarthTime,
    span: Range<Timestamp>,
    first: f64,
    pieces: Vec<Piece>,
}

impl Path {
    /// The path over a span, with the rotation of the Earth as observed.
    ///
    /// # Errors
    /// If the span ends before it starts, or lasts longer than 146,100 days (400 years).
    pub fn new(body: Body, span: Range<Timestamp>) -> Result<Self, Error> {
        Self::with_earth_time(body, span, EarthTime::Observed)
    }

    /// The path over a span, with the rotation of the Earth as given.
    ///
    /// # Errors
    /// As [`Path::new`].
    pub fn with_earth_time(
        body: Body,
        span: Range<Timestamp>,
        earth_time: EarthTime,
    ) -> Result<Self, Error> {
        Self::through(body, span, earth_time, |number| {
            Piece::numbered(body, earth_time, number)
        })
    }

    /// The path whose pieces somebody makes from their numbers, in order.
    pub(crate) fn through(
        body: Body,
        span: Range<Timestamp>,
        earth_time: EarthTime,
        mut piece: impl FnMut(f64) -> Piece,
    ) -> Result<Self, Error> {
        let [start, end] = [span.start, span.end].map(|at| earth_time.ut1(at).0);
        within("length of the span", end - start, 0.0, 146_100.0, "d")?;
        let first = body.piece_number(start);
        let count = (body.piece_number(end) - first) as usize + 1;
        let pieces = (0..count).map(|i| piece(first + i as f64)).collect();
        Ok(Self {
            body,
            earth_time,
            span,
            first,
            pieces,
        })
    }

    /// Whose path it is.
    #[must_use]
    pub fn body(&self) -> Body {
        self.body
    }

    /// The span that it covers, its end included.
    #[must_use]
    pub fn span(&self) -> Range<Timestamp> {
        self.span.clone()
    }

    #[inline(always)]
    fn covers(&self, at: Timestamp) -> Result<(), Error> {
        if (self.span.start..=self.span.end).contains(&at) {
            Ok(())
        } else {
            Err(Error::OutsideSpan {
                at,
                start: self.span.start,
                end: self.span.end,
            })
        }
    }

    /// The day of UT1 of a time within the span.
    pub(crate) fn day(&self, at: Timestamp) -> Result<f64, Error> {
        self.covers(at)?;
        Ok(self.earth_time.ut1(at).0)
    }

    #[inline(always)]
    pub(crate) fn piece_index(&self, ut1: f64) -> usize {
        // A day within the span lies in a piece; a rounding at its ends must not lead outside. The
        // cast takes what lies below zero for zero.
        let index = (ut1 * self.body.piece_rate() - self.first) as u32 as usize;
        index.min(self.pieces.len() - 1)
    }

    #[inline(always)]
    pub(crate) fn piece(&self, ut1: f64) -> &Piece {
        &self.pieces[self.piece_index(ut1)]
    }

    /// The number of the first piece.
    pub(crate) fn first(&self) -> f64 {
        self.first
    }

    pub(crate) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    pub(crate) fn earth_time(&self) -> EarthTime {
        self.earth_time
    }

    /// The place for an observer.
    ///
    /// # Errors
    /// If the time lies outside the span.
    pub fn place(&self, observer: &Observer, at: Timestamp) -> Result<Place, Error> {
        self.covers(at)?;
        let path = self;
        Ok(widest(Whole(Single { path, observer, at })))
    }

    /// Azimuth and altitude alone, for less work: the same to the bit as in a batch, within 0.003"
    /// of the full place.
    ///
    /// # Errors
    /// If the time lies outside the span.
    pub fn horizontal(&self, observer: &Observer, at: Timestamp) -> Result<Horizontal, Error> {
        self.covers(at)?;
        let path = self;
        Ok(widest(Single { path, observer, at }))
    }

    /// Azimuth and altitude at each instant of a grid.
    ///
    /// # Errors
    /// If an instant lies outside the span, or the slice is not as long as the grid; it is then
    /// left as it was.
    pub fn fill_places(
        &self,
        observer: &Observer,
        grid: &Grid,
        places: &mut [Horizontal],
    ) -> Result<(), Error> {
        self.fill_rows(observer, grid, places)
    }

    /// Fills rows of any kind from the instants of a grid.
    pub(crate) fn fill_rows<R: Row>(
        &self,
        observer: &Observer,
        grid: &Grid,
        rows: &mut [R],
    ) -> Result<(), Error> {
        self.runs(grid, rows.len(), |run, indices| {
            fill(observer, run, &mut rows[indices]);
        })
    }

    /// Fills rows of any kind from given instants.
    pub(crate) fn fill_rows_at<R: Row>(
        &self,
        observer: &Observer,
        instants: &[Timestamp],
        rows: &mut [R],
    ) -> Result<(), Error> {
        self.covers_all(instants, rows.len())?;
        let given = Given {
            path: self,
            instants,
        };
        fill(observer, given, rows);
        Ok(())
    }

    /// Cuts a grid into runs within one piece on which UT1 runs evenly.
    ///
    /// # Errors
    /// As [`Path::fill_places`], before anything was done.
    fn runs(
        &self,
        grid: &Grid,
        count: usize,
        mut visit: impl FnMut(Run<'_>, Range<usize>),
    ) -> Result<(), Error> {
        same_length(grid.len(), count)?;
        let step_s = grid.step().as_secs_f64();
        self.covers(grid.start())?;
        self.covers(grid.last())?;
        let day_of = |index| self.earth_time.ut1(grid.at(index)).0;
        // UT1 runs evenly to a millisecond or so over a piece, unless a leap second comes between.
        let mut done = 0;
        while done < count {
            let from = day_of(done);
            let piece = self.piece_index(from);
            let room = (self.pieces[piece].end() - from) * 86_400.0 / step_s;
            let mut many = (count - done).min((room as usize).saturating_add(1));
            let mut to = day_of(done + many - 1);
            // Where a leap second, or the beginning of UTC, comes between, the middle lies off:
            // halve until it does not.
            while many > 2 {
                let half = (many - 1) / 2;
                let middle = day_of(done + half);
                let even = from + (to - from) * half as f64 / (many - 1) as f64;
                if (middle - even).abs() < EVEN_DAYS {
                    break;
                }
                many = half + 1;
                to = middle;
            }
            let step = if many > 1 {
                (to - from) / (many - 1) as f64
            } else {
                0.0
            };
            let run = Run {
                piece: &self.pieces[piece],
                start: from,
                step,
            };
            visit(run, done..done + many);
            done += many;
        }
        Ok(())
    }

    /// Azimuth and altitude at given instants, in any order.
    ///
    /// # Errors
    /// If an instant lies outside the span, or the slices differ in length; the places are then
    /// left as they were.
    pub fn fill_places_at(
        &self,
        observer: &Observer,
        instants: &[Timestamp],
        places: &mut [Horizontal],
    ) -> Result<(), Error> {
        self.fill_rows_at(observer, instants, places)
    }

    /// Whether all instants lie in the span and there is a place for each.
    pub(crate) fn covers_all(&self, instants: &[Timestamp], places: usize) -> Result<(), Error> {
        same_length(instants.len(), places)?;
        instants.iter().try_for_each(|at| self.covers(*at))
    }
}

/// By how much an instant may lie off a straight line through the ends of its run: a millisecond,
/// 0.015" of sky.
const EVEN_DAYS: f64 = 0.001 / 86_400.0;

/// One instant of a path's span.
struct Single<'a> {
    path: &'a Path,
    observer: &'a Observer,
    at: Timestamp,
}

impl Single<'_> {
    /// The day of UT1 and the four figures of the piece.
    #[inline(always)]
    fn figures(&self) -> (f64, [f64; 4]) {
        let ut1 = self.path.earth_time.ut1(self.at).0;
        let piece = self.path.piece(ut1);
        (ut1, piece.at(piece.inner_time(ut1)))
    }
}

impl Work for Single<'_> {
    type Output = Horizontal;

    #[inline(always)]
    fn run(self) -> Horizontal {
        let (ut1, figures) = self.figures();
        batch::horizontal(self.observer, ut1, figures)
    }
}

/// The whole place at one instant.
struct Whole<'a>(Single<'a>);

impl Work for Whole<'_> {
    type Output = Place;

    #[inline(always)]
    fn run(self) -> Place {
        let (ut1, [x, y, z, _]) = self.0.figures();
        let observer = self.0.observer;
        let turn = earth_turn(ut1, observer.longitude_turns);
        let meridian_km = turned_third(Vector3::new(x, y, z), turn);
        observer.place_of(meridian_km, self.0.path.body.radius_km())
    }
}

/// Instants of a path's span, in any order.
struct Given<'a> {
    path: &'a Path,
    instants: &'a [Timestamp],
}

impl Vectors for Given<'_> {
    #[inline(always)]
    fn batch(&self, chunk: usize) -> Batch {
        let mut batch = Batch::EMPTY;
        let instants = self.instants.get(chunk * LANES..).unwrap_or_default();
        let earth_time = self.path.earth_time;
        if let Some(instants) = instants.first_chunk::<LANES>() {
            batch.ut1 = earth_time.ut1_abreast(instants);
        } else {
            for (ut1, at) in batch.ut1.iter_mut().zip(instants) {
                *ut1 = earth_time.ut1(*at).0;
            }
        }
        // The four polynomials of an instant side by side in memory, so that they fill a vector
        // register; only then the instants side by side.
        let mut figures = [[0.0; 4]; LANES];
        for (figures, ut1) in figures.iter_mut().zip(&batch.ut1).take(instants.len()) {
            let piece = self.path.piece(*ut1);
            *figures = piece.at(piece.inner_time(*ut1));
        }
        for (lane, figures) in figures.into_iter().enumerate().take(instants.len()) {
            batch.put(lane, figures);
        }
        batch
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::observer::Site;

    #[test]
    fn wide_and_narrow_registers_give_the_same_bits() {
        let site = Site {
            latitude_deg: 54.0,
            longitude_deg: 3.0,
            elevation_m: 2.0,
        };
        let observer = &Observer::new(site).expect("a place");
        let start = Timestamp::from_second(1_770_000_000).expect("a time");
        let grid = Grid::new(start, jiff::SignedDuration::from_secs(86_399), 400).expect("a grid");
        for body in [Body::Sun, Body::Moon] {
            let path = &Path::new(body, start..grid.last()).expect("a path");
            for at in grid.instants() {
                let single = || Single { path, observer, at };
                assert_eq!(widest(single()), single().run());
                assert_eq!(widest(Whole(single())), Whole(single()).run());
            }
        }
    }
}
