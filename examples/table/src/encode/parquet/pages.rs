//! The bytes of a group: the pages of its columns one after the other, and what the footer says of
//! each column.

use parquet::basic::{Compression, Encoding};
use parquet::column::page::{CompressedPage, Page, PageWriter};
use parquet::file::metadata::{ColumnChunkMetaData, LevelHistogram, PageEncodingStats};
use parquet::file::statistics::Statistics;
use parquet::file::writer::{SerializedPageWriter, TrackedWrite};
use parquet::schema::types::ColumnDescPtr;

use super::MAGIC;
use crate::error::{Error, encode_error};

/// The pages of a group, and room for the one at hand.
pub(super) struct Pages {
    out: TrackedWrite<Vec<u8>>,
    snappy: snap::raw::Encoder,
    compressed: Vec<u8>,
}

impl Pages {
    pub(super) fn with_capacity(bytes: usize) -> Self {
        Self {
            out: TrackedWrite::new(Vec::with_capacity(bytes)),
            snappy: snap::raw::Encoder::new(),
            compressed: Vec::new(),
        }
    }

    pub(super) fn into_bytes(self) -> Result<Vec<u8>, Error> {
        self.out.into_inner().map_err(encode_error)
    }

    fn compress(&mut self, bytes: &[u8]) -> Result<Vec<u8>, Error> {
        let most = snap::raw::max_compress_len(bytes.len());
        if self.compressed.len() < most {
            self.compressed.resize(most, 0);
        }
        let length = self
            .snappy
            .compress(bytes, &mut self.compressed)
            .map_err(encode_error)?;
        Ok(self.compressed[..length].to_vec())
    }
}

/// One column of a group.
pub(super) struct Chunk<'p> {
    pages: &'p mut Pages,
    column: ColumnDescPtr,
    rows: usize,
    dictionary_at: Option<i64>,
    data_at: Option<i64>,
    compressed_size: i64,
    size: i64,
    kinds: Vec<PageEncodingStats>,
}

/// What is known of the values of a column.
pub(super) struct Known {
    pub(super) statistics: Statistics,
    pub(super) nulls: usize,
    /// Bytes of its words, each counted as often as it stands there.
    pub(super) word_bytes: Option<i64>,
}

impl<'p> Chunk<'p> {
    pub(super) fn new(pages: &'p mut Pages, column: ColumnDescPtr) -> Self {
        Self {
            pages,
            column,
            rows: 0,
            dictionary_at: None,
            data_at: None,
            compressed_size: 0,
            size: 0,
            kinds: Vec::new(),
        }
    }

    /// Whether a value can be missing, so that each page says which are there.
    pub(super) fn is_nullable(&self) -> bool {
        self.column.max_def_level() > 0
    }

    /// The words that the pages to come refer to by number.
    pub(super) fn put_dictionary(&mut self, words: &[u8], count: usize) -> Result<(), Error> {
        let page = Page::DictionaryPage {
            buf: self.pages.compress(words)?.into(),
            num_values: count as u32,
            encoding: Encoding::PLAIN,
            is_sorted: false,
        };
        self.dictionary_at = Some(self.put(page, words.len())?);
        Ok(())
    }

    /// The values of some rows, with what says which are missing before them.
    pub(super) fn put_data(
        &mut self,
        rows: usize,
        encoding: Encoding,
        bytes: &[u8],
    ) -> Result<(), Error> {
        let page = Page::DataPage {
            buf: self.pages.compress(bytes)?.into(),
            num_values: rows as u32,
            encoding,
            def_level_encoding: Encoding::RLE,
            rep_level_encoding: Encoding::RLE,
            statistics: None,
        };
        let at = self.put(page, bytes.len())?;
        self.data_at.get_or_insert(at);
        self.rows += rows;
        Ok(())
    }

    /// Writes a page; tells where it stands if the group is the first of a file.
    fn put(&mut self, page: Page, size: usize) -> Result<i64, Error> {
        let (page_type, encoding) = (page.page_type(), page.encoding());
        let mut writer = SerializedPageWriter::new(&mut self.pages.out);
        let written = writer
            .write_page(CompressedPage::new(page, size))
            .map_err(encode_error)?;
        self.compressed_size += written.compressed_size as i64;
        self.size += written.uncompressed_size as i64;
        match self.kinds.last_mut() {
            Some(kind) if kind.page_type == page_type && kind.encoding == encoding => {
                kind.count += 1;
            }
            _ => self.kinds.push(PageEncodingStats {
                page_type,
                encoding,
                count: 1,
            }),
        }
        Ok(written.offset as i64 + MAGIC.len() as i64)
    }

    /// What the footer says of the column.
    pub(super) fn finish(self, known: Known) -> Result<ColumnChunkMetaData, Error> {
        let levels = self.is_nullable().then(|| LevelHistogram::try_new(1));
        let levels = levels.flatten().map(|mut levels| {
            levels.increment_by(0, known.nulls as i64);
            levels.increment_by(1, (self.rows - known.nulls) as i64);
            levels
        });
        // The levels, which have an encoding of their own, and those of the pages.
        let mut encodings = vec![Encoding::RLE];
        encodings.extend(self.kinds.iter().map(|kind| kind.encoding));
        ColumnChunkMetaData::builder(self.column)
            .set_compression(Compression::SNAPPY)
            .set_encodings(encodings)
            .set_page_encoding_stats(self.kinds)
            .set_total_compressed_size(self.compressed_size)
            .set_total_uncompressed_size(self.size)
            .set_num_values(self.rows as i64)
            .set_data_page_offset(self.data_at.unwrap_or_default())
            .set_dictionary_page_offset(self.dictionary_at)
            .set_statistics(known.statistics)
            .set_unencoded_byte_array_data_bytes(known.word_bytes)
            .set_definition_level_histogram(levels)
            .build()
            .map_err(encode_error)
    }
}
