//! Elevation files made for a test, and geodesy that is not ours.

use std::io::Cursor;

use wrackline_gather::terrain::{Elevation, Error, Wanted};

/// Keys of a GeoTIFF in degrees on WGS84, heights at points.
pub(crate) const POINTS: [u16; 16] = [
    1, 1, 0, 3, //
    1024, 0, 1, 2, //
    1025, 0, 1, 2, //
    2048, 0, 1, 4326,
];

/// The same, heights for areas.
pub(crate) const AREAS: [u16; 16] = [
    1, 1, 0, 3, //
    1024, 0, 1, 2, //
    1025, 0, 1, 1, //
    2048, 0, 1, 4326,
];

/// Keys of a projected GeoTIFF, heights at points.
pub(crate) const fn projected(code: u16) -> [u16; 16] {
    [
        1, 1, 0, 3, //
        1024, 0, 1, 1, //
        1025, 0, 1, 2, //
        3072, 0, 1, code,
    ]
}

/// A value of a tag.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    Words(Vec<u16>),
    Longs(Vec<u32>),
    Doubles(Vec<f64>),
    Text(String),
}

/// What a sample is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sample {
    I16,
    U16,
    I32,
    F32,
    F64,
}

impl Sample {
    fn bits(self) -> u16 {
        match self {
            Self::I16 | Self::U16 => 16,
            Self::I32 | Self::F32 => 32,
            Self::F64 => 64,
        }
    }

    /// 1 for counts, 2 for whole numbers with a sign, 3 for floating point.
    fn format(self) -> u16 {
        match self {
            Self::U16 => 1,
            Self::I16 | Self::I32 => 2,
            Self::F32 | Self::F64 => 3,
        }
    }
}

/// A raster that is written as a classic TIFF, by hand, so that its reader is tried with what its
/// own library did not write.
#[derive(Clone, Debug)]
pub(crate) struct Tiff {
    pub(crate) size: [usize; 2],
    pub(crate) heights: Vec<f64>,
    pub(crate) first: [f64; 2],
    pub(crate) step: f64,
    pub(crate) sample: Sample,
    pub(crate) big_endian: bool,
    /// Width and height of a tile, or rows of a strip.
    pub(crate) tile: Option<[usize; 2]>,
    pub(crate) rows_per_strip: usize,
    /// In the frame of Deflate, though stored.
    pub(crate) deflate: bool,
    /// Differences along a row instead of values, for whole numbers.
    pub(crate) differences: bool,
    pub(crate) keys: Vec<u16>,
    pub(crate) more: Vec<(u16, Value)>,
}

impl Tiff {
    /// Heights in degrees, from the north-western post on, by latitude and longitude.
    pub(crate) fn of(
        size: [usize; 2],
        first: [f64; 2],
        step: f64,
        height: impl Fn([f64; 2]) -> f64,
    ) -> Self {
        let mut heights = Vec::with_capacity(size[0] * size[1]);
        for row in 0..size[1] {
            for column in 0..size[0] {
                let at = [
                    first[1] - step * row as f64,
                    first[0] + step * column as f64,
                ];
                heights.push(height(at));
            }
        }
        Self {
            size,
            heights,
            first,
            step,
            sample: Sample::F32,
            big_endian: false,
            tile: None,
            rows_per_strip: 16,
            deflate: false,
            differences: false,
            keys: POINTS.to_vec(),
            more: Vec::new(),
        }
    }

    fn number(&self, bytes: &[u8], out: &mut Vec<u8>) {
        if self.big_endian {
            out.extend(bytes.iter().rev());
        } else {
            out.extend(bytes);
        }
    }

    fn sample(&self, value: f64, out: &mut Vec<u8>) {
        match self.sample {
            Sample::I16 => self.number(&(value as i16).to_le_bytes(), out),
            Sample::U16 => self.number(&(value as u16).to_le_bytes(), out),
            Sample::I32 => self.number(&(value as i32).to_le_bytes(), out),
            Sample::F32 => self.number(&(value as f32).to_le_bytes(), out),
            Sample::F64 => self.number(&value.to_le_bytes(), out),
        }
    }

    /// A piece of the raster; what lies outside is filled up.
    fn piece(&self, corner: [usize; 2], size: [usize; 2]) -> Vec<u8> {
        let mut out = Vec::new();
        for row in corner[1]..corner[1] + size[1] {
            let mut before = 0.0;
            for column in corner[0]..corner[0] + size[0] {
                let inside = row < self.size[1] && column < self.size[0];
                let value = if inside {
                    self.heights[row * self.size[0] + column]
                } else {
                    0.0
                };
                if self.differences {
                    self.sample(value - before, &mut out);
                    before = value;
                } else {
                    self.sample(value, &mut out);
                }
            }
        }
        if self.deflate { stored(&out) } else { out }
    }

