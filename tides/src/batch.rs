//! Many heights at once: a regular series by recurrence, or given instants.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use jiff::{SignedDuration, Timestamp};

use crate::convention::hours_between;
use crate::error::Error;
use crate::predict::{Four, Predictor, Segment};
use crate::wave::cos_turns;

/// Instants at equal steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RegularSeries {
    /// The first instant.
    pub start: Timestamp,
    /// From one instant to the next; longer than nothing and at most a day.
    pub step: SignedDuration,
}

/// Instants taken forward side by side.
const LANES: usize = 8;
/// Heights between fresh starts of the recurrence, and hours: the recurrence lets amplitudes grow in proportion where the curve lets
/// them grow evenly, which parts by a seventh of a micrometre for M1 at 2 m in eighteen hours.
const BLOCK: usize = 512;
const BLOCK_H: f64 = 18.0;

impl Predictor {
    /// Fills a slice with heights at equal steps, metres above the datum: the fast way to a curve. Within the prepared span it agrees
    /// with [`Predictor::height_m`] to 1 µm, and nothing is allocated.
    ///
    /// Each line is carried from one instant to the next by the recurrence of the cosine, started afresh at least every 512 heights and every eighteen hours.
    ///
    /// # Errors
    /// [`Error::Step`] if the step is not positive or exceeds a day; [`Error::OutsideSpan`] if the series leaves the prepared span.
    pub fn fill_regular(&self, series: RegularSeries, heights_m: &mut [f64]) -> Result<(), Error> {
        let step = series.step;
        if step <= SignedDuration::ZERO || step > SignedDuration::from_hours(24) {
            return Err(Error::Step { step });
        }
        let Some(last) = heights_m.len().checked_sub(1) else {
            return Ok(());
        };
        let span = self.span();
        let length = i32::try_from(last)
            .ok()
            .and_then(|last| step.checked_mul(last));
        let end = length.and_then(|length| series.start.checked_add(length).ok());
        match end {
            Some(end) if series.start >= span.start && end <= span.end => {}
            _ => {
                return Err(Error::OutsideSpan {
                    start: span.start,
                    end: span.end,
                });
            }
        }
        let step_h = step.as_secs_f64() / 3600.0;
        // By way of the instant itself, so that a height at the very start of a year falls on the same side as a single one.
        let hours_at = |index: usize| {
            let length = i32::try_from(index)
                .ok()
                .and_then(|index| step.checked_mul(index));
            let at = length.and_then(|length| series.start.checked_add(length).ok());
            // The last instant has been found to lie in the span, and the others lie before it.
            hours_between(self.base(), at.unwrap_or(span.end))
        };
        let span_end_h = hours_between(self.base(), span.end);
        let mut done = 0;
        while done < heights_m.len() {
            let at = hours_at(done);
            let segment = self.segment_at(at);
            let still = segment.fours.iter().all(|four| four.growth == [0.0; 4]);
            let longest = if still { f64::INFINITY } else { BLOCK_H };
            // Heights up to the end of the segment, one at least.
            let fit = libm::ceil((segment.to_h - at).min(longest) / step_h).max(1.0);
            let mut count = BLOCK.min(heights_m.len() - done).min(fit as usize);
            // The quotient may be rounded up by one.
            if count > 1 && segment.to_h < span_end_h && hours_at(done + count - 1) >= segment.to_h
            {
                count -= 1;
            }
            if let Some(block) = heights_m.get_mut(done..done + count) {
                fill_block(&segment, at, step_h, block);
            }
            done += count;
        }
        Ok(())
    }

    /// Fills a slice with the heights at given instants, metres above the datum: bit for bit what [`Predictor::height_m`] gives,
    /// without allocation.
    ///
    /// # Errors
    /// [`Error::Lengths`] if the two slices differ in length.
    pub fn fill_at(&self, instants: &[Timestamp], heights_m: &mut [f64]) -> Result<(), Error> {
        if instants.len() != heights_m.len() {
            return Err(Error::Lengths {
                instants: instants.len(),
                values: heights_m.len(),
            });
        }
        for (height, at) in heights_m.iter_mut().zip(instants) {
            *height = self.height_m(*at);
        }
        Ok(())
    }
}

fn fill_block(segment: &Segment<'_>, at: f64, step_h: f64, block: &mut [f64]) {
    block.fill(segment.mean_level_m);
    let length = step_h * block.len() as f64;
    for four in segment.fours {
        for k in 0..4 {
            if four.amplitude[k] > 0.0 {
                add_line(four, k, at - segment.start_h, step_h, length, block);
            }
        }
    }
}

/// Adds one line to a block. x(t) = a(t) cos(θ + ω t) with the amplitude growing evenly in proportion obeys
/// x(t + Δ) = 2ρ cos ωΔ · x(t) - ρ² x(t - Δ).
fn add_line(four: &Four, k: usize, t: f64, step_h: f64, length: f64, block: &mut [f64]) {
    let (speed, growth) = (four.speed[k], four.growth[k]);
    let phase = four.phase[k] + speed * t;
    let first = four.amplitude[k] + growth * t;
    // Amplitudes mostly stand still (annual factors) or creep: no need then for a logarithm and its powers.
    let grown = growth * length / first;
    let rate = if grown == 0.0 {
        0.0
    } else {
        libm::log1p(grown) / length
    };
    let power = |hours: f64| {
        if rate == 0.0 {
            1.0
        } else {
            libm::exp(rate * hours)
        }
    };
    let stride_h = step_h * LANES as f64;
    let (step_cosine, step_sine) = (cos_turns(speed * step_h), cos_turns(speed * step_h - 0.25));
    let (turn_cosine, turn_sine) = (
        cos_turns(speed * stride_h),
        cos_turns(speed * stride_h - 0.25),
    );
    let per_step = power(step_h);
    let per_stride = power(stride_h);

    let mut now = [0.0; LANES];
    let mut before = [0.0; LANES];
    let (mut cosine, mut sine) = (first * cos_turns(phase), first * cos_turns(phase - 0.25));
    for lane in 0..LANES {
        now[lane] = cosine;
        before[lane] = (cosine * turn_cosine + sine * turn_sine) / per_stride;
        let turned = cosine * step_cosine - sine * step_sine;
        sine = (sine * step_cosine + cosine * step_sine) * per_step;
        cosine = turned * per_step;
    }
    let (twice, back) = (2.0 * per_stride * turn_cosine, per_stride * per_stride);
    let mut chunks = block.chunks_exact_mut(LANES);
    for chunk in &mut chunks {
        for lane in 0..LANES {
            chunk[lane] += now[lane];
            let next = twice * now[lane] - back * before[lane];
            before[lane] = now[lane];
            now[lane] = next;
        }
    }
    for (height, value) in chunks.into_remainder().iter_mut().zip(now) {
        *height += value;
    }
}
