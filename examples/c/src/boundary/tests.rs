//! What only Rust can see of the calls: a panic kept in, a message cut between characters, a season
//! that is the programs' own. What C can see is tried from C, in `tests/refuse.c`.

use std::ffi::{CStr, CString, c_char};
use std::ptr;

use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, season};
use wrackline_show::report;

use super::pointers::{answered, free, give, lent, lent_row, room_for};
use super::{
    wrackline_scenario_free, wrackline_scenario_parse, wrackline_season_free,
    wrackline_season_json, wrackline_season_new,
};
use crate::refusal::{Refusal, Status};
use crate::{Phase, SeasonRequest};

const COAST: &str = include_str!("../../tests/coast.toml");
const NAME: &CStr = c"coast.toml";

/// The status of some work, and its message in a buffer of a given size.
fn told(size: usize, work: impl FnOnce() -> Result<(), Refusal>) -> (Status, String) {
    // One byte more, to see that nobody writes past the end.
    let mut buffer = vec![b'x' as c_char; size + 1];
    // SAFETY: the buffer has room for `size` bytes, and the work does not know it.
    let status = unsafe { answered(buffer.as_mut_ptr(), size, work) };
    assert_eq!(buffer[size], b'x' as c_char);
    // SAFETY: a message ends with a zero byte.
    let text = unsafe { CStr::from_ptr(buffer.as_ptr()) };
    (status, text.to_str().unwrap().to_owned())
}

#[test]
fn a_panic_ends_at_the_call() {
    let (status, message) = told(200, || panic!("the tide ran out"));
    assert_eq!(status, Status::Internal);
    assert!(message.contains("the tide ran out"), "{message}");
    let (status, _) = told(200, || std::panic::panic_any(7));
    assert_eq!(status, Status::Internal);
}

#[test]
fn a_message_is_cut_between_characters() {
    let refused = || Err(Refusal::value("5° low"));
    assert_eq!(told(200, refused), (Status::BadValue, "5° low".to_owned()));
    assert_eq!(told(4, refused).1, "5°");
    assert_eq!(told(3, refused).1, "5");
    assert_eq!(told(2, refused).1, "5");
    assert_eq!(told(1, refused).1, "");
    assert_eq!(told(200, || Ok(())), (Status::Ok, String::new()));
}

#[test]
fn pointers_that_cannot_be_right_are_refused() {
    let row = [1.0_f64, 2.0];
    let crooked = row.as_ptr().cast::<u8>().wrapping_add(1).cast::<f64>();
    // SAFETY: a misaligned pointer, a null pointer and an impossible length are what is refused
    // before anything is read; the last row is there.
    unsafe {
        assert!(matches!(lent(crooked, "it"), Err(Refusal::Pointer("it"))));
        let null = ptr::null::<f64>();
        assert!(matches!(lent(null, "it"), Err(Refusal::Pointer(_))));
        assert!(matches!(lent_row(null, 1, "it"), Err(Refusal::Pointer(_))));
        assert!(lent_row(null, 0, "it").is_ok_and(<[f64]>::is_empty));
        for length in [usize::MAX, usize::MAX / 8, isize::MAX as usize / 8 + 1] {
            let lent = lent_row(row.as_ptr(), length, "it");
            assert!(matches!(lent, Err(Refusal::Length { .. })));
            let room = room_for(row.as_ptr().cast_mut(), length, "it");
            assert!(matches!(room, Err(Refusal::Length { .. })));
        }
        assert_eq!(lent_row(row.as_ptr(), 2, "it").unwrap(), row);
    }
}

#[test]
fn a_handle_is_dropped_once_and_a_failing_drop_stays_in() {
    struct Failing<'a>(&'a std::cell::Cell<u32>);
    impl Drop for Failing<'_> {
        fn drop(&mut self) {
            self.0.set(self.0.get() + 1);
            panic!("no drop");
        }
    }
    let drops = std::cell::Cell::new(0);
    let mut handle = ptr::null_mut();
    give(&mut handle, Failing(&drops));
    // SAFETY: just given away, and not used after this.
    unsafe { free(handle) };
    assert_eq!(drops.get(), 1);
    // SAFETY: null is no thing.
    unsafe { free(ptr::null_mut::<Failing<'_>>()) };
}

#[test]
fn the_season_is_what_the_programs_write() {
    let from = CString::new("2026-12-28").unwrap();
    let toml = CString::new(COAST).unwrap();
    let request = SeasonRequest {
        from: from.as_ptr(),
        place: ptr::null(),
        subject: c"all".as_ptr(),
        light: ptr::null(),
        count: 5,
        days: 5,
        phase: Phase::Both as i32,
    };
    let (mut scenario, mut found) = (ptr::null_mut(), ptr::null_mut());
    let mut json = vec![0_u8; 1 << 20];
    let mut length = 0;
    let none = ptr::null_mut();
    // SAFETY: all texts end with a zero byte, the rest lives here and is freed once.
    unsafe {
        let status =
            wrackline_scenario_parse(NAME.as_ptr(), toml.as_ptr(), &raw mut scenario, none, 0);
        assert_eq!(status, Status::Ok);
        let status = wrackline_season_new(scenario, &raw const request, &raw mut found, none, 0);
        assert_eq!(status, Status::Ok);
        let room = json.as_mut_ptr().cast();
        let status = wrackline_season_json(found, room, json.len(), &raw mut length, none, 0);
        assert_eq!(status, Status::Ok);
        wrackline_season_free(found);
        wrackline_scenario_free(scenario);
    }
    let scenario = Scenario::parse(NAME.to_str().unwrap(), COAST).unwrap();
    let request = Request {
        subject: Some("all"),
        keep: 5,
        ..Request::new("2026-12-28".parse().unwrap(), 5)
    };
    let season = season(&scenario, request).unwrap();
    let mut wanted = Vec::new();
    let format = report::Format::Json;
    report::write(&season, format, report::Options::default(), &mut wanted).unwrap();
    assert!(!season.outings.is_empty());
    assert_eq!(json[length], 0);
    json.truncate(length);
    assert_eq!(
        String::from_utf8(json).unwrap(),
        String::from_utf8(wanted).unwrap()
    );
}
