//! When a picture was taken, and how it was judged, from the head of its file. Files are opened for
//! reading only.
//!
//! Of a JPEG file only the segments before the image are read (ITU-T T.81, annex B; Exif 3.0,
//! section 4.7). Other containers that hold Exif (TIFF and the raw formats built on it, HEIF, PNG,
//! WebP) are left to the Exif reader.

use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use exif::{Exif, In, Tag, Value};
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::{Offset, TimeZone};

use super::bounded::Bounded;
use super::{tiff, xmp};

/// What the head of a picture's file says.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// What the camera's clock showed.
    pub clock: DateTime,
    /// The offset from UTC that the camera was set to, where it wrote one.
    pub offset: Option<Offset>,
    /// Focal length of the lens, millimetres.
    pub focal_length_mm: Option<f64>,
    /// XMP rating: -1 rejected, 0 unrated, 1 to 5.
    pub rating: Option<i8>,
    /// XMP keywords (`dc:subject`).
    pub keywords: Vec<String>,
}

impl Head {
    /// The instant, before the clock is corrected. A camera without an offset is taken to have
    /// shown the time of `zone`; `None` of an hour that its clocks repeat or skip: guessing would
    /// move the visit by an hour against the tide.
    pub fn instant(&self, zone: &TimeZone) -> Option<Timestamp> {
        match self.offset {
            Some(offset) => offset.to_timestamp(self.clock).ok(),
            None => zone.to_ambiguous_timestamp(self.clock).unambiguous().ok(),
        }
    }

    /// Why there is no instant.
    pub fn no_instant(&self, zone: &TimeZone) -> String {
        let ambiguous = zone.to_ambiguous_timestamp(self.clock).is_ambiguous();
        if self.offset.is_none() && ambiguous {
            format!(
                "shows {}, an hour that the clocks repeat or skip there; say what the camera was \
                 set to with --camera-offset, like +01:00",
                self.clock
            )
        } else {
            "has a capture time outside the calendar".to_owned()
        }
    }
}

/// Why a picture's head could not be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum HeadError {
    /// The file could not be read.
    #[error("cannot be read: {0}")]
    Io(io::Error),
    /// The file ends before its image begins.
    #[error("is cut off in its head; copy it again from the card")]
    CutOff,
    /// The file's name says picture, its bytes do not.
    #[error("is not what its name says: {0}")]
    NotAPicture(String),
    /// There is no capture time.
    #[error("holds no capture time ({0})")]
    NoTime(String),
}

/// Endings of the names of files that are looked at.
const JPEG: [&str; 2] = ["jpg", "jpeg"];
const CONTAINERS: [&str; 6] = ["tif", "tiff", "heic", "heif", "png", "webp"];

pub(super) fn ending(path: &Path) -> String {
    path.extension()
        .map(|ending| ending.to_string_lossy().to_lowercase())
        .unwrap_or_default()
}

/// Whether a file is a picture that can be read: by its name, or because it begins as TIFF does, on
/// which most raw formats are built.
pub fn is_picture(path: &Path) -> bool {
    let ending = ending(path);
    JPEG.contains(&ending.as_str())
        || CONTAINERS.contains(&ending.as_str())
        || (ending != "xmp" && open_file(path).is_ok_and(|mut file| begins_as_tiff(&mut file)))
}

fn begins_as_tiff(picture: &mut (impl Read + Seek)) -> bool {
    let mut start = [0; 4];
    let read = picture.read_exact(&mut start);
    picture.rewind().is_ok() && read.is_ok() && tiff::is_tiff(&start)
}

/// Reads the head of a picture's file, and the rating and the keywords in a sidecar beside it,
/// which go before those inside: whoever keeps sidecars rates there.
///
/// # Errors
/// A file that cannot be read, is cut off or holds no capture time.
pub fn read(path: &Path) -> Result<Head, HeadError> {
    let file = open_file(path).map_err(HeadError::Io)?;
    let mut head = read_from(file, JPEG.contains(&ending(path).as_str()))?;
    if let Some(packet) = sidecar(path, |packet| xmp::rating_of_bytes(packet).is_some()) {
        head.rating = xmp::rating_of_bytes(&packet);
    }
    if let Some(packet) = sidecar(path, |packet| !xmp::keywords_of_bytes(packet).is_empty()) {
        head.keywords = xmp::keywords_of_bytes(&packet);
    }
    Ok(head)
}

