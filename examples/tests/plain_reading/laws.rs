//! Laws.
