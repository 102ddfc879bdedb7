//! The few fields of a TIFF file that are asked for, copied into a small file of their own.
//!
//! A raw file is tens of megabytes of image, a panorama gigabytes, and its directories may lie
//! anywhere in it. So the file is walked by its offsets (TIFF 6.0, section 2; Exif 3.0, section
//! 4.6) and nothing else of it is read.

use std::io::{self, Read, Seek, SeekFrom};

/// XMP in TIFF (XMP specification part 3, section 3.4), and the rating that some systems write
/// beside it.
const XMP: u16 = 700;
const RATING: u16 = 0x4746;
/// The offset of the directory that holds what Exif adds.
const EXIF: u16 = 0x8769;
const IN_FIRST: [u16; 2] = [XMP, RATING];
/// Capture time, its offset and its fraction, focal length.
const IN_EXIF: [u16; 4] = [0x9003, 0x9011, 0x9291, 0x920a];
/// The longest value that is read, bytes: no packet of ratings is as long.
const LONGEST: u64 = 4 << 20;

struct Entry {
    tag: u16,
    kind: u16,
    count: u32,
    value: Vec<u8>,
}

#[derive(Clone, Copy)]
struct Order {
    little: bool,
}

impl Order {
    fn two(self, bytes: [u8; 2]) -> u16 {
        if self.little {
            u16::from_le_bytes(bytes)
        } else {
            u16::from_be_bytes(bytes)
        }
    }

    fn four(self, bytes: [u8; 4]) -> u32 {
        if self.little {
            u32::from_le_bytes(bytes)
        } else {
            u32::from_be_bytes(bytes)
        }
    }

    fn push_two(self, out: &mut Vec<u8>, value: u16) {
        out.extend(if self.little {
            value.to_le_bytes()
        } else {
            value.to_be_bytes()
        });
    }

    fn push_four(self, out: &mut Vec<u8>, value: u32) {
        out.extend(if self.little {
            value.to_le_bytes()
        } else {
            value.to_be_bytes()
        });
    }
}

/// Whether a file begins as TIFF does: the order of bytes, and 42 in it (TIFF 6.0, section 2).
pub(super) fn is_tiff(start: &[u8]) -> bool {
    start.starts_with(b"II*\0") || start.starts_with(b"MM\0*")
}

/// A TIFF file of the fields that are asked for.
///
/// # Errors
/// What the system refuses, and a directory that lies beyond the end of the file.
pub(super) fn essence(file: &mut (impl Read + Seek)) -> io::Result<Vec<u8>> {
    file.seek(SeekFrom::Start(0))?;
    let mut head = [0; 8];
    file.read_exact(&mut head)?;
    let order = Order {
        little: head.starts_with(b"II"),
    };
    let [.., a, b, c, d] = head;
    let first = directory(file, order, order.four([a, b, c, d]), |tag| {
        IN_FIRST.contains(&tag) || tag == EXIF
    })?;
    let exif = match first.iter().find(|entry| entry.tag == EXIF) {
        Some(entry) => match entry.value.first_chunk() {
            Some(at) => directory(file, order, order.four(*at), |tag| IN_EXIF.contains(&tag))?,
            None => Vec::new(),
        },
        None => Vec::new(),
    };
    let first: Vec<Entry> = first
        .into_iter()
        .filter(|entry| entry.tag != EXIF)
        .collect();
    Ok(written(order, &head[..4], first, exif))
}

/// The entries of the directory at an offset that `wanted` picks.
fn directory(
    file: &mut (impl Read + Seek),
    order: Order,
    at: u32,
    wanted: impl Fn(u16) -> bool,
) -> io::Result<Vec<Entry>> {
    file.seek(SeekFrom::Start(u64::from(at)))?;
    let mut count = [0; 2];
    file.read_exact(&mut count)?;
    let mut raw = Vec::new();
    let length = 12 * u64::from(order.two(count));
    // A directory that is cut off still holds what stands before.
    file.take(length).read_to_end(&mut raw)?;
    let mut found: Vec<Entry> = Vec::new();
    for [t0, t1, k0, k1, c0, c1, c2, c3, value @ ..] in raw.as_chunks::<12>().0 {
        let (tag, kind) = (order.two([*t0, *t1]), order.two([*k0, *k1]));
        let count = order.four([*c0, *c1, *c2, *c3]);
        let length = width(kind) * u64::from(count);
        let again = found.iter().any(|entry| entry.tag == tag);
        if !wanted(tag) || again || length == 0 || length > LONGEST {
            continue;
        }
        let value = if length <= 4 {
            value[..length as usize].to_vec()
        } else {
            let mut bytes = Vec::new();
            file.seek(SeekFrom::Start(u64::from(order.four(*value))))?;
            file.take(length).read_to_end(&mut bytes)?;
            bytes
        };
        // A value beyond the end of the file is none.
        if value.len() as u64 == length {
            found.push(Entry {
                tag,
                kind,
                count,
                value,
            });
        }
    }
    Ok(found)
}

/// Bytes of one value of a kind (TIFF 6.0, section 2); 0 for what is no kind.
fn width(kind: u16) -> u64 {
    match kind {
        1 | 2 | 6 | 7 => 1,
        3 | 8 => 2,
        4 | 9 | 11 => 4,
        5 | 10 | 12 => 8,
        _ => 0,
    }
}

fn written(order: Order, head: &[u8], mut first: Vec<Entry>, exif: Vec<Entry>) -> Vec<u8> {
    const HEAD: usize = 8;
    let length = |entries: usize| 2 + 12 * entries + 4;
    let exif_at = HEAD + length(first.len() + 1);
    let mut data_at = exif_at + length(exif.len());
    first.push(Entry {
        tag: EXIF,
        kind: 4,
        count: 1,
        value: {
            let mut value = Vec::new();
            order.push_four(&mut value, exif_at as u32);
            value
        },
    });
    let mut out = head.to_vec();
    order.push_four(&mut out, HEAD as u32);
    let mut data = Vec::new();
    for entries in [first, exif] {
        order.push_two(&mut out, entries.len() as u16);
        for Entry {
            tag,
            kind,
            count,
            mut value,
        } in entries
        {
            order.push_two(&mut out, tag);
            order.push_two(&mut out, kind);
            order.push_four(&mut out, count);
            if value.len() <= 4 {
                value.resize(4, 0);
                out.extend(value);
            } else {
                order.push_four(&mut out, data_at as u32);
                data_at += value.len();
                data.extend(value);
            }
        }
        order.push_four(&mut out, 0);
    }
    out.extend(data);
    out
}
