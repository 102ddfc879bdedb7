//! What the page calls: three functions with names outside of Rust.
//!
//! A text comes in through room that is made for it and goes out from where it lies; the page reads
//! and writes the memory of a module as its own. So nothing here follows a pointer: addresses are
//! told, never used. A generator of bindings would bring its own tool, a script of glue as large as
//! the page's own, and `unsafe` in what it writes, all for two texts.
#![expect(
    unsafe_code,
    reason = "a function has a name outside of Rust only by an unsafe attribute; there is no \
              unsafe block"
)]

use std::cell::RefCell;

use crate::answer::answer;

thread_local! {
    /// The question, and then its answer.
    static TEXT: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Makes room for a question of so many bytes, all zero, and tells its address.
#[unsafe(no_mangle)]
pub extern "C" fn wrackline_room(bytes: usize) -> usize {
    TEXT.with_borrow_mut(|text| {
        *text = vec![0; bytes];
        text.as_mut_ptr().expose_provenance()
    })
}

/// Answers the question that was written into the room, and tells where the answer begins.
#[unsafe(no_mangle)]
pub extern "C" fn wrackline_answer() -> usize {
    let question = TEXT.take();
    let answer = answer(&String::from_utf8_lossy(&question));
    TEXT.with_borrow_mut(|text| {
        *text = answer.into_bytes();
        text.as_ptr().expose_provenance()
    })
}

/// The length of the answer in bytes.
#[unsafe(no_mangle)]
pub extern "C" fn wrackline_length() -> usize {
    TEXT.with_borrow(Vec::len)
}
