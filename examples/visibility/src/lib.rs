//! The program `visibility`, and `completions`, which knows the flags of every program.
//!
//! The formats of tables take longer to compile than all the rest together, so what needs them
//! stands apart from the other programs.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod arguments;
pub mod completions;
mod ended;
pub mod program;
mod rows;
mod words;
