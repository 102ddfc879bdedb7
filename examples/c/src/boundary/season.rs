//! Scenarios and seasons: the calls.

use std::ffi::c_char;

use super::pointers::{answered, free, give, handle, lent, room, room_for, text, text_or_null};
use crate::refusal::{Refusal, Status};
use crate::season::Asked;
use crate::{Scenario, Season, SeasonRequest};

/// A scenario from its text (TOML), which includes no other file; `name` stands for it in messages.
/// Free it with wrackline_scenario_free. The message of a refusal has a line for every problem.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_scenario_parse(
    name: *const c_char,
    toml: *const c_char,
    scenario: *mut *mut Scenario,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let given = unsafe { handle(scenario, "scenario")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let (name, toml) = unsafe { (text(name, "name")?, text(toml, "toml")?) };
        give(given, Scenario::parse(name, toml)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// A scenario from its file and what that includes. Free it with wrackline_scenario_free. The
/// message of a refusal has a line for every problem.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_scenario_open(
    path: *const c_char,
    scenario: *mut *mut Scenario,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (given, path) = unsafe { (handle(scenario, "scenario")?, text(path, "path")?) };
        give(given, Scenario::open(path)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a scenario; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_scenario_free(scenario: *mut Scenario) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(scenario) }
}

/// The windows of a season, best first. It takes its time, on all cores; afterwards it does not
/// need the scenario any longer. Free it with wrackline_season_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_season_new(
    scenario: *const Scenario,
    request: *const SeasonRequest,
    season: *mut *mut Season,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let given = unsafe { handle(season, "season")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let (scenario, request) =
            unsafe { (lent(scenario, "scenario")?, lent(request, "request")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let asked = unsafe {
            Asked {
                from: text(request.from, "from")?,
                place: text_or_null(request.place, "place")?,
                subject: text_or_null(request.subject, "subject")?,
                light: text_or_null(request.light, "light")?,
                count: request.count,
                days: request.days,
                phase: request.phase,
            }
        };
        give(given, scenario.season(asked)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a season; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_season_free(season: *mut Season) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(season) }
}

/// The season as one object of JSON with windows, seats, warnings and cautions: show people the
/// last two. It ends with a zero byte, which `size` must have room for and `length` does not count.
///
/// `length` is always set. With too little room nothing is written to `json`, and the status is
/// WRACKLINE_STATUS_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_season_json(
    season: *const Season,
    json: *mut c_char,
    size: usize,
    length: *mut usize,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (season, length) = unsafe { (lent(season, "season")?, room(length, "length")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let places = unsafe { room_for(json.cast::<u8>(), size, "json")? };
        let text = season.json();
        length.write(text.len());
        if size <= text.len() {
            return Err(Refusal::TooSmall {
                name: "json",
                room: size,
                needed: text.len() + 1,
            });
        }
        for (place, byte) in places.iter_mut().zip(text.bytes().chain([0])) {
            place.write(byte);
        }
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}
