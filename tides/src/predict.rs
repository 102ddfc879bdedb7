//! The prepared curve of one port over one span.
//!
//! Over a stretch of time the tide is a sum of cosines whose amplitudes and phases run straight: exactly so in the annual
//! convention, and to a hundredth of a millimetre where node factors are taken at each instant and joined by chords
//! four days long. The curve is continuous except where the convention itself has a step, at New Year.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use alloc::vec::Vec;
use core::f64::consts::TAU;
use core::ops::Range;

use jiff::Timestamp;

use crate::astro::wrap_180;
use crate::constants::{Line, Port};
use crate::convention::{Argument, ArgumentClock, NodeEpoch, Year, hours_after, hours_between};
use crate::error::Error;
use crate::wave::{LANES, Lanes, cos_lanes, cos_sin_lanes, each, sum, widest};

/// Chords of the node factors: with L2 at half a metre, the fastest in common use, they stray 1 µm from the curve; the error goes with
/// the square of this.
const CHORD_S: i64 = 2 * 86_400;
const LONGEST_S: i64 = 100 * 366 * 86_400;
const FIRST_S: i64 = -11_676_096_000; // 1600-01-01
const LAST_S: i64 = 13_569_465_600; // 2400-01-01

/// A port's tide over a span, ready to be asked for heights, turns and crossings.
///
/// ```
/// use wrackline_tides::{Convention, Harmonic, Port, PortSpec, TurnKind};
/// let m2 = Harmonic { name: "M2".into(), amplitude_m: 1.0, phase_lag_deg: 0.0 };
/// let spec = PortSpec { mean_level_m: 0.0, harmonics: &[m2], convention: Convention::SchuremanInstant };
/// let day = "2026-06-01T00:00:00Z".parse()?.."2026-06-02T00:00:00Z".parse()?;
/// let predictor = Port::new(spec)?.predictor(day)?;
/// assert_eq!(predictor.turns().iter().filter(|turn| turn.kind == TurnKind::HighWater).count(), 2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Predictor {
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
}

/// Four lines side by side, so that the compiler can work on them at once; the last group is padded with zeros.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Four {
    /// Amplitude at the start of the segment, metres.
    pub(crate) amplitude: Lanes,
    /// Growth of the amplitude, metres an hour.
    pub(crate) growth: Lanes,
    /// Phase at the start, turns.
    pub(crate) phase: Lanes,
    /// Speed, turns an hour.
    pub(crate) speed: Lanes,
}

/// No less than the derivatives of the height anywhere in a segment, metres an hour, to its square, to its cube.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Bounds {
    /// Sum of the squares of the growths over the amplitudes, metres an hour squared.
    creep: f64,
    /// The greatest growth over its amplitude, an hour.
    quickest: f64,
    pub(crate) first: f64,
    pub(crate) second: f64,
    pub(crate) third: f64,
}

/// A stretch of the curve with straight amplitudes and phases; hours count from the predictor's base.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Segment<'a> {
    pub(crate) from_h: f64,
    pub(crate) to_h: f64,
    pub(crate) start_h: f64,
    pub(crate) mean_level_m: f64,
    pub(crate) fours: &'a [Four],
    pub(crate) bounds: Bounds,
}

impl Predictor {
    pub(crate) fn new(port: &Port, span: Range<Timestamp>) -> Result<Self, Error> {
        let Range { start, end } = span;
        if end <= start {
            return Err(Error::EmptySpan { start, end });
        }
        let (first, last) = (start.as_second(), end.as_second());
        if last - first > LONGEST_S || first < FIRST_S || last > LAST_S {
            return Err(Error::Span { start, end });
        }
        let edges = edges(port, start, end);
        let base = edges.first().copied().unwrap_or(start);
        let width = port
            .lines()
            .iter()
            .filter(|line| line.amplitude_m > 0.0)
            .count()
            .div_ceil(LANES);
        let mut this = Self {
            mean_level_m: port.mean_level_m(),
            base,
            starts_h: Vec::with_capacity(edges.len()),
            end_h: hours_between(base, end),
            first_h: hours_between(base, start),
            segments_per_h: 0.0,
            span: start..end,
            width,
            table: Vec::with_capacity(width * edges.len()),
            bounds: Vec::with_capacity(edges.len()),
        };
        let mut starting = State::default();
        let mut ending = State::default();
        for pair in edges.windows(2) {
            if let [from, to] = *pair {
                this.push(port, from, to, &mut starting, &mut ending);
            }
        }
        let whole_h = edges.last().map_or(1.0, |last| hours_between(base, *last));
        this.segments_per_h = this.starts_h.len() as f64 / whole_h;
        Ok(this)
    }

