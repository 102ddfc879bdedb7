//! What is not read is refused by name, with what to do; and no bytes bring a reader down.

use proptest::prelude::*;
use wrackline_gather::terrain::{Elevation, Error, Eye, View, Wanted};

use crate::support::{POINTS, Tiff, Value, elevation, projected, seat};

const SEAT: [f64; 2] = [53.4, 1.2];

fn plain() -> Tiff {
    let step = 1.0 / 3_600.0;
    Tiff::of(
        [41, 41],
        [SEAT[1] - 20.0 * step, SEAT[0] + 20.0 * step],
        step,
        |_| 5.0,
    )
}

fn refused(name: &str, bytes: Vec<u8>) -> String {
    let found = elevation(seat(SEAT, 500.0), &[(name, bytes)]);
    found
        .err()
        .unwrap_or_else(|| panic!("{name} was read"))
        .to_string()
}

#[test]
fn other_figures_and_projections_are_refused_by_name() {
    let with = |keys: &[u16]| {
        refused(
            "a.tif",
            Tiff {
                keys: keys.to_vec(),
                ..plain()
            }
            .bytes(),
        )
    };
    let geodetic = |code: u16| {
        let mut keys = POINTS;
        keys[15] = code;
        with(&keys)
    };
    for (said, words) in [
        (geodetic(4267), ["EPSG:4267", "WGS84"]),
        (geodetic(4277), ["EPSG:4277", "EPSG:4326"]),
        (with(&projected(27_700)), ["EPSG:27700", "UTM"]),
        (with(&projected(3857)), ["EPSG:3857", "UTM"]),
        (with(&projected(32_767)), ["does not say on which", "WGS84"]),
        (
            with(&[1, 1, 0, 1, 1024, 0, 1, 3]),
            ["model type 3", "WGS84"],
        ),
        (
            with(&[1, 1, 0, 1, 1025, 0, 1, 1]),
            ["does not say what", "anew"],
        ),
        (with(&[1, 1, 0, 9, 1024, 0]), ["contradict", "anew"]),
        (with(&[]), ["no geo keys", "GeoTIFF"]),
    ] {
        assert!(said.starts_with("a.tif: "), "{said}");
        assert!(words.iter().all(|word| said.contains(word)), "{said}");
    }
    let mut keys = POINTS.to_vec();
    keys[3] = 4;
    for (key, code, word) in [
        (4099, 9036, "EPSG:9036"),
        (4096, 5715, "depths"),
        (2054, 9101, "9101"),
    ] {
        let mut keys = keys.clone();
        keys.extend([key, 0, 1, code]);
        let said = with(&keys);
        assert!(said.contains(word), "{said}");
    }
}

#[test]
fn other_pictures_are_refused_by_name() {
    let with = |tag: u16, value: Value| {
        refused(
            "a.tif",
            Tiff {
                more: vec![(tag, value)],
                ..plain()
            }
            .bytes(),
        )
    };
    let turned: Vec<f64> = (0..16).map(f64::from).collect();
    let scaled = "<GDALMetadata><Item name=\"SCALE\" sample=\"0\" role=\"scale\">0.1</Item>";
    for (said, word) in [
        (with(259, Value::Words(vec![50_000])), "method 50000"),
        (with(262, Value::Words(vec![0])), "white for the lowest"),
        (with(34_264, Value::Doubles(turned)), "north up"),
        (with(33_922, Value::Doubles(vec![0.0; 12])), "one point"),
        (
            with(33_550, Value::Doubles(vec![0.0, 0.0, 0.0])),
            "cannot be",
        ),
        (with(33_550, Value::Doubles(vec![f64::NAN; 3])), "cannot be"),
        (with(42_113, Value::Text("none".into())), "is no number"),
        (with(42_112, Value::Text(scaled.into())), "scaled"),
    ] {
        assert!(said.contains(word), "{said}");
    }
    assert!(refused("a.hgt", vec![0; 50]).contains("N53E001.hgt"));
    let said = refused("N53E001.hgt", vec![0; 50]);
    assert!(
        said.contains("at byte 50") && said.contains("25934402"),
        "{said}"
    );
    assert!(refused("a.asc", vec![0; 50]).contains(".tif"));
    let said = refused("a.tif", b"GIF89a".to_vec());
    assert!(
        said.contains("at byte 0") && said.contains("II or MM"),
        "{said}"
    );
    let whole = plain().bytes();
    let cut = refused("a.tif", whole[..whole.len() - 100].to_vec());
    assert!(
        cut.contains("at byte") && cut.contains("end of the file"),
        "{cut}"
    );
}

#[test]
fn figures_out_of_range_are_refused() {
    let good = seat(SEAT, 500.0);
    for wanted in [
        Wanted {
            latitude_deg: 86.0,
            ..good
        },
        Wanted {
            longitude_deg: f64::NAN,
            ..good
        },
        Wanted {
            range_m: 50.0,
            ..good
        },
        Wanted {
            range_m: 2e5,
            ..good
        },
        Wanted {
            voids_m: Some(1e5),
            ..good
        },
    ] {
        let refused = Elevation::new(wanted).unwrap_err();
        assert!(matches!(refused, Error::OutOfRange { .. }), "{refused}");
    }
    let known = elevation(good, &[("a.tif", plain().bytes())]).unwrap();
    for eye in [
        Eye {
            over_ground_m: -1.0,
            ..Eye::default()
        },
        Eye {
            refraction: 1.0,
            ..Eye::default()
        },
        Eye {
            ground_m: Some(f64::INFINITY),
            ..Eye::default()
        },
    ] {
        let refused = View::new(&known, eye).unwrap_err();
        assert!(matches!(refused, Error::OutOfRange { .. }), "{refused}");
    }
}

#[test]
fn files_that_are_none_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let wanted = seat(SEAT, 500.0);
    let open = |path: std::path::PathBuf| Elevation::open(wanted, &[path]).unwrap_err();
    assert!(matches!(
        open(folder.path().to_owned()),
        Error::EmptyFolder { .. }
    ));
    assert!(matches!(
        open(folder.path().join("not.tif")),
        Error::Unreadable { .. }
    ));
    let empty = folder.path().join("empty.tif");
    std::fs::write(&empty, b"").unwrap();
    assert!(matches!(open(empty), Error::Broken { offset: 0, .. }));
    #[cfg(unix)]
    assert!(open("/dev/null".into()).to_string().contains("not a file"));
}

proptest! {
    // Reading a small file takes a tenth of a millisecond.
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn turned_bytes_are_read_or_refused(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        tiled in any::<bool>(),
        deflate in any::<bool>(),
    ) {
        let mut tiff = plain();
        tiff.tile = tiled.then_some([16, 16]);
        tiff.deflate = deflate;
        let mut bytes = tiff.bytes();
        // Most of a file is heights, which may be anything: its end says what they mean.
        let tail = bytes.len() - 420;
        for (at, byte) in changes {
            let place = tail + at.index(420);
            bytes[place] = byte;
        }
        if let Ok(found) = elevation(seat(SEAT, 500.0), &[("a.tif", bytes)])
            && let Ok(view) = View::new(&found, Eye::default())
        {
            for azimuth in [0.0, 45.0, 271.0] {
                let ray = view.ray(azimuth);
                prop_assert!(ray.known_to_m.is_finite());
                prop_assert!(ray.obstacle.is_none_or(|o| o.altitude_deg.is_finite()));
            }
        }
    }
}
