//! Numbers without digits that mean nothing, fast: a table has a dozen of them in each of millions
//! of rows.

use arrow_array::builder::PrimitiveBuilder;
use arrow_array::types::Float32Type;

type Numbers = PrimitiveBuilder<Float32Type>;

/// Adding and taking away this number rounds a smaller one to a whole number, ties to even, without
/// a branch.
const WHOLE: f64 = 6_755_399_441_055_744.0;

/// A number rounded to decimals; the nearest single-precision number prints as that decimal again.
pub(super) fn round_decimals(value: f64, places: i32) -> f32 {
    let scale = 10f64.powi(places);
    (((value * scale + WHOLE) - WHOLE) / scale) as f32
}

/// A positive number rounded to significant digits; zero stays zero.
pub(super) fn round_digits(value: f64, digits: i32) -> f32 {
    if value <= 0.0 {
        return 0.0;
    }
    let scale = 10f64.powi(digits - 1 - value.log10().floor() as i32);
    (((value * scale + WHOLE) - WHOLE) / scale) as f32
}

/// Appends numbers rounded to decimals.
pub(super) fn decimals(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    places: i32,
    out: &mut Numbers,
) {
    let scale = 10f64.powi(places);
    room.clear();
    room.extend(values.map(|value| (((value * scale + WHOLE) - WHOLE) / scale) as f32));
    out.append_slice(room);
}

/// Appends azimuths: what rounds to a full circle is north.
pub(super) fn azimuths(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    places: i32,
    out: &mut Numbers,
) {
    room.clear();
    room.extend(values.map(|value| {
        let rounded = round_decimals(value, places);
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
