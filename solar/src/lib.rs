//! Where the sun and the moon stand, when they cross an altitude, and what light they give.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
