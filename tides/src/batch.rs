//! Many heights and rates at once: on a regular grid by recurrence, or at given instants.
//!
//! A line a(t) cos(θ + ω t) whose amplitude grows in proportion obeys x(t + Δ) = 2ρ cos ωΔ · x(t) -
//! ρ² x(t - Δ), ρ being its growth over Δ. Many instants in one stretch are filled line by line,
//! eight instants side by side; few are filled instant by instant, four lines side by side. The
//! rate of a line is a line again, a quarter turn ahead.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use core::f64::consts::TAU;

use jiff::Timestamp;

use crate::convention::hours_between;
use crate::curve::{Four, Segment};
use crate::error::{Error, same_length};
use crate::grid::Grid;
use crate::predict::Predictor;
use crate::wave::{LANES, Lanes, ROUNDER, cos_lanes, each, sin_lanes_quarter, sum};

/// Instants taken forward side by side.
const ABREAST: usize = 8;
/// Instants between fresh starts of the recurrence.
const BLOCK: usize = 1024;
/// Fewer than this are filled instant by instant.
const FEW: usize = 256;
/// The recurrence lets amplitudes grow in proportion where the curve lets them grow evenly: blocks
/// end before all lines together part by this, metres.
const PARTING_M: f64 = 4e-7;

/// What a batch is filled with.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Filling {
    Heights,
    Rates,
}

impl Predictor {
    /// Fills a slice with heights on a regular grid, metres above the datum: the fast way to a
    /// curve. It agrees with [`Predictor::height_m`] to 1 µm, and nothing is allocated.
    ///
    /// # Errors
    /// [`Error::Lengths`] if the slice is not as long as the grid; [`Error::OutsideSpan`] if the
    /// grid leaves the prepared span.
    pub fn fill_heights(&self, grid: &Grid, heights_m: &mut [f64]) -> Result<(), Error> {
        self.fill(grid, heights_m, Filling::Heights)
    }

    /// Fills a slice with rates of rise on a regular grid, metres an hour. It agrees with
    /// [`Predictor::rate_m_per_h`] to 1 µm an hour, and nothing is allocated.
    ///
    /// # Errors
    /// As [`Predictor::fill_heights`].
    pub fn fill_rates(&self, grid: &Grid, rates_m_per_h: &mut [f64]) -> Result<(), Error> {
        self.fill(grid, rates_m_per_h, Filling::Rates)
    }

    /// Fills a slice with the heights at given instants, metres above the datum: bit for bit what
    /// [`Predictor::height_m`] gives, without allocation.
    ///
    /// # Errors
    /// [`Error::Lengths`] if the two slices differ in length; [`Error::OutsideSpan`] if an instant
    /// lies outside the span. Nothing is filled then.
    pub fn fill_heights_at(
        &self,
        instants: &[Timestamp],
        heights_m: &mut [f64],
    ) -> Result<(), Error> {
        same_length(instants.len(), heights_m.len())?;
        self.all_within(instants)?;
        self.vectors().run(
            #[inline(always)]
            || {
                let hours_at = |at: &Timestamp| hours_between(self.base(), *at);
                let (fours, rest) = instants.as_chunks::<LANES>();
                let (heights, rest_m) = heights_m.as_chunks_mut::<LANES>();
                for (heights, four) in heights.iter_mut().zip(fours) {
                    *heights = self.heights_at_four(each(|i| hours_at(&four[i])));
                }
                for (height, at) in rest_m.iter_mut().zip(rest) {
                    *height = self.height_at(hours_at(at));
                }
            },
        );
        Ok(())
    }

    /// Fills two slices with the heights and the rates of rise at given instants, metres above the
    /// datum and metres an hour: bit for bit what [`Predictor::rate_m_per_h`] gives and within 1 nm
    /// what [`Predictor::height_m`] does, for little more than the heights alone.
    ///
    /// # Errors
    /// As [`Predictor::fill_heights_at`].
    pub fn fill_heights_and_rates_at(
        &self,
        instants: &[Timestamp],
        heights_m: &mut [f64],
        rates_m_per_h: &mut [f64],
    ) -> Result<(), Error> {
        same_length(instants.len(), heights_m.len())?;
        same_length(instants.len(), rates_m_per_h.len())?;
        self.all_within(instants)?;
        self.vectors().run(
            #[inline(always)]
            || {
                let filled = heights_m.iter_mut().zip(rates_m_per_h);
                for ((height, rate), at) in filled.zip(instants) {
                    let hours = hours_between(self.base(), *at);
                    (*height, *rate) = self.segment_at(hours).height_and_rate(hours);
                }
            },
        );
        Ok(())
    }

    /// Fills a slice with heights at equal steps along one segment, also beyond its ends.
    pub(crate) fn fill_along(
        &self,
        segment: &Segment<'_>,
        at: f64,
        step_h: f64,
        heights_m: &mut [f64],
    ) {
        let longest = libm::floor(segment.proportional_h(PARTING_M) / step_h).max(1.0);
        let length = BLOCK.min(longest as usize);
        for (index, block) in heights_m.chunks_mut(length).enumerate() {
            let from = at + step_h * (index * length) as f64;
            self.vectors().run(
                #[inline(always)]
                || fill_block(segment, from, step_h, block, Filling::Heights),
            );
        }
    }

