//! CSV (RFC 4180) and JSON Lines: numbers as they were rounded, instants in RFC 3339.

use std::fmt::Write as _;

use arrow_array::cast::AsArray;
use arrow_array::types::{Float32Type, Int8Type, Int32Type, TimestampMillisecondType};
use arrow_array::{Array, RecordBatch};
use jiff::SignedDuration;
use jiff::tz::Offset;
use wrackline_plan::rfc4180::{LINE_END, field};

use super::{Encoded, Encoder, Placed};
use crate::error::Error;
use crate::error::encode_error;
use crate::instants::timestamp;
use crate::schema::{COLUMNS, Kind, position};

#[derive(Debug)]
pub(super) struct Csv;

#[derive(Debug)]
pub(super) struct JsonLines;

impl Encoder for Csv {
    fn head(&self, _: &RecordBatch) -> Result<Vec<u8>, Error> {
        let names = COLUMNS.map(|column| column.name).join(",");
        Ok(format!("{names}{LINE_END}").into_bytes())
    }

    fn group(&self, batch: &RecordBatch) -> Result<Encoded, Error> {
        let columns = cells(batch, |text| field(text).into_owned())?;
        let mut out = String::with_capacity(batch.num_rows() * 160);
        for row in 0..batch.num_rows() {
            for (index, column) in columns.iter().enumerate() {
                if index > 0 {
                    out.push(',');
                }
                if column.is_valid(row) {
                    column.write(row, &mut out);
                }
            }
            out.push_str(LINE_END);
        }
        Ok(encoded(out))
    }

    fn tail(&self, _: &RecordBatch, _: &[Placed]) -> Result<Vec<u8>, Error> {
        Ok(Vec::new())
    }
}

impl Encoder for JsonLines {
    fn head(&self, _: &RecordBatch) -> Result<Vec<u8>, Error> {
        Ok(Vec::new())
    }

    fn group(&self, batch: &RecordBatch) -> Result<Encoded, Error> {
        let columns = cells(batch, json_text)?;
        let mut out = String::with_capacity(batch.num_rows() * 480);
        for row in 0..batch.num_rows() {
            for (index, (column, about)) in columns.iter().zip(&COLUMNS).enumerate() {
                out.push(if index == 0 { '{' } else { ',' });
                out.push('"');
                out.push_str(about.name);
                out.push_str("\":");
                if !column.is_valid(row) {
                    out.push_str("null");
                } else if matches!(about.kind, Kind::Instant | Kind::LocalTime) {
                    out.push('"');
                    column.write(row, &mut out);
                    out.push('"');
                } else {
                    column.write(row, &mut out);
                }
            }
            out.push_str("}\n");
        }
        Ok(encoded(out))
    }

    fn tail(&self, _: &RecordBatch, _: &[Placed]) -> Result<Vec<u8>, Error> {
        Ok(Vec::new())
    }
}

fn encoded(text: String) -> Encoded {
    Encoded {
        bytes: text.into_bytes(),
        note: Vec::new(),
    }
}

