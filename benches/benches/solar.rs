//! Placeholder until the first bench of solar.
fn main() {}
