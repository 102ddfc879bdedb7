//! The columns of a group, each by its kind.

use std::ops::Range;

use arrow_array::builder::BooleanBufferBuilder;
use arrow_array::cast::AsArray;
use arrow_array::types::{
    ArrowPrimitiveType, Float32Type, Int8Type, Int32Type, TimestampMillisecondType,
};
use arrow_array::{Array, BooleanArray, DictionaryArray, PrimitiveArray};
use parquet::basic::Encoding;
use parquet::file::metadata::ColumnChunkMetaData;
use parquet::file::statistics::{Statistics, ValueStatistics};

use super::delta;
use super::hybrid::Hybrid;
use super::pages::{Chunk, Known};
use super::words::{Runs, wholes, words};
use crate::error::{Error, encode_error};
use crate::schema::Kind;

/// Rows in a page, at most: as many as a group has unless asked otherwise.
pub(super) const PAGE_ROWS: usize = crate::GROUP_ROWS;

/// Writes one column.
pub(super) fn put(
    kind: Kind,
    array: &dyn Array,
    chunk: Chunk<'_>,
) -> Result<ColumnChunkMetaData, Error> {
    let other = || encode_error(format!("a column of {}", array.data_type()));
    match kind {
        Kind::Name => {
            let names: &DictionaryArray<Int32Type> = array.as_dictionary_opt().ok_or_else(other)?;
            let runs = Runs::new(array, names.keys().values());
            words(chunk, &runs, names.values())
        }
        Kind::Word(_) => {
            let states: &DictionaryArray<Int8Type> = array.as_dictionary_opt().ok_or_else(other)?;
            let runs = Runs::new(array, states.keys().values());
            words(chunk, &runs, states.values())
        }
        Kind::Whole => {
            let numbers = array.as_primitive_opt::<Int32Type>().ok_or_else(other)?;
            wholes(chunk, &Runs::new(array, numbers.values()))
        }
        Kind::Instant | Kind::LocalTime => {
            let instants = array.as_primitive_opt::<TimestampMillisecondType>();
            self::instants(chunk, instants.ok_or_else(other)?)
        }
        Kind::Decimals(_) | Kind::Digits(_) => {
            let numbers = array.as_primitive_opt::<Float32Type>().ok_or_else(other)?;
            self::numbers(chunk, numbers)
        }
        Kind::Flag => flags(chunk, array.as_boolean_opt().ok_or_else(other)?),
    }
}

/// Stretches of rows, and whether their values are there.
pub(super) fn present(array: &dyn Array, rows: Range<usize>) -> Vec<(bool, Range<usize>)> {
    let Some(nulls) = array.nulls() else {
        return vec![(true, rows)];
    };
    let mut stretches = Vec::new();
    let mut done = rows.start;
    for (start, end) in nulls.slice(rows.start, rows.len()).valid_slices() {
        let (start, end) = (rows.start + start, rows.start + end);
        if done < start {
            stretches.push((false, done..start));
        }
        stretches.push((true, start..end));
        done = end;
    }
    if done < rows.end {
        stretches.push((false, done..rows.end));
    }
    stretches
}

/// What says at the head of a page which values are there.
pub(super) fn put_levels(stretches: impl Iterator<Item = (bool, usize)>, page: &mut Vec<u8>) {
    let mut levels = Hybrid::up_to(1);
    for (is_there, rows) in stretches {
        levels.repeat(u32::from(is_there), rows);
    }
    let levels = levels.finish();
    page.extend_from_slice(&(levels.len() as u32).to_le_bytes());
    page.extend_from_slice(&levels);
}

/// Writes a column page by page: `put` appends the values of stretches of rows.
fn put_pages(
    chunk: &mut Chunk<'_>,
    array: &dyn Array,
    encoding: Encoding,
    mut put: impl FnMut(&mut dyn Iterator<Item = Range<usize>>, &mut Vec<u8>),
) -> Result<(), Error> {
    let mut page = Vec::new();
    for start in (0..array.len()).step_by(PAGE_ROWS) {
        let rows = start..array.len().min(start + PAGE_ROWS);
        let stretches = present(array, rows.clone());
        page.clear();
        if chunk.is_nullable() {
            let levels = stretches
                .iter()
                .map(|(is_there, rows)| (*is_there, rows.len()));
            put_levels(levels, &mut page);
        }
        let mut there = stretches
            .into_iter()
            .filter_map(|(is_there, rows)| is_there.then_some(rows));
        put(&mut there, &mut page);
        chunk.put_data(rows.len(), encoding, &page)?;
    }
    Ok(())
}

