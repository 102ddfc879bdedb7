//! Parquet. Each group becomes a small file of its own in memory; its row group is moved into the
//! table, and the table's footer is put together from the footers of the small files. So groups can
//! be encoded side by side, and taken up again after a kill.

mod column;
mod delta;
mod hybrid;
mod pages;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)] // A test that cannot go on fails.
mod tests;
mod words;

use std::sync::Arc;

use arrow_array::RecordBatch;
use arrow_schema::SchemaRef;
use parquet::arrow::{ArrowSchemaConverter, add_encoded_arrow_schema_to_metadata};
use parquet::file::metadata::{
    ColumnChunkMetaData, FileMetaData, KeyValue, ParquetMetaData, ParquetMetaDataReader,
    ParquetMetaDataWriter, RowGroupMetaData,
};
use parquet::file::properties::WriterProperties;
use parquet::schema::types::SchemaDescPtr;

use self::pages::{Chunk, Pages};
use super::{Encoded, Encoder, Placed};
use crate::error::{Error, encode_error};
use crate::schema::COLUMNS;

const MAGIC: &[u8; 4] = b"PAR1";
/// The length of the footer and the magic number that end a file.
const ENDING: usize = 8;

/// The version of the format: data pages are of its first kind, which every reader knows.
const VERSION: i32 = 1;

#[derive(Debug)]
pub(super) struct Parquet {
    schema: SchemaDescPtr,
    key_values: Vec<KeyValue>,
}

impl Parquet {
    pub(super) fn new(schema: &SchemaRef) -> Result<Self, Error> {
        let mut described = WriterProperties::builder().build();
        add_encoded_arrow_schema_to_metadata(schema, &mut described);
        let mut key_values: Vec<KeyValue> =
            described.key_value_metadata().cloned().unwrap_or_default();
        for (key, value) in schema.metadata() {
            key_values.push(KeyValue::new(key.to_string(), Some(value.to_string())));
        }
        let schema = ArrowSchemaConverter::new().convert(schema);
        Ok(Self {
            schema: Arc::new(schema.map_err(encode_error)?),
            key_values,
        })
    }

    /// A footer without the two things that end a file.
    fn footer(
        &self,
        row_groups: Vec<RowGroupMetaData>,
        key_values: Option<Vec<KeyValue>>,
    ) -> ParquetMetaData {
        let rows = row_groups.iter().map(RowGroupMetaData::num_rows).sum();
        let by = concat!("wrackline ", env!("CARGO_PKG_VERSION")).to_owned();
        let schema = Arc::clone(&self.schema);
        let file = FileMetaData::new(VERSION, rows, Some(by), key_values, schema, None);
        ParquetMetaData::new(file, row_groups)
    }
}

impl Encoder for Parquet {
    fn head(&self, _: &RecordBatch) -> Result<Vec<u8>, Error> {
        Ok(MAGIC.to_vec())
    }

    fn group(&self, batch: &RecordBatch) -> Result<Encoded, Error> {
        let mut pages = Pages::with_capacity(batch.num_rows() * 48);
        let mut columns = Vec::with_capacity(COLUMNS.len());
        for ((about, array), column) in COLUMNS
            .iter()
            .zip(batch.columns())
            .zip(self.schema.columns())
        {
            let chunk = Chunk::new(&mut pages, Arc::clone(column));
            columns.push(column::put(about.kind, array, chunk)?);
        }
        let size = columns.iter().map(ColumnChunkMetaData::uncompressed_size);
        let row_group = RowGroupMetaData::builder(Arc::clone(&self.schema))
            .set_total_byte_size(size.sum())
            .set_num_rows(batch.num_rows() as i64)
            .set_column_metadata(columns)
            .set_ordinal(0)
            .set_file_offset(MAGIC.len() as i64)
            .build()
            .map_err(encode_error)?;
        let mut note = Vec::new();
        ParquetMetaDataWriter::new(&mut note, &self.footer(vec![row_group], None))
            .finish()
            .map_err(encode_error)?;
        note.truncate(note.len().saturating_sub(ENDING));
        let bytes = pages.into_bytes()?;
        Ok(Encoded { bytes, note })
    }

    fn tail(&self, _: &RecordBatch, groups: &[Placed]) -> Result<Vec<u8>, Error> {
        let mut row_groups = Vec::with_capacity(groups.len());
        for (index, group) in groups.iter().enumerate() {
            let footer =
                ParquetMetaDataReader::decode_metadata(&group.note).map_err(encode_error)?;
            // The note tells of the group as the first of a file, after the magic number.
            let shift = group.offset as i64 - MAGIC.len() as i64;
            for row_group in footer.row_groups() {
                row_groups.push(moved(row_group, shift, index)?);
            }
        }
        let mut out = Vec::new();
        let footer = self.footer(row_groups, Some(self.key_values.clone()));
        ParquetMetaDataWriter::new(&mut out, &footer)
            .finish()
            .map_err(encode_error)?;
        Ok(out)
    }
}

/// A row group as it stands further back in a file.
fn moved(
    row_group: &RowGroupMetaData,
    shift: i64,
    index: usize,
) -> Result<RowGroupMetaData, Error> {
    let columns: Result<Vec<ColumnChunkMetaData>, _> = row_group
        .columns()
        .iter()
        .map(|column| {
            column
                .clone()
                .into_builder()
                .set_data_page_offset(column.data_page_offset() + shift)
                .set_dictionary_page_offset(column.dictionary_page_offset().map(|at| at + shift))
                .build()
        })
        .collect();
    let mut builder = row_group
        .clone()
        .into_builder()
        .set_column_metadata(columns.map_err(encode_error)?)
        .set_ordinal(i32::try_from(index).unwrap_or(i32::MAX));
    if let Some(at) = row_group.file_offset() {
        builder = builder.set_file_offset(at + shift);
    }
    builder.build().map_err(encode_error)
}
