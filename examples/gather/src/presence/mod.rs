//! When an animal is present at a place, from what others have recorded.