/// Reads the head of a picture, wherever it lies; `is_jpeg` says what its name says.
///
/// # Errors
/// As [`read`].
pub fn read_from(picture: impl Read + Seek, is_jpeg: bool) -> Result<Head, HeadError> {
    // Heads are some tens of kilobytes, most of it a thumbnail that is read in one go.
    let mut picture = BufReader::with_capacity(16 * 1024, Bounded::new(picture));
    let (exif, packet) = if is_jpeg {
        let segments = jpeg_segments(&mut picture)?;
        let tiff = segments
            .exif
            .ok_or_else(|| HeadError::NoTime("no Exif in it".to_owned()))?;
        let exif = whole_or_part(reader().read_raw(tiff))?;
        (exif, segments.xmp)
    } else if begins_as_tiff(&mut picture) {
        let essence = tiff::essence(&mut picture).map_err(cut_off)?;
        let exif = whole_or_part(reader().read_raw(essence))?;
        let packet = exif.get_field(XMP_IN_TIFF, In::PRIMARY).and_then(bytes_of);
        (exif, packet)
    } else {
        let packet = webp_packet(&mut picture);
        picture.seek(SeekFrom::Start(0)).map_err(HeadError::Io)?;
        let exif = reader().read_from_container(&mut picture);
        (whole_or_part(exif)?, packet)
    };
    let (clock, offset) = capture_time(&exif)?;
    let embedded = packet.as_deref().and_then(xmp::rating_of_bytes);
    Ok(Head {
        clock,
        offset,
        focal_length_mm: focal_length(&exif),
        rating: embedded.or_else(|| exif_rating(&exif)),
        keywords: packet
            .as_deref()
            .map_or_else(Vec::new, xmp::keywords_of_bytes),
    })
}

/// Opens what is a file: a pipe of the name of a picture would be waited for.
fn open_file(path: &Path) -> io::Result<File> {
    if std::fs::metadata(path)?.is_file() {
        File::open(path)
    } else {
        Err(io::Error::other("it is not a file"))
    }
}

/// Goes on after what is broken: some writers leave out the link to the next directory, and what
/// stands before it is whole.
fn reader() -> exif::Reader {
    let mut reader = exif::Reader::new();
    reader.continue_on_error(true);
    reader
}

fn whole_or_part(read: Result<Exif, exif::Error>) -> Result<Exif, HeadError> {
    match read {
        Ok(exif) => Ok(exif),
        Err(exif::Error::PartialResult(part)) => Ok(part.into_inner().0),
        Err(exif::Error::Io(error)) => Err(cut_off(error)),
        Err(other) => Err(HeadError::NoTime(other.to_string())),
    }
}

/// XMP in TIFF (XMP specification part 3, section 3.4), and the rating in Exif that some systems
/// write beside it.
const XMP_IN_TIFF: Tag = Tag(exif::Context::Tiff, 700);
const RATING: Tag = Tag(exif::Context::Tiff, 0x4746);

fn bytes_of(field: &exif::Field) -> Option<Vec<u8>> {
    match &field.value {
        Value::Byte(bytes) | Value::Undefined(bytes, _) => Some(bytes.clone()),
        _ => None,
    }
}

fn exif_rating(exif: &Exif) -> Option<i8> {
    let rating = exif.get_field(RATING, In::PRIMARY)?.value.get_uint(0)?;
    i8::try_from(rating).ok().filter(|rating| *rating <= 5)
}

/// The XMP packet of a WebP file (RFC 9649, section 2.7.1.5): a chunk of its own among the others.
/// `None` for any other file.
fn webp_packet(reader: &mut BufReader<impl Read + Seek>) -> Option<Vec<u8>> {
    let mut head = [0; 12];
    reader.read_exact(&mut head).ok()?;
    if !head.starts_with(b"RIFF") || !head.ends_with(b"WEBP") {
        return None;
    }
    loop {
        let mut chunk = [0; 8];
        reader.read_exact(&mut chunk).ok()?;
        let [name @ .., a, b, c, d] = chunk;
        let length = u32::from_le_bytes([a, b, c, d]);
        if name == *b"XMP " {
            let mut packet = Vec::new();
            let most = u64::from(length).min(LARGEST_SIDECAR);
            reader.take(most).read_to_end(&mut packet).ok()?;
            return Some(packet);
        }
        // Chunks are padded to an even length.
        reader
            .seek_relative(i64::from(length) + i64::from(length % 2))
            .ok()?;
    }
}

#[derive(Default)]
struct Segments {
    exif: Option<Vec<u8>>,
    xmp: Option<Vec<u8>>,
}

const EXIF_NAME: &[u8] = b"Exif\0\0";
const XMP_NAME: &[u8] = b"http://ns.adobe.com/xap/1.0/\0";

