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
    let packet = "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#' xmlns:xmp='http://ns.adobe.com/xap/1.0/'>\
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
    // Once the image has begun the head is whole, and a copy that was cut short there is not this program's business.
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
    let pictures = pictures_under(folder.path()).unwrap();
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
    // The camera showed 09:40:30.25 at +01:00 when the true time was 08:37:00.25 UTC: three and a half minutes ahead.
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
        &pictures_under(folder.path()).unwrap(),
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
        &pictures_under(folder.path()).unwrap(),
        None,
        &TimeZone::UTC,
        Timestamp::now(),
    );
    assert_eq!(state(), before);
}
