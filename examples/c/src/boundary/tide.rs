//! Heights and turning points of the tide: the calls.

use std::ffi::c_char;

use wrackline_tides as tides;

use super::pointers::{answered, free, give, handle, lent, lent_row, put, room, room_for, text};
use crate::refusal::Status;
use crate::tide::convention;
use crate::{Grid, Port, PortSpec, Predictor, Stretch, Turn};

/// A port from its harmonic constants; free it with wrackline_port_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_port_new(
    spec: *const PortSpec,
    port: *mut *mut Port,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (given, spec) = unsafe { (handle(port, "port")?, lent(spec, "spec")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let lines = unsafe { lent_row(spec.harmonics, spec.harmonic_count, "harmonics")? };
        let mut harmonics = Vec::with_capacity(lines.len());
        for line in lines {
            harmonics.push(tides::Harmonic {
                // SAFETY: the rules at the head of the module `boundary`.
                name: unsafe { text(line.name, "name of a harmonic")? }.to_owned(),
                amplitude_m: line.amplitude_m,
                phase_lag_deg: line.phase_lag_deg,
            });
        }
        let port = Port::new(tides::PortSpec {
            mean_level_m: spec.mean_level_m,
            harmonics: &harmonics,
            convention: convention(spec)?,
        });
        give(given, port?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a port; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_port_free(port: *mut Port) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(port) }
}

/// Height of the tide above the datum at one instant, metres, straight from the definition.
///
/// A prediction leaves out surge, wind, rain, waves and shifting channels. Not for navigation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_port_height(
    port: *const Port,
    at_us: i64,
    height_m: *mut f64,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (port, height_m) = unsafe { (lent(port, "port")?, room(height_m, "height_m")?) };
        height_m.write(port.height_m(at_us)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// A port's tide over a span, for many heights, for turns and levels; it does not need the port any
/// longer. Free it with wrackline_predictor_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_new(
    port: *const Port,
    start_us: i64,
    end_us: i64,
    predictor: *mut *mut Predictor,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (given, port) = unsafe { (handle(predictor, "predictor")?, lent(port, "port")?) };
        give(given, port.predictor(start_us, end_us)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a predictor; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_free(predictor: *mut Predictor) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(predictor) }
}

/// Heights above the datum at `count` instants, metres: within 0.01 mm of wrackline_port_height. An
/// instant outside of the span is refused.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_heights(
    predictor: *const Predictor,
    at_us: *const i64,
    count: usize,
    heights_m: *mut f64,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let predictor = unsafe { lent(predictor, "predictor")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let (at_us, room) = unsafe {
            (
                lent_row(at_us, count, "at_us")?,
                room_for(heights_m, count, "heights_m")?,
            )
        };
        let found = predictor.heights_m(at_us)?;
        put(&found, room, "heights_m")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Heights above the datum at each instant of a grid within the span, metres, one for each: the
/// fastest way to a curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_grid(
    predictor: *const Predictor,
    grid: *const Grid,
    heights_m: *mut f64,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (predictor, grid) = unsafe { (lent(predictor, "predictor")?, lent(grid, "grid")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let room = unsafe { room_for(heights_m, grid.count, "heights_m")? };
        let found = predictor.heights_m_on(grid)?;
        put(&found, room, "heights_m")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Rates of rise at `count` instants, metres an hour, below zero when the water falls. An instant
/// outside of the span is refused.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_rates(
    predictor: *const Predictor,
    at_us: *const i64,
    count: usize,
    rates_m_per_h: *mut f64,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let predictor = unsafe { lent(predictor, "predictor")? };
        // SAFETY: the rules at the head of the module `boundary`.
        let (at_us, room) = unsafe {
            (
                lent_row(at_us, count, "at_us")?,
                room_for(rates_m_per_h, count, "rates_m_per_h")?,
            )
        };
        let found = predictor.rates_m_per_h(at_us)?;
        put(&found, room, "rates_m_per_h")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// All high and low waters of the span, in order of time, none missed.
///
/// `count` is always set to how many there are. With room for fewer nothing is written to `turns`,
/// and the status is WRACKLINE_STATUS_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_turns(
    predictor: *const Predictor,
    turns: *mut Turn,
    room_for_turns: usize,
    count: *mut usize,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (predictor, count) = unsafe { (lent(predictor, "predictor")?, room(count, "count")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let places = unsafe { room_for(turns, room_for_turns, "turns")? };
        let found = predictor.turns();
        count.write(found.len());
        put(&found, places, "turns")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// The stretches of the span in which the water stands above a level, metres above the datum.
///
/// `count` is always set to how many there are. With room for fewer nothing is written to
/// `stretches`, and the status is WRACKLINE_STATUS_TOO_SMALL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_predictor_above(
    predictor: *const Predictor,
    level_m: f64,
    stretches: *mut Stretch,
    room_for_stretches: usize,
    count: *mut usize,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (predictor, count) = unsafe { (lent(predictor, "predictor")?, room(count, "count")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let places = unsafe { room_for(stretches, room_for_stretches, "stretches")? };
        let found = predictor.above(level_m)?;
        count.write(found.len());
        put(&found, places, "stretches")?;
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}
