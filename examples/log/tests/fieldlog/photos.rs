//! Pictures made in code: their heads, their clocks, and that nothing is ever written to them.

use std::path::Path;

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use wrackline_log::photos::{ClockError, HeadError, gather, pictures_under, read};

use crate::helpers::room;
use crate::pictures::{GOOD, Shot, jpeg};

fn write(path: &Path, shot: Shot<'_>) {
    std::fs::write(path, jpeg(shot)).unwrap();
}

#[test]
fn a_head_in_order() {
    let (_folder, path) = room("one.JPG");
    write(&path, GOOD);
    let head = read(&path).unwrap();
    assert_eq!(
        head.instant(&TimeZone::UTC).unwrap().to_string(),
        "2026-01-24T08:40:30.25Z"
    );
    assert_eq!((head.focal_length_mm, head.rating), (Some(840.0), Some(4)));
}

#[test]
fn without_an_offset_the_place_s_own_time_holds() {
    let (_folder, path) = room("one.jpg");
    write(
        &path,
        Shot {
            offset: Some("   :  "),
            fraction: None,
            ..GOOD
        },
    );
    let instant = read(&path)
        .unwrap()
        .instant(&TimeZone::get("Europe/Helsinki").unwrap());
    assert_eq!(instant.unwrap().to_string(), "2026-01-24T07:40:30Z");
}

#[test]
fn a_sidecar_goes_before_the_rating_inside() {
    let (folder, path) = room("one.jpg");
    write(&path, GOOD);
    let packet = "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#' \
        xmlns:xmp='http://ns.adobe.com/xap/1.0/'>\
                  <rdf:Description><xmp:Rating>-1</xmp:Rating></rdf:Description></rdf:RDF>";
    std::fs::write(folder.path().join("one.xmp"), packet).unwrap();
    assert_eq!(read(&path).unwrap().rating, Some(-1));
    std::fs::rename(
        folder.path().join("one.xmp"),
        folder.path().join("one.jpg.xmp"),
    )
    .unwrap();
    assert_eq!(read(&path).unwrap().rating, Some(-1));
}

#[test]
fn wherever_a_head_is_cut_off_it_is_said_and_nothing_breaks() {
    let (_folder, path) = room("one.jpg");
    let whole = jpeg(Shot {
        thumbnail: 40,
        ..GOOD
    });
    let image = whole
        .windows(2)
        .position(|pair| pair == [0xff, 0xda])
        .unwrap();
    for length in 0..image + 2 {
        std::fs::write(&path, &whole[..length]).unwrap();
        assert!(matches!(read(&path), Err(HeadError::CutOff)), "{length}");
    }
    // Once the image has begun the head is whole, and a copy that was cut short there is not this
    // program's business.
    std::fs::write(&path, &whole[..image + 2]).unwrap();
    assert!(read(&path).is_ok());
}

#[test]
fn every_byte_turned_around_still_gives_an_answer() {
    let (_folder, path) = room("one.jpg");
    let whole = jpeg(Shot {
        thumbnail: 0,
        ..GOOD
    });
    for index in 0..whole.len() - 2000 {
        for value in [0x00, 0xff, !whole[index]] {
            let mut bytes = whole.clone();
            bytes[index] = value;
            std::fs::write(&path, &bytes).unwrap();
            let _ = read(&path).map(|head| head.instant(&TimeZone::UTC));
        }
    }
}

#[test]
fn clocks_that_cannot_be_right_are_set_aside_with_the_reason() {
    let (folder, _) = room("");
    let frames = [
        ("a-good.jpg", GOOD.taken),
        ("b-future.jpg", Some("2031:01:24 09:40:30")),
        ("c-reset.jpg", Some("2010:01:01 00:03:11")),
        ("d-stone-age.jpg", Some("1970:05:01 08:00:00")),
        ("e-zero.jpg", Some("0000:00:00 00:00:00")),
        ("f-blank.jpg", Some("    :  :     :  :  ")),
        ("g-none.jpg", None),
        ("h-month-13.jpg", Some("2026:13:01 00:03:11")),
    ];
    for (name, taken) in frames {
        write(&folder.path().join(name), Shot { taken, ..GOOD });
    }
    std::fs::write(folder.path().join("i-text.jpg"), "not a picture").unwrap();
    std::fs::write(folder.path().join("notes.txt"), "not looked at").unwrap();
    let found = pictures_under(folder.path()).unwrap();
    assert_eq!(found.skipped, [("txt".to_owned(), 1)].into());
    let pictures = found.pictures;
    assert_eq!(pictures.len(), 9);
    let now: Timestamp = "2026-11-25T12:00:00Z".parse().unwrap();
    let gathered = gather(&pictures, None, &TimeZone::UTC, now);
    let taken: Vec<_> = gathered
        .frames
        .iter()
        .map(|frame| frame.path.file_name())
        .collect();
    assert_eq!(taken, [Some(std::ffi::OsStr::new("a-good.jpg"))]);
    let reasons: Vec<&str> = gathered
        .set_aside
        .iter()
        .map(|(_, reason)| reason.as_str())
        .collect();
    let wanted = [
        "in the future",
        "midnight",
        "1970",
        "0000:00:00",
        "    :",
        "missing",
        "2026:13:01",
        "is not what its name says",
    ];
    assert_eq!(reasons.len(), wanted.len());
    for (reason, wanted) in reasons.iter().zip(wanted) {
        assert!(reason.contains(wanted), "{reason} / {wanted}");
    }
}