    /// The file.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        let mut pieces = Vec::new();
        if let Some(tile) = self.tile {
            for row in (0..self.size[1]).step_by(tile[1]) {
                for column in (0..self.size[0]).step_by(tile[0]) {
                    pieces.push(self.piece([column, row], tile));
                }
            }
        } else {
            for row in (0..self.size[1]).step_by(self.rows_per_strip) {
                let rows = self.rows_per_strip.min(self.size[1] - row);
                pieces.push(self.piece([0, row], [self.size[0], rows]));
            }
        }
        let mut out = Vec::new();
        out.extend(if self.big_endian { b"MM" } else { b"II" });
        self.number(&42_u16.to_le_bytes(), &mut out);
        let patch = out.len();
        out.extend([0; 4]);
        let mut offsets = Vec::new();
        let lengths = pieces.iter().map(|piece| piece.len() as u32).collect();
        for piece in &pieces {
            offsets.push(out.len() as u32);
            out.extend(piece);
        }
        let words = |values: &[u16]| Value::Words(values.to_vec());
        let mut tags = vec![
            (256, Value::Longs(vec![self.size[0] as u32])),
            (257, Value::Longs(vec![self.size[1] as u32])),
            (258, words(&[self.sample.bits()])),
            (259, words(&[if self.deflate { 8 } else { 1 }])),
            (262, words(&[1])),
            (277, words(&[1])),
            (317, words(&[if self.differences { 2 } else { 1 }])),
            (339, words(&[self.sample.format()])),
            (33_550, Value::Doubles(vec![self.step, self.step, 0.0])),
            (
                33_922,
                Value::Doubles(vec![0.0, 0.0, 0.0, self.first[0], self.first[1], 0.0]),
            ),
        ];
        if !self.keys.is_empty() {
            tags.push((34_735, Value::Words(self.keys.clone())));
        }
        match self.tile {
            Some(tile) => tags.extend([
                (322, Value::Longs(vec![tile[0] as u32])),
                (323, Value::Longs(vec![tile[1] as u32])),
                (324, Value::Longs(offsets)),
                (325, Value::Longs(lengths)),
            ]),
            None => tags.extend([
                (273, Value::Longs(offsets)),
                (278, Value::Longs(vec![self.rows_per_strip as u32])),
                (279, Value::Longs(lengths)),
            ]),
        }
        for (tag, value) in &self.more {
            tags.retain(|(known, _)| known != tag);
            tags.push((*tag, value.clone()));
        }
        tags.sort_by_key(|(tag, _)| *tag);
        let mut entries = Vec::new();
        self.number(&(tags.len() as u16).to_le_bytes(), &mut entries);
        for (tag, value) in &tags {
            let (kind, count, body) = self.body(value);
            self.number(&tag.to_le_bytes(), &mut entries);
            self.number(&kind.to_le_bytes(), &mut entries);
            self.number(&count.to_le_bytes(), &mut entries);
            if body.len() <= 4 {
                let mut body = body;
                body.resize(4, 0);
                entries.extend(body);
            } else {
                self.number(&(out.len() as u32).to_le_bytes(), &mut entries);
                out.extend(body);
            }
        }
        entries.extend([0; 4]);
        let mut at = Vec::new();
        self.number(&(out.len() as u32).to_le_bytes(), &mut at);
        out[patch..patch + 4].copy_from_slice(&at);
        out.extend(entries);
        out
    }

    fn body(&self, value: &Value) -> (u16, u32, Vec<u8>) {
        let mut out = Vec::new();
        match value {
            Value::Words(values) => {
                values
                    .iter()
                    .for_each(|v| self.number(&v.to_le_bytes(), &mut out));
                (3, values.len() as u32, out)
            }
            Value::Longs(values) => {
                values
                    .iter()
                    .for_each(|v| self.number(&v.to_le_bytes(), &mut out));
                (4, values.len() as u32, out)
            }
            Value::Doubles(values) => {
                values
                    .iter()
                    .for_each(|v| self.number(&v.to_le_bytes(), &mut out));
                (12, values.len() as u32, out)
            }
            Value::Text(text) => {
                out.extend(text.as_bytes());
                out.push(0);
                (2, out.len() as u32, out)
            }
        }
    }
}

/// A stream of Deflate in blocks that are stored as they are (RFC 1950 and 1951).
fn stored(bytes: &[u8]) -> Vec<u8> {
    let mut out = vec![0x78, 0x01];
    let mut blocks = bytes.chunks(0xffff).peekable();
    while let Some(block) = blocks.next() {
        out.push(u8::from(blocks.peek().is_none()));
        let length = block.len() as u16;
        out.extend(length.to_le_bytes());
        out.extend((!length).to_le_bytes());
        out.extend(block);
    }
    let (mut a, mut b) = (1_u32, 0_u32);
    for byte in bytes {
        a = (a + u32::from(*byte)) % 65_521;
        b = (b + a) % 65_521;
    }
    out.extend(((b << 16) | a).to_be_bytes());
    out
}

