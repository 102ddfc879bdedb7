//! A printed table as the port: what the curve between its turns costs, what is planned by it, and
//! that nothing is planned beyond it.
#![allow(clippy::unwrap_used)]

mod ends;
mod half_cosines;
mod include;
mod made;
mod season;
mod wrong;
