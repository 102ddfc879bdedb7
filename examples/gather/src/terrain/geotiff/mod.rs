//! GeoTIFF: strips and tiles of heights, packed or not, with keys that say where they lie.

mod keys;

use std::io::{Read, Seek};

use tiff::ColorType;
use tiff::decoder::{Decoder, DecodingResult};
use tiff::tags::Tag;
use tiff::{TiffError, TiffResult};

use self::keys::Keys;
use super::error::{Error, unknown};
use super::frame::Frame;
use super::grid::{Filling, Raster};

/// Ways of packing that are read: none, LZW, Deflate by both numbers, runs of bytes.
const PACKED: [u32; 5] = [1, 5, 8, 32_946, 32_773];
/// The tag in which some writers say that values are scaled.
const METADATA: Tag = Tag::Unknown(42_112);

/// A file whose head has been read.
pub(super) struct GeoTiff<R: Read + Seek> {
    file: String,
    decoder: Decoder<R>,
    pub(super) raster: Raster,
    void: Option<f64>,
    unit_m: f64,
}

/// Reads what a file says about itself, before any height.
pub(super) fn open<R: Read + Seek>(file: &str, mut from: R) -> Result<(GeoTiff<R>, Frame), Error> {
    // The decoder takes what it reads from; where it gave up, a second look at the start tells.
    let mut start = [0; 4];
    let known = from.read_exact(&mut start).is_ok()
        && matches!(
            &start,
            b"II\x2a\0" | b"MM\0\x2a" | b"II\x2b\0" | b"MM\0\x2b"
        );
    if !known || from.rewind().is_err() {
        return Err(Error::Broken {
            file: file.to_owned(),
            offset: 0,
            found: format!("the bytes {start:02x?}"),
            expected: "II or MM and the number 42 or 43, as a GeoTIFF begins".to_owned(),
        });
    }
    let mut decoder = Decoder::new(from).map_err(|error| broken(file, 4, &error))?;
    let head = Head::read(&mut decoder);
    let head = head.map_err(|error| here(file, &mut decoder, &error))?;
    let keys = head.keys(file)?;
    let raster = head.raster(file, keys.is_area(file)?)?;
    let frame = keys.frame(file)?;
    let unit_m = keys.height_unit_m(file)?;
    let tiff = GeoTiff {
        file: file.to_owned(),
        decoder,
        raster,
        void: head.void(file)?,
        unit_m,
    };
    Ok((tiff, frame))
}

impl<R: Read + Seek> GeoTiff<R> {
    /// Reads the heights of a part.
    pub(super) fn fill(&mut self, filling: &mut Filling) -> Result<(), Error> {
        let [columns, rows] = self.raster.size;
        let (width, height) = self.decoder.chunk_dimensions();
        if width == 0 || height == 0 {
            return Err(unknown(
                &self.file,
                "is cut into pieces without pixels",
                "write it anew",
            ));
        }
        let part = filling.part;
        let across = columns.div_ceil(width);
        for down in part.rows[0] / height..=part.rows[1] / height {
            for along in part.columns[0] / width..=part.columns[1] / width {
                let Some(index) = down.checked_mul(across).and_then(|n| n.checked_add(along))
                else {
                    return Err(unknown(&self.file, "has too many pieces", "thin it out"));
                };
                let heights = self.decoder.read_chunk(index);
                let heights =
                    heights.map_err(|error| here(&self.file, &mut self.decoder, &error))?;
                let corner = [along * width, down * height];
                // The last pieces of a row and of a column hold only what the picture has.
                let held = [width.min(columns - corner[0]), height.min(rows - corner[1])];
                self.take(&heights, corner, held, filling)?;
            }
        }
        Ok(())
    }