/// Reads files that are held in memory.
pub(crate) fn elevation(wanted: Wanted, files: &[(&str, Vec<u8>)]) -> Result<Elevation, Error> {
    let mut elevation = Elevation::new(wanted)?;
    for (name, bytes) in files {
        let length = bytes.len() as u64;
        elevation.add(name, name, length, Cursor::new(bytes))?;
    }
    Ok(elevation)
}

/// A seat with a range.
pub(crate) fn seat([latitude_deg, longitude_deg]: [f64; 2], range_m: f64) -> Wanted {
    Wanted {
        latitude_deg,
        longitude_deg,
        range_m,
        voids_m: None,
    }
}

/// Half the axes of WGS84, metres.
const A: f64 = 6_378_137.0;
const F: f64 = 1.0 / 298.257_223_563;

/// Where one comes to along a geodesic (T. Vincenty, Direct and inverse solutions of geodesics on
/// the ellipsoid, Survey Review XXIII, 1975).
pub(crate) fn direct([latitude, longitude]: [f64; 2], azimuth: f64, distance: f64) -> [f64; 2] {
    let b = A * (1.0 - F);
    let (sin_az, cos_az) = azimuth.to_radians().sin_cos();
    let tan_u = (1.0 - F) * latitude.to_radians().tan();
    let cos_u = 1.0 / (1.0 + tan_u * tan_u).sqrt();
    let sin_u = tan_u * cos_u;
    let sigma1 = tan_u.atan2(cos_az);
    let sin_alpha = cos_u * sin_az;
    let cos2_alpha = 1.0 - sin_alpha * sin_alpha;
    let u2 = cos2_alpha * (A * A - b * b) / (b * b);
    let big_a = 1.0 + u2 / 16384.0 * (4096.0 + u2 * (-768.0 + u2 * (320.0 - 175.0 * u2)));
    let big_b = u2 / 1024.0 * (256.0 + u2 * (-128.0 + u2 * (74.0 - 47.0 * u2)));
    let mut sigma = distance / (b * big_a);
    let mut cos_2m = 0.0;
    for _ in 0..6 {
        cos_2m = (2.0 * sigma1 + sigma).cos();
        let (s, c) = sigma.sin_cos();
        let inner = c * (-1.0 + 2.0 * cos_2m * cos_2m)
            - big_b / 6.0 * cos_2m * (-3.0 + 4.0 * s * s) * (-3.0 + 4.0 * cos_2m * cos_2m);
        let delta = big_b * s * (cos_2m + big_b / 4.0 * inner);
        sigma = distance / (b * big_a) + delta;
    }
    let (s, c) = sigma.sin_cos();
    let across = sin_u * s - cos_u * c * cos_az;
    let phi = (sin_u * c + cos_u * s * cos_az)
        .atan2((1.0 - F) * (sin_alpha * sin_alpha + across * across).sqrt());
    let lambda = (s * sin_az).atan2(cos_u * c - sin_u * s * cos_az);
    let big_c = F / 16.0 * cos2_alpha * (4.0 + F * (4.0 - 3.0 * cos2_alpha));
    let turned = cos_2m + big_c * c * (-1.0 + 2.0 * cos_2m * cos_2m);
    let l = lambda - (1.0 - big_c) * F * sin_alpha * (sigma + big_c * s * turned);
    [phi.to_degrees(), longitude + l.to_degrees()]
}

/// Metres between two places, straight through the Earth: over 30 km 3 cm shorter than over it.
pub(crate) fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    let [a, b] = [a, b].map(|[latitude, longitude]| {
        let (sin, cos) = latitude.to_radians().sin_cos();
        let (sin_l, cos_l) = longitude.to_radians().sin_cos();
        let e2 = F * (2.0 - F);
        let n = A / (1.0 - e2 * sin * sin).sqrt();
        [n * cos * cos_l, n * cos * sin_l, n * (1.0 - e2) * sin]
    });
    (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt()
}

/// Height in degrees at which a point is seen over a sphere of an effective radius.
pub(crate) fn seen(radius: f64, eye: f64, height: f64, distance: f64) -> f64 {
    // The triangle of the two and the centre of the Earth.
    let angle = distance / radius;
    let (x, y) = (
        (radius + height) * angle.sin(),
        (radius + height) * angle.cos() - radius - eye,
    );
    y.atan2(x).to_degrees()
}

/// Radius of curvature of the ellipsoid in a direction, over the share that refraction leaves.
pub(crate) fn radius(latitude: f64, azimuth: f64, refraction: f64) -> f64 {
    let e2 = F * (2.0 - F);
    let w = 1.0 - e2 * latitude.to_radians().sin().powi(2);
    let n = A / w.sqrt();
    let m = n * (1.0 - e2) / w;
    let (sin, cos) = azimuth.to_radians().sin_cos();
    m * n / (n * cos * cos + m * sin * sin) / (1.0 - refraction)
}
