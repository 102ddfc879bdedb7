//! Columns of a few values in many rows: each value stands once, and rows name it by a number.
//! Rows come as runs of one key, so that a word is looked up once a run and never compared.

use std::collections::HashMap;

use arrow_array::Array;
use parquet::basic::Encoding;
use parquet::data_type::ByteArray;
use parquet::file::metadata::ColumnChunkMetaData;
use parquet::file::statistics::{Statistics, ValueStatistics};

use super::column::{PAGE_ROWS, present, put_levels};
use super::hybrid::Hybrid;
use super::pages::{Chunk, Known};
use crate::error::{Error, encode_error};

/// Keys in a row; `None` where they are missing. What stands for them are numbers in the order of
/// their first use.
#[derive(Debug, Default)]
pub(super) struct Runs {
    runs: Vec<(Option<u32>, usize)>,
    /// The key of each number.
    keys: Vec<i32>,
    /// The number of each key; not asked for the first few, which a look through `keys` finds as
    /// soon.
    numbers: HashMap<i32, u32>,
}

/// Keys that are found by a look at each.
const FEW: usize = 16;

impl Runs {
    /// The runs of a column with these keys.
    pub(super) fn new<K: Copy + PartialEq + Into<i32>>(array: &dyn Array, keys: &[K]) -> Self {
        let mut runs = Self::default();
        for (is_there, rows) in present(array, 0..keys.len()) {
            if is_there {
                for run in keys[rows].chunk_by(|one, next| one == next) {
                    let number = runs.number(run[0].into());
                    runs.runs.push((Some(number), run.len()));
                }
            } else {
                runs.runs.push((None, rows.len()));
            }
        }
        runs
    }

    fn number(&mut self, key: i32) -> u32 {
        if let Some(number) = self.keys.iter().take(FEW).position(|known| *known == key) {
            return number as u32;
        }
        let next = self.keys.len() as u32;
        let number = *self.numbers.entry(key).or_insert(next);
        if number == next {
            self.keys.push(key);
        }
        number
    }

    fn nulls(&self) -> usize {
        let missing = self.runs.iter().filter(|(number, _)| number.is_none());
        missing.map(|(_, count)| count).sum()
    }

    /// Writes the pages that name the values by number.
    fn put_pages(&self, chunk: &mut Chunk<'_>) -> Result<(), Error> {
        let greatest = self.keys.len().saturating_sub(1) as u32;
        let mut runs = self.runs.iter().copied().peekable();
        let mut rest = 0;
        while runs.peek().is_some() {
            let mut levels = Vec::new();
            let mut numbers = Hybrid::up_to(greatest);
            let mut room = PAGE_ROWS;
            while let Some((number, count)) = runs.peek().filter(|_| room > 0) {
                let left = count - rest;
                let taken = left.min(room);
                if let Some(number) = *number {
                    numbers.repeat(number, taken);
                }
                levels.push((number.is_some(), taken));
                room -= taken;
                if taken == left {
                    runs.next();
                    rest = 0;
                } else {
                    rest += taken;
                }
            }
            let mut page = Vec::new();
            if chunk.is_nullable() {
                put_levels(levels.into_iter(), &mut page);
            }
            page.push(numbers.bits() as u8);
            page.append(&mut numbers.finish());
            chunk.put_data(PAGE_ROWS - room, Encoding::RLE_DICTIONARY, &page)?;
        }
        Ok(())
    }
}

/// A column of words.
pub(super) fn words(
    mut chunk: Chunk<'_>,
    runs: &Runs,
    words: &dyn Array,
) -> Result<ColumnChunkMetaData, Error> {
    use arrow_array::cast::AsArray;
    let known = words.as_string_opt::<i32>();
    let known = known.ok_or_else(|| encode_error("words that are no text"))?;
    let used: Vec<&str> = runs
        .keys
        .iter()
        .map(|key| known.value(*key as usize))
        .collect();
    let mut dictionary = Vec::new();
    for word in &used {
        dictionary.extend_from_slice(&(word.len() as u32).to_le_bytes());
        dictionary.extend_from_slice(word.as_bytes());
    }
    chunk.put_dictionary(&dictionary, used.len())?;
    runs.put_pages(&mut chunk)?;
    let end = |word: Option<&&str>| word.map(|word| ByteArray::from(*word));
    let nulls = runs.nulls();
    let bytes = runs.runs.iter().map(|(number, count)| {
        let length = number.map_or(0, |number| used[number as usize].len());
        (length * count) as i64
    });
    let known = Known {
        statistics: Statistics::ByteArray(ValueStatistics::new(
            end(used.iter().min()),
            end(used.iter().max()),
            None,
            Some(nulls as u64),
            false,
        )),
        nulls,
        word_bytes: Some(bytes.sum()),
    };
    chunk.finish(known)
}

/// A column of whole numbers that are mostly the same.
pub(super) fn wholes(mut chunk: Chunk<'_>, runs: &Runs) -> Result<ColumnChunkMetaData, Error> {
    let values: Vec<u8> = runs.keys.iter().flat_map(|key| key.to_le_bytes()).collect();
    chunk.put_dictionary(&values, runs.keys.len())?;
    runs.put_pages(&mut chunk)?;
    let nulls = runs.nulls();
    let statistics = ValueStatistics::new(
        runs.keys.iter().min().copied(),
        runs.keys.iter().max().copied(),
        None,
        Some(nulls as u64),
        false,
    );
    chunk.finish(Known {
        statistics: Statistics::Int32(statistics.with_backwards_compatible_min_max(true)),
        nulls,
        word_bytes: None,
    })
}
