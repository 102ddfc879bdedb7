//! A port in a file of its own, whatever its form, is included as it is.
