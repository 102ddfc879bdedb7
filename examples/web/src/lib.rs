//! The planner in a page: each question of the page is a text, and so is each answer.
//!
//! [`answer`] is all that there is. The page is made by `examples/web/build`; what it may ask
//! stands in [`Question`]. Nothing is read or written but these texts: no file, no clock, no
//! network. What is kept between two questions is kept by the page.
#![deny(missing_docs)]

// In the order in which data flows: what is asked, from which texts, made stricter by what, and
// the answers.
mod question;

mod texts;

mod stricter;

mod check;
mod page;
mod season;
mod tide;

#[cfg(all(feature = "parity", not(test)))]
#[path = "../../embed/tests/parity.rs"]
mod parity;

mod answer;
pub mod boundary;

pub use answer::answer;
pub use question::{Asked, Files, Question, SeasonFormat, Wanted};
pub use stricter::{Change, Figure, Refused, Rule, Table, figures, loosened};
pub use texts::{File, Texts};
