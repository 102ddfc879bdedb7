//! Keeps and questions the field log.
fn main() {}
