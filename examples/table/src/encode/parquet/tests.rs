//! What is written is read back the same by a reader that is not ours.

use std::io::Write;
use std::sync::Arc;

use arrow_array::builder::{BooleanBuilder, PrimitiveBuilder};
use arrow_array::cast::AsArray;
use arrow_array::types::{
    ArrowDictionaryKeyType, ArrowPrimitiveType, Float32Type, Int8Type, Int32Type,
    TimestampMillisecondType,
};
use arrow_array::{Array, ArrayRef, DictionaryArray, RecordBatch, StringArray};
use arrow_schema::{DataType, Metadata};
use parquet::arrow::arrow_reader::ParquetRecordBatchReaderBuilder;
use parquet::arrow::arrow_reader::statistics::StatisticsConverter;
use parquet::file::metadata::ParquetMetaData;
use proptest::prelude::*;

use super::column::PAGE_ROWS;
use super::{Encoder, MAGIC, Parquet, Placed};
use crate::schema::{self, COLUMNS, Kind};

/// Values as runs, which may be missing.
type Runs<T> = Vec<(Option<T>, usize)>;

/// Runs of any length up to more than a page, most of them short.
fn runs<T: std::fmt::Debug + Clone>(
    value: impl Strategy<Value = T> + Clone,
    can_miss: bool,
) -> impl Strategy<Value = Runs<T>> {
    let value = (value, 0..10).prop_map(move |(value, chance)| {
        let is_missing = can_miss && chance < 3;
        (!is_missing).then_some(value)
    });
    let length = prop_oneof![
        8 => 1..20usize,
        2 => 1..3_000usize,
        1 => Just(PAGE_ROWS + 5),
    ];
    prop::collection::vec((value, length), 1..60)
}

fn spread<T: Clone>(runs: &Runs<T>, rows: usize) -> impl Iterator<Item = Option<T>> {
    let cells = runs
        .iter()
        .flat_map(|(value, count)| std::iter::repeat_n(value, *count));
    cells.cycle().take(rows).cloned()
}

fn plain<T: ArrowPrimitiveType>(runs: &Runs<T::Native>, rows: usize) -> ArrayRef {
    let mut builder = PrimitiveBuilder::<T>::new();
    spread(runs, rows).for_each(|value| builder.append_option(value));
    Arc::new(builder.finish())
}

fn named<K: ArrowDictionaryKeyType>(
    runs: &Runs<K::Native>,
    rows: usize,
    words: &[impl AsRef<str>],
) -> ArrayRef {
    let mut keys = PrimitiveBuilder::<K>::new();
    spread(runs, rows).for_each(|key| keys.append_option(key));
    let words = StringArray::from_iter_values(words);
    Arc::new(DictionaryArray::<K>::new(keys.finish(), Arc::new(words)))
}

#[derive(Clone, Debug)]
struct Cells {
    names: Runs<i32>,
    places: Runs<i32>,
    words: Runs<i8>,
    instants: Runs<i64>,
    wholes: Runs<i32>,
    numbers: Runs<f32>,
    missing: Runs<f32>,
    flags: Runs<bool>,
    rows: usize,
}

const NAMES: i32 = 40;

fn cells() -> impl Strategy<Value = Cells> {
    let numbers = || any::<f32>().prop_filter("a number", |number| !number.is_nan());
    let rows = prop_oneof![4 => 1..500usize, 1 => PAGE_ROWS - 1..PAGE_ROWS * 2 + 2];
    (
        (
            runs(0..NAMES, true),
            runs(0..NAMES, false),
            runs(0..3i8, true),
        ),
        (runs(any::<i64>(), false), runs(any::<i32>(), false)),
        (runs(numbers(), false), runs(numbers(), true)),
        runs(any::<bool>(), true),
        rows,
    )
        .prop_map(|(words, wholes, numbers, flags, rows)| Cells {
            names: words.0,
            places: words.1,
            words: words.2,
            instants: wholes.0,
            wholes: wholes.1,
            numbers: numbers.0,
            missing: numbers.1,
            flags,
            rows,
        })
}

fn batch(cells: &Cells) -> RecordBatch {
    let rows = cells.rows;
    // The first name is empty, and one is long.
    let names: Vec<String> = (0..NAMES)
        .map(|n| "ö".repeat(if n == 7 { 300 } else { n as usize }))
        .collect();
    let columns = COLUMNS.iter().map(|column| match column.kind {
        Kind::Name if column.nullable => named::<Int32Type>(&cells.names, rows, &names),
        Kind::Name => named::<Int32Type>(&cells.places, rows, &names),
        Kind::Word(words) => named::<Int8Type>(&cells.words, rows, words),
        Kind::Instant => {
            let array = plain::<TimestampMillisecondType>(&cells.instants, rows);
            let array = array.as_primitive::<TimestampMillisecondType>().clone();
            Arc::new(array.with_timezone("UTC")) as ArrayRef
        }
        Kind::LocalTime => plain::<TimestampMillisecondType>(&cells.instants, rows),
        Kind::Whole => plain::<Int32Type>(&cells.wholes, rows),
        Kind::Decimals(_) | Kind::Digits(_) if column.nullable => {
            plain::<Float32Type>(&cells.missing, rows)
        }
        Kind::Decimals(_) | Kind::Digits(_) => plain::<Float32Type>(&cells.numbers, rows),
        Kind::Flag => {
            let mut flags = BooleanBuilder::new();
            spread(&cells.flags, rows).for_each(|flag| flags.append_option(flag));
            Arc::new(flags.finish())
        }
    });
    let schema = schema::arrow(Metadata::default());
    RecordBatch::try_new(schema, columns.collect()).unwrap()
}

