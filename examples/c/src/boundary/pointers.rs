//! Pointers from C made into references, results written back, panics kept in.

use std::any::Any;
use std::ffi::{CStr, c_char};
use std::mem::MaybeUninit;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::{ptr, slice};

use crate::refusal::{Refusal, Status};

/// What the caller lends for the length of a call.
///
/// # Safety
/// Not null means that it points to a `T` that nobody changes during the call.
pub(super) unsafe fn lent<'a, T>(pointer: *const T, name: &'static str) -> Result<&'a T, Refusal> {
    if pointer.is_null() || !pointer.is_aligned() {
        return Err(Refusal::Pointer(name));
    }
    // SAFETY: neither null nor misaligned, and the caller vouches for the rest.
    Ok(unsafe { &*pointer })
}

/// A row that the caller lends; where its length is zero the pointer may be null.
///
/// # Safety
/// Not null means that it points to `length` of `T` that nobody changes during the call.
pub(super) unsafe fn lent_row<'a, T>(
    pointer: *const T,
    length: usize,
    name: &'static str,
) -> Result<&'a [T], Refusal> {
    if length == 0 {
        return Ok(&[]);
    }
    possible::<T>(length, name)?;
    if pointer.is_null() || !pointer.is_aligned() {
        return Err(Refusal::Pointer(name));
    }
    // SAFETY: neither null nor misaligned nor longer than memory, and the caller vouches for the
    // rest.
    Ok(unsafe { slice::from_raw_parts(pointer, length) })
}

/// A text that the caller lends.
///
/// # Safety
/// Not null means that it ends with a zero byte and that nobody changes it during the call.
pub(super) unsafe fn text<'a>(
    pointer: *const c_char,
    name: &'static str,
) -> Result<&'a str, Refusal> {
    // SAFETY: the same that the caller vouches for here.
    let text = unsafe { text_or_null(pointer, name) }?;
    text.ok_or(Refusal::Pointer(name))
}

/// A text that may be left out.
///
/// # Safety
/// As [`text`].
pub(super) unsafe fn text_or_null<'a>(
    pointer: *const c_char,
    name: &'static str,
) -> Result<Option<&'a str>, Refusal> {
    if pointer.is_null() {
        return Ok(None);
    }
    // SAFETY: not null, and the caller vouches for the zero byte.
    let text = unsafe { CStr::from_ptr(pointer) };
    text.to_str().map(Some).map_err(|_| Refusal::Text(name))
}

/// Room for one result, which nobody has set yet.
///
/// # Safety
/// Not null means that a `T` fits in, and that it overlaps nothing else that the call is given.
pub(super) unsafe fn room<'a, T>(
    pointer: *mut T,
    name: &'static str,
) -> Result<&'a mut MaybeUninit<T>, Refusal> {
    if pointer.is_null() || !pointer.is_aligned() {
        return Err(Refusal::Pointer(name));
    }
    // SAFETY: neither null nor misaligned, any memory is a `MaybeUninit`, and the caller vouches
    // for the rest.
    Ok(unsafe { &mut *pointer.cast() })
}

/// Room for a row of results; where there is none the pointer may be null.
///
/// # Safety
/// As [`room`], for `length` of them.
pub(super) unsafe fn room_for<'a, T>(
    pointer: *mut T,
    length: usize,
    name: &'static str,
) -> Result<&'a mut [MaybeUninit<T>], Refusal> {
    if length == 0 {
        return Ok(&mut []);
    }
    possible::<T>(length, name)?;
    if pointer.is_null() || !pointer.is_aligned() {
        return Err(Refusal::Pointer(name));
    }
    // SAFETY: neither null nor misaligned nor longer than memory, any memory is a `MaybeUninit`,
    // and the caller vouches for the rest.
    Ok(unsafe { slice::from_raw_parts_mut(pointer.cast(), length) })
}

/// Room for a handle, set to null until there is one.
///
/// # Safety
/// As [`room`].
pub(super) unsafe fn handle<'a, T>(
    pointer: *mut *mut T,
    name: &'static str,
) -> Result<&'a mut *mut T, Refusal> {
    // SAFETY: the same that the caller vouches for here.
    let room = unsafe { room(pointer, name) }?;
    Ok(room.write(ptr::null_mut()))
}

/// Hands a thing over to the caller.
pub(super) fn give<T>(room: &mut *mut T, thing: T) {
    *room = Box::into_raw(Box::new(thing));
}

/// Takes a thing back and drops it; null is no thing.
///
/// # Safety
/// Not null means that it came from [`give`] and that nobody uses it any more.
pub(super) unsafe fn free<T>(pointer: *mut T) {
    if !pointer.is_null() {
        // SAFETY: not null, and the caller vouches that it is a box given away and never freed.
        let thing = unsafe { Box::from_raw(pointer) };
        // There is nobody to tell that a drop has failed.
        let _ = catch_unwind(AssertUnwindSafe(|| drop(thing)));
    }
}

/// Writes a row, or nothing of it if it does not fit.
pub(super) fn put<T: Copy>(
    row: &[T],
    room: &mut [MaybeUninit<T>],
    name: &'static str,
) -> Result<(), Refusal> {
    if room.len() < row.len() {
        return Err(Refusal::TooSmall {
            name,
            room: room.len(),
            needed: row.len(),
        });
    }
    for (place, value) in room.iter_mut().zip(row) {
        place.write(*value);
    }
    Ok(())
}

/// Does the work of a call and tells its end: a status, and a message in the caller's own memory,
/// empty when all is well, cut at a whole character where there is too little room.
///
/// # Safety
/// A message that is not null has room for `size` bytes and overlaps nothing that the work touches.
pub(super) unsafe fn answered(
    message: *mut c_char,
    size: usize,
    work: impl FnOnce() -> Result<(), Refusal>,
) -> Status {
    let (status, told) = match catch_unwind(AssertUnwindSafe(work)) {
        Ok(Ok(())) => (Status::Ok, String::new()),
        Ok(Err(refusal)) => (refusal.status(), refusal.to_string()),
        Err(panic) => (Status::Internal, defect(panic.as_ref())),
    };
    if !message.is_null() && size > 0 && size <= isize::MAX as usize {
        let length = told.floor_char_boundary(size - 1);
        // SAFETY: `length` is less than `size`, for which the caller vouches that there is room.
        unsafe {
            ptr::copy_nonoverlapping(told.as_ptr().cast(), message, length);
            message.add(length).write(0);
        }
    }
    status
}

/// What can be told of a panic.
fn defect(panic: &(dyn Any + Send)) -> String {
    let what = panic
        .downcast_ref::<&str>()
        .copied()
        .or_else(|| panic.downcast_ref::<String>().map(String::as_str));
    let what = what.unwrap_or("no more is known");
    format!("a defect of this library ({what}): report it with the call's input")
}

fn possible<T>(length: usize, name: &'static str) -> Result<(), Refusal> {
    match length.checked_mul(size_of::<T>()) {
        Some(bytes) if bytes <= isize::MAX as usize => Ok(()),
        _ => Err(Refusal::Length { name, length }),
    }
}
