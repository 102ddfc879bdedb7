//! Every kind of file that is read, with one and the same ground in it.

use std::io::Cursor;

use tiff::encoder::colortype::{ColorType, Gray32Float, GrayI16};
use tiff::encoder::{Compression, DeflateLevel, TiffEncoder, TiffValue};
use tiff::tags::Tag;
use wrackline_gather::terrain::{Elevation, Eye, View};

use crate::support::{AREAS, POINTS, Sample, Tiff, Value, elevation, seat};

const SEAT: [f64; 2] = [53.401, 1.202];
const STEP: f64 = 1.0 / 3_600.0;
const SIZE: [usize; 2] = [103, 87];
const FIRST: [f64; 2] = [1.19, 53.41];

/// Whole metres, so that every kind of number holds them.
fn ground([latitude, longitude]: [f64; 2]) -> f64 {
    (30.0 + 25.0 * (latitude * 900.0).sin() + 20.0 * (longitude * 700.0).cos()).round()
}

fn plain() -> Tiff {
    Tiff::of(SIZE, FIRST, STEP, ground)
}

fn skyline(name: &str, bytes: Vec<u8>) -> Vec<f64> {
    let wanted = seat(SEAT, 700.0);
    let elevation = elevation(wanted, &[(name, bytes)]).unwrap_or_else(|e| panic!("{e}"));
    let view = View::new(&elevation, Eye::default()).unwrap();
    (0..24)
        .map(|i| view.ray(15.0 * f64::from(i)).obstacle.unwrap().altitude_deg)
        .collect()
}

#[test]
fn strips_tiles_numbers_and_orders_of_bytes_hold_the_same_ground() {
    let known = skyline("plain.tif", plain().bytes());
    for sample in [
        Sample::I16,
        Sample::U16,
        Sample::I32,
        Sample::F32,
        Sample::F64,
    ] {
        for big_endian in [false, true] {
            for tile in [None, Some([16, 16]), Some([64, 32])] {
                for deflate in [false, true] {
                    let tiff = Tiff {
                        sample,
                        big_endian,
                        tile,
                        deflate,
                        differences: sample == Sample::I16 && deflate,
                        ..plain()
                    };
                    let found = skyline("any.TIFF", tiff.bytes());
                    assert_eq!(found, known, "{sample:?} {big_endian} {tile:?} {deflate}");
                }
            }
        }
    }
}

/// A file as the library writes it.
fn written<C: ColorType>(values: &[C::Inner], compression: Compression, big: bool) -> Vec<u8>
where
    [C::Inner]: TiffValue,
{
    let mut out = Cursor::new(Vec::new());
    fn fill<C: ColorType, W: std::io::Write + std::io::Seek, K: tiff::encoder::TiffKind>(
        encoder: TiffEncoder<W, K>,
        values: &[C::Inner],
        compression: Compression,
    ) where
        [C::Inner]: TiffValue,
    {
        let mut encoder = encoder.with_compression(compression);
        let mut image = encoder
            .new_image::<C>(SIZE[0] as u32, SIZE[1] as u32)
            .unwrap();
        let tags = image.encoder();
        tags.write_tag(Tag::ModelPixelScaleTag, &[STEP, STEP, 0.0][..])
            .unwrap();
        let tie = [0.0, 0.0, 0.0, FIRST[0], FIRST[1], 0.0];
        tags.write_tag(Tag::ModelTiepointTag, &tie[..]).unwrap();
        tags.write_tag(Tag::GeoKeyDirectoryTag, &POINTS[..])
            .unwrap();
        image.write_data(values).unwrap();
    }
    if big {
        fill::<C, _, _>(TiffEncoder::new_big(&mut out).unwrap(), values, compression);
    } else {
        fill::<C, _, _>(TiffEncoder::new(&mut out).unwrap(), values, compression);
    }
    out.into_inner()
}

#[test]
fn packed_files_hold_the_same_ground() {
    let known = skyline("plain.tif", plain().bytes());
    let floats: Vec<f32> = plain().heights.iter().map(|h| *h as f32).collect();
    let words: Vec<i16> = plain().heights.iter().map(|h| *h as i16).collect();
    for (name, packed) in [
        ("not", Compression::Uncompressed),
        ("LZW", Compression::Lzw),
        ("Deflate", Compression::Deflate(DeflateLevel::Best)),
        ("runs", Compression::Packbits),
    ] {
        for big in [false, true] {
            let found = skyline("f.tif", written::<Gray32Float>(&floats, packed, big));
            assert_eq!(found, known, "{name} {big}");
            let found = skyline("i.tif", written::<GrayI16>(&words, packed, big));
            assert_eq!(found, known, "{name} {big}");
        }
    }
}

