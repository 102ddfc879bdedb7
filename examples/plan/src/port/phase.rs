//! The parts of a tide.

/// A part of the tide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Phase {
    /// Until high water.
    Flood,
    /// From high water.
    Ebb,
    /// All of it.
    #[default]
    Both,
}
