//! From a table to a file or a stream: groups are computed and encoded side by side, and written in
//! order.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use arrow_schema::Metadata;

use super::Table;
use super::columns::empty_batch;
use super::costs::Costs;
use super::encode::{Encoded, Encoder, Format, Placed};
use super::error::Error;
use super::fill::Worker;
use super::journal::{Found, Journal};
use super::part::{Part, Slice, sum};
use super::sky::Skies;
use wrackline_files::target::Target;
use wrackline_plan::cautions;

/// Where a table goes.
#[allow(missing_debug_implementations)] // A stream has no debug form.
pub enum Output<'o> {
    /// To a file, which appears under its name when it is whole.
    File {
        /// Its path; a link stays, and what it leads to is replaced.
        path: PathBuf,
        /// Throw away an unfinished table of that name instead of going on with it.
        restart: bool,
    },
    /// To a stream, from the start.
    Stream {
        /// What messages call it.
        name: String,
        /// The stream.
        to: &'o mut dyn Write,
    },
}

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

/// What a table says of itself: so that the rows need not.
pub(super) fn metadata(table: &Table) -> Metadata {
    let spec = &table.spec;
    let mut pairs = vec![
        ("wrackline:table".to_owned(), "visibility".to_owned()),
        ("wrackline:cautions".to_owned(), cautions::ALL.join("\n")),
        (
            "wrackline:near_turn_s".to_owned(),
            spec.near_turn.as_secs().to_string(),
        ),
    ];
    if let Some(scenario) = &spec.scenario {
        pairs.push(("wrackline:scenario".to_owned(), scenario.title().to_owned()));
        if let Some(tide) = scenario.tide() {
            pairs.push(("wrackline:port".to_owned(), tide.name.clone()));
            pairs.push(("wrackline:datum".to_owned(), tide.datum.clone()));
        }
        let wish = spec.places.spots.iter().find_map(|spot| spot.wish);
        if let Some(wish) = wish {
            let light = scenario.lights()[wish.light].name.clone();
            pairs.push(("wrackline:light".to_owned(), light));
        }
    }
    pairs.into_iter().collect()
}

/// A number for all that bears on the bytes of an output.
fn request(table: &Table, part: &Part, format: Format) -> u64 {
    let mut sum = sum(table);
    // Summing cannot fail.
    let _ = write!(sum, "{format:?} {part:?}");
    sum.0
}

/// The written part of a table.
enum Sink<'o> {
    File {
        journal: Box<Journal>,
        name: String,
        groups: usize,
    },
    Stream {
        to: &'o mut dyn Write,
        name: String,
        end: u64,
        placed: Vec<Placed>,
        groups: usize,
    },
}

impl<'o> Sink<'o> {
    fn open(groups: usize, request: u64, output: Output<'o>, head: &[u8]) -> Result<Self, Error> {
        match output {
            Output::File { path, restart } => {
                let name = path.display().to_string();
                let failed = |source| Error::Write {
                    target: name.clone(),
                    finished: 0,
                    groups,
                    kept: false,
                    source,
                };
                let path = match Target::of(&path).map_err(failed)? {
                    Target::File(path) => path,
                    Target::Stream(_) => {
                        return Err(failed(io::Error::other(
                            "it is a pipe or a device, which no finished file can replace",
                        )));
                    }
                };
                match Journal::open(&path, request, head, restart) {
                    Ok(Found::Ready(journal)) => Ok(Self::File {
                        journal: Box::new(journal),
                        name,
                        groups,
                    }),
                    Ok(Found::Other(path)) => Err(Error::OtherRequest { path }),
                    Ok(Found::Foreign(path)) => Err(Error::Foreign { path }),
                    Ok(Found::Busy(path)) => Err(Error::Busy { path }),
                    Err(source) => Err(failed(source)),
                }
            }
            Output::Stream { name, to } => {
                let mut sink = Self::Stream {
                    to,
                    name,
                    end: head.len() as u64,
                    placed: Vec::new(),
                    groups,
                };
                if let Self::Stream { to, .. } = &mut sink
                    && let Err(error) = to.write_all(head)
                {
                    return Err(sink.failed(error));
                }
                Ok(sink)
            }
        }
    }

    fn placed(&self) -> &[Placed] {
        match self {
            Self::File { journal, .. } => journal.placed(),
            Self::Stream { placed, .. } => placed,
        }
    }

