//! The calls that C makes: the one place where pointers come in, and where `unsafe` stands.
//!
//! The rules that a caller keeps, and that every `SAFETY` comment here rests on:
//!
//! - A pointer to a handle is null or came from the `_new`, `_parse` or `_open` call of its type,
//!   and has not been freed. Nobody frees a handle while another call uses it. Calls that only use
//!   a handle, all but `_free`, may run in any number of threads at once.
//! - Every other pointer is null or points to as much memory as the header says: what is read is
//!   set, texts end with a zero byte, nobody changes it during the call, and what is written
//!   overlaps nothing else that the call is given.
//!
//! What can be checked is checked: null, alignment, impossible lengths, UTF-8, numbers for choices,
//! every value. A panic ends at the call.
#![expect(
    unsafe_code,
    reason = "C hands over pointers; they become references here and nowhere else"
)]
#![expect(
    clippy::missing_safety_doc,
    reason = "one set of rules holds for all calls: it stands at the head of module and header"
)]

mod kit;
mod paths;
mod pointers;
mod season;
mod sky;
#[cfg(test)]
mod tests;
mod tide;

pub use kit::*;
pub use paths::*;
pub use season::*;
pub use sky::*;
pub use tide::*;

use std::ffi::c_char;

/// The version of this library, such as "0.1.0": a text that is never freed.
#[unsafe(no_mangle)]
pub extern "C" fn wrackline_version() -> *const c_char {
    const VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), "\0");
    VERSION.as_ptr().cast()
}

// Handles may be shared among threads, as the rules above say.
const _: () = {
    const fn shared<T: Send + Sync>() {}
    shared::<crate::Observer>();
    shared::<crate::Path>();
    shared::<crate::MoonPath>();
    shared::<crate::Port>();
    shared::<crate::Predictor>();
    shared::<crate::Kit>();
    shared::<crate::Scenario>();
    shared::<crate::Season>();
};