    fn fill(&self, grid: &Grid, values: &mut [f64], filling: Filling) -> Result<(), Error> {
        same_length(grid.len(), values.len())?;
        self.all_within(&[grid.start(), grid.last()])?;
        let span = self.span();
        let step_h = grid.step().as_secs_f64() / 3600.0;
        // By way of the instant itself, so that a height at the very start of a year falls on the
        // same side as a single one.
        let hours_at = |index: usize| hours_between(self.base(), grid.at(index));
        let span_end_h = hours_between(self.base(), span.end);
        let mut done = 0;
        while done < values.len() {
            let at = hours_at(done);
            let segment = self.segment_at(at);
            // Instants up to the end of the segment, one at least.
            let longest = segment.proportional_h(PARTING_M);
            let fit = libm::ceil((segment.to_h - at).min(longest) / step_h).max(1.0);
            let mut count = BLOCK.min(values.len() - done).min(fit as usize);
            // The quotient may be rounded up by one.
            if count > 1 && segment.to_h < span_end_h && hours_at(done + count - 1) >= segment.to_h
            {
                count -= 1;
            }
            if let Some(block) = values.get_mut(done..done + count) {
                self.vectors().run(
                    #[inline(always)]
                    || fill_block(&segment, at, step_h, block, filling),
                );
            }
            done += count;
        }
        Ok(())
    }
}

#[inline(always)]
fn fill_block(segment: &Segment<'_>, at: f64, step_h: f64, block: &mut [f64], filling: Filling) {
    let level = match filling {
        Filling::Heights => segment.mean_level_m,
        Filling::Rates => 0.0,
    };
    if block.len() < 4 {
        for (index, value) in block.iter_mut().enumerate() {
            let hours = at + step_h * index as f64;
            *value = match filling {
                Filling::Heights => segment.height_m(hours),
                Filling::Rates => segment.height_and_rate(hours).1,
            };
        }
        return;
    }
    block.fill(level);
    let start = Start {
        t: at - segment.start_h,
        step_h,
        count: block.len() as f64,
    };
    let mut rest = segment.fours;
    if block.len() < FEW {
        while let [a, b, c, d, others @ ..] = rest {
            let walks = [a, b, c, d].map(|four| start.walk(four, filling));
            add_walks(walks, block);
            rest = others;
        }
        while let [a, b, others @ ..] = rest {
            add_walks([a, b].map(|four| start.walk(four, filling)), block);
            rest = others;
        }
        if let [last] = rest {
            add_walks([start.walk(last, filling)], block);
        }
        return;
    }
    for four in rest {
        let lines = start.line_pairs(four, filling);
        for pair in lines {
            add_pair(pair, block);
        }
    }
}

/// Where and how finely a block is filled.
#[derive(Clone, Copy)]
struct Start {
    /// Hours after the segment's start.
    t: f64,
    step_h: f64,
    count: f64,
}

/// Four lines at two successive instants, and what takes them on.
#[derive(Clone, Copy)]
struct Walk {
    now: Lanes,
    before: Lanes,
    twice: Lanes,
    back: Lanes,
}

/// One line at eight successive instants and at the eight before, and what takes them on by eight.
#[derive(Clone, Copy, Default)]
struct Line {
    now: [f64; ABREAST],
    before: [f64; ABREAST],
    twice: f64,
    back: f64,
}

impl Start {
    /// The lines' amplitudes and phases at the first instant, and the logarithm of their growth
    /// over a step.
    #[inline(always)]
    fn lines(&self, four: &Four, filling: Filling) -> (Lanes, Lanes, Lanes) {
        let (mut amplitude, mut phase) = four.at(self.t);
        let length = self.count * self.step_h;
        // log(1 + x) for the few hundredths at most that lines grow by in a block.
        let rate = each(|k| {
            let grown = if amplitude[k] == 0.0 {
                0.0
            } else {
                four.growth[k] * length / amplitude[k]
            };
            let series = 1.0 / 3.0 + grown * (-0.25 + grown * 0.2);
            grown * (1.0 + grown * (-0.5 + grown * series)) / self.count
        });
        if filling == Filling::Rates {
            // g cos θ - a ω sin θ = b cos(θ + 90° + δ) with b cos δ = a ω and b sin δ = -g.
            for k in 0..LANES {
                let (along, across) = (amplitude[k] * four.speed[k] * TAU, -four.growth[k]);
                if across == 0.0 {
                    amplitude[k] = along;
                    phase[k] += 0.25;
                } else {
                    amplitude[k] = libm::hypot(along, across);
                    phase[k] += 0.25 + libm::atan2(across, along) / TAU;
                }
            }
        }
        (amplitude, phase, rate)
    }

