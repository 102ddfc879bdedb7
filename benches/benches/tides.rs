//! Placeholder until the first bench of tides.
fn main() {}