    fn push(&mut self, group: Encoded) -> Result<(), Error> {
        let Encoded { bytes, note } = group;
        let written = match self {
            Self::File { journal, .. } => journal.push(&bytes, note),
            Self::Stream {
                to, end, placed, ..
            } => to.write_all(&bytes).map(|()| {
                placed.push(Placed {
                    offset: *end,
                    length: bytes.len() as u64,
                    note,
                });
                *end += bytes.len() as u64;
            }),
        };
        written.map_err(|error| self.failed(error))
    }

    fn finish(self, tail: &[u8]) -> Result<u64, Error> {
        match self {
            Self::File {
                journal,
                name,
                groups,
            } => journal.finish(tail).map_err(|source| Error::Write {
                target: name,
                finished: groups,
                groups,
                kept: true,
                source,
            }),
            Self::Stream { ref end, .. } => {
                let end = *end + tail.len() as u64;
                let mut this = self;
                let Self::Stream { to, .. } = &mut this else {
                    return Ok(end);
                };
                match to.write_all(tail).and_then(|()| to.flush()) {
                    Ok(()) => Ok(end),
                    Err(error) => Err(this.failed(error)),
                }
            }
        }
    }

    fn failed(&self, source: io::Error) -> Error {
        let (name, groups, kept) = match self {
            Self::File { name, groups, .. } => (name, groups, true),
            Self::Stream { name, groups, .. } => (name, groups, false),
        };
        Error::Write {
            target: name.clone(),
            finished: self.placed().len(),
            groups: *groups,
            kept,
            source,
        }
    }
}

/// Groups on their way from the threads that compute them to the one that writes them.
#[derive(Default)]
struct Belt {
    /// The next group to be computed.
    next: usize,
    /// The group that is to be written next.
    wanted: usize,
    ready: BTreeMap<usize, Result<Encoded, Error>>,
    stopped: bool,
    costs: Costs,
}

fn lock(belt: &Mutex<Belt>) -> MutexGuard<'_, Belt> {
    belt.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What the threads of a run share.
struct Run<'r> {
    slice: &'r Slice<'r>,
    encoder: &'r dyn Encoder,
    threads: usize,
}

impl Run<'_> {
    /// Computes the groups from `first` on and hands them over in order, until one is refused;
    /// tells whether all went through.
    fn compute(
        &self,
        first: usize,
        costs: &mut Costs,
        take: &mut dyn FnMut(usize, Encoded) -> Result<bool, Error>,
    ) -> Result<bool, Error> {
        let groups = self.slice.layout.groups();
        let skies = Skies::default();
        let belt = Mutex::new(Belt {
            next: first,
            wanted: first,
            ..Belt::default()
        });
        let (moved, made) = (Condvar::new(), Condvar::new());
        let whole = std::thread::scope(|scope| {
            for _ in 0..self.threads {
                scope.spawn(|| self.work(&skies, &belt, &moved, &made));
            }
            let stop = |result| {
                lock(&belt).stopped = true;
                moved.notify_all();
                result
            };
            for index in first..groups {
                let mut held = made
                    .wait_while(lock(&belt), |belt| !belt.ready.contains_key(&index))
                    .unwrap_or_else(PoisonError::into_inner);
                let ready = held.ready.remove(&index);
                held.wanted = index + 1;
                drop(held);
                moved.notify_all();
                let Some(encoded) = ready else { continue };
                match encoded.and_then(|encoded| take(index, encoded)) {
                    Ok(true) => {}
                    Ok(false) => return stop(Ok(index + 1 == groups)),
                    Err(error) => return stop(Err(error)),
                }
            }
            Ok(true)
        });
        costs.add(&lock(&belt).costs);
        whole
    }

    /// One thread: takes up the next group until there is none. Only two groups more than there are
    /// threads are in hand, so that a slow reader does not fill the memory.
    fn work(&self, skies: &Skies, belt: &Mutex<Belt>, moved: &Condvar, made: &Condvar) {
        let groups = self.slice.layout.groups();
        let in_hand = self.threads + 2;
        let mut worker = Worker::default();
        loop {
            let mut held = moved
                .wait_while(lock(belt), |belt| {
                    !belt.stopped && belt.next < groups && belt.next >= belt.wanted + in_hand
                })
                .unwrap_or_else(PoisonError::into_inner);
            if held.stopped || held.next >= groups {
                held.costs.add(&worker.costs);
                return;
            }
            let index = held.next;
            held.next += 1;
            drop(held);
            let group = self.slice.layout.group(index);
            let batch = worker.batch(self.slice, skies, &group);
            let begun = Instant::now();
            let encoded = batch.and_then(|batch| self.encoder.group(&batch));
            worker.costs.encode += begun.elapsed();
            lock(belt).ready.insert(index, encoded);
            made.notify_all();
        }
    }
}
