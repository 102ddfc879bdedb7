//! One body over one observer during one span: the walk along its pieces that all searches share.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::body::Body;
use crate::bounds::Bounds;
use crate::error::{Error, not_empty};
use crate::jet::Jet;
use crate::moving::Moving;
use crate::number::ABREAST;
use crate::observer::Observer;
use crate::piece::Piece;
use crate::search::{self, Found, Searched};
use crate::span::{Days, between_cuts};
use crate::time::{EarthTime, Instant};

/// A body over an observer during a span.
pub(crate) struct Sky<'a> {
    pub(crate) observer: &'a Observer,
    pub(crate) body: Body,
    days: Days,
    /// The stretch to be walked, the whole span unless this is a part of it.
    start: f64,
    end: f64,
    /// Pieces made before, and the number of the first.
    pieces: Pieces<'a>,
    first: f64,
}

/// A function of the moving direction during one piece.
struct Seen<'a, F> {
    piece: &'a Piece,
    observer: &'a Observer,
    function: &'a F,
}

impl<F: Fn(&Moving) -> Jet> Searched for Seen<'_, F> {
    type Seen = Moving;

    #[inline(never)]
    fn at(&self, time: f64) -> (Jet, Moving) {
        let moving = self.piece.moving(self.observer, time);
        ((self.function)(&moving), moving)
    }

    fn abreast(&self, times: &[f64; ABREAST]) -> [Jet; ABREAST] {
        let moving = self.piece.moving_abreast(self.observer, times);
        core::array::from_fn(|i| (self.function)(&moving[i]))
    }

    fn later(seen: Moving, days: f64) -> Moving {
        seen.later(days)
    }
}

/// Where a sky's pieces come from.
enum Pieces<'a> {
    /// Made as the walk needs them.
    Fresh,
    Borrowed(&'a [Piece]),
    Owned(Vec<Piece>),
}

impl Pieces<'_> {
    fn get(&self, index: usize) -> Option<&Piece> {
        match self {
            Self::Fresh => None,
            Self::Borrowed(pieces) => pieces.get(index),
            Self::Owned(pieces) => pieces.get(index),
        }
    }
}

/// The longest stretch whose pieces are held at once, days: a century. What is longer is searched
/// century by century.
const LONGEST_DAYS: f64 = 36_525.0;

impl<'a> Sky<'a> {
    /// A sky that is walked once, its pieces made on the way.
    ///
    /// # Errors
    /// If the span holds no time, as for all that follow.
    pub(crate) fn new(
        observer: &'a Observer,
        body: Body,
        span: Range<Timestamp>,
    ) -> Result<Self, Error> {
        Self::over(
            observer,
            body,
            span,
            observer.earth_time(),
            Pieces::Fresh,
            0.0,
        )
    }

    fn over(
        observer: &'a Observer,
        body: Body,
        span: Range<Timestamp>,
        earth_time: EarthTime,
        pieces: Pieces<'a>,
        first: f64,
    ) -> Result<Self, Error> {
        not_empty(&span)?;
        let days = Days::new(span, earth_time);
        Ok(Self {
            observer,
            body,
            start: days.start,
            end: days.end,
            days,
            pieces,
            first,
        })
    }