    fn push(
        &mut self,
        port: &Port,
        from: Timestamp,
        to: Timestamp,
        starting: &mut State,
        ending: &mut State,
    ) {
        let convention = port.convention();
        let terms = convention.terms();
        let annual = terms.clock == ArgumentClock::StartOfYear;
        // With factors held through a year the far end belongs to the next: look a second short of it.
        let stepped = annual || terms.nodes == NodeEpoch::MiddleOfYear;
        let near = if stepped {
            Timestamp::from_second(to.as_second() - 1).unwrap_or(to)
        } else {
            to
        };
        let length = hours_between(from, near);
        // Otherwise one segment ends where the next begins.
        if ending.at == Some(from) {
            core::mem::swap(starting, ending);
        } else {
            starting.fill(port, from);
        }
        ending.fill(port, near);

        let offset = self.table.len();
        self.table.resize(offset + self.width, Four::default());
        let mut bounds = Bounds::default();
        let ends = starting.arguments.iter().zip(&ending.arguments);
        let lines = port
            .lines()
            .iter()
            .zip(ends)
            .filter(|(line, _)| line.amplitude_m > 0.0);
        for (index, (line, (first, last))) in lines.enumerate() {
            let Line {
                constituent,
                amplitude_m,
                lag_deg,
                ..
            } = line;
            let nominal = if annual {
                constituent.annual_speed_deg_per_h()
            } else {
                constituent.argument_speed_deg_per_h()
            };
            let turned = last.v_deg + last.u_deg - first.v_deg - first.u_deg;
            let drift = if annual {
                0.0
            } else {
                wrap_180(turned - nominal * length) / length
            };
            let amplitude = amplitude_m * first.f;
            let growth = amplitude_m * (last.f - first.f) / length;
            let speed = (nominal + drift) / 360.0;
            if let Some(four) = self.table.get_mut(offset + index / LANES) {
                four.amplitude[index % LANES] = amplitude;
                four.growth[index % LANES] = growth;
                four.phase[index % LANES] = wrap_180(first.v_deg + first.u_deg - lag_deg) / 360.0;
                four.speed[index % LANES] = speed;
            }
            if growth != 0.0 {
                // An amplitude of nothing cannot grow in proportion.
                let rate = (growth / amplitude).abs();
                bounds.creep += rate * growth.abs();
                bounds.quickest = bounds.quickest.max(rate);
            }
            let omega = (speed * TAU).abs();
            let greatest = amplitude_m * first.f.abs().max(last.f.abs());
            bounds.first += greatest * omega + growth.abs();
            bounds.second += omega * (greatest * omega + 2.0 * growth.abs());
            bounds.third += omega * omega * (greatest * omega + 3.0 * growth.abs());
        }
        // A hair more than the sum, for rounding.
        bounds.second *= 1.0 + 1e-9;
        bounds.third *= 1.0 + 1e-9;
        self.bounds.push(bounds);
        self.starts_h.push(hours_between(self.base, from));
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

    /// Height above the datum, metres. Within the span it agrees with [`Port::height_m`] to 0.01 mm; outside, the curve of the
    /// nearest stretch is carried on and loses that accuracy slowly.
    #[must_use]
    pub fn height_m(&self, at: Timestamp) -> f64 {
        let hours = hours_between(self.base, at);
        let segment = self.segment_at(hours);
        widest(
            #[inline(always)]
            || segment.height_m(hours),
        )
    }

    /// Rate of rise (negative: fall), metres an hour.
    #[must_use]
    pub fn rate_m_per_h(&self, at: Timestamp) -> f64 {
        let hours = hours_between(self.base, at);
        let segment = self.segment_at(hours);
        widest(
            #[inline(always)]
            || segment.height_and_rate(hours).1,
        )
    }

    /// Cosine and sine parts of every line at an instant, in the order of the port's lines (all of them, so that none may be at
    /// zero amplitude).
    pub(crate) fn waves(&self, at: Timestamp, waves: &mut Vec<(f64, f64)>) {
        let hours = hours_between(self.base, at);
        let segment = self.segment_at(hours);
        let t = hours - segment.start_h;
        waves.clear();
        for four in segment.fours {
            let (now, turns) = four.at(t);
            let (cosine, sine) = cos_sin_lanes(turns);
            for k in 0..LANES {
                waves.push((now[k] * cosine[k], now[k] * sine[k]));
            }
        }
    }

    pub(crate) fn base(&self) -> Timestamp {
        self.base
    }

    /// The segment of an instant: that of its share of the whole, or a neighbour, since segments are of nearly one length.
    #[inline(always)]
    pub(crate) fn segment_at(&self, hours: f64) -> Segment<'_> {
        let starts = self.starts_h.as_slice();
        let last = starts.len().saturating_sub(1);
        // A negative product is cut to 0, one beyond the last segment to it.
        let mut index = ((hours * self.segments_per_h) as usize).min(last);
        while starts.get(index + 1).is_some_and(|next| *next <= hours) {
            index += 1;
        }
        while index > 0 && starts.get(index).is_some_and(|start| *start > hours) {
            index -= 1;
        }
        self.segment(index)
    }

