//! The skyline around a seat, from elevation data.