    /// What a search finds in a sky that it walks more than once: the pieces are made beforehand,
    /// for a century at a time.
    pub(crate) fn searched(
        observer: &'a Observer,
        body: Body,
        span: Range<Timestamp>,
        search: impl Fn(&Sky<'_>) -> Result<Vec<(f64, f64)>, Error>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let whole = Self::new(observer, body, span)?;
        let mut found: Vec<(f64, f64)> = Vec::new();
        let mut from = whole.start;
        while from < whole.end {
            let to = (from + LONGEST_DAYS).min(whole.end);
            let part = whole.part((from, to)).with_pieces();
            for stretch in search(&part)? {
                match found.last_mut() {
                    Some(last) if last.1 >= stretch.0 => last.1 = stretch.1,
                    _ => found.push(stretch),
                }
            }
            from = to;
        }
        Ok(whole.days.timed(found))
    }

    /// With pieces made before, the first of which has the given number; what lies outside them is
    /// made anew.
    pub(crate) fn prepared(
        observer: &'a Observer,
        body: Body,
        span: Range<Timestamp>,
        earth_time: EarthTime,
        (pieces, first): (&'a [Piece], f64),
    ) -> Result<Self, Error> {
        Self::over(
            observer,
            body,
            span,
            earth_time,
            Pieces::Borrowed(pieces),
            first,
        )
    }

    /// The same sky with the pieces of its stretch made beforehand.
    fn with_pieces(mut self) -> Self {
        let first = self.body.piece_number(self.start);
        let count = (self.body.piece_number(self.end) - first) as usize + 1;
        let earth_time = self.days.earth_time;
        let pieces = (0..count)
            .map(|i| Piece::numbered(self.body, earth_time, first + i as f64))
            .collect();
        self.pieces = Pieces::Owned(pieces);
        self.first = first;
        self
    }

    /// By how much UT1 may be off, seconds.
    pub(crate) fn ut1_uncertainty_s(&self, at: Timestamp) -> f64 {
        self.days.earth_time.ut1_uncertainty_s(at)
    }

    /// Where the walk begins, day of UT1.
    pub(crate) fn start(&self) -> f64 {
        self.start
    }

    /// Where it ends.
    pub(crate) fn end(&self) -> f64 {
        self.end
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.start >= self.end
    }

    /// The piece that contains a day.
    fn piece(&self, ut1: f64) -> Piece {
        self.numbered(self.body.piece_number(ut1))
    }

    fn numbered(&self, number: f64) -> Piece {
        if number >= self.first
            && let Some(piece) = self.pieces.get((number - self.first) as usize)
        {
            return *piece;
        }
        Piece::numbered(self.body, self.days.earth_time, number)
    }

    /// Stretches of days as stretches of UTC.
    pub(crate) fn timed(&self, days: Vec<(f64, f64)>) -> Vec<Range<Timestamp>> {
        self.days.timed(days)
    }

    /// The direction on a day of the span.
    pub(crate) fn moving(&self, ut1: f64) -> Moving {
        self.piece(ut1).moving(self.observer, ut1)
    }

    /// The direction at the start of the span.
    pub(crate) fn at_start(&self) -> Moving {
        self.moving(self.start)
    }

    /// The direction at the end of the span.
    pub(crate) fn at_end(&self) -> Moving {
        self.moving(self.end)
    }

    /// The direction in the middle of the span.
    pub(crate) fn at_middle(&self) -> Moving {
        self.moving(0.5 * (self.start + self.end))
    }

    /// The same sky during a part of the span, given in days of UT1.
    pub(crate) fn part(&self, (start, end): (f64, f64)) -> Sky<'_> {
        Sky {
            observer: self.observer,
            body: self.body,
            days: self.days.clone(),
            start,
            end,
            pieces: match &self.pieces {
                Pieces::Fresh => Pieces::Fresh,
                Pieces::Borrowed(pieces) => Pieces::Borrowed(pieces),
                Pieces::Owned(pieces) => Pieces::Borrowed(pieces),
            },
            first: self.first,
        }
    }

    /// Walks the span and tells what a function of the moving direction does near zero: see
    /// [`search::roots`]. `across` is how much of the function's direction lies across the Earth's
    /// axis.
    pub(crate) fn walk(
        &self,
        function: &impl Fn(&Moving) -> Jet,
        across: f64,
        far: f64,
        mut found: impl FnMut(Found, &Moving),
    ) {
        let bounds = Bounds::of(self.body, across);
        let mut carried = None;
        self.each_piece(|piece, stretch| {
            let seen = Seen {
                piece,
                observer: self.observer,
                function,
            };
            carried = Some(search::roots(
                &seen,
                bounds,
                far,
                stretch,
                carried,
                &mut |what, moving| found(what, &moving),
            ));
        });
    }

    /// The pieces of the span in order, each with the stretch of it that lies in the span.
    pub(crate) fn each_piece(&self, mut visit: impl FnMut(&Piece, (f64, f64))) {
        let mut from = self.start;
        let mut number = self.body.piece_number(from);
        while from < self.end {
            let piece = self.numbered(number);
            // Counted, not looked up by time: a join may round to either side.
            number += 1.0;
            let to = piece.end().min(self.end);
            if to <= from {
                continue;
            }
            visit(&piece, (from, to));
            from = to;
        }
    }

    /// The turning points alone, of which no value further than `far` from zero matters.
    pub(crate) fn turns(
        &self,
        function: &impl Fn(&Moving) -> Jet,
        across: f64,
        far: f64,
        mut found: impl FnMut(f64, &Moving),
    ) {
        self.walk(function, across, far, |what, moving| {
            if let Found::Turn { time } = what {
                found(time, moving);
            }
        });
    }

    /// The roots alone, as days of UT1.
    pub(crate) fn roots(
        &self,
        function: &impl Fn(&Moving) -> Jet,
        across: f64,
        mut found: impl FnMut(f64, &Moving, bool),
    ) {
        self.walk(function, across, 0.0, |what, moving| {
            if let Found::Root { time, rising } = what {
                found(time, moving, rising);
            }
        });
    }

    /// The instant and the UTC of a day found in the span.
    pub(crate) fn instant(&self, ut1: f64) -> (Instant, Timestamp) {
        self.days.instant(ut1)
    }

    /// The stretches between cuts in which a condition holds, judged in the middle of each, as days
    /// of UT1.
    pub(crate) fn stretches(
        &self,
        cuts: Vec<f64>,
        holds: impl Fn(&Moving) -> bool,
    ) -> Vec<(f64, f64)> {
        let mut piece = self.piece(self.start);
        between_cuts((self.start, self.end), cuts, |middle| {
            if middle >= piece.end() {
                piece = self.piece(middle);
            }
            holds(&piece.moving(self.observer, middle))
        })
    }
}