    /// Takes over what a piece and the part have in common.
    fn take(
        &self,
        heights: &DecodingResult,
        corner: [u32; 2],
        held: [u32; 2],
        filling: &mut Filling,
    ) -> Result<(), Error> {
        let part = filling.part;
        let span = |axis: usize, wanted: [u32; 2]| {
            let last = (corner[axis] + held[axis] - 1).min(wanted[1]);
            corner[axis].max(wanted[0])..=last
        };
        for row in span(1, part.rows) {
            for column in span(0, part.columns) {
                let at =
                    (row - corner[1]) as usize * held[0] as usize + (column - corner[0]) as usize;
                let Some((value, void)) = self.value(heights, at) else {
                    return Err(unknown(
                        &self.file,
                        "has pieces with fewer values than pixels, or values that are no heights",
                        "write it anew with whole numbers of 8 to 32 bits or with floating point",
                    ));
                };
                filling.set([column, row], (!void).then_some(value * self.unit_m));
            }
        }
        Ok(())
    }

    /// The value at an index, and whether it is a void.
    fn value(&self, heights: &DecodingResult, at: usize) -> Option<(f64, bool)> {
        let value = match heights {
            DecodingResult::U8(values) => f64::from(*values.get(at)?),
            DecodingResult::I8(values) => f64::from(*values.get(at)?),
            DecodingResult::U16(values) => f64::from(*values.get(at)?),
            DecodingResult::I16(values) => f64::from(*values.get(at)?),
            DecodingResult::U32(values) => f64::from(*values.get(at)?),
            DecodingResult::I32(values) => f64::from(*values.get(at)?),
            DecodingResult::F64(values) => *values.get(at)?,
            // What is declared a void was written with more digits than the value has.
            DecodingResult::F32(values) => {
                let value = *values.get(at)?;
                let void = self.void.is_some_and(|void| void as f32 == value);
                return Some((f64::from(value), void || value.is_nan()));
            }
            _ => return None,
        };
        Some((value, value.is_nan() || self.void == Some(value)))
    }
}

/// What the tags of a file say.
struct Head {
    size: (u32, u32),
    colours: ColorType,
    packed: u32,
    /// How a value is shown: 0 is white for the lowest.
    shown: u32,
    directory: Option<Vec<u16>>,
    doubles: Vec<f64>,
    scale: Option<Vec<f64>>,
    tie: Option<Vec<f64>>,
    matrix: Option<Vec<f64>>,
    void: Option<String>,
    metadata: Option<String>,
}

impl Head {
    fn read<R: Read + Seek>(decoder: &mut Decoder<R>) -> TiffResult<Self> {
        let mut numbers = |tag| -> TiffResult<Option<Vec<f64>>> {
            let found = decoder.find_tag(tag)?;
            found.map(|value| value.into_f64_vec()).transpose()
        };
        let scale = numbers(Tag::ModelPixelScaleTag)?;
        let tie = numbers(Tag::ModelTiepointTag)?;
        let matrix = numbers(Tag::ModelTransformationTag)?;
        let doubles = numbers(Tag::GeoDoubleParamsTag)?.unwrap_or_default();
        let directory = decoder.find_tag(Tag::GeoKeyDirectoryTag)?;
        let mut text = |tag| -> TiffResult<Option<String>> {
            let found = decoder.find_tag(tag)?;
            found.map(|value| value.into_string()).transpose()
        };
        let void = text(Tag::GdalNodata)?;
        let metadata = text(METADATA)?;
        Ok(Self {
            size: decoder.dimensions()?,
            colours: decoder.colortype()?,
            packed: decoder.find_tag_unsigned(Tag::Compression)?.unwrap_or(1),
            shown: decoder
                .find_tag_unsigned(Tag::PhotometricInterpretation)?
                .unwrap_or(1),
            directory: directory.map(|value| value.into_u16_vec()).transpose()?,
            doubles,
            scale,
            tie,
            matrix,
            void,
            metadata,
        })
    }

