//! A reader that gives only so much: a head is small, whatever the lengths in a file say.

use std::io::{self, Read, Seek, SeekFrom};

/// As much of one picture as is read, bytes. Heads have some tens of kilobytes, those with a large
/// preview some megabytes; our default.
const MOST: u64 = 64 << 20;

pub(super) struct Bounded<R> {
    inner: R,
    left: u64,
}

impl<R> Bounded<R> {
    pub(super) fn new(inner: R) -> Self {
        Self { inner, left: MOST }
    }
}

impl<R: Read> Read for Bounded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.left == 0 {
            let most = MOST >> 20;
            let what = format!("its head is larger than {most} MB");
            return Err(io::Error::other(what));
        }
        let most = usize::try_from(self.left).unwrap_or(usize::MAX);
        let most = buffer.len().min(most);
        let read = self.inner.read(&mut buffer[..most])?;
        self.left -= read as u64;
        Ok(read)
    }
}

impl<R: Seek> Seek for Bounded<R> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.inner.seek(to)
    }
}
