//! Sun and moon: the calls.

use std::ffi::c_char;

use super::pointers::{answered, free, give, handle, lent, put, room, room_for};
use crate::refusal::Status;
use crate::{
    Crossing, CrossingQuestion, MoonPlace, Observer, Outcome, Place, Site, Transit, TransitQuestion,
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

/// All passages of the meridian in a span, in order of time.
///
/// `count` is always set to how many there are. With room for fewer nothing is written to
/// `transits`, and the status is WRACKLINE_STATUS_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_transits(
    observer: *const Observer,
    question: *const TransitQuestion,
    transits: *mut Transit,
    room_for_transits: usize,
    count: *mut usize,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (observer, question) =
            unsafe { (lent(observer, "observer")?, lent(question, "question")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let count = unsafe { room(count, "count")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let places = unsafe { room_for(transits, room_for_transits, "transits")? };
        let found = observer.transits(question)?;
        count.write(found.len());
        put(&found, places, "transits")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}