/// A file of two groups.
fn file(batch: &RecordBatch) -> Vec<u8> {
    let encoder = Parquet::new(&batch.schema()).unwrap();
    let mut bytes = encoder.head(batch).unwrap();
    let mut placed = Vec::new();
    for _ in 0..2 {
        let group = encoder.group(batch).unwrap();
        placed.push(Placed {
            offset: bytes.len() as u64,
            length: group.bytes.len() as u64,
            note: group.note,
        });
        bytes.extend(group.bytes);
    }
    bytes.extend(encoder.tail(batch, &placed).unwrap());
    bytes
}

/// The values that are there as bytes of the same order.
fn in_order(array: &dyn Array) -> Vec<Vec<u8>> {
    let wide = |number: i64| (number as u64 ^ 1 << 63).to_be_bytes().to_vec();
    match array.data_type() {
        DataType::Float32 => {
            let bits = array.as_primitive::<Float32Type>().iter().flatten();
            let sign = 1 << 31;
            bits.map(f32::to_bits)
                .map(|bits| if bits & sign == 0 { bits | sign } else { !bits })
                .map(|bits| bits.to_be_bytes().to_vec())
                .collect()
        }
        DataType::Int32 => {
            let numbers = array.as_primitive::<Int32Type>().iter().flatten();
            numbers.map(|number| wide(number.into())).collect()
        }
        DataType::Timestamp(..) => {
            let instants = array.as_primitive::<TimestampMillisecondType>();
            instants.iter().flatten().map(wide).collect()
        }
        DataType::Boolean => {
            let flags = array.as_boolean().iter().flatten();
            flags.map(|flag| vec![u8::from(flag)]).collect()
        }
        DataType::Utf8 => {
            let words = array.as_string::<i32>().iter().flatten();
            words.map(|word| word.as_bytes().to_vec()).collect()
        }
        _ => {
            let dictionary = array.as_any_dictionary();
            let words = in_order(dictionary.values());
            let keys = dictionary.normalized_keys();
            let there = (0..array.len()).filter(|row| array.is_valid(*row));
            there.map(|row| words[keys[row]].clone()).collect()
        }
    }
}

/// Which rows are missing.
fn missing(array: &dyn Array) -> Vec<usize> {
    let rows = 0..array.len();
    rows.filter(|row| array.is_null(*row)).collect()
}

fn check_footer(metadata: &ParquetMetaData, batch: &RecordBatch, length: u64) {
    let schema = batch.schema();
    let columns = metadata.file_metadata().schema_descr();
    for (column, array) in COLUMNS.iter().zip(batch.columns()) {
        let told = StatisticsConverter::try_new(column.name, &schema, columns).unwrap();
        let groups = metadata.row_groups();
        let least = in_order(&told.row_group_mins(groups).unwrap());
        let greatest = in_order(&told.row_group_maxes(groups).unwrap());
        let nulls = told.row_group_null_counts(groups).unwrap();
        let values = in_order(array);
        // Two groups, and none says anything where no value is there.
        let twice = |value: Option<&Vec<u8>>| -> Vec<Vec<u8>> {
            value
                .into_iter()
                .flat_map(|value| [value.clone(), value.clone()])
                .collect()
        };
        assert_eq!(least, twice(values.iter().min()), "{}", column.name);
        assert_eq!(greatest, twice(values.iter().max()), "{}", column.name);
        assert_eq!(
            nulls.values(),
            &[array.null_count() as u64; 2],
            "{}",
            column.name
        );
    }
    // Columns follow on one another without a gap.
    let mut next = MAGIC.len() as u64;
    for column in metadata
        .row_groups()
        .iter()
        .flat_map(|group| group.columns())
    {
        let (start, size) = column.byte_range();
        assert_eq!(start, next);
        next += size;
    }
    assert!(next < length);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_written_is_read(cells in cells()) {
        let batch = batch(&cells);
        let bytes = file(&batch);
        let mut file = tempfile::tempfile().unwrap();
        file.write_all(&bytes).unwrap();
        let reader = ParquetRecordBatchReaderBuilder::try_new(file).unwrap();
        prop_assert_eq!(reader.schema(), &batch.schema());
        check_footer(reader.metadata(), &batch, bytes.len() as u64);
        let reader = reader.with_batch_size(cells.rows).build().unwrap();
        let mut groups = 0;
        for read in reader {
            let read = read.unwrap();
            for (read, written) in read.columns().iter().zip(batch.columns()) {
                prop_assert_eq!(missing(read), missing(written));
                prop_assert_eq!(in_order(read), in_order(written));
            }
            groups += 1;
        }
        prop_assert_eq!(groups, 2);
    }
}