fn jpeg_segments(reader: &mut (impl Read + Seek)) -> Result<Segments, HeadError> {
    let mut segments = Segments::default();
    if two(reader)? != [0xff, 0xd8] {
        return Err(HeadError::NotAPicture(
            "no JPEG begins like this".to_owned(),
        ));
    }
    loop {
        let marker = next_marker(reader)?;
        match marker {
            // The image, or the end: nothing more to be learnt.
            0xda | 0xd9 => return Ok(segments),
            // These stand alone.
            0x01 | 0xd0..=0xd7 => continue,
            _ => {}
        }
        let length = u16::from_be_bytes(two(reader)?).checked_sub(2);
        let length = length.ok_or_else(|| {
            HeadError::NotAPicture("a segment shorter than its own length".to_owned())
        })?;
        // APP1 holds Exif and XMP; once both are found the rest can be left unread.
        if marker == 0xe1 && (segments.exif.is_none() || segments.xmp.is_none()) {
            let mut bytes = vec![0; usize::from(length)];
            reader.read_exact(&mut bytes).map_err(cut_off)?;
            if let Some(tiff) = bytes.strip_prefix(EXIF_NAME) {
                segments.exif.get_or_insert_with(|| tiff.to_vec());
            } else if let Some(packet) = bytes.strip_prefix(XMP_NAME) {
                segments.xmp.get_or_insert_with(|| packet.to_vec());
            }
        } else {
            reader.seek_relative(i64::from(length)).map_err(cut_off)?;
        }
    }
}

fn two(reader: &mut impl Read) -> Result<[u8; 2], HeadError> {
    let mut bytes = [0; 2];
    reader.read_exact(&mut bytes).map_err(cut_off)?;
    Ok(bytes)
}

/// Markers begin with 0xff, of which any number may come first.
fn next_marker(reader: &mut impl Read) -> Result<u8, HeadError> {
    let [first, mut marker] = two(reader)?;
    if first != 0xff {
        return Err(HeadError::NotAPicture(
            "a segment is not where it should be".to_owned(),
        ));
    }
    while marker == 0xff {
        let mut byte = [0];
        reader.read_exact(&mut byte).map_err(cut_off)?;
        [marker] = byte;
    }
    Ok(marker)
}

fn cut_off(error: io::Error) -> HeadError {
    if error.kind() == io::ErrorKind::UnexpectedEof {
        HeadError::CutOff
    } else {
        HeadError::Io(error)
    }
}

fn ascii(exif: &Exif, tag: Tag) -> Option<&[u8]> {
    match &exif.get_field(tag, In::PRIMARY)?.value {
        Value::Ascii(texts) => texts.first().map(Vec::as_slice),
        _ => None,
    }
}

/// The capture time with its fraction and its offset. The time of the last change is no substitute:
/// it moves with editing.
fn capture_time(exif: &Exif) -> Result<(DateTime, Option<Offset>), HeadError> {
    let text = ascii(exif, Tag::DateTimeOriginal)
        .ok_or_else(|| HeadError::NoTime("the field is missing".to_owned()))?;
    let shown = || String::from_utf8_lossy(text).into_owned();
    let mut read = exif::DateTime::from_ascii(text)
        .map_err(|_| HeadError::NoTime(format!("it says '{}'", shown())))?;
    if let Some(fraction) = ascii(exif, Tag::SubSecTimeOriginal) {
        // A fraction that makes no sense costs less than a second.
        let _ = read.parse_subsec(fraction);
    }
    if let Some(offset) = ascii(exif, Tag::OffsetTimeOriginal) {
        // A blank offset is written by cameras that do not know it.
        let _ = read.parse_offset(offset);
    }
    let part = |value: u8| i8::try_from(value).unwrap_or(-1);
    let clock = DateTime::new(
        i16::try_from(read.year).unwrap_or(-1),
        part(read.month),
        part(read.day),
        part(read.hour),
        part(read.minute),
        part(read.second),
        read.nanosecond
            .and_then(|nanosecond| i32::try_from(nanosecond).ok())
            .unwrap_or(0),
    )
    .map_err(|_| HeadError::NoTime(format!("it says '{}'", shown())))?;
    let offset = read
        .offset
        .and_then(|minutes| Offset::from_seconds(i32::from(minutes) * 60).ok());
    Ok((clock, offset))
}

fn focal_length(exif: &Exif) -> Option<f64> {
    let Value::Rational(values) = &exif.get_field(Tag::FocalLength, In::PRIMARY)?.value else {
        return None;
    };
    let length = values.first()?.to_f64();
    (length.is_finite() && length > 0.0).then_some(length)
}

/// The largest sidecar that is read, bytes.
const LARGEST_SIDECAR: u64 = 4 << 20;

/// The packet of the first sidecar that tells what is looked for. The one that carries the whole
/// name of the picture goes first: where a camera writes two files of one stem, the other name is
/// that of either.
fn sidecar(path: &Path, tells: impl Fn(&[u8]) -> bool) -> Option<Vec<u8>> {
    let whole_name = |ending: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        PathBuf::from(name)
    };
    let beside = [
        whole_name(".xmp"),
        whole_name(".XMP"),
        path.with_extension("xmp"),
        path.with_extension("XMP"),
    ];
    beside.iter().find_map(|sidecar| {
        let mut packet = Vec::new();
        open_file(sidecar)
            .ok()?
            .take(LARGEST_SIDECAR)
            .read_to_end(&mut packet)
            .ok()?;
        tells(&packet).then_some(packet)
    })
}
