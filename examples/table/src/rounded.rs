//! Numbers without digits that mean nothing, fast: a table has a dozen of them in each of millions
//! of rows.

use arrow_array::builder::PrimitiveBuilder;
use arrow_array::types::Float32Type;

type Numbers = PrimitiveBuilder<Float32Type>;

/// Adding and taking away this number rounds a smaller one to a whole number, ties to even, without
/// a branch.
const WHOLE: f64 = 6_755_399_441_055_744.0;

/// Rounds to so many decimals; the nearest single-precision number prints as that decimal again.
///
/// The product with a tenth, a hundredth and so on is, below a million and to four decimals, the
/// same number as the quotient, once it is rounded to single precision: no decimal but those that
/// are written exactly lies nearer than some 2^-34 of itself to where that rounding changes, and
/// none that is written exactly lies there.
struct Decimals {
    scale: f64,
    unit: f64,
}

impl Decimals {
    fn new(places: i32) -> Self {
        let scale = 10f64.powi(places);
        Self {
            scale,
            unit: 1.0 / scale,
        }
    }

    fn round(&self, value: f64) -> f32 {
        (((value * self.scale + WHOLE) - WHOLE) * self.unit) as f32
    }
}

/// A positive number rounded to significant digits; zero stays zero.
pub(super) fn round_digits(value: f64, digits: i32) -> f32 {
    if value <= 0.0 {
        return 0.0;
    }
    let scale = ten_to(digits - 1 - decimal_exponent(value));
    (((value * scale + WHOLE) - WHOLE) / scale) as f32
}

/// Powers of ten, from the one to minus sixteen.
const TENS: [f64; 33] = [
    1e-16, 1e-15, 1e-14, 1e-13, 1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3,
    1e-2, 1e-1, 1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14,
    1e15, 1e16,
];

fn ten_to(power: i32) -> f64 {
    let index = usize::try_from(power.saturating_add(16)).ok();
    let known = index.and_then(|index| TENS.get(index));
    known.copied().unwrap_or_else(|| 10f64.powi(power))
}

/// The power of ten of the first digit of a positive number. The binary exponent gives it or the
/// one below, without a logarithm for each row.
fn decimal_exponent(value: f64) -> i32 {
    if !(1e-15..1e15).contains(&value) {
        return value.log10().floor() as i32;
    }
    let binary = (value.to_bits() >> 52) as i32 - 1023;
    // 1233 / 4096 is the logarithm of two, near enough for the fifty powers on either side.
    let below = (binary * 1233) >> 12;
    below + i32::from(value >= ten_to(below + 1))
}

/// Appends numbers rounded to decimals.
pub(super) fn decimals(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    places: i32,
    out: &mut Numbers,
) {
    let decimals = Decimals::new(places);
    room.clear();
    room.extend(values.map(|value| decimals.round(value)));
    out.append_slice(room);
}

/// Appends azimuths: what rounds to a full circle is north.
pub(super) fn azimuths(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    places: i32,
    out: &mut Numbers,
) {
    let decimals = Decimals::new(places);
    room.clear();
    room.extend(values.map(|value| {
        let rounded = decimals.round(value);
        if rounded >= 360.0 { 0.0 } else { rounded }
    }));
    out.append_slice(room);
}

/// Appends positive numbers rounded to significant digits.
pub(super) fn digits(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    digits: i32,
    out: &mut Numbers,
) {
    room.clear();
    room.extend(values.map(|value| round_digits(value, digits)));
    out.append_slice(room);
}

#[cfg(test)]
mod tests {
    use super::{Decimals, WHOLE, round_digits};

    #[test]
    fn decimals_are_those_of_the_quotient() {
        for places in [3, 4] {
            let (decimals, scale) = (Decimals::new(places), 10f64.powi(places));
            let check = |whole: i64| {
                let value = whole as f64 / scale;
                let (ours, plain) = (decimals.round(value), value as f32);
                assert_eq!(
                    ours.to_bits(),
                    plain.to_bits(),
                    "{value} to {places} decimals"
                );
            };
            // Every one that an angle can be, and some up to a million.
            (-3_600_001..=3_600_001).for_each(check);
            (0..1_000_000)
                .map(|step| step * 9_973 + step % 7)
                .for_each(check);
        }
    }

    #[test]
    fn digits_are_those_that_a_logarithm_finds() {
        let plainly = |value: f64, digits: i32| {
            let scale = 10f64.powi(digits - 1 - value.log10().floor() as i32);
            (((value * scale + WHOLE) - WHOLE) / scale) as f32
        };
        let mut checked = 0;
        for power in -20..=20 {
            let ten = 10f64.powi(power);
            let mut values = vec![ten.next_down(), ten, ten.next_up()];
            values.extend((1..2000).map(|step| ten * (1.0 + f64::from(step) * 0.0045)));
            for binary in 0..4 {
                let two = 2f64.powi(binary) * ten;
                values.extend([two.next_down(), two, two.next_up()]);
            }
            for value in values {
                for digits in [1, 3, 5] {
                    let (ours, plain) = (round_digits(value, digits), plainly(value, digits));
                    assert_eq!(
                        ours.to_bits(),
                        plain.to_bits(),
                        "{value:e} to {digits} digits"
                    );
                    checked += 1;
                }
            }
        }
        assert!(checked > 200_000);
        assert_eq!(round_digits(0.0, 3), 0.0);
        assert_eq!(round_digits(0.000_249_6, 3), 0.000_25);
        assert_eq!(round_digits(99_961.0, 3), 100_000.0);
    }
}