#[test]
fn a_clock_s_error_is_found_from_a_reference_frame_and_taken_out() {
    let (folder, path) = room("clock.jpg");
    // The camera showed 09:40:30.25 at +01:00 when the true time was 08:37:00.25 UTC: three and a
    // half minutes ahead.
    write(&path, GOOD);
    write(
        &folder.path().join("later.jpg"),
        Shot {
            taken: Some("2026:01:24 10:00:00"),
            fraction: None,
            ..GOOD
        },
    );
    let truly: Timestamp = "2026-01-24T08:37:00.25Z".parse().unwrap();
    let error = ClockError::from_reference(&read(&path).unwrap(), truly, &TimeZone::UTC).unwrap();
    assert_eq!(error.0, SignedDuration::from_secs(210));
    let now: Timestamp = "2026-11-25T12:00:00Z".parse().unwrap();
    let gathered = gather(
        &pictures_under(folder.path()).unwrap().pictures,
        Some(error),
        &TimeZone::UTC,
        now,
    );
    let instants: Vec<String> = gathered
        .frames
        .iter()
        .map(|frame| frame.at.to_string())
        .collect();
    assert_eq!(
        instants,
        ["2026-01-24T08:37:00.25Z", "2026-01-24T08:56:30Z"]
    );
}

#[test]
fn pictures_are_never_written_to() {
    let (folder, path) = room("one.jpg");
    write(&path, GOOD);
    let mut permissions = std::fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&path, permissions).unwrap();
    let state = || {
        let file = std::fs::metadata(&path).unwrap();
        (
            std::fs::read(&path).unwrap(),
            file.modified().unwrap(),
            std::fs::read_dir(folder.path()).unwrap().count(),
        )
    };
    let before = state();
    gather(
        &pictures_under(folder.path()).unwrap().pictures,
        None,
        &TimeZone::UTC,
        Timestamp::now(),
    );
    assert_eq!(state(), before);
}

/// TIFF, little-endian: a description, a rating of 3, and a directory of Exif with the time.
/// Written by hand after TIFF 6.0, section 2, and Exif 3.0, section 4.6.
fn tiff(link_to_next: bool) -> Vec<u8> {
    let mut out = b"II*\0\x08\0\0\0".to_vec();
    let entry = |out: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: u32| {
        out.extend(tag.to_le_bytes());
        out.extend(kind.to_le_bytes());
        out.extend(count.to_le_bytes());
        out.extend(value.to_le_bytes());
    };
    // The first directory: 2 entries from 8 on, its link at 34, the time at 38, Exif at 58.
    out.extend(2_u16.to_le_bytes());
    entry(&mut out, 0x4746, 3, 1, 3);
    entry(&mut out, 0x8769, 4, 1, 58);
    out.extend([0; 4]);
    out.extend(b"2026:01:24 09:40:30\0");
    out.extend(1_u16.to_le_bytes());
    entry(&mut out, 0x9003, 2, 20, 38);
    if link_to_next {
        out.extend([0; 4]);
    }
    out
}

