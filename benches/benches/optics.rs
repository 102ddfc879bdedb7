//! Placeholder until the first bench of optics.
fn main() {}
