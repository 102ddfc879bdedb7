//! The light on level ground for many instants at once.

use crate::error::{Error, same_length};
use crate::illuminance::{
    BLEND_DEG, Cubic, Luminaries, MOON, MOON_FALL_PER_DEG, SUN, SkyCondition, nearness,
    phase_logarithm,
};
use crate::rows::{Horizontal, LitMoon};
use crate::wide::{Work, widest};

/// How many instants go through together.
const LANES: usize = 8;

/// The likely light of sun and moon on level ground in lux, for each pair of rows of two batches:
/// as [`Luminaries::horizontal`], within a billionth of it.
///
/// ```
/// use jiff::SignedDuration;
/// use wrackline_solar::{
///     Grid, Horizontal, LitMoon, Observer, Site, SkyCondition, SunAndMoon, fill_level_lx,
/// };
///
/// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
/// let observer = Observer::new(site)?;
/// let start = "2026-12-29T00:00:00Z".parse()?;
/// let sky = SunAndMoon::new(start.."2026-12-30T00:00:00Z".parse()?)?;
/// let hours = Grid::new(start, SignedDuration::from_hours(1), 24)?;
/// let (mut sun, mut moon) = ([Horizontal::default(); 24], [LitMoon::default(); 24]);
/// sky.sun().fill_places(&observer, &hours, &mut sun)?;
/// sky.fill_moons(&observer, &hours, &mut moon)?;
/// let mut lux = [0.0; 24];
/// fill_level_lx(&sun, &moon, SkyCondition::Clear, &mut lux)?;
/// assert!(lux[12] > 10_000.0 && lux[0] < 1.0);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
///
/// # Errors
/// If the slices differ in length, or a row, as somebody may have set it, is no place; the lux are
/// then left as they were.
pub fn fill_level_lx(
    sun: &[Horizontal],
    moon: &[LitMoon],
    sky: SkyCondition,
    lux: &mut [f64],
) -> Result<(), Error> {
    same_length(sun.len(), moon.len())?;
    same_length(sun.len(), lux.len())?;
    for (sun, moon) in sun.iter().zip(moon) {
        Luminaries::check(sun, moon)?;
    }
    widest(Level {
        sun,
        moon,
        share: 1.0 / sky.divisor(),
        lux,
    });
    Ok(())
}

struct Level<'a> {
    sun: &'a [Horizontal],
    moon: &'a [LitMoon],
    share: f64,
    lux: &'a mut [f64],
}

impl Work for Level<'_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        let rows = self.sun.chunks(LANES).zip(self.moon.chunks(LANES));
        for ((sun, moon), lux) in rows.zip(self.lux.chunks_mut(LANES)) {
            let mut altitude = [[0.0; LANES]; 2];
            // A moon at its mean distance, for the lanes that stay empty.
            let (mut phase, mut distance) = ([0.0; LANES], [384_400.0; LANES]);
            for (i, (sun, moon)) in sun.iter().zip(moon).enumerate() {
                altitude[0][i] = sun.altitude_deg.max(-18.0);
                altitude[1][i] = moon.altitude_deg;
                phase[i] = moon.phase_angle_deg;
                distance[i] = moon.distance_km;
            }
            let mut light = [0.0; LANES];
            for i in 0..LANES {
                let sun = power_of_ten(joined(&SUN, altitude[0][i]));
                let above = altitude[1][i].max(MOON[MOON.len() - 1].0);
                let logarithm = joined(&MOON, above)
                    + MOON_FALL_PER_DEG * (altitude[1][i] - above)
                    + phase_logarithm(phase[i]);
                let near = nearness(distance[i]);
                light[i] = (sun + power_of_ten(logarithm) * near * near) * self.share;
            }
            for (lux, light) in lux.iter_mut().zip(light) {
                *lux = light;
            }
        }
    }
}

/// The decimal logarithm of the illuminance from a table, chosen without branches.
#[inline(always)]
fn joined<const N: usize>(cubics: &[Cubic; N], altitude_deg: f64) -> f64 {
    let (mut upper, mut lower, mut join) = (cubics[0].1, cubics[0].1, f64::INFINITY);
    for pair in cubics.windows(2) {
        let ((from, above), (_, below)) = (pair[0], pair[1]);
        let under = altitude_deg < from;
        for i in 0..4 {
            upper[i] = if under { above[i] } else { upper[i] };
            lower[i] = if under { below[i] } else { lower[i] };
        }
        join = if under { from } else { join };
    }
    let x = altitude_deg / 90.0;
    let value = |c: [f64; 4]| ((c[3] * x + c[2]) * x + c[1]) * x + c[0];
    let u = ((join - altitude_deg) / BLEND_DEG).min(1.0);
    let share = u * u * (3.0 - 2.0 * u);
    let (upper, lower) = (value(upper), value(lower));
    upper + share * (lower - upper)
}

/// Ten to a power from -300 to 300, plain arithmetic so that it vectorises: wrong by 2e-13 of
/// itself at most.
#[inline(always)]
fn power_of_ten(exponent: f64) -> f64 {
    // Added, it rounds to a whole number in the lowest bits, with the bias of an exponent on top.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    const BIAS: f64 = 1023.0;
    let twos = exponent * core::f64::consts::LOG2_10;
    let rounded = twos + (ROUND + BIAS);
    let whole = f64::from_bits(rounded.to_bits() << 52);
    let rest = (twos - (rounded - (ROUND + BIAS))) * core::f64::consts::LN_2;
    // The exponential series; the rest is below 0.347, and its eleventh power over 11! is 2e-13.
    let mut sum = 1.0;
    for i in (1..=10_u32).rev() {
        sum = 1.0 + sum * rest * (1.0 / f64::from(i));
    }
    whole * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_of_ten_are_powers_of_ten() {
        for i in -3_000..=3_000 {
            let exponent = f64::from(i) / 10.0 + 0.0123;
            let off = power_of_ten(exponent) / libm::exp10(exponent) - 1.0;
            // The product with the logarithm rounds to 1e-16 of up to 1000.
            assert!(off.abs() < 5e-13, "{exponent} {off}");
        }
    }

    #[test]
    fn wide_and_narrow_registers_give_the_same_bits() {
        let altitude = |i: u32| f64::from(i % 1_800) / 10.0 - 90.0;
        let sun: [Horizontal; 999] = core::array::from_fn(|i| Horizontal {
            azimuth_deg: 0.0,
            altitude_deg: altitude(i as u32 * 7),
        });
        let moon: [LitMoon; 999] = core::array::from_fn(|i| LitMoon {
            altitude_deg: altitude(i as u32 * 11),
            distance_km: 360_000.0 + i as f64,
            phase_angle_deg: i as f64 / 6.0,
            ..LitMoon::default()
        });
        let (mut wide, mut narrow) = ([0.0; 999], [0.0; 999]);
        let level = |lux| Level {
            sun: &sun,
            moon: &moon,
            share: 1.0,
            lux,
        };
        widest(level(&mut wide));
        level(&mut narrow).run();
        assert_eq!(wide, narrow);
    }
}