/// Writes a column of numbers page by page: `put` appends the values that are there.
fn put_values<T: ArrowPrimitiveType>(
    chunk: &mut Chunk<'_>,
    array: &PrimitiveArray<T>,
    encoding: Encoding,
    put: fn(&[T::Native], &mut Vec<u8>),
) -> Result<(), Error> {
    let values = array.values();
    let mut room = Vec::new();
    put_pages(chunk, array, encoding, |stretches, page| {
        let first = stretches.next().unwrap_or_default();
        match stretches.next() {
            None => put(&values[first], page),
            Some(second) => {
                room.clear();
                for rows in [first, second].into_iter().chain(stretches) {
                    room.extend_from_slice(&values[rows]);
                }
                put(&room, page);
            }
        }
    })
}

/// The least and the greatest of what `key` makes of the values that are there.
fn ends<T: ArrowPrimitiveType, K: Ord + Copy>(
    array: &PrimitiveArray<T>,
    key: impl Fn(T::Native) -> K,
) -> Option<(K, K)> {
    let mut ends: Option<(K, K)> = None;
    for (is_there, rows) in present(array, 0..array.len()) {
        let values = &array.values()[rows];
        let (true, Some(first)) = (is_there, values.first()) else {
            continue;
        };
        let start = ends.unwrap_or((key(*first), key(*first)));
        ends = Some(values.iter().fold(start, |(least, greatest), value| {
            let key = key(*value);
            (least.min(key), greatest.max(key))
        }));
    }
    ends
}

fn instants(
    mut chunk: Chunk<'_>,
    array: &PrimitiveArray<TimestampMillisecondType>,
) -> Result<ColumnChunkMetaData, Error> {
    put_values(&mut chunk, array, Encoding::DELTA_BINARY_PACKED, delta::put)?;
    let (least, greatest) = ends(array, |at| at).unzip();
    let nulls = array.null_count();
    let statistics = ValueStatistics::new(least, greatest, None, Some(nulls as u64), false);
    chunk.finish(Known {
        statistics: Statistics::Int64(statistics.with_backwards_compatible_min_max(true)),
        nulls,
        word_bytes: None,
    })
}

fn numbers(
    mut chunk: Chunk<'_>,
    array: &PrimitiveArray<Float32Type>,
) -> Result<ColumnChunkMetaData, Error> {
    put_values(&mut chunk, array, Encoding::BYTE_STREAM_SPLIT, put_split)?;
    let ends = ends(array, |value| in_order(value.to_bits() as i32));
    let ends = ends.map(|(least, greatest)| {
        (
            f32::from_bits(in_order(least) as u32),
            f32::from_bits(in_order(greatest) as u32),
        )
    });
    // What is no number stands at the ends of the order.
    let (least, greatest) = ends
        .filter(|(least, greatest)| !least.is_nan() && !greatest.is_nan())
        .unzip();
    let nulls = array.null_count();
    let statistics = ValueStatistics::new(least, greatest, None, Some(nulls as u64), false);
    let nans = least.map(|_| 0);
    chunk.finish(Known {
        statistics: Statistics::Float(statistics.with_nan_count(nans)),
        nulls,
        word_bytes: None,
    })
}

/// The bits of a number as a whole number of the same order; done twice, they are as before.
fn in_order(bits: i32) -> i32 {
    bits ^ (bits >> 31 & i32::MAX)
}

/// The first bytes of all numbers, then their second ones, and so on: neighbours share sign,
/// exponent and first digits, which compress when they stand together.
fn put_split(values: &[f32], page: &mut Vec<u8>) {
    for byte in 0..4 {
        page.extend(
            values
                .iter()
                .map(|value| (value.to_bits() >> (8 * byte)) as u8),
        );
    }
}

fn flags(mut chunk: Chunk<'_>, array: &BooleanArray) -> Result<ColumnChunkMetaData, Error> {
    put_pages(&mut chunk, array, Encoding::PLAIN, |stretches, page| {
        let mut bits = BooleanBufferBuilder::new(PAGE_ROWS);
        for rows in stretches {
            bits.append_buffer(&array.values().slice(rows.start, rows.len()));
        }
        page.extend_from_slice(bits.as_slice());
    })?;
    let (yes, no) = (array.true_count() > 0, array.false_count() > 0);
    let (least, greatest) = (yes || no).then_some((!no, yes)).unzip();
    let nulls = array.null_count();
    let statistics = ValueStatistics::new(least, greatest, None, Some(nulls as u64), false);
    chunk.finish(Known {
        statistics: Statistics::Boolean(statistics),
        nulls,
        word_bytes: None,
    })
}
