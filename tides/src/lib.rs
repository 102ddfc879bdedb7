//! Heights and turning points of the tide from harmonic constants, and constants from readings.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