    #[inline(always)]
    fn segment(&self, index: usize) -> Segment<'_> {
        let block = index * self.width;
        let fours = self
            .table
            .get(block..block + self.width)
            .unwrap_or_default();
        let start_h = self.starts_h.get(index).copied().unwrap_or(0.0);
        let to_h = self.starts_h.get(index + 1).copied().unwrap_or(self.end_h);
        Segment {
            from_h: start_h.max(self.first_h),
            to_h: to_h.min(self.end_h),
            start_h,
            mean_level_m: self.mean_level_m,
            fours,
            bounds: self.bounds.get(index).copied().unwrap_or_default(),
        }
    }

    /// The segments that the span touches, clipped to it.
    pub(crate) fn segments(&self) -> impl Iterator<Item = Segment<'_>> {
        (0..self.starts_h.len())
            .map(|index| self.segment(index))
            .filter(|segment| segment.to_h > segment.from_h)
    }

    pub(crate) fn timestamp(&self, hours: f64) -> Timestamp {
        hours_after(self.base, hours).clamp(self.span.start, self.span.end)
    }
}

/// First and second derivative of the height, per hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Slope {
    pub(crate) first: f64,
    pub(crate) second: f64,
}

impl Four {
    /// Amplitudes and phases at a time after the segment's start.
    #[inline(always)]
    pub(crate) fn at(&self, t: f64) -> (Lanes, Lanes) {
        let grown = each(|k| self.growth[k] * t);
        let turned = each(|k| self.speed[k] * t);
        (
            each(|k| self.amplitude[k] + grown[k]),
            each(|k| self.phase[k] + turned[k]),
        )
    }
}

impl Segment<'_> {
    #[inline(always)]
    pub(crate) fn height_m(&self, hours: f64) -> f64 {
        let t = hours - self.start_h;
        let mut height = [0.0; LANES];
        for four in self.fours {
            let (now, turns) = four.at(t);
            let cosine = cos_lanes(turns);
            let part = each(|k| now[k] * cosine[k]);
            height = each(|k| height[k] + part[k]);
        }
        self.mean_level_m + sum(height)
    }

    /// For how long amplitudes that grow evenly and in proportion stay together to within a length, hours: lines part by
    /// a (g t / a)² / 8 in the middle of a time t, and none may grow by more than a fortieth.
    pub(crate) fn proportional_h(&self, parting_m: f64) -> f64 {
        if self.bounds.creep > 0.0 {
            libm::sqrt(8.0 * parting_m / self.bounds.creep).min(0.025 / self.bounds.quickest)
        } else {
            f64::INFINITY
        }
    }

    pub(crate) fn slope(&self, hours: f64) -> Slope {
        self.height_and_slope(hours).1
    }

    /// Height and rate: what a batch of both needs.
    #[inline(always)]
    pub(crate) fn height_and_rate(&self, hours: f64) -> (f64, f64) {
        let t = hours - self.start_h;
        let mut height = [0.0; LANES];
        let mut rate = [0.0; LANES];
        for four in self.fours {
            let (now, turns) = four.at(t);
            let (cosine, sine) = cos_sin_lanes(turns);
            let part = each(|k| now[k] * cosine[k]);
            let across = each(|k| now[k] * sine[k]);
            let steep = each(|k| four.speed[k] * TAU * across[k]);
            let grown = each(|k| four.growth[k] * cosine[k]);
            height = each(|k| height[k] + part[k]);
            rate = each(|k| rate[k] + (grown[k] - steep[k]));
        }
        (self.mean_level_m + sum(height), sum(rate))
    }

    #[inline(always)]
    pub(crate) fn height_and_slope(&self, hours: f64) -> (f64, Slope) {
        let t = hours - self.start_h;
        let mut height = [0.0; LANES];
        let mut first = [0.0; LANES];
        let mut second = [0.0; LANES];
        for four in self.fours {
            let (now, turns) = four.at(t);
            let (cosine, sine) = cos_sin_lanes(turns);
            let omega = each(|k| four.speed[k] * TAU);
            let part = each(|k| now[k] * cosine[k]);
            let across = each(|k| now[k] * sine[k]);
            let grown = each(|k| four.growth[k] * cosine[k]);
            let turned = each(|k| four.growth[k] * sine[k]);
            height = each(|k| height[k] + part[k]);
            first = each(|k| first[k] + (grown[k] - omega[k] * across[k]));
            second = each(|k| second[k] - omega[k] * (2.0 * turned[k] + omega[k] * part[k]));
        }
        (
            self.mean_level_m + sum(height),
            Slope {
                first: sum(first),
                second: sum(second),
            },
        )
    }
}

/// Arguments and factors of all lines at one edge.
#[derive(Default)]
struct State {
    at: Option<Timestamp>,
    arguments: Vec<Argument>,
}

impl State {
    fn fill(&mut self, port: &Port, at: Timestamp) {
        let moment = port.convention().moment(at, port.wanted());
        self.at = Some(at);
        self.arguments.clear();
        self.arguments
            .extend(port.lines().iter().map(|line| line.argument(&moment)));
    }
}

/// Where one segment ends and the next begins, from before the start of the span to its end or later.
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
