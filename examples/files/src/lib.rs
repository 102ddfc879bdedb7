//! What every room that touches files needs: texts read with a bound, and what the path of an
//! output stands for.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod target;
pub mod texts;
