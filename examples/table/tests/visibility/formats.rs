//! All formats hold the same rows, and the same request gives the same bytes.

use arrow_array::RecordBatch;
use arrow_ipc::reader::{FileReader, StreamReader};
use parquet::arrow::arrow_reader::ParquetRecordBatchReaderBuilder;
use wrackline_table::{Format, Table, schema};

use crate::{bytes_of, demo_spec};

fn small_groups() -> Table {
    let mut spec = demo_spec("2026-10-24T00:00:00Z", 3);
    spec.group_rows = 100;
    Table::new(spec).unwrap()
}

const FORMATS: [Format; 5] = [
    Format::Csv,
    Format::Jsonl,
    Format::Arrow,
    Format::ArrowStream,
    Format::Parquet,
];

#[test]
fn the_number_of_threads_does_not_change_a_byte() {
    let table = small_groups();
    assert!(table.groups() > 20);
    for format in FORMATS {
        let one = bytes_of(&table, format, 1);
        for threads in [2, 7, 64] {
            assert!(one == bytes_of(&table, format, threads), "{format:?}");
        }
    }
}

/// The cells of batches as text, so that dictionaries with other numbers compare equal.
fn cells(batches: &[RecordBatch]) -> Vec<String> {
    let mut rows = Vec::new();
    for batch in batches {
        let columns: Vec<Vec<String>> = batch.columns().iter().map(crate::laws::texts).collect();
        for row in 0..batch.num_rows() {
            let cells: Vec<&str> = columns.iter().map(|column| column[row].as_str()).collect();
            rows.push(cells.join("|"));
        }
    }
    rows
}

#[test]
fn every_format_holds_the_rows_that_were_computed() {
    let table = small_groups();
    let computed: Result<Vec<RecordBatch>, _> = table.batches().collect();
    let computed = cells(&computed.unwrap());
    assert_eq!(computed.len() as u64, table.rows());

    let file = bytes_of(&table, Format::Arrow, 2);
    let reader = FileReader::try_new(std::io::Cursor::new(file), None).unwrap();
    let described = reader.schema();
    let cautions = &described.metadata()["wrackline:cautions"];
    assert!(cautions.contains("not for navigation"));
    let read: Result<Vec<RecordBatch>, _> = reader.collect();
    assert_eq!(cells(&read.unwrap()), computed);

    let stream = bytes_of(&table, Format::ArrowStream, 2);
    let reader = StreamReader::try_new(stream.as_slice(), None).unwrap();
    let read: Result<Vec<RecordBatch>, _> = reader.collect();
    assert_eq!(cells(&read.unwrap()), computed);

    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("t.parquet");
    std::fs::write(&path, bytes_of(&table, Format::Parquet, 2)).unwrap();
    let open = || std::fs::File::open(&path).unwrap();
    let builder = ParquetRecordBatchReaderBuilder::try_new(open()).unwrap();
    let metadata = builder.metadata();
    assert_eq!(metadata.num_row_groups(), table.groups());
    assert_eq!(metadata.file_metadata().num_rows() as u64, table.rows());
    for column in schema::COLUMNS {
        let field = builder.schema().field_with_name(column.name).unwrap();
        assert_eq!(field.metadata()["unit"], column.unit);
    }
    let read: Result<Vec<RecordBatch>, _> = builder.build().unwrap().collect();
    assert_eq!(cells(&read.unwrap()), computed);

    let csv = bytes_of(&table, Format::Csv, 2);
    let mut csv = csv::Reader::from_reader(csv.as_slice());
    let names: Vec<String> = csv.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(names, schema::COLUMNS.map(|column| column.name));
    let rows: Vec<csv::StringRecord> = csv.records().map(Result::unwrap).collect();
    let jsonl = String::from_utf8(bytes_of(&table, Format::Jsonl, 2)).unwrap();
    let objects = jsonl
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap());
    assert_eq!(rows.len() as u64, table.rows());
    let mut lines = 0;
    for ((row, object), computed) in rows.iter().zip(objects).zip(&computed) {
        lines += 1;
        for ((text, column), cell) in row.iter().zip(&schema::COLUMNS).zip(computed.split('|')) {
            let value = &object[column.name];
            match column.kind {
                schema::Kind::Decimals(_) | schema::Kind::Digits(_) if !text.is_empty() => {
                    let number: f32 = text.parse().unwrap();
                    // The text names the single-precision number of the other formats exactly.
                    assert_eq!(number, cell.parse::<f32>().unwrap(), "{}", column.name);
                    assert_eq!(value.as_f64().unwrap() as f32, number, "{}", column.name);
                }
                schema::Kind::LocalTime => {
                    let from_utc = cell.parse::<i64>().unwrap();
                    let local: jiff::civil::DateTime = text[..19].parse().unwrap();
                    let local = jiff::tz::TimeZone::UTC.to_timestamp(local).unwrap();
                    assert_eq!(local.as_millisecond(), from_utc);
                    assert_eq!(value.as_str().unwrap(), text);
                }
                schema::Kind::Instant => {
                    let at: jiff::Timestamp = text.parse().unwrap();
                    assert_eq!(at.as_millisecond().to_string(), cell);
                }
                _ => {
                    assert_eq!(text, cell, "{}", column.name);
                    let json = match value {
                        serde_json::Value::Null => String::new(),
                        serde_json::Value::String(text) => text.clone(),
                        other => other.to_string(),
                    };
                    assert_eq!(json, text, "{}", column.name);
                }
            }
        }
    }
    assert_eq!(lines, table.rows());
}