    #[inline(always)]
    fn walk(&self, four: &Four, filling: Filling) -> Walk {
        let (amplitude, phase, rate) = self.lines(four, filling);
        let growth = exp_small(rate);
        let turned = each(|k| four.speed[k] * self.step_h);
        let cosine = cos_lanes(phase);
        let earlier = cos_lanes(each(|k| phase[k] - turned[k]));
        let cosine_twice = twice_cosine(turned);
        Walk {
            now: each(|k| amplitude[k] * cosine[k]),
            before: each(|k| amplitude[k] * earlier[k] / growth[k]),
            twice: each(|k| cosine_twice[k] * growth[k]),
            back: each(|k| growth[k] * growth[k]),
        }
    }

    #[inline(always)]
    fn line_pairs(&self, four: &Four, filling: Filling) -> [[Line; 2]; 2] {
        let (amplitude, phase, rate) = self.lines(four, filling);
        let stride = ABREAST as f64;
        let one = exp_small(rate);
        let growth = exp_small(each(|k| stride * rate[k]));
        let twice = twice_cosine(each(|k| four.speed[k] * (self.step_h * stride)));
        let mut lines = [Line::default(); LANES];
        for (k, line) in lines.iter_mut().enumerate() {
            let turned = four.speed[k] * self.step_h;
            line.twice = twice[k] * growth[k];
            line.back = growth[k] * growth[k];
            let mut grown = amplitude[k];
            for half in 0..ABREAST / LANES {
                let index = each(|lane| (half * LANES + lane) as f64);
                let cosine = cos_lanes(each(|lane| phase[k] + turned * index[lane]));
                let earlier = cos_lanes(each(|lane| phase[k] + turned * (index[lane] - stride)));
                for lane in 0..LANES {
                    line.now[half * LANES + lane] = grown * cosine[lane];
                    line.before[half * LANES + lane] = grown * earlier[lane] / growth[k];
                    grown *= one[k];
                }
            }
        }
        let [a, b, c, d] = lines;
        [[a, b], [c, d]]
    }
}

/// 2 cos(2π x) by way of the sine of half the angle, which keeps small angles: 2 - 4 sin²(π x).
#[inline(always)]
fn twice_cosine(x: Lanes) -> Lanes {
    // Within a quarter turn of a whole number of half turns, where the sine is nothing.
    let whole = each(|k| (x[k] + ROUNDER) - ROUNDER);
    let sine = sin_lanes_quarter(each(|k| 0.5 * (x[k] - whole[k])));
    each(|k| 2.0 - 4.0 * (sine[k] * sine[k]))
}

/// exp(x) for the small logarithms of growth.
#[inline(always)]
fn exp_small(x: Lanes) -> Lanes {
    each(|k| 1.0 + x[k] * (1.0 + x[k] * (0.5 + x[k] * (1.0 / 6.0 + x[k] * (1.0 / 24.0)))))
}

/// Adds groups of four lines to a block, instant by instant.
#[inline(always)]
fn add_walks<const N: usize>(mut walks: [Walk; N], block: &mut [f64]) {
    for value in block {
        let mut total = [0.0; LANES];
        for walk in &mut walks {
            total = each(|k| total[k] + walk.now[k]);
            let ahead = each(|k| walk.twice[k] * walk.now[k]);
            let behind = each(|k| walk.back[k] * walk.before[k]);
            walk.before = walk.now;
            walk.now = each(|k| ahead[k] - behind[k]);
        }
        *value += sum(total);
    }
}

/// Adds two lines to a block, eight instants at a time.
#[inline(always)]
fn add_pair([mut one, mut other]: [Line; 2], block: &mut [f64]) {
    if one.back == 1.0 && other.back == 1.0 {
        add_steady_pair([one, other], block);
        return;
    }
    let mut chunks = block.chunks_exact_mut(ABREAST);
    for chunk in &mut chunks {
        for lane in 0..ABREAST {
            chunk[lane] += one.now[lane] + other.now[lane];
        }
        for line in [&mut one, &mut other] {
            for lane in 0..ABREAST {
                let next = line.twice * line.now[lane] - line.back * line.before[lane];
                line.before[lane] = line.now[lane];
                line.now[lane] = next;
            }
        }
    }
    for (lane, value) in chunks.into_remainder().iter_mut().enumerate() {
        *value += one.now[lane] + other.now[lane];
    }
}

/// The same for lines that do not grow.
#[inline(always)]
fn add_steady_pair([mut one, mut other]: [Line; 2], block: &mut [f64]) {
    let mut chunks = block.chunks_exact_mut(ABREAST);
    for chunk in &mut chunks {
        for lane in 0..ABREAST {
            chunk[lane] += one.now[lane] + other.now[lane];
        }
        for line in [&mut one, &mut other] {
            for lane in 0..ABREAST {
                let next = line.twice * line.now[lane] - line.before[lane];
                line.before[lane] = line.now[lane];
                line.now[lane] = next;
            }
        }
    }
    for (lane, value) in chunks.into_remainder().iter_mut().enumerate() {
        *value += one.now[lane] + other.now[lane];
    }
}