fn jpeg_around(tiff: &[u8]) -> Vec<u8> {
    let mut out = vec![0xff, 0xd8, 0xff, 0xe1];
    out.extend(u16::try_from(tiff.len() + 8).unwrap().to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(tiff);
    out.extend([0xff, 0xda, 0, 2, 0, 0xff, 0xd9]);
    out
}

fn shown(path: &Path) -> (String, Option<i8>) {
    let head = read(path).unwrap();
    (head.clock.to_string(), head.rating)
}

#[test]
fn exif_without_a_link_to_a_next_directory_is_read() {
    let (_folder, path) = room("one.jpg");
    for link_to_next in [true, false] {
        std::fs::write(&path, jpeg_around(&tiff(link_to_next))).unwrap();
        assert_eq!(shown(&path), ("2026-01-24T09:40:30".to_owned(), Some(3)));
    }
}

/// Whatever the name of a file that is built on TIFF, it is read, and no more than its head.
#[test]
fn tiff_and_what_is_built_on_it() {
    for name in ["one.tif", "one.RAWFORMAT"] {
        let (_folder, path) = room(name);
        let mut bytes = tiff(true);
        bytes.resize(3 << 20, 7);
        std::fs::write(&path, bytes).unwrap();
        assert_eq!(
            pictures_under(path.parent().unwrap())
                .unwrap()
                .pictures
                .len(),
            1
        );
        assert_eq!(shown(&path), ("2026-01-24T09:40:30".to_owned(), Some(3)));
    }
    // A file of many gigabytes without a byte in it is refused soon, and fills no memory.
    let (_folder, path) = room("sparse.tif");
    std::fs::write(&path, b"II*\0\xf0\xff\xff\xff").unwrap();
    let file = std::fs::OpenOptions::new().write(true).open(&path).unwrap();
    file.set_len(8 << 30).unwrap();
    assert!(read(&path).is_err());
}

/// A large scan has its directories behind its image: they are found there, and the image is not
/// read.
#[test]
fn a_tiff_with_its_directories_behind_three_gigabytes() {
    use std::io::{Seek, SeekFrom, Write};
    let (_folder, path) = room("large.tif");
    // Of `little` every offset is known: they are moved behind the image, but for that in the head.
    let little = tiff(true);
    let far = 3_u32 << 30;
    let mut bytes = little.clone();
    moved(&mut bytes, 8, far);
    let mut file = std::fs::File::create(&path).unwrap();
    file.write_all(b"II*\0").unwrap();
    file.write_all(&(far + 8).to_le_bytes()).unwrap();
    file.seek(SeekFrom::Start(u64::from(far))).unwrap();
    file.write_all(&bytes).unwrap();
    assert_eq!(shown(&path), ("2026-01-24T09:40:30".to_owned(), Some(3)));
}

/// Adds `by` to the offsets in the directory at `at`, and in that of Exif.
fn moved(bytes: &mut [u8], at: usize, by: u32) {
    let two = |bytes: &[u8], at: usize| u16::from_le_bytes([bytes[at], bytes[at + 1]]);
    for entry in 0..usize::from(two(bytes, at)) {
        let entry = at + 2 + 12 * entry;
        let count = u32::from_le_bytes(bytes[entry + 4..entry + 8].try_into().unwrap());
        let value = u32::from_le_bytes(bytes[entry + 8..entry + 12].try_into().unwrap());
        let width = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8][usize::from(two(bytes, entry + 2))];
        let is_exif = two(bytes, entry) == 0x8769;
        if is_exif {
            moved(bytes, value as usize, by);
        }
        if is_exif || width * count > 4 {
            bytes[entry + 8..entry + 12].copy_from_slice(&(value + by).to_le_bytes());
        }
    }
}

/// A pipe of the name of a picture, or of its sidecar, would be waited for without an end.
#[cfg(unix)]
#[test]
fn pipes_are_not_waited_for() {
    let pipe = |path: &Path| {
        let made = std::process::Command::new("mkfifo").arg(path).status();
        assert!(made.unwrap().success());
    };
    let (_folder, path) = room("one.jpg");
    write(&path, GOOD);
    pipe(&path.with_extension("xmp"));
    assert_eq!(read(&path).unwrap().rating, Some(4));
    let (_folder, path) = room("one.jpg");
    pipe(&path);
    assert!(read(&path).unwrap_err().to_string().contains("not a file"));
    let found = pictures_under(path.parent().unwrap()).unwrap();
    assert_eq!(found.pictures.len(), 0);
}

