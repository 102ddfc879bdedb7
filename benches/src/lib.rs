//! Benchmarks only: see `benches/`.
