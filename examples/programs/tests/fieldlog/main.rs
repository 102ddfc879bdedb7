//! The field log's program: as a person uses it, and when it is interrupted.
#![allow(clippy::unwrap_used, clippy::panic)] // A test that cannot go on fails.

#[path = "../../../log/tests/fieldlog/demo_log.rs"]
mod demo_log;
mod helpers;
mod interrupted;
#[path = "../../../log/tests/fieldlog/pictures.rs"]
mod pictures;
mod program;
