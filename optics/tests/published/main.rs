//! Values that others have published or computed, one file a source.
#![allow(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helpers too"
)]

mod worked_by_hand;
