//! One body over one observer during one span: the walk along its pieces that all searches share.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::body::Body;
use crate::jet::Jet;
use crate::observer::Observer;
use crate::piece::{Moving, Piece};
use crate::search::{self, Bounds, Found};
use crate::time::{Instant, Ut1};

/// A body over an observer during a span.
pub(crate) struct Sky<'a> {
    pub(crate) observer: &'a Observer,
    pub(crate) body: Body,
    span: Range<Timestamp>,
    start: f64,
    end: f64,
    /// Pieces made before, and the number of the first.
    prepared: Option<(&'a [Piece], f64)>,
}

impl<'a> Sky<'a> {
    pub(crate) fn new(observer: &'a Observer, body: Body, span: Range<Timestamp>) -> Self {
        let day = |at| observer.earth_time().instant(at).ut1().0;
        Self {
            observer,
            body,
            start: day(span.start),
            end: day(span.end),
            span,
            prepared: None,
        }
    }

    /// The same with pieces made before; what lies outside them is made anew.
    pub(crate) fn with_pieces(self, pieces: &'a [Piece], first: f64) -> Self {
        Self {
            prepared: Some((pieces, first)),
            ..self
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.start >= self.end
    }

    /// The piece that contains a day.
    fn piece(&self, ut1: f64) -> Piece {
        let number = libm::floor(ut1 / self.body.piece_days());
        if let Some((pieces, first)) = self.prepared
            && number >= first
            && let Some(piece) = pieces.get((number - first) as usize)
        {
            return *piece;
        }
        Piece::numbered(self.body, self.observer.earth_time(), number)
    }

    /// The direction at the start of the span.
    pub(crate) fn at_start(&self) -> Moving {
        self.piece(self.start).moving(self.observer, self.start)
    }

    /// The direction at the end of the span.
    pub(crate) fn at_end(&self) -> Moving {
        self.piece(self.end).moving(self.observer, self.end)
    }

    /// Walks the span and tells what a function of the moving direction does near zero: see [`search::roots`]. `across` is how much of the
    /// function's direction lies across the Earth's axis.
    pub(crate) fn walk(
        &self,
        function: &impl Fn(&Moving) -> Jet,
        across: f64,
        far: f64,
        mut found: impl FnMut(Found, &Moving),
    ) {
        let bounds = Bounds::of(self.body, across);
        let mut carried = None;
        let mut from = self.start;
        while from < self.end {
            let piece = self.piece(from);
            let to = piece.end().min(self.end);
            let jet = |t: f64| function(&piece.moving(self.observer, t));
            carried = Some(search::roots(
                &jet,
                bounds,
                far,
                (from, to),
                carried,
                &mut |what| {
                    let (Found::Root { time, .. } | Found::Turn { time, .. }) = what;
                    found(what, &piece.moving(self.observer, time));
                },
            ));
            from = to;
        }
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

    /// The instant and the UTC of a day found in the span; rounding must not carry it outside.
    pub(crate) fn instant(&self, ut1: f64) -> (Instant, Timestamp) {
        let instant = self.observer.earth_time().instant_of_ut1(Ut1(ut1));
        let at = if ut1 <= self.start {
            self.span.start
        } else if ut1 >= self.end {
            self.span.end
        } else {
            self.observer
                .earth_time()
                .timestamp(instant)
                .map_or(self.span.end, |at| at.clamp(self.span.start, self.span.end))
        };
        (instant, at)
    }

    /// The stretches between cuts in which a condition holds, judged in the middle of each.
    pub(crate) fn stretches(
        &self,
        mut cuts: Vec<f64>,
        holds: impl Fn(&Moving) -> bool,
    ) -> Vec<Range<Timestamp>> {
        let mut found: Vec<Range<Timestamp>> = Vec::new();
        if self.is_empty() {
            return found;
        }
        cuts.sort_by(f64::total_cmp);
        cuts.push(self.end);
        let mut piece = self.piece(self.start);
        let mut from = self.start;
        for to in cuts {
            let middle = 0.5 * (from + to);
            if middle >= piece.end() {
                piece = self.piece(middle);
            }
            if to > from && holds(&piece.moving(self.observer, middle)) {
                let [start, end] = [from, to].map(|t| self.instant(t).1);
                match found.last_mut() {
                    Some(last) if last.end >= start => last.end = end,
                    _ => found.push(start..end),
                }
            }
            from = to;
        }
        found.retain(|stretch| stretch.start < stretch.end);
        found
    }
}

/// What two lists of stretches, each in order and apart, have in common.
pub(crate) fn common(a: &[Range<Timestamp>], b: &[Range<Timestamp>]) -> Vec<Range<Timestamp>> {
    let mut both = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < a.len() && j < b.len() {
        let start = a[i].start.max(b[j].start);
        let end = a[i].end.min(b[j].end);
        if start < end {
            both.push(start..end);
        }
        if a[i].end < b[j].end {
            i += 1;
        } else {
            j += 1;
        }
    }
    both
}
