//! From groups of rows to bytes. Each group is encoded by itself; what a format must say about all
//! of them stands in its tail.

mod arrow;
mod parquet;
mod text;

use arrow_array::RecordBatch;
use arrow_schema::SchemaRef;

use super::error::Error;

/// The format of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Format {
    /// CSV after RFC 4180, a header first
    Csv,
    /// JSON Lines, one object a row
    Jsonl,
    /// Arrow IPC as a file, with a footer
    Arrow,
    /// Arrow IPC as a stream, for pipes
    ArrowStream,
    /// Apache Parquet
    Parquet,
}

impl Format {
    /// The format that the ending of a file's name stands for.
    pub fn of_path(path: &std::path::Path) -> Option<Self> {
        let ending = path.extension()?.to_str()?.to_lowercase();
        match ending.as_str() {
            "csv" => Some(Self::Csv),
            "jsonl" | "ndjson" => Some(Self::Jsonl),
            "arrow" => Some(Self::Arrow),
            "arrows" => Some(Self::ArrowStream),
            "parquet" => Some(Self::Parquet),
            _ => None,
        }
    }

    /// Whether people can read it on a terminal.
    pub fn is_text(self) -> bool {
        matches!(self, Self::Csv | Self::Jsonl)
    }

    pub(super) fn encoder(self, schema: &SchemaRef) -> Result<Box<dyn Encoder>, Error> {
        Ok(match self {
            Self::Csv => Box::new(text::Csv),
            Self::Jsonl => Box::new(text::JsonLines),
            Self::Arrow => Box::new(arrow::Ipc::file(schema)),
            Self::ArrowStream => Box::new(arrow::Ipc::stream(schema)),
            Self::Parquet => Box::new(parquet::Parquet::new(schema)?),
        })
    }
}

/// One group as bytes, which mean the same wherever in the file they come to stand, and a note for
/// the tail.
#[derive(Debug)]
pub(super) struct Encoded {
    pub(super) bytes: Vec<u8>,
    pub(super) note: Vec<u8>,
}

/// A group that was written: where, and its note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Placed {
    pub(super) offset: u64,
    pub(super) length: u64,
    pub(super) note: Vec<u8>,
}

/// Writes one format. The same batch gives the same bytes, on any thread.
pub(super) trait Encoder: Sync {
    /// What stands before the first group. `names` is any batch of the table, for the words that
    /// its rows refer to.
    fn head(&self, names: &RecordBatch) -> Result<Vec<u8>, Error>;
    /// One group.
    fn group(&self, batch: &RecordBatch) -> Result<Encoded, Error>;
    /// What stands after the last group, given all of them in order.
    fn tail(&self, names: &RecordBatch, groups: &[Placed]) -> Result<Vec<u8>, Error>;
}
