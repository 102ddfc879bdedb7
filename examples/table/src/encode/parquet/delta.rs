//! Whole numbers as Parquet writes their differences: in blocks, each with its least difference,
//! and above that as many bits for each as a quarter of a block needs. Equal steps take no bits.

use super::hybrid::{pack, put_varint};

/// Differences in a block.
const BLOCK: usize = 128;
/// Quarters of a block, each with bits of its own.
const QUARTERS: usize = 4;
/// Differences in a quarter.
const QUARTER: usize = BLOCK / QUARTERS;

/// Appends numbers as the differences between them.
pub(super) fn put(values: &[i64], out: &mut Vec<u8>) {
    put_varint(BLOCK as u64, out);
    put_varint(QUARTERS as u64, out);
    put_varint(values.len() as u64, out);
    let first = values.first().copied().unwrap_or_default();
    put_signed(first, out);
    let mut from = 0;
    while from + 1 < values.len() {
        let to = values.len().min(from + 1 + BLOCK);
        put_block(&values[from..to], out);
        from = to - 1;
    }
}

/// A block: the number before it, then up to 128 numbers.
fn put_block(values: &[i64], out: &mut Vec<u8>) {
    let differences = || values.windows(2).map(|pair| pair[1].wrapping_sub(pair[0]));
    let least = differences().min().unwrap_or_default();
    put_signed(least, out);
    let mut above = [0u64; BLOCK];
    for (above, difference) in above.iter_mut().zip(differences()) {
        *above = difference.wrapping_sub(least) as u64;
    }
    let bits =
        above.as_chunks::<QUARTER>().0.iter().map(|quarter| {
            u64::BITS - quarter.iter().fold(0, |all, one| all | one).leading_zeros()
        });
    out.extend(bits.clone().map(|bits| bits as u8));
    for (quarter, bits) in above.as_chunks::<QUARTER>().0.iter().zip(bits) {
        pack(quarter.iter().copied(), bits, out);
    }
}

/// A number with its sign in the lowest bit.
fn put_signed(number: i64, out: &mut Vec<u8>) {
    put_varint((number << 1 ^ number >> 63) as u64, out);
}

#[cfg(test)]
mod tests {
    /// The examples of "Delta Encoding" in "Encodings" of the Apache Parquet format, in blocks as
    /// ours.
    #[test]
    fn differences_are_laid_as_the_format_says() {
        let written = |values: &[i64]| {
            let mut out = Vec::new();
            super::put(values, &mut out);
            out
        };
        let head = [0x80, 1, 4];
        assert_eq!(written(&[]), [&head[..], &[0, 0]].concat());
        assert_eq!(written(&[7]), [&head[..], &[1, 14]].concat());
        // Steps of one: least difference 1, no bits.
        assert_eq!(
            written(&[1, 2, 3, 4, 5]),
            [&head[..], &[5, 2, 2, 0, 0, 0, 0]].concat()
        );
        // Differences -2, -2, -2, 1, 1, 1, 1; above the least 0, 0, 0, 3, 3, 3, 3 in two bits.
        let packed = [0b1100_0000, 0b0011_1111, 0, 0, 0, 0, 0, 0];
        assert_eq!(
            written(&[7, 5, 3, 1, 2, 3, 4, 5]),
            [&head[..], &[8, 14, 3, 2, 0, 0, 0], &packed].concat()
        );
        // The widest difference goes once round.
        let ends = written(&[i64::MAX, i64::MIN, i64::MAX]);
        let most = [0xfe, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 1];
        assert_eq!(&ends[..14], [&head[..], &[3], &most].concat());
        // The differences are 1 and -1.
        assert_eq!(ends[14..19], [1, 2, 0, 0, 0]);
    }
}
