//! Sun and moon: the calls.

use std::ffi::c_char;

use super::pointers::{answered, free, give, handle, lent, lent_row, put, room, room_for};
use crate::refusal::Status;
use crate::{
    Crossing, CrossingQuestion, Horizontal, MoonPlace, Observer, Outcome, Path, Place, Site,
};

/// An observer at a site; free it with wrackline_observer_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_observer_new(
    site: *const Site,
    observer: *mut *mut Observer,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (given, site) = unsafe { (handle(observer, "observer")?, lent(site, "site")?) };
        give(given, Observer::new(site)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees an observer; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_observer_free(observer: *mut Observer) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(observer) }
}

/// Where the sun stands for an observer at an instant, microseconds since 1970 (UTC).
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_sun(
    observer: *const Observer,
    at_us: i64,
    place: *mut Place,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (observer, place) = unsafe { (lent(observer, "observer")?, room(place, "place")?) };
        place.write(observer.sun(at_us)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Where the moon stands for an observer at an instant, microseconds since 1970 (UTC), and how it
/// is lit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_moon(
    observer: *const Observer,
    at_us: i64,
    place: *mut MoonPlace,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (observer, place) = unsafe { (lent(observer, "observer")?, room(place, "place")?) };
        place.write(observer.moon(at_us)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// All crossings of an altitude in a span, in order of time: rise and set, twilights.
///
/// `count` is always set to how many there are, `outcome` to what the span comes to. With room for
/// fewer nothing is written to `crossings`, and the status is WRACKLINE_STATUS_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_crossings(
    observer: *const Observer,
    question: *const CrossingQuestion,
    crossings: *mut Crossing,
    room_for_crossings: usize,
    count: *mut usize,
    outcome: *mut Outcome,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (observer, question) =
            unsafe { (lent(observer, "observer")?, lent(question, "question")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let (count, outcome) = unsafe { (room(count, "count")?, room(outcome, "outcome")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let places = unsafe { room_for(crossings, room_for_crossings, "crossings")? };
        let (found, told) = observer.crossings(question)?;
        outcome.write(told);
        count.write(found.len());
        put(&found, places, "crossings")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// A body's way over a span, for many instants; free it with wrackline_path_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_path_new(
    body: i32,
    start_us: i64,
    end_us: i64,
    path: *mut *mut Path,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let given = unsafe { handle(path, "path")? };
        give(given, Path::new(body, start_us, end_us)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a path; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_path_free(path: *mut Path) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(path) }
}

/// Where the body stands for an observer at `count` instants of the path's span, in any order.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_path_places(
    path: *const Path,
    observer: *const Observer,
    at_us: *const i64,
    count: usize,
    places: *mut Horizontal,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (path, observer) = unsafe { (lent(path, "path")?, lent(observer, "observer")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let (at_us, room) = unsafe {
            (
                lent_row(at_us, count, "at_us")?,
                room_for(places, count, "places")?,
            )
        };
        let found = path.places(observer, at_us)?;
        put(&found, room, "places")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}
