//! Lens, teleconverter, extension tube and crop geometry, and what a picture can resolve.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
