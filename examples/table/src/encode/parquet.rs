//! Parquet. Each group becomes a small file of its own in memory; its row group is moved into the
//! table, and the table's footer is put together from the footers of the small files. So groups can
//! be encoded side by side, and taken up again after a kill.

use std::sync::Arc;

use arrow_array::RecordBatch;
use arrow_schema::{Schema, SchemaRef};
use parquet::arrow::add_encoded_arrow_schema_to_metadata;
use parquet::arrow::arrow_writer::{ArrowWriter, ArrowWriterOptions};
use parquet::basic::{Compression, Encoding};
use parquet::file::metadata::{
    ColumnChunkMetaData, FileMetaData, KeyValue, ParquetMetaData, ParquetMetaDataReader,
    ParquetMetaDataWriter, RowGroupMetaData,
};
use parquet::file::properties::{EnabledStatistics, WriterProperties};
use parquet::schema::types::ColumnPath;

use super::{Encoded, Encoder, Placed};
use crate::error::Error;
use crate::error::encode_error;
use crate::schema::{COLUMNS, Kind};

const MAGIC: &[u8; 4] = b"PAR1";
/// The length of the footer and the magic number that end a file.
const ENDING: usize = 8;

#[derive(Debug)]
pub(super) struct Parquet {
    schema: SchemaRef,
    properties: WriterProperties,
    key_values: Vec<KeyValue>,
}

impl Parquet {
    pub(super) fn new(schema: &SchemaRef) -> Result<Self, Error> {
        let mut builder = WriterProperties::builder()
            .set_created_by(concat!("wrackline ", env!("CARGO_PKG_VERSION")).to_owned())
            .set_compression(Compression::SNAPPY)
            .set_statistics_enabled(EnabledStatistics::Chunk)
            .set_offset_index_disabled(true)
            // A group is a page: more of them would each begin anew.
            .set_data_page_row_count_limit(crate::GROUP_ROWS)
            .set_write_batch_size(crate::GROUP_ROWS)
            .set_max_row_group_row_count(None);
        for column in &COLUMNS {
            let path = ColumnPath::from(column.name);
            builder = match column.kind {
                // Equal steps have equal differences, which take no room at all.
                Kind::Instant | Kind::LocalTime => builder
                    .set_column_dictionary_enabled(path.clone(), false)
                    .set_column_encoding(path, Encoding::DELTA_BINARY_PACKED),
                // Neighbours share sign, exponent and first digits: apart from the rest they
                // compress.
                Kind::Decimals(_) | Kind::Digits(_) => builder
                    .set_column_dictionary_enabled(path.clone(), false)
                    .set_column_encoding(path, Encoding::BYTE_STREAM_SPLIT),
                Kind::Name | Kind::Word(_) | Kind::Whole | Kind::Flag => builder,
            };
        }
        let mut described = WriterProperties::builder().build();
        add_encoded_arrow_schema_to_metadata(schema, &mut described);
        let mut key_values: Vec<KeyValue> =
            described.key_value_metadata().cloned().unwrap_or_default();
        for (key, value) in schema.metadata() {
            key_values.push(KeyValue::new(key.to_string(), Some(value.to_string())));
        }
        Ok(Self {
            schema: schema.clone(),
            properties: builder.build(),
            key_values,
        })
    }
}

impl Encoder for Parquet {
    fn head(&self, _: &RecordBatch) -> Result<Vec<u8>, Error> {
        Ok(MAGIC.to_vec())
    }

    fn group(&self, batch: &RecordBatch) -> Result<Encoded, Error> {
        let options = ArrowWriterOptions::new()
            .with_properties(self.properties.clone())
            .with_skip_arrow_metadata(true);
        // The schema's metadata would stand in every note.
        let bare = Arc::new(Schema::new(self.schema.fields().clone()));
        let columns = batch.columns().to_vec();
        let batch = RecordBatch::try_new(Arc::clone(&bare), columns).map_err(encode_error)?;
        let room = Vec::with_capacity(batch.num_rows() * 48);
        let mut writer =
            ArrowWriter::try_new_with_options(room, bare, options).map_err(encode_error)?;
        writer.write(&batch).map_err(encode_error)?;
        let mut bytes = writer.into_inner().map_err(encode_error)?;
        let end = bytes.len().checked_sub(ENDING);
        let footer = end.and_then(|end| {
            let length: [u8; 4] = bytes.get(end..end + 4)?.try_into().ok()?;
            Some(end.checked_sub(u32::from_le_bytes(length) as usize)?..end)
        });
        let footer = footer.ok_or_else(|| encode_error("a group without a footer"))?;
        let note = bytes[footer.clone()].to_vec();
        bytes.truncate(footer.start);
        bytes.drain(..MAGIC.len());
        Ok(Encoded { bytes, note })
    }

    fn tail(&self, _: &RecordBatch, groups: &[Placed]) -> Result<Vec<u8>, Error> {
        let mut row_groups = Vec::with_capacity(groups.len());
        let mut file: Option<FileMetaData> = None;
        for (index, group) in groups.iter().enumerate() {
            let footer =
                ParquetMetaDataReader::decode_metadata(&group.note).map_err(encode_error)?;
            // In the small file the row group began after the magic number.
            let shift = group.offset as i64 - MAGIC.len() as i64;
            for row_group in footer.row_groups() {
                row_groups.push(moved(row_group, shift, index)?);
            }
            file.get_or_insert_with(|| footer.file_metadata().clone());
        }
        let file = file.ok_or_else(|| encode_error("a table without groups"))?;
        let rows = row_groups.iter().map(RowGroupMetaData::num_rows).sum();
        let file = FileMetaData::new(
            file.version(),
            rows,
            file.created_by().map(str::to_owned),
            Some(self.key_values.clone()),
            file.schema_descr_ptr(),
            file.column_orders().cloned(),
        );
        let metadata = ParquetMetaData::new(file, row_groups);
        let mut out = Vec::new();
        ParquetMetaDataWriter::new(&mut out, &metadata)
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
