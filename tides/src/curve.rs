//! A stretch of the curve: lines whose amplitudes and phases run straight, four side by side.

use core::f64::consts::TAU;

use crate::wave::{LANES, Lanes, Vectors, cos_lanes, cos_sin_lanes, each, sum};

/// Four lines side by side, so that the compiler can work on them at once; the last group is padded
/// with zeros.
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

/// No less than the derivatives of the height anywhere in a segment, metres an hour and to its
/// cube.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Bounds {
    /// Sum of the squares of the growths over the amplitudes, metres an hour squared.
    pub(crate) creep: f64,
    /// The greatest growth over its amplitude, an hour.
    pub(crate) quickest: f64,
    pub(crate) first: f64,
    pub(crate) third: f64,
}

/// A stretch of the curve with straight amplitudes and phases; hours count from the predictor's
/// base.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Segment<'a> {
    pub(crate) from_h: f64,
    pub(crate) to_h: f64,
    pub(crate) start_h: f64,
    pub(crate) vectors: Vectors,
    pub(crate) mean_level_m: f64,
    pub(crate) fours: &'a [Four],
    pub(crate) bounds: Bounds,
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

/// The sum of lines at a time after their segment's start.
#[inline(always)]
pub(crate) fn tide(fours: &[Four], t: f64) -> f64 {
    let mut height = [0.0; LANES];
    for four in fours {
        let (now, turns) = four.at(t);
        let cosine = cos_lanes(turns);
        let part = each(|k| now[k] * cosine[k]);
        height = each(|k| height[k] + part[k]);
    }
    sum(height)
}

/// [`tide`] at four times, to the same bits: here it is the times that lie side by side, so that no
/// time waits for the sum over the lanes of another.
#[inline(always)]
pub(crate) fn tide_at_four(fours: &[Four], t: Lanes) -> Lanes {
    let mut heights = [[0.0; LANES]; LANES];
    for four in fours {
        for (k, height) in heights.iter_mut().enumerate() {
            let grown = each(|i| four.growth[k] * t[i]);
            let turned = each(|i| four.speed[k] * t[i]);
            let now = each(|i| four.amplitude[k] + grown[i]);
            let cosine = cos_lanes(each(|i| four.phase[k] + turned[i]));
            let part = each(|i| now[i] * cosine[i]);
            *height = each(|i| height[i] + part[i]);
        }
    }
    each(|i| (heights[0][i] + heights[1][i]) + (heights[2][i] + heights[3][i]))
}

impl Segment<'_> {
    #[inline(always)]
    pub(crate) fn height_m(&self, hours: f64) -> f64 {
        self.mean_level_m + tide(self.fours, hours - self.start_h)
    }

    /// For how long amplitudes that grow evenly and in proportion stay together to within a length,
    /// hours: lines part by a (g t / a)² / 8 in the middle of a time t, and none may grow by more
    /// than a fortieth.
    pub(crate) fn proportional_h(&self, parting_m: f64) -> f64 {
        if self.bounds.creep > 0.0 {
            libm::sqrt(8.0 * parting_m / self.bounds.creep).min(0.025 / self.bounds.quickest)
        } else {
            f64::INFINITY
        }
    }

    /// Cosine and sine parts of every line, four cosines and four sines at a time.
    #[inline(always)]
    pub(crate) fn waves(&self, hours: f64, groups: &mut [f64]) {
        let t = hours - self.start_h;
        for (four, group) in self.fours.iter().zip(groups.chunks_exact_mut(2 * LANES)) {
            let (now, turns) = four.at(t);
            let (cosine, sine) = cos_sin_lanes(turns);
            let (cosines, sines) = group.split_at_mut(LANES);
            cosines.copy_from_slice(&each(|k| now[k] * cosine[k]));
            sines.copy_from_slice(&each(|k| now[k] * sine[k]));
        }
    }

    pub(crate) fn slope(&self, hours: f64) -> Slope {
        self.vectors.run(
            #[inline(always)]
            || self.height_and_slope(hours).1,
        )
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