#[test]
fn areas_matrices_and_feet_are_understood() {
    let known = skyline("plain.tif", plain().bytes());
    let close = |found: Vec<f64>| {
        for (a, b) in known.iter().zip(found) {
            // A corner half a step away is printed to the last digit of a double.
            assert!((a - b).abs() < 1e-6, "{a} {b}");
        }
    };
    let areas = Tiff {
        keys: AREAS.to_vec(),
        first: [FIRST[0] - 0.5 * STEP, FIRST[1] + 0.5 * STEP],
        ..plain()
    };
    close(skyline("areas.tif", areas.bytes()));
    let mut matrix = vec![0.0; 16];
    matrix[0] = STEP;
    matrix[3] = FIRST[0];
    matrix[5] = -STEP;
    matrix[7] = FIRST[1];
    matrix[15] = 1.0;
    let by_matrix = Tiff {
        more: vec![(34_264, Value::Doubles(matrix))],
        ..plain()
    };
    close(skyline("matrix.tif", by_matrix.bytes()));
    // The unit of height by its own key, and by the system of heights.
    for (key, code, metres) in [
        (4099, 9002, 0.3048),
        (4099, 9003, 1200.0 / 3937.0),
        (4096, 6360, 1200.0 / 3937.0),
        (4096, 8228, 0.3048),
        (4099, 9001, 1.0),
        (4096, 5773, 1.0),
    ] {
        let mut keys = POINTS.to_vec();
        keys[3] = 4;
        keys.extend([key, 0, 1, code]);
        let mut tiff = Tiff {
            keys,
            sample: Sample::F64,
            ..plain()
        };
        tiff.heights.iter_mut().for_each(|h| *h /= metres);
        close(skyline("feet.tif", tiff.bytes()));
    }
}

#[test]
fn grids_of_the_radar_are_read_across_their_edges() {
    // Four squares of a degree around a corner, with 3 seconds of arc from post to post.
    let wave = |[latitude, longitude]: [f64; 2]| {
        (100.0 + 80.0 * (latitude * 300.0).sin() * (longitude * 200.0).cos()).round()
    };
    let square = |south: f64, west: f64| {
        let mut bytes = Vec::with_capacity(2 * 1201 * 1201);
        for row in 0..1201 {
            for column in 0..1201 {
                let at = [
                    south + 1.0 - f64::from(row) / 1200.0,
                    west + f64::from(column) / 1200.0,
                ];
                bytes.extend((wave(at) as i16).to_be_bytes());
            }
        }
        bytes
    };
    let folder = tempfile::tempdir().unwrap();
    for (name, south, west) in [
        ("N53E000.hgt", 53.0, 0.0),
        ("N53W001.hgt", 53.0, -1.0),
        ("N52E000.hgt", 52.0, 0.0),
        ("N52W001.hgt", 52.0, -1.0),
    ] {
        std::fs::write(folder.path().join(name), square(south, west)).unwrap();
    }
    std::fs::write(folder.path().join("notes.txt"), "not looked at").unwrap();
    let corner = [53.0005, 0.0004];
    let wanted = seat(corner, 9_000.0);
    let found = Elevation::open(wanted, &[folder.path().to_owned()]).unwrap();
    assert_eq!((found.files(), found.sources().len()), (4, 4));
    let view = View::new(&found, Eye::default()).unwrap();
    let around = view.around(|_, _| ());
    assert!(around.gaps().is_empty(), "{:?}", around.gaps());
    // One grid over all of it sees the same.
    let size = [1001, 1001];
    let whole = Tiff::of(
        size,
        [-500.0 / 1200.0, 53.0 + 500.0 / 1200.0],
        1.0 / 1200.0,
        wave,
    );
    let whole = elevation(wanted, &[("whole.tif", whole.bytes())]).unwrap();
    let view = View::new(&whole, Eye::default()).unwrap();
    for ray in around.rays().iter().step_by(37) {
        let known = view.ray(ray.azimuth_deg).obstacle.unwrap().altitude_deg;
        assert!((ray.obstacle.unwrap().altitude_deg - known).abs() < 1e-6);
    }
}