    fn keys(&self, file: &str) -> Result<Keys, Error> {
        if !PACKED.contains(&self.packed) {
            return Err(unknown(
                file,
                format!("is packed by method {}", self.packed),
                "write it anew packed by Deflate or LZW, or not at all",
            ));
        }
        if !matches!(self.colours, ColorType::Gray(_)) {
            return Err(unknown(
                file,
                format!(
                    "is a picture with {:?}, not a grid of heights",
                    self.colours
                ),
                "bring a file with one value a pixel, the height",
            ));
        }
        if self.shown == 0 {
            return Err(unknown(
                file,
                "holds its values turned over, white for the lowest",
                "write it anew with black for the lowest",
            ));
        }
        let scaled =
            |text: &String| text.contains("role=\"scale\"") || text.contains("role=\"offset\"");
        if self.metadata.as_ref().is_some_and(scaled) {
            return Err(unknown(
                file,
                "says that its values must be scaled before they are heights",
                "write it anew with the heights themselves",
            ));
        }
        let keys = self
            .directory
            .as_deref()
            .map(|d| Keys::read(d, &self.doubles));
        match keys {
            None => Err(unknown(
                file,
                "is a picture without a place on the Earth (no geo keys)",
                "bring a GeoTIFF, or give it its system of coordinates",
            )),
            Some(None) => Err(unknown(
                file,
                "has geo keys that contradict themselves",
                "write it anew",
            )),
            Some(Some(keys)) => Ok(keys),
        }
    }

    /// How it lies: from the size of a pixel and one point, or from a matrix without turns.
    fn raster(&self, file: &str, area: bool) -> Result<Raster, Error> {
        let turned = || {
            unknown(
                file,
                "is turned, or held by more than one point",
                "bring it north up first, with the program that you make maps with",
            )
        };
        let (corner, step) = match (&self.matrix, self.scale.as_deref(), self.tie.as_deref()) {
            (Some(matrix), ..) => match matrix.as_slice() {
                &[a, b, _, x, c, d, _, y, ..] if matrix.len() == 16 && b == 0.0 && c == 0.0 => {
                    ([x, y], [a, d])
                }
                _ => return Err(turned()),
            },
            (None, Some(&[x, y, ..]), Some(&[column, row, _, east, north, _])) => {
                ([east - column * x, north + row * y], [x, -y])
            }
            (None, None, _) | (None, _, None) => {
                return Err(unknown(
                    file,
                    "does not say where its first pixel lies and how large it is",
                    "write it anew with both",
                ));
            }
            _ => return Err(turned()),
        };
        let size = [self.size.0, self.size.1];
        let sound = corner.iter().all(|c| c.abs() < 1e9)
            && step.iter().all(|s| (1e-9..1e6).contains(&s.abs()))
            && size.iter().all(|&s| s > 0);
        if !sound {
            return Err(unknown(
                file,
                format!("lies at {corner:?} with pixels of {step:?}, which cannot be"),
                "write it anew with its place",
            ));
        }
        if step[0] < 0.0 || step[1] > 0.0 {
            return Err(turned());
        }
        let half = if area { 0.5 } else { 0.0 };
        Ok(Raster {
            first: [corner[0] + half * step[0], corner[1] + half * step[1]],
            step,
            size,
            area,
        })
    }

    /// The value that stands for no height.
    fn void(&self, file: &str) -> Result<Option<f64>, Error> {
        let Some(text) = &self.void else {
            return Ok(None);
        };
        let text = text.trim_matches(|c: char| c.is_whitespace() || c == '\0');
        match text.parse() {
            Ok(value) => Ok(Some(value)),
            Err(_) if text.is_empty() => Ok(None),
            Err(_) => Err(unknown(
                file,
                format!("gives {text:?} for its voids, which is no number"),
                "write it anew with a number",
            )),
        }
    }
}

/// A failure where the decoder stands.
fn here<R: Read + Seek>(file: &str, decoder: &mut Decoder<R>, error: &TiffError) -> Error {
    let offset = decoder.inner().stream_position().unwrap_or_default();
    broken(file, offset, error)
}

fn broken(file: &str, offset: u64, error: &TiffError) -> Error {
    let found = match error {
        TiffError::IoError(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => {
            "the end of the file".to_owned()
        }
        other => other.to_string(),
    };
    let (found, expected) = match error {
        TiffError::LimitsExceeded => (
            "a piece or a list too large to be held".to_owned(),
            "pieces of at most 256 MB; write it anew in tiles",
        ),
        _ => (found, "a whole GeoTIFF; fetch it again, or write it anew"),
    };
    Error::Broken {
        file: file.to_owned(),
        offset,
        found,
        expected: expected.to_owned(),
    }
}
