//! How large an animal stands in the frame: the calls.

use std::ffi::c_char;

use super::pointers::{answered, free, give, handle, lent, room};
use crate::refusal::Status;
use crate::{DepthOfField, FrameWish, Framing, Kit, KitFigures, KitSpec};

/// A kit from its figures; free it with wrackline_kit_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_kit_new(
    spec: *const KitSpec,
    kit: *mut *mut Kit,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (given, spec) = unsafe { (handle(kit, "kit")?, lent(spec, "spec")?) };
        give(given, Kit::new(spec)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// Frees a kit; null is let pass.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_kit_free(kit: *mut Kit) {
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { free(kit) }
}

/// What lens and converter come to.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_kit_figures(
    kit: *const Kit,
    figures: *mut KitFigures,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (kit, figures) = unsafe { (lent(kit, "kit")?, room(figures, "figures")?) };
        figures.write(kit.figures());
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// How large a subject of `subject_m` metres stands in the frame, `distance_m` metres from the
/// sensor plane.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_kit_framing(
    kit: *const Kit,
    distance_m: f64,
    subject_m: f64,
    framing: *mut Framing,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (kit, framing) = unsafe { (lent(kit, "kit")?, room(framing, "framing")?) };
        framing.write(kit.framing(distance_m, subject_m)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// The distance from the sensor plane, metres, at which a wish comes true. It knows of no stand-off
/// distance: never go nearer than the animal's.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_kit_distance(
    kit: *const Kit,
    wish: *const FrameWish,
    distance_m: *mut f64,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (kit, wish) = unsafe { (lent(kit, "kit")?, lent(wish, "wish")?) };
        // SAFETY: the rules at the head of the module `boundary`.
        let distance_m = unsafe { room(distance_m, "distance_m")? };
        distance_m.write(kit.distance_m(wish)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}

/// The zone in which points pass for points, focused at `distance_m` metres, where a point may be
/// as large as `circle_pixels` pixels.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn wrackline_kit_depth_of_field(
    kit: *const Kit,
    distance_m: f64,
    circle_pixels: f64,
    zone: *mut DepthOfField,
    message: *mut c_char,
    message_size: usize,
) -> Status {
    let work = || {
        // SAFETY: the rules at the head of the module `boundary`.
        let (kit, zone) = unsafe { (lent(kit, "kit")?, room(zone, "zone")?) };
        zone.write(kit.depth_of_field(distance_m, circle_pixels)?);
        Ok(())
    };
    // SAFETY: the rules at the head of the module `boundary`.
    unsafe { answered(message, message_size, work) }
}
