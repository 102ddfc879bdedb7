//! Sun and moon at many instants: the calls.

use std::ffi::c_char;

use super::pointers::{answered, free, give, handle, lent, lent_row, put, room_for};
use crate::refusal::Status;
use crate::{Grid, Horizontal, LitMoon, MoonPath, Observer, Path};

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

/// Where the body stands for an observer at each instant of a grid within the path's span, one for
/// each: the fastest way to many.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_path_grid(
    path: *const Path,
    observer: *const Observer,
    grid: *const Grid,
    places: *mut Horizontal,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (path, observer) = unsafe { (lent(path, "path")?, lent(observer, "observer")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let grid = unsafe { lent(grid, "grid")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let room = unsafe { room_for(places, grid.count, "places")? };
        let found = path.grid(observer, grid)?;
        put(&found, room, "places")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// The moon's way over a span and the sun that lights it, for many instants; free it with
/// wrackline_moon_path_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_moon_path_new(
    start_us: i64,
    end_us: i64,
    path: *mut *mut MoonPath,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let given = unsafe { handle(path, "path")? };
        give(given, MoonPath::new(start_us, end_us)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a moon's path; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_moon_path_free(path: *mut MoonPath) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(path) }
}

/// Where the moon stands for an observer at `count` instants of the path's span, in any order, and
/// how it is lit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_moon_path_moons(
    path: *const MoonPath,
    observer: *const Observer,
    at_us: *const i64,
    count: usize,
    moons: *mut LitMoon,
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
                room_for(moons, count, "moons")?,
            )
        };
        let found = path.moons(observer, at_us)?;
        put(&found, room, "moons")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Where the moon stands for an observer at each instant of a grid within the path's span, and how
/// it is lit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_moon_path_grid(
    path: *const MoonPath,
    observer: *const Observer,
    grid: *const Grid,
    moons: *mut LitMoon,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (path, observer) = unsafe { (lent(path, "path")?, lent(observer, "observer")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let grid = unsafe { lent(grid, "grid")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let room = unsafe { room_for(moons, grid.count, "moons")? };
        let found = path.grid(observer, grid)?;
        put(&found, room, "moons")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}