fn json_text(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// One column as text.
enum Cells<'b> {
    Words(&'b dyn Array, Keys<'b>, Vec<String>),
    Instants(&'b dyn Array, &'b [i64]),
    LocalTimes(&'b dyn Array, &'b [i64], &'b [i32]),
    Whole(&'b dyn Array, &'b [i32]),
    Decimals(&'b dyn Array, &'b [f32], u8),
    Digits(&'b dyn Array, &'b [f32]),
    Flags(&'b arrow_array::BooleanArray),
}

enum Keys<'b> {
    Wide(&'b [i32]),
    Narrow(&'b [i8]),
}

fn cells<'b>(batch: &'b RecordBatch, quote: fn(&str) -> String) -> Result<Vec<Cells<'b>>, Error> {
    let offsets = position("utc_offset_s").map(|at| batch.column(at));
    let offsets = offsets.and_then(|array| array.as_primitive_opt::<Int32Type>());
    let words = |values: &dyn Array| -> Option<Vec<String>> {
        let values = values.as_string_opt::<i32>()?;
        Some(
            values
                .iter()
                .map(|word| quote(word.unwrap_or_default()))
                .collect(),
        )
    };
    COLUMNS
        .iter()
        .zip(batch.columns())
        .map(|(about, array)| {
            let array: &'b dyn Array = array.as_ref();
            let cells = match about.kind {
                Kind::Name => array
                    .as_dictionary_opt::<Int32Type>()
                    .and_then(|dictionary| {
                        let keys = Keys::Wide(dictionary.keys().values());
                        Some(Cells::Words(array, keys, words(dictionary.values())?))
                    }),
                Kind::Word(_) => array
                    .as_dictionary_opt::<Int8Type>()
                    .and_then(|dictionary| {
                        let keys = Keys::Narrow(dictionary.keys().values());
                        Some(Cells::Words(array, keys, words(dictionary.values())?))
                    }),
                Kind::Instant => array
                    .as_primitive_opt::<TimestampMillisecondType>()
                    .map(|values| Cells::Instants(array, values.values())),
                Kind::LocalTime => array
                    .as_primitive_opt::<TimestampMillisecondType>()
                    .zip(offsets)
                    .map(|(values, offsets)| {
                        Cells::LocalTimes(array, values.values(), offsets.values())
                    }),
                Kind::Whole => array
                    .as_primitive_opt::<Int32Type>()
                    .map(|values| Cells::Whole(array, values.values())),
                Kind::Decimals(places) => array
                    .as_primitive_opt::<Float32Type>()
                    .map(|values| Cells::Decimals(array, values.values(), places)),
                Kind::Digits(_) => array
                    .as_primitive_opt::<Float32Type>()
                    .map(|values| Cells::Digits(array, values.values())),
                Kind::Flag => array.as_boolean_opt().map(Cells::Flags),
            };
            cells.ok_or_else(|| encode_error(format!("{} has another type", about.name)))
        })
        .collect()
}

impl Cells<'_> {
    fn is_valid(&self, row: usize) -> bool {
        match self {
            Self::Words(array, ..)
            | Self::Instants(array, _)
            | Self::LocalTimes(array, ..)
            | Self::Whole(array, _)
            | Self::Decimals(array, ..)
            | Self::Digits(array, _) => array.is_valid(row),
            Self::Flags(array) => array.is_valid(row),
        }
    }

    fn write(&self, row: usize, out: &mut String) {
        // Writing to a string cannot fail.
        let _ = match self {
            Self::Words(_, keys, words) => {
                let key = match keys {
                    Keys::Wide(keys) => keys[row] as usize,
                    Keys::Narrow(keys) => keys[row] as usize,
                };
                out.push_str(words.get(key).map_or("", String::as_str));
                Ok(())
            }
            Self::Instants(_, ms) => write!(out, "{}", timestamp(ms[row])),
            Self::LocalTimes(_, ms, offsets) => {
                let clock = Offset::UTC.to_datetime(timestamp(ms[row]));
                let offset = i64::from(offsets[row]);
                write_local(out, clock, SignedDuration::from_secs(offset))
            }
            Self::Whole(_, values) => write!(out, "{}", values[row]),
            Self::Decimals(_, values, places) => {
                write_decimals(out, f64::from(values[row]), u32::from(*places));
                Ok(())
            }
            Self::Digits(_, values) => write!(out, "{}", values[row]),
            Self::Flags(values) => write!(out, "{}", values.value(row)),
        };
    }
}

/// A civil time with its offset as RFC 3339 has it, which knows no seconds in offsets; those of
/// before 1972 are rounded.
fn write_local(
    out: &mut String,
    clock: jiff::civil::DateTime,
    offset: SignedDuration,
) -> std::fmt::Result {
    let sign = if offset.is_negative() { '-' } else { '+' };
    let minutes = (offset.as_secs().unsigned_abs() + 30) / 60;
    write!(out, "{clock}{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

/// A number that was rounded to decimals, with all of them.
fn write_decimals(out: &mut String, value: f64, places: u32) {
    let scale = 10u64.pow(places);
    let units = (value.abs() * scale as f64).round() as u64;
    if value < 0.0 && units > 0 {
        out.push('-');
    }
    let _ = write!(out, "{}", units / scale);
    out.push('.');
    let mut fraction = units % scale;
    let mut unit = scale / 10;
    while unit > 0 {
        out.push(char::from(b'0' + (fraction / unit) as u8));
        fraction %= unit;
        unit /= 10;
    }
}
