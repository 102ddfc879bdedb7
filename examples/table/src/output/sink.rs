//! Where groups end up: a file that appears when it is whole, or a stream.

use std::io::{self, Write};
use std::path::PathBuf;

use wrackline_files::target::Target;

use crate::encode::{Encoded, Placed};
use crate::error::Error;
use crate::journal::{Found, Journal};

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

/// The written part of a table.
pub(super) enum Sink<'o> {
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
    pub(super) fn open(
        groups: usize,
        request: u64,
        output: Output<'o>,
        head: &[u8],
    ) -> Result<Self, Error> {
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

    pub(super) fn placed(&self) -> &[Placed] {
        match self {
            Self::File { journal, .. } => journal.placed(),
            Self::Stream { placed, .. } => placed,
        }
    }

    pub(super) fn push(&mut self, group: Encoded) -> Result<(), Error> {
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

    pub(super) fn finish(self, tail: &[u8]) -> Result<u64, Error> {
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
