//! A claim of reach, or two kits, before one subject: read and judged.
//!
//! A [`Question`] comes from TOML or is put together from parts; [`Question::answer`] judges it.

mod answer;
mod form;
mod question;

pub use answer::{Answer, Verdicts};
pub use form::{KitForm, Rival, SubjectForm};
pub(crate) use question::LEAST_F_NUMBER;
pub use question::Question;

/// Why a question cannot be read or judged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Text that is no question.
    #[error("{name}: {source}")]
    Toml {
        /// What the text is called.
        name: String,
        /// Line, column and reason.
        source: toml::de::Error,
    },
    /// A value out of its range.
    #[error("{name}: {field}: {what}")]
    Field {
        /// What the text is called.
        name: String,
        /// The table it stands in.
        field: &'static str,
        /// The value and the valid range.
        what: String,
    },
    /// A second kit and a claim.
    #[error("{name}: [second] and [claim] are both there: keep one of them")]
    TwoRivals {
        /// What the text is called.
        name: String,
    },
    /// Neither a second kit nor a claim.
    #[error(
        "{name}: neither [second] nor [claim] is there: add the kit or the claim to judge the \
         first against"
    )]
    NoRival {
        /// What the text is called.
        name: String,
    },
    /// A kit that does not focus at the distance.
    #[error("{kit}: {source}")]
    Focus {
        /// The kit.
        kit: String,
        /// The distance and how near it focuses.
        source: wrackline_optics::Error,
    },
    /// An assumption out of its range.
    #[error(transparent)]
    Optics(#[from] wrackline_optics::Error),
}
