//! Arrow IPC. The words that rows refer to stand once, in the head, so that each group is one
//! message.

use arrow_array::RecordBatch;
use arrow_ipc::convert::IpcSchemaEncoder;
use arrow_ipc::writer::{
    DictionaryTracker, IpcDataGenerator, IpcWriteContext, IpcWriteOptions, write_message,
};
use arrow_ipc::{Block, FooterBuilder, MetadataVersion};
use arrow_schema::SchemaRef;
use flatbuffers::FlatBufferBuilder;

use super::{Encoded, Encoder, Placed};
use crate::error::Error;
use crate::error::encode_error;

/// The first eight bytes of an Arrow file; its last six are these without the padding.
const MAGIC: &[u8; 8] = b"ARROW1\0\0";
/// The mark of a message of no length, which ends a stream.
const END: [u8; 8] = [0xff, 0xff, 0xff, 0xff, 0, 0, 0, 0];

#[derive(Debug)]
pub(super) struct Ipc {
    schema: SchemaRef,
    is_file: bool,
}

impl Ipc {
    pub(super) fn file(schema: &SchemaRef) -> Self {
        Self {
            schema: schema.clone(),
            is_file: true,
        }
    }

    pub(super) fn stream(schema: &SchemaRef) -> Self {
        Self {
            schema: schema.clone(),
            is_file: false,
        }
    }

    /// The head, and where the dictionaries stand in it.
    fn opening(&self, names: &RecordBatch) -> Result<(Vec<u8>, Vec<Block>), Error> {
        let options = IpcWriteOptions::default();
        let generator = IpcDataGenerator::default();
        let mut tracker = DictionaryTracker::new(true);
        let mut out = if self.is_file {
            MAGIC.to_vec()
        } else {
            Vec::new()
        };
        let schema =
            generator.schema_to_bytes_with_dictionary_tracker(&self.schema, &mut tracker, &options);
        write_message(&mut out, schema, &options).map_err(encode_error)?;
        let (dictionaries, _) = generator
            .encode(
                names,
                &mut tracker,
                &options,
                &mut IpcWriteContext::default(),
            )
            .map_err(encode_error)?;
        let mut blocks = Vec::new();
        for dictionary in dictionaries {
            let offset = out.len() as i64;
            let (meta, body) =
                write_message(&mut out, dictionary, &options).map_err(encode_error)?;
            blocks.push(Block::new(offset, meta as i32, body as i64));
        }
        Ok((out, blocks))
    }
}

impl Encoder for Ipc {
    fn head(&self, names: &RecordBatch) -> Result<Vec<u8>, Error> {
        Ok(self.opening(names)?.0)
    }

    fn group(&self, batch: &RecordBatch) -> Result<Encoded, Error> {
        let options = IpcWriteOptions::default();
        let generator = IpcDataGenerator::default();
        let mut tracker = DictionaryTracker::new(true);
        // Numbers the dictionaries as the head does.
        generator.schema_to_bytes_with_dictionary_tracker(&self.schema, &mut tracker, &options);
        let (_, message) = generator
            .encode(
                batch,
                &mut tracker,
                &options,
                &mut IpcWriteContext::default(),
            )
            .map_err(encode_error)?;
        let mut bytes = Vec::with_capacity(message.arrow_data.len() + 4096);
        let (meta, _) = write_message(&mut bytes, message, &options).map_err(encode_error)?;
        Ok(Encoded {
            bytes,
            note: (meta as u32).to_le_bytes().to_vec(),
        })
    }

    fn tail(&self, names: &RecordBatch, groups: &[Placed]) -> Result<Vec<u8>, Error> {
        let mut out = END.to_vec();
        if !self.is_file {
            return Ok(out);
        }
        let (_, dictionaries) = self.opening(names)?;
        let mut batches = Vec::with_capacity(groups.len());
        for group in groups {
            let meta = group.note.as_slice().try_into().map(u32::from_le_bytes);
            let meta = meta.map_err(|_| encode_error("a group without its note"))?;
            let body = group.length as i64 - i64::from(meta);
            batches.push(Block::new(group.offset as i64, meta as i32, body));
        }
        let mut builder = FlatBufferBuilder::new();
        let dictionaries = builder.create_vector(&dictionaries);
        let batches = builder.create_vector(&batches);
        let mut tracker = DictionaryTracker::new(true);
        let schema = IpcSchemaEncoder::new()
            .with_dictionary_tracker(&mut tracker)
            .schema_to_fb_offset(&mut builder, &self.schema);
        let mut footer = FooterBuilder::new(&mut builder);
        footer.add_version(MetadataVersion::V5);
        footer.add_schema(schema);
        footer.add_dictionaries(dictionaries);
        footer.add_recordBatches(batches);
        let root = footer.finish();
        builder.finish(root, None);
        let footer = builder.finished_data();
        out.extend_from_slice(footer);
        out.extend_from_slice(&(footer.len() as i32).to_le_bytes());
        out.extend_from_slice(&MAGIC[..6]);
        Ok(out)
    }
}