/// HEIF (ISO/IEC 23008-12) with one item, of Exif, which the file's metadata says lies at the end.
#[test]
fn heif_with_its_exif_as_an_item() {
    fn of(name: &[u8; 4], content: &[u8]) -> Vec<u8> {
        let length = u32::try_from(content.len() + 8).unwrap();
        [&length.to_be_bytes()[..], name, content].concat()
    }
    let exif = [&[0, 0, 0, 0][..], &tiff(true)].concat();
    let built = |offset: u32| {
        let entry = of(
            b"infe",
            &[&[2, 0, 0, 0, 0, 1, 0, 0][..], b"Exif\0"].concat(),
        );
        let items = of(b"iinf", &[&[0, 0, 0, 0, 0, 1][..], &entry].concat());
        let length = u32::try_from(exif.len()).unwrap().to_be_bytes();
        let at = offset.to_be_bytes();
        let one = [
            &[0, 0, 0, 0, 0x44, 0, 0, 1, 0, 1, 0, 0, 0, 1][..],
            &at,
            &length,
        ]
        .concat();
        let places = of(b"iloc", &one);
        let kind = of(b"hdlr", &[&[0; 8][..], b"pict", &[0; 13]].concat());
        let meta = of(b"meta", &[&[0; 4][..], &kind, &items, &places].concat());
        let brand = of(b"ftyp", b"heic\0\0\0\0mif1heic");
        [brand, meta].concat()
    };
    let (_folder, path) = room("one.heic");
    let head = built(u32::try_from(built(0).len() + 8).unwrap());
    std::fs::write(&path, [head, of(b"mdat", &exif)].concat()).unwrap();
    assert_eq!(shown(&path), ("2026-01-24T09:40:30".to_owned(), Some(3)));
}

fn packet(rating: i8) -> String {
    format!(
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#' \
         xmlns:xmp='http://ns.adobe.com/xap/1.0/'>\
         <rdf:Description><xmp:Rating>{rating}</xmp:Rating></rdf:Description></rdf:RDF>"
    )
}

#[test]
fn webp_with_a_rating_in_a_chunk_of_its_own() {
    let chunk = |name: &[u8; 4], content: &[u8]| {
        let length = u32::try_from(content.len()).unwrap().to_le_bytes();
        let pad = if content.len() % 2 == 1 {
            &[0][..]
        } else {
            &[]
        };
        [&name[..], &length, content, pad].concat()
    };
    let chunks = [
        chunk(b"VP8X", &[0x0c, 0, 0, 0, 0, 0, 0, 0, 0, 0]),
        chunk(b"VP8 ", &[0; 7]),
        chunk(b"EXIF", &tiff(true)),
        chunk(b"XMP ", packet(5).as_bytes()),
    ];
    let body = [&b"WEBP"[..], &chunks.concat()].concat();
    let (_folder, path) = room("one.webp");
    std::fs::write(&path, chunk(b"RIFF", &body)).unwrap();
    assert_eq!(shown(&path), ("2026-01-24T09:40:30".to_owned(), Some(5)));
}

#[test]
fn of_two_sidecars_the_one_with_the_whole_name_holds() {
    let (folder, path) = room("one.jpg");
    write(&path, GOOD);
    let beside = |name: &str, rating| {
        std::fs::write(folder.path().join(name), packet(rating)).unwrap();
        read(&path).unwrap().rating
    };
    assert_eq!(beside("one.XMP", 1), Some(1));
    assert_eq!(beside("one.jpg.xmp", 2), Some(2));
    assert_eq!(beside("one.xmp", 3), Some(2));
}

/// The clocks of Paris go forward at 02:00 on 29 March and back at 03:00 on 25 October 2026.
#[test]
fn an_hour_that_the_clocks_repeat_or_skip_is_asked_about() {
    let (folder, _) = room("");
    let paris = TimeZone::get("Europe/Paris").unwrap();
    let names = ["a.jpg", "b.jpg", "c.jpg"];
    let taken = [
        "2026:10:25 02:30:00",
        "2026:03:29 02:30:00",
        "2026:10:25 04:30:00",
    ];
    for (name, taken) in names.iter().zip(taken) {
        let shot = Shot {
            taken: Some(taken),
            offset: None,
            fraction: None,
            ..GOOD
        };
        write(&folder.path().join(name), shot);
    }
    let pictures = pictures_under(folder.path()).unwrap().pictures;
    let now: Timestamp = "2026-11-25T12:00:00Z".parse().unwrap();
    let gathered = gather(&pictures, None, &paris, now);
    assert_eq!((gathered.frames.len(), gathered.set_aside.len()), (1, 2));
    for (_, reason) in &gathered.set_aside {
        assert!(
            reason.contains("repeat or skip") && reason.contains("--camera-offset"),
            "{reason}"
        );
    }
    let told = TimeZone::fixed(jiff::tz::offset(1));
    let gathered = gather(&pictures, None, &told, now);
    assert_eq!(gathered.frames.len(), 3);
    assert_eq!(gathered.frames[1].at.to_string(), "2026-10-25T01:30:00Z");
}
