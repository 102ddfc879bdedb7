//! From a table to a file or a stream: groups are computed and encoded side by side, and written in
//! order.

mod run;
mod sink;

use std::time::{Duration, Instant};

use self::run::Run;
pub use self::sink::Output;
use self::sink::Sink;
use super::Table;
use super::columns::empty_batch;
use super::costs::Costs;
use super::encode::Format;
use super::error::Error;
use super::part::{Part, sum};

/// How far a run is. Told in order, after each group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Rows that stand in the table.
    pub rows: u64,
    /// Rows that stood there before this run.
    pub rows_before: u64,
    /// Rows in all.
    pub rows_in_all: u64,
}

/// What a run did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// Rows in the table.
    pub rows: u64,
    /// Rows of them that an earlier run had finished.
    pub rows_before: u64,
    /// Bytes of the table.
    pub bytes: u64,
    /// Where the time went.
    pub costs: Costs,
}

/// How a run ended that did not fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// The table is whole.
    Whole(Written),
    /// The caller asked to stop; what is finished is kept if the output is a file.
    Stopped(Progress),
}

/// Computes a table with a number of threads and writes it. `progress` hears of every group and
/// says whether to go on.
///
/// # Errors
/// What cannot be written, and rows that cannot be computed.
pub fn write(
    table: &Table,
    format: Format,
    threads: usize,
    output: Output<'_>,
    progress: &mut dyn FnMut(Progress) -> bool,
) -> Result<Done, Error> {
    write_part(table, &table.whole(), format, threads, output, progress)
}

/// Computes a part of a table and encodes it, as a table of its own. The same part gives the same
/// bytes.
///
/// # Errors
/// Rows that cannot be computed, or a part of another table.
pub fn encode_part(table: &Table, part: &Part, format: Format) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    let output = Output::Stream {
        name: part.to_string(),
        to: &mut bytes,
    };
    write_part(table, part, format, 1, output, &mut |_| true)?;
    Ok(bytes)
}

/// Computes a part of a table and writes it, as [`write()`] does with the whole.
///
/// # Errors
/// What cannot be written, rows that cannot be computed, or a part of another table.
pub fn write_part(
    table: &Table,
    part: &Part,
    format: Format,
    threads: usize,
    output: Output<'_>,
    progress: &mut dyn FnMut(Progress) -> bool,
) -> Result<Done, Error> {
    table.check_part(part)?;
    let slice = table.slice(part);
    let layout = &slice.layout;
    let encoder = format.encoder(&slice.schema)?;
    let names = empty_batch(&slice)?;
    let head = encoder.head(&names)?;
    let request = request(table, part, format);
    let mut sink = Sink::open(layout.groups(), request, output, &head)?;
    let rows_to = |groups: usize| -> u64 {
        (0..groups)
            .map(|index| layout.group(index).rows() as u64)
            .sum()
    };
    let mut now = Progress {
        rows: rows_to(sink.placed().len()),
        rows_before: rows_to(sink.placed().len()),
        rows_in_all: layout.rows(),
    };
    if !progress(now) {
        return Ok(Done::Stopped(now));
    }
    let first = sink.placed().len();
    let mut costs = Costs::default();
    let mut write = Duration::ZERO;
    let mut take = |index, group| {
        let begun = Instant::now();
        sink.push(group)?;
        write += begun.elapsed();
        now.rows += layout.group(index).rows() as u64;
        Ok(progress(now))
    };
    let run = Run {
        slice: &slice,
        encoder: &*encoder,
        threads: threads.max(1),
    };
    if !run.compute(first, &mut costs, &mut take)? {
        return Ok(Done::Stopped(now));
    }
    let begun = Instant::now();
    let tail = encoder.tail(&names, sink.placed())?;
    let bytes = sink.finish(&tail)?;
    costs.write = write + begun.elapsed();
    Ok(Done::Whole(Written {
        rows: now.rows,
        rows_before: now.rows_before,
        bytes,
        costs,
    }))
}

/// A number for all that bears on the bytes of an output.
fn request(table: &Table, part: &Part, format: Format) -> u64 {
    let mut sum = sum(table);
    sum.spell(format_args!("{format:?} {part:?}"));
    sum.0
}
